// Package usage lets each reader have pages in their own units and words: body lengths
// in feet and inches, masses in pounds, sides as stroke side and bow side, days with the
// month first. Pages and forms are written in cm, kg, port and starboard; what the reader
// gets and sends passes through here, and nowhere else.
//
// Measures of the rig stay in cm, as in the trade in countries with feet and inches too,
// and so do files and the API.
package usage

import (
	"context"
	"fmt"
	"math"
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"thole/api/access"
	"thole/api/people"
	"thole/api/wire"
)

// Usage is how a reader has units and words. The zero value is that of the records.
type Usage struct {
	Feet   bool   // body lengths in feet and inches
	Rig    string // unit of other lengths: people.Millimetres, Inches, Fractions or "": cm
	Pounds bool   // masses in pounds
	Stroke bool   // stroke side for port, bow side for starboard
	Days   string // MonthFirst, YearFirst or "": the day first
	Comma  bool   // 1,5 for 1.5
}

// Orders of days.
const (
	MonthFirst = people.MonthFirst
	YearFirst  = people.YearFirst
)

// Default tells whether nothing is to be changed.
func (u Usage) Default() bool { return u == Usage{} }

// Of is the usage that was chosen.
func Of(c people.Usage) Usage {
	u := Usage{Feet: c.BodyLengths == people.FeetInches, Rig: c.RigLengths, Pounds: c.Masses == people.Pounds, Stroke: c.Sides == people.StrokeBow, Days: c.Days, Comma: c.Decimals == people.DecimalComma}
	if u.Rig == people.PlainUsage.RigLengths {
		u.Rig = ""
	}
	if u.Days == people.DayFirst {
		u.Days = ""
	}
	return u
}

// Choice is the usage as it is chosen.
func (u Usage) Choice() people.Usage {
	c := people.PlainUsage
	for _, choice := range []struct {
		on   bool
		text string
		into *string
	}{
		{u.Feet, people.FeetInches, &c.BodyLengths}, {u.Rig != "", u.Rig, &c.RigLengths}, {u.Pounds, people.Pounds, &c.Masses},
		{u.Stroke, people.StrokeBow, &c.Sides}, {u.Days != "", u.Days, &c.Days}, {u.Comma, people.DecimalComma, &c.Decimals},
	} {
		if choice.on {
			*choice.into = choice.text
		}
	}
	return c
}

// Text is the usage as a cookie keeps it.
func (u Usage) Text() string {
	c := u.Choice()
	return strings.Join([]string{c.BodyLengths, c.RigLengths, c.Masses, c.Sides, c.Days, c.Decimals}, ".")
}

// Parse reads what [Usage.Text] wrote, now or with the two words of before; what it does
// not know is as in the records.
func Parse(text string) Usage {
	parts := strings.Split(text, ".")
	has := func(part string) bool { return slices.Contains(parts, part) }
	u := Usage{Feet: has(people.FeetInches) || has("ft"), Pounds: has(people.Pounds), Stroke: has(people.StrokeBow) || has("stroke"), Comma: has(people.DecimalComma)}
	for _, unit := range []string{people.Millimetres, people.Inches, people.Fractions} {
		if has(unit) {
			u.Rig = unit
		}
	}
	for _, order := range []string{MonthFirst, YearFirst} {
		if has(order) {
			u.Days = order
		}
	}
	return u
}

// Cookie keeps the usage in the browser of somebody without an account.
const Cookie = "thole_usage"

type key struct{}

// With returns a context with the usage of who asks.
func With(ctx context.Context, u Usage) context.Context { return context.WithValue(ctx, key{}, u) }

// From returns the usage of who asks.
func From(ctx context.Context) Usage {
	u, _ := ctx.Value(key{}).(Usage)
	return u
}

// Kept is the usage that a request's browser keeps; ok tells whether it keeps one.
func Kept(r *http.Request) (u Usage, ok bool) {
	c, err := r.Cookie(Cookie)
	if err != nil {
		return Usage{}, false
	}
	return Parse(c.Value), true
}

// Asked finds the usage of who asks: the account's own, for somebody without an account
// that of the browser, and the club's for whoever chose nothing.
func Asked(service *people.Service, r *http.Request) (Usage, error) {
	if u, ok := Kept(r); ok && !access.From(r.Context()).SignedIn() {
		return u, nil
	}
	own, err := service.OwnUsage(r.Context(), struct{}{})
	return Of(own.Usage), err
}

// Inch and pound by definition (international yard and pound agreement, 1959).
const (
	cmPerInch  = 2.54
	kgPerPound = 0.45359237
	inPerFoot  = 12
)

// leastInFeet is the length from which feet are said, in; below, inches alone: nobody
// says a shank in feet.
const leastInFeet = 48

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

// typedLength is [length] as people type it.
func typedLength(cm float64) string {
	return strings.NewReplacer("′", "'", "″", `"`, "−", "-").Replace(length(cm))
}

// mass writes a mass in pounds, to a tenth.
func mass(kg float64) string { return wire.Trimmed(1, kg/kgPerPound) }

// kind is what a field or a cell holds.
type kind int

const (
	none kind = iota
	bodyLength
	aMass
)

// bodyNames are the fields of body lengths, by how their names end.
var bodyNames = []string{
	"stature_cm", "arm_span_cm", "sitting_height_cm", "draw_height_cm", "shank_cm", "thigh_cm", "trunk_cm", "arm_cm", "half_shoulder_cm", "half_depth_cm",
	"ankle_along_cm", "ankle_off_cm", "ball_cm", "hip_height_cm",
}

// massNames are the fields of masses whose names do not say so.
var massNames = []string{"cox", "mean_mass", "max_mass"}

// kindOf tells what the field of a form holds by its name.
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
	return none
}

// changes tells whether the reader has a kind in other units.
func (u Usage) changes(k kind) bool { return k == bodyLength && u.Feet || k == aMass && u.Pounds }

// typed writes a value as the field of a form has it; what is no number stays.
func (u Usage) typed(k kind, text string) string {
	v, complaint := wire.ReadNumber(text)
	switch {
	case complaint != "" || !u.changes(k):
		return text
	case k == bodyLength:
		return typedLength(v)
	}
	return strings.ReplaceAll(mass(v), "−", "-")
}

var (
	// numbers with a unit behind them, perhaps a range.
	numberText = `[−–-]?\d+(?:[.,]\d+)?`
	aNumber    = regexp.MustCompile(numberText)
	inKg       = regexp.MustCompile(`(?:(` + numberText + `)( to | and |–| or | ± ))?(` + numberText + `)([\s\x{00a0}]+)kg\b`)
	inBodyCm   = regexp.MustCompile(`(?:(` + numberText + `)( to | and |–| or | ± ))?(` + numberText + `)\x{00a0}cm\b`)
	inCm       = regexp.MustCompile(`(?:(` + numberText + `)( to | and |–| or | ± ))?(` + numberText + `)[\s\x{00a0}]+cm\b`)
	bareKg     = regexp.MustCompile(`(^|[\s(,])kg\b`)
	bareCm     = regexp.MustCompile(`(^|[\s(,])cm\b`)
	sideWord   = regexp.MustCompile(`\b(port|Port|PORT|starboard|Starboard|STARBOARD)( side)?\b`)
	aDay       = regexp.MustCompile(`\b(\d{1,2}) (Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec) (\d{4})\b`)
)

// months are the names of months as pages write them.
var months = []string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}

// number reads a number of a page.
func number(text string) float64 {
	v, _ := strconv.ParseFloat(strings.Replace(strings.NewReplacer("−", "-", "–", "-").Replace(text), ",", ".", 1), 64)
	return v
}

// inUnits rewrites the numbers of a pattern with their unit.
func inUnits(text string, pattern *regexp.Regexp, write func(float64) string, unit string) string {
	return pattern.ReplaceAllStringFunc(text, func(found string) string {
		m := pattern.FindStringSubmatch(found)
		if m[1] == "" {
			return write(number(m[3])) + unit
		}
		return write(number(m[1])) + m[2] + write(number(m[3])) + unit
	})
}

// prose rewrites a text. body tells that its lengths are those of a body.
func (u Usage) prose(text string, body bool) string {
	if u.Pounds && strings.Contains(text, "kg") {
		text = inUnits(text, inKg, mass, " lb")
	}
	if u.Feet && strings.Contains(text, "cm") {
		if body {
			text = bareCm.ReplaceAllString(inUnits(text, inCm, length, ""), "${1}ft in")
		} else {
			text = inUnits(text, inBodyCm, length, "")
		}
	}
	if u.Stroke {
		text = sides(text)
	}
	if u.Days != "" {
		text = u.days(text)
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
		word := strings.TrimSuffix(found, " side")
		said := "stroke side"
		if strings.EqualFold(word, "starboard") {
			said = "bow side"
		}
		if word[0] < 'a' {
			said = strings.ToUpper(said[:1]) + said[1:]
		}
		return said
	})
}

// days writes days in the reader's order.
func (u Usage) days(text string) string {
	return aDay.ReplaceAllStringFunc(text, func(found string) string {
		m := aDay.FindStringSubmatch(found)
		if u.Days == MonthFirst {
			return m[2] + " " + m[1] + ", " + m[3]
		}
		day, _ := strconv.Atoi(m[1])
		return fmt.Sprintf("%s-%02d-%02d", m[3], slices.Index(months, m[2])+1, day)
	})
}

// cell rewrites the text of an element that holds numbers of a kind without their unit,
// the unit alone, or both.
func (u Usage) cell(text string, k kind) string {
	if !u.changes(k) {
		return text
	}
	write, unit := length, bareCm
	if k == aMass {
		write, unit = mass, bareKg
	}
	switch {
	case strings.TrimSpace(text) == "cm" && k == bodyLength:
		return "" // each number says its own
	case unit.MatchString(text):
		return unit.ReplaceAllString(u.prose(text, true), "${1}"+unitOf(k))
	case inKg.MatchString(text) || inCm.MatchString(text):
		return u.prose(text, true)
	}
	return aNumber.ReplaceAllStringFunc(text, func(found string) string { return write(number(found)) })
}

// unitOf names the unit of a kind.
func unitOf(k kind) string {
	if k == bodyLength {
		return "ft in"
	}
	return "lb"
}
