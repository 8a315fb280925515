package seat

import (
	"fmt"
	"math"
	"net/url"
	"strings"

	"thole/api/seat"
	"thole/ui/page"
)

// answer is the one sentence of a seat, with what belongs to it.
type answer struct {
	Mark  string // a shape, for readers without colour
	Class string // of the style sheet
	Word  string // likely, too close to tell, unlikely
	Text  string
	Notes []string
}

// oddsWords are the chances in words with a shape each.
var oddsWords = map[string]struct{ mark, class, word string }{
	"likely":            {"●", "likely", "likely"},
	"too_close_to_tell": {"◐", "open", "too close to tell"},
	"unlikely":          {"○", "unlikely", "unlikely"},
}

// newAnswer reports what matters most first: a rower nobody knows, a stretcher in
// the wrong place, and then whether the arc suits the reach.
func newAnswer(s *seat.SeatSolution) answer {
	switch {
	case s.Verdict.MeasureRower:
		return answer{
			Mark: "△", Class: "measure", Word: "measure first", Text: "Add the rower’s height: until then this is an average adult.",
			Notes: []string{fmt.Sprintf("Catch %s ± %s: too wide to set a boat by.", degrees(-s.CatchDeg), degrees(s.Uncertainty.CatchSdDeg))},
		}
	case s.Suits.Stretcher != nil:
		return stretcherAnswer(s)
	}
	name, o := leastLikely(s)
	w := oddsWords[o.Odds]
	a := answer{Mark: w.mark, Class: w.class, Word: w.word, Text: oddsSentence(name, o)}
	a.Notes = append(a.Notes, reachNote(s, o)...)
	return a
}

func degrees(v float64) string { return page.Fix(0, v) + "°" }

// stretcherAnswer says that the stretcher stands in the wrong place, and of the
// reach only what the stretcher hardly changes: the whole arc.
func stretcherAnswer(s *seat.SeatSolution) answer {
	f := s.Suits.Stretcher
	a := answer{Mark: "○", Class: "unlikely", Word: "stretcher out of place"}
	way := "stern"
	if s.Stretcher.ByCm > 0 {
		way = "bow"
	}
	a.Text = fmt.Sprintf("The stretcher stands %s cm too far towards the %s.", page.Fix(0, math.Abs(s.Stretcher.ByCm)), way)
	a.Notes = []string{fmt.Sprintf("The finish would come at %s ± %s; the target is %s.", degrees(s.FinishDeg), page.Fix(0, s.Uncertainty.FinishSdDeg), degrees(s.Targets.FinishDeg))}
	if f.PastBoth {
		a.Notes = append(a.Notes, "Catch and finish both lie past their targets: that is the stretcher, not reach to spare.")
	}
	a.Notes = append(a.Notes, oddsSentence("An arc", s.Suits.Arc))
	return a
}

// leastLikely is the part of the arc that the verdict rests on.
func leastLikely(s *seat.SeatSolution) (string, seat.Odds) {
	name, least := "A catch", s.Suits.Catch
	if s.Suits.Finish.Chance < least.Chance {
		name, least = "A finish", s.Suits.Finish
	}
	if s.Suits.Arc.Chance < least.Chance {
		name, least = "An arc", s.Suits.Arc
	}
	return name, least
}

// oddsSentence is a chance as a sentence; the verdict stands beside it in a word.
func oddsSentence(name string, o seat.Odds) string {
	return name + " of " + degrees(math.Abs(o.TargetDeg)) + " is within your reach with a chance of " + inTen(o.Chance) + "."
}

// inTen is a chance as people say it.
func inTen(chance float64) string {
	switch n := math.Round(10 * chance); {
	case n >= 10:
		return "over 9 in 10"
	case n < 1:
		return "under 1 in 10"
	default:
		return page.Fix(0, n) + " in 10"
	}
}

// limitWords say what ends a reach.
var limitWords = map[string]string{
	"lean": "the trunk’s lean", "trunk_thigh": "the thighs meeting the trunk", "knee_flexion": "the knees", "dorsiflexion": "the ankles",
	"shin": "the shins", "oar": "the oar along the hull",
}

// reachNote reports where the reach ends and, where it is too close to tell, what
// would settle it.
func reachNote(s *seat.SeatSolution, o seat.Odds) []string {
	notes := []string{fmt.Sprintf("The reach ends at %s ± %s, at %s.", degrees(-s.Capacity.CatchDeg), page.Fix(0, s.Capacity.CatchSdDeg), limitWords[s.Capacity.LimitedBy])}
	if o.Odds == "likely" && s.Suits.Finish.Odds == "likely" {
		notes = append(notes, "A finish of "+degrees(s.Targets.FinishDeg)+" is no trouble.")
	}
	if len(s.Suits.Settle) > 0 {
		notes = append(notes, settleWords[s.Suits.Settle[0]])
	}
	return notes
}

// settleWords say what to measure to settle a verdict.
var settleWords = map[string]string{
	"body":           "Arm span and sitting height would narrow it most.",
	"seated_reading": "A reading with the rower in the seat would settle it.",
}

// step is one thing to do next, with the button that does it.
type step struct {
	Text, Label, Address string
	Primary              bool
}

// figures solves a request for the figures that a step promises; nil where it
// cannot be solved.
type figures func(*seat.SolveRequest) *seat.SeatSolution

// steps lists what to do next, at most three.
func (p *seatPage) steps(solve figures) []step {
	s := p.First.Solution
	var list []step
	if s.Verdict.MeasureRower {
		list = append(list, step{"Height, mass and sex tell most of what the reach depends on.", "Add the height", p.linkTo("stature_cm"), false})
	}
	list = append(list, p.moves(solve)...)
	if s.Suits.Odds == "too_close_to_tell" && !s.Verdict.MeasureRower && (p.value("arm_span_cm") == "" || p.value("sitting_height_cm") == "") {
		list = append(list, step{fmt.Sprintf("Arm span and sitting height narrow the reach’s ± %s.", degrees(s.Capacity.CatchSdDeg)), "Add arm span", p.linkTo("arm_span_cm"), false})
	}
	if len(list) == 0 && p.Second == nil {
		list = append(list, step{Text: "Nothing needs to move. Check it once with the rower in the seat, below."})
	}
	if len(list) > 0 {
		list[0].Primary = list[0].Address != "" && p.Second == nil
	}
	return list
}

// moves reports what to move: by the reading where there is one, else as the
// everyday job has it. What the second set-up is already is not said again.
func (p *seatPage) moves(solve figures) []step {
	s := p.First.Solution
	if s.Stretcher.ByReading && math.Abs(s.Stretcher.ByCm) >= seat.StretcherStepCm/2 {
		shown, heel := p.stretcherShown(s.Stretcher.HeelToPinCm)
		text := fmt.Sprintf("By the reading: %s; the finish then comes at %s.", s.Stretcher.Text, degrees(s.Targets.FinishDeg))
		return []step{{text, "Set the stretcher to " + shown, p.with("heel_to_pin_cm", heel), false}}
	}
	if p.Work == nil || len(p.Work.Changes) == 0 {
		return nil
	}
	texts, beside := p.advised()
	if p.shown(beside) {
		return nil
	}
	text := page.Capital(strings.Join(texts, ", ")) + "."
	if r := solve(p.requestOf(beside)); r != nil {
		text = fmt.Sprintf("%s: finish %s ± %s, catch %s ± %s.", page.Capital(strings.Join(texts, ", ")),
			degrees(r.FinishDeg), page.Fix(0, r.Uncertainty.FinishSdDeg), degrees(-r.CatchDeg), page.Fix(0, r.Uncertainty.CatchSdDeg))
	}
	return []step{{text, "Compare with this", p.besides(beside), false}}
}

// advised is what the everyday job moves, in words and as fields of the second
// set-up. What is read by holes goes to a hole, and the words say which.
func (p *seatPage) advised() (texts []string, beside map[string]string) {
	beside = map[string]string{}
	for _, c := range p.Work.Changes {
		text, to := c.Text, page.Plain(c.To)
		if c.Setting == "heel_to_pin_cm" && p.Mark != "" {
			var shown string
			shown, to = p.inMark(c.To)
			text = "stretcher to " + shown
		}
		texts, beside[second+c.Setting] = append(texts, text), to
	}
	return texts, beside
}

// besides is the address with a second set-up that differs from the first by
// values alone, whatever stood there before.
func (p *seatPage) besides(values map[string]string) string {
	next := url.Values{}
	for name, v := range p.typed {
		if !strings.HasPrefix(name, second) {
			next[name] = v
		}
	}
	for name, v := range values {
		next.Set(name, v)
	}
	return "/seat?" + address(next)
}

// shown reports whether the second set-up is those values and no others.
func (p *seatPage) shown(values map[string]string) bool {
	return p.Comparing && p.besides(values) == "/seat?"+address(p.typed)
}

// Kept is the address of the first set-up alone.
func (p *seatPage) Kept() string { return p.besides(nil) }

// Adopted is the address with the second set-up in the place of the first.
func (p *seatPage) Adopted() string {
	next := url.Values{}
	for name, v := range p.typed {
		next[name] = v
	}
	for name, v := range p.typed {
		if own, ok := strings.CutPrefix(name, second); ok {
			if strings.TrimSpace(v[0]) != "" {
				next[own] = v
			}
			next.Del(name)
		}
	}
	return "/seat?" + address(next)
}

// stretcherShown is [seatPage.inMark] of the step of the stretcher next to a place.
func (p *seatPage) stretcherShown(heel float64) (shown, typed string) {
	return p.inMark(math.Round(heel/seat.StretcherStepCm) * seat.StretcherStepCm)
}

// inMark is a place of the heel in the number that the boat's stretcher is read
// in: with its unit, and as it is typed.
func (p *seatPage) inMark(heel float64) (shown, typed string) {
	v := p.toMark(heel)
	if p.Mark == "hole" {
		typed = page.Fix(0, math.Round(v))
		return "hole " + typed, typed
	}
	typed = page.Plain(v)
	return typed + " cm", typed
}
