package store

import (
	"context"
	"errors"
	"time"
)

// LargestStill is how many bytes the picture beside a reading may have.
const LargestStill = 400_000

// Still is the picture beside a filmed reading.
type Still struct {
	ReadingID         int64
	Picture           []byte // JPEG
	WidthPx, HeightPx int64
	At                time.Time
	By                string
}

func (p *Still) stored() []column {
	return append(p.about(), column{"picture", &p.Picture})
}

// about is all of a still but the picture.
func (p *Still) about() []column {
	return []column{{"filmed_reading_id", &p.ReadingID}, {"width_px", &p.WidthPx}, {"height_px", &p.HeightPx}, {"at", (*stamp)(&p.At)}, {"by", &p.By}}
}

// readingOf finds a reading of an athlete; another's is ErrNotFound.
func (t *tx) readingOf(athlete, reading int64) error {
	var id int64
	return t.scan("SELECT id FROM filmed_readings WHERE id = ? AND athlete_id = ?", []any{reading, athlete}, &id)
}

// KeepStill keeps the picture beside a reading of an athlete, in place of the one
// that was there, and returns what is kept without the picture. A reading of
// somebody else is ErrNotFound.
func (s *Store) KeepStill(ctx context.Context, athlete int64, p Still, by By) (Still, error) {
	return write(ctx, s, func(t *tx) (Still, error) {
		if err := t.readingOf(athlete, p.ReadingID); err != nil {
			return Still{}, err
		}
		if err := t.dropStill(p.ReadingID); err != nil && !errors.Is(err, ErrNotFound) {
			return Still{}, err
		}
		p.At, p.By = t.moment(by.At), by.name(t)
		_, err := t.insert("filmed_stills", p.stored())
		p.Picture = nil
		return p, err
	})
}

// dropStill removes a still; ErrNotFound says that there is none.
func (t *tx) dropStill(reading int64) error {
	if err := t.scan("DELETE FROM filmed_stills WHERE filmed_reading_id = ? RETURNING filmed_reading_id", []any{reading}, &reading); err != nil {
		return err
	}
	return t.toWipe()
}

// StillsOf lists the stills beside the readings of an athlete, without the
// pictures, by the readings they stand beside.
func (s *Store) StillsOf(ctx context.Context, athlete int64) (map[int64]Still, error) {
	return read(ctx, s, func(t *tx) (map[int64]Still, error) {
		found, err := list(t, (*Still).about, "filmed_stills WHERE filmed_reading_id IN (SELECT id FROM filmed_readings WHERE athlete_id = ?)", athlete)
		of := map[int64]Still{}
		for _, p := range found {
			of[p.ReadingID] = p
		}
		return of, err
	})
}

// StillOf returns the still beside a reading of an athlete.
func (s *Store) StillOf(ctx context.Context, athlete, reading int64) (Still, error) {
	return read(ctx, s, func(t *tx) (Still, error) {
		if err := t.readingOf(athlete, reading); err != nil {
			return Still{}, err
		}
		return one(t, (*Still).stored, "filmed_stills WHERE filmed_reading_id = ?", reading)
	})
}

// RemoveStill removes the still beside a reading of an athlete, and leaves the
// reading.
func (s *Store) RemoveStill(ctx context.Context, athlete, reading int64) error {
	_, err := write(ctx, s, func(t *tx) (struct{}, error) {
		if err := t.readingOf(athlete, reading); err != nil {
			return struct{}{}, err
		}
		return struct{}{}, t.dropStill(reading)
	})
	if err != nil {
		return err
	}
	return s.emptyLog(context.WithoutCancel(ctx))
}
