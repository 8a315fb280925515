package lineup

import (
	"cmp"
	"context"
	"html/template"
	"math"
	"net/http"
	"net/url"
	"slices"
	"sort"
	"strconv"
	"strings"

	"thole/api/fleet"
	"thole/api/lineup"
	"thole/api/seat"
	"thole/ui/page"
	"thole/ui/plot"
)

// lineupRow is one line-up in the ranked list.
type lineupRow struct {
	Name    string  // such as "2b"
	Margin  float64 // s behind the best
	Lineup  *lineup.ScoredLineup
	Crew    []placeName
	Shown   bool
	Only    string // address that shows it
	Compare string // address that adds it to the comparison, or removes it
	Images  string // the line-ups that cost the same by symmetry, in words
	Sides   string // letters, bow first, where the sides were free
	Rerig   string // what it asks of the boat
}

// sideLetters writes sides as letters, bow first.
func sideLetters(sides []string) string {
	letters := make([]string, len(sides))
	for i, side := range sides {
		letters[i] = strings.ToUpper(side[:1])
	}
	return strings.Join(letters, " ")
}

// imageWords reports which line-ups cost the same as one of the list by symmetry
// alone; "" for none.
func imageWords(l *lineup.RankedLineup) string {
	var found [3]bool // turned end for end, sides exchanged, both
	for _, image := range l.Images {
		turned := !slices.Equal(image.Seats, l.Seats)
		sides := slices.Clone(l.Sides)
		if turned {
			slices.Reverse(sides)
		}
		mirrored := !slices.Equal(image.Sides, sides)
		found[0] = found[0] || turned && !mirrored
		found[1] = found[1] || !turned
		found[2] = found[2] || turned && mirrored
	}
	if found == [3]bool{true, true, true} {
		return "turned end for end, with the sides exchanged, or both"
	}
	var words []string
	for k, text := range []string{"turned end for end", "with the sides exchanged", "turned end for end with the sides exchanged"} {
		if found[k] {
			words = append(words, text)
		}
	}
	return strings.Join(words, ", or ")
}

// placeName is one seat of a line-up in the list.
type placeName struct {
	Short, Name string
	Moved       bool // not as in the best line-up
}

// lineupView is one line-up with its drawing.
type lineupView struct {
	Title   string
	Lineup  *lineup.ScoredLineup
	Seats   []seatRow
	Boat    template.HTML
	Turning *turningChart
	Balance string // of the masses
	Match   lineup.CurveMatch
	Margin  float64 // s behind the best
	Changes []termChange
	Broken  []string // rules
	Problem string
	Save    *lineupSaving
}

// seatRow is one seat of a line-up.
type seatRow struct {
	Number      int
	ID          string
	Name, Short string
	Side        string
	MassKg      float64 // 0: not known
	First, End  bool
}

// Letter is the badge of the side.
func (r seatRow) Letter() string {
	if r.Side == "" {
		return ""
	}
	return strings.ToUpper(r.Side[:1])
}

func (p *lineupPage) seatRows(ids, sides []string) []seatRow {
	var rows []seatRow
	for i, id := range ids {
		row := seatRow{Number: i + 1, ID: id, Name: p.names[id], Short: p.short[id], MassKg: p.masses[id], First: i == 0, End: i == len(ids)-1}
		if i < len(sides) {
			row.Side = sides[i]
		}
		rows = append(rows, row)
	}
	return rows
}

// figureID makes a name for drawings of a title.
func figureID(title string) string {
	return "crew-" + strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			return r
		}
		return '-'
	}, strings.ToLower(title))
}

// lineupView draws one line-up.
func (s *site) lineupView(ctx context.Context, p *lineupPage, l *lineup.ScoredLineup, title string) (*lineupView, error) {
	v := &lineupView{Title: title, Lineup: l, Seats: p.seatRows(l.Seats, l.Sides)}
	v.Boat, v.Balance, v.Match = crewFigure(figureID(title), v.Seats, p.Class, p.coxName()), balance(v.Seats), p.request.CurveMatch(l)
	if p.Class.Scull {
		return v, nil
	}
	moment, err := s.service.Lineup.TurningLineup(ctx, lineup.CostRequest{LineupProblem: p.request.LineupProblem, Lineup: lineup.GivenLineup{Seats: l.Seats, Sides: l.Sides}})
	if err != nil {
		return nil, err
	}
	v.Turning = newTurningChart(moment)
	return v, nil
}

// balance reports how the masses lie along the boat; "" with one rower.
func balance(rows []seatRow) string {
	var bow, stern float64
	for i, row := range rows {
		if i < len(rows)/2 {
			bow += row.MassKg
		} else {
			stern += row.MassKg
		}
	}
	if len(rows) < 2 {
		return ""
	}
	return "Bow half " + page.Fix(0, bow) + " kg, stern half " + page.Fix(0, stern) + " kg."
}

// crewWidths are the widths at which a crew is drawn, px; our judgement.
var crewWidths = []float64{288, 358, 440}

// crewFigure draws a crew from above, bow up, with its masses; id tells it from the
// other drawings of a page.
func crewFigure(id string, rows []seatRow, class seat.BoatClass, cox string) template.HTML {
	boat := fleet.BareBoat(class.Code)
	f := page.BoatFigure{Boat: boat, Widths: crewWidths, Cox: cox, ID: id, Title: "The crew from above", Names: []string{}}
	for _, row := range rows {
		boat.Seats = append(boat.Seats, fleet.BoatSeat{SeatFields: fleet.SeatFields{Number: row.Number, Side: row.Side}})
		f.Names = append(f.Names, cmp.Or(row.Short, row.Name))
		note := ""
		if row.MassKg > 0 {
			note = page.Fix(0, row.MassKg) + " kg"
		}
		f.Notes = append(f.Notes, note)
	}
	return f.HTML()
}

// turningChart is the moment about the vertical axis through the drive, as a
// share of that of the alternating rig with equal rowers.
type turningChart struct {
	Path, Zero string
	Most       float64
	Title      string
	Rows       []turningRow
}

// turningRow is the moment at one share of the drive.
type turningRow struct {
	At     int // %
	Moment float64
}

// newTurningChart draws the moment on a frame of 200 by 70, upwards where the
// bow turns to port.
func newTurningChart(moment []float64) *turningChart {
	c := &turningChart{Zero: "M0 35L200 35"}
	for _, m := range moment {
		c.Most = max(c.Most, math.Abs(m))
	}
	scale := 32 / max(1.5, c.Most)
	var points []plot.Spot
	for i, m := range moment {
		points = append(points, plot.Spot{X: 200 * float64(i) / float64(len(moment)-1), Y: 35 - scale*m})
		if i%10 == 0 {
			c.Rows = append(c.Rows, turningRow{i, m})
		}
	}
	c.Path = plot.Trace(points...)
	c.Title = "Steering moment from catch to finish, at most " + page.Fix(2, c.Most) + " times the alternating rig’s"
	return c
}

// whyView gives the reasons for the line-up shown first.
type whyView struct {
	Names   []string
	Rows    []swapRow
	NextIn  []nextInRow // the best exchange of each athlete outside the boat
	Without []lossRow
}

// nextInRow is the best exchange of an athlete outside the boat, with what makes
// the change, s.
type nextInRow struct {
	Words, Figures           string
	Power, Mass, Rest, Total float64
	Breaks                   bool // a rule
}

// swapRow is one line of the swap table.
type swapRow struct {
	Name  string
	Cells []swapCell
}

// swapCell is the change by one exchange.
type swapCell struct {
	Text  string
	Class string
}

// lossRow is the best line-up without one athlete.
type lossRow struct {
	Name string
	Text string
	Cost string
}

// nextInShown is how many athletes outside the boat the page lists; our judgement.
const nextInShown = 8

// explain finds the reasons for the line-up shown first.
func (s *site) explain(ctx context.Context, p *lineupPage) error {
	ctx, stop := context.WithTimeout(ctx, 2*searchTime)
	defer stop()
	l := p.Compared[0].Lineup
	reasons, err := s.service.Lineup.ExplainLineup(ctx, lineup.CostRequest{
		LineupProblem: p.request.LineupProblem, Lineup: lineup.GivenLineup{Seats: l.Seats, Sides: l.Sides},
	})
	if err != nil {
		return err
	}
	p.Why = &whyView{Names: p.crew(l.Seats)}
	p.Why.NextIn, p.Why.Rows = p.swapTable(reasons.Swaps)
	for _, loss := range reasons.Without {
		p.Why.Without = append(p.Why.Without, p.lossRow(loss, l.Seats))
	}
	return nil
}

// swapTable sorts the exchanges into those with athletes outside the boat, the
// best of them first, and the table of those within it.
func (p *lineupPage) swapTable(swaps []lineup.SeatSwap) (nextIn []nextInRow, rows []swapRow) {
	var others []lineup.SeatSwap
	change := map[[2]int]lineup.SeatSwap{}
	for _, swap := range swaps {
		switch {
		case swap.OtherSeat > 0:
			change[[2]int{swap.Seat, swap.OtherSeat}], change[[2]int{swap.OtherSeat, swap.Seat}] = swap, swap
		case swap.Possible:
			others = append(others, swap)
		}
	}
	for i, name := range p.crew(p.Compared[0].Lineup.Seats) {
		row := swapRow{Name: name}
		for j := range p.Compared[0].Lineup.Seats {
			row.Cells = append(row.Cells, newSwapCell(change[[2]int{i + 1, j + 1}], i == j))
		}
		rows = append(rows, row)
	}
	return p.nextIn(others), rows
}

// nextIn lists the best exchange of each athlete outside the boat, the best first.
func (p *lineupPage) nextIn(swaps []lineup.SeatSwap) (rows []nextInRow) {
	sort.SliceStable(swaps, func(i, j int) bool { return swaps[i].ChangeS < swaps[j].ChangeS })
	seen := map[string]bool{}
	for _, swap := range swaps {
		if seen[swap.Second] || len(rows) == nextInShown {
			continue
		}
		seen[swap.Second] = true
		rows = append(rows, nextInRow{
			Words: p.short[swap.Second] + " for " + p.short[swap.First], Figures: p.figures(swap.Second) + " for " + p.figures(swap.First),
			Power: swap.PowerS, Mass: swap.MassS, Rest: swap.ChangeS - swap.PowerS - swap.MassS, Total: swap.ChangeS, Breaks: len(swap.Breaks) > 0,
		})
	}
	return rows
}

// figures are an athlete's power and mass, as "409 W, 90 kg".
func (p *lineupPage) figures(id string) string {
	return page.Fix(0, p.powers[id]) + " W, " + page.Fix(0, p.masses[id]) + " kg"
}

// whyLineup answers the reasons alone, for htmx, or the whole page with them.
func (s *site) whyLineup(w http.ResponseWriter, r *http.Request) error {
	if r.Header.Get("HX-Request") == "" {
		http.Redirect(w, r, "/line-ups?"+keep(r.URL.Query()).Encode()+"&why=yes#why-h", http.StatusSeeOther)
		return nil
	}
	p, err := s.lookedAt(w, r)
	if p == nil {
		return err
	}
	if err := s.explain(r.Context(), p); err != nil {
		return err
	}
	return s.Pages.Fragment(w, http.StatusOK, "lineups", "lineups-why", p)
}

func newSwapCell(s lineup.SeatSwap, self bool) swapCell {
	switch {
	case self:
		return swapCell{"", "self"}
	case !s.Possible:
		return swapCell{"–", "bar"}
	case len(s.Breaks) > 0:
		return swapCell{page.Signed(2, s.ChangeS) + "*", "rule"}
	case math.Abs(s.ChangeS) < lineup.NearS:
		return swapCell{page.Signed(2, s.ChangeS), "near"}
	}
	return swapCell{page.Signed(2, s.ChangeS), ""}
}

func (p *lineupPage) lossRow(loss lineup.SeatLoss, crew []string) lossRow {
	row := lossRow{Name: p.names[loss.ID], Cost: page.Signed(2, loss.CostS)}
	if !loss.Possible {
		row.Text, row.Cost = "no line-up keeps the rules", "–"
		return row
	}
	var in []string
	for _, id := range loss.Best.Seats {
		if !slices.Contains(crew, id) {
			in = append(in, p.short[id])
		}
	}
	row.Text = "next in: " + strings.Join(in, " and ")
	if !loss.Proven {
		row.Cost = "about " + row.Cost
	}
	return row
}

// firmView says which places are firm and which are open.
type firmView struct {
	Draws     int
	Stopped   bool // before all draws were done
	SameCrew  float64
	SameOrder float64
	Rows      []firmRow
	Races     []raceRow
	Seats     []int
}

// firmRow is one athlete's share of places and seats.
type firmRow struct {
	Name     string
	Selected float64
	Share    string
	Words    string
	Seats    []string
}

// raceRow is a seat race worth running.
type raceRow struct {
	First    bool // the one worth most
	In, Out  string
	Gain, Sd float64
	Chance   float64
	Value    float64
	Address  string
}

// newFirmView orders the athletes by their share of places, those never
// selected left out.
func newFirmView(p *lineupPage, answer *lineup.LineupsAnswer) *firmView {
	f := answer.Firmness
	v := &firmView{Draws: f.Draws, SameCrew: f.SameCrew, SameOrder: f.SameOrder}
	for seat := 1; seat <= p.Class.Rowers; seat++ {
		v.Seats = append(v.Seats, seat)
	}
	for id, share := range f.Selected {
		if share > 0 {
			v.Rows = append(v.Rows, p.firmRow(v.Seats, f.Seat[id], id, f.Certainty[id], share))
		}
	}
	sort.Slice(v.Rows, func(i, j int) bool {
		a, b := v.Rows[i], v.Rows[j]
		return a.Selected > b.Selected || a.Selected == b.Selected && a.Name < b.Name
	})
	for i, r := range f.Races[:min(len(f.Races), racesShown)] {
		v.Races = append(v.Races, raceRow{i == 0, p.names[r.In], p.names[r.Out], r.GainS, r.SdS, r.Chance, r.ValueS, p.raceAddress(&answer.Lineups[0].ScoredLineup, r)})
	}
	return v
}

// NextRace is the seat race that is worth most; nil where none has a schedule yet.
func (p *lineupPage) NextRace() *raceRow {
	if p.Firm == nil || len(p.Firm.Races) == 0 || p.Firm.Races[0].Address == "" {
		return nil
	}
	return &p.Firm.Races[0]
}

// Redrawn reports whether the draws shown were as few as come with the page.
func (p *lineupPage) Redrawn() bool {
	return p.Firm != nil && !p.Firm.Stopped && p.Firm.Draws < firmDraws
}

// FirmDraws is how many draws a job makes.
func (p *lineupPage) FirmDraws() int { return firmDraws }

// racesShown is how many seat races the page proposes; our judgement.
const racesShown = 5

func (p *lineupPage) firmRow(seats []int, in map[string]float64, id, certainty string, share float64) firmRow {
	row := firmRow{Name: p.names[id], Selected: share, Share: firmShare(share), Words: firmWords(certainty, share)}
	for _, seat := range seats {
		text := ""
		if part := in[strconv.Itoa(seat)]; part >= 0.005 {
			text = page.Fix(0, 100*part)
		}
		row.Seats = append(row.Seats, text)
	}
	return row
}

// firmShare writes a share of places, in %; only never and always are 0 and 100.
func firmShare(share float64) string {
	switch text := page.Fix(0, 100*share); {
	case text == "0" && share > 0:
		return "under 1 %"
	case text == "100" && share < 1:
		return "over 99 %"
	default:
		return text + " %"
	}
}

// firmWords reports how certain it is that an athlete rows, or that he or she does
// not.
func firmWords(certainty string, share float64) string {
	if certainty != "open" && share < 0.5 {
		return certainty + ", not in the boat"
	}
	return certainty
}

// Kept lists what was chosen, for the other forms of the page: the name as the
// option's value, what was typed as its label.
func (p *lineupPage) Kept() []page.Option {
	var list []page.Option
	for name, values := range keep(p.typed, ownNames(p.typed)...) {
		list = append(list, page.Option{Value: name, Label: values[0]})
	}
	sort.Slice(list, func(i, j int) bool { return list[i].Value < list[j].Value })
	return list
}

// ownNames are the names of a query that belong to the reader's own line-up.
func ownNames(typed url.Values) []string {
	names := []string{"own"}
	for name := range typed {
		if seat, ok := strings.CutPrefix(name, "s"); ok && page.IsCount(seat) {
			names = append(names, name)
		}
	}
	return names
}

// Typed returns what was typed in a field of the form.
func (p *lineupPage) Typed(name string) string { return p.typed.Get(name) }

// SquadIDs lists the athletes whom the form shows.
func (p *lineupPage) SquadIDs() string {
	var ids []string
	for _, m := range p.Members {
		ids = append(ids, m.ID)
	}
	return strings.Join(ids, ".")
}

// WhyAddress is where the reasons are, for whoever asks for them.
func (p *lineupPage) WhyAddress() string { return "/line-ups/why?" + keep(p.typed).Encode() }
