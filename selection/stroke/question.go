package stroke

import (
	"fmt"
	"math"

	"thole/rigging"
)

// QuestionKind is what a [Question] is about.
type QuestionKind string

// The kinds of questions.
const (
	AskSite       QuestionKind = "site"        // handle or gate
	AskUnit       QuestionKind = "unit"        // of a column that names none
	AskAngleZero  QuestionKind = "angle_zero"  // the oar angle does not read 0 with the oar square
	AskForceZero  QuestionKind = "force_zero"  // the force does not read 0 at rest
	AskForceDrift QuestionKind = "force_drift" // the force at rest changes
)

// Question is something that only the user can answer, with what the
// recording says about it.
//
// No file tells for certain whether its force is that at the handle or at the gate, in
// which unit a bare number stands, or where its sensors have their zeros; the field of
// the [Mapping] that answers it says so.
type Question struct {
	Kind  QuestionKind
	Oar   Oar
	Place        // with the field that answers it
	Text  string // for the user
	// Measured raised the question and Proposed is put to the user for the
	// field: rad for an angle, N for a force; 0 where there is none.
	Measured, Proposed float64
	Units              []Unit // for AskUnit those that are possible, the likeliest first
}

// Where the middle of the arc lies, and what is asked about. Adults row about
// 66° before square and 44° after it in sculls, 56° and 34° in sweep boats
// (V. Kleshnev, Rowing Biomechanics Newsletter; from memory), so that the
// middle lies some 11° before square. A rig moves it by a few degrees; the
// bounds are a judgement of this package.
const (
	midArc      = -11 * float64(rigging.Degree)
	midArcOff   = 12 * float64(rigging.Degree) // from midArc, beyond which is asked
	wholeArc    = 60 * float64(rigging.Degree) // below it a drill on part of the slide may lie anywhere
	squareOff   = 15 * float64(rigging.Degree) // of an offset from 90°, within which square reads 90°
	rightAngle  = 90 * float64(rigging.Degree)
	restLeast   = 10.0 // N at rest, below which nothing is asked
	restPart    = 0.03 // of the peak at rest, above which is asked: work is then off by 5 %
	driftLeast  = 15.0 // N over the recording
	driftPart   = 0.04 // of the peak over the recording
	driftSure   = 5.0  // times its standard error, so that noise does not ask
	driftFewest = 10   // strokes
)

// askZeros questions where the sensors of an oar have their zeros.
func (o *OarReport) askZeros(rest *line, followed bool) {
	if o.Count == 0 {
		return
	}
	o.askAngleZero()
	if !followed && !o.askDrift(rest) {
		o.askForceZero(rest.y.mean)
	}
}

// askAngleZero compares the middle of the arc with where rowers have it.
func (o *OarReport) askAngleZero() {
	catch, finish := o.Features[CatchAngle].Mean, o.Features[FinishAngle].Mean
	off := (catch+finish)/2 - midArc
	if finish-catch < wholeArc || math.Abs(off) <= midArcOff {
		return
	}
	proposed := math.Round(off/float64(rigging.Degree)) * float64(rigging.Degree)
	text := fmt.Sprintf("the oar%s goes from %.0f° to %.0f°, where rowers reach further before square than after it: does the gate read %.0f° with the oar square?",
		of(o.Oar), rigging.Angle(catch).Degrees(), rigging.Angle(finish).Degrees(), rigging.Angle(proposed).Degrees())
	if math.Abs(math.Abs(off)-rightAngle) <= squareOff {
		proposed = math.Copysign(rightAngle, off)
		text = fmt.Sprintf("the oar%s goes from %.0f° to %.0f°: does the file count from the keel, so that %.0f° is square?",
			of(o.Oar), rigging.Angle(catch).Degrees(), rigging.Angle(finish).Degrees(), rigging.Angle(proposed).Degrees())
	}
	o.ask(Question{Kind: AskAngleZero, Place: Place{Field: rigging.PlaceOf("zeros", "angle_deg")}, Text: text, Measured: off, Proposed: proposed})
}

// askForceZero looks at the force on the recovery, where nothing is pulled.
func (o *OarReport) askForceZero(rest float64) {
	peak := o.Features[PeakForce].Mean
	if math.Abs(rest) <= max(restLeast, restPart*peak) {
		return
	}
	proposed := math.Round(rest)
	o.ask(Question{Kind: AskForceZero, Place: Place{Field: rigging.PlaceOf("zeros", "force_n")}, Measured: rest, Proposed: proposed,
		Text: fmt.Sprintf("the force%s stands at %.3g N on the recovery, %.0f %% of the peak: was the sensor zeroed? Take %.0f N off every reading, or peak, slip and work are off by it",
			of(o.Oar), rest, 100*rest/peak, proposed)})
}

// askDrift looks at how the force on the recovery runs over the recording; it
// reports whether it asked.
func (o *OarReport) askDrift(rest *line) bool {
	slope, sure := rest.slope()
	change := slope * (rest.last - rest.first)
	peak := o.Features[PeakForce].Mean
	if rest.y.n < driftFewest || math.Abs(change) <= max(driftLeast, driftPart*peak) || !sure {
		return false
	}
	o.ask(Question{Kind: AskForceDrift, Place: Place{Field: rigging.PlaceOf("zeros", "follow_rest")}, Measured: change,
		Text: fmt.Sprintf("the force%s on the recovery runs from %.3g to %.3g N in the course of the recording: take the zero again from each recovery?",
			of(o.Oar), rest.at(rest.first), rest.at(rest.last))})
	return true
}

func (o *OarReport) ask(q Question) {
	q.Oar = o.Oar
	o.Questions = append(o.Questions, q)
	o.Warnings = append(o.Warnings, Warning{string(q.Kind), q.Text, q.Place})
}

// line gathers a straight line y over x, x ascending.
type line struct {
	x, y        moments
	xy          float64 // Σ (x − mean x)(y − mean y)
	first, last float64
}

func (l *line) add(x, y float64) {
	if l.x.n == 0 {
		l.first = x
	}
	l.last = x
	d := x - l.x.mean
	l.x.add(x)
	l.y.add(y)
	l.xy += d * (y - l.y.mean)
}

// slope returns the least-squares slope, and whether it is driftSure times its
// standard error.
func (l *line) slope() (slope float64, sure bool) {
	if l.x.n < 3 || l.x.sumSq == 0 {
		return 0, false
	}
	slope = l.xy / l.x.sumSq
	left := max(l.y.sumSq-slope*l.xy, 0) / (l.x.n - 2)
	return slope, slope*slope > driftSure*driftSure*left/l.x.sumSq
}

func (l *line) at(x float64) float64 {
	slope, _ := l.slope()
	return l.y.mean + slope*(x-l.x.mean)
}
