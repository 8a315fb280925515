package seatrace

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"thole/rigging"
	"thole/selection"
)

// Wins is a judgement by the order of finish alone, for pieces whose times
// cannot be trusted.
type Wins struct {
	Strengths []Strength // in the order of the names
	// Advantage is the log odds that each place in Piece.Crews gives its
	// boat, about their mean; nil without Model.Hulls.
	Advantage []float64
	// LogLikelihood of the orders of finish.
	LogLikelihood float64
	Rank          int      // independent differences settled
	NotEstimable  []string // what the wins cannot tell, and why

	mean   []float64
	cov    *mat.SymDense
	groups *comparison
}

// Strength is what one athlete adds to the log odds of winning.
type Strength struct {
	ID          string
	LogOdds, SD float64 // about the mean of the athlete's group; 0 when not estimable
	Group       int     // athletes with equal numbers can be compared
	Estimable   bool
}

// stage is one step of an order of finish: of the boats (rows of the design)
// still racing, the first is the next to finish. A dead heat counts every
// order of the boats concerned in equal shares.
type stage struct {
	boats []int
	share float64
}

// EstimateWins judges pieces by their orders of finish: a boat's log odds is
// the sum of its athletes' strengths, and each next finisher is drawn from the
// boats left in proportion to the odds (R. D. Luce 1959, R. L. Plackett 1975;
// for two boats R. A. Bradley and M. E. Terry, Biometrika 39:324, 1952). It
// fails when the same crews won every time, for then no strength is bounded.
// Model.Hulls gives every lane or hull an advantage; the rest of Options but
// Distance and Sides is not used.
func EstimateWins(pieces []selection.Piece, o Options) (*Wins, error) {
	o.Prior, o.NoiseSD = nil, 0
	o.Model.Absolute, o.Model.Trends = false, false
	t, errs := checkRaces(pieces, o)
	if errs != nil {
		return nil, errs
	}
	d := newDesign(t, o.Model)
	s := d.solve()
	w := &Wins{Rank: s.rank, groups: newComparison(t, d, s, o.Model, o.Sides)}
	w.NotEstimable = w.groups.sentences()
	if err := w.fit(t, o.Model); err != nil {
		return nil, err
	}
	w.list()
	return w, nil
}

// stagesOf lists the steps of every order of finish.
func stagesOf(t *table) []stage {
	rowsOf := make([][]int, t.pieces)
	for i, r := range t.rows {
		rowsOf[r.piece] = append(rowsOf[r.piece], i)
	}
	var out []stage
	for _, rows := range rowsOf {
		out = append(out, finishes(t, rows, 1)...)
	}
	return out
}

// finishes lists the steps that empty a set of boats.
func finishes(t *table, boats []int, share float64) []stage {
	if len(boats) < 2 {
		return nil
	}
	var firsts []int
	for k, b := range boats {
		switch {
		case len(firsts) == 0 || t.rows[b].time < t.rows[boats[firsts[0]]].time:
			firsts = []int{k}
		case t.rows[b].time == t.rows[boats[firsts[0]]].time:
			firsts = append(firsts, k)
		}
	}
	share /= float64(len(firsts))
	var out []stage
	for _, k := range firsts {
		rest := make([]int, 0, len(boats))
		rest = append(append(rest, boats[:k]...), boats[k+1:]...)
		out = append(out, stage{append([]int{boats[k]}, rest...), share})
		out = append(out, finishes(t, rest, share)...)
	}
	return out
}

// fit maximises the likelihood by Newton's method in the space that the
// margins span.
func (w *Wins) fit(t *table, m Model) error {
	x := withExtra(crewMatrix(t), t, m)
	centred := mat.DenseCopyOf(x)
	centreColumns(centred, blocksOf(t, m))
	basis := leastSquares(centred, make([]float64, len(t.rows)), mat.Norm(x, 2)).basis
	_, columns := x.Dims()
	w.mean, w.cov = make([]float64, columns), mat.NewSymDense(columns, nil)
	stages := stagesOf(t)
	if basis != nil && !w.climbIn(basis, x, stages) {
		return &rigging.FieldError{Field: "pieces", Problem: rigging.ProblemMismatch, Detail: "some crews won whenever they could be told apart, so that wins alone set no bound on their strength: judge by the times, or row more pieces"}
	}
	w.LogLikelihood, _, _ = likelihood(x, stages, mat.NewVecDense(columns, w.mean))
	if m.Hulls {
		w.Advantage = w.mean[len(t.ids):]
	}
	return nil
}

// climbIn finds the maximum in the space of the basis and sets mean and
// covariance; it reports whether there is one.
func (w *Wins) climbIn(basis, x *mat.Dense, stages []stage) bool {
	var reduced mat.Dense
	reduced.Mul(x, basis)
	point, info, ok := newton(&reduced, stages)
	if !ok {
		return false
	}
	var mean mat.VecDense
	mean.MulVec(basis, point)
	w.mean = mean.RawVector().Data
	var cov mat.SymDense
	if err := info.InverseTo(&cov); err != nil {
		return false
	}
	var full, half mat.Dense
	half.Mul(basis, &cov)
	full.Mul(&half, basis.T())
	w.cov = symmetric(&full, 1)
	return true
}

// newton climbs from zero; the likelihood is concave. ok is false when it has
// no maximum.
func newton(x *mat.Dense, stages []stage) (point *mat.VecDense, info *mat.Cholesky, ok bool) {
	_, p := x.Dims()
	point, info = mat.NewVecDense(p, nil), new(mat.Cholesky)
	for range 100 {
		value, slope, bend := likelihood(x, stages, point)
		if certain(x, stages, point) || !info.Factorize(bend) {
			return nil, nil, false
		}
		var step mat.VecDense
		if info.SolveVecTo(&step, slope) != nil {
			return nil, nil, false
		}
		climb(x, stages, point, &step, value)
		if mat.Dot(&step, slope) < 1e-20*float64(len(stages)) {
			return point, info, true
		}
	}
	return nil, nil, false
}

// certain reports whether a finish of several boats has become as good as
// certain, which no number of wins between the bounded makes it: the
// likelihood then climbs for ever.
func certain(x *mat.Dense, stages []stage, at *mat.VecDense) bool {
	var eta mat.VecDense
	eta.MulVec(x, at)
	for _, s := range stages {
		if _, log := softmax(&eta, s.boats); log > -1e-9 {
			return true
		}
	}
	return false
}

// climb moves along the step, halved until the likelihood does not fall.
func climb(x *mat.Dense, stages []stage, point, step *mat.VecDense, value float64) {
	for size := 1.0; size > 1e-6; size /= 2 {
		var next mat.VecDense
		next.AddScaledVec(point, size, step)
		if v, _, _ := likelihood(x, stages, &next); v >= value-1e-12*math.Abs(value) {
			point.CopyVec(&next)
			return
		}
	}
}

// likelihood returns the log likelihood at a point with its gradient and the
// negative of its second derivatives.
func likelihood(x *mat.Dense, stages []stage, at *mat.VecDense) (value float64, slope *mat.VecDense, bend *mat.SymDense) {
	_, p := x.Dims()
	var eta mat.VecDense
	eta.MulVec(x, at)
	slope, bend = mat.NewVecDense(p, nil), mat.NewSymDense(p, nil)
	for _, s := range stages {
		chance, log := softmax(&eta, s.boats)
		value += s.share * log
		mean := mat.NewVecDense(p, nil)
		for k, b := range s.boats {
			mean.AddScaledVec(mean, chance[k], x.RowView(b))
		}
		slope.AddScaledVec(slope, s.share, x.RowView(s.boats[0]))
		slope.AddScaledVec(slope, -s.share, mean)
		for k, b := range s.boats {
			var off mat.VecDense
			off.SubVec(x.RowView(b), mean)
			bend.SymRankOne(bend, s.share*chance[k], &off)
		}
	}
	return value, slope, bend
}

// softmax returns the chance of each boat to be next and the log of the
// first's.
func softmax(eta *mat.VecDense, boats []int) (chance []float64, log float64) {
	top := math.Inf(-1)
	for _, b := range boats {
		top = max(top, eta.AtVec(b))
	}
	chance = make([]float64, len(boats))
	sum := 0.0
	for k, b := range boats {
		chance[k] = math.Exp(eta.AtVec(b) - top)
		sum += chance[k]
	}
	for k := range chance {
		chance[k] /= sum
	}
	return chance, eta.AtVec(boats[0]) - top - math.Log(sum)
}

// list fills Strengths, each group about its mean.
func (w *Wins) list() {
	for i, id := range w.groups.ids {
		out := Strength{ID: id, Group: w.groups.group[i], Estimable: w.groups.company(i)}
		if out.Estimable {
			mates := w.groups.members[out.Group]
			about := mat.NewVecDense(len(w.mean), nil)
			about.SetVec(i, 1)
			for _, j := range mates {
				about.SetVec(j, about.AtVec(j)-1/float64(len(mates)))
			}
			out.LogOdds = mat.Dot(about, mat.NewVecDense(len(w.mean), w.mean))
			out.SD = math.Sqrt(max(mat.Inner(about, w.cov, about), 0))
		}
		w.Strengths = append(w.Strengths, out)
	}
}

// WinsDifference compares two athletes by wins.
type WinsDifference struct {
	First, Second string
	// LogOdds that the boat gains by having the first for the second, with
	// its large-sample standard deviation; 0 when not estimable.
	LogOdds, SD float64
	// ChanceFirstFaster is the chance that the first is the stronger (normal
	// approximation), 0.5 when not estimable.
	ChanceFirstFaster float64
	Estimable         bool
	Why               string // why not
}

// Difference compares two athletes by their IDs. It panics when one of them
// rowed in no piece.
func (w *Wins) Difference(first, second string) WinsDifference {
	i, j := w.groups.place(first), w.groups.place(second)
	d := WinsDifference{First: first, Second: second, ChanceFirstFaster: 0.5, Estimable: w.groups.same(i, j)}
	if !d.Estimable {
		d.Why = w.groups.why(i, j)
		return d
	}
	d.LogOdds = w.mean[i] - w.mean[j]
	d.SD = math.Sqrt(max(pairForm(w.cov, i, j), 0))
	if d.SD > 0 {
		d.ChanceFirstFaster = distuv.UnitNormal.CDF(d.LogOdds / d.SD)
	}
	return d
}
