package seatrace

import (
	"fmt"
	"math"

	"thole/api/schedule"
	"thole/ui/page"
	"thole/ui/plot"
)

// Drawings of the seat races: the small bars that stand in tables, and a difference
// after each piece.

// effectSpan is a bar of an interval with its middle, as shares of the width.
type effectSpan struct{ Low, Middle, Width float64 }

// effectScale maps seconds onto 0 to 100, zero included and the same both ways of it
// where values lie on both.
type effectScale struct{ low, high float64 }

// newEffectScale holds all intervals.
func newEffectScale(values ...float64) effectScale {
	s := effectScale{0, 0}
	for _, v := range values {
		s.low, s.high = min(s.low, v), max(s.high, v)
	}
	pad := 0.04 * max(s.high-s.low, 0.1)
	return effectScale{s.low - pad, s.high + pad}
}

// At is the place of a value.
func (s effectScale) At(v float64) float64 { return 100 * (v - s.low) / (s.high - s.low) }

// Zero is the place of nought.
func (s effectScale) Zero() float64 { return s.At(0) }

func (s effectScale) interval(low, middle, high float64) effectSpan {
	return effectSpan{Low: s.At(low), Middle: s.At(middle), Width: s.At(high) - s.At(low)}
}

// progressDrawing shows a difference after each piece.
type progressDrawing struct {
	Box, Title  string
	Zero        float64
	Width       float64
	Bars        []progressBar
	Top, Bottom string
	Words       string
}

// progressBar is the interval after one piece.
type progressBar struct {
	X, Y1, Y2, Y float64
	Label        string
}

// Size of the drawing of a difference after each piece; our judgement.
const (
	progressHeight = 110
	progressStep   = 34
)

// newProgress draws what was known of one pair after each piece; ok is false
// where it was never known.
func newProgress(after []schedule.AfterPiece, first, second string) (d progressDrawing, ok bool) {
	var known []schedule.SeatRaceDifference
	var labels []int
	for _, a := range after {
		if x, ok := differenceOf(a.Differences, first, second); ok && x.SdS > 0 {
			known, labels = append(known, x), append(labels, a.Pieces)
		}
	}
	if len(known) == 0 {
		return d, false
	}
	widest := 0.0
	for _, x := range known {
		widest = max(widest, math.Abs(x.LowS), math.Abs(x.HighS))
	}
	last := known[len(known)-1]
	widest = min(widest, 4*max(math.Abs(last.LowS), math.Abs(last.HighS), 0.1)) // the first intervals are too wide to show
	y := func(v float64) float64 {
		return progressHeight / 2 * (1 - max(-1, min(1, v/widest)))
	}
	d = progressDrawing{
		Width: float64(44 + progressStep*len(known)), Zero: progressHeight / 2,
		Title: fmt.Sprintf("%s over %s after each piece", first, second), Top: page.Signed(1, widest) + " s", Bottom: page.Signed(1, -widest) + " s",
	}
	d.Box = fmt.Sprintf("0 -12 %s %d", plot.Coord(d.Width), progressHeight+36)
	for i, x := range known {
		d.Bars = append(d.Bars, progressBar{
			X: float64(60 + progressStep*i), Y1: y(x.HighS), Y2: y(x.LowS), Y: y(x.DifferenceS), Label: fmt.Sprint(labels[i]),
		})
	}
	return d, true
}
