package letters

import (
	"math"
	"strings"
	"testing"
)

// TestFittedTypeFits shortens names to many widths.
func TestFittedTypeFits(t *testing.T) {
	for _, name := range []string{"Mensah-Bright, K.", "Wickstead", "Nguyễn", "O"} {
		for width := 20.0; width < 220; width += 7 {
			got := Fitted(name, 16, true, width)
			if Width(got, 16, true) > width && len([]rune(got)) > 2 {
				t.Errorf("%q in %v px is %v px wide", got, width, Width(got, 16, true))
			}
			if got != name && !strings.HasSuffix(got, "…") {
				t.Errorf("%q is shortened without a mark to %q", name, got)
			}
		}
	}
}

func TestWidthGrowsWithTheType(t *testing.T) {
	if a, b := Width("catch", 14, false), Width("catch", 16, false); a >= b {
		t.Errorf("%v px at 14, %v at 16", a, b)
	}
	if a, b := Width("catch", 14, false), Width("catch", 14, true); a >= b {
		t.Errorf("%v px, %v in bold", a, b)
	}
}

// TestWidthsByHand: letters and a space of the table, figures and small letters.
func TestWidthsByHand(t *testing.T) {
	for _, c := range []struct {
		text string
		bold bool
		want float64
	}{
		{"", false, 0}, {"il", false, 6.6}, {"7 °", false, 15.3}, {"ab", false, 12.9}, {"K", false, 7.2}, {"e\u0301", false, 6.45}, {"水", false, 10}, {"il", true, 7.458},
	} {
		if got := Width(c.text, 10, c.bold); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%q: %v px, want %v", c.text, got, c.want)
		}
	}
}

// TestTypeThatJustFitsIsNotShortened, and one letter always stays.
func TestTypeThatJustFitsIsNotShortened(t *testing.T) {
	just := Width("Wickstead", 16, false)
	shorter := Width("Wickst…", 16, false)
	for _, c := range []struct {
		width float64
		want  string
	}{{just, "Wickstead"}, {just - 0.01, "Wickste…"}, {shorter, "Wickst…"}, {shorter - 0.01, "Wicks…"}, {0, "W…"}, {Width("Wi…", 16, false), "Wi…"}} {
		if got := Fitted("Wickstead", 16, false, c.width); got != c.want {
			t.Errorf("in %v px %q, want %q", c.width, got, c.want)
		}
	}
}
