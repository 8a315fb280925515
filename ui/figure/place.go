package figure

import (
	"cmp"
	"math"
	"slices"

	"thole/ui/figure/draw"
	"thole/ui/figure/plane"
)

// anchor is a place a label may point to, with the parts its leader may pass.
type anchor struct {
	at    Point
	below bool // the band the label then stands in
	own   draw.Kind
	bias  float64 // what the place costs beyond its leader
	wish  float64 // where the leader should come from, px; see hopeful
}

// ask is a label that looks for a place.
type ask struct {
	term, value string
	anchors     []anchor
}

// bandPlan says how many rows of labels stand above and below, and the type.
type bandPlan struct {
	above, below    int
	termPx, valuePx float64
}

// bandPlans are the plans for a width in the order they are tried until a
// drawing has no fault: small type is for phones, a second row for the rest.
func bandPlans(width float64) []bandPlan {
	plain, small := bandPlan{1, 1, draw.TermSize, draw.ValueSize}, bandPlan{1, 1, draw.SmallTermSize, draw.SmallValueSize}
	above, below := bandPlan{2, 1, draw.TermSize, draw.ValueSize}, bandPlan{1, 2, draw.TermSize, draw.ValueSize}
	if width < phoneWidth {
		return []bandPlan{plain, small, below, above}
	}
	return []bandPlan{plain, below, above, small}
}

// phoneWidth is where drawings stop being those of a phone, px; our judgement.
const phoneWidth = 440

func (p bandPlan) rowHeight() float64 { return draw.LineHeight * (p.termPx + p.valuePx) }

// bandHeight is the height of rows with the gaps between them.
func (p bandPlan) bandHeight(rows int) float64 {
	return float64(rows)*p.rowHeight() + float64(rows-1)*rowGap
}

// Costs of a leader. A step is 4 px; our judgement.
const (
	leaderStep  = 4
	faultCost   = 500  // a step over a limb or water that is not the label's own
	objectCost  = 8    // a step over oar, gate, seat or plate
	ghostCost   = 5    // a step over the ghost
	crossCost   = 3000 // leaders that cross, or one through a label
	bendCost    = 25
	bendLength  = 12 // px from the label to the bend
	labelIndent = 5  // px from a label's side to where a leader may arrive
)

// cellSize is the side of a cell of the map of obstacles, px; our judgement.
const cellSize = 2

// obstacles is a map of what covers each cell of the drawing.
type obstacles struct {
	columns, rows int
	cells         []draw.Kind
}

// newObstacles enters the shapes of a drawing into a map of a given height.
func newObstacles(d *draw.Drawing, height float64) *obstacles {
	o := &obstacles{columns: int(d.Width)/cellSize + 1, rows: int(height)/cellSize + 1}
	o.cells = make([]draw.Kind, o.columns*o.rows)
	for _, s := range d.Shapes {
		for _, l := range s.Lines {
			if s.Closed {
				o.fill(l, s.Kind)
			} else {
				o.stroke(l, s.Kind)
			}
		}
	}
	return o
}

func (o *obstacles) mark(column, row int, kind draw.Kind) {
	if column >= 0 && column < o.columns && row >= 0 && row < o.rows {
		o.cells[row*o.columns+column] |= kind
	}
}

func (o *obstacles) stroke(l []Point, kind draw.Kind) {
	for i := range len(l) - 1 {
		steps := int(l[i+1].Sub(l[i]).Norm()/cellSize) + 1
		for k := range steps + 1 {
			p := l[i].Toward(l[i+1], float64(k)/float64(steps))
			o.mark(int(p.X/cellSize), int(p.Y/cellSize), kind)
		}
	}
}

// fill marks the cells whose middle row lies inside the outline.
func (o *obstacles) fill(outline []Point, kind draw.Kind) {
	b := plane.Around(outline)
	var cuts []float64
	for row := max(0, int(b.Y/cellSize)); row <= min(o.rows-1, int(b.Bottom()/cellSize)); row++ {
		cuts = cutsAt(outline, (float64(row)+0.5)*cellSize, cuts[:0])
		for i := 0; i+1 < len(cuts); i += 2 {
			for c := int(cuts[i] / cellSize); c <= int(cuts[i+1]/cellSize); c++ {
				o.mark(c, row, kind)
			}
		}
	}
}

// cutsAt appends where a horizontal line cuts an outline, left to right.
func cutsAt(outline []Point, y float64, cuts []float64) []float64 {
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		if (a.Y > y) != (b.Y > y) {
			cuts = append(cuts, a.X+(b.X-a.X)*(y-a.Y)/(b.Y-a.Y))
		}
	}
	slices.Sort(cuts)
	return cuts
}

// way is the cost of a polyline over the map, and its faults: the steps over
// what a leader must not pass.
func (o *obstacles) way(l []Point, own draw.Kind) (cost float64, faults int) {
	for i := range len(l) - 1 {
		d := l[i+1].Sub(l[i])
		length := d.Norm()
		cost += length
		for s := leaderStep / 2.0; s < length; s += leaderStep {
			p := l[i].Add(d.Times(s / length))
			c, fault := stepCost(o.over(p) &^ own)
			cost += c
			faults += fault
		}
	}
	return cost, faults
}

func (o *obstacles) over(p Point) draw.Kind {
	c, r := int(p.X/cellSize), int(p.Y/cellSize)
	if c < 0 || c >= o.columns || r < 0 || r >= o.rows {
		return 0
	}
	return o.cells[r*o.columns+c]
}

func stepCost(over draw.Kind) (cost float64, fault int) {
	switch {
	case over&(draw.Limb|draw.Water) != 0:
		return faultCost, 1
	case over&(draw.Oar|draw.Gate|draw.Plate|draw.Seat) != 0:
		return objectCost, 0
	case over&draw.Ghost != 0:
		return ghostCost, 0
	}
	return 0, 0
}

// pool places boxes of given widths in a row as near to their wishes as least
// squares allow, gap apart and between low and high: the method of pooling
// neighbours. It returns the left edges; ok is false when they do not fit.
func pool(widths, wishes []float64, gap, low, high float64) (lefts []float64, ok bool) {
	n := len(widths)
	if n == 0 {
		return nil, true
	}
	// With the room before each taken off, order is all that is asked.
	before := make([]float64, n+1)
	for i, w := range widths {
		before[i+1] = before[i] + w + gap
	}
	last := high - (before[n] - gap)
	if last < low {
		return nil, false
	}
	var blocks []pooled
	for i, wish := range wishes {
		blocks = append(blocks, pooled{wish - widths[i]/2 - before[i], 1})
		for k := len(blocks) - 1; k > 0 && blocks[k-1].mean > blocks[k].mean; k-- {
			blocks = append(blocks[:k-1], blocks[k-1].with(blocks[k]))
		}
	}
	for _, b := range blocks {
		for range b.count {
			lefts = append(lefts, min(max(b.mean, low), last)+before[len(lefts)])
		}
	}
	return lefts, true
}

// pooled is a run of neighbours that touch.
type pooled struct {
	mean  float64
	count int
}

func (p pooled) with(q pooled) pooled {
	n := p.count + q.count
	return pooled{(p.mean*float64(p.count) + q.mean*float64(q.count)) / float64(n), n}
}

// placed is a label with its leader and what that leader costs.
type placed struct {
	box    Box
	points [3]Point // of the leader
	count  int
	cost   float64
	faults int
}

func (p *placed) leader() []Point { return p.points[:p.count] }

// label is the placed label with its type set.
func (p *placed) label(b *draw.Block) draw.Label {
	l := b.Set(p.box.X, p.box.Y, flush(p.points[0].X-p.box.X, p.box.W))
	l.Leader = p.leader()
	return l
}

// placer looks for the places of all labels of one drawing.
type placer struct {
	plan        bandPlan
	width       float64
	top, bottom float64 // of the upper and of the lower band
	terrain     *obstacles
	asks        []ask
	blocks      []draw.Block
	sizes       []Box // of the blocks, at the origin

	best      []placed
	bestCost  float64
	bestFault int
	spent     float64 // on the arrangement at hand, so far
}

func newPlacer(plan bandPlan, width, bottom float64, o *obstacles, asks []ask) *placer {
	p := &placer{plan: plan, width: width, top: edgeMargin - 2, bottom: bottom, terrain: o, asks: asks, bestCost: math.Inf(1)}
	for _, a := range asks {
		b := draw.Block{Term: a.term, Value: a.value, TermSize: plan.termPx, ValueSize: plan.valuePx}
		p.blocks, p.sizes = append(p.blocks, b), append(p.sizes, Box{W: b.Width(), H: b.Height()})
	}
	return p
}

// slot is a label's anchor and row.
type slot struct {
	label  int
	anchor *anchor
	row    int // counted from the figure
}

// hopeful keeps the anchors that some leader reaches without a fault from its
// band, so that no arrangement is tried for the others, and notes from where
// the cheapest of them comes.
func (p *placer) hopeful(anchors []anchor) []anchor {
	var kept []anchor
	for _, a := range anchors {
		y := p.rowTop(a.below, 0)
		if !a.below {
			y += p.plan.rowHeight()
		}
		least := math.Inf(1)
		try := func(x float64) {
			straight := [...]Point{{X: x, Y: y}, a.at}
			if cost, faults := p.terrain.way(straight[:], a.own); faults == 0 && cost < least {
				least, a.wish = cost, x
			}
		}
		try(a.at.X)
		for x := float64(edgeMargin); x <= p.width-edgeMargin; x += 4 * leaderStep {
			try(x)
		}
		if least < math.Inf(1) {
			kept = append(kept, a)
		}
	}
	return kept
}

// search tries every choice of anchors and rows.
func (p *placer) search(chosen []slot) {
	i := len(chosen)
	if i == len(p.asks) {
		p.arrange(chosen)
		return
	}
	for k := range p.asks[i].anchors {
		a := &p.asks[i].anchors[k]
		rows := p.plan.above
		if a.below {
			rows = p.plan.below
		}
		for row := range rows {
			p.search(append(chosen, slot{i, a, row}))
		}
	}
}

// arrange tries the orders within each band: by the anchors' places, and with
// each pair of neighbours exchanged.
func (p *placer) arrange(slots []slot) {
	ordered := slices.Clone(slots)
	slices.SortStableFunc(ordered, func(a, b slot) int {
		if d := btoi(a.anchor.below) - btoi(b.anchor.below); d != 0 {
			return d
		}
		return cmp.Compare(a.anchor.wish, b.anchor.wish)
	})
	p.price(ordered)
	for i := range len(ordered) - 1 {
		if ordered[i].anchor.below == ordered[i+1].anchor.below {
			ordered[i], ordered[i+1] = ordered[i+1], ordered[i]
			p.price(ordered)
			ordered[i], ordered[i+1] = ordered[i+1], ordered[i]
		}
	}
}

// price places one arrangement and keeps it when it is the cheapest.
func (p *placer) price(slots []slot) {
	all := make([]placed, len(p.asks))
	p.spent = 0
	for _, below := range []bool{false, true} {
		rows := p.plan.above
		if below {
			rows = p.plan.below
		}
		for row := range rows {
			if !p.placeRow(slots, below, row, all) {
				return
			}
		}
	}
	cost, faults := total(all)
	if cost < p.bestCost {
		p.best, p.bestCost, p.bestFault = all, cost, faults
	}
}

// placeRow sets the labels of one row.
func (p *placer) placeRow(slots []slot, below bool, row int, all []placed) bool {
	var in []slot
	var widths, wishes []float64
	for _, s := range slots {
		if s.anchor.below == below && s.row == row {
			in = append(in, s)
			widths = append(widths, p.sizes[s.label].W)
			wishes = append(wishes, s.anchor.wish)
		}
	}
	lefts, ok := pool(widths, wishes, labelGap, edgeMargin, p.width-edgeMargin)
	if !ok {
		return false
	}
	for i, s := range in {
		all[s.label] = p.lead(s, lefts[i], p.rowTop(below, row))
		p.spent += all[s.label].cost
		if p.spent >= p.bestCost {
			return false
		}
	}
	return true
}

// rowTop is the top of a row; row 0 is the nearest to the figure.
func (p *placer) rowTop(below bool, row int) float64 {
	step := p.plan.rowHeight() + rowGap
	if below {
		return p.bottom + float64(row)*step
	}
	return p.top + float64(p.plan.above-1-row)*step
}

// lead draws the cheapest leader from a label to its anchor: straight, or bent
// once near the label.
func (p *placer) lead(s slot, left, top float64) placed {
	box := p.sizes[s.label]
	box.X, box.Y = left, top
	y, away := box.Bottom(), 1.0
	if s.anchor.below {
		y, away = top, -1
	}
	best := placed{cost: math.Inf(1)}
	inner := min(labelIndent, box.W/2)
	for _, x := range [...]float64{min(max(s.anchor.at.X, left+inner), left+box.W-inner), left + inner, left + box.W/2, left + box.W - inner} {
		from := Point{X: x, Y: y}
		straight := placed{box: box, points: [3]Point{from, s.anchor.at}, count: 2}
		bent := placed{box: box, points: [3]Point{from, {X: x, Y: y + away*bendLength}, s.anchor.at}, count: 3}
		for _, l := range [...]placed{straight, bent} {
			l.cost, l.faults = p.terrain.way(l.leader(), s.anchor.own)
			l.cost += bendCost*float64(l.count-2) + s.anchor.bias
			if l.cost < best.cost {
				best = l
			}
		}
	}
	return best
}

// flush is the side on which a leader arrives.
func flush(x, width float64) string {
	switch {
	case x < width*0.34:
		return "start"
	case x > width*0.66:
		return "end"
	}
	return "middle"
}

// total adds the costs up, with leaders that cross or pass through a label.
func total(all []placed) (cost float64, faults int) {
	for i := range all {
		cost += all[i].cost
		faults += all[i].faults
		for j := range all {
			if i != j && plane.LineMeetsBox(all[i].leader(), all[j].box.Grown(2)) {
				cost, faults = cost+crossCost, faults+1
			}
			if j > i && plane.LinesMeet(all[i].leader(), all[j].leader()) {
				cost, faults = cost+crossCost, faults+1
			}
		}
	}
	return cost, faults
}

// sideLayout is a drawing of the rower with one plan of bands.
type sideLayout struct {
	drawing *draw.Drawing
	placer  *placer
	asks    []ask
	faults  int
}

// noPlace is the fault of labels that do not fit into their rows; our judgement.
const noPlace = 1 << 20

func (s *Side) layout(plan bandPlan) *sideLayout {
	g, keel := s.stage(edgeMargin + plan.bandHeight(plan.above) + aboveLeaders)
	d := s.scene(g)
	bottom := keel + belowLeaders
	d.Height = math.Ceil(bottom + plan.bandHeight(plan.below) + edgeMargin - 2)
	l := &sideLayout{drawing: d, asks: s.asks(s.person(g, s.AtFinish))}
	o := newObstacles(d, d.Height)
	l.placer = newPlacer(plan, s.Width, bottom, o, l.asks)
	l.dropHopeless()
	l.placer = newPlacer(plan, s.Width, bottom, o, l.asks)
	l.placer.search(nil)
	l.faults = l.placer.bestFault
	if l.placer.best == nil {
		l.faults = noPlace
	}
	return l
}

// finish puts the labels on the drawing; what has no clear place is reported in
// the caption.
func (l *sideLayout) finish() *draw.Drawing {
	p := l.placer
	for p.bestFault > 0 || p.best == nil {
		l.drop(l.worst(p.best))
		q := newPlacer(p.plan, p.width, p.bottom, p.terrain, l.asks)
		q.search(nil)
		p = q
	}
	for i := range p.best {
		l.drawing.Labels = append(l.drawing.Labels, p.best[i].label(&p.blocks[i]))
	}
	return l.drawing
}

// dropHopeless moves the labels that no leader reaches into the caption.
func (l *sideLayout) dropHopeless() {
	for i := len(l.asks) - 1; i >= 0; i-- {
		l.asks[i].anchors = l.placer.hopeful(l.asks[i].anchors)
		if len(l.asks[i].anchors) == 0 {
			l.drop(i)
		}
	}
}

// worst is the label with most faults, or the last.
func (l *sideLayout) worst(best []placed) int {
	worst := len(l.asks) - 1
	for i, b := range best {
		if len(best) == len(l.asks) && b.faults > best[worst].faults {
			worst = i
		}
	}
	return worst
}

// drop moves a label into the caption.
func (l *sideLayout) drop(i int) {
	if l.drawing.Caption != "" {
		l.drawing.Caption += ", "
	}
	l.drawing.Caption += l.asks[i].term + " " + l.asks[i].value
	l.asks = slices.Delete(l.asks, i, i+1)
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}
