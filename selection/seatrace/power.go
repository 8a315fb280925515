package seatrace

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"thole/rigging"
	"thole/selection"
)

// Conversion turns seconds of a boat into watts of one rower. The speed goes
// with the cube root of the crew's power, so that
//
//	dt/dP = −t/(3 ΣP).
type Conversion struct {
	Time       float64 // t, s over the distance of the pieces
	TotalPower float64 // ΣP of the crew, W
}

// Watts returns the power of one rower that gains the given seconds.
func (c Conversion) Watts(seconds float64) float64 { return seconds * 3 * c.TotalPower / c.Time }

// Seconds returns what the given power of one rower gains.
func (c Conversion) Seconds(watts float64) float64 { return watts * c.Time / (3 * c.TotalPower) }

// check returns an error when time or power is not above 0.
func (c Conversion) check() error {
	var errs rigging.FieldErrors
	if !positive(c.Time) {
		errs = append(errs, selection.ErrorAt(rigging.PlaceOf(selection.FieldConversion, selection.FieldTime), rigging.ProblemRange, "the time over the distance must be above 0 s"))
	}
	if !positive(c.TotalPower) {
		errs = append(errs, selection.ErrorAt(rigging.PlaceOf(selection.FieldConversion, selection.FieldTotalPower), rigging.ProblemRange, "the crew's power must be above 0 W"))
	}
	if errs == nil {
		return nil
	}
	return errs
}

// RacePower is the race power of athletes with its covariance.
type RacePower struct {
	IDs   []string
	Watts []float64
	Cov   *mat.SymDense // W²
}

// PriorFromPower turns race powers and their standard deviations into a prior
// about the athletes' mean power, which it returns in W.
func PriorFromPower(athletes []selection.Athlete, c Conversion) (prior *Prior, mean float64, err error) {
	if err := c.check(); err != nil {
		return nil, 0, err
	}
	prior = &Prior{Means: map[string]float64{}, SDs: map[string]float64{}}
	for _, a := range athletes {
		mean += a.Power / float64(len(athletes))
	}
	var errs rigging.FieldErrors
	for _, a := range athletes {
		if !positive(a.Power) || !positive(a.PowerSD) {
			errs = append(errs, selection.ErrorAt(rigging.PlaceOf(selection.FieldAthletes, rigging.Field(a.ID)), rigging.ProblemMissing, "race power and its standard deviation must both be above 0 W"))
		}
		prior.Means[a.ID] = c.Seconds(a.Power - mean)
		prior.SDs[a.ID] = c.Seconds(a.PowerSD)
	}
	if errs != nil {
		return nil, 0, errs
	}
	return prior, mean, nil
}

// RacePower turns the final effects into race power. The level, in W, is the
// power that an effect of 0 stands for: the mean that PriorFromPower returned
// or, for racing alone, the mean power of those who raced. Racing alone that
// leaves a difference open gives an error, for its covariance would claim
// that this difference is known to be nothing.
func (r *Result) RacePower(level float64, c Conversion) (*RacePower, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	if math.IsNaN(level) || math.IsInf(level, 0) {
		return nil, selection.ErrorAt(rigging.PlaceOf(selection.FieldLevel), rigging.ProblemRange, "the power that an effect of 0 stands for is not a number")
	}
	if r.Joint == nil && len(r.NotEstimable) > 0 {
		return nil, selection.ErrorAt(rigging.PlaceOf(selection.FieldPrior), rigging.ProblemMissing, "racing alone leaves differences open, so that a prior is needed: %s", r.NotEstimable[0])
	}
	e := r.Final()
	out := &RacePower{IDs: e.groups.ids, Cov: scaled(c.Watts(1)*c.Watts(1), e.cov)}
	for _, m := range e.mean {
		out.Watts = append(out.Watts, level+c.Watts(m))
	}
	return out, nil
}
