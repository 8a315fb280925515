package stroke

import (
	"fmt"
	"math"
	"slices"

	"thole/rigging"
)

// Column says what one column of the file holds. Columns that are not named
// are passed over.
type Column struct {
	Index    int // from 0
	Quantity Quantity
	Unit     Unit
	// Seat and Side say whose oar it is. They stay empty where a column of
	// the file tells the seat or the side, and in the columns of time and
	// boat speed, which all seats share.
	Seat   string
	Side   rigging.Side
	Negate bool // the file has the opposite sign
}

// Mapping says how a file is to be read. It describes a kind of file, not one
// outing, so that it can be kept and used again; the levers of the oars are
// given separately.
type Mapping struct {
	Separator    byte // comma, semicolon, tab, bar; a blank for runs of blanks
	DecimalComma bool // with commas between the cells, the numbers are in quotes
	HeaderLines  int  // lines before the first row of measurements
	// Width is the number of cells of a row; rows with another number are
	// refused, unless what they have more is blank. 0 takes it from the
	// first row.
	Width   int
	Columns []Column
	Force   Site   // has to be said
	Zeros   []Zero // of sensors that do not read 0 where they should
	// SampleRate in Hz stands in where no column holds the time; 0 else.
	SampleRate float64
}

// Zero is what the sensors of an oar read, in the units and signs of this
// package, where they should read nothing. It is taken off every reading.
type Zero struct {
	// Oar as the report names it; the empty one speaks for every oar that has
	// no Zero of its own.
	Oar   Oar
	Angle rigging.Angle // with the oar square to the hull
	Force float64       // with the oar at rest, N
	// FollowRest takes the zero of force anew, on top of Force, from the
	// middle of each recovery, where the sensor drifts. Samples handed over
	// are not changed by it.
	FollowRest bool
}

// zeroOf returns the zero of an oar.
func (m Mapping) zeroOf(o Oar) Zero {
	var all Zero
	for _, z := range m.Zeros {
		switch z.Oar {
		case o:
			return z
		case Oar{}:
			all = z
		}
	}
	return all
}

// validateZeros names the first zero that cannot be right.
func (m Mapping) validateZeros() error {
	seen := map[Oar]bool{}
	for i, z := range m.Zeros {
		wrong := wrongIn(rigging.PlaceOf("zeros").Item(i))
		switch angle := float64(z.Angle); {
		case seen[z.Oar]:
			return wrong("oar", rigging.ProblemMismatch, "the zero"+of(z.Oar)+" is given twice")
		case !(math.Abs(angle) <= limits[OarAngle]):
			return wrong("angle_deg", rigging.ProblemMismatch, "give what the gate reads with the oar square, −180° to 180°")
		case !(math.Abs(z.Force) <= maxZero):
			return wrong("force_n", rigging.ProblemMismatch, "give what the sensor reads at rest, −2000 to 2000 N")
		}
		seen[z.Oar] = true
	}
	return nil
}

// PlainHeader is the first line of Thole's own layout: RFC 4180, one row for
// each sample of each seat, comma and decimal point, names with units. The
// last two columns may be left out or blank. Where a rower has two oars, a
// column named side (port or starboard) stands behind them; [Detect] finds it.
const PlainHeader = "time_s,seat,angle_deg,force_n,vertical_deg,speed_m_s"

// PlainLayout returns the mapping for files with [PlainHeader], one oar a
// seat, and a force measured at the given site.
func PlainLayout(force Site) Mapping {
	return Mapping{
		Separator:   ',',
		HeaderLines: 1,
		Force:       force,
		Columns: []Column{
			{Index: 0, Quantity: Time, Unit: Second},
			{Index: 1, Quantity: SeatName},
			{Index: 2, Quantity: OarAngle, Unit: Degree},
			{Index: 3, Quantity: Force, Unit: Newton},
			{Index: 4, Quantity: VerticalAngle, Unit: Degree},
			{Index: 5, Quantity: BoatSpeed, Unit: MetrePerSecond},
		},
	}
}

// Limits of a mapping; engineering judgement, wide enough for any logger.
const (
	maxColumns = 4096
	maxOars    = 64     // channels in one file
	maxRate    = 1000.0 // Hz, beyond any sensor on an oar
	maxZero    = 2000.0 // N at rest, more than any oar is pulled with
)

// Validate names the first field that cannot be right, as a
// *rigging.FieldError.
func (m Mapping) Validate() error {
	if err := m.validateForm(); err != nil {
		return err
	}
	switch m.Force {
	case Handle, Gate:
		return nil
	case NoSite:
		return wrong(rigging.ProblemMissing, "say whether the force was measured at the handle or at the gate", "force_at")
	}
	return wrong(rigging.ProblemUnknown, "the force is measured at the handle or at the gate", "force_at")
}

// validateForm checks everything but where the force was measured.
func (m Mapping) validateForm() error {
	if !slices.Contains([]byte{',', ';', '\t', '|', ' '}, m.Separator) {
		return wrong(rigging.ProblemUnknown, "choose comma, semicolon, tab, bar or blank", "separator")
	}
	if m.HeaderLines < 0 || m.Width < 0 || m.Width > maxColumns {
		return wrong(rigging.ProblemMismatch, "the numbers of header lines and columns cannot be negative or in the thousands", "header_lines")
	}
	if math.IsNaN(m.SampleRate) || m.SampleRate < 0 || m.SampleRate > maxRate {
		return wrong(rigging.ProblemMismatch, "give the samples per second, up to 1000", "sample_rate")
	}
	for i, c := range m.Columns {
		if err := c.validate(rigging.PlaceOf("columns").Item(i)); err != nil {
			return err
		}
	}
	if err := m.validateZeros(); err != nil {
		return err
	}
	return m.validateOars()
}

// wrong returns an error about the value that the fields lead to.
func wrong(problem rigging.Problem, detail string, fields ...rigging.Field) error {
	return &rigging.FieldError{Place: rigging.PlaceOf(fields...), Problem: problem, Detail: detail}
}

// wrongIn returns a function that returns errors about the values of one part.
func wrongIn(part rigging.Place) func(f rigging.Field, problem rigging.Problem, detail string) error {
	return func(f rigging.Field, problem rigging.Problem, detail string) error {
		return &rigging.FieldError{Place: part.Then(f), Problem: problem, Detail: detail}
	}
}

func (c Column) validate(at rigging.Place) error {
	wrong := wrongIn(at)
	if c.Index < 0 || c.Index >= maxColumns {
		return wrong("index", rigging.ProblemMismatch, "there is no such column")
	}
	if c.Quantity < Time || c.Quantity > SideName {
		return wrong("quantity", rigging.ProblemUnknown, "the quantity is not known")
	}
	if !c.Unit.Measures(c.Quantity) {
		return wrong("unit", rigging.ProblemMismatch, "the unit does not measure "+c.Quantity.String())
	}
	if c.Side != 0 && c.Side != rigging.Port && c.Side != rigging.Starboard {
		return wrong("side", rigging.ProblemUnknown, "the side is port or starboard")
	}
	if c.common() && (c.Seat != "" || c.Side != 0) {
		return wrong("seat", rigging.ProblemMismatch, "a column of "+c.Quantity.String()+" belongs to no single oar")
	}
	return nil
}

// common reports whether the column speaks for the whole row.
func (c Column) common() bool {
	return c.Quantity == Time || c.Quantity == BoatSpeed || c.Quantity == SeatName || c.Quantity == SideName
}

func (m Mapping) has(q Quantity) bool {
	return slices.ContainsFunc(m.Columns, func(c Column) bool { return c.Quantity == q })
}

// oars returns the channels that the columns name, in the order of first
// mention.
func (m Mapping) oars() []Oar {
	var oars []Oar
	for _, c := range m.Columns {
		if o := (Oar{c.Seat, c.Side}); !c.common() && !slices.Contains(oars, o) {
			oars = append(oars, o)
		}
	}
	return oars
}

// find returns the place in Columns of the quantity for the oar, or -1.
func (m Mapping) find(q Quantity, o Oar) int {
	return slices.IndexFunc(m.Columns, func(c Column) bool { return c.slot() == slot{q, o} })
}

// slot is what only one column may hold.
type slot struct {
	quantity Quantity
	oar      Oar
}

func (c Column) slot() slot { return slot{c.Quantity, Oar{c.Seat, c.Side}} }

func (s slot) String() string { return s.quantity.String() + of(s.oar) }

// validateOars checks that the columns make whole channels.
func (m Mapping) validateOars() error {
	seen := map[slot]bool{}
	for _, c := range m.Columns {
		if seen[c.slot()] {
			return wrong(rigging.ProblemMismatch, "two columns hold the "+c.slot().String(), "columns")
		}
		seen[c.slot()] = true
		if m.has(SeatName) && c.Seat != "" || m.has(SideName) && c.Side != 0 {
			return wrong(rigging.ProblemMismatch, "a seat or side is named both in a column and for a column", "columns")
		}
	}
	if !m.has(Time) && m.SampleRate == 0 {
		return wrong(rigging.ProblemMissing, "say which column holds the time, or how many samples a second there are", "columns")
	}
	oars := m.oars()
	if len(oars) == 0 || len(oars) > maxOars {
		return wrong(rigging.ProblemMissing, fmt.Sprintf("say which columns hold the oar angle and the force (1 to %d oars)", maxOars), "columns")
	}
	for _, o := range oars {
		for _, q := range []Quantity{OarAngle, Force} {
			if !seen[slot{q, o}] {
				return wrong(rigging.ProblemMissing, "say which column holds the "+slot{q, o}.String(), "columns")
			}
		}
	}
	return nil
}

// of returns " of seat 3 port", or nothing for an oar without a name.
func of(o Oar) string {
	if o.String() == "" {
		return ""
	}
	return " of seat " + o.String()
}
