package erg

import (
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

func TestTheBestEverAreNotDoubted(t *testing.T) {
	// From memory: about the best men's marks over 500 m, 2000 m, an hour and
	// a marathon.
	for _, e := range []Effort{{500, 70.5}, {2000, 335.8}, {18_700, 3600}, {42_195, 8400}} {
		if d := e.Doubt(); d != "" {
			t.Error(d)
		}
	}
}

func TestFiveSecondsFasterPer500ThanTheBestIsDoubted(t *testing.T) {
	for _, e := range []Effort{{500, 65.5}, {2000, 315.8}, {18_700, 3413}, {42_195, 7978}, {100, 10}} {
		if !strings.Contains(e.Doubt(), "beyond") {
			t.Errorf("%+v: doubt %q", e, e.Doubt())
		}
	}
}

func TestMostPowerNeverRisesWithTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(5, 20_000).Draw(t, "time")
		b := a * rapid.Float64Range(1, 3).Draw(t, "longer")
		if mostPower(b) > mostPower(a)*(1+1e-12) {
			t.Fatalf("%g W for %g s, %g W for %g s", mostPower(a), a, mostPower(b), b)
		}
	})
}

func TestMostPowerPassesThroughItsNodes(t *testing.T) {
	for _, n := range envelope {
		near(t, "power", mostPower(n.time), n.power, 1e-9*n.power)
	}
}

func TestShortestTimeTaken(t *testing.T) {
	for time, right := range map[float64]bool{4.9: false, 5: true, 86_400: true, 86_401: false} {
		err := Test{Effort: Effort{Distance: 20, Time: time}}.Check()
		if (err == nil) != right {
			t.Errorf("%g s: error %v", time, err)
		}
	}
}

// A chance that is exactly the confidence parts two bands: equal spreads and
// powers one standard deviation of the difference apart.
func TestAChanceOfExactlyTheConfidenceParts(t *testing.T) {
	cov := mat.NewSymDense(2, []float64{0.5, 0, 0, 0.5})
	if got := JointBands([]float64{301, 300}, cov, distuv.UnitNormal.CDF(1)); len(got) != 2 {
		t.Errorf("bands %v", got)
	}
}
