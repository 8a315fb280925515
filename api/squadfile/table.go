package squadfile

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"thole/api/rest"
	"thole/api/wire"
)

// Bounds of a table that comes in: bytes of the file, bytes that a spreadsheet
// may unpack to, rows below the heading, columns, and bytes of a line, which takes
// some thirty times as many when it is parted into cells. Our judgement: far beyond the
// largest club, and within the memory of a small machine.
const (
	maxTable     = rest.MaxTable
	maxUnpacked  = 64 << 20
	maxTableRows = 20_000
	maxColumns   = 200
	maxLine      = 256 << 10
)

// table is what a file holds, without its blank rows.
type table struct {
	rows     []tableRow
	sheet    string          // name, of a spreadsheet's
	others   bool            // further sheets hold something, which is not read
	since04  bool            // a spreadsheet's days count from 1904
	folded   bool            // a cell holds several lines
	unsolved map[cellAt]bool // cells with a formula whose result is not in the file
}

// tableRow is one row with its number in the file, from 1.
type tableRow struct {
	number int
	cells  []string
	source map[string]int // where each of our columns comes from in the file; nil for a table of ours
	more   bool           // another test of the row before
	ticks  bool           // the costs of the sides say only that they are rowed
}

// cellAt is a cell: the row's number in the file from 1, the column from 0.
type cellAt struct{ row, column int }

// add takes a row in unless it is blank. The error is an *Unreadable for one
// row too many, or one that is too wide.
func (t *table) add(number int, cells []string) error {
	for len(cells) > 0 && strings.TrimSpace(cells[len(cells)-1]) == "" && !t.unsolved[cellAt{number, len(cells) - 1}] {
		cells = cells[:len(cells)-1]
	}
	switch {
	case len(cells) == 0:
		return nil
	case len(cells) > maxColumns:
		return &wire.Unreadable{Text: fmt.Sprintf("Row %d has a value in column %d: a squad has no more than %d columns.", number, len(cells), maxColumns)}
	case len(t.rows) > maxTableRows:
		return &wire.Unreadable{Text: fmt.Sprintf("Row %d: the table has more than %d rows below its heading. Cut it into several.", number, maxTableRows)}
	}
	t.rows = append(t.rows, tableRow{number: number, cells: cells})
	return nil
}

// readTable reads the rows of a CSV file or a spreadsheet. The error is an
// *Unreadable.
func readTable(file io.Reader) (table, error) {
	body, err := io.ReadAll(io.LimitReader(file, maxTable+1))
	if err != nil {
		return table{}, err
	}
	switch {
	case len(body) > maxTable:
		return table{}, rest.TableTooLarge()
	case bytes.HasPrefix(body, []byte("PK\x03\x04")):
		if other := otherArchive(body); other != "" {
			return table{}, &wire.Unreadable{Text: other}
		}
		return readSheet(body)
	case bytes.HasPrefix(body, []byte("%PDF")):
		return table{}, &wire.Unreadable{Text: "This is a PDF: save the table as CSV or as a spreadsheet (.xlsx)."}
	case bytes.HasPrefix(body, []byte("\xd0\xcf\x11\xe0")):
		return table{}, &wire.Unreadable{Text: "This is an old spreadsheet, or one with a password: save it as .xlsx without one, or as CSV."}
	}
	text, err := decoded(body)
	if err != nil {
		return table{}, err
	}
	return readText(text)
}

// readText reads CSV once it is sure to be text.
func readText(text []byte) (table, error) {
	valid := len(text)
	if i := bytes.IndexByte(text, 0); i >= 0 {
		valid = i
	}
	for i := 0; i < valid; {
		r, size := utf8.DecodeRune(text[i:])
		if r == utf8.RuneError && size == 1 {
			valid = i
		}
		i += size
	}
	if valid < len(text) {
		line := 1 + bytes.Count(text[:valid], []byte("\n"))
		return table{}, &wire.Unreadable{Text: fmt.Sprintf("Line %d is no text in UTF-8: save the table as CSV UTF-8 or as a spreadsheet (.xlsx).", line)}
	}
	if bytes.IndexByte(text, '\n') < 0 { // lines may end as they did on old machines
		text = bytes.ReplaceAll(text, []byte("\r"), []byte("\n"))
	}
	number := 0
	for line := range bytes.Lines(text) {
		if number++; len(line) > maxLine {
			return table{}, &wire.Unreadable{Text: fmt.Sprintf("Line %d is longer than a row of a table can be: save the table again as CSV or as a spreadsheet (.xlsx).", number)}
		}
	}
	return readCSV(text)
}

// readCSV reads text with the separator that its first line states, or uses
// most.
func readCSV(text []byte) (t table, err error) {
	t, err = readRows(text, false)
	if !errors.Is(err, csv.ErrBareQuote) {
		return t, unquoted(err)
	}
	// A mark of inches, as in 6'2", is no quotation mark. Where it leaves every row
	// on one line, it swallowed nothing.
	if lax, again := readRows(text, true); again == nil && !lax.folded {
		return lax, nil
	}
	return t, unquoted(err)
}

// readRows reads rows; lax takes quotation marks within a cell as they stand.
func readRows(text []byte, lax bool) (t table, err error) {
	r := csv.NewReader(bytes.NewReader(text))
	r.LazyQuotes = lax
	r.FieldsPerRecord = -1
	stated := false
	r.Comma, stated = separator(text)
	r.TrimLeadingSpace = r.Comma != '\t' // a tab is a space, too
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			return t, nil
		}
		if err != nil {
			return t, err
		}
		number, _ := r.FieldPos(0)
		t.folded = t.folded || slices.ContainsFunc(cells, func(c string) bool { return strings.ContainsAny(c, "\n\r") })
		if stated { // that was the line that states the separator
			stated = false
			continue
		}
		if err := t.add(number, cells); err != nil {
			return t, err
		}
	}
}

// unquoted reports where a quotation mark stands wrong.
func unquoted(err error) error {
	var bad *csv.ParseError
	if !errors.As(err, &bad) {
		return err
	}
	if bad.StartLine != bad.Line {
		return &wire.Unreadable{Text: fmt.Sprintf("Line %d: a quotation mark opens a cell, and none closes it by line %d, character %d.", bad.StartLine, bad.Line, bad.Column)}
	}
	return &wire.Unreadable{Text: fmt.Sprintf("Line %d, character %d: a quotation mark stands where it cannot be read. Within a cell it is written twice, and the cell in quotation marks.", bad.Line, bad.Column)}
}

// separator finds what parts the cells; stated for a first line such as sep=;
// that spreadsheets write and understand.
func separator(text []byte) (sep rune, stated bool) {
	first, _, _ := bytes.Cut(bytes.TrimLeft(text, "\r\n"), []byte("\n"))
	if said, ok := bytes.CutPrefix(bytes.ToLower(bytes.TrimSpace(first)), []byte("sep=")); ok && len(said) == 1 && bytes.ContainsAny(said, ",;|") {
		return rune(said[0]), true
	}
	sep = ','
	for _, other := range ";\t" {
		if bytes.Count(first, []byte(string(other))) > bytes.Count(first, []byte(string(sep))) {
			sep = other
		}
	}
	return sep, false
}
