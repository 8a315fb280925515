package lineup_test

import (
	"context"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"testing"

	"thole/api/apitest"
	"thole/api/lineup"
)

func TestTwoBoatsShareNobody(t *testing.T) {
	for _, aim := range []string{"first", "slower", "sum"} {
		o := apitest.TwoOrder(9, apitest.Object{"boat_class": "4-"}, apitest.Object{"boat_class": "2-"}, aim)
		a := apitest.Answered(t, apitest.TwoPath, o)
		if a["found"] != true || a["proven"] != true || a["aim"] != aim || a["gap_s"] != 0.0 {
			t.Fatalf("%s: %v", aim, a)
		}
		var up [2]float64
		var rowing []string
		for k, name := range []string{"first", "second"} {
			boat := a[name].(apitest.Object)
			rowing = append(rowing, ids(boat["seats"])...)
			alone := apitest.Answered(t, apitest.LineupsPath, apitest.Order([]string{"4-", "2-"}[k], 9, "count", 1))["lineups"].([]any)[0].(apitest.Object)
			apitest.Near(t, "alone", boat["alone_s"].(float64), alone["total_s"].(float64), 1e-6)
			up[k] = boat["given_up_s"].(float64)
			apitest.Near(t, "given up", up[k], boat["total_s"].(float64)-boat["alone_s"].(float64), 2e-6)
		}
		want := map[string]float64{"first": up[0], "slower": max(up[0], up[1]), "sum": up[0] + up[1]}[aim]
		apitest.Near(t, "value", a["value_s"].(float64), want, 3e-6)
		slices.Sort(rowing)
		if len(slices.Compact(rowing)) != 6 {
			t.Errorf("%s: %v", aim, rowing)
		}
	}
}

func TestTwoBoatsInClearWords(t *testing.T) {
	double := apitest.Object{"boat_class": "2x"}
	short := apitest.Problem(t, apitest.Post(t, apitest.TwoPath, apitest.TwoOrder(3, double, double, "sum")), http.StatusUnprocessableEntity)
	apitest.Same(t, "too few", short.Detail, "4 rowers are needed for both boats and 3 may row.")
	must := apitest.Object{"boat_class": "2x", "must": []any{"a"}}
	said := fmt.Sprint(apitest.Refused(t, apitest.TwoPath, apitest.TwoOrder(5, must, must, "sum")))
	if !strings.Contains(said, "Rower A has to row in both boats") {
		t.Error(said)
	}
	wrong := apitest.Refused(t, apitest.TwoPath, apitest.TwoOrder(5, double, apitest.Object{"boat_class": "2x", "hull_mass_kg": 900.0}, "sum"))
	if wrong["#/second/hull_mass_kg"] == "" {
		t.Errorf("%v", wrong)
	}
}

// TestASearchIsRemembered: what was proven is not searched for again, and what a
// job has found is shown to whoever asks for the same.
func TestASearchIsRemembered(t *testing.T) {
	r := lineup.CrewsRequest{LineupProblem: lineup.LineupProblem{BoatRules: lineup.BoatRules{BoatClass: "2x"}}}
	for i := range 5 {
		r.Candidates = append(r.Candidates, lineup.Candidate{ID: string(rune('a' + i)), PowerW: 300 + 10*float64(i), MassKg: 75 + float64(i*i)})
	}
	first, err := apitest.Service.Lineup.FindCrews(t.Context(), r)
	if err != nil || !first.Proven {
		t.Fatal(first, err)
	}
	over, stop := context.WithCancel(t.Context())
	stop()
	again, err := apitest.Service.Lineup.FindCrews(over, r)
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "again", again, first)
	r.Candidates[0].PowerW++
	other, err := apitest.Service.Lineup.FindCrews(over, r)
	if err != nil || other.Proven {
		t.Errorf("another squad is answered as proven by a search that was stopped: %v", err)
	}
	now, err := apitest.Service.Lineup.FindCrews(t.Context(), r)
	if err != nil || !now.Proven {
		t.Errorf("what was stopped is not searched for again: %v", err)
	}
}

func TestCoxesAreAthletesWithAMass(t *testing.T) {
	table := "name,coxes,port_cost_s,mass_kg\nCass Cox,yes,,51\nRowan Both,yes,0,70\nNo Mass,yes,,\n"
	if _, err := apitest.Service.Squadfile.Save(t.Context(), strings.NewReader(table), "Ines"); err != nil {
		t.Fatal(err)
	}
	squad, err := apitest.Service.Lineup.SquadFor(t.Context(), lineup.BoatSquadRequest{BoatClass: "8+"})
	if err != nil {
		t.Fatal(err)
	}
	counted := map[string]float64{}
	for _, c := range squad.Coxes {
		counted[c.Name] = c.CountedKg
	}
	if counted["Cass Cox"] != 55 || counted["Rowan Both"] != 70 {
		t.Errorf("%v", counted)
	}
	said := map[string]string{}
	for _, m := range squad.Missing {
		said[m.Name] += m.Missing
	}
	if said["No Mass"] != "coxes, but has no mass on record" || said["Cass Cox"] != "" || said["Rowan Both"] != "no ergometer test" {
		t.Errorf("%v", said)
	}
	squad, err = apitest.Service.Lineup.SquadFor(t.Context(), lineup.BoatSquadRequest{BoatClass: "4-"})
	if err != nil || len(squad.Coxes) > 0 {
		t.Errorf("a class without a cox has %v, %v", squad.Coxes, err)
	}
}
