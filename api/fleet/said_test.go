package fleet

import (
	"errors"
	"testing"

	"thole/api/seat"
	"thole/api/store"
	"thole/api/wire"
)

// TestAStretcherIsSaidAsItIsRead: hole 7 of a plate whose hole 0 is 30 cm from the pins, with
// 2 cm from hole to hole, is 44 cm; a heel mark that reads 10 cm with the heel at the pins
// reads 54 there. At the heel itself there is nothing to say.
func TestAStretcherIsSaidAsItIsRead(t *testing.T) {
	v := func(v float64) *float64 { return &v }
	holes := seat.Stretcher{Mark: "hole", OffsetCm: v(30), HolePitchCm: v(2)}
	for name, c := range map[string]struct {
		stretcher     *seat.Stretcher
		number        int
		said, reading string
	}{
		"holes": {&holes, 1, "hole 7 (44 cm)", "7"}, "the last seat": {&holes, 2, "hole 7 (44 cm)", "7"},
		"a seat that is not there": {&holes, 0, "", ""}, "one too many": {&holes, 3, "", ""},
		"no mark": {nil, 1, "", ""}, "the heel": {&seat.Stretcher{Mark: "heel"}, 1, "", ""},
		"a heel mark": {&seat.Stretcher{Mark: "heel", OffsetCm: v(10)}, 1, "heel mark 54 cm (44 cm)", "54"},
	} {
		b := Boat{BoatFields: BoatFields{Stretcher: c.stretcher}, Seats: make([]BoatSeat, 2)}
		if said, reading := b.AtMark(c.number, 44); said != c.said || reading != c.reading {
			t.Errorf("%s: %q %q, want %q %q", name, said, reading, c.said, c.reading)
		}
	}
	b := Boat{BoatFields: BoatFields{Stretcher: &holes, WasherMm: v(4)}, Seats: make([]BoatSeat, 2)}
	b.Seats[1].Seat.GateHeightCm = v(16)
	for _, c := range []struct {
		setting, text string
		want          float64
	}{{"heel_to_pin_cm", "hole 7", 44}, {"heel_to_pin_cm", "43.5", 43.5}, {"gate_height_cm", "+2 washers", 16.8}, {"gate_height_cm", "17", 17}} {
		if got, complaint := b.ReadAt(2, c.setting, c.text); got != c.want || complaint != "" {
			t.Errorf("%s: %g %s, want %g", c.text, got, complaint, c.want)
		}
	}
	for _, c := range []struct{ setting, text string }{{"spread_cm", "hole 7"}, {"inboard_cm", "+2 washers"}} {
		if got, complaint := b.ReadAt(2, c.setting, c.text); complaint == "" {
			t.Errorf("%s is %s of %g", c.setting, c.text, got)
		}
	}
}

// TestExamplesOfWhatIsSaidAtTheBoat are of what it is counted in.
func TestExamplesOfWhatIsSaidAtTheBoat(t *testing.T) {
	v := func(v float64) *float64 { return &v }
	counted := BoatFields{WasherMm: v(4), ClamMm: v(6), InsertDeg: v(1), Stretcher: &seat.Stretcher{Mark: "hole"}}
	for _, c := range []struct {
		f             BoatFields
		setting, want string
	}{
		{counted, "heel_to_pin_cm", "hole 7"}, {counted, "gate_height_cm", "+2 washers"}, {counted, "inboard_cm", "+2 clams"}, {counted, "blade_pitch_deg", "+1 insert"}, {counted, "spread_cm", ""},
		{BoatFields{}, "heel_to_pin_cm", ""}, {BoatFields{}, "gate_height_cm", ""}, {BoatFields{Stretcher: &seat.Stretcher{Mark: "toe"}}, "heel_to_pin_cm", ""},
	} {
		if got := c.f.SaidLike(c.setting); got != c.want {
			t.Errorf("%s: %q, want %q", c.setting, got, c.want)
		}
	}
}

// TestAWholeBoatIsPlanned: one on record stays of its kind, and only what was measured of its
// rig is set.
func TestAWholeBoatIsPlanned(t *testing.T) {
	v := func(v float64) *float64 { return &v }
	seats := func(n int, sides bool) (list []SeatFields) {
		for i := range n {
			s := SeatFields{Number: i + 1}
			if sides {
				s.Side = []string{"starboard", "port"}[i%2]
			}
			list = append(list, s)
		}
		return list
	}
	write := func(class string, n int, sides bool, rig ...RigSetting) *BoatWrite {
		return &BoatWrite{BoatFields: BoatFields{Name: "Owl", BoatClass: class}, Seats: seats(n, sides), Rig: rig}
	}
	pair := write("2-", 2, true, RigSetting{Seat: 1, Setting: "spread_cm", Value: v(86)})
	made, err := PlanBoat(nil, pair)
	if err != nil || len(made.Boat.Seats) != 2 || made.Boat.Seats[0].Rig.SpreadCm == nil || *made.Boat.Seats[0].Rig.SpreadCm != 86 || made.Boat.Seats[1].Rig.SpreadCm != nil || made.Rig != nil {
		t.Fatalf("a new one: %+v %v", made, err)
	}
	old := Planned(nil, pair, &made)
	old.ID, old.Version = 7, 3
	for class, c := range map[string]struct {
		w    *BoatWrite
		want string
	}{
		"2-": {write("2-", 2, true), ""}, "2+": {write("2+", 2, true), ""}, "4-": {write("4-", 4, true), "boat_class"}, "2x": {write("2x", 2, false), "boat_class"}, "9x": {write("9x", 2, false), "boat_class"},
	} {
		plan, err := PlanBoat(&old, c.w)
		var bad *wire.Invalid
		if errors.As(err, &bad) != (c.want != "") || bad != nil && bad.Fields[0].Field != c.want {
			t.Errorf("as a %s: %v, want a complaint at %q", class, err, c.want)
		}
		if c.want == "" && (plan.Boat.ID != 7 || plan.Boat.Version != 3) {
			t.Errorf("as a %s: %+v", class, plan.Boat)
		}
	}
	again, err := PlanBoat(&old, write("2-", 2, true, RigSetting{Seat: 2, Setting: "spread_cm", Value: v(85)}))
	if err != nil || len(again.Rig) != 1 || again.Rig[0] != (store.RigSetting{Seat: 2, Setting: "spread_cm", Value: 85}) {
		t.Errorf("%+v %v", again.Rig, err)
	}
	if plan, err := PlanBoat(&old, write("2-", 2, true, RigSetting{Seat: 1, Setting: "spread_cm"})); err == nil || plan.Rig != nil {
		t.Errorf("a setting without a value: %+v %v", plan.Rig, err)
	}
	after := Planned(&old, write("2-", 2, true), &again)
	if a, b := after.Seats[0].Seat.SpreadCm, after.Seats[1].Seat.SpreadCm; a == nil || *a != 86 || b == nil || *b != 85 {
		t.Errorf("%v and %v", a, b)
	}
}
