package rigging

// Solve returns the stroke of a body in a rig: the catch where the straight
// arm still reaches the handle, and the finish where the handle meets the
// torso. The rig must have passed [Setup.Check]; a nil handle means the
// heights that put the blade at the water ([Setup.HandleHeights]) under a crew
// that loads the boat to its reference displacement. The error is a
// *ReachError.
func Solve(setup *Setup, body *Body, posture *Posture, handle *Handle) (Stroke, error) {
	if handle == nil {
		h := setup.HandleHeights(setup.SeatOverWater)
		handle = &h
	}
	var s Stroke
	err := s.solve(setup, body, posture, *handle)
	if err != nil {
		return Stroke{}, err
	}
	return s, nil
}
