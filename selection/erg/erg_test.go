package erg

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// near fails unless got is within tolerance of want.
func near(t rapid.TB, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.9g, want %.9g ± %g", what, got, want, tolerance)
	}
}

// mustPanic fails unless f panics.
func mustPanic(t *testing.T, what string, f func()) {
	t.Helper()
	defer func() {
		if recover() == nil {
			t.Errorf("%s did not panic", what)
		}
	}()
	f()
}

// drawPace draws a pace in s/m between 1:05 and 5:00 per 500 m.
func drawPace(t *rapid.T) float64 {
	return rapid.Float64Range(65, 300).Draw(t, "seconds per 500 m") / 500
}

func TestPowerAgreesWithThePublishedRelation(t *testing.T) {
	rows := []struct {
		per500, watts, tolerance float64
		source                   string
	}{
		// Tolerance half a unit of the last printed digit.
		{150, 103.704, 0.0005, "manufacturers' published relation of pace and watts, printed value"},
		{135, 142.255, 0.0005, "manufacturers' published relation of pace and watts, printed value"},
		{120, 202.546, 0.0005, "manufacturers' published relation of pace and watts, printed value"},
		{100, 350, 1e-9, "arithmetic: 2.80/0.2³ = 350 exactly; tolerance for rounding"},
	}
	for _, r := range rows {
		near(t, "power, "+r.source, Power(r.per500/500), r.watts, r.tolerance)
	}
}

func TestPaceAgreesWithThePublishedRelation(t *testing.T) {
	// 300 W is 1:45.273 per 500 m by the same relation: 500·(2.80/300)^(1/3);
	// tolerance half a unit of the last digit.
	near(t, "pace of 300 W", 500*Pace(300), 105.273, 0.0005)
}

func TestPaceInvertsPower(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPace(t)
		near(t, "pace", Pace(Power(p)), p, 1e-14)
	})
}

func TestTwiceTheSpeedTakesEightTimesThePower(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPace(t)
		near(t, "ratio", Power(p/2)/Power(p), 8, 1e-12)
	})
}

func TestAdjustedTimeAgreesWithThePublishedAdjustment(t *testing.T) {
	rows := []struct{ mass, time, adjusted float64 }{
		// Manufacturers' published adjustment time × (mass/270 lb)^0.222,
		// worked with the calculator to three decimals.
		{70, 420, 370.953},
		{85, 390, 359.628},
		{95, 360, 340.263},
	}
	for _, r := range rows {
		near(t, "adjusted time", AdjustedTime(r.time, r.mass), r.adjusted, 0.0005)
	}
}

func TestTwoHundredAndSeventyPoundsNeedNoAdjustment(t *testing.T) {
	// 270 lb = 122.4699 kg: the pound is 0.45359237 kg by definition.
	near(t, "reference mass", adjustMass, 122.4699, 0.00005)
	near(t, "adjusted time", AdjustedTime(400, adjustMass), 400, 1e-12)
}

func TestAdjustmentIsGeometricSimilarityToThreeDigits(t *testing.T) {
	// Power of bodies of one shape goes with mass^(2/3), time with its cube
	// root; the published exponent is 2/9 printed to three decimals.
	near(t, "exponent", adjustExponent, 2.0/9, 0.0005)
}

func TestAdjustedPowerRowsTheAdjustedTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := Effort{RaceDistance, RaceDistance * drawPace(t)}
		mass := rapid.Float64Range(40, 130).Draw(t, "mass")
		adjusted := Effort{RaceDistance, AdjustedTime(e.Time, mass)}
		near(t, "power", AdjustedPower(e.Power(), mass)/adjusted.Power(), 1, 1e-12)
	})
}

func TestWaterIndexHasThePublishedExponents(t *testing.T) {
	// Nevill, Beech, Holder, Wyon, Scand J Med Sci Sports 20 (2010) 122:
	// water speed ∝ (ergometer speed × m^−0.23)^1.87. A tenth more speed is
	// worth 1.1^1.87 = 1.19510, a tenth more mass costs 1.1^−0.4301 = 0.95984.
	near(t, "speed", WaterIndex(5.5, 80)/WaterIndex(5, 80), 1.19510, 0.000005)
	near(t, "mass", WaterIndex(5, 88)/WaterIndex(5, 80), 0.95984, 0.000005)
}

func TestDoublingRuleAddsFiveSecondsPer500(t *testing.T) {
	// Common practice: +5 s per 500 m per doubling; 6000 m is 1.585 doublings
	// of 2000 m, so that 1:45.0 becomes 1:52.925.
	near(t, "6000 m", 500*PaceByDoubling(105.0/500, 2000, 6000), 112.925, 0.0005)
	near(t, "1000 m", 500*PaceByDoubling(105.0/500, 2000, 1000), 100, 1e-9)
}

func TestBareNumbersMustBePositive(t *testing.T) {
	for _, bad := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		mustPanic(t, "pace of an effort", func() { Effort{bad, 400}.Pace() })
		mustPanic(t, "pace of an effort", func() { Effort{2000, bad}.Pace() })
		mustPanic(t, "pace of an effort", func() { Effort{bad, bad}.Pace() })
		mustPanic(t, "power of an effort", func() { Effort{bad, bad}.Power() })
		mustPanic(t, "doubt of an effort", func() { Effort{bad, bad}.Doubt() })
		mustPanic(t, "doubt of a reading", func() { Reading{Seconds: 400}.Doubt(bad) })
		mustPanic(t, "AdjustedTime", func() { AdjustedTime(bad, 80) })
		mustPanic(t, "AdjustedPower", func() { AdjustedPower(300, bad) })
		mustPanic(t, "WaterIndex", func() { WaterIndex(5, bad) })
		mustPanic(t, "PaceByDoubling", func() { PaceByDoubling(bad, 1000, 2000) })
		mustPanic(t, "PaceByDoubling", func() { PaceByDoubling(0.2, 2000, bad) })
		mustPanic(t, "Power", func() { Power(bad) })
		mustPanic(t, "Pace", func() { Pace(bad) })
		mustPanic(t, "AdjustedTime", func() { AdjustedTime(400, bad) })
		mustPanic(t, "AdjustedPower", func() { AdjustedPower(bad, 80) })
		mustPanic(t, "WaterIndex", func() { WaterIndex(bad, 80) })
		mustPanic(t, "PaceByDoubling", func() { PaceByDoubling(0.2, bad, 2000) })
	}
}

// TestNoPaceAtAllIsDoubted: the least distance and the least time that a number can
// hold leave no pace.
func TestNoPaceAtAllIsDoubted(t *testing.T) {
	for _, e := range []Effort{{5e-324, 400}, {2000, 5e-324}} {
		if e.Doubt() == "" {
			t.Errorf("%v", e)
		}
	}
}
