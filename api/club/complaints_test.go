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

// TestWhatIsStillToBeMeasured: of a seat, the settings that nobody entered, and
// only those.
func TestWhatIsStillToBeMeasured(t *testing.T) {
	bare, err := apitest.Service.Club.AddBoat(t.Context(), club.NewBoat{BoatFields: club.BoatFields{Name: "Bare", BoatClass: "2x"}, By: "Ann"})
	if err != nil {
		t.Fatal(err)
	}
	needed := bare.Seats[0].Missing
	if !slices.Contains(needed, "span_cm") || slices.Contains(needed, "spread_cm") {
		t.Fatalf("a scull of which nothing is known needs %q", needed)
	}
	boat, err := apitest.Service.Club.AddBoat(t.Context(), club.NewBoat{
		BoatFields: club.BoatFields{Name: "Half known", BoatClass: "2x"}, By: "Ann",
		Rig: []club.RigSetting{{Seat: 2, Setting: "span_cm", Value: wire.Ptr(159.0)}},
	})
	if err != nil {
		t.Fatal(err)
	}
	if got := boat.Seats[0].Missing; !slices.Equal(got, needed) {
		t.Errorf("the other seat misses %q, want %q", got, needed)
	}
	rest := slices.DeleteFunc(slices.Clone(needed), func(name string) bool { return name == "span_cm" })
	if got := boat.Seats[1].Missing; !slices.Equal(got, rest) {
		t.Errorf("the seat with a span misses %q, want %q", got, rest)
	}
}
