package erg

import (
	"fmt"
	"math"

	"thole/rigging"
	"thole/selection"
)

// Test is one all-out test. Training pieces below full effort do not belong
// here: they would be taken for weakness.
type Test struct {
	Effort
	Day  int     // a count of days from any fixed day
	Mass float64 // kg on the day; 0 when it was not taken
}

// Check returns what is impossible about the test, or nil. Its fields are
// test.distance, test.time and test.mass.
func (t Test) Check() error {
	if errs := t.problems(rigging.PlaceOf(selection.FieldTest)); len(errs) > 0 {
		return errs
	}
	return nil
}

// problems are those of the effort and of the mass.
func (t Test) problems(at rigging.Place) rigging.FieldErrors {
	return append(t.Effort.problems(at), checkMass(at.Then(rigging.FieldMass), t.Mass)...)
}

func checkTests(tests []Test, day int, mass float64) error {
	if len(tests) == 0 {
		return selection.ErrorAt(rigging.PlaceOf(selection.FieldTests), rigging.ProblemMissing, "at least one test is needed")
	}
	errs := checkMass(rigging.PlaceOf(rigging.FieldMass), mass)
	for i, t := range tests {
		at := rigging.PlaceOf(selection.FieldTests).Item(i)
		errs = append(errs, t.problems(at)...)
		if t.Day > day {
			errs = append(errs, selection.ErrorAt(at.Then(selection.FieldDay), rigging.ProblemMismatch, "it lies after the day the estimate is for"))
		}
	}
	if len(errs) > 0 {
		return errs
	}
	return nil
}

// checkMass returns an error unless a mass at a place, in kg, is plausible or 0,
// which stands for unknown.
func checkMass(at rigging.Place, mass float64) rigging.FieldErrors {
	if mass == 0 {
		return nil
	}
	return outside(at, mass, minMass, maxMass, rigging.Mass)
}

// slowestPace is 5:00 per 500 m in s/m: slower entries are asked about
// (engineering judgement).
const slowestPace = 300.0 / 500

// envelope holds about the highest powers in W that anyone has rowed for a
// time in s, over 100 m, 500 m, 2000 m, 6000 m, an hour and a marathon (from
// memory, raised by a tenth to be on the safe side).
var envelope = [...]struct{ time, power float64 }{
	{12, 1780}, {70, 1100}, {335, 655}, {1075, 530}, {3600, 435}, {8400, 390},
}

// mostPower interpolates the envelope on logarithmic scales and holds its
// ends.
func mostPower(time float64) float64 {
	last := envelope[0]
	for _, next := range envelope {
		if time <= next.time {
			if next == last {
				return last.power
			}
			share := math.Log(time/last.time) / math.Log(next.time/last.time)
			return last.power * math.Pow(next.power/last.power, share)
		}
		last = next
	}
	return last.power
}

// Doubt reports in a sentence why the effort is hard to believe: more power than
// anyone has rowed for so long, or a pace slower than 5:00 per 500 m. It is
// "" for an ordinary effort. Like Pace it panics unless distance and time are
// positive, and like FormatTime on a time beyond a year.
func (e Effort) Doubt() string {
	shown := fmt.Sprintf("%s over %.0f m", FormatTime(e.Time), e.Distance)
	if pace := e.Pace(); pace == 0 || math.IsInf(pace, 1) { // a distance or time of next to nothing
		return shown + " is no pace that can be rowed"
	}
	if most := mostPower(e.Time); e.Power() > most {
		return fmt.Sprintf("%s asks for %.0f W, beyond the %.0f W of the best ever", shown, e.Power(), most)
	}
	if e.Pace() > slowestPace {
		return fmt.Sprintf("%s is slower than %s per 500 m", shown, FormatTime(slowestPace*500))
	}
	return ""
}
