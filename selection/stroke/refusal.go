package stroke

// Fault is the kind of reason for which a row is refused.
type Fault string

// The faults of a row.
const (
	FaultCells      Fault = "cells"      // too few or too many cells
	FaultNumber     Fault = "number"     // a cell that is no number
	FaultImpossible Fault = "impossible" // a number no rower reaches
	FaultTime       Fault = "time"       // no time
	FaultOrder      Fault = "order"      // the time does not run forward
	FaultSeat       Fault = "seat"       // no seat, or a side that is not known
	FaultLong       Fault = "long"       // a line without end
)

// Refusal is one refused row.
type Refusal struct {
	Place  // the line, and the column where one cell is at fault
	Fault  Fault
	Reason string // for the user
}

// MaxListed is how many refused rows are listed, all of them being counted;
// engineering judgement: nobody reads more.
const MaxListed = 200

// Refusals counts the rows of which something could not be used. Of a row
// that holds several oars, only what is wrong is left out.
type Refusals struct {
	Count   int64
	ByFault map[Fault]int64
	Listed  []Refusal // the first MaxListed
}

// add counts a refusal; where and reason are asked only when it will be listed.
func (r *Refusals) add(fault Fault, where func() Place, reason func() string) {
	if r.ByFault == nil {
		r.ByFault = map[Fault]int64{}
	}
	r.Count++
	r.ByFault[fault]++
	if len(r.Listed) < MaxListed {
		r.Listed = append(r.Listed, Refusal{where(), fault, reason()})
	}
}

// Warning is something the user should look at before trusting a result.
type Warning struct {
	Code  string // fixed, for programs
	Text  string // a sentence for the user
	Place        // what it points at
}
