package lineup

import (
	"slices"

	"thole/selection"
)

// Differences that are too close to tell, in s over 2000 m (engineering
// judgement: far below the scatter of one boat's time from day to day, some
// 0.9 % or 3 s for an eight).
const (
	CloseS = 0.1  // between two line-ups, on the water
	NearS  = 0.05 // by exchanging two seats, to prefer either
)

// LikelyFrom and FirmAbove are the shares of the draws at which the firmness of
// a place changes its word.
const (
	LikelyFrom = selection.LikelyFrom
	FirmAbove  = selection.FirmAbove
)

// Close counts the line-ups, from the best, that are too close to it to tell.
func (a *LineupsAnswer) Close() int {
	count := 0
	for i := range a.Lineups {
		if a.Lineups[i].TotalS-a.Lineups[0].TotalS < CloseS {
			count++
		}
	}
	return count
}

// racedIn is the boat class in which athletes of a larger one are raced for
// seats, so that two boats hold its crew (common practice).
var racedIn = map[string]string{"8+": "4-", "4-": "2-", "4+": "2-", "4x": "2x"}

// RaceSquad is a boat class with the athletes who fill two boats of it for a
// seat race. Sides is empty where the class sculls.
type RaceSquad struct {
	BoatClass  string
	IDs, Sides []string
}

// RaceSquad returns who races with the two of a proposed seat race: first
// those two, on the side of the seat they compete for, then the best line-up,
// then whoever else is available. It is empty in a single, which no two share.
func (p *LineupProblem) RaceSquad(best *ScoredLineup, r NextRace) RaceSquad {
	rowers, scull := len(best.Seats), len(best.Sides) == 0
	if rowers == 1 {
		return RaceSquad{}
	}
	f := raceField{class: racedIn[p.BoatClass], free: map[string]int{}}
	places := rowers
	if f.class == "" { // raced in boats of their own class
		f.class, places = p.BoatClass, 2*rowers
	}
	if scull {
		f.free[""] = places
	} else {
		f.free["port"], f.free["starboard"] = places/2, places/2
	}
	for _, id := range slices.Concat([]string{r.In, r.Out}, best.Seats, p.available()) {
		f.place(id, p.raceSides(best, id, r))
	}
	return RaceSquad{BoatClass: f.class, IDs: f.ids, Sides: f.sides}
}

// raceField fills two boats.
type raceField struct {
	class      string
	free       map[string]int // places by side
	ids, sides []string
}

// place gives an athlete a place on the first of some sides that has one.
func (f *raceField) place(id string, sides []string) {
	if slices.Contains(f.ids, id) {
		return
	}
	for _, side := range sides {
		if f.free[side] > 0 {
			f.free[side]--
			f.ids, f.sides = append(f.ids, id), append(f.sides, side)
			return
		}
	}
}

// raceSides lists the sides on which an athlete is to be raced, the likeliest
// first.
func (p *LineupProblem) raceSides(best *ScoredLineup, id string, r NextRace) []string {
	if len(best.Sides) == 0 {
		return []string{""}
	}
	var sides []string
	seated := id
	if id == r.Out { // competes for the other's seat
		seated = r.In
	}
	if seat := slices.Index(best.Seats, seated); seat >= 0 {
		sides = append(sides, best.Sides[seat])
	}
	for i := range p.Candidates {
		c := &p.Candidates[i]
		if c.ID != id || c.Sides == nil {
			continue
		}
		if c.Sides.Port != nil {
			sides = append(sides, "port")
		}
		if c.Sides.Starboard != nil {
			sides = append(sides, "starboard")
		}
	}
	return sides
}

// available lists the candidates who may row.
func (p *LineupProblem) available() []string {
	var ids []string
	for i := range p.Candidates {
		if id := p.Candidates[i].ID; !slices.Contains(p.Out, id) {
			ids = append(ids, id)
		}
	}
	return ids
}

// CurveMatch is how well the force curves of a crew match.
type CurveMatch struct {
	Word string  // close, fair or poor; "" where nothing is compared
	D    float64 // weighted mean of the distances D of two shapes each
}

// CurveMatch returns how well the curves of a line-up match, found from its
// cost; nothing where the match has no weight or the crew is one.
func (p *LineupProblem) CurveMatch(l *ScoredLineup) CurveMatch {
	weight := p.Weights.weights().Likeness
	if weight <= 0 || len(l.Seats) < 2 {
		return CurveMatch{}
	}
	d := l.Terms.LikenessS / weight
	return CurveMatch{string(selection.MatchOf(d)), d}
}
