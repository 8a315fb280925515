package stroke

import (
	"fmt"
	"math"

	"thole/rigging"
)

// Basis is what reports whether the blade works.
type Basis int

// The bases of slip.
const (
	ByShare Basis = iota // the force reaches a share of the stroke's own peak
	ByForce              // the force reaches a fixed level
	ByDepth              // the blade is covered
)

// DefaultShare is the share of a stroke's own peak at which slip is measured
// unless something else is chosen: one of the published thresholds (S. K.
// Millar et al., Sports 3:335, 2015). A share asks the same of a light rower
// and of a heavy one, of an oar and of a scull, in any unit and at either
// site of the sensor, which a fixed force does not.
const DefaultShare = 0.3

// DefaultCovered is the vertical angle at which the blade counts as covered
// (V. Kleshnev, Rowing Biomechanics Newsletter, August 2015).
const DefaultCovered = -3 * rigging.Degree

// Thresholds say from where to where a blade counts as working. Slip is a
// matter of threshold, so that it is never shown without. The zero value
// measures at [DefaultShare] of each stroke's own peak.
type Thresholds struct {
	Basis Basis
	// Share of the stroke's peak force, 0 to 1, for ByShare; 0 stands for
	// DefaultShare.
	Share float64
	// Catch and Release in N, at the site where the force was measured, for
	// ByForce.
	Catch, Release float64
	// RowerOars says whose Catch and Release are: 0 that of each oar, 1 or 2
	// that of a rower with so many oars, over which the force is split evenly.
	RowerOars int
	// Covered is the vertical angle below which the blade is covered, for
	// ByDepth and for the path of the blade; 0 stands for DefaultCovered.
	Covered rigging.Angle
}

func (t Thresholds) covered() float64 {
	if t.Covered == 0 {
		return float64(DefaultCovered)
	}
	return float64(t.Covered)
}

// PeakShare is the share of the peak at which slip is read.
func (t Thresholds) PeakShare() float64 {
	if t.Share == 0 {
		return DefaultShare
	}
	return t.Share
}

// levels returns the thresholds of a stroke of one oar with the given peak
// force: N, or rad by depth.
func (t Thresholds) levels(peak float64) (up, down float64) {
	switch t.Basis {
	case ByForce:
		split := float64(max(t.RowerOars, 1))
		return t.Catch / split, t.Release / split
	case ByDepth:
		return t.covered(), t.covered()
	}
	return t.PeakShare() * peak, t.PeakShare() * peak
}

// String reports the threshold in the user's units, to be printed beside a slip.
func (t Thresholds) String() string {
	switch t.Basis {
	case ByForce:
		return fmt.Sprintf("%.4g N at the catch, %.4g N at the release, %s", t.Catch, t.Release, t.whose())
	case ByDepth:
		return fmt.Sprintf("blade covered at %g°", math.Round(100*rigging.Angle(t.covered()).Degrees())/100+0)
	}
	return fmt.Sprintf("%.4g %% of peak force", t.PeakShare()*100)
}

// whose reports whether a fixed force is that of an oar or of a rower.
func (t Thresholds) whose() string {
	switch t.RowerOars {
	case 1:
		return "of a rower with one oar"
	case 2:
		return "of a rower, half of it on each of two oars"
	}
	return "of each oar"
}

// Validate returns a *rigging.FieldError of the first field that cannot be right. What
// it takes is our judgement: forces up to what an oar is pulled with, blades no deeper
// than 20°.
func (t Thresholds) Validate() error {
	within := func(x, low, high float64) bool { return x >= low && x <= high }
	switch {
	case t.Basis < ByShare || t.Basis > ByDepth:
		return wrong(rigging.ProblemUnknown, "slip is measured by share of the peak, by force or by depth", "thresholds")
	case t.Basis == ByForce && !within(t.Catch, 1, 2000):
		return wrong(rigging.ProblemMismatch, "give a force of 1 to 2000 N", "thresholds", "catch_n")
	case t.Basis == ByForce && !within(t.Release, 1, 2000):
		return wrong(rigging.ProblemMismatch, "give a force of 1 to 2000 N", "thresholds", "release_n")
	case t.Basis == ByForce && (t.RowerOars < 0 || t.RowerOars > 2):
		return wrong(rigging.ProblemMismatch, "a rower has one oar or two; leave it out for a force of each oar", "thresholds", "rower_oars")
	case t.Basis == ByShare && !within(t.PeakShare(), 0.01, 0.95):
		return wrong(rigging.ProblemMismatch, "give a share of 0.01 to 0.95", "thresholds", "share_of_peak")
	case math.IsNaN(float64(t.Covered)) || t.Covered > 0 || t.Covered < -20*rigging.Degree:
		return wrong(rigging.ProblemMismatch, "give an angle of −20° to 0°: the blade lies below the water", "thresholds", "covered_deg")
	}
	return nil
}
