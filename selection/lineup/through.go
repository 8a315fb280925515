package lineup

import (
	"math"

	"thole/selection"
)

// Turning returns the moment about the vertical axis of a sweep line-up at the
// selection.CurveNodes nodes of the drive, as a share of the root mean square
// of the reference: the alternating rig with equal rowers of the squad's mean
// shape. The mean square of the answer times Weights.Yaw is the yaw term.
// Positive turns the way of a starboard rower sternwards of mid-boat at the
// finish. It is nil for a sculling boat.
func Turning(p Problem, l selection.Lineup) ([]float64, error) {
	// The unit of the moment needs a weight; it cancels.
	p.Weights.Yaw = 1
	q, crew, r, err := place(p, l)
	if err != nil || !q.sweep() {
		return nil, err
	}
	curves := make([][]float64, len(q.athletes))
	var sum float64
	for i, a := range q.athletes {
		curves[i] = a.Curve
		sum += a.Power
	}
	shapes, _ := squadShapes(curves, selection.CurveNodes)
	moment := make([]float64, selection.CurveNodes)
	turning := q.turning()
	for s, i := range crew {
		arm := float64(r.sides[s]) * q.arms[s] * q.power[i] * float64(len(curves)) / sum * math.Sqrt(q.yawUnit)
		for u := range moment {
			moment[u] += arm * shapes[i][u] * math.Sqrt(turning[u])
		}
	}
	// sin θ is negative before the oar stands square.
	for u := range moment {
		share := float64(u) / float64(len(moment)-1)
		if q.p.Catch.Radians()*(1-share)+q.p.Finish.Radians()*share < 0 {
			moment[u] = -moment[u]
		}
	}
	return moment, nil
}
