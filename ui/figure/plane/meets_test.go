package plane

import (
	"math"
	"slices"
	"testing"
)

// TestPointsByHand: 3-4-5 triangles, y downwards.
func TestPointsByHand(t *testing.T) {
	p, q := Point{10, 20}, Point{13, 16}
	for name, c := range map[string]struct{ got, want Point }{
		"sum": {p.Add(q), Point{23, 36}}, "difference": {q.Sub(p), Point{3, -4}}, "unit": {p.Unit(q), Point{0.6, -0.8}},
		"of nothing": {p.Unit(p), Point{}}, "toward": {p.Toward(q, 0.5), Point{11.5, 18}},
		"right, turned, is up": {Point{X: 1}.Turned(), Point{Y: -1}}, "up, turned, is left": {Point{Y: -1}.Turned(), Point{X: -1}},
		"up": {Direction(90), Point{Y: -1}}, "right": {Direction(0), Point{X: 1}},
	} {
		if round(c.got) != round(c.want) {
			t.Errorf("%s: %v, want %v", name, c.got, c.want)
		}
	}
}

// round removes what the last bit of a sine leaves.
func round(p Point) Point { return Point{math.Round(p.X*1e6) + 0, math.Round(p.Y*1e6) + 0} }

func TestTheBoxAroundPoints(t *testing.T) {
	b := Around([]Point{{4, 9}, {1, 12}, {7, 10}})
	if b != (Box{1, 9, 6, 3}) || b.Right() != 7 || b.Bottom() != 12 || b.Grown(2) != (Box{-1, 7, 10, 7}) {
		t.Errorf("%v, to %v and %v, grown %v", b, b.Right(), b.Bottom(), b.Grown(2))
	}
	if want := []Point{{1, 9}, {7, 9}, {7, 12}, {1, 12}}; !slices.Equal(b.Corners(), want) {
		t.Errorf("corners %v, want %v", b.Corners(), want)
	}
}

// TestBoxesThatTouchDoNotMeet: labels may stand edge to edge.
func TestBoxesThatTouchDoNotMeet(t *testing.T) {
	at := Box{10, 10, 4, 4}
	for _, c := range []struct {
		box  Box
		want bool
	}{
		{Box{14, 10, 4, 4}, false}, {Box{6, 10, 4, 4}, false}, {Box{10, 14, 4, 4}, false}, {Box{10, 6, 4, 4}, false},
		{Box{13.9, 10, 4, 4}, true}, {Box{6.1, 10, 4, 4}, true}, {Box{10, 13.9, 4, 4}, true}, {Box{10, 6.1, 4, 4}, true},
		{Box{30, 10, 4, 4}, false}, {Box{10, 30, 4, 4}, false}, {Box{-30, 10, 4, 4}, false}, {Box{10, -30, 4, 4}, false},
	} {
		if at.Meets(c.box) != c.want || c.box.Meets(at) != c.want {
			t.Errorf("%v and %v meet: %v, want %v", at, c.box, at.Meets(c.box), c.want)
		}
	}
}

// TestTheEdgeOfABoxIsIn: a leader that ends on the edge of a label touches it.
func TestTheEdgeOfABoxIsIn(t *testing.T) {
	b := Box{10, 20, 4, 6}
	for _, p := range append(b.Corners(), Point{12, 23}) {
		if !b.Contains(p) {
			t.Errorf("%v is not in %v", p, b)
		}
	}
	for _, p := range []Point{{9.9, 23}, {14.1, 23}, {12, 19.9}, {12, 26.1}} {
		if b.Contains(p) {
			t.Errorf("%v is in %v", p, b)
		}
	}
}

// TestSegmentsThatCross, and some that only touch or would cross if they were longer.
func TestSegmentsThatCross(t *testing.T) {
	for _, c := range []struct {
		name       string
		a, b, c, d Point
		want       bool
	}{
		{"cross", Point{10, 10}, Point{20, 22}, Point{10, 21}, Point{20, 11}, true},
		{"the second ends before the first", Point{10, 10}, Point{20, 22}, Point{10, 21}, Point{12, 19}, false},
		{"the first ends before the second", Point{10, 10}, Point{12, 12}, Point{10, 21}, Point{20, 11}, false},
		{"the second ends on the first", Point{10, 10}, Point{20, 20}, Point{10, 20}, Point{15, 15}, false},
		{"the first ends on the second", Point{10, 20}, Point{15, 15}, Point{10, 10}, Point{20, 20}, false},
		{"side by side", Point{10, 10}, Point{20, 10}, Point{10, 12}, Point{20, 12}, false},
	} {
		if SegmentsMeet(c.a, c.b, c.c, c.d) != c.want || SegmentsMeet(c.b, c.a, c.d, c.c) != c.want {
			t.Errorf("%s: %v", c.name, !c.want)
		}
	}
}

func TestLinesThatEnterABox(t *testing.T) {
	b := Box{10, 10, 10, 10}
	for _, c := range []struct {
		name string
		line []Point
		want bool
	}{
		{"ends in it", []Point{{0, 0}, {15, 15}}, true}, {"begins in it", []Point{{15, 15}, {0, 0}}, true},
		{"runs through it", []Point{{0, 15}, {30, 16}}, true}, {"runs down through it", []Point{{15, 0}, {16, 30}}, true},
		{"cuts a corner", []Point{{8, 13}, {13, 8}}, true}, {"cuts another", []Point{{17, 22}, {22, 17}}, true},
		{"bends round it", []Point{{0, 0}, {25, 0}, {25, 30}}, false}, {"passes a corner", []Point{{0, 18}, {18, 0}}, false},
		{"is a point outside", []Point{{0, 0}}, false}, {"goes through at the second step", []Point{{0, 0}, {0, 15}, {30, 15}}, true},
		{"is nothing", nil, false}, {"closes through it", []Point{{0, 15}, {0, 0}, {30, 0}, {30, 15}}, false},
	} {
		if LineMeetsBox(c.line, b) != c.want {
			t.Errorf("a line that %s: %v", c.name, !c.want)
		}
	}
}

// TestEdgesOfAnOutline: of two outlines that share an edge a point on it lies in one.
func TestEdgesOfAnOutline(t *testing.T) {
	square := func(x, y float64) []Point { return Box{x, y, 10, 10}.Corners() }
	for _, c := range []struct {
		p    Point
		want bool
	}{{Point{0, 5}, true}, {Point{10, 5}, false}, {Point{5, 0}, true}, {Point{5, 10}, false}, {Point{0, 0}, true}, {Point{10, 10}, false}} {
		if Inside(square(0, 0), c.p) != c.want {
			t.Errorf("%v: %v", c.p, !c.want)
		}
		n := 0
		for _, at := range []Point{{0, 0}, {10, 0}, {0, 10}, {-10, 0}, {0, -10}, {-10, -10}, {10, 10}, {10, -10}, {-10, 10}} {
			if Inside(square(at.X, at.Y), c.p) {
				n++
			}
		}
		if n != 1 {
			t.Errorf("%v lies in %d of nine squares of one sheet", c.p, n)
		}
	}
}

// TestOutlinesTurnOneWay: clockwise on the screen, and the one given stays as it was.
func TestOutlinesTurnOneWay(t *testing.T) {
	clockwise := []Point{{1, 1}, {9, 2}, {8, 9}, {2, 7}}
	other := slices.Clone(clockwise)
	slices.Reverse(other)
	given := slices.Clone(other)
	if got := Clockwise(other); !slices.Equal(got, clockwise) || !slices.Equal(other, given) {
		t.Errorf("%v, of %v", got, other)
	}
	if got := Clockwise(clockwise); !slices.Equal(got, clockwise) {
		t.Errorf("%v", got)
	}
	line := []Point{{1, 1}, {9, 2}} // no area: as it is
	if got := Clockwise(line); !slices.Equal(got, line) {
		t.Errorf("%v", got)
	}
}
