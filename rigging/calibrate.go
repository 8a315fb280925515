package rigging

import (
	"math"
	"slices"
)

// MeasuredArc is one arc measured on the water, by an angle sensor at the gate
// or on a photograph from above, or in the boat at rest ([Case.Correct]), with
// the rig it was rowed in. A zero Catch or Finish was not measured.
type MeasuredArc struct {
	Setup         Setup
	Handle        *Handle // nil: from the heights of gate and water
	Displacement  float64 // kg; 0: the class's with this rower
	Catch, Finish Angle
	SD            Angle // standard deviation of each angle; 0 stands for DefaultArcSD
	FinishSD      Angle // of the finish where it differs; 0 stands for SD
}

// DefaultArcSD is the standard deviation assumed of a measured angle;
// engineering judgement, a gate sensor's scatter over a few strokes.
const DefaultArcSD = 0.5 * Degree

func (a *MeasuredArc) sd() Angle {
	if a.SD > 0 {
		return a.SD
	}
	return DefaultArcSD
}

func (a *MeasuredArc) finishSD() Angle {
	if a.FinishSD > 0 {
		return a.FinishSD
	}
	return a.sd()
}

// Calibration is the posture that explains measured arcs best.
type Calibration struct {
	Posture Posture
	// Standard deviations that remain for the body as it stands. A catch
	// alone cannot tell lean, protraction and shin apart: each then stays
	// nearly as open as before while their sum is known. A shin that was
	// stated has none.
	LeanSD, LaybackSD, ShinSD Angle
	ProtractionSD             float64 // m
	// CatchMiss and FinishMiss are modelled less measured angles, one for
	// each arc; zero where nothing was measured.
	CatchMiss, FinishMiss []Angle
	// Doubtful is true when the measured arcs ask for a posture more than
	// three standard deviations from the prior, all habits taken
	// together, or hold a catch nearer to the hull than anybody
	// rows: check rig, body and sensor.
	Doubtful bool
	// Belief is what is known of posture and body together, for the
	// predictions' uncertainty: set it as [Case.Belief] with Posture.
	Belief *Belief
}

// Calibrate fits lean, layback and protraction to measured arcs by least squares
// with a prior about the stated posture. The shin stays as it is stated, since a
// catch alone cannot tell it from the lean; [Case.Expect], which starts from no
// statement, leaves it open. A measured arc that the body
// cannot row in its rig yields a *ReachError, an empty list a *FieldError.
func Calibrate(body Estimate, prior Posture, arcs []MeasuredArc) (Calibration, error) {
	spread := habitSD
	spread[habitShin] = 0
	f := newHabitFit(&body, prior, arcs, spread)
	if f.rows == 0 {
		return Calibration{}, problemAt(PlaceOf(FieldArcs), ProblemMissing, Count, "give at least one measured catch or finish")
	}
	var x [habitCount]float64
	if _, err := f.misses(nil, x); err != nil {
		return Calibration{}, err
	}
	return f.calibrate(x)
}

// calibrate looks for the habits from x and reports them.
func (f *habitFit) calibrate(x [habitCount]float64) (Calibration, error) {
	return f.report(f.minimise(x))
}

// report turns the solution into a Calibration.
func (f *habitFit) report(x [habitCount]float64) (Calibration, error) {
	f.look(x)
	c := Calibration{Posture: f.posture(x), Belief: f.belief()}
	c.Belief.Measured, c.Belief.CatchMeasured = true, catchMeasured(f.arcs) // Expect takes them back for the group's arc
	sd := f.habitSDs()
	c.LeanSD, c.LaybackSD, c.ShinSD = Angle(sd[habitLean]), Angle(sd[habitLayback]), Angle(sd[habitShin])
	c.ProtractionSD = sd[habitProtraction]
	for i := range f.arcs {
		arc := &f.arcs[i]
		s, err := f.solve(arc, x)
		if err != nil {
			return Calibration{}, err
		}
		c.CatchMiss = append(c.CatchMiss, missOf(s.Catch, arc.Catch))
		c.FinishMiss = append(c.FinishMiss, missOf(s.Finish, arc.Finish))
	}
	c.Doubtful = math.Sqrt(sumSquares(x[:])) > 3 || slices.ContainsFunc(f.arcs, func(a MeasuredArc) bool { return a.Catch < -furthestCatch })
	return c, nil
}

// furthestCatch is a catch beyond all that people are known to row; engineering
// judgement.
const furthestCatch = 80 * Degree

func missOf(model, measured Angle) Angle {
	if measured == 0 {
		return 0
	}
	return model - measured
}
