// Package samples holds requests of every route with all that an answer may hold
// or lack, for the tests that hold the interface against its description.
package samples

import (
	"cmp"
	"context"
	"errors"
	"mime"
	"net/http/httptest"
	"runtime"
	"strings"
	"testing"

	"thole/api/access"
	"thole/api/apitest"
	"thole/api/jobs"
	"thole/api/lineup"
	"thole/api/records"
	"thole/api/wire"
)

// Sample is a request that is answered.
type Sample struct {
	path string // the route's own where empty
	Body apitest.Object
}

// askers are those who have signed in and send the samples of a path; others come from
// a server without accounts.
var askers = map[string]*access.Viewer{}

// Of holds requests of every route with all that an answer may hold or
// lack.
var Of = map[string]func(testing.TB) []Sample{
	"POST " + apitest.SolvePath: bodies(
		apitest.Parsed(apitest.FullScull), apitest.Scull(), apitest.Sweep(), apitest.BareScull(), apitest.BareSweep(),
		apitest.Drop(apitest.Scull(), "targets.catch_deg"), apitest.Drop(apitest.Scull(), "targets.finish_deg"),
		apitest.Put(apitest.Put(apitest.Scull(), "posture.shin_deg", 80), "seat.heel_to_pin_cm", 10),      // the knees and the lean run out
		apitest.Put(apitest.Put(apitest.Scull(), "posture.shin_deg", 100), "targets.catch_deg", -66),      // the lean runs out
		apitest.Put(apitest.Put(apitest.Scull(), "seat.heel_to_pin_cm", 5), "targets.catch_deg", -85),     // no lean reaches the catch
		apitest.Put(apitest.Put(apitest.Scull(), "handle.finish_height_cm", 8), "targets.finish_deg", 47), // no layback draws to the finish
		sittingTall(), apitest.Put(apitest.BareScull(), "readings", []any{apitest.Object{"catch_cm": 70.0}}),
		apitest.Put(apitest.Put(apitest.Put(apitest.Put(apitest.BareScull(), "seat.heel_to_pin_cm", 12), "rower.sex", "male"), "rower.stature_cm", 193), "rower.mass_kg", 92), // the stretcher stands too near the bow
		apitest.Put(apitest.BareScull(), "targets.catch_deg", -75), // too far, and the rower's size is not known
		apitest.Put(apitest.Scull(), "seat.gate_difference_cm", -1.5), apitest.Put(apitest.Scull(), "rower.age_years", 14), apitest.Put(apitest.Sweep(), "seat.side", "starboard"),
	),
	"POST " + apitest.CalibratePath:    bodies(apitest.Parsed(apitest.FullArcs), apitest.Measured(-66, 0, apitest.Scull()), apitest.Measured(0, 34, apitest.Sweep()), apitest.Measured(-30, 0, apitest.Scull())),
	"POST /api/v1/rigging/centimetres": bodies(apitest.Parsed(apitest.FullScull), apitest.Scull(), apitest.Sweep(), apitest.BareSweep()),
	"POST " + apitest.RulesPath:        bodies(apitest.Parsed(apitest.FullRules), apitest.Parsed(`{"boat_class": "1x"}`), apitest.Parsed(`{"boat_class": "1x", "hull_mass_kg": 13}`)),
	"GET /api/v1/jobs/:id":             someJobs,
	"DELETE /api/v1/jobs/:id":          someJobs,
}

// sittingTall is a rower of whom a reading was taken, in a boat whose stretcher
// is read in holes.
func sittingTall() apitest.Object {
	o := apitest.Put(apitest.Put(apitest.BareScull(), "rower.sex", "female"), "rower.stature_cm", 181.0)
	o["readings"] = []any{apitest.Parsed(`{"finish_cm": 60, "catch_cm": 74}`)}
	o["stretcher"] = apitest.Parsed(`{"mark": "hole", "offset_cm": 12, "hole_pitch_cm": 1.5}`)
	return o
}

func bodies(list ...apitest.Object) func(testing.TB) []Sample {
	return func(testing.TB) []Sample {
		var s []Sample
		for _, o := range list {
			s = append(s, Sample{Body: o})
		}
		return s
	}
}

// someJobs starts a job that is done and some that have failed.
func someJobs(t testing.TB) []Sample {
	t.Helper()
	var list []Sample
	faults := []error{nil, errors.New("a fault"), &wire.Invalid{Fields: []wire.FieldProblem{{}, {Row: 2, Column: "mass_kg"}}}, &wire.Unreachable{Limit: "no_catch"},
		&records.Conflict{Version: 2, Changes: []wire.RecordChange{{}, {From: new(string), To: new(string)}}},
		&lineup.Unmeetable{Rules: []string{"a must row"}}}
	for _, fault := range faults {
		job, err := apitest.Service.Jobs.StartJob(t.Context(), func(ctx context.Context) (any, error) {
			if fault == nil {
				jobs.Note(ctx)(3)
			}
			return 7, fault
		})
		if err != nil {
			t.Fatal(err)
		}
		for job.State == "running" {
			if job, err = apitest.Service.Jobs.Job(t.Context(), jobs.JobRequest{ID: job.ID}); err != nil {
				t.Fatal(err)
			}
			runtime.Gosched()
		}
		list = append(list, Sample{path: "/api/v1/jobs/" + job.ID})
	}
	return list
}

// Path is where a sample of a route is sent.
func (s Sample) Path(route string) string {
	_, path, _ := strings.Cut(route, " ")
	return cmp.Or(s.path, path)
}

// Send sends a sample of a route and returns the answer, which must be good.
func (s Sample) Send(t testing.TB, route string) any {
	t.Helper()
	method, path, _ := strings.Cut(route, " ")
	if s.path != "" {
		path = s.path
	}
	body, contentType := "", ""
	if s.Body != nil {
		body, contentType = apitest.Encoded(t, s.Body), apitest.JSONType
	}
	w := apitest.RequestAs(askers[s.path], method, path, contentType, body)
	if parts := forms[s.path]; parts != nil {
		w = apitest.SendParts(strings.TrimPrefix(route, method+" "), nil, parts...)
	}
	kind, _, err := mime.ParseMediaType(w.Header().Get("Content-Type"))
	if w.Code >= 300 || kind != apitest.AnswerType(t, route) || err != nil {
		t.Fatalf("%s: %d %s: %.400s", route, w.Code, w.Header().Get("Content-Type"), w.Body)
	}
	if kind != apitest.JSONType {
		return w.Body.String()
	}
	return apitest.Decoded[any](t, w.Body.Bytes())
}

// SendAs sends a sample of a route that can be had as a table, as the format.
func (s Sample) SendAs(t testing.TB, route, format string) *httptest.ResponseRecorder {
	t.Helper()
	method, path, _ := strings.Cut(route, " ")
	path = cmp.Or(s.path, path)
	mark := "?"
	if strings.Contains(path, "?") {
		mark = "&"
	}
	body, contentType := "", ""
	if s.Body != nil {
		body, contentType = apitest.Encoded(t, s.Body), apitest.JSONType
	}
	return apitest.Request(method, path+mark+"format="+format, contentType, body)
}
