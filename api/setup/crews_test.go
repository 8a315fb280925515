package setup_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"testing"

	"thole/api"
	"thole/api/apitest"
	"thole/api/fleet"
	"thole/api/seat"
	"thole/api/setup"
)

func TestTheUsualCrewIsKeptAndRead(t *testing.T) {
	boat, _ := apitest.Pair(t)
	_, h := apitest.NewSheet(t, nil)
	athlete := *h.Seats[0].AthleteID
	path := apitest.UsualCrewPath(boat)
	choice := func(seat int, athlete int64) apitest.Object {
		return apitest.Object{"seat": seat, "athlete_id": athlete}
	}
	apitest.Same(t, "kept", apitest.PutJSON(t, path, apitest.Object{"seats": []any{choice(2, athlete)}}), 200)
	crew := apitest.Decoded[setup.UsualCrew](t, apitest.Request(http.MethodGet, path, "", "").Body.Bytes())
	apitest.Same(t, "crew", crew.Seats, []setup.UsualSeat{{Seat: 2, AthleteID: athlete, Name: h.Seats[0].Name}})
	for name, c := range map[string]struct {
		seats []any
		at    string
	}{
		"no such seat":     {[]any{choice(3, athlete)}, "#/seats/0/seat"},
		"a seat twice":     {[]any{choice(1, athlete), choice(1, athlete)}, "#/seats/1/seat"},
		"somebody twice":   {[]any{choice(1, athlete), choice(2, athlete)}, "#/seats/1/athlete_id"},
		"nobody of record": {[]any{choice(1, 999999)}, "#/seats/0/athlete_id"},
	} {
		w := apitest.Request(http.MethodPut, path, apitest.JSONType, apitest.Encoded(t, apitest.Object{"seats": c.seats}))
		p := apitest.Problem(t, w, http.StatusUnprocessableEntity)
		if len(p.Errors) == 0 || p.Errors[0].Pointer != c.at {
			t.Errorf("%s: %+v", name, p.Errors)
		}
	}
	apitest.Same(t, "no boat", apitest.PutJSON(t, apitest.UsualCrewPath(999999), apitest.Object{"seats": []any{}}), 404)
	apitest.PutJSON(t, path, apitest.Object{"seats": []any{}})
	apitest.Same(t, "taken away", apitest.Request(http.MethodGet, path, "", "").Body.String(), fmt.Sprintf("{\"boat_id\":%d,\"seats\":[]}", boat))
}

// finished sets the boat as a sheet says and returns the boat after it.
func finished(t *testing.T, s *api.Service, boat fleet.Boat, fields setup.SetupFields) (fleet.Boat, setup.Sheet) {
	t.Helper()
	h := sheetFor(t, s, boat, fields)
	for _, seat := range h.Seats {
		for i, l := range seat.Lines {
			if l.Moves {
				if _, err := s.Setup.RecordReading(t.Context(), setup.NewReading{SheetID: h.ID, Key: fmt.Sprint(seat.Number, i), Seat: seat.Number, Setting: l.Setting, Value: &l.Target, By: "Bram"}); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	h, err := s.Setup.FinishSheet(t.Context(), setup.FinishRequest{SheetID: h.ID, BoatVersion: boat.Version, By: "Bram"})
	if err != nil {
		t.Fatal(err)
	}
	return boatNamed(t, s, boat.Name), h
}

// TestASubstituteMovesOneSeat: the eight stands as set for its crew, somebody else
// comes into seat 5, and the set-up and its sheet hold seat 5 alone, judged with the
// whole crew in the boat.
func TestASubstituteMovesOneSeat(t *testing.T) {
	s := demoClub(t)
	crew := crewNamed(t, s, springEight)
	boat, first := finished(t, s, boatNamed(t, s, "Nightjar"), setup.SetupFields{Crew: crew})
	catch, finish := first.Targets[0].Value, first.Targets[1].Value
	crew[4] = crewNamed(t, s, []string{"Lotte Brandvold"})[0]
	crew[4].Seat = 5
	fields := setup.SetupFields{Crew: crew, Only: []int{5}}
	fields.Targets = &seat.Targets{CatchDeg: &catch, FinishDeg: &finish}
	w := setUp(t, s, boat, fields)
	moves := 0
	for _, seat := range w.Seats {
		if seat.Stays == (seat.Number == 5) {
			t.Errorf("seat %d stays: %v", seat.Number, seat.Stays)
		}
		for _, l := range seat.Lines {
			if l.Moves {
				moves++
				if seat.Number != 5 {
					t.Errorf("seat %d: %s", seat.Number, l.Text)
				}
			}
		}
	}
	if moves == 0 || len(w.Offers) > 0 {
		t.Errorf("%d moves and %d offers for a woman in a man's seat", moves, len(w.Offers))
	}
	h := sheetFor(t, s, boat, fields)
	if len(h.Seats) != 1 || h.Seats[0].Number != 5 || fmt.Sprint(h.Staying) != "[1 2 3 4 6 7 8]" || h.ToDo != moves {
		t.Fatalf("sheet of %d seats, staying %v, %d to do", len(h.Seats), h.Staying, h.ToDo)
	}
	if got, want := *h.Seats[0].Planned, *w.Seats[4].Result; encoded(t, got) != encoded(t, want) {
		t.Errorf("sheet %s\nset-up %s", encoded(t, got), encoded(t, want))
	}
	// Whoever sits there, the work on the seat is that of the whole crew's plan.
	whole := fields
	whole.Only = nil
	for i, l := range setUp(t, s, boat, whole).Seats[4].Lines {
		if l.Target != w.Seats[4].Lines[i].Target {
			t.Errorf("%s: %g alone, %g with the crew", l.Setting, w.Seats[4].Lines[i].Target, l.Target)
		}
	}
	if _, err := s.Setup.SetUp(t.Context(), setup.SetupRequest{BoatID: boat.ID, SetupFields: setup.SetupFields{Crew: crew[:3], Only: []int{7}}}); err == nil {
		t.Error("a seat that nobody of the crew rows is set")
	}
}

// TestTheLastSetupOfACrewIsBroughtBack: after another crew had the boat, the rig that
// the first one left is known again, seat by seat.
func TestTheLastSetupOfACrewIsBroughtBack(t *testing.T) {
	s := demoClub(t)
	crew := crewNamed(t, s, springEight)
	start := boatNamed(t, s, "Nightjar")
	none, err := s.Setup.LastSetup(t.Context(), &start, crew)
	if err != nil || none.SheetID != 0 {
		t.Fatalf("never set for this crew: %+v, %v", none, err)
	}
	mine, sheet := finished(t, s, start, setup.SetupFields{Crew: crew})
	still, err := s.Setup.LastSetup(t.Context(), &mine, crew)
	if err != nil || still.SheetID != sheet.ID || still.Differs != 0 {
		t.Fatalf("just set: %+v, %v", still, err)
	}
	theirs, _ := finished(t, s, mine, setup.SetupFields{Crew: eightWomen()})
	last, err := s.Setup.LastSetup(t.Context(), &theirs, crew)
	if err != nil || last.SheetID != sheet.ID || last.Differs == 0 {
		t.Fatalf("after another crew: sheet %d, %d differ, %v", last.SheetID, last.Differs, err)
	}
	differ := 0
	for _, v := range last.Rig {
		if was := mine.Seats[v.Seat-1].Seat.Setting(v.Setting); *was != *v.Value {
			t.Errorf("seat %d %s: %g, was %g", v.Seat, v.Setting, *v.Value, *was)
		}
		if now := theirs.Seats[v.Seat-1].Seat.Setting(v.Setting); *now != *v.Value {
			differ++
		}
	}
	if differ != last.Differs {
		t.Errorf("%d settings differ, %d told", differ, last.Differs)
	}
	other := append([]setup.CrewPlace{}, crew...)
	other[0], other[1] = crew[1], crew[0]
	other[0].Seat, other[1].Seat = 1, 2
	if swapped, err := s.Setup.LastSetup(t.Context(), &theirs, other); err != nil || swapped.SheetID != 0 {
		t.Errorf("the same people in other seats: %+v, %v", swapped, err)
	}
	crew[4].AthleteID = other[2].AthleteID
	if one, err := s.Setup.LastTargets(t.Context(), &theirs, crew, 5); err != nil || one.SheetID != sheet.ID || *one.FinishDeg != sheet.Targets[1].Value {
		t.Errorf("with another in seat 5: %+v, %v", one, err)
	}
}

// TestTheLastSetupIsAskedForByJSON: of the usual crew, or of the one named; what it
// answers is what a set-up by hand takes.
func TestTheLastSetupIsAskedForByJSON(t *testing.T) {
	s := demoClub(t)
	crew := crewNamed(t, s, springEight)
	mine, sheet := finished(t, s, boatNamed(t, s, "Nightjar"), setup.SetupFields{Crew: crew})
	theirs, _ := finished(t, s, mine, setup.SetupFields{Crew: eightWomen()})
	var usual []setup.CrewChoice
	for _, c := range crew {
		usual = append(usual, setup.CrewChoice{Seat: c.Seat, AthleteID: *c.AthleteID})
	}
	if _, err := s.Setup.SetUsualCrew(t.Context(), setup.CrewOfBoat{BoatID: theirs.ID, Seats: usual}); err != nil {
		t.Fatal(err)
	}
	none, err := s.Setup.FindLastSetup(t.Context(), setup.LastSetupRequest{BoatID: theirs.ID, Crew: usual[:7]})
	if err != nil || none.SheetID != 0 || none.DoneAt != nil || none.Rig == nil {
		t.Errorf("seven of them: %+v, %v", none, err)
	}
	named, err := s.Setup.FindLastSetup(t.Context(), setup.LastSetupRequest{BoatID: theirs.ID, Crew: usual})
	if err != nil {
		t.Fatal(err)
	}
	last, err := s.Setup.FindLastSetup(t.Context(), setup.LastSetupRequest{BoatID: theirs.ID})
	if err != nil || last.SheetID != sheet.ID || encoded(t, named) != encoded(t, last) {
		t.Errorf("usual %s\nnamed %s\n%v", encoded(t, last), encoded(t, named), err)
	}
	back := setUp(t, s, theirs, setup.SetupFields{Crew: crew, ByHand: last.Rig, Targets: &seat.Targets{CatchDeg: last.CatchDeg, FinishDeg: last.FinishDeg}})
	for i := range back.Seats {
		for _, l := range back.Seats[i].Lines {
			if was := mine.Seats[i].Seat.Setting(l.Setting); was != nil && *was != l.Target {
				t.Errorf("seat %d %s: to %g, was %g", i+1, l.Setting, l.Target, *was)
			}
		}
	}
	apitest.Same(t, "no boat", apitest.Request(http.MethodPost, "/api/v1/boats/999999/last-setup", apitest.JSONType, "{}").Code, 404)
}

func encoded(t *testing.T, v any) string {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
