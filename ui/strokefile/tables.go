package strokes

import (
	"fmt"
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"thole/api/exports"
	"thole/api/strokefile"
	"thole/api/table"
	"thole/ui/page"
)

// dataTable is a table that can be downloaded.
type dataTable struct {
	Name  string // in the address
	Title string
	Head  []string
	Rows  [][]string // the first cell heads the row
	Wide  bool
}

// tables are those of one page.
type tables []*dataTable

// Named returns a table for the template.
func (list tables) Named(name string) (*dataTable, error) {
	for _, t := range list {
		if t.Name == name {
			return t, nil
		}
	}
	return nil, fmt.Errorf("no table %q", name)
}

// files are the tables as files, the spreadsheet with a sheet for each; nil for
// none.
func (list tables) files(r *http.Request, base string) *page.Files {
	if len(list) == 0 {
		return nil
	}
	var files []page.File
	for _, t := range list {
		files = append(files, page.File{Name: t.Name, Title: t.Title, Make: func() (table.Table, error) { return t.table(), nil }})
	}
	return page.NewFiles(r.URL, base, files...)
}

// table is the table as it leaves: a column whose cells are all numbers holds
// numbers.
func (t *dataTable) table() table.Table {
	columns := make([]table.Column, len(t.Head))
	for i, heading := range t.Head {
		columns[i] = table.Column{Heading: heading, Kind: table.Number, Digits: table.Free}
		if heading == "" {
			columns[i].Heading = "Name"
		}
		if slices.ContainsFunc(t.Rows, func(row []string) bool { return !isNumber(row[i]) }) {
			columns[i].Kind = table.Text
		}
	}
	made := table.New(t.Title, columns...)
	for _, row := range t.Rows {
		cells := make([]any, len(row))
		for i, cell := range row {
			cells[i] = cell
			if columns[i].Kind == table.Number {
				cells[i] = numberOf(cell)
			}
		}
		made.Add(cells...)
	}
	return made
}

// noValue stands in a cell where there is nothing to tell.
const noValue = "–"

// isNumber reports whether a cell can stand among numbers.
func isNumber(cell string) bool {
	return cell == noValue || cell == "" || numberOf(cell) != nil
}

// numberOf reads a cell; nil for none.
func numberOf(cell string) any {
	v, err := strconv.ParseFloat(strings.TrimPrefix(strings.Replace(cell, "−", "-", 1), "+"), 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return v
}

// featureTable lists the features of one oar.
func featureTable(features map[string]strokefile.FeatureResult) *dataTable {
	t := &dataTable{Name: "features", Title: "Features", Head: []string{"Feature", "Mean", "± SD", "Strokes", "Unit"}}
	for _, l := range strokefile.Features {
		if f, ok := features[l.Name]; ok {
			t.Rows = append(t.Rows, []string{l.Label, page.Fix(l.Digits, f.Mean), page.Fix(l.Digits+1, f.SD), strconv.Itoa(f.N), l.Unit})
		}
	}
	return t
}

// strokeTable lists each stroke.
func strokeTable(list strokefile.StrokeList) *dataTable {
	t := &dataTable{Name: "strokes", Title: "Each stroke", Head: []string{"Stroke", "Begins, s"}, Wide: true}
	var shown []strokefile.Feature
	for _, l := range strokefile.Features {
		for i := range list {
			if _, ok := list[i].Features.Value(l.Name); ok {
				shown = append(shown, l)
				t.Head = append(t.Head, exports.Heading(&l))
				break
			}
		}
	}
	for i := range list {
		row := []string{strconv.Itoa(i + 1), page.Fix(2, list[i].StartS)}
		for _, l := range shown {
			cell := "–"
			if v, ok := list[i].Features.Value(l.Name); ok {
				cell = page.Fix(l.Digits, v)
			}
			row = append(row, cell)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// curveTable lists the nodes of some curves; every curve brings its mean and,
// where it has one, its deviation.
func curveTable(name, title string, heads []string, columns ...[]float64) *dataTable {
	t := &dataTable{Name: name, Title: title, Head: append([]string{"Drive, %"}, heads...), Wide: true}
	for i := range columns[0] {
		row := []string{strconv.Itoa(i)}
		for _, c := range columns {
			row = append(row, page.Fix(1, c[i]))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}
