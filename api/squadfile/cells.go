package squadfile

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"thole/api/ergometer"
	"thole/api/wire"
	"thole/selection/erg"
)

// Cells of a table as people and spreadsheets write them. A complaint is "" for
// a cell that can be used.

// shown quotes a cell in a complaint.
func shown(text string) string { return "“" + cut(text) + "”" }

// cut shortens a cell to where nobody would read on.
func cut(text string) string {
	const most = 40 // characters, by our judgement: what a line of a message holds
	if runes := []rune(text); len(runes) > most {
		return string(runes[:most]) + "…"
	}
	return text
}

// readNumber reads a number from low to high, with a decimal point or comma. A
// mark before three digits may stand for thousands as well: of the two readings
// the one within the range is taken.
func readNumber(text string, low, high float64) (v float64, complaint string) {
	var fit []float64
	for _, v := range wire.Readings(text) {
		if v >= low && v <= high {
			fit = append(fit, v)
		}
	}
	switch {
	case len(fit) == 0:
		return 0, fmt.Sprintf("%s does not fit: give a number from %g to %g.", shown(text), low, high)
	case len(fit) == 2:
		return 0, wire.TwoReadings(cut(text), fit[0], fit[1])
	}
	return fit[0], ""
}

// dayLayouts are the ways to write a day that can be read in one way only.
var dayLayouts = []string{"2006-1-2", "2006/1/2", "2006.1.2", "2.1.2006", "2 Jan 2006", "2-Jan-2006", "2 January 2006", "20060102"}

// readDay reads a day and returns it as year-month-day. With slashes, the day
// comes first in some countries and the month in others: what could be either
// is not guessed at.
func readDay(text string) (day, complaint string) {
	bare := text
	if len(text) > len(wire.DayLayout) && (text[len(wire.DayLayout)] == 'T' || text[len(wire.DayLayout)] == ' ') && text[4] == '-' {
		bare = text[:len(wire.DayLayout)] // the time of the day does not matter
	}
	for _, layout := range dayLayouts {
		if at, err := time.Parse(layout, bare); err == nil {
			return at.Format(wire.DayLayout), ""
		}
	}
	one, err1 := time.Parse("2/1/2006", bare)
	two, err2 := time.Parse("1/2/2006", bare)
	switch {
	case err1 == nil && err2 == nil && !one.Equal(two):
		return "", fmt.Sprintf("%s can be read as %s and as %s: write it as one of these.", shown(text), one.Format(wire.DayLayout), two.Format(wire.DayLayout))
	case err1 == nil:
		return one.Format(wire.DayLayout), ""
	case err2 == nil:
		return two.Format(wire.DayLayout), ""
	}
	return "", shown(text) + " is no day: write it as year-month-day, such as 2026-04-30."
}

// readTestTime reads the time of a test over a distance in m. Where minutes and
// seconds were typed, spreadsheets understand hours and minutes: 6:23 comes as
// 6:23:00, 30:00 as 30:00:00. Such a time is taken for what can be rowed, with
// a doubt to show.
func readTestTime(text string, distance float64) (seconds float64, doubt, complaint string) {
	reading, err := erg.ParseTime(text)
	seconds = wire.ToThousandths(reading.Seconds)
	usable := err == nil && seconds >= ergometer.ShortestTest && seconds <= ergometer.LongestTest
	if usable {
		doubt = reading.Doubt(distance)
	}
	if usable && doubt == "" {
		return seconds, "", ""
	}
	if meant, ok := withoutHours(text, distance); ok {
		return meant, fmt.Sprintf("the cell says %s, with hours: taken for %s", cut(text), wire.FormatTime(meant)), ""
	}
	switch {
	case err != nil:
		return 0, "", shown(text) + " is no time: write it like 6:32.4."
	case !usable:
		return 0, "", fmt.Sprintf("%s would be %s, which is no time of a test: write it like 6:32.4.", shown(text), wire.FormatTime(seconds))
	}
	return seconds, doubt, ""
}

// withoutHours reads 6:23:40 as 6:23.40; false where that is no time, or none
// that can be rowed. A time with a fraction means its hours.
func withoutHours(text string, distance float64) (seconds float64, ok bool) {
	parts := strings.Split(text, ":")
	if len(parts) != 3 || strings.ContainsAny(text, ".,") {
		return 0, false
	}
	reading, err := erg.ParseTime(parts[0] + ":" + parts[1] + "." + parts[2])
	seconds = wire.ToThousandths(reading.Seconds)
	return seconds, err == nil && seconds >= ergometer.ShortestTest && (erg.Effort{Distance: distance, Time: seconds}).Doubt() == ""
}

// sameTime reports whether two times are the same to a thousandth of a second.
func sameTime(a, b float64) bool { return wire.ToThousandths(a) == wire.ToThousandths(b) }

// yesWords are the ways to say yes or no in a cell.
var yesWords = map[string]bool{"yes": true, "y": true, "true": true, "1": true, "x": true, "no": false, "n": false, "false": false, "0": false}

// sexWord takes the short ways of saying it, too.
func sexWord(text string) string {
	switch strings.ToLower(text) {
	case "f", "w", "woman", "women":
		return "female"
	case "m", "man", "men":
		return "male"
	}
	return strings.ToLower(text)
}

// formulaErrors are what spreadsheets show for a formula that fails.
var formulaErrors = regexp.MustCompile(`^#(REF!|N/A|VALUE!|NAME\?|DIV/0!|NUM!|NULL!|SPILL!|CALC!)$`)

func numberOr(v *float64) string {
	if v == nil {
		return ""
	}
	return strconv.FormatFloat(*v, 'f', -1, 64)
}

// amountOr is a number with its unit, "" for none.
func amountOr(v *float64, unit string) string {
	if v == nil {
		return ""
	}
	return numberOr(v) + " " + unit
}

func yesNo(v bool) string {
	if v {
		return "yes"
	}
	return "no"
}
