package intake

import (
	"bytes"
	"cmp"
	"slices"
	"strings"

	"thole/api/cells"
	"thole/api/ergometer"
	"thole/api/wire"
)

// How says how a file is read. What is left empty is proposed.
type How struct {
	Uses     []Use  // of the columns, by their places
	DayOrder string // DayFirst, MonthFirst, or "" where it is not needed
	Sides    string // PortStarboard, StrokeBow, BackSteuer, or "" where no letter needs it
	TestDay  string // YYYY-MM-DD, of tests that have no day of their own
}

// over is how a file is read that was read before, with what is said of it now.
func (h *How) over(kept *How) *How {
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

// reading is a file on its way to a table of this program.
type reading struct {
	file     *ergometer.File
	fixes    map[At]string
	heading  int // place of the heading among the rows
	columns  []Column
	how      How
	problems []Problem

	kind Kind
}

// open reads a file of a kind and finds its heading; like names some headings, for who
// has none. The error is an *Unreadable.
func open(k Kind, f *File, like string) (reading, error) {
	file, err := ergometer.ReadFile(bytes.NewReader(f.Content))
	if err != nil {
		return reading{}, err
	}
	r := reading{file: &file, fixes: f.Fixes, kind: k}
	return r, r.findHeading(like)
}

// notes are what is to be said of the file as a whole.
func (r *reading) notes() []string {
	if r.file.OtherSheets {
		return []string{"Only the first sheet, “" + r.file.Sheet + "”, is read."}
	}
	return nil
}

// lookedForHeading is how many rows may stand above the heading; our judgement.
const lookedForHeading = 15

// findHeading takes the row as heading in which most cells are headings.
func (r *reading) findHeading(like string) error {
	best := 0
	for i, row := range r.file.Rows[:min(len(r.file.Rows), lookedForHeading)] {
		if count := r.known(row.Cells); count > best {
			best, r.heading = count, i
		}
	}
	switch {
	case len(r.file.Rows) < 2:
		return &wire.Unreadable{Text: "The table needs a row of headings and at least one row below it."}
	case best == 0:
		return &wire.Unreadable{Text: "No row of headings was found: the first rows hold nothing like " + like + ". Add a row that names the columns."}
	}
	return nil
}

// known counts the cells that are headings.
func (r *reading) known(row []string) (count int) {
	for _, cell := range row {
		if m, _ := r.kind.recognise(cell); m != Unused {
			count++
		}
	}
	return count
}

func (r *reading) headings() []string {
	list := slices.Clone(r.file.Rows[r.heading].Cells)
	for _, row := range r.below() { // columns without a heading
		for len(list) < len(row.Cells) {
			list = append(list, "")
		}
	}
	return list
}

func (r *reading) below() []ergometer.FileRow { return r.file.Rows[r.heading+1:] }

// guess takes what was said of the columns, and what their headings say where
// nothing was.
func (r *reading) guess(how *How) {
	for i, heading := range r.headings() {
		c := Column{Index: i, Heading: strings.TrimSpace(heading)}
		c.Meaning, c.Unit = r.kind.recognise(heading)
		for _, row := range r.below() {
			if text := r.cell(&row, i); !cells.IsBlank(text) && len(c.Samples) < 3 && !slices.Contains(c.Samples, text) {
				c.Samples = append(c.Samples, text)
			}
		}
		if how != nil && i < len(how.Uses) {
			c.Use = how.Uses[i]
		}
		r.columns = append(r.columns, c)
	}
	if how != nil {
		r.how = *how
	}
}

// settle keeps what the columns are taken for, so that it can be sent again.
func (r *reading) settle() {
	r.how.Uses = nil
	for i := range r.columns {
		r.how.Uses = append(r.how.Uses, r.columns[i].Use)
	}
}

// has is the place of the first column of a meaning, -1 for none.
func (r *reading) has(m Meaning) int {
	return slices.IndexFunc(r.columns, func(c Column) bool { return c.Meaning == m })
}

// once takes a second column of one meaning as not used, except of those named.
func (r *reading) once(but ...Meaning) {
	seen := map[Meaning]bool{}
	for i := range r.columns {
		m := r.columns[i].Meaning
		if m != Unused && !slices.Contains(but, m) && seen[m] {
			r.columns[i].Meaning = Unused
		}
		seen[m] = true
	}
}

// cell is a cell as it was mended, or as it stands.
func (r *reading) cell(row *ergometer.FileRow, column int) string {
	if text, ok := r.fixes[At{row.Number, column}]; ok {
		return strings.TrimSpace(text)
	}
	if column >= len(row.Cells) {
		return ""
	}
	return strings.Join(strings.Fields(row.Cells[column]), " ")
}

// unsolved tells a cell that holds a formula without its result.
func (r *reading) unsolved(row *ergometer.FileRow, column int) bool {
	return row.Unsolved[column] && r.fixes[At{row.Number, column}] == ""
}

// noResult is what is said of such a cell.
const noResult = "This cell holds a formula without its result: type what it comes to."

// fileCell is a cell by the row's number in the file.
func (r *reading) fileCell(number, column int) string {
	for i := range r.file.Rows {
		if r.file.Rows[i].Number == number {
			return r.cell(&r.file.Rows[i], column)
		}
	}
	return ""
}

// complain reports what is wrong with a cell, or with a row for column -1.
func (r *reading) complain(at At, text string) {
	p := Problem{At: at, Text: text}
	if at.Column >= 0 {
		p.Heading, p.Cell = r.columns[at.Column].Heading, r.fileCell(at.Row, at.Column)
	}
	r.problems = append(r.problems, p)
}

// complainOnce reports what is wrong with a cell, unless that was told: a row may be of
// several seats.
func (r *reading) complainOnce(at At, text string) {
	if !slices.ContainsFunc(r.problems, func(p Problem) bool { return p.At == at }) {
		r.complain(at, text)
	}
}

// seenSides is how the letters of the sides are meant, "" where they do not show it.
func (r *reading) seenSides() string {
	for i := range r.columns {
		if r.columns[i].Meaning != Side {
			continue
		}
		heading, _ := folded(r.columns[i].Heading)
		switch {
		case strings.Contains(heading, "stroke"):
			return cells.StrokeBow
		case slices.Contains([]string{"bordseite", "riemenseite", "bord", "seite", "backbord steuerbord", "bb stb"}, heading):
			return cells.BackSteuer
		}
		for _, row := range r.below() {
			switch text := strings.ToLower(r.cell(&row, i)); {
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
