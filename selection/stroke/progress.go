package stroke

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Session is one measure of one rower in one recording, at about one rate.
type Session struct {
	Day  float64 // when, in days from any day
	N    int     // strokes
	Mean float64
	SD   float64 // from stroke to stroke
}

// meanVariance is how sure the strokes alone make the mean. Strokes of one
// outing are alike, so that it is the least of what there is; see DayNoise.
func (s *Session) meanVariance() float64 { return s.SD * s.SD / float64(max(s.N, 1)) }

// DayNoise is how far a rower's mean lies off from one day to another with
// nothing changed: wind and water, the day's form, the zero of the sensor.
type DayNoise struct {
	SD      float64
	Freedom float64 // degrees of freedom that it is known with
	Own     bool    // the sessions tell of it; without, it is what was taken at first
}

// What is taken before a rower's own days tell: judgements of this package, to
// be outweighed by five sessions or more.
const (
	// UsualDayShare is the day's scatter as a share of the spread from stroke
	// to stroke.
	UsualDayShare = 0.5
	// usualFreedom is how many degrees of freedom this is worth.
	usualFreedom = 4.0
	// fewestOwnDays is from how many sessions on their scatter about a straight
	// line is used.
	fewestOwnDays = 4
)

// NoiseOf returns the day's scatter in sessions of one measure at one rate.
// sensor is what the sensor may be off by from day to day, 1 SD in the unit of
// the measure; the scatter that is told contains it.
//
// The rule: what is taken at first, τ0² = (UsualDayShare·s)² + sensor² with s
// the pooled spread from stroke to stroke, counts as 4 degrees of freedom; from
// four sessions on what the means scatter about a straight line over time, less
// what their strokes explain, counts with as many as there are sessions less
// two. NoiseOf panics without sessions.
func NoiseOf(list []Session, sensor float64) DayNoise {
	if len(list) == 0 {
		panic("stroke: no sessions")
	}
	var pooled, weight, means float64
	for i := range list {
		w := float64(max(list[i].N-1, 1))
		pooled += w * list[i].SD * list[i].SD
		weight += w
		means += list[i].meanVariance() / float64(len(list))
	}
	usual := UsualDayShare*UsualDayShare*pooled/weight + sensor*sensor
	if len(list) < fewestOwnDays {
		return DayNoise{math.Sqrt(usual), usualFreedom, false}
	}
	own := float64(len(list) - 2)
	about := max(scatter(list)/own-means, 0)
	return DayNoise{math.Sqrt((usualFreedom*usual + own*about) / (usualFreedom + own)), usualFreedom + own, true}
}

// scatter is the sum of squares of the means about their straight line over
// time; about their mean where all are of one day.
func scatter(list []Session) float64 {
	var at, mean moments
	for i := range list {
		at.add(list[i].Day)
		mean.add(list[i].Mean)
	}
	var product, total float64
	for i := range list {
		product += (list[i].Day - at.mean) * (list[i].Mean - mean.mean)
		total += (list[i].Mean - mean.mean) * (list[i].Mean - mean.mean)
	}
	if at.sumSq < 1e-9 {
		return total
	}
	return max(total-product*product/at.sumSq, 0)
}

// Certainty is what may be said of a change.
type Certainty uint8

// The grades, the least sure first.
const (
	Unchanged Certainty = iota // within one SD of its noise
	Unclear                    // beyond it, and yet too close to tell
	Certain                    // beyond the noise: 19 times of 20 it is not chance
)

// Gain is a change of a measure with its noise.
type Gain struct {
	By    float64 // after less before
	SD    float64 // of By
	Times float64 // |By| / SD; 0 where nothing changed
	Sure  Certainty
}

// gainOf grades a change known with so many degrees of freedom.
func gainOf(by, sd, freedom float64) Gain {
	g := Gain{By: by, SD: sd}
	if by == 0 {
		return g
	}
	if sd <= 0 {
		return g // no noise is known: nothing may be said
	}
	g.Times = math.Abs(by) / sd
	switch {
	case g.Times >= bound(freedom):
		g.Sure = Certain
	case g.Times >= 1:
		g.Sure = Unclear
	}
	return g
}

// bound is how many SD a change must be to be certain: Student's quantile of
// .975 with the freedom the noise is known with, so that few days ask for more.
func bound(freedom float64) float64 {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: freedom}.Quantile(0.975)
}

// Between returns what changed from one session to another: the noise of the
// difference is that of both means and both days.
func (n DayNoise) Between(before, after Session) Gain {
	return gainOf(after.Mean-before.Mean, math.Sqrt(before.meanVariance()+after.meanVariance()+2*n.SD*n.SD), n.Freedom)
}

// Of is the noise of one session's mean: its strokes and its day, 1 SD.
func (n DayNoise) Of(s Session) float64 { return math.Hypot(math.Sqrt(s.meanVariance()), n.SD) }

// Trend is a straight line through the sessions over time.
type Trend struct {
	Day, Value float64 // a point of it, where it is known best
	PerDay     float64
	ValueSD    float64 // of Value
	PerDaySD   float64
	Over       Gain // from the first to the last session
	// Half is half of the band in which a new session of the last day would lie
	// 19 times of 20: beyond it, it is off the trend.
	Half float64
}

// At is the value of the line on a day.
func (t *Trend) At(day float64) float64 { return t.Value + t.PerDay*(day-t.Day) }

// fewestTrend is how many sessions on how many days make a trend: two points always
// lie on a line, so that only the third can speak against it.
const fewestTrend = 3

// TrendOf returns the line of weighted least squares, each session weighing by
// its own noise; ok is false with fewer than three days. The line's errors come
// from that noise and not from how well it happens to fit.
func TrendOf(list []Session, n DayNoise) (t Trend, ok bool) {
	days := make([]float64, len(list))
	for i := range list {
		days[i] = list[i].Day
	}
	slices.Sort(days)
	if len(slices.Compact(days)) < fewestTrend {
		return t, false
	}
	var weight, day, value float64
	for i := range list {
		w := 1 / math.Pow(n.Of(list[i]), 2)
		weight, day, value = weight+w, day+w*list[i].Day, value+w*list[i].Mean
	}
	if math.IsInf(weight, 1) {
		return t, false // a measure that never differs has no noise to weigh by
	}
	t.Day, t.Value, t.ValueSD = day/weight, value/weight, 1/math.Sqrt(weight)
	var spread, product, typical float64
	first, last := list[0].Day, list[0].Day
	for i := range list {
		w, d := 1/math.Pow(n.Of(list[i]), 2), list[i].Day-t.Day
		spread, product = spread+w*d*d, product+w*d*(list[i].Mean-t.Value)
		first, last = min(first, list[i].Day), max(last, list[i].Day)
		typical += math.Pow(n.Of(list[i]), 2) / float64(len(list))
	}
	t.PerDay, t.PerDaySD = product/spread, 1/math.Sqrt(spread)
	t.Over = gainOf(t.PerDay*(last-first), t.PerDaySD*(last-first), n.Freedom)
	t.Half = bound(n.Freedom) * math.Sqrt(typical+t.ValueSD*t.ValueSD+math.Pow(t.PerDaySD*(last-t.Day), 2))
	return t, true
}
