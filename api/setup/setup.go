package setup

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"thole/api/club"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/seat"
	"thole/api/settings"
	"thole/api/store"
	"thole/api/wire"
	"thole/rigging"
)

// SetupRequest asks what to set on a boat on record for a crew.
type SetupRequest struct {
	BoatID int64 `path:"id" json:"-" validate:"gte=1"`
	SetupFields
}

// SetupFields are a crew and how the rig is to be set for it.
type SetupFields struct {
	LineupID  *int64             `json:"lineup_id,omitempty" validate:"omitempty,gte=0" description:"Its seats are the crew where crew is left out."`
	Crew      []CrewPlace        `json:"crew,omitempty" validate:"omitempty,max=8" description:"Who rows; a seat that is left out stays as it is."`
	CoxMassKg *float64           `json:"cox_mass_kg,omitempty" validate:"omitempty,plausible=cox_mass" default:"55" description:"With dead weight."`
	OarSetID  *int64             `json:"oar_set_id,omitempty" validate:"omitempty,gte=1" description:"The set of oars to row with, whose length, inboard and blade stand at every seat; without it, as the boat stands. A work sheet made for another set than the boat's enters it."`
	Job       string             `json:"job,omitempty" validate:"omitempty,oneof=everyday full_rerig" default:"everyday" description:"everyday: stretchers, and gates that are out; full_rerig: also gates just outside their window, heels and plates where bodies ask for it, and a measured pitch that is out."`
	Level     string             `json:"level,omitempty" validate:"omitempty,oneof=club championship novice" default:"club" description:"How well the crew rows, for the arc to expect of it."`
	Light     bool               `json:"light,omitempty" description:"The crew races as lightweights."`
	Targets   *seat.Targets      `json:"targets,omitempty" description:"Common to all seats; an end that is left out is that of such crews, and no catch that somebody's body does not reach."`
	Limits    *seat.Limits       `json:"limits,omitempty" description:"Of every body of the crew."`
	Only      []int              `json:"only,omitempty" validate:"omitempty,max=8,dive,gte=1,lte=8" description:"Seats to set, such as a substitute's; the rest of the crew stays as the boat stands. Without it, every seat."`
	ByHand    []fleet.RigSetting `json:"by_hand,omitempty" validate:"omitempty,max=200" description:"Values that stand in place of those found."`
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
	BoatVersion int64               `json:"boat_version" description:"That this was calculated for."`
	BoatName    string              `json:"boat_name"`
	BoatClass   string              `json:"boat_class"`
	LineupName  string              `json:"lineup_name" description:"Empty where the crew is no line-up."`
	OarSetID    *int64              `json:"oar_set_id" description:"Of the oars that this was calculated with; null where the boat goes with no set."`
	Job         string              `json:"job"`
	Level       string              `json:"level"`
	Targets     []seat.CommonTarget `json:"targets"`
	Seats       []SetupSeat         `json:"seats" description:"Bow first."`
	Limiting    []int               `json:"limiting" description:"Seats whose body does not reach the catch, the furthest first."`
	AllReachDeg float64             `json:"all_reach_deg" description:"The catch that everybody reaches; negative."`
	Offers      []Offer             `json:"offers" description:"What else would bring seats that fall short nearer. None of it is part of the work."`
	Rules       seat.RulesAnswer    `json:"rules"`
	Cautions    []SeatCaution       `json:"cautions"`
	Tools       []string            `json:"tools"`
	Recheck     []string            `json:"recheck" description:"What to check again after the work."`
}

// SetupSeat is what to set at one seat.
type SetupSeat struct {
	Number    int          `json:"number"`
	Side      string       `json:"side"`
	AthleteID *int64       `json:"athlete_id"`
	Name      string       `json:"name"`
	Stays     bool         `json:"stays" description:"Nothing is set here: only other seats were asked for."`
	Found     *ArcEnds     `json:"found" description:"The arc to expect of this rower in the rig before the work; null when it cannot be rowed."`
	Before    *Verdict     `json:"before" description:"On the rig before the work; null when it cannot be rowed."`
	Lines     []SetupLine  `json:"lines" description:"Every setting, in the order of the work."`
	Result    *SeatOutcome `json:"result" description:"Of the rig as it is to be set; null when a value set by hand cannot be rowed."`
	Stuck     string       `json:"stuck" description:"Why it cannot be rowed."`
	Stops     []string     `json:"stops" description:"Settings whose range ends before the place that would put the seat right."`
	HeldBy    []string     `json:"held_by" description:"Codes of the cautions that more work would have brought."`
}

// SetupLine is one setting of one seat.
type SetupLine struct {
	Setting   string   `json:"setting" description:"Name with its unit, as in seat."`
	AsFound   *float64 `json:"as_found" description:"In the setting's unit; null where it was never measured and a usual value stands in."`
	StandsOn  *float64 `json:"stands_on" description:"In the setting's unit: the boat's own value to start from, where it was never measured; null where there is none."`
	Fitted    float64  `json:"fitted" description:"In the setting's unit."`
	Target    float64  `json:"target" description:"In the setting's unit: as fitted, or as set by hand."`
	Tolerance float64  `json:"tolerance" description:"In the setting's unit."`
	LineText
}

// LineText says what is to be done about a setting.
type LineText struct {
	Moves   bool     `json:"moves"`
	Measure bool     `json:"measure" description:"Nobody has measured it, and so it is not told to be moved."`
	Text    string   `json:"text" description:"What to move, which way and by how much."`
	Mark    *OwnMark `json:"mark,omitempty" description:"What the boat's own mark reads, where it has one."`

	CountedIn string `json:"counted_in" enum:"washer,clam,number,hole," description:"What the boat counts the setting in; empty where it is measured alone."`
}

// OwnMark is a stretcher's place as the boat is read.
type OwnMark struct {
	Mark    string  `json:"mark" enum:"heel,toe,hole"`
	AsFound float64 `json:"as_found" description:"In cm, or the number of the hole."`
	Target  float64 `json:"target" description:"In cm, or the number of the hole."`
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
	boat    fleet.Boat
	class   rigging.Class
	request *SetupRequest
	lineup  *store.Lineup
	places  []crewMember // bow first
	chairs  []*chair     // of the places
	limits  rigging.Limits
	targets rigging.Targets // as they are written down
	work    rigging.Plan
	rules   seat.RulesAnswer
	oars    *store.FleetBoat // the boat with other oars than it has, to be written; nil: it keeps them
}

// crewMember is who rows a seat, with what is known of the body.
type crewMember struct {
	CrewPlace
	rower   seat.Rower
	posture *seat.Posture
	fields  *club.AthleteFields // nil for a guest
	arcs    []store.MeasuredArc // newest first
	filmed  []store.FilmedReading
}

// plan reads the records, checks the request and works the set-up out.
func (s *Service) plan(ctx context.Context, r *SetupRequest) (*plan, error) {
	boat, err := s.fleet.Boat(ctx, records.IDRequest{ID: r.BoatID})
	if err != nil {
		return nil, err
	}
	p := &plan{boat: boat, request: r}
	if r.OarSetID != nil && *r.OarSetID != wire.Or(boat.OarSetID, 0) {
		p.oars = new(store.FleetBoat)
		if p.boat, *p.oars, err = s.fleet.WithOars(ctx, &boat, *r.OarSetID); err != nil {
			return nil, err
		}
	}
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
	if err := p.read(); err != nil {
		return nil, err
	}
	return p, p.makePlan()
}

func (s *Service) findLineup(ctx context.Context, p *plan) error {
	if p.request.LineupID == nil {
		return nil
	}
	l, err := s.Store.Lineup(ctx, *p.request.LineupID)
	if errors.Is(err, store.ErrNotFound) {
		return wire.At("lineup_id").Invalid("This line-up is not on record.")
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
		return wire.At("crew").Invalid("Say who rows at least one seat.")
	}
	for i, place := range p.request.Crew {
		at := wire.At("crew").Item(i)
		m, err := s.crewMember(ctx, place, p.class, day, time.Time{})
		switch {
		case errors.Is(err, wire.ErrNotFound):
			bad.Add(at.Name("athlete_id").Problem("This athlete is not on record."))
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

// crewMember looks up one place of a crew with what was known of it on a
// day, with the arcs measured until a moment; the zero moment is now.
func (s *Service) crewMember(ctx context.Context, place CrewPlace, class rigging.Class, day string, until time.Time) (crewMember, error) {
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
	if m.arcs, err = s.Store.ArcsOfAthlete(ctx, *place.AthleteID, until, mostArcs); err != nil {
		return m, records.RecordError(err)
	}
	m.filmed, err = s.Store.FilmedReadings(ctx, *place.AthleteID, day)
	return m, records.RecordError(err)
}

// check complains about places and values that the boat has not.
func (p *plan) check() error {
	var bad wire.Problems
	seen := map[int]bool{}
	rows := map[int64]bool{}
	for i := range p.places {
		m, at := &p.places[i], wire.At("crew").Item(i)
		switch {
		case m.Seat < 1 || m.Seat > len(p.boat.Seats):
			bad.Add(at.Name("seat").Problem(fmt.Sprintf("The boat has seats 1 to %d.", len(p.boat.Seats))))
		case seen[m.Seat]:
			bad.Add(at.Name("seat").Problem(fmt.Sprintf("Seat %d stands here twice.", m.Seat)))
		case len(p.boat.Seats[m.Seat-1].Lacking()) > 0:
			bad.Add(at.Name("seat").Problem("Measure this at seat " + fmt.Sprint(m.Seat) + " first: " + saidAloud(p.boat.Seats[m.Seat-1].Lacking()) + "."))
		case m.AthleteID != nil && rows[*m.AthleteID]:
			bad.Add(at.Name("athlete_id").Problem(m.Name + " rows another seat, too."))
		case m.AthleteID == nil && m.Rower == nil:
			bad.Add(at.Name("athlete_id").Problem("Name an athlete, or give measures of a guest."))
		}
		seen[m.Seat] = true
		if m.AthleteID != nil {
			rows[*m.AthleteID] = true
		}
	}
	checkByHand(&bad, p)
	for i, number := range p.request.Only {
		if !slices.ContainsFunc(p.places, func(m crewMember) bool { return m.Seat == number }) {
			bad.Add(wire.At("only").Item(i).Problem("Nobody of the crew rows this seat."))
		}
	}
	p.checkTask(&bad)
	bad.Check(wire.At(), p.request)
	slices.SortFunc(p.places, func(a, b crewMember) int { return a.Seat - b.Seat })
	return bad.OrNil()
}

// checkTask complains about how the set-up is asked for.
func (p *plan) checkTask(bad *wire.Problems) {
	if job := p.request.job(); job != rigging.JobEveryday && job != rigging.JobRerig {
		bad.Add(wire.At("job").Problem("A boat gets the everyday job or a full re-rig."))
	}
	if _, ok := rigging.ParseLevel(p.request.Level); !ok {
		bad.Add(wire.At("level").Problem("Say club, championship or novice."))
	}
	asked := p.request.Targets.Domain()
	bad.AddError(wire.Place{}, asked.Check())
	p.limits = p.request.Limits.Domain()
	bad.AddError(wire.Place{}, p.limits.Check())
}

// job is the job asked for.
func (f *SetupFields) job() rigging.Job {
	if f.Job == "" {
		return rigging.JobEveryday
	}
	return rigging.Job(f.Job)
}

// checkByHand complains about values set by hand that no seat of the crew has.
func checkByHand(bad *wire.Problems, p *plan) {
	for i, v := range p.request.ByHand {
		at := wire.At("by_hand").Item(i)
		switch {
		case !slices.ContainsFunc(p.places, func(m crewMember) bool { return m.Seat == v.Seat }):
			bad.Add(at.Name("seat").Problem("Nobody of the crew rows this seat."))
		case !slices.Contains(settings.Of(p.class), v.Setting):
			bad.Add(at.Name("setting").Problem("A " + p.class.Code + " has no such setting."))
		case v.Value == nil:
			bad.Add(at.Name("value").Problem("A value is needed."))
		default:
			checkAlone(bad, at.Name("value"), p.class, v.Setting, *v.Value)
		}
	}
}

// checkAlone complains about a value that a setting cannot have.
func checkAlone(bad *wire.Problems, at wire.Place, class rigging.Class, setting string, value float64) {
	seat := seat.Seat{Side: "port"}
	*seat.SettingField(setting) = &value
	if fault, wrong := fleet.RigFaults(class, &seat)[setting]; wrong {
		bad.Add(at.Problem(fault))
	}
}

// adjust holds the ranges that all seats of the crew have, as the plan takes
// them. Where the stretchers stand in holes they move from hole to hole.
func (p *plan) adjust() map[rigging.Setting]rigging.Adjustment {
	common := map[rigging.Setting]rigging.Adjustment{}
	for _, s := range p.class.Settings() {
		if a, ok := p.commonRange(settings.Name(s)); ok {
			u := wire.Units[s.Quantity()].Factor
			common[s] = rigging.Adjustment{Min: a.Min / u, Max: a.Max / u, Step: a.Step / u}
		}
	}
	if f := p.boat.Stretcher; f != nil && f.Mark == string(rigging.MarkHole) {
		scale, a := f.Scale(), common[rigging.SettingHeelToPin]
		if a.Step == 0 {
			a = p.chairs[0].in.Seat.Setup.Adjustments()[rigging.SettingHeelToPin]
		}
		a.Step = math.Abs(scale.HolePitch)
		a.Min = scale.Offset + math.Ceil((a.Min-scale.Offset)/a.Step-1e-9)*a.Step
		common[rigging.SettingHeelToPin] = a
	}
	return common
}

// commonRange is the range of a setting at every seat of the crew; ok is false
// where some seat has none.
func (p *plan) commonRange(name string) (common settings.Adjustment, ok bool) {
	for i := range p.places {
		a, has := p.boat.Seats[p.places[i].Seat-1].Adjust[name]
		if !has || a.Step == 0 {
			return common, false
		}
		if i == 0 {
			common = a
		}
		common.Min, common.Max = max(common.Min, a.Min), min(common.Max, a.Max)
		common.Step = max(common.Step, a.Step)
	}
	return common, common.Min <= common.Max
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

// read converts the crew, with what is expected of each rower. The boat lies as
// deep as its own hull, this crew and this coxswain weigh.
func (p *plan) read() error {
	r := seat.CrewRequest{BoatClass: p.boat.BoatClass}
	for i := range p.places {
		m := &p.places[i]
		r.Seats = append(r.Seats, seat.CrewSeat{Number: m.Seat, Seat: p.boat.Seats[m.Seat-1].Standing(), Rower: m.rower, Posture: m.posture})
	}
	c, err := r.Read(p.class)
	if err != nil {
		return p.atCrew(err)
	}
	extra := wire.Or(p.boat.HullMassKg, p.class.MinHullMass) - p.class.MinHullMass
	if p.class.Coxed {
		extra += wire.Or(p.request.CoxMassKg, usualCox) - usualCox
	}
	p.chairs = p.chairs[:0]
	for i, in := range c.Seats {
		in.Seat.Displacement += extra
		p.chairs = append(p.chairs, p.chair(&p.places[i], in))
	}
	return nil
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
		OarSetID: p.boat.OarSetID, Job: string(p.request.job()), Level: p.request.level().String(),
		Targets: p.commonTargets(), Limiting: []int{}, AllReachDeg: wire.ToDeg(p.work.AllReach), Rules: p.rules, Offers: p.offers(), Recheck: recheck(p.class),
	}
	if p.lineup != nil {
		w.LineupName = p.lineup.Name
	}
	for _, i := range p.work.Limiting {
		w.Limiting = append(w.Limiting, p.places[i].Seat)
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
	w.Tools = tools(moved)
	w.Cautions = p.cautions(w.Seats)
	return w
}

func (f *SetupFields) level() rigging.Level {
	level, _ := rigging.ParseLevel(f.Level)
	return level
}

// commonTargets lists what the whole crew is set to.
func (p *plan) commonTargets() []seat.CommonTarget {
	var list []seat.CommonTarget
	for _, t := range [...]struct {
		target rigging.Target
		value  rigging.Angle
	}{{rigging.TargetCatch, p.targets.Catch}, {rigging.TargetFinish, p.targets.Finish}} {
		list = append(list, seat.CommonTarget{Target: seat.WireTarget(t.target), Value: wire.ToDeg(t.value), Chosen: slices.Contains(p.work.Chosen, t.target)})
	}
	return list
}

// seat is what to set at one place.
func (p *plan) seat(i int) SetupSeat {
	m, c, work := &p.places[i], p.chairs[i], &p.work.Seats[i]
	found := &p.boat.Seats[m.Seat-1]
	w := SetupSeat{Number: m.Seat, Side: found.Side, AthleteID: m.AthleteID, Name: m.Name, Stays: !p.request.sets(m.Seat), Stops: []string{}, HeldBy: []string{}}
	if before, err := c.outcome(&c.in.Seat.Setup, p.targets, p.limits); err == nil {
		w.Found, w.Before = &ArcEnds{before.CatchDeg, before.FinishDeg}, &before.Verdict
	}
	target := work.Setup
	p.setByHand(m.Seat, &target)
	w.Lines = p.setupLines(found, c, &work.Setup, &target)
	rig := rigOf(found.Side, p.boat.SeatOverWaterCm, w.Lines, func(l *SetupLine) (string, float64) { return l.Setting, l.Target })
	result, err := c.outcomeAs(&rig, p.targets, p.limits)
	if err != nil {
		w.Stuck = err.Error()
		return w
	}
	w.Result = result
	for _, s := range work.Binding {
		w.Stops = append(w.Stops, settings.Name(s))
	}
	w.HeldBy = append(w.HeldBy, work.HeldBy...)
	return w
}

// sets reports whether a seat is to be set: it was asked for, or by hand, or every
// seat is.
func (f *SetupFields) sets(number int) bool {
	return len(f.Only) == 0 || slices.Contains(f.Only, number) || slices.ContainsFunc(f.ByHand, func(v fleet.RigSetting) bool { return v.Seat == number })
}

// setByHand puts the values set by hand into a seat's rig.
func (p *plan) setByHand(number int, setup *rigging.Setup) {
	for _, v := range p.request.ByHand {
		if v.Seat == number {
			s, _ := settings.Named(v.Setting)
			setup.SetValue(s, *v.Value/wire.Units[s.Quantity()].Factor)
		}
	}
}

// rigOf is the rig that the lines name.
func rigOf[L any](side string, over *float64, lines []L, value func(*L) (string, float64)) seat.Seat {
	rig := seat.Seat{Side: side, SeatOverWaterCm: over}
	for i := range lines {
		name, v := value(&lines[i])
		*rig.SettingField(name) = &v
	}
	return rig
}

// setupLines lists the settings of a seat in the order of the work: as known,
// as fitted and as it is to be set.
func (p *plan) setupLines(known *fleet.BoatSeat, c *chair, fitted, target *rigging.Setup) []SetupLine {
	var lines []SetupLine
	plate := settings.InUnit(rigging.SettingPlateAngle, target.Value(rigging.SettingPlateAngle))
	for _, s := range workOrder(p.class) {
		l := SetupLine{
			Setting: settings.Name(s), AsFound: known.Seat.Setting(settings.Name(s)), Fitted: settings.InUnit(s, fitted.Value(s)),
			Target: settings.InUnit(s, target.Value(s)), Tolerance: settings.InUnit(s, s.Tolerance()),
		}
		if v, ok := known.Starts[l.Setting]; ok && l.AsFound == nil {
			l.StandsOn = &v
		}
		l.LineText = lineText(p.class, &p.boat, s, l.AsFound, l.StandsOn, l.Target, plate)
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
			g.add(seats[i].Number, seat.WireCautions(seats[i].Result.cautions)...)
		}
	}
	g.add(0, seat.WireCautions(p.limits.Cautions())...)
	g.add(0, p.boat.Cautions...)
	return g.list()
}

// sideCautions reports where the crew and the riggers do not go together.
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
