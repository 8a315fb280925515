package store

import "testing"

func TestASquadOutlivesARestart(t *testing.T) {
	s := open(t)
	edda, frieda := addNamed(t, s, "Edda"), addNamed(t, s, "Frieda")
	id := must(s.AddSquad(ctx, Squad{Name: "Senior Women", Athletes: []int64{frieda, edda, edda}}))
	want := Squad{ID: id, Version: 1, Name: "Senior Women", Athletes: []int64{edda, frieda}}
	s = reopen(t, s)
	wantEqual(t, must(s.Squad(ctx, id)), want)
	wantEqual(t, must(s.Squads(ctx)), []Squad{want})
	_, err := s.AddSquad(ctx, Squad{Name: " senior  WOMEN"})
	wantError(t, err, ErrTaken)
	_, err = s.AddSquad(ctx, Squad{Name: "  "})
	wantError(t, err, ErrInvalid)
	_, err = s.AddSquad(ctx, Squad{Name: "Ghosts", Athletes: []int64{99}})
	wantError(t, err, ErrNotFound)
	wantEqual(t, len(must(s.Squads(ctx))), 1)
}

func TestASquadIsWrittenAsAWhole(t *testing.T) {
	s := open(t)
	edda, frieda := addNamed(t, s, "Edda"), addNamed(t, s, "Frieda")
	id := must(s.AddSquad(ctx, Squad{Name: "Women", Athletes: []int64{edda}}))
	must(s.AddSquad(ctx, Squad{Name: "Juniors"}))
	wantEqual(t, must(s.UpdateSquad(ctx, Squad{ID: id, Version: 1, Name: "Women A", Athletes: []int64{frieda}})), int64(2))
	wantEqual(t, must(s.Squad(ctx, id)), Squad{ID: id, Version: 2, Name: "Women A", Athletes: []int64{frieda}})
	_, err := s.UpdateSquad(ctx, Squad{ID: id, Version: 1, Name: "Women B"})
	wantConflict(t, err, 2)
	_, err = s.UpdateSquad(ctx, Squad{ID: id, Version: 2, Name: "juniors"})
	wantError(t, err, ErrTaken)
	_, err = s.UpdateSquad(ctx, Squad{ID: 77, Name: "Nobody"})
	wantError(t, err, ErrNotFound)
	wantEqual(t, must(s.Squad(ctx, id)).Athletes, []int64{frieda})
	check(t, s.DeleteSquad(ctx, id))
	wantError(t, s.DeleteSquad(ctx, id), ErrNotFound)
	wantEqual(t, must(s.Athlete(ctx, frieda)).Name, "Frieda")
}

// TestAnAthleteIsInSeveralSquads: set as a whole, joined by name, filtered by, and
// gone with the athlete.
func TestAnAthleteIsInSeveralSquads(t *testing.T) {
	s := open(t)
	edda, frieda := addNamed(t, s, "Edda"), addNamed(t, s, "Frieda")
	women, under := must(s.AddSquad(ctx, Squad{Name: "Women", Athletes: []int64{frieda}})), must(s.AddSquad(ctx, Squad{Name: "Under 23", Athletes: []int64{edda}}))
	save := func(m SquadMember) error {
		m.Athlete = must(s.Athlete(ctx, edda))
		_, err := s.SaveSquad(ctx, []SquadMember{m}, "2026-03-14", anna)
		return err
	}
	check(t, save(SquadMember{Squads: []int64{women}}))
	check(t, save(SquadMember{Join: []string{"WOMEN", "Trialists"}}))
	check(t, save(SquadMember{}))
	var got []string
	for _, q := range must(s.Squads(ctx)) {
		got = append(got, q.Name)
		for _, id := range q.Athletes {
			got = append(got, must(s.Athlete(ctx, id)).Name)
		}
	}
	wantEqual(t, got, []string{"Trialists", "Edda", "Under 23", "Women", "Edda", "Frieda"})
	wantEqual(t, must(s.Squad(ctx, women)).Version, int64(2))
	wantEqual(t, must(s.Squad(ctx, under)).Version, int64(2))
	wantEqual(t, must(s.Athlete(ctx, edda)).Version, int64(1))
	wantError(t, save(SquadMember{Squads: []int64{women, 99}}), ErrNotFound)
	for squad, want := range map[int64]int{0: 2, women: 2, under: 0, 99: 0} {
		wantEqual(t, len(must(s.Athletes(ctx, Filter{Squad: squad}))), want)
	}
	wantEqual(t, len(must(s.Athletes(ctx, Filter{Squad: women, Name: "edd"}))), 1)
	check(t, save(SquadMember{Squads: []int64{}}))
	wantEqual(t, must(s.Squad(ctx, women)).Athletes, []int64{frieda})
	check(t, s.DeleteAthlete(ctx, frieda))
	wantEqual(t, must(s.Squad(ctx, women)).Athletes, []int64{})
}
