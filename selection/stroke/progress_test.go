package stroke

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat"
)

// TestTheBoundIsStudents compares with the table of critical values of Student's
// t, .975 one-sided (NIST/SEMATECH e-Handbook of Statistical Methods, section
// 1.3.6.7.2), three decimals.
func TestTheBoundIsStudents(t *testing.T) {
	for freedom, want := range map[float64]float64{4: 2.776, 6: 2.447, 10: 2.228, 20: 2.086, 30: 2.042, 100: 1.984} {
		if got := bound(freedom); math.Abs(got-want) > 0.0005 {
			t.Errorf("%g degrees of freedom: %.4f, the table says %.3f", freedom, got, want)
		}
	}
}

// days draws sessions of a rower whose mean moves by a day's scatter and slope.
func days(chance *rand.Rand, count int, slope, strokeSD, daySD float64) []Session {
	list := make([]Session, count)
	for i := range list {
		s := Session{Day: 9 * float64(i), N: 30}
		centre := 12 + slope*s.Day + daySD*chance.NormFloat64()
		var m moments
		for range s.N {
			m.add(centre + strokeSD*chance.NormFloat64())
		}
		s.Mean, s.SD = m.mean, m.sd()
		list[i] = s
	}
	return list
}

// TestChangesAreNotCertainByChance draws rowers in whom nothing changes, with
// the day's scatter that is taken at first and with one twice as large that the
// sessions have to tell: two dates are called different in one case of twenty at
// most with the first, and with the second far less often than a bound that
// knows no days, which is wrong more often than not.
func TestChangesAreNotCertainByChance(t *testing.T) {
	chance := rand.New(rand.NewPCG(5, 9))
	const tries = 1500
	for _, c := range []struct {
		sessions     int
		daySD, allow float64
	}{{2, 0.5, 0.055}, {6, 0.5, 0.06}, {12, 1, 0.09}} {
		wrong, strokesAlone := 0, 0
		for range tries {
			list := days(chance, c.sessions, 0, 1, c.daySD)
			g := NoiseOf(list, 0).Between(list[0], list[len(list)-1])
			if g.Sure == Certain {
				wrong++
			}
			if math.Abs(g.By) > 2*math.Sqrt(list[0].meanVariance()+list[len(list)-1].meanVariance()) {
				strokesAlone++
			}
		}
		if rate := float64(wrong) / tries; rate > c.allow {
			t.Errorf("%d sessions, day %g: certain in %.3f of cases without change", c.sessions, c.daySD, rate)
		}
		if rate := float64(strokesAlone) / tries; rate < 0.4 {
			t.Errorf("%d sessions: the strokes alone mislead in %.3f only: this test shows nothing", c.sessions, rate)
		}
	}
}

// TestRealChangesAreFound draws rowers who change by seven times the day's
// scatter, which is 4.7 SD of the difference.
func TestRealChangesAreFound(t *testing.T) {
	chance := rand.New(rand.NewPCG(1, 2))
	found := 0
	for range 500 {
		list := days(chance, 2, 0, 1, 0.5)
		list[1].Mean += 3.5
		if g := NoiseOf(list, 0).Between(list[0], list[1]); g.Sure == Certain && g.By > 0 {
			found++
		}
	}
	if found < 470 {
		t.Errorf("found in %d of 500", found)
	}
}

// TestTrendMatchesLeastSquares holds the line against gonum's weighted
// regression, and its error against many draws.
func TestTrendMatchesLeastSquares(t *testing.T) {
	chance := rand.New(rand.NewPCG(3, 3))
	list := days(chance, 8, -0.05, 1, 0.4)
	list[2].N = 6
	n := NoiseOf(list, 0)
	got, ok := TrendOf(list, n)
	if !ok {
		t.Fatal("no trend")
	}
	var x, y, w []float64
	for _, s := range list {
		x, y, w = append(x, s.Day), append(y, s.Mean), append(w, 1/math.Pow(n.Of(s), 2))
	}
	at0, slope := stat.LinearRegression(x, y, w, false)
	if math.Abs(got.PerDay-slope) > 1e-12 || math.Abs(got.At(0)-at0) > 1e-9 {
		t.Errorf("%g a day from %g, gonum says %g from %g", got.PerDay, got.At(0), slope, at0)
	}
	known := DayNoise{SD: 0.4, Freedom: 1000}
	var slopes moments
	var sd float64
	for range 800 {
		line, _ := TrendOf(days(chance, 8, -0.05, 1, 0.4), known)
		slopes.add(line.PerDay)
		sd = line.PerDaySD
	}
	if math.Abs(slopes.sd()-sd)/sd > 0.1 || math.Abs(slopes.mean+0.05) > 4*sd/math.Sqrt(800) {
		t.Errorf("slopes %g ± %g, told ± %g", slopes.mean, slopes.sd(), sd)
	}
}

// TestTheBandHoldsNewSessions draws a ninth session of the same trend: it lies
// in the band in about 19 cases of 20.
func TestTheBandHoldsNewSessions(t *testing.T) {
	chance := rand.New(rand.NewPCG(8, 3))
	in, tries := 0, 1000
	for range tries {
		list := days(chance, 9, 0.02, 1, 0.5)
		line, _ := TrendOf(list[:8], NoiseOf(list[:8], 0))
		if math.Abs(list[8].Mean-line.At(list[8].Day)) < line.Half {
			in++
		}
	}
	if share := float64(in) / float64(tries); share < 0.92 || share > 0.99 {
		t.Errorf("%.3f of new sessions lie in the band", share)
	}
}

func TestProgressLaws(t *testing.T) {
	chance := rand.New(rand.NewPCG(7, 7))
	list := days(chance, 5, 0.1, 1, 0.5)
	n := NoiseOf(list, 0.3)
	a, b := n.Between(list[0], list[4]), n.Between(list[4], list[0])
	if a.By != -b.By || a.SD != b.SD || a.Sure != b.Sure {
		t.Errorf("turned round: %+v, %+v", a, b)
	}
	scaled := make([]Session, len(list))
	for i, s := range list {
		scaled[i] = Session{s.Day + 100, s.N, 3 * s.Mean, 3 * s.SD}
	}
	g := NoiseOf(scaled, 0.9).Between(scaled[0], scaled[4])
	if math.Abs(g.By-3*a.By) > 1e-9 || math.Abs(g.Times-a.Times) > 1e-9 {
		t.Errorf("scaled: %+v, %+v", a, g)
	}
	if NoiseOf(list, 1).SD <= n.SD {
		t.Error("a worse sensor makes no more noise")
	}
	if short := NoiseOf(list[:2], 0); short.Own || short.Freedom != 4 {
		t.Errorf("two sessions tell nothing of days: %+v", short)
	}
	if _, ok := TrendOf(list[:2], n); ok {
		t.Error("two days make no trend")
	}
	same := []Session{{0, 1, 2, 0}, {1, 1, 2, 0}, {2, 1, 2, 0}}
	if _, ok := TrendOf(same, NoiseOf(same, 0)); ok {
		t.Error("no noise, no weights")
	}
	if g := NoiseOf(same, 0).Between(Session{0, 1, 2, 0}, Session{1, 1, 3, 0}); g.Sure != Unchanged {
		t.Errorf("without any noise nothing may be said: %+v", g)
	}
	defer func() {
		if recover() == nil {
			t.Error("no sessions do not panic")
		}
	}()
	NoiseOf(nil, 0)
}
