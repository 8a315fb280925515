package boats

import (
	"context"
	"errors"
	"time"

	"thole/api/store/db"
)

// LargestStill is how many bytes the picture beside a reading may have; our judgement,
// so that a season of them stays small beside the strokes.
const LargestStill = 400_000

// Still is the picture beside a filmed reading.
type Still struct {
	ReadingID         int64
	Picture           []byte // JPEG
	WidthPx, HeightPx int64
	At                time.Time
	By                string
}

func (p *Still) stored() []db.Column {
	return append(p.about(), db.Column{"picture", &p.Picture})
}

// about is all of a still but the picture.
func (p *Still) about() []db.Column {
	return []db.Column{{"filmed_reading_id", &p.ReadingID}, {"width_px", &p.WidthPx}, {"height_px", &p.HeightPx}, {"at", (*db.Stamp)(&p.At)}, {"by", &p.By}}
}

// readingOf finds a reading of an athlete; another's is ErrNotFound.
func readingOf(t *db.Tx, athlete, reading int64) error {
	var id int64
	return t.Scan("SELECT id FROM filmed_readings WHERE id = ? AND athlete_id = ?", []any{reading, athlete}, &id)
}

// KeepStill keeps the picture beside a reading of an athlete, in place of the one
// that was there, and returns what is kept without the picture. A reading of
// somebody else is ErrNotFound.
func (s *Records) KeepStill(ctx context.Context, athlete int64, p Still, by db.By) (Still, error) {
	return db.Write(ctx, s.file, func(t *db.Tx) (Still, error) {
		if err := readingOf(t, athlete, p.ReadingID); err != nil {
			return Still{}, err
		}
		if err := dropStill(t, p.ReadingID); err != nil && !errors.Is(err, db.ErrNotFound) {
			return Still{}, err
		}
		p.At, p.By = t.Moment(by.At), by.Signer(t)
		_, err := t.Insert("filmed_stills", p.stored())
		p.Picture = nil
		return p, err
	})
}

// dropStill removes a still; ErrNotFound says that there is none.
func dropStill(t *db.Tx, reading int64) error {
	if err := t.Scan("DELETE FROM filmed_stills WHERE filmed_reading_id = ? RETURNING filmed_reading_id", []any{reading}, &reading); err != nil {
		return err
	}
	return t.ToWipe()
}

// StillsOf lists the stills beside the readings of an athlete, without the
// pictures, by the readings they stand beside.
func (s *Records) StillsOf(ctx context.Context, athlete int64) (map[int64]Still, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) (map[int64]Still, error) {
		found, err := db.List(t, (*Still).about, "filmed_stills WHERE filmed_reading_id IN (SELECT id FROM filmed_readings WHERE athlete_id = ?)", athlete)
		of := map[int64]Still{}
		for _, p := range found {
			of[p.ReadingID] = p
		}
		return of, err
	})
}

// StillOf returns the still beside a reading of an athlete.
func (s *Records) StillOf(ctx context.Context, athlete, reading int64) (Still, error) {
	return db.Read(ctx, s.file, func(t *db.Tx) (Still, error) {
		if err := readingOf(t, athlete, reading); err != nil {
			return Still{}, err
		}
		return db.One(t, (*Still).stored, "filmed_stills WHERE filmed_reading_id = ?", reading)
	})
}

// RemoveStill removes the still beside a reading of an athlete, and leaves the
// reading.
func (s *Records) RemoveStill(ctx context.Context, athlete, reading int64) error {
	_, err := db.Write(ctx, s.file, func(t *db.Tx) (struct{}, error) {
		if err := readingOf(t, athlete, reading); err != nil {
			return struct{}{}, err
		}
		return struct{}{}, dropStill(t, reading)
	})
	if err != nil {
		return err
	}
	return db.EmptyLog(context.WithoutCancel(ctx), s.file)
}
