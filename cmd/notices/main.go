// Command notices reads the licences of the libraries in the program from the copies
// that the go command has of them: which they are, and whose, into
// ui/notices/libraries.json, and the texts into ui/notices/texts, which are built into
// the program and not kept in the repository. It is run by go generate ./ui/notices.
package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"thole/ui/notices"
)

func main() {
	if err := run("."); err != nil {
		fmt.Fprintln(os.Stderr, "notices:", err)
		os.Exit(1)
	}
}

// run writes the notices into a folder, that of package notices.
func run(folder string) error {
	found, err := libraries()
	if err != nil {
		return err
	}
	var list []notices.Library
	for _, name := range found.names() {
		l, err := found.read(name)
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		if err := os.WriteFile(filepath.Join(folder, "texts", notices.FileName(name)), []byte(l.Text), 0o644); err != nil {
			return err
		}
		list = append(list, l)
	}
	var out bytes.Buffer
	encoder := json.NewEncoder(&out)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "\t")
	if err := encoder.Encode(list); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(folder, "libraries.json"), out.Bytes(), 0o644)
}

// copies are the libraries by name, with version and the folders that count.
type copies map[string]*library

type library struct {
	version, root string
	folders       []string // of packages that are in the program
}

// platforms are those that the program is built for.
var platforms = []string{"linux", "darwin", "windows"}

// libraries asks the go command what the program is made of, on every platform.
func libraries() (copies, error) {
	found := copies{}
	goroot, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return nil, err
	}
	found[notices.Standard] = &library{root: strings.TrimSpace(string(goroot))} // the program knows its version
	for _, platform := range platforms {
		ask := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}}\t{{.Version}}\t{{.Dir}}\t{{$.Dir}}{{end}}{{end}}", "thole/cmd/thole")
		ask.Env = append(os.Environ(), "GOOS="+platform)
		out, err := ask.Output()
		if err != nil {
			return nil, fmt.Errorf("go list for %s: %w", platform, err)
		}
		for line := range strings.Lines(string(out)) {
			if part := strings.Split(strings.TrimSpace(line), "\t"); len(part) == 4 {
				found.add(part[0], part[1], part[2], part[3])
			}
		}
	}
	return found, nil
}

func (c copies) add(name, version, root, folder string) {
	if c[name] == nil {
		c[name] = &library{version: version, root: root}
	}
	for ; strings.HasPrefix(folder, root) && !slices.Contains(c[name].folders, folder); folder = filepath.Dir(folder) {
		c[name].folders = append(c[name].folders, folder)
	}
}

func (c copies) names() (list []string) {
	for name := range c {
		list = append(list, name)
	}
	slices.Sort(list)
	return list
}

// licenceFile are the names of files in which licences stand.
var licenceFile = regexp.MustCompile(`(?i)^(licen[cs]e|copying|notice|patents)([.-].*)?$`)

// read reads the licences of a library: those at its root, and those that stand beside
// packages that are in the program.
func (c copies) read(name string) (notices.Library, error) {
	from := c[name]
	l := notices.Library{Name: name, Version: from.version}
	folders := append([]string{from.root}, from.folders...)
	slices.Sort(folders)
	for _, folder := range slices.Compact(folders) {
		files, err := os.ReadDir(folder)
		if err != nil {
			return l, err
		}
		for _, file := range files {
			if file.IsDir() || !licenceFile.MatchString(file.Name()) {
				continue
			}
			text, err := fs.ReadFile(os.DirFS(folder), file.Name())
			if err != nil {
				return l, err
			}
			l.Text += strings.TrimSpace(string(text)) + "\n\n"
		}
	}
	if l.Text == "" {
		return l, errors.New("no licence was found")
	}
	l.Licences, l.Copyright = licencesIn(l.Text), copyrightIn(l.Text)
	if len(l.Licences) == 0 {
		return l, errors.New("the licence is none of those that are known here: decide whether it may be used")
	}
	return l, nil
}

// marks are phrases by which licences are known (SPDX identifiers), with one that must
// not stand with it. Those that ask for the program's own source are left out: they are
// to be refused.
var marks = []struct{ name, phrase, without string }{
	{"MIT", "free of charge, to any person obtaining a copy", ""},
	{"Apache-2.0", "apache license version 2.0", ""}, {"Apache-2.0", "apache license, version 2.0", ""},
	{"BSD-3-Clause", "neither the name", ""},
	{"BSD-2-Clause", "redistribution and use in source and binary forms", "neither the name"},
	{"ISC", "provided that the above copyright notice and this permission notice appear in all copies", ""},
	{"Unlicense", "this is free and unencumbered software released into the public domain", ""},
}

// licencesIn returns the licences that a text holds.
func licencesIn(text string) (list []string) {
	words := strings.Join(strings.Fields(strings.ToLower(text)), " ")
	for _, m := range marks {
		if strings.Contains(words, m.phrase) && (m.without == "" || !strings.Contains(words, m.without)) && !slices.Contains(list, m.name) {
			list = append(list, m.name)
		}
	}
	return list
}

// copyrightLine says whose a library is, and from when.
var copyrightLine = regexp.MustCompile(`(?m)^[ \t/#*;]*((?:(?:Portions|Original work|Modified work) )?Copyright (?:\([cC]\)|©|[0-9]{4}|The [A-Z])[^\n]*)$`)

// blank is a line of a form that nobody filled in.
var blank = regexp.MustCompile(`(?i)[\[<{](yyyy|year|name)`)

// copyrightIn returns the lines of a text that say whose it is, each once.
func copyrightIn(text string) []string {
	list := []string{}
	for _, m := range copyrightLine.FindAllStringSubmatch(strings.ReplaceAll(text, "\r", ""), -1) {
		line := strings.TrimSpace(m[1])
		if !blank.MatchString(line) && !slices.Contains(list, line) {
			list = append(list, line)
		}
	}
	return list
}
