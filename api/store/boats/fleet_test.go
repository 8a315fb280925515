package boats_test

import (
	"testing"
	"thole/api/store"
	"thole/api/storetest"
)

// someFleet is a boat on record, changed in hull, seat and rig, a new one, a set of
// oars on record and a new one.
func someFleet(t *testing.T, s *store.Store) store.Fleet {
	t.Helper()
	id := storetest.Must(s.AddBoat(storetest.Ctx, store.Boat{Name: "Owl", ClassCode: "2-", Seats: []store.Seat{{Number: 1, Side: "port", Rig: store.Rig{SpreadCm: storetest.Ptr(85.0)}}, {Number: 2, Side: "starboard"}}}, ines))
	known := storetest.Must(s.Boat(storetest.Ctx, id))
	known.HullMassKg, known.Seats[0].Side, known.Seats[1].Side = storetest.Ptr(27.5), "starboard", "port"
	oars := storetest.Must(s.OarSet(storetest.Ctx, storetest.Must(s.AddOarSet(storetest.Ctx, store.OarSet{Name: "Blue", Kind: store.Sweep, Count: 8}, ines))))
	oars.Count = 10
	return store.Fleet{Why: "table", Boats: []store.FleetBoat{
		{Boat: known, Rig: []store.RigSetting{{Seat: 1, Setting: "spread_cm", Value: 86}, {Seat: 2, Setting: "spread_cm", Value: 86}}},
		{Boat: store.Boat{Name: "Elk", ClassCode: "1x", Seats: []store.Seat{{Number: 1, Rig: store.Rig{SpanCm: storetest.Ptr(159.0)}}}}},
	}, Oars: []store.OarSet{oars, {Name: "Red", Kind: store.Scull}}}
}

var ines = store.By{Name: "Ines", At: storetest.Noon}

func TestAFleetComesInAsAWhole(t *testing.T) {
	s := storetest.New(t)
	f := someFleet(t, s)
	boats, oars, err := s.SaveFleet(storetest.Ctx, f, store.By{Name: "Udo", At: storetest.Noon})
	if err != nil || len(boats) != 2 || len(oars) != 2 || boats[0] != f.Boats[0].Boat.ID || oars[0] != f.Oars[0].ID {
		t.Fatalf("%v, boats %v, oars %v", err, boats, oars)
	}
	s = storetest.Reopen(t, s)
	owl := storetest.Must(s.Boat(storetest.Ctx, boats[0]))
	storetest.WantEqual(t, owl.Seats[0].Side, "starboard")
	storetest.WantEqual(t, *owl.Seats[1].Rig.SpreadCm, 86.0)
	storetest.WantEqual(t, *storetest.Must(s.Boat(storetest.Ctx, boats[1])).Seats[0].Rig.SpanCm, 159.0)
	storetest.WantEqual(t, storetest.Must(s.OarSet(storetest.Ctx, oars[0])).Count, 10)
	storetest.WantEqual(t, storetest.Must(s.OarSet(storetest.Ctx, oars[1])).Name, "Red")
	history := storetest.Must(s.RigHistory(storetest.Ctx, boats[0], store.RigFilter{Seat: 1}))
	storetest.WantEqual(t, history[0].Why, "table")
	storetest.WantEqual(t, *history[0].FromValue, 85.0)
	storetest.WantEqual(t, history[0].By, "Udo")
}

// TestHalfAFleetIsNeverLeft: whatever is wrong with the last of it, the first are
// not written either.
func TestHalfAFleetIsNeverLeft(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(*store.Fleet)
		want  error
	}{
		"a name that is taken": {func(f *store.Fleet) { f.Boats[1].Boat.Name, f.Boats[1].Boat.ClassCode = "owl", "2-" }, store.ErrTaken},
		"no boat on record":    {func(f *store.Fleet) { f.Boats[1].Boat.ID = 99 }, store.ErrNotFound},
		"no setting":           {func(f *store.Fleet) { f.Boats[0].Rig[1].Setting = "colour" }, store.ErrInvalid},
		"a boat that changed":  {func(f *store.Fleet) { f.Boats[0].Boat.Version = 0 }, nil},
	} {
		t.Run(name, func(t *testing.T) {
			s := storetest.New(t)
			f := someFleet(t, s)
			before := storetest.Must(s.Boats(storetest.Ctx, store.Filter{}))
			c.spoil(&f)
			_, _, err := s.SaveFleet(storetest.Ctx, f, ines)
			if c.want == nil {
				storetest.WantConflict(t, err, 1)
			} else {
				storetest.WantError(t, err, c.want)
			}
			storetest.WantEqual(t, storetest.Must(s.Boats(storetest.Ctx, store.Filter{})), before)
			storetest.WantEqual(t, len(storetest.Must(s.OarSets(storetest.Ctx, store.Filter{}))), 1)
			storetest.WantEqual(t, storetest.Must(s.OarSet(storetest.Ctx, f.Oars[0].ID)).Count, 8)
		})
	}
}

func TestTableMappingsOfEveryKindAreListedAndRemoved(t *testing.T) {
	s := storetest.New(t)
	for _, m := range []store.TableMapping{{Kind: "oars", Name: "b", Mapping: "{}"}, {Kind: "boats", Name: "b", Mapping: "{}"}, {Kind: "oars", Name: "a", Mapping: "{}"}} {
		if err := s.SaveTableMapping(storetest.Ctx, m); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.DeleteTableMapping(storetest.Ctx, "oars", "b"); err != nil {
		t.Fatal(err)
	}
	storetest.WantError(t, s.DeleteTableMapping(storetest.Ctx, "oars", "b"), store.ErrNotFound)
	var left []string
	for _, m := range storetest.Must(s.AllTableMappings(storetest.Ctx)) {
		left = append(left, m.Kind+" "+m.Name)
	}
	storetest.WantEqual(t, left, []string{"boats b", "oars a"})
}
