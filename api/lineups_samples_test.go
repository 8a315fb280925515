package api_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

const (
	lineupsPath = "/api/v1/selection/lineups"
	costPath    = "/api/v1/selection/cost"
	explainPath = "/api/v1/selection/explain"
	squadPath   = "/api/v1/selection/squad"
	savedPath   = "/api/v1/lineups"
)

// rower is one candidate: even numbers row port, odd ones starboard, every
// third row both; the strength and the curve differ a little.
func rower(i int) object {
	sides := object{"port": 0.0}
	if i%2 == 1 {
		sides = object{"starboard": 0.0}
	}
	if i%3 == 0 {
		sides = object{"port": 0.5, "starboard": 0.0}
	}
	var curve []any
	for u := range 101 {
		x := float64(u) / 100
		curve = append(curve, 500*math.Sin(math.Pi*math.Pow(x, 0.8+0.05*float64(i%5))))
	}
	return object{
		"id": string(rune('a' + i)), "name": fmt.Sprintf("Rower %c", 'A'+i), "sex": []string{"female", "male"}[i%2],
		"power_w": 430 - 7*float64(i), "power_sd_w": 12.0, "mass_kg": 84 + float64(i%4), "sides": sides, "curve": curve,
	}
}

// order asks for the seat orders of a boat with a squad of n.
func order(class string, n int, changes ...any) object {
	var squad []any
	for i := range n {
		squad = append(squad, rower(i))
	}
	o := object{"boat_class": class, "candidates": squad}
	for i := 0; i < len(changes); i += 2 {
		o[changes[i].(string)] = changes[i+1]
	}
	return o
}

// fullOrder states everything there is to state.
func fullOrder() object {
	return order("8+", 12,
		"pattern", []any{"starboard", "port", "starboard", "port", "starboard", "port", "starboard", "port"}, "pattern_free", false,
		"cox_mass_kg", 55.0, "hull_mass_kg", 96.0,
		"pins", []any{object{"seat": 8, "id": "a"}}, "must", []any{"b"}, "out", []any{"l"},
		"apart", []any{[]any{"d", "e"}}, "adjacent", []any{[]any{"f", "g"}}, "never", []any{[]any{"i", "k"}},
		"seat_costs", []any{object{"id": "c", "seat": 1, "cost_s": 0.4}},
		"mass", object{"mean_max_kg": 90.0, "max_kg": 95.0}, "women_min", 1, "women_max", 7, "men_min", 1, "men_max", 7,
		"weights", object{"likeness_s": 5.0, "yaw_s": 0.5}, "arc", object{"catch_deg": -55.0, "finish_deg": 34.0})
}

// firmOrder asks for firmness as well, with races to run.
func firmOrder(class string, draws int) object {
	return order(class, 7, "count", 3, "draws", draws, "seed", 1)
}

// given is an order of the squad by hand.
func given(o object, seats string, sides ...any) object {
	var list []any
	for _, id := range seats {
		list = append(list, string(id))
	}
	o["lineup"] = object{"seats": list}
	if len(sides) > 0 {
		o["lineup"].(object)["sides"] = sides
	}
	return o
}

// tested puts an athlete on record who can be judged, with these costs of the
// sides.
func tested(t testing.TB, sex, port, starboard string) string {
	t.Helper()
	name := fresh("Tess")
	table := "name,sex,sculls,port_cost_s,starboard_cost_s,mass_kg,test_date,test_fixed,test_distance_m,test_time\n" +
		name + "," + sex + ",yes," + port + "," + starboard + ",78,2026-01-12,distance,2000,6:40.0\n"
	if _, err := service.SaveSquad(t.Context(), strings.NewReader(table), "Ines"); err != nil {
		t.Fatal(err)
	}
	return name
}

// savedPair is a line-up of two seats with everything stated.
func savedPair(t testing.TB) object {
	t.Helper()
	return object{
		"name": fresh("Pair"), "boat_class": "2-", "boat_id": knownBoat(t), "rows_on": "2026-04-02", "source": "by hand", "note": "try", "cox_mass_kg": 55.0, "by": "Ines",
		"seats": []any{object{"athlete_id": knownAthlete(t), "side": "starboard"}, object{"athlete_id": nil, "side": "port"}},
	}
}

func savedLineups(t testing.TB) []sample {
	t.Helper()
	double := object{
		"name": fresh("Four"), "boat_class": "4x", "by": "Ines",
		"seats": []any{object{"athlete_id": knownAthlete(t)}, object{"athlete_id": nil}, object{"athlete_id": nil}, object{"athlete_id": nil}},
	}
	var list []sample
	for _, body := range []object{savedPair(t), double} {
		list = append(list, sample{path: fmt.Sprintf("%s/%d", savedPath, created(t, savedPath, body))})
	}
	return list
}

func init() {
	// Gathered from the records, a candidate always has these; curves and the
	// covariance of a trial need a club, such as the demo's.
	for _, member := range []string{"candidates.name", "candidates.power_sd_w", "candidates.curve", "power_covariance_w2"} {
		settled = append(settled, "GET "+squadPath+"."+member)
	}
	samples["POST "+lineupsPath] = bodies(fullOrder(), firmOrder("4-", 40), order("2x", 3), order("4-", 8, "pattern_free", true, "fold", true))
	samples["POST "+costPath] = bodies(given(order("2-", 4), "ba"), given(order("2-", 4, "out", []any{"a"}), "ab", "port", "starboard"))
	samples["POST "+explainPath] = bodies(given(fullOrder(), "bcdefgha"), given(order("2-", 2), "ba"))
	samples["GET "+squadPath] = func(t testing.TB) []sample {
		tested(t, "female", "0", "1")
		tested(t, "", "", "0")
		tested(t, "male", "0", "")
		return []sample{{path: squadPath + "?boat_class=8%2B"}, {path: squadPath + "?boat_class=2x"}}
	}
	samples["GET "+savedPath] = func(t testing.TB) []sample { savedLineups(t); return []sample{{}} }
	samples["POST "+savedPath] = func(t testing.TB) []sample {
		return []sample{{body: savedPair(t)}, {body: object{"name": fresh("Single"), "boat_class": "1x", "by": "Ines", "seats": []any{object{"athlete_id": nil}}}}}
	}
	samples["GET "+savedPath+"/:id"] = savedLineups
	samples["DELETE "+savedPath+"/:id"] = savedLineups
}
