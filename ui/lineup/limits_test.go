package lineup

import (
	"fmt"
	"net/url"
	"strings"
	"testing"

	"thole/api/fleet"
	"thole/api/lineup"
	"thole/api/seat"
	"thole/ui/page"
)

// found is a page with crews, each behind the best by so much, s, and the line-ups of the
// best crew.
func found(costs []float64, orders ...float64) *lineupPage {
	p := &lineupPage{Answer: &lineup.CrewsAnswer{Proven: true}, short: map[string]string{"a": "Ann", "b": "Bea"}, names: map[string]string{"a": "Ann Ash", "b": "Bea Birch"}, typed: url.Values{}}
	for i, cost := range costs {
		c := lineup.RankedCrew{CostS: cost}
		if i > 0 {
			c.In, c.Out = []string{"a"}, []string{"b"}
		}
		p.Answer.Crews = append(p.Answer.Crews, c)
	}
	for _, total := range orders {
		var l lineup.RankedLineup
		l.TotalS = total
		p.Answer.Crews[0].Lineups = append(p.Answer.Crews[0].Lineups, l)
	}
	return p
}

// TestTheNextCrewIsTooCloseBelowTheLimit: lineup.CloseS itself can be told.
func TestTheNextCrewIsTooCloseBelowTheLimit(t *testing.T) {
	for cost, want := range map[float64]string{
		lineup.CloseS: "Next best crew: Ann for Bea, +0.10 s in its best line-up.", lineup.CloseS - 0.02: "Next best crew: Ann for Bea, +0.08 s in its best line-up, too close to tell.",
	} {
		is(t, "next", found([]float64{0, cost}).NextCrew(), want)
	}
	p := found([]float64{0})
	is(t, "alone", p.NextCrew(), "No other crew keeps your rules.")
	p.Answer.Proven = false
	is(t, "stopped", p.NextCrew(), "No other crew was found in time.")
	p = found([]float64{0, 1})
	p.Answer.Proven = false
	is(t, "stopped", strings.HasSuffix(p.NextCrew(), ". The search was stopped: there may be a better one."), true)
	is(t, "orders", found([]float64{0}, 5, 5+lineup.CloseS/2, 5+lineup.CloseS+1e-9, 6).LevelOrders(), 2)
	is(t, "orders", found([]float64{0}, 0, lineup.CloseS).LevelOrders(), 1)
	is(t, "seats", seatList([]int{3})+"; "+seatList([]int{3, 4})+"; "+seatList([]int{3, 4, 7}), "seat 3; seats 3 and 4; seats 3, 4 and 7")
}

// TestMassesLieInTwoHalves: the middle seat of an odd crew belongs to the stern.
func TestMassesLieInTwoHalves(t *testing.T) {
	rows := []seatRow{{MassKg: 60}, {MassKg: 70}, {MassKg: 90}, {MassKg: 100}}
	is(t, "four", balance(rows), "Bow half 130 kg, stern half 190 kg.")
	is(t, "two", balance(rows[:2]), "Bow half 60 kg, stern half 70 kg.")
	is(t, "one", balance(rows[:1]), "")
}

// TestTheBestExchangeOfEachOutsideIsListed, what is neither power nor mass as the rest.
func TestTheBestExchangeOfEachOutsideIsListed(t *testing.T) {
	p := found([]float64{0})
	p.powers, p.masses = map[string]float64{"a": 300, "b": 310}, map[string]float64{"a": 80, "b": 85}
	rows := p.nextIn([]lineup.SeatSwap{
		{First: "b", Second: "a", ChangeS: 2}, {First: "b", Second: "a", ChangeS: 1.5, PowerS: 2, MassS: -0.7, Breaks: []string{"rule"}}, {First: "a", Second: "b", ChangeS: 3},
	})
	is(t, "rows", len(rows), 2)
	r := rows[0]
	is(t, "first", r.Words+", "+r.Figures, "Ann for Bea, 300 W, 80 kg for 310 W, 85 kg")
	is(t, "sums", r.Total == 1.5 && r.Power == 2 && r.Mass == -0.7 && r.Rest > 0.19 && r.Rest < 0.21, true)
	is(t, "breaks", r.Breaks && !rows[1].Breaks, true)
	var many []lineup.SeatSwap
	for i := range nextInShown + 1 {
		many = append(many, lineup.SeatSwap{Second: string(rune('c' + i))})
	}
	is(t, "most", len(p.nextIn(many)), nextInShown)
}

// TestNumbersAreAskedWhereTheyMatter: a cox's mass of coxed boats, turning of sweep boats,
// re-rigging of sweep boats on record.
func TestNumbersAreAskedWhereTheyMatter(t *testing.T) {
	for name, c := range map[string]struct {
		class seat.BoatClass
		boat  bool
		want  string
	}{
		"an eight": {seat.BoatClass{Coxed: true, Rowers: 8}, true, "cox rerig yaw"}, "an eight that is none's": {seat.BoatClass{Coxed: true, Rowers: 8}, false, "cox yaw"},
		"a quad": {seat.BoatClass{Scull: true, Rowers: 4}, true, ""}, "a pair": {seat.BoatClass{Rowers: 2}, true, "rerig yaw"},
	} {
		p := &lineupPage{typed: url.Values{}}
		p.Class = c.class
		if c.boat {
			p.Boat = &lineup.ClubBoat{}
		}
		p.readNumbers(&lineup.LineupProblem{})
		got := ""
		for _, name := range []string{"cox", "rerig", "yaw"} {
			for _, f := range p.Fields {
				if f.Name == name {
					got += " " + name
				}
			}
		}
		is(t, name, strings.TrimSpace(got), c.want)
	}
}

// TestSeatsFromBowToStrokeAreTaken, and no others, for a pin and for a preference.
func TestSeatsFromBowToStrokeAreTaken(t *testing.T) {
	for text, want := range map[string]int{"0": 0, "1": 1, "4": 1, "5": 0, "-1": 0, "x": 0, "": 0} {
		p := found([]float64{0})
		p.Class.Rowers = 4
		p.typed.Set("ra", text)
		o := &lineup.LineupProblem{}
		p.readMember(o, lineup.BoatCandidate{Candidate: lineup.Candidate{ID: "a", Name: "Ann Ash"}}, true)
		is(t, "pins at "+text, len(o.Pins), want)
		p.preference(o, &preferenceRow{Who: "a", Seat: text, Cost: "1.5"})
		is(t, "preferences at "+text, len(o.SeatCosts), want)
		p.preference(o, &preferenceRow{Who: "a", Seat: "2", Cost: "much"})
		is(t, "no number", len(p.Problems) == 1 && len(o.SeatCosts) == want, true)
	}
	p := found([]float64{0})
	is(t, "known", p.inSquad("a") && len(p.Notes) == 0, true)
	is(t, "nobody", !p.inSquad("") && len(p.Notes) == 0, true)
	is(t, "a stranger", !p.inSquad("z") && len(p.Notes) == 1, true)
}

// TestBoatsStandOverThePageUpToTwelve: a larger fleet is in the list of the form alone.
func TestBoatsStandOverThePageUpToTwelve(t *testing.T) {
	for n, want := range map[int]int{0: 0, 1: 1, 12: 12, 13: 0} {
		p := &lineupPage{typed: url.Values{}, Boats: make([]fleet.BoatSummary, n)}
		is(t, fmt.Sprint(n), len(p.BoatLinks()), want)
	}
	p := &lineupPage{typed: url.Values{page.Among: {"3"}}, Boats: []fleet.BoatSummary{{ID: 4}, {ID: 5}}, Boat: &lineup.ClubBoat{}}
	p.Boat.ID = 5
	links := p.BoatLinks()
	is(t, "here", fmt.Sprint(links[0].Here, links[1].Here), "false true")
	is(t, "address", links[0].Address, "/line-ups?among=3&class=boat-4")
}
