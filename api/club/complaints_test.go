package club_test

import (
	"errors"
	"slices"
	"testing"

	"thole/api/apitest"
	"thole/api/club"
	"thole/api/wire"
)

// TestNamesOfSquads: a name is needed, and accents without a letter are none;
// either is complained of once.
func TestNamesOfSquads(t *testing.T) {
	for name, want := range map[string][]string{
		"Eights of spring": nil,
		"":                 {"A name is needed."},
		"  ":               {"A name is needed."},
		"\u0301\u0308":     {"A name needs letters."},
		"Men; women":       {"Leave the semicolon out: it parts squads in tables."},
	} {
		_, err := apitest.Service.Club.AddSquad(t.Context(), club.NewSquad{SquadFields: club.SquadFields{Name: name}})
		var got []string
		var bad *wire.Invalid
		if errors.As(err, &bad) {
			for _, f := range bad.Fields {
				got = append(got, f.Field+": "+f.Detail)
			}
		} else if err != nil {
			t.Errorf("%q: %v", name, err)
		}
		for i := range want {
			want[i] = "name: " + want[i]
		}
		if !slices.Equal(got, want) {
			t.Errorf("%q: %q, want %q", name, got, want)
		}
	}
}
