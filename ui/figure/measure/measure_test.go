package measure_test

import (
	"strings"
	"testing"

	"thole/ui/figure/draw"
	"thole/ui/figure/measure"
	"thole/ui/figure/plane"
)

// TestLabelsStandClear: no label leaves its drawing, meets another label, or is
// struck through by a line or lies on a body; type has 12 px or more.
func TestLabelsStandClear(t *testing.T) {
	for _, key := range measure.Keys() {
		d := measure.Draw(key)
		if d.Title == "" || !strings.HasSuffix(d.Desc, ".") || len(d.Labels) == 0 {
			t.Errorf("%s: no title, description or label", key)
		}
		for i, l := range d.Labels {
			name := key + ", " + l.Texts[0].Text
			if l.Box.X < 0 || l.Box.Y < 0 || l.Box.Right() > d.Width || l.Box.Bottom() > d.Height {
				t.Errorf("%s leaves the drawing: %v", name, l.Box)
			}
			if l.Texts[0].Size < 12 {
				t.Errorf("%s: type of %g px", name, l.Texts[0].Size)
			}
			for k, other := range d.Labels {
				if k != i && l.Box.Meets(other.Box) {
					t.Errorf("%s meets %s", name, other.Texts[0].Text)
				}
				if len(other.Leader) > 0 && k != i && plane.LineMeetsBox(other.Leader, l.Box) {
					t.Errorf("%s is struck through by the leader of %s", name, other.Texts[0].Text)
				}
			}
			for _, s := range d.Shapes {
				if covers(s, l.Box) {
					t.Errorf("%s meets a shape %s", name, s.Class)
				}
			}
		}
	}
}

// covers reports whether a shape meets a box. On the plain surface of a hull a
// label may stand.
func covers(s draw.Shape, b plane.Box) bool {
	for _, line := range s.Lines {
		if s.Closed && s.Kind != draw.Hull && plane.Inside(line, plane.Point{X: b.X + b.W/2, Y: b.Y + b.H/2}) {
			return true
		}
		if s.Closed {
			line = append(append([]plane.Point(nil), line...), line[0])
		}
		if plane.LineMeetsBox(line, b) {
			return true
		}
	}
	return false
}

// TestDimensionsStandInTheFrame: nothing is cut off.
func TestDimensionsStandInTheFrame(t *testing.T) {
	for _, key := range measure.Keys() {
		d := measure.Draw(key)
		for _, s := range d.Shapes {
			for _, line := range s.Lines {
				b := plane.Around(line)
				if b.X < -0.01 || b.Y < -0.01 || b.Right() > d.Width+0.01 || b.Bottom() > d.Height+0.01 {
					t.Errorf("%s: %s is cut off: %v of %g × %g", key, s.Class, b, d.Width, d.Height)
				}
			}
		}
	}
}

// TestDrawingsAreApart: every drawing has an id of its own and differs.
func TestDrawingsAreApart(t *testing.T) {
	seen := map[string]bool{}
	for _, key := range measure.Keys() {
		d := measure.Draw(key)
		if seen[d.ID] || seen[string(d.HTML())] {
			t.Errorf("%s is drawn twice", key)
		}
		seen[d.ID], seen[string(d.HTML())] = true, true
	}
	defer func() {
		if recover() == nil {
			t.Error("a drawing that is none is drawn")
		}
	}()
	measure.Draw("no such measure")
}
