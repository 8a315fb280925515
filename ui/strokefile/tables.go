package strokefile

import (
	"fmt"
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"thole/api/table"
	"thole/ui/page"
)

// Table is a table that can be downloaded.
type Table struct {
	Name  string // in the address
	Title string
	Head  []string
	Rows  [][]string // the first cell heads the row
	Wide  bool
}

// Tables are those of one page.
type Tables []*Table

// Named returns a table for the template.
func (list Tables) Named(name string) (*Table, error) {
	for _, t := range list {
		if t.Name == name {
			return t, nil
		}
	}
	return nil, fmt.Errorf("no table %q", name)
}

// Files are the tables as files, the spreadsheet with a sheet for each; nil for
// none.
func (list Tables) Files(r *http.Request, base string) *page.Files {
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
func (t *Table) table() table.Table {
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
