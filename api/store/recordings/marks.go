package recordings

import (
	"context"
	"fmt"
	"math"
	"strings"
	"thole/api/store/db"
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

func (m *Mark) columns() []db.Column {
	return []db.Column{{"start_s", &m.StartS}, {"left_out", &m.LeftOut}, {"note", &m.Note}, {"by", &m.By}, {"at", (*db.Stamp)(&m.At)}}
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

// MarkNear is what two times of one stroke's catch lie apart by less than, s; our judgement: no
// two strokes begin closer together, and measuring again moves none so far.
const MarkNear = 0.05

// Marks returns the marks of a recording by time.
func (s *Records) Marks(ctx context.Context, recordingID int64) ([]Mark, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) ([]Mark, error) { return marks(t, recordingID) })
}

func marks(t *db.Tx, recordingID int64) ([]Mark, error) {
	return db.List(t, (*Mark).columns, "recording_marks WHERE recording_id = ? ORDER BY start_s", recordingID)
}

// SetMark marks a stroke of a recording read at a version in place of the mark
// that it has, or removes that mark where the new one has no note, and returns
// the version now. Features take the place of those on record unless they are
// nil. Errors: ErrNotFound, also for a mark to remove that is not there, and
// ErrConflict where the record has moved on.
func (s *Records) SetMark(ctx context.Context, recordingID, version int64, m Mark, features []FeatureValue, by db.By) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) {
		r, err := db.One(t, (*Recording).stored, "recordings WHERE id = ?", recordingID)
		if err != nil {
			return 0, err
		}
		if version != r.Version {
			return 0, t.Conflict(db.RecordingRecord, recordingID, version, r.Version)
		}
		change, err := replaceMark(t, recordingID, &m, by)
		if err != nil {
			return 0, err
		}
		r.Version++
		if err := t.Update("recordings", r.ID, []db.Column{{"version", &r.Version}}); err != nil {
			return 0, err
		}
		if err := replaceFeatures(t, r.ID, features); err != nil {
			return 0, err
		}
		return r.Version, t.Note(db.Record{Subject: db.RecordingRecord, ID: r.ID, Version: r.Version}, by, []db.Change{change})
	})
}

// replaceMark writes a mark in place of the one of the same stroke and returns
// what changed.
func replaceMark(t *db.Tx, recordingID int64, m *Mark, by db.By) (db.Change, error) {
	c := db.Change{}
	all, err := marks(t, recordingID)
	if err != nil {
		return c, err
	}
	for i := range all {
		if old := &all[i]; math.Abs(old.StartS-m.StartS) < MarkNear {
			c.From, m.StartS = old.text(), old.StartS
			if err := t.Exec("DELETE FROM recording_marks WHERE recording_id = ? AND start_s = ?", recordingID, old.StartS); err != nil {
				return c, err
			}
		}
	}
	c.Field = m.field()
	if m.Note == "" {
		if c.From == nil {
			return c, db.ErrNotFound
		}
		return c, nil
	}
	c.To = m.text()
	m.By, m.At = by.Signer(t), t.Moment(by.At)
	_, err = t.Insert("recording_marks", append(m.columns(), db.Column{"recording_id", &recordingID}))
	return c, err
}

// RecordingStrokes returns the values of some features in each stroke of a
// recording, by stroke.
func (s *Records) RecordingStrokes(ctx context.Context, recordingID int64, features []string) ([]FeatureValue, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) ([]FeatureValue, error) {
		args, marks := []any{recordingID}, strings.TrimSuffix(strings.Repeat("?, ", len(features)), ", ")
		for _, name := range features {
			args = append(args, name)
		}
		return db.List(t, (*FeatureValue).columns,
			"recording_features WHERE recording_id = ? AND stroke > 0 AND feature IN ("+marks+") ORDER BY stroke", args...)
	})
}
