package schedule

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"thole/api/clock"
	"thole/api/schedule"
	"thole/api/seat"
	"thole/api/seatrace"
	"thole/ui/lanes"
	"thole/ui/page"
)

// scheduleView is a plan as the page shows it.
type scheduleView struct {
	plan    *schedule.SeatRacePlan
	request *schedule.SeatRacePlanRequest
	squad   []seatrace.RaceParticipant
	labels  map[string]string

	Pieces []scheduledPiece
	Matrix expectedMatrix
	Pairs  []pairLine
	Asked  int
	Open   []string // wanted pairs that are not compared
	Sides  string   // what is said of ports and starboards
	Truth  []string // what else the schedule does not show

	Example *swapExample
	Here    []seat.Caution
	Always  []seat.Caution
	SdW     float64 // the expected standard error as power, W
}

// swapExample sets one swap beside the whole schedule: the same pair, the same unit.
type swapExample struct{ Pair, Plan, Swap, PlanW, SwapW string }

func newSwapExample(plan *schedule.SeatRacePlan, label func(string) string) *swapExample {
	d, ok := plan.Example()
	if !ok {
		return nil
	}
	x := &swapExample{Pair: label(d.First) + " / " + label(d.Second), Plan: page.Fix(2, d.ExpectedSdS), Swap: page.Fix(2, plan.SwapSdS)}
	if plan.SmallestS > 0 {
		x.PlanW, x.SwapW = page.Fix(0, plan.PowerOf(d.ExpectedSdS)), page.Fix(0, plan.PowerOf(plan.SwapSdS))
	}
	return x
}

// Plan gives the template what the service answered.
func (v *scheduleView) Plan() *schedule.SeatRacePlan { return v.plan }

// scheduledPiece is one piece of the schedule.
type scheduledPiece struct {
	Number  int
	Start   string
	Drawing lanes.Drawing
	Change  string
	Crews   []string // a line a boat
}

// pairLine is one pair to compare.
type pairLine struct {
	First, Second string
	Sd, SdW       string
	Pieces        int
	Enough        bool
}

// expectedMatrix is the expected standard error of every pair.
type expectedMatrix struct {
	Names []string
	Rows  []expectedRow
}

type expectedRow struct {
	Name  string
	Cells []expectedCell
}

// expectedCell is one pair: its standard error in words, and how it stands to
// the best and worst of the plan as a class of the style sheet.
type expectedCell struct {
	Text, Class string
	Self        bool
}

func newScheduleView(plan *schedule.SeatRacePlan, r *schedule.SeatRacePlanRequest, squad []seatrace.RaceParticipant, labels map[string]string) *scheduleView {
	v := &scheduleView{plan: plan, request: r, squad: squad, labels: labels, SdW: plan.PowerOf(plan.ExpectedSdS)}
	coxed := strings.HasSuffix(r.BoatClass, "+")
	for i, p := range plan.Pieces {
		v.Pieces = append(v.Pieces, scheduledPiece{
			Number: i + 1, Start: lanes.Minutes(p.StartMin), Drawing: lanes.New(v.shortCrews(p.Crews), v.short(p.Moved), nil, coxed),
			Change: lanes.Change(i, v.short(p.Moved), v.short(p.Left)), Crews: boatLines(v.shortCrews(p.Crews)),
		})
	}
	v.addPairs()
	v.Example = newSwapExample(plan, v.label)
	v.addUntold()
	v.Matrix = newExpectedMatrix(plan.Differences, v.label)
	v.Here, v.Always = partCautions(plan.Cautions)
	return v
}

// label is the short name of an athlete.
func (v *scheduleView) label(name string) string { return cmp.Or(v.labels[name], name) }

func (v *scheduleView) short(names []string) []string { return lanes.Short(names, v.label) }

func (v *scheduleView) shortCrews(crews [][]string) [][]string {
	list := make([][]string, len(crews))
	for b, crew := range crews {
		list[b] = v.short(crew)
	}
	return list
}

// boatLines writes crews, a boat a line.
func boatLines(crews [][]string) []string {
	lines := make([]string, len(crews))
	for b, crew := range crews {
		lines[b] = fmt.Sprintf("Boat %d: %s", b+1, strings.Join(crew, ", "))
	}
	return lines
}

// addUntold adds in a sentence that ports are not compared with starboards, where
// none is, and takes over what else the schedule does not show: the pairs that are
// wanted and not compared are counted above.
func (v *scheduleView) addUntold() {
	v.Truth = v.plan.Truth[min(len(v.plan.Truth), min(v.plan.Missing, 1)):]
	sides := map[string]string{}
	for _, m := range v.squad {
		sides[m.Name] = m.Side
	}
	apart := false
	for _, d := range v.plan.Differences {
		if a, b := sides[d.First], sides[d.Second]; a != "" && b != "" && a != b {
			if apart = true; d.Estimable {
				return
			}
		}
	}
	if apart && lanes.Sweeps(v.request.BoatClass) {
		v.Sides = "Ports are not compared with starboards: every boat always has as many of each."
	}
}

// partCautions parts what this plan gives reason for from what always counts.
func partCautions(all []seat.Caution) (here, always []seat.Caution) {
	for _, c := range all {
		if c.Weight == "standing" {
			always = append(always, c)
		} else {
			here = append(here, c)
		}
	}
	return here, always
}

// longestPairs is how many pairs are listed one by one; our judgement.
const longestPairs = 12

// addPairs lists the pairs to compare, the least certain first, and names those that
// are not compared.
func (v *scheduleView) addPairs() {
	var wanted []schedule.ExpectedDifference
	for _, d := range v.plan.Differences {
		if d.Asked {
			wanted = append(wanted, d)
		}
	}
	v.Asked = len(wanted)
	slices.SortStableFunc(wanted, func(a, b schedule.ExpectedDifference) int {
		return cmp.Or(boolOrder(a.Estimable, b.Estimable), cmp.Compare(b.ExpectedSdS, a.ExpectedSdS))
	})
	for len(wanted) > 0 && !wanted[0].Estimable {
		v.Open = append(v.Open, v.label(wanted[0].First)+" / "+v.label(wanted[0].Second))
		wanted = wanted[1:]
	}
	for _, d := range wanted[:min(len(wanted), longestPairs)] {
		l := pairLine{First: v.label(d.First), Second: v.label(d.Second), Sd: page.Fix(2, d.ExpectedSdS), Pieces: d.Pieces}
		l.Enough = v.plan.Enough(&d)
		if v.plan.SmallestS > 0 {
			l.SdW = page.Fix(0, v.plan.PowerOf(d.ExpectedSdS))
		}
		v.Pairs = append(v.Pairs, l)
	}
}

// boolOrder puts false first.
func boolOrder(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return 1
	}
	return -1
}

// newExpectedMatrix lays out the pairs in a square.
func newExpectedMatrix(list []schedule.ExpectedDifference, label func(string) string) expectedMatrix {
	var m expectedMatrix
	place := map[string]int{}
	best, worst := math.Inf(1), 0.0
	for _, d := range list {
		for _, name := range []string{d.First, d.Second} {
			if _, ok := place[name]; !ok {
				place[name] = len(m.Names)
				m.Names = append(m.Names, label(name))
			}
		}
		if d.Estimable {
			best, worst = min(best, d.ExpectedSdS), max(worst, d.ExpectedSdS)
		}
	}
	for i, name := range m.Names {
		row := expectedRow{Name: name, Cells: make([]expectedCell, len(m.Names))}
		row.Cells[i] = expectedCell{Self: true}
		m.Rows = append(m.Rows, row)
	}
	for _, d := range list {
		i, j := place[d.First], place[d.Second]
		c := expectedCell{Text: "–", Class: "unknown"}
		if d.Estimable {
			c = expectedCell{Text: page.Fix(2, d.ExpectedSdS), Class: shadeOf(d.ExpectedSdS, best, worst)}
		}
		if d.Asked {
			c.Class += " asked"
		}
		m.Rows[i].Cells[j], m.Rows[j].Cells[i] = c, c
	}
	return m
}

// shadeOf is the darker the more certain a pair is within the plan.
func shadeOf(v, best, worst float64) string {
	if worst-best < 1e-6 {
		return "shade2"
	}
	return fmt.Sprintf("shade%d", 3-int(math.Round(3*(v-best)/(worst-best))))
}

// Time is about the time of a piece.
func (v *scheduleView) Time() string { return clock.Format(v.plan.ExpectedTimeS) }

// GridHead numbers the pieces of the grid.
func (p *schedulePage) GridHead() []int {
	var numbers []int
	for i := range p.Grid[0].Cells {
		numbers = append(numbers, i+1)
	}
	return numbers
}

// gridRow is one athlete with a choice of boat for each piece.
type gridRow struct {
	Name, Side string
	Cells      []gridCell
}

// gridCell is the choice of one athlete in one piece.
type gridCell struct {
	Name    string // of the form's value
	Label   string
	Options []gridOption
	Moved   bool
}

type gridOption struct {
	Value, Text string
	Chosen      bool
}

// grid lays the crews out as choices: those made by hand, or the plan's own.
func (p *schedulePage) grid(squad []seatrace.RaceParticipant) []gridRow {
	texts := p.digits(squad)
	if len(texts) == 0 {
		return nil
	}
	boats := 2
	if p.Plan != nil {
		boats = valueOr(p.Plan.request.Boats, 2)
	} else {
		for _, t := range texts {
			for _, d := range t {
				boats = max(boats, int(d-'0'))
			}
		}
	}
	rows := make([]gridRow, len(squad))
	for j, m := range squad {
		rows[j] = gridRow{Name: m.Name, Side: m.Side}
		for i, digits := range texts {
			rows[j].Cells = append(rows[j].Cells, newGridCell(i, j, m.Name, digits[j], boats, i > 0 && texts[i-1][j] != digits[j]))
		}
	}
	return rows
}

func newGridCell(piece, athlete int, name string, chosen byte, boats int, moved bool) gridCell {
	c := gridCell{Name: fmt.Sprintf("c%d_%d", piece+1, athlete), Label: fmt.Sprintf("%s in piece %d", name, piece+1), Moved: moved}
	for b := 0; b <= boats; b++ {
		o := gridOption{Value: fmt.Sprint(b), Text: fmt.Sprint(b), Chosen: chosen == byte('0'+b)}
		if b == 0 {
			o.Text = "–"
		}
		c.Options = append(c.Options, o)
	}
	return c
}

// digits writes the crews as one digit an athlete for each piece.
func (p *schedulePage) digits(squad []seatrace.RaceParticipant) []string {
	var texts []string
	if p.Plan == nil {
		for _, e := range p.ByHand {
			texts = append(texts, e.Value)
		}
		return texts
	}
	for _, piece := range p.Plan.plan.Pieces {
		text := make([]byte, len(squad))
		for j, m := range squad {
			b := slices.IndexFunc(piece.Crews, func(crew []string) bool { return slices.Contains(crew, m.Name) })
			text[j] = byte('1' + b)
		}
		texts = append(texts, string(text))
	}
	return texts
}

// Summary is read out by a screen reader after a recalculation.
func (v *scheduleView) Summary() string {
	text := fmt.Sprintf("Expected standard error %s seconds, %s watts.", page.Fix(2, v.plan.ExpectedSdS), page.Fix(0, v.SdW))
	if v.plan.Missing > 0 {
		text += fmt.Sprintf(" %d of %d pairs are not compared.", v.plan.Missing, v.Asked)
	}
	return text
}
