package lineup

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"thole/api/club"
	"thole/api/lineup"
	"thole/api/seat"
	"thole/ui/page"
)

// Two boats from one squad: which boats, who may row where, and the line-ups of
// both with what each gives up. The address holds all of it.

// twoPage is all that the page shows.
type twoPage struct {
	typed    url.Values
	Boats    [2]*lineupPage // as each would be asked for alone
	Aims     []page.Option
	Aim      string
	Among    page.SquadChoice
	Members  []twoMember
	Problems []page.Problem
	Conflict *lineup.Unmeetable
	Notes    []string
	Answer   *lineup.TwoBoatsAnswer
	Views    []*lineupView
	Search   *searchView
	request  lineup.TwoBoatsRequest
}

// twoMember is one athlete with the boats they may row in.
type twoMember struct {
	lineup.BoatCandidate
	Where  string // "", 1, 2 or out
	Wheres []page.Option
}

// Names of the boats in the address, and what they are called.
var (
	twoNames = [2]string{"first", "second"}
	twoUsual = [2]string{"8+", "4-"}
)

// Class of a boat of the page.
func (p *twoPage) Class(k int) seat.BoatClass { return p.Boats[k].Class }

// twoBoats answers the page.
func (s *site) twoBoats(w http.ResponseWriter, r *http.Request) error {
	p, err := s.newTwo(r.Context(), r.URL.Query(), page.Who(r))
	if err != nil {
		return err
	}
	if err := s.solveTwo(r.Context(), p); err != nil {
		return err
	}
	status := http.StatusOK
	if len(p.Problems) > 0 || p.Conflict != nil {
		status = http.StatusUnprocessableEntity
	}
	return s.Pages.Show(w, status, "lineups_two", p)
}

// newTwo reads the form and gathers the squad.
func (s *site) newTwo(ctx context.Context, typed url.Values, who string) (*twoPage, error) {
	p := &twoPage{typed: keep(typed), Aim: typed.Get("aim"), Aims: []page.Option{
		{Value: "first", Label: "first boat first"}, {Value: "slower", Label: "balanced: the slower as fast as can be"}, {Value: "sum", Label: "both together as fast as can be"},
	}}
	if !slices.ContainsFunc(p.Aims, func(o page.Option) bool { return o.Value == p.Aim }) {
		p.Aim = "first"
	}
	for k, name := range twoNames {
		one := url.Values{"class": {twoUsual[k]}}
		for from, to := range map[string]string{name: "class", page.Among: page.Among, "race": "race", name + "-cox": "cox", name + "-who": "coxwho"} {
			if typed.Get(from) != "" {
				one.Set(to, typed.Get(from))
			}
		}
		boat, err := s.newLineups(ctx, one, who)
		if err != nil {
			return nil, err
		}
		p.Boats[k] = boat
		for _, problem := range boat.Problems {
			problem.Field, problem.Label = name, map[int]string{0: "First boat", 1: "Second boat"}[k]
			p.Problems = append(p.Problems, problem)
		}
	}
	p.Among = p.Boats[0].Among
	p.read()
	return p, nil
}

// read makes the request: the squads of both boats as one, in which nobody is asked
// to row what they do not.
func (p *twoPage) read() {
	p.request.Aim = p.Aim
	rules := [2]lineup.BoatRules{p.Boats[0].request.BoatRules, p.Boats[1].request.BoatRules}
	for _, m := range p.members() {
		in := p.rowsIn(m.ID)
		c := m.Candidate
		if c.Sides == nil {
			c.Sides = &club.SideCosts{}
		}
		p.request.Candidates = append(p.request.Candidates, c)
		where := p.typed.Get("w" + m.ID)
		row := twoMember{BoatCandidate: m, Where: where, Wheres: []page.Option{{Value: "", Label: "may row"}}}
		for k := range rules {
			number := string(rune('1' + k))
			if in[k] {
				row.Wheres = append(row.Wheres, page.Option{Value: number, Label: twoNames[k] + " boat only"})
			}
			if !in[k] || where == "out" || where != "" && where != number || p.coxes(m.ID) {
				rules[k].Out = append(rules[k].Out, m.ID)
			}
		}
		row.Wheres = append(row.Wheres, page.Option{Value: "out", Label: "not available"})
		p.Members = append(p.Members, row)
	}
	p.request.First, p.request.Second = rules[0], rules[1]
}

// members are the candidates of either boat, the strongest first; of both entries
// the one that has sides.
func (p *twoPage) members() []lineup.BoatCandidate {
	var list []lineup.BoatCandidate
	for _, boat := range p.Boats {
		for _, m := range boat.squad.Candidates {
			k := slices.IndexFunc(list, func(o lineup.BoatCandidate) bool { return o.ID == m.ID })
			switch {
			case k < 0:
				list = append(list, m)
			case list[k].Sides == nil:
				list[k] = m
			}
		}
	}
	slices.SortStableFunc(list, func(a, b lineup.BoatCandidate) int {
		switch {
		case a.PowerW > b.PowerW:
			return -1
		case a.PowerW < b.PowerW:
			return 1
		}
		return strings.Compare(a.Name, b.Name)
	})
	return list
}

// rowsIn reports in which of the boats an athlete can be placed.
func (p *twoPage) rowsIn(id string) (in [2]bool) {
	for k, boat := range p.Boats {
		_, in[k] = boat.names[id]
	}
	return in
}

// coxes reports whether an athlete coxes one of the boats.
func (p *twoPage) coxes(id string) bool {
	return p.Boats[0].Cox() == id || p.Boats[1].Cox() == id
}

// solveTwo finds the line-ups and draws them.
func (s *site) solveTwo(ctx context.Context, p *twoPage) error {
	if one := p.Boats[0].Cox(); one != "" && one == p.Boats[1].Cox() {
		p.Problems = append(p.Problems, page.Problem{Field: "second-who", Label: "Cox", Text: "The first boat has this cox already."})
	}
	if len(p.Problems) > 0 || len(p.Members) == 0 {
		return nil
	}
	within, stop := context.WithTimeout(ctx, searchTime)
	defer stop()
	a, err := s.service.Lineup.FindTwoBoats(within, p.request)
	var short *lineup.NotBoth
	switch {
	case errors.As(err, &short):
		p.Problems = append(p.Problems, page.Problem{Text: short.Text})
		return nil
	case err != nil:
		return p.refuse(err)
	}
	if p.Answer = &a; !a.Proven {
		p.Search = newSearchView(p.typed, true, !a.InJob)
	}
	if !a.Found {
		p.Notes = append(p.Notes, "No line-ups were found in time.")
		return nil
	}
	for k, shared := range []*lineup.SharedBoat{a.First, a.Second} {
		boat := p.Boats[k]
		v, err := s.lineupView(ctx, boat, &shared.ScoredLineup, []string{"First boat", "Second boat"}[k]+": "+boat.boatName())
		if err != nil {
			return err
		}
		v.Save, v.Margin = boat.saving(&shared.ScoredLineup, twoNames[k]), shared.GivenUpS
		p.Views = append(p.Views, v)
	}
	return nil
}

// refuse turns an error about the request into complaints.
func (p *twoPage) refuse(err error) error {
	one := &lineupPage{}
	if err := one.refuse(err); err != nil {
		return err
	}
	p.Problems, p.Conflict = append(p.Problems, one.Problems...), one.Conflict
	return nil
}

// Asked returns what was asked for, in a line.
func (p *twoPage) Asked() string {
	return fmt.Sprintf("%s and %s · %d athletes", p.Boats[0].boatName(), p.Boats[1].boatName(), len(p.Members))
}

// Names are those of the boats in the address.
func (p *twoPage) Names() [2]string { return twoNames }

// Words returns what the line-ups are, in a sentence.
func (p *twoPage) Words() string {
	switch p.Aim {
	case "slower":
		if p.Boats[0].Class.Code == p.Boats[1].Class.Code {
			return "The slower boat is as fast as can be."
		}
		return "The boat that gives up more against its own best gives up as little as can be."
	case "sum":
		return "Both boats together give up as little as can be."
	}
	return "The first boat is as fast as can be, the second the best of who is left."
}
