package store

import (
	"testing"
	"time"
)

// addSheet puts a work sheet for two settings of a new four on record.
func addSheet(t testing.TB, s *Store) (boat, sheet int64) {
	t.Helper()
	boat = addFour(t, s)
	sheet, err := s.AddSheet(ctx, Sheet{BoatID: boat, BoatVersion: 1, Lines: []SheetLine{
		{Seat: 3, Setting: "spread_cm", Target: 85, Tolerance: 0.2}, {Seat: 1, Setting: "heel_depth_cm", Target: 17.5, Tolerance: 0.5},
	}}, anna)
	check(t, err)
	return boat, sheet
}

func TestASheetOutlivesARestart(t *testing.T) {
	s := open(t)
	l := addPair(t, s)
	h := Sheet{
		BoatID: *l.BoatID, BoatVersion: 1, LineupID: &l.ID, Crew: ptr(`[{"name":"Guest"}]`), CoxMassKg: ptr(55.0), ChosenTargets: ptr(`["finish_deg"]`), TargetCatchDeg: ptr(-55.0), TargetFinishDeg: ptr(34.0),
		TargetLeverRatio: ptr(2.2), TargetDrawHeightCm: ptr(21.5), Job: "full_rerig", Level: "novice", Light: true,
		LimitLeanDeg: ptr(31.0), LimitLaybackDeg: ptr(36.0), LimitKneeFlexionDeg: ptr(139.0), LimitTrunkThighDeg: ptr(164.0), Note: "before the regatta", CreatedBy: "Anna", CreatedAt: noon, DoneBy: "Cleo", DoneAt: noon.Add(2 * time.Hour),
		Lines: []SheetLine{{Seat: 2, Setting: "plate_angle_deg", AsFound: ptr(24.5), StandsOn: ptr(42.0), Target: 42.5, Tolerance: 0.5, Measured: ptr(42.0), MeasuredAt: noon.Add(time.Hour), MeasuredBy: "Bert"}},
	}
	h.ID = must(s.AddSheet(ctx, h, anna))
	must(s.RecordReading(ctx, h.ID, Reading{2, "plate_angle_deg", 42, "k1"}, By{"Bert", noon.Add(time.Hour)}))
	must(s.FinishSheet(ctx, h.ID, 1, By{"Cleo", noon.Add(2 * time.Hour)}))
	wantFull(t, h)
	wantEqual(t, must(reopen(t, s).Sheet(ctx, h.ID)), h)
}

func TestANewSheetTakesWhatIsFoundFromTheBoat(t *testing.T) {
	s := open(t)
	_, sheet := addSheet(t, s)
	wantEqual(t, must(s.Sheet(ctx, sheet)).Lines, []SheetLine{
		{Seat: 3, Setting: "spread_cm", AsFound: ptr(84.0), Target: 85, Tolerance: 0.2}, {Seat: 1, Setting: "heel_depth_cm", Target: 17.5, Tolerance: 0.5},
	})
}

func TestASheetIsMadeForTheBoatAsItStands(t *testing.T) {
	s := open(t)
	boat := addFour(t, s)
	must(s.ChangeRig(ctx, boat, 1, []RigSetting{{1, "spread_cm", 83}}, "", By{Name: "Bert"}))
	_, err := s.AddSheet(ctx, Sheet{BoatID: boat, BoatVersion: 1}, anna)
	wantEqual(t, wantConflict(t, err, 2), []string{"seat 1 spread_cm 84 83 Bert"})
}

func TestWhatNoSheetCanBe(t *testing.T) {
	s := open(t)
	boat := addFour(t, s)
	_, err := s.AddSheet(ctx, Sheet{BoatID: 7, BoatVersion: 1}, anna)
	wantError(t, err, ErrNotFound)
	for _, c := range []struct {
		line SheetLine
		want error
	}{{SheetLine{Seat: 5, Setting: "spread_cm"}, ErrNotFound}, {SheetLine{Seat: 1, Setting: "x"}, ErrInvalid}, {SheetLine{Seat: 1, Setting: "span_cm", Tolerance: -1}, ErrInvalid}} {
		_, err := s.AddSheet(ctx, Sheet{BoatID: boat, BoatVersion: 1, Lines: []SheetLine{c.line}}, anna)
		wantError(t, err, c.want)
	}
	_, err = s.AddSheet(ctx, Sheet{BoatID: boat, BoatVersion: 1, Crew: ptr("{")}, anna)
	wantError(t, err, ErrInvalid)
	_, err = s.Sheet(ctx, 7)
	wantError(t, err, ErrNotFound)
}

func TestAReadingSentAgainCountsOnce(t *testing.T) {
	s := open(t)
	_, sheet := addSheet(t, s)
	first := must(s.RecordReading(ctx, sheet, Reading{3, "spread_cm", 84.9, "phone-1"}, By{"Bert", noon}))
	must(s.RecordReading(ctx, sheet, Reading{3, "spread_cm", 85.1, "phone-2"}, By{"Cleo", noon.Add(time.Minute)}))
	again := must(s.RecordReading(ctx, sheet, Reading{3, "spread_cm", 84.9, "phone-1"}, By{"Bert", noon.Add(time.Hour)}))
	wantEqual(t, *first.Measured, 84.9)
	wantEqual(t, again, SheetLine{
		Seat: 3, Setting: "spread_cm", AsFound: ptr(84.0), Target: 85, Tolerance: 0.2, Measured: ptr(85.1), MeasuredAt: noon.Add(time.Minute), MeasuredBy: "Cleo",
	})
	var n int
	check(t, s.readers.QueryRow("SELECT count(*) FROM sheet_readings").Scan(&n))
	wantEqual(t, n, 2)
}

func TestAKeyStandsForOneReading(t *testing.T) {
	s := open(t)
	_, sheet := addSheet(t, s)
	must(s.RecordReading(ctx, sheet, Reading{3, "spread_cm", 84.9, "k"}, anna))
	_, err := s.RecordReading(ctx, sheet, Reading{3, "spread_cm", 85, "k"}, anna)
	wantError(t, err, ErrKeyReused)
	_, err = s.RecordReading(ctx, sheet, Reading{1, "heel_depth_cm", 84.9, "k"}, anna)
	wantError(t, err, ErrKeyReused)
	_, err = s.RecordReading(ctx, sheet, Reading{3, "spread_cm", 85, ""}, anna)
	wantError(t, err, ErrInvalid)
}

func TestAReadingThatComesLateDoesNotReplaceALaterOne(t *testing.T) {
	s := open(t)
	_, sheet := addSheet(t, s)
	must(s.RecordReading(ctx, sheet, Reading{3, "spread_cm", 85.1, "b"}, By{"Bert", noon}))
	late := must(s.RecordReading(ctx, sheet, Reading{3, "spread_cm", 84.5, "a"}, By{"Cleo", noon.Add(-time.Minute)}))
	wantEqual(t, *late.Measured, 85.1)
}

func TestAReadingOfALineThatIsNotThere(t *testing.T) {
	s := open(t)
	_, sheet := addSheet(t, s)
	for _, r := range []Reading{{2, "spread_cm", 85, "k"}, {3, "span_cm", 85, "k"}} {
		_, err := s.RecordReading(ctx, sheet, r, anna)
		wantError(t, err, ErrNotFound)
	}
	_, err := s.RecordReading(ctx, 77, Reading{3, "spread_cm", 85, "k"}, anna)
	wantError(t, err, ErrNotFound)
}

func TestAFinishedSheetIsInTheHistoryOfTheRig(t *testing.T) {
	s := open(t)
	boat, sheet := addSheet(t, s)
	must(s.RecordReading(ctx, sheet, Reading{3, "spread_cm", 85.1, "k"}, anna))
	version := must(s.FinishSheet(ctx, sheet, 1, By{"Bert", noon.Add(time.Hour)}))
	wantEqual(t, version, int64(2))
	wantEqual(t, must(s.RigHistory(ctx, boat, RigFilter{SheetID: sheet})), []RigChange{{
		ID: 5, BoatID: boat, Version: 2, Seat: 3, Setting: "spread_cm", FromValue: ptr(84.0), ToValue: ptr(85.1), At: noon.Add(time.Hour), By: "Bert", SheetID: &sheet,
	}})
	b := must(s.Boat(ctx, boat))
	wantEqual(t, b.Seats[2].Rig, Rig{SpreadCm: ptr(85.1)})
	wantEqual(t, b.Seats[0].Rig, Rig{SpreadCm: ptr(84.0)}) // the depth was not measured
}

func TestFinishingAgainChangesNothing(t *testing.T) {
	s := open(t)
	boat, sheet := addSheet(t, s)
	must(s.RecordReading(ctx, sheet, Reading{3, "spread_cm", 85.1, "k"}, anna))
	must(s.FinishSheet(ctx, sheet, 1, anna))
	must(s.ChangeRig(ctx, boat, 2, []RigSetting{{3, "spread_cm", 86}}, "", anna))
	wantEqual(t, must(s.FinishSheet(ctx, sheet, 1, By{Name: "Bert"})), int64(3))
	wantEqual(t, *must(s.Boat(ctx, boat)).Seats[2].Rig.SpreadCm, 86.0)
	wantEqual(t, must(s.Sheet(ctx, sheet)).DoneBy, "Anna")
}

func TestAStaleFinishOverwritesNothing(t *testing.T) {
	s := open(t)
	boat, sheet := addSheet(t, s)
	must(s.RecordReading(ctx, sheet, Reading{3, "spread_cm", 85.1, "k"}, anna))
	must(s.ChangeRig(ctx, boat, 1, []RigSetting{{3, "spread_cm", 86}}, "", By{Name: "Bert"}))
	_, err := s.FinishSheet(ctx, sheet, 1, anna)
	wantEqual(t, wantConflict(t, err, 2), []string{"seat 3 spread_cm 84 86 Bert"})
	if h := must(s.Sheet(ctx, sheet)); !h.DoneAt.IsZero() {
		t.Error("the sheet is done")
	}
	must(s.FinishSheet(ctx, sheet, 2, anna))
	wantEqual(t, *must(s.Boat(ctx, boat)).Seats[2].Rig.SpreadCm, 85.1)
}

func TestAFinishedSheetTakesNoNewReadings(t *testing.T) {
	s := open(t)
	_, sheet := addSheet(t, s)
	r := Reading{3, "spread_cm", 85.1, "k"}
	must(s.RecordReading(ctx, sheet, r, anna))
	must(s.FinishSheet(ctx, sheet, 1, anna))
	_, err := s.RecordReading(ctx, sheet, Reading{3, "spread_cm", 85.2, "k2"}, anna)
	wantError(t, err, ErrSheetDone)
	must(s.RecordReading(ctx, sheet, r, anna)) // the answer to the first was lost on the way
}

func TestSheetsAreListedByBoatAndState(t *testing.T) {
	s := open(t)
	boat, done := addSheet(t, s)
	must(s.FinishSheet(ctx, done, 1, anna))
	open := must(s.AddSheet(ctx, Sheet{BoatID: boat, BoatVersion: 1}, anna))
	other := must(s.AddSheet(ctx, Sheet{BoatID: must(s.AddBoat(ctx, swallow(), anna)), BoatVersion: 1}, anna))
	for _, c := range []struct {
		filter SheetFilter
		want   []int64
	}{{SheetFilter{}, []int64{other, open, done}}, {SheetFilter{BoatID: boat}, []int64{open, done}}, {SheetFilter{BoatID: boat, Open: true}, []int64{open}}} {
		var got []int64
		for _, h := range must(s.Sheets(ctx, c.filter)) {
			got = append(got, h.ID)
		}
		wantEqual(t, got, c.want)
	}
}

func TestASheetThatChangedARigStays(t *testing.T) {
	s := open(t)
	_, sheet := addSheet(t, s)
	must(s.RecordReading(ctx, sheet, Reading{3, "spread_cm", 85.1, "k"}, anna))
	must(s.FinishSheet(ctx, sheet, 1, anna))
	wantError(t, s.DeleteSheet(ctx, sheet), ErrInUse)
}

func TestAnOpenSheetCanBeDeleted(t *testing.T) {
	s := open(t)
	_, sheet := addSheet(t, s)
	must(s.RecordReading(ctx, sheet, Reading{3, "spread_cm", 85.1, "k"}, anna))
	check(t, s.DeleteSheet(ctx, sheet))
	_, err := s.Sheet(ctx, sheet)
	wantError(t, err, ErrNotFound)
}
