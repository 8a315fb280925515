package lineup

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Crews of 450 W a rower, η = 0.785 × 0.945: a single at 7:03, a four at 6:03
// and an eight at 5:37 over 2000 m, with drag 3.16 and 7.96 N·s²/m² (D.
// Cabrera, A. Ruina and V. Kleshnev, "A simple 1+ dimensional model of rowing
// mimics observed forces and motions", Human Movement Science 25, 2006,
// p. 192, as reported at second hand) and 12.74 at 805 kg for the eight.
// Printed to the second.
func TestPaceOfThreeBoats(t *testing.T) {
	for _, c := range []struct {
		boat             string
		rowers, drag, at float64
		want             float64
	}{
		{"single", 1, 3.16, 104, 7*60 + 3},
		{"four", 4, 7.96, 412, 6*60 + 3},
		{"eight", 8, 12.74, 805, 5*60 + 37},
	} {
		p := Pace{Distance: 2000, Efficiency: 0.785 * 0.945, Drag: c.drag, ReferenceMass: c.at, MassExponent: 0.5}
		if got := p.Time(450*c.rowers, c.at); math.Abs(got-c.want) > 0.5 {
			t.Errorf("%s: %.2f s, expected %v", c.boat, got, c.want)
		}
	}
}

// Speed goes with the −1/6 power of the displacement at the exponent of ½:
// 10 kg more in an eight of 900 kg at 6:00 cost 0.66 s.
func TestPaceOfTenKilograms(t *testing.T) {
	p := eightPace
	p.FixedMass = 0
	p.Efficiency *= math.Pow(p.Time(3600, 900)/360, 3)
	if got := p.Time(3600, 910) - p.Time(3600, 900); math.Abs(got-0.66) > 0.005 {
		t.Errorf("10 kg cost %.4f s", got)
	}
}

func TestSpeedIsDistanceOverTime(t *testing.T) {
	if got := eightPace.Speed(3200, 700) * eightPace.Time(3200, 700); !near(got, 2000) {
		t.Errorf("a race of %v m", got)
	}
}

func TestTangentSlopesAreDerivatives(t *testing.T) {
	tan := newTangent(eightPace, 3300, 690)
	const h = 0.01
	if got := (eightPace.Time(3300+h, 690) - eightPace.Time(3300-h, 690)) / (2 * h); math.Abs(got-tan.perPower) > 1e-9 {
		t.Errorf("per watt %v, by differences %v", tan.perPower, got)
	}
	if got := (eightPace.Time(3300, 690+h) - eightPace.Time(3300, 690-h)) / (2 * h); math.Abs(got-tan.perMass) > 1e-9 {
		t.Errorf("per kilogram %v, by differences %v", tan.perMass, got)
	}
}

func TestTangentRestIsTheLeast(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 3))
	for range 300 {
		p := eightPace
		p.MassExponent = 3 * r.Float64()
		tan := newTangent(p, 2500+1500*r.Float64(), 500+400*r.Float64())
		powLo, massLo := 2500+1500*r.Float64(), 500+400*r.Float64()
		powHi, massHi := powLo+1000*r.Float64(), massLo+300*r.Float64()
		rest, least := tan.rest(0, box{powLo, powHi, massLo, massHi}), inf
		const steps = 40
		for i := range steps + 1 {
			for j := range steps + 1 {
				power, mass := powLo+(powHi-powLo)*float64(i)/steps, massLo+(massHi-massLo)*float64(j)/steps
				least = min(least, p.Time(power, mass)-tan.perPower*power-tan.perMass*mass)
			}
		}
		if rest > least+1e-9 || rest < least-0.01 {
			t.Fatalf("least of %v on a grid, said to be %v", least, rest)
		}
	}
}

func TestTangentRestAtAPointIsExact(t *testing.T) {
	tan := newTangent(eightPace, 3300, 690)
	got := tan.rest(0, box{3100, 3100, 720, 720}) + tan.perPower*3100 + tan.perMass*720
	if want := eightPace.Time(3100, 720); !near(got, want) {
		t.Errorf("%v for %v", got, want)
	}
}
