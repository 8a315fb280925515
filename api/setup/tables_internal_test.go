package setup

import (
	"strings"
	"testing"
)

// TestASetUpAsATable: what is to be done about each setting, with the arc to expect where the
// rig can be rowed.
func TestASetUpAsATable(t *testing.T) {
	v := func(v float64) *float64 { return &v }
	line := func(measure, moves bool) SetupLine {
		return SetupLine{Setting: "spread_cm", AsFound: v(86), Fitted: 85, Target: 85, Tolerance: 0.2, LineText: LineText{Measure: measure, Moves: moves, Text: "Pin in by 10 mm."}}
	}
	w := &Setup{BoatName: "Owl", Seats: []SetupSeat{
		{Number: 1, Side: "port", Name: "Ann", Lines: []SetupLine{line(true, true), line(false, true)}, Result: &SeatOutcome{CatchDeg: -55, FinishDeg: 34}},
		{Number: 2, Side: "starboard", Name: "Bea", Lines: []SetupLine{line(false, false)}},
	}}
	table := w.Table()
	var got []string
	for _, row := range table.Rows()[1:] {
		got = append(got, strings.Join([]string{row[1], row[3], row[6], row[8], row[10], row[12], row[13]}, "|"))
	}
	if want := "1|Ann|86|85|measure first|-55|34\n1|Ann|86|85|move|-55|34\n2|Bea|86|85|leave||"; strings.Join(got, "\n") != want {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), want)
	}
}

// TestASheetAsATable: how far a value lies outside is told once it was measured.
func TestASheetAsATable(t *testing.T) {
	v := func(v float64) *float64 { return &v }
	w := &Sheet{}
	w.BoatName = "Owl"
	w.Seats = []SheetSeat{{Number: 1, Name: "Ann", Lines: []SheetLine{{Setting: "spread_cm", Target: 85, Off: 0.3}, {Setting: "spread_cm", Target: 85, Measured: v(85.5), Off: 0.3}}}}
	table := w.Table()
	rows := table.Rows()
	if len(rows) != 3 || rows[1][11] != "" || rows[1][12] != "" || rows[2][11] != "85.5" || rows[2][12] != "0.3" {
		t.Errorf("%q", rows)
	}
}
