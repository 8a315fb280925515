package progress

import (
	"testing"

	"thole/api/advice"
)

// TestAGainMayBeALoss holds that a range that reaches over zero keeps its sign,
// and that over-reaching is told without a gain.
func TestAGainMayBeALoss(t *testing.T) {
	f := advice.WorkOn{Item: "catch_slip", Price: advice.WorkPrice{ForceTimeS: advice.PriceRange{Value: -1.1, Low: -2.2, High: 0.2}}}
	if got := gainOf(&f); got != "1.1 s (−0.2 to 2.2)" {
		t.Error(got)
	}
	f.Item = "over_reach"
	if got := gainOf(&f); got != "" {
		t.Error(got)
	}
}
