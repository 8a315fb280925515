package api

import (
	"context"
	"slices"
	"time"

	"thole/api/store"
	"thole/selection/erg"
)

// racePowers holds what the ergometer says of everybody on one day: all tests
// up to that day and the newest masses. Whoever ranks, seats or judges athletes
// by the ergometer asks here, so that they cannot contradict one another.
type racePowers struct {
	day    int
	tests  map[int64][]erg.Test
	masses map[int64]float64 // kg
}

// racePower is the race power of one athlete, on land and as the water sees it.
type racePower struct {
	land, water erg.Estimate
	tests       int // that it rests on
}

// racePowers gathers tests and masses as of a day.
func (s *Service) racePowers(ctx context.Context, day string) (*racePowers, error) {
	tests, err := s.store.ErgTestsSince(ctx, "0001-01-01")
	if err != nil {
		return nil, recordError(err)
	}
	measures, err := s.store.AllLatestMeasures(ctx, day)
	if err != nil {
		return nil, recordError(err)
	}
	p := &racePowers{day: dayNumber(day), tests: map[int64][]erg.Test{}, masses: map[int64]float64{}}
	for id := range measures {
		p.masses[id] = or(measures[id].MassKg, 0)
	}
	for i := range tests {
		// The present knows nothing of the future, wherever it comes from.
		if t := ergTest(&tests[i]); t.Day <= p.day {
			p.tests[tests[i].AthleteID] = append(p.tests[tests[i].AthleteID], t)
		}
	}
	return p, nil
}

func ergTest(t *store.ErgTest) erg.Test {
	return erg.Test{Effort: erg.Effort{Distance: t.DistanceM, Time: t.TimeS}, Day: dayNumber(t.TestedOn), Mass: or(t.MassKg, 0)}
}

// of estimates an athlete's race power; false without a usable test. A test
// that cannot be right tells nothing, and does not silence the others; nor
// does a mass outside the model's range.
func (p *racePowers) of(athlete int64) (r racePower, ok bool) {
	model, tests := erg.DefaultModel(), p.tests[athlete]
	if len(tests) == 0 {
		return r, false
	}
	e, err := model.RacePower(tests, p.day, p.masses[athlete])
	if err != nil {
		tests = slices.DeleteFunc(slices.Clone(tests), func(t erg.Test) bool {
			_, err := model.RacePower([]erg.Test{t}, p.day, 0)
			return err != nil
		})
		e, err = model.RacePower(tests, p.day, p.masses[athlete])
	}
	if err != nil {
		e, err = model.RacePower(tests, p.day, 0)
	}
	if err != nil {
		return r, false
	}
	return racePower{land: e, water: e.OnWater(erg.WaterSD), tests: len(tests)}, true
}

// dayNumber counts days; 0 for a text that is no day.
func dayNumber(day string) int {
	t, err := time.Parse(dayLayout, day)
	if err != nil {
		return 0
	}
	return int(t.Unix() / 86400)
}
