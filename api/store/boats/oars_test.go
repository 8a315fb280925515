package store

import "testing"

func TestAnOarSetOutlivesARestart(t *testing.T) {
	s := open(t)
	o := OarSet{
		Name: "Blue", Kind: Sweep, Count: 8, BladeKind: "macon", Blade: "smoothie", LengthMinCm: ptr(368.0), LengthMaxCm: ptr(376.0), LengthStepCm: ptr(0.5), LengthCm: ptr(372.5),
		InboardMinCm: ptr(112.0), InboardMaxCm: ptr(118.0), InboardStepCm: ptr(0.25), InboardCm: ptr(115.25), Note: "two grips worn", Archived: true, Example: true,
	}
	o.ID, o.Version = must(s.AddOarSet(AsExample(ctx), o, anna)), 1
	wantFull(t, o)
	s = reopen(t, s)
	wantEqual(t, must(s.OarSet(ctx, o.ID)), o)
	wantEqual(t, must(s.OarSets(ctx, Filter{Name: "blu", Archived: true})), []OarSet{o})
	wantEqual(t, must(s.OarSets(ctx, Filter{})), []OarSet{})
}

func TestAStaleOarSetOverwritesNothing(t *testing.T) {
	s := open(t)
	o := OarSet{Name: "Blue", Kind: Scull, Count: 4, LengthCm: ptr(288.0)}
	o.ID, o.Version = must(s.AddOarSet(ctx, o, anna)), 1
	mine, theirs := o, o
	mine.LengthCm, theirs.LengthCm = ptr(287.0), ptr(289.5)
	must(s.UpdateOarSet(ctx, theirs, By{Name: "Bert"}))
	_, err := s.UpdateOarSet(ctx, mine, anna)
	wantEqual(t, wantConflict(t, err, 2), []string{"length_cm 288 289.5 Bert"})
	wantEqual(t, *must(s.OarSet(ctx, o.ID)).LengthCm, 289.5)
}

func TestWhatNoOarSetCanBe(t *testing.T) {
	s := open(t)
	for what, o := range map[string]OarSet{
		"kind": {Name: "B", Kind: "x"}, "range": {Name: "B", Kind: Scull, LengthMinCm: ptr(290.0), LengthMaxCm: ptr(280.0)}, "name": {Kind: Scull},
	} {
		t.Run(what, func(t *testing.T) {
			_, err := s.AddOarSet(ctx, o, anna)
			wantError(t, err, ErrInvalid)
		})
	}
	_, err := s.OarSet(ctx, 7)
	wantError(t, err, ErrNotFound)
	_, err = s.UpdateOarSet(ctx, OarSet{ID: 7}, anna)
	wantError(t, err, ErrNotFound)
}

func TestAnOarSetCanBeDeleted(t *testing.T) {
	s := open(t)
	id := must(s.AddOarSet(ctx, OarSet{Name: "Blue", Kind: Scull}, anna))
	_, err := s.AddOarSet(ctx, OarSet{Name: "blue", Kind: Scull}, anna)
	wantError(t, err, ErrTaken)
	check(t, s.DeleteOarSet(ctx, id))
	must(s.AddOarSet(ctx, OarSet{Name: "blue", Kind: Scull}, anna))
}
