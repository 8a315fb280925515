package speed

import (
	"testing"

	"thole/rigging"
)

// single is the base of the checks: a sculler of 80 kg with 2.88/0.88 m
// sculls, −64° to 44°, 32 strokes a minute, 390 N a hand.
func single() Stroke {
	return Stroke{Hull: 14, Drag: 3.16, Rate: 32, Seats: []Seat{{
		Mass: 80, Oars: 2, LeverIn: 0.84, LeverOut: 1.76, Catch: -64 * rigging.Degree, Finish: 44 * rigging.Degree,
		Peak: 390, Shape: Hump(0.40), Travel: 0.62, PickUp: 7, BladeArea: 0.082, BladeForce: 2.07, BladeHeight: ScullBladeHeight,
	}}}
}

func solve(t testing.TB, s Stroke) Steady {
	t.Helper()
	out, err := s.Solve()
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestBaseSingle(t *testing.T) {
	s := single()
	out := solve(t, s)
	t.Log(out.Time(2000), out.Low, out.High, out.Seats, out.Cycle, out.Net())
}

func BenchmarkSteadyStroke(b *testing.B) {
	s := single()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Solve(); err != nil {
			b.Fatal(err)
		}
	}
}
