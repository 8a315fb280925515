package setup

import (
	"errors"
	"fmt"
	"html/template"
	"strconv"
	"strings"
	"time"

	"thole/api/fleet"
	"thole/api/records"
	"thole/api/rest"
	"thole/api/setup"
	"thole/api/wire"
	"thole/ui/page"
)

// sheetPage is a work sheet as the page shows it, on the phone and on paper.
type sheetPage struct {
	Sheet    *setup.Sheet
	Files    *page.Files
	Done     bool
	By       string
	Targets  []page.Entry
	Seats    []workSeat
	Paper    paperSheet
	Code     template.HTML // that leads a phone to the sheet; empty where none can
	Here     []cautionView
	Standing []cautionView
	Moved    []page.ChangeView // what others changed since
	Made     string
	Finished string
	Problem  string // why it was not finished
	Problems []string
	Ask      []string // what is still open, when it is to be finished all the same
	Checks   []finalCheck

	atBoat page.AtBoat
}

// finalCheck is one thing to look at before the boat goes out.
type finalCheck struct {
	Text   string
	Ticked bool
}

// workSeat is one seat on the phone.
type workSeat struct {
	setup.SheetSeat
	verdictWord
	Words         string
	Planned       string
	Measured      string
	Now           verdictWord // with what was measured
	Moving, Still []workLine
	Left          int // moves that are not measured within their tolerance
	Check         seatedCheck
}

// seatedCheck is the check of a stretcher with the rower in the seat.
type seatedCheck struct {
	Finish, Catch         string // where the handle is to stand, cm; empty: not known
	Key                   string
	FinishRead, CatchRead string // what was typed and refused
	Problem               string
	Readings              []string
	First                 bool // the rower is to be measured first
}

// workLine is one setting of one seat.
type workLine struct {
	setup.SheetLine
	ID, Key             string
	Step                int
	Label, Unit         string
	Found, Want, Within string
	Own                 string // in the boat's own mark
	Value               string // in the field
	Hint                string // in the empty field
	State               string // todo, good, off or bad
	Told                string // in words
	Focus               bool
}

func newSheetPage(b *fleet.Boat, h *setup.Sheet, by string) *sheetPage {
	p := &sheetPage{
		Sheet: h, Done: h.DoneAt != nil, By: by,
		Made: h.CreatedBy + ", " + page.When(h.CreatedAt), Moved: page.AtBoat(b.AtMark).Views(h.Moved), atBoat: b.AtMark,
	}
	if p.Done {
		p.Finished = h.DoneBy + ", " + page.When(*h.DoneAt)
	}
	for _, t := range h.Targets {
		p.Targets = append(p.Targets, targetEntry(t))
	}
	for i := range h.Seats {
		p.Seats = append(p.Seats, newWorkSeat(b, &h.Seats[i]))
	}
	p.Here, p.Standing = splitCautions(h.Cautions)
	for _, text := range h.Recheck {
		p.Checks = append(p.Checks, finalCheck{Text: strings.ToUpper(text[:1]) + text[1:]})
	}
	p.Paper = newPaper(b, p)
	return p
}

func newWorkSeat(b *fleet.Boat, s *setup.SheetSeat) workSeat {
	v := workSeat{
		SheetSeat: *s, verdictWord: verdictOf(s.Planned), Words: page.SeatWords(b, &b.Seats[s.Number-1]),
		Planned: arcText(s.Planned), Measured: arcText(s.Measured), Now: verdictOf(s.Measured), Check: newSeatedCheck(s),
	}
	if v.Name == "" {
		v.Name, v.verdictWord = "no longer on record", verdictWord{}
	}
	for i := range s.Lines {
		l := newWorkLine(&s.Lines[i])
		if l.Moves {
			l.Step = len(v.Moving) + 1
			v.Moving = append(v.Moving, l)
			if !l.Settled() {
				v.Left++
			}
		} else {
			v.Still = append(v.Still, l)
		}
	}
	return v
}

func newSeatedCheck(s *setup.SheetSeat) seatedCheck {
	c := seatedCheck{Key: newKey()}
	if s.Planned != nil {
		c.Finish, c.Catch, c.First = page.Fix(1, s.Planned.Proof.FinishCm), page.Fix(1, s.Planned.Proof.CatchCm), s.Planned.MeasureRower
	}
	for _, r := range s.Readings {
		var parts []string
		if r.FinishCm != nil {
			parts = append(parts, "finish "+page.Plain(*r.FinishCm)+" cm ("+page.Fix(1, *r.FinishDeg)+"°)")
		}
		if r.CatchCm != nil {
			parts = append(parts, "full reach "+page.Plain(*r.CatchCm)+" cm ("+page.Fix(1, -*r.CatchDeg)+"°)")
		}
		text := strings.Join(parts, ", ")
		if r.HeelTargetCm != nil {
			text += ": stretcher to " + page.Plain(*r.HeelTargetCm) + " cm"
		}
		c.Readings = append(c.Readings, text+" · "+r.By+", "+page.When(r.At))
	}
	return c
}

// arcText writes the arc to expect.
func arcText(o *setup.SeatOutcome) string {
	if o == nil {
		return ""
	}
	return "catch " + page.Fix(0, -o.ReachedCatchDeg) + "°, finish " + page.Fix(0, o.FinishDeg) + "° ± " + page.Fix(0, o.FinishSdDeg)
}

func newWorkLine(l *setup.SheetLine) workLine {
	unit := page.UnitOf(l.Setting)
	v := workLine{
		SheetLine: *l, ID: lineID(l.Seat, l.Setting), Key: newKey(), Label: page.SettingLabels[l.Setting], Unit: unit,
		Found: bareKnown(l.AsFound), Want: page.Plain(l.Target), Within: withinText(l.Tolerance, unit), Own: markText(l.Mark), State: "todo", Hint: hints[l.CountedIn],
	}
	if l.Measure && !l.Moves {
		v.Want, v.Within = "", ""
	}
	if l.Measured == nil {
		return v
	}
	v.Value, v.State = page.Plain(*l.Measured), "good"
	v.Told = "within " + v.Within
	if v.Within == "" {
		v.Told = "measured"
	}
	if l.Off != 0 {
		v.State, v.Told = "off", "outside "+v.Within+": "+l.OffText
	}
	if l.MeasuredBy != "" && l.MeasuredAt != nil {
		v.Told += " · " + l.MeasuredBy + ", " + page.When(*l.MeasuredAt)
	}
	return v
}

// hints say what can be typed for a reading, by what it is counted in.
var hints = map[string]string{"": "measured", "washer": "or +2 washers", "clam": "or +1 clam", "number": "or +1 insert", "hole": "or hole 7"}

// withinText writes a tolerance: lengths in mm.
func withinText(tolerance float64, unit string) string {
	if unit == "cm" {
		return "± " + page.Plain(10*tolerance) + " mm"
	}
	return "± " + page.Plain(tolerance) + unit
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

// notFinished reports why a sheet was not finished.
func (p *sheetPage) notFinished(err error) {
	var moved *records.Conflict
	var bad *wire.Invalid
	switch {
	case errors.As(err, &moved):
		p.Problem = page.ClashNames(moved.Changes) + " changed the boat in the meantime. Nothing is lost and nothing was overwritten: check what changed below, then finish again."
		p.Moved = p.atBoat.Views(moved.Changes)
	case errors.As(err, &bad):
		p.Problem = "Not finished yet."
		for _, f := range bad.Fields {
			text := f.Detail
			if i, setting, ok := f.Place().ItemOf(setup.SheetSeats); ok {
				text = page.ChangeWords(&wire.RecordChange{Seat: i + 1, Field: setting.First()}) + ": " + text
			}
			p.Problems = append(p.Problems, text)
		}
	default:
		p.Problem = rest.Explain(err).Detail
	}
}

// Left is how many moves are still to be done.
func (p *sheetPage) Left() int { return p.Sheet.ToDo - p.Sheet.Done }

// tick takes in which of the final checks were ticked.
func (p *sheetPage) tick(values []string) {
	for _, v := range values {
		if i, err := strconv.Atoi(v); err == nil && i >= 0 && i < len(p.Checks) {
			p.Checks[i].Ticked = true
		}
	}
}

// stillOpen lists in words what was not done: moves by seat, and final checks.
func (p *sheetPage) stillOpen() []string {
	var list []string
	for i := range p.Seats {
		s := &p.Seats[i]
		var not, off []string
		for _, l := range s.Moving {
			switch {
			case l.Measured == nil:
				not = append(not, page.LowerFirst(l.Label))
			case !l.Settled():
				off = append(off, page.LowerFirst(l.Label)+" "+l.Value+" "+l.Unit)
			}
		}
		var parts []string
		if len(not) > 0 {
			parts = append(parts, strings.Join(not, ", ")+" not measured")
		}
		if len(off) > 0 {
			parts = append(parts, strings.Join(off, ", ")+" outside the tolerance")
		}
		if len(parts) > 0 {
			list = append(list, s.Words+", "+s.Name+": "+strings.Join(parts, "; "))
		}
	}
	return append(list, p.unticked()...)
}

// unticked lists the final checks that were not ticked.
func (p *sheetPage) unticked() []string {
	var list []string
	for _, c := range p.Checks {
		if !c.Ticked {
			list = append(list, "Not ticked: "+page.LowerFirst(c.Text))
		}
	}
	if len(list) == len(p.Checks) {
		return []string{fmt.Sprintf("None of the %d final checks is ticked.", len(p.Checks))}
	}
	return list
}

// touched reports whether anything was measured at all.
func (p *sheetPage) touched() bool {
	for i := range p.Sheet.Seats {
		for j := range p.Sheet.Seats[i].Lines {
			if p.Sheet.Seats[i].Lines[j].Measured != nil {
				return true
			}
		}
	}
	return false
}

// sentAt reads the moment that a script noted for a reading; nil for none.
func sentAt(text string) *time.Time {
	t, err := time.Parse(time.RFC3339, text)
	if err != nil {
		return nil
	}
	return &t
}
