package stroke

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"

	"thole/rigging"
)

// CurveAxis is what mean curves are written over.
type CurveAxis int

// The axes of mean curves.
const (
	OverShare CurveAxis = iota // share of the drive, of its arc or of its time
	OverAngle                  // oar angle
)

// String returns the axis in words.
func (a CurveAxis) String() string {
	if a == OverAngle {
		return "oar angle"
	}
	return "share of the drive"
}

// MeanCurve is a force over the drive as a file has it.
type MeanCurve struct {
	Name  string
	Force [Nodes]float64 // N, from catch to finish
}

// CurveTable is a file of mean force curves instead of a recording: one column
// of the oar angle or of the share of the drive, and the others forces.
type CurveTable struct {
	Axis          CurveAxis
	Catch, Finish rigging.Angle // where the curves begin and end, for OverAngle
	Unit          Unit          // the forces were written in
	Curves        []MeanCurve
	Questions     []Question // about the unit
}

// ReadCurves reads a whole file of mean curves. force is the unit of the
// forces, None as the file names it, or N. It errs, with a *FileError, for a
// file that is no table of mean curves, and with a *rigging.FieldError for a
// unit that measures no force.
func ReadCurves(file []byte, force Unit) (CurveTable, error) {
	if force != None && !force.Measures(Force) {
		return CurveTable{}, wrong(rigging.ProblemMismatch, "the unit measures no force", "unit")
	}
	if err := checkText(file[:min(len(file), SampleSize)]); err != nil {
		return CurveTable{}, err
	}
	f, err := findForm(bytes.TrimPrefix(file, byteOrderMark))
	if err != nil {
		return CurveTable{}, err
	}
	t, ok := f.curves(force)
	if !ok {
		return CurveTable{}, &FileError{Text: "these are no mean curves: one column that runs evenly through the oar angle or from 0 to 100 % of the drive, and columns of force, are expected"}
	}
	return t, nil
}

// The number of nodes of a table of mean curves; below there is no curve, and
// longer ones are recordings. Judgements of this package.
const (
	fewestNodes = 8
	mostNodes   = 1000
	leastCurve  = 3.0 // the peak of a curve in the numbers of the file
)

// curves reads the table as mean curves; ok is false when it is none.
func (f *form) curves(force Unit) (t CurveTable, ok bool) {
	if len(f.rows) < fewestNodes || len(f.rows) > mostNodes {
		return t, false
	}
	names := f.names()
	heads, timed := curveHeadings(names)
	axis, at, ok := f.axis(names, heads)
	if timed || !ok {
		return t, false
	}
	t.Axis = at
	x, _ := f.column(axis)
	turned := x[0] > x[len(x)-1]
	if turned {
		slices.Reverse(x)
	}
	if at == OverAngle {
		t.setArc(x, heads[axis].unit)
	}
	t.Unit = force
	for i := range names {
		if i != axis {
			f.addCurve(&t, i, names[i], &heads[i], x, turned)
		}
	}
	t.settle(force == None)
	return t, len(t.Curves) > 0
}

// curveHeadings reads the names of the columns; timed reports whether one holds
// the time of a recording.
func curveHeadings(names []string) (heads []heading, timed bool) {
	for _, name := range names {
		h := readHeading(name)
		timed = timed || h.known && h.quantity == Time && !isShareName(name)
		heads = append(heads, h)
	}
	return heads, timed
}

// setArc notes between which angles the curves lie; a unit of None is taken
// from the numbers.
func (t *CurveTable) setArc(x []float64, unit Unit) {
	if unit == None {
		unit = unitOf(OarAngle, x)
	}
	t.Catch, t.Finish = rigging.Angle(x[0]*units[unit].si), rigging.Angle(x[len(x)-1]*units[unit].si)
}

// axis finds the column the others are written over.
func (f *form) axis(names []string, heads []heading) (column int, axis CurveAxis, ok bool) {
	for i := range heads {
		x, numbers := f.column(i)
		if !numbers || len(x) != len(f.rows) || !runsOneWay(x) {
			continue
		}
		low, high := min(x[0], x[len(x)-1]), max(x[0], x[len(x)-1])
		isAngle := heads[i].known && heads[i].quantity == OarAngle
		switch {
		case isShare(low, high) && (isShareName(names[i]) || !heads[i].known):
			return i, OverShare, true
		case (isAngle || names[i] == "") && isArc(low, high):
			return i, OverAngle, true
		}
	}
	return 0, 0, false
}

func runsOneWay(x []float64) bool {
	up := x[len(x)-1] > x[0]
	for i := 1; i < len(x); i++ {
		if (x[i] > x[i-1]) != up || x[i] == x[i-1] {
			return false
		}
	}
	return true
}

// isShare reports whether a column runs over the whole drive, in per cent or as
// a share.
func isShare(low, high float64) bool {
	return low == 0 && (high == 1 || high == 100)
}

func isShareName(name string) bool {
	words := wordsOf(name)
	return strings.Contains(name, "%") || slices.ContainsFunc(words, func(w string) bool {
		return slices.Contains([]string{"pct", "percent", "prozent", "share", "drive", "node"}, w)
	})
}

// isArc reports whether a column runs from a catch to a finish: over 30 to 150°, which
// no arc is outside (our judgement), or the like in radians.
func isArc(low, high float64) bool {
	return low < 0 && high > 0 && (high-low > 30 && high-low < 150 || looksRadian(low, high))
}

// addCurve adds a column when it holds a force over the drive: a hump that
// begins and ends below half of its peak.
func (f *form) addCurve(t *CurveTable, i int, name string, h *heading, x []float64, turned bool) {
	y, ok := f.column(i)
	if !ok || len(y) != len(x) || h.known && h.quantity != Force {
		return
	}
	if turned {
		slices.Reverse(y)
	}
	peak := slices.Max(y)
	if peak < leastCurve || max(y[0], y[len(y)-1]) > peak/2 || -slices.Min(y) > peak/2 {
		return
	}
	if h.known && t.Unit == None {
		t.Unit = h.unit
	}
	if name == "" {
		name = fmt.Sprintf("column %d", i+1)
	}
	c := MeanCurve{Name: name}
	resample(x, y, &c.Force)
	t.Curves = append(t.Curves, c)
}

// settle turns the forces into N, and asks where the unit was not said.
func (t *CurveTable) settle(ask bool) {
	top := 0.0
	for i := range t.Curves {
		top = max(top, slices.Max(t.Curves[i].Force[:]))
	}
	if t.Unit == None {
		t.Unit = Newton
		if possible := possibleUnits(top); ask && top < askBelow && len(possible) > 0 {
			t.Unit = possible[0]
			t.Questions = append(t.Questions, Question{Kind: AskUnit, Place: Place{Field: rigging.PlaceOf("unit")}, Units: possible,
				Text: fmt.Sprintf("the forces name no unit and reach %.3g: %s is taken until you say", top, t.Unit), Measured: top * units[t.Unit].si})
		}
	}
	for i := range t.Curves {
		for k := range t.Curves[i].Force {
			t.Curves[i].Force[k] *= units[t.Unit].si
		}
	}
}

// String reports what was found, for the user.
func (t *CurveTable) String() string {
	over := "0 to 100 % of the drive"
	if t.Axis == OverAngle {
		over = fmt.Sprintf("oar angles of %.0f° to %.0f°", math.Round(t.Catch.Degrees()), math.Round(t.Finish.Degrees()))
	}
	return fmt.Sprintf("%d mean curves over %s", len(t.Curves), over)
}
