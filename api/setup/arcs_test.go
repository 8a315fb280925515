package setup_test

import (
	"fmt"
	"math"
	"net/http"
	"slices"
	"testing"

	"thole/api"
	"thole/api/apitest"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/seat"
	"thole/api/setup"
	"thole/api/store"
	"thole/api/wire"
	"thole/rigging"
)

// heelOf is the line of a seat's stretcher.
func heelOf(t testing.TB, h *setup.Sheet, seat int) setup.SheetLine {
	t.Helper()
	return lineOf(t, *h, seat, "heel_to_pin_cm")
}

// rowerOf is a rower with a posture of his own that nobody has told the records:
// where the handle stands when he sits in the seat as its stretcher stands.
type rowerOf struct {
	layback rigging.Angle
	lean    rigging.Angle
}

// reads returns what a tape shows at the finish and at full reach, cm.
func (r rowerOf) reads(t testing.TB, boat fleet.Boat, h *setup.Sheet, m rigging.Measures, number int) (finish, catch float64) {
	t.Helper()
	rig := boat.Seats[number-1].Seat
	for _, l := range h.Seats[number-1].Lines {
		if v := wire.Or(l.Measured, l.Target); l.AsFound != nil {
			*rig.SettingField(l.Setting) = &v
		}
	}
	class, _ := rigging.ClassByCode(boat.BoatClass)
	c := rigging.NewCase(rig.Setup(class), &m)
	c.Posture.Layback, c.Posture.Lean = r.layback, r.lean
	stroke, err := c.Solve()
	if err != nil {
		t.Fatal(err)
	}
	inner := 100 * c.Setup.Levers().Inner
	return wire.Round(inner*math.Sin(float64(stroke.Finish)), 10), wire.Round(-inner*math.Sin(float64(stroke.Catch)), 10)
}

// demoSheet is a sheet of a single for one of the club.
func demoSheet(t testing.TB, s *api.Service, boat fleet.Boat, name string) setup.Sheet {
	t.Helper()
	return sheetFor(t, s, boat, setup.SetupFields{Crew: crewNamed(t, s, []string{name})})
}

func TestAReadingInTheSeatPutsTheStretcherRightInOneStep(t *testing.T) {
	for _, r := range []rowerOf{{20 * rigging.Degree, 18 * rigging.Degree}, {28 * rigging.Degree, 22 * rigging.Degree}, {35 * rigging.Degree, 27 * rigging.Degree}} {
		s := demoClub(t)
		boat := boatNamed(t, s, "Halcyon")
		h := demoSheet(t, s, boat, "Davide Roncalli")
		m := rigging.Measures{Sex: rigging.Male, Stature: 1.80, ArmSpan: 1.81, Mass: 77}
		finish, catch := r.reads(t, boat, &h, m, 1)
		now, err := s.Setup.RecordArc(t.Context(), setup.NewArc{SheetID: h.ID, Key: "a", Seat: 1, FinishCm: &finish, CatchCm: &catch, By: "Bram"})
		if err != nil {
			t.Fatal(err)
		}
		after, _ := r.reads(t, boat, &now, m, 1)
		want := now.Seats[0].Planned.Proof.FinishCm
		degreesOff := math.Abs(after-want) / (84 * math.Cos(43*math.Pi/180)) * 180 / math.Pi
		t.Logf("layback %.0f°: read %.1f, wanted %.1f, after one step %.1f cm; stretcher %.1f to %.1f", r.layback.Degrees(), finish, want, after, heelOf(t, &h, 1).Target, heelOf(t, &now, 1).Target)
		if degreesOff > 1 {
			t.Errorf("layback %.0f°: still %.1f° off after one step", r.layback.Degrees(), degreesOff)
		}
		if o := now.Seats[0].Planned; !o.Proven || math.Abs(o.FinishByDeg) > 2 {
			t.Errorf("layback %.0f°: the sheet then expects %+v", r.layback.Degrees(), o.Verdict)
		}
	}
}

func TestAReadingInTheSeatIsKeptForLaterSetups(t *testing.T) {
	s := demoClub(t)
	boat := boatNamed(t, s, "Halcyon")
	fields := setup.SetupFields{Crew: crewNamed(t, s, []string{"Davide Roncalli"})}
	before := setUp(t, s, boat, fields)
	h := demoSheet(t, s, boat, "Davide Roncalli")
	if _, err := s.Setup.RecordArc(t.Context(), setup.NewArc{SheetID: h.ID, Key: "a", Seat: 1, FinishCm: wire.Ptr(48.0), CatchCm: wire.Ptr(72.0), By: "Bram"}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Setup.DeleteSheet(t.Context(), records.IDRequest{ID: h.ID}); err != nil {
		t.Fatal(err)
	}
	after := setUp(t, s, boat, fields)
	a, b := after.Seats[0], before.Seats[0]
	if !a.Result.Proven || b.Result.Proven || a.Result.FinishSdDeg >= b.Result.FinishSdDeg || a.Found.FinishDeg == b.Found.FinishDeg {
		t.Errorf("before %+v %+v, after %+v %+v", b.Found, b.Result.Verdict, a.Found, a.Result.Verdict)
	}
	// Another boat of the same kind of rowing knows it too, sweep does not.
	if w := setUp(t, s, boatNamed(t, s, "Wren"), fields); !w.Seats[0].Result.Proven {
		t.Error("not known in another single")
	}
	if w := setUp(t, s, boatNamed(t, s, "Marl"), fields); w.Seats[0].Result.Proven {
		t.Error("a sculling arc counts in sweep")
	}
}

func TestAReadingInTheSeatSentTwiceCountsOnce(t *testing.T) {
	path, h := apitest.NewSheet(t, nil)
	read := apitest.Object{"seat": 1, "finish_cm": 45.0, "by": "Bram"}
	apitest.Same(t, "first", apitest.PutJSON(t, path+"/arcs/k", read), http.StatusOK)
	once := apitest.SheetAt(t, path)
	apitest.Same(t, "again", apitest.PutJSON(t, path+"/arcs/k", read), http.StatusOK)
	twice := apitest.SheetAt(t, path)
	apitest.Same(t, "readings", len(twice.Seats[0].Readings), 1)
	apitest.Same(t, "target", heelOf(t, &twice, 1).Target, heelOf(t, &once, 1).Target)
	if heelOf(t, &once, 1).Target == heelOf(t, &h, 1).Target {
		t.Error("the reading moves nothing")
	}
	read["finish_cm"] = 46.0
	apitest.Same(t, "another value", apitest.PutJSON(t, path+"/arcs/k", read), http.StatusConflict)
}

func TestAReadingInTheSeatWithinToleranceMovesNothing(t *testing.T) {
	path, h := apitest.NewSheet(t, nil)
	read := apitest.Object{"seat": 1, "finish_cm": h.Seats[0].Planned.Proof.FinishCm + 0.5, "catch_cm": 80.0, "by": "Bram"}
	apitest.Same(t, "status", apitest.PutJSON(t, path+"/arcs/k", read), http.StatusOK)
	now := apitest.SheetAt(t, path)
	apitest.Same(t, "target", heelOf(t, &now, 1).Target, heelOf(t, &h, 1).Target)
	apitest.Same(t, "moved by it", now.Seats[0].Readings[0].HeelTargetCm, (*float64)(nil))
}

func TestAMovedStretcherIsToBeMeasuredAgain(t *testing.T) {
	path, h := apitest.NewSheet(t, nil)
	apitest.PutJSON(t, path+"/readings/a", apitest.Reading(1, "heel_to_pin_cm", heelOf(t, &h, 1).Target))
	apitest.PutJSON(t, path+"/arcs/k", apitest.Object{"seat": 1, "finish_cm": 45.0, "by": "Bram"})
	now := apitest.SheetAt(t, path)
	apitest.Same(t, "measured", heelOf(t, &now, 1).Measured, (*float64)(nil))
}

func TestWhatAReadingInTheSeatRefuses(t *testing.T) {
	path, _ := apitest.NewSheet(t, nil)
	for name, c := range map[string]struct {
		body    apitest.Object
		pointer string
	}{
		"nothing":    {apitest.Object{"seat": 1, "by": "Bram"}, "#/finish_cm"},
		"too far":    {apitest.Object{"seat": 1, "finish_cm": 140.0, "by": "Bram"}, "#/finish_cm"},
		"in metres":  {apitest.Object{"seat": 1, "catch_cm": 0.8, "by": "Bram"}, "#/catch_cm"},
		"no seat":    {apitest.Object{"seat": 7, "finish_cm": 50.0, "by": "Bram"}, "#/seat"},
		"whose hand": {apitest.Object{"seat": 1, "finish_cm": 50.0, "by": " "}, "#/by"},
	} {
		p := apitest.Problem(t, apitest.Request(http.MethodPut, path+"/arcs/k", apitest.JSONType, apitest.Encoded(t, c.body)), http.StatusUnprocessableEntity)
		told := fmt.Sprintf("%+v", p)
		if !slices.ContainsFunc(p.Errors, func(e wire.FieldProblem) bool { return e.Pointer == c.pointer }) {
			t.Errorf("%s: %s; want something at %s", name, told, c.pointer)
		}
	}
}

func TestTheSheetSpeaksInTheBoatsOwnMark(t *testing.T) {
	s := demoClub(t)
	boat := boatNamed(t, s, "Halcyon")
	edit := fleet.BoatEdit{ID: boat.ID, Version: boat.Version, BoatFields: boat.BoatFields, Seats: boat.SeatFields(), By: "Bram"}
	// Holes 2 cm apart, the heel 8 cm from the line of work in hole 0.
	edit.Stretcher = &seat.Stretcher{Mark: "hole", OffsetCm: wire.Ptr(8.0), HolePitchCm: wire.Ptr(2.0)}
	edit.Seats[0].Blade = "macon"
	boat, err := s.Fleet.UpdateBoat(t.Context(), edit)
	if err != nil {
		t.Fatal(err)
	}
	w := setUp(t, s, boat, setup.SetupFields{Crew: crewNamed(t, s, []string{"Sanna Pirkola"})})
	for _, l := range w.Seats[0].Lines {
		if l.Setting != "heel_to_pin_cm" {
			continue
		}
		if l.Mark == nil || l.Mark.Mark != "hole" || math.Abs(8+2*l.Mark.Target-l.Target) > 1e-9 || l.Mark.Target != math.Round(l.Mark.Target) {
			t.Errorf("%+v %+v", l, l.Mark)
		}
	}
	h := demoSheet(t, s, boat, "Sanna Pirkola")
	sameOnSheet(t, &w, h)
	edit.Version, edit.Stretcher = boat.Version, &seat.Stretcher{Mark: "notch"}
	if _, err := s.Fleet.UpdateBoat(t.Context(), edit); err == nil {
		t.Error("a mark that no boat has is taken")
	}
}

// TestCautionsOfLimitsAndJuniorsAreOnSetupAndSheet: a limit that was widened and
// a junior's gearing (rules of thumb of package rigging).
func TestCautionsOfLimitsAndJuniorsAreOnSetupAndSheet(t *testing.T) {
	s := demoClub(t)
	boat := boatNamed(t, s, "Halcyon")
	fields := setup.SetupFields{Crew: crewNamed(t, s, []string{"Nell Ashgrove"})}
	if w := setUp(t, s, boat, fields); hasCode(w.Cautions, "wide_limit") || !hasCode(w.Cautions, "junior_gearing") || !hasCode(w.Cautions, "junior") {
		t.Errorf("%s", cautionsIn(w.Cautions))
	}
	fields.Limits = &seat.Limits{LeanDeg: wire.Ptr(45.0)}
	w := setUp(t, s, boat, fields)
	h := sheetFor(t, s, boat, fields)
	if !hasCode(w.Cautions, "wide_limit") || !hasCode(h.Cautions, "wide_limit") || !hasCode(h.Cautions, "junior_gearing") {
		t.Errorf("set-up %s\nsheet %s", cautionsIn(w.Cautions), cautionsIn(h.Cautions))
	}
	sameOnSheet(t, &w, h)
}

func hasCode(list []setup.SeatCaution, code string) bool {
	return slices.ContainsFunc(list, func(c setup.SeatCaution) bool { return c.Code == code })
}

// filmedOf is a filmed catch of an athlete in the seat of a boat as it stands.
func filmedOf(b *fleet.Boat, athlete int64, deg, sd float64, tells bool) store.FilmedReading {
	return store.FilmedReading{
		AthleteID: athlete, BoatID: &b.ID, Boat: b.Name, ClassCode: b.BoatClass, Seat: 1, FilmedOn: "2026-05-02", End: "catch", AngleDeg: &deg, AngleSdDeg: &sd, Tells: tells,
		Marks: "{}", Side: b.Seats[0].Side, Blade: b.Seats[0].Blade, Rig: fleet.RigOfSeat(&b.Seats[0].Seat),
	}
}

func TestAFilmedCatchCalibratesLaterSetups(t *testing.T) {
	s := demoClub(t)
	records := s.Setup.Store
	boat := boatNamed(t, s, "Halcyon")
	fields := setup.SetupFields{Crew: crewNamed(t, s, []string{"Davide Roncalli"})}
	athlete := *fields.Crew[0].AthleteID
	before := setUp(t, s, boat, fields).Seats[0]
	short := before.Found.CatchDeg + 4
	drive := filmedOf(&boat, athlete, 5, 1.2, true)
	drive.End = "drive"
	bare := filmedOf(&boat, athlete, short, 1.2, true)
	bare.Rig = store.Rig{}
	for name, f := range map[string]store.FilmedReading{
		"not known well enough": filmedOf(&boat, athlete, short, 1.2, false), "the rig was not measured": bare, "the middle of the drive": drive,
	} {
		if _, err := records.AddFilmedReading(t.Context(), f, store.By{Name: "Bram"}); err != nil {
			t.Fatal(err)
		}
		if now := setUp(t, s, boat, fields).Seats[0]; now.Result.Proven || *now.Found != *before.Found {
			t.Errorf("%s: %+v, before %+v", name, now.Found, before.Found)
		}
	}
	if _, err := records.AddFilmedReading(t.Context(), filmedOf(&boat, athlete, short, 1.2, true), store.By{Name: "Bram"}); err != nil {
		t.Fatal(err)
	}
	after := setUp(t, s, boat, fields).Seats[0]
	t.Logf("expected catch %.1f, filmed %.1f ± 1.6 (SD with the scatter of strokes), then %.1f", before.Found.CatchDeg, short, after.Found.CatchDeg)
	if !after.Result.Proven || math.Abs(after.Found.CatchDeg-short) > 1.5 {
		t.Errorf("filmed %.1f: %+v, before %+v", short, after.Found, before.Found)
	}
}

func TestAFilmedFinishCalibratesTheFinish(t *testing.T) {
	s := demoClub(t)
	boat := boatNamed(t, s, "Halcyon")
	fields := setup.SetupFields{Crew: crewNamed(t, s, []string{"Davide Roncalli"})}
	before := setUp(t, s, boat, fields).Seats[0]
	f := filmedOf(&boat, *fields.Crew[0].AthleteID, before.Found.FinishDeg-3, 1.2, true)
	f.End = "finish"
	if _, err := s.Setup.Store.AddFilmedReading(t.Context(), f, store.By{Name: "Bram"}); err != nil {
		t.Fatal(err)
	}
	after := setUp(t, s, boat, fields).Seats[0]
	if by := after.Found.FinishDeg - before.Found.FinishDeg; by > -1 || by < -3.5 {
		t.Errorf("filmed 3° less: before %+v, after %+v", before.Found, after.Found)
	}
}
