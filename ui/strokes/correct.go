package strokes

import (
	"errors"
	"net/http"
	"slices"
	"strconv"
	files "thole/ui/strokefile"

	"thole/api/records"
	"thole/api/rest"
	"thole/api/strokefile"
	"thole/api/strokes"
	"thole/api/wire"
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
	if err := s.fillRowers(r, f); err != nil {
		return err
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

// fillRowers offers whose a recording may be: not to an athlete, whose own it stays.
func (s *site) fillRowers(r *http.Request, f *correctForm) (err error) {
	if files.SelfOf(r) == 0 {
		f.Athletes, err = files.Everybody(r.Context(), s.service)
	}
	return err
}

// strokeCorrect corrects what was said of a recording.
func (s *site) strokeCorrect(w http.ResponseWriter, r *http.Request, form *page.RecordForm) error {
	var problems []page.Problem
	edit := strokes.RecordingEdit{
		ID: page.PathID(r, "recording"), Version: form.KnownVersion(), AthleteID: files.IDOf(files.Given(form.Text("athlete"), files.SelfOf(r))), BoatID: files.IDOf(form.Text("boat")),
		Seat: form.Text("seat"), Side: form.Text("side"), RecordedOn: form.Text("recorded_on"), Note: form.Text("note"), By: form.Text("by"),
	}
	number := func(name string, f page.FieldAt) float64 {
		text := form.Text(name)
		v, complaint := wire.ReadNumber(text)
		if text != "" && complaint != "" {
			problems = append(problems, page.Problem{Field: f.ID, Label: f.Label, Text: complaint})
		}
		return v
	}
	if form.Text("in_cm")+form.Text("out_cm") != "" {
		edit.Levers = &strokefile.OarLevers{InCm: number("in_cm", leverIn), OutCm: number("out_cm", leverOut)}
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
			problems = append(problems, page.Problem{Text: "This recording was corrected meanwhile: check the history below, then save again."})
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

// The fields of the form that hold numbers.
var (
	leverIn  = page.FieldAt{At: wire.At("levers", "in_cm"), ID: "c-in", Label: "Pin to the hands"}
	leverOut = page.FieldAt{At: wire.At("levers", "out_cm"), ID: "c-out", Label: "Pin to the middle of the blade"}
)

// correctFields are the fields of the form.
var correctFields = page.FieldsAt{
	{At: wire.At("athlete_id"), ID: "c-athlete", Label: "Rower"}, {At: wire.At("boat_id"), ID: "c-boat", Label: "Boat"},
	{At: wire.At("seat"), ID: "c-seat", Label: "Seat"}, {At: wire.At("side"), ID: "c-side", Label: "Side of the oar"},
	{At: wire.At("recorded_on"), ID: "c-day", Label: "Day"}, {At: wire.At("note"), ID: "c-note", Label: "Note"},
	{At: wire.At("by"), ID: "c-by", Label: "Your name"}, leverIn, leverOut,
}

// correctProblems puts what is wrong at its field; nil for what cannot be said in
// the form.
func correctProblems(err error) []page.Problem {
	explained := rest.Explain(err)
	if explained.Status != http.StatusUnprocessableEntity {
		return nil
	}
	return correctFields.Problems(explained.Errors)
}
