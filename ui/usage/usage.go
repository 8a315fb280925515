// Package usage lets each reader have pages in their own units and words: body lengths
// in feet and inches, measures of the rig in mm or inches, masses in pounds, sides as
// stroke side and bow side, days with the month first, decimals with a comma. Pages and
// forms are written in cm, kg, port and starboard, with a decimal point and the day first;
// what the reader gets and sends passes through here, and nowhere else. Files and the
// interface of programs stay as they are.
package usage

import (
	"slices"
	"strings"

	"thole/api/people"
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

// Default reports whether nothing is to be changed.
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
