package rest

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"reflect"
	"slices"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"thole/api/access"
	"thole/api/gate"
	"thole/api/once"
	"thole/api/wire"
)

// Route is one operation of the HTTP interface.
type Route struct {
	Method, Path string
	Summary      string
	Description  string
	In, Out      any     // zero values of the wire types
	Media        string  // of an answer that is a file; "" is JSON
	Columns      Columns // of that file, or of the tables that the answer can be had as
	Tables       bool    // the answer can be had as a table, too
	Created      bool    // a success makes something new
	Counted      bool    // it writes more than one thing, and can count once, too
	Big          bool    // may be asked for as a job
	Access       access.Rule
	looked       bool // there is a route that looks at what was created
	aside        writtenBack
	Example      json.RawMessage // of a body, or a text that holds a query; nil for none
	paged        bool            // a list that is read page by page
	handler      func(*Route, Jobs, *slog.Logger) echo.HandlerFunc
}

// Jobs runs big work beside the requests.
type Jobs interface {
	// StartJob runs work as a job for who asks in ctx, and returns how to look at it.
	StartJob(ctx context.Context, work func(context.Context) (any, error)) (wire.Job, error)
	// Await runs work as a job and returns what came of it, or after some time
	// the job that goes on.
	Await(ctx context.Context, some time.Duration, work func(context.Context) (any, error)) (any, *wire.Job, error)
	// Look returns a job that goes on or is done, and false for one that failed, was
	// cancelled or is not there any more.
	Look(id string) (wire.Job, bool)
}

// hasBody reports whether the operation reads a body, JSON unless it is a form.
func (r *Route) hasBody() bool { return r.Method == http.MethodPost || r.Method == http.MethodPut }

// hasForm reports whether the body is multipart/form-data.
func (r *Route) hasForm() bool {
	t := reflect.TypeOf(r.In)
	for i := range t.NumField() {
		if _, ok := t.Field(i).Tag.Lookup("formData"); ok {
			return true
		}
	}
	return false
}

// status is the status of a success.
func (r *Route) status() int {
	if r.Created {
		return http.StatusCreated
	}
	return http.StatusOK
}

// route describes a use case that reads address and body and answers JSON.
func route[In, Out any](method, path, summary, description string, use func(context.Context, In) (Out, error)) Route {
	return Route{
		Method: method, Path: path, Summary: summary, Description: description, In: *new(In), Out: *new(Out),
		handler: func(r *Route, jobs Jobs, log *slog.Logger) echo.HandlerFunc {
			return call(r, jobs, use, log)
		},
	}
}

// Get describes a use case behind GET.
func Get[In, Out any](path, summary, description string, use func(context.Context, In) (Out, error)) Route {
	return route(http.MethodGet, path, summary, description, use)
}

// Put describes a use case behind PUT.
func Put[In, Out any](path, summary, description string, use func(context.Context, In) (Out, error)) Route {
	return route(http.MethodPut, path, summary, description, use)
}

// Remove describes a use case behind DELETE.
func Remove[In, Out any](path, summary, description string, use func(context.Context, In) (Out, error)) Route {
	return route(http.MethodDelete, path, summary, description, use)
}

// Post describes a use case behind POST that computes something, create one
// that puts something new on record.
func Post[In, Out any](path, summary, description string, use func(context.Context, In) (Out, error)) Route {
	return route(http.MethodPost, path, summary, description, use)
}

// Create is a POST that answers 201 with the new record.
func Create[In, Out any](path, summary, description string, use func(context.Context, In) (Out, error)) Route {
	r := route(http.MethodPost, path, summary, description, use)
	r.Created = true
	return r
}

// AsJob lets an operation be asked for as a job.
func (r Route) AsJob() Route {
	r.Big = true
	return r
}

// For sets who may use the operation. Without it, only coaches may, and a test
// asks for the decision.
func (r Route) For(rule access.Rule) Route {
	r.Access = rule
	return r
}

// Call is a request for a route that reads or answers something else than JSON.
type Call struct {
	c     echo.Context
	route *Route
	jobs  Jobs
	log   *slog.Logger
}

// Custom lets use answer a route by itself.
func Custom(r Route, use func(*Call) error) Route {
	r.handler = func(r *Route, jobs Jobs, log *slog.Logger) echo.HandlerFunc {
		return func(c echo.Context) error { return use(&Call{c, r, jobs, log}) }
	}
	return r
}

// Request returns the request.
func (c *Call) Request() *http.Request { return c.c.Request() }

// Context returns the context of the request.
func (c *Call) Context() context.Context { return c.c.Request().Context() }

// Send answers v with the route's status of a success.
func (c *Call) Send(v any) error {
	c.route.locate(c.c, v)
	return send(c.c, c.log, c.route.status(), echo.MIMEApplicationJSON, v)
}

// Work does big work and answers what came of it, or where to look for that.
func (c *Call) Work(work func(context.Context) (any, error)) error {
	return c.route.work(c.c, c.jobs, c.log, work)
}

// Counting begins a request whose body has been read, so that it counts once where it
// has a key: content stands for all that was read. The error is for [Call.Fail], which
// answers a request again that came before; the context of the request is another one
// from then on.
func (c *Call) Counting(content []byte) error {
	if p, ok := c.c.Get(pendingKey).(*pending); ok {
		return p.begin(c.c, content)
	}
	return nil
}

// SendFile answers a file to be saved under a name.
func (c *Call) SendFile(contentType, name string, body []byte) error {
	return sendFile(c.c, contentType, name, body)
}

// Fail answers err as a problem.
func (c *Call) Fail(err error) error {
	if again := new(replayed); errors.As(err, &again) {
		return again.keys.again(c.c, again.before, c.log)
	}
	return answer(c.c, c.log, err)
}

// FailUpload answers err to a request whose body may not have been read: it is
// read on first.
func (c *Call) FailUpload(err error) error {
	Drain(c.c.Request())
	return c.Fail(err)
}

// Admit lets a large file come in, which takes longer than other requests. The
// error says that there is no room for it.
func (c *Call) Admit(uploads *gate.Uploads) (done func(), err error) {
	return uploads.Admit(c.c.Response(), c.c.Request())
}

// drainLimit is how many bytes are read on after a refusal, so that the client
// gets to see it.
const drainLimit = 256 << 20

// Drain reads on what is left of a request that was refused: a client that is
// still sending would not look at the answer.
func Drain(r *http.Request) { _, _ = io.CopyN(io.Discard, r.Body, drainLimit) }

// specPath serves the description of the routes.
const specPath = "/api/v1/openapi.json"

// MountRoutes registers routes on e with their OpenAPI document, which is asked for
// when somebody wants it, and problem
// answers for other methods of their paths and for other paths under /api/v1.
// Big work that is asked for as a job is handed to jobs. Each operation answers
// only those whom its rule lets in; owners says what is whose. What is made with a
// key counts once, which keeper remembers.
func MountRoutes(e *echo.Echo, routes []Route, spec func() ([]byte, error), jobs Jobs, owners access.Owners, keeper *once.Keeper, log *slog.Logger) {
	e.HTTPErrorHandler = func(err error, c echo.Context) {
		if !c.Response().Committed {
			_ = answer(c, log, err)
		}
	}
	e.Any("/api/v1/*", func(c echo.Context) error { return answer(c, log, echo.ErrNotFound) })
	// The router would take the line above for the other methods of a path;
	// what is registered later replaces what was registered before.
	allowed := methodsByPath(routes)
	for path, methods := range allowed {
		e.Any(path, func(c echo.Context) error {
			c.Response().Header().Set(echo.HeaderAllow, strings.Join(methods, ", "))
			if c.Request().Method == http.MethodOptions {
				return c.NoContent(http.StatusNoContent)
			}
			return answer(c, log, echo.ErrMethodNotAllowed)
		})
	}
	keeper.Going = func(address string) bool {
		_, there := jobAt(jobs, address)
		return there
	}
	aside, held := writtenBackIn(routes), &conditions{}
	for _, r := range routes {
		r.aside = aside
		r.looked = r.Created && slices.ContainsFunc(routes, r.looks)
		next := held.held(&r, routes, jobs, owners, log)
		if r.keyed() {
			next = keysFor(&r, routes, keeper, jobs, owners, log).around(&r, next, log)
		}
		add(e, r.Method, r.Path, guarded(r.Access, owners, log, next))
	}
	add(e, http.MethodGet, specPath, guarded(access.Everyone, owners, log, func(c echo.Context) error {
		c.Response().Header().Set(echo.HeaderCacheControl, "no-cache") // it holds nothing about anybody
		body, err := spec()
		if err != nil {
			return answer(c, log, err)
		}
		return sendTagged(c, echo.MIMEApplicationJSON, tagOf(nil, body), body)
	}))
}

// add registers a handler, for HEAD too where it is for GET: the server leaves the
// body out then (RFC 9110, 9.3.2).
func add(e *echo.Echo, method, path string, h echo.HandlerFunc) {
	e.Add(method, path, h)
	if method == http.MethodGet {
		e.Add(http.MethodHead, path, h)
	}
}

// looks reports whether other looks at one of the things that r creates.
func (r *Route) looks(other Route) bool {
	rest, below := strings.CutPrefix(other.Path, r.Path+"/:")
	return below && other.Method == http.MethodGet && !strings.Contains(rest, "/")
}

// locate reports where to look at what was created (RFC 9110, 15.3.2).
func (r *Route) locate(c echo.Context, created any) {
	if at := r.addressOf(c.Request().URL.Path, created); at != "" {
		c.Response().Header().Set(echo.HeaderLocation, at)
	}
}

// addressOf is where to look at what was created at a path; "" where nobody can.
func (r *Route) addressOf(path string, created any) string {
	v := reflect.Indirect(reflect.ValueOf(created))
	if !r.looked || v.Kind() != reflect.Struct {
		return ""
	}
	if id := v.FieldByName("ID"); id.IsValid() {
		return path + "/" + fmt.Sprint(id.Interface())
	}
	return ""
}

// asRead is the method that rules know a request by: HEAD reads as GET does.
func asRead(method string) string {
	if method == http.MethodHead {
		return http.MethodGet
	}
	return method
}

// guarded answers only those whom the rule lets in.
func guarded(rule access.Rule, owners access.Owners, log *slog.Logger, next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		r := c.Request()
		query := c.QueryParams() // which bindAddress reads, so that a narrowed value reaches it
		err := rule.Check(r.Context(), access.Request{Method: asRead(r.Method), Param: c.Param, Query: query}, owners)
		if err == nil {
			return next(c)
		}
		if errors.Is(err, access.ErrSignIn) {
			c.Response().Header().Set(echo.HeaderWWWAuthenticate, "Bearer")
		}
		return answer(c, log, refusal(err))
	}
}

// refusals are the answers to those whom a rule keeps out.
var refusals = map[error]*wire.Refusal{
	access.ErrSignIn:    {Status: http.StatusUnauthorized, Text: "sign in, or send a token as Authorization: Bearer"},
	access.ErrRole:      {Status: http.StatusForbidden, Text: access.ErrRole.Error()},
	access.ErrScope:     {Status: http.StatusForbidden, Text: access.ErrScope.Error()},
	access.ErrOthersToo: {Status: http.StatusForbidden, Text: access.ErrOthersToo.Error()},
	access.ErrNotOwn:    {Status: http.StatusNotFound, Text: access.ErrNotOwn.Error()},
}

// refusal reports why a rule keeps somebody out.
func refusal(err error) error {
	for known, said := range refusals {
		if errors.Is(err, known) {
			return said
		}
	}
	return err
}

func methodsByPath(routes []Route) map[string][]string {
	methods := map[string][]string{specPath: {http.MethodGet, http.MethodHead}}
	for _, r := range routes {
		methods[r.Path] = append(methods[r.Path], r.Method)
		if r.Method == http.MethodGet {
			methods[r.Path] = append(methods[r.Path], http.MethodHead)
		}
	}
	for path := range methods {
		methods[path] = append(methods[path], http.MethodOptions)
	}
	return methods
}
