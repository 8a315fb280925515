package strokes_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"thole/api/apitest"
	"thole/api/records"
	"thole/api/strokes"
	"thole/api/wire"
)

// recorded reads a recording.
func recordingOf(t *testing.T, id int64) strokes.Recording {
	t.Helper()
	r, err := apitest.Service.Strokes.Recording(t.Context(), strokes.RecordingRequest{ID: id})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestStrokesAreMarked leaves one stroke out, holds the means against those of
// the others, notes another, removes both and has everything as before, with
// four entries in the history.
func TestStrokesAreMarked(t *testing.T) {
	id := apitest.Recorded(t)[0]
	before := recordingOf(t, id)
	out, noted := before.Oar.List[2], before.Oar.List[5]
	mark := func(r strokes.StrokeMarkEdit) strokes.MarkedRecording {
		t.Helper()
		r.ID, r.By = id, "Ines"
		w, err := apitest.Service.Strokes.MarkStroke(t.Context(), r)
		if err != nil {
			t.Fatal(err)
		}
		return w
	}
	w := mark(strokes.StrokeMarkEdit{Version: 1, StartS: out.StartS, LeftOut: true, Note: "crab"})
	apitest.Same(t, "version", w.Version, int64(2))
	apitest.Same(t, "strokes", w.Strokes, before.Oar.Strokes-1)
	w = mark(strokes.StrokeMarkEdit{Version: 2, StartS: noted.StartS, Note: "this one"})
	if len(w.Marks) != 2 || w.Marks[0].Note != "crab" || !w.Marks[0].LeftOut || w.Marks[1].LeftOut || w.Marks[1].By != "Ines" {
		t.Errorf("%+v", w.Marks)
	}
	after := recordingOf(t, id)
	apitest.Same(t, "by hand", after.Oar.LeftOut.ByHand, 1)
	var mean strokes.Mean
	for i, s := range before.Oar.List {
		if v, ok := s.Features.Value("catch_deg"); ok && i != 2 {
			mean.Add(v)
		}
	}
	if got := after.Oar.Features["catch_deg"]; math.Abs(got.Mean-mean.Mean) > 0.011 || got.N != mean.N {
		t.Errorf("the mean catch of the others is %.3f, told %+v", mean.Mean, got)
	}
	stored, err := apitest.Service.Strokes.Store.Recording(t.Context(), id)
	if err != nil || math.Abs(stored.Features[0].Value-after.Oar.Features[stored.Features[0].Feature].Mean) > 1e-9 {
		t.Errorf("on record: %v, %+v", err, stored.Features[0])
	}
	mark(strokes.StrokeMarkEdit{Version: 3, StartS: out.StartS})
	mark(strokes.StrokeMarkEdit{Version: 4, StartS: noted.StartS})
	again := recordingOf(t, id)
	if len(again.Marks) != 0 || again.Oar.Features["catch_deg"] != before.Oar.Features["catch_deg"] {
		t.Errorf("after removing: %+v", again.Marks)
	}
	changes, err := apitest.Service.Strokes.RecordingChanges(t.Context(), records.ChangesRequest{ID: id})
	if err != nil || len(changes.Changes) != 4 || changes.Changes[0].To == nil || *changes.Changes[0].To != "left out: crab" {
		t.Errorf("%v, %+v", err, changes.Changes)
	}
}

func TestMarksRefuse(t *testing.T) {
	id := apitest.Recorded(t)[0]
	start := recordingOf(t, id).Oar.List[0].StartS
	for field, r := range map[string]strokes.StrokeMarkEdit{
		"note":    {Version: 1, StartS: start, LeftOut: true, By: "Ines"},
		"start_s": {Version: 1, StartS: start + 0.7, Note: "here", By: "Ines"},
		"by":      {Version: 1, StartS: start, Note: "here"},
	} {
		r.ID = id
		_, err := apitest.Service.Strokes.MarkStroke(t.Context(), r)
		bad := new(wire.Invalid)
		if !errors.As(err, &bad) || bad.Fields[0].Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
	ask := strokes.StrokeMarkEdit{ID: id, Version: 1, StartS: start, By: "Ines"}
	if _, err := apitest.Service.Strokes.MarkStroke(t.Context(), ask); err == nil {
		t.Error("a mark that is not there is removed")
	}
	ask.Note = "here"
	if _, err := apitest.Service.Strokes.MarkStroke(t.Context(), ask); err != nil {
		t.Error(err)
	}
	var moved *records.Conflict
	if _, err := apitest.Service.Strokes.MarkStroke(t.Context(), ask); !errors.As(err, &moved) {
		t.Errorf("an older version: %v", err)
	}
}

// TestLongMarksAreRefused holds the limit of the tag where the use case is called.
func TestLongMarksAreRefused(t *testing.T) {
	id := apitest.Recorded(t)[0]
	_, err := apitest.Service.Strokes.MarkStroke(t.Context(), strokes.StrokeMarkEdit{ID: id, Version: 1, StartS: recordingOf(t, id).Oar.List[0].StartS, Note: strings.Repeat("n", 401), By: "Ines"})
	bad := new(wire.Invalid)
	if !errors.As(err, &bad) || bad.Fields[0].Field != "note" {
		t.Errorf("%v", err)
	}
}
