package guide

import "testing"

// TestKindsHaveNoNull: whoever reads of a choice learns what can be chosen, and the
// null of what may be left out is not among it.
func TestKindsHaveNoNull(t *testing.T) {
	for _, c := range []struct {
		of   schema
		want string
	}{
		{schema{Enum: []any{"port", "starboard", nil}}, "port, starboard"},
		{schema{Enum: []any{"", "port"}}, "port"},
		{schema{Enum: []any{1.0, 2.0}}, "1, 2"},
		{schema{Type: []any{"null", "number"}}, "number"},
		{schema{Type: "string"}, "string"},
		{schema{}, "object"},
	} {
		if got := kindOf(c.of); got != c.want {
			t.Errorf("%+v: %q, want %q", c.of, got, c.want)
		}
	}
}
