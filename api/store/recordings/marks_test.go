package recordings_test

import (
	"errors"
	"testing"
	"thole/api/store"
	"thole/api/storetest"
)

// TestMarksComeAndGo sets a mark, writes another in its place, removes it, and
// reads the history.
func TestMarksComeAndGo(t *testing.T) {
	s := storetest.New(t)
	ids, err := s.AddRecordings(t.Context(), func(yield func(store.Recording, error) bool) {
		yield(store.Recording{RecordedOn: "2026-03-01", Thresholds: "{}", Features: []store.FeatureValue{
			{Stroke: 0, Feature: "catch_deg", Value: -55, SD: nil}, {Stroke: 1, Feature: "catch_deg", Value: -54, SD: nil}, {Stroke: 1, Feature: "peak_n", Value: 600, SD: nil}, {Stroke: 2, Feature: "catch_deg", Value: -56, SD: nil},
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
	set := func(version int64, m store.Mark, features []store.FeatureValue) int64 {
		t.Helper()
		v, err := s.SetMark(t.Context(), id, version, m, features, store.By{Name: "Ines"})
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	v := set(1, store.Mark{StartS: 3.5, Note: "this one"}, nil)
	v = set(v, store.Mark{StartS: 3.52, Note: "crab", LeftOut: true}, []store.FeatureValue{{Stroke: 0, Feature: "catch_deg", Value: -56, SD: nil}})
	marks, err := s.Marks(t.Context(), id)
	if err != nil || len(marks) != 1 || marks[0].StartS != 3.5 || !marks[0].LeftOut || marks[0].By != "Ines" || marks[0].At.IsZero() {
		t.Fatalf("%v %+v", err, marks)
	}
	if r, err := s.Recording(t.Context(), id); err != nil || len(r.Features) != 1 || r.Version != 3 {
		t.Errorf("%v %+v", err, r)
	}
	v = set(v, store.Mark{StartS: 3.5}, nil)
	if marks, _ = s.Marks(t.Context(), id); len(marks) != 0 {
		t.Errorf("%+v", marks)
	}
	if _, err := s.SetMark(t.Context(), id, v, store.Mark{StartS: 3.5}, nil, store.By{Name: "Ines"}); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("removing twice: %v", err)
	}
	if _, err := s.SetMark(t.Context(), id, 1, store.Mark{StartS: 3.5, Note: "x"}, nil, store.By{Name: "Ines"}); err == nil {
		t.Error("an older version is taken")
	}
	if _, err := s.SetMark(t.Context(), 99, 1, store.Mark{StartS: 3.5, Note: "x"}, nil, store.By{Name: "Ines"}); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("no recording: %v", err)
	}
	changes, err := s.Changes(t.Context(), store.RecordingRecord, id, 0)
	if err != nil || len(changes) != 3 || changes[0].Field != "stroke at 3.5 s" || *changes[1].To != "left out: crab" || *changes[2].From != "left out: crab" || changes[2].To != nil {
		t.Errorf("%v %+v", err, changes)
	}
}

// TestMarksOfOneStrokeLieNear: a mark less than MarkNear = 0.05 s from another, before or
// after it, takes its place; one at 0.05 s is of another stroke.
func TestMarksOfOneStrokeLieNear(t *testing.T) {
	for _, c := range []struct {
		first, second float64
		want          []float64
	}{
		{0, 0.05, []float64{0, 0.05}}, {0.05, 0, []float64{0, 0.05}},
		{0, 0.049, []float64{0}}, {0.049, 0, []float64{0.049}},
	} {
		s := storetest.New(t)
		id := storetest.Must(storetest.AddRecording(storetest.Ctx, s, store.Recording{RecordedOn: "2026-03-01", Thresholds: "{}"}))
		v := storetest.Must(s.SetMark(storetest.Ctx, id, 1, store.Mark{StartS: c.first, Note: "one"}, nil, storetest.Anna))
		storetest.Must(s.SetMark(storetest.Ctx, id, v, store.Mark{StartS: c.second, Note: "two"}, nil, storetest.Anna))
		var got []float64
		for _, m := range storetest.Must(s.Marks(storetest.Ctx, id)) {
			got = append(got, m.StartS)
		}
		storetest.WantEqual(t, got, c.want)
	}
}
