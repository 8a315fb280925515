package setup_test

import (
	"math"
	"strings"
	"testing"

	"thole/api/fleet"
	"thole/api/seat"
	"thole/api/setup"
	"thole/api/wire"
)

// TestAnAmbitiousCatchBringsOffersAndNoWork: what would bring short bodies to a
// far catch has its price and moves nothing by itself.
func TestAnAmbitiousCatchBringsOffersAndNoWork(t *testing.T) {
	s := demoClub(t)
	boat := boatNamed(t, s, "Nightjar")
	modest := setup.SetupFields{Crew: eightWomen()}
	far := modest
	far.Targets = &seat.Targets{CatchDeg: wire.Ptr(-60.0), FinishDeg: wire.Ptr(32.0)}
	w, plain := setUp(t, s, boat, far), setUp(t, s, boat, modest)
	if len(w.Offers) == 0 || len(w.Limiting) == 0 {
		t.Fatalf("%d offers, limiting %v", len(w.Offers), w.Limiting)
	}
	for _, o := range w.Offers {
		if o.Text == "" || len(o.Brings) == 0 || o.Kind != "shorter_arc" && (len(o.Moves) == 0 || o.LoadShare == 0) {
			t.Errorf("%+v", o)
		}
	}
	if o := w.Offers[0]; o.Kind != "shorter_arc" || *o.CatchDeg < w.AllReachDeg || !strings.Contains(o.Text, "that everybody reaches") {
		t.Errorf("%+v, all reach %.1f", o, w.AllReachDeg)
	}
	// No seated check asks anybody to reach further than the body goes.
	for _, one := range w.Seats {
		inner := one.Result.Proof.CatchCm / math.Sin(-one.Result.ReachedCatchDeg*math.Pi/180)
		if one.Result.CatchShortDeg > 0 && one.Result.ReachedCatchDeg <= -60 || math.Abs(inner-w.Seats[0].Result.Proof.FinishCm/math.Sin(32*math.Pi/180)) > 0.3 {
			t.Errorf("seat %d: check at %.1f cm for a catch of %.1f°, %.1f° short", one.Number, one.Result.Proof.CatchCm, one.Result.ReachedCatchDeg, one.Result.CatchShortDeg)
		}
	}
	moves := func(w *setup.Setup) (n int) {
		for _, seat := range w.Seats {
			for _, l := range seat.Lines {
				if l.Moves {
					n++
				}
			}
		}
		return n
	}
	if a, b := moves(&w), moves(&plain); a != b {
		t.Errorf("%d moves for the far catch, %d for what such crews row", a, b)
	}
	sameOnSheet(t, &w, sheetFor(t, s, boat, far))
}

// TestWhatNobodyMeasuredIsNotMoved: a single of which only what must be known is,
// set for somebody whose hands are known to be low.
func TestWhatNobodyMeasuredIsNotMoved(t *testing.T) {
	s := newClub(t)
	boat, err := s.Fleet.AddBoat(t.Context(), fleet.NewBoat{BoatFields: fleet.BoatFields{Name: "Wren", BoatClass: "1x"}, By: "Bram"})
	if err != nil {
		t.Fatal(err)
	}
	edit := fleet.RigEdit{ID: boat.ID, Version: boat.Version, By: "Bram"}
	for name, v := range map[string]float64{"span_cm": 159, "inboard_cm": 88, "oar_length_cm": 288, "heel_to_pin_cm": 12} {
		edit.Settings = append(edit.Settings, fleet.RigSetting{Seat: 1, Setting: name, Value: wire.Ptr(v)})
	}
	if boat, err = s.Fleet.UpdateRig(t.Context(), edit); err != nil {
		t.Fatal(err)
	}
	fields := setup.SetupFields{Job: "full_rerig", Crew: []setup.CrewPlace{{Seat: 1, Name: "Guest", Rower: &seat.Rower{
		Sex: "male", StatureCm: wire.Ptr(186.0), MassKg: wire.Ptr(85.0), DrawHeightCm: wire.Ptr(28.0)}}}}
	w := setUp(t, s, boat, fields)
	told := 0
	for _, l := range w.Seats[0].Lines {
		known := l.AsFound != nil
		if l.Measure == known || l.Moves && !known || !known && !strings.HasPrefix(l.Text, "not measured") {
			t.Errorf("%+v", l)
		}
		if l.Moves {
			told++
		}
	}
	if told == 0 {
		t.Error("not even the stretcher, 10 cm out, is told")
	}
	sameOnSheet(t, &w, sheetFor(t, s, boat, fields))
}

// TestTheLevelOfACrewChoosesItsTargets: table of the arcs to expect, club crews
// 3° less at the catch and 1° at the finish than championship ones, novices 6°
// and 2° (common practice).
func TestTheLevelOfACrewChoosesItsTargets(t *testing.T) {
	s := demoClub(t)
	boat := boatNamed(t, s, "Nightjar")
	fields := setup.SetupFields{Crew: guests("male", []float64{192}, []float64{92})}
	for level, want := range map[string][2]float64{"": {-53, 33}, "club": {-53, 33}, "championship": {-56, 34}, "novice": {-50, 32}} {
		fields.Level = level
		w := setUp(t, s, boat, fields)
		if w.Targets[0].Value != want[0] || w.Targets[1].Value != want[1] || !w.Targets[0].Chosen {
			t.Errorf("%q: %v", level, w.Targets)
		}
	}
}
