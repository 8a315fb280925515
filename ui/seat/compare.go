package seat

import (
	"context"
	"fmt"
	"math"
	"net/url"
	"strings"

	"thole/api/seat"
	"thole/ui/page"
)

// figuresOf solves what a step promises.
func (s *site) figuresOf(ctx context.Context) figures {
	return func(r *seat.SolveRequest) *seat.SeatSolution {
		solution, err := s.service.Seat.SolveSeat(ctx, *r)
		if err != nil {
			return nil
		}
		return &solution
	}
}

// requestOf is the first set-up with values of the second's fields.
func (p *seatPage) requestOf(values map[string]string) *seat.SolveRequest {
	r, typed := *p.request, url.Values{}
	for name, v := range values {
		typed.Set(name, v)
	}
	first, more := page.FieldsOfRig(p.Class.Scull)
	page.Bind(page.Concat(first, more), second, typed, &r)
	p.secondMark(&r, typed)
	return &r
}

// Arc is the arc in short: catch and finish.
func (v *setupView) Arc() string {
	return degrees(-v.Solution.CatchDeg) + " / " + degrees(v.Solution.FinishDeg)
}

// Versus reports in one sentence what the second set-up does against the first.
func (p *seatPage) Versus() string {
	a, b := p.First.Solution, p.Second.Solution
	return fmt.Sprintf("The second set-up: catch %s, finish %s, lever ratio %s.",
		longer(a.CatchDeg-b.CatchDeg), longer(b.FinishDeg-a.FinishDeg), heavier(b.Gearing.LeverRatio-a.Gearing.LeverRatio))
}

// longer is a change of an end of the arc in words.
func longer(by float64) string {
	text := page.Fix(0, math.Abs(by))
	switch {
	case text == "0":
		return "as it was"
	case by > 0:
		return text + "° longer"
	}
	return text + "° shorter"
}

// heavier is a change of the lever ratio in words.
func heavier(by float64) string {
	text := page.Fix(2, math.Abs(by))
	switch {
	case text == "0.00":
		return "as it was"
	case by > 0:
		return text + " heavier"
	}
	return text + " lighter"
}

// Differences are the settings that the second set-up moves.
func (p *seatPage) Differences() []compareLine {
	var list []compareLine
	for _, in := range p.RigB {
		own, ok := page.ParseNumber(in.Value)
		if in.Value == "" || !ok {
			continue
		}
		name := strings.TrimPrefix(in.ID(), second)
		line := compareLine{Label: in.Label, First: p.value(name), Second: in.Value, Unit: in.Unit}
		if name == "heel_to_pin_cm" && p.Mark == "hole" {
			line.Unit = ""
		}
		if was, ok := page.ParseNumber(p.value(name)); ok {
			line.Change = page.Signed(1, own-was)
		}
		list = append(list, line)
	}
	return list
}

// Arcs are the figures of both set-ups with their spread.
func (p *seatPage) Arcs() []compareLine {
	a, b := p.First.Solution, p.Second.Solution
	angle := func(label string, of func(*seat.SeatSolution) (value, sd float64)) compareLine {
		v, sd := of(a)
		w, wsd := of(b)
		return compareLine{
			Label: label, First: page.Fix(0, v) + " ± " + page.Fix(0, sd), Second: page.Fix(0, w) + " ± " + page.Fix(0, wsd), Change: page.Signed(0, w-v), Unit: "°",
		}
	}
	return []compareLine{
		angle("Catch", func(s *seat.SeatSolution) (float64, float64) { return -s.CatchDeg, s.Uncertainty.CatchSdDeg }),
		angle("Finish", func(s *seat.SeatSolution) (float64, float64) { return s.FinishDeg, s.Uncertainty.FinishSdDeg }),
		angle("Arc", func(s *seat.SeatSolution) (float64, float64) { return s.ArcDeg, s.Uncertainty.ArcSdDeg }),
		p.line("Lever ratio", "", 2, func(s *seat.SeatSolution) float64 { return s.Gearing.LeverRatio }),
	}
}

// Proofs are what a tape reads in the boat, in one or two set-ups.
func (p *seatPage) Proofs() []compareLine {
	lines := proofs(p.First.Solution)
	if p.Second != nil {
		for i, other := range proofs(p.Second.Solution) {
			lines[i].Second = other.First
		}
	}
	return lines
}

func proofs(s *seat.SeatSolution) []compareLine {
	lines := []compareLine{
		{Label: "Legs down, hands at the body", First: page.Fix(0, s.Proof.FinishCm) + " cm to the bow"},
		{Label: "At full reach", First: page.Fix(0, s.Proof.CatchCm) + " cm to the stern"},
	}
	if v := s.Proof.FinishOutsideHandCm; v != nil {
		lines = append(lines, compareLine{Label: "Outside hand at the body", First: page.Fix(0, *v) + " cm to the bow"})
	}
	lines = append(lines, compareLine{Label: "Stretcher for that", First: page.Fix(1, s.Stretcher.HeelToPinCm) + " ± " + page.Fix(1, s.Stretcher.SdCm) + " cm"})
	if m := s.Stretcher.Mark; m != nil {
		digits := 1
		if m.Mark == "hole" {
			digits = 0
		}
		lines = append(lines, compareLine{Label: "In this boat’s number (" + m.Mark + ")", First: page.Fix(digits, m.Aim) + ", now " + page.Fix(1, m.Now)})
	}
	return lines
}

// cautionLine is a caution, of one of two set-ups where it is not of both.
type cautionLine struct{ Of, Weight, Text string }

// Cautions are what the set-ups shown give reason for, each said once.
func (p *seatPage) Cautions() []cautionLine {
	var list []cautionLine
	add := func(of string, from, other *setupView, both bool) {
		for _, c := range from.Here {
			line := cautionLine{of, c.Weight, c.Text}
			if other != nil && other.cautions(c.Text) {
				if line.Of = ""; !both {
					continue
				}
			}
			list = append(list, line)
		}
	}
	if p.Second == nil {
		add("", p.First, nil, true)
		return list
	}
	add("First", p.First, p.Second, true)
	add("Second", p.Second, p.First, false)
	return list
}

// cautions reports whether a set-up gives reason for a caution.
func (v *setupView) cautions(text string) bool {
	for _, c := range v.Here {
		if c.Text == text {
			return true
		}
	}
	return false
}
