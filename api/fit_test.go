package api_test

import (
	"encoding/json"
	"maps"
	"net/http"
	"slices"
	"strings"
	"testing"
)

const (
	fitPath  = "/api/v1/rigging/fit"
	crewPath = "/api/v1/rigging/crew"
)

// fullFit states every member of a fit.
var fullFit = func() string {
	o := parsed(fullScull)
	o["targets"] = parsed(`{
		"catch_deg": {"value": -60, "weight": 2, "tolerance": 0.5}, "finish_deg": {"value": 42, "weight": 1, "tolerance": 0.5},
		"lever_ratio": {"value": 2.1, "weight": 1, "tolerance": 0.02}, "draw_height_cm": {"value": 0, "weight": 1, "tolerance": 1},
		"overlap_cm": {"value": 19, "weight": 1, "tolerance": 1}}`)
	o["adjust"] = parsed(`{"heel_to_pin_cm": {"min": 10, "max": 45, "step": 0.5, "cost": 1}, "span_cm": {"min": 154, "max": 162, "step": 0.5, "cost": 4}}`)
	text, err := json.Marshal(o)
	if err != nil {
		panic(err)
	}
	return string(text)
}()

const fullCrew = `{
	"boat_class": "2-", "own_inboard": true, "displacement_kg": 210, "tape_cm": 0.5,
	"targets": {"catch_deg": {"value": -53, "weight": 1, "tolerance": 0.5}, "finish_deg": {"value": 33, "weight": 1, "tolerance": 0.5},
		"lever_ratio": {"value": 2.1, "weight": 1, "tolerance": 0.02}, "draw_height_cm": {"value": 0, "weight": 1, "tolerance": 1},
		"overlap_cm": {"value": 30, "weight": 1, "tolerance": 1}},
	"adjust": {"heel_to_pin_cm": {"min": 10, "max": 45, "step": 0.5, "cost": 1}},
	"seats": [
		{"number": 2, "seat": {"spread_cm": 85, "side": "port", "oar_length_cm": 372, "inboard_cm": 115, "heel_to_pin_cm": 20}, "strength": 300,
			"rower": {"sex": "male", "stature_cm": 185}, "posture": {"lean_deg": 26}, "handle": {"catch_height_cm": 25, "finish_height_cm": 25}},
		{"seat": {"spread_cm": 85, "side": "starboard", "oar_length_cm": 372, "inboard_cm": 115, "heel_to_pin_cm": 20}, "number": 1}
	]}`

func init() {
	samples["POST "+fitPath] = fitSamples
	// A crew always has both ends of the arc for targets.
	settled = append(settled, "POST "+crewPath+".seats.result.demand")
	samples["POST "+crewPath] = bodies(parsed(fullCrew), unlikePair(), crewOf("1x", put(bareScull(), "rower.stature_cm", 185.0)), crewOf("1x", scull()), junior())
}

// fitSamples fits what is asked of the solver, with the rig held where it is or
// let go.
func fitSamples(t testing.TB) []sample {
	var list []sample
	for _, s := range samples["POST "+solvePath](t) {
		for _, free := range []bool{true, false} {
			body := maps.Clone(s.body)
			if !free {
				length := body["seat"].(object)["oar_length_cm"]
				body["adjust"] = object{"oar_length_cm": object{"min": length, "max": length, "step": 1.0, "cost": 1.0}}
			}
			list = append(list, sample{body: body})
		}
	}
	return append(list, bodies(parsed(fullFit), outside(), atTheEnd(), leverAlone())(t)...)
}

// outside is a seat that stands outside its range.
func outside() object {
	o := scull()
	o["adjust"] = parsed(`{"heel_to_pin_cm": {"min": 10, "max": 20, "step": 0.5, "cost": 1}}`)
	return o
}

// leverAlone aims at a gearing and at no end of the arc.
func leverAlone() object {
	o := scull()
	o["targets"] = object{"lever_ratio": 2.12}
	return o
}

// atTheEnd is a seat whose stretcher does not go far enough.
func atTheEnd() object {
	o := scull()
	o["targets"] = parsed(`{"catch_deg": -60, "finish_deg": 50}`)
	o["adjust"] = parsed(`{"heel_to_pin_cm": {"min": 22, "max": 24, "step": 0.5, "cost": 1}}`)
	return o
}

// crewOf is a crew of one, from a request to solve a seat.
func crewOf(class string, seats ...object) object {
	var list []any
	for _, o := range seats {
		seat := object{"seat": o["seat"]}
		for _, name := range []string{"rower", "posture", "handle"} {
			if v, ok := o[name]; ok {
				seat[name] = v
			}
		}
		list = append(list, seat)
	}
	return object{"boat_class": class, "seats": list}
}

// unlikePair is a pair of bodies that no common rig suits, with next to nothing
// to move.
func unlikePair() object {
	tall, small := sweep(), put(sweep(), "seat.side", "starboard")
	tall["rower"], small["rower"] = object{"sex": "male", "stature_cm": 200.0}, object{"sex": "female", "stature_cm": 155.0}
	drop(tall, "handle")
	drop(small, "handle")
	o := crewOf("2-", tall, small)
	o["targets"] = object{"catch_deg": -55.0, "finish_deg": 35.0}
	o["adjust"] = parsed(`{"heel_to_pin_cm": {"min": 19, "max": 21, "step": 0.5, "cost": 1}}`)
	return o
}

// junior is a fifteen-year-old whose gearing is asked to be heavier.
func junior() object {
	o := crewOf("1x", put(bareScull(), "rower.age_years", 15.0))
	o["targets"] = object{"catch_deg": -60.0, "finish_deg": 40.0, "lever_ratio": 2.3}
	return o
}

func TestAFitIsOnItsStepsAndInItsRange(t *testing.T) {
	for _, target := range []float64{-52, -56, -60, -64} {
		o := scull()
		o["targets"] = object{"catch_deg": target, "finish_deg": 42.0}
		o["adjust"] = parsed(`{"heel_to_pin_cm": {"min": 10, "max": 30, "step": 0.5, "cost": 1}}`)
		a := answered(t, fitPath, o)
		heel := number(t, a, "seat.heel_to_pin_cm")
		if heel != 23.4 && (heel < 10 || heel > 30 || heel*2 != float64(int(heel*2))) { // as found, or on a step
			t.Errorf("catch %v: heel to pin %v", target, heel)
		}
		again := scull()
		again["targets"], again["seat"] = o["targets"], at(t, a, "seat")
		r := solved(t, again)
		for _, name := range []string{"catch_deg", "finish_deg", "arc_deg"} {
			near(t, name+" of the rig sent again", number(t, r, name), number(t, a, "result."+name), 0.011)
		}
	}
}

func TestBareNumbersAreTargets(t *testing.T) {
	bare, whole := scull(), scull()
	bare["targets"] = parsed(`{"catch_deg": -60, "finish_deg": 42}`)
	whole["targets"] = parsed(`{"catch_deg": {"value": -60}, "finish_deg": {"value": 42, "weight": 1, "tolerance": 0.5}}`)
	same(t, "fit", answered(t, fitPath, bare), answered(t, fitPath, whole))
}

func TestLeftOutTargetsAreThoseToStartFrom(t *testing.T) {
	none, start := drop(scull(), "targets"), scull()
	start["targets"] = parsed(`{"catch_deg": -64, "finish_deg": 44}`)
	same(t, "fit", answered(t, fitPath, none), answered(t, fitPath, start))
}

func TestAnInfeasibleTargetIsExplained(t *testing.T) {
	a := answered(t, fitPath, atTheEnd())
	same(t, "heel at the end of its range", number(t, a, "seat.heel_to_pin_cm"), 22.0)
	same(t, "binding", at(t, a, "binding"), any([]any{"heel_to_pin_cm"}))
	unmet := at(t, a, "unmet").([]any)
	if len(unmet) == 0 {
		t.Fatal("everything is met")
	}
	for _, u := range unmet {
		if at(t, u, "text") == "" || number(t, u, "by") == 0 {
			t.Errorf("not explained: %v", u)
		}
	}
}

func TestWhatAFitRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		change  func(object) object
		pointer string
		says    string
	}{
		"catch without its sign": {func(o object) object { return put(o, "targets.catch_deg", 60.0) }, "#/targets/catch_deg", "the other sign: −60°?"},
		"no value":               {func(o object) object { return put(o, "targets.catch_deg", object{}) }, "#/targets/catch_deg", "needed"},
		"unknown in a goal":      {func(o object) object { return put(o, "targets.catch_deg", object{"value": -60.0, "wait": 1.0}) }, "#/targets/catch_deg/wait", "not known"},
		"text for a goal":        {func(o object) object { return put(o, "targets.finish_deg", "long") }, "#/targets/finish_deg", "not text"},
		"no weight":              {func(o object) object { return put(o, "targets.catch_deg", object{"value": -60.0, "weight": 0.0}) }, "#/targets/catch_deg/weight", "more than nothing"},
		"much weight":            {func(o object) object { return put(o, "targets.catch_deg", object{"value": -60.0, "weight": 1e9}) }, "#/targets/catch_deg/weight", "0 to 1000"},
		"unknown setting": {func(o object) object {
			return put(o, "adjust.mast_cm", object{"min": 1.0, "max": 2.0, "step": 1.0, "cost": 1.0})
		}, "#/adjust/mast_cm", "no such setting"},
		"of sweep": {func(o object) object {
			return put(o, "adjust.spread_cm", object{"min": 83.0, "max": 88.0, "step": 1.0, "cost": 1.0})
		}, "#/adjust/spread_cm", "has a span"},
		"range in metres": {func(o object) object {
			return put(o, "adjust.span_cm", object{"min": 1.5, "max": 1.6, "step": 0.5, "cost": 1.0})
		}, "#/adjust/span_cm/min", "150 cm?"},
		"ends swapped": {func(o object) object {
			return put(o, "adjust.span_cm", object{"min": 160.0, "max": 150.0, "step": 0.5, "cost": 1.0})
		}, "#/adjust/span_cm/min", "swap them"},
		"no step": {func(o object) object {
			return put(o, "adjust.span_cm", object{"min": 150.0, "max": 160.0, "step": 0.0, "cost": 1.0})
		}, "#/adjust/span_cm/step", "plausible range"},
		"nothing to move": {func(o object) object { return put(o, "adjust", object{}) }, "#/adjust", "at least one setting"},
		"also the seat":   {func(o object) object { return put(o, "seat.span_cm", 1.59) }, "#/seat/span_cm", "159 cm?"},
	} {
		said := refused(t, fitPath, c.change(scull()))
		if !strings.Contains(said[c.pointer], c.says) {
			t.Errorf("%s: %v; want %q at %s", name, said, c.says, c.pointer)
		}
	}
}

func TestACrewSharesItsOars(t *testing.T) {
	a := answered(t, crewPath, unlikePair())
	for _, name := range []string{"oar_length_cm", "inboard_cm"} {
		same(t, name, number(t, a, "seats.0.seat."+name), number(t, a, "seats.1.seat."+name))
	}
	if len(at(t, a, "reliefs").([]any)) == 0 || len(at(t, a, "seats.0.unmet").([]any))+len(at(t, a, "seats.1.unmet").([]any)) == 0 {
		t.Error("bodies that differ by half a metre suit one rig")
	}
}

func TestWorkIsInAnOrderThatDoesNotUndoItself(t *testing.T) {
	order := []string{"span_cm", "spread_cm", "gate_height_cm", "oar_length_cm", "inboard_cm", "heel_depth_cm", "heel_to_pin_cm"}
	o := unlikePair()
	delete(o, "adjust")
	work := at(t, answered(t, crewPath, o), "work").([]any)
	if len(work) < 4 {
		t.Fatalf("only %d things to move", len(work))
	}
	for i := range work[1:] {
		a, b := work[i], work[i+1]
		if number(t, a, "seat") > number(t, b, "seat") ||
			number(t, a, "seat") == number(t, b, "seat") && slices.Index(order, at(t, a, "setting").(string)) >= slices.Index(order, at(t, b, "setting").(string)) {
			t.Errorf("%v before %v", a, b)
		}
	}
}

func TestWhatACrewRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		change  func(object) object
		pointer string
	}{
		"nobody":   {func(o object) object { o["seats"] = []any{}; return o }, "#/seats"},
		"too many": {func(o object) object { o["boat_class"] = "1x"; return o }, "#/seats"},
		"seat twice": {func(o object) object {
			o["seats"].([]any)[1].(object)["number"] = 2.0
			o["seats"].([]any)[0].(object)["number"] = 2.0
			return o
		}, "#/seats/1/number"},
		"no such seat": {func(o object) object { o["seats"].([]any)[0].(object)["number"] = 3.0; return o }, "#/seats/0/number"},
		"bad body":     {func(o object) object { put(o["seats"].([]any)[1].(object), "rower.stature_cm", 18.0); return o }, "#/seats/1/rower/stature_cm"},
		"bad strength": {func(o object) object { o["seats"].([]any)[1].(object)["strength"] = -1.0; return o }, "#/seats/1/strength"},
		"bad adjustment": {func(o object) object {
			return put(o, "adjust.spread_cm", object{"min": 3.0, "max": 88.0, "step": 1.0, "cost": 1.0})
		}, "#/adjust/spread_cm/min"},
	} {
		if said := refused(t, crewPath, c.change(unlikePair())); said[c.pointer] == "" {
			t.Errorf("%s: %v; want something at %s", name, said, c.pointer)
		}
	}
}

func TestASeatThatCannotBeRowedIsNamed(t *testing.T) {
	o := crewOf("2x", scull(), put(scull(), "seat.heel_to_pin_cm", 60.0))
	o["adjust"] = parsed(`{"inboard_cm": {"min": 87, "max": 89, "step": 1, "cost": 1}}`)
	p := problem(t, post(t, crewPath, o), http.StatusUnprocessableEntity)
	if p.Limit == "" || !strings.HasPrefix(p.Detail, "Seat 2: ") {
		t.Errorf("limit %q: %q", p.Limit, p.Detail)
	}
}
