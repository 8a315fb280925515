package boats_test

import (
	"testing"
	"thole/api/store"
	"thole/api/storetest"
	"time"
)

// addSheet puts a work sheet for two settings of a new four on record.
func addSheet(t testing.TB, s *store.Store) (boat, sheet int64) {
	t.Helper()
	boat = storetest.AddFour(t, s)
	sheet, err := s.AddSheet(storetest.Ctx, store.Sheet{BoatID: boat, BoatVersion: 1, Lines: []store.SheetLine{
		{Seat: 3, Setting: "spread_cm", Target: 85, Tolerance: 0.2}, {Seat: 1, Setting: "heel_depth_cm", Target: 17.5, Tolerance: 0.5},
	}}, storetest.Anna)
	storetest.Check(t, err)
	return boat, sheet
}

func TestASheetOutlivesARestart(t *testing.T) {
	s := storetest.New(t)
	l := storetest.AddPair(t, s)
	h := store.Sheet{
		BoatID: *l.BoatID, BoatVersion: 1, LineupID: &l.ID, Crew: storetest.Ptr(`[{"name":"Guest"}]`), CoxMassKg: storetest.Ptr(55.0), ChosenTargets: storetest.Ptr(`["finish_deg"]`), TargetCatchDeg: storetest.Ptr(-55.0), TargetFinishDeg: storetest.Ptr(34.0),
		TargetLeverRatio: storetest.Ptr(2.2), TargetDrawHeightCm: storetest.Ptr(21.5), Job: "full_rerig", Level: "novice", Light: true,
		LimitLeanDeg: storetest.Ptr(31.0), LimitLaybackDeg: storetest.Ptr(36.0), LimitKneeFlexionDeg: storetest.Ptr(139.0), LimitTrunkThighDeg: storetest.Ptr(164.0), Note: "before the regatta", CreatedBy: "Anna", CreatedAt: storetest.Noon, DoneBy: "Cleo", DoneAt: storetest.Noon.Add(2 * time.Hour),
		Lines: []store.SheetLine{{Seat: 2, Setting: "plate_angle_deg", AsFound: storetest.Ptr(24.5), StandsOn: storetest.Ptr(42.0), Target: 42.5, Tolerance: 0.5, Measured: storetest.Ptr(42.0), MeasuredAt: storetest.Noon.Add(time.Hour), MeasuredBy: "Bert"}},
	}
	h.ID = storetest.Must(s.AddSheet(storetest.Ctx, h, storetest.Anna))
	storetest.Must(s.RecordReading(storetest.Ctx, h.ID, store.Reading{Seat: 2, Setting: "plate_angle_deg", Value: 42, Key: "k1"}, store.By{Name: "Bert", At: storetest.Noon.Add(time.Hour)}))
	storetest.Must(s.FinishSheet(storetest.Ctx, h.ID, 1, store.By{Name: "Cleo", At: storetest.Noon.Add(2 * time.Hour)}))
	storetest.WantFull(t, h)
	storetest.WantEqual(t, storetest.Must(storetest.Reopen(t, s).Sheet(storetest.Ctx, h.ID)), h)
}

func TestANewSheetTakesWhatIsFoundFromTheBoat(t *testing.T) {
	s := storetest.New(t)
	_, sheet := addSheet(t, s)
	storetest.WantEqual(t, storetest.Must(s.Sheet(storetest.Ctx, sheet)).Lines, []store.SheetLine{
		{Seat: 3, Setting: "spread_cm", AsFound: storetest.Ptr(84.0), Target: 85, Tolerance: 0.2}, {Seat: 1, Setting: "heel_depth_cm", Target: 17.5, Tolerance: 0.5},
	})
}

func TestASheetIsMadeForTheBoatAsItStands(t *testing.T) {
	s := storetest.New(t)
	boat := storetest.AddFour(t, s)
	storetest.Must(s.ChangeRig(storetest.Ctx, boat, 1, []store.RigSetting{{Seat: 1, Setting: "spread_cm", Value: 83}}, "", store.By{Name: "Bert"}))
	_, err := s.AddSheet(storetest.Ctx, store.Sheet{BoatID: boat, BoatVersion: 1}, storetest.Anna)
	storetest.WantEqual(t, storetest.WantConflict(t, err, 2), []string{"seat 1 spread_cm 84 83 Bert"})
}

func TestWhatNoSheetCanBe(t *testing.T) {
	s := storetest.New(t)
	boat := storetest.AddFour(t, s)
	_, err := s.AddSheet(storetest.Ctx, store.Sheet{BoatID: 7, BoatVersion: 1}, storetest.Anna)
	storetest.WantError(t, err, store.ErrNotFound)
	for _, c := range []struct {
		line store.SheetLine
		want error
	}{{store.SheetLine{Seat: 5, Setting: "spread_cm"}, store.ErrNotFound}, {store.SheetLine{Seat: 1, Setting: "x"}, store.ErrInvalid}, {store.SheetLine{Seat: 1, Setting: "span_cm", Tolerance: -1}, store.ErrInvalid}} {
		_, err := s.AddSheet(storetest.Ctx, store.Sheet{BoatID: boat, BoatVersion: 1, Lines: []store.SheetLine{c.line}}, storetest.Anna)
		storetest.WantError(t, err, c.want)
	}
	_, err = s.AddSheet(storetest.Ctx, store.Sheet{BoatID: boat, BoatVersion: 1, Crew: storetest.Ptr("{")}, storetest.Anna)
	storetest.WantError(t, err, store.ErrInvalid)
	_, err = s.Sheet(storetest.Ctx, 7)
	storetest.WantError(t, err, store.ErrNotFound)
}

func TestAReadingSentAgainCountsOnce(t *testing.T) {
	s := storetest.New(t)
	_, sheet := addSheet(t, s)
	first := storetest.Must(s.RecordReading(storetest.Ctx, sheet, store.Reading{Seat: 3, Setting: "spread_cm", Value: 84.9, Key: "phone-1"}, store.By{Name: "Bert", At: storetest.Noon}))
	storetest.Must(s.RecordReading(storetest.Ctx, sheet, store.Reading{Seat: 3, Setting: "spread_cm", Value: 85.1, Key: "phone-2"}, store.By{Name: "Cleo", At: storetest.Noon.Add(time.Minute)}))
	again := storetest.Must(s.RecordReading(storetest.Ctx, sheet, store.Reading{Seat: 3, Setting: "spread_cm", Value: 84.9, Key: "phone-1"}, store.By{Name: "Bert", At: storetest.Noon.Add(time.Hour)}))
	storetest.WantEqual(t, *first.Measured, 84.9)
	storetest.WantEqual(t, again, store.SheetLine{
		Seat: 3, Setting: "spread_cm", AsFound: storetest.Ptr(84.0), Target: 85, Tolerance: 0.2, Measured: storetest.Ptr(85.1), MeasuredAt: storetest.Noon.Add(time.Minute), MeasuredBy: "Cleo",
	})
	var n int
	storetest.Check(t, storetest.Readers(s).QueryRow("SELECT count(*) FROM sheet_readings").Scan(&n))
	storetest.WantEqual(t, n, 2)
}

func TestAKeyStandsForOneReading(t *testing.T) {
	s := storetest.New(t)
	_, sheet := addSheet(t, s)
	storetest.Must(s.RecordReading(storetest.Ctx, sheet, store.Reading{Seat: 3, Setting: "spread_cm", Value: 84.9, Key: "k"}, storetest.Anna))
	_, err := s.RecordReading(storetest.Ctx, sheet, store.Reading{Seat: 3, Setting: "spread_cm", Value: 85, Key: "k"}, storetest.Anna)
	storetest.WantError(t, err, store.ErrKeyReused)
	_, err = s.RecordReading(storetest.Ctx, sheet, store.Reading{Seat: 1, Setting: "heel_depth_cm", Value: 84.9, Key: "k"}, storetest.Anna)
	storetest.WantError(t, err, store.ErrKeyReused)
	_, err = s.RecordReading(storetest.Ctx, sheet, store.Reading{Seat: 3, Setting: "spread_cm", Value: 85, Key: ""}, storetest.Anna)
	storetest.WantError(t, err, store.ErrInvalid)
}

func TestAReadingThatComesLateDoesNotReplaceALaterOne(t *testing.T) {
	s := storetest.New(t)
	_, sheet := addSheet(t, s)
	storetest.Must(s.RecordReading(storetest.Ctx, sheet, store.Reading{Seat: 3, Setting: "spread_cm", Value: 85.1, Key: "b"}, store.By{Name: "Bert", At: storetest.Noon}))
	late := storetest.Must(s.RecordReading(storetest.Ctx, sheet, store.Reading{Seat: 3, Setting: "spread_cm", Value: 84.5, Key: "a"}, store.By{Name: "Cleo", At: storetest.Noon.Add(-time.Minute)}))
	storetest.WantEqual(t, *late.Measured, 85.1)
}

func TestAReadingOfALineThatIsNotThere(t *testing.T) {
	s := storetest.New(t)
	_, sheet := addSheet(t, s)
	for _, r := range []store.Reading{{Seat: 2, Setting: "spread_cm", Value: 85, Key: "k"}, {Seat: 3, Setting: "span_cm", Value: 85, Key: "k"}} {
		_, err := s.RecordReading(storetest.Ctx, sheet, r, storetest.Anna)
		storetest.WantError(t, err, store.ErrNotFound)
	}
	_, err := s.RecordReading(storetest.Ctx, 77, store.Reading{Seat: 3, Setting: "spread_cm", Value: 85, Key: "k"}, storetest.Anna)
	storetest.WantError(t, err, store.ErrNotFound)
}

func TestAFinishedSheetIsInTheHistoryOfTheRig(t *testing.T) {
	s := storetest.New(t)
	boat, sheet := addSheet(t, s)
	storetest.Must(s.RecordReading(storetest.Ctx, sheet, store.Reading{Seat: 3, Setting: "spread_cm", Value: 85.1, Key: "k"}, storetest.Anna))
	version := storetest.Must(s.FinishSheet(storetest.Ctx, sheet, 1, store.By{Name: "Bert", At: storetest.Noon.Add(time.Hour)}))
	storetest.WantEqual(t, version, int64(2))
	storetest.WantEqual(t, storetest.Must(s.RigHistory(storetest.Ctx, boat, store.RigFilter{SheetID: sheet})), []store.RigChange{{
		ID: 5, BoatID: boat, Version: 2, Seat: 3, Setting: "spread_cm", FromValue: storetest.Ptr(84.0), ToValue: storetest.Ptr(85.1), At: storetest.Noon.Add(time.Hour), By: "Bert", SheetID: &sheet,
	}})
	b := storetest.Must(s.Boat(storetest.Ctx, boat))
	storetest.WantEqual(t, b.Seats[2].Rig, store.Rig{SpreadCm: storetest.Ptr(85.1)})
	storetest.WantEqual(t, b.Seats[0].Rig, store.Rig{SpreadCm: storetest.Ptr(84.0)}) // the depth was not measured
}

func TestFinishingAgainChangesNothing(t *testing.T) {
	s := storetest.New(t)
	boat, sheet := addSheet(t, s)
	storetest.Must(s.RecordReading(storetest.Ctx, sheet, store.Reading{Seat: 3, Setting: "spread_cm", Value: 85.1, Key: "k"}, storetest.Anna))
	storetest.Must(s.FinishSheet(storetest.Ctx, sheet, 1, storetest.Anna))
	storetest.Must(s.ChangeRig(storetest.Ctx, boat, 2, []store.RigSetting{{Seat: 3, Setting: "spread_cm", Value: 86}}, "", storetest.Anna))
	storetest.WantEqual(t, storetest.Must(s.FinishSheet(storetest.Ctx, sheet, 1, store.By{Name: "Bert"})), int64(3))
	storetest.WantEqual(t, *storetest.Must(s.Boat(storetest.Ctx, boat)).Seats[2].Rig.SpreadCm, 86.0)
	storetest.WantEqual(t, storetest.Must(s.Sheet(storetest.Ctx, sheet)).DoneBy, "Anna")
}

func TestAStaleFinishOverwritesNothing(t *testing.T) {
	s := storetest.New(t)
	boat, sheet := addSheet(t, s)
	storetest.Must(s.RecordReading(storetest.Ctx, sheet, store.Reading{Seat: 3, Setting: "spread_cm", Value: 85.1, Key: "k"}, storetest.Anna))
	storetest.Must(s.ChangeRig(storetest.Ctx, boat, 1, []store.RigSetting{{Seat: 3, Setting: "spread_cm", Value: 86}}, "", store.By{Name: "Bert"}))
	_, err := s.FinishSheet(storetest.Ctx, sheet, 1, storetest.Anna)
	storetest.WantEqual(t, storetest.WantConflict(t, err, 2), []string{"seat 3 spread_cm 84 86 Bert"})
	if h := storetest.Must(s.Sheet(storetest.Ctx, sheet)); !h.DoneAt.IsZero() {
		t.Error("the sheet is done")
	}
	storetest.Must(s.FinishSheet(storetest.Ctx, sheet, 2, storetest.Anna))
	storetest.WantEqual(t, *storetest.Must(s.Boat(storetest.Ctx, boat)).Seats[2].Rig.SpreadCm, 85.1)
}

func TestAFinishedSheetTakesNoNewReadings(t *testing.T) {
	s := storetest.New(t)
	_, sheet := addSheet(t, s)
	r := store.Reading{Seat: 3, Setting: "spread_cm", Value: 85.1, Key: "k"}
	storetest.Must(s.RecordReading(storetest.Ctx, sheet, r, storetest.Anna))
	storetest.Must(s.FinishSheet(storetest.Ctx, sheet, 1, storetest.Anna))
	_, err := s.RecordReading(storetest.Ctx, sheet, store.Reading{Seat: 3, Setting: "spread_cm", Value: 85.2, Key: "k2"}, storetest.Anna)
	storetest.WantError(t, err, store.ErrSheetDone)
	storetest.Must(s.RecordReading(storetest.Ctx, sheet, r, storetest.Anna)) // the answer to the first was lost on the way
}

func TestSheetsAreListedByBoatAndState(t *testing.T) {
	s := storetest.New(t)
	boat, done := addSheet(t, s)
	storetest.Must(s.FinishSheet(storetest.Ctx, done, 1, storetest.Anna))
	open := storetest.Must(s.AddSheet(storetest.Ctx, store.Sheet{BoatID: boat, BoatVersion: 1}, storetest.Anna))
	other := storetest.Must(s.AddSheet(storetest.Ctx, store.Sheet{BoatID: storetest.Must(s.AddBoat(storetest.Ctx, storetest.Swallow(), storetest.Anna)), BoatVersion: 1}, storetest.Anna))
	for _, c := range []struct {
		filter store.SheetFilter
		want   []int64
	}{{store.SheetFilter{}, []int64{other, open, done}}, {store.SheetFilter{BoatID: boat}, []int64{open, done}}, {store.SheetFilter{BoatID: boat, Open: true}, []int64{open}}} {
		var got []int64
		for _, h := range storetest.Must(s.Sheets(storetest.Ctx, c.filter)) {
			got = append(got, h.ID)
		}
		storetest.WantEqual(t, got, c.want)
	}
}

func TestASheetThatChangedARigStays(t *testing.T) {
	s := storetest.New(t)
	_, sheet := addSheet(t, s)
	storetest.Must(s.RecordReading(storetest.Ctx, sheet, store.Reading{Seat: 3, Setting: "spread_cm", Value: 85.1, Key: "k"}, storetest.Anna))
	storetest.Must(s.FinishSheet(storetest.Ctx, sheet, 1, storetest.Anna))
	storetest.WantError(t, s.DeleteSheet(storetest.Ctx, sheet), store.ErrInUse)
}

func TestAnOpenSheetCanBeDeleted(t *testing.T) {
	s := storetest.New(t)
	_, sheet := addSheet(t, s)
	storetest.Must(s.RecordReading(storetest.Ctx, sheet, store.Reading{Seat: 3, Setting: "spread_cm", Value: 85.1, Key: "k"}, storetest.Anna))
	storetest.Check(t, s.DeleteSheet(storetest.Ctx, sheet))
	_, err := s.Sheet(storetest.Ctx, sheet)
	storetest.WantError(t, err, store.ErrNotFound)
}
