package speed

// Constant is one figure the results rest on, for a note beside them.
type Constant struct {
	Name   string
	Value  float64
	Unit   string // "" for a bare number
	Source string
}

const cabrera = "D. Cabrera, A. Ruina, V. Kleshnev, Hum Mov Sci 25 (2006) 192–220 (second-hand)"

// Constants lists the figures this package rests on with their sources.
func Constants() []Constant {
	const smith = "T. B. Smith, W. G. Hopkins, Med Sci Sports Exerc 43 (2011) 2155–2160"
	return []Constant{
		{"efficiency of the blades", BladeEfficiency, "", "V. Kleshnev, ISBS 1999: 78.5 ± 3.1 %"},
		{"left after uneven speed", Evenness, "", "A. J. de Brouwer et al., PLoS ONE 8 (2013) e54996: 5–6 % lost"},
		{"drag constant of a single scull", SingleDrag, "N·s²/m²", cabrera},
		{"its displacement", SingleDisplacement, "kg", "engineering judgement: a sculler of 87 kg"},
		{"tolerance of the class constants", DragTolerance, "", "largest difference from the published constants"},
		{"exponent of drag, one hull", float64(SameHull), "", "derived: wetted area of a hull that sinks deeper"},
		{"exponent of drag, from class to class", float64(SameShape), "", "geometric similarity; T. A. McMahon, Science 173 (1971) 349–351"},
		{"oars and gear of a rower", GearMass, "kg", "engineering judgement"},
		{"coxswain", CoxMass, "kg", "from memory: the federation's rule; the current rule book decides"},
		{"viscosity of fresh water at 20 °C", FreshWaterViscosity, "m²/s", "ITTC 7.5-02-01-03, 2011 (from memory)"},
		{"venue and weather, share of a race time", VenueSpread, "", smith},
		{"a crew's own variation, share of a race time", CrewSpread, "", smith},
	}
}

// PublishedDrag is a drag constant as published for a boat.
type PublishedDrag struct {
	Rowers       int
	Displacement float64 // kg
	Drag         float64 // N·s²/m²
	Source       string
}

// PublishedDrags lists the drag constants that the class constants are held
// against. The four's and the single's displacement are the class references;
// the eight's was published with it.
func PublishedDrags() []PublishedDrag {
	return []PublishedDrag{
		{1, 104, 3.16, cabrera},
		{4, 412, 4 * 1.99, cabrera},
		{8, 805, 12.74, cabrera},
	}
}
