package lineup

import (
	"strings"
	"testing"

	"thole/api/seatrace"
)

// TestRulesThatCannotBeMetAreTold: one alone, several together, or none where it is not known
// which.
func TestRulesThatCannotBeMetAreTold(t *testing.T) {
	for want, e := range map[string]Unmeetable{
		"No line-up keeps all the rules.": {}, "This rule cannot be met: a.": {Rules: []string{"a"}}, "These rules cannot be met together: a; b.": {Rules: []string{"a", "b"}},
		"This rule cannot be met: a. Two are short.": {Rules: []string{"a"}, Shortages: []string{"Two are short."}},
	} {
		if got := e.Error(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// TestARacedPowerHasItsInterval of 90 %: 1.6449 standard deviations to either side, and no
// power below 0 (normal distribution).
func TestARacedPowerHasItsInterval(t *testing.T) {
	var c BoatCandidate
	c.race(&seatrace.AthletePower{PowerW: 300, SdW: 20})
	if c.PowerW != 300 || c.PowerSdW != 20 || c.LowW != 267.1 || c.HighW != 332.9 || c.Source != "racing" {
		t.Errorf("%+v", c)
	}
	if c.race(&seatrace.AthletePower{PowerW: 30, SdW: 20}); c.LowW != 0 {
		t.Errorf("%+v", c)
	}
}

// TestLineUpsAsATable: a column for each seat, the side behind the name where there is one.
func TestLineUpsAsATable(t *testing.T) {
	names := (&LineupProblem{Candidates: []Candidate{{ID: "1", Name: "Ann"}, {ID: "2"}}}).called()
	a := &LineupsAnswer{Lineups: []RankedLineup{{ScoredLineup: ScoredLineup{TotalS: 400, SpeedMS: 5, Seats: []string{"1", "2"}, Sides: []string{"port", "starboard"}}}, {ScoredLineup: ScoredLineup{TotalS: 401, Seats: []string{"2", "1"}}}}}
	rows := a.Table(names)
	first, second := rows.Rows()[1], rows.Rows()[2]
	if len(rows.Columns) != len(orderColumns)+2 || first[0] != "1" || first[len(first)-2] != "Ann (port)" || first[len(first)-1] != "2 (starboard)" || second[0] != "2" || second[len(second)-1] != "Ann" {
		t.Errorf("%q", rows.Rows())
	}
	none := (&LineupsAnswer{}).Table(nil)
	if len(none.Columns) != len(orderColumns) || none.Len() != 0 {
		t.Errorf("none: %q", none.Rows())
	}
	crews := (&CrewsAnswer{Crews: []RankedCrew{{Lineups: a.Lineups}, {Lineups: a.Lineups[:1]}}}).Table(names)
	var got []string
	for _, row := range crews.Rows()[1:] {
		got = append(got, row[0]+"."+row[1])
	}
	if strings.Join(got, " ") != "1.1 1.2 2.1" {
		t.Errorf("%q", crews.Rows())
	}
	if empty := (&CrewsAnswer{}).Table(nil); empty.Len() != 0 || len(empty.Columns) != len(crewColumns) {
		t.Errorf("no crews: %q", empty.Rows())
	}
}

// TestRacePowersAsATable: power to mass is worked out, and who cannot be judged stands last
// with what is missing.
func TestRacePowersAsATable(t *testing.T) {
	w := &BoatSquad{Candidates: []BoatCandidate{{Candidate: Candidate{Name: "Ann", MassKg: 75, PowerW: 300}, Tests: 2, Doubts: []string{"Check it."}, LeftOut: []string{"Too old."}}}, Missing: []CandidateGap{{Name: "Bea", Missing: "no mass on record"}}}
	rows := w.Table()
	if got := rows.Rows(); len(got) != 3 || got[1][8] != "4" || got[1][11] != "Check it. Too old." || got[2][0] != "Bea" || got[2][11] != "no mass on record" || got[2][3] != "" {
		t.Errorf("%q", got)
	}
}

// TestOneRacePowerJoins, two join.
func TestOneRacePowerJoins(t *testing.T) {
	for count, want := range map[int]string{1: "The race power of 1 athlete combines tests", 2: "Race powers of 2 athletes combine tests"} {
		if got := joinedNote(count); !strings.HasPrefix(got, want) {
			t.Errorf("%d: %q", count, got)
		}
	}
}
