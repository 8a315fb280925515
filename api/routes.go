package api

import (
	"context"
	"log/slog"
	"net/http"
	"reflect"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"
)

// Route is one operation of the HTTP interface.
type Route struct {
	Method, Path string
	Summary      string
	Description  string
	in, out      any    // zero values of the wire types
	media        string // of an answer that is a file; "" is JSON
	created      bool   // a success makes something new
	big          bool   // may be asked for as a job
	handler      func(*Route, *Service, *slog.Logger) echo.HandlerFunc
}

// hasBody tells whether the operation reads a body, JSON unless it is a form.
func (r *Route) hasBody() bool { return r.Method == http.MethodPost || r.Method == http.MethodPut }

// hasForm tells whether the body is multipart/form-data.
func (r *Route) hasForm() bool {
	t := reflect.TypeOf(r.in)
	for i := range t.NumField() {
		if _, ok := t.Field(i).Tag.Lookup("formData"); ok {
			return true
		}
	}
	return false
}

// status is the status of a success.
func (r *Route) status() int {
	if r.created {
		return http.StatusCreated
	}
	return http.StatusOK
}

// route describes a use case that reads address and body and answers JSON.
func route[In, Out any](method, path, summary, description string, use func(*Service, context.Context, In) (Out, error)) Route {
	return Route{
		Method: method, Path: path, Summary: summary, Description: description, in: *new(In), out: *new(Out),
		handler: func(r *Route, s *Service, log *slog.Logger) echo.HandlerFunc {
			return call(r, s, func(ctx context.Context, in In) (Out, error) { return use(s, ctx, in) }, log)
		},
	}
}

// get, put and remove describe a use case behind GET, PUT and DELETE.
func get[In, Out any](path, summary, description string, use func(*Service, context.Context, In) (Out, error)) Route {
	return route(http.MethodGet, path, summary, description, use)
}

func put[In, Out any](path, summary, description string, use func(*Service, context.Context, In) (Out, error)) Route {
	return route(http.MethodPut, path, summary, description, use)
}

func remove[In, Out any](path, summary, description string, use func(*Service, context.Context, In) (Out, error)) Route {
	return route(http.MethodDelete, path, summary, description, use)
}

// post describes a use case behind POST that computes something, create one
// that puts something new on record.
func post[In, Out any](path, summary, description string, use func(*Service, context.Context, In) (Out, error)) Route {
	return route(http.MethodPost, path, summary, description, use)
}

func create[In, Out any](path, summary, description string, use func(*Service, context.Context, In) (Out, error)) Route {
	r := route(http.MethodPost, path, summary, description, use)
	r.created = true
	return r
}

// asJob lets an operation be asked for as a job.
func (r Route) asJob() Route {
	r.big = true
	return r
}

// Routes lists every operation of the JSON interface by area.
func Routes() []Route {
	return slices.Concat(
		riggingRoutes(),
		recordRoutes(),
		sheetRoutes(),
		squadRoutes(),
		seatRaceRoutes(),
		selectionRoutes(),
		strokeRoutes(),
		jobRoutes(),
	)
}

func riggingRoutes() []Route {
	return []Route{
		post("/api/v1/rigging/solve", "Solve a seat",
			"What one rower does in one seat: arc, gearing, heights, pitch, entry, what the targets ask of the body, what each centimetre changes.",
			(*Service).SolveSeat),
		post("/api/v1/rigging/fit", "Fit a seat",
			"The settings within their ranges and on their steps that bring one rower to the targets, and what keeps them away.",
			(*Service).FitSeat),
		post("/api/v1/rigging/crew", "Fit a crew",
			"The rig of a whole boat that brings every rower nearest to common targets with one set of oars, and the list of work.",
			(*Service).FitCrew),
		post("/api/v1/rigging/calibrate", "Calibrate a posture",
			"The posture that explains arcs measured on the water.",
			(*Service).Calibrate),
		post("/api/v1/rigging/rules", "Check the rules",
			"The usual federation rules on masses, lightweights, shoes, blades and bow ball.",
			(*Service).CheckRules),
	}
}

func jobRoutes() []Route {
	return []Route{
		get("/api/v1/jobs/:id", "Look at a job", "How far big work has come, and its result once it is done.", (*Service).Job),
		remove("/api/v1/jobs/:id", "Cancel a job", "Stops big work, and answers what it has found by then where that is something.", (*Service).CancelJob),
	}
}

// specPath serves the description of the routes.
const specPath = "/api/v1/openapi.json"

// Mount registers the JSON interface on e: the routes, the OpenAPI document,
// and problem answers for other methods of their paths and for other paths
// under /api/v1.
func Mount(e *echo.Echo, s *Service, log *slog.Logger) error {
	spec, err := OpenAPI()
	if err != nil {
		return err
	}
	e.HTTPErrorHandler = func(err error, c echo.Context) {
		if !c.Response().Committed {
			_ = answer(c, log, err)
		}
	}
	e.Any("/api/v1/*", func(c echo.Context) error { return answer(c, log, echo.ErrNotFound) })
	routes := Routes()
	// The router would take the line above for the other methods of a path;
	// what is registered later replaces what was registered before.
	for path, methods := range methodsByPath(routes) {
		e.Any(path, func(c echo.Context) error {
			c.Response().Header().Set(echo.HeaderAllow, strings.Join(methods, ", "))
			return answer(c, log, echo.ErrMethodNotAllowed)
		})
	}
	for _, r := range routes {
		e.Add(r.Method, r.Path, r.handler(&r, s, log))
	}
	e.GET(specPath, func(c echo.Context) error {
		return c.Blob(http.StatusOK, echo.MIMEApplicationJSON, spec)
	})
	return nil
}

func methodsByPath(routes []Route) map[string][]string {
	methods := map[string][]string{specPath: {http.MethodGet}}
	for _, r := range routes {
		methods[r.Path] = append(methods[r.Path], r.Method)
	}
	return methods
}
