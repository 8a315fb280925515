package rigging

import (
	"maps"
	"math"
	"slices"
	"strings"
)

// Adjustment says how far one setting may be moved. Min, Max and Step are m or
// rad; the steps are counted from Min. Cost is what it takes to move the
// setting at all, however far: see [Case.Fit].
type Adjustment struct{ Min, Max, Step, Cost float64 }

// fitted lists the settings that a fit may move, in the order of preference
// when costs are equal: stretcher, gate height, heel depth, plate, pins and
// collars, oar length. The pitch and the gates' difference have next to no part
// in what a fit aims at.
var fitted = [...]Setting{
	SettingHeelToPin, SettingGateHeight, SettingHeelDepth, SettingPlateAngle,
	SettingSpan, SettingSpread, SettingInboard, SettingOarLength,
}

// Default adjustments. The order of the costs is common practice: the stretcher
// first, then gate and heel heights, then span and inboard together, above all
// in singles and for small people, and oars last; their sizes are engineering
// judgement. The ranges are those of common boats and oars (see
// Setup.plausibles), the steps what riggers, collars and stretchers commonly
// allow.
var (
	commonAdjustments = map[Setting]Adjustment{
		SettingHeelToPin:  {0.10, 0.45, 0.005, 1},
		SettingGateHeight: {0.13, 0.20, 0.005, 2},
		SettingHeelDepth:  {0.12, 0.22, 0.01, 3},
	}
	scullAdjustments = map[Setting]Adjustment{
		SettingSpan:      {1.54, 1.62, 0.005, 6},
		SettingInboard:   {0.84, 0.92, 0.005, 4},
		SettingOarLength: {2.76, 2.94, 0.01, 8},
	}
	sweepAdjustments = map[Setting]Adjustment{
		SettingSpread:    {0.82, 0.89, 0.005, 6},
		SettingInboard:   {1.10, 1.20, 0.005, 4},
		SettingOarLength: {3.62, 3.82, 0.01, 8},
	}
)

// singleSpanCost is the cost of the span of a single, where it is moved more
// readily than in crew boats.
const singleSpanCost = 4

// DefaultAdjustments returns the settings that are commonly moved in a boat of
// class, with their ranges, steps and costs.
func DefaultAdjustments(class Class) map[Setting]Adjustment {
	list := maps.Clone(commonAdjustments)
	if !class.Scull {
		maps.Copy(list, sweepAdjustments)
		return list
	}
	maps.Copy(list, scullAdjustments)
	if class.Rowers == 1 {
		span := list[SettingSpan]
		span.Cost = singleSpanCost
		list[SettingSpan] = span
	}
	return list
}

// Adjustments returns the default adjustments of the seat's class, each range
// widened by whole steps to hold the setting as found.
func (s *Setup) Adjustments() map[Setting]Adjustment {
	list := DefaultAdjustments(s.Class)
	for name, a := range list {
		found := s.Value(name)
		a.Min -= a.Step * math.Ceil(max(0, a.Min-found)/a.Step-1e-9)
		a.Max += a.Step * math.Ceil(max(0, found-a.Max)/a.Step-1e-9)
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

// holds tells whether v lies in the range.
func (a *Adjustment) holds(v float64) bool { return v >= a.Min-1e-9 && v <= a.Max+1e-9 }

// largestCost bounds the cost of an adjustment.
const largestCost = 1000

// checkAdjustments returns the problems of the adjustments, in the order of the
// settings and then of the names that cannot be adjusted.
func checkAdjustments(setup *Setup, adjust map[Setting]Adjustment) FieldErrors {
	if len(adjust) == 0 {
		return FieldErrors{{Field: "adjust", Problem: ProblemMissing, Detail: "say at least one setting that may be moved"}}
	}
	var errs FieldErrors
	for _, name := range fitted {
		if a, ok := adjust[name]; ok && setup.Class.has(name) {
			errs = append(errs, a.check(name, setup.possible(name))...)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(adjust)) {
		if e := adjustable(setup.Class, name); e != nil {
			errs = append(errs, e)
		}
	}
	return errs
}

// adjustable returns why a fit cannot move the setting, or nil.
func adjustable(class Class, name Setting) *FieldError {
	field := "adjust." + string(name)
	switch {
	case !isSetting(name):
		return &FieldError{Field: field, Problem: ProblemUnknown, Detail: "there is no such setting"}
	case !class.has(name) && class.Scull:
		return &FieldError{Field: field, Problem: ProblemMismatch, Quantity: name.Quantity(), Detail: "a sculling boat has no such setting: it has a span, pin to pin"}
	case !class.has(name):
		return &FieldError{Field: field, Problem: ProblemMismatch, Quantity: name.Quantity(), Detail: "a sweep boat has no such setting: it has a spread, centreline to pin"}
	case !slices.Contains(fitted[:], name):
		return &FieldError{Field: field, Problem: ProblemMismatch, Quantity: name.Quantity(), Detail: "this setting has no part in what a fit aims at: set it by itself"}
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

// possible returns the plausible range of a setting.
func (s *Setup) possible(name Setting) plausible {
	list := s.plausibles()
	i := slices.IndexFunc(list, func(p plausible) bool { return strings.TrimPrefix(p.field, "seat.") == string(name) })
	return list[i]
}

func (a *Adjustment) check(name Setting, p plausible) FieldErrors {
	field := "adjust." + string(name)
	least, most := deg(0.01), deg(15)
	if p.quantity == Length {
		least, most = 0.0001, 0.20
	}
	errs := checkAll([]plausible{
		{field: field + ".min", quantity: p.quantity, low: p.low, high: p.high, value: a.Min},
		{field: field + ".max", quantity: p.quantity, low: p.low, high: p.high, value: a.Max},
		{field: field + ".step", quantity: p.quantity, low: least, high: most, value: a.Step},
		{field: field + ".cost", high: largestCost, value: a.Cost},
	})
	if len(errs) == 0 && a.Min > a.Max {
		errs = FieldErrors{{Field: field + ".min", Problem: ProblemMismatch, Quantity: p.quantity, Detail: "the least lies above the most: swap them"}}
	}
	return errs
}
