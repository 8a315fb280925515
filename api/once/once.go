// Package once lets a request with a key count once, however often it comes: a
// phone that never saw the answer sends it again, a finger taps twice.
package once

import (
	"context"
	"crypto/sha256"
	"errors"
	"log/slog"
	"net/http"
	"net/url"
	"sync"

	"thole/api/access"
	"thole/api/store"
	"thole/api/wire"
)

// MostKey is the length of a key at most, in bytes.
const MostKey = 200

// Keeper remembers the requests that have a key. It is safe for concurrent use.
type Keeper struct {
	store *store.Store

	mu  sync.Mutex
	now map[name]chan struct{} // requests that are being worked on, closed when they are done
}

// name is a key of somebody.
type name struct {
	account int64
	key     store.Digest
}

// New returns a keeper over the records; without records nothing is remembered.
func New(s *store.Store) *Keeper { return &Keeper{store: s, now: map[name]chan struct{}{}} }

// Request is one that counts once.
type Request struct {
	Key    string
	Scope  string // what is asked for: the method and the path
	Body   []byte
	Status int // of its answer, as far as it is known beforehand

	// ByContent makes the content part of the key: another content under the
	// same key is another request. Otherwise it is refused.
	ByContent bool
}

// Answer is what a request was answered before.
type Answer struct {
	Status   int
	Location string // of what was made; "" where that has no address
}

// Errors of keys.
var (
	errKey    = &wire.Refusal{Status: http.StatusBadRequest, Text: "an Idempotency-Key has from 1 to 200 printable characters"}
	errReused = &wire.Refusal{Status: http.StatusUnprocessableEntity, Text: "this Idempotency-Key was sent with another request before: take a new one for each thing that is made", Type: wire.KeyReused}
)

// Begin begins a request of whoever the context belongs to. Where it came before,
// its answer is returned and nothing is to be done. Where it is being worked on,
// Begin waits for it. Otherwise the request is to be worked on with the context
// that is returned, and done to be called with its answer.
func (k *Keeper) Begin(ctx context.Context, r Request) (inner context.Context, done func(status int, location string), before *Answer, err error) {
	if !readable(r.Key) {
		return nil, nil, nil, errKey
	}
	if k.store == nil {
		return ctx, func(int, string) {}, nil, nil
	}
	o := r.once(access.From(ctx).Account)
	release, err := k.enter(ctx, name{o.Account, o.Key})
	if err != nil {
		return nil, nil, nil, err
	}
	before, err = k.before(ctx, o)
	if before != nil || err != nil {
		release()
		return nil, nil, before, err
	}
	// What was answered is kept even where nobody waits for the answer.
	kept := context.WithoutCancel(ctx)
	return store.WithOnce(ctx, o), func(status int, location string) {
		defer release()
		if !o.Kept() {
			return
		}
		if err := k.store.Answered(kept, o, status, pathOf(location)); err != nil {
			slog.Error("keeping what a request was answered", "err", err)
		}
	}, nil, nil
}

// readable reports whether a key is made of printable characters.
func readable(key string) bool {
	for _, c := range []byte(key) {
		if c < ' ' || c == 0x7f {
			return false
		}
	}
	return key != "" && len(key) <= MostKey
}

// once is the request as the records know it.
func (r *Request) once(account int64) *store.Once {
	// The digest of the request has the key in it, which only the sender knows:
	// nobody can try out what a short request may have said.
	body := sha256.Sum256(append([]byte(r.Scope+"\x00"+r.Key+"\x00"), r.Body...))
	key := r.Key
	if r.ByContent {
		key += "\x00" + string(body[:])
	}
	return &store.Once{Account: account, Key: sha256.Sum256([]byte(key)), Request: body, Status: r.Status}
}

// enter waits until nobody works on the key, and takes it.
func (k *Keeper) enter(ctx context.Context, n name) (release func(), err error) {
	for {
		k.mu.Lock()
		other, busy := k.now[n]
		if !busy {
			mine := make(chan struct{})
			k.now[n] = mine
			k.mu.Unlock()
			return func() {
				k.mu.Lock()
				delete(k.now, n)
				k.mu.Unlock()
				close(mine)
			}, nil
		}
		k.mu.Unlock()
		select {
		case <-other:
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
}

// before returns what the request was answered before; nil for a new one.
func (k *Keeper) before(ctx context.Context, o *store.Once) (*Answer, error) {
	sent, err := k.store.SentBefore(ctx, o)
	switch {
	case errors.Is(err, store.ErrNotFound):
		return nil, nil
	case err != nil:
		return nil, err
	case sent.Request != o.Request:
		return nil, errReused
	}
	return &Answer{sent.Status, sent.Location}, nil
}

// pathOf is an address without its query, which may tell of somebody.
func pathOf(address string) string {
	u, err := url.Parse(address)
	if err != nil {
		return ""
	}
	return u.Path
}
