package boats

import (
	"context"
	"thole/api/store/db"
	"time"
)

// FilmedReading is what was read from pictures of an athlete in a seat, with the
// rig it was filmed in. What was not read is nil.
type FilmedReading struct {
	ID        int64
	AthleteID int64
	BoatID    *int64 // nil once the boat is deleted
	Boat      string
	ClassCode string
	Seat      int
	FilmedOn  string // YYYY-MM-DD
	End       string // catch, drive or finish

	AngleDeg, AngleSdDeg *float64
	Tells                bool     // the angle is known well enough to be used
	BladeCm, BladeSdCm   *float64 // of its middle over the water, in the drive

	// Means over the strokes, each with the standard deviation of the mean:
	// see camera.Moments.
	EdgeMs, EdgeSdMs           *float64
	WholeMs, WholeSdMs         *float64
	HeightCm, HeightSdCm       *float64
	SpeedMS, SpeedSdMS         *float64
	StartDownMs, StartDownSdMs *float64
	Strokes                    int

	Marks       string // the requests it was read from, JSON
	Blade, Side string
	Rig         Rig
	Note        string
	At          time.Time
	By          string
}

func (f *FilmedReading) columns() []db.Column {
	list := []db.Column{
		{"athlete_id", &f.AthleteID}, {"boat_id", &f.BoatID}, {"boat", &f.Boat}, {"class_code", &f.ClassCode}, {"seat", &f.Seat},
		{"filmed_on", &f.FilmedOn}, {"end", &f.End}, {"angle_deg", &f.AngleDeg}, {"angle_sd_deg", &f.AngleSdDeg}, {"blade_cm", &f.BladeCm}, {"blade_sd_cm", &f.BladeSdCm}, {"tells", &f.Tells},
		{"edge_ms", &f.EdgeMs}, {"edge_sd_ms", &f.EdgeSdMs}, {"whole_ms", &f.WholeMs}, {"whole_sd_ms", &f.WholeSdMs},
		{"height_cm", &f.HeightCm}, {"height_sd_cm", &f.HeightSdCm}, {"speed_m_s", &f.SpeedMS}, {"speed_sd_m_s", &f.SpeedSdMS},
		{"start_down_ms", &f.StartDownMs}, {"start_down_sd_ms", &f.StartDownSdMs}, {"strokes", &f.Strokes}, {"marks", &f.Marks},
		{"blade", &f.Blade}, {"side", &f.Side}, {"note", &f.Note}, {"at", (*db.Stamp)(&f.At)}, {"by", &f.By},
	}
	for _, v := range f.Rig.Values() {
		list = append(list, db.Column{v.Name, v.Value})
	}
	return list
}

func (f *FilmedReading) stored() []db.Column { return append(f.columns(), db.Column{"id", &f.ID}) }

// AddFilmedReading keeps a reading and returns it as it is kept. An athlete or
// boat that is not on record is ErrNotFound.
func (s *Records) AddFilmedReading(ctx context.Context, f FilmedReading, by db.By) (FilmedReading, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (FilmedReading, error) {
		if err := t.Exists("athletes", f.AthleteID); err != nil {
			return f, err
		}
		f.At, f.By = t.Moment(by.At), by.Signer(t)
		var err error
		f.ID, err = t.Insert("filmed_readings", f.columns())
		return f, err
	})
}

// FilmedReadings lists what was filmed of an athlete on days until the last,
// newest first; an empty last day is every day.
func (s *Records) FilmedReadings(ctx context.Context, athleteID int64, last string) ([]FilmedReading, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) ([]FilmedReading, error) {
		return db.List(t, (*FilmedReading).stored, "filmed_readings WHERE athlete_id = ?1 AND (?2 = '' OR filmed_on <= ?2) ORDER BY filmed_on DESC, id DESC", athleteID, last)
	})
}

// DeleteFilmedReading removes a reading of an athlete; another's is ErrNotFound.
func (s *Records) DeleteFilmedReading(ctx context.Context, athleteID, id int64) error {
	_, err := db.Write(ctx, s.file, func(t *db.Tx) (struct{}, error) {
		if _, err := db.One(t, (*FilmedReading).stored, "filmed_readings WHERE id = ? AND athlete_id = ?", id, athleteID); err != nil {
			return struct{}{}, err
		}
		if err := t.Remove("filmed_readings", id); err != nil {
			return struct{}{}, err
		}
		return struct{}{}, t.ToWipe()
	})
	return err
}
