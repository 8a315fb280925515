package seatrace

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/mat"

	"thole/api/schedule"
	"thole/api/store"
	"thole/api/wire"
	"thole/rigging"
	"thole/selection"
	"thole/selection/seatrace"
)

// JudgementRequest asks what a seat race has shown so far.
type JudgementRequest struct {
	ID    int64  `path:"id" json:"-" validate:"gte=1"`
	View  string `query:"view" json:"-" enum:",margins,absolute" description:"margins, or absolute for the times."`
	Prior string `query:"prior" json:"-" enum:",none,ergometer,coach" description:"What to join with the racing: none, race power from ergometer tests, or the coach’s estimate in the terms."`
	Next  int    `query:"next" json:"-" validate:"gte=0,lte=20" description:"How many proposals for one more piece to list, 20 at the most."`
}

// RaceJudgement is what a seat race has shown so far. Pieces are numbered as in
// the seat race: those without a result are there without times.
type RaceJudgement struct {
	Version        int64                     `json:"version" description:"Of the seat race that was ranked."`
	Raced          int                       `json:"raced" description:"Pieces with a margin."`
	Estimate       schedule.SeatRaceEstimate `json:"estimate"`
	Prior          string                    `json:"prior" enum:"none,ergometer,coach"`
	Ergometer      bool                      `json:"ergometer" description:"Ergometer tests can serve as the prior."`
	WattsPerSecond float64                   `json:"watts_per_second" description:"Power of one athlete, in W, that gains the boat a second over the distance."`
	MeanPowerW     float64                   `json:"mean_power_w" description:"Mean power of an athlete that was used, in W."`
}

// RacePowerRequest asks for race powers as a seat race has shown them.
type RacePowerRequest struct {
	ID     int64    `path:"id" json:"-" validate:"gte=1"`
	View   string   `query:"view" json:"-" enum:",margins,absolute"`
	Prior  string   `query:"prior" json:"-" enum:",none,ergometer,coach" description:"Without it, ergometer tests where there are some, then the coach’s estimate, then none."`
	LevelW *float64 `query:"level_w" json:"-" validate:"omitempty,gte=1,lte=1000" description:"Mean race power of the athletes where the racing alone counts, in W; left out, from tests or the terms."`
}

// RacePower are race powers over 2000 m with their covariance, for the choice
// of a line-up.
type RacePower struct {
	Athletes     []AthletePower `json:"athletes"`
	CovarianceW2 [][]float64    `json:"covariance_w2" description:"Of the powers, in W², in the order of athletes; positive definite."`
	Prior        string         `json:"prior" enum:"none,ergometer,coach"`
	LevelW       float64        `json:"level_w" description:"Power that belongs to an effect of 0, in W."`
	Raced        int            `json:"raced" description:"Pieces with a margin."`
	Notes        []string       `json:"notes"`
}

// AthletePower is the race power of one athlete.
type AthletePower struct {
	AthleteID int64   `json:"athlete_id"`
	Name      string  `json:"name"`
	PowerW    float64 `json:"power_w" description:"Mean, in W."`
	SdW       float64 `json:"sd_w" description:"Standard deviation, in W."`
}

// The priors on the wire.
const (
	priorNone      = "none"
	priorErgometer = "ergometer"
	priorCoach     = "coach"
)

// raceCase is a seat race made ready to be ranked.
type raceCase struct {
	race    *store.SeatRace
	names   *roster
	terms   schedule.RaceTerms
	request schedule.SeatRaceEstimateRequest
	prior   string
	powers  *squadPower // nil where too few have been tested
	conv    seatrace.Conversion
	level   float64 // W that an effect of 0 stands for
	notes   []string
	raced   int
}

// JudgeRace ranks the athletes by the pieces raced so far. The error is an *Invalid, also
// when nothing has been raced, or ErrNotFound.
func (s *Service) JudgeRace(ctx context.Context, r JudgementRequest) (RaceJudgement, error) {
	c, err := s.raceCase(ctx, r.ID, r.View, cmp.Or(r.Prior, priorNone))
	if err != nil {
		return RaceJudgement{}, err
	}
	c.request.Next, c.request.AfterEach, c.request.BareSwaps = r.Next, true, true
	estimate, err := c.request.Estimate(c.wants)
	if err != nil {
		return RaceJudgement{}, err
	}
	estimate.Notes = append(estimate.Notes, c.notes...)
	return RaceJudgement{
		Version: c.race.Version, Raced: c.raced, Estimate: estimate, Prior: c.prior, Ergometer: c.powers != nil,
		WattsPerSecond: wire.ToWatts(c.conv.Watts(1)), MeanPowerW: wire.ToWatts(c.level),
	}, nil
}

// raceCase reads a seat race and what is known of its athletes.
func (s *Service) raceCase(ctx context.Context, id int64, view, prior string) (*raceCase, error) {
	t, names, err := s.raceNamed(ctx, id)
	if err != nil {
		return nil, err
	}
	stored, err := termsOf(t)
	if err != nil {
		return nil, err
	}
	c := &raceCase{race: t, names: names, terms: stored.wire(names)}
	if err := c.lay(view); err != nil {
		return nil, err
	}
	if c.powers, err = s.squadPower(ctx, t, names); err != nil {
		return nil, err
	}
	if err := c.hold(prior); err != nil {
		return nil, err
	}
	return c, nil
}

// lay lays out the pieces up to the last one raced.
func (c *raceCase) lay(view string) error {
	c.request = schedule.SeatRaceEstimateRequest{
		DistanceM: c.race.DistanceM, View: view, Hulls: c.terms.Hulls, Trends: c.terms.Trends, ExpectedTimeS: &c.terms.ExpectedTimeS,
		Sides: map[string]string{}, AcrossSides: c.terms.AcrossSides, CompareViews: true,
	}
	class, _ := rigging.ClassByCode(c.race.ClassCode)
	for id, side := range c.names.side {
		if side != "" && !class.Scull {
			c.request.Sides[c.names.name[id]] = side
		}
	}
	for i := range c.race.Pieces {
		c.layPiece(&c.race.Pieces[i], view)
	}
	if c.raced == 0 {
		return wire.At("pieces").Invalid("No piece has been raced yet.")
	}
	last := len(c.request.Pieces)
	for last > 0 && !hasTime(&c.request.Pieces[last-1]) {
		last--
	}
	c.request.Pieces = c.request.Pieces[:last]
	c.namePairs()
	return nil
}

// namePairs asks for those of the pairs to compare of whom both have rowed.
func (c *raceCase) namePairs() {
	rowed := map[string]bool{}
	for i := range c.request.Pieces {
		for _, name := range slices.Concat(c.request.Pieces[i].Crews...) {
			rowed[name] = true
		}
	}
	for _, pair := range c.terms.Pairs {
		if rowed[pair[0]] && rowed[pair[1]] {
			c.request.Pairs = append(c.request.Pairs, pair)
		}
	}
}

func hasTime(p *schedule.RacedPiece) bool {
	for _, t := range p.TimesS {
		if t != nil {
			return true
		}
	}
	return false
}

func (c *raceCase) layPiece(p *store.Piece, view string) {
	piece := schedule.RacedPiece{Crews: c.names.crews(p), TimesS: make([]*float64, len(p.Boats))}
	switch {
	case p.State == store.Abandoned:
		c.notes = append(c.notes, fmt.Sprintf("Piece %d was abandoned and is not used.", p.Number))
	case p.State != store.Raced:
	case p.MarginsOnly && view == schedule.ViewAbsolute:
		c.notes = append(c.notes, fmt.Sprintf("Piece %d has margins only and is not used with absolute times.", p.Number))
	default:
		c.raced++
		for b := range p.Boats {
			piece.TimesS[b] = p.Boats[b].TimeS
		}
	}
	if p.MarginsOnly {
		c.request.CompareViews = false
	}
	c.request.Pieces = append(c.request.Pieces, piece)
}

// wants reports whether a note is wanted: of pieces that lack every time the
// seat race knows why.
func (c *raceCase) wants(n seatrace.Note) bool {
	return n.Piece == 0 || hasTime(&c.request.Pieces[n.Piece-1])
}

// hold chooses the prior and what seconds mean in watts.
func (c *raceCase) hold(prior string) error {
	class, _ := rigging.ClassByCode(c.race.ClassCode)
	c.level = c.terms.MeanPowerW
	if c.powers != nil {
		c.level = c.powers.mean
	}
	c.conv = schedule.ConversionOf(c.request.RacedTime(), c.level, class)
	switch c.prior = prior; prior {
	case priorNone:
	case priorCoach:
		if c.terms.Prior == nil {
			return wire.At("prior").Invalid("The terms of this seat race hold no estimate of the athletes.")
		}
		c.request.Prior = c.terms.Prior
	case priorErgometer:
		return c.holdErgometer()
	default:
		return wire.At("prior").Invalid("Say none, ergometer or coach.")
	}
	return nil
}

func (c *raceCase) holdErgometer() error {
	if c.powers == nil {
		return wire.At("prior").Invalid("Fewer than two of the athletes have ergometer tests on record.")
	}
	prior, mean, err := seatrace.PriorFromPower(c.powers.athletes, c.conv)
	if err != nil {
		return err
	}
	c.level = mean
	c.request.Prior = &schedule.SeatRacePrior{MeansS: all(prior.Means), SdsS: all(prior.SDs)}
	c.notes = append(c.notes, c.powers.notes...)
	return nil
}

// all points at every value.
func all(m map[string]float64) map[string]*float64 {
	out := map[string]*float64{}
	for name, v := range m {
		out[name] = &v
	}
	return out
}

// squadPower is what the ergometer says of the athletes of a seat race.
type squadPower struct {
	athletes []selection.Athlete // by label, every one with power and SD
	mean     float64             // W, of those tested
	notes    []string
}

// untestedSD is the standard deviation of ln power of an athlete without a
// test, about the mean of the squad (engineering judgement: the spread of a
// club's squad and what the ergometer leaves open).
const untestedSD = 0.12

// squadPower gathers the race powers of the athletes on the day of the seat race,
// as the water sees them. It is nil unless two have been tested.
func (s *Service) squadPower(ctx context.Context, t *store.SeatRace, names *roster) (*squadPower, error) {
	powers, err := s.ergometer.RacePowers(ctx, t.HeldOn)
	if err != nil {
		return nil, err
	}
	q, tested := &squadPower{}, 0
	for _, a := range t.Athletes {
		x := selection.Athlete{ID: names.name[a.AthleteID]}
		if r, ok := powers.Of(a.AthleteID); ok {
			x.Power, x.PowerSD = r.Water.Power, r.Water.SD
			q.mean += r.Water.Power
			tested++
		}
		q.athletes = append(q.athletes, x)
	}
	if tested < 2 {
		return nil, nil
	}
	q.mean /= float64(tested)
	q.fill()
	return q, nil
}

// fill gives athletes without a test the squad's mean.
func (q *squadPower) fill() {
	for i := range q.athletes {
		if a := &q.athletes[i]; a.Power == 0 {
			a.Power, a.PowerSD = q.mean, untestedSD*q.mean
			q.notes = append(q.notes, a.ID+" has no ergometer test: the squad’s mean is used, with a wide uncertainty.")
		}
	}
}

// levelSD is the standard deviation of ln of the level of a squad whose
// members were never tested (engineering judgement).
const levelSD = 0.05

// RacePower returns race powers and their covariance as a seat race has shown
// them. Racing alone shows differences only: their level is then taken from
// ergometer tests or the terms, and its doubt is shared by all. The error is an
// *Invalid, also when racing alone leaves differences open, or ErrNotFound.
func (s *Service) RacePower(ctx context.Context, r RacePowerRequest) (RacePower, error) {
	c, err := s.powerCase(ctx, &r)
	if err != nil {
		return RacePower{}, err
	}
	pieces, o, err := c.request.Read()
	if err != nil {
		return RacePower{}, err
	}
	result, err := seatrace.Estimate(pieces, o)
	if err != nil {
		return RacePower{}, schedule.ErrorOf(err)
	}
	p, err := result.RacePower(c.level, c.conv)
	if err != nil {
		return RacePower{}, schedule.ErrorOf(err)
	}
	return c.wirePower(p), nil
}

// powerCase chooses the prior where none is asked for.
func (s *Service) powerCase(ctx context.Context, r *RacePowerRequest) (*raceCase, error) {
	c, err := s.raceCase(ctx, r.ID, r.View, cmp.Or(r.Prior, priorNone))
	if err != nil {
		return nil, err
	}
	if l := r.LevelW; l != nil {
		if !(*l > 0 && *l <= schedule.MaxMeanPowerW) {
			return nil, wire.At("level_w").Invalid(fmt.Sprintf("The level must be above 0 and at most %d W.", schedule.MaxMeanPowerW))
		}
		c.level = *l
	}
	if r.Prior != "" {
		return c, nil
	}
	switch {
	case c.powers != nil:
		return c, c.hold(priorErgometer)
	case c.terms.Prior != nil:
		return c, c.hold(priorCoach)
	}
	return c, nil
}

func (c *raceCase) wirePower(p *seatrace.RacePower) RacePower {
	a := RacePower{Prior: c.prior, LevelW: wire.ToWatts(c.level), Raced: c.raced, Notes: append([]string{}, c.notes...)}
	cov := mat.NewSymDense(len(p.IDs), nil)
	cov.CopySym(p.Cov)
	if c.prior == priorNone {
		addLevel(cov, levelSD*c.level)
		a.Notes = append(a.Notes, "Racing shows differences only: the level and its uncertainty are shared by all.")
	}
	for i, name := range p.IDs {
		id, _ := c.names.find(name) // its own names find everybody
		a.Athletes = append(a.Athletes, AthletePower{AthleteID: id, Name: name, PowerW: wire.ToWatts(p.Watts[i]), SdW: wire.ToWatts(math.Sqrt(cov.At(i, i)))})
		row := make([]float64, len(p.IDs))
		for j := range row {
			row[j] = wire.Round(cov.At(i, j), 1e6)
		}
		a.CovarianceW2 = append(a.CovarianceW2, row)
	}
	return a
}

// addLevel adds a doubt in W that all powers share.
func addLevel(cov *mat.SymDense, sd float64) {
	n := cov.SymmetricDim()
	for i := range n {
		for j := i; j < n; j++ {
			cov.SetSym(i, j, cov.At(i, j)+sd*sd)
		}
	}
}

// checkPiece holds a result against the squad, the boats and the other times.
func checkPiece(t *store.SeatRace, piece *store.Piece, names *roster) error {
	class, _ := rigging.ClassByCode(t.ClassCode)
	setup := seatrace.Setup{Class: class, Boats: len(piece.Boats), NoiseSD: 1}
	for _, a := range t.Athletes {
		setup.Athletes = append(setup.Athletes, selection.Athlete{ID: names.name[a.AthleteID], SideCost: schedule.SideCosts("")})
	}
	pieces, at := othersRaced(t, piece, names)
	var p wire.Problems
	if _, err := seatrace.Evaluate(pieces[at:at+1], setup); err != nil {
		addPieceProblem(&p, err, 0, piece.Number)
	}
	if len(p.Fields) == 0 && piece.State == store.Raced {
		if _, err := seatrace.Estimate(pieces, seatrace.Options{Distance: t.DistanceM}); err != nil {
			addPieceProblem(&p, err, at, piece.Number)
		}
	}
	return p.OrNil()
}

// othersRaced lists the raced pieces with this one among them, and where.
func othersRaced(t *store.SeatRace, piece *store.Piece, names *roster) (pieces []selection.Piece, at int) {
	for i := range t.Pieces {
		if o := &t.Pieces[i]; o.State == store.Raced && o.Number != piece.Number {
			pieces = append(pieces, domainPiece(o, names))
		}
	}
	return append(pieces, domainPiece(piece, names)), len(pieces)
}

func domainPiece(p *store.Piece, names *roster) selection.Piece {
	times := make([]float64, len(p.Boats))
	for b := range p.Boats {
		times[b] = wire.Or(p.Boats[b].TimeS, 0)
	}
	return selection.Piece{Crews: names.crews(p), Times: times}
}

// addPieceProblem takes over the complaints about the piece at an index, whose number
// in the seat race may be another.
func addPieceProblem(p *wire.Problems, err error, at, number int) {
	piece := rigging.Step{Field: selection.FieldPieces, Number: at + 1}
	list, _ := wire.FieldErrors(err)
	for _, e := range list {
		where := e.Place
		if where[0].Field == piece.Field && where[0].Number > 0 {
			if where[0] != piece {
				continue // another piece's, told when that was entered
			}
			where = where[1:]
		}
		detail := strings.Replace(e.Detail, fmt.Sprintf("piece %d", at+1), fmt.Sprintf("piece %d", number), 1)
		p.Add(wire.Place{}.At(where, schedule.Names).Problem(wire.Sentence(detail)))
	}
}

// At finds an athlete in the seat race, -1 for one who did not race.
func (p *RacePower) At(athlete int64) int {
	return slices.IndexFunc(p.Athletes, func(a AthletePower) bool { return a.AthleteID == athlete })
}
