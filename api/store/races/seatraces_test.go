package races_test

import (
	"fmt"
	"testing"
	"thole/api/store"
	"thole/api/storetest"
	"time"
)

// addSeatRace puts a seat race of four athletes in two pairs on record, two pieces
// planned.
func addSeatRace(t testing.TB, s *store.Store) store.SeatRace {
	t.Helper()
	r := store.SeatRace{Name: "Spring", HeldOn: "2026-03-20", DistanceM: 1000, ClassCode: "2-", Terms: storetest.Ptr(`{"boats":2}`), Note: "flat water", Archived: true}
	var ids []int64
	for i := range 4 {
		ids = append(ids, storetest.AddNamed(t, s, fmt.Sprint("Athlete ", i+1)))
		r.Athletes = append(r.Athletes, store.SeatRaceAthlete{AthleteID: ids[i], Side: []string{"port", "starboard"}[i%2]})
	}
	r.Pieces = []store.Piece{
		{Number: 1, State: store.Planned, Boats: []store.PieceBoat{{Crew: ids[:2]}, {Crew: ids[2:]}}},
		{Number: 2, State: store.Planned, Boats: []store.PieceBoat{{Crew: []int64{ids[0], ids[3]}}, {Crew: []int64{ids[2], ids[1]}}}},
	}
	var err error
	r.ID, err = storetest.AddSeatRace(s, r, storetest.Anna)
	storetest.Check(t, err)
	r.Version = 1
	return r
}

// raced is the entry of a piece's times.
func raced(r store.SeatRace, piece int, key string, times ...float64) store.PieceEntry {
	p := r.Pieces[piece-1]
	p.State, p.Boats = store.Raced, append([]store.PieceBoat(nil), p.Boats...)
	for i := range times {
		p.Boats[i].TimeS = &times[i]
	}
	return store.PieceEntry{Piece: p, Key: key}
}

func TestASeatRaceOutlivesARestart(t *testing.T) {
	s := storetest.New(t)
	r := addSeatRace(t, s)
	storetest.WantEqual(t, storetest.Must(s.SeatRace(storetest.Ctx, r.ID)), r)
	rerun := store.Piece{
		Number: 3, State: store.Raced, RerunOf: storetest.Ptr(1), MarginsOnly: true, Note: "wash", EnteredBy: "Bert", EnteredAt: storetest.Noon.Add(time.Minute),
		Boats: []store.PieceBoat{{Crew: []int64{1, 2}, TimeS: storetest.Ptr(200.1)}, {Crew: []int64{3, 4}, TimeS: storetest.Ptr(201.5)}},
	}
	r.Version = storetest.Must(s.RecordPiece(storetest.Ctx, r.ID, store.PieceEntry{Piece: rerun, Key: "k"}, store.By{Name: "Bert", At: storetest.Noon.Add(time.Minute)}))
	r.Pieces = append(r.Pieces, rerun)
	storetest.WantFull(t, r)
	s = storetest.Reopen(t, s)
	storetest.WantEqual(t, storetest.Must(s.SeatRace(storetest.Ctx, r.ID)), r)
	r.Athletes, r.Pieces = nil, nil
	storetest.WantEqual(t, storetest.Must(s.SeatRaces(storetest.Ctx, store.Filter{Name: "spr", Archived: true})), []store.SeatRace{r})
	storetest.WantEqual(t, storetest.Must(s.SeatRaces(storetest.Ctx, store.Filter{})), []store.SeatRace{})
}

func TestAResultIsInTheHistory(t *testing.T) {
	s := storetest.New(t)
	r := addSeatRace(t, s)
	storetest.Must(s.RecordPiece(storetest.Ctx, r.ID, raced(r, 1, "k", 200.1, 201.5), store.By{Name: "Bert"}))
	storetest.WantEqual(t, storetest.Shown(storetest.Must(s.Changes(storetest.Ctx, store.SeatRaceRecord, r.ID, 0))), []string{
		"name - Spring Anna", "piece 1 state planned raced Bert", "piece 1 boat 1 time_s - 200.1 Bert", "piece 1 boat 2 time_s - 201.5 Bert",
	})
}

func TestAResultSentAgainCountsOnce(t *testing.T) {
	s := storetest.New(t)
	r := addSeatRace(t, s)
	e := raced(r, 1, "k", 200.1, 201.5)
	storetest.Must(s.RecordPiece(storetest.Ctx, r.ID, e, storetest.Anna))
	storetest.Must(s.RecordPiece(storetest.Ctx, r.ID, raced(r, 2, "k2", 199, 198), storetest.Anna))
	e.EnteredAt = storetest.Noon.Add(time.Hour)
	storetest.WantEqual(t, storetest.Must(s.RecordPiece(storetest.Ctx, r.ID, e, store.By{Name: "Anna", At: storetest.Noon.Add(time.Hour)})), int64(3))
	storetest.WantEqual(t, storetest.Must(s.SeatRace(storetest.Ctx, r.ID)).Pieces[0].EnteredAt, storetest.Noon)
	e.Boats[0].TimeS = storetest.Ptr(300.0)
	_, err := s.RecordPiece(storetest.Ctx, r.ID, e, storetest.Anna)
	storetest.WantError(t, err, store.ErrKeyReused)
	storetest.Run(t, storetest.Writer(s), "UPDATE seat_race_entries SET content = 'no document'")
	_, err = s.RecordPiece(storetest.Ctx, r.ID, e, storetest.Anna)
	storetest.WantError(t, err, store.ErrKeyReused)
	e.Key = ""
	_, err = s.RecordPiece(storetest.Ctx, r.ID, e, storetest.Anna)
	storetest.WantError(t, err, store.ErrInvalid)
}

func TestTwoPeopleCannotEnterOnePieceUnseen(t *testing.T) {
	s := storetest.New(t)
	r := addSeatRace(t, s)
	storetest.Must(s.RecordPiece(storetest.Ctx, r.ID, raced(r, 2, "b2", 199, 198), store.By{Name: "Bert"}))
	storetest.Must(s.RecordPiece(storetest.Ctx, r.ID, raced(r, 1, "b1", 200.1, 201.5), store.By{Name: "Bert"}))
	_, err := s.RecordPiece(storetest.Ctx, r.ID, raced(r, 1, "a1", 200.4, 201.5), storetest.Anna)
	storetest.WantEqual(t, storetest.WantConflict(t, err, 3), []string{
		"piece 1 state planned raced Bert", "piece 1 boat 1 time_s - 200.1 Bert", "piece 1 boat 2 time_s - 201.5 Bert",
	})
	storetest.WantEqual(t, *storetest.Must(s.SeatRace(storetest.Ctx, r.ID)).Pieces[0].Boats[0].TimeS, 200.1)
	_, err = s.RecordPiece(storetest.Ctx, r.ID, raced(r, 1, "a1", 200.4, 201.5), storetest.Anna)
	storetest.WantConflict(t, err, 3) // what was refused did not use up its key
}

func TestAResultIsSetRightWithTheVersion(t *testing.T) {
	s := storetest.New(t)
	r := addSeatRace(t, s)
	storetest.Must(s.RecordPiece(storetest.Ctx, r.ID, raced(r, 1, "k", 200.1, 201.5), storetest.Anna))
	right := raced(r, 1, "k2", 210.1, 201.5)
	right.Version = 1
	_, err := s.RecordPiece(storetest.Ctx, r.ID, right, storetest.Anna)
	storetest.WantEqual(t, len(storetest.WantConflict(t, err, 2)), 3)
	right.Version = 2
	storetest.Must(s.RecordPiece(storetest.Ctx, r.ID, right, store.By{Name: "Bert"}))
	storetest.WantEqual(t, storetest.Shown(storetest.Must(s.Changes(storetest.Ctx, store.SeatRaceRecord, r.ID, 2))), []string{"piece 1 boat 1 time_s 200.1 210.1 Bert"})
}

func TestAnAbandonedPieceHasNoTimes(t *testing.T) {
	s := storetest.New(t)
	r := addSeatRace(t, s)
	e := raced(r, 1, "k")
	e.State, e.Note = store.Abandoned, "crab in boat 2"
	storetest.Must(s.RecordPiece(storetest.Ctx, r.ID, e, storetest.Anna))
	got := storetest.Must(s.SeatRace(storetest.Ctx, r.ID)).Pieces[0]
	e.EnteredBy, e.EnteredAt = "Anna", storetest.Noon
	storetest.WantEqual(t, got, e.Piece)
}

func TestASeatRaceIsUpdatedWhole(t *testing.T) {
	s := storetest.New(t)
	r := addSeatRace(t, s)
	r.Terms, r.DistanceM, r.Pieces = nil, 750, r.Pieces[:1]
	r.Athletes[0].Side = "starboard"
	r.Version = storetest.Must(storetest.UpdateSeatRace(s, r, storetest.Anna))
	storetest.WantEqual(t, storetest.Must(s.SeatRace(storetest.Ctx, r.ID)), r)
	storetest.WantEqual(t, storetest.Shown(storetest.Must(s.Changes(storetest.Ctx, store.SeatRaceRecord, r.ID, 1))), []string{
		"distance_m 1000 750 Anna", `terms {"boats":2} - Anna`, "side of athlete 1 port starboard Anna", "piece 2 state planned - Anna", "piece 2 margins_only false - Anna", "piece 2 note  - Anna",
		"piece 2 boat 1 crew 1 4 - Anna", "piece 2 boat 2 crew 3 2 - Anna",
	})
}

func TestAStaleSeatRaceOverwritesNothing(t *testing.T) {
	s := storetest.New(t)
	r := addSeatRace(t, s)
	storetest.Must(s.RecordPiece(storetest.Ctx, r.ID, raced(r, 1, "k", 200.1, 201.5), store.By{Name: "Bert"}))
	r.Pieces = nil
	_, err := storetest.UpdateSeatRace(s, r, storetest.Anna)
	storetest.WantEqual(t, len(storetest.WantConflict(t, err, 2)), 3)
	storetest.WantEqual(t, len(storetest.Must(s.SeatRace(storetest.Ctx, r.ID)).Pieces), 2)
}

func TestWhatNoSeatRaceCanBe(t *testing.T) {
	s := storetest.New(t)
	good := addSeatRace(t, s)
	stranger := storetest.AddNamed(t, s, "Stranger")
	for what, c := range map[string]struct {
		change func(*store.SeatRace)
		want   error
	}{
		"distance":        {func(r *store.SeatRace) { r.DistanceM = 0 }, store.ErrInvalid},
		"prior":           {func(r *store.SeatRace) { r.Terms = storetest.Ptr("{") }, store.ErrInvalid},
		"two seats":       {func(r *store.SeatRace) { r.Pieces[0].Boats[1].Crew = []int64{1, 3} }, store.ErrInvalid},
		"state":           {func(r *store.SeatRace) { r.Pieces[0].State = "won" }, store.ErrInvalid},
		"time":            {func(r *store.SeatRace) { r.Pieces[0].Boats[0].TimeS = storetest.Ptr(-1.0) }, store.ErrInvalid},
		"piece twice":     {func(r *store.SeatRace) { r.Pieces[1].Number = 1 }, store.ErrInvalid},
		"re-run itself":   {func(r *store.SeatRace) { r.Pieces[1].RerunOf = storetest.Ptr(2) }, store.ErrInvalid},
		"re-run nothing":  {func(r *store.SeatRace) { r.Pieces[1].RerunOf = storetest.Ptr(9) }, store.ErrNotFound},
		"not taking part": {func(r *store.SeatRace) { r.Pieces[0].Boats[0].Crew = []int64{stranger, 2} }, store.ErrNotFound},
		"nobody":          {func(r *store.SeatRace) { r.Athletes[0].AthleteID = 99 }, store.ErrNotFound},
	} {
		t.Run(what, func(t *testing.T) {
			r := storetest.Must(s.SeatRace(storetest.Ctx, good.ID))
			c.change(&r)
			_, err := storetest.AddSeatRace(s, r, storetest.Anna)
			storetest.WantError(t, err, c.want)
			_, err = storetest.UpdateSeatRace(s, r, storetest.Anna)
			storetest.WantError(t, err, c.want)
		})
	}
	storetest.WantEqual(t, storetest.Must(s.SeatRace(storetest.Ctx, good.ID)), good)
}

func TestASeatRaceThatIsNotThere(t *testing.T) {
	s := storetest.New(t)
	_, err := s.SeatRace(storetest.Ctx, 7)
	storetest.WantError(t, err, store.ErrNotFound)
	_, err = storetest.UpdateSeatRace(s, store.SeatRace{ID: 7}, storetest.Anna)
	storetest.WantError(t, err, store.ErrNotFound)
	_, err = s.RecordPiece(storetest.Ctx, 7, store.PieceEntry{Key: "k"}, storetest.Anna)
	storetest.WantError(t, err, store.ErrNotFound)
}
