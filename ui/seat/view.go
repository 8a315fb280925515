package seat

import (
	"strings"

	"thole/api/seat"
	"thole/ui/page"
)

// setupView is one solved set-up as the page shows it.
type setupView struct {
	Solution      *seat.SeatSolution
	Plan          page.PlanDrawing
	Catch, Finish page.SideDrawing
	Gate          page.GateDrawing
	CatchReach    *reachView
	FinishReach   *reachView
	Here          []seat.Caution // what this set-up gives reason for
	Standing      []seat.Caution
}

func newSetupView(s *seat.SeatSolution) *setupView {
	v := &setupView{Solution: s, Plan: page.NewPlan(s), Gate: page.NewGate(s)}
	v.Catch, v.Finish = page.NewSides(s)
	for _, c := range s.Cautions {
		if c.Weight == "standing" {
			v.Standing = append(v.Standing, c)
		} else {
			v.Here = append(v.Here, c)
		}
	}
	if s.Demand != nil && s.Demand.Catch != nil {
		v.CatchReach = newReach("catch", &s.Demand.Catch.EndDemand)
		v.CatchReach.detailCatch(s.Demand.Catch)
	}
	if s.Demand != nil && s.Demand.Finish != nil {
		v.FinishReach = newReach("finish", s.Demand.Finish)
	}
	return v
}

// reachView tells in words how a target stands to the body.
type reachView struct {
	Verdict string // class of the style sheet
	Mark    string // shape that goes with it, for readers without colour
	Words   string
	Text    string
	// The bar: needed, usual and limit as shares of its length.
	Needed, Usual, Limit float64
	HasNeeded            bool
}

// reachWords are the verdicts with a shape each.
var reachWords = map[string]struct{ words, mark string }{
	"within_reach":  {"within reach", "●"},
	"edge_of_reach": {"at the edge of reach", "◐"},
	"beyond_reach":  {"beyond reach", "○"},
}

// reachBar is the lean at the bar's end, degrees.
const reachBar = 50

func newReach(end string, d *seat.EndDemand) *reachView {
	target := page.Fix(0, max(d.TargetDeg, -d.TargetDeg))
	lean := map[string]string{"catch": "forward lean", "finish": "layback"}[end]
	v := &reachView{
		Verdict: strings.ReplaceAll(d.Reach, "_", "-"), Mark: reachWords[d.Reach].mark,
		Words: "A " + end + " of " + target + "° is " + reachWords[d.Reach].words,
		Usual: bounded(d.UsualDeg), Limit: bounded(d.LimitDeg),
	}
	if d.NeededDeg == nil {
		v.Text = "No " + lean + " brings the hands there."
	} else {
		v.Needed, v.HasNeeded = bounded(*d.NeededDeg), true
		v.Text = "It asks for " + page.Fix(0, *d.NeededDeg) + "° of " + lean + "; usual is " + page.Fix(0, d.UsualDeg) + "°, the limit here " + page.Fix(0, d.LimitDeg) + "°."
	}
	if d.MarginDeg >= 0 {
		v.Text += " At that limit " + page.Fix(1, d.MarginDeg) + "° are to spare."
	} else {
		v.Text += " At that limit " + page.Fix(1, -d.MarginDeg) + "° are missing."
	}
	return v
}

func bounded(deg float64) float64 { return 100 * max(0, min(1, deg/reachBar)) }

// detailCatch adds what bounds the lean and what the legs would have to do.
func (v *reachView) detailCatch(d *seat.CatchDemand) {
	if d.LimitedBy == "trunk_thigh" {
		v.Text += " The limit comes from the thighs meeting the trunk."
	}
	if d.SlideStopDeg != nil {
		v.Text += " The knees reach their limit first: the slide ends with the shins at " + page.Fix(0, *d.SlideStopDeg) + "°."
	}
	if d.ShinDeg != nil {
		v.Text += " It would take more compression: shins at " + page.Fix(0, *d.ShinDeg) + "°."
	}
	if d.Reach == "beyond_reach" {
		v.Text += " Do not make it up with a rounded lower back."
	}
}

// Row is one line of the table of centimetres.
type sensitivityRow struct {
	Label, Step                     string
	Catch, Finish, Arc, Ratio       string
	PitchCatch, PitchFinish, Handle string
}

// Rows lists what each step of each setting changes. The catch counts as
// people say it, more being longer.
func (v *setupView) Rows() []sensitivityRow {
	var rows []sensitivityRow
	for _, s := range v.Solution.Sensitivities {
		unit := " cm"
		if strings.HasSuffix(s.Setting, "_deg") {
			unit = "°"
		}
		rows = append(rows, sensitivityRow{
			Label: page.SettingLabels[s.Setting], Step: page.Signed(0, s.Step) + unit,
			Catch: page.Signed(1, -s.CatchDeg), Finish: page.Signed(1, s.FinishDeg), Arc: page.Signed(1, s.ArcDeg), Ratio: page.Signed(2, s.LeverRatio),
			PitchCatch: page.Signed(1, s.PitchCatchDeg), PitchFinish: page.Signed(1, s.PitchFinishDeg), Handle: page.Signed(1, s.HandleFinishCm),
		})
	}
	return rows
}

// Lines pairs the numbers of one or two set-ups for the table at the top.
func (p *seatPage) Lines() []compareLine {
	lines := []compareLine{
		p.line("Catch", "°", 1, func(s *seat.SeatSolution) float64 { return -s.CatchDeg }),
		p.line("Finish", "°", 1, func(s *seat.SeatSolution) float64 { return s.FinishDeg }),
		p.line("Arc", "°", 1, func(s *seat.SeatSolution) float64 { return s.ArcDeg }),
		p.line("Way of the handle", "m", 3, func(s *seat.SeatSolution) float64 { return s.HandleArcM }),
		p.line("Lever ratio, blade : handle", "", 3, func(s *seat.SeatSolution) float64 { return s.Gearing.LeverRatio }),
		p.line("Oar ratio, outboard : inboard", "", 3, func(s *seat.SeatSolution) float64 { return s.Gearing.OarRatio }),
		p.line(p.pinRatio(), "", 3, func(s *seat.SeatSolution) float64 { return s.Gearing.SpanRatio }),
		p.line("The same as the 2006 survey counts it", "", 3, func(s *seat.SeatSolution) float64 { return s.Gearing.SurveyRatio }),
		p.line("Overlap, measured", "cm", 1, func(s *seat.SeatSolution) float64 { return s.OverlapCm.Raw }),
		p.line("Overlap with the gates' width", "cm", 1, func(s *seat.SeatSolution) float64 { return s.OverlapCm.WithGates }),
		p.line("Seat travel", "cm", 1, func(s *seat.SeatSolution) float64 { return s.SeatTravelCm }),
		p.line("Work-through, seat past the pins", "cm", 1, func(s *seat.SeatSolution) float64 { return s.WorkThroughCm }),
	}
	if p.Class.Scull {
		return append(lines,
			p.line("Between the hands at the catch", "cm", 0, func(s *seat.SeatSolution) float64 { return s.HandsApartCm }),
			p.line("Between the handle ends at the finish", "cm", 0, func(s *seat.SeatSolution) float64 { return s.HandleEndsApartCm }))
	}
	return append(lines, p.line("Shoulders turned at the catch", "°", 0, func(s *seat.SeatSolution) float64 { return s.RotationDeg }))
}

func (p *seatPage) pinRatio() string {
	if p.Class.Scull {
		return "Span ratio, outboard : half the span"
	}
	return "Spread ratio, outboard : spread"
}

// compareLine is one number of one or two set-ups.
type compareLine struct{ Label, Unit, First, Second, Change string }

func (p *seatPage) line(label, unit string, digits int, of func(*seat.SeatSolution) float64) compareLine {
	l := compareLine{Label: label, Unit: unit, First: page.Fix(digits, of(p.First.Solution))}
	if p.Second != nil {
		a, b := of(p.First.Solution), of(p.Second.Solution)
		l.Second, l.Change = page.Fix(digits, b), page.Signed(digits, b-a)
	}
	return l
}

// Setups lists the set-ups that are shown.
func (p *seatPage) Setups() []*setupView {
	if p.Second == nil {
		return []*setupView{p.First}
	}
	return []*setupView{p.First, p.Second}
}

// Chart is the gearing of the set-ups shown.
func (p *seatPage) Chart() page.Chart {
	if p.Second == nil {
		return page.NewChart(p.First.Solution)
	}
	return page.NewChart(p.First.Solution, p.Second.Solution)
}

// Summary is what a screen reader hears after a recalculation.
func (p *seatPage) Summary() string {
	s := p.First.Solution
	text := "Catch " + page.Fix(1, -s.CatchDeg) + ", finish " + page.Fix(1, s.FinishDeg) + ", arc " + page.Fix(1, s.ArcDeg) + " degrees."
	if p.First.CatchReach != nil {
		text += " " + p.First.CatchReach.Words + "."
	}
	return text
}

// BodyLines lists the segments with their standard deviations, cm.
func (v *setupView) BodyLines() []compareLine {
	s, sd := v.Solution.Body.SegmentsCm, v.Solution.Body.SdCm
	values := [][2]float64{
		{s.Shank, sd.Shank}, {s.Thigh, sd.Thigh}, {s.Trunk, sd.Trunk}, {s.Arm, sd.Arm},
		{s.HalfShoulder, sd.HalfShoulder}, {s.HalfDepth, sd.HalfDepth}, {s.AnkleAlong, sd.AnkleAlong},
		{s.AnkleOff, sd.AnkleOff}, {s.Ball, sd.Ball}, {s.HipHeight, sd.HipHeight},
	}
	var lines []compareLine
	for i, f := range page.SegmentFields {
		lines = append(lines, compareLine{Label: f.Label, First: page.Fix(1, values[i][0]), Second: page.Fix(1, values[i][1])})
	}
	return lines
}
