package intake_test

import (
	"net/http"
	"strings"
	"testing"

	"thole/api/club"
	"thole/api/records"
	"thole/ui/uitest"
)

// clubOf is a club with the athletes and tests of a table.
func clubOf(t *testing.T, table string) *uitest.ClubSite {
	t.Helper()
	c := uitest.NewClub(t)
	if _, err := c.Service.Squadfile.Save(t.Context(), strings.NewReader(table), "Ines"); err != nil {
		t.Fatal(err)
	}
	return c
}

// signedForm is the form of a preview, as it is saved.
func signedForm(body, by string) map[string][]string {
	form := uitest.FormValues(body)
	form.Set("save", "yes")
	form.Set("by", by)
	return form
}

const movedOn = "have changed since the preview"

// TestATableSavesWhatWasLookedAt holds that nothing is written over that came
// between the look and the saving.
func TestATableSavesWhatWasLookedAt(t *testing.T) {
	c := clubOf(t, "name,sculls,port_cost_s\nAnn,yes,1\nBea,yes,\n")
	look := c.Upload("mine.csv", "name,port_cost_s\nAnn,2\n")
	uitest.WantIn(t, "look", look.Body, "port costs: 1 s → 2 s")
	seven := 7.0
	c.Edit("Ann", "", func(f *club.AthleteFields) { f.PortCostS = &seven })

	late := c.Post("/squad/import", signedForm(look.Body, "Ines"))
	if late.Status != http.StatusConflict {
		t.Errorf("status %d", late.Status)
	}
	uitest.WantIn(t, "late", late.Body, movedOn, "Nothing has been saved", "Preview of mine.csv", "port costs: 7 s → 2 s", `value="Ines"`)
	if a := c.AthleteNamed("Ann", ""); *a.PortCostS != 7 {
		t.Errorf("port costs %g: the edit was written over unseen", *a.PortCostS)
	}

	saved := c.Post("/squad/import", signedForm(late.Body, "Ines"))
	if saved.Status != http.StatusOK || strings.Contains(saved.Body, movedOn) {
		t.Errorf("status %d", saved.Status)
	}
	uitest.WantIn(t, "saved", saved.Body, "Saved")
	if a := c.AthleteNamed("Ann", ""); *a.PortCostS != 2 {
		t.Errorf("port costs %g, want what was looked at again", *a.PortCostS)
	}
}

// TestAnEditElsewhereDoesNotHoldATableUp: the plan stands for the table's own
// athletes alone.
func TestAnEditElsewhereDoesNotHoldATableUp(t *testing.T) {
	c := clubOf(t, "name,sculls\nAnn,yes\nBea,yes\n")
	look := c.Upload("mine.csv", "name,port_cost_s\nAnn,2\n")
	c.Edit("Bea", "", func(f *club.AthleteFields) { f.Sculls = false })
	if saved := c.Post("/squad/import", signedForm(look.Body, "Ines")); saved.Status != http.StatusOK || !strings.Contains(saved.Body, "Saved") {
		t.Errorf("%d", saved.Status)
	}
}

// TestAnUnsignedTableTellsThatTheRecordsMovedOn: the second look comes without
// being asked for, and shows other changes than the first.
func TestAnUnsignedTableTellsThatTheRecordsMovedOn(t *testing.T) {
	c := clubOf(t, "name,port_cost_s\nAnn,1\n")
	look := c.Upload("mine.csv", "name,port_cost_s\nAnn,2\n")
	unsigned := c.Post("/squad/import", signedForm(look.Body, " "))
	if unsigned.Status != http.StatusUnprocessableEntity || strings.Contains(unsigned.Body, movedOn) {
		t.Errorf("%d: nothing has moved on yet", unsigned.Status)
	}
	c.Edit("Ann", "", func(f *club.AthleteFields) { f.PortCostS = nil })
	moved := c.Post("/squad/import", signedForm(look.Body, ""))
	if moved.Status != http.StatusUnprocessableEntity {
		t.Errorf("status %d", moved.Status)
	}
	uitest.WantIn(t, "moved", moved.Body, movedOn, "port costs: nothing → 2 s", "Say who you are")
}

// TestATableNobodyLookedAtIsShownFirst: a saving without the plan of a look is
// a look.
func TestATableNobodyLookedAtIsShownFirst(t *testing.T) {
	c := clubOf(t, "name,port_cost_s\nAnn,1\n")
	form := uitest.FormValues(c.Upload("mine.csv", "name,port_cost_s\nAnn,2\n").Body)
	form.Set("save", "yes")
	form.Set("by", "Ines")
	form.Del("plan")
	uitest.WantIn(t, "answer", c.Post("/squad/import", form).Body, "Preview of mine.csv", `name="plan"`, `value="Ines"`)
	if a := c.AthleteNamed("Ann", ""); *a.PortCostS != 1 {
		t.Error("saved unseen")
	}
}

// TestDoubtsOfATableAreTold holds that whatever should be looked at again is on
// the page, in words, even where the table changes nothing.
func TestDoubtsOfATableAreTold(t *testing.T) {
	c := clubOf(t, "name,birth_date,test_date,test_distance_m,test_time,note\nAnn,2001-02-03,2026-01-10,2000,7:00,\nBea,,2026-01-10,2000,7:10,calm\nCy,,,,,\n")
	c.Edit("Cy", "", func(f *club.AthleteFields) { f.Archived = true })
	look := c.Upload("mine.csv", "name,birth_date,test_date,test_distance_m,test_time,note\n"+
		"Ann,2001-03-02,,,,\nBea,,2026-01-10,2000,7:11.5,windy\nCy,,,,,\n")
	uitest.WantIn(t, "look", look.Body, "Athletes: 1 new, 0 changed, 2 unchanged. Tests: 0 new, 1 changed, 0 unchanged. 2 to check.",
		"Another athlete of this name is on record, born 3 Feb 2001.", "born 2 Mar 2001",
		"The athlete is archived", "time: 7:10.0 → 7:11.5; note: calm → windy")
}

// TestTheSquadNamesItsDoubts: a test that the others contradict, and one that
// cannot have been.
func TestTheSquadNamesItsDoubts(t *testing.T) {
	c := clubOf(t, "name,sculls,mass_kg,test_date,test_distance_m,test_time\nAnn,yes,70,2026-01-10,2000,7:02.4\nAnn,,,2026-01-20,2000,8:30.4\nBea,yes,70,2026-01-10,2000,7:05\n")
	squad := c.Opened("/squad?class=1x")
	uitest.WantIn(t, "squad", squad, "2000 m in 8:30.4 on 20 Jan 2026", "#ergometer", "Check the tests", "± W <small>ergometer</small>", "± W <small>water</small>")
	if strings.Count(squad, "Check the tests") != 1 {
		t.Error("Bea is in doubt as well")
	}
}

// clubList is a list in a club's own headings: one cell to mend, one result that is
// hardly right, days that can be read both ways, letters that can mean two things.
const clubList = "Surname, First;DOB;Side;Ht;Wt (kg);2k;2k date\n" +
	"Lee, Ann;03/04/2004;S;181 cm;72 kg;6:58,4;10/01/2026\nOak, Ben;05/06/2001;B;tall;88;16:35,0;10/01/2026\nEk, Mia;2009;B;172;61;7:20;11/01/2026\n"

// TestAClubsListIsAskedAboutMendedAndSaved walks through the page by plain forms.
func TestAClubsListIsAskedAboutMendedAndSaved(t *testing.T) {
	c := uitest.NewClub(t)
	asked := c.Upload("list.csv", clubList)
	uitest.WantIn(t, "questions", asked.Body, "Before it can be read", "Some days can be read both ways", "S and B can be read in several ways", "7 of 7 columns are used")
	if strings.Contains(asked.Body, `name="save"`) {
		t.Error("a file that cannot be read yet can be saved")
	}
	form := uitest.FormValues(asked.Body)
	form.Set("day_order", "dmy")
	form.Set("sides", "stroke_bow")
	look := c.Post("/squad/import", form)
	uitest.WantIn(t, "look", look.Body, "Athletes: 3 new", "Tests: 3 new", "“tall” is no length", `name="fix_3_3" value="tall"`, "per 500 m, which is slow", `name="sure_3_5"`)
	open := c.Post("/squad/import", signedForm(look.Body, "Ines"))
	if open.Status != http.StatusUnprocessableEntity || !strings.Contains(open.Body, "Is this right?") {
		t.Errorf("saved with an open question: %d", open.Status)
	}
	form = signedForm(open.Body, "Ines")
	delete(form, "save")
	form["fix_3_3"], form["fix_3_5"], form["keep"] = []string{"184"}, []string{"6:35,0"}, []string{"Captain’s list"}
	mended := c.Post("/squad/import", form)
	if strings.Contains(mended.Body, "is no length") || strings.Contains(mended.Body, "Is this right?") {
		t.Error("what was mended is still complained of")
	}
	uitest.WantIn(t, "mended", mended.Body, "2000 m in 6:35.0", "Captain’s list", `value="184"`)
	saved := c.Post("/squad/import", signedForm(mended.Body, "Ines"))
	uitest.WantIn(t, "saved", saved.Body, ">Saved<", "see the athletes")
	ben := c.AthleteNamed("Ben Oak", "2001-06-05")
	if ben.StatureCm == nil || *ben.StatureCm != 184 || ben.PortCostS != nil || ben.StarboardCostS == nil {
		t.Errorf("Ben is %+v", ben)
	}
	again := c.Upload("list.csv", clubList)
	uitest.WantIn(t, "again", again.Body, "as in “Captain’s list”", "0 new, 0 changed, 3 unchanged")
	// A column that is set by hand counts, one that no page offers does not.
	form = uitest.FormValues(again.Body)
	form.Set("m3", "")
	form.Set("m4", "<script>")
	if other := c.Post("/squad/import", form); other.Status != http.StatusOK || !strings.Contains(other.Body, "5 of 7 columns are used") {
		t.Errorf("%d", other.Status)
	}
}

// TestATableThatIsTooLargeIsRefusedAs413, above the table's own bound and above the
// form's.
func TestATableThatIsTooLargeIsRefusedAs413(t *testing.T) {
	c := uitest.NewClub(t)
	for _, size := range []int{8<<20 + 1, 13 << 20} {
		a := c.Upload("huge.csv", "name\n"+strings.Repeat("x", size))
		if a.Status != http.StatusRequestEntityTooLarge || !strings.Contains(a.Body, "The file is larger than 8 MB.") {
			t.Errorf("%d bytes: %d", size, a.Status)
		}
	}
}

// TestATableThatIsSentTwiceCountsOnce sends the form of a preview again, a short one
// and one that is larger than other forms.
func TestATableThatIsSentTwiceCountsOnce(t *testing.T) {
	for name, note := range map[string]string{"short": "calm", "long": "calm" + strings.Repeat("\n,"+strings.Repeat("calm ", 50), 1200)} {
		c := uitest.NewClub(t)
		form := signedForm(c.Upload("mine.csv", "name,Locker\nAnn,"+note+"\n").Body, "Ines")
		first := c.Post("/squad/import", form)
		if first.Status != http.StatusOK {
			t.Fatalf("%s: %d", name, first.Status)
		}
		uitest.WantIn(t, name, first.Body, "Saved")
		if _, err := c.Service.Club.DeleteAthlete(t.Context(), records.IDRequest{ID: c.AthleteNamed("Ann", "").ID}); err != nil {
			t.Fatal(err)
		}
		for range 2 {
			if again := c.Post("/squad/import", form); again.Status != http.StatusSeeOther || again.Header.Get("Location") == "" {
				t.Errorf("%s again: %d %v", name, again.Status, again.Header)
			}
		}
		if list, err := c.Service.Club.Athletes(t.Context(), records.ListRequest{Archived: true}); err != nil || len(list.Athletes) > 0 {
			t.Errorf("%s: it counted again: %v, %v", name, list, err)
		}
	}
}
