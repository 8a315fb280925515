package stroke

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"thole/rigging"
)

// heading is what the name of a column tells.
type heading struct {
	quantity Quantity
	known    bool // the quantity
	unit     Unit // None where the name has none
	seat     string
	side     rigging.Side
	gate     bool // the force is named as one at the gate
	handle   bool
	hand     bool // the side is reported as left or right
}

// words that tell a quantity, in the languages loggers are sold in. A name
// that contains one of the longer ones counts too.
var quantityWords = []struct {
	quantity Quantity
	words    []string
}{
	{SeatName, []string{"seat", "rower", "athlete", "platz", "siège", "posto", "position"}},
	{SideName, []string{"side", "hand", "bord"}},
	{VerticalAngle, []string{"vert", "verti", "höhenwinkel"}},
	{OarAngle, []string{"angle", "oarangle", "winkel", "ruderwinkel", "theta", "azimut"}},
	{Force, []string{"force", "kraft", "forza", "kracht", "fuerza", "load", "f"}},
	{BoatSpeed, []string{"speed", "boatspeed", "velocity", "vel", "vitesse", "geschwindigkeit", "velocità", "v"}},
	{Time, []string{"time", "timestamp", "elapsed", "zeit", "temps", "tempo", "tijd", "tiempo", "t", "seconds", "millis"}},
}

// words that tell where a force was measured.
var (
	gateWords   = []string{"gate", "oarlock", "swivel", "pin", "dolle", "gateforce"}
	handleWords = []string{"handle", "griff", "griffkraft"}
)

// words that tell that a column is none of the above in spite of its name.
var otherWords = []string{"min", "max", "mean", "avg", "average", "peak", "rate", "accel",
	"temperature", "power", "wind", "windspeed", "roll", "yaw", "moment"}

var unitWords = map[string]Unit{
	"s": Second, "sec": Second, "secs": Second, "second": Second, "seconds": Second, "sek": Second,
	"ms": Millisecond, "msec": Millisecond, "millis": Millisecond, "milliseconds": Millisecond,
	"deg": Degree, "degree": Degree, "degrees": Degree, "°": Degree, "grad": Degree,
	"rad": Radian, "radian": Radian, "radians": Radian,
	"n": Newton, "newton": Newton, "newtons": Newton,
	"kgf": KilogramForce, "kg": KilogramForce, "kp": KilogramForce,
	"lbf": PoundForce, "lb": PoundForce, "lbs": PoundForce,
	"mps": MetrePerSecond, "kmh": KilometrePerHour, "kph": KilometrePerHour,
}

// wordsOf splits a column's name into lower-case words: at anything that is
// no letter or digit, between letters and digits and where a capital follows
// a small letter. Units of speed become one word.
func wordsOf(name string) []string {
	var b strings.Builder
	var last rune
	for _, r := range name {
		switch {
		case r == '°':
			b.WriteString(" ° ")
		case !unicode.IsLetter(r) && !unicode.IsDigit(r):
			b.WriteByte(' ')
		case unicode.IsDigit(r) != unicode.IsDigit(last), unicode.IsUpper(r) && unicode.IsLower(last):
			b.WriteByte(' ')
			b.WriteRune(unicode.ToLower(r))
		default:
			b.WriteRune(unicode.ToLower(r))
		}
		last = r
	}
	text := " " + strings.Join(strings.Fields(b.String()), " ") + " "
	text = strings.NewReplacer(" m s 1 ", " mps ", " m s ", " mps ", " km h ", " kmh ", " k n ", " kn ").Replace(text)
	return strings.Fields(text)
}

// readHeading reads a column's name.
func readHeading(name string) heading {
	words := wordsOf(name)
	var h heading
	h.quantity, h.known = quantityOf(words)
	for _, w := range words {
		if u, ok := unitWords[w]; ok && h.known && u.Measures(h.quantity) {
			h.unit = u
		}
		h.gate = h.gate || tells(w, gateWords)
		h.handle = h.handle || tells(w, handleWords)
	}
	if h.known && !(Column{Quantity: h.quantity}).common() {
		h.seat, h.side = seatOf(words)
		h.hand = slices.ContainsFunc(words, isHand)
	}
	return h
}

func quantityOf(words []string) (Quantity, bool) {
	if slices.ContainsFunc(words, func(w string) bool { return tells(w, otherWords) }) {
		return 0, false
	}
	var found []Quantity
	for _, q := range quantityWords {
		if slices.ContainsFunc(words, func(w string) bool { return tells(w, q.words) }) {
			found = append(found, q.quantity)
		}
	}
	numbered := slices.ContainsFunc(words, func(w string) bool { return digitsAt([]byte(w)) > 0 })
	return choose(found, numbered)
}

func tells(word string, words []string) bool {
	return slices.ContainsFunc(words, func(w string) bool {
		return word == w || len(w) > 4 && strings.Contains(word, w)
	})
}

// choose settles on one quantity where a name speaks of several: "seat 3
// force" is a force, "vertical angle" is vertical, "angle velocity" is
// neither.
func choose(found []Quantity, numbered bool) (Quantity, bool) {
	measures := slices.DeleteFunc(slices.Clone(found), func(q Quantity) bool { return q == SeatName || q == SideName })
	switch {
	case len(measures) == 1:
		return measures[0], true
	case len(measures) == 2 && measures[0] == VerticalAngle && measures[1] == OarAngle:
		return VerticalAngle, true
	case len(measures) == 0 && len(found) > 0 && !numbered:
		return found[0], true
	}
	return 0, false
}

// seatOf reads whose oar a column of a wide file belongs to: a number of one
// or two digits, bow or stroke, and a side.
func seatOf(words []string) (seat string, side rigging.Side) {
	for _, w := range words {
		if n, err := strconv.Atoi(w); err == nil && n > 0 && n < 100 {
			seat = strconv.Itoa(n)
		}
		if w == "bow" || w == "stroke" {
			seat = w
		}
		if d, ok := parseSide(w); ok {
			side = d
		}
	}
	return seat, side
}

// assign gives the columns their meaning.
func (p *Proposal) assign(f *form) {
	headings := make([]heading, f.width)
	for i, name := range p.Header {
		headings[i] = readHeading(name)
	}
	if len(f.heads) == 0 {
		f.guess(headings)
	}
	p.single(headings)
	p.setSite(headings)
	p.sayHands(f, headings)
	for i, h := range headings {
		if h.known {
			p.add(f, i, h)
		}
	}
	p.alikeAngles()
}

// alikeAngles gives a vertical angle without a unit that of the oar angle.
func (p *Proposal) alikeAngles() {
	i := slices.IndexFunc(p.Mapping.Columns, func(c Column) bool { return c.Quantity == OarAngle })
	if i < 0 {
		return
	}
	p.each(VerticalAngle, func(c *Column) {
		if slices.Contains(p.unnamed, c.Index) {
			c.Unit = p.Mapping.Columns[i].Unit
		}
	})
}

// single removes what is named twice.
func (p *Proposal) single(headings []heading) {
	seen := map[slot]bool{}
	for i := range headings {
		h := &headings[i]
		s := slot{h.quantity, Oar{h.seat, h.side}}
		if h.known && seen[s] {
			h.known = false
			p.warnAt("twice", fmt.Sprintf("column %d is passed over: another one holds the %s already", i+1, s), Place{Column: i + 1})
		}
		seen[s] = seen[s] || h.known
	}
}

// setSite reads from the names where the force was measured.
func (p *Proposal) setSite(headings []heading) {
	var gate, handle bool
	for _, h := range headings {
		gate = gate || h.known && h.quantity == Force && h.gate
		handle = handle || h.known && h.quantity == Force && h.handle
	}
	switch {
	case gate && !handle:
		p.Mapping.Force = Gate
	case handle && !gate:
		p.Mapping.Force = Handle
	default:
		text := "the file does not say whether the force is that at the handle or at the gate: choose, for work and power depend on it"
		at := Place{Field: rigging.PlaceOf("force_at")}
		p.warnAt("site", text, at)
		p.Questions = append(p.Questions, Question{Kind: AskSite, Place: at, Text: text})
	}
}

// sayHands warns of left and right, which may be the rower's or the boat's.
func (p *Proposal) sayHands(f *form, headings []heading) {
	for i, h := range headings {
		named := h.quantity == SideName && slices.ContainsFunc(f.rows, func(row []string) bool { return isHand(strings.ToLower(row[i])) })
		if h.known && (h.hand || named) {
			p.warn("hands", "left and right are taken as the rower's own hands: the left one holds the starboard oar")
			return
		}
	}
}

func isHand(word string) bool { return slices.Contains([]string{"left", "right", "l", "r"}, word) }

// add puts a column into the mapping, with the unit its values suggest where
// the name gives none.
func (p *Proposal) add(f *form, i int, h heading) {
	v, _ := f.column(i)
	switch {
	case h.quantity == Time && f.isClock(i):
		h.unit = Clock
	case h.unit == None && !h.unit.Measures(h.quantity):
		h.unit = unitOf(h.quantity, v)
		p.unnamed = append(p.unnamed, i)
	case h.unit == Radian && len(v) > 0 && max(slices.Max(v), -slices.Min(v)) > limits[OarAngle]:
		h.unit = Degree
		p.warnAt("degrees", fmt.Sprintf("column %d (%s) holds numbers too large for radians: taken as degrees", i+1, h.quantity), Place{Column: i + 1})
	}
	p.Mapping.Columns = append(p.Mapping.Columns, Column{Index: i, Quantity: h.quantity, Unit: h.unit, Seat: h.seat, Side: h.side})
}
