package seatrace

import (
	"testing"

	"gonum.org/v1/gonum/mat"
)

// Two singles, one margin, two values of the scales: by hand, the variance
// over both is the mean of the two and that of the means.
func TestVarianceOverNodesAddsThatOfTheMeans(t *testing.T) {
	z := mat.NewDense(2, 2, []float64{0.5, -0.5, -0.5, 0.5})
	j := newJoint(z, []float64{1, -1}, []float64{0, 0}, []float64{1, 1})
	nodes := []node{{0.25, 0.5, 1, 1}, {0.75, 0.5, 2, 3}}
	each, mean, cov := j.over(nodes)
	within, between := 0.0, 0.0
	difference := mean[0] - mean[1]
	for k, at := range each {
		// a margin of 2 with the variance 2σ², a prior of the variance 2s²
		noise, prior := 2*nodes[k].noise*nodes[k].noise, 2*nodes[k].spread*nodes[k].spread
		one := 2 * prior / (prior + noise)
		near(t, "difference at a node", at.mean[0]-at.mean[1], one, 1e-12)
		near(t, "variance at a node", pairForm(at.cov, 0, 1), prior*noise/(prior+noise), 1e-12)
		within += at.weight * pairForm(at.cov, 0, 1)
		between += at.weight * (one - difference) * (one - difference)
	}
	near(t, "variance over both", pairForm(cov, 0, 1), within+between, 1e-12)
	if between < 1e-3 {
		t.Errorf("the means agree, so that nothing is tested: %g", between)
	}
}
