package lineup

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/mat"

	"thole/rigging"
	"thole/selection"
)

// FirmOptions steer [Firmness].
type FirmOptions struct {
	Draws int    // how often the powers are redrawn
	Seed  uint64 // of the random numbers; the same seed gives the same answer

	// Covariance of the race powers in W², in the order of the candidates, as
	// seat racing leaves it; nil takes the PowerSD of each as independent.
	Covariance [][]float64

	// Progress, when given, is called with the number of draws done, one call
	// at a time but from any goroutine. A panic in it reaches the caller of
	// [Firmness] as a *[Panic].
	Progress func(done int)
}

// Firm reports how far the best line-up depends on what is not known exactly.
type Firm struct {
	Base     Scored // the best line-up with the powers as they are
	Draws    int    // that were solved to the end
	Proven   bool   // false when ctx cut the work short
	SameCrew float64
	Same     float64 // share of the draws with Base's crew, and with Base itself or an image of it

	// Selected is the share of the draws in which each candidate rows; Seat
	// the share in each seat, bow first. Of a line-up and its images, which
	// cost the same, the one is counted that is most like Base.
	Selected map[string]float64
	Seat     map[string][]float64

	// Races lists the seat races worth running, most valuable first; empty when
	// ctx cut the work short.
	Races []Race
}

// Race is a comparison of two athletes who compete for a place.
type Race struct {
	In, Out string // in the base crew, and the one who could replace them

	// Gain is the mean over the draws of what the boat gains, in s, with Out
	// in place of In and the crew seated anew; SD its standard deviation, and
	// Chance the share of the draws in which it is positive.
	Gain, SD, Chance float64

	// Value is what knowing the difference exactly would be worth, in s: the
	// mean of what could be gained by then choosing the better of the two. It
	// is large for a difference that matters and is not known. (The expected
	// value of perfect information, as in H. Raiffa and R. Schlaifer, Applied
	// Statistical Decision Theory, 1961.)
	Value float64
}

// Firmness redraws the race powers and solves each draw exactly.
func Firmness(ctx context.Context, p Problem, o FirmOptions) (Firm, error) {
	q, err := prepare(p)
	if err != nil {
		return Firm{}, err
	}
	root, err := q.checkFirm(o)
	if err != nil {
		return Firm{}, err
	}
	l := q.limits(p.Rules)
	base := q.search(ctx, l, Options{})
	if len(base.list) == 0 {
		if base.proven {
			return Firm{}, q.conflict(ctx)
		}
		return Firm{}, nil
	}
	f := &firmness{q: q, l: l, base: base.list[0], rigs: base.rigs, alike: q.changes(l), spread: root}
	f.solve(ctx, o)
	out := f.summary()
	out.Proven = base.proven && out.Draws == o.Draws
	if ctx.Err() == nil {
		out.Races = f.races(ctx)
	}
	return out, nil
}

// checkFirm checks what the problem's own check does not, and returns a
// square root of the covariance of the powers.
func (q *squad) checkFirm(o FirmOptions) (*mat.Dense, error) {
	c := &checker{p: q.p}
	if o.Draws < 1 || o.Draws > 1e6 {
		c.add(rigging.ProblemMismatch, rigging.PlaceOf(selection.FieldDraws), "the number of draws is at least 1 and at most a million")
	}
	root, ok := q.spread(o.Covariance)
	if !ok {
		c.add(rigging.ProblemMismatch, rigging.PlaceOf(selection.FieldCovariance),
			"it needs a row and a column for each of the %d candidates, and to be a covariance: symmetric, with no combination of negative variance", len(q.athletes))
	}
	if len(c.errors) > 0 {
		return nil, c.errors
	}
	return root, nil
}

// spread returns a square root of the covariance of the powers, in the squad's
// order: PowerSD alone when v is nil. A covariance may be singular, so the
// root is taken from the eigenvalues; ok is false when v is none.
func (q *squad) spread(v [][]float64) (root *mat.Dense, ok bool) {
	n := len(q.athletes)
	root = mat.NewDense(n, n, nil)
	if v == nil {
		for i, a := range q.athletes {
			root.Set(i, i, a.PowerSD)
		}
		return root, true
	}
	if !symmetric(v, n) {
		return nil, false
	}
	cov := mat.NewSymDense(n, nil)
	for a, row := range v {
		for b := range row {
			cov.SetSym(q.index[q.p.Candidates[a].ID], q.index[q.p.Candidates[b].ID], row[b])
		}
	}
	var eig mat.EigenSym
	if !eig.Factorize(cov, true) {
		return nil, false
	}
	eig.VectorsTo(root)
	values := eig.Values(nil) // ascending
	for k, v := range values {
		if v < -1e-9*values[n-1] {
			return nil, false
		}
		for i := range n {
			root.Set(i, k, root.At(i, k)*math.Sqrt(max(v, 0)))
		}
	}
	return root, true
}

// symmetric reports whether v is a symmetric n × n matrix of sound numbers with
// no negative number on its diagonal.
func symmetric(v [][]float64, n int) bool {
	if len(v) != n {
		return false
	}
	for _, row := range v {
		if len(row) != n {
			return false
		}
	}
	for i, row := range v {
		for j := range row {
			if !(math.Abs(row[j]) <= 1e12) || row[i] < 0 || math.Abs(row[j]-v[j][i]) > 1e-9*(row[i]+v[j][j]) {
				return false
			}
		}
	}
	return true
}

// firmness is the work on one problem.
type firmness struct {
	q      *squad
	l      *limits
	base   entry
	rigs   []*rig
	alike  []change   // what makes images
	spread *mat.Dense // times independent standard deviates: the draw's deviations in W
	draws  []draw
}

// draw is one redraw and its best line-up.
type draw struct {
	q    *squad
	best entry
	ok   bool
}

// power redraws the powers, with a generator of the draw's own so that the
// draws may be solved in any order. A power stays above 1 % of its mean.
func (f *firmness) power(seed uint64, k int) []float64 {
	r := rand.New(rand.NewPCG(seed, uint64(k)))
	n := len(f.q.power)
	z := mat.NewVecDense(n, nil)
	for i := range n {
		z.SetVec(i, r.NormFloat64())
	}
	var dev mat.VecDense
	dev.MulVec(f.spread, z)
	power := make([]float64, n)
	for i, p := range f.q.power {
		power[i] = max(p+dev.AtVec(i), p/100)
	}
	return power
}

func (f *firmness) solve(ctx context.Context, o FirmOptions) {
	f.draws = make([]draw, o.Draws)
	done := counter{report: o.Progress}
	inParallel(o.Draws, func(k int) {
		if ctx.Err() != nil {
			return
		}
		q := f.q.withPower(f.power(o.Seed, k))
		found := q.search(ctx, f.l, Options{})
		if found.proven && len(found.list) > 0 {
			f.draws[k] = draw{q: q, best: f.turnedTo(found.list[0]), ok: true}
		}
		done.add()
	})
	f.draws = slices.DeleteFunc(f.draws, func(d draw) bool { return !d.ok })
}

// turnedTo returns the image of e that is most like the base line-up.
func (f *firmness) turnedTo(e entry) entry {
	best, most := e, f.inCommon(e)
	for _, m := range f.rigs[e.order].images(f.rigs, f.alike)[1:] {
		image := entry{cost: e.cost, x: m.of(e.x), order: m.order}
		if n := f.inCommon(image); n > most {
			best, most = image, n
		}
	}
	return best
}

// inCommon counts the seats that have athlete or side in common with the base
// line-up, athletes for more than all sides.
func (f *firmness) inCommon(e entry) (n int) {
	mine, base := f.rigs[e.order].sides, f.rigs[f.base.order].sides
	for s, i := range e.x {
		if i == f.base.x[s] {
			n += len(e.x) + 1
		}
		if mine != nil && mine[s] == base[s] {
			n++
		}
	}
	return n
}

// summary counts who rows where.
func (f *firmness) summary() Firm {
	out := Firm{
		Base: f.q.scored(f.base.x, f.rigs[f.base.order]), Draws: len(f.draws),
		Selected: map[string]float64{}, Seat: map[string][]float64{},
	}
	for i, a := range f.q.athletes {
		out.Selected[a.ID] = f.share(func(d draw) bool { return slices.Contains(d.best.x, i) })
		for s := range f.q.seats {
			out.Seat[a.ID] = append(out.Seat[a.ID], f.share(func(d draw) bool { return d.best.x[s] == i }))
		}
	}
	out.SameCrew = f.share(func(d draw) bool { return sameCrew(d.best.x, f.base.x) })
	out.Same = f.share(func(d draw) bool {
		return slices.Equal(d.best.x, f.base.x) && d.best.order == f.base.order
	})
	return out
}

// share is the share of the draws that are as said, 0 without any.
func (f *firmness) share(is func(draw) bool) float64 {
	count := 0
	for _, d := range f.draws {
		if is(d) {
			count++
		}
	}
	return float64(count) / float64(max(len(f.draws), 1))
}

func sameCrew(a, b []int) bool {
	return slices.Equal(slices.Sorted(slices.Values(a)), slices.Sorted(slices.Values(b)))
}

// races judges every exchange of an athlete of the base crew for one who took
// a place in some draw and can take the seat as it is.
func (f *firmness) races(ctx context.Context) []Race {
	var pairs [][2]int
	for s, i := range f.base.x {
		for j := range f.q.athletes {
			if f.wavers(i, j) && f.couldReplace(s, j) {
				pairs = append(pairs, [2]int{i, j})
			}
		}
	}
	races := make([]Race, len(pairs))
	inParallel(len(pairs), func(k int) { races[k] = f.race(ctx, pairs[k][0], pairs[k][1]) })
	races = slices.DeleteFunc(races, func(r Race) bool { return r.Value <= 0 })
	slices.SortStableFunc(races, func(a, b Race) int { return cmp.Compare(b.Value, a.Value) })
	return races
}

// wavers reports whether i missed the boat in some draw and j, who is not in
// the base crew, rowed in one.
func (f *firmness) wavers(i, j int) bool {
	return !slices.Contains(f.base.x, j) &&
		slices.ContainsFunc(f.draws, func(d draw) bool { return !slices.Contains(d.best.x, i) }) &&
		slices.ContainsFunc(f.draws, func(d draw) bool { return slices.Contains(d.best.x, j) })
}

// couldReplace reports whether athlete j may take seat s of the base line-up.
func (f *firmness) couldReplace(s, j int) bool {
	r := f.rigs[f.base.order]
	if f.q.sweep() && !f.q.canRow(j, r.sides[s]) {
		return false
	}
	crew := slices.Clone(f.base.x)
	crew[s] = j
	return len(f.q.broken(crew, r)) == 0
}

// race compares the base line-up in every draw with the best order of the
// crew in which j replaces i.
func (f *firmness) race(ctx context.Context, i, j int) Race {
	out := Race{In: f.q.athletes[i].ID, Out: f.q.athletes[j].ID}
	other, ok := f.exchanged(ctx, i, j)
	if !ok {
		return out
	}
	var sum, squares, positive float64
	better, n := 0, float64(len(f.draws))
	for _, d := range f.draws {
		gain := d.q.terms(f.base.x, f.rigs[f.base.order]).Total() - d.q.terms(other.x, f.rigs[other.order]).Total()
		sum += gain
		squares += gain * gain
		if gain > 0 {
			positive += gain
			better++
		}
	}
	out.Chance = float64(better) / n
	out.Gain = sum / n
	out.SD = math.Sqrt(max(squares/n-out.Gain*out.Gain, 0))
	out.Value = positive/n - max(out.Gain, 0)
	return out
}

// exchanged finds the best line-up of the base crew with j in place of i.
func (f *firmness) exchanged(ctx context.Context, i, j int) (entry, bool) {
	rules := f.q.p.Rules
	rules.Out = slices.Clone(rules.Out)
	for k, a := range f.q.athletes {
		if k != j && (k == i || !slices.Contains(f.base.x, k)) {
			rules.Out = append(rules.Out, a.ID)
		}
	}
	found := f.q.search(ctx, f.q.limits(rules), Options{})
	if len(found.list) == 0 {
		return entry{}, false
	}
	return found.list[0], true
}
