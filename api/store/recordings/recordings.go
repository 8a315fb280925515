package recordings

import (
	"context"
	"database/sql/driver"
	"encoding/binary"
	"errors"
	"fmt"
	"iter"
	"math"
	"thole/api/store/db"
	"time"
)

// Recording is what one oar of one rower did in one file of measurements.
type Recording struct {
	ID                int64
	Version           int64 // counts what was corrected, from 1
	AthleteID, BoatID *int64
	Seat              string // as the file calls it
	Side              string // port, starboard or empty
	RecordedOn        string // YYYY-MM-DD
	SourceFile        string // its name
	MappingName       string // how the file was read
	Thresholds        string // that the slips refer to, as JSON
	Note              string
	EnteredAt         time.Time
	EnteredBy         string         // name of the account; empty without
	KeptWith          int64          // the first of those kept from the same file at once
	Features          []FeatureValue // nil in lists
	Samples           Samples        // empty but in AddRecordings; see Store.Samples
	MeanCurve         []float64      // force at the nodes of the drive, N: 101 or none; nil in lists
}

// FeatureValue is one measure of one stroke, in the unit its name carries.
type FeatureValue struct {
	Stroke  int // from 1; 0 is the mean over all strokes
	Feature string
	Value   float64
	SD      *float64 // of the mean's strokes
}

// Samples are the series of a recording, as long as each other or left out.
// NaN is a sample that is missing.
type Samples struct {
	TimeS, AngleDeg, ForceN, VerticalDeg, SpeedMS []float64
}

func (m *Samples) series() []db.Column {
	return []db.Column{
		{"time_s", (*series)(&m.TimeS)}, {"angle_deg", (*series)(&m.AngleDeg)}, {"force_n", (*series)(&m.ForceN)},
		{"vertical_deg", (*series)(&m.VerticalDeg)}, {"speed_m_s", (*series)(&m.SpeedMS)},
	}
}

// check refuses series of different lengths.
func (m *Samples) check() error {
	for _, c := range m.series() {
		if n := len(*c.Field.(*series)); n != 0 && n != len(m.TimeS) {
			return db.Refuse("%s has %d samples, time_s has %d", c.Name, n, len(m.TimeS))
		}
	}
	return nil
}

// series is kept as 64-bit little-endian floating-point numbers, one after the
// other.
type series []float64

// Value gives the bytes.
func (s series) Value() (driver.Value, error) {
	data := make([]byte, 0, 8*len(s))
	for _, v := range s {
		data = binary.LittleEndian.AppendUint64(data, math.Float64bits(v))
	}
	return data, nil
}

// Scan reads the bytes.
func (s *series) Scan(value any) error {
	data, ok := value.([]byte)
	if !ok || len(data)%8 != 0 {
		return fmt.Errorf("%w: a series of samples is not whole", db.ErrDamaged)
	}
	*s = make(series, len(data)/8)
	for i := range *s {
		(*s)[i] = math.Float64frombits(binary.LittleEndian.Uint64(data[8*i:]))
	}
	return nil
}

func (r *Recording) columns() []db.Column {
	return []db.Column{
		{"athlete_id", &r.AthleteID}, {"boat_id", &r.BoatID}, {"seat", &r.Seat}, {"side", &r.Side}, {"recorded_on", &r.RecordedOn},
		{"source_file", &r.SourceFile}, {"mapping_name", &r.MappingName}, {"thresholds", &r.Thresholds}, {"note", &r.Note},
		{"entered_at", (*db.Stamp)(&r.EnteredAt)}, {"entered_by", &r.EnteredBy}, {"kept_with", &r.KeptWith},
	}
}

func (r *Recording) stored() []db.Column {
	return append(r.columns(), db.Column{"id", &r.ID}, db.Column{"version", &r.Version})
}

// corrected are the columns that people correct.
func (r *Recording) corrected() []db.Column {
	return []db.Column{
		{"athlete_id", &r.AthleteID}, {"boat_id", &r.BoatID}, {"seat", &r.Seat}, {"side", &r.Side}, {"recorded_on", &r.RecordedOn},
		{"thresholds", &r.Thresholds}, {"note", &r.Note},
	}
}

func (f *FeatureValue) columns() []db.Column {
	return []db.Column{{"stroke", &f.Stroke}, {"feature", &f.Feature}, {"value", &f.Value}, {"sd", &f.SD}}
}

// meanCurve is the name of the series that holds the mean curve.
const meanCurve = "mean_curve"

// AddRecordings puts recordings with their samples on record, all or none, and
// returns the ids. They are taken one at a time, so that no more than one needs
// to be in memory; an error in place of one ends the act and is returned. Every
// other write waits meanwhile.
func (s *Records) AddRecordings(ctx context.Context, list iter.Seq2[Recording, error]) ([]int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) ([]int64, error) {
		var ids []int64
		for r, err := range list {
			if err != nil {
				return nil, err
			}
			if len(ids) > 0 {
				r.KeptWith = ids[0]
			}
			id, err := addRecording(t, &r)
			if err != nil {
				return nil, err
			}
			ids = append(ids, id)
		}
		return ids, nil
	})
}

func addRecording(t *db.Tx, r *Recording) (int64, error) {
	if err := r.Samples.check(); err != nil {
		return 0, err
	}
	r.EnteredAt, r.EnteredBy = t.Moment(r.EnteredAt), t.Signer(r.EnteredBy)
	id, err := t.Insert("recordings", r.columns())
	if err == nil && r.KeptWith == 0 {
		err = t.Exec("UPDATE recordings SET kept_with = id WHERE id = ?", id)
	}
	if err != nil {
		return 0, err
	}
	if err := addFeatures(t, id, r.Features); err != nil {
		return 0, err
	}
	return id, addSeries(t, id, append(r.Samples.series(), db.Column{meanCurve, (*series)(&r.MeanCurve)}))
}

// addFeatures prepares its statement once: an outing has thousands of values.
func addFeatures(t *db.Tx, recordingID int64, values []FeatureValue) error {
	insert, err := t.PrepareContext(t.Ctx, "INSERT INTO recording_features (recording_id, stroke, feature, value, sd) VALUES (?, ?, ?, ?, ?)")
	if err != nil {
		return err
	}
	defer insert.Close()
	for i := range values {
		f := &values[i]
		if _, err := insert.ExecContext(t.Ctx, recordingID, f.Stroke, f.Feature, f.Value, f.SD); err != nil {
			return err
		}
	}
	return nil
}

// replaceFeatures writes features in place of those on record; nil leaves them.
func replaceFeatures(t *db.Tx, recordingID int64, values []FeatureValue) error {
	if values == nil {
		return nil
	}
	if err := t.Exec("DELETE FROM recording_features WHERE recording_id = ?", recordingID); err != nil {
		return err
	}
	return addFeatures(t, recordingID, values)
}

// addSeries writes the series that are not empty.
func addSeries(t *db.Tx, recordingID int64, all []db.Column) error {
	for _, c := range all {
		if len(*c.Field.(*series)) == 0 {
			continue
		}
		if _, err := t.Insert("recording_series", []db.Column{{"recording_id", &recordingID}, {"name", &c.Name}, {"samples", c.Field}}); err != nil {
			return err
		}
	}
	return nil
}

// loadSeries reads a series into where the column points; one that is not there
// leaves it alone.
func loadSeries(t *db.Tx, recordingID int64, c db.Column) error {
	err := t.Scan("SELECT samples FROM recording_series WHERE recording_id = ? AND name = ?", []any{recordingID, c.Name}, c.Field)
	if errors.Is(err, db.ErrNotFound) {
		return nil
	}
	return err
}

// Recording returns a recording with features and mean curve, without samples.
func (s *Records) Recording(ctx context.Context, id int64) (Recording, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) (Recording, error) {
		r, err := db.One(t, (*Recording).stored, "recordings WHERE id = ?", id)
		if err != nil {
			return Recording{}, err
		}
		r.Features, err = db.List(t, (*FeatureValue).columns, "recording_features WHERE recording_id = ? ORDER BY stroke, feature", id)
		if err != nil {
			return Recording{}, err
		}
		return r, loadSeries(t, id, db.Column{meanCurve, (*series)(&r.MeanCurve)})
	})
}

// RecordingRow returns a recording without features, samples and curve.
func (s *Records) RecordingRow(ctx context.Context, id int64) (Recording, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) (Recording, error) {
		return db.One(t, (*Recording).stored, "recordings WHERE id = ?", id)
	})
}

// HoldsOthers reports whether what was kept from a recording's file at once is not all of
// the same athlete. It is so where nobody is named for some of it.
func (s *Records) HoldsOthers(ctx context.Context, id int64) (bool, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) (others bool, err error) {
		err = t.Scan(`SELECT EXISTS (SELECT 1 FROM recordings AS other WHERE other.kept_with = own.kept_with AND other.athlete_id IS NOT own.athlete_id)
			FROM recordings AS own WHERE own.id = ?`, []any{id}, &others)
		return others, err
	})
}

// CorrectRecording writes athlete, boat, seat, side, day, thresholds and note of
// a recording, made from the version it carries, keeps what changed and returns
// the version now. Features take the place of those on record unless they are
// nil. The error is an ErrConflict where the record has moved on.
func (s *Records) CorrectRecording(ctx context.Context, r Recording, features []FeatureValue, by db.By) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) {
		old, err := db.One(t, (*Recording).stored, "recordings WHERE id = ?", r.ID)
		if err != nil {
			return 0, err
		}
		if r.Version != old.Version {
			return 0, t.Conflict(db.RecordingRecord, r.ID, r.Version, old.Version)
		}
		edits := db.Diff(db.Detailed(old.corrected()), db.Detailed(r.corrected()))
		if len(edits) == 0 {
			return old.Version, nil
		}
		r.Version++
		if err := t.Update("recordings", r.ID, append(r.corrected(), db.Column{"version", &r.Version})); err != nil {
			return 0, err
		}
		if err := replaceFeatures(t, r.ID, features); err != nil {
			return 0, err
		}
		return r.Version, t.Note(db.Record{Subject: db.RecordingRecord, ID: r.ID, Version: r.Version}, by, edits)
	})
}

// RecordingMean is a recording with the mean of every feature, the rest left
// out.
type RecordingMean struct {
	Recording
	Mean map[string]FeatureValue
}

// RecordingMeans returns the recordings of a boat on a day with their means, by
// id.
func (s *Records) RecordingMeans(ctx context.Context, boatID int64, day string) ([]RecordingMean, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) ([]RecordingMean, error) {
		found, err := db.List(t, (*Recording).stored, "recordings WHERE boat_id = ? AND recorded_on = ? ORDER BY id", boatID, day)
		if err != nil {
			return nil, err
		}
		var out []RecordingMean
		for _, r := range found {
			means, err := db.List(t, (*FeatureValue).columns, "recording_features WHERE recording_id = ? AND stroke = 0 ORDER BY feature", r.ID)
			if err != nil {
				return nil, err
			}
			one := RecordingMean{r, map[string]FeatureValue{}}
			for _, f := range means {
				one.Mean[f.Feature] = f
			}
			out = append(out, one)
		}
		return out, nil
	})
}

// Samples returns the series of a recording.
func (s *Records) Samples(ctx context.Context, recordingID int64) (Samples, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) (Samples, error) {
		var m Samples
		if err := t.Exists("recordings", recordingID); err != nil {
			return m, err
		}
		for _, c := range m.series() {
			if err := loadSeries(t, recordingID, c); err != nil {
				return Samples{}, err
			}
		}
		return m, m.check()
	})
}

// RecordingFilter picks recordings. Zero values pick everything.
type RecordingFilter struct{ AthleteID, BoatID int64 }

// Recordings lists recordings without features, samples and curve, newest
// first.
func (s *Records) Recordings(ctx context.Context, f RecordingFilter) ([]Recording, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) ([]Recording, error) {
		return db.Page(t, (*Recording).stored,
			"recordings WHERE ? IN (0, athlete_id) AND ? IN (0, boat_id) ORDER BY recorded_on DESC, id DESC", f.AthleteID, f.BoatID)
	})
}

// LatestCurves returns the mean curve of the newest recording that has one, by
// athlete.
func (s *Records) LatestCurves(ctx context.Context) (map[int64][]float64, error) {
	type row struct {
		athlete int64
		curve   series
	}
	return db.Read(ctx, s.file, func(t *db.Tx) (map[int64][]float64, error) {
		rows, err := db.List(t, func(r *row) []db.Column { return []db.Column{{"athlete_id", &r.athlete}, {"samples", &r.curve}} },
			`recording_series JOIN recordings ON id = recording_id
			 WHERE name = ? AND athlete_id IS NOT NULL ORDER BY recorded_on, id`, meanCurve)
		curves := map[int64][]float64{}
		for _, r := range rows {
			curves[r.athlete] = r.curve
		}
		return curves, err
	})
}

// MeanCurves returns the mean curve of every recording that has one, by id.
func (s *Records) MeanCurves(ctx context.Context) (map[int64][]float64, error) {
	type row struct {
		ID    int64
		curve series
	}
	return db.Read(ctx, s.file, func(t *db.Tx) (map[int64][]float64, error) {
		rows, err := db.List(t, func(r *row) []db.Column { return []db.Column{{"recording_id", &r.ID}, {"samples", &r.curve}} }, "recording_series WHERE name = ?", meanCurve)
		curves := make(map[int64][]float64, len(rows))
		for _, r := range rows {
			curves[r.ID] = r.curve
		}
		return curves, err
	})
}

// DeleteRecording removes a recording and wipes the file.
func (s *Records) DeleteRecording(ctx context.Context, id int64) error {
	_, err := db.Write(ctx, s.file, func(t *db.Tx) (struct{}, error) {
		if err := t.Remove("recordings", id); err != nil {
			return struct{}{}, err
		}
		return struct{}{}, t.ToWipe()
	})
	if err != nil {
		return err
	}
	return s.file.Wipe(context.WithoutCancel(ctx))
}
