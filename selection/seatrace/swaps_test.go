package seatrace

import (
	"slices"
	"testing"

	"thole/rigging"
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

// TestASwapByItself has the scatter of one boat's time as its standard error, and
// by the normal distribution the chance of a known scatter.
func TestASwapByItself(t *testing.T) {
	crews := func(a, b string) [][]string { return [][]string{{a, "x"}, {b, "y"}} }
	pieces := []selection.Piece{
		{Crews: crews("a", "b"), Times: []float64{190, 192}}, {Crews: crews("b", "a"), Times: []float64{195, 194}},
	}
	r := estimate(t, pieces, Options{NoiseSD: 1.5})
	swaps, err := Swaps(pieces, 1000)
	if err != nil || len(swaps) != 1 {
		t.Fatalf("%v, error %v", swaps, err)
	}
	sd, chance := r.ReadSwap(swaps[0])
	near(t, "standard error", sd, 1.5, 1e-6)
	near(t, "one standard error", chance, 0.841344746, 1e-6) // of the standard normal distribution
}

// TestPairsOfOneSide: who rows both sides is compared with everybody, and where
// nothing keeps two apart there is no choice to make.
func TestPairsOfOneSide(t *testing.T) {
	port, starboard := rigging.Port, rigging.Starboard
	got := PairsOfOneSide([]string{"a", "b", "c", "d"}, map[string]rigging.Side{"a": port, "b": starboard, "d": port})
	want := []Pair{{"a", "c"}, {"a", "d"}, {"b", "c"}, {"c", "d"}}
	if !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
	if got := PairsOfOneSide([]string{"a", "b"}, nil); got != nil {
		t.Errorf("scullers: %v", got)
	}
}
