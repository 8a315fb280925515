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
