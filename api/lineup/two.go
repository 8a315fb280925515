package lineup

import (
	"context"
	"errors"
	"math"
	"net/http"
	"time"

	"thole/api/jobs"
	"thole/api/wire"
	"thole/selection/lineup"
)

// TwoBoatsRequest asks for line-ups of two boats from one squad.
type TwoBoatsRequest struct {
	Candidates []Candidate `json:"candidates" validate:"required,max=120"`
	First      BoatRules   `json:"first" validate:"required"`
	Second     BoatRules   `json:"second" validate:"required" description:"Who must row in one boat does not row in the other."`
	Aim        string      `json:"aim,omitempty" validate:"omitempty,oneof=first slower sum" default:"first" description:"first: the first boat as fast as can be, the second with who is left; slower: the boat that gives up more gives up as little as can be, which is the slower of two boats of one class; sum: both together give up as little as can be."`
}

// TwoBoatsAnswer are line-ups of two boats, with their proof.
type TwoBoatsAnswer struct {
	Aim         string      `json:"aim"`
	Found       bool        `json:"found" description:"Whether two line-ups were found before the search was stopped."`
	First       *SharedBoat `json:"first"`
	Second      *SharedBoat `json:"second"`
	ValueS      float64     `json:"value_s" description:"What the aim makes least."`
	LowerBoundS float64     `json:"lower_bound_s" description:"No two line-ups do better; 0 where nothing is proven yet."`
	GapS        float64     `json:"gap_s" description:"How much better two line-ups might be; 0 when proven."`
	Proven      bool        `json:"proven" description:"No two line-ups do better, to a microsecond."`
	Nodes       int         `json:"nodes"`
	ElapsedMs   float64     `json:"elapsed_ms"`
	InJob       bool        `json:"-"` // found by a job, which had its time
}

// SharedBoat is the line-up of one of two boats.
type SharedBoat struct {
	ScoredLineup
	AloneS   float64 `json:"alone_s" description:"The total of the best line-up that the whole squad could give this boat."`
	GivenUpS float64 `json:"given_up_s" description:"How far the line-up is behind that."`
}

// NotBoth is the error of a squad that does not fill both boats.
type NotBoth struct{ Text string }

// Error says what is short.
func (e *NotBoth) Error() string { return e.Text }

// Problem answers 422.
func (e *NotBoth) Problem() wire.Problem {
	return wire.Problem{Status: http.StatusUnprocessableEntity, Detail: e.Text}
}

// FindTwoBoats returns line-ups of two boats that share nobody. A context that ends
// early leaves an honest gap. The error is an *Invalid, an *Unmeetable or a *NotBoth.
func (s *Service) FindTwoBoats(ctx context.Context, r TwoBoatsRequest) (TwoBoatsAnswer, error) {
	first, second, err := r.problems()
	if err != nil {
		return TwoBoatsAnswer{}, err
	}
	return remembered(s, ctx, &r, func() (TwoBoatsAnswer, error) {
		start, tell := s.Now(), progress(ctx)
		found, err := lineup.Two(ctx, first, second, lineup.TwoOptions{Aim: lineup.Aim(r.aim()), Progress: func(p lineup.TwoProgress) {
			tell(p.Found, p.Best, p.LowerBound)
		}})
		if err != nil {
			return TwoBoatsAnswer{}, twoError(err)
		}
		a := wireTwo(&found)
		a.InJob = jobs.Inside(ctx)
		a.Aim, a.ElapsedMs = r.aim(), wire.Round(float64(s.Now().Sub(start))/float64(time.Millisecond), 1e3)
		return a, nil
	})
}

func (r *TwoBoatsRequest) aim() string {
	if r.Aim == "" {
		return string(lineup.AimFirst)
	}
	return r.Aim
}

// twoError carries an error of the search for two boats over to the edge.
func twoError(err error) error {
	var short *lineup.NotBothError
	if errors.As(err, &short) {
		return &NotBoth{wire.Sentence(short.Error())}
	}
	return ErrorOf(err)
}

// problems converts both boats; complaints about the candidates come once.
func (r *TwoBoatsRequest) problems() (first, second lineup.Problem, err error) {
	var all wire.Problems
	all.Check(wire.At(), r)
	one := LineupProblem{r.First, r.Candidates}
	first, err = one.problem()
	all.Merge(wire.Place{}, placed(err, "first"))
	one = LineupProblem{r.Second, r.Candidates}
	second, err = one.problem()
	all.Merge(wire.Place{}, placed(err, "second"))
	return first, second, all.OrNil()
}

// placed puts complaints about a boat's rules below the boat's name.
func placed(err error, boat string) error {
	var bad *wire.Invalid
	if !errors.As(err, &bad) {
		return nil
	}
	var p wire.Problems
	for _, f := range bad.Fields {
		one := &wire.Invalid{Fields: []wire.FieldProblem{f}}
		if _, squad := f.Place().Under(wire.At("candidates")); squad {
			p.Merge(wire.Place{}, one)
		} else {
			p.Merge(wire.At(boat), one)
		}
	}
	return p.OrNil()
}

func wireTwo(r *lineup.TwoResult) TwoBoatsAnswer {
	a := TwoBoatsAnswer{Found: r.Found, Proven: r.Proven, Nodes: r.Nodes}
	if !math.IsInf(r.LowerBound, 0) {
		a.LowerBoundS = ToCost(max(0, r.LowerBound))
	}
	if !r.Found {
		return a
	}
	boats := [2]*SharedBoat{}
	for k := range boats {
		boats[k] = &SharedBoat{wireScored(&r.Lineups[k]), ToCost(r.Alone[k]), ToCost(max(0, r.GivenUp[k]))}
	}
	a.First, a.Second = boats[0], boats[1]
	if a.ValueS = ToCost(max(0, r.Value)); !r.Proven {
		a.GapS = max(0, ToCost(a.ValueS-a.LowerBoundS))
	}
	return a
}
