package seat_test

import (
	"context"
	"net/http/httptest"
	"strings"
	"testing"

	"thole/api"
	"thole/api/apitest"
	"thole/api/rest"
	"thole/api/seat"
)

// BenchmarkSolveSeat solves the documented example through the service.
func BenchmarkSolveSeat(b *testing.B) {
	r := apitest.Decoded[seat.SolveRequest](b, []byte(apitest.ScullExample))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := apitest.Service.Seat.SolveSeat(context.Background(), r); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkSolveSeatHTTP solves it through the whole of a request: routing,
// reading, checking, solving, encoding.
func BenchmarkSolveSeatHTTP(b *testing.B) {
	e := apitest.Server()
	b.ReportAllocs()
	for b.Loop() {
		r := httptest.NewRequest("POST", apitest.SolvePath, strings.NewReader(apitest.ScullExample))
		r.Header.Set("Content-Type", apitest.JSONType)
		w := httptest.NewRecorder()
		e.ServeHTTP(w, r)
		if w.Code != 200 {
			b.Fatal(w.Body)
		}
	}
}

// BenchmarkRefuse refuses a request with a mistake in a name.
func BenchmarkRefuse(b *testing.B) {
	text := strings.Replace(apitest.ScullExample, "span_cm", "span", 1)
	b.ReportAllocs()
	for b.Loop() {
		if w := apitest.Post(b, apitest.SolvePath, text); w.Code != 422 {
			b.Fatal(w.Body)
		}
	}
}

// BenchmarkLongList reads a list as long as a request may hold.
func BenchmarkLongList(b *testing.B) {
	text := `{"boat_class": "8+", "masses_kg": [` + strings.Repeat("70,", 349000) + `70]}`
	b.ReportAllocs()
	for b.Loop() {
		if w := apitest.Post(b, apitest.RulesPath, text); w.Code != 422 {
			b.Fatal(w.Body)
		}
	}
}

func BenchmarkOpenAPI(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := rest.Describe((&api.Service{}).Routes()); err != nil {
			b.Fatal(err)
		}
	}
}
