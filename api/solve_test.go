package api_test

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
)

// TestExampleOfTheReference holds the documented example to its documented
// figures. The angles, the seat's travel and the handle's way were worked out
// by two programs independent of this one; ratios and overlap are arithmetic:
// 200/88, 200/79.5, 200/77.5, (200−24)/(88−4), 2·88−159.
func TestExampleOfTheReference(t *testing.T) {
	a := solved(t, scullExample)
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
		near(t, want.path, number(t, a, want.path), want.value, want.half+1e-9)
	}
}

func TestServiceAnswersAsHTTPDoes(t *testing.T) {
	r := decoded[api.SolveRequest](t, []byte(scullExample))
	direct, err := api.NewService(nil).SolveSeat(context.Background(), r)
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(direct)
	if err != nil {
		t.Fatal(err)
	}
	same(t, "the service's answer", parsed(string(text)), solved(t, scullExample))
}

func TestAnswersHaveTheDocumentedFields(t *testing.T) {
	a := solved(t, scullExample)
	for _, path := range []string{
		"catch_deg", "finish_deg", "arc_deg", "handle_arc_m", "seat_travel_cm", "knee_flexion_deg", "heel_lift_deg",
		"trunk_thigh_deg", "work_through_cm", "gearing.oar_ratio", "gearing.span_ratio", "gearing.survey_ratio",
		"gearing.lever_ratio", "gearing.at_catch", "gearing.at_finish", "overlap_cm.raw", "overlap_cm.with_gates",
		"pitch_deg.catch", "pitch_deg.square", "pitch_deg.finish", "uncertainty.catch_sd_deg", "uncertainty.finish_sd_deg",
		"uncertainty.arc_sd_deg", "sensitivities.0.step", "sensitivities.0.catch_deg", "sensitivities.0.finish_deg",
		"sensitivities.0.lever_ratio", "heights.gate_over_water_cm", "demand.catch.needed_deg", "demand.finish.needed_deg",
	} {
		number(t, a, path)
	}
	same(t, "first sensitivity", at(t, a, "sensitivities.0.setting"), any("span_cm"))
	for _, path := range []string{"cautions.0.code", "cautions.0.text"} {
		if text, _ := at(t, a, path).(string); text == "" {
			t.Errorf("%s is empty", path)
		}
	}
}

// TestFirstRigOfNewsletter121 checks the handle's way against V. Kleshnev,
// Rowing Biomechanics Newsletter 121, April 2011: oar 289, inboard 89, span
// 159 cm, 108.7° and 1.612 m in the first row.
func TestFirstRigOfNewsletter121(t *testing.T) {
	r := put(put(scull(), "seat.oar_length_cm", 289), "seat.inboard_cm", 89)
	a := solved(t, r)
	perDegree := number(t, a, "handle_arc_m") / number(t, a, "arc_deg")
	near(t, "handle arc at 108.7° (m)", perDegree*108.7, 1.612, 0.001)
}

// TestPitchFollowsTheOar uses g + s·cos θ − l·sin θ, worked out here: the
// figures 1.7, 4.0 and 2.9° for a pin leaning 4° sternwards belong to −65°,
// 0° and +43°.
func TestPitchFollowsTheOar(t *testing.T) {
	a := solved(t, scull())
	near(t, "pitch at the catch", number(t, a, "pitch_deg.catch"), 1.7, 0.06)
	near(t, "pitch square", number(t, a, "pitch_deg.square"), 4, 1e-9)
	near(t, "pitch at the finish", number(t, a, "pitch_deg.finish"), 2.9, 0.06)

	r := put(put(put(scull(), "seat.blade_pitch_deg", 4), "seat.stern_pitch_deg", 0), "seat.outward_pitch_deg", 1)
	a = solved(t, r)
	near(t, "pitch at the catch, pin out", number(t, a, "pitch_deg.catch"), 4.9, 0.06)
	near(t, "pitch at the finish, pin out", number(t, a, "pitch_deg.finish"), 3.3, 0.06)
}

func TestGearingGrowsWithTheAngle(t *testing.T) {
	a := solved(t, scull())
	for _, end := range []string{"catch", "finish"} {
		cos := math.Cos(number(t, a, end+"_deg") * math.Pi / 180)
		near(t, "gearing at the "+end, number(t, a, "gearing.at_"+end), number(t, a, "gearing.lever_ratio")/cos, 0.002)
	}
	curve := at(t, a, "gearing.curve").([]any)
	for _, end := range []struct {
		point any
		name  string
	}{{curve[0], "catch"}, {curve[len(curve)-1], "finish"}} {
		same(t, "angle of the curve's "+end.name, number(t, end.point, "angle_deg"), number(t, a, end.name+"_deg"))
		same(t, "ratio of the curve's "+end.name, number(t, end.point, "ratio"), number(t, a, "gearing.at_"+end.name))
	}
}

// TestSensitivitiesAreWhatMovingDoes moves each setting by its step and solves
// again.
func TestSensitivitiesAreWhatMovingDoes(t *testing.T) {
	for name, request := range map[string]func() object{"scull": scull, "sweep": sweep, "no handle": bareScull} {
		t.Run(name, func(t *testing.T) {
			before := solved(t, request())
			rows := at(t, before, "sensitivities").([]any)
			if len(rows) < 10 {
				t.Fatalf("%d settings", len(rows))
			}
			for _, row := range rows {
				checkSensitivity(t, request(), before, row.(object))
			}
		})
	}
}

func checkSensitivity(t *testing.T, r, before, row object) {
	t.Helper()
	setting := row["setting"].(string)
	seat := r["seat"].(object)
	value, stated := seat[setting].(float64)
	if !stated {
		value = seatDefaults[setting]
		if setting == "gate_difference_cm" {
			value = 1
		}
	}
	seat[setting] = value + number(t, row, "step")
	after := solved(t, r)
	// Each of the three figures is rounded to a hundredth of a degree or to
	// a ten-thousandth.
	for path, tol := range map[string]float64{"catch_deg": 0.0151, "finish_deg": 0.0151, "arc_deg": 0.0151} {
		near(t, setting+": "+path, number(t, row, path), number(t, after, path)-number(t, before, path), tol)
	}
	lever := number(t, after, "gearing.lever_ratio") - number(t, before, "gearing.lever_ratio")
	near(t, setting+": lever_ratio", number(t, row, "lever_ratio"), lever, 0.000151)
	hand := number(t, after, "oars.0.handle_catch_height_cm") - number(t, before, "oars.0.handle_catch_height_cm")
	near(t, setting+": handle_catch_cm", number(t, row, "handle_catch_cm"), hand, 0.0151)
}

// seatDefaults are the documented values of settings left out.
var seatDefaults = map[string]float64{
	"gate_height_cm": 17, "heel_depth_cm": 17, "plate_angle_deg": 42, "blade_pitch_deg": 0, "stern_pitch_deg": 4,
	"outward_pitch_deg": 0,
}

func TestDemandIsWhatReachesTheTarget(t *testing.T) {
	for name, request := range map[string]func() object{"scull": scull, "sweep": sweep} {
		t.Run(name, func(t *testing.T) {
			d := at(t, solved(t, request()), "demand")
			for _, end := range []struct{ name, lean string }{{"catch", "posture.lean_deg"}, {"finish", "posture.layback_deg"}} {
				target := number(t, d, end.name+".target_deg")
				reached := solved(t, put(request(), end.lean, number(t, d, end.name+".needed_deg")))
				near(t, end.name+" with the lean needed", number(t, reached, end.name+"_deg"), target, 0.02)
				atLimit := solved(t, put(request(), end.lean, number(t, d, end.name+".limit_deg")))
				near(t, end.name+" with the lean at its limit", number(t, atLimit, end.name+"_deg"), number(t, d, end.name+".at_limit_deg"), 0.02)
			}
			moved := solved(t, put(request(), "seat.heel_to_pin_cm", number(t, d, "heel_for_finish_cm")))
			near(t, "finish with the heel moved", number(t, moved, "finish_deg"), number(t, d, "finish.target_deg"), 0.02)
		})
	}
}

func TestDemandOnlyForTargets(t *testing.T) {
	if _, ok := solved(t, drop(scull(), "targets"))["demand"]; ok {
		t.Error("demand without targets")
	}
	d := at(t, solved(t, drop(scull(), "targets.catch_deg")), "demand").(object)
	same(t, "demand for a finish", slices.Sorted(maps.Keys(d)), []string{"finish", "heel_for_finish_cm"})
	d = at(t, solved(t, drop(scull(), "targets.finish_deg")), "demand").(object)
	same(t, "demand for a catch", slices.Sorted(maps.Keys(d)), []string{"catch"})
}

// TestHandsStandWhereTheBladeMeetsTheWater leaves the hands' heights to the
// model.
func TestHandsStandWhereTheBladeMeetsTheWater(t *testing.T) {
	for name, r := range map[string]object{"scull": bareScull(), "sweep": bareSweep()} {
		a := solved(t, r)
		same(t, name+": hand at the catch", number(t, a, "oars.0.handle_catch_height_cm"), number(t, a, "heights.handle_entry_cm"))
		same(t, name+": hand at the finish", number(t, a, "oars.0.handle_finish_height_cm"), number(t, a, "heights.handle_covered_cm"))
	}
}

func TestOneOarInSweepAndTwoInSculling(t *testing.T) {
	oars := at(t, solved(t, scull()), "oars").([]any)
	same(t, "sides", []any{at(t, oars, "0.side"), at(t, oars, "1.side")}, []any{"port", "starboard"})
	for _, side := range []string{"port", "starboard"} {
		oars = at(t, solved(t, put(sweep(), "seat.side", side)), "oars").([]any)
		if len(oars) != 1 || at(t, oars, "0.side") != side {
			t.Errorf("oars on %s: %v", side, oars)
		}
	}
}

func TestSidesMirror(t *testing.T) {
	port, star := solved(t, put(sweep(), "seat.side", "port")), solved(t, put(sweep(), "seat.side", "starboard"))
	put(star["oars"].([]any)[0].(object), "side", "port")
	same(t, "starboard", star, port)
}

// TestAnswersCanBeSentAgain posts the posture, the body and the hands' heights
// of an answer back: rounding may move the arc by a few hundredths of a degree.
func TestAnswersCanBeSentAgain(t *testing.T) {
	r := put(put(bareScull(), "rower.stature_cm", 178.3), "rower.sex", "female")
	put(r, "posture.lean_deg", 26.123456)
	first := solved(t, r)
	r["posture"] = first["posture"]
	put(r, "rower.segments_cm", at(t, first, "body.segments_cm"))
	put(r, "rower.mass_kg", at(t, first, "body.mass_kg"))
	r["handle"] = object{
		"catch_height_cm": at(t, first, "oars.0.handle_catch_height_cm"), "finish_height_cm": at(t, first, "oars.0.handle_finish_height_cm"),
	}
	second := solved(t, r)
	same(t, "posture", second["posture"], first["posture"])
	same(t, "segments", at(t, second, "body.segments_cm"), at(t, first, "body.segments_cm"))
	for _, path := range []string{"catch_deg", "finish_deg", "arc_deg", "knee_flexion_deg", "seat_travel_cm"} {
		near(t, path, number(t, second, path), number(t, first, path), 0.05)
	}
}

func TestEqualRequestsHaveEqualAnswers(t *testing.T) {
	first, second := post(t, solvePath, scullExample), post(t, solvePath, scullExample)
	same(t, "second answer", second.Body.String(), first.Body.String())
}

// TestFiguresAreRounded reads the answer's text: no figure has more than four
// decimals, and none of those named in cm, kg or degrees more than two.
func TestFiguresAreRounded(t *testing.T) {
	for _, r := range []object{scull(), sweep(), bareScull()} {
		d := json.NewDecoder(post(t, solvePath, r).Body)
		d.UseNumber()
		var a object
		if err := d.Decode(&a); err != nil {
			t.Fatal(err)
		}
		checkDecimals(t, "", a)
	}
}

func checkDecimals(t *testing.T, name string, v any) {
	switch v := v.(type) {
	case object:
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
	for limit, r := range map[string]object{
		"no_finish":           put(put(scull(), "seat.heel_to_pin_cm", 0.5), "posture.layback_deg", 45),
		"no_catch":            put(scull(), "seat.heel_to_pin_cm", 60),
		"handle_out_of_reach": put(put(scull(), "rower.segments_cm.arm", 40), "posture.lean_deg", -15),
		"knee_too_far":        put(put(scull(), "rower.segments_cm.thigh", 23), "rower.segments_cm.shank", 60),
	} {
		p := problem(t, post(t, solvePath, r), http.StatusUnprocessableEntity)
		same(t, "limit", p.Limit, limit)
		if len(p.Errors) != 0 || !strings.HasSuffix(p.Detail, ".") || p.Detail[:1] != strings.ToUpper(p.Detail[:1]) {
			t.Errorf("%s: %+v", limit, p)
		}
	}
	r := decoded[api.SolveRequest](t, []byte(scullExample))
	*r.Seat.HeelToPinCm = 60
	_, err := api.NewService(nil).SolveSeat(context.Background(), r)
	var stuck *api.Unreachable
	if !errors.As(err, &stuck) || stuck.Limit != "no_catch" || stuck.Error() == "" {
		t.Errorf("service: %v", err)
	}
}

func TestCautionsFitTheCase(t *testing.T) {
	codes := func(r object) []string {
		var list []string
		for _, c := range at(t, solved(t, r), "cautions").([]any) {
			list = append(list, c.(object)["code"].(string))
		}
		return list
	}
	plain := codes(scull())
	if slices.Contains(plain, "junior") || slices.Contains(plain, "steep_catch") || !slices.Contains(plain, "back_and_ribs") {
		t.Errorf("cautions of an adult: %v", plain)
	}
	if junior := codes(put(scull(), "rower.age_years", 15)); !slices.Contains(junior, "junior") {
		t.Errorf("cautions of a junior: %v", junior)
	}
	if steep := codes(put(scull(), "seat.heel_to_pin_cm", 30)); !slices.Contains(steep, "steep_catch") {
		t.Errorf("cautions of a steep catch: %v", steep)
	}
	if slices.Contains(plain, "wide_limit") {
		t.Errorf("cautions with the usual limits: %v", plain)
	}
	if wide := codes(put(scull(), "limits.knee_flexion_deg", 175)); !slices.Contains(wide, "wide_limit") {
		t.Errorf("cautions of a limit set wide: %v", wide)
	}
}

func TestUnusualValuesAreToldInTheirUnits(t *testing.T) {
	var texts []string
	for _, c := range at(t, solved(t, put(scull(), "seat.plate_angle_deg", 48)), "cautions").([]any) {
		if c.(object)["code"] == "unusual" {
			texts = append(texts, c.(object)["text"].(string))
		}
	}
	same(t, "texts", texts, []string{"A foot plate angle of 48° is unusual: boats are mostly set from 36 to 46°. Check it and go on if it is right."})
}

// TestDisplacementLeftOut is that of the boat's least mass, 14 kg, with the
// sculler's 85 kg and 3 kg of oars and kit.
func TestDisplacementLeftOut(t *testing.T) {
	same(t, "with 102 kg stated", solved(t, put(scull(), "displacement_kg", 102)), solved(t, scull()))
	light := number(t, solved(t, put(scull(), "displacement_kg", 92)), "heights.seat_over_water_cm")
	near(t, "rise of the seat for 10 kg less (mm)", 10*(light-number(t, solved(t, scull()), "heights.seat_over_water_cm")), 6.5, 0.6)
}

// TestMoreIsKnownWithMoreMeasures: what is measured narrows the arc.
func TestMoreIsKnownWithMoreMeasures(t *testing.T) {
	sd := func(r object) float64 { return number(t, solved(t, r), "uncertainty.catch_sd_deg") }
	nothing := sd(bareScull())
	stature := sd(put(bareScull(), "rower.stature_cm", 178))
	segments := sd(scull())
	fine := sd(put(scull(), "tape_cm", 0.1))
	if !(nothing > stature && stature > segments && segments > fine && fine > 0) {
		t.Errorf("standard deviations %v, %v, %v, %v do not fall", nothing, stature, segments, fine)
	}
	near(t, "with a fifth of the tape's spread", fine, segments/5, 0.011)
	same(t, "with a perfect tape", sd(put(scull(), "tape_cm", 0)), 0.0)
}

// TestSpreadOfTheArcFollowsFromItsEnds: whatever the ends share, their
// difference spreads between the difference and the sum of their spreads.
func TestSpreadOfTheArcFollowsFromItsEnds(t *testing.T) {
	for name, r := range map[string]object{"scull": scull(), "sweep": sweep(), "sparse": bareScull()} {
		a := solved(t, r)
		catch, finish := number(t, a, "uncertainty.catch_sd_deg"), number(t, a, "uncertainty.finish_sd_deg")
		if arc := number(t, a, "uncertainty.arc_sd_deg"); !(catch > 0 && finish > 0 && arc <= catch+finish+0.02 && arc >= math.Abs(catch-finish)-0.02) {
			t.Errorf("%s: ± %v, %v, %v", name, catch, finish, arc)
		}
	}
}

func TestEndsOfARangeBelongToIt(t *testing.T) {
	for path, ends := range map[string][2]float64{"tape_cm": {0, 5}, "displacement_kg": {30, 2000}} {
		for _, v := range ends {
			solved(t, put(scull(), path, v))
		}
	}
}
