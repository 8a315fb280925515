package api_test

import (
	"context"
	"errors"
	"mime"
	"net/http"
	"net/http/httptest"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"thole/api"
)

// description is the served OpenAPI document as an independent library reads
// it.
var description = sync.OnceValues(func() (*openapi3.T, error) {
	return openapi3.NewLoader().LoadFromData(request(http.MethodGet, specPath, "", "").Body.Bytes())
})

func described(t reporter) *openapi3.T {
	t.Helper()
	doc, err := description()
	if err != nil {
		t.Fatalf("reading the description: %v", err)
	}
	return doc
}

// TestDescriptionIsValid validates the document, with its schemas and their
// defaults, against OpenAPI 3.1 and JSON Schema 2020-12.
func TestDescriptionIsValid(t *testing.T) {
	doc := described(t)
	same(t, "version", doc.OpenAPI, "3.1.0")
	if err := doc.Validate(context.Background()); err != nil {
		t.Error(err)
	}
}

func TestDescriptionIsServed(t *testing.T) {
	w := request(http.MethodGet, specPath, "", "")
	same(t, "status", w.Code, http.StatusOK)
	same(t, "type", w.Header().Get("Content-Type"), "application/json")
	built, err := api.DescribeRoutes()
	if err != nil {
		t.Fatal(err)
	}
	same(t, "served document against one worked out afresh", w.Body.String(), string(built))
}

func TestDescriptionHasEveryRouteAndNothingElse(t *testing.T) {
	var routes, operations []string
	for _, r := range api.Routes() {
		routes = append(routes, r.Method+" "+openPath(r.Path))
	}
	for path, item := range described(t).Paths.Map() {
		for method, op := range item.Operations() {
			operations = append(operations, method+" "+path)
			if op.Summary == "" || op.Description == "" {
				t.Errorf("%s %s: no summary or description", method, path)
			}
			if code := request(method, path, "", "").Code; code == http.StatusMethodNotAllowed {
				t.Errorf("%s %s is not allowed", method, path)
			}
		}
	}
	slices.Sort(routes)
	slices.Sort(operations)
	same(t, "operations", operations, routes)
	for _, r := range server().Routes() {
		if r.Path != specPath && r.Path != "/api/v1/*" && described(t).Paths.Value(openPath(r.Path)) == nil {
			t.Errorf("%s is served and not described", r.Path)
		}
	}
}

// openPath writes the parameters of a path as OpenAPI does.
func openPath(path string) string { return pathParameter.ReplaceAllString(path, "{$1}") }

var pathParameter = regexp.MustCompile(`:([a-z_]+)`)

func TestPathsDescribeTheirParameters(t *testing.T) {
	for path, item := range described(t).Paths.Map() {
		for method, op := range item.Operations() {
			var names []string
			for _, p := range op.Parameters {
				if p.Value.In == "path" {
					names = append(names, "{"+p.Value.Name+"}")
				}
			}
			same(t, method+" "+path+": parameters", names, regexp.MustCompile(`{[^}]+}`).FindAllString(path, -1))
		}
	}
}

// sample is a request that is answered.
type sample struct {
	path string // the route's own where empty
	body object
}

// samples holds requests of every route with all that an answer may hold or
// lack.
var samples = map[string]func(testing.TB) []sample{
	"POST " + solvePath: bodies(
		parsed(fullScull), scull(), sweep(), bareScull(), bareSweep(),
		drop(scull(), "targets.catch_deg"), drop(scull(), "targets.finish_deg"),
		put(put(scull(), "posture.shin_deg", 80), "seat.heel_to_pin_cm", 10),      // the knees and the lean run out
		put(put(scull(), "posture.shin_deg", 100), "targets.catch_deg", -66),      // the lean runs out
		put(put(scull(), "seat.heel_to_pin_cm", 5), "targets.catch_deg", -85),     // no lean reaches the catch
		put(put(scull(), "handle.finish_height_cm", 8), "targets.finish_deg", 47), // no layback draws to the finish
		put(scull(), "seat.gate_difference_cm", -1.5), put(scull(), "rower.age_years", 14), put(sweep(), "seat.side", "starboard"),
	),
	"POST " + calibratePath:   bodies(parsed(fullArcs), measured(-66, 0, scull()), measured(0, 34, sweep()), measured(-30, 0, scull())),
	"POST " + rulesPath:       bodies(parsed(fullRules), parsed(`{"boat_class": "1x"}`), parsed(`{"boat_class": "1x", "hull_mass_kg": 13}`)),
	"GET /api/v1/jobs/:id":    someJobs,
	"DELETE /api/v1/jobs/:id": someJobs,
}

func bodies(list ...object) func(testing.TB) []sample {
	return func(testing.TB) []sample {
		var s []sample
		for _, o := range list {
			s = append(s, sample{body: o})
		}
		return s
	}
}

// someJobs starts a job that is done and some that have failed.
func someJobs(t testing.TB) []sample {
	t.Helper()
	var list []sample
	faults := []error{nil, errors.New("a fault"), &api.Invalid{Fields: []api.FieldProblem{{}, {Row: 2, Column: "mass_kg"}}}, &api.Unreachable{Limit: "no_catch"},
		&api.Conflict{Version: 2, Changes: []api.RecordChange{{}, {From: new(string), To: new(string)}}},
		&api.Unmeetable{Rules: []string{"a must row"}}}
	for _, fault := range faults {
		job, err := service.StartJob(func(context.Context) (any, error) { return 7, fault })
		if err != nil {
			t.Fatal(err)
		}
		for job.State == "running" {
			if job, err = service.Job(t.Context(), api.JobRequest{ID: job.ID}); err != nil {
				t.Fatal(err)
			}
			runtime.Gosched()
		}
		list = append(list, sample{path: "/api/v1/jobs/" + job.ID})
	}
	return list
}

// send sends a sample of a route and returns the answer, which must be good.
func (s sample) send(t testing.TB, route string) any {
	t.Helper()
	method, path, _ := strings.Cut(route, " ")
	if s.path != "" {
		path = s.path
	}
	body, contentType := "", ""
	if s.body != nil {
		body, contentType = encoded(t, s.body), jsonType
	}
	w := request(method, path, contentType, body)
	if parts := forms[s.path]; parts != nil {
		w = sendParts(strings.TrimPrefix(route, method+" "), nil, parts...)
	}
	kind, _, err := mime.ParseMediaType(w.Header().Get("Content-Type"))
	if w.Code >= 300 || kind != answerType(t, route) || err != nil {
		t.Fatalf("%s: %d %s: %.400s", route, w.Code, w.Header().Get("Content-Type"), w.Body)
	}
	if kind != jsonType {
		return w.Body.String()
	}
	return decoded[any](t, w.Body.Bytes())
}

// answerType returns the media type of good answers.
func answerType(t reporter, route string) string {
	t.Helper()
	for kind := range goodAnswer(t, route) {
		return kind
	}
	t.Fatalf("%s: no answer is described", route)
	return ""
}

// operation returns the description of a route.
func operation(t reporter, route string) *openapi3.Operation {
	t.Helper()
	method, path, _ := strings.Cut(route, " ")
	item := described(t).Paths.Value(openPath(path))
	if item == nil || item.GetOperation(method) == nil {
		t.Fatalf("%s is not described", route)
	}
	return item.GetOperation(method)
}

// requestSchema returns the schema of a route's body, nil when it has none.
func requestSchema(t reporter, route string) *openapi3.Schema {
	t.Helper()
	body := operation(t, route).RequestBody
	if body == nil {
		return nil
	}
	if !body.Value.Required {
		t.Errorf("%s: the body may be left out", route)
	}
	for _, content := range body.Value.Content {
		return content.Schema.Value
	}
	return nil
}

// answerSchema returns the schema of good answers.
func answerSchema(t reporter, route string) *openapi3.Schema {
	t.Helper()
	return goodAnswer(t, route)[answerType(t, route)].Schema.Value
}

// goodAnswer returns what is described of good answers, by media type.
func goodAnswer(t reporter, route string) openapi3.Content {
	t.Helper()
	for _, status := range []string{"200", "201"} {
		if r := operation(t, route).Responses.Value(status); r != nil {
			return r.Value.Content
		}
	}
	return nil
}

// compiled holds the schemas of the description by their JSON pointer, as a
// second independent library compiles them.
var compiled sync.Map

// fits checks a document against the schema at a place within an operation.
func fits(t reporter, route string, value any, place ...string) error {
	t.Helper()
	method, path, _ := strings.Cut(route, " ")
	pointer := "#"
	for _, name := range append([]string{"paths", openPath(path), strings.ToLower(method)}, place...) {
		pointer += "/" + strings.NewReplacer("~", "~0", "/", "~1", "{", "%7B", "}", "%7D").Replace(name)
	}
	schema, ok := compiled.Load(pointer)
	if !ok {
		doc, err := jsonschema.UnmarshalJSON(request(http.MethodGet, specPath, "", "").Body)
		if err != nil {
			t.Fatalf("reading the description: %v", err)
		}
		c := jsonschema.NewCompiler()
		if err := c.AddResource("description.json", doc); err != nil {
			t.Fatalf("reading the description: %v", err)
		}
		s, err := c.Compile("description.json" + pointer)
		if err != nil {
			t.Fatalf("%s: %v", pointer, err)
		}
		schema, _ = compiled.LoadOrStore(pointer, s)
	}
	return schema.(*jsonschema.Schema).Validate(value)
}

func fitsRequest(t reporter, route string, value any) error {
	t.Helper()
	return fits(t, route, value, "requestBody", "content", jsonType, "schema")
}

// TestRequestsAndAnswersFitTheirDescription sends every sample of every route.
func TestRequestsAndAnswersFitTheirDescription(t *testing.T) {
	for _, r := range api.Routes() {
		route := r.Method + " " + r.Path
		if samples[route] == nil {
			t.Errorf("%s: no sample", route)
			continue
		}
		for i, s := range samples[route](t) {
			if s.body != nil {
				if err := fitsRequest(t, route, s.body); err != nil {
					t.Errorf("%s, request %d: %v", route, i, err)
				}
			}
			status := "200"
			if operation(t, route).Responses.Value(status) == nil {
				status = "201"
			}
			if err := fits(t, route, s.send(t, route), "responses", status, "content", answerType(t, route), "schema"); err != nil {
				t.Errorf("%s, answer %d: %v", route, i, err)
			}
		}
	}
}

// settled names places of which the same is true in every answer, though their
// types allow for more elsewhere.
var settled []string

// usage counts how members of answers were met: there, null or lacking.
type usage struct{ there, null, lacking int }

// TestAnswersUseTheirDescriptionUp checks member by member, over all samples,
// that nothing is answered that is not described, that what may lack does, and
// that what may be null is.
func TestAnswersUseTheirDescriptionUp(t *testing.T) {
	for route, list := range samples {
		met := map[string]*usage{}
		for _, s := range list(t) {
			meet(t, route, answerSchema(t, route), s.send(t, route), met)
		}
		for place, u := range met {
			if slices.ContainsFunc(settled, func(p string) bool { return strings.HasPrefix(place, p) }) {
				continue
			}
			if u.there == 0 {
				t.Errorf("%s is never answered", place)
			}
			if strings.HasSuffix(place, "?") != (u.lacking > 0) {
				t.Errorf("%s lacks in %d answers", place, u.lacking)
			}
			if strings.Contains(place, "|null") != (u.null > 0) {
				t.Errorf("%s is null in %d answers", place, u.null)
			}
		}
	}
}

// meet walks an answer along its schema. Members are named by their place,
// with |null where they may be null and ? where they may lack.
func meet(t *testing.T, place string, schema *openapi3.Schema, value any, met map[string]*usage) {
	t.Helper()
	if len(schema.AnyOf) > 0 {
		schema = schema.AnyOf[0].Value // the other is null
	}
	switch value := value.(type) {
	case []any:
		for _, item := range value {
			meet(t, place, schema.Items.Value, item, met)
		}
	case object:
		for name, v := range value {
			if each := schema.AdditionalProperties.Schema; each != nil {
				meet(t, place, each.Value, v, met)
			} else if schema.Properties[name] == nil {
				t.Errorf("%s.%s is answered and not described", place, name)
			}
		}
		for name, member := range schema.Properties {
			inner := memberPlace(place, name, schema)
			u := met[inner]
			if u == nil {
				u = new(usage)
				met[inner] = u
			}
			switch v, ok := value[name]; {
			case !ok:
				u.lacking++
			case v == nil:
				u.null++
			default:
				u.there++
				meet(t, inner, member.Value, v, met)
			}
		}
	}
}

func memberPlace(place, name string, holder *openapi3.Schema) string {
	inner := strings.TrimSuffix(strings.TrimSuffix(place, "?"), "|null") + "." + name
	if s := holder.Properties[name].Value; s.Type.Includes("null") || len(s.AnyOf) > 0 {
		inner += "|null"
	}
	if !slices.Contains(holder.Required, name) {
		inner += "?"
	}
	return inner
}

// TestNumbersSayTheirUnit: a number's own name, its group's name or its
// description tells what it measures.
func TestNumbersSayTheirUnit(t *testing.T) {
	for name, schema := range described(t).Components.Schemas {
		for member, s := range schema.Value.Properties {
			if !s.Value.Type.Includes("number") || hasUnit(member) || s.Value.Description != "" || unitOnGroup[name] {
				continue
			}
			t.Errorf("%s.%s: neither unit nor description", name, member)
		}
	}
}

// unitOnGroup names the schemas of groups whose name carries the unit.
var unitOnGroup = map[string]bool{"SegmentValues": true, "SegmentsInput": true, "Pitch": true, "Overlap": true}

func hasUnit(name string) bool {
	return slices.ContainsFunc([]string{"_cm", "_m", "_deg", "_kg", "_s", "_ms", "_years", "_m_s", "_w", "_n", "ratio"}, func(unit string) bool {
		return strings.HasSuffix(name, unit)
	})
}

func TestGroupsCarryTheUnit(t *testing.T) {
	for _, schema := range described(t).Components.Schemas {
		for member, s := range schema.Value.Properties {
			group := s.Ref[strings.LastIndexByte(s.Ref, '/')+1:]
			for _, option := range s.Value.AnyOf {
				group += option.Ref[strings.LastIndexByte(option.Ref, '/')+1:]
			}
			if unitOnGroup[group] && !hasUnit(member) {
				t.Errorf("%s holds %s without naming the unit", member, group)
			}
		}
	}
}

// TestProblemsFitTheirDescription provokes every status that is described.
func TestProblemsFitTheirDescription(t *testing.T) {
	for route, text := range full {
		path := strings.TrimPrefix(route, "POST ")
		met := map[string]bool{}
		for status, w := range map[int]*httptest.ResponseRecorder{
			http.StatusBadRequest:            post(t, path, "{"),
			http.StatusUnsupportedMediaType:  request(http.MethodPost, path, "text/plain", text),
			http.StatusRequestEntityTooLarge: post(t, path, text+strings.Repeat(" ", 1<<20)),
			http.StatusUnprocessableEntity:   post(t, path, `{"x": 1}`),
			http.StatusMethodNotAllowed:      request(http.MethodGet, path, "", ""),
		} {
			checkProblem(t, route, w, status)
			met[strconv.Itoa(status)] = true
		}
		for status := range operation(t, route).Responses.Map() {
			if !met[status] && status != "200" && status != "default" {
				t.Errorf("%s: %s is described and was not met", route, status)
			}
		}
	}
	checkProblem(t, "POST "+solvePath, post(t, solvePath, put(scull(), "seat.heel_to_pin_cm", 60)), http.StatusUnprocessableEntity)
	checkProblem(t, "GET /api/v1/jobs/:id", request(http.MethodGet, "/api/v1/jobs/none", "", ""), http.StatusNotFound)
}

func checkProblem(t *testing.T, route string, w *httptest.ResponseRecorder, status int) {
	t.Helper()
	problem(t, w, status)
	place := strconv.Itoa(status)
	if operation(t, route).Responses.Value(place) == nil {
		place = "default"
	}
	err := fits(t, route, decoded[any](t, w.Body.Bytes()), "responses", place, "content", "application/problem+json", "schema")
	if err != nil {
		t.Errorf("%s: %d: %v", route, status, err)
	}
}
