package seatrace

import (
	"thole/api/schedule"
	"thole/api/store"
	"thole/selection/seatrace"
)

// Alone is what one seat race tells by itself, by margins and without anything
// that was held before.
type Alone struct {
	Racing     *seatrace.Evidence
	IDs        []int64 // of athletes, in the order of Racing.Effects
	TimeS      float64 // over the distance
	MeanPowerW float64 // by the terms
}

// JudgeAlone judges a seat race on record by itself; everybody on record names
// its athletes.
func JudgeAlone(t *store.SeatRace, everybody []store.Athlete) (Alone, error) {
	stored, err := termsOf(t)
	if err != nil {
		return Alone{}, err
	}
	names := newRoster(t.Athletes, everybody)
	c := &raceCase{race: t, names: names, terms: stored.wire(names)}
	if err := c.lay(schedule.ViewMargins); err != nil {
		return Alone{}, err
	}
	pieces, o, err := c.request.Read()
	if err != nil {
		return Alone{}, err
	}
	result, err := seatrace.Estimate(pieces, o)
	if err != nil {
		return Alone{}, schedule.ErrorOf(err)
	}
	a := Alone{Racing: result.Racing, TimeS: c.request.RacedTime(), MeanPowerW: c.terms.MeanPowerW}
	for _, e := range a.Racing.Effects {
		id, _ := names.find(e.ID) // its own names find everybody
		a.IDs = append(a.IDs, id)
	}
	return a, nil
}
