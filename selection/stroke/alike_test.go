package stroke

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// correlation returns Pearson's r; ok is false when one of the two is
// constant.
func correlation(f, g []float64) (r float64, ok bool) {
	mf, mg := mean(f), mean(g)
	var ff, gg, fg float64
	for i := range f {
		a, b := f[i]-mf, g[i]-mg
		ff, gg, fg = ff+a*a, gg+b*b, fg+a*b
	}
	if ff == 0 || gg == 0 {
		return 0, false
	}
	return min(max(fg/math.Sqrt(ff*gg), -1), 1), true
}

// plainShift is the definition of the best shift, word by word.
func plainShift(f, g []float64) (shift int, r float64) {
	n := len(f)
	r = math.Inf(-1)
	for size := range int(shiftPart*float64(n)) + 1 {
		for _, k := range [2]int{size, -size} {
			a, b := f[max(k, 0):n+min(k, 0)], g[max(-k, 0):n-max(k, 0)]
			if c, ok := correlation(a, b); ok && c > r {
				shift, r = k, c
			}
		}
	}
	return shift, r
}

// drawSquad draws curves of humps with some noise and negative ends.
func drawSquad(t *rapid.T) [][]float64 {
	n := rapid.IntRange(2, 6).Draw(t, "members")
	curves := make([][]float64, n)
	for i := range curves {
		place := rapid.Float64Range(0.3, 0.6).Draw(t, "place")
		bump := rapid.Float64Range(-80, 80).Draw(t, "bump")
		curves[i] = node(func(u float64) float64 {
			return 600*math.Sin(math.Pi*math.Pow(u, math.Log(0.5)/math.Log(place))) + bump*math.Sin(9*u) - 20
		})
	}
	return curves
}

func TestASquadIsComparedAsItsPairsAre(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		curves := drawSquad(t)
		m, err := Alike(curves, 10)
		if err != nil {
			t.Fatal(err)
		}
		for i, f := range curves {
			for j, g := range curves {
				want, err := Compare(f, g, 10)
				got := m[i][j]
				if j > i { // computed the other way round
					got.R, got.RMS, got.ShiftedR = want.R, want.RMS, want.ShiftedR
					want.D, want.Warp = m[j][i].D, m[j][i].Warp
				}
				if err != nil || got != want {
					t.Errorf("%d and %d: %+v, want %+v, %v", i, j, got, want, err)
				}
			}
		}
	})
}

func TestFastLikenessKeepsToItsDefinition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		curves := drawSquad(t)
		f, g := curves[0], curves[1]
		got, err := Compare(f, g, 10)
		shift, shiftedR := plainShift(f, g)
		r, _ := correlation(f, g)
		d, _ := difference(f, g)
		if err != nil || got.Shift != shift || !near(got.ShiftedR, shiftedR, 1e-12) || !near(got.R, r, 1e-12) || !near(got.D, d, 1e-12) {
			t.Errorf("%+v, want r %v, d %v, shift %d (%v): %v", got, r, d, shift, shiftedR, err)
		}
	})
}

// A curve without force for most of the drive is constant in the overlap of
// some shifts, where there is no correlation.
func TestAConstantOverlapIsPassedOver(t *testing.T) {
	late := make([]float64, 20)
	late[19] = 500
	got, err := Compare(late, late, 3)
	if err != nil || got.Shift != 0 || !near(got.ShiftedR, 1, 1e-12) {
		t.Errorf("%+v %v", got, err)
	}
	a, _ := ready(late)
	if r, ok := a.shifted(a, -1); ok {
		t.Error("a constant piece has a correlation:", r)
	}
}

func TestASquadNamesTheCurveThatCannotBeCompared(t *testing.T) {
	whole := node(halfSine)
	for name, bad := range map[string][]float64{"no force": make([]float64, Nodes), "short": whole[:50], "constant": slices.Repeat([]float64{3}, Nodes)} {
		if _, err := Alike([][]float64{whole, bad}, 10); err == nil || !strings.Contains(err.Error(), "curve 1") {
			t.Errorf("%s: %v", name, err)
		}
	}
	if m, err := Alike(nil, 10); err != nil || len(m) != 0 {
		t.Error(m, err)
	}
}

// The matrix of a hundred recordings with the order of its rows and the
// components, as a page of the squad shows it.
func BenchmarkSquadOf100(b *testing.B) {
	curves := family(100)
	for b.Loop() {
		d := differences(b, curves)
		if _, err := Principal(curves, 3); err != nil {
			b.Fatal(err)
		}
		Arrange(d)
	}
}

func BenchmarkAlikeOf100(b *testing.B) {
	curves := family(100)
	for b.Loop() {
		if _, err := Alike(curves, 10); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCompare(b *testing.B) {
	curves := family(2)
	for b.Loop() {
		if _, err := Compare(curves[0], curves[1], 10); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkArrange100(b *testing.B) {
	d := differences(b, family(100))
	for b.Loop() {
		Arrange(d)
	}
}
