package page

import (
	"slices"
	"strconv"
	"strings"

	"thole/api/wire"
)

// The words of a record's history.

// ChangeLabel turns the name of a field on the wire into words.
func ChangeLabel(name string) string {
	if label := knownLabel(name); label != "" {
		return label
	}
	return strings.ReplaceAll(name, "_", " ")
}

// knownLabel is the label of a field of forms; "" where no form has it.
func knownLabel(name string) string {
	if label, ok := recordLabels[name]; ok {
		return label
	}
	return SettingLabels[name]
}

// ChangeWords reports what of a record was changed, such as Seat 3: range of spread.
func ChangeWords(c *wire.RecordChange) string {
	label := ChangeLabel(c.Field)
	switch {
	case c.TestedOn != "":
		return "Ergometer test, " + Day(c.TestedOn)
	case c.Athlete != "":
		return label + " of " + c.Athlete
	case c.Ranged():
		label = "Range of " + LowerFirst(label)
	case c.PieceBoat != 0:
		label = "Boat " + strconv.Itoa(c.PieceBoat) + ": " + LowerFirst(label)
	}
	switch {
	case c.Seat != 0:
		return "Seat " + strconv.Itoa(c.Seat) + ": " + LowerFirst(label)
	case c.Piece != 0:
		return "Piece " + strconv.Itoa(c.Piece) + ", " + LowerFirst(label)
	}
	return label
}

// recordLabels names what is not a setting.
var recordLabels = map[string]string{
	"name": "Name", "sex": "Sex", "birth_date": "Born on", "port_cost_s": "Port costs", "starboard_cost_s": "Starboard costs", "sculls": "Sculls", "guest": "Guest of seat races",
	"note": "Note", "archived": "Archived", "class_code": "Class", "boat_class": "Class", "hull_mass_kg": "Hull mass", "built_for_kg": "Built for",
	"waterline_length_m": "Waterline length", "waterline_beam_m": "Waterline beam", "side": "Side", "can_change_sides": "Fits both sides",
	"kind": "Kind", "count": "Oars", "blade": "Blade", "length_min_cm": "Length, least", "length_max_cm": "Length, most", "length_step_cm": "Length, step", "length_cm": "Length",
	"inboard_min_cm": "Inboard, least", "inboard_max_cm": "Inboard, most", "inboard_step_cm": "Inboard, step", "by": "Your name",
	"held_on": "Day", "distance_m": "Distance", "terms": "Terms", "state": "State", "rerun_of": "Repeats piece", "margins_only": "Margins only", "crew": "Crew", "time_s": "Time",
	"boat_id": "Boat", "athlete_id": "Athlete", "cox_mass_kg": "Mass of the cox", "rows_on": "Rows on", "source": "From",
	"stretcher_mark": "Stretcher read at", "stretcher_offset_cm": "Stretcher’s tape reads", "stretcher_toe_along_cm": "Heel to toe mark", "stretcher_hole_pitch_cm": "From hole to hole",
	"measured_on": "Measured on", "measured_by": "Measured by", "tested_on": "Tested on", "seats": "Seats", "settings": "Settings",
}

// UnitOf describes the unit that a name carries.
func UnitOf(name string) string {
	for _, u := range [...]struct{ suffix, unit string }{{"_cm", "cm"}, {"_deg", "°"}, {"_kg", "kg"}, {"_m", "m"}, {"_s", "s"}} {
		if strings.HasSuffix(name, u.suffix) {
			return u.unit
		}
	}
	return ""
}

// ChangeView is one line of a record's history.
type ChangeView struct{ What, From, To, By, At string }

// ChangeViews lists the history newest first.
func ChangeViews(list []wire.RecordChange) []ChangeView { return AtBoat(nil).Views(list) }

// Views is [ChangeViews] with the values as they are said at a boat.
func (b AtBoat) Views(list []wire.RecordChange) []ChangeView {
	var views []ChangeView
	for i := range slices.Backward(list) {
		c := &list[i]
		from, to := ChangeValues(c)
		for text, raw := range map[*string]*string{&from: c.From, &to: c.To} {
			if said, _ := b.say(c, OrEmpty(raw)); said != OrEmpty(raw) {
				*text = said
			}
		}
		views = append(views, ChangeView{What: ChangeWords(c), From: from, To: to, By: c.By, At: When(c.At)})
	}
	return views
}

// AtBoat says where a seat's stretcher stands as its boat is read, and the reading as a
// form that takes the boat's marks holds it; see [fleet.Boat.AtMark].
type AtBoat func(seat int, heelToPinCm float64) (said, reading string)

// say is how a value of a change is said, and how a form holds it.
func (b AtBoat) say(c *wire.RecordChange, text string) (said, held string) {
	if v, ok := ParseNumber(text); b != nil && ok && c.Field == "heel_to_pin_cm" && !c.Ranged() {
		if said, held = b(c.Seat, v); said != "" {
			return said, held
		}
	}
	return text, text
}

// ChangeValues writes the values of a change, with a dash for none.
func ChangeValues(c *wire.RecordChange) (from, to string) {
	if c.Ranged() {
		unit := UnitOf(c.Field)
		return rangeWords(c.FromRange, unit), rangeWords(c.ToRange, unit)
	}
	if c.From == nil && c.To == nil {
		return "–", "not kept" // a name that nobody has any more, a test that was removed
	}
	return valueWords(c.Field, c.From), valueWords(c.Field, c.To)
}

// rangeWords writes a range, such as 83 to 88 cm in steps of 0.5 cm.
func rangeWords(r *wire.ChangedRange, unit string) string {
	if r == nil {
		return "–"
	}
	return Plain(r.Min) + " to " + Known(&r.Max, unit) + " in steps of " + Known(&r.Step, unit)
}

// valueWords writes a value of a field as the history keeps it.
func valueWords(field string, text *string) string {
	if text == nil {
		return "–"
	}
	v, ok := ParseNumber(*text)
	switch {
	case ok && field == "time_s":
		return wire.FormatTime(v)
	case ok && UnitOf(field) != "":
		return Known(&v, UnitOf(field))
	}
	return shownText(*text)
}
