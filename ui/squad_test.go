package ui_test

import (
	"net/http"
	"strings"
	"testing"

	"thole/api/club"
)

// clubOf is a club with the athletes and tests of a table.
func clubOf(t *testing.T, table string) *clubSite {
	t.Helper()
	c := newClub(t)
	if _, err := c.service.Ergometer.SaveSquad(t.Context(), strings.NewReader(table), "Ines"); err != nil {
		t.Fatal(err)
	}
	return c
}

// athleteNamed is an athlete of the club by name and birth date.
func (c *clubSite) athleteNamed(name, born string) club.AthleteSummary {
	c.t.Helper()
	list, err := c.service.Club.Athletes(c.t.Context(), club.ListRequest{Name: name, Archived: true})
	if err != nil {
		c.t.Fatal(err)
	}
	for _, a := range list.Athletes {
		if a.Name == name && (a.BirthDate == nil && born == "" || a.BirthDate != nil && *a.BirthDate == born) {
			return a
		}
	}
	c.t.Fatalf("no athlete %s, born %q", name, born)
	return club.AthleteSummary{}
}

// edit changes an athlete as somebody else would.
func (c *clubSite) edit(name, born string, change func(*club.AthleteFields)) {
	c.t.Helper()
	a, err := c.service.Club.Athlete(c.t.Context(), club.AthleteRequest{ID: c.athleteNamed(name, born).ID})
	if err != nil {
		c.t.Fatal(err)
	}
	change(&a.AthleteFields)
	if _, err := c.service.Club.UpdateAthlete(c.t.Context(), club.AthleteEdit{ID: a.ID, Version: a.Version, AthleteFields: a.AthleteFields, By: "Bert"}); err != nil {
		c.t.Fatal(err)
	}
}

// signedForm is the form of a preview, as it is saved.
func signedForm(body, by string) map[string][]string {
	form := formValues(body)
	form.Set("save", "yes")
	form.Set("by", by)
	return form
}

const movedOn = "have changed since you looked"

// TestATableSavesWhatWasLookedAt holds that nothing is written over that came
// between the look and the saving.
func TestATableSavesWhatWasLookedAt(t *testing.T) {
	c := clubOf(t, "name,sculls,port_cost_s\nAnn,yes,1\nBea,yes,\n")
	look := c.upload("mine.csv", "name,port_cost_s\nAnn,2\n")
	wantIn(t, "look", look.body, "port costs: 1 s → 2 s")
	seven := 7.0
	c.edit("Ann", "", func(f *club.AthleteFields) { f.PortCostS = &seven })

	late := c.post("/squad/import", signedForm(look.body, "Ines"))
	if late.status != http.StatusConflict {
		t.Errorf("status %d", late.status)
	}
	wantIn(t, "late", late.body, movedOn, "Nothing has been saved", "mine.csv would bring", "port costs: 7 s → 2 s", `value="Ines"`)
	if a := c.athleteNamed("Ann", ""); *a.PortCostS != 7 {
		t.Errorf("port costs %g: the edit was written over unseen", *a.PortCostS)
	}

	saved := c.post("/squad/import", signedForm(late.body, "Ines"))
	if saved.status != http.StatusOK || strings.Contains(saved.body, movedOn) {
		t.Errorf("status %d", saved.status)
	}
	wantIn(t, "saved", saved.body, "Saved")
	if a := c.athleteNamed("Ann", ""); *a.PortCostS != 2 {
		t.Errorf("port costs %g, want what was looked at again", *a.PortCostS)
	}
}

// TestAnEditElsewhereDoesNotHoldATableUp: the plan stands for the table's own
// athletes alone.
func TestAnEditElsewhereDoesNotHoldATableUp(t *testing.T) {
	c := clubOf(t, "name,sculls\nAnn,yes\nBea,yes\n")
	look := c.upload("mine.csv", "name,port_cost_s\nAnn,2\n")
	c.edit("Bea", "", func(f *club.AthleteFields) { f.Sculls = false })
	if saved := c.post("/squad/import", signedForm(look.body, "Ines")); saved.status != http.StatusOK || !strings.Contains(saved.body, "Saved") {
		t.Errorf("%d", saved.status)
	}
}

// TestAnUnsignedTableTellsThatTheRecordsMovedOn: the second look comes without
// being asked for, and shows other changes than the first.
func TestAnUnsignedTableTellsThatTheRecordsMovedOn(t *testing.T) {
	c := clubOf(t, "name,port_cost_s\nAnn,1\n")
	look := c.upload("mine.csv", "name,port_cost_s\nAnn,2\n")
	unsigned := c.post("/squad/import", signedForm(look.body, " "))
	if unsigned.status != http.StatusUnprocessableEntity || strings.Contains(unsigned.body, movedOn) {
		t.Errorf("%d: nothing has moved on yet", unsigned.status)
	}
	c.edit("Ann", "", func(f *club.AthleteFields) { f.PortCostS = nil })
	moved := c.post("/squad/import", signedForm(look.body, ""))
	if moved.status != http.StatusUnprocessableEntity {
		t.Errorf("status %d", moved.status)
	}
	wantIn(t, "moved", moved.body, movedOn, "port costs: nothing → 2 s", "Say who you are")
}

// TestATableNobodyLookedAtIsShownFirst: a saving without the plan of a look is
// a look.
func TestATableNobodyLookedAtIsShownFirst(t *testing.T) {
	c := clubOf(t, "name,port_cost_s\nAnn,1\n")
	form := formValues(c.upload("mine.csv", "name,port_cost_s\nAnn,2\n").body)
	form.Set("save", "yes")
	form.Set("by", "Ines")
	form.Del("plan")
	wantIn(t, "answer", c.post("/squad/import", form).body, "mine.csv would bring", `name="plan"`, `value="Ines"`)
	if a := c.athleteNamed("Ann", ""); *a.PortCostS != 1 {
		t.Error("saved unseen")
	}
}

// TestDoubtsOfATableAreTold holds that whatever should be looked at again is on
// the page, in words, even where the table changes nothing.
func TestDoubtsOfATableAreTold(t *testing.T) {
	c := clubOf(t, "name,birth_date,test_date,test_distance_m,test_time,note\nAnn,2001-02-03,2026-01-10,2000,7:00,\nBea,,2026-01-10,2000,7:10,calm\nCy,,,,,\n")
	c.edit("Cy", "", func(f *club.AthleteFields) { f.Archived = true })
	look := c.upload("mine.csv", "name,birth_date,test_date,test_distance_m,test_time,note\n"+
		"Ann,2001-03-02,,,,\nBea,,2026-01-10,2000,7:11.5,windy\nCy,,,,,\n")
	wantIn(t, "look", look.body, "Athletes: 1 new, 0 changed, 2 known already. Tests: 0 new, 1 changed, 0 known already. 2 to look at again.",
		"Another athlete of this name is on record, born 2001-02-03.", "born 2001-03-02",
		"The athlete is archived", "time: 7:10.0 → 7:11.5; note: calm → windy")
}

// TestTheSquadNamesItsDoubts: a test that the others contradict, and one that
// cannot have been.
func TestTheSquadNamesItsDoubts(t *testing.T) {
	c := clubOf(t, "name,sculls,mass_kg,test_date,test_distance_m,test_time\nAnn,yes,70,2026-01-10,2000,7:02.4\nAnn,,,2026-01-20,2000,8:30.4\nBea,yes,70,2026-01-10,2000,7:05\n")
	squad := c.opened("/squad?class=1x")
	wantIn(t, "squad", squad, "2000 m in 8:30.4 on 2026-01-20", "#ergometer", "Look at the tests", "± W <small>ergometer</small>", "± W <small>water</small>")
	if strings.Count(squad, "Look at the tests") != 1 {
		t.Error("Bea is in doubt as well")
	}
}
