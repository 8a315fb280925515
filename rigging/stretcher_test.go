package rigging_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"thole/rigging"
)

// TestStretcherByHand: heel 20 cm from the pins on a plate of 42°. The back of
// the rigger stands 4 cm bow of the line of work; the shoe's toe lies 28 cm
// along the plate (28·cos 42° = 20.81 cm); hole 5 has the heel at 20 cm where
// hole 0 has it at 10 and the holes lie 2 cm apart.
func TestStretcherByHand(t *testing.T) {
	for _, row := range []struct {
		name  string
		scale rigging.StretcherScale
		want  float64
	}{
		{"heel", rigging.StretcherScale{Mark: rigging.MarkHeel}, 0.20},
		{"heel from the rigger's back", rigging.StretcherScale{Mark: rigging.MarkHeel, Offset: 0.04}, 0.24},
		{"toe", rigging.StretcherScale{Mark: rigging.MarkToe, ToeAlong: 0.28}, 0.4081},
		{"toe from the rigger's back", rigging.StretcherScale{Mark: rigging.MarkToe, ToeAlong: 0.28, Offset: 0.04}, 0.4481},
		{"hole", rigging.StretcherScale{Mark: rigging.MarkHole, Offset: 0.10, HolePitch: 0.02}, 5},
		{"holes numbered towards the bow", rigging.StretcherScale{Mark: rigging.MarkHole, Offset: 0.30, HolePitch: -0.02}, 5},
	} {
		near(t, row.name, row.scale.Reading(0.20, deg(42)), row.want, 0.0001)
		if err := row.scale.Check(); err != nil {
			t.Errorf("%s: %v", row.name, err)
		}
	}
}

// TestStretcherReadsBothWays for every mark.
func TestStretcherReadsBothWays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawn(t)
		for _, mark := range []rigging.StretcherMark{rigging.MarkHeel, rigging.MarkToe, rigging.MarkHole} {
			s := rigging.StretcherScale{Mark: mark, Offset: in(-0.5, 0.5), ToeAlong: in(0.2, 0.35), HolePitch: in(0.005, 0.05)}
			heel, plate := in(0, 0.6), deg(in(30, 55))
			near(t, string(mark), s.HeelToPin(s.Reading(heel, plate), plate), heel, 1e-12)
		}
	})
}

// TestSteeperPlatesBringTheToeNearer at the same heel.
func TestSteeperPlatesBringTheToeNearer(t *testing.T) {
	s := rigging.StretcherScale{Mark: rigging.MarkToe, ToeAlong: 0.28}
	near(t, "toe moves by", s.Reading(0.2, deg(45))-s.Reading(0.2, deg(40)), 0.28*(math.Cos(math.Pi/4)-math.Cos(math.Pi*40/180)), 1e-12)
}

func TestNearestHole(t *testing.T) {
	for _, row := range []struct {
		pitch, wanted float64
		hole          int
		off           float64
	}{{0.02, 0.204, 5, -0.004}, {0.02, 0.211, 6, 0.009}, {-0.02, 0.204, -5, -0.004}, {0.02, 0.072, -1, 0.008}} {
		s := rigging.StretcherScale{Mark: rigging.MarkHole, Offset: 0.10, HolePitch: row.pitch}
		hole, off := s.NearestHole(row.wanted)
		if hole != row.hole {
			t.Errorf("%g at %g: hole %d, want %d", row.wanted, row.pitch, hole, row.hole)
		}
		near(t, "off", off, row.off, 1e-12)
		near(t, "the heel in that hole", s.HeelToPin(float64(hole), 0), row.wanted+off, 1e-12)
	}
	defer func() {
		if recover() == nil {
			t.Error("a hole on a stretcher without holes")
		}
	}()
	(&rigging.StretcherScale{Mark: rigging.MarkHeel}).NearestHole(0.2)
}

func TestStretcherScaleRefusesWhatCannotBe(t *testing.T) {
	for _, row := range []struct {
		scale rigging.StretcherScale
		want  []string
	}{
		{rigging.StretcherScale{}, []string{"stretcher.mark"}},
		{rigging.StretcherScale{Mark: "shoe", Offset: 20}, []string{"stretcher.offset", "stretcher.mark"}},
		{rigging.StretcherScale{Mark: rigging.MarkToe}, []string{"stretcher.toe_along"}},
		{rigging.StretcherScale{Mark: rigging.MarkToe, ToeAlong: 28}, []string{"stretcher.toe_along"}},
		{rigging.StretcherScale{Mark: rigging.MarkHole}, []string{"stretcher.hole_pitch"}},
		{rigging.StretcherScale{Mark: rigging.MarkHole, HolePitch: 2}, []string{"stretcher.hole_pitch"}},
		{rigging.StretcherScale{Mark: rigging.MarkHole, HolePitch: 0.0019}, []string{"stretcher.hole_pitch"}},
		{rigging.StretcherScale{Mark: rigging.MarkHole, HolePitch: 0.0021}, nil},
		{rigging.StretcherScale{Mark: rigging.MarkHole, HolePitch: -0.0021}, nil},
		{rigging.StretcherScale{Mark: rigging.MarkHeel, HolePitch: 9}, nil},
	} {
		if got := fields(t, row.scale.Check()); !slices.Equal(got, row.want) {
			t.Errorf("%+v: %v, want %v", row.scale, got, row.want)
		}
	}
}
