package boats_test

import (
	"errors"
	"testing"
	"thole/api/store"
	"thole/api/storetest"
)

// filmed is a reading with every value set.
func filmed(athlete int64, boat *int64) store.FilmedReading {
	f := store.FilmedReading{
		AthleteID: athlete, BoatID: boat, Boat: "Otter", ClassCode: "4+", Seat: 3, FilmedOn: "2026-05-02", End: "catch", AngleDeg: storetest.Ptr(-52.5), AngleSdDeg: storetest.Ptr(1.2), BladeCm: storetest.Ptr(-14.0), BladeSdCm: storetest.Ptr(3.0), Tells: true,
		EdgeMs: storetest.Ptr(48.0), EdgeSdMs: storetest.Ptr(4.0), WholeMs: storetest.Ptr(130.0), WholeSdMs: storetest.Ptr(5.0), HeightCm: storetest.Ptr(9.0), HeightSdCm: storetest.Ptr(1.0), SpeedMS: storetest.Ptr(1.1), SpeedSdMS: storetest.Ptr(.1),
		StartDownMs: storetest.Ptr(-20.0), StartDownSdMs: storetest.Ptr(6.0), Strokes: 5, Marks: "{}", Blade: "hatchet", Side: "port", Note: "firm",
	}
	for i, v := range f.Rig.Values() {
		*v.Value = storetest.Ptr(20.5 + float64(i))
	}
	return f
}

func TestAFilmedReadingIsTheAthletesAndOutlivesItsBoat(t *testing.T) {
	s := storetest.New(t)
	boat := storetest.AddFour(t, s)
	ann := storetest.Must(s.AddAthlete(storetest.Ctx, store.Athlete{Name: "Ann", Sex: "female"}, storetest.Anna))
	cleo := storetest.Must(s.AddAthlete(storetest.Ctx, store.Athlete{Name: "Cleo", Sex: "female"}, storetest.Anna))
	f := storetest.Must(s.AddFilmedReading(storetest.Ctx, filmed(ann, &boat), store.By{Name: "Bert", At: storetest.Noon}))
	storetest.WantFull(t, f)
	later := filmed(ann, &boat)
	later.FilmedOn = "2026-06-01"
	later = storetest.Must(s.AddFilmedReading(storetest.Ctx, later, store.By{Name: "Bert", At: storetest.Noon}))
	s = storetest.Reopen(t, s)
	storetest.WantEqual(t, storetest.Must(s.FilmedReadings(storetest.Ctx, ann, "")), []store.FilmedReading{later, f})
	storetest.WantEqual(t, storetest.Must(s.FilmedReadings(storetest.Ctx, ann, "2026-05-02")), []store.FilmedReading{f})
	storetest.WantEqual(t, storetest.Must(s.FilmedReadings(storetest.Ctx, cleo, "")), []store.FilmedReading{})
	if err := s.DeleteFilmedReading(storetest.Ctx, cleo, f.ID); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("another's reading: %v", err)
	}
	storetest.Check(t, s.DeleteFilmedReading(storetest.Ctx, ann, later.ID))
	storetest.Check(t, s.DeleteBoat(storetest.Ctx, boat))
	f.BoatID = nil
	storetest.WantEqual(t, storetest.Must(s.FilmedReadings(storetest.Ctx, ann, "")), []store.FilmedReading{f})
	storetest.Check(t, s.DeleteAthlete(storetest.Ctx, ann))
	storetest.WantEqual(t, storetest.Must(s.FilmedReadings(storetest.Ctx, ann, "")), []store.FilmedReading{})
}

func TestAFilmedReadingOfNobody(t *testing.T) {
	s := storetest.New(t)
	if _, err := s.AddFilmedReading(storetest.Ctx, filmed(7, nil), storetest.Anna); !errors.Is(err, store.ErrNotFound) {
		t.Error(err)
	}
	ann := storetest.Must(s.AddAthlete(storetest.Ctx, store.Athlete{Name: "Ann"}, storetest.Anna))
	empty := store.FilmedReading{AthleteID: ann, Seat: 1, FilmedOn: "2026-05-02", End: "catch"}
	if _, err := s.AddFilmedReading(storetest.Ctx, empty, storetest.Anna); err == nil {
		t.Error("a reading that says nothing was kept")
	}
}
