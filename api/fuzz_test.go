package api_test

import (
	"encoding/binary"
	"encoding/json"
	"maps"
	"math"
	"math/rand/v2"
	"net/http"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"thole/api/apitest"
)

// span is a range of values: what rows as a rule, and what is possible.
type span struct{ low, high, least, most float64 }

// spans holds the numbers of a request to solve that both disciplines share.
var spans = map[string]span{
	"seat.gate_height_cm": {12, 21, 3, 35}, "seat.heel_depth_cm": {12, 22, 5, 35}, "seat.plate_angle_deg": {36, 46, 20, 65},
	"seat.blade_pitch_deg": {-1, 5, -10, 15}, "seat.stern_pitch_deg": {0, 6, -10, 15}, "seat.outward_pitch_deg": {-1, 2, -10, 10},
	"seat.seat_over_water_cm": {2, 12, -15, 40},
	"rower.stature_cm":        {150, 205, 100, 235}, "rower.arm_span_cm": {155, 205, 90, 260}, "rower.sitting_height_cm": {80, 105, 50, 125},
	"rower.mass_kg": {50, 110, 20, 200}, "rower.age_years": {12, 80, 6, 110}, "rower.draw_height_cm": {25, 45, 15, 60},
	"rower.segments_cm.shank": {36, 48, 22, 65}, "rower.segments_cm.thigh": {36, 48, 22, 65}, "rower.segments_cm.trunk": {45, 58, 28, 80},
	"rower.segments_cm.arm": {58, 78, 35, 100}, "rower.segments_cm.half_shoulder": {15, 20, 9, 28}, "rower.segments_cm.half_depth": {9, 14, 5, 30},
	"rower.segments_cm.ankle_along": {5, 7, 2, 14}, "rower.segments_cm.ankle_off": {7, 10, 3, 16}, "rower.segments_cm.ball": {18, 23, 10, 32},
	"rower.segments_cm.hip_height": {7, 10, 3, 18},
	"posture.shin_deg":             {80, 105, 60, 125}, "posture.lean_deg": {10, 38, -15, 60}, "posture.layback_deg": {10, 40, -5, 60},
	"posture.protraction_cm": {0, 12, 0, 20}, "posture.dorsiflexion_deg": {20, 45, 0, 60}, "posture.finish_knee_deg": {160, 180, 120, 180},
	"posture.finish_gap_cm": {0, 8, 0, 20}, "posture.rotation_max_deg": {10, 60, 0, 90}, "posture.side_lean_cm": {-2, 10, -10, 20},
	"targets.catch_deg": {-70, -45, -85, -10}, "targets.finish_deg": {25, 50, 5, 80},
	"limits.lean_deg": {20, 40, 0, 60}, "limits.layback_deg": {20, 40, 0, 60}, "limits.knee_flexion_deg": {110, 150, 60, 175},
	"limits.trunk_thigh_deg":  {140, 175, 90, 180},
	"approach.boat_speed_m_s": {3, 6, 0.5, 8}, "approach.edge_height_cm": {0, 12, 0, 40}, "approach.blade_speed_m_s": {1, 3, 0.2, 8},
	"approach.overdepth_cm": {0, 20, 0, 60},
	"displacement_kg":       {80, 900, 30, 2000}, "tape_cm": {0.1, 1, 0, 5},
}

// needs holds the numbers that a seat cannot do without, by discipline.
var needs = map[bool]map[string]span{
	true: {
		"seat.span_cm": {152, 164, 110, 190}, "seat.oar_length_cm": {270, 303, 200, 330}, "seat.inboard_cm": {83, 92, 60, 110},
		"seat.heel_to_pin_cm": {10, 36, 0, 90},
	},
	false: {
		"seat.spread_cm": {82, 89, 60, 110}, "seat.oar_length_cm": {360, 386, 280, 430}, "seat.inboard_cm": {110, 120, 85, 140},
		"seat.heel_to_pin_cm": {10, 36, 0, 90},
	},
}

// source gives numbers from 0 up to 1.
type source func(name string) float64

func drawn(t *rapid.T) source {
	return func(name string) float64 { return rapid.Float64Range(0, 1).Draw(t, name) }
}

// read takes two bytes for a number, and 0.5 when they have run out.
func read(data []byte) source {
	return func(string) float64 {
		if len(data) < 2 {
			return 0.5
		}
		n := binary.LittleEndian.Uint16(data)
		data = data[2:]
		return float64(n) / math.MaxUint16
	}
}

// someRequest returns a request to solve: mostly such as people send, with
// some values up to the edge of what is possible.
func someRequest(in source) apitest.Object {
	classes := apitest.Service.Seat.BoatClasses()
	class := classes[min(len(classes)-1, int(in("boat_class")*float64(len(classes))))]
	o := apitest.Object{"boat_class": class.Code}
	extreme := 0.3 * in("extremes")
	for _, path := range slices.Sorted(maps.Keys(needs[class.Scull])) {
		apitest.Put(o, path, needs[class.Scull][path].pick(in, path, extreme))
	}
	if class.Scull {
		apitest.Put(o, "seat.gate_difference_cm", span{-1.5, 1.5, -5, 5}.pick(in, "gate_difference", extreme))
	} else {
		apitest.Put(o, "seat.side", []any{"port", "starboard"}[int(in("side")+0.5)])
	}
	density := in("density")
	for _, path := range slices.Sorted(maps.Keys(spans)) {
		if in("whether "+path) < density {
			apitest.Put(o, path, spans[path].pick(in, path, extreme))
		}
	}
	return apitest.Put(o, "rower.sex", []any{nil, "female", "male"}[int(2.99*in("sex"))])
}

func (s span) pick(in source, name string, extreme float64) float64 {
	if in("extreme "+name) < extreme {
		return s.least + (s.most-s.least)*in(name)
	}
	return s.low + (s.high-s.low)*in(name)
}

// everyRequestHasAnAnswer: whatever possible numbers a request holds, it is
// solved, with an answer as described and figures a reader can take in, or
// refused with a reason.
func everyRequestHasAnAnswer(t apitest.Reporter, r apitest.Object) {
	t.Helper()
	w := apitest.Post(t, apitest.SolvePath, r)
	if w.Code != http.StatusOK {
		if p := apitest.Problem(t, w, http.StatusUnprocessableEntity); p.Limit == "" && len(p.Errors) == 0 {
			t.Fatalf("refused without a reason: %+v", p)
		}
		return
	}
	a := apitest.Decoded[apitest.Object](t, w.Body.Bytes())
	if err := fits(t, "POST "+apitest.SolvePath, a, "responses", "200", "content", apitest.JSONType, "schema"); err != nil {
		t.Fatalf("%s: %v", apitest.Encoded(t, r), err)
	}
	checkSize(t, "answer", a)
	if catch, finish := apitest.Number(t, a, "catch_deg"), apitest.Number(t, a, "finish_deg"); !(catch <= finish && catch >= -85 && finish <= 85) {
		t.Errorf("arc from %v to %v", catch, finish)
	}
}

// checkSize fails on figures that no boat or body has.
func checkSize(t apitest.Reporter, place string, v any) {
	t.Helper()
	switch v := v.(type) {
	case apitest.Object:
		for name, inner := range v {
			checkSize(t, place+"."+name, inner)
		}
	case []any:
		for _, item := range v {
			checkSize(t, place, item)
		}
	case float64:
		if !(math.Abs(v) < 1e5) {
			t.Errorf("%s = %v", place, v)
		}
	}
}

func TestEveryRequestHasAnAnswer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { everyRequestHasAnAnswer(t, someRequest(drawn(t))) })
}

func FuzzSolveSeat(f *testing.F) {
	random := rand.NewChaCha8([32]byte{7})
	for range 8 {
		data := make([]byte, 300)
		_, _ = random.Read(data) // never fails
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) { everyRequestHasAnAnswer(t, someRequest(read(data))) })
}

// TestMostRequestsDrawnAreSolved keeps the drawn requests useful.
func TestMostRequestsDrawnAreSolved(t *testing.T) {
	random, solvable := rand.New(rand.NewPCG(7, 7)), 0
	for range 200 {
		if apitest.Post(t, apitest.SolvePath, someRequest(func(string) float64 { return random.Float64() })).Code == http.StatusOK {
			solvable++
		}
	}
	if solvable < 60 {
		t.Errorf("%d of 200 are solved", solvable)
	}
	t.Logf("%d of 200 are solved", solvable)
}

// FuzzDocuments sends bytes that need not be JSON to every route with a body.
func FuzzDocuments(f *testing.F) {
	for _, text := range []string{apitest.ScullExample, apitest.SweepSeat, apitest.FullScull, apitest.FullArcs, apitest.FullRules, `{"seat":{"span_cm":1e999}}`, `{"a/b":[{}]}`, "null", "\"\\ud800\""} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for route := range full {
			w := apitest.Post(t, strings.TrimPrefix(route, "POST "), text)
			if w.Code == http.StatusOK {
				if err := fitsRequest(t, route, apitest.Decoded[any](t, []byte(text))); err != nil {
					t.Errorf("%s took what its schema refuses: %v", route, err)
				}
				continue
			}
			p := apitest.Problem(t, w, w.Code)
			if p.Status == http.StatusBadRequest && json.Valid([]byte(text)) && strings.HasPrefix(strings.TrimSpace(text), "{") {
				t.Errorf("%s: an object is refused as none: %s", route, p.Detail)
			}
			if p.Status != http.StatusBadRequest && p.Status != http.StatusUnprocessableEntity {
				t.Errorf("%s answers %d", route, p.Status)
			}
		}
	})
}
