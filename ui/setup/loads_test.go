package setup_test

import (
	"html"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"thole/ui/uitest"
)

// TestTheLoadOfEachSeat: an eight's seats are told side by side against the boat's
// mean; a single has nothing to compare.
func TestTheLoadOfEachSeat(t *testing.T) {
	c := uitest.DemoClub(t)
	_, part, found := strings.Cut(c.Opened("/setup?"+c.Eight().Encode()), "How heavy is each seat?")
	part, _, _ = strings.Cut(html.UnescapeString(part), "</details>")
	cells := regexp.MustCompile(`<td><b>([+−]?[\d.]+)</b></td>`).FindAllStringSubmatch(part, -1)
	if !found || len(cells) != 8 {
		t.Fatalf("%d loads: %.300s", len(cells), part)
	}
	sum := 0.0
	for _, cell := range cells {
		v, err := strconv.ParseFloat(strings.NewReplacer("−", "-", "+", "").Replace(cell[1]), 64)
		if err != nil || v < -15 || v > 15 {
			t.Errorf("load %q", cell[1])
		}
		sum += v
	}
	if sum < -0.5 || sum > 0.5 { // eight figures of a tenth each
		t.Errorf("the loads do not lie about their mean: %.1f", sum)
	}
	if strings.Contains(c.Opened("/setup?"+c.Single().Encode()), "How heavy is each seat?") {
		t.Error("a single is compared with itself")
	}
}
