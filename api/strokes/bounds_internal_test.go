package strokes

import (
	"math"
	"strings"
	"testing"

	"thole/api/strokefile"
	"thole/api/wire"
	"thole/rigging"
	"thole/selection/stroke"
)

// TestEndsOfACurveAreGivenWhereTheFileTellsNone: a catch of −90° to −15° and a finish of 5°
// to 80°.
func TestEndsOfACurveAreGivenWhereTheFileTellsNone(t *testing.T) {
	v := func(v float64) *float64 { return &v }
	for _, c := range []struct {
		catch, finish *float64
		bad           string
	}{
		{v(-90), v(5), ""}, {v(-15), v(80), ""}, {v(-90.1), v(40), "catch_deg"}, {v(-14.9), v(40), "catch_deg"}, {nil, v(40), "catch_deg"}, {v(-60), v(4.9), "finish_deg"}, {v(-60), v(80.1), "finish_deg"}, {v(-60), nil, "finish_deg"},
	} {
		var p wire.Problems
		table := &stroke.CurveTable{}
		r := &KeepCurvesRequest{CatchDeg: c.catch, FinishDeg: c.finish}
		setEnds(&p, r, table)
		p.Check(wire.Place{}, r)
		var bad []string
		for _, f := range p.Fields {
			if strings.HasSuffix(f.Field, "_deg") {
				bad = append(bad, f.Field)
			}
		}
		if strings.Join(bad, " ") != c.bad {
			t.Errorf("%g to %g: %v, want %s", wire.Or(c.catch, 0), wire.Or(c.finish, 0), bad, c.bad)
		}
		if c.bad == "" && (math.Abs(float64(table.Catch)*strokefile.PerDegree-*c.catch) > 1e-9 || math.Abs(float64(table.Finish)*strokefile.PerDegree-*c.finish) > 1e-9) {
			t.Errorf("%+v", table)
		}
	}
	var p wire.Problems
	if setEnds(&p, &KeepCurvesRequest{}, &stroke.CurveTable{Axis: stroke.OverAngle}); len(p.Fields) != 0 {
		t.Errorf("a file that tells its angles: %+v", p.Fields)
	}
}

// TestWhatAMeanCurveTells: of a triangle that rises over the first half of 100° and falls
// over the second, the peak stands in the middle, the mean is half of it, and 30 % of it are
// passed after 15° and until 15° before the end. Of equal peaks the first counts.
func TestWhatAMeanCurveTells(t *testing.T) {
	triangle := make([]float64, 101)
	for i := range triangle {
		triangle[i] = 600 * math.Min(float64(i), float64(100-i)) / 50
	}
	degree := math.Pi / 180
	o := curveReport(triangle, -60*rigging.Degree, 40*rigging.Degree, 0.3)
	for f, want := range map[stroke.Feature]float64{
		stroke.CatchAngle: -60 * degree, stroke.FinishAngle: 40 * degree, stroke.Arc: 100 * degree, stroke.PeakForce: 600, stroke.PeakPlace: 0.5, stroke.PeakAngle: -10 * degree,
		stroke.MeanForce: 300, stroke.MeanToPeak: 0.5, stroke.CatchSlip: 15 * degree, stroke.ReleaseSlip: 15 * degree,
	} {
		if got := o.Features[f]; got.N != 1 || math.Abs(got.Mean-want) > 1e-9 {
			t.Errorf("feature %d: %+v, want %g", f, got, want)
		}
	}
	flat := []float64{0, 500, 500, 500, 0}
	if o := curveReport(flat, -60*rigging.Degree, 40*rigging.Degree, 0.3); math.Abs(o.Features[stroke.PeakPlace].Mean-0.25) > 1e-12 {
		t.Errorf("of three equal peaks the one at %g", o.Features[stroke.PeakPlace].Mean)
	}
}

// TestNamesAreCutBetweenLetters to a number of bytes.
func TestNamesAreCutBetweenLetters(t *testing.T) {
	for _, c := range []struct {
		text string
		most int
		want string
	}{{"bow", 3, "bow"}, {"bow", 2, "bo"}, {"äb", 3, "äb"}, {"äb", 2, "ä"}, {"äb", 1, ""}, {"", 0, ""}} {
		if got := cut(c.text, c.most); got != c.want {
			t.Errorf("%q to %d: %q, want %q", c.text, c.most, got, c.want)
		}
	}
}
