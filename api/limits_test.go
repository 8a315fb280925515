package api_test

import (
	"fmt"
	"maps"
	"slices"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"thole/api/apitest"
)

// TestRequestsAreBounded holds that nearly every number and text of a request, in its
// address or its body, says in the description what it may be. What is left has limits
// that hang on another value, such as a target's.
func TestRequestsAreBounded(t *testing.T) {
	open := map[string]bool{}
	count := 0
	for path, item := range apitest.Described(t).Paths.Map() {
		for method, op := range item.Operations() {
			look := func(at string, s *openapi3.Schema) {
				count++
				if !isBounded(s) {
					open[method+" "+path+" "+at] = true
				}
			}
			for _, parameter := range op.Parameters {
				eachScalar(parameter.Value.Schema.Value, "?"+parameter.Value.Name, look)
			}
			if op.RequestBody == nil {
				continue
			}
			for _, content := range op.RequestBody.Value.Content {
				eachScalar(content.Schema.Value, "", look)
			}
		}
	}
	share := 1 - float64(len(open))/float64(count)
	t.Logf("%d numbers and texts, %d of them without a limit", count, len(open))
	if count < 1700 || share < 0.98 {
		t.Errorf("%.0f %% of %d have limits; open: %v", 100*share, count, slices.Sorted(maps.Keys(open)))
	}
}

// eachScalar calls f for the numbers and texts in a schema, at any depth.
func eachScalar(s *openapi3.Schema, at string, f func(string, *openapi3.Schema)) {
	for _, part := range s.AnyOf {
		eachScalar(part.Value, at, f)
	}
	for name, member := range s.Properties {
		eachScalar(member.Value, at+"."+name, f)
	}
	if s.Items != nil {
		eachScalar(s.Items.Value, at+"[]", f)
	}
	if more := s.AdditionalProperties.Schema; more != nil {
		eachScalar(more.Value, at+".*", f)
	}
	if len(s.Properties) == 0 && s.Type != nil && (s.Type.Includes("number") || s.Type.Includes("integer") || s.Type.Includes("string")) {
		f(at, s)
	}
}

func isBounded(s *openapi3.Schema) bool {
	return s.Min != nil || s.Max != nil || s.MaxLength != nil || s.MinLength > 0 || s.Enum != nil || s.Format == "binary" || s.Format == "date" || s.Format == "date-time"
}

// TestEveryBoundIsHeld states every number that the full requests state beyond
// its bounds, and wants it refused in its place.
func TestEveryBoundIsHeld(t *testing.T) {
	for route, text := range full {
		for _, c := range beyond(requestSchema(t, route), apitest.Parsed(text)) {
			o := apitest.Parsed(text)
			inside(o, c.path[:len(c.path)-1])[c.path[len(c.path)-1].(string)] = c.value
			pointer := "#"
			for _, step := range c.path {
				pointer += fmt.Sprintf("/%v", step)
			}
			if said := apitest.Refused(t, route[len("POST "):], o); said[pointer] == "" {
				t.Errorf("%s: %s = %g: said %v", route, pointer, c.value, said)
			}
		}
	}
}

// excess is a number out of the bounds of its place.
type excess struct {
	path  []any
	value float64
}

// beyond lists for every number stated in o one below and one above its bounds.
func beyond(s *openapi3.Schema, value any, path ...any) []excess {
	if len(s.AnyOf) > 0 {
		s = s.AnyOf[0].Value
	}
	var list []excess
	switch value := value.(type) {
	case apitest.Object:
		for name, inner := range value {
			if member := s.Properties[name]; member != nil {
				list = append(list, beyond(member.Value, inner, append(slices.Clone(path), name)...)...)
			}
		}
	case []any:
		for i, inner := range value[:min(1, len(value))] {
			list = append(list, beyond(s.Items.Value, inner, append(slices.Clone(path), i)...)...)
		}
	case float64:
		if _, named := path[len(path)-1].(string); named && s.Min != nil && s.Max != nil {
			wide := 0.01 * (*s.Max - *s.Min)
			list = append(list, excess{path, *s.Max + wide}, excess{path, *s.Min - wide})
		}
	}
	return list
}

// TestFaultsComeInOneRound spoils values that tags, the ranges of the domain and
// the rules between values judge, and wants all of them told at once.
func TestFaultsComeInOneRound(t *testing.T) {
	o := apitest.Scull()
	inside(o, []any{"seat"})["span_cm"] = 1.6
	inside(o, []any{"seat"})["heel_to_pin_cm"] = 400.0
	o["tape_cm"], o["displacement_kg"] = 9.0, 3.0
	o["posture"] = apitest.Object{"shin_deg": 10.0, "lean_deg": 80.0}
	o["handle"] = apitest.Object{"catch_height_cm": 25.0}
	inside(o, []any{"rower"})["sex"] = "x"
	said := apitest.Refused(t, apitest.SolvePath, o)
	for _, pointer := range []string{
		"#/seat/span_cm", "#/seat/heel_to_pin_cm", "#/tape_cm", "#/displacement_kg", "#/posture/shin_deg", "#/posture/lean_deg",
		"#/handle/finish_height_cm", "#/rower/sex",
	} {
		if said[pointer] == "" {
			t.Errorf("%s is not told: %v", pointer, said)
		}
	}
}

// TestTheAddressIsHeldToItsLimits: what a query states beyond its bounds is refused in its
// place, and nothing is on record under a number below 1.
func TestTheAddressIsHeldToItsLimits(t *testing.T) {
	for query, place := range map[string]string{
		"?rate_per_min=13.9": "#/rate_per_min", "?rate_per_min=48.1": "#/rate_per_min", "?sink_m_s=0.29": "#/sink_m_s", "?sink_m_s=4.1": "#/sink_m_s",
		"?inboard_cm=59": "#/inboard_cm", "?inboard_cm=141": "#/inboard_cm", "?moment_ms=-401": "#/moment_ms", "?moment_ms=121": "#/moment_ms",
		"?height_cm=41": "#/height_cm", "?distance_m=99": "#/distance_m", "?mass_kg=19.9": "#/mass_kg", "?mass_kg=201": "#/mass_kg",
	} {
		p := apitest.Problem(t, apitest.Request("GET", "/api/v1/catch"+query, "", ""), 422)
		if len(p.Errors) != 1 || p.Errors[0].Pointer != place {
			t.Errorf("%s: %+v", query, p.Errors)
		}
	}
	for _, query := range []string{"?rate_per_min=14", "?rate_per_min=48", "?sink_m_s=0.3", "?sink_m_s=4", "?moment_ms=-400", "?moment_ms=120", "?height_cm=40"} {
		if got := apitest.Request("GET", "/api/v1/catch"+query, "", ""); got.Code != 200 {
			t.Errorf("%s: %d %s", query, got.Code, got.Body)
		}
	}
	apitest.Problem(t, apitest.Request("GET", "/api/v1/athletes/0", "", ""), 404)
	apitest.Problem(t, apitest.Request("GET", "/api/v1/athletes/-1", "", ""), 404)
	apitest.Problem(t, apitest.Request("GET", "/api/v1/athletes?squad_id=-1", "", ""), 422)
}
