package figure

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"thole/rigging"
	"thole/ui/figure/plane"
)

// sitter is one rower with a posture in a rig, as the tests draw them.
type sitter struct {
	sex                 rigging.Sex
	stature, mass       float64 // m, kg
	lean, layback, knee float64 // degrees; knee is where the slide stops
	heelDepth, gate     float64 // m
	sweep               bool    // in an eight, else in a single
}

func (b sitter) String() string {
	return fmt.Sprintf("%.0f cm %.0f kg, lean %.0f, layback %.0f, knee %.0f, heels %.0f cm", 100*b.stature, b.mass, b.lean, b.layback, b.knee, 100*b.heelDepth)
}

// usual is a rower of ordinary posture.
func usual(sex rigging.Sex, stature, mass float64) sitter {
	return sitter{sex: sex, stature: stature, mass: mass, lean: 22, layback: 28, knee: 130, heelDepth: 0.17, gate: 0.165}
}

// sides draws what package rigging finds for the sitter: the slide
// stops at the knee bend, the stretcher brings the finish to its usual angle.
func (b sitter) sides(t testing.TB, width float64) [2]*Side {
	t.Helper()
	setup := b.setup(t)
	c := rigging.NewCase(setup, &rigging.Measures{Sex: b.sex, Stature: b.stature, Mass: b.mass})
	c.Posture.Lean, c.Posture.Layback = rigging.Angle(plane.Rad(b.lean)), rigging.Angle(plane.Rad(b.layback))
	stroke := b.settle(t, &c)
	pose := func(p *rigging.Pose, lean float64) Pose {
		at := func(q rigging.Point) Joint { return Joint(q) }
		return Pose{at(p.Heel), at(p.Ball), at(p.Ankle), at(p.Knee), at(p.Hip), at(p.Shoulder), at(p.Hand), lean}
	}
	side := Side{
		ID: "one", Width: width, Stature: c.Body.Stature, Mass: c.Body.Mass, Arm: c.Body.Body.Arm, HalfDepth: c.Body.Body.HalfDepth,
		Catch: pose(&stroke.AtCatch, b.lean), Finish: pose(&stroke.AtFinish, -b.layback),
		GateHeight: b.gate, PlateDeg: 42, SeatOverWater: setup.SeatOverWater,
	}
	other := side
	other.AtFinish, other.ID = true, "two"
	return [2]*Side{&side, &other}
}

// setup is an ordinary rig of a single, or of a port seat of an eight.
func (b sitter) setup(t testing.TB) rigging.Setup {
	t.Helper()
	s := rigging.Setup{
		GateHeight: b.gate, HeelToPin: 0.30, HeelDepth: b.heelDepth, PlateAngle: 42 * rigging.Degree,
		SternPitch: 4 * rigging.Degree, SeatOverWater: rigging.DefaultSeatOverWater,
	}
	code := "1x"
	if b.sweep {
		code = "8+"
		s.Side, s.Spread, s.OarLength, s.Inboard = rigging.Port, 0.85, 3.76, 1.15
	} else {
		s.Span, s.OarLength, s.Inboard, s.GateDifference = 1.59, 2.88, 0.88, 0.01
	}
	var ok bool
	if s.Class, ok = rigging.ClassByCode(code); !ok {
		t.Fatalf("no class %s", code)
	}
	return s
}

// finish is the finish the stretcher is set for, degrees.
func (b sitter) finish() float64 {
	if b.sweep {
		return 33
	}
	return 43
}

// settle opens the shin until the knee bends no further than it may, and moves
// the stretcher until the finish is right.
func (b sitter) settle(t testing.TB, c *rigging.Case) rigging.Stroke {
	t.Helper()
	var stroke rigging.Stroke
	var err error
	for shin := 86.0; shin < 125; shin++ {
		c.Posture.Shin = rigging.Angle(plane.Rad(shin))
		for range 20 {
			if stroke, err = c.Solve(); err != nil {
				c.Setup.HeelToPin -= 0.02
				continue
			}
			c.Setup.HeelToPin += 0.01 * (stroke.Finish.Degrees() - b.finish())
		}
		if err == nil && stroke.KneeFlexion.Degrees() <= b.knee {
			return stroke
		}
	}
	t.Fatalf("%v: no shin stops the knee", b)
	return stroke
}

// sitters are usual bodies from the smallest to the tallest and random ones.
func sitters(random int) []sitter {
	var all []sitter
	for cm := 150; cm <= 205; cm += 5 {
		h := float64(cm) / 100
		sex := rigging.Female
		if cm > 175 {
			sex = rigging.Male
		}
		all = append(all, usual(sex, h, 22.5*h*h))
	}
	r := rand.New(rand.NewPCG(11, 9))
	between := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	for range random {
		h := between(1.50, 2.05)
		all = append(all, sitter{
			sex: []rigging.Sex{rigging.Female, rigging.Male}[r.IntN(2)], stature: h, mass: between(18, 29) * h * h,
			lean: between(16, 30), layback: between(22, 36), knee: between(122, 140), heelDepth: between(0.13, 0.20), gate: between(0.13, 0.20), sweep: r.IntN(3) == 0,
		})
	}
	return all
}

// fiveWidths are the widths at which drawings are checked, px.
var fiveWidths = []float64{288, 358, 440, 620, 868}

// everyWidth are the widths the style sheet knows, px.
var everyWidth = append(slices.Clone(fiveWidths), 1180)
