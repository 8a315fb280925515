package stroke

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// isClock reports whether a column is written h:mm:ss.
func (f *form) isClock(i int) bool {
	return slices.ContainsFunc(f.rows, func(row []string) bool { return strings.Contains(row[i], ":") })
}

// unitOf proposes a unit for the values of a column whose name has none.
func unitOf(q Quantity, v []float64) Unit {
	switch {
	case q == Time:
		return timeUnit(v)
	case q == Force:
		return Newton // until more of the file was seen: see mendForce
	case q == BoatSpeed && len(v) > 0 && slices.Max(v) > 9:
		return KilometrePerHour
	case q == BoatSpeed:
		return MetrePerSecond
	case q == OarAngle && len(v) > 0 && looksRadian(slices.Min(v), slices.Max(v)):
		return Radian
	}
	return Degree
}

// looksRadian reports whether an oar's angles are radians: they lie on both
// sides of zero, and a hundred degrees or so are 1.7 rad; 0.6 to 3.2 rad, our
// judgement, are 34 to 183°.
func looksRadian(low, high float64) bool {
	return low < 0 && high > 0 && high-low > 0.6 && high-low < 3.2
}

// timeUnit describes milliseconds from seconds by the usual step: 20 to 500
// samples a second are 2 to 50 ms.
func timeUnit(v []float64) Unit {
	var steps []float64
	for i := 1; i < len(v); i++ {
		if d := v[i] - v[i-1]; d > 0 {
			steps = append(steps, d)
		}
	}
	slices.Sort(steps)
	if len(steps) > 0 && steps[len(steps)/2] >= 1 {
		return Millisecond
	}
	return Second
}

// guess gives meanings to the columns of a file without header by their
// values: the time never falls, the angle swings to both sides of zero by
// less than a quarter turn, the force stays mostly on one side, a seat is one
// of few whole numbers.
func (f *form) guess(headings []heading) {
	var taken [SideName + 1]bool
	for i := range headings {
		q, ok := f.quantity(i)
		if ok && !taken[q] {
			headings[i] = heading{quantity: q, known: true}
			taken[q] = true
		}
	}
}

func (f *form) quantity(i int) (Quantity, bool) {
	v, ok := f.column(i)
	switch {
	case f.isClock(i):
		return Time, true
	case !ok && f.isSide(i):
		return SideName, true
	case !ok:
		return SeatName, true
	case len(v) < 2:
		return 0, false
	}
	low, high := slices.Min(v), slices.Max(v)
	switch {
	case low < high && slices.IsSorted(v):
		return Time, true
	case low >= 1 && high <= 9 && whole(v):
		return SeatName, true
	case high > 0 && high <= 95 && low < -0.3*high && low >= -95 && (high-low > 30 || looksRadian(low, high)):
		return OarAngle, true
	case math.Max(high, -low) > 30 && math.Min(high, -low) < 0.2*math.Max(high, -low):
		return Force, true
	}
	return 0, false
}

func (f *form) isSide(i int) bool {
	return !slices.ContainsFunc(f.rows, func(row []string) bool { _, ok := parseSide(row[i]); return !ok })
}

func whole(v []float64) bool {
	return !slices.ContainsFunc(v, func(x float64) bool { return x != math.Trunc(x) })
}

// mend compares units and signs with what the oars did, and corrects those
// that cannot be right.
func (p *Proposal) mend(seen []*extent, x *importer) {
	if x.refusals.Count > 0 {
		p.warnAt("refused", fmt.Sprintf("%d of the first %d rows cannot be read in whole; the first, line %d: %s",
			x.refusals.Count, x.rows, x.refusals.Listed[0].Line, x.refusals.Listed[0].Reason), x.refusals.Listed[0].Place)
	}
	if len(x.restarts) > 0 {
		p.warnAt("restarted", fmt.Sprintf("the time is set back at line %d", x.restarts[0]), Place{Line: x.restarts[0]})
	}
	all := together(seen)
	p.mendUnits(&all)
	// Port and starboard may have opposite signs.
	for _, g := range p.Mapping.oars() {
		var own []*extent
		for i, c := range x.order {
			if c.group == g {
				own = append(own, seen[i])
			}
		}
		e := together(own)
		p.mendSigns(g, &e)
	}
	p.mendRate()
}

// together takes the oars as one.
func together(seen []*extent) extent {
	all := newExtent()
	for _, e := range seen {
		widen(&all.angle, e.angle[0])
		widen(&all.angle, e.angle[1])
		widen(&all.force, e.force[0])
		widen(&all.force, e.force[1])
		all.area += e.area
		all.size += e.size
		all.lift.n += e.lift.n
		all.lift.x += e.lift.x
		all.lift.y += e.lift.y
		all.lift.xy += e.lift.xy
	}
	return all
}

// each changes the columns of a quantity.
func (p *Proposal) each(q Quantity, change func(*Column)) {
	for i := range p.Mapping.Columns {
		if c := &p.Mapping.Columns[i]; c.Quantity == q {
			change(c)
		}
	}
}

func (p *Proposal) mendUnits(e *extent) {
	if constant(e.angle) {
		p.warn("constant_angle", "the oar angle never changes in the sample")
	}
	// What was read as degrees, back in the numbers of the file. A rower who
	// rests with the oar square may move it by a degree, but without force.
	low, high := e.angle[0]/units[Degree].si, e.angle[1]/units[Degree].si
	if looksRadian(low, high) && span(e.force) > 30 {
		p.warn("radians", fmt.Sprintf("the oar angle runs from %.3g to %.3g in the file: taken as radians rather than degrees", low, high))
		toRadian := func(c *Column) { c.Unit = Radian }
		p.each(OarAngle, toRadian)
		p.each(VerticalAngle, toRadian)
	}
	p.mendForce(e)
}

// The peaks between which an oar's force lies, whoever rows, at handle or
// gate, and the peak below which other units are thought of. Common practice
// and a judgement of this package.
const (
	possibleLow  = 200.0  // N
	possibleHigh = 1400.0 // N
	askBelow     = 250.0  // N
)

// possibleUnits returns the units that make a peak of an oar of a number in
// the file, the likeliest first: N, then those in which it is of usual size.
func possibleUnits(top float64) []Unit {
	var out []Unit
	for _, u := range []Unit{Newton, KilogramForce, PoundForce} {
		if v := top * units[u].si; v >= possibleLow && v <= possibleHigh || u == Newton && v >= lowPeak {
			out = append(out, u)
		}
	}
	return out
}

func (p *Proposal) mendForce(e *extent) {
	top := max(e.force[1], -e.force[0])
	i := slices.IndexFunc(p.Mapping.Columns, func(c Column) bool {
		return c.Quantity == Force && slices.Contains(p.unnamed, c.Index)
	})
	switch {
	case constant(e.force):
		p.warn("constant_force", "the force never changes in the sample")
	case i >= 0 && top < askBelow && len(possibleUnits(top)) > 0:
		p.askUnit(i, top)
	case top < lowPeak:
		p.warn("low_force", fmt.Sprintf("the force reaches only %.3g N in the sample: was the oar pulled, and is the unit right?", top))
	case top > highPeak:
		p.warn("high_force", fmt.Sprintf("the force reaches %.4g N in the sample: is it really in N?", top))
	}
}

// askUnit asks for the unit of forces that reach a number too small to be
// surely N, and takes the likeliest until it is answered.
func (p *Proposal) askUnit(column int, top float64) {
	possible := possibleUnits(top)
	var names []string
	for _, u := range possible {
		names = append(names, fmt.Sprintf("%.3g %s (%.0f N)", top, u, top*units[u].si))
	}
	p.each(Force, func(c *Column) {
		if slices.Contains(p.unnamed, c.Index) {
			c.Unit = possible[0]
		}
	})
	text := fmt.Sprintf("the force names no unit and reaches %s: which unit is it? %s is taken until you say", strings.Join(names, " or "), possible[0])
	at := p.Mapping.columnPlace(column, "unit")
	p.warnAt("low_force", text, at)
	p.Questions = append(p.Questions, Question{Kind: AskUnit, Place: at,
		Text: text, Measured: top * units[possible[0]].si, Units: possible})
}

// mendSigns turns the signs of a group of columns that the work done says are
// swapped.
func (p *Proposal) mendSigns(g Oar, e *extent) {
	negate := func(q Quantity) {
		if i := p.Mapping.find(q, g); i >= 0 {
			p.Mapping.Columns[i].Negate = true
		}
	}
	area, rising := e.area, e.lift.positive()
	if e.pushes() && !constant(e.force) {
		p.warn("negative_force", "the force"+of(g)+" is mostly negative: its sign is turned")
		negate(Force)
		area, rising = -area, !rising
	}
	if area < -backwardPart*e.size {
		p.warn("swapped_angle", "the force"+of(g)+" acts while the angle falls: the sign of the oar angle is turned, so that the catch is negative")
		negate(OarAngle)
	}
	if rising && e.lift.n > 0 {
		p.warn("swapped_vertical", "the vertical angle"+of(g)+" rises under load: its sign is turned, so that it is negative below the water")
		negate(VerticalAngle)
	}
}

func (p *Proposal) mendRate() {
	switch hz := p.SampleRate; {
	case hz == 0:
	case hz < 1:
		p.warn("rate", fmt.Sprintf("the samples are %.3g s apart: check the unit of time", 1/hz))
	case hz < fewHz || hz > manyHz:
		p.warn("rate", fmt.Sprintf("%.4g samples a second: %g to %g are expected", hz, fewHz, manyHz))
	}
}
