// Package columns tells what the columns of a club's own spreadsheets hold: the headings
// as clubs write them in seven languages, what a column can hold of athletes, boats and
// oars, the units that its numbers stand in, and a file on its way to a table, with what
// was said of its columns, what was mended and what cannot be used. What single cells
// say is read in api/cells; what a table would do to the records is for api/intake.
package columns

import (
	"bytes"
	"cmp"
	"slices"
	"strings"

	"thole/api/cells"
	"thole/api/squadfile"
	"thole/api/wire"
)

// How says how a file is read. What is left empty is proposed.
type How struct {
	Uses     []Use  // of the columns, by their places
	DayOrder string // DayFirst, MonthFirst, or "" where it is not needed
	Sides    string // PortStarboard, StrokeBow, BackSteuer, or "" where no letter needs it
	TestDay  string // YYYY-MM-DD, of tests that have no day of their own
}

// Over is how a file is read that was read before, with what is said of it now.
func (h *How) Over(kept *How) *How {
	switch {
	case h == nil:
		return kept
	case kept == nil || len(h.Uses) > 0:
		return h
	}
	return &How{
		Uses: kept.Uses, DayOrder: cmp.Or(h.DayOrder, kept.DayOrder), Sides: cmp.Or(h.Sides, kept.Sides), TestDay: cmp.Or(h.TestDay, kept.TestDay),
	}
}

// Use says what one column holds, and in which unit.
type Use struct {
	Meaning Meaning
	Unit    string // of lengths and masses; "" tells it by the cells
}

// Column is a column of the file with what it is taken for.
type Column struct {
	Index   int // from 0
	Heading string
	Samples []string // of its cells, three at most
	Use
}

// At is a cell of the file: its row as the file counts them, its column from 0.
type At struct{ Row, Column int }

// Problem is a cell or a row that cannot be used as it is.
type Problem struct {
	At      // Column is -1 where no one cell is meant
	Heading string
	Cell    string
	Text    string
}

// Doubt is a value that can be right and hardly is.
type Doubt struct {
	At
	Name string
	Cell string
	Text string
}

// File is a file with what has been said of it.
type File struct {
	Content []byte
	How     *How          // nil proposes
	Fixes   map[At]string // cells that were mended
	Sides   string        // as in How, where the rest is proposed
	Keep    string        // name under which the way to read such a file is kept; "" for none
}

// Reading is a file on its way to a table of this program.
type Reading struct {
	File     *squadfile.File
	Columns  []Column
	How      How
	Problems []Problem

	kind    Kind
	fixes   map[At]string
	heading int // place of the heading among the rows
}

// Open reads a file of a kind and finds its heading; like names some headings, for who
// has none. The error is an *Unreadable.
func Open(k Kind, f *File, like string) (Reading, error) {
	file, err := squadfile.ReadFile(bytes.NewReader(f.Content))
	if err != nil {
		return Reading{}, err
	}
	r := Reading{File: &file, fixes: f.Fixes, kind: k}
	return r, r.findHeading(like)
}

// Notes are what is to be said of the file as a whole.
func (r *Reading) Notes() []string {
	if r.File.OtherSheets {
		return []string{"Only the first sheet, “" + r.File.Sheet + "”, is read."}
	}
	return nil
}

// lookedForHeading is how many rows may stand above the heading; our judgement.
const lookedForHeading = 15

// findHeading takes the row as heading in which most cells are headings.
func (r *Reading) findHeading(like string) error {
	best := 0
	for i, row := range r.File.Rows[:min(len(r.File.Rows), lookedForHeading)] {
		if count := r.known(row.Cells); count > best {
			best, r.heading = count, i
		}
	}
	switch {
	case len(r.File.Rows) < 2:
		return &wire.Unreadable{Text: "The table needs a row of headings and at least one row below it."}
	case best == 0:
		return &wire.Unreadable{Text: "No row of headings was found: the first rows hold nothing like " + like + ". Add a row that names the columns."}
	}
	return nil
}

// known counts the cells that are headings.
func (r *Reading) known(row []string) (count int) {
	for _, cell := range row {
		if m, _ := r.kind.recognise(cell); m != Unused {
			count++
		}
	}
	return count
}

// Headings are those of the file, one for each column that has cells.
func (r *Reading) Headings() []string {
	list := slices.Clone(r.File.Rows[r.heading].Cells)
	for _, row := range r.Below() { // columns without a heading
		for len(list) < len(row.Cells) {
			list = append(list, "")
		}
	}
	return list
}

// Below are the rows below the heading.
func (r *Reading) Below() []squadfile.FileRow { return r.File.Rows[r.heading+1:] }

// Guess takes what was said of the columns, and what their headings say where
// nothing was.
func (r *Reading) Guess(how *How) {
	for i, heading := range r.Headings() {
		c := Column{Index: i, Heading: strings.TrimSpace(heading)}
		c.Meaning, c.Unit = r.kind.recognise(heading)
		for _, row := range r.Below() {
			if text := r.Cell(&row, i); !cells.IsBlank(text) && len(c.Samples) < 3 && !slices.Contains(c.Samples, text) {
				c.Samples = append(c.Samples, text)
			}
		}
		if how != nil && i < len(how.Uses) {
			c.Use = how.Uses[i]
		}
		r.Columns = append(r.Columns, c)
	}
	if how != nil {
		r.How = *how
	}
}

// Settle keeps what the columns are taken for, so that it can be sent again.
func (r *Reading) Settle() {
	r.How.Uses = nil
	for i := range r.Columns {
		r.How.Uses = append(r.How.Uses, r.Columns[i].Use)
	}
}

// Has is the place of the first column of a meaning, -1 for none.
func (r *Reading) Has(m Meaning) int {
	return slices.IndexFunc(r.Columns, func(c Column) bool { return c.Meaning == m })
}

// Once takes a second column of one meaning as not used, except of those named.
func (r *Reading) Once(but ...Meaning) {
	seen := map[Meaning]bool{}
	for i := range r.Columns {
		m := r.Columns[i].Meaning
		if m != Unused && !slices.Contains(but, m) && seen[m] {
			r.Columns[i].Meaning = Unused
		}
		seen[m] = true
	}
}

// Cell is a cell as it was mended, or as it stands.
func (r *Reading) Cell(row *squadfile.FileRow, column int) string {
	if text, ok := r.fixes[At{row.Number, column}]; ok {
		return strings.TrimSpace(text)
	}
	if column >= len(row.Cells) {
		return ""
	}
	return strings.Join(strings.Fields(row.Cells[column]), " ")
}

// Unsolved tells a cell that holds a formula without its result.
func (r *Reading) Unsolved(row *squadfile.FileRow, column int) bool {
	return row.Unsolved[column] && r.fixes[At{row.Number, column}] == ""
}

// NoResult is what is said of such a cell.
const NoResult = "This cell holds a formula without its result: type what it comes to."

// FileCell is a cell by the row's number in the file.
func (r *Reading) FileCell(number, column int) string {
	for i := range r.File.Rows {
		if r.File.Rows[i].Number == number {
			return r.Cell(&r.File.Rows[i], column)
		}
	}
	return ""
}

// Complain reports what is wrong with a cell, or with a row for column -1.
func (r *Reading) Complain(at At, text string) {
	p := Problem{At: at, Text: text}
	if at.Column >= 0 {
		p.Heading, p.Cell = r.Columns[at.Column].Heading, r.FileCell(at.Row, at.Column)
	}
	r.Problems = append(r.Problems, p)
}

// ComplainOnce reports what is wrong with a cell, unless that was told: a row may be of
// several seats.
func (r *Reading) ComplainOnce(at At, text string) {
	if !slices.ContainsFunc(r.Problems, func(p Problem) bool { return p.At == at }) {
		r.Complain(at, text)
	}
}

// SeenSides is how the letters of the sides are meant, "" where they do not show it.
func (r *Reading) SeenSides() string {
	for i := range r.Columns {
		if r.Columns[i].Meaning != Side {
			continue
		}
		heading, _ := Folded(r.Columns[i].Heading)
		switch {
		case strings.Contains(heading, "stroke"):
			return cells.StrokeBow
		case slices.Contains([]string{"bordseite", "riemenseite", "bord", "seite", "backbord steuerbord", "bb stb"}, heading):
			return cells.BackSteuer
		}
		for _, row := range r.Below() {
			switch text := strings.ToLower(r.Cell(&row, i)); {
			case text == "p" || strings.HasPrefix(text, "p/") || strings.HasSuffix(text, "/p") || strings.Contains(text, "port"):
				return cells.PortStarboard
			case strings.Contains(text, "stroke") || strings.Contains(text, "bow"):
				return cells.StrokeBow
			case strings.Contains(text, "steuerb") || strings.Contains(text, "backb"):
				return cells.BackSteuer
			}
		}
	}
	return ""
}
