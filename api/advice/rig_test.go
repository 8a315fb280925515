package advice_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"thole/api/advice"
	"thole/api/apitest"
	"thole/api/records"
	"thole/api/seat"
	"thole/api/setup"
	"thole/api/wire"
)

// TestCalibrationFromARecording holds that the posture found puts the model on
// the measured ends of the arc.
func TestCalibrationFromARecording(t *testing.T) {
	c, err := apitest.Service.Advice.CalibrateRecording(t.Context(), advice.CalibrateRecordingRequest{ID: apitest.Sculled(t)[0]})
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "oars", c.Oars, 2)
	apitest.Near(t, "catch", c.CatchDeg, -63.5, 0.1)
	apitest.Near(t, "finish", c.FinishDeg, 43.75, 0.1)
	apitest.Near(t, "left over at the catch", c.CatchMissDeg, 0, 1)
	apitest.Same(t, "kind", c.Kind, "scull")
	// Each is known as well as the sensor's zero, half a degree, and half of what the two
	// catches differ by, 1°: √(0.5² + 0.5²).
	apitest.Near(t, "SD", c.SdDeg, math.Hypot(0.5, 0.5), 0.06)
	one, err := apitest.Service.Advice.CalibrateRecording(t.Context(), advice.CalibrateRecordingRequest{ID: apitest.Recorded(t)[0]})
	if err != nil || one.Oars != 1 || math.Abs(one.CatchDeg+64) > 0.1 || one.SdDeg < 0.5 || one.SdDeg > 0.6 {
		t.Errorf("of one oar: %+v %v", one, err)
	}
}

// TestEntryAtTheMeasuredCatch holds the entry against v·cos θ · in/out by hand:
// 4.5 m/s at 64° with the levers of the seat.
func TestEntryAtTheMeasuredCatch(t *testing.T) {
	e, err := apitest.Service.Advice.StrokeEntry(t.Context(), advice.StrokeEntryRequest{ID: apitest.Recorded(t)[0]})
	if err != nil {
		t.Fatal(err)
	}
	apitest.Near(t, "blade", e.Entry.BladeSpeedMS, 4.5*0.43837, 0.02)
	if !e.Measured || e.Entry.HandleSpeedMS < 0.7 || e.Entry.HandleSpeedMS > 1.2 {
		t.Errorf("%+v", e)
	}
	apitest.Same(t, "seat", e.SeatNumber, 1)
	for name, c := range map[string]struct {
		stated   *float64
		measured bool
		speed    float64
	}{"nothing stated": {nil, true, 4.5}, "a speed stated": {new(3.0), false, 3}} {
		e, err := apitest.Service.Advice.StrokeEntry(t.Context(), advice.StrokeEntryRequest{ID: apitest.Recorded(t)[0], Approach: &seat.Approach{BoatSpeedMS: c.stated}})
		if err != nil || e.Measured != c.measured || math.Abs(e.BoatSpeedMS-c.speed) > 0.02 {
			t.Errorf("%s: %+v %v", name, e, err)
		}
	}
}

// TestTheRigOfARecordingMustBeKnown: of the boat that is named, or that it was rowed in,
// and of a seat that was measured; or typed in.
func TestTheRigOfARecordingMustBeKnown(t *testing.T) {
	recorded, stranger := apitest.Recorded(t)[0], apitest.Strangers(t)
	boat := int64(apitest.KnownBoat(t).(float64))
	bare := apitest.Created(t, "/api/v1/boats", apitest.BareBoat())
	none := int64(999_999)
	rig := apitest.Must(apitest.Service.Fleet.Boat(t.Context(), records.IDRequest{ID: boat})).Seats[0].Seat
	for _, c := range []struct {
		name string
		id   int64
		rig  advice.RigOfRecording
		want string
	}{
		{"its own boat", recorded, advice.RigOfRecording{}, ""},
		{"no boat at all", stranger, advice.RigOfRecording{}, "422 boat_id"},
		{"a boat that is named", stranger, advice.RigOfRecording{BoatID: &boat}, ""},
		{"a boat that is not there", stranger, advice.RigOfRecording{BoatID: &none}, "404"},
		{"a boat that was not measured", stranger, advice.RigOfRecording{BoatID: &bare}, "422 boat_id"},
		{"a seat too many", stranger, advice.RigOfRecording{BoatID: &boat, SeatNumber: 2}, "422 seat_number"},
		{"a seat below the first", stranger, advice.RigOfRecording{BoatID: &boat, SeatNumber: -1}, "422 seat_number"},
		{"typed in", stranger, advice.RigOfRecording{BoatClass: "1x", Rig: &rig}, ""},
		{"typed in of no class", stranger, advice.RigOfRecording{BoatClass: "9x", Rig: &rig}, "422 boat_class"},
	} {
		_, err := apitest.Service.Advice.StrokeEntry(t.Context(), advice.StrokeEntryRequest{ID: c.id, RigOfRecording: c.rig, Approach: &seat.Approach{BoatSpeedMS: new(4.0)}})
		var known wire.Failure
		got := ""
		if errors.As(err, &known) {
			p := known.Problem()
			if got = fmt.Sprint(p.Status); len(p.Errors) > 0 {
				got += " " + p.Errors[0].Field
			}
		} else if err != nil {
			got = err.Error()
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q (%v)", c.name, got, c.want, err)
		}
	}
	if _, err := apitest.Service.Advice.CalibrateRecording(t.Context(), advice.CalibrateRecordingRequest{ID: stranger, RigOfRecording: advice.RigOfRecording{BoatID: &boat}}); err == nil {
		t.Error("a posture of nobody is calibrated")
	}
}

// TestSeatsAsFilesCallThem: by their number, by bow and stroke, and in a single there is
// one.
func TestSeatsAsFilesCallThem(t *testing.T) {
	for _, c := range []struct {
		called string
		seats  int
		want   int
	}{
		{"", 1, 1}, {"7", 1, 1}, {"Bow", 8, 1}, {" STROKE side", 4, 4}, {"seat 3", 4, 3}, {"0", 4, 0}, {"9", 8, 9}, {"12", 8, 12}, {"99999999999", 8, 1000}, {"", 4, 0}, {"Ann", 4, 0}, {"a/b:c", 4, 0},
	} {
		if got := advice.SeatNumber(c.called, c.seats); got != c.want {
			t.Errorf("%q of %d: %d, want %d", c.called, c.seats, got, c.want)
		}
	}
}

// TestLoadsOfACrew: against the boat's mean, so that they cancel out; the shorter inboard of
// two alike is the heavier.
func TestLoadsOfACrew(t *testing.T) {
	found := setup.Setup{BoatClass: "2x"}
	for i, inboard := range []float64{88, 87} {
		s := setup.SetupSeat{Number: i + 1, Name: fmt.Sprint("Sculler ", i+1), Result: &setup.SeatOutcome{CatchDeg: -64, FinishDeg: 44, LeverRatio: 2.2}}
		s.Lines = []setup.SetupLine{{Setting: "inboard_cm", Target: inboard}, {Setting: "oar_length_cm", Target: 288}}
		found.Seats = append(found.Seats, s)
	}
	w, err := apitest.Service.Advice.LoadsOf(&found)
	if err != nil || len(w.Seats) != 2 {
		t.Fatalf("%+v %v", w, err)
	}
	if a, b := w.Seats[0].LoadPct, w.Seats[1].LoadPct; a >= 0 || b <= 0 || math.Abs(a+b) > 0.011 || b > 3 || w.Seats[0].ArcDeg != 108 {
		t.Errorf("%g and %g %%: %+v", a, b, w.Seats)
	}
	found.Seats[0].Result = nil // nobody sits there
	if w, err := apitest.Service.Advice.LoadsOf(&found); err != nil || len(w.Seats) != 1 || w.Seats[0].Number != 2 || w.Seats[0].LoadPct != 0 {
		t.Errorf("one alone: %+v %v", w, err)
	}
	found.Seats[1].Result = nil
	if w, err := apitest.Service.Advice.LoadsOf(&found); err != nil || w.Seats == nil || len(w.Seats) != 0 || w.Said == "" {
		t.Errorf("nobody: %+v %v", w, err)
	}
	if _, err := apitest.Service.Advice.LoadsOf(&setup.Setup{BoatClass: "9x"}); err == nil {
		t.Error("a 9x is rowed")
	}
}
