package rigging_test

import (
	"testing"

	"thole/rigging"
)

// scull returns a single scull in a common rig.
func scull() rigging.Setup {
	class, _ := rigging.ClassByCode("1x")
	return rigging.Setup{
		Class: class, Span: 1.59, OarLength: 2.88, Inboard: 0.88, GateHeight: 0.165, GateDifference: 0.01,
		HeelToPin: 0.234, HeelDepth: 0.17, PlateAngle: 42 * rigging.Degree,
		SternPitch: 4 * rigging.Degree, SeatOverWater: rigging.DefaultSeatOverWater,
	}
}

// sweep returns a seat of an eight in a common rig.
func sweep() rigging.Setup {
	class, _ := rigging.ClassByCode("8+")
	return rigging.Setup{
		Class: class, Side: rigging.Port, Spread: 0.85, OarLength: 3.75, Inboard: 1.15, GateHeight: 0.165,
		HeelToPin: 0.20, HeelDepth: 0.17, PlateAngle: 42 * rigging.Degree,
		SternPitch: 4 * rigging.Degree, SeatOverWater: rigging.DefaultSeatOverWater,
	}
}

// adult returns a rower of whom stature, arm span and mass are known.
func adult() *rigging.Measures {
	return &rigging.Measures{Sex: rigging.Male, Stature: 1.85, ArmSpan: 1.90, Mass: 85}
}

func benchmarkSeat(b *testing.B, setup rigging.Setup) {
	m := adult()
	b.ReportAllocs()
	for b.Loop() {
		c := rigging.NewCase(setup, m)
		stroke, err := c.Solve()
		if err != nil {
			b.Fatal(err)
		}
		c.Sensitivities(&stroke)
		c.Uncertainty(&stroke)
	}
}

// BenchmarkScull solves one sculling seat from the body's measures, with
// sensitivities and uncertainty.
func BenchmarkScull(b *testing.B) { benchmarkSeat(b, scull()) }

// BenchmarkSweep does the same for a seat of an eight.
func BenchmarkSweep(b *testing.B) { benchmarkSeat(b, sweep()) }

// BenchmarkSolve is one forward solution of a known body.
func BenchmarkSolve(b *testing.B) {
	for name, setup := range map[string]rigging.Setup{"scull": scull(), "sweep": sweep()} {
		c := rigging.NewCase(setup, adult())
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := c.Solve(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkEstimate fills in one body.
func BenchmarkEstimate(b *testing.B) {
	m := adult()
	b.ReportAllocs()
	for b.Loop() {
		m.Estimate(rigging.DefaultTape)
	}
}
