package strokes

import (
	"math"
	"testing"
	"time"

	"thole/api/store"
	"thole/selection/stroke"
)

// TestWhereACurveFallsToALevel: between two nodes in proportion, on a node that has the level
// exactly, and at the end of a curve that never falls to it. Worked by hand.
func TestWhereACurveFallsToALevel(t *testing.T) {
	for _, c := range []struct {
		force      []float64
		from, step int
		level      float64
		want       float64
	}{
		{[]float64{0, 100, 200, 100, 0}, 2, -1, 60, 0.6}, {[]float64{0, 100, 200, 100, 0}, 2, 1, 60, 3.4}, {[]float64{0, 100, 200, 100, 0}, 2, -1, 100, 1}, {[]float64{0, 100, 200, 100, 0}, 2, 1, 100, 3},
		{[]float64{0, 100, 200, 100, 0}, 2, -1, 0, 0}, {[]float64{0, 100, 200, 100, 0}, 2, 1, 0, 4}, {[]float64{70, 100, 200, 100, 80}, 2, -1, 60, 0}, {[]float64{70, 100, 200, 100, 80}, 2, 1, 60, 4},
		{[]float64{200, 100, 0}, 0, -1, 60, 0}, {[]float64{0, 100, 200}, 2, 1, 60, 2}, {[]float64{100, 200, 100}, 1, -1, 60, 0}, {[]float64{100, 200, 100}, 1, 1, 60, 2},
	} {
		if got := crossing(c.force, c.from, c.step, c.level); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v from %d by %d to %g: %g, want %g", c.force, c.from, c.step, c.level, got, c.want)
		}
	}
	// A trapezium that rises over 20 of 100° and falls over 40: half the peak is passed at 10°
	// and at 80°; the effective arc is 70°, the mean (0.5·20 + 40 + 0.5·40)/100 of the peak.
	force := make([]float64, 101)
	for i := range force {
		force[i] = 400 * math.Min(1, math.Min(float64(i)/20, float64(100-i)/40))
	}
	o := curveReport(force, 0, 1, 0.5) // one radian
	for f, want := range map[stroke.Feature]float64{stroke.CatchSlip: 0.1, stroke.ReleaseSlip: 0.2, stroke.EffectiveArc: 0.7, stroke.MeanForce: 280, stroke.PeakAngle: 0.2} {
		if got := o.Features[f].Mean; math.Abs(got-want) > 1e-9 {
			t.Errorf("feature %d: %g, want %g", f, got, want)
		}
	}
	even := []float64{100, 100, 100} // the ends count half
	if o := curveReport(even, 0, 1, 0.5); o.Features[stroke.MeanForce].Mean != 100 {
		t.Errorf("an even force: %+v", o.Features[stroke.MeanForce])
	}
}

// TestSeriesAreReadBetweenTheirSamples in proportion, and not beyond their ends.
func TestSeriesAreReadBetweenTheirSamples(t *testing.T) {
	times, values := []float64{0, 1, 3}, []float64{5, 10, 30}
	for at, want := range map[float64]float64{0: 5, 0.5: 7.5, 1: 10, 2: 20, 3: 30} {
		if got := valueAt(times, values, at); got != want {
			t.Errorf("at %g: %g, want %g", at, got, want)
		}
	}
	for _, at := range []float64{-0.1, 3.1} {
		if got := valueAt(times, values, at); !math.IsNaN(got) {
			t.Errorf("at %g: %g", at, got)
		}
	}
	var m Mean
	for _, c := range []struct {
		v        float64
		n        int
		mean, sd float64
	}{{math.NaN(), 0, 0, 0}, {2, 1, 2, 0}, {4, 2, 3, math.Sqrt2}, {9, 3, 5, math.Sqrt(13)}} { // (9 + 1 + 16)/2
		if m.Add(c.v); m.N != c.n || m.Mean != c.mean || math.Abs(m.Sd()-c.sd) > 1e-12 {
			t.Errorf("after %g: %d, %g ± %g", c.v, m.N, m.Mean, m.Sd())
		}
	}
}

// TestTheNewestHundredAreCompared, and the others counted.
func TestTheNewestHundredAreCompared(t *testing.T) {
	members := make([]CurveMember, 101)
	for i := range members {
		members[i] = CurveMember{AthleteID: int64(i), RecordedOn: "2026-03-02"}
	}
	members[3].RecordedOn = "2026-03-01"
	if kept, beyond := newest(members[:100]); len(kept) != 100 || beyond != 0 || kept[3].AthleteID != 3 {
		t.Errorf("of 100 %d, and %d beyond", len(kept), beyond)
	}
	kept, beyond := newest(members)
	if len(kept) != 100 || beyond != 1 {
		t.Errorf("of 101 %d, and %d beyond", len(kept), beyond)
	}
	for _, m := range kept {
		if m.AthleteID == 3 {
			t.Error("the oldest is compared")
		}
	}
}

// TestWaysOfDifferingNeedThree athletes; a shift of 10 of the 100 steps between 101 nodes is a tenth of the drive.
func TestWaysOfDifferingNeedThree(t *testing.T) {
	shapes := [][]float64{{0, 2, 0, 0}, {0, 1, 1, 0}, {0, 0, 2, 0}, {0, 1, 0, 1}}
	for n, want := range map[int]bool{1: false, 2: false, 3: true, 4: true} {
		w := CurveSquad{Members: make([]CurveMember, n)}
		w.components(shapes[:n])
		if got := len(w.Components.Vectors) > 0; got != want || w.Members[0].Scores == nil || len(w.Members[n-1].Scores) > 0 != want {
			t.Errorf("%d: %+v", n, w.Components)
		}
	}
	if got := wireLikeness(&stroke.Likeness{Shift: -10}, 101); got.ShiftShare != -0.1 {
		t.Errorf("%+v", got)
	}
}

// TestStrokesOfOneRate: a group holds its lower end, and not its upper one.
func TestStrokesOfOneRate(t *testing.T) {
	groups := []stroke.RateGroup{{Low: 18.0 / 60, High: 20.0 / 60, Count: 4}, {Low: 20.0 / 60, High: 22.0 / 60, Count: 5}}
	m := &Remeasured{Oar: &stroke.OarReport{Count: 9, Rates: groups}}
	for rate, want := range map[float64]int{0: 9, 18: 4, 19.99: 4, 20: 5, 21.99: 5, 17.99: -1, 22: -1} {
		got, err := m.Chosen(rate)
		if (err != nil) != (want < 0) || err == nil && got.Oar.Count != want {
			t.Errorf("at %g: %v, want %d strokes", rate, err, want)
		}
	}
}

// TestTwoOarsOfOneOuting are entered within a minute of each other, of one file, day, seat
// and rower, on two sides.
func TestTwoOarsOfOneOuting(t *testing.T) {
	at := time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)
	athlete := int64(7)
	port := store.Recording{Side: "port", Seat: "1", SourceFile: "a.csv", RecordedOn: "2026-03-01", AthleteID: &athlete, EnteredAt: at}
	for name, c := range map[string]struct {
		change func(r *store.Recording)
		want   bool
	}{
		"at once": {func(*store.Recording) {}, true}, "59 s later": {func(r *store.Recording) { r.EnteredAt = at.Add(59 * time.Second) }, true}, "59 s before": {func(r *store.Recording) { r.EnteredAt = at.Add(-59 * time.Second) }, true},
		"a minute later": {func(r *store.Recording) { r.EnteredAt = at.Add(time.Minute) }, false}, "a minute before": {func(r *store.Recording) { r.EnteredAt = at.Add(-time.Minute) }, false},
		"the same side": {func(r *store.Recording) { r.Side = "port" }, false}, "no side": {func(r *store.Recording) { r.Side = "" }, false}, "another seat": {func(r *store.Recording) { r.Seat = "2" }, false},
		"another file": {func(r *store.Recording) { r.SourceFile = "b.csv" }, false}, "another day": {func(r *store.Recording) { r.RecordedOn = "2026-03-02" }, false}, "nobody": {func(r *store.Recording) { r.AthleteID = nil }, false},
	} {
		starboard := port
		starboard.Side = "starboard"
		c.change(&starboard)
		if got := SameOuting(&port, &starboard); got != c.want {
			t.Errorf("%s: %t", name, got)
		}
	}
}
