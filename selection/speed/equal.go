package speed

import "math"

// baseline is a boat before a change, in its steady stroke.
type baseline struct {
	stroke Stroke
	at     solution
	speed  float64
	crew   float64           // mean power of all, W
	seats  [MaxSeats]float64 // W
	slope  [MaxSeats + 1]slopes
}

// slopes holds the derivatives of the two residuals of a cycle, (w_after −
// w)/w and P/P_wanted − 1, in ln w and in the factor of force; false before
// they were found.
type slopes struct {
	found bool
	j     [2][2]float64
}

// groups is a set of groups of a kernel.
type groups [MaxSeats]bool

// chosen returns the groups of a seat, or of all.
func (k *kernel) chosen(s *Stroke, seat int) (set groups) {
	for i := range s.Seats {
		if seat == EverySeat || seat == i {
			set[k.groupOf(s, i)] = true
		}
	}
	return set
}

// mean returns the mean power of a rower in the groups, W.
func (k *kernel) mean(set groups) float64 {
	sum, n := 0.0, 0.0
	for i := range k.n {
		if set[i] {
			sum += k.groups[i].rowers * k.power(i)
			n += k.groups[i].rowers
		}
	}
	return sum / n
}

// base solves a boat before a change; where the pricer knows the speed, drag
// is set so that the boat goes at it.
func (p *pricer) base(s Stroke) (*baseline, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	k := &p.kernel
	k.load(&s)
	sol, _, err := k.steady(cold, nearly)
	if err == nil && p.speed > 0 {
		sol, err = k.matchSpeed(p.speed, sol)
		s.Drag = k.drag
	}
	if err != nil {
		return nil, err
	}
	b := &baseline{stroke: s, at: sol, speed: k.way / k.period}
	b.crew = k.mean(k.chosen(&s, EverySeat))
	for i := range s.Seats {
		b.seats[i] = k.power(k.groupOf(&s, i))
	}
	return b, nil
}

// power returns the power before the change, W.
func (b *baseline) power(seat int) float64 {
	if seat == EverySeat {
		return b.crew
	}
	return b.seats[seat]
}

func (b *baseline) time(distance float64) float64 { return distance / b.speed }

// matchSpeed sets the kernel's drag so that the steady stroke goes at a mean
// speed in m/s: k ∝ v^−2 at a force, corrected by secants in ln k.
func (k *kernel) matchSpeed(speed float64, from solution) (solution, error) {
	slope := -0.4 // of ln v in ln k, near enough to start
	lastK, lastV := 0.0, 0.0
	for range 30 {
		v := math.Log(k.way / k.period / speed)
		if math.Abs(v) <= 10*nearly {
			return from, nil
		}
		at := math.Log(k.drag)
		if lastK != 0 && math.Abs(at-lastK) > telling {
			slope = min(max((v-lastV)/(at-lastK), -1), -0.1)
		}
		lastK, lastV = at, v
		k.drag = math.Exp(at - v/slope)
		var err error
		if from, _, err = k.steady(from, nearly); err != nil {
			return from, err
		}
	}
	return from, ErrNoStroke
}

// slopes returns the derivatives for the seats changed, found once by
// differences at the base.
func (b *baseline) slopes(p *pricer, seat int) [2][2]float64 {
	memo := &b.slope[seat+1]
	if !memo.found {
		var k kernel
		k.load(&b.stroke)
		memo.j, memo.found = k.slopes(k.chosen(&b.stroke, seat), b.power(seat), b.at.w), true
	}
	return memo.j
}

// slopes returns the derivatives of the residuals by differences.
func (k *kernel) slopes(set groups, power, w float64) (j [2][2]float64) {
	const part = 0.01 // numerical: the slopes only steer the first step, so 1 % serves
	at := k.residuals(set, power, w, 1)
	byW := k.residuals(set, power, w*(1+part), 1)
	byForce := k.residuals(set, power, w, 1+part)
	for i := range 2 {
		j[i] = [2]float64{(byW[i] - at[i]) / part, (byForce[i] - at[i]) / part}
	}
	return j
}

// residuals runs a cycle from w with the peak force of the groups times a
// factor; the peaks are left as they were.
func (k *kernel) residuals(set groups, power, w, factor float64) [2]float64 {
	var peaks [MaxSeats]float64
	for i := range k.n {
		peaks[i] = k.groups[i].peak
		if set[i] {
			k.groups[i].peak *= factor
		}
	}
	after, _ := k.run(w)
	for i := range k.n {
		k.groups[i].peak = peaks[i]
	}
	return [2]float64{(after - w) / w, k.mean(set)/power - 1}
}

// atPower scales the peak forces of the groups until their mean power is as
// wanted, in W, and the stroke repeats itself: Broyden's method in w and the
// factor, which it returns. The kernel then holds that cycle.
func (k *kernel) atPower(set groups, power, w float64, j [2][2]float64) (factor float64, err error) {
	factor = 1
	r := k.residuals(set, power, w, factor)
	for range maxCycles {
		if math.Abs(r[0]) <= nearly && math.Abs(r[1]) <= nearly {
			return factor, nil
		}
		det := j[0][0]*j[1][1] - j[0][1]*j[1][0]
		dw := -(j[1][1]*r[0] - j[0][1]*r[1]) / det
		df := -(j[0][0]*r[1] - j[1][0]*r[0]) / det
		dw, df = min(max(dw, -0.2), 0.2), min(max(df, -0.3), 0.3)
		w, factor = w*(1+dw), factor+df
		next := k.residuals(set, power, w, factor)
		length := dw*dw + df*df
		if !(length > 0) || math.IsNaN(next[0]+next[1]) {
			break
		}
		for i := 0; i < 2 && length > telling*telling; i++ {
			miss := (next[i] - r[i] - j[i][0]*dw - j[i][1]*df) / length
			j[i][0] += miss * dw
			j[i][1] += miss * df
		}
		r = next
	}
	return 0, ErrNoStroke
}
