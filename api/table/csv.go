package table

import (
	"encoding/csv"
	"io"
	"strings"
	"unicode/utf8"
)

// ByteOrderMark is what a text in UTF-8 begins with for spreadsheets, which take
// it for another encoding otherwise; programs may not expect it.
const ByteOrderMark = "\ufeff"

// WriteCSV writes a table as CSV (RFC 4180) in UTF-8. A text that a spreadsheet
// would take for a formula gets an apostrophe before it.
func WriteCSV(w io.Writer, t *Table) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	for i, row := range t.Rows() {
		for j := range row {
			if i == 0 || t.holdsText(i-1, j) {
				row[j] = Guarded(row[j])
			}
		}
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// holdsText reports whether a cell is a text.
func (t *Table) holdsText(row, column int) bool {
	_, ok := t.rows[row][column].(string)
	return ok
}

// risky are the signs with which a cell begins that spreadsheets run: those of
// formulas, also as wide as Chinese and Japanese signs, and the blanks after
// which some still find one. The apostrophe is among them so that
// it can be taken off again.
const risky = "=+-@\t\r\n＝＋－＠'"

func isRisky(text string) bool {
	first, _ := utf8.DecodeRuneInString(text)
	return text != "" && strings.ContainsRune(risky, first)
}

// Guarded keeps spreadsheets from running what is a text.
func Guarded(text string) string {
	if isRisky(text) {
		return "'" + text
	}
	return text
}

// Unguarded takes the apostrophe of [Guarded] off again.
func Unguarded(text string) string {
	if rest, ok := strings.CutPrefix(text, "'"); ok && isRisky(rest) {
		return rest
	}
	return text
}
