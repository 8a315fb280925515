package lineup_test

import (
	"errors"
	"fmt"
	"testing"

	"thole/api"
	"thole/api/lineup"
)

// TestMoreWomenAndMenThanSeats holds that counts the boat cannot hold are told
// at once and by name, whoever is in the squad.
func TestMoreWomenAndMenThanSeats(t *testing.T) {
	r := lineup.LineupsRequest{LineupProblem: lineup.LineupProblem{BoatRules: lineup.BoatRules{BoatClass: "4x", WomenMin: 3, MenMin: 2}}}
	for i := range 12 {
		sex := []string{"female", "male"}[i%2]
		r.Candidates = append(r.Candidates, lineup.Candidate{ID: fmt.Sprint(i), Sex: sex, PowerW: 300 + float64(i), MassKg: 75})
	}
	_, err := api.NewService(nil).Lineup.FindLineups(t.Context(), r)
	var rules *lineup.Unmeetable
	if !errors.As(err, &rules) || len(rules.Rules) != 2 || rules.Rules[0] != "at least 3 women" || rules.Rules[1] != "at least 2 men" {
		t.Fatalf("err = %v, want both counts named", err)
	}
	r.MenMin = 1
	if _, err := api.NewService(nil).Lineup.FindLineups(t.Context(), r); err != nil {
		t.Errorf("counts that fit are refused: %v", err)
	}
}
