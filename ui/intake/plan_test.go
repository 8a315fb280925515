package intake

import (
	"net/url"
	"strings"
	"testing"

	"thole/api/columns"
	"thole/api/intake"
	"thole/api/squadfile"
)

// TestWhatATableBringsIsCounted: what is unchanged and needs no check is left out of the
// list.
func TestWhatATableBringsIsCounted(t *testing.T) {
	look := &intake.TableLook{Rows: 4}
	for _, i := range []struct{ name, action, check string }{{"a", "new", ""}, {"b", "changed", "far"}, {"c", "known", ""}, {"d", "known", "twice"}} {
		item := intake.Item{Name: i.name, Action: i.action, Check: i.check, Class: "double scull"}
		look.Items = append(look.Items, item)
	}
	p := boatsKind(nil).plan(look)
	if want := "4 rows. Boats: 1 new, 1 changed, 2 unchanged. 2 to check."; p.Verdict != want {
		t.Errorf("%s, want %s", p.Verdict, want)
	}
	names := ""
	for _, l := range p.Sections[0].Lines {
		names += l.Name
	}
	if names != "abd" {
		t.Errorf("%s are listed", names)
	}
	look.Items = look.Items[:1]
	if p := boatsKind(nil).plan(look); !strings.HasSuffix(p.Verdict, "0 unchanged.") {
		t.Error(p.Verdict)
	}
	born := "2001-02-03"
	squad := squadPlan(&squadfile.SquadImport{Rows: 2, Athletes: []squadfile.ImportedAthlete{{Name: "Ann", Action: "new", BirthDate: &born, Doubt: "two"}, {Name: "Bea", Action: "known"}}, Tests: []squadfile.ImportedTest{{Name: "Ann", Action: "changed", Doubt: "slow"}, {Name: "Bea", Action: "known"}}})
	if want := "2 rows. Athletes: 1 new, 0 changed, 1 unchanged. Tests: 0 new, 1 changed, 1 unchanged. 2 to check."; squad.Verdict != want || len(squad.Sections[0].Lines) != 1 || len(squad.Sections[1].Lines) != 1 || squad.Sections[0].Lines[0].Small != "born 2001-02-03" {
		t.Errorf("%s, %+v", squad.Verdict, squad.Sections)
	}
}

// TestQuestionsAreAskedOneByOne: what was answered stays, the first that is open has the
// focus, and what was never asked is not put.
func TestQuestionsAreAskedOneByOne(t *testing.T) {
	p := &importPage{}
	look := &intake.Look{Asks: []string{"sides", "test_day"}}
	look.How.DayOrder = "day_first"
	p.ask(look)
	told := ""
	for _, v := range p.Asks {
		told += v.Name
		if v.Problem != "" {
			told += "?"
		}
		if v.Focus {
			told += "!"
		}
		told += " "
	}
	if told != "day_order sides? test_day? " {
		t.Error(told)
	}
	p = &importPage{}
	p.ask(&intake.Look{Asks: []string{"sides", "test_day"}})
	if len(p.Asks) != 2 || !p.Asks[0].Focus || p.Asks[1].Focus {
		t.Errorf("%+v", p.Asks)
	}
}

// TestColumnsAndDoubtsAreShown: a column that is not used but has values is asked about, one
// without is not; a doubt that is ticked is no open one.
func TestColumnsAndDoubtsAreShown(t *testing.T) {
	p := &importPage{about: squadKind{}.about()}
	look := &intake.Look{Columns: []columns.Column{{Index: 0, Use: columns.Use{Meaning: "name"}, Samples: []string{"Ann"}}, {Index: 1, Use: columns.Use{Meaning: columns.Unused}, Samples: []string{"x"}}, {Index: 2, Use: columns.Use{Meaning: columns.Unused}}}}
	look.Doubts = []columns.Doubt{{At: columns.At{Row: 2, Column: 0}, Text: "far"}, {At: columns.At{Row: 3, Column: -1}, Text: "twice"}}
	look.Problems = []columns.Problem{{At: columns.At{Row: 4, Column: 1}, Text: "no number"}, {At: columns.At{Row: 5, Column: -1}, Text: "no name"}}
	f := &columns.File{}
	f.Fixes = map[columns.At]string{{Row: 4, Column: 1}: "80", {Row: 9, Column: 1}: "81"}
	p.look(look, f, url.Values{cellField("sure", look.Doubts[0].At): {"yes"}})
	if p.Used != 1 || !p.Columns[0].Known || p.Columns[1].Known || !p.Columns[2].Known {
		t.Errorf("%d used, %+v", p.Used, p.Columns)
	}
	if p.Open != 1 || !p.Doubts[0].Ticked || p.Doubts[1].Ticked || p.Doubts[0].Field == "" || p.Doubts[1].Field != "" || p.Problems[0].Field == "" || p.Problems[1].Field != "" {
		t.Errorf("%d open, %+v, %+v", p.Open, p.Doubts, p.Problems)
	}
	if len(p.Fixed) != 1 || p.Fixed[0].Value != "81" {
		t.Errorf("%+v", p.Fixed)
	}
}
