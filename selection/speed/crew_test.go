package speed

import (
	"testing"

	"thole/rigging"
)

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

func TestFourHundredAndFiftyWattsRowTheReferenceSingle(t *testing.T) {
	// 450 W and 87 kg make the reference single: 7:03 to the second.
	c := class(t, "1x")
	mass := NewBoat(c).EmptyMass() + 87
	near(t, "displacement", mass, SingleDisplacement, 0)
	near(t, "time", NewPace(c, 2000, SameHull).Time(450, mass), 423, 0.5)
}
