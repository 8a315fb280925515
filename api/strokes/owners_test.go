package strokes_test

import (
	"errors"
	"io"
	"strings"
	"testing"

	"thole/api/access"
	"thole/api/apitest"
	"thole/api/jobs"
	"thole/api/strokes"
)

// TestWhoseARecordingIs: of nobody where no rower is named, and of one alone unless the file
// held others.
func TestWhoseARecordingIs(t *testing.T) {
	s, ctx := apitest.Service.Strokes, t.Context()
	if owner, err := s.SoleOwner(ctx, apitest.Strangers(t)); owner != 0 || err != nil {
		t.Errorf("of nobody: %d %v", owner, err)
	}
	for name, rowers := range map[string]int{"alone": 1, "of a crew": 2} {
		text := apitest.Rows(12, []apitest.Puller{apitest.Known, apitest.Known}[:rowers]...)
		ask := &strokes.KeepStrokesRequest{Force: "handle", RecordedOn: "2026-03-01"}
		for i := range rowers {
			id := apitest.Created(t, "/api/v1/athletes", apitest.BareAthlete())
			ask.Seats = append(ask.Seats, strokes.KeptSeat{Seat: []string{"1", "2"}[i], AthleteID: &id})
		}
		open := func() (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(text)), nil }
		kept, err := s.Keep(ctx, &strokes.Keeping{Service: s, Name: name + ".csv", Size: int64(len(text)), Ask: ask, Open: open})
		if err != nil || len(kept.Recordings) != rowers {
			t.Fatalf("%s: %v %+v", name, err, kept)
		}
		owner, err := s.SoleOwner(ctx, kept.Recordings[0].ID)
		if owner != *ask.Seats[0].AthleteID || errors.Is(err, access.ErrOthersToo) != (rowers > 1) || rowers == 1 && err != nil {
			t.Errorf("%s: %d %v", name, owner, err)
		}
	}
}

// TestProgressIsToldOfAllPasses: a file is read once to see who is in it, and once more for
// each of two oars.
func TestProgressIsToldOfAllPasses(t *testing.T) {
	text := apitest.Rows(12, apitest.Known, apitest.Known)
	size := int64(len(text))
	var last, total int64
	ctx := jobs.WithProgress(t.Context(), func(done, of int64) {
		if of > 0 && done > of {
			t.Errorf("%d of %d bytes", done, of)
		}
		last, total = done, of
	})
	_, err := apitest.Service.Strokes.Keep(ctx, &strokes.Keeping{
		Service: apitest.Service.Strokes, Name: "crew.csv", Size: size,
		Ask:  &strokes.KeepStrokesRequest{Force: "handle", RecordedOn: "2026-03-01", Seats: []strokes.KeptSeat{{Seat: "1"}, {Seat: "2"}}},
		Open: func() (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(text)), nil },
	})
	if err != nil || total != 3*size || last != total {
		t.Errorf("%v: %d of %d bytes, want all of %d", err, last, total, 3*size)
	}
}
