package apitest

import (
	"cmp"
	"context"
	"errors"
	"mime"
	"net/http"
	"net/http/httptest"
	"regexp"
	"runtime"
	"strings"
	"sync"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"thole/api/access"
	"thole/api/jobs"
	"thole/api/lineup"
	"thole/api/records"
	"thole/api/wire"
)

// description is the served OpenAPI document as an independent library reads
// it.
var description = sync.OnceValues(func() (*openapi3.T, error) {
	return openapi3.NewLoader().LoadFromData(Request(http.MethodGet, SpecPath, "", "").Body.Bytes())
})

func Described(t Reporter) *openapi3.T {
	t.Helper()
	doc, err := description()
	if err != nil {
		t.Fatalf("reading the description: %v", err)
	}
	return doc
}

// OpenPath writes the parameters of a path as OpenAPI does.
func OpenPath(path string) string { return pathParameter.ReplaceAllString(path, "{$1}") }

var pathParameter = regexp.MustCompile(`:([a-z_]+)`)

// sample is a request that is answered.
type sample struct {
	path string // the route's own where empty
	Body Object
}

// askers are those who have signed in and send the samples of a path; others come from
// a server without accounts.
var askers = map[string]*access.Viewer{}

// Samples holds requests of every route with all that an answer may hold or
// lack.
var Samples = map[string]func(testing.TB) []sample{
	"POST " + SolvePath: bodies(
		Parsed(FullScull), Scull(), Sweep(), BareScull(), BareSweep(),
		Drop(Scull(), "targets.catch_deg"), Drop(Scull(), "targets.finish_deg"),
		Put(Put(Scull(), "posture.shin_deg", 80), "seat.heel_to_pin_cm", 10),      // the knees and the lean run out
		Put(Put(Scull(), "posture.shin_deg", 100), "targets.catch_deg", -66),      // the lean runs out
		Put(Put(Scull(), "seat.heel_to_pin_cm", 5), "targets.catch_deg", -85),     // no lean reaches the catch
		Put(Put(Scull(), "handle.finish_height_cm", 8), "targets.finish_deg", 47), // no layback draws to the finish
		sittingTall(), Put(BareScull(), "readings", []any{Object{"catch_cm": 70.0}}),
		Put(Put(Put(Put(BareScull(), "seat.heel_to_pin_cm", 12), "rower.sex", "male"), "rower.stature_cm", 193), "rower.mass_kg", 92), // the stretcher stands too near the bow
		Put(BareScull(), "targets.catch_deg", -75), // too far, and the rower's size is not known
		Put(Scull(), "seat.gate_difference_cm", -1.5), Put(Scull(), "rower.age_years", 14), Put(Sweep(), "seat.side", "starboard"),
	),
	"POST " + CalibratePath:            bodies(Parsed(FullArcs), Measured(-66, 0, Scull()), Measured(0, 34, Sweep()), Measured(-30, 0, Scull())),
	"POST /api/v1/rigging/centimetres": bodies(Parsed(FullScull), Scull(), Sweep(), BareSweep()),
	"POST " + RulesPath:                bodies(Parsed(FullRules), Parsed(`{"boat_class": "1x"}`), Parsed(`{"boat_class": "1x", "hull_mass_kg": 13}`)),
	"GET /api/v1/jobs/:id":             someJobs,
	"DELETE /api/v1/jobs/:id":          someJobs,
}

// sittingTall is a rower of whom a reading was taken, in a boat whose stretcher
// is read in holes.
func sittingTall() Object {
	o := Put(Put(BareScull(), "rower.sex", "female"), "rower.stature_cm", 181.0)
	o["readings"] = []any{Parsed(`{"finish_cm": 60, "catch_cm": 74}`)}
	o["stretcher"] = Parsed(`{"mark": "hole", "offset_cm": 12, "hole_pitch_cm": 1.5}`)
	return o
}

func bodies(list ...Object) func(testing.TB) []sample {
	return func(testing.TB) []sample {
		var s []sample
		for _, o := range list {
			s = append(s, sample{Body: o})
		}
		return s
	}
}

// someJobs starts a job that is done and some that have failed.
func someJobs(t testing.TB) []sample {
	t.Helper()
	var list []sample
	faults := []error{nil, errors.New("a fault"), &wire.Invalid{Fields: []wire.FieldProblem{{}, {Row: 2, Column: "mass_kg"}}}, &wire.Unreachable{Limit: "no_catch"},
		&records.Conflict{Version: 2, Changes: []wire.RecordChange{{}, {From: new(string), To: new(string)}}},
		&lineup.Unmeetable{Rules: []string{"a must row"}}}
	for _, fault := range faults {
		job, err := Service.Jobs.StartJob(func(ctx context.Context) (any, error) {
			if fault == nil {
				jobs.Note(ctx)(3)
			}
			return 7, fault
		})
		if err != nil {
			t.Fatal(err)
		}
		for job.State == "running" {
			if job, err = Service.Jobs.Job(t.Context(), jobs.JobRequest{ID: job.ID}); err != nil {
				t.Fatal(err)
			}
			runtime.Gosched()
		}
		list = append(list, sample{path: "/api/v1/jobs/" + job.ID})
	}
	return list
}

// Path is where a sample of a route is sent.
func (s sample) Path(route string) string {
	_, path, _ := strings.Cut(route, " ")
	return cmp.Or(s.path, path)
}

// Send sends a sample of a route and returns the answer, which must be good.
func (s sample) Send(t testing.TB, route string) any {
	t.Helper()
	method, path, _ := strings.Cut(route, " ")
	if s.path != "" {
		path = s.path
	}
	body, contentType := "", ""
	if s.Body != nil {
		body, contentType = Encoded(t, s.Body), JSONType
	}
	w := requestAs(askers[s.path], method, path, contentType, body)
	if parts := forms[s.path]; parts != nil {
		w = SendParts(strings.TrimPrefix(route, method+" "), nil, parts...)
	}
	kind, _, err := mime.ParseMediaType(w.Header().Get("Content-Type"))
	if w.Code >= 300 || kind != AnswerType(t, route) || err != nil {
		t.Fatalf("%s: %d %s: %.400s", route, w.Code, w.Header().Get("Content-Type"), w.Body)
	}
	if kind != JSONType {
		return w.Body.String()
	}
	return Decoded[any](t, w.Body.Bytes())
}

// SendAs sends a sample of a route that can be had as a table, as the format.
func (s sample) SendAs(t testing.TB, route, format string) *httptest.ResponseRecorder {
	t.Helper()
	method, path, _ := strings.Cut(route, " ")
	path = cmp.Or(s.path, path)
	mark := "?"
	if strings.Contains(path, "?") {
		mark = "&"
	}
	body, contentType := "", ""
	if s.Body != nil {
		body, contentType = Encoded(t, s.Body), JSONType
	}
	return Request(method, path+mark+"format="+format, contentType, body)
}

// AnswerType returns the media type of good answers, JSON where others can be
// asked for.
func AnswerType(t Reporter, route string) string {
	t.Helper()
	if GoodAnswer(t, route)[JSONType] != nil {
		return JSONType
	}
	for kind := range GoodAnswer(t, route) {
		return kind
	}
	t.Fatalf("%s: no answer is described", route)
	return ""
}

// Operation returns the description of a route.
func Operation(t Reporter, route string) *openapi3.Operation {
	t.Helper()
	method, path, _ := strings.Cut(route, " ")
	item := Described(t).Paths.Value(OpenPath(path))
	if item == nil || item.GetOperation(method) == nil {
		t.Fatalf("%s is not described", route)
	}
	return item.GetOperation(method)
}

// GoodAnswer returns what is described of good answers, by media type.
func GoodAnswer(t Reporter, route string) openapi3.Content {
	t.Helper()
	for _, status := range []string{"200", "201"} {
		if r := Operation(t, route).Responses.Value(status); r != nil {
			return r.Value.Content
		}
	}
	return nil
}

// Settled names places of which the same is true in every answer, though their
// types allow for more elsewhere.
var Settled []string
