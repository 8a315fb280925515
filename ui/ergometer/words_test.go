package ergometer

import (
	"testing"

	"thole/api/evidence"
)

// TestASourceMovesOrConfirms: what rounds to no watt confirms, and has no sign.
func TestASourceMovesOrConfirms(t *testing.T) {
	for by, want := range map[float64]string{4.6: "moves it +5 W", -4.6: "moves it −5 W", 0.4: "confirms it", -0.4: "confirms it", 0.6: "moves it +1 W", -0.6: "moves it −1 W"} {
		r := newEvidenceRow(&evidence.Athlete{Moved: []evidence.Moved{{Source: "racing", ByW: by}}})
		if r.Racing.Moved != want || r.Ergometer.Moved != "" {
			t.Errorf("by %v W: %q, want %q", by, r.Racing.Moved, want)
		}
	}
	for w, want := range map[float64]string{12.4: "+12 ± 3", -12.4: "−12 ± 3", 0.3: "0 ± 3", -0.3: "0 ± 3"} {
		cell := differenceCell(&evidence.Difference{DifferenceW: w, SdW: 3.1, Count: 1, Among: 4}, "seat race", "seat races")
		if cell.Figure != want || cell.About != "1 seat race, among 4" {
			t.Errorf("%v W: %q, %q, want %q", w, cell.Figure, cell.About, want)
		}
	}
	if got := counted(2, "test", "tests"); got != "2 tests" {
		t.Error(got)
	}
}
