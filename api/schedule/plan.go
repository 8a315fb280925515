package schedule

import (
	"context"
	"fmt"
	"math"
	"slices"

	"thole/api/club"
	"thole/api/seat"
	"thole/api/wire"
	"thole/rigging"
	"thole/selection"
	"thole/selection/seatrace"
	"thole/selection/speed"
)

// SeatRacePlanRequest asks for a schedule of crews, or for what a schedule
// made by hand will show.
type SeatRacePlanRequest struct {
	BoatClass     string        `json:"boat_class" validate:"required,boatclass"`
	Athletes      []PlanAthlete `json:"athletes" validate:"required,min=2,max=60" description:"Those beyond the seats sit out in turns."`
	Boats         *int          `json:"boats,omitempty" validate:"omitempty,gte=2,lte=12" default:"2"`
	Pieces        int           `json:"pieces,omitempty" validate:"gte=0,lte=40" description:"How many pieces; needed unless a schedule is given."`
	Swaps         *int          `json:"swaps,omitempty" validate:"omitempty,gte=0,lte=60" default:"1" description:"Pairs that may change places between two pieces; 0 for no limit."`
	Pairs         [][]string    `json:"pairs,omitempty" validate:"omitempty,max=1770,dive,len=2,dive,max=200" description:"Pairs of athletes to compare; left out, all whose sides let them take each other's seat."`
	AcrossSides   bool          `json:"across_sides,omitempty" description:"Where no pairs are named, compare ports with starboards too."`
	DistanceM     *float64      `json:"distance_m,omitempty" validate:"omitempty,gte=100,lte=10000" default:"1000"`
	ExpectedTimeS *float64      `json:"expected_time_s,omitempty" validate:"omitempty,gte=10,lte=7200" description:"About the time of a piece; left out, from the power."`
	NoiseSdS      *float64      `json:"noise_sd_s,omitempty" validate:"omitempty,gte=0.01,lte=100" description:"Expected standard deviation of one boat's time; left out, 0.9 % of the time."`
	SmallestW     *float64      `json:"smallest_w,omitempty" validate:"omitempty,gte=0,lte=1000" default:"10" description:"The smallest difference of power between two athletes that has to show, in W; 0 for none."`
	MeanPowerW    *float64      `json:"mean_power_w,omitempty" validate:"omitempty,gte=20,lte=1000" default:"300" description:"About the power of one athlete over a piece, in W."`
	RestMin       *float64      `json:"rest_min,omitempty" validate:"omitempty,gte=0,lte=1440" default:"10" description:"Minutes from the end of one piece to the start of the next."`
	Hulls         bool          `json:"hulls,omitempty" description:"The hulls may differ in speed."`
	Trends        bool          `json:"trends,omitempty" description:"Each boat may drift steadily over the pieces."`
	View          string        `json:"view,omitempty" validate:"omitempty,oneof=margins absolute" default:"margins"`
	Seed          *int          `json:"seed,omitempty" validate:"omitempty,gte=0" default:"1" description:"Where the search starts: equal requests with equal seeds give equal schedules."`
	Schedule      []PlanCrews   `json:"schedule,omitempty" validate:"omitempty,max=200" description:"Crews made by hand, used instead of a search."`
}

// PlanAthlete is one athlete of the squad.
type PlanAthlete struct {
	ID    string          `json:"id" validate:"required,max=200"`
	Sides *club.SideCosts `json:"sides,omitempty" description:"Sides that the athlete can row in a sweep boat, each with its cost in s, of which only the presence counts here; left out, both."`
}

// PlanCrews are the crews of one piece.
type PlanCrews struct {
	Crews [][]string `json:"crews" validate:"required,max=12,dive,max=9,dive,max=200" description:"A crew a boat."`
}

// SeatRacePlan is a schedule and what it will show before anyone rows.
type SeatRacePlan struct {
	Pieces        []PlannedPiece       `json:"pieces"`
	Differences   []ExpectedDifference `json:"differences" description:"Every two athletes of the squad."`
	Missing       int                  `json:"missing" description:"Asked comparisons that the schedule does not compare."`
	ExpectedSdS   float64              `json:"expected_sd_s" description:"Root mean variance of the other comparisons."`
	Rank          int                  `json:"rank" description:"How many independent differences the schedule determines."`
	NotEstimable  []string             `json:"not_estimable" description:"What is not compared, and why."`
	Faults        []string             `json:"faults" description:"Where a schedule made by hand breaks the rules that were set."`
	Truth         []string             `json:"truth" description:"What the schedule does not show, in words."`
	SmallestS     float64              `json:"smallest_s" description:"The smallest difference that has to show, in seconds of the boat over the distance."`
	SmallestW     float64              `json:"smallest_w" description:"The same in W."`
	NoiseSdS      float64              `json:"noise_sd_s" description:"Standard deviation of one boat's time that was used."`
	NoiseSource   string               `json:"noise_source" enum:"stated,assumed"`
	ExpectedTimeS float64              `json:"expected_time_s"`
	SwapSdS       float64              `json:"swap_sd_s" description:"Standard error of a difference from one single swap of two athletes, for comparison."`
	TotalMin      float64              `json:"total_min" description:"Minutes from the first start to the last finish."`
	Cautions      []seat.Caution       `json:"cautions"`
}

// PlannedPiece is one piece of a schedule.
type PlannedPiece struct {
	Crews    [][]string `json:"crews" description:"A crew a boat, in no order of seats."`
	Moved    []string   `json:"moved" description:"Who came from another boat or from ashore."`
	Left     []string   `json:"left" description:"Who went ashore."`
	StartMin float64    `json:"start_min" description:"Minutes after the first start."`
}

// ExpectedDifference is how certain a schedule will make one difference.
type ExpectedDifference struct {
	First       string  `json:"first"`
	Second      string  `json:"second"`
	Asked       bool    `json:"asked"`
	Estimable   bool    `json:"estimable"`
	ExpectedSdS float64 `json:"expected_sd_s" description:"0 where it is not estimable."`
	Pieces      int     `json:"pieces" description:"How many pieces of this kind it takes for a difference of smallest_w to show; 0 where the schedule cannot show it."`
	Why         string  `json:"why" description:"Why it is not estimable."`
}

// Defaults of a plan: distance, rest and one swap a piece are common practice, the
// power of a club crew and the difference worth telling our judgement.
const (
	defaultBoats      = 2
	defaultSwaps      = 1
	DefaultDistance   = 1000.0
	defaultSmallestW  = 10.0
	defaultMeanPowerW = 300.0
	defaultRestMin    = 10.0
	defaultSeed       = 1
)

// Bounds of a plan. Times and powers beyond them are slips of the pen
// (engineering judgement).
const (
	MaxMeanPowerW = 1000
	maxPlanPieces = 40
)

// maxSearch bounds athletes × pieces × boats of a search; our judgement: some seconds.
const maxSearch = 4000

// Plan finds a schedule, or evaluates one made by hand. A difference that matters and
// stays open is counted in Missing and told in Truth. The error is an *Invalid.
func (s *Service) Plan(ctx context.Context, r SeatRacePlanRequest) (SeatRacePlan, error) {
	setup, err := r.setup()
	if err != nil {
		return SeatRacePlan{}, err
	}
	pieces, forecast, err := r.foresee(ctx, setup)
	if err != nil {
		return SeatRacePlan{}, ErrorOf(err)
	}
	return r.wirePlan(setup, pieces, forecast), nil
}

// foresee searches a schedule or evaluates the one given.
func (r *SeatRacePlanRequest) foresee(ctx context.Context, setup *seatrace.Setup) ([]selection.Piece, *seatrace.Forecast, error) {
	if r.Schedule == nil {
		plan, err := seatrace.Plan(ctx, seatrace.Request{Setup: *setup, Pieces: r.Pieces, Seed: uint64(wire.Or(r.Seed, defaultSeed))})
		if err != nil {
			return nil, nil, err
		}
		return plan.Pieces, plan.Forecast, nil
	}
	pieces := make([]selection.Piece, len(r.Schedule))
	for i, p := range r.Schedule {
		pieces[i].Crews = p.Crews
	}
	forecast, err := seatrace.Evaluate(pieces, *setup)
	return pieces, forecast, ErrorOf(err, wire.Names{selection.FieldPieces: {"schedule"}})
}

// setup reads the request in the domain's terms.
func (r *SeatRacePlanRequest) setup() (*seatrace.Setup, error) {
	class, err := seat.ClassOf(r.BoatClass)
	if err != nil {
		return nil, err
	}
	var p wire.Problems
	r.check(&p)
	athletes := r.squad(&p)
	pairs, err := readPairs(r.Pairs)
	if err != nil {
		return nil, err
	}
	if err := p.OrNil(); err != nil {
		return nil, err
	}
	time := r.expectedTime(class)
	setup := &seatrace.Setup{
		Athletes: athletes, Class: class, Boats: wire.Or(r.Boats, defaultBoats), Swaps: wire.Or(r.Swaps, defaultSwaps), Asked: pairs,
		Model:   seatrace.Model{Absolute: r.View == ViewAbsolute, Hulls: r.Hulls, Trends: r.Trends},
		NoiseSD: wire.Or(r.NoiseSdS, seatrace.TypicalNoise*time), Conversion: ConversionOf(time, r.meanPower(), class),
	}
	if pairs == nil && !r.AcrossSides && !class.Scull {
		setup.Asked = seatrace.PairsOfOneSide(idsOf(athletes), seatrace.SidesOf(athletes))
	}
	setup.Smallest = setup.Conversion.Seconds(wire.Or(r.SmallestW, defaultSmallestW))
	return setup, nil
}

func idsOf(athletes []selection.Athlete) []string {
	ids := make([]string, len(athletes))
	for i, a := range athletes {
		ids[i] = a.ID
	}
	return ids
}

func (r *SeatRacePlanRequest) meanPower() float64 { return wire.Or(r.MeanPowerW, defaultMeanPowerW) }

// ConversionOf turns seconds of a boat into watts of one of its rowers.
func ConversionOf(time, meanPower float64, class rigging.Class) seatrace.Conversion {
	return seatrace.Conversion{Time: time, TotalPower: meanPower * float64(class.Rowers)}
}

// check looks at the plain numbers.
func (r *SeatRacePlanRequest) check(p *wire.Problems) {
	checkView(p, r.View)
	if r.Schedule == nil && (r.Pieces < 1 || r.Pieces > maxPlanPieces) {
		p.Add(wire.At("pieces").Problem(fmt.Sprintf("Plan from 1 to %d pieces.", maxPlanPieces)))
	}
	if n := wire.Or(r.Boats, defaultBoats); n > maxBoats {
		p.Add(wire.At("boats").Problem(fmt.Sprintf("At most %d boats.", maxBoats)))
	}
	if r.Schedule == nil && len(r.Athletes)*r.Pieces*wire.Or(r.Boats, defaultBoats) > maxSearch {
		p.Add(wire.At("pieces").Problem("So many athletes, boats and pieces are more than can be searched at once: plan fewer pieces, or give the schedule."))
	}
	if wire.Or(r.Seed, defaultSeed) < 0 {
		p.Add(wire.At("seed").Problem("The seed is a whole number from 0."))
	}
	BoundPieces(p, wire.At("schedule"), len(r.Schedule))
	p.Check(wire.At(), r)
}

// squad reads the athletes.
func (r *SeatRacePlanRequest) squad(p *wire.Problems) []selection.Athlete {
	if len(r.Athletes) > MaxAthletes {
		p.Add(wire.At("athletes").Problem(fmt.Sprintf("At most %d athletes.", MaxAthletes)))
		return nil
	}
	list := make([]selection.Athlete, len(r.Athletes))
	for i, a := range r.Athletes {
		list[i] = selection.Athlete{ID: a.ID, SideCost: SideCosts("")}
		if a.Sides != nil {
			list[i].SideCost = a.Sides.Rowable()
		}
	}
	return list
}

// SideCosts are the sides that an athlete can row: one, or both where none is
// stated.
func SideCosts(side string) map[rigging.Side]float64 {
	if s, ok := rigging.ParseSide(side); ok {
		return map[rigging.Side]float64{s: 0}
	}
	return map[rigging.Side]float64{rigging.Port: 0, rigging.Starboard: 0}
}

// usualMass is the mass in kg of a rower for the time of a piece, where none
// is known; the time hardly depends on it (engineering judgement).
const usualMass = 80

// expectedTime is the time of a piece in s, stated or from the power.
func (r *SeatRacePlanRequest) expectedTime(class rigging.Class) float64 {
	if r.ExpectedTimeS != nil {
		return *r.ExpectedTimeS
	}
	return timeOf(class, wire.Or(r.DistanceM, DefaultDistance), r.meanPower())
}

// timeOf is the time in s of a crew of the class with a mean power in W.
func timeOf(class rigging.Class, distance, meanPower float64) float64 {
	n := float64(class.Rowers)
	displacement := speed.NewBoat(class).EmptyMass() + n*usualMass
	return speed.NewPace(class, distance, speed.SameHull).Time(n*meanPower, displacement)
}

func (r *SeatRacePlanRequest) wirePlan(setup *seatrace.Setup, pieces []selection.Piece, f *seatrace.Forecast) SeatRacePlan {
	time, rest := setup.Conversion.Time, 60*wire.Or(r.RestMin, defaultRestMin)
	a := SeatRacePlan{
		Pieces: wirePlanned(pieces, time+rest), Differences: make([]ExpectedDifference, len(f.Differences)),
		Missing: f.Missing, ExpectedSdS: wire.ToSeconds(f.SD), Rank: f.Rank,
		NotEstimable: sentences(f.NotEstimable), Faults: sentences(f.Faults), Truth: sentences(f.Truth),
		SmallestS: wire.ToSeconds(setup.Smallest), SmallestW: wire.Or(r.SmallestW, defaultSmallestW), NoiseSdS: wire.ToSeconds(setup.NoiseSD),
		NoiseSource: string(seatrace.NoiseStated), ExpectedTimeS: wire.ToSeconds(time),
		// A margin scatters √2 times as much as a time; half the change of
		// two margins scatters as much as one time.
		SwapSdS:  wire.ToSeconds(setup.NoiseSD),
		TotalMin: toMinutes(float64(len(pieces))*(time+rest) - rest),
		Cautions: raceCautions(len(pieces), wire.Or(r.DistanceM, DefaultDistance), time, rest),
	}
	if r.NoiseSdS == nil {
		a.NoiseSource = string(seatrace.NoiseAssumed)
	}
	for i, e := range f.Differences {
		a.Differences[i] = ExpectedDifference{
			First: e.First, Second: e.Second, Asked: e.Asked, Estimable: e.Estimable, ExpectedSdS: wire.ToSeconds(e.SD),
			Pieces: e.Pieces, Why: sentenceOrNone(e.Why),
		}
	}
	return a
}

// wirePlanned lists pieces that start so many seconds apart.
func wirePlanned(pieces []selection.Piece, apart float64) []PlannedPiece {
	list := make([]PlannedPiece, len(pieces))
	for i, p := range pieces {
		list[i] = PlannedPiece{Crews: p.Crews, Moved: []string{}, Left: []string{}, StartMin: toMinutes(float64(i) * apart)}
		if i > 0 {
			list[i].Moved, list[i].Left = Moves(pieces[i-1].Crews, p.Crews)
		}
	}
	return list
}

// Moves lists who rows in another boat than before or comes from ashore, and
// who goes ashore.
func Moves(before, now [][]string) (moved, left []string) {
	moved, left = []string{}, []string{}
	for b, crew := range now {
		for _, id := range crew {
			if b >= len(before) || !slices.Contains(before[b], id) {
				moved = append(moved, id)
			}
		}
	}
	for _, crew := range before {
		for _, id := range crew {
			if !slices.ContainsFunc(now, func(c []string) bool { return slices.Contains(c, id) }) {
				left = append(left, id)
			}
		}
	}
	return moved, left
}

// toMinutes gives minutes to a tenth.
func toMinutes(s float64) float64 { return wire.Round(s/60, 10) }

// shortRest is how many times as long as the piece a rest should be at the
// least for the next one to be rowed as hard (common practice: 1 : 2 or more
// between maximal pieces of some minutes).
const shortRest = 2

// longDay is the distance in m of maximal pieces beyond which a day is called
// hard (engineering judgement).
const longDay = 8000

// raceCautions lists what to mind with so many pieces of a length in m and a
// time in s, and so many seconds of rest.
func raceCautions(pieces int, distance, time, rest float64) []seat.Caution {
	list := []seat.Caution{}
	if pieces > 1 && rest < shortRest*time {
		list = append(list, seat.Caution{Code: "rest_short", Weight: "warning", Text: fmt.Sprintf(
			"A rest of %.0f min after a piece of %.1f min is short: tired crews row unevenly, and late pieces show less than early ones.", math.Round(rest/60), time/60)})
	}
	if total := float64(pieces) * distance; total > longDay {
		list = append(list, seat.Caution{Code: "much_work", Weight: "warning", Text: fmt.Sprintf(
			"%.1f km of maximal work in one day is a lot. Spread it over two, and stop when technique goes: that is when backs and ribs are hurt.", total/1000)})
	}
	return append(list, standingRaceCautions...)
}

// standingRaceCautions are common practice of clubs and federations; the
// local rules decide.
var standingRaceCautions = []seat.Caution{
	{Code: "cold_water", Weight: "standing", Text: "Cold water kills fast. In cold water, wind or poor light do not race; changes of crew are made at the landing stage or with everybody holding on, never by climbing about in the open."},
	{Code: "launch", Weight: "standing", Text: "Every boat within reach of a launch with a driver, throw line, blankets and life jackets. Federation and local water safety rules come first."},
	{Code: "maximal_effort", Weight: "standing", Text: "Maximal efforts are for athletes who are well: anyone with fever, chest pain, dizziness or a painful back or rib stays ashore and sees a doctor."},
	{Code: "juniors", Weight: "standing", Text: "With juniors fewer and shorter pieces, parents' and the federation's rules, and no public ranking."},
}

// RaceCautions are what to mind before every seat race.
func RaceCautions() []seat.Caution { return standingRaceCautions }
