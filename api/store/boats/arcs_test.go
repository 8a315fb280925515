package boats_test

import (
	"errors"
	"testing"
	"thole/api/store"
	"thole/api/storetest"
	"time"
)

func TestAMeasuredArcOutlivesItsSheetAndARestart(t *testing.T) {
	s := storetest.New(t)
	_, sheet := addSheet(t, s)
	athlete := storetest.Must(s.AddAthlete(storetest.Ctx, store.Athlete{Name: "Ann", Sex: "female"}, storetest.Anna))
	a := store.MeasuredArc{
		AthleteID: &athlete, SheetID: &sheet, Seat: 3, Key: "k", ClassCode: "4+", FinishCm: storetest.Ptr(55.5), CatchCm: storetest.Ptr(80.5), HeelTargetCm: storetest.Ptr(21.5),
		Blade: "macon", Side: "port",
	}
	for i, v := range a.Rig.Values() {
		*v.Value = storetest.Ptr(20.5 + float64(i))
	}
	a.ID = storetest.Must(s.AddMeasuredArc(storetest.Ctx, a, store.By{Name: "Bert", At: storetest.Noon})).ID
	a.At, a.By = storetest.Noon, "Bert"
	storetest.WantFull(t, a)
	storetest.WantEqual(t, storetest.Must(s.ArcsOfSheet(storetest.Ctx, sheet)), []store.MeasuredArc{a})
	s = storetest.Reopen(t, s)
	storetest.Check(t, s.DeleteSheet(storetest.Ctx, sheet))
	a.SheetID = nil
	storetest.WantEqual(t, storetest.Must(s.ArcsOfAthlete(storetest.Ctx, athlete, storetest.Noon, 5)), []store.MeasuredArc{a})
	storetest.WantEqual(t, storetest.Must(s.ArcsOfAthlete(storetest.Ctx, athlete, storetest.Noon.Add(-time.Second), 5)), []store.MeasuredArc{})
	yesterday := storetest.Timed(t, s.Path(), func() time.Time { return storetest.Noon.AddDate(0, 0, -1) }) // by a clock that went back
	storetest.WantEqual(t, storetest.Must(yesterday.ArcsOfAthlete(storetest.Ctx, athlete, time.Time{}, 5)), []store.MeasuredArc{a})
	storetest.Check(t, s.DeleteAthlete(storetest.Ctx, athlete))
	storetest.WantEqual(t, storetest.Must(s.ArcsOfAthlete(storetest.Ctx, athlete, storetest.Noon, 5)), []store.MeasuredArc{})
}

func TestAMeasuredArcMovesTheStretcherOnce(t *testing.T) {
	s := storetest.New(t)
	boat := storetest.AddFour(t, s)
	sheet := storetest.Must(s.AddSheet(storetest.Ctx, store.Sheet{BoatID: boat, BoatVersion: 1, Lines: []store.SheetLine{{Seat: 3, Setting: "heel_to_pin_cm", Target: 20, Tolerance: 0.2}}}, storetest.Anna))
	storetest.Must(s.RecordReading(storetest.Ctx, sheet, store.Reading{Seat: 3, Setting: "heel_to_pin_cm", Value: 20, Key: "r"}, storetest.Anna))
	a := store.MeasuredArc{SheetID: &sheet, Seat: 3, Key: "k", ClassCode: "4+", FinishCm: storetest.Ptr(50.0), HeelTargetCm: storetest.Ptr(17.5)}
	storetest.Must(s.AddMeasuredArc(storetest.Ctx, a, storetest.Anna))
	a.HeelTargetCm = storetest.Ptr(15.0) // worked out anew for the stretcher as it stands then
	storetest.Must(s.AddMeasuredArc(storetest.Ctx, a, storetest.Anna))
	line := storetest.Must(s.Sheet(storetest.Ctx, sheet)).Lines[0]
	if line.Target != 17.5 || line.Measured != nil {
		t.Errorf("%+v", line)
	}
	a.FinishCm = storetest.Ptr(51.0)
	if _, err := s.AddMeasuredArc(storetest.Ctx, a, storetest.Anna); !errors.Is(err, store.ErrKeyReused) {
		t.Errorf("another reading under the key: %v", err)
	}
	storetest.Must(s.RecordReading(storetest.Ctx, sheet, store.Reading{Seat: 3, Setting: "heel_to_pin_cm", Value: 17.5, Key: "r2"}, storetest.Anna))
	storetest.Must(s.FinishSheet(storetest.Ctx, sheet, 1, storetest.Anna))
	a.Key = "late"
	if _, err := s.AddMeasuredArc(storetest.Ctx, a, storetest.Anna); !errors.Is(err, store.ErrSheetDone) {
		t.Errorf("after the sheet was done: %v", err)
	}
}
