package intake_test

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"thole/api"
	"thole/api/cells"
	"thole/api/club"
	"thole/api/columns"
	"thole/api/intake"
	"thole/api/records"
	"thole/api/storetest"
)

func newService(t testing.TB) *api.Service {
	t.Helper()
	s := api.NewService(storetest.Open(t))
	t.Cleanup(s.Close)
	s.Intake.Now = func() time.Time { return time.Date(2026, 4, 1, 12, 0, 0, 0, time.UTC) }
	return s
}

// clubList is an invented club's spreadsheet in its own headings: a title above,
// tests side by side, units in cells, what is missing as a dash.
const clubList = `Invented Rowing Club;;;;;;;;;;;
Surname, First;DOB;Squad;Side;Ht;Span;Wt (kg);2k;2k date;6k;6k date;Shoe
Mensah-Bright, Kofi;12.03.2001;Senior men;starboard;1,92;198 cm;92 kg;6:05,2;14.01.2026;19:20,0;21.01.2026;46
Lee, Ann;2004;Senior women, Under 23;port;181;-;72,5;6:58.4;14.01.2026;;;41
van der Berg, Jan;1999;Senior men;both;6'2";;203 lb;6:11,9;14.01.2026;19:41.0;21.01.2026;45
Ek, Mia;1.2.2009;Junior women;scull;172 cm;;61;16:35,0;14.01.2026;;;38
Oak, Tim;5.6.1998;Senior men;cox;170;;55;;;;;42
`

func look(t testing.TB, s *api.Service, f columns.File) intake.SquadLook {
	t.Helper()
	l, err := s.Intake.LookAtSquad(t.Context(), f)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// TestAClubsListComesInAsItIs holds each column's meaning, each cell's value, the
// slow 2k that is asked about, and that a second time changes nothing.
func TestAClubsListComesInAsItIs(t *testing.T) {
	s := newService(t)
	f := columns.File{Content: []byte(clubList)}
	l := look(t, s, f)
	var meanings []string
	for _, c := range l.Columns {
		meanings = append(meanings, string(c.Meaning))
	}
	want := []string{"name", "born", "squads", "side", "height", "arm_span", "mass", "time:2000m", "day:2000m", "time:6000m", "day:6000m", ""}
	if !slices.Equal(meanings, want) || len(l.Asks) > 0 || len(l.Problems) > 0 {
		t.Fatalf("columns %v, asks %v, problems %+v", meanings, l.Asks, l.Problems)
	}
	if len(l.Plan.Athletes) != 5 || len(l.Plan.Tests) != 6 || l.Columns[6].Unit != "kg" || l.Columns[0].Samples[0] != "Mensah-Bright, Kofi" {
		t.Errorf("%d athletes, %d tests, %+v", len(l.Plan.Athletes), len(l.Plan.Tests), l.Columns[0])
	}
	if len(l.Doubts) != 1 || l.Doubts[0].At != (columns.At{Row: 6, Column: 7}) || l.Doubts[0].Name != "Mia Ek" || !strings.Contains(l.Doubts[0].Text, "4:08.75 per 500 m") {
		t.Errorf("doubts %+v", l.Doubts)
	}
	if _, err := s.Intake.SaveSquad(t.Context(), f, "Ines", l.Plan.Plan); err != nil {
		t.Fatal(err)
	}
	var got []string
	for id := int64(1); id <= 5; id++ {
		a, err := s.Club.Athlete(t.Context(), club.AthleteRequest{ID: id})
		if err != nil {
			t.Fatal(err)
		}
		text := a.FamilyName + "|" + a.GivenName
		for _, v := range []*float64{a.Rower.StatureCm, a.Rower.ArmSpanCm, a.Rower.MassKg} {
			if v == nil {
				text += " -"
			} else {
				text += fmt.Sprintf(" %g", *v)
			}
		}
		text += fmt.Sprintf(" %v %v %v %v %d", a.PortCostS != nil, a.StarboardCostS != nil, a.Sculls, a.Coxes, len(a.SquadIDs))
		if a.BirthDate != nil {
			text += " " + *a.BirthDate
		} else {
			text += fmt.Sprint(" ", *a.BirthYear)
		}
		got = append(got, text)
	}
	if want := []string{
		"Mensah-Bright|Kofi 192 198 92 false true false false 1 2001-03-12", "Lee|Ann 181 - 72.5 true false false false 2 2004",
		"van der Berg|Jan 188 - 92.1 true true false false 1 1999", "Ek|Mia 172 - 61 false false true false 1 2009-02-01", "Oak|Tim 170 - 55 false false false true 1 1998-06-05",
	}; !slices.Equal(got, want) {
		t.Errorf("on record:\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	again := look(t, s, f)
	for _, a := range again.Plan.Athletes {
		if a.Action != "known" {
			t.Errorf("again %s: %s %v", a.Name, a.Action, a.Changes)
		}
	}
	changed := look(t, s, columns.File{Content: []byte(strings.Replace(clubList, "92 kg", "93 kg", 1))})
	if c := changed.Plan.Athletes[0]; c.Action != "changed" || fmt.Sprint(c.Changes) != "[mass: 92 kg → 93 kg]" {
		t.Errorf("a changed list: %+v", c)
	}
}

// TestBadCellsAreMendedAndNothingElseIsLost holds that a bad cell leaves out that
// cell, says where it stands, and comes in once it is mended.
func TestBadCellsAreMendedAndNothingElseIsLost(t *testing.T) {
	s := newService(t)
	const list = "First name,Last name,Gender,Side,Height,Weight,Born,2k,Date\nAnn,Lee,f,port,tall,72,31.2.2004,6:58.4,2026-01-14\nBen,Oak,robot,left-ish,184,heavy,2001,fast,2026-01-14\n"
	f := columns.File{Content: []byte(list)}
	l := look(t, s, f)
	var places []string
	for _, p := range l.Problems {
		places = append(places, fmt.Sprintf("%d %s %q", p.Row, p.Heading, p.Cell))
	}
	if want := []string{`2 Height "tall"`, `2 Born "31.2.2004"`, `3 Gender "robot"`, `3 Side "left-ish"`, `3 Weight "heavy"`, `3 2k "fast"`}; !slices.Equal(places, want) {
		t.Errorf("problems %q, want %q", places, want)
	}
	if len(l.Plan.Athletes) != 2 || len(l.Plan.Tests) != 1 {
		t.Errorf("the rest: %d athletes, %d tests", len(l.Plan.Athletes), len(l.Plan.Tests))
	}
	f.Fixes = map[columns.At]string{{Row: 2, Column: 4}: "178", {Row: 2, Column: 6}: "2004", {Row: 3, Column: 2}: "m", {Row: 3, Column: 3}: "P", {Row: 3, Column: 5}: "88", {Row: 3, Column: 7}: "6:20"}
	if l = look(t, s, f); len(l.Problems) > 0 || len(l.Plan.Tests) != 2 {
		t.Errorf("mended: %+v", l.Problems)
	}
}

// TestWhatCannotBeToldIsAsked: the order of day and month, the letters of sides,
// the day of tests without one, a file without names.
func TestWhatCannotBeToldIsAsked(t *testing.T) {
	s := newService(t)
	const list = "Name,DOB,Side,2k\nAnn Lee,03/04/2004,S,6:58\nBen Oak,05/06/2001,B,6:20\n"
	f := columns.File{Content: []byte(list)}
	l := look(t, s, f)
	if !slices.Equal(l.Asks, []string{"day_order", "sides", "test_day"}) {
		t.Fatalf("asks %v", l.Asks)
	}
	for _, c := range []struct{ order, sides, born, port string }{
		{cells.DayFirst, cells.StrokeBow, "2004-04-03", "Ann Lee"}, {cells.MonthFirst, cells.BackSteuer, "2004-03-04", "Ben Oak"},
	} {
		s := newService(t)
		how := l.How
		how.DayOrder, how.Sides, how.TestDay = c.order, c.sides, "2026-01-14"
		f := columns.File{Content: []byte(list), How: &how}
		said := look(t, s, f)
		if len(said.Asks) > 0 || len(said.Plan.Tests) != 2 || said.Plan.Tests[0].Date != "2026-01-14" || *said.Plan.Athletes[0].BirthDate != c.born {
			t.Fatalf("%v %+v", said.Asks, said.Plan)
		}
		if _, err := s.Intake.SaveSquad(t.Context(), f, "Ines", said.Plan.Plan); err != nil {
			t.Fatal(err)
		}
		all, _ := s.Club.Athletes(t.Context(), records.ListRequest{})
		for _, a := range all.Athletes {
			if (a.PortCostS != nil) != (a.Name == c.port) {
				t.Errorf("%s, %s: port %v", c.sides, a.Name, a.PortCostS != nil)
			}
		}
	}
	// One day beyond the twelfth settles the order, P the letters.
	l = look(t, s, columns.File{Content: []byte("Name,DOB,Side\nAnn Lee,03/04/2004,S\nBen Oak,25/06/2001,P\n")})
	if len(l.Asks) > 0 || *l.Plan.Athletes[0].BirthDate != "2004-04-03" {
		t.Errorf("asks %v", l.Asks)
	}
	if l = look(t, s, columns.File{Content: []byte("Height,Weight\n184,80\n")}); !slices.Equal(l.Asks, []string{"name"}) {
		t.Errorf("no names: asks %v", l.Asks)
	}
}

// TestARowATestComesIn, as the export of this program and of others stand.
func TestARowATestComesIn(t *testing.T) {
	s := newService(t)
	const list = "Vorname;Nachname;Geschlecht;Jahrgang;Körpergröße (cm);Gewicht;Riemenseite;Datum;Strecke;Zeit\nAnna;Groß;w;2003;178;70;B;14.01.2026;2000 m;7:01,2\nAnna;Groß;;;;;;21.01.2026;6k;22:40\nUwe;Öst;m;1998;191;90;S;14.1.26;2k;6:09,9\n"
	l := look(t, s, columns.File{Content: []byte(list)})
	if len(l.Asks) > 0 || len(l.Problems) > 0 || len(l.Plan.Athletes) != 2 || len(l.Plan.Tests) != 3 || l.How.Sides != cells.BackSteuer {
		t.Errorf("asks %v, problems %+v, %d athletes, %d tests, %s", l.Asks, l.Problems, len(l.Plan.Athletes), len(l.Plan.Tests), l.How.Sides)
	}
	if l.Plan.Tests[1].Test != "6000 m in 22:40.0" || l.Plan.Tests[2].Date != "2026-01-14" {
		t.Errorf("%+v", l.Plan.Tests)
	}
	l = look(t, s, columns.File{Content: []byte("name,30 min,30 min date\nAnn Lee,8012,2026-01-14\n")})
	if len(l.Plan.Tests) != 1 || l.Plan.Tests[0].Test != "8012 m in 30:00.0" {
		t.Errorf("30 minutes: %+v %+v", l.Plan.Tests, l.Problems)
	}
}

// TestASpreadsheetOfTheClub holds days and times that a spreadsheet keeps as
// numbers.
func TestASpreadsheetOfTheClub(t *testing.T) {
	x := excelize.NewFile()
	for at, v := range map[string]any{
		"A1": "Name", "B1": "Date of birth", "C1": "2k", "D1": "2k date", "E1": "Weight",
		"A2": "Lee, Ann", "B2": time.Date(2004, 4, 3, 0, 0, 0, 0, time.UTC), "C2": 418.4 / 86400, "D2": time.Date(2026, 1, 14, 0, 0, 0, 0, time.UTC), "E2": 72.5,
	} {
		if err := x.SetCellValue("Sheet1", at, v); err != nil {
			t.Fatal(err)
		}
	}
	var file bytes.Buffer
	if err := x.Write(&file); err != nil {
		t.Fatal(err)
	}
	l := look(t, newService(t), columns.File{Content: file.Bytes()})
	if len(l.Problems)+len(l.Asks) > 0 || *l.Plan.Athletes[0].BirthDate != "2004-04-03" || l.Plan.Tests[0].Test != "2000 m in 6:58.4" || l.Plan.Tests[0].Date != "2026-01-14" {
		t.Errorf("%+v", l)
	}
}

// TestAWayToReadIsKeptByName holds that a column that was set by hand is set in the
// next file of the same headings, and in no other.
func TestAWayToReadIsKeptByName(t *testing.T) {
	s := newService(t)
	const list = "Athlete,Rig,Weight\nAnn Lee,port,72\n"
	l := look(t, s, columns.File{Content: []byte(list)})
	if l.Columns[1].Meaning != columns.Unused || l.KeptAs != "" {
		t.Fatalf("%+v", l.Columns[1])
	}
	how := l.How
	how.Uses[1].Meaning = columns.Side
	f := columns.File{Content: []byte(list), How: &how, Keep: "Captain’s list"}
	l = look(t, s, f)
	if _, err := s.Intake.SaveSquad(t.Context(), f, "Ines", l.Plan.Plan); err != nil {
		t.Fatal(err)
	}
	l = look(t, s, columns.File{Content: []byte("Weight,Athlete,Rig\n80,Ben Oak,starboard\n")})
	if l.KeptAs != "Captain’s list" || l.Columns[2].Meaning != columns.Side {
		t.Errorf("%q %+v", l.KeptAs, l.Columns)
	}
	if l = look(t, s, columns.File{Content: []byte("Athlete,Rig\nBen Oak,starboard\n")}); l.KeptAs != "" {
		t.Errorf("taken for %q", l.KeptAs)
	}
}

func TestAFileWithoutHeadingsIsToldSo(t *testing.T) {
	for _, content := range []string{"", "Ann,port\nBen,starboard\n", "Name\n"} {
		if _, err := newService(t).Intake.LookAtSquad(t.Context(), columns.File{Content: []byte(content)}); err == nil {
			t.Errorf("%q is read", content)
		}
	}
}
