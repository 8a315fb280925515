package guide

import (
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"sync"

	"thole/api"
	"thole/api/access"
	"thole/api/sources"
	"thole/ui/page"
)

// guidePages lists the pages on the sources and the API.
func (s *site) guidePages() map[string]page.Route {
	return map[string]page.Route{
		"GET /guide":          page.For(access.Public, s.guide),
		"GET /guide/walks":    page.For(access.Public, s.walks),
		"GET /guide/measures": page.For(access.Public, s.measures),
		"GET /guide/numbers":  page.For(access.Public, s.numbers),
		"GET /guide/glossary": page.For(access.Public, s.glossary),

		"GET /sources":             page.For(access.Public, s.sources),
		"GET /api":                 page.For(access.Everyone, s.reference),
		"GET /api/{area}":          page.For(access.Everyone, s.area),
		"GET /api/problems":        page.For(access.Public, s.problems),
		"GET /api/problems/{name}": page.For(access.Public, s.problems),
		"GET /server":              page.For(access.Coaches, s.server),
	}
}

func (s *site) sources(w http.ResponseWriter, _ *http.Request) error {
	return s.Pages.Show(w, http.StatusOK, "sources", sources.All())
}

// operation is one operation of the HTTP interface as the reference shows it.
type operation struct {
	Method, Path, Summary, Description string
	Asks, Answers                      []member
	Media                              string // of the answer
	Said                               string // of the answer as a whole
	Tag                                string // of its area
	Flags, At, Rest                    string // of the call with curl
	Outcomes                           []outcome
}

// File reports whether the answer is a file.
func (o *operation) File() bool { return o.Media != jsonMedia }

// member is one name of a request or an answer.
type member struct {
	Depth       int
	Name, Kind  string
	Description string
	Default     string
	Mark        string // such as required
}

// marks are the words for members that are required, and for the others.
type marks struct{ required, other string }

var (
	inRequests = marks{"required", ""}
	inAnswers  = marks{"", "optional"}
)

func (m marks) of(required bool) string {
	if required {
		return m.required
	}
	return m.other
}

// document is the part of an OpenAPI document that the reference shows.
type document struct {
	Tags       []struct{ Name, Description string }
	Paths      map[string]map[string]described
	Components struct {
		Schemas   map[string]schema
		Responses map[string]response
	}
}

// described is one operation of the document.
type described struct {
	Summary, Description string
	Tags                 []string
	Query                string `json:"x-example-query"`
	Parameters           []parameter
	RequestBody          struct{ Content content }
	Responses            map[string]response
}

type parameter struct {
	Ref                   string `json:"$ref"`
	Name, In, Description string
	Required              bool
	Schema                schema
}

type response struct {
	Ref         string `json:"$ref"`
	Description string
	Content     content
}

type content map[string]struct {
	Schema  schema
	Example any
}

const jsonMedia = "application/json"

// answer is the first success, with the media type of its content.
func (o *described) answer() (r response, media string, s schema) {
	for _, status := range []string{"200", "201"} {
		r, ok := o.Responses[status]
		if !ok {
			continue
		}
		for media, content := range r.Content {
			return r, media, content.Schema
		}
	}
	return response{}, jsonMedia, schema{}
}

type schema struct {
	Ref           string `json:"$ref"`
	Title         string
	Type          any
	Description   string
	Default       any
	Enum          []any
	Required      []string
	Properties    map[string]schema
	Items         *schema
	AnyOf         []schema
	PrefixItems   []schema // cells of a row, in their order
	ContentSchema *schema  // of what a text holds

	AdditionalProperties further
}

// further is the schema of members of any name; nil where there are none.
type further struct{ *schema }

// UnmarshalJSON also takes the truth that stands for any member or for none.
func (f *further) UnmarshalJSON(raw []byte) error {
	if string(raw) == "true" || string(raw) == "false" {
		return nil
	}
	return json.Unmarshal(raw, &f.schema)
}

// reference is computed once: the document does not change while the program runs.
var reference = sync.OnceValues(func() ([]area, error) {
	raw, err := api.OpenAPI()
	if err != nil {
		return nil, err
	}
	var doc document
	if err := json.Unmarshal(raw, &doc); err != nil {
		return nil, fmt.Errorf("reading the OpenAPI document: %w", err)
	}
	return doc.areas(), nil
})

// reference answers a readable page of all parts, made from the OpenAPI document
// itself.
func (s *site) reference(w http.ResponseWriter, _ *http.Request) error {
	areas, err := reference()
	if err != nil {
		return err
	}
	return s.Pages.Show(w, http.StatusOK, "reference", areas)
}

// pathParameter is a part of a route's path that stands for a value.
var pathParameter = regexp.MustCompile(`:([a-z_]+)`)

// operations lists the operations in the order of the routes.
func (d *document) operations() []operation {
	var list []operation
	for _, r := range (&api.Service{}).Routes() {
		o := d.Paths[pathParameter.ReplaceAllString(r.Path, "{$1}")][strings.ToLower(r.Method)]
		good, media, answer := o.answer()
		flags, at, rest := call(r.Method, r.Path, o.Query, o.RequestBody.Content)
		list = append(list, operation{
			Tag: o.Tags[0], Flags: flags, At: at, Rest: rest, Outcomes: d.outcomes(&o),
			Method: r.Method, Path: r.Path, Summary: o.Summary, Description: o.Description,
			Asks:    append(d.inAddress(o.Parameters), d.members(asked(o.RequestBody.Content), 0, inRequests)...),
			Answers: d.members(answer, 0, inAnswers), Media: media, Said: good.Description,
		})
	}
	return list
}

// inAddress lists what stands in the address.
func (d *document) inAddress(parameters []parameter) []member {
	var list []member
	for _, p := range parameters {
		if p.Ref != "" { // a header that many operations know, told once for all
			continue
		}
		list = append(list, member{
			Name: p.Name, Kind: kindOf(d.resolve(p.Schema)) + ", in the " + p.In, Description: p.Description, Default: defaultOf(p.Schema), Mark: inRequests.of(p.Required),
		})
	}
	return list
}

// asked is the schema of a request's body, of whatever kind that is.
func asked(c content) schema {
	if json, ok := c[jsonMedia]; ok {
		return json.Schema
	}
	return c["multipart/form-data"].Schema
}

// members lists the names of a schema, those of nested ones indented: in
// alphabetical order, but the cells of a table's row as they stand there.
func (d *document) members(s schema, depth int, say marks) []member {
	s = d.resolve(s)
	switch {
	case s.ContentSchema != nil:
		return d.members(*s.ContentSchema, depth, say)
	case s.Items != nil && len(s.PrefixItems) == 0:
		return d.members(*s.Items, depth, say)
	case s.AdditionalProperties.schema != nil:
		return d.member("any name", *s.AdditionalProperties.schema, "", depth, say)
	}
	var list []member
	for _, cell := range s.PrefixItems {
		list = append(list, d.member(cell.Title, cell, "", depth, say)...)
	}
	for _, name := range slices.Sorted(maps.Keys(s.Properties)) {
		list = append(list, d.member(name, s.Properties[name], say.of(slices.Contains(s.Required, name)), depth, say)...)
	}
	return list
}

// member is one name, with those that are nested in it.
func (d *document) member(name string, s schema, mark string, depth int, say marks) []member {
	m := member{Depth: depth, Name: name, Kind: kindOf(d.resolve(s)), Description: s.Description, Default: defaultOf(s), Mark: mark}
	return append([]member{m}, d.members(s, depth+1, say)...)
}

func defaultOf(s schema) string {
	if s.Default == nil {
		return ""
	}
	return fmt.Sprint(s.Default)
}

// resolve follows a schema that stands for another, perhaps or null.
func (d *document) resolve(s schema) schema {
	if len(s.AnyOf) > 0 {
		return d.resolve(s.AnyOf[0])
	}
	if name, ok := strings.CutPrefix(s.Ref, "#/components/schemas/"); ok {
		return d.Components.Schemas[name]
	}
	return s
}

// kindOf names what a value is, without the null that optional values allow.
func kindOf(s schema) string {
	if len(s.Enum) > 0 {
		var names []string
		for _, e := range s.Enum {
			if e != nil && e != "" {
				names = append(names, fmt.Sprint(e))
			}
		}
		return strings.Join(names, ", ")
	}
	switch t := s.Type.(type) {
	case string:
		return t
	case []any:
		for _, k := range t {
			if k != "null" {
				return fmt.Sprint(k)
			}
		}
	}
	return "object"
}
