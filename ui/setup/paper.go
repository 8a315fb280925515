package setup

import (
	"fmt"
	"strings"

	"thole/api/club"
	"thole/ui/page"
)

// paperSheet is a work sheet on one page of A4.
type paperSheet struct {
	Title string
	Lead  string // what stays, and the order of the work
	Day   string
	Tally string
	Rows  []paperRow
	More  []paperMore // moves that have no column
	Heel  string      // head of the stretcher's column
	Heed  []cautionView
}

// paperRow is one seat.
type paperRow struct {
	Number        int
	Side, Name    string
	Word          verdictWord
	Heel, Gate    paperCell
	Finish, Catch string
	First         string // what is to be measured before the stretcher is moved
}

// paperCell is one setting of a seat.
type paperCell struct {
	Found, Set, Move, Own, Value string
	Stays                        bool
}

// paperMore is a move without a column of its own.
type paperMore struct{ Seat, Label, Found, Set, Move, Value string }

// newPaper lays a sheet out for paper.
func newPaper(b *club.Boat, p *sheetPage) paperSheet {
	w := paperSheet{Title: b.Name + ", " + strings.ToLower(b.Class.Name), Day: page.When(p.Sheet.CreatedAt), Heel: "Pins to heel, cm"}
	if p.Sheet.LineupName != "" {
		w.Title += ": set up for " + p.Sheet.LineupName
	}
	moves, busy := 0, 0
	for i := range p.Seats {
		s := &p.Seats[i]
		row := paperRow{Number: s.Number, Side: s.Side, Name: s.Name, Word: s.verdictWord, Finish: s.Check.Finish, Catch: s.Check.Catch}
		if s.Check.First {
			row.First = "height first"
		}
		for _, l := range append(append([]workLine{}, s.Moving...), s.Still...) {
			switch l.Setting {
			case "heel_to_pin_cm":
				row.Heel = newPaperCell(&l)
			case "gate_height_cm":
				row.Gate = newPaperCell(&l)
			default:
				if l.Moves {
					w.More = append(w.More, paperMore{fmt.Sprintf("Seat %d", s.Number), page.LowerFirst(l.Label), l.Found, l.Want + " " + l.Unit, l.Text, l.Value})
				}
			}
		}
		moves += len(s.Moving)
		busy += min(1, len(s.Moving))
		w.Rows = append(w.Rows, row)
	}
	w.Tally = count(moves, "move", "moves") + ", " + count(busy, "seat", "seats")
	w.Lead = paperLead(b, p)
	for _, c := range p.Here {
		if c.Weight == "warning" {
			w.Heed = append(w.Heed, c)
		}
	}
	return w
}

func newPaperCell(l *workLine) paperCell {
	c := paperCell{Found: tenth(l.Found), Set: tenth(l.Want), Own: l.Own, Value: l.Value, Stays: !l.Moves}
	if l.Moves {
		c.Move = strings.TrimPrefix(strings.TrimPrefix(strings.TrimPrefix(l.Text, "stretcher "), "both gates "), "gate ")
		c.Move = strings.Replace(strings.Replace(c.Move, "to the bow", "to bow", 1), "to the stern", "to stern", 1)
	}
	return c
}

// paperLead says what stays in every seat and in what order to work.
func paperLead(b *club.Boat, p *sheetPage) string {
	pins := pick(b.Class.Scull, "Span", "Spread")
	kept := []string{}
	for _, s := range [...]struct{ setting, word string }{{"span_cm", ""}, {"spread_cm", ""}, {"inboard_cm", "inboard"}, {"oar_length_cm", "oars"}} {
		if v, same := sameInAll(p, s.setting); same && v != "" {
			kept = append(kept, strings.TrimSpace(pick(s.word == "", pins, s.word)+" "+v))
		}
	}
	lead := ""
	if len(kept) > 0 {
		lead = strings.Join(kept, ", ") + " cm stay. "
	}
	return lead + "First stretchers, then gates, then each rower sits in: middle of the handle, tape along the saxboard. Verdicts are expected until then."
}

// sameInAll returns a setting's value where it stays and is the same in every seat.
func sameInAll(p *sheetPage, setting string) (value string, same bool) {
	for i := range p.Seats {
		found := false
		for _, l := range p.Seats[i].Still {
			if l.Setting == setting {
				found = true
				if value != "" && l.Want != value {
					return "", false
				}
				value = l.Want
			}
		}
		if !found {
			return "", false
		}
	}
	return value, true
}

// tenth writes a number with a digit after the point, as tapes are read.
func tenth(text string) string {
	if text == "" || text == "–" || strings.Contains(text, ".") {
		return text
	}
	return text + ".0"
}
