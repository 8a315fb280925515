package rigging_test

import (
	"testing"

	"thole/rigging"
)

// fitCases are seats to be fitted: the benchmarks' and some checks'.
func fitCases() map[string]rigging.Case {
	small := rigging.Measures{Sex: rigging.Female, Stature: 1.65, Mass: 58}
	return map[string]rigging.Case{
		"scull":       rigging.NewCase(scull(), adult()),
		"sweep":       rigging.NewCase(sweep(), adult()),
		"scull small": rigging.NewCase(scull(), &small),
		"sweep small": rigging.NewCase(sweep(), &small),
	}
}

// usualTargets aims at the class's ends of the arc and at the height where the
// hands meet the body.
func usualTargets(c rigging.Class) rigging.FitTargets {
	ends := longArc(c)
	return rigging.FitTargets{
		rigging.TargetCatch:      {Value: float64(ends.Catch)},
		rigging.TargetFinish:     {Value: float64(ends.Finish)},
		rigging.TargetDrawHeight: {},
	}
}

// BenchmarkFit fits one seat with all the settings that are commonly moved.
func BenchmarkFit(b *testing.B) {
	for name, c := range fitCases() {
		targets, adjust := usualTargets(c.Setup.Class), c.Setup.Adjustments()
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := c.Fit(targets, adjust); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
