package seatrace

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"thole/rigging"
	"thole/selection"
)

// eightRaces is a connected schedule of eight scullers with room for noise;
// everybody rows in both boats.
func eightRaces() []selection.Piece {
	return schedule("ABABABAB", "BBAABBAA", "ABBAABBA", "BBBBAAAA", "ABABBABA", "BBAAAABB", "ABBABAAB", "BABABABA", "AAAABBBB", "AABBAABB")
}

// drawn gives n athletes random effects of mean zero and the given spread.
func drawn(ids []string, sd float64, rng *rand.Rand) map[string]float64 {
	out, mean := map[string]float64{}, 0.0
	for _, id := range ids {
		out[id] = sd * rng.NormFloat64()
		mean += out[id] / float64(len(ids))
	}
	for _, id := range ids {
		out[id] -= mean
	}
	return out
}

func TestEffectsAreRecoveredFromTimesWithoutNoise(t *testing.T) {
	w := world{effect: drawn(letters(8), 0.5, seeded(1)), base: 190, drift: 1.5, hull: []float64{0.8, -0.8}}
	r := estimate(t, w.logRace(eightRaces(), nil), Options{Model: Model{Hulls: true}})
	for _, e := range r.Racing.Effects {
		near(t, e.ID, e.Seconds, w.effect[e.ID]*r.Time/190, 1e-9)
	}
	if r.Rank != 7 || len(r.NotEstimable) != 0 {
		t.Errorf("rank %d, not estimable %q", r.Rank, r.NotEstimable)
	}
	near(t, "seconds over 2000 m", r.Per2000, 2, 0)
}

// dummies is the slow and obvious design: an indicator of each piece, hull and
// athlete, solved in one go.
func dummies(pieces []selection.Piece, ids []string, hulls bool) *solution {
	var rows [][]float64
	var y []float64
	boats := len(pieces[0].Crews)
	for r, p := range pieces {
		for b, crew := range p.Crews {
			row := make([]float64, len(ids)+len(pieces)+boats)
			for _, id := range crew {
				row[slices.Index(ids, id)] = 1
			}
			row[len(ids)+r] = 1
			if hulls {
				row[len(ids)+len(pieces)+b] = 1
			}
			rows, y = append(rows, row), append(y, -math.Log(p.Times[b]))
		}
	}
	x := mat.NewDense(len(rows), len(rows[0]), nil)
	for i, row := range rows {
		x.SetRow(i, row)
	}
	return leastSquares(x, y, 0)
}

func TestSweepingAgreesWithDummies(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		pieces, ids := drawPieces(rt)
		hulls := rapid.Bool().Draw(rt, "hulls")
		s := dummies(pieces, ids, hulls)
		r, err := Estimate(pieces, Options{Distance: 1000, Model: Model{Hulls: hulls}})
		if err != nil {
			rt.Fatal(err)
		}
		if df := len(pieces)*len(pieces[0].Crews) - s.rank; df != r.Noise.DF {
			rt.Fatalf("%d degrees of freedom, want %d", r.Noise.DF, df)
		}
		open := s.open()
		for _, d := range r.Racing.Differences() {
			i, j := slices.Index(ids, d.First), slices.Index(ids, d.Second)
			if d.Estimable != (pairForm(open, i, j) < 1e-9) {
				rt.Fatalf("%s against %s: estimable is %v", d.First, d.Second, d.Estimable)
			}
			if d.Estimable {
				agree(rt, "difference", d.Seconds, r.Time*(s.coef[i]-s.coef[j]), 1e-8)
				agree(rt, "standard deviation", d.SD, r.Noise.SD*math.Sqrt(max(pairForm(s.cov, i, j), 0)), 1e-7)
			}
		}
	})
}

// agree is near inside a property.
func agree(t *rapid.T, what string, got, want, tol float64) {
	if !(math.Abs(got-want) <= tol) {
		t.Fatalf("%s = %.12g, want %.12g", what, got, want)
	}
}

// drawPieces draws a random racing day: two or three boats of one to three,
// one or two spare athletes, any crews, any times.
func drawPieces(rt *rapid.T) (pieces []selection.Piece, ids []string) {
	boats, size := rapid.IntRange(2, 3).Draw(rt, "boats"), rapid.IntRange(1, 3).Draw(rt, "size")
	squad := letters(boats*size + rapid.IntRange(0, 2).Draw(rt, "spare"))
	seen := map[string]bool{}
	for range rapid.IntRange(1, 9).Draw(rt, "pieces") {
		order := rapid.Permutation(squad).Draw(rt, "order")
		var p selection.Piece
		for b := range boats {
			p.Crews = append(p.Crews, order[b*size:(b+1)*size])
			p.Times = append(p.Times, rapid.Float64Range(180, 200).Draw(rt, "time"))
		}
		pieces = append(pieces, p)
		for _, id := range order[:boats*size] {
			seen[id] = true
		}
	}
	for _, id := range squad {
		if seen[id] {
			ids = append(ids, id)
		}
	}
	return pieces, ids
}

func TestDriftCommonToBothBoatsChangesNothing(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		pieces, _ := drawPieces(rt)
		slower := crewsOnly(pieces)
		for r, p := range pieces {
			f := rapid.Float64Range(0.95, 1.05).Draw(rt, "wind")
			for _, time := range p.Times {
				slower[r].Times = append(slower[r].Times, f*time)
			}
		}
		a, errA := Estimate(pieces, Options{Distance: 1000})
		b, errB := Estimate(slower, Options{Distance: 1000})
		if errA != nil || errB != nil {
			rt.Fatal(errA, errB)
		}
		for i, e := range a.Racing.Effects {
			agree(rt, e.ID, b.Racing.Effects[i].Seconds/b.Time, e.Seconds/a.Time, 1e-10)
		}
	})
}

func TestOrderOfPiecesAndBoatsChangesNothing(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		pieces, _ := drawPieces(rt)
		turned := rapid.Permutation(pieces).Draw(rt, "order")
		for r, p := range turned {
			crews, times := slices.Clone(p.Crews), slices.Clone(p.Times)
			slices.Reverse(crews)
			slices.Reverse(times)
			turned[r] = selection.Piece{Crews: crews, Times: times}
		}
		o := Options{Distance: 1000, Model: Model{Hulls: true}, Prior: &Prior{SD: 1}}
		a, errA := Estimate(pieces, o)
		b, errB := Estimate(turned, o)
		if errA != nil || errB != nil {
			rt.Fatal(errA, errB)
		}
		for i, e := range a.Joint.Effects {
			agree(rt, e.ID, b.Joint.Effects[i].Seconds, e.Seconds, 1e-4) // the nodes do not stand quite alike
			agree(rt, e.ID+" SD", b.Joint.Effects[i].SD, e.SD, 1e-4)
		}
	})
}

func TestEqualInputGivesEqualBits(t *testing.T) {
	pieces := world{base: 190, noise: 2}.race(eightRaces(), seeded(3))
	o := Options{Prior: &Prior{SD: 0.5, Means: map[string]float64{"a": 0.2, "b": 0.1, "c": -0.7}}}
	a, b := estimate(t, pieces, o), estimate(t, pieces, o)
	if !slices.Equal(a.Joint.Effects, b.Joint.Effects) || !slices.Equal(a.Racing.Differences(), b.Racing.Differences()) {
		t.Error("two judgements of one input differ")
	}
}

// One pair exchanged and back again twice: by hand, the difference is half the
// mean change of the margin, and the noise has two degrees of freedom (four
// margins less their mean and the swap).
func TestSwapByHand(t *testing.T) {
	pieces := schedule("AABB", "BAAB", "AABB", "BAAB")
	for r, margin := range []float64{2.0, -1.0, 2.6, -0.4} { // of boat 1 over boat 2
		pieces[r].Times = []float64{190 - margin/2, 190 + margin/2}
	}
	r := estimate(t, pieces, Options{Model: Model{Hulls: true}})
	d := r.Racing.Difference("a", "c")
	near(t, "difference", d.Seconds, (2.3+0.7)/2, 1e-4)
	sigma := math.Sqrt(4 * 0.3 * 0.3 / 2) // of a margin: four stand 0.3 s off their means
	near(t, "residuals of a boat", r.Noise.Residual, sigma/math.Sqrt2, 1e-4)
	noise, low, chance := overNoises(r.Time, 2*sigma*sigma/2, 2, d.Seconds)
	near(t, "noise of a boat", r.Noise.SD, noise, 3e-4)
	near(t, "standard deviation", d.SD, noise/math.Sqrt2, 3e-4)
	near(t, "chance", d.ChanceFirstFaster, chance, 1e-4)
	near(t, "low end", d.Low, low, 3e-3)
	near(t, "high end", d.High, 2*d.Seconds-low, 3e-3)
}

// overNoises sums over a fine grid of the noise: the root mean square, and for
// a difference of standard deviation σ/√2 the low end of the 95 % interval and
// the chance of being above 0.
func overNoises(time, rss, df, difference float64) (noise, low, chance float64) {
	middle := math.Log(0.009*time) - 0.4*0.4
	sum, square := 0.0, 0.0
	var weights, sds []float64
	for u := middle - 4; u < middle+4; u += 0.001 {
		sd := math.Exp(u)
		w := math.Exp(-(u-middle)*(u-middle)/(2*0.4*0.4)-rss/(2*sd*sd)) * math.Pow(sd, -df)
		weights, sds = append(weights, w), append(sds, sd)
		sum, square = sum+w, square+w*sd*sd
	}
	below := func(x float64) float64 {
		out := 0.0
		for k, w := range weights {
			out += w / sum * distuv.UnitNormal.CDF((x-difference)/(sds[k]/math.Sqrt2))
		}
		return out
	}
	for low = difference; below(low) > 0.025; low -= 0.001 {
	}
	return math.Sqrt(square / sum), low, 1 - below(0)
}

func TestStatedNoiseIsNormal(t *testing.T) {
	pieces := world{base: 190, noise: 1}.race(schedule("AABB", "BAAB"), seeded(1))
	r := estimate(t, pieces, Options{NoiseSD: 1.7 / math.Sqrt2})
	d := r.Racing.Difference("a", "c")
	near(t, "standard deviation", d.SD, 1.7/math.Sqrt2, 1e-9)
	near(t, "half width", d.High-d.Seconds, d.SD*1.959964, 1e-6)
	if r.Noise.Source != NoiseStated {
		t.Error("the noise is", r.Noise.Source)
	}
}

func TestNoiseIsAssumedWhenNothingTellsIt(t *testing.T) {
	r := estimate(t, world{base: 190}.race(schedule("AABB", "BAAB"), nil), Options{})
	near(t, "noise", r.Noise.SD, 1.71, 2e-4)
	if r.Noise.Source != NoiseAssumed || !containsAll(fmt.Sprint(r.Notes), []string{"0.9 % of the time is assumed"}) {
		t.Errorf("the noise is %s, notes %q", r.Noise.Source, r.Notes)
	}
}

func TestThreeBoats(t *testing.T) {
	crews := func(x ...string) [][]string {
		var out [][]string
		for _, c := range x {
			out = append(out, []string{c[:1], c[1:]})
		}
		return out
	}
	pieces := []selection.Piece{{Crews: crews("ab", "cd", "ef")}, {Crews: crews("cb", "ad", "ef")}, {Crews: crews("cb", "af", "ed")}, {Crews: crews("ce", "af", "bd")}, {Crews: crews("fe", "ac", "bd")}}
	w := world{effect: drawn(letters(6), 1, seeded(5)), base: 190, drift: -2}
	r := estimate(t, w.logRace(pieces, nil), Options{})
	if r.Rank != 5 {
		t.Fatalf("rank %d of 5", r.Rank)
	}
	for _, e := range r.Racing.Effects {
		near(t, e.ID, e.Seconds, w.effect[e.ID]*r.Time/190, 1e-9)
	}
}

func TestAbandonedBoatIsLeftOut(t *testing.T) {
	pieces := world{base: 190, noise: 1}.race(eightRaces(), seeded(9))
	short := slices.Delete(slices.Clone(pieces), 3, 4)
	for _, none := range []float64{0, math.NaN()} {
		pieces[3].Times = []float64{191, none}
		a, b := estimate(t, pieces, Options{NoiseSD: 1}), estimate(t, short, Options{NoiseSD: 1})
		for i, e := range a.Racing.Effects {
			near(t, e.ID, e.Seconds/a.Time, b.Racing.Effects[i].Seconds/b.Time, 1e-12)
		}
		if a.Noise.DF != b.Noise.DF {
			t.Errorf("%d degrees of freedom, want %d", a.Noise.DF, b.Noise.DF)
		}
		if !containsAll(fmt.Sprint(a.Notes), []string{"piece 4, boat 2 has no time", "piece 4 has fewer than two times"}) || a.Notes[0].Piece != 4 {
			t.Errorf("notes are %q", a.Notes)
		}
	}
}

// The worth of a prior by hand: alone against alone in singles, posterior
// precision is the sum of precisions. The pair's difference has prior variance
// 2τ² and racing variance 2σ²/n.
func TestPriorByHand(t *testing.T) {
	pieces := []selection.Piece{
		{Crews: [][]string{{"a"}, {"b"}}, Times: []float64{200, 202}},
		{Crews: [][]string{{"a"}, {"b"}}, Times: []float64{200, 201}},
		{Crews: [][]string{{"a"}, {"b"}}, Times: []float64{200, 203}},
	}
	prior := &Prior{SD: 2, Means: map[string]float64{"a": -1, "b": 1}}
	r := estimate(t, pieces, Options{NoiseSD: 1.5, Prior: prior})
	racing, before := r.Racing.Difference("a", "b"), r.Prior.Difference("a", "b")
	near(t, "racing variance", racing.SD*racing.SD, 2*1.5*1.5/3, 1e-9)
	near(t, "prior difference", before.Seconds, -2, 1e-12)
	near(t, "prior variance", before.SD*before.SD, 8, 1e-9)
	for _, factor := range []float64{1, 3} {
		at := jointAt(r, node{1, 1, 1.5, factor})
		weight := 1 / (1/1.5 + 1/(8*factor*factor))
		near(t, "joint variance", pairForm(at.cov, 0, 1), weight, 1e-9)
		near(t, "joint difference", at.mean[0]-at.mean[1], weight*(racing.Seconds/1.5-2/(8*factor*factor)), 1e-9)
	}
}

// jointAt returns the joint evidence of a result's pieces and prior at one
// value of the scales.
func jointAt(r *Result, n node) atNode {
	d := newDesign(r.table, r.options.Model)
	y := make([]float64, len(d.y))
	for i, v := range d.y {
		y[i] = r.Time * v
	}
	mean, sd := r.options.Prior.terms(r.table.ids)
	return newJoint(d.z, y, mean, sd).at(n)
}

func TestWidePriorLeavesTheRacingAlone(t *testing.T) {
	pieces := world{base: 190, noise: 1}.race(eightRaces(), seeded(4))
	r := estimate(t, pieces, Options{Prior: &Prior{SD: 1e5}})
	for i, d := range r.Racing.Differences() {
		j := r.Joint.Differences()[i]
		near(t, "difference", j.Seconds, d.Seconds, 1e-6)
		near(t, "chance", j.ChanceFirstFaster, d.ChanceFirstFaster, 0.01)
		near(t, "high end", j.High, d.High, 0.1)
	}
}

func TestNarrowPriorOutweighsTheRacing(t *testing.T) {
	pieces := world{base: 190, noise: 1}.race(eightRaces(), seeded(4))
	prior := &Prior{SD: 1e-5, Means: drawn(letters(8), 1, seeded(2))}
	for _, e := range estimate(t, pieces, Options{Prior: prior}).Joint.Effects {
		near(t, e.ID, e.Seconds, prior.Means[e.ID], 1e-6)
	}
}

func TestPriorWithoutAMeanTakesTheUsualOne(t *testing.T) {
	p := Prior{SD: 1, Means: map[string]float64{"a": 2, "b": 4}, SDs: map[string]float64{"b": 3}}
	mean, sd := p.terms([]string{"a", "b", "c"})
	if !slices.Equal(mean, []float64{2, 4, 3}) || !slices.Equal(sd, []float64{1, 3, 1}) {
		t.Errorf("means %v, standard deviations %v", mean, sd)
	}
}

func TestPriorOfStrangersIsRemarked(t *testing.T) {
	prior := &Prior{SD: 1, Means: map[string]float64{"a": 0, "x": 1}, SDs: map[string]float64{"x": 1, "y": 1}}
	r := estimate(t, world{base: 190}.race(schedule("AABB", "BAAB"), nil), Options{Prior: prior})
	if !slices.Contains(r.Notes, Note{Text: "the prior names x and y, who rowed in no piece"}) {
		t.Errorf("notes %q", r.Notes)
	}
}

// The joint evidence against the textbook formula, solved by plain inversion
// with the pieces' effects as unknowns of hardly any prior.
func TestJointEvidenceAgreesWithPlainInversion(t *testing.T) {
	pieces := world{base: 190, noise: 1}.race(schedule("ABABABAB", "AABBAABB", "ABBAABBA"), seeded(6))
	prior := &Prior{SD: 0.7, Means: drawn(letters(8), 1, seeded(2)), SDs: map[string]float64{"c": 0.2}}
	r := estimate(t, pieces, Options{NoiseSD: 0.9, Prior: prior})
	mean, sd := prior.terms(letters(8))
	a, b := mat.NewDense(11, 11, nil), mat.NewVecDense(11, nil)
	for i := range 8 {
		a.Set(i, i, 1/(sd[i]*sd[i]))
		b.SetVec(i, mean[i]/(sd[i]*sd[i]))
	}
	for k, p := range pieces {
		a.Set(8+k, 8+k, 1e-9)
		for boat, crew := range p.Crews {
			row := mat.NewVecDense(11, nil)
			row.SetVec(8+k, 1)
			for _, id := range crew {
				row.SetVec(int(id[0]-'a'), 1)
			}
			var outer mat.Dense
			outer.Outer(1/(0.9*0.9), row, row)
			a.Add(a, &outer)
			b.AddScaledVec(b, -r.Time*math.Log(p.Times[boat]/190)/(0.9*0.9), row)
		}
	}
	var x mat.VecDense
	var inv mat.Dense
	if x.SolveVec(a, b) != nil || inv.Inverse(a) != nil {
		t.Fatal("plain inversion failed")
	}
	at := jointAt(r, node{1, 1, 0.9, 1})
	for i, id := range letters(8) {
		near(t, id, at.mean[i], x.AtVec(i), 1e-5)
		near(t, id+" SD", math.Sqrt(at.cov.At(i, i)), math.Sqrt(inv.At(i, i)), 1e-5)
	}
}

// Wind between two pieces can make a boat's own times speak against the
// margin.
func TestMarginsAndTimesOfOneBoatCanDisagree(t *testing.T) {
	pieces := schedule("AABB", "BAAB")
	pieces[0].Times = []float64{190, 191}
	pieces[1].Times = []float64{186, 185} // a faster wind
	swaps, err := Swaps(pieces, 1000)
	if err != nil || len(swaps) != 1 {
		t.Fatalf("swaps %v, error %v", swaps, err)
	}
	w := swaps[0]
	near(t, "by margin", w.ByMargin, 1, 1e-12)
	near(t, "by the times of boat 1", w.ByTimes[0], -4, 1e-12)
	near(t, "by the times of boat 2", w.ByTimes[1], 6, 1e-12)
	if w.First != "a" || w.Second != "c" || w.Agree {
		t.Errorf("swap %+v", w)
	}
}

func TestAbsoluteTimesTakeWindForSpeed(t *testing.T) {
	// a and b row together before the wind turns, c and d after.
	pieces := []selection.Piece{
		{Crews: [][]string{{"a"}, {"b"}}, Times: []float64{240, 242}},
		{Crews: [][]string{{"a"}, {"c"}}, Times: []float64{240, 239}},
		{Crews: [][]string{{"c"}, {"b"}}, Times: []float64{250, 253}},
		{Crews: [][]string{{"c"}, {"b"}}, Times: []float64{250, 253}},
	}
	margins := estimate(t, pieces, Options{})
	absolute := estimate(t, pieces, Options{Model: Model{Absolute: true}})
	got := Contradictions(margins, absolute)
	if !slices.Equal(got, []Pair{{"a", "c"}}) {
		t.Errorf("contradictions %v", got)
	}
}

func TestSidesOfLeavesOutWhoRowsBoth(t *testing.T) {
	got := SidesOf([]selection.Athlete{
		{ID: "p", SideCost: map[rigging.Side]float64{rigging.Port: 0}},
		{ID: "b", SideCost: map[rigging.Side]float64{rigging.Port: 0, rigging.Starboard: 1}},
	})
	if len(got) != 1 || got["p"] != rigging.Port {
		t.Errorf("sides %v", got)
	}
}

// A lane that slows from the first piece is slower on the mean of all: trends
// bring the effects of hulls with them.
func TestTrendsBringHulls(t *testing.T) {
	pieces := world{base: 190, noise: 1}.race(eightRaces(), seeded(5))
	trends, both := estimate(t, pieces, Options{Model: Model{Trends: true}}), estimate(t, pieces, Options{Model: Model{Trends: true, Hulls: true}})
	if !slices.Equal(trends.Racing.Effects, both.Racing.Effects) || trends.Noise.DF != both.Noise.DF {
		t.Errorf("%v with %d degrees of freedom, want %v with %d", trends.Racing.Effects, trends.Noise.DF, both.Racing.Effects, both.Noise.DF)
	}
}

// Where times are compared as they stand, venue and weather scatter them too:
// √(0.9² + 3²) = 3.132 %.
func TestAbsoluteTimesScatterWithTheVenue(t *testing.T) {
	r := estimate(t, world{base: 190}.race(schedule("AABB"), nil), Options{Model: Model{Absolute: true}})
	near(t, "noise", r.Noise.SD, 0.0313209*190, 0.01)
}
