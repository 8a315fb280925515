package letters

import (
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
