package demo_test

import (
	"testing"

	"thole/api/apitest"
	"thole/api/strokes"
)

// TestDemoStrokesAreRowable holds that the made-up strokes lie where measured
// ones do: some slip to 196 N, peaks in the middle half, the blade covered, and
// 29 whole strokes or more.
func TestDemoStrokesAreRowable(t *testing.T) {
	s, _ := demoClub(t)
	list, err := s.Strokes.Recordings(t.Context(), strokes.RecordingsRequest{})
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "recordings", len(list.Recordings), 20)
	for _, r := range list.Recordings {
		got, err := s.Strokes.Recording(t.Context(), strokes.RecordingRequest{ID: r.ID})
		if err != nil {
			t.Fatal(err)
		}
		f := got.Oar.Features
		for name, ends := range map[string][2]float64{"catch_slip_deg": {2, 28}, "peak_place": {0.3, 0.6}, "depth_deg": {-11, -5}, "power_w": {80, 700}} {
			if v := f[name].Mean; v < ends[0] || v > ends[1] {
				t.Errorf("%s: %s = %g, want %v", r.Athlete, name, v, ends)
			}
		}
		if got.Oar.Strokes < 29 || len(got.Path) == 0 || len(got.Warnings) > 0 {
			t.Errorf("%s: %d strokes, %d points of the path, warnings %v", r.Athlete, got.Oar.Strokes, len(got.Path), got.Warnings)
		}
	}
}
