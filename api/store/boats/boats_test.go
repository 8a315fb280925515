package store

import (
	"errors"
	"fmt"
	"math"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func swallow() Boat {
	var full Rig
	for i, v := range full.values() {
		*v.value = ptr(20.5 + float64(i))
	}
	return Boat{
		Name: "Swallow", ClassCode: "2-", HullMassKg: ptr(27.4), BuiltForKg: ptr(85.0), WaterlineLengthM: ptr(10.1), WaterlineBeamM: ptr(0.35),
		SeatOverWaterCm: ptr(7.2), StretcherMark: "hole", StretcherOffsetCm: 4, StretcherToeAlongCm: 25.5, StretcherHolePitchCm: 2.5, WasherMm: ptr(4.0), ClamMm: ptr(10.0), InsertDeg: ptr(1.0), Note: "new slides", Archived: true,
		Seats: []Seat{
			{Number: 1, Side: "starboard", CanChangeSides: true, Blade: "macon", Rig: Rig{SpreadCm: ptr(85.5)}},
			{Number: 2, Side: "port", CanChangeSides: true, Blade: "large", Rig: full, Starts: []SeatStart{{"inboard_cm", 115}, {"spread_cm", 85}}, Adjustments: []Adjustment{
				{Setting: "spread_cm", Min: 82, Max: 88, Step: 0.5, Cost: 3}, {Setting: "heel_to_pin_cm", Min: 10, Max: 45, Step: 1.5, Cost: 1},
			}},
		},
	}
}

func TestABoatOutlivesARestart(t *testing.T) {
	s := open(t)
	b := swallow()
	b.Example = true
	b.OarSetID = ptr(must(s.AddOarSet(ctx, OarSet{Name: "Blue", Kind: Sweep}, anna)))
	b.ID, b.Version = must(s.AddBoat(AsExample(ctx), b, anna)), 1
	wantFull(t, b)
	wantEqual(t, must(reopen(t, s).Boat(ctx, b.ID)), b)
}

func TestTheRigOfANewBoatBeginsItsHistory(t *testing.T) {
	s := open(t)
	id := must(s.AddBoat(ctx, swallow(), By{"Bert", noon.Add(-time.Hour)}))
	history := must(s.RigHistory(ctx, id, RigFilter{}))
	if len(history) != 1+len(Settings()) {
		t.Fatalf("%d entries, want one a value", len(history))
	}
	wantEqual(t, history[len(history)-1], RigChange{
		ID: 1, BoatID: id, Version: 1, Seat: 1, Setting: "spread_cm", ToValue: ptr(85.5), At: noon.Add(-time.Hour), By: "Bert",
	})
}

func TestABoatIsUpdatedWithItsSeats(t *testing.T) {
	s := open(t)
	b := swallow()
	b.ID, b.Version = must(s.AddBoat(ctx, b, anna)), 1
	b.Note, b.Archived, b.HullMassKg = "", false, nil
	b.Seats[0].Side = "port"
	b.Seats[1].Adjustments = []Adjustment{{Setting: "spread_cm", Min: 82, Max: 90, Step: 0.5, Cost: 3}}
	b.Version = must(s.UpdateBoat(ctx, b, anna))
	wantEqual(t, must(s.Boat(ctx, b.ID)), b)
	wantEqual(t, shown(must(s.Changes(ctx, BoatRecord, b.ID, 1))), []string{
		"hull_mass_kg 27.4 - Anna", "note new slides  Anna", "archived true false Anna", "seat 1 side starboard port Anna",
		`seat 2 range of spread_cm {"min":82,"max":88,"step":0.5,"cost":3} {"min":82,"max":90,"step":0.5,"cost":3} Anna`,
		`seat 2 range of heel_to_pin_cm {"min":10,"max":45,"step":1.5,"cost":1} - Anna`,
	})
}

func TestUpdatingABoatLeavesItsRigAlone(t *testing.T) {
	s := open(t)
	id := addFour(t, s)
	b := must(s.Boat(ctx, id))
	b.Note, b.Seats[0].Rig.SpreadCm = "x", ptr(70.0)
	must(s.UpdateBoat(ctx, b, anna))
	wantEqual(t, *must(s.Boat(ctx, id)).Seats[0].Rig.SpreadCm, 84.0)
}

func TestWhatNoBoatCanBe(t *testing.T) {
	s := open(t)
	for what, change := range map[string]func(*Boat){
		"no name":         func(b *Boat) { b.Name = " " },
		"no class":        func(b *Boat) { b.ClassCode = "" },
		"hull":            func(b *Boat) { b.HullMassKg = ptr(0.0) },
		"seat missing":    func(b *Boat) { b.Seats[1].Number = 3 },
		"side":            func(b *Boat) { b.Seats[1].Side = "left" },
		"unknown setting": func(b *Boat) { b.Seats[1].Adjustments[0].Setting = "span" },
		"range":           func(b *Boat) { b.Seats[1].Adjustments[0].Max = 3 },
		"setting twice":   func(b *Boat) { b.Seats[1].Adjustments[0] = b.Seats[1].Adjustments[1] },
		"not a number":    func(b *Boat) { b.Seats[1].Rig.SpanCm = ptr(math.NaN()) },
	} {
		t.Run(what, func(t *testing.T) {
			b := swallow()
			change(&b)
			_, err := s.AddBoat(ctx, b, anna)
			wantError(t, err, ErrInvalid)
		})
	}
	wantEqual(t, must(s.Boats(ctx, Filter{Archived: true})), []Boat{})
}

func TestABoatKeepsItsSeats(t *testing.T) {
	s := open(t)
	b := must(s.Boat(ctx, addFour(t, s)))
	b.Seats = b.Seats[:3]
	_, err := s.UpdateBoat(ctx, b, anna)
	wantError(t, err, ErrInvalid)
}

func TestANameIsFreeWhenItsBoatIsArchived(t *testing.T) {
	s := open(t)
	four := addFour(t, s)
	_, err := s.AddBoat(ctx, Boat{Name: "KINGFISHER", ClassCode: "4-"}, anna)
	wantError(t, err, ErrTaken)
	must(s.AddBoat(ctx, Boat{Name: "Kingfisher", ClassCode: "4x"}, anna))
	b := must(s.Boat(ctx, four))
	b.Archived = true
	must(s.UpdateBoat(ctx, b, anna))
	must(s.AddBoat(ctx, Boat{Name: "Kingfisher", ClassCode: "4-"}, anna))
}

func TestABoatThatIsNotThere(t *testing.T) {
	s := open(t)
	_, err := s.Boat(ctx, 7)
	wantError(t, err, ErrNotFound)
	_, err = s.UpdateBoat(ctx, Boat{ID: 7}, anna)
	wantError(t, err, ErrNotFound)
	_, err = s.ChangeRig(ctx, 7, 1, nil, "", anna)
	wantError(t, err, ErrNotFound)
	_, err = s.UndoRigChange(ctx, 7, "", anna)
	wantError(t, err, ErrNotFound)
}

func TestARigChangeIsKept(t *testing.T) {
	s := open(t)
	id := addFour(t, s)
	version := must(s.ChangeRig(ctx, id, 1, []RigSetting{{2, "spread_cm", 85}, {2, "inboard_cm", 115}}, "lighter for Edda", anna))
	b := must(s.Boat(ctx, id))
	wantEqual(t, b.Version, version)
	wantEqual(t, b.Seats[1].Rig, Rig{SpreadCm: ptr(85.0), InboardCm: ptr(115.0)})
	wantEqual(t, must(s.RigHistory(ctx, id, RigFilter{Seat: 2, Setting: "spread_cm", Limit: 1})), []RigChange{{
		ID: 5, BoatID: id, Version: 2, Seat: 2, Setting: "spread_cm", FromValue: ptr(84.0), ToValue: ptr(85.0),
		At: noon, By: "Anna", Why: "lighter for Edda",
	}})
}

func TestAValueAsItWasIsNoChange(t *testing.T) {
	s := open(t)
	id := addFour(t, s)
	if v := must(s.ChangeRig(ctx, id, 1, []RigSetting{{2, "spread_cm", 84}}, "", anna)); v != 1 {
		t.Errorf("version %d, want 1", v)
	}
	if n := len(must(s.RigHistory(ctx, id, RigFilter{}))); n != 4 {
		t.Errorf("%d entries, want those of the new boat", n)
	}
}

func TestARigChangeIsTakenWholeOrNotAtAll(t *testing.T) {
	s := open(t)
	id := addFour(t, s)
	_, err := s.ChangeRig(ctx, id, 1, []RigSetting{{1, "spread_cm", 85}, {5, "spread_cm", 85}}, "", anna)
	wantError(t, err, ErrNotFound)
	_, err = s.ChangeRig(ctx, id, 1, []RigSetting{{1, "spread_cm", 85}, {1, "spread", 85}}, "", anna)
	wantError(t, err, ErrInvalid)
	_, err = s.ChangeRig(ctx, id, 1, []RigSetting{{1, "spread_cm", math.NaN()}}, "", anna)
	wantError(t, err, ErrInvalid)
	b := must(s.Boat(ctx, id))
	wantEqual(t, []any{b.Version, *b.Seats[0].Rig.SpreadCm}, []any{int64(1), 84.0})
}

func TestAStaleRigChangeOverwritesNothing(t *testing.T) {
	s := open(t)
	id := addFour(t, s)
	must(s.ChangeRig(ctx, id, 1, []RigSetting{{2, "spread_cm", 85}}, "", By{Name: "Bert"}))
	b := must(s.Boat(ctx, id))
	b.Note = "scratch at the bow"
	must(s.UpdateBoat(ctx, b, By{Name: "Cleo"}))
	_, err := s.ChangeRig(ctx, id, 1, []RigSetting{{2, "spread_cm", 83}}, "", anna)
	wantEqual(t, wantConflict(t, err, 3), []string{"seat 2 spread_cm 84 85 Bert", "note  scratch at the bow Cleo"})
	_, err = s.ChangeRig(ctx, id, 2, []RigSetting{{2, "spread_cm", 83}}, "", anna)
	wantEqual(t, wantConflict(t, err, 3), []string{"note  scratch at the bow Cleo"})
	_, err = s.ChangeRig(ctx, id, 4, []RigSetting{{2, "spread_cm", 83}}, "", anna)
	wantEqual(t, wantConflict(t, err, 3), []string{})
	_, err = s.UpdateBoat(ctx, Boat{ID: id, Version: 2, Name: "K", Seats: b.Seats}, anna)
	wantConflict(t, err, 3)
	wantEqual(t, *must(s.Boat(ctx, id)).Seats[1].Rig.SpreadCm, 85.0)
}

func TestAnUndoBringsBackWhatWas(t *testing.T) {
	s := open(t)
	id := addFour(t, s)
	must(s.ChangeRig(ctx, id, 1, []RigSetting{{2, "spread_cm", 85}, {2, "inboard_cm", 115}}, "", anna))
	for _, c := range must(s.RigHistory(ctx, id, RigFilter{Limit: 2})) {
		must(s.UndoRigChange(ctx, c.ID, "too hard", By{Name: "Bert"}))
	}
	b := must(s.Boat(ctx, id))
	wantEqual(t, b.Version, int64(4))
	wantEqual(t, b.Seats[1].Rig, Rig{SpreadCm: ptr(84.0)}) // the inboard was not known before
	last := must(s.RigHistory(ctx, id, RigFilter{Setting: "inboard_cm", Limit: 1}))[0]
	wantEqual(t, last, RigChange{
		ID: 7, BoatID: id, Version: 3, Seat: 2, Setting: "inboard_cm", FromValue: ptr(115.0), At: noon, By: "Bert", Why: "too hard", UndoesID: ptr(int64(6)),
	})
}

func TestAnUndoCanBeUndone(t *testing.T) {
	s := open(t)
	id := addFour(t, s)
	must(s.ChangeRig(ctx, id, 1, []RigSetting{{2, "inboard_cm", 115}}, "", anna))
	for range 2 {
		last := must(s.RigHistory(ctx, id, RigFilter{Limit: 1}))[0]
		must(s.UndoRigChange(ctx, last.ID, "", anna))
	}
	wantEqual(t, *must(s.Boat(ctx, id)).Seats[1].Rig.InboardCm, 115.0)
}

func TestAnUndoIsRefusedWhenTheSettingWasChangedAgain(t *testing.T) {
	s := open(t)
	id := addFour(t, s)
	must(s.ChangeRig(ctx, id, 1, []RigSetting{{2, "spread_cm", 85}}, "", anna))
	undone := must(s.RigHistory(ctx, id, RigFilter{Limit: 1}))[0].ID
	must(s.ChangeRig(ctx, id, 2, []RigSetting{{2, "spread_cm", 86}, {3, "spread_cm", 86}}, "", By{Name: "Bert"}))
	_, err := s.UndoRigChange(ctx, undone, "", anna)
	wantEqual(t, wantConflict(t, err, 3), []string{"seat 2 spread_cm 85 86 Bert"})
	must(s.UndoRigChange(ctx, undone+1, "", anna)) // back at 85, but that is Bert's undo
	_, err = s.UndoRigChange(ctx, undone, "", anna)
	wantConflict(t, err, 4)
}

func TestAnUndoMindsNoOtherSetting(t *testing.T) {
	s := open(t)
	id := addFour(t, s)
	must(s.ChangeRig(ctx, id, 1, []RigSetting{{2, "spread_cm", 85}}, "", anna))
	undone := must(s.RigHistory(ctx, id, RigFilter{Limit: 1}))[0].ID
	must(s.ChangeRig(ctx, id, 2, []RigSetting{{2, "inboard_cm", 116}, {3, "spread_cm", 86}}, "", anna))
	must(s.UndoRigChange(ctx, undone, "", anna))
	wantEqual(t, must(s.Boat(ctx, id)).Seats[1].Rig, Rig{SpreadCm: ptr(84.0), InboardCm: ptr(116.0)})
}

func TestRigChangesAreNotChangedInPlace(t *testing.T) {
	s := open(t)
	addFour(t, s)
	if _, err := s.writer.Exec("UPDATE rig_changes SET to_value = 1"); err == nil {
		t.Error("history was rewritten")
	}
}

func TestAHistoryIsReadInPages(t *testing.T) {
	s := open(t)
	id := addFour(t, s)
	first := must(s.RigHistory(ctx, id, RigFilter{Limit: 3}))
	rest := must(s.RigHistory(ctx, id, RigFilter{Limit: 3, Before: first[2].ID}))
	wantEqual(t, append(first, rest...), must(s.RigHistory(ctx, id, RigFilter{})))
}

// Many hands at one boat: who loses the race looks again and tries again, and
// no change rests on a value that was not there any more.
func TestHandsAtOneBoatLoseNoChange(t *testing.T) {
	s := open(t)
	id := addFour(t, s)
	const hands, each = 6, 8
	var crowd sync.WaitGroup
	for hand := range hands {
		crowd.Go(func() {
			for i := range each {
				changeUntilDone(t, s, id, float64(100*hand+i))
			}
		})
	}
	crowd.Wait()
	history := must(s.RigHistory(ctx, id, RigFilter{Seat: 1}))
	if len(history) != 1+hands*each {
		t.Errorf("%d changes, want %d", len(history), 1+hands*each)
	}
	for i, c := range history[:len(history)-1] {
		if before := history[i+1]; *c.FromValue != *before.ToValue || c.Version != before.Version+1 {
			t.Errorf("change %d goes on from %v at version %d, not from %v at %d", c.ID, *c.FromValue, c.Version-1, *before.ToValue, before.Version)
		}
	}
}

func changeUntilDone(t *testing.T, s *Store, boat int64, value float64) {
	for {
		b, err := s.Boat(ctx, boat)
		if err == nil {
			_, err = s.ChangeRig(ctx, boat, b.Version, []RigSetting{{1, "spread_cm", value}}, "", anna)
		}
		var conflict *ErrConflict
		if !errors.As(err, &conflict) {
			if err != nil {
				t.Error(err)
			}
			return
		}
	}
}

// A plain model of one boat's rig: the values, and which change made each.
type rigModel struct {
	version int64
	values  map[RigSetting]*float64 // by seat and setting
	changes []RigChange
}

func (m *rigModel) put(seat int, setting string, to *float64) {
	key := RigSetting{Seat: seat, Setting: setting}
	m.changes = append(m.changes, RigChange{Seat: seat, Setting: setting, FromValue: m.values[key], ToValue: to})
	m.values[key] = to
}

// last reports whether no later change is of the same setting.
func (m *rigModel) last(i int) bool {
	for _, later := range m.changes[i+1:] {
		if later.Seat == m.changes[i].Seat && later.Setting == m.changes[i].Setting {
			return false
		}
	}
	return true
}

func TestARigFollowsAPlainModel(t *testing.T) {
	s := open(t)
	boats := 0
	rapid.Check(t, func(t *rapid.T) {
		boats++
		id := must(s.AddBoat(ctx, Boat{Name: fmt.Sprint(boats), ClassCode: "2x", Seats: []Seat{{Number: 1}, {Number: 2}}}, anna))
		first := nextChange(s)
		m := rigModel{version: 1, values: map[RigSetting]*float64{}}
		for range rapid.IntRange(1, 12).Draw(t, "steps") {
			if n := len(m.changes); n > 0 && rapid.Bool().Draw(t, "undo") {
				i := rapid.IntRange(0, n-1).Draw(t, "change")
				wantUndo(t, s, &m, i, first+int64(i))
			} else {
				wantChange(t, s, &m, id)
			}
		}
		wantModel(t, s, &m, id)
	})
}

func nextChange(s *Store) (id int64) {
	if err := s.readers.QueryRow("SELECT 1 + ifnull(max(id), 0) FROM rig_changes").Scan(&id); err != nil {
		panic(err)
	}
	return id
}

func wantUndo(t *rapid.T, s *Store, m *rigModel, i int, id int64) {
	_, err := s.UndoRigChange(ctx, id, "", anna)
	if c := m.changes[i]; m.last(i) {
		m.put(c.Seat, c.Setting, c.FromValue)
		m.version++
		if err != nil {
			t.Fatal(err)
		}
	} else if _, ok := errors.AsType[*ErrConflict](err); !ok {
		t.Fatalf("got error %v, want a conflict", err)
	}
}

func wantChange(t *rapid.T, s *Store, m *rigModel, boat int64) {
	set := RigSetting{
		Seat:    rapid.IntRange(1, 2).Draw(t, "seat"),
		Setting: rapid.SampledFrom([]string{"span_cm", "inboard_cm"}).Draw(t, "setting"),
	}
	was := m.values[set]
	set.Value = rapid.SampledFrom([]float64{1, 2, 3}).Draw(t, "value")
	version := must(s.ChangeRig(ctx, boat, m.version, []RigSetting{set}, "", anna))
	if was == nil || *was != set.Value {
		m.put(set.Seat, set.Setting, ptr(set.Value))
		m.version++
	}
	if version != m.version {
		t.Fatalf("version %d, want %d", version, m.version)
	}
}

func wantModel(t *rapid.T, s *Store, m *rigModel, boat int64) {
	b := must(s.Boat(ctx, boat))
	if b.Version != m.version {
		t.Fatalf("version %d, want %d", b.Version, m.version)
	}
	for key, want := range m.values {
		rig := b.Seats[key.Seat-1].Rig
		got := map[string]*float64{"span_cm": rig.SpanCm, "inboard_cm": rig.InboardCm}[key.Setting]
		if !equalValues(got, want) {
			t.Fatalf("seat %d %s is %v, want %v", key.Seat, key.Setting, got, want)
		}
	}
	history := must(s.RigHistory(ctx, boat, RigFilter{}))
	for i, want := range m.changes {
		got := history[len(history)-1-i]
		if got.Setting != want.Setting || !equalValues(got.FromValue, want.FromValue) || !equalValues(got.ToValue, want.ToValue) {
			t.Fatalf("change %d is %+v, want %+v", i, got, want)
		}
	}
}

func equalValues(a, b *float64) bool { return a == b || a != nil && b != nil && *a == *b }

func TestADeletedBoatTakesItsHistoryAlong(t *testing.T) {
	s := open(t)
	id := addFour(t, s)
	sheet := must(s.AddSheet(ctx, Sheet{BoatID: id, BoatVersion: 1, Lines: []SheetLine{{Seat: 1, Setting: "spread_cm", Target: 85}}}, anna))
	must(s.RecordReading(ctx, sheet, Reading{1, "spread_cm", 85, "a"}, anna))
	must(s.FinishSheet(ctx, sheet, 1, anna))
	must(s.UndoRigChange(ctx, must(s.RigHistory(ctx, id, RigFilter{Limit: 1}))[0].ID, "", anna))
	lineup := must(s.AddLineup(ctx, Lineup{Name: "A", ClassCode: "4-", BoatID: &id}, anna))
	recording := must(s.addRecording(ctx, Recording{BoatID: &id, RecordedOn: "2026-03-01", Thresholds: "{}"}))
	check(t, s.DeleteBoat(ctx, id))
	for _, table := range []string{"boats", "seats", "rig", "rig_changes", "sheets", "sheet_lines", "sheet_readings"} {
		var n int
		check(t, s.readers.QueryRow("SELECT count(*) FROM "+table).Scan(&n))
		if n != 0 {
			t.Errorf("%d rows are left in %s", n, table)
		}
	}
	if must(s.Lineup(ctx, lineup)).BoatID != nil || must(s.Recording(ctx, recording)).BoatID != nil {
		t.Error("the boat is not forgotten")
	}
}

func TestBoatsAreListed(t *testing.T) {
	s := open(t)
	addFour(t, s)
	b := swallow()
	b.ID, b.Version = must(s.AddBoat(ctx, b, anna)), 1
	b.Seats = nil
	wantEqual(t, must(s.Boats(ctx, Filter{Name: "wall", Archived: true})), []Boat{b})
	if got := must(s.Boats(ctx, Filter{})); len(got) != 1 || got[0].Name != "Kingfisher" {
		t.Errorf("got %v, want the boat that is not archived", got)
	}
}
