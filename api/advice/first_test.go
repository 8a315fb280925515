package advice_test

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"thole/api/advice"
	"thole/api/apitest"
)

// firstOf asks what to work on first.
func firstOf(t testing.TB, r advice.FirstRequest) advice.First {
	t.Helper()
	f, err := apitest.Service.Advice.First(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// TestTheShortCatchComesFirst holds a four of which seat 1 reaches 6.2° less
// than the median of the others: that is named, with the crew as its reference
// and the change that is priced; the others have nothing beyond their noise on
// the reach.
func TestTheShortCatchComesFirst(t *testing.T) {
	crew := apitest.CrewOnRecord(t)
	f := firstOf(t, advice.FirstRequest{ID: crew[0]})
	if len(f.Findings) == 0 || f.Findings[0].Item != "catch" {
		t.Fatalf("%+v", f)
	}
	w := f.Findings[0]
	apitest.Near(t, "measured", w.Measured, 49, 0.2)
	apitest.Near(t, "reference", w.Reference, 55.2, 0.2)
	apitest.Near(t, "change", w.Change, 6.2, 0.3)
	if !strings.Contains(w.Against, "crew") || !strings.Contains(w.Said, "49.0°") || !strings.Contains(f.Said, w.Title) {
		t.Errorf("%+v", w)
	}
	if p := w.Price; p.ForceTimeS.Value >= 0 || p.ForceTimeS.Low > p.ForceTimeS.Value || p.ForceTimeS.High < p.ForceTimeS.Value || p.ForcePowerPct.Value <= 0 || p.PowerForcePct.Value >= 0 {
		t.Errorf("a longer catch at equal force takes power and less force at equal power: %+v", p)
	}
	for _, id := range crew[1:] {
		for _, w := range firstOf(t, advice.FirstRequest{ID: id}).Findings {
			if w.Item == "catch" {
				t.Errorf("recording %d: %s", id, w.Said)
			}
		}
	}
}

// TestTheArcIsInOrder holds the marks against the generator: reach −49°,
// finish 34°, 30 % of a half sine's peak 0.09699 of the arc from both ends, and
// the share that does no work with them.
func TestTheArcIsInOrder(t *testing.T) {
	f := firstOf(t, advice.FirstRequest{ID: apitest.CrewOnRecord(t)[0]})
	want := map[string]float64{"reach": -49, "holds": -49 + 0.09699*83, "release": 34 - 0.09699*83, "finish": 34}
	for _, m := range f.Arc {
		if v, ok := want[m.Name]; ok {
			apitest.Near(t, m.Name, m.AngleDeg, v, 0.5)
		}
	}
	names := fmt.Sprint(f.Arc)
	for _, name := range []string{"reach", "touches", "covered", "holds", "release", "out", "finish"} {
		if !strings.Contains(names, name) {
			t.Errorf("no %s in %s", name, names)
		}
	}
	apitest.Near(t, "idle", f.IdleShare, 2*0.09699, 0.01)
}

// TestWhatIsMissingIsNamed holds that a recording without boat still tells its
// idle share, and says what would let more be told.
func TestWhatIsMissingIsNamed(t *testing.T) {
	f := firstOf(t, advice.FirstRequest{ID: apitest.Strangers(t)})
	if f.Model != nil || len(f.Findings) != 0 || len(f.Missing) == 0 || f.Missing[0].Name != "boat and rig" || f.Missing[0].How == "" || f.IdleShare == 0 {
		t.Errorf("%+v", f)
	}
	typed := firstOf(t, advice.FirstRequest{ID: apitest.Strangers(t), BoatClass: "1x"})
	if typed.Model == nil || len(typed.Assumed) < 3 {
		t.Errorf("a class alone: %+v", typed)
	}
	for _, said := range []string{"hull", "oar", "rower"} {
		if !strings.Contains(strings.Join(typed.Assumed, "; "), said) {
			t.Errorf("nothing said of the %s: %v", said, typed.Assumed)
		}
	}
}

// TestWithoutACrewNothingIsCalledFree holds that a rower who was measured alone
// is told what own best strokes cannot show, and one of a crew is not.
func TestWithoutACrewNothingIsCalledFree(t *testing.T) {
	lacks := func(f advice.First) bool {
		return slices.ContainsFunc(f.Missing, func(m advice.MissingMeasure) bool { return strings.Contains(m.Name, "crew") })
	}
	alone := firstOf(t, advice.FirstRequest{ID: apitest.Strangers(t), BoatClass: "1x"})
	if !alone.OwnBest || !lacks(alone) {
		t.Errorf("alone: %v, %+v", alone.OwnBest, alone.Missing)
	}
	if len(alone.Findings) == 0 && !strings.Contains(alone.Said, "every stroke cannot show") {
		t.Errorf("alone: %s", alone.Said)
	}
	for _, id := range apitest.CrewOnRecord(t) {
		if f := firstOf(t, advice.FirstRequest{ID: id}); f.OwnBest || lacks(f) || strings.Contains(f.Said, "own best") {
			t.Errorf("of a crew, recording %d: %s %+v", id, f.Said, f.Missing)
		}
	}
}

// TestTheSpeedIsMatched holds that the model goes at the speed measured, or at
// the one stated.
func TestTheSpeedIsMatched(t *testing.T) {
	id := apitest.CrewOnRecord(t)[1]
	apitest.Near(t, "measured", firstOf(t, advice.FirstRequest{ID: id}).Model.SpeedMS, 4.5, 1e-3)
	apitest.Near(t, "stated", firstOf(t, advice.FirstRequest{ID: id, BoatSpeedMS: 4.9}).Model.SpeedMS, 4.9, 1e-3)
}

// TestRanksAreTheSameFromMemory holds that a second answer is the first.
func TestRanksAreTheSameFromMemory(t *testing.T) {
	ask := advice.FirstRequest{ID: apitest.CrewOnRecord(t)[0]}
	a, b := firstOf(t, ask), firstOf(t, ask)
	text := func(f advice.First) string { return string(apitest.Must(json.Marshal(f))) }
	apitest.Same(t, "answer", text(a), text(b))
	ask.DistanceM = 1000
	half := firstOf(t, ask)
	apitest.Near(t, "half the way", half.Findings[0].Price.ForceTimeS.Value, a.Findings[0].Price.ForceTimeS.Value/2, 0.06)
}

// TestImpossibleFiguresAreRefused holds that figures no boat has are told.
func TestImpossibleFiguresAreRefused(t *testing.T) {
	id := apitest.CrewOnRecord(t)[0]
	f := firstOf(t, advice.FirstRequest{ID: id, BoatSpeedMS: 1})
	if len(f.Findings) != 0 || !slices.ContainsFunc(f.Missing, func(m advice.MissingMeasure) bool { return m.Name == "a stroke to reckon with" }) {
		t.Errorf("%+v", f)
	}
	for path, status := range map[string]int{"?boat_class=9x": 422, "?share_of_peak=7": 422, "?rate_per_min=90": 422, "?distance_m=x": 422,
		"?mass_kg=900": 422, "?mass_kg=-1e308": 422, "?boat_class=8%2B&mass_kg=-80": 422, "?boat_speed_m_s=-5": 422, "?distance_m=-1": 422,
		"?inboard_cm=-88&oar_length_cm=288": 422, "?inboard_cm=88&oar_length_cm=5e-324": 422} {
		if got := apitest.Request("GET", fmt.Sprintf("%s/%d/first%s", apitest.RecordingsPath, id, path), "", "").Code; got != status && got != 400 {
			t.Errorf("%s: %d", path, got)
		}
	}
	if math.IsNaN(f.IdleShare) {
		t.Error("no share")
	}
}

func BenchmarkFirstFromMemory(b *testing.B) {
	id := apitest.CrewOnRecord(b)[0]
	for b.Loop() {
		firstOf(b, advice.FirstRequest{ID: id})
	}
}

// BenchmarkFirst ranks anew each time: another distance makes another ranking.
func BenchmarkFirst(b *testing.B) {
	id, distance := apitest.CrewOnRecord(b)[0], 1000.0
	for b.Loop() {
		distance++
		firstOf(b, advice.FirstRequest{ID: id, DistanceM: distance})
	}
}

func TestAMassThatNobodyHasIsRefused(t *testing.T) {
	for _, mass := range []string{"-9223372036854775808", "-1", "1e308", "5e-324", "19", "201"} {
		id := apitest.Sculled(t)[0]
		apitest.Problem(t, apitest.Request("GET", fmt.Sprintf("/api/v1/recordings/%d/first?mass_kg=%s", id, mass), "", ""), 422)
	}
}
