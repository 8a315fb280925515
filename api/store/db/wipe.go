package store

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
func (s *Store) Wipe(ctx context.Context) error {
	var since string // of the newest removal that this wipes
	err := s.writer.QueryRowContext(ctx, "SELECT coalesce((SELECT since FROM wipes), '')").Scan(&since)
	if err == nil {
		_, err = s.writer.ExecContext(ctx, "VACUUM")
	}
	if err != nil {
		return fmt.Errorf("%w: %w", ErrTraces, explain(err))
	}
	if err := emptyLog(ctx, s); err != nil {
		return err
	}
	if _, err := s.writer.ExecContext(ctx, "DELETE FROM wipes WHERE since = ?", since); err != nil {
		return fmt.Errorf("%w: %w", ErrTraces, explain(err))
	}
	return nil
}

// toWipe notes that something removed may still be read in the file.
func (t *tx) toWipe() error {
	return t.exec("INSERT INTO wipes (id, since) VALUES (1, ?) ON CONFLICT DO UPDATE SET since = excluded.since", stamp(t.moment(time.Time{})))
}

// Traces tells since when something removed may still be read in the file; zero
// is nothing.
func (s *Store) Traces(ctx context.Context) (time.Time, error) {
	since, err := read(ctx, s, func(t *tx) (stamp, error) {
		var since stamp
		err := t.scan("SELECT since FROM wipes", nil, &since)
		if errors.Is(err, ErrNotFound) {
			err = nil
		}
		return since, err
	})
	return time.Time(since), err
}

// WipeTraces is [Store.Wipe] where there is something to be wiped.
func (s *Store) WipeTraces(ctx context.Context) error {
	since, err := s.Traces(ctx)
	if err != nil || since.IsZero() {
		return err
	}
	return s.Wipe(ctx)
}

// eraseQuietly removes a row and empties the log, where it could still be read;
// the rest of the file is wiped later, see [Store.WipeTraces].
func eraseQuietly(ctx context.Context, s *Store, table string, id int64) error {
	_, err := write(ctx, s, func(t *tx) (struct{}, error) {
		if err := t.remove(table, id); err != nil {
			return struct{}{}, err
		}
		return struct{}{}, t.toWipe()
	})
	if err != nil {
		return err
	}
	return emptyLog(context.WithoutCancel(ctx), s)
}

// emptyLog takes the log into the file. An error wraps ErrTraces.
func emptyLog(ctx context.Context, s *Store) error {
	var busy, pages, moved int
	if err := s.writer.QueryRowContext(ctx, "PRAGMA wal_checkpoint(TRUNCATE)").Scan(&busy, &pages, &moved); err != nil {
		return fmt.Errorf("%w: %w", ErrTraces, explain(err))
	}
	if busy != 0 {
		return fmt.Errorf("%w: %w", ErrTraces, ErrBusy)
	}
	return nil
}

// erase is remove in a transaction of its own.
func erase(ctx context.Context, s *Store, table string, id int64) error {
	_, err := write(ctx, s, func(t *tx) (struct{}, error) { return struct{}{}, t.remove(table, id) })
	return err
}
