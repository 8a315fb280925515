package api

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
)

// A squad travels as a table, one row a test, the athlete's own columns
// repeated or left blank below the first. The same columns go in and out, as
// CSV (RFC 4180) or in the first sheet of a spreadsheet.

// squadColumns are the columns in the order they are written.
var squadColumns = []string{
	"name", "sex", "birth_date", "sculls", "port_cost_s", "starboard_cost_s", "mass_kg",
	"test_date", "test_fixed", "test_distance_m", "test_time", "test_mass_kg", "note",
}

// maxTable bounds a table that comes in, bytes, and what a spreadsheet may
// unpack to.
const (
	maxTable         = 8 << 20
	maxUnpacked      = 64 << 20
	maxUnpackedSheet = 32 << 20
	maxTableRows     = 20_000
)

// table is what a file holds: its rows, numbered as in the file.
type table struct {
	rows    [][]string
	sheet   string // name, of a spreadsheet's
	others  bool   // there are further sheets, which are not read
	since04 bool   // a spreadsheet's days count from 1904
}

// readTable reads the rows of a CSV file or a spreadsheet. The error is an
// *Unreadable.
func readTable(file io.Reader) (table, error) {
	body, err := io.ReadAll(io.LimitReader(file, maxTable+1))
	if err != nil {
		return table{}, err
	}
	if len(body) > maxTable {
		return table{}, &Unreadable{Text: fmt.Sprintf("The file is larger than %d MB.", maxTable>>20)}
	}
	t, err := readRows(body)
	if err != nil {
		return table{}, err
	}
	if len(t.rows) > maxTableRows {
		return table{}, &Unreadable{Text: fmt.Sprintf("The table has more than %d rows.", maxTableRows)}
	}
	return t, nil
}

func readRows(body []byte) (table, error) {
	switch {
	case bytes.HasPrefix(body, []byte("PK\x03\x04")):
		return readSheet(body)
	case bytes.HasPrefix(body, []byte("%PDF")):
		return table{}, &Unreadable{Text: "This is a PDF: save the table as CSV or as a spreadsheet (.xlsx)."}
	case bytes.HasPrefix(body, []byte("\xd0\xcf\x11\xe0")):
		return table{}, &Unreadable{Text: "This is an old spreadsheet: save it as .xlsx or CSV."}
	}
	text := bytes.TrimPrefix(body, []byte("\ufeff"))
	if !utf8.Valid(text) || bytes.IndexByte(text, 0) >= 0 {
		return table{}, &Unreadable{Text: "This is no text in UTF-8: save the table as CSV UTF-8 or as a spreadsheet (.xlsx)."}
	}
	return readCSV(text)
}

// readCSV reads text with the separator that its first line uses most.
func readCSV(text []byte) (t table, err error) {
	first, _, _ := bytes.Cut(text, []byte("\n"))
	r := csv.NewReader(bytes.NewReader(text))
	r.Comma, r.FieldsPerRecord = ',', -1
	for _, sep := range []rune{';', '\t'} {
		if bytes.Count(first, []byte(string(sep))) > bytes.Count(first, []byte(string(r.Comma))) {
			r.Comma = sep
		}
	}
	r.TrimLeadingSpace = r.Comma != '\t' // a tab is a space, too
	for {
		row, err := r.Read()
		var bad *csv.ParseError
		switch {
		case errors.Is(err, io.EOF):
			return t, nil
		case errors.As(err, &bad):
			return t, &Unreadable{Text: fmt.Sprintf("Line %d cannot be read: %v.", bad.Line, bad.Err)}
		case err != nil:
			return t, err
		}
		// Blank lines are passed over in reading, and count in the file.
		for line, _ := r.FieldPos(0); len(t.rows) < line-1 && len(t.rows) <= maxTableRows; {
			t.rows = append(t.rows, nil)
		}
		t.rows = append(t.rows, row)
	}
}

// readSheet reads the first sheet as it is stored: numbers in full, days as
// numbers of days.
func readSheet(body []byte) (t table, err error) {
	file, err := excelize.OpenReader(bytes.NewReader(body), excelize.Options{
		UnzipSizeLimit: maxUnpacked, UnzipXMLSizeLimit: maxUnpackedSheet, RawCellValue: true,
	})
	if err != nil {
		return t, &Unreadable{Text: "This spreadsheet cannot be opened; save it again as .xlsx, or as CSV."}
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	names := file.GetSheetList()
	if len(names) == 0 {
		return t, &Unreadable{Text: "This spreadsheet holds no sheet."}
	}
	t.sheet, t.others = names[0], len(names) > 1
	if props, err := file.GetWorkbookProps(); err == nil && props.Date1904 != nil {
		t.since04 = *props.Date1904
	}
	if t.rows, err = file.GetRows(names[0]); err != nil {
		return t, &Unreadable{Text: "The first sheet cannot be read; save it again as .xlsx, or as CSV."}
	}
	return t, nil
}

// writeCSV writes rows as CSV. A cell that a spreadsheet would take for a
// formula gets an apostrophe before it.
func writeCSV(w io.Writer, rows [][]string) error {
	out := csv.NewWriter(w)
	for _, row := range rows {
		safe := make([]string, len(row))
		for i, cell := range row {
			safe[i] = guarded(cell)
		}
		if err := out.Write(safe); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// risky are the characters with which a cell begins that spreadsheets run, and
// the apostrophe that keeps them from it.
const risky = "=+-@'"

// guarded keeps spreadsheets from running what is a name.
func guarded(cell string) string {
	if cell != "" && strings.IndexByte(risky, cell[0]) >= 0 {
		return "'" + cell
	}
	return cell
}

// unguarded takes the apostrophe off again.
func unguarded(cell string) string {
	if len(cell) > 1 && cell[0] == '\'' && strings.IndexByte(risky, cell[1]) >= 0 {
		return cell[1:]
	}
	return cell
}

// writeSheet writes rows as a spreadsheet, every cell as text, so that a time
// stays a time.
func writeSheet(w io.Writer, rows [][]string) (err error) {
	file := excelize.NewFile()
	defer func() { err = errors.Join(err, file.Close()) }()
	sheet := file.GetSheetName(0)
	for i, row := range rows {
		for j, cell := range row {
			at, err := excelize.CoordinatesToCellName(j+1, i+1)
			if err != nil {
				return err
			}
			if err := file.SetCellStr(sheet, at, cell); err != nil {
				return err
			}
		}
	}
	_, err = file.WriteTo(w)
	return err
}
