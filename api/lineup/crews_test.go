package lineup_test

import (
	"fmt"
	"slices"
	"testing"

	"thole/api/apitest"
	"thole/api/lineup"
	"thole/api/records"
)

func ids(list any) (out []string) {
	for _, id := range list.([]any) {
		out = append(out, id.(string))
	}
	return out
}

func TestCrewsAreSetsOfPeopleWithTheirLineups(t *testing.T) {
	o := apitest.Order("4-", 9)
	a := apitest.Answered(t, apitest.CrewsPath, apitest.Order("4-", 9, "crews", 3, "orders", 2))
	crews := a["crews"].([]any)
	if len(crews) != 3 || a["proven"] != true {
		t.Fatalf("%d crews, proven %v", len(crews), a["proven"])
	}
	best := apitest.Answered(t, apitest.LineupsPath, o)["lineups"].([]any)[0].(apitest.Object)
	apitest.Same(t, "the best", apitest.At(t, a, "crews").([]any)[0].(apitest.Object)["lineups"].([]any)[0], best)
	seen := map[string]bool{}
	for k, c := range crews {
		crew := c.(apitest.Object)
		first := crew["lineups"].([]any)[0].(apitest.Object)
		apitest.Near(t, "cost", crew["cost_s"].(float64), first["total_s"].(float64)-best["total_s"].(float64), 1e-6)
		for _, l := range crew["lineups"].([]any) {
			seats := ids(l.(apitest.Object)["seats"])
			slices.Sort(seats)
			if key := fmt.Sprint(seats); seen[key] != (l.(apitest.Object)["total_s"] != first["total_s"]) {
				t.Errorf("crew %d is %s, seen %v", k+1, key, seen[key])
			} else {
				seen[key] = true
			}
		}
		in, out := ids(crew["in"]), ids(crew["out"])
		if len(in) != len(out) || (len(in) == 0) != (k == 0) {
			t.Errorf("crew %d: %v for %v", k+1, in, out)
		}
		for _, id := range in {
			if slices.Contains(ids(best["seats"]), id) || !slices.Contains(ids(first["seats"]), id) {
				t.Errorf("crew %d: %s comes in", k+1, id)
			}
		}
	}
	if len(seen) != 3 {
		t.Errorf("%d crews are different", len(seen))
	}
}

func TestCrewsSayHowManyAreTooCloseToTell(t *testing.T) {
	a := lineup.CrewsAnswer{Crews: []lineup.RankedCrew{{}, {CostS: 0.09}, {CostS: 0.1}, {CostS: 0.4}}}
	if a.Close() != 2 {
		t.Errorf("%d", a.Close())
	}
	a.Crews = a.Crews[:2]
	if a.Close() != 2 {
		t.Errorf("%d of two", a.Close())
	}
}

func TestASeatThatChangesSidesHasAPrice(t *testing.T) {
	o := apitest.Order("4-", 8, "pattern_free", true, "rigged", []any{"port", "port", "starboard", "starboard"}, "rerig_s", 0.25)
	for _, l := range apitest.Answered(t, apitest.LineupsPath, o)["lineups"].([]any) {
		l := l.(apitest.Object)
		moved := l["rerigged"].([]any)
		apitest.Near(t, "price", apitest.At(t, l, "terms.rig_s").(float64), 0.25*float64(len(moved)), 1e-9)
		for s, side := range l["sides"].([]any) {
			if slices.Contains(moved, any(float64(s+1))) != (side != []any{"port", "port", "starboard", "starboard"}[s]) {
				t.Errorf("%v change sides in %v", moved, l["sides"])
			}
		}
	}
	// Where a rigger fits one side alone that side stays.
	o = apitest.Put(o, "pattern", []any{"port", "either", "either", "starboard"})
	for _, l := range apitest.Answered(t, apitest.LineupsPath, o)["lineups"].([]any) {
		if sides := l.(apitest.Object)["sides"].([]any); sides[0] != "port" || sides[3] != "starboard" {
			t.Errorf("%v", sides)
		}
	}
	apitest.Refused(t, apitest.LineupsPath, apitest.Put(o, "rigged", []any{"port"}))
	apitest.Refused(t, apitest.LineupsPath, apitest.Put(o, "rigged", []any{"port", "port", "starboard", "up"}))
}

func TestABoatOfTheClubIsTakenAsItStands(t *testing.T) {
	var seats []any
	for n, side := range []string{"port", "starboard", "starboard", "port"} {
		seats = append(seats, apitest.Object{"number": n + 1, "side": side, "can_change_sides": n == 1 || n == 3, "adjust": apitest.Object{}})
	}
	id := apitest.Created(t, "/api/v1/boats", apitest.Object{"name": apitest.Fresh("Four"), "boat_class": "4-", "hull_mass_kg": 52.5, "by": "Ines", "seats": seats})
	b, err := apitest.Service.Lineup.ClubBoat(t.Context(), records.IDRequest{ID: int64(id)})
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "rigged", b.Rigged, []string{"port", "starboard", "starboard", "port"})
	apitest.Same(t, "riggers", b.Pattern, []string{"port", "either", "starboard", "either"})
	var o lineup.LineupProblem
	b.Row(&o)
	apitest.Same(t, "as it stands", o.Pattern, b.Rigged)
	if o.BoatClass != "4-" || *o.HullMassKg != 52.5 {
		t.Errorf("%s of %v kg", o.BoatClass, *o.HullMassKg)
	}
	o = lineup.LineupProblem{BoatRules: lineup.BoatRules{PatternFree: true}}
	b.Row(&o)
	apitest.Same(t, "re-rigged", o.Pattern, b.Pattern)
	if _, err := apitest.Service.Lineup.ClubBoat(t.Context(), records.IDRequest{ID: 1 << 40}); err == nil {
		t.Error("a boat that is not there is taken")
	}
}

func TestSwapsTellPowerAndMassApart(t *testing.T) {
	q := apitest.Given(apitest.Order("4-", 8), "badc")
	told := 0
	for _, s := range apitest.Answered(t, apitest.ExplainPath, q)["swaps"].([]any) {
		s := s.(apitest.Object)
		apitest.Near(t, "pace", s["power_s"].(float64)+s["mass_s"].(float64), apitest.At(t, s, "terms.pace_s").(float64), 2e-6)
		if s["mass_s"] != 0.0 {
			told++
		}
	}
	if told == 0 {
		t.Error("no exchange changes the mass")
	}
}
