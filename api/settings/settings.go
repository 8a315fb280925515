// Package settings says how the settings of a rig are told: their names with their units,
// what is usual in a class, from where to where they can be moved, a move in words, and
// moves counted in washers, clams and numbers of an insert. What a seat does with its
// settings is for api/seat, which values a boat has for api/fleet.
package settings

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"thole/api/wire"
	"thole/rigging"
)

// Adjustment says from where to where a setting can be moved, in the setting's
// unit.
type Adjustment struct {
	Min  float64 `json:"min" validate:"gte=-500,lte=500" description:"In the setting's unit."`
	Max  float64 `json:"max" validate:"gte=-500,lte=500" description:"In the setting's unit."`
	Step float64 `json:"step" validate:"gte=0,lte=20" description:"Counted from min, in the setting's unit."`
	Cost float64 `json:"cost" validate:"gte=0,lte=1000" description:"Of moving it at all, the stretcher’s being 1. Kept for older clients: no instruction weighs it."`
}

// CheckAdjustments converts what may be moved; nil stays nil.
func CheckAdjustments(p *wire.Problems, class rigging.Class, adjust map[string]Adjustment) map[rigging.Setting]rigging.Adjustment {
	if adjust == nil {
		return nil
	}
	list := map[rigging.Setting]rigging.Adjustment{}
	if len(adjust) == 0 {
		p.Add(wire.At("adjust").Problem("Say at least one setting that may be moved, or leave it out."))
	}
	for _, name := range slices.Sorted(maps.Keys(adjust)) {
		s, ok := Named(name)
		if !ok {
			p.Add(wire.At("adjust").Name(name).Problem("There is no such setting. A " + class.Code + " has " + strings.Join(Of(class), ", ") + "."))
			continue
		}
		a, u := adjust[name], wire.Units[s.Quantity()].Factor
		list[s] = rigging.Adjustment{Min: a.Min / u, Max: a.Max / u, Step: a.Step / u}
	}
	return list
}

// Of lists the names of the settings of a class.
func Of(class rigging.Class) []string {
	var names []string
	for _, s := range class.Settings() {
		names = append(names, Name(s))
	}
	return names
}

// startSettings are the settings that no seat can be solved without.
var startSettings = []rigging.Setting{
	rigging.SettingSpan, rigging.SettingSpread, rigging.SettingInboard, rigging.SettingOarLength, rigging.SettingHeelToPin,
}

// StartRig returns what a form or a drawing starts from, in the settings' units and
// by their names: the settings without a default of [rigging.UsualSetup]. It panics
// on a class that is not known.
func StartRig(boatClass string) map[string]float64 {
	rig := map[string]float64{}
	for _, s := range startSettings {
		if name := Name(s); slices.Contains(Of(knownClass(boatClass)), name) {
			rig[name] = Usual(boatClass, name)
		}
	}
	return rig
}

// Usual returns the value of a setting in [rigging.UsualSetup], in its unit. It
// panics on a class or a setting that is not known.
func Usual(boatClass, setting string) float64 {
	s, ok := Named(setting)
	if !ok {
		panic("settings: no setting " + setting)
	}
	usual := rigging.UsualSetup(knownClass(boatClass))
	return InUnit(s, usual.Value(s))
}

func knownClass(code string) rigging.Class {
	class, ok := rigging.ClassByCode(code)
	if !ok {
		panic("settings: no boat class " + code)
	}
	return class
}

// Named finds the setting with a name of the wire.
func Named(name string) (rigging.Setting, bool) {
	for _, class := range rigging.Classes() {
		for _, s := range class.Settings() {
			if Name(s) == name {
				return s, true
			}
		}
	}
	return "", false
}

// InUnit converts a setting's value to its unit, rounded.
func InUnit(s rigging.Setting, v float64) float64 {
	if s.Quantity() == rigging.Plane {
		return wire.ToDeg(rigging.Angle(v))
	}
	return wire.ToCm(v)
}

// Name is the setting's name with its unit.
func Name(s rigging.Setting) string { return string(s) + wire.Units[s.Quantity()].Suffix }

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
	rigging.SettingPlateAngle:     {"stretcher angle %s steeper", "stretcher angle %s flatter"},
	rigging.SettingHeelDepth:      {"heels down %s", "heels up %s"},
	rigging.SettingHeelToPin:      {"stretcher %s to the stern", "stretcher %s to the bow"},
}

// MoveText reports in words what to move, which way and by how much; by is in the
// setting's unit. What does not move stays.
func MoveText(class rigging.Class, s rigging.Setting, by float64) string {
	by = wire.Round(by, 100)
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

// moveAmount writes how far something moves: lengths in mm, from a centimetre
// on in whole ones.
func moveAmount(s rigging.Setting, by float64) string {
	if s.Quantity() == rigging.Plane {
		return wire.Size(by) + "°"
	}
	mm := 10 * by
	if math.Abs(mm) >= 10 {
		mm = math.Round(mm)
	}
	return wire.Size(mm) + " mm"
}
