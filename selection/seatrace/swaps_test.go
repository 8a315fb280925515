package seatrace

import (
	"testing"

	"thole/selection"
)

// Of three boats, the margin of an exchange is that of the two boats it was
// between, wherever the third one finishes.
func TestMarginOfASwapAmongThreeBoats(t *testing.T) {
	crews := func(a, b string) [][]string { return [][]string{{a, "x"}, {b, "y"}, {"u", "v"}} }
	pieces := []selection.Piece{
		{Crews: crews("a", "b"), Times: []float64{190, 192, 201}},
		{Crews: crews("b", "a"), Times: []float64{195, 194, 186}},
	}
	swaps, err := Swaps(pieces, 1000)
	if err != nil || len(swaps) != 1 {
		t.Fatalf("%v, error %v", swaps, err)
	}
	w := swaps[0]
	near(t, "margin before", w.MarginBefore, 2, 1e-12)
	near(t, "margin after", w.MarginAfter, -1, 1e-12)
	near(t, "by margin", w.ByMargin, 1.5, 1e-12)
	near(t, "by the times of boat 1", w.ByTimes[0], 5, 1e-12)
	near(t, "by the times of boat 2", w.ByTimes[1], -2, 1e-12)
	if w.Agree {
		t.Error("boat 2 contradicts the margin")
	}
}
