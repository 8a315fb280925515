package stroke

import (
	"math"
	"slices"
	"sort"
)

// The shares of a stroke that are measured over. The rise to 70 % of the peak is
// the trade's (V. Kleshnev, Rowing Biomechanics Newsletter; from memory); the
// widths are judgements of this package, tried on strokes that are known.
const (
	riseShare  = 0.7  // of the peak, to which the rise is measured
	peakLeast  = 0.04 // of the drive's time, to either side of the peak of a force without noise
	peakWindow = 0.1  // the same, at most, for one with noise
	peakReach  = 0.2  // the same, at most, while the peak is looked for
	peakRough  = 0.03 // of the peak, noise from which a parabola has three samples to either side at least
	depthHalf  = 0.04 // of the drive's time, to either side of the deepest point
	edgeWindow = 0.02 // of the drive's time, half the width about a threshold
	holdShare  = 0.03 // of the drive's time, for which a threshold has to hold
	// fullDepth is how far the blade has to come from covered to its deepest
	// to count as being at depth. A convention of this package.
	fullDepth = 0.9
)

// gauge measures cycles; it keeps its working arrays from one to the next.
type gauge struct {
	thresholds Thresholds
	levers     Levers
	arm        float64 // m, what force is multiplied with for the moment
	hasArm     bool
	follow     bool // take the zero of force from each recovery

	drive  track     // from catch to finish, both ends put in
	smooth []float64 // the angle, ascending
	deep   []float64 // the vertical angle below the water; empty when not known
	turned [2][]float64
	pool   []run
	rest   reading // of the last recovery, while the zero is followed
	grain  float64 // noise of the force, N
	top    float64 // its peak, N

	byAngle, byTime [Nodes]float64
}

// measured is what a cycle gave besides its features.
type measured struct {
	Stroke
	recovery float64 // mean force in the middle of the recovery, N
}

// measure takes the features of a cycle. ok is false when nothing was pulled.
// byAngle and byTime then hold the curves.
func (g *gauge) measure(k *track, catch, finish, next turn) (m measured, ok bool) {
	g.fill(k, catch, finish)
	m.recovery = calm(k, finish, next)
	if g.follow {
		g.lower(g.restAt(reading{(finish.t + next.t) / 2, m.recovery}, (catch.t+finish.t)/2))
	}
	peakTime, peak := g.peak()
	if peak < leastForce {
		return m, false
	}
	g.top = peak
	m.Start = catch.t
	g.times(&m.Stroke, catch, finish, next)
	g.forces(&m.Stroke, catch, finish, next, peakTime, peak)
	g.slips(&m.Stroke, peak)
	g.path(&m.Stroke, k, catch)
	if len(g.deep) > 0 {
		g.entry(&m.Stroke, k, catch, finish, next)
		g.leaving(&m.Stroke, peak)
	}
	g.boat(&m.Stroke, k, catch, next)
	resample(g.smooth, g.drive.force, &g.byAngle)
	resample(g.drive.t, g.drive.force, &g.byTime)
	return m, true
}

// fill copies the drive and puts the refined catch and finish at its ends.
func (g *gauge) fill(k *track, catch, finish turn) {
	from := sort.SearchFloat64s(k.t, catch.t)
	to := sort.SearchFloat64s(k.t, finish.t)
	if k.t[from] == catch.t {
		from++
	}
	d, all := g.drive.columns(), k.columns()
	for i := range d {
		*d[i] = append((*d[i])[:0], 0)
		*d[i] = append(*d[i], (*all[i])[from:to]...)
		*d[i] = append(*d[i], 0)
	}
	g.setEnd(0, k, catch)
	g.setEnd(g.drive.len()-1, k, finish)
	g.smoothAngle(catch.angle, finish.angle)
	g.deep = g.deep[:0]
	if slices.ContainsFunc(g.drive.vertical, math.IsNaN) {
		return
	}
	for _, v := range g.drive.vertical {
		g.deep = append(g.deep, -v)
	}
}

// reading is a value at a time.
type reading struct{ t, value float64 }

// restAt returns the force at rest at a time of the drive, between that of the
// recovery before it, where there was one, and that of the one after it.
func (g *gauge) restAt(after reading, t float64) float64 {
	before := g.rest
	g.rest = after
	if before == (reading{}) {
		return after.value
	}
	return between(before.t, before.value, after.t, after.value, t)
}

// lower takes a force off the drive.
func (g *gauge) lower(by float64) {
	for i := range g.drive.force {
		g.drive.force[i] -= by
	}
}

// setEnd puts a turn into the drive, the other channels interpolated.
func (g *gauge) setEnd(i int, k *track, at turn) {
	d := &g.drive
	d.t[i], d.angle[i] = at.t, at.angle
	d.force[i] = interpolate(k.t, k.force, at.t)
	d.vertical[i] = interpolate(k.t, k.vertical, at.t)
	d.speed[i] = interpolate(k.t, k.speed, at.t)
}

// smoothAngle makes the angle ascend from catch to finish, as in the drive it
// must: what noise put out of order is pooled.
func (g *gauge) smoothAngle(catch, finish float64) {
	n := g.drive.len()
	g.smooth = append(g.smooth[:0], g.drive.angle...)
	isotonic(g.drive.angle, &g.pool, g.smooth)
	for i, a := range g.smooth {
		g.smooth[i] = min(max(a, catch), finish)
	}
	g.smooth[0], g.smooth[n-1] = catch, finish
}

// angleAt returns the oar angle in the drive, never outside the arc.
func (g *gauge) angleAt(t float64) float64 {
	a := interpolate(g.drive.t, g.smooth, t)
	return min(max(a, g.smooth[0]), g.smooth[len(g.smooth)-1])
}

func (g *gauge) duration() float64 { return g.drive.t[g.drive.len()-1] - g.drive.t[0] }

// peak finds the largest force of the drive as the value of a parabola through
// the samples about it, up to a tenth of the drive to either side: of many
// noisy samples the largest stands far above the curve, and so does the top of
// a narrow parabola, which follows the noise. For the same reason the noisier
// the force, the wider the stretch in which its top is looked for. The widths
// are this package's own, chosen so that the mean peak is right within 1 % at
// 20 to 500 samples a second and noise of up to 10 % of the peak.
func (g *gauge) peak() (at, peak float64) {
	t, f, d := g.drive.t, g.drive.force, g.duration()
	highest := f[top(f)]
	if highest <= 0 {
		return t[0], highest
	}
	g.grain = noise(f)
	rough := g.grain / highest
	least := 2 + int(min(rough/peakRough, 1))
	half := d * min(peakLeast+3*rough, peakWindow)
	reach := max(half, d*min(2*rough, peakReach))
	at = crest(t, f, reach)
	for range 4 {
		from, to := window(t, at, reach, least)
		c, ok := parabola(t[from:to], f[from:to], at)
		if !ok || c[2] >= 0 {
			break
		}
		move := min(max(-c[1]/(2*c[2]), -reach/2), reach/2)
		at = min(max(at+move, t[0]), t[len(t)-1])
	}
	from, to := window(t, at, half, least)
	if c, ok := parabola(t[from:to], f[from:to], at); ok {
		return at, c[0]
	}
	return at, mean(f[from:to])
}

// top returns where y is largest.
func top(y []float64) int {
	top := 0
	for i := range y {
		if y[i] > y[top] {
			top = i
		}
	}
	return top
}

func (g *gauge) times(s *Stroke, catch, finish, next turn) {
	s.set(CatchAngle, catch.angle)
	s.set(FinishAngle, finish.angle)
	s.set(Arc, finish.angle-catch.angle)
	s.set(Rate, 1/(next.t-catch.t))
	s.set(DriveTime, finish.t-catch.t)
	s.set(Rhythm, (finish.t-catch.t)/(next.t-finish.t))
}

func (g *gauge) forces(s *Stroke, catch, finish, next turn, peakTime, peak float64) {
	arc := finish.angle - catch.angle
	area := trapezoid(g.drive.angle, g.drive.force)
	at := g.angleAt(peakTime)
	s.set(PeakForce, peak)
	s.set(PeakAngle, at)
	s.set(PeakPlace, (at-catch.angle)/arc)
	s.set(MeanForce, area/arc)
	s.set(MeanToPeak, area/arc/peak)
	if g.hasArm {
		s.set(Work, area*g.arm)
		s.set(Power, area*g.arm/(next.t-catch.t))
	}
	if t, ok := g.rise(g.drive.t, g.drive.force, riseShare*peak); ok {
		s.set(RiseTime, t-catch.t)
		s.set(RiseAngle, g.angleAt(t)-catch.angle)
	}
}

// rise finds where y comes up to level, in the manner of firstRise.
func (g *gauge) rise(t, y []float64, level float64) (float64, bool) {
	d := g.duration()
	return firstRise(t, y, level, holdShare*d, edgeWindow*d)
}

// fall finds where y leaves level for good: the rise of the reversed drive.
func (g *gauge) fall(t, y []float64, level float64) (float64, bool) {
	rt, ry := g.turned[0][:0], g.turned[1][:0]
	for i := len(t) - 1; i >= 0; i-- {
		rt, ry = append(rt, -t[i]), append(ry, y[i])
	}
	g.turned = [2][]float64{rt, ry}
	at, ok := g.rise(rt, ry, level)
	return -at, ok
}

// slips measures where the blade begins and ceases to work.
func (g *gauge) slips(s *Stroke, peak float64) {
	up, down := g.thresholds.levels(peak)
	s.CatchLevel, s.ReleaseLevel = up, down
	y := g.drive.force
	if g.thresholds.Basis == ByDepth {
		y, up, down = g.deep, -up, -down
	}
	from, to, ok := g.between(y, up, down)
	if !ok {
		return
	}
	s.set(CatchSlip, from-g.smooth[0])
	s.set(ReleaseSlip, g.smooth[len(g.smooth)-1]-to)
	s.set(EffectiveArc, to-from)
}

// between returns the oar angles between which y is above its levels.
func (g *gauge) between(y []float64, up, down float64) (from, to float64, ok bool) {
	if len(y) == 0 {
		return 0, 0, false
	}
	begin, ok := g.rise(g.drive.t, y, up)
	end, still := g.fall(g.drive.t, y, down)
	if !ok || !still || end <= begin {
		return 0, 0, false
	}
	return g.angleAt(begin), g.angleAt(end), true
}

// path measures how the blade goes in and out; it needs the vertical angle
// throughout the drive.
func (g *gauge) path(s *Stroke, k *track, catch turn) {
	if len(g.deep) == 0 {
		return
	}
	deepest := top(g.deep)
	_, depth := vertex(g.drive.t, g.deep, deepest, depthHalf*g.duration(), -1)
	s.set(Depth, -depth)
	covered := -g.thresholds.covered()
	s.set(Detour, max(depth-covered, 0))
	at, ok := g.rise(g.drive.t, g.deep, covered)
	if !ok {
		return
	}
	s.set(CoverTime, at-catch.t)
	s.set(CoverAngle, g.angleAt(at)-catch.angle)
	if entry, ok := entryAngle(k, at); ok {
		s.set(EntryAngle, entry)
	}
	g.shares(s, catch, covered+fullDepth*(depth-covered))
}

// shares splits the effective arc: down until the blade is at depth, up from
// where it leaves it.
func (g *gauge) shares(s *Stroke, catch turn, full float64) {
	slip, ok := s.Value(CatchSlip)
	arc, _ := s.Value(EffectiveArc)
	from, to, there := g.between(g.deep, full, full)
	if !ok || !there || arc <= 0 {
		return
	}
	begin := catch.angle + slip
	share := func(a float64) float64 { return min(max(a/arc, 0), 1) }
	down, up := share(from-begin), share(begin+arc-to)
	s.set(DownShare, down)
	s.set(UpShare, up)
	s.set(DownUpShare, min(down+up, 1))
}

// entryAngle follows the blade back from where it is covered to where its
// centre met the water, before the catch or after it.
func entryAngle(k *track, covered float64) (float64, bool) {
	i := sort.SearchFloat64s(k.t, covered)
	for i > 0 && k.vertical[i-1] < 0 {
		i--
	}
	if i == 0 || i >= k.len() || !(k.vertical[i-1] >= 0) {
		return 0, false
	}
	at := between(k.vertical[i-1], k.t[i-1], k.vertical[i], k.t[i], 0)
	return interpolate(k.t, k.angle, at), true
}

// boat measures the run of the boat over the cycle.
func (g *gauge) boat(s *Stroke, k *track, catch, next turn) {
	run := integral(k.t, k.speed, catch.t, next.t)
	s.set(Distance, run)
	s.set(MeanSpeed, run/(next.t-catch.t))
}

// integral returns ∫ y dt from a to b, both within t.
func integral(t, y []float64, a, b float64) float64 {
	from := sort.SearchFloat64s(t, a)
	to := sort.SearchFloat64s(t, b)
	sum, x, v := 0.0, a, interpolate(t, y, a)
	for i := from; i < to; i++ {
		sum += (t[i] - x) * (y[i] + v) / 2
		x, v = t[i], y[i]
	}
	return sum + (b-x)*(interpolate(t, y, b)+v)/2
}

// calm returns the mean force in the middle half of the recovery.
func calm(k *track, finish, next turn) float64 {
	quarter := (next.t - finish.t) / 4
	a, b := finish.t+quarter, next.t-quarter
	return integral(k.t, k.force, a, b) / (b - a)
}
