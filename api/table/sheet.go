package table

import (
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
)

// Widths of the columns of a spreadsheet, in characters: what is narrower is
// hard to hit, and a note that is longer need not push the rest off the screen.
// Engineering judgement.
const (
	narrowest = 8
	widest    = 48
	beside    = 2 // for the margin, and for bold type
)

// WriteXLSX writes tables as a spreadsheet, a sheet each: numbers, days, moments
// and times as such, the heading frozen, columns as wide as what they hold.
func WriteXLSX(w io.Writer, tables ...*Table) (err error) {
	file := excelize.NewFile()
	defer func() { err = errors.Join(err, file.Close()) }()
	if err := file.SetDocProps(&excelize.DocProperties{Creator: "Thole"}); err != nil {
		return err
	}
	b := book{file: file, styles: map[string]int{}, names: map[string]bool{}}
	for i, t := range tables {
		if err := b.add(i, t); err != nil {
			return err
		}
	}
	_, err = file.WriteTo(w)
	return err
}

// book is a spreadsheet in the making.
type book struct {
	file   *excelize.File
	styles map[string]int // by format
	names  map[string]bool
}

// add writes a table as one more sheet.
func (b *book) add(i int, t *Table) error {
	name := b.sheetName(t.Title)
	if i == 0 {
		if err := b.file.SetSheetName(b.file.GetSheetName(0), name); err != nil {
			return err
		}
	} else if _, err := b.file.NewSheet(name); err != nil {
		return err
	}
	if err := b.fill(name, t); err != nil {
		return err
	}
	return b.layOut(name, t)
}

// longestName is how long the name of a sheet may be, characters: ECMA-376 leaves it
// open, spreadsheets refuse more (from memory).
const longestName = 31

var notInNames = regexp.MustCompile(`[\[\]:*?/\\']`)

// sheetName makes a name that no other sheet has.
func (b *book) sheetName(title string) string {
	base := strings.TrimSpace(notInNames.ReplaceAllString(title, " "))
	if base == "" {
		base = "Table"
	}
	name := cut(base, longestName)
	for n := 2; b.names[strings.ToLower(name)]; n++ {
		end := fmt.Sprintf(" %d", n)
		name = cut(base, longestName-len(end)) + end
	}
	b.names[strings.ToLower(name)] = true
	return name
}

// cut shortens a text to n characters.
func cut(text string, n int) string {
	if signs := []rune(text); len(signs) > n {
		return strings.TrimSpace(string(signs[:n]))
	}
	return text
}

// layOut sets the widths and the formats, and freezes the heading.
func (b *book) layOut(sheet string, t *Table) error {
	for i := range t.Columns {
		if err := b.layOutColumn(sheet, t, i); err != nil {
			return err
		}
	}
	return b.file.SetPanes(sheet, &excelize.Panes{
		Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft",
		Selection: []excelize.Selection{{SQRef: "A2", ActiveCell: "A2", Pane: "bottomLeft"}},
	})
}

// layOutColumn sets the width and the formats of one column.
func (b *book) layOutColumn(sheet string, t *Table, i int) error {
	name, err := excelize.ColumnNumberToName(i + 1)
	if err != nil {
		return err
	}
	heading, err := b.style("heading", &excelize.Style{
		Font: &excelize.Font{Bold: true}, Border: []excelize.Border{{Type: "bottom", Style: 1, Color: "808080"}},
	})
	if err != nil {
		return err
	}
	format, err := b.format(&t.Columns[i])
	if err != nil {
		return err
	}
	if t.Len() > 0 {
		err = b.file.SetCellStyle(sheet, name+"2", fmt.Sprintf("%s%d", name, t.Len()+1), format)
	}
	return errors.Join(err, b.file.SetCellStyle(sheet, name+"1", name+"1", heading), b.file.SetColWidth(sheet, name, name, t.width(i)))
}

// width is how wide a column is, in characters.
func (t *Table) width(i int) float64 {
	c := &t.Columns[i]
	longest := utf8.RuneCountInString(c.Heading)
	for _, row := range t.rows {
		longest = max(longest, utf8.RuneCountInString(c.shown(row[i])))
	}
	return float64(max(narrowest, min(widest, longest+beside)))
}

// fill writes the heading and the rows.
func (b *book) fill(sheet string, t *Table) error {
	for i := range t.Columns {
		if err := b.set(sheet, i, 1, t.Columns[i].Heading); err != nil {
			return err
		}
	}
	for n, row := range t.rows {
		for i, cell := range row {
			if err := b.set(sheet, i, n+2, t.Columns[i].stored(cell)); err != nil {
				return err
			}
		}
	}
	return nil
}

// set writes one cell; nil leaves it blank.
func (b *book) set(sheet string, column, row int, value any) error {
	at, err := excelize.CoordinatesToCellName(column+1, row)
	switch v := value.(type) {
	case float64:
		err = errors.Join(err, b.file.SetCellFloat(sheet, at, v, -1, 64))
	case string:
		err = errors.Join(err, b.file.SetCellStr(sheet, at, spelt(v)))
	}
	return err
}

// secondsOfDay is what a spreadsheet calls 1, s, by definition.
const secondsOfDay = 86_400

// stored is a cell as a spreadsheet keeps it: nil, a text or a number, days for
// days, moments and times.
func (c *Column) stored(cell any) any {
	switch v := cell.(type) {
	case float64:
		if c.Kind == Time {
			return v / secondsOfDay
		}
		return c.rounded(v)
	case time.Time:
		if days, ok := serial(v); ok {
			return days
		}
		return c.written(cell)
	}
	return cell
}

// serial is a moment as spreadsheets count it: days since the end of 1899, as the
// clock shows it. False before March 1900, where they count a day that never was
// (ECMA-376 part 1, 18.17.4.1).
func serial(at time.Time) (days float64, ok bool) {
	clock := time.Date(at.Year(), at.Month(), at.Day(), at.Hour(), at.Minute(), at.Second(), 0, time.UTC)
	days = clock.Sub(time.Date(1899, time.December, 30, 0, 0, 0, 0, time.UTC)).Hours() / 24
	return days, days >= 61
}

// format is the style of a column's cells; 0 for texts and numbers as they are.
func (b *book) format(c *Column) (int, error) {
	text := ""
	switch {
	case c.Kind == Day:
		text = "yyyy-mm-dd"
	case c.Kind == Moment:
		text = "yyyy-mm-dd hh:mm"
	case c.Kind == Time:
		text = "[m]:ss.0" // minutes go on past 60
	case c.Kind == Number && c.Digits == 0:
		text = "0"
	case c.Kind == Number && c.Digits > 0:
		text = "0." + strings.Repeat("0", c.Digits)
	default:
		return 0, nil
	}
	return b.style(text, &excelize.Style{CustomNumFmt: &text})
}

// style returns the number of a style, which the file keeps once.
func (b *book) style(key string, s *excelize.Style) (int, error) {
	if id, ok := b.styles[key]; ok {
		return id, nil
	}
	id, err := b.file.NewStyle(s)
	b.styles[key] = id
	return id, err
}

var codedSign = regexp.MustCompile(`_x[0-9A-Za-z]{4}_`)

// spelt keeps a text such as _x0041_ from being read as the sign of that code,
// which is how spreadsheets store signs that XML cannot (ECMA-376, ST_Xstring).
func spelt(cell string) string {
	if !codedSign.MatchString(cell) {
		return cell
	}
	return strings.ReplaceAll(cell, "_x", "_x005F_x")
}
