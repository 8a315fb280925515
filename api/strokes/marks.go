package strokes

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"thole/api/records"
	"thole/api/store"
	"thole/api/wire"
	"thole/selection/stroke"
)

// StrokeMark is what somebody says of one stroke.
type StrokeMark struct {
	StartS  float64   `json:"start_s" description:"Time of its catch, as in the list of strokes."`
	LeftOut bool      `json:"left_out" description:"It counts in no mean and no curve."`
	Note    string    `json:"note" description:"Why it is excluded, or what it shows."`
	By      string    `json:"by"`
	At      time.Time `json:"at"`
}

// MarkedRecording is a recording with its marks.
type MarkedRecording struct {
	Version int64        `json:"version"`
	Strokes int          `json:"strokes" description:"That count."`
	Marks   []StrokeMark `json:"marks" description:"By time."`
}

// StrokeMarkEdit marks one stroke of a recording, or removes its mark.
type StrokeMarkEdit struct {
	ID      int64   `path:"id" json:"-" validate:"gte=1"`
	Version int64   `json:"version" validate:"required,gte=0" description:"Of the recording that the mark was made from."`
	StartS  float64 `json:"start_s" required:"true" validate:"gte=-1000000000,lte=10000000000" description:"Time of the stroke's catch, as in the list of strokes."`
	LeftOut bool    `json:"left_out" description:"Exclude the stroke from every mean and curve."`
	Note    string  `json:"note" validate:"omitempty,max=400" description:"What it shows, or why it is excluded; without it, the mark is removed."`
	By      string  `json:"by" validate:"filled,max=80" say:"Say who you are: your name stands in the history." description:"Who marks, for the history."`
}

// MarkStroke marks a stroke of a recording or removes its mark; the history
// keeps both. Leaving a stroke out, or taking it in again, changes the means on
// record. Errors: ErrNotFound, an *Invalid, or a *records.Conflict where
// somebody else was faster.
func (s *Service) MarkStroke(ctx context.Context, r StrokeMarkEdit) (MarkedRecording, error) {
	r.Note = strings.TrimSpace(r.Note)
	m := &Remeasured{}
	var err error
	if m.Stored, err = s.Store.RecordingRow(ctx, r.ID); err != nil {
		return MarkedRecording{}, records.RecordError(err)
	}
	if m.marks, err = s.Store.Marks(ctx, r.ID); err != nil {
		return MarkedRecording{}, records.RecordError(err)
	}
	if err := r.check(); err != nil {
		return MarkedRecording{}, err
	}
	features, err := s.marked(ctx, m, &r)
	if err != nil {
		return MarkedRecording{}, err
	}
	mark := store.Mark{StartS: r.StartS, LeftOut: r.LeftOut, Note: r.Note}
	_, err = s.Store.SetMark(ctx, r.ID, r.Version, mark, features, s.Signed(r.By))
	if errors.Is(err, store.ErrNotFound) {
		return MarkedRecording{}, wire.At("start_s").Invalid("This stroke has no mark.")
	}
	if err != nil {
		return MarkedRecording{}, records.RecordError(err)
	}
	again, err := s.MeasureAgain(ctx, &RecordingRequest{ID: r.ID})
	if err != nil {
		return MarkedRecording{}, err
	}
	return MarkedRecording{again.Stored.Version, again.Oar.Count, wireMarks(again.marks)}, nil
}

func (r *StrokeMarkEdit) check() error {
	var p wire.Problems
	p.Check(wire.Place{}, r)
	p.Author(r.By)
	p.Printable(wire.At("note"), r.Note, "")
	if r.LeftOut && r.Note == "" {
		p.Add(wire.At("note").Problem("Say why this stroke is excluded."))
	}
	return p.OrNil()
}

// marked measures the recording with the mark in place of the old one and
// returns the features to be kept; nil where no stroke is left out or taken in.
func (s *Service) marked(ctx context.Context, m *Remeasured, r *StrokeMarkEdit) ([]store.FeatureValue, error) {
	if err := json.Unmarshal([]byte(m.Stored.Thresholds), &m.Terms); err != nil {
		return nil, fmt.Errorf("recording %d: its terms: %w", m.Stored.ID, err)
	}
	thresholds, err := m.Terms.Thresholds.Domain()
	if err != nil {
		return nil, err
	}
	old := markAt(m.marks, r.StartS)
	was := old >= 0 && m.marks[old].LeftOut
	if err := s.measureSamples(ctx, m, thresholds); err != nil {
		return nil, err
	}
	if old < 0 && !slices.ContainsFunc(m.Oar.Strokes, func(one stroke.Stroke) bool { return math.Abs(one.Start-r.StartS) < store.MarkNear }) {
		return nil, wire.At("start_s").Invalid("No stroke begins at this time.")
	}
	if was == r.LeftOut {
		return nil, nil
	}
	next := slices.Clone(m.marks)
	if old >= 0 {
		next = slices.Delete(next, old, old+1)
	}
	m.marks = append(next, store.Mark{StartS: r.StartS, LeftOut: r.LeftOut})
	if err := s.measureSamples(ctx, m, thresholds); err != nil {
		return nil, err
	}
	if m.Oar.Count == 0 {
		return nil, wire.At("left_out").Invalid("This is the last stroke: a recording keeps one at least.")
	}
	return storedFeatures(m.Oar), nil
}

// markAt is the place of the mark of a stroke; −1 without any.
func markAt(marks []store.Mark, start float64) int {
	return slices.IndexFunc(marks, func(k store.Mark) bool { return math.Abs(k.StartS-start) < store.MarkNear })
}

// skips leaves the strokes out that are marked so; nil where none is.
func skips(marks []store.Mark) func(stroke.Oar, float64) bool {
	if !slices.ContainsFunc(marks, func(k store.Mark) bool { return k.LeftOut }) {
		return nil
	}
	return func(_ stroke.Oar, start float64) bool {
		i := markAt(marks, start)
		return i >= 0 && marks[i].LeftOut
	}
}

func wireMarks(marks []store.Mark) []StrokeMark {
	list := []StrokeMark{}
	for _, k := range marks {
		list = append(list, StrokeMark(k))
	}
	return list
}
