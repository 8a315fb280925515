package squadfile_test

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"testing"
	"unicode/utf16"

	"golang.org/x/text/encoding/charmap"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"

	"thole/api"
	"thole/api/apitest"
	"thole/api/club"
	"thole/api/records"
	"thole/api/rest"
	"thole/api/squadfile"
	"thole/api/storetest"
	out "thole/api/table"
	"thole/api/wire"
)

// squadService is a service over records of its own.
func squadService(t testing.TB) *api.Service {
	t.Helper()
	s := api.NewService(storetest.Open(t))
	t.Cleanup(s.Close)
	return s
}

func looked(t testing.TB, s *api.Service, table string) squadfile.SquadImport {
	t.Helper()
	plan, err := s.Squadfile.Read(t.Context(), strings.NewReader(table))
	if err != nil {
		t.Fatal(err)
	}
	return plan
}

// tally counts what a table brings: new, changed and known athletes, then
// tests.
func tally(plan squadfile.SquadImport) [6]int {
	at := map[string]int{"new": 0, "changed": 1, "known": 2}
	var n [6]int
	for _, a := range plan.Athletes {
		n[at[a.Action]]++
	}
	for _, x := range plan.Tests {
		n[3+at[x.Action]]++
	}
	return n
}

func written(t testing.TB, s *api.Service, kind string) string {
	t.Helper()
	var b bytes.Buffer
	if err := s.Squadfile.Write(t.Context(), kind, &b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestLookingSavesNothing(t *testing.T) {
	s := squadService(t)
	plan := looked(t, s, apitest.SmallSquad)
	apitest.Same(t, "tally", tally(plan), [6]int{3, 0, 0, 3, 0, 0})
	apitest.Same(t, "saved", plan.Saved, false)
	list, err := s.Club.Athletes(t.Context(), records.ListRequest{})
	if err != nil || len(list.Athletes) != 0 {
		t.Errorf("%v %v", list, err)
	}
}

func TestATableComesIn(t *testing.T) {
	s := squadService(t)
	plan := apitest.Saved3(t, s, apitest.SmallSquad)
	apitest.Same(t, "saved", plan.Saved, true)
	apitest.Same(t, "problems", len(plan.Problems), 0)
	rows, err := csv.NewReader(strings.NewReader(written(t, s, "csv"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	want := [][]string{
		append(strings.Split(strings.TrimSpace(apitest.Heading), ","), "birth_year", "coxes", "squads", "height_cm", "arm_span_cm", "sitting_height_cm"),
		{"Ann Ash", "female", "2001-04-30", "yes", "0", "1.5", "72.5", "2026-02-10", "distance", "6000", "22:30.0", "", "", "", "no", "", "", "", ""},
		{"Ann Ash", "female", "2001-04-30", "yes", "0", "1.5", "72.5", "2026-01-10", "distance", "2000", "7:02.4", "73", "hard", "", "no", "", "", "", ""},
		{"Bea Birch", "female", "", "no", "", "0", "", "2026-01-10", "time", "8000", "30:00.0", "", "", "", "no", "", "", "", ""},
		{"Cy Cedar", "male", "1999-12-01", "no", "0", "", "88", "", "", "", "", "", "", "", "no", "", "", "", ""},
	}
	if diff := cmp.Diff(want, rows); diff != "" {
		t.Error(diff)
	}
}

// TestRoundTripChangesNothing takes the demo club out and brings it in again,
// in both forms.
func TestRoundTripChangesNothing(t *testing.T) {
	s := apitest.DemoService(t)
	before := written(t, s, "csv")
	for _, kind := range []string{"csv", "xlsx"} {
		plan := apitest.Saved3(t, s, written(t, s, kind))
		n := tally(plan)
		if n[0]+n[1]+n[3]+n[4] != 0 || n[2] < 20 || n[5] < 20 || len(plan.Problems) != 0 {
			t.Errorf("%s: %v, %v", kind, n, plan.Problems)
		}
		if diff := cmp.Diff(before, written(t, s, "csv")); diff != "" {
			t.Errorf("%s: %s", kind, diff)
		}
	}
}

func TestTheDemoComesOverToAnotherClub(t *testing.T) {
	s, other := apitest.DemoService(t), squadService(t)
	apitest.Saved3(t, other, written(t, s, "xlsx"))
	if diff := cmp.Diff(written(t, s, "csv"), written(t, other, "csv")); diff != "" {
		t.Error(diff)
	}
}

func TestComingInAgainUpdates(t *testing.T) {
	s := squadService(t)
	apitest.Saved3(t, s, apitest.SmallSquad)
	apitest.Same(t, "the same again", tally(apitest.Saved3(t, s, apitest.SmallSquad)), [6]int{0, 0, 3, 0, 0, 3})
	changed := strings.NewReplacer("7:02.4", "7:01.9", "Cy Cedar,m,1999-12-01,,0,,88", "cy  cedar,m,1999-12-01,,0,2,89").Replace(apitest.SmallSquad)
	plan := apitest.Saved3(t, s, changed)
	apitest.Same(t, "changed", tally(plan), [6]int{0, 1, 2, 0, 1, 2})
	apitest.Same(t, "what", plan.Athletes[2].Changes, []string{"starboard costs: nothing → 2 s", "mass: 88 kg → 89 kg"})
	table := written(t, s, "csv")
	for _, text := range []string{"7:01.9", "Cy Cedar,male,1999-12-01,no,0,2,89"} {
		if !strings.Contains(table, text) {
			t.Errorf("no %q in %s", text, table)
		}
	}
	apitest.Same(t, "rows", strings.Count(table, "\n"), 5)
}

func TestBlankCellsChangeNothing(t *testing.T) {
	s := squadService(t)
	apitest.Saved3(t, s, apitest.SmallSquad)
	before := written(t, s, "csv")
	apitest.Same(t, "tally", tally(apitest.Saved3(t, s, "name\nAnn Ash\nBea Birch\n")), [6]int{0, 0, 2, 0, 0, 0})
	apitest.Same(t, "table", written(t, s, "csv"), before)
}

func TestWaysToWriteATable(t *testing.T) {
	plain := squadService(t)
	apitest.Saved3(t, plain, apitest.SmallSquad)
	want := written(t, plain, "csv")
	semicolons := strings.NewReplacer(",", ";", "7:02.4", "7:02,4", "72.5", "72,5", "1.5", "1,5", "22:30.0", "22:30,0").Replace(apitest.SmallSquad)
	for name, table := range map[string]string{
		"byte order mark":    "\ufeff" + apitest.SmallSquad,
		"decimal comma":      semicolons,
		"mark and semicolon": "\ufeff" + semicolons,
		"tabs":               strings.ReplaceAll(apitest.SmallSquad, ",", "\t"),
		"windows lines":      strings.ReplaceAll(apitest.SmallSquad, "\n", "\r\n"),
		"blank lines":        strings.ReplaceAll(apitest.SmallSquad, "\n", "\n,,,,,,,,,,,,\n"),
		"spaced heading":     strings.Replace(apitest.SmallSquad, "birth_date", " Birth Date ", 1),
		"spreadsheet":        apitest.Sheets(t, apitest.RowsOf(t, apitest.SmallSquad)),
	} {
		s := squadService(t)
		plan := apitest.Saved3(t, s, table)
		if diff := cmp.Diff(want, written(t, s, "csv")); diff != "" || len(plan.Problems) != 0 {
			t.Errorf("%s: %v %s", name, plan.Problems, diff)
		}
	}
}

// TestOnlyTheFirstSheetIsRead says so, lest the others are missed.
func TestOnlyTheFirstSheetIsRead(t *testing.T) {
	s := squadService(t)
	plan := looked(t, s, apitest.Sheets(t, apitest.RowsOf(t, apitest.SmallSquad), [][]string{{"name"}, {"Dee Durian"}}))
	apitest.Same(t, "athletes", len(plan.Athletes), 3)
	if len(plan.Problems) != 1 || !strings.Contains(plan.Problems[0].Text, "Sheet1") {
		t.Errorf("%v", plan.Problems)
	}
}

// TestSpreadsheetNumbersAndDays: spreadsheets keep days and times as numbers.
func TestSpreadsheetNumbersAndDays(t *testing.T) {
	f := excelize.NewFile()
	days, err := f.NewStyle(&excelize.Style{NumFmt: 14})
	if err != nil {
		t.Fatal(err)
	}
	set := func(at string, v any) {
		if err := f.SetCellValue("Sheet1", at, v); err != nil {
			t.Fatal(err)
		}
	}
	for i, name := range []string{"name", "mass_kg", "test_date", "test_distance_m", "test_time"} {
		at, _ := excelize.CoordinatesToCellName(i+1, 1)
		set(at, name)
	}
	set("A2", "Ann")
	set("B2", 72.5)
	set("C2", 46032) // 2026-01-10 counted from 1899-12-30
	set("D2", 2000)
	set("E2", "7:02.4")
	if err := f.SetCellStyle("Sheet1", "C2", "C2", days); err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if _, err := f.WriteTo(&b); err != nil {
		t.Fatal(err)
	}
	plan := looked(t, squadService(t), b.String())
	if len(plan.Tests) != 1 || plan.Tests[0].Date != "2026-01-10" || !strings.Contains(plan.Tests[0].Test, "7:02.4") {
		t.Errorf("%+v %+v", plan.Tests, plan.Problems)
	}
}

// TestEveryEncodingOfATable brings the same club in as spreadsheets and editors
// write text.
func TestEveryEncodingOfATable(t *testing.T) {
	const table = "name;sex;mass_kg;squads;height_cm\nJosé Müller;m;72,5;Männer;184\nŽofie Łuka;f;;Frauen;\n"
	latin := strings.NewReplacer("Ž", "Z", "Ł", "L").Replace(table)
	utf16 := func(text string, mark bool, big bool) string {
		var b strings.Builder
		if mark {
			text = "\ufeff" + text
		}
		for _, u := range utf16.Encode([]rune(text)) {
			low, high := byte(u), byte(u>>8)
			if big {
				low, high = high, low
			}
			b.Write([]byte{low, high})
		}
		return b.String()
	}
	ansi, err := charmap.Windows1252.NewEncoder().String(latin)
	if err != nil {
		t.Fatal(err)
	}
	for name, file := range map[string]string{
		"UTF-8": table, "UTF-8 with a mark": "\ufeff" + table, "UTF-16 little": utf16(table, true, false), "UTF-16 big": utf16(table, true, true),
		"UTF-16 without a mark": utf16(table, false, false), "Windows-1252": ansi, "tabs": strings.ReplaceAll(table, ";", "\t"),
	} {
		plan := looked(t, squadService(t), file)
		if len(plan.Athletes) != 2 || plan.Athletes[0].Name != "José Müller" {
			t.Errorf("%s: %+v %+v", name, plan.Athletes, plan.Problems)
		}
	}
}

// TestWhatAClubKnowsOfAnAthleteComesIn holds squads, body, birth year and cox, in
// and out, and that a second time changes nothing.
func TestWhatAClubKnowsOfAnAthleteComesIn(t *testing.T) {
	s := squadService(t)
	const table = "name,birth_year,coxes,squads,mass_kg,height_cm,arm_span_cm,sitting_height_cm\nAnn Ash,2004,yes,Senior women; Under 23,72.5,181,183.5,92\nBea Birch,,,under 23,,,,\n"
	apitest.Saved3(t, s, table)
	out := written(t, s, "csv")
	if !strings.Contains(out, ",2004,yes,Senior women; Under 23,181,183.5,92") || !strings.Contains(out, "no,Under 23,") {
		t.Errorf("out comes\n%s", out)
	}
	for name, file := range map[string]string{"the table": table, "the export": out} {
		for _, a := range looked(t, s, file).Athletes {
			if a.Action != "known" {
				t.Errorf("%s again: %+v", name, a)
			}
		}
	}
	plan := looked(t, s, "name,height_cm,squads\nAnn Ash,182,Trialists\n")
	if got := fmt.Sprint(plan.Athletes[0].Changes); got != "[height: 181 cm → 182 cm joins Trialists]" {
		t.Errorf("changes %s", got)
	}
}

// TestFilesThatAreNoTable holds what the refusals say.
func TestFilesThatAreNoTable(t *testing.T) {
	s := squadService(t)
	for name, c := range map[string]struct{ file, says string }{
		"nothing":         {"", "heading and at least one row"},
		"heading alone":   {apitest.Heading, "heading and at least one row"},
		"no name column":  {"who,mass_kg\nAnn,70\n", "none is called name"},
		"a PDF":           {"%PDF-1.7\n1 0 obj", "PDF"},
		"old spreadsheet": {"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "old spreadsheet"},
		"cut UTF-16":      {"\xff\xfen\x00a\x00m", "cut off or damaged"},
		"OpenDocument":    {zipped(t, "content.xml", 10), ".ods"},
		"Numbers":         {zipped(t, "Index/Document.iwa", 10), ".numbers"},
		"a picture":       {"\x89PNG\r\n\x1a\n\x00\x00", "UTF-8"},
		"torn archive":    {"PK\x03\x04 and no more", "cannot be opened"},
		"other archive":   {zipped(t, "letter.txt", 10), "cannot be opened"},
		"zip bomb":        {zipped(t, "xl/worksheets/sheet1.xml", 200<<20), "cannot be opened"},
		"endless":         {"name\n" + strings.Repeat("A\n", 20_001), "more than 20000 rows"},
		"one line":        {"name,2k\n" + strings.Repeat("Ann,", 100_000), "Line 2 is longer than a row"},
		"open quote":      {"name\n\"Ann\n", "cannot be read"},
	} {
		_, err := s.Squadfile.Read(t.Context(), strings.NewReader(c.file))
		var bad *wire.Unreadable
		if !errors.As(err, &bad) || !strings.Contains(bad.Text, c.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
	_, err := s.Squadfile.Read(t.Context(), strings.NewReader(apitest.Heading+strings.Repeat("x", 9<<20)))
	if p := rest.Explain(err); p.Status != http.StatusRequestEntityTooLarge || p.Detail != "The file is larger than 8 MB." {
		t.Errorf("huge: %+v", p)
	}
}

// zipped is an archive of one file of n zeros.
func zipped(t testing.TB, name string, n int) string {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	f, err := w.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.Write(make([]byte, n)); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// TestRowsThatCannotBeUsed holds where and how they are told; the others come
// in.
func TestRowsThatCannotBeUsed(t *testing.T) {
	for name, c := range map[string]struct{ row, column, says string }{
		"no such day":     {"Dee,,,,,,,2026-02-31,,2000,7:00.0,,", "test_date", "day"},
		"day to come":     {"Dee,,,,,,,2999-02-01,,2000,7:00.0,,", "test_date", "to come"},
		"no time":         {"Dee,,,,,,,2026-02-01,,2000,,,", "test_time", ""},
		"words for time":  {"Dee,,,,,,,2026-02-01,,2000,fast,,", "test_time", "6:32.4"},
		"no distance":     {"Dee,,,,,,,2026-02-01,,,7:00.0,,", "test_distance_m", "how far"},
		"distance of 5":   {"Dee,,,,,,,2026-02-01,,5,7:00.0,,", "test_distance_m", "does not fit"},
		"fixed what":      {"Dee,,,,,,,2026-02-01,weight,2000,7:00.0,,", "test_fixed", "distance or time"},
		"mass of lead":    {"Dee,,,,,,900,,,,,,", "mass_kg", "does not fit"},
		"negative side":   {"Dee,,,,-1,,,,,,,,", "port_cost_s", "does not fit"},
		"sex":             {"Dee,x,,,,,,,,,,,", "sex", ""},
		"birth to come":   {"Dee,,2999-01-01,,,,,,,,,,", "birth_date", ""},
		"yes or no":       {"Dee,,,perhaps,,,,,,,,,", "sculls", "yes or no"},
		"nobody":          {",,,,,,,2026-02-01,,2000,7:00.0,,", "name", ""},
		"endless name":    {strings.Repeat("x", 200) + ",,,,,,,,,,,,", "name", "80"},
		"not a number":    {"Dee,,,,NaN,,,,,,,,", "port_cost_s", "does not fit"},
		"endless note":    {"Dee,,,,,,,2026-02-01,,2000,7:00.0,," + strings.Repeat("x", 3000), "note", "2000"},
		"unknown columns": {"", "", ""},
	} {
		t.Run(name, func(t *testing.T) {
			table := apitest.Heading + c.row + "\nAnn Ash,,,,0,,,,,,,,\n"
			if c.row == "" {
				table, c.column, c.says = "name,shoe\nAnn Ash,43\n", "shoe", "not known"
			}
			plan := looked(t, squadService(t), table)
			if len(plan.Problems) != 1 || plan.Problems[0].Column != c.column || !strings.Contains(plan.Problems[0].Text, c.says) {
				t.Errorf("%+v", plan.Problems)
			}
			if last := plan.Athletes[len(plan.Athletes)-1]; last.Name != "Ann Ash" {
				t.Errorf("the other row is lost: %+v", plan.Athletes)
			}
		})
	}
}

// TestRowNumbersAreTheFiles counts from the heading, blank lines and all.
func TestRowNumbersAreTheFiles(t *testing.T) {
	plan := looked(t, squadService(t), apitest.Heading+"Ann,,,,,,,,,,,,\n\n,,,,,,,,,,,,\nBea,,,,,,900,,,,,,\n")
	if len(plan.Problems) != 1 || plan.Problems[0].Row != 5 {
		t.Errorf("%+v", plan.Problems)
	}
}

// TestDoubtfulTimesAreFlagged: three hours two minutes, or 3:02?
func TestDoubtfulTimesAreFlagged(t *testing.T) {
	for time, doubt := range map[string]bool{"302": true, "3:02": true, "7:02.4": false, "0:07:02.4": false} {
		plan := looked(t, squadService(t), apitest.Heading+"Ann,,,,,,,2026-02-01,,2000,"+time+",,\n")
		if len(plan.Tests) != 1 || (plan.Tests[0].Doubt != "") != doubt {
			t.Errorf("%s: %+v %+v", time, plan.Tests, plan.Problems)
		}
	}
	plan := looked(t, squadService(t), apitest.Heading+"Ann,,,,,,,2026-02-01,,1000,302,,\n")
	if len(plan.Tests) != 1 || !strings.Contains(plan.Tests[0].Doubt, "3:02") {
		t.Errorf("302 over 1000 m: %+v %+v", plan.Tests, plan.Problems)
	}
}

func TestNamesakes(t *testing.T) {
	s := squadService(t)
	table := "name,birth_date,mass_kg\nAnn Ash,2001-04-30,70\nAnn Ash,2003-04-30,71\n"
	apitest.Same(t, "both are new", tally(apitest.Saved3(t, s, table)), [6]int{2})
	apitest.Same(t, "both are known", tally(apitest.Saved3(t, s, table)), [6]int{0, 0, 2})
	plan := looked(t, s, "name\nAnn Ash\n")
	if len(plan.Problems) != 1 || !strings.Contains(plan.Problems[0].Text, "birth date") {
		t.Errorf("%+v", plan.Problems)
	}
}

// TestTheSameTestTwiceIsToldOnce: two rows of one day and distance are one
// test, and the table contradicts itself.
func TestTheSameTestTwice(t *testing.T) {
	s := squadService(t)
	plan := apitest.Saved3(t, s, apitest.Heading+"Ann,,,,,,,2026-02-01,,2000,7:00.0,,\n,,,,,,,2026-02-01,,2000,7:05.0,,\n")
	if len(plan.Tests) != 1 || len(plan.Problems) != 1 || plan.Problems[0].Row != 3 {
		t.Errorf("%+v %+v", plan.Tests, plan.Problems)
	}
}

// TestNamesThatSpreadsheetsWouldRun are written so that none does, and come
// back as they were.
func TestNamesThatSpreadsheetsWouldRun(t *testing.T) {
	names := []string{`=HYPERLINK("http://example.org")`, "+1 Ann", "@Bea", "-Cy", "'Dee", "'=1+1"}
	s := squadService(t)
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	_ = w.Write([]string{"name"})
	for _, n := range names {
		_ = w.Write([]string{n})
	}
	w.Flush()
	apitest.Saved3(t, s, b.String())
	for _, row := range apitest.RowsOf(t, written(t, s, "csv"))[1:] {
		if strings.ContainsRune("=+-@\t\r", rune(row[0][0])) {
			t.Errorf("%q is written as a formula", row[0])
		}
	}
	for _, kind := range []string{"csv", "xlsx"} {
		plan := looked(t, s, written(t, s, kind))
		apitest.Same(t, kind, tally(plan), [6]int{0, 0, len(names), 0, 0, 0})
	}
	f, err := excelize.OpenReader(strings.NewReader(written(t, s, "xlsx")))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for i := range names {
		if formula, _ := f.GetCellFormula(f.GetSheetName(0), fmt.Sprintf("A%d", i+2)); formula != "" {
			t.Errorf("formula %q", formula)
		}
	}
}

func TestOtherKindsAreNotWritten(t *testing.T) {
	if err := squadService(t).Squadfile.Write(t.Context(), "pdf", &bytes.Buffer{}); !errors.Is(err, wire.ErrNotFound) {
		t.Error(err)
	}
}

func TestSavingASquadIsSigned(t *testing.T) {
	_, err := squadService(t).Squadfile.Save(t.Context(), strings.NewReader(apitest.SmallSquad), " ")
	var bad *wire.Invalid
	if !errors.As(err, &bad) || bad.Fields[0].Field != "by" {
		t.Error(err)
	}
}

func BenchmarkReadSquad(b *testing.B) {
	s := squadService(b)
	var table strings.Builder
	table.WriteString(apitest.Heading)
	for i := range 500 {
		fmt.Fprintf(&table, "Athlete %d,f,2001-04-30,yes,0,1.5,72.5,2026-01-10,distance,2000,7:02.4,73,\n", i)
	}
	apitest.Saved3(b, s, table.String())
	b.ResetTimer()
	for b.Loop() {
		looked(b, s, table.String())
	}
}

// TestTheListOfAthletesComesInAgain takes the list of athletes out and brings it
// in again: nothing changes, and of a mended copy that alone.
func TestTheListOfAthletesComesInAgain(t *testing.T) {
	s := apitest.DemoService(t)
	before := written(t, s, "csv")
	list, _, err := s.Club.AthleteTable(t.Context(), club.AthleteListRequest{})
	if err != nil {
		t.Fatal(err)
	}
	extra := []string{"given_name", "family_name", "age_years", "stature_cm", "measured_on", "athlete_note"}
	for _, format := range out.Formats {
		body, err := format.File(&list)
		if err != nil {
			t.Fatal(err)
		}
		plan := apitest.Saved3(t, s, string(body))
		if n := tally(plan); n[0]+n[1]+n[3]+n[4]+n[5] != 0 || n[2] != list.Len() || n[2] < 20 {
			t.Errorf("%s: %v", format.Name, n)
		}
		for _, p := range plan.Problems {
			if !slices.Contains(extra, p.Column) {
				t.Errorf("%s: %+v", format.Name, p)
			}
		}
		if diff := cmp.Diff(before, written(t, s, "csv")); diff != "" {
			t.Errorf("%s: %s", format.Name, diff)
		}
	}
}
