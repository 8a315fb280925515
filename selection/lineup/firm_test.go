package lineup

import (
	"context"
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"testing"
)

func firm(t *testing.T, p Problem, o FirmOptions) Firm {
	t.Helper()
	f, err := Firmness(context.Background(), p, o)
	if err != nil || !f.Proven || f.Draws != o.Draws {
		t.Fatalf("%v, proven %v, %d draws", err, f.Proven, f.Draws)
	}
	return f
}

// pairSquad is a double scull for which only the powers count: two places,
// the first clearly one athlete's.
func pairSquad(t *testing.T, powers ...float64) Problem {
	p := squadOf(rand.New(rand.NewPCG(1, 51)), class(t, "2x"), len(powers), 0)
	p.Weights = Weights{}
	for i := range p.Candidates {
		a := &p.Candidates[i]
		a.Power, a.PowerSD, a.Mass, a.Curve = powers[i], 10, 80, nil
	}
	return p
}

// With one place open between two athletes 10 W apart, each known to 10 W, the
// stronger takes it with chance Φ(10/√200) = 0.760.
func TestSharesFollowTheNormalDistribution(t *testing.T) {
	const draws = 4000
	f := firm(t, pairSquad(t, 500, 400, 390), FirmOptions{Draws: draws, Seed: 1})
	want := 0.5 * (1 + math.Erf(10/math.Sqrt(200)/math.Sqrt2))
	if got := f.Selected["a01"]; math.Abs(got-want) > 4*math.Sqrt(want*(1-want)/draws) {
		t.Errorf("selected in %v of the draws, expected %v", got, want)
	}
	if f.Selected["a00"] != 1 || !near(f.Selected["a01"]+f.Selected["a02"], 1) || f.SameCrew != f.Selected["a01"] {
		t.Errorf("%+v", f)
	}
}

func TestSeatSharesAddUp(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 51))
	p := squadOf(r, class(t, "4-"), 8, 10)
	oneSided(r, &p)
	f := firm(t, p, FirmOptions{Draws: 200, Seed: 7})
	var all float64
	bySeat := make([]float64, 4)
	for id, share := range f.Selected {
		all += share
		var own float64
		for s, v := range f.Seat[id] {
			own += v
			bySeat[s] += v
		}
		if !near(own, share) {
			t.Errorf("%s rows in %v of the draws, seats add up to %v", id, share, own)
		}
	}
	for s, v := range bySeat {
		if !near(v, 1) {
			t.Errorf("seat %d is taken in %v of the draws", s+1, v)
		}
	}
	if !near(all, 4) || f.Same > f.SameCrew {
		t.Errorf("%v rowers in the mean draw; same %v, same crew %v", all, f.Same, f.SameCrew)
	}
}

// Powers that rise and fall together cannot change places.
func TestCommonErrorLeavesTheCrewFirm(t *testing.T) {
	p := pairSquad(t, 420, 410, 409)
	cov := make([][]float64, 3)
	for i := range cov {
		cov[i] = []float64{400, 400, 400}
	}
	if f := firm(t, p, FirmOptions{Draws: 300, Seed: 2, Covariance: cov}); f.SameCrew != 1 || len(f.Races) != 0 {
		t.Errorf("the same crew in %v of the draws, races %v", f.SameCrew, f.Races)
	}
}

// The covariance is in the order of the candidates, whatever their names.
func TestCovarianceBelongsToItsCandidate(t *testing.T) {
	p := pairSquad(t, 500, 400, 390)
	p.Candidates[0].Name, p.Candidates[1].Name, p.Candidates[2].Name = "Z", "Y", "X"
	own := func(a, b, c float64) [][]float64 { return [][]float64{{a, 0, 0}, {0, b, 0}, {0, 0, c}} }
	if f := firm(t, p, FirmOptions{Draws: 200, Seed: 3, Covariance: own(900, 0, 0)}); f.SameCrew < 0.99 {
		t.Errorf("the strongest alone is uncertain, and the crew is the same in %v", f.SameCrew)
	}
	if f := firm(t, p, FirmOptions{Draws: 200, Seed: 3, Covariance: own(0, 0, 900)}); f.SameCrew > 0.9 {
		t.Errorf("the third is uncertain, and the crew is the same in %v", f.SameCrew)
	}
}

func TestCertainPowersLeaveNoDoubt(t *testing.T) {
	p := pairSquad(t, 420, 410, 409)
	for i := range p.Candidates {
		p.Candidates[i].PowerSD = 0
	}
	if f := firm(t, p, FirmOptions{Draws: 20}); f.Same != 1 || len(f.Races) != 0 {
		t.Errorf("%+v", f)
	}
}

// The race to run is about the place that is in doubt: neither the sure
// starter nor the hopeless candidate is in it, and of two rivals as close as
// each other the less known one.
func TestNextRaceIsTheTellingOne(t *testing.T) {
	p := pairSquad(t, 500, 400, 395, 395, 300)
	p.Candidates[3].PowerSD = 25
	f := firm(t, p, FirmOptions{Draws: 1000, Seed: 5})
	if len(f.Races) == 0 || f.Races[0].In != "a01" || f.Races[0].Out != "a03" {
		t.Fatalf("races %+v", f.Races)
	}
	for k, r := range f.Races {
		if r.In == "a00" || r.Out == "a04" || r.Value <= 0 || k > 0 && r.Value > f.Races[k-1].Value {
			t.Errorf("race %d: %+v", k, r)
		}
	}
}

// For a normal difference of mean m and spread s the value of knowing it is
// s·φ(m/s) − |m|·Φ(−|m|/s); the gain in seconds is all but linear in the
// powers.
func TestRaceValueFollowsTheFormula(t *testing.T) {
	t.Parallel()
	f := firm(t, pairSquad(t, 500, 400, 390), FirmOptions{Draws: 20000, Seed: 6})
	r := f.Races[0]
	x := math.Abs(r.Gain) / r.SD
	want := r.SD*math.Exp(-x*x/2)/math.Sqrt(2*math.Pi) - math.Abs(r.Gain)*0.5*math.Erfc(x/math.Sqrt2)
	if math.Abs(r.Value-want) > 0.05*want {
		t.Errorf("%+v, expected a value of %v", r, want)
	}
}

func TestSameSeedSameAnswer(t *testing.T) {
	p := squadOf(rand.New(rand.NewPCG(8, 51)), class(t, "4x"), 7, 15)
	o := FirmOptions{Draws: 60, Seed: 9}
	want := firm(t, p, o)
	before := runtime.GOMAXPROCS(1)
	got := firm(t, p, o)
	runtime.GOMAXPROCS(before)
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v\nwant %+v", got, want)
	}
}

func TestFirmnessTellsItsProgress(t *testing.T) {
	var told []int
	p := pairSquad(t, 500, 400, 390)
	firm(t, p, FirmOptions{Draws: 10, Progress: func(done int) { told = append(told, done) }})
	if len(told) != 10 || told[9] != 10 {
		t.Errorf("told %v", told)
	}
}

func TestCancelledFirmnessIsNotProven(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	o := FirmOptions{Draws: 2000, Seed: 1, Progress: func(done int) {
		if done == 20 {
			cancel()
		}
	}}
	f, err := Firmness(ctx, pairSquad(t, 500, 400, 390), o)
	if err != nil || f.Proven || f.Draws < 15 || f.Draws > 100 {
		t.Errorf("%v, proven %v, %d draws", err, f.Proven, f.Draws)
	}
}

func TestBadFirmOptions(t *testing.T) {
	p := pairSquad(t, 500, 400, 390)
	for _, o := range []FirmOptions{
		{},
		{Draws: 1_000_001},
		{Draws: 5, Covariance: [][]float64{{1}}},
		{Draws: 5, Covariance: [][]float64{{1, 2, 0}, {0, 1, 0}, {0, 0, 1}}},
		{Draws: 5, Covariance: [][]float64{{1, 9, 0}, {9, 1, 0}, {0, 0, 1}}},
		{Draws: 5, Covariance: [][]float64{{1, 1.001, 0}, {1.001, 1, 0}, {0, 0, 1}}}, // slightly more than certain
		{Draws: 5, Covariance: [][]float64{{math.NaN(), 0, 0}, {0, 1, 0}, {0, 0, 1}}},
		{Draws: 5, Covariance: [][]float64{{-1, 0, 0}, {0, 1, 0}, {0, 0, 1}}},
	} {
		if _, err := Firmness(context.Background(), p, o); len(errorFields(err)) != 1 {
			t.Errorf("%+v: %v", o, err)
		}
	}
}

// Whatever ties by symmetry is counted the way round that the best line-up is,
// and not by its names.
func TestDrawsAreTurnedToTheBase(t *testing.T) {
	t.Parallel()
	turned := 0
	for seed := range uint64(30) {
		r := rand.New(rand.NewPCG(seed, 71))
		p := squadOf(r, class(t, []string{"4x", "4-", "2-"}[seed%3]), 7, 8)
		q := newSquad(p)
		l := q.limits(p.Rules)
		base := q.search(context.Background(), l, Options{})
		root, _ := q.spread(nil)
		f := &firmness{q: q, l: l, base: base.list[0], rigs: base.rigs, alike: q.changes(l), spread: root}
		f.solve(context.Background(), FirmOptions{Draws: 40, Seed: seed})
		for k, d := range f.draws {
			plain := q.withPower(f.power(seed, k)).search(context.Background(), l, Options{}).list[0]
			if plain.compare(d.best) != 0 {
				turned++
			}
			for _, m := range f.rigs[d.best.order].images(f.rigs, f.alike) {
				image := entry{cost: d.best.cost, x: m.of(d.best.x), order: m.order}
				if same(image.x, f.base.x) > same(d.best.x, f.base.x) {
					t.Fatalf("seed %d: %v is counted, and its image %v is more like %v", seed, d.best.x, image.x, f.base.x)
				}
			}
			if d.q.terms(d.best.x, f.rigs[d.best.order]).Total() > d.q.terms(plain.x, f.rigs[plain.order]).Total()+tie {
				t.Fatalf("seed %d: %v costs more than %v", seed, d.best, plain)
			}
		}
	}
	if turned < 50 {
		t.Errorf("only %d draws had to be turned", turned)
	}
}

// same counts the seats with the same athlete.
func same(x, y []int) (n int) {
	for s := range x {
		if x[s] == y[s] {
			n++
		}
	}
	return n
}

// However wide the doubt, nobody is drawn with less than a hundredth of their
// power.
func TestDrawnPowersStayAboveNone(t *testing.T) {
	p := pairSquad(t, 300, 310, 320)
	for i := range p.Candidates {
		p.Candidates[i].PowerSD = 600
	}
	q, err := prepare(p)
	if err != nil {
		t.Fatal(err)
	}
	root, err := q.checkFirm(FirmOptions{Draws: 1})
	if err != nil {
		t.Fatal(err)
	}
	f := &firmness{q: q, spread: root}
	held := 0
	for k := range 100 {
		for i, power := range f.power(1, k) {
			least := q.athletes[i].Power / 100
			if power < least {
				t.Fatalf("draw %d: %g W", k, power)
			}
			if power == least {
				held++
			}
		}
	}
	if held < 50 { // a third of 300 by chance
		t.Errorf("the floor held %d times of 300", held)
	}
}
