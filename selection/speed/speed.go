// Package speed says how fast a crew moves a boat ([Pace]), and what each part of
// their stroke is worth ([Stroke]). Masses are kg, times s, distances m, speeds m/s,
// angles rad. Differences hold far better than levels: times are good for comparing,
// never for predicting a race.
package speed

import (
	"fmt"
	"math"

	"thole/rigging"
)

const (
	// BladeEfficiency is the share of the power at the handle that the blades
	// pass on: 78.5 ± 3.1 %, V. Kleshnev, "Propulsive efficiency of rowing",
	// ISBS 1999 (title and year from memory).
	BladeEfficiency = 0.785

	// Evenness is the share left after the boat's speed has swung about its
	// mean: 5–6 % are lost, A. J. de Brouwer, H. J. de Poel, M. J. Hofmijster,
	// PLoS ONE 8 (2013) e54996.
	Evenness = 0.945

	// Efficiency is η, the product of both.
	Efficiency = BladeEfficiency * Evenness
)

const (
	// SingleDrag is k of a single scull in N·s²/m² at SingleDisplacement:
	// D. Cabrera, A. Ruina, V. Kleshnev, Hum Mov Sci 25 (2006) 192–220
	// (second-hand).
	SingleDrag = 3.16
	// SingleDisplacement is the displacement in kg of a single scull with a sculler
	// of 87 kg; our judgement of the boat that SingleDrag is of.
	SingleDisplacement = 104
)

// LoadLaw is the exponent with which k grows with displacement.
type LoadLaw float64

const (
	// SameHull loads one hull more heavily: it sinks deeper at the same
	// length, so that the wetted area grows with D^(1/2) and speed falls with
	// D^(1/6). This is the law to compare crews in one boat with.
	SameHull LoadLaw = 1.0 / 2
	// SameShape builds the hull to the load: wetted area grows with D^(2/3)
	// and speed falls with D^(2/9), so that t ∝ n^(−1/9) (geometric similarity:
	// T. A. McMahon, Science 173 (1971) 349). This is the law from class to class.
	SameShape LoadLaw = 2.0 / 3
)

// ClassDrag returns k in N·s²/m² of a hull built for the displacement in kg:
// 3.16·(D/104)^(2/3).
func ClassDrag(displacement float64) float64 {
	mustBePositive("displacement", displacement)
	return SingleDrag * math.Pow(displacement/SingleDisplacement, float64(SameShape))
}

// Drag returns k in N·s²/m² of a boat of the class at a displacement in kg,
// by a law of loading. It panics on a displacement that is not positive, on an
// unknown law and on a class that is none.
func Drag(class rigging.Class, displacement float64, law LoadLaw) float64 {
	if law != SameHull && law != SameShape {
		panic(fmt.Sprintf("speed: unknown law of loading %g", float64(law)))
	}
	mustBePositive("displacement", displacement)
	return ClassDrag(class.ReferenceMass) * math.Pow(displacement/class.ReferenceMass, float64(law))
}

// Pace is the time of one class of boat over one distance, as a product of
// powers that a search can evaluate and bound:
//
//	time = Coefficient · ΣP^PowerExponent · D^MassExponent
//
// It falls and is convex in ΣP, and rises and is concave in D. Build it with
// NewPace: the methods panic on an empty one, as on loads that are not positive.
//
// It takes a whole crew at a constant mean speed v, where the boat spends what its
// rowers deliver:
//
//	η·ΣP = k·v³
//
// with η the share of the rowers' power that drives the boat, ΣP the sum of their powers
// in W, and k the drag constant in N·s²/m² at the displacement D in kg of hull, crew,
// coxswain, oars and gear.
type Pace struct {
	Distance      float64 // m
	Coefficient   float64 // s·W^(1/3)/kg^MassExponent
	PowerExponent float64 // −1/3
	MassExponent  float64 // 1/6 for SameHull, 2/9 for SameShape
}

// NewPace returns the pace law of a class over a distance in m. It panics on
// a distance that is not positive and on an unknown law.
func NewPace(class rigging.Class, distance float64, law LoadLaw) Pace {
	mustBePositive("distance", distance)
	unit := Drag(class, 1, law) // k = unit·D^law
	return Pace{
		Distance:      distance,
		Coefficient:   distance * math.Cbrt(unit/Efficiency),
		PowerExponent: -1.0 / 3,
		MassExponent:  float64(law) / 3,
	}
}

// Time returns the time in s at a total power in W and a displacement in kg:
// distance / (η·ΣP/k(D))^(1/3).
func (p Pace) Time(power, displacement float64) float64 {
	p.mustBeBuilt()
	mustBePositive("power", power)
	mustBePositive("displacement", displacement)
	return p.Coefficient * math.Pow(displacement, p.MassExponent) / math.Cbrt(power)
}

func (p Pace) mustBeBuilt() {
	mustBePositive("coefficient of the pace", p.Coefficient)
}

func mustBePositive(name string, value float64) {
	if !(value > 0) || math.IsInf(value, 1) {
		panic(fmt.Sprintf("speed: %s must be positive and finite, got %g", name, value))
	}
}
