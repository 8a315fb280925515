package lineup

import (
	"math"
	"slices"
	"testing"

	"thole/rigging"
)

// Barrow counts the orders of the sides without a moment: one for four rowers,
// four for eight, 29 for twelve and 263 for sixteen, up to mirror image, and
// none for two, six or ten (J. D. Barrow, "Rowing and the same-sum problem
// have their moments", American Journal of Physics 78, 2010, p. 728,
// arXiv:0911.3551; OEIS A168238).
func TestStillPatternCounts(t *testing.T) {
	for seats, want := range map[int]int{2: 0, 4: 1, 6: 0, 8: 4, 10: 0, 12: 29, 16: 263} {
		if got := len(stillPatterns(seats, nil)); got != want {
			t.Errorf("%d rowers: %d patterns, published %d", seats, got, want)
		}
	}
}

// The same paper gives them by name, u for one side and d for the other.
func TestStillPatternsOfFourAndEight(t *testing.T) {
	for seats, want := range map[int][]string{
		4: {"uddu"},
		8: {"uudddduu", "ududdudu", "udduuddu", "udduduud"},
	} {
		var got []string
		for _, sides := range stillPatterns(seats, nil) {
			got = append(got, letters(sides))
		}
		slices.Sort(got)
		slices.Sort(want)
		if !slices.Equal(got, want) {
			t.Errorf("%d rowers: %v, published %v", seats, got, want)
		}
	}
}

func letters(sides []rigging.Side) string {
	var text []byte
	for _, s := range sides {
		text = append(text, map[rigging.Side]byte{stbd: 'u', port: 'd'}[s])
	}
	return string(text)
}

// A strength that grows evenly along the boat leaves one of the four: derived,
// and in agreement with Journal of Sports Analytics 2025,
// doi 10.1177/22150218251378667.
func TestStillPatternOfGrowingStrength(t *testing.T) {
	for _, step := range []float64{0.01, 0.05, -0.05} {
		strengths := make([]float64, 8)
		for s := range strengths {
			strengths[s] = 1 + step*float64(s)
		}
		got := stillPatterns(8, strengths)
		if len(got) != 1 || letters(got[0]) != "udduduud" {
			t.Errorf("step %v: %v", step, got)
		}
	}
}

// 500 N at the gates at −55°, seats 1.4 m apart, the usual catch and spacing:
// derived. Σ σ x of the alternating rig is −5.6 m for eight and −1.4 m for two,
// and the sine at the catch is negative, too.
func TestMomentOfTheAlternatingRig(t *testing.T) {
	for seats, want := range map[int]float64{2: 573.4, 8: 2293.6} {
		forces := slices.Repeat([]float64{500}, seats)
		got := moment(alternating(seats), DefaultSpacing, forces, DefaultCatch)
		if math.Abs(got-want) > 0.05 {
			t.Errorf("%d rowers: %.2f N·m, expected %v", seats, got, want)
		}
	}
}

func TestPatternsAgreeWithTheSlowList(t *testing.T) {
	for _, given := range [][]rigging.Side{nil, {stbd, 0, 0, port}, {port, port, 0, 0}, {stbd, port, port, port}, {port, port, port, 0}} {
		got := patterns(4, given)
		var want int
		for _, sides := range slowPatterns(Problem{Class: rigging.Class{Rowers: 4}, Pattern: given}) {
			agrees := true
			for s, g := range given {
				agrees = agrees && (g == 0 || g == sides[s])
			}
			if agrees {
				want++
			}
		}
		if len(got) != want {
			t.Errorf("%v leaves %v, expected %d", given, got, want)
		}
	}
}

// moment returns the moment in N·m about the vertical axis through mid-boat
// when every rower's gate carries force N (bow first) across the hull at an
// oar angle of angle rad: Σ σ_s x_s F_s sin θ, with σ the sign of the side.
func moment(sides []rigging.Side, spacing float64, forces []float64, angle rigging.Angle) float64 {
	var sum float64
	for s, x := range Arms(len(sides), spacing) {
		sum += float64(sides[s]) * x * forces[s]
	}
	return sum * math.Sin(angle.Radians())
}

// stillPatterns returns every order of the sides, up to mirror image, with as
// many ports as starboards and no moment about the vertical axis when seat s
// pulls with strengths[s]; nil strengths means all alike. The first seat is on
// starboard.
//
// Source: J. D. Barrow, "Rowing and the same-sum problem have their moments",
// American Journal of Physics 78, 2010, p. 728.
func stillPatterns(seats int, strengths []float64) [][]rigging.Side {
	var still [][]rigging.Side
	first := make([]rigging.Side, seats)
	if seats > 0 {
		first[0] = rigging.Starboard
	}
	for _, sides := range patterns(seats, first) {
		var moment, scale float64
		for s, x := range Arms(seats, 1) {
			force := 1.0
			if strengths != nil {
				force = strengths[s]
			}
			moment += float64(sides[s]) * x * force
			scale += math.Abs(x * force)
		}
		// Sums of a few terms err by a few parts in 10^16.
		if math.Abs(moment) <= 1e-12*scale {
			still = append(still, sides)
		}
	}
	return still
}
