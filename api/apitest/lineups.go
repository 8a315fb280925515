package apitest

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"thole/api/lineup"
)

const (
	LineupsPath = "/api/v1/selection/lineups"
	CostPath    = "/api/v1/selection/cost"
	TwoPath     = "/api/v1/selection/two-boats"
	CrewsPath   = "/api/v1/selection/crews"
	ExplainPath = "/api/v1/selection/explain"
	SquadPath   = "/api/v1/selection/squad"
	SavedPath   = "/api/v1/lineups"
)

// rower is one candidate: even numbers row port, odd ones starboard, every
// third row both; the strength and the curve differ a little.
func rower(i int) Object {
	sides := Object{"port": 0.0}
	if i%2 == 1 {
		sides = Object{"starboard": 0.0}
	}
	if i%3 == 0 {
		sides = Object{"port": 0.5, "starboard": 0.0}
	}
	var curve []any
	for u := range 101 {
		x := float64(u) / 100
		curve = append(curve, 500*math.Sin(math.Pi*math.Pow(x, 0.8+0.05*float64(i%5))))
	}
	return Object{
		"id": string(rune('a' + i)), "name": fmt.Sprintf("Rower %c", 'A'+i), "sex": []string{"female", "male"}[i%2],
		"power_w": 430 - 7*float64(i), "power_sd_w": 12.0, "mass_kg": 84 + float64(i%4), "sides": sides, "curve": curve,
	}
}

// Order asks for the seat orders of a boat with a squad of n.
func Order(class string, n int, changes ...any) Object {
	var squad []any
	for i := range n {
		squad = append(squad, rower(i))
	}
	o := Object{"boat_class": class, "candidates": squad}
	for i := 0; i < len(changes); i += 2 {
		o[changes[i].(string)] = changes[i+1]
	}
	return o
}

// FullOrder states everything there is to state.
func FullOrder() Object {
	return Order("8+", 12,
		"pattern", []any{"starboard", "port", "starboard", "port", "starboard", "port", "starboard", "port"}, "pattern_free", false,
		"cox_mass_kg", 55.0, "hull_mass_kg", 96.0,
		"pins", []any{Object{"seat": 8, "id": "a"}}, "must", []any{"b"}, "out", []any{"l"},
		"apart", []any{[]any{"d", "e"}}, "adjacent", []any{[]any{"f", "g"}}, "never", []any{[]any{"i", "k"}},
		"seat_costs", []any{Object{"id": "c", "seat": 1, "cost_s": 0.4}},
		"mass", Object{"mean_max_kg": 90.0, "max_kg": 95.0}, "women_min", 1, "women_max", 7, "men_min", 1, "men_max", 7,
		"weights", Object{"likeness_s": 5.0, "yaw_s": 0.5}, "arc", Object{"catch_deg": -55.0, "finish_deg": 34.0})
}

// TwoOrder asks for two boats from a squad of n.
func TwoOrder(n int, first, second Object, aim string) Object {
	return Object{"candidates": Order("2x", n)["candidates"], "first": first, "second": second, "aim": aim}
}

// FirmOrder asks for firmness as well, with races to run.
func FirmOrder(class string, draws int) Object {
	return Order(class, 7, "count", 3, "draws", draws, "seed", 1)
}

// Given is an order of the squad by hand.
func Given(o Object, seats string, sides ...any) Object {
	var list []any
	for _, id := range seats {
		list = append(list, string(id))
	}
	o["lineup"] = Object{"seats": list}
	if len(sides) > 0 {
		o["lineup"].(Object)["sides"] = sides
	}
	return o
}

// Tested puts an athlete on record who can be judged, with these costs of the
// sides.
func Tested(t testing.TB, sex, port, starboard string) string {
	t.Helper()
	name := Fresh("Tess")
	table := "name,sex,sculls,port_cost_s,starboard_cost_s,mass_kg,test_date,test_fixed,test_distance_m,test_time\n" +
		name + "," + sex + ",yes," + port + "," + starboard + ",78,2026-01-12,distance,2000,6:40.0\n"
	if _, err := Service.Squadfile.Save(t.Context(), strings.NewReader(table), "Ines"); err != nil {
		t.Fatal(err)
	}
	return name
}

// SavedPair is a line-up of two seats with everything stated.
func SavedPair(t testing.TB) Object {
	t.Helper()
	return Object{
		"name": Fresh("Pair"), "boat_class": "2-", "boat_id": KnownBoat(t), "rows_on": "2026-04-02", "source": "by hand", "note": "try", "cox_mass_kg": 55.0, "by": "Ines",
		"seats": []any{Object{"athlete_id": KnownAthlete(t), "side": "starboard"}, Object{"athlete_id": nil, "side": "port"}},
	}
}

// MissingOf reports what keeps an athlete out of a squad; nothing keeps those who are in it.
func MissingOf(squad lineup.BoatSquad, name string) string {
	for _, m := range squad.Missing {
		if m.Name == name {
			return m.Missing
		}
	}
	return ""
}
