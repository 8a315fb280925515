package fleet

import (
	"strconv"

	"thole/api/settings"
	"thole/api/wire"
	"thole/rigging"
)

// Counts are what people count when they set the boat.
func (f *BoatFields) Counts() settings.Counts {
	return settings.Counts{WasherMm: f.WasherMm, ClamMm: f.ClamMm, InsertDeg: f.InsertDeg}
}

// Said is how a setting was said at the boat: as a measure, as a count of washers, clams
// or insert numbers from where it stands, or as the stretcher's own hole or mark.
type Said struct {
	Setting, Text string
	From          *float64 // where it stands; nil where that is not known
	Way           float64  // which way it is being moved, 0 where that is not known
	PlateDeg      float64  // of the seat's plate
}

// Read turns what was said into the setting's unit. The complaint is "" for what can be
// used.
func (f *BoatFields) Read(s Said) (v float64, complaint string) {
	if v, complaint, said := f.Counts().Read(s.Setting, s.Text, s.From, s.Way); said {
		return v, complaint
	}
	if s.Setting == settings.Name(rigging.SettingHeelToPin) {
		if v, complaint, said := f.Stretcher.ReadMark(s.Text, s.PlateDeg); said {
			return v, complaint
		}
	}
	return wire.ReadNumber(s.Text)
}

// ReadAt reads a setting of a seat as it stands on record; see [BoatFields.Read].
func (b *Boat) ReadAt(number int, setting, text string) (v float64, complaint string) {
	found := &b.Seats[number-1]
	stands := found.Standing()
	return b.Read(Said{Setting: setting, Text: text, From: found.Seat.Setting(setting), PlateDeg: stands.PlateDeg()})
}

// SaidLike is an example of how a setting can be said at the boat besides its measure,
// such as +2 washers; "" where it cannot.
func (f *BoatFields) SaidLike(setting string) string {
	if setting == settings.Name(rigging.SettingHeelToPin) && f.Stretcher != nil && f.Stretcher.Mark == string(rigging.MarkHole) {
		return "hole 7"
	}
	step, ok := f.Counts().StepOf(setting)
	switch {
	case !ok:
		return ""
	case step.One == "number":
		return "+1 insert"
	}
	return "+2 " + step.Many
}

// AtMark reports where a seat's stretcher stands as the boat is read, such as hole 4 (45 cm),
// and the mark's reading alone; both are "" for a boat that is read at the heel from the
// line of the pins.
func (b *Boat) AtMark(number int, heelToPinCm float64) (said, reading string) {
	if number < 1 || number > len(b.Seats) {
		return "", ""
	}
	stands := b.Seats[number-1].Standing()
	mark, _, ok := b.Mark(heelToPinCm, stands.PlateDeg())
	if !ok {
		return "", ""
	}
	reading = strconv.FormatFloat(b.Stretcher.MarkAt(heelToPinCm, stands.PlateDeg()), 'f', -1, 64)
	if mark == string(rigging.MarkHole) {
		return "hole " + reading + " (" + inCm(heelToPinCm) + ")", reading
	}
	return mark + " mark " + reading + " cm (" + inCm(heelToPinCm) + ")", reading
}
