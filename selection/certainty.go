package selection

// Certainty is a word for how sure a choice between two is.
type Certainty string

// The certainties. Where they begin is our own judgement: what holds in less
// than three cases of four is worth another piece or test, what holds in more
// than nine of ten is not.
const (
	Open   Certainty = "open"   // under 75 %
	Likely Certainty = "likely" // 75 % to 90 %
	Firm   Certainty = "firm"   // over 90 %

	LikelyFrom = 0.75 // chance from which a choice is Likely
	FirmAbove  = 0.90 // chance above which a choice is Firm
)

// CertaintyOf returns the certainty of a choice by the chance of one of its two
// outcomes, from 0 to 1. It is the same for both: a chance of 0.05 that one is
// faster makes it firm that the other is.
func CertaintyOf(chance float64) Certainty {
	switch likelier := max(chance, 1-chance); {
	case likelier > FirmAbove:
		return Firm
	case likelier >= LikelyFrom:
		return Likely
	}
	return Open
}
