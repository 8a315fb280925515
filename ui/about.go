package ui

import (
	"encoding/json"
	"fmt"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"sync"

	"thole/api"
)

// aboutPages lists the pages about figures and about the interface for
// programs.
func (s *site) aboutPages() map[string]handler {
	return map[string]handler{"GET /sources": s.sources, "GET /api": s.reference}
}

func (s *site) sources(w http.ResponseWriter, _ *http.Request) error {
	return s.pages.show(w, http.StatusOK, "sources", api.Sources())
}

// operation is one operation of the HTTP interface as the reference shows it.
type operation struct {
	Method, Path, Summary, Description string
	Asks, Answers                      []member
}

// member is one name of a request or an answer.
type member struct {
	Depth       int
	Name, Kind  string
	Description string
	Default     string
	Required    bool
}

// document is the part of an OpenAPI document that the reference shows.
type document struct {
	Paths      map[string]map[string]described
	Components struct{ Schemas map[string]schema }
}

// described is one operation of the document.
type described struct {
	Summary, Description string
	RequestBody          struct{ Content content }
	Responses            map[string]struct{ Content content }
}

type content map[string]struct{ Schema schema }

// answer is the schema of the first success.
func (o *described) answer() schema {
	for _, status := range []string{"200", "201"} {
		if r, ok := o.Responses[status]; ok {
			return r.Content["application/json"].Schema
		}
	}
	return schema{}
}

type schema struct {
	Ref         string `json:"$ref"`
	Type        any
	Description string
	Default     any
	Enum        []any
	Required    []string
	Properties  map[string]schema
	Items       *schema
}

// reference is worked out once: the document does not change while the program runs.
var reference = sync.OnceValues(func() ([]operation, error) {
	raw, err := api.OpenAPI()
	if err != nil {
		return nil, err
	}
	var doc document
	if err := json.Unmarshal(raw, &doc); err != nil {
		return nil, fmt.Errorf("reading the OpenAPI document: %w", err)
	}
	return doc.operations(), nil
})

// reference answers a readable page made from the OpenAPI document itself.
func (s *site) reference(w http.ResponseWriter, _ *http.Request) error {
	operations, err := reference()
	if err != nil {
		return err
	}
	return s.pages.show(w, http.StatusOK, "reference", operations)
}

// parameter is a part of a route's path that stands for a value.
var parameter = regexp.MustCompile(`:([a-z_]+)`)

// operations lists the operations in the order of the routes.
func (d *document) operations() []operation {
	var list []operation
	for _, r := range api.Routes() {
		o := d.Paths[parameter.ReplaceAllString(r.Path, "{$1}")][strings.ToLower(r.Method)]
		list = append(list, operation{
			Method: r.Method, Path: r.Path, Summary: o.Summary, Description: o.Description,
			Asks:    d.members(asked(o.RequestBody.Content), 0),
			Answers: d.members(o.answer(), 0),
		})
	}
	return list
}

// asked is the schema of a request's body, of whatever kind that is.
func asked(content map[string]struct{ Schema schema }) schema {
	if json, ok := content["application/json"]; ok {
		return json.Schema
	}
	return content["multipart/form-data"].Schema
}

// members lists the names of a schema, those of nested ones indented.
func (d *document) members(s schema, depth int) []member {
	s = d.resolve(s)
	if s.Items != nil {
		return d.members(*s.Items, depth)
	}
	names := make([]string, 0, len(s.Properties))
	for name := range s.Properties {
		names = append(names, name)
	}
	slices.Sort(names)
	var list []member
	for _, name := range names {
		p := s.Properties[name]
		whole := d.resolve(p)
		m := member{Depth: depth, Name: name, Kind: kindOf(whole), Description: p.Description, Required: slices.Contains(s.Required, name)}
		if p.Default != nil {
			m.Default = fmt.Sprint(p.Default)
		}
		list = append(append(list, m), d.members(p, depth+1)...)
	}
	return list
}

func (d *document) resolve(s schema) schema {
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
			if e != "" {
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
