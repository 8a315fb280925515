package store

import (
	"context"
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

// values lists the measured values, and nothing else.
func (b *Body) values() []namedValue {
	return []namedValue{
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

func (m *Measures) columns() []column {
	return append(asColumns(m.values()), column{"athlete_id", &m.AthleteID}, column{"measured_on", &m.MeasuredOn},
		column{"measured_by", &m.MeasuredBy}, column{"note", &m.Note}, column{"entered_at", (*stamp)(&m.EnteredAt)})
}

func (m *Measures) stored() []column { return append(m.columns(), column{"id", &m.ID}) }

// AddMeasures appends what was measured and returns the id. Nothing measured is
// ErrInvalid.
func (s *Store) AddMeasures(ctx context.Context, m Measures) (int64, error) {
	return write(ctx, s, func(t *tx) (int64, error) {
		m.EnteredAt, m.MeasuredBy = t.moment(m.EnteredAt), t.signer(m.MeasuredBy)
		return t.insert("measures", m.columns())
	})
}

// MeasuresOf returns everything measured of an athlete, newest first.
func (s *Store) MeasuresOf(ctx context.Context, athleteID int64) ([]Measures, error) {
	return read(ctx, s, func(t *tx) ([]Measures, error) {
		return list(t, (*Measures).stored, "measures WHERE athlete_id = ? ORDER BY measured_on DESC, id DESC", athleteID)
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
	older := m.values()
	for i, v := range l.values() {
		if *v.value == nil && *older[i].value != nil {
			*v.value = *older[i].value
			l.MeasuredOn[v.name] = m.MeasuredOn
		}
	}
}

// LatestMeasures returns what was known of an athlete at the end of a day
// (YYYY-MM-DD); an athlete never measured has no values.
func (s *Store) LatestMeasures(ctx context.Context, athleteID int64, asOf string) (LatestMeasures, error) {
	return read(ctx, s, func(t *tx) (LatestMeasures, error) {
		if err := t.exists("athletes", athleteID); err != nil {
			return LatestMeasures{}, err
		}
		latest, err := t.latestMeasures("WHERE athlete_id = ? AND measured_on <= ?", athleteID, asOf)
		return latest[athleteID], err
	})
}

// AllLatestMeasures is LatestMeasures of every athlete who was ever measured.
func (s *Store) AllLatestMeasures(ctx context.Context, asOf string) (map[int64]LatestMeasures, error) {
	return read(ctx, s, func(t *tx) (map[int64]LatestMeasures, error) {
		return t.latestMeasures("WHERE measured_on <= ?", asOf)
	})
}

func (t *tx) latestMeasures(where string, args ...any) (map[int64]LatestMeasures, error) {
	entries, err := list(t, (*Measures).stored, "measures "+where+" ORDER BY measured_on DESC, id DESC", args...)
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
