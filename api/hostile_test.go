package api_test

import (
	"context"
	"fmt"
	"net/http/httptest"
	"net/url"
	"os"
	"regexp"
	"runtime/debug"
	"slices"
	"strings"
	"testing"
	"time"

	"thole/api/apitest"
	"thole/api/apitest/hostile"
	"thole/api/apitest/samples"
)

// hang is how long no answer may take: far longer than any of those asked for here,
// so that a busy machine is none.
const hang = time.Minute

// soundly sends a request and fails where the answer is a fault of ours, or none.
func soundly(t testing.TB, what, method, path, contentType, body string) int {
	t.Helper()
	r := httptest.NewRequest(method, "/", strings.NewReader(body))
	address, err := url.ParseRequestURI(path)
	if err != nil {
		t.Fatalf("%q: %v", path, err)
	}
	r.URL, r.RequestURI = address, path
	if contentType != "" {
		r.Header.Set("Content-Type", contentType)
	}
	ctx, end := context.WithTimeout(r.Context(), hang)
	defer end()
	w := httptest.NewRecorder()
	func() {
		defer func() {
			if fault := recover(); fault != nil {
				t.Errorf("%s: panic: %v\n%s", what, fault, debug.Stack())
			}
		}()
		apitest.Server().ServeHTTP(w, r.WithContext(ctx))
	}()
	if ctx.Err() != nil {
		t.Errorf("%s: no answer in %v", what, hang)
	}
	if w.Code >= 500 {
		t.Errorf("%s: %d %.300s\nto %.600s", what, w.Code, w.Body, body)
	}
	return w.Code
}

// longVariant is set where there is time for all hostile values, as in .ci/run.
var longVariant = os.Getenv("THOLE_LONG") != ""

// TestHostileBodies puts hostile values into every place of a body of every
// operation: none is answered by a fault, and none without end.
func TestHostileBodies(t *testing.T) {
	sent, answers := 0, map[int]int{}
	for _, route := range described(t) {
		method, _, _ := strings.Cut(route, " ")
		s := samples.Of[route](t)[0]
		if s.Body == nil {
			continue
		}
		body := apitest.Parsed(apitest.Encoded(t, s.Body))
		send := func(place, text string) {
			sent++
			answers[soundly(t, route+" "+place, method, s.Path(route), apitest.JSONType, text)]++
		}
		if !longVariant {
			hostile.Spoiled(body, 1, send)
			continue
		}
		hostile.Spoiled(body, 12, send)
		hostile.AtTheEdges(requestSchema(t, route), body, send)
	}
	t.Logf("%d requests, answers %v", sent, answers)
	if sent < 1000 || answers[200]+answers[201] < 20 {
		t.Errorf("%d requests were sent, with the answers %v", sent, answers)
	}
}

// described lists the operations that have a sample.
func described(t testing.TB) (routes []string) {
	for route := range samples.Of {
		routes = append(routes, route)
	}
	slices.Sort(routes)
	return routes
}

var pathParameters = regexp.MustCompile(`\{\w+\}`)

// TestHostileAddresses puts hostile values into every parameter of every operation,
// of the path and of the query.
func TestHostileAddresses(t *testing.T) {
	sent, turn, count := 0, 0, 8
	if longVariant {
		count = len(hostile.Texts)
	}
	for path, item := range apitest.Described(t).Paths.Map() {
		for method, op := range item.Operations() {
			send := func(what, address string) {
				sent++
				soundly(t, method+" "+path+" "+what, method, address, apitest.JSONType, "{}")
			}
			parameters := append(slices.Clone(item.Parameters), op.Parameters...)
			for range count {
				text := hostile.Texts[turn%len(hostile.Texts)]
				turn++
				what := fmt.Sprintf("%.40q", text)
				if strings.Contains(path, "{") {
					send(what, pathParameters.ReplaceAllString(path, strings.ReplaceAll(url.PathEscape(text), "$", "$$")))
				}
				for _, p := range parameters {
					if p.Value.In == "query" {
						send(p.Value.Name+" = "+what, pathParameters.ReplaceAllString(path, "1")+"?"+url.Values{p.Value.Name: {text}}.Encode())
					}
				}
				send("anything", pathParameters.ReplaceAllString(path, "1")+"?"+url.Values{"format": {text}, text: {text}}.Encode())
			}
		}
	}
	t.Logf("%d requests", sent)
	if sent < 2000 {
		t.Errorf("only %d requests were sent", sent)
	}
}

// FuzzOperations puts a text into any place of a body of any operation.
func FuzzOperations(f *testing.F) {
	routes := described(f)
	f.Add(uint(0), 1, "5e-324")
	f.Add(uint(7), 3, `"\u0000"`)
	f.Fuzz(func(t *testing.T, route uint, place int, text string) {
		name := routes[route%uint(len(routes))]
		s := samples.Of[name](t)[0]
		if s.Body == nil {
			return
		}
		method, _, _ := strings.Cut(name, " ")
		body := hostile.SpoiledAt(apitest.Parsed(apitest.Encoded(t, s.Body)), place, text)
		soundly(t, name, method, s.Path(name), apitest.JSONType, body)
	})
}
