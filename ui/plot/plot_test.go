package plot

import (
	"math"
	"strings"
	"testing"

	"thole/api/seat"
)

func is[T comparable](t *testing.T, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// texts are what stands at ticks.
func texts(list []tick) string {
	var words []string
	for _, t := range list {
		words = append(words, t.Text)
	}
	return strings.Join(words, " ")
}

func ticksOf(list []xTick) []tick {
	var plain []tick
	for _, t := range list {
		plain = append(plain, t.tick)
	}
	return plain
}

func TestPlotsHaveRoundScales(t *testing.T) {
	p := New("a", 100, [2]float64{0, 80}, [2]float64{3, 98}, "x", "y")
	is(t, "y", texts(p.YTicks), "0 20 40 60 80 100")
	is(t, "x", texts(ticksOf(p.XTicks)), "0 10 20 30 40 50 60 70 80")
	is(t, "every other one makes room", [3]bool{p.XTicks[0].Odd, p.XTicks[1].Odd, p.XTicks[2].Odd}, [3]bool{false, true, false})
	is(t, "shares of the width", p.XTicks[2].Left(), "25%")
	is(t, "the ends of y", [2]float64{p.Y.At(0), p.Y.At(100)}, [2]float64{plotTop + 100, plotTop})
	is(t, "the ends of x", [2]float64{p.X.At(0), p.X.At(80)}, [2]float64{0, plotWidth})
	is(t, "places of ticks", p.YTicks[1].At, p.Y.At(20))
	is(t, "places of x ticks", p.XTicks[1].At, p.X.At(10))
	is(t, "within", p.Under() > plotTop+100 && p.Foot() > p.Under() && p.Foot() < p.Height, true)
	p = New("a little below", 100, [2]float64{5, 5}, [2]float64{-1, 98}, "x", "y")
	is(t, "the axis stays", p.YTicks[0].Text, "0")
	is(t, "one value of x", p.X.Low < 5 && p.X.High > 5, true)
	is(t, "far below", New("", 100, [2]float64{0, 1}, [2]float64{-50, 98}, "", "").Y.Low < -49, true)
	p = New("flat", 100, [2]float64{0, 1}, [2]float64{0, 0}, "", "")
	is(t, "flat", p.Y.High > p.Y.Low, true)
}

func TestPlotsDraw(t *testing.T) {
	p := New("a", 100, [2]float64{0, 10}, [2]float64{0, 10}, "x", "y")
	p.Line("one", nil, nil)
	is(t, "nothing", len(p.Lines), 0)
	p.Line("one", []float64{0, 10}, []float64{0, 10})
	is(t, "line", p.Lines[0].Path, "M0 136L1000 36")
	p.Band("band", []float64{0, 10}, []float64{0, 0}, []float64{10, 10})
	is(t, "band", p.Areas[0].Path, "M0 36L1000 36L1000 136L0 136Z")
	p.Level("level", 5, "")
	is(t, "level", p.Lines[1].Path, "M0 86L1000 86")
	is(t, "no words", len(p.Notes), 0)
	p.Level("level", 5, "mean")
	is(t, "words above the line", p.Notes[0].Text == "mean" && p.Notes[0].Y < 86 && p.Notes[0].Left() == "100%", true)
	p.Note(5, 5, 3, -2, "start", "here")
	is(t, "note", p.Notes[1], Label{500, 3, 84, "start", "here"})
	is(t, "in the middle", p.Notes[1].Left(), "50%")
	p.Dot("peak", 2.5, 5)
	is(t, "dot", p.Dots[0].Left() == "25%" && p.Dots[0].At.Y == 86 && p.Dots[0].Class == "peak", true)
	p.Upright("level", 2.5)
	is(t, "upright", p.Lines[len(p.Lines)-1].Path, "M250 36L250 136")
	p.Below("water", 5)
	is(t, "below", p.Areas[len(p.Areas)-1].Path, Rectangle(0, 86, 1000, 136))
}

// solvedSeat is a seat as its numbers are drawn.
func solvedSeat(sides ...string) *seat.SeatSolution {
	s := &seat.SeatSolution{BoatClass: "8+"}
	s.CatchDeg, s.FinishDeg = -54.5, 34.2
	for _, side := range sides {
		s.Oars = append(s.Oars, seat.OarArc{Side: side, CatchDeg: -54.5, FinishDeg: 34.2})
	}
	s.Drawing.PinOutCm, s.Drawing.OuterCm, s.Drawing.InnerCm, s.Drawing.HandCm, s.Drawing.HalfShoulderCm = 84, 230, 112, 90, 18
	s.Drawing.AtCatch.Shoulder = seat.Point{XCm: 40, ZCm: 50}
	s.Gearing.AtCatch, s.Gearing.LeverRatio, s.Gearing.AtFinish = 3.9, 2.27, 2.74
	s.Gearing.Curve = []seat.GearingPoint{{AngleDeg: -54.5, Ratio: 3.9}, {AngleDeg: 0, Ratio: 2.27}, {AngleDeg: 34.2, Ratio: 2.74}}
	return s
}

func TestTheGearingIsDrawnToScale(t *testing.T) {
	one, two := solvedSeat("port"), solvedSeat("port")
	two.CatchDeg, two.Gearing.AtCatch = -61, 4.6
	c := NewChart(one, two)
	is(t, "angles without a sign", texts(c.XTicks), "70° 50° 30° 10° 10° 30°")
	is(t, "ratios", texts(c.YTicks), "0 1 2 3 4 5")
	is(t, "up is more", c.YTicks[5].At < c.YTicks[0].At && c.YTicks[5].At == chartTop && c.YTicks[0].At == chartTop+chartHeight, true)
	is(t, "right is later", c.XTicks[0].At == chartLeft && c.XTicks[1].At > c.XTicks[0].At, true)
	is(t, "curves", len(c.Curves) == 2 && c.Curves[0].Class != c.Curves[1].Class && len(c.Curves[1].Ends) == 0, true)
	is(t, "ends", strings.HasPrefix(c.Curves[0].Ends[0].Text, "3.9 ") && strings.HasPrefix(c.Curves[0].Ends[1].Text, "2.27 ") && strings.HasPrefix(c.Curves[0].Ends[2].Text, "2.7 "), true)
}

func TestTheGateStandsInItsWindow(t *testing.T) {
	s := solvedSeat("port")
	s.Heights.Window.LowCm, s.Heights.Window.HighCm, s.Heights.Window.SdCm, s.Drawing.GateCm = 15, 17, 0.5, 16
	d := NewGate(s)
	is(t, "scale", texts(d.Ticks), "13 14 15 16 17 18 19")
	is(t, "gate", d.Gate, d.Ticks[3].At)
	is(t, "window", d.Window.X == d.Ticks[2].At && d.Window.W == 2*24, true)
	is(t, "doubt", d.Doubt.X == d.Window.X-12 && d.Doubt.W == 3*24, true)
	is(t, "empty", d.Empty, false)
	s.Heights.Window.LowCm = 18
	is(t, "no window", NewGate(s).Empty && NewGate(s).Window.W == 0, true)
}

// TestTicksAlongStandAtRoundValues: 20 to 100 in about eight steps is every 10.
func TestTicksAlongStandAtRoundValues(t *testing.T) {
	var said []string
	for _, at := range New("", 100, [2]float64{20, 100}, [2]float64{0, 1}, "", "").XTicks {
		said = append(said, at.Text)
	}
	is(t, "ticks", strings.Join(said, " "), "20 30 40 50 60 70 80 90 100")
}

// TestWhatSticksOutBelowTheAxis: less than a twentieth of the height may, a twentieth
// gets its own place.
func TestWhatSticksOutBelowTheAxis(t *testing.T) {
	is(t, "a twentieth", New("", 100, [2]float64{0, 1}, [2]float64{-5, 100}, "", "").Y.Low < 0, true)
	is(t, "less", New("", 100, [2]float64{0, 1}, [2]float64{-4.9, 100}, "", "").Y.Low, 0.0)
}

func TestScalesAndExtents(t *testing.T) {
	s := Scale{Low: 10, High: 20, From: 100, To: 0}
	is(t, "low", s.At(10), 100)
	is(t, "middle", s.At(15), 50)
	is(t, "high", s.At(20), 0)
	is(t, "extent", Extent([2]float64{0, 1}, []float64{-2, 0.5}, []float64{3}), [2]float64{-2, 3})
	low, high := PlusMinus([]float64{1, 2}, []float64{0.5, 1})
	is(t, "bands", [4]float64{low[0], low[1], high[0], high[1]}, [4]float64{0.5, 1, 1.5, 3})
	is(t, "evenly", [3]float64(Evenly(3, 1, 2)), [3]float64{1, 1.5, 2})
	for v, want := range map[float64]float64{1: 1, 1.1: 2, 2.5: 5, 6: 10, 0.03: 0.05, 40: 50, 0: 1, 1e-12: 1, -5: 1} {
		if got := RoundStep(v); math.Abs(got-want) > 1e-12 {
			t.Errorf("step of %g: %g, want %g", v, got, want)
		}
	}
}

// TestTheChartOfTheGearing: its axis goes down the left edge and along the floor, and
// every tick stands on it.
func TestTheChartOfTheGearing(t *testing.T) {
	s := &seat.SeatSolution{CatchDeg: -58, FinishDeg: 33}
	s.Gearing.AtCatch, s.Gearing.AtFinish = 3.4, 2.6
	c := NewChart(s)
	left, floor, right := float64(chartLeft), float64(chartTop+chartHeight), float64(chartLeft+chartWidth)
	if want := Trace(Spot{left, chartTop}, Spot{left, floor}, Spot{right, floor}); c.Axis != want {
		t.Errorf("axis %s, want %s", c.Axis, want)
	}
	if first, last := c.XTicks[0], c.XTicks[len(c.XTicks)-1]; first.At != left || first.Text != "60°" || last.At > right || last.Text != "40°" {
		t.Errorf("%+v to %+v", first, last)
	}
	if low, high := c.YTicks[0], c.YTicks[len(c.YTicks)-1]; low.At != floor || low.Text != "0" || high.At < chartTop || high.Text != "4" {
		t.Errorf("%+v to %+v", low, high)
	}
}

// TestNumbersOfPlots: coordinates as SVG has them, ticks with a true minus sign (U+2212), and
// classes that come round again after eight.
func TestNumbersOfPlots(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Coord(1.005e1), "10.05"}, {Coord(-2), "-2"}, {Coord(0.5), "0.5"}, {Coord(100), "100"},
		{tickText(0.25, 0.05), "0.25"}, {tickText(-0.5, 0.5), "\u22120.5"}, {tickText(10, 5), "10"}, {tickText(1, 1), "1"}, {tickText(0.1, 0.1), "0.1"},
		{Dash(7), "series s7"}, {Dash(9), "series s1"},
	} {
		is(t, "text", c.got, c.want)
	}
}
