package plane

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestInsideAgreesWithWinding on a star, whose outline turns both ways.
func TestInsideAgreesWithWinding(t *testing.T) {
	var star []Point
	for i := range 14 {
		star = append(star, Point{X: 50, Y: 50}.Add(Direction(float64(i)*360/14).Times(20+20*float64(i%2))))
	}
	for x := 0.5; x < 100; x += 1.7 {
		for y := 0.5; y < 100; y += 1.3 {
			if p := (Point{X: x, Y: y}); Inside(star, p) != (winding(star, p) != 0) {
				t.Fatalf("%v", p)
			}
		}
	}
}

// TestBoxesMeetWhereTheyShareAPoint samples points of both boxes.
func TestBoxesMeetWhereTheyShareAPoint(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 500 {
		a := Box{X: r.Float64(), Y: r.Float64(), W: r.Float64(), H: r.Float64()}
		b := Box{X: r.Float64(), Y: r.Float64(), W: r.Float64(), H: r.Float64()}
		shared := false
		for range 400 {
			p := Point{X: a.X + a.W*r.Float64(), Y: a.Y + a.H*r.Float64()}
			shared = shared || b.Contains(p)
		}
		if shared && !a.Meets(b) || a.Meets(b) != b.Meets(a) {
			t.Fatalf("%v and %v share a point, and Meets says %v and %v", a, b, a.Meets(b), b.Meets(a))
		}
	}
}

func TestFiniteRefusesWhatIsNoNumber(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("NaN is taken")
		}
	}()
	Finite("a number", 1, math.NaN())
}

// winding is the winding number of an outline around p: the signed number of
// its edges that cross the ray to the right.
func winding(outline []Point, p Point) int {
	n := 0
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		switch left := (b.X-a.X)*(p.Y-a.Y) - (b.Y-a.Y)*(p.X-a.X); {
		case a.Y <= p.Y && b.Y > p.Y && left > 0:
			n++
		case a.Y > p.Y && b.Y <= p.Y && left < 0:
			n--
		}
	}
	return n
}
