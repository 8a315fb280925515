package usage

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"thole/api/people"
	"thole/api/wire"
	"thole/rigging"
)

// Inch and pound by definition (international yard and pound agreement, 1959).
const (
	cmPerInch  = wire.CmPerInch
	kgPerPound = rigging.Pound
	inPerFoot  = 12
	mmPerCm    = 10
)

// leastInFeet is the length from which feet are said, in; below, inches alone: nobody
// says a shank in feet; our judgement.
const leastInFeet = 48

// kind is what a field, a cell or a number holds.
type kind string

// Kinds. A number of no kind is a ratio, an angle or a count: of it only the decimal sign
// can change.
const (
	none       kind = ""
	aNumber    kind = "number"
	bodyLength kind = "length"
	rigLength  kind = "rig"    // written in cm
	rigMove    kind = "rig_mm" // written in mm
	perLength  kind = "per_cm" // written for each cm of the rig
	aTick      kind = "tick"   // of an axis in cm
	evenTick   kind = "even"   // the same, where only every other one has room
	aRatio     kind = "ratio"  // of two lengths of the rig: the same number in every unit
	aMass      kind = "mass"
)

// kinds are those that a page can give an element by data-m: by their names, or as the
// unit of a table's row or of a field.
var kinds = map[string]kind{
	"length": bodyLength, "mass": aMass, "rig": rigLength, "rig_mm": rigMove, "per_cm": perLength, "ratio": aRatio, "tick": aTick, "even": evenTick,
	"number": aNumber, "cm": rigLength, "mm": rigMove, "kg": aMass, "hole": aNumber,
}

// bodyNames are the fields of body lengths, by how their names end.
var bodyNames = []string{
	"stature_cm", "arm_span_cm", "sitting_height_cm", "draw_height_cm", "shank_cm", "thigh_cm", "trunk_cm", "arm_cm", "half_shoulder_cm", "half_depth_cm",
	"ankle_along_cm", "ankle_off_cm", "ball_cm", "hip_height_cm",
}

// massNames are the fields of masses whose names do not say so.
var massNames = []string{"cox", "mean_mass", "max_mass"}

// rigName is the name of the field of a measure of the rig, or of one of its bounds.
var rigName = regexp.MustCompile(`_(cm|mm)(_min|_max|_step)?$`)

// kindOf reports what the field of a form holds by its name.
func kindOf(name string) kind {
	for _, n := range massNames {
		if name == n || strings.HasSuffix(name, "-"+n) || strings.HasSuffix(name, "_kg") {
			return aMass
		}
	}
	for _, n := range bodyNames {
		if name == n || strings.HasSuffix(name, "_"+n) || strings.HasSuffix(name, "-"+n) {
			return bodyLength
		}
	}
	if m := rigName.FindStringSubmatch(name); m != nil {
		return map[string]kind{"cm": rigLength, "mm": rigMove}[m[1]]
	}
	return none
}

// changes reports whether the reader has a kind in other units.
func (u Usage) changes(k kind) bool {
	switch k {
	case bodyLength:
		return u.Feet
	case aMass:
		return u.Pounds
	case rigLength, perLength, aRatio, aTick, evenTick:
		return u.Rig != ""
	case rigMove:
		return u.Rig != "" && u.Rig != people.Millimetres
	case aNumber:
		return u.Comma
	}
	return false
}

// writes reports whether the reader has a kind in another way: in other units, or with
// another decimal sign.
func (u Usage) writes(k kind) bool { return k != none && (u.Comma || u.changes(k)) }

// unitOf names the unit of a kind.
func (u Usage) unitOf(k kind) string {
	switch k {
	case bodyLength:
		return "ft in"
	case aMass:
		return "lb"
	}
	return rigUnit(u.Rig)
}

// rigUnit names the unit of rigs.
func rigUnit(rig string) string {
	switch rig {
	case "":
		return "cm"
	case people.Millimetres:
		return "mm"
	}
	return "in"
}

// length writes a body length in feet and inches, to a tenth of an inch.
func length(cm float64) string {
	tenths := math.Round(cm / cmPerInch * 10)
	if math.Abs(tenths) < leastInFeet*10 {
		return wire.Trimmed(1, tenths/10) + " in"
	}
	feet := math.Floor(math.Abs(tenths) / (10 * inPerFoot))
	inches := math.Abs(tenths)/10 - feet*inPerFoot
	sign := ""
	if tenths < 0 {
		sign = "−"
	}
	return fmt.Sprintf("%s%.0f′%s″", sign, feet, wire.Trimmed(1, inches))
}

// mass writes a mass in pounds, to a tenth.
func mass(kg float64) string { return wire.Trimmed(1, kg/kgPerPound) }

// Digits of rig measures: a tape shows a millimetre or a sixteenth of an inch, which a
// hundredth of an inch holds. What carries a ± is not known to that; our judgement.
const (
	inchDigits  = 2
	roughDigits = 1
	sixteenths  = 16
	finer       = 32 // below an inch, where tolerances and steps are
)

// rig writes a measure of the rig without its unit.
func (u Usage) rig(cm float64, digits int) string {
	switch u.Rig {
	case "":
		return wire.Trimmed(4, cm)
	case people.Millimetres:
		return wire.Trimmed(1, cm*mmPerCm)
	case people.Fractions:
		return fraction(cm / cmPerInch)
	}
	return wire.Trimmed(digits, cm/cmPerInch)
}

// fraction writes inches as a whole number and a fraction: to a sixteenth, and below an
// inch to a thirty-second.
func fraction(in float64) string {
	parts := sixteenths
	if math.Abs(in) < 1 {
		parts = finer
	}
	count := int(math.Round(math.Abs(in) * float64(parts)))
	sign := ""
	if in < 0 && count > 0 {
		sign = "−"
	}
	whole, over := count/parts, count%parts
	for over > 0 && over%2 == 0 {
		over, parts = over/2, parts/2
	}
	switch {
	case over == 0:
		return sign + strconv.Itoa(whole)
	case whole == 0:
		return fmt.Sprintf("%s%d/%d", sign, over, parts)
	}
	return fmt.Sprintf("%s%d\u00a0%d/%d", sign, whole, over, parts) // never parted by the end of a line
}

// write writes a number of a kind without its unit, but for body lengths, which say
// theirs. rough tells that it is not known to the last digit.
func (u Usage) write(k kind, v float64, rough bool) string {
	digits := inchDigits
	if rough || k == aTick || k == evenTick {
		digits = roughDigits
	}
	switch k {
	case bodyLength:
		return length(v)
	case aMass:
		return mass(v)
	case rigMove:
		return u.rig(v/mmPerCm, digits)
	case aRatio:
		return wire.Trimmed(4, v)
	case perLength:
		return wire.Trimmed(2, v*u.cmPerUnit())
	}
	return u.rig(v, digits)
}

// Axis is the unit that the axes of a drawing are laid out in, so that its ticks are
// round: its length in cm, its name, and the kind of its numbers for data-m. Millimetres
// are written over the ticks of centimetres.
func (u Usage) Axis() (cm float64, unit, holds string) {
	if u.cmPerUnit() == cmPerInch {
		return cmPerInch, rigUnit(u.Rig), string(aNumber)
	}
	return 1, "cm", string(aTick)
}

// cmPerUnit is the length of the reader's unit of rigs, cm.
func (u Usage) cmPerUnit() float64 {
	switch u.Rig {
	case "":
		return 1
	case people.Millimetres:
		return 1.0 / mmPerCm
	}
	return cmPerInch
}

// typedSigns are those that a keyboard has.
var typedSigns = strings.NewReplacer("′", "'", "″", `"`, "−", "-", "\u00a0", " ")

// aTime is a time with decimals.
var aTime = regexp.MustCompile(`^\d+(:\d\d){1,2}\.\d+$`)

// typed writes a value as the field of a form has it; what is no number stays.
func (u Usage) typed(k kind, text string) string {
	v, complaint := wire.ReadNumber(text)
	if k == aNumber && aTime.MatchString(text) {
		complaint = ""
	}
	if complaint != "" || text == "" {
		return text
	}
	if u.changes(k) && k != aNumber {
		text = typedSigns.Replace(u.write(k, v, false))
	}
	if u.Comma {
		return strings.Replace(text, ".", ",", 1)
	}
	return text
}

// plainSigns are those that programs read.
var plainSigns = strings.NewReplacer("−", "-", "–", "-", ",", ".")

// number reads a number of a page.
func number(text string) float64 {
	v, _ := strconv.ParseFloat(plainSigns.Replace(text), 64)
	return v
}

// A measure of the rig as people type it: a number or a fraction, perhaps feet before it,
// perhaps a unit behind it. The sizes are in cm, by definition.
var (
	rigText  = regexp.MustCompile(`^([+−–-]?)\s*(?:(\d+)\s*(?:'|′|’|ft\.?|feet)\s*)?(?:(\d+(?:[.,]\d+)?|[.,]\d+)(?:[\s-]+(\d+)\s*[/⁄]\s*(\d+))?|(\d+)\s*[/⁄]\s*(\d+))?\s*(cm|mm|m|in\.?|inch|inches|"|″|”|''|’’)?$`)
	unitSize = map[string]float64{"cm": 1, "mm": 1.0 / mmPerCm, "m": 100}
)

// readRig reads a measure of the rig in cm. own is how many cm a number without a unit
// stands for; 0 refuses it. ok reports whether it could be read.
func readRig(text string, own float64) (cm float64, ok bool) {
	m := rigText.FindStringSubmatch(strings.ToLower(strings.TrimSpace(text)))
	if m == nil || m[2] == "" && m[3] == "" && m[6] == "" {
		return 0, false
	}
	v, fraction := number(m[3]), m[4] != "" || m[6] != ""
	for _, over := range [][]string{m[4:6], m[6:8]} {
		if over[0] != "" {
			if number(over[1]) == 0 {
				return 0, false
			}
			v += number(over[0]) / number(over[1])
		}
	}
	size, metric := unitSize[m[8]]
	switch {
	case metric && (m[2] != "" || fraction): // 5 ft 3 cm, 3/4 cm
		return 0, false
	case !metric && (m[8] != "" || m[2] != ""):
		size, v = cmPerInch, v+number(m[2])*inPerFoot
	case !metric && fraction && own != cmPerInch: // a fraction of a unit that nobody divides so
		return 0, false
	case !metric && own == 0:
		return 0, false
	case !metric:
		size = own
	}
	if v *= size; strings.ContainsAny(m[1], "−–-") {
		v = -v
	}
	return wire.Round(v, 1e4), true
}
