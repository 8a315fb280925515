package store

import (
	"errors"
	"testing"
)

// example adds an athlete, a boat, a set of oars and a squad as examples.
func example(t *testing.T, s *Store) (athlete, boat int64) {
	t.Helper()
	as := AsExample(ctx)
	athlete = must(s.AddAthlete(as, Athlete{Name: "Example"}, anna))
	must(s.AddMeasures(as, Measures{AthleteID: athlete, MeasuredOn: "2026-01-01", Body: Body{StatureCm: ptr(180.0)}}))
	b := swallow()
	b.Name, b.Archived = "Example boat", false
	boat = must(s.AddBoat(as, b, anna))
	must(s.AddOarSet(as, OarSet{Name: "Example oars", Kind: Sweep, Count: 2}, anna))
	must(s.AddSquad(as, Squad{Name: "Example squad", Athletes: []int64{athlete}}))
	return athlete, boat
}

// rowsOf counts the rows of every table.
func rowsOf(t *testing.T, s *Store) map[string]int {
	t.Helper()
	n := map[string]int{}
	for name, rows := range tables(t, s.path) {
		n[name] = len(rows)
	}
	return n
}

// TestExamplesGoAsAWhole: every row that came with the examples is gone, and every
// row of the club's own stands as it did.
func TestExamplesGoAsAWhole(t *testing.T) {
	s := open(t)
	own := addPair(t, s)
	must(s.AddOarSet(ctx, OarSet{Name: "Ours", Kind: Sweep, Count: 2}, anna))
	edda := *own.Seats[0].AthleteID
	before, rows := tables(t, s.path), rowsOf(t, s)

	athlete, boat := example(t, s)
	must(s.AddSheet(ctx, Sheet{BoatID: boat, BoatVersion: must(s.Boat(ctx, boat)).Version, Lines: []SheetLine{{Seat: 1, Setting: "spread_cm", Target: 85, Tolerance: .2}}}, anna))
	must(s.AddLineup(ctx, Lineup{Name: "Examples", ClassCode: "1x", BoatID: &boat, Seats: []LineupSeat{{&athlete, ""}}}, anna))
	examples, ours, err := s.Examples(ctx)
	check(t, err)
	wantEqual(t, examples, Counts{Athletes: 1, Boats: 1, Oars: 1, Squads: 1, Sheets: 1})
	wantEqual(t, ours, Counts{Athletes: 2, Boats: 1, Oars: 1})
	wantEqual(t, []bool{must(s.Athlete(ctx, athlete)).Example, must(s.Boat(ctx, boat)).Example, must(s.Athlete(ctx, edda)).Example}, []bool{true, true, false})

	a := must(s.Athlete(ctx, athlete)) // an edit leaves the mark
	a.Note = "edited"
	must(s.UpdateAthlete(ctx, a, anna))
	wantEqual(t, must(s.Athlete(ctx, athlete)).Example, true)

	check(t, s.RemoveExamples(ctx))
	wantEqual(t, rowsOf(t, s), rows)
	after := tables(t, s.path)
	for name, was := range before {
		wantEqual(t, after[name], was)
	}
	check(t, s.RemoveExamples(ctx)) // again, with none there
	wantEqual(t, rowsOf(t, s), rows)
}

// TestExamplesInASeatRaceWithOthersStay: nothing is removed while the results of
// the club's own athletes rest on them; a race of examples alone goes with them.
func TestExamplesInASeatRaceWithOthersStay(t *testing.T) {
	s := open(t)
	athlete, _ := example(t, s)
	second := must(s.AddAthlete(AsExample(ctx), Athlete{Name: "Second example"}, anna))
	race := func(name string, with int64) int64 {
		return must(s.AddSeatRace(ctx, SeatRace{
			Name: name, HeldOn: "2026-03-20", DistanceM: 1000, ClassCode: "1x", Athletes: []SeatRaceAthlete{{athlete, ""}, {with, ""}},
			Pieces: []Piece{{Number: 1, State: Planned, Boats: []PieceBoat{{Crew: []int64{athlete}}, {Crew: []int64{with}}}}},
		}, anna))
	}
	mixed, alone := race("Mixed", addNamed(t, s, "Edda")), race("Alone", second)
	rows := rowsOf(t, s)
	err := s.RemoveExamples(ctx)
	wantError(t, err, ErrInUse)
	var which *ErrMixed
	if !errors.As(err, &which) {
		t.Fatal(err)
	}
	wantEqual(t, which.Races, []string{"Mixed"})
	wantEqual(t, rowsOf(t, s), rows)

	check(t, s.DeleteSeatRace(ctx, mixed))
	check(t, s.RemoveExamples(ctx))
	_, err = s.SeatRace(ctx, alone)
	wantError(t, err, ErrNotFound)
	wantEqual(t, len(must(s.Athletes(ctx, Filter{}))), 1)
}
