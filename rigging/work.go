package rigging

import (
	"cmp"
	"math"
	"slices"
)

// Change is one setting to be moved, m or rad.
type Change struct {
	Setting  Setting
	From, To float64
}

// Changes lists what has to be moved to make one rig of a seat into another of
// the same class, in the order of the work: see [WorkOrder].
func Changes(from, to *Setup) []Change {
	var list []Change
	for _, s := range from.Class.Settings() {
		if a, b := from.Value(s), to.Value(s); differ(a, b) {
			list = append(list, Change{s, a, b})
		}
	}
	return WorkOrder(list)
}

// differ reports whether two values of a setting are more than rounding apart, m
// or rad.
func differ(a, b float64) bool { return math.Abs(a-b) > 1e-9 }

// workOrder lists the settings in the order in which moving one leaves the
// readings of those before it alone; common practice, with these reasons.
//
//   - Span or spread first: the line of work is where every later measure
//     starts, the overlap belongs to it, and moving a pin tilts rigger and gate.
//   - Then the gates' heights, since washers and backstays that change a height
//     change the pin's lean; then the pin's lean outwards and sternwards, and
//     the insert last of these, since the pitch is read on the finished pin.
//   - Then the oars, to the span that stands: length before inboard, since a
//     handle that is drawn out lengthens the inboard too.
//   - The stretcher last, read from the pins: its angle before its depth before
//     its place, since each of them moves the heel along the next.
var workOrder = []Setting{
	SettingSpan, SettingSpread,
	SettingGateHeight, SettingGateDifference,
	SettingOutwardPitch, SettingSternPitch, SettingBladePitch,
	SettingOarLength, SettingInboard,
	SettingPlateAngle, SettingHeelDepth, SettingHeelToPin,
}

// WorkOrder returns the changes in an order of work that does not undo itself:
// span or spread, heights, pitch, oar length, inboard, stretcher.
func WorkOrder(list []Change) []Change {
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b Change) int {
		return cmp.Compare(slices.Index(workOrder, a.Setting), slices.Index(workOrder, b.Setting))
	})
	return list
}

// Tolerance returns how near to its value a setting should be set and left, m
// or rad: pins, collars and gates to 2 mm, oars and the stretcher to 5 mm, the
// plate to a degree and pitches to half a degree. Common practice for the
// lengths of pins and oars, engineering judgement for the rest. It panics on a
// name that is not a setting.
func (s Setting) Tolerance() float64 {
	switch s {
	case SettingSpan, SettingSpread, SettingInboard, SettingGateHeight, SettingGateDifference:
		return 0.002
	case SettingPlateAngle:
		return deg(1)
	}
	if s.Quantity() == Plane {
		return deg(0.5)
	}
	return 0.005
}
