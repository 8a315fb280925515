package boats_test

import (
	"testing"
	"thole/api/store"
	"thole/api/storetest"
)

func TestAnOarSetOutlivesARestart(t *testing.T) {
	s := storetest.New(t)
	o := store.OarSet{
		Name: "Blue", Kind: store.Sweep, Count: 8, BladeKind: "macon", Blade: "smoothie", LengthMinCm: storetest.Ptr(368.0), LengthMaxCm: storetest.Ptr(376.0), LengthStepCm: storetest.Ptr(0.5), LengthCm: storetest.Ptr(372.5),
		InboardMinCm: storetest.Ptr(112.0), InboardMaxCm: storetest.Ptr(118.0), InboardStepCm: storetest.Ptr(0.25), InboardCm: storetest.Ptr(115.25), Note: "two grips worn", Archived: true, Example: true,
	}
	o.ID, o.Version = storetest.Must(s.AddOarSet(store.AsExample(storetest.Ctx), o, storetest.Anna)), 1
	storetest.WantFull(t, o)
	s = storetest.Reopen(t, s)
	storetest.WantEqual(t, storetest.Must(s.OarSet(storetest.Ctx, o.ID)), o)
	storetest.WantEqual(t, storetest.Must(s.OarSets(storetest.Ctx, store.Filter{Name: "blu", Archived: true})), []store.OarSet{o})
	storetest.WantEqual(t, storetest.Must(s.OarSets(storetest.Ctx, store.Filter{})), []store.OarSet{})
}

func TestAStaleOarSetOverwritesNothing(t *testing.T) {
	s := storetest.New(t)
	o := store.OarSet{Name: "Blue", Kind: store.Scull, Count: 4, LengthCm: storetest.Ptr(288.0)}
	o.ID, o.Version = storetest.Must(s.AddOarSet(storetest.Ctx, o, storetest.Anna)), 1
	mine, theirs := o, o
	mine.LengthCm, theirs.LengthCm = storetest.Ptr(287.0), storetest.Ptr(289.5)
	storetest.Must(s.UpdateOarSet(storetest.Ctx, theirs, store.By{Name: "Bert"}))
	_, err := s.UpdateOarSet(storetest.Ctx, mine, storetest.Anna)
	storetest.WantEqual(t, storetest.WantConflict(t, err, 2), []string{"length_cm 288 289.5 Bert"})
	storetest.WantEqual(t, *storetest.Must(s.OarSet(storetest.Ctx, o.ID)).LengthCm, 289.5)
}

func TestWhatNoOarSetCanBe(t *testing.T) {
	s := storetest.New(t)
	for what, o := range map[string]store.OarSet{
		"kind": {Name: "B", Kind: "x"}, "range": {Name: "B", Kind: store.Scull, LengthMinCm: storetest.Ptr(290.0), LengthMaxCm: storetest.Ptr(280.0)}, "name": {Kind: store.Scull},
	} {
		t.Run(what, func(t *testing.T) {
			_, err := s.AddOarSet(storetest.Ctx, o, storetest.Anna)
			storetest.WantError(t, err, store.ErrInvalid)
		})
	}
	_, err := s.OarSet(storetest.Ctx, 7)
	storetest.WantError(t, err, store.ErrNotFound)
	_, err = s.UpdateOarSet(storetest.Ctx, store.OarSet{ID: 7}, storetest.Anna)
	storetest.WantError(t, err, store.ErrNotFound)
}

func TestAnOarSetCanBeDeleted(t *testing.T) {
	s := storetest.New(t)
	id := storetest.Must(s.AddOarSet(storetest.Ctx, store.OarSet{Name: "Blue", Kind: store.Scull}, storetest.Anna))
	_, err := s.AddOarSet(storetest.Ctx, store.OarSet{Name: "blue", Kind: store.Scull}, storetest.Anna)
	storetest.WantError(t, err, store.ErrTaken)
	storetest.Check(t, s.DeleteOarSet(storetest.Ctx, id))
	storetest.Must(s.AddOarSet(storetest.Ctx, store.OarSet{Name: "blue", Kind: store.Scull}, storetest.Anna))
}
