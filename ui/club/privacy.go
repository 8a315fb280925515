package club

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"

	"thole/api/access"
	"thole/api/club"
	"thole/api/privacy"
	"thole/api/records"
	"thole/ui/page"
)

// privacyPage is what is kept of an athlete, and what was said to it.
type privacyPage struct {
	*page.RecordForm
	Athlete club.Athlete
	Minor   bool
	State   string // ready to be read
	Ask     bool   // a consent is missing
	Said    []saidLine
	Own     bool // the athlete looks
	Remove  bool // who looks may remove the athlete
}

// saidLine is one consent or withdrawal.
type saidLine struct{ Day, What, Note, Entered string }

// stateWords tell where a consent stands.
var stateWords = map[string]string{
	privacy.None:      "△ No consent on record.",
	privacy.Given:     "● Consent given.",
	privacy.Withdrawn: "○ Consent withdrawn: archive the athlete, or remove the record.",
	privacy.Renew:     "△ A parent or guardian consented; now 18, the athlete has to be asked.",
}

func (s *site) privacyPage(r *http.Request, f *page.RecordForm) (*privacyPage, error) {
	id := page.PathID(r, "id")
	a, err := s.service.Club.Athlete(r.Context(), club.AthleteRequest{ID: id})
	if err != nil {
		return nil, err
	}
	found, err := s.service.Privacy.Privacy(r.Context(), records.IDRequest{ID: id})
	if err != nil {
		return nil, err
	}
	role := access.From(r.Context()).Role
	p := &privacyPage{RecordForm: f, Athlete: a, Minor: found.Minor, State: stateWords[found.State], Ask: found.State != privacy.Given, Own: role == access.Athlete, Remove: role != access.Athlete}
	for _, c := range found.Consents {
		line := saidLine{Day: page.Day(c.SaidOn), What: "consented", Note: c.Note, Entered: c.EnteredBy}
		if !c.Given {
			line.What = "withdrawn"
		}
		if c.Guardian != "" {
			line.What += ", by " + c.Guardian
		}
		p.Said = append(p.Said, line)
	}
	f.Address, f.Back = fmt.Sprintf("/athletes/%d/consents", id), fmt.Sprintf("/athletes/%d", id)
	f.Fields = []page.Value{
		page.TextField("given", "What was said", "").As("choice").Choose(page.Option{Value: "true", Label: "I agree"}, page.Option{Value: "false", Label: "I withdraw"}),
		page.TextField("said_on", "Day", "").As("date"),
		page.TextField("guardian", "Parent or guardian", "Who agrees for an athlete under 18."),
		page.TextField("note", "Note", "Such as where the signed form is."),
		page.ByField(),
	}
	f.Fill(f.Fields)
	return p, nil
}

func (s *site) privacy(w http.ResponseWriter, r *http.Request) error {
	f := page.NewForm(url.Values{"given": {"true"}, "said_on": {s.service.Club.Today()}, "by": {page.Who(r)}})
	p, err := s.privacyPage(r, f)
	if err != nil {
		return s.Fail(w, err)
	}
	return s.Pages.Show(w, http.StatusOK, "athlete_privacy", p)
}

func (s *site) addConsent(w http.ResponseWriter, r *http.Request) error {
	f := s.Sent(w, r)
	if f == nil {
		return s.Broken(w)
	}
	page.Remember(w, f.Text("by"))
	id := page.PathID(r, "id")
	said := privacy.NewConsent{AthleteID: id, Given: f.Ticked("given"), SaidOn: f.Text("said_on"), Guardian: f.Text("guardian"), Note: f.Text("note"), By: f.Text("by")}
	view := page.FormPage{Page: "athlete_privacy", Part: "consent-form", Build: func() (any, error) { return s.privacyPage(r, f) }}
	return s.Submit(w, r, f, view, func() (string, error) {
		_, err := s.service.Privacy.AddConsent(r.Context(), said)
		return fmt.Sprintf("/athletes/%d/privacy", id), err
	})
}

// everything sends all that is on record about an athlete as a file.
func (s *site) everything(w http.ResponseWriter, r *http.Request) error {
	all, err := s.service.Privacy.Everything(r.Context(), records.IDRequest{ID: page.PathID(r, "id")})
	if err != nil {
		return s.Fail(w, err)
	}
	body, err := json.MarshalIndent(all, "", "  ")
	if err != nil {
		return err
	}
	h := w.Header()
	h.Set("Content-Type", "application/json")
	h.Set("Cache-Control", "no-store")
	h.Set("Content-Disposition", fmt.Sprintf(`attachment; filename="athlete-%d.json"`, all.AthleteID))
	_, err = w.Write(body)
	return err
}
