package strokes_test

import (
	"strings"
	"testing"

	"thole/api/advice"
	"thole/api/apitest"
	"thole/api/strokes"
)

// keptCurves brings in two half sines over 0 to 100 % of the drive.
func keptCurves(t testing.TB) strokes.RecordingList {
	t.Helper()
	catch, finish := -55.0, 34.0
	return apitest.Must(apitest.Service.Strokes.KeepCurves(t.Context(), strokes.KeepCurvesRequest{
		Upload: apitest.Uploaded(t, apitest.MeanCurves("drive_pct", 0, 100)), Force: "handle", CatchDeg: &catch, FinishDeg: &finish, RecordedOn: "2026-03-05",
		Curves: []strokes.KeptCurve{{Name: "Ada force_n"}, {Name: "Bea force_n"}},
	}))
}

// TestMeanCurvesAreMeasured holds a half sine over 89° against its own figures:
// mean to peak 2/π, the peak in the middle, and 30 % of the peak at 0.09699 of
// the arc from both ends.
func TestMeanCurvesAreMeasured(t *testing.T) {
	kept := keptCurves(t).Recordings
	apitest.Same(t, "recordings", len(kept), 2)
	r := apitest.Must(apitest.Service.Strokes.Recording(t.Context(), strokes.RecordingRequest{ID: kept[1].ID}))
	f := r.Oar.Features
	for name, want := range map[string]float64{
		"catch_deg": -55, "finish_deg": 34, "arc_deg": 89, "peak_n": 600, "peak_place": 0.5, "mean_to_peak": 0.6366, "catch_slip_deg": 8.63, "release_slip_deg": 8.63,
	} {
		apitest.Near(t, name, f[name].Mean, want, 0.011*max(1, want/100)+0.05)
	}
	if _, ok := f["rate_per_min"]; ok || len(r.Oar.List) != 0 || len(r.Oar.Warnings) == 0 {
		t.Errorf("%+v", r.Oar)
	}
	half := 0.5
	again := apitest.Must(apitest.Service.Strokes.Recording(t.Context(), strokes.RecordingRequest{ID: kept[1].ID, ShareOfPeak: &half}))
	apitest.Near(t, "slip at half the peak", again.Oar.Features["catch_slip_deg"].Mean, 89.0/6, 0.1)
	first := apitest.Must(apitest.Service.Advice.First(t.Context(), advice.FirstRequest{ID: kept[1].ID, BoatClass: "2-"}))
	if len(first.Findings) != 0 || !strings.Contains(first.Said, "mean curve") || len(first.Missing) == 0 {
		t.Errorf("%+v", first)
	}
}

// TestMeanCurvesAreCompared holds two half sines of different size as one shape,
// and a mean curve against a recording.
func TestMeanCurvesAreCompared(t *testing.T) {
	kept := keptCurves(t).Recordings
	c := apitest.Must(apitest.Service.Strokes.CompareRecordings(t.Context(), strokes.CompareRequest{A: kept[0].ID, B: kept[1].ID}))
	apitest.Near(t, "D", c.ByAngle.D, 0, 1e-3)
	apitest.Near(t, "by time", c.ByTime.R, 0, 0)
	c = apitest.Must(apitest.Service.Strokes.CompareRecordings(t.Context(), strokes.CompareRequest{A: kept[1].ID, B: apitest.Strangers(t)}))
	apitest.Near(t, "against a recording of a half sine", c.ByAngle.D, 0, 0.02)
}

func TestMeanCurvesAreRefused(t *testing.T) {
	upload := apitest.Uploaded(t, apitest.MeanCurves("drive_pct", 0, 100))
	for want, body := range map[string]string{
		"#/force":         `{"recorded_on":"2026-03-05","catch_deg":-55,"finish_deg":34,"curves":[{"name":"Ada force_n"}]}`,
		"#/catch_deg":     `{"force":"gate","recorded_on":"2026-03-05","finish_deg":34,"curves":[{"name":"Ada force_n"}]}`,
		"#/curves/0/name": `{"force":"gate","recorded_on":"2026-03-05","catch_deg":-55,"finish_deg":34,"curves":[{"name":"Zoe"}]}`,
		"#/recorded_on":   `{"force":"gate","recorded_on":"soon","catch_deg":-55,"finish_deg":34,"curves":[{"name":"Ada force_n"}]}`,
		"#/curves":        `{"force":"gate","recorded_on":"2026-03-05","catch_deg":-55,"finish_deg":34,"curves":[]}`,
	} {
		ask := apitest.Parsed(body)
		ask["upload"] = upload
		if w := apitest.Post(t, "/api/v1/curves", ask); w.Code != 422 || !strings.Contains(w.Body.String(), `"`+want+`"`) {
			t.Errorf("%s: %d %.300s", want, w.Code, w.Body)
		}
	}
	if w := apitest.Request("GET", apitest.UploadsPath+"/"+apitest.Uploaded(t, apitest.Rows(20, apitest.Known))+"/curves", "", ""); w.Code != 422 {
		t.Errorf("a recording read as curves: %d", w.Code)
	}
}
