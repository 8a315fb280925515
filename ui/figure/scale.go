package figure

import (
	"fmt"
	"math"

	"thole/ui/figure/draw"
	"thole/ui/figure/plane"
)

// Reach is the reach of a body at one end of the stroke as a graduated scale.
// All angles are in degrees from square, positive.
type Reach struct {
	ID    string
	Width float64 // px
	End   string  // "catch" or "finish": the scale of the catch grows to the left, as on a boat with the bow left

	Target     *float64 // nil where there is none
	Likely     float64
	LikelySD   float64
	Capacity   float64 // where the body's reach ends
	CapacitySD float64
	NoCapacity bool // leave the end of the reach out
}

// Places of the scale, px from the top of its axis; our judgement.
const (
	scaleMargin = 10
	barHeight   = 12
	shortTick   = 4
	longTick    = 8
	reachRow    = 17 // of type above the axis
	leastSpan   = 16 // degrees on the scale
	leastSpare  = 3  // degrees beyond the outermost marks
	mostSpare   = 20
)

// reachScale is a scale on its drawing.
type reachScale struct {
	*Reach
	*draw.Drawing
	low, high float64
	axis      float64
	size      float64 // of the type, px
}

// Draw draws the scale. Its texts stand in rows over it, each on a leader to
// its mark, so that nothing rests on colour.
func (r *Reach) Draw() *draw.Drawing {
	r.check()
	s := r.widened(draw.TermSize)
	if s.Caption != "" {
		s = r.widened(draw.SmallTermSize)
	}
	s.Title, s.Desc = r.words()
	return s.Drawing
}

// widened is the narrowest scale whose texts all find room. It grows by the
// sum of both sides, so that no side is longer than it must be.
func (r *Reach) widened(size float64) *reachScale {
	first := r.layout(leastSpare, leastSpare, size)
	if first.Caption == "" {
		return first
	}
	for sum := 2 * leastSpare; sum <= 2*mostSpare; sum++ {
		for low := max(leastSpare, sum-mostSpare); low <= min(mostSpare, sum-leastSpare); low++ {
			if s := r.layout(float64(low), float64(sum-low), size); s.Caption == "" {
				return s
			}
		}
	}
	return first
}

// layout draws the scale with spare degrees beyond the outermost marks.
func (r *Reach) layout(low, high, size float64) *reachScale {
	s := &reachScale{Reach: r, size: size, Drawing: &draw.Drawing{ID: r.ID, Class: "fig-reach", Width: r.Width}}
	s.span(low, high)
	s.axis = 9 + 3*reachRow + barHeight
	s.Height = s.axis + longTick + 22
	s.drawBar()
	s.drawTicks()
	s.drawTexts()
	return s
}

func (r *Reach) check() {
	plane.Finite("an angle of the reach", r.Width, r.Likely, r.LikelySD, r.Capacity, r.CapacitySD)
	if r.Target != nil {
		plane.Finite("the target", *r.Target)
	}
	if r.Width <= 0 {
		panic("figure: a scale needs a width")
	}
}

// span is the stretch of the scale: whole degrees around all marks.
func (s *reachScale) span(below, above float64) {
	marks := []float64{s.Likely - s.LikelySD, s.Likely + s.LikelySD}
	if !s.NoCapacity {
		marks = append(marks, s.Capacity)
	}
	if s.Target != nil {
		marks = append(marks, *s.Target)
	}
	s.low, s.high = marks[0], marks[0]
	for _, m := range marks {
		s.low, s.high = min(s.low, m), max(s.high, m)
	}
	s.low, s.high = math.Floor(s.low)-below, math.Ceil(s.high)+above
	if short := leastSpan - (s.high - s.low); short > 0 {
		s.low, s.high = s.low-math.Ceil(short/2), s.high+math.Floor(short/2)
	}
}

// x is the place of an angle.
func (s *reachScale) x(angle float64) float64 {
	t := (angle - s.low) / (s.high - s.low)
	if s.End == "catch" {
		t = 1 - t
	}
	return scaleMargin + t*(s.Drawing.Width-2*scaleMargin)
}

// bar is the box between two angles on the axis.
func (s *reachScale) bar(from, to, height float64) Box {
	a, b := s.x(from), s.x(to)
	return Box{X: min(a, b), Y: s.axis - height, W: math.Abs(b - a), H: height}
}

func (s *reachScale) drawBar() {
	if !s.NoCapacity {
		beyond := s.bar(s.Capacity, s.high, barHeight)
		s.Add(hatch("fig-beyond", draw.Hatching, beyond.Corners(), 5, 45))
	}
	s.Add(draw.Rectangle("fig-likely", draw.Mark, s.bar(s.Likely-s.LikelySD, s.Likely+s.LikelySD, barHeight)))
	x := s.x(s.Likely)
	s.Add(draw.Line("fig-middle", draw.Mark, Point{X: x, Y: s.axis - barHeight}, Point{X: x, Y: s.axis}))
	if !s.NoCapacity {
		x := s.x(s.Capacity)
		s.Add(draw.Line("fig-end", draw.Mark, Point{X: x, Y: s.axis - barHeight - 9}, Point{X: x, Y: s.axis}))
	}
}

// drawTicks draws a tick each degree and a figure at each fifth, or each tenth
// where the scale is long.
func (s *reachScale) drawTicks() {
	s.Add(draw.Line("fig-axis", draw.Mark, Point{X: scaleMargin, Y: s.axis}, Point{X: s.Drawing.Width - scaleMargin, Y: s.axis}))
	step := 5.0
	if (s.Drawing.Width-2*scaleMargin)/(s.high-s.low)*step < 44 {
		step = 10
	}
	for d := s.low; d <= s.high; d++ {
		x, length := s.x(d), float64(shortTick)
		if math.Mod(d, step) == 0 {
			length = longTick
			s.figure(x, d)
		}
		s.Add(draw.Line("fig-axis", draw.Mark, Point{X: x, Y: s.axis}, Point{X: x, Y: s.axis + length}))
	}
}

// figure writes an angle under its tick, unless it would touch the frame.
func (s *reachScale) figure(x, d float64) {
	b := draw.Block{Term: degrees(d), TermSize: s.size}
	left := x - b.Width()/2
	if left > 1 && left+b.Width() < s.Drawing.Width-1 {
		s.Labels = append(s.Labels, b.Set(left, s.axis+longTick+2, "middle"))
	}
}

// words of the three texts.
func (r *Reach) texts() (target, likely, end string) {
	if r.Target != nil {
		target = "target " + degrees(*r.Target)
	}
	likely = fmt.Sprintf("likely %s ± %s", whole(r.Likely), whole(r.LikelySD))
	if !r.NoCapacity {
		end = fmt.Sprintf("reach ends %s ± %s", whole(r.Capacity), whole(r.CapacitySD))
	}
	return target, likely, end
}

// drawTexts sets the target at its flag in the uppermost row, then the other
// two at their marks, as low as they have room.
func (s *reachScale) drawTexts() {
	target, likely, end := s.texts()
	if target != "" {
		s.drawFlag(target)
	}
	if end != "" && !s.at(end, s.x(s.Capacity), s.End == "catch") && !s.over(end, s.x(s.Capacity), s.End == "catch") {
		s.Tell(draw.Block{Term: end})
	}
	if !s.beside(likely) && !s.over(likely, s.x(s.Likely), s.End != "catch") {
		s.Tell(draw.Block{Term: likely})
	}
}

// flagHeight is how far the flag's pole stands above the axis, px; our judgement.
const flagHeight = barHeight + 3*reachRow + 1

func (s *reachScale) drawFlag(target string) {
	x := s.x(*s.Target)
	top := s.axis - flagHeight
	b := draw.Block{Value: target, ValueSize: s.size}
	left, anchor, out := x+15, "start", 11.0
	if left+b.Width() > s.Drawing.Width-4 {
		left, anchor, out = x-15-b.Width(), "end", -11
	}
	s.Add(draw.Line("fig-pole", draw.Mark, Point{X: x, Y: s.axis}, Point{X: x, Y: top}))
	s.Add(draw.Polygon("fig-flag", draw.Mark, Point{X: x, Y: top}, Point{X: x + out, Y: top + 4.5}, Point{X: x, Y: top + 9}))
	s.Labels = append(s.Labels, b.Set(left, top-3, anchor))
}

// beside sets the likely reach beside its box, on the side of shorter arcs.
func (s *reachScale) beside(words string) bool {
	return s.set(words, s.x(s.Likely-s.LikelySD), s.End != "catch", s.axis-2.5)
}

// at sets the end of the reach over the hatching, from its mark outwards.
func (s *reachScale) at(words string, x float64, toLeft bool) bool {
	return s.set(words, x, toLeft, s.axis-barHeight-3)
}

// set sets a text without a leader next to a mark, its foot at a height.
func (s *reachScale) set(words string, x float64, toLeft bool, foot float64) bool {
	b := draw.Block{Term: words, TermSize: s.size}
	left, anchor := x+6, "start"
	if toLeft {
		left, anchor = x-6-b.Width(), "end"
	}
	box := Box{X: left, Y: foot - b.Height(), W: b.Width(), H: b.Height()}
	if !s.clearOn(box, draw.Label{}) {
		return false
	}
	s.Labels = append(s.Labels, b.Set(box.X, box.Y, anchor))
	return true
}

// over sets a text over the bar in the first clear place, on a leader straight
// down to its mark.
func (s *reachScale) over(words string, x float64, toLeft bool) bool {
	b := draw.Block{Term: words, TermSize: s.size}
	for row := range 3 {
		top := s.axis - barHeight - 2 - float64(row+1)*reachRow
		for _, left := range sides(x, b.Width(), toLeft) {
			box := Box{X: left, Y: top, W: b.Width(), H: b.Height()}
			if l := s.lead(b, box, x); s.clearOn(box, l) {
				s.Labels = append(s.Labels, l)
				return true
			}
		}
	}
	return false
}

// sides are the left edges to try: flush with the mark on one side, on the
// other, over it.
func sides(x, width float64, toLeft bool) []float64 {
	left, right, middle := x+3-width, x-3, x-width/2
	if toLeft {
		return []float64{left, right, middle}
	}
	return []float64{right, left, middle}
}

// lead is the label with a leader down to its mark.
func (s *reachScale) lead(b draw.Block, box Box, x float64) draw.Label {
	anchor := "middle"
	if x <= box.X+0.25*box.W {
		anchor = "start"
	} else if x >= box.Right()-0.25*box.W {
		anchor = "end"
	}
	l := b.Set(box.X, box.Y, anchor)
	l.Leader, l.Plain = []Point{{X: x, Y: box.Bottom()}, {X: x, Y: s.axis - barHeight}}, true
	return l
}

// clearOn reports whether a box and its leader keep clear of what is drawn.
func (s *reachScale) clearOn(box Box, l draw.Label) bool {
	grown := box.Grown(2)
	if box.X < 3 || box.Right() > s.Drawing.Width-3 {
		return false
	}
	for i := range s.Shapes {
		if s.Shapes[i].Meets(grown) {
			return false
		}
	}
	for i := range s.Labels {
		o := &s.Labels[i]
		if o.Box.Meets(grown) || plane.LineMeetsBox(o.Leader, grown) || plane.LineMeetsBox(l.Leader, o.Box) || len(o.Leader) > 0 && plane.LinesMeet(o.Leader, l.Leader) {
			return false
		}
	}
	return true
}

func (r *Reach) words() (title, desc string) {
	target, likely, end := r.texts()
	desc = "Scale in degrees: " + likely
	for _, part := range []string{end, target} {
		if part != "" {
			desc += ", " + part
		}
	}
	return "The reach at the " + r.End, desc + "."
}
