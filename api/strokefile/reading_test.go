package strokefile_test

import (
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"thole/api/apitest"
	"thole/api/jobs"
	"thole/api/strokefile"
	"thole/api/wire"
	"thole/selection/stroke"
)

// TestFeaturesOfKnownStrokes holds the whole way over HTTP against what the
// generator put in: 108° of arc, and a half sine whose 196 N lie where
// sin(πu) = 196/600, u = 0.10570, so 11.42° after the catch, and whose 98 N lie
// at u = 0.94777, 5.64° before the finish; work with an arm of 0.84 m is
// 0.84·600·(2/π)·1.88496 rad = 604.8 J.
func TestFeaturesOfKnownStrokes(t *testing.T) {
	report := apitest.Analysed(t, apitest.Part{Name: "mapping", File: "", Text: apitest.PlainMapping}, apitest.Part{Name: "thresholds", File: "", Text: apitest.Newtons}, apitest.Part{Name: "levers", File: "", Text: apitest.Arms}, apitest.FileOf(apitest.Rows(30, apitest.Known)))
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
		{"wrong kind", []apitest.Part{apitest.AtHandle, {Name: "thresholds", File: "", Text: `{"catch_n":"much"}`}, file}, 422, "thresholds.catch_n"},
		{"unknown separator", []apitest.Part{{Name: "mapping", File: "", Text: `{"separator":"dot","columns":[]}`}, file}, 422, "mapping.separator"},
		{"both bases", []apitest.Part{apitest.AtHandle, {Name: "thresholds", File: "", Text: `{"catch_n":1,"share_of_peak":0.3}`}, file}, 422, "not by both"},
		{"share too large", []apitest.Part{apitest.AtHandle, {Name: "thresholds", File: "", Text: `{"share_of_peak":3}`}, file}, 422, "share"},
		{"lever too long", []apitest.Part{apitest.AtHandle, {Name: "levers", File: "", Text: `{"in_cm":840}`}, file}, 422, "levers.in_cm"},
		{"gate without both levers", []apitest.Part{{Name: "levers", File: "", Text: apitest.Arms}, {Name: "mapping", File: "", Text: strings.Replace(apitest.PlainMapping, `"handle"`, `"gate"`, 1)}, file}, 422, "levers.out_cm"},
		{"site of a mapping not said", []apitest.Part{{Name: "mapping", Text: strings.Replace(apitest.PlainMapping, `"force":"handle",`, "", 1)}, file}, 422, `"pointer":"#/mapping/force"`},
		{"site of a detected mapping not said", []apitest.Part{file}, 422, `"pointer":"#/force"`},
		{"zero beyond the circle", []apitest.Part{{Name: "mapping", Text: strings.Replace(apitest.PlainMapping, "{", `{"zeros":[{"angle_deg":400}],`, 1)}, file}, 422, "zeros/0/angle_deg"},
		{"one force of two", []apitest.Part{apitest.AtHandle, {Name: "thresholds", Text: `{"catch_n":196}`}, file}, 422, "thresholds/release_n"},
		{"oars of a share", []apitest.Part{apitest.AtHandle, {Name: "thresholds", Text: `{"share_of_peak":0.3,"rower_oars":2}`}, file}, 422, "rower_oars"},
		{"lever missing", []apitest.Part{apitest.AtHandle, {Name: "levers", File: "", Text: `{}`}, file}, 422, "levers.in_cm"},
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
			w = apitest.SendParts(apitest.AnalysePath, nil, apitest.AtHandle, apitest.FileOf(test.text))
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
	job := finished(t, apitest.SendParts(apitest.AnalysePath, http.Header{"Prefer": {"respond-async"}}, apitest.AtHandle, apitest.FileOf(text)))
	apitest.Same(t, "state", job.State, "done")
	apitest.Same(t, "bytes in all", job.Total, int64(len(text)))
	report := job.Result.(strokefile.StrokeReport)
	apitest.Same(t, "bytes read", report.Bytes, int64(len(text)))
}

// TestTheDefaultThresholdIsOfTheOwnPeak holds a half sine against 30 % of its
// peak: it stands there where sin(πu) = 0.3, u = 0.09699, 10.47° after the
// catch and before the finish.
func TestTheDefaultThresholdIsOfTheOwnPeak(t *testing.T) {
	report := apitest.Analysed(t, apitest.AtHandle, apitest.FileOf(apitest.Rows(30, apitest.Known)))
	apitest.Same(t, "threshold", report.Threshold, "30 % of peak force")
	apitest.Near(t, "share", *report.Thresholds.ShareOfPeak, 0.3, 0)
	for _, name := range []string{"catch_slip_deg", "release_slip_deg"} {
		apitest.Near(t, name, report.Seats[0].Oars[0].Features[name].Mean, 10.47, 0.3)
	}
}

// TestForcesOfARower holds that a force of a rower with two oars is half of it
// on each.
func TestForcesOfARower(t *testing.T) {
	slip := func(thresholds string) float64 {
		r := apitest.Analysed(t, apitest.AtHandle, apitest.Part{Name: "thresholds", Text: thresholds}, apitest.FileOf(apitest.Rows(20, apitest.Known)))
		return r.Seats[0].Oars[0].Features["catch_slip_deg"].Mean
	}
	apitest.Near(t, "half of it", slip(`{"catch_n":200,"release_n":120,"rower_oars":2}`), slip(`{"catch_n":100,"release_n":60}`), 1e-9)
}

// TestQuestionsAreTyped holds that a file whose gate reads 25° with the oar
// square, and 60 N at rest, is questioned with a proposal that puts it right.
func TestQuestionsAreTyped(t *testing.T) {
	text := swapColumn(swapColumn(apitest.Rows(40, apitest.Known), 2, func(v float64) float64 { return v + 25 }), 3, func(v float64) float64 { return v + 60 })
	upload := apitest.Decoded[strokefile.Upload](t, apitest.SendParts(apitest.UploadsPath, nil, apitest.FileOf(text)).Body.Bytes())
	apitest.Same(t, "ready", upload.Proposal.Ready, false)
	apitest.Same(t, "site", upload.Proposal.Mapping.Force, "")
	for name, list := range map[string][]strokefile.StrokeQuestion{
		"upload": upload.Proposal.Questions, "report": apitest.Analysed(t, apitest.AtHandle, apitest.FileOf(text)).Seats[0].Oars[0].Questions,
	} {
		asked := map[string]strokefile.StrokeQuestion{}
		for _, q := range list {
			asked[q.Kind] = q
		}
		apitest.Near(t, name+": angle", asked["angle_zero"].Proposed, 26, 1)
		apitest.Near(t, name+": force", asked["force_zero"].Proposed, 60, 1)
		if _, ok := asked["site"]; ok != (name == "upload") {
			t.Errorf("%s: site asked %v", name, ok)
		}
	}
	mapping := strings.Replace(apitest.PlainMapping, "{", `{"zeros":[{"angle_deg":25,"force_n":60}],`, 1)
	mended := apitest.Analysed(t, apitest.Part{Name: "mapping", Text: mapping}, apitest.FileOf(text))
	apitest.Near(t, "catch", mended.Seats[0].Oars[0].Features["catch_deg"].Mean, -64, 0.1)
	apitest.Near(t, "peak", mended.Seats[0].Oars[0].Features["peak_n"].Mean, 600, 2)
	apitest.Same(t, "questions left", len(mended.Seats[0].Oars[0].Questions), 0)
	apitest.Near(t, "the zero is told", mended.Mapping.Zeros[0].ForceN, 60, 0)
}

// TestRatesAreToldApart holds a file rowed at 20 and at 30 a minute.
func TestRatesAreToldApart(t *testing.T) {
	rates := apitest.Analysed(t, apitest.AtHandle, apitest.FileOf(apitest.TwoRatesText())).Seats[0].Oars[0].Rates
	if len(rates) != 2 {
		t.Fatalf("%d rates", len(rates))
	}
	apitest.Near(t, "slow", rates[0].Features["rate_per_min"].Mean, 20, 0.2)
	apitest.Near(t, "fast", rates[1].Features["rate_per_min"].Mean, 30, 0.2)
	apitest.Near(t, "peak of the slow", rates[0].Features["peak_n"].Mean, 400, 3)
	apitest.Near(t, "peak of the fast", rates[1].Features["peak_n"].Mean, 600, 3)
}
