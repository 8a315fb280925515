package progress

import "testing"

// TestTwoChangesAtMostInOneSentence: those that are real, the first two.
func TestTwoChangesAtMostInOneSentence(t *testing.T) {
	change := func(said, verdict string) FeatureChange {
		return FeatureChange{Said: said, Change: Change{Verdict: verdict}}
	}
	for _, c := range []struct {
		list []FeatureChange
		want string
	}{
		{nil, "Nothing was measured in both recordings."},
		{[]FeatureChange{change("Arc longer", "real")}, "Against May: arc longer."},
		{[]FeatureChange{change("Arc longer", "same"), change("Slip less", "real")}, "Against May: slip less."},
		{[]FeatureChange{change("Arc longer", "real"), change("Power more", "unclear"), change("Slip less", "real"), change("Peak later", "real")}, "Against May: arc longer; slip less."},
	} {
		w := &FeatureChanges{List: c.list, SameRate: true}
		if w.say("May"); w.Said != c.want {
			t.Errorf("%q, want %q", w.Said, c.want)
		}
	}
}

// TestStrokesAboutARate lie within the window to either side, its ends included.
func TestStrokesAboutARate(t *testing.T) {
	p := &profile{}
	for _, rate := range []float64{30 - RateWindow - 0.01, 30 - RateWindow, 30, 30 + RateWindow, 30 + RateWindow + 0.01} {
		values := make([]float64, len(features))
		values[len(features)-1] = rate
		p.values = append(p.values, values)
	}
	if n, mean := p.count(30); n != 3 || mean != 30 {
		t.Errorf("%d strokes at a mean of %g, want 3 at 30", n, mean)
	}
	if n, mean := p.count(50); n != 0 || mean != 0 {
		t.Errorf("%d strokes at a mean of %g, want none", n, mean)
	}
}
