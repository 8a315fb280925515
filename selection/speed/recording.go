package speed

import (
	"math"

	"thole/rigging"
)

// Measure is one measured feature of a rower's strokes against what it is held
// to. The zero Measure is one that was not measured.
type Measure struct {
	Mean float64
	SD   float64 // from stroke to stroke

	// Reference is what Mean is held against; Source names it and is "" where
	// there is none.
	Reference float64
	Source    string
	// OwnBest says that the reference is the mean of the best tenth of the
	// same strokes, which lies off their mean by chance alone.
	OwnBest bool

	Known bool
}

// Recording is what was measured of one rower, in SI units, with the boat it
// was measured in.
type Recording struct {
	Hull    float64 // hull and coxswain, kg
	Rowers  int     // in the boat; the others are taken to row as this one
	Rate    float64 // strokes a minute
	Speed   float64 // mean speed of the boat, m/s; 0 where it is not known
	Drag    float64 // k, N·s²/m²; replaced by what gives Speed where that is known
	Power   float64 // measured at the rower's handle, W; 0 where it is not known
	Strokes int     // measured

	// Seat holds the rower's mass, oars, levers, blade, travel, pick-up and
	// peak force; its angles, shape, entry and depth come from the measures.
	Seat Seat

	// Curve is the mean force at Nodes evenly spaced angles from catch to
	// finish, in any unit; nil where only features are known, and then a hump
	// stands in.
	Curve []float64
	// Level is the share of the peak force at which slip is read.
	Level float64

	// Lengths of the arc before and after square, above zero; slips; the place
	// of the peak as a share of the arc between the slips; how far the blade is
	// carried below just covered. Angles in rad.
	Catch, Finish          Measure
	CatchSlip, ReleaseSlip Measure
	PeakPlace              Measure
	Depth                  Measure

	// The entry, from a vertical angle: see Entry.
	Height, Sink, Start Measure

	// Reach is the catch the body is able to reach, above zero, rad; 0 where it
	// is not known. No reference asks for more. ReachSD is how well it is known,
	// and CatchZero how well the zero of the catch is, rad.
	Reach, ReachSD, CatchZero float64
	// Hands is the speed of the hands along their arc at the moment the blade
	// is covered, m/s; 0 where it is not known.
	Hands float64
}

// FootLevel is the share of the peak force below which a measured curve counts
// as unloaded (engineering judgement: twice the noise of a mean curve).
const FootLevel = 0.04

// stroke returns the boat of the recording as the model takes it, without
// entry.
func (r *Recording) stroke() (Stroke, error) {
	if err := r.check(); err != nil {
		return Stroke{}, err
	}
	seat := r.Seat
	seat.Catch, seat.Finish = -rigging.Angle(r.Catch.Mean), rigging.Angle(r.Finish.Mean)
	seat.Entry = Entry{}
	if r.Depth.Known {
		seat.Depth = rigging.Angle(max(r.Depth.Mean, 0))
	}
	if r.Curve == nil {
		r.fitHump(&seat)
	} else if err := r.fitCurve(&seat); err != nil {
		return Stroke{}, err
	}
	s := Stroke{Hull: r.Hull, Drag: r.Drag, Rate: r.Rate}
	for range r.Rowers {
		s.Seats = append(s.Seats, seat)
	}
	return s, s.check()
}

// check returns what the model cannot do without. The ranges of the angles, 15 to 85°
// at the catch and 5 to 65° at the finish, are those of [Seat]; that the slips leave a
// fifth of the arc is our judgement.
func (r *Recording) check() error {
	errs := outside("rowers", float64(r.Rowers), 1, MaxSeats, rigging.Count)
	errs = append(errs, outside("level", r.Level, 0.05, 0.9, rigging.Count)...)
	errs = append(errs, needed("catch", r.Catch, float64(minCatch), float64(maxCatch))...)
	errs = append(errs, needed("finish", r.Finish, float64(minFinish), float64(maxFinish))...)
	errs = append(errs, needed("catch_slip", r.CatchSlip, 0, 1)...)
	errs = append(errs, needed("release_slip", r.ReleaseSlip, 0, 1)...)
	for _, m := range r.measures() {
		if !m.finite() {
			errs = append(errs, mismatch("measures", "a figure is no number, or a spread below zero"))
			break
		}
	}
	if !(r.Power >= 0 && r.Hands >= 0 && r.Reach >= 0 && r.ReachSD >= 0 && r.CatchZero >= 0) {
		errs = append(errs, mismatch("power", "power, speed of the hands and reach are no less than zero"))
	}
	if r.Speed != 0 {
		errs = append(errs, outside("speed", r.Speed, minSpeed, maxSpeed, rigging.Speed)...)
	}
	if len(errs) == 0 && r.CatchSlip.Mean+r.ReleaseSlip.Mean > 0.8*(r.Catch.Mean+r.Finish.Mean) {
		errs = append(errs, mismatch("catch_slip", "the slips leave no arc to work in"))
	}
	if len(errs) == 0 {
		return nil
	}
	return errs
}

// needed returns the problem of an angle that is missing or out of its range.
func needed(field rigging.Field, m Measure, low, high float64) rigging.FieldErrors {
	if !m.Known {
		return rigging.FieldErrors{{Place: rigging.PlaceOf(field), Problem: rigging.ProblemMissing, Detail: "this was not measured"}}
	}
	return outside(field, m.Mean, low, high, rigging.Plane)
}

// measures returns all that can be held against a reference.
func (r *Recording) measures() [9]Measure {
	return [9]Measure{r.Catch, r.Finish, r.CatchSlip, r.ReleaseSlip, r.PeakPlace, r.Depth, r.Height, r.Sink, r.Start}
}

// fitHump gives the seat the hump that peaks where the rower's force does and
// crosses the level at the slips measured.
func (r *Recording) fitHump(seat *Seat) {
	seat.Shape = Hump(UsualPeakPlace)
	if r.PeakPlace.Known {
		seat.Shape = Hump(humpPlace(r.PeakPlace.Mean, r.Level))
	}
	rise, fall := seat.Shape.crossings(r.Level)
	effective := r.Catch.Mean + r.Finish.Mean - r.CatchSlip.Mean - r.ReleaseSlip.Mean
	arc := effective / (fall - rise)
	seat.Hold = rigging.Angle(max(r.CatchSlip.Mean-rise*arc, 0))
	seat.Release = rigging.Angle(max(r.ReleaseSlip.Mean-(1-fall)*arc, 0))
}

// humpPlace returns the place of a hump's peak in its loaded arc when it stands
// at a share of the arc between the crossings of the level.
func humpPlace(share, level float64) float64 {
	return bisect(minPlace, maxPlace, func(p float64) float64 {
		rise, fall := Hump(p).crossings(level)
		return (p-rise)/(fall-rise) - share
	})
}

// fitCurve gives the seat the measured curve between the feet of its flanks.
func (r *Recording) fitCurve(seat *Seat) error {
	whole, err := Curve(r.Curve)
	if err != nil {
		return err
	}
	rise, fall := feet(whole, r.Level)
	arc := r.Catch.Mean + r.Finish.Mean
	seat.Shape = whole.between(rise, fall)
	seat.Hold, seat.Release = rigging.Angle(rise*arc), rigging.Angle((1-fall)*arc)
	if rise > 0.5 || fall < 0.5 {
		return refusal("curve", "the force does not rise and fall once over the arc")
	}
	return nil
}

// feet returns the shares of the arc at which the flanks that cross the level
// leave and reach the ground. Feet of less than a node are none.
func feet(f Shape, level float64) (rise, fall float64) {
	const node = 1.0 / (Nodes - 1) // of the arc, by definition
	rise, fall = f.crossings(level)
	for rise > 0 && f.At(rise) > FootLevel {
		rise = max(rise-node/4, 0)
	}
	for fall < 1 && f.At(fall) > FootLevel {
		fall = min(fall+node/4, 1)
	}
	if rise < node {
		rise = 0
	}
	if fall > 1-node {
		fall = 1
	}
	return rise, fall
}

// entered reports whether the whole way into the water was measured.
func (r *Recording) entered() bool {
	return r.Height.Known && r.Sink.Known && r.Start.Known && r.Sink.Mean > 0
}

// Beyond reports whether the mean is off its reference by more than the strokes'
// own noise, so that Rank prices it. It is false without a reference.
func (m Measure) Beyond() bool {
	_, real := m.beyond()
	return real
}

// beyond returns how far the mean is off its reference, above zero when it is
// larger, and whether that is more than the strokes' own noise: see
// noiseFactor.
func (m Measure) beyond() (gap float64, real bool) {
	if !m.Known || m.Source == "" {
		return 0, false
	}
	gap = m.Mean - m.Reference
	factor := noiseFactor
	if m.OwnBest {
		factor = ownBestFactor
	}
	return gap, math.Abs(gap) > factor*m.SD
}

// above returns beyond where the mean is larger than its reference.
func (m Measure) above() (gap float64, is bool) {
	gap, real := m.beyond()
	return gap, real && gap > 0
}

// below returns beyond, below zero, where the mean is smaller than its reference.
func (m Measure) below() (gap float64, is bool) {
	gap, real := m.beyond()
	return gap, real && gap < 0
}

const (
	// noiseFactor is how many SD from stroke to stroke a mean must be off its
	// reference to be ranked (our own rule: two, as common for an outlier).
	noiseFactor = 2.0
	// ownBestFactor is the same for a rower's own best tenth, whose mean lies
	// 1.755 SD off by chance in normal strokes (φ(1.2816)/0.1), ± 0.4 SD in
	// twenty strokes: derived, and drawn in the tests.
	ownBestFactor = 2.75
)
