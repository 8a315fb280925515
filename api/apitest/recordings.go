package apitest

import (
	"fmt"
	"math"
	"net/http"
	"strings"
	"testing"

	"thole/api/strokefile"
	"thole/api/strokes"
)

// Uploaded sends a file that must be taken, and returns its id.
func Uploaded(t testing.TB, text string) string {
	t.Helper()
	w := SendParts(UploadsPath, nil, FileOf(text))
	if w.Code != http.StatusCreated {
		t.Fatalf("%d %.300s", w.Code, w.Body)
	}
	return Decoded[strokefile.Upload](t, w.Body.Bytes()).ID
}

// KnownBoat puts a single on record whose rig is complete.
func KnownBoat(t testing.TB) any {
	t.Helper()
	var rig []any
	for name, value := range map[string]float64{"span_cm": 159, "oar_length_cm": 288, "inboard_cm": 88, "heel_to_pin_cm": 23.4, "gate_height_cm": 16.5} {
		rig = append(rig, Object{"seat": 1, "setting": name, "value": value})
	}
	return float64(Created(t, "/api/v1/boats", Object{"name": Fresh("Shell"), "boat_class": "1x", "rig": rig, "by": "Ines"}))
}

// Analysed returns the report of a request that must be answered.
func Analysed(t testing.TB, parts ...Part) strokefile.StrokeReport {
	t.Helper()
	w := SendParts(AnalysePath, nil, parts...)
	if w.Code != http.StatusOK {
		t.Fatalf("%d %.400s", w.Code, w.Body)
	}
	return Decoded[strokefile.StrokeReport](t, w.Body.Bytes())
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
		r := Kept(t, KeepingOf(Uploaded(t, Rows(20, Puller{Catch: -64, Finish: 44, Peak: 500, Period: 2, Noise: 3})), KnownBoat(t), KnownAthlete(t)))
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
	body := KeepingOf(Uploaded(t, wideScull(20)), KnownBoat(t), KnownAthlete(t))
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
