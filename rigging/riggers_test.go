package rigging_test

import (
	"testing"

	"thole/rigging"
)

// TestRiggersStandAsTheWaySays, bow first: standard alternates from a stroke on port; in
// tandem the moments about the boat's middle cancel. What stands so is called so.
func TestRiggersStandAsTheWaySays(t *testing.T) {
	for _, c := range []struct {
		way   rigging.Riggers
		seats int
		want  string
	}{
		{rigging.StandardRiggers, 4, "SPSP"}, {rigging.MirroredRiggers, 4, "PSPS"}, {rigging.TandemRiggers, 4, "PSSP"}, {rigging.TandemMirrored, 4, "SPPS"},
		{rigging.StandardRiggers, 8, "SPSPSPSP"}, {rigging.MirroredRiggers, 8, "PSPSPSPS"}, {rigging.TandemRiggers, 8, "PSSPPSSP"}, {rigging.TandemMirrored, 8, "SPPSSPPS"},
		{rigging.StandardRiggers, 2, "SP"}, {rigging.MirroredRiggers, 2, "PS"}, {rigging.FreeRiggers, 4, ""}, {"across", 4, ""},
	} {
		got, moment := "", 0
		sides := c.way.Sides(c.seats)
		for i, side := range sides {
			got += map[rigging.Side]string{rigging.Port: "P", rigging.Starboard: "S"}[side]
			moment += int(side) * i
		}
		if got != c.want {
			t.Errorf("%s of %d: %s, want %s", c.way, c.seats, got, c.want)
		}
		if tandem := c.way == rigging.TandemRiggers || c.way == rigging.TandemMirrored; tandem && moment != 0 {
			t.Errorf("%s of %d turns the boat by %d spacings", c.way, c.seats, moment)
		}
		if back := rigging.RiggersOf(sides); sides != nil && back != c.way {
			t.Errorf("%s of %d is called %s", c.way, c.seats, back)
		}
	}
	for _, sides := range [][]rigging.Side{{rigging.Port, rigging.Port}, {rigging.Port, rigging.Starboard, rigging.Port, rigging.Port}, {0, 0}} {
		if got := rigging.RiggersOf(sides); got != rigging.FreeRiggers {
			t.Errorf("%v is called %s", sides, got)
		}
	}
}
