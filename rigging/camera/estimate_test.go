package camera

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"thole/rigging"
)

func newRand(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 16)) }

// scene is a boat, an oar and a camera from which pictures are drawn.
type scene struct {
	view             View
	distance, height float64 // m
	off              float64 // degrees off abeam
	perMetre, sd     float64 // pixels
	angle            float64 // degrees
	tip              bool
	bare             bool // pins and waterline alone, no tape
	pinMark          bool // the oar's pin and the end of its handle are marked as points of the oar
}

// ordinary is a sculler at the catch, filmed as the page asks for.
func ordinary(view View) scene {
	s := scene{view: view, distance: 15, height: 1.6, perMetre: 300, sd: 1.5, angle: -64}
	if view == Above {
		s.height, s.perMetre = 9, 250
	}
	return s
}

// draw returns a picture of the scene with its truth drawn from the stated
// standard deviations: tape, span, heights, the guess of the distance and the
// marks.
func (s scene) draw(r *rand.Rand) (*Picture, rigging.Angle) {
	p, truth := s.drawn(r)
	return p, truth.angle
}

// truth is what a picture was drawn from.
type truth struct {
	angle rigging.Angle
	tilt  float64
	pin   Vector
}

func (s scene) drawn(r *rand.Rand) (*Picture, truth) {
	near := func(sd Vector) Vector {
		return Vector{r.NormFloat64() * sd[0], r.NormFloat64() * sd[1], r.NormFloat64() * sd[2]}
	}
	plus := func(a, b Vector) Vector { return Vector{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }
	tape, pinSD, line := Vector{.005, .01, .02}, Vector{.003, .005, .02}, Vector{.5, .02, .005}
	list := []Point{
		{Name: "near pin", Place: Vector{0, .8, .26}, SD: pinSD}, {Name: "far pin", Place: Vector{0, -.8, .26}, SD: pinSD},
		{Name: "waterline bow", Place: Vector{-1.5, .2, 0}, SD: line}, {Name: "waterline stern", Place: Vector{1.5, .2, 0}, SD: line},
	}
	if !s.bare {
		for _, x := range []float64{-1, 1} {
			for _, y := range []float64{.25, -.25} {
				list = append(list, Point{Name: fmt.Sprint("tape", x, y), Place: Vector{x, y, .18}, SD: tape})
			}
		}
	}
	p := &Picture{Width: 1920, Height: 1080, View: s.view, Side: 1, MarkSD: s.sd}
	p.Distance = s.distance * math.Exp(.3*r.NormFloat64()) // people err by a share
	p.DistanceSD, p.HeightSD = p.Distance/3, .5
	p.CameraHeight = s.height + r.NormFloat64()*p.HeightSD
	p.Oar = Oar{Pin: Vector{0, .8, .26}, PinSD: pinSD, Side: 1, Angle: rigging.Angle(math.Copysign(50, s.angle)) * rigging.Degree}
	p.Oar.Marks = []OarMark{{Name: "hand", Distance: -.84, SD: .01}}
	if s.tip {
		p.Oar.Marks = append(p.Oar.Marks, OarMark{Name: "tip", Distance: 1.98, SD: .01})
	}
	if s.pinMark {
		p.Oar.Marks = []OarMark{{Name: "handle end", Distance: -.90, SD: .004}, {Name: "pin", Distance: 0, SD: .01}}
		list = list[1:]
	}
	camera := s.camera(r)
	put := func(place Vector) (float64, float64) {
		u, v, ok := camera.Project(place)
		if !ok {
			panic("the scene has a mark behind the camera")
		}
		return u + r.NormFloat64()*s.sd, v + r.NormFloat64()*s.sd
	}
	for i := range list {
		list[i].U, list[i].V = put(plus(list[i].Place, near(list[i].SD)))
	}
	p.Points = list
	pin, tilt := plus(p.Oar.Pin, near(pinSD)), tiltMean+r.NormFloat64()*tiltSD
	for i := range p.Oar.Marks {
		m := &p.Oar.Marks[i]
		m.U, m.V = put(p.Oar.at(pin, m.Distance+r.NormFloat64()*m.SD, s.angle*math.Pi/180, tilt))
	}
	return p, truth{rigging.Angle(s.angle) * rigging.Degree, tilt, pin}
}

func (s scene) camera(r *rand.Rand) Camera {
	sin, cos := math.Sincos(s.off * math.Pi / 180)
	place := Vector{s.distance * sin, s.distance * cos, s.height}
	switch s.view {
	case Above:
		place = Vector{.5, .8, s.height}
	case Astern:
		place = Vector{s.distance, .5, s.height}
	}
	roll := r.NormFloat64() * rollSD
	far := math.Sqrt(place.dot(place))
	return LookAt(place, Vector{.3, .4, .1}, roll, s.perMetre*far, 1920, 1080)
}

// TestCoverage: over 5–60 m, camera heights of 0.3–10 m and up to 20° off abeam
// the true angle lies within the printed ± (two standard deviations) in 95 % of
// pictures, taken together (with 100 a scene in 1427 of 1500; of these 600, two
// standard errors below are let pass), and in 85 % of every scene (of 40, three
// standard errors below 95 %); the mean miss of a scene is within what its
// printed standard deviation leaves.
func TestCoverage(t *testing.T) {
	if testing.Short() {
		t.Skip("a statement about thousands of draws, in one goroutine")
	}
	scenes := []scene{
		{distance: 5, height: 1.6, perMetre: 300}, {distance: 15, height: 1.6, perMetre: 300, pinMark: true}, {distance: 15, height: 1.6, perMetre: 300, off: -10, pinMark: true},
		{distance: 8, height: 1, perMetre: 300}, {distance: 15, height: 1.6, perMetre: 300},
		{distance: 15, height: 1.6, perMetre: 300, off: 20}, {distance: 15, height: 1.6, perMetre: 300, off: -20}, {distance: 30, height: 2, perMetre: 250, off: 10},
		{distance: 60, height: 10, perMetre: 150}, {distance: 60, height: .3, perMetre: 200, off: -10}, {distance: 20, height: 10, perMetre: 250, off: -20},
		{distance: 15, height: 1.6, perMetre: 150, off: 10, tip: true}, {distance: 20, height: 1.7, perMetre: 300, angle: 43},
		{distance: 12, height: 1.7, perMetre: 300, angle: 43, tip: true}, {view: Above, distance: 9, height: 9, perMetre: 250},
	}
	const trials = 40
	all, inside := 0, 0
	for i, s := range scenes {
		s.sd = 1.5
		if s.view == "" {
			s.view = Abeam
		}
		if s.angle == 0 {
			s.angle = -64
		}
		r := newRand(uint64(i + 1))
		within, sum, square, printed := 0, 0.0, 0.0, 0.0
		for range trials {
			p, want := s.draw(r)
			got, err := Read(p)
			if err != nil {
				t.Fatalf("%+v: %v", s, err)
			}
			miss := (got.Angle - want).Degrees()
			sum, square, printed = sum+miss, square+miss*miss, printed+got.AngleSD.Degrees()
			if math.Abs(miss) <= 2*got.AngleSD.Degrees() {
				within++
			}
		}
		mean, sd := sum/trials, math.Sqrt(square/trials)
		t.Logf("%2.0f m, %4.1f m high, %3.0f° off, %.0f px/m, %s %3.0f°: bias %+.2f°, rms %.2f°, printed %.2f°, within %d of %d",
			s.distance, s.height, s.off, s.perMetre, s.view, s.angle, mean, sd, printed/trials, within, trials)
		all, inside = all+trials, inside+within
		if within < trials*85/100 {
			t.Errorf("%+v: %d of %d within the printed ±", s, within, trials)
		}
		if math.Abs(mean) > 4*printed/trials/math.Sqrt(trials) {
			t.Errorf("%+v: bias %.2f°", s, mean)
		}
	}
	if float64(inside) < .932*float64(all) {
		t.Errorf("%d of %d within the printed ±", inside, all)
	}
	t.Logf("%d of %d within the printed ±", inside, all)
}

// TestTheDepthAtMidDrive: with the blade under water, from the end of the handle and
// the pin, the true height of the blade's middle lies within the printed ± in 95 %
// of 80 pictures but for three standard errors.
func TestTheDepthAtMidDrive(t *testing.T) {
	s := ordinary(Abeam)
	s.angle, s.pinMark = -5, true
	const trials, middle = 80, 1.73
	within, square, printed := 0, 0.0, 0.0
	for i := range trials {
		p, truth := s.drawn(newRand(uint64(100 + i)))
		p.Oar.Middle = middle
		got, err := Read(p)
		if err != nil {
			t.Fatal(err)
		}
		miss := got.Blade.Value - truth.pin[2] + middle*math.Sin(truth.tilt)
		square, printed = square+miss*miss/trials, printed+got.Blade.SD/trials
		if math.Abs(miss) <= 2*got.Blade.SD {
			within++
		}
	}
	t.Logf("rms %.1f cm, printed %.1f cm, within %d of %d", 100*math.Sqrt(square), 100*printed, within, trials)
	if within < trials*88/100 {
		t.Errorf("%d of %d within the printed ±", within, trials)
	}
}

// TestFewerMarksAreWider: without the tape, with coarser marks or fewer pixels
// the ± is wider.
func TestFewerMarksAreWider(t *testing.T) {
	sd := func(change func(*scene)) float64 {
		s := ordinary(Abeam)
		change(&s)
		p, _ := s.draw(newRand(3))
		got, err := Read(p)
		if err != nil {
			t.Fatal(err)
		}
		return got.AngleSD.Degrees()
	}
	full := sd(func(*scene) {})
	for name, change := range map[string]func(*scene){
		"no tape": func(s *scene) { s.bare = true }, "coarse marks": func(s *scene) { s.sd = 4 }, "few pixels": func(s *scene) { s.perMetre = 100 },
	} {
		if wider := sd(change); wider <= full {
			t.Errorf("%s: ± %.2f°, with all %.2f°", name, wider, full)
		}
	}
}

// TestCannotTell: from astern, low and with the pins and the waterline alone,
// the angle is open and the answer says so.
func TestCannotTell(t *testing.T) {
	s := ordinary(Astern)
	s.bare, s.distance, s.perMetre, s.sd, s.angle = true, 40, 60, 3, -20
	p, _ := s.draw(newRand(5))
	got, err := Read(p)
	if err != nil {
		t.Fatal(err)
	}
	if got.Tells {
		t.Errorf("from astern it tells %.1f° ± %.1f°", got.Angle.Degrees(), 2*got.AngleSD.Degrees())
	}
}

// TestWrongMark: a mark that was put 60 pixels off is named and widens the ±.
func TestWrongMark(t *testing.T) {
	p, _ := ordinary(Abeam).draw(newRand(2))
	clean, err := Read(p)
	if err != nil {
		t.Fatal(err)
	}
	p.Points[4].U += 60
	got, err := Read(p)
	if err != nil {
		t.Fatal(err)
	}
	if got.Doubtful == "" || got.AngleSD <= clean.AngleSD || got.Misfit < 2 {
		t.Errorf("doubtful %q, ± %.2f° (clean %.2f°), misfit %.1f", got.Doubtful, got.AngleSD.Degrees(), clean.AngleSD.Degrees(), got.Misfit)
	}
	if clean.Doubtful != "" {
		t.Errorf("clean marks call %q doubtful", clean.Doubtful)
	}
}

func TestFewMarks(t *testing.T) {
	p, _ := ordinary(Abeam).draw(newRand(1))
	bare := *p
	bare.Points = p.Points[:2]
	if _, err := Read(&bare); !errors.Is(err, ErrFewMarks) {
		t.Errorf("two points: %v", err)
	}
	bare = *p
	bare.Oar.Marks = nil
	if _, err := Read(&bare); !errors.Is(err, ErrFewMarks) {
		t.Errorf("no mark of the oar: %v", err)
	}
}

func BenchmarkRead(b *testing.B) {
	p, _ := ordinary(Abeam).draw(newRand(1))
	for b.Loop() {
		if _, err := Read(p); err != nil {
			b.Fatal(err)
		}
	}
}
