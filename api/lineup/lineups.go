package lineup

import (
	"cmp"
	"context"
	"errors"
	"net/http"
	"slices"
	"strings"
	"time"

	"thole/api/access"
	"thole/api/jobs"
	"thole/api/rest"
	"thole/api/seat"
	"thole/api/strokefile"
	"thole/api/wire"
	"thole/rigging"
	"thole/selection"
	"thole/selection/lineup"
	"thole/selection/speed"
)

// raceDistance is the distance that costs in seconds refer to, m.
const raceDistance = selection.RaceDistance

// Unmeetable is the error of rules that no line-up keeps together.
type Unmeetable struct {
	Rules     []string
	Shortages []string // sentences

	// Irreducible says that any of the rules left out the others can be kept,
	// Smallest that no fewer rules are in conflict.
	Irreducible, Smallest bool
}

// Error reports which rules cannot be met together.
func (e *Unmeetable) Error() string {
	text := "No line-up keeps all the rules."
	if len(e.Rules) == 1 {
		text = "This rule cannot be met: " + e.Rules[0] + "."
	} else if len(e.Rules) > 1 {
		text = "These rules cannot be met together: " + strings.Join(e.Rules, "; ") + "."
	}
	if len(e.Shortages) > 0 {
		text += " " + strings.Join(e.Shortages, " ")
	}
	return text
}

// Problem answers 422 with the rules.
func (e *Unmeetable) Problem() wire.Problem {
	return wire.Problem{Status: http.StatusUnprocessableEntity, Detail: e.Error(), Rules: e.Rules, Spare: &e.Irreducible, Least: &e.Smallest}
}

// FindLineups returns the best line-ups with proof, and their firmness when
// draws are asked for. A context that ends early leaves an honest gap. The
// error is an *Invalid or an *Unmeetable.
func (s *Service) FindLineups(ctx context.Context, r LineupsRequest) (LineupsAnswer, error) {
	if r.Draws == 0 {
		return s.findLineups(ctx, r)
	}
	key := keyOf(&r)
	if a, ok := s.memory.get(key).(LineupsAnswer); ok {
		return a, nil
	}
	a, err := s.findLineups(ctx, r)
	if err == nil && a.Firmness != nil && a.Firmness.Draws == r.Draws {
		s.memory.put(key, a)
	}
	return a, err
}

func (s *Service) findLineups(ctx context.Context, r LineupsRequest) (LineupsAnswer, error) {
	p, err := r.problem()
	if err != nil {
		return LineupsAnswer{}, err
	}
	if err := r.check(); err != nil {
		return LineupsAnswer{}, err
	}
	start := s.Now()
	found, err := lineup.Solve(ctx, p, lineup.Options{Count: orCount(r.Count), Fold: r.Fold})
	if err != nil {
		return LineupsAnswer{}, ErrorOf(err)
	}
	a := wireResult(&found)
	a.ElapsedMs = wire.Round(float64(s.Now().Sub(start))/float64(time.Millisecond), 1e3)
	if r.Draws == 0 || !found.Proven {
		return a, nil
	}
	return a, s.addFirmness(ctx, &a, p, &r)
}

// defaultCount is how many line-ups are listed unless others are asked for: as many as
// a page shows without scrolling on (our judgement).
const defaultCount = 10

func orCount(count int) int {
	if count == 0 {
		return defaultCount
	}
	return count
}

func (r *LineupsRequest) check() error {
	var p wire.Problems
	p.Check(wire.At(), r)
	if n := len(r.PowerCovariance); n != 0 && n != len(r.Candidates) {
		p.Add(wire.At("power_covariance_w2").Problem("Give one row for each candidate."))
	}
	return p.OrNil()
}

func (s *Service) addFirmness(ctx context.Context, a *LineupsAnswer, p lineup.Problem, r *LineupsRequest) error {
	tell := jobs.Progress(ctx)
	firm, err := lineup.Firmness(ctx, p, lineup.FirmOptions{
		Draws: r.Draws, Seed: r.Seed, Covariance: r.PowerCovariance,
		Progress: func(done int) { tell(int64(done), int64(r.Draws)) },
	})
	if err != nil {
		return ErrorOf(err)
	}
	a.Firmness = wireFirmness(&firm)
	if len(a.Firmness.Races) > 0 {
		a.NextRace = &a.Firmness.Races[0]
	}
	return nil
}

// CostRequest asks for the cost of a given line-up.
type CostRequest struct {
	LineupProblem
	Lineup GivenLineup `json:"lineup" validate:"required"`
}

// GivenLineup is a line-up put together by hand.
type GivenLineup struct {
	Seats []string `json:"seats" validate:"required,max=8,dive,max=200" description:"Bow first."`
	Sides []string `json:"sides,omitempty" validate:"omitempty,max=8,dive,oneof=port starboard" description:"Without it, those of the pattern."`
}

// CostLineup returns the terms of one given line-up, without a search. The
// error is an *Invalid.
func (s *Service) CostLineup(_ context.Context, r CostRequest) (CostedLineup, error) {
	p, given, err := r.Read()
	if err != nil {
		return CostedLineup{}, err
	}
	scored, err := lineup.Evaluate(p, given)
	if err != nil {
		return CostedLineup{}, ErrorOf(err)
	}
	broken, err := lineup.Broken(p, given)
	return CostedLineup{wireScored(&scored), ruleTexts(broken)}, ErrorOf(err)
}

// ruleTexts says rules in words.
func ruleTexts(rules []lineup.Rule) []string {
	texts := []string{}
	for _, r := range rules {
		texts = append(texts, r.String())
	}
	return texts
}

// Read turns a request into a squad with its rules, and a line-up of it.
func (r *CostRequest) Read() (lineup.Problem, selection.Lineup, error) {
	p, err := r.problem()
	if err != nil {
		return p, selection.Lineup{}, err
	}
	given := selection.Lineup{Seats: r.Lineup.Seats}
	given.Sides, err = sidesOf(wire.At("lineup", "sides"), r.Lineup.Sides)
	return p, given, err
}

// SeatSwap is what an exchange of two athletes would do to a seat order.
type SeatSwap struct {
	First     string    `json:"first"`
	Second    string    `json:"second"`
	Seat      int       `json:"seat" description:"Of the first; 1 is bow."`
	OtherSeat int       `json:"other_seat" description:"Of the second; 0 outside the boat."`
	Possible  bool      `json:"possible"`
	ChangeS   float64   `json:"change_s" description:"More than 0: the line-up gets worse."`
	PowerS    float64   `json:"power_s" description:"The part of the change that is the second's power, where the first leaves the boat."`
	MassS     float64   `json:"mass_s" description:"The part that is the second's mass; with power_s it makes the change of pace_s."`
	Terms     CostTerms `json:"terms"`
	Breaks    []string  `json:"breaks"`
}

// SeatLoss is what the crew would lose without one athlete.
type SeatLoss struct {
	ID       string        `json:"id"`
	Seat     int           `json:"seat"`
	Possible bool          `json:"possible"`
	CostS    float64       `json:"cost_s"`
	Best     *ScoredLineup `json:"best"`
	Proven   bool          `json:"proven"`
}

// LineupReasons say why a seat order is as it is.
type LineupReasons struct {
	Swaps    []SeatSwap `json:"swaps"`
	Without  []SeatLoss `json:"without" description:"The best line-up without each athlete."`
	NextCrew OtherCrew  `json:"next_crew" description:"The best line-up of other people."`
}

// OtherCrew is the best line-up of a crew other than the one asked about.
type OtherCrew struct {
	Possible bool          `json:"possible" description:"Whether the rules leave another crew."`
	CostS    float64       `json:"cost_s" description:"How much worse its best line-up is than the one asked about."`
	Best     *ScoredLineup `json:"best"`
	In       []string      `json:"in" description:"Who rows instead."`
	Out      []string      `json:"out" description:"Who does not row."`
	Proven   bool          `json:"proven" description:"No other crew is better."`
}

// ExplainLineup returns the swap table and the best orders without each
// athlete. The error is an *Invalid.
func (s *Service) ExplainLineup(ctx context.Context, r CostRequest) (LineupReasons, error) {
	p, given, err := r.Read()
	if err != nil {
		return LineupReasons{}, err
	}
	swaps, err := lineup.Swaps(p, given)
	if err != nil {
		return LineupReasons{}, ErrorOf(err)
	}
	losses, err := lineup.Without(ctx, p, given)
	if err != nil {
		return LineupReasons{}, ErrorOf(err)
	}
	reasons := wireReasons(swaps, losses)
	next := lineup.NextBest(p, losses)
	reasons.NextCrew = wireOther(&next, given.Seats)
	return reasons, nil
}

// problem converts and checks names; the domain checks the rest.
func (r *LineupProblem) problem() (lineup.Problem, error) {
	class, err := seat.ClassOf(r.BoatClass)
	if err != nil {
		return lineup.Problem{}, err
	}
	var p wire.Problems
	d := lineup.Problem{
		Class: class, Pace: r.pace(class), Weights: r.Weights.weights(), Spacing: lineup.DefaultSpacing,
		Catch: lineup.DefaultCatch, Finish: lineup.DefaultFinish, Rules: r.rules(&p),
	}
	if r.Arc != nil {
		d.Catch, d.Finish = wire.DegOr(r.Arc.CatchDeg, d.Catch), wire.DegOr(r.Arc.FinishDeg, d.Finish)
	}
	d.Pattern = r.pattern(&p, class)
	sides, err := sidesOf(wire.At("rigged"), r.Rigged)
	p.Merge(wire.Place{}, err)
	d.Rigged, d.Rerig = sides, wire.Or(r.RerigS, DefaultRerig)
	counted := r.WomenMin > 0 || r.MenMin > 0 || r.WomenMax != nil || r.MenMax != nil
	for i := range r.Candidates {
		c := &r.Candidates[i]
		d.Candidates = append(d.Candidates, c.athlete(&p, i, class))
		if counted && c.Sex == "" && !slices.Contains(r.Out, c.ID) {
			p.Add(wire.At("candidates").Item(i).Name("sex").Problem(cmp.Or(c.Name, c.ID) + " needs to be female or male: a rule counts women or men."))
		}
	}
	for _, c := range r.SeatCosts {
		d.SeatCosts = append(d.SeatCosts, lineup.SeatCost{ID: c.ID, Seat: c.Seat, Cost: c.CostS})
	}
	p.Check(wire.At(), r)
	return d, p.OrNil()
}

// pace is the speed model of the class with the boat's own masses.
func (r *LineupProblem) pace(class rigging.Class) lineup.Pace {
	boat := speed.NewBoat(class)
	boat.HullMass = wire.Or(r.HullMassKg, boat.HullMass)
	if class.Coxed {
		boat.CoxMass = wire.Or(r.CoxMassKg, boat.CoxMass)
	}
	return lineup.Pace{
		Distance: raceDistance, Efficiency: speed.Efficiency, MassExponent: float64(speed.SameHull),
		Drag: speed.ClassDrag(class.ReferenceMass), ReferenceMass: class.ReferenceMass, FixedMass: boat.EmptyMass(),
	}
}

func (w *OrderWeights) weights() lineup.Weights {
	d := lineup.DefaultWeights
	if w == nil {
		return d
	}
	return lineup.Weights{Likeness: wire.Or(w.LikenessS, d.Likeness), Yaw: wire.Or(w.YawS, d.Yaw)}
}

// pattern returns the sides of the seats; nil leaves them free.
func (r *LineupProblem) pattern(p *wire.Problems, class rigging.Class) []rigging.Side {
	switch {
	case class.Scull && len(r.Pattern) > 0:
		p.Add(wire.At("pattern").Problem("A sculling boat has no sides."))
		return nil
	case class.Scull || r.PatternFree && len(r.Pattern) == 0:
		return nil
	case len(r.Pattern) == 0:
		return alternating(class.Rowers)
	}
	sides, err := sidesOf(wire.At("pattern"), slices.DeleteFunc(slices.Clone(r.Pattern), func(side string) bool { return side == Either }))
	p.Merge(wire.Place{}, err)
	for i, side := range r.Pattern {
		if side == Either {
			sides = slices.Insert(sides, min(i, len(sides)), 0)
		}
	}
	return sides
}

// Either stands in a pattern for the side of a seat that may have any.
const Either = "either"

// DefaultRerig is what a seat that changes sides counts for, s (judgement: the
// work is not worth what is too close to tell on the water).
const DefaultRerig = CloseS

// alternating is the common order of the sides: bow on starboard, stroke on
// port.
func alternating(seats int) []rigging.Side {
	sides := make([]rigging.Side, seats)
	for i := range sides {
		sides[i] = rigging.Starboard
		if i%2 == 1 {
			sides[i] = rigging.Port
		}
	}
	return sides
}

func sidesOf(at wire.Place, names []string) ([]rigging.Side, error) {
	var sides []rigging.Side
	for i, name := range names {
		side, ok := rigging.ParseSide(name)
		if !ok {
			return nil, at.Item(i).Invalid("Say port or starboard.")
		}
		sides = append(sides, side)
	}
	return sides, nil
}

func (c *Candidate) athlete(p *wire.Problems, i int, class rigging.Class) selection.Athlete {
	sex, ok := rigging.ParseSex(c.Sex)
	if !ok {
		p.Add(wire.At("candidates").Item(i).Name("sex").Problem("Say female or male, or leave it out."))
	}
	a := selection.Athlete{
		ID: c.ID, Name: c.Name, Female: sex == rigging.Female,
		Mass: c.MassKg, Power: c.PowerW, PowerSD: c.PowerSdW, Curve: c.Curve,
	}
	if a.Name == "" {
		a.Name = c.ID
	}
	if class.Scull {
		return a
	}
	a.SideCost = map[rigging.Side]float64{}
	if c.Sides == nil {
		p.Add(wire.At("candidates").Item(i).Name("sides").Problem("Say what each side costs; a side left out cannot be rowed."))
		return a
	}
	if c.Sides.Port != nil {
		a.SideCost[rigging.Port] = *c.Sides.Port
	}
	if c.Sides.Starboard != nil {
		a.SideCost[rigging.Starboard] = *c.Sides.Starboard
	}
	return a
}

func (r *LineupProblem) rules(p *wire.Problems) lineup.Rules {
	d := lineup.Rules{
		Must: r.Must, Out: r.Out, WomenMin: r.WomenMin, WomenMax: r.WomenMax, MenMin: r.MenMin, MenMax: r.MenMax,
		Apart: pairsOf(p, wire.At("apart"), r.Apart), Adjacent: pairsOf(p, wire.At("adjacent"), r.Adjacent), Never: pairsOf(p, wire.At("never"), r.Never),
	}
	for _, pin := range r.Pins {
		d.Pins = append(d.Pins, lineup.Pin{ID: pin.ID, Seat: pin.Seat})
	}
	if r.Mass != nil {
		d.MeanMass, d.MaxMass = wire.Known(r.Mass.MeanMaxKg, 1), wire.Known(r.Mass.MaxKg, 1)
	}
	return d
}

func pairsOf(p *wire.Problems, at wire.Place, list [][]string) []lineup.Pair {
	var pairs []lineup.Pair
	for i, ids := range list {
		if len(ids) != 2 {
			p.Add(at.Item(i).Problem("Name two athletes."))
			continue
		}
		pairs = append(pairs, lineup.Pair{First: ids[0], Second: ids[1]})
	}
	return pairs
}

// names are those of a search's fields on the wire.
var names = wire.Names{
	selection.FieldRules:    nil,
	selection.FieldMeanMass: {"mass", "mean_max_kg"},
	selection.FieldMaxMass:  {"mass", "max_kg"},
	selection.FieldPower:    {"power_w"},
	selection.FieldPowerSD:  {"power_sd_w"},
	selection.FieldLikeness: {"likeness_s"},
	selection.FieldYaw:      {"yaw_s"},
	selection.FieldCost:     {"cost_s"},
	rigging.FieldCatch:      {"arc", "catch_deg"},
	rigging.FieldFinish:     {"arc", "finish_deg"},

	selection.FieldRerig: {"rerig_s"},

	selection.FieldCovariance: {"power_covariance_w2"},
}

// ErrorOf carries an error of the search over to the edge.
func ErrorOf(err error) error {
	var conflict *lineup.ConflictError
	if errors.As(err, &conflict) {
		e := &Unmeetable{Rules: ruleTexts(conflict.Rules), Irreducible: conflict.Irreducible, Smallest: conflict.Smallest}
		for _, s := range conflict.Shortages {
			e.Shortages = append(e.Shortages, wire.Sentence(s.String()))
		}
		return e
	}
	return wire.DomainError(err, names)
}

// TurningLineup returns the steering moment of a given line-up at the 101
// nodes of the drive, as a share of the reference, the alternating rig with
// equal rowers; empty in a sculling boat.
func (s *Service) TurningLineup(_ context.Context, r CostRequest) ([]float64, error) {
	p, given, err := r.Read()
	if err != nil {
		return nil, err
	}
	moment, err := lineup.Turning(p, given)
	return strokefile.Rounded(moment, 1e4), ErrorOf(err)
}

// Routes lists the operations of the area.
func (s *Service) Routes() []rest.Route {
	return []rest.Route{
		rest.Tabled(rest.Post("/api/v1/selection/lineups", "Find line-ups",
			"The best line-ups of a squad for a boat, proven best, with the cost of each and how firm the choice is.",
			s.FindLineups).AsJob().For(access.Coaches.Calculating()),
			rest.Columns{First: orderColumns, More: orderMore}, s.LineupTable),
		rest.Tabled(rest.Post("/api/v1/selection/crews", "Find crews",
			"The best crews of a squad for a boat, each another set of athletes, proven best, and the best line-ups of each.",
			s.FindCrews).AsJob().For(access.Coaches.Calculating()),
			rest.Columns{First: crewColumns, More: orderMore}, s.CrewsTable),
		rest.Post("/api/v1/selection/two-boats", "Share a squad between two boats",
			"Line-ups of two boats that share nobody: the first as fast as can be, or the two balanced, with proof or the gap that is left.",
			s.FindTwoBoats).AsJob().For(access.Coaches.Calculating()),
		rest.Tabled(rest.Get("/api/v1/selection/squad", "Gather the squad", "The athletes as candidates for a boat: race power from their tests or a seat race, mass, sides and force curve.", s.SquadFor).For(access.Coaches),
			rest.Columns{First: powerColumns}, s.PowerTable),
		rest.Post("/api/v1/selection/cost", "Cost a line-up", "The cost of a given line-up of the same squad, without a search.", s.CostLineup).For(access.Coaches.Calculating()),
		rest.Post("/api/v1/selection/explain", "Explain a line-up", "The change of every swap, the best line-up without each athlete, and the next best crew.", s.ExplainLineup).For(access.Coaches.Calculating()),
	}
}
