package wire

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

var (
	plainNumber   = regexp.MustCompile(`^[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d{1,3})?$`)
	groupedNumber = regexp.MustCompile(`^[1-9]\d{0,2}([ \x{a0}\x{202f}.,'’]\d{3})+$`)
	noDigit       = regexp.MustCompile(`\D`)
)

// Readings returns what a number that people wrote can mean, with a decimal point
// or comma: two values where a mark before three digits may stand for thousands
// as well, none for what is no number.
func Readings(text string) []float64 {
	var list []float64
	take := func(digits string) {
		if v, err := strconv.ParseFloat(digits, 64); err == nil {
			list = append(list, v+0) // a negative zero is none
		}
	}
	if plainNumber.MatchString(text) {
		take(strings.Replace(text, ",", ".", 1))
	}
	if groupedNumber.MatchString(text) {
		take(noDigit.ReplaceAllString(text, ""))
	}
	return list
}

// TwoReadings says that a number can be read in two ways.
func TwoReadings(text string, first, second float64) string {
	return fmt.Sprintf("“%s” can be read as %g and as %.0f: write it without the mark.", text, first, second)
}

// Fix writes v with digits after the point and a true minus sign; what rounds to
// zero has no sign.
func Fix(digits int, v float64) string {
	return strings.Replace(strconv.FormatFloat(Round(v, math.Pow10(digits)), 'f', digits, 64), "-", "−", 1)
}

// Trimmed is [Fix] without zeros at the end.
func Trimmed(digits int, v float64) string {
	text := Fix(digits, v)
	if !strings.Contains(text, ".") {
		return text
	}
	return strings.TrimRight(strings.TrimRight(text, "0"), ".")
}

// Size writes a size without its sign, with a digit after the point only where there
// is one.
func Size(v float64) string {
	return strings.TrimPrefix(Bare(Round(v, 10), Unit{Factor: 1, Digits: 1}), "−")
}

// typedMarks puts signs that programs read for those that people type.
var typedMarks = strings.NewReplacer("−", "-", "–", "-", "\u00a0", "", "\u202f", "", " ", "")

// typedUnits may stand behind a number.
var typedUnits = []string{"cm", "°", "deg", "kg", "m/s", "years"}

// ReadNumber reads a number as people type it into a form: any kind of minus
// sign, a decimal point or comma, perhaps the unit behind it. A point is a
// decimal point; a comma before three digits may stand for thousands as well,
// and is questioned. The complaint is "" for a number.
func ReadNumber(text string) (v float64, complaint string) {
	text = strings.TrimSpace(text)
	clean := typedMarks.Replace(text)
	for _, unit := range typedUnits {
		clean = strings.TrimSuffix(clean, unit)
	}
	readings := Readings(strings.TrimPrefix(clean, "-"))
	switch {
	case len(readings) == 0 || !plainNumber.MatchString(clean) && strings.HasPrefix(clean, "-"):
		return 0, "“" + text + "” is not a number."
	case len(readings) == 2 && strings.Contains(clean, ","):
		return 0, TwoReadings(text, readings[0], readings[1])
	}
	if strings.HasPrefix(clean, "-") {
		return 0 - readings[0], ""
	}
	return readings[0], ""
}
