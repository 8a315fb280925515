package seat_test

import (
	"net/http"
	"slices"
	"strings"
	"testing"

	"thole/api/apitest"
)

func TestAFitIsOnItsStepsAndInItsRange(t *testing.T) {
	for _, target := range []float64{-52, -56, -60, -64} {
		o := apitest.Scull()
		o["targets"] = apitest.Object{"catch_deg": target, "finish_deg": 42.0}
		o["adjust"] = apitest.Parsed(`{"heel_to_pin_cm": {"min": 10, "max": 30, "step": 0.5, "cost": 1}}`)
		a := apitest.Answered(t, apitest.FitPath, o)
		heel := apitest.Number(t, a, "seat.heel_to_pin_cm")
		if heel != 23.4 && (heel < 10 || heel > 30 || heel*2 != float64(int(heel*2))) { // as found, or on a step
			t.Errorf("catch %v: heel to pin %v", target, heel)
		}
		again := apitest.Scull()
		again["targets"], again["seat"] = o["targets"], apitest.At(t, a, "seat")
		r := apitest.Solved(t, again)
		for _, name := range []string{"catch_deg", "finish_deg", "arc_deg"} {
			apitest.Near(t, name+" of the rig sent again", apitest.Number(t, r, name), apitest.Number(t, a, "result."+name), 0.011)
		}
	}
}

func TestBareNumbersAreTargets(t *testing.T) {
	bare, whole := apitest.Scull(), apitest.Scull()
	bare["targets"] = apitest.Parsed(`{"catch_deg": -60, "finish_deg": 42}`)
	whole["targets"] = apitest.Parsed(`{"catch_deg": {"value": -60}, "finish_deg": {"value": 42, "weight": 1, "tolerance": 0.5}}`)
	apitest.Same(t, "fit", apitest.Answered(t, apitest.FitPath, bare), apitest.Answered(t, apitest.FitPath, whole))
}

func TestLeftOutTargetsAreThoseToStartFrom(t *testing.T) {
	none, start := apitest.Drop(apitest.Scull(), "targets"), apitest.Scull()
	// A man of a club crew: 66/44 less 3 and 1, common practice.
	start["targets"] = apitest.Parsed(`{"catch_deg": -63, "finish_deg": 43}`)
	left, asked := apitest.Answered(t, apitest.FitPath, none), apitest.Answered(t, apitest.FitPath, start)
	apitest.Same(t, "who chose", []any{apitest.At(t, left, "result.targets.catch_by"), apitest.At(t, asked, "result.targets.catch_by")}, []any{"group", "stated"})
	for _, a := range []apitest.Object{left, asked} {
		apitest.Drop(apitest.Drop(a, "result.targets.catch_by"), "result.targets.finish_by")
	}
	apitest.Same(t, "fit", left, asked)
}

func TestAnInfeasibleTargetIsExplained(t *testing.T) {
	a := apitest.Answered(t, apitest.FitPath, apitest.AtTheEnd())
	apitest.Same(t, "heel at the end of its range", apitest.Number(t, a, "seat.heel_to_pin_cm"), 22.0)
	apitest.Same(t, "binding", apitest.At(t, a, "binding"), any([]any{"heel_to_pin_cm"}))
	unmet := apitest.At(t, a, "unmet").([]any)
	if len(unmet) == 0 {
		t.Fatal("everything is met")
	}
	for _, u := range unmet {
		if apitest.At(t, u, "text") == "" || apitest.Number(t, u, "by") == 0 {
			t.Errorf("not explained: %v", u)
		}
	}
}

func TestWhatAFitRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		change  func(apitest.Object) apitest.Object
		pointer string
		says    string
	}{
		"catch without its sign": {func(o apitest.Object) apitest.Object { return apitest.Put(o, "targets.catch_deg", 60.0) }, "#/targets/catch_deg", "the other sign: −60°?"},
		"no value":               {func(o apitest.Object) apitest.Object { return apitest.Put(o, "targets.catch_deg", apitest.Object{}) }, "#/targets/catch_deg", "needed"},
		"unknown in a goal": {func(o apitest.Object) apitest.Object {
			return apitest.Put(o, "targets.catch_deg", apitest.Object{"value": -60.0, "wait": 1.0})
		}, "#/targets/catch_deg/wait", "not known"},
		"text for a goal": {func(o apitest.Object) apitest.Object { return apitest.Put(o, "targets.finish_deg", "long") }, "#/targets/finish_deg", "not text"},
		"no weight": {func(o apitest.Object) apitest.Object {
			return apitest.Put(o, "targets.catch_deg", apitest.Object{"value": -60.0, "weight": 0.0})
		}, "#/targets/catch_deg/weight", "more than nothing"},
		"much weight": {func(o apitest.Object) apitest.Object {
			return apitest.Put(o, "targets.catch_deg", apitest.Object{"value": -60.0, "weight": 1e9})
		}, "#/targets/catch_deg/weight", "0 to 1000"},
		"unknown setting": {func(o apitest.Object) apitest.Object {
			return apitest.Put(o, "adjust.mast_cm", apitest.Object{"min": 1.0, "max": 2.0, "step": 1.0, "cost": 1.0})
		}, "#/adjust/mast_cm", "no such setting"},
		"of sweep": {func(o apitest.Object) apitest.Object {
			return apitest.Put(o, "adjust.spread_cm", apitest.Object{"min": 83.0, "max": 88.0, "step": 1.0, "cost": 1.0})
		}, "#/adjust/spread_cm", "has a span"},
		"range in metres": {func(o apitest.Object) apitest.Object {
			return apitest.Put(o, "adjust.span_cm", apitest.Object{"min": 1.5, "max": 1.6, "step": 0.5, "cost": 1.0})
		}, "#/adjust/span_cm/min", "150 cm?"},
		"ends swapped": {func(o apitest.Object) apitest.Object {
			return apitest.Put(o, "adjust.span_cm", apitest.Object{"min": 160.0, "max": 150.0, "step": 0.5, "cost": 1.0})
		}, "#/adjust/span_cm/min", "swap them"},
		"no step": {func(o apitest.Object) apitest.Object {
			return apitest.Put(o, "adjust.span_cm", apitest.Object{"min": 150.0, "max": 160.0, "step": 0.0, "cost": 1.0})
		}, "#/adjust/span_cm/step", "plausible range"},
		"nothing to move": {func(o apitest.Object) apitest.Object { return apitest.Put(o, "adjust", apitest.Object{}) }, "#/adjust", "at least one setting"},
		"also the seat":   {func(o apitest.Object) apitest.Object { return apitest.Put(o, "seat.span_cm", 1.59) }, "#/seat/span_cm", "159 cm?"},
	} {
		said := apitest.Refused(t, apitest.FitPath, c.change(apitest.Scull()))
		if !strings.Contains(said[c.pointer], c.says) {
			t.Errorf("%s: %v; want %q at %s", name, said, c.says, c.pointer)
		}
	}
}

func TestACrewSharesItsOars(t *testing.T) {
	a := apitest.Answered(t, apitest.CrewPath, apitest.UnlikePair())
	for _, name := range []string{"oar_length_cm", "inboard_cm"} {
		apitest.Same(t, name, apitest.Number(t, a, "seats.0.seat."+name), apitest.Number(t, a, "seats.1.seat."+name))
	}
	if len(apitest.At(t, a, "offers").([]any)) == 0 || len(apitest.At(t, a, "seats.0.unmet").([]any))+len(apitest.At(t, a, "seats.1.unmet").([]any)) == 0 {
		t.Error("bodies that differ by half a metre suit one rig")
	}
}

func TestWorkIsInAnOrderThatDoesNotUndoItself(t *testing.T) {
	order := []string{"span_cm", "spread_cm", "gate_height_cm", "oar_length_cm", "inboard_cm", "heel_depth_cm", "heel_to_pin_cm"}
	o := apitest.UnlikePair()
	delete(o, "adjust")
	for _, seat := range o["seats"].([]any) { // gates that were measured and stand far too high
		apitest.Put(seat.(apitest.Object), "seat.gate_height_cm", 23.0)
		apitest.Put(seat.(apitest.Object), "rower.draw_height_cm", 33.0)
		apitest.Put(seat.(apitest.Object), "seat.heel_to_pin_cm", 27.0)
	}
	work := apitest.At(t, apitest.Answered(t, apitest.CrewPath, o), "work").([]any)
	if len(work) < 4 {
		t.Fatalf("only %d things to move", len(work))
	}
	for i := range work[1:] {
		a, b := work[i], work[i+1]
		if apitest.Number(t, a, "seat") > apitest.Number(t, b, "seat") ||
			apitest.Number(t, a, "seat") == apitest.Number(t, b, "seat") && slices.Index(order, apitest.At(t, a, "setting").(string)) >= slices.Index(order, apitest.At(t, b, "setting").(string)) {
			t.Errorf("%v before %v", a, b)
		}
	}
}

func TestWhatACrewRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		change  func(apitest.Object) apitest.Object
		pointer string
	}{
		"nobody":   {func(o apitest.Object) apitest.Object { o["seats"] = []any{}; return o }, "#/seats"},
		"too many": {func(o apitest.Object) apitest.Object { o["boat_class"] = "1x"; return o }, "#/seats"},
		"seat twice": {func(o apitest.Object) apitest.Object {
			o["seats"].([]any)[1].(apitest.Object)["number"] = 2.0
			o["seats"].([]any)[0].(apitest.Object)["number"] = 2.0
			return o
		}, "#/seats/1/number"},
		"no such seat": {func(o apitest.Object) apitest.Object {
			o["seats"].([]any)[0].(apitest.Object)["number"] = 3.0
			return o
		}, "#/seats/0/number"},
		"bad body": {func(o apitest.Object) apitest.Object {
			apitest.Put(o["seats"].([]any)[1].(apitest.Object), "rower.stature_cm", 18.0)
			return o
		}, "#/seats/1/rower/stature_cm"},
		"bad strength": {func(o apitest.Object) apitest.Object {
			o["seats"].([]any)[1].(apitest.Object)["strength"] = -1.0
			return o
		}, "#/seats/1/strength"},
		"bad adjustment": {func(o apitest.Object) apitest.Object {
			return apitest.Put(o, "adjust.spread_cm", apitest.Object{"min": 3.0, "max": 88.0, "step": 1.0, "cost": 1.0})
		}, "#/adjust/spread_cm/min"},
	} {
		if said := apitest.Refused(t, apitest.CrewPath, c.change(apitest.UnlikePair())); said[c.pointer] == "" {
			t.Errorf("%s: %v; want something at %s", name, said, c.pointer)
		}
	}
}

func TestASeatThatCannotBeRowedIsNamed(t *testing.T) {
	o := apitest.CrewOf("2x", apitest.Scull(), apitest.Put(apitest.Scull(), "seat.heel_to_pin_cm", 60.0))
	o["adjust"] = apitest.Parsed(`{"inboard_cm": {"min": 87, "max": 89, "step": 1, "cost": 1}}`)
	p := apitest.Problem(t, apitest.Post(t, apitest.CrewPath, o), http.StatusUnprocessableEntity)
	if p.Limit == "" || !strings.HasPrefix(p.Detail, "Seat 2: ") {
		t.Errorf("limit %q: %q", p.Limit, p.Detail)
	}
}
