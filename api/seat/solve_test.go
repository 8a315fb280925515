package seat_test

import (
	"context"
	"encoding/json"
	"errors"
	"maps"
	"math"
	"net/http"
	"slices"
	"strings"
	"testing"

	"thole/api"
	"thole/api/apitest"
	"thole/api/seat"
	"thole/api/wire"
)

// TestExampleOfTheReference holds the documented example to its documented
// figures. The angles, the seat's travel and the handle's way were worked out
// by two programs independent of this one; ratios and overlap are arithmetic:
// 200/88, 200/79.5, 200/77.5, (200−24)/(88−4), 2·88−159.
func TestExampleOfTheReference(t *testing.T) {
	a := apitest.Solved(t, apitest.ScullExample)
	for _, want := range []struct {
		path  string
		value float64
		half  float64 // of the last digit printed
	}{
		{"catch_deg", -65.68, 0}, {"finish_deg", 43.04, 0}, {"arc_deg", 108.72, 0}, {"handle_arc_m", 1.594, 0},
		{"seat_travel_cm", 57.45, 0}, {"knee_flexion_deg", 137.96, 0}, {"heel_lift_deg", 7, 0}, {"trunk_thigh_deg", 162.96, 0},
		{"gearing.oar_ratio", 2.273, 0.0005}, {"gearing.span_ratio", 2.516, 0.0005},
		{"gearing.survey_ratio", 2.581, 0.0005}, {"gearing.lever_ratio", 2.095, 0.0005},
		{"overlap_cm.raw", 17, 0}, {"overlap_cm.with_gates", 21, 0},
	} {
		apitest.Near(t, want.path, apitest.Number(t, a, want.path), want.value, want.half+1e-9)
	}
}

func TestServiceAnswersAsHTTPDoes(t *testing.T) {
	r := apitest.Decoded[seat.SolveRequest](t, []byte(apitest.ScullExample))
	direct, err := api.NewService(nil).Seat.SolveSeat(context.Background(), r)
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(direct)
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "the service's answer", apitest.Parsed(string(text)), apitest.Solved(t, apitest.ScullExample))
}

func TestAnswersHaveTheDocumentedFields(t *testing.T) {
	a := apitest.Solved(t, apitest.ScullExample)
	for _, path := range []string{
		"catch_deg", "finish_deg", "arc_deg", "handle_arc_m", "seat_travel_cm", "knee_flexion_deg", "heel_lift_deg",
		"trunk_thigh_deg", "work_through_cm", "gearing.oar_ratio", "gearing.span_ratio", "gearing.survey_ratio",
		"gearing.lever_ratio", "gearing.at_catch", "gearing.at_finish", "overlap_cm.raw", "overlap_cm.with_gates",
		"pitch_deg.catch", "pitch_deg.square", "pitch_deg.finish", "uncertainty.catch_sd_deg", "uncertainty.finish_sd_deg",
		"uncertainty.arc_sd_deg", "sensitivities.0.step", "sensitivities.0.catch_deg", "sensitivities.0.finish_deg",
		"sensitivities.0.lever_ratio", "heights.gate_over_water_cm", "demand.catch.needed_deg", "demand.finish.needed_deg",
	} {
		apitest.Number(t, a, path)
	}
	apitest.Same(t, "first sensitivity", apitest.At(t, a, "sensitivities.0.setting"), any("span_cm"))
	for _, path := range []string{"cautions.0.code", "cautions.0.text"} {
		if text, _ := apitest.At(t, a, path).(string); text == "" {
			t.Errorf("%s is empty", path)
		}
	}
}

// TestFirstRigOfNewsletter121 checks the handle's way against V. Kleshnev,
// Rowing Biomechanics Newsletter 121, April 2011: oar 289, inboard 89, span
// 159 cm, 108.7° and 1.612 m in the first row.
func TestFirstRigOfNewsletter121(t *testing.T) {
	r := apitest.Put(apitest.Put(apitest.Scull(), "seat.oar_length_cm", 289), "seat.inboard_cm", 89)
	a := apitest.Solved(t, r)
	perDegree := apitest.Number(t, a, "handle_arc_m") / apitest.Number(t, a, "arc_deg")
	apitest.Near(t, "handle arc at 108.7° (m)", perDegree*108.7, 1.612, 0.001)
}

// TestPitchFollowsTheOar uses g + s·cos θ − l·sin θ, worked out here: the
// figures 1.7, 4.0 and 2.9° for a pin leaning 4° sternwards belong to −65°,
// 0° and +43°.
func TestPitchFollowsTheOar(t *testing.T) {
	a := apitest.Solved(t, apitest.Scull())
	apitest.Near(t, "pitch at the catch", apitest.Number(t, a, "pitch_deg.catch"), 1.7, 0.06)
	apitest.Near(t, "pitch square", apitest.Number(t, a, "pitch_deg.square"), 4, 1e-9)
	apitest.Near(t, "pitch at the finish", apitest.Number(t, a, "pitch_deg.finish"), 2.9, 0.06)

	r := apitest.Put(apitest.Put(apitest.Put(apitest.Scull(), "seat.blade_pitch_deg", 4), "seat.stern_pitch_deg", 0), "seat.outward_pitch_deg", 1)
	a = apitest.Solved(t, r)
	apitest.Near(t, "pitch at the catch, pin out", apitest.Number(t, a, "pitch_deg.catch"), 4.9, 0.06)
	apitest.Near(t, "pitch at the finish, pin out", apitest.Number(t, a, "pitch_deg.finish"), 3.3, 0.06)
}

func TestGearingGrowsWithTheAngle(t *testing.T) {
	a := apitest.Solved(t, apitest.Scull())
	for _, end := range []string{"catch", "finish"} {
		cos := math.Cos(apitest.Number(t, a, end+"_deg") * math.Pi / 180)
		apitest.Near(t, "gearing at the "+end, apitest.Number(t, a, "gearing.at_"+end), apitest.Number(t, a, "gearing.lever_ratio")/cos, 0.002)
	}
	curve := apitest.At(t, a, "gearing.curve").([]any)
	for _, end := range []struct {
		point any
		name  string
	}{{curve[0], "catch"}, {curve[len(curve)-1], "finish"}} {
		apitest.Same(t, "angle of the curve's "+end.name, apitest.Number(t, end.point, "angle_deg"), apitest.Number(t, a, end.name+"_deg"))
		apitest.Same(t, "ratio of the curve's "+end.name, apitest.Number(t, end.point, "ratio"), apitest.Number(t, a, "gearing.at_"+end.name))
	}
}

// TestSensitivitiesAreWhatMovingDoes moves each setting by its step and solves
// again.
func TestSensitivitiesAreWhatMovingDoes(t *testing.T) {
	for name, request := range map[string]func() apitest.Object{"scull": apitest.Scull, "sweep": apitest.Sweep, "no handle": func() apitest.Object { return apitest.InPosture(apitest.BareScull()) }} {
		t.Run(name, func(t *testing.T) {
			before := apitest.Solved(t, request())
			rows := apitest.At(t, before, "sensitivities").([]any)
			if len(rows) < 10 {
				t.Fatalf("%d settings", len(rows))
			}
			for _, row := range rows {
				checkSensitivity(t, request(), before, row.(apitest.Object))
			}
		})
	}
}

func checkSensitivity(t *testing.T, r, before, row apitest.Object) {
	t.Helper()
	setting := row["setting"].(string)
	seat := r["seat"].(apitest.Object)
	value, stated := seat[setting].(float64)
	if !stated {
		value = seatDefaults[setting]
		if setting == "gate_difference_cm" {
			value = 1
		}
	}
	seat[setting] = value + apitest.Number(t, row, "step")
	after := apitest.Solved(t, r)
	// Each of the three figures is rounded to a hundredth of a degree or to
	// a ten-thousandth.
	for path, tol := range map[string]float64{"catch_deg": 0.0151, "finish_deg": 0.0151, "arc_deg": 0.0151} {
		apitest.Near(t, setting+": "+path, apitest.Number(t, row, path), apitest.Number(t, after, path)-apitest.Number(t, before, path), tol)
	}
	lever := apitest.Number(t, after, "gearing.lever_ratio") - apitest.Number(t, before, "gearing.lever_ratio")
	apitest.Near(t, setting+": lever_ratio", apitest.Number(t, row, "lever_ratio"), lever, 0.000151)
	hand := apitest.Number(t, after, "oars.0.handle_catch_height_cm") - apitest.Number(t, before, "oars.0.handle_catch_height_cm")
	apitest.Near(t, setting+": handle_catch_cm", apitest.Number(t, row, "handle_catch_cm"), hand, 0.0151)
}

// seatDefaults are the documented values of settings left out.
var seatDefaults = map[string]float64{
	"gate_height_cm": 17, "heel_depth_cm": 17, "plate_angle_deg": 42, "blade_pitch_deg": 0, "stern_pitch_deg": 4,
	"outward_pitch_deg": 0,
}

func TestDemandIsWhatReachesTheTarget(t *testing.T) {
	for name, request := range map[string]func() apitest.Object{"scull": apitest.Scull, "sweep": apitest.Sweep} {
		t.Run(name, func(t *testing.T) {
			d := apitest.At(t, apitest.Solved(t, request()), "demand")
			for _, end := range []struct{ name, lean string }{{"catch", "posture.lean_deg"}, {"finish", "posture.layback_deg"}} {
				target := apitest.Number(t, d, end.name+".target_deg")
				reached := apitest.Solved(t, apitest.Put(request(), end.lean, apitest.Number(t, d, end.name+".needed_deg")))
				apitest.Near(t, end.name+" with the lean needed", apitest.Number(t, reached, end.name+"_deg"), target, 0.02)
				atLimit := apitest.Solved(t, apitest.Put(request(), end.lean, apitest.Number(t, d, end.name+".limit_deg")))
				apitest.Near(t, end.name+" with the lean at its limit", apitest.Number(t, atLimit, end.name+"_deg"), apitest.Number(t, d, end.name+".at_limit_deg"), 0.02)
			}
			moved := apitest.Solved(t, apitest.Put(request(), "seat.heel_to_pin_cm", apitest.Number(t, d, "heel_for_finish_cm")))
			apitest.Near(t, "finish with the heel moved", apitest.Number(t, moved, "finish_deg"), apitest.Number(t, d, "finish.target_deg"), 0.02)
		})
	}
}

func TestDemandOnlyForTargets(t *testing.T) {
	if _, ok := apitest.Solved(t, apitest.Drop(apitest.Scull(), "targets"))["demand"]; ok {
		t.Error("demand without targets")
	}
	d := apitest.At(t, apitest.Solved(t, apitest.Drop(apitest.Scull(), "targets.catch_deg")), "demand").(apitest.Object)
	apitest.Same(t, "demand for a finish", slices.Sorted(maps.Keys(d)), []string{"finish", "heel_for_finish_cm"})
	d = apitest.At(t, apitest.Solved(t, apitest.Drop(apitest.Scull(), "targets.finish_deg")), "demand").(apitest.Object)
	apitest.Same(t, "demand for a catch", slices.Sorted(maps.Keys(d)), []string{"catch"})
}

// TestHandsStandWhereTheBladeMeetsTheWater leaves the hands' heights to the
// model.
func TestHandsStandWhereTheBladeMeetsTheWater(t *testing.T) {
	for name, r := range map[string]apitest.Object{"scull": apitest.BareScull(), "sweep": apitest.BareSweep()} {
		a := apitest.Solved(t, r)
		apitest.Same(t, name+": hand at the catch", apitest.Number(t, a, "oars.0.handle_catch_height_cm"), apitest.Number(t, a, "heights.handle_entry_cm"))
		apitest.Same(t, name+": hand at the finish", apitest.Number(t, a, "oars.0.handle_finish_height_cm"), apitest.Number(t, a, "heights.handle_covered_cm"))
	}
}

func TestOneOarInSweepAndTwoInSculling(t *testing.T) {
	oars := apitest.At(t, apitest.Solved(t, apitest.Scull()), "oars").([]any)
	apitest.Same(t, "sides", []any{apitest.At(t, oars, "0.side"), apitest.At(t, oars, "1.side")}, []any{"port", "starboard"})
	for _, side := range []string{"port", "starboard"} {
		oars = apitest.At(t, apitest.Solved(t, apitest.Put(apitest.Sweep(), "seat.side", side)), "oars").([]any)
		if len(oars) != 1 || apitest.At(t, oars, "0.side") != side {
			t.Errorf("oars on %s: %v", side, oars)
		}
	}
}

func TestSidesMirror(t *testing.T) {
	port, star := apitest.Solved(t, apitest.Put(apitest.Sweep(), "seat.side", "port")), apitest.Solved(t, apitest.Put(apitest.Sweep(), "seat.side", "starboard"))
	apitest.Put(star["oars"].([]any)[0].(apitest.Object), "side", "port")
	apitest.Same(t, "starboard", star, port)
}

// TestAnswersCanBeSentAgain posts the posture, the body and the hands' heights
// of an answer back: rounding may move the arc by a few hundredths of a degree.
func TestAnswersCanBeSentAgain(t *testing.T) {
	r := apitest.Put(apitest.Put(apitest.BareScull(), "rower.stature_cm", 178.3), "rower.sex", "female")
	apitest.Put(r, "posture.lean_deg", 26.123456)
	first := apitest.Solved(t, r)
	r["posture"] = first["posture"]
	apitest.Put(r, "rower.segments_cm", apitest.At(t, first, "body.segments_cm"))
	apitest.Put(r, "rower.mass_kg", apitest.At(t, first, "body.mass_kg"))
	r["handle"] = apitest.Object{
		"catch_height_cm": apitest.At(t, first, "oars.0.handle_catch_height_cm"), "finish_height_cm": apitest.At(t, first, "oars.0.handle_finish_height_cm"),
	}
	second := apitest.Solved(t, r)
	apitest.Same(t, "posture", second["posture"], first["posture"])
	apitest.Same(t, "segments", apitest.At(t, second, "body.segments_cm"), apitest.At(t, first, "body.segments_cm"))
	for _, path := range []string{"catch_deg", "finish_deg", "arc_deg", "knee_flexion_deg", "seat_travel_cm"} {
		apitest.Near(t, path, apitest.Number(t, second, path), apitest.Number(t, first, path), 0.05)
	}
}

func TestEqualRequestsHaveEqualAnswers(t *testing.T) {
	first, second := apitest.Post(t, apitest.SolvePath, apitest.ScullExample), apitest.Post(t, apitest.SolvePath, apitest.ScullExample)
	apitest.Same(t, "second answer", second.Body.String(), first.Body.String())
}

// TestFiguresAreRounded reads the answer's text: no figure has more than four
// decimals, and none of those named in cm, kg or degrees more than two.
func TestFiguresAreRounded(t *testing.T) {
	for _, r := range []apitest.Object{apitest.Scull(), apitest.Sweep(), apitest.BareScull()} {
		d := json.NewDecoder(apitest.Post(t, apitest.SolvePath, r).Body)
		d.UseNumber()
		var a apitest.Object
		if err := d.Decode(&a); err != nil {
			t.Fatal(err)
		}
		checkDecimals(t, "", a)
	}
}

func checkDecimals(t *testing.T, name string, v any) {
	switch v := v.(type) {
	case apitest.Object:
		for inner, value := range v {
			if !strings.Contains(inner, "_") {
				inner = name + "." + inner // the unit stands on the group
			}
			checkDecimals(t, inner, value)
		}
	case []any:
		for _, item := range v {
			checkDecimals(t, name, item)
		}
	case json.Number:
		most := 4
		for _, unit := range []string{"_cm", "_kg", "_deg"} {
			if strings.Contains(name, unit) && !strings.Contains(name, "_deg_per_cm") {
				most = 2
			}
		}
		if _, decimals, _ := strings.Cut(v.String(), "."); len(decimals) > most || strings.ContainsAny(v.String(), "eE") {
			t.Errorf("%s = %s: more than %d decimals", name, v, most)
		}
	}
}

// TestUnreachable names the limit that stops the body.
func TestUnreachable(t *testing.T) {
	for limit, r := range map[string]apitest.Object{
		"no_finish":           apitest.Put(apitest.Put(apitest.Scull(), "seat.heel_to_pin_cm", 0.5), "posture.layback_deg", 45),
		"no_catch":            apitest.Put(apitest.Scull(), "seat.heel_to_pin_cm", 60),
		"handle_out_of_reach": apitest.Put(apitest.Put(apitest.Scull(), "rower.segments_cm.arm", 40), "posture.lean_deg", -15),
		"knee_too_far":        apitest.Put(apitest.Put(apitest.Scull(), "rower.segments_cm.thigh", 23), "rower.segments_cm.shank", 60),
	} {
		p := apitest.Problem(t, apitest.Post(t, apitest.SolvePath, r), http.StatusUnprocessableEntity)
		apitest.Same(t, "limit", p.Limit, limit)
		if len(p.Errors) != 0 || !strings.HasSuffix(p.Detail, ".") || p.Detail[:1] != strings.ToUpper(p.Detail[:1]) {
			t.Errorf("%s: %+v", limit, p)
		}
	}
	r := apitest.Decoded[seat.SolveRequest](t, []byte(apitest.ScullExample))
	*r.Seat.HeelToPinCm = 60
	_, err := api.NewService(nil).Seat.SolveSeat(context.Background(), r)
	var stuck *wire.Unreachable
	if !errors.As(err, &stuck) || stuck.Limit != "no_catch" || stuck.Error() == "" {
		t.Errorf("service: %v", err)
	}
}

func TestCautionsFitTheCase(t *testing.T) {
	codes := func(r apitest.Object) []string {
		var list []string
		for _, c := range apitest.At(t, apitest.Solved(t, r), "cautions").([]any) {
			list = append(list, c.(apitest.Object)["code"].(string))
		}
		return list
	}
	plain := codes(apitest.Scull())
	if slices.Contains(plain, "junior") || slices.Contains(plain, "steep_catch") || !slices.Contains(plain, "back_and_ribs") {
		t.Errorf("cautions of an adult: %v", plain)
	}
	if junior := codes(apitest.Put(apitest.Scull(), "rower.age_years", 15)); !slices.Contains(junior, "junior") {
		t.Errorf("cautions of a junior: %v", junior)
	}
	if steep := codes(apitest.Put(apitest.Scull(), "seat.heel_to_pin_cm", 30)); !slices.Contains(steep, "steep_catch") {
		t.Errorf("cautions of a steep catch: %v", steep)
	}
	if slices.Contains(plain, "wide_limit") {
		t.Errorf("cautions with the usual limits: %v", plain)
	}
	if wide := codes(apitest.Put(apitest.Scull(), "limits.knee_flexion_deg", 175)); !slices.Contains(wide, "wide_limit") {
		t.Errorf("cautions of a limit set wide: %v", wide)
	}
}

func TestUnusualValuesAreToldInTheirUnits(t *testing.T) {
	var texts []string
	for _, c := range apitest.At(t, apitest.Solved(t, apitest.Put(apitest.Scull(), "seat.plate_angle_deg", 48)), "cautions").([]any) {
		if c.(apitest.Object)["code"] == "unusual" {
			texts = append(texts, c.(apitest.Object)["text"].(string))
		}
	}
	apitest.Same(t, "texts", texts, []string{"A stretcher angle of 48° is unusual: boats are mostly set from 36 to 46°. Check it, and continue if it is right."})
}

// TestDisplacementLeftOut is that of the boat's least mass, 14 kg, with the
// sculler's 85 kg and 3 kg of oars and kit.
func TestDisplacementLeftOut(t *testing.T) {
	apitest.Same(t, "with 102 kg stated", apitest.Solved(t, apitest.Put(apitest.Scull(), "displacement_kg", 102)), apitest.Solved(t, apitest.Scull()))
	light := apitest.Number(t, apitest.Solved(t, apitest.Put(apitest.Scull(), "displacement_kg", 92)), "heights.seat_over_water_cm")
	apitest.Near(t, "rise of the seat for 10 kg less (mm)", 10*(light-apitest.Number(t, apitest.Solved(t, apitest.Scull()), "heights.seat_over_water_cm")), 6.5, 0.6)
}

// TestMoreIsKnownWithMoreMeasures: what is measured narrows the arc.
func TestMoreIsKnownWithMoreMeasures(t *testing.T) {
	sd := func(r apitest.Object) float64 {
		return apitest.Number(t, apitest.Solved(t, r), "uncertainty.catch_sd_deg")
	}
	nothing := sd(apitest.InPosture(apitest.BareScull()))
	stature := sd(apitest.Put(apitest.InPosture(apitest.BareScull()), "rower.stature_cm", 178))
	segments := sd(apitest.Scull())
	fine := sd(apitest.Put(apitest.Scull(), "tape_cm", 0.1))
	if !(nothing > stature && stature > segments && segments > fine && fine > 0) {
		t.Errorf("standard deviations %v, %v, %v, %v do not fall", nothing, stature, segments, fine)
	}
	apitest.Near(t, "with a fifth of the tape's spread", fine, segments/5, 0.011)
	apitest.Same(t, "with a perfect tape", sd(apitest.Put(apitest.Scull(), "tape_cm", 0)), 0.0)
}

// TestSpreadOfTheArcFollowsFromItsEnds: whatever the ends share, their
// difference spreads between the difference and the sum of their spreads.
func TestSpreadOfTheArcFollowsFromItsEnds(t *testing.T) {
	for name, r := range map[string]apitest.Object{"scull": apitest.Scull(), "sweep": apitest.Sweep(), "sparse": apitest.BareScull()} {
		a := apitest.Solved(t, r)
		catch, finish := apitest.Number(t, a, "uncertainty.catch_sd_deg"), apitest.Number(t, a, "uncertainty.finish_sd_deg")
		if arc := apitest.Number(t, a, "uncertainty.arc_sd_deg"); !(catch > 0 && finish > 0 && arc <= catch+finish+0.02 && arc >= math.Abs(catch-finish)-0.02) {
			t.Errorf("%s: ± %v, %v, %v", name, catch, finish, arc)
		}
	}
}

func TestEndsOfARangeBelongToIt(t *testing.T) {
	for path, ends := range map[string][2]float64{"tape_cm": {0, 5}, "displacement_kg": {30, 2000}} {
		for _, v := range ends {
			apitest.Solved(t, apitest.Put(apitest.Scull(), path, v))
		}
	}
}
