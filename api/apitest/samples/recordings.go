package samples

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"thole/api/apitest"
	"thole/api/strokes"
)

const mappingsPath = "/api/v1/mappings"

// forms are multipart requests, which stand for the path of a sample.
var forms = map[string][]apitest.Part{
	"/form/1": {
		apitest.Value("mapping", apitest.PlainMapping), apitest.Value("thresholds", apitest.Newtons), apitest.Value("levers", apitest.GateArms),
		apitest.FileOf(apitest.Rows(20, apitest.Known, apitest.Known)),
	},
	"/form/2": {apitest.AtHandle, apitest.Value("thresholds", apitest.OfPeak), apitest.FileOf(apitest.Rows(10, apitest.Known, apitest.Known))},
	"/form/3": {apitest.FileOf(apitest.Rows(10, apitest.Known))},
	"/form/4": {apitest.AtHandle, apitest.Value("thresholds", `{"covered_deg":-3}`), apitest.FileOf(apitest.Rows(10, apitest.Known))},
}

func init() {
	byPath := func(path string, body apitest.Object) Sample { return Sample{path: path, Body: body} }
	for route, list := range map[string]func(testing.TB) []Sample{
		"POST " + apitest.AnalysePath: func(testing.TB) []Sample { return []Sample{{path: "/form/1"}, {path: "/form/2"}, {path: "/form/4"}} },
		"POST " + apitest.UploadsPath: func(testing.TB) []Sample { return []Sample{{path: "/form/3"}} },
		"GET " + apitest.UploadsPath + "/:id": func(t testing.TB) []Sample {
			return []Sample{byPath(apitest.UploadsPath+"/"+apitest.Uploaded(t, apitest.Rows(10, apitest.Known)), nil)}
		},
		"DELETE " + apitest.UploadsPath + "/:id": func(t testing.TB) []Sample {
			return []Sample{byPath(apitest.UploadsPath+"/"+apitest.Uploaded(t, apitest.Rows(10, apitest.Known)), nil)}
		},
		"POST " + apitest.UploadsPath + "/:id/analyse": func(t testing.TB) []Sample {
			at := apitest.UploadsPath + "/" + apitest.Uploaded(t, apitest.Rows(10, apitest.Known)) + "/analyse"
			return []Sample{
				byPath(at, apitest.Object{"mapping": apitest.Parsed(apitest.PlainMapping), "thresholds": apitest.Parsed(apitest.Newtons), "levers": apitest.Parsed(apitest.Arms)}),
				byPath(at, apitest.Object{"force": "handle", "thresholds": apitest.Parsed(apitest.OfPeak)}), byPath(at, apitest.Object{"force": "gate", "thresholds": apitest.Parsed(`{"covered_deg":-3}`)}),
			}
		},
		"GET " + mappingsPath: func(t testing.TB) []Sample { saved(t, "plain"); return []Sample{{}} },
		"GET " + mappingsPath + "/:name": func(t testing.TB) []Sample {
			return []Sample{byPath(mappingsPath+"/"+saved(t, apitest.Fresh("plain")), nil)}
		},
		"PUT " + mappingsPath + "/:name": func(testing.TB) []Sample {
			return []Sample{byPath(mappingsPath+"/wide", apitest.Object{"mapping": apitest.Parsed(apitest.PlainMapping)})}
		},
		"DELETE " + mappingsPath + "/:name": func(t testing.TB) []Sample {
			return []Sample{byPath(mappingsPath+"/"+saved(t, apitest.Fresh("gone")), nil)}
		},
		"GET " + apitest.RecordingsPath: func(t testing.TB) []Sample { apitest.Recorded(t); apitest.Strangers(t); return []Sample{{}} },
		"POST " + apitest.RecordingsPath: func(t testing.TB) []Sample {
			return []Sample{byPath(apitest.RecordingsPath, apitest.KeepingOf(apitest.Uploaded(t, apitest.Rows(20, apitest.Known, apitest.Known)), nil, apitest.KnownAthlete(t))), byPath(apitest.RecordingsPath, apitest.Object{
				"upload": apitest.Uploaded(t, apitest.Rows(20, apitest.Known)), "force": "handle", "recorded_on": "2026-03-02", "seats": []any{apitest.Object{"seat": "1"}},
			}), byPath(apitest.RecordingsPath, apitest.KeepingOf(apitest.Uploaded(t, apitest.Rows(20, apitest.Known)), apitest.KnownBoat(t), apitest.KnownAthlete(t)))}
		},
		"GET " + apitest.RecordingsPath + "/:id": func(t testing.TB) []Sample {
			var list []Sample
			for _, id := range append(apitest.Sculled(t), apitest.Recorded(t)[0], apitest.Strangers(t)) {
				at := fmt.Sprintf("%s/%d", apitest.RecordingsPath, id)
				list = append(list, byPath(at, nil), byPath(at+"?share_of_peak=0.4", nil), byPath(at+"?covered_deg=-2", nil))
			}
			return list
		},
		"GET " + apitest.RecordingsPath + "/:id/first": func(t testing.TB) []Sample {
			crew := apitest.CrewOnRecord(t)
			return []Sample{
				byPath(fmt.Sprintf("%s/%d/first", apitest.RecordingsPath, apitest.Strangers(t)), nil), byPath(fmt.Sprintf("%s/%d/first", apitest.RecordingsPath, crew[0]), nil), byPath(fmt.Sprintf("%s/%d/first", apitest.RecordingsPath, apitest.Recorded(t)[0]), nil),
				byPath(fmt.Sprintf("%s/%d/first?boat_class=1x&mass_kg=80&boat_speed_m_s=4.4", apitest.RecordingsPath, apitest.Sculled(t)[0]), nil),
			}
		},
		"PUT " + apitest.RecordingsPath + "/:id": func(t testing.TB) []Sample {
			edit := func(id int64, more apitest.Object) Sample {
				body := apitest.Object{"version": 1.0, "recorded_on": "2026-02-27", "seat": "2", "note": "wrong day before", "by": "Ines"}
				for name, v := range more {
					body[name] = v
				}
				return byPath(fmt.Sprintf("%s/%d", apitest.RecordingsPath, id), body)
			}
			covered := apitest.KeepingOf(apitest.Uploaded(t, apitest.Rows(12, apitest.Known)), nil, apitest.KnownAthlete(t))
			covered["thresholds"] = apitest.Parsed(`{"covered_deg":-3}`)
			return []Sample{
				edit(apitest.Recorded(t)[0], apitest.Object{"levers": apitest.Parsed(apitest.GateArms), "boat_id": apitest.KnownBoat(t), "athlete_id": float64(apitest.KnownAthlete(t))}), edit(apitest.Strangers(t), nil), edit(apitest.Kept(t, covered)[0].ID, nil),
				edit(apitest.Sculled(t)[0], apitest.Object{"athlete_id": nil, "side": "port"}), sculledEdit(t, edit),
			}
		},
		"PUT " + apitest.RecordingsPath + "/:id/mark": func(t testing.TB) []Sample {
			id := apitest.Recorded(t)[0]
			start := apitest.Decoded[strokes.Recording](t, apitest.Request(http.MethodGet, fmt.Sprintf("%s/%d", apitest.RecordingsPath, id), "", "").Body.Bytes()).Oar.List[3].StartS
			at := fmt.Sprintf("%s/%d/mark", apitest.RecordingsPath, id)
			return []Sample{byPath(at, apitest.Object{"version": 1.0, "start_s": start, "left_out": true, "note": "crab", "by": "Ines"})}
		},
		"GET " + apitest.RecordingsPath + "/:id/changes": func(t testing.TB) []Sample {
			return []Sample{byPath(fmt.Sprintf("%s/%d/changes", apitest.RecordingsPath, apitest.Recorded(t)[0]), nil)}
		},
		"GET " + apitest.UploadsPath + "/:id/curves": func(t testing.TB) []Sample {
			return []Sample{byPath(apitest.UploadsPath+"/"+apitest.Uploaded(t, apitest.MeanCurves("angle_deg", -60, 35))+"/curves", nil), byPath(apitest.UploadsPath+"/"+apitest.Uploaded(t, apitest.MeanCurves("drive_pct", 0, 100))+"/curves?unit=n", nil),
				byPath(apitest.UploadsPath+"/"+apitest.Uploaded(t, strings.ReplaceAll(apitest.MeanCurves("drive_pct", 0, 100), "force_n", "force"))+"/curves", nil)}
		},
		"POST /api/v1/curves": func(t testing.TB) []Sample {
			return []Sample{byPath("/api/v1/curves", apitest.Object{
				"upload": apitest.Uploaded(t, apitest.MeanCurves("drive_pct", 0, 100)), "unit": "n", "force": "handle", "catch_deg": -55.0, "finish_deg": 34.0, "recorded_on": "2026-03-05", "note": "from the wall chart", "boat_id": apitest.KnownBoat(t),
				"curves": []any{apitest.Object{"name": "Ada force_n", "athlete_id": float64(apitest.KnownAthlete(t))}, apitest.Object{"name": "Bea force_n"}},
			}), byPath("/api/v1/curves", apitest.Object{
				"upload": apitest.Uploaded(t, apitest.MeanCurves("angle_deg", -60, 35)), "force": "gate", "recorded_on": "2026-03-05", "curves": []any{apitest.Object{"name": "Bea force_n"}},
			})}
		},
		"GET /api/v1/catch": func(testing.TB) []Sample {
			return []Sample{byPath("/api/v1/catch", nil), byPath("/api/v1/catch?boat_class=4%2B&height_cm=10&sink_m_s=1&moment_ms=20&pick_up_m_s2=6", nil)}
		},
		"DELETE " + apitest.RecordingsPath + "/:id": func(t testing.TB) []Sample {
			return []Sample{byPath(fmt.Sprintf("%s/%d", apitest.RecordingsPath, apitest.Recorded(t)[0]), nil)}
		},
		"GET " + apitest.RecordingsPath + "/:id/samples": func(t testing.TB) []Sample {
			return []Sample{byPath(fmt.Sprintf("%s/%d/samples", apitest.RecordingsPath, apitest.Recorded(t)[0]), nil)}
		},
		"POST " + apitest.RecordingsPath + "/:id/entry": func(t testing.TB) []Sample {
			at := fmt.Sprintf("%s/%d/entry", apitest.RecordingsPath, apitest.Recorded(t)[0])
			return []Sample{byPath(at, apitest.Object{}), byPath(at, typedRig())}
		},
		"POST " + apitest.RecordingsPath + "/:id/calibrate": func(t testing.TB) []Sample {
			at := fmt.Sprintf("%s/%d/calibrate", apitest.RecordingsPath, apitest.Recorded(t)[0])
			return []Sample{byPath(at, apitest.Object{}), byPath(at, typedRig())}
		},
		"GET " + apitest.RecordingsPath + "/compare": func(t testing.TB) []Sample {
			a, b := apitest.Sculled(t), apitest.Recorded(t)
			var list []Sample
			for _, rest := range []string{"", "&share_of_peak=0.3", "&covered_deg=-3"} {
				list = append(list, byPath(fmt.Sprintf("%s/compare?a=%d&b=%d%s", apitest.RecordingsPath, a[0], b[0], rest), nil),
					byPath(fmt.Sprintf("%s/compare?a=%d&b=%d%s", apitest.RecordingsPath, b[1], a[1], rest), nil),
					byPath(fmt.Sprintf("%s/compare?a=%d&b=%d%s", apitest.RecordingsPath, apitest.Strangers(t), apitest.Strangers(t), rest), nil))
			}
			return list
		},
		"GET " + apitest.RecordingsPath + "/squad": func(t testing.TB) []Sample { return []Sample{byPath(apitest.RecordingsPath+"/squad", nil)} },
	} {
		Of[route] = list
	}
}

// saved saves the plain mapping under a name, which it returns as it stands in
// an address.
func saved(t testing.TB, name string) string {
	t.Helper()
	name = strings.ReplaceAll(name, " ", "-")
	w := apitest.Request(http.MethodPut, mappingsPath+"/"+name, apitest.JSONType, `{"mapping":`+apitest.PlainMapping+`}`)
	if w.Code != http.StatusOK {
		t.Fatalf("%d %.300s", w.Code, w.Body)
	}
	return name
}

func typedRig() apitest.Object {
	return apitest.Object{"boat_class": "8+", "rig": apitest.Parsed(apitest.SweepSeat), "seat_number": 3}
}

// sculledEdit corrects one oar of a sculler so that the other one stays its
// pair.
func sculledEdit(t testing.TB, edit func(int64, apitest.Object) Sample) Sample {
	id := apitest.Sculled(t)[0]
	r := apitest.Must(apitest.Service.Strokes.Recording(t.Context(), strokes.RecordingRequest{ID: id}))
	return edit(id, apitest.Object{"athlete_id": float64(*r.AthleteID), "seat": r.Seat, "side": r.Side, "recorded_on": r.RecordedOn, "levers": apitest.Parsed(apitest.Arms)})
}
