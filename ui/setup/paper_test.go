package setup

import (
	"strings"
	"testing"
	"time"

	"thole/api/fleet"
	"thole/api/setup"
	"thole/api/wire"
)

// lineOf is a line of a sheet.
func lineOf(seat int, setting string, found, want float64, moves bool) *setup.SheetLine {
	l := &setup.SheetLine{Seat: seat, Setting: setting, AsFound: &found, Target: want, Tolerance: 0.2}
	l.Moves = moves
	return l
}

// paperOf lays a sheet of a class out: at each seat the settings, which move where the
// heel goes from 22 to 24.5 cm.
func paperOf(class string, seats int, change func(*setup.Sheet)) (*sheetPage, paperSheet) {
	b := &fleet.Boat{}
	b.Name, b.BoatClass, b.Class.Name, b.Class.Scull = "Heron", class, "Double scull", strings.HasSuffix(class, "x")
	h := &setup.Sheet{ToDo: 1, Recheck: []string{"nuts tight", "gates turn"}}
	h.CreatedBy, h.CreatedAt = "Udo", time.Date(2026, 3, 3, 10, 0, 0, 0, time.UTC)
	for n := 1; n <= seats; n++ {
		b.Seats = append(b.Seats, fleet.BoatSeat{SeatFields: fleet.SeatFields{Number: n}})
		heel := lineOf(n, "heel_to_pin_cm", 22, 24.5, n == 1)
		s := setup.SheetSeat{Number: n}
		s.Name = "Rower"
		for _, l := range []*setup.SheetLine{heel, lineOf(n, "span_cm", 158, 158, false), lineOf(n, "inboard_cm", 88, 88, false), lineOf(n, "oar_length_cm", 288, 288, false), lineOf(n, "gate_height_cm", 17, 17, false)} {
			s.Lines = append(s.Lines, *l)
		}
		h.Seats = append(h.Seats, s)
	}
	if change != nil {
		change(h)
	}
	p := newSheetPage(b, h, "Udo")
	return p, p.Paper
}

// TestThePaperLeadsThroughTheWork: what stays in every seat is said once, the order of work
// for what moves, and the tally counts seats with a move.
func TestThePaperLeadsThroughTheWork(t *testing.T) {
	const sits = "Then each rower sits in: middle of the handle, tape along the saxboard. Verdicts are expected until that is read."
	_, w := paperOf("2x", 2, nil)
	is(t, "lead", w.Lead, "Span 158 cm, inboard 88 cm, oars 288 cm stay. First the stretchers. "+sits)
	is(t, "tally", w.Tally, "1 move, 1 seat")
	is(t, "title", w.Title, "Heron, double scull")
	is(t, "size", w.Size, "two")
	_, w = paperOf("2x", 2, func(h *setup.Sheet) {
		h.Seats[1].Lines[1].Target, h.Seats[1].Lines[2].Moves, h.Seats[1].Lines[4].Moves = 160, true, true
		h.Staying, h.LineupName = []int{3}, "Henley"
	})
	is(t, "lead", w.Lead, "oars 288 cm stay. The other seats stay as they are. First the stretchers, then the gates. "+sits)
	is(t, "tally", w.Tally, "3 moves, 2 seats")
	is(t, "title", w.Title, "Heron, double scull, seats 1, 2 alone: set up for Henley")
	is(t, "more", len(w.More), 1)
	_, w = paperOf("2x", 2, func(h *setup.Sheet) { h.Seats[0].Lines[0].Moves = false })
	is(t, "nothing moves", w.Lead, "Span 158 cm, inboard 88 cm, oars 288 cm stay. "+sits)
	is(t, "tally", w.Tally, "0 moves, 0 seats")
}

// TestThePaperIsFilled: bigger rows for smaller boats, and what stays for a single.
func TestThePaperIsFilled(t *testing.T) {
	for n, want := range map[int]string{1: "one", 2: "two", 3: "four", 4: "four", 5: "eight", 8: "eight"} {
		_, w := paperOf("4x", n, nil)
		is(t, "size", w.Size, want)
		is(t, "checks", len(w.Checks), map[bool]int{true: 0, false: 2}[n > 4])
		is(t, "what stays", len(w.Stay), map[bool]int{true: 3}[n == 1])
	}
}

// TestACellOfThePaper: as found, to set, and the move without its name.
func TestACellOfThePaper(t *testing.T) {
	_, w := paperOf("2x", 2, nil)
	heel := w.Rows[0].Heel
	is(t, "found", heel.Found+" to "+heel.Set, "22.0 to 24.5")
	is(t, "stays", heel.Stays, false)
	is(t, "the other", w.Rows[1].Heel.Stays && w.Rows[1].Heel.Move == "", true)
	for text, want := range map[string]string{"": "", "–": "–", "22": "22.0", "22.5": "22.5"} {
		is(t, text, tenth(text), want)
	}
	is(t, "degrees", withUnit("4", "°")+", "+withUnit("88", "cm"), "4°, 88 cm")
	is(t, "alone", moveAlone("stretcher 2.5 cm to the stern"), "2.5 cm to stern")
}

// TestAReadingIsToldWithItsTolerance, whoever read it and when, where both are known.
func TestAReadingIsToldWithItsTolerance(t *testing.T) {
	at := time.Date(2026, 3, 3, 10, 0, 0, 0, time.UTC)
	for name, c := range map[string]struct {
		change      func(*setup.SheetLine)
		told, state string
	}{
		"within":  {func(l *setup.SheetLine) { l.Measured = wire.Ptr(24.4) }, "within ± 2 mm", "good"},
		"outside": {func(l *setup.SheetLine) { l.Measured, l.Off, l.OffText = wire.Ptr(25.), 0.5, "3 mm too far" }, "outside ± 2 mm: 3 mm too far", "off"},
		"below":   {func(l *setup.SheetLine) { l.Measured, l.Off, l.OffText = wire.Ptr(24.), -0.5, "3 mm short" }, "outside ± 2 mm: 3 mm short", "off"},
		"nobody":  {func(l *setup.SheetLine) { l.Measured, l.MeasuredAt = wire.Ptr(24.4), &at }, "within ± 2 mm", "good"},
		"never":   {func(l *setup.SheetLine) { l.Measured, l.MeasuredBy = wire.Ptr(24.4), "Udo" }, "within ± 2 mm", "good"},
		"measure": {func(l *setup.SheetLine) { l.Measured, l.Measure, l.Moves = wire.Ptr(24.4), true, false }, "measured", "good"},
		"open":    {func(l *setup.SheetLine) {}, "", "todo"},
	} {
		l := lineOf(1, "heel_to_pin_cm", 22, 24.5, true)
		c.change(l)
		v := newWorkLine(l)
		is(t, name, v.Told+", "+v.State, c.told+", "+c.state)
	}
	l := lineOf(1, "heel_to_pin_cm", 22, 24.5, true)
	l.Measured, l.MeasuredBy, l.MeasuredAt = wire.Ptr(24.4), "Udo", &at
	is(t, "both", strings.HasPrefix(newWorkLine(l).Told, "within ± 2 mm · Udo, "), true)
	is(t, "degrees", withinText(0.5, "°"), "± 0.5°")
}

// TestWhatIsStillOpen: by seat, what was not measured and what lies outside; the checks one
// by one, or all at once.
func TestWhatIsStillOpen(t *testing.T) {
	p, _ := paperOf("2x", 2, nil)
	is(t, "untouched", p.touched(), false)
	is(t, "all", strings.Join(p.stillOpen(), "|"), p.Seats[0].Words+", Rower: stretcher position not measured|None of the 2 final checks is ticked.")
	p.tick([]string{"0", "2", "-1", "x"})
	is(t, "one ticked", strings.Join(p.unticked(), "|"), "Not ticked: gates turn")
	p.tick([]string{"1"})
	is(t, "both ticked", len(p.unticked()), 0)
	p, _ = paperOf("2x", 2, func(h *setup.Sheet) {
		h.Seats[0].Lines[0].Measured, h.Seats[0].Lines[0].Off = wire.Ptr(25.5), 1
		h.ToDo, h.Done = 3, 1
	})
	is(t, "touched", p.touched(), true)
	is(t, "left", p.Left(), 2)
	is(t, "outside", p.stillOpen()[0], p.Seats[0].Words+", Rower: stretcher position 25.5 cm outside the tolerance")
	p.complainAt(p.Seats[1].Still[2].ID, "wide", "is not a number")
	is(t, "at the line", p.Seats[1].Still[2].State+" "+p.Seats[1].Still[2].Value+" "+p.Problem, "bad wide ")
	is(t, "not at others", p.Seats[1].Still[1].State+p.Seats[0].Still[2].State, "todotodo")
	p.complainAt("elsewhere", "wide", "is not a number")
	is(t, "at none", p.Problem, "is not a number")
}

// TestASeatedReadingIsToldAsLengths: the catch without its sign.
func TestASeatedReadingIsToldAsLengths(t *testing.T) {
	for _, c := range []struct {
		r    setup.SeatReading
		want string
	}{
		{setup.SeatReading{FinishCm: wire.Ptr(60.), FinishDeg: wire.Ptr(43.)}, "finish 60 cm (43.0°) · Udo"}, {setup.SeatReading{CatchCm: wire.Ptr(30.), CatchDeg: wire.Ptr(-58.), HeelTargetCm: wire.Ptr(24.)}, "full reach 30 cm (58.0°): stretcher to 24 cm · Udo"},
	} {
		c.r.By = "Udo"
		s := &setup.SheetSeat{Readings: []setup.SeatReading{c.r}}
		if got := newSeatedCheck(s); !strings.HasPrefix(got.Readings[0], c.want) || got.Finish != "" {
			t.Errorf("%+v, want %s", got, c.want)
		}
	}
	o := &setup.SeatOutcome{ReachedCatchDeg: -58.4, FinishDeg: 42.6}
	o.FinishSdDeg = 2.2
	is(t, "arc", arcText(o), "catch 58°, finish 43° ± 2")
	is(t, "no arc", arcText(nil), "")
}

// TestASetupIsAskedForInShort: one rower is no plural.
func TestASetupIsAskedForInShort(t *testing.T) {
	p := &crewSetPage{Level: "club"}
	p.request.Crew = make([]setup.CrewPlace, 1)
	is(t, "one", p.asked(), "1 rower · club arcs")
	p.request.Crew = make([]setup.CrewPlace, 2)
	p.Light, p.Job, p.NewOars, p.request.Only = true, "full_rerig", "Blue", []int{2}
	is(t, "all", p.asked(), "2 rowers · club arcs, light · full re-rig · Blue · only seat 2")
	p.Job, p.NewOars = "everyday", ""
	is(t, "everyday", p.asked(), "2 rowers · club arcs, light · only seat 2")
}
