// Package cells reads the cells of spreadsheets as people write them: lengths, masses,
// days, sides, in the units and the words of clubs.
package cells

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"thole/api/store"
	"thole/api/wire"
	"thole/rigging"
)

// Cells as people write them. A complaint is "" for a cell that can be used.

// Metres and kilograms in the units that clubs use: inch and pound by definition
// (international yard and pound agreement, 1959); 14 lb are a stone.
const (
	cmPerInch  = wire.CmPerInch
	kgPerPound = rigging.Pound
	poundsInSt = 14
)

// blankWords are cells that say that there is nothing.
var blankWords = map[string]bool{"": true, "-": true, "–": true, "—": true, "n/a": true, "na": true, "k.a.": true, "?": true, "/": true, "dns": true, "dnf": true, "dnr": true}

// IsBlank reports whether a cell holds nothing.
func IsBlank(cell string) bool { return blankWords[strings.ToLower(strings.TrimSpace(cell))] }

var (
	amount    = regexp.MustCompile(`^([0-9]+(?:[.,][0-9]+)?)\s*([\p{L}]*)\.?$`)
	feet      = regexp.MustCompile(`^(\d)\s*(?:'|′|’|ft\.?|feet)\s*(\d{1,2}(?:[.,]\d+)?)?\s*(?:"|″|”|''|’’|in\.?|inches)?$`)
	stones    = regexp.MustCompile(`^(\d{1,2})\s*(?:st|stone)\.?\s*(?:(\d{1,2}(?:[.,]\d+)?)\s*(?:lb|lbs)?\.?)?$`)
	fourDigit = regexp.MustCompile(`^(19|20)\d\d$`)
)

// IsYear tells a year of four digits.
func IsYear(cell string) bool { return fourDigit.MatchString(cell) }

func parsed(text string) float64 {
	v, _ := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	return v
}

// Length reads a length of a body in cm. unit is that of the column; "" tells
// metres from centimetres by their size, and takes nothing for inches.
func Length(cell, unit string) (cm float64, complaint string) {
	text := strings.ToLower(strings.TrimSpace(cell))
	if m := feet.FindStringSubmatch(text); m != nil {
		return round1((12*parsed(m[1]) + parsed(m[2])) * cmPerInch), ""
	}
	m := amount.FindStringSubmatch(text)
	if m == nil {
		return 0, Quoted(cell) + " is no length: write it like 184, 1.84 m or 6'2\"."
	}
	v := parsed(m[1])
	said := Units[m[2]]
	switch {
	case m[2] != "" && said == "":
		return 0, Quoted(cell) + " has a unit that is not known here: write it in cm."
	case said != "":
		unit = said
	case unit == "" && v < 3:
		unit = "m"
	case unit == "":
		unit = "cm"
	}
	switch unit {
	case "m":
		if said == "" && v >= 3 { // a column of metres with one in cm
			return round1(v), ""
		}
		return round1(100 * v), ""
	case "mm":
		return round1(v / 10), ""
	case "in":
		return round1(v * cmPerInch), ""
	case "ft":
		return round1(12 * v * cmPerInch), ""
	case "cm":
		if v < 3 && said == "" { // and the other way round
			return round1(100 * v), ""
		}
		return round1(v), ""
	}
	return 0, Quoted(cell) + " is no length: write it in cm."
}

// Mass reads a mass in kg.
func Mass(cell, unit string) (kg float64, complaint string) {
	text := strings.ToLower(strings.TrimSpace(cell))
	if m := stones.FindStringSubmatch(text); m != nil {
		return round1((poundsInSt*parsed(m[1]) + parsed(m[2])) * kgPerPound), ""
	}
	m := amount.FindStringSubmatch(text)
	if m == nil {
		return 0, Quoted(cell) + " is no mass: write it like 92 or 203 lb."
	}
	v := parsed(m[1])
	switch said := Units[m[2]]; {
	case m[2] != "" && said == "":
		return 0, Quoted(cell) + " has a unit that is not known here: write it in kg."
	case said != "":
		unit = said
	}
	switch unit {
	case "lb":
		return round1(v * kgPerPound), ""
	case "st":
		return round1(v * poundsInSt * kgPerPound), ""
	case "", "kg":
		return v, ""
	}
	return 0, Quoted(cell) + " is no mass: write it in kg."
}

func round1(v float64) float64 { return wire.Round(v, 10) }

// Ways to read days with slashes.
const (
	DayFirst   = "dmy"
	MonthFirst = "mdy"
)

var (
	numericDay = regexp.MustCompile(`^(\d{1,2})([./-])\s?(\d{1,2})[./-]\s?(\d{4}|\d{2})$`)
	isoDay     = regexp.MustCompile(`^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[ T].*)?$`)
	wordDay    = regexp.MustCompile(`^(\d{1,2})\.?[ -]?(\p{L}+)\.?[ -]?(\d{4}|\d{2})$`)
	dayWord    = regexp.MustCompile(`^(\p{L}+)\.? (\d{1,2})(?:st|nd|rd|th)?,? (\d{4})$`)
)

// months by their first letters without accents, in the languages of the headings.
var months = []string{
	"jan gen ene", "feb fev fevr", "mar maerz mrz maa mars", "apr avr abr", "may mai mei mag", "jun juin giu", "jul juil lug", "aug aou ago", "sep set", "oct okt ott out", "nov", "dec dez dic",
}

// monthNamed is the number of a month by its name, 0 for none.
func monthNamed(name string) int {
	name = store.NameKey(name)
	for i, starts := range months {
		for _, start := range strings.Fields(starts) {
			if strings.HasPrefix(name, start) {
				return i + 1
			}
		}
	}
	return 0
}

// Day reads a day as year-month-day; both tells one that could be read with the
// day or the month first, where the order is not known.
func Day(cell, order, today string) (day string, both bool, complaint string) {
	text := strings.TrimSpace(cell)
	bad := Quoted(cell) + " is no day: write it as year-month-day, such as 2026-04-30."
	date := func(y, m, d int) (string, bool) {
		t := time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC)
		return t.Format(wire.DayLayout), int(t.Month()) == m // a day that the month does not have is of another month
	}
	if m := isoDay.FindStringSubmatch(text); m != nil {
		if day, ok := date(Whole(m[1]), Whole(m[2]), Whole(m[3])); ok {
			return day, false, ""
		}
		return "", false, bad
	}
	if m := numericDay.FindStringSubmatch(text); m != nil {
		y := fullYear(m[4], today)
		first, ok1 := date(y, Whole(m[3]), Whole(m[1]))
		second, ok2 := date(y, Whole(m[1]), Whole(m[3]))
		switch {
		case !ok1 && !ok2:
			return "", false, bad
		case m[2] == "." && ok1, ok1 && !ok2, first == second, ok1 && order == DayFirst:
			return first, false, ""
		case !ok1, order == MonthFirst:
			return second, false, ""
		}
		return "", true, fmt.Sprintf("%s can be read as %s and as %s: say above whether the day or the month comes first.", Quoted(cell), first, second)
	}
	for _, m := range [][]string{wordDay.FindStringSubmatch(text), turnedDay(dayWord.FindStringSubmatch(text))} {
		if m != nil {
			if day, ok := date(fullYear(m[3], today), monthNamed(m[2]), Whole(m[1])); ok {
				return day, false, ""
			}
		}
	}
	return "", false, bad
}

func turnedDay(m []string) []string {
	if m == nil {
		return nil
	}
	return []string{m[0], m[2], m[1], m[3]}
}

// Whole is a whole number, 0 for what is none.
func Whole(text string) int {
	n, _ := strconv.Atoi(text)
	return n
}

// fullYear completes a year of two digits to the last one that is not to come.
func fullYear(text, today string) int {
	y := Whole(text)
	if len(text) == 4 {
		return y
	}
	now := Whole(today[:4])
	if y += now - now%100; y > now {
		y -= 100
	}
	return y
}

// OrderOf reports what one day shows of the order: "" for nothing.
func OrderOf(cell string) string {
	m := numericDay.FindStringSubmatch(strings.TrimSpace(cell))
	switch {
	case m == nil || m[2] == ".":
		return ""
	case Whole(m[1]) > 12 && Whole(m[3]) <= 12:
		return DayFirst
	case Whole(m[3]) > 12 && Whole(m[1]) <= 12:
		return MonthFirst
	}
	return ""
}

// Ways to read the letters S and B, or P and S, of a side.
const (
	PortStarboard = "port_starboard" // P port, S starboard, B both
	StrokeBow     = "stroke_bow"     // S stroke side, which is port; B bow side
	BackSteuer    = "back_steuer"    // B Backbord, which is port; S Steuerbord
)

// sideWords are sides by their words: p port, s starboard, b both, x sculls.
// Stroke side is port and bow side starboard; common practice.
var sideWords = map[string]string{
	"p": "p", "port": "p", "stroke side": "p", "strokeside": "p", "stroke": "p", "ss": "p", "backbord": "p", "bb": "p", "bakboord": "p", "babord": "p", "bab": "p", "babor": "p", "bombordo": "p", "sinistra": "p", "sinistro": "p", "left": "p", "links": "p", "l": "p",
	"starboard": "s", "stbd": "s", "sb": "s", "stb": "s", "bow side": "s", "bowside": "s", "bow": "s", "bs": "s", "steuerbord": "s", "st": "s", "stuurboord": "s", "tribord": "s", "tri": "s", "estribor": "s", "boreste": "s", "dritta": "s", "right": "s", "rechts": "s", "r": "s",
	"both": "b", "either": "b", "p s": "b", "s p": "b", "port starboard": "b", "port and starboard": "b", "both sides": "b", "beide": "b", "beides": "b", "bb stb": "b", "stb bb": "b", "beidseitig": "b", "les deux": "b", "deux": "b", "ps": "b", "sp": "b", "ambidextrous": "b", "entrambi": "b", "ambos": "b",
	"scull": "x", "sculls": "x", "sculler": "x", "sculling": "x", "x": "x", "skull": "x", "couple": "x",
	"sweep and scull": "bx", "both and scull": "bx", "all": "bx", "cox": "c", "c": "c",
}

// Side reads a side under a reading of single letters; ask tells a letter
// that needs one.
func Side(cell, letters string) (marks string, ask bool, ok bool) {
	text := Folded(cell)
	if text == "s" || text == "b" || text == "s b" || text == "b s" || text == "sb" {
		switch {
		case text == "sb" && (letters == "" || letters == PortStarboard):
			return "s", false, true
		case letters == "":
			return "", true, true
		case len(text) > 1:
			return "b", false, true
		}
		return map[string]string{
			"s" + PortStarboard: "s", "b" + PortStarboard: "b", "s" + StrokeBow: "p", "b" + StrokeBow: "s", "s" + BackSteuer: "s", "b" + BackSteuer: "p",
		}[text+letters], false, true
	}
	marks, ok = sideWords[text]
	if !ok && strings.Contains(text, " ") { // port, scull
		for _, word := range strings.Fields(text) {
			if slices.Contains([]string{"and", "und", "et", "or"}, word) {
				continue
			}
			one, asks, known := Side(word, letters)
			if asks || !known {
				return "", asks, known
			}
			marks, ok = marks+one, true
		}
	}
	return marks, false, ok
}

// Sexes are the ways to say it.
var Sexes = map[string]string{
	"f": "female", "w": "female", "female": "female", "woman": "female", "women": "female", "girl": "female", "frau": "female", "weiblich": "female", "femme": "female", "v": "female", "vrouw": "female", "mujer": "female", "donna": "female", "femmina": "female",
	"m": "male", "male": "male", "man": "male", "men": "male", "boy": "male", "mann": "male", "mannlich": "male", "homme": "male", "h": "male", "hombre": "male", "uomo": "male", "maschio": "male",
}

// Answers are the ways to say yes or no.
var Answers = map[string]string{
	"yes": "yes", "y": "yes", "true": "yes", "1": "yes", "x": "yes", "✓": "yes", "✔": "yes", "ja": "yes", "j": "yes", "oui": "yes", "o": "yes", "si": "yes", "sim": "yes",
	"no": "no", "n": "no", "false": "no", "0": "no", "nein": "no", "nee": "no", "non": "no", "nao": "no",
}

// Quoted shows a cell in a complaint.
func Quoted(text string) string {
	const most = 40 // characters, by our judgement: what a line of a message holds
	if runes := []rune(strings.TrimSpace(text)); len(runes) > most {
		return "“" + string(runes[:most]) + "…”"
	}
	return "“" + strings.TrimSpace(text) + "”"
}

// Units are the units that stand in headings and cells, by how they are written.
var Units = map[string]string{
	"cm": "cm", "m": "m", "metre": "m", "meter": "m", "mm": "mm", "in": "in", "inch": "in", "inches": "in", "ft": "ft", "feet": "ft",
	"kg": "kg", "kilo": "kg", "kilos": "kg", "lb": "lb", "lbs": "lb", "pounds": "lb", "st": "st", "stone": "st", "g": "g", "°": "deg", "deg": "deg", "degrees": "deg", "grad": "deg",
}

var punctuated = regexp.MustCompile(`[^\p{L}\p{N}]+`)

// Folded is a text without case, accents and punctuation.
func Folded(text string) string {
	return strings.Join(strings.Fields(punctuated.ReplaceAllString(store.NameKey(text), " ")), " ")
}

// LengthsIn holds the factors to cm of units of length, by definition.
var LengthsIn = map[string]float64{"cm": 1, "mm": 0.1, "m": 100, "in": cmPerInch}

var measure = regexp.MustCompile(`^([+\-−–]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+))\s*([\p{L}]*|°|"|″)\.?$`)

// Measure reads a number of boats or oars in the unit that it is kept in; unit is that
// of the column, "" for the same.
func Measure(cell, own, unit string) (v float64, complaint string) {
	found := measure.FindStringSubmatch(strings.ToLower(strings.TrimSpace(cell)))
	if found == nil {
		return 0, Quoted(cell) + " is not a number."
	}
	v = parsed(strings.NewReplacer("−", "-", "–", "-").Replace(found[1]))
	if said := found[2]; said != "" {
		if unit = Units[strings.NewReplacer(`"`, "in", "″", "in").Replace(said)]; unit == "" {
			return 0, Quoted(cell) + " has a unit that is not known here: write it in " + own + "."
		}
	}
	if unit == "" || unit == own {
		return v, ""
	}
	to, isLength := LengthsIn[own]
	from, fromLength := LengthsIn[unit]
	switch {
	case isLength && fromLength:
		return wire.Round(v*from/to, 1e4), ""
	case own == "kg" && unit == "lb":
		return round1(v * kgPerPound), ""
	}
	return 0, Quoted(cell) + " has a unit that does not fit: write it in " + own + "."
}
