package progress

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"time"

	"thole/api/records"
	"thole/api/store"
	"thole/api/strokefile"
	"thole/api/strokes"
	"thole/api/wire"
	"thole/selection/stroke"
)

// measure is one measure that is followed over time.
type measure struct {
	feature    string // of a stroke, on the wire
	label      string
	unit       string
	digits     int
	factor     float64 // from the feature to what is shown
	more, less string  // said of the change
	sensor     float64 // what a sensor may be off by from day to day, 1 SD, in the unit shown
	share      float64 // the same as a share of the value
	force      bool    // depends on where the force was measured
	sum        bool    // of both oars of a sculler, not their mean
}

// What sensors are taken to be off by from day to day, 1 SD: judgements of ours.
// The zero of an oar's angle is set by eye to about half a degree, in either
// plane; half a degree of vertical angle is 1.5 cm at the blade, or 15 ms of a
// blade that sinks at 1 m/s; a force gate keeps its gain to about 2 %.
const (
	zeroDeg   = 0.5
	zeroCm    = 1.5
	zeroMs    = 15
	gainShare = 0.02
)

// measures are those followed, in the order people read them.
var measures = []measure{
	{feature: "catch_slip_deg", label: "Catch slip", unit: "°", digits: 1, factor: 1, more: "more", less: "less"},
	{feature: "release_slip_deg", label: "Release slip", unit: "°", digits: 1, factor: 1, more: "more", less: "less"},
	{feature: "catch_deg", label: "Catch", unit: "°", digits: 1, factor: -1, more: "longer", less: "shorter", sensor: zeroDeg},
	{feature: "finish_deg", label: "Finish", unit: "°", digits: 1, factor: 1, more: "longer", less: "shorter", sensor: zeroDeg},
	{feature: "effective_arc_deg", label: "Effective arc", unit: "°", digits: 1, factor: 1, more: "longer", less: "shorter"},
	{feature: "peak_n", label: "Peak force", unit: "N", digits: 0, factor: 1, more: "more", less: "less", share: gainShare, force: true},
	{feature: "peak_place", label: "Place of the peak", unit: "% of the arc", digits: 0, factor: 100, more: "later", less: "sooner"},
	{feature: "power_w", label: "Power", unit: "W", digits: 0, factor: 1, more: "more", less: "less", share: gainShare, sum: true},
	{feature: "rhythm", label: "Rhythm (drive : recovery)", unit: "", digits: 2, factor: 1, more: "more", less: "less"},
	{feature: "carry_height_cm", label: "Blade carried", unit: "cm", digits: 1, factor: 1, more: "higher", less: "lower", sensor: zeroCm},
	{feature: "entry_moment_s", label: "Blade meets the water", unit: "ms", digits: 0, factor: 1000, more: "later", less: "sooner", sensor: zeroMs},
	{feature: "detour_deg", label: "Depth below just covered", unit: "°", digits: 1, factor: 1, more: "more", less: "less", sensor: zeroDeg},
}

// features are those read of each stroke: the measures and, last, the rate.
var features = func() []string {
	var list []string
	for i := range measures {
		list = append(list, measures[i].feature)
	}
	return append(list, "rate_per_min")
}()

// RateWindow is how far a stroke's rate may lie off the rate asked for, strokes
// a minute: a crew's strokes at a steady rate differ by half a stroke, and slip
// and arc change with rate. A judgement of ours.
const RateWindow = 1.5

// fewestStrokes is how many strokes at a rate make a session: with fewer the error of
// the mean is itself hardly known (engineering judgement).
const fewestStrokes = 5

// profile is a recording stroke by stroke.
type profile struct {
	row    store.Recording
	terms  strokes.RecordingTerms
	values [][]float64 // of each stroke, by features; NaN where there is none
	fault  string      // why it is not used
}

func (p *profile) rate(i int) float64 { return p.values[i][len(features)-1] }

// session is a measure of the strokes at about a rate; ok is false with too few.
func (p *profile) session(k int, rate float64) (s stroke.Session, ok bool) {
	var m strokes.Mean
	for i := range p.values {
		if math.Abs(p.rate(i)-rate) <= RateWindow {
			m.Add(p.values[i][k] * measures[k].factor)
		}
	}
	return stroke.Session{Day: dayNumber(p.row.RecordedOn), N: m.N, Mean: m.Mean, SD: m.Sd()}, m.N >= fewestStrokes
}

// count returns how many strokes lie at about a rate, and their mean rate.
func (p *profile) count(rate float64) (n int, mean float64) {
	for i := range p.values {
		if v := p.rate(i); math.Abs(v-rate) <= RateWindow {
			n, mean = n+1, mean+v
		}
	}
	return n, mean / float64(max(n, 1))
}

// commonRate is the rate with the most strokes, a minute.
func (p *profile) commonRate() float64 {
	best, rate := 0, 0.0
	for r := slowest; r <= fastest; r++ {
		if n, mean := p.count(r); n > best {
			best, rate = n, mean
		}
	}
	return rate
}

// The rates looked at, strokes a minute: from drills to beyond any start (engineering
// judgement).
const slowest, fastest = 8.0, 68.0

// dayNumber counts days.
func dayNumber(day string) float64 {
	t, err := time.Parse(wire.DayLayout, day)
	if err != nil {
		return 0 // the store refuses what is no day
	}
	return math.Floor(t.Sub(time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)).Hours() / 24)
}

// profileOf reads a recording stroke by stroke, its slips at a share of the peak.
func (s *Service) profileOf(ctx context.Context, row *store.Recording, share float64) (*profile, error) {
	key := fmt.Sprintf("%d %d %g", row.ID, row.Version, share)
	if kept, ok := s.profiles.Get(key); ok {
		return kept, nil
	}
	p := &profile{row: *row}
	if err := json.Unmarshal([]byte(row.Thresholds), &p.terms); err != nil {
		return nil, fmt.Errorf("recording %d: its terms: %w", row.ID, err)
	}
	read := s.storedStrokes
	if own := p.terms.Thresholds.ShareOfPeak; own == nil || *own != share {
		read = func(ctx context.Context, p *profile) error { return s.measuredStrokes(ctx, p, share) }
	}
	if err := read(ctx, p); err != nil {
		return nil, err
	}
	if len(p.values) == 0 {
		p.fault = "a mean curve alone, with no rate and no spread"
	}
	s.profiles.Put(key, p)
	return p, nil
}

// storedStrokes takes the strokes as they are on record.
func (s *Service) storedStrokes(ctx context.Context, p *profile) error {
	each, err := s.Store.RecordingStrokes(ctx, p.row.ID, features)
	if err != nil {
		return records.RecordError(err)
	}
	last := 0
	for _, v := range each {
		if v.Stroke != last {
			p.values = append(p.values, unknown())
			last = v.Stroke
		}
		p.values[len(p.values)-1][slices.Index(features, v.Feature)] = v.Value
	}
	return nil
}

// measuredStrokes measures the recording at another threshold than it was
// imported with.
func (s *Service) measuredStrokes(ctx context.Context, p *profile, share float64) error {
	m, err := s.strokes.MeasureAgain(ctx, &strokes.RecordingRequest{ID: p.row.ID, ShareOfPeak: &share})
	if err != nil {
		return err
	}
	for i := range m.Oar.Strokes {
		values := unknown()
		for _, f := range strokefile.Features {
			if k := slices.Index(features, f.Name); k >= 0 {
				if v, ok := m.Oar.Strokes[i].Value(f.Of); ok {
					values[k] = f.Wire(v)
				}
			}
		}
		p.values = append(p.values, values)
	}
	return nil
}

func unknown() []float64 {
	list := make([]float64, len(features))
	for i := range list {
		list[i] = math.NaN()
	}
	return list
}

// outing is what one rower did in one file: one oar, or both of a sculler.
type outing struct {
	oars []*profile
	text strokes.RecordingSummary // of the first oar
}

func (o *outing) on() string { return o.text.RecordedOn }

func (o *outing) fault() string { return o.oars[0].fault }

// site is where the force was measured.
func (o *outing) site() string { return o.oars[0].terms.Force }

// session is a measure of all oars at about a rate: their mean, or their sum.
func (o *outing) session(k int, rate float64) (all stroke.Session, ok bool) {
	var squares float64
	for i, p := range o.oars {
		s, ok := p.session(k, rate)
		if !ok {
			return all, false
		}
		if i == 0 {
			all = s
			all.Mean = 0
		}
		all.N = min(all.N, s.N)
		all.Mean += s.Mean / float64(len(o.oars))
		squares += s.SD * s.SD / float64(len(o.oars))
	}
	all.SD = math.Sqrt(squares)
	if measures[k].sum {
		all.Mean *= float64(len(o.oars))
		all.SD *= float64(len(o.oars))
	}
	return all, true
}

func (o *outing) count(rate float64) (int, float64) { return o.oars[0].count(rate) }

// holds reports whether enough strokes were rowed at a rate.
func (o *outing) holds(rate float64) bool {
	n, _ := o.count(rate)
	return n >= fewestStrokes
}

// outings returns the recordings of a rower, oldest first, both oars of a sculler
// together.
func (s *Service) outings(ctx context.Context, athleteID int64, share float64) ([]outing, error) {
	rows, err := s.Store.Recordings(ctx, store.RecordingFilter{AthleteID: athleteID})
	if err != nil {
		return nil, records.RecordError(err)
	}
	told, err := s.strokes.Recordings(ctx, strokes.RecordingsRequest{AthleteID: athleteID})
	if err != nil {
		return nil, err
	}
	texts := map[int64]strokes.RecordingSummary{}
	for _, one := range told.Recordings {
		texts[one.ID] = one
	}
	var list []outing
	for i := range slices.Backward(rows) {
		p, err := s.profileOf(ctx, &rows[i], share)
		if err != nil {
			return nil, err
		}
		if k := slices.IndexFunc(list, func(o outing) bool { return len(o.oars) == 1 && strokes.SameOuting(&o.oars[0].row, &rows[i]) }); k >= 0 {
			list[k].oars = append(list[k].oars, p)
			continue
		}
		list = append(list, outing{[]*profile{p}, texts[rows[i].ID]})
	}
	return list, nil
}

// sensor is what the sensors make of a measure from day to day.
func (m *measure) sensorOf(list []stroke.Session) float64 {
	var mean float64
	for i := range list {
		mean += list[i].Mean / float64(len(list))
	}
	return math.Hypot(m.sensor, m.share*mean)
}

// rates returns the rates that the outings were rowed at, the one that most of
// them hold first: each with how many.
func rates(list []*outing) []ProgressRate {
	left := slices.Clone(list)
	found := []ProgressRate{}
	for len(left) > 0 {
		best := bestRate(left)
		if best.Recordings == 0 {
			break
		}
		found = append(found, best)
		left = slices.DeleteFunc(left, func(o *outing) bool { return o.holds(best.RatePerMin) })
	}
	return found
}

// bestRate is the rate that most outings hold; of equal ones that with the most
// strokes, of these the nearest to them.
func bestRate(list []*outing) (best ProgressRate) {
	most, nearest := 0, math.Inf(1)
	for r := slowest; r <= fastest; r++ {
		held, all, off := 0, 0, 0.0
		for _, o := range list {
			if n, mean := o.count(r); n >= fewestStrokes {
				held, all, off = held+1, all+n, off+math.Abs(mean-r)
			}
		}
		better := held > best.Recordings || held == best.Recordings && (all > most || all == most && off < nearest)
		if held > 0 && better {
			most, nearest, best = all, off, ProgressRate{RatePerMin: r, Recordings: held}
		}
	}
	return best
}
