package stroke

import (
	"testing"

	"thole/rigging"
)

// TestColumnsThatRunOverAnArc: from before square to after it, over 30 to 150°, or in
// radians.
func TestColumnsThatRunOverAnArc(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		arc       bool
	}{{-60, 40, true}, {-15, 15, false}, {-16, 15, true}, {-75, 75, false}, {-74, 75, true}, {0, 60, false}, {-60, 0, false}, {-1.05, 0.7, true}, {10, 60, false}} {
		if got := isArc(c.low, c.high); got != c.arc {
			t.Errorf("%g to %g: %t", c.low, c.high, got)
		}
	}
}

// TestSeatsOfHeadings: 1 to 99, bow or stroke.
func TestSeatsOfHeadings(t *testing.T) {
	for word, want := range map[string]string{"0": "", "1": "1", "99": "99", "100": "", "-3": "", "07": "7", "bow": "bow", "stroke": "stroke", "seat": ""} {
		if got, _ := seatOf([]string{word}); got != want {
			t.Errorf("%q: %q, want %q", word, got, want)
		}
	}
}

// TestSpikesStandOutOnOneSide of both neighbours, by more than the limit, in time.
func TestSpikesStandOutOnOneSide(t *testing.T) {
	const more, less = spike * 1.1, spike * 0.9
	for _, c := range []struct {
		last, next, t float64
		is            bool
	}{{more, 0, 0.02, true}, {-more, 0, 0.02, true}, {less, 0, 0.02, false}, {-less, 0, 0.02, false}, {more, more, 0.02, false}, {-more, -more, 0.02, false}, {more, more - less, 0.02, false}, {more, 0, spikeTime * 1.01, false}} {
		s := &segmenter{}
		s.append(sample{t: 0, angle: 0})
		if s.isSpike(sample{t: 0.01, angle: -c.last}) {
			t.Error("a spike with nothing before it")
		}
		s.append(sample{t: c.t / 2, angle: c.last})
		if got := s.isSpike(sample{t: c.t, angle: c.next}); got != c.is {
			t.Errorf("0, %g, %g rad in %g s: %t", c.last, c.next, c.t, got)
		}
	}
}

// TestAnOffsetNearARightAngleIsOfTheKeel: within 15° of 90° to either side, else it is the
// gate's own.
func TestAnOffsetNearARightAngleIsOfTheKeel(t *testing.T) {
	deg := float64(rigging.Degree)
	for _, c := range []struct{ off, proposed float64 }{{76, 90}, {104, 90}, {74, 74}, {106, 106}, {-76, -90}, {-74, -74}} {
		o := &OarReport{}
		o.Features[CatchAngle].Mean, o.Features[FinishAngle].Mean = midArc+(c.off-50)*deg, midArc+(c.off+50)*deg
		o.askAngleZero()
		if len(o.Questions) != 1 || diff(o.Questions[0].Proposed/deg, c.proposed) > 1e-9 {
			t.Errorf("%g°: %+v", c.off, o.Questions)
		}
	}
}

func diff(a, b float64) float64 { return max(a-b, b-a) }

// TestDaysOfTheCalendarFrom2001: loggers that were never set write 1970, 1980 or 2000.
func TestDaysOfTheCalendarFrom2001(t *testing.T) {
	for day, want := range map[[3]int]bool{
		{2000, 12, 31}: false, {2001, 1, 1}: true, {2099, 12, 31}: true, {2100, 1, 1}: false, {2024, 2, 29}: true, {2026, 2, 29}: false, {2026, 13, 1}: false, {2026, 4, 31}: false,
	} {
		if got, ok := newDay(day[0], day[1], day[2]); ok != want || ok && (got.Year != day[0] || got.Month != day[1] || got.Day != day[2]) {
			t.Errorf("%v: %+v %t", day, got, ok)
		}
	}
}
