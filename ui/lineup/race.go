package lineup

import (
	"net/url"
	"strings"

	"thole/api/lineup"
	"thole/api/wire"
	"thole/ui/page"
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
		"name": {p.dayName()},
	}
	return "/seat-races/new?" + q.Encode()
}

// dayName is a name for what is made of the page: the boat and the day. It says nothing
// of who is compared: a seat race's name stands on the paper of the crews.
func (p *lineupPage) dayName() string {
	name, day := p.boatName(), ", "+page.Day(p.today)
	if len([]rune(name+day)) > wire.LongestName {
		name = p.Class.Code
	}
	return name + day
}
