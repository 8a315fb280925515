package seatrace

import (
	"math"
	"slices"
	"testing"

	"thole/selection"
)

func TestSpreadIsRecovered(t *testing.T) {
	races := slices.Concat(eightRaces(), eightRaces(), eightRaces())
	athlete, noise, n := 0.0, 0.0, 60
	for seed := range n {
		rng := seeded(uint64(seed))
		w := world{effect: map[string]float64{}, base: 190, noise: 0.8, drift: 0.3}
		for _, id := range letters(8) {
			w.effect[id] = 1.5 * rng.NormFloat64()
		}
		s, err := SpreadOf(w.race(races, rng), Options{Distance: 1000})
		if err != nil {
			t.Fatal(err)
		}
		athlete += s.AthleteSD * s.AthleteSD / float64(n)
		noise += s.NoiseSD * s.NoiseSD / float64(n)
	}
	// a variance of seven degrees of freedom: standard error √(2/7/60) = 7 %
	near(t, "athletes' variance", athlete/(1.5*1.5), 1, 0.2)
	near(t, "noise's variance", noise/(0.8*0.8), 1, 0.08)
}

func TestSpreadOfEqualsIsNothing(t *testing.T) {
	zero := 0
	for seed := range uint64(20) {
		s, err := SpreadOf(world{base: 190, noise: 1}.race(eightRaces(), seeded(seed)), Options{Distance: 1000})
		if err != nil {
			t.Fatal(err)
		}
		if s.AthleteSD < 1e-3 {
			zero++
		}
		if math.IsNaN(s.AthleteSD) || s.NoiseSD <= 0 {
			t.Errorf("spread %+v", s)
		}
	}
	if zero < 5 { // about half of them by chance
		t.Errorf("no spread was found %d times of 20", zero)
	}
}

func TestSpreadNeedsResiduals(t *testing.T) {
	_, err := SpreadOf(world{base: 190}.race(schedule("AABB", "BAAB"), nil), Options{Distance: 1000})
	if err == nil || !containsAll(err.Error(), []string{"too few pieces"}) {
		t.Errorf("error %v", err)
	}
	_, err = SpreadOf([]selection.Piece{}, Options{Distance: 1000})
	wantFault(t, err, "pieces", "no piece")
}
