package lineup

import (
	"net/url"
	"slices"
	"strings"

	"thole/api/lineup"
)

// From what is a coin-flip to the seat race that settles it.

// racedIn is the boat in which the athletes of a larger one are raced for
// seats: two of them hold its crew.
var racedIn = map[string]string{"8+": "4-", "4-": "2-", "4+": "2-", "4x": "2x"}

// raceAddress is the plan of a seat race of two athletes, with others of the
// squad to fill two boats.
func (p *lineupPage) raceAddress(best *lineup.ScoredLineup, r lineup.NextRace) string {
	class, need := racedIn[p.Class.Code], p.Class.Rowers
	if class == "" {
		class, need = p.Class.Code, 2*p.Class.Rowers
	}
	if p.Class.Rowers == 1 {
		return ""
	}
	f := &raceField{left: map[string]int{"": need}}
	if !p.Class.Scull {
		f.left = map[string]int{"port": need / 2, "starboard": need / 2}
	}
	for _, id := range slices.Concat([]string{r.In, r.Out}, best.Seats, p.available()) {
		f.take(id, p.names[id], p.raceSides(best, id, r))
	}
	q := url.Values{"boat_class": {class}, "squad": {strings.Join(f.lines, "\n")}, "pairs": {p.names[r.Out] + " / " + p.names[r.In]}}
	return "/seat-races/new?" + q.Encode()
}

// raceField fills two boats.
type raceField struct {
	left  map[string]int // places by side
	taken []string
	lines []string
}

// take gives an athlete a place on the first of some sides that has one.
func (f *raceField) take(id, name string, sides []string) {
	if slices.Contains(f.taken, id) {
		return
	}
	for _, side := range sides {
		if f.left[side] > 0 {
			f.left[side]--
			f.taken = append(f.taken, id)
			f.lines = append(f.lines, strings.TrimSpace(name+" "+strings.ToUpper(side[:min(1, len(side))])))
			return
		}
	}
}

// raceSides lists the sides an athlete is to be raced on, the likeliest first.
func (p *lineupPage) raceSides(best *lineup.ScoredLineup, id string, r lineup.NextRace) []string {
	if p.Class.Scull {
		return []string{""}
	}
	var sides []string
	at := id
	if id == r.Out { // for the other's seat
		at = r.In
	}
	if seat := slices.Index(best.Seats, at); seat >= 0 {
		sides = append(sides, best.Sides[seat])
	}
	for _, m := range p.Members {
		if m.ID == id && m.Sides != nil {
			if m.Sides.Port != nil {
				sides = append(sides, "port")
			}
			if m.Sides.Starboard != nil {
				sides = append(sides, "starboard")
			}
		}
	}
	return sides
}

// available lists those who may row.
func (p *lineupPage) available() []string {
	var ids []string
	for _, m := range p.Members {
		if m.Here {
			ids = append(ids, m.ID)
		}
	}
	return ids
}
