package seatrace_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"thole/api"
	"thole/api/apitest"
	"thole/api/club"
	"thole/api/records"
	"thole/api/seatrace"
	"thole/api/store"
	"thole/api/wire"
)

// raceService returns a service over empty records of its own.
func raceService(t testing.TB) *api.Service {
	t.Helper()
	s, _ := apitest.RaceRecords(t)
	return s
}

// raced is one piece of two boats.
func raced(first, second string, times ...float64) seatrace.RacedPiece {
	p := seatrace.RacedPiece{Crews: [][]string{strings.Split(first, ""), strings.Split(second, "")}}
	for _, t := range times {
		p.TimesS = append(p.TimesS, &t)
	}
	return p
}

// swapping is two doubles in which a and c change boats after every piece.
func swapping() []seatrace.RacedPiece {
	return []seatrace.RacedPiece{
		raced("ab", "cd", 221.0, 223.4), raced("cb", "ad", 222.9, 221.8), raced("ab", "cd", 221.7, 223.5), raced("cb", "ad", 223.8, 222.3),
	}
}

func estimated(t testing.TB, r seatrace.SeatRaceEstimateRequest) seatrace.SeatRaceEstimate {
	t.Helper()
	a, err := api.NewService(nil).Seatrace.EstimateSeatRaces(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// The seat race by hand: margins +2.4, −1.1, +1.8, −1.5 (first boat ahead);
// the gain of a over c is half the mean change, (2.4+1.8+1.1+1.5)/4/… = 1.70 s.
func TestASwapIsHalfTheChangeOfTheMargin(t *testing.T) {
	a := estimated(t, seatrace.SeatRaceEstimateRequest{DistanceM: 1000, Pieces: swapping(), BareSwaps: true})
	d := apitest.Difference(t, a.Differences, "a", "c")
	apitest.Near(t, "a over c", d.DifferenceS, (2.4+1.1+1.8+1.5)/4, 0.01)
	if !d.Estimable || d.ChanceFirstFaster < 0.95 || d.LowS > d.DifferenceS || d.HighS < d.DifferenceS {
		t.Errorf("%+v", d)
	}
	apitest.Same(t, "rank", a.Rank, 2)
	apitest.Near(t, "per 2000", a.Per2000, 2, 0)
	if d := apitest.Difference(t, a.Differences, "a", "b"); d.Estimable || d.Why == "" || d.DifferenceS != 0 || d.ChanceFirstFaster != 0.5 {
		t.Errorf("a and b never parted in a telling way: %+v", d)
	}
	if len(a.NotEstimable) == 0 || len(a.Swaps) != 4 {
		t.Errorf("not estimable %q, swaps %d", a.NotEstimable, len(a.Swaps))
	}
}

func TestAPriorIsShownApart(t *testing.T) {
	sd := 1.0
	r := seatrace.SeatRaceEstimateRequest{DistanceM: 1000, Pieces: swapping(), Prior: &seatrace.SeatRacePrior{SdS: &sd, MeansS: map[string]*float64{"c": new(3.0), "a": new(0.0)}}}
	with, without := estimated(t, r), estimated(t, seatrace.SeatRaceEstimateRequest{DistanceM: 1000, Pieces: swapping()})
	apitest.Same(t, "racing evidence", with.Racing.Differences, without.Differences)
	apitest.Near(t, "prior", apitest.Difference(t, with.Prior.Differences, "a", "c").DifferenceS, -3, 1e-9)
	joint := apitest.Difference(t, with.Differences, "a", "c").DifferenceS
	if !(joint > -3 && joint < 1.7) {
		t.Errorf("joint %g lies outside prior and racing", joint)
	}
	if without.Racing != nil || without.Prior != nil {
		t.Error("evidence apart without a prior")
	}
}

func TestViewsCanDisagree(t *testing.T) {
	pieces := []seatrace.RacedPiece{raced("ab", "cd", 200, 201), raced("cb", "ad", 204, 204.8), raced("ab", "cd", 201, 202), raced("cb", "ad", 205, 205.9)}
	r := seatrace.SeatRaceEstimateRequest{DistanceM: 1000, Pieces: pieces, CompareViews: true}
	margins := estimated(t, r)
	r.View = "absolute"
	absolute := estimated(t, r)
	apitest.Same(t, "view", absolute.View, "absolute")
	apitest.Same(t, "contradictions", margins.Contradictions, absolute.Contradictions)
	if margins.TimeS != absolute.TimeS || reflectEqual(margins.Differences, absolute.Differences) {
		t.Error("the view changes nothing")
	}
}

func reflectEqual(a, b any) bool { return fmt.Sprint(a) == fmt.Sprint(b) }

func TestMarginsAloneAreJudgedAsTimesAre(t *testing.T) {
	timed, clockless := swapping(), swapping()
	for i := range clockless {
		p := &clockless[i]
		first := math.Min(*p.TimesS[0], *p.TimesS[1])
		p.MarginsS = []*float64{new(*p.TimesS[0] - first), new(*p.TimesS[1] - first)}
		p.TimesS = nil
	}
	a := estimated(t, seatrace.SeatRaceEstimateRequest{DistanceM: 1000, Pieces: timed})
	b := estimated(t, seatrace.SeatRaceEstimateRequest{DistanceM: 1000, Pieces: clockless, ExpectedTimeS: new(222.0)})
	apitest.Near(t, "a over c", apitest.Difference(t, b.Differences, "a", "c").DifferenceS, apitest.Difference(t, a.Differences, "a", "c").DifferenceS, 0.02)
	if len(b.Notes) < 4 {
		t.Errorf("nothing is said of the missing clock: %q", b.Notes)
	}
	_, err := api.NewService(nil).Seatrace.EstimateSeatRaces(t.Context(), seatrace.SeatRaceEstimateRequest{DistanceM: 1000, Pieces: clockless})
	if apitest.Complaints(t, err)["expected_time_s"] == "" {
		t.Errorf("margins without any time are taken: %v", err)
	}
}

func TestWhatIsKnownAfterEachPiece(t *testing.T) {
	r := seatrace.SeatRaceEstimateRequest{DistanceM: 1000, Pieces: append(swapping(), raced("ab", "cd", 0, 0)), AfterEach: true, Next: 3}
	a := estimated(t, r)
	apitest.Same(t, "pieces told", len(a.AfterEach), 4)
	apitest.Same(t, "proposals", len(a.Next), 3)
	last := a.AfterEach[3]
	apitest.Same(t, "followed", len(last.Differences), 3)
	r.Pairs = [][]string{{"a", "c"}}
	a = estimated(t, r)
	apitest.Same(t, "after the last", a.AfterEach[3].Differences, []seatrace.SeatRaceDifference{apitest.Difference(t, a.Differences, "a", "c")})
	if first := apitest.Difference(t, a.AfterEach[0].Differences, "a", "c"); first.Estimable {
		t.Error("one piece tells the swapped apart")
	}
}

// TestSeatRaceMistakes types what people mistype.
func TestSeatRaceMistakes(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*seatrace.SeatRaceEstimateRequest)
		field  string
		says   string
	}{
		"in both boats": {func(r *seatrace.SeatRaceEstimateRequest) { r.Pieces[1] = raced("ab", "ad", 220, 221) }, "pieces[1].crews[1]", "as well"},
		"unequal crews": {func(r *seatrace.SeatRaceEstimateRequest) { r.Pieces[0] = raced("abe", "cd", 220, 221) }, "pieces[0].crews[0]", "3 rowers instead of 2"},
		"missing time":  {func(r *seatrace.SeatRaceEstimateRequest) { r.Pieces[2].TimesS = r.Pieces[2].TimesS[:1] }, "pieces[2].times_s", "1 times for 2 boats"},
		"missing colon": {func(r *seatrace.SeatRaceEstimateRequest) { r.Pieces[3].TimesS[1] = new(342.0) }, "pieces[3].times_s[1]", "3:42"},
		"no distance":   {func(r *seatrace.SeatRaceEstimateRequest) { r.DistanceM = 0 }, "distance_m", "above 0"},
		"no pieces":     {func(r *seatrace.SeatRaceEstimateRequest) { r.Pieces = nil }, "pieces", "No piece"},
		"view":          {func(r *seatrace.SeatRaceEstimateRequest) { r.View = "both" }, "view", "margins or absolute"},
		"side":          {func(r *seatrace.SeatRaceEstimateRequest) { r.Sides = map[string]string{"a": "left"} }, "sides.a", "port or starboard"},
		"prior":         {func(r *seatrace.SeatRaceEstimateRequest) { r.Prior = &seatrace.SeatRacePrior{} }, "prior.sd_s", "above 0"},
		"prior's mean": {func(r *seatrace.SeatRaceEstimateRequest) {
			r.Prior = &seatrace.SeatRacePrior{SdS: new(1.0), MeansS: map[string]*float64{"a": new(1e9)}}
		}, "prior.means_s.a", "seconds"},
		"noise":           {func(r *seatrace.SeatRaceEstimateRequest) { r.NoiseSdS = new(0.0) }, "noise_sd_s", "above 0"},
		"level":           {func(r *seatrace.SeatRaceEstimateRequest) { r.Level = new(2.0) }, "level", "between"},
		"pair":            {func(r *seatrace.SeatRaceEstimateRequest) { r.Pairs = [][]string{{"a"}} }, "pairs[0]", "two athletes"},
		"unknown pair":    {func(r *seatrace.SeatRaceEstimateRequest) { r.Pairs = [][]string{{"a", "z"}} }, "pairs[0]", "not one of"},
		"many proposals":  {func(r *seatrace.SeatRaceEstimateRequest) { r.Next = 99 }, "next", "20"},
		"times and more":  {func(r *seatrace.SeatRaceEstimateRequest) { r.Pieces[0].MarginsS = r.Pieces[0].TimesS }, "pieces[0].margins_s", "not both"},
		"too many pieces": {func(r *seatrace.SeatRaceEstimateRequest) { r.Pieces = make([]seatrace.RacedPiece, 201) }, "pieces", "200"},
	} {
		t.Run(name, func(t *testing.T) {
			r := seatrace.SeatRaceEstimateRequest{DistanceM: 1000, Pieces: swapping()}
			c.change(&r)
			_, err := api.NewService(nil).Seatrace.EstimateSeatRaces(t.Context(), r)
			if said := apitest.Complaints(t, err); !strings.Contains(said[c.field], c.says) {
				t.Errorf("said %q, want %q at %s", said, c.says, c.field)
			}
		})
	}
}

func TestBoatsThatNeverMix(t *testing.T) {
	a := estimated(t, seatrace.SeatRaceEstimateRequest{DistanceM: 1000, Pieces: []seatrace.RacedPiece{raced("ab", "cd", 200, 202), raced("ab", "cd", 201, 202)}})
	if len(a.NotEstimable) == 0 || apitest.Difference(t, a.Differences, "a", "b").Why == "" {
		t.Errorf("%q", a.NotEstimable)
	}
}

// planned is a squad of scullers by letters.
func planned(names string) []seatrace.PlanAthlete {
	var list []seatrace.PlanAthlete
	for _, n := range strings.Split(names, "") {
		list = append(list, seatrace.PlanAthlete{ID: n})
	}
	return list
}

// Eight scullers in two quads: seven races can bring the variance of every
// difference to σ²/4 (weighing designs; H. Hotelling, Ann. Math. Stat. 15
// (1944) 297, A. M. Mood, Ann. Math. Stat. 17 (1946) 432), here with no limit
// on changes.
func TestPlanReachesTheWeighingDesign(t *testing.T) {
	a, err := api.NewService(nil).Seatrace.PlanSeatRaces(t.Context(), seatrace.SeatRacePlanRequest{
		BoatClass: "4x", Athletes: planned("abcdefgh"), Pieces: 7, Swaps: new(0), NoiseSdS: new(math.Sqrt(0.5)),
	})
	if err != nil {
		t.Fatal(err)
	}
	// σ is the standard deviation of a margin, √2 times that of a time; the
	// effect of an athlete counts once in a time, twice between boats.
	for _, d := range a.Differences {
		apitest.Near(t, d.First+d.Second, d.ExpectedSdS*d.ExpectedSdS, 0.25, 1e-4)
	}
	apitest.Same(t, "missing", a.Missing, 0)
}

func TestPlanTellsTheTruth(t *testing.T) {
	r := seatrace.SeatRacePlanRequest{BoatClass: "2x", Athletes: planned("abcd"), Pieces: 1}
	a, err := api.NewService(nil).Seatrace.PlanSeatRaces(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	if a.Missing == 0 || len(a.Truth) == 0 || !strings.Contains(a.Truth[0], "stay open") {
		t.Errorf("missing %d, truth %q", a.Missing, a.Truth)
	}
	r.Pieces, r.SmallestW = 3, new(10.0)
	if a, _ = api.NewService(nil).Seatrace.PlanSeatRaces(t.Context(), r); !strings.Contains(strings.Join(a.Truth, " "), "To show 10 W") {
		t.Errorf("truth %q", a.Truth)
	}
}

func TestPlanByHandIsForeseenAsThePlansOwn(t *testing.T) {
	r := seatrace.SeatRacePlanRequest{BoatClass: "2x", Athletes: planned("abcde"), Pieces: 5}
	a, err := api.NewService(nil).Seatrace.PlanSeatRaces(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range a.Pieces {
		r.Schedule = append(r.Schedule, seatrace.PlanCrews{Crews: p.Crews})
	}
	r.Pieces = 0
	b, err := api.NewService(nil).Seatrace.PlanSeatRaces(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "differences", b.Differences, a.Differences)
	apitest.Same(t, "pieces", b.Pieces, a.Pieces)
}

func TestPlanMistakes(t *testing.T) {
	good := func() seatrace.SeatRacePlanRequest {
		return seatrace.SeatRacePlanRequest{BoatClass: "2-", Athletes: planned("abcd"), Pieces: 4}
	}
	for name, c := range map[string]struct {
		change func(*seatrace.SeatRacePlanRequest)
		field  string
		says   string
	}{
		"class":    {func(r *seatrace.SeatRacePlanRequest) { r.BoatClass = "9x" }, "boat_class", "Choose"},
		"too few":  {func(r *seatrace.SeatRacePlanRequest) { r.Athletes = planned("abc") }, "athletes", "need 4"},
		"twice":    {func(r *seatrace.SeatRacePlanRequest) { r.Athletes = planned("abca") }, "athletes[3].id", "twice"},
		"pieces":   {func(r *seatrace.SeatRacePlanRequest) { r.Pieces = 0 }, "pieces", "from 1"},
		"one boat": {func(r *seatrace.SeatRacePlanRequest) { r.Boats = new(1) }, "boats", "the plausible range is 2 to 12"},
		"too much": {func(r *seatrace.SeatRacePlanRequest) {
			r.Athletes, r.Pieces, r.Boats = planned(strings.Repeat("x", 60)), 40, new(4)
		}, "pieces", "more than can be searched"},
		"many boats":     {func(r *seatrace.SeatRacePlanRequest) { r.Boats = new(99) }, "boats", "At most"},
		"swaps":          {func(r *seatrace.SeatRacePlanRequest) { r.Swaps = new(-1) }, "swaps", "−1 cannot be right"},
		"distance in km": {func(r *seatrace.SeatRacePlanRequest) { r.DistanceM = new(1.0) }, "distance_m", "100 to 10000"},
		"pair":           {func(r *seatrace.SeatRacePlanRequest) { r.Pairs = [][]string{{"a", "z"}} }, "pairs[0]", "not one of"},
		"hand, unknown": {func(r *seatrace.SeatRacePlanRequest) {
			r.Schedule = []seatrace.PlanCrews{{Crews: [][]string{{"a", "z"}, {"c", "d"}}}}
		}, "schedule[0].crews[0]", "not in the squad"},
		"hand, twice": {func(r *seatrace.SeatRacePlanRequest) {
			r.Schedule = []seatrace.PlanCrews{{Crews: [][]string{{"a", "b"}, {"a", "d"}}}}
		}, "schedule[0].crews[1]", "as well"},
		"hand, one boat": {func(r *seatrace.SeatRacePlanRequest) {
			r.Schedule = []seatrace.PlanCrews{{Crews: [][]string{{"a", "b"}}}}
		}, "schedule[0].crews", "1 boats where 2"},
		"seed": {func(r *seatrace.SeatRacePlanRequest) { r.Seed = new(-1) }, "seed", "from 0"},
		"sides": {func(r *seatrace.SeatRacePlanRequest) {
			for i := range r.Athletes {
				r.Athletes[i].Sides = &club.SideCosts{Port: new(0.0)}
			}
		}, "athletes", "starboard seats"},
	} {
		t.Run(name, func(t *testing.T) {
			r := good()
			c.change(&r)
			_, err := api.NewService(nil).Seatrace.PlanSeatRaces(t.Context(), r)
			if said := apitest.Complaints(t, err); !strings.Contains(said[c.field], c.says) {
				t.Errorf("said %q, want %q at %s", said, c.says, c.field)
			}
		})
	}
}

func TestCautionsOfAHardDay(t *testing.T) {
	r := seatrace.SeatRacePlanRequest{BoatClass: "2x", Athletes: planned("abcd"), Pieces: 10, RestMin: new(2.0)}
	a, err := api.NewService(nil).Seatrace.PlanSeatRaces(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	codes := map[string]bool{}
	for _, c := range a.Cautions {
		codes[c.Code] = true
	}
	for _, want := range []string{"rest_short", "much_work", "cold_water", "launch", "juniors", "maximal_effort"} {
		if !codes[want] {
			t.Errorf("no caution %s in %v", want, codes)
		}
	}
}

// TestTypedTimes reads times as people type them in a launch.
func TestTypedTimes(t *testing.T) {
	s := raceService(t)
	for typed, want := range map[[2]string][2]float64{
		{"3:02.4", "3:04"}:    {182.4, 184},
		{"182.4", "184,0"}:    {182.4, 184},
		{"3.02,4", "3'04"}:    {182.4, 184},
		{"3:02.4", "+1.6 s"}:  {182.4, 184},
		{"+1,6", "3:02.4"}:    {184, 182.4},
		{" 3:02,4 ", "– "}:    {182.4, 0},
		{"DNF", "3:02.4"}:     {0, 182.4},
		{"3:02.4", "level"}:   {182.4, 182.4},
		{"3:02.4", "-1.4"}:    {182.4, 181},
		{"3:02.4", "+0:01.6"}: {182.4, 184},
	} {
		id := quickRace(t, s)
		a, err := s.Seatrace.RecordPiece(t.Context(), seatrace.PieceResultRequest{ID: id, Number: 1, Key: "k", Typed: typed[:]})
		if err != nil {
			t.Errorf("%q: %v", typed, err)
			continue
		}
		for b, w := range want {
			got := 0.0
			if x := a.Pieces[0].TimesS[b]; x != nil {
				got = *x
			}
			apitest.Near(t, fmt.Sprint(typed, b), got, w, 1e-9)
		}
	}
}

func TestTypedSlips(t *testing.T) {
	s := raceService(t)
	for typed, says := range map[[2]string]string{
		{"302", "3:04"}:   "If you mean 3:02.0, type it so",
		{"", "3:04"}:      "missing",
		{"three", "3:04"}: "no time",
		{"3:72", "3:04"}:  "no time",
		{"3.02", "3:04"}:  "3:02",
		{"+200", "3:04"}:  "margin",
		{"+x", "3:04"}:    "margin",
		{"1:00", "3:04"}:  "m/s",
		{"-", "dnf"}:      "abandoned",
		{"NaN", "3:04"}:   "no time",
		{"+Inf", "3:04"}:  "margin",
	} {
		id := quickRace(t, s)
		_, err := s.Seatrace.RecordPiece(t.Context(), seatrace.PieceResultRequest{ID: id, Number: 1, Key: "k", Typed: typed[:]})
		if all := fmt.Sprint(apitest.Complaints(t, err)); !strings.Contains(all, says) {
			t.Errorf("%q: said %s, want %q", typed, all, says)
		}
	}
}

// quickRace is two doubles of guests with two pieces planned.
func quickRace(t testing.TB, s *api.Service) int64 {
	t.Helper()
	a, err := s.Seatrace.CreateRace(t.Context(), quickRequest())
	if err != nil {
		t.Fatal(err)
	}
	return a.ID
}

func quickRequest() seatrace.CreateRaceRequest {
	r := seatrace.CreateRaceRequest{}
	r.Name, r.BoatClass = "Saturday", "2x"
	for _, n := range []string{"Ann", "Bea", "Cat", "Dot"} {
		r.Athletes = append(r.Athletes, seatrace.RaceParticipant{Name: n})
	}
	r.Pieces = []seatrace.RaceScheduledPiece{
		{Crews: [][]string{{"Ann", "Bea"}, {"Cat", "Dot"}}}, {Crews: [][]string{{"Cat", "Bea"}, {"Ann", "Dot"}}},
	}
	r.Terms = &seatrace.RaceTerms{Boats: 2, Swaps: 1, RestMin: 10, ExpectedTimeS: 190, MeanPowerW: 300, SmallestW: 10, Pairs: [][]string{{"Ann", "Cat"}}}
	return r
}

func TestARaceOfGuests(t *testing.T) {
	s, file := apitest.RaceRecords(t)
	id := quickRace(t, s)
	a, err := s.Seatrace.Race(t.Context(), records.IDRequest{ID: id})
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "athletes", len(a.Athletes), 4)
	apitest.Same(t, "guest", a.Athletes[0].Guest, true)
	apitest.Same(t, "crews", a.Pieces[1].Crews, [][]string{{"Cat", "Bea"}, {"Ann", "Dot"}})
	apitest.Same(t, "moved", a.Pieces[1].Moved, []string{"Cat", "Ann"})
	apitest.Same(t, "pairs", a.Terms.Pairs, [][]string{{"Ann", "Cat"}})
	apitest.Same(t, "expected time", a.Terms.ExpectedTimeS, 190.0)
	// The same names again are the same guests; they go with the last race.
	second := quickRace(t, s)
	all, err := file.Athletes(t.Context(), store.Filter{Archived: true})
	apitest.Same(t, "error", err, nil)
	apitest.Same(t, "athletes on record", len(all), 4)
	for _, n := range []struct {
		id   int64
		left int
	}{{id, 4}, {second, 0}} {
		if _, err := s.Seatrace.RemoveRace(t.Context(), records.IDRequest{ID: n.id}); err != nil {
			t.Fatal(err)
		}
		all, _ = file.Athletes(t.Context(), store.Filter{Archived: true})
		apitest.Same(t, "athletes left", len(all), n.left)
	}
}

func TestAnAthleteOnRecordIsFoundByName(t *testing.T) {
	s, records := apitest.RaceRecords(t)
	for _, day := range []string{"2000-01-01", "2001-01-01"} {
		if _, err := records.AddAthlete(t.Context(), store.Athlete{Name: "Bea", BirthDate: &day}, store.By{}); err != nil {
			t.Fatal(err)
		}
	}
	ann, err := records.AddAthlete(t.Context(), store.Athlete{Name: "Änn"}, store.By{})
	apitest.Same(t, "error", err, nil)
	r := quickRequest()
	_, err = s.Seatrace.CreateRace(t.Context(), r)
	if said := apitest.Complaints(t, err)["athletes[1].name"]; !strings.Contains(said, "Bea (2000) or Bea (2001)") {
		t.Errorf("said %q", said)
	}
	r.Athletes[1].Name = "bea (2001)"
	r.Pieces, r.Terms = nil, nil
	a, err := s.Seatrace.CreateRace(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	names := map[string]int64{}
	for _, x := range a.Athletes {
		names[x.Name] = x.AthleteID
	}
	apitest.Same(t, "Ann but for the accent", names["Änn"], ann)
	apitest.Same(t, "the younger Bea", names["Bea (2001)"], int64(2))
}

// TestNamesAreTypedAsPeopleCallThem holds that crews, pairs and results take any way
// to call an athlete, that "Surname, First" is no stranger, and that a family name
// of two is a question.
func TestNamesAreTypedAsPeopleCallThem(t *testing.T) {
	s, records := apitest.RaceRecords(t)
	ids := map[string]int64{}
	for _, name := range []string{"Mensah-Bright, Kofi", "Ann Lee", "Bea Lee", "Jan van der Berg"} {
		id, err := records.AddAthlete(t.Context(), store.Athlete{Name: name, Sculls: true}, store.By{})
		apitest.Same(t, "error", err, nil)
		ids[name] = id
	}
	r := quickRequest()
	r.BoatClass, r.Terms, r.Athletes = "2x", &seatrace.RaceTerms{Boats: 2, ExpectedTimeS: 190, MeanPowerW: 300, SmallestW: 10, Pairs: [][]string{{"Lee A.", "van der berg, jan"}}}, nil
	for _, name := range []string{"Kofi Mensah-Bright", "Lee, Ann", "Lee B", "Berg, Jan van der", "Guest, Eve"} {
		r.Athletes = append(r.Athletes, seatrace.RaceParticipant{Name: name})
	}
	r.Athletes[3].Name = "van der Berg"
	r.Pieces = []seatrace.RaceScheduledPiece{{Crews: [][]string{{"Mensah-Bright", "Lee"}, {"Lee, Bea", "Eve Guest"}}}}
	_, err := s.Seatrace.CreateRace(t.Context(), r)
	if said := apitest.Complaints(t, err)["pieces[0].crews[0][1]"]; said != "“Lee” can be Lee A. or Lee B.: write which one." {
		t.Errorf("said %q", said)
	}
	r.Pieces[0].Crews[0][1] = "A. Lee"
	race, err := s.Seatrace.CreateRace(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "pairs", fmt.Sprint(race.Terms.Pairs), "[[Ann Lee Jan van der Berg]]")
	apitest.Same(t, "crews", fmt.Sprint(race.Pieces[0].Crews), "[[Kofi Mensah-Bright Ann Lee] [Bea Lee Eve Guest]]")
	for _, a := range race.Athletes {
		if a.Name == "Ann Lee" && (a.AthleteID != ids["Ann Lee"] || a.Label != "Lee A.") {
			t.Errorf("Ann Lee is %+v", a)
		}
	}
	crew := [][]string{race.Directory().Split("Lee, Ann, Guest"), race.Directory().Split("Mensah-Bright, van der Berg")}
	race, err = s.Seatrace.RecordPiece(t.Context(), seatrace.PieceResultRequest{ID: race.ID, Number: 1, Key: "k", Crews: crew, Typed: []string{"3:10", "3:11"}, By: "Coach"})
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "crews", fmt.Sprint(race.Pieces[0].Crews), "[[Ann Lee Eve Guest] [Kofi Mensah-Bright Jan van der Berg]]")
}

func TestAResultSentTwiceCountsOnce(t *testing.T) {
	s := raceService(t)
	id := quickRace(t, s)
	first := apitest.Record(t, s, id, 1, "k1", 190.1, 191.9)
	again := apitest.Record(t, s, id, 1, "k1", 190.1, 191.9)
	apitest.Same(t, "version", again.Version, first.Version)
	_, err := s.Seatrace.RecordPiece(t.Context(), seatrace.PieceResultRequest{ID: id, Number: 1, Key: "k2", TimesS: []*float64{new(195.0), new(191.9)}})
	var moved *records.Conflict
	if !errors.As(err, &moved) {
		t.Fatalf("a second result overwrites the first: %v", err)
	}
	right, err := s.Seatrace.RecordPiece(t.Context(), seatrace.PieceResultRequest{ID: id, Number: 1, Key: "k2", Version: &moved.Version, TimesS: []*float64{new(195.0), new(191.9)}})
	if err != nil {
		t.Fatal(err)
	}
	apitest.Near(t, "set right", *right.Pieces[0].TimesS[0], 195, 0)
	_, err = s.Seatrace.RecordPiece(t.Context(), seatrace.PieceResultRequest{ID: id, Number: 1, Key: "k1", TimesS: []*float64{new(199.0), new(191.9)}})
	if !errors.Is(err, store.ErrKeyReused) {
		t.Errorf("a key with other content: %v", err)
	}
}

func TestPiecesThatWereNotPlanned(t *testing.T) {
	s := raceService(t)
	id := quickRace(t, s)
	r := seatrace.PieceResultRequest{ID: id, Number: 3, Key: "k", TimesS: []*float64{new(190.0), new(191.0)}}
	_, err := s.Seatrace.RecordPiece(t.Context(), r)
	if apitest.Complaints(t, err)["crews"] == "" {
		t.Errorf("crews are not asked for: %v", err)
	}
	r.Crews, r.RerunOf = [][]string{{"ann", "Bea"}, {"Cat", "Dot"}}, new(1)
	a, err := s.Seatrace.RecordPiece(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "re-run of", *a.Pieces[2].RerunOf, 1)
	r.Number, r.Key = 9, "k9"
	if _, err := s.Seatrace.RecordPiece(t.Context(), r); !errors.Is(err, wire.ErrNotFound) {
		t.Errorf("piece 9 of 3: %v", err)
	}
	r.Number, r.Crews = 4, [][]string{{"Ann", "Bea"}, {"Ann", "Dot"}}
	if _, err := s.Seatrace.RecordPiece(t.Context(), r); !strings.Contains(fmt.Sprint(apitest.Complaints(t, err)), "as well") {
		t.Errorf("Ann in both boats: %v", err)
	}
	r.Crews = [][]string{{"Ann", "Bea"}, {"Cat", "Zoe"}}
	if _, err := s.Seatrace.RecordPiece(t.Context(), r); !strings.Contains(fmt.Sprint(apitest.Complaints(t, err)), "does not take part") {
		t.Errorf("a stranger: %v", err)
	}
}

func TestJudgingARace(t *testing.T) {
	s := raceService(t)
	id := quickRace(t, s)
	_, err := s.Seatrace.JudgeRace(t.Context(), seatrace.JudgementRequest{ID: id})
	if apitest.Complaints(t, err)["pieces"] == "" {
		t.Error("nothing raced, and a judgement")
	}
	apitest.Record(t, s, id, 1, "1", 190, 192)
	apitest.Record(t, s, id, 2, "2", 191, 190.4)
	if _, err := s.Seatrace.RecordPiece(t.Context(), seatrace.PieceResultRequest{ID: id, Number: 3, Key: "3", State: "abandoned", Crews: [][]string{{"Ann", "Bea"}, {"Cat", "Dot"}}}); err != nil {
		t.Fatal(err)
	}
	a, err := s.Seatrace.JudgeRace(t.Context(), seatrace.JudgementRequest{ID: id, Next: 3})
	if err != nil {
		t.Fatal(err)
	}
	apitest.Near(t, "Ann over Cat", apitest.Difference(t, a.Estimate.Differences, "Ann", "Cat").DifferenceS, (2+0.6)/2, 0.02)
	apitest.Same(t, "raced", a.Raced, 2)
	apitest.Same(t, "proposals", len(a.Estimate.Next), 3)
	// 570 s of three times 600 W over 190.8 s, as power goes with the cube.
	apitest.Near(t, "watts a second", a.WattsPerSecond, 3*600/190.84, 0.05)
	for prior, field := range map[string]string{"ergometer": "prior", "coach": "prior", "both": "prior"} {
		if _, err := s.Seatrace.JudgeRace(t.Context(), seatrace.JudgementRequest{ID: id, Prior: prior}); apitest.Complaints(t, err)[field] == "" {
			t.Errorf("prior %s: %v", prior, err)
		}
	}
}

func TestAbandonedPiecesSayNothing(t *testing.T) {
	s := raceService(t)
	id := quickRace(t, s)
	abandon := func(number int, key string, crews [][]string) {
		if _, err := s.Seatrace.RecordPiece(t.Context(), seatrace.PieceResultRequest{ID: id, Number: number, Key: key, State: "abandoned", Crews: crews}); err != nil {
			t.Fatal(err)
		}
	}
	abandon(1, "x", nil)
	apitest.Record(t, s, id, 2, "2", 191, 190.4)
	a, err := s.Seatrace.JudgeRace(t.Context(), seatrace.JudgementRequest{ID: id})
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Join(a.Estimate.Notes, "|")
	if !strings.Contains(text, "Piece 1 was abandoned") || strings.Contains(text, "Piece 1, boat") {
		t.Errorf("notes %q", text)
	}
}

// withErgTests puts tests of 2000 m on record for athletes by name.
func withErgTests(t testing.TB, records *store.Store, times map[string]float64) {
	t.Helper()
	for _, name := range []string{"Ann", "Bea", "Cat", "Dot"} {
		id, err := records.AddAthlete(t.Context(), store.Athlete{Name: name, Sculls: true}, store.By{})
		if err != nil {
			t.Fatal(err)
		}
		if time, ok := times[name]; ok {
			if _, err := records.SaveErgTests(t.Context(), []store.ErgTest{{AthleteID: id, TestedOn: "2026-01-10", Fixed: "distance", DistanceM: 2000, TimeS: time}}); err != nil {
				t.Fatal(err)
			}
		}
	}
}

func TestErgometerPriorAndPower(t *testing.T) {
	s, records := apitest.RaceRecords(t)
	withErgTests(t, records, map[string]float64{"Ann": 400, "Bea": 410, "Cat": 420})
	r := quickRequest()
	r.HeldOn = "2026-01-20"
	race, err := s.Seatrace.CreateRace(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	apitest.Record(t, s, race.ID, 1, "1", 190, 192)
	apitest.Record(t, s, race.ID, 2, "2", 191, 190.4)
	j, err := s.Seatrace.JudgeRace(t.Context(), seatrace.JudgementRequest{ID: race.ID, Prior: "ergometer"})
	if err != nil {
		t.Fatal(err)
	}
	// P = 2.80/(400/2000)³ = 350 W and 302.3 W at 420 s; a prior of mean zero.
	held := apitest.Difference(t, j.Estimate.Prior.Differences, "Ann", "Cat").DifferenceS
	apitest.Near(t, "prior in watts", held*j.WattsPerSecond, 350-302.35, 1.5)
	if !strings.Contains(strings.Join(j.Estimate.Notes, " "), "Dot has no ergometer test") {
		t.Errorf("notes %q", j.Estimate.Notes)
	}
	p, err := s.Seatrace.RacePower(t.Context(), seatrace.RacePowerRequest{ID: race.ID})
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "prior", p.Prior, "ergometer")
	checkPower(t, p)
	if !(p.Athletes[0].PowerW > p.Athletes[2].PowerW) {
		t.Errorf("Ann is not the stronger: %+v", p.Athletes)
	}
}

// checkPower holds a covariance to what it must be.
func checkPower(t testing.TB, p seatrace.RacePower) {
	t.Helper()
	n := len(p.Athletes)
	cov := mat.NewSymDense(n, nil)
	for i := range n {
		for j := range n {
			apitest.Near(t, "symmetry", p.CovarianceW2[i][j], p.CovarianceW2[j][i], 0)
			cov.SetSym(i, j, p.CovarianceW2[i][j])
		}
		apitest.Near(t, "deviation", p.Athletes[i].SdW*p.Athletes[i].SdW, p.CovarianceW2[i][i], 0.02*p.Athletes[i].SdW+0.01)
	}
	var c mat.Cholesky
	if !c.Factorize(cov) {
		t.Error("the covariance is not positive definite")
	}
}

func TestPowerFromRacingAloneNeedsEverybodyCompared(t *testing.T) {
	s := raceService(t)
	id := quickRace(t, s)
	apitest.Record(t, s, id, 1, "1", 190, 192)
	apitest.Record(t, s, id, 2, "2", 191, 190.4)
	_, err := s.Seatrace.RacePower(t.Context(), seatrace.RacePowerRequest{ID: id})
	if apitest.Complaints(t, err)["prior"] == "" {
		t.Errorf("open differences are taken for known: %v", err)
	}
	for n, crews := range [][][]string{{{"Ann", "Dot"}, {"Bea", "Cat"}}, {{"Ann", "Cat"}, {"Bea", "Dot"}}} {
		r := seatrace.PieceResultRequest{ID: id, Number: 3 + n, Key: fmt.Sprint(3 + n), Crews: crews, TimesS: []*float64{new(190.5), new(191.2)}}
		if _, err := s.Seatrace.RecordPiece(t.Context(), r); err != nil {
			t.Fatal(err)
		}
	}
	p, err := s.Seatrace.RacePower(t.Context(), seatrace.RacePowerRequest{ID: id, LevelW: new(250.0)})
	if err != nil {
		t.Fatal(err)
	}
	checkPower(t, p)
	mean := 0.0
	for _, a := range p.Athletes {
		mean += a.PowerW / 4
	}
	apitest.Near(t, "mean", mean, 250, 0.02)
	if _, err := s.Seatrace.RacePower(t.Context(), seatrace.RacePowerRequest{ID: id, LevelW: new(-1.0)}); apitest.Complaints(t, err)["level_w"] == "" {
		t.Error("a level below zero is taken")
	}
}

func TestTheCoachsPriorIsKept(t *testing.T) {
	s := raceService(t)
	r := quickRequest()
	r.Terms.Prior = &seatrace.SeatRacePrior{SdS: new(0.8), MeansS: map[string]*float64{"Ann": new(0.5)}, SdsS: map[string]*float64{"Bea": new(0.3)}}
	race, err := s.Seatrace.CreateRace(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "prior", *race.Terms.Prior, *r.Terms.Prior)
	apitest.Record(t, s, race.ID, 1, "1", 190, 192)
	p, err := s.Seatrace.RacePower(t.Context(), seatrace.RacePowerRequest{ID: race.ID})
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "prior used", p.Prior, "coach")
	checkPower(t, p)
}

func TestChangingARaceKeepsResults(t *testing.T) {
	s := raceService(t)
	id := quickRace(t, s)
	before := apitest.Record(t, s, id, 2, "2", 191, 190.4)
	r := seatrace.ChangeRaceRequest{ID: id, Version: before.Version, RaceContent: quickRequest().RaceContent}
	r.Name = "Sunday"
	r.Pieces = []seatrace.RaceScheduledPiece{{Crews: [][]string{{"Ann", "Dot"}, {"Cat", "Bea"}}, RerunOf: new(2)}}
	after, err := s.Seatrace.ChangeRace(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "name", after.Name, "Sunday")
	apitest.Same(t, "pieces", len(after.Pieces), 2)
	apitest.Near(t, "result", *after.Pieces[1].TimesS[1], 190.4, 0)
	apitest.Same(t, "state", after.Pieces[0].State, "planned")
	apitest.Same(t, "repeats", *after.Pieces[0].RerunOf, 2)
	var moved *records.Conflict
	if _, err := s.Seatrace.ChangeRace(t.Context(), r); !errors.As(err, &moved) {
		t.Errorf("an old version writes: %v", err)
	}
	r.Version, r.Athletes = after.Version, r.Athletes[:3]
	r.Pieces, r.Terms = nil, nil
	if _, err := s.Seatrace.ChangeRace(t.Context(), r); apitest.Complaints(t, err)["athletes"] == "" {
		t.Errorf("a racer was dropped: %v", err)
	}
	history, err := s.Seatrace.RaceChanges(t.Context(), records.ChangesRequest{ID: id})
	if err != nil {
		t.Fatal(err)
	}
	text := ""
	for _, c := range history.Changes {
		text += c.What + ":"
		if c.To != nil {
			text += *c.To
		}
		text += "\n"
	}
	if !strings.Contains(text, "Ann, Dot") || strings.Contains(text, "prior") {
		t.Errorf("history:\n%s", text)
	}
}

func TestRaceMistakes(t *testing.T) {
	s := raceService(t)
	for name, c := range map[string]struct {
		change func(*seatrace.CreateRaceRequest)
		field  string
		says   string
	}{
		"no name":  {func(r *seatrace.CreateRaceRequest) { r.Name = " " }, "name", "name"},
		"day":      {func(r *seatrace.CreateRaceRequest) { r.HeldOn = "tomorrow" }, "held_on", "year-month-day"},
		"class":    {func(r *seatrace.CreateRaceRequest) { r.BoatClass = "" }, "boat_class", "Choose"},
		"distance": {func(r *seatrace.CreateRaceRequest) { r.DistanceM = new(-3.0) }, "distance_m", "plausible"},
		"nobody":   {func(r *seatrace.CreateRaceRequest) { r.Athletes = nil }, "athletes", "from 2"},
		"twice":    {func(r *seatrace.CreateRaceRequest) { r.Athletes[1].Name = "ANN" }, "athletes[1].name", "twice"},
		"unknown id": {func(r *seatrace.CreateRaceRequest) {
			r.Athletes[1] = seatrace.RaceParticipant{AthleteID: new(int64(99))}
		}, "athletes[1].athlete_id", "no such"},
		"side":          {func(r *seatrace.CreateRaceRequest) { r.Athletes[1].Side = "left" }, "athletes[1].side", "port"},
		"stranger":      {func(r *seatrace.CreateRaceRequest) { r.Pieces[0].Crews[0][0] = "Zoe" }, "pieces[0].crews[0][0]", "take part"},
		"in both boats": {func(r *seatrace.CreateRaceRequest) { r.Pieces[0].Crews[0][0] = "Cat" }, "pieces[0].crews[1]", "as well"},
		"unequal":       {func(r *seatrace.CreateRaceRequest) { r.Pieces[0].Crews[0] = []string{"Ann"} }, "pieces[0].crews[0]", "instead of 2"},
		"pair":          {func(r *seatrace.CreateRaceRequest) { r.Terms.Pairs = [][]string{{"Ann", "Ann"}} }, "terms.pairs[0]", "two athletes"},
		"boats":         {func(r *seatrace.CreateRaceRequest) { r.Terms.Boats = 1 }, "terms.boats", "plausible"},
		"prior": {func(r *seatrace.CreateRaceRequest) {
			r.Terms.Prior = &seatrace.SeatRacePrior{MeansS: map[string]*float64{"Zoe": new(1.0)}}
		}, "terms.prior.means_s.Zoe", "take part"},
		"re-run":    {func(r *seatrace.CreateRaceRequest) { r.Pieces[0].RerunOf = new(7) }, "pieces[0].rerun_of", "no such"},
		"long note": {func(r *seatrace.CreateRaceRequest) { r.Note = strings.Repeat("x", 3000) }, "note", "at most"},
	} {
		t.Run(name, func(t *testing.T) {
			r := quickRequest()
			c.change(&r)
			_, err := s.Seatrace.CreateRace(t.Context(), r)
			if said := apitest.Complaints(t, err); !strings.Contains(said[c.field], c.says) {
				t.Errorf("said %q, want %q at %s", said, c.says, c.field)
			}
		})
	}
	list, err := s.Seatrace.Races(t.Context(), records.ListRequest{})
	if err != nil || len(list.Races) != 0 {
		t.Errorf("something was written: %v %v", list, err)
	}
}

func TestRacesAreListedLatestFirst(t *testing.T) {
	s := raceService(t)
	for _, day := range []string{"2026-03-01", "2026-05-01", "2026-04-01"} {
		r := quickRequest()
		r.HeldOn = day
		if _, err := s.Seatrace.CreateRace(context.Background(), r); err != nil {
			t.Fatal(err)
		}
	}
	list, err := s.Seatrace.Races(t.Context(), records.ListRequest{})
	if err != nil {
		t.Fatal(err)
	}
	var days []string
	for _, x := range list.Races {
		days = append(days, x.HeldOn)
	}
	apitest.Same(t, "days", days, []string{"2026-05-01", "2026-04-01", "2026-03-01"})
}

// A plan that nobody waits for any more ends, and is not told as a fault of
// ours.
func TestAPlanThatIsGivenUp(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	r := httptest.NewRequest(http.MethodPost, "/api/v1/seat-races/plan", strings.NewReader(apitest.BarePlan)).WithContext(ctx)
	r.Header.Set("Content-Type", apitest.JSONType)
	w := httptest.NewRecorder()
	apitest.Server().ServeHTTP(w, r)
	apitest.Same(t, "status", w.Code, http.StatusServiceUnavailable)
	if !strings.Contains(w.Body.String(), "The work was given up") {
		t.Error(w.Body)
	}
}
