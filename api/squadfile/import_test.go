package squadfile_test

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"

	"thole/api/apitest"
	"thole/api/club"
	"thole/api/records"
	"thole/api/squadfile"
	"thole/api/wire"
)

// told joins the problems of a plan, one a line: row, column, text.
func told(plan squadfile.SquadImport) string {
	var lines []string
	for _, p := range plan.Problems {
		lines = append(lines, fmt.Sprintf("%d %s: %s", p.Row, p.Column, p.Text))
	}
	return strings.Join(lines, "\n")
}

// cells writes rows as CSV, so that no test needs to mind quotation marks.
func cells(rows ...[]string) string {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	_ = w.WriteAll(rows) // a buffer takes everything
	return b.String()
}

const testHeading = "name,test_date,test_distance_m,test_time"

// TestNamesMatchAsTheRecordsDo: the records take names that differ in accents
// for one, and so must a table, or it could not come in.
func TestNamesMatchAsTheRecordsDo(t *testing.T) {
	s := squadService(t)
	apitest.Saved3(t, s, "name,mass_kg\nJosé Müller,80\n")
	apitest.Same(t, "without accents", tally(looked(t, s, "name\nJose Muller\n")), [6]int{0, 0, 1})
	other := squadService(t)
	plan := apitest.Saved3(t, other, testHeading+"\nJosé,2026-01-10,2000,7:00.0\nJose,2026-01-11,2000,7:01.0\n")
	apitest.Same(t, "twice in a table", tally(plan), [6]int{1, 0, 0, 2})
}

// TestAnAthleteNeedsAName: marks alone are none, and signs that no file can
// hold would not come back.
func TestAnAthleteNeedsAName(t *testing.T) {
	for _, name := range []string{"\u0301", "Ann\u0007", "Ann\uffff", "Ann\nAsh", "#N/A", "#REF!"} {
		s := squadService(t)
		plan := apitest.Saved3(t, s, cells([]string{"name"}, []string{name}, []string{"Bea"}))
		if len(plan.Athletes) != 1 || len(plan.Problems) != 1 || plan.Problems[0].Row != 2 || plan.Problems[0].Column != "name" {
			t.Errorf("%q: %+v %s", name, plan.Athletes, told(plan))
		}
	}
}

func TestNamesWithApostrophesComeBack(t *testing.T) {
	s, names := squadService(t), []string{"Aoife O'Brien", "Bea D’Arcy", "Cor 't Hooft", "'t Hart", "Nuala Ní Dhomhnaill", "=Ann", "''Eve", "'=Eve", `Ann "Andy" Ash`, "Ash, Ann", "sep=;", "Łucja-Ø"}
	rows := [][]string{{"name"}}
	for _, n := range names {
		rows = append(rows, []string{n})
	}
	for _, kind := range []string{"csv", "xlsx"} {
		if kind == "xlsx" {
			apitest.Saved3(t, s, apitest.Sheets(t, rows))
		} else {
			// A leading apostrophe before =, +, -, @ and ' is a guard.
			apitest.Saved3(t, s, strings.NewReplacer("''Eve", "'''Eve", "'=Eve", "''=Eve").Replace(cells(rows...)))
		}
		list, err := s.Club.Athletes(t.Context(), records.ListRequest{})
		if err != nil {
			t.Fatal(err)
		}
		apitest.Same(t, kind+": athletes", len(list.Athletes), len(names))
		apitest.Same(t, kind+": tally", tally(looked(t, s, written(t, s, kind))), [6]int{0, 0, len(names)})
	}
}

// TestAChangedMassIsTold: it is written as measured today, so the look must
// say so.
func TestAChangedMassIsTold(t *testing.T) {
	s := squadService(t)
	apitest.Saved3(t, s, apitest.SmallSquad)
	changed := strings.Replace(apitest.SmallSquad, ",72.5,", ",73.1,", 1)
	plan := looked(t, s, changed)
	apitest.Same(t, "tally", tally(plan), [6]int{0, 1, 2, 0, 0, 3})
	apitest.Same(t, "what", plan.Athletes[0].Changes, []string{"mass: 72.5 kg → 73.1 kg"})
	apitest.Saved3(t, s, changed)
	apitest.Same(t, "again", tally(apitest.Saved3(t, s, changed)), [6]int{0, 0, 3, 0, 0, 3})
}

func TestAChangedSideCostIsTold(t *testing.T) {
	s := squadService(t)
	apitest.Saved3(t, s, apitest.SmallSquad)
	plan := apitest.Saved3(t, s, strings.Replace(apitest.SmallSquad, ",0,1.5,", ",0.5,0,", 1))
	apitest.Same(t, "what", plan.Athletes[0].Changes, []string{"port costs: 0 s → 0.5 s", "starboard costs: 1.5 s → 0 s"})
	if table := written(t, s, "csv"); !strings.Contains(table, "Ann Ash,female,2001-04-30,yes,0.5,0,") {
		t.Error(table)
	}
}

// TestBlankCellsOfATestChangeNothing: the mass of the day and the note stay
// when a table comes that lacks them.
func TestBlankCellsOfATestChangeNothing(t *testing.T) {
	s := squadService(t)
	apitest.Saved3(t, s, apitest.SmallSquad)
	before := written(t, s, "csv")
	bare := testHeading + "\nAnn Ash,2026-01-10,2000,7:02.4\nBea Birch,2026-01-10,8000,30:00.0\n"
	apitest.Same(t, "tally", tally(apitest.Saved3(t, s, bare)), [6]int{0, 0, 2, 0, 0, 2})
	if diff := cmp.Diff(before, written(t, s, "csv")); diff != "" {
		t.Error(diff)
	}
	apitest.Saved3(t, s, strings.Replace(bare, "7:02.4", "7:01.0", 1))
	if table := written(t, s, "csv"); !strings.Contains(table, "2026-01-10,distance,2000,7:01.0,73,hard") {
		t.Errorf("a new time took mass and note along: %s", table)
	}
}

// TestRowsOfOneAthlete may leave blank what another row has said, and may not
// contradict it.
func TestRowsOfOneAthlete(t *testing.T) {
	head := "name,birth_date,mass_kg,sculls,port_cost_s,test_date,test_distance_m,test_time\n"
	s := squadService(t)
	plan := apitest.Saved3(t, s, head+"Ann,,,,,2026-01-10,2000,7:00.0\n,,70,yes,0,2026-01-11,2000,7:01.0\n")
	apitest.Same(t, "problems", told(plan), "")
	if table := written(t, s, "csv"); !strings.Contains(table, "Ann,,,yes,0,,70,") {
		t.Error(table)
	}
	for contradiction, place := range map[string]string{
		"Ann,2001-04-30,71,yes,0":  "3 mass_kg: Row 2 says 70",
		"Ann,2001-04-30,70,no,0":   "3 sculls: Row 2 says yes",
		",,70,yes,1":               "3 port_cost_s: Row 2 says 0",
		",2002-04-30,70,yes,":      "3 birth_date: Row 2 names Ann",
		"ann,2001-04-30,70,yes,60": "3 port_cost_s: Row 2 says 0",
	} {
		plan := looked(t, squadService(t), head+"Ann,2001-04-30,70,yes,0,2026-01-10,2000,7:00.0\n"+contradiction+",2026-01-11,2000,7:01.0\n")
		if !strings.HasPrefix(told(plan), place) || len(plan.Tests) != 1 {
			t.Errorf("%s: %s; %d tests", contradiction, told(plan), len(plan.Tests))
		}
	}
}

// TestNamesakesInATable are told apart by birth date; a bare name that could
// be either is asked about.
func TestNamesakesInATable(t *testing.T) {
	head := "name,birth_date,test_date,test_distance_m,test_time\n"
	two := head + "Ann,2001-04-30,2026-01-10,2000,7:00.0\nAnn,2003-04-30,2026-01-10,2000,7:10.0\n"
	plan := looked(t, squadService(t), two+"Ann,,2026-01-11,2000,7:01.0\n")
	if len(plan.Tests) != 2 || !strings.Contains(told(plan), "4 name: Several athletes of this name stand above, the first in row 2") {
		t.Errorf("%d tests, %s", len(plan.Tests), told(plan))
	}
	// Born on a date that the records do not know yet: the same athlete.
	s := squadService(t)
	apitest.Saved3(t, s, "name\nAnn\n")
	plan = apitest.Saved3(t, s, two)
	apitest.Same(t, "the first is the one on record", tally(plan), [6]int{1, 1, 0, 2})
	apitest.Same(t, "what", plan.Athletes[0].Changes, []string{"birth date: nothing → 2001-04-30"})
	apitest.Same(t, "again", tally(apitest.Saved3(t, s, two)), [6]int{0, 0, 2, 0, 0, 2})
	// A bare name that stood for the only one must not stand for two next time.
	s = squadService(t)
	apitest.Saved3(t, s, head+"Ann,2001-04-30,,,\n")
	plan = looked(t, s, head+"Ann,,2026-01-10,2000,7:00.0\nAnn,2001-04-30,,,\nAnn,2003-04-30,2026-01-10,2000,7:10.0\n")
	if len(plan.Athletes) != 1 || !strings.HasPrefix(told(plan), "4 birth_date: Row 2 names Ann without a birth date") {
		t.Errorf("%+v %s", plan.Athletes, told(plan))
	}
}

// TestNamesakesOfWhomOneHasNoBirthDate go out and come back.
func TestNamesakesOfWhomOneHasNoBirthDate(t *testing.T) {
	s := squadService(t)
	for _, born := range []*string{new("2003-04-30"), nil, new("2001-04-30")} {
		if _, err := s.Club.AddAthlete(t.Context(), club.NewAthlete{AthleteFields: club.AthleteFields{Name: "Ann Ash", BirthDate: born}, By: "Ines"}); err != nil {
			t.Fatal(err)
		}
	}
	before := written(t, s, "csv")
	plan := apitest.Saved3(t, s, before)
	apitest.Same(t, "again", tally(plan), [6]int{0, 0, 3})
	apitest.Same(t, "problems", told(plan), "")
	other := squadService(t)
	apitest.Saved3(t, other, before)
	apitest.Same(t, "elsewhere", written(t, other, "csv"), before)
}

// TestTimesKeepTheirDigits: a hundredth that goes out must come back.
func TestTimesKeepTheirDigits(t *testing.T) {
	table := apitest.Heading +
		"Ann,,,no,,,,2026-01-10,distance,2000,7:02.45,,\n" + // hundredths
		"Bea,,,no,,,,2026-01-10,time,301.5,1:00.25,,\n" + // what was set has them
		"Cy,,,no,,,,2026-01-10,distance,2000,1:02:03.125,,\nCy,,,no,,,,2026-01-10,distance,500,1:40.0,,\n"
	s := squadService(t)
	apitest.Saved3(t, s, table)
	before := written(t, s, "csv")
	for _, time := range []string{"7:02.45,", "1:00.25,", "1:02:03.125,", "1:40.0,"} {
		if !strings.Contains(before, time) {
			t.Errorf("no %s in %s", time, before)
		}
	}
	for _, kind := range []string{"csv", "xlsx"} {
		apitest.Same(t, kind, tally(apitest.Saved3(t, s, written(t, s, kind))), [6]int{0, 0, 3, 0, 0, 4})
	}
	apitest.Same(t, "table", written(t, s, "csv"), before)
}

// TestTestsOfOneDayKeepTheirOrder goes out, comes in elsewhere and goes out.
func TestTestsOfOneDayKeepTheirOrder(t *testing.T) {
	s, other := squadService(t), squadService(t)
	apitest.Saved3(t, s, testHeading+"\nAnn,2026-01-10,2000,7:00.0\nAnn,2026-01-10,500,1:38.0\nAnn,2026-01-10,1000,3:20.0\n")
	before := written(t, s, "csv")
	apitest.Saved3(t, other, before)
	apitest.Same(t, "table", written(t, other, "csv"), before)
}

// TestATestOverTimeIsKnownAgain though the table leaves open what was set.
func TestATestOverTimeIsKnownAgain(t *testing.T) {
	s := squadService(t)
	apitest.Saved3(t, s, apitest.SmallSquad)
	apitest.Same(t, "tally", tally(looked(t, s, testHeading+"\nBea Birch,2026-01-10,8000,30:00.0\n")), [6]int{0, 0, 1, 0, 0, 1})
	apitest.Same(t, "another distance", tally(looked(t, s, testHeading+"\nBea Birch,2026-01-10,8001,30:00.0\n")), [6]int{0, 0, 1, 1})
}

// TestWaysToWriteATime holds each against the test it makes; typed into a
// spreadsheet, 6:23 becomes six hours and 23 minutes.
func TestWaysToWriteATime(t *testing.T) {
	for _, c := range []struct {
		text     string
		distance int
		want     string
		doubt    bool
	}{
		{"6:23.4", 2000, "6:23.4", false}, {"6:23,4", 2000, "6:23.4", false}, {"6.23,4", 2000, "6:23.4", false}, {"383.4", 2000, "6:23.4", false},
		{"0:06:23.4", 2000, "6:23.4", false}, {"00:06:23", 2000, "6:23.0", false}, {" 6:23.4 ", 2000, "6:23.4", false}, {`6'23"4`, 2000, "6:23.4", false},
		{"6:23:00", 2000, "6:23.0", true}, {"06:23:40", 2000, "6:23.4", true}, {"30:00:00", 8000, "30:00.0", true}, {"1:02:03", 16000, "1:02:03.0", false},
		{"1:38:00", 500, "1:38.0", true}, {"6:23.45", 2000, "6:23.45", false},
	} {
		plan := looked(t, squadService(t), cells([]string{"name", "test_date", "test_distance_m", "test_time"}, []string{"Ann", "2026-01-10", fmt.Sprint(c.distance), c.text}))
		if len(plan.Tests) != 1 || plan.Tests[0].Test != fmt.Sprintf("%d m in %s", c.distance, c.want) || (plan.Tests[0].Doubt != "") != c.doubt {
			t.Errorf("%s over %d m: %+v %s", c.text, c.distance, plan.Tests, told(plan))
		}
	}
}

// TestTimesThatAreNone are refused with their place, and what would silence
// every other test of the athlete too.
func TestTimesThatAreNone(t *testing.T) {
	for _, text := range []string{"fast", "6:75", "1.2", "0", "-6:23", "99999", "6:23:99:1", "24:00:01.0", strings.Repeat("9", 5000)} {
		plan := looked(t, squadService(t), testHeading+"\nAnn,2026-01-10,2000,"+text+"\n")
		if len(plan.Tests) != 0 || len(plan.Problems) != 1 || plan.Problems[0].Row != 2 || plan.Problems[0].Column != "test_time" || len(plan.Problems[0].Text) > 300 {
			t.Errorf("%.20s: %+v %.200s", text, plan.Tests, told(plan))
		}
	}
}

// spreadsheet writes a heading and one row of typed cells.
func spreadsheet(t testing.TB, since04 bool, row map[string]any) string {
	t.Helper()
	f := excelize.NewFile()
	if since04 {
		if err := f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &since04}); err != nil {
			t.Fatal(err)
		}
	}
	column := 1
	for name, value := range row {
		for i, v := range []any{name, value} {
			at, _ := excelize.CoordinatesToCellName(column, i+1)
			if err := f.SetCellValue("Sheet1", at, v); err != nil {
				t.Fatal(err)
			}
		}
		column++
	}
	var b bytes.Buffer
	if _, err := f.WriteTo(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// TestTimesOfSpreadsheets: what people type is kept as a part of a day.
func TestTimesOfSpreadsheets(t *testing.T) {
	const second = 1.0 / 86400
	for _, c := range []struct {
		value    any
		distance int
		want     string
		doubt    bool
	}{
		{383.4 * second, 2000, "6:23.4", false},             // 6:23.4, taken for minutes
		{6*3600*second + 1380*second, 2000, "6:23.0", true}, // 6:23, taken for hours
		{98 * 60 * second, 500, "1:38.0", true},             // 1:38
		{1.25, 8000, "30:00.0", true},                       // 30:00, more than a day
		{3723.5 * second, 16000, "1:02:03.5", false},        // over an hour indeed
		{383.4, 2000, "6:23.4", false},                      // plain seconds
		{"6:23,4", 2000, "6:23.4", false},                   // text
	} {
		plan := looked(t, squadService(t), spreadsheet(t, false, map[string]any{"name": "Ann", "test_date": "2026-01-10", "test_distance_m": c.distance, "test_time": c.value}))
		if len(plan.Tests) != 1 || plan.Tests[0].Test != fmt.Sprintf("%d m in %s", c.distance, c.want) || (plan.Tests[0].Doubt != "") != c.doubt {
			t.Errorf("%v over %d m: %+v %s", c.value, c.distance, plan.Tests, told(plan))
		}
	}
}

// TestWaysToWriteADay: what can be read in one way only is taken.
func TestWaysToWriteADay(t *testing.T) {
	for text, want := range map[string]string{
		"2026-01-09": "2026-01-09", "2026-1-9": "2026-01-09", "2026/01/09": "2026-01-09", "2026.01.09": "2026-01-09", "20260109": "2026-01-09",
		"09.01.2026": "2026-01-09", "9.1.2026": "2026-01-09", "9 Jan 2026": "2026-01-09", "09-Jan-2026": "2026-01-09", "9 January 2026": "2026-01-09",
		"2026-01-09T00:00:00": "2026-01-09", "2026-01-09 18:30": "2026-01-09",
		"25/01/2026": "2026-01-25", "01/25/2026": "2026-01-25", "01/01/2026": "2026-01-01",
		"09/01/2026": "", "9.1.26": "", "31.02.2026": "", "2026": "", "46031": "", "yesterday": "", "2026-13-01": "",
	} {
		plan := looked(t, squadService(t), testHeading+"\nAnn,"+text+",2000,7:00.0\n")
		switch {
		case want == "" && (len(plan.Tests) != 0 || !strings.HasPrefix(told(plan), "2 test_date: ") || !strings.Contains(told(plan), text)):
			t.Errorf("%s: %+v %s", text, plan.Tests, told(plan))
		case want != "" && (len(plan.Tests) != 1 || plan.Tests[0].Date != want):
			t.Errorf("%s: %+v %s", text, plan.Tests, told(plan))
		}
	}
	plan := looked(t, squadService(t), "name,birth_date\nAnn,09/01/2001\n")
	if !strings.Contains(told(plan), "2 birth_date: “09/01/2001” can be read as 2001-01-09 and as 2001-09-01") {
		t.Error(told(plan))
	}
}

// TestDaysOfSpreadsheets count from the end of 1899 or from 1904: 2026-01-10 is
// 46032 and 1462 less.
func TestDaysOfSpreadsheets(t *testing.T) {
	for _, c := range []struct {
		since04 bool
		value   any
		want    string
	}{
		{false, 46032, "2026-01-10"}, {false, 46032.75, "2026-01-10"}, {true, 46032 - 1462, "2026-01-10"}, {false, "10.01.2026", "2026-01-10"},
		{false, 20260110, "2026-01-10"}, {false, 2026, ""}, {true, 2026, ""}, {false, -3, ""}, {false, 1e300, ""},
	} {
		plan := looked(t, squadService(t), spreadsheet(t, c.since04, map[string]any{"name": "Ann", "test_date": c.value, "test_distance_m": 2000, "test_time": "7:00.0"}))
		switch {
		case c.want == "" && (len(plan.Tests) != 0 || !strings.HasPrefix(told(plan), "2 test_date: ")):
			t.Errorf("%v: %+v %s", c.value, plan.Tests, told(plan))
		case c.want != "" && (len(plan.Tests) != 1 || plan.Tests[0].Date != c.want):
			t.Errorf("%v: %+v %s", c.value, plan.Tests, told(plan))
		}
	}
}

func TestATestBeforeBirthIsRefused(t *testing.T) {
	plan := looked(t, squadService(t), "name,birth_date,test_date,test_distance_m,test_time\nAnn,2001-04-30,1999-01-01,2000,7:00.0\n")
	if len(plan.Tests) != 0 || !strings.HasPrefix(told(plan), "2 test_date: ") {
		t.Errorf("%+v %s", plan.Tests, told(plan))
	}
}

// TestWaysToWriteANumber: a mark before three digits can be two things.
func TestWaysToWriteANumber(t *testing.T) {
	for _, c := range []struct{ column, text, want string }{
		{"mass_kg", "72.5", "72.5"}, {"mass_kg", "72,5", "72.5"}, {"mass_kg", "+72.50", "72.5"}, {"mass_kg", "7.25e1", "72.5"}, {"mass_kg", "72,500", "72.5"},
		{"test_distance_m", "6,000", "6000"}, {"test_distance_m", "6.000", "6000"}, {"test_distance_m", "6 000", "6000"}, {"test_distance_m", "6’000", "6000"},
		{"test_distance_m", "21\u202f097", "21097"}, {"test_distance_m", "100,000", ""}, {"test_distance_m", "60.000", ""},
		{"mass_kg", "0x50", ""}, {"mass_kg", "7_2", ""}, {"mass_kg", "Inf", ""}, {"mass_kg", "72 kg", ""}, {"mass_kg", "1.072,5", ""}, {"mass_kg", "72..5", ""},
		{"port_cost_s", "-0", "0"}, {"port_cost_s", "1e-3", "0.001"}, {"port_cost_s", ".5", "0.5"}, {"port_cost_s", "1e400", ""}, {"port_cost_s", "٣", ""},
	} {
		distance := "2000"
		row := map[string]string{"name": "Ann", "test_date": "2026-01-10", "test_distance_m": distance, "test_time": "1:00:00.0", c.column: c.text}
		var head, values []string
		for name, v := range row {
			head, values = append(head, name), append(values, v)
		}
		s := squadService(t)
		plan := apitest.Saved3(t, s, cells(head, values))
		rows := apitest.RowsOf(t, written(t, s, "csv"))
		place := strings.Index(","+apitest.Heading, ","+c.column)
		at := strings.Count(apitest.Heading[:place], ",")
		switch {
		case c.want == "" && (len(plan.Problems) != 1 || plan.Problems[0].Column != c.column || !strings.Contains(told(plan), c.text)):
			t.Errorf("%s %s: %v %s", c.column, c.text, rows, told(plan))
		case c.want != "" && (len(rows) != 2 || rows[1][at] != c.want):
			t.Errorf("%s %s: %v %s", c.column, c.text, rows, told(plan))
		}
	}
}

// TestCellsUnderNoHeading: a decimal comma among commas moves every value
// behind it one column on.
func TestCellsUnderNoHeading(t *testing.T) {
	for name, c := range map[string]struct{ table, says string }{
		"one cell too many":   {"name,mass_kg,test_date,test_distance_m,test_time\nAnn,72,5,2026-01-10,2000,7:00.0\nBea,70,,,\n", "2 column 6: "},
		"under a blank one":   {"name,,mass_kg\nAnn,x,70\nBea,,70\n", "2 column 2: "},
		"trailing delimiters": {"name,mass_kg,,,\nAnn,70,,,,,,\nBea,70,,\n", ""},
	} {
		plan := looked(t, squadService(t), c.table)
		if c.says == "" && len(plan.Athletes) == 2 && told(plan) == "" {
			continue
		}
		if c.says == "" || !strings.HasPrefix(told(plan), c.says) || len(plan.Athletes) != 1 {
			t.Errorf("%s: %+v %s", name, plan.Athletes, told(plan))
		}
	}
	// The rows below belong to nobody then, and not to who stood before.
	plan := looked(t, squadService(t), testHeading+"\nBea,2026-01-09,2000,7:30.0\nAnn,2026-01-10,2000,7:00,0\n,2026-01-11,2000,7:01.0\n")
	if len(plan.Tests) != 1 || !strings.Contains(told(plan), "4 name: This row names nobody") {
		t.Errorf("%+v %s", plan.Tests, told(plan))
	}
}

// TestValuesOfATestWithoutOne are not passed over.
func TestValuesOfATestWithoutOne(t *testing.T) {
	plan := looked(t, squadService(t), apitest.Heading+"Ann,,,,,,,,,,,71,\nBea,,,,,,,,,,,,hard work\nCy,,,,,,,,distance,,,,\n")
	if len(plan.Athletes) != 3 || len(plan.Problems) == 0 || !strings.HasPrefix(told(plan), "2 test_date: ") || strings.Contains(told(plan), "\n4 ") {
		t.Errorf("%+v %s", plan.Athletes, told(plan))
	}
}

// TestHeadings in ways that people have.
func TestHeadings(t *testing.T) {
	want := squadService(t)
	apitest.Saved3(t, want, apitest.SmallSquad)
	rows := apitest.RowsOf(t, apitest.SmallSquad)
	rng := rand.New(rand.NewPCG(1, 2))
	for range 5 {
		order := rng.Perm(len(rows[0]))
		var turned [][]string
		for _, row := range rows {
			line := make([]string, len(row))
			for i, j := range order {
				line[j] = row[i]
			}
			turned = append(turned, line)
		}
		s := squadService(t)
		// A row whose first cell is blank is no blank line.
		plan := apitest.Saved3(t, s, cells(turned...))
		apitest.Same(t, fmt.Sprint(turned[0]), written(t, s, "csv"), written(t, want, "csv"))
		apitest.Same(t, "problems", told(plan), "")
	}
	for name, table := range map[string]string{
		"after blank lines":      "\n\n \n" + apitest.SmallSquad,
		"a stated separator":     "sep=;\n" + strings.ReplaceAll(apitest.SmallSquad, ",", ";"),
		"ends of old machines":   strings.ReplaceAll(apitest.SmallSquad, "\n", "\r"),
		"a mark and a separator": "\ufeffsep=,\r\n" + strings.ReplaceAll(apitest.SmallSquad, "\n", "\r\n"),
		"quoted":                 `"` + strings.ReplaceAll(strings.TrimSpace(apitest.Heading), ",", `","`) + "\"\n" + strings.TrimPrefix(apitest.SmallSquad, apitest.Heading),
	} {
		s := squadService(t)
		plan := apitest.Saved3(t, s, table)
		if diff := cmp.Diff(written(t, want, "csv"), written(t, s, "csv")); diff != "" || told(plan) != "" {
			t.Errorf("%s: %s %s", name, told(plan), diff)
		}
	}
}

// TestRefusalsOfAFileNameThePlace in it.
func TestRefusalsOfAFileNameThePlace(t *testing.T) {
	for name, c := range map[string]struct{ file, says string }{
		"column twice":    {"name,mass_kg,Mass kg\nAnn,70,71\n", "Row 1: the column mass_kg stands there twice, as columns 2 and 3"},
		"no name, line 3": {"\n\nwho\nAnn\n", "Row 3 should name the columns"},
		"open quote":      {"name\nBea\n\"Ann\nCy\n", "Line 3: a quotation mark"},
		"NUL on line 2":   {"name\nAnn\x00\n", "Line 2 "},
		"too wide":        {"name" + strings.Repeat(",", 300) + "x\nAnn\n", "Row 1 has a value in column 301"},
		"too long":        {"name\n" + strings.Repeat("A\n", 20_001), "Row 20002: the table has more than 20000 rows"},
	} {
		_, err := squadService(t).Squadfile.Read(t.Context(), strings.NewReader(c.file))
		var bad *wire.Unreadable
		if !errors.As(err, &bad) || !strings.Contains(bad.Text, c.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestAFullTableComesIn: 20,000 rows of as many athletes, as long as a table
// may be; every name is looked up among all.
func TestAFullTableComesIn(t *testing.T) {
	var b strings.Builder
	b.WriteString(testHeading + "\n")
	for i := range 20_000 {
		fmt.Fprintf(&b, "Athlete %d,2026-01-10,2000,7:02.4\n", i)
	}
	s := squadService(t)
	apitest.Same(t, "new", tally(apitest.Saved3(t, s, b.String())), [6]int{20_000, 0, 0, 20_000})
	apitest.Same(t, "known", tally(looked(t, s, written(t, s, "xlsx"))), [6]int{0, 0, 20_000, 0, 0, 20_000})
}

// rewritten returns a spreadsheet with one of its parts put through change.
func rewritten(t testing.TB, book, part string, change func(string) string) string {
	t.Helper()
	r, err := zip.NewReader(strings.NewReader(book), int64(len(book)))
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, f := range r.File {
		in, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(in)
		if err != nil {
			t.Fatal(err)
		}
		if f.Name == part {
			text = []byte(change(string(text)))
		}
		out, err := w.Create(f.Name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := out.Write(text); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

const firstSheet = "xl/worksheets/sheet1.xml"

// sheetOf is a spreadsheet whose first sheet holds these rows as XML.
func sheetOf(t testing.TB, rows string) string {
	t.Helper()
	return rewritten(t, apitest.Sheets(t, [][]string{{"name"}}), firstSheet, func(string) string {
		return `<?xml version="1.0" encoding="UTF-8"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>` + rows + `</sheetData></worksheet>`
	})
}

// textCell is a cell of text as spreadsheets store it.
func textCell(at, text string) string {
	return `<c r="` + at + `" t="inlineStr"><is><t>` + text + `</t></is></c>`
}

// TestFormulasCountByTheirResults: results are taken, failures and missing
// results refused with their place.
func TestFormulasCountByTheirResults(t *testing.T) {
	head := `<row r="1">` + textCell("A1", "name") + textCell("B1", "mass_kg") + `</row>`
	for name, c := range map[string]struct{ cell, says string }{
		"result":            {`<c r="B2"><f>36*2</f><v>72</v></c>`, ""},
		"text result":       {`<c r="B2" t="str"><f>"7"&amp;"2"</f><v>72</v></c>`, ""},
		"no result":         {`<c r="B2"><f>36*2</f></c>`, "2 mass_kg: This cell holds a formula without its result"},
		"shared, no result": {`<c r="B2"><f t="shared" si="0"/></c>`, "2 mass_kg: This cell holds a formula without its result"},
		"failure":           {`<c r="B2" t="e"><f>1/0</f><v>#DIV/0!</v></c>`, "2 mass_kg: “#DIV/0!” is what a formula gives that fails"},
	} {
		plan := looked(t, squadService(t), sheetOf(t, head+`<row r="2">`+textCell("A2", "Ann")+c.cell+`</row><row r="3">`+textCell("A3", "Bea")+`</row>`))
		if c.says == "" && told(plan) == "" && len(plan.Athletes) == 2 {
			continue
		}
		if c.says == "" || !strings.HasPrefix(told(plan), c.says) || len(plan.Athletes) != 1 {
			t.Errorf("%s: %+v %s", name, plan.Athletes, told(plan))
		}
	}
}

// TestTypedCells: programs may store a day as ISO 8601 and an answer as truth.
func TestTypedCells(t *testing.T) {
	head := `<row r="1">` + textCell("A1", "name") + textCell("B1", "birth_date") + textCell("C1", "sculls") + `</row>`
	row := `<row r="2">` + textCell("A2", "Ann") + `<c r="B2" t="d"><v>2001-04-30T00:00:00</v></c><c r="C2" t="b"><v>1</v></c></row>`
	s := squadService(t)
	apitest.Same(t, "problems", told(apitest.Saved3(t, s, sheetOf(t, head+row))), "")
	if table := written(t, s, "csv"); !strings.Contains(table, "Ann,,2001-04-30,yes,") {
		t.Error(table)
	}
}

// TestHostileSpreadsheets are refused before they take the memory that they
// ask for.
func TestHostileSpreadsheets(t *testing.T) {
	many := func(n int, row func(i int) string) string {
		var b strings.Builder
		b.WriteString(`<row r="1">` + textCell("A1", "name") + `</row>`)
		for i := range n {
			b.WriteString(row(i + 2))
		}
		return b.String()
	}
	crowd := rewritten(t, apitest.Sheets(t, [][]string{{"name"}, {"Ann"}}), "xl/sharedStrings.xml", func(string) string {
		return `<?xml version="1.0" encoding="UTF-8"?><x:sst xmlns:x="http://schemas.openxmlformats.org/spreadsheetml/2006/main">` + strings.Repeat("<x:si/>", 2_000_000) + `</x:sst>`
	})
	for name, c := range map[string]struct{ book, says string }{
		"a crowd of texts": {crowd, "more texts than a squad has"}, // 30 kB that would take 300 MB
		"far to the right": {sheetOf(t, many(300_000, func(i int) string { return fmt.Sprintf(`<row r="%d"><c r="XFD%d"><v>1</v></c></row>`, i, i) })), "Row 2 has a value in column 16384"},
		"without end": {sheetOf(t, many(300_000, func(i int) string {
			return fmt.Sprintf(`<row r="%d">%s</row>`, i, textCell(fmt.Sprintf("A%d", i), "A"))
		})), "Row 20002"},
		"broken off":     {rewritten(t, apitest.Sheets(t, [][]string{{"name"}, {"Ann"}, {"Bea"}}), firstSheet, func(s string) string { return s[:strings.Index(s, `<row r="3"`)] }), "cannot be read"},
		"no XML":         {rewritten(t, apitest.Sheets(t, [][]string{{"name"}, {"Ann"}}), firstSheet, func(s string) string { return strings.Replace(s, "<row", "<row <", 1) }), "cannot be read"},
		"blank rows":     {sheetOf(t, `<row r="1048576">`+textCell("A1048576", "name")+`</row>`), "heading and at least one row"},
		"beyond the end": {sheetOf(t, `<row r="99999999">`+textCell("A99999999", "name")+`</row>`), "cannot be read"},
	} {
		_, err := squadService(t).Squadfile.Read(t.Context(), strings.NewReader(c.book))
		var bad *wire.Unreadable
		if !errors.As(err, &bad) || !strings.Contains(bad.Text, c.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestBlankSheetsAreNotMissed: old spreadsheets have three, two of them blank.
func TestBlankSheetsAreNotMissed(t *testing.T) {
	plan := looked(t, squadService(t), apitest.Sheets(t, apitest.RowsOf(t, apitest.SmallSquad), nil, [][]string{{" "}}))
	apitest.Same(t, "problems", told(plan), "")
}

// TestRowNumbersOfSpreadsheets are those beside the rows.
func TestRowNumbersOfSpreadsheets(t *testing.T) {
	plan := looked(t, squadService(t), apitest.Sheets(t, [][]string{{}, {"name", "mass_kg"}, {}, {"Ann", "70"}, {}, {}, {"Bea", "900"}}))
	if len(plan.Athletes) != 1 || !strings.HasPrefix(told(plan), "7 mass_kg: ") {
		t.Errorf("%+v %s", plan.Athletes, told(plan))
	}
}

func TestTheMassIsSignedLikeTheRest(t *testing.T) {
	s := squadService(t)
	if _, err := s.Squadfile.Save(t.Context(), strings.NewReader("name,mass_kg\nAnn,70\n"), "  Ines "); err != nil {
		t.Fatal(err)
	}
	list, err := s.Club.Athletes(t.Context(), records.ListRequest{})
	if err != nil {
		t.Fatal(err)
	}
	measures, err := s.Club.Measures(t.Context(), records.IDRequest{ID: list.Athletes[0].ID})
	if err != nil || len(measures.Measures) != 1 || measures.Measures[0].MeasuredBy != "Ines" {
		t.Errorf("%+v %v", measures, err)
	}
}
