package strokes

import (
	"math"
	"os"
	"testing"

	"thole/api/store"
)

// TestASpoolGivesBackWhatItHolds holds samples to their bits, missing ones among
// them, and pointers to zero to be kept.
func TestASpoolGivesBackWhatItHolds(t *testing.T) {
	s, err := newSpool()
	if err != nil {
		t.Fatal(err)
	}
	zero := 0.0
	in := []store.Recording{
		{Seat: "1", Samples: store.Samples{TimeS: []float64{0, 0.02}, ForceN: []float64{math.NaN(), math.Copysign(0, -1)}}, Features: []store.FeatureValue{{Feature: "catch_deg", SD: &zero}}},
		{Seat: "2", Samples: store.Samples{TimeS: []float64{7}}},
	}
	for _, r := range in {
		if err := s.add(r); err != nil {
			t.Fatal(err)
		}
	}
	for range 2 { // a second time is the same
		n := 0
		for r, err := range s.recordings() {
			if err != nil {
				t.Fatal(err)
			}
			want := in[n]
			n++
			if r.Seat != want.Seat || len(r.Samples.TimeS) != len(want.Samples.TimeS) || len(r.Samples.ForceN) != len(want.Samples.ForceN) {
				t.Fatalf("recording %d is %+v", n, r)
			}
			for i, v := range want.Samples.ForceN {
				if math.Float64bits(r.Samples.ForceN[i]) != math.Float64bits(v) {
					t.Errorf("force %d is %v, want %v", i, r.Samples.ForceN[i], v)
				}
			}
			if len(want.Features) > 0 && (r.Features[0].SD == nil || *r.Features[0].SD != 0) {
				t.Error("a standard deviation of 0 is lost")
			}
		}
		if n != len(in) {
			t.Fatalf("%d recordings, want %d", n, len(in))
		}
	}
	s.close()
	if _, err := os.Stat(s.file.Name()); err == nil {
		t.Error("the file is left behind")
	}
}
