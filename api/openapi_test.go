package api_test

import (
	"cmp"
	"context"
	"encoding/json"
	"maps"
	"net/http"
	"net/http/httptest"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"thole/api"
	"thole/api/access"
	"thole/api/apitest"
	"thole/api/apitest/samples"
	"thole/api/rest"
)

// TestDescriptionIsValid validates the document, with its schemas and their
// defaults, against OpenAPI 3.1 and JSON Schema 2020-12.
func TestDescriptionIsValid(t *testing.T) {
	doc := apitest.Described(t)
	apitest.Same(t, "version", doc.OpenAPI, "3.1.0")
	if err := doc.Validate(context.Background()); err != nil {
		t.Error(err)
	}
}

func TestDescriptionIsServed(t *testing.T) {
	w := apitest.Request(http.MethodGet, apitest.SpecPath, "", "")
	apitest.Same(t, "status", w.Code, http.StatusOK)
	apitest.Same(t, "type", w.Header().Get("Content-Type"), "application/json")
	built, err := rest.Describe((&api.Service{}).Routes())
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "served document against one worked out afresh", w.Body.String(), string(built))
}

func TestDescriptionHasEveryRouteAndNothingElse(t *testing.T) {
	var routes, operations []string
	named := map[string]bool{}
	for _, r := range (&api.Service{}).Routes() {
		routes = append(routes, r.Method+" "+apitest.OpenPath(r.Path))
	}
	for path, item := range apitest.Described(t).Paths.Map() {
		for method, op := range item.Operations() {
			operations = append(operations, method+" "+path)
			if op.OperationID == "" || named[op.OperationID] || len(op.Tags) != 1 {
				t.Errorf("%s %s: the name %q is none, or another's, or it has the tags %q", method, path, op.OperationID, op.Tags)
			}
			named[op.OperationID] = true
			if op.Summary == "" || op.Description == "" {
				t.Errorf("%s %s: no summary or description", method, path)
			}
			if code := apitest.Request(method, path, "", "").Code; code == http.StatusMethodNotAllowed {
				t.Errorf("%s %s is not allowed", method, path)
			}
		}
	}
	slices.Sort(routes)
	slices.Sort(operations)
	apitest.Same(t, "operations", operations, routes)
	for _, r := range apitest.Server().Routes() {
		if r.Path != apitest.SpecPath && r.Path != "/api/v1/*" && apitest.Described(t).Paths.Value(apitest.OpenPath(r.Path)) == nil {
			t.Errorf("%s is served and not described", r.Path)
		}
	}
}

func TestPathsDescribeTheirParameters(t *testing.T) {
	for path, item := range apitest.Described(t).Paths.Map() {
		for method, op := range item.Operations() {
			var names []string
			for _, p := range op.Parameters {
				if p.Value.In == "path" {
					names = append(names, "{"+p.Value.Name+"}")
				}
			}
			apitest.Same(t, method+" "+path+": parameters", names, regexp.MustCompile(`{[^}]+}`).FindAllString(path, -1))
		}
	}
}

// requestSchema returns the schema of a route's body, nil when it has none.
func requestSchema(t apitest.Reporter, route string) *openapi3.Schema {
	t.Helper()
	body := apitest.Operation(t, route).RequestBody
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
func answerSchema(t apitest.Reporter, route string) *openapi3.Schema {
	t.Helper()
	return apitest.GoodAnswer(t, route)[apitest.AnswerType(t, route)].Schema.Value
}

// compiled holds the schemas of the description by their JSON pointer, as a
// second independent library compiles them.
var compiled sync.Map

// compiler knows the description, and is used by one at a time.
var (
	compiling sync.Mutex
	compiler  = sync.OnceValues(func() (*jsonschema.Compiler, error) {
		doc, err := jsonschema.UnmarshalJSON(apitest.Request(http.MethodGet, apitest.SpecPath, "", "").Body)
		if err != nil {
			return nil, err
		}
		c := jsonschema.NewCompiler()
		return c, c.AddResource("description.json", doc)
	})
)

// fits checks a document against the schema at a place within an operation.
func fits(t apitest.Reporter, route string, value any, place ...string) error {
	t.Helper()
	method, path, _ := strings.Cut(route, " ")
	pointer := "#"
	for _, name := range append([]string{"paths", apitest.OpenPath(path), strings.ToLower(method)}, place...) {
		pointer += "/" + strings.NewReplacer("~", "~0", "/", "~1", "{", "%7B", "}", "%7D").Replace(name)
	}
	return fitsAt(t, pointer, value)
}

// fitsAt checks a document against the schema at a JSON pointer.
func fitsAt(t apitest.Reporter, pointer string, value any) error {
	t.Helper()
	schema, ok := compiled.Load(pointer)
	if !ok {
		compiling.Lock()
		defer compiling.Unlock()
		c, err := compiler()
		if err != nil {
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

func fitsRequest(t apitest.Reporter, route string, value any) error {
	t.Helper()
	return fits(t, route, value, "requestBody", "content", apitest.JSONType, "schema")
}

// TestSamplesFitTheirDescriptionAndUseItUp sends every sample of every route. Requests
// and answers fit their schemas, and over all samples of a route, member by member,
// nothing is answered that is not described, what may lack does, and what may be null
// is.
func TestSamplesFitTheirDescriptionAndUseItUp(t *testing.T) {
	known := map[string]bool{}
	for _, r := range (&api.Service{}).Routes() {
		known[r.Method+" "+r.Path] = true
	}
	for _, route := range writesFirst(known) {
		if samples.Of[route] == nil {
			t.Errorf("%s: no sample", route)
			continue
		}
		met := map[string]*usage{}
		for i, s := range samples.Of[route](t) {
			if s.Body != nil {
				if err := fitsRequest(t, route, s.Body); err != nil {
					t.Errorf("%s, request %d: %v", route, i, err)
				}
			}
			answer := s.Send(t, route)
			if err := fitsAnswer(t, route, answer); err != nil {
				t.Errorf("%s, answer %d: %v", route, i, err)
			}
			meet(t, route, answerSchema(t, route), answer, met)
		}
		usedUp(t, met)
	}
	for route := range samples.Of {
		if !known[route] {
			t.Errorf("%s has samples and is no route", route)
		}
	}
}

// writesFirst sorts routes so that what is read holds what all the others wrote.
func writesFirst(routes map[string]bool) []string {
	return slices.SortedFunc(maps.Keys(routes), func(a, b string) int {
		return cmp.Or(cmp.Compare(strings.Index(b, "GET "), strings.Index(a, "GET ")), cmp.Compare(a, b))
	})
}

// fitsAnswer checks a good answer against its schema.
func fitsAnswer(t apitest.Reporter, route string, answer any) error {
	t.Helper()
	status := "200"
	if apitest.Operation(t, route).Responses.Value(status) == nil {
		status = "201"
	}
	return fits(t, route, answer, "responses", status, "content", apitest.AnswerType(t, route), "schema")
}

// usage counts how members of answers were met: there, null or lacking.
type usage struct{ there, null, lacking int }

// usedUp checks that members were met as they are described.
func usedUp(t *testing.T, met map[string]*usage) {
	t.Helper()
	for place, u := range met {
		if slices.ContainsFunc(apitest.Settled, func(p string) bool { return strings.HasPrefix(place, p) }) {
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
	case apitest.Object:
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
// description says what it measures.
func TestNumbersSayTheirUnit(t *testing.T) {
	for name, schema := range apitest.Described(t).Components.Schemas {
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
	for _, schema := range apitest.Described(t).Components.Schemas {
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
			http.StatusBadRequest:            apitest.Post(t, path, "{"),
			http.StatusUnsupportedMediaType:  apitest.Request(http.MethodPost, path, "text/plain", text),
			http.StatusRequestEntityTooLarge: apitest.Post(t, path, text+strings.Repeat(" ", 1<<20)),
			http.StatusUnprocessableEntity:   apitest.Post(t, path, `{"x": 1}`),
			http.StatusMethodNotAllowed:      apitest.Request(http.MethodGet, path, "", ""),
		} {
			checkProblem(t, route, w, status)
			met[strconv.Itoa(status)] = true
		}
		for status := range apitest.Operation(t, route).Responses.Map() {
			if !met[status] && status != "200" && status != "default" && status != "401" && status != "403" { // those are for who has an account
				t.Errorf("%s: %s is described and was not met", route, status)
			}
		}
	}
	checkProblem(t, "POST "+apitest.SolvePath, apitest.Post(t, apitest.SolvePath, apitest.Put(apitest.Scull(), "seat.heel_to_pin_cm", 60)), http.StatusUnprocessableEntity)
	checkProblem(t, "GET /api/v1/jobs/:id", apitest.Request(http.MethodGet, "/api/v1/jobs/none", "", ""), http.StatusNotFound)
}

func checkProblem(t *testing.T, route string, w *httptest.ResponseRecorder, status int) {
	t.Helper()
	apitest.Problem(t, w, status)
	place := strconv.Itoa(status)
	if apitest.Operation(t, route).Responses.Value(place) == nil {
		place = "default"
	}
	said := apitest.Decoded[any](t, w.Body.Bytes())
	err := error(nil)
	if shared := apitest.Operation(t, route).Responses.Value(place).Ref; shared != "" {
		err = fitsAt(t, shared+"/content/application~1problem+json/schema", said)
	} else {
		err = fits(t, route, said, "responses", place, "content", "application/problem+json", "schema")
	}
	if err != nil {
		t.Errorf("%s: %d: %v", route, status, err)
	}
}

// TestTheDescriptionSaysWhoMayUseEachOperation holds it against the rules beside
// the routes.
func TestTheDescriptionSaysWhoMayUseEachOperation(t *testing.T) {
	raw, err := api.OpenAPI()
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Components struct {
			SecuritySchemes map[string]struct{ Type string }
		}
		Paths map[string]map[string]struct {
			Roles    []access.Role         `json:"x-roles"`
			Scope    access.Scope          `json:"x-scope"`
			Own      bool                  `json:"x-athletes-own"`
			Security []map[string][]string `json:"security"`
		}
	}
	if err := json.Unmarshal(raw, &doc); err != nil {
		t.Fatal(err)
	}
	if len(doc.Components.SecuritySchemes) != 2 {
		t.Errorf("%+v", doc.Components.SecuritySchemes)
	}
	parameter := regexp.MustCompile(`:(\w+)`)
	own := 0
	for _, r := range api.Routes() {
		op := doc.Paths[parameter.ReplaceAllString(r.Path, "{$1}")][strings.ToLower(r.Method)]
		if !slices.Equal(op.Roles, r.Access.Roles()) || !slices.Contains(op.Roles, access.Coach) || op.Scope != r.Access.Needs(r.Method) || len(op.Security) != 2 {
			t.Errorf("%s %s: %+v, want %v", r.Method, r.Path, op, r.Access)
		}
		if op.Own {
			own++
		}
		if op.Own != (slices.Contains(op.Roles, access.Athlete) && !r.Access.Athletes) {
			t.Errorf("%s %s: own %v", r.Method, r.Path, op.Own)
		}
	}
	if own < 10 {
		t.Errorf("only %d operations are for what is one's own", own)
	}
}

// TestHabitsAreDescribed holds that the description tells what all operations of a
// kind have in common, and that the areas are those of the paths.
func TestHabitsAreDescribed(t *testing.T) {
	doc := apitest.Described(t)
	held, keyed, looked := 0, 0, 0
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			if doc.Tags.Get(op.Tags[0]) == nil || doc.Tags.Get(op.Tags[0]).Description == "" {
				t.Errorf("%s %s: the area %s is not described", method, path, op.Tags[0])
			}
			asked := map[string]bool{}
			for _, p := range op.Parameters {
				asked[p.Value.Name] = true
			}
			for _, status := range []string{"401", "403"} {
				if op.Responses.Value(status) == nil {
					t.Errorf("%s %s: no %s", method, path, status)
				}
			}
			if strings.Contains(path, "{") != (op.Responses.Value("404") != nil) {
				t.Errorf("%s %s: 404 is described: %v", method, path, op.Responses.Value("404") != nil)
			}
			good := op.Responses.Value("200")
			if method == http.MethodGet && (!asked["If-None-Match"] || op.Responses.Value("304") == nil || good.Value.Headers["ETag"] == nil) {
				t.Errorf("%s %s: entity tags are not described", method, path)
			}
			if asked["If-Match"] {
				held++
				if op.Responses.Value("412") == nil || item.Get == nil {
					t.Errorf("%s %s: no 412, or nothing to read", method, path)
				}
			}
			if asked["Idempotency-Key"] {
				keyed++
				if method != http.MethodPost || op.Responses.Value("204") == nil || op.Responses.Value("201") == nil && op.Responses.Value("200").Value.Headers["Idempotency-Replayed"] == nil {
					t.Errorf("%s %s: what a key brings is not described", method, path)
				}
			}
			if made := op.Responses.Value("201"); made != nil && made.Value.Headers["Location"] != nil {
				looked++
			}
			if waits := op.Responses.Value("202"); waits != nil && (!asked["Prefer"] || waits.Value.Headers["Location"] == nil || waits.Value.Headers["Retry-After"] == nil) {
				t.Errorf("%s %s: what Prefer brings is not described", method, path)
			}
		}
	}
	if held < 15 || keyed < 15 || looked < 7 {
		t.Errorf("%d held to what was read, %d with keys, %d with a place", held, keyed, looked)
	}
}

// TestWhoIsKeptOutIsToldHow: nobody who signed in, the wrong role, nothing there.
func TestWhoIsKeptOutIsToldHow(t *testing.T) {
	for status, v := range map[int]*access.Viewer{
		http.StatusUnauthorized: {}, http.StatusForbidden: {Account: 2, Role: access.Athlete, Athlete: 7}, http.StatusNotFound: {Account: 1, Role: access.Coach},
	} {
		r := httptest.NewRequest(http.MethodDelete, "/api/v1/athletes/999999", nil)
		w := httptest.NewRecorder()
		apitest.Server().ServeHTTP(w, r.WithContext(access.With(r.Context(), v)))
		checkProblem(t, "DELETE /api/v1/athletes/:id", w, status)
		if (status == http.StatusUnauthorized) != (w.Header().Get("WWW-Authenticate") == "Bearer") {
			t.Errorf("%d: %v", status, w.Header())
		}
	}
}
