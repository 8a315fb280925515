package seat

import (
	"fmt"
	"html/template"
	"strings"

	"thole/api/seat"
	"thole/ui/page"
	"thole/ui/plot"
)

// setupView is one solved set-up as the page shows it.
type setupView struct {
	Solution              *seat.SeatSolution
	Answer                answer
	CatchScale            template.HTML
	FinishScale           template.HTML
	AtCatch, AtFinish, Up template.HTML // drawings from the side and from above
	Gate                  plot.Gate
	Here                  []seat.Caution // what this set-up gives reason for
	Standing              []seat.Caution
}

// newSetupView views a solution; id is unique in the page.
func newSetupView(s *seat.SeatSolution, class seat.BoatClass, id string) *setupView {
	v := &setupView{
		Solution: s, Answer: newAnswer(s), Gate: plot.NewGate(s),
		CatchScale: scale(s, id+"-reach", "catch"), FinishScale: scale(s, id+"-reachf", "finish"),
		AtCatch: side(s, id+"-catch", false), AtFinish: side(s, id+"-finish", true), Up: above(s, class, id+"-above"),
	}
	for _, c := range s.Cautions {
		if c.Weight == "standing" {
			v.Standing = append(v.Standing, c)
		} else {
			v.Here = append(v.Here, c)
		}
	}
	return v
}

// Figures are the four figures of a set-up, each with its spread.
func (v *setupView) Figures() []figureLine {
	s := v.Solution
	return []figureLine{
		{"Catch", page.Fix(0, -s.CatchDeg), "°", "± " + page.Fix(0, s.Uncertainty.CatchSdDeg)},
		{"Finish", page.Fix(0, s.FinishDeg), "°", "± " + page.Fix(0, s.Uncertainty.FinishSdDeg)},
		{"Arc", page.Fix(0, s.ArcDeg), "°", "± " + page.Fix(0, s.Uncertainty.ArcSdDeg)},
		{"Lever ratio", page.Fix(2, s.Gearing.LeverRatio), "", page.Fix(1, s.Gearing.AtCatch) + " at the catch"},
	}
}

// figureLine is one figure with its name, unit and spread.
type figureLine struct{ Name, Value, Unit, Sure string }

// BasisWords say what the arc rests on.
func (v *setupView) BasisWords() string {
	s := v.Solution
	switch s.Basis {
	case "stated":
		return "The posture is the one you stated; ± is the body and the tape."
	case "measured":
		return "The posture follows what was read or measured of this rower; ± is body, tape and what the reading leaves open."
	}
	return fmt.Sprintf("The posture is what is expected of %s. Such rowers catch at %s and finish at %s. ± is one standard deviation of body, tape and posture together.",
		groupWords(s), degrees(-s.Group.CatchDeg), degrees(s.Group.FinishDeg))
}

// groupWords name the group that a rower is compared with.
func groupWords(s *seat.SeatSolution) string {
	if s.Group.Lightweight {
		return map[string]string{"championship": "a championship crew of lightweights", "club": "a club crew of lightweights", "novice": "a novice crew of lightweights"}[s.Group.Level]
	}
	return map[string]string{"championship": "a championship crew", "club": "a club crew", "novice": "a novice crew"}[s.Group.Level]
}

// Sources are where the group's arc comes from.
func (v *setupView) Sources() string { return strings.Join(v.Solution.Group.Source, "; ") }

// GateWords say how the gate stands to its window.
func (v *setupView) GateWords() string {
	w := v.Solution.Heights.Window
	verdict := map[string]string{"low": "clearly low", "inside": "not clearly out", "high": "clearly high"}[w.Verdict]
	if w.HighCm < w.LowCm {
		return verdict
	}
	if gate := v.Solution.Drawing.GateCm; gate >= w.LowCm && gate <= w.HighCm {
		return "inside"
	}
	return verdict
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
	for i := range v.Solution.Sensitivities {
		rows = append(rows, newSensitivityRow(&v.Solution.Sensitivities[i]))
	}
	return rows
}

func newSensitivityRow(s *seat.Sensitivity) sensitivityRow {
	unit := " cm"
	if strings.HasSuffix(s.Setting, "_deg") {
		unit = "°"
	}
	return sensitivityRow{
		Label: page.SettingLabels[s.Setting], Step: page.Signed(0, s.Step) + unit,
		Catch: page.Signed(1, -s.CatchDeg), Finish: page.Signed(1, s.FinishDeg), Arc: page.Signed(1, s.ArcDeg), Ratio: page.Signed(2, s.LeverRatio),
		PitchCatch: page.Signed(1, s.PitchCatchDeg), PitchFinish: page.Signed(1, s.PitchFinishDeg), Handle: page.Signed(1, s.HandleFinishCm),
	}
}

// Lines pairs the numbers of one or two set-ups for the table at the top.
func (p *seatPage) Lines() []compareLine {
	lines := []compareLine{
		p.line("Catch", "°", 1, func(s *seat.SeatSolution) float64 { return -s.CatchDeg }),
		p.line("Finish", "°", 1, func(s *seat.SeatSolution) float64 { return s.FinishDeg }),
		p.line("Arc", "°", 1, func(s *seat.SeatSolution) float64 { return s.ArcDeg }),
		p.line("Handle travel", "m", 3, func(s *seat.SeatSolution) float64 { return s.HandleArcM }),
		p.line("Lever ratio, blade : handle", "", 3, func(s *seat.SeatSolution) float64 { return s.Gearing.LeverRatio }),
		p.line("Oar ratio, outboard : inboard", "", 3, func(s *seat.SeatSolution) float64 { return s.Gearing.OarRatio }),
		p.line(p.pinRatio(), "", 3, func(s *seat.SeatSolution) float64 { return s.Gearing.SpanRatio }),
		p.line("Gearing as in the 2006 survey", "", 3, func(s *seat.SeatSolution) float64 { return s.Gearing.SurveyRatio }),
		p.line("Overlap, measured", "cm", 1, func(s *seat.SeatSolution) float64 { return s.OverlapCm.Raw }),
		p.line("Overlap with the gates' width", "cm", 1, func(s *seat.SeatSolution) float64 { return s.OverlapCm.WithGates }),
		p.line("Seat travel", "cm", 1, func(s *seat.SeatSolution) float64 { return s.SeatTravelCm }),
		p.line("Work-through, seat past the pins", "cm", 1, func(s *seat.SeatSolution) float64 { return s.WorkThroughCm }),
	}
	if p.Class.Scull {
		return append(lines,
			p.line("Hand separation at the catch", "cm", 0, func(s *seat.SeatSolution) float64 { return s.HandsApartCm }),
			p.line("Hand separation at the finish", "cm", 0, func(s *seat.SeatSolution) float64 { return s.HandleEndsApartCm }))
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
func (p *seatPage) Chart() plot.Chart {
	if p.Second == nil {
		return plot.NewChart(p.First.Solution)
	}
	return plot.NewChart(p.First.Solution, p.Second.Solution)
}

// Summary is what a screen reader hears after a recalculation.
func (p *seatPage) Summary() string {
	s := p.First.Solution
	return p.First.Answer.Text + " Catch " + page.Fix(0, -s.CatchDeg) + ", finish " + page.Fix(0, s.FinishDeg) + ", arc " + page.Fix(0, s.ArcDeg) + " degrees."
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
