package rigging

import "math"

// Fit is the rig of one seat that comes nearest to its targets.
type Fit struct {
	Setup  Setup
	Stroke Stroke
	// Targets are what was aimed at: those asked for, with values and weights
	// filled in, and what is kept as found.
	Targets FitTargets
	// Changes lead from the rig as found to Setup, in the order of the work.
	Changes []Change
	// Outside lists the settings that stood outside their range as found; the
	// fit started from the nearest end.
	Outside []Setting
	// Binding lists the ends of ranges that keep the targets away. It is empty
	// when every target is met.
	Binding []Stop
	Unmet   []Miss
	// Off is the root of the sum of squares of the misses, each counted in its
	// tolerance and times its weight.
	Off float64
	// Score is what the fit made as small as it can: see [Case.Fit].
	Score    float64
	Cautions []Caution
}

// Stop is one end of a setting's range that keeps targets away, and how much
// nearer they would come, in tolerances, if it lay up to 5 cm or 5° further out,
// steps left out.
type Stop struct {
	Setting Setting
	High    bool // the upper end
	Gain    float64
}

// Miss is a target that was not met. By is what was reached less what was
// wanted.
type Miss struct {
	Target Target
	By     float64
	Why    Why
}

// Fit looks for settings within their ranges and on their steps that bring the
// stroke to the targets. It is a free search over what the caller lets move, and
// takes a catch longer than its target as a miss like any other; what a boatman
// would do to a boat is [MakePlan]. It moves as little as it must: with Off the root of
// the weighted squares of the misses in tolerances, it makes
//
//	Score = Off·(1 if a target is missed, else 0.01) + 0.1·(costs of what moves) + 1e-5·(moves in cm or °)²
//
// as small as it can. So a setting of cost 1 moves only if it brings the
// targets, taken together, a tenth of a tolerance nearer, or brings them all
// within tolerance; a seat that meets its targets is left alone. The last term
// only decides between equals. Where steps are coarse a better rig may be
// missed, seldom.
//
// A setting that does not move keeps its value as found even off the steps. One
// that lies outside its range starts from the nearest step inside and may then
// move without cost. A junior's lever ratio is never raised.
//
// Two things are kept as found unless they are asked for, by joining the
// targets: the overlap where span or spread and inboard may both move, and the
// draw height where the gate and something else may move, since it is the body
// that says how high a gate should stand and not the arc.
//
// The rig and the rower must have passed their checks. The error is FieldErrors
// that name targets.… and adjust.…, or a *ReachError when the rower cannot row
// any rig in the ranges.
func (c *Case) Fit(targets FitTargets, adjust map[Setting]Adjustment) (Fit, error) {
	if errs := c.checkFit(targets, adjust); len(errs) > 0 {
		return Fit{}, errs
	}
	seat := newFitSeat(c, targets.resolved(c, adjust))
	s := newSearch(seat, adjust)
	if !s.run() {
		return Fit{}, s.unreachable()
	}
	return s.report(), nil
}

// checkFit returns what is wrong with the input of a fit.
func (c *Case) checkFit(targets FitTargets, adjust map[Setting]Adjustment) FieldErrors {
	var errs FieldErrors
	if c.Body.Body.Arm == 0 {
		errs = append(errs, &FieldError{Field: "rower", Problem: ProblemMissing, Detail: "say who rows the seat"})
	}
	if len(targets) == 0 {
		errs = append(errs, &FieldError{Field: "targets", Problem: ProblemMissing, Detail: "give at least one target"})
	}
	errs = append(errs, targets.check()...)
	return append(errs, checkAdjustments(&c.Setup, adjust)...)
}

// report describes the best rig found.
func (s *search) report() Fit {
	seat := s.seat
	s.place(s.best.values)
	seat.solve()
	f := Fit{
		Setup: seat.c.Setup, Stroke: seat.stroke, Targets: seat.targets(),
		Off: s.best.off, Score: s.best.score, Outside: s.outside(),
	}
	f.Changes = Changes(&seat.found, &f.Setup)
	f.Unmet, f.Binding = s.explain()
	f.Cautions = seat.cautions()
	return f
}

// differ tells whether two values of a setting are more than rounding apart, m
// or rad.
func differ(a, b float64) bool { return math.Abs(a-b) > 1e-9 }

// cautions returns what to heed about the fit itself; the rig that comes of it
// has its own.
func (s *fitSeat) cautions() []Caution {
	asked := false
	for _, g := range s.goals {
		asked = asked || g.target == TargetLeverRatio && g.want > s.leverCap
	}
	return warnIf(nil, asked, "junior_lever", Warning,
		"The lever ratio asked for is above the present one. A junior's gearing is not made heavier here: keep it or go lighter, and let technique and growth bring the length.")
}
