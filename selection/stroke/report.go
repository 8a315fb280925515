package stroke

// Report is what one file gave.
type Report struct {
	Bytes      int64
	Rows       int64 // below the header, blank lines apart
	Refused    Refusals
	Thresholds Thresholds  // that every slip refers to
	Day        Day         // as the time stamps tell it
	Force      Site        // at which every force was measured
	Oars       []OarReport // seats in order, numbers first; port before starboard
	Warnings   []Warning
}

// OarReport is what one oar did.
type OarReport struct {
	Oar        Oar
	Samples    int64   // used
	Missing    int64   // rows in which angle or force was blank or refused
	Spikes     int64   // single samples left out because no oar moves so fast
	SampleRate float64 // Hz, the median over the beginning of the file
	LeftOut    LeftOut
	Strokes    []Stroke // at most MaxStrokes in a report
	Count      int      // of all strokes, listed or not
	Features   [FeatureCount]Summary
	Curve      Curve
	Rates      []RateGroup // the same by rate, the slowest first; one where the rate was steady
	Warnings   []Warning
	Questions  []Question // about its zeros
}

// MaxStrokes is how many strokes a report lists, all oars together, so that a
// season in one file does not fill the memory. Means, deviations and curves
// take in every stroke.
const MaxStrokes = 50_000

// Seat is one rower of a report: one oar in sweep, two in sculling.
type Seat struct {
	Name  string
	Oars  []*OarReport
	Power float64 // mean power of both hands together, W; 0 without levers
	// Curve is the mean force of both hands together over the arc, N; nil
	// unless every oar has strokes.
	Curve []float64
}

// Seats gathers the oars of each rower, in the order of the report.
func (r *Report) Seats() []Seat {
	var seats []Seat
	for i := range r.Oars {
		o := &r.Oars[i]
		if n := len(seats); n == 0 || seats[n-1].Name != o.Oar.Seat {
			seats = append(seats, Seat{Name: o.Oar.Seat})
		}
		s := &seats[len(seats)-1]
		s.Oars = append(s.Oars, o)
	}
	for i := range seats {
		seats[i].join()
	}
	return seats
}

// join adds up the hands.
func (s *Seat) join() {
	sum := make([]float64, Nodes)
	whole := true
	for _, o := range s.Oars {
		s.Power += o.Features[Power].Mean
		whole = whole && o.Count > 0
		for k, f := range o.Curve.ByAngle.Mean {
			sum[k] += f
		}
	}
	if whole {
		s.Curve = sum
	}
}
