package wire

import (
	"fmt"
	"math"
	"strings"

	"thole/selection/erg"
)

// FormatTime writes a time in s as people do, with all the digits that it has to a
// thousandth: 6:32.4, 6:32.45. A time below 0 or beyond a year is written in
// seconds.
func FormatTime(seconds float64) string {
	if !(seconds >= 0 && seconds < erg.LongestTime) {
		return fmt.Sprintf("%g s", seconds)
	}
	ms := int(math.Round(seconds * 1000))
	text := erg.FormatTime(float64(ms/100) / 10)
	if ms%100 == 0 {
		return text
	}
	return text + strings.TrimRight(fmt.Sprintf("%02d", ms%100), "0")
}

// FormatTenths is [FormatTime] to a tenth.
func FormatTenths(seconds float64) string { return FormatTime(Round(seconds, 10)) }
