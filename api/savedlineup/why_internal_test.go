package savedlineup

import (
	"strings"
	"testing"

	"thole/api/lineup"
)

// TestACrewIsFoundAmongTheCandidates: in its order, with their power and mass together; who
// is missing is told with what is missing.
func TestACrewIsFoundAmongTheCandidates(t *testing.T) {
	id := func(id int64) *int64 { return &id }
	squad := &lineup.BoatSquad{Missing: []lineup.CandidateGap{{AthleteID: 4, Missing: "no mass on record"}}}
	for i, name := range []string{"Ann", "Bea", "Cat"} {
		squad.Candidates = append(squad.Candidates, lineup.BoatCandidate{AthleteID: int64(i + 1), Candidate: lineup.Candidate{Name: name, Sex: "female", MassKg: 70 + float64(i), PowerW: 300 + float64(i)}})
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
		{nil, ""}, {[]OrderChange{{"Ann", "Bea", -lineup.NearS}}, "Ann and Bea in each other’s seat would gain 0.05 s."}, {[]OrderChange{{"Ann", "Bea", -0.049}, {"Ann", "Cat", 0}}, "The order is a matter of taste: 2 exchanges of two seats cost less than 0.05 s."},
	} {
		k := &lineupCase{out: LineupCase{Order: c.order}}
		if k.sayOrder(); strings.Join(k.out.Sentences, " ") != c.want {
			t.Errorf("%+v: %q, want %q", c.order, k.out.Sentences, c.want)
		}
	}
}
