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
	boat = int64(knownBoat(t).(float64))
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
			body["mapping"], body["levers"] = mapping, Parsed(gateArms)
		}
		recordings = append(recordings, Kept(t, body)[0].ID)
	}
	w := Request(http.MethodPut, fmt.Sprintf("/api/v1/boats/%d/rig", boat), JSONType, `{"version":1,"by":"Ines","why":"more room","settings":[{"seat":1,"setting":"span_cm","value":158}]}`)
	if w.Code != http.StatusOK {
		t.Fatalf("%d %.300s", w.Code, w.Body)
	}
	return athlete, boat, recordings
}

func init() {
	at := func(format string, args ...any) sample { return sample{path: fmt.Sprintf(format, args...)} }
	for route, list := range map[string]func(testing.TB) []sample{
		"GET /api/v1/athletes/:id/progress": func(t testing.TB) []sample {
			athlete, _, _ := Months(t)
			return []sample{at("/api/v1/athletes/%d/progress", athlete), at("/api/v1/athletes/%d/progress?rate_per_min=30&share_of_peak=0.4", athlete), at("/api/v1/athletes/%d/progress", KnownAthlete(t)), at("/api/v1/athletes/%d/progress", twice(t)), curvesOnly(t, at)}
		},
		"GET /api/v1/recordings/progress": func(t testing.TB) []sample {
			_, _, list := Months(t)
			_, _, other := Months(t)
			return []sample{at("/api/v1/recordings/progress?a=%d&b=%d", list[0], list[1]), at("/api/v1/recordings/progress?a=%d&b=%d", list[4], list[3]), at("/api/v1/recordings/progress?a=%d&b=%d&rate_per_min=30", other[1], other[2])}
		},
		"GET /api/v1/boats/:id/progress": func(t testing.TB) []sample {
			_, boat, _ := Months(t)
			kept := KeepingOf(Uploaded(t, Rows(20, Known)), float64(boat), KnownAthlete(t))
			kept["recorded_on"] = "2026-05-09"
			Kept(t, kept)
			empty := Created(t, "/api/v1/boats", Object{"name": Fresh("Pair"), "boat_class": "2-", "by": "Ines"})
			return []sample{at("/api/v1/boats/%d/progress", boat), at("/api/v1/boats/%d/progress?from=2026-01-10&to=2026-03-01", boat), at("/api/v1/boats/%d/progress", empty)}
		},
		"GET " + RecordingsPath + "/:id/report": func(t testing.TB) []sample {
			_, _, list := Months(t)
			list = append(list, CrewOnRecord(t)[0], Strangers(t))
			list = append(list, Sculled(t)...)
			samples := []sample{at("%s/%d/report?rate_per_min=30", RecordingsPath, list[1])}
			for _, id := range list {
				samples = append(samples, at("%s/%d/report", RecordingsPath, id))
			}
			return samples
		},
	} {
		Samples[route] = list
	}
}

// curvesOnly asks for the progress of a rower of whom a mean curve alone is on
// record.
func curvesOnly(t testing.TB, at func(string, ...any) sample) sample {
	t.Helper()
	athlete := KnownAthlete(t)
	w := Post(t, "/api/v1/curves", Object{
		"upload": Uploaded(t, MeanCurves("drive_pct", 0, 100)), "unit": "n", "force": "handle", "catch_deg": -55.0, "finish_deg": 34.0, "recorded_on": "2026-03-05",
		"curves": []any{Object{"name": "Ada force_n", "athlete_id": float64(athlete)}},
	})
	if w.Code != http.StatusCreated {
		t.Fatalf("%d %.300s", w.Code, w.Body)
	}
	return at("/api/v1/athletes/%d/progress", athlete)
}

// twice keeps two recordings of one rower.
func twice(t testing.TB) int64 {
	t.Helper()
	athlete := KnownAthlete(t)
	for range 2 {
		Kept(t, KeepingOf(Uploaded(t, Rows(20, Known)), nil, athlete))
	}
	return athlete
}
