package setup

import (
	"math"
	"slices"
	"strings"

	"thole/api/fleet"
	"thole/api/seat"
	"thole/api/settings"
	"thole/api/wire"
	"thole/rigging"
)

// sameValue is how near values that are the same lie after rounding, in a setting's
// unit; numerical: a tenth of the last digit that is shown.
const sameValue = 0.01

// lineText reports what is to be done about a setting, which may not be known as
// found: then it is to be measured and not moved, unless somebody has said where
// to. standsOn is the boat's value to start from in place of one that is not known,
// nil for the usual one. plateDeg is the angle of the plate, for a mark at the toe.
func lineText(class rigging.Class, boat *fleet.Boat, s rigging.Setting, found, standsOn *float64, target, plateDeg float64) LineText {
	t := LineText{Measure: found == nil, CountedIn: countedIn(boat, s)}
	usual := new(seat.Seat).Setup(class)
	switch {
	case found != nil:
		t.Text = settings.MoveText(class, s, target-*found)
		t.Moves = t.Text != "stays"
	case math.Abs(target-wire.Or(standsOn, settings.InUnit(s, usual.Value(s)))) < sameValue:
		t.Text = "not measured: measure it if you can"
	default:
		t.Text, t.Moves = "measure, and set it", true
	}
	if found != nil && t.Moves {
		if counted := countedText(boat, s, target-*found); counted != "" {
			t.Text += ": " + counted
		}
	}
	if s == rigging.SettingHeelToPin {
		t.Mark = ownMark(boat, found, target, plateDeg)
	}
	return t
}

// countedText says a move in what people count at the boat: washers, clams, inserts;
// "" where the boat has no such thing, or the move is less than half of one. by is in
// the setting's unit.
func countedText(boat *fleet.Boat, s rigging.Setting, by float64) string {
	step, ok := boat.Counts().StepOf(settings.Name(s))
	if !ok {
		return ""
	}
	return step.Text(by)
}

// countedIn is the word for what a setting is counted in at the boat, "" for none.
func countedIn(boat *fleet.Boat, s rigging.Setting) string {
	if mark := boat.Stretcher; s == rigging.SettingHeelToPin && mark != nil && mark.Mark == string(rigging.MarkHole) {
		return "hole"
	}
	step, _ := boat.Counts().StepOf(settings.Name(s))
	return step.One
}

// ownMark reads the boat's own mark; nil where it has none.
func ownMark(boat *fleet.Boat, found *float64, target, plateDeg float64) *OwnMark {
	mark, v, ok := boat.Mark(target, plateDeg)
	if !ok {
		return nil
	}
	m := &OwnMark{Mark: mark, Target: v}
	if found != nil {
		_, m.AsFound, _ = boat.Mark(*found, plateDeg)
	}
	return m
}

// saidAloud lists settings as people say them, without the units of their names.
func saidAloud(settings []string) string {
	words := make([]string, len(settings))
	for i, name := range settings {
		words[i] = strings.ReplaceAll(strings.TrimSuffix(strings.TrimSuffix(name, "_cm"), "_deg"), "_", " ")
	}
	return strings.Join(words, ", ")
}

// Tools by what is moved, in the order of the work; common practice.
var toolsFor = []struct {
	tool     string
	settings []rigging.Setting
}{
	{"steel tape", nil},
	{"straight-edge across the saxboards, and a spirit level", []rigging.Setting{rigging.SettingGateHeight, rigging.SettingGateDifference, rigging.SettingHeelDepth}},
	{"spanners for the rigger bolts and the pin, two of the pin's size", []rigging.Setting{rigging.SettingSpan, rigging.SettingSpread, rigging.SettingSternPitch, rigging.SettingOutwardPitch}},
	{"washers for the gates, or the key of their height adjusters", []rigging.Setting{rigging.SettingGateHeight, rigging.SettingGateDifference}},
	{"pitch gauge", []rigging.Setting{rigging.SettingSpan, rigging.SettingSpread, rigging.SettingGateHeight, rigging.SettingSternPitch, rigging.SettingOutwardPitch, rigging.SettingBladePitch}},
	{"pitch inserts", []rigging.Setting{rigging.SettingBladePitch}},
	{"screwdriver or key for the collars", []rigging.Setting{rigging.SettingInboard}},
	{"key for the handles", []rigging.Setting{rigging.SettingOarLength}},
	{"screwdriver for the shoes", []rigging.Setting{rigging.SettingHeelDepth}},
	{"angle gauge", []rigging.Setting{rigging.SettingPlateAngle}},
}

// tools lists what the work on the settings takes.
func tools(moved []string) []string {
	list := []string{}
	for _, t := range toolsFor {
		if t.settings == nil || slices.ContainsFunc(t.settings, func(s rigging.Setting) bool { return slices.Contains(moved, settings.Name(s)) }) {
			list = append(list, t.tool)
		}
	}
	return list
}

// recheck lists what to check again after the work; common practice, and the
// federations' rules on heel restraints and quick release.
func recheck(class rigging.Class) []string {
	list := []string{
		"every nut and bolt that was loosened is tight, by hand",
		"backstays are back in place and tight",
		"gates turn freely, shut and lock",
		"pitch read once more at every pin that was moved",
		"stretchers locked; all wing nuts tight",
		"heel restraints: each heel tied down by itself, at most 7 cm",
		"quick release: both feet come free without hands",
		"everything by hand once more at the landing stage",
	}
	if class.Coxed {
		list = append(list, "steering and the coxswain's seat clear of tools and parts")
	}
	return list
}
