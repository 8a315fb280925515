// Package apitest holds what the tests of the areas share: a server over records
// that are thrown away, requests and the checks of their answers, and records as the
// areas need them.
package apitest

import (
	"bytes"
	"context"
	"encoding/json"
	"log/slog"
	"maps"
	"math"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/labstack/echo/v4"

	"thole/api"
	"thole/api/access"
	"thole/api/store"
	"thole/api/storetest"
	"thole/api/wire"
)

// Reporter is what the helpers need of *testing.T, *testing.B and *rapid.T.
type Reporter interface {
	Helper()
	Errorf(format string, args ...any)
	Fatalf(format string, args ...any)
}

const (
	SolvePath     = "/api/v1/rigging/solve"
	CalibratePath = "/api/v1/rigging/calibrate"
	RulesPath     = "/api/v1/rigging/rules"
	SpecPath      = "/api/v1/openapi.json"

	JSONType = "application/json"
)

// Service stands behind Server, over Scratch, whose file is thrown away.
var (
	Scratch = scratchStore()
	Service = api.NewService(Scratch)
)

func scratchStore() *store.Store {
	folder, err := os.MkdirTemp("", "thole-api-test-")
	if err != nil {
		panic(err)
	}
	records, err := store.Open(context.Background(), filepath.Join(folder, "club.db"))
	if err != nil {
		panic(err)
	}
	// What is thrown away need not reach the disk first.
	if err := records.Unsynced(context.Background()); err != nil {
		panic(err)
	}
	closeStore = func() { _, _ = records.Close(), os.RemoveAll(folder) }
	return records
}

var closeStore func()

// demoRecords is filled once for all the tests of a package.
var demoRecords = storetest.Filled(func(records *store.Store) error {
	service := api.NewService(records)
	defer service.Close()
	return service.Demo.FillDemo(context.Background())
})

// DemoRecords are the records of the demo club, of the test's own.
func DemoRecords(t testing.TB) *store.Store { t.Helper(); return storetest.Copy(t, demoRecords) }

// DemoService is a service over [DemoRecords].
func DemoService(t testing.TB) *api.Service {
	t.Helper()
	s := api.NewService(DemoRecords(t))
	t.Cleanup(s.Close)
	return s
}

// Main runs the tests of a package, removes the records that they shared and
// returns the exit code.
func Main(m *testing.M) int {
	code := m.Run()
	Service.Close()
	closeStore()
	return code
}

var Server = sync.OnceValue(func() *echo.Echo {
	e := echo.New()
	api.Mount(e, Service, slog.New(slog.DiscardHandler))
	return e
})

// Request sends body, which may be empty, as contentType.
func Request(method, path, contentType, body string) *httptest.ResponseRecorder {
	return RequestAs(nil, method, path, contentType, body)
}

// RequestAs is Request by somebody who has signed in.
func RequestAs(who *access.Viewer, method, path, contentType, body string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	if who != nil {
		r = r.WithContext(access.With(r.Context(), who))
	}
	if contentType != "" {
		r.Header.Set("Content-Type", contentType)
	}
	w := httptest.NewRecorder()
	Server().ServeHTTP(w, r)
	return w
}

// Post sends a JSON document: text as it is, any other value encoded.
func Post(t Reporter, path string, body any) *httptest.ResponseRecorder {
	t.Helper()
	text, ok := body.(string)
	if !ok {
		text = Encoded(t, body)
	}
	return Request(http.MethodPost, path, JSONType, text)
}

func Encoded(t Reporter, v any) string {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatalf("encoding %v: %v", v, err)
	}
	return string(text)
}

// Object is a JSON object.
type Object = map[string]any

// Answered posts a document that must be answered, and returns the answer.
func Answered(t Reporter, path string, body any) Object {
	t.Helper()
	w := Post(t, path, body)
	if w.Code != http.StatusOK || w.Header().Get("Content-Type") != JSONType {
		t.Fatalf("POST %s: %d %s: %.400s", path, w.Code, w.Header().Get("Content-Type"), w.Body)
	}
	return Decoded[Object](t, w.Body.Bytes())
}

func Solved(t Reporter, body any) Object {
	t.Helper()
	return Answered(t, SolvePath, body)
}

// Decoded reads a JSON document that holds nothing but what T knows.
func Decoded[T any](t Reporter, text []byte) T {
	t.Helper()
	var v T
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&v); err != nil {
		t.Fatalf("decoding %s: %v", text, err)
	}
	return v
}

// Problem returns an answer that must be a problem of the given status.
func Problem(t Reporter, w *httptest.ResponseRecorder, status int) wire.Problem {
	t.Helper()
	if w.Code != status || w.Header().Get("Content-Type") != "application/problem+json" {
		t.Fatalf("got %d %s: %.400s; want problem %d", w.Code, w.Header().Get("Content-Type"), w.Body, status)
	}
	p := Decoded[wire.Problem](t, w.Body.Bytes())
	if kind, ok := wire.TypeNamed(strings.TrimPrefix(p.Type, wire.ProblemAddress)); !ok || p.Status != status || p.Title != kind.Title {
		t.Errorf("type, title, status = %q, %q, %d; want a type that is explained, its title, %d", p.Type, p.Title, p.Status, status)
	}
	return p
}

// Refused posts a document that must be refused for its values, and returns
// what is said by pointer.
func Refused(t Reporter, path string, body any) map[string]string {
	t.Helper()
	p := Problem(t, Post(t, path, body), http.StatusUnprocessableEntity)
	said := map[string]string{}
	for _, f := range p.Errors {
		if _, twice := said[f.Pointer]; twice {
			t.Errorf("%s has two entries", f.Pointer)
		}
		if f.Pointer == "" || f.Detail == "" {
			t.Errorf("entry without place or detail: %+v", f)
		}
		said[f.Pointer] = f.Detail
	}
	return said
}

func Pointers(said map[string]string) []string { return slices.Sorted(maps.Keys(said)) }

// At returns the value at a path such as gearing.curve.0.ratio.
func At(t Reporter, v any, path string) any {
	t.Helper()
	for name := range strings.SplitSeq(path, ".") {
		found := false
		switch holder := v.(type) {
		case Object:
			v, found = holder[name]
		case []any:
			if i := strings.IndexByte("0123456789", name[0]); len(name) == 1 && i >= 0 && i < len(holder) {
				v, found = holder[i], true
			}
		}
		if !found {
			t.Fatalf("nothing at %s of %s", name, path)
		}
	}
	return v
}

func Number(t Reporter, v any, path string) float64 {
	t.Helper()
	n, ok := At(t, v, path).(float64)
	if !ok {
		t.Fatalf("%s is no number: %v", path, At(t, v, path))
	}
	return n
}

// Put sets the value at a dotted path and returns the document.
func Put(o Object, path string, value any) Object {
	names := strings.Split(path, ".")
	inner := o
	for _, name := range names[:len(names)-1] {
		next, ok := inner[name].(Object)
		if !ok {
			next = Object{}
			inner[name] = next
		}
		inner = next
	}
	inner[names[len(names)-1]] = value
	return o
}

// Drop removes the value at a dotted path and returns the document.
func Drop(o Object, path string) Object {
	holder, name := o, path
	if i := strings.LastIndexByte(path, '.'); i >= 0 {
		name = path[i+1:]
		for part := range strings.SplitSeq(path[:i], ".") {
			holder = holder[part].(Object)
		}
	}
	delete(holder, name)
	return o
}

// Near fails unless got lies within tol of want; NaN always fails.
func Near(t Reporter, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.8g, want %.8g ± %.3g", what, got, want, tol)
	}
}

func Same(t Reporter, what string, got, want any) {
	t.Helper()
	if !reflect.DeepEqual(got, want) {
		t.Errorf("%s = %v, want %v", what, got, want)
	}
}

const ScullExample = `{
	"boat_class": "1x",
	"seat": {
		"span_cm": 159, "oar_length_cm": 288, "inboard_cm": 88, "gate_height_cm": 16.5, "gate_difference_cm": 1,
		"heel_to_pin_cm": 23.4, "heel_depth_cm": 17, "plate_angle_deg": 42,
		"blade_pitch_deg": 0, "stern_pitch_deg": 4, "outward_pitch_deg": 0
	},
	"rower": {
		"sex": "male", "stature_cm": 185, "arm_span_cm": null, "sitting_height_cm": null, "mass_kg": 85, "age_years": 24,
		"segments_cm": {
			"shank": 44.64, "thigh": 43.52, "trunk": 53.28, "arm": 69.72, "half_shoulder": 18.04, "half_depth": 11.78,
			"ankle_along": 6.25, "ankle_off": 8.65, "ball": 21.05, "hip_height": 8
		}
	},
	"posture": {
		"shin_deg": 90, "lean_deg": 25, "layback_deg": 28, "protraction_cm": 5, "dorsiflexion_deg": 35,
		"finish_knee_deg": 175, "finish_gap_cm": 3, "rotation_max_deg": 45, "side_lean_cm": 5
	},
	"handle": {"catch_height_cm": 25, "finish_height_cm": 25},
	"targets": {"catch_deg": -64, "finish_deg": 44}
}`

const SweepSeat = `{"spread_cm": 85, "side": "port", "oar_length_cm": 372, "inboard_cm": 115, "heel_to_pin_cm": 20}`

// Scull returns the documented example afresh.
func Scull() Object { return Parsed(ScullExample) }

// Sweep returns the example's rower in a seat of an eight.
func Sweep() Object {
	o := Scull()
	o["boat_class"], o["seat"] = "8+", Parsed(SweepSeat)
	Put(o, "posture.protraction_cm", 9)
	Put(o, "targets.catch_deg", -53)
	return Put(o, "targets.finish_deg", 33)
}

// BareScull and bareSweep state only what must be stated.
func BareScull() Object {
	return Parsed(`{"boat_class": "1x", "seat": {"span_cm": 159, "oar_length_cm": 288, "inboard_cm": 88, "heel_to_pin_cm": 23.4}}`)
}

func BareSweep() Object { return Object{"boat_class": "8+", "seat": Parsed(SweepSeat)} }

// InPosture states how the rower sits, so that the answer expects nothing.
func InPosture(o Object) Object {
	return Put(Put(o, "posture.shin_deg", 90.0), "posture.lean_deg", 25.0)
}

func Parsed(text string) Object {
	var o Object
	if err := json.Unmarshal([]byte(text), &o); err != nil {
		panic(err)
	}
	return o
}

// FullScull is the example with every optional member stated.
var FullScull = func() string {
	o := Put(Put(Put(Scull(), "rower.arm_span_cm", 188), "rower.sitting_height_cm", 96), "rower.draw_height_cm", 33)
	Put(Put(o, "seat.seat_over_water_cm", 7.5), "seat.side", "port")
	o["limits"] = Parsed(`{"lean_deg": 30, "layback_deg": 35, "knee_flexion_deg": 140, "trunk_thigh_deg": 165}`)
	o["approach"] = Parsed(`{"boat_speed_m_s": 4.5, "edge_height_cm": 5, "blade_speed_m_s": 2, "overdepth_cm": 5}`)
	o["displacement_kg"], o["tape_cm"] = 102.0, 0.5
	o["blade"], o["level"], o["lightweight"] = "hatchet", "club", false
	o["usual_arc"] = Parsed(`{"catch_deg": -62, "finish_deg": 43}`)
	o["arcs"] = []any{Object{
		"seat":      Parsed(`{"span_cm": 159, "oar_length_cm": 288, "inboard_cm": 88, "heel_to_pin_cm": 23.4}`),
		"catch_deg": -63.0, "finish_deg": 43.0, "sd_deg": 0.5,
	}}
	o["readings"] = []any{Parsed(`{"finish_cm": 57.5, "catch_cm": 75, "outside_hand": false, "heel_to_pin_cm": 23.4}`)}
	o["stretcher"] = Parsed(`{"mark": "hole", "offset_cm": 12, "toe_along_cm": 25, "hole_pitch_cm": 1.5}`)
	text, err := json.Marshal(o)
	if err != nil {
		panic(err)
	}
	return string(text)
}()
