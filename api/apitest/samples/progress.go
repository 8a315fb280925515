package samples

import (
	"fmt"
	"net/http"
	"testing"

	"thole/api/apitest"
)

func init() {
	at := func(format string, args ...any) Sample { return Sample{path: fmt.Sprintf(format, args...)} }
	for route, list := range map[string]func(testing.TB) []Sample{
		"GET /api/v1/athletes/:id/progress": func(t testing.TB) []Sample {
			athlete, _, _ := apitest.Months(t)
			return []Sample{at("/api/v1/athletes/%d/progress", athlete), at("/api/v1/athletes/%d/progress?rate_per_min=30&share_of_peak=0.4", athlete), at("/api/v1/athletes/%d/progress", apitest.KnownAthlete(t)), at("/api/v1/athletes/%d/progress", apitest.RecordedTwice(t)), curvesOnly(t, at)}
		},
		"GET /api/v1/recordings/progress": func(t testing.TB) []Sample {
			_, _, list := apitest.Months(t)
			_, _, other := apitest.Months(t)
			return []Sample{at("/api/v1/recordings/progress?a=%d&b=%d", list[0], list[1]), at("/api/v1/recordings/progress?a=%d&b=%d", list[4], list[3]), at("/api/v1/recordings/progress?a=%d&b=%d&rate_per_min=30", other[1], other[2])}
		},
		"GET /api/v1/boats/:id/progress": func(t testing.TB) []Sample {
			_, boat, _ := apitest.Months(t)
			kept := apitest.KeepingOf(apitest.Uploaded(t, apitest.Rows(20, apitest.Known)), float64(boat), apitest.KnownAthlete(t))
			kept["recorded_on"] = "2026-05-09"
			apitest.Kept(t, kept)
			empty := apitest.Created(t, "/api/v1/boats", apitest.Object{"name": apitest.Fresh("Pair"), "boat_class": "2-", "by": "Ines"})
			return []Sample{at("/api/v1/boats/%d/progress", boat), at("/api/v1/boats/%d/progress?from=2026-01-10&to=2026-03-01", boat), at("/api/v1/boats/%d/progress", empty)}
		},
		"GET " + apitest.RecordingsPath + "/:id/report": func(t testing.TB) []Sample {
			_, _, list := apitest.Months(t)
			list = append(list, apitest.CrewOnRecord(t)[0], apitest.Strangers(t))
			list = append(list, apitest.Sculled(t)...)
			samples := []Sample{at("%s/%d/report?rate_per_min=30", apitest.RecordingsPath, list[1])}
			for _, id := range list {
				samples = append(samples, at("%s/%d/report", apitest.RecordingsPath, id))
			}
			return samples
		},
	} {
		Of[route] = list
	}
}

// curvesOnly asks for the progress of a rower of whom a mean curve alone is on
// record.
func curvesOnly(t testing.TB, at func(string, ...any) Sample) Sample {
	t.Helper()
	athlete := apitest.KnownAthlete(t)
	w := apitest.Post(t, "/api/v1/curves", apitest.Object{
		"upload": apitest.Uploaded(t, apitest.MeanCurves("drive_pct", 0, 100)), "unit": "n", "force": "handle", "catch_deg": -55.0, "finish_deg": 34.0, "recorded_on": "2026-03-05",
		"curves": []any{apitest.Object{"name": "Ada force_n", "athlete_id": float64(athlete)}},
	})
	if w.Code != http.StatusCreated {
		t.Fatalf("%d %.300s", w.Code, w.Body)
	}
	return at("/api/v1/athletes/%d/progress", athlete)
}
