package rigging

// BladeKind is a shape of blade. The empty kind stands for the hatchet, which
// nearly every boat has rowed since the 1990s.
type BladeKind string

// The kinds of blade.
const (
	Hatchet BladeKind = "hatchet" // asymmetric, most of it below the shaft's line
	Macon   BladeKind = "macon"   // symmetric about the shaft's line, longer and narrower
	Large   BladeKind = "large"   // a hatchet of larger face: shorter and higher
)

// Blade holds the measures of a blade, m.
type Blade struct {
	Length float64 // along the shaft
	Height float64 // across the shaft, blade squared
	// Drop is how far the blade's middle lies below the line of the shaft
	// with the blade squared.
	Drop float64
	// Source says where the three figures come from.
	Source string
}

// bladeKind is one row of the table of blades.
type bladeKind struct {
	kind         BladeKind
	scull, sweep Blade
}

// blades is the one table of blades, most common first; each row has its source.
// The drops, 4 to 5 cm for the hatchet and none for the symmetric Macon, are from
// memory.
var blades = [...]bladeKind{
	{Hatchet,
		Blade{0.44, 0.215, 0.045, "length and drop from memory; height common practice"},
		Blade{0.54, 0.25, 0.045, "Baudouin & Hawkins, Br J Sports Med 36 (2002) 396: 25 × 55 cm, the length less the rounded tip; drop from memory"}},
	{Macon,
		Blade{0.50, 0.17, 0, "from memory"},
		Blade{0.60, 0.20, 0, "from memory"}},
	{Large,
		Blade{0.42, 0.235, 0.05, "from memory"},
		Blade{0.52, 0.27, 0.05, "from memory"}},
}

// ParseBlade reads the name of a kind, "" for the hatchet; ok is false for
// anything else.
func ParseBlade(name string) (kind BladeKind, ok bool) {
	if name == "" {
		return Hatchet, true
	}
	for i := range blades {
		if string(blades[i].kind) == name {
			return blades[i].kind, true
		}
	}
	return "", false
}

// Blade returns the measures of a blade of the given kind on the class's oars.
// An empty or unknown kind is taken as the hatchet; [Setup.Check] refuses the
// unknown one.
func (c Class) Blade(kind BladeKind) Blade { return *c.blade(kind) }

func (c Class) blade(kind BladeKind) *Blade {
	row := &blades[0]
	for i := 1; kind != "" && i < len(blades); i++ {
		if blades[i].kind == kind {
			row = &blades[i]
		}
	}
	if c.Scull {
		return &row.scull
	}
	return &row.sweep
}
