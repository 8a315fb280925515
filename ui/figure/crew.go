package figure

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"thole/ui/figure/draw"
	"thole/ui/figure/letters"
	"thole/ui/figure/plane"
)

// CrewSeat is one seat of a crew.
type CrewSeat struct {
	Sides  []BoatSide // one in sweep, two in sculling; none for the cox
	Family string     // "Mensah-Bright"; empty for an open seat
	Given  string     // initials, "K."
	Note   string     // "90 kg", "71 kg · stroke"
}

// Crew is a crew from above with its oars square, names beside the seats,
// seats counted from the bow. A name too long for its place is shortened; the
// description always has it whole. Lying it wants 868 px or more.
type Crew struct {
	ID    string
	Width float64 // px
	Lying bool    // bow to the left and to scale both ways; else bow up and to scale across

	HullLength, HullBeam   float64 // m, overall
	PinOut                 float64 // centreline to pin, m
	Outer                  float64 // pin to the blade's tip, m
	HandleEnd              float64 // pin to the handle's end, m
	BladeLength, BladeWide float64 // m
	Seats                  []CrewSeat
	Cox                    *CrewSeat // nil where there is none; without a name it has no label

	Title   string // "The crew from above" where it is empty
	Unnamed bool   // a boat without its crew: seats have a number and a side only
	Here    int    // number of the seat to mark, 0 for none
}

// Sizes of the upright drawing, px; our judgement.
const (
	sweepRow, scullRow = 48, 64
	crewEnd            = 74 // from the last seat to the end of the hull
	crewMargin         = 8
	mostUpright        = 62 // px/m, so that handles do not reach the names
	nameSize           = 16
	noteSize           = 14
	nameGap            = 12
)

// crewLayout is a crew on its drawing.
type crewLayout struct {
	*Crew
	*draw.Drawing
	across float64 // px/m
	middle float64 // of the hull, px across
	seats  []float64
	cox    float64
	bow    float64
	stern  float64
}

// Draw draws the crew.
func (c *Crew) Draw() *draw.Drawing {
	c.check()
	l := &crewLayout{Crew: c, Drawing: &draw.Drawing{ID: c.ID, Class: "fig-crew", Width: c.Width}}
	if c.Lying {
		l.fitLying()
	} else {
		l.fitUpright()
	}
	l.drawHull()
	for i := range c.Seats {
		l.drawSeat(i)
	}
	l.drawCox()
	l.drawNames()
	l.Drawing.Title, l.Drawing.Desc = c.words()
	return l.Drawing
}

func (c *Crew) check() {
	plane.Finite("a measure of the crew from above", c.Width, c.HullLength, c.HullBeam, c.PinOut, c.Outer, c.HandleEnd, c.BladeLength, c.BladeWide)
	if len(c.Seats) == 0 || c.Width <= 0 || c.HullLength <= 0 {
		panic("figure: a crew from above needs seats, a hull and a width")
	}
}

func (c *Crew) sculls() bool { return len(c.Seats[0].Sides) == 2 }

// fitUpright gives each seat a row.
func (l *crewLayout) fitUpright() {
	l.across = min(mostUpright, (l.Drawing.Width/2-crewMargin)/(l.PinOut+l.Outer))
	l.middle = l.Drawing.Width / 2
	row, y := float64(sweepRow), 10.0+crewEnd
	if l.sculls() {
		row = scullRow
	}
	l.bow = 10
	for range l.Seats {
		l.seats = append(l.seats, y)
		y += row
	}
	if l.Cox != nil {
		l.cox = y
		y += row
	}
	l.stern = y - row + crewEnd
	l.Drawing.Height = math.Ceil(l.stern + 10)
}

// mostLying keeps a short boat lying lower than half a screen, px/m; our judgement.
const mostLying = 58

// fitLying keeps the scale both ways; names of scullers stand under the port
// blades in two rows.
func (l *crewLayout) fitLying() {
	const ends = 22
	l.across = min(mostLying, (l.Drawing.Width-2*ends)/l.HullLength)
	l.bow = (l.Drawing.Width - l.across*l.HullLength) / 2
	l.stern = l.bow + l.across*l.HullLength
	l.middle = crewMargin + l.across*(l.PinOut+l.Outer)
	for i := range l.Seats {
		l.seats = append(l.seats, l.bow+l.across*pinsFromBow(l.HullLength, len(l.Seats), i+1, l.Cox != nil))
	}
	l.cox = l.seats[len(l.seats)-1] + l.across*seatPitch*0.95
	l.Drawing.Height = math.Ceil(2 * l.middle)
	if l.sculls() && !l.Unnamed {
		l.Drawing.Height += float64(min(2, len(l.Seats)))*(nameHeight()+8) + 4
	}
}

// at is a place along the drawing, px, and across it, m towards starboard.
func (l *crewLayout) at(along, across float64) Point {
	if l.Lying {
		return Point{X: along, Y: l.middle - l.across*across}
	}
	return Point{X: l.middle + l.across*across, Y: along}
}

func (l *crewLayout) drawHull() {
	h := hull{1, l.HullBeam, len(l.Seats) >= 4}
	const steps = 60
	var port, star []Point
	for i := range steps + 1 {
		t := float64(i) / steps
		along := l.bow + (l.stern-l.bow)*t
		star = append(star, l.at(along, h.half(t)))
		port = append([]Point{l.at(along, -h.half(t))}, port...)
	}
	l.Add(draw.Polygon("fig-boat", draw.Hull, append(star, port...)...))
	l.Add(draw.Ring(l.at(l.bow, 0), 3.8).As("fig-ball", draw.Hull))
}

func (l *crewLayout) drawSeat(i int) {
	y := l.seats[i]
	for _, side := range l.Seats[i].Sides {
		l.drawOar(y, side)
	}
	number, text := "fig-number", "fig-value"
	if i+1 == l.Here {
		number, text = "fig-number fig-here", "fig-value fig-onhere"
	}
	l.Add(draw.Ring(l.at(y, 0), 11).As(number, draw.Seat))
	l.mark(l.at(y, 0), text, strconv.Itoa(i+1))
}

func (l *crewLayout) mark(at Point, class, text string) {
	l.Marks = append(l.Marks, draw.Text{Class: class, At: at.Add(Point{X: 0, Y: 5}), Anchor: "middle", Text: text, Size: 14, Bold: true})
}

func (l *crewLayout) drawOar(y float64, side BoatSide) {
	at := func(out float64) Point { return l.at(y, float64(side)*out) }
	foot := 0.34 * l.across
	if !l.Lying {
		foot = 15
	}
	edge := float64(side) * l.HullBeam / 2 * 0.96
	l.Add(draw.Line("fig-rigger", draw.Gate, l.at(y-foot, edge), at(l.PinOut), l.at(y+foot, edge)))
	l.Add(draw.Line("fig-shaft "+side.class(), draw.Oar, at(l.PinOut-l.HandleEnd), at(l.PinOut+l.Outer-l.BladeLength)))
	out := at(0).Unit(at(1))
	blade := bladeOutline(at(l.PinOut+l.Outer), out, l.BladeLength*l.across, max(8, l.BladeWide*l.across))
	l.Add(draw.Polygon("fig-blade fig-at-catch "+side.class(), draw.Oar, blade...))
	side.mark(l.Drawing, at(l.PinOut))
}

func (l *crewLayout) drawCox() {
	if l.Cox == nil {
		return
	}
	at := l.at(l.cox, 0)
	l.Add(draw.Rectangle("fig-number", draw.Seat, Box{X: at.X - 10, Y: at.Y - 10, W: 20, H: 20}))
	l.mark(at, "fig-value", "C")
}

// nameHeight is the height of a name over a note.
func nameHeight() float64 { return draw.LineHeight * (nameSize + noteSize) }

// named is a name over a note, in type that fits a width: at 16 px, at 14 px,
// with the initial, or the last word of a whole name, in the second line, at 12 px, and shortened at last.
func named(s *CrewSeat, width float64, split bool) draw.Block {
	full, second := s.Family, s.Note
	if s.Given != "" && !split {
		full += ", " + s.Given
	}
	if split {
		second = joined(s.Given, s.Note)
	}
	if full == "" {
		full = "open"
	}
	size, fits := fittingSize(full, true, width, nameSize, noteSize)
	if !fits && !split {
		return named(s, width, true)
	}
	if cut := strings.LastIndexByte(full, ' '); !fits && s.Given == "" && cut > 0 {
		return named(&CrewSeat{Family: full[:cut], Given: full[cut+1:], Note: s.Note}, width, true)
	}
	if !fits {
		size, _ = fittingSize(full, true, width, draw.SmallTermSize)
	}
	note, _ := fittingSize(second, false, width, noteSize, draw.SmallTermSize)
	return draw.Block{
		Term: letters.Fitted(second, note, false, width), TermSize: note,
		Value: letters.Fitted(full, size, true, width), ValueSize: size,
	}
}

// fittingSize is the first size at which text fits a width, else the last.
func fittingSize(text string, bold bool, width float64, sizes ...float64) (size float64, fits bool) {
	for _, size = range sizes {
		if letters.Width(text, size, bold) <= width {
			return size, true
		}
	}
	return size, false
}

func joined(a, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + " · " + b
}

// setName sets a name over its note.
func (l *crewLayout) setName(b draw.Block, left, top float64, anchor string) {
	name := draw.Block{Value: b.Value, ValueSize: b.ValueSize}
	note := draw.Block{Term: b.Term, TermSize: b.TermSize}
	width := b.Width()
	x := map[string]float64{"start": left, "middle": left + width/2, "end": left + width}[anchor]
	label := draw.Label{Box: Box{X: left, Y: top, W: width, H: b.Height()}}
	for _, line := range []struct {
		b   draw.Block
		top float64
	}{{name, top}, {note, top + name.Height()}} {
		for _, t := range line.b.Set(left, line.top, anchor).Texts {
			t.At.X = x
			label.Texts = append(label.Texts, t)
		}
	}
	l.Labels = append(l.Labels, label)
}

func (l *crewLayout) drawNames() {
	if !l.Unnamed {
		l.nameSeats()
	}
	l.nameEnds()
}

func (l *crewLayout) nameSeats() {
	for i := range l.Seats {
		switch {
		case l.Lying && l.sculls():
			l.nameUnder(i)
		case l.Lying:
			l.nameBeside(&l.Seats[i], l.seats[i], -l.Seats[i].Sides[0])
		default:
			l.nameUpright(&l.Seats[i], l.seats[i])
		}
	}
	if l.Cox != nil && l.Cox.Family != "" {
		side := l.Seats[len(l.Seats)-1].Sides[0]
		if l.Lying {
			l.nameBeside(l.Cox, l.cox, side)
		} else {
			l.nameRow(l.Cox, l.cox, Starboard, l.HullBeam/2*l.across+nameGap)
		}
	}
}

// nameUpright sets a name on the side that the oar leaves free; a sculler's
// under the starboard oar.
func (l *crewLayout) nameUpright(s *CrewSeat, y float64) {
	if len(s.Sides) == 2 {
		l.nameRow(s, y+scullRow/2, Starboard, l.HullBeam/2*l.across+nameGap)
		return
	}
	l.nameRow(s, y, -s.Sides[0], max(12, l.HullBeam/2*l.across)+nameGap)
}

// nameRow sets a name at a height, from px off the centreline to the frame.
func (l *crewLayout) nameRow(s *CrewSeat, y float64, side BoatSide, from float64) {
	b := named(s, l.Drawing.Width/2-from-crewMargin, false)
	top := y - b.Height()/2
	if side == Starboard {
		l.setName(b, l.middle+from, top, "start")
		return
	}
	l.setName(b, l.middle-from-b.Width(), top, "end")
}

// nameBeside sets a name beside the hull of a lying boat, in the first row
// that is clear.
func (l *crewLayout) nameBeside(s *CrewSeat, x float64, side BoatSide) {
	b := named(s, l.roomBeside(x, side), true)
	off := l.HullBeam/2*l.across + 8
	for row := range 4 {
		top := l.middle + off + float64(row)*(nameHeight()+rowGap)
		if side == Starboard {
			top = l.middle - off - b.Height() - float64(row)*(nameHeight()+rowGap)
		}
		left := min(max(x-b.Width()/2, crewMargin), l.Drawing.Width-crewMargin-b.Width())
		if l.Clear(Box{X: left, Y: top, W: b.Width(), H: b.Height()}) {
			l.setName(b, left, top, "middle")
			return
		}
	}
	l.Tell(draw.Block{Term: s.Family})
}

// roomBeside is the width a name has between the oars of a side.
func (l *crewLayout) roomBeside(x float64, side BoatSide) float64 {
	const most, off = 240, 13
	room := min(most, 2*(x-crewMargin), 2*(l.Drawing.Width-crewMargin-x))
	for i, s := range l.Seats {
		if s.Sides[0] == side {
			room = min(room, 2*(math.Abs(x-l.seats[i])-off))
		}
	}
	return max(room, 20)
}

// nameUnder sets a sculler's name under the port blades, in turn in one of two
// rows, the farther on a leader.
func (l *crewLayout) nameUnder(i int) {
	pitch := seatPitch * l.across
	b := named(&l.Seats[i], min(1.9*pitch, l.Drawing.Width/2), true)
	tip := l.at(l.seats[i], -(l.PinOut + l.Outer))
	top := tip.Y + 8
	if i%2 == 1 {
		top += nameHeight() + 8
	}
	left := min(max(tip.X-b.Width()/2, crewMargin), l.Drawing.Width-crewMargin-b.Width())
	l.setName(b, left, top, "middle")
	if i%2 == 1 {
		label := &l.Labels[len(l.Labels)-1]
		label.Leader, label.Plain = []Point{{X: tip.X, Y: top}, tip}, true
	}
}

// nameEnds writes bow and stern beside the ends of the hull.
func (l *crewLayout) nameEnds() {
	away := 0.0
	if l.Lying {
		away = 90
	}
	l.Put(draw.Block{Term: "bow", TermSize: draw.TermSize}, draw.Spot{At: l.at(l.bow, 0), Prefer: away, First: 12})
	l.Put(draw.Block{Term: "stern", TermSize: draw.TermSize}, draw.Spot{At: l.at(l.stern, 0), Prefer: away, First: 12})
}

func (c *Crew) words() (title, desc string) {
	for i := range c.Seats {
		s := &c.Seats[i]
		side := "both"
		if len(s.Sides) == 1 {
			side = s.Sides[0].String()
		}
		desc += fmt.Sprintf("%d, %s%s. ", i+1, side, c.nameWords(s))
	}
	if c.Cox != nil {
		desc += strings.TrimSuffix("Cox: "+joinedName(c.Cox), ": ") + ". "
	}
	if c.Here > 0 {
		desc += fmt.Sprintf("Seat %d is marked. ", c.Here)
	}
	where := "at the top, to scale across"
	if c.Lying {
		where = "to the left, to scale"
	}
	return or(c.Title, "The crew from above"), desc + "Bow " + where + "."
}

// nameWords is what the description says after a seat.
func (c *Crew) nameWords(s *CrewSeat) string {
	if c.Unnamed {
		return ""
	}
	return ": " + or(joinedName(s), "open")
}

func or(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

func joinedName(s *CrewSeat) string {
	if s.Given == "" {
		return s.Family
	}
	return s.Family + ", " + s.Given
}
