package apitest

import (
	"fmt"
	"net/http"
	"testing"
)

// Months keeps five recordings of one rower over four months in one boat: at the
// handle and, the first, at the gate; the last at another rate; the rig is
// changed after them. It returns athlete, boat and recordings, oldest first. The
// catch gets 1.5° longer from one to the next.
func Months(t testing.TB) (athlete, boat int64, recordings []int64) {
	t.Helper()
	athlete = KnownAthlete(t)
	boat = int64(KnownBoat(t).(float64))
	for i, day := range []string{"2026-01-10", "2026-02-07", "2026-03-01", "2026-04-11", "2026-05-09"} {
		period := 2.0
		if i == 4 {
			period = 3
		}
		body := KeepingOf(Uploaded(t, Rows(50, Puller{Catch: -60 - 1.5*float64(i), Finish: 43, Peak: 500, Period: period, Noise: 6})), float64(boat), athlete)
		body["recorded_on"], body["thresholds"] = day, Parsed(OfPeak)
		if i == 0 {
			mapping := Parsed(PlainMapping)
			mapping["force"] = "gate"
			body["mapping"], body["levers"] = mapping, Parsed(GateArms)
		}
		recordings = append(recordings, Kept(t, body)[0].ID)
	}
	w := Request(http.MethodPut, fmt.Sprintf("/api/v1/boats/%d/rig", boat), JSONType, `{"version":1,"by":"Ines","why":"more room","settings":[{"seat":1,"setting":"span_cm","value":158}]}`)
	if w.Code != http.StatusOK {
		t.Fatalf("%d %.300s", w.Code, w.Body)
	}
	return athlete, boat, recordings
}

// RecordedTwice keeps two recordings of one rower.
func RecordedTwice(t testing.TB) int64 {
	t.Helper()
	athlete := KnownAthlete(t)
	for range 2 {
		Kept(t, KeepingOf(Uploaded(t, Rows(20, Known)), nil, athlete))
	}
	return athlete
}
