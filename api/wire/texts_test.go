package wire_test

import (
	"testing"

	"thole/api/wire"
)

func TestListsAreWrittenInWords(t *testing.T) {
	for _, c := range []struct {
		words []string
		want  string
	}{{nil, ""}, {[]string{"a"}, "a"}, {[]string{"a", "b"}, "a and b"}, {[]string{"a", "b", "c"}, "a, b and c"}} {
		if got := wire.And(c.words); got != c.want {
			t.Errorf("%q: %q, want %q", c.words, got, c.want)
		}
	}
}
