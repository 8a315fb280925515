package setup

import (
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"

	"thole/api/advice"
	"thole/api/fleet"
	"thole/api/setup"
	"thole/ui/page"
)

// crewPlan is a set-up as the page shows it.
type crewPlan struct {
	Setup         *setup.Setup
	Loads         *advice.CrewLoads // nil for one rower
	Headline      string
	Sub           string
	Catch, Finish string // common targets
	Seats         []planSeat
	Moves         int // settings to be moved
	Busy          int // seats with something to be moved
	First         []firstView
	Here          []cautionView
	Standing      []cautionView
	Offers        []offerView
	Limit         string // who does not reach the catch
	Sure          string // the largest ± at the finish
	HeelWithin    string // the largest ± of a stretcher, cm
	ByHand        bool   // something is set by hand
	Above         template.HTML
}

// planSeat is one seat of a set-up.
type planSeat struct {
	setup.SetupSeat
	verdictWord
	Words         string
	ToDo          []string
	Ask           string // what is to be measured before anything is moved
	Catch, Finish string
	Doubt         string
	Reason        string // why it is not on target
	FoundText     string
	ProofFinish   string
	ProofCatch    string
	HeelAim       string
	Rows          []planRow
	Open          bool // something is typed by hand
}

// planRow is one setting of a seat.
type planRow struct {
	Setting, Label, Unit  string
	Found, Fitted, Target string
	Text, Mark            string
	Moves, ByHand         bool
	Hand                  page.Input
}

// firstView is what is to be measured at a seat before anything is moved there.
type firstView struct {
	Seat          int
	What          string // to be measured, such as height
	All           bool   // nothing at the seat is moved before
	Text, Address string
}

// offerView is an offer with its price, in words.
type offerView struct {
	Text, Brings, Price string
	Moves               []string
}

func newCrewPlan(b *fleet.Boat, s *setup.Setup) *crewPlan {
	p := &crewPlan{Setup: s, Above: crewFromAbove(b, s)}
	doubt, within := 0.0, 0.0
	for i := range s.Seats {
		seat := newPlanSeat(b, &s.Seats[i])
		p.Moves += len(seat.ToDo)
		if len(seat.ToDo) > 0 {
			p.Busy++
		}
		if seat.Result != nil {
			doubt, within = max(doubt, seat.Result.FinishSdDeg), max(within, seat.Result.HeelSdCm)
		}
		for _, f := range firstOf(&seat) {
			if p.First = append(p.First, f); f.All {
				seat.Ask = strings.TrimPrefix(seat.Ask+", "+f.What, ", ")
			}
		}
		p.Seats = append(p.Seats, seat)
	}
	for _, t := range s.Targets {
		*map[string]*string{"catch_deg": &p.Catch, "finish_deg": &p.Finish}[t.Target] = page.Plain(math.Abs(t.Value))
	}
	for i := range s.Offers {
		p.Offers = append(p.Offers, newOfferView(&s.Offers[i]))
	}
	p.Here, p.Standing = splitCautions(s.Cautions)
	p.Headline, p.Sub = p.headline()
	p.Sure, p.HeelWithin = "± "+page.Fix(0, doubt)+"° at the finish", page.Fix(0, within)
	if p.Limit = "nobody"; len(s.Limiting) > 0 {
		p.Limit = page.LowerFirst(seatList(s.Limiting))
	}
	return p
}

// aboveWidths are the widths of the crew from above, px; our judgement.
var aboveWidths = []float64{288, 358, 868}

// crewFromAbove draws the boat with who sits where.
func crewFromAbove(b *fleet.Boat, s *setup.Setup) template.HTML {
	names := make([]string, len(b.Seats))
	for i := range s.Seats {
		names[s.Seats[i].Number-1] = s.Seats[i].Name
	}
	return page.BoatFigure{Boat: b, Widths: aboveWidths, Names: names}.HTML()
}

// headline reports what the set-up comes to, and then how the seats stand.
func (p *crewPlan) headline() (string, string) {
	n, at := map[string]int{}, map[string][]int{}
	for _, s := range p.Seats {
		if s.Stays {
			n["stays"]++
			continue
		}
		n[s.Word]++
		at[s.Word] = append(at[s.Word], s.Number)
	}
	var parts []string
	for _, word := range []string{"on target", "nearly", "off", "measure first", "cannot be rowed"} {
		if n[word] > 0 {
			parts = append(parts, count(n[word], "seat", "seats")+" "+word)
		}
	}
	if n["stays"] > 0 {
		return p.alone(), "Expected then: " + strings.Join(parts, ", ") + ". The check in the seat proves it."
	}
	// The posture's ± is wider than the tolerance: only the check in the seat proves a verdict.
	return p.comesTo(at["measure first"], append(at["off"], at["cannot be rowed"]...)), "Expected then: " + strings.Join(parts, ", ") + ". The check in the seat proves it."
}

// alone reports what is to be done at the seats that alone are set.
func (p *crewPlan) alone() string {
	var parts []string
	for i := range p.Seats {
		s := &p.Seats[i]
		if s.Stays {
			continue
		}
		do := "nothing to move"
		switch {
		case s.Ask != "":
			do = "measure first: " + s.Ask
		case len(s.ToDo) > 0:
			do = strings.Join(s.ToDo, ", ")
		}
		parts = append(parts, fmt.Sprintf("Seat %d, %s: %s", s.Number, s.Name, do))
	}
	return strings.Join(parts, "; ") + ". The rest stays."
}

// comesTo reports in one sentence what the work brings: no more than the seats that
// stay off and those that are not known let it.
func (p *crewPlan) comesTo(first, off []int) string {
	moves, seats := count(p.Moves, "move", "moves"), count(p.Busy, "seat", "seats")
	switch {
	case len(first) > 0 && p.Moves == 0:
		return fmt.Sprintf("Nothing to move yet: measure first at %s.", page.LowerFirst(seatList(first)))
	case len(first) > 0:
		return fmt.Sprintf("%s in %s; measure first at %s.", moves, seats, page.LowerFirst(seatList(first)))
	case len(off) > 0 && p.Moves == 0:
		return fmt.Sprintf(pick(len(off) == 1, "Nothing to move; %s stays off.", "Nothing to move; %s stay off."), page.LowerFirst(seatList(off)))
	case len(off) > 0:
		return fmt.Sprintf(pick(len(off) == 1, "%s in %s; %s stays off.", "%s in %s; %s stay off."), moves, seats, page.LowerFirst(seatList(off)))
	case p.Moves == 0:
		return "Nothing needs to move."
	case len(p.Seats) == 1:
		return fmt.Sprintf("%s in %s for this rower.", moves, seats)
	}
	return fmt.Sprintf(pick(p.Moves == 1, "%s in %s brings this crew together.", "%s in %s bring this crew together."), moves, seats)
}

// firstOf reports what is to be measured before anything is moved at a seat.
func firstOf(s *planSeat) []firstView {
	var list []firstView
	r := s.Result
	if r == nil || s.Stays {
		return nil
	}
	if r.MeasureRower {
		v := firstView{What: "height", All: true, Text: fmt.Sprintf("height unknown, ± %s° at the catch and ± %s° at the finish. Measure it before you move anything.",
			page.Fix(0, r.CatchSdDeg), page.Fix(0, r.FinishSdDeg))}
		if s.AthleteID != nil {
			v.Address = fmt.Sprintf("/athletes/%d", *s.AthleteID)
		}
		list = append(list, v)
	}
	if lacks := s.unmeasured(); lacks != "" {
		list = append(list, firstView{What: lacks, All: true, Text: lacks + " not measured at this seat. Measure before you move anything."})
	}
	if r.MeasureDraw {
		v := firstView{What: "draw height", Text: "the gate looks high, but the draw height was never measured. Measure it before you move the gate."}
		if s.AthleteID != nil {
			v.Address = fmt.Sprintf("/athletes/%d", *s.AthleteID)
		}
		list = append(list, v)
	}
	for i := range list {
		list[i].Seat = s.Number
		list[i].Text = fmt.Sprintf("Seat %d, %s: %s", s.Number, s.Name, list[i].Text)
	}
	return list
}

// needed are the settings that the arc cannot be judged without.
var needed = []string{"span_cm", "spread_cm", "inboard_cm", "heel_to_pin_cm"}

// unmeasured lists those of the seat that nobody has measured.
func (s *planSeat) unmeasured() string {
	var words []string
	for i := range s.Rows {
		if l := &s.Lines[i]; l.Measure && !l.Moves && slices.Contains(needed, l.Setting) {
			words = append(words, page.LowerFirst(page.SettingLabels[l.Setting]))
		}
	}
	return strings.Join(words, ", ")
}

func newPlanSeat(b *fleet.Boat, s *setup.SetupSeat) planSeat {
	v := planSeat{SetupSeat: *s, verdictWord: verdictOf(s.Result), Words: page.SeatWords(b, &b.Seats[s.Number-1])}
	for i := range s.Lines {
		row := newPlanRow(&s.Lines[i])
		if row.Moves {
			v.ToDo = append(v.ToDo, row.Text+pick(row.Mark == "", "", " ("+row.Mark+")")+pick(row.ByHand, " by hand", ""))
		}
		v.Rows = append(v.Rows, row)
	}
	v.FoundText = "As found it cannot be rowed by this body."
	if s.Found != nil {
		v.FoundText = "As found: catch " + page.Fix(0, -s.Found.CatchDeg) + "°, finish " + page.Fix(0, s.Found.FinishDeg) + "°."
	}
	if r := s.Result; r != nil {
		v.Catch, v.Finish, v.Doubt = page.Fix(0, -r.ReachedCatchDeg), page.Fix(0, r.FinishDeg), "± "+page.Fix(0, r.FinishSdDeg)
		v.ProofFinish, v.ProofCatch = page.Fix(1, r.Proof.FinishCm), page.Fix(1, r.Proof.CatchCm)
		v.HeelAim = page.Fix(1, r.HeelToPinCm) + " ± " + page.Fix(1, r.HeelSdCm)
		v.Reason = reasonOf(s)
	}
	return v
}

// reasonOf reports why a seat is not on target.
func reasonOf(s *setup.SetupSeat) string {
	r := s.Result
	if r.MeasureRower {
		return ""
	}
	var parts []string
	if off := math.Abs(r.FinishByDeg); off > r.ToleranceDeg+1e-9 {
		parts = append(parts, "finish "+page.Fix(0, off)+"° "+pick(r.FinishByDeg > 0, "past the target", "short of the target"))
	}
	if r.CatchShortDeg > r.ToleranceDeg+1e-9 {
		parts = append(parts, "the body reaches "+page.Fix(0, r.CatchShortDeg)+"° short of the catch")
	}
	for _, name := range s.Stops {
		parts = append(parts, page.LowerFirst(page.SettingLabels[name])+" ends before the place")
	}
	if len(parts) > 0 && len(s.HeldBy) > 0 {
		parts = append(parts, "more would bring a caution")
	}
	return strings.Join(parts, "; ")
}

func newPlanRow(l *setup.SetupLine) planRow {
	return planRow{
		Setting: l.Setting, Label: page.SettingLabels[l.Setting], Unit: page.UnitOf(l.Setting), Found: bareKnown(l.AsFound),
		Fitted: page.Plain(l.Fitted), Target: page.Plain(l.Target), Text: l.Text, Mark: markText(l.Mark), Moves: l.Moves, ByHand: l.Fitted != l.Target,
	}
}

// hands puts what was typed by hand beside each setting.
func (p *crewPlan) hands(view *crewSetPage) {
	for i := range p.Seats {
		s := &p.Seats[i]
		for j := range s.Rows {
			f := page.Field{Name: s.Rows[j].Setting, Label: s.Rows[j].Label, Unit: s.Rows[j].Unit, Blank: s.Rows[j].Fitted}
			s.Rows[j].Hand = view.input(f, byHand(s.Number, ""))
			s.Open = s.Open || s.Rows[j].Hand.Value != "" || s.Rows[j].Hand.Problem != ""
		}
		p.ByHand = p.ByHand || s.Open
	}
}

// offerTexts say what an offer costs.
func newOfferView(o *setup.Offer) offerView {
	v := offerView{Text: o.Text}
	var parts []string
	for _, g := range o.Brings {
		parts = append(parts, fmt.Sprintf("seat %d %s°", g.Seat, page.Fix(1, g.Deg)))
	}
	v.Brings = strings.Join(parts, ", ")
	load := math.Abs(100 * o.LoadShare)
	v.Price = "no change of the load at the catch"
	if load >= 0.05 {
		v.Price = "the oar " + page.Fix(1, load) + " % " + pick(o.LoadShare > 0, "heavier", "lighter") + " at the catch"
	}
	v.Price += fmt.Sprintf("; lever ratio %s → %s, overlap %s cm", page.Fix(2, o.LeverBefore), page.Fix(2, o.LeverAfter), page.Fix(1, o.OverlapCm))
	for _, m := range o.Moves {
		v.Moves = append(v.Moves, fmt.Sprintf("seat %d: %s", m.Seat, m.Text))
	}
	return v
}

// Summary is what a screen reader hears after a recalculation.
func (p *crewPlan) Summary() string { return p.Headline + " " + p.Sub }
