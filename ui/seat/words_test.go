package seat

import (
	"net/url"
	"strings"
	"testing"

	"thole/api/seat"
	"thole/ui/page"
)

// TestAnglesAreShownTowardsBothEnds: angles are negative towards the catch inside, and
// on the page both ends count from square: a catch of 64°, a finish of 44°.
func TestAnglesAreShownTowardsBothEnds(t *testing.T) {
	s := &seat.SeatSolution{CatchDeg: -64, FinishDeg: 44, ArcDeg: 108}
	s.Group.Level, s.Group.CatchDeg, s.Group.FinishDeg = "club", -62, 43
	s.Capacity.CatchDeg, s.Capacity.CatchSdDeg, s.Capacity.LimitedBy = -67, 3, "knee_flexion"
	v := &setupView{Solution: s}
	for i, want := range []string{"Catch 64", "Finish 44", "Arc 108"} {
		if f := v.Figures()[i]; f.Name+" "+f.Value != want {
			t.Errorf("%s %s, want %s", f.Name, f.Value, want)
		}
	}
	if got := v.BasisWords(); !strings.Contains(got, "expected of a club crew. Such rowers catch at 62° and finish at 43°.") {
		t.Error(got)
	}
	if got := reachNote(s, seat.Odds{})[0]; got != "The reach ends at 67° ± 3, at the knees." {
		t.Error(got)
	}
}

// TestAStretcherMovesFromHalfAStepOn: holes and marks are half a centimetre apart, so
// that less than a quarter moves nothing.
func TestAStretcherMovesFromHalfAStepOn(t *testing.T) {
	for by, want := range map[float64]int{0.25: 1, -0.25: 1, 0.24: 0, -0.24: 0, 0: 0} {
		p := &seatPage{typed: url.Values{}, request: new(seat.SolveRequest)}
		p.First = &setupView{Solution: &seat.SeatSolution{}}
		p.First.Solution.Stretcher.ByReading, p.First.Solution.Stretcher.ByCm, p.First.Solution.Stretcher.HeelToPinCm = true, by, 22
		if got := p.moves(nil); len(got) != want {
			t.Errorf("%g cm: %d moves, want %d", by, len(got), want)
		}
	}
}

// TestTheFirstStepThatLeadsSomewhereIsPrimary, unless two set-ups are compared.
func TestTheFirstStepThatLeadsSomewhereIsPrimary(t *testing.T) {
	p := &seatPage{typed: url.Values{}, request: new(seat.SolveRequest)}
	p.First = &setupView{Solution: &seat.SeatSolution{}}
	if steps := p.steps(nil); len(steps) != 1 || steps[0].Primary || !strings.HasPrefix(steps[0].Text, "Nothing needs to move") {
		t.Errorf("%+v", steps)
	}
	p.First.Solution.Verdict.MeasureRower = true
	if steps := p.steps(nil); len(steps) != 1 || !steps[0].Primary {
		t.Errorf("%+v", steps)
	}
	p.Second = p.First
	if steps := p.steps(nil); len(steps) != 1 || steps[0].Primary {
		t.Errorf("compared: %+v", steps)
	}
}

// TestTheRarerSettingsOpenWhereOneIsStated, or complained of.
func TestTheRarerSettingsOpenWhereOneIsStated(t *testing.T) {
	for name, c := range map[string]struct {
		p    seatPage
		want bool
	}{
		"nothing":   {seatPage{RigMore: []page.Input{{}}}, false},
		"a value":   {seatPage{RigMore: []page.Input{{Value: "4"}, {}}}, true},
		"a problem": {seatPage{Scale: []page.Input{{Problem: "not a number"}, {}}}, true},
		"a mark":    {seatPage{Mark: "hole"}, true},
	} {
		if got := c.p.MoreRig(); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
}
