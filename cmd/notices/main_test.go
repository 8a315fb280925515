package main

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"thole/ui/notices"
)

// TestTheListIsThatOfTheProgram: what the go command has now, on every platform, is what
// is committed. A library that is missing there, or another version of one, fails.
func TestTheListIsThatOfTheProgram(t *testing.T) {
	folder := t.TempDir()
	if err := os.Mkdir(filepath.Join(folder, "texts"), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := run(folder); err != nil {
		t.Fatal(err)
	}
	made, err := os.ReadFile(filepath.Join(folder, "libraries.json"))
	if err != nil {
		t.Fatal(err)
	}
	kept, err := os.ReadFile("../../ui/notices/libraries.json")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(made, kept) {
		t.Errorf("the list of libraries is not that of the program: run go generate ./ui/notices")
	}
	text, err := os.ReadFile(filepath.Join(folder, "texts", notices.FileName("github.com/labstack/echo/v4")))
	if err != nil || !bytes.Contains(text, []byte("LabStack")) {
		t.Errorf("a text lacks its owner: %v %s", err, text)
	}
}

func TestLicencesAreKnownByTheirWords(t *testing.T) {
	for text, want := range map[string][]string{
		"is given, Free of charge,\n to any person obtaining a copy":                 {"MIT"},
		"Apache License\n   Version 2.0, January 2004":                               {"Apache-2.0"},
		"Redistribution and use in source and binary forms, and Neither the name of": {"BSD-3-Clause"},
		"Redistribution and use in source and binary forms":                          {"BSD-2-Clause"},
		"GNU GENERAL PUBLIC LICENSE":                                                 nil,
		"do what you like":                                                           nil,
	} {
		if got := licencesIn(text); !slices.Equal(got, want) {
			t.Errorf("%q: %v", text, got)
		}
	}
}

func TestOwnersAreReadFromTheirLines(t *testing.T) {
	text := "  Copyright (c) 2020 Ann Example\r\n# Copyright 2021 Bea\nCopyright [yyyy] [name of copyright owner]\n" +
		"a copyright license to reproduce\nOriginal work Copyright (c) 2012 Cat\nCopyright The Authors of It\nCopyright 2021 Bea\n"
	want := []string{"Copyright (c) 2020 Ann Example", "Copyright 2021 Bea", "Original work Copyright (c) 2012 Cat", "Copyright The Authors of It"}
	if got := copyrightIn(text); !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
}

// TestALibraryWithoutALicenceIsRefused, and one with a licence that nobody decided on.
func TestALibraryWithoutALicenceIsRefused(t *testing.T) {
	folder := t.TempDir()
	c := copies{"example.org/x": {version: "v1.0.0", root: folder}}
	if _, err := c.read("example.org/x"); err == nil {
		t.Error("no licence is read")
	}
	if err := os.WriteFile(filepath.Join(folder, "LICENSE"), []byte("ours, keep out"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := c.read("example.org/x"); err == nil {
		t.Error("any licence is read")
	}
}
