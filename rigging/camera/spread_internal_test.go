package camera

import (
	"math"
	"testing"
)

// TestSpreadOfMarks is the root of the sum of squares about the mean: of the corners of a
// square of 2, √8, wherever it stands.
func TestSpreadOfMarks(t *testing.T) {
	for _, at := range []float64{0, 100, -40} {
		square := [][2]float64{{at - 1, at - 1}, {at + 1, at - 1}, {at - 1, at + 1}, {at + 1, at + 1}}
		if got := spread(square); math.Abs(got-math.Sqrt(8)) > 1e-9 {
			t.Errorf("about %g: %g", at, got)
		}
	}
}

// TestReadNeedsAPicture: without its size, the distance or the scatter of marks it panics.
func TestReadNeedsAPicture(t *testing.T) {
	for name, spoil := range map[string]func(*Picture){
		"scatter": func(p *Picture) { p.MarkSD = 0 }, "distance": func(p *Picture) { p.Distance = 0 }, "width": func(p *Picture) { p.Width = 0 }, "height": func(p *Picture) { p.Height = 0 },
	} {
		t.Run(name, func(t *testing.T) {
			defer func() {
				if recover() == nil {
					t.Error("read")
				}
			}()
			p := &Picture{Width: 1000, Height: 500, MarkSD: 1, Distance: 20, Points: make([]Point, FewestPoints), Oar: Oar{Marks: make([]OarMark, 1)}}
			spoil(p)
			_, _ = Read(p)
		})
	}
}

// TestTheStartNeedsHeightAndSpeed: a blade carried 10 cm over the water that goes in at
// 2 m/s takes 50 ms, so that one that meets it 20 ms after the reversal started 30 ms
// before; its ± by hand, with 5 ms of the edge, 1 cm of the height and .2 m/s of the speed,
// is √(5² + (10/2)² + (50·.2/2)²) = 8.7 ms. Without either nothing is told.
func TestTheStartNeedsHeightAndSpeed(t *testing.T) {
	m := Moments{Edge: Value{.02, .005}, Height: Value{.1, .01}, Speed: Value{2, .2}}
	if got := m.StartDown(); math.Abs(got.Value+.03) > 1e-12 || math.Abs(got.SD-.005*math.Sqrt(3)) > 1e-12 {
		t.Errorf("%+v", got)
	}
	for name, spoil := range map[string]func(*Moments){"height": func(m *Moments) { m.Height.SD = 0 }, "speed": func(m *Moments) { m.Speed.SD = 0 }} {
		less := m
		if spoil(&less); less.StartDown() != (Value{}) {
			t.Errorf("without the %s: %+v", name, less.StartDown())
		}
	}
}

// TestAMarkIsDoubtfulBeyondThreeDeviations, of which the one that misses by most is named.
func TestAMarkIsDoubtfulBeyondThreeDeviations(t *testing.T) {
	for want, misses := range map[string][][2]float64{
		"": {{3, 0}, {0, -3}}, "b": {{0, 0}, {-2.2, 2.2}}, "a": {{3.1, 0}, {0, 3.05}},
	} {
		r := &rows{marks: []string{"a", "b"}}
		for _, m := range misses {
			r.list = append(r.list, row{miss: m[0]}, row{miss: m[1]})
		}
		if got := r.worst(); got != want {
			t.Errorf("%v: %q, want %q", misses, got, want)
		}
	}
}
