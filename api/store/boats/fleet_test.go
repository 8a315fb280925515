package store

import "testing"

// someFleet is a boat on record, changed in hull, seat and rig, a new one, a set of
// oars on record and a new one.
func someFleet(t *testing.T, s *Store) Fleet {
	t.Helper()
	id := must(s.AddBoat(ctx, Boat{Name: "Owl", ClassCode: "2-", Seats: []Seat{{Number: 1, Side: "port", Rig: Rig{SpreadCm: ptr(85.0)}}, {Number: 2, Side: "starboard"}}}, ines))
	known := must(s.Boat(ctx, id))
	known.HullMassKg, known.Seats[0].Side, known.Seats[1].Side = ptr(27.5), "starboard", "port"
	oars := must(s.OarSet(ctx, must(s.AddOarSet(ctx, OarSet{Name: "Blue", Kind: Sweep, Count: 8}, ines))))
	oars.Count = 10
	return Fleet{Why: "table", Boats: []FleetBoat{
		{Boat: known, Rig: []RigSetting{{1, "spread_cm", 86}, {2, "spread_cm", 86}}},
		{Boat: Boat{Name: "Elk", ClassCode: "1x", Seats: []Seat{{Number: 1, Rig: Rig{SpanCm: ptr(159.0)}}}}},
	}, Oars: []OarSet{oars, {Name: "Red", Kind: Scull}}}
}

var ines = By{"Ines", noon}

func TestAFleetComesInAsAWhole(t *testing.T) {
	s := open(t)
	f := someFleet(t, s)
	boats, oars, err := s.SaveFleet(ctx, f, By{"Udo", noon})
	if err != nil || len(boats) != 2 || len(oars) != 2 || boats[0] != f.Boats[0].Boat.ID || oars[0] != f.Oars[0].ID {
		t.Fatalf("%v, boats %v, oars %v", err, boats, oars)
	}
	s = reopen(t, s)
	owl := must(s.Boat(ctx, boats[0]))
	wantEqual(t, owl.Seats[0].Side, "starboard")
	wantEqual(t, *owl.Seats[1].Rig.SpreadCm, 86.0)
	wantEqual(t, *must(s.Boat(ctx, boats[1])).Seats[0].Rig.SpanCm, 159.0)
	wantEqual(t, must(s.OarSet(ctx, oars[0])).Count, 10)
	wantEqual(t, must(s.OarSet(ctx, oars[1])).Name, "Red")
	history := must(s.RigHistory(ctx, boats[0], RigFilter{Seat: 1}))
	wantEqual(t, history[0].Why, "table")
	wantEqual(t, *history[0].FromValue, 85.0)
	wantEqual(t, history[0].By, "Udo")
}

// TestHalfAFleetIsNeverLeft: whatever is wrong with the last of it, the first are
// not written either.
func TestHalfAFleetIsNeverLeft(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(*Fleet)
		want  error
	}{
		"a name that is taken": {func(f *Fleet) { f.Boats[1].Boat.Name, f.Boats[1].Boat.ClassCode = "owl", "2-" }, ErrTaken},
		"no boat on record":    {func(f *Fleet) { f.Boats[1].Boat.ID = 99 }, ErrNotFound},
		"no setting":           {func(f *Fleet) { f.Boats[0].Rig[1].Setting = "colour" }, ErrInvalid},
		"a boat that changed":  {func(f *Fleet) { f.Boats[0].Boat.Version = 0 }, nil},
	} {
		t.Run(name, func(t *testing.T) {
			s := open(t)
			f := someFleet(t, s)
			before := must(s.Boats(ctx, Filter{}))
			c.spoil(&f)
			_, _, err := s.SaveFleet(ctx, f, ines)
			if c.want == nil {
				wantConflict(t, err, 1)
			} else {
				wantError(t, err, c.want)
			}
			wantEqual(t, must(s.Boats(ctx, Filter{})), before)
			wantEqual(t, len(must(s.OarSets(ctx, Filter{}))), 1)
			wantEqual(t, must(s.OarSet(ctx, f.Oars[0].ID)).Count, 8)
		})
	}
}

func TestTableMappingsOfEveryKindAreListedAndRemoved(t *testing.T) {
	s := open(t)
	for _, m := range []TableMapping{{Kind: "oars", Name: "b", Mapping: "{}"}, {Kind: "boats", Name: "b", Mapping: "{}"}, {Kind: "oars", Name: "a", Mapping: "{}"}} {
		if err := s.SaveTableMapping(ctx, m); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.DeleteTableMapping(ctx, "oars", "b"); err != nil {
		t.Fatal(err)
	}
	wantError(t, s.DeleteTableMapping(ctx, "oars", "b"), ErrNotFound)
	var left []string
	for _, m := range must(s.AllTableMappings(ctx)) {
		left = append(left, m.Kind+" "+m.Name)
	}
	wantEqual(t, left, []string{"boats b", "oars a"})
}
