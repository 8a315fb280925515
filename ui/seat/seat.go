package seat

import (
	"context"
	"errors"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strings"

	"thole/api/seat"
	"thole/api/wire"
	"thole/ui/page"
)

// The page for one seat: a rig, as much of a body as is known, and what comes
// of the two. A second set-up may stand beside the first.

// second is the prefix of the second set-up's fields.
const second = "b_"

// seatPage is all that the page shows.
type seatPage struct {
	Classes []seat.BoatClass
	Class   seat.BoatClass
	Side    string
	Sex     string

	Rig, RigMore      []page.Input
	RigB              []page.Input
	Body, Segments    []page.Input
	Targets           []page.Input
	Posture, Approach []page.Input
	Comparing         bool
	Problems          []page.Problem
	First, Second     *setupView
	Address           string // that restores the inputs
	Entered           []page.Entry
	Next              *nextStep
	Live              bool // a recalculation, not a whole page
	Moved             bool // the discipline changed and the rig's figures with it
}

// seatPages lists the pages of this area.
func (s *site) seatPages() map[string]page.Handler {
	return map[string]page.Handler{"GET /seat": s.seat, "POST /seat": s.seatLive}
}

// seat answers the whole page.
func (s *site) seat(w http.ResponseWriter, r *http.Request) error {
	p := s.solveSeat(r.Context(), r.URL.Query())
	status := http.StatusOK
	if len(p.Problems) > 0 {
		status = http.StatusUnprocessableEntity
	}
	return s.Pages.Show(w, status, "seat", p)
}

// seatLive answers a recalculation: the results and each field's message to
// htmx, the address of the whole page to anything else.
func (s *site) seatLive(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return s.Pages.Show(w, http.StatusBadRequest, "message", page.Message{Title: "This did not arrive whole", Text: "Go back and send the form again."})
	}
	if r.Header.Get("HX-Request") == "" {
		http.Redirect(w, r, "/seat?"+address(r.PostForm), http.StatusSeeOther)
		return nil
	}
	p := s.solveSeat(r.Context(), r.PostForm)
	if len(p.Problems) > 0 {
		w.Header().Set("HX-Retarget", "#problems")
		w.Header().Set("HX-Reswap", "outerHTML")
		return s.Pages.Fragment(w, http.StatusUnprocessableEntity, "seat", "seat-refused", p)
	}
	p.Live = true
	w.Header().Set("HX-Replace-Url", p.Address)
	return s.Pages.Fragment(w, http.StatusOK, "seat", "seat-live", p)
}

// address returns the values that were filled in, as a query.
func address(typed url.Values) string {
	kept := url.Values{}
	for name, values := range typed {
		if v := strings.TrimSpace(values[0]); v != "" && name != "was" && name != "leaf" {
			kept.Set(name, v)
		}
	}
	return kept.Encode()
}

// solveSeat reads the form and solves one or two set-ups.
func (s *site) solveSeat(ctx context.Context, typed url.Values) *seatPage {
	p := s.newSeatPage(typed)
	request, complaints := p.request(typed)
	p.First = s.solveOne(ctx, request, complaints)
	p.fill(typed, complaints)
	if p.Comparing {
		p.solveSecond(ctx, s, typed, *request)
	}
	p.Address = "/seat?" + address(typed)
	p.Entered = p.entered()
	if p.First != nil {
		p.Next = s.next(ctx, p, typed, *request)
	}
	return p
}

// newSeatPage settles class and side, and with them which fields there are.
func (s *site) newSeatPage(typed url.Values) *seatPage {
	p := &seatPage{Classes: s.service.Seat.BoatClasses(), Side: typed.Get("side"), Sex: typed.Get("sex")}
	p.Class = p.Classes[0]
	for _, c := range p.Classes {
		if c.Code == typed.Get("class") {
			p.Class = c
		}
	}
	p.settle(typed)
	return p
}

// settle gives the page its starting rig: when it is opened empty, and when
// the choice of boat has moved between sculling and sweep, whose measures do
// not carry over.
func (p *seatPage) settle(typed url.Values) {
	start := startRig(p.Class)
	was, moved := typed.Get("was"), false
	if was != "" && (was == "scull") != p.Class.Scull {
		moved = true
		for name := range typed {
			if strings.HasPrefix(name, second) {
				typed.Del(name)
			}
		}
	}
	for name, value := range start {
		if _, sent := typed[name]; !sent || moved {
			typed.Set(name, value)
		}
	}
	if typed.Get("side") == "" && !p.Class.Scull {
		p.Side = "port"
		typed.Set("side", p.Side)
	}
	if p.Class.Scull {
		p.Side = ""
		typed.Del("side")
	}
	p.Moved = moved
	if moved {
		for _, f := range page.Concat(page.ScullFields, page.ScullMoreFields, page.SweepFields) {
			if _, ours := start[f.Name]; !ours {
				typed.Del(f.Name)
			}
		}
	}
	if typed.Get("class") == "" {
		typed.Set("class", p.Class.Code)
	}
}

// startRig is a common rig of the class to start from, and the ends of the arc
// to aim at.
func startRig(c seat.BoatClass) map[string]string {
	rig := map[string]string{"catch_deg": page.Plain(-c.StartCatchDeg), "finish_deg": page.Plain(c.StartFinishDeg)}
	if c.Scull {
		rig["span_cm"], rig["inboard_cm"], rig["oar_length_cm"], rig["heel_to_pin_cm"] = "159", "88", "288", "20"
	} else {
		rig["spread_cm"], rig["inboard_cm"], rig["oar_length_cm"], rig["heel_to_pin_cm"] = "85", "115", "375", "20"
	}
	return rig
}

// request turns what was typed into a request; complaints holds what is no
// number, by the field's path.
func (p *seatPage) request(typed url.Values) (*seat.SolveRequest, map[string]string) {
	r := &seat.SolveRequest{
		BoatClass: p.Class.Code,
		Targets:   &seat.Targets{}, Posture: &seat.Posture{}, Approach: &seat.Approach{},
	}
	r.Seat.Side, r.Rower.Sex = p.Side, p.Sex
	first, more := page.FieldsOfRig(p.Class.Scull)
	all := page.Concat(first, more, page.BodyFields, page.SegmentFields, page.TargetFields, page.PostureFields, page.ApproachFields)
	complaints := page.Bind(all, "", typed, r)
	p.misplaced(typed, complaints)
	if c := r.Targets.CatchDeg; c != nil {
		*c = -*c
	}
	return r, complaints
}

// misplaced complains about a class that is not known, and about measures that
// belong to the other discipline: an address may have been put together by
// hand.
func (p *seatPage) misplaced(typed url.Values, complaints map[string]string) {
	if asked := typed.Get("class"); asked != p.Class.Code {
		complaints["boat_class"] = "There is no boat class “" + asked + "” here."
	}
	other, text := page.Concat(page.ScullFields, page.ScullMoreFields), " belongs to a sculling boat: a sweep boat has a spread and one gate."
	if p.Class.Scull {
		other, text = page.SweepFields, " belongs to a sweep boat: a sculling boat has a span, pin to pin."
	}
	for _, f := range other {
		if typed.Get(f.Name) != "" {
			complaints[f.Path] = f.Label + text
		}
	}
}

// solveOne solves a request unless it has complaints already, and adds those
// that solving brings.
func (s *site) solveOne(ctx context.Context, r *seat.SolveRequest, complaints map[string]string) *setupView {
	if len(complaints) > 0 {
		return nil
	}
	solution, err := s.service.Seat.SolveSeat(ctx, *r)
	var bad *wire.Invalid
	var stuck *wire.Unreachable
	switch {
	case errors.As(err, &bad):
		for _, f := range bad.Fields {
			complaints[f.Field] = f.Detail
		}
		// People type the catch without its sign.
		if _, ok := complaints["targets.catch_deg"]; ok {
			complaints["targets.catch_deg"] = "The catch wanted is a plain number from 10 to 85°."
		}
		return nil
	case errors.As(err, &stuck):
		complaints[""] = stuck.Text
		return nil
	}
	return newSetupView(&solution)
}

// fill keeps what was typed in the fields, with the complaint beside each.
func (p *seatPage) fill(typed url.Values, complaints map[string]string) {
	first, more := page.FieldsOfRig(p.Class.Scull)
	for _, group := range []struct {
		into   *[]page.Input
		fields []page.Field
	}{
		{&p.Rig, first}, {&p.RigMore, more}, {&p.Body, page.BodyFields}, {&p.Segments, page.SegmentFields},
		{&p.Targets, page.TargetFields}, {&p.Posture, page.PostureFields}, {&p.Approach, page.ApproachFields},
	} {
		*group.into = p.inputs(group.fields, "", typed, complaints)
	}
	p.complain(complaints)
	p.RigB = p.inputs(page.Concat(first, more), second, typed, nil)
	for i := range p.RigB {
		p.RigB[i].Blank = "same"
		p.Comparing = p.Comparing || p.RigB[i].Value != ""
	}
}

func (p *seatPage) inputs(fields []page.Field, prefix string, typed url.Values, complaints map[string]string) []page.Input {
	list := make([]page.Input, 0, len(fields))
	for _, f := range fields {
		in := page.Input{Field: f, Value: typed.Get(prefix + f.Name), Prefix: prefix}
		if text, bad := complaints[f.Path]; bad {
			in.Problem, in.Focus = text, len(p.Problems) == 0
			p.Problems = append(p.Problems, page.Problem{Field: in.ID(), Label: f.Label, Text: text})
			delete(complaints, f.Path)
		}
		list = append(list, in)
	}
	return list
}

// complain lists what belongs to no field on the page.
func (p *seatPage) complain(complaints map[string]string) {
	for _, text := range complaints {
		p.Problems = append(p.Problems, page.Problem{Text: text})
	}
}

// solveSecond solves the second set-up: the first with the fields that were
// filled in replaced.
func (p *seatPage) solveSecond(ctx context.Context, s *site, typed url.Values, r seat.SolveRequest) {
	first, more := page.FieldsOfRig(p.Class.Scull)
	complaints := page.Bind(page.Concat(first, more), second, typed, &r)
	p.Second = s.solveOne(ctx, &r, complaints)
	p.RigB = p.inputs(page.Concat(first, more), second, typed, complaints)
	for i := range p.RigB {
		p.RigB[i].Blank = "same"
	}
	for _, text := range complaints {
		p.Problems = append(p.Problems, page.Problem{Label: "Second set-up", Text: text})
	}
}

// entered lists what was filled in, for the printed sheet.
func (p *seatPage) entered() []page.Entry {
	list := []page.Entry{{Label: "Boat", Value: p.Class.Code + " " + p.Class.Name}}
	if p.Side != "" {
		list = append(list, page.Entry{Label: "Side", Value: p.Side})
	}
	for _, group := range [][]page.Input{p.Rig, p.RigMore, p.Body, p.Segments, p.Targets, p.Posture, p.Approach} {
		for _, in := range group {
			if in.Value != "" {
				list = append(list, page.Entry{Label: in.Label, Value: in.Value + " " + in.Unit})
			}
		}
	}
	for _, in := range p.RigB {
		if in.Value != "" {
			list = append(list, page.Entry{Label: "Second set-up: " + in.Label, Value: in.Value + " " + in.Unit})
		}
	}
	return list
}

// Fields lists every field with its complaint, for the messages beside them.
func (p *seatPage) Fields() []page.Input {
	var all []page.Input
	for _, group := range [][]page.Input{p.Rig, p.RigMore, p.Body, p.Segments, p.Targets, p.Posture, p.Approach, p.RigB} {
		all = append(all, group...)
	}
	return all
}

// nextStep is what to do next, with the address of a page that shows it.
type nextStep struct{ Text, Address string }

// heelStep is the spacing of most stretchers' adjustment, cm; common practice.
const heelStep = 0.5

// next proposes what to move first, the stretcher, when one end is not within
// reach: to where the finish asks for the usual layback, which leaves the most
// for the catch. It returns nil unless both ends have a target.
func (s *site) next(ctx context.Context, p *seatPage, typed url.Values, r seat.SolveRequest) *nextStep {
	demand := p.First.Solution.Demand
	if demand == nil || demand.Catch == nil || demand.Finish == nil {
		return nil
	}
	if demand.Catch.Reach == within && demand.Finish.Reach == within {
		return &nextStep{Text: "nothing needs to move for this arc. Row it, measure the arc on the water, and come back with what you found."}
	}
	// Rounded to the bow, where the finish is long enough.
	heel := math.Floor(*demand.HeelForFinishCm/heelStep) * heelStep
	by := heel - *r.Seat.HeelToPinCm
	if math.Abs(by) < heelStep {
		return &nextStep{Text: "the stretcher stands where this finish wants it. For more reach bring pins and inboard in together, or aim for less catch."}
	}
	r.Seat.HeelToPinCm = &heel
	moved := s.solveOne(ctx, &r, map[string]string{})
	if moved == nil {
		return &nextStep{Text: "the stretcher alone cannot bring both ends there: look at inboard, span or spread, or aim for another arc."}
	}
	typed.Set(second+"heel_to_pin_cm", page.Plain(heel))
	step := &nextStep{Text: movedText(by, heel, moved), Address: "/seat?" + address(typed)}
	typed.Del(second + "heel_to_pin_cm")
	return step
}

// Names of the verdicts on the wire.
const (
	within = "within_reach"
	beyond = "beyond_reach"
)

// movedText tells what moving the stretcher by some cm brings.
func movedText(by, heel float64, moved *setupView) string {
	to := "bow"
	if by > 0 {
		to = "stern"
	}
	text := fmt.Sprintf("the stretcher %s cm towards the %s, heel to pins %s cm. %s; %s.",
		page.Fix(1, math.Abs(by)), to, page.Fix(1, heel), moved.FinishReach.Words, page.LowerFirst(moved.CatchReach.Words))
	if d := moved.Solution.Demand.Catch; d.Reach == beyond {
		text += fmt.Sprintf(" The longest catch within the limits is then %s°: aim for that, or bring pins and inboard in together.", page.Fix(0, math.Floor(-d.AtLimitDeg)))
	}
	return text
}
