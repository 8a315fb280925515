package lineup

import (
	"context"
	"slices"
	"strconv"
	"strings"
	"time"

	"thole/api/lineup"
	"thole/api/wire"
	"thole/ui/page"
)

// The list of the page: the best crews, each with its line-ups. A line-up is
// called by the number of its crew and a letter, "2b"; the first of each has none.

// The sizes of the list.
const (
	listedCrews  = lineup.DefaultCrews
	listedOrders = lineup.DefaultOrders
)

// place is where a line-up stands in the list: its crew and its rank there, from 0.
type place struct{ crew, order int }

// String is what the line-up is called.
func (at place) String() string {
	name := strconv.Itoa(at.crew + 1)
	if at.order > 0 {
		name += string(rune('a' + at.order))
	}
	return name
}

// placeOf reads what a line-up is called; ok is false for what is not in the list.
func placeOf(name string, crews, orders int) (at place, ok bool) {
	number := strings.TrimRight(name, "bcdefghij")
	n, err := strconv.Atoi(number)
	if at.crew = n - 1; len(name) == len(number)+1 {
		at.order = int(name[len(number)] - 'a')
	}
	return at, err == nil && at.crew >= 0 && at.crew < crews && at.order < orders && at.String() == name
}

// at is the line-up at a place of the list, nil where the crew has fewer.
func (p *lineupPage) at(at place) *lineup.RankedLineup {
	if at.crew >= len(p.Answer.Crews) || at.order >= len(p.Answer.Crews[at.crew].Lineups) {
		return nil
	}
	return &p.Answer.Crews[at.crew].Lineups[at.order]
}

// best is the best line-up.
func (p *lineupPage) best() *lineup.ScoredLineup { return &p.Answer.Crews[0].Lineups[0].ScoredLineup }

// crewRow is one crew of the list with its line-ups.
type crewRow struct {
	Number  int
	Words   string // who rows instead of whom
	Cost    float64
	Lineups []lineupRow
}

// rank lists the crews.
func (p *lineupPage) rank(shown []place) {
	best := p.best()
	for i := range p.Answer.Crews {
		c := &p.Answer.Crews[i]
		row := crewRow{Number: i + 1, Cost: c.CostS, Words: p.exchanged(c.In, c.Out)}
		for k := range c.Lineups {
			row.Lineups = append(row.Lineups, p.row(place{i, k}, best, shown))
		}
		p.Crews = append(p.Crews, row)
	}
}

// row is one line-up of the list.
func (p *lineupPage) row(at place, best *lineup.ScoredLineup, shown []place) lineupRow {
	l := p.at(at)
	row := lineupRow{
		Name: at.String(), Margin: l.TotalS - best.TotalS, Lineup: &l.ScoredLineup, Shown: slices.Contains(shown, at),
		Only: p.with("show", at.String(), "compare") + atBoats, Images: imageWords(l), Rerig: p.rerigWords(&l.ScoredLineup),
	}
	for seat, id := range l.Seats {
		row.Crew = append(row.Crew, placeName{p.short[id], p.names[id], id != best.Seats[seat]})
	}
	if p.request.PatternFree {
		row.Sides = sideLetters(l.Sides)
	}
	if at != shown[0] {
		row.Compare = p.with("compare", toggled(shown[1:], at)) + atBoats
	}
	return row
}

// toggled is the list of compared line-ups with one added or removed.
func toggled(shown []place, at place) string {
	list := slices.DeleteFunc(slices.Clone(shown), func(k place) bool { return k == at })
	if len(list) == len(shown) {
		list = append(list, at)
	}
	var names []string
	for _, k := range list[max(0, len(list)-compared):] {
		names = append(names, k.String())
	}
	return strings.Join(names, ".")
}

// shown lists the line-ups that are drawn: one, and up to two compared with it.
func (p *lineupPage) shown() []place {
	known := func(name string) (place, bool) {
		at, ok := placeOf(name, listedCrews, listedOrders)
		return at, ok && (p.Answer == nil || p.at(at) != nil)
	}
	shown := []place{{}}
	if at, ok := known(p.typed.Get("show")); ok {
		shown[0] = at
	}
	for name := range strings.SplitSeq(p.typed.Get("compare"), ".") {
		if at, ok := known(name); ok && !slices.Contains(shown, at) && len(shown) <= compared {
			shown = append(shown, at)
		}
	}
	return shown
}

// exchanged reports who rows for whom; "" for the same people.
func (p *lineupPage) exchanged(in, out []string) string {
	if len(in) == 0 {
		return ""
	}
	return strings.Join(p.crew(in), " and ") + " for " + strings.Join(p.crew(out), " and ")
}

// NextCrew reports who rows in the next best crew, for whom, and what it costs.
func (p *lineupPage) NextCrew() string {
	a := p.Answer
	switch {
	case len(a.Crews) < 2 && a.Proven:
		return "No other crew keeps your rules."
	case len(a.Crews) < 2:
		return "No other crew was found in time."
	}
	next := &a.Crews[1]
	text := "Next best crew: " + p.exchanged(next.In, next.Out) + ", " + page.Signed(2, next.CostS) + " s in its best line-up"
	if next.CostS < lineup.CloseS {
		text += ", too close to tell"
	}
	if !a.Proven {
		text += ". The search was stopped: there may be a better one"
	}
	return text + "."
}

// Level counts the crews, from the best, that are too close to tell.
func (p *lineupPage) Level() int { return p.Answer.Close() }

// LevelOrders counts the line-ups of the best crew that are too close to tell.
func (p *lineupPage) LevelOrders() int {
	count := 0
	for i := range p.Answer.Crews[0].Lineups {
		if p.Answer.Crews[0].Lineups[i].TotalS-p.best().TotalS < lineup.CloseS {
			count++
		}
	}
	return count
}

// rerigWords reports which seats of the boat change sides for a line-up; "" for none.
func (p *lineupPage) rerigWords(l *lineup.ScoredLineup) string {
	if len(l.Rerigged) == 0 {
		return ""
	}
	return "Re-rig " + seatList(l.Rerigged)
}

// seatList writes seats as "seat 3", "seats 3 and 4".
func seatList(seats []int) string {
	var words []string
	for _, seat := range seats {
		words = append(words, strconv.Itoa(seat))
	}
	if len(words) == 1 {
		return "seat " + words[0]
	}
	return "seats " + wire.And(words)
}

// rerigTime is the longest that the page looks for what another rig would bring; our judgement.
const rerigTime = 400 * time.Millisecond

// tellRerig reports what the boat would gain by another rig that its riggers allow,
// and what work that asks.
func (s *site) tellRerig(ctx context.Context, p *lineupPage) error {
	if p.Boat == nil || p.Pattern != "" || !slices.Contains(p.Boat.Pattern, lineup.Either) {
		return nil
	}
	ctx, stop := context.WithTimeout(ctx, rerigTime)
	defer stop()
	r := lineup.CrewsRequest{LineupProblem: p.request.LineupProblem, Crews: 1, Orders: 1}
	r.PatternFree, r.Pattern, r.RerigS = true, p.Boat.Pattern, new(float64)
	a, err := s.service.Lineup.FindCrews(ctx, r)
	if err != nil || len(a.Crews) == 0 || !a.Proven {
		return err
	}
	best := &a.Crews[0].Lineups[0]
	gain := p.best().TotalS - best.TotalS
	p.Rerig = rerigText(p.Boat.Name, best.Rerigged, gain)
	return nil
}

// rerigText tells what a boat gains, in s, where some of its seats are re-rigged.
func rerigText(boat string, seats []int, gain float64) string {
	if len(seats) == 0 || gain < 0.005 {
		return "No other rig of its riggers makes " + boat + " faster."
	}
	text := "Re-rigging " + seatList(seats) + " would make " + boat + " " + page.Fix(2, gain) + " s faster"
	if gain < lineup.CloseS {
		text += ", too close to tell on the water"
	}
	return text + "."
}
