package seatrace

import (
	"math"
	"testing"
)

// TestMarginOfAPiece has the first boat win, the last, nobody and one alone.
func TestMarginOfAPiece(t *testing.T) {
	at := func(times ...float64) *RacePiece {
		p := &RacePiece{}
		for _, s := range times {
			if s == 0 {
				p.TimesS = append(p.TimesS, nil)
				continue
			}
			p.TimesS = append(p.TimesS, &s)
		}
		return p
	}
	for _, c := range []struct {
		piece         *RacePiece
		first, second int
		seconds       float64
		ok            bool
	}{
		{at(190, 191.5), 1, 2, 1.5, true}, {at(195, 192, 190.5), 3, 2, 1.5, true}, {at(0, 190, 190), 2, 3, 0, true},
		{at(0, 190), 0, 0, 0, false}, {at(), 0, 0, 0, false},
	} {
		m, ok := c.piece.Margin()
		if ok != c.ok || m.First != c.first || m.Second != c.second || math.Abs(m.Seconds-c.seconds) > 1e-9 || ok && m.DeadHeat() != (c.seconds == 0) {
			t.Errorf("%+v, %t; want %d before %d by %g", m, ok, c.first, c.second, c.seconds)
		}
	}
}

// TestStartsFollowTheTerms: a piece of 3 min with 12 min of rest takes 15.
func TestStartsFollowTheTerms(t *testing.T) {
	terms := RaceTerms{ExpectedTimeS: 180, RestMin: 12}
	if terms.StartMin(0) != 0 || terms.StartMin(3) != 45 {
		t.Errorf("%g and %g min", terms.StartMin(0), terms.StartMin(3))
	}
}

// TestPlanInWatts turns seconds as smallest_s and smallest_w stand to each other.
func TestPlanInWatts(t *testing.T) {
	p := &SeatRacePlan{SmallestW: 10, SmallestS: 0.5, Pieces: make([]PlannedPiece, 4)}
	if w := p.PowerOf(0.25); w != 5 {
		t.Errorf("%g W", w)
	}
	if w := (&SeatRacePlan{}).PowerOf(1); w != 0 {
		t.Errorf("%g W where no difference is to be told", w)
	}
	for pieces, want := range map[int]bool{0: false, 4: true, 5: false} {
		if got := p.Enough(&ExpectedDifference{Pieces: pieces}); got != want {
			t.Errorf("%d pieces: %t", pieces, got)
		}
	}
}

// TestTermsOfAPlan takes what was asked for, and the defaults of the plan for
// the rest.
func TestTermsOfAPlan(t *testing.T) {
	p := &SeatRacePlan{ExpectedTimeS: 191, SmallestW: 8, Pieces: []PlannedPiece{{Crews: make([][]string, 3)}}}
	got := (&SeatRacePlanRequest{}).TermsOf(p)
	if got.Boats != 3 || got.Swaps != 1 || got.RestMin != 10 || got.ExpectedTimeS != 191 || got.MeanPowerW != 300 || got.SmallestW != 8 || got.NoiseSdS != 0 {
		t.Errorf("%+v", got)
	}
	two, rest, power, noise := 2, 7.0, 250.0, 1.5
	got = (&SeatRacePlanRequest{Swaps: &two, RestMin: &rest, MeanPowerW: &power, NoiseSdS: &noise, Hulls: true}).TermsOf(p)
	if got.Swaps != 2 || got.RestMin != 7 || got.MeanPowerW != 250 || got.NoiseSdS != 1.5 || !got.Hulls {
		t.Errorf("%+v", got)
	}
}
