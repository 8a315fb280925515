package strokes

import (
	"errors"
	"net/http"
	"slices"
	"strconv"

	"thole/api/records"
	"thole/api/rest"
	"thole/api/strokes"
	"thole/ui/page"
)

// correctForm is what was said of a recording, to be corrected.
type correctForm struct {
	Version, Athlete, Boat, Seat, Side, On, In, Out, Note, By string
	Athletes, Boats                                           []page.Option
	Changes                                                   []page.ChangeView
	Open                                                      bool
}

// fillCorrect fills the form from the recording.
func (s *site) fillCorrect(r *http.Request, p *strokePage) error {
	f := &p.Correct
	f.Version, f.Seat, f.Side, f.On, f.Note, f.By = strconv.FormatInt(p.R.Version, 10), p.R.Seat, p.R.Side, p.R.RecordedOn, p.R.Note, page.Who(r)
	if p.R.AthleteID != nil {
		f.Athlete = strconv.FormatInt(*p.R.AthleteID, 10)
	}
	if p.R.BoatID != nil {
		f.Boat = strconv.FormatInt(*p.R.BoatID, 10)
	}
	if l := p.R.Levers; l != nil {
		f.In = page.Plain(l.InCm)
		if l.OutCm != 0 {
			f.Out = page.Plain(l.OutCm)
		}
	}
	athletes, err := s.service.Club.AthleteNames(r.Context())
	if err != nil {
		return err
	}
	for _, a := range athletes {
		f.Athletes = append(f.Athletes, page.Option{Value: strconv.FormatInt(a.ID, 10), Label: a.Whole})
	}
	if f.Athlete != "" && !slices.ContainsFunc(f.Athletes, func(o page.Option) bool { return o.Value == f.Athlete }) {
		f.Athletes = append(f.Athletes, page.Option{Value: f.Athlete, Label: p.R.Athlete}) // archived
	}
	f.Boats = p.Rig.Boats
	if f.Boat != "" && !slices.ContainsFunc(f.Boats, func(o page.Option) bool { return o.Value == f.Boat }) {
		f.Boats = append(slices.Clone(f.Boats), page.Option{Value: f.Boat, Label: p.R.Boat})
	}
	history, err := s.service.Strokes.RecordingChanges(r.Context(), records.ChangesRequest{ID: p.R.ID})
	f.Changes = page.ChangeViews(history.Changes)
	return err
}

// strokeCorrect corrects what was said of a recording.
func (s *site) strokeCorrect(w http.ResponseWriter, r *http.Request, form *page.RecordForm) error {
	var problems []page.Problem
	edit := strokes.RecordingEdit{
		ID: page.PathID(r, "recording"), Version: form.KnownVersion(), AthleteID: idOf(form.Text("athlete")), BoatID: idOf(form.Text("boat")),
		Seat: form.Text("seat"), Side: form.Text("side"), RecordedOn: form.Text("recorded_on"), Note: form.Text("note"), By: form.Text("by"),
	}
	number := func(name, label string) float64 {
		text := form.Text(name)
		v, ok := page.ParseNumber(text)
		if text != "" && !ok {
			problems = append(problems, page.Problem{Label: label, Text: "“" + text + "” is not a number."})
		}
		return v
	}
	if form.Text("in_cm")+form.Text("out_cm") != "" {
		edit.Levers = &strokes.OarLevers{InCm: number("in_cm", "Pin to the hands"), OutCm: number("out_cm", "Pin to the middle of the blade")}
	}
	status := http.StatusUnprocessableEntity
	if len(problems) == 0 {
		_, err := s.service.Strokes.CorrectRecording(r.Context(), edit)
		if err == nil {
			return page.Saved(w, r, r.URL.Path+"#correct")
		}
		var moved *records.Conflict
		if errors.As(err, &moved) {
			status = http.StatusConflict
			problems = append(problems, page.Problem{Text: "This recording was corrected meanwhile: look at the history below, then save again."})
		} else if problems = correctProblems(err); problems == nil {
			return s.Fail(w, err)
		}
	}
	p, err := s.strokePage(r)
	if err != nil {
		return s.Fail(w, err)
	}
	p.Problems = append(p.Problems, problems...)
	f := &p.Correct
	f.Athlete, f.Boat, f.Seat, f.Side, f.On, f.In, f.Out = form.Text("athlete"), form.Text("boat"), form.Text("seat"), form.Text("side"), form.Text("recorded_on"), form.Text("in_cm"), form.Text("out_cm")
	f.Note, f.By, f.Open = form.Text("note"), form.Text("by"), true
	return s.Pages.Show(w, status, "stroke", p)
}

// correctLabels are the words of the form.
var correctLabels = map[string]string{
	"athlete_id": "Rower", "boat_id": "Boat", "seat": "Seat", "side": "Side of the oar", "recorded_on": "Day", "note": "Note", "by": "Your name",
	"levers.in_cm": "Pin to the hands", "levers.out_cm": "Pin to the middle of the blade",
}

// correctProblems tells what is wrong at its field; nil for what cannot be told
// in the form.
func correctProblems(err error) (list []page.Problem) {
	explained := rest.Explain(err)
	if explained.Status != http.StatusUnprocessableEntity {
		return nil
	}
	for _, f := range explained.Errors {
		list = append(list, page.Problem{Label: correctLabels[f.Field], Text: f.Detail})
	}
	return list
}
