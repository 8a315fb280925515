package lineup

import (
	"testing"

	"thole/api/lineup"
)

// Images of a four rowed by a, b, c and d, told in words.
func TestImagesInWords(t *testing.T) {
	crew, turned := []string{"a", "b", "c", "d"}, []string{"d", "c", "b", "a"}
	sides, other := []string{"starboard", "port", "port", "starboard"}, []string{"port", "starboard", "starboard", "port"}
	end, mirror, both := lineup.LineupImage{Seats: turned, Sides: sides}, lineup.LineupImage{Seats: crew, Sides: other}, lineup.LineupImage{Seats: turned, Sides: other}
	for want, images := range map[string][]lineup.LineupImage{
		"":                         nil,
		"turned end for end":       {end},
		"with the sides exchanged": {mirror},
		"turned end for end with the sides exchanged":           {both},
		"turned end for end, with the sides exchanged, or both": {both, mirror, end},
	} {
		l := lineup.RankedLineup{ScoredLineup: lineup.ScoredLineup{Seats: crew, Sides: sides}, Images: images}
		if got := imageWords(&l); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	// In sculling there are no sides.
	l := lineup.RankedLineup{ScoredLineup: lineup.ScoredLineup{Seats: crew}, Images: []lineup.LineupImage{{Seats: turned, Sides: []string{}}}}
	if got := imageWords(&l); got != "turned end for end" {
		t.Errorf("in sculling %q", got)
	}
	// The alternating rig turned end for end has its sides exchanged.
	alternating := []string{"starboard", "port", "starboard", "port"}
	l = lineup.RankedLineup{ScoredLineup: lineup.ScoredLineup{Seats: crew, Sides: alternating}, Images: []lineup.LineupImage{{Seats: turned, Sides: alternating}}}
	if got := imageWords(&l); got != "turned end for end with the sides exchanged" {
		t.Errorf("alternating: %q", got)
	}
}
