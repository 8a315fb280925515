package progress

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"thole/api/advice"
	"thole/api/strokes"
	"thole/api/wire"
)

// ReportRequest asks for the report of a recording.
type ReportRequest struct {
	ID         int64   `path:"id" json:"-" validate:"gte=1"`
	RatePerMin float64 `query:"rate_per_min" json:"-" validate:"omitempty,gte=8,lte=68" description:"Only the strokes rowed at about this rate; without it, the rate with the most strokes."`
}

// Report is what an athlete is handed.
type Report struct {
	Recording strokes.RecordingSummary `json:"recording"`
	First     advice.First             `json:"first" description:"What to work on first."`
	Tasks     []string                 `json:"tasks" description:"What to do until the next recording, one a finding; common practice."`
	Since     *SinceBefore             `json:"since" description:"Against the recording before at this rate; null where there is none."`
	Measured  []ReportFigure           `json:"measured" description:"What was measured, in the order it is read."`
	Evidence  string                   `json:"evidence" description:"How it was measured."`
	LeavesOut string                   `json:"leaves_out" description:"What the model leaves out."`
	Care      string                   `json:"care" description:"Whose advice comes first."`
}

// SinceBefore is what changed since an earlier recording.
type SinceBefore struct {
	RecordingID int64    `json:"recording_id"`
	RecordedOn  string   `json:"recorded_on"`
	Said        string   `json:"said"`
	Changes     []string `json:"changes" description:"What else is beyond one SD of its noise, the surest first, three at most."`
	RateSaid    string   `json:"rate_said"`
}

// ReportFigure is one figure of the report.
type ReportFigure struct {
	Feature string  `json:"feature"`
	Label   string  `json:"label"`
	Value   float64 `json:"value" description:"In the unit told; the catch as a length, above zero."`
	SD      float64 `json:"sd" description:"From stroke to stroke."`
	Unit    string  `json:"unit"`
	Plain   string  `json:"plain" description:"What it is, in plain words."`
}

// Care is said on every report.
const Care = "Change one thing at a time. Pain in the back, the ribs or the wrists is a reason to stop and to ask a licensed clinician; " +
	"your federation’s rules and your coach come before this page."

// reported are the figures of a report.
var reported = []struct{ feature, label, unit, plain string }{
	{"catch_deg", "Catch", "°", "how far before square the oar is when you reach furthest"},
	{"finish_deg", "Finish", "°", "how far past square the oar is at the body"},
	{"catch_slip_deg", "Catch slip", "°", "arc rowed before the blade holds"},
	{"release_slip_deg", "Release slip", "°", "arc rowed after the force has gone"},
	{"rate_per_min", "Rate", "a minute", "strokes"},
	{"peak_n", "Peak force", "N", "the hardest point of a stroke"},
	{"power_w", "Power", "W", "of this oar, over the whole stroke"},
	{"boat_speed_m_s", "Boat speed", "m/s", "mean of these strokes"},
}

// Report returns the report of a recording. Errors: ErrNotFound, or an *Invalid
// for a rate at which nothing was rowed.
func (s *Service) Report(ctx context.Context, r ReportRequest) (Report, error) {
	w := Report{Tasks: []string{}, Measured: []ReportFigure{}, Care: Care}
	var err error
	if w.First, err = s.advice.First(ctx, advice.FirstRequest{ID: r.ID, RatePerMin: r.RatePerMin}); err != nil {
		return w, err
	}
	ask := strokes.RecordingRequest{ID: r.ID, RatePerMin: r.RatePerMin}
	all, err := s.strokes.Recording(ctx, ask)
	if err == nil && r.RatePerMin == 0 && len(all.Oar.Rates) > 1 {
		ask.RatePerMin = w.First.RatePerMin
		all, err = s.strokes.Recording(ctx, ask)
	}
	if err != nil {
		return w, err
	}
	w.Recording, w.LeavesOut = all.RecordingSummary, w.First.LeavesOut
	for i := range w.First.Findings {
		if do := w.First.Findings[i].Do; len(do) > 0 {
			w.Tasks = append(w.Tasks, do[0])
		}
	}
	w.measured(&all)
	w.Evidence = fmt.Sprintf("%d strokes at about %s a minute, %s. ± is one standard deviation from stroke to stroke. Slip: %s. Force at the %s.",
		all.Oar.Strokes, wire.Fix(0, w.First.RatePerMin), dayText(all.RecordedOn), w.First.Threshold, all.Force)
	w.Since, err = s.since(ctx, &all.RecordingSummary, w.First.RatePerMin)
	return w, err
}

func (w *Report) measured(r *strokes.Recording) {
	for _, f := range reported {
		if v, ok := r.Oar.Features[f.feature]; ok {
			mean := v.Mean
			if f.feature == "catch_deg" {
				mean = -mean
			}
			w.Measured = append(w.Measured, ReportFigure{f.feature, f.label, mean, v.SD, f.unit, f.plain})
		}
	}
}

// since compares with the newest recording before that holds the rate; nil where
// there is none.
func (s *Service) since(ctx context.Context, r *strokes.RecordingSummary, rate float64) (*SinceBefore, error) {
	if r.AthleteID == nil || rate == 0 {
		return nil, nil
	}
	list, err := s.outings(ctx, *r.AthleteID, shareOf(nil))
	if err != nil {
		return nil, err
	}
	own := outingOf(list, r.ID)
	for i := range slices.Backward(list[:own]) {
		if !list[i].holds(rate) {
			continue
		}
		c, err := s.Between(ctx, BetweenRequest{A: list[i].text.ID, B: r.ID})
		if bad := new(wire.Invalid); errors.As(err, &bad) {
			return nil, nil
		}
		if err != nil {
			return nil, err
		}
		return newSince(&c), nil
	}
	return nil, nil
}

func newSince(c *Between) *SinceBefore {
	w := &SinceBefore{RecordingID: c.Before.RecordingID, RecordedOn: c.Before.RecordedOn, Said: c.Changes.Said, RateSaid: c.Changes.RateSaid, Changes: []string{}}
	for i, one := range c.Changes.List {
		told := one.Change.Verdict == "real" && i < mostInShort
		if one.Change.Verdict != "same" && !told && len(w.Changes) < mostSaid {
			w.Changes = append(w.Changes, one.Said)
		}
	}
	return w
}
