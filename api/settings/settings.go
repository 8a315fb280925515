package seat

import (
	"fmt"
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

func ClassSettings(class rigging.Class) []string {
	var names []string
	for _, s := range class.Settings() {
		names = append(names, WireSetting(s))
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
		if name := WireSetting(s); slices.Contains(ClassSettings(knownClass(boatClass)), name) {
			rig[name] = Usual(boatClass, name)
		}
	}
	return rig
}

// Usual returns the value of a setting in [rigging.UsualSetup], in its unit. It
// panics on a class or a setting that is not known.
func Usual(boatClass, setting string) float64 {
	s, ok := SettingNamed(setting)
	if !ok {
		panic("seat: no setting " + setting)
	}
	usual := rigging.UsualSetup(knownClass(boatClass))
	return SettingUnit(s, usual.Value(s))
}

func knownClass(code string) rigging.Class {
	class, ok := rigging.ClassByCode(code)
	if !ok {
		panic("seat: no boat class " + code)
	}
	return class
}

// WireSetting is the setting's name with its unit.
func WireSetting(s rigging.Setting) string { return string(s) + wire.Units[s.Quantity()].Suffix }

// Setting returns the value of the setting with the name, nil when it is not
// known. It panics on a name that is no setting.
func (s *Seat) Setting(name string) *float64 { return *s.SettingField(name) }

func (s *Seat) SettingField(name string) **float64 {
	for _, v := range []struct {
		name  string
		value **float64
	}{
		{"span_cm", &s.SpanCm}, {"spread_cm", &s.SpreadCm}, {"inboard_cm", &s.InboardCm}, {"oar_length_cm", &s.OarLengthCm},
		{"heel_to_pin_cm", &s.HeelToPinCm}, {"heel_depth_cm", &s.HeelDepthCm}, {"plate_angle_deg", &s.PlateAngleDeg},
		{"gate_height_cm", &s.GateHeightCm}, {"gate_difference_cm", &s.GateDifferenceCm},
		{"blade_pitch_deg", &s.BladePitchDeg}, {"stern_pitch_deg", &s.SternPitchDeg}, {"outward_pitch_deg", &s.OutwardPitchDeg},
	} {
		if v.name == name {
			return v.value
		}
	}
	panic("api: no setting " + name)
}

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
		return bareNumber(by) + "°"
	}
	mm := 10 * by
	if math.Abs(mm) >= 10 {
		mm = math.Round(mm)
	}
	return bareNumber(mm) + " mm"
}

// bareNumber writes a size without its sign, with a digit after the point only
// where there is one.
func bareNumber(v float64) string {
	return strings.TrimPrefix(wire.Bare(wire.Round(v, 10), wire.Unit{Factor: 1, Digits: 1}), "−")
}
