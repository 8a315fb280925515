package erg

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"thole/rigging"
	"thole/selection"
)

// Reading is a time as it was typed. Other is the second meaning it could
// have, 0 when there is none: "302" is 302 s but may stand for 3:02.
type Reading struct {
	Seconds float64 // s
	Other   float64 // s
}

// maxTyped bounds the length of a typed time, bytes, by our judgement:
// "23:59:59.999999" has 15.
const maxTyped = 24

// marks turns the marks for minutes and seconds into a colon and a point.
var marks = strings.NewReplacer("''", ".", "′′", ".", "’’", ".", `"`, ".", "″", ".", "”", ".", "'", ":", "′", ":", "’", ":")

// ParseTime reads a time as people type it: 6:32.4, 6:32,4, 1:02:03.4, 6'32"4,
// 6.32,4, 6.32.4, or plain seconds such as 392.4. What can be read in two ways
// (302, 632.4, 6.32) is taken as seconds, with the other reading beside it;
// see Reading.Doubt. It errs with a *rigging.FieldError for the field "time".
func ParseTime(text string) (Reading, error) {
	s := strings.TrimSpace(text)
	if s == "" {
		return Reading{}, typed(rigging.ProblemMissing, "no time was given")
	}
	if len(s) > maxTyped {
		return Reading{}, typed(rigging.ProblemMismatch, "too long for a time")
	}
	s = strings.ReplaceAll(strings.TrimSuffix(marks.Replace(s), "."), ",", ".")
	if strings.Count(s, ".") == 2 && !strings.Contains(s, ":") {
		s = strings.Replace(s, ".", ":", 1)
	}
	r, err := readParts(s)
	if err == nil && !(r.Seconds > 0 && r.Seconds <= maxTime) {
		err = typed(rigging.ProblemRange, "")
		err.Value, err.High = r.Seconds, maxTime
	}
	if err != nil {
		return Reading{}, err
	}
	return r, nil
}

func typed(problem rigging.Problem, detail string) *rigging.FieldError {
	return selection.ErrorAt(rigging.PlaceOf(selection.FieldTime), problem, "%s", detail)
}

// readParts reads h:mm:ss.f, m:ss.f or plain seconds.
func readParts(s string) (Reading, *rigging.FieldError) {
	parts := strings.Split(s, ":")
	whole, fraction, _ := strings.Cut(parts[len(parts)-1], ".")
	if fraction != "" && !digits(fraction) {
		return Reading{}, typed(rigging.ProblemMismatch, "write it like 6:32.4")
	}
	parts[len(parts)-1] = whole
	tail, _ := strconv.ParseFloat("0."+fraction+"0", 64)
	if len(parts) == 1 {
		return readSeconds(whole, fraction, tail)
	}
	if len(parts) > 3 {
		return Reading{}, typed(rigging.ProblemMismatch, "hours, minutes and seconds are all it can have")
	}
	total, err := sixties(parts)
	return Reading{Seconds: total + tail}, err
}

// sixties adds up parts of which each counts sixty times the next.
func sixties(parts []string) (float64, *rigging.FieldError) {
	var total float64
	for i, p := range parts {
		n, ok := number(p)
		if !ok || i == 0 && len(p) > 3 {
			return 0, typed(rigging.ProblemMismatch, "write it like 6:32.4")
		}
		if i > 0 && (len(p) != 2 || n >= 60) {
			return 0, typed(rigging.ProblemMismatch, "minutes and seconds after a colon have two digits and stay below 60")
		}
		total = total*60 + n
	}
	return total, nil
}

// readSeconds reads a bare number and looks for its second meaning.
func readSeconds(whole, fraction string, tail float64) (Reading, *rigging.FieldError) {
	n, ok := number(whole)
	if !ok {
		return Reading{}, typed(rigging.ProblemMismatch, "write it like 6:32.4")
	}
	r := Reading{Seconds: n + tail}
	if len(whole) <= 2 && len(fraction) == 2 { // 6.32 for 6:32
		if total, err := sixties([]string{whole, fraction}); err == nil {
			r.Other = total
		}
	} else if total, err := sixties(pairs(whole)); err == nil && len(whole) > 2 { // 632.4 for 6:32.4
		r.Other = total + tail
	}
	if r.Other == r.Seconds { // 045
		r.Other = 0
	}
	return r, nil
}

// pairs cuts digits into twos from the right: 10302 gives 1, 03, 02.
func pairs(s string) []string {
	var parts []string
	for len(s) > 2 {
		parts = append([]string{s[len(s)-2:]}, parts...)
		s = s[:len(s)-2]
	}
	return append([]string{s}, parts...)
}

func number(s string) (float64, bool) {
	if !digits(s) || len(s) > 6 {
		return 0, false
	}
	n, err := strconv.Atoi(s)
	return float64(n), err == nil
}

func digits(s string) bool {
	return s != "" && strings.Trim(s, "0123456789") == ""
}

// LongestTime is the longest time that [FormatTime] writes, s: a year, by our judgement.
const LongestTime = 366 * 86_400

// FormatTime writes a time in s as the ergometer does, to a tenth: 0:59.9,
// 6:32.4, 1:02:03.4. It panics on a time that is negative or beyond LongestTime.
func FormatTime(time float64) string {
	if !(time >= 0 && time <= LongestTime) {
		panic(fmt.Sprintf("erg: no such time: %g", time))
	}
	tenths := int(math.Round(time * 10))
	minutes, rest := tenths/600, tenths%600
	if minutes < 60 {
		return fmt.Sprintf("%d:%02d.%d", minutes, rest/10, rest%10)
	}
	return fmt.Sprintf("%d:%02d:%02d.%d", minutes/60, minutes%60, rest/10, rest%10)
}

// Doubt reports why a time typed for a distance in m should be asked about once
// more, or "" when only one reading is plausible and it is the one taken. It
// panics unless the distance is positive.
func (r Reading) Doubt(distance float64) string {
	taken := Effort{distance, r.Seconds}.Doubt()
	if r.Other == 0 || (Effort{distance, r.Other}).Doubt() != "" {
		return taken
	}
	if taken != "" {
		taken += "; "
	}
	return fmt.Sprintf("%swas %s meant, or %s?", taken, FormatTime(r.Seconds), FormatTime(r.Other))
}
