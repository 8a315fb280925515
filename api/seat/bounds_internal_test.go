package seat

import (
	"math"
	"testing"

	"thole/rigging"
)

// TestAnOfferTellsItsLoadFromHalfAPercent.
func TestAnOfferTellsItsLoadFromHalfAPercent(t *testing.T) {
	catch := -58.0
	for _, c := range []struct {
		offer Offer
		best  float64
		want  string
	}{
		{Offer{LoadShare: 0.005}, 0, ". Load at the catch 0.5 % heavier."}, {Offer{LoadShare: -0.005}, 0, ". Load at the catch 0.5 % lighter."}, {Offer{LoadShare: 0.0049}, 0, ". Load at the catch as before."},
		{Offer{LoadShare: -0.0049}, 2, ". Up to 2° nearer. Load at the catch as before."}, {Offer{CatchDeg: &catch}, 2, ": 58°. Load at the catch as before."},
	} {
		if got := offerPrice(&c.offer, c.best); got != c.want {
			t.Errorf("%+v: %q, want %q", c.offer, got, c.want)
		}
	}
}

// TestLightweightsAreAdultsUpToTheMass of the rules: at it and below, from 19 on or of an age
// that is not known.
func TestLightweightsAreAdultsUpToTheMass(t *testing.T) {
	most, ok := rigging.LightweightMass(rigging.Male)
	if !ok {
		t.Fatal("men have no lightweights")
	}
	for _, c := range []struct {
		sex       rigging.Sex
		mass, age float64
		want      bool
	}{
		{rigging.Male, most, 0, true}, {rigging.Male, most + 0.1, 0, false}, {rigging.Male, 0, 0, false}, {rigging.Male, most, 19, true}, {rigging.Male, most, 18.9, false}, {rigging.Male, most - 5, 30, true}, {rigging.Female, most, 30, false},
	} {
		in := &SolveInput{}
		in.Measures.Sex, in.Measures.Mass, in.Measures.Age = c.sex, c.mass, c.age
		if got := in.light(); got != c.want {
			t.Errorf("%s of %g kg, %g years: %v", c.sex, c.mass, c.age, got)
		}
	}
}

// TestGoalsAreNumbersOrObjects, with blanks about them or none.
func TestGoalsAreNumbersOrObjects(t *testing.T) {
	for text, c := range map[string]struct {
		value float64
		bad   bool
	}{"1.5": {1.5, false}, " -60 ": {-60, false}, `{"value": 2}`: {2, false}, "\n{}": {math.NaN(), false}, `"x"`: {0, true}, "[1]": {0, true}} {
		var g Goal
		err := g.UnmarshalJSON([]byte(text))
		if (err != nil) != c.bad || !c.bad && g.Value != c.value && !(math.IsNaN(g.Value) && math.IsNaN(c.value)) {
			t.Errorf("%q: %+v %v", text, g, err)
		}
	}
}

// TestTolerancesAreThoseOfTheGoal, or of the target where it has none.
func TestTolerancesAreThoseOfTheGoal(t *testing.T) {
	usual := rigging.TargetCatch.Tolerance()
	for stated, want := range map[float64]float64{0: usual, 0.5: 0.5} {
		if got := toleranceOf(rigging.TargetCatch, rigging.Goal{Tolerance: stated}); got != want {
			t.Errorf("stated %g: %g, want %g", stated, got, want)
		}
	}
}
