package strokes_test

import (
	"errors"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"thole/api/apitest"
	"thole/api/records"
	"thole/api/strokefile"
	"thole/api/strokes"
)

// TestARecordingIsCorrected holds that day, seat, levers and note are corrected
// with history, that work follows the levers, and that who comes too late is
// told.
func TestARecordingIsCorrected(t *testing.T) {
	id := apitest.CrewOnRecord(t)[0]
	before := apitest.Must(apitest.Service.Strokes.Recording(t.Context(), strokes.RecordingRequest{ID: id}))
	edit := strokes.RecordingEdit{
		ID: id, Version: before.Version, AthleteID: before.AthleteID, BoatID: before.BoatID, Seat: "2", RecordedOn: "2026-03-03",
		Levers: &strokefile.OarLevers{InCm: 90, OutCm: 230}, Note: "the tape was wrong", By: "Ines",
	}
	after := apitest.Must(apitest.Service.Strokes.CorrectRecording(t.Context(), edit))
	apitest.Same(t, "version", after.Version, before.Version+1)
	apitest.Same(t, "day", after.RecordedOn, "2026-03-03")
	apitest.Same(t, "note", after.Note, "the tape was wrong")
	apitest.Near(t, "work follows the lever", after.Oar.Features["work_j"].Mean/before.Oar.Features["work_j"].Mean, 90.0/101, 1e-3)
	apitest.Near(t, "slip does not", after.Oar.Features["catch_slip_deg"].Mean, before.Oar.Features["catch_slip_deg"].Mean, 1e-9)
	changes := apitest.Must(apitest.Service.Strokes.RecordingChanges(t.Context(), records.ChangesRequest{ID: id})).Changes
	said := ""
	for _, c := range changes {
		said += fmt.Sprintf("%s: %s to %s by %s; ", c.What, *c.From, *c.To, c.By)
	}
	for _, want := range []string{"seat: 1 to 2 by Ines", "recorded_on: 2026-03-04 to 2026-03-03", "levers: hands 101 cm, blade 230 cm to hands 90 cm, blade 230 cm"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q lacks %q", said, want)
		}
	}
	_, err := apitest.Service.Strokes.CorrectRecording(t.Context(), edit)
	var moved *records.Conflict
	if !errors.As(err, &moved) || moved.Version != after.Version {
		t.Errorf("a correction of an old version: %v", err)
	}
}

func TestCorrectionsAreChecked(t *testing.T) {
	id := apitest.CrewOnRecord(t)[1]
	at := fmt.Sprintf("%s/%d", apitest.RecordingsPath, id)
	for want, change := range map[string]string{
		"#/recorded_on":  `"recorded_on":"2099-01-01"`,
		"#/athlete_id":   `"athlete_id":99999`,
		"#/boat_id":      `"boat_id":99999`,
		"#/by":           `"by":" "`,
		"#/levers/in_cm": `"levers":{"in_cm":9}`,
		"#/seat":         `"seat":"` + strings.Repeat("s", 99) + `"`,
	} {
		body := apitest.Object{"version": 1.0, "recorded_on": "2026-03-04", "by": "Ines"}
		for name, v := range apitest.Parsed("{" + change + "}") {
			body[name] = v
		}
		w := apitest.Request(http.MethodPut, at, apitest.JSONType, apitest.Encoded(t, body))
		if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), `"`+want+`"`) {
			t.Errorf("%s: %d %.300s", want, w.Code, w.Body)
		}
	}
	apitest.Same(t, "unknown", apitest.Request(http.MethodGet, apitest.RecordingsPath+"/999999/changes", "", "").Code, http.StatusNotFound)
	apitest.Same(t, "never corrected", apitest.Request(http.MethodGet, at+"/changes", "", "").Code, http.StatusOK)
}
