package squadfile_test

import (
	"bytes"
	"fmt"
	"maps"
	"net/http"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"thole/api/apitest"
	"thole/api/club"
	"thole/api/squadfile"
	"thole/api/store"
	"thole/api/wire"
)

func signed(table string, more ...apitest.Part) []apitest.Part {
	return append([]apitest.Part{{Name: "by", File: "", Text: "Ines"}, apitest.FileOf(table)}, more...)
}

func TestTheSquadGoesOutAsAFile(t *testing.T) {
	c := apitest.ServedClub(t)
	apitest.Saved3(t, c.Service, apitest.SmallSquad)
	for kind, media := range map[string]string{
		"csv": "text/csv; charset=utf-8", "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
	} {
		w := c.Send(apitest.TablePath + kind)
		apitest.Same(t, kind, w.Code, http.StatusOK)
		apitest.Same(t, kind+": type", w.Header().Get("Content-Type"), media)
		apitest.Same(t, kind+": name", w.Header().Get("Content-Disposition"), `attachment; filename="squad.`+kind+`"`)
		apitest.Same(t, kind+": the same again", c.Send(apitest.TablePath+kind).Body.String() == w.Body.String(), true)
		apitest.Same(t, kind+": as the page writes it", written(t, c.Service, kind) == w.Body.String(), true)
	}
	apitest.Same(t, "another kind", c.Send(apitest.TablePath+"ods").Code, http.StatusNotFound)
}

func TestAPreviewSavesNothing(t *testing.T) {
	c := apitest.ServedClub(t)
	apitest.Saved3(t, c.Service, apitest.SmallSquad)
	before := c.Holdings(t)
	w := c.Send(apitest.PreviewPath, apitest.FileOf(strings.NewReplacer("7:02.4", "7:01.0", "Cy Cedar", "Dee Durian").Replace(apitest.SmallSquad)))
	apitest.Same(t, "status", w.Code, http.StatusOK)
	plan := apitest.Decoded[squadfile.SquadImport](t, w.Body.Bytes())
	apitest.Same(t, "saved", plan.Saved, false)
	apitest.Same(t, "tally", tally(plan), [6]int{1, 0, 2, 0, 1, 2})
	apitest.Same(t, "changes", plan.Tests[0].Changes, []string{"time: 7:02.4 → 7:01.0"})
	apitest.Same(t, "rows", []int{plan.Athletes[2].Row, plan.Tests[1].Row}, []int{5, 3})
	if diff := cmp.Diff(before, c.Holdings(t)); diff != "" {
		t.Error(diff)
	}
}

func TestAnImportSaves(t *testing.T) {
	c := apitest.ServedClub(t)
	plan := c.Imported(t, signed(apitest.SmallSquad)...)
	apitest.Same(t, "saved", plan.Saved, true)
	apitest.Same(t, "tally", tally(plan), [6]int{3, 0, 0, 3})
	for _, a := range plan.Athletes {
		if onRecord, err := c.Service.Club.Athlete(t.Context(), club.AthleteRequest{ID: a.AthleteID}); err != nil || onRecord.Name != a.Name {
			t.Errorf("%+v: %+v %v", a, onRecord, err)
		}
	}
}

// TestATableWithProblemsIsRefusedWhole and says where, by row and column,
// unless the rest is wanted.
func TestATableWithProblemsIsRefusedWhole(t *testing.T) {
	c := apitest.ServedClub(t)
	table := apitest.SmallSquad + "Dee Durian,,,,,,900,,,,,,\n,,,,,,,2026-01-10,,2000,fast,,\nEve Elm,,,,,,,2026-01-10,,2000,fast,,\n"
	p := apitest.Problem(t, c.Send(apitest.ImportPath, signed(table)...), http.StatusUnprocessableEntity)
	want := []wire.FieldProblem{
		{Field: "file", Pointer: "#/file", Row: 6, Column: "mass_kg", Detail: "Row 6, mass_kg: “900” does not fit: give a number from 20 to 200."},
		{Field: "file", Pointer: "#/file", Row: 7, Column: "name", Detail: "Row 7, name: This row names nobody, and no usable athlete stands above it."},
		{Field: "file", Pointer: "#/file", Row: 8, Column: "test_time", Detail: "Row 8, test_time: “fast” is no time: write it like 6:32.4."},
	}
	if diff := cmp.Diff(want, p.Errors); diff != "" {
		t.Error(diff)
	}
	apitest.Same(t, "saved", len(c.Holdings(t).Athletes), 0)
	plan := c.Imported(t, signed(table, apitest.Part{Name: "leave_out", File: "", Text: "true"})...)
	apitest.Same(t, "left out", len(plan.Problems), 3)
	apitest.Same(t, "tally", tally(plan), [6]int{4, 0, 0, 3})
}

// TestAThousandProblemsAreToldInPart keeps the answer readable.
func TestAThousandProblemsAreToldInPart(t *testing.T) {
	p := apitest.Problem(t, apitest.ServedClub(t).Send(apitest.ImportPath, signed("name,mass_kg\n"+strings.Repeat("Ann,900\n", 1000))...), http.StatusUnprocessableEntity)
	apitest.Same(t, "told", len(p.Errors), 100)
}

// TestRefusedForms holds what is said of forms that are no good; none saves
// anything.
func TestRefusedForms(t *testing.T) {
	c := apitest.ServedClub(t)
	by, file := apitest.Part{Name: "by", File: "", Text: "Ines"}, apitest.FileOf(apitest.SmallSquad)
	for name, test := range map[string]struct {
		parts  []apitest.Part
		status int
		says   string
	}{
		"no file":         {[]apitest.Part{by}, 422, "part named file"},
		"nobody":          {[]apitest.Part{file}, 422, "Say who you are"},
		"blank signature": {[]apitest.Part{{Name: "by", File: "", Text: " "}, file}, 422, "Say who you are"},
		"two files":       {[]apitest.Part{file, by, file}, 422, "comes twice"},
		"two signatures":  {[]apitest.Part{by, by, file}, 422, "comes twice"},
		"unknown part":    {[]apitest.Part{by, {Name: "colour", File: "", Text: "red"}, file}, 422, "colour"},
		"perhaps":         {[]apitest.Part{by, file, {Name: "leave_out", File: "", Text: "perhaps"}}, 422, "true or false"},
		"long signature":  {[]apitest.Part{{Name: "by", File: "", Text: strings.Repeat("x", 5000)}, file}, 422, "too long"},
		"another plan":    {[]apitest.Part{by, file, {Name: "plan", File: "", Text: "0000"}}, 409, "have changed since"},
		"blank file":      {[]apitest.Part{by, apitest.FileOf("")}, 422, "heading"},
		"huge file":       {[]apitest.Part{by, apitest.FileOf(strings.Repeat("x", 8<<20+1))}, 413, "larger than 8 MB"},
		"a PDF":           {[]apitest.Part{by, apitest.FileOf("%PDF-1.7")}, 422, "PDF"},
		"open quote":      {[]apitest.Part{by, apitest.FileOf("name\n\"Ann\n")}, 422, "Line 2"},
	} {
		p := apitest.Problem(t, c.Send(apitest.ImportPath, test.parts...), test.status)
		if text := fmt.Sprint(p.Detail, p.Errors); !strings.Contains(text, test.says) {
			t.Errorf("%s: %s", name, text)
		}
		if test.parts = slices.DeleteFunc(test.parts, func(p apitest.Part) bool { return p.Name == "by" }); test.status == 413 || name == "open quote" {
			apitest.Problem(t, c.Send(apitest.PreviewPath, test.parts...), test.status)
		}
	}
	apitest.Problem(t, apitest.Request(http.MethodPost, apitest.ImportPath, apitest.JSONType, "{}"), http.StatusUnsupportedMediaType)
	apitest.Same(t, "saved", len(c.Holdings(t).Athletes), 0)
}

// TestFormsAreDescribed holds the parts that are described against those that
// are taken.
func TestFormsAreDescribed(t *testing.T) {
	for path, parts := range map[string][]string{apitest.PreviewPath: {"file"}, apitest.ImportPath: {"by", "file", "leave_out", "plan"}} {
		content := apitest.Operation(t, "POST "+path).RequestBody.Value.Content["multipart/form-data"]
		if content == nil {
			t.Fatalf("%s: no form is described", path)
		}
		apitest.Same(t, path, slices.Sorted(maps.Keys(content.Schema.Value.Properties)), parts)
		for _, name := range parts {
			w := apitest.ServedClub(t).Send(path, apitest.Part{Name: name, File: "", Text: "x"}, apitest.Part{Name: "colour", File: "", Text: "red"})
			if p := apitest.Problem(t, w, http.StatusUnprocessableEntity); p.Errors[0].Field != "colour" {
				t.Errorf("%s: %s is described and not known: %+v", path, name, p.Errors)
			}
		}
	}
}

// TestTheSquadTravels goes out in both forms, comes in elsewhere, goes out the
// same, and changes nothing when it comes in again.
func TestTheSquadTravels(t *testing.T) {
	home := apitest.ServedClub(t)
	if err := home.Service.Demo.FillDemo(t.Context()); err != nil {
		t.Fatal(err)
	}
	for _, kind := range []string{"csv", "xlsx"} {
		away, file := apitest.ServedClub(t), home.Send(apitest.TablePath+kind).Body.String()
		travels(t, away, kind, file)
		for _, other := range []string{"csv", "xlsx"} {
			if !bytes.Equal(home.Send(apitest.TablePath+other).Body.Bytes(), away.Send(apitest.TablePath+other).Body.Bytes()) {
				t.Errorf("%s goes out as another %s", kind, other)
			}
		}
	}
}

// travels brings a file in and checks that it goes out the same and changes
// nothing when it comes in again.
func travels(t testing.TB, away apitest.ClubServer, kind, file string) {
	t.Helper()
	plan := away.Imported(t, signed(file)...)
	apitest.Same(t, kind+": problems", told(plan), "")
	if out := away.Send(apitest.TablePath + kind).Body.String(); out != file {
		t.Errorf("%s goes out as another: %s", kind, cmp.Diff(file, out))
	}
	before := away.Holdings(t)
	n := tally(away.Imported(t, signed(file)...))
	apitest.Same(t, kind+": new and changed", [4]int{n[0], n[1], n[3], n[4]}, [4]int{})
	if diff := cmp.Diff(before, away.Holdings(t)); diff != "" {
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
	m := store.SquadMember{Body: store.Body{MassKg: mass.Draw(t, "mass"), StatureCm: rapid.Ptr(tenths(1000, 2350), true).Draw(t, "height"), ArmSpanCm: rapid.Ptr(tenths(900, 2600), true).Draw(t, "span")}, Athlete: store.Athlete{
		Name: awkwardText().Draw(t, "name"), Sex: rapid.SampledFrom([]string{"", "female", "male"}).Draw(t, "sex"),
		BirthDate: rapid.Ptr(dayAgo(4000, 30_000), true).Draw(t, "born"), PortCostS: cost.Draw(t, "port"), StarboardCostS: cost.Draw(t, "starboard"),
		Sculls: rapid.Bool().Draw(t, "sculls"), Coxes: rapid.Bool().Draw(t, "coxes"),
	}}
	m.Join = rapid.SliceOfN(rapid.SampledFrom([]string{"Men", "Women", "Under 23", "'=1"}), 0, 2).Draw(t, "squads")
	for range rapid.IntRange(0, 4).Draw(t, "tests") {
		m.Tests = append(m.Tests, store.ErgTest{
			TestedOn: dayAgo(0, 3000).Draw(t, "day"), Fixed: rapid.SampledFrom([]string{"distance", "time"}).Draw(t, "fixed"),
			DistanceM: tenths(500, 200_000).Draw(t, "distance"), TimeS: float64(rapid.IntRange(5000, 86_400_000).Draw(t, "time")) / 1000,
			MassKg: mass.Draw(t, "mass then"), Note: awkwardText().Draw(t, "note"),
		})
	}
	return m
}

// TestEverySquadTravels: whatever the records hold goes out and comes back.
func TestEverySquadTravels(t *testing.T) {
	squads := rapid.SliceOfN(rapid.Custom(drawnMember), 5, 20)
	for seed := range 12 {
		home := apitest.ServedClub(t)
		for _, m := range squads.Example(seed) {
			home.Join(t, m)
		}
		before := home.Holdings(t)
		for _, kind := range []string{"csv", "xlsx"} {
			file := home.Send(apitest.TablePath + kind).Body.String()
			travels(t, apitest.ServedClub(t), kind, file)
			apitest.Same(t, kind+" at home", told(home.Imported(t, signed(file)...)), "")
			if diff := cmp.Diff(before, home.Holdings(t)); diff != "" {
				t.Fatalf("%d, %s at home: %s", seed, kind, diff)
			}
		}
	}
}

// TestAPlanHoldsOnlyWhileTheRecordsStandStill: what somebody else has written
// since the look is not written over.
func TestAPlanHoldsOnlyWhileTheRecordsStandStill(t *testing.T) {
	c := apitest.ServedClub(t)
	apitest.Saved3(t, c.Service, apitest.SmallSquad)
	table := strings.Replace(apitest.SmallSquad, ",0,1.5,", ",0,2,", 1)
	look := func() apitest.Part {
		return apitest.Part{Name: "plan", File: "", Text: apitest.Decoded[squadfile.SquadImport](t, c.Send(apitest.PreviewPath, apitest.FileOf(table)).Body.Bytes()).Plan}
	}
	plan := look()
	apitest.Same(t, "the plan of the same look", look(), plan)
	ann := c.Holdings(t).Athletes[0]
	edit := club.AthleteEdit{ID: ann.ID, Version: ann.Version, AthleteFields: club.AthleteFields{
		Name: ann.Name, Sex: ann.Sex, BirthDate: ann.BirthDate, PortCostS: ann.PortCostS, StarboardCostS: new(1.0), Sculls: ann.Sculls,
	}, By: "Bram"}
	if _, err := c.Service.Club.UpdateAthlete(t.Context(), edit); err != nil {
		t.Fatal(err)
	}
	before := c.Holdings(t)
	apitest.Problem(t, c.Send(apitest.ImportPath, signed(table, plan)...), http.StatusConflict)
	if diff := cmp.Diff(before, c.Holdings(t)); diff != "" {
		t.Error(diff)
	}
	done := c.Imported(t, signed(table, look())...)
	apitest.Same(t, "what", done.Athletes[0].Changes, []string{"starboard costs: 1 s → 2 s"})
	apitest.Problem(t, c.Send(apitest.ImportPath, signed(table, plan)...), http.StatusConflict)
	apitest.Same(t, "another table under the plan", c.Send(apitest.ImportPath, signed(apitest.SmallSquad, look())...).Code, http.StatusConflict)
}

// TestManyBringTheSameSquadIn at once: it is on record once, and who came too
// late is told.
func TestManyBringTheSameSquadIn(t *testing.T) {
	c := apitest.ServedClub(t)
	status := map[int]int{}
	var lock sync.Mutex
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			w := c.Send(apitest.ImportPath, signed(apitest.SmallSquad)...)
			lock.Lock()
			defer lock.Unlock()
			status[w.Code]++
		})
	}
	all.Wait()
	if status[http.StatusOK] == 0 || status[http.StatusOK]+status[http.StatusConflict] != 8 {
		t.Errorf("%v", slices.Collect(maps.Keys(status)))
	}
	once := apitest.ServedClub(t)
	apitest.Saved3(t, once.Service, apitest.SmallSquad)
	apitest.Same(t, "table", written(t, c.Service, "csv"), written(t, once.Service, "csv"))
	apitest.Same(t, "athletes", len(c.Holdings(t).Athletes), 3)
	for i, m := range c.Holdings(t).Measures {
		if len(m) > 1 {
			t.Errorf("athlete %d has %d masses", i, len(m))
		}
	}
}

// everyFileIsTakenWholeOrNotAtAll: whatever a file holds, it is saved as the
// preview says or refused with a reason, and comes back from the export.
func everyFileIsTakenWholeOrNotAtAll(t *testing.T, file string) {
	c := apitest.ServedClub(t)
	apitest.Saved3(t, c.Service, apitest.SmallSquad)
	before := c.Holdings(t)
	look := c.Send(apitest.PreviewPath, apitest.FileOf(file))
	if diff := cmp.Diff(before, c.Holdings(t)); diff != "" {
		t.Fatalf("a look changed %s", diff)
	}
	if look.Code != http.StatusOK {
		if p := apitest.Problem(t, look, http.StatusUnprocessableEntity); p.Detail == "" {
			t.Fatal("refused without a reason")
		}
		apitest.Problem(t, c.Send(apitest.ImportPath, signed(file, apitest.Part{Name: "leave_out", File: "", Text: "true"})...), http.StatusUnprocessableEntity)
	} else {
		plan := apitest.Decoded[squadfile.SquadImport](t, look.Body.Bytes())
		if len(plan.Problems) > 0 {
			p := apitest.Problem(t, c.Send(apitest.ImportPath, signed(file)...), http.StatusUnprocessableEntity)
			for _, f := range p.Errors {
				if f.Row < 1 || f.Detail == "" {
					t.Fatalf("no place in %+v", f)
				}
			}
			if diff := cmp.Diff(before, c.Holdings(t)); diff != "" {
				t.Fatalf("half a file was saved: %s", diff)
			}
		}
		done := c.Imported(t, signed(file, apitest.Part{Name: "leave_out", File: "", Text: "true"}, apitest.Part{Name: "plan", File: "", Text: plan.Plan})...)
		apitest.Same(t, "done as planned", [2]any{tally(done), done.Problems}, [2]any{tally(plan), plan.Problems})
		again := c.Imported(t, signed(file, apitest.Part{Name: "leave_out", File: "", Text: "true"})...)
		apitest.Same(t, "problems again", len(again.Problems), len(plan.Problems))
		n := tally(again)
		if got := [4]int{n[0], n[1], n[3], n[4]}; got != [4]int{} {
			t.Errorf("new and changed again: %v\n%s", got, file)
		}
		before = c.Holdings(t)
	}
	for _, kind := range []string{"csv", "xlsx"} {
		c.Imported(t, signed(c.Send(apitest.TablePath+kind).Body.String())...)
	}
	if diff := cmp.Diff(before, c.Holdings(t)); diff != "" {
		t.Fatalf("going out and in changed %s", diff)
	}
}

// squadFiles are tables to start from: good, sloppy and hostile ones.
func squadFiles(t testing.TB) []string {
	semicolons := strings.NewReplacer(",", ";", "7:02.4", "7:02,4", "72.5", "72,5")
	return []string{
		"", apitest.Heading, apitest.SmallSquad, "\ufeff" + semicolons.Replace(apitest.SmallSquad), "sep=;\n" + semicolons.Replace(apitest.SmallSquad), strings.ReplaceAll(apitest.SmallSquad, "\n", "\r"),
		apitest.Sheets(t, apitest.RowsOf(t, apitest.SmallSquad)), apitest.Sheets(t, apitest.RowsOf(t, apitest.SmallSquad), [][]string{{"x"}}), apitest.Sheets(t, apitest.RowsOf(t, apitest.SmallSquad))[:900],
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
