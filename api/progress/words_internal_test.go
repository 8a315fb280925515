package progress

import (
	"strings"
	"testing"
)

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

// TestWhatIsSaidOfProgress: that nothing is on record is said otherwise than that nothing
// recorded can be used; from two recordings on the newest comes first where something in it
// is real, and after the three surest trends where not.
func TestWhatIsSaidOfProgress(t *testing.T) {
	trend := func(said, verdict string, times float64) ProgressLine {
		return ProgressLine{Trend: &ProgressTrend{Said: said, Change: Change{Verdict: verdict, Times: times}}}
	}
	series := []ProgressLine{trend("c", "real", 3), {}, trend("no", "unclear", 9), trend("a", "real", 5), trend("d", "real", 2), trend("b", "real", 4)}
	newest := func(verdict string) *FeatureChanges {
		return &FeatureChanges{Said: "newest", List: []FeatureChange{{Change: Change{Verdict: verdict}}}}
	}
	for _, c := range []struct {
		w    *Progress
		used int
		want string
	}{
		{&Progress{}, 0, "No recording yet: import one, and progress is told from the second on."},
		{&Progress{Outings: []Outing{{}}}, 0, "No recording holds five strokes at one rate: there is nothing to follow yet."},
		{&Progress{Outings: []Outing{{}}}, 1, "One recording at this rate: progress is told from the second on."},
		{&Progress{Series: series, Before: newest("unclear")}, 2, "a b c newest"},
		{&Progress{Series: series, Before: newest("real")}, 2, "newest a b c"},
		{&Progress{Before: newest("same")}, 3, "newest"},
	} {
		if c.w.say(make([]*outing, c.used)); strings.Join(c.w.Said, " ") != c.want {
			t.Errorf("%q, want %q", c.w.Said, c.want)
		}
	}
}

// TestAReportListsThreeChangesBesideItsSentence, which holds the first two that are real;
// what is the same is left out.
func TestAReportListsThreeChangesBesideItsSentence(t *testing.T) {
	c := &Between{}
	for _, one := range []string{"real a", "same b", "real c", "unclear d", "rate e", "real f", "unclear g"} {
		verdict, said, _ := strings.Cut(one, " ")
		c.Changes.List = append(c.Changes.List, FeatureChange{Said: said, Change: Change{Verdict: verdict}})
	}
	if got := strings.Join(newSince(c).Changes, " "); got != "c d e" {
		t.Errorf("%q", got)
	}
}
