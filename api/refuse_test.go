package api_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"math"
	"net/http"
	"net/http/httptest"
	"reflect"
	"strings"
	"testing"

	"github.com/labstack/echo/v4"

	"thole/api"
	"thole/api/apitest"
	"thole/api/seat"
	"thole/api/wire"
)

func TestRequestsThatAreNoDocument(t *testing.T) {
	for name, c := range map[string]struct {
		contentType, body string
		status            int
		says              string
	}{
		"empty":                 {apitest.JSONType, "", 400, "not one JSON document"},
		"broken off":            {apitest.JSONType, `{"boat_class": "1x"`, 400, "byte 19"},
		"not JSON":              {apitest.JSONType, `boat_class=1x`, 400, "byte 1"},
		"garbage after the end": {apitest.JSONType, apitest.ScullExample + "x", 400, "after top-level value"},
		"second document":       {apitest.JSONType, apitest.ScullExample + apitest.ScullExample, 400, "after top-level value"},
		"list":                  {apitest.JSONType, `[` + apitest.ScullExample + `]`, 400, "not a list"},
		"null":                  {apitest.JSONType, `null`, 400, "not null"},
		"number":                {apitest.JSONType, `1.5`, 400, "not a number"},
		"text":                  {apitest.JSONType, `"1x"`, 400, "not text"},
		"form":                  {"application/x-www-form-urlencoded", "boat_class=1x", 415, "application/json"},
		"plain text":            {"text/plain", apitest.ScullExample, 415, "application/json"},
		"nothing declared":      {"", apitest.ScullExample, 415, "application/json"},
		"malformed type":        {"application/json;;", apitest.ScullExample, 415, "application/json"},
		"too large":             {apitest.JSONType, apitest.ScullExample + strings.Repeat(" ", 1<<20), 413, "1024 kB"},
	} {
		t.Run(name, func(t *testing.T) {
			p := apitest.Problem(t, apitest.Request(http.MethodPost, apitest.SolvePath, c.contentType, c.body), c.status)
			if !strings.Contains(p.Detail, c.says) || strings.Contains(p.Detail, "api.") || len(p.Errors) != 0 {
				t.Errorf("%+v does not say %q", p, c.says)
			}
		})
	}
}

func TestBodiesUpToTheBoundAreRead(t *testing.T) {
	w := apitest.Request(http.MethodPost, apitest.SolvePath, apitest.JSONType, apitest.ScullExample+strings.Repeat(" ", 1<<20-len(apitest.ScullExample)))
	apitest.Same(t, "status", w.Code, http.StatusOK)
}

func TestContentTypeMayNameACharset(t *testing.T) {
	apitest.Same(t, "status", apitest.Request(http.MethodPost, apitest.SolvePath, "Application/JSON; charset=utf-8", apitest.ScullExample).Code, http.StatusOK)
}

func TestUnknownRoutes(t *testing.T) {
	for _, path := range []string{"/api/v1/", "/api/v1/rigging", "/api/v1/rigging/solve/", "/api/v1/rigging/solve/1", "/api/v1/openapi.jsonx", "/elsewhere"} {
		for _, method := range []string{http.MethodGet, http.MethodPost, http.MethodDelete} {
			apitest.Problem(t, apitest.Request(method, path, apitest.JSONType, "{}"), http.StatusNotFound)
		}
	}
}

func TestOtherMethods(t *testing.T) {
	for path, allowed := range map[string]string{apitest.SolvePath: "POST", apitest.CalibratePath: "POST", apitest.RulesPath: "POST", apitest.SpecPath: "GET"} {
		for _, method := range []string{"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE"} {
			if method == allowed || method == "OPTIONS" || method == "HEAD" && allowed == "GET" {
				continue
			}
			w := apitest.Request(method, path, apitest.JSONType, apitest.ScullExample)
			apitest.Problem(t, w, http.StatusMethodNotAllowed)
			apitest.Same(t, method+" "+path+": Allow", w.Header().Get("Allow"), strings.Replace(allowed, "GET", "GET, HEAD", 1)+", OPTIONS")
		}
	}
}

func TestFaultsOfShapeAreNamedInPlace(t *testing.T) {
	for name, c := range map[string]struct {
		path, body string
		want       map[string]string
	}{
		"unknown names at every depth": {
			apitest.SolvePath, `{"boat": 1, "seat": {"span": 1, "span_mm": {"a": 2}}, "rower": {"segments_cm": {"leg": null}}}`,
			map[string]string{
				"#/boat": unknownName, "#/seat/span": unknownName, "#/seat/span_mm": unknownName, "#/rower/segments_cm/leg": unknownName,
			},
		},
		"names in another case": {
			apitest.SolvePath, `{"BOAT_CLASS": "1x", "Seat": {}}`,
			map[string]string{"#/BOAT_CLASS": unknownName, "#/Seat": unknownName},
		},
		"names given twice": {
			apitest.SolvePath, `{"boat_class": "1x", "boat_class": "2x", "seat": {"span_cm": 159, "span_cm": 160}}`,
			map[string]string{"#/boat_class": givenTwice, "#/seat/span_cm": givenTwice},
		},
		"names a pointer must escape": {
			apitest.SolvePath, `{"a/b": 1, "c~d": 1, "e f": 1, "g.h[0]": 1, "": 1}`,
			map[string]string{"#/a~1b": unknownName, "#/c~0d": unknownName, "#/e%20f": unknownName, "#/g.h%5B0%5D": unknownName, "#/": unknownName},
		},
		"wrong types": {
			apitest.SolvePath, `{"boat_class": 1, "seat": [], "rower": {"sex": true, "stature_cm": "185", "segments_cm": 5}, "handle": "25", "tape_cm": {}}`,
			map[string]string{
				"#/boat_class": "Here belongs text, not a number.", "#/seat": "Here belongs an object, not a list.",
				"#/rower/sex": "Here belongs text, not true or false.", "#/rower/stature_cm": "Here belongs a number, not text.",
				"#/rower/segments_cm": "Here belongs an object, not a number.", "#/handle": "Here belongs an object, not text.",
				"#/tape_cm": "Here belongs a number, not an object.",
			},
		},
		"numbers no machine holds": {
			apitest.SolvePath, `{"seat": {"span_cm": 1e999, "inboard_cm": -1e400}}`,
			map[string]string{"#/seat/span_cm": "This number is out of range.", "#/seat/inboard_cm": "This number is out of range."},
		},
		"items of lists": {
			apitest.CalibratePath, `{"arcs": [{"seat": {"span_cm": "a"}}, 3, {"seat": {}, "x": 1, "seat": {}}]}`,
			map[string]string{
				"#/arcs/0/seat/span_cm": "Here belongs a number, not text.", "#/arcs/1": "Here belongs an object, not a number.",
				"#/arcs/2/x": unknownName, "#/arcs/2/seat": givenTwice,
			},
		},
		"lists": {
			apitest.RulesPath, `{"lightweight": "yes", "masses_kg": [70, "71"], "hull_mass_kg": [14]}`,
			map[string]string{
				"#/lightweight": "Here belongs true or false, not text.", "#/masses_kg/1": "Here belongs a number, not text.",
				"#/hull_mass_kg": "Here belongs a number, not a list.",
			},
		},
	} {
		t.Run(name, func(t *testing.T) { apitest.Same(t, "said", apitest.Refused(t, c.path, c.body), c.want) })
	}
}

const (
	unknownName = "This name is not known here."
	givenTwice  = "This name stands here twice."
)

func TestFieldsAreNamedAsPeopleWriteThem(t *testing.T) {
	p := apitest.Problem(t, apitest.Post(t, apitest.CalibratePath, `{"boat_class": "1x", "arcs": [{"seat": {"span_cm": true}}]}`), 422)
	apitest.Same(t, "errors", p.Errors, []wire.FieldProblem{
		{Field: "arcs[0].seat.span_cm", Pointer: "#/arcs/0/seat/span_cm", Detail: "Here belongs a number, not true or false."},
	})
	p = apitest.Problem(t, apitest.Post(t, apitest.CalibratePath, apitest.Put(apitest.Measured(-64, 0, apitest.BareScull()), "arcs", []any{apitest.Object{"seat": apitest.Object{"span_cm": 1.59}, "catch_deg": -64}})), 422)
	apitest.Same(t, "field", p.Errors[0].Field, "arcs[0].seat.span_cm")
	apitest.Same(t, "pointer", p.Errors[0].Pointer, "#/arcs/0/seat/span_cm")
}

// TestEveryPointerLeadsSomewhere follows the pointers of a bad request into
// the request.
func TestEveryPointerLeadsSomewhere(t *testing.T) {
	body := `{"boat_class": "1x", "seat": {"span_cm": 1.59, "inboard_cm": 8, "oar_length_cm": 2, "heel_to_pin_cm": -3},
		"rower": {"stature_cm": 18, "segments_cm": {"arm": 1}}, "posture": {"lean_deg": 200}, "targets": {"catch_deg": 64}}`
	said := apitest.Refused(t, apitest.SolvePath, body)
	if len(said) != 8 {
		t.Errorf("%d entries: %v", len(said), said)
	}
	for pointer := range said {
		apitest.At(t, apitest.Parsed(body), strings.ReplaceAll(strings.TrimPrefix(pointer, "#/"), "/", "."))
	}
}

func TestAnswersToFaultyDocumentsAreBounded(t *testing.T) {
	var many strings.Builder
	for i := range 20000 {
		fmt.Fprintf(&many, `"n%d": 1, `, i)
	}
	said := apitest.Refused(t, apitest.SolvePath, `{`+many.String()+`"boat_class": "1x"}`)
	if len(said) != 100 {
		t.Errorf("%d entries for 20000 unknown names", len(said))
	}
	numbers := "[" + strings.Repeat("1,", 100000) + "1]"
	apitest.Same(t, "said of 100001 masses", apitest.Refused(t, apitest.RulesPath, `{"boat_class": "8+", "masses_kg": `+numbers+`}`),
		map[string]string{"#/masses_kg": "100001 masses are too many for a boat of 8."})
	arcs := "[" + strings.Repeat("{},", 50) + "{}]"
	apitest.Same(t, "said of 51 arcs", apitest.Refused(t, apitest.CalibratePath, `{"boat_class": "8+", "arcs": `+arcs+`}`),
		map[string]string{"#/arcs": "At most 50 arcs at a time."})
}

// TestNullStandsForLeftOut: every member that may be left out may be null, and
// that changes nothing.
func TestNullStandsForLeftOut(t *testing.T) {
	for _, path := range paths("", apitest.Scull()) {
		left := apitest.Post(t, apitest.SolvePath, apitest.Drop(apitest.Scull(), path))
		null := apitest.Post(t, apitest.SolvePath, apitest.Put(apitest.Scull(), path, nil))
		if null.Code != left.Code || null.Body.String() != left.Body.String() {
			t.Errorf("%s null: %d %.200s; left out: %d %.200s", path, null.Code, null.Body, left.Code, left.Body)
		}
	}
}

// paths lists the paths of every member of an object.
func paths(prefix string, o apitest.Object) []string {
	var list []string
	for name, v := range o {
		list = append(list, prefix+name)
		if inner, ok := v.(apitest.Object); ok {
			list = append(list, paths(prefix+name+".", inner)...)
		}
	}
	return list
}

// TestServiceRefusesWhatIsNoNumber: callers in Go can state NaN and infinity,
// which JSON cannot. It finds every number of the requests by reflection.
func TestServiceRefusesWhatIsNoNumber(t *testing.T) {
	s, ctx := api.NewService(nil), context.Background()
	checkNumbers(t, func() *seat.SolveRequest {
		r := apitest.Decoded[seat.SolveRequest](t, []byte(apitest.FullScull))
		return &r
	},
		func(r *seat.SolveRequest) error { _, err := s.Seat.SolveSeat(ctx, *r); return err })
	checkNumbers(t, func() *seat.CalibrateRequest {
		r := apitest.Decoded[seat.CalibrateRequest](t, []byte(apitest.FullArcs))
		return &r
	},
		func(r *seat.CalibrateRequest) error { _, err := s.Seat.Calibrate(ctx, *r); return err })
	checkNumbers(t, func() *seat.RulesRequest {
		r := apitest.Decoded[seat.RulesRequest](t, []byte(apitest.FullRules))
		return &r
	},
		func(r *seat.RulesRequest) error { _, err := s.Seat.CheckRules(ctx, *r); return err })
}

func checkNumbers[R any](t *testing.T, request func() *R, use func(*R) error) {
	t.Helper()
	if err := use(request()); err != nil {
		t.Fatalf("without a fault: %v", err)
	}
	count := len(numbersOf(reflect.ValueOf(request())))
	if count < 5 {
		t.Fatalf("%d numbers in %T", count, request())
	}
	for i := range count {
		for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
			r := request()
			numbersOf(reflect.ValueOf(r))[i].SetFloat(v)
			var bad *wire.Invalid
			if err := use(r); !errors.As(err, &bad) {
				t.Errorf("number %d of %T = %v: %v", i, r, v, err)
			}
		}
	}
}

// numbersOf lists the numbers that are stated anywhere in v.
func numbersOf(v reflect.Value) []reflect.Value {
	var list []reflect.Value
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			list = numbersOf(v.Elem())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			list = append(list, numbersOf(v.Field(i))...)
		}
	case reflect.Slice:
		for i := range v.Len() {
			list = append(list, numbersOf(v.Index(i))...)
		}
	case reflect.Float64:
		list = []reflect.Value{v}
	}
	return list
}

func TestWhatIsOursIsToldWithoutDetail(t *testing.T) {
	var log strings.Builder
	e := echo.New()
	api.Mount(e, api.NewService(nil), slog.New(slog.NewTextHandler(&log, nil)))
	e.GET("/fault", func(echo.Context) error { return errors.New("disk 7 of the secret room is full") })
	w := httptest.NewRecorder()
	e.ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/fault", nil))
	p := apitest.Problem(t, w, http.StatusInternalServerError)
	if strings.Contains(w.Body.String(), "secret") || p.Detail != "" {
		t.Errorf("told: %s", w.Body)
	}
	if !strings.Contains(log.String(), "secret") || !strings.Contains(log.String(), "/fault") {
		t.Errorf("logged: %q", log.String())
	}
}

func TestNotOnRecordIs404(t *testing.T) {
	e := echo.New()
	api.Mount(e, api.NewService(nil), slog.New(slog.DiscardHandler))
	e.GET("/missing", func(echo.Context) error { return fmt.Errorf("boat 7: %w", wire.ErrNotFound) })
	w := httptest.NewRecorder()
	e.ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/missing", nil))
	apitest.Problem(t, w, http.StatusNotFound)
}

func TestErrorsReadWell(t *testing.T) {
	_, err := api.NewService(nil).Seat.CheckRules(context.Background(), seat.RulesRequest{BoatClass: "1x", Sex: "x", BowBallCm: new(40.0)})
	apitest.Same(t, "text", err.Error(), "sex: Say female or male, or leave it out.; bow_ball_cm: 40 cm cannot be right: the plausible range is 0.5 to 15 cm. It looks like millimetres: 4 cm?")
	if _, err := json.Marshal(err); err != nil {
		t.Error(err)
	}
}
