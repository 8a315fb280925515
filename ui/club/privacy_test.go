package club_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"thole/api/club"
	"thole/ui/uitest"
)

// TestConsentIsEnteredAndEverythingIsTakenAway walks the page of one under age and
// of an adult.
func TestConsentIsEnteredAndEverythingIsTakenAway(t *testing.T) {
	site := uitest.NewClub(t)
	add := func(name string, years int) string {
		born := site.Service.Club.Now().AddDate(-years, 0, 1).Format("2006-01-02")
		a, err := site.Service.Club.AddAthlete(t.Context(), club.NewAthlete{By: "Ines", AthleteFields: club.AthleteFields{Name: name, BirthDate: &born}})
		if err != nil {
			t.Fatal(err)
		}
		return fmt.Sprintf("/athletes/%d", a.ID)
	}
	child, adult := add("Mia Ek", 18), add("Ola Ny", 30)
	uitest.WantIn(t, "the page of a minor", site.Get(child+"/privacy").Body, "under 18", "No consent on record", "Other athletes see none of it")
	form := url.Values{"given": {"true"}, "said_on": {site.Service.Club.Today()}, "by": {"Ines"}}
	refused := site.Send(http.MethodPost, child+"/consents", form)
	if refused.Status != http.StatusUnprocessableEntity {
		t.Errorf("without a guardian: %d", refused.Status)
	}
	uitest.WantIn(t, "the form again", refused.Body, "name the parent or guardian", `value="Ines"`)
	form.Set("guardian", "Kari Ek")
	uitest.GoesTo(t, site.Send(http.MethodPost, child+"/consents", form), child+"/privacy")
	uitest.WantIn(t, "the page after it", site.Get(child+"/privacy").Body, "Consent given", "consented, by Kari Ek")
	form.Set("given", "false")
	uitest.GoesTo(t, site.Send(http.MethodPost, child+"/consents", form), child+"/privacy")
	uitest.WantIn(t, "after the withdrawal", site.Get(child+"/privacy").Body, "Consent withdrawn")
	form = url.Values{"given": {"true"}, "by": {"Ines"}}
	uitest.GoesTo(t, site.Send(http.MethodPost, adult+"/consents", form), adult+"/privacy")
	if p := site.Get(adult + "/privacy").Body; !strings.Contains(p, "● Consent given") || strings.Contains(p, "<small>under 18") {
		t.Errorf("an adult: %s", p)
	}
	file := site.Get(child + "/everything.json")
	var all struct {
		Records map[string][]map[string]any `json:"records"`
	}
	if err := json.Unmarshal([]byte(file.Body), &all); err != nil || len(all.Records["consents"]) != 2 || all.Records["athletes"][0]["name"] != "Mia Ek" {
		t.Errorf("%v %s", err, file.Body)
	}
	if file.Header.Get("Cache-Control") != "no-store" || !strings.Contains(file.Header.Get("Content-Disposition"), "attachment") {
		t.Errorf("%v", file.Header)
	}
	if p := site.Get("/athletes/99/privacy"); p.Status != http.StatusNotFound {
		t.Errorf("of nobody: %d", p.Status)
	}
}
