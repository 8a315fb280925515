package savedlineup

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"thole/api/directory"
	"thole/api/lineup"
	"thole/api/records"
	"thole/api/seat"
	"thole/api/store"
	"thole/api/wire"
	"thole/selection"
	order "thole/selection/lineup"
)

// CaseRequest asks why a line-up on record is as it is.
type CaseRequest struct {
	ID      int64 `path:"id" json:"-" validate:"gte=1"`
	SquadID int64 `query:"squad_id" json:"-" validate:"omitempty,gte=1" description:"Compare with athletes of this squad only; without it, with everybody of the sexes in the crew."`
}

// LineupCase is what speaks for a line-up on record by what is known today: what
// decided it, what would change it, and what is open.
type LineupCase struct {
	ID         int64          `json:"id"`
	AsOf       string         `json:"as_of" description:"Today, YYYY-MM-DD."`
	Told       bool           `json:"told" description:"Everybody of the crew has a race power and a mass. Otherwise there are no choices."`
	TotalS     float64        `json:"total_s" description:"Predicted time over 2000 m in still water, with what sides, seats, curves and yaw cost; 0 where it is not told."`
	SpeedMS    float64        `json:"speed_m_s" description:"In still water."`
	PowerW     float64        `json:"power_w" description:"Of the crew together."`
	MassKg     float64        `json:"mass_kg" description:"Of the rowers together."`
	Choices    []LineupChoice `json:"choices" description:"For every seat the nearest athlete outside the boat, bow first. A seat that nobody else can take is left out."`
	Order      []OrderChange  `json:"order" description:"Exchanges of two seats that gain time, or cost less than can be told."`
	Raced      []RacedCrew    `json:"raced" description:"Pieces of seat races that this crew rowed, or all of it but one; newest first."`
	Unknown    []string       `json:"unknown" description:"Who of the crew has no race power or mass, or may not row this boat, and why."`
	Sentences  []string       `json:"sentences" description:"What decided it, what is open, and who would do as well, in words."`
	Conditions []string       `json:"conditions" description:"What this rests on."`
}

// LineupChoice is one athlete of a crew against the nearest outside it.
type LineupChoice struct {
	Seat      int     `json:"seat" description:"1 is bow."`
	AthleteID int64   `json:"athlete_id"`
	Name      string  `json:"name"`
	OtherID   int64   `json:"other_id"`
	Other     string  `json:"other" description:"Who would cost least in this seat."`
	CostS     float64 `json:"cost_s" description:"What the boat loses with the other; below 0 where it would gain."`
	PowerS    float64 `json:"power_s" description:"The part of it that is power."`
	MassS     float64 `json:"mass_s" description:"The part that is mass."`
	RestS     float64 `json:"rest_s" description:"The part that is sides, seats, curve match and yaw."`
	SdS       float64 `json:"sd_s" description:"Standard deviation of cost_s, from what is not known of the two powers."`
	Chance    float64 `json:"chance" description:"That the athlete in the boat is the right one of the two, 0 to 1."`
	Certainty string  `json:"certainty" enum:"open,likely,firm" description:"open under 75 % for the likelier, likely from there, firm over 90 %."`
	NeedsW    float64 `json:"needs_w" description:"How much more power the other would need to draw level, in W; below 0 for one who is ahead."`
	Equal     bool    `json:"equal" description:"The two are too close to tell on the water: less than 0.1 s apart."`
}

// OrderChange is an exchange of two seats within the crew.
type OrderChange struct {
	First   string  `json:"first"`
	Second  string  `json:"second"`
	ChangeS float64 `json:"change_s" description:"Below 0: the boat would gain."`
}

// RacedCrew is a piece of a seat race that the crew rowed.
type RacedCrew struct {
	RaceID  int64    `json:"race_id"`
	Race    string   `json:"race"`
	HeldOn  string   `json:"held_on" description:"YYYY-MM-DD."`
	Piece   int      `json:"piece"`
	With    []string `json:"with" description:"Who rowed though not in this line-up; empty for the very crew."`
	Without []string `json:"without" description:"Who did not row though in this line-up."`
	TimeS   *float64 `json:"time_s" description:"Null where only margins were taken."`
	BehindS *float64 `json:"behind_s" description:"Behind the first boat of the piece, 0 for that one; null without a time."`
	Boats   int      `json:"boats" description:"That raced the piece."`
}

// Why reports why a line-up on record is as it is, by all evidence of today.
// The error is ErrNotFound.
func (s *Service) Why(ctx context.Context, r CaseRequest) (LineupCase, error) {
	saved, err := s.Lineup(ctx, records.IDRequest{ID: r.ID})
	if err != nil {
		return LineupCase{}, err
	}
	squad, err := s.lineup.SquadFor(ctx, lineup.BoatSquadRequest{BoatClass: saved.BoatClass})
	if err != nil {
		return LineupCase{}, err
	}
	c := &lineupCase{saved: &saved, squad: &squad, out: LineupCase{
		ID: saved.ID, AsOf: s.Today(), Choices: []LineupChoice{}, Order: []OrderChange{}, Raced: []RacedCrew{}, Unknown: []string{}, Sentences: []string{},
	}}
	if c.among, err = s.among(ctx, r.SquadID); err != nil {
		return LineupCase{}, err
	}
	if c.out.Raced, err = s.racedBy(ctx, &saved); err != nil {
		return LineupCase{}, err
	}
	if c.out.Told = c.crew(); c.out.Told {
		if err := s.judgeCase(ctx, c); err != nil {
			return LineupCase{}, err
		}
	}
	c.conclude(r.SquadID != 0)
	return c.out, nil
}

// among reports who is compared with the crew: everybody for squad 0.
func (s *Service) among(ctx context.Context, squad int64) (func(int64) bool, error) {
	if squad == 0 {
		return func(int64) bool { return true }, nil
	}
	q, err := s.Store.Squad(ctx, squad)
	if err != nil {
		return nil, records.RecordError(err)
	}
	return func(id int64) bool { return slices.Contains(q.Athletes, id) }, nil
}

// lineupCase is a case in the making.
type lineupCase struct {
	saved   *SavedLineup
	squad   *lineup.BoatSquad
	among   func(int64) bool
	at      []int    // of the crew among the candidates, bow first
	sexes   []string // in the crew
	problem lineup.LineupProblem
	out     LineupCase
}

// crew finds the crew among the candidates; false where somebody is missing.
func (c *lineupCase) crew() bool {
	for i, place := range c.saved.Seats {
		k := -1
		if place.AthleteID == nil {
			c.out.Unknown = append(c.out.Unknown, fmt.Sprintf("seat %d is empty", i+1))
			continue
		}
		k = slices.IndexFunc(c.squad.Candidates, func(x lineup.BoatCandidate) bool { return x.AthleteID == *place.AthleteID })
		if k < 0 {
			c.out.Unknown = append(c.out.Unknown, place.Name+": "+c.gap(*place.AthleteID))
			continue
		}
		x := &c.squad.Candidates[k]
		c.at, c.sexes = append(c.at, k), append(c.sexes, x.Sex)
		c.out.PowerW, c.out.MassKg = c.out.PowerW+x.PowerW, c.out.MassKg+x.MassKg
	}
	return len(c.out.Unknown) == 0
}

func (c *lineupCase) gap(athlete int64) string {
	for _, m := range c.squad.Missing {
		if m.AthleteID == athlete {
			return m.Missing
		}
	}
	return "no longer on record"
}

// rows reports whether a candidate is compared with the crew, or in it.
func (c *lineupCase) rows(i int) bool {
	x := &c.squad.Candidates[i]
	return slices.Contains(c.at, i) || slices.Contains(c.sexes, x.Sex) && c.among(x.AthleteID)
}

// judgeCase finds what the line-up costs, and every exchange.
func (s *Service) judgeCase(ctx context.Context, c *lineupCase) error {
	c.problem = lineup.LineupProblem{BoatRules: lineup.BoatRules{BoatClass: c.saved.BoatClass, CoxMassKg: c.saved.CoxMassKg}}
	if c.saved.BoatID != nil {
		if b, err := s.lineup.ClubBoat(ctx, records.IDRequest{ID: *c.saved.BoatID}); err == nil {
			c.problem.HullMassKg = b.HullMassKg
		}
	}
	for i := range c.squad.Candidates {
		if c.rows(i) {
			c.problem.Candidates = append(c.problem.Candidates, c.squad.Candidates[i].Candidate)
		}
	}
	given := lineup.GivenLineup{}
	for i, place := range c.saved.Seats {
		given.Seats = append(given.Seats, c.squad.Candidates[c.at[i]].ID)
		if place.Side != "" {
			given.Sides = append(given.Sides, place.Side)
		}
	}
	c.problem.Pattern = given.Sides
	p, l, err := (&lineup.CostRequest{LineupProblem: c.problem, Lineup: given}).Read()
	if err != nil {
		return err
	}
	scored, err := order.Evaluate(p, l)
	if err != nil {
		return c.refused(err)
	}
	swaps, err := order.Swaps(p, l)
	if err != nil {
		return lineup.ErrorOf(err)
	}
	c.out.TotalS, c.out.SpeedMS = lineup.ToCost(scored.Terms.Total()), wire.ToSpeed(scored.Speed)
	c.exchange(swaps)
	return nil
}

// refused takes in what today's records say against the line-up, such as a side
// that somebody no longer rows.
func (c *lineupCase) refused(err error) error {
	list, ok := wire.FieldErrors(err)
	if !ok || len(list) == 0 {
		return lineup.ErrorOf(err)
	}
	c.out.Told = false
	c.out.Unknown = append(c.out.Unknown, list[0].Detail)
	return nil
}

// perWatt is what a watt of one rower gains over 2000 m, s: speed goes with the
// cube root of the crew's power.
func (c *lineupCase) perWatt() float64 {
	return selection.RaceDistance / c.out.SpeedMS / (3 * c.out.PowerW)
}

// exchange notes the nearest exchange of every seat, and those within the crew.
func (c *lineupCase) exchange(swaps []order.Swap) {
	nearest := make([]*order.Swap, len(c.saved.Seats)+1)
	for i := range swaps {
		x := &swaps[i]
		switch {
		case !x.Possible:
		case x.OtherSeat != 0:
			if x.Change < lineup.NearS {
				c.out.Order = append(c.out.Order, OrderChange{c.of(x.First).Name, c.of(x.Second).Name, lineup.ToCost(x.Change)})
			}
		case nearest[x.Seat] == nil || x.Change < nearest[x.Seat].Change:
			nearest[x.Seat] = x
		}
	}
	for _, x := range nearest {
		if x != nil {
			c.out.Choices = append(c.out.Choices, c.choice(x))
		}
	}
	slices.SortStableFunc(c.out.Order, func(a, b OrderChange) int { return cmp.Compare(a.ChangeS, b.ChangeS) })
}

// of is the candidate of an id.
func (c *lineupCase) of(id string) *lineup.BoatCandidate {
	return &c.squad.Candidates[c.place(id)]
}

func (c *lineupCase) place(id string) int {
	return slices.IndexFunc(c.squad.Candidates, func(x lineup.BoatCandidate) bool { return x.ID == id })
}

func (c *lineupCase) choice(x *order.Swap) LineupChoice {
	here, other := c.of(x.First), c.of(x.Second)
	sd := c.perWatt() * math.Sqrt(max(c.variance(c.place(x.First), c.place(x.Second)), 1e-9))
	chance := distuv.UnitNormal.CDF(x.Change / sd)
	return LineupChoice{
		Seat: x.Seat, AthleteID: here.AthleteID, Name: here.Name, OtherID: other.AthleteID, Other: other.Name,
		CostS: lineup.ToCost(x.Change), PowerS: lineup.ToCost(x.Power), MassS: lineup.ToCost(x.Mass), RestS: lineup.ToCost(x.Change - x.Power - x.Mass), SdS: lineup.ToCost(sd),
		Chance: wire.Round(chance, 1e3), Certainty: string(selection.CertaintyOf(chance)), NeedsW: wire.Round(x.Change/c.perWatt(), 10),
		Equal: math.Abs(x.Change) < lineup.CloseS,
	}
}

// variance is that of the difference of two powers, W².
func (c *lineupCase) variance(i, k int) float64 {
	a, b := &c.squad.Candidates[i], &c.squad.Candidates[k]
	if cov := c.squad.PowerCovarianceW2; len(cov) > 0 {
		return cov[i][i] + cov[k][k] - 2*cov[i][k]
	}
	return a.PowerSdW*a.PowerSdW + b.PowerSdW*b.PowerSdW
}

// conclude puts the case into words.
func (c *lineupCase) conclude(squad bool) {
	among := "everybody of the club of the sexes in the crew"
	if squad {
		among = "the squad"
	}
	c.out.Conditions = []string{
		"By race powers, masses, sides and curves of today, against " + among + ". Rules that were set when it was found are not known here.",
		"± and chances are from what is not known of the two powers; what the water adds on the day is not in them.",
	}
	if !c.out.Told {
		c.say("This cannot be told today: %s.", strings.Join(c.out.Unknown, "; "))
		return
	}
	c.sayFirm()
	for _, x := range c.out.Choices {
		if x.CostS <= -lineup.CloseS {
			c.say("With %s in for %s the boat would gain %.2f s (± %.2f s, %s).", x.Other, x.Name, -x.CostS, x.SdS, x.Certainty)
		}
	}
	c.sayEqual()
	c.sayOrder()
}

func (c *lineupCase) say(format string, args ...any) {
	c.out.Sentences = append(c.out.Sentences, fmt.Sprintf(format, args...))
}

// sayFirm adds who of the crew is firm, likely and open; whom another is likely
// or firm to beat is told by what the boat would gain.
func (c *lineupCase) sayFirm() {
	if len(c.out.Choices) == 0 {
		c.say("Nobody outside the boat can take a seat.")
		return
	}
	names := map[string][]string{}
	for _, x := range c.out.Choices {
		if x.Chance >= 0.5 || x.Certainty == string(selection.Open) {
			names[x.Certainty] = append(names[x.Certainty], x.Name)
		}
	}
	var said []string
	for _, word := range []selection.Certainty{selection.Firm, selection.Likely, selection.Open} {
		if list := names[string(word)]; len(list) > 0 {
			where := ""
			if len(said) == 0 {
				where = " against the nearest athlete outside the boat"
			}
			said = append(said, string(word)+where+": "+strings.Join(list, ", "))
		}
	}
	switch {
	case len(said) == 0:
	case len(names[string(selection.Firm)]) == len(c.saved.Seats):
		c.say("The whole crew is firm against the nearest athletes outside the boat.")
	default:
		c.out.Sentences = append(c.out.Sentences, wire.Sentence(strings.Join(said, "; ")))
	}
}

// sayEqual names the exchanges after which the crew is as good.
func (c *lineupCase) sayEqual() {
	var said []string
	for _, x := range c.out.Choices {
		if x.Equal {
			said = append(said, x.Other+" in for "+x.Name)
		}
	}
	if len(said) > 0 {
		c.say("As good a crew, less than %s s apart: %s. Choose one, or race them.", strconv.FormatFloat(lineup.CloseS, 'g', -1, 64), strings.Join(said, "; or "))
	}
}

func (c *lineupCase) sayOrder() {
	switch n := len(c.out.Order); {
	case n == 0:
	case c.out.Order[0].ChangeS <= -lineup.NearS:
		c.say("%s and %s in each other’s seat would gain %.2f s.", c.out.Order[0].First, c.out.Order[0].Second, -c.out.Order[0].ChangeS)
	default:
		exchanges := "1 exchange of two seats costs"
		if n > 1 {
			exchanges = fmt.Sprintf("%d exchanges of two seats cost", n)
		}
		c.say("The order is a matter of taste: %s less than %s s.", exchanges, strconv.FormatFloat(lineup.NearS, 'g', -1, 64))
	}
}

// racedBy finds the pieces that a crew rowed, or all of it but one.
func (s *Service) racedBy(ctx context.Context, l *SavedLineup) ([]RacedCrew, error) {
	list := []RacedCrew{}
	races, err := s.Store.SeatRaces(ctx, store.Filter{})
	if err != nil {
		return nil, records.RecordError(err)
	}
	all, err := s.Store.Athletes(ctx, store.Filter{Archived: true})
	if err != nil {
		return nil, records.RecordError(err)
	}
	names := map[int64]string{}
	for _, a := range directory.Of(all) {
		names[a.ID] = a.Whole
	}
	class, err := seat.ClassOf(l.BoatClass)
	if err != nil {
		return nil, err
	}
	for _, r := range races {
		rows, err := seat.ClassOf(r.ClassCode)
		if err != nil || rows.Rowers != class.Rowers || rows.Scull != class.Scull {
			continue
		}
		race, err := s.Store.SeatRace(ctx, r.ID)
		if err != nil {
			return nil, records.RecordError(err)
		}
		list = append(list, l.racedIn(&race, names)...)
	}
	slices.SortStableFunc(list, func(a, b RacedCrew) int { return cmp.Compare(b.HeldOn, a.HeldOn) })
	return list, nil
}

func (l *SavedLineup) racedIn(r *store.SeatRace, names map[int64]string) []RacedCrew {
	var crew []int64
	for _, place := range l.Seats {
		if place.AthleteID != nil {
			crew = append(crew, *place.AthleteID)
		}
	}
	var list []RacedCrew
	for i := range r.Pieces {
		p := &r.Pieces[i]
		if p.State != store.Raced {
			continue
		}
		for b := range p.Boats {
			with, without := strangers(p.Boats[b].Crew, crew), strangers(crew, p.Boats[b].Crew)
			if len(with) > 1 || len(without) > 1 || len(crew) < 2 && len(with) > 0 {
				continue
			}
			list = append(list, RacedCrew{
				RaceID: r.ID, Race: r.Name, HeldOn: r.HeldOn, Piece: p.Number, With: called(with, names), Without: called(without, names),
				TimeS: clockOf(p, b), BehindS: behind(p, b), Boats: len(p.Boats),
			})
		}
	}
	return list
}

// strangers lists those of one crew who are not in another.
func strangers(crew, other []int64) []int64 {
	return slices.DeleteFunc(slices.Clone(crew), func(id int64) bool { return slices.Contains(other, id) })
}

func called(ids []int64, names map[int64]string) []string {
	list := []string{}
	for _, id := range ids {
		list = append(list, names[id])
	}
	return list
}

// clockOf is a boat's time, nil where the clock was not read.
func clockOf(p *store.Piece, boat int) *float64 {
	if p.MarginsOnly {
		return nil
	}
	return p.Boats[boat].TimeS
}

// behind is how far a boat lay behind the first of the piece, s.
func behind(p *store.Piece, boat int) *float64 {
	mine := p.Boats[boat].TimeS
	if mine == nil {
		return nil
	}
	first := *mine
	for i := range p.Boats {
		if t := p.Boats[i].TimeS; t != nil {
			first = min(first, *t)
		}
	}
	return wire.Ptr(wire.Round(*mine-first, 1e3))
}

// LineupNote is a note to put on a line-up on record.
type LineupNote struct {
	ID      int64  `path:"id" json:"-" validate:"gte=1"`
	Version int64  `json:"version" validate:"required,gte=0" description:"That was read."`
	Note    string `json:"note" validate:"omitempty,max=2000" description:"Empty to remove it."`
	By      string `json:"by" validate:"filled,max=80" say:"Say who you are: your name stands in the history." description:"Who writes it, for the history."`
}

// SetNote writes the note of a line-up. The error is an *Invalid,
// ErrNotFound or a conflict.
func (s *Service) SetNote(ctx context.Context, r LineupNote) (SavedLineup, error) {
	var p wire.Problems
	p.Check(wire.At(), &r)
	p.Printable(wire.At("note"), r.Note, "\n\t\r")
	p.Author(r.By)
	if err := p.OrNil(); err != nil {
		return SavedLineup{}, err
	}
	if _, err := s.Store.SetLineupNote(ctx, r.ID, r.Version, strings.TrimSpace(r.Note), s.Signed(r.By)); err != nil {
		return SavedLineup{}, records.RecordError(err)
	}
	return s.Lineup(ctx, records.IDRequest{ID: r.ID})
}
