package page

import (
	"fmt"
	"net/http/httptest"
	"strings"
	"testing"
)

// TestTheNearestPageIsShown: pages of 100, from the first to the last that has anything; a
// list that is empty has one page.
func TestTheNearestPageIsShown(t *testing.T) {
	for _, c := range []struct {
		asked string
		all   int
		want  string
	}{
		{"", 0, "1 to 0, earlier , later "}, {"", 100, "1 to 100, earlier , later "}, {"1", 101, "1 to 100, earlier , later 2"}, {"2", 101, "101 to 101, earlier 1, later "}, {"2", 300, "101 to 200, earlier 1, later 3"},
		{"3", 300, "201 to 300, earlier 2, later "}, {"4", 300, "201 to 300, earlier 2, later "}, {"0", 300, "1 to 100, earlier , later 2"}, {"-5", 300, "1 to 100, earlier , later 2"}, {"x", 300, "1 to 100, earlier , later 2"},
	} {
		p := PageOf(httptest.NewRequest("GET", "/squad?class=2x&page="+c.asked, nil), c.all)
		number := func(address string) string { return strings.TrimPrefix(address, "/squad?class=2x&page=") }
		if got := fmt.Sprintf("%d to %d, earlier %s, later %s", p.First, p.Last, number(p.Earlier), number(p.Later)); got != c.want || p.All != c.all {
			t.Errorf("page %q of %d: %s, want %s", c.asked, c.all, got, c.want)
		}
	}
}
