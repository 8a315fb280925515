// Package table holds tables that leave the program: what stands in a column,
// and how a table is written for spreadsheets and for other programs. It knows
// no HTTP and nothing of what the tables are about.
package table

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"thole/api/wire"
)

// Kind is what the cells of a column are.
type Kind int

const (
	Text   Kind = iota // string or *string
	Number             // float64, int, int64 or a pointer to one, in the unit that the heading names
	Day                // string or *string, YYYY-MM-DD
	Moment             // time.Time or *time.Time, as clocks at the club show it
	Time               // float64 or *float64, s: how long something took; or a string, which stays one
)

// Free are the digits of a column of numbers each of which has its own.
const Free = -1

// Column says what stands in a column.
type Column struct {
	Heading string // with the unit, such as “Span, cm”
	Kind    Kind
	Digits  int    // of numbers, after the point, as a spreadsheet shows them; Free for as many as a number has
	Meaning string // for who reads the description of the interface
}

// Texts is a column of words.
func Texts(heading, meaning string) Column {
	return Column{Heading: heading, Kind: Text, Meaning: meaning}
}

// Numbers is a column of numbers with so many digits after the point.
func Numbers(heading string, digits int, meaning string) Column {
	return Column{Heading: heading, Kind: Number, Digits: digits, Meaning: meaning}
}

// Days is a column of days.
func Days(heading, meaning string) Column {
	return Column{Heading: heading, Kind: Day, Meaning: meaning}
}

// Moments is a column of days with their hour.
func Moments(heading, meaning string) Column {
	return Column{Heading: heading, Kind: Moment, Meaning: meaning}
}

// Times is a column of durations, s, told as minutes and seconds.
func Times(heading, meaning string) Column {
	return Column{Heading: heading, Kind: Time, Meaning: meaning}
}

// Table is a table with its heading.
type Table struct {
	Title   string
	Columns []Column
	rows    [][]any // nil, string, float64 or time.Time
}

// New returns a table without rows.
func New(title string, columns ...Column) Table { return Table{Title: title, Columns: columns} }

// Add adds a row, one cell a column. Nil, a nil pointer and an empty text are
// blank cells. It panics on a cell that its column does not hold.
func (t *Table) Add(cells ...any) {
	if len(cells) != len(t.Columns) {
		panic(fmt.Sprintf("table: %d cells for the %d columns of %s", len(cells), len(t.Columns), t.Title))
	}
	row := make([]any, len(cells))
	for i, cell := range cells {
		row[i] = t.Columns[i].take(cell)
	}
	t.rows = append(t.rows, row)
}

// Len returns the number of rows below the heading.
func (t *Table) Len() int { return len(t.rows) }

// take converts a cell to how it is kept.
func (c *Column) take(cell any) any {
	cell = pointed(cell)
	if cell == nil {
		return nil
	}
	switch c.Kind {
	case Text, Day:
		if text, ok := cell.(string); ok {
			return c.text(text)
		}
	case Number, Time:
		if v, ok := number(cell); ok {
			return v
		}
		if text, ok := cell.(string); ok && c.Kind == Time {
			return c.text(text)
		}
	case Moment:
		if at, ok := cell.(time.Time); ok {
			return at
		}
	}
	panic(fmt.Sprintf("table: %T in the column %q", cell, c.Heading))
}

// text keeps a text, and a day as one; a day that cannot be read stays a text.
func (c *Column) text(text string) any {
	if text == "" {
		return nil
	}
	if at, err := time.Parse(wire.DayLayout, text); c.Kind == Day && err == nil {
		return at
	}
	return text
}

// pointed follows a pointer to a value; nil for one that points nowhere.
func pointed(cell any) any {
	switch p := cell.(type) {
	case *string:
		return pointee(p)
	case *float64:
		return pointee(p)
	case *int:
		return pointee(p)
	case *int64:
		return pointee(p)
	case *time.Time:
		return pointee(p)
	}
	return cell
}

func pointee[T any](p *T) any {
	if p == nil {
		return nil
	}
	return *p
}

// number is a cell as a number. It panics on one that no table can show.
func number(cell any) (v float64, ok bool) {
	switch n := cell.(type) {
	case int:
		return float64(n), true
	case int64:
		return float64(n), true
	case float64:
		if math.IsNaN(n) || math.IsInf(n, 0) {
			panic("table: a cell that is no number")
		}
		return n, true
	}
	return 0, false
}

// momentLayout is how a moment is written as text.
const momentLayout = "2006-01-02 15:04:05"

// written is a cell as text that programs read: numbers with a point and a plain
// minus, days as year-month-day, times as 6:32.4.
func (c *Column) written(cell any) string {
	switch v := cell.(type) {
	case nil:
		return ""
	case time.Time:
		if c.Kind == Day {
			return v.Format(wire.DayLayout)
		}
		return v.Format(momentLayout)
	case float64:
		if c.Kind == Time {
			return wire.FormatTime(v)
		}
		return strconv.FormatFloat(c.rounded(v), 'f', -1, 64)
	}
	return cell.(string)
}

// spareDigits is how many digits more than a column shows its numbers keep; our
// judgement, so that sums of a column are right in the last digit shown.
const spareDigits = 2

// rounded takes off digits that nobody measured; -0 becomes 0.
func (c *Column) rounded(v float64) float64 {
	if c.Digits == Free {
		return v + 0
	}
	return wire.Round(v, math.Pow10(c.Digits+spareDigits)) + 0
}

// shown is the text of a cell as a spreadsheet shows it, to find how wide the
// column is.
func (c *Column) shown(cell any) string {
	v, isNumber := cell.(float64)
	if isNumber && c.Kind == Number {
		return strconv.FormatFloat(v, 'f', c.Digits, 64)
	}
	return c.written(cell)
}

// Rows returns the cells as text, the heading first.
func (t *Table) Rows() [][]string {
	heading := make([]string, len(t.Columns))
	for i := range t.Columns {
		heading[i] = t.Columns[i].Heading
	}
	rows := [][]string{heading}
	for _, cells := range t.rows {
		row := make([]string, len(cells))
		for i, cell := range cells {
			row[i] = t.Columns[i].written(cell)
		}
		rows = append(rows, row)
	}
	return rows
}

// YesNo returns the text of a cell that says yes or no.
func YesNo(v bool) string {
	if v {
		return "yes"
	}
	return "no"
}

// FileName makes the name of a file, without its ending, of what people call a
// thing: plain letters, figures and hyphens, which every system takes.
func FileName(text string) string {
	name := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			return r
		case unicode.Is(unicode.Mn, r): // an accent, apart from its letter
			return -1
		}
		return '-'
	}, norm.NFKD.String(strings.ToLower(text)))
	return strings.Join(strings.FieldsFunc(name, func(r rune) bool { return r == '-' }), "-")
}
