package api

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"mime"
	"net/http"
	"reflect"
	"strings"

	"github.com/labstack/echo/v4"

	"thole/api/store"
)

// maxBody bounds a JSON request.
const maxBody = 1 << 20

// Problem is an error on the wire, as RFC 9457 has it.
type Problem struct {
	Type   string         `json:"type"`
	Title  string         `json:"title"`
	Status int            `json:"status" description:"The status of the answer once more."`
	Detail string         `json:"detail,omitempty"`
	Limit  string         `json:"limit,omitempty" description:"Which limit stops the body, where the rig cannot be rowed."`
	Rules  []string       `json:"rules,omitempty" description:"Rules that no seat order keeps together."`
	Spare  *bool          `json:"irreducible,omitempty" description:"Any of the rules left out, the others can be kept."`
	Least  *bool          `json:"smallest,omitempty" description:"No fewer rules are in conflict."`
	Errors []FieldProblem `json:"errors,omitempty" description:"One entry a field."`

	Version int64          `json:"version,omitempty" description:"Of the record as it stands, where it has moved on."`
	Changes []RecordChange `json:"changes,omitempty" description:"What others changed since the version that was sent, oldest first."`
}

// malformed is the error of a request that is no JSON document of its type.
type malformed struct {
	status int
	detail string
}

func (e *malformed) Error() string { return e.detail }

// call adapts a use case to an Echo handler: strict reading of address and
// body, the use case, whole encoding before the status goes out.
func call[In, Out any](r *Route, s *Service, use func(context.Context, In) (Out, error), log *slog.Logger) echo.HandlerFunc {
	return func(c echo.Context) error {
		var in In
		if r.hasBody() {
			if err := decode(c.Request(), &in); err != nil {
				return answer(c, log, err)
			}
		}
		if err := bindAddress(c, &in); err != nil {
			return answer(c, log, err)
		}
		if r.big && prefersJob(c.Request()) {
			return sendJob(c, s, log, func(ctx context.Context) (any, error) { return use(ctx, in) })
		}
		out, err := use(c.Request().Context(), in)
		if err != nil {
			return answer(c, log, err)
		}
		return send(c, log, r.status(), echo.MIMEApplicationJSON, out)
	}
}

// prefersJob tells whether the request asks to be answered while the work goes
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
func sendJob(c echo.Context, s *Service, log *slog.Logger, work func(context.Context) (any, error)) error {
	job, err := s.StartJob(work)
	if err != nil {
		return answer(c, log, err)
	}
	c.Response().Header().Set(echo.HeaderLocation, "/api/v1/jobs/"+job.ID)
	c.Response().Header().Set("Preference-Applied", "respond-async")
	return send(c, log, http.StatusAccepted, echo.MIMEApplicationJSON, job)
}

// decode reads one JSON document of the wanted shape and nothing else.
func decode(r *http.Request, into any) error {
	if kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || kind != echo.MIMEApplicationJSON {
		return &malformed{http.StatusUnsupportedMediaType, "Send application/json."}
	}
	body, err := io.ReadAll(http.MaxBytesReader(nil, r.Body, maxBody))
	if err != nil {
		return explainReading(err)
	}
	var doc json.RawMessage
	if err := json.Unmarshal(body, &doc); err != nil {
		return explainSyntax(err)
	}
	if doc[0] != '{' {
		return &malformed{http.StatusBadRequest, "Send one JSON object, not " + kindFound(doc[0]) + "."}
	}
	if err := checkShape(doc, reflect.TypeOf(into)); err != nil {
		return err
	}
	return json.Unmarshal(doc, into)
}

func explainReading(err error) error {
	if large := new(http.MaxBytesError); errors.As(err, &large) {
		return &malformed{http.StatusRequestEntityTooLarge, fmt.Sprintf("The document is larger than %d kB.", large.Limit>>10)}
	}
	return &malformed{http.StatusBadRequest, "The request broke off."}
}

func explainSyntax(err error) error {
	detail := "This is not one JSON document: " + err.Error()
	if at := new(json.SyntaxError); errors.As(err, &at) {
		detail += fmt.Sprintf(", at byte %d", at.Offset)
	}
	return &malformed{http.StatusBadRequest, detail + "."}
}

// answer sends err as a problem. What is nobody's business but ours is logged
// and told without detail.
func answer(c echo.Context, log *slog.Logger, err error) error {
	p := problemOf(err)
	if p.Status == http.StatusInternalServerError {
		log.Error("request failed", "method", c.Request().Method, "path", c.Request().URL.Path, "err", err)
	}
	return send(c, log, p.Status, "application/problem+json", p)
}

func problemOf(err error) Problem {
	err = recordError(err)
	if errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		err = errGivenUp
	}
	p := Problem{Type: "about:blank", Status: http.StatusInternalServerError}
	var bad *Invalid
	var reach *Unreachable
	var rules *Unmeetable
	var table *Unreadable
	var form *malformed
	var moved *Conflict
	var http4 *echo.HTTPError
	switch {
	case errors.As(err, &bad):
		p.Status, p.Detail, p.Errors = http.StatusUnprocessableEntity, "Some values need another look.", bad.Fields
	case errors.As(err, &reach):
		p.Status, p.Detail, p.Limit = http.StatusUnprocessableEntity, reach.Text, reach.Limit
	case errors.As(err, &rules):
		p.Status, p.Detail, p.Rules = http.StatusUnprocessableEntity, rules.Error(), rules.Rules
		p.Spare, p.Least = &rules.Irreducible, &rules.Smallest
	case errors.As(err, &table):
		p.Status, p.Detail = http.StatusUnprocessableEntity, table.Text
	case errors.As(err, &form):
		p.Status, p.Detail = form.status, form.detail
	case errors.As(err, &moved):
		p.Status, p.Detail, p.Version, p.Changes = http.StatusConflict, sentence(moved.Error()), moved.Version, moved.Changes
	case errors.As(err, &http4):
		p.Status = http4.Code
	default:
		p.told(err)
	}
	p.Title = http.StatusText(p.Status)
	return p
}

// errGivenUp says that work ended because nobody waits for it any more, or for
// want of time.
var errGivenUp = errors.New("the work was given up before it was done")

// statuses are the errors that are told in their own words.
var statuses = []struct {
	err    error
	status int
}{
	{ErrNotFound, http.StatusNotFound},
	{ErrBusy, http.StatusServiceUnavailable},
	{errGivenUp, http.StatusServiceUnavailable},
	{ErrStale, http.StatusConflict},
	{store.ErrNotFound, http.StatusNotFound},
	{store.ErrTaken, http.StatusConflict},
	{store.ErrInUse, http.StatusConflict},
	{store.ErrKeyReused, http.StatusConflict},
	{store.ErrSheetDone, http.StatusConflict},
	{store.ErrInvalid, http.StatusUnprocessableEntity},
	{store.ErrFull, http.StatusInsufficientStorage},
	{store.ErrReadOnly, http.StatusInsufficientStorage},
	{store.ErrBusy, http.StatusServiceUnavailable},
}

// told fills in status and words of an error that is told as it is.
func (p *Problem) told(err error) {
	for _, s := range statuses {
		if errors.Is(err, s.err) {
			p.Status, p.Detail = s.status, sentence(s.err.Error())
			return
		}
	}
}

// send encodes v whole before the status goes out.
func send(c echo.Context, log *slog.Logger, status int, contentType string, v any) error {
	body, err := json.Marshal(v)
	if err != nil {
		log.Error("encoding an answer", "path", c.Request().URL.Path, "err", err)
		status, contentType = http.StatusInternalServerError, "application/problem+json"
		body = []byte(`{"type":"about:blank","title":"Internal Server Error","status":500}`)
	}
	return c.Blob(status, contentType, body)
}
