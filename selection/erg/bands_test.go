package erg

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

func estimate(power, logSD float64) Estimate {
	return Estimate{Power: power, LogSD: logSD, SD: power * logSD, Low: power * math.Exp(-1.645*logSD), High: power * math.Exp(1.645*logSD)}
}

func drawSquad(t *rapid.T) []Estimate {
	squad := make([]Estimate, rapid.IntRange(0, 12).Draw(t, "athletes"))
	for i := range squad {
		squad[i] = estimate(rapid.Float64Range(200, 500).Draw(t, "power"), rapid.Float64Range(0.002, 0.06).Draw(t, "SD"))
	}
	return squad
}

func TestChanceIsThatOfTheNormalDistribution(t *testing.T) {
	// Standard normal table: Φ(1.644854) = 0.95, Φ(1) = 0.841345, Φ(0) = ½.
	a := estimate(300, 0.03)
	near(t, "one SD", Chance(estimate(300*math.Exp(0.05), 0.04), a), 0.841345, 0.0000005)
	near(t, "1.644854 SD", Chance(estimate(300*math.Exp(0.05*1.644854), 0.04), a), 0.95, 0.0000005)
	near(t, "alike", Chance(a, a), 0.5, 0)
	near(t, "both certain", Chance(estimate(301, 0), estimate(300, 0)), 1, 0)
}

func TestChancesOfTheTwoSumToOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := estimate(rapid.Float64Range(200, 500).Draw(t, "a"), 0.02)
		b := estimate(rapid.Float64Range(200, 500).Draw(t, "b"), 0.03)
		near(t, "sum", Chance(a, b)+Chance(b, a), 1, 1e-12)
	})
}

func TestBandsPartClearlyDifferentAthletesOnly(t *testing.T) {
	// With SDs of 2 % two athletes part at 1.645·√2·2 % = 4.7 %.
	squad := []Estimate{estimate(300, 0.02), estimate(350, 0.02), estimate(345, 0.02), estimate(290, 0.02), estimate(250, 0.02)}
	want := [][]int{{1, 2}, {0, 3}, {4}}
	if got := Bands(squad, BandConfidence); !slices.EqualFunc(got, want, slices.Equal) {
		t.Errorf("bands %v, want %v", got, want)
	}
}

func TestBandsPartAtNineteenToOne(t *testing.T) {
	// Standard normal table: 95 % lies at 1.645, which with SDs of 2 % each is
	// 1.645·√2·2 % = 4.65 % between two athletes.
	for gap, bands := range map[float64]int{0.0460: 1, 0.0470: 2} {
		squad := []Estimate{estimate(300, 0.02), estimate(300*math.Exp(gap), 0.02)}
		if got := Bands(squad, BandConfidence); len(got) != bands {
			t.Errorf("%.2f %% apart: bands %v, want %d", 100*gap, got, bands)
		}
	}
}

func TestAChainOfNeighboursStaysTogether(t *testing.T) {
	squad := []Estimate{estimate(300, 0.02), estimate(309, 0.02), estimate(318, 0.02), estimate(328, 0.02)}
	if got := Bands(squad, BandConfidence); len(got) != 1 {
		t.Errorf("bands %v", got)
	}
	if Chance(squad[3], squad[0]) < BandConfidence {
		t.Error("the ends of the chain should differ for this case to be one")
	}
}

func TestAnUncertainAthleteJoinsTheBandsOfBoth(t *testing.T) {
	squad := []Estimate{estimate(400, 0.001), estimate(380, 0.001), estimate(370, 0.1)}
	if got := Bands(squad, BandConfidence); len(got) != 1 {
		t.Errorf("bands %v, want one: the third could be the best", got)
	}
}

// clean reports whether everybody in above beats everybody in below.
func clean(squad []Estimate, above, below []int) bool {
	for _, a := range above {
		for _, b := range below {
			if Chance(squad[a], squad[b]) < BandConfidence {
				return false
			}
		}
	}
	return true
}

func TestBandsAreCutWhereverAndOnlyWhereACutIsClean(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		squad := drawSquad(t)
		var order []int
		starts := map[int]bool{}
		for _, band := range Bands(squad, BandConfidence) {
			starts[len(order)] = true
			order = append(order, band...)
		}
		if len(order) != len(squad) {
			t.Fatalf("%d athletes in bands, %d in the squad", len(order), len(squad))
		}
		for i := 1; i < len(order); i++ {
			if squad[order[i]].Power > squad[order[i-1]].Power {
				t.Fatal("not in falling order of power")
			}
			if starts[i] != clean(squad, order[:i], order[i:]) {
				t.Fatalf("cut at %d: %v", i, starts[i])
			}
		}
	})
}

func TestBandsNeedAConfidence(t *testing.T) {
	for _, bad := range []float64{0, 0.5, 1, math.NaN()} {
		mustPanic(t, "Bands", func() { Bands(nil, bad) })
	}
}

func TestWaterSDIsWhatTheCorrelationLeaves(t *testing.T) {
	// The correlation of .75 lies in the published range for senior singles
	// (Mikulić et al. 2009); the squad's spread of 4.5 % is a judgement.
	near(t, "SD", WaterSD, 0.045*math.Sqrt(1-0.75*0.75), 0.0005)
}

func TestOnWaterWidensTheInterval(t *testing.T) {
	dry := racePower(t, []Test{rowed(2000, 105, 0)}, 0, 0)
	wet := dry.OnWater(WaterSD)
	near(t, "SD", wet.LogSD, math.Hypot(0.02, 0.03), 1e-12)
	near(t, "SD in W", wet.SD, wet.Power*wet.LogSD, 1e-9)
	if !(wet.Power == dry.Power && wet.Low < dry.Low && wet.High > dry.High) {
		t.Errorf("%+v against %+v", wet, dry)
	}
	if same := dry.OnWater(0); same.Low != dry.Low || same.SD != dry.SD {
		t.Errorf("an SD of 0 changed %+v to %+v", dry, same)
	}
	mustPanic(t, "negative", func() { dry.OnWater(-1) })
	mustPanic(t, "NaN", func() { dry.OnWater(math.NaN()) })
}

func TestIntervalsAreThoseOfTheTables(t *testing.T) {
	// Tables of the t distribution: 1.943 leaves 5 % above with 6 degrees of
	// freedom, whose SD is √(6/4); of the normal one: 1.645. By hand, for one
	// fresh test: land 1.943·√(4/6)·2 %, water the root of its square and that
	// of 1.645·3 %. Tolerance: half a unit of the tables' last digit.
	dry := racePower(t, []Test{rowed(2000, 105, 0)}, 0, 0)
	wet := dry.OnWater(WaterSD)
	land := 1.943 * math.Sqrt(4.0/6) * 0.02
	for name, r := range map[string]struct {
		got  Estimate
		half float64
	}{"land": {dry, land}, "water": {wet, math.Hypot(land, 1.645*0.03)}} {
		near(t, name+", upper half", math.Log(r.got.High/r.got.Power), r.half, 0.00002)
		near(t, name+", lower half", math.Log(r.got.Power/r.got.Low), r.half, 0.00002)
	}
}

func TestAnEstimateThatIsNoneIsMisuse(t *testing.T) {
	ok := estimate(300, 0.02)
	mustPanic(t, "empty on the water", func() { Estimate{}.OnWater(WaterSD) })
	mustPanic(t, "empty against one", func() { Chance(Estimate{}, ok) })
	for _, bad := range []float64{-0.01, math.NaN(), math.Inf(1)} {
		mustPanic(t, "Chance", func() { Chance(estimate(310, bad), ok) })
		mustPanic(t, "Chance", func() { Chance(ok, estimate(310, bad)) })
		mustPanic(t, "Bands", func() { Bands([]Estimate{ok, {Power: 310, LogSD: bad}}, BandConfidence) })
		mustPanic(t, "OnWater", func() { ok.OnWater(bad) })
	}
}

func BenchmarkBands(b *testing.B) {
	var squad []Estimate
	for i := range 40 {
		squad = append(squad, estimate(300+float64(i*37%100), 0.01))
	}
	for b.Loop() {
		Bands(squad, BandConfidence)
	}
}

// TestJointBandsPartAtNineteenToOne: as in
// TestBandsPartAtNineteenToOne, with SDs of 6 W each, 1.645·√2·6 W = 13.96 W.
func TestJointBandsPartAtNineteenToOne(t *testing.T) {
	for gap, count := range map[float64]int{13.9: 1, 14.0: 2} {
		if got := JointBands([]float64{300, 300 + gap}, mat.NewSymDense(2, []float64{36, 0, 0, 36}), BandConfidence); len(got) != count {
			t.Errorf("%g W apart: bands %v, want %d", gap, got, count)
		}
	}
}

// TestWhatAllShareDoesNotJoinBands: racing tells differences better than
// levels. By hand: shared 15 W leave the SD of the difference at √2·6 W.
func TestWhatAllShareDoesNotJoinBands(t *testing.T) {
	powers := []float64{300, 314}
	alone := mat.NewSymDense(2, []float64{261, 0, 0, 261})
	shared := mat.NewSymDense(2, []float64{261, 225, 225, 261})
	if got := JointBands(powers, alone, BandConfidence); len(got) != 1 {
		t.Errorf("independent: %v", got)
	}
	if got := JointBands(powers, shared, BandConfidence); len(got) != 2 || got[0][0] != 1 {
		t.Errorf("a level in common: %v", got)
	}
}

func TestEqualPowersStayInOneBand(t *testing.T) {
	if got := JointBands([]float64{300, 300}, mat.NewSymDense(2, nil), BandConfidence); len(got) != 1 {
		t.Errorf("bands %v", got)
	}
}

func TestJointBandsThatCannotBe(t *testing.T) {
	one := mat.NewSymDense(1, []float64{36})
	mustPanic(t, "other size", func() { JointBands([]float64{300, 310}, one, BandConfidence) })
	mustPanic(t, "no power", func() { JointBands([]float64{math.NaN()}, one, BandConfidence) })
	mustPanic(t, "negative variance", func() { JointBands([]float64{300}, mat.NewSymDense(1, []float64{-1}), BandConfidence) })
	mustPanic(t, "confidence", func() { JointBands([]float64{300}, one, 1) })
}
