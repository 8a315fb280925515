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
