package rig

import (
	"strings"
	"testing"
)

// TestRiggersStandAsTheWaySays, bow first: standard alternates from a stroke on port; in
// tandem the moments about the boat's middle cancel.
func TestRiggersStandAsTheWaySays(t *testing.T) {
	for _, c := range []struct {
		way   string
		seats int
		want  string
	}{
		{standardRiggers, 4, "SPSP"}, {mirroredRiggers, 4, "PSPS"}, {tandemRiggers, 4, "PSSP"}, {tandemMirrored, 4, "SPPS"},
		{standardRiggers, 8, "SPSPSPSP"}, {tandemRiggers, 8, "PSSPPSSP"}, {tandemMirrored, 8, "SPPSSPPS"}, {standardRiggers, 2, "SP"}, {"free", 4, ""},
	} {
		got, moment := "", 0
		for i, side := range sidesBy(c.way, c.seats) {
			got += strings.ToUpper(side[:1])
			if side == port {
				moment += i
			} else {
				moment -= i
			}
		}
		if got != c.want {
			t.Errorf("%s of %d: %s, want %s", c.way, c.seats, got, c.want)
		}
		if strings.HasPrefix(c.way, "tandem") && moment != 0 {
			t.Errorf("%s of %d turns the boat by %d spacings", c.way, c.seats, moment)
		}
	}
}
