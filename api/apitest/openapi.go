package apitest

import (
	"net/http"
	"regexp"
	"strings"
	"sync"

	"github.com/getkin/kin-openapi/openapi3"
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
