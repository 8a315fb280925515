package lineup

import (
	"fmt"

	"gonum.org/v1/gonum/mat"

	"thole/api/wire"
	"thole/selection/erg"
	"thole/selection/evidence"
)

// What race powers rest on, on the wire.
const (
	powersJoined    = "joined"
	powersErgometer = "ergometer"
)

// known reports whether other evidence than tests tells of an athlete.
func (g *squadRecords) known(athlete int64) bool {
	if g.joined == nil {
		return false
	}
	_, ok := g.joined.Of(athlete)
	return ok
}

// join takes over what all evidence says of a candidate, where that is more than
// tests.
func (g *squadRecords) join(c *BoatCandidate) {
	if g.joined == nil {
		return
	}
	p, ok := g.joined.Of(c.AthleteID)
	if !ok || p.Alone == evidence.Ergometer {
		return
	}
	c.PowerW, c.PowerSdW, c.Source = wire.Round(p.W, 10), wire.Round(p.SD, 10), powersJoined
	c.LowW, c.HighW = wire.Round(p.Low, 10), wire.Round(p.High, 10)
}

// rest reports whether anybody's power rests on more than tests.
func (g *squadRecords) rest(candidates []BoatCandidate) bool {
	for i := range candidates {
		if candidates[i].Source == powersJoined {
			return true
		}
	}
	return false
}

// rankJoined ranks the candidates by their joined powers, and gives these their
// covariance where some depend on one another.
func (g *squadRecords) rankJoined(squad *BoatSquad) {
	powers, count := make([]float64, len(squad.Candidates)), 0
	for i := range squad.Candidates {
		powers[i] = squad.Candidates[i].PowerW
		if squad.Candidates[i].Source == powersJoined {
			count++
		}
	}
	covariance, _ := g.covariance(squad.Candidates)
	squad.rank(erg.JointBands(powers, covariance, erg.BandConfidence))
	if covariance, shared := g.covariance(squad.Candidates); shared {
		squad.PowerCovarianceW2 = rowsOf(covariance)
	}
	squad.Notes = append(squad.Notes, g.joined.Notes...)
	squad.Notes = append(squad.Notes, joinedNote(count))
}

// covariance is that of the powers of candidates, W²; shared where some depend
// on one another.
func (g *squadRecords) covariance(candidates []BoatCandidate) (covariance *mat.SymDense, shared bool) {
	covariance = mat.NewSymDense(len(candidates), nil)
	for i := range candidates {
		a := &candidates[i]
		covariance.SetSym(i, i, a.PowerSdW*a.PowerSdW)
		if a.Source == powersJoined {
			covariance.SetSym(i, i, g.joined.Covariance(a.AthleteID, a.AthleteID))
		}
		for j := range i {
			b := &candidates[j]
			if c := g.joined.Covariance(a.AthleteID, b.AthleteID); c != 0 {
				covariance.SetSym(i, j, c)
				shared = true
			}
		}
	}
	return covariance, shared
}

// joinedNote reports how many race powers rest on more than tests.
func joinedNote(count int) string {
	who := fmt.Sprintf("Race powers of %d athletes combine", count)
	if count == 1 {
		who = "The race power of 1 athlete combines"
	}
	return who + " tests with racing, recordings or the coach’s opinion."
}
