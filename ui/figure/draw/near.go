package figure

import (
	"math"

	"thole/ui/figure/plane"
)

// clearance is what a label keeps from the shapes around it, px; our judgement.
const clearance = 3

// clear reports whether a box meets no shape, no label and no mark of a drawing
// and lies within its frame.
func (d *Drawing) clear(b Box) bool {
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
		if d.Shapes[i].meets(grown) {
			return false
		}
	}
	return true
}

// meets reports whether a shape touches a box.
func (s *Shape) meets(b Box) bool {
	for _, l := range s.Lines {
		around := plane.Around(l).Grown(0.5)
		if !around.Meets(b) {
			continue
		}
		if plane.LineMeetsBox(l, b) {
			return true
		}
		if s.Closed && (plane.SegmentMeetsBox(l[len(l)-1], l[0], b) || plane.Inside(l, Point{X: b.X, Y: b.Y})) {
			return true
		}
	}
	return false
}

// spot is a place a label is looked for around.
type spot struct {
	at     Point
	prefer float64 // direction, degrees
	leader bool
	first  float64 // least distance, px
	// outline is what the leader ends at; nil where it ends in a dot.
	outline []Point
}

// Costs of a place: a pixel of distance is one, turning away from the
// preferred direction costs by the degree; our judgement.
const turnCost = 0.35

// put sets a block at the cheapest clear place around a spot; where there is
// none the block goes into the caption.
func (d *Drawing) put(b block, s spot) {
	best, cost := Box{}, math.Inf(1)
	for turn := 0.0; turn <= 180; turn += 15 {
		for _, sign := range []float64{1, -1} {
			dir := plane.Direction(s.prefer + sign*turn)
			for dist := s.first; dist <= 64; dist += 4 {
				c := dist + turnCost*turn
				if c >= cost {
					break
				}
				if box := b.around(s.at, dir, dist); d.clear(box) && d.leaderClear(box, s) {
					best, cost = box, c
				}
			}
		}
	}
	if math.IsInf(cost, 1) {
		d.tell(b)
		return
	}
	l := b.set(best.X, best.Y, flushTo(best, s.at))
	if s.leader {
		l.Leader = []Point{nearest(best, s.at), s.at}
		l.stopAt(s.outline)
	}
	d.Labels = append(d.Labels, l)
}

// stopAt ends the leader where it meets an outline.
func (l *Label) stopAt(outline []Point) {
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
func (d *Drawing) leaderClear(box Box, s spot) bool {
	if !s.leader {
		return true
	}
	way := []Point{nearest(box, s.at), s.at}
	for i := range d.Labels {
		if plane.LineMeetsBox(way, d.Labels[i].Box.Grown(1)) || linesMeet(way, d.Labels[i].Leader) {
			return false
		}
	}
	return true
}

// tell adds a block to the caption.
func (d *Drawing) tell(b block) {
	if d.Caption != "" {
		d.Caption += " "
	}
	d.Caption += b.term
	if b.value != "" {
		d.Caption += " " + b.value
	}
	d.Caption += "."
}

// around is the block's box dist beyond a point in a direction.
func (b *block) around(at, dir Point, dist float64) Box {
	w, h := b.width(), b.height()
	c := at.Add(dir.Times(dist)).Add(Point{X: dir.X * w / 2, Y: dir.Y * h / 2})
	return Box{X: c.X - w/2, Y: c.Y - h/2, W: w, H: h}
}

// nearest is the point of a box nearest to p; on the side of a tall block the
// leader arrives at its middle.
func nearest(b Box, p Point) Point {
	q := Point{X: min(max(p.X, b.X), b.Right()), Y: min(max(p.Y, b.Y), b.Bottom())}
	if q.X == b.X || q.X == b.Right() {
		q.Y = min(max(p.Y, b.Y+b.H*0.3), b.Y+b.H*0.7)
	}
	return q
}

// flushTo is the side of a box that faces a point.
func flushTo(b Box, p Point) string {
	switch {
	case p.X >= b.Right()-0.2*b.W:
		return "end"
	case p.X <= b.X+0.2*b.W:
		return "start"
	}
	return "middle"
}
