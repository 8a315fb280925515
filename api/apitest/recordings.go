package apitest

import (
	"fmt"
	"math"
	"net/http"
	"strings"
	"testing"

	"thole/api/strokes"
)

// forms are multipart requests, which stand for the path of a sample.
var forms = map[string][]Part{
	"/form/1": {{"mapping", "", PlainMapping}, {"thresholds", "", Newtons}, {"levers", "", gateArms}, FileOf(Rows(20, Known, Known))},
	"/form/2": {AtHandle, {"thresholds", "", OfPeak}, FileOf(Rows(10, Known, Known))},
	"/form/3": {FileOf(Rows(10, Known))},
	"/form/4": {AtHandle, {"thresholds", "", `{"covered_deg":-3}`}, FileOf(Rows(10, Known))},
}

func init() {
	byPath := func(path string, body Object) sample { return sample{path: path, Body: body} }
	for route, list := range map[string]func(testing.TB) []sample{
		"POST " + AnalysePath: func(testing.TB) []sample { return []sample{{path: "/form/1"}, {path: "/form/2"}, {path: "/form/4"}} },
		"POST " + UploadsPath: func(testing.TB) []sample { return []sample{{path: "/form/3"}} },
		"GET " + UploadsPath + "/:id": func(t testing.TB) []sample {
			return []sample{byPath(UploadsPath+"/"+Uploaded(t, Rows(10, Known)), nil)}
		},
		"DELETE " + UploadsPath + "/:id": func(t testing.TB) []sample {
			return []sample{byPath(UploadsPath+"/"+Uploaded(t, Rows(10, Known)), nil)}
		},
		"POST " + UploadsPath + "/:id/analyse": func(t testing.TB) []sample {
			at := UploadsPath + "/" + Uploaded(t, Rows(10, Known)) + "/analyse"
			return []sample{
				byPath(at, Object{"mapping": Parsed(PlainMapping), "thresholds": Parsed(Newtons), "levers": Parsed(Arms)}),
				byPath(at, Object{"force": "handle", "thresholds": Parsed(OfPeak)}), byPath(at, Object{"force": "gate", "thresholds": Parsed(`{"covered_deg":-3}`)}),
			}
		},
		"GET " + mappingsPath: func(t testing.TB) []sample { saved(t, "plain"); return []sample{{}} },
		"GET " + mappingsPath + "/:name": func(t testing.TB) []sample {
			return []sample{byPath(mappingsPath+"/"+saved(t, Fresh("plain")), nil)}
		},
		"PUT " + mappingsPath + "/:name": func(testing.TB) []sample {
			return []sample{byPath(mappingsPath+"/wide", Object{"mapping": Parsed(PlainMapping)})}
		},
		"DELETE " + mappingsPath + "/:name": func(t testing.TB) []sample {
			return []sample{byPath(mappingsPath+"/"+saved(t, Fresh("gone")), nil)}
		},
		"GET " + RecordingsPath: func(t testing.TB) []sample { Recorded(t); Strangers(t); return []sample{{}} },
		"POST " + RecordingsPath: func(t testing.TB) []sample {
			return []sample{byPath(RecordingsPath, KeepingOf(Uploaded(t, Rows(20, Known, Known)), nil, KnownAthlete(t))), byPath(RecordingsPath, Object{
				"upload": Uploaded(t, Rows(20, Known)), "force": "handle", "recorded_on": "2026-03-02", "seats": []any{Object{"seat": "1"}},
			}), byPath(RecordingsPath, KeepingOf(Uploaded(t, Rows(20, Known)), knownBoat(t), KnownAthlete(t)))}
		},
		"GET " + RecordingsPath + "/:id": func(t testing.TB) []sample {
			var list []sample
			for _, id := range append(Sculled(t), Recorded(t)[0], Strangers(t)) {
				at := fmt.Sprintf("%s/%d", RecordingsPath, id)
				list = append(list, byPath(at, nil), byPath(at+"?share_of_peak=0.4", nil), byPath(at+"?covered_deg=-2", nil))
			}
			return list
		},
		"GET " + RecordingsPath + "/:id/first": func(t testing.TB) []sample {
			crew := CrewOnRecord(t)
			return []sample{
				byPath(fmt.Sprintf("%s/%d/first", RecordingsPath, Strangers(t)), nil), byPath(fmt.Sprintf("%s/%d/first", RecordingsPath, crew[0]), nil), byPath(fmt.Sprintf("%s/%d/first", RecordingsPath, Recorded(t)[0]), nil),
				byPath(fmt.Sprintf("%s/%d/first?boat_class=1x&mass_kg=80&boat_speed_m_s=4.4", RecordingsPath, Sculled(t)[0]), nil),
			}
		},
		"PUT " + RecordingsPath + "/:id": func(t testing.TB) []sample {
			edit := func(id int64, more Object) sample {
				body := Object{"version": 1.0, "recorded_on": "2026-02-27", "seat": "2", "note": "wrong day before", "by": "Ines"}
				for name, v := range more {
					body[name] = v
				}
				return byPath(fmt.Sprintf("%s/%d", RecordingsPath, id), body)
			}
			covered := KeepingOf(Uploaded(t, Rows(12, Known)), nil, KnownAthlete(t))
			covered["thresholds"] = Parsed(`{"covered_deg":-3}`)
			return []sample{
				edit(Recorded(t)[0], Object{"levers": Parsed(gateArms), "boat_id": knownBoat(t), "athlete_id": float64(KnownAthlete(t))}), edit(Strangers(t), nil), edit(Kept(t, covered)[0].ID, nil),
				edit(Sculled(t)[0], Object{"athlete_id": nil, "side": "port"}), sculledEdit(t, edit),
			}
		},
		"PUT " + RecordingsPath + "/:id/mark": func(t testing.TB) []sample {
			id := Recorded(t)[0]
			start := Decoded[strokes.Recording](t, Request(http.MethodGet, fmt.Sprintf("%s/%d", RecordingsPath, id), "", "").Body.Bytes()).Oar.List[3].StartS
			at := fmt.Sprintf("%s/%d/mark", RecordingsPath, id)
			return []sample{byPath(at, Object{"version": 1.0, "start_s": start, "left_out": true, "note": "crab", "by": "Ines"})}
		},
		"GET " + RecordingsPath + "/:id/changes": func(t testing.TB) []sample {
			return []sample{byPath(fmt.Sprintf("%s/%d/changes", RecordingsPath, Recorded(t)[0]), nil)}
		},
		"GET " + UploadsPath + "/:id/curves": func(t testing.TB) []sample {
			return []sample{byPath(UploadsPath+"/"+Uploaded(t, MeanCurves("angle_deg", -60, 35))+"/curves", nil), byPath(UploadsPath+"/"+Uploaded(t, MeanCurves("drive_pct", 0, 100))+"/curves?unit=n", nil),
				byPath(UploadsPath+"/"+Uploaded(t, strings.ReplaceAll(MeanCurves("drive_pct", 0, 100), "force_n", "force"))+"/curves", nil)}
		},
		"POST /api/v1/curves": func(t testing.TB) []sample {
			return []sample{byPath("/api/v1/curves", Object{
				"upload": Uploaded(t, MeanCurves("drive_pct", 0, 100)), "unit": "n", "force": "handle", "catch_deg": -55.0, "finish_deg": 34.0, "recorded_on": "2026-03-05", "note": "from the wall chart", "boat_id": knownBoat(t),
				"curves": []any{Object{"name": "Ada force_n", "athlete_id": float64(KnownAthlete(t))}, Object{"name": "Bea force_n"}},
			}), byPath("/api/v1/curves", Object{
				"upload": Uploaded(t, MeanCurves("angle_deg", -60, 35)), "force": "gate", "recorded_on": "2026-03-05", "curves": []any{Object{"name": "Bea force_n"}},
			})}
		},
		"GET /api/v1/catch": func(testing.TB) []sample {
			return []sample{byPath("/api/v1/catch", nil), byPath("/api/v1/catch?boat_class=4%2B&height_cm=10&sink_m_s=1&moment_ms=20&pick_up_m_s2=6", nil)}
		},
		"DELETE " + RecordingsPath + "/:id": func(t testing.TB) []sample {
			return []sample{byPath(fmt.Sprintf("%s/%d", RecordingsPath, Recorded(t)[0]), nil)}
		},
		"GET " + RecordingsPath + "/:id/samples": func(t testing.TB) []sample {
			return []sample{byPath(fmt.Sprintf("%s/%d/samples", RecordingsPath, Recorded(t)[0]), nil)}
		},
		"POST " + RecordingsPath + "/:id/entry": func(t testing.TB) []sample {
			at := fmt.Sprintf("%s/%d/entry", RecordingsPath, Recorded(t)[0])
			return []sample{byPath(at, Object{}), byPath(at, typedRig())}
		},
		"POST " + RecordingsPath + "/:id/calibrate": func(t testing.TB) []sample {
			at := fmt.Sprintf("%s/%d/calibrate", RecordingsPath, Recorded(t)[0])
			return []sample{byPath(at, Object{}), byPath(at, typedRig())}
		},
		"GET " + RecordingsPath + "/compare": func(t testing.TB) []sample {
			a, b := Sculled(t), Recorded(t)
			var list []sample
			for _, rest := range []string{"", "&share_of_peak=0.3", "&covered_deg=-3"} {
				list = append(list, byPath(fmt.Sprintf("%s/compare?a=%d&b=%d%s", RecordingsPath, a[0], b[0], rest), nil),
					byPath(fmt.Sprintf("%s/compare?a=%d&b=%d%s", RecordingsPath, b[1], a[1], rest), nil),
					byPath(fmt.Sprintf("%s/compare?a=%d&b=%d%s", RecordingsPath, Strangers(t), Strangers(t), rest), nil))
			}
			return list
		},
		"GET " + RecordingsPath + "/squad": func(t testing.TB) []sample { return []sample{byPath(RecordingsPath+"/squad", nil)} },
	} {
		Samples[route] = list
	}
}

// Uploaded sends a file that must be taken, and returns its id.
func Uploaded(t testing.TB, text string) string {
	t.Helper()
	w := SendParts(UploadsPath, nil, FileOf(text))
	if w.Code != http.StatusCreated {
		t.Fatalf("%d %.300s", w.Code, w.Body)
	}
	return Decoded[strokes.Upload](t, w.Body.Bytes()).ID
}

// saved saves the plain mapping under a name, which it returns as it stands in
// an address.
func saved(t testing.TB, name string) string {
	t.Helper()
	name = strings.ReplaceAll(name, " ", "-")
	w := Request(http.MethodPut, mappingsPath+"/"+name, JSONType, `{"mapping":`+PlainMapping+`}`)
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
		rig = append(rig, Object{"seat": 1, "setting": name, "value": value})
	}
	return float64(Created(t, "/api/v1/boats", Object{"name": Fresh("Shell"), "boat_class": "1x", "rig": rig, "by": "Ines"}))
}

func typedRig() Object {
	return Object{"boat_class": "8+", "rig": Parsed(SweepSeat), "seat_number": 3}
}

// KeepingOf asks to keep every seat of an upload: the first as an athlete's,
// others as nobody's.
func KeepingOf(upload string, boat any, athlete int64) Object {
	return Object{
		"upload": upload, "mapping": Parsed(PlainMapping), "thresholds": Parsed(Newtons), "levers": Parsed(Arms), "mapping_name": "plain",
		"recorded_on": "2026-03-01", "boat_id": boat, "note": "steady", "seats": []any{Object{"seat": "1", "athlete_id": athlete}},
	}
}

// Kept puts recordings on record and returns them.
func Kept(t testing.TB, body Object) []strokes.RecordingSummary {
	t.Helper()
	w := Post(t, RecordingsPath, body)
	if w.Code != http.StatusCreated {
		t.Fatalf("%d %.400s", w.Code, w.Body)
	}
	return Decoded[strokes.RecordingList](t, w.Body.Bytes()).Recordings
}

// Recorded puts two recordings of two athletes in a known boat on record.
func Recorded(t testing.TB) []int64 {
	t.Helper()
	var ids []int64
	for range 2 {
		r := Kept(t, KeepingOf(Uploaded(t, Rows(20, Puller{Catch: -64, Finish: 44, Peak: 500, Period: 2, Noise: 3})), knownBoat(t), KnownAthlete(t)))
		ids = append(ids, r[0].ID)
	}
	return ids
}

// Strangers puts a recording on record of whom nothing is known, without
// levers.
func Strangers(t testing.TB) int64 {
	t.Helper()
	return Kept(t, Object{"upload": Uploaded(t, Rows(12, Known)), "force": "handle", "recorded_on": "2026-03-02", "seats": []any{Object{"seat": "1"}}})[0].ID
}

// wideScull is a sculler's file: both oars beside each other, without vertical
// angle and speed.
func wideScull(seconds float64) string {
	var b strings.Builder
	b.WriteString("time [s];angle port [deg];force port [N];angle starboard [deg];force starboard [N]\n")
	for i := range int(seconds * 50) {
		t := float64(i) / 50
		angle, force, _ := Known.Pull(t)
		other, pull, _ := Puller{Catch: -63, Finish: 43.5, Peak: 560, Lean: 0.2, Period: 2}.Pull(t)
		fmt.Fprintf(&b, "%.3f;%.3f;%.2f;%.3f;%.2f\n", t, angle, force, other, pull)
	}
	return b.String()
}

const scullMapping = `{"separator":"semicolon","force":"handle","header_lines":1,"columns":[{"index":0,"quantity":"time","unit":"s"},
	{"index":1,"quantity":"oar_angle","unit":"deg","seat":"1","side":"port"},{"index":2,"quantity":"force","unit":"n","seat":"1","side":"port"},
	{"index":3,"quantity":"oar_angle","unit":"deg","seat":"1","side":"starboard"},{"index":4,"quantity":"force","unit":"n","seat":"1","side":"starboard"}]}`

// Sculled puts both oars of a sculler on record.
func Sculled(t testing.TB) []int64 {
	t.Helper()
	body := KeepingOf(Uploaded(t, wideScull(20)), knownBoat(t), KnownAthlete(t))
	body["mapping"] = Parsed(scullMapping)
	var ids []int64
	for _, r := range Kept(t, body) {
		ids = append(ids, r.ID)
	}
	if len(ids) != 2 {
		t.Fatalf("a sculler has %d recordings", len(ids))
	}
	return ids
}

// CrewOnRecord keeps a four of which the first is shorter at the catch than the
// others, and returns the recordings by seat.
func CrewOnRecord(t testing.TB) []int64 {
	var crew []Puller
	for i := range 4 {
		p := Puller{Catch: -55 - float64(i)/10, Finish: 34, Peak: 620, Period: 2, Noise: 8}
		if i == 0 {
			p.Catch = -49
		}
		crew = append(crew, p)
	}
	boat := Created(t, "/api/v1/boats", Object{"name": Fresh("Four"), "boat_class": "4-", "by": "Ines"})
	body := Object{"upload": Uploaded(t, Rows(40, crew...)), "force": "handle", "levers": Parsed(`{"in_cm":101,"out_cm":230}`), "recorded_on": "2026-03-04", "boat_id": float64(boat)}
	var seats []any
	for i := range crew {
		seats = append(seats, Object{"seat": fmt.Sprint(i + 1)})
	}
	body["seats"] = seats
	var ids []int64
	for _, r := range Kept(t, body) {
		ids = append(ids, r.ID)
	}
	return ids
}

// sculledEdit corrects one oar of a sculler so that the other one stays its
// pair.
func sculledEdit(t testing.TB, edit func(int64, Object) sample) sample {
	id := Sculled(t)[0]
	r := Must(Service.Strokes.Recording(t.Context(), strokes.RecordingRequest{ID: id}))
	return edit(id, Object{"athlete_id": float64(*r.AthleteID), "seat": r.Seat, "side": r.Side, "recorded_on": r.RecordedOn, "levers": Parsed(Arms)})
}

// MeanCurves writes half sines of 500 and 600 N over an axis.
func MeanCurves(axis string, from, to float64) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s,Ada force_n,Bea force_n\n", axis)
	for i := range 51 {
		u := float64(i) / 50
		fmt.Fprintf(&b, "%.2f,%.2f,%.2f\n", from+(to-from)*u, 500*math.Sin(math.Pi*u), 600*math.Sin(math.Pi*u))
	}
	return b.String()
}

// TwoRatesText writes a minute at 20 strokes a minute and 400 N, then 50 s at 30
// and 600 N.
func TwoRatesText() string {
	slow := Known
	slow.Period, slow.Peak = 3, 400
	var b strings.Builder
	b.WriteString(Rows(60, slow))
	for i, line := range strings.Split(strings.TrimSpace(Rows(50, Known)), "\n")[1:] {
		_, rest, _ := strings.Cut(line, ",")
		fmt.Fprintf(&b, "%.3f,%s\n", 60+float64(i)/50, rest)
	}
	return b.String()
}

// TwoRates keeps them.
func TwoRates(t testing.TB) int64 {
	return Kept(t, Object{"upload": Uploaded(t, TwoRatesText()), "force": "handle", "recorded_on": "2026-03-06", "seats": []any{Object{"seat": "1"}}})[0].ID
}
