package ui

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"

	"thole/api"
)

// orderRow is one order in the ranked list.
type orderRow struct {
	Rank   int
	Behind float64 // s
	Lineup *api.ScoredLineup
	Crew   []string
	Shown  bool
	Only   string // address that shows it
}

// orderView is one order looked at.
type orderView struct {
	Title   string
	Lineup  *api.ScoredLineup
	Seats   []seatRow
	Boat    crewDrawing
	Turning *turningChart
	Behind  float64
	Problem string
	Options []option
	IDs     string // seats joined for forms
	Sides   string
}

// seatRow is one seat of an order.
type seatRow struct {
	Number     int
	ID, Name   string
	Side       string
	MassKg     float64
	First, End bool
}

// Letter is the badge of the side.
func (r seatRow) Letter() string {
	if r.Side == "" {
		return ""
	}
	return strings.ToUpper(r.Side[:1])
}

func (p *ordersPage) seatRows(ids, sides []string) []seatRow {
	var rows []seatRow
	for i, id := range ids {
		row := seatRow{Number: i + 1, ID: id, Name: p.names[id], MassKg: p.masses[id], First: i == 0, End: i == len(ids)-1}
		if i < len(sides) {
			row.Side = sides[i]
		}
		rows = append(rows, row)
	}
	return rows
}

// orderView draws one order.
func (s *site) orderView(ctx context.Context, p *ordersPage, l *api.ScoredLineup, title string) (*orderView, error) {
	v := &orderView{Title: title, Lineup: l, Seats: p.seatRows(l.Seats, l.Sides), IDs: strings.Join(l.Seats, "."), Sides: strings.Join(l.Sides, ".")}
	v.Boat = newCrewDrawing(v.Seats, p.Class)
	if p.Class.Scull {
		return v, nil
	}
	moment, err := s.service.TurningLineup(ctx, api.CostRequest{SeatOrderProblem: p.request.SeatOrderProblem, Lineup: api.GivenLineup{Seats: l.Seats, Sides: l.Sides}})
	if err != nil {
		return nil, err
	}
	v.Turning = newTurningChart(moment)
	return v, nil
}

// crewDrawing is a boat from above, bow up, with the crew and its masses.
type crewDrawing struct {
	Box   box
	Hull  string
	Seats []crewSeat
	Scale string
}

// crewSeat is one seat of the drawing.
type crewSeat struct {
	Row    seatRow
	Y      float64
	Oars   []crewOar
	Mass   box
	MassAt spot
}

// crewOar is one oar with the letter of its side.
type crewOar struct {
	Class, Letter string
	Oar, Blade    line
	At            spot
}

// Sizes of the drawing, in its own units.
const (
	crewPitch = 46
	crewHalf  = 92 // of the hull at its widest
	crewReach = 84 // of an oar beyond the hull
)

func newCrewDrawing(rows []seatRow, class api.BoatClass) crewDrawing {
	n := float64(len(rows))
	height := n*crewPitch + 90
	d := crewDrawing{Box: box{-crewHalf - crewReach - 10, 0, 2*(crewHalf+crewReach) + 150, height}}
	d.Hull = fmt.Sprintf("M0 4C%d 40 %d 60 %d %sC%d %s 20 %s 0 %s C-20 %s -%d %s -%d %sC-%d 60 -%d 40 0 4Z",
		crewHalf*2/3, crewHalf, crewHalf, coord(height/2), crewHalf, coord(height-50), coord(height-6), coord(height-4),
		coord(height-6), crewHalf, coord(height-50), crewHalf, coord(height/2), crewHalf, crewHalf*2/3)
	for i, row := range rows {
		y := 62 + float64(i)*crewPitch
		seat := crewSeat{Row: row, Y: y, Mass: box{crewHalf + crewReach + 14, y - 9, row.MassKg * 0.7, 14}}
		seat.MassAt = spot{seat.Mass.X + seat.Mass.W + 6, y + 4}
		for _, side := range []string{"port", "starboard"} {
			if class.Scull || row.Side == side {
				seat.Oars = append(seat.Oars, newCrewOar(side, y))
			}
		}
		d.Seats = append(d.Seats, seat)
	}
	return d
}

func newCrewOar(side string, y float64) crewOar {
	s := sign(side)
	return crewOar{
		Class: side, Letter: strings.ToUpper(side[:1]),
		Oar:   line{s * crewHalf * 0.92, y, s * (crewHalf + crewReach - 26), y},
		Blade: line{s * (crewHalf + crewReach - 26), y, s * (crewHalf + crewReach), y},
		At:    spot{s * (crewHalf + 20), y - 6},
	}
}

// turningChart is the moment about the vertical axis through the drive.
type turningChart struct {
	Path, Zero string
	Most       float64
	Title      string
}

// newTurningChart draws the moment on a frame of 200 by 70 with the reference
// at one half of the height.
func newTurningChart(moment []float64) *turningChart {
	c := &turningChart{Zero: "M0 35L200 35"}
	for _, m := range moment {
		c.Most = max(c.Most, math.Abs(m))
	}
	scale := 32 / max(1.5, c.Most)
	var points []spot
	for i, m := range moment {
		points = append(points, spot{200 * float64(i) / float64(len(moment)-1), 35 - scale*m})
	}
	c.Path = trace(points...)
	c.Title = "Turning moment from catch to finish, at most " + fix(2, c.Most) + " times that of the alternating rig"
	return c
}

// whyView tells why the order looked at is as it is.
type whyView struct {
	Names   []string
	Rows    []swapRow
	Bench   []api.SeatSwap // the best exchanges with the bench
	Without []lossRow
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

// lossRow is the order without one athlete.
type lossRow struct {
	Name string
	Text string
	Cost string
}

// benchShown is how many exchanges with the bench the page lists.
const benchShown = 8

func (s *site) explain(ctx context.Context, p *ordersPage) error {
	l := p.Beside[0].Lineup
	reasons, err := s.service.ExplainLineup(ctx, api.CostRequest{
		SeatOrderProblem: p.request.SeatOrderProblem, Lineup: api.GivenLineup{Seats: l.Seats, Sides: l.Sides},
	})
	if err != nil {
		return err
	}
	v := &whyView{Names: p.crew(l.Seats)}
	change := map[[2]int]api.SeatSwap{}
	for _, swap := range reasons.Swaps {
		if swap.OtherSeat == 0 {
			if swap.Possible {
				v.Bench = append(v.Bench, swap)
			}
			continue
		}
		change[[2]int{swap.Seat, swap.OtherSeat}], change[[2]int{swap.OtherSeat, swap.Seat}] = swap, swap
	}
	for i, name := range v.Names {
		row := swapRow{Name: name}
		for j := range v.Names {
			row.Cells = append(row.Cells, newSwapCell(change[[2]int{i + 1, j + 1}], i == j))
		}
		v.Rows = append(v.Rows, row)
	}
	sort.SliceStable(v.Bench, func(i, j int) bool { return v.Bench[i].ChangeS < v.Bench[j].ChangeS })
	v.Bench = v.Bench[:min(len(v.Bench), benchShown)]
	for _, loss := range reasons.Without {
		v.Without = append(v.Without, p.lossRow(loss, l.Seats))
	}
	p.Why = v
	return nil
}

func newSwapCell(s api.SeatSwap, self bool) swapCell {
	switch {
	case self:
		return swapCell{"", "self"}
	case !s.Possible:
		return swapCell{"–", "none"}
	case len(s.Breaks) > 0:
		return swapCell{signed(2, s.ChangeS) + "*", "rule"}
	case math.Abs(s.ChangeS) < 0.05:
		return swapCell{signed(2, s.ChangeS), "near"}
	}
	return swapCell{signed(2, s.ChangeS), ""}
}

func (p *ordersPage) lossRow(loss api.SeatLoss, crew []string) lossRow {
	row := lossRow{Name: p.names[loss.ID], Cost: "+" + fix(2, loss.CostS) + " s"}
	if !loss.Possible {
		row.Text, row.Cost = "No order keeps the rules without this athlete.", "–"
		return row
	}
	var in []string
	for _, id := range loss.Best.Seats {
		if !slices.Contains(crew, id) {
			in = append(in, p.names[id])
		}
	}
	row.Text = "in comes " + strings.Join(in, " and ")
	return row
}

// firmView tells what is firm and what is a coin-flip.
type firmView struct {
	Draws     int
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
	Words    string
	Seats    []string
}

// raceRow is a seat race worth running.
type raceRow struct {
	In, Out  string
	Gain, Sd float64
	Chance   float64
	Value    float64
	Address  string
}

// newFirmView orders the athletes by their share of places, those never
// selected left out.
func newFirmView(p *ordersPage, f *api.Firmness) *firmView {
	v := &firmView{Draws: f.Draws, SameCrew: f.SameCrew, SameOrder: f.SameOrder}
	for seat := 1; seat <= p.Class.Rowers; seat++ {
		v.Seats = append(v.Seats, seat)
	}
	for id, share := range f.Selected {
		if share == 0 {
			continue
		}
		row := firmRow{Name: p.names[id], Selected: share, Words: firmWords(share)}
		for _, seat := range v.Seats {
			text := ""
			if in := f.Seat[id][strconv.Itoa(seat)]; in >= 0.005 {
				text = fix(0, 100*in)
			}
			row.Seats = append(row.Seats, text)
		}
		v.Rows = append(v.Rows, row)
	}
	sort.Slice(v.Rows, func(i, j int) bool {
		a, b := v.Rows[i], v.Rows[j]
		return a.Selected > b.Selected || a.Selected == b.Selected && a.Name < b.Name
	})
	for _, r := range f.Races[:min(len(f.Races), 5)] {
		v.Races = append(v.Races, raceRow{p.names[r.In], p.names[r.Out], r.GainS, r.SdS, r.Chance, r.ValueS, "/trials/new"})
	}
	return v
}

// firmWords puts a share of places into words.
func firmWords(share float64) string {
	switch {
	case share >= 0.95:
		return "firm"
	case share >= 0.7:
		return "likely"
	case share >= 0.3:
		return "a coin-flip"
	}
	return "unlikely"
}

// Kept lists what was chosen, for the other forms of the page: the name as the
// option's value, what was typed as its label.
func (p *ordersPage) Kept() []option {
	var list []option
	for name, values := range keep(p.typed) {
		if !ownSeat(name) {
			list = append(list, option{name, values[0]})
		}
	}
	sort.Slice(list, func(i, j int) bool { return list[i].Value < list[j].Value })
	return list
}

// ownSeat tells whether a name belongs to the order of one's own.
func ownSeat(name string) bool {
	_, err := strconv.Atoi(strings.TrimPrefix(name, "s"))
	return err == nil && name[0] == 's' || name == "own"
}

// Typed returns what was typed in a field of the form.
func (p *ordersPage) Typed(name string) string { return p.typed.Get(name) }

// Called names an athlete.
func (p *ordersPage) Called(id string) string { return p.names[id] }

// Next is the address that puts an order beside the one looked at.
func (p *ordersPage) Next(rank int) string { return p.with("beside", strconv.Itoa(rank)) }
