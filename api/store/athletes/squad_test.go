package store

import "testing"

// someSquad is an athlete on record, changed, and a new one, each with a mass
// and tests.
func someSquad(t *testing.T, s *Store) []SquadMember {
	t.Helper()
	known := must(s.Athlete(ctx, addNamed(t, s, "Edda")))
	known.Sculls = !known.Sculls
	test := ErgTest{TestedOn: "2026-03-01", Fixed: FixedDistance, DistanceM: 2000, TimeS: 421.3, EnteredAt: noon}
	return []SquadMember{
		{Athlete: known, Body: Body{MassKg: ptr(71.5)}, Tests: []ErgTest{test}},
		{Athlete: Athlete{Name: "Frieda"}, Body: Body{MassKg: ptr(64.0)}, Tests: []ErgTest{test, {TestedOn: "2026-03-01", Fixed: FixedTime, DistanceM: 7900, TimeS: 1800}}},
	}
}

func TestASquadComesInAsAWhole(t *testing.T) {
	s := open(t)
	squad := someSquad(t, s)
	ids := must(s.SaveSquad(ctx, squad, "2026-03-14", By{"Ines", noon}))
	if len(ids) != 2 || ids[0] != squad[0].Athlete.ID || ids[1] == ids[0] {
		t.Fatalf("ids %v", ids)
	}
	s = reopen(t, s)
	wantEqual(t, must(s.Athlete(ctx, ids[0])).Sculls, squad[0].Athlete.Sculls)
	wantEqual(t, must(s.Athlete(ctx, ids[0])).Version, int64(2))
	wantEqual(t, must(s.Athlete(ctx, ids[1])).Name, "Frieda")
	taken := must(s.MeasuresOf(ctx, ids[0]))[0]
	wantEqual(t, taken, Measures{ID: taken.ID, AthleteID: ids[0], MeasuredOn: "2026-03-14", Body: Body{MassKg: ptr(71.5)}, MeasuredBy: "Ines", EnteredAt: noon})
	wantEqual(t, len(must(s.ErgTestsOf(ctx, ids[0]))), 1)
	wantEqual(t, len(must(s.ErgTestsOf(ctx, ids[1]))), 2)
	wantEqual(t, shown(must(s.Changes(ctx, AthleteRecord, ids[0], 1))), []string{"sculls false true Ines"})
}

// TestHalfASquadIsNeverLeft: whatever is wrong with the last of it, the first
// are not written either.
func TestHalfASquadIsNeverLeft(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(*SquadMember)
		want  error
	}{
		"a name that is taken":      {func(m *SquadMember) { m.Athlete.Name = "edda" }, ErrTaken},
		"no name":                   {func(m *SquadMember) { m.Athlete.Name = " " }, ErrInvalid},
		"nobody on record":          {func(m *SquadMember) { m.Athlete.ID = 99 }, ErrNotFound},
		"a test of no time":         {func(m *SquadMember) { m.Tests[1].TimeS = 0 }, ErrInvalid},
		"a test on no day":          {func(m *SquadMember) { m.Tests[1].TestedOn = "2026-02-30" }, ErrInvalid},
		"an athlete who was edited": {func(m *SquadMember) { m.Athlete.ID, m.Athlete.Version = 1, 0 }, nil},
	} {
		t.Run(name, func(t *testing.T) {
			s := open(t)
			squad := someSquad(t, s)
			before := must(s.Athletes(ctx, Filter{}))
			c.spoil(&squad[1])
			_, err := s.SaveSquad(ctx, squad, "2026-03-14", By{"Ines", noon})
			if c.want == nil {
				wantConflict(t, err, 2)
			} else {
				wantError(t, err, c.want)
			}
			wantEqual(t, must(s.Athletes(ctx, Filter{})), before)
			wantEqual(t, must(s.MeasuresOf(ctx, squad[0].Athlete.ID)), []Measures{})
			wantEqual(t, must(s.ErgTestsSince(ctx, "0001-01-01")), []ErgTest{})
		})
	}
}

func TestNamesWithOneKeyCountAsTheSame(t *testing.T) {
	for _, name := range []string{"José  Müller", "JOSE MULLER", " jose\u0301 muller"} {
		wantEqual(t, NameKey(name), NameKey("Jose Muller"))
	}
	wantEqual(t, NameKey("\u0301"), "")
}
