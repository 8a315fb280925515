package advice_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"thole/api/advice"
	"thole/api/apitest"
)

// sculled keeps thirty strokes with a catch of a sculler of 172 cm in a single
// whose stretcher is far towards the bow, and returns the recording.
func sculledTo(t *testing.T, catch float64) int64 {
	t.Helper()
	athlete := apitest.KnownAthlete(t)
	w := apitest.Post(t, fmt.Sprintf("/api/v1/athletes/%d/measures", athlete), `{"measured_on":"2026-02-01","measured_by":"Ines","stature_cm":172,"arm_span_cm":174,"sitting_height_cm":90,"mass_kg":66}`)
	if w.Code != http.StatusCreated {
		t.Fatalf("%d %.300s", w.Code, w.Body)
	}
	var rig []any
	for name, v := range map[string]float64{"span_cm": 160, "oar_length_cm": 288, "inboard_cm": 88, "heel_to_pin_cm": 14, "gate_height_cm": 16.5, "heel_depth_cm": 17, "plate_angle_deg": 42} {
		rig = append(rig, apitest.Object{"seat": 1, "setting": name, "value": v})
	}
	boat := apitest.Created(t, "/api/v1/boats", apitest.Object{"name": apitest.Fresh("Shell"), "boat_class": "1x", "rig": rig, "by": "Ines"})
	text := apitest.Rows(60, apitest.Puller{Catch: catch, Finish: 44, Peak: 330, Period: 2, Noise: 3})
	return apitest.Kept(t, apitest.KeepingOf(apitest.Uploaded(t, text), float64(boat), athlete))[0].ID
}

// TestOverReachIsAFindingOfItsOwn holds that a catch far beyond what the body
// allows is named with both figures and their ±, is never ranked first by a
// price, and that one within it is only told.
func TestOverReachIsAFindingOfItsOwn(t *testing.T) {
	far := firstOf(t, advice.FirstRequest{ID: sculledTo(t, -74)})
	if far.Reach == nil || far.Reach.Verdict != "beyond" {
		t.Fatalf("%+v", far.Reach)
	}
	last := far.Findings[len(far.Findings)-1]
	if last.Item != "over_reach" || last.Change >= 0 || len(far.Findings) > 3 {
		t.Errorf("%+v", last)
	}
	apitest.Near(t, "measured", last.Measured, 74, 0.3)
	apitest.Near(t, "reference", last.Reference, far.Reach.AllowedDeg, 0.02)
	if off := far.Reach.MeasuredDeg - far.Reach.AllowedDeg; off < 2*far.Reach.AllowedSDDeg {
		t.Errorf("%g° beyond with ± %g°", off, far.Reach.AllowedSDDeg)
	}
	for _, text := range []string{"Over-reaching", "beyond, more than both ± cover", fmt.Sprintf("%.1f° ±", far.Reach.AllowedDeg)} {
		if !strings.Contains(last.Said, text) {
			t.Errorf("%q lacks %q", last.Said, text)
		}
	}
	if strings.Contains(last.PriceSaid[0], "faster") {
		t.Errorf("a gain is told: %v", last.PriceSaid)
	}
	edge := firstOf(t, advice.FirstRequest{ID: sculledTo(t, -far.Reach.AllowedDeg-1)})
	if edge.Reach.Verdict != "unclear" || !strings.Contains(edge.Reach.Said, "too close to tell") {
		t.Errorf("%+v", edge.Reach)
	}
	within := firstOf(t, advice.FirstRequest{ID: sculledTo(t, -far.Reach.AllowedDeg+4)})
	if within.Reach.Verdict != "within" {
		t.Errorf("%+v", within.Reach)
	}
	for _, f := range append(edge.Findings, within.Findings...) {
		if f.Item == "over_reach" {
			t.Errorf("%s", f.Said)
		}
	}
	if unknown := firstOf(t, advice.FirstRequest{ID: apitest.Strangers(t), BoatClass: "1x"}); unknown.Reach != nil {
		t.Errorf("%+v", unknown.Reach)
	}
}
