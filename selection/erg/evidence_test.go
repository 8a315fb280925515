package erg

import (
	"slices"
	"testing"
)

func TestEveryConstantNamesItsSource(t *testing.T) {
	for _, c := range Constants() {
		if c.Name == "" || c.Source == "" || !(c.Value > 0) {
			t.Errorf("incomplete: %+v", c)
		}
	}
}

func TestAgreementsAreThosePublished(t *testing.T) {
	rows := []struct {
		measure   string
		low, high float64
	}{
		{"r", 0.72, 0.78},  // Mikulić et al., J Sports Sci 27 (2009): senior singles, lightweight doubles
		{"r", 0.31, 0.70},  // same volume: big junior boats
		{"R²", 0.28, 0.28}, // Nevill et al., Scand J Med Sci Sports 20 (2010) 122
		{"R²", 0.59, 0.59}, // same, with mass^−0.23
	}
	for _, r := range rows {
		if !slices.ContainsFunc(Agreements(), func(a Agreement) bool {
			return a.Measure == r.measure && a.Low == r.low && a.High == r.high && a.Source != ""
		}) {
			t.Errorf("no agreement %+v", r)
		}
	}
}
