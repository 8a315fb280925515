package seatrace

import (
	"math"
	"slices"
	"strings"
	"testing"

	"thole/rigging"
	"thole/selection"
)

// What is predicted is what the judge then finds, with the noise stated.
func TestForecastIsWhatTheJudgeFinds(t *testing.T) {
	for name, m := range map[string]Model{"margins": {}, "hulls": {Hulls: true}, "trends": {Hulls: true, Trends: true}, "absolute": {Absolute: true}} {
		s := sculls(8)
		s.NoiseSD, s.Model = 1.3, m
		races := eightRaces()[:8]
		f := evaluate(t, races, s)
		r := estimate(t, world{base: 190}.race(races, nil), Options{NoiseSD: 1.3, Model: m})
		if f.Rank != r.Rank || !slices.Equal(f.NotEstimable, r.NotEstimable) {
			t.Errorf("%s: rank %d and %d, open %q and %q", name, f.Rank, r.Rank, f.NotEstimable, r.NotEstimable)
		}
		for k, d := range r.Racing.Differences() {
			near(t, name, f.Differences[k].SD, d.SD, 1e-9)
		}
	}
}

// Rowing a schedule n times divides every variance by n: so many pieces bring
// the standard error to where the difference can be told, and one round fewer
// does not.
func TestPiecesToTell(t *testing.T) {
	races := schedule("AABB", "BAAB", "BABA")
	s := sculls(4)
	s.Smallest = 0.8
	need := expected(evaluate(t, races, s), "a", "d").Pieces
	sdAfter := func(rounds int) float64 {
		return expected(evaluate(t, slices.Repeat(races, rounds), s), "a", "d").SD
	}
	rounds := (need + 2) / 3
	if enough := s.Smallest / shownFactor; sdAfter(rounds) > enough || sdAfter(rounds-1) <= enough {
		t.Errorf("%d pieces: standard errors %g and %g round %g", need, sdAfter(rounds), sdAfter(rounds-1), enough)
	}
}

// The usual sample size: to tell one standard deviation of paired differences
// with 95 % and 80 % takes (1.95996 + 0.84162)² = 7.85 pairs.
func TestPiecesToTellOneDeviation(t *testing.T) {
	if n := PiecesToShow(1, 1, 1); n != 8 {
		t.Errorf("%d, want 8", n)
	}
	near(t, "square of the factor", shownFactor*shownFactor, 7.849, 5e-4)
}

func TestPiecesToTellWantsADifference(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("no difference was taken")
		}
	}()
	PiecesToShow(0, 1, 1)
}

func TestTruthIsSaidInWatts(t *testing.T) {
	s := sculls(8)
	s.NoiseSD = 1.7 / math.Sqrt2
	s.Conversion = Conversion{Time: 190, TotalPower: 1400}
	s.Smallest = s.Conversion.Seconds(10)
	s.Asked = []Pair{{"a", "e"}}
	f := evaluate(t, schedule("AAAABBBB", "BAAAABBB"), s)
	// standard error 1.202 s of two pieces: 2 (2.8016·1.202/0.4524)² = 110.8
	want := "to show 10 W (0.45 s) between a and e would need about 111 pieces of this kind; there are 2"
	if len(f.Truth) != 1 || f.Truth[0] != want {
		t.Errorf("truth %q", f.Truth)
	}
	s.Conversion = Conversion{}
	if f = evaluate(t, schedule("AAAABBBB", "BAAAABBB"), s); !strings.HasPrefix(f.Truth[0], "to show 0.45 s between") {
		t.Errorf("truth %q", f.Truth)
	}
}

func TestTruthNamesWhatStaysOpen(t *testing.T) {
	s := sculls(4)
	f := evaluate(t, schedule("AABB", "BAAB"), s)
	if f.Missing != 4 {
		t.Errorf("%d differences are missing", f.Missing)
	}
	if len(f.Truth) != 2 || !containsAll(f.Truth[0], []string{"4 of the 6 comparisons stay open", "a against b"}) || !containsAll(f.Truth[1], []string{"fewer than 3 pieces", "there are 2"}) {
		t.Errorf("truth %q", f.Truth)
	}
}

func TestLeastPieces(t *testing.T) {
	for name, c := range map[string]struct {
		s    Setup
		want int
	}{
		"eight scullers":             {sculls(8), 7},
		"four ports, four starboard": {sweeps(8), 6},
		"with hulls":                 {func() Setup { s := sculls(8); s.Model.Hulls = true; return s }(), 8},
		"with hulls and trends":      {func() Setup { s := sculls(8); s.Model = Model{Hulls: true, Trends: true}; return s }(), 9},
		"one pair":                   {func() Setup { s := sculls(8); s.Asked = []Pair{{"a", "b"}}; return s }(), 1},
		"absolute times":             {func() Setup { s := sculls(8); s.Model.Absolute = true; return s }(), 4},
	} {
		if got := c.s.leastPieces(); got != c.want {
			t.Errorf("%s: %d, want %d", name, got, c.want)
		}
	}
}

func TestChangesAndFaults(t *testing.T) {
	s := sweeps(8)
	s.Swaps = 1
	f := evaluate(t, schedule("AABBAABB", "ABABAABB", "BAABABAB", "AAABABBB"), s)
	var movers []int
	for _, c := range f.Changes {
		movers = append(movers, len(c.Movers))
	}
	if !slices.Equal(movers, []int{2, 4, 2}) || f.Changes[1].Swaps != 2 {
		t.Errorf("changes %v", f.Changes)
	}
	want := []string{
		"before piece 3 a, b, f and g change places: more than the 2 allowed",
		"piece 4, boat 1: a, b and c row port only, for 2 such seats",
		"piece 4, boat 2: f, g and h row starboard only, for 2 such seats",
	}
	if !slices.Equal(f.Faults, want) {
		t.Errorf("faults %q", f.Faults)
	}
}

func TestForecastCountsTheBank(t *testing.T) {
	s := sculls(4)
	s.Athletes = append(s.Athletes, selection.Athlete{ID: "e"})
	pieces := []selection.Piece{
		{Crews: [][]string{{"a", "b"}, {"c", "d"}}},
		{Crews: [][]string{{"e", "b"}, {"c", "d"}}},
	}
	f := evaluate(t, pieces, s)
	if !slices.Equal(f.Changes[0].Movers, []string{"a", "e"}) || f.Changes[0].Swaps != 1 {
		t.Errorf("changes %+v", f.Changes)
	}
	// a against e: the margin changes by the difference itself, not twice
	near(t, "a against e", expected(f, "a", "e").SD, math.Sqrt(2*2), 1e-12)
}

func TestEvaluateRefusesWhatCannotBe(t *testing.T) {
	s := sculls(4)
	_, err := Evaluate([]selection.Piece{{Crews: [][]string{{"a", "b"}, {"b", "z"}}}, {Crews: [][]string{{"a", "b", "c"}}}}, s)
	wantFault(t, err, "pieces[0].crews[1]", "piece 1, boat 2", "b rows in boat 1 as well")
	wantFault(t, err, "pieces[0].crews[1]", `"z" is not in the squad`)
	wantFault(t, err, "pieces[1].crews", "piece 2", "1 boats where 2 race")
	wantFault(t, err, "pieces[1].crews[0]", "3 rowers instead of 2")
}

func TestSetupRefusesWhatCannotBe(t *testing.T) {
	_, err := Evaluate(nil, Setup{Boats: 1, Swaps: -1, NoiseSD: math.NaN(), Smallest: -1, Athletes: []selection.Athlete{{}, {ID: "a"}, {ID: "a"}}})
	for field, words := range map[string]string{
		"class": "not given", "boats": "two boats or more", "swaps": "below 0", "noise_sd": "above 0 s",
		"smallest": "0 s or above", "athletes[0].id": "athlete 1 has no name", "athletes[2].id": "a is in the squad twice", "athletes[1].sides": "neither side",
	} {
		wantFault(t, err, field, words)
	}
	s := sweeps(8)
	s.Athletes[0].SideCost = map[rigging.Side]float64{rigging.Starboard: 0}
	_, err = Evaluate(nil, s)
	wantFault(t, err, "athletes", "4 port seats", "only 3 athletes")
	s.Athletes = s.Athletes[:7]
	_, err = Evaluate(nil, s)
	wantFault(t, err, "athletes", "need 8 athletes; there are 7")
}

// Of three who move, one comes from the bank and one goes there: two exchanges.
func TestAnOddMoverCountsAsAnExchange(t *testing.T) {
	s := sculls(5)
	s.Class.Rowers = 2
	f := evaluate(t, []selection.Piece{
		{Crews: [][]string{{"a", "b"}, {"c", "d"}}},
		{Crews: [][]string{{"e", "b"}, {"a", "d"}}},
	}, s)
	if c := f.Changes[0]; !slices.Equal(c.Movers, []string{"a", "c", "e"}) || c.Swaps != 2 {
		t.Errorf("change %+v", c)
	}
}
