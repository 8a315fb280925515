package camera

import (
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: got %.6g, want %.6g ± %.2g", what, got, want, within)
	}
}

// TestStraightDown: a camera straight above sees the water to one scale, f/h
// pixels a metre (the plane parallel to the picture: Hartley and Zisserman,
// Multiple View Geometry, 2nd ed. 2004, ch. 6; page from memory), and an oar at its
// true angle.
func TestStraightDown(t *testing.T) {
	c := LookAt(Vector{0, 0, 12}, Vector{0, 0, 0}, 0, 1800, 1920, 1080)
	for _, p := range []Vector{{1, 0, 0}, {0, 2, 0}, {-1.5, -.7, 0}} {
		u, v, ok := c.Project(p)
		if !ok {
			t.Fatal("behind the camera")
		}
		// Bow (−x) at the upper edge, so starboard (+y) to the right.
		near(t, "u", u, 960+150*p[1], 1e-9)
		near(t, "v", v, 540+150*p[0], 1e-9)
	}
	o := Oar{Side: 1}
	for _, deg := range []float64{-64, -10, 0, 43} {
		place := o.at(Vector{0, .8, 0}, 1, deg*math.Pi/180, 0)
		u, v, _ := c.Project(place)
		near(t, "angle in the picture", math.Atan2(v-540, u-960-120)*180/math.Pi, deg, 1e-9)
	}
}

// TestForeshortening: a length L turned by φ out of the picture's plane shows
// L·cos φ·f/d when far away, and a parallax of depth δ at distance d changes
// the scale by δ/d (similar triangles: the same book, 6.1; page from memory).
func TestForeshortening(t *testing.T) {
	const far, focal = 1e5, 1e6
	c := LookAt(Vector{0, far, 0}, Vector{}, 0, focal, 4000, 4000)
	for _, deg := range []float64{0, 20, 45, 64, 80} {
		sin, cos := math.Sincos(deg * math.Pi / 180)
		u1, _, _ := c.Project(Vector{-cos, -sin, 0})
		u2, _, _ := c.Project(Vector{cos, sin, 0})
		near(t, "foreshortened", math.Abs(u2-u1), 2*cos*focal/far, 1e-6)
	}
	c = LookAt(Vector{0, 10, 0}, Vector{}, 0, 1000, 4000, 4000)
	u1, _, _ := c.Project(Vector{1, 0, 0})
	u2, _, _ := c.Project(Vector{1, .5, 0})
	near(t, "parallax", (u2-2000)/(u1-2000), 10/9.5, 1e-12)
}

// TestBehind: what lies behind the lens is not in the picture.
func TestBehind(t *testing.T) {
	c := LookAt(Vector{0, 10, 2}, Vector{}, 0, 1000, 1920, 1080)
	if _, _, ok := c.Project(Vector{0, 12, 2}); ok {
		t.Error("a point behind the camera was projected")
	}
}

// TestSlopes holds every slope of every row against central differences, with two
// marks on the oar, so that each must find its own unknown.
func TestSlopes(t *testing.T) {
	for _, view := range []View{Abeam, Above, Astern} {
		scene := ordinary(view)
		scene.tip = true
		p, _ := scene.draw(newRand(7))
		if len(p.Oar.Marks) != 2 {
			t.Fatalf("%s: %d marks on the oar", view, len(p.Oar.Marks))
		}
		s := p.starts(p.Distance)[0]
		rows := p.rows(s)
		for at := range p.unknowns() {
			const step = 1e-6
			x := make([]float64, p.unknowns())
			x[at] = step
			up := p.rows(s.moved(p, x))
			x[at] = -step
			down := p.rows(s.moved(p, x))
			for i := range rows.list {
				slope := 0.0
				for _, term := range rows.list[i].terms {
					if term.at == at {
						slope += term.slope
					}
				}
				want := (up.list[i].miss - down.list[i].miss) / (2 * step)
				if math.Abs(slope-want) > 1e-4*(1+math.Abs(want)) {
					t.Fatalf("%s: row %d, unknown %d: slope %g, by differences %g", view, i, at, slope, want)
				}
			}
		}
	}
}
