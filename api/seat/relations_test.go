package seat_test

import (
	"math"
	"testing"

	"thole/api/apitest"
)

// The tests in this file hold the figures of one answer against one another
// and against the request: each figure is worked out from others by the
// relation that its description states. Tolerances follow from the rounding.

// someAnswers returns requests of both disciplines with their answers.
func someAnswers(t *testing.T) map[string]struct{ request, answer apitest.Object } {
	t.Helper()
	list := map[string]struct{ request, answer apitest.Object }{}
	for name, r := range map[string]apitest.Object{
		"scull": apitest.Parsed(apitest.FullScull), "sweep": apitest.Sweep(), "port gate higher": apitest.Put(apitest.Scull(), "seat.gate_difference_cm", -1.5),
		"sparse scull": apitest.Put(apitest.BareScull(), "rower.stature_cm", 172), "sparse sweep": apitest.BareSweep(),
		"compressed": apitest.Put(apitest.Put(apitest.Scull(), "posture.shin_deg", 80), "seat.heel_to_pin_cm", 10),
	} {
		list[name] = struct{ request, answer apitest.Object }{r, apitest.Solved(t, r)}
	}
	return list
}

// figures returns a reader of the numbers of an answer.
func figures(t *testing.T, a apitest.Object) func(path string) float64 {
	return func(path string) float64 { t.Helper(); return apitest.Number(t, a, path) }
}

// stated returns a value of a request, or its default.
func stated(r apitest.Object, group, name string, def float64) float64 {
	if o, ok := r[group].(apitest.Object); ok {
		switch v := o[name].(type) {
		case float64:
			return v
		case int:
			return float64(v)
		}
	}
	return def
}

func deg(d float64) float64 { return d * math.Pi / 180 }

func TestArcIsThatOfTheOarThatStopsFirst(t *testing.T) {
	for name, c := range someAnswers(t) {
		f := figures(t, c.answer)
		catch, finish := math.Inf(-1), math.Inf(1)
		for _, o := range c.answer["oars"].([]any) {
			catch, finish = max(catch, apitest.Number(t, o, "catch_deg")), min(finish, apitest.Number(t, o, "finish_deg"))
		}
		apitest.Same(t, name+": catch", f("catch_deg"), catch)
		apitest.Same(t, name+": finish", f("finish_deg"), finish)
		apitest.Near(t, name+": arc", f("arc_deg"), finish-catch, 0.0151)
		apitest.Near(t, name+": way of the handle", f("handle_arc_m"), f("drawing.inner_cm")/100*deg(f("arc_deg")), 0.0002)
	}
}

func TestHigherGateHasTheHigherHand(t *testing.T) {
	for name, c := range someAnswers(t) {
		oars := c.answer["oars"].([]any)
		if len(oars) < 2 {
			continue
		}
		f := figures(t, c.answer)
		rise := stated(c.request, "seat", "gate_difference_cm", 1) * (1 + f("drawing.inner_cm")/f("drawing.outer_cm"))
		for _, end := range []string{"catch", "finish"} {
			path := "handle_" + end + "_height_cm"
			apitest.Near(t, name+": starboard hand over port", apitest.Number(t, oars[1], path)-apitest.Number(t, oars[0], path), rise, 0.0101)
		}
	}
}

func TestLegsAndFeet(t *testing.T) {
	for name, c := range someAnswers(t) {
		f := figures(t, c.answer)
		plate := stated(c.request, "seat", "plate_angle_deg", 42)
		needed := plate + 90 - f("posture.shin_deg")
		apitest.Near(t, name+": dorsiflexion needed", f("dorsiflexion_needed_deg"), needed, 0.0101)
		apitest.Near(t, name+": lift of the heel", f("heel_lift_deg"), max(0, needed-f("posture.dorsiflexion_deg")), 0.0101)
		apitest.Near(t, name+": plate", f("drawing.plate_deg"), plate, 1e-9)
		apitest.Near(t, name+": travel of the seat", f("seat_travel_cm"), f("drawing.at_catch.hip.x_cm")-f("drawing.at_finish.hip.x_cm"), 0.0151)
		apitest.Near(t, name+": work-through", f("work_through_cm"), f("drawing.at_catch.hip.x_cm")+12, 0.0101)
		thigh := math.Atan2(f("drawing.at_catch.knee.z_cm")-f("drawing.at_catch.hip.z_cm"), f("drawing.at_catch.knee.x_cm")-f("drawing.at_catch.hip.x_cm")) * 180 / math.Pi
		apitest.Near(t, name+": trunk and thigh", f("trunk_thigh_deg"), 90+thigh+f("posture.lean_deg"), 0.04)
		apitest.Near(t, name+": knees", f("knee_flexion_deg"), 180-f("posture.shin_deg")+thigh, 0.04)
	}
}

// TestDrawingIsTheBody measures the links of the drawn rower.
func TestDrawingIsTheBody(t *testing.T) {
	for name, c := range someAnswers(t) {
		f := figures(t, c.answer)
		for _, pose := range []string{"drawing.at_catch.", "drawing.at_finish."} {
			apart := func(a, b string, shift float64) float64 {
				return math.Hypot(f(pose+a+".x_cm")-f(pose+b+".x_cm")-shift, f(pose+a+".z_cm")-f(pose+b+".z_cm"))
			}
			protraction := 0.0
			if pose == "drawing.at_catch." {
				protraction = f("posture.protraction_cm")
			}
			apitest.Near(t, name+pose+"foot", apart("ball", "heel", 0), f("body.segments_cm.ball"), 0.03)
			apitest.Near(t, name+pose+"ankle", apart("ankle", "heel", 0), math.Hypot(f("body.segments_cm.ankle_along"), f("body.segments_cm.ankle_off")), 0.03)
			apitest.Near(t, name+pose+"shank", apart("knee", "ankle", 0), f("body.segments_cm.shank"), 0.03)
			apitest.Near(t, name+pose+"thigh", apart("knee", "hip", 0), f("body.segments_cm.thigh"), 0.03)
			apitest.Near(t, name+pose+"trunk", apart("shoulder", "hip", protraction), f("body.segments_cm.trunk"), 0.03)
			apitest.Near(t, name+pose+"hip", f(pose+"hip.z_cm"), f("body.segments_cm.hip_height"), 0.0051)
		}
		apitest.Near(t, name+": heel along", f("drawing.at_finish.heel.x_cm"), stated(c.request, "seat", "heel_to_pin_cm", 0), 1e-9)
		apitest.Near(t, name+": heel down", f("drawing.at_finish.heel.z_cm"), -stated(c.request, "seat", "heel_depth_cm", 17), 1e-9)
		apitest.Near(t, name+": shoulders", f("drawing.half_shoulder_cm"), f("body.segments_cm.half_shoulder"), 1e-9)
		for _, end := range []string{"catch", "finish"} {
			apitest.Near(t, name+": hand at the "+end, f("drawing.at_"+end+".hand.x_cm"), -f("drawing.hand_cm")*math.Sin(deg(f(end+"_deg"))), 0.02)
		}
		slope := math.Asin((f("drawing.at_catch.shoulder.z_cm") - f("drawing.at_catch.hand.z_cm")) / f("body.segments_cm.arm"))
		apitest.Near(t, name+": slope of the arms", f("arm_slope_deg"), slope*180/math.Pi, 0.03)
	}
}

// TestDrawingIsTheRig: 4 cm from the inboard to R_in in sculling follows from
// V. Kleshnev, Rowing Biomechanics Newsletter 121 (2011).
func TestDrawingIsTheRig(t *testing.T) {
	for name, c := range someAnswers(t) {
		f := figures(t, c.answer)
		inboard, oar := stated(c.request, "seat", "inboard_cm", 0), stated(c.request, "seat", "oar_length_cm", 0)
		difference := stated(c.request, "seat", "gate_difference_cm", 1)
		pin, inner, outer, hand, blade := stated(c.request, "seat", "span_cm", 0)/2, inboard-4, oar-inboard-24, inboard-4, 21.5
		if spread := stated(c.request, "seat", "spread_cm", 0); spread != 0 {
			difference = 0
			pin, inner, outer, hand, blade = spread, inboard-13, oar-inboard-29, inboard-3, 25
		}
		apitest.Near(t, name+": pin", f("drawing.pin_out_cm"), pin, 1e-9)
		apitest.Near(t, name+": handle's lever", f("drawing.inner_cm"), inner, 1e-9)
		apitest.Near(t, name+": blade's lever", f("drawing.outer_cm"), outer, 1e-9)
		apitest.Near(t, name+": hand", f("drawing.hand_cm"), hand, 1e-9)
		apitest.Near(t, name+": blade", f("drawing.blade_cm"), blade, 1e-9)
		lower := stated(c.request, "seat", "gate_height_cm", 17) + min(0, difference)
		apitest.Near(t, name+": lower gate", f("drawing.gate_cm"), lower, 1e-9)
		apitest.Near(t, name+": gate over the water", f("heights.gate_over_water_cm"), lower+f("heights.seat_over_water_cm"), 0.0101)
		apitest.Near(t, name+": lever ratio", f("gearing.lever_ratio"), outer/inner, 0.00006)
		if len(c.answer["oars"].([]any)) == 2 {
			apitest.Near(t, name+": hands apart", f("hands_apart_cm"), 2*(pin-inner*math.Cos(deg(f("catch_deg")))), 0.04)
			apitest.Near(t, name+": handle ends apart", f("handle_ends_apart_cm"), 2*(pin-(inner+6)*math.Cos(deg(f("finish_deg")))), 0.04)
			apitest.Same(t, name+": rotation", f("rotation_deg"), 0.0)
		} else {
			apitest.Near(t, name+": rotation", f("rotation_deg"), min(-0.7*f("catch_deg"), f("posture.rotation_max_deg")), 0.02)
		}
	}
}

// TestHandsFollowTheBlade lifts the gate and looks at the blade's heights:
// 8 to 10 cm of blade over the water on the recovery is what V. Kleshnev
// reports (row2k.com, November 2021).
func TestHandsFollowTheBlade(t *testing.T) {
	for name, c := range someAnswers(t) {
		f := figures(t, c.answer)
		if !(f("heights.handle_recovery_cm") < f("heights.handle_entry_cm") && f("heights.handle_entry_cm") < f("heights.handle_covered_cm")) {
			t.Errorf("%s: hands at %v, %v, %v", name, f("heights.handle_recovery_cm"), f("heights.handle_entry_cm"), f("heights.handle_covered_cm"))
		}
		apitest.Near(t, name+": blade on the recovery", f("heights.blade_recovery_cm"), f("drawing.outer_cm")*math.Sin(deg(3)), 0.3)
		apitest.Near(t, name+": rise for each cm of gate", f("heights.handle_per_gate"), 1+f("drawing.hand_cm")/f("drawing.outer_cm"), 0.0001)
		slope := math.Asin((f("drawing.at_catch.shoulder.z_cm") - f("heights.handle_covered_cm")) / f("body.segments_cm.arm"))
		apitest.Near(t, name+": slope of the arms early in the drive", f("heights.arm_slope_deg"), slope*180/math.Pi, 0.03)
	}
}

// TestWindowOfGateHeights puts the gate at each end of its window and checks
// what is said to set that end.
func TestWindowOfGateHeights(t *testing.T) {
	for name, r := range map[string]apitest.Object{
		"scull": apitest.Scull(), "sweep": apitest.Sweep(), "low draw": apitest.Put(apitest.Scull(), "rower.draw_height_cm", 28),
		"long trunk": apitest.Put(apitest.Scull(), "rower.segments_cm.trunk", 70), "short trunk": apitest.Put(apitest.Scull(), "rower.segments_cm.trunk", 42),
		"long arms": apitest.Put(apitest.Scull(), "rower.segments_cm.arm", 76), "starboard lower": apitest.Put(apitest.Scull(), "seat.gate_difference_cm", -1),
	} {
		w := apitest.At(t, apitest.Solved(t, r), "heights.window")
		// The window is of the lower gate; gate_height_cm is the port gate.
		port := -min(0, stated(r, "seat", "gate_difference_cm", 0))
		gate := func(height float64) apitest.Object {
			return apitest.Solved(t, apitest.Put(r, "seat.gate_height_cm", height+port))
		}
		low, high := apitest.Number(t, w, "low_cm"), apitest.Number(t, w, "high_cm")
		for end, height := range map[string]float64{"low": low, "high": high} {
			f := figures(t, gate(height))
			bound := apitest.At(t, w, end+"_by")
			got, want := f("heights.handle_covered_cm"), f("heights.draw_height_cm")
			switch bound {
			case "clear_of_thighs":
				got, want = f("heights.handle_recovery_cm"), f("heights.thigh_top_cm")+4
			case "arm_slope_level":
				got, want = f("heights.arm_slope_deg"), 0
			case "arm_slope_steep":
				got, want = f("heights.arm_slope_deg"), 20
			}
			apitest.Near(t, name+": "+end+" end by "+bound.(string), got, want, 0.03)
		}
		verdict := func(height float64) any { return apitest.At(t, gate(height), "heights.window.verdict") }
		// Out is what lies more than two standard deviations of an end outside.
		below, above := low-2*apitest.Number(t, w, "low_sd_cm"), high+2*apitest.Number(t, w, "high_sd_cm")
		if low > high {
			below, above = high-2*apitest.Number(t, w, "high_sd_cm"), low+2*apitest.Number(t, w, "low_sd_cm")
		}
		apitest.Same(t, name+": verdicts", []any{verdict(below - 0.1), verdict(below + 0.1), verdict((low + high) / 2), verdict(above - 0.1), verdict(above + 0.1)},
			[]any{"low", "inside", "inside", "inside", "high"})
	}
}

// turnOfOar turns an oar from an angle in degrees for a time, at square·cos θ
// radians a second, by the midpoint rule, and returns the turn in degrees.
func turnOfOar(from, square, time float64) float64 {
	const steps = 2000
	theta := deg(from)
	for range steps {
		half := theta + square*math.Cos(theta)*time/steps/2
		theta += square * math.Cos(half) * time / steps
	}
	return theta*180/math.Pi - from
}

// TestEntryMeetsTheWater: the slip targets are V. Kleshnev's, 6° in sculling
// and 9° in sweep.
func TestEntryMeetsTheWater(t *testing.T) {
	for name, c := range someAnswers(t) {
		f := figures(t, c.answer)
		boat, edge := stated(c.request, "approach", "boat_speed_m_s", 4.5), stated(c.request, "approach", "edge_height_cm", 5)
		down, over := stated(c.request, "approach", "blade_speed_m_s", 2), stated(c.request, "approach", "overdepth_cm", 5)
		blade := boat * math.Cos(deg(f("catch_deg")))
		apitest.Near(t, name+": water across the blade", f("entry.blade_speed_m_s"), blade, 0.0006)
		apitest.Near(t, name+": handle", f("entry.handle_speed_m_s"), blade/f("gearing.lever_ratio"), 0.0005)
		rate := blade / (f("drawing.outer_cm") / 100) * 180 / math.Pi
		apitest.Near(t, name+": rate of turn", f("entry.oar_rate_deg_s"), rate, 0.03)
		bury := (edge + f("drawing.blade_cm")) / 100 / down
		apitest.Near(t, name+": time to bury", f("entry.bury_time_s"), bury, 0.00006)
		square := boat / (f("drawing.outer_cm") / 100)
		first, last := f("catch_deg"), f("finish_deg")
		missed := turnOfOar(first, square, bury)
		apitest.Near(t, name+": missed", f("entry.missed_deg"), missed, 0.06)
		apitest.Near(t, name+": share missed", f("entry.missed_share"), missed/f("arc_deg"), 0.0006)
		apitest.Near(t, name+": saved for each cm", f("entry.saved_deg_per_cm"), square*180/math.Pi*math.Cos(deg(first+missed))/down/100, 0.001)
		detour := turnOfOar(first+missed, square, over/100/down) - turnOfOar(last, -square, over/100/down)
		apitest.Near(t, name+": share of the detour", f("entry.detour_share"), detour/f("arc_deg"), 0.0006)
		apitest.Near(t, name+": rise of the handle", f("entry.handle_rise_cm"), over/f("gearing.lever_ratio"), 0.006)
		slip := 9.0
		if len(c.answer["oars"].([]any)) == 2 {
			slip = 6
		}
		apitest.Same(t, name+": slip to aim at", f("entry.slip_target_deg"), slip)
	}
}

func TestPitchOfASensitivityIsTheChangeOfPitch(t *testing.T) {
	before := apitest.Solved(t, apitest.Scull())
	for _, row := range before["sensitivities"].([]any) {
		setting := apitest.At(t, row, "setting").(string)
		r := apitest.Scull()
		after := apitest.Solved(t, apitest.Put(r, "seat."+setting, r["seat"].(apitest.Object)[setting].(float64)+1))
		for _, end := range []string{"catch", "finish"} {
			want := 0.0
			if setting == "blade_pitch_deg" || setting == "stern_pitch_deg" || setting == "outward_pitch_deg" {
				want = apitest.Number(t, after, "pitch_deg."+end) - apitest.Number(t, before, "pitch_deg."+end)
			}
			apitest.Near(t, setting+": pitch at the "+end, apitest.Number(t, row, "pitch_"+end+"_deg"), want, 0.0151)
		}
	}
	for _, row := range apitest.Solved(t, apitest.BareScull())["sensitivities"].([]any) {
		if apitest.At(t, row, "setting") == "gate_height_cm" {
			after := apitest.Solved(t, apitest.Put(apitest.BareScull(), "seat.gate_height_cm", 18))
			rise := apitest.Number(t, after, "oars.0.handle_finish_height_cm") - apitest.Number(t, apitest.Solved(t, apitest.BareScull()), "oars.0.handle_finish_height_cm")
			apitest.Near(t, "rise of the hand at the finish", apitest.Number(t, row, "handle_finish_cm"), rise, 0.0151)
		}
	}
}

// TestDemandStatesItsTerms checks what a demand says beside the lean needed,
// with lean and slide at their limits.
func TestDemandStatesItsTerms(t *testing.T) {
	r := apitest.Put(apitest.Put(apitest.Put(apitest.Scull(), "posture.shin_deg", 84), "targets.catch_deg", -67), "seat.heel_to_pin_cm", 14)
	d := apitest.At(t, apitest.Solved(t, r), "demand")
	f := func(path string) float64 { t.Helper(); return apitest.Number(t, d, path) }
	for end, want := range map[string]struct{ target, usual float64 }{"catch": {-67, 25}, "finish": {44, 28}} {
		apitest.Same(t, end+": target", f(end+".target_deg"), want.target)
		apitest.Same(t, end+": usual lean", f(end+".usual_deg"), want.usual)
	}
	apitest.Near(t, "margin at the catch", f("catch.margin_deg"), f("catch.target_deg")-f("catch.at_limit_deg"), 0.0151)
	apitest.Near(t, "margin at the finish", f("finish.margin_deg"), f("finish.at_limit_deg")-f("finish.target_deg"), 0.0151)
	apitest.Same(t, "limit of the layback", f("finish.limit_deg"), 35.0)

	stop := apitest.Solved(t, apitest.Put(r, "posture.shin_deg", f("catch.slide_stop_deg")))
	apitest.Near(t, "knees where the slide stops", apitest.Number(t, stop, "knee_flexion_deg"), 140, 0.03)
	if _, there := apitest.At(t, d, "catch").(map[string]any)["shin_deg"]; there {
		t.Error("a shin is asked for beside a slide that must stop earlier")
	}
	r = apitest.Put(apitest.Put(apitest.Scull(), "posture.shin_deg", 100), "targets.catch_deg", -66)
	f = func(path string) float64 {
		t.Helper()
		return apitest.Number(t, apitest.Solved(t, r), "demand."+path)
	}
	reach := apitest.Solved(t, apitest.Put(apitest.Put(r, "posture.shin_deg", f("catch.shin_deg")), "posture.lean_deg", 60))
	if catch := apitest.Number(t, reach, "catch_deg"); catch > -66 {
		t.Errorf("with the shin asked for the most lean reaches %.1f", catch)
	}
}

// TestDemandSaysWhetherTheTargetSuits moves the target from within the usual
// posture over the limits' edge to beyond them.
func TestDemandSaysWhetherTheTargetSuits(t *testing.T) {
	for _, c := range []struct {
		catch, finish float64
		reach         string
	}{{-60, 40, "within_reach"}, {-66.5, 44, "edge_of_reach"}, {-75, 60, "beyond_reach"}} {
		d := apitest.At(t, apitest.Solved(t, apitest.Put(apitest.Put(apitest.Scull(), "targets.catch_deg", c.catch), "targets.finish_deg", c.finish)), "demand")
		apitest.Same(t, "catch", apitest.At(t, d, "catch.reach"), any(c.reach))
		apitest.Same(t, "finish", apitest.At(t, d, "finish.reach"), any(c.reach))
	}
	d := apitest.At(t, apitest.Solved(t, apitest.Scull()), "demand.catch")
	apitest.Same(t, "limited by", apitest.At(t, d, "limited_by"), any("trunk_thigh"))
	d = apitest.At(t, apitest.Solved(t, apitest.Put(apitest.Scull(), "limits.trunk_thigh_deg", 175)), "demand.catch")
	apitest.Same(t, "limited by, hips free", apitest.At(t, d, "limited_by"), any("lean"))
	apitest.Same(t, "limit, hips free", apitest.At(t, d, "limit_deg"), any(30.0))
}

// TestBodyIsWhatWasStated: what was measured is used as it stands, and the
// reading's spread stands beside it.
func TestBodyIsWhatWasStated(t *testing.T) {
	a := apitest.Solved(t, apitest.Put(apitest.Scull(), "tape_cm", 0.3))
	apitest.Same(t, "segments", apitest.At(t, a, "body.segments_cm"), apitest.At(t, apitest.Scull(), "rower.segments_cm"))
	for name := range apitest.At(t, a, "body.sd_cm").(apitest.Object) {
		apitest.Near(t, "spread of "+name, apitest.Number(t, a, "body.sd_cm."+name), 0.3, 0.0051)
	}
	apitest.Near(t, "stature", apitest.Number(t, a, "body.stature_cm"), 185, 0.0051)
	apitest.Near(t, "mass", apitest.Number(t, a, "body.mass_kg"), 85, 0.0051)
	apitest.Same(t, "posture", a["posture"], apitest.Scull()["posture"])
	if usual, odd := apitest.Number(t, a, "body.rarity"), apitest.Number(t, apitest.Solved(t, apitest.Put(apitest.Scull(), "rower.mass_kg", 199)), "body.rarity"); !(usual > 0.05 && odd < 0.001) {
		t.Errorf("rarities %v and %v", usual, odd)
	}
	apitest.Same(t, "rarity of nobody", apitest.Number(t, apitest.Solved(t, apitest.BareScull()), "body.rarity"), 1.0)
}
