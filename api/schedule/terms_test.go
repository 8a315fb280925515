package schedule

import (
	"math"
	"testing"
)

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

// TestATimeIsExpectedOfAClassOverADistance, and of nothing else.
func TestATimeIsExpectedOfAClassOverADistance(t *testing.T) {
	for _, c := range []struct {
		class    string
		distance float64
		told     bool
	}{{"1x", 1000, true}, {"1x", 0, false}, {"9x", 1000, false}} {
		if got := UsualTerms(c.class, c.distance).ExpectedTimeS; (got > 0) != c.told {
			t.Errorf("%+v: %g s", c, got)
		}
	}
}

// TestThePairThatShowsASchedule is the first whose two boats change places with nobody
// leaving; without one it is the least certain of those asked for that can be told apart.
func TestThePairThatShowsASchedule(t *testing.T) {
	pairs := []ExpectedDifference{
		{First: "A", Second: "B", Asked: true, Estimable: true, ExpectedSdS: 0.4},
		{First: "C", Second: "D", Asked: true, Estimable: true, ExpectedSdS: 0.9},
		{First: "E", Second: "F", Asked: true, ExpectedSdS: 2}, {First: "G", Second: "H", Estimable: true, ExpectedSdS: 3},
	}
	swap := PlannedPiece{Moved: []string{"B", "A"}}
	for name, c := range map[string]struct {
		pieces []PlannedPiece
		want   string
	}{
		"a swap":           {[]PlannedPiece{{}, swap}, "A"},
		"a swap and a row": {[]PlannedPiece{{Moved: swap.Moved, Left: []string{"X"}}}, "C"},
		"three move":       {[]PlannedPiece{{Moved: []string{"A", "B", "C"}}}, "C"},
		"nobody moves":     {[]PlannedPiece{{}}, "C"},
	} {
		if got, ok := (&SeatRacePlan{Differences: pairs, Pieces: c.pieces}).Example(); !ok || got.First != c.want {
			t.Errorf("%s: %+v %t, want %s", name, got, ok, c.want)
		}
	}
	if got, ok := (&SeatRacePlan{Differences: pairs[2:], Pieces: []PlannedPiece{swap}}).Example(); ok {
		t.Errorf("of nothing asked for: %+v", got)
	}
}

// TestTheUsualTimeOfMargins is the expected one, or the geometric mean of those taken: of
// 100 and 144 s, 120. A time of 0 was not taken.
func TestTheUsualTimeOfMargins(t *testing.T) {
	at := func(v float64) *float64 { return &v }
	for want, r := range map[float64]*SeatRaceEstimateRequest{
		0:   {},
		120: {Pieces: []RacedPiece{{TimesS: []*float64{at(100), nil, at(0)}}, {TimesS: []*float64{at(144)}}}},
		90:  {ExpectedTimeS: at(90), Pieces: []RacedPiece{{TimesS: []*float64{at(100)}}}},
	} {
		if got := r.usualTime(); math.Abs(got-want) > 1e-9 {
			t.Errorf("%g s, want %g", got, want)
		}
	}
}
