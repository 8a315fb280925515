package speed

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"thole/rigging"
	"thole/selection"
)

// crewOf returns n rowers of one mass and power.
func crewOf(n int, mass, power, sd float64) []selection.Athlete {
	crew := make([]selection.Athlete, n)
	for i := range crew {
		crew[i] = selection.Athlete{Mass: mass, Power: power, PowerSD: sd}
	}
	return crew
}

func TestReferenceDisplacementsAreCrewsOfOrdinaryMen(t *testing.T) {
	// The class references, less empty boat, leave 86 to 89 kg a rower (for
	// the 2+ the coxswain's seat is the only difference from the 2-).
	for _, c := range rigging.Classes() {
		near(t, c.Code, (c.ReferenceMass-NewBoat(c).EmptyMass())/float64(c.Rowers), 87.5, 2)
	}
}

func TestEmptyMassAddsHullCoxAndGear(t *testing.T) {
	// By hand: 96 + 55 + 8·3 kg and 14 + 3 kg.
	near(t, "8+", NewBoat(class(t, "8+")).EmptyMass(), 175, 0)
	near(t, "1x", NewBoat(class(t, "1x")).EmptyMass(), 17, 0)
}

func TestPredictionOfASingle(t *testing.T) {
	// 450 W and 87 kg make the reference single: 7:03 to the second.
	p, err := Predict(NewBoat(class(t, "1x")), crewOf(1, 87, 450, 9), 2000)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "time", p.Time, 423, 0.5)
	near(t, "speed", p.Speed, 2000/p.Time, 1e-12)
	near(t, "power", p.Power, 450, 0)
	near(t, "displacement", p.Displacement, 104, 1e-12)
	near(t, "drag", p.Drag, SingleDrag, 1e-12)
	near(t, "2 % of power is 2/3 % of time", p.CrewSD, p.Time*0.02/3, 1e-9)
	// By hand: hypot(3.1/78.5, 3 %)/3 = 1.65 % of 423 s.
	near(t, "model", p.ModelSD, 7.0, 0.05)
}

func TestCrewSDAgreesWithDraws(t *testing.T) {
	boat, crew := NewBoat(class(t, "8+")), crewOf(8, 88, 420, 15)
	p, err := Predict(boat, crew, 2000)
	if err != nil {
		t.Fatal(err)
	}
	const draws = 4000
	rng := rand.New(rand.NewPCG(1, 2))
	pace := NewPace(boat.Class, 2000, SameHull)
	var sum, squares float64
	for range draws {
		power := p.Power
		for range crew {
			power += 15 * rng.NormFloat64()
		}
		off := pace.Time(power, p.Displacement) - p.Time
		sum, squares = sum+off, squares+off*off
	}
	sd := math.Sqrt(squares/draws - sum*sum/draws/draws)
	near(t, "SD", p.CrewSD/sd, 1, 0.05) // 4.5 standard errors of 4000 draws
}

func TestPredictionIgnoresTheOrderOfTheCrew(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		boat, crew := NewBoat(class(t, "4-")), crewOf(4, 85, 400, 10)
		for i := range crew {
			crew[i].Power = float64(rapid.IntRange(200, 500).Draw(t, "power"))
			crew[i].Mass = float64(rapid.IntRange(60, 110).Draw(t, "mass"))
		}
		a, _ := Predict(boat, crew, 2000)
		crew[0], crew[3] = crew[3], crew[0]
		b, _ := Predict(boat, crew, 2000)
		near(t, "time", b.Time, a.Time, 1e-9)
	})
}

func TestPredictTakesTheEndsOfEveryRange(t *testing.T) {
	boat := NewBoat(class(t, "2+"))
	for _, ends := range [][6]float64{{20, 20, 0, 5, 20, 100}, {220, 1000, 1000, 300, 220, 200_000}} {
		boat.HullMass, boat.CoxMass = ends[3], ends[4]
		p, err := Predict(boat, crewOf(2, ends[0], ends[1], ends[2]), ends[5])
		if err != nil || !(p.Time > 0 && p.Speed > 0 && p.CrewSD >= 0 && p.ModelSD > 0) {
			t.Errorf("%v: %+v, %v", ends, p, err)
		}
	}
}

func TestPredictNamesTheBadField(t *testing.T) {
	single, eight := NewBoat(class(t, "1x")), NewBoat(class(t, "8+"))
	withCox := single
	withCox.CoxMass = 55
	noHull, noCox := eight, eight
	noHull.HullMass, noCox.CoxMass = math.NaN(), 0
	rows := []struct {
		field    string
		boat     Boat
		crew     []selection.Athlete
		distance float64
	}{
		{"crew", single, crewOf(2, 80, 400, 0), 2000},
		{"distance", single, crewOf(1, 80, 400, 0), 0},
		{"boat.cox_mass", withCox, crewOf(1, 80, 400, 0), 2000},
		{"boat.cox_mass", noCox, crewOf(8, 80, 400, 0), 2000},
		{"boat.hull_mass", noHull, crewOf(8, 80, 400, 0), 2000},
		{"crew[0].mass", single, crewOf(1, 8, 400, 0), 2000},
		{"crew[0].power", single, crewOf(1, 80, math.NaN(), 0), 2000},
		{"crew[0].power_sd", single, crewOf(1, 80, 400, -1), 2000},
	}
	for _, r := range rows {
		_, err := Predict(r.boat, r.crew, r.distance)
		var errs rigging.FieldErrors
		if !errors.As(err, &errs) || len(errs) != 1 || errs[0].Field != r.field {
			t.Errorf("error %v, want one for %s", err, r.field)
			continue
		}
		if errs[0].Quantity == rigging.Length {
			t.Errorf("%s: the edge would write a distance in centimetres", r.field)
		}
	}
}

func TestEveryConstantNamesItsSource(t *testing.T) {
	for _, c := range Constants() {
		if c.Name == "" || c.Source == "" || !(c.Value > 0) {
			t.Errorf("incomplete: %+v", c)
		}
	}
}

func BenchmarkPredictEight(b *testing.B) {
	boat, crew := NewBoat(class(b, "8+")), crewOf(8, 88, 420, 15)
	for b.Loop() {
		if _, err := Predict(boat, crew, 2000); err != nil {
			b.Fatal(err)
		}
	}
}
