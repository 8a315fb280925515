package lineup

import (
	"strings"
	"testing"

	"thole/api/seatrace"
)

// TestACrewIsFoundAmongTheCandidates: in its order, with their power and mass together; who
// is missing is told with what is missing.
func TestACrewIsFoundAmongTheCandidates(t *testing.T) {
	id := func(id int64) *int64 { return &id }
	squad := &BoatSquad{Missing: []CandidateGap{{AthleteID: 4, Missing: "no mass on record"}}}
	for i, name := range []string{"Ann", "Bea", "Cat"} {
		squad.Candidates = append(squad.Candidates, BoatCandidate{AthleteID: int64(i + 1), Candidate: Candidate{Name: name, Sex: "female", MassKg: 70 + float64(i), PowerW: 300 + float64(i)}})
	}
	c := &lineupCase{squad: squad, saved: &SavedLineup{LineupContent: LineupContent{Seats: []LineupPlace{{AthleteID: id(3)}, {AthleteID: id(1)}}}}}
	if !c.crew() || len(c.at) != 2 || c.at[0] != 2 || c.at[1] != 0 || c.out.PowerW != 602 || c.out.MassKg != 142 || len(c.sexes) != 2 {
		t.Errorf("%+v", c)
	}
	c = &lineupCase{squad: squad, saved: &SavedLineup{LineupContent: LineupContent{Seats: []LineupPlace{{AthleteID: id(1)}, {}, {AthleteID: id(4), Name: "Dot"}, {AthleteID: id(9), Name: "Eve"}}}}}
	if c.crew() || strings.Join(c.out.Unknown, "; ") != "seat 2 is empty; Dot: no mass on record; Eve: no longer on record" || len(c.at) != 1 {
		t.Errorf("%+v", c.out.Unknown)
	}
}

// TestAnExchangeOfSeatsIsToldFromWhereItGains NearS; below, the order is a matter of taste.
func TestAnExchangeOfSeatsIsToldFromWhereItGains(t *testing.T) {
	for _, c := range []struct {
		order []OrderChange
		want  string
	}{
		{nil, ""}, {[]OrderChange{{"Ann", "Bea", -NearS}}, "Ann and Bea in each other’s seat would gain 0.05 s."}, {[]OrderChange{{"Ann", "Bea", -0.049}, {"Ann", "Cat", 0}}, "The order is a matter of taste: 2 exchanges of two seats cost less than 0.05 s."},
	} {
		k := &lineupCase{out: LineupCase{Order: c.order}}
		if k.sayOrder(); strings.Join(k.out.Sentences, " ") != c.want {
			t.Errorf("%+v: %q, want %q", c.order, k.out.Sentences, c.want)
		}
	}
}

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
