package db

import (
	"context"
	"errors"
	"log/slog"
	"sync/atomic"
	"time"
)

// clock tells the moment and remembers the latest that it told, so that the store
// knows when the machine's clock goes back.
type clock struct {
	now    func() time.Time
	latest atomic.Int64 // ms since 1970; 0 before anything was told
	kept   atomic.Int64 // the latest on record, ms since 1970
	back   []Back
}

// Back is what a part of the store does when the clock went back from the latest
// moment to now: what had ended by the latest is to stay ended, and what was begun
// after now is to last no longer than it was meant to.
type Back func(t *Tx, latest, now time.Time) error

// OnBack adds what is to be done when the clock went back. It must come before any
// other use of the store.
func (s *DB) OnBack(do Back) { s.clock.back = append(s.clock.back, do) }

const (
	// backFrom is how far the clock must have gone back to count as set: less is the
	// order in which goroutines come, or a clock that is slewed (by our own judgement).
	backFrom = time.Second
	// latestEvery is how often the latest moment is kept with what is written, by our
	// own judgement: what ends within it may live on after a crash and a clock set back.
	latestEvery = time.Minute
)

// tell returns the moment.
func (c *clock) tell() time.Time {
	now := c.now()
	for ms := now.UnixMilli(); ; {
		latest := c.latest.Load()
		if latest >= ms || c.latest.CompareAndSwap(latest, ms) {
			return now
		}
	}
}

// Now tells the moment by the store's clock.
func (s *DB) Now() time.Time { return s.clock.tell() }

// Latest is the later of a moment and the latest that the clock has shown: what
// ends by it has ended, also where the clock went back since.
func (s *DB) Latest(at time.Time) time.Time {
	s.clock.tell()
	if latest := time.UnixMilli(s.clock.latest.Load()); at.Before(latest) {
		return latest.In(at.Location())
	}
	return at
}

// Latest is [DB.Latest] within a transaction.
func (t *Tx) Latest(at time.Time) time.Time { return t.file.Latest(at) }

// load reads the latest moment on record.
func (c *clock) load(t *Tx) error {
	var latest Stamp
	err := t.Scan("SELECT latest FROM clock", nil, &latest)
	if errors.Is(err, ErrNotFound) {
		return nil
	}
	if err == nil {
		ms := time.Time(latest).UnixMilli()
		c.kept.Store(ms)
		c.latest.Store(max(ms, c.latest.Load()))
	}
	return err
}

// settle begins a write: where the clock went back, it ends for good what had ended
// before; otherwise it keeps the latest moment from time to time. What it returns is
// to be called when the transaction is on record.
func (c *clock) settle(t *Tx) (settled func(), err error) {
	now := c.tell()
	latest := time.UnixMilli(c.latest.Load())
	switch {
	case latest.Sub(now) >= backFrom:
		for _, do := range append([]Back{keysBack}, c.back...) {
			if err := do(t, latest, now); err != nil {
				return nil, err
			}
		}
		slog.Warn("the clock of this machine went back: what had ended stays ended", "by", latest.Sub(now).Round(time.Second).String())
	case now.Sub(time.UnixMilli(c.kept.Load())) < latestEvery:
		return func() {}, nil
	}
	if err := keepLatest(t, now); err != nil {
		return nil, err
	}
	return func() {
		c.latest.CompareAndSwap(latest.UnixMilli(), now.UnixMilli())
		c.kept.Store(now.UnixMilli())
	}, nil
}

// keysBack lets the keys of requests that came after now have come now, so that they
// are forgotten after a day like others.
func keysBack(t *Tx, _, now time.Time) error {
	return t.Exec("UPDATE sent_keys SET sent_at = ?1 WHERE sent_at > ?1", Stamp(now))
}

func keepLatest(t *Tx, at time.Time) error {
	return t.Exec("INSERT INTO clock (id, latest) VALUES (1, ?) ON CONFLICT DO UPDATE SET latest = excluded.latest", Stamp(at))
}

// settle is [clock.settle], once the clock knows what is on record.
func (s *DB) settle(t *Tx) (settled func(), err error) {
	if !s.loaded.Load() {
		return func() {}, nil
	}
	return s.clock.settle(t)
}

// KeepTime keeps the latest moment on record where an hour has passed since it was
// kept: for a server to which nobody writes.
func (s *DB) KeepTime(ctx context.Context) error { return s.keepTime(ctx, time.Hour) }

// SettleTime lets what had ended stay so where the clock went back, as every write
// does: for what is written in another way.
func (s *DB) SettleTime(ctx context.Context) error {
	now := s.Now()
	if s.Latest(now).Sub(now) < backFrom {
		return nil
	}
	return s.touch(ctx)
}

func (s *DB) keepTime(ctx context.Context, after time.Duration) error {
	if s.Now().Sub(time.UnixMilli(s.clock.kept.Load())) < after {
		return nil
	}
	return s.touch(ctx)
}

// touch writes nothing but what every write begins with.
func (s *DB) touch(ctx context.Context) error {
	_, err := Write(context.WithValue(ctx, onceKey{}, nil), s, func(*Tx) (struct{}, error) { return struct{}{}, nil })
	return err
}
