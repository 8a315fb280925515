package athletes_test

import (
	"testing"
	"thole/api/store"
	"thole/api/storetest"
)

// someSquad is an athlete on record, changed, and a new one, each with a mass
// and tests.
func someSquad(t *testing.T, s *store.Store) []store.SquadMember {
	t.Helper()
	known := storetest.Must(s.Athlete(storetest.Ctx, storetest.AddNamed(t, s, "Edda")))
	known.Sculls = !known.Sculls
	test := store.ErgTest{TestedOn: "2026-03-01", Fixed: store.FixedDistance, DistanceM: 2000, TimeS: 421.3, EnteredAt: storetest.Noon}
	return []store.SquadMember{
		{Athlete: known, Body: store.Body{MassKg: storetest.Ptr(71.5)}, Tests: []store.ErgTest{test}},
		{Athlete: store.Athlete{Name: "Frieda"}, Body: store.Body{MassKg: storetest.Ptr(64.0)}, Tests: []store.ErgTest{test, {TestedOn: "2026-03-01", Fixed: store.FixedTime, DistanceM: 7900, TimeS: 1800}}},
	}
}

func TestASquadComesInAsAWhole(t *testing.T) {
	s := storetest.New(t)
	squad := someSquad(t, s)
	ids := storetest.Must(s.SaveSquad(storetest.Ctx, squad, "2026-03-14", store.By{Name: "Ines", At: storetest.Noon}))
	if len(ids) != 2 || ids[0] != squad[0].Athlete.ID || ids[1] == ids[0] {
		t.Fatalf("ids %v", ids)
	}
	s = storetest.Reopen(t, s)
	storetest.WantEqual(t, storetest.Must(s.Athlete(storetest.Ctx, ids[0])).Sculls, squad[0].Athlete.Sculls)
	storetest.WantEqual(t, storetest.Must(s.Athlete(storetest.Ctx, ids[0])).Version, int64(2))
	storetest.WantEqual(t, storetest.Must(s.Athlete(storetest.Ctx, ids[1])).Name, "Frieda")
	taken := storetest.Must(s.MeasuresOf(storetest.Ctx, ids[0]))[0]
	storetest.WantEqual(t, taken, store.Measures{ID: taken.ID, AthleteID: ids[0], MeasuredOn: "2026-03-14", Body: store.Body{MassKg: storetest.Ptr(71.5)}, MeasuredBy: "Ines", EnteredAt: storetest.Noon})
	storetest.WantEqual(t, len(storetest.Must(s.ErgTestsOf(storetest.Ctx, ids[0]))), 1)
	storetest.WantEqual(t, len(storetest.Must(s.ErgTestsOf(storetest.Ctx, ids[1]))), 2)
	storetest.WantEqual(t, storetest.Shown(storetest.Must(s.Changes(storetest.Ctx, store.AthleteRecord, ids[0], 1))), []string{"sculls false true Ines"})
}

// TestHalfASquadIsNeverLeft: whatever is wrong with the last of it, the first
// are not written either.
func TestHalfASquadIsNeverLeft(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(*store.SquadMember)
		want  error
	}{
		"a name that is taken":      {func(m *store.SquadMember) { m.Athlete.Name = "edda" }, store.ErrTaken},
		"no name":                   {func(m *store.SquadMember) { m.Athlete.Name = " " }, store.ErrInvalid},
		"nobody on record":          {func(m *store.SquadMember) { m.Athlete.ID = 99 }, store.ErrNotFound},
		"a test of no time":         {func(m *store.SquadMember) { m.Tests[1].TimeS = 0 }, store.ErrInvalid},
		"a test on no day":          {func(m *store.SquadMember) { m.Tests[1].TestedOn = "2026-02-30" }, store.ErrInvalid},
		"an athlete who was edited": {func(m *store.SquadMember) { m.Athlete.ID, m.Athlete.Version = 1, 0 }, nil},
	} {
		t.Run(name, func(t *testing.T) {
			s := storetest.New(t)
			squad := someSquad(t, s)
			before := storetest.Must(s.Athletes(storetest.Ctx, store.Filter{}))
			c.spoil(&squad[1])
			_, err := s.SaveSquad(storetest.Ctx, squad, "2026-03-14", store.By{Name: "Ines", At: storetest.Noon})
			if c.want == nil {
				storetest.WantConflict(t, err, 2)
			} else {
				storetest.WantError(t, err, c.want)
			}
			storetest.WantEqual(t, storetest.Must(s.Athletes(storetest.Ctx, store.Filter{})), before)
			storetest.WantEqual(t, storetest.Must(s.MeasuresOf(storetest.Ctx, squad[0].Athlete.ID)), []store.Measures{})
			storetest.WantEqual(t, storetest.Must(s.ErgTestsSince(storetest.Ctx, "0001-01-01")), []store.ErgTest{})
		})
	}
}

func TestNamesWithOneKeyCountAsTheSame(t *testing.T) {
	for _, name := range []string{"José  Müller", "JOSE MULLER", " jose\u0301 muller"} {
		storetest.WantEqual(t, store.NameKey(name), store.NameKey("Jose Muller"))
	}
	storetest.WantEqual(t, store.NameKey("\u0301"), "")
}
