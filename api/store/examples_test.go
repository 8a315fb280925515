package store_test

import (
	"errors"
	"testing"
	"thole/api/store"
	"thole/api/storetest"
)

// example adds an athlete, a boat, a set of oars and a squad as examples.
func example(t *testing.T, s *store.Store) (athlete, boat int64) {
	t.Helper()
	as := store.AsExample(storetest.Ctx)
	athlete = storetest.Must(s.AddAthlete(as, store.Athlete{Name: "Example"}, storetest.Anna))
	storetest.Must(s.AddMeasures(as, store.Measures{AthleteID: athlete, MeasuredOn: "2026-01-01", Body: store.Body{StatureCm: storetest.Ptr(180.0)}}))
	b := storetest.Swallow()
	b.Name, b.Archived = "Example boat", false
	boat = storetest.Must(s.AddBoat(as, b, storetest.Anna))
	storetest.Must(s.AddOarSet(as, store.OarSet{Name: "Example oars", Kind: store.Sweep, Count: 2}, storetest.Anna))
	storetest.Must(s.AddSquad(as, store.Squad{Name: "Example squad", Athletes: []int64{athlete}}))
	return athlete, boat
}

// rowsOf counts the rows of every table.
func rowsOf(t *testing.T, s *store.Store) map[string]int {
	t.Helper()
	n := map[string]int{}
	for name, rows := range tables(t, s.Path()) {
		n[name] = len(rows)
	}
	return n
}

// TestExamplesGoAsAWhole: every row that came with the examples is gone, and every
// row of the club's own stands as it did.
func TestExamplesGoAsAWhole(t *testing.T) {
	s := storetest.New(t)
	own := storetest.AddPair(t, s)
	storetest.Must(s.AddOarSet(storetest.Ctx, store.OarSet{Name: "Ours", Kind: store.Sweep, Count: 2}, storetest.Anna))
	edda := *own.Seats[0].AthleteID
	before, rows := tables(t, s.Path()), rowsOf(t, s)

	athlete, boat := example(t, s)
	storetest.Must(s.AddSheet(storetest.Ctx, store.Sheet{BoatID: boat, BoatVersion: storetest.Must(s.Boat(storetest.Ctx, boat)).Version, Lines: []store.SheetLine{{Seat: 1, Setting: "spread_cm", Target: 85, Tolerance: .2}}}, storetest.Anna))
	storetest.Must(s.AddLineup(storetest.Ctx, store.Lineup{Name: "Examples", ClassCode: "1x", BoatID: &boat, Seats: []store.LineupSeat{{AthleteID: &athlete, Side: ""}}}, storetest.Anna))
	examples, ours, err := s.Examples(storetest.Ctx)
	storetest.Check(t, err)
	storetest.WantEqual(t, examples, store.Counts{Athletes: 1, Boats: 1, Oars: 1, Squads: 1, Sheets: 1})
	storetest.WantEqual(t, ours, store.Counts{Athletes: 2, Boats: 1, Oars: 1})
	storetest.WantEqual(t, []bool{storetest.Must(s.Athlete(storetest.Ctx, athlete)).Example, storetest.Must(s.Boat(storetest.Ctx, boat)).Example, storetest.Must(s.Athlete(storetest.Ctx, edda)).Example}, []bool{true, true, false})

	a := storetest.Must(s.Athlete(storetest.Ctx, athlete)) // an edit leaves the mark
	a.Note = "edited"
	storetest.Must(s.UpdateAthlete(storetest.Ctx, a, storetest.Anna))
	storetest.WantEqual(t, storetest.Must(s.Athlete(storetest.Ctx, athlete)).Example, true)

	storetest.Check(t, s.RemoveExamples(storetest.Ctx))
	storetest.WantEqual(t, rowsOf(t, s), rows)
	after := tables(t, s.Path())
	for name, was := range before {
		storetest.WantEqual(t, after[name], was)
	}
	storetest.Check(t, s.RemoveExamples(storetest.Ctx)) // again, with none there
	storetest.WantEqual(t, rowsOf(t, s), rows)
}

// TestExamplesInASeatRaceWithOthersStay: nothing is removed while the results of
// the club's own athletes rest on them; a race of examples alone goes with them.
func TestExamplesInASeatRaceWithOthersStay(t *testing.T) {
	s := storetest.New(t)
	athlete, _ := example(t, s)
	second := storetest.Must(s.AddAthlete(store.AsExample(storetest.Ctx), store.Athlete{Name: "Second example"}, storetest.Anna))
	race := func(name string, with int64) int64 {
		return storetest.Must(storetest.AddSeatRace(s, store.SeatRace{
			Name: name, HeldOn: "2026-03-20", DistanceM: 1000, ClassCode: "1x", Athletes: []store.SeatRaceAthlete{{AthleteID: athlete, Side: ""}, {AthleteID: with, Side: ""}},
			Pieces: []store.Piece{{Number: 1, State: store.Planned, Boats: []store.PieceBoat{{Crew: []int64{athlete}}, {Crew: []int64{with}}}}},
		}, storetest.Anna))
	}
	mixed, alone := race("Mixed", storetest.AddNamed(t, s, "Edda")), race("Alone", second)
	rows := rowsOf(t, s)
	err := s.RemoveExamples(storetest.Ctx)
	storetest.WantError(t, err, store.ErrInUse)
	var which *store.ErrMixed
	if !errors.As(err, &which) {
		t.Fatal(err)
	}
	storetest.WantEqual(t, which.Races, []string{"Mixed"})
	storetest.WantEqual(t, rowsOf(t, s), rows)

	storetest.Check(t, s.DeleteSeatRace(storetest.Ctx, mixed))
	storetest.Check(t, s.RemoveExamples(storetest.Ctx))
	_, err = s.SeatRace(storetest.Ctx, alone)
	storetest.WantError(t, err, store.ErrNotFound)
	storetest.WantEqual(t, len(storetest.Must(s.Athletes(storetest.Ctx, store.Filter{}))), 1)
}
