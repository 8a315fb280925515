package apitest

import (
	"errors"
	"fmt"
	"testing"

	"thole/api"
	"thole/api/schedule"
	"thole/api/seatrace"
	"thole/api/store"
	"thole/api/storetest"
	"thole/api/wire"
)

func RaceRecords(t testing.TB) (*api.Service, *store.Store) {
	t.Helper()
	records := storetest.Open(t)
	s := api.NewService(records)
	t.Cleanup(s.Close)
	return s, records
}

func Difference(t testing.TB, list []schedule.SeatRaceDifference, first, second string) schedule.SeatRaceDifference {
	t.Helper()
	for _, d := range list {
		if d.First == first && d.Second == second {
			return d
		}
	}
	t.Fatalf("no difference of %s and %s", first, second)
	return schedule.SeatRaceDifference{}
}

// Complaints returns what an *Invalid says by field.
func Complaints(t testing.TB, err error) map[string]string {
	t.Helper()
	var bad *wire.Invalid
	if !errors.As(err, &bad) {
		t.Fatalf("got %v, want complaints", err)
	}
	said := map[string]string{}
	for _, f := range bad.Fields {
		said[f.Field] = f.Detail
	}
	return said
}

func Record(t testing.TB, s *api.Service, id int64, number int, key string, times ...float64) seatrace.Race {
	t.Helper()
	r := seatrace.PieceResultRequest{ID: id, Number: number, Key: key}
	for _, x := range times {
		r.TimesS = append(r.TimesS, &x)
	}
	a, err := s.Seatrace.RecordPiece(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

const (
	EstimatePath = "/api/v1/seat-races/estimate"
	RacesPath    = "/api/v1/seat-races"
)

// BarePlan asks for a schedule and states nothing more than it must.
const BarePlan = `{"boat_class": "2x", "athletes": [{"id": "a"}, {"id": "b"}, {"id": "c"}, {"id": "d"}, {"id": "e"}], "pieces": 4}`

// SampleRace puts a race on record with its first piece raced and returns
// its address.
func SampleRace(t testing.TB, body string) string {
	t.Helper()
	a := answeredRace(t, body)
	path := fmt.Sprintf("%s/%d", RacesPath, a.ID)
	w := Request("PUT", path+"/pieces/1", JSONType, `{"key": "first", "times_s": [190.1, null], "by": "Anna"}`)
	if w.Code != 200 {
		t.Fatalf("%d: %s", w.Code, w.Body)
	}
	return path
}

func answeredRace(t testing.TB, body string) seatrace.Race {
	t.Helper()
	w := Post(t, RacesPath, body)
	if w.Code != 201 {
		t.Fatalf("%d: %s", w.Code, w.Body)
	}
	return Decoded[seatrace.Race](t, w.Body.Bytes())
}
