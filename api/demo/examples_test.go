package demo_test

import (
	"errors"
	"net/http"
	"sync"
	"testing"

	"thole/api/apitest"
	"thole/api/demo"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/rest"
	"thole/api/wire"
)

// TestExamplesCanBeTriedAndRemoved: from nothing they bring a boat that can be set
// up for a crew who was measured, all of it marked, and they leave nothing.
func TestExamplesCanBeTriedAndRemoved(t *testing.T) {
	s, _ := newClub(t)
	ctx, none := t.Context(), struct{}{}
	e, err := s.Demo.LoadExamples(ctx, demo.Loading{By: "Ines"})
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "examples", []int{e.Examples.Athletes, e.Examples.Boats, e.Examples.Oars, e.Examples.Squads}, []int{10, 3, 2, 1})
	apitest.Same(t, "own", e.Own.Athletes+e.Own.Boats+e.Own.Oars+e.Own.Squads+e.Own.Sheets, 0)
	athletes, err := s.Club.Athletes(ctx, records.ListRequest{})
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range athletes.Athletes {
		if !a.Example || a.StatureCm == nil || a.MassKg == nil {
			t.Errorf("%s: example %v, height %v, mass %v", a.Name, a.Example, a.StatureCm, a.MassKg)
		}
	}
	boats, err := s.Fleet.Boats(ctx, records.ListRequest{})
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range boats.Boats {
		boat, err := s.Fleet.Boat(ctx, records.IDRequest{ID: b.ID})
		if err != nil || !b.Example || !boat.Example {
			t.Fatalf("%s: example %v, %v", b.Name, b.Example, err)
		}
		for _, seat := range boat.Seats {
			if len(seat.Missing) > 0 {
				t.Errorf("%s, seat %d: %v is not known", b.Name, seat.Number, seat.Missing)
			}
		}
	}
	if _, err := s.Demo.LoadExamples(ctx, demo.Loading{By: "Ines"}); rest.Explain(err).Status != http.StatusConflict {
		t.Errorf("loaded twice: %v", err)
	}
	if e, err = s.Demo.RemoveExamples(ctx, none); err != nil || !e.Empty() {
		t.Errorf("left: %+v, %v", e, err)
	}
}

// TestExamplesStandBesideTheClubsOwn: what the club entered stays as it was, and a
// name that it has already keeps the examples out, whole.
func TestExamplesStandBesideTheClubsOwn(t *testing.T) {
	s, _ := newClub(t)
	ctx, none := t.Context(), struct{}{}
	own, err := s.Fleet.AddBoat(ctx, fleet.NewBoat{BoatFields: fleet.BoatFields{Name: "Wren", BoatClass: "1x"}, By: "Ines"})
	if err != nil {
		t.Fatal(err)
	}
	_, err = s.Demo.LoadExamples(ctx, demo.Loading{By: "Ines"})
	var said *wire.Refusal
	if !errors.As(err, &said) || said.Status != http.StatusConflict {
		t.Fatalf("a name that is taken: %v", err)
	}
	e, err := s.Demo.Examples(ctx, none)
	if err != nil || e.Loaded() || e.Own.Boats != 1 {
		t.Fatalf("a part of the examples stayed: %+v, %v", e, err)
	}
	own, err = s.Fleet.UpdateBoat(ctx, fleet.BoatEdit{ID: own.ID, Version: own.Version, BoatFields: fleet.BoatFields{Name: "Robin", BoatClass: "1x"}, Seats: own.SeatFields(), By: "Ines"})
	if err != nil {
		t.Fatal(err)
	}
	var wait sync.WaitGroup
	loaded := make([]bool, 4)
	for i := range loaded {
		wait.Go(func() {
			_, err := s.Demo.LoadExamples(ctx, demo.Loading{By: "Ines"})
			loaded[i] = err == nil
		})
	}
	wait.Wait()
	n := 0
	for _, ok := range loaded {
		if ok {
			n++
		}
	}
	apitest.Same(t, "loaded by four at once", n, 1)
	if e, err = s.Demo.RemoveExamples(ctx, none); err != nil || e.Loaded() || e.Own.Boats != 1 {
		t.Errorf("%+v, %v", e, err)
	}
	left, err := s.Fleet.Boat(ctx, records.IDRequest{ID: own.ID})
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "the club's own boat", left, own)
}
