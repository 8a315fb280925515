package api

import (
	"context"
	"errors"
	"fmt"
	"math"
	"regexp"
	"strings"
	"time"

	"thole/rigging"
	"thole/selection"
	"thole/selection/lineup"
	"thole/selection/speed"
)

// raceDistance is the distance that costs in seconds refer to, m.
const raceDistance = 2000

// SeatOrderProblem is a squad, a boat and what counts.
type SeatOrderProblem struct {
	BoatClass   string      `json:"boat_class" required:"true" enum:"1x,2x,4x,2-,2+,4-,4+,8+"`
	Pattern     []string    `json:"pattern,omitempty" description:"Sweep: the side of each seat, bow first; left out: alternating with bow on starboard, unless pattern_free."`
	PatternFree bool        `json:"pattern_free,omitempty" description:"Sweep: any order with as many ports as starboards."`
	Candidates  []Candidate `json:"candidates" required:"true" minItems:"1" maxItems:"120"`
	CoxMassKg   *float64    `json:"cox_mass_kg,omitempty" default:"55" description:"Coxed boats."`
	HullMassKg  *float64    `json:"hull_mass_kg,omitempty" description:"Left out: the least hull mass of the class."`

	Pins      []SeatPin      `json:"pins,omitempty"`
	Must      []string       `json:"must,omitempty" description:"Athletes who have to row."`
	Out       []string       `json:"out,omitempty" description:"Athletes who must not row."`
	Apart     [][]string     `json:"apart,omitempty" description:"Pairs that never sit in neighbouring seats."`
	Adjacent  [][]string     `json:"adjacent,omitempty" description:"Pairs that sit in neighbouring seats when both row."`
	Never     [][]string     `json:"never,omitempty" description:"Pairs that never row together."`
	SeatCosts []SeatCostItem `json:"seat_costs,omitempty"`
	Mass      *MassRules     `json:"mass,omitempty"`
	WomenMin  int            `json:"women_min,omitempty"`
	WomenMax  *int           `json:"women_max,omitempty"`
	MenMin    int            `json:"men_min,omitempty"`
	MenMax    *int           `json:"men_max,omitempty"`

	Weights *OrderWeights `json:"weights,omitempty"`
	Arc     *Targets      `json:"arc,omitempty" description:"Sweep: catch and finish for the moment; left out: −55 and 34."`
}

// Candidate is one athlete of the squad.
type Candidate struct {
	ID       string     `json:"id" required:"true"`
	Name     string     `json:"name,omitempty" description:"Left out: the id."`
	Sex      string     `json:"sex,omitempty" enum:",female,male"`
	PowerW   float64    `json:"power_w" required:"true" description:"Race power over 2000 m."`
	PowerSdW float64    `json:"power_sd_w,omitempty"`
	MassKg   float64    `json:"mass_kg" required:"true"`
	Sides    *SideCosts `json:"sides,omitempty" description:"Sweep: what each side costs over 2000 m; a side left out cannot be rowed."`
	Curve    []float64  `json:"curve,omitempty" description:"Force at 101 nodes of the drive; only its shape counts."`
}

// SideCosts are the costs of rowing a side.
type SideCosts struct {
	Port      *float64 `json:"port,omitempty" description:"Seconds over 2000 m."`
	Starboard *float64 `json:"starboard,omitempty" description:"Seconds over 2000 m."`
}

// SeatPin puts an athlete in a seat.
type SeatPin struct {
	Seat int    `json:"seat" required:"true" description:"1 is bow."`
	ID   string `json:"id" required:"true"`
}

// SeatCostItem is the coach's cost of an athlete in a seat.
type SeatCostItem struct {
	ID    string  `json:"id" required:"true"`
	Seat  int     `json:"seat" required:"true" description:"1 is bow."`
	CostS float64 `json:"cost_s" required:"true"`
}

// MassRules are limits on what the crew weighs.
type MassRules struct {
	MeanMaxKg *float64 `json:"mean_max_kg,omitempty"`
	MaxKg     *float64 `json:"max_kg,omitempty"`
}

// OrderWeights say what the two criteria without a measured effect are worth.
type OrderWeights struct {
	LikenessS *float64 `json:"likeness_s,omitempty" default:"5" description:"Seconds for a mean difference of 1 between stroke shapes."`
	YawS      *float64 `json:"yaw_s,omitempty" default:"0.5" description:"Seconds for the mean-square turning moment of the alternating rig."`
}

// LineupsRequest asks for the best seat orders.
type LineupsRequest struct {
	SeatOrderProblem
	Count           int         `json:"count,omitempty" default:"10" description:"How many orders to list, at most 200."`
	Draws           int         `json:"draws,omitempty" description:"How often to redraw the race powers for firmness; 0 leaves it out, at most 5000."`
	Seed            uint64      `json:"seed,omitempty" description:"Of the redraws; the same seed gives the same answer."`
	PowerCovariance [][]float64 `json:"power_covariance_w2,omitempty" description:"Of the race powers, in the order of the candidates; left out: the power_sd_w as independent."`
}

// LineupsAnswer holds the best seat orders with what proves them.
type LineupsAnswer struct {
	Lineups     []ScoredLineup `json:"lineups"`
	Proven      bool           `json:"proven" description:"Nothing outside the list beats anything in it."`
	LowerBoundS float64        `json:"lower_bound_s" description:"No order can cost less."`
	GapS        float64        `json:"gap_s" description:"How far the best may be from the bound; 0 when proven."`
	Nodes       int            `json:"nodes"`
	ElapsedMs   float64        `json:"elapsed_ms"`
	NoCurve     []string       `json:"no_curve" description:"Athletes judged by the squad's mean curve for want of their own."`
	Firmness    *Firmness      `json:"firmness,omitempty"`
	NextRace    *NextRace      `json:"next_race,omitempty" description:"The seat race to run next."`
}

// ScoredLineup is a seat order with what it costs.
type ScoredLineup struct {
	Seats   []string  `json:"seats" description:"Bow first."`
	Sides   []string  `json:"sides" description:"Of the oars, bow first; empty in sculling."`
	TotalS  float64   `json:"total_s" description:"The sum of the terms."`
	Terms   CostTerms `json:"terms"`
	SpeedMS float64   `json:"speed_m_s" description:"In still water."`
}

// CostedLineup is a seat order given by hand with what it costs.
type CostedLineup struct {
	ScoredLineup
	Broken []string `json:"broken" description:"Rules that it does not keep."`
}

// CostTerms are the parts of the cost over 2000 m.
type CostTerms struct {
	PaceS     float64 `json:"pace_s"`
	SideS     float64 `json:"side_s"`
	SeatS     float64 `json:"seat_s"`
	LikenessS float64 `json:"likeness_s"`
	YawS      float64 `json:"yaw_s"`
}

// Firmness tells how far the best order depends on what is not known exactly.
type Firmness struct {
	Draws     int                           `json:"draws"`
	Proven    bool                          `json:"proven"`
	SameCrew  float64                       `json:"same_crew" description:"Share of the draws with the same crew."`
	SameOrder float64                       `json:"same_order" description:"Share of the draws with the very same order."`
	Selected  map[string]float64            `json:"selected" description:"Share of the draws in which each athlete rows."`
	Seat      map[string]map[string]float64 `json:"seat" description:"Share in each seat."`
	Races     []NextRace                    `json:"races" description:"Seat races worth running, most telling first."`
}

// NextRace is a comparison of two athletes who compete for a place.
type NextRace struct {
	In     string  `json:"in" description:"In the best crew."`
	Out    string  `json:"out" description:"Could take the place."`
	GainS  float64 `json:"gain_s" description:"What the boat gains with the other, on average."`
	SdS    float64 `json:"sd_s"`
	Chance float64 `json:"chance" description:"That the other is worth more."`
	ValueS float64 `json:"value_s" description:"What knowing for certain would be worth."`
}

// Unmeetable is the error of rules that no seat order keeps together.
type Unmeetable struct {
	Rules     []string // the smallest set in conflict
	Shortages []string
}

// Error says which rules cannot be met together.
func (e *Unmeetable) Error() string {
	text := "No seat order keeps all the rules."
	if len(e.Rules) > 0 {
		text = "These rules cannot be met together: " + strings.Join(e.Rules, "; ") + "."
	}
	if len(e.Shortages) > 0 {
		text += " " + sentence(strings.Join(e.Shortages, "; "))
	}
	return text
}

// FindLineups returns the best seat orders with proof, and their firmness when
// draws are asked for. A context that ends early leaves an honest gap. The
// error is an *Invalid or an *Unmeetable.
func (s *Service) FindLineups(ctx context.Context, r LineupsRequest) (LineupsAnswer, error) {
	p, err := r.problem()
	if err != nil {
		return LineupsAnswer{}, err
	}
	if err := r.check(); err != nil {
		return LineupsAnswer{}, err
	}
	if err := r.checkCounts(p.Class); err != nil {
		return LineupsAnswer{}, err
	}
	start := s.now()
	found, err := lineup.Solve(ctx, p, lineup.Options{Count: orCount(r.Count)})
	if err != nil {
		return LineupsAnswer{}, lineupError(err)
	}
	a := wireResult(&found)
	a.ElapsedMs = round(float64(s.now().Sub(start))/float64(time.Millisecond), 1e3)
	if r.Draws == 0 || !found.Proven {
		return a, nil
	}
	return a, s.addFirmness(ctx, &a, p, &r)
}

const defaultCount = 10

func orCount(count int) int {
	if count == 0 {
		return defaultCount
	}
	return count
}

func (r *LineupsRequest) check() error {
	var p problems
	p.within("count", rigging.Count, ptr(float64(orCount(r.Count))), 1, 200)
	p.within("draws", rigging.Count, ptr(float64(r.Draws)), 0, 5000)
	if n := len(r.PowerCovariance); n != 0 && n != len(r.Candidates) {
		p.tell(fieldProblem("power_covariance_w2", "Give one row for each candidate."))
	}
	return p.orNil()
}

// checkCounts tells women and men that the boat cannot hold together, which a
// search would find only by going through every crew.
func (r *LineupsRequest) checkCounts(class rigging.Class) error {
	if r.WomenMin < 0 || r.MenMin < 0 || r.WomenMin+r.MenMin <= class.Rowers {
		return nil
	}
	return &Unmeetable{
		Rules:     []string{fmt.Sprintf("at least %d women", r.WomenMin), fmt.Sprintf("at least %d men", r.MenMin)},
		Shortages: []string{fmt.Sprintf("%d rowers are needed and the boat has %d seats", r.WomenMin+r.MenMin, class.Rowers)},
	}
}

func (s *Service) addFirmness(ctx context.Context, a *LineupsAnswer, p lineup.Problem, r *LineupsRequest) error {
	tell := progress(ctx)
	firm, err := lineup.Firmness(ctx, p, lineup.FirmOptions{
		Draws: r.Draws, Seed: r.Seed, Covariance: r.PowerCovariance,
		Progress: func(done int) { tell(int64(done), int64(r.Draws)) },
	})
	if err != nil {
		return lineupError(err)
	}
	a.Firmness = wireFirmness(&firm)
	if len(a.Firmness.Races) > 0 {
		a.NextRace = &a.Firmness.Races[0]
	}
	return nil
}

// CostRequest asks what a given seat order costs.
type CostRequest struct {
	SeatOrderProblem
	Lineup GivenLineup `json:"lineup" required:"true"`
}

// GivenLineup is a seat order put together by hand.
type GivenLineup struct {
	Seats []string `json:"seats" required:"true" description:"Bow first."`
	Sides []string `json:"sides,omitempty" description:"Left out: those of the pattern."`
}

// CostLineup returns the terms of one given seat order, without a search. The
// error is an *Invalid.
func (s *Service) CostLineup(_ context.Context, r CostRequest) (CostedLineup, error) {
	p, given, err := r.read()
	if err != nil {
		return CostedLineup{}, err
	}
	scored, err := lineup.Evaluate(p, given)
	if err != nil {
		return CostedLineup{}, lineupError(err)
	}
	broken, err := lineup.Broken(p, given)
	return CostedLineup{wireScored(&scored), ruleTexts(broken)}, lineupError(err)
}

// ruleTexts says rules in words.
func ruleTexts(rules []lineup.Rule) []string {
	texts := []string{}
	for _, r := range rules {
		texts = append(texts, r.String())
	}
	return texts
}

func (r *CostRequest) read() (lineup.Problem, selection.Lineup, error) {
	p, err := r.problem()
	if err != nil {
		return p, selection.Lineup{}, err
	}
	given := selection.Lineup{Seats: r.Lineup.Seats}
	given.Sides, err = sidesOf("lineup.sides", r.Lineup.Sides)
	return p, given, err
}

// SeatSwap is what an exchange of two athletes would do to a seat order.
type SeatSwap struct {
	First     string    `json:"first"`
	Second    string    `json:"second"`
	Seat      int       `json:"seat" description:"Of the first; 1 is bow."`
	OtherSeat int       `json:"other_seat" description:"Of the second; 0 on the bench."`
	Possible  bool      `json:"possible"`
	ChangeS   float64   `json:"change_s" description:"More than 0: the order gets worse."`
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
	Swaps   []SeatSwap `json:"swaps"`
	Without []SeatLoss `json:"without" description:"The best order without each athlete."`
}

// ExplainLineup returns the swap table and the best orders without each
// athlete. The error is an *Invalid.
func (s *Service) ExplainLineup(ctx context.Context, r CostRequest) (LineupReasons, error) {
	p, given, err := r.read()
	if err != nil {
		return LineupReasons{}, err
	}
	swaps, err := lineup.Swaps(p, given)
	if err != nil {
		return LineupReasons{}, lineupError(err)
	}
	losses, err := lineup.Without(ctx, p, given)
	if err != nil {
		return LineupReasons{}, lineupError(err)
	}
	return wireReasons(swaps, losses), nil
}

// problem converts and checks names; the domain checks the rest.
func (r *SeatOrderProblem) problem() (lineup.Problem, error) {
	class, err := classOf(r.BoatClass)
	if err != nil {
		return lineup.Problem{}, err
	}
	var p problems
	d := lineup.Problem{
		Class: class, Pace: r.pace(class), Weights: r.Weights.weights(), Spacing: lineup.DefaultSpacing,
		Catch: lineup.DefaultCatch, Finish: lineup.DefaultFinish, Rules: r.rules(&p),
	}
	if r.Arc != nil {
		d.Catch, d.Finish = degOr(r.Arc.CatchDeg, d.Catch), degOr(r.Arc.FinishDeg, d.Finish)
	}
	p.within("cox_mass_kg", rigging.Mass, r.CoxMassKg, 20, 150)
	p.within("hull_mass_kg", rigging.Mass, r.HullMassKg, 5, 250)
	d.Pattern = r.pattern(&p, class)
	for i := range r.Candidates {
		d.Candidates = append(d.Candidates, r.Candidates[i].athlete(&p, i, class))
	}
	for _, c := range r.SeatCosts {
		d.SeatCosts = append(d.SeatCosts, lineup.SeatCost{ID: c.ID, Seat: c.Seat, Cost: c.CostS})
	}
	return d, p.orNil()
}

// pace is the speed model of the class with the boat's own masses.
func (r *SeatOrderProblem) pace(class rigging.Class) lineup.Pace {
	boat := speed.NewBoat(class)
	boat.HullMass = or(r.HullMassKg, boat.HullMass)
	if class.Coxed {
		boat.CoxMass = or(r.CoxMassKg, boat.CoxMass)
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
	return lineup.Weights{Likeness: or(w.LikenessS, d.Likeness), Yaw: or(w.YawS, d.Yaw)}
}

// pattern returns the sides of the seats; nil leaves them free.
func (r *SeatOrderProblem) pattern(p *problems, class rigging.Class) []rigging.Side {
	switch {
	case class.Scull && len(r.Pattern) > 0:
		p.tell(fieldProblem("pattern", "A sculling boat has no sides."))
		return nil
	case class.Scull || r.PatternFree && len(r.Pattern) == 0:
		return nil
	case len(r.Pattern) == 0:
		return alternating(class.Rowers)
	}
	sides, err := sidesOf("pattern", r.Pattern)
	p.add("", err)
	var bad *Invalid
	if errors.As(err, &bad) {
		p.fields = append(p.fields, bad.Fields...)
	}
	return sides
}

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

func sidesOf(field string, names []string) ([]rigging.Side, error) {
	var sides []rigging.Side
	for i, name := range names {
		side, ok := rigging.ParseSide(name)
		if !ok {
			return nil, invalid(fmt.Sprintf("%s[%d]", field, i), "Say port or starboard.")
		}
		sides = append(sides, side)
	}
	return sides, nil
}

func (c *Candidate) athlete(p *problems, i int, class rigging.Class) selection.Athlete {
	sex, ok := rigging.ParseSex(c.Sex)
	if !ok {
		p.tell(fieldProblem(fmt.Sprintf("candidates[%d].sex", i), "Say female or male, or leave it out."))
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
		p.tell(fieldProblem(fmt.Sprintf("candidates[%d].sides", i), "Say what each side costs; a side left out cannot be rowed."))
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

func (r *SeatOrderProblem) rules(p *problems) lineup.Rules {
	d := lineup.Rules{
		Must: r.Must, Out: r.Out, WomenMin: r.WomenMin, WomenMax: r.WomenMax, MenMin: r.MenMin, MenMax: r.MenMax,
		Apart: pairsOf(p, "apart", r.Apart), Adjacent: pairsOf(p, "adjacent", r.Adjacent), Never: pairsOf(p, "never", r.Never),
	}
	for _, pin := range r.Pins {
		d.Pins = append(d.Pins, lineup.Pin{ID: pin.ID, Seat: pin.Seat})
	}
	if r.Mass != nil {
		d.MeanMass, d.MaxMass = known(r.Mass.MeanMaxKg, 1), known(r.Mass.MaxKg, 1)
	}
	return d
}

func pairsOf(p *problems, field string, list [][]string) []lineup.Pair {
	var pairs []lineup.Pair
	for i, ids := range list {
		if len(ids) != 2 {
			p.tell(fieldProblem(fmt.Sprintf("%s[%d]", field, i), "Name two athletes."))
			continue
		}
		pairs = append(pairs, lineup.Pair{First: ids[0], Second: ids[1]})
	}
	return pairs
}

// wireNames puts the wire's names for the domain's in the path of a field.
var wireNames = []struct {
	from *regexp.Regexp
	to   string
}{
	{regexp.MustCompile(`^rules\.mean_mass$`), "mass.mean_max"},
	{regexp.MustCompile(`^rules\.max_mass$`), "mass.max"},
	{regexp.MustCompile(`^rules\.`), ""},
	{regexp.MustCompile(`\.power$`), ".power_w"},
	{regexp.MustCompile(`\.power_sd$`), ".power_sd_w"},
	{regexp.MustCompile(`^(weights\.likeness|weights\.yaw|seat_costs\[\d+\]\.cost)$`), "${1}_s"},
	{regexp.MustCompile(`^(catch|finish)$`), "arc.$1"},
}

// lineupError carries an error of the search over to the edge.
func lineupError(err error) error {
	var conflict *lineup.ConflictError
	if errors.As(err, &conflict) {
		e := &Unmeetable{Rules: ruleTexts(conflict.Rules)}
		for _, s := range conflict.Shortages {
			e.Shortages = append(e.Shortages, s.String())
		}
		return e
	}
	var many rigging.FieldErrors
	if errors.As(err, &many) {
		for _, f := range many {
			for _, n := range wireNames {
				f.Field = n.from.ReplaceAllString(f.Field, n.to)
			}
			if strings.HasSuffix(f.Field, ".mass") && !hasUnit(f) { // missing, and so without a quantity
				f.Field += "_kg"
			}
		}
	}
	return domainError(err)
}

func toCost(s float64) float64 { return round(s, 1e6) }

func wireResult(r *lineup.Result) LineupsAnswer {
	a := LineupsAnswer{Lineups: []ScoredLineup{}, Proven: r.Proven, Nodes: r.Nodes, NoCurve: []string{}}
	a.NoCurve = append(a.NoCurve, r.NoCurve...)
	if !math.IsInf(r.LowerBound, 0) {
		a.LowerBoundS = toCost(r.LowerBound)
	}
	for i := range r.Lineups {
		a.Lineups = append(a.Lineups, wireScored(&r.Lineups[i]))
	}
	if len(a.Lineups) > 0 && !r.Proven {
		a.GapS = max(0, toCost(r.Lineups[0].Terms.Total()-r.LowerBound))
	}
	return a
}

func wireScored(s *lineup.Scored) ScoredLineup {
	w := ScoredLineup{Seats: s.Lineup.Seats, Sides: []string{}, TotalS: toCost(s.Terms.Total()), Terms: wireTerms(s.Terms), SpeedMS: toSpeed(s.Speed)}
	for _, side := range s.Lineup.Sides {
		w.Sides = append(w.Sides, side.String())
	}
	return w
}

func wireTerms(t lineup.Terms) CostTerms {
	return CostTerms{toCost(t.Pace), toCost(t.Side), toCost(t.Seat), toCost(t.Likeness), toCost(t.Yaw)}
}

func wireFirmness(f *lineup.Firm) *Firmness {
	w := &Firmness{
		Draws: f.Draws, Proven: f.Proven, SameCrew: toRatio(f.SameCrew), SameOrder: toRatio(f.Same),
		Selected: map[string]float64{}, Seat: map[string]map[string]float64{}, Races: []NextRace{},
	}
	for id, share := range f.Selected {
		w.Selected[id] = toRatio(share)
	}
	for id, shares := range f.Seat {
		seats := map[string]float64{}
		for i, share := range shares {
			if share > 0 {
				seats[fmt.Sprint(i+1)] = toRatio(share)
			}
		}
		w.Seat[id] = seats
	}
	for _, r := range f.Races {
		w.Races = append(w.Races, NextRace{r.In, r.Out, toCost(r.Gain), toCost(r.SD), toRatio(r.Chance), toCost(r.Value)})
	}
	return w
}

func wireReasons(swaps []lineup.Swap, losses []lineup.Loss) LineupReasons {
	w := LineupReasons{Swaps: []SeatSwap{}, Without: []SeatLoss{}}
	for _, s := range swaps {
		one := SeatSwap{First: s.First, Second: s.Second, Seat: s.Seat, OtherSeat: s.OtherSeat, Possible: s.Possible, ChangeS: toCost(s.Change), Terms: wireTerms(s.Terms), Breaks: ruleTexts(s.Breaks)}
		w.Swaps = append(w.Swaps, one)
	}
	for _, l := range losses {
		one := SeatLoss{ID: l.ID, Seat: l.Seat, Possible: l.Possible, CostS: toCost(l.Cost), Proven: l.Proven}
		if l.Possible {
			best := wireScored(&l.Best)
			one.Best = &best
		}
		w.Without = append(w.Without, one)
	}
	return w
}

func selectionRoutes() []Route {
	return []Route{
		post("/api/v1/selection/lineups", "Find seat orders",
			"The best seat orders of a squad for a boat, proven best, with what each costs and how firm the choice is.",
			(*Service).FindLineups).asJob(),
		get("/api/v1/selection/squad", "Gather the squad", "The athletes on record as candidates for a boat: race power from their tests or a seat-race trial, mass, sides and stroke curve.", (*Service).SquadFor),
		post("/api/v1/selection/cost", "Cost a seat order", "What a given seat order of the same squad costs, without a search.", (*Service).CostLineup),
		post("/api/v1/selection/explain", "Explain a seat order", "The change of every swap, and the best order without each athlete.", (*Service).ExplainLineup),
		get("/api/v1/lineups", "List line-ups", "The line-ups on record.", (*Service).Lineups),
		create("/api/v1/lineups", "Save a line-up", "Puts a crew in its seats on record.", (*Service).SaveLineup),
		get("/api/v1/lineups/:id", "Read a line-up", "One line-up with the names of its crew.", (*Service).Lineup),
		remove("/api/v1/lineups/:id", "Remove a line-up", "Takes a line-up off the records.", (*Service).RemoveLineup),
	}
}
