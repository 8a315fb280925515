package evidence

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

func near(t testing.TB, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.12g, want %.12g ± %g", what, got, want, tolerance)
	}
}

// power is a block about one athlete.
func power(source Source, athlete int, mean, sd float64) Block {
	return Block{Source: source, Athletes: []int{athlete}, Mean: []float64{mean}, Cov: diagonal(sd), Level: true}
}

// diagonal is the covariance of independent figures.
func diagonal(sds ...float64) *mat.SymDense {
	cov := mat.NewSymDense(len(sds), nil)
	for i, sd := range sds {
		cov.SetSym(i, i, sd*sd)
	}
	return cov
}

func joined(t testing.TB, n int, blocks ...Block) *Joined {
	t.Helper()
	j, err := Join(n, blocks)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// TestTwoPowersOfOneAthlete: precisions add (textbook): 6 ± .03 and 6.1 ± .04
// give (6/.0009 + 6.1/.0016)/(1/.0009 + 1/.0016) = 6.036 ± .024.
func TestTwoPowersOfOneAthlete(t *testing.T) {
	j := joined(t, 1, power(Ergometer, 0, 6, 0.03), power(Coach, 0, 6.1, 0.04))
	near(t, "mean", j.Mean[0], 6.036, 1e-12)
	near(t, "SD", j.SD[0], 0.024, 1e-12)
	if j.StandIn[0] {
		t.Error("two sources give a level")
	}
}

// TestADifferenceOfTwo, by hand: b₁ ~ 6 ± .03 and b₂ ~ 6 ± .03 independently,
// and b₁ − b₂ = .06 ± .03·√2. The difference before is 0 ± .03·√2, so that the
// joined one is half of .06, with half the variance; the sum stays as it was.
// Each b: 6 ± .015, variance (.0018 + .0009)/4, covariance (.0018 − .0009)/4.
func TestADifferenceOfTwo(t *testing.T) {
	race := Block{Source: Racing, Athletes: []int{0, 1}, Mean: []float64{7.06, 7}, Cov: diagonal(0.03, 0.03)}
	j := joined(t, 2, power(Ergometer, 0, 6, 0.03), power(Ergometer, 1, 6, 0.03), race)
	near(t, "first", j.Mean[0], 6.015, 1e-12)
	near(t, "second", j.Mean[1], 5.985, 1e-12)
	near(t, "variance", j.SD[0]*j.SD[0], 0.0027/4, 1e-15)
	near(t, "covariance", j.Cov(0, 1), 0.0009/4, 1e-15)
}

// TestWhoRacedWithoutATest takes the level of those raced against: b₂ is 6 −
// .05, and its variance that of the test and of the margin, joined with the
// stand-in at 6 ± .12·√2, the mean of one being as uncertain as another.
func TestWhoRacedWithoutATest(t *testing.T) {
	race := Block{Source: Racing, Athletes: []int{1, 0}, Mean: []float64{-0.05, 0}, Cov: diagonal(0.01, 0.01)}
	j := joined(t, 3, power(Ergometer, 0, 6, 0.03), race)
	v := 0.0009 + 0.0002
	w := 2 * StandInSD * StandInSD
	near(t, "raced", j.Mean[1], (5.95/v+6/w)/(1/v+1/w), 1e-10)
	near(t, "its SD", j.SD[1], math.Sqrt(1/(1/v+1/w)), 1e-10)
	near(t, "never seen", j.Mean[2], 6, 1e-12)
	near(t, "its SD", j.SD[2], StandInSD*math.Sqrt2, 1e-12)
	near(t, "covariance", j.Cov(0, 2), 0, 0)
	if j.StandIn[0] || !j.StandIn[1] || !j.StandIn[2] {
		t.Errorf("stand-ins %v", j.StandIn)
	}
}

// drawn is a squad with its evidence: truth, and blocks as they would come.
type drawn struct {
	truth  []float64
	blocks []Block
}

// draw makes a squad of 12: eight with tests that scatter by 2 % and leave 3 %
// open about the water, two races of six that overlap, a crew on recordings, and
// the coach's word on three. The last was neither tested nor raced.
func draw(random *rand.Rand) drawn {
	d := drawn{}
	for range 12 {
		d.truth = append(d.truth, math.Log(350)+StandInSD*random.NormFloat64())
	}
	for i := range 8 {
		sd := math.Hypot(0.02, 0.03)
		d.blocks = append(d.blocks, power(Ergometer, i, d.truth[i]+sd*random.NormFloat64(), sd))
	}
	d.compare(Racing, random, 0.03, 0, 1, 2, 3, 8, 9)
	d.compare(Racing, random, 0.02, 3, 4, 5, 8, 9, 10)
	d.compare(Strokes, random, 0.08, 0, 2, 6, 10)
	for _, i := range []int{2, 7, 10} {
		d.blocks = append(d.blocks, power(Coach, i, d.truth[i]+0.05*random.NormFloat64(), 0.05))
	}
	return d
}

// compare adds differences with correlated errors, about a zero of their own.
func (d *drawn) compare(source Source, random *rand.Rand, sd float64, athletes ...int) {
	n := len(athletes)
	mix := mat.NewDense(n, n, nil)
	for i := range n {
		for j := range n {
			mix.Set(i, j, 0.3*sd*random.NormFloat64())
		}
		mix.Set(i, i, mix.At(i, i)+sd)
	}
	noise := mat.NewVecDense(n, nil)
	for i := range n {
		noise.SetVec(i, random.NormFloat64())
	}
	off, zero := vector(mix, noise), random.NormFloat64()
	mean := make([]float64, n)
	for k, i := range athletes {
		mean[k] = d.truth[i] + off.AtVec(k) + zero
	}
	d.blocks = append(d.blocks, Block{Source: source, Athletes: athletes, Mean: mean, Cov: turned(identity(n), transposed(mix))})
}

func identity(n int) *mat.SymDense {
	out := mat.NewSymDense(n, nil)
	for i := range n {
		out.SetSym(i, i, 1)
	}
	return out
}

// TestJoinAgreesWithOneRegression: all evidence as one generalised least-squares
// problem, whitened and solved by gonum's QR, the zero of each comparison a
// parameter of its own, the stand-ins as figures.
func TestJoinAgreesWithOneRegression(t *testing.T) {
	d := draw(rand.New(rand.NewPCG(6, 6)))
	j := joined(t, 12, d.blocks...)
	sum, count := 0.0, 0.0
	for _, b := range d.blocks {
		if b.Level {
			sum, count = sum+b.Mean[0], count+1
		}
	}
	rows := d.blocks
	for _, i := range []int{8, 9, 11} { // the nine others have a test, or the coach's word
		rows = append(rows, power("", i, sum/count, StandInSD*math.Sqrt(1+1.0/9)))
	}
	total, zeros := 0, 0
	for _, b := range rows {
		total += len(b.Athletes)
		if !b.Level {
			zeros++
		}
	}
	x, y := mat.NewDense(total, 12+zeros, nil), mat.NewVecDense(total, nil)
	at, zero := 0, 12
	for _, b := range rows {
		var chol mat.Cholesky
		chol.Factorize(b.Cov)
		var lower mat.TriDense
		chol.LTo(&lower)
		n := len(b.Athletes)
		plain := mat.NewDense(n, 12+zeros, nil)
		for k, i := range b.Athletes {
			plain.Set(k, i, 1)
			if !b.Level {
				plain.Set(k, zero, 1)
			}
		}
		if !b.Level {
			zero++
		}
		var white mat.Dense
		if err := white.Solve(&lower, plain); err != nil {
			t.Fatal(err)
		}
		var figures mat.VecDense
		if err := figures.SolveVec(&lower, mat.NewVecDense(n, b.Mean)); err != nil {
			t.Fatal(err)
		}
		for k := range n {
			x.SetRow(at+k, mat.Row(nil, k, &white))
			y.SetVec(at+k, figures.AtVec(k))
		}
		at += n
	}
	var beta mat.VecDense
	if err := beta.SolveVec(x, y); err != nil {
		t.Fatal(err)
	}
	var normal, cov mat.Dense
	normal.Mul(x.T(), x)
	if err := cov.Inverse(&normal); err != nil {
		t.Fatal(err)
	}
	for i := range 12 {
		near(t, "mean", j.Mean[i], beta.AtVec(i), 1e-9)
		for k := range 12 {
			near(t, "covariance", j.Cov(i, k), cov.At(i, k), 1e-11)
		}
	}
}

// TestJoinedIntervalsHold: 95 % intervals of 2,000 squads hold between 93 and
// 97 % for every athlete, tested, raced, both or neither.
func TestJoinedIntervalsHold(t *testing.T) {
	random := rand.New(rand.NewPCG(15, 6))
	inside, all := make([]int, 12), 2000
	for range all {
		d := draw(random)
		j := joined(t, 12, d.blocks...)
		for i := range inside {
			if math.Abs(j.Mean[i]-d.truth[i]) <= 1.96*j.SD[i] {
				inside[i]++
			}
		}
	}
	for i, n := range inside {
		share := float64(n) / float64(all)
		t.Logf("athlete %d: %.3f", i, share)
		if share < 0.93 || share > 0.97 {
			t.Errorf("athlete %d: %.3f of the intervals hold", i, share)
		}
	}
}

// TestEvidenceNeverWidens: another block makes no figure less certain.
func TestEvidenceNeverWidens(t *testing.T) {
	d := draw(rand.New(rand.NewPCG(1, 2)))
	j := joined(t, 12, d.blocks...)
	for _, source := range []Source{Racing, Strokes, Coach} {
		less := joined(t, 12, Without(d.blocks, source)...)
		for i := range 12 {
			if j.SD[i] > less.SD[i]*(1+1e-12) {
				t.Errorf("athlete %d: ± %g with %s, ± %g without", i, j.SD[i], source, less.SD[i])
			}
		}
	}
}

// TestDifferencesOfTwoRaces: A beats B by .04 ± .02, and B beats C by .01 ± .02:
// about their mean A is (.04 + .05)/3 = .03, B −.01, C −.02 (by hand). The
// covariance of A − B and B − C is 0: A about the mean is (2(A−B) + (B−C))/3.
func TestDifferencesOfTwoRaces(t *testing.T) {
	half := 0.02 / math.Sqrt2
	list, err := Differences(5, []Block{
		power(Ergometer, 3, 6, 0.03),
		{Source: Racing, Athletes: []int{0, 1}, Mean: []float64{0.04, 0}, Cov: diagonal(half, half)},
		{Source: Racing, Athletes: []int{2, 1}, Mean: []float64{0, 0.01}, Cov: diagonal(half, half)},
		{Source: Racing, Athletes: []int{4}, Mean: []float64{0}, Cov: diagonal(half)},
	})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{0.03, -0.01, -0.02} {
		near(t, "value", list[i].Value, want, 1e-12)
		if !list[i].Told || list[i].Among != 3 {
			t.Errorf("%+v", list[i])
		}
	}
	near(t, "SD of A", list[0].SD, 0.02*math.Sqrt(5)/3, 1e-12)
	if list[3].Told || list[4].Told {
		t.Errorf("compared with nobody: %+v", list)
	}
}

func TestWhatCannotBeJoined(t *testing.T) {
	race := Block{Source: Racing, Athletes: []int{0, 1}, Mean: []float64{1, 0}, Cov: diagonal(1, 1)}
	if _, err := Join(2, []Block{race}); !errors.Is(err, ErrNoLevel) {
		t.Error(err)
	}
	race.Cov = mat.NewSymDense(2, []float64{1, 1, 1, 1})
	if _, err := Join(2, []Block{power(Ergometer, 0, 6, 1), race}); !errors.Is(err, ErrCovariance) {
		t.Error(err)
	}
	if _, err := Differences(2, []Block{race}); !errors.Is(err, ErrCovariance) {
		t.Error(err)
	}
	for name, b := range map[string]Block{
		"a stranger": power(Coach, 2, 6, 1), "NaN": power(Coach, 0, math.NaN(), 1),
		"twice": {Athletes: []int{0, 0}, Mean: []float64{1, 2}, Cov: diagonal(1, 1)},
		"sizes": {Athletes: []int{0}, Mean: []float64{1, 2}, Cov: diagonal(1)},
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: no panic", name)
				}
			}()
			_, _ = Join(2, []Block{b})
		}()
	}
	if only := Only([]Block{race, power(Coach, 0, 6, 1)}, Coach); len(only) != 1 || only[0].Source != Coach {
		t.Errorf("%+v", only)
	}
}

func BenchmarkJoinFiveHundred(b *testing.B) {
	random := rand.New(rand.NewPCG(1, 1))
	d := draw(random)
	for i := 12; i < 500; i++ {
		d.blocks = append(d.blocks, power(Ergometer, i, 6, 0.03))
	}
	for b.Loop() {
		joined(b, 500, d.blocks...)
	}
}
