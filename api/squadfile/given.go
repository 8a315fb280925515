package squadfile

import (
	"context"
	"io"
)

// A table of somebody's own columns is read in two steps: [ReadFile] returns its
// rows as they are, and whoever knows what the columns mean gives them back as
// [GivenRow]s, under the names of the columns of this package.

// FileRow is a row of a file with its number, from 1.
type FileRow struct {
	Number int
	Cells  []string
	// Unsolved are the places of cells with a formula whose result is not in the
	// file.
	Unsolved map[int]bool
}

// File is what a CSV file or the first sheet of a spreadsheet holds, without its
// blank rows.
type File struct {
	Rows        []FileRow
	Sheet       string // its name; "" for CSV
	OtherSheets bool   // further sheets hold something, which is not read
	Since1904   bool   // days that stand as numbers count from 1904
}

// ReadFile reads a CSV file in UTF-8, UTF-16 or Windows-1252, or a spreadsheet. The
// error is an *Unreadable.
func ReadFile(file io.Reader) (File, error) {
	t, err := readTable(file)
	f := File{Sheet: t.sheet, OtherSheets: t.others, Since1904: t.since04}
	for i := range t.rows {
		row := FileRow{Number: t.rows[i].number, Cells: t.rows[i].cells}
		for k, cell := range row.Cells {
			if t.sheet == "" {
				row.Cells[k] = unguarded(cell)
			}
			if t.unsolved[cellAt{row.Number, k}] {
				if row.Unsolved == nil {
					row.Unsolved = map[int]bool{}
				}
				row.Unsolved[k] = true
			}
		}
		f.Rows = append(f.Rows, row)
	}
	return f, err
}

// GivenRow is a row of a table whose columns have been told what they mean: the
// values by the names of the columns of this package.
type GivenRow struct {
	Number int // in the file
	Values map[string]string
	Source map[string]int // place in the file's row of each column
	More   bool           // another test of the row before, without a name
	Ticks  bool           // the costs of the sides say only that they are rowed
}

// SheetDay writes a cell that a spreadsheet may hold as a number of days as
// year-month-day; any other is left as it is.
func SheetDay(text string, f *File) string { return f.asPeopleWrite("test_date", text) }

// SheetTime writes a cell that a spreadsheet may hold as a part of a day as a time;
// any other is left as it is.
func SheetTime(text string, f *File) string { return f.asPeopleWrite("test_time", text) }

func (f *File) asPeopleWrite(column, text string) string {
	if f.Sheet == "" {
		return text
	}
	r := squadReader{table: &table{sheet: f.Sheet, since04: f.Since1904}}
	return r.fromSheet(column, text)
}

// ReadGiven is [Service.Read] of rows whose columns are known.
func (s *Service) ReadGiven(ctx context.Context, rows []GivenRow) (SquadImport, error) {
	t := table{rows: []tableRow{{cells: squadColumns}}}
	for _, row := range rows {
		cells := make([]string, len(squadColumns))
		for i, column := range squadColumns {
			cells[i] = row.Values[column]
		}
		t.rows = append(t.rows, tableRow{number: row.Number, cells: cells, source: row.Source, more: row.More, ticks: row.Ticks})
	}
	return s.plan(ctx, &t)
}

// SaveGiven is [Service.Import] of rows whose columns are known.
func (s *Service) SaveGiven(ctx context.Context, rows []GivenRow, how Saving) (SquadImport, error) {
	return s.save(ctx, how, func() (SquadImport, error) { return s.ReadGiven(ctx, rows) })
}
