package seatrace

import (
	"context"
	"fmt"
	"slices"

	"gonum.org/v1/gonum/mat"

	"thole/api/ergometer"
	"thole/api/records"
	"thole/api/store"
	"thole/rigging"
	"thole/selection/seatrace"
)

// Shown is what the racing of one seat race by itself tells of athletes whom it
// made comparable: ln power about the mean of them.
type Shown struct {
	RaceID   int64
	Name     string
	HeldOn   string  // YYYY-MM-DD
	Athletes []int64 // ids
	LogPower []float64
	Cov      *mat.SymDense
}

// Shown lists what all seat races up to a day tell without anything that was
// held before, with notes on those that tell nothing. Powers give the level at
// which seconds turn into watts.
func (s *Service) Shown(ctx context.Context, day string, powers *ergometer.RacePowers) (list []Shown, notes []string, err error) {
	races, err := s.Store.SeatRaces(ctx, store.Filter{})
	if err != nil {
		return nil, nil, records.RecordError(err)
	}
	all, err := s.everybody(ctx)
	if err != nil {
		return nil, nil, err
	}
	for _, r := range races {
		if r.HeldOn > day {
			continue
		}
		race, err := s.Store.SeatRace(ctx, r.ID)
		if err != nil {
			return nil, nil, records.RecordError(err)
		}
		shown, why := shownBy(&race, newRoster(race.Athletes, all), powers)
		list = append(list, shown...)
		if why != "" {
			notes = append(notes, fmt.Sprintf("The seat race %s is not used: %s", race.Name, why))
		}
	}
	return list, notes, nil
}

// shownBy judges one seat race; why says why it cannot be. A race in which
// nothing was raced yet tells nothing, without a word.
func shownBy(t *store.SeatRace, names *roster, powers *ergometer.RacePowers) (list []Shown, why string) {
	if !slices.ContainsFunc(t.Pieces, func(p store.Piece) bool { return p.State == store.Raced }) {
		return nil, ""
	}
	stored, err := termsOf(t)
	if err != nil {
		return nil, "its terms on record cannot be read."
	}
	c := &raceCase{race: t, names: names, terms: stored.wire(names)}
	if err := c.lay(viewMargins); err != nil {
		return nil, err.Error()
	}
	pieces, o, err := c.request.read()
	if err != nil {
		return nil, err.Error()
	}
	result, err := seatrace.Estimate(pieces, o)
	if err != nil {
		return nil, seatRaceError(err).Error()
	}
	class, _ := rigging.ClassByCode(t.ClassCode)
	level := c.levelBy(powers)
	perSecond := conversionOf(c.request.racedTime(), level, class).Watts(1) / level
	return c.shown(result.Racing, perSecond), ""
}

// levelBy is the mean power of those tested, or that of the terms, in W.
func (c *raceCase) levelBy(powers *ergometer.RacePowers) float64 {
	sum, tested := 0.0, 0
	for _, a := range c.race.Athletes {
		if r, ok := powers.Of(a.AthleteID); ok {
			sum, tested = sum+r.Land.Power, tested+1
		}
	}
	if tested == 0 {
		return c.terms.MeanPowerW
	}
	return sum / float64(tested)
}

// shown lists the groups of comparable athletes, with seconds turned into ln
// power. The law of few residuals has longer tails than the normal one: the
// covariance is widened so that the 95 % intervals are the same.
func (c *raceCase) shown(e *seatrace.Evidence, perSecond float64) []Shown {
	groups := map[int][]int{}
	var order []int
	for i, effect := range e.Effects {
		if !effect.Estimable || effect.SD == 0 {
			continue
		}
		if groups[effect.Group] == nil {
			order = append(order, effect.Group)
		}
		groups[effect.Group] = append(groups[effect.Group], i)
	}
	var list []Shown
	cov := e.Covariance()
	for _, g := range order {
		list = append(list, c.shownGroup(e, cov, groups[g], perSecond))
	}
	return list
}

// normal95 is how many SDs either side of the mean hold 95 % of a normal
// distribution.
const normal95 = 1.959964

func (c *raceCase) shownGroup(e *seatrace.Evidence, cov *mat.SymDense, members []int, perSecond float64) Shown {
	first := e.Effects[members[0]]
	wider := (first.High - first.Low) / (2 * normal95 * first.SD)
	s := Shown{RaceID: c.race.ID, Name: c.race.Name, HeldOn: c.race.HeldOn, Cov: mat.NewSymDense(len(members), nil)}
	for k, i := range members {
		id, _ := c.names.find(e.Effects[i].ID) // its own names find everybody
		s.Athletes, s.LogPower = append(s.Athletes, id), append(s.LogPower, e.Effects[i].Seconds*perSecond)
		for l, j := range members[:k+1] {
			s.Cov.SetSym(k, l, cov.At(i, j)*perSecond*perSecond*wider*wider)
		}
	}
	return s
}
