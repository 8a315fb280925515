package page

import (
	"math"
	"strings"
	"testing"

	"thole/api/seat"
)

// texts are what stands at ticks.
func texts(list []tick) string {
	var words []string
	for _, t := range list {
		words = append(words, t.Text)
	}
	return strings.Join(words, " ")
}

func TestPlotsHaveRoundScales(t *testing.T) {
	p := NewPlot("a", 100, [2]float64{0, 80}, [2]float64{3, 98}, "x", "y")
	is(t, "y", texts(p.YTicks), "0 20 40 60 80 100")
	is(t, "x", texts(p.XTicks), "0 10 20 30 40 50 60 70 80")
	is(t, "the ends of y", [2]float64{p.Y.At(0), p.Y.At(100)}, [2]float64{PlotTop + 100, PlotTop})
	is(t, "the ends of x", [2]float64{p.X.At(0), p.X.At(80)}, [2]float64{PlotLeft, PlotLeft + plotWidth})
	is(t, "places of ticks", p.YTicks[1].At, p.Y.At(20))
	is(t, "places of x ticks", p.XTicks[1].At, p.X.At(10))
	is(t, "right", p.Right(), PlotLeft+plotWidth)
	is(t, "within", p.Under() > PlotTop+100 && p.Foot() > p.Under() && p.Foot() < p.Box.H && p.Right() < p.Box.W, true)
	p = NewPlot("a little below", 100, [2]float64{5, 5}, [2]float64{-1, 98}, "x", "y")
	is(t, "the axis stays", p.YTicks[0].Text, "0")
	is(t, "one value of x", p.X.Low < 5 && p.X.High > 5, true)
	is(t, "far below", NewPlot("", 100, [2]float64{0, 1}, [2]float64{-50, 98}, "", "").Y.Low < -49, true)
	p = NewPlot("flat", 100, [2]float64{0, 1}, [2]float64{0, 0}, "", "")
	is(t, "flat", p.Y.High > p.Y.Low, true)
}

func TestPlotsDraw(t *testing.T) {
	p := NewPlot("a", 100, [2]float64{0, 10}, [2]float64{0, 10}, "x", "y")
	p.Line("one", nil, nil)
	is(t, "nothing", len(p.Lines), 0)
	p.Line("one", []float64{0, 10}, []float64{0, 10})
	is(t, "line", p.Lines[0].Path, "M54 136L594 36")
	p.Band("band", []float64{0, 10}, []float64{0, 0}, []float64{10, 10})
	is(t, "band", p.Areas[0].Path, "M54 36L594 36L594 136L54 136Z")
	p.Strip("strip", 5, 5)
	is(t, "no strip", len(p.Areas), 1)
	p.Strip("strip", 0, 5)
	is(t, "strip", p.Areas[1].Path, "M54 36H324V136H54Z")
	p.Level("level", 5, "")
	is(t, "level", p.Lines[1].Path, "M54 86L594 86")
	is(t, "no words", len(p.Notes), 0)
	p.Level("level", 5, "mean")
	is(t, "words above the line", p.Notes[0].Text == "mean" && p.Notes[0].At.Y < 86 && p.Notes[0].At.X == 594, true)
	p.Note(5, 5, 3, -2, "start", "here")
	is(t, "note", p.Notes[1].At, Spot{327, 84})
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

// TestThePlanIsSeenFromAbove: the bow is up, so that at the catch the blade
// points up; starboard is right. Angles are told as people do, before and past
// square.
func TestThePlanIsSeenFromAbove(t *testing.T) {
	port, starboard := NewPlan(solvedSeat("port")), NewPlan(solvedSeat("starboard"))
	for name, c := range map[string]struct {
		plan PlanDrawing
		sign float64
	}{"port": {port, -1}, "starboard": {starboard, 1}} {
		o := c.plan.Oars[0]
		is(t, name+" pin", o.Pin, Spot{c.sign * 84, 0})
		is(t, name+" letter", o.Letter, strings.ToUpper(name[:1]))
		is(t, name+" catch", o.CatchText, "54.5°")
		is(t, name+" finish", o.FinishText, "34.2°")
		if !(o.CatchAt.Y < -150 && o.FinishAt.Y > 100 && c.sign*o.CatchAt.X > 84 && c.sign*o.FinishAt.X > 84) {
			t.Errorf("%s: catch at %v, finish at %v", name, o.CatchAt, o.FinishAt)
		}
		// The hands are on the other side of the pin, towards the stern at the catch.
		if catch, square, finish := o.Hands[0], o.Hands[1], o.Hands[2]; !(catch.Y > 0 && finish.Y < 0 && math.Abs(square.Y) < 1e-9 && math.Abs(square.X-c.sign*(84-90)) < 1e-9) {
			t.Errorf("%s: hands %v", name, o.Hands)
		}
		// Shaft and blade meet, half a blade inside its middle.
		square := o.Blades[1]
		is(t, name+" blade", [2]float64{c.sign * square.X1, c.sign * square.X2}, [2]float64{84 + 230 - 27, 84 + 230 + 27})
		is(t, name+" shaft", o.Shafts[1].X2, square.X1)
		is(t, name+" within", c.plan.Box.X < min(o.CatchAt.X, o.Pin.X) && c.plan.Box.X+c.plan.Box.W > max(o.CatchAt.X, o.Pin.X), true)
		is(t, name+" cropped", c.plan.Box.W < 2*(84+230+27+26), true)
		is(t, name+" mark", o.PinBox(), Spot{o.Pin.X - 5, -5})
	}
	if !strings.Contains(port.Title, "54.5°") || strings.Contains(port.Title, "\u2212") || !strings.Contains(port.Title, "34.2°") {
		t.Errorf("%q", port.Title)
	}
	scull := NewPlan(solvedSeat("port", "starboard"))
	is(t, "two oars", len(scull.Oars) == 2 && len(scull.Arms) == 2, true)
	is(t, "whole width", scull.Box.W, -2*scull.Box.X)
	is(t, "shorter blade", scull.Oars[1].Blades[1].X2, 84+230+22.0)
	is(t, "arms on their own sides", scull.Arms[0].X1 == math.Copysign(18, scull.Oars[0].Hands[0].X) && scull.Arms[1].X1 == -scull.Arms[0].X1, true)
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

// TestTheElbowIsBehind: upper arm and forearm are equally long, and of the two
// elbows it is the one towards the bow.
func TestTheElbowIsBehind(t *testing.T) {
	p := seat.Pose{Shoulder: seat.Point{XCm: 0, ZCm: 50}, Hand: seat.Point{XCm: 0, ZCm: 20}}
	is(t, "bent", bentArm(p, 50), "M0 -50L-20 -35L0 -20")
	is(t, "straight", bentArm(p, 30), "M0 -50L0 -35L0 -20")
}

func TestTheRowerFromTheSide(t *testing.T) {
	s := solvedSeat("port")
	s.Posture.LeanDeg, s.Posture.LaybackDeg = 25, 28
	s.Drawing.AtFinish.Shoulder = seat.Point{XCm: -30, ZCm: 48}
	catch, finish := NewSides(s)
	is(t, "one scale", catch.Box, finish.Box)
	is(t, "up is up", catch.Trunk.Y2, -50)
	is(t, "leaning sternwards", catch.Head.X > 40 && catch.Head.Y < -50, true)
	is(t, "leaning back", finish.Head.X < -30 && finish.Head.Y < -48, true)
	lifted := len(catch.Notes)
	s.HeelLiftDeg = 5
	catch, _ = NewSides(s)
	is(t, "a lifted heel is told", len(catch.Notes), lifted+1)
}

// TestTheSideIsDrawnToScale: the foot plate is 35 cm long, the sole reaches as far
// beyond the ball as a foot is long, and the scale is half a metre.
func TestTheSideIsDrawnToScale(t *testing.T) {
	s := solvedSeat("port")
	s.Drawing.PlateDeg, s.Drawing.GateCm, s.Heights.SeatOverWaterCm = 42, 17, 7.5
	s.Drawing.AtCatch.Ball, s.Drawing.AtCatch.Heel = seat.Point{XCm: 74, ZCm: -10}, seat.Point{XCm: 0, ZCm: -20}
	s.Drawing.AtCatch.Hip, s.Drawing.AtFinish.Hip = seat.Point{XCm: -20, ZCm: 8}, seat.Point{XCm: -80, ZCm: 8}
	d := newSide(s, &s.Drawing.AtCatch)
	near := func(what string, got, want float64) {
		t.Helper()
		if !(math.Abs(got-want) < 1e-9) {
			t.Errorf("%s: %g, want %g", what, got, want)
		}
	}
	near("plate", math.Hypot(d.Plate.X2-d.Plate.X1, d.Plate.Y2-d.Plate.Y1), 35)
	near("its angle", math.Atan2(d.Plate.Y1-d.Plate.Y2, d.Plate.X2-d.Plate.X1), rad(42))
	near("sole along", d.Sole.X2-d.Sole.X1, 100)
	near("sole up", d.Sole.Y1-d.Sole.Y2, 10/0.74)
	near("scale", d.Scale.X2-d.Scale.X1, 50)
	near("water", d.Water.Y1, 7.5)
	near("gate", d.Pin.Y, -17)
	near("gate's foot and head", d.Gate.Y2-d.Gate.Y1, 17+7+4)
	near("rail", d.Rail.X1, -94)
	near("rail to", d.Rail.X2, -4)
	near("seat", d.Seat.X+d.Seat.W/2, -20)
	near("on one level", d.Rail.Y1, d.Rail.Y2)
	catch, _ := NewSides(s)
	near("view from above the shoulder", catch.Box.Y, -(50 + 42))
	near("view to below the water", catch.Box.Y+catch.Box.H, 36)
	near("view from behind the hip", catch.Box.X, -80-74)
	near("view beyond the foot", catch.Box.X+catch.Box.W, 74+66)
}

// TestHullsAndBoxesOfThePlan: larger boats are wider, and the bow is at the top.
func TestHullsAndBoxesOfThePlan(t *testing.T) {
	is(t, "hull", hull(10, -50, 60), "M-8 -50L-10 0L-9 60L9 60L10 0L8 -50Z")
	eight, other := solvedSeat("port"), solvedSeat("port")
	other.BoatClass = "1"
	is(t, "wider", NewPlan(eight).Hull != NewPlan(other).Hull && strings.Contains(NewPlan(eight).Hull, "L-20 0") && strings.Contains(NewPlan(other).Hull, "L-14 0"), true)
	p := NewPlan(eight)
	top := (230+27)*math.Sin(rad(-54.5)) - 34
	if math.Abs(p.Box.Y-top) > 1e-9 || math.Abs(p.BowAt.Y-top-14) > 1e-9 || math.Abs(p.Box.Y+p.Box.H-((230+27)*math.Sin(rad(34.2))+34)) > 1e-9 {
		t.Errorf("box %+v, bow at %v", p.Box, p.BowAt)
	}
	is(t, "line of work", p.Work, Line{-84, 0, 84, 0})
	is(t, "box of port", p.Box.W == 84+230+27+26+70 && p.Box.X == -(84+230+27+26), true)
	is(t, "box of starboard", NewPlan(solvedSeat("starboard")).Box.X, -70)
	is(t, "written", Box{-1.5, 2, 3, 4}.String(), "-1.5 2 3 4")
}

func TestTheAxesOfAPlot(t *testing.T) {
	p := NewPlot("a", 100, [2]float64{0, 80}, [2]float64{0, 100}, "x", "y")
	is(t, "axis", p.Axis, "M54 36L54 136L594 136")
	is(t, "box", p.Box, Box{0, 0, 608, 184})
	is(t, "under the axis", p.Under(), 154)
	is(t, "foot", p.Foot(), 178)
	is(t, "from an odd value", texts(NewPlot("", 100, [2]float64{3, 83}, [2]float64{0, 1}, "", "").XTicks), "10 20 30 40 50 60 70 80")
	is(t, "parts", tickText(0.1, 0.1)+" "+tickText(0.05, 0.05)+" "+tickText(0.2, 0.2), "0.1 0.05 0.2")
}
