package advice

import (
	"math"
	"testing"

	"thole/api/store"
	"thole/api/strokefile"
	"thole/api/strokes"
	"thole/rigging"
	"thole/selection/stroke"
)

// TestTheBladeLeavesTheWaterWhereItsMiddleRises through the surface, last within the drive:
// between −1° of vertical at 20° and +3° at 24° that is at 21°.
func TestTheBladeLeavesTheWaterWhereItsMiddleRises(t *testing.T) {
	path := make([]strokes.BladePoint, 2*strokes.PathPoints)
	for i := range path {
		path[i] = strokes.BladePoint{AngleDeg: float64(i), VerticalDeg: -3}
	}
	set := func(i int, angle, vertical float64) { path[i].AngleDeg, path[i].VerticalDeg = angle, vertical }
	if _, ok := leavesAt(path); ok {
		t.Error("a blade that stays under leaves the water")
	}
	set(30, 20, -1)
	set(31, 24, 3)
	for _, c := range []struct {
		vertical, want float64 // of the later point; where it leaves
	}{{3, 21}, {1, 22}, {0, 24}} {
		set(31, 24, c.vertical)
		if got, ok := leavesAt(path); !ok || math.Abs(got*strokefile.PerDegree-c.want) > 1e-9 {
			t.Errorf("up to %g°: %g %v, want %g", c.vertical, got*strokefile.PerDegree, ok, c.want)
		}
	}
	set(30, 20, 0)
	if got, ok := leavesAt(path); !ok || math.Abs(got*strokefile.PerDegree-20) > 1e-9 { // it reaches the surface there
		t.Errorf("at the surface: %g %v", got*strokefile.PerDegree, ok)
	}
	for i := range path {
		path[i].VerticalDeg = 1
	}
	if _, ok := leavesAt(path); ok {
		t.Error("a blade that never was under leaves the water")
	}
	if _, ok := leavesAt(nil); ok {
		t.Error("no path leaves the water")
	}
}

// measured is a recording of so many strokes whose depth was measured in some.
func measured(depths int, terms strokes.RecordingTerms) *strokes.Remeasured {
	m := &strokes.Remeasured{Terms: terms, Oar: new(stroke.OarReport)}
	m.Oar.Features[stroke.Depth].N = depths
	return m
}

// TestLeversAreWantedWhereTheImportStatedNone: for a way into the water that was measured,
// in a rig that is known; an inner lever that was stated stays.
func TestLeversAreWantedWhereTheImportStatedNone(t *testing.T) {
	known := &firstBoat{known: true, levers: rigging.Levers{Inner: 0.9, Outer: 2.3}}
	inner, both := &strokefile.OarLevers{InCm: 100}, &strokefile.OarLevers{InCm: 100, OutCm: 230}
	for name, c := range map[string]struct {
		b      *firstBoat
		depths int
		stated *strokefile.OarLevers
		want   *strokefile.OarLevers
	}{
		"none stated": {known, 5, nil, &strokefile.OarLevers{InCm: 90, OutCm: 230}}, "one stated": {known, 5, inner, &strokefile.OarLevers{InCm: 100, OutCm: 230}},
		"both stated": {known, 5, both, nil}, "no depth": {known, 0, nil, nil}, "no rig": {new(firstBoat), 5, nil, nil},
	} {
		got := c.b.wanted(measured(c.depths, strokes.RecordingTerms{Levers: c.stated}))
		if (got == nil) != (c.want == nil) || got != nil && *got != *c.want {
			t.Errorf("%s: %+v, want %+v", name, got, c.want)
		}
	}
}

// TestMeansAreComparedAtOneThreshold: slips that were read at another share of the peak are
// left aside, and the angles are not.
func TestMeansAreComparedAtOneThreshold(t *testing.T) {
	for thresholds, slips := range map[string]bool{
		`{"thresholds":{"share_of_peak":0.3}}`: true, `{"thresholds":{"share_of_peak":0.5}}`: false, `{"thresholds":{}}`: false, `{"thresholds":{"force_n":200}}`: false, `no document`: false,
	} {
		r := &store.RecordingMean{Mean: map[string]store.FeatureValue{"catch_slip_deg": {Value: 5}, "release_slip_deg": {Value: 6}, "effective_arc_deg": {Value: 90}, "catch_deg": {Value: -64}}}
		r.Thresholds = thresholds
		got := meansOf(r, 0.3)
		_, held := got["catch_slip_deg"]
		if held != slips || len(got) != map[bool]int{true: 4, false: 1}[slips] || got["catch_deg"] != -64 {
			t.Errorf("%s: %v", thresholds, got)
		}
	}
}

// TestTheBestTenthNeedsTenStrokes: of twenty the mean of the two least, or of the two most
// where more is better.
func TestTheBestTenthNeedsTenStrokes(t *testing.T) {
	for _, c := range []struct {
		strokes      int
		costly, want float64
		ok           bool
	}{{9, 1, 0, false}, {10, 1, 0, true}, {10, -1, 9, true}, {20, 1, 0.5, true}, {20, -1, 18.5, true}, {29, 1, 0.5, true}} {
		g := &gatherer{m: &strokes.Remeasured{Oar: &stroke.OarReport{Strokes: make([]stroke.Stroke, c.strokes+1)}}}
		number := map[*stroke.Stroke]int{}
		for i := range g.m.Oar.Strokes {
			number[&g.m.Oar.Strokes[i]] = i
		}
		got, ok := g.bestTenth(func(s *stroke.Stroke) (float64, bool) { return float64(number[s]), number[s] < c.strokes }, c.costly)
		if ok != c.ok || math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%d strokes, costly %g: %g %v, want %g", c.strokes, c.costly, got, ok, c.want)
		}
	}
}

// TestTheCommonRateHasTheMostStrokes; of equal ones it is the faster.
func TestTheCommonRateHasTheMostStrokes(t *testing.T) {
	group := func(count int, rate float64) stroke.RateGroup {
		return stroke.RateGroup{Count: count, Low: (rate - 1) / 60, High: (rate + 1) / 60}
	}
	for want, groups := range map[float64][]stroke.RateGroup{
		0: nil, 20: {group(9, 20), group(8, 30)}, 30: {group(8, 20), group(8, 30)}, 32: {group(2, 20), group(9, 32), group(3, 36)},
	} {
		if got := commonRate(&strokes.Remeasured{Oar: &stroke.OarReport{Rates: groups}}); math.Abs(got-want) > 1e-9 {
			t.Errorf("%v: %g, want %g", groups, got, want)
		}
	}
}

// TestAFigureOfTheStrokesIsKnownFromHalfOfThem.
func TestAFigureOfTheStrokesIsKnownFromHalfOfThem(t *testing.T) {
	for _, c := range []struct {
		of, known int
		want      bool
	}{{4, 2, true}, {5, 2, false}, {5, 3, true}, {1, 1, true}, {0, 0, false}, {4, 0, false}} {
		g := &gatherer{m: &strokes.Remeasured{Oar: &stroke.OarReport{Strokes: make([]stroke.Stroke, c.of)}}}
		n := 0
		got := g.measured(func(*stroke.Stroke) (float64, bool) { n++; return 7, n <= c.known })
		if got.Known != c.want || c.known > 0 && got.Mean != 7 {
			t.Errorf("%d of %d: %+v", c.known, c.of, got)
		}
	}
}
