package club_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"thole/api/club"
	"thole/api/records"
	"thole/ui/uitest"
)

// TestAnAthleteInOneForm fills in who, body, sides by ticks and a squad that is new,
// and edits them again.
func TestAnAthleteInOneForm(t *testing.T) {
	c := uitest.NewClub(t)
	form := url.Values{
		"given_name": {"Ann"}, "family_name": {"Lee"}, "sex": {"female"}, "born": {"2004"}, "stature_cm": {"178"}, "mass_kg": {"72,5"},
		"port": {"true"}, "starboard": {"true"}, "starboard_cost_s": {"1.5"}, "coxes": {"true"}, "new_squad": {"Senior women"}, "by": {"Ines"},
	}
	uitest.GoesTo(t, c.Post("/athletes", form), "/athletes/1")
	a, err := c.Service.Club.Athlete(t.Context(), club.AthleteRequest{ID: 1})
	if err != nil || a.Name != "Ann Lee" || *a.BirthYear != 2004 || *a.Rower.StatureCm != 178 || *a.Rower.MassKg != 72.5 || *a.PortCostS != 0 || *a.StarboardCostS != 1.5 || a.Sculls || !a.Coxes || len(a.SquadIDs) != 1 {
		t.Fatalf("%+v, %v", a, err)
	}
	uitest.WantIn(t, "the page", c.Opened("/athletes/1"), "Senior women", "Coxes")
	edit := c.Form("/athletes/1/edit", "starboard", "", "squad_1", "", "mass_kg", "73")
	if edit.Get("given_name") != "Ann" || edit.Get("born") != "2004" || edit.Get("stature_cm") != "178" || edit.Get("starboard_cost_s") != "1.5" {
		t.Errorf("the form has %v", edit)
	}
	edit.Del("starboard")
	edit.Del("squad_1")
	uitest.GoesTo(t, c.Post("/athletes/1", edit), "/athletes/1")
	a, _ = c.Service.Club.Athlete(t.Context(), club.AthleteRequest{ID: 1})
	taken, _ := c.Service.Club.Measures(t.Context(), records.IDRequest{ID: 1})
	if a.StarboardCostS != nil || len(a.SquadIDs) != 0 || len(taken.Measures) != 2 || taken.Measures[0].StatureCm != nil || *taken.Measures[0].MassKg != 73 {
		t.Errorf("after: %+v, %+v", a, taken)
	}
	uitest.GoesTo(t, c.Post("/athletes", url.Values{"family_name": {"Moor"}, "then": {"another"}, "by": {"Ines"}}), "/athletes/new")
	p := c.Post("/athletes", url.Values{"given_name": {" "}, "born": {"1.5.2004"}, "stature_cm": {"1.78"}, "mass_kg": {"heavy"}, "new_squad": {strings.Repeat("x", 81)}, "by": {"Ines"}})
	if uitest.WantIn(t, "refused", p.Body, `href="#mass_kg"`); p.Status != http.StatusUnprocessableEntity {
		t.Errorf("%d", p.Status)
	}
	p = c.Post("/athletes", url.Values{"given_name": {" "}, "born": {"1.5.2004"}, "stature_cm": {"1.78"}, "new_squad": {strings.Repeat("x", 81)}, "by": {"Ines"}})
	uitest.WantIn(t, "refused", p.Body, `href="#family_name"`, `href="#stature_cm"`, "178 cm?", `href="#new_squad"`, "1.78")
}

// TestSquadsChooseWhoAppears makes squads and looks at every page that one can be
// chosen on.
func TestSquadsChooseWhoAppears(t *testing.T) {
	c := uitest.DemoClub(t)
	uitest.WantIn(t, "no squads", c.Opened("/squads"), "No squads yet")
	if strings.Contains(c.Opened("/line-ups"), `name="among"`) {
		t.Error("there are no squads to choose")
	}
	uitest.GoesTo(t, c.Post("/squads", url.Values{"name": {"Spring eight"}}), "/squads/1")
	form := c.Form("/squads/1")
	for _, name := range uitest.SpringEight {
		form.Set("athlete_"+c.IdOf(name), "true")
	}
	uitest.GoesTo(t, c.Post("/squads/1", form), "/squads")
	uitest.WantIn(t, "squads", c.Opened("/squads"), `<td>8</td>`)
	for path, names := range map[string][2]string{
		"/athletes?among=1":         {">Lotte Brandvold</a>", "Nell Ashgrove"},
		"/squad?class=8%2B&among=1": {"Kofi Mensah-Bright", "Roncalli"},
		"/line-ups?among=1":         {"Kofi Mensah-Bright", "Roncalli"},
		"/seat-races/new?among=1":   {`value="Lotte Brandvold"`, `Davide Roncalli"`},
		"/setup?boat=9&among=1":     {`<option value="Lotte Brandvold">`, `<option value="Nell Ashgrove">`},
		"/recordings/squad?among=1": {`value="1" selected>Spring eight`, "Nell Ashgrove"},
	} {
		body := c.Opened(path)
		if !strings.Contains(body, names[0]) || strings.Contains(body, names[1]) {
			t.Errorf("%s: has %s: %v, has %s: %v", path, names[0], strings.Contains(body, names[0]), names[1], strings.Contains(body, names[1]))
		}
		bare := strings.TrimRight(strings.Replace(path, "among=1", "", 1), "?&")
		if body := c.Opened(bare); !strings.Contains(body, names[0]) || strings.Contains(body, names[1]) {
			t.Errorf("%s does not remember the squad", bare)
		}
		if path = strings.Replace(path, "among=1", "among=all", 1); !strings.HasPrefix(path, "/recordings/squad") && !strings.Contains(c.Opened(path), names[1]) {
			t.Errorf("%s: %s is not there for everybody", path, names[1])
		}
		if !strings.HasPrefix(path, "/recordings/squad") && !strings.Contains(c.Opened(bare), names[1]) {
			t.Errorf("%s does not remember everybody", bare)
		}
	}
	stale := c.Form("/squads/1")
	uitest.GoesTo(t, c.Post("/squads/1", c.Form("/squads/1", "name", "The eight")), "/squads")
	if p := c.Post("/squads/1", stale); p.Status != http.StatusConflict || !strings.Contains(p.Body, "Somebody changed this") {
		t.Errorf("a stale squad: %d", p.Status)
	}
	if p := c.Post("/squads", url.Values{"name": {"the EIGHT"}}); p.Status != http.StatusUnprocessableEntity || !strings.Contains(p.Body, "There is a squad of this name") {
		t.Errorf("a squad twice: %d", p.Status)
	}
	uitest.GoesTo(t, c.Post("/squads/1/remove", url.Values{}), "/squads")
	uitest.WantIn(t, "an address of a squad that is gone", c.Opened("/athletes?among=1"), "Nell Ashgrove")
	for _, path := range []string{"/squads/7", "/squads/7/remove"} {
		if p := c.Get(path); p.Status != http.StatusNotFound {
			t.Errorf("%s: %d", path, p.Status)
		}
	}
}
