package setup

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"thole/api/club"
	"thole/api/seat"
	"thole/api/setup"
	"thole/ui/page"
)

// crewPlan is a set-up as the page shows it.
type crewPlan struct {
	Setup    *setup.Setup
	Drawing  setDrawing
	Arcs     arcChart
	Wanted   []page.Entry
	Seats    []planSeat
	Moves    int // settings to be moved
	Missed   int // seats that miss a target
	Here     []cautionView
	Standing []cautionView
	Reliefs  []reliefView
}

// planSeat is one seat of a set-up.
type planSeat struct {
	setup.SetupSeat
	Words        string
	Mark, Class  string // on target, or not
	Verdict      string
	Misses       []string
	Ends         []string // ranges that end too soon
	Catch        string
	Finish       string
	FoundText    string
	Rows, Others []planRow // what can be fitted or moves, and the rest
	Moves        int
}

// planRow is one setting of a seat.
type planRow struct {
	Setting, Label, Unit  string
	Found, Fitted, Target string
	Text                  string
	Moves, ByHand         bool
	Hand                  page.Input
}

// reliefView is what would help, in words.
type reliefView struct{ Text, Gains string }

// cautionView is a caution with its seats in words.
type cautionView struct{ Seats, Weight, Text string }

func newCrewPlan(b *club.Boat, s *setup.Setup) *crewPlan {
	p := &crewPlan{Setup: s}
	fitted := map[string]bool{}
	for _, name := range s.Movable {
		fitted[name] = true
	}
	for i := range s.Seats {
		seat := newPlanSeat(b, &s.Seats[i], fitted)
		p.Moves += seat.Moves
		if len(seat.Misses) > 0 || seat.Result == nil {
			p.Missed++
		}
		p.Seats = append(p.Seats, seat)
	}
	for _, t := range s.Targets {
		p.Wanted = append(p.Wanted, wantedEntry(t))
	}
	for _, r := range s.Reliefs {
		p.Reliefs = append(p.Reliefs, reliefView{r.Text, gainText(r.Gains)})
	}
	p.Here, p.Standing = splitCautions(s.Cautions)
	p.Drawing = newSetDrawing(b, p.marks())
	p.Arcs = newArcChart(s)
	return p
}

// marks are the names and the work for the drawing.
func (p *crewPlan) marks() map[int]seatMark {
	marks := map[int]seatMark{}
	for _, s := range p.Seats {
		marks[s.Number] = seatMark{s.Name, fmt.Sprintf("#seat-%d", s.Number), s.Moves}
	}
	return marks
}

func newPlanSeat(b *club.Boat, s *setup.SetupSeat, fitted map[string]bool) planSeat {
	v := planSeat{SetupSeat: *s, Words: page.SeatWords(b, &b.Seats[s.Number-1]), Mark: "●", Class: "on", Verdict: "On target"}
	for _, l := range s.Lines {
		row := newPlanRow(&l)
		if l.Moves {
			v.Moves++
		}
		if l.Moves || fitted[l.Setting] {
			v.Rows = append(v.Rows, row)
		} else {
			v.Others = append(v.Others, row)
		}
	}
	for _, u := range s.Unmet {
		v.Misses = append(v.Misses, missText(u.Target, u.By)+": "+page.LowerFirst(u.Text))
	}
	for _, e := range s.Stops {
		v.Ends = append(v.Ends, endText(e))
	}
	v.FoundText = "As found it cannot be rowed by this body."
	if s.Found != nil {
		v.FoundText = "As found: catch " + page.Fix(1, -s.Found.CatchDeg) + "°, finish " + page.Fix(1, s.Found.FinishDeg) + "°."
	}
	switch {
	case s.Result == nil:
		v.Mark, v.Class, v.Verdict = "○", "out", "Cannot be rowed"
	case len(v.Misses) > 0:
		v.Mark, v.Class, v.Verdict = "◐", "off", "As near as it comes"
	}
	if s.Result != nil {
		v.Catch, v.Finish = page.Fix(1, -s.Result.CatchDeg), page.Fix(1, s.Result.FinishDeg)
	}
	return v
}

func newPlanRow(l *setup.SetupLine) planRow {
	return planRow{
		Setting: l.Setting, Label: page.SettingLabels[l.Setting], Unit: page.UnitOf(l.Setting), Found: bareKnown(l.AsFound),
		Fitted: page.Plain(l.Fitted), Target: page.Plain(l.Target), Text: l.Text, Moves: l.Moves, ByHand: l.Fitted != l.Target,
	}
}

// bareKnown writes a value without its unit, or a dash.
func bareKnown(v *float64) string {
	if v == nil {
		return "–"
	}
	return page.Plain(*v)
}

// hands puts what was typed by hand beside each setting.
func (p *crewPlan) hands(view *crewSetPage) {
	for i := range p.Seats {
		s := &p.Seats[i]
		for _, rows := range [][]planRow{s.Rows, s.Others} {
			for j := range rows {
				f := page.Field{Name: rows[j].Setting, Label: rows[j].Label, Unit: rows[j].Unit, Blank: rows[j].Fitted}
				rows[j].Hand = view.input(f, byHand(s.Number, ""))
			}
		}
	}
}

// missText says how a target is missed.
func missText(target string, by float64) string {
	size := page.Fix(1, math.Abs(by))
	more := by > 0
	switch target {
	case "catch_deg":
		return "Catch " + size + "°" + pick(more, " short", " long")
	case "finish_deg":
		return "Finish " + size + "°" + pick(more, " long", " short")
	case "lever_ratio":
		return "Lever ratio " + page.Fix(2, math.Abs(by)) + pick(more, " too heavy", " too light")
	case "draw_height_cm":
		return "Hands " + size + " cm" + pick(more, " high at the finish", " low at the finish")
	}
	return "Overlap " + size + " cm" + pick(more, " more than found", " less than found")
}

func pick(first bool, a, b string) string {
	if first {
		return a
	}
	return b
}

func endText(e seat.RangeEnd) string {
	return page.SettingLabels[e.Setting] + " ends at its " + pick(e.End == "max", "most", "least") + "."
}

// targetLabels name the targets.
var targetLabels = map[string]string{
	"catch_deg": "Catch", "finish_deg": "Finish", "lever_ratio": "Lever ratio", "draw_height_cm": "Hands at the finish", "overlap_cm": "Overlap",
}

// wantedEntry writes a common target as people say it.
func wantedEntry(t seat.CommonTarget) page.Entry {
	e := page.Entry{Label: targetLabels[t.Target]}
	switch t.Target {
	case "catch_deg":
		e.Value = page.Fix(1, -t.Wanted) + "°"
	case "finish_deg":
		e.Value = page.Fix(1, t.Wanted) + "°"
	case "lever_ratio":
		e.Value = page.Fix(2, t.Wanted)
	case "draw_height_cm":
		e.Value = "where they meet each body"
		if t.Wanted != 0 {
			e.Value = page.Fix(1, t.Wanted) + " cm over the seat"
		}
	default:
		e.Value = page.Fix(1, t.Wanted) + " cm"
	}
	if t.Chosen {
		e.Value += ", chosen for this crew"
	}
	return e
}

func gainText(gains []seat.ReliefGain) string {
	var parts []string
	for _, g := range gains {
		parts = append(parts, fmt.Sprintf("seat %d by %s", g.Seat, page.Fix(1, g.Gain)))
	}
	return strings.Join(parts, ", ")
}

// splitCautions parts what this crew gives reason for from what always holds.
func splitCautions(list []setup.SeatCaution) (here, standing []cautionView) {
	for _, c := range list {
		v := cautionView{seatList(c.Seats), c.Weight, c.Text}
		if c.Weight == "standing" {
			standing = append(standing, v)
		} else {
			here = append(here, v)
		}
	}
	return here, standing
}

func seatList(seats []int) string {
	if len(seats) == 0 {
		return ""
	}
	seats = slices.Sorted(slices.Values(seats))
	var parts []string
	for _, n := range seats {
		parts = append(parts, fmt.Sprint(n))
	}
	return pick(len(seats) == 1, "Seat ", "Seats ") + strings.Join(parts, ", ")
}

// Summary is what a screen reader hears after a recalculation.
func (p *crewPlan) Summary() string {
	return fmt.Sprintf("%d settings to move; %d of %d seats off target.", p.Moves, p.Missed, len(p.Seats))
}

// seatMark is what the drawing says of a seat.
type seatMark struct {
	Name, Address string
	Moves         int
}

// setDrawing is a boat from above, bow to the left, so that its seats stand
// over the columns of a table.
type setDrawing struct {
	Box   page.Box
	Hull  string
	Seats []setSpot
	Cox   *page.Spot
	BowAt page.Spot
	Title string
}

// setSpot is one seat of the drawing.
type setSpot struct {
	Number  int
	Name    string
	Address string
	Work    bool
	At      page.Spot
	NameAt  page.Spot
	Riggers []setRigger
	Words   string
}

// setRigger is one pin with its oar.
type setRigger struct {
	Class       string
	Stay        string
	Pin, PinBox page.Spot
	Oar, Blade  page.Line
	Letter      string
	LetterAt    page.Spot
}

// Sizes of the drawing, in its own units: a column a seat, and the label's
// column before them.
const (
	columnWide  = 100.0
	labelShare  = 0.17 // of the width, as the style sheet has it
	drawingHalf = 78.0
	setHull     = 17.0
	pinAway     = 44.0
	oarEnd      = 70.0
)

// newSetDrawing draws the boat.
func newSetDrawing(b *club.Boat, marks map[int]seatMark) setDrawing {
	n := float64(len(b.Seats))
	seats := columnWide * n
	left := seats * labelShare / (1 - labelShare)
	stern := left + seats
	if n == 1 {
		left, stern = 190, 430
	}
	d := setDrawing{
		Box: page.Box{X: 0, Y: -drawingHalf, W: stern, H: 2 * drawingHalf}, BowAt: page.Spot{X: 4, Y: -setHull - 6},
		Hull:  longHull(8, stern-4),
		Title: fmt.Sprintf("%s, a %s from above, bow on the left: %s", b.Name, b.BoatClass, page.SideWords(b)),
	}
	for i := range b.Seats {
		m := marks[i+1]
		x := left + columnWide*(float64(i)+0.5)
		d.Seats = append(d.Seats, newSetSpot(b, &b.Seats[i], m, x))
	}
	if b.Class.Coxed {
		d.Cox = &page.Spot{X: stern - 26, Y: 0}
	}
	return d
}

// longHull is the outline of a hull lying along the drawing.
func longHull(bow, stern float64) string {
	const h = setHull
	shoulder, quarter := bow+min(90, (stern-bow)/3), stern-min(60, (stern-bow)/4)
	return fmt.Sprintf("M%s 0Q%s %s %s %sL%s %sQ%s %s %s 0Q%s %s %s %sL%s %sQ%s %s %s 0Z",
		page.Coord(bow), page.Coord((bow+shoulder)/2), page.Coord(-h), page.Coord(shoulder), page.Coord(-h), page.Coord(quarter), page.Coord(-h), page.Coord(stern-8), page.Coord(-h), page.Coord(stern),
		page.Coord(stern-8), page.Coord(h), page.Coord(quarter), page.Coord(h), page.Coord(shoulder), page.Coord(h), page.Coord((bow+shoulder)/2), page.Coord(h), page.Coord(bow))
}

func newSetSpot(b *club.Boat, seat *club.BoatSeat, m seatMark, x float64) setSpot {
	s := setSpot{
		Number: seat.Number, Name: m.Name, Address: m.Address, Work: m.Moves > 0, At: page.Spot{X: x, Y: 0}, NameAt: page.Spot{X: x, Y: drawingHalf - 3},
		Words: page.SeatWords(b, seat),
	}
	for _, side := range [...]string{"port", "starboard"} {
		if seat.Side == "" || seat.Side == side {
			s.Riggers = append(s.Riggers, newSetRigger(side, x))
		}
	}
	return s
}

// newSetRigger draws a rigger: with the bow on the left port lies below.
func newSetRigger(side string, x float64) setRigger {
	away := -page.Sign(side)
	pin := page.Spot{X: x + 12, Y: away * pinAway}
	return setRigger{
		Class: side, Letter: strings.ToUpper(side[:1]), Pin: pin, PinBox: page.Spot{X: pin.X - 5, Y: pin.Y - 5},
		Stay:     page.Trace(page.Spot{X: x - 2, Y: away * setHull}, pin, page.Spot{X: x + 26, Y: away * setHull}),
		Oar:      page.Line{X1: pin.X, Y1: -away * 8, X2: pin.X, Y2: away * oarEnd},
		Blade:    page.Line{X1: pin.X, Y1: away * (oarEnd - 12), X2: pin.X, Y2: away * oarEnd},
		LetterAt: page.Spot{X: pin.X + 13, Y: pin.Y + 5},
	}
}

// arcChart shows the arc of each seat against what is wanted.
type arcChart struct {
	Box           page.Box
	Rows          []arcRow
	Catch, Finish *page.Line // wanted
	CatchAt       page.Note
	FinishAt      page.Note
	Square        page.Line
}

type arcRow struct {
	Label, Sub        string
	LabelAt           page.Spot
	Bar               page.Line
	Was               *page.Line
	CatchAt           page.Note
	FinishAt          page.Note
	CatchOn, FinishOn bool
}

// Frame of the chart of arcs, in its own units.
const (
	arcLeft, arcWidth = 158.0, 400.0
	arcRowHigh        = 26.0
	arcTop            = 30.0
)

func newArcChart(s *setup.Setup) arcChart {
	low, high := -60.0, 40.0
	wanted := map[string]float64{}
	for _, t := range s.Targets {
		wanted[t.Target] = t.Wanted
	}
	for i := range s.Seats {
		for _, e := range [...]*setup.ArcEnds{s.Seats[i].Found, ends(s.Seats[i].Result)} {
			if e != nil {
				low, high = min(low, e.CatchDeg), max(high, e.FinishDeg)
			}
		}
	}
	low, high = min(low, wanted["catch_deg"]), max(high, wanted["finish_deg"])
	x := func(deg float64) float64 { return arcLeft + arcWidth*(deg-low)/(high-low) }
	bottom := arcTop + arcRowHigh*float64(len(s.Seats))
	c := arcChart{Box: page.Box{X: 0, Y: 0, W: arcLeft + arcWidth + 46, H: bottom + 8}, Square: page.Line{X1: x(0), Y1: arcTop - 6, X2: x(0), Y2: bottom}}
	for i := range s.Seats {
		c.Rows = append(c.Rows, newArcRow(&s.Seats[i], arcTop+arcRowHigh*float64(i), x))
	}
	if v, ok := wanted["catch_deg"]; ok {
		c.Catch = &page.Line{X1: x(v), Y1: arcTop - 8, X2: x(v), Y2: bottom}
		c.CatchAt = page.Note{At: page.Spot{X: x(v), Y: 14}, Anchor: "middle", Text: "wanted " + page.Fix(1, -v) + "°"}
	}
	if v, ok := wanted["finish_deg"]; ok {
		c.Finish = &page.Line{X1: x(v), Y1: arcTop - 8, X2: x(v), Y2: bottom}
		c.FinishAt = page.Note{At: page.Spot{X: x(v), Y: 14}, Anchor: "middle", Text: page.Fix(1, v) + "°"}
	}
	return c
}

func ends(o *setup.SeatOutcome) *setup.ArcEnds {
	if o == nil {
		return nil
	}
	return &setup.ArcEnds{CatchDeg: o.CatchDeg, FinishDeg: o.FinishDeg}
}

func newArcRow(s *setup.SetupSeat, top float64, x func(float64) float64) arcRow {
	y := top + arcRowHigh/2
	r := arcRow{Label: fmt.Sprintf("%d %s", s.Number, short(s.Name, 18)), LabelAt: page.Spot{X: 0, Y: y + 4}}
	if s.Found != nil {
		r.Was = &page.Line{X1: x(s.Found.CatchDeg), Y1: y + 7, X2: x(s.Found.FinishDeg), Y2: y + 7}
	}
	if s.Result == nil {
		return r
	}
	r.Bar = page.Line{X1: x(s.Result.CatchDeg), Y1: y, X2: x(s.Result.FinishDeg), Y2: y}
	r.CatchOn, r.FinishOn = onTarget(s, "catch_deg"), onTarget(s, "finish_deg")
	r.CatchAt = page.Note{At: page.Spot{X: r.Bar.X1 + 6, Y: y - 4}, Anchor: "start", Text: page.Fix(1, -s.Result.CatchDeg) + "°"}
	r.FinishAt = page.Note{At: page.Spot{X: r.Bar.X2 + 6, Y: y + 4}, Anchor: "start", Text: page.Fix(1, s.Result.FinishDeg) + "°"}
	return r
}

func onTarget(s *setup.SetupSeat, target string) bool {
	return !slices.ContainsFunc(s.Unmet, func(u seat.UnmetTarget) bool { return u.Target == target })
}

// short cuts a name for a drawing.
func short(text string, most int) string {
	runes := []rune(text)
	if len(runes) <= most {
		return text
	}
	return string(runes[:most-1]) + "…"
}
