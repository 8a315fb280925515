package lineup

import (
	"fmt"
	"math"
	"slices"

	"thole/api/club"
	"thole/api/seat"
	"thole/api/wire"
	"thole/rigging"
	"thole/selection"
	"thole/selection/lineup"
)

// LineupProblem is a squad, a boat and what counts.
type LineupProblem struct {
	BoatRules
	Candidates []Candidate `json:"candidates" validate:"required,max=120"`
}

// BoatRules are a boat and what counts in it.
type BoatRules struct {
	BoatClass   string   `json:"boat_class" validate:"required,boatclass"`
	Pattern     []string `json:"pattern,omitempty" validate:"omitempty,max=8,dive,oneof=port starboard either" description:"Sweep: the side of each seat, bow first; either where a seat may have any; without it, alternating with bow on starboard, unless pattern_free."`
	PatternFree bool     `json:"pattern_free,omitempty" description:"Sweep: any sides, as many port as starboard."`
	Rigged      []string `json:"rigged,omitempty" validate:"omitempty,max=8,dive,oneof=port starboard" description:"Sweep: the sides as the boat stands rigged, bow first; each seat that a line-up has on the other side costs rerig_s."`
	RerigS      *float64 `json:"rerig_s,omitempty" validate:"omitempty,gte=0,lte=3600" default:"0.1" description:"What the work on a seat that changes sides counts for; a judgement."`
	CoxMassKg   *float64 `json:"cox_mass_kg,omitempty" validate:"omitempty,plausible=cox_mass" default:"55" description:"Coxed boats."`
	HullMassKg  *float64 `json:"hull_mass_kg,omitempty" validate:"omitempty,plausible=hull_mass" description:"Without it, the least hull mass of the class."`

	Pins      []SeatPin      `json:"pins,omitempty" validate:"omitempty,max=8"`
	Must      []string       `json:"must,omitempty" validate:"omitempty,max=200,dive,max=200" description:"Athletes who have to row."`
	Out       []string       `json:"out,omitempty" validate:"omitempty,max=200,dive,max=200" description:"Athletes who must not row."`
	Apart     [][]string     `json:"apart,omitempty" validate:"omitempty,max=500,dive,len=2,dive,max=200" description:"Pairs that never sit in neighbouring seats."`
	Adjacent  [][]string     `json:"adjacent,omitempty" validate:"omitempty,max=500,dive,len=2,dive,max=200" description:"Pairs that sit in neighbouring seats when both row."`
	Never     [][]string     `json:"never,omitempty" validate:"omitempty,max=500,dive,len=2,dive,max=200" description:"Pairs that never row together."`
	SeatCosts []SeatCostItem `json:"seat_costs,omitempty" validate:"omitempty,max=1600"`
	Mass      *MassRules     `json:"mass,omitempty"`
	WomenMin  int            `json:"women_min,omitempty" validate:"gte=0,lte=8"`
	WomenMax  *int           `json:"women_max,omitempty" validate:"omitempty,gte=0,lte=8"`
	MenMin    int            `json:"men_min,omitempty" validate:"gte=0,lte=8"`
	MenMax    *int           `json:"men_max,omitempty" validate:"omitempty,gte=0,lte=8"`

	Weights *OrderWeights `json:"weights,omitempty"`
	Arc     *seat.Targets `json:"arc,omitempty" description:"Sweep: catch and finish for the moment; without it, −55 and 34."`
}

// Candidate is one athlete of the squad.
type Candidate struct {
	ID       string          `json:"id" validate:"required,max=200"`
	Name     string          `json:"name,omitempty" validate:"omitempty,max=200" description:"Without it, the id."`
	Sex      string          `json:"sex,omitempty" validate:"omitempty,oneof=female male"`
	PowerW   float64         `json:"power_w" validate:"required,gte=0,lte=5000" description:"Race power over 2000 m."`
	PowerSdW float64         `json:"power_sd_w,omitempty" validate:"gte=0,lte=5000"`
	MassKg   float64         `json:"mass_kg" validate:"required,gte=0,lte=500"`
	Sides    *club.SideCosts `json:"sides,omitempty" description:"Sweep: what each side costs over 2000 m; a side left out cannot be rowed."`
	Curve    []float64       `json:"curve,omitempty" validate:"omitempty,len=101,dive,gte=-100000,lte=100000" description:"Force at 101 nodes of the drive; only its shape counts."`
}

// SeatPin puts an athlete in a seat.
type SeatPin struct {
	Seat int    `json:"seat" validate:"required,gte=1,lte=8" description:"1 is bow."`
	ID   string `json:"id" validate:"required,max=200"`
}

// SeatCostItem is the coach's cost of an athlete in a seat.
type SeatCostItem struct {
	ID    string  `json:"id" validate:"required,max=200"`
	Seat  int     `json:"seat" validate:"required,gte=1,lte=8" description:"1 is bow."`
	CostS float64 `json:"cost_s" validate:"required,gte=-3600,lte=3600"`
}

// MassRules are limits on what the crew weighs.
type MassRules struct {
	MeanMaxKg *float64 `json:"mean_max_kg,omitempty" validate:"omitempty,gte=0,lte=500"`
	MaxKg     *float64 `json:"max_kg,omitempty" validate:"omitempty,gte=0,lte=500"`
}

// OrderWeights say what the two criteria without a measured effect are worth.
type OrderWeights struct {
	LikenessS *float64 `json:"likeness_s,omitempty" validate:"omitempty,gte=0,lte=100000" default:"5" description:"Seconds for a mean difference of 1 between stroke shapes."`
	YawS      *float64 `json:"yaw_s,omitempty" validate:"omitempty,gte=0,lte=100000" default:"0.5" description:"Seconds for the mean-square turning moment of the alternating rig."`
}

// LineupsRequest asks for the best line-ups.
type LineupsRequest struct {
	LineupProblem
	Count           int         `json:"count,omitempty" validate:"gte=0,lte=200" default:"10" description:"How many line-ups to list, at most 200."`
	Fold            bool        `json:"fold,omitempty" description:"Whether line-ups that cost the same by symmetry alone, with every oar on the other side or the crew and its sides turned end for end, take one place in the list."`
	Draws           int         `json:"draws,omitempty" validate:"gte=0,lte=5000" description:"How often to redraw the race powers for firmness; 0 leaves it out, at most 5000."`
	Seed            uint64      `json:"seed,omitempty" validate:"gte=0" description:"Of the redraws; the same seed gives the same answer."`
	PowerCovariance [][]float64 `json:"power_covariance_w2,omitempty" validate:"omitempty,max=200,dive,max=200,dive,gte=-25000000,lte=25000000" description:"Of the race powers, in the order of the candidates; without it, the power_sd_w as independent."`
}

// LineupsAnswer holds the best line-ups with their proof.
type LineupsAnswer struct {
	Lineups     []RankedLineup `json:"lineups" description:"Best first."`
	Proven      bool           `json:"proven" description:"Nothing outside the list beats anything in it."`
	LowerBoundS float64        `json:"lower_bound_s" description:"No line-up can cost less."`
	GapS        float64        `json:"gap_s" description:"How far the best may be from the bound; 0 when proven, and where the search was stopped before it found any line-up."`
	Nodes       int            `json:"nodes"`
	ElapsedMs   float64        `json:"elapsed_ms"`
	NoCurve     []string       `json:"no_curve" description:"Athletes without a curve of their own; the squad's mean curve is used."`
	Firmness    *Firmness      `json:"firmness,omitempty"`
	NextRace    *NextRace      `json:"next_race,omitempty" description:"The seat race to run next."`
}

// ScoredLineup is a line-up with its cost.
type ScoredLineup struct {
	Seats   []string  `json:"seats" description:"Bow first."`
	Sides   []string  `json:"sides" description:"Of the oars, bow first; empty in sculling."`
	TotalS  float64   `json:"total_s" description:"The sum of the terms."`
	Terms   CostTerms `json:"terms"`
	SpeedMS float64   `json:"speed_m_s" description:"In still water."`

	Rerigged []int `json:"rerigged" description:"Seats whose rigger has to change sides, 1 for bow, where rigged was given."`
}

// RankedLineup is a line-up in the list of the best.
type RankedLineup struct {
	ScoredLineup
	Images []LineupImage `json:"images,omitempty" description:"Line-ups that cost the same by symmetry alone, where fold was asked for."`
}

// LineupImage is a line-up that costs the same as another by symmetry.
type LineupImage struct {
	Seats []string `json:"seats" description:"Bow first."`
	Sides []string `json:"sides" description:"Of the oars, bow first; empty in sculling."`
}

// CostedLineup is a line-up given by hand with its cost.
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
	RigS      float64 `json:"rig_s" description:"For seats that change sides."`
}

// Firmness says how far the best line-up depends on what is not known exactly.
type Firmness struct {
	Draws     int                           `json:"draws"`
	Proven    bool                          `json:"proven"`
	SameCrew  float64                       `json:"same_crew" description:"Share of the draws with the same crew."`
	SameOrder float64                       `json:"same_order" description:"Share of the draws with the same line-up, or one that costs the same by symmetry."`
	Selected  map[string]float64            `json:"selected" description:"Share of the draws in which each athlete rows."`
	Certainty map[string]string             `json:"certainty" description:"Whether each athlete rows or does not: open under 75 % of the draws, likely from there, firm over 90 %."`
	Seat      map[string]map[string]float64 `json:"seat" description:"Share in each seat, of line-ups that cost the same by symmetry the one most like the best."`
	Races     []NextRace                    `json:"races" description:"Next seat races, the highest expected gain first."`
}

// NextRace is a comparison of two athletes who compete for a place.
type NextRace struct {
	In     string  `json:"in" description:"In the best crew."`
	Out    string  `json:"out" description:"Could take the place."`
	GainS  float64 `json:"gain_s" description:"What the boat gains with the other, on average."`
	SdS    float64 `json:"sd_s"`
	Chance float64 `json:"chance" description:"That the other is worth more."`
	ValueS float64 `json:"value_s" description:"Expected gain of racing them and then choosing the faster."`
}

// ToCost gives a cost in s to a millionth.
func ToCost(s float64) float64 { return wire.Round(s, 1e6) }

func wireResult(r *lineup.Result) LineupsAnswer {
	a := LineupsAnswer{Lineups: []RankedLineup{}, Proven: r.Proven, Nodes: r.Nodes, NoCurve: []string{}}
	a.NoCurve = append(a.NoCurve, r.NoCurve...)
	if !math.IsInf(r.LowerBound, 0) {
		a.LowerBoundS = ToCost(r.LowerBound)
	}
	for i := range r.Lineups {
		a.Lineups = append(a.Lineups, wireRanked(&r.Lineups[i]))
	}
	if len(a.Lineups) > 0 && !r.Proven {
		a.GapS = max(0, ToCost(r.Lineups[0].Terms.Total()-r.LowerBound))
	}
	return a
}

func wireScored(s *lineup.Scored) ScoredLineup {
	return ScoredLineup{Seats: s.Lineup.Seats, Sides: sideNames(s.Lineup.Sides), TotalS: ToCost(s.Terms.Total()), Terms: wireTerms(s.Terms), SpeedMS: wire.ToSpeed(s.Speed), Rerigged: append([]int{}, s.Rerigged...)}
}

func wireRanked(s *lineup.Scored) RankedLineup {
	w := RankedLineup{ScoredLineup: wireScored(s)}
	for _, image := range s.Images {
		w.Images = append(w.Images, LineupImage{Seats: image.Seats, Sides: sideNames(image.Sides)})
	}
	return w
}

func sideNames(sides []rigging.Side) []string {
	names := []string{}
	for _, side := range sides {
		names = append(names, side.String())
	}
	return names
}

func wireTerms(t lineup.Terms) CostTerms {
	return CostTerms{ToCost(t.Pace), ToCost(t.Side), ToCost(t.Seat), ToCost(t.Likeness), ToCost(t.Yaw), ToCost(t.Rig)}
}

func wireFirmness(f *lineup.Firm) *Firmness {
	w := &Firmness{
		Draws: f.Draws, Proven: f.Proven, SameCrew: wire.ToRatio(f.SameCrew), SameOrder: wire.ToRatio(f.Same),
		Selected: map[string]float64{}, Certainty: map[string]string{}, Seat: map[string]map[string]float64{}, Races: []NextRace{},
	}
	for id, share := range f.Selected {
		w.Selected[id], w.Certainty[id] = wire.ToRatio(share), string(selection.CertaintyOf(share))
	}
	for id, shares := range f.Seat {
		seats := map[string]float64{}
		for i, share := range shares {
			if share > 0 {
				seats[fmt.Sprint(i+1)] = wire.ToRatio(share)
			}
		}
		w.Seat[id] = seats
	}
	for _, r := range f.Races {
		w.Races = append(w.Races, NextRace{r.In, r.Out, ToCost(r.Gain), ToCost(r.SD), wire.ToRatio(r.Chance), ToCost(r.Value)})
	}
	return w
}

func wireReasons(swaps []lineup.Swap, losses []lineup.Loss) LineupReasons {
	w := LineupReasons{Swaps: []SeatSwap{}, Without: []SeatLoss{}}
	for _, s := range swaps {
		one := SeatSwap{First: s.First, Second: s.Second, Seat: s.Seat, OtherSeat: s.OtherSeat, Possible: s.Possible, ChangeS: ToCost(s.Change), PowerS: ToCost(s.Power), MassS: ToCost(s.Mass), Terms: wireTerms(s.Terms), Breaks: ruleTexts(s.Breaks)}
		w.Swaps = append(w.Swaps, one)
	}
	for _, l := range losses {
		one := SeatLoss{ID: l.ID, Seat: l.Seat, Possible: l.Possible, CostS: ToCost(l.Cost), Proven: l.Proven}
		if l.Possible {
			best := wireScored(&l.Best)
			one.Best = &best
		}
		w.Without = append(w.Without, one)
	}
	return w
}

// wireOther writes the next best crew and how its people differ from a crew's.
func wireOther(n *lineup.NextCrew, crew []string) OtherCrew {
	w := OtherCrew{Possible: n.Possible, CostS: ToCost(n.Cost), In: []string{}, Out: []string{}, Proven: n.Proven}
	if !n.Possible {
		return w
	}
	best := wireScored(&n.Best)
	w.Best = &best
	w.In, w.Out = append(w.In, missing(best.Seats, crew)...), append(w.Out, missing(crew, best.Seats)...)
	return w
}

// missing lists those of a crew who are not in another.
func missing(crew, other []string) []string {
	return slices.DeleteFunc(slices.Clone(crew), func(id string) bool { return slices.Contains(other, id) })
}
