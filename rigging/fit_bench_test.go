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

// eight returns a crew of eight in a common rig, bodies between short and tall
// by spread m of stature either way.
func eight(spread float64) *rigging.CrewTask {
	task := &rigging.CrewTask{Targets: usualTargets(class("8+"))}
	for i := range 8 {
		seat := sweep()
		if i%2 == 0 {
			seat.Side = rigging.Starboard
		}
		m := rigging.Measures{Sex: rigging.Male, Stature: 1.88 + spread*(float64(i*3%8)-3.5)/3.5, Mass: 85}
		task.Seats = append(task.Seats, rigging.CrewSeat{Case: rigging.NewCase(seat, &m)})
	}
	first := task.Seats[0].Case.Setup
	task.Adjust = first.Adjustments()
	return task
}

// BenchmarkFitCrew fits an eight: bodies that suit one rig, bodies that differ
// too much, and targets to be chosen.
func BenchmarkFitCrew(b *testing.B) {
	free := eight(0.05)
	free.Targets = nil
	for name, task := range map[string]*rigging.CrewTask{"alike": eight(0.05), "unlike": eight(0.20), "free": free} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := rigging.FitCrew(task); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
