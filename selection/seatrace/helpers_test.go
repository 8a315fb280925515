package seatrace

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"thole/rigging"
	"thole/selection"
)

// letters names n athletes a, b, c, …
func letters(n int) []string {
	out := make([]string, n)
	for i := range out {
		out[i] = string(rune('a' + i))
	}
	return out
}

// sculls sets up two boats of n/2 scullers with unit noise.
func sculls(n int) Setup {
	s := Setup{Class: rigging.Class{Rowers: n / 2, Scull: true}, Boats: 2, NoiseSD: 1}
	for _, id := range letters(n) {
		s.Athletes = append(s.Athletes, selection.Athlete{ID: id})
	}
	return s
}

// sweeps sets up two sweep boats; the first half of the squad rows port, the
// other starboard.
func sweeps(n int) Setup {
	s := sculls(n)
	s.Class.Scull = false
	for i := range s.Athletes {
		side := rigging.Port
		if i >= n/2 {
			side = rigging.Starboard
		}
		s.Athletes[i].SideCost = map[rigging.Side]float64{side: 0}
	}
	return s
}

// evaluate predicts a schedule that must be sound.
func evaluate(t *testing.T, pieces []selection.Piece, s Setup) *Forecast {
	t.Helper()
	f, err := Evaluate(pieces, s)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// expected finds one difference of a forecast.
func expected(f *Forecast, first, second string) Expected {
	for _, d := range f.Differences {
		if d.First == first && d.Second == second {
			return d
		}
	}
	panic("no such pair")
}

// estimate judges pieces that must be sound.
func estimate(t *testing.T, pieces []selection.Piece, o Options) *Result {
	t.Helper()
	if o.Distance == 0 {
		o.Distance = 1000
	}
	r, err := Estimate(pieces, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// world is a truth to draw times from.
type world struct {
	effect map[string]float64 // s gained by the boat
	noise  float64            // of one boat's time, s
	base   float64            // time without effects, s
	drift  float64            // added to both boats from piece to piece, s
	hull   []float64          // s lost by each boat
}

// race gives crews times.
func (w world) race(pieces []selection.Piece, rng *rand.Rand) []selection.Piece {
	out := crewsOnly(pieces)
	for r := range out {
		out[r].Times = nil
		for b, crew := range out[r].Crews {
			t := w.base + w.drift*float64(r)
			if w.hull != nil {
				t += w.hull[b]
			}
			for _, id := range crew {
				t -= w.effect[id]
			}
			if w.noise > 0 {
				t += w.noise * rng.NormFloat64()
			}
			out[r].Times = append(out[r].Times, t)
		}
	}
	return out
}

// logRace is race with effects and noise acting on the logarithm, as the model
// has it.
func (w world) logRace(pieces []selection.Piece, rng *rand.Rand) []selection.Piece {
	out := w.race(pieces, rng)
	for r := range out {
		for b, t := range out[r].Times {
			out[r].Times[b] = w.base * math.Exp((t-w.base)/w.base)
		}
	}
	return out
}

// seeded returns a source of randomness.
func seeded(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 7)) }

// wantFault fails unless err holds a fault of the field whose text has every
// one of the words.
func wantFault(t *testing.T, err error, field string, words ...string) {
	t.Helper()
	var faults rigging.FieldErrors
	if !errors.As(err, &faults) {
		t.Fatalf("error %v is no list of fields", err)
	}
	for _, f := range faults {
		if f.Place.String() == field && containsAll(f.Detail, words) {
			return
		}
	}
	t.Errorf("no fault of %s with %q among: %v", field, words, err)
}

// containsAll reports whether text has every one of the words.
func containsAll(text string, words []string) bool {
	for _, w := range words {
		if !strings.Contains(text, w) {
			return false
		}
	}
	return true
}
