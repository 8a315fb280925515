package store

import (
	"errors"
	"testing"
	"time"
)

func TestAMeasuredArcOutlivesItsSheetAndARestart(t *testing.T) {
	s := open(t)
	_, sheet := addSheet(t, s)
	athlete := must(s.AddAthlete(ctx, Athlete{Name: "Ann", Sex: "female"}, anna))
	a := MeasuredArc{
		AthleteID: &athlete, SheetID: &sheet, Seat: 3, Key: "k", ClassCode: "4+", FinishCm: ptr(55.5), CatchCm: ptr(80.5), HeelTargetCm: ptr(21.5),
		Blade: "macon", Side: "port",
	}
	for i, v := range a.Rig.values() {
		*v.value = ptr(20.5 + float64(i))
	}
	a.ID = must(s.AddMeasuredArc(ctx, a, By{"Bert", noon})).ID
	a.At, a.By = noon, "Bert"
	wantFull(t, a)
	wantEqual(t, must(s.ArcsOfSheet(ctx, sheet)), []MeasuredArc{a})
	s = reopen(t, s)
	check(t, s.DeleteSheet(ctx, sheet))
	a.SheetID = nil
	wantEqual(t, must(s.ArcsOfAthlete(ctx, athlete, noon, 5)), []MeasuredArc{a})
	wantEqual(t, must(s.ArcsOfAthlete(ctx, athlete, noon.Add(-time.Second), 5)), []MeasuredArc{})
	check(t, s.DeleteAthlete(ctx, athlete))
	wantEqual(t, must(s.ArcsOfAthlete(ctx, athlete, noon, 5)), []MeasuredArc{})
}

func TestAMeasuredArcMovesTheStretcherOnce(t *testing.T) {
	s := open(t)
	boat := addFour(t, s)
	sheet := must(s.AddSheet(ctx, Sheet{BoatID: boat, BoatVersion: 1, Lines: []SheetLine{{Seat: 3, Setting: "heel_to_pin_cm", Target: 20, Tolerance: 0.2}}}, anna))
	must(s.RecordReading(ctx, sheet, Reading{3, "heel_to_pin_cm", 20, "r"}, anna))
	a := MeasuredArc{SheetID: &sheet, Seat: 3, Key: "k", ClassCode: "4+", FinishCm: ptr(50.0), HeelTargetCm: ptr(17.5)}
	must(s.AddMeasuredArc(ctx, a, anna))
	a.HeelTargetCm = ptr(15.0) // worked out anew for the stretcher as it stands then
	must(s.AddMeasuredArc(ctx, a, anna))
	line := must(s.Sheet(ctx, sheet)).Lines[0]
	if line.Target != 17.5 || line.Measured != nil {
		t.Errorf("%+v", line)
	}
	a.FinishCm = ptr(51.0)
	if _, err := s.AddMeasuredArc(ctx, a, anna); !errors.Is(err, ErrKeyReused) {
		t.Errorf("another reading under the key: %v", err)
	}
	must(s.RecordReading(ctx, sheet, Reading{3, "heel_to_pin_cm", 17.5, "r2"}, anna))
	must(s.FinishSheet(ctx, sheet, 1, anna))
	a.Key = "late"
	if _, err := s.AddMeasuredArc(ctx, a, anna); !errors.Is(err, ErrSheetDone) {
		t.Errorf("after the sheet was done: %v", err)
	}
}
