package api_test

import (
	"fmt"
	"maps"
	"net/http"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"thole/api"
	"thole/api/apitest"
)

// full holds, for each route, a request that states every member there is.
var full = map[string]string{"POST " + apitest.SolvePath: apitest.FullScull, "POST " + apitest.CalibratePath: apitest.FullArcs, "POST " + apitest.RulesPath: apitest.FullRules}

// change is a request with one place changed.
type change struct {
	name    string
	request apitest.Object
}

// changes returns copies of a request, each with one member at any depth
// changed by alter; what alter returns false for is left out.
func changes(t apitest.Reporter, text string, alter func(holder apitest.Object, name string) bool) []change {
	t.Helper()
	var list []change
	for _, path := range holders(apitest.Parsed(text), nil) {
		o := apitest.Parsed(text)
		for _, name := range slices.Sorted(maps.Keys(inside(o, path))) {
			o := apitest.Parsed(text)
			if alter(inside(o, path), name) {
				list = append(list, change{fmt.Sprint(append(path, name)), o})
			}
		}
	}
	return list
}

// holders lists the places of all objects in v: names and positions.
func holders(v any, path []any) [][]any {
	var list [][]any
	switch v := v.(type) {
	case apitest.Object:
		list = append(list, slices.Clone(path))
		for name, inner := range v {
			list = append(list, holders(inner, append(slices.Clone(path), name))...)
		}
	case []any:
		for i, item := range v {
			list = append(list, holders(item, append(slices.Clone(path), i))...)
		}
	}
	return list
}

func inside(v any, path []any) apitest.Object {
	for _, step := range path {
		if name, ok := step.(string); ok {
			v = v.(apitest.Object)[name]
		} else {
			v = v.([]any)[step.(int)]
		}
	}
	return v.(apitest.Object)
}

// agree checks that schema and route judge every changed request alike; free
// names changes that only the route can judge.
func agree(t *testing.T, alter func(holder apitest.Object, name string) bool, free ...string) {
	t.Helper()
	for route, text := range full {
		list := changes(t, text, alter)
		if len(list) < 4 {
			t.Errorf("%s: %d changes", route, len(list))
		}
		for _, c := range list {
			w := apitest.Post(t, strings.TrimPrefix(route, "POST "), c.request)
			err := fitsRequest(t, route, c.request)
			if (err == nil) != (w.Code == http.StatusOK) && !slices.Contains(free, c.name) {
				t.Errorf("%s: %s: answered %d %.300s; by the schema: %v", route, c.name, w.Code, w.Body, err)
			}
		}
	}
}

func TestFullRequestsStateEverything(t *testing.T) {
	for route, text := range full {
		agreeOnMembers(t, route, requestSchema(t, route), apitest.Parsed(text))
	}
}

func agreeOnMembers(t *testing.T, place string, schema *openapi3.Schema, value any) {
	t.Helper()
	if len(schema.AnyOf) > 0 {
		schema = schema.AnyOf[0].Value
	}
	switch value := value.(type) {
	case []any:
		agreeOnMembers(t, place, schema.Items.Value, value[0])
	case apitest.Object:
		if ok := schema.AdditionalProperties.Has; ok == nil || *ok {
			t.Errorf("%s may have other members", place)
		}
		for name, member := range schema.Properties {
			if stated, ok := value[name]; ok {
				agreeOnMembers(t, place+"."+name, member.Value, stated)
			} else if place+"."+name != "POST "+apitest.SolvePath+".seat.spread_cm" && !strings.Contains(place, ".arcs") &&
				!strings.HasPrefix(place, "POST "+apitest.CalibratePath+".") {
				t.Errorf("%s.%s is not stated", place, name)
			}
		}
	}
}

// TestSchemasAgreeWithTheRoutes changes each member of full requests in turn.
// Whether a span is needed depends on the boat, which the schema leaves open;
// so does a coxswain's arc of which one end is enough.
func TestSchemasAgreeWithTheRoutes(t *testing.T) {
	t.Run("nulls", func(t *testing.T) {
		agree(t, func(o apitest.Object, name string) bool { o[name] = nil; return true }, "[seat span_cm]", "[arcs 0 seat span_cm]", "[sex]", "[stretcher hole_pitch_cm]")
	})
	t.Run("left out", func(t *testing.T) {
		agree(t, func(o apitest.Object, name string) bool { delete(o, name); return true }, "[seat span_cm]", "[arcs 0 seat span_cm]", "[sex]", "[stretcher hole_pitch_cm]")
	})
	t.Run("unknown names", func(t *testing.T) {
		agree(t, func(o apitest.Object, name string) bool { o[name+"x"] = o[name]; return true })
	})
	t.Run("other cases", func(t *testing.T) {
		agree(t, func(o apitest.Object, name string) bool { o[strings.ToUpper(name)] = o[name]; return true })
	})
	for kind, v := range map[string]any{"text": "7", "list": []any{}, "object": apitest.Object{}, "truth": true, "number": 7.0} {
		t.Run(kind+" in place of others", func(t *testing.T) {
			agree(t, func(o apitest.Object, name string) bool {
				if reflect.TypeOf(o[name]) == reflect.TypeOf(v) {
					return false
				}
				o[name] = v
				return true
			}, "[arcs]")
		})
	}
}

// TestEnumsAreWhatTheRoutesTake tries every value listed, and others.
func TestEnumsAreWhatTheRoutesTake(t *testing.T) {
	var classes []any
	for _, c := range api.NewService(nil).Seat.BoatClasses() {
		classes = append(classes, c.Code)
	}
	for route := range full {
		apitest.Same(t, route+": boat_class", requestSchema(t, route).Properties["boat_class"].Value.Enum, classes)
	}
	for _, c := range []struct{ route, group, name string }{
		{"POST " + apitest.SolvePath, "seat", "side"}, {"POST " + apitest.SolvePath, "rower", "sex"}, {"POST " + apitest.SolvePath, "", "boat_class"},
		{"POST " + apitest.SolvePath, "", "blade"}, {"POST " + apitest.SolvePath, "", "level"}, {"POST " + apitest.SolvePath, "stretcher", "mark"},
		{"POST " + apitest.CalibratePath, "rower", "sex"}, {"POST " + apitest.RulesPath, "", "sex"}, {"POST " + apitest.RulesPath, "", "boat_class"},
	} {
		checkEnum(t, c.route, c.group, c.name)
	}
}

func checkEnum(t *testing.T, route, group, name string) {
	t.Helper()
	schema, path, pointer := requestSchema(t, route), name, "#/"+name
	if group != "" {
		inner := schema.Properties[group].Value
		if len(inner.AnyOf) > 0 {
			inner = inner.AnyOf[0].Value
		}
		schema, path, pointer = inner, group+"."+name, "#/"+group+"/"+name
	}
	values := schema.Properties[name].Value.Enum
	if len(values) < 3 {
		t.Fatalf("%s: %s lists %v", route, path, values)
	}
	told := func(value any) bool {
		w := apitest.Post(t, strings.TrimPrefix(route, "POST "), apitest.Put(apitest.Drop(apitest.Parsed(full[route]), "lightweight"), path, value))
		return strings.Contains(w.Body.String(), strconv.Quote(pointer))
	}
	for _, v := range values {
		if told(v) {
			t.Errorf("%s: %s = %v is refused", route, path, v)
		}
	}
	for _, v := range []string{"x", " ", "PORT", "Male", "1X", "8"} {
		if !told(v) {
			t.Errorf("%s: %s = %q is taken", route, path, v)
		}
	}
}

// TestDefaultsAreWhatLeavingOutDoes states every default of the description in
// requests of both disciplines: the answer must be that without it, and another
// in one of them at least for another value.
func TestDefaultsAreWhatLeavingOutDoes(t *testing.T) {
	for route, requests := range map[string][]apitest.Object{
		"POST " + apitest.SolvePath: {
			withTargets(apitest.BareScull()), withTargets(apitest.BareSweep()),
			apitest.Scull(), apitest.Put(apitest.Scull(), "posture.shin_deg", 80), // thighs and knees at their limits
			apitest.Put(apitest.BareScull(), "arcs", apitest.Measured(-63, 41, apitest.BareScull())["arcs"]),
		},
		"POST " + apitest.CalibratePath: {apitest.Measured(-63, 41, apitest.BareScull()), apitest.Measured(-50, 33, apitest.BareSweep())},
	} {
		list := defaults(requestSchema(t, route), nil)
		if len(list) < 14 {
			t.Errorf("%s: %d defaults", route, len(list))
		}
		for place, def := range list {
			checkDefault(t, route, requests, strings.Split(place, "."), def)
		}
	}
}

func withTargets(o apitest.Object) apitest.Object {
	o["targets"] = apitest.Object{"catch_deg": -50.0, "finish_deg": 30.0}
	return o
}

func checkDefault(t *testing.T, route string, requests []apitest.Object, place []string, def float64) {
	t.Helper()
	name := route + ": " + strings.Join(place, ".")
	matters := false
	for _, r := range requests {
		ask := func(value any) string {
			o := apitest.Parsed(apitest.Encoded(t, r))
			state(o, place, value)
			return apitest.Post(t, strings.TrimPrefix(route, "POST "), o).Body.String()
		}
		left := ask(nil)
		apitest.Same(t, name+" stated", ask(def), left)
		matters = matters || ask(def+0.25) != left
	}
	// The pitch of a measured arc is no part of its geometry.
	if pitch := strings.Contains(name, "arcs.seat") && strings.Contains(name, "_pitch_"); matters == pitch {
		t.Errorf("%s matters: %v", name, matters)
	}
}

// state sets a value, in the first item where a list is on the way.
func state(o apitest.Object, place []string, value any) {
	for _, name := range place[:len(place)-1] {
		inner := o[name]
		if list, ok := inner.([]any); ok {
			inner = list[0]
		}
		if inner == nil {
			inner = apitest.Object{}
			o[name] = inner
		}
		o = inner.(apitest.Object)
	}
	o[place[len(place)-1]] = value
}

// defaults lists the defaults in a schema by their dotted place.
func defaults(s *openapi3.Schema, place []string) map[string]float64 {
	found := map[string]float64{}
	if def, ok := s.Default.(float64); ok {
		found[strings.Join(place, ".")] = def
	}
	inner := map[string]*openapi3.SchemaRef{}
	for name, member := range s.Properties {
		inner[name] = member
	}
	for _, option := range s.AnyOf {
		for name, member := range option.Value.Properties {
			inner[name] = member
		}
	}
	if s.Items != nil {
		for name, member := range s.Items.Value.Properties {
			inner[name] = member
		}
	}
	for name, member := range inner {
		for where, def := range defaults(member.Value, append(slices.Clone(place), name)) {
			found[where] = def
		}
	}
	return found
}

// TestValuesTheDescriptionTellsInWords are defaults that depend on the
// discipline.
func TestValuesTheDescriptionTellsInWords(t *testing.T) {
	for _, c := range []struct {
		request apitest.Object
		path    string
		value   float64
	}{
		{apitest.BareScull(), "seat.gate_difference_cm", 1}, {apitest.BareSweep(), "seat.gate_difference_cm", 0},
		{apitest.BareScull(), "posture.protraction_cm", 5}, {apitest.BareSweep(), "posture.protraction_cm", 9},
	} {
		left := apitest.Solved(t, c.request)
		apitest.Same(t, c.path+" stated", apitest.Solved(t, apitest.Put(c.request, c.path, c.value)), left)
	}
}

// TestAnswersMayGrow: clients must expect members that are not described yet.
func TestAnswersMayGrow(t *testing.T) {
	for name, s := range apitest.Described(t).Components.Schemas {
		if len(s.Value.Properties) == 0 {
			continue
		}
		closed := s.Value.AdditionalProperties.Has != nil && !*s.Value.AdditionalProperties.Has
		if request := strings.HasSuffix(name, "Input") || strings.HasSuffix(name, "Request"); closed != request {
			t.Errorf("%s may hold other members: %v", name, !closed)
		}
	}
}

// TestParametersAreNotNull: an address cannot say null.
func TestParametersAreNotNull(t *testing.T) {
	for path, item := range apitest.Described(t).Paths.Map() {
		for method, op := range item.Operations() {
			for _, p := range op.Parameters {
				if p.Value.Schema.Value.Type.Includes("null") {
					t.Errorf("%s %s: %s may be null", method, path, p.Value.Name)
				}
			}
		}
	}
}
