package store

import (
	"errors"
	"testing"
)

// TestMarksComeAndGo sets a mark, writes another in its place, removes it, and
// reads the history.
func TestMarksComeAndGo(t *testing.T) {
	s := open(t)
	ids, err := s.AddRecordings(t.Context(), func(yield func(Recording, error) bool) {
		yield(Recording{RecordedOn: "2026-03-01", Thresholds: "{}", Features: []FeatureValue{
			{0, "catch_deg", -55, nil}, {1, "catch_deg", -54, nil}, {1, "peak_n", 600, nil}, {2, "catch_deg", -56, nil},
		}}, nil)
	})
	if err != nil {
		t.Fatal(err)
	}
	id := ids[0]
	each, err := s.RecordingStrokes(t.Context(), id, []string{"catch_deg", "finish_deg"})
	if err != nil || len(each) != 2 || each[1].Stroke != 2 || each[1].Value != -56 {
		t.Fatalf("%v %+v", err, each)
	}
	set := func(version int64, m Mark, features []FeatureValue) int64 {
		t.Helper()
		v, err := s.SetMark(t.Context(), id, version, m, features, By{Name: "Ines"})
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	v := set(1, Mark{StartS: 3.5, Note: "this one"}, nil)
	v = set(v, Mark{StartS: 3.52, Note: "crab", LeftOut: true}, []FeatureValue{{0, "catch_deg", -56, nil}})
	marks, err := s.Marks(t.Context(), id)
	if err != nil || len(marks) != 1 || marks[0].StartS != 3.5 || !marks[0].LeftOut || marks[0].By != "Ines" || marks[0].At.IsZero() {
		t.Fatalf("%v %+v", err, marks)
	}
	if r, err := s.Recording(t.Context(), id); err != nil || len(r.Features) != 1 || r.Version != 3 {
		t.Errorf("%v %+v", err, r)
	}
	v = set(v, Mark{StartS: 3.5}, nil)
	if marks, _ = s.Marks(t.Context(), id); len(marks) != 0 {
		t.Errorf("%+v", marks)
	}
	if _, err := s.SetMark(t.Context(), id, v, Mark{StartS: 3.5}, nil, By{Name: "Ines"}); !errors.Is(err, ErrNotFound) {
		t.Errorf("removing twice: %v", err)
	}
	if _, err := s.SetMark(t.Context(), id, 1, Mark{StartS: 3.5, Note: "x"}, nil, By{Name: "Ines"}); err == nil {
		t.Error("an older version is taken")
	}
	if _, err := s.SetMark(t.Context(), 99, 1, Mark{StartS: 3.5, Note: "x"}, nil, By{Name: "Ines"}); !errors.Is(err, ErrNotFound) {
		t.Errorf("no recording: %v", err)
	}
	changes, err := s.Changes(t.Context(), RecordingRecord, id, 0)
	if err != nil || len(changes) != 3 || changes[0].Field != "stroke at 3.5 s" || *changes[1].To != "left out: crab" || *changes[2].From != "left out: crab" || changes[2].To != nil {
		t.Errorf("%v %+v", err, changes)
	}
}
