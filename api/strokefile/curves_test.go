package strokefile_test

import (
	"strings"
	"testing"

	"thole/api/access"
	"thole/api/apitest"
	"thole/api/strokefile"
)

// TestCurvesOfAFile: over angles they have ends, over a share none; an athlete is told the
// forces of a file with one curve, and of several the names.
func TestCurvesOfAFile(t *testing.T) {
	two := apitest.MeanCurves("angle_deg", -55, 34)
	var one strings.Builder
	for line := range strings.Lines(two) {
		one.WriteString(line[:strings.LastIndex(line, ",")] + "\n")
	}
	for name, c := range map[string]struct {
		role   access.Role
		text   string
		curves int
		told   bool
		axis   string
	}{
		"a coach": {access.Coach, two, 2, true, "angle"}, "a share": {access.Coach, apitest.MeanCurves("drive_pct", 0, 100), 2, true, "share"},
		"an athlete": {access.Athlete, one.String(), 1, true, "angle"}, "an athlete of two": {access.Athlete, two, 2, false, "angle"},
	} {
		ctx := access.With(t.Context(), &access.Viewer{Role: c.role, Account: 7, Athlete: 7})
		u, err := apitest.Service.Strokefile.Upload(ctx, "curves.csv", strings.NewReader(c.text))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		w, err := apitest.Service.Strokefile.UploadCurves(ctx, strokefile.CurvesRequest{ID: u.ID})
		if err != nil || len(w.Curves) != c.curves || w.Axis != c.axis {
			t.Fatalf("%s: %v %+v", name, err, w)
		}
		if (w.CatchDeg != nil) != (c.axis == "angle") || w.CatchDeg != nil && (*w.CatchDeg != -55 || *w.FinishDeg != 34) {
			t.Errorf("%s: from %v to %v", name, w.CatchDeg, w.FinishDeg)
		}
		for _, curve := range w.Curves {
			if want := map[bool]int{true: 101, false: 0}[c.told]; len(curve.ForceN) != want || curve.ForceN == nil {
				t.Errorf("%s: %s has %d nodes, want %d", name, curve.Name, len(curve.ForceN), want)
			}
		}
		if _, err := apitest.Service.Strokefile.RemoveUpload(ctx, strokefile.UploadRequest{ID: u.ID}); err != nil {
			t.Error(err)
		}
	}
}
