package athletes_test

import (
	"testing"
	"thole/api/store"
	"thole/api/storetest"
)

func TestAnErgTestOutlivesARestart(t *testing.T) {
	s := storetest.New(t)
	e := store.ErgTest{
		AthleteID: storetest.AddNamed(t, s, "Edda"), TestedOn: "2026-03-01", Fixed: store.FixedDistance, DistanceM: 2000, TimeS: 421.3,
		MassKg: storetest.Ptr(71.5), Note: "sliders", EnteredAt: storetest.Noon,
	}
	storetest.WantEqual(t, storetest.Must(s.SaveErgTests(storetest.Ctx, []store.ErgTest{e})), store.Saved{Added: 1})
	s = storetest.Reopen(t, s)
	got := storetest.Must(s.ErgTestsOf(storetest.Ctx, e.AthleteID))
	e.ID = got[0].ID
	storetest.WantFull(t, e)
	storetest.WantEqual(t, got, []store.ErgTest{e})
}

func TestReadingAFileTwiceLeavesNoDoubles(t *testing.T) {
	s := storetest.New(t)
	id := storetest.AddNamed(t, s, "Edda")
	file := []store.ErgTest{
		{AthleteID: id, TestedOn: "2026-03-01", Fixed: store.FixedDistance, DistanceM: 2000, TimeS: 421.3},
		{AthleteID: id, TestedOn: "2026-03-01", Fixed: store.FixedDistance, DistanceM: 500, TimeS: 92},
		{AthleteID: id, TestedOn: "2026-03-01", Fixed: store.FixedTime, DistanceM: 2600, TimeS: 500}, // the same number fixed
		{AthleteID: id, TestedOn: "2026-03-02", Fixed: store.FixedDistance, DistanceM: 2000, TimeS: 420},
	}
	storetest.WantEqual(t, storetest.Must(s.SaveErgTests(storetest.Ctx, file)), store.Saved{Added: 4})
	file[0].TimeS, file[2].DistanceM = 419.9, 2605
	storetest.WantEqual(t, storetest.Must(s.SaveErgTests(storetest.Ctx, file)), store.Saved{Updated: 2, Unchanged: 2})
	got := storetest.Must(s.ErgTestsOf(storetest.Ctx, id))
	if len(got) != 4 {
		t.Fatalf("%d tests on record, want 4", len(got))
	}
	storetest.WantEqual(t, []float64{got[0].TimeS, got[1].DistanceM, got[2].TimeS, got[3].TimeS}, []float64{420, 2605, 92, 419.9})
}

func TestAFileIsTakenWholeOrNotAtAll(t *testing.T) {
	s := storetest.New(t)
	id := storetest.AddNamed(t, s, "Edda")
	good := store.ErgTest{AthleteID: id, TestedOn: "2026-03-01", Fixed: store.FixedDistance, DistanceM: 2000, TimeS: 421.3}
	stranger, still := good, good
	stranger.AthleteID, still.TimeS = 99, 0
	_, err := s.SaveErgTests(storetest.Ctx, []store.ErgTest{good, stranger})
	storetest.WantError(t, err, store.ErrNotFound)
	_, err = s.SaveErgTests(storetest.Ctx, []store.ErgTest{good, still})
	storetest.WantError(t, err, store.ErrInvalid)
	storetest.WantEqual(t, storetest.Must(s.ErgTestsOf(storetest.Ctx, id)), []store.ErgTest{})
}

func TestErgTestsOfAllSinceADay(t *testing.T) {
	s := storetest.New(t)
	for i, name := range []string{"Edda", "Frieda"} {
		id := storetest.AddNamed(t, s, name)
		storetest.Must(s.SaveErgTests(storetest.Ctx, []store.ErgTest{
			{AthleteID: id, TestedOn: "2025-03-01", Fixed: store.FixedTime, DistanceM: 5000, TimeS: 1200},
			{AthleteID: id, TestedOn: "2026-03-01", Fixed: store.FixedTime, DistanceM: 5000 + float64(i), TimeS: 1200},
		}))
	}
	got := storetest.Must(s.ErgTestsSince(storetest.Ctx, "2026-03-01"))
	storetest.WantEqual(t, []float64{got[0].DistanceM, got[1].DistanceM}, []float64{5001, 5000})
}

func TestAnErgTestIsAddedOnce(t *testing.T) {
	s := storetest.New(t)
	e := store.ErgTest{AthleteID: storetest.AddNamed(t, s, "Edda"), TestedOn: "2026-03-01", Fixed: store.FixedDistance, DistanceM: 2000, TimeS: 421.3, MassKg: storetest.Ptr(71.5), Note: "sliders"}
	id := storetest.Must(s.AddErgTest(storetest.Ctx, e, storetest.Anna))
	storetest.WantEqual(t, storetest.Must(s.AddErgTest(storetest.Ctx, e, storetest.Anna)), id)
	other := e
	other.TimeS = 431.3
	_, err := s.AddErgTest(storetest.Ctx, other, storetest.Anna)
	storetest.WantError(t, err, store.ErrTaken)
	other.TestedOn = "2026-03-02"
	storetest.Must(s.AddErgTest(storetest.Ctx, other, storetest.Anna))
	other.AthleteID = 99
	_, err = s.AddErgTest(storetest.Ctx, other, storetest.Anna)
	storetest.WantError(t, err, store.ErrNotFound)
	s = storetest.Reopen(t, s)
	got := storetest.Must(s.ErgTestsOf(storetest.Ctx, e.AthleteID))
	e.ID, e.EnteredAt = id, storetest.Noon
	storetest.WantEqual(t, len(got), 2)
	storetest.WantEqual(t, got[1], e)
}

// TestTestsStandInTheAthletesHistory: of what was taken off the day and who did it
// stay. An edit of the athlete under way meets nothing.
func TestTestsStandInTheAthletesHistory(t *testing.T) {
	s := storetest.New(t)
	a := storetest.Must(s.Athlete(storetest.Ctx, storetest.AddNamed(t, s, "Edda")))
	id := storetest.Must(s.AddErgTest(storetest.Ctx, store.ErgTest{AthleteID: a.ID, TestedOn: "2026-03-01", Fixed: store.FixedDistance, DistanceM: 2000, TimeS: 421.35, MassKg: storetest.Ptr(71.5), Note: "sliders"}, storetest.Anna))
	storetest.Must(s.AddErgTest(storetest.Ctx, store.ErgTest{AthleteID: a.ID, TestedOn: "2026-03-02", Fixed: store.FixedTime, DistanceM: 8050, TimeS: 1800, MassKg: storetest.Ptr(71.25)}, storetest.Anna))
	storetest.WantError(t, s.RemoveErgTest(storetest.Ctx, storetest.AddNamed(t, s, "Frieda"), id, storetest.Anna), store.ErrNotFound)
	storetest.Check(t, s.RemoveErgTest(storetest.Ctx, a.ID, id, store.By{Name: "Ben"}))
	storetest.WantError(t, s.RemoveErgTest(storetest.Ctx, a.ID, id, storetest.Anna), store.ErrNotFound)
	storetest.WantEqual(t, storetest.Shown(storetest.Must(s.Changes(storetest.Ctx, store.AthleteRecord, a.ID, 0)))[1:], []string{
		"ergometer test 2026-03-01 - - Anna", "ergometer test 2026-03-02 - 8050 m in 30:00 (time set), 71.25 kg Anna", "ergometer test 2026-03-01 - - Ben",
	})
	a.Note = "left-handed"
	storetest.Must(s.UpdateAthlete(storetest.Ctx, a, storetest.Anna))
	storetest.WantEqual(t, len(storetest.Must(s.ErgTestsOf(storetest.Ctx, a.ID))), 1)
}
