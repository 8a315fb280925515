package usage

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"thole/api/people"
)

var (
	// numbers with a unit behind them, perhaps a range or an uncertainty, perhaps ± behind.
	numberText = `[+−–-]?\d+(?:[.,]\d+)?`
	joint      = `(?: to | and |–| or | of | / | ± | → )`
	anyNumber  = regexp.MustCompile(numberText)
	inKg       = measureIn(`[\s\x{00a0}]+kg`)
	inBodyCm   = measureIn(`\x{00a0}cm`)
	inCm       = measureIn(`[\s\x{00a0}\x{2009}]*cm`)
	inRigCm    = measureIn(`[\s\x{2009}]*cm`)
	inMm       = measureIn(`[\s\x{00a0}\x{2009}]*mm`)
	bareKg     = regexp.MustCompile(`(^|[\s(,])kg\b`)
	bareCm     = regexp.MustCompile(`(^|[\s(,])(?:cm|mm)\b`)
	sideWord   = regexp.MustCompile(`\b(port|Port|PORT|starboard|Starboard|STARBOARD)(s|'s|’s| side)?\b`)
	aDay       = regexp.MustCompile(`\b(\d{1,2}) (Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)( \d{4})?\b`)
	isoDay     = regexp.MustCompile(`\b(\d{4})-(\d\d)-(\d\d)\b`)
	decimal    = regexp.MustCompile(`[\d.]*\d\.\d[\d.]*`)
	mixedUp    = regexp.MustCompile(` It looks like (?:metres|millimetres|inches|feet|pounds|grams|stones): [^?]*\?`)
	quoted     = regexp.MustCompile(`“[^”]*”`)
)

// measureIn matches numbers with a unit.
func measureIn(unit string) *regexp.Regexp {
	return regexp.MustCompile(`((?:` + numberText + joint + `)*)(` + numberText + `)` + unit + `\b(,?\s±\s+\d+(?:[.,]\d+)?\b)?`)
}

// months are the names of months as pages write them.
var months = []string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}

// inUnits rewrites the numbers of a pattern with their unit.
func (u Usage) inUnits(text string, pattern *regexp.Regexp, k kind) string {
	unit := " " + u.unitOf(k)
	if k == bodyLength {
		unit = "" // each number says its own
	}
	var out strings.Builder
	last := 0
	for _, at := range pattern.FindAllStringSubmatchIndex(text, -1) {
		found := text[at[0]:at[1]]
		group := func(i int) string {
			if at[2*i] < 0 {
				return ""
			}
			return text[at[2*i]:at[2*i+1]]
		}
		rough := strings.Contains(found, "±")
		write := func(number_ string) string { return u.signed(k, number_, rough) }
		tail := group(3)
		if follows := strings.TrimLeft(text[at[1]:], " \u00a0"); tail != "" && startsUnit(follows) {
			tail, at[1] = "", at[6] // the ± has a unit of its own
		}
		out.WriteString(text[last:at[0]])
		out.WriteString(anyNumber.ReplaceAllStringFunc(spaced(group(1)), write))
		out.WriteString(write(group(2)) + unit + anyNumber.ReplaceAllStringFunc(tail, write))
		last = at[1]
	}
	out.WriteString(text[last:])
	return out.String()
}

// spaced keeps the dash of a range from being read as a sign.
func spaced(text string) string { return strings.ReplaceAll(text, "–", " to ") }

// units are what can stand behind a number of another kind.
var otherUnits = []string{"°", "%", "ms", "s ", "N", "W", "cm", "mm", "kg", "m/s", "J"}

func startsUnit(text string) bool {
	return slices.ContainsFunc(otherUnits, func(unit string) bool { return strings.HasPrefix(text, unit) })
}

// signed writes a number of a kind; a plus before it stays.
func (u Usage) signed(k kind, text string, rough bool) string {
	written := u.write(k, number(strings.TrimPrefix(text, "+")), rough)
	if strings.HasPrefix(text, "+") {
		return "+" + written
	}
	return written
}

// prose rewrites a text. body tells that its lengths are those of a body. What a number
// may have been meant as is left out for who did not type cm or kg.
func (u Usage) prose(text string, body bool) string {
	if (u.Feet || u.Rig != "" || u.Pounds) && strings.Contains(text, "It looks like") {
		text = mixedUp.ReplaceAllString(text, "")
	}
	if u.Pounds && strings.Contains(text, "kg") {
		text = u.inUnits(text, inKg, aMass)
	}
	if strings.Contains(text, "cm") {
		if u.Feet && body {
			text = bareCm.ReplaceAllString(u.inUnits(text, inCm, bodyLength), "${1}ft in")
		} else if u.Feet {
			text = u.inUnits(text, inBodyCm, bodyLength)
		}
		if u.Rig != "" && !body {
			text = u.inUnits(text, inRigCm, rigLength)
		}
	}
	if strings.Contains(text, "mm") && u.changes(rigMove) {
		text = u.inUnits(text, inMm, rigMove)
	}
	if u.Stroke {
		text = sides(text)
	}
	text = u.days(text)
	if u.Comma {
		text = commas(text)
	}
	return text
}

// sides says stroke side for port and bow side for starboard, whichever side the stroke
// of a boat rows; common practice.
func sides(text string) string {
	if !strings.Contains(strings.ToLower(text), "port") && !strings.Contains(strings.ToLower(text), "starboard") {
		return text
	}
	return sideWord.ReplaceAllStringFunc(text, func(found string) string {
		m := sideWord.FindStringSubmatch(found)
		said := "stroke side"
		if strings.EqualFold(m[1], "starboard") {
			said = "bow side"
		}
		if m[1][0] < 'a' {
			said = strings.ToUpper(said[:1]) + said[1:]
		}
		return said + strings.TrimSuffix(m[2], " side")
	})
}

// days writes days in the reader's order; a day in the order of files is one, too, but
// where it stands as an example of how to type one.
func (u Usage) days(text string) string {
	if u.Days != YearFirst && holdsDay(text) && !strings.Contains(text, "year-month-day") {
		text = isoDay.ReplaceAllStringFunc(text, func(found string) string {
			m := isoDay.FindStringSubmatch(found)
			month, day := int(number(m[2])), int(number(m[3]))
			if month < 1 || month > len(months) || day < 1 || day > 31 {
				return found
			}
			return fmt.Sprintf("%d %s %s", day, months[month-1], m[1])
		})
	}
	if u.Days == "" || !namesMonth(text) {
		return text
	}
	return aDay.ReplaceAllStringFunc(text, func(found string) string {
		m := aDay.FindStringSubmatch(found)
		day, _ := strconv.Atoi(m[1])
		year := strings.TrimSpace(m[3])
		month := slices.Index(months, m[2]) + 1
		switch {
		case u.Days == MonthFirst && year == "":
			return m[2] + " " + m[1]
		case u.Days == MonthFirst:
			return m[2] + " " + m[1] + ", " + year
		case year == "":
			return fmt.Sprintf("%02d-%02d", month, day)
		}
		return fmt.Sprintf("%s-%02d-%02d", year, month, day)
	})
}

// holdsDay reports whether a text may hold a day in the order of files. It is asked of whole
// pages, and is fast for that.
func holdsDay[T string | []byte](text T) bool {
	for i := 4; i+5 < len(text); i++ {
		if text[i] == '-' && text[i+3] == '-' && isDigit(text[i-1]) && isDigit(text[i-4]) && isDigit(text[i+1]) && isDigit(text[i+4]) {
			return true
		}
	}
	return false
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// namesMonth reports whether a text may hold a month behind a day.
func namesMonth(text string) bool {
	for i := 1; i+3 < len(text); i++ {
		if text[i] == ' ' && isDigit(text[i-1]) && text[i+1] >= 'A' && text[i+1] <= 'S' {
			return true
		}
	}
	return false
}

// commas writes decimals with a comma; what has several points is no number.
func commas(text string) string {
	if !strings.Contains(text, ".") {
		return text
	}
	return decimal.ReplaceAllStringFunc(text, func(found string) string {
		number := strings.TrimSuffix(found, ".")
		if strings.Count(number, ".") != 1 {
			return found
		}
		return strings.Replace(number, ".", ",", 1) + found[len(number):]
	})
}

// cell rewrites the text of an element that holds numbers of a kind without their unit,
// the unit alone, or both.
func (u Usage) cell(text string, k kind) string {
	if !u.changes(k) || k == aNumber {
		return u.prose(text, k == bodyLength)
	}
	unit := bareCm
	if k == aMass {
		unit = bareKg
	}
	trimmed := strings.TrimSpace(text)
	switch {
	case k == evenTick && u.Rig != people.Millimetres && math.Mod(number(trimmed), 2) != 0:
		return ""
	case trimmed == "cm" && k == bodyLength:
		return "" // each number says its own
	case k != aRatio && k != perLength && hasUnit(text) && (inKg.MatchString(text) || inCm.MatchString(text) || inMm.MatchString(text)):
		return u.prose(text, k == bodyLength)
	case hasUnit(text) && unit.MatchString(text) && k != aRatio && k != perLength:
		return u.prose(unit.ReplaceAllString(text, "${1}"+u.unitOf(k)), k == bodyLength)
	case strings.ContainsFunc(text, unicode.IsLetter) && k != aRatio && !ranged.MatchString(trimmed):
		return u.prose(text, k == bodyLength) // words, such as "hole 7"
	}
	rough := strings.Contains(text, "±")
	text = anyNumber.ReplaceAllStringFunc(text, func(found string) string { return u.signed(k, found, rough) })
	if k == aRatio {
		text = strings.Replace(text, " cm", " "+u.unitOf(k), 1)
	}
	if u.Comma {
		return commas(text)
	}
	return text
}

// hasUnit reports whether a text may name a unit.
func hasUnit(text string) bool {
	return strings.Contains(text, "cm") || strings.Contains(text, "mm") || strings.Contains(text, "kg")
}

var ranged = regexp.MustCompile(`^[^\pL]*(?: to | to$|^to )[^\pL]*$`)
