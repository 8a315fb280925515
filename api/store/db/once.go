package db

import (
	"context"
	"database/sql"
	"errors"
	"sync/atomic"
	"time"
)

// Digest stands for a text that is not kept (SHA-256).
type Digest = [32]byte

// KeysKept is how long the key of a request is remembered: a day, by our own
// judgement, which outlives the batteries of a phone that sends again.
const KeysKept = 24 * time.Hour

// Once is the key of a request that counts once, however often it comes. The first
// transaction that writes for the request keeps it with what is written, or fails
// with [ErrSent] and writes nothing.
type Once struct {
	Account      int64 // who sends; 0 is nobody who signed in
	Key, Request Digest
	Status       int // of the answer, as far as it is known beforehand

	kept atomic.Bool
}

// Kept reports whether something was written for the request.
func (o *Once) Kept() bool { return o.kept.Load() }

type onceKey struct{}

// WithOnce returns a context in which what is written counts once.
func WithOnce(ctx context.Context, o *Once) context.Context {
	return context.WithValue(ctx, onceKey{}, o)
}

// CarryOnce returns to with the key of from, for work beside the request.
func CarryOnce(from, to context.Context) context.Context {
	if o := OnceIn(from); o != nil {
		return WithOnce(to, o)
	}
	return to
}

// OnceIn returns the key under which a context writes; nil for none.
func OnceIn(ctx context.Context) *Once {
	o, _ := ctx.Value(onceKey{}).(*Once)
	return o
}

// keep puts the key on record, and clears those that are old.
func (o *Once) keep(t *Tx) error {
	now := t.file.Now()
	if err := t.Exec("DELETE FROM sent_keys WHERE sent_at < ?", Stamp(now.Add(-KeysKept))); err != nil {
		return err
	}
	result, err := t.ExecContext(t.Ctx, "INSERT INTO sent_keys (account, key, request, sent_at, status, location) VALUES (?, ?, ?, ?, ?, '') ON CONFLICT DO NOTHING",
		o.Account, o.Key[:], o.Request[:], Stamp(now), o.Status)
	if err != nil {
		return err
	}
	if n, err := result.RowsAffected(); err != nil || n == 0 {
		return errors.Join(err, ErrSent)
	}
	return nil
}

// Sent is what is known of a request that came before.
type Sent struct {
	Request  Digest
	Status   int
	Location string // of what was made; "" where that has no address, or the answer never went out
}

// SentBefore looks up the key of a request; none younger than [KeysKept] is
// [ErrNotFound].
func (s *DB) SentBefore(ctx context.Context, o *Once) (Sent, error) {
	return Read(ctx, s, func(t *Tx) (Sent, error) {
		var found Sent
		var request []byte
		err := t.Scan("SELECT request, status, location FROM sent_keys WHERE account = ? AND key = ? AND sent_at >= ?",
			[]any{o.Account, o.Key[:], Stamp(t.file.Now().Add(-KeysKept))}, &request, &found.Status, &found.Location)
		copy(found.Request[:], request)
		return found, err
	})
}

// Answered keeps what a request was answered. One that failed is forgotten, so that
// it can be sent again.
func (s *DB) Answered(ctx context.Context, o *Once, status int, location string) error {
	_, err := Write(context.WithValue(ctx, onceKey{}, nil), s, func(t *Tx) (sql.Result, error) {
		if status >= 400 {
			return nil, t.Exec("DELETE FROM sent_keys WHERE account = ? AND key = ?", o.Account, o.Key[:])
		}
		return nil, t.Exec("UPDATE sent_keys SET status = ?, location = ? WHERE account = ? AND key = ?", status, location, o.Account, o.Key[:])
	})
	return err
}
