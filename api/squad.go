package api

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"thole/api/store"
	"thole/rigging"
	"thole/selection/erg"
)

// BoatSquadRequest asks for the athletes on record as candidates for a boat.
type BoatSquadRequest struct {
	BoatClass string `query:"boat_class" json:"-" required:"true" enum:"1x,2x,4x,2-,2+,4-,4+,8+"`
	TrialID   int64  `query:"trial_id" json:"-" description:"Take the race powers and their covariance from this seat-race trial where it tells them."`
}

// BoatSquad is the athletes on record as candidates for a boat.
type BoatSquad struct {
	BoatClass  string          `json:"boat_class"`
	Candidates []BoatCandidate `json:"candidates" description:"Those with a race power and a mass, strongest first."`
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
	Band      int     `json:"band" description:"Athletes of one band are within the noise of their tests; 1 is the strongest."`
	Tests     int     `json:"tests"`
	LowW      float64 `json:"low_w" description:"Lower end of the 90 % interval from the ergometer."`
	HighW     float64 `json:"high_w"`
	Source    string  `json:"source" enum:"ergometer,racing"`
}

// CandidateGap is an athlete that cannot be judged yet.
type CandidateGap struct {
	AthleteID int64  `json:"athlete_id"`
	Name      string `json:"name"`
	Missing   string `json:"missing"`
}

// bandConfidence is the chance with which everybody of a band must be the
// stronger before a new one begins.
const bandConfidence = 0.95

// SquadFor gathers the athletes on record for a boat class: race power from all
// their ergometer tests, mass, sides and the newest stroke curve. The error is
// an *Invalid or ErrNotFound.
func (s *Service) SquadFor(ctx context.Context, r BoatSquadRequest) (BoatSquad, error) {
	class, err := classOf(r.BoatClass)
	if err != nil {
		return BoatSquad{}, err
	}
	g, err := s.gatherSquad(ctx)
	if err != nil {
		return BoatSquad{}, err
	}
	squad := g.judge(class)
	if r.TrialID != 0 {
		err = s.raced(ctx, &squad, r.TrialID)
	}
	return squad, err
}

// squadRecords is what is on record about the squad.
type squadRecords struct {
	athletes []store.Athlete
	powers   *racePowers
	curves   map[int64][]float64
}

func (s *Service) gatherSquad(ctx context.Context) (g squadRecords, err error) {
	if g.athletes, err = s.store.Athletes(ctx, store.Filter{}); err != nil {
		return g, recordError(err)
	}
	if g.curves, err = s.store.LatestCurves(ctx); err != nil {
		return g, recordError(err)
	}
	g.powers, err = s.racePowers(ctx, s.today())
	return g, err
}

// judge turns the records into candidates in order of power.
func (g *squadRecords) judge(class rigging.Class) BoatSquad {
	squad := BoatSquad{BoatClass: class.Code, Candidates: []BoatCandidate{}, Missing: []CandidateGap{}, Notes: []string{}}
	var estimates []erg.Estimate
	for i := range g.athletes {
		a := &g.athletes[i]
		m, e, gap := g.member(a, class)
		if gap != "" {
			squad.Missing = append(squad.Missing, CandidateGap{AthleteID: a.ID, Name: a.Name, Missing: gap})
			continue
		}
		squad.Candidates = append(squad.Candidates, m)
		estimates = append(estimates, e)
	}
	var ordered []BoatCandidate
	for band, members := range erg.Bands(estimates, bandConfidence) {
		for _, i := range members {
			m := squad.Candidates[i]
			m.Band = band + 1
			ordered = append(ordered, m)
		}
	}
	if ordered != nil {
		squad.Candidates = ordered
	}
	g.tellApart(squad.Candidates)
	return squad
}

// tellApart puts the year of birth, or the number on record, behind a name that
// several candidates bear.
func (g *squadRecords) tellApart(candidates []BoatCandidate) {
	born, count := map[int64]string{}, map[string]int{}
	for i := range g.athletes {
		born[g.athletes[i].ID] = or(g.athletes[i].BirthDate, "")
	}
	addition := func(c *BoatCandidate) string {
		if year, _, ok := strings.Cut(born[c.AthleteID], "-"); ok {
			return c.Name + " (" + year + ")"
		}
		return c.Name + " (no. " + c.ID + ")"
	}
	for i := range candidates {
		count[candidates[i].Name]++
		count[addition(&candidates[i])]++
	}
	for i := range candidates {
		c := &candidates[i]
		switch {
		case count[c.Name] == 1:
		case count[addition(c)] == 1:
			c.Name = addition(c)
		default: // born in one year
			c.Name += " (no. " + c.ID + ")"
		}
	}
}

// member is one athlete as a candidate, or what is missing for that. The bands
// and the interval are those of the ergometer itself; what the water leaves
// open comes on top where seat orders are weighed.
func (g *squadRecords) member(a *store.Athlete, class rigging.Class) (m BoatCandidate, e erg.Estimate, gap string) {
	mass := g.powers.masses[a.ID]
	switch {
	case class.Scull && !a.Sculls:
		return m, e, "does not scull"
	case !class.Scull && a.PortCostS == nil && a.StarboardCostS == nil:
		return m, e, "rows no side"
	case mass == 0:
		return m, e, "no mass on record"
	}
	power, ok := g.powers.of(a.ID)
	if !ok {
		return m, e, "no usable ergometer test"
	}
	e = power.land
	m = BoatCandidate{
		AthleteID: a.ID, Tests: power.tests, Source: "ergometer", LowW: round(e.Low, 10), HighW: round(e.High, 10),
		Candidate: Candidate{
			ID: strconv.FormatInt(a.ID, 10), Name: a.Name, Sex: a.Sex, MassKg: mass,
			PowerW: round(e.Power, 10), PowerSdW: round(power.water.SD, 10), Curve: g.curves[a.ID],
		},
	}
	if !class.Scull {
		m.Sides = &SideCosts{Port: a.PortCostS, Starboard: a.StarboardCostS}
	}
	return m, e, ""
}

// raced puts the powers that a seat-race trial has shown in the place of those
// from the ergometer, with their covariance. Athletes who did not race keep
// theirs, as independent.
func (s *Service) raced(ctx context.Context, squad *BoatSquad, trial int64) error {
	power, err := s.TrialPower(ctx, TrialPowerRequest{ID: trial})
	if err != nil {
		return err
	}
	at := map[int64]int{}
	for i, a := range power.Athletes {
		at[a.AthleteID] = i
	}
	n := len(squad.Candidates)
	squad.PowerCovarianceW2 = make([][]float64, n)
	for i := range squad.Candidates {
		c := &squad.Candidates[i]
		squad.PowerCovarianceW2[i] = make([]float64, n)
		squad.PowerCovarianceW2[i][i] = c.PowerSdW * c.PowerSdW
		k, ok := at[c.AthleteID]
		if !ok {
			continue
		}
		c.PowerW, c.PowerSdW, c.Source = power.Athletes[k].PowerW, power.Athletes[k].SdW, "racing"
		for j := range i + 1 {
			if l, ok := at[squad.Candidates[j].AthleteID]; ok {
				squad.PowerCovarianceW2[i][j], squad.PowerCovarianceW2[j][i] = power.CovarianceW2[k][l], power.CovarianceW2[k][l]
			}
		}
	}
	squad.Notes = append(squad.Notes, power.Notes...)
	squad.Notes = append(squad.Notes, fmt.Sprintf("Race powers of %d athletes come from seat racing.", len(at)))
	return nil
}
