package store

import (
	"fmt"
	"testing"
	"time"
)

// addSeatRace puts a seat race of four athletes in two pairs on record, two pieces
// planned.
func addSeatRace(t testing.TB, s *Store) SeatRace {
	t.Helper()
	r := SeatRace{Name: "Spring", HeldOn: "2026-03-20", DistanceM: 1000, ClassCode: "2-", Terms: ptr(`{"boats":2}`), Note: "flat water", Archived: true}
	var ids []int64
	for i := range 4 {
		ids = append(ids, addNamed(t, s, fmt.Sprint("Athlete ", i+1)))
		r.Athletes = append(r.Athletes, SeatRaceAthlete{ids[i], []string{"port", "starboard"}[i%2]})
	}
	r.Pieces = []Piece{
		{Number: 1, State: Planned, Boats: []PieceBoat{{Crew: ids[:2]}, {Crew: ids[2:]}}},
		{Number: 2, State: Planned, Boats: []PieceBoat{{Crew: []int64{ids[0], ids[3]}}, {Crew: []int64{ids[2], ids[1]}}}},
	}
	var err error
	r.ID, err = s.AddSeatRace(ctx, r, anna)
	check(t, err)
	r.Version = 1
	return r
}

// raced is the entry of a piece's times.
func raced(r SeatRace, piece int, key string, times ...float64) PieceEntry {
	p := r.Pieces[piece-1]
	p.State, p.Boats = Raced, append([]PieceBoat(nil), p.Boats...)
	for i := range times {
		p.Boats[i].TimeS = &times[i]
	}
	return PieceEntry{Piece: p, Key: key}
}

func TestASeatRaceOutlivesARestart(t *testing.T) {
	s := open(t)
	r := addSeatRace(t, s)
	wantEqual(t, must(s.SeatRace(ctx, r.ID)), r)
	rerun := Piece{
		Number: 3, State: Raced, RerunOf: ptr(1), MarginsOnly: true, Note: "wash", EnteredBy: "Bert", EnteredAt: noon.Add(time.Minute),
		Boats: []PieceBoat{{Crew: []int64{1, 2}, TimeS: ptr(200.1)}, {Crew: []int64{3, 4}, TimeS: ptr(201.5)}},
	}
	r.Version = must(s.RecordPiece(ctx, r.ID, PieceEntry{Piece: rerun, Key: "k"}, By{"Bert", noon.Add(time.Minute)}))
	r.Pieces = append(r.Pieces, rerun)
	wantFull(t, r)
	s = reopen(t, s)
	wantEqual(t, must(s.SeatRace(ctx, r.ID)), r)
	r.Athletes, r.Pieces = nil, nil
	wantEqual(t, must(s.SeatRaces(ctx, Filter{Name: "spr", Archived: true})), []SeatRace{r})
	wantEqual(t, must(s.SeatRaces(ctx, Filter{})), []SeatRace{})
}

func TestAResultIsInTheHistory(t *testing.T) {
	s := open(t)
	r := addSeatRace(t, s)
	must(s.RecordPiece(ctx, r.ID, raced(r, 1, "k", 200.1, 201.5), By{Name: "Bert"}))
	wantEqual(t, shown(must(s.Changes(ctx, SeatRaceRecord, r.ID, 0))), []string{
		"name - Spring Anna", "piece 1 state planned raced Bert", "piece 1 boat 1 time_s - 200.1 Bert", "piece 1 boat 2 time_s - 201.5 Bert",
	})
}

func TestAResultSentAgainCountsOnce(t *testing.T) {
	s := open(t)
	r := addSeatRace(t, s)
	e := raced(r, 1, "k", 200.1, 201.5)
	must(s.RecordPiece(ctx, r.ID, e, anna))
	must(s.RecordPiece(ctx, r.ID, raced(r, 2, "k2", 199, 198), anna))
	e.EnteredAt = noon.Add(time.Hour)
	wantEqual(t, must(s.RecordPiece(ctx, r.ID, e, By{"Anna", noon.Add(time.Hour)})), int64(3))
	wantEqual(t, must(s.SeatRace(ctx, r.ID)).Pieces[0].EnteredAt, noon)
	e.Boats[0].TimeS = ptr(300.0)
	_, err := s.RecordPiece(ctx, r.ID, e, anna)
	wantError(t, err, ErrKeyReused)
	e.Key = ""
	_, err = s.RecordPiece(ctx, r.ID, e, anna)
	wantError(t, err, ErrInvalid)
}

func TestTwoPeopleCannotEnterOnePieceUnseen(t *testing.T) {
	s := open(t)
	r := addSeatRace(t, s)
	must(s.RecordPiece(ctx, r.ID, raced(r, 2, "b2", 199, 198), By{Name: "Bert"}))
	must(s.RecordPiece(ctx, r.ID, raced(r, 1, "b1", 200.1, 201.5), By{Name: "Bert"}))
	_, err := s.RecordPiece(ctx, r.ID, raced(r, 1, "a1", 200.4, 201.5), anna)
	wantEqual(t, wantConflict(t, err, 3), []string{
		"piece 1 state planned raced Bert", "piece 1 boat 1 time_s - 200.1 Bert", "piece 1 boat 2 time_s - 201.5 Bert",
	})
	wantEqual(t, *must(s.SeatRace(ctx, r.ID)).Pieces[0].Boats[0].TimeS, 200.1)
	_, err = s.RecordPiece(ctx, r.ID, raced(r, 1, "a1", 200.4, 201.5), anna)
	wantConflict(t, err, 3) // what was refused did not use up its key
}

func TestAResultIsSetRightWithTheVersion(t *testing.T) {
	s := open(t)
	r := addSeatRace(t, s)
	must(s.RecordPiece(ctx, r.ID, raced(r, 1, "k", 200.1, 201.5), anna))
	right := raced(r, 1, "k2", 210.1, 201.5)
	right.Version = 1
	_, err := s.RecordPiece(ctx, r.ID, right, anna)
	wantEqual(t, len(wantConflict(t, err, 2)), 3)
	right.Version = 2
	must(s.RecordPiece(ctx, r.ID, right, By{Name: "Bert"}))
	wantEqual(t, shown(must(s.Changes(ctx, SeatRaceRecord, r.ID, 2))), []string{"piece 1 boat 1 time_s 200.1 210.1 Bert"})
}

func TestAnAbandonedPieceHasNoTimes(t *testing.T) {
	s := open(t)
	r := addSeatRace(t, s)
	e := raced(r, 1, "k")
	e.State, e.Note = Abandoned, "crab in boat 2"
	must(s.RecordPiece(ctx, r.ID, e, anna))
	got := must(s.SeatRace(ctx, r.ID)).Pieces[0]
	e.EnteredBy, e.EnteredAt = "Anna", noon
	wantEqual(t, got, e.Piece)
}

func TestASeatRaceIsUpdatedWhole(t *testing.T) {
	s := open(t)
	r := addSeatRace(t, s)
	r.Terms, r.DistanceM, r.Pieces = nil, 750, r.Pieces[:1]
	r.Athletes[0].Side = "starboard"
	r.Version = must(s.UpdateSeatRace(ctx, r, anna))
	wantEqual(t, must(s.SeatRace(ctx, r.ID)), r)
	wantEqual(t, shown(must(s.Changes(ctx, SeatRaceRecord, r.ID, 1))), []string{
		"distance_m 1000 750 Anna", `terms {"boats":2} - Anna`, "side of athlete 1 port starboard Anna", "piece 2 state planned - Anna", "piece 2 margins_only false - Anna", "piece 2 note  - Anna",
		"piece 2 boat 1 crew 1 4 - Anna", "piece 2 boat 2 crew 3 2 - Anna",
	})
}

func TestAStaleSeatRaceOverwritesNothing(t *testing.T) {
	s := open(t)
	r := addSeatRace(t, s)
	must(s.RecordPiece(ctx, r.ID, raced(r, 1, "k", 200.1, 201.5), By{Name: "Bert"}))
	r.Pieces = nil
	_, err := s.UpdateSeatRace(ctx, r, anna)
	wantEqual(t, len(wantConflict(t, err, 2)), 3)
	wantEqual(t, len(must(s.SeatRace(ctx, r.ID)).Pieces), 2)
}

func TestWhatNoSeatRaceCanBe(t *testing.T) {
	s := open(t)
	good := addSeatRace(t, s)
	stranger := addNamed(t, s, "Stranger")
	for what, c := range map[string]struct {
		change func(*SeatRace)
		want   error
	}{
		"distance":        {func(r *SeatRace) { r.DistanceM = 0 }, ErrInvalid},
		"prior":           {func(r *SeatRace) { r.Terms = ptr("{") }, ErrInvalid},
		"two seats":       {func(r *SeatRace) { r.Pieces[0].Boats[1].Crew = []int64{1, 3} }, ErrInvalid},
		"state":           {func(r *SeatRace) { r.Pieces[0].State = "won" }, ErrInvalid},
		"time":            {func(r *SeatRace) { r.Pieces[0].Boats[0].TimeS = ptr(-1.0) }, ErrInvalid},
		"piece twice":     {func(r *SeatRace) { r.Pieces[1].Number = 1 }, ErrInvalid},
		"re-run itself":   {func(r *SeatRace) { r.Pieces[1].RerunOf = ptr(2) }, ErrInvalid},
		"re-run nothing":  {func(r *SeatRace) { r.Pieces[1].RerunOf = ptr(9) }, ErrNotFound},
		"not taking part": {func(r *SeatRace) { r.Pieces[0].Boats[0].Crew = []int64{stranger, 2} }, ErrNotFound},
		"nobody":          {func(r *SeatRace) { r.Athletes[0].AthleteID = 99 }, ErrNotFound},
	} {
		t.Run(what, func(t *testing.T) {
			r := must(s.SeatRace(ctx, good.ID))
			c.change(&r)
			_, err := s.AddSeatRace(ctx, r, anna)
			wantError(t, err, c.want)
			_, err = s.UpdateSeatRace(ctx, r, anna)
			wantError(t, err, c.want)
		})
	}
	wantEqual(t, must(s.SeatRace(ctx, good.ID)), good)
}

func TestASeatRaceThatIsNotThere(t *testing.T) {
	s := open(t)
	_, err := s.SeatRace(ctx, 7)
	wantError(t, err, ErrNotFound)
	_, err = s.UpdateSeatRace(ctx, SeatRace{ID: 7}, anna)
	wantError(t, err, ErrNotFound)
	_, err = s.RecordPiece(ctx, 7, PieceEntry{Key: "k"}, anna)
	wantError(t, err, ErrNotFound)
}
