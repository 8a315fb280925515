package api_test

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"thole/api"
	"thole/selection/stroke"
)

const (
	analysePath    = "/api/v1/strokes/analyse"
	uploadsPath    = "/api/v1/uploads"
	recordingsPath = "/api/v1/recordings"
	mappingsPath   = "/api/v1/mappings"
)

// puller is a rower whose strokes are known: the angle runs along half cosines
// from catch to finish and back, the force along a half sine over the arc.
type puller struct {
	catch, finish float64 // degrees
	peak          float64 // N
	lean          float64 // moves the peak: negative towards the catch
	period        float64 // s
	noise         float64 // N and hundredths of a degree
}

var known = puller{catch: -64, finish: 44, peak: 600, period: 2}

// pull returns angle, force and vertical angle at a time.
func (p puller) pull(t float64) (angle, force, vertical float64) {
	const drive = 0.45
	u := math.Mod(t, p.period) / p.period
	if u < drive {
		w := (1 - math.Cos(math.Pi*u/drive)) / 2
		return p.catch + (p.finish-p.catch)*w, p.peak * math.Sin(math.Pi*math.Pow(w, math.Exp2(p.lean))), 2.5 - 8.5*math.Sin(math.Pi*w)
	}
	w := (1 + math.Cos(math.Pi*(u-drive)/(1-drive))) / 2
	return p.catch + (p.finish-p.catch)*w, 0, 2.5
}

// rows writes seconds of rowing at 50 Hz in the plain layout, one seat after
// the other at each instant.
func rows(seconds float64, crew ...puller) string {
	var b strings.Builder
	b.WriteString(stroke.PlainHeader + "\n")
	rng := rand.New(rand.NewPCG(1, 2))
	for i := range int(seconds * 50) {
		t := float64(i) / 50
		for seat, p := range crew {
			angle, force, vertical := p.pull(t)
			fmt.Fprintf(&b, "%.3f,%d,%.3f,%.2f,%.3f,4.500\n", t, seat+1, angle+p.noise*rng.NormFloat64()/100, force+p.noise*rng.NormFloat64(), vertical)
		}
	}
	return b.String()
}

// part is one part of a multipart request.
type part struct{ name, file, text string }

func fileOf(text string) part { return part{"file", "outing.csv", text} }

// sendParts posts a multipart request.
func sendParts(path string, header http.Header, parts ...part) *httptest.ResponseRecorder {
	r := multipartRequest(path, parts...)
	for name, values := range header {
		r.Header[name] = values
	}
	answer := httptest.NewRecorder()
	server().ServeHTTP(answer, r)
	return answer
}

func multipartRequest(path string, parts ...part) *http.Request {
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	for _, p := range parts {
		var to io.Writer
		if p.file != "" {
			to, _ = w.CreateFormFile(p.name, p.file)
		} else {
			to, _ = w.CreateFormField(p.name)
		}
		_, _ = io.WriteString(to, p.text)
	}
	_ = w.Close()
	r := httptest.NewRequest(http.MethodPost, path, &body)
	r.Header.Set("Content-Type", w.FormDataContentType())
	return r
}

// measured returns the report of a request that must be answered.
func measuredStrokes(t testing.TB, parts ...part) api.StrokeReport {
	t.Helper()
	w := sendParts(analysePath, nil, parts...)
	if w.Code != http.StatusOK {
		t.Fatalf("%d %.400s", w.Code, w.Body)
	}
	return decoded[api.StrokeReport](t, w.Body.Bytes())
}

const (
	plainMapping = `{"separator":"comma","header_lines":1,"columns":[{"index":0,"quantity":"time","unit":"s"},{"index":1,"quantity":"seat"},
		{"index":2,"quantity":"oar_angle","unit":"deg"},{"index":3,"quantity":"force","unit":"n"},{"index":4,"quantity":"vertical_angle","unit":"deg"},
		{"index":5,"quantity":"boat_speed","unit":"m_s"}]}`
	newtons  = `{"catch_n":196,"release_n":98}`
	ofPeak   = `{"share_of_peak":0.3}`
	arms     = `{"in_cm":84}`
	gateArms = `{"in_cm":84,"out_cm":180}`
)

// TestFeaturesOfKnownStrokes holds the whole way over HTTP against what the
// generator put in: 108° of arc, and a half sine whose 196 N lie where
// sin(πu) = 196/600, u = 0.10570, so 11.42° after the catch, and whose 98 N lie
// at u = 0.94777, 5.64° before the finish; work with an arm of 0.84 m is
// 0.84·600·(2/π)·1.88496 rad = 604.8 J.
func TestFeaturesOfKnownStrokes(t *testing.T) {
	report := measuredStrokes(t, part{"mapping", "", plainMapping}, part{"thresholds", "", newtons}, part{"levers", "", arms}, fileOf(rows(30, known)))
	f := report.Seats[0].Oars[0].Features
	for name, want := range map[string]struct{ value, tolerance float64 }{
		"catch_deg": {-64, 0.1}, "finish_deg": {44, 0.1}, "arc_deg": {108, 0.15}, "rate_per_min": {30, 0.05},
		"catch_slip_deg": {11.42, 0.3}, "release_slip_deg": {5.64, 0.3}, "peak_n": {600, 2}, "peak_place": {0.5, 0.02},
		"mean_to_peak": {2 / math.Pi, 0.005}, "work_j": {604.8, 3}, "power_w": {302.4, 2}, "depth_deg": {-6, 0.1}, "boat_speed_m_s": {4.5, 1e-3},
	} {
		near(t, name, f[name].Mean, want.value, want.tolerance)
	}
	same(t, "threshold", report.Threshold, "196 N at the catch, 98 N at the release, of each oar")
	near(t, "power of the rower", *report.Seats[0].PowerW, 302.4, 2)
}

// TestPartsComeInAnyOrder holds that the report does not depend on the order
// of the parts.
func TestPartsComeInAnyOrder(t *testing.T) {
	file, mapping, thresholds, levers := fileOf(rows(20, known, known)), part{"mapping", "", plainMapping}, part{"thresholds", "", ofPeak}, part{"levers", "", arms}
	want := sendParts(analysePath, nil, mapping, thresholds, levers, file).Body.String()
	for _, order := range [][]part{{file, mapping, thresholds, levers}, {mapping, file, levers, thresholds}, {thresholds, levers, mapping, file}, {mapping, thresholds, file, levers}} {
		if got := sendParts(analysePath, nil, order...).Body.String(); got != want {
			t.Errorf("%s first: %.200s; want %.200s", order[0].name, got, want)
		}
	}
}

// TestStrokeRefusals holds that each mistake of the request gets an answer
// that names it.
func TestStrokeRefusals(t *testing.T) {
	file := fileOf(rows(10, known))
	for _, test := range []struct {
		name   string
		parts  []part
		status int
		told   string
	}{
		{"no file", []part{{"mapping", "", plainMapping}}, 422, "the part named file"},
		{"two files", []part{file, file}, 422, "comes twice"},
		{"unknown part", []part{{"colour", "", "red"}, file}, 422, "not known here"},
		{"no JSON", []part{{"mapping", "", "{"}, file}, 422, "not one JSON document"},
		{"unknown member", []part{{"mapping", "", `{"separator":"comma","columns":[],"colour":1}`}, file}, 422, "mapping.colour"},
		{"wrong kind", []part{{"thresholds", "", `{"catch_n":"much"}`}, file}, 422, "thresholds.catch_n"},
		{"unknown separator", []part{{"mapping", "", `{"separator":"dot","columns":[]}`}, file}, 422, "mapping.separator"},
		{"both bases", []part{{"thresholds", "", `{"catch_n":1,"share_of_peak":0.3}`}, file}, 422, "not by both"},
		{"share too large", []part{{"thresholds", "", `{"share_of_peak":3}`}, file}, 422, "share"},
		{"lever too long", []part{{"levers", "", `{"in_cm":840}`}, file}, 422, "levers.in_cm"},
		{"gate without both levers", []part{{"levers", "", arms}, {"mapping", "", strings.Replace(plainMapping, "{", `{"force":"gate",`, 1)}, file}, 422, "levers.out_cm"},
		{"lever missing", []part{{"levers", "", `{}`}, file}, 422, "levers.in_cm"},
	} {
		w := sendParts(analysePath, nil, test.parts...)
		if w.Code != test.status || !strings.Contains(w.Body.String(), test.told) {
			t.Errorf("%s: %d %.300s; want %d with %q", test.name, w.Code, w.Body, test.status, test.told)
		}
	}
	same(t, "not multipart", request(http.MethodPost, analysePath, jsonType, "{}").Code, http.StatusUnsupportedMediaType)
}

// TestAwkwardFiles holds that files that are no measurements, or measurements
// with a mistake, get a message or a proposal and never a silent answer.
func TestAwkwardFiles(t *testing.T) {
	good := rows(20, known)
	body := strings.TrimPrefix(good, stroke.PlainHeader+"\n")
	for _, test := range []struct {
		name, text string
		status     int
		told       string // in the answer, whatever its status
	}{
		{"empty", "", 422, "empty"},
		{"a PDF", "%PDF-1.4\n%\xe2\xe3\xcf\xd3\n1 0 obj\n<</Type/Catalog>>\nendobj\n" + strings.Repeat("\x00\x01stream\n", 500), 422, "PDF"},
		{"zeros", strings.Repeat("\x00", 2<<20), 422, "NUL"},
		{"radians", swapColumn(good, 2, func(v float64) float64 { return v * math.Pi / 180 }), 200, "radians"},
		{"swapped sign", swapColumn(good, 2, func(v float64) float64 { return -v }), 200, "swapped_angle"},
		{"kgf", swapColumn(good, 3, func(v float64) float64 { return v / 9.80665 }), 200, "low_force"},
		{"constant angle", swapColumn(good, 2, func(float64) float64 { return 3 }), 200, "constant_angle"},
		{"time backwards", stroke.PlainHeader + "\n" + body[len(body)/2:] + body, 200, "order"},
		{"text in numbers", strings.ReplaceAll(good, ",599.", ",strong."), 200, `"fault":"number"`},
	} {
		w := sendParts(uploadsPath, nil, fileOf(test.text))
		all := w.Body.String()
		if w.Code == http.StatusCreated {
			w = sendParts(analysePath, nil, fileOf(test.text))
			all += w.Body.String()
		}
		if !strings.Contains(all, test.told) || w.Code != test.status && w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%s: %d %.600s; want %d with %q", test.name, w.Code, all, test.status, test.told)
		}
	}
}

// swapColumn changes the values of one column of rows of the plain layout.
func swapColumn(text string, column int, change func(float64) float64) string {
	lines := strings.SplitAfter(text, "\n")
	for i, line := range lines {
		cells := strings.Split(strings.TrimSpace(line), ",")
		var v float64
		if len(cells) <= column {
			continue
		}
		if _, err := fmt.Sscan(cells[column], &v); err != nil {
			continue
		}
		cells[column] = fmt.Sprintf("%.5f", change(v))
		lines[i] = strings.Join(cells, ",") + "\n"
	}
	return strings.Join(lines, "")
}

// finished waits for a job that the answer announces.
func finished(t testing.TB, w *httptest.ResponseRecorder) api.Job {
	t.Helper()
	if w.Code != http.StatusAccepted {
		t.Fatalf("%d %.300s; want 202", w.Code, w.Body)
	}
	job := decoded[api.Job](t, w.Body.Bytes())
	same(t, "location", w.Header().Get("Location"), "/api/v1/jobs/"+job.ID)
	for job.State == "running" {
		var err error
		if job, err = service.Job(t.Context(), api.JobRequest{ID: job.ID}); err != nil {
			t.Fatal(err)
		}
	}
	return job
}

func TestAnalysisAsAJob(t *testing.T) {
	text := rows(60, known)
	job := finished(t, sendParts(analysePath, http.Header{"Prefer": {"respond-async"}}, fileOf(text)))
	same(t, "state", job.State, "done")
	same(t, "bytes in all", job.Total, int64(len(text)))
	report := job.Result.(api.StrokeReport)
	same(t, "bytes read", report.Bytes, int64(len(text)))
}
