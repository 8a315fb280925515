package speed

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestFrictionLineAgreesWithItsFormula(t *testing.T) {
	// 8th ITTC 1957: at Re = 10^6, 10^7, 10^8 the line is .075/16, /25, /36,
	// tabulated as 4.688, 3.000 and 2.083 × 10⁻³.
	for re, thousandths := range map[float64]float64{1e6: 4.688, 1e7: 3.000, 1e8: 2.083} {
		near(t, "Cf", 1e3*Friction(re), thousandths, 0.0005)
	}
}

func TestFrictionOfAHullAtFiveMetresPerSecond(t *testing.T) {
	// ITTC-57 at 5 m/s, 8 m, fresh water of 20 °C: 2.391081 × 10⁻³, worked
	// with a viscosity of 1.0034 × 10⁻⁶ m²/s. Tolerance half the last digit.
	near(t, "Cf", Friction(Reynolds(5, 8, FreshWaterViscosity)), 2.391081e-3, 0.5e-9)
}

func TestViscosityAgreesWithTables(t *testing.T) {
	rows := []struct {
		celsius, viscosity float64 // m²/s
		source             string
	}{
		// Tolerance: one unit of the last printed digit, as the sources'
		// formulations differ by as much.
		{10, 1.3063e-6, "ITTC 7.5-02-01-03 (2011), fresh water table (from memory)"},
		{15, 1.1386e-6, "ITTC 7.5-02-01-03 (2011), fresh water table (from memory)"},
		{20, FreshWaterViscosity, "ITTC 7.5-02-01-03 (2011), fresh water table (from memory)"},
		{25, 0.8927e-6, "IAPWS viscosity 0.8900 mPa·s over density 997.05 kg/m³ (handbook values, from memory)"},
		{40, 0.6578e-6, "handbook dynamic viscosity 0.6527 mPa·s, density 992.2 kg/m³ (from memory)"},
		{0, 1.792e-6, "handbook dynamic viscosity 1.792 mPa·s, density 999.84 kg/m³ (from memory)"},
	}
	for _, r := range rows {
		unit := 1e-10
		if r.celsius == 0 {
			unit = 1e-9
		}
		near(t, r.source, Viscosity(r.celsius), r.viscosity, unit)
	}
}

func TestDynamicViscosityPassesItsPublishedCheck(t *testing.T) {
	// IAPWS SR6-08(2011), table for computer-program verification: 889.9966 ×
	// 10⁻⁶ Pa·s at 298.15 K (from memory; ± 0.0005), times the density of
	// 997.047 kg/m³, known within 0.01 %.
	near(t, "µPa·s", Viscosity(25)*997.047*1e6, 889.9966, 0.09)
}

func TestColdWaterIsMoreViscous(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.Float64Range(0, 39).Draw(t, "celsius")
		if Viscosity(c+1) >= Viscosity(c) {
			t.Fatalf("viscosity does not fall at %g °C", c)
		}
	})
}

func TestFrictionFallsWithReynoldsNumber(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		re := rapid.Float64Range(1e5, 1e9).Draw(t, "Re")
		if Friction(1.1*re) >= Friction(re) {
			t.Fatalf("friction does not fall at %g", re)
		}
	})
}

func TestVenueNoteSaysThreePercent(t *testing.T) {
	// T. B. Smith, W. G. Hopkins, Med Sci Sports Exerc 43 (2011) 2155: about
	// 3 %, which is 12.6 s in 7:00.
	seconds, note := VenueNote(420)
	near(t, "seconds", seconds, 12.6, 1e-9)
	if !strings.Contains(note, " 3 %") || !strings.Contains(note, " 13 s") {
		t.Error(note)
	}
}

func TestCrewsVaryByNineTenthsOfAPercent(t *testing.T) {
	// The same paper: 0.9 % within a crew, which is 1.7 s in 190 s.
	near(t, "spread in %", 100*CrewSpread, 0.9, 1e-12)
	near(t, "seconds", 190*CrewSpread, 1.7, 0.05)
}

func TestMisuseOfWaterPanics(t *testing.T) {
	for _, bad := range []float64{-1, 0, math.NaN(), math.Inf(1)} {
		mustPanic(t, "Reynolds", func() { Reynolds(5, bad, FreshWaterViscosity) })
		mustPanic(t, "Friction", func() { Friction(bad) })
		mustPanic(t, "VenueNote", func() { VenueNote(bad) })
	}
	for _, bad := range []float64{-1, 41, math.NaN()} {
		mustPanic(t, "Viscosity", func() { Viscosity(bad) })
	}
}
