package lineup

import (
	"slices"
	"testing"

	"thole/api/club"
)

// TestLineupsTooCloseToTell counts from the best, with the limit itself out.
func TestLineupsTooCloseToTell(t *testing.T) {
	var a LineupsAnswer
	for _, total := range []float64{2, 2.05, 2.09, 2.11, 3} {
		a.Lineups = append(a.Lineups, RankedLineup{ScoredLineup: ScoredLineup{TotalS: total}})
	}
	if n := a.Close(); n != 3 {
		t.Errorf("%d line-ups, want 3", n)
	}
}

// sweepers are candidates by id with the sides they row.
func sweepers(sides map[string]string) []Candidate {
	var list []Candidate
	for _, id := range []string{"a", "b", "c", "d", "e", "f"} {
		c := Candidate{ID: id, Sides: &club.SideCosts{}}
		for _, side := range sides[id] {
			if side == 'P' {
				c.Sides.Port = new(float64)
			} else {
				c.Sides.Starboard = new(float64)
			}
		}
		list = append(list, c)
	}
	return list
}

// TestRaceSquadFillsTwoPairsFromAFour races e for the seat of b, on port.
func TestRaceSquadFillsTwoPairsFromAFour(t *testing.T) {
	p := LineupProblem{BoatRules: BoatRules{BoatClass: "4-"}, Candidates: sweepers(map[string]string{"a": "S", "b": "P", "c": "S", "d": "P", "e": "PS", "f": "S"})}
	best := &ScoredLineup{Seats: []string{"a", "b", "c", "d"}, Sides: []string{"starboard", "port", "starboard", "port"}}
	got := p.RaceSquad(best, NextRace{In: "b", Out: "e"})
	if got.BoatClass != "2-" || !slices.Equal(got.IDs, []string{"b", "e", "a", "c"}) || !slices.Equal(got.Sides, []string{"port", "port", "starboard", "starboard"}) {
		t.Errorf("%+v", got)
	}
	// Who is not available does not fill a place: here nobody does.
	p.Out = []string{"f"}
	best = &ScoredLineup{Seats: []string{"a", "b"}, Sides: []string{"starboard", "port"}}
	p.BoatClass = "2-"
	if got = p.RaceSquad(best, NextRace{In: "b", Out: "e"}); got.BoatClass != "2-" || !slices.Equal(got.IDs, []string{"b", "e", "a", "c"}) {
		t.Errorf("pairs in pairs: %+v", got)
	}
}

// TestRaceSquadOfScullersHasNoSides, and a single has no squad.
func TestRaceSquadOfScullersHasNoSides(t *testing.T) {
	p := LineupProblem{BoatRules: BoatRules{BoatClass: "4x"}, Candidates: sweepers(nil)}
	got := p.RaceSquad(&ScoredLineup{Seats: []string{"a", "b", "c", "d"}}, NextRace{In: "d", Out: "f"})
	if got.BoatClass != "2x" || !slices.Equal(got.IDs, []string{"d", "f", "a", "b"}) || !slices.Equal(got.Sides, make([]string, 4)) {
		t.Errorf("%+v", got)
	}
	if got := p.RaceSquad(&ScoredLineup{Seats: []string{"a"}}, NextRace{In: "a", Out: "b"}); got.BoatClass != "" || got.IDs != nil {
		t.Errorf("in a single: %+v", got)
	}
}

// TestCurveMatchOfALineup divides the cost by the weight, the default one or
// the coach's.
func TestCurveMatchOfALineup(t *testing.T) {
	l := &ScoredLineup{Seats: []string{"a", "b"}, Terms: CostTerms{LikenessS: 0.3}}
	if m := (&LineupProblem{}).CurveMatch(l); m.Word != "fair" || m.D != 0.06 {
		t.Errorf("%+v", m)
	}
	ten, none := 10.0, 0.0
	if m := (&LineupProblem{BoatRules: BoatRules{Weights: &OrderWeights{LikenessS: &ten}}}).CurveMatch(l); m.Word != "close" || m.D != 0.03 {
		t.Errorf("%+v", m)
	}
	if m := (&LineupProblem{BoatRules: BoatRules{Weights: &OrderWeights{LikenessS: &none}}}).CurveMatch(l); m.Word != "" {
		t.Errorf("without a weight: %+v", m)
	}
	l.Seats = l.Seats[:1]
	if m := (&LineupProblem{}).CurveMatch(l); m.Word != "" {
		t.Errorf("alone: %+v", m)
	}
}
