package setup

import (
	"math"
	"net/url"
	"strings"
	"testing"

	"thole/api/seat"
	"thole/api/setup"
)

func is[T comparable](t *testing.T, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// TestTheCatchIsToldWithoutItsSign: before square is negative inside, and a plain
// number to people.
func TestTheCatchIsToldWithoutItsSign(t *testing.T) {
	catch := wantedEntry(seat.CommonTarget{Target: "catch_deg", Wanted: -58.5})
	is(t, "catch", catch.Value, "58.5°")
	is(t, "finish", wantedEntry(seat.CommonTarget{Target: "finish_deg", Wanted: 42}).Value, "42.0°")
	is(t, "finish before square", wantedEntry(seat.CommonTarget{Target: "finish_deg", Wanted: -1}).Value, "\u22121.0°")
	chosen := wantedEntry(seat.CommonTarget{Target: "catch_deg", Wanted: -58.5, Chosen: true})
	is(t, "chosen", strings.HasPrefix(chosen.Value, "58.5°") && chosen.Value != catch.Value, true)
	for _, c := range []struct {
		target string
		by     float64
		size   string
	}{{"catch_deg", 1.25, "1.3°"}, {"finish_deg", -2, "2.0°"}, {"lever_ratio", -0.126, "0.13"}, {"draw_height_cm", 1, "1.0 cm"}, {"overlap_cm", -1, "1.0 cm"}} {
		one, other := missText(c.target, c.by), missText(c.target, -c.by)
		is(t, c.target, strings.Contains(one, c.size) && strings.Contains(other, c.size) && one != other, true)
	}
	// A catch that is too far along is short of the arc, a finish is long.
	is(t, "short and long", strings.HasSuffix(missText("catch_deg", 1), "short") && strings.HasSuffix(missText("finish_deg", 1), "long"), true)
}

func TestTargetsAreTypedWithoutTheSign(t *testing.T) {
	p := &crewSetPage{typed: url.Values{"catch_deg": {"58.5"}, "finish_deg": {"42"}, "lever_ratio": {"2.2"}}, bad: map[string]string{}}
	got := p.targets()
	is(t, "catch", got.CatchDeg.Value, -58.5)
	is(t, "finish", got.FinishDeg.Value, 42)
	is(t, "ratio", got.LeverRatio.Value, 2.2)
}

// TestArcsAreDrawnFromCatchToFinish with square between them.
func TestArcsAreDrawnFromCatchToFinish(t *testing.T) {
	s := &setup.Setup{Targets: []seat.CommonTarget{{Target: "catch_deg", Wanted: -64}, {Target: "finish_deg", Wanted: 44}}}
	one := setup.SetupSeat{Number: 1, Name: "Ann", Found: &setup.ArcEnds{CatchDeg: -66, FinishDeg: 30}, Result: &setup.SeatOutcome{}}
	one.Result.CatchDeg, one.Result.FinishDeg = -63.5, 43.5
	one.Unmet = []seat.UnmetTarget{{Target: "finish_deg"}}
	s.Seats = []setup.SetupSeat{one, {Number: 2, Name: strings.Repeat("x", 30)}}
	c := newArcChart(s)
	x := func(deg float64) float64 { return arcLeft + arcWidth*(deg+66)/(44+66) }
	row := c.Rows[0]
	for what, pair := range map[string][2]float64{
		"square": {c.Square.X1, x(0)}, "catch wanted": {c.Catch.X1, x(-64)}, "finish wanted": {c.Finish.X1, x(44)}, "bar": {row.Bar.X1, x(-63.5)}, "its end": {row.Bar.X2, x(43.5)},
		"was": {row.Was.X1, x(-66)}, "was to": {row.Was.X2, x(30)}, "rows": {c.Rows[1].LabelAt.Y - row.LabelAt.Y, arcRowHigh},
	} {
		if math.Abs(pair[0]-pair[1]) > 1e-9 {
			t.Errorf("%s: %g, want %g", what, pair[0], pair[1])
		}
	}
	is(t, "told", row.CatchAt.Text+row.FinishAt.Text+c.FinishAt.Text, "63.5°43.5°44.0°")
	is(t, "wanted", strings.Contains(c.CatchAt.Text, " 64.0°"), true)
	is(t, "on target", row.CatchOn && !row.FinishOn, true)
	is(t, "cut", len([]rune(c.Rows[1].Label)), 20)
	is(t, "nothing known", c.Rows[1].Was == nil && c.Rows[1].Bar.X1 == 0, true)
}
