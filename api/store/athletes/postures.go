package athletes

import (
	"context"
	"thole/api/store/db"
	"time"
)

// Kinds of rowing and of oars.
const (
	Scull = "scull"
	Sweep = "sweep"
)

// Posture is how an athlete was found to sit at the ends of the stroke; each
// value optional. Sculling and sweep have their own.
type Posture struct {
	ID, AthleteID   int64
	CalibratedOn    string // YYYY-MM-DD
	Kind            string // Scull or Sweep
	ShinDeg         *float64
	LeanDeg         *float64
	LaybackDeg      *float64
	ProtractionCm   *float64
	DorsiflexionDeg *float64
	FinishKneeDeg   *float64
	FinishGapCm     *float64
	RotationMaxDeg  *float64
	SideLeanCm      *float64
	Note            string
	EnteredAt       time.Time
}

func (p *Posture) columns() []db.Column {
	return []db.Column{
		{"athlete_id", &p.AthleteID}, {"calibrated_on", &p.CalibratedOn}, {"kind", &p.Kind},
		{"shin_deg", &p.ShinDeg}, {"lean_deg", &p.LeanDeg}, {"layback_deg", &p.LaybackDeg},
		{"protraction_cm", &p.ProtractionCm}, {"dorsiflexion_deg", &p.DorsiflexionDeg},
		{"finish_knee_deg", &p.FinishKneeDeg}, {"finish_gap_cm", &p.FinishGapCm},
		{"rotation_max_deg", &p.RotationMaxDeg}, {"side_lean_cm", &p.SideLeanCm},
		{"note", &p.Note}, {"entered_at", (*db.Stamp)(&p.EnteredAt)},
	}
}

func (p *Posture) stored() []db.Column { return append(p.columns(), db.Column{"id", &p.ID}) }

// AddPosture appends a calibrated posture and returns the id.
func (s *Records) AddPosture(ctx context.Context, p Posture) (int64, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (int64, error) {
		p.EnteredAt = t.Moment(p.EnteredAt)
		return t.Insert("postures", p.columns())
	})
}

// LatestPosture returns the newest posture of a kind as of a day (YYYY-MM-DD).
// It is taken whole, values left out included: they were found together.
// ErrNotFound when there is none.
func (s *Records) LatestPosture(ctx context.Context, athleteID int64, kind, asOf string) (Posture, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) (Posture, error) {
		return db.One(t, (*Posture).stored,
			"postures WHERE athlete_id = ? AND kind = ? AND calibrated_on <= ? ORDER BY calibrated_on DESC, id DESC",
			athleteID, kind, asOf)
	})
}
