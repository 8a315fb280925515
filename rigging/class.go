package rigging

// Side is the side of the boat an oar works on. Port is on the rower's right
// hand (the rower faces the stern), starboard on the left.
type Side int

// The two sides. Their values serve as the sign σ of a seat in moments about
// the vertical axis.
const (
	Port      Side = -1
	Starboard Side = +1
)

// String returns "port", "starboard" or "" for the zero value.
func (s Side) String() string {
	switch s {
	case Port:
		return "port"
	case Starboard:
		return "starboard"
	}
	return ""
}

// Other returns the opposite side.
func (s Side) Other() Side { return -s }

// ParseSide reads "port" or "starboard"; ok is false for anything else.
func ParseSide(name string) (side Side, ok bool) {
	switch name {
	case "port":
		return Port, true
	case "starboard":
		return Starboard, true
	}
	return 0, false
}

// Class is a class of racing boat.
type Class struct {
	Code   string // the trade's code, such as "2x" or "4+"
	Name   string // in words
	Rowers int    // number of rowing seats
	Scull  bool   // two oars a rower; otherwise sweep, one oar a rower
	Coxed  bool

	// MinHullMass is the least mass of the boat in kg (federation lists of
	// minimum boat masses; the current rule book decides).
	MinHullMass float64

	// ReferenceMass is the displacement in kg of boat, crew, oars and gear
	// that the waterline figures and the drag constants refer to.
	ReferenceMass float64

	// Waterline length and beam in m at about the reference mass, from
	// L. Lazauskas, "A performance prediction model for rowing races",
	// University of Adelaide report L9701, 1998. Classes missing there
	// take the figures of the nearest hull.
	WaterlineLength, WaterlineBeam float64
}

// OarsPerRower returns 2 in a sculling boat and 1 in a sweep boat.
func (c Class) OarsPerRower() int {
	if c.Scull {
		return 2
	}
	return 1
}

// classes is the one table of boats. The displacement of the 2+ is that of
// the 2- with the heavier hull and a coxswain of 55 kg, that of the 4+ that of
// the 4- with the coxswain; the others follow the displaced volumes of
// L. Lazauskas, University of Adelaide, report L9701, 1998: 0.104, 0.211, 0.412 and
// 0.862 m³; the waterlines are his too. Least hull masses: see editionMasses.
var classes = []Class{
	{Code: "1x", Name: "single scull", Rowers: 1, Scull: true, MinHullMass: 14, ReferenceMass: 104, WaterlineLength: 8.077, WaterlineBeam: 0.273},
	{Code: "2x", Name: "double scull", Rowers: 2, Scull: true, MinHullMass: 27, ReferenceMass: 211, WaterlineLength: 10.25, WaterlineBeam: 0.351},
	{Code: "4x", Name: "quadruple scull", Rowers: 4, Scull: true, MinHullMass: 52, ReferenceMass: 412, WaterlineLength: 11.82, WaterlineBeam: 0.412},
	{Code: "2-", Name: "coxless pair", Rowers: 2, MinHullMass: 27, ReferenceMass: 211, WaterlineLength: 10.25, WaterlineBeam: 0.351},
	{Code: "2+", Name: "coxed pair", Rowers: 2, Coxed: true, MinHullMass: 32, ReferenceMass: 271, WaterlineLength: 10.25, WaterlineBeam: 0.351},
	{Code: "4-", Name: "coxless four", Rowers: 4, MinHullMass: 50, ReferenceMass: 412, WaterlineLength: 11.82, WaterlineBeam: 0.412},
	{Code: "4+", Name: "coxed four", Rowers: 4, Coxed: true, MinHullMass: 51, ReferenceMass: 467, WaterlineLength: 11.82, WaterlineBeam: 0.412},
	{Code: "8+", Name: "eight", Rowers: 8, Coxed: true, MinHullMass: 96, ReferenceMass: 862, WaterlineLength: 17.22, WaterlineBeam: 0.554},
}

// Classes returns the boat classes known, sculling boats first.
func Classes() []Class { return append([]Class(nil), classes...) }

// ClassByCode returns the class with the given code; ok is false when there
// is none.
func ClassByCode(code string) (class Class, ok bool) {
	for _, c := range classes {
		if c.Code == code {
			return c, true
		}
	}
	return Class{}, false
}
