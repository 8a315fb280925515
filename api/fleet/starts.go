package fleet

import (
	"maps"
	"slices"

	"thole/api/seat"
	"thole/api/settings"
	"thole/api/wire"
	"thole/rigging"
)

// Values to start from stand in where nobody has measured, so that a set-up can be
// calculated. They are no part of the rig: no instruction moves from them.

// Standing is the seat as found, with the values to start from where nothing was
// measured.
func (s *BoatSeat) Standing() seat.Seat {
	stands := s.Seat
	for name, v := range s.Starts {
		if field := stands.SettingField(name); *field == nil {
			*field = &v
		}
	}
	return stands
}

// Lacking lists the settings that are needed, not measured, and without a value to
// start from.
func (s *BoatSeat) Lacking() []string {
	return slices.DeleteFunc(slices.Clone(s.Missing), func(name string) bool { _, ok := s.Starts[name]; return ok })
}

// checkStarts complains about values that a seat of the class cannot have.
func checkStarts(p *wire.Problems, at wire.Place, class rigging.Class, starts map[string]float64) {
	known := settings.Of(class)
	for _, name := range slices.Sorted(maps.Keys(starts)) {
		if !slices.Contains(known, name) {
			p.Add(at.Name(name).Problem("A " + class.Code + " has no such setting."))
			continue
		}
		alone := seat.Seat{Side: "port"}
		v := starts[name]
		*alone.SettingField(name) = &v
		if fault, bad := RigFaults(class, &alone)[name]; bad {
			p.Add(at.Name(name).Problem(fault))
		}
	}
}

// UsualStarts are the values of [rigging.UsualSetup] for the class, by setting: a rig
// within the published ranges, to start from.
func UsualStarts(classCode string) map[string]float64 {
	class, ok := rigging.ClassByCode(classCode)
	if !ok {
		return nil
	}
	starts := map[string]float64{}
	for _, name := range settings.Of(class) {
		starts[name] = settings.Usual(classCode, name)
	}
	return starts
}

// StartsOf are the values of another boat's seat, as measured or to start from.
func StartsOf(b *Boat, number int) map[string]float64 {
	starts := map[string]float64{}
	stands := b.Seats[number-1].Standing()
	for _, name := range b.Settings() {
		if v := stands.Setting(name); v != nil {
			starts[name] = *v
		}
	}
	return starts
}

// UsualRange is the range that is usual for a setting of the class, in its unit, as
// [rigging.Ranges] has it with its source; ok is false where nothing is unusual.
func UsualRange(classCode, setting string) (low, high float64, ok bool) {
	class, known := rigging.ClassByCode(classCode)
	name, isSetting := settings.Named(setting)
	if !known || !isSetting {
		return 0, 0, false
	}
	r, ok := rigging.UsualRange(class, name)
	u := wire.Units[name.Quantity()].Factor
	return wire.Round(r.UsualLow*u, 10), wire.Round(r.UsualHigh*u, 10), ok
}
