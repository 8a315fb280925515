package api_test

import (
	"context"
	"net/http/httptest"
	"strings"
	"testing"

	"thole/api"
)

// BenchmarkSolveSeat solves the documented example through the service.
func BenchmarkSolveSeat(b *testing.B) {
	r := decoded[api.SolveRequest](b, []byte(scullExample))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := service.SolveSeat(context.Background(), r); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkSolveSeatHTTP solves it through the whole of a request: routing,
// reading, checking, solving, encoding.
func BenchmarkSolveSeatHTTP(b *testing.B) {
	e := server()
	b.ReportAllocs()
	for b.Loop() {
		r := httptest.NewRequest("POST", solvePath, strings.NewReader(scullExample))
		r.Header.Set("Content-Type", jsonType)
		w := httptest.NewRecorder()
		e.ServeHTTP(w, r)
		if w.Code != 200 {
			b.Fatal(w.Body)
		}
	}
}

// BenchmarkRefuse refuses a request with a mistake in a name.
func BenchmarkRefuse(b *testing.B) {
	text := strings.Replace(scullExample, "span_cm", "span", 1)
	b.ReportAllocs()
	for b.Loop() {
		if w := post(b, solvePath, text); w.Code != 422 {
			b.Fatal(w.Body)
		}
	}
}

// BenchmarkLongList reads a list as long as a request may hold.
func BenchmarkLongList(b *testing.B) {
	text := `{"boat_class": "8+", "masses_kg": [` + strings.Repeat("70,", 349000) + `70]}`
	b.ReportAllocs()
	for b.Loop() {
		if w := post(b, rulesPath, text); w.Code != 422 {
			b.Fatal(w.Body)
		}
	}
}

func BenchmarkOpenAPI(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := api.Describe((&api.Service{}).Routes()); err != nil {
			b.Fatal(err)
		}
	}
}
