package stroke

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"thole/rigging"
)

// The limits of a stroke. Rates from 12 to 45 strokes a minute are normal
// (common practice); the limits leave room on both sides. The others are
// judgements of this package, tried on strokes that are known.
const (
	hysteresis = 15 * float64(rigging.Degree) // the angle turns when it comes back by this much
	leastArc   = 20 * float64(rigging.Degree)
	shortest   = 0.9  // s a cycle, 67 strokes a minute, so that 60 is in whatever the noise
	longest    = 7.5  // s a cycle, 8 strokes a minute, so that 10 is in whatever the noise
	longestGap = 0.25 // s without a sample inside a cycle
	restartGap = 1.0  // s without a sample after which a file begins anew
	leastForce = 30.0 // N at the peak, below which nothing is pulled

	spike     = 10 * float64(rigging.Degree) // beyond both neighbours, no oar does that
	spikeTime = 0.15                         // s between the neighbours

	flatAngle = 2 * float64(rigging.Degree) // about a turn, within which the oar may rest
	leaveTime = 0.15                        // s, that it then takes to leave them
	leadTime  = 0.3                         // s before the first turn, without which it is the file's edge

	keepTime  = 5.0     // s that are kept of a rest
	keepLimit = 20.0    // s after which a rest is cut
	keepCount = 1 << 15 // samples after which it is cut
)

// LeftOut counts the cycles that are no strokes, by reason.
type LeftOut struct {
	Partial int // begun before the file or a rest's end, or cut off by the end of the file
	Pause   int // slower than 8 a minute: the crew rested
	Fast    int // faster than 67 a minute
	Short   int // an arc below 20°
	Gap     int // samples missing for more than a quarter of a second
	NoLoad  int // a peak below 30 N: nothing was pulled
	ByHand  int // the user's own choice: see Options.Skip
}

// whole counts all that is left out but the half strokes at the ends, which
// every recording has, and those that somebody left out on purpose.
func (l LeftOut) whole() int { return l.Pause + l.Fast + l.Short + l.Gap + l.NoLoad }

// String names the reasons in words with their counts.
func (l LeftOut) String() string {
	var parts []string
	for _, p := range []struct {
		n    int
		text string
	}{
		{l.Partial, "half"}, {l.Pause, "slower than 8 a minute, taken as a pause"}, {l.Fast, "faster than 67 a minute"},
		{l.Short, "with an arc below 20°"}, {l.Gap, "with samples missing for a quarter of a second or more"},
		{l.NoLoad, "with less than 30 N at the peak"}, {l.ByHand, "excluded by hand"},
	} {
		if p.n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", p.n, p.text))
		}
	}
	return strings.Join(parts, ", ")
}

// turn is a catch or a finish: the raw sample and the refined extreme.
type turn struct {
	at       int
	t, angle float64
}

// segmenter cuts one oar's samples into cycles.
type segmenter struct {
	track
	rising    int // +1 in the drive, −1 in the recovery, 0 before the first turn
	low, high int // the running extremes
	catch     turn
	finish    turn
	hasCatch  bool
	hasFinish bool
	spikes    int64
	leftOut   LeftOut
	cycle     func(k *track, catch, finish, next turn) // a whole cycle
	clean     func(Block)                              // nil when nobody asks
}

// take receives the next sample. The one before is settled only now, when it
// is known not to be a spike.
func (s *segmenter) take(x sample) {
	n := s.len()
	switch {
	case n == 0:
	case x.t-s.t[n-1] > restartGap:
		s.anew()
	case s.isSpike(x):
		s.cutLast()
		s.spikes++
	default:
		s.step(n - 1)
	}
	s.append(x)
	if s.len() > keepCount || x.t-s.t[0] > keepLimit {
		s.rest()
	}
}

// isSpike reports whether the last sample stands far off the one before it and
// x, on the same side of both.
func (s *segmenter) isSpike(x sample) bool {
	n := s.len()
	if n < 2 || x.t-s.t[n-2] > spikeTime {
		return false
	}
	a, b := s.angle[n-1]-s.angle[n-2], s.angle[n-1]-x.angle
	return a > spike && b > spike || a < -spike && b < -spike
}

// step follows the angle: it turns where it comes back from an extreme by
// more than the hysteresis, so that noise turns nothing.
func (s *segmenter) step(i int) {
	a := s.angle[i]
	if a <= s.angle[s.low] {
		s.low = i
	}
	if a >= s.angle[s.high] {
		s.high = i
	}
	switch {
	case s.rising <= 0 && a > s.angle[s.low]+hysteresis:
		s.atCatch(i)
	case s.rising >= 0 && a < s.angle[s.high]-hysteresis:
		s.atFinish(i)
	}
}

// atCatch ends the recovery at the lowest angle seen; i has confirmed it.
func (s *segmenter) atCatch(i int) {
	first := s.rising == 0
	c := s.refine(s.low, i, +1)
	s.rising, s.high = +1, i
	if first && c.t-s.t[0] < leadTime {
		s.leftOut.Partial++
		return // the file begins inside a drive
	}
	if s.hasCatch && s.hasFinish {
		s.judge(c)
	}
	s.catch, s.hasCatch = c, true
	old := sort.SearchFloat64s(s.t, c.t-keepTime)
	if s.hasFinish {
		old = max(old, s.finish.at)
	}
	s.hasFinish = false
	s.forget(old)
}

// atFinish ends the drive at the highest angle seen.
func (s *segmenter) atFinish(i int) {
	first := s.rising == 0
	f := s.refine(s.high, i, -1)
	s.rising, s.low = -1, i
	if first && f.t-s.t[0] < leadTime {
		s.leftOut.Partial++
		return // the file begins inside a recovery
	}
	s.finish, s.hasFinish = f, true
}

// How much of a turn is fitted: the depth of it in which the noise allows to
// see its place, from 1/750 to a third of the hysteresis. Judgements of this
// package: with them the mean drive time is right within 1 % from 12 strokes a
// minute on, where deeper fits would see that an oar's motion is no parabola.
const (
	vertexNoise = 4.0  // times the noise, for one parabola
	bendNoise   = 16.0 // times the noise, for two half parabolas
	slowSide    = 2.5  // times the time on the drive's side, at most, on the other
)

// refine sharpens a turn: sense +1 a catch, −1 a finish. The time from the
// turn to where the drive is a hysteresis away says how sharply the angle
// turns, hence how much time a depth takes.
func (s *segmenter) refine(raw, confirmed int, sense float64) turn {
	i := s.edge(raw, confirmed, sense)
	away := s.timeAway(i, sense)
	// A little more than away, so that no sample stands on the edge.
	from, to := window(s.t, s.t[i], 1.001*away, 2)
	sigma := noise(s.angle[from:to])
	depth := min(max(vertexNoise*sigma, hysteresis/750), hysteresis/5)
	at, angle := vertex(s.t, s.angle, i, away*math.Sqrt(depth/hysteresis), sense)
	if sharp, value, ok := bend(s.t, s.angle, at, s.bendReach(i, away, sigma, sense), sense); ok {
		at, angle = sharp, value
	}
	if math.Abs(angle-s.angle[i]) > depth+2*sigma {
		at, angle = s.t[i], s.angle[i]
	}
	return turn{i, at, angle}
}

// bendReach returns the time before and after a turn in which it is fitted by
// two half parabolas; away is that of a hysteresis on the drive's side.
func (s *segmenter) bendReach(i int, away, sigma, sense float64) [2]float64 {
	part := math.Sqrt(min(max(bendNoise*sigma, hysteresis/750), hysteresis/3) / hysteresis)
	slow := min(max(s.timeAway(i, -sense), away), slowSide*away)
	if sense < 0 {
		return [2]float64{away * part, slow * part}
	}
	return [2]float64{slow * part, away * part}
}

// edge returns the sample of a turn. Where the oar rested there, the extreme
// of the rest may be anywhere in it; what counts is its end on the side of
// the drive.
func (s *segmenter) edge(raw, confirmed int, sense float64) int {
	step, end := int(sense), confirmed
	if sense < 0 {
		end = 0
		if s.hasCatch {
			end = s.catch.at
		}
	}
	for end != raw && sense*(s.angle[end]-s.angle[raw]) > flatAngle {
		end -= step
	}
	// A smooth turn leaves its extreme by a small angle in less time than it
	// then needs to the hysteresis.
	if math.Abs(s.t[end]-s.t[raw]) < s.timeAway(end, sense) {
		return raw
	}
	best := end
	for j := end; j != raw && math.Abs(s.t[j]-s.t[end]) <= leaveTime; j -= step {
		if sense*(s.angle[j]-s.angle[best]) < 0 {
			best = j
		}
	}
	return best
}

// timeAway returns how long the drive takes between the turn at i and a
// hysteresis away from it.
func (s *segmenter) timeAway(i int, sense float64) float64 {
	j, step := i, int(sense)
	for j+step >= 0 && j+step < s.len() && sense*(s.angle[j]-s.angle[i]) <= hysteresis {
		j += step
	}
	return math.Abs(s.t[j] - s.t[i])
}

// judge passes a cycle on, or counts why it is no stroke.
func (s *segmenter) judge(next turn) {
	period := next.t - s.catch.t
	switch {
	case s.finish.angle-s.catch.angle < leastArc:
		s.leftOut.Short++
	case s.gap(s.catch.at, next.at) > longestGap:
		s.leftOut.Gap++
	case period > longest:
		s.leftOut.Pause++
	case period < shortest:
		s.leftOut.Fast++
	case s.finish.t <= s.catch.t || next.t <= s.finish.t:
		s.leftOut.Short++
	default:
		s.cycle(&s.track, s.catch, s.finish, next)
	}
}

// gap returns the longest interval without a sample about a cycle.
func (s *segmenter) gap(from, to int) float64 {
	var longest float64
	for i := max(from, 1); i <= min(to+1, s.len()-1); i++ {
		longest = max(longest, s.t[i]-s.t[i-1])
	}
	return longest
}

// rest bounds the memory while the oar does not turn: the beginning of the
// rest is given up and with it the cycle it belongs to.
func (s *segmenter) rest() {
	if s.hasCatch {
		s.leftOut.Pause++
	}
	s.hasCatch, s.hasFinish = false, false
	n := s.len()
	from := max(0, n-keepCount/2)
	for from < n-1 && s.t[n-1]-s.t[from] > keepTime {
		from++
	}
	s.forget(from)
}

// anew begins again after a long gap as at the beginning of the file.
func (s *segmenter) anew() {
	s.step(s.len() - 1)
	if s.hasCatch {
		s.leftOut.Gap++
	}
	s.forget(s.len())
	s.rising, s.hasCatch, s.hasFinish = 0, false, false
}

// forget hands the first n samples over and drops them. An extreme among them
// passes to the first sample left.
func (s *segmenter) forget(n int) {
	if s.clean != nil {
		s.blocks(n, s.clean)
	}
	s.drop(n)
	for _, i := range []*int{&s.low, &s.high, &s.catch.at, &s.finish.at} {
		*i = max(*i-n, 0)
	}
}

// end closes the file: what is under way is a half stroke.
func (s *segmenter) end() {
	if s.len() == 0 {
		return
	}
	s.step(s.len() - 1)
	if s.hasCatch {
		s.leftOut.Partial++
	}
	s.forget(s.len())
}
