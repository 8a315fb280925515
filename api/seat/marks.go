package seat

import (
	"regexp"
	"strconv"
	"strings"

	"thole/api/settings"
)

// markSaid is a stretcher's own number said as such.
var markSaid = regexp.MustCompile(`^(hole|no\.?|#|mark)\s*([+-]?\d{1,3}(?:[.,]\d{1,2})?)$`)

// SaysMark tells a stretcher's own number that is said as such, as hole 7.
func SaysMark(text string) bool { _, _, said := (*Stretcher)(nil).ReadMark(text, 0); return said }

// ReadMark reads a stretcher's place said in the boat's own number, such as hole 7;
// plateDeg is the angle of the plate. said is false for what is no such number.
func (s *Stretcher) ReadMark(text string, plateDeg float64) (heelToPinCm float64, complaint string, said bool) {
	m := markSaid.FindStringSubmatch(strings.ToLower(settings.Typed.Replace(strings.TrimSpace(text))))
	switch {
	case m == nil:
		return 0, "", false
	case s == nil:
		return 0, "How this boat’s stretchers are read is not on record: enter it on the boat’s page, or type cm from the line of the pins.", true
	}
	reading, _ := strconv.ParseFloat(strings.Replace(m[2], ",", ".", 1), 64)
	v, err := s.HeelToPinCm(reading, plateDeg)
	if err != nil {
		return 0, err.Error(), true
	}
	return v, "", true
}
