package ergometer_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"thole/api"
	"thole/api/apitest"
	"thole/api/lineup"
	"thole/api/records"
	"thole/api/seatrace"
	"thole/api/store"
)

// testedFive puts five scullers on record whose tests differ in number,
// distance, day and mass, and returns their ids by name.
func testedFive(t *testing.T, s *api.Service) map[string]int64 {
	t.Helper()
	day := func(ago int) string { return time.Now().AddDate(0, 0, -ago).Format(time.DateOnly) }
	table := "name,sculls,mass_kg,test_date,test_fixed,test_distance_m,test_time,test_mass_kg\n" +
		"Ann,yes,70," + day(5) + ",,2000,6:50.0,71\n" +
		"Bea,yes,64," + day(300) + ",,2000,7:05.0,60\n,,," + day(30) + ",,6000,23:10.0,\n,,," + day(0) + ",,500,1:38.0,64\n" +
		"Cat,yes,75," + day(90) + ",time,8050,30:00.0,75\n" +
		"Dot,yes,68," + day(12) + ",,2000,6:44.0,\n,,," + day(12) + ",,500,1:33.1,\n" +
		"Eve,yes,80," + day(40) + ",,2000,6:39.0,82\n"
	if plan := apitest.Saved3(t, s, table); len(plan.Problems) != 0 || len(plan.Tests) != 8 {
		t.Fatalf("%+v", plan)
	}
	list, err := s.Club.Athletes(t.Context(), records.ListRequest{})
	if err != nil {
		t.Fatal(err)
	}
	ids := map[string]int64{}
	for _, a := range list.Athletes {
		ids[a.Name] = a.ID
	}
	return ids
}

// against races two of the athletes in singles today and returns what the race
// held of them before, from the ergometer: mean power, difference and its SD, W.
func against(t *testing.T, s *api.Service, ids map[string]int64, first, second string) (mean, gap, sd float64) {
	t.Helper()
	r := seatrace.CreateRaceRequest{RaceContent: seatrace.RaceContent{
		Name: first + " against " + second, BoatClass: "1x", Pieces: []seatrace.RaceScheduledPiece{{Crews: [][]string{{first}, {second}}}},
		Athletes: []seatrace.RaceParticipant{{AthleteID: new(ids[first]), Name: first}, {AthleteID: new(ids[second]), Name: second}},
	}}
	race, err := s.Seatrace.CreateRace(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	apitest.Record(t, s, race.ID, 1, "1", 230, 231.5)
	j, err := s.Seatrace.JudgeRace(t.Context(), seatrace.JudgementRequest{ID: race.ID, Prior: "ergometer"})
	if err != nil {
		t.Fatal(err)
	}
	d := apitest.Difference(t, j.Estimate.Prior.Differences, first, second)
	return j.MeanPowerW, d.DifferenceS * j.WattsPerSecond, d.SdS * j.WattsPerSecond
}

// agreeOnPower compares what the squad and races of the same day hold of
// athletes: one race power, one uncertainty on the water. The squad rounds to
// 0.1 W, a race to 0.01 W and 0.001 s, where a second is worth some 4 W.
func agreeOnPower(t *testing.T, s *api.Service, ids map[string]int64) {
	t.Helper()
	squad, err := s.Lineup.SquadFor(t.Context(), lineup.BoatSquadRequest{BoatClass: "1x", Powers: "ergometer"})
	if err != nil {
		t.Fatal(err)
	}
	c := map[string]lineup.BoatCandidate{}
	for _, one := range squad.Candidates {
		c[one.Name] = one
	}
	apitest.Same(t, "candidates", len(c), len(ids))
	for _, pair := range [][2]string{{"Ann", "Bea"}, {"Bea", "Cat"}, {"Cat", "Dot"}, {"Dot", "Eve"}} {
		a, b := c[pair[0]], c[pair[1]]
		mean, gap, sd := against(t, s, ids, pair[0], pair[1])
		apitest.Near(t, fmt.Sprint("mean of ", pair), (a.PowerW+b.PowerW)/2, mean, 0.056)
		apitest.Near(t, fmt.Sprint("difference of ", pair), a.PowerW-b.PowerW, gap, 0.12)
		apitest.Near(t, fmt.Sprint("SD of the difference of ", pair), math.Hypot(a.PowerSdW, b.PowerSdW), sd, 0.12)
	}
}

func TestSquadAndRaceAgreeOnRacePower(t *testing.T) {
	s, _ := apitest.RaceRecords(t)
	agreeOnPower(t, s, testedFive(t, s))
}

// TestATestOfTomorrowTellsNothingToday: a clock that was wrong once must not
// take an athlete out of the squad. Nor must a slip that no rower can row, for
// tests have come in by other ways than today's.
func TestATestOfTomorrowTellsNothingToday(t *testing.T) {
	s, records := apitest.RaceRecords(t)
	ids := testedFive(t, s)
	before, err := s.Lineup.SquadFor(t.Context(), lineup.BoatSquadRequest{BoatClass: "1x", Powers: "ergometer"})
	if err != nil {
		t.Fatal(err)
	}
	_, err = records.SaveErgTests(t.Context(), []store.ErgTest{
		{AthleteID: ids["Dot"], TestedOn: time.Now().AddDate(0, 0, 2).Format(time.DateOnly), Fixed: store.FixedDistance, DistanceM: 2000, TimeS: 300},
		{AthleteID: ids["Eve"], TestedOn: "2020-01-01", Fixed: store.FixedDistance, DistanceM: 2000, TimeS: 1.2},
		{AthleteID: ids["Cat"], TestedOn: "2020-01-01", Fixed: store.FixedDistance, DistanceM: 2000, TimeS: 420, MassKg: new(4.0)},
	})
	if err != nil {
		t.Fatal(err)
	}
	after, err := s.Lineup.SquadFor(t.Context(), lineup.BoatSquadRequest{BoatClass: "1x", Powers: "ergometer"})
	if err != nil {
		t.Fatal(err)
	}
	for i := range after.Candidates {
		c := &after.Candidates[i]
		said := map[string]string{"Dot": "still to come", "Eve": "1.2 s", "Cat": "4 kg"}[c.Name]
		if (len(c.LeftOut) > 0) != (said != "") || !strings.Contains(strings.Join(c.LeftOut, ""), said) {
			t.Errorf("%s: left out %q, want a word of %q", c.Name, c.LeftOut, said)
		}
		c.LeftOut = []string{}
	}
	apitest.Same(t, "squad", after, before)
	agreeOnPower(t, s, ids)
}

// TestALightChildIsJudged: 22 kg stand on the scales, and the model of change
// of mass has to know them.
func TestALightChildIsJudged(t *testing.T) {
	s := clubService(t)
	apitest.Saved3(t, s, apitest.Heading+"Ann,,,yes,,,22,2026-01-10,,500,3:00.0,,\n")
	squad, err := s.Lineup.SquadFor(t.Context(), lineup.BoatSquadRequest{BoatClass: "1x", Powers: "ergometer"})
	if err != nil || len(squad.Candidates) != 1 {
		t.Errorf("%+v %v", squad, err)
	}
}
