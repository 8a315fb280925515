package api_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"thole/api"
)

// forms are multipart requests, which stand for the path of a sample.
var forms = map[string][]part{
	"/form/1": {{"mapping", "", plainMapping}, {"levers", "", gateArms}, fileOf(rows(20, known, known))},
	"/form/2": {{"thresholds", "", ofPeak}, fileOf(rows(10, known, known))},
	"/form/3": {fileOf(rows(10, known))},
	"/form/4": {{"thresholds", "", `{"covered_deg":-3}`}, fileOf(rows(10, known))},
}

func init() {
	byPath := func(path string, body object) sample { return sample{path: path, body: body} }
	for route, list := range map[string]func(testing.TB) []sample{
		"POST " + analysePath: func(testing.TB) []sample { return []sample{{path: "/form/1"}, {path: "/form/2"}, {path: "/form/4"}} },
		"POST " + uploadsPath: func(testing.TB) []sample { return []sample{{path: "/form/3"}} },
		"GET " + uploadsPath + "/:id": func(t testing.TB) []sample {
			return []sample{byPath(uploadsPath+"/"+uploaded(t, rows(10, known)), nil)}
		},
		"DELETE " + uploadsPath + "/:id": func(t testing.TB) []sample {
			return []sample{byPath(uploadsPath+"/"+uploaded(t, rows(10, known)), nil)}
		},
		"POST " + uploadsPath + "/:id/analyse": func(t testing.TB) []sample {
			at := uploadsPath + "/" + uploaded(t, rows(10, known)) + "/analyse"
			return []sample{
				byPath(at, object{"mapping": parsed(plainMapping), "thresholds": parsed(newtons), "levers": parsed(arms)}),
				byPath(at, object{"thresholds": parsed(ofPeak)}), byPath(at, object{"thresholds": parsed(`{"covered_deg":-3}`)}),
			}
		},
		"GET " + mappingsPath: func(t testing.TB) []sample { saved(t, "plain"); return []sample{{}} },
		"GET " + mappingsPath + "/:name": func(t testing.TB) []sample {
			return []sample{byPath(mappingsPath+"/"+saved(t, fresh("plain")), nil)}
		},
		"PUT " + mappingsPath + "/:name": func(testing.TB) []sample {
			return []sample{byPath(mappingsPath+"/wide", object{"mapping": parsed(plainMapping)})}
		},
		"DELETE " + mappingsPath + "/:name": func(t testing.TB) []sample {
			return []sample{byPath(mappingsPath+"/"+saved(t, fresh("gone")), nil)}
		},
		"GET " + recordingsPath: func(t testing.TB) []sample { recorded(t); strangers(t); return []sample{{}} },
		"POST " + recordingsPath: func(t testing.TB) []sample {
			return []sample{byPath(recordingsPath, keepingOf(uploaded(t, rows(20, known, known)), nil, knownAthlete(t))), byPath(recordingsPath, object{
				"upload": uploaded(t, rows(20, known)), "recorded_on": "2026-03-02", "seats": []any{object{"seat": "1"}},
			}), byPath(recordingsPath, keepingOf(uploaded(t, rows(20, known)), knownBoat(t), knownAthlete(t)))}
		},
		"GET " + recordingsPath + "/:id": func(t testing.TB) []sample {
			var list []sample
			for _, id := range append(sculled(t), recorded(t)[0], strangers(t)) {
				at := fmt.Sprintf("%s/%d", recordingsPath, id)
				list = append(list, byPath(at, nil), byPath(at+"?share_of_peak=0.4", nil), byPath(at+"?covered_deg=-2", nil))
			}
			return list
		},
		"DELETE " + recordingsPath + "/:id": func(t testing.TB) []sample {
			return []sample{byPath(fmt.Sprintf("%s/%d", recordingsPath, recorded(t)[0]), nil)}
		},
		"GET " + recordingsPath + "/:id/samples": func(t testing.TB) []sample {
			return []sample{byPath(fmt.Sprintf("%s/%d/samples", recordingsPath, recorded(t)[0]), nil)}
		},
		"POST " + recordingsPath + "/:id/entry": func(t testing.TB) []sample {
			at := fmt.Sprintf("%s/%d/entry", recordingsPath, recorded(t)[0])
			return []sample{byPath(at, object{}), byPath(at, typedRig())}
		},
		"POST " + recordingsPath + "/:id/calibrate": func(t testing.TB) []sample {
			at := fmt.Sprintf("%s/%d/calibrate", recordingsPath, recorded(t)[0])
			return []sample{byPath(at, object{}), byPath(at, typedRig())}
		},
		"GET " + recordingsPath + "/compare": func(t testing.TB) []sample {
			a, b := sculled(t), recorded(t)
			var list []sample
			for _, rest := range []string{"", "&share_of_peak=0.3", "&covered_deg=-3"} {
				list = append(list, byPath(fmt.Sprintf("%s/compare?a=%d&b=%d%s", recordingsPath, a[0], b[0], rest), nil),
					byPath(fmt.Sprintf("%s/compare?a=%d&b=%d%s", recordingsPath, b[1], a[1], rest), nil),
					byPath(fmt.Sprintf("%s/compare?a=%d&b=%d%s", recordingsPath, strangers(t), strangers(t), rest), nil))
			}
			return list
		},
		"GET " + recordingsPath + "/squad": func(t testing.TB) []sample { return []sample{byPath(recordingsPath+"/squad", nil)} },
	} {
		samples[route] = list
	}
}

// uploaded sends a file that must be taken, and returns its id.
func uploaded(t testing.TB, text string) string {
	t.Helper()
	w := sendParts(uploadsPath, nil, fileOf(text))
	if w.Code != http.StatusCreated {
		t.Fatalf("%d %.300s", w.Code, w.Body)
	}
	return decoded[api.Upload](t, w.Body.Bytes()).ID
}

// saved saves the plain mapping under a name, which it returns as it stands in
// an address.
func saved(t testing.TB, name string) string {
	t.Helper()
	name = strings.ReplaceAll(name, " ", "-")
	w := request(http.MethodPut, mappingsPath+"/"+name, jsonType, `{"mapping":`+plainMapping+`}`)
	if w.Code != http.StatusOK {
		t.Fatalf("%d %.300s", w.Code, w.Body)
	}
	return name
}

// knownBoat puts a single on record whose rig is complete.
func knownBoat(t testing.TB) any {
	t.Helper()
	var rig []any
	for name, value := range map[string]float64{"span_cm": 159, "oar_length_cm": 288, "inboard_cm": 88, "heel_to_pin_cm": 23.4, "gate_height_cm": 16.5} {
		rig = append(rig, object{"seat": 1, "setting": name, "value": value})
	}
	return float64(created(t, "/api/v1/boats", object{"name": fresh("Shell"), "boat_class": "1x", "rig": rig, "by": "Ines"}))
}

func typedRig() object {
	return object{"boat_class": "8+", "rig": parsed(sweepSeat), "seat_number": 3}
}

// keepingOf asks to keep every seat of an upload: the first as an athlete's,
// others as nobody's.
func keepingOf(upload string, boat any, athlete int64) object {
	return object{
		"upload": upload, "mapping": parsed(plainMapping), "thresholds": parsed(newtons), "levers": parsed(arms), "mapping_name": "plain",
		"recorded_on": "2026-03-01", "boat_id": boat, "note": "steady", "seats": []any{object{"seat": "1", "athlete_id": athlete}},
	}
}

// kept puts recordings on record and returns them.
func kept(t testing.TB, body object) []api.RecordingSummary {
	t.Helper()
	w := post(t, recordingsPath, body)
	if w.Code != http.StatusCreated {
		t.Fatalf("%d %.400s", w.Code, w.Body)
	}
	return decoded[api.RecordingList](t, w.Body.Bytes()).Recordings
}

// recorded puts two recordings of two athletes in a known boat on record.
func recorded(t testing.TB) []int64 {
	t.Helper()
	var ids []int64
	for range 2 {
		r := kept(t, keepingOf(uploaded(t, rows(20, puller{catch: -64, finish: 44, peak: 500, period: 2, noise: 3})), knownBoat(t), knownAthlete(t)))
		ids = append(ids, r[0].ID)
	}
	return ids
}

// strangers puts a recording on record of whom nothing is known, without
// levers.
func strangers(t testing.TB) int64 {
	t.Helper()
	return kept(t, object{"upload": uploaded(t, rows(12, known)), "recorded_on": "2026-03-02", "seats": []any{object{"seat": "1"}}})[0].ID
}

// wideScull is a sculler's file: both oars beside each other, without vertical
// angle and speed.
func wideScull(seconds float64) string {
	var b strings.Builder
	b.WriteString("time [s];angle port [deg];force port [N];angle starboard [deg];force starboard [N]\n")
	for i := range int(seconds * 50) {
		t := float64(i) / 50
		angle, force, _ := known.pull(t)
		other, pull, _ := puller{catch: -63, finish: 43.5, peak: 560, lean: 0.2, period: 2}.pull(t)
		fmt.Fprintf(&b, "%.3f;%.3f;%.2f;%.3f;%.2f\n", t, angle, force, other, pull)
	}
	return b.String()
}

const scullMapping = `{"separator":"semicolon","header_lines":1,"columns":[{"index":0,"quantity":"time","unit":"s"},
	{"index":1,"quantity":"oar_angle","unit":"deg","seat":"1","side":"port"},{"index":2,"quantity":"force","unit":"n","seat":"1","side":"port"},
	{"index":3,"quantity":"oar_angle","unit":"deg","seat":"1","side":"starboard"},{"index":4,"quantity":"force","unit":"n","seat":"1","side":"starboard"}]}`

// sculled puts both oars of a sculler on record.
func sculled(t testing.TB) []int64 {
	t.Helper()
	body := keepingOf(uploaded(t, wideScull(20)), knownBoat(t), knownAthlete(t))
	body["mapping"] = parsed(scullMapping)
	var ids []int64
	for _, r := range kept(t, body) {
		ids = append(ids, r.ID)
	}
	if len(ids) != 2 {
		t.Fatalf("a sculler has %d recordings", len(ids))
	}
	return ids
}
