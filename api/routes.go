package api

import (
	"context"
	"log/slog"
	"net/http"

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

// Mount registers the JSON interface on e: the routes, the OpenAPI document
// and problem answers for paths under /api/v1 that do not exist.
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
	for _, r := range Routes() {
		e.Add(r.Method, r.Path, r.handler(s, log))
	}
	e.GET("/api/v1/openapi.json", func(c echo.Context) error {
		return c.Blob(http.StatusOK, echo.MIMEApplicationJSON, spec)
	})
	e.Any("/api/v1/*", func(c echo.Context) error { return answer(c, log, echo.ErrNotFound) })
	return nil
}
