package store

import "testing"

func TestAnErgTestOutlivesARestart(t *testing.T) {
	s := open(t)
	e := ErgTest{
		AthleteID: addNamed(t, s, "Edda"), TestedOn: "2026-03-01", Fixed: FixedDistance, DistanceM: 2000, TimeS: 421.3,
		MassKg: ptr(71.5), Note: "sliders", EnteredAt: noon,
	}
	wantEqual(t, must(s.SaveErgTests(ctx, []ErgTest{e})), Saved{Added: 1})
	s = reopen(t, s)
	got := must(s.ErgTestsOf(ctx, e.AthleteID))
	e.ID = got[0].ID
	wantFull(t, e)
	wantEqual(t, got, []ErgTest{e})
}

func TestReadingAFileTwiceLeavesNoDoubles(t *testing.T) {
	s := open(t)
	id := addNamed(t, s, "Edda")
	file := []ErgTest{
		{AthleteID: id, TestedOn: "2026-03-01", Fixed: FixedDistance, DistanceM: 2000, TimeS: 421.3},
		{AthleteID: id, TestedOn: "2026-03-01", Fixed: FixedDistance, DistanceM: 500, TimeS: 92},
		{AthleteID: id, TestedOn: "2026-03-01", Fixed: FixedTime, DistanceM: 2600, TimeS: 500}, // the same number fixed
		{AthleteID: id, TestedOn: "2026-03-02", Fixed: FixedDistance, DistanceM: 2000, TimeS: 420},
	}
	wantEqual(t, must(s.SaveErgTests(ctx, file)), Saved{Added: 4})
	file[0].TimeS, file[2].DistanceM = 419.9, 2605
	wantEqual(t, must(s.SaveErgTests(ctx, file)), Saved{Updated: 2, Unchanged: 2})
	got := must(s.ErgTestsOf(ctx, id))
	if len(got) != 4 {
		t.Fatalf("%d tests on record, want 4", len(got))
	}
	wantEqual(t, []float64{got[0].TimeS, got[1].DistanceM, got[2].TimeS, got[3].TimeS}, []float64{420, 2605, 92, 419.9})
}

func TestAFileIsTakenWholeOrNotAtAll(t *testing.T) {
	s := open(t)
	id := addNamed(t, s, "Edda")
	good := ErgTest{AthleteID: id, TestedOn: "2026-03-01", Fixed: FixedDistance, DistanceM: 2000, TimeS: 421.3}
	stranger, still := good, good
	stranger.AthleteID, still.TimeS = 99, 0
	_, err := s.SaveErgTests(ctx, []ErgTest{good, stranger})
	wantError(t, err, ErrNotFound)
	_, err = s.SaveErgTests(ctx, []ErgTest{good, still})
	wantError(t, err, ErrInvalid)
	wantEqual(t, must(s.ErgTestsOf(ctx, id)), []ErgTest{})
}

func TestErgTestsOfAllSinceADay(t *testing.T) {
	s := open(t)
	for i, name := range []string{"Edda", "Frieda"} {
		id := addNamed(t, s, name)
		must(s.SaveErgTests(ctx, []ErgTest{
			{AthleteID: id, TestedOn: "2025-03-01", Fixed: FixedTime, DistanceM: 5000, TimeS: 1200},
			{AthleteID: id, TestedOn: "2026-03-01", Fixed: FixedTime, DistanceM: 5000 + float64(i), TimeS: 1200},
		}))
	}
	got := must(s.ErgTestsSince(ctx, "2026-03-01"))
	wantEqual(t, []float64{got[0].DistanceM, got[1].DistanceM}, []float64{5001, 5000})
}

func TestAnErgTestIsAddedOnce(t *testing.T) {
	s := open(t)
	e := ErgTest{AthleteID: addNamed(t, s, "Edda"), TestedOn: "2026-03-01", Fixed: FixedDistance, DistanceM: 2000, TimeS: 421.3, MassKg: ptr(71.5), Note: "sliders"}
	id := must(s.AddErgTest(ctx, e, anna))
	wantEqual(t, must(s.AddErgTest(ctx, e, anna)), id)
	other := e
	other.TimeS = 431.3
	_, err := s.AddErgTest(ctx, other, anna)
	wantError(t, err, ErrTaken)
	other.TestedOn = "2026-03-02"
	must(s.AddErgTest(ctx, other, anna))
	other.AthleteID = 99
	_, err = s.AddErgTest(ctx, other, anna)
	wantError(t, err, ErrNotFound)
	s = reopen(t, s)
	got := must(s.ErgTestsOf(ctx, e.AthleteID))
	e.ID, e.EnteredAt = id, noon
	wantEqual(t, len(got), 2)
	wantEqual(t, got[1], e)
}

// TestTestsStandInTheAthletesHistory: of what was taken off the day and who did it
// stay. An edit of the athlete under way meets nothing.
func TestTestsStandInTheAthletesHistory(t *testing.T) {
	s := open(t)
	a := must(s.Athlete(ctx, addNamed(t, s, "Edda")))
	id := must(s.AddErgTest(ctx, ErgTest{AthleteID: a.ID, TestedOn: "2026-03-01", Fixed: FixedDistance, DistanceM: 2000, TimeS: 421.35, MassKg: ptr(71.5), Note: "sliders"}, anna))
	must(s.AddErgTest(ctx, ErgTest{AthleteID: a.ID, TestedOn: "2026-03-02", Fixed: FixedTime, DistanceM: 8050, TimeS: 1800}, anna))
	wantError(t, s.RemoveErgTest(ctx, addNamed(t, s, "Frieda"), id, anna), ErrNotFound)
	check(t, s.RemoveErgTest(ctx, a.ID, id, By{Name: "Ben"}))
	wantError(t, s.RemoveErgTest(ctx, a.ID, id, anna), ErrNotFound)
	wantEqual(t, shown(must(s.Changes(ctx, AthleteRecord, a.ID, 0)))[1:], []string{
		"ergometer test 2026-03-01 - - Anna", "ergometer test 2026-03-02 - 8050 m in 30:00 (time set) Anna", "ergometer test 2026-03-01 - - Ben",
	})
	a.Note = "left-handed"
	must(s.UpdateAthlete(ctx, a, anna))
	wantEqual(t, len(must(s.ErgTestsOf(ctx, a.ID))), 1)
}
