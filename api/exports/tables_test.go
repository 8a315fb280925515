package exports_test

import (
	"math"
	"strconv"
	"testing"

	"thole/api/apitest"
	"thole/api/exports"
	"thole/api/strokefile"
	"thole/api/strokes"
	"thole/api/table"
)

// cells are the rows of a table by the headings of its columns.
func cells(t *testing.T, of table.Table) []map[string]string {
	t.Helper()
	var rows []map[string]string
	for _, row := range of.Rows()[1:] {
		if len(row) != len(of.Columns) {
			t.Fatalf("a row of %d cells in a table of %d columns", len(row), len(of.Columns))
		}
		r := map[string]string{}
		for i, c := range of.Columns {
			r[c.Heading] = row[i]
		}
		rows = append(rows, r)
	}
	return rows
}

func number(t *testing.T, cell string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(cell, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func recordings() exports.Recordings { return exports.Recordings{Service: apitest.Service.Strokes} }

// catchHeading heads the catch, in degrees.
var catchHeading = exports.Heading(exports.FeatureNamed("catch_deg"))

func TestHeadingsCarryTheUnit(t *testing.T) {
	if f := exports.FeatureNamed("catch_deg"); exports.Heading(f) != f.Label+", "+f.Unit || f.Unit == "" {
		t.Errorf("%q", exports.Heading(f))
	}
	for i := range strokefile.Features {
		if f := &strokefile.Features[i]; f.Unit == "" && exports.Heading(f) != f.Label {
			t.Errorf("%q has no unit", exports.Heading(f))
		}
	}
	defer func() {
		if recover() == nil {
			t.Error("a feature that is none was found")
		}
	}()
	exports.FeatureNamed("none")
}

// TestTheTableOfStrokesCountsFromOne holds a four of 40 s at a stroke every 2 s.
func TestTheTableOfStrokesCountsFromOne(t *testing.T) {
	id := apitest.CrewOnRecord(t)[0]
	of, name, err := recordings().StrokeTable(t.Context(), strokes.RecordingRequest{ID: id})
	if err != nil || name == "" {
		t.Fatal(name, err)
	}
	rows := cells(t, of)
	if len(rows) < 15 {
		t.Fatalf("%d strokes", len(rows))
	}
	last := -1.0
	for i, r := range rows {
		if r["Stroke"] != strconv.Itoa(i+1) || number(t, r["Begins, s"]) <= last {
			t.Fatalf("row %d: %v", i, r)
		}
		last = number(t, r["Begins, s"])
		if c := number(t, r[catchHeading]); math.Abs(c+49) > 1.5 {
			t.Errorf("stroke %d: catch %v, generated −49", i+1, c)
		}
	}
}

func TestTheTableOfRecordings(t *testing.T) {
	apitest.CrewOnRecord(t)
	of, _, err := recordings().RecordingTable(t.Context(), strokes.RecordingsRequest{})
	if err != nil {
		t.Fatal(err)
	}
	rows := cells(t, of)
	if len(rows) < 4 {
		t.Fatalf("%d recordings", len(rows))
	}
	if c := number(t, rows[0][catchHeading]); !(c < -40 && c > -60) {
		t.Errorf("%v", rows[0])
	}
}

// TestTheTableOfTwoRecordings: the first reaches 6.2° less than the third, and both
// hold as many strokes.
func TestTheTableOfTwoRecordings(t *testing.T) {
	crew := apitest.CrewOnRecord(t)
	of, _, err := recordings().ComparisonTable(t.Context(), strokes.CompareRequest{A: crew[0], B: crew[2]})
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range cells(t, of) {
		a, b := number(t, r["First, mean"]), number(t, r["Second, mean"])
		if d := number(t, r["Difference"]); math.Abs(d-(a-b)) > 1e-3 {
			t.Errorf("%v: %v less %v is told as %v", r["Feature"], a, b, d)
		}
		if r["Feature"] == exports.FeatureNamed("catch_deg").Label && math.Abs(a-b-6.2) > .3 {
			t.Errorf("catch %v and %v", a, b)
		}
	}
	if len(of.Rows()) < 8 {
		t.Errorf("%d features", len(of.Rows()))
	}
	// One without the vertical angle lacks the features that need it.
	one, _, err := recordings().ComparisonTable(t.Context(), strokes.CompareRequest{A: crew[0], B: apitest.Sculled(t)[0]})
	if err != nil || len(one.Rows()) >= len(of.Rows()) {
		t.Errorf("%d features with a recording that measures less, %d, %v", len(one.Rows()), len(of.Rows()), err)
	}
}

func TestTablesOfWhatIsNotThere(t *testing.T) {
	if _, _, err := recordings().StrokeTable(t.Context(), strokes.RecordingRequest{ID: 987654}); err == nil {
		t.Error("strokes of no recording")
	}
	if _, _, err := recordings().ComparisonTable(t.Context(), strokes.CompareRequest{A: 987654, B: 987655}); err == nil {
		t.Error("two recordings that are none")
	}
}
