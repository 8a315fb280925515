package ui

import (
	"embed"
	"encoding/json"
	"io/fs"
	"path"
	"runtime/debug"

	"thole/ui/notices"
)

// front holds what the packages that pages are made with say of themselves.
//
//go:embed node_modules/htmx.org/LICENSE node_modules/htmx.org/package.json
var front embed.FS

// Libraries returns the libraries in the program: those of the pages and those that it
// was built from.
func Libraries() []notices.Library {
	info, _ := debug.ReadBuildInfo()
	return append(frontLibraries(front), notices.In(info)...)
}

// frontLibraries reads the packages of the pages.
func frontLibraries(files fs.FS) (list []notices.Library) {
	found, err := fs.Glob(files, "node_modules/*/package.json")
	if err != nil {
		panic("ui: " + err.Error())
	}
	for _, file := range found {
		var about struct{ Name, Version, License string }
		text, err := fs.ReadFile(files, file)
		if err == nil {
			err = json.Unmarshal(text, &about)
		}
		if err != nil {
			panic("ui: " + file + ": " + err.Error())
		}
		licence, _ := fs.ReadFile(files, path.Dir(file)+"/LICENSE")
		list = append(list, notices.Library{Name: about.Name, Version: about.Version, Licences: []string{about.License}, Text: string(licence)})
	}
	return list
}
