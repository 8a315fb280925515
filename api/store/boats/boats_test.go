package boats_test

import (
	"errors"
	"fmt"
	"math"
	"sync"
	"testing"
	"thole/api/store"
	"thole/api/storetest"
	"time"

	"pgregory.net/rapid"
)

func TestABoatOutlivesARestart(t *testing.T) {
	s := storetest.New(t)
	b := storetest.Swallow()
	b.Example = true
	b.OarSetID = storetest.Ptr(storetest.Must(s.AddOarSet(storetest.Ctx, store.OarSet{Name: "Blue", Kind: store.Sweep}, storetest.Anna)))
	b.ID, b.Version = storetest.Must(s.AddBoat(store.AsExample(storetest.Ctx), b, storetest.Anna)), 1
	storetest.WantFull(t, b)
	storetest.WantEqual(t, storetest.Must(storetest.Reopen(t, s).Boat(storetest.Ctx, b.ID)), b)
}

func TestTheRigOfANewBoatBeginsItsHistory(t *testing.T) {
	s := storetest.New(t)
	id := storetest.Must(s.AddBoat(storetest.Ctx, storetest.Swallow(), store.By{Name: "Bert", At: storetest.Noon.Add(-time.Hour)}))
	history := storetest.Must(s.RigHistory(storetest.Ctx, id, store.RigFilter{}))
	if len(history) != 1+len(store.Settings()) {
		t.Fatalf("%d entries, want one a value", len(history))
	}
	storetest.WantEqual(t, history[len(history)-1], store.RigChange{
		ID: 1, BoatID: id, Version: 1, Seat: 1, Setting: "spread_cm", ToValue: storetest.Ptr(85.5), At: storetest.Noon.Add(-time.Hour), By: "Bert",
	})
}

func TestABoatIsUpdatedWithItsSeats(t *testing.T) {
	s := storetest.New(t)
	b := storetest.Swallow()
	b.ID, b.Version = storetest.Must(s.AddBoat(storetest.Ctx, b, storetest.Anna)), 1
	b.Note, b.Archived, b.HullMassKg = "", false, nil
	b.Seats[0].Side = "port"
	b.Seats[1].Adjustments = []store.Adjustment{{Setting: "spread_cm", Min: 82, Max: 90, Step: 0.5, Cost: 3}}
	b.Version = storetest.Must(s.UpdateBoat(storetest.Ctx, b, storetest.Anna))
	storetest.WantEqual(t, storetest.Must(s.Boat(storetest.Ctx, b.ID)), b)
	storetest.WantEqual(t, storetest.Shown(storetest.Must(s.Changes(storetest.Ctx, store.BoatRecord, b.ID, 1))), []string{
		"hull_mass_kg 27.4 - Anna", "note new slides  Anna", "archived true false Anna", "seat 1 side starboard port Anna",
		`seat 2 range of spread_cm {"min":82,"max":88,"step":0.5,"cost":3} {"min":82,"max":90,"step":0.5,"cost":3} Anna`,
		`seat 2 range of heel_to_pin_cm {"min":10,"max":45,"step":1.5,"cost":1} - Anna`,
	})
}

func TestUpdatingABoatLeavesItsRigAlone(t *testing.T) {
	s := storetest.New(t)
	id := storetest.AddFour(t, s)
	b := storetest.Must(s.Boat(storetest.Ctx, id))
	b.Note, b.Seats[0].Rig.SpreadCm = "x", storetest.Ptr(70.0)
	storetest.Must(s.UpdateBoat(storetest.Ctx, b, storetest.Anna))
	storetest.WantEqual(t, *storetest.Must(s.Boat(storetest.Ctx, id)).Seats[0].Rig.SpreadCm, 84.0)
}

func TestWhatNoBoatCanBe(t *testing.T) {
	s := storetest.New(t)
	for what, change := range map[string]func(*store.Boat){
		"no name":         func(b *store.Boat) { b.Name = " " },
		"no class":        func(b *store.Boat) { b.ClassCode = "" },
		"hull":            func(b *store.Boat) { b.HullMassKg = storetest.Ptr(0.0) },
		"seat missing":    func(b *store.Boat) { b.Seats[1].Number = 3 },
		"side":            func(b *store.Boat) { b.Seats[1].Side = "left" },
		"unknown setting": func(b *store.Boat) { b.Seats[1].Adjustments[0].Setting = "span" },
		"range":           func(b *store.Boat) { b.Seats[1].Adjustments[0].Max = 3 },
		"setting twice":   func(b *store.Boat) { b.Seats[1].Adjustments[0] = b.Seats[1].Adjustments[1] },
		"not a number":    func(b *store.Boat) { b.Seats[1].Rig.SpanCm = storetest.Ptr(math.NaN()) },
	} {
		t.Run(what, func(t *testing.T) {
			b := storetest.Swallow()
			change(&b)
			_, err := s.AddBoat(storetest.Ctx, b, storetest.Anna)
			storetest.WantError(t, err, store.ErrInvalid)
		})
	}
	storetest.WantEqual(t, storetest.Must(s.Boats(storetest.Ctx, store.Filter{Archived: true})), []store.Boat{})
}

func TestABoatKeepsItsSeats(t *testing.T) {
	s := storetest.New(t)
	b := storetest.Must(s.Boat(storetest.Ctx, storetest.AddFour(t, s)))
	b.Seats = b.Seats[:3]
	_, err := s.UpdateBoat(storetest.Ctx, b, storetest.Anna)
	storetest.WantError(t, err, store.ErrInvalid)
}

func TestANameIsFreeWhenItsBoatIsArchived(t *testing.T) {
	s := storetest.New(t)
	four := storetest.AddFour(t, s)
	_, err := s.AddBoat(storetest.Ctx, store.Boat{Name: "KINGFISHER", ClassCode: "4-"}, storetest.Anna)
	storetest.WantError(t, err, store.ErrTaken)
	storetest.Must(s.AddBoat(storetest.Ctx, store.Boat{Name: "Kingfisher", ClassCode: "4x"}, storetest.Anna))
	b := storetest.Must(s.Boat(storetest.Ctx, four))
	b.Archived = true
	storetest.Must(s.UpdateBoat(storetest.Ctx, b, storetest.Anna))
	storetest.Must(s.AddBoat(storetest.Ctx, store.Boat{Name: "Kingfisher", ClassCode: "4-"}, storetest.Anna))
}

func TestABoatThatIsNotThere(t *testing.T) {
	s := storetest.New(t)
	_, err := s.Boat(storetest.Ctx, 7)
	storetest.WantError(t, err, store.ErrNotFound)
	_, err = s.UpdateBoat(storetest.Ctx, store.Boat{ID: 7}, storetest.Anna)
	storetest.WantError(t, err, store.ErrNotFound)
	_, err = s.ChangeRig(storetest.Ctx, 7, 1, nil, "", storetest.Anna)
	storetest.WantError(t, err, store.ErrNotFound)
	_, err = s.UndoRigChange(storetest.Ctx, 7, "", storetest.Anna)
	storetest.WantError(t, err, store.ErrNotFound)
}

func TestARigChangeIsKept(t *testing.T) {
	s := storetest.New(t)
	id := storetest.AddFour(t, s)
	version := storetest.Must(s.ChangeRig(storetest.Ctx, id, 1, []store.RigSetting{{Seat: 2, Setting: "spread_cm", Value: 85}, {Seat: 2, Setting: "inboard_cm", Value: 115}}, "lighter for Edda", storetest.Anna))
	b := storetest.Must(s.Boat(storetest.Ctx, id))
	storetest.WantEqual(t, b.Version, version)
	storetest.WantEqual(t, b.Seats[1].Rig, store.Rig{SpreadCm: storetest.Ptr(85.0), InboardCm: storetest.Ptr(115.0)})
	storetest.WantEqual(t, storetest.Must(s.RigHistory(storetest.Ctx, id, store.RigFilter{Seat: 2, Setting: "spread_cm", Limit: 1})), []store.RigChange{{
		ID: 5, BoatID: id, Version: 2, Seat: 2, Setting: "spread_cm", FromValue: storetest.Ptr(84.0), ToValue: storetest.Ptr(85.0),
		At: storetest.Noon, By: "Anna", Why: "lighter for Edda",
	}})
}

func TestAValueAsItWasIsNoChange(t *testing.T) {
	s := storetest.New(t)
	id := storetest.AddFour(t, s)
	if v := storetest.Must(s.ChangeRig(storetest.Ctx, id, 1, []store.RigSetting{{Seat: 2, Setting: "spread_cm", Value: 84}}, "", storetest.Anna)); v != 1 {
		t.Errorf("version %d, want 1", v)
	}
	if n := len(storetest.Must(s.RigHistory(storetest.Ctx, id, store.RigFilter{}))); n != 4 {
		t.Errorf("%d entries, want those of the new boat", n)
	}
}

func TestARigChangeIsTakenWholeOrNotAtAll(t *testing.T) {
	s := storetest.New(t)
	id := storetest.AddFour(t, s)
	_, err := s.ChangeRig(storetest.Ctx, id, 1, []store.RigSetting{{Seat: 1, Setting: "spread_cm", Value: 85}, {Seat: 5, Setting: "spread_cm", Value: 85}}, "", storetest.Anna)
	storetest.WantError(t, err, store.ErrNotFound)
	_, err = s.ChangeRig(storetest.Ctx, id, 1, []store.RigSetting{{Seat: 1, Setting: "spread_cm", Value: 85}, {Seat: 1, Setting: "spread", Value: 85}}, "", storetest.Anna)
	storetest.WantError(t, err, store.ErrInvalid)
	_, err = s.ChangeRig(storetest.Ctx, id, 1, []store.RigSetting{{Seat: 1, Setting: "spread_cm", Value: math.NaN()}}, "", storetest.Anna)
	storetest.WantError(t, err, store.ErrInvalid)
	b := storetest.Must(s.Boat(storetest.Ctx, id))
	storetest.WantEqual(t, []any{b.Version, *b.Seats[0].Rig.SpreadCm}, []any{int64(1), 84.0})
}

func TestAStaleRigChangeOverwritesNothing(t *testing.T) {
	s := storetest.New(t)
	id := storetest.AddFour(t, s)
	storetest.Must(s.ChangeRig(storetest.Ctx, id, 1, []store.RigSetting{{Seat: 2, Setting: "spread_cm", Value: 85}}, "", store.By{Name: "Bert"}))
	b := storetest.Must(s.Boat(storetest.Ctx, id))
	b.Note = "scratch at the bow"
	storetest.Must(s.UpdateBoat(storetest.Ctx, b, store.By{Name: "Cleo"}))
	_, err := s.ChangeRig(storetest.Ctx, id, 1, []store.RigSetting{{Seat: 2, Setting: "spread_cm", Value: 83}}, "", storetest.Anna)
	storetest.WantEqual(t, storetest.WantConflict(t, err, 3), []string{"seat 2 spread_cm 84 85 Bert", "note  scratch at the bow Cleo"})
	_, err = s.ChangeRig(storetest.Ctx, id, 2, []store.RigSetting{{Seat: 2, Setting: "spread_cm", Value: 83}}, "", storetest.Anna)
	storetest.WantEqual(t, storetest.WantConflict(t, err, 3), []string{"note  scratch at the bow Cleo"})
	_, err = s.ChangeRig(storetest.Ctx, id, 4, []store.RigSetting{{Seat: 2, Setting: "spread_cm", Value: 83}}, "", storetest.Anna)
	storetest.WantEqual(t, storetest.WantConflict(t, err, 3), []string{})
	_, err = s.UpdateBoat(storetest.Ctx, store.Boat{ID: id, Version: 2, Name: "K", Seats: b.Seats}, storetest.Anna)
	storetest.WantConflict(t, err, 3)
	storetest.WantEqual(t, *storetest.Must(s.Boat(storetest.Ctx, id)).Seats[1].Rig.SpreadCm, 85.0)
}

func TestAnUndoBringsBackWhatWas(t *testing.T) {
	s := storetest.New(t)
	id := storetest.AddFour(t, s)
	storetest.Must(s.ChangeRig(storetest.Ctx, id, 1, []store.RigSetting{{Seat: 2, Setting: "spread_cm", Value: 85}, {Seat: 2, Setting: "inboard_cm", Value: 115}}, "", storetest.Anna))
	for _, c := range storetest.Must(s.RigHistory(storetest.Ctx, id, store.RigFilter{Limit: 2})) {
		storetest.Must(s.UndoRigChange(storetest.Ctx, c.ID, "too hard", store.By{Name: "Bert"}))
	}
	b := storetest.Must(s.Boat(storetest.Ctx, id))
	storetest.WantEqual(t, b.Version, int64(4))
	storetest.WantEqual(t, b.Seats[1].Rig, store.Rig{SpreadCm: storetest.Ptr(84.0)}) // the inboard was not known before
	last := storetest.Must(s.RigHistory(storetest.Ctx, id, store.RigFilter{Setting: "inboard_cm", Limit: 1}))[0]
	storetest.WantEqual(t, last, store.RigChange{
		ID: 7, BoatID: id, Version: 3, Seat: 2, Setting: "inboard_cm", FromValue: storetest.Ptr(115.0), At: storetest.Noon, By: "Bert", Why: "too hard", UndoesID: storetest.Ptr(int64(6)),
	})
}

func TestAnUndoCanBeUndone(t *testing.T) {
	s := storetest.New(t)
	id := storetest.AddFour(t, s)
	storetest.Must(s.ChangeRig(storetest.Ctx, id, 1, []store.RigSetting{{Seat: 2, Setting: "inboard_cm", Value: 115}}, "", storetest.Anna))
	for range 2 {
		last := storetest.Must(s.RigHistory(storetest.Ctx, id, store.RigFilter{Limit: 1}))[0]
		storetest.Must(s.UndoRigChange(storetest.Ctx, last.ID, "", storetest.Anna))
	}
	storetest.WantEqual(t, *storetest.Must(s.Boat(storetest.Ctx, id)).Seats[1].Rig.InboardCm, 115.0)
}

func TestAnUndoIsRefusedWhenTheSettingWasChangedAgain(t *testing.T) {
	s := storetest.New(t)
	id := storetest.AddFour(t, s)
	storetest.Must(s.ChangeRig(storetest.Ctx, id, 1, []store.RigSetting{{Seat: 2, Setting: "spread_cm", Value: 85}}, "", storetest.Anna))
	undone := storetest.Must(s.RigHistory(storetest.Ctx, id, store.RigFilter{Limit: 1}))[0].ID
	storetest.Must(s.ChangeRig(storetest.Ctx, id, 2, []store.RigSetting{{Seat: 2, Setting: "spread_cm", Value: 86}, {Seat: 3, Setting: "spread_cm", Value: 86}}, "", store.By{Name: "Bert"}))
	_, err := s.UndoRigChange(storetest.Ctx, undone, "", storetest.Anna)
	storetest.WantEqual(t, storetest.WantConflict(t, err, 3), []string{"seat 2 spread_cm 85 86 Bert"})
	storetest.Must(s.UndoRigChange(storetest.Ctx, undone+1, "", storetest.Anna)) // back at 85, but that is Bert's undo
	_, err = s.UndoRigChange(storetest.Ctx, undone, "", storetest.Anna)
	storetest.WantConflict(t, err, 4)
}

func TestAnUndoMindsNoOtherSetting(t *testing.T) {
	s := storetest.New(t)
	id := storetest.AddFour(t, s)
	storetest.Must(s.ChangeRig(storetest.Ctx, id, 1, []store.RigSetting{{Seat: 2, Setting: "spread_cm", Value: 85}}, "", storetest.Anna))
	undone := storetest.Must(s.RigHistory(storetest.Ctx, id, store.RigFilter{Limit: 1}))[0].ID
	storetest.Must(s.ChangeRig(storetest.Ctx, id, 2, []store.RigSetting{{Seat: 2, Setting: "inboard_cm", Value: 116}, {Seat: 3, Setting: "spread_cm", Value: 86}}, "", storetest.Anna))
	storetest.Must(s.UndoRigChange(storetest.Ctx, undone, "", storetest.Anna))
	storetest.WantEqual(t, storetest.Must(s.Boat(storetest.Ctx, id)).Seats[1].Rig, store.Rig{SpreadCm: storetest.Ptr(84.0), InboardCm: storetest.Ptr(116.0)})
}

func TestRigChangesAreNotChangedInPlace(t *testing.T) {
	s := storetest.New(t)
	storetest.AddFour(t, s)
	if _, err := storetest.Writer(s).Exec("UPDATE rig_changes SET to_value = 1"); err == nil {
		t.Error("history was rewritten")
	}
}

func TestAHistoryIsReadInPages(t *testing.T) {
	s := storetest.New(t)
	id := storetest.AddFour(t, s)
	first := storetest.Must(s.RigHistory(storetest.Ctx, id, store.RigFilter{Limit: 3}))
	rest := storetest.Must(s.RigHistory(storetest.Ctx, id, store.RigFilter{Limit: 3, Before: first[2].ID}))
	storetest.WantEqual(t, append(first, rest...), storetest.Must(s.RigHistory(storetest.Ctx, id, store.RigFilter{})))
}

// Many hands at one boat: who loses the race looks again and tries again, and
// no change rests on a value that was not there any more.
func TestHandsAtOneBoatLoseNoChange(t *testing.T) {
	s := storetest.New(t)
	id := storetest.AddFour(t, s)
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
	history := storetest.Must(s.RigHistory(storetest.Ctx, id, store.RigFilter{Seat: 1}))
	if len(history) != 1+hands*each {
		t.Errorf("%d changes, want %d", len(history), 1+hands*each)
	}
	for i, c := range history[:len(history)-1] {
		if before := history[i+1]; *c.FromValue != *before.ToValue || c.Version != before.Version+1 {
			t.Errorf("change %d goes on from %v at version %d, not from %v at %d", c.ID, *c.FromValue, c.Version-1, *before.ToValue, before.Version)
		}
	}
}

func changeUntilDone(t *testing.T, s *store.Store, boat int64, value float64) {
	for {
		b, err := s.Boat(storetest.Ctx, boat)
		if err == nil {
			_, err = s.ChangeRig(storetest.Ctx, boat, b.Version, []store.RigSetting{{Seat: 1, Setting: "spread_cm", Value: value}}, "", storetest.Anna)
		}
		var conflict *store.ErrConflict
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
	values  map[store.RigSetting]*float64 // by seat and setting
	changes []store.RigChange
}

func (m *rigModel) put(seat int, setting string, to *float64) {
	key := store.RigSetting{Seat: seat, Setting: setting}
	m.changes = append(m.changes, store.RigChange{Seat: seat, Setting: setting, FromValue: m.values[key], ToValue: to})
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
	s := storetest.New(t)
	boats := 0
	rapid.Check(t, func(t *rapid.T) {
		boats++
		id := storetest.Must(s.AddBoat(storetest.Ctx, store.Boat{Name: fmt.Sprint(boats), ClassCode: "2x", Seats: []store.Seat{{Number: 1}, {Number: 2}}}, storetest.Anna))
		first := nextChange(s)
		m := rigModel{version: 1, values: map[store.RigSetting]*float64{}}
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

func nextChange(s *store.Store) (id int64) {
	if err := storetest.Readers(s).QueryRow("SELECT 1 + ifnull(max(id), 0) FROM rig_changes").Scan(&id); err != nil {
		panic(err)
	}
	return id
}

func wantUndo(t *rapid.T, s *store.Store, m *rigModel, i int, id int64) {
	_, err := s.UndoRigChange(storetest.Ctx, id, "", storetest.Anna)
	if c := m.changes[i]; m.last(i) {
		m.put(c.Seat, c.Setting, c.FromValue)
		m.version++
		if err != nil {
			t.Fatal(err)
		}
	} else if _, ok := errors.AsType[*store.ErrConflict](err); !ok {
		t.Fatalf("got error %v, want a conflict", err)
	}
}

func wantChange(t *rapid.T, s *store.Store, m *rigModel, boat int64) {
	set := store.RigSetting{
		Seat:    rapid.IntRange(1, 2).Draw(t, "seat"),
		Setting: rapid.SampledFrom([]string{"span_cm", "inboard_cm"}).Draw(t, "setting"),
	}
	was := m.values[set]
	set.Value = rapid.SampledFrom([]float64{1, 2, 3}).Draw(t, "value")
	version := storetest.Must(s.ChangeRig(storetest.Ctx, boat, m.version, []store.RigSetting{set}, "", storetest.Anna))
	if was == nil || *was != set.Value {
		m.put(set.Seat, set.Setting, storetest.Ptr(set.Value))
		m.version++
	}
	if version != m.version {
		t.Fatalf("version %d, want %d", version, m.version)
	}
}

func wantModel(t *rapid.T, s *store.Store, m *rigModel, boat int64) {
	b := storetest.Must(s.Boat(storetest.Ctx, boat))
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
	history := storetest.Must(s.RigHistory(storetest.Ctx, boat, store.RigFilter{}))
	for i, want := range m.changes {
		got := history[len(history)-1-i]
		if got.Setting != want.Setting || !equalValues(got.FromValue, want.FromValue) || !equalValues(got.ToValue, want.ToValue) {
			t.Fatalf("change %d is %+v, want %+v", i, got, want)
		}
	}
}

func equalValues(a, b *float64) bool { return a == b || a != nil && b != nil && *a == *b }

func TestADeletedBoatTakesItsHistoryAlong(t *testing.T) {
	s := storetest.New(t)
	id := storetest.AddFour(t, s)
	sheet := storetest.Must(s.AddSheet(storetest.Ctx, store.Sheet{BoatID: id, BoatVersion: 1, Lines: []store.SheetLine{{Seat: 1, Setting: "spread_cm", Target: 85}}}, storetest.Anna))
	storetest.Must(s.RecordReading(storetest.Ctx, sheet, store.Reading{Seat: 1, Setting: "spread_cm", Value: 85, Key: "a"}, storetest.Anna))
	storetest.Must(s.FinishSheet(storetest.Ctx, sheet, 1, storetest.Anna))
	storetest.Must(s.UndoRigChange(storetest.Ctx, storetest.Must(s.RigHistory(storetest.Ctx, id, store.RigFilter{Limit: 1}))[0].ID, "", storetest.Anna))
	lineup := storetest.Must(s.AddLineup(storetest.Ctx, store.Lineup{Name: "A", ClassCode: "4-", BoatID: &id}, storetest.Anna))
	recording := storetest.Must(storetest.AddRecording(storetest.Ctx, s, store.Recording{BoatID: &id, RecordedOn: "2026-03-01", Thresholds: "{}"}))
	storetest.Check(t, s.DeleteBoat(storetest.Ctx, id))
	for _, table := range []string{"boats", "seats", "rig", "rig_changes", "sheets", "sheet_lines", "sheet_readings"} {
		var n int
		storetest.Check(t, storetest.Readers(s).QueryRow("SELECT count(*) FROM "+table).Scan(&n))
		if n != 0 {
			t.Errorf("%d rows are left in %s", n, table)
		}
	}
	if storetest.Must(s.Lineup(storetest.Ctx, lineup)).BoatID != nil || storetest.Must(s.Recording(storetest.Ctx, recording)).BoatID != nil {
		t.Error("the boat is not forgotten")
	}
}

func TestBoatsAreListed(t *testing.T) {
	s := storetest.New(t)
	storetest.AddFour(t, s)
	b := storetest.Swallow()
	b.ID, b.Version = storetest.Must(s.AddBoat(storetest.Ctx, b, storetest.Anna)), 1
	b.Seats = nil
	storetest.WantEqual(t, storetest.Must(s.Boats(storetest.Ctx, store.Filter{Name: "wall", Archived: true})), []store.Boat{b})
	if got := storetest.Must(s.Boats(storetest.Ctx, store.Filter{})); len(got) != 1 || got[0].Name != "Kingfisher" {
		t.Errorf("got %v, want the boat that is not archived", got)
	}
}
