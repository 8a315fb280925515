package store

import (
	"context"
	"fmt"
	"math"
	"strings"
	"time"
)

// Mark is what somebody says of one stroke of a recording.
type Mark struct {
	StartS  float64 // time of its catch, s
	LeftOut bool    // it counts in no mean
	Note    string
	By      string
	At      time.Time
}

func (m *Mark) columns() []column {
	return []column{{"start_s", &m.StartS}, {"left_out", &m.LeftOut}, {"note", &m.Note}, {"by", &m.By}, {"at", (*stamp)(&m.At)}}
}

// field names the mark in the history.
func (m *Mark) field() string { return fmt.Sprintf("stroke at %.1f s", m.StartS) }

// text is the mark as the history keeps it.
func (m *Mark) text() *string {
	text := m.Note
	if m.LeftOut {
		text = "left out: " + m.Note
	}
	return &text
}

// MarkNear is how far the times of a stroke's catch may lie apart, s: no two
// strokes begin so close together, and measuring again moves none so far.
const MarkNear = 0.05

// Marks returns the marks of a recording by time.
func (s *Store) Marks(ctx context.Context, recordingID int64) ([]Mark, error) {
	return read(ctx, s, func(t *tx) ([]Mark, error) { return t.marks(recordingID) })
}

func (t *tx) marks(recordingID int64) ([]Mark, error) {
	return list(t, (*Mark).columns, "recording_marks WHERE recording_id = ? ORDER BY start_s", recordingID)
}

// SetMark marks a stroke of a recording read at a version in place of the mark
// that it has, or removes that mark where the new one has no note, and returns
// the version now. Features take the place of those on record unless they are
// nil. Errors: ErrNotFound, also for a mark to remove that is not there, and
// ErrConflict where the record has moved on.
func (s *Store) SetMark(ctx context.Context, recordingID, version int64, m Mark, features []FeatureValue, by By) (int64, error) {
	return write(ctx, s, func(t *tx) (int64, error) {
		r, err := one(t, (*Recording).stored, "recordings WHERE id = ?", recordingID)
		if err != nil {
			return 0, err
		}
		if version != r.Version {
			return 0, t.conflict(RecordingRecord, recordingID, version, r.Version)
		}
		change, err := t.replaceMark(recordingID, &m, by)
		if err != nil {
			return 0, err
		}
		r.Version++
		if err := t.update("recordings", r.ID, []column{{"version", &r.Version}}); err != nil {
			return 0, err
		}
		if err := t.replaceFeatures(r.ID, features); err != nil {
			return 0, err
		}
		return r.Version, t.note(record{subject: RecordingRecord, id: r.ID, version: r.Version}, by, []Change{change})
	})
}

// replaceMark writes a mark in place of the one of the same stroke and returns
// what changed.
func (t *tx) replaceMark(recordingID int64, m *Mark, by By) (Change, error) {
	c := Change{}
	all, err := t.marks(recordingID)
	if err != nil {
		return c, err
	}
	for i := range all {
		if old := &all[i]; math.Abs(old.StartS-m.StartS) < MarkNear {
			c.From, m.StartS = old.text(), old.StartS
			if err := t.exec("DELETE FROM recording_marks WHERE recording_id = ? AND start_s = ?", recordingID, old.StartS); err != nil {
				return c, err
			}
		}
	}
	c.Field = m.field()
	if m.Note == "" {
		if c.From == nil {
			return c, ErrNotFound
		}
		return c, nil
	}
	c.To = m.text()
	m.By, m.At = by.name(t), t.moment(by.At)
	_, err = t.insert("recording_marks", append(m.columns(), column{"recording_id", &recordingID}))
	return c, err
}

// RecordingStrokes returns the values of some features in each stroke of a
// recording, by stroke.
func (s *Store) RecordingStrokes(ctx context.Context, recordingID int64, features []string) ([]FeatureValue, error) {
	return read(ctx, s, func(t *tx) ([]FeatureValue, error) {
		args, marks := []any{recordingID}, strings.TrimSuffix(strings.Repeat("?, ", len(features)), ", ")
		for _, name := range features {
			args = append(args, name)
		}
		return list(t, (*FeatureValue).columns,
			"recording_features WHERE recording_id = ? AND stroke > 0 AND feature IN ("+marks+") ORDER BY stroke", args...)
	})
}
