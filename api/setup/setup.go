package setup

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"

	"thole/api/club"
	"thole/api/records"
	"thole/api/seat"
	"thole/api/store"
	"thole/api/wire"
	"thole/rigging"
)

// SetupRequest asks what to set on a boat on record for a crew.
type SetupRequest struct {
	BoatID int64 `path:"id" json:"-"`
	SetupFields
}

// SetupFields are a crew and what is wanted of its rig.
type SetupFields struct {
	LineupID   *int64            `json:"lineup_id,omitempty" validate:"omitempty,gte=0" description:"Its seats are the crew where crew is left out."`
	Crew       []CrewPlace       `json:"crew,omitempty" validate:"omitempty,max=8" description:"Who rows; a seat that is left out stays as it is."`
	CoxMassKg  *float64          `json:"cox_mass_kg,omitempty" validate:"omitempty,plausible=cox_mass" description:"With dead weight; left out: 55."`
	Targets    *seat.FitTargets  `json:"targets,omitempty" description:"Common to all seats; a catch or finish that is left out is chosen for this crew."`
	Move       []string          `json:"move,omitempty" validate:"omitempty,max=30,dive,max=80" description:"Settings that may be moved, of those with a range at every seat of the crew; left out: all of them."`
	OwnInboard bool              `json:"own_inboard,omitempty" description:"The inboards may differ from seat to seat."`
	ByHand     []club.RigSetting `json:"by_hand,omitempty" validate:"omitempty,max=200" description:"Values that stand in place of the fitted ones."`
}

// CrewPlace is who rows a seat: an athlete on record, or a guest with measures.
type CrewPlace struct {
	Seat      int           `json:"seat" validate:"required,gte=1,lte=8" description:"1 is bow."`
	AthleteID *int64        `json:"athlete_id,omitempty" validate:"omitempty,gte=0"`
	Name      string        `json:"name,omitempty" validate:"omitempty,max=80" description:"Of a guest."`
	Rower     *seat.Rower   `json:"rower,omitempty" description:"Measures of a guest."`
	Posture   *seat.Posture `json:"posture,omitempty" description:"Of a guest."`
}

// Setup is what to set on a boat for a crew.
type Setup struct {
	BoatID      int64               `json:"boat_id"`
	BoatVersion int64               `json:"boat_version" description:"That this was worked out for."`
	BoatName    string              `json:"boat_name"`
	BoatClass   string              `json:"boat_class"`
	LineupName  string              `json:"lineup_name" description:"Empty where the crew is no line-up."`
	Targets     []seat.CommonTarget `json:"targets"`
	Movable     []string            `json:"movable" description:"Settings that can be moved at every seat of the crew."`
	Seats       []SetupSeat         `json:"seats" description:"Bow first."`
	Reliefs     []seat.Relief       `json:"reliefs" description:"What would bring seats that miss a target nearer."`
	Rules       seat.RulesAnswer    `json:"rules"`
	Cautions    []SeatCaution       `json:"cautions"`
	Tools       []string            `json:"tools"`
	Recheck     []string            `json:"recheck" description:"What to check again after the work."`
}

// SetupSeat is what to set at one seat.
type SetupSeat struct {
	Number    int                `json:"number"`
	Side      string             `json:"side"`
	AthleteID *int64             `json:"athlete_id"`
	Name      string             `json:"name"`
	Found     *ArcEnds           `json:"found" description:"The arc this rower would row in the rig as found; null when it cannot be rowed."`
	Lines     []SetupLine        `json:"lines" description:"Every setting, in the order of the work."`
	Result    *SeatOutcome       `json:"result" description:"Of the rig as it is to be set; null when a value set by hand cannot be rowed."`
	Stuck     string             `json:"stuck" description:"Why it cannot be rowed."`
	Targets   []seat.AimedTarget `json:"targets"`
	Unmet     []seat.UnmetTarget `json:"unmet"`
	Stops     []seat.RangeEnd    `json:"stops" description:"Ends of ranges that keep targets away."`
}

// SeatOutcome is what a rower does in a rig.
type SeatOutcome struct {
	CatchDeg    float64 `json:"catch_deg" description:"Negative."`
	FinishDeg   float64 `json:"finish_deg"`
	CatchSdDeg  float64 `json:"catch_sd_deg" description:"Standard deviation from the body and the tape."`
	FinishSdDeg float64 `json:"finish_sd_deg"`
	LeverRatio  float64 `json:"lever_ratio"`
	OverlapCm   float64 `json:"overlap_cm" description:"Measured, without the gates' width."`

	cautions []seat.Caution
}

// ArcEnds are the ends of an arc.
type ArcEnds struct {
	CatchDeg  float64 `json:"catch_deg"`
	FinishDeg float64 `json:"finish_deg"`
}

// SetupLine is one setting of one seat.
type SetupLine struct {
	Setting   string   `json:"setting" description:"Name with its unit, as in seat."`
	AsFound   *float64 `json:"as_found" description:"In the setting's unit; null where it was never measured and a usual value stands in."`
	Fitted    float64  `json:"fitted" description:"In the setting's unit."`
	Target    float64  `json:"target" description:"In the setting's unit: as fitted, or as set by hand."`
	Tolerance float64  `json:"tolerance" description:"In the setting's unit."`
	Moves     bool     `json:"moves"`
	Text      string   `json:"text" description:"What to move, which way and by how much."`
}

// SeatCaution is a caution with the seats that it is about; none: the boat.
type SeatCaution struct {
	Seats []int `json:"seats"`
	seat.Caution
}

// SetUp works out what to set on a boat for a crew. The error is an *Invalid,
// an *Unreachable or ErrNotFound.
func (s *Service) SetUp(ctx context.Context, r SetupRequest) (Setup, error) {
	plan, err := s.plan(ctx, &r)
	if err != nil {
		return Setup{}, err
	}
	return plan.answer(), nil
}

// plan is a set-up in the making.
type plan struct {
	boat    club.Boat
	class   rigging.Class
	request *SetupRequest
	lineup  *store.Lineup
	places  []crewMember // bow first
	movable map[string]seat.Adjustment
	crew    *seat.CrewInput
	fit     rigging.CrewFit
	rules   seat.RulesAnswer
}

// crewMember is who rows a seat, with what is known of the body.
type crewMember struct {
	CrewPlace
	rower   seat.Rower
	posture *seat.Posture
	fields  *club.AthleteFields // nil for a guest
}

// plan reads the records, checks the request and fits the crew.
func (s *Service) plan(ctx context.Context, r *SetupRequest) (*plan, error) {
	boat, err := s.club.Boat(ctx, club.IDRequest{ID: r.BoatID})
	if err != nil {
		return nil, err
	}
	p := &plan{boat: boat, request: r}
	p.class, _ = rigging.ClassByCode(boat.BoatClass)
	if err := s.findLineup(ctx, p); err != nil {
		return nil, err
	}
	if err := s.findCrew(ctx, p, s.Today()); err != nil {
		return nil, err
	}
	if err := p.check(); err != nil {
		return nil, err
	}
	if p.rules, err = s.seat.CheckRules(ctx, p.rulesRequest()); err != nil {
		return nil, err
	}
	if p.crew, err = p.read(); err != nil {
		return nil, err
	}
	p.fit, err = p.crew.Fit()
	return p, p.atCrew(err)
}

func (s *Service) findLineup(ctx context.Context, p *plan) error {
	if p.request.LineupID == nil {
		return nil
	}
	l, err := s.Store.Lineup(ctx, *p.request.LineupID)
	if errors.Is(err, store.ErrNotFound) {
		return wire.InvalidAt("lineup_id", "This line-up is not on record.")
	}
	if err != nil {
		return records.RecordError(err)
	}
	p.lineup = &l
	if p.request.CoxMassKg == nil {
		p.request.CoxMassKg = l.CoxMassKg
	}
	if p.request.Crew == nil {
		p.request.Crew = lineupPlaces(&l)
	}
	return nil
}

func lineupPlaces(l *store.Lineup) []CrewPlace {
	var places []CrewPlace
	for i, seat := range l.Seats {
		if seat.AthleteID != nil {
			places = append(places, CrewPlace{Seat: i + 1, AthleteID: seat.AthleteID})
		}
	}
	return places
}

// findCrew looks up the crew with what was known of it on a day.
func (s *Service) findCrew(ctx context.Context, p *plan, day string) error {
	var bad wire.Problems
	if len(p.request.Crew) == 0 {
		return wire.InvalidAt("crew", "Say who rows at least one seat.")
	}
	for i, place := range p.request.Crew {
		at := fmt.Sprintf("crew[%d].", i)
		m, err := s.crewMember(ctx, place, p.class, day)
		switch {
		case errors.Is(err, wire.ErrNotFound):
			bad.Add(wire.ProblemAt(at+"athlete_id", "This athlete is not on record."))
		case err != nil:
			return err
		}
		p.places = append(p.places, m)
	}
	if err := bad.OrNil(); err != nil {
		return err
	}
	return nil
}

// crewMember looks up one place of a crew.
func (s *Service) crewMember(ctx context.Context, place CrewPlace, class rigging.Class, day string) (crewMember, error) {
	m := crewMember{CrewPlace: place, rower: wire.Or(place.Rower, seat.Rower{}), posture: place.Posture}
	if place.AthleteID == nil {
		return m, nil
	}
	a, err := s.club.Athlete(ctx, club.AthleteRequest{ID: *place.AthleteID, AsOf: day})
	if err != nil {
		return m, err
	}
	m.Name, m.rower, m.fields = a.Name, a.Rower, &a.AthleteFields
	found := a.SweepPosture
	if class.Scull {
		found = a.ScullPosture
	}
	if found != nil {
		m.posture = &found.Posture
	}
	return m, nil
}

// check complains about places and values that the boat has not, and settles
// what may be moved.
func (p *plan) check() error {
	var bad wire.Problems
	seen := map[int]bool{}
	rows := map[int64]bool{}
	for i := range p.places {
		m, at := &p.places[i], fmt.Sprintf("crew[%d].", i)
		switch {
		case m.Seat < 1 || m.Seat > len(p.boat.Seats):
			bad.Add(wire.ProblemAt(at+"seat", fmt.Sprintf("The boat has seats 1 to %d.", len(p.boat.Seats))))
		case seen[m.Seat]:
			bad.Add(wire.ProblemAt(at+"seat", fmt.Sprintf("Seat %d stands here twice.", m.Seat)))
		case len(p.boat.Seats[m.Seat-1].Missing) > 0:
			bad.Add(wire.ProblemAt(at+"seat", "Measure this at seat "+fmt.Sprint(m.Seat)+" first: "+saidAloud(p.boat.Seats[m.Seat-1].Missing)+"."))
		case m.AthleteID != nil && rows[*m.AthleteID]:
			bad.Add(wire.ProblemAt(at+"athlete_id", m.Name+" rows another seat, too."))
		case m.AthleteID == nil && m.Rower == nil:
			bad.Add(wire.ProblemAt(at+"athlete_id", "Name an athlete, or give measures of a guest."))
		}
		seen[m.Seat] = true
		if m.AthleteID != nil {
			rows[*m.AthleteID] = true
		}
	}
	checkByHand(&bad, p)
	bad.Check(wire.At(), p.request)
	if len(bad.Fields) == 0 {
		slices.SortFunc(p.places, func(a, b crewMember) int { return a.Seat - b.Seat })
		p.settleMovable(&bad)
	}
	return bad.OrNil()
}

// checkByHand complains about values set by hand that no seat of the crew has.
func checkByHand(bad *wire.Problems, p *plan) {
	for i, v := range p.request.ByHand {
		at := fmt.Sprintf("by_hand[%d].", i)
		switch {
		case !slices.ContainsFunc(p.places, func(m crewMember) bool { return m.Seat == v.Seat }):
			bad.Add(wire.ProblemAt(at+"seat", "Nobody of the crew rows this seat."))
		case !slices.Contains(seat.ClassSettings(p.class), v.Setting):
			bad.Add(wire.ProblemAt(at+"setting", "A "+p.class.Code+" has no such setting."))
		case v.Value == nil:
			bad.Add(wire.ProblemAt(at+"value", "A value is needed."))
		default:
			checkAlone(bad, at+"value", p.class, v.Setting, *v.Value)
		}
	}
}

// checkAlone complains about a value that a setting cannot have.
func checkAlone(bad *wire.Problems, field string, class rigging.Class, setting string, value float64) {
	seat := seat.Seat{Side: "port"}
	*seat.SettingField(setting) = &value
	if fault, wrong := club.RigFaults(class, &seat)[setting]; wrong {
		bad.Add(wire.ProblemAt(field, fault))
	}
}

// settleMovable finds what can be moved at every seat of the crew, in ranges
// that all of them have.
func (p *plan) settleMovable(bad *wire.Problems) {
	common := maps.Clone(p.boat.Seats[p.places[0].Seat-1].Adjust)
	for _, m := range p.places[1:] {
		adjust := p.boat.Seats[m.Seat-1].Adjust
		for name, a := range common {
			b, ok := adjust[name]
			a.Min, a.Max, a.Step, a.Cost = max(a.Min, b.Min), min(a.Max, b.Max), max(a.Step, b.Step), max(a.Cost, b.Cost)
			common[name] = a
			if !ok || a.Min > a.Max {
				delete(common, name)
			}
		}
	}
	p.movable = common
	for i, name := range p.request.Move {
		if _, ok := common[name]; !ok {
			bad.Add(wire.ProblemAt(fmt.Sprintf("move[%d]", i), "This cannot be moved at every seat of the crew."))
		}
	}
	if len(p.adjust()) == 0 {
		bad.Add(wire.ProblemAt("move", "Nothing may be moved: give the boat's settings a range, or allow one of them."))
	}
}

// adjust is what the fit may move.
func (p *plan) adjust() map[string]seat.Adjustment {
	if p.request.Move == nil {
		return p.movable
	}
	return maps.Collect(func(yield func(string, seat.Adjustment) bool) {
		for _, name := range p.request.Move {
			if a, ok := p.movable[name]; ok && !yield(name, a) {
				return
			}
		}
	})
}

func (p *plan) rulesRequest() seat.RulesRequest {
	r := seat.RulesRequest{BoatClass: p.boat.BoatClass, HullMassKg: p.boat.HullMassKg}
	if p.class.Coxed {
		r.CoxMassKg = p.request.CoxMassKg
	}
	return r
}

// usualCox is the mass of a coxswain that is not known, kg: the least under
// the current rules.
const usualCox = 55

// read converts the crew. The boat lies as deep as its own hull, this crew and
// this coxswain weigh.
func (p *plan) read() (*seat.CrewInput, error) {
	r := seat.CrewRequest{BoatClass: p.boat.BoatClass, Targets: p.request.Targets, Adjust: p.adjust(), OwnInboard: p.request.OwnInboard}
	for i := range p.places {
		m := &p.places[i]
		r.Seats = append(r.Seats, seat.CrewSeat{Number: m.Seat, Seat: p.boat.Seats[m.Seat-1].Seat, Rower: m.rower, Posture: m.posture})
	}
	c, err := r.Read(p.class)
	if err != nil {
		return nil, p.atCrew(err)
	}
	extra := wire.Or(p.boat.HullMassKg, p.class.MinHullMass) - p.class.MinHullMass
	if p.class.Coxed {
		extra += wire.Or(p.request.CoxMassKg, usualCox) - usualCox
	}
	for i, in := range c.Seats {
		in.Seat.Displacement += extra
		c.Task.Seats[i].Case.Displacement += extra
	}
	return c, nil
}

// atCrew carries complaints about a crew's seats over to the places asked for.
func (p *plan) atCrew(err error) error {
	seats, crew := wire.At("seats"), wire.At("crew")
	for i := range p.places {
		err = wire.Move(err, seats.Item(i), crew.Item(p.asked(i)))
	}
	return err
}

// asked is where the place stood in the request.
func (p *plan) asked(i int) int {
	return slices.IndexFunc(p.request.Crew, func(c CrewPlace) bool { return c.Seat == p.places[i].Seat })
}

// answer puts the plan on the wire.
func (p *plan) answer() Setup {
	w := Setup{
		BoatID: p.boat.ID, BoatVersion: p.boat.Version, BoatName: p.boat.Name, BoatClass: p.boat.BoatClass,
		Targets: seat.CommonTargets(&p.fit), Reliefs: []seat.Relief{}, Rules: p.rules,
		Movable: slices.DeleteFunc(seat.ClassSettings(p.class), func(name string) bool { _, ok := p.movable[name]; return !ok }),
		Recheck: recheck(p.class),
	}
	if p.lineup != nil {
		w.LineupName = p.lineup.Name
	}
	var moved []string
	for i := range p.places {
		seat := p.seat(i)
		w.Seats = append(w.Seats, seat)
		for _, l := range seat.Lines {
			if l.Moves {
				moved = append(moved, l.Setting)
			}
		}
	}
	for _, r := range p.fit.Reliefs {
		w.Reliefs = append(w.Reliefs, p.crew.Relief(&r))
	}
	w.Tools = tools(moved)
	w.Cautions = p.cautions(w.Seats)
	return w
}

// seat is what to set at one place.
func (p *plan) seat(i int) SetupSeat {
	m, in, fit := &p.places[i], *p.crew.Seats[i], &p.fit.Seats[i]
	found := &p.boat.Seats[m.Seat-1]
	w := SetupSeat{
		Number: m.Seat, Side: found.Side, AthleteID: m.AthleteID, Name: m.Name, Found: arcOf(&in.Seat),
		Targets: []seat.AimedTarget{}, Unmet: []seat.UnmetTarget{}, Stops: []seat.RangeEnd{},
	}
	target := fit.Setup
	byHand := p.setByHand(m.Seat, &target)
	w.Lines = setupLines(&found.Seat, &in.Seat.Setup, &fit.Setup, &target)
	if !byHand {
		in.Seat.Setup = target
		w.Result = outcomeOf(&in, &fit.Stroke, seat.WireCautions(fit.Cautions)...)
		w.Targets, w.Unmet, w.Stops = in.Aimed(fit.Targets, fit.Unmet, &fit.Stroke), seat.UnmetTargets(fit), seat.RangeEnds(fit)
		return w
	}
	stroke, err := rowed(&in, &target)
	if err != nil {
		w.Stuck = err.Error()
		return w
	}
	w.Result = outcomeOf(&in, stroke)
	w.Targets, w.Unmet = remissed(&in, fit.Targets, stroke)
	return w
}

// outcomeOf puts the short of a solution on the wire.
func outcomeOf(in *seat.SolveInput, stroke *rigging.Stroke, cautions ...seat.Caution) *SeatOutcome {
	c := &in.Seat
	u := c.Uncertainty(stroke)
	return &SeatOutcome{
		CatchDeg: wire.ToDeg(stroke.Catch), FinishDeg: wire.ToDeg(stroke.Finish), CatchSdDeg: wire.ToDeg(u.Catch), FinishSdDeg: wire.ToDeg(u.Finish),
		LeverRatio: wire.ToRatio(c.Setup.Gearing().LeverRatio), OverlapCm: wire.ToCm(c.Setup.Overlap().Raw),
		cautions: append(cautions, seat.WireCautions(c.Cautions(stroke, &in.Measures))...),
	}
}

// arcOf is the arc of a case, nil when it cannot be rowed.
func arcOf(c *rigging.Case) *ArcEnds {
	stroke, err := c.Solve()
	if err != nil {
		return nil
	}
	return &ArcEnds{wire.ToDeg(stroke.Catch), wire.ToDeg(stroke.Finish)}
}

// setByHand puts the values set by hand into a seat's rig; false when there
// are none.
func (p *plan) setByHand(number int, setup *rigging.Setup) bool {
	any := false
	for _, v := range p.request.ByHand {
		if v.Seat == number {
			s, _ := seat.SettingNamed(v.Setting)
			setup.SetValue(s, *v.Value/wire.Units[s.Quantity()].Factor)
			any = true
		}
	}
	return any
}

// rowed changes the rig of the input and solves it.
func rowed(in *seat.SolveInput, setup *rigging.Setup) (*rigging.Stroke, error) {
	in.Seat.Setup = *setup
	var p wire.Problems
	if p.AddError(wire.Place{}, setup.Check()); len(p.Fields) > 0 {
		return nil, errors.New(p.Fields[0].Detail)
	}
	stroke, err := in.Seat.Solve()
	return &stroke, wire.DomainError(err)
}

// remissed lists what a rig set by hand makes of the targets.
func remissed(in *seat.SolveInput, targets rigging.FitTargets, stroke *rigging.Stroke) ([]seat.AimedTarget, []seat.UnmetTarget) {
	list, unmet := in.Aimed(targets, nil, stroke), []seat.UnmetTarget{}
	for i := range list {
		a := &list[i]
		by := a.Reached - a.Wanted
		if a.Met = by <= a.Tolerance && by >= -a.Tolerance; !a.Met {
			unmet = append(unmet, seat.UnmetTarget{Target: a.Target, By: wire.Round(by, 1e4), Why: "by_hand", Text: "With what is set by hand it is missed."})
		}
	}
	return list, unmet
}

// setupLines lists the settings of a seat in the order of the work: as known,
// as taken for known, as fitted and as it is to be set.
func setupLines(known *seat.Seat, found, fitted, target *rigging.Setup) []SetupLine {
	var lines []SetupLine
	for _, s := range workOrder(found.Class) {
		l := SetupLine{
			Setting: seat.WireSetting(s), AsFound: known.Setting(seat.WireSetting(s)), Fitted: seat.SettingUnit(s, fitted.Value(s)),
			Target: seat.SettingUnit(s, target.Value(s)), Tolerance: seat.SettingUnit(s, s.Tolerance()),
		}
		l.Text, l.Moves = workText(found.Class, s, l.AsFound, l.Target)
		lines = append(lines, l)
	}
	return lines
}

// workOrder lists the settings of a class in the order of the work.
func workOrder(class rigging.Class) []rigging.Setting {
	var all []rigging.Change
	for _, s := range class.Settings() {
		all = append(all, rigging.Change{Setting: s})
	}
	var order []rigging.Setting
	for _, c := range rigging.WorkOrder(all) {
		order = append(order, c.Setting)
	}
	return order
}

// cautions gathers what the seats give reason for, each caution once with its
// seats, what is odd about crew and boat, and what always holds.
func (p *plan) cautions(seats []SetupSeat) []SeatCaution {
	var g gathered
	for i := range p.places {
		g.add(p.places[i].Seat, p.sideCautions(&p.places[i])...)
	}
	for i := range seats {
		if seats[i].Result != nil {
			g.add(seats[i].Number, seats[i].Result.cautions...)
		}
	}
	g.add(0, p.boat.Cautions...)
	return g.list()
}

// sideCautions tells where the crew and the riggers do not go together.
func (p *plan) sideCautions(m *crewMember) []seat.Caution {
	var list []seat.Caution
	side := p.boat.Seats[m.Seat-1].Side
	if p.lineup != nil && m.Seat <= len(p.lineup.Seats) {
		if other := p.lineup.Seats[m.Seat-1].Side; other != "" && side != "" && other != side {
			list = append(list, seat.Caution{Code: "lineup_side", Weight: "warning", Text: "The line-up has this seat on " + other + ", but its rigger stands on " + side + "."})
		}
	}
	if f := m.fields; f != nil {
		switch {
		case p.class.Scull && !f.Sculls:
			list = append(list, seat.Caution{Code: "not_sculling", Weight: "notice", Text: m.Name + " is not on record as sculling."})
		case side == "port" && f.PortCostS == nil, side == "starboard" && f.StarboardCostS == nil:
			list = append(list, seat.Caution{Code: "not_this_side", Weight: "notice", Text: m.Name + " is not on record as rowing on " + side + "."})
		}
	}
	return list
}

// gathered collects cautions of several seats.
type gathered struct{ here, standing []SeatCaution }

// add takes in cautions of a seat; 0 stands for the boat.
func (g *gathered) add(seat int, list ...seat.Caution) {
	for _, c := range list {
		into := &g.here
		if c.Weight == rigging.Standing.String() {
			into, seat = &g.standing, 0
		}
		i := slices.IndexFunc(*into, func(o SeatCaution) bool { return o.Code == c.Code && o.Text == c.Text })
		if i < 0 {
			i = len(*into)
			*into = append(*into, SeatCaution{Seats: []int{}, Caution: c})
		}
		if known := &(*into)[i].Seats; seat != 0 && !slices.Contains(*known, seat) {
			*known = append(*known, seat)
		}
	}
}

// list returns the cautions, those to act on first.
func (g *gathered) list() []SeatCaution {
	rank := map[string]int{"warning": 0, "notice": 1}
	slices.SortStableFunc(g.here, func(a, b SeatCaution) int { return rank[a.Weight] - rank[b.Weight] })
	return append(append([]SeatCaution{}, g.here...), g.standing...)
}
