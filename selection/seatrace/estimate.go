package seatrace

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"thole/rigging"
	"thole/selection"
)

// Options says how pieces are judged.
type Options struct {
	// Distance of the pieces, m.
	Distance float64
	Model    Model
	// Prior joins what is held of the athletes; nil judges by racing alone.
	Prior *Prior
	// NoiseSD states the standard deviation of one boat's time, s; 0
	// estimates it from the pieces.
	NoiseSD float64
	// Level is the coverage of intervals, up to 0.9999; 0 stands for
	// DefaultLevel.
	Level float64
	// Sides names the athletes' sides where they are known; they serve to
	// name groups, and to keep a next piece rowable.
	Sides map[string]rigging.Side
}

// Result is the judgement of a set of pieces.
type Result struct {
	// Racing is what the pieces say by themselves.
	Racing *Evidence
	// Prior is what was held before, and Joint both together; nil without a
	// prior.
	Prior, Joint *Evidence
	// PriorScale is the factor, judged by the pieces, by which the standard
	// deviations of the prior are multiplied (its geometric mean); 0 without a
	// prior. Above 1 the athletes differ more than the prior says.
	PriorScale float64
	// Time is the geometric mean of the times, s, on which seconds stand.
	Time float64
	// Per2000 turns seconds over the distance into seconds over 2000 m.
	Per2000 float64
	Noise   Noise
	// Rank is the number of independent differences that the pieces settle,
	// at most the number of athletes less one in the view of the margins.
	Rank int
	// NotEstimable says in words what the pieces cannot show, and why.
	NotEstimable []string
	// Pieces holds a check of every piece, in their order.
	Pieces []PieceCheck
	// Notes holds remarks on the input that stop nothing.
	Notes []Note

	pieces  []selection.Piece
	options Options
	table   *table
}

// Final returns the joint evidence, or that of racing without a prior.
func (r *Result) Final() *Evidence {
	if r.Joint != nil {
		return r.Joint
	}
	return r.Racing
}

// Estimate judges pieces. It returns a rigging.FieldErrors that names piece,
// boat and field when the input cannot be right; pieces that cannot keep the
// athletes apart are no error but are answered in words.
func Estimate(pieces []selection.Piece, o Options) (*Result, error) {
	t, errs := checkRaces(pieces, o)
	if errs != nil {
		return nil, errs
	}
	if o.Level == 0 {
		o.Level = DefaultLevel
	}
	r := &Result{Per2000: selection.RaceDistance / o.Distance, Time: meanTime(t), Notes: notes(pieces), pieces: pieces, options: o, table: t}
	d := newDesign(t, o.Model)
	s := d.solve()
	r.Rank = s.rank
	rss := r.Time * r.Time * s.rss
	var nodes []node
	r.Noise, nodes = o.judgeNoise(r.Time, rss, d.freedom(t, s))
	if r.Noise.Source == NoiseAssumed {
		r.Notes = append(r.Notes, Note{Text: fmt.Sprintf("the pieces leave nothing to estimate the noise from: %.1f %% of the time is assumed", 100*o.Model.documented())})
	}
	groups := newComparison(t, d, s, o.Model, o.Sides)
	r.NotEstimable = groups.sentences()
	r.Racing = r.racing(s, groups, nodes)
	if o.Prior != nil {
		if who := o.Prior.strangers(t); who != nil {
			r.Notes = append(r.Notes, Note{Text: "the prior names " + nameList(who) + ", who rowed in no piece"})
		}
		r.join(d, rss, groups)
	}
	r.Pieces = checkPieces(t, d, s, r)
	return r, nil
}

// checkRaces reads pieces and options.
func checkRaces(pieces []selection.Piece, o Options) (*table, rigging.FieldErrors) {
	var errs rigging.FieldErrors
	refuse := func(field rigging.Field, detail string) {
		errs = append(errs, selection.ErrorAt(rigging.PlaceOf(field), rigging.ProblemRange, "%s", detail))
	}
	if !positive(o.Distance) {
		refuse(selection.FieldDistance, "the distance must be above 0 m and below a million")
		o.Distance = math.NaN() // no speed can be judged
	}
	if o.NoiseSD != 0 && !positive(o.NoiseSD) {
		refuse(selection.FieldNoiseSD, "the standard deviation of a time must be above 0 s and below a million")
	}
	if !(o.Level >= 0 && o.Level <= 0.9999) {
		refuse(selection.FieldLevel, "the coverage of the intervals must be between 0 and 99.99 %")
	}
	t, faults := readRaces(pieces, o.Distance)
	errs = append(errs, faults...)
	if t != nil && len(t.rows) == 0 {
		refuse(selection.FieldPieces, "no boat has a time")
	}
	if t != nil && o.Prior != nil {
		errs = append(errs, o.Prior.check(t.ids)...)
	}
	return t, errs
}

// meanTime returns the geometric mean of the times.
func meanTime(t *table) float64 {
	sum := 0.0
	for _, r := range t.rows {
		sum += math.Log(r.time)
	}
	return math.Exp(sum / float64(len(t.rows)))
}

// racing turns the least-squares solution into evidence in seconds, each
// group of comparable athletes about its own mean.
func (r *Result) racing(s *solution, groups *comparison, nodes []node) *Evidence {
	p := len(s.coef)
	about := mat.NewDense(p, p, nil)
	for i := range p {
		about.Set(i, i, 1)
		mates := groups.members[groups.group[i]]
		for _, j := range mates {
			about.Set(i, j, about.At(i, j)-1/float64(len(mates)))
		}
	}
	var mean mat.VecDense
	mean.MulVec(about, mat.NewVecDense(p, s.coef))
	mean.ScaleVec(r.Time, &mean)
	var half, full mat.Dense
	half.Mul(about, s.cov)
	full.Mul(&half, about.T())
	cov := symmetric(&full, r.Noise.SD*r.Noise.SD)
	return newEvidence(Evidence{mean: mean.RawVector().Data, cov: cov, law: r.Noise.scatterLaw(nodes), level: r.options.Level, groups: groups})
}

// symmetric returns f·(A + Aᵀ)/2.
func symmetric(a *mat.Dense, f float64) *mat.SymDense {
	p, _ := a.Dims()
	out := mat.NewSymDense(p, nil)
	for i := range p {
		for j := i; j < p; j++ {
			out.SetSym(i, j, f*(a.At(i, j)+a.At(j, i))/2)
		}
	}
	return out
}

// join adds the prior and the joint evidence.
func (r *Result) join(d *design, rss float64, groups *comparison) {
	mean, sd := r.options.Prior.terms(groups.ids)
	before := mat.NewSymDense(len(sd), nil)
	for i, s := range sd {
		before.SetSym(i, i, s*s)
	}
	r.Prior = newEvidence(Evidence{mean: mean, cov: before, known: true, law: distuv.UnitNormal, level: r.options.Level, groups: groups})
	y := make([]float64, len(d.y))
	for i, v := range d.y {
		y[i] = r.Time * v
	}
	j := newJoint(d.z, y, mean, sd)
	q := j.scales(r.Noise.DF, rss, r.options.noiseBelief(r.Time), spreadBoth)
	both := Evidence{known: true, level: r.options.Level, groups: groups}
	nodes := q.nodes()
	both.nodes, both.mean, both.cov = j.over(nodes)
	r.Joint = newEvidence(both)
	r.PriorScale = math.Exp(meanOf(nodes, func(k int) float64 { return math.Log(nodes[k].spread) }))
	if text := scaleText(r.PriorScale); text != "" {
		r.Notes = append(r.Notes, Note{Text: text})
	}
}

// farScale is how far the pieces may move a prior's standard deviations before
// that is remarked: a factor of 1.5. A judgement of ours.
const farScale = 1.5

// scaleText remarks on a prior whose standard deviations the pieces changed
// far, "" otherwise.
func scaleText(scale float64) string {
	switch {
	case scale > farScale:
		return fmt.Sprintf("the athletes differ more than the prior says: its standard deviations are taken %.1f times as large", scale)
	case scale < 1/farScale:
		return fmt.Sprintf("the athletes differ less than the prior says: its standard deviations are taken %.1f times as large", scale)
	}
	return ""
}

// Note is a remark on the input that stops nothing.
type Note struct {
	Piece int // number of the piece that it is about, from 1; 0 for none
	Text  string
}

// String returns the text.
func (n Note) String() string { return n.Text }

// notes remarks on pieces that are usable but deserve a second look.
func notes(pieces []selection.Piece) []Note {
	var out []Note
	for r, p := range pieces {
		finished := 0
		for b, t := range p.Times {
			if timed(t) {
				finished++
				continue
			}
			out = append(out, Note{r + 1, fmt.Sprintf("piece %d, boat %d has no time and is left out", r+1, b+1)})
		}
		if finished < 2 {
			out = append(out, Note{r + 1, fmt.Sprintf("piece %d has fewer than two times: there is no margin to judge", r+1)})
		}
		if a, b, tie := deadHeat(p.Times); tie {
			out = append(out, Note{r + 1, fmt.Sprintf("piece %d was a dead heat of boats %d and %d: row it again if a seat hangs on it", r+1, a+1, b+1)})
		}
	}
	if text := allColonless(pieces); text != "" {
		out = append(out, Note{Text: text})
	}
	return out
}

// deadHeat finds two boats with equal times.
func deadHeat(times []float64) (first, second int, found bool) {
	for i, t := range times {
		for j := i + 1; j < len(times); j++ {
			if timed(t) && t == times[j] {
				return i, j, true
			}
		}
	}
	return 0, 0, false
}

// allColonless remarks when every time could be minutes and seconds without
// the colon, which no comparison among them can show.
func allColonless(pieces []selection.Piece) string {
	all := allTimes(pieces)
	for _, t := range all {
		if colonless(t) == 0 {
			return ""
		}
	}
	if len(all) < 6 { // by chance 0.6⁶ = 5 %
		return ""
	}
	return fmt.Sprintf("every time could be minutes and seconds typed without the colon (%g s as %s): check that they are seconds", all[0], withColon(all[0]))
}
