package main

import (
	"encoding/json"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"os"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// root is the top of the module, seen from this package.
const root = "../.."

const module = "thole"

// rooms are the packages of the house from right to left. An import may only
// point to a room with a lower number; rooms with the same number do not know
// each other.
var rooms = []struct {
	pattern string // of package path below the module, for path.Match
	number  int
}{
	{"rigging", 0}, {"rigging/camera", 1}, {"selection", 1}, {"selection/*", 2},
	{"api/store/migrations", 3}, {"api/store/db", 4}, {"api/store/accounts", 5}, {"api/store/athletes", 5}, {"api/store/boats", 5}, {"api/store/recordings", 5}, {"api/store/races", 6}, {"api/store", 7},
	{"api/clock", 9},
	{"api/wire", 7}, {"api/sources", 7}, {"api/access", 7}, {"api/gate", 8}, {"api/settings", 8}, {"api/table", 9}, {"api/cells", 9},
	{"api/directory", 9}, {"api/records", 9}, {"api/once", 9}, {"api/rest", 10}, {"api/jobs", 11}, {"api/uploads", 11}, {"api/seat", 12}, {"api/club", 13}, {"api/fleet", 13}, {"api/schedule", 14}, {"api/video", 14}, {"api/setup", 14},
	{"api/strokefile", 14}, {"api/strokes", 15}, {"api/advice", 16}, {"api/exports", 16}, {"api/progress", 17}, {"api/ergometer", 17}, {"api/squadfile", 18}, {"api/columns", 19}, {"api/seatrace", 19}, {"api/intake", 20}, {"api/evidence", 20}, {"api/lineup", 21}, {"api/savedlineup", 22}, {"api/demo", 22}, {"api/people", 23}, {"api/keep", 23}, {"api/privacy", 23}, {"api/season", 24}, {"api", 25},
	{"ui/glossary", 33}, {"ui/usage", 33}, {"ui/figure/measure", 34},
	{"ui/figure", 33}, {"ui/figure/draw", 32}, {"ui/figure/plane", 31}, {"ui/figure/letters", 31}, {"ui/figure/code", 32}, {"ui/plot", 33}, {"ui/page", 34}, {"ui/arc", 35}, {"ui/strokefile", 35}, {"ui/lanes", 35}, {"ui/*", 36}, {"ui", 44}, {"cmd/thole", 54}, {"cmd/pictures", 54}, {"cmd/notices", 54},
}

// support are the packages that only tests import, of the rooms below the one
// that they lie in. They may know all of it.
var support = map[string]int{"api/storetest": 8, "api/apitest": 26, "api/apitest/hostile": 8, "api/apitest/samples": 27, "ui/uitest": 45, "api/apitest/same": 1}

// largestRoom bounds the lines of a package of api and ui without its tests:
// what is larger cannot be held in the head.
const largestRoom = 2600

// room returns the number of a package's room, and false when it has none.
func room(pkg string) (int, bool) {
	if number, ok := support[pkg]; ok {
		return number, true
	}
	for _, r := range rooms {
		if ok, _ := path.Match(r.pattern, pkg); ok {
			return r.number, true
		}
	}
	return 0, false
}

// ban is what packages must not import, and why.
type ban struct {
	where   func(pkg string) bool
	imports []string // each with everything below it
	tests   bool     // whether the ban holds in test files too
	reason  string
}

var bans = []ban{
	{pure, []string{"os", "io/ioutil", "syscall", "net"}, false,
		"the domain reads no files and no network: what it needs comes in as a value or an io.Reader"},
	{pure, []string{"database/sql", "encoding/json", "html/template", "text/template"}, false,
		"how things are stored, sent and shown is for api/store, api and ui"},
	{pure, []string{"log"}, false,
		"the domain returns errors and cautions: who logs them is for the caller"},
	{pure, []string{"math/rand", "crypto/rand"}, true,
		"equal input gives equal output: randomness comes in as a math/rand/v2 source"},
	{func(pkg string) bool { return pure(pkg) && pkg != "selection/erg" && pkg != "selection/stroke" }, []string{"time"}, false,
		"the domain has no clock; only selection/erg and selection/stroke know dates"},
	{func(pkg string) bool { return inHouse(pkg, "ui") && pkg != "ui/uitest" }, []string{module + "/api/store", "database/sql", "gonum.org/v1/gonum"}, false,
		"pages call use cases; tables and numerics lie behind those"},
	{func(pkg string) bool { return !inHouse(pkg, "api/store") && pkg != "api/storetest" }, storeRooms(), true,
		"what is kept is asked of api/store, whose rooms are its own"},
	{func(pkg string) bool {
		return pkg != "api" && pkg != "api/rest" && pkg != "api/apitest" && pkg != "cmd/thole"
	}, []string{"github.com/labstack/echo"}, false,
		"Echo stays in the adapter and the wiring, so that its next major version is a few signatures"},
}

// storeRooms are the packages below api/store.
func storeRooms() []string {
	var list []string
	for _, r := range rooms {
		if inHouse(r.pattern, "api/store") && r.pattern != "api/store" {
			list = append(list, module+"/"+r.pattern)
		}
	}
	return list
}

// inHouse reports whether a package is a house or one of its rooms.
func inHouse(pkg, house string) bool { return pkg == house || strings.HasPrefix(pkg, house+"/") }

// pure reports whether a package is part of the domain.
func pure(pkg string) bool {
	return inHouse(pkg, "rigging") || pkg == "selection" || strings.HasPrefix(pkg, "selection/")
}

// exempt are imports that lie below a banned path and yet keep the reason of
// the ban: a source of randomness that its caller seeds.
var exempt = []string{"math/rand/v2"}

// forbidden are functions with a hidden input that no signature shows.
var forbidden = []struct {
	imported string
	allowed  func(name string) bool
	reason   string
}{
	{"time", func(name string) bool {
		return !slices.Contains([]string{"Now", "Since", "Until", "Sleep", "After", "AfterFunc", "Tick", "NewTimer", "NewTicker"}, name)
	}, "the domain has no clock"},
	{"math/rand/v2", func(name string) bool {
		return slices.Contains([]string{"New", "NewPCG", "NewChaCha8", "NewZipf", "Rand", "Source", "PCG", "ChaCha8", "Zipf"}, name)
	}, "equal input gives equal output: draw from a generator that the caller seeds"},
}

// violations lists what one file does against the order of the house. The
// package path is relative to the module.
func violations(pkg string, test bool, file *ast.File) []string {
	var found []string
	own, known := room(pkg)
	if !known {
		found = append(found, fmt.Sprintf("%s is no room of the house", pkg))
	}
	for _, spec := range file.Imports {
		imported, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			panic("the parser let through an import of " + spec.Path.Value)
		}
		if !test || !sameHouse(pkg, imported) {
			found = append(found, wrongWay(pkg, own, imported)...)
		}
		found = append(found, banned(pkg, test, imported)...)
		if pure(pkg) {
			found = append(found, hiddenInputs(pkg, file, spec, imported)...)
		}
	}
	return found
}

// sameHouse reports whether a test imports a room beside its own: tests of an
// area go through the whole of api or ui.
func sameHouse(pkg, imported string) bool {
	house, _, _ := strings.Cut(pkg, "/")
	to, ours := strings.CutPrefix(imported, module+"/")
	return ours && (to == house || strings.HasPrefix(to, house+"/")) && (house == "api" || house == "ui")
}

// wrongWay reports whether an import of the module's own points to the left.
func wrongWay(pkg string, own int, imported string) []string {
	to, ours := strings.CutPrefix(imported, module+"/")
	if !ours || to == pkg { // an external test imports its own package
		return nil
	}
	number, known := room(to)
	if known && number < own {
		return nil
	}
	return []string{fmt.Sprintf("%s imports %s: imports only point to the right in cmd/thole → ui → ui/* → ui/page → api → its areas → api/store → selection/* → selection → rigging, and siblings do not know each other", pkg, to)}
}

func banned(pkg string, test bool, imported string) []string {
	var found []string
	for _, b := range bans {
		if !b.where(pkg) || test && !b.tests || slices.Contains(exempt, imported) {
			continue
		}
		for _, path := range b.imports {
			if imported == path || strings.HasPrefix(imported, path+"/") {
				found = append(found, fmt.Sprintf("%s imports %s: %s", pkg, imported, b.reason))
			}
		}
	}
	return found
}

// hiddenInputs finds uses of forbidden functions of one import.
func hiddenInputs(pkg string, file *ast.File, spec *ast.ImportSpec, imported string) []string {
	var found []string
	for _, f := range forbidden {
		if f.imported != imported {
			continue
		}
		name := localName(spec, imported)
		if name == "." {
			return []string{fmt.Sprintf("%s imports %s with a dot, which hides what it uses", pkg, imported)}
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if f.imported == "time" && benchmarks(n) {
				return false
			}
			if use, ok := n.(*ast.SelectorExpr); ok && isPackage(use.X, name) && !f.allowed(use.Sel.Name) {
				found = append(found, fmt.Sprintf("%s uses %s.%s: %s", pkg, imported, use.Sel.Name, f.reason))
			}
			return true
		})
	}
	return found
}

// benchmarks reports whether a function is handed a benchmark: reading the clock
// is what those are for.
func benchmarks(n ast.Node) bool {
	f, ok := n.(*ast.FuncDecl)
	if !ok {
		return false
	}
	for _, p := range f.Type.Params.List {
		if star, ok := p.Type.(*ast.StarExpr); ok {
			if use, ok := star.X.(*ast.SelectorExpr); ok && isPackage(use.X, "testing") && use.Sel.Name == "B" {
				return true
			}
		}
	}
	return false
}

// localName returns the name under which a file knows an import.
func localName(spec *ast.ImportSpec, imported string) string {
	if spec.Name != nil {
		return spec.Name.Name
	}
	return path.Base(strings.TrimSuffix(imported, "/v2"))
}

// isPackage reports whether an expression is the name of an import and not a
// variable that hides it.
func isPackage(x ast.Expr, name string) bool {
	id, ok := x.(*ast.Ident)
	return ok && id.Name == name && id.Obj == nil
}

// tree lists the files of the project, without what is generated or ignored.
func tree(t *testing.T) []string {
	t.Helper()
	ignored := ignoredPatterns(t)
	var files []string
	err := fs.WalkDir(os.DirFS(root), ".", func(file string, entry fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case file == ".git" || entry.Name() == "node_modules":
			return skip(entry)
		case slices.ContainsFunc(ignored, func(pattern string) bool { return ignores(pattern, file) }):
			return skip(entry)
		case !entry.IsDir():
			files = append(files, file)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// skip leaves out one entry: a work tree beside another has .git as a file.
func skip(entry fs.DirEntry) error {
	if entry.IsDir() {
		return fs.SkipDir
	}
	return nil
}

// ignoredPatterns reads which files version control leaves out.
func ignoredPatterns(t *testing.T) []string {
	t.Helper()
	body, err := os.ReadFile(root + "/.gitignore")
	if err != nil {
		t.Fatal(err)
	}
	return strings.Fields(string(body))
}

// ignores reports whether a line of .gitignore leaves a file out: one that begins
// with a slash by its path from the top, another by the file's own name.
func ignores(pattern, file string) bool {
	if anchored, ok := strings.CutPrefix(pattern, "/"); ok {
		pattern = strings.TrimSuffix(anchored, "/")
	} else {
		file = path.Base(file)
	}
	ok, _ := path.Match(pattern, file)
	return ok
}

func TestIgnoredFilesAreLeftOut(t *testing.T) {
	for _, c := range []struct {
		pattern, file string
		want          bool
	}{
		{"/pictures", "pictures", true},
		{"/pictures", "cmd/pictures", false},
		{"/ui/node_modules/", "ui/node_modules", true},
		{"/ui/notices/texts/*.txt", "ui/notices/texts/echo.txt", true},
		{"*.db", "cmd/thole/club.db", true},
		{"*.db", "cmd/thole/club.go", false},
	} {
		if got := ignores(c.pattern, c.file); got != c.want {
			t.Errorf("%s leaves out %s: %v", c.pattern, c.file, got)
		}
	}
}

func TestImportsPointToTheRight(t *testing.T) {
	parsed := 0
	for _, file := range tree(t) {
		if path.Ext(file) != ".go" || strings.Contains(file, "testdata/") {
			continue
		}
		source, err := parser.ParseFile(token.NewFileSet(), path.Join(root, file), nil, 0)
		if err != nil {
			t.Error(err)
			continue
		}
		parsed++
		for _, v := range violations(path.Dir(file), strings.HasSuffix(file, "_test.go"), source) {
			t.Errorf("%s: %s", file, v)
		}
	}
	if parsed < 50 {
		t.Errorf("only %d files found below %s", parsed, root)
	}
}

// TestTheOrderIsHeldAgainstTransgressors shows that the check above can fail.
func TestTheOrderIsHeldAgainstTransgressors(t *testing.T) {
	for _, c := range []struct{ pkg, body, says string }{
		{"rigging", `import _ "thole/selection"`, "only point to the right"},
		{"selection", `import _ "thole/selection/erg"`, "only point to the right"},
		{"selection/erg", `import _ "thole/selection/speed"`, "siblings do not know each other"},
		{"selection/erg", `import _ "thole/api"`, "only point to the right"},
		{"api/store", `import _ "thole/api"`, "only point to the right"},
		{"api/store/athletes", `import _ "thole/api/store/boats"`, "only point to the right"},
		{"api/club", `import _ "thole/api/store/athletes"`, "rooms are its own"},
		{"api", `import _ "thole/ui"`, "only point to the right"},
		{"ui", `import _ "thole/cmd/thole"`, "only point to the right"},
		{"api", `import _ "thole/helpers"`, "only point to the right"},
		{"api/seat", `import _ "thole/api/club"`, "only point to the right"},
		{"api/fleet", `import _ "thole/api/club"`, "only point to the right"},
		{"api/schedule", `import _ "thole/api/seatrace"`, "only point to the right"},
		{"api/ergometer", `import _ "thole/api/squadfile"`, "only point to the right"},
		{"api/settings", `import _ "thole/api/seat"`, "only point to the right"},
		{"api/lineup", `import _ "thole/api/savedlineup"`, "only point to the right"},
		{"api/wire", `import _ "thole/api/rest"`, "only point to the right"},
		{"api/club", `import _ "thole/api/apitest"`, "only point to the right"},
		{"ui/club", `import _ "thole/ui/seat"`, "only point to the right"},
		{"ui/page", `import _ "thole/ui/seat"`, "only point to the right"},
		{"ui/club", `import _ "thole/api/store"`, "pages call use cases"},
		{"api/strokes", `import _ "github.com/labstack/echo/v4"`, "Echo stays"},
		{"helpers", ``, "no room of the house"},
		{"selection/erg/tables", ``, "no room of the house"},
		{"rigging", `import _ "os"`, "reads no files"},
		{"rigging", `import _ "os/exec"`, "reads no files"},
		{"selection/stroke", `import _ "net/http"`, "reads no files"},
		{"selection/stroke", `import _ "encoding/json"`, "stored, sent and shown"},
		{"selection/lineup", `import _ "database/sql"`, "stored, sent and shown"},
		{"rigging", `import _ "html/template"`, "stored, sent and shown"},
		{"rigging", `import _ "log/slog"`, "who logs them"},
		{"rigging", `import _ "math/rand"`, "equal input"},
		{"rigging", `import _ "time"`, "has no clock"},
		{"selection/erg", "import \"time\"\nvar x = time.Now()", "time.Now"},
		{"selection/erg", "import clock \"time\"\nvar x = clock.Now", "time.Now"},
		{"selection/erg", `import . "time"`, "hides what it uses"},
		{"selection/erg", "import (\"testing\"; \"time\")\nfunc f(t *testing.T) { time.Now() }", "time.Now"},
		{"selection/lineup", "import \"math/rand/v2\"\nvar x = rand.IntN(3)", "rand/v2.IntN"},
		{"ui", `import _ "thole/api/store"`, "pages call use cases"},
		{"ui", `import _ "database/sql"`, "pages call use cases"},
		{"ui", `import _ "gonum.org/v1/gonum/mat"`, "pages call use cases"},
		{"ui", `import _ "github.com/labstack/echo/v4"`, "Echo stays"},
		{"api/store", `import _ "github.com/labstack/echo/v4/middleware"`, "Echo stays"},
	} {
		got := violations(c.pkg, false, sourceOf(t, c.body))
		if len(got) != 1 || !strings.Contains(got[0], c.says) {
			t.Errorf("%s with %s: %q, want one that says %q", c.pkg, c.body, got, c.says)
		}
	}
}

func TestRoomsCanBeHeldInTheHead(t *testing.T) {
	lines := map[string]int{}
	for _, file := range tree(t) {
		room := path.Dir(file)
		if _, tests := support[room]; tests {
			continue // what only tests import is read by need, a file an area
		}
		if path.Ext(file) != ".go" || strings.HasSuffix(file, "_test.go") || !inHouse(room, "api") && !inHouse(room, "ui") {
			continue
		}
		body, err := os.ReadFile(path.Join(root, file))
		if err != nil {
			t.Fatal(err)
		}
		lines[room] += strings.Count(string(body), "\n")
	}
	if len(lines) < 20 {
		t.Errorf("only %d rooms found", len(lines))
	}
	for room, n := range lines {
		if n > largestRoom {
			t.Errorf("%s has %d lines, more than %d: part it", room, n, largestRoom)
		}
	}
}

func TestTheOrderAllows(t *testing.T) {
	for _, c := range []struct {
		pkg, body string
		test      bool
	}{
		{"cmd/thole", "import _ \"thole/ui\"\nimport _ \"thole/api/store\"\nimport _ \"github.com/labstack/echo/v4\"", false},
		{"ui", "import _ \"thole/api\"\nimport _ \"net/http\"\nimport _ \"html/template\"", false},
		{"api", "import _ \"thole/api/store\"\nimport _ \"github.com/labstack/echo/v4\"", false},
		{"api/lineup", "import _ \"thole/api/seatrace\"\nimport _ \"thole/selection/lineup\"", false},
		{"api/seat", "import _ \"thole/api/apitest\"\nimport _ \"thole/api/club\"", true},
		{"ui/club", "import _ \"thole/ui/page\"\nimport _ \"thole/api/club\"", false},
		{"api/store/races", "import _ \"thole/api/store/athletes\"\nimport _ \"thole/api/store/db\"", false},
		{"api/store", "import _ \"thole/selection/erg\"\nimport _ \"database/sql\"", false},
		{"selection/erg", "import _ \"thole/selection\"\nimport \"time\"\nvar x time.Time", false},
		{"selection", `import _ "thole/rigging"`, false},
		{"selection/lineup", "import \"math/rand/v2\"\nvar x = rand.New(rand.NewPCG(1, 2))", false},
		{"selection/lineup", "import \"math/rand/v2\"\nvar _ rand.Source\nfunc f(rand *own) int { return rand.IntN(3) }", false},
		{"rigging", "import _ \"os\"\nimport _ \"thole/rigging\"", true},
		{"selection/lineup", "import (\"testing\"; \"time\")\nfunc f(b *testing.B) { time.Now() }", true},
	} {
		if got := violations(c.pkg, c.test, sourceOf(t, c.body)); len(got) > 0 {
			t.Errorf("%s with %s: %q", c.pkg, c.body, got)
		}
	}
}

func sourceOf(t *testing.T, body string) *ast.File {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), "x.go", "package x\n"+body, 0)
	if err != nil {
		t.Fatal(err)
	}
	return file
}

// entries are what the top of the project may hold, beside names that begin
// with a dot.
var entries = []string{
	"cmd", "api", "rigging", "selection", "ui", "testdata", "go.mod", "go.sum", "README.md", "DEVELOPERS.md", "CHANGELOG.md", "Dockerfile",
}

// strayEntries lists the files whose first path element has no place.
func strayEntries(files []string) []string {
	var stray []string
	for _, file := range files {
		top, _, _ := strings.Cut(file, "/")
		if !strings.HasPrefix(top, ".") && !slices.Contains(entries, top) {
			stray = append(stray, file)
		}
	}
	return stray
}

func TestNothingElseLiesAtTheTop(t *testing.T) {
	for _, file := range strayEntries(tree(t)) {
		t.Errorf("%s: the top holds only %v and names that begin with a dot", file, entries)
	}
}

func TestStrayEntriesAreSeen(t *testing.T) {
	got := strayEntries([]string{"README.md", ".ci/run", "api/units.go", "notes.txt", "internal/x/x.go"})
	if want := []string{"notes.txt", "internal/x/x.go"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// machinePath matches a path that means something on one machine only.
var machinePath = regexp.MustCompile(`(?:^|[^\w.*/-])/(?:work|root|home|farm|tmp|Users)/\w`)

func TestNoFileNamesAPathOfOneMachine(t *testing.T) {
	for _, file := range tree(t) {
		body, err := os.ReadFile(path.Join(root, file))
		if err != nil {
			t.Error(err)
			continue
		}
		if place := machinePath.Find(body); place != nil {
			t.Errorf("%s mentions %q: it means nothing elsewhere", file, place)
		}
	}
}

func TestMachinePathsAreSeen(t *testing.T) {
	for text, want := range map[string]bool{
		"/" + "work/main": true, "see /" + "root/go": true, `"/` + `tmp/x"`: true, "=/" + "home/anna": true,
		"x/root/y": false, "a/tmp/b": false, "ui/home/x": false, "/data/thole.db": false, "https://example.org/work/x": false,
	} {
		if got := machinePath.MatchString(text); got != want {
			t.Errorf("%q: %v, want %v", text, got, want)
		}
	}
}

// sourceFile has an entry for each source of data and checks.
const sourceFile = "testdata/SOURCES.md"

// unnamed lists the data files that no entry of the sources names, and the data
// files that entries name and nobody has. A name stands between backticks: that
// of a file beside the sources, or a path from the top.
func unnamed(files []string, sources string) (silent, absent []string) {
	var named []string
	for _, m := range regexp.MustCompile("`([^`]+\\.[a-z]+)`").FindAllStringSubmatch(sources, -1) {
		file := m[1]
		if !strings.Contains(file, "/") {
			file = path.Join(path.Dir(sourceFile), file)
		}
		named = append(named, file)
		if !slices.Contains(files, file) {
			absent = append(absent, file)
		}
	}
	for _, file := range files {
		if path.Dir(file) == path.Dir(sourceFile) && file != sourceFile && !slices.Contains(named, file) {
			silent = append(silent, file)
		}
	}
	return silent, absent
}

func TestEveryDataFileNamesItsSource(t *testing.T) {
	silent, absent := unnamed(tree(t), readTop(t, sourceFile))
	for _, file := range silent {
		t.Errorf("%s: no entry of %s names it", file, sourceFile)
	}
	for _, file := range absent {
		t.Errorf("%s: %s names it and it is not there", file, sourceFile)
	}
}

func TestUnnamedDataIsSeen(t *testing.T) {
	silent, absent := unnamed([]string{sourceFile, "testdata/a.csv", "testdata/b.dat", "rigging/c.csv"}, "- Where: `a.csv`, `rigging/c.csv` (3 rows),\n  `d.csv`; see `ansur2`")
	if !slices.Equal(silent, []string{"testdata/b.dat"}) || !slices.Equal(absent, []string{"testdata/d.csv"}) {
		t.Errorf("%q, %q", silent, absent)
	}
}

func readTop(t *testing.T, name string) string {
	t.Helper()
	body, err := os.ReadFile(path.Join(root, name))
	if err != nil {
		t.Fatal(err)
	}
	return string(body)
}

func TestReadmeAndCIRunTheSameCommand(t *testing.T) {
	const command = "npm ci --prefix ui --ignore-scripts && go test ./..."
	for file, want := range map[string]string{
		"README.md": "    " + command + "\n",
		".ci/run":   "\n" + command + "\n",
	} {
		if !strings.Contains(readTop(t, file), want) {
			t.Errorf("%s does not have the line %q", file, command)
		}
	}
}

// TestFrontEndIsPinned also holds that the lock names no server, so that each
// machine asks its own.
func TestFrontEndIsPinned(t *testing.T) {
	if lock := readTop(t, "ui/package-lock.json"); strings.Contains(lock, `"resolved"`) || strings.Contains(lock, "://") {
		t.Error("the lock file names a server")
	}
	version := regexp.MustCompile(`^\d+\.\d+\.\d+$`)
	var manifest struct {
		Dependencies    map[string]string `json:"dependencies"`
		DevDependencies map[string]string `json:"devDependencies"`
	}
	if err := json.Unmarshal([]byte(readTop(t, "ui/package.json")), &manifest); err != nil {
		t.Fatal(err)
	}
	maps.Copy(manifest.DevDependencies, manifest.Dependencies)
	if len(manifest.DevDependencies) == 0 {
		t.Error("the manifest names no package")
	}
	for name, v := range manifest.DevDependencies {
		if !version.MatchString(v) {
			t.Errorf("%s %q is not one version", name, v)
		}
	}
}

// TestImagesArePinned holds that each stage builds on one version of an image,
// named without a server.
func TestImagesArePinned(t *testing.T) {
	image := regexp.MustCompile(`(?m)^FROM (\S+)`)
	found := image.FindAllStringSubmatch(readTop(t, "Dockerfile"), -1)
	if len(found) != 3 {
		t.Fatalf("%d stages", len(found))
	}
	for _, m := range found {
		if !regexp.MustCompile(`^[a-z]+:\d+\.\d+(\.\d+)?(-[a-z]+)+$`).MatchString(m[1]) {
			t.Errorf("%s is not one version of an image", m[1])
		}
	}
}
