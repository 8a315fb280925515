package stroke

import (
	"math"

	"thole/rigging"
)

// Quantity is what a column of the file measures.
//
// The oar angle is 0 with the oar square to the hull, negative towards the catch and
// positive towards the finish. The vertical angle is 0 with the blade's centre at the
// water and negative below it.
type Quantity int

// The quantities a column can hold.
const (
	Time          Quantity = iota // time since any instant
	OarAngle                      // horizontal angle of the oar
	Force                         // force at the handle or the gate
	VerticalAngle                 // vertical angle of the oar
	BoatSpeed                     // speed of the boat
	SeatName                      // whose oar the row belongs to, any text
	SideName                      // which of the rower's oars: port or starboard
)

var quantityNames = [...]string{"time", "oar angle", "force", "vertical angle", "boat speed", "seat", "side"}

// String returns the quantity in words.
func (q Quantity) String() string { return quantityNames[q] }

// Unit is the unit a column is written in.
type Unit int

// The units a column can have. None belongs to the seat and the side.
const (
	None Unit = iota
	Second
	Millisecond
	Clock // h:mm:ss.s or mm:ss.s, with or without a date before it
	Degree
	Radian
	Newton
	KilogramForce
	PoundForce
	MetrePerSecond
	KilometrePerHour
)

// units gives the name of each unit, the quantities it measures and its size
// in SI. A kilogram-force is 9.80665 N exactly (3rd CGPM, 1901, declaration on mass and weight).
var units = [...]struct {
	name string
	of   []Quantity
	si   float64
}{
	None:             {"", []Quantity{SeatName, SideName}, 1},
	Second:           {"s", []Quantity{Time}, 1},
	Millisecond:      {"ms", []Quantity{Time}, 1e-3},
	Clock:            {"h:mm:ss", []Quantity{Time}, 1},
	Degree:           {"deg", []Quantity{OarAngle, VerticalAngle}, math.Pi / 180},
	Radian:           {"rad", []Quantity{OarAngle, VerticalAngle}, 1},
	Newton:           {"N", []Quantity{Force}, 1},
	KilogramForce:    {"kgf", []Quantity{Force}, 9.80665},
	PoundForce:       {"lbf", []Quantity{Force}, 9.80665 * rigging.Pound},
	MetrePerSecond:   {"m/s", []Quantity{BoatSpeed}, 1},
	KilometrePerHour: {"km/h", []Quantity{BoatSpeed}, 1 / 3.6},
}

// String returns the unit's symbol.
func (u Unit) String() string { return units[u].name }

// Measures reports whether a quantity can be written in the unit.
func (u Unit) Measures(q Quantity) bool {
	if u < 0 || int(u) >= len(units) {
		return false
	}
	for _, of := range units[u].of {
		if of == q {
			return true
		}
	}
	return false
}

// limits holds the largest size, in SI, that a measurement of the quantity
// can have; anything beyond is a fault of the sensor or of the mapping.
// Common practice: arcs stay inside ±90° of square, which some files call 90°
// themselves, loads below 3 kN, boats below 8 m/s.
var limits = [...]float64{
	Time:          1e15, // s, so that differences stay numbers
	OarAngle:      180 * float64(rigging.Degree),
	Force:         5000,
	VerticalAngle: 90 * float64(rigging.Degree),
	BoatSpeed:     15,
}
