package figure

import (
	"fmt"
	"testing"

	"thole/ui/figure/draw"
	"thole/ui/figure/letters"
	"thole/ui/figure/plane"
)

// The check of a drawing's labels works from the drawn lines of type alone and
// samples every box point by point; it shares nothing with the search for the
// places but the outlines and the estimate of widths.

// typeBox is the box of one line of type.
func typeBox(x draw.Text) Box {
	w := letters.Width(x.Text, x.Size, x.Bold)
	left := map[string]float64{"start": x.At.X, "middle": x.At.X - w/2, "end": x.At.X - w}[x.Anchor]
	return Box{X: left, Y: x.At.Y - 0.78*x.Size, W: w, H: 1.0 * x.Size}
}

// samples are points on and in a box, at most 1.5 px apart.
func samples(b Box) []Point {
	var all []Point
	nx, ny := int(b.W/1.5)+1, int(b.H/1.5)+1
	for i := range nx + 1 {
		for j := range ny + 1 {
			all = append(all, Point{X: b.X + b.W*float64(i)/float64(nx), Y: b.Y + b.H*float64(j)/float64(ny)})
		}
	}
	return all
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

// covers reports whether a box touches a shape: a sampled point lies in the
// outline, or the outline or line, sampled, lies in the box.
func covers(s *draw.Shape, b Box) bool {
	for _, l := range s.Lines {
		if !plane.Around(l).Grown(1).Meets(b) {
			continue
		}
		n := len(l) - 1
		if s.Closed {
			n = len(l)
		}
		for i := range n {
			p, q := l[i], l[(i+1)%len(l)]
			steps := int(q.Sub(p).Norm()) + 1
			for k := range steps + 1 {
				if b.Contains(p.Toward(q, float64(k)/float64(steps))) {
					return true
				}
			}
		}
		if s.Closed && anyInside(l, b) {
			return true
		}
	}
	return false
}

func anyInside(outline []Point, b Box) bool {
	for _, p := range samples(b) {
		if winding(outline, p) != 0 {
			return true
		}
	}
	return false
}

// every is what faultsOf takes for all labels.
const every = -1

// faultsOf lists what one label of a drawing meets, or every label.
func faultsOf(d *draw.Drawing, only int) []string {
	var found []string
	type placed struct {
		label int
		text  string
		box   Box
	}
	var all []placed
	for i, l := range d.Labels {
		for _, x := range l.Texts {
			all = append(all, placed{i, x.Text, typeBox(x)})
		}
	}
	for i, a := range all {
		if only != every && a.label != only {
			continue
		}
		if a.box.X < 0 || a.box.Y < 0 || a.box.Right() > d.Width || a.box.Bottom() > d.Height {
			found = append(found, fmt.Sprintf("%q meets the edge", a.text))
		}
		for k, b := range all {
			if k != i && b.label != a.label && a.box.Meets(b.box) {
				found = append(found, fmt.Sprintf("%q meets %q", a.text, b.text))
			}
		}
		for k := range d.Shapes {
			if covers(&d.Shapes[k], a.box) {
				found = append(found, fmt.Sprintf("%q meets a shape %q", a.text, d.Shapes[k].Class))
			}
		}
		for k, l := range d.Labels {
			if k != a.label && plane.LineMeetsBox(l.Leader, a.box) {
				found = append(found, fmt.Sprintf("%q has a leader through it", a.text))
			}
		}
	}
	return found
}

// leaderFaults lists leaders that run over a part of the rower that is not
// their own, which ends at the anchor, or cross.
func leaderFaults(d *draw.Drawing) []string {
	var found []string
	for i := range d.Labels {
		l := &d.Labels[i]
		for j := range i {
			if plane.LinesMeet(l.Leader, d.Labels[j].Leader) {
				found = append(found, fmt.Sprintf("leaders of %q and %q cross", l.Texts[0].Text, d.Labels[j].Texts[0].Text))
			}
		}
		for k := range d.Shapes {
			s := &d.Shapes[k]
			own := map[string]draw.Kind{
				"trunk–thigh": draw.Trunk | draw.Thigh, "lean": draw.Trunk, "layback": draw.Trunk, "knee bends": draw.Thigh | draw.Shank, "shin": draw.Shank, "heel": draw.Shoe, "heel lifts": draw.Shoe,
			}[l.Texts[0].Text]
			if s.Kind&draw.Limb != 0 && s.Kind&own == 0 {
				if run := overlap(s, l.Leader); run > 4.5 {
					found = append(found, fmt.Sprintf("the leader of %q runs %.1f px over a %s of kind %d", l.Texts[0].Text, run, s.Class, s.Kind))
				}
			}
		}
	}
	return found
}

// overlap is the length of a polyline inside a closed shape, px.
func overlap(s *draw.Shape, l []Point) float64 {
	const step = 0.5
	run := 0.0
	for i := range len(l) - 1 {
		n := int(l[i+1].Sub(l[i]).Norm()/step) + 1
		for k := range n {
			p := l[i].Toward(l[i+1], (float64(k)+0.5)/float64(n))
			for _, o := range s.Lines {
				if winding(o, p) != 0 {
					run += step
					break
				}
			}
		}
	}
	return run
}

// pushed is the drawing with one of its labels moved to a place.
func pushed(d *draw.Drawing, label int, to Point) *draw.Drawing {
	c := *d
	c.Labels = append([]draw.Label(nil), d.Labels...)
	l := &c.Labels[label]
	b := typeBox(l.Texts[len(l.Texts)-1])
	shift := to.Sub(Point{X: b.X + b.W/2, Y: b.Y + b.H/2})
	l.Texts = append([]draw.Text(nil), l.Texts...)
	for i := range l.Texts {
		l.Texts[i].At = l.Texts[i].At.Add(shift)
	}
	return &c
}

// middleOf is the middle of the first shape of a kind.
func middleOf(t testing.TB, d *draw.Drawing, kind draw.Kind) Point {
	t.Helper()
	for i := range d.Shapes {
		if d.Shapes[i].Kind&kind != 0 {
			b := plane.Around(d.Shapes[i].Lines[0])
			return Point{X: b.X + b.W/2, Y: b.Y + b.H/2}
		}
	}
	t.Fatalf("no shape of kind %d", kind)
	return Point{}
}

// checkClear fails for every fault, and when the check finds none after each
// label in turn has been pushed onto a shape of each kind, onto another label
// and over the edge.
func checkClear(t *testing.T, name string, d *draw.Drawing, onto ...draw.Kind) {
	t.Helper()
	for _, f := range append(faultsOf(d, every), leaderFaults(d)...) {
		t.Errorf("%s: %s", name, f)
	}
	for i := range d.Labels {
		for _, kind := range onto {
			if len(faultsOf(pushed(d, i, middleOf(t, d, kind)), i)) == 0 {
				t.Errorf("%s: the check does not see label %d on a shape of kind %d", name, i, kind)
			}
		}
		if len(faultsOf(pushed(d, i, Point{X: d.Width, Y: d.Height / 2}), i)) == 0 {
			t.Errorf("%s: the check does not see label %d over the edge", name, i)
		}
		other := typeBox(d.Labels[(i+1)%len(d.Labels)].Texts[0])
		if len(d.Labels) > 1 && len(faultsOf(pushed(d, i, Point{X: other.X + other.W/2, Y: other.Y + other.H/2}), i)) == 0 {
			t.Errorf("%s: the check does not see label %d on another", name, i)
		}
	}
}
