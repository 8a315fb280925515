package db

import (
	"context"
	"errors"
	"fmt"
	"time"
)

// Wipe rewrites the file without anything that was deleted or replaced, and
// empties the log. It takes room for a second copy while it works, and a time
// that grows with the file, in which writes wait. An error wraps ErrTraces.
//
// Rewriting is needed because secure_delete alone does not keep the promise: it
// clears the space of rows that are deleted, but not the copies that stay
// behind when SQLite moves rows from page to page.
func (s *DB) Wipe(ctx context.Context) error {
	var since string // of the newest removal that this wipes
	err := s.writer.QueryRowContext(ctx, "SELECT coalesce((SELECT since FROM wipes), '')").Scan(&since)
	if err == nil {
		_, err = s.writer.ExecContext(ctx, "VACUUM")
	}
	if err != nil {
		return fmt.Errorf("%w: %w", ErrTraces, Explain(err))
	}
	if err := EmptyLog(ctx, s); err != nil {
		return err
	}
	if _, err := s.writer.ExecContext(ctx, "DELETE FROM wipes WHERE since = ?", since); err != nil {
		return fmt.Errorf("%w: %w", ErrTraces, Explain(err))
	}
	return nil
}

// ToWipe notes that something removed may still be read in the file.
func (t *Tx) ToWipe() error {
	return t.Exec("INSERT INTO wipes (id, since) VALUES (1, ?) ON CONFLICT DO UPDATE SET since = excluded.since", Stamp(t.Moment(time.Time{})))
}

// Traces tells since when something removed may still be read in the file; zero
// is nothing.
func (s *DB) Traces(ctx context.Context) (time.Time, error) {
	since, err := Read(ctx, s, func(t *Tx) (Stamp, error) {
		var since Stamp
		err := t.Scan("SELECT since FROM wipes", nil, &since)
		if errors.Is(err, ErrNotFound) {
			err = nil
		}
		return since, err
	})
	return time.Time(since), err
}

// WipeTraces is [DB.Wipe] where there is something to be wiped.
func (s *DB) WipeTraces(ctx context.Context) error {
	since, err := s.Traces(ctx)
	if err != nil || since.IsZero() {
		return err
	}
	return s.Wipe(ctx)
}

// EraseQuietly removes a row and empties the log, where it could still be read;
// the rest of the file is wiped later, see [DB.WipeTraces].
func EraseQuietly(ctx context.Context, s *DB, table string, id int64) error {
	_, err := Write(ctx, s, func(t *Tx) (struct{}, error) {
		if err := t.Remove(table, id); err != nil {
			return struct{}{}, err
		}
		return struct{}{}, t.ToWipe()
	})
	if err != nil {
		return err
	}
	return EmptyLog(context.WithoutCancel(ctx), s)
}

// EmptyLog takes the log into the file. An error wraps ErrTraces.
func EmptyLog(ctx context.Context, s *DB) error {
	var busy, pages, moved int
	if err := s.writer.QueryRowContext(ctx, "PRAGMA wal_checkpoint(TRUNCATE)").Scan(&busy, &pages, &moved); err != nil {
		return fmt.Errorf("%w: %w", ErrTraces, Explain(err))
	}
	if busy != 0 {
		return fmt.Errorf("%w: %w", ErrTraces, ErrBusy)
	}
	return nil
}

// Erase is remove in a transaction of its own.
func Erase(ctx context.Context, s *DB, table string, id int64) error {
	_, err := Write(ctx, s, func(t *Tx) (struct{}, error) { return struct{}{}, t.Remove(table, id) })
	return err
}
