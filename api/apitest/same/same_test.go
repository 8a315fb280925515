package same

import (
	"slices"
	"testing"
)

func TestDifferencesAreShown(t *testing.T) {
	for _, c := range []struct{ got, want, list []string }{
		{[]string{"a", "b"}, []string{"a", "b"}, nil},
		{[]string{"a", "c"}, []string{"a", "b"}, []string{"now c\nwas b"}},
		{[]string{"a"}, []string{"a", "b"}, []string{"now (nothing)\nwas b"}},
		{[]string{"a", "b"}, []string{"a"}, []string{"now b\nwas (nothing)"}},
		{[]string{"x", "y", "z"}, []string{"a", "b", "c"}, []string{"now x\nwas a", "now y\nwas b"}},
	} {
		if list := Differences(c.got, c.want, 2); !slices.Equal(list, c.list) {
			t.Errorf("%q, want %q", list, c.list)
		}
	}
}

func TestNumbersMayDifferByTheirRounding(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want bool
	}{
		{"M17 4.1c .1-.4", "M17 4.2c .1-.4", true}, {"M17 4.1", "M17 4.3", false}, {"M17 4.1c .1-.4", "M17 4.1c .1 .4", false},
		{"a 17", "b 17", false}, {"a 17", "a 17 2", false}, {"a -3", "a 3", false}, {"a", "a", true},
	} {
		if got := sameLine(c.a, c.b); got != c.want {
			t.Errorf("%s and %s: %v", c.a, c.b, got)
		}
	}
}

func TestTheSameLinesPass(t *testing.T) { Lines(t, "testdata/lines.txt", []string{"one", "two"}) }
