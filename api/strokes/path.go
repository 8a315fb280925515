package strokes

import (
	"math"
	"slices"

	"thole/api/store"
	"thole/api/wire"
	"thole/selection/stroke"
)

// PathPoints is how many places of drive and recovery each the way of the
// blade is reported at; our judgement: a drawing shows no more.
const PathPoints = 41

// bladePath is the mean way of the blade over the strokes: angle and vertical
// angle at even steps of time through the drive and through the recovery.
func bladePath(m *store.Samples, strokes []stroke.Stroke) []BladePoint {
	if len(m.VerticalDeg) == 0 || len(strokes) == 0 {
		return []BladePoint{}
	}
	var angle, vertical [2 * PathPoints]Mean
	for i := range strokes {
		drive, _ := strokes[i].Value(stroke.DriveTime)
		rate, _ := strokes[i].Value(stroke.Rate)
		start := strokes[i].Start
		for k := range 2 * PathPoints {
			t := start + drive*float64(k)/(PathPoints-1)
			if k >= PathPoints {
				t = start + drive + (1/rate-drive)*float64(k-PathPoints)/(PathPoints-1)
			}
			angle[k].Add(valueAt(m.TimeS, m.AngleDeg, t))
			vertical[k].Add(valueAt(m.TimeS, m.VerticalDeg, t))
		}
	}
	path := make([]BladePoint, 0, 2*PathPoints)
	for k := range 2 * PathPoints {
		if vertical[k].N == 0 || angle[k].N == 0 {
			return []BladePoint{}
		}
		path = append(path, BladePoint{wire.Round(angle[k].Mean, 100), wire.Round(vertical[k].Mean, 100), wire.Round(vertical[k].Sd(), 100)})
	}
	return path
}

// valueAt reads a series between its samples; NaN where it is not known.
func valueAt(times, values []float64, t float64) float64 {
	i, met := slices.BinarySearch(times, t)
	switch {
	case met:
		return values[i]
	case i == 0 || i == len(times):
		return math.NaN()
	}
	share := (t - times[i-1]) / (times[i] - times[i-1])
	return values[i-1] + share*(values[i]-values[i-1])
}

// Mean gathers mean and deviation of what is known (B. P. Welford,
// Technometrics 4:419, 1962).
type Mean struct {
	N       int
	Mean, m float64
}

func (a *Mean) Add(v float64) {
	if math.IsNaN(v) {
		return
	}
	a.N++
	d := v - a.Mean
	a.Mean += d / float64(a.N)
	a.m += d * (v - a.Mean)
}

// Sd is the sample standard deviation, 0 below two values.
func (a *Mean) Sd() float64 {
	if a.N < 2 {
		return 0
	}
	return math.Sqrt(a.m / float64(a.N-1))
}
