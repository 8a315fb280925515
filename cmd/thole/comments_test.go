package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"maps"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// parsed returns the source files below some houses, with their comments, by name.
func parsed(t *testing.T, places *token.FileSet, houses ...string) map[string]*ast.File {
	t.Helper()
	found := map[string]*ast.File{}
	for _, file := range tree(t) {
		in := slices.ContainsFunc(houses, func(house string) bool { return inHouse(path.Dir(file), house) })
		if !in || path.Ext(file) != ".go" || strings.HasSuffix(file, "_test.go") {
			continue
		}
		source, err := parser.ParseFile(places, path.Join(root, file), nil, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		found[file] = source
	}
	return found
}

// reason matches what a comment says of where a number comes from: a year or another
// word for a source, whose judgement it is, that it only steers a calculation, or why.
var reason = regexp.MustCompile(`(?i)\b(18|19|20)\d\d\b|common practice|from memory|judgement|\bderived|numerical|\bexact|definition|convention|\brules?\b|ANSUR|handout|manufacturer|reported|so that|because|\bsince\b`)

// bare lists the constants and tables of numbers of a file that no comment gives a
// reason for: above the declaration or its group, beside it, or in the table itself.
func bare(places *token.FileSet, file *ast.File) []string {
	var found []string
	beside := map[int]string{}
	for _, group := range file.Comments {
		for _, c := range group.List {
			beside[places.Position(c.Pos()).Line] += c.Text + " "
		}
	}
	ast.Inspect(file, func(n ast.Node) bool {
		d, ok := n.(*ast.GenDecl)
		if !ok || d.Tok != token.CONST && !(d.Tok == token.VAR && slices.Contains(file.Decls, ast.Decl(d))) {
			return true
		}
		for _, s := range d.Specs {
			if spec := s.(*ast.ValueSpec); hasNumber(spec) && !reason.MatchString(toldOf(places, beside, d, spec)) {
				found = append(found, spec.Names[0].Name)
			}
		}
		return true
	})
	return found
}

// toldOf is all that is said of a declaration, on one line.
func toldOf(places *token.FileSet, beside map[int]string, d *ast.GenDecl, spec *ast.ValueSpec) string {
	text := d.Doc.Text() + spec.Doc.Text()
	for line := places.Position(spec.Pos()).Line; line <= places.Position(spec.End()).Line; line++ {
		text += beside[line]
	}
	ast.Inspect(spec, func(n ast.Node) bool {
		if l, ok := n.(*ast.BasicLit); ok && l.Kind == token.STRING {
			text += " " + l.Value
		}
		return true
	})
	return strings.Join(strings.Fields(text), " ")
}

// hasNumber reports whether a declaration holds a number other than 0 and 1; members of
// an enumeration hold none.
func hasNumber(spec *ast.ValueSpec) bool {
	found := false
	for _, v := range spec.Values {
		ast.Inspect(v, func(n ast.Node) bool {
			switch x := n.(type) {
			case *ast.FuncLit, *ast.ArrayType:
				return false
			case *ast.Ident:
				if x.Name == "iota" {
					found = false
					return false
				}
			case *ast.BasicLit:
				found = found || (x.Kind == token.INT || x.Kind == token.FLOAT) && x.Value != "0" && x.Value != "1"
			}
			return true
		})
	}
	return found
}

// unsaid lists the functions and types that others can use and that no comment names; of
// methods the type tells.
func unsaid(file *ast.File) (found []string) {
	add := func(name *ast.Ident, doc ...*ast.CommentGroup) {
		said := slices.ContainsFunc(doc, func(d *ast.CommentGroup) bool { return strings.HasPrefix(d.Text(), name.Name+" ") })
		if name.IsExported() && !said {
			found = append(found, name.Name)
		}
	}
	for _, d := range file.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			if d.Recv == nil {
				add(d.Name, d.Doc)
			}
		case *ast.GenDecl:
			for _, s := range d.Specs {
				if s, ok := s.(*ast.TypeSpec); ok && !s.Assign.IsValid() { // an alias is told where it comes from
					add(s.Name, d.Doc, s.Doc)
				}
			}
		}
	}
	return found
}

func TestWhatOthersUseIsNamedByItsComment(t *testing.T) {
	seen := 0
	files := parsed(t, token.NewFileSet(), "rigging", "selection", "api", "ui")
	for _, name := range slices.Sorted(maps.Keys(files)) {
		if _, tests := support[path.Dir(name)]; tests {
			continue
		}
		for _, one := range unsaid(files[name]) {
			t.Errorf("%s: no comment begins with %s", name, one)
		}
		seen++
	}
	if seen < 300 {
		t.Errorf("only %d files found", seen)
	}
}

func TestNamesWithoutACommentAreSeen(t *testing.T) {
	for body, want := range map[string]string{
		"func A() {}": "A", "// A does.\nfunc A() {}": "", "// Does.\nfunc A() {}": "A", "func a() {}": "", "type T int": "T", "// T is.\ntype T int": "",
		"type (\n\t// T is.\n\tT int\n\tU int\n)": "U", "type t int\nfunc (t) A() {}": "",
	} {
		file, err := parser.ParseFile(token.NewFileSet(), "x.go", "package x\n"+body+"\n", parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Join(unsaid(file), " "); got != want {
			t.Errorf("%q: %q, want %q", body, got, want)
		}
	}
}

func TestConstantsOfTheDomainGiveTheirReason(t *testing.T) {
	places, seen := token.NewFileSet(), 0
	files := parsed(t, places, "rigging", "selection")
	for _, name := range slices.Sorted(maps.Keys(files)) {
		for _, constant := range bare(places, files[name]) {
			t.Errorf("%s: %s has neither a source nor whose judgement it is, nor why it is what it is", name, constant)
		}
		seen += len(files[name].Decls)
	}
	if seen < 500 {
		t.Errorf("only %d declarations found", seen)
	}
}

func TestConstantsWithoutAReasonAreSeen(t *testing.T) {
	for body, want := range map[string]string{
		"const a = 0.7":                                       "a",
		"// a is the share.\nconst a = 0.7":                   "a",
		"// a is the share (from\n// memory).\nconst a = 7":   "",
		"const a = 0.7 // our judgement":                      "",
		"const (\n\ta = 2 // rad; by definition\n\tb = 3\n)":  "b",
		"// All by convention.\nconst (\n\ta = 2\n\tb = 3\n)": "",
		"var a = []float64{0.5, 0.7}":                         "a",
		"var a = []row{{0.5, \"Winter 1990\"}}":               "",
		"func f() { const a = 9; b := 9; _ = b }":             "a",
		"const a, b = 0, 1":                                   "",
		"const (\n\ta = iota\n\tb\n)":                         "",
		"const a = \"9\"":                                     "",
	} {
		places := token.NewFileSet()
		file, err := parser.ParseFile(places, "x.go", "package x\n"+body, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Join(bare(places, file), " "); got != want {
			t.Errorf("%s: %q, want %q", body, got, want)
		}
	}
}

// longestPackageComment bounds the lines of a package's comment: what lives there, and
// what does not, in one paragraph. The rest stands with the types it is about.
const longestPackageComment = 8

// wordy reports what is wrong with a package's comment; "" for nothing.
func wordy(comment string) string {
	comment = strings.TrimSpace(comment)
	switch lines := strings.Count(comment, "\n") + 1; {
	case comment == "":
		return "no comment says what lives here"
	case strings.Contains(comment, "\n\n"):
		return "its comment has more than one paragraph"
	case lines > longestPackageComment:
		return fmt.Sprintf("its comment has %d lines, more than %d", lines, longestPackageComment)
	}
	return ""
}

func TestPackagesSayWhatLivesThereInOneParagraph(t *testing.T) {
	comments := map[string]string{}
	for name, file := range parsed(t, token.NewFileSet(), "rigging", "selection", "api", "ui", "cmd") {
		pkg := path.Dir(name)
		if text := file.Doc.Text(); text != "" && comments[pkg] != "" {
			t.Errorf("%s: two files have a comment on the package", pkg)
		}
		comments[pkg] += file.Doc.Text()
	}
	if len(comments) < 60 {
		t.Errorf("only %d packages found", len(comments))
	}
	for _, pkg := range slices.Sorted(maps.Keys(comments)) {
		if wrong := wordy(comments[pkg]); wrong != "" {
			t.Errorf("%s: %s", pkg, wrong)
		}
	}
}

func TestWordyPackagesAreSeen(t *testing.T) {
	for comment, want := range map[string]string{
		"":                              "no comment",
		"Package x holds x.\n":          "",
		"Package x holds x.\n\nMore.\n": "more than one paragraph",
		strings.Repeat("Line.\n", 8):    "",
		strings.Repeat("Line.\n", 9):    "9 lines",
	} {
		if got := wordy(comment); (got == "") != (want == "") || !strings.Contains(got, want) {
			t.Errorf("%q: %q, want one that says %q", comment, got, want)
		}
	}
}
