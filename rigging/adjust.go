package rigging

import (
	"maps"
	"math"
	"slices"
)

// Adjustment says how far one setting may be moved, in m or rad; the steps are
// counted from Min.
type Adjustment struct{ Min, Max, Step float64 }

// adjusted lists the settings that may be moved, the easiest first: stretcher, gate height, heel depth, plate, pins and
// collars, oar length. The pitch and the gates' difference have next to no part
// in the arc.
var adjusted = [...]Setting{
	SettingHeelToPin, SettingGateHeight, SettingHeelDepth, SettingPlateAngle,
	SettingSpan, SettingSpread, SettingInboard, SettingOarLength,
}

// The default adjustments: least, most and step, m. Steps of half a centimetre,
// a whole one of heels and oars, are what riggers, collars and stretchers have:
// common practice. The ends lie within the usual ranges of [Ranges], whose sources
// they share; where they stop short of those, engineering judgement: what most
// boats allow.
var (
	commonAdjustments = map[Setting]Adjustment{
		SettingHeelToPin:  {0.10, 0.45, 0.005},
		SettingGateHeight: {0.13, 0.20, 0.005},
		SettingHeelDepth:  {0.12, 0.22, 0.01},
	}
	scullAdjustments = map[Setting]Adjustment{
		SettingSpan:      {1.54, 1.62, 0.005},
		SettingInboard:   {0.84, 0.92, 0.005},
		SettingOarLength: {2.76, 2.94, 0.01},
	}
	sweepAdjustments = map[Setting]Adjustment{
		SettingSpread:    {0.82, 0.89, 0.005},
		SettingInboard:   {1.10, 1.20, 0.005},
		SettingOarLength: {3.62, 3.82, 0.01},
	}
)

// DefaultAdjustments returns the settings that are commonly moved in a boat of
// class, with their ranges and steps.
func DefaultAdjustments(class Class) map[Setting]Adjustment {
	list := maps.Clone(commonAdjustments)
	if class.Scull {
		maps.Copy(list, scullAdjustments)
	} else {
		maps.Copy(list, sweepAdjustments)
	}
	return list
}

// Adjustments returns the default adjustments of the seat's class, each range
// widened by whole steps to hold the setting as found.
func (s *Setup) Adjustments() map[Setting]Adjustment {
	list := DefaultAdjustments(s.Class)
	for name, a := range list {
		found := s.Value(name)
		a.Min -= a.Step * math.Ceil(max(0, a.Min-found)/a.Step-rounding)
		a.Max += a.Step * math.Ceil(max(0, found-a.Max)/a.Step-rounding)
		list[name] = a
	}
	return list
}

// count returns the number of steps' ends in the range.
func (a *Adjustment) count() int { return 1 + int((a.Max-a.Min)/a.Step+1e-6) }

// at returns the value k steps above Min.
func (a *Adjustment) at(k int) float64 { return a.Min + float64(k)*a.Step }

// nearest returns the index of the step nearest to v.
func (a *Adjustment) nearest(v float64) int {
	return a.clamp(math.Round((v - a.Min) / a.Step))
}

// clamp returns the index of a step of the range nearest to k.
func (a *Adjustment) clamp(k float64) int { return int(min(max(k, 0), float64(a.count()-1))) }

// checkAdjustments returns the problems of the adjustments, in the order of the
// settings and then of the names that cannot be adjusted.
func checkAdjustments(setup *Setup, adjust map[Setting]Adjustment) FieldErrors {
	if len(adjust) == 0 {
		return FieldErrors{problemAt(PlaceOf(FieldAdjust), ProblemMissing, Count, "say at least one setting that may be moved")}
	}
	var errs FieldErrors
	for _, name := range adjusted {
		if a, ok := adjust[name]; ok && setup.Class.has(name) {
			errs = append(errs, a.check(name, rangeOf(inSeat.Then(Field(name)).Key(), setup.Class))...)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(adjust)) {
		if e := adjustable(setup.Class, name); e != nil {
			errs = append(errs, e)
		}
	}
	return errs
}

// adjustable returns why the setting cannot be moved, or nil.
func adjustable(class Class, name Setting) *FieldError {
	place := PlaceOf(FieldAdjust, Field(name))
	switch {
	case !isSetting(name):
		return problemAt(place, ProblemUnknown, Count, "there is no such setting")
	case !class.has(name) && class.Scull:
		return problemAt(place, ProblemMismatch, name.Quantity(), "a sculling boat has no such setting: it has a span, pin to pin")
	case !class.has(name):
		return problemAt(place, ProblemMismatch, name.Quantity(), "a sweep boat has no such setting: it has a spread, centreline to pin")
	case !slices.Contains(adjusted[:], name):
		return problemAt(place, ProblemMismatch, name.Quantity(), "this setting has next to no part in the arc: set it by itself")
	}
	return nil
}

func isSetting(name Setting) bool {
	for _, s := range settings {
		if s.name == name {
			return true
		}
	}
	return false
}

// The steps that a setting can have, in m and rad; engineering judgement: from a
// tenth of a millimetre and a hundredth of a degree, below which nobody reads, to
// 20 cm and 15°, beyond which a range has no second step.
const (
	leastLengthStep, mostLengthStep = 0.0001, 0.20
	leastAngleStep, mostAngleStep   = 0.01 * Degree, 15 * Degree
)

// check returns the problems of the adjustment of a setting with the range r.
func (a *Adjustment) check(name Setting, r *Range) FieldErrors {
	place := PlaceOf(FieldAdjust, Field(name))
	least, most := float64(leastAngleStep), float64(mostAngleStep)
	if r.Quantity == Length {
		least, most = leastLengthStep, mostLengthStep
	}
	errs := checkAll([]plausible{
		{place: place.Then(FieldMin), quantity: r.Quantity, low: r.Low, high: r.High, value: a.Min},
		{place: place.Then(FieldMax), quantity: r.Quantity, low: r.Low, high: r.High, value: a.Max},
		{place: place.Then(FieldStep), quantity: r.Quantity, low: least, high: most, value: a.Step},
	})
	if len(errs) == 0 && a.Min > a.Max {
		errs = FieldErrors{problemAt(place.Then(FieldMin), ProblemMismatch, r.Quantity, "the least lies above the most: swap them")}
	}
	return errs
}
