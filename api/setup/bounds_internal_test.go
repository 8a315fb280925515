package setup

import (
	"math"
	"testing"
	"time"

	"thole/api/fleet"
	"thole/api/seat"
	"thole/api/settings"
	"thole/api/store"
	"thole/rigging"
)

// TestAChangeComesAfterASheetByTheOrderOfTheHistory, since a clock can be set; by the moment
// only where the sheet changed nothing. The history begins with the newest.
func TestAChangeComesAfterASheetByTheOrderOfTheHistory(t *testing.T) {
	sheet, noon := int64(7), time.Date(2026, 5, 1, 12, 0, 0, 0, time.UTC)
	change := func(id int64, minutes int, of *int64) store.RigChange {
		return store.RigChange{ID: id, At: noon.Add(time.Duration(minutes) * time.Minute), SheetID: of}
	}
	w := &LastSetup{SheetID: sheet, DoneAt: &noon}
	newest := []store.RigChange{change(12, -60, &sheet), change(11, 30, nil)}
	between := []store.RigChange{change(13, -90, nil), change(12, 0, &sheet), change(11, 30, nil)}
	for name, c := range map[string]struct {
		change  store.RigChange
		history []store.RigChange
		want    bool
	}{
		"after by order, clock set back":    {between[0], between, true},
		"before by order, clock ahead":      {between[2], between, false},
		"the sheet's own":                   {between[1], between, false},
		"before the sheet that came last":   {newest[1], newest, false},
		"the sheet changed nothing, later":  {change(13, 1, nil), []store.RigChange{change(13, 1, nil)}, true},
		"the sheet changed nothing, at it":  {change(13, 0, nil), []store.RigChange{change(13, 0, nil)}, false},
		"the sheet changed nothing, sooner": {change(13, -1, nil), []store.RigChange{change(13, -1, nil)}, false},
	} {
		if got := changedAfter(&c.change, c.history, w); got != c.want {
			t.Errorf("%s: %t", name, got)
		}
	}
}

// TestAStretcherGoesByItsHoles: with holes 2 cm apart, the first at 1 cm, the heel can stand
// at 11 cm at the least where the range begins at 10, and at 11 where it begins there.
func TestAStretcherGoesByItsHoles(t *testing.T) {
	for least, want := range map[float64]float64{10: 11, 11: 11, 11.5: 13} {
		offset, pitch := 1.0, 2.0
		class, _ := rigging.ClassByCode("1x")
		p := &plan{class: class, places: []crewMember{{CrewPlace: CrewPlace{Seat: 1}}}}
		p.boat.Stretcher = &seat.Stretcher{Mark: string(rigging.MarkHole), OffsetCm: &offset, HolePitchCm: &pitch}
		p.boat.Seats = []fleet.BoatSeat{{SeatFields: fleet.SeatFields{Adjust: map[string]settings.Adjustment{"heel_to_pin_cm": {Min: least, Max: 30, Step: 0.5}}}}}
		a := p.adjust()[rigging.SettingHeelToPin]
		if math.Abs(100*a.Min-want) > 1e-9 || math.Abs(100*a.Step-2) > 1e-9 || math.Abs(100*a.Max-30) > 1e-9 {
			t.Errorf("from %g cm: %+v", least, a)
		}
	}
}

// TestTheRangeOfACrewIsWhatAllSeatsHave, with the coarsest step; none where one seat has
// none, or where they do not meet.
func TestTheRangeOfACrewIsWhatAllSeatsHave(t *testing.T) {
	of := func(ranges ...settings.Adjustment) *plan {
		p := &plan{}
		for i, a := range ranges {
			p.boat.Seats = append(p.boat.Seats, fleet.BoatSeat{SeatFields: fleet.SeatFields{Adjust: map[string]settings.Adjustment{"spread_cm": a}}})
			p.places = append(p.places, crewMember{CrewPlace: CrewPlace{Seat: i + 1}})
		}
		return p
	}
	got, ok := of(settings.Adjustment{Min: 83, Max: 87, Step: 0.5}, settings.Adjustment{Min: 84, Max: 88, Step: 1}).commonRange("spread_cm")
	if !ok || got.Min != 84 || got.Max != 87 || got.Step != 1 {
		t.Errorf("%+v %t", got, ok)
	}
	if got, ok := of(settings.Adjustment{Min: 83, Max: 85, Step: 1}, settings.Adjustment{Min: 85, Max: 88, Step: 1}).commonRange("spread_cm"); !ok || got.Min != 85 || got.Max != 85 {
		t.Errorf("that meet at one place: %+v %t", got, ok)
	}
	for name, p := range map[string]*plan{
		"apart": of(settings.Adjustment{Min: 83, Max: 84, Step: 1}, settings.Adjustment{Min: 85, Max: 88, Step: 1}),
		"fixed": of(settings.Adjustment{Min: 83, Max: 87, Step: 1}, settings.Adjustment{Min: 83, Max: 87}),
	} {
		if got, ok := p.commonRange("spread_cm"); ok {
			t.Errorf("%s: %+v", name, got)
		}
	}
}
