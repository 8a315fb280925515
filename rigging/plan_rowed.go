package rigging

// Rowed returns how the rower of the case rows it to targets: as expected and,
// where the catch would lie beyond the target, leaning less and then with the
// slide stopped earlier. A target catch that is cautioned as steep counts as one
// at the edge of that.
func (c *Case) Rowed(targets Targets) Posture {
	if targets.Catch == 0 {
		return c.Posture
	}
	p := planner{targets: targets}
	return c.comeForward(c.Posture, p.furthest(&c.Setup))
}

// RowedCautions returns the stroke of the case in a posture that comes less far
// forward than expected, and its cautions. The gates are judged in the case's own
// posture: a trunk held back at the catch moves the shoulders, and with them the
// slope of the arms early in the drive, only where it was decided to row so. The
// error is a *ReachError.
func (c *Case) RowedCautions(posture Posture, m *Measures) (Stroke, []Caution, error) {
	expected, err := c.Solve()
	if err != nil {
		return Stroke{}, nil, err
	}
	rowed := *c
	rowed.Posture = posture
	stroke, err := rowed.Solve()
	if err != nil {
		return Stroke{}, nil, err
	}
	list := rowed.loadCautions(&stroke, m)
	list = append(list, rowed.bodyCautions(&stroke, m)...)
	list = append(list, c.heightCautions(&expected)...)
	list = append(list, c.Setup.rangeCautions()...)
	return stroke, append(list, standing...), nil
}
