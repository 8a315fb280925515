package rest

import (
	"bytes"
	"io"
	"log/slog"
	"net/http"
	"reflect"
	"slices"

	"github.com/labstack/echo/v4"

	"thole/api/access"
	"thole/api/once"
	"thole/api/wire"
)

// headerKey is the key of a request that counts once, as IETF
// draft-ietf-httpapi-idempotency-key-header has it.
const headerKey = "Idempotency-Key"

// headerReplayed marks the answer to a request that came before.
const headerReplayed = "Idempotency-Replayed"

// keyed reports whether the operation makes something that a key lets count once.
func (r *Route) keyed() bool { return r.Created || r.Counted }

// keys lets what is made count once.
type keys struct {
	keeper *once.Keeper
	jobs   Jobs
	read   echo.HandlerFunc // looks at what the route makes; nil where nothing does, or says something else
	param  string           // that names it
}

// keysFor returns what lets the creations of a route count once.
func keysFor(r *Route, routes []Route, keeper *once.Keeper, jobs Jobs, owners access.Owners, log *slog.Logger) *keys {
	k := &keys{keeper: keeper, jobs: jobs}
	if i := slices.IndexFunc(routes, r.looks); i >= 0 && covers(routes[i].Out, r.Out) {
		there := routes[i]
		k.read = guarded(there.Access, owners, log, there.handler(&there, jobs, log))
		k.param = there.Path[len(r.Path)+len("/:"):]
	}
	return k
}

// covers reports whether an answer there holds all that one like here does.
func covers(there, here any) bool {
	if there == nil || here == nil {
		return false
	}
	of := memberMap(withoutPointer(reflect.TypeOf(there)))
	for name, t := range memberMap(withoutPointer(reflect.TypeOf(here))) {
		if of[name] != t {
			return false
		}
	}
	return true
}

// around works on a request once, and answers it again where it comes again.
func (k *keys) around(r *Route, next echo.HandlerFunc, log *slog.Logger) echo.HandlerFunc {
	return func(c echo.Context) error {
		key := c.Request().Header.Get(headerKey)
		if key == "" {
			return next(c)
		}
		c.Set(keeperKey, k.keeper)
		if r.hasForm() {
			return k.form(r, key, next)(c)
		}
		body, err := io.ReadAll(http.MaxBytesReader(nil, c.Request().Body, MaxBody))
		if err != nil {
			return answer(c, log, ExplainReading(err))
		}
		asked := once.Request{Key: key, Scope: r.Method + " " + c.Request().URL.RequestURI(), Body: body, Status: r.status()}
		ctx, done, before, err := k.keeper.Begin(c.Request().Context(), asked)
		switch {
		case err != nil:
			return answer(c, log, err)
		case before != nil:
			return k.again(c, before, log)
		}
		status := http.StatusInternalServerError // unless there is an answer
		defer func() { done(status, c.Response().Header().Get(echo.HeaderLocation)) }()
		inner := c.Request().WithContext(ctx)
		inner.Body = io.NopCloser(bytes.NewReader(body))
		c.SetRequest(inner)
		if err := next(c); err != nil {
			return err
		}
		status = c.Response().Status
		return nil
	}
}

// Names in the context of a request.
const (
	keeperKey  = "once keeper"
	pendingKey = "once pending"
)

// pending is a request with a form, which is worked on once as soon as its body has
// been read: that is too large to be read twice.
type pending struct {
	keys *keys
	ask  once.Request
	done func(status int, location string) // nil until it is begun
}

// replayed is the error of a request that came before.
type replayed struct {
	keys   *keys
	before *once.Answer
}

func (*replayed) Error() string { return "the request came before" }

// form works on a request with a form once; see [Call.Counting].
func (k *keys) form(r *Route, key string, next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		p := &pending{keys: k, ask: once.Request{Key: key, Scope: r.Method + " " + c.Request().URL.RequestURI(), Status: r.status()}}
		c.Set(pendingKey, p)
		status := http.StatusInternalServerError // unless there is an answer
		defer func() {
			if p.done != nil {
				p.done(status, c.Response().Header().Get(echo.HeaderLocation))
			}
		}()
		if err := next(c); err != nil {
			return err
		}
		status = c.Response().Status
		return nil
	}
}

func (p *pending) begin(c echo.Context, content []byte) error {
	p.ask.Body = content
	ctx, done, before, err := p.keys.keeper.Begin(c.Request().Context(), p.ask)
	switch {
	case err != nil:
		return err
	case before != nil:
		return &replayed{p.keys, before}
	}
	p.done = done
	c.SetRequest(c.Request().WithContext(ctx))
	return nil
}

// errGone says that what a request made is not there any more.
var errGone = &wire.Refusal{Status: http.StatusGone, Text: "what this request made when it was sent before was removed since"}

// again answers a request that came before: with what it made as it is now, and
// without a body where that cannot be looked at.
func (k *keys) again(c echo.Context, before *once.Answer, log *slog.Logger) error {
	h := c.Response().Header()
	h.Set(headerReplayed, "true")
	h.Set(echo.HeaderCacheControl, "no-store")
	if before.Location == "" {
		return c.NoContent(http.StatusNoContent)
	}
	h.Set(echo.HeaderLocation, before.Location)
	if job, there := jobAt(k.jobs, before.Location); there {
		return accepted(c, log, job)
	}
	if before.Status != http.StatusCreated || k.read == nil {
		return c.NoContent(http.StatusNoContent)
	}
	seen := look(c, k.read, k.param, before.Location[len(c.Request().URL.Path)+1:])
	switch {
	case seen.status == http.StatusNotFound:
		return answer(c, log, errGone)
	case seen.status != http.StatusOK:
		return c.NoContent(http.StatusNoContent)
	}
	return c.Blob(http.StatusCreated, echo.MIMEApplicationJSON, seen.body.Bytes())
}
