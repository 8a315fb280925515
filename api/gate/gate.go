// Package gate bounds what is heavy: how much big work is done at once, how much
// waits for it and how long it may take, and how many files come in together. What
// finds no room is refused at once, so that the rest of the server stays quick.
package gate

import (
	"context"
	"net/http"
	"runtime"
	"sync/atomic"
	"time"

	"thole/api/wire"
)

// Limits of a gate, by our own judgement for a small machine.
type Limits struct {
	AtOnce   int           // pieces of big work at a time
	Waiting  int           // further ones that wait for it
	Patience time.Duration // for which one waits before it is refused
	Longest  time.Duration // that one piece may take
}

// Usual are the limits of a server: as much big work as leaves a processor to the
// other requests, a line that is worked off while people wait, and an answer before
// the connection would be given up. What can use several processors does so all the
// same.
func Usual() Limits {
	return Limits{AtOnce: max(1, runtime.GOMAXPROCS(0)-1), Waiting: 16, Patience: 10 * time.Second, Longest: time.Minute}
}

// ErrFull says that as much big work as the machine should take is under way.
var ErrFull = &wire.Refusal{Status: http.StatusServiceUnavailable, Text: "too much big work under way: try again in a few seconds"}

// Gate lets big work in. A nil gate lets everything in.
type Gate struct {
	limits  Limits
	line    chan struct{} // who is inside or waits
	places  chan struct{} // who is inside
	refused atomic.Int64
}

// New returns a gate with nobody inside.
func New(limits Limits) *Gate {
	return &Gate{limits: limits, line: make(chan struct{}, limits.AtOnce+limits.Waiting), places: make(chan struct{}, limits.AtOnce)}
}

// insideKey marks the context of work that is inside.
type insideKey struct{}

// Enter waits until there is room for a piece of big work. The work is to be done
// with the context returned, which ends when the caller's does or when the work
// has taken too long, and to be followed by leave. Work that is inside already
// goes on as it is. The error is ErrFull or that of the context.
func (g *Gate) Enter(ctx context.Context) (inside context.Context, leave func(), err error) {
	if g == nil || ctx.Value(insideKey{}) != nil {
		return ctx, func() {}, nil
	}
	if err := g.await(ctx); err != nil {
		return nil, nil, err
	}
	inside, end := context.WithTimeout(context.WithValue(ctx, insideKey{}, true), g.limits.Longest)
	return inside, func() {
		end()
		<-g.places
		<-g.line
	}, nil
}

// await takes a place in line and then one inside.
func (g *Gate) await(ctx context.Context) (err error) {
	select {
	case g.line <- struct{}{}:
	default:
		g.refused.Add(1)
		return ErrFull
	}
	defer func() {
		if err != nil {
			<-g.line
		}
	}()
	late := time.NewTimer(g.limits.Patience)
	defer late.Stop()
	select {
	case g.places <- struct{}{}:
		return nil
	case <-late.C:
		g.refused.Add(1)
		return ErrFull
	case <-ctx.Done():
		return ctx.Err()
	}
}

// Load is how busy a gate is.
type Load struct {
	Inside, Waiting int
	Refused         int64 // since the start
}

// Load returns how busy the gate is.
func (g *Gate) Load() Load {
	inside := len(g.places)
	return Load{Inside: inside, Waiting: max(0, len(g.line)-inside), Refused: g.refused.Load()}
}

// Full reports whether further work would be refused.
func (g *Gate) Full() bool { return g != nil && len(g.line) == cap(g.line) }

// Through does work inside the gate.
func Through[Out any](ctx context.Context, g *Gate, work func(context.Context) (Out, error)) (out Out, err error) {
	ctx, leave, err := g.Enter(ctx)
	if err != nil {
		return out, err
	}
	defer leave()
	return work(ctx)
}
