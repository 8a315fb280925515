package seatrace_test

import (
	"net/http"
	"strings"
	"testing"

	"thole/api/apitest"
	"thole/api/club"
	"thole/api/records"
	"thole/api/rest"
	"thole/api/seatrace"
	"thole/api/store"
	"thole/api/storetest"
)

// TestANoteIsOnlyANote holds that a piece that was clocked stays so whatever its
// note says, and that one without a clock is known without any.
func TestANoteIsOnlyANote(t *testing.T) {
	s := raceService(t)
	id := quickRace(t, s)
	clocked, err := s.Seatrace.RecordPiece(t.Context(), seatrace.PieceResultRequest{
		ID: id, Number: 1, Key: "1", TimesS: []*float64{new(190.0), new(192.0)}, Note: "Margins only. from the launch, watch for the clock",
	})
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "margins only", clocked.Pieces[0].MarginsOnly, false)
	apitest.Same(t, "note", clocked.Pieces[0].Note, "Margins only. from the launch, watch for the clock")
	judged := func() seatrace.RaceJudgement {
		j, err := s.Seatrace.JudgeRace(t.Context(), seatrace.JudgementRequest{ID: id, View: "absolute"})
		if err != nil {
			t.Fatal(err)
		}
		return j
	}
	apitest.Same(t, "raced by the clock", judged().Raced, 1)
	blind, err := s.Seatrace.RecordPiece(t.Context(), seatrace.PieceResultRequest{ID: id, Number: 2, Key: "2", MarginsS: []*float64{new(0.0), new(1.5)}, Note: "rain"})
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "margins only", blind.Pieces[1].MarginsOnly, true)
	apitest.Same(t, "note", blind.Pieces[1].Note, "rain")
	j := judged()
	apitest.Same(t, "raced by the clock", j.Raced, 1)
	if !strings.Contains(strings.Join(j.Estimate.Notes, " "), "Piece 2 has margins only") {
		t.Errorf("notes %q", j.Estimate.Notes)
	}
	right, err := s.Seatrace.RecordPiece(t.Context(), seatrace.PieceResultRequest{ID: id, Number: 2, Key: "3", Version: &blind.Version, TimesS: []*float64{new(191.0), new(192.5)}, Note: "rain"})
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "margins only once the clock was read", right.Pieces[1].MarginsOnly, false)
}

// TestAGuestIsNoMatterOfNotes holds that an athlete who is archived under a
// guest's old note is no guest, and that a guest the club took in stays.
func TestAGuestIsNoMatterOfNotes(t *testing.T) {
	s, file := apitest.RaceRecords(t)
	ann, err := file.AddAthlete(t.Context(), store.Athlete{Name: "Ann", Archived: true, Note: "Guest: known from seat races only."}, store.By{})
	if err != nil {
		t.Fatal(err)
	}
	id := quickRace(t, s)
	a, err := s.Seatrace.Race(t.Context(), records.IDRequest{ID: id})
	if err != nil {
		t.Fatal(err)
	}
	var bea int64
	for _, x := range a.Athletes {
		apitest.Same(t, x.Name+" is a guest", x.Guest, x.AthleteID != ann)
		if x.Name == "Bea" {
			bea = x.AthleteID
		}
	}
	was, err := file.Athlete(t.Context(), bea)
	apitest.Same(t, "error", err, nil)
	apitest.Same(t, "a guest's note", was.Note, "")
	told, err := s.Club.Athlete(t.Context(), club.AthleteRequest{ID: bea})
	apitest.Same(t, "error", err, nil)
	apitest.Same(t, "told as a guest", told.Guest, true)
	if told, err = s.Club.UpdateAthlete(t.Context(), club.AthleteEdit{ID: bea, Version: was.Version, By: "Eva", AthleteFields: club.AthleteFields{Name: "Bea", Sculls: true}}); err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "told as a guest once the club took her in", told.Guest, false)
	list, err := s.Club.Athletes(t.Context(), records.ListRequest{Archived: true})
	apitest.Same(t, "error", err, nil)
	guests := 0
	for _, x := range list.Athletes {
		if x.Guest {
			guests++
		}
	}
	apitest.Same(t, "guests listed", guests, 2)
	if _, err := s.Seatrace.RemoveRace(t.Context(), records.IDRequest{ID: id}); err != nil {
		t.Fatal(err)
	}
	all, err := file.Athletes(t.Context(), store.Filter{Archived: true})
	apitest.Same(t, "error", err, nil)
	apitest.Same(t, "athletes left", len(all), 2)
}

// TestTermsThatCannotBeReadAreAnError holds that nothing is planned or judged on
// other terms than those stated, and that stating them again mends the race.
func TestTermsThatCannotBeReadAreAnError(t *testing.T) {
	s, file := apitest.RaceRecords(t)
	id := quickRace(t, s)
	apitest.Record(t, s, id, 1, "1", 190, 192)
	r, err := file.SeatRace(t.Context(), id)
	apitest.Same(t, "error", err, nil)
	r.Terms = new(`{"boats":"two"}`)
	version, err := storetest.UpdateSeatRace(file, r, store.By{})
	apitest.Same(t, "error", err, nil)
	_, shown := s.Seatrace.Race(t.Context(), records.IDRequest{ID: id})
	_, judged := s.Seatrace.JudgeRace(t.Context(), seatrace.JudgementRequest{ID: id})
	_, entered := s.Seatrace.RecordPiece(t.Context(), seatrace.PieceResultRequest{ID: id, Number: 2, Key: "2", MarginsS: []*float64{new(0.0), new(1.5)}})
	for what, err := range map[string]error{"shown": shown, "judged": judged, "entered": entered} {
		if p := rest.Explain(err); err == nil || p.Status != http.StatusConflict || !strings.Contains(p.Detail, "cannot be read") {
			t.Errorf("%s: %v", what, err)
		}
	}
	again := seatrace.ChangeRaceRequest{ID: id, Version: version, RaceContent: quickRequest().RaceContent}
	mended, err := s.Seatrace.ChangeRace(t.Context(), again)
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "expected time", mended.Terms.ExpectedTimeS, 190.0)
	apitest.Same(t, "result", *mended.Pieces[0].TimesS[0], 190.0)
}
