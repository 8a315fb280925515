// Package notices tells whose libraries are in the program, and under which licences:
// what they are the program reads from itself, their licences by name stand in
// libraries.json, and the texts are built in where go generate wrote them to the
// folder texts before. The licences of what pages are made with come from the packages
// themselves.
package notices

import (
	"cmp"
	"embed"
	"encoding/json"
	"fmt"
	"io"
	"runtime/debug"
	"slices"
	"strings"
)

//go:generate go run thole/cmd/notices

//go:embed libraries.json
var facts []byte

//go:embed texts
var texts embed.FS

// Library is one library with its licence.
type Library struct {
	Name      string   `json:"name"`
	Version   string   `json:"version"`
	Licences  []string `json:"licences"`  // by their SPDX identifiers; more than one: parts have their own
	Copyright []string `json:"copyright"` // as the licence's files say it
	Text      string   `json:"-"`         // in full; empty where this build lacks it
}

// Standard is the name under which the Go language's own library stands.
const Standard = "Go standard library"

// sqliteDriver holds a whole library of others, SQLite, whose authors disclaim
// copyright (SQLite Copyright, sqlite.org/copyright.html).
const sqliteDriver = "github.com/mattn/go-sqlite3"

var sqlite = Library{Name: "SQLite", Version: "within " + sqliteDriver, Licences: []string{"public domain"}}

// Known returns the libraries whose licences were read, by name.
func Known() []Library {
	var list []Library
	if err := json.Unmarshal(facts, &list); err != nil {
		panic("notices: " + err.Error())
	}
	for i := range list {
		list[i].Text = textOf(list[i].Name)
	}
	return list
}

// FileName is the file of texts that holds the licence of a library.
func FileName(library string) string {
	return strings.NewReplacer("/", "_", " ", "_").Replace(library) + ".txt"
}

func textOf(library string) string {
	text, err := texts.ReadFile("texts/" + FileName(library))
	if err != nil {
		return ""
	}
	return string(text)
}

// In returns the libraries in a build, by name, with the versions that are in it. A
// library of which nothing is known is there without a licence. A build that does not
// know what is in it, as a test, has all that are known.
func In(info *debug.BuildInfo) []Library {
	known := Known()
	if info == nil || len(info.Deps) == 0 {
		return append(known, sqlite)
	}
	built := []*debug.Module{{Path: Standard, Version: info.GoVersion}}
	built = append(built, info.Deps...)
	list := make([]Library, 0, len(built)+1)
	for _, m := range built {
		if m.Path == sqliteDriver {
			list = append(list, sqlite)
		}
		l := Library{Name: m.Path}
		if i := slices.IndexFunc(known, func(k Library) bool { return k.Name == m.Path }); i >= 0 {
			l = known[i]
		}
		l.Version = m.Version
		list = append(list, l)
	}
	slices.SortFunc(list, func(a, b Library) int { return cmp.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)) })
	return list
}

// Whole reports whether the licence stands here in full.
func (l *Library) Whole() bool { return l.Text != "" }

// Address is where the library is published; empty where its name is no address.
func (l *Library) Address() string {
	part := strings.Split(l.Name, "/")
	if len(part) < 2 || !strings.Contains(part[0], ".") {
		return ""
	}
	if part[0] == "github.com" { // further parts are folders and major versions
		part = part[:min(3, len(part))]
	}
	return "https://" + strings.Join(part, "/")
}

// LicenceNames are the licences in words.
func (l *Library) LicenceNames() string {
	if len(l.Licences) == 0 {
		return "licence not known"
	}
	return strings.Join(l.Licences, ", ")
}

// Write writes the notices of libraries as text.
func Write(w io.Writer, list []Library) error {
	for i := range list {
		l := &list[i]
		text := fmt.Sprintf("%s %s\n%s\n", l.Name, l.Version, l.LicenceNames())
		for _, line := range l.Copyright {
			text += line + "\n"
		}
		switch {
		case l.Whole():
			text += "\n" + strings.TrimSpace(l.Text) + "\n"
		case l.Address() != "":
			text += "The licence in full: " + l.Address() + "\n"
		}
		if _, err := io.WriteString(w, text+"\n"+strings.Repeat("-", 72)+"\n\n"); err != nil {
			return err
		}
	}
	return nil
}
