// Package arc draws the arc of a stroke with the force over it and the blade path below.
package arc

import (
	"cmp"
	"math"
	"slices"

	"thole/api/advice"
	"thole/api/strokes"
	"thole/ui/page"
	"thole/ui/plot"
)

// Figure is the arc with the force over it and the blade's path below, one
// drawing over one scale of angles.
type Figure struct {
	Box         plot.Box
	Name        string // sets the identifiers of its patterns apart
	Title       string
	Areas       []plot.Shape
	Lines       []plot.Shape
	Dots        []plot.Dot
	Words       []plot.Word
	Hatched     []plot.Shape
	x           plot.Scale
	force, path plot.Scale
}

// Size is how a drawing of the arc is laid out, px at the size shown.
type Size struct {
	name                string
	width               float64
	left, right         float64 // of the angles
	label               float64 // least way between two labels
	barTop, barHigh     float64
	forceTop, forceHigh float64
	pathHigh            float64
}

// Wide is for a desk, Narrow for a phone, Paper for a page that holds
// more than the drawing; our judgement of what reads well.
var (
	Paper  = Size{"paper", 710, 56, 690, 64, 60, 20, 118, 100, 70}
	Wide   = Size{"wide", 860, 66, 820, 68, 66, 22, 140, 260, 110}
	Narrow = Size{"narrow", 358, 52, 344, 58, 66, 20, 130, 190, 92}
)

// The sizes of the panels, px; our judgement of what reads well.
const (
	pathGap  = 42 // between force and path
	axisRoom = 44 // below the lowest panel
	leastRow = 20 // of a text between two lines
)

// New draws what a recording shows at a size; nil without an arc.
func New(f *advice.First, r *strokes.Recording, size Size) *Figure {
	if len(f.Arc) < 2 {
		return nil
	}
	reach, finish := f.Arc[0].AngleDeg, f.Arc[len(f.Arc)-1].AngleDeg
	a := &Figure{
		Name: size.name, Title: arcTitle(f),
		x: plot.Scale{Low: reach, High: finish, From: size.left, To: size.right},
	}
	bottom := size.forceTop + size.forceHigh
	a.drawForce(r, size)
	if len(r.Path) > 0 {
		a.drawPath(r, size, bottom+pathGap)
		bottom += pathGap + size.pathHigh
	}
	a.drawAxis(size, bottom)
	a.drawBar(f, size)
	a.drawMarks(f, r, size)
	a.Box = plot.Box{W: size.width, H: bottom + axisRoom}
	return a
}

// arcTitle returns the drawing in words.
func arcTitle(f *advice.First) string {
	text := "The arc:"
	for i, m := range f.Arc {
		if i > 0 {
			text += ","
		}
		text += " " + m.Name + " " + angleWords(m.AngleDeg)
	}
	return text + ". " + f.Idle
}

// angleWords writes an angle as people say it.
func angleWords(deg float64) string {
	if deg < 0 {
		return page.Fix(1, -deg) + "° before square"
	}
	return page.Fix(1, deg) + "° after square"
}

func (a *Figure) word(x, y float64, anchor, class, text string) {
	a.Words = append(a.Words, plot.Word{At: plot.Spot{X: x, Y: y}, Anchor: anchor, Class: class, Text: text})
}

func (a *Figure) line(class string, spots ...plot.Spot) {
	a.Lines = append(a.Lines, plot.Shape{Class: class, Path: plot.Trace(spots...)})
}

// markOf returns the angle of a mark; ok is false where it was not measured.
func markOf(f *advice.First, name string) (float64, bool) {
	for _, m := range f.Arc {
		if m.Name == name {
			return m.AngleDeg, true
		}
	}
	return 0, false
}

// drawForce draws the mean force with its band and scale.
func (a *Figure) drawForce(r *strokes.Recording, size Size) {
	c := &r.Oar.Curve
	low, high := plot.PlusMinus(c.AngleMean, c.AngleSD)
	top := plot.Extent([2]float64{0, 1}, high)[1]
	step := plot.RoundStep(top / 4)
	top = math.Ceil(top/step) * step
	floor := size.forceTop + size.forceHigh
	a.force = plot.Scale{Low: 0, High: top, From: floor, To: size.forceTop}
	for v := step; v <= top+step/2; v += step {
		y := a.force.At(v)
		a.line("grid", plot.Spot{X: size.left - 6, Y: y}, plot.Spot{X: size.right + 6, Y: y})
		a.word(size.left-12, y+5, "end", "tick", page.Fix(0, v))
	}
	a.word(size.left-12, floor+5, "end", "tick", "0")
	a.word(size.left-12, size.forceTop-10, "end", "tick", "N")
	angles := plot.Evenly(len(c.AngleMean), a.x.Low, a.x.High)
	var upper, lower, middle []plot.Spot
	for i := range angles {
		x := a.x.At(angles[i])
		at := func(v float64) plot.Spot { return plot.Spot{X: x, Y: a.force.At(min(max(v, 0), top))} }
		upper, lower, middle = append(upper, at(high[i])), append(lower, at(low[i])), append(middle, at(c.AngleMean[i]))
	}
	slices.Reverse(lower)
	a.Areas = append(a.Areas, plot.Shape{Class: "spread", Path: plot.Trace(append(upper, lower...)...) + "Z"})
	a.line("series s0", middle...)
	k := PeakOf(c.AngleMean)
	a.Dots = append(a.Dots, plot.Dot{At: middle[k], Class: "peak"})
	a.word(min(max(middle[k].X, size.left+80), size.right-80), middle[k].Y-12, "middle", "end strong", page.Fix(0, c.AngleMean[k])+" N at "+angleWords(angles[k]))
	a.line("floor", plot.Spot{X: size.left - 6, Y: floor}, plot.Spot{X: size.right + 6, Y: floor})
}

// drawBar draws the arc as a bar: idle, working, idle.
func (a *Figure) drawBar(f *advice.First, size Size) {
	holds, ok := markOf(f, "holds")
	release, _ := markOf(f, "release")
	if !ok || release <= holds {
		return
	}
	top, bottom := size.barTop, size.barTop+size.barHigh
	h, r := a.x.At(holds), a.x.At(release)
	a.Areas = append(a.Areas, plot.Shape{Class: "atwork", Path: plot.Rectangle(h, top, r, bottom)})
	for _, part := range [][2]float64{{size.left, h}, {r, size.right}} {
		a.Hatched = append(a.Hatched, plot.Shape{Class: "idle", Path: plot.Rectangle(part[0], top, part[1], bottom)},
			plot.Shape{Class: "idle under", Path: plot.Rectangle(part[0], size.forceTop, part[1], size.forceTop+size.forceHigh)})
	}
	a.word((h+r)/2, bottom-size.barHigh/2+5, "middle", "onbar", "works "+page.Fix(1, release-holds)+"°")
	a.word(size.left, bottom+18, "start", "end strong", "slip "+page.Fix(1, holds-a.x.Low)+"°")
	a.word(size.right, bottom+18, "end", "end strong", "slip "+page.Fix(1, a.x.High-release)+"°")
}

// drawMarks writes what happens where over the bar, each at the end of a
// leader, and dots where the curve holds and lets go.
func (a *Figure) drawMarks(f *advice.First, r *strokes.Recording, size Size) {
	var early, late []advice.ArcMark
	for _, m := range f.Arc {
		switch m.Name {
		case "reach", "touches", "covered", "holds":
			early = append(early, m)
		case "release", "out":
			late = append(late, m)
		}
	}
	byAngle := func(p, q advice.ArcMark) int { return cmp.Compare(p.AngleDeg, q.AngleDeg) }
	slices.SortStableFunc(early, byAngle)
	slices.SortStableFunc(late, byAngle)
	next := size.label / 2
	for _, m := range early {
		next = max(next, a.x.At(m.AngleDeg)-size.label)
		a.mark(m, next, size)
		next += size.label
	}
	next = size.width - size.label/2
	for _, m := range slices.Backward(late) {
		next = min(next, a.x.At(m.AngleDeg)+size.label)
		a.mark(m, next, size)
		next -= size.label
	}
	for _, name := range []string{"holds", "release"} {
		if angle, ok := markOf(f, name); ok {
			a.Dots = append(a.Dots, plot.Dot{At: plot.Spot{X: a.x.At(angle), Y: a.force.At(forceAt(r, angle))}, Class: "peak"})
		}
	}
}

// mark writes one mark with its leader down to the bar.
func (a *Figure) mark(m advice.ArcMark, x float64, size Size) {
	a.word(x, 18, "middle", "tick", m.Name)
	a.word(x, 37, "middle", "end strong", page.Fix(1, math.Abs(m.AngleDeg))+"°")
	at := a.x.At(m.AngleDeg)
	a.line("leader", plot.Spot{X: x, Y: 43}, plot.Spot{X: at, Y: size.barTop - 8}, plot.Spot{X: at, Y: size.barTop + size.barHigh})
}

// forceAt reads the mean curve at an angle.
func forceAt(r *strokes.Recording, deg float64) float64 {
	catch, finish := r.Oar.Features["catch_deg"].Mean, r.Oar.Features["finish_deg"].Mean
	c := r.Oar.Curve.AngleMean
	k := (deg - catch) / (finish - catch) * float64(len(c)-1)
	i := min(max(int(k), 0), len(c)-2)
	return c[i] + (k-float64(i))*(c[i+1]-c[i])
}

// drawPath draws the mean blade path below the force.
func (a *Figure) drawPath(r *strokes.Recording, size Size, top float64) {
	low, high := -5.0, 3.0
	for _, b := range r.Path {
		low, high = min(low, b.VerticalDeg-1), max(high, b.VerticalDeg+1)
	}
	floor := top + size.pathHigh
	a.path = plot.Scale{Low: low, High: high, From: floor, To: top}
	a.Areas = append(a.Areas, plot.Shape{Class: "underwater", Path: plot.Rectangle(size.left-6, a.path.At(0), size.right+6, floor)})
	for v := math.Ceil(low/5) * 5; v <= high; v += 5 {
		a.word(size.left-12, a.path.At(v)+5, "end", "tick", page.Fix(0, v)+"°")
	}
	covered := a.path.At(-3)
	a.line("waterline", plot.Spot{X: size.left - 6, Y: a.path.At(0)}, plot.Spot{X: size.right + 6, Y: a.path.At(0)})
	a.line("level", plot.Spot{X: size.left - 6, Y: covered}, plot.Spot{X: size.right + 6, Y: covered})
	spots := make([]plot.Spot, len(r.Path))
	for i, b := range r.Path {
		spots[i] = plot.Spot{X: a.x.At(min(max(b.AngleDeg, a.x.Low), a.x.High)), Y: a.path.At(b.VerticalDeg)}
	}
	half := len(spots) / 2
	a.line("series back", spots[half:]...)
	a.line("series s0", spots[:half]...)
	a.line("floor", plot.Spot{X: size.left - 6, Y: floor}, plot.Spot{X: size.right + 6, Y: floor})
	middle := (size.left + size.right) / 2
	beside := covered - 5
	if covered-a.path.At(0) < leastRow {
		beside = covered + 15
	}
	a.word(middle, beside, "middle", "end", "covered below −3°")
	a.word(middle, spots[half+half/2].Y-7, "middle", "end", "recovery")
	a.word(size.left+(size.right-size.left)/4, spots[half/3].Y-6, "start", "end", "drive")
}

// drawAxis writes the angles below the lowest panel, with square through all.
func (a *Figure) drawAxis(size Size, bottom float64) {
	step := 20.0
	for v := math.Ceil(a.x.Low/step) * step; v <= a.x.High; v += step {
		text := page.Fix(0, math.Abs(v)) + "°"
		if v == 0 {
			text = "square"
			a.line("square", plot.Spot{X: a.x.At(0), Y: size.forceTop}, plot.Spot{X: a.x.At(0), Y: bottom})
		}
		a.line("floor", plot.Spot{X: a.x.At(v), Y: bottom}, plot.Spot{X: a.x.At(v), Y: bottom + 5})
		a.word(a.x.At(v), bottom+19, "middle", "tick", text)
	}
	a.word(size.left, bottom+38, "start", "tick", "catch")
	a.word(size.right, bottom+38, "end", "tick", "finish")
}

// PeakOf is the place of the largest value.
func PeakOf(values []float64) int {
	k := 0
	for i, v := range values {
		if v > values[k] {
			k = i
		}
	}
	return k
}
