package setup

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"thole/api/club"
	"thole/api/records"
	"thole/api/rest"
	"thole/api/setup"
	"thole/api/wire"
	"thole/ui/page"
)

// sheetPage is a work sheet as the page shows it, on the phone and on paper.
type sheetPage struct {
	Sheet    *setup.Sheet
	Done     bool
	By       string
	Drawing  setDrawing
	Wanted   []page.Entry
	Seats    []workSeat
	Matrix   []matrixRow // settings down, seats across
	Columns  int
	Here     []cautionView
	Standing []cautionView
	Moved    []page.ChangeView // what others changed since
	Made     string
	Finished string
	Problem  string // why it was not finished
	Problems []string
}

// workSeat is one seat on the phone.
type workSeat struct {
	setup.SheetSeat
	Words         string
	Planned       string
	Measured      string
	Moving, Still []workLine
}

// workLine is one setting of one seat.
type workLine struct {
	setup.SheetLine
	ID, Key             string
	Step                int
	Label, Unit         string
	Found, Want, Within string
	Value               string // in the field
	State               string // todo, good, off or bad
	Told                string // in words
	Focus               bool
}

// matrixRow is one setting of all seats, for paper.
type matrixRow struct {
	Step   int
	Label  string
	Unit   string
	Within string
	Cells  []*workLine
	Moves  bool
}

func newSheetPage(b *club.Boat, h *setup.Sheet, by string) *sheetPage {
	p := &sheetPage{
		Sheet: h, Done: h.DoneAt != nil, By: by, Columns: len(h.Seats),
		Made: h.CreatedBy + ", " + page.When(h.CreatedAt), Moved: page.ChangeViews(h.Moved),
	}
	if p.Done {
		p.Finished = h.DoneBy + ", " + page.When(*h.DoneAt)
	}
	for _, t := range h.Targets {
		p.Wanted = append(p.Wanted, wantedEntry(t))
	}
	marks := map[int]seatMark{}
	for i := range h.Seats {
		seat := newWorkSeat(b, &h.Seats[i])
		marks[seat.Number] = seatMark{seat.Name, fmt.Sprintf("#seat-%d", seat.Number), len(seat.Moving)}
		p.Seats = append(p.Seats, seat)
	}
	p.Drawing = newSetDrawing(b, marks)
	p.Matrix = newMatrix(h)
	p.Here, p.Standing = splitCautions(h.Cautions)
	return p
}

func newWorkSeat(b *club.Boat, s *setup.SheetSeat) workSeat {
	v := workSeat{SheetSeat: *s, Words: page.SeatWords(b, &b.Seats[s.Number-1]), Planned: arcText(s.Planned), Measured: arcText(s.Measured)}
	if v.Name == "" {
		v.Name = "no longer on record"
	}
	for i := range s.Lines {
		l := newWorkLine(&s.Lines[i])
		if l.Moves {
			l.Step = len(v.Moving) + 1
			v.Moving = append(v.Moving, l)
		} else {
			v.Still = append(v.Still, l)
		}
	}
	return v
}

func arcText(e *setup.ArcEnds) string {
	if e == nil {
		return ""
	}
	return "catch " + page.Fix(1, -e.CatchDeg) + "°, finish " + page.Fix(1, e.FinishDeg) + "°"
}

func newWorkLine(l *setup.SheetLine) workLine {
	unit := page.UnitOf(l.Setting)
	v := workLine{
		SheetLine: *l, ID: lineID(l.Seat, l.Setting), Key: newKey(), Label: page.SettingLabels[l.Setting], Unit: unit,
		Found: bareKnown(l.AsFound), Want: page.Plain(l.Target), Within: withinText(l.Tolerance, unit), State: "todo",
	}
	if l.Measured == nil {
		return v
	}
	v.Value, v.State = page.Plain(*l.Measured), "good"
	v.Told = "within " + v.Within
	if l.Off != 0 {
		v.State, v.Told = "off", "outside "+v.Within+": "+l.OffText
	}
	if l.MeasuredBy != "" && l.MeasuredAt != nil {
		v.Told += " · " + l.MeasuredBy + ", " + page.When(*l.MeasuredAt)
	}
	return v
}

// withinText writes a tolerance: lengths in mm.
func withinText(tolerance float64, unit string) string {
	if unit == "cm" {
		return "± " + page.Plain(10*tolerance) + " mm"
	}
	return "± " + page.Plain(tolerance) + unit
}

// mostTall is how many rows of work fit on paper with room to write.
const mostTall = 5

// Dense tells that the paper needs smaller rows to stay one sheet.
func (p *sheetPage) Dense() bool {
	tall := 0
	for _, row := range p.Matrix {
		if row.Moves {
			tall++
		}
	}
	return tall > mostTall
}

// newMatrix turns the lines so that each setting is a row, in the order of the
// work.
func newMatrix(h *setup.Sheet) []matrixRow {
	var rows []matrixRow
	place := map[string]int{}
	for c, seat := range h.Seats {
		for i := range seat.Lines {
			l := newWorkLine(&seat.Lines[i])
			at, ok := place[l.Setting]
			if !ok {
				at = len(rows)
				place[l.Setting] = at
				rows = append(rows, matrixRow{Label: l.Label, Unit: l.Unit, Within: l.Within, Cells: make([]*workLine, len(h.Seats))})
			}
			rows[at].Cells[c] = &l
			rows[at].Moves = rows[at].Moves || l.Moves
		}
	}
	step := 0
	for i := range rows {
		if rows[i].Moves {
			step++
			rows[i].Step = step
		}
	}
	return rows
}

// complainAt puts a complaint and what was typed at a line.
func (p *sheetPage) complainAt(id, typed, text string) {
	for i := range p.Seats {
		for _, lines := range [][]workLine{p.Seats[i].Moving, p.Seats[i].Still} {
			for j := range lines {
				if lines[j].ID == id {
					lines[j].Value, lines[j].State, lines[j].Told, lines[j].Focus = typed, "bad", text, true
					return
				}
			}
		}
	}
	p.Problem = text
}

// notFinished tells why a sheet was not finished.
func (p *sheetPage) notFinished(err error) {
	var moved *records.Conflict
	var bad *wire.Invalid
	switch {
	case errors.As(err, &moved):
		p.Problem = page.ClashNames(moved.Changes) + " changed the boat in the meantime. Nothing is lost and nothing was overwritten: look at what changed below, then finish once more."
		p.Moved = page.ChangeViews(moved.Changes)
	case errors.As(err, &bad):
		p.Problem = "Not finished yet."
		for _, f := range bad.Fields {
			text := f.Detail
			if strings.HasPrefix(f.Field, "seat ") {
				text = page.ChangeLabel(f.Field) + ": " + text
			}
			p.Problems = append(p.Problems, text)
		}
	default:
		p.Problem = rest.Explain(err).Detail
	}
}

// sentAt reads the moment that a script noted for a reading; nil for none.
func sentAt(text string) *time.Time {
	t, err := time.Parse(time.RFC3339, text)
	if err != nil {
		return nil
	}
	return &t
}
