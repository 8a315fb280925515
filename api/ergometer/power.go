package ergometer

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"thole/api/records"
	"thole/api/store"
	"thole/api/wire"
	"thole/rigging"
	"thole/selection"
	"thole/selection/erg"
)

// RacePowers holds what the ergometer says of everybody on one day: all tests
// and the newest masses. Whoever ranks, seats or judges athletes by the
// ergometer asks here, so that they cannot contradict one another.
type RacePowers struct {
	day    string
	tests  map[int64][]*store.ErgTest // newest first, those after the day, too
	Masses map[int64]float64          // kg
}

// racePower is the race power of one athlete, on land and as the water sees it.
type racePower struct {
	Land, Water erg.Estimate
	Tests       int // that it rests on
	used        []*store.ErgTest
	left        []unusedTest
	massless    bool // the mass cannot be used, and no change of it is counted
}

// unusedTest is a test that tells nothing, with the reason.
type unusedTest struct {
	test *store.ErgTest
	why  string
}

// RacePowers gathers tests and masses as of a day.
func (s *Service) RacePowers(ctx context.Context, day string) (*RacePowers, error) {
	tests, err := s.Store.ErgTestsSince(ctx, "0001-01-01")
	if err != nil {
		return nil, records.RecordError(err)
	}
	measures, err := s.Store.AllLatestMeasures(ctx, day)
	if err != nil {
		return nil, records.RecordError(err)
	}
	p := &RacePowers{day: day, tests: map[int64][]*store.ErgTest{}, Masses: map[int64]float64{}}
	for id := range measures {
		p.Masses[id] = wire.Or(measures[id].MassKg, 0)
	}
	for i := range tests {
		p.tests[tests[i].AthleteID] = append(p.tests[tests[i].AthleteID], &tests[i])
	}
	return p, nil
}

func ergTest(t *store.ErgTest) erg.Test {
	return erg.Test{Effort: erg.Effort{Distance: t.DistanceM, Time: t.TimeS}, Day: dayNumber(t.TestedOn), Mass: wire.Or(t.MassKg, 0)}
}

// Of estimates an athlete's race power; false without a usable test, the
// reasons then standing in left. A test that cannot be right tells nothing, and
// does not silence the others; nor does a mass outside the model's range.
func (p *RacePowers) Of(athlete int64) (r racePower, ok bool) {
	var tests []erg.Test
	for _, t := range p.tests[athlete] {
		if why := p.unusable(t); why != "" {
			r.left = append(r.left, unusedTest{t, why})
			continue
		}
		r.used, tests = append(r.used, t), append(tests, ergTest(t))
	}
	if r.Tests = len(tests); r.Tests == 0 {
		return r, false
	}
	model, day := erg.DefaultModel(), dayNumber(p.day)
	e, err := model.RacePower(tests, day, p.Masses[athlete])
	if err != nil {
		r.massless = true
		e, err = model.RacePower(tests, day, 0)
	}
	if err != nil {
		return r, false
	}
	r.Land, r.Water = e, e.OnWater(erg.WaterSD)
	return r, true
}

// unusable reports why a test tells nothing on the day, "" for one that does. The
// present knows nothing of the future, wherever it comes from.
func (p *RacePowers) unusable(t *store.ErgTest) string {
	if t.TestedOn > p.day {
		return "that day is still to come"
	}
	var bad rigging.FieldErrors
	if err := ergTest(t).Check(); !errors.As(err, &bad) {
		return ""
	}
	switch bad[0].Place.Last() {
	case selection.FieldDistance:
		return fmt.Sprintf("%g m cannot be right", t.DistanceM)
	case selection.FieldTime:
		return fmt.Sprintf("%g s cannot be right", t.TimeS)
	}
	return fmt.Sprintf("a mass of %g kg cannot be right", wire.Or(t.MassKg, 0))
}

// doubts are the sentences about tests that were used and should be looked at
// again, by index of the test.
func (r *racePower) doubts() map[int]string {
	found := map[int]string{}
	for _, d := range r.Land.Doubts {
		if found[d.Test] != "" {
			d.Text = found[d.Test] + "; " + d.Text
		}
		found[d.Test] = d.Text
	}
	return found
}

// Doubted lists the tests to look at again, each by its name.
func (r *racePower) Doubted() []string {
	list, doubts := []string{}, r.doubts()
	for i, t := range r.used {
		if text := doubts[i]; text != "" {
			list = append(list, testName(t)+": "+text+".")
		}
	}
	return list
}

// LeftOut lists the tests that were not used, each by its name.
func (r *racePower) LeftOut() []string {
	list := []string{}
	for _, l := range r.left {
		list = append(list, testName(l.test)+": "+l.why+".")
	}
	return list
}

// Gap reports why there is no race power.
func (r *racePower) Gap() string {
	if len(r.left) == 0 {
		return "no ergometer test"
	}
	return "no usable ergometer test: " + strings.TrimSuffix(strings.Join(r.LeftOut(), " "), ".")
}

// testName is how a test is called in sentences: 2000 m in 7:02.4 on
// 2026-01-10.
func testName(t *store.ErgTest) string {
	return fmt.Sprintf("%s in %s on %s", metres(t.DistanceM), wire.FormatTime(t.TimeS), t.TestedOn)
}

// metres writes a distance with all the digits that it has.
func metres(m float64) string { return strconv.FormatFloat(m, 'f', -1, 64) + " m" }

// dayNumber counts days; 0 for a text that is no day.
func dayNumber(day string) int {
	t, err := time.Parse(wire.DayLayout, day)
	if err != nil {
		return 0
	}
	return int(t.Unix() / 86400)
}
