package store

import (
	"errors"
	"testing"
)

// filmed is a reading with every value set.
func filmed(athlete int64, boat *int64) FilmedReading {
	f := FilmedReading{
		AthleteID: athlete, BoatID: boat, Boat: "Otter", ClassCode: "4+", Seat: 3, FilmedOn: "2026-05-02", End: "catch", AngleDeg: ptr(-52.5), AngleSdDeg: ptr(1.2), BladeCm: ptr(-14.0), BladeSdCm: ptr(3.0), Tells: true,
		EdgeMs: ptr(48.0), EdgeSdMs: ptr(4.0), WholeMs: ptr(130.0), WholeSdMs: ptr(5.0), HeightCm: ptr(9.0), HeightSdCm: ptr(1.0), SpeedMS: ptr(1.1), SpeedSdMS: ptr(.1),
		StartDownMs: ptr(-20.0), StartDownSdMs: ptr(6.0), Strokes: 5, Marks: "{}", Blade: "hatchet", Side: "port", Note: "firm",
	}
	for i, v := range f.Rig.values() {
		*v.value = ptr(20.5 + float64(i))
	}
	return f
}

func TestAFilmedReadingIsTheAthletesAndOutlivesItsBoat(t *testing.T) {
	s := open(t)
	boat := addFour(t, s)
	ann := must(s.AddAthlete(ctx, Athlete{Name: "Ann", Sex: "female"}, anna))
	cleo := must(s.AddAthlete(ctx, Athlete{Name: "Cleo", Sex: "female"}, anna))
	f := must(s.AddFilmedReading(ctx, filmed(ann, &boat), By{"Bert", noon}))
	wantFull(t, f)
	later := filmed(ann, &boat)
	later.FilmedOn = "2026-06-01"
	later = must(s.AddFilmedReading(ctx, later, By{"Bert", noon}))
	s = reopen(t, s)
	wantEqual(t, must(s.FilmedReadings(ctx, ann, "")), []FilmedReading{later, f})
	wantEqual(t, must(s.FilmedReadings(ctx, ann, "2026-05-02")), []FilmedReading{f})
	wantEqual(t, must(s.FilmedReadings(ctx, cleo, "")), []FilmedReading{})
	if err := s.DeleteFilmedReading(ctx, cleo, f.ID); !errors.Is(err, ErrNotFound) {
		t.Errorf("another's reading: %v", err)
	}
	check(t, s.DeleteFilmedReading(ctx, ann, later.ID))
	check(t, s.DeleteBoat(ctx, boat))
	f.BoatID = nil
	wantEqual(t, must(s.FilmedReadings(ctx, ann, "")), []FilmedReading{f})
	check(t, s.DeleteAthlete(ctx, ann))
	wantEqual(t, must(s.FilmedReadings(ctx, ann, "")), []FilmedReading{})
}

func TestAFilmedReadingOfNobody(t *testing.T) {
	s := open(t)
	if _, err := s.AddFilmedReading(ctx, filmed(7, nil), anna); !errors.Is(err, ErrNotFound) {
		t.Error(err)
	}
	ann := must(s.AddAthlete(ctx, Athlete{Name: "Ann"}, anna))
	empty := FilmedReading{AthleteID: ann, Seat: 1, FilmedOn: "2026-05-02", End: "catch"}
	if _, err := s.AddFilmedReading(ctx, empty, anna); err == nil {
		t.Error("a reading that says nothing was kept")
	}
}
