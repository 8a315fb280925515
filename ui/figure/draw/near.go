package draw

import (
	"math"

	"thole/ui/figure/plane"
)

// clearance is what a label keeps from the shapes around it, px; our judgement.
const clearance = 3

// Clear reports whether a box meets no shape, no label and no mark of a drawing
// and lies within its frame.
func (d *Drawing) Clear(b plane.Box) bool {
	inner := d.Box().Grown(-2)
	if b.X < inner.X || b.Right() > inner.Right() || b.Y < inner.Y || b.Bottom() > inner.Bottom() {
		return false
	}
	grown := b.Grown(clearance)
	for i := range d.Labels {
		if d.Labels[i].Box.Meets(grown) || plane.LineMeetsBox(d.Labels[i].Leader, grown) {
			return false
		}
	}
	for i := range d.Shapes {
		if d.Shapes[i].Meets(grown) {
			return false
		}
	}
	return true
}

// Meets reports whether a shape touches a box.
func (s *Shape) Meets(b plane.Box) bool {
	for _, l := range s.Lines {
		around := plane.Around(l).Grown(0.5)
		if !around.Meets(b) {
			continue
		}
		if plane.LineMeetsBox(l, b) {
			return true
		}
		if s.Closed && (plane.SegmentMeetsBox(l[len(l)-1], l[0], b) || plane.Inside(l, plane.Point{X: b.X, Y: b.Y})) {
			return true
		}
	}
	return false
}

// Spot is a place a label is looked for around.
type Spot struct {
	At     plane.Point
	Prefer float64 // direction, degrees
	Leader bool
	First  float64 // least distance, px
	// Outline is what the leader ends at; nil where it ends in a dot.
	Outline []plane.Point
}

// Costs of a place: a pixel of distance is one, turning away from the
// preferred direction costs by the degree; our judgement.
const turnCost = 0.35

// Put sets a block at the cheapest clear place around a spot; where there is
// none the block goes into the caption.
func (d *Drawing) Put(b Block, s Spot) {
	best, cost := plane.Box{}, math.Inf(1)
	for turn := 0.0; turn <= 180; turn += 15 {
		for _, sign := range []float64{1, -1} {
			dir := plane.Direction(s.Prefer + sign*turn)
			for dist := s.First; dist <= 64; dist += 4 {
				c := dist + turnCost*turn
				if c >= cost {
					break
				}
				if box := b.around(s.At, dir, dist); d.Clear(box) && d.leaderClear(box, s) {
					best, cost = box, c
				}
			}
		}
	}
	if math.IsInf(cost, 1) {
		d.Tell(b)
		return
	}
	l := b.Set(best.X, best.Y, flushTo(best, s.At))
	if s.Leader {
		l.Leader = []plane.Point{nearest(best, s.At), s.At}
		l.stopAt(s.Outline)
	}
	d.Labels = append(d.Labels, l)
}

// stopAt ends the leader where it meets an outline.
func (l *Label) stopAt(outline []plane.Point) {
	if outline == nil {
		return
	}
	from, to := l.Leader[0], l.Leader[1]
	l.Plain = true
	for t := 0.0; t < 1; t += 0.02 {
		if p := from.Toward(to, t); plane.Inside(outline, p) {
			l.Leader[1] = p
			return
		}
	}
}

// leaderClear reports whether the leader of a box crosses no other label.
func (d *Drawing) leaderClear(box plane.Box, s Spot) bool {
	if !s.Leader {
		return true
	}
	way := []plane.Point{nearest(box, s.At), s.At}
	for i := range d.Labels {
		if plane.LineMeetsBox(way, d.Labels[i].Box.Grown(1)) || plane.LinesMeet(way, d.Labels[i].Leader) {
			return false
		}
	}
	return true
}

// Tell adds a block to the caption.
func (d *Drawing) Tell(b Block) {
	if d.Caption != "" {
		d.Caption += " "
	}
	d.Caption += b.Term
	if b.Value != "" {
		d.Caption += " " + b.Value
	}
	d.Caption += "."
}

// around is the block's box dist beyond a point in a direction.
func (b *Block) around(at, dir plane.Point, dist float64) plane.Box {
	w, h := b.Width(), b.Height()
	c := at.Add(dir.Times(dist)).Add(plane.Point{X: dir.X * w / 2, Y: dir.Y * h / 2})
	return plane.Box{X: c.X - w/2, Y: c.Y - h/2, W: w, H: h}
}

// nearest is the point of a box nearest to p; on the side of a tall block the
// leader arrives at its middle.
func nearest(b plane.Box, p plane.Point) plane.Point {
	q := plane.Point{X: min(max(p.X, b.X), b.Right()), Y: min(max(p.Y, b.Y), b.Bottom())}
	if q.X == b.X || q.X == b.Right() {
		q.Y = min(max(p.Y, b.Y+b.H*0.3), b.Y+b.H*0.7)
	}
	return q
}

// flushTo is the side of a box that faces a point.
func flushTo(b plane.Box, p plane.Point) string {
	switch {
	case p.X >= b.Right()-0.2*b.W:
		return "end"
	case p.X <= b.X+0.2*b.W:
		return "start"
	}
	return "middle"
}
