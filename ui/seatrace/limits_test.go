package seatrace

import (
	"fmt"
	"strings"
	"testing"

	"thole/api/records"
	"thole/api/rest"
	"thole/api/schedule"
	"thole/api/seatrace"
	"thole/api/wire"
)

// TestASwapIsCalled as the cox does it.
func TestASwapIsCalled(t *testing.T) {
	p := &racePage{}
	for n, want := range []string{"Same crews again.", "Ann comes in.", "Swap Ann and Bea.", "Change boats: Ann, Bea and Cat."} {
		is(t, "call", p.swapCall(&seatrace.RacePiece{Moved: []string{"Ann", "Bea", "Cat"}[:n]}), want)
	}
}

// raceOf is a race of a class between athletes with their sides.
func raceOf(class string, sides ...string) *racePage {
	p := &racePage{}
	p.Race.BoatClass = class
	for i, side := range sides {
		p.Race.Athletes = append(p.Race.Athletes, seatrace.RaceAthlete{Name: string(rune('A' + i)), Side: side})
	}
	return p
}

// TestPortsAreComparedWithStarboardsOnlyWhereAsked, or where nobody has a side.
func TestPortsAreComparedWithStarboardsOnlyWhereAsked(t *testing.T) {
	for _, c := range []struct {
		class, a, b      string
		together, across bool
		want             bool
	}{
		{"4-", "port", "starboard", false, false, false}, {"4-", "port", "port", false, false, true}, {"4-", "", "starboard", false, false, true}, {"4-", "port", "", false, false, true}, {"4-", "", "", false, false, true},
		{"4-", "port", "starboard", true, false, true}, {"4-", "port", "starboard", false, true, true}, {"4x", "port", "starboard", false, false, true},
	} {
		p := raceOf(c.class, c.a, c.b)
		p.Together, p.Race.Terms.AcrossSides = c.together, c.across
		is(t, fmt.Sprint(c), p.comparable("A", "B"), c.want)
	}
	p := raceOf("4-", "port", "starboard", "port")
	is(t, "a stranger", p.side("Z"), "")
	effects := []schedule.SeatRaceEffect{{ID: "A"}, {ID: "B"}, {ID: "C"}}
	is(t, "ports", len(p.ofSide(effects, "port")), 2)
	is(t, "starboards", p.ofSide(effects, "starboard")[0].ID, "B")
	is(t, "all", len(p.ofSide(effects, "")), 3)
}

// TestTheLikelierIsNamedFirst, with the signs turned along; half and half stays as it is.
func TestTheLikelierIsNamedFirst(t *testing.T) {
	d := schedule.SeatRaceDifference{First: "Ann", Second: "Bea", DifferenceS: -1, LowS: -3, HighS: 0.5, ChanceFirstFaster: 0.2, Certainty: "likely", Estimable: true}
	v := newVerdict(d, 5)
	is(t, "said", v.said()+" "+v.Text, "Bea over Ann: likely, 80 %. 1.00 s (−0.50 to 3.00), about 5 W.")
	d.ChanceFirstFaster, d.Certainty, d.Estimable = 0.5, "open", false
	v = newVerdict(d, 5)
	is(t, "said", v.said(), "Ann or Bea: open, 50 % for Ann.")
	is(t, "known before", strings.HasSuffix(v.Text, "this comes from what was known before."), true)
	list := []schedule.SeatRaceDifference{d}
	for _, c := range []struct {
		first, second string
		ok            bool
		by            float64
	}{{"Ann", "Bea", true, -1}, {"Bea", "Ann", true, 1}, {"Ann", "Cat", false, 0}, {"Cat", "Bea", false, 0}, {"Cat", "Ann", false, 0}, {"Bea", "Cat", false, 0}} {
		got, ok := differenceOf(list, c.first, c.second)
		is(t, c.first+" and "+c.second, ok == c.ok && got.DifferenceS == c.by, true)
	}
	for chance, want := range map[float64]string{0.5: "50 %", 0.999: "over 99 %", 0.001: "under 1 %", 0.99: "99 %", 0.01: "1 %", 0.995: "over 99 %", 0.9949: "99 %", 0.005: "1 %", 0.0049: "under 1 %"} {
		is(t, fmt.Sprint(chance), percent(chance), want)
	}
}

// TestRankingsAreOfThoseCompared: each group by itself, the fastest first; what was known
// before joins all.
func TestRankingsAreOfThoseCompared(t *testing.T) {
	e := schedule.SeatRaceEstimate{Effects: []schedule.SeatRaceEffect{{ID: "a", Group: 1, EffectS: 1}, {ID: "b", Group: 0, EffectS: 0}, {ID: "c", Group: 1, EffectS: 2}, {ID: "d", Group: 0, EffectS: 0.5}}}
	order := func() (text string) {
		for _, x := range ranking(&e) {
			text += x.ID
		}
		return text
	}
	is(t, "groups", order(), "dbca")
	titles := func(title string) (text string) {
		for _, g := range rankingsOf(&seatrace.RaceJudgement{Estimate: e}, ranking(&e), title) {
			text += fmt.Sprintf("%s: %d; ", g.Title, len(g.Athletes))
		}
		return text
	}
	is(t, "two groups", titles(""), "Compared with each other: 2; Compared with each other: 2; ")
	is(t, "two groups of ports", titles("Port"), "Port compared with each other: 2; Port compared with each other: 2; ")
	e.Effects[0].Group = 2 // alone
	is(t, "one and two alone", titles(""), "Compared with each other: 2; ")
	is(t, "of ports", titles("Port"), "Port: 2; ")
	e.Effects = e.Effects[1:2]
	is(t, "one", titles(""), ": 1; ")
	e.Racing, e.Prior = new(schedule.SeatRaceEvidence), new(schedule.SeatRaceEvidence)
	e.Effects = []schedule.SeatRaceEffect{{ID: "a", Group: 1, EffectS: 1}, {ID: "b", Group: 0, EffectS: 0}, {ID: "c", Group: 1, EffectS: 2}}
	is(t, "joined", order()+titles(""), "cab: 3; ")
}

// TestTheNextPieceBeginsWithTheLastCrews; the first with empty boats.
func TestTheNextPieceBeginsWithTheLastCrews(t *testing.T) {
	p := raceOf("2x", "", "")
	p.Race.Terms.Boats, p.Race.Terms.ExpectedTimeS = 2, 240
	is(t, "none yet", len(p.newEntry(1, "").Boats), 2)
	p.Race.Pieces = []seatrace.RacePiece{
		{State: "raced", Crews: [][]string{{"A"}, {"B"}}, TimesS: []*float64{wire.Ptr(240.), nil}, EnteredBy: "Udo", Note: "wind"},
		{State: "planned", Crews: [][]string{{"B"}, {"A"}}, TimesS: []*float64{nil, nil}, Moved: []string{"A", "B"}, RerunOf: wire.Ptr(1)},
	}
	for n, want := range map[int]string{1: "Udo wind   A|", 2: "  1 Swap A and B. |B", 3: "    B|"} {
		e := p.newEntry(n, "")
		is(t, fmt.Sprint(n), strings.Join([]string{e.By, e.Note, e.Rerun, e.Call, e.Boats[0].Crew + "|" + e.Boats[0].Moved}, " "), want)
	}
	lines := p.crewLines(&p.Race.Pieces[0])
	is(t, "taken", strings.HasPrefix(lines[0], "Boat 1: A – ") && lines[1] == "Boat 2: B – did not finish" || lines[1] == "Boat 2: B", true)
}

// TestADifferenceAfterEachPieceIsDrawn: faster is up, and the first intervals, too wide to
// show, are cut.
func TestADifferenceAfterEachPieceIsDrawn(t *testing.T) {
	var after []schedule.AfterPiece
	for i, half := range []float64{40, 4, 2} {
		d := difference("Ann", "Bea", 1, 1-half, 1+half)
		d.SdS = half / 2
		after = append(after, schedule.AfterPiece{Pieces: i + 1, Differences: []schedule.SeatRaceDifference{d}})
	}
	d, ok := newProgress(after, "Ann", "Bea")
	is(t, "drawn", ok, true)
	is(t, "ends", d.Top+" "+d.Bottom, "+12.0 s −12.0 s") // four times the last 3 s
	is(t, "first, cut", fmt.Sprint(d.Bars[0].Y1, d.Bars[0].Y2), "0 110")
	near(t, "middle", d.Bars[2].Y, 55*(1-1./12))
	is(t, "last", fmt.Sprintf("%.4f %.4f %s %v", d.Bars[2].Y1, d.Bars[2].Y2, d.Bars[2].Label, d.Bars[2].X), fmt.Sprintf("%.4f %.4f 3 %v", 55*(1-3./12), 55*(1+1./12), 60+34*2))
	is(t, "box", d.Box, "0 -12 146 146")
	after[1].Differences[0].SdS = 0
	d, _ = newProgress(after, "Ann", "Bea")
	is(t, "never known then", len(d.Bars), 2)
}

// TestALineOfThePaperNamesItsBoat: the second boat is boat 2; times to be confirmed are
// asked apart, and what has no place is told in one sentence.
func TestALineOfThePaperNamesItsBoat(t *testing.T) {
	s := &resultSheet{}
	err := wire.At("typed").Item(1).Invalid("is no time.")
	problem := rest.Explain(err)
	is(t, "the second", s.complain(&problem, err), "Boat 2: is no time.")
	err = wire.At("times_checked").Invalid("Confirm the times.")
	problem = rest.Explain(err)
	s.complain(&problem, err)
	is(t, "to confirm", s.Confirm, "Confirm the times.")
	is(t, "in one sentence", s.complain(&wire.Problem{Detail: "Not now."}, wire.ErrNotFound), "Not now.")
	is(t, "by somebody else", strings.HasPrefix(s.complain(&wire.Problem{}, &records.Conflict{}), "Somebody else has entered"), true)
}

// TestWhatWouldChangeTheResultIsTold where there is anything.
func TestWhatWouldChangeTheResultIsTold(t *testing.T) {
	y := &whyPage{}
	p := raceOf("2x", "", "")
	p.Judged = &judgedView{}
	y.addChange(p)
	is(t, "nothing", len(y.Change), 0)
}
