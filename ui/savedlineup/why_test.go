package savedlineup

import (
	"testing"

	"thole/api/savedlineup"
)

func TestWordsOfAChoice(t *testing.T) {
	for want, x := range map[string]savedlineup.LineupChoice{
		"open, 68 %":                 {Chance: 0.68, Certainty: "open"},
		"open, 41 %":                 {Chance: 0.41, Certainty: "open"},
		"firm, over 99 %":            {Chance: 0.999, Certainty: "firm"},
		"likely for the other, 80 %": {Chance: 0.2, Certainty: "likely"},
	} {
		if got := sureWords(&x); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	for want, w := range map[string]float64{"12 W more": 12.3, "ahead by 5 W": -4.6, "level": 0.2} {
		if got := needWords(w); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestWordsOfWhatWasRaced(t *testing.T) {
	for want, x := range map[string]savedlineup.RacedCrew{
		"this crew: first of 2":                             {BehindS: new(0.0), Boats: 2},
		"with Cyd in for Ben: +1.3 s behind the first of 3": {With: []string{"Cyd"}, Without: []string{"Ben"}, BehindS: new(1.3), Boats: 3},
		"without Ben: no time":                              {Without: []string{"Ben"}, Boats: 3},
		"this crew: alone":                                  {BehindS: new(0.0), Boats: 1},
	} {
		if got := crewWords(&x) + ": " + resultWords(&x); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// TestALineupIsSearchedForAgainAsItStood: its athletes in their order, its sides by the
// numbers of their seats, from 1 at the bow.
func TestALineupIsSearchedForAgainAsItStood(t *testing.T) {
	id := func(n int64) *int64 { return &n }
	l := savedlineup.SavedLineup{}
	l.BoatClass = "2-"
	l.Seats = []savedlineup.LineupPlace{{AthleteID: id(7), Name: "Ann", Side: "port"}, {AthleteID: id(5), Name: "Bea", Side: "starboard"}}
	if got, want := newPage(l).Again, "/line-ups?class=2-&g1=P&g2=S&own=7.5&pattern=own"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	l.BoatClass = "2x"
	l.Seats = []savedlineup.LineupPlace{{}, {AthleteID: id(5), Name: "Bea"}}
	if got, want := newPage(l).Again, "/line-ups?class=2x&own=5"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}
