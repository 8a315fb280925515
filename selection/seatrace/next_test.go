package seatrace

import (
	"errors"
	"testing"

	"thole/rigging"
	"thole/selection"
)

// The promise of each next piece is kept once it is rowed.
func TestNextPiecesKeepTheirPromise(t *testing.T) {
	for name, o := range map[string]Options{
		"racing": {NoiseSD: 1.1},
		"hulls":  {NoiseSD: 1.1, Model: Model{Hulls: true}},
		"prior":  {NoiseSD: 1.1, Prior: &Prior{SD: 0.5}},
	} {
		pieces := world{base: 190}.race(schedule("AABB", "BAAB", "BABA"), nil)
		r := estimate(t, pieces, o)
		next, err := r.NextPieces([]Pair{{"a", "d"}})
		if err != nil {
			t.Fatal(err)
		}
		if len(next) != 5 { // as they are, or one of four exchanges
			t.Fatalf("%s: %d next pieces", name, len(next))
		}
		for _, n := range next {
			rowed := append(pieces[:3:3], selection.Piece{Crews: n.Crews, Times: []float64{190, 190}})
			d := estimate(t, rowed, o).Final().Difference("a", "d")
			want, tol := d.SD, 1e-9
			if o.Prior != nil { // the spread is judged anew
				tol = 0.15 * want
			}
			near(t, name, n.SD, want, tol)
			if (n.Missing == 0) != (d.Estimable || o.Prior != nil) {
				t.Errorf("%s: %v leaves %d open, estimable is %v", name, n.Swapped, n.Missing, d.Estimable)
			}
		}
		for k := 1; k < len(next); k++ {
			a, b := next[k-1], next[k]
			if a.Missing > b.Missing || a.Missing == b.Missing && a.SD > b.SD+1e-9 {
				t.Errorf("%s: out of order: %v", name, next)
			}
		}
	}
}

func TestNextPieceSettlesTheOpenPair(t *testing.T) {
	r := estimate(t, world{base: 190}.race(schedule("AABB"), nil), Options{})
	next, err := r.NextPieces([]Pair{{"b", "c"}})
	if err != nil {
		t.Fatal(err)
	}
	for k, n := range next { // to exchange the other two tells the same
		settles := n.Swapped == Pair{"b", "c"} || n.Swapped == Pair{"a", "d"}
		if settles != (n.Missing == 0) || settles != (k < 2) {
			t.Errorf("number %d is %+v", k, n)
		}
	}
}

func TestNextPieceKeepsSidesAndUsesTheBank(t *testing.T) {
	sides := map[string]rigging.Side{"a": rigging.Port, "b": rigging.Starboard, "c": rigging.Port, "d": rigging.Starboard, "e": rigging.Port}
	pieces := []selection.Piece{
		{Crews: [][]string{{"e", "b"}, {"c", "d"}}, Times: []float64{200, 201}},
		{Crews: [][]string{{"a", "b"}, {"c", "d"}}, Times: []float64{200, 201}},
	}
	next, err := estimate(t, pieces, Options{Sides: sides}).NextPieces(nil)
	if err != nil {
		t.Fatal(err)
	}
	got := map[Pair]bool{}
	for _, n := range next {
		got[n.Swapped] = true
	}
	for _, want := range []Pair{{}, {"a", "c"}, {"b", "d"}, {"a", "e"}, {"c", "e"}} {
		if !got[want] {
			t.Errorf("%v is not offered", want)
		}
	}
	if len(got) != 5 {
		t.Errorf("offered are %v", got)
	}
}

func TestNextPieceRefusesStrangers(t *testing.T) {
	_, err := estimate(t, world{base: 190}.race(schedule("AABB"), nil), Options{}).NextPieces([]Pair{{"a", "z"}, {"b", "b"}})
	wantFault(t, err, "pairs[0]", `"z" is not one of the athletes`)
	wantFault(t, err, "pairs[1]", "names b twice")
	if errors.Unwrap(err) != nil {
		t.Error("more than the fields went wrong")
	}
}
