package lineup

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strings"

	"thole/api/lineup"
	"thole/api/wire"
	"thole/ui/page"
)

// A line-up of the reader's own: put together by hand and costed at once.

// ownLineup costs the reader's own line-up: the one in the address, or at first
// the one shown first.
func (s *site) ownLineup(ctx context.Context, p *lineupPage) error {
	best := p.best()
	given := lineup.GivenLineup{Seats: p.ownSeats(), Sides: best.Sides}
	if len(p.Compared) > 0 {
		given.Sides = p.Compared[0].Lineup.Sides
		if given.Seats == nil {
			given.Seats = p.Compared[0].Lineup.Seats
		}
	}
	if given.Seats == nil {
		given.Seats = best.Seats
	}
	scored, err := s.service.Lineup.CostLineup(ctx, lineup.CostRequest{LineupProblem: p.request.LineupProblem, Lineup: given})
	var bad *wire.Invalid
	if errors.As(err, &bad) {
		p.Own = &lineupView{Seats: p.seatRows(given.Seats, given.Sides), Problem: bad.Fields[0].Detail}
		return nil
	}
	if err != nil {
		return err
	}
	if p.Own, err = s.lineupView(ctx, p, &scored.ScoredLineup, "Your line-up"); err != nil {
		return err
	}
	p.Own.Margin, p.Own.Save = scored.TotalS-best.TotalS, p.saving(&scored.ScoredLineup, "own")
	p.Own.Broken, p.Own.Changes = scored.Broken, changes(scored.Terms, best.Terms, p.Class.Scull)
	return nil
}

// termChange is one term of a line-up against that of the best.
type termChange struct {
	Name         string
	Here, Change float64
}

func changes(here, best lineup.CostTerms, scull bool) []termChange {
	list := []termChange{
		{"Pace", here.PaceS, here.PaceS - best.PaceS}, {"Seats", here.SeatS, here.SeatS - best.SeatS},
		{"Curve match", here.LikenessS, here.LikenessS - best.LikenessS},
	}
	if !scull {
		list = append(list, termChange{"Sides", here.SideS, here.SideS - best.SideS}, termChange{"Yaw", here.YawS, here.YawS - best.YawS})
	}
	return list
}

// ownSeats reads the reader's own line-up, as seats s1, s2 … of a form or as one
// list; nil when there is none.
func (p *lineupPage) ownSeats() []string {
	var seats []string
	if list := p.typed.Get("own"); list != "" {
		seats = strings.Split(list, ".")
	}
	if p.typed.Get("s1") != "" {
		seats = nil
		for seat := 1; seat <= p.Class.Rowers; seat++ {
			seats = append(seats, p.typed.Get(fmt.Sprintf("s%d", seat)))
		}
	}
	if len(seats) != p.Class.Rowers { // of another boat
		return nil
	}
	return seats
}

// Tried reports whether the address holds a line-up of the reader's own.
func (p *lineupPage) Tried() bool { return p.ownSeats() != nil }

// Choices lists the squad for the seats of the reader's own line-up.
func (p *lineupPage) Choices() []page.Option {
	var list []page.Option
	for _, m := range p.Members {
		list = append(list, page.Option{Value: m.ID, Label: m.Name})
	}
	return list
}

// lookedAt is the page with the line-up that its address names, alone; nil once what
// is wrong with it has been answered.
func (s *site) lookedAt(w http.ResponseWriter, r *http.Request) (*lineupPage, error) {
	p, err := s.newLineups(r.Context(), r.URL.Query(), page.Who(r))
	if err != nil {
		return nil, err
	}
	looked, err := s.looked(r.Context(), p)
	if err != nil {
		return nil, err
	}
	if looked == nil {
		w.Header().Set("HX-Retarget", "#problems")
		return nil, s.Pages.Fragment(w, http.StatusUnprocessableEntity, "lineups", "lineups-problems", p)
	}
	p.Compared = []lineupView{{Lineup: looked}}
	return p, nil
}

// tryLineup answers the reader's own line-up alone, for htmx, or the whole page.
func (s *site) tryLineup(w http.ResponseWriter, r *http.Request) error {
	if r.Header.Get("HX-Request") == "" {
		http.Redirect(w, r, "/line-ups?"+keep(r.URL.Query()).Encode(), http.StatusSeeOther)
		return nil
	}
	p, err := s.lookedAt(w, r)
	if p == nil {
		return err
	}
	if err := s.ownLineup(r.Context(), p); err != nil {
		return err
	}
	w.Header().Set("HX-Replace-Url", p.with("own", strings.Join(p.ownIDs(), "."), ownNames(p.typed)...))
	return s.Pages.Fragment(w, http.StatusOK, "lineups", "lineups-own-answer", p)
}

// ownIDs are the athletes of the reader's own line-up, bow first.
func (p *lineupPage) ownIDs() []string {
	var ids []string
	for _, row := range p.Own.Seats {
		ids = append(ids, row.ID)
	}
	return ids
}
