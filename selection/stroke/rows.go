package stroke

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"

	"thole/rigging"
)

// sample is one reading of one oar in SI units. vertical and speed are NaN
// while they are not known.
type sample struct{ t, angle, force, vertical, speed float64 }

// taker receives the readings of one oar in the order of time.
type taker interface{ take(sample) }

// field is a column made ready for reading.
type field struct {
	Column
	place        int // in the mapping
	scale, limit float64
}

// channel is one oar while its rows come in.
type channel struct {
	oar              Oar
	zero             Zero
	group            Oar // as the mapping's columns name it
	to               taker
	angle, force     int // places in importer.values
	vertical         int // -1 where there is none
	samples, missing int64
	heldV, heldS     held
	steps            []float64 // the first intervals, s
	last             float64   // time of the last sample
}

// station is what shares one clock: a seat of a long file, or all seats of a
// wide one.
type station struct {
	key      string
	clock    clock
	channels []*channel
	next     *station // that followed it last time
}

// importer turns lines into samples.
type importer struct {
	mapping  Mapping
	mark     byte
	cutter   cutter
	fields   []field
	time     int // places in fields, -1 where there is none
	speed    int
	seat     int
	side     int
	width    int
	reach    int // the last column that a row cannot do without, from 1
	values   []float64
	key      []byte
	stations map[string]*station
	last     *station // of the row before
	order    []*channel
	open     func(Oar) taker

	line     int64
	rows     int64
	accepted int64
	day      Day     // of the first accepted row
	restarts []int64 // lines at which a clock started anew
	refusals Refusals
	fault    fault // of the present row
}

// fault is what is wrong with the row at hand; an empty kind is nothing.
type fault struct {
	kind   Fault
	column int // in importer.fields, −1 where it is the whole row
	reason func() string
}

func newImporter(m Mapping, open func(Oar) taker) *importer {
	x := &importer{mapping: m, mark: '.', cutter: cutter{separator: m.Separator}, width: m.Width,
		stations: map[string]*station{}, last: &station{}, open: open}
	if m.DecimalComma {
		x.mark = ','
	}
	x.compile()
	return x
}

// compile prepares the columns and finds those that speak for a whole row.
func (x *importer) compile() {
	x.fields = make([]field, len(x.mapping.Columns))
	for i, c := range x.mapping.Columns {
		f := field{Column: c, place: i, scale: units[c.Unit].si}
		if c.Quantity < SeatName {
			f.limit = limits[c.Quantity]
		}
		if c.Negate {
			f.scale = -f.scale
		}
		x.fields[i] = f
		if !optional(c.Quantity) {
			x.reach = max(x.reach, c.Index+1)
		}
	}
	x.values = make([]float64, len(x.fields))
	x.time, x.speed = x.place(Time), x.place(BoatSpeed)
	x.seat, x.side = x.place(SeatName), x.place(SideName)
}

func (x *importer) place(q Quantity) int { return x.mapping.find(q, Oar{}) }

// row takes one line of measurements.
func (x *importer) row(line []byte, number int64) {
	if isEmptyRow(line, x.mapping.Separator) {
		return
	}
	x.line = number
	x.rows++
	if x.take(x.cutter.cut(line)) {
		if x.accepted++; x.accepted == 1 && x.time >= 0 {
			f := &x.fields[x.time]
			if d, ok := dayOf(f, trim(x.cutter.cells[f.Index]), x.values[x.time]); ok {
				x.day = d
			}
		}
	}
	if x.fault.kind != "" {
		x.refusals.add(x.fault.kind, x.faultPlace, x.fault.reason)
		x.fault = fault{}
	}
}

// faultPlace reports where the fault of the present row stands.
func (x *importer) faultPlace() Place {
	if x.fault.column < 0 {
		return Place{Line: x.line}
	}
	p := x.mapping.columnPlace(x.fault.column)
	p.Line = x.line
	return p
}

// long refuses a line that did not fit.
func (x *importer) long(number int64) {
	x.rows++
	x.refusals.add(FaultLong, func() Place { return Place{Line: number} }, func() string {
		return fmt.Sprintf("the line is longer than %d kB: this is not a row of a table", chunkSize>>10)
	})
}

// refuse notes the first fault of a row; column is that in fields, −1 where it
// is the whole row.
func (x *importer) refuse(kind Fault, column int, reason func() string) bool {
	if x.fault.kind == "" {
		x.fault = fault{kind, column, reason}
	}
	return false
}

// take reports whether anything of the row was used.
func (x *importer) take(cells [][]byte) bool {
	if !x.fits(cells) {
		return false
	}
	s, ok := x.station(cells)
	if !ok || !x.read(cells) {
		return false
	}
	t, ok := x.tick(s)
	if !ok {
		return false
	}
	used := false
	for _, c := range s.channels {
		used = x.deliver(c, t) || used
	}
	return used
}

// fits checks the number of cells; the first row sets it where the mapping
// does not.
func (x *importer) fits(cells [][]byte) bool {
	if x.width == 0 {
		x.width = len(cells)
	}
	n := len(cells)
	for n > x.width && isBlank(trim(cells[n-1])) {
		n--
	}
	return n == x.width && x.reach <= n || x.refuseCells(n)
}

func (x *importer) refuseCells(n int) bool {
	return x.refuse(FaultCells, -1, func() string {
		if n == x.width {
			return fmt.Sprintf("the row has %d cells, and one needed is said to stand in column %d: is the separator right?", n, x.reach)
		}
		return fmt.Sprintf("the row has %d cells where %d are expected: is the separator right, and the decimal mark?", n, x.width)
	})
}

func optional(q Quantity) bool { return q == VerticalAngle || q == BoatSpeed }

// read parses the numbers of a row into values, NaN for what is missing. It
// fails only when the time does.
func (x *importer) read(cells [][]byte) bool {
	for i := range x.fields {
		f := &x.fields[i]
		if f.Quantity >= SeatName {
			continue
		}
		x.values[i] = math.NaN()
		if f.Index < len(cells) {
			x.values[i] = x.number(f, trim(cells[f.Index]))
		}
	}
	if x.time >= 0 && math.IsNaN(x.values[x.time]) {
		return x.refuse(FaultTime, x.time, func() string { return "the row has no time" })
	}
	return true
}

// trim takes blanks off both ends.
func trim(b []byte) []byte {
	for len(b) > 0 && b[0] <= ' ' && b[0] > 0 {
		b = b[1:]
	}
	for len(b) > 0 && b[len(b)-1] <= ' ' && b[len(b)-1] > 0 {
		b = b[:len(b)-1]
	}
	return b
}

// number reads one cell in SI units; NaN is a blank one or one that cannot be
// used, which is noted.
func (x *importer) number(f *field, cell []byte) float64 {
	var v float64
	var ok bool
	if f.Unit == Clock {
		v, ok = parseClock(cell, x.mark)
	} else {
		v, ok = parseNumber(cell, x.mark)
	}
	if !ok {
		if !isBlank(cell) {
			x.refuseNumber(f, cell)
		}
		return math.NaN()
	}
	if v *= f.scale; math.Abs(v) > f.limit {
		x.refuseSize(f, cell)
		return math.NaN()
	}
	return v
}

func (x *importer) refuseNumber(f *field, cell []byte) {
	x.refuse(FaultNumber, f.place, func() string {
		return fmt.Sprintf("column %d (%s) holds %q, which is no number%s", f.Index+1, f.Quantity, label(cell), x.numberHint(cell))
	})
}

func (x *importer) refuseSize(f *field, cell []byte) {
	x.refuse(FaultImpossible, f.place, func() string {
		return fmt.Sprintf("column %d (%s) holds %s %s, more than a rower and a boat can do: is the unit right?", f.Index+1, f.Quantity, label(cell), f.Unit)
	})
}

// numberHint guesses why a cell is no number.
func (x *importer) numberHint(cell []byte) string {
	other := byte(',')
	if x.mapping.DecimalComma {
		other = '.'
	}
	switch _, ok := parseNumber(cell, other); {
	case ok:
		return ": is the decimal mark right?"
	case bytes.ContainsAny(cell, ",;|\t"):
		return ": is the separator right?"
	}
	return ""
}

// tick takes the row's time to the clock of its station.
func (x *importer) tick(s *station) (float64, bool) {
	if x.time < 0 {
		s.clock.last += 1 / x.mapping.SampleRate
		return s.clock.last, true
	}
	raw := x.values[x.time]
	before := s.clock.last - s.clock.shift
	t, verdict := s.clock.accept(raw)
	if verdict == clockRefused {
		return 0, x.refuseOrder(raw, before)
	}
	if verdict == clockRestarted {
		x.restarts = append(x.restarts, x.line)
	}
	return t, true
}

func (x *importer) refuseOrder(raw, before float64) bool {
	return x.refuse(FaultOrder, x.time, func() string {
		return fmt.Sprintf("the time does not run forward: %g s comes after %g s", raw, before)
	})
}

// deliver hands a channel its sample; it reports whether there was one.
func (x *importer) deliver(c *channel, t float64) bool {
	s := sample{t: t, angle: x.values[c.angle] - float64(c.zero.Angle), force: x.values[c.force] - c.zero.Force, vertical: math.NaN(), speed: math.NaN()}
	if c.vertical >= 0 {
		s.vertical = c.heldV.at(t, x.values[c.vertical])
	}
	if x.speed >= 0 {
		s.speed = c.heldS.at(t, x.values[x.speed])
	}
	if math.IsNaN(s.angle + s.force) {
		c.missing++
		return false
	}
	c.note(t)
	c.to.take(s)
	return true
}

// stepsKept is from how many intervals the sample rate is taken: some seconds at any
// common rate; engineering judgement.
const stepsKept = 256

// note counts a sample and keeps the first intervals.
func (c *channel) note(t float64) {
	if c.samples > 0 && len(c.steps) < stepsKept {
		c.steps = append(c.steps, t-c.last)
	}
	c.samples++
	c.last = t
}

// rate returns the samples a second, from the median of the first intervals;
// 0 when there are none.
func (c *channel) rate() float64 {
	if len(c.steps) == 0 {
		return 0
	}
	sorted := slices.Clone(c.steps)
	slices.Sort(sorted)
	return 1 / sorted[len(sorted)/2]
}

// station finds the clock and the channels of a row.
func (x *importer) station(cells [][]byte) (*station, bool) {
	x.key = x.key[:0]
	if x.seat >= 0 {
		x.key = append(x.key, trim(cells[x.fields[x.seat].Index])...)
	}
	if x.side >= 0 {
		x.key = append(x.key, 0)
		x.key = append(x.key, trim(cells[x.fields[x.side].Index])...)
	}
	// Seats mostly follow each other in one order.
	if s := x.last.next; s != nil && s.key == string(x.key) {
		x.last = s
		return s, true
	}
	s, ok := x.stations[string(x.key)], true
	if s == nil {
		s, ok = x.newStation(string(x.key))
	}
	if ok {
		x.last.next, x.last = s, s
	}
	return s, ok
}

// newStation opens the channels of a seat or side that turns up.
func (x *importer) newStation(key string) (*station, bool) {
	seat, sideText, _ := strings.Cut(key, "\x00")
	if x.seat >= 0 && !isSeatName(seat) {
		return nil, x.refuseName(x.seat, seat, "which names no seat")
	}
	side, ok := parseSide(sideText)
	if x.side >= 0 && !ok {
		return nil, x.refuseName(x.side, sideText, "which is neither port nor starboard")
	}
	plain := seat + "\x00" + side.String()
	if s := x.stations[plain]; s != nil {
		x.stations[key] = s // the same side in other words
		return s, true
	}
	groups := x.mapping.oars()
	if len(x.order)+len(groups) > maxOars {
		return nil, x.refuseName(max(x.seat, x.side), seat, fmt.Sprintf("and there are %d oars already: does the column really name the seat?", maxOars))
	}
	s := &station{key: key}
	for _, g := range groups {
		s.channels = append(s.channels, x.newChannel(g, Oar{seat + g.Seat, side + g.Side}))
	}
	x.stations[key], x.stations[plain] = s, s
	return s, true
}

func (x *importer) refuseName(place int, name, why string) bool {
	return x.refuse(FaultSeat, place, func() string {
		return fmt.Sprintf("column %d holds %q, %s", x.fields[place].Index+1, label([]byte(name)), why)
	})
}

func (x *importer) newChannel(group, oar Oar) *channel {
	c := &channel{oar: oar, zero: x.mapping.zeroOf(oar), group: group, to: x.open(oar)}
	c.angle = x.mapping.find(OarAngle, group)
	c.force = x.mapping.find(Force, group)
	c.vertical = x.mapping.find(VerticalAngle, group)
	x.order = append(x.order, c)
	return c
}

// isSeatName accepts any short printable text.
func isSeatName(s string) bool {
	return s != "" && s == label([]byte(s)) && strings.IndexFunc(s, func(r rune) bool { return r < ' ' || r == 0x7f }) < 0
}

// parseSide reads a side as people write it. Left and right are the rower's
// own, who faces the stern: the left hand holds the starboard oar.
func parseSide(s string) (rigging.Side, bool) {
	switch strings.ToLower(s) {
	case "p", "port", "right", "r":
		return rigging.Port, true
	case "s", "starboard", "stbd", "sb", "left", "l":
		return rigging.Starboard, true
	}
	return 0, false
}

// isEmptyRow reports whether a line holds nothing but blanks and separators.
func isEmptyRow(line []byte, separator byte) bool {
	for _, b := range line {
		if b != separator && b != ' ' && b != '\t' && b != '\r' {
			return false
		}
	}
	return true
}

// held repeats the last value of a slow sensor until the next, at most for
// holdTime; after that it is not known.
type held struct {
	known    bool
	until, v float64
}

// holdTime bridges the gaps of a satellite receiver that writes once a second;
// half as much again is a judgement of this package.
const holdTime = 1.5 // s

func (h *held) at(t, v float64) float64 {
	if !math.IsNaN(v) {
		*h = held{true, t + holdTime, v}
		return v
	}
	if !h.known || t > h.until {
		return math.NaN()
	}
	return h.v
}

// clock keeps the times of one station ascending.
type clock struct {
	started     bool
	last, shift float64
	back        int     // refused rows in a row
	backAt      float64 // the last refused time
}

type clockVerdict int

const (
	clockRuns clockVerdict = iota
	clockRefused
	clockRestarted
)

// Both are judgements of this package.
const (
	// restartRows is how many refused times have to ascend among themselves
	// before the clock is taken to have been set anew.
	restartRows = 20
	// restartPause is put between the old time and the new, long enough that
	// no stroke is measured across it.
	restartPause = 10.0 // s
)

// accept returns the time on the station's own ascending scale.
func (c *clock) accept(raw float64) (float64, clockVerdict) {
	t := raw + c.shift
	if !c.started || t > c.last {
		c.started, c.last, c.back = true, t, 0
		return t, clockRuns
	}
	if c.back > 0 && raw > c.backAt {
		c.back++
	} else {
		c.back = 1
	}
	c.backAt = raw
	if c.back < restartRows {
		return 0, clockRefused
	}
	c.shift = c.last + restartPause - raw
	c.last += restartPause
	c.back = 0
	return c.last, clockRestarted
}
