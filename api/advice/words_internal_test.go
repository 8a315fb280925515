package advice

import (
	"strings"
	"testing"
)

// TestMomentsInWords: half a millisecond is one, less is none.
func TestMomentsInWords(t *testing.T) {
	for s, want := range map[float64]string{
		-.0006: "1 ms before", -.0005: "1 ms before", -.0004: "0 ms", 0: "0 ms", .0004: "0 ms", .0005: "1 ms after", .0006: "1 ms after", .05: "50 ms after",
	} {
		if got := momentText(s); got != want {
			t.Errorf("%g s: %q, want %q", s, got, want)
		}
	}
}

// TestTheVerdictOnAMoment: a millisecond off is right, more is not; what is usual is never
// told to be moved.
func TestTheVerdictOnAMoment(t *testing.T) {
	v := 1.0
	own, usual := &CatchRequest{HeightCm: &v, SinkMS: &v, MomentMs: &v}, &CatchRequest{}
	for _, c := range []struct {
		at          float64
		own, within string
	}{
		{-41.1, "Too early: the blade backs water; start it down 1 ms later.", "blade starts down 1 ms too early"},
		{-41, "The moment is right for this height and speed", "moment is right"},
		{-30, "The moment is right for this height and speed", "moment is right"},
		{-19, "The moment is right for this height and speed", "moment is right"},
		{-18.9, "Too late: 5.0° are missed before the blade holds; start it down 1 ms sooner.", "blade starts down 1 ms too late"},
	} {
		w := &CatchTry{MomentMs: c.at, LoadDeg: 5, BestForce: CatchCost{MomentMs: -40}, BestPower: CatchCost{MomentMs: -20}}
		if w.say(own); !strings.HasPrefix(w.Said, c.own) || w.Next != "" {
			t.Errorf("%g ms: %q %q", c.at, w.Said, w.Next)
		}
		w.say(usual)
		if !strings.HasPrefix(w.Said, "With these usual figures the "+c.within) || w.Next != "Enter how the blade goes in before you change anything." {
			t.Errorf("%g ms, usual figures: %q %q", c.at, w.Said, w.Next)
		}
	}
	for _, r := range []*CatchRequest{{HeightCm: &v, SinkMS: &v}, {HeightCm: &v, MomentMs: &v}, {SinkMS: &v, MomentMs: &v}} {
		if r.stated() {
			t.Errorf("%+v is the rower's own", r)
		}
	}
}
