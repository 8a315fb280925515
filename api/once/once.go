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
	"slices"
	"sync"

	"thole/api/access"
	"thole/api/store"
	"thole/api/wire"
)

// MostKey is the length of a key at most, bytes; our judgement: a UUID has 36.
const MostKey = 200

// Keeper remembers the requests that have a key. It is safe for concurrent use.
type Keeper struct {
	store *store.Store

	mu     sync.Mutex
	now    map[name]chan struct{} // requests that are being worked on, closed when they are done
	beside memory                 // what left nothing on record yet

	// Going reports whether the work at an address goes on, or is done and can be
	// looked at; nil: nothing does.
	Going func(address string) bool
}

// name is a key of somebody.
type name struct {
	account int64
	key     store.Digest
}

// New returns a keeper over the records; without records nothing is remembered.
func New(s *store.Store) *Keeper {
	return &Keeper{store: s, now: map[name]chan struct{}{}, beside: memory{of: map[name]remembered{}}}
}

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
	by := name{o.Account, o.Key}
	release, err := k.enter(ctx, by)
	if err != nil {
		return nil, nil, nil, err
	}
	before, err = k.before(ctx, by, o)
	if before != nil || err != nil {
		release()
		return nil, nil, before, err
	}
	// What was answered is kept even where nobody waits for the answer.
	kept := context.WithoutCancel(ctx)
	return store.WithOnce(ctx, o), func(status int, location string) {
		defer release()
		if at := pathOf(location); at != "" && (status == http.StatusAccepted || status == http.StatusCreated && !o.Kept()) {
			k.remember(by, remembered{o.Request, Answer{status, at}})
			return
		}
		if !o.Kept() {
			return
		}
		if err := k.store.Answered(kept, o, status, pathOf(location)); err != nil {
			slog.Error("keeping what a request was answered", "err", err)
		}
	}, nil, nil
}

// Ended keeps what came of work that goes on beside its request, and in whose context
// ctx is: with the status and the address that the request would have been answered.
func (k *Keeper) Ended(ctx context.Context, status int, location string) {
	o := store.OnceIn(ctx)
	if k.store == nil || o == nil || !o.Kept() {
		return
	}
	if err := k.store.Answered(context.WithoutCancel(ctx), o, status, pathOf(location)); err != nil {
		slog.Error("keeping what came of a request", "err", err)
	}
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

// before returns what the request was answered before; nil for a new one. What has
// been made counts before the work that made it.
func (k *Keeper) before(ctx context.Context, by name, o *store.Once) (*Answer, error) {
	sent, err := k.store.SentBefore(ctx, o)
	if err != nil && !errors.Is(err, store.ErrNotFound) {
		return nil, err
	}
	if err == nil && sent.Request != o.Request {
		return nil, errReused
	}
	if err == nil && sent.Location != "" {
		return &Answer{sent.Status, sent.Location}, nil
	}
	beside, found := k.remembered(by)
	switch {
	case found && beside.request != o.Request:
		return nil, errReused
	case found:
		return &beside.answer, nil
	case err == nil:
		return &Answer{sent.Status, ""}, nil
	}
	return nil, nil
}

// remembered is a request whose answer stands in memory only, as what it made does:
// work that goes on, or a file that waits.
type remembered struct {
	request store.Digest
	answer  Answer
}

// memory holds the latest of them.
type memory struct {
	of   map[name]remembered
	line []name // oldest first
}

// mostBeside bounds the memory, which holds about 200 bytes each; work and files are
// forgotten long before (by our own judgement).
const mostBeside = 512

func (k *Keeper) remember(by name, r remembered) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if _, there := k.beside.of[by]; !there {
		k.beside.line = append(k.beside.line, by)
	}
	k.beside.of[by] = r
	if len(k.beside.line) > mostBeside {
		delete(k.beside.of, k.beside.line[0])
		k.beside.line = slices.Delete(k.beside.line, 0, 1)
	}
}

// remembered returns what is in memory of a request. Work that failed or was
// cancelled is forgotten, so that it can be asked for again.
func (k *Keeper) remembered(by name) (remembered, bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	r, found := k.beside.of[by]
	if found && r.answer.Status == http.StatusAccepted && (k.Going == nil || !k.Going(r.answer.Location)) {
		delete(k.beside.of, by)
		k.beside.line = slices.DeleteFunc(k.beside.line, func(n name) bool { return n == by })
		return remembered{}, false
	}
	return r, found
}

// pathOf is an address without its query, which may tell of somebody.
func pathOf(address string) string {
	u, err := url.Parse(address)
	if err != nil {
		return ""
	}
	return u.Path
}

// Carry returns to with the key of from, for work beside the request.
func Carry(from, to context.Context) context.Context { return store.CarryOnce(from, to) }
