package plot

import (
	"encoding/json"
	"testing"

	"thole/api/apitest/same"
	"thole/api/seat"
)

// TestPlotsAreAsLookedOver: scales, ticks, curves and words of plots of every kind
// of range, and of the drawings of a seat.
func TestPlotsAreAsLookedOver(t *testing.T) {
	var lines []string
	add := func(name string, v any) {
		body, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		lines = append(lines, name+" "+string(body))
	}
	for _, c := range []struct {
		name string
		x, y [2]float64
	}{
		{"force", [2]float64{-62, 43}, [2]float64{0, 812}}, {"a swing below", [2]float64{0, 2.4}, [2]float64{-3, 98}}, {"below", [2]float64{0, 2.4}, [2]float64{-30, 98}},
		{"at the limit", [2]float64{0, 1}, [2]float64{-5, 100}}, {"level", [2]float64{3, 3}, [2]float64{7, 7}}, {"small", [2]float64{0.1, 0.4}, [2]float64{0.02, 0.09}},
		{"one", [2]float64{0, 8}, [2]float64{0, 5}}, {"ten", [2]float64{0, 80}, [2]float64{0, 50}}, {"nothing", [2]float64{0, 0}, [2]float64{0, 0}},
	} {
		p := New(c.name, 200, c.x, c.y, "x", "y")
		add("plot", []any{p, p.Under(), p.Foot()})
		for _, tick := range p.XTicks {
			add("left", tick.Left())
		}
	}
	one, two := solvedSeat("port"), solvedSeat("port")
	two.CatchDeg -= 7
	two.Gearing.AtCatch += 1.3
	for i := range 5 {
		one.Gearing.Curve = append(one.Gearing.Curve, seat.GearingPoint{AngleDeg: float64(-60 + 25*i), Ratio: 2.2 + 0.3*float64((i-2)*(i-2))})
	}
	add("gearing of one", NewChart(one))
	add("gearing of two", NewChart(one, two))
	for _, gate := range []float64{11, 15.5, 22} {
		s := solvedSeat("port")
		s.Drawing.GateCm = gate
		s.Heights.Window.LowCm, s.Heights.Window.HighCm, s.Heights.Window.SdCm = 14, 17, 0.8
		add("gate", NewGate(s))
		s.Heights.Window.LowCm = 18
		add("no gate", NewGate(s))
	}
	same.Lines(t, "testdata/plots.txt", lines)
}
