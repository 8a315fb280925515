package lineup

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"slices"
	"testing"

	"thole/rigging"
	"thole/selection"
)

// milpSquad is a squad with the optimum that a general mixed-integer solver found
// (testdata/SOURCES.md, lineup-milp).
type milpSquad struct {
	Seats         int       `json:"seats"`
	Sides         string    `json:"sides"`
	Likeness      float64   `json:"likeness"`
	Yaw           float64   `json:"yaw"`
	FixedMass     float64   `json:"fixed_mass"`
	ReferenceMass float64   `json:"reference_mass"`
	Drag          float64   `json:"drag"`
	Efficiency    float64   `json:"efficiency"`
	Athletes      []milpOne `json:"athletes"`
	Optimum       float64   `json:"optimum"`
	Best          []string  `json:"best"`
}

type milpOne struct {
	ID    string             `json:"id"`
	Power float64            `json:"power"`
	Mass  float64            `json:"mass"`
	Rise  float64            `json:"rise"`
	Fall  float64            `json:"fall"`
	Cost  map[string]float64 `json:"cost"`
}

func (m *milpSquad) problem(t *testing.T) Problem {
	codes := map[string]string{"2": "2x", "4": "4x", "2SP": "2-", "4SP": "4-"}
	key := fmt.Sprint(m.Seats)
	if m.Sides != "" {
		key += "SP"
	}
	p := Problem{
		Class: class(t, codes[key]), Weights: Weights{m.Likeness, m.Yaw}, Catch: DefaultCatch, Finish: DefaultFinish, Spacing: DefaultSpacing,
		Pace: Pace{Distance: 2000, Efficiency: m.Efficiency, Drag: m.Drag, ReferenceMass: m.ReferenceMass, MassExponent: 0.5, FixedMass: m.FixedMass},
	}
	for _, s := range m.Sides {
		p.Pattern = append(p.Pattern, map[rune]rigging.Side{'S': stbd, 'P': port}[s])
	}
	for _, a := range m.Athletes {
		one := selection.Athlete{ID: a.ID, Name: a.ID, Power: a.Power, Mass: a.Mass, SideCost: map[rigging.Side]float64{}}
		for side, cost := range a.Cost {
			one.SideCost[map[string]rigging.Side{"S": stbd, "P": port}[side]] = cost
		}
		for k := range selection.CurveNodes {
			x := float64(k) / 100
			one.Curve = append(one.Curve, math.Pow(x, a.Rise)*math.Pow(1-x, a.Fall))
		}
		p.Candidates = append(p.Candidates, one)
	}
	return p
}

func TestSolveAgreesWithAMixedIntegerSolver(t *testing.T) {
	text, err := os.ReadFile("../../testdata/lineup_milp.json")
	if err != nil {
		t.Fatal(err)
	}
	var squads []milpSquad
	if err := json.Unmarshal(text, &squads); err != nil || len(squads) < 8 {
		t.Fatalf("%d squads, %v", len(squads), err)
	}
	for k, m := range squads {
		got := mustSolve(t, m.problem(t), Options{}).Lineups[0]
		// The solver's own tolerances are some 1e-6 of its figures.
		if math.Abs(got.Terms.Total()-m.Optimum) > 1e-5 {
			t.Errorf("squad %d: %v, by the solver %v", k, got.Terms.Total(), m.Optimum)
		}
		turned := slices.Clone(got.Lineup.Seats)
		slices.Reverse(turned)
		if !slices.Equal(got.Lineup.Seats, m.Best) && !slices.Equal(turned, m.Best) {
			t.Errorf("squad %d: %v, by the solver %v", k, got.Lineup.Seats, m.Best)
		}
	}
}
