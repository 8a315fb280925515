package figure

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"thole/ui/figure/draw"
	"thole/ui/figure/plane"
)

// scull and sweep are ordinary rigs: span 1.59, inboard .88, oars of 2.88 m;
// spread .85, inboard 1.15, oars of 3.76 m.
func scull(width float64, lying bool, catch, finish float64) *Above {
	return &Above{
		ID: "a", Width: width, Lying: lying, HullLength: 8.1, HullBeam: 0.29, Rowers: 1, Seat: 1,
		PinOut: 0.795, Outer: 1.98, Hand: 0.84, HandleEnd: 0.90, BladeLength: 0.44, BladeWide: 0.215,
		Oars:         []OarAbove{{Port, catch, finish}, {Starboard, catch, finish}},
		HalfShoulder: 0.18, CatchShoulderX: 0.25, FinishShoulderX: -0.75,
	}
}

func sweep(side BoatSide, seat int, width float64, lying bool, catch, finish float64) *Above {
	return &Above{
		ID: "a", Width: width, Lying: lying, HullLength: 17.3, HullBeam: 0.55, Rowers: 8, Seat: seat, Coxed: true,
		PinOut: 0.85, Outer: 2.59, Hand: 1.12, InsideHand: 0.92, HandleEnd: 1.17, BladeLength: 0.55, BladeWide: 0.25,
		Oars:         []OarAbove{{side, catch, finish}},
		HalfShoulder: 0.18, CatchShoulderX: 0.22, FinishShoulderX: -0.62, TurnDeg: 38, SideLean: 0.05,
	}
}

// TestAboveLabelsAreClear draws seats over the range of arcs at every width,
// upright and lying.
func TestAboveLabelsAreClear(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	arcs := [][2]float64{{64, 44}, {45, 30}, {75, 55}, {56, 34}, {35, 20}}
	for range 6 {
		arcs = append(arcs, [2]float64{35 + 40*r.Float64(), 20 + 35*r.Float64()})
	}
	for _, width := range everyWidth {
		for _, arc := range arcs {
			for _, a := range []*Above{
				scull(width, width > 500, arc[0], arc[1]), sweep(Port, 1+r.IntN(8), width, width > 500, arc[0], arc[1]), sweep(Starboard, 1+r.IntN(8), width, width > 500, arc[0], arc[1]),
			} {
				d := a.Draw()
				name := fmt.Sprintf("%d oars, %v px, %v", len(a.Oars), width, arc)
				checkClear(t, name, d, draw.Hull, draw.Oar)
				if want := 3*len(a.Oars) + 2; len(d.Labels) != want {
					t.Errorf("%s: %d labels of %d: %s", name, len(d.Labels), want, d.Caption)
				}
			}
		}
	}
}

// TestAboveIsToScale measures the drawing: pins, blades and hull stand in the
// proportion of the numbers.
func TestAboveIsToScale(t *testing.T) {
	for _, lying := range []bool{false, true} {
		a := scull(868, lying, 64, 44)
		d := a.Draw()
		tips := map[string]Point{}
		for _, s := range d.Shapes {
			if strings.HasPrefix(s.Class, "fig-blade") {
				tips[s.Class] = s.Lines[0][3].Toward(s.Lines[0][4], 0.5)
			}
		}
		p, q := tips["fig-blade fig-at-square fig-port"], tips["fig-blade fig-at-square fig-starboard"]
		scale := q.Sub(p).Norm() / (2 * (a.PinOut + a.Outer))
		c := tips["fig-blade fig-at-catch fig-port"]
		f := tips["fig-blade fig-at-finish fig-port"]
		if got, want := c.Sub(f).Norm()/scale, 2*a.Outer*math.Sin(plane.Rad(54)); math.Abs(got-want) > 0.01 {
			t.Errorf("lying %v: catch to finish %.3f m, want %.3f", lying, got, want)
		}
		if !lying {
			continue
		}
		b := plane.Around(d.Shapes[0].Lines[0])
		if math.Abs(b.W/scale-a.HullLength) > 0.01 || math.Abs(b.H/scale-a.HullBeam) > 0.01 {
			t.Errorf("hull %.2f by %.2f m", b.W/scale, b.H/scale)
		}
	}
}

// TestMirror: a port seat is a starboard one seen in a mirror.
func TestMirror(t *testing.T) {
	p, s := sweep(Port, 4, 358, false, 56, 34).Draw(), sweep(Starboard, 4, 358, false, 56, 34).Draw()
	at := func(d *draw.Drawing, term string) Point {
		for _, l := range d.Labels {
			if l.Texts[0].Text == term {
				return Point{X: l.Box.X + l.Box.W/2, Y: l.Box.Y + l.Box.H/2}
			}
		}
		t.Fatalf("no %q", term)
		return Point{}
	}
	for _, term := range []string{"catch", "finish", "square"} {
		a, b := at(p, term), at(s, term)
		if math.Abs(a.X+b.X-358) > 0.5 || math.Abs(a.Y-b.Y) > 0.5 {
			t.Errorf("%s at %v on port, %v on starboard", term, a, b)
		}
	}
}

// TestPortIsLeftGoingForward: with the bow up, port lies left, and the catch
// has the blade nearer to the bow than the finish.
func TestPortIsLeftGoingForward(t *testing.T) {
	a := sweep(Port, 4, 358, false, 56, 34)
	f := oarFrame{frame{scale: 50}, a.PinOut, Port}
	if f.out(1, 0).X >= 0 {
		t.Error("port lies right of the centreline")
	}
	if f.out(1, -56).Y >= f.out(1, 34).Y {
		t.Error("the blade at the catch is nearer to the stern")
	}
	lying := oarFrame{frame{scale: 50, lying: true}, a.PinOut, Port}
	if lying.out(1, 0).Y <= 0 || lying.out(1, -56).X >= lying.out(1, 34).X {
		t.Error("lying with the bow left, port belongs below and the catch left")
	}
}

// TestEndsDifferWithoutColour: the three places of an oar differ in the class
// that dresses line and blade.
func TestEndsDifferWithoutColour(t *testing.T) {
	html := string(scull(358, false, 64, 44).Draw().HTML())
	for _, c := range []string{"fig-at-catch", "fig-at-square", "fig-at-finish"} {
		if strings.Count(html, "fig-shaft "+c) != 2 || strings.Count(html, "fig-blade "+c) != 2 {
			t.Errorf("%s stands not at two shafts and two blades", c)
		}
	}
	if strings.Count(html, `class="fig-hatch `) != 2 {
		t.Error("the blades at the finish are not hatched")
	}
	for _, letter := range []string{">P<", ">S<"} {
		if strings.Count(html, letter) != 1 {
			t.Errorf("%s is missing", letter)
		}
	}
}

// TestHull: a hull is closed at both ends, nowhere broader than its beam and
// as long and thin as its numbers say.
func TestHull(t *testing.T) {
	for _, h := range []hull{{8.1, 0.29, false}, {17.3, 0.55, true}} {
		most := 0.0
		for i := range 1001 {
			w := h.half(float64(i) / 1000)
			if w < 0 || w > h.beam/2+1e-12 {
				t.Fatalf("half-breadth %v at %d", w, i)
			}
			most = max(most, w)
		}
		if h.half(0) != 0 || h.half(1) > 1e-6 || math.Abs(most-h.beam/2) > 0.001 {
			t.Errorf("ends %v and %v, middle %v", h.half(0), h.half(1), most)
		}
	}
}

// TestShortenedEndsAreSaid: a hull drawn shorter than it is says so.
func TestShortenedEndsAreSaid(t *testing.T) {
	if c := scull(358, false, 64, 44).Draw().Caption; !strings.Contains(c, "shortened") {
		t.Errorf("caption %q", c)
	}
	if c := scull(868, true, 64, 44).Draw().Caption; strings.Contains(c, "shortened") {
		t.Errorf("caption %q", c)
	}
}

func BenchmarkAbove(b *testing.B) {
	a := scull(358, false, 64, 44)
	for b.Loop() {
		a.Draw()
	}
}

// TestAboveLabelsStandAtTheirBlades: the label of the catch is nearer to the blade at
// the catch than to that at the finish, and the other way round.
func TestAboveLabelsStandAtTheirBlades(t *testing.T) {
	for _, lying := range []bool{false, true} {
		for _, side := range []BoatSide{Port, Starboard} {
			d := sweep(side, 5, 868, lying, 56, 34).Draw()
			blades := map[string]Point{}
			for _, s := range d.Shapes {
				for _, end := range []string{"catch", "finish"} {
					if strings.HasPrefix(s.Class, "fig-blade fig-at-"+end) {
						blades[end] = s.Lines[0][3].Toward(s.Lines[0][4], 0.5)
					}
				}
			}
			seen := 0
			for _, l := range d.Labels {
				own, there := blades[l.Texts[0].Text]
				if !there {
					continue
				}
				seen++
				other := blades[map[string]string{"catch": "finish", "finish": "catch"}[l.Texts[0].Text]]
				middle := Point{X: l.Box.X + l.Box.W/2, Y: l.Box.Y + l.Box.H/2}
				if middle.Sub(own).Norm() >= middle.Sub(other).Norm() {
					t.Errorf("side %v, lying %v: the label of the %s stands at the other end", side, lying, l.Texts[0].Text)
				}
			}
			if seen != 2 {
				t.Errorf("side %v, lying %v: %d labels of the ends", side, lying, seen)
			}
		}
	}
}
