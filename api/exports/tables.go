// Package exports holds the tables of recordings, and the routes of the
// recordings with them.
package exports

import (
	"context"
	"slices"

	"thole/api/rest"
	"thole/api/strokefile"
	"thole/api/strokes"
	"thole/api/table"
	"thole/api/wire"
)

// Recordings as tables: one row a recording with what was measured, one row a
// stroke, and how alike the athletes' curves are.

// Recordings are the use cases of recordings with their tables.
type Recordings struct{ *strokes.Service }

// Routes lists the operations of recordings; those that list something answer
// tables, too.
func (s Recordings) Routes() []rest.Route {
	routes := s.Service.Routes()
	for i, r := range routes {
		switch r.Method + " " + r.Path {
		case "GET /api/v1/recordings":
			routes[i] = rest.Tabled(r, rest.Columns{First: recordingColumns}, s.RecordingTable)
		case "GET /api/v1/recordings/:id":
			routes[i] = rest.Tabled(r, rest.Columns{First: strokeColumns}, s.StrokeTable)
		case "GET /api/v1/recordings/compare":
			routes[i] = rest.Tabled(r, rest.Columns{First: comparisonColumns}, s.ComparisonTable)
		case "GET /api/v1/recordings/squad":
			routes[i] = rest.Tabled(r, rest.Columns{First: squadCurveColumns, More: squadCurveMore}, s.SquadCurveTable)
		}
	}
	return routes
}

// Heading is the head of a feature's column, with its unit.
func Heading(f *strokefile.Feature) string {
	if f.Unit == "" {
		return f.Label
	}
	return f.Label + ", " + f.Unit
}

// FeatureNamed returns a feature by its name.
func FeatureNamed(name string) *strokefile.Feature {
	for i := range strokefile.Features {
		if strokefile.Features[i].Name == name {
			return &strokefile.Features[i]
		}
	}
	panic("exports: no feature " + name)
}

// featureColumns heads each feature.
var featureColumns = func() (columns []table.Column) {
	for _, l := range strokefile.Features {
		columns = append(columns, table.Numbers(Heading(&l), l.Digits, "The feature "+l.Name+" of a recording; blank where it was not measured."))
	}
	return columns
}()

var recordingColumns = append(append([]table.Column{
	table.Days("Recorded on", "YYYY-MM-DD."), table.Texts("Athlete", "Who rowed; blank where nobody is named."), table.Texts("Boat", "Blank where none is named."),
	table.Texts("Seat", "As the file calls it."), table.Texts("Side", "port or starboard."), table.Texts("File", "That it came from."), table.Texts("Note", "On the recording."),
	table.Numbers("Strokes", 0, "That the means are of."), table.Texts("Slip ends when", "That every slip refers to."),
}, featureColumns...), table.Texts("Added by", "Name of the account that kept it; blank where there was none."))

// RecordingTable lists recordings with the means of their features, newest
// first.
func (s Recordings) RecordingTable(ctx context.Context, r strokes.RecordingsRequest) (table.Table, string, error) {
	t := table.New("Recordings", recordingColumns...)
	list, err := s.Recordings(ctx, r)
	if err != nil {
		return t, "", err
	}
	for i := range list.Recordings {
		c, err := s.Recording(ctx, strokes.RecordingRequest{ID: list.Recordings[i].ID})
		if err != nil {
			return t, "", err
		}
		row := []any{c.RecordedOn, c.Athlete, c.Boat, c.Seat, c.Side, c.SourceFile, c.Note, c.Oar.Strokes, c.Threshold}
		for _, l := range strokefile.Features {
			row = append(row, meanOf(c.Oar.Features, l.Name))
		}
		t.Add(append(row, c.EnteredBy)...)
	}
	return t, "recordings", nil
}

// meanOf is the mean of a feature; nil where it was not measured.
func meanOf(features map[string]strokefile.FeatureResult, name string) any {
	if f, ok := features[name]; ok {
		return f.Mean
	}
	return nil
}

var strokeColumns = append([]table.Column{table.Numbers("Stroke", 0, "From 1."), table.Numbers("Begins, s", 2, "From the start of the recording.")}, featureColumns...)

// StrokeTable lists each stroke of a recording.
func (s Recordings) StrokeTable(ctx context.Context, r strokes.RecordingRequest) (table.Table, string, error) {
	t := table.New("Strokes", strokeColumns...)
	c, err := s.Recording(ctx, r)
	for i := range c.Oar.List {
		row := []any{i + 1, c.Oar.List[i].StartS}
		for _, l := range strokefile.Features {
			if v, ok := c.Oar.List[i].Features.Value(l.Name); ok {
				row = append(row, v)
				continue
			}
			row = append(row, nil)
		}
		t.Add(row...)
	}
	return t, c.Athlete + " " + c.RecordedOn + " strokes", err
}

var comparisonColumns = []table.Column{
	table.Texts("Feature", "What was measured."), table.Texts("Unit", "Blank for a ratio."), table.Numbers("First, mean", table.Free, "Of the first recording."), table.Numbers("First, SD", table.Free, "From stroke to stroke."), table.Numbers("First, strokes", 0, "That the mean is of."),
	table.Numbers("Second, mean", table.Free, "Of the second recording."), table.Numbers("Second, SD", table.Free, "From stroke to stroke."), table.Numbers("Second, strokes", 0, "That the mean is of."), table.Numbers("Difference", table.Free, "First less second."),
}

// ComparisonTable lists the features of two recordings side by side.
func (s Recordings) ComparisonTable(ctx context.Context, r strokes.CompareRequest) (table.Table, string, error) {
	t := table.New("Comparison", comparisonColumns...)
	c, err := s.CompareRecordings(ctx, r)
	for _, l := range strokefile.Features {
		a, hasA := c.A.Oar.Features[l.Name]
		b, hasB := c.B.Oar.Features[l.Name]
		if hasA && hasB {
			t.Add(l.Label, l.Unit, a.Mean, a.SD, a.N, b.Mean, b.SD, b.N, wire.Round(a.Mean-b.Mean, 1e4))
		}
	}
	return t, "comparison", err
}

var squadCurveColumns = []table.Column{table.Texts("Athlete", "One row an athlete, close matches together."), table.Days("Recorded on", "Day of the newest curve, YYYY-MM-DD.")}

// squadCurveMore says what the columns of the matrix are.
const squadCurveMore = "How far the two curves differ, D: half the area between the shapes; 0 the same shape, 1 no overlap. A column an athlete, in the order of the rows."

// SquadCurveTable is how alike any two athletes' curves are, as a matrix.
func (s Recordings) SquadCurveTable(ctx context.Context, r strokes.CurveSquadRequest) (table.Table, string, error) {
	w, err := s.SquadCurves(ctx, r)
	columns := slices.Clone(squadCurveColumns)
	for _, m := range w.Members {
		columns = append(columns, table.Numbers(m.Athlete, 3, squadCurveMore))
	}
	t := table.New("Curve match", columns...)
	for i, m := range w.Members {
		row := []any{m.Athlete, m.RecordedOn}
		for k := range w.Members {
			row = append(row, w.Alike[i][k].D)
		}
		t.Add(row...)
	}
	return t, "curve match", err
}
