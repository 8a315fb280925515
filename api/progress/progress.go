package progress

import (
	"cmp"
	"context"
	"math"
	"slices"

	"thole/api/club"
	"thole/api/wire"
	"thole/selection/stroke"
)

// AthleteRequest asks for a rower's progress.
type AthleteRequest struct {
	ID          int64    `path:"id" json:"-" validate:"gte=1"`
	RatePerMin  float64  `query:"rate_per_min" json:"-" validate:"omitempty,gte=8,lte=68" description:"Strokes within 1.5 of it; without it, the rate that most recordings hold."`
	ShareOfPeak *float64 `query:"share_of_peak" json:"-" validate:"omitempty,gte=0.01,lte=0.95" description:"At which slip is read in every recording; without it, 0.3."`
}

// Progress is a rower's recordings over time, at one rate.
type Progress struct {
	AthleteID  int64           `json:"athlete_id"`
	Athlete    string          `json:"athlete"`
	Said       []string        `json:"said" description:"In sentences, what is certain first: the newest recording against the one before, and the trends."`
	RatePerMin float64         `json:"rate_per_min" description:"Strokes within 1.5 of it count; 0 without recordings."`
	Rates      []ProgressRate  `json:"rates" description:"That the recordings hold."`
	Outings    []Outing        `json:"outings" description:"Oldest first; both oars of a sculler are one."`
	Series     []ProgressLine  `json:"series" description:"One a measure, those that were measured twice at least."`
	Rig        []RigMark       `json:"rig" description:"What was changed at the rig or in the boat, oldest first."`
	NotUsed    []string        `json:"not_used" description:"Recordings that are in no line, and why."`
	Threshold  string          `json:"threshold" description:"That every slip here refers to, in words."`
	Noise      string          `json:"noise" description:"What ± and the verdicts hold."`
	Before     *FeatureChanges `json:"before" description:"The newest recording at this rate against the one before; null with fewer than two."`
}

// ProgressRate is a rate that recordings hold.
type ProgressRate struct {
	RatePerMin float64 `json:"rate_per_min" description:"Strokes a minute."`
	Recordings int     `json:"recordings" description:"That hold five strokes within 1.5 of it."`
}

// Outing is one recording of a rower.
type Outing struct {
	RecordingID int64   `json:"recording_id" description:"Of the first oar."`
	Oars        int     `json:"oars" description:"Whose recordings are told together."`
	RecordedOn  string  `json:"recorded_on" description:"YYYY-MM-DD."`
	Boat        string  `json:"boat"`
	Seat        string  `json:"seat"`
	Note        string  `json:"note"`
	RatePerMin  float64 `json:"rate_per_min" description:"That most of its strokes were rowed at."`
	Strokes     int     `json:"strokes" description:"At the rate of the answer."`
	Used        bool    `json:"used" description:"It holds enough strokes at the rate."`
}

// ProgressLine is one measure over time.
type ProgressLine struct {
	Feature string          `json:"feature" description:"As in a recording."`
	Label   string          `json:"label"`
	Unit    string          `json:"unit" description:"Of every figure of the line; the catch is told as a length, above zero."`
	Points  []ProgressPoint `json:"points"`
	DaySD   float64         `json:"day_sd" description:"Scatter from day to day, the sensor's with it."`
	Own     bool            `json:"own" description:"The rower's own days tell the scatter; without, it is what is taken at first."`
	Trend   *ProgressTrend  `json:"trend" description:"Null with fewer than three days."`
}

// ProgressPoint is one recording's mean.
type ProgressPoint struct {
	RecordingID int64   `json:"recording_id"`
	RecordedOn  string  `json:"recorded_on"`
	Mean        float64 `json:"mean" description:"In the unit of the line."`
	SD          float64 `json:"sd" description:"From stroke to stroke."`
	Strokes     int     `json:"strokes"`
	NoiseSD     float64 `json:"noise_sd" description:"Of the mean: its strokes and its day."`
}

// ProgressTrend is the straight line through the points, each weighing by its
// noise.
type ProgressTrend struct {
	First    float64 `json:"first" description:"On the first day."`
	Last     float64 `json:"last" description:"On the last day."`
	HalfBand float64 `json:"half_band" description:"A recording within it lies on the trend: 19 of 20 do."`
	Change   Change  `json:"change" description:"From the first day to the last."`
	Said     string  `json:"said"`
}

// Change is a difference with its noise.
type Change struct {
	Value   float64 `json:"value" description:"After less before, in the unit of the measure."`
	NoiseSD float64 `json:"noise_sd" description:"Of the difference: strokes, days and sensors of both."`
	Times   float64 `json:"times" description:"The difference over its noise."`
	Verdict string  `json:"verdict" enum:"real,unclear,same,rate" description:"real: beyond the noise, 19 times of 20 not chance; unclear: too close to tell; same: within the noise; rate: beyond the noise, but rowed at another rate."`
}

// shareOf is the share of the peak asked for.
func shareOf(asked *float64) float64 { return wire.Or(asked, stroke.DefaultShare) }

// Athlete returns a rower's progress. Errors: ErrNotFound, or an *Invalid for a
// rate that no recording holds.
func (s *Service) Athlete(ctx context.Context, r AthleteRequest) (Progress, error) {
	w := newProgress(shareOf(r.ShareOfPeak))
	a, err := s.club.Athlete(ctx, club.AthleteRequest{ID: r.ID})
	if err != nil {
		return w, err
	}
	w.AthleteID, w.Athlete = a.ID, a.Name
	list, err := s.outings(ctx, r.ID, shareOf(r.ShareOfPeak))
	if err != nil {
		return w, err
	}
	w.Rates = rates(references(list))
	if w.RatePerMin = r.RatePerMin; w.RatePerMin == 0 && len(w.Rates) > 0 {
		w.RatePerMin = w.Rates[0].RatePerMin
	}
	used := w.tellOutings(list)
	if r.RatePerMin != 0 && len(used) == 0 {
		return w, wire.At("rate_per_min").Invalid("No recording holds five strokes at this rate.")
	}
	for k := range measures {
		if line, ok := lineOf(k, used, w.RatePerMin); ok {
			w.Series = append(w.Series, line)
		}
	}
	if w.Rig, err = s.rigMarks(ctx, list, s.Today()); err != nil {
		return w, err
	}
	if n := len(used); n >= 2 {
		c := changesOf(used[n-2], used[n-1], used, w.RatePerMin)
		w.Before = &c
	}
	w.say(used)
	return w, nil
}

func newProgress(share float64) Progress {
	return Progress{
		Said: []string{}, Rates: []ProgressRate{}, Outings: []Outing{}, Series: []ProgressLine{}, Rig: []RigMark{}, NotUsed: []string{},
		Threshold: stroke.Thresholds{Basis: stroke.ByShare, Share: share}.String(), Noise: noiseRule(),
	}
}

// tellOutings lists the outings and returns those that hold the rate.
func (w *Progress) tellOutings(list []outing) (used []*outing) {
	for i := range list {
		o := &list[i]
		n, _ := o.count(w.RatePerMin)
		one := Outing{
			RecordingID: o.text.ID, Oars: len(o.oars), RecordedOn: o.on(), Boat: o.text.Boat, Seat: o.text.Seat, Note: o.text.Note,
			RatePerMin: wire.Round(o.oars[0].commonRate(), 10), Strokes: n, Used: n >= fewestStrokes,
		}
		w.Outings = append(w.Outings, one)
		switch {
		case one.Used:
			used = append(used, o)
		case o.fault() != "":
			w.NotUsed = append(w.NotUsed, dayText(o.on())+": "+o.fault())
		default:
			w.NotUsed = append(w.NotUsed, dayText(o.on())+": rowed at "+wire.Fix(0, one.RatePerMin)+" a minute")
		}
	}
	return used
}

// sessionsOf returns a measure of the outings that have it, each with its place
// in the list; where it depends on the site of the force, of the site of the
// last alone.
func sessionsOf(k int, list []*outing, rate float64) (sessions []stroke.Session, at []int) {
	for i, o := range list {
		if measures[k].force && o.site() != list[len(list)-1].site() {
			continue
		}
		if s, ok := o.session(k, rate); ok {
			sessions, at = append(sessions, s), append(at, i)
		}
	}
	return sessions, at
}

// lineOf follows one measure; ok is false where it was measured less than twice.
func lineOf(k int, list []*outing, rate float64) (line ProgressLine, ok bool) {
	m := &measures[k]
	sessions, at := sessionsOf(k, list, rate)
	if len(sessions) < 2 {
		return line, false
	}
	noise := stroke.NoiseOf(sessions, m.sensorOf(sessions))
	line = ProgressLine{Feature: m.feature, Label: m.label, Unit: m.unit, DaySD: m.round(noise.SD), Own: noise.Own, Points: []ProgressPoint{}}
	for i := range sessions {
		line.Points = append(line.Points, ProgressPoint{
			RecordingID: list[at[i]].text.ID, RecordedOn: list[at[i]].on(), Mean: m.round(sessions[i].Mean), SD: m.round(sessions[i].SD),
			Strokes: sessions[i].N, NoiseSD: m.round(noise.Of(sessions[i])),
		})
	}
	if t, ok := stroke.TrendOf(sessions, noise); ok {
		line.Trend = m.trend(&t, sessions, list)
	}
	return line, true
}

func (m *measure) trend(t *stroke.Trend, sessions []stroke.Session, list []*outing) *ProgressTrend {
	first, last := sessions[0].Day, sessions[len(sessions)-1].Day
	w := &ProgressTrend{First: m.round(t.At(first)), Last: m.round(t.At(last)), HalfBand: m.round(t.Half), Change: m.change(t.Over, true)}
	w.Said = m.trendSaid(t.Over, last-first, len(sessions), list[0].on())
	return w
}

// round keeps two digits more than are shown.
func (m *measure) round(v float64) float64 { return wire.Round(v, math.Pow(10, float64(m.digits+2))) }

// change describes a gain; alike says that both sides were rowed at one rate.
func (m *measure) change(g stroke.Gain, alike bool) Change {
	w := Change{Value: m.round(g.By), NoiseSD: m.round(g.SD), Times: wire.Round(g.Times, 10), Verdict: "same"}
	switch {
	case g.Sure == stroke.Certain && alike:
		w.Verdict = "real"
	case g.Sure == stroke.Certain:
		w.Verdict = "rate"
	case g.Sure == stroke.Unclear:
		w.Verdict = "unclear"
	}
	return w
}

// mostSaid is how many sentences of each kind are reported; our judgement.
const mostSaid = 3

// say describes the newest recording against the one before, where something is
// certain there, the trends that are certain, and else the newest last.
func (w *Progress) say(used []*outing) {
	switch len(used) {
	case 0:
		w.Said = append(w.Said, "No recording yet: import one, and progress is told from the second on.")
		if len(w.Outings) > 0 {
			w.Said[0] = "No recording holds five strokes at one rate: there is nothing to follow yet."
		}
		return
	case 1:
		w.Said = append(w.Said, "One recording at this rate: progress is told from the second on.")
		return
	}
	var certain []ProgressLine
	for _, line := range w.Series {
		if line.Trend != nil && line.Trend.Change.Verdict == "real" {
			certain = append(certain, line)
		}
	}
	slices.SortStableFunc(certain, func(a, b ProgressLine) int { return cmp.Compare(b.Trend.Change.Times, a.Trend.Change.Times) }) // the surest first
	for i := range min(len(certain), mostSaid) {
		w.Said = append(w.Said, certain[i].Trend.Said)
	}
	at := len(w.Said)
	if slices.ContainsFunc(w.Before.List, func(c FeatureChange) bool { return c.Change.Verdict == "real" }) {
		at = 0
	}
	w.Said = slices.Insert(w.Said, at, w.Before.Said)
}
