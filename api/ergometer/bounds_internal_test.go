package ergometer

import (
	"strings"
	"testing"

	"thole/api/wire"
)

// TestDistancesOfATest: 50 m to 100 km are taken; what is kilometres is asked about from
// half a kilometre on; the rest cannot be right.
func TestDistancesOfATest(t *testing.T) {
	for m, want := range map[float64]string{
		50: "", 100_000: "", 49.9: "kilometres: 49900 m?", 0.5: "kilometres: 500 m?", 0.49: "plausible range", 100_001: "plausible range", 0: "plausible range", -5: "plausible range",
	} {
		var p wire.Problems
		checkTestDistance(&p, &m)
		if err := p.OrNil(); (err != nil) != (want != "") || err != nil && !strings.Contains(err.Error(), want) {
			t.Errorf("%g m: %v, want %q", m, err, want)
		}
	}
}
