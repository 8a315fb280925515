package page

import (
	"fmt"
	"strconv"
	"strings"

	"thole/api/club"
	"thole/api/fleet"
	"thole/api/wire"
)

// Clock writes a time in s to a tenth.
func Clock(seconds float64) string { return wire.FormatTenths(seconds) }

// SeatWords names a seat as people do: its number, bow or stroke, its side.
func SeatWords(b *fleet.Boat, s *fleet.BoatSeat) string {
	words := fmt.Sprintf("Seat %d", s.Number)
	switch {
	case len(b.Seats) == 1:
		words = "The seat"
	case s.Number == 1:
		words += ", bow"
	case s.Number == len(b.Seats):
		words += ", stroke"
	}
	if s.Side != "" {
		words += ", " + s.Side
	}
	return words
}

// CostWords reports which sides an athlete rows and what the other costs.
func CostWords(s *club.SideCosts) string {
	word := func(name string, cost *float64) string {
		switch {
		case cost == nil:
			return ""
		case *cost == 0:
			return name
		}
		return name + " +" + Plain(*cost) + " s"
	}
	return strings.Trim(word("port", s.Port)+", "+word("starboard", s.Starboard), ", ")
}

// Problem is one line of the list above the results.
type Problem struct{ Field, Label, Text string }

// Entry is one value for the printed sheet.
type Entry struct{ Label, Value string }

// LowerFirst writes the first letter small; the text holds one of a byte at least.
func LowerFirst(text string) string { return strings.ToLower(text[:1]) + text[1:] }

// Counted writes how many of something there are, in its own word for one and for
// several.
func Counted(n int, one, several string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + several
}

// SettingLabels names the rows of the table of centimetres.
var SettingLabels = func() map[string]string {
	labels := map[string]string{}
	for _, f := range Concat(ScullFields, SweepFields, rigFields, ScullMoreFields, rigMoreFields) {
		labels[f.Name] = f.Label
	}
	return labels
}()

// ProgressVerdicts are the verdicts of what changed in a rower, with their shapes.
var ProgressVerdicts = map[string]string{"real": "● real", "rate": "△ may be the rate", "unclear": "◐ too close to tell", "same": "○ the same"}

// IsCount reports whether a text is a whole number.
func IsCount(text string) bool { _, err := strconv.Atoi(text); return err == nil }

// Capital writes the first letter large.
func Capital(text string) string {
	if text == "" {
		return text
	}
	r := []rune(text)
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}
