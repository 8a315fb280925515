package selection

// Match is a word for how well force curves match.
type Match string

// The matches, by the distance D of two shapes, from 0 for equal ones to 1.
// Where they begin is our own judgement, made on triangles: with peaks a
// twentieth of the drive apart they have a D of 0.05, a tenth apart of 0.09.
const (
	CloseMatch Match = "close" // D up to 0.05
	FairMatch  Match = "fair"  // D up to 0.10
	PoorMatch  Match = "poor"

	CloseTo = 0.05
	FairTo  = 0.10
)

// MatchOf returns how well curves match by their distance D, or by the mean of
// the distances of a crew.
func MatchOf(d float64) Match {
	switch {
	case d <= CloseTo:
		return CloseMatch
	case d <= FairTo:
		return FairMatch
	}
	return PoorMatch
}
