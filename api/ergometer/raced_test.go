package ergometer_test

import (
	"fmt"
	"math"
	"slices"
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

// scullers gathers the squad for singles, with the race powers of a race
// where one is named, and those of the ergometer otherwise.
func scullers(t *testing.T, s *api.Service, race int64) lineup.BoatSquad {
	t.Helper()
	squad, err := s.Lineup.SquadFor(t.Context(), lineup.BoatSquadRequest{BoatClass: "1x", SeatRaceID: race, Powers: "ergometer"})
	if err != nil {
		t.Fatal(err)
	}
	return squad
}

// upset puts three scullers on record and races the last on the ergometer
// against the first: the first is well beaten, three times over.
func upset(t *testing.T) (s *api.Service, race int64) {
	t.Helper()
	return raced(t, [][]string{{"Ann"}, {"Cat"}}, 250, 235)
}

// raced puts three scullers on record, Ann a little before Bea and Bea before
// Cat on the ergometer, and races some of them three times with the same times
// in s.
func raced(t *testing.T, crews [][]string, times ...float64) (s *api.Service, race int64) {
	t.Helper()
	s, _ = apitest.RaceRecords(t)
	day := time.Now().AddDate(0, 0, -3).Format(time.DateOnly)
	apitest.Saved3(t, s, "name,sculls,mass_kg,test_date,test_distance_m,test_time\n"+
		"Ann,yes,70,"+day+",2000,6:58.0\nBea,yes,70,"+day+",2000,7:00.0\nCat,yes,70,"+day+",2000,7:01.0\n")
	list, err := s.Club.Athletes(t.Context(), records.ListRequest{})
	if err != nil {
		t.Fatal(err)
	}
	r := seatrace.CreateRaceRequest{RaceContent: seatrace.RaceContent{Name: "Upset", BoatClass: "1x"}}
	for _, a := range list.Athletes {
		if slices.ContainsFunc(crews, func(crew []string) bool { return crew[0] == a.Name }) {
			r.Athletes = append(r.Athletes, seatrace.RaceParticipant{AthleteID: &a.ID, Name: a.Name})
		}
	}
	for range 3 {
		r.Pieces = append(r.Pieces, seatrace.RaceScheduledPiece{Crews: crews})
	}
	made, err := s.Seatrace.CreateRace(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	for piece := range 3 {
		apitest.Record(t, s, made.ID, piece+1, "k"+string(rune('1'+piece)), times...)
	}
	return s, made.ID
}

// TestRacedPowersOrderTheSquad: strongest first means the powers that are
// shown, wherever they come from.
func TestRacedPowersOrderTheSquad(t *testing.T) {
	s, race := upset(t)
	var names []string
	for _, c := range scullers(t, s, 0).Candidates {
		names = append(names, c.Name)
	}
	apitest.Same(t, "by the ergometer", names, []string{"Ann", "Bea", "Cat"})
	squad := scullers(t, s, race)
	names = nil
	for i, c := range squad.Candidates {
		names = append(names, c.Name)
		apitest.Near(t, "variance of "+c.Name, squad.PowerCovarianceW2[i][i], c.PowerSdW*c.PowerSdW, 0.1)
		if i > 0 && (c.PowerW > squad.Candidates[i-1].PowerW || c.Band < squad.Candidates[i-1].Band) {
			t.Errorf("%s, %.1f W, stands in band %d below %.1f W in band %d", c.Name, c.PowerW, c.Band, squad.Candidates[i-1].PowerW, squad.Candidates[i-1].Band)
		}
	}
	apitest.Same(t, "by the racing", names, []string{"Cat", "Bea", "Ann"})
}

// TestRacedPowersHaveTheirOwnInterval: 90 % of a normal distribution lie
// within 1.645 SDs (tables), rounded to 0.1 W.
func TestRacedPowersHaveTheirOwnInterval(t *testing.T) {
	s, race := upset(t)
	for _, c := range scullers(t, s, race).Candidates {
		if c.Source == "racing" {
			apitest.Near(t, "low end of "+c.Name, c.LowW, c.PowerW-1.645*c.PowerSdW, 0.07)
			apitest.Near(t, "high end of "+c.Name, c.HighW, c.PowerW+1.645*c.PowerSdW, 0.07)
		}
	}
}

// TestBandsFollowTheRacing: neighbours are parted where the difference of the
// powers shown is 1.645 of its SDs (tables: 95 %), by the covariance beside
// them.
func TestBandsFollowTheRacing(t *testing.T) {
	s, race := raced(t, [][]string{{"Ann"}, {"Bea"}, {"Cat"}}, 247, 244, 241)
	apitest.Same(t, "bands by the ergometer", bandsOf(scullers(t, s, 0)), []int{1, 1, 1})
	squad := scullers(t, s, race)
	parted := func(i, j int) bool {
		cov := squad.PowerCovarianceW2
		return squad.Candidates[i].PowerW-squad.Candidates[j].PowerW > 1.645*math.Sqrt(cov[i][i]+cov[j][j]-2*cov[i][j])
	}
	if !parted(0, 1) || !parted(1, 2) || !parted(0, 2) {
		t.Fatalf("this race should part them: %+v", squad)
	}
	apitest.Same(t, "bands by the racing", bandsOf(squad), []int{1, 2, 3})
}

func bandsOf(squad lineup.BoatSquad) []int {
	var list []int
	for _, c := range squad.Candidates {
		list = append(list, c.Band)
	}
	return list
}

// TestWhyAnAthleteCannotBeJudged describes an athlete who was never tested from one
// whose tests cannot be used.
func TestWhyAnAthleteCannotBeJudged(t *testing.T) {
	s, file := apitest.RaceRecords(t)
	apitest.Saved3(t, s, "name,sculls,mass_kg\nAnn,yes,70\nBea,yes,64\nCat,yes,66\n")
	list, err := s.Club.Athletes(t.Context(), records.ListRequest{})
	if err != nil {
		t.Fatal(err)
	}
	tomorrow := time.Now().AddDate(0, 0, 1).Format(time.DateOnly)
	_, err = file.SaveErgTests(t.Context(), []store.ErgTest{
		{AthleteID: list.Athletes[1].ID, TestedOn: "2020-01-01", Fixed: store.FixedDistance, DistanceM: 2000, TimeS: 1.2},
		{AthleteID: list.Athletes[2].ID, TestedOn: tomorrow, Fixed: store.FixedDistance, DistanceM: 2000, TimeS: 420},
	})
	if err != nil {
		t.Fatal(err)
	}
	squad := scullers(t, s, 0)
	apitest.Same(t, "never tested", apitest.MissingOf(squad, "Ann"), "no ergometer test")
	for name, words := range map[string][]string{
		"Bea": {"no usable ergometer test", "2020-01-01", "1.2 s"},
		"Cat": {"no usable ergometer test", tomorrow, "still to come"},
	} {
		for _, w := range words {
			if text := apitest.MissingOf(squad, name); !strings.Contains(text, w) {
				t.Errorf("%s: %q lacks %q", name, text, w)
			}
		}
	}
}

// TestDoubtfulTestsAreTold: 2000 m in 7:02.4 and in 8:30.4 cannot both be
// right, and both are used.
func TestDoubtfulTestsAreTold(t *testing.T) {
	s := clubService(t)
	day := func(ago int) string { return time.Now().AddDate(0, 0, -ago).Format(time.DateOnly) }
	apitest.Saved3(t, s, "name,sculls,mass_kg,test_date,test_distance_m,test_time\nAnn,yes,70,"+day(20)+",2000,7:02.4\n,,,"+day(5)+",2000,8:30.4\nBea,yes,70,"+day(5)+",2000,7:02.4\n")
	for _, c := range scullers(t, s, 0).Candidates {
		want := map[string]int{"Ann": 2, "Bea": 0}[c.Name]
		if len(c.Doubts) != want {
			t.Errorf("%s: %q", c.Name, c.Doubts)
		}
		for i, time := range []string{"8:30.4 on " + day(5), "7:02.4 on " + day(20)}[:want] {
			if !strings.Contains(c.Doubts[i], "2000 m in "+time) || !strings.Contains(c.Doubts[i], "check time, distance and date") {
				t.Errorf("%q does not tell of %s", c.Doubts[i], time)
			}
		}
	}
}

// TestWhichDeviationIsWhich: a fresh test repeats within 2.0 % of power
// (Schabort et al. 1999, from memory) on the ergometer; the water leaves 3 %
// more open (erg.WaterSD), which makes √(2² + 3²) = 3.606 %. The interval is
// the ergometer's: Student's t with 6 degrees, 1.943·√(4/6)·2 % (tables).
func TestWhichDeviationIsWhich(t *testing.T) {
	s := clubService(t)
	apitest.Saved3(t, s, "name,sculls,mass_kg,test_date,test_distance_m,test_time\nAnn,yes,70,"+time.Now().Format(time.DateOnly)+",2000,7:00.0\n")
	c := scullers(t, s, 0).Candidates[0]
	apitest.Near(t, "power", c.PowerW, 302.343, 0.05)
	apitest.Same(t, "power by the ergometer", c.ErgPowerW, c.PowerW)
	apitest.Near(t, "SD on the ergometer", c.ErgSdW, 0.02*302.343, 0.051)
	apitest.Near(t, "SD on the water", c.PowerSdW, 0.03606*302.343, 0.051)
	half := 1.943 * math.Sqrt(4.0/6) * 0.02
	apitest.Near(t, "low end", c.LowW, 302.343*math.Exp(-half), 0.051)
	apitest.Near(t, "high end", c.HighW, 302.343*math.Exp(half), 0.051)
}

// demoSquad gathers the squad of the demo club.
func demoSquad(t *testing.T, class string) lineup.BoatSquad {
	t.Helper()
	s := apitest.DemoService(t)
	squad, err := s.Lineup.SquadFor(t.Context(), lineup.BoatSquadRequest{BoatClass: class, Powers: "ergometer"})
	if err != nil {
		t.Fatal(err)
	}
	return squad
}

func TestSquadOfTheDemoClub(t *testing.T) {
	squad := demoSquad(t, "8+")
	curves, band := 0, 1
	for i, c := range squad.Candidates {
		if c.Sides == nil || c.Sides.Port == nil && c.Sides.Starboard == nil || c.MassKg <= 0 || c.LowW >= c.PowerW || c.PowerW >= c.HighW || c.Source != "ergometer" {
			t.Errorf("%+v", c)
		}
		if i > 0 && c.Band < band {
			t.Errorf("%s falls back to band %d", c.Name, c.Band)
		}
		band = c.Band
		if c.Curve != nil {
			apitest.Same(t, "nodes", len(c.Curve), 101)
			curves++
		}
	}
	if len(squad.Candidates) < 16 || curves == 0 || len(squad.Missing) == 0 {
		t.Errorf("%d candidates, %d curves, %d missing", len(squad.Candidates), curves, len(squad.Missing))
	}
}

func TestSquadOfAScullingBoatHasNoSides(t *testing.T) {
	for _, c := range demoSquad(t, "4x").Candidates {
		if c.Sides != nil {
			t.Errorf("%+v", c)
		}
	}
}

// racedFour puts a race of two doubles with a piece raced on record, its
// athletes too, and returns it with their names.
func racedFour(t *testing.T) (race int64, names []string) {
	t.Helper()
	list := []any{}
	for range 4 {
		names = append(names, apitest.Tested(t, "", "0", "1"))
	}
	squad, err := apitest.Service.Lineup.SquadFor(t.Context(), lineup.BoatSquadRequest{BoatClass: "2x"})
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		for _, c := range squad.Candidates {
			if c.Name == name {
				list = append(list, apitest.Object{"athlete_id": c.AthleteID, "name": name})
			}
		}
	}
	one, two := []any{names[0], names[1]}, []any{names[2], names[3]}
	path := apitest.SampleRace(t, apitest.Encoded(t, apitest.Object{
		"name": "Doubles", "boat_class": "2x", "athletes": list,
		"pieces": []any{apitest.Object{"crews": []any{one, two}}, apitest.Object{"crews": []any{[]any{names[2], names[1]}, []any{names[0], names[3]}}}},
	}))
	for i, times := range []string{"[190.1, 193.4]", "[194.0, 189.2]"} {
		body := fmt.Sprintf(`{"key": "k%d", "times_s": %s, "by": "Anna", "version": %d}`, i+1, times, i+2)
		if w := apitest.Request("PUT", fmt.Sprintf("%s/pieces/%d", path, i+1), apitest.JSONType, body); w.Code != 200 {
			t.Fatalf("%d: %s", w.Code, w.Body)
		}
	}
	if _, err := fmt.Sscanf(path, apitest.RacesPath+"/%d", &race); err != nil {
		t.Fatal(err)
	}
	return race, names
}

// TestRacedPowersKeepTheirCovariance: a race's powers replace the
// ergometer's, with a covariance that firmness can draw from.
func TestRacedPowersKeepTheirCovariance(t *testing.T) {
	race, names := racedFour(t)
	squad, err := apitest.Service.Lineup.SquadFor(t.Context(), lineup.BoatSquadRequest{BoatClass: "2x", SeatRaceID: race})
	if err != nil {
		t.Fatal(err)
	}
	raced, tied := 0, 0
	var candidates []lineup.Candidate
	for i, c := range squad.Candidates {
		apitest.Near(t, "variance of "+c.Name, squad.PowerCovarianceW2[i][i], c.PowerSdW*c.PowerSdW, 0.5)
		for j, v := range squad.PowerCovarianceW2[i] {
			apitest.Same(t, "symmetry", v, squad.PowerCovarianceW2[j][i])
			if i != j && v != 0 {
				tied++
			}
		}
		if c.Source == "racing" {
			raced++
		}
		candidates = append(candidates, c.Candidate)
	}
	apitest.Same(t, "raced", raced, len(names))
	// The doubt about scatter and spread is common to all and ties everybody.
	apitest.Same(t, "tied to one another", tied, 12)
	a, err := apitest.Service.Lineup.FindLineups(t.Context(), lineup.LineupsRequest{
		LineupProblem: lineup.LineupProblem{BoatRules: lineup.BoatRules{BoatClass: "2x"}, Candidates: candidates}, Draws: 20, Seed: 1, PowerCovariance: squad.PowerCovarianceW2,
	})
	if err != nil || a.Firmness == nil {
		t.Errorf("%+v %v", a, err)
	}
}

func TestARaceThatIsNotThere(t *testing.T) {
	if w := apitest.Request("GET", apitest.SquadPath+"?boat_class=2x&seat_race_id=999999", "", ""); w.Code != 404 {
		t.Errorf("%d %s", w.Code, w.Body)
	}
}

func TestNamesakesAreToldApartInTheSquad(t *testing.T) {
	s := clubService(t)
	row := func(born string) string { return "Ann Ash," + born + ",yes,80,2026-01-10,2000,7:00.0\n" }
	apitest.Saved3(t, s, "name,birth_date,sculls,mass_kg,test_date,test_distance_m,test_time\n"+row("2001-04-30")+row("2003-04-30")+row("2003-05-30"))
	squad, err := s.Lineup.SquadFor(t.Context(), lineup.BoatSquadRequest{BoatClass: "2x"})
	if err != nil {
		t.Fatal(err)
	}
	names := map[string]bool{}
	for _, c := range squad.Candidates {
		names[c.Name] = true
	}
	if len(names) != 3 || !names["Ann Ash (2001)"] {
		t.Errorf("%v", names)
	}
}
