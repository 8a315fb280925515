package stroke

import (
	"fmt"

	"thole/rigging"
)

// Bounds beyond which a result is doubtful. Common practice: handle forces of
// adults peak between 200 and 1100 N, gate forces up to half as much again.
const (
	lowPeak   = 120.0  // N, a mean peak below it may be in kgf
	highPeak  = 2500.0 // N, a mean peak above it may be N taken for kgf
	highSpeed = 8.0    // m/s, faster than any boat's best
	fewHz     = 20.0
	manyHz    = 500.0
)

func (r *Report) warn(code, text string, at Place) {
	r.Warnings = append(r.Warnings, Warning{code, text, at})
}

// caution notes what makes the whole file doubtful.
func (r *Report) caution(x *importer, strokes int) {
	for i, f := range x.fields {
		if f.Index >= x.width && x.width > 0 {
			r.warn("no_column", fmt.Sprintf("the rows have %d cells: there is no column %d, said to hold the %s", x.width, f.Index+1, f.Quantity), x.mapping.columnPlace(i, "index"))
		}
	}
	if n := len(x.restarts); n > 0 {
		r.warn("restarted", fmt.Sprintf("the clock was set back %d times, first at line %d: the times from there on continue %g s after what came before", n, x.restarts[0], restartPause), Place{Line: x.restarts[0]})
	}
	if n := r.Refused.Count; n > 0 {
		r.warn("refused", fmt.Sprintf("%d of %d rows are refused in whole or in part", n, r.Rows), r.Refused.Listed[0].Place)
	}
	if strokes > MaxStrokes {
		r.warn("capped", fmt.Sprintf("%d of %d strokes are listed; means and curves take in all", MaxStrokes, strokes), Place{})
	}
}

func (o *OarReport) warn(code, text string) {
	o.Warnings = append(o.Warnings, Warning{Code: code, Text: text})
}

// caution notes what makes one oar's result doubtful.
func (o *OarReport) caution(w *oarWork) {
	o.cautionRate()
	if o.Missing > 0 {
		o.warn("missing", fmt.Sprintf("%d of %d samples are missing", o.Missing, o.Missing+o.Samples))
	}
	if o.Samples == 0 {
		return
	}
	o.cautionSigns(&w.seen)
	o.cautionForce(w)
	o.cautionLeftOut()
	if o.Count == 0 {
		o.cautionNone(&w.seen)
		return
	}
	if n := o.Count - o.Features[CatchSlip].N; n > 0 {
		o.warn("no_slip", fmt.Sprintf("%d of %d strokes never hold the threshold (%s): slip is that of the others", n, o.Count, w.all.thresholds))
	}
}

// cautionRate compares the sample rate with what a stroke needs.
func (o *OarReport) cautionRate() {
	switch hz := o.SampleRate; {
	case hz == 0:
		o.warn("too_few", "there are not two samples in a row")
	case hz < 1:
		o.warn("rate", fmt.Sprintf("the samples are %.3g s apart: is the time in milliseconds?", 1/hz))
	case hz < fewHz:
		o.warn("rate", fmt.Sprintf("%.3g samples a second are few: below %g the catch and the release are blurred", hz, fewHz))
	case hz > 4*manyHz:
		o.warn("rate", fmt.Sprintf("%.4g samples a second are more than any sensor gives: is the time in seconds rather than milliseconds?", hz))
	case hz > manyHz:
		o.warn("rate", fmt.Sprintf("%.4g samples a second are more than the %g this was tested with", hz, manyHz))
	}
}

func (o *OarReport) cautionSigns(e *extent) {
	if e.pushes() && !constant(e.force) {
		o.warn("negative_force", "the force is mostly negative: its sign looks swapped")
		return
	}
	if e.backwards() {
		o.warn("swapped_angle", "the force acts while the oar moves towards the catch: the sign of the oar angle looks swapped, and every result with it")
	}
	if e.lift.positive() {
		o.warn("swapped_vertical", "the vertical angle rises under load: its sign looks swapped")
	}
}

func (o *OarReport) cautionForce(w *oarWork) {
	peak := o.Features[PeakForce].Mean
	switch {
	case constant(w.seen.force):
		o.warn("constant_force", fmt.Sprintf("the force never changes from %g N: is the sensor connected?", w.seen.force[0]))
	case o.Count > 0 && peak < lowPeak:
		o.warn("low_force", fmt.Sprintf("the force peaks at %.3g N on average: was it written in kgf?", peak))
	case peak > highPeak:
		o.warn("high_force", fmt.Sprintf("the force peaks at %.4g N on average: was it written in N rather than kgf?", peak))
	}
	if v := o.Features[MeanSpeed].Mean; v > highSpeed {
		o.warn("high_speed", fmt.Sprintf("the boat runs %.3g m/s on average: was the speed written in km/h?", v))
	}
	o.askZeros(&w.rest, w.gauge.follow)
	w.rough.caution(o)
}

// cautionNone reports why an oar has no strokes.
func (o *OarReport) cautionNone(e *extent) {
	arc := rigging.Angle(span(e.angle)).Degrees()
	l := o.LeftOut
	switch {
	case constant(e.angle):
		o.warn("constant_angle", fmt.Sprintf("the oar angle never changes from %.4g°: is the sensor connected?", rigging.Angle(e.angle[0]).Degrees()))
	case arc < 4:
		o.warn("small_arc", fmt.Sprintf("no stroke found: the oar angle spans only %.3g°: is it the right column, and is it written in radians?", arc))
	case l == LeftOut{} || l == LeftOut{Partial: l.Partial}:
		o.warn("no_strokes", fmt.Sprintf("no whole stroke found: the oar angle spans %.3g°", arc))
	default:
		o.warn("no_strokes", "no stroke counts: "+l.String())
	}
}

// manyLeftOut is the share of strokes left out above which is told why. A
// judgement of this package.
const manyLeftOut = 0.1

// cautionLeftOut reports what was left out and why, when it is much.
func (o *OarReport) cautionLeftOut() {
	n := o.LeftOut.whole()
	if o.Count > 0 && float64(n) > manyLeftOut*float64(n+o.Count) {
		why := o.LeftOut
		why.Partial, why.ByHand = 0, 0
		o.warn("left_out", fmt.Sprintf("%d of %d strokes are left out: %s", n, n+o.Count, why))
	}
}

// The noise from which single strokes say little. Judgements of this package;
// at 10 % of the peak a single peak spreads by 3 to 6 % at 20 to 100 samples a
// second already.
const (
	noisyAngle = 0.02 // of the arc
	noisyForce = 0.15 // of the peak
)

// roughness gathers the noise of an oar's sensors.
type roughness struct{ angle, force moments }

func (r *roughness) add(g *gauge) {
	arc := g.smooth[len(g.smooth)-1] - g.smooth[0]
	r.angle.add(noise(g.drive.angle) / arc)
	r.force.add(g.grain / g.top)
}

func (r *roughness) caution(o *OarReport) {
	if r.angle.mean > noisyAngle {
		o.warn("noisy_angle", fmt.Sprintf("the oar angle jumps by %.2g %% of the arc from sample to sample: rate, rhythm and slip of single strokes are rough, and so may be their means", 100*r.angle.mean))
	}
	if r.force.mean > noisyForce {
		o.warn("noisy_force", fmt.Sprintf("the force jumps by %.2g %% of its peak from sample to sample: peak and slip of single strokes are rough", 100*r.force.mean))
	}
}
