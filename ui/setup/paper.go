package setup

import (
	"fmt"
	"slices"
	"strings"

	"thole/api/fleet"
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
	// A small boat leaves room for more: bigger rows, the final checks, and what
	// stays.
	Size   string // one, two, four or eight
	Checks []finalCheck
	Stay   []paperMore
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
type paperMore struct{ Seat, Label, Found, Set, Move, Value, Unit string }

// newPaper lays a sheet out for paper.
func newPaper(b *fleet.Boat, p *sheetPage) paperSheet {
	w := paperSheet{Title: b.Name + ", " + strings.ToLower(b.Class.Name), Day: page.When(p.Sheet.CreatedAt), Heel: "Pins to heel, cm"}
	if len(p.Sheet.Staying) > 0 {
		var set []int
		for i := range p.Seats {
			set = append(set, p.Seats[i].Number)
		}
		w.Title += ", " + page.LowerFirst(seatList(set)) + " alone"
	}
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
					w.More = append(w.More, paperMore{fmt.Sprintf("Seat %d", s.Number), page.LowerFirst(l.Label), l.Found, l.Want + " " + l.Unit, l.Text, l.Value, l.Unit})
				}
			}
		}
		moves += len(s.Moving)
		busy += min(1, len(s.Moving))
		w.Rows = append(w.Rows, row)
	}
	w.Tally = count(moves, "move", "moves") + ", " + count(busy, "seat", "seats")
	w.Lead = paperLead(b, p)
	w.Heed = paperHeed(p)
	w.fillUp(p)
	return w
}

// fillUp gives the room that a small boat leaves to bigger rows, the final checks
// and what stays.
func (w *paperSheet) fillUp(p *sheetPage) {
	switch n := len(p.Seats); {
	case n > 4:
		w.Size = "eight"
		return
	case n > 2:
		w.Size = "four"
	case n == 2:
		w.Size = "two"
	default:
		w.Size = "one"
		w.Stay = staying(&p.Seats[0])
	}
	w.Checks = p.Checks
}

// staying lists what stays at a seat and has no column of its own.
func staying(s *workSeat) []paperMore {
	var list []paperMore
	for _, l := range s.Still {
		if l.Setting == "heel_to_pin_cm" || l.Setting == "gate_height_cm" {
			continue
		}
		m := paperMore{Label: l.Label, Found: withUnit(l.Found, l.Unit)}
		if l.Found == "–" {
			m.Found = "not measured"
		}
		list = append(list, m)
	}
	return list
}

// withUnit writes a value with its unit: degrees close up.
func withUnit(value, unit string) string { return value + pick(unit == "°", "", " ") + unit }

// paperHeed lists what to heed in this work: warnings, and what its moves ask for.
func paperHeed(p *sheetPage) []cautionView {
	var list []cautionView
	for _, c := range p.Here {
		if c.Weight == "warning" {
			list = append(list, c)
		}
	}
	if seats := p.moved("heel_to_pin_cm", "heel_depth_cm", "plate_angle_deg"); len(seats) > 0 {
		list = append(list, cautionView{Seats: seatList(seats), Text: "heel restraints and quick release tried before anyone rows."})
	}
	if seats := p.moved("gate_height_cm", "span_cm", "spread_cm", "stern_pitch_deg", "outward_pitch_deg"); len(seats) > 0 {
		list = append(list, cautionView{Seats: seatList(seats), Text: "pitch measured again after the gate or pin was moved."})
	}
	if p.Sheet.ToDo > 0 {
		list = append(list, cautionView{Text: "All moved nuts, gates and backstays tried again after the first outing."})
	}
	return list
}

// moved lists the seats at which one of the settings moves.
func (p *sheetPage) moved(settings ...string) []int {
	var seats []int
	for i := range p.Seats {
		if slices.ContainsFunc(p.Seats[i].Moving, func(l workLine) bool { return slices.Contains(settings, l.Setting) }) {
			seats = append(seats, p.Seats[i].Number)
		}
	}
	return seats
}

func newPaperCell(l *workLine) paperCell {
	c := paperCell{Found: tenth(l.Found), Set: tenth(l.Want), Own: l.Own, Value: l.Value, Stays: !l.Moves}
	if l.Moves {
		c.Move = moveAlone(l.Text)
	}
	return c
}

// moveAlone is a move without the name of what moves.
func moveAlone(text string) string {
	for _, name := range [...]string{"stretcher ", "both gates ", "gate "} {
		text = strings.TrimPrefix(text, name)
	}
	return strings.Replace(strings.Replace(text, "to the bow", "to bow", 1), "to the stern", "to stern", 1)
}

// paperLead reports what stays in every seat and in what order to work.
func paperLead(b *fleet.Boat, p *sheetPage) string {
	pins := pick(b.Class.Scull, "Span", "Spread")
	kept := []string{}
	for _, s := range [...]struct{ setting, word string }{{"span_cm", ""}, {"spread_cm", ""}, {"inboard_cm", "inboard"}, {"oar_length_cm", "oars"}} {
		if v, same := sameInAll(p, s.setting); same && v != "" {
			kept = append(kept, strings.TrimSpace(pick(s.word == "", pins, s.word)+" "+v+" cm"))
		}
	}
	lead := ""
	if len(kept) > 0 {
		lead = strings.Join(kept, ", ") + " stay. "
	}
	if len(p.Sheet.Staying) > 0 {
		lead += "The other seats stay as they are. "
	}
	var order []string
	for _, o := range [...]struct{ word, setting string }{{"stretchers", "heel_to_pin_cm"}, {"gates", "gate_height_cm"}} {
		if len(p.moved(o.setting)) > 0 {
			order = append(order, o.word)
		}
	}
	const sits = "Then each rower sits in: middle of the handle, tape along the saxboard. Verdicts are expected until that is read."
	if len(order) == 0 {
		return lead + sits
	}
	return lead + fmt.Sprintf("First the %s. ", strings.Join(order, ", then the ")) + sits
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
