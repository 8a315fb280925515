package wire

import (
	"errors"
	"fmt"
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"thole/rigging"
)

// Merge takes in the complaints of an *Invalid about a part that stands at a
// place.
func (p *Problems) Merge(at Place, err error) {
	var bad *Invalid
	if errors.As(err, &bad) {
		for _, f := range bad.Fields {
			p.Add(f.at(at.Join(f.Place())))
		}
	}
}

// Place returns where the field stands.
func (f *FieldProblem) Place() Place { return Place{f.Field, strings.TrimPrefix(f.Pointer, "#")} }

// at returns the complaint as one about another place.
func (f FieldProblem) at(place Place) FieldProblem {
	f.Field, f.Pointer = place.Field, "#"+place.Pointer
	return f
}

// Move returns an *Invalid with its complaints about one part carried over to
// another place, and any other error as it is.
func Move(err error, from, to Place) error {
	var bad *Invalid
	if !errors.As(err, &bad) {
		return err
	}
	var p Problems
	for _, f := range bad.Fields {
		if inner, ok := f.Place().Under(from); ok {
			f = f.at(to.Join(inner))
		}
		p.Add(f)
	}
	return p.OrNil()
}

// Unreadable is the error of a file that is no table of measurements.
type Unreadable struct{ Text string }

// Error returns the sentence.
func (e *Unreadable) Error() string { return e.Text }

// Problem answers 422 with the sentence.
func (e *Unreadable) Problem() Problem {
	return Problem{Status: http.StatusUnprocessableEntity, Detail: e.Text}
}

// FieldProblem says in people's units what is wrong with one field.
type FieldProblem struct {
	// Field is the path of the field with its unit, as in seat.span_cm.
	Field string `json:"field" description:"Path of the field with its unit, such as seat.span_cm."`
	// Pointer is the same as a JSON pointer.
	Pointer string `json:"pointer" description:"The same place as a JSON pointer (RFC 6901) into the request."`
	Detail  string `json:"detail" description:"What is wrong, in the field's unit."`

	Row    int    `json:"row,omitempty" description:"Of a table that was sent, as the file counts its rows."`
	Column string `json:"column,omitempty" description:"Of that row, by its heading."`
}

// Invalid is the error of data that can be mended: one entry a field.
type Invalid struct{ Fields []FieldProblem }

// Failure is an error that says how it is answered.
type Failure interface {
	error
	// Problem returns status and members; the rest is filled in by who sends it.
	Problem() Problem
}

// Refusal is an error that is answered in its own words.
type Refusal struct {
	Status int
	Text   string
	Type   string // name of one of the [ProblemTypes]; "" for that of the status
}

// Error returns the words.
func (e *Refusal) Error() string { return e.Text }

// Problem answers with the words as a sentence.
func (e *Refusal) Problem() Problem {
	return Problem{Type: e.Type, Status: e.Status, Detail: Sentence(e.Text)}
}

// Problem answers 422 with an entry a field.
func (e *Invalid) Problem() Problem {
	return Problem{Status: http.StatusUnprocessableEntity, Detail: "Some values need checking.", Errors: e.Fields}
}

// Problem answers 422 with the limit.
func (e *Unreachable) Problem() Problem {
	return Problem{Status: http.StatusUnprocessableEntity, Detail: e.Text, Limit: e.Limit}
}

// Error joins the entries.
func (e *Invalid) Error() string {
	texts := make([]string, len(e.Fields))
	for i, f := range e.Fields {
		texts[i] = f.Field + ": " + f.Detail
	}
	return strings.Join(texts, "; ")
}

// Problem is an error on the wire, as RFC 9457 has it.
type Problem struct {
	Type   string         `json:"type" description:"Address that explains this kind of problem."`
	Title  string         `json:"title" description:"Of the kind of problem."`
	Status int            `json:"status" description:"The status of the answer once more."`
	Detail string         `json:"detail,omitempty"`
	Limit  string         `json:"limit,omitempty" description:"Which limit stops the body, where the rig cannot be rowed."`
	Rules  []string       `json:"rules,omitempty" description:"Rules that no line-up can keep together."`
	Spare  *bool          `json:"irreducible,omitempty" description:"Any of the rules left out, the others can be kept."`
	Least  *bool          `json:"smallest,omitempty" description:"No fewer rules are in conflict."`
	Errors []FieldProblem `json:"errors,omitempty" description:"One entry a field."`

	Version int64          `json:"version,omitempty" description:"Of the record as it stands, where it has moved on."`
	Changes []RecordChange `json:"changes,omitempty" description:"What others changed since the version that was sent, oldest first."`
}

// RecordChange is one value of a record that was changed.
type RecordChange struct {
	Version int64     `json:"version" description:"Of the record, after the change."`
	At      time.Time `json:"at"`
	By      string    `json:"by"`
	What    string    `json:"what" description:"The field's name with its unit, such as hull_mass_kg or seat 3 span_cm."`
	From    *string   `json:"from" description:"As text; null for no value."`
	To      *string   `json:"to" description:"As text; null for no value."`

	Field     string `json:"field" description:"The field's name alone, as requests have it, such as span_cm."`
	Seat      int    `json:"seat" description:"Of a boat or a line-up, 1 is bow; 0 for none."`
	Piece     int    `json:"piece" description:"Of a seat race; 0 for none."`
	PieceBoat int    `json:"piece_boat" description:"Of the piece, from 1; 0 for none."`
	AthleteID int64  `json:"athlete_id" description:"Who takes part in the seat race; 0 for none."`
	Athlete   string `json:"athlete" description:"The athlete's name; empty for none."`
	TestedOn  string `json:"tested_on" description:"Day of the ergometer test, YYYY-MM-DD; empty for none."`

	// FromRange and ToRange are what the field could be set to, where that was
	// changed; From and To tell them as text.
	FromRange, ToRange *ChangedRange `json:"-"`
}

// Ranged reports whether what the field can be set to was changed, and not the
// field.
func (c *RecordChange) Ranged() bool { return c.FromRange != nil || c.ToRange != nil }

// ChangedRange is what a setting can be set to, in its unit.
type ChangedRange struct {
	Min  float64
	Max  float64
	Step float64
	Cost float64 // of moving it at all
}

// ErrNotFound is wrapped by errors about a thing that is not on record.
var ErrNotFound = &Refusal{Status: http.StatusNotFound, Text: "not found"}

// Unreachable is the error of a rig that the body cannot row.
type Unreachable struct {
	Limit string // a rigging.Limit
	Text  string
}

// Error returns the sentence that names the limit.
func (e *Unreachable) Error() string { return e.Text }

// Problems collects the domain's complaints about several parts of a request.
type Problems struct{ Fields []FieldProblem }

// AddError takes in a domain error about a part that stands at a place. It
// returns false when err is no complaint about data.
func (p *Problems) AddError(at Place, err error, names ...Names) bool {
	list, ok := FieldErrors(err)
	for _, e := range list {
		p.Add(at.At(e.Place, names...).Problem(Describe(e)))
	}
	return ok
}

// FieldErrors lists the complaints about values that a domain error holds; ok is
// false for an error of another kind.
func FieldErrors(err error) (list rigging.FieldErrors, ok bool) {
	var one *rigging.FieldError
	switch {
	case err == nil:
		return nil, true
	case errors.As(err, &list):
		return list, true
	case errors.As(err, &one):
		return rigging.FieldErrors{one}, true
	}
	return nil, false
}

// MaxProblems bounds an answer; our judgement: nobody mends more at once.
const MaxProblems = 100

func (p *Problems) Full() bool { return len(p.Fields) >= MaxProblems }

// Add adds a complaint unless its field has one already.
func (p *Problems) Add(f FieldProblem) {
	if !p.Full() && !slices.ContainsFunc(p.Fields, func(g FieldProblem) bool { return g.Pointer == f.Pointer }) {
		p.Fields = append(p.Fields, f)
	}
}

// OrNil returns the complaints as an error, or nil when there are none.
func (p *Problems) OrNil() error {
	if len(p.Fields) == 0 {
		return nil
	}
	return &Invalid{Fields: p.Fields}
}

// DomainError carries an error of the domain over to the edge.
func DomainError(err error, names ...Names) error {
	var reach *rigging.ReachError
	if errors.As(err, &reach) {
		return &Unreachable{Limit: string(reach.Limit), Text: Sentence(reach.Error())}
	}
	var p Problems
	if p.AddError(Place{}, err, names...) {
		return p.OrNil()
	}
	return err
}

// spoken are the symbols of numbers that are no quantity of the domain.
var spoken = map[rigging.Field]string{
	"likeness": "s", "yaw": "s", "cost": "s", "sides": "s", "power": "W", "power_sd": "W",
}

// unitOf reports how people read the number of a field.
func unitOf(e *rigging.FieldError) Unit {
	u := Units[e.Quantity]
	if e.Quantity == rigging.Count {
		u.symbol = spoken[e.Place.Last()]
	}
	return u
}

// Describe writes the problem of one field in people's units.
func Describe(e *rigging.FieldError) string { return describeIn(e, unitOf(e)) }

// describeIn writes the problem of one field in a unit.
func describeIn(e *rigging.FieldError, u Unit) string {
	switch e.Problem {
	case rigging.ProblemRange:
		switch {
		case math.IsInf(e.High, 1):
			return fmt.Sprintf("%s cannot be right: %s is the least.", Amount(e.Value, u), Amount(e.Low, u))
		case math.IsInf(e.Low, -1):
			return fmt.Sprintf("%s cannot be right: %s is the most.", Amount(e.Value, u), Amount(e.High, u))
		}
		text := fmt.Sprintf("%s cannot be right: the plausible range is %s to %s.", Amount(e.Value, u), Bare(e.Low, u), Amount(e.High, u))
		return text + mixUp(e, u)
	case rigging.ProblemMissing:
		if e.High > e.Low {
			return fmt.Sprintf("This measure is needed: from %s to %s.", Bare(e.Low, u), Amount(e.High, u))
		}
	}
	return Sentence(e.Detail)
}

// Sentence gives text a capital and a full stop.
func Sentence(text string) string {
	text = strings.ToUpper(text[:1]) + text[1:]
	if !strings.HasSuffix(text, ".") {
		text += "."
	}
	return text
}

// Amount writes an SI value in people's units with the symbol.
func Amount(si float64, u Unit) string {
	text := Bare(si, u)
	switch u.symbol {
	case "":
		return text
	case "°":
		return text + "°"
	}
	return text + " " + u.symbol
}

// Bare writes an SI value in people's units, with a true minus sign and no
// more digits than a tape can tell. Values that make no sense are reported as they
// are.
func Bare(si float64, u Unit) string {
	v := si * u.Factor
	if !(math.Abs(v) < 1e6) { // NaN, too
		return strconv.FormatFloat(v, 'g', 3, 64)
	}
	digits := u.Digits
	if math.Abs(v) < math.Pow10(-u.Digits) || math.Abs(v) < 10 && u.symbol == "cm" {
		digits = 2
	}
	return Trimmed(digits, v)
}

// mixUps lists the units people take for one another, by the factor that mends the
// value, exact by definition of the units.
var mixUps = map[rigging.Quantity][]struct {
	factor float64
	looks  string
}{
	rigging.Length: {{100, "metres"}, {0.1, "millimetres"}, {CmPerInch, "inches"}, {12 * CmPerInch, "feet"}},
	rigging.Plane:  {{-1, "the other sign"}},
	rigging.Mass:   {{rigging.Pound, "pounds"}, {0.001, "grams"}, {14 * rigging.Pound, "stones"}},
}

// mixUp proposes what the value might have been meant as.
func mixUp(e *rigging.FieldError, u Unit) string {
	for _, m := range mixUps[e.Quantity] {
		if v := e.Value * m.factor; v >= e.Low && v <= e.High {
			return fmt.Sprintf(" It looks like %s: %s?", m.looks, Amount(v, u))
		}
	}
	return ""
}

// Within complains about an optional value out of range; all three are in the
// wire's unit of q.
func (p *Problems) Within(at Place, q rigging.Quantity, value *float64, low, high float64) {
	if value == nil || *value >= low && *value <= high {
		return
	}
	si := 1 / Units[q].Factor
	p.Add(at.Problem(Describe(&rigging.FieldError{
		Problem: rigging.ProblemRange, Quantity: q, Value: *value * si, Low: low * si, High: high * si,
	})))
}
