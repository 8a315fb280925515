package accounts

import (
	"context"
	"database/sql"
	"errors"
	"thole/api/store/db"
	"time"

	"github.com/alexedwards/scs/sqlite3store"
	"github.com/alexedwards/scs/v2"
)

// sweepEvery is how often sessions that have ended are removed; our judgement.
const sweepEvery = 10 * time.Minute

// Sessions is the store of the web sessions. It reads beside the writes and
// writes as everything else does.
type Sessions struct {
	file   *db.DB
	reads  *sql.DB
	writes *sqlite3store.SQLite3Store
}

var _ interface {
	scs.CtxStore
	scs.IterableCtxStore
} = (*Sessions)(nil)

// Sessions returns the store of the web sessions, to be closed before the store.
func (s *Records) Sessions() *Sessions {
	readers, writer := db.Pools(s.file)
	return &Sessions{s.file, readers, sqlite3store.NewWithCleanupInterval(writer, sweepEvery)}
}

// Close ends the sweeping.
func (s *Sessions) Close() { s.writes.StopCleanup() }

// FindCtx returns the data of a session that has not ended by the latest moment that
// the clock has shown.
func (s *Sessions) FindCtx(ctx context.Context, token string) ([]byte, bool, error) {
	var data []byte
	err := s.reads.QueryRowContext(ctx, "SELECT data FROM sessions WHERE token = ? AND julianday(?) < expiry", token, s.latest()).Scan(&data)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, false, nil
	}
	return data, err == nil, err
}

func (s *Sessions) latest() db.Stamp { return db.Stamp(s.file.Latest(s.file.Now())) }

// CommitCtx keeps the data of a session.
func (s *Sessions) CommitCtx(ctx context.Context, token string, data []byte, expiry time.Time) error {
	if err := s.file.SettleTime(ctx); err != nil {
		return err
	}
	return db.Explain(s.writes.Commit(token, data, expiry))
}

// DeleteCtx ends a session.
func (s *Sessions) DeleteCtx(_ context.Context, token string) error {
	return db.Explain(s.writes.Delete(token))
}

// AllCtx returns the data of every session that has not ended by its token.
func (s *Sessions) AllCtx(ctx context.Context) (map[string][]byte, error) {
	rows, err := s.reads.QueryContext(ctx, "SELECT token, data FROM sessions WHERE julianday(?) < expiry", s.latest())
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	all := map[string][]byte{}
	for rows.Next() {
		var token string
		var data []byte
		if err := rows.Scan(&token, &data); err != nil {
			return nil, err
		}
		all[token] = data
	}
	return all, rows.Err()
}

// Find, Commit and Delete are as those with a context.
func (s *Sessions) Find(token string) ([]byte, bool, error) {
	return s.FindCtx(context.Background(), token)
}

// Commit keeps the data of a session.
func (s *Sessions) Commit(token string, data []byte, expiry time.Time) error {
	return s.CommitCtx(context.Background(), token, data, expiry)
}

// Delete ends a session.
func (s *Sessions) Delete(token string) error { return s.DeleteCtx(context.Background(), token) }
