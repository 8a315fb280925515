package savedlineup

import (
	"net/http"
	"net/url"
	"strconv"

	"thole/api/savedlineup"
	"thole/selection"
	"thole/ui/page"
)

// Why a saved line-up, for whoever asks: what decided it, what is open, what the
// crew raced, and the note that stands with it.

// caseView is the case of a line-up as the page tells it.
type caseView struct {
	savedlineup.LineupCase
	Rows  []choiceRow
	Raced []racedRow
	Among page.SquadChoice
}

// choiceRow is one seat of the crew against the nearest outside.
type choiceRow struct {
	savedlineup.LineupChoice
	Mark, Sure string // how sure the choice is, in words
	Needs      string // what the other would need, in words
}

// racedRow is a piece that the crew rowed.
type racedRow struct {
	savedlineup.RacedCrew
	Crew, Result string
}

// certaintyMarks are the shapes of the certainties, that stand beside their words.
var certaintyMarks = map[string]string{"firm": "●", "likely": "◑", "open": "○"}

func (s *site) caseOf(r *http.Request, id int64) (*caseView, error) {
	among, err := page.ChooseSquad(r.Context(), s.service.Club, r.URL.Query().Get(page.Among))
	if err != nil {
		return nil, err
	}
	c, err := s.service.Savedlineup.Why(r.Context(), savedlineup.CaseRequest{ID: id, SquadID: among.ID})
	if err != nil {
		return nil, err
	}
	v := &caseView{LineupCase: c, Among: among}
	for _, x := range c.Choices {
		v.Rows = append(v.Rows, choiceRow{x, certaintyMarks[x.Certainty], sureWords(&x), needWords(x.NeedsW)})
	}
	for _, x := range c.Raced {
		v.Raced = append(v.Raced, racedRow{x, crewWords(&x), resultWords(&x)})
	}
	return v, nil
}

// sureWords reports how sure a choice is; one that is rather the other's says so.
func sureWords(x *savedlineup.LineupChoice) string {
	if x.Chance < 0.5 && x.Certainty != "open" {
		return x.Certainty + " for the other, " + percentWords(1-x.Chance)
	}
	return x.Certainty + ", " + percentWords(x.Chance)
}

// percentWords writes a chance, of which nothing is certain.
func percentWords(chance float64) string {
	if chance > 0.99 {
		return "over 99 %"
	}
	return page.Fix(0, 100*chance) + " %"
}

// needWords reports how far the other is from the place.
func needWords(w float64) string {
	switch {
	case w >= 0.5:
		return page.Fix(0, w) + " W more"
	case w <= -0.5:
		return "ahead by " + page.Fix(0, -w) + " W"
	}
	return "level"
}

// crewWords reports how a crew that raced differs from the line-up.
func crewWords(x *savedlineup.RacedCrew) string {
	if len(x.With) == 0 && len(x.Without) == 0 {
		return "this crew"
	}
	switch {
	case len(x.With) == 0:
		return "without " + x.Without[0]
	case len(x.Without) == 0:
		return "with " + x.With[0]
	}
	return "with " + x.With[0] + " in for " + x.Without[0]
}

// resultWords reports how a crew came in.
func resultWords(x *savedlineup.RacedCrew) string {
	switch {
	case x.BehindS == nil:
		return "no time"
	case *x.BehindS == 0 && x.Boats > 1:
		return "first of " + strconv.Itoa(x.Boats)
	case *x.BehindS == 0:
		return "alone"
	}
	return "+" + page.Fix(1, *x.BehindS) + " s behind the first of " + strconv.Itoa(x.Boats)
}

// Predicted is the time over 2000 m that the speed makes.
func (v *caseView) Predicted() string { return page.Clock(selection.RaceDistance / v.SpeedMS) }

// noteForm is the form for the note of a line-up.
type noteForm struct {
	*page.RecordForm
	Lines []page.Value
}

func newNoteForm(f *page.RecordForm, id int64) *noteForm {
	n := &noteForm{RecordForm: f, Lines: []page.Value{page.TextField("note", "Note", "Stands with the crew, on paper, too.").As("area"), page.ByField()}}
	f.Address = "/line-ups/saved/" + strconv.FormatInt(id, 10)
	f.Fill(n.Lines)
	return n
}

// noteOf is the form as the line-up stands.
func noteOf(r *http.Request, l *savedlineup.SavedLineup) *noteForm {
	return newNoteForm(page.NewForm(url.Values{"note": {l.Note}, "by": {page.Who(r)}, "version": {strconv.FormatInt(l.Version, 10)}}), l.ID)
}

func (s *site) saveNote(w http.ResponseWriter, r *http.Request) error {
	f := s.Sent(w, r)
	if f == nil {
		return s.Broken(w)
	}
	id := page.PathID(r, "id")
	request := savedlineup.LineupNote{ID: id, Version: f.KnownVersion(), Note: f.Text("note"), By: f.Text("by")}
	form := page.FormPage{Page: "lineup_saved", Part: "lineup-note", Build: func() (any, error) {
		p, err := s.view(r, id)
		if err == nil {
			p.NoteForm = newNoteForm(f, id)
		}
		return p, err
	}}
	return s.Submit(w, r, f, form, func() (string, error) {
		_, err := s.service.Savedlineup.SetNote(r.Context(), request)
		return "/line-ups/saved/" + strconv.FormatInt(id, 10), err
	})
}
