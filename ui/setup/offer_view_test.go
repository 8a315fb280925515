package setup

import (
	"strings"
	"testing"

	"thole/api/setup"
)

// TestOffersSayTheirPriceFromATwentiethOfAPercent, which is what one decimal shows.
func TestOffersSayTheirPriceFromATwentiethOfAPercent(t *testing.T) {
	for share, want := range map[float64]string{
		0.0005: "the oar 0.1 % heavier at the catch;", -0.02: "the oar 2.0 % lighter at the catch;", 0.0004: "no change of the load at the catch;", 0: "no change of the load at the catch;",
	} {
		if v := newOfferView(&setup.Offer{LoadShare: share}); !strings.HasPrefix(v.Price, want) {
			t.Errorf("%g: %q, want %q", share, v.Price, want)
		}
	}
}
