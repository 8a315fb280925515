package strokes_test

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"path/filepath"
	"strings"
	"testing"

	"thole/api"
	"thole/api/apitest"
	"thole/api/store"
	"thole/api/strokes"
	"thole/api/wire"
)

// TestACrewIsKeptWholeOrNotAtAll lets the file break off as the second of two
// seats is read, and the rower of the second seat be deleted before anything is
// written.
func TestACrewIsKeptWholeOrNotAtAll(t *testing.T) {
	records, err := store.Open(t.Context(), filepath.Join(t.TempDir(), "club.db"))
	if err != nil {
		t.Fatal(err)
	}
	s := api.NewService(records)
	defer func() { s.Close(); _ = records.Close() }()
	text := apitest.Rows(12, apitest.Known, apitest.Known)
	add := func(name string) int64 {
		id, err := records.AddAthlete(t.Context(), store.Athlete{Name: name}, store.By{})
		if err != nil {
			t.Fatal(err)
		}
		return id
	}
	keep := func(first, second int64, at func(pass int) error) (strokes.RecordingList, error) {
		pass := 0
		return s.Strokes.Keep(t.Context(), &strokes.Keeping{
			Service: s.Strokes, Name: "crew.csv", Size: int64(len(text)),
			Ask: &strokes.KeepStrokesRequest{Force: "handle", RecordedOn: "2026-03-01", Seats: []strokes.KeptSeat{{Seat: "1", AthleteID: &first}, {Seat: "2", AthleteID: &second}}},
			Open: func() (io.ReadCloser, error) {
				pass++
				return io.NopCloser(strings.NewReader(text)), at(pass)
			},
		})
	}
	ann, bea := add("Ann"), add("Bea")
	torn := errors.New("the file is torn")
	for what, c := range map[string]struct {
		at   func(pass int) error
		want error
	}{
		"a torn file": {func(pass int) error {
			if pass == 3 {
				return torn
			}
			return nil
		}, torn},
		"a rower who is gone": {func(pass int) error {
			if pass == 3 {
				return records.DeleteAthlete(t.Context(), bea)
			}
			return nil
		}, wire.ErrNotFound},
	} {
		bea = add("Bea " + what)
		if _, err := keep(ann, bea, c.at); !errors.Is(err, c.want) {
			t.Errorf("%s: got %v, want %v", what, err, c.want)
		}
		kept, err := records.Recordings(t.Context(), store.RecordingFilter{})
		apitest.Same(t, "error", err, nil)
		apitest.Same(t, what+": recordings kept", len(kept), 0)
	}
	list, err := keep(ann, add("Cat"), func(int) error { return nil })
	apitest.Same(t, "error", err, nil)
	apitest.Same(t, "recordings kept", len(list.Recordings), 2)
	for _, r := range list.Recordings {
		m, err := records.Samples(t.Context(), r.ID)
		apitest.Same(t, "error", err, nil)
		if len(m.TimeS) < 100 || len(m.ForceN) != len(m.TimeS) {
			t.Errorf("seat %s has %d times and %d forces", r.Seat, len(m.TimeS), len(m.ForceN))
		}
	}
}

// TestAFileThatNamesNoSeatIsKept brings a file of one rower without a column of
// seats on record, with the site of the force as a bare word.
func TestAFileThatNamesNoSeatIsKept(t *testing.T) {
	var b strings.Builder
	b.WriteString("time_s,angle_deg,force_n\n")
	for i := range 1200 {
		angle, force, _ := apitest.Known.Pull(float64(i) / 50)
		fmt.Fprintf(&b, "%.2f,%.2f,%.1f\n", float64(i)/50, angle, force)
	}
	w := apitest.SendParts(apitest.AnalysePath, nil, apitest.Part{Name: "force", Text: "handle"}, apitest.FileOf(b.String()))
	if w.Code != http.StatusOK {
		t.Fatalf("measuring: %d %.300s", w.Code, w.Body)
	}
	kept := apitest.Kept(t, apitest.Object{"upload": apitest.Uploaded(t, b.String()), "force": "handle", "recorded_on": "2026-03-02", "seats": []any{apitest.Object{"seat": ""}}})
	if len(kept) != 1 || kept[0].Seat != "" {
		t.Errorf("%+v", kept)
	}
	r, err := apitest.Service.Strokes.Recording(t.Context(), strokes.RecordingRequest{ID: kept[0].ID})
	if err != nil || r.Oar.Strokes < 10 {
		t.Errorf("%v, %d strokes", err, r.Oar.Strokes)
	}
}
