// Package rest is the JSON interface's adapter, the only room that knows Echo: it
// turns use cases into routes, reads parameters and bodies and holds them against
// their shape, answers results and problems, and writes the OpenAPI document from the
// same types. It knows no use case.
package rest

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"mime"
	"net/http"
	"os"
	"reflect"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"thole/api/once"
	"thole/api/records"
	"thole/api/store"
	"thole/api/wire"
)

// MaxBody bounds a JSON request, bytes; our judgement: far beyond what any page sends.
const MaxBody = 1 << 20

// Malformed is the error of a request that is no JSON document of its type.
type Malformed struct {
	Status int
	Detail string
}

func (e *Malformed) Error() string { return e.Detail }

// Problem answers with the detail.
func (e *Malformed) Problem() wire.Problem { return wire.Problem{Status: e.Status, Detail: e.Detail} }

// call adapts a use case to an Echo handler: strict reading of address and
// body, the use case, whole encoding before the status goes out.
func call[In, Out any](r *Route, jobs Jobs, use func(context.Context, In) (Out, error), log *slog.Logger) echo.HandlerFunc {
	return func(c echo.Context) error {
		var in In
		if err := r.read(c, &in); err != nil {
			return answer(c, log, err)
		}
		if r.Big {
			return r.work(c, jobs, log, func(ctx context.Context) (any, error) {
				return use(ctx, in)
			})
		}
		out, err := paged(c, r, func(ctx context.Context) (Out, error) { return use(ctx, in) })
		if err != nil {
			return answer(c, log, err)
		}
		r.locate(c, out)
		return send(c, log, r.status(), echo.MIMEApplicationJSON, out)
	}
}

// read takes in the body and the address of a request.
func (r *Route) read(c echo.Context, into any) error {
	if r.hasBody() {
		if err := r.decode(c.Request(), into); err != nil {
			return err
		}
	}
	if err := r.bindAddress(c, into); err != nil {
		return err
	}
	sign(c.Request().Context(), into)
	return nil
}

// prefersJob reports whether the request asks to be answered while the work goes
// on (RFC 7240, respond-async).
func prefersJob(r *http.Request) bool {
	for _, line := range r.Header.Values("Prefer") {
		for _, wish := range strings.Split(line, ",") {
			if strings.EqualFold(strings.TrimSpace(wish), "respond-async") {
				return true
			}
		}
	}
	return false
}

// sendJob starts the work as a job and answers where to look for it.
func sendJob(c echo.Context, jobs Jobs, log *slog.Logger, work func(context.Context) (any, error)) error {
	job, err := jobs.StartJob(c.Request().Context(), work)
	if err != nil {
		return answer(c, log, err)
	}
	c.Response().Header().Set("Preference-Applied", "respond-async")
	return accepted(c, log, job)
}

// jobsPath is what the address of a job begins with.
const jobsPath = "/api/v1/jobs/"

// jobAt returns the job at an address, and false where there is none that goes on or is
// done.
func jobAt(jobs Jobs, address string) (wire.Job, bool) {
	id, ok := strings.CutPrefix(address, jobsPath)
	if !ok {
		return wire.Job{}, false
	}
	return jobs.Look(id)
}

// accepted answers where to look for work that goes on.
func accepted(c echo.Context, log *slog.Logger, job wire.Job) error {
	c.Response().Header().Set(echo.HeaderLocation, jobsPath+job.ID)
	c.Response().Header().Set(echo.HeaderRetryAfter, "1")
	return send(c, log, http.StatusAccepted, echo.MIMEApplicationJSON, job)
}

// atOnce is how long a client is kept waiting for big work, beyond which it is told
// where to look for what comes of it. Proxies commonly give up after 30 or 60 s
// (common practice).
const atOnce = 25 * time.Second

// work does big work, as a job where that is asked for or where it takes long.
func (r *Route) work(c echo.Context, jobs Jobs, log *slog.Logger, work func(context.Context) (any, error)) error {
	work = r.counted(c, work)
	if prefersJob(c.Request()) {
		return sendJob(c, jobs, log, work)
	}
	out, job, err := jobs.Await(c.Request().Context(), atOnce, work)
	switch {
	case err != nil:
		return answer(c, log, err)
	case job != nil:
		return accepted(c, log, *job)
	}
	r.locate(c, out)
	return send(c, log, r.status(), echo.MIMEApplicationJSON, out)
}

// counted is work that counts once where its request does. The work may go on when the
// request has been answered, and looks at nothing of it then.
func (r *Route) counted(c echo.Context, work func(context.Context) (any, error)) func(context.Context) (any, error) {
	asked, path := c.Request().Context(), c.Request().URL.Path
	keeper, ok := c.Get(keeperKey).(*once.Keeper)
	if !ok {
		return work
	}
	return func(ctx context.Context) (any, error) {
		ctx = store.CarryOnce(asked, ctx)
		out, err := work(ctx)
		if err != nil {
			keeper.Ended(ctx, Explain(err).Status, "")
			return out, err
		}
		keeper.Ended(ctx, r.status(), r.addressOf(path, out))
		return out, nil
	}
}

// decode reads one JSON document of the wanted shape and nothing else.
func (route *Route) decode(r *http.Request, into any) error {
	if kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || kind != echo.MIMEApplicationJSON {
		return &Malformed{http.StatusUnsupportedMediaType, "Send application/json."}
	}
	body, err := io.ReadAll(http.MaxBytesReader(nil, r.Body, MaxBody))
	if err != nil {
		return ExplainReading(err)
	}
	var doc json.RawMessage
	if err := json.Unmarshal(body, &doc); err != nil {
		return explainSyntax(err)
	}
	if doc[0] != '{' {
		return &Malformed{http.StatusBadRequest, "Send one JSON object, not " + kindFound(doc[0]) + "."}
	}
	if err := route.aside.check(doc, reflect.TypeOf(into)); err != nil {
		return err
	}
	return json.Unmarshal(doc, into)
}

// ExplainReading reports why the body of a request could not be read.
func ExplainReading(err error) error {
	if known := wire.Failure(nil); errors.As(err, &known) {
		return err
	}
	if errors.Is(err, os.ErrDeadlineExceeded) {
		return &Malformed{http.StatusRequestTimeout, "The request came too slowly and was given up."}
	}
	if large := new(http.MaxBytesError); errors.As(err, &large) {
		return &Malformed{http.StatusRequestEntityTooLarge, fmt.Sprintf("The document is larger than %d kB.", large.Limit>>10)}
	}
	return &Malformed{http.StatusBadRequest, "The request broke off."}
}

func explainSyntax(err error) error {
	detail := "This is not one JSON document: " + err.Error()
	if at := new(json.SyntaxError); errors.As(err, &at) {
		detail += fmt.Sprintf(", at byte %d", at.Offset)
	}
	return &Malformed{http.StatusBadRequest, detail + "."}
}

// answer sends err as a problem. What is nobody's business but ours is logged
// and told without detail.
func answer(c echo.Context, log *slog.Logger, err error) error {
	p := Explain(err)
	if p.Status == http.StatusInternalServerError {
		log.Error("request failed", "method", c.Request().Method, "path", wire.LoggedPath(c.Request().URL.Path), "err", err)
	}
	if p.Status == http.StatusServiceUnavailable {
		c.Response().Header().Set(echo.HeaderRetryAfter, RetryAfter)
	}
	return send(c, log, p.Status, "application/problem+json", p)
}

// Explain describes an error as the wire has it. One that is nobody's
// business but ours has status 500 and no detail.
func Explain(err error) wire.Problem {
	p := wire.Problem{Status: http.StatusInternalServerError}
	var known wire.Failure
	var http4 *echo.HTTPError
	switch err = records.Refusal(records.RecordError(err)); {
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		p = errGivenUp.Problem()
	case errors.As(err, &known):
		p = known.Problem()
	case errors.As(err, &http4):
		p.Status = http4.Code
	}
	return p.Typed()
}

// errGivenUp says that work ended because nobody waits for it any more, or for
// want of time.
var errGivenUp = &wire.Refusal{Status: http.StatusServiceUnavailable, Text: "the work was given up before it was done"}

// RetryAfter says after how many seconds it makes sense to ask again where the
// server is busy, by our own judgement.
const RetryAfter = "5"

// send encodes v whole before the status goes out.
func send(c echo.Context, log *slog.Logger, status int, contentType string, v any) error {
	body, err := json.Marshal(v)
	if err != nil {
		log.Error("encoding an answer", "path", wire.LoggedPath(c.Request().URL.Path), "err", err)
		status, contentType = http.StatusInternalServerError, "application/problem+json"
		body = []byte(`{"type":"` + wire.ProblemAddress + `fault","title":"The fault is ours","status":500}`)
	}
	c.Response().Header().Set(echo.HeaderCacheControl, "no-store")
	if status == http.StatusOK && asRead(c.Request().Method) == http.MethodGet {
		return sendTagged(c, contentType, tagOf(v, body), body)
	}
	return c.Blob(status, contentType, body)
}
