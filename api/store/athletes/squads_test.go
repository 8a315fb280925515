package athletes_test

import (
	"testing"
	"thole/api/store"
	"thole/api/storetest"
)

func TestASquadOutlivesARestart(t *testing.T) {
	s := storetest.New(t)
	edda, frieda := storetest.AddNamed(t, s, "Edda"), storetest.AddNamed(t, s, "Frieda")
	id := storetest.Must(s.AddSquad(storetest.Ctx, store.Squad{Name: "Senior Women", Athletes: []int64{frieda, edda, edda}}))
	want := store.Squad{ID: id, Version: 1, Name: "Senior Women", Athletes: []int64{edda, frieda}}
	s = storetest.Reopen(t, s)
	storetest.WantEqual(t, storetest.Must(s.Squad(storetest.Ctx, id)), want)
	storetest.WantEqual(t, storetest.Must(s.Squads(storetest.Ctx)), []store.Squad{want})
	_, err := s.AddSquad(storetest.Ctx, store.Squad{Name: " senior  WOMEN"})
	storetest.WantError(t, err, store.ErrTaken)
	_, err = s.AddSquad(storetest.Ctx, store.Squad{Name: "  "})
	storetest.WantError(t, err, store.ErrInvalid)
	_, err = s.AddSquad(storetest.Ctx, store.Squad{Name: "Ghosts", Athletes: []int64{99}})
	storetest.WantError(t, err, store.ErrNotFound)
	storetest.WantEqual(t, len(storetest.Must(s.Squads(storetest.Ctx))), 1)
}

func TestASquadIsWrittenAsAWhole(t *testing.T) {
	s := storetest.New(t)
	edda, frieda := storetest.AddNamed(t, s, "Edda"), storetest.AddNamed(t, s, "Frieda")
	id := storetest.Must(s.AddSquad(storetest.Ctx, store.Squad{Name: "Women", Athletes: []int64{edda}}))
	storetest.Must(s.AddSquad(storetest.Ctx, store.Squad{Name: "Juniors"}))
	storetest.WantEqual(t, storetest.Must(s.UpdateSquad(storetest.Ctx, store.Squad{ID: id, Version: 1, Name: "Women A", Athletes: []int64{frieda}})), int64(2))
	storetest.WantEqual(t, storetest.Must(s.Squad(storetest.Ctx, id)), store.Squad{ID: id, Version: 2, Name: "Women A", Athletes: []int64{frieda}})
	_, err := s.UpdateSquad(storetest.Ctx, store.Squad{ID: id, Version: 1, Name: "Women B"})
	storetest.WantConflict(t, err, 2)
	_, err = s.UpdateSquad(storetest.Ctx, store.Squad{ID: id, Version: 2, Name: "juniors"})
	storetest.WantError(t, err, store.ErrTaken)
	_, err = s.UpdateSquad(storetest.Ctx, store.Squad{ID: 77, Name: "Nobody"})
	storetest.WantError(t, err, store.ErrNotFound)
	storetest.WantEqual(t, storetest.Must(s.Squad(storetest.Ctx, id)).Athletes, []int64{frieda})
	storetest.Check(t, s.DeleteSquad(storetest.Ctx, id))
	storetest.WantError(t, s.DeleteSquad(storetest.Ctx, id), store.ErrNotFound)
	storetest.WantEqual(t, storetest.Must(s.Athlete(storetest.Ctx, frieda)).Name, "Frieda")
}

// TestAnAthleteIsInSeveralSquads: set as a whole, joined by name, filtered by, and
// gone with the athlete.
func TestAnAthleteIsInSeveralSquads(t *testing.T) {
	s := storetest.New(t)
	edda, frieda := storetest.AddNamed(t, s, "Edda"), storetest.AddNamed(t, s, "Frieda")
	women, under := storetest.Must(s.AddSquad(storetest.Ctx, store.Squad{Name: "Women", Athletes: []int64{frieda}})), storetest.Must(s.AddSquad(storetest.Ctx, store.Squad{Name: "Under 23", Athletes: []int64{edda}}))
	save := func(m store.SquadMember) error {
		m.Athlete = storetest.Must(s.Athlete(storetest.Ctx, edda))
		_, err := s.SaveSquad(storetest.Ctx, []store.SquadMember{m}, "2026-03-14", storetest.Anna)
		return err
	}
	storetest.Check(t, save(store.SquadMember{Squads: []int64{women}}))
	storetest.Check(t, save(store.SquadMember{Join: []string{"WOMEN", "Trialists"}}))
	storetest.Check(t, save(store.SquadMember{}))
	var got []string
	for _, q := range storetest.Must(s.Squads(storetest.Ctx)) {
		got = append(got, q.Name)
		for _, id := range q.Athletes {
			got = append(got, storetest.Must(s.Athlete(storetest.Ctx, id)).Name)
		}
	}
	storetest.WantEqual(t, got, []string{"Trialists", "Edda", "Under 23", "Women", "Edda", "Frieda"})
	storetest.WantEqual(t, storetest.Must(s.Squad(storetest.Ctx, women)).Version, int64(2))
	storetest.WantEqual(t, storetest.Must(s.Squad(storetest.Ctx, under)).Version, int64(2))
	storetest.WantEqual(t, storetest.Must(s.Athlete(storetest.Ctx, edda)).Version, int64(1))
	storetest.WantError(t, save(store.SquadMember{Squads: []int64{women, 99}}), store.ErrNotFound)
	for squad, want := range map[int64]int{0: 2, women: 2, under: 0, 99: 0} {
		storetest.WantEqual(t, len(storetest.Must(s.Athletes(storetest.Ctx, store.Filter{Squad: squad}))), want)
	}
	storetest.WantEqual(t, len(storetest.Must(s.Athletes(storetest.Ctx, store.Filter{Squad: women, Name: "edd"}))), 1)
	storetest.Check(t, save(store.SquadMember{Squads: []int64{}}))
	storetest.WantEqual(t, storetest.Must(s.Squad(storetest.Ctx, women)).Athletes, []int64{frieda})
	storetest.Check(t, s.DeleteAthlete(storetest.Ctx, frieda))
	storetest.WantEqual(t, storetest.Must(s.Squad(storetest.Ctx, women)).Athletes, []int64{})
}

// TestJoiningASquadIsAChangeOfIt, and to join it again is none.
func TestJoiningASquadIsAChangeOfIt(t *testing.T) {
	s := storetest.New(t)
	edda := storetest.Must(s.Athlete(storetest.Ctx, storetest.AddNamed(t, s, "Edda")))
	women := storetest.Must(s.AddSquad(storetest.Ctx, store.Squad{Name: "Women"}))
	for range 2 {
		storetest.Must(s.SaveSquad(storetest.Ctx, []store.SquadMember{{Athlete: edda, Join: []string{"Women"}}}, "2026-03-14", storetest.Anna))
		storetest.WantEqual(t, storetest.Must(s.Squad(storetest.Ctx, women)), store.Squad{ID: women, Version: 2, Name: "Women", Athletes: []int64{edda.ID}})
	}
}
