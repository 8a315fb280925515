package api

import (
	"fmt"
	"slices"
	"strings"

	"thole/rigging"
)

// moveWords says for each setting what moves when its value rises and falls.
// The words are those used at the boat; common practice.
var moveWords = map[rigging.Setting]struct{ more, less string }{
	rigging.SettingSpan:           {"each pin outwards %s", "each pin inwards %s"},
	rigging.SettingSpread:         {"pin outwards %s", "pin inwards %s"},
	rigging.SettingGateHeight:     {"gate up %s", "gate down %s"},
	rigging.SettingGateDifference: {"starboard gate up %s", "starboard gate down %s"},
	rigging.SettingOutwardPitch:   {"pin out at the top %s", "pin in at the top %s"},
	rigging.SettingSternPitch:     {"pin to the stern at the top %s", "pin to the bow at the top %s"},
	rigging.SettingBladePitch:     {"pitch insert %s more", "pitch insert %s less"},
	rigging.SettingOarLength:      {"oar %s longer", "oar %s shorter"},
	rigging.SettingInboard:        {"collar %s towards the blade", "collar %s towards the handle"},
	rigging.SettingPlateAngle:     {"foot plate %s steeper", "foot plate %s flatter"},
	rigging.SettingHeelDepth:      {"heels down %s", "heels up %s"},
	rigging.SettingHeelToPin:      {"stretcher %s to the stern", "stretcher %s to the bow"},
}

// moveText says in words what to move, which way and by how much; by is in the
// setting's unit. What does not move stays.
func moveText(class rigging.Class, s rigging.Setting, by float64) string {
	by = round(by, 100)
	if by == 0 {
		return "stays"
	}
	words := moveWords[s].more
	if by < 0 {
		words = moveWords[s].less
	}
	switch {
	case s == rigging.SettingSpan:
		by /= 2
	case s == rigging.SettingGateHeight && class.Scull:
		words = "both " + strings.Replace(words, "gate", "gates", 1)
	}
	return fmt.Sprintf(words, moveAmount(s, by))
}

// workText is moveText for a setting that may not be known as found; moves
// tells whether there is something to do.
func workText(class rigging.Class, s rigging.Setting, found *float64, target float64) (text string, moves bool) {
	if found == nil {
		return "measure, and set it", true
	}
	text = moveText(class, s, target-*found)
	return text, text != "stays"
}

// moveAmount writes how far something moves: lengths in mm.
func moveAmount(s rigging.Setting, by float64) string {
	if s.Quantity() == rigging.Plane {
		return bareNumber(by) + "°"
	}
	return bareNumber(10*by) + " mm"
}

// saidAloud lists settings as people say them, without the units of their names.
func saidAloud(settings []string) string {
	words := make([]string, len(settings))
	for i, name := range settings {
		words[i] = strings.ReplaceAll(strings.TrimSuffix(strings.TrimSuffix(name, "_cm"), "_deg"), "_", " ")
	}
	return strings.Join(words, ", ")
}

// bareNumber writes a size without its sign, with a digit after the point only
// where there is one.
func bareNumber(v float64) string {
	return strings.TrimPrefix(bare(round(v, 10), unit{factor: 1, digits: 1}), "−")
}

// Tools by what is moved, in the order of the work; common practice.
var toolsFor = []struct {
	tool     string
	settings []rigging.Setting
}{
	{"steel tape, marked in mm", nil},
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
		if t.settings == nil || slices.ContainsFunc(t.settings, func(s rigging.Setting) bool { return slices.Contains(moved, wireSetting(s)) }) {
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
