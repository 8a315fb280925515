package athletes

import (
	"context"
	"thole/api/store/db"
	"time"
)

// Body is what is measured of a body; each value optional. The segments are
// those of package rigging.
type Body struct {
	StatureCm, ArmSpanCm, SittingHeightCm *float64
	MassKg                                *float64
	DrawHeightCm                          *float64
	ShankCm, ThighCm, TrunkCm, ArmCm      *float64
	HalfShoulderCm, HalfDepthCm           *float64
	AnkleAlongCm, AnkleOffCm, BallCm      *float64
	HipHeightCm                           *float64
}

// Values lists the measured values, and nothing else.
func (b *Body) Values() []db.NamedValue {
	return []db.NamedValue{
		{"stature_cm", &b.StatureCm}, {"arm_span_cm", &b.ArmSpanCm}, {"sitting_height_cm", &b.SittingHeightCm},
		{"mass_kg", &b.MassKg}, {"draw_height_cm", &b.DrawHeightCm},
		{"shank_cm", &b.ShankCm}, {"thigh_cm", &b.ThighCm}, {"trunk_cm", &b.TrunkCm}, {"arm_cm", &b.ArmCm},
		{"half_shoulder_cm", &b.HalfShoulderCm}, {"half_depth_cm", &b.HalfDepthCm},
		{"ankle_along_cm", &b.AnkleAlongCm}, {"ankle_off_cm", &b.AnkleOffCm}, {"ball_cm", &b.BallCm},
		{"hip_height_cm", &b.HipHeightCm},
	}
}

// Measures are what was taken of one athlete on one day. They are appended and
// never changed: a value that was wrong is set right by measuring again, and of
// two entries of one day the later counts.
type Measures struct {
	ID, AthleteID int64
	MeasuredOn    string // YYYY-MM-DD
	Body
	MeasuredBy string
	Note       string
	EnteredAt  time.Time
}

func (m *Measures) columns() []db.Column {
	return append(db.AsColumns(m.Values()), db.Column{"athlete_id", &m.AthleteID}, db.Column{"measured_on", &m.MeasuredOn},
		db.Column{"measured_by", &m.MeasuredBy}, db.Column{"note", &m.Note}, db.Column{"entered_at", (*db.Stamp)(&m.EnteredAt)})
}

func (m *Measures) stored() []db.Column { return append(m.columns(), db.Column{"id", &m.ID}) }

// AddMeasures appends what was measured and returns the id. Nothing measured is
// ErrInvalid.
func (s *Records) AddMeasures(ctx context.Context, m Measures) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) {
		m.EnteredAt, m.MeasuredBy = t.Moment(m.EnteredAt), t.Signer(m.MeasuredBy)
		return t.Insert("measures", m.columns())
	})
}

// MeasuresOf returns everything measured of an athlete, newest first.
func (s *Records) MeasuresOf(ctx context.Context, athleteID int64) ([]Measures, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) ([]Measures, error) {
		return db.List(t, (*Measures).stored, "measures WHERE athlete_id = ? ORDER BY measured_on DESC, id DESC", athleteID)
	})
}

// LatestMeasures is the newest value of every measure, which may come from
// different days: people grow, and not everything is taken each time.
type LatestMeasures struct {
	Body
	MeasuredOn map[string]string // day by measure, as in "stature_cm"
}

// take fills what is still open from an older entry.
func (l *LatestMeasures) take(m *Measures) {
	older := m.Values()
	for i, v := range l.Values() {
		if *v.Value == nil && *older[i].Value != nil {
			*v.Value = *older[i].Value
			l.MeasuredOn[v.Name] = m.MeasuredOn
		}
	}
}

// LatestMeasures returns what was known of an athlete at the end of a day
// (YYYY-MM-DD); an athlete never measured has no values.
func (s *Records) LatestMeasures(ctx context.Context, athleteID int64, asOf string) (LatestMeasures, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) (LatestMeasures, error) {
		if err := t.Exists("athletes", athleteID); err != nil {
			return LatestMeasures{}, err
		}
		latest, err := latestMeasures(t, "WHERE athlete_id = ? AND measured_on <= ?", athleteID, asOf)
		return latest[athleteID], err
	})
}

// AllLatestMeasures is LatestMeasures of every athlete who was ever measured.
func (s *Records) AllLatestMeasures(ctx context.Context, asOf string) (map[int64]LatestMeasures, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) (map[int64]LatestMeasures, error) {
		return latestMeasures(t, "WHERE measured_on <= ?", asOf)
	})
}

func latestMeasures(t *db.Tx, where string, args ...any) (map[int64]LatestMeasures, error) {
	entries, err := db.List(t, (*Measures).stored, "measures "+where+" ORDER BY measured_on DESC, id DESC", args...)
	if err != nil {
		return nil, err
	}
	latest := map[int64]LatestMeasures{}
	for i := range entries {
		l, ok := latest[entries[i].AthleteID]
		if !ok {
			l.MeasuredOn = map[string]string{}
		}
		l.take(&entries[i])
		latest[entries[i].AthleteID] = l
	}
	return latest, nil
}
