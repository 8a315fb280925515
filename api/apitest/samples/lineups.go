package apitest

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"thole/api/store"
	"time"
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

// fullTwo states everything there is to state of both boats.
func fullTwo() Object {
	first, second := FullOrder(), Order("4-", 12, "pattern_free", true)
	squad := first["candidates"]
	delete(first, "candidates")
	delete(second, "candidates")
	delete(first, "out")
	return Object{"candidates": squad, "first": first, "second": second, "aim": "first"}
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
	if _, err := Service.Ergometer.SaveSquad(t.Context(), strings.NewReader(table), "Ines"); err != nil {
		t.Fatal(err)
	}
	return name
}

// SavedPair is a line-up of two seats with everything stated.
func SavedPair(t testing.TB) Object {
	t.Helper()
	return Object{
		"name": Fresh("Pair"), "boat_class": "2-", "boat_id": knownBoat(t), "rows_on": "2026-04-02", "source": "by hand", "note": "try", "cox_mass_kg": 55.0, "by": "Ines",
		"seats": []any{Object{"athlete_id": KnownAthlete(t), "side": "starboard"}, Object{"athlete_id": nil, "side": "port"}},
	}
}

func savedLineups(t testing.TB) []sample {
	t.Helper()
	double := Object{
		"name": Fresh("Four"), "boat_class": "4x", "by": "Ines",
		"seats": []any{Object{"athlete_id": KnownAthlete(t)}, Object{"athlete_id": nil}, Object{"athlete_id": nil}, Object{"athlete_id": nil}},
	}
	var list []sample
	for _, body := range []Object{SavedPair(t), double} {
		list = append(list, sample{path: fmt.Sprintf("%s/%d", SavedPath, Created(t, SavedPath, body))})
	}
	return list
}

// cases are line-ups with all there is to tell: of tested athletes, one of whom
// waits outside, who raced as a pair; with an empty seat; and of somebody of whom
// nothing is known.
func cases(t testing.TB) []sample {
	t.Helper()
	var ids []int64
	for range 3 {
		name := Tested(t, "female", "0", "0.5")
		list, err := scratch.Athletes(t.Context(), store.Filter{Name: name})
		if err != nil || len(list) != 1 {
			t.Fatal(list, err)
		}
		ids = append(ids, list[0].ID)
	}
	pair := Object{"name": Fresh("Pair"), "boat_class": "2-", "by": "Ines", "seats": []any{
		Object{"athlete_id": ids[0], "side": "starboard"}, Object{"athlete_id": ids[1], "side": "port"},
	}}
	race := store.SeatRace{Name: Fresh("Race"), HeldOn: DaysAgo(1), DistanceM: 1000, ClassCode: "2-"}
	for _, id := range ids {
		race.Athletes = append(race.Athletes, store.SeatRaceAthlete{AthleteID: id})
	}
	for number, time1 := range []*float64{new(240.0), nil} {
		race.Pieces = append(race.Pieces, store.Piece{
			Number: number + 1, State: store.Raced, EnteredBy: "Ines", EnteredAt: time.Now(),
			Boats: []store.PieceBoat{{Crew: []int64{ids[0], ids[1+number]}, TimeS: time1}},
		})
	}
	if _, err := scratch.AddSeatRace(t.Context(), race, store.By{Name: "Ines"}); err != nil {
		t.Fatal(err)
	}
	list := []sample{{path: fmt.Sprintf("%s/%d/why", SavedPath, Created(t, SavedPath, pair))}}
	for _, s := range savedLineups(t) {
		list = append(list, sample{path: s.path + "/why"})
	}
	return list
}

func init() {
	// Gathered from the records, a candidate always has these; curves and the
	// covariance of a race need a club, such as the demo's.
	for _, member := range []string{"candidates.name", "candidates.power_sd_w", "candidates.curve", "power_covariance_w2"} {
		Settled = append(Settled, "GET "+SquadPath+"."+member)
	}
	Samples["POST "+LineupsPath] = bodies(FullOrder(), FirmOrder("4-", 40), Order("2x", 3), Order("4-", 8, "pattern_free", true, "fold", true))
	Samples["POST "+CrewsPath] = bodies(FullOrder(), Order("2x", 3, "crews", 2, "orders", 1, "fold", true),
		Order("4-", 8, "pattern", []any{"either", "port", "either", "port"}, "rigged", []any{"starboard", "port", "starboard", "port"}, "rerig_s", 0.2, "fold", true))
	// Null where the search was stopped before it found anything.
	Settled = append(Settled, "POST "+TwoPath+".first", "POST "+TwoPath+".second")
	Samples["POST "+TwoPath] = bodies(TwoOrder(7, Object{"boat_class": "4-"}, Object{"boat_class": "2-"}, "first"), TwoOrder(5, Object{"boat_class": "2x"}, Object{"boat_class": "2x"}, "sum"), fullTwo())
	Samples["POST "+CostPath] = bodies(Given(Order("2-", 4), "ba"), Given(Order("2-", 4, "out", []any{"a"}), "ab", "port", "starboard"))
	Samples["POST "+ExplainPath] = bodies(Given(FullOrder(), "bcdefgha"), Given(Order("2-", 2), "ba"))
	Samples["GET "+SquadPath] = func(t testing.TB) []sample {
		Tested(t, "female", "0", "1")
		Tested(t, "", "", "0")
		Tested(t, "male", "0", "")
		return []sample{{path: SquadPath + "?boat_class=8%2B"}, {path: SquadPath + "?boat_class=2x"}}
	}
	Samples["GET "+SavedPath] = func(t testing.TB) []sample { savedLineups(t); return []sample{{}} }
	Samples["POST "+SavedPath] = func(t testing.TB) []sample {
		return []sample{{Body: SavedPair(t)}, {Body: Object{"name": Fresh("Single"), "boat_class": "1x", "by": "Ines", "seats": []any{Object{"athlete_id": nil}}}}}
	}
	Samples["GET "+SavedPath+"/:id"] = savedLineups
	Samples["DELETE "+SavedPath+"/:id"] = savedLineups
	Samples["GET "+SavedPath+"/:id/why"] = cases
	Samples["PUT "+SavedPath+"/:id/note"] = func(t testing.TB) []sample {
		list := savedLineups(t)
		for i, note := range []string{"calm at the start", ""} {
			list[i] = sample{list[i].path + "/note", Object{"version": 1.0, "note": note, "by": "Ines"}}
		}
		return list
	}
}
