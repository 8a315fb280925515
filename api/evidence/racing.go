package evidence

import (
	"context"
	"fmt"
	"slices"

	"gonum.org/v1/gonum/mat"

	"thole/api/ergometer"
	"thole/api/records"
	races "thole/api/seatrace"
	"thole/api/store"
	"thole/rigging"
	"thole/selection/erg"
	"thole/selection/evidence"
	"thole/selection/seatrace"
)

// shown is what the racing of one seat race by itself tells of athletes whom it
// made comparable: ln power about the mean of them.
type shown struct {
	athletes []int64 // ids
	logPower []float64
	cov      *mat.SymDense
}

// addRaces takes in what racing by itself shows, with notes on races that cannot
// be used.
func (s *Service) addRaces(ctx context.Context, p *Powers, day string) error {
	list, err := s.Store.SeatRaces(ctx, store.Filter{})
	if err != nil {
		return records.RecordError(err)
	}
	for _, r := range list {
		if r.HeldOn > day {
			continue
		}
		race, err := s.Store.SeatRace(ctx, r.ID)
		if err != nil {
			return records.RecordError(err)
		}
		groups, err := shownBy(&race, p.athletes, p.Ergometer)
		if err != nil {
			p.Notes = append(p.Notes, fmt.Sprintf("The seat race %s is not used: %v", race.Name, err))
		}
		for i := range groups {
			p.addRace(&groups[i], daysBetween(race.HeldOn, day))
		}
	}
	return nil
}

// addRace takes in one group of a race. Fitness has wandered since.
func (p *Powers) addRace(r *shown, ago int) {
	var places []int
	for _, id := range r.athletes {
		places = append(places, p.at[id])
	}
	drift := erg.DefaultModel().Drift(ago)
	for k := range places {
		r.cov.SetSym(k, k, r.cov.At(k, k)+drift)
	}
	p.add(evidence.Block{Source: evidence.Racing, Athletes: places, Mean: r.logPower, Cov: r.cov})
}

// shownBy judges one seat race by itself, at the level of power that tests give
// those who raced. A race in which nothing was raced yet tells nothing.
func shownBy(t *store.SeatRace, everybody []store.Athlete, powers *ergometer.RacePowers) ([]shown, error) {
	if !slices.ContainsFunc(t.Pieces, func(p store.Piece) bool { return p.State == store.Raced }) {
		return nil, nil
	}
	a, err := races.JudgeAlone(t, racing(t, everybody))
	if err != nil {
		return nil, err
	}
	class, _ := rigging.ClassByCode(t.ClassCode)
	level := levelBy(t, powers, a.MeanPowerW)
	perSecond := seatrace.Conversion{Time: a.TimeS, TotalPower: level * float64(class.Rowers)}.Watts(1) / level
	groups := map[int][]int{}
	var order []int
	for i, e := range a.Racing.Effects {
		if !e.Estimable || e.SD == 0 {
			continue
		}
		if groups[e.Group] == nil {
			order = append(order, e.Group)
		}
		groups[e.Group] = append(groups[e.Group], i)
	}
	var list []shown
	cov := a.Racing.Covariance()
	for _, g := range order {
		list = append(list, shownGroup(&a, cov, groups[g], perSecond))
	}
	return list, nil
}

// racing lists who takes part: names need to differ among them alone.
func racing(t *store.SeatRace, everybody []store.Athlete) []store.Athlete {
	var list []store.Athlete
	for i := range everybody {
		if slices.ContainsFunc(t.Athletes, func(a store.SeatRaceAthlete) bool { return a.AthleteID == everybody[i].ID }) {
			list = append(list, everybody[i])
		}
	}
	return list
}

// levelBy is the mean power of those tested, or else that of the terms, in W.
func levelBy(t *store.SeatRace, powers *ergometer.RacePowers, terms float64) float64 {
	sum, tested := 0.0, 0
	for _, a := range t.Athletes {
		if r, ok := powers.Of(a.AthleteID); ok {
			sum, tested = sum+r.Land.Power, tested+1
		}
	}
	if tested == 0 {
		return terms
	}
	return sum / float64(tested)
}

// normal95 is how many SDs either side of the mean hold 95 % of a normal
// distribution, exact to the digits given.
const normal95 = 1.959964

// shownGroup turns the seconds of a group of comparable athletes into ln power.
// The law of few residuals has longer tails than the normal one: the covariance
// is widened so that the 95 % intervals are the same.
func shownGroup(a *races.Alone, cov *mat.SymDense, members []int, perSecond float64) shown {
	first := a.Racing.Effects[members[0]]
	wider := (first.High - first.Low) / (2 * normal95 * first.SD)
	s := shown{cov: mat.NewSymDense(len(members), nil)}
	for k, i := range members {
		s.athletes, s.logPower = append(s.athletes, a.IDs[i]), append(s.logPower, a.Racing.Effects[i].Seconds*perSecond)
		for l, j := range members[:k+1] {
			s.cov.SetSym(k, l, cov.At(i, j)*perSecond*perSecond*wider*wider)
		}
	}
	return s
}
