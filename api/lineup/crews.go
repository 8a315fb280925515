package lineup

import (
	"context"
	"math"
	"time"

	"thole/api/jobs"
	"thole/api/wire"
	"thole/selection/lineup"
)

// CrewsRequest asks for the best crews, each another set of athletes.
type CrewsRequest struct {
	LineupProblem
	Crews  int  `json:"crews,omitempty" validate:"gte=0,lte=20" default:"4" description:"How many crews to list, at most 20."`
	Orders int  `json:"orders,omitempty" validate:"gte=0,lte=20" default:"3" description:"How many line-ups of each, at most 20."`
	Fold   bool `json:"fold,omitempty" description:"Whether line-ups that cost the same by symmetry alone take one place in the list."`
}

// The crews and line-ups listed by default; our judgement: what fits a page.
const (
	DefaultCrews  = 4
	DefaultOrders = 3
)

// CrewsAnswer holds the best crews with their proof.
type CrewsAnswer struct {
	Crews       []RankedCrew `json:"crews" description:"Best first, by the best line-up of each."`
	Proven      bool         `json:"proven" description:"No other athletes make a better crew than any in the list."`
	LowerBoundS float64      `json:"lower_bound_s" description:"No line-up can cost less."`
	GapS        float64      `json:"gap_s" description:"How far the best may be from the bound; 0 when it is proven the best."`
	NextBoundS  float64      `json:"next_bound_s" description:"No line-up of a crew outside the list can cost less; 0 where there is no other crew."`
	Nodes       int          `json:"nodes"`
	ElapsedMs   float64      `json:"elapsed_ms"`
	InJob       bool         `json:"-"` // found by a job, which had its time
	NoCurve     []string     `json:"no_curve" description:"Athletes without a curve of their own; the squad's mean curve is used."`
}

// RankedCrew is a set of athletes with its best line-ups.
type RankedCrew struct {
	CostS   float64        `json:"cost_s" description:"How much worse its best line-up is than that of the best crew."`
	In      []string       `json:"in" description:"Who rows and does not in the best crew."`
	Out     []string       `json:"out" description:"Who rows in the best crew and does not in this one."`
	Lineups []RankedLineup `json:"lineups" description:"Of these athletes, best first."`
	Proven  bool           `json:"proven" description:"No other line-up of these athletes beats any in the list."`
}

// FindCrews returns the best crews with proof, and the best line-ups of each. A
// context that ends early leaves an honest gap. The error is an *Invalid or an
// *Unmeetable.
func (s *Service) FindCrews(ctx context.Context, r CrewsRequest) (CrewsAnswer, error) {
	p, err := r.problem()
	if err != nil {
		return CrewsAnswer{}, err
	}
	if err := r.check(); err != nil {
		return CrewsAnswer{}, err
	}
	return remembered(s, ctx, &r, func() (CrewsAnswer, error) {
		start, tell := s.Now(), progress(ctx)
		found, err := lineup.Crews(ctx, p, lineup.CrewOptions{
			Crews: or(r.Crews, DefaultCrews), Orders: or(r.Orders, DefaultOrders), Fold: r.Fold,
			Progress: func(g lineup.Progress) { tell(!math.IsInf(g.Best, 0), g.Best, g.LowerBound) },
		})
		if err != nil {
			return CrewsAnswer{}, ErrorOf(err)
		}
		a := wireCrews(&found)
		a.InJob = jobs.Inside(ctx)
		a.ElapsedMs = wire.Round(float64(s.Now().Sub(start))/float64(time.Millisecond), 1e3)
		return a, nil
	})
}

func (r *CrewsRequest) check() error {
	var p wire.Problems
	p.Check(wire.At(), r)
	return p.OrNil()
}

// or is a number, or what stands for 0.
func or(number, usual int) int {
	if number == 0 {
		return usual
	}
	return number
}

func wireCrews(r *lineup.CrewResult) CrewsAnswer {
	a := CrewsAnswer{
		Crews: []RankedCrew{}, Proven: r.Proven, LowerBoundS: bounded(r.LowerBound), NextBoundS: bounded(r.NextBound),
		Nodes: r.Nodes, NoCurve: append([]string{}, r.NoCurve...),
	}
	for i := range r.Crews {
		a.Crews = append(a.Crews, a.wireCrew(&r.Crews[i]))
	}
	if len(a.Crews) > 0 {
		a.GapS = max(0, ToCost(r.Crews[0].Lineups[0].Terms.Total()-r.LowerBound))
	}
	return a
}

// bounded is a bound on the wire, 0 where there is none.
func bounded(s float64) float64 {
	if math.IsInf(s, 0) {
		return 0
	}
	return ToCost(s)
}

// wireCrew writes a crew that comes after those of the answer.
func (a *CrewsAnswer) wireCrew(c *lineup.Crew) RankedCrew {
	w := RankedCrew{Proven: c.Proven, In: []string{}, Out: []string{}}
	for i := range c.Lineups {
		w.Lineups = append(w.Lineups, wireRanked(&c.Lineups[i]))
	}
	if len(a.Crews) > 0 {
		best := &a.Crews[0].Lineups[0]
		w.CostS = ToCost(w.Lineups[0].TotalS - best.TotalS)
		w.In, w.Out = append(w.In, missing(w.Lineups[0].Seats, best.Seats)...), append(w.Out, missing(best.Seats, w.Lineups[0].Seats)...)
	}
	return w
}

// Close counts the crews, from the best, that are too close to it to tell.
func (a *CrewsAnswer) Close() int {
	count := 0
	for count < len(a.Crews) && a.Crews[count].CostS < CloseS {
		count++
	}
	return count
}
