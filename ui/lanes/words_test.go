package lanes

import (
	"fmt"
	"testing"
)

// TestMinutesAreRoundedToTheHour: almost an hour is one, and not none.
func TestMinutesAreRoundedToTheHour(t *testing.T) {
	for minutes, want := range map[float64]string{0: "+0:00 h", 59.4: "+0:59 h", 59.7: "+1:00 h", 60: "+1:00 h", 119.6: "+2:00 h", 125: "+2:05 h"} {
		is(t, fmt.Sprint(minutes), Minutes(minutes), want)
	}
}

// TestWhoMovesIsCalled before each piece but the first.
func TestWhoMovesIsCalled(t *testing.T) {
	for _, c := range []struct {
		piece       int
		moved, left []string
		want        string
	}{
		{0, nil, nil, "First crews"}, {0, []string{"Ann"}, nil, "First crews"}, {1, nil, []string{"Cat"}, "Same crews again"}, {1, []string{"Ann"}, nil, "Ann moves in"},
		{1, []string{"Ann", "Bea"}, nil, "Ann and Bea change"}, {2, []string{"Ann", "Bea"}, []string{"Cat"}, "Ann and Bea change; ashore: Cat"}, {1, []string{"Ann"}, []string{"Cat"}, "Ann moves in; ashore: Cat"},
	} {
		is(t, fmt.Sprint(c), Change(c.piece, c.moved, c.left), c.want)
	}
}

// TestSweepClassesHaveNoX in their code.
func TestSweepClassesHaveNoX(t *testing.T) {
	for class, want := range map[string]bool{"1x": false, "2x": false, "4x+": false, "2-": true, "4+": true, "8+": true} {
		is(t, class, Sweeps(class), want)
	}
}

// TestNamesAreShortenedOneByOne and keep their order.
func TestNamesAreShortenedOneByOne(t *testing.T) {
	is(t, "names", fmt.Sprint(Short([]string{"Lee, Ann", "Mensah"}, func(name string) string { return "<" + name + ">" })), "[<Lee, Ann> <Mensah>]")
	is(t, "none", len(Short(nil, nil)), 0)
}
