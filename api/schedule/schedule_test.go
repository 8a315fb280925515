package schedule_test

import (
	"context"
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"thole/api"
	"thole/api/apitest"
	"thole/api/club"
	"thole/api/schedule"
)

// raced is one piece of two boats.
func raced(first, second string, times ...float64) schedule.RacedPiece {
	p := schedule.RacedPiece{Crews: [][]string{strings.Split(first, ""), strings.Split(second, "")}}
	for _, t := range times {
		p.TimesS = append(p.TimesS, &t)
	}
	return p
}

// swapping is two doubles in which a and c change boats after every piece.
func swapping() []schedule.RacedPiece {
	return []schedule.RacedPiece{
		raced("ab", "cd", 221.0, 223.4), raced("cb", "ad", 222.9, 221.8), raced("ab", "cd", 221.7, 223.5), raced("cb", "ad", 223.8, 222.3),
	}
}

func estimated(t testing.TB, r schedule.SeatRaceEstimateRequest) schedule.SeatRaceEstimate {
	t.Helper()
	a, err := api.NewService(nil).Schedule.Estimate(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// The seat race by hand: margins +2.4, −1.1, +1.8, −1.5 (first boat ahead);
// the gain of a over c is half the mean change, (2.4+1.8+1.1+1.5)/4/… = 1.70 s.
func TestASwapIsHalfTheChangeOfTheMargin(t *testing.T) {
	a := estimated(t, schedule.SeatRaceEstimateRequest{DistanceM: 1000, Pieces: swapping(), BareSwaps: true})
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
	r := schedule.SeatRaceEstimateRequest{DistanceM: 1000, Pieces: swapping(), Prior: &schedule.SeatRacePrior{SdS: &sd, MeansS: map[string]*float64{"c": new(3.0), "a": new(0.0)}}}
	with, without := estimated(t, r), estimated(t, schedule.SeatRaceEstimateRequest{DistanceM: 1000, Pieces: swapping()})
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
	pieces := []schedule.RacedPiece{raced("ab", "cd", 200, 201), raced("cb", "ad", 204, 204.8), raced("ab", "cd", 201, 202), raced("cb", "ad", 205, 205.9)}
	r := schedule.SeatRaceEstimateRequest{DistanceM: 1000, Pieces: pieces, CompareViews: true}
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
	a := estimated(t, schedule.SeatRaceEstimateRequest{DistanceM: 1000, Pieces: timed})
	b := estimated(t, schedule.SeatRaceEstimateRequest{DistanceM: 1000, Pieces: clockless, ExpectedTimeS: new(222.0)})
	apitest.Near(t, "a over c", apitest.Difference(t, b.Differences, "a", "c").DifferenceS, apitest.Difference(t, a.Differences, "a", "c").DifferenceS, 0.02)
	if len(b.Notes) < 4 {
		t.Errorf("nothing is said of the missing clock: %q", b.Notes)
	}
	_, err := api.NewService(nil).Schedule.Estimate(t.Context(), schedule.SeatRaceEstimateRequest{DistanceM: 1000, Pieces: clockless})
	if apitest.Complaints(t, err)["expected_time_s"] == "" {
		t.Errorf("margins without any time are taken: %v", err)
	}
}

func TestWhatIsKnownAfterEachPiece(t *testing.T) {
	r := schedule.SeatRaceEstimateRequest{DistanceM: 1000, Pieces: append(swapping(), raced("ab", "cd", 0, 0)), AfterEach: true, Next: 3}
	a := estimated(t, r)
	apitest.Same(t, "pieces told", len(a.AfterEach), 4)
	apitest.Same(t, "proposals", len(a.Next), 3)
	last := a.AfterEach[3]
	apitest.Same(t, "followed", len(last.Differences), 3)
	r.Pairs = [][]string{{"a", "c"}}
	a = estimated(t, r)
	apitest.Same(t, "after the last", a.AfterEach[3].Differences, []schedule.SeatRaceDifference{apitest.Difference(t, a.Differences, "a", "c")})
	if first := apitest.Difference(t, a.AfterEach[0].Differences, "a", "c"); first.Estimable {
		t.Error("one piece tells the swapped apart")
	}
}

// TestSeatRaceMistakes types what people mistype.
func TestSeatRaceMistakes(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*schedule.SeatRaceEstimateRequest)
		field  string
		says   string
	}{
		"in both boats": {func(r *schedule.SeatRaceEstimateRequest) { r.Pieces[1] = raced("ab", "ad", 220, 221) }, "pieces[1].crews[1]", "as well"},
		"unequal crews": {func(r *schedule.SeatRaceEstimateRequest) { r.Pieces[0] = raced("abe", "cd", 220, 221) }, "pieces[0].crews[0]", "3 rowers instead of 2"},
		"missing time":  {func(r *schedule.SeatRaceEstimateRequest) { r.Pieces[2].TimesS = r.Pieces[2].TimesS[:1] }, "pieces[2].times_s", "1 times for 2 boats"},
		"missing colon": {func(r *schedule.SeatRaceEstimateRequest) { r.Pieces[3].TimesS[1] = new(342.0) }, "pieces[3].times_s[1]", "3:42"},
		"no distance":   {func(r *schedule.SeatRaceEstimateRequest) { r.DistanceM = 0 }, "distance_m", "above 0"},
		"no pieces":     {func(r *schedule.SeatRaceEstimateRequest) { r.Pieces = nil }, "pieces", "No piece"},
		"view":          {func(r *schedule.SeatRaceEstimateRequest) { r.View = "both" }, "view", "margins or absolute"},
		"side":          {func(r *schedule.SeatRaceEstimateRequest) { r.Sides = map[string]string{"a": "left"} }, "sides.a", "port or starboard"},
		"prior":         {func(r *schedule.SeatRaceEstimateRequest) { r.Prior = &schedule.SeatRacePrior{} }, "prior.sd_s", "above 0"},
		"prior's mean": {func(r *schedule.SeatRaceEstimateRequest) {
			r.Prior = &schedule.SeatRacePrior{SdS: new(1.0), MeansS: map[string]*float64{"a": new(1e9)}}
		}, "prior.means_s.a", "seconds"},
		"noise":           {func(r *schedule.SeatRaceEstimateRequest) { r.NoiseSdS = new(0.0) }, "noise_sd_s", "above 0"},
		"level":           {func(r *schedule.SeatRaceEstimateRequest) { r.Level = new(2.0) }, "level", "between"},
		"pair":            {func(r *schedule.SeatRaceEstimateRequest) { r.Pairs = [][]string{{"a"}} }, "pairs[0]", "two athletes"},
		"unknown pair":    {func(r *schedule.SeatRaceEstimateRequest) { r.Pairs = [][]string{{"a", "z"}} }, "pairs[0]", "not one of"},
		"many proposals":  {func(r *schedule.SeatRaceEstimateRequest) { r.Next = 99 }, "next", "20"},
		"times and more":  {func(r *schedule.SeatRaceEstimateRequest) { r.Pieces[0].MarginsS = r.Pieces[0].TimesS }, "pieces[0].margins_s", "not both"},
		"too many pieces": {func(r *schedule.SeatRaceEstimateRequest) { r.Pieces = make([]schedule.RacedPiece, 201) }, "pieces", "200"},
	} {
		t.Run(name, func(t *testing.T) {
			r := schedule.SeatRaceEstimateRequest{DistanceM: 1000, Pieces: swapping()}
			c.change(&r)
			_, err := api.NewService(nil).Schedule.Estimate(t.Context(), r)
			if said := apitest.Complaints(t, err); !strings.Contains(said[c.field], c.says) {
				t.Errorf("said %q, want %q at %s", said, c.says, c.field)
			}
		})
	}
}

func TestBoatsThatNeverMix(t *testing.T) {
	a := estimated(t, schedule.SeatRaceEstimateRequest{DistanceM: 1000, Pieces: []schedule.RacedPiece{raced("ab", "cd", 200, 202), raced("ab", "cd", 201, 202)}})
	if len(a.NotEstimable) == 0 || apitest.Difference(t, a.Differences, "a", "b").Why == "" {
		t.Errorf("%q", a.NotEstimable)
	}
}

// planned is a squad of scullers by letters.
func planned(names string) []schedule.PlanAthlete {
	var list []schedule.PlanAthlete
	for _, n := range strings.Split(names, "") {
		list = append(list, schedule.PlanAthlete{ID: n})
	}
	return list
}

// Eight scullers in two quads: seven races can bring the variance of every
// difference to σ²/4 (weighing designs; H. Hotelling, Ann. Math. Stat. 15
// (1944) 297, A. M. Mood, Ann. Math. Stat. 17 (1946) 432), here with no limit
// on changes.
func TestPlanReachesTheWeighingDesign(t *testing.T) {
	a, err := api.NewService(nil).Schedule.Plan(t.Context(), schedule.SeatRacePlanRequest{
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
	r := schedule.SeatRacePlanRequest{BoatClass: "2x", Athletes: planned("abcd"), Pieces: 1}
	a, err := api.NewService(nil).Schedule.Plan(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	if a.Missing == 0 || len(a.Truth) == 0 || !strings.Contains(a.Truth[0], "stay open") {
		t.Errorf("missing %d, truth %q", a.Missing, a.Truth)
	}
	r.Pieces, r.SmallestW = 3, new(10.0)
	if a, _ = api.NewService(nil).Schedule.Plan(t.Context(), r); !strings.Contains(strings.Join(a.Truth, " "), "To show 10 W") {
		t.Errorf("truth %q", a.Truth)
	}
}

func TestPlanByHandIsForeseenAsThePlansOwn(t *testing.T) {
	r := schedule.SeatRacePlanRequest{BoatClass: "2x", Athletes: planned("abcde"), Pieces: 5}
	a, err := api.NewService(nil).Schedule.Plan(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range a.Pieces {
		r.Schedule = append(r.Schedule, schedule.PlanCrews{Crews: p.Crews})
	}
	r.Pieces = 0
	b, err := api.NewService(nil).Schedule.Plan(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "differences", b.Differences, a.Differences)
	apitest.Same(t, "pieces", b.Pieces, a.Pieces)
}

func TestPlanMistakes(t *testing.T) {
	good := func() schedule.SeatRacePlanRequest {
		return schedule.SeatRacePlanRequest{BoatClass: "2-", Athletes: planned("abcd"), Pieces: 4}
	}
	for name, c := range map[string]struct {
		change func(*schedule.SeatRacePlanRequest)
		field  string
		says   string
	}{
		"class":    {func(r *schedule.SeatRacePlanRequest) { r.BoatClass = "9x" }, "boat_class", "Choose"},
		"too few":  {func(r *schedule.SeatRacePlanRequest) { r.Athletes = planned("abc") }, "athletes", "need 4"},
		"twice":    {func(r *schedule.SeatRacePlanRequest) { r.Athletes = planned("abca") }, "athletes[3].id", "twice"},
		"pieces":   {func(r *schedule.SeatRacePlanRequest) { r.Pieces = 0 }, "pieces", "from 1"},
		"one boat": {func(r *schedule.SeatRacePlanRequest) { r.Boats = new(1) }, "boats", "the plausible range is 2 to 12"},
		"too much": {func(r *schedule.SeatRacePlanRequest) {
			r.Athletes, r.Pieces, r.Boats = planned(strings.Repeat("x", 60)), 40, new(4)
		}, "pieces", "more than can be searched"},
		"many boats":     {func(r *schedule.SeatRacePlanRequest) { r.Boats = new(99) }, "boats", "At most"},
		"swaps":          {func(r *schedule.SeatRacePlanRequest) { r.Swaps = new(-1) }, "swaps", "−1 cannot be right"},
		"distance in km": {func(r *schedule.SeatRacePlanRequest) { r.DistanceM = new(1.0) }, "distance_m", "100 to 10000"},
		"pair":           {func(r *schedule.SeatRacePlanRequest) { r.Pairs = [][]string{{"a", "z"}} }, "pairs[0]", "not one of"},
		"hand, unknown": {func(r *schedule.SeatRacePlanRequest) {
			r.Schedule = []schedule.PlanCrews{{Crews: [][]string{{"a", "z"}, {"c", "d"}}}}
		}, "schedule[0].crews[0]", "not in the squad"},
		"hand, twice": {func(r *schedule.SeatRacePlanRequest) {
			r.Schedule = []schedule.PlanCrews{{Crews: [][]string{{"a", "b"}, {"a", "d"}}}}
		}, "schedule[0].crews[1]", "as well"},
		"hand, one boat": {func(r *schedule.SeatRacePlanRequest) {
			r.Schedule = []schedule.PlanCrews{{Crews: [][]string{{"a", "b"}}}}
		}, "schedule[0].crews", "1 boats where 2"},
		"seed": {func(r *schedule.SeatRacePlanRequest) { r.Seed = new(-1) }, "seed", "from 0"},
		"sides": {func(r *schedule.SeatRacePlanRequest) {
			for i := range r.Athletes {
				r.Athletes[i].Sides = &club.SideCosts{Port: new(0.0)}
			}
		}, "athletes", "starboard seats"},
	} {
		t.Run(name, func(t *testing.T) {
			r := good()
			c.change(&r)
			_, err := api.NewService(nil).Schedule.Plan(t.Context(), r)
			if said := apitest.Complaints(t, err); !strings.Contains(said[c.field], c.says) {
				t.Errorf("said %q, want %q at %s", said, c.says, c.field)
			}
		})
	}
}

// TestPortsAreComparedWithPorts unless it is asked otherwise: 12 of the 28 pairs of
// four ports and four starboards.
func TestPortsAreComparedWithPorts(t *testing.T) {
	s := api.NewService(nil)
	r := schedule.SeatRacePlanRequest{BoatClass: "4-", Pieces: 6}
	for i, n := range strings.Split("abcdefgh", "") {
		sides := &club.SideCosts{Port: new(0.0)}
		if i > 3 {
			sides = &club.SideCosts{Starboard: new(0.0)}
		}
		r.Athletes = append(r.Athletes, schedule.PlanAthlete{ID: n, Sides: sides})
	}
	for _, across := range []bool{false, true} {
		pairs := map[bool]int{false: 12, true: 28}[across]
		r.AcrossSides = across
		plan, err := s.Schedule.Plan(t.Context(), r)
		if err != nil {
			t.Fatal(err)
		}
		wanted := 0
		for _, d := range plan.Differences {
			if d.Asked {
				wanted++
			}
		}
		apitest.Same(t, "wanted", wanted, pairs)
		apitest.Same(t, "every port with every port", plan.Missing, pairs-12)
		apitest.Same(t, "kept", r.TermsOf(&plan).AcrossSides, across)
		r.Schedule = nil
		for _, p := range plan.Pieces { // foreseen again, and not searched again
			r.Schedule = append(r.Schedule, schedule.PlanCrews{Crews: p.Crews})
		}
	}
	r.Pairs = [][]string{{"a", "h"}}
	if plan, err := s.Schedule.Plan(t.Context(), r); err != nil || plan.Missing != 1 {
		t.Errorf("a pair that was named counts as it is: %+v, %v", plan.Missing, err)
	}
}

func TestCautionsOfAHardDay(t *testing.T) {
	r := schedule.SeatRacePlanRequest{BoatClass: "2x", Athletes: planned("abcd"), Pieces: 10, RestMin: new(2.0)}
	a, err := api.NewService(nil).Schedule.Plan(t.Context(), r)
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
