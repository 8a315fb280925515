package strokes

import (
	"strings"
	"testing"

	"thole/api/advice"
	"thole/api/people"
	"thole/ui/usage"
)

// TestTheBladePathHasRoundTicksInTheReadersUnit: 40 cm are 15.7 in, and no tick stands at
// 15.7.
func TestTheBladePathHasRoundTicksInTheReadersUnit(t *testing.T) {
	c := &advice.CatchTry{Path: []advice.CatchPoint{{XCm: -40, EdgeCm: 5, TimeMs: -80}, {XCm: 0, EdgeCm: -2, TimeMs: 0, Covered: .5}, {XCm: 50, EdgeCm: -20, TimeMs: 90, Loaded: true}}}
	for rig, want := range map[string][2]string{
		"": {"along the water towards the bow, cm", "tick"}, people.Millimetres: {"along the water towards the bow, cm", "tick"},
		people.Inches: {"along the water towards the bow, in", "number"},
	} {
		p := catchPath(c, usage.Usage{Rig: rig})
		if p.XName != want[0] || p.Unit != want[1] {
			t.Errorf("%q: %q in %q", rig, p.XName, p.Unit)
		}
		var last string
		for _, tick := range p.XTicks {
			if last = tick.Text; strings.Contains(last, ".") {
				t.Errorf("%q: a tick at %s", rig, last)
			}
		}
		if inches := rig == people.Inches; (last == "15" || last == "20" || last == "10") != inches {
			t.Errorf("%q: the last tick is %s", rig, last)
		}
	}
}
