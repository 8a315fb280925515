package rigging

import "math"

// Proof is the check at the boat of a stretcher's place: where the handle
// stands with the rower in the seat, m from the line of work, read with a tape
// along the boat. The finish is read with the legs down and the hands at the
// body, towards the bow; the catch at full reach, towards the stern.
type Proof struct {
	// FinishMiddle and CatchMiddle are for the middle of the handle; in
	// sweep that is between the hands.
	FinishMiddle, CatchMiddle float64
	// FinishHand and CatchHand are for the hand that sets the reach: the
	// same in sculling, the outside hand in sweep.
	FinishHand, CatchHand float64
}

// Proof returns where the handle stands at the ends of an arc; zero for an end
// that is not given.
func (s *Setup) Proof(ends Targets) Proof {
	lv := s.Levers()
	return Proof{
		FinishMiddle: lv.Inner * ends.Finish.sin(), CatchMiddle: -lv.Inner * ends.Catch.sin(),
		FinishHand: lv.Hand * ends.Finish.sin(), CatchHand: -lv.Hand * ends.Catch.sin(),
	}
}

// Reading is what was read of a [Proof] with the rower in the seat, m, both
// ends without sign. A zero was not read.
type Reading struct {
	Finish, Catch float64
	// OutsideHand says that a sweep reading went to the outside hand and not
	// to the middle of the handle.
	OutsideHand bool
}

// The standard deviations of angles read in the seat; engineering judgement.
// Full reach at rest is not what is rowed; the hands at the body are, and with
// as wide a spread at the finish the group's usual posture would move the
// stretcher back again after the correction.
const (
	ReadingCatchSD  = 2 * Degree
	ReadingFinishSD = 1 * Degree
)

// lever returns the distance from the pin to what was read, m.
func (r *Reading) lever(s *Setup) float64 {
	lv := s.Levers()
	if r.OutsideHand {
		return lv.Hand
	}
	return lv.Inner
}

// inReading is where the values of a reading stand.
var inReading = PlaceOf(FieldReading)

// Check returns every problem of the reading in the rig as FieldErrors, or nil.
// The handle cannot stand further off than the oar at its largest angle.
func (r *Reading) Check(s *Setup) error {
	most := r.lever(s) * maxOarAngle.sin()
	errs := checkAll(given([]plausible{
		{place: inReading.Then(FieldFinish), quantity: Length, low: r.lever(s) * deg(5), high: most, value: r.Finish},
		{place: inReading.Then(FieldCatch), quantity: Length, low: r.lever(s) * deg(10), high: most, value: r.Catch},
	}))
	if r.Finish == 0 && r.Catch == 0 {
		errs = append(errs, problemAt(inReading.Then(FieldFinish), ProblemMissing, Length,
			"give what was read at the finish, at full reach or both"))
	}
	return errs.orNil()
}

// Arc returns the reading as a measured arc of the rig it was taken in, for
// [Case.Expect] and [Calibrate].
func (r *Reading) Arc(s *Setup) MeasuredArc {
	angle := func(x float64) Angle { return Angle(math.Asin(min(1, x/r.lever(s)))) }
	return MeasuredArc{Setup: *s, Catch: -angle(r.Catch), Finish: angle(r.Finish), SD: ReadingCatchSD, FinishSD: ReadingFinishSD}
}

// HeelSD returns what a spread of the finish, rad, leaves open of the heel's place, m.
// The body moves with the stretcher by the hands' lever times the sine of the finish,
// so that a radian is worth the lever times its cosine.
func (s *Setup) HeelSD(finish, spread Angle) float64 {
	return float64(spread) * s.Levers().Hand * finish.cos()
}

// Correct returns where the heel belongs for a finish after a reading in the
// rig, m from the line of work: the body moves with the stretcher, and so one
// step puts it right whatever the posture, but for the steps of the stretcher.
// It needs a reading of the finish and panics without.
func (r *Reading) Correct(s *Setup, finish Angle) float64 {
	if r.Finish == 0 {
		panic("rigging: correcting a stretcher without a reading of the finish")
	}
	hand := s.Levers().Hand
	read := r.Arc(s).Finish
	return s.HeelToPin + hand*(read.sin()-finish.sin())
}
