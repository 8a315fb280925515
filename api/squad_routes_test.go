package api_test

import (
	"bytes"
	"errors"
	"fmt"
	"log/slog"
	"maps"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"github.com/labstack/echo/v4"
	"pgregory.net/rapid"

	"thole/api"
	"thole/api/store"
)

// clubServer is a server over records of its own.
type clubServer struct {
	*echo.Echo
	service *api.Service
	records *store.Store
}

func servedClub(t testing.TB) clubServer {
	t.Helper()
	s, records := trialRecords(t)
	e := echo.New()
	if err := api.Mount(e, s, slog.New(slog.DiscardHandler)); err != nil {
		t.Fatal(err)
	}
	return clubServer{e, s, records}
}

// send posts a form, or gets a path without parts.
func (c clubServer) send(path string, parts ...part) *httptest.ResponseRecorder {
	r := httptest.NewRequest(http.MethodGet, path, nil)
	if parts != nil {
		r = multipartRequest(path, parts...)
	}
	w := httptest.NewRecorder()
	c.ServeHTTP(w, r)
	return w
}

func signed(table string, more ...part) []part {
	return append([]part{{"by", "", "Ines"}, fileOf(table)}, more...)
}

// imported returns what an import has done that must be answered.
func (c clubServer) imported(t reporter, parts ...part) api.SquadImport {
	t.Helper()
	w := c.send(importPath, parts...)
	if w.Code != http.StatusOK {
		t.Fatalf("%d %.800s", w.Code, w.Body)
	}
	return decoded[api.SquadImport](t, w.Body.Bytes())
}

// holdings is everything on record that a table can touch.
type holdings struct {
	Athletes []store.Athlete
	Measures [][]store.Measures
	Changes  [][]store.Change
	Tests    []store.ErgTest
}

func (c clubServer) holdings(t testing.TB) (h holdings) {
	t.Helper()
	var errs [2]error
	h.Athletes, errs[0] = c.records.Athletes(t.Context(), store.Filter{Archived: true})
	h.Tests, errs[1] = c.records.ErgTestsSince(t.Context(), "0001-01-01")
	for _, a := range h.Athletes {
		measures, err1 := c.records.MeasuresOf(t.Context(), a.ID)
		changes, err2 := c.records.Changes(t.Context(), store.AthleteRecord, a.ID, 0)
		h.Measures, h.Changes = append(h.Measures, measures), append(h.Changes, changes)
		errs[0] = errors.Join(errs[0], err1, err2)
	}
	if err := errors.Join(errs[:]...); err != nil {
		t.Fatal(err)
	}
	return h
}

func TestTheSquadGoesOutAsAFile(t *testing.T) {
	c := servedClub(t)
	saved3(t, c.service, smallSquad)
	for kind, media := range map[string]string{
		"csv": "text/csv; charset=utf-8", "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
	} {
		w := c.send(tablePath + kind)
		same(t, kind, w.Code, http.StatusOK)
		same(t, kind+": type", w.Header().Get("Content-Type"), media)
		same(t, kind+": name", w.Header().Get("Content-Disposition"), `attachment; filename="squad.`+kind+`"`)
		same(t, kind+": the same again", c.send(tablePath+kind).Body.String() == w.Body.String(), true)
		same(t, kind+": as the page writes it", written(t, c.service, kind) == w.Body.String(), true)
	}
	same(t, "another kind", c.send(tablePath+"ods").Code, http.StatusNotFound)
}

func TestAPreviewSavesNothing(t *testing.T) {
	c := servedClub(t)
	saved3(t, c.service, smallSquad)
	before := c.holdings(t)
	w := c.send(previewPath, fileOf(strings.NewReplacer("7:02.4", "7:01.0", "Cy Cedar", "Dee Durian").Replace(smallSquad)))
	same(t, "status", w.Code, http.StatusOK)
	plan := decoded[api.SquadImport](t, w.Body.Bytes())
	same(t, "saved", plan.Saved, false)
	same(t, "tally", tally(plan), [6]int{1, 0, 2, 0, 1, 2})
	same(t, "changes", plan.Tests[0].Changes, []string{"time: 7:02.4 → 7:01.0"})
	same(t, "rows", []int{plan.Athletes[2].Row, plan.Tests[1].Row}, []int{5, 3})
	if diff := cmp.Diff(before, c.holdings(t)); diff != "" {
		t.Error(diff)
	}
}

func TestAnImportSaves(t *testing.T) {
	c := servedClub(t)
	plan := c.imported(t, signed(smallSquad)...)
	same(t, "saved", plan.Saved, true)
	same(t, "tally", tally(plan), [6]int{3, 0, 0, 3})
	for _, a := range plan.Athletes {
		if onRecord, err := c.service.Athlete(t.Context(), api.AthleteRequest{ID: a.AthleteID}); err != nil || onRecord.Name != a.Name {
			t.Errorf("%+v: %+v %v", a, onRecord, err)
		}
	}
}

// TestATableWithProblemsIsRefusedWhole and says where, by row and column,
// unless the rest is wanted.
func TestATableWithProblemsIsRefusedWhole(t *testing.T) {
	c := servedClub(t)
	table := smallSquad + "Dee Durian,,,,,,900,,,,,,\n,,,,,,,2026-01-10,,2000,fast,,\nEve Elm,,,,,,,2026-01-10,,2000,fast,,\n"
	p := problem(t, c.send(importPath, signed(table)...), http.StatusUnprocessableEntity)
	want := []api.FieldProblem{
		{Field: "file", Pointer: "#/file", Row: 6, Column: "mass_kg", Detail: "Row 6, mass_kg: “900” does not fit: give a number from 20 to 200."},
		{Field: "file", Pointer: "#/file", Row: 7, Column: "name", Detail: "Row 7, name: This row names nobody, and no usable athlete stands above it."},
		{Field: "file", Pointer: "#/file", Row: 8, Column: "test_time", Detail: "Row 8, test_time: “fast” is no time: write it like 6:32.4."},
	}
	if diff := cmp.Diff(want, p.Errors); diff != "" {
		t.Error(diff)
	}
	same(t, "saved", len(c.holdings(t).Athletes), 0)
	plan := c.imported(t, signed(table, part{"leave_out", "", "true"})...)
	same(t, "left out", len(plan.Problems), 3)
	same(t, "tally", tally(plan), [6]int{4, 0, 0, 3})
}

// TestAThousandProblemsAreToldInPart keeps the answer readable.
func TestAThousandProblemsAreToldInPart(t *testing.T) {
	p := problem(t, servedClub(t).send(importPath, signed("name,mass_kg\n"+strings.Repeat("Ann,900\n", 1000))...), http.StatusUnprocessableEntity)
	same(t, "told", len(p.Errors), 100)
}

// TestRefusedForms holds what is said of forms that are no good; none saves
// anything.
func TestRefusedForms(t *testing.T) {
	c := servedClub(t)
	by, file := part{"by", "", "Ines"}, fileOf(smallSquad)
	for name, test := range map[string]struct {
		parts  []part
		status int
		says   string
	}{
		"no file":         {[]part{by}, 422, "part named file"},
		"nobody":          {[]part{file}, 422, "Say who you are"},
		"blank signature": {[]part{{"by", "", " "}, file}, 422, "Say who you are"},
		"two files":       {[]part{file, by, file}, 422, "comes twice"},
		"two signatures":  {[]part{by, by, file}, 422, "comes twice"},
		"unknown part":    {[]part{by, {"colour", "", "red"}, file}, 422, "colour"},
		"perhaps":         {[]part{by, file, {"leave_out", "", "perhaps"}}, 422, "true or false"},
		"long signature":  {[]part{{"by", "", strings.Repeat("x", 5000)}, file}, 422, "too long"},
		"another plan":    {[]part{by, file, {"plan", "", "0000"}}, 409, "have changed since"},
		"blank file":      {[]part{by, fileOf("")}, 422, "heading"},
		"huge file":       {[]part{by, fileOf(strings.Repeat("x", 8<<20+1))}, 413, "larger than 8 MB"},
		"a PDF":           {[]part{by, fileOf("%PDF-1.7")}, 422, "PDF"},
		"open quote":      {[]part{by, fileOf("name\n\"Ann\n")}, 422, "Line 2"},
	} {
		p := problem(t, c.send(importPath, test.parts...), test.status)
		if text := fmt.Sprint(p.Detail, p.Errors); !strings.Contains(text, test.says) {
			t.Errorf("%s: %s", name, text)
		}
		if test.parts = slices.DeleteFunc(test.parts, func(p part) bool { return p.name == "by" }); test.status == 413 || name == "open quote" {
			problem(t, c.send(previewPath, test.parts...), test.status)
		}
	}
	problem(t, request(http.MethodPost, importPath, jsonType, "{}"), http.StatusUnsupportedMediaType)
	same(t, "saved", len(c.holdings(t).Athletes), 0)
}

// TestFormsAreDescribed holds the parts that are described against those that
// are taken.
func TestFormsAreDescribed(t *testing.T) {
	for path, parts := range map[string][]string{previewPath: {"file"}, importPath: {"by", "file", "leave_out", "plan"}} {
		content := operation(t, "POST "+path).RequestBody.Value.Content["multipart/form-data"]
		if content == nil {
			t.Fatalf("%s: no form is described", path)
		}
		same(t, path, slices.Sorted(maps.Keys(content.Schema.Value.Properties)), parts)
		for _, name := range parts {
			w := servedClub(t).send(path, part{name, "", "x"}, part{"colour", "", "red"})
			if p := problem(t, w, http.StatusUnprocessableEntity); p.Errors[0].Field != "colour" {
				t.Errorf("%s: %s is described and not known: %+v", path, name, p.Errors)
			}
		}
	}
}

// TestTheSquadTravels goes out in both forms, comes in elsewhere, goes out the
// same, and changes nothing when it comes in again.
func TestTheSquadTravels(t *testing.T) {
	home := servedClub(t)
	if err := home.service.FillDemo(t.Context()); err != nil {
		t.Fatal(err)
	}
	for _, kind := range []string{"csv", "xlsx"} {
		away, file := servedClub(t), home.send(tablePath+kind).Body.String()
		travels(t, away, kind, file)
		for _, other := range []string{"csv", "xlsx"} {
			if !bytes.Equal(home.send(tablePath+other).Body.Bytes(), away.send(tablePath+other).Body.Bytes()) {
				t.Errorf("%s goes out as another %s", kind, other)
			}
		}
	}
}

// travels brings a file in and checks that it goes out the same and changes
// nothing when it comes in again.
func travels(t testing.TB, away clubServer, kind, file string) {
	t.Helper()
	plan := away.imported(t, signed(file)...)
	same(t, kind+": problems", told(plan), "")
	if out := away.send(tablePath + kind).Body.String(); out != file {
		t.Errorf("%s goes out as another: %s", kind, cmp.Diff(file, out))
	}
	before := away.holdings(t)
	n := tally(away.imported(t, signed(file)...))
	same(t, kind+": new and changed", [4]int{n[0], n[1], n[3], n[4]}, [4]int{})
	if diff := cmp.Diff(before, away.holdings(t)); diff != "" {
		t.Errorf("%s, again: %s", kind, diff)
	}
}

// dayAgo is a day of the years before today.
func dayAgo(least, most int) *rapid.Generator[string] {
	return rapid.Map(rapid.IntRange(least, most), func(n int) string { return time.Now().AddDate(0, 0, -n).Format(time.DateOnly) })
}

// tenths are numbers with one decimal, so that they look as people's do.
func tenths(least, most int) *rapid.Generator[float64] {
	return rapid.Map(rapid.IntRange(least, most), func(n int) float64 { return float64(n) / 10 })
}

// awkwardText is what people may write that a table or a reader could take for
// something else.
func awkwardText() *rapid.Generator[string] {
	word := rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{
		"Ann", "ann", "Ánn", "O'Neill", "'=1", "-", "1,5", "#N/A!", "2026-01-10", "0.5", `"`, "a;b", "_x0041_x0042_", "_xZZZZ_", "sep=,",
	}))
	return rapid.Custom(func(t *rapid.T) string {
		return strings.TrimSpace(word.Draw(t, "a") + rapid.SampledFrom([]string{"", " ", "\n", "\t"}).Draw(t, "between") + word.Draw(t, "b"))
	})
}

// drawnMember is an athlete with all that can be said of one.
func drawnMember(t *rapid.T) store.SquadMember {
	mass, cost := rapid.Ptr(tenths(250, 2000), true), rapid.Ptr(tenths(0, 600), true)
	m := store.SquadMember{MassKg: mass.Draw(t, "mass"), Athlete: store.Athlete{
		Name: awkwardText().Draw(t, "name"), Sex: rapid.SampledFrom([]string{"", "female", "male"}).Draw(t, "sex"),
		BirthDate: rapid.Ptr(dayAgo(4000, 30_000), true).Draw(t, "born"), PortCostS: cost.Draw(t, "port"), StarboardCostS: cost.Draw(t, "starboard"),
		Sculls: rapid.Bool().Draw(t, "sculls"),
	}}
	for range rapid.IntRange(0, 4).Draw(t, "tests") {
		m.Tests = append(m.Tests, store.ErgTest{
			TestedOn: dayAgo(0, 3000).Draw(t, "day"), Fixed: rapid.SampledFrom([]string{"distance", "time"}).Draw(t, "fixed"),
			DistanceM: tenths(500, 200_000).Draw(t, "distance"), TimeS: float64(rapid.IntRange(5000, 86_400_000).Draw(t, "time")) / 1000,
			MassKg: mass.Draw(t, "mass then"), Note: awkwardText().Draw(t, "note"),
		})
	}
	return m
}

// unprintable tells which signs no note can hold that came in by a table.
func unprintable(r rune) bool {
	return unicode.IsControl(r) && r != '\n' && r != '\t' || unicode.Is(unicode.Noncharacter_Code_Point, r) || r == utf8.RuneError
}

// join puts an athlete on record, unless the name is none or taken.
func (c clubServer) join(t testing.TB, m store.SquadMember) {
	t.Helper()
	a, err := c.service.AddAthlete(t.Context(), api.NewAthlete{AthleteFields: api.AthleteFields{Name: m.Athlete.Name, BirthDate: m.Athlete.BirthDate}, By: "Ines"})
	if err != nil {
		return
	}
	m.Athlete.ID, m.Athlete.Version = a.ID, a.Version
	for i := range m.Tests {
		if strings.ContainsFunc(m.Tests[i].Note, unprintable) {
			m.Tests[i].Note = ""
		}
	}
	if _, err := c.records.SaveSquad(t.Context(), []store.SquadMember{m}, time.Now().Format(time.DateOnly), store.By{Name: "Ines"}); err != nil {
		t.Fatal(err)
	}
}

// TestEverySquadTravels: whatever the records hold goes out and comes back.
func TestEverySquadTravels(t *testing.T) {
	squads := rapid.SliceOfN(rapid.Custom(drawnMember), 5, 20)
	for seed := range 12 {
		home := servedClub(t)
		for _, m := range squads.Example(seed) {
			home.join(t, m)
		}
		before := home.holdings(t)
		for _, kind := range []string{"csv", "xlsx"} {
			file := home.send(tablePath + kind).Body.String()
			travels(t, servedClub(t), kind, file)
			same(t, kind+" at home", told(home.imported(t, signed(file)...)), "")
			if diff := cmp.Diff(before, home.holdings(t)); diff != "" {
				t.Fatalf("%d, %s at home: %s", seed, kind, diff)
			}
		}
	}
}

// TestAPlanHoldsOnlyWhileTheRecordsStandStill: what somebody else has written
// since the look is not written over.
func TestAPlanHoldsOnlyWhileTheRecordsStandStill(t *testing.T) {
	c := servedClub(t)
	saved3(t, c.service, smallSquad)
	table := strings.Replace(smallSquad, ",0,1.5,", ",0,2,", 1)
	look := func() part {
		return part{"plan", "", decoded[api.SquadImport](t, c.send(previewPath, fileOf(table)).Body.Bytes()).Plan}
	}
	plan := look()
	same(t, "the plan of the same look", look(), plan)
	ann := c.holdings(t).Athletes[0]
	edit := api.AthleteEdit{ID: ann.ID, Version: ann.Version, AthleteFields: api.AthleteFields{
		Name: ann.Name, Sex: ann.Sex, BirthDate: ann.BirthDate, PortCostS: ann.PortCostS, StarboardCostS: new(1.0), Sculls: ann.Sculls,
	}, By: "Bram"}
	if _, err := c.service.UpdateAthlete(t.Context(), edit); err != nil {
		t.Fatal(err)
	}
	before := c.holdings(t)
	problem(t, c.send(importPath, signed(table, plan)...), http.StatusConflict)
	if diff := cmp.Diff(before, c.holdings(t)); diff != "" {
		t.Error(diff)
	}
	done := c.imported(t, signed(table, look())...)
	same(t, "what", done.Athletes[0].Changes, []string{"starboard costs: 1 s → 2 s"})
	problem(t, c.send(importPath, signed(table, plan)...), http.StatusConflict)
	same(t, "another table under the plan", c.send(importPath, signed(smallSquad, look())...).Code, http.StatusConflict)
}

// TestManyBringTheSameSquadIn at once: it is on record once, and who came too
// late is told.
func TestManyBringTheSameSquadIn(t *testing.T) {
	c := servedClub(t)
	status := map[int]int{}
	var lock sync.Mutex
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			w := c.send(importPath, signed(smallSquad)...)
			lock.Lock()
			defer lock.Unlock()
			status[w.Code]++
		})
	}
	all.Wait()
	if status[http.StatusOK] == 0 || status[http.StatusOK]+status[http.StatusConflict] != 8 {
		t.Errorf("%v", slices.Collect(maps.Keys(status)))
	}
	once := servedClub(t)
	saved3(t, once.service, smallSquad)
	same(t, "table", written(t, c.service, "csv"), written(t, once.service, "csv"))
	same(t, "athletes", len(c.holdings(t).Athletes), 3)
	for i, m := range c.holdings(t).Measures {
		if len(m) > 1 {
			t.Errorf("athlete %d has %d masses", i, len(m))
		}
	}
}

// everyFileIsTakenWholeOrNotAtAll: whatever a file holds, it is saved as the
// preview says or refused with a reason, and comes back from the export.
func everyFileIsTakenWholeOrNotAtAll(t *testing.T, file string) {
	c := servedClub(t)
	saved3(t, c.service, smallSquad)
	before := c.holdings(t)
	look := c.send(previewPath, fileOf(file))
	if diff := cmp.Diff(before, c.holdings(t)); diff != "" {
		t.Fatalf("a look changed %s", diff)
	}
	if look.Code != http.StatusOK {
		if p := problem(t, look, http.StatusUnprocessableEntity); p.Detail == "" {
			t.Fatal("refused without a reason")
		}
		problem(t, c.send(importPath, signed(file, part{"leave_out", "", "true"})...), http.StatusUnprocessableEntity)
	} else {
		plan := decoded[api.SquadImport](t, look.Body.Bytes())
		if len(plan.Problems) > 0 {
			p := problem(t, c.send(importPath, signed(file)...), http.StatusUnprocessableEntity)
			for _, f := range p.Errors {
				if f.Row < 1 || f.Detail == "" {
					t.Fatalf("no place in %+v", f)
				}
			}
			if diff := cmp.Diff(before, c.holdings(t)); diff != "" {
				t.Fatalf("half a file was saved: %s", diff)
			}
		}
		done := c.imported(t, signed(file, part{"leave_out", "", "true"}, part{"plan", "", plan.Plan})...)
		same(t, "done as planned", [2]any{tally(done), done.Problems}, [2]any{tally(plan), plan.Problems})
		again := c.imported(t, signed(file, part{"leave_out", "", "true"})...)
		same(t, "problems again", len(again.Problems), len(plan.Problems))
		n := tally(again)
		if got := [4]int{n[0], n[1], n[3], n[4]}; got != [4]int{} {
			t.Errorf("new and changed again: %v\n%s", got, file)
		}
		before = c.holdings(t)
	}
	for _, kind := range []string{"csv", "xlsx"} {
		c.imported(t, signed(c.send(tablePath+kind).Body.String())...)
	}
	if diff := cmp.Diff(before, c.holdings(t)); diff != "" {
		t.Fatalf("going out and in changed %s", diff)
	}
}

// squadFiles are tables to start from: good, sloppy and hostile ones.
func squadFiles(t testing.TB) []string {
	semicolons := strings.NewReplacer(",", ";", "7:02.4", "7:02,4", "72.5", "72,5")
	return []string{
		"", heading, smallSquad, "\ufeff" + semicolons.Replace(smallSquad), "sep=;\n" + semicolons.Replace(smallSquad), strings.ReplaceAll(smallSquad, "\n", "\r"),
		sheets(t, rowsOf(t, smallSquad)), sheets(t, rowsOf(t, smallSquad), [][]string{{"x"}}), sheets(t, rowsOf(t, smallSquad))[:900],
		sheetOf(t, `<row r="1">`+textCell("A1", "name")+textCell("B1", "mass_kg")+`</row><row r="2">`+textCell("A2", "Ann")+`<c r="B2"><f>1</f></c></row>`),
		"name\n\"Ann\n", "name,name\nAnn,Bea\n", "name\n\xff\n", "name\n\u0301\n'=1\n#N/A\n", "name,birth_date\nAnn Ash,\nAnn Ash,2003-01-01\nAnn Ash,2001-04-30\nann ash,\n",
		testHeading + "\nAnn Ash,2026-01-10,2000,7:02.449\n,2026-01-10,2000,7:02.5\n,2026-01-11,\"2,000\",6:23:00\n,09/01/2026,2000,302\n",
		"name,test_date,test_fixed,test_distance_m,test_time,note\nBea Birch,2026-01-10,,8000,1800,\"a\nb\"\nBea Birch,2026-01-10,time,8100,1800.0004,\n",
	}
}

func TestAwkwardTablesAreTakenWholeOrNotAtAll(t *testing.T) {
	for _, file := range squadFiles(t) {
		everyFileIsTakenWholeOrNotAtAll(t, file)
	}
}

func FuzzSquadTable(f *testing.F) {
	for _, file := range squadFiles(f) {
		f.Add(file)
	}
	f.Fuzz(everyFileIsTakenWholeOrNotAtAll)
}

// cellsOf are cells of each column, good, doubtful and bad ones.
var cellsOf = map[string][]string{
	"name":             {"", "", "Ann Ash", "ann ash", "Ánn  Ash", "Bea Birch", "Dee", "Dee", "'=1", "#N/A", "\u0301"},
	"sex":              {"", "", "f", "male", "x"},
	"birth_date":       {"", "", "", "2001-04-30", "30.4.2001", "2003-04-30", "9/1/2003", "2999-01-01"},
	"sculls":           {"", "", "yes", "no", "perhaps"},
	"port_cost_s":      {"", "", "0", "1,5", "-1"},
	"starboard_cost_s": {"", "", "0", "2", "61"},
	"mass_kg":          {"", "", "72.5", "70", "900"},
	"test_date":        {"", "2026-01-10", "2026-01-10", "10.1.2026", "2026-02-10", "1999-01-01", "x"},
	"test_fixed":       {"", "", "distance", "time", "mass"},
	"test_distance_m":  {"", "2000", "2000", "8000", "6,000", "60,000"},
	"test_time":        {"", "7:02.4", "7:02.4", "7:02.44", "30:00.0", "30:00:00", "1800.0004", "302", "1.2"},
	"test_mass_kg":     {"", "", "73", "12"},
	"note":             {"", "", "hard", "a\nb", "\a"},
}

// awkwardTable draws a table with some of the columns, in any order.
func awkwardTable(t *rapid.T) string {
	columns := rapid.Permutation(slices.Sorted(maps.Keys(cellsOf))).Draw(t, "columns")
	columns = append([]string{"name"}, slices.DeleteFunc(columns[:rapid.IntRange(3, len(columns)).Draw(t, "how many")], func(c string) bool { return c == "name" })...)
	table := [][]string{columns}
	for range rapid.IntRange(1, 12).Draw(t, "rows") {
		var row []string
		for _, c := range columns {
			row = append(row, rapid.SampledFrom(cellsOf[c]).Draw(t, c))
		}
		table = append(table, row)
	}
	return cells(table...)
}

func TestDrawnTablesAreTakenWholeOrNotAtAll(t *testing.T) {
	tables := rapid.Custom(awkwardTable)
	for seed := range 40 {
		everyFileIsTakenWholeOrNotAtAll(t, tables.Example(seed))
	}
}
