package strokes_test

import (
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"thole/api/apitest"
	"thole/api/jobs"
	"thole/api/strokes"
	"thole/api/wire"
	"thole/selection/stroke"
)

// measured returns the report of a request that must be answered.
func measuredStrokes(t testing.TB, parts ...apitest.Part) strokes.StrokeReport {
	t.Helper()
	w := apitest.SendParts(apitest.AnalysePath, nil, parts...)
	if w.Code != http.StatusOK {
		t.Fatalf("%d %.400s", w.Code, w.Body)
	}
	return apitest.Decoded[strokes.StrokeReport](t, w.Body.Bytes())
}

// TestFeaturesOfKnownStrokes holds the whole way over HTTP against what the
// generator put in: 108° of arc, and a half sine whose 196 N lie where
// sin(πu) = 196/600, u = 0.10570, so 11.42° after the catch, and whose 98 N lie
// at u = 0.94777, 5.64° before the finish; work with an arm of 0.84 m is
// 0.84·600·(2/π)·1.88496 rad = 604.8 J.
func TestFeaturesOfKnownStrokes(t *testing.T) {
	report := measuredStrokes(t, apitest.Part{Name: "mapping", File: "", Text: apitest.PlainMapping}, apitest.Part{Name: "thresholds", File: "", Text: apitest.Newtons}, apitest.Part{Name: "levers", File: "", Text: apitest.Arms}, apitest.FileOf(apitest.Rows(30, apitest.Known)))
	f := report.Seats[0].Oars[0].Features
	for name, want := range map[string]struct{ value, tolerance float64 }{
		"catch_deg": {-64, 0.1}, "finish_deg": {44, 0.1}, "arc_deg": {108, 0.15}, "rate_per_min": {30, 0.05},
		"catch_slip_deg": {11.42, 0.3}, "release_slip_deg": {5.64, 0.3}, "peak_n": {600, 2}, "peak_place": {0.5, 0.02},
		"mean_to_peak": {2 / math.Pi, 0.005}, "work_j": {604.8, 3}, "power_w": {302.4, 2}, "depth_deg": {-6, 0.1}, "boat_speed_m_s": {4.5, 1e-3},
	} {
		apitest.Near(t, name, f[name].Mean, want.value, want.tolerance)
	}
	apitest.Same(t, "threshold", report.Threshold, "196 N at the catch, 98 N at the release, of each oar")
	apitest.Near(t, "power of the rower", *report.Seats[0].PowerW, 302.4, 2)
}

// TestPartsComeInAnyOrder holds that the report does not depend on the order
// of the parts.
func TestPartsComeInAnyOrder(t *testing.T) {
	file, mapping, thresholds, levers := apitest.FileOf(apitest.Rows(20, apitest.Known, apitest.Known)), apitest.Part{Name: "mapping", File: "", Text: apitest.PlainMapping}, apitest.Part{Name: "thresholds", File: "", Text: apitest.OfPeak}, apitest.Part{Name: "levers", File: "", Text: apitest.Arms}
	want := apitest.SendParts(apitest.AnalysePath, nil, mapping, thresholds, levers, file).Body.String()
	for _, order := range [][]apitest.Part{{file, mapping, thresholds, levers}, {mapping, file, levers, thresholds}, {thresholds, levers, mapping, file}, {mapping, thresholds, file, levers}} {
		if got := apitest.SendParts(apitest.AnalysePath, nil, order...).Body.String(); got != want {
			t.Errorf("%s first: %.200s; want %.200s", order[0].Name, got, want)
		}
	}
}

// TestStrokeRefusals holds that each mistake of the request gets an answer
// that names it.
func TestStrokeRefusals(t *testing.T) {
	file := apitest.FileOf(apitest.Rows(10, apitest.Known))
	for _, test := range []struct {
		name   string
		parts  []apitest.Part
		status int
		told   string
	}{
		{"no file", []apitest.Part{{Name: "mapping", File: "", Text: apitest.PlainMapping}}, 422, "the part named file"},
		{"two files", []apitest.Part{file, file}, 422, "comes twice"},
		{"unknown part", []apitest.Part{{Name: "colour", File: "", Text: "red"}, file}, 422, "not known here"},
		{"no JSON", []apitest.Part{{Name: "mapping", File: "", Text: "{"}, file}, 422, "not one JSON document"},
		{"unknown member", []apitest.Part{{Name: "mapping", File: "", Text: `{"separator":"comma","columns":[],"colour":1}`}, file}, 422, "mapping.colour"},
		{"wrong kind", []apitest.Part{{Name: "thresholds", File: "", Text: `{"catch_n":"much"}`}, file}, 422, "thresholds.catch_n"},
		{"unknown separator", []apitest.Part{{Name: "mapping", File: "", Text: `{"separator":"dot","columns":[]}`}, file}, 422, "mapping.separator"},
		{"both bases", []apitest.Part{{Name: "thresholds", File: "", Text: `{"catch_n":1,"share_of_peak":0.3}`}, file}, 422, "not by both"},
		{"share too large", []apitest.Part{{Name: "thresholds", File: "", Text: `{"share_of_peak":3}`}, file}, 422, "share"},
		{"lever too long", []apitest.Part{{Name: "levers", File: "", Text: `{"in_cm":840}`}, file}, 422, "levers.in_cm"},
		{"gate without both levers", []apitest.Part{{Name: "levers", File: "", Text: apitest.Arms}, {Name: "mapping", File: "", Text: strings.Replace(apitest.PlainMapping, "{", `{"force":"gate",`, 1)}, file}, 422, "levers.out_cm"},
		{"lever missing", []apitest.Part{{Name: "levers", File: "", Text: `{}`}, file}, 422, "levers.in_cm"},
	} {
		w := apitest.SendParts(apitest.AnalysePath, nil, test.parts...)
		if w.Code != test.status || !strings.Contains(w.Body.String(), test.told) {
			t.Errorf("%s: %d %.300s; want %d with %q", test.name, w.Code, w.Body, test.status, test.told)
		}
	}
	apitest.Same(t, "not multipart", apitest.Request(http.MethodPost, apitest.AnalysePath, apitest.JSONType, "{}").Code, http.StatusUnsupportedMediaType)
}

// TestAwkwardFiles holds that files that are no measurements, or measurements
// with a mistake, get a message or a proposal and never a silent answer.
func TestAwkwardFiles(t *testing.T) {
	good := apitest.Rows(20, apitest.Known)
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
		w := apitest.SendParts(apitest.UploadsPath, nil, apitest.FileOf(test.text))
		all := w.Body.String()
		if w.Code == http.StatusCreated {
			w = apitest.SendParts(apitest.AnalysePath, nil, apitest.FileOf(test.text))
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
func finished(t testing.TB, w *httptest.ResponseRecorder) wire.Job {
	t.Helper()
	if w.Code != http.StatusAccepted {
		t.Fatalf("%d %.300s; want 202", w.Code, w.Body)
	}
	job := apitest.Decoded[wire.Job](t, w.Body.Bytes())
	apitest.Same(t, "location", w.Header().Get("Location"), "/api/v1/jobs/"+job.ID)
	for job.State == "running" {
		var err error
		if job, err = apitest.Service.Jobs.Job(t.Context(), jobs.JobRequest{ID: job.ID}); err != nil {
			t.Fatal(err)
		}
	}
	return job
}

func TestAnalysisAsAJob(t *testing.T) {
	text := apitest.Rows(60, apitest.Known)
	job := finished(t, apitest.SendParts(apitest.AnalysePath, http.Header{"Prefer": {"respond-async"}}, apitest.FileOf(text)))
	apitest.Same(t, "state", job.State, "done")
	apitest.Same(t, "bytes in all", job.Total, int64(len(text)))
	report := job.Result.(strokes.StrokeReport)
	apitest.Same(t, "bytes read", report.Bytes, int64(len(text)))
}
