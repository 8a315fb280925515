package lineup

import (
	"fmt"
	"net/url"
	"strings"

	"thole/api/lineup"
)

// raceAddress is the schedule of a seat race of two athletes, with others of
// the squad to fill two boats; "" in a single.
func (p *lineupPage) raceAddress(best *lineup.ScoredLineup, r lineup.NextRace) string {
	squad := p.request.RaceSquad(best, r)
	if squad.BoatClass == "" {
		return ""
	}
	var lines []string
	for i, id := range squad.IDs {
		line := p.names[id]
		if side := squad.Sides[i]; side != "" {
			line += " " + strings.ToUpper(side[:1])
		}
		lines = append(lines, line)
	}
	q := url.Values{
		"boat_class": {squad.BoatClass}, "squad": {strings.Join(lines, "\n")}, "pairs": {p.names[r.Out] + " / " + p.names[r.In]},
		"name": {fmt.Sprintf("%s: %s or %s", p.boatName(), p.short[r.Out], p.short[r.In])},
	}
	return "/seat-races/new?" + q.Encode()
}
