package lineup

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strconv"

	"gonum.org/v1/gonum/mat"

	"thole/api/club"
	"thole/api/directory"
	"thole/api/ergometer"
	"thole/api/evidence"
	"thole/api/records"
	"thole/api/seat"
	"thole/api/seatrace"
	"thole/api/store"
	"thole/api/wire"
	"thole/rigging"
	"thole/selection/erg"
	"thole/selection/speed"
)

// BoatSquadRequest asks for the athletes on record as candidates for a boat.
type BoatSquadRequest struct {
	BoatClass  string `query:"boat_class" json:"-" required:"true" enum:"1x,2x,4x,2-,2+,4-,4+,8+"`
	SquadID    int64  `query:"squad_id" json:"-" validate:"omitempty,gte=1" description:"Only athletes of this squad."`
	SeatRaceID int64  `query:"seat_race_id" json:"-" validate:"omitempty,gte=1" description:"Take the race powers and their covariance from this seat race where it tells them, and from the ergometer elsewhere."`
	Powers     string `query:"powers" json:"-" enum:",joined,ergometer" description:"What race powers rest on without seat_race_id. joined, as without it: ergometer, seat races, recordings and the coach’s opinion. ergometer: tests alone."`
}

// BoatSquad is the athletes on record as candidates for a boat.
type BoatSquad struct {
	BoatClass  string          `json:"boat_class"`
	Candidates []BoatCandidate `json:"candidates" description:"Those with a race power and a mass, by power_w, strongest first. power_w and power_sd_w are what line-ups are calculated with: power_sd_w is the standard deviation on the water. By source: of the ergometer it is erg_sd_w widened by what the water leaves open; of racing it is the race's; joined, that of all evidence."`
	Coxes      []BoatCox       `json:"coxes" description:"Athletes who cox, with their mass, the lightest first; empty for a class without a cox."`
	Missing    []CandidateGap  `json:"missing" description:"Athletes that cannot be judged yet, with what is missing."`
	// Covariance of the race powers in the order of the candidates; left out
	// where they are independent.
	PowerCovarianceW2 [][]float64 `json:"power_covariance_w2,omitempty"`
	Notes             []string    `json:"notes"`
}

// BoatCandidate is a candidate with what stands behind the figures.
type BoatCandidate struct {
	Candidate
	AthleteID int64   `json:"athlete_id"`
	Label     string  `json:"label" description:"The name in short; no other athlete has it."`
	SquadIDs  []int64 `json:"squad_ids" description:"Squads that the athlete is in."`
	Source    string  `json:"source" enum:"ergometer,racing,joined" description:"Where power_w, power_sd_w, low_w and high_w come from; ergometer also where all evidence was asked for and there are only tests."`
	Band      int     `json:"band" description:"Athletes of one band are too close to tell at 95 %; 1 is the strongest. From the ergometer alone by its own scatter; with a seat race or other evidence by power_w, power_sd_w and power_covariance_w2, on the water, for everybody."`
	LowW      float64 `json:"low_w" description:"Lower end of the 90 % interval that belongs to power_w. Of source ergometer on the ergometer, from erg_sd_w: narrower than power_sd_w, which is on the water. Of source racing or joined on the water, from power_sd_w."`
	HighW     float64 `json:"high_w" description:"Upper end of the same interval as low_w."`
	ErgPowerW float64 `json:"erg_power_w" description:"Race power by the ergometer, also where other evidence replaces it; 0 without a usable test."`
	ErgSdW    float64 `json:"erg_sd_w" description:"Standard deviation of erg_power_w on the ergometer, by the scatter of tests alone; power_sd_w is on the water."`
	Tests     int     `json:"tests" description:"Ergometer tests that erg_power_w rests on."`
	// Doubts and LeftOut are sentences that name the test.
	Doubts  []string `json:"doubts" description:"Ergometer tests that were used and should be checked, and why."`
	LeftOut []string `json:"left_out" description:"Ergometer tests that were not used, and why."`
}

// BoatCox is an athlete who may cox.
type BoatCox struct {
	AthleteID int64   `json:"athlete_id"`
	Name      string  `json:"name"`
	Label     string  `json:"label" description:"The name in short; no other athlete has it."`
	MassKg    float64 `json:"mass_kg"`
	CountedKg float64 `json:"counted_kg" description:"What counts in the boat: with the dead weight that makes up the usual least, 55 kg."`
}

// CandidateGap is an athlete that cannot be judged yet.
type CandidateGap struct {
	AthleteID int64  `json:"athlete_id"`
	Name      string `json:"name"`
	Missing   string `json:"missing"`
}

// SquadFor gathers the athletes on record for a boat class: race power from all
// their ergometer tests, mass, sides and the newest stroke curve. The error is
// an *Invalid or ErrNotFound.
func (s *Service) SquadFor(ctx context.Context, r BoatSquadRequest) (BoatSquad, error) {
	class, err := seat.ClassOf(r.BoatClass)
	if err != nil {
		return BoatSquad{}, err
	}
	if r.Powers != "" && r.Powers != powersJoined && r.Powers != powersErgometer {
		return BoatSquad{}, wire.At("powers").Invalid("Say joined or ergometer.")
	}
	g, err := s.gatherSquad(ctx, r.SquadID, r.SeatRaceID == 0 && r.Powers != powersErgometer)
	if err != nil {
		return BoatSquad{}, err
	}
	squad := g.judge(class)
	if r.SeatRaceID != 0 {
		err = s.raced(ctx, &squad, r.SeatRaceID)
	}
	return squad, err
}

// Of returns the squad with some of its candidates, by their places.
func (squad *BoatSquad) Of(places []int) BoatSquad {
	w := *squad
	w.Candidates = make([]BoatCandidate, 0, len(places))
	w.PowerCovarianceW2 = nil
	for _, i := range places {
		w.Candidates = append(w.Candidates, squad.Candidates[i])
		if squad.PowerCovarianceW2 == nil {
			continue
		}
		row := make([]float64, 0, len(places))
		for _, j := range places {
			row = append(row, squad.PowerCovarianceW2[i][j])
		}
		w.PowerCovarianceW2 = append(w.PowerCovarianceW2, row)
	}
	return w
}

// squadRecords is what is on record about the squad.
type squadRecords struct {
	athletes []store.Athlete
	called   map[int64]directory.Athlete
	powers   *ergometer.RacePowers
	curves   map[int64][]float64
	squads   map[int64][]int64 // of each athlete
	joined   *evidence.Powers  // nil where the ergometer alone counts
}

// gatherSquad reads what is on record of a squad, or of everybody for squad 0,
// and joins all evidence where that is asked for.
func (s *Service) gatherSquad(ctx context.Context, squad int64, joined bool) (g squadRecords, err error) {
	if g.athletes, err = s.Store.Athletes(ctx, store.Filter{}); err != nil {
		return g, records.RecordError(err)
	}
	g.called = map[int64]directory.Athlete{}
	for _, a := range directory.Of(g.athletes) { // names tell apart whoever else is asked for
		g.called[a.ID] = a
	}
	if squad != 0 {
		q, err := s.Store.Squad(ctx, squad)
		if err != nil {
			return g, records.RecordError(err)
		}
		g.athletes = slices.DeleteFunc(g.athletes, func(a store.Athlete) bool { return !slices.Contains(q.Athletes, a.ID) })
	}
	all, err := s.Store.Squads(ctx)
	if err != nil {
		return g, records.RecordError(err)
	}
	g.squads = map[int64][]int64{}
	for i := range all {
		for _, athlete := range all[i].Athletes {
			g.squads[athlete] = append(g.squads[athlete], all[i].ID)
		}
	}
	if g.curves, err = s.Store.LatestCurves(ctx); err != nil {
		return g, records.RecordError(err)
	}
	if !joined {
		g.powers, err = s.ergometer.RacePowers(ctx, s.Today())
		return g, err
	}
	if g.joined, err = s.evidence.Powers(ctx, s.Today()); err != nil {
		return g, err
	}
	g.powers = g.joined.Ergometer
	return g, nil
}

// judge turns the records into candidates in order of power.
func (g *squadRecords) judge(class rigging.Class) BoatSquad {
	squad := BoatSquad{BoatClass: class.Code, Candidates: []BoatCandidate{}, Coxes: []BoatCox{}, Missing: []CandidateGap{}, Notes: []string{}}
	var estimates []erg.Estimate
	for i := range g.athletes {
		a := &g.athletes[i]
		if class.Coxed && a.Coxes {
			squad.addCox(a, g.powers.Masses[a.ID], g.called[a.ID])
		}
		if a.Coxes && !a.Sculls && a.PortCostS == nil && a.StarboardCostS == nil {
			continue // rows nowhere
		}
		m, e, gap := g.member(a, class)
		if gap != "" {
			squad.Missing = append(squad.Missing, CandidateGap{AthleteID: a.ID, Name: a.Name, Missing: gap})
			continue
		}
		squad.Candidates = append(squad.Candidates, m)
		estimates = append(estimates, e)
	}
	if g.rest(squad.Candidates) {
		g.rankJoined(&squad)
	} else {
		squad.rank(erg.Bands(estimates, erg.BandConfidence))
	}
	g.tellApart(squad.Candidates)
	return squad
}

// addCox lists an athlete who coxes, or the mass that is missing for that.
func (squad *BoatSquad) addCox(a *store.Athlete, mass float64, called directory.Athlete) {
	if mass == 0 {
		squad.Missing = append(squad.Missing, CandidateGap{AthleteID: a.ID, Name: a.Name, Missing: "coxes, but has no mass on record"})
		return
	}
	squad.Coxes = append(squad.Coxes, BoatCox{AthleteID: a.ID, Name: called.Whole, Label: called.Label, MassKg: mass, CountedKg: max(mass, speed.CoxMass)})
	slices.SortStableFunc(squad.Coxes, func(a, b BoatCox) int { return cmp.Or(cmp.Compare(a.MassKg, b.MassKg), cmp.Compare(a.Name, b.Name)) })
}

// rank puts the candidates in the order of the bands, which hold their
// indices.
func (squad *BoatSquad) rank(bands [][]int) {
	ordered := make([]BoatCandidate, 0, len(squad.Candidates))
	for band, members := range bands {
		for _, i := range members {
			m := squad.Candidates[i]
			m.Band = band + 1
			ordered = append(ordered, m)
		}
	}
	squad.Candidates = ordered
}

// tellApart calls no two candidates the same.
func (g *squadRecords) tellApart(candidates []BoatCandidate) {
	for i := range candidates {
		c := &candidates[i]
		c.Name, c.Label = g.called[c.AthleteID].Whole, g.called[c.AthleteID].Label
	}
}

// member is one athlete as a candidate, or what is missing for that. The bands
// and the interval are those of the ergometer itself; what the water leaves
// open comes on top where seat orders are weighed.
func (g *squadRecords) member(a *store.Athlete, class rigging.Class) (m BoatCandidate, e erg.Estimate, gap string) {
	mass := g.powers.Masses[a.ID]
	switch {
	case class.Scull && !a.Sculls:
		return m, e, "does not scull"
	case !class.Scull && a.PortCostS == nil && a.StarboardCostS == nil:
		return m, e, "rows no side"
	case mass == 0:
		return m, e, "no mass on record"
	}
	power, ok := g.powers.Of(a.ID)
	if !ok && !g.known(a.ID) {
		return m, e, power.Gap()
	}
	e = power.Land
	m = BoatCandidate{
		AthleteID: a.ID, SquadIDs: append([]int64{}, g.squads[a.ID]...), Tests: power.Tests, Source: "ergometer", LowW: wire.Round(e.Low, 10), HighW: wire.Round(e.High, 10),
		ErgPowerW: wire.Round(e.Power, 10), ErgSdW: wire.Round(e.SD, 10), Doubts: power.Doubted(), LeftOut: power.LeftOut(),
		Candidate: Candidate{
			ID: strconv.FormatInt(a.ID, 10), Name: a.Name, Sex: a.Sex, MassKg: mass,
			PowerW: wire.Round(e.Power, 10), PowerSdW: wire.Round(power.Water.SD, 10), Curve: g.curves[a.ID],
		},
	}
	g.join(&m)
	if !class.Scull {
		m.Sides = &club.SideCosts{Port: a.PortCostS, Starboard: a.StarboardCostS}
	}
	return m, e, ""
}

// raced replaces the powers from the ergometer by those that a seat race has
// shown, with their covariance, and ranks the squad by them.
// Athletes who did not race keep theirs, as independent.
func (s *Service) raced(ctx context.Context, squad *BoatSquad, race int64) error {
	power, err := s.seatrace.RacePower(ctx, seatrace.RacePowerRequest{ID: race})
	if err != nil {
		return err
	}
	count, powers := 0, make([]float64, len(squad.Candidates))
	for i := range squad.Candidates {
		c := &squad.Candidates[i]
		if k := power.At(c.AthleteID); k >= 0 {
			c.race(&power.Athletes[k])
			count++
		}
		powers[i] = c.PowerW
	}
	squad.Notes = append(squad.Notes, power.Notes...)
	squad.Notes = append(squad.Notes, fmt.Sprintf("Race powers of %d athletes come from seat racing.", count))
	if len(powers) > 0 {
		squad.rank(erg.JointBands(powers, powersAmong(&power, squad.Candidates), erg.BandConfidence))
		squad.PowerCovarianceW2 = rowsOf(powersAmong(&power, squad.Candidates))
	}
	return nil
}

// race takes over what a seat race has shown.
func (c *BoatCandidate) race(a *seatrace.AthletePower) {
	c.PowerW, c.PowerSdW, c.Source = a.PowerW, a.SdW, "racing"
	c.LowW, c.HighW = wire.Round(max(0, a.PowerW-evidence.NinetyPercent*a.SdW), 10), wire.Round(a.PowerW+evidence.NinetyPercent*a.SdW, 10)
}

// powersAmong is the covariance of the powers of candidates, W².
func powersAmong(p *seatrace.RacePower, candidates []BoatCandidate) *mat.SymDense {
	covariance := mat.NewSymDense(len(candidates), nil)
	for i := range candidates {
		sd, k := candidates[i].PowerSdW, p.At(candidates[i].AthleteID)
		covariance.SetSym(i, i, sd*sd)
		for j := range i + 1 {
			if l := p.At(candidates[j].AthleteID); k >= 0 && l >= 0 {
				covariance.SetSym(i, j, p.CovarianceW2[k][l])
			}
		}
	}
	return covariance
}

// rowsOf lists a matrix row by row.
func rowsOf(m *mat.SymDense) [][]float64 {
	rows := [][]float64{}
	for i := range m.SymmetricDim() {
		row := make([]float64, m.SymmetricDim())
		for j := range row {
			row[j] = m.At(i, j)
		}
		rows = append(rows, row)
	}
	return rows
}
