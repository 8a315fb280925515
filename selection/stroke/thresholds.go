package stroke

import (
	"fmt"
	"math"

	"thole/rigging"
)

// Basis is what tells whether the blade works.
type Basis int

// The bases of slip.
const (
	ByForce Basis = iota // the force reaches a fixed level
	ByShare              // the force reaches a share of the stroke's own peak
	ByDepth              // the blade is covered
)

// DefaultCovered is the vertical angle at which the blade counts as covered
// (V. Kleshnev, Rowing Biomechanics Newsletter, August 2015).
const DefaultCovered = -3 * rigging.Degree

// Thresholds say from where to where a blade counts as working. Slip is a
// matter of threshold, so that it is never shown without. Widely used: 196 N
// at the catch and 98 N at the release, and 30 % of the peak (S. K. Millar
// et al., Sports 3:335, 2015), and the blade covered at −3°.
type Thresholds struct {
	Basis Basis
	// Catch and Release in N, at the site where the force was measured, for
	// ByForce.
	Catch, Release float64
	// Share of the stroke's peak force, 0 to 1, for ByShare.
	Share float64
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

// levels returns the thresholds of a stroke with the given peak force: N, or
// rad by depth.
func (t Thresholds) levels(peak float64) (up, down float64) {
	switch t.Basis {
	case ByShare:
		return t.Share * peak, t.Share * peak
	case ByDepth:
		return t.covered(), t.covered()
	}
	return t.Catch, t.Release
}

// String says the threshold in the user's units, to be printed beside a slip.
func (t Thresholds) String() string {
	switch t.Basis {
	case ByShare:
		return fmt.Sprintf("%.4g %% of peak force", t.Share*100)
	case ByDepth:
		return fmt.Sprintf("blade covered at %.4g°", rigging.Angle(t.covered()).Degrees())
	}
	return fmt.Sprintf("%.4g N at the catch, %.4g N at the release", t.Catch, t.Release)
}

// Validate names the first field that cannot be right, as a
// *rigging.FieldError.
func (t Thresholds) Validate() error {
	within := func(x, low, high float64) bool { return x >= low && x <= high }
	switch {
	case t.Basis < ByForce || t.Basis > ByDepth:
		return wrong("thresholds", rigging.ProblemUnknown, "slip is measured by force, by share of the peak or by depth")
	case t.Basis == ByForce && !within(t.Catch, 1, 2000):
		return wrong("thresholds.catch_n", rigging.ProblemMismatch, "give a force of 1 to 2000 N")
	case t.Basis == ByForce && !within(t.Release, 1, 2000):
		return wrong("thresholds.release_n", rigging.ProblemMismatch, "give a force of 1 to 2000 N")
	case t.Basis == ByShare && !within(t.Share, 0.01, 0.95):
		return wrong("thresholds.share_of_peak", rigging.ProblemMismatch, "give a share of 0.01 to 0.95")
	case math.IsNaN(float64(t.Covered)) || t.Covered > 0 || t.Covered < -20*rigging.Degree:
		return wrong("thresholds.covered_deg", rigging.ProblemMismatch, "give an angle of −20° to 0°: the blade lies below the water")
	}
	return nil
}
