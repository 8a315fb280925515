package schedule

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"math"
	"slices"

	"thole/api/wire"
	"thole/rigging"
	"thole/selection"
	"thole/selection/seatrace"
)

// SeatRaceEstimateRequest asks what timed pieces tell of the athletes.
type SeatRaceEstimateRequest struct {
	DistanceM     float64           `json:"distance_m" validate:"required,gte=0,lte=1000000" description:"Of every piece."`
	Pieces        []RacedPiece      `json:"pieces" validate:"required,min=1,max=200" say:"No piece is given, or more than 200." description:"In the order they were raced."`
	Prior         *SeatRacePrior    `json:"prior,omitempty" description:"What is known of the athletes before they race; left out, the racing alone counts."`
	View          string            `json:"view,omitempty" validate:"omitempty,oneof=margins absolute" default:"margins" description:"margins: boats of one piece against each other, so that wind and stream cancel. absolute: the times."`
	Hulls         bool              `json:"hulls,omitempty" description:"The hulls may differ in speed; boats keep their place in every piece."`
	Trends        bool              `json:"trends,omitempty" description:"Each boat may drift steadily over the pieces."`
	NoiseSdS      *float64          `json:"noise_sd_s,omitempty" validate:"omitempty,gte=0,lte=100" description:"Known standard deviation of one boat's time; left out, it is estimated from the pieces."`
	Level         *float64          `json:"level,omitempty" validate:"omitempty,gte=0.01,lte=0.9999" say:"Give the coverage as a share between 0 and 1." default:"0.95" description:"Coverage of the intervals, as a share."`
	Sides         map[string]string `json:"sides,omitempty" validate:"omitempty,max=60" description:"port or starboard of athletes who row but one side."`
	Pairs         [][]string        `json:"pairs,omitempty" validate:"omitempty,max=1770,dive,len=2,dive,max=200" say:"Name pairs, each of two athletes." description:"Pairs to compare: for the next piece and after each piece; left out, all whose sides let them take each other's seat."`
	AcrossSides   bool              `json:"across_sides,omitempty" description:"Where no pairs are named, compare ports with starboards too."`
	ExpectedTimeS *float64          `json:"expected_time_s,omitempty" validate:"omitempty,gte=0,lte=1000000" description:"About the time of a piece: where margins alone were taken, and to catch typing errors."`
	Next          int               `json:"next,omitempty" validate:"gte=0,lte=20" description:"How many proposals for one more piece to list, 20 at the most."`
	AfterEach     bool              `json:"after_each,omitempty" description:"Also return what was known after each piece, for the pairs to compare or for neighbours in the ranking."`
	BareSwaps     bool              `json:"bare_swaps,omitempty" description:"Also return the difference from every single swap of two athletes."`
	CompareViews  bool              `json:"compare_views,omitempty" description:"Also list the pairs that margins and absolute times rank in opposite order."`
}

// RacedPiece is one piece with its crews and what the watch said.
type RacedPiece struct {
	Crews    [][]string `json:"crews" validate:"required,max=12,dive,max=9,dive,max=200" description:"A crew a boat."`
	TimesS   []*float64 `json:"times_s,omitempty" validate:"omitempty,max=12,dive,omitempty,gte=0,lte=1000000" description:"A time a boat; null or 0 for a boat that did not finish."`
	MarginsS []*float64 `json:"margins_s,omitempty" validate:"omitempty,max=12,dive,omitempty,gte=0,lte=100000" description:"In place of times: seconds behind the first boat, 0 for that one, null for a boat that did not finish."`
}

// SeatRacePrior is what is held of the athletes before they race.
type SeatRacePrior struct {
	SdS    *float64            `json:"sd_s,omitempty" validate:"omitempty,gte=0,lte=1000" description:"Standard deviation of an athlete's effect over the distance, for those without one of their own."`
	MeansS map[string]*float64 `json:"means_s,omitempty" description:"Expected effects by athlete; the others take their mean."`
	SdsS   map[string]*float64 `json:"sds_s,omitempty" description:"Standard deviations of athletes' own."`
}

// SeatRaceEstimate is what the pieces tell. Effects and differences join the
// prior, where there is one, with the racing.
type SeatRaceEstimate struct {
	Effects        []SeatRaceEffect     `json:"effects" description:"By name."`
	Differences    []SeatRaceDifference `json:"differences" description:"Every two athletes."`
	ResidualSdS    float64              `json:"residual_sd_s" description:"Scatter of one boat's time; a margin scatters √2 times as much."`
	Rank           int                  `json:"rank" description:"How many independent differences the pieces determine."`
	NotEstimable   []string             `json:"not_estimable" description:"What the pieces do not show, and why."`
	View           string               `json:"view" enum:"margins,absolute"`
	TimeS          float64              `json:"time_s" description:"Geometric mean of the times."`
	Per2000        float64              `json:"per_2000" description:"Factor that turns seconds over the distance into seconds over 2000 m."`
	NoiseSource    string               `json:"noise_source" enum:"estimated,stated,assumed" description:"Where residual_sd_s comes from."`
	NoiseDf        int                  `json:"noise_df" description:"Degrees of freedom of the residuals."`
	Racing         *SeatRaceEvidence    `json:"racing,omitempty" description:"From racing only; left out without a prior, because effects and differences are then the same."`
	Prior          *SeatRaceEvidence    `json:"prior,omitempty" description:"What was known before racing; left out without a prior."`
	Pieces         []PieceVerdict       `json:"pieces"`
	Swaps          []BareSwap           `json:"swaps" description:"Two pieces between which two athletes exchanged boats and nobody else did."`
	Next           []NextPiece          `json:"next" description:"Next pieces, the one that helps most first."`
	AfterEach      []AfterPiece         `json:"after_each"`
	Contradictions []AthletePair        `json:"contradictions" description:"Pairs that margins and absolute times rank in opposite order."`
	Notes          []string             `json:"notes"`
}

// SeatRaceEvidence is what one source says of the athletes.
type SeatRaceEvidence struct {
	Effects     []SeatRaceEffect     `json:"effects"`
	Differences []SeatRaceDifference `json:"differences"`
}

// SeatRaceEffect is how much an athlete moves the boat.
type SeatRaceEffect struct {
	ID        string  `json:"id"`
	EffectS   float64 `json:"effect_s" description:"Seconds the boat gains over the distance, against the mean of those comparable, or against the prior's zero; 0 where nothing is known."`
	SdS       float64 `json:"sd_s"`
	LowS      float64 `json:"low_s"`
	HighS     float64 `json:"high_s"`
	Group     int     `json:"group" description:"Athletes with equal numbers have been made comparable by the racing."`
	Estimable bool    `json:"estimable"`
}

// SeatRaceDifference compares two athletes.
type SeatRaceDifference struct {
	First             string  `json:"first"`
	Second            string  `json:"second"`
	DifferenceS       float64 `json:"difference_s" description:"Seconds the boat is faster with the first; 0 where nothing is known."`
	SdS               float64 `json:"sd_s"`
	LowS              float64 `json:"low_s"`
	HighS             float64 `json:"high_s"`
	ChanceFirstFaster float64 `json:"chance_first_faster" description:"From 0 to 1; 0.5 where nothing is known."`
	Certainty         string  `json:"certainty" enum:"open,likely,firm" description:"Who is faster: open under a chance of 75 % for the likelier, likely from there, firm over 90 %."`
	Estimable         bool    `json:"estimable" description:"The pieces by themselves compare the two."`
	Why               string  `json:"why" description:"Why they do not."`
}

// PieceVerdict says how a piece fits the others and how much depends on it.
type PieceVerdict struct {
	Leverage    float64       `json:"leverage" description:"Share of the piece's margins that the athletes can follow, 0 to 1; at 1 nothing can check it."`
	Checked     bool          `json:"checked" description:"Other pieces check this one."`
	Studentised float64       `json:"studentised" description:"Largest residual over its standard error."`
	Outlying    bool          `json:"outlying" description:"The other pieces contradict this one."`
	Boats       []BoatVerdict `json:"boats"`
}

// BoatVerdict compares a boat's time with what the others lead one to expect.
type BoatVerdict struct {
	Boat        int     `json:"boat" description:"From 1."`
	ResidualS   float64 `json:"residual_s" description:"How much faster than expected."`
	Studentised float64 `json:"studentised" description:"Residual over its standard error."`
}

// BareSwap is the plain reading of one exchange.
type BareSwap struct {
	BeforePiece int       `json:"before_piece" description:"From 1."`
	AfterPiece  int       `json:"after_piece" description:"From 1."`
	First       string    `json:"first"`
	Second      string    `json:"second"`
	ByMarginS   float64   `json:"by_margin_s" description:"The boat's gain by the first over the second: half the change of the margin."`
	ByTimesS    []float64 `json:"by_times_s" description:"The same by each boat's own times; wind between the pieces adds to one what it takes from the other."`
	Agree       bool      `json:"agree" description:"Both boats' times say the same as the margin."`

	SdS               float64 `json:"sd_s" description:"Standard error of by_margin_s."`
	ChanceFirstFaster float64 `json:"chance_first_faster" description:"By this swap alone."`
	Certainty         string  `json:"certainty" enum:"open,likely,firm"`
}

// NextPiece is one more piece that could be rowed.
type NextPiece struct {
	Crews   [][]string `json:"crews"`
	Swapped []string   `json:"swapped" description:"Who change places against the last piece; empty for the same crews again."`
	Missing int        `json:"missing" description:"Asked comparisons that would still not be compared."`
	SdS     float64    `json:"sd_s" description:"Root mean variance of the others once it is rowed."`
}

// AfterPiece is what was known after a piece.
type AfterPiece struct {
	Pieces      int                  `json:"pieces" description:"How many were rowed."`
	Differences []SeatRaceDifference `json:"differences"`
}

// AthletePair names two athletes.
type AthletePair struct {
	First  string `json:"first"`
	Second string `json:"second"`
}

// Bounds of the work of one request: a season of pieces of a large squad, and some
// seconds (our judgement).
const (
	maxPieces   = 200
	MaxAthletes = 60
	maxBoats    = 12
)

// Estimate judges timed pieces. The error is an *Invalid.
func (s *Service) Estimate(_ context.Context, r SeatRaceEstimateRequest) (SeatRaceEstimate, error) {
	return r.Estimate(func(seatrace.Note) bool { return true })
}

// Estimate judges timed pieces and tells the notes that are wanted.
func (r *SeatRaceEstimateRequest) Estimate(wanted func(seatrace.Note) bool) (SeatRaceEstimate, error) {
	pieces, o, err := r.Read()
	if err != nil {
		return SeatRaceEstimate{}, err
	}
	result, err := seatrace.Estimate(pieces, o)
	if err != nil {
		return SeatRaceEstimate{}, ErrorOf(err)
	}
	a := wireEstimate(result, o.Model)
	for _, n := range result.Notes {
		if wanted(n) {
			a.Notes = append(a.Notes, wire.Sentence(n.Text))
		}
	}
	a.Notes = append(a.Notes, r.marginNotes()...)
	if err := r.addExtras(&a, result, pieces, o); err != nil {
		return SeatRaceEstimate{}, err
	}
	return a, nil
}

// Read turns the request into the domain's terms.
func (r *SeatRaceEstimateRequest) Read() ([]selection.Piece, seatrace.Options, error) {
	var p wire.Problems
	o := seatrace.Options{
		Distance: r.DistanceM, NoiseSD: knownSeconds(&p, wire.At("noise_sd_s"), r.NoiseSdS), Level: wire.Or(r.Level, 0), Prior: r.Prior.prior(),
		Model: seatrace.Model{Absolute: checkView(&p, r.View), Hulls: r.Hulls, Trends: r.Trends}, Sides: checkSides(&p, r.Sides),
	}
	BoundPieces(&p, wire.At("pieces"), len(r.Pieces))
	pieces := make([]selection.Piece, len(r.Pieces))
	base := r.usualTime()
	for i := range r.Pieces {
		pieces[i] = r.Pieces[i].piece(&p, wire.At("pieces").Item(i), base)
	}
	boundSquad(&p, wire.At("pieces"), pieces)
	p.Check(wire.At(), r)
	return pieces, o, p.OrNil()
}

// knownSeconds returns an optional number of seconds, which must be above 0.
func knownSeconds(p *wire.Problems, at wire.Place, v *float64) float64 {
	if v != nil && !(*v > 0) {
		p.Add(at.Problem("This must be above 0 s; leave it out to have it found."))
	}
	return wire.Or(v, 0)
}

// checkView reads the name of a view.
func checkView(p *wire.Problems, name string) (absolute bool) {
	if name != "" && name != ViewMargins && name != ViewAbsolute {
		p.Add(wire.At("view").Problem("Say margins or absolute."))
	}
	return name == ViewAbsolute
}

// The views of the times on the wire.
const (
	ViewMargins  = "margins"
	ViewAbsolute = "absolute"
)

// checkSides reads the sides of athletes.
func checkSides(p *wire.Problems, named map[string]string) map[string]rigging.Side {
	sides := map[string]rigging.Side{}
	for _, id := range slices.Sorted(maps.Keys(named)) {
		if named[id] == "" {
			continue
		}
		side, ok := rigging.ParseSide(named[id])
		if !ok {
			p.Add(wire.Place{Field: "sides", Pointer: "/sides"}.Name(id).Problem("Say port or starboard."))
		}
		sides[id] = side
	}
	return sides
}

// BoundPieces complains about more pieces than are judged at once.
func BoundPieces(p *wire.Problems, at wire.Place, n int) {
	if n > maxPieces {
		p.Add(at.Problem(fmt.Sprintf("At most %d pieces.", maxPieces)))
	}
}

// boundSquad bounds the work: it grows with the athletes' number.
func boundSquad(p *wire.Problems, at wire.Place, pieces []selection.Piece) {
	seen := map[string]bool{}
	for _, piece := range pieces {
		if len(piece.Crews) > maxBoats {
			p.Add(at.Problem(fmt.Sprintf("At most %d boats in a piece.", maxBoats)))
		}
		for _, crew := range piece.Crews {
			for _, id := range crew {
				seen[id] = true
			}
		}
	}
	if len(seen) > MaxAthletes {
		p.Add(at.Problem(fmt.Sprintf("At most %d athletes.", MaxAthletes)))
	}
}

// prior returns the domain's prior, nil for none.
func (w *SeatRacePrior) prior() *seatrace.Prior {
	if w == nil {
		return nil
	}
	return &seatrace.Prior{SD: wire.Or(w.SdS, 0), Means: given(w.MeansS), SDs: given(w.SdsS)}
}

// given removes what is null, which stands for left out.
func given(m map[string]*float64) map[string]float64 {
	out := map[string]float64{}
	for name, v := range m {
		if v != nil {
			out[name] = *v
		}
	}
	return out
}

// usualTime is the time that stands in for the first boat's where margins
// alone were taken: the expected one, or the geometric mean of those given;
// 0 for none.
func (r *SeatRaceEstimateRequest) usualTime() float64 {
	if r.ExpectedTimeS != nil {
		return *r.ExpectedTimeS
	}
	sum, n := 0.0, 0
	for _, p := range r.Pieces {
		for _, t := range p.TimesS {
			if t != nil && *t > 0 {
				sum, n = sum+math.Log(*t), n+1
			}
		}
	}
	if n == 0 {
		return 0
	}
	return math.Exp(sum / float64(n))
}

// RacedTime is the geometric mean of the times.
func (r *SeatRaceEstimateRequest) RacedTime() float64 {
	timed := SeatRaceEstimateRequest{Pieces: r.Pieces}
	return timed.usualTime()
}

// piece reads one piece; base stands in for a clock that was not read.
func (w *RacedPiece) piece(p *wire.Problems, at wire.Place, base float64) selection.Piece {
	piece := selection.Piece{Crews: w.Crews, Times: plainTimes(w.TimesS)}
	switch {
	case w.MarginsS == nil:
	case w.TimesS != nil:
		p.Add(at.Name("margins_s").Problem("Give times or margins, not both."))
	case !(base > 0):
		p.Add(wire.At("expected_time_s").Problem("Margins alone need about the time of a piece as well."))
	default:
		piece.Times = timesFromMargins(w.MarginsS, base)
	}
	return piece
}

// plainTimes writes 0 for a boat without a time.
func plainTimes(times []*float64) []float64 {
	out := make([]float64, len(times))
	for i, t := range times {
		out[i] = wire.Or(t, 0)
	}
	return out
}

// timesFromMargins puts margins behind the first boat on a time of that boat.
func timesFromMargins(margins []*float64, base float64) []float64 {
	out := make([]float64, len(margins))
	for i, m := range margins {
		if m != nil {
			out[i] = base + *m
		}
	}
	return out
}

// marginNotes reports where the clock was not read.
func (r *SeatRaceEstimateRequest) marginNotes() []string {
	var notes []string
	for i, p := range r.Pieces {
		if p.MarginsS != nil {
			text := fmt.Sprintf("Piece %d has margins only, put on a time of %.1f s.", i+1, r.usualTime())
			if r.View == ViewAbsolute {
				text += " With absolute times it is not reliable."
			}
			notes = append(notes, text)
		}
	}
	return notes
}

// addExtras adds what was asked for besides.
func (r *SeatRaceEstimateRequest) addExtras(a *SeatRaceEstimate, result *seatrace.Result, pieces []selection.Piece, o seatrace.Options) error {
	if r.BareSwaps {
		swaps, err := seatrace.Swaps(pieces, r.DistanceM)
		if err != nil {
			return ErrorOf(err)
		}
		a.Swaps = wireSwaps(result, swaps)
	}
	pairs, err := readPairs(r.Pairs)
	if err != nil {
		return err
	}
	if err := r.addNext(a, result, r.wanted(pairs, a.Effects, o.Sides)); err != nil {
		return err
	}
	if r.AfterEach {
		a.AfterEach = afterEach(pieces, o, r.followed(pairs, a.Effects))
	}
	if r.CompareViews {
		a.Contradictions = contradictions(pieces, o)
	}
	return nil
}

// wanted are the pairs named, or else those who can take each other's seat; nil
// for everybody.
func (r *SeatRaceEstimateRequest) wanted(named []seatrace.Pair, effects []SeatRaceEffect, sides map[string]rigging.Side) []seatrace.Pair {
	if named != nil || r.AcrossSides {
		return named
	}
	ids := make([]string, len(effects))
	for i, x := range effects {
		ids[i] = x.ID
	}
	return seatrace.PairsOfOneSide(ids, sides)
}

func (r *SeatRaceEstimateRequest) addNext(a *SeatRaceEstimate, result *seatrace.Result, pairs []seatrace.Pair) error {
	if r.Next == 0 && pairs == nil {
		return nil
	}
	next, err := result.NextPieces(pairs)
	if err != nil {
		return ErrorOf(err)
	}
	for _, n := range next[:min(r.Next, len(next))] {
		w := NextPiece{Crews: n.Crews, Swapped: []string{}, Missing: n.Missing, SdS: wire.ToSeconds(n.SD)}
		if n.Swapped.First != "" {
			w.Swapped = []string{n.Swapped.First, n.Swapped.Second}
		}
		a.Next = append(a.Next, w)
	}
	return nil
}

// readPairs reads pairs of athletes.
func readPairs(named [][]string) ([]seatrace.Pair, error) {
	var p wire.Problems
	var pairs []seatrace.Pair
	for i, names := range named {
		if len(names) != 2 {
			p.Add(wire.At("pairs").Item(i).Problem("A pair is two athletes."))
			continue
		}
		pairs = append(pairs, seatrace.Pair{First: names[0], Second: names[1]})
	}
	return pairs, p.OrNil()
}

// afterEach judges the first piece, the first two, and so on. A pair is missing
// until both have raced.
func afterEach(pieces []selection.Piece, o seatrace.Options, pairs []seatrace.Pair) []AfterPiece {
	list := []AfterPiece{}
	seen := map[string]bool{}
	for n, piece := range pieces {
		for _, id := range slices.Concat(piece.Crews...) {
			seen[id] = true
		}
		if finishers(piece) < 2 {
			continue
		}
		result, err := seatrace.Estimate(pieces[:n+1], o)
		if err != nil { // the whole could be judged, and so can its parts
			panic("api: " + err.Error())
		}
		after := AfterPiece{Pieces: n + 1, Differences: []SeatRaceDifference{}}
		for _, p := range pairs {
			if seen[p.First] && seen[p.Second] {
				after.Differences = append(after.Differences, wireDifference(result.Final().Difference(p.First, p.Second)))
			}
		}
		list = append(list, after)
	}
	return list
}

// followed are the pairs that are followed through the pieces: those named, or
// neighbours by effect, of one side unless it was asked otherwise.
func (r *SeatRaceEstimateRequest) followed(named []seatrace.Pair, effects []SeatRaceEffect) []seatrace.Pair {
	if named != nil {
		return named
	}
	side := func(x SeatRaceEffect) string {
		if r.AcrossSides {
			return ""
		}
		return r.Sides[x.ID]
	}
	ranked := slices.Clone(effects)
	slices.SortStableFunc(ranked, func(a, b SeatRaceEffect) int {
		return cmp.Or(cmp.Compare(side(a), side(b)), cmp.Compare(a.Group, b.Group), cmp.Compare(b.EffectS, a.EffectS))
	})
	var pairs []seatrace.Pair
	for i := 1; i < len(ranked); i++ {
		if side(ranked[i-1]) == side(ranked[i]) {
			pairs = append(pairs, seatrace.Pair{First: ranked[i-1].ID, Second: ranked[i].ID})
		}
	}
	return pairs
}

// finishers counts the boats with a time.
func finishers(p selection.Piece) int {
	n := 0
	for _, t := range p.Times {
		if t > 0 {
			n++
		}
	}
	return n
}

// contradictions judges by racing alone in both views.
func contradictions(pieces []selection.Piece, o seatrace.Options) []AthletePair {
	list := []AthletePair{}
	o.Prior, o.Model.Absolute = nil, false
	margins, err := seatrace.Estimate(pieces, o)
	if err != nil {
		return list
	}
	o.Model.Absolute = true
	absolute, err := seatrace.Estimate(pieces, o)
	if err != nil {
		return list
	}
	for _, p := range seatrace.Contradictions(margins, absolute) {
		list = append(list, AthletePair(p))
	}
	return list
}

func wireEstimate(r *seatrace.Result, m seatrace.Model) SeatRaceEstimate {
	final := r.Final()
	a := SeatRaceEstimate{
		Effects: wireEffects(final), Differences: wireDifferences(final), ResidualSdS: wire.ToSeconds(residualSD(r.Noise)), Rank: r.Rank,
		NotEstimable: sentences(r.NotEstimable), View: ViewMargins, TimeS: wire.ToSeconds(r.Time), Per2000: wire.ToRatio(r.Per2000),
		NoiseSource: string(r.Noise.Source), NoiseDf: r.Noise.DF, Pieces: wireVerdicts(r.Pieces), Notes: []string{},
		Swaps: []BareSwap{}, Next: []NextPiece{}, AfterEach: []AfterPiece{}, Contradictions: []AthletePair{},
	}
	if m.Absolute {
		a.View = ViewAbsolute
	}
	if r.Joint != nil {
		a.Racing, a.Prior = wireEvidence(r.Racing), wireEvidence(r.Prior)
	}
	return a
}

// residualSD is the scatter of the residuals by themselves where they leave
// any, in s, and what stands in for it otherwise.
func residualSD(n seatrace.Noise) float64 {
	if n.Source == seatrace.NoiseEstimated {
		return n.Residual
	}
	return n.SD
}

func wireEvidence(e *seatrace.Evidence) *SeatRaceEvidence {
	return &SeatRaceEvidence{Effects: wireEffects(e), Differences: wireDifferences(e)}
}

func wireEffects(e *seatrace.Evidence) []SeatRaceEffect {
	list := make([]SeatRaceEffect, len(e.Effects))
	for i, x := range e.Effects {
		list[i] = SeatRaceEffect{
			ID: x.ID, EffectS: wire.ToSeconds(x.Seconds), SdS: wire.ToSeconds(x.SD), LowS: wire.ToSeconds(x.Low), HighS: wire.ToSeconds(x.High),
			Group: x.Group, Estimable: x.Estimable,
		}
	}
	return list
}

func wireDifferences(e *seatrace.Evidence) []SeatRaceDifference {
	list := []SeatRaceDifference{}
	for _, d := range e.Differences() {
		list = append(list, wireDifference(d))
	}
	return list
}

func wireDifference(d seatrace.Difference) SeatRaceDifference {
	return SeatRaceDifference{
		First: d.First, Second: d.Second, DifferenceS: wire.ToSeconds(d.Seconds), SdS: wire.ToSeconds(d.SD),
		LowS: wire.ToSeconds(d.Low), HighS: wire.ToSeconds(d.High),
		ChanceFirstFaster: wire.ToRatio(d.ChanceFirstFaster), Certainty: string(selection.CertaintyOf(d.ChanceFirstFaster)), Estimable: d.Estimable, Why: sentenceOrNone(d.Why),
	}
}

func wireVerdicts(checks []seatrace.PieceCheck) []PieceVerdict {
	list := make([]PieceVerdict, len(checks))
	for i, c := range checks {
		list[i] = PieceVerdict{
			Leverage: wire.ToRatio(c.Leverage), Checked: c.Checked, Studentised: wire.ToRatio(c.Studentised), Outlying: c.Outlying,
			Boats: make([]BoatVerdict, len(c.Boats)),
		}
		for k, b := range c.Boats {
			list[i].Boats[k] = BoatVerdict{Boat: b.Boat + 1, ResidualS: wire.ToSeconds(b.Residual), Studentised: wire.ToRatio(b.Studentised)}
		}
	}
	return list
}

func wireSwaps(r *seatrace.Result, swaps []seatrace.Swap) []BareSwap {
	list := make([]BareSwap, len(swaps))
	for i, w := range swaps {
		sd, chance := r.ReadSwap(w)
		list[i] = BareSwap{
			BeforePiece: w.Before + 1, AfterPiece: w.After + 1, First: w.First, Second: w.Second,
			ByMarginS: wire.ToSeconds(w.ByMargin), ByTimesS: []float64{wire.ToSeconds(w.ByTimes[0]), wire.ToSeconds(w.ByTimes[1])}, Agree: w.Agree,
			SdS: wire.ToSeconds(sd), ChanceFirstFaster: wire.ToRatio(chance), Certainty: string(selection.CertaintyOf(chance)),
		}
	}
	return list
}

// sentences gives each text a capital and a full stop.
func sentences(texts []string) []string {
	list := make([]string, len(texts))
	for i, t := range texts {
		list[i] = wire.Sentence(t)
	}
	return list
}

func sentenceOrNone(text string) string {
	if text == "" {
		return ""
	}
	return wire.Sentence(text)
}

// AddDetails takes in the complaints of an error of the domain, whose details
// are whole sentences.
func AddDetails(p *wire.Problems, err error, own ...wire.Names) {
	list, _ := wire.FieldErrors(err)
	for _, e := range list {
		p.Add(wire.Place{}.At(e.Place, append(own, Names)...).Problem(wire.Sentence(e.Detail)))
	}
}

// ErrorOf carries an error of the domain over to the wire. Its details are whole
// sentences about pieces, boats and seconds.
func ErrorOf(err error, own ...wire.Names) error {
	var p wire.Problems
	AddDetails(&p, err, own...)
	if list := p.OrNil(); list != nil {
		return list
	}
	return err
}

// Names are those of a seat race's fields on the wire. Two of them end in the
// name of an athlete.
var Names = wire.Names{
	selection.FieldTimes:    {"times_s"},
	selection.FieldDistance: {"distance_m"},
	selection.FieldNoiseSD:  {"noise_sd_s"},
	selection.FieldSmallest: {"smallest_w"},
	selection.FieldMeans:    {"means_s"},
	selection.FieldSDs:      {"sds_s"},
	rigging.FieldSD:         {"sd_s"},
}
