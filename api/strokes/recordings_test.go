package strokes_test

import (
	"bytes"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"thole/api"
	"thole/api/advice"
	"thole/api/apitest"
	"thole/api/records"
	"thole/api/store"
	"thole/api/strokes"
)

// TestRecordingIsMeasuredAgainAlike holds that the samples on record give what
// the file gave, at the thresholds of the import and at others.
func TestRecordingIsMeasuredAgainAlike(t *testing.T) {
	text := apitest.Rows(40, apitest.Puller{Catch: -61, Finish: 41, Peak: 520, Lean: -0.3, Period: 1.9, Noise: 6})
	for _, thresholds := range []string{apitest.Newtons, apitest.OfPeak, `{"covered_deg":-2.5}`} {
		direct := apitest.Analysed(t, apitest.AtHandle, apitest.Part{Name: "thresholds", File: "", Text: thresholds}, apitest.Part{Name: "levers", File: "", Text: apitest.Arms}, apitest.FileOf(text)).Seats[0].Oars[0]
		body := apitest.KeepingOf(apitest.Uploaded(t, text), nil, apitest.KnownAthlete(t))
		body["thresholds"] = apitest.Parsed(thresholds)
		again, err := apitest.Service.Strokes.Recording(t.Context(), strokes.RecordingRequest{ID: apitest.Kept(t, body)[0].ID})
		if err != nil {
			t.Fatal(err)
		}
		apitest.Same(t, "strokes", again.Oar.Strokes, direct.Strokes)
		apitest.Same(t, "left out", again.Oar.LeftOut, direct.LeftOut)
		for name, f := range direct.Features {
			apitest.Near(t, thresholds+" "+name, again.Oar.Features[name].Mean, f.Mean, 0.011)
			apitest.Near(t, thresholds+" "+name+" sd", again.Oar.Features[name].SD, f.SD, 0.011)
		}
		for i, v := range direct.Curve.AngleMean {
			apitest.Near(t, "curve", again.Oar.Curve.AngleMean[i], v, 0.011)
		}
	}
}

// TestBladePath holds the way of the blade against the generator's: −6° at
// mid-drive, 2.5° on the recovery, catch and finish at its ends.
func TestBladePath(t *testing.T) {
	r, err := apitest.Service.Strokes.Recording(t.Context(), strokes.RecordingRequest{ID: apitest.Strangers(t)})
	if err != nil || len(r.Path) != 82 {
		t.Fatal(err, len(r.Path))
	}
	apitest.Near(t, "catch", r.Path[0].AngleDeg, -64, 0.2)
	apitest.Near(t, "finish", r.Path[40].AngleDeg, 44, 0.2)
	apitest.Near(t, "mid-drive", r.Path[20].VerticalDeg, -6, 0.1)
	apitest.Near(t, "recovery", r.Path[60].VerticalDeg, 2.5, 0.05)
	apitest.Near(t, "next catch", r.Path[81].AngleDeg, -64, 0.2)
}

// TestRemovedRecordingIsGone looks for the samples' bytes in the file.
func TestRemovedRecordingIsGone(t *testing.T) {
	path := filepath.Join(t.TempDir(), "club.db")
	file, err := store.Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	s := api.NewService(file)
	defer func() { s.Close(); _ = file.Close() }()
	const name = "mark-of-this-outing.csv"
	u, err := s.Strokefile.Upload(t.Context(), name, strings.NewReader(apitest.Rows(30, apitest.Known)))
	if err != nil {
		t.Fatal(err)
	}
	list, err := s.Strokes.KeepStrokes(t.Context(), strokes.KeepStrokesRequest{Upload: u.ID, Force: "handle", RecordedOn: "2026-03-01", Seats: []strokes.KeptSeat{{Seat: "1"}}})
	if err != nil {
		t.Fatal(err)
	}
	holds := func() bool {
		for _, file := range []string{path, path + "-wal"} {
			if text, _ := os.ReadFile(file); bytes.Contains(text, []byte(name)) {
				return true
			}
		}
		return false
	}
	if !holds() {
		t.Error("the name of the file is not on record")
	}
	if _, err := s.Strokes.DeleteRecording(t.Context(), records.IDRequest{ID: list.Recordings[0].ID}); err != nil {
		t.Fatal(err)
	}
	if holds() {
		t.Error("traces of the recording are left in the file")
	}
}

// TestKeepingRefuses holds that nothing is kept when something is wrong, and
// that the upload stays.
func TestKeepingRefuses(t *testing.T) {
	id := apitest.Uploaded(t, apitest.Rows(12, apitest.Known, apitest.Known))
	athlete := float64(apitest.KnownAthlete(t))
	for want, change := range map[string]apitest.Object{
		"#/recorded_on":        {"recorded_on": "2099-01-01"},
		"#/seats":              {"seats": []any{}},
		"#/boat_id":            {"boat_id": 99999.0},
		"#/seats/0/athlete_id": {"seats": []any{apitest.Object{"seat": "1", "athlete_id": 99999.0}}},
		"#/seats/1/athlete_id": {"seats": []any{apitest.Object{"seat": "1", "athlete_id": athlete}, apitest.Object{"seat": "2", "athlete_id": athlete}}},
		"#/seats/1/seat":       {"seats": []any{apitest.Object{"seat": "1"}, apitest.Object{"seat": "9"}}},
		"#/thresholds/catch_n": {"thresholds": apitest.Object{"catch_n": -5.0}},
	} {
		body := apitest.Object{"upload": id, "force": "handle", "recorded_on": "2026-03-01", "seats": []any{apitest.Object{"seat": "1"}}}
		for name, v := range change {
			body[name] = v
		}
		if said := apitest.Refused(t, apitest.RecordingsPath, body); said[want] == "" {
			t.Errorf("%v: told %v, want %s", change, said, want)
		}
	}
	apitest.Same(t, "the upload waits", apitest.Request(http.MethodGet, apitest.UploadsPath+"/"+id, "", "").Code, http.StatusOK)
	apitest.Same(t, "unknown upload", apitest.Post(t, apitest.RecordingsPath, apitest.Object{"upload": "x", "recorded_on": "2026-03-01", "seats": []any{apitest.Object{"seat": "1"}}}).Code, http.StatusNotFound)
}

// TestLikenessOfKnownCurves holds that a curve is like itself, that size is
// taken out of D, and that a later peak tells as a shift.
func TestLikenessOfKnownCurves(t *testing.T) {
	keep := func(p apitest.Puller) int64 {
		return apitest.Kept(t, apitest.Object{"upload": apitest.Uploaded(t, apitest.Rows(20, p)), "force": "handle", "recorded_on": "2026-03-02", "seats": []any{apitest.Object{"seat": "1"}}})[0].ID
	}
	plain, half, late := keep(apitest.Known), keep(apitest.Puller{Catch: -64, Finish: 44, Peak: 300, Period: 2}), keep(apitest.Puller{Catch: -64, Finish: 44, Peak: 600, Lean: 0.4, Period: 2})
	compare := func(a, b int64) strokes.CurveLikeness {
		c, err := apitest.Service.Strokes.CompareRecordings(t.Context(), strokes.CompareRequest{A: a, B: b})
		if err != nil {
			t.Fatal(err)
		}
		return c.ByAngle
	}
	self, size, shift := compare(plain, plain), compare(plain, half), compare(late, plain)
	apitest.Near(t, "r with itself", self.R, 1, 1e-9)
	apitest.Near(t, "D with itself", self.D, 0, 1e-9)
	apitest.Near(t, "D of half the force", size.D, 0, 0.002)
	apitest.Near(t, "RMS of half the force", size.RMSN, 300*0.70711, 3)
	if shift.ShiftShare < 0.05 || shift.ShiftedR <= shift.R || shift.D < 0.05 {
		t.Errorf("a later curve: %+v", shift)
	}
}

// TestOneRateIsChosen keeps strokes of 20 and of 30 a minute and looks at each,
// at all, and at what is ranked where none is named: the rate with the most.
func TestOneRateIsChosen(t *testing.T) {
	id := apitest.TwoRates(t)
	look := func(rate float64) strokes.Recording {
		return apitest.Must(apitest.Service.Strokes.Recording(t.Context(), strokes.RecordingRequest{ID: id, RatePerMin: rate}))
	}
	slow, fast, all := look(20), look(30), look(0)
	apitest.Near(t, "slow", slow.Oar.Features["peak_n"].Mean, 400, 3)
	apitest.Near(t, "fast", fast.Oar.Features["peak_n"].Mean, 600, 3)
	apitest.Same(t, "together", slow.Oar.Strokes+fast.Oar.Strokes, all.Oar.Strokes)
	apitest.Same(t, "listed", len(fast.Oar.List), fast.Oar.Strokes)
	apitest.Same(t, "rates", len(all.Oar.Rates), 2)
	if slow.Oar.Strokes == fast.Oar.Strokes {
		t.Fatal("the rates have as many strokes")
	}
	most := max(slow.Oar.Strokes, fast.Oar.Strokes)
	f := apitest.Must(apitest.Service.Advice.First(t.Context(), advice.FirstRequest{ID: id}))
	apitest.Same(t, "ranked", f.Strokes, most)
	if _, err := apitest.Service.Strokes.Recording(t.Context(), strokes.RecordingRequest{ID: id, RatePerMin: 44}); err == nil {
		t.Error("a rate that nobody rowed is answered")
	}
}
