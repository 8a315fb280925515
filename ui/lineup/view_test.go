package lineup

import (
	"math"
	"strings"
	"testing"

	"thole/api/lineup"
	"thole/api/seat"
)

func is[T comparable](t *testing.T, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

func TestCrewsInWords(t *testing.T) {
	is(t, "sides", sideLetters([]string{"port", "starboard"}), "P S")
	row := func(name string, mass float64) seatRow { return seatRow{Name: name, Short: name, MassKg: mass} }
	is(t, "one", balance([]seatRow{row("a", 80)}), "")
	text := balance([]seatRow{row("a", 80), row("b", 70), row("c", 60.4), row("d", 60)})
	is(t, "bow and stern", strings.Contains(text, " 150 kg") && strings.Contains(text, " 120 kg"), true)
	is(t, "letter", seatRow{Side: "port"}.Letter()+seatRow{}.Letter(), "P")
}

// TestTheCrewIsDrawnInItsBoat: names and masses stand beside an eight that is long
// and thin, and every drawing of a page has names of its own.
func TestTheCrewIsDrawnInItsBoat(t *testing.T) {
	var rows []seatRow
	for i := range 8 {
		rows = append(rows, seatRow{Number: i + 1, Name: "Rower " + string(rune('A'+i)), Side: []string{"starboard", "port"}[i%2], MassKg: 80 + float64(i)})
	}
	eight := string(crewFigure("one", rows, seat.BoatClass{Code: "8+"}, "Cass Cox"))
	for _, text := range []string{"1, starboard: Rower A", "8, port: Rower H", "Cox: Cass Cox", "80 kg", `id="one-288`, "The crew from above"} {
		is(t, text, strings.Contains(eight, text), true)
	}
	double := string(crewFigure("two", rows[:2], seat.BoatClass{Code: "2x", Scull: true}, ""))
	is(t, "another name", strings.Contains(double, `id="one`) || strings.Contains(double, "Cox"), false)
	is(t, "names of drawings", figureID("Line-up 2b"), "crew-line-up-2b")
}

// TestTheTurningMomentIsUpToPort on a frame of 200 by 70 with nought in the
// middle; a small moment is not blown up.
func TestTheTurningMomentIsUpToPort(t *testing.T) {
	c := newTurningChart([]float64{0, 1.5, -3})
	is(t, "most", c.Most, 3)
	is(t, "path", c.Path, "M0 35L100 19L200 67")
	is(t, "title", strings.Contains(c.Title, "3.00"), true)
	is(t, "small", newTurningChart([]float64{0.75, 0}).Path, "M0 19L200 35")
	var long []float64
	for i := range 101 {
		long = append(long, float64(i))
	}
	rows := newTurningChart(long).Rows
	is(t, "rows", len(rows) == 11 && rows[1] == turningRow{10, 10}, true)
}

func TestExchangesInWords(t *testing.T) {
	swap := func(change float64, possible bool, breaks ...string) lineup.SeatSwap {
		return lineup.SeatSwap{ChangeS: change, Possible: possible, Breaks: breaks}
	}
	for _, c := range []struct {
		got, want swapCell
	}{
		{newSwapCell(swap(1, true), true), swapCell{"", "self"}}, {newSwapCell(swap(1, false), false), swapCell{"\u2013", "bar"}},
		{newSwapCell(swap(1.234, true, "x"), false), swapCell{"+1.23*", "rule"}}, {newSwapCell(swap(-0.04, true), false), swapCell{"\u22120.04", "near"}},
		{newSwapCell(swap(0.05, true), false), swapCell{"+0.05", ""}}, {newSwapCell(swap(-1, true), false), swapCell{"\u22121.00", ""}},
	} {
		is(t, "cell", c.got, c.want)
	}
	p := &lineupPage{names: map[string]string{"a": "Ann", "b": "Bea"}, short: map[string]string{"a": "A", "b": "B"}}
	p.Compared = []lineupView{{Lineup: &lineup.ScoredLineup{Seats: []string{"a", "b"}}}}
	swaps := []lineup.SeatSwap{{Seat: 1, OtherSeat: 2, Possible: true, ChangeS: 1}, {Seat: 1, Possible: false, ChangeS: 0.1}}
	for i := range nextInShown + 2 {
		who := string(rune('k' + i))
		swaps = append(swaps, lineup.SeatSwap{First: "a", Second: who, Seat: 1, Possible: true, ChangeS: float64(10 - i), PowerS: 3, MassS: -1})
		swaps = append(swaps, lineup.SeatSwap{First: "b", Second: who, Seat: 2, Possible: true, ChangeS: float64(20 - i)}) // not their best
	}
	nextIn, rows := p.swapTable(swaps)
	is(t, "the best athletes outside the boat", len(nextIn) == nextInShown && nextIn[0].Total == 1 && nextIn[1].Total == 2, true)
	is(t, "told apart", nextIn[0].Power == 3 && nextIn[0].Mass == -1 && nextIn[0].Rest == -1, true)
	is(t, "both ways", rows[0].Cells[1] == rows[1].Cells[0] && rows[0].Cells[1].Text == "+1.00" && rows[0].Cells[0].Class == "self", true)
	loss := p.lossRow(lineup.SeatLoss{ID: "a", Possible: true, Proven: true, CostS: 1.5, Best: &lineup.ScoredLineup{Seats: []string{"b", "c"}}}, []string{"a", "c"})
	is(t, "without", loss.Name == "Ann" && loss.Cost == "+1.50" && strings.Contains(loss.Text, "B"), true)
	loss = p.lossRow(lineup.SeatLoss{ID: "a", CostS: 1.5}, nil)
	is(t, "cannot do without", loss.Cost, "\u2013")
}

// TestSharesInWords: only never and always are 0 and 100 %.
func TestSharesInWords(t *testing.T) {
	for share, want := range map[float64]string{0: "0 %", 0.001: "under 1 %", 0.25: "25 %", 0.996: "over 99 %", 1: "100 %"} {
		is(t, "share", firmShare(share), want)
	}
	for _, c := range []struct {
		certainty string
		share     float64
		want      string
	}{
		{"firm", 0.95, "firm"}, {"likely", 0.7, "likely"}, {"open", 0.5, "open"}, {"open", 0.4, "open"},
		{"likely", 0.2, "likely, not in the boat"}, {"firm", 0.01, "firm, not in the boat"}, {"likely", 0.5, "likely"},
	} {
		is(t, c.certainty, firmWords(c.certainty, c.share), c.want)
	}
	p := &lineupPage{names: map[string]string{"a": "Ann"}}
	row := p.firmRow([]int{1, 2, 3}, map[string]float64{"1": 0.5, "2": 0.004, "3": 0.005}, "a", "firm", 0.96)
	is(t, "in words", row.Words+" "+row.Share, "firm 96 %")
	is(t, "seats", row.Seats[0] == "50" && row.Seats[1] == "" && row.Seats[2] != "", true)
}

func TestTheFirmestComeFirst(t *testing.T) {
	p := &lineupPage{names: map[string]string{"a": "Ann", "b": "Bea", "c": "Cat", "d": "Dot"}, Class: seat.BoatClass{Rowers: 2}}
	answer := &lineup.LineupsAnswer{Firmness: &lineup.Firmness{Draws: 500, Selected: map[string]float64{"a": 0.5, "b": 0.9, "c": 0, "d": 0.5}}}
	v := newFirmView(p, answer)
	var names []string
	for _, r := range v.Rows {
		names = append(names, r.Name)
	}
	is(t, "rows", strings.Join(names, " "), "Bea Ann Dot")
	is(t, "seats", len(v.Seats) == 2 && v.Seats[0] == 1, true)
	is(t, "draws", v.Draws, 500)
	is(t, "no number is lost", math.IsNaN(v.SameCrew), false)
}

func TestNextCrewInWords(t *testing.T) {
	p := &lineupPage{short: map[string]string{"1": "Ann", "2": "Bea", "3": "Cy", "4": "Di"}}
	crews := func(proven bool, more ...lineup.RankedCrew) *lineup.CrewsAnswer {
		return &lineup.CrewsAnswer{Proven: proven, Crews: append([]lineup.RankedCrew{{}}, more...)}
	}
	for want, a := range map[string]*lineup.CrewsAnswer{
		"No other crew keeps your rules.":                                                                              crews(true),
		"No other crew was found in time.":                                                                             crews(false),
		"Next best crew: Ann for Bea, +0.42 s in its best line-up.":                                                    crews(true, lineup.RankedCrew{CostS: .42, In: []string{"1"}, Out: []string{"2"}}),
		"Next best crew: Ann and Cy for Bea and Di, +0.05 s in its best line-up, too close to tell.":                   crews(true, lineup.RankedCrew{CostS: .05, In: []string{"1", "3"}, Out: []string{"2", "4"}}),
		"Next best crew: Ann for Bea, +2.00 s in its best line-up. The search was stopped: there may be a better one.": crews(false, lineup.RankedCrew{CostS: 2, In: []string{"1"}, Out: []string{"2"}}),
	} {
		p.Answer = a
		if got := p.NextCrew(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestLineupsAreCalledByCrewAndLetter(t *testing.T) {
	for name, at := range map[string]place{"1": {}, "1b": {0, 1}, "4c": {3, 2}} {
		got, ok := placeOf(name, 4, 3)
		is(t, name, ok && got == at && at.String() == name, true)
	}
	for _, name := range []string{"", "0", "5", "1a", "1d", "b", "1bb", "01", "1B", "+1"} {
		_, ok := placeOf(name, 4, 3)
		is(t, "not called "+name, ok, false)
	}
}

func TestSeatsInWords(t *testing.T) {
	is(t, "one", seatList([]int{3}), "seat 3")
	is(t, "two", seatList([]int{3, 4}), "seats 3 and 4")
	is(t, "three", seatList([]int{1, 3, 4}), "seats 1, 3 and 4")
	p := &lineupPage{}
	is(t, "none", p.rerigWords(&lineup.ScoredLineup{}), "")
	is(t, "work", p.rerigWords(&lineup.ScoredLineup{Rerigged: []int{2}}), "Re-rig seat 2")
}

// TestTheFirstAndTheLastSeatAreEnds, which cannot move further; names of drawings keep
// the letters and digits of their titles, the first and the last of each too.
func TestTheFirstAndTheLastSeatAreEnds(t *testing.T) {
	p := &lineupPage{names: map[string]string{"a": "Ann", "b": "Bea", "c": "Cat"}}
	rows := p.seatRows([]string{"a", "b", "c"}, []string{"port", "starboard"})
	for i, want := range []struct {
		name, side string
		first, end bool
	}{{"Ann", "port", true, false}, {"Bea", "starboard", false, false}, {"Cat", "", false, true}} {
		if r := rows[i]; r.Number != i+1 || r.Name != want.name || r.Side != want.side || r.First != want.first || r.End != want.end {
			t.Errorf("seat %d: %+v", i+1, r)
		}
	}
	if got := figureID("Az 09{`:/"); got != "crew-az-09----" {
		t.Error(got)
	}
}

// TestAnotherRigInWords: what is shown as 0.00 s is no gain, and a small one is not to
// be told on the water.
func TestAnotherRigInWords(t *testing.T) {
	for _, c := range []struct {
		seats []int
		gain  float64
		want  string
	}{
		{nil, 1, "No other rig of its riggers makes Swift faster."}, {[]int{2}, 0.0049, "No other rig of its riggers makes Swift faster."},
		{[]int{2}, 0.005, "Re-rigging seat 2 would make Swift 0.01 s faster, too close to tell on the water."},
		{[]int{2, 3}, lineup.CloseS, "Re-rigging seats 2 and 3 would make Swift 0.10 s faster."},
	} {
		is(t, "in words", rerigText("Swift", c.seats, c.gain), c.want)
	}
}

// TestMoreDrawsAreOffered where fewer were made than a job makes, and nobody stopped them.
func TestMoreDrawsAreOffered(t *testing.T) {
	for _, c := range []struct {
		firm *firmView
		want bool
	}{{nil, false}, {&firmView{Draws: firmDraws - 1}, true}, {&firmView{Draws: firmDraws}, false}, {&firmView{Draws: 10, Stopped: true}, false}} {
		is(t, "offered", (&lineupPage{Firm: c.firm}).Redrawn(), c.want)
	}
}
