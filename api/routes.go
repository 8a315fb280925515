package api

import (
	"context"
	"log/slog"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"
)

// Route is one operation of the HTTP interface.
type Route struct {
	Method, Path string
	Summary      string
	Description  string
	in, out      any // zero values of the wire types; nil when there is none
	handler      func(*Service, *slog.Logger) echo.HandlerFunc
}

// post describes a use case that reads and answers JSON.
func post[In, Out any](path, summary, description string, use func(*Service, context.Context, In) (Out, error)) Route {
	return Route{
		Method: http.MethodPost, Path: path, Summary: summary, Description: description, in: *new(In), out: *new(Out),
		handler: func(s *Service, log *slog.Logger) echo.HandlerFunc {
			return call(func(ctx context.Context, in In) (Out, error) { return use(s, ctx, in) }, log)
		},
	}
}

// Routes lists every operation of the JSON interface.
func Routes() []Route {
	return []Route{
		post("/api/v1/rigging/solve", "Solve a seat",
			"What one rower does in one seat: arc, gearing, heights, pitch, entry, what the targets ask of the body, what each centimetre changes.",
			(*Service).SolveSeat),
		post("/api/v1/rigging/calibrate", "Calibrate a posture",
			"The posture that explains arcs measured on the water.",
			(*Service).Calibrate),
		post("/api/v1/rigging/rules", "Check the rules",
			"The usual federation rules on masses, lightweights, shoes, blades and bow ball.",
			(*Service).CheckRules),
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
		e.Add(r.Method, r.Path, r.handler(s, log))
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
