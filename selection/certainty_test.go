package selection

import "testing"

// TestCertaintyOf holds both sides of each limit, for either outcome.
func TestCertaintyOf(t *testing.T) {
	for _, c := range []struct {
		chance float64
		want   Certainty
	}{
		{0.5, Open}, {0.7499, Open}, {0.75, Likely}, {0.9, Likely}, {0.9001, Firm}, {1, Firm},
		{0.2501, Open}, {0.25, Likely}, {0.1001, Likely}, {0.0999, Firm}, {0, Firm},
	} {
		if got := CertaintyOf(c.chance); got != c.want {
			t.Errorf("%g: %s, want %s", c.chance, got, c.want)
		}
	}
}
