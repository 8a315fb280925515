package schedule

import (
	"fmt"
	"math"
	"net/url"
	"strings"
	"testing"

	"thole/api/schedule"
	"thole/api/seatrace"
	"thole/ui/page"
)

func is[T comparable](t *testing.T, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) < 1e-9) {
		t.Errorf("%s: %g, want %g", what, got, want)
	}
}

func TestPlansInWords(t *testing.T) {
	is(t, "order", boolOrder(false, true) < 0 && boolOrder(true, false) > 0 && boolOrder(true, true) == 0, true)
	is(t, "shades", shadeOf(1, 1, 4)+shadeOf(2, 1, 4)+shadeOf(4, 1, 4)+shadeOf(1, 1, 1), "shade3shade2shade0shade2")
}

func expected(first, second string, sd float64, estimable, wanted bool) schedule.ExpectedDifference {
	return schedule.ExpectedDifference{First: first, Second: second, ExpectedSdS: sd, Estimable: estimable, Asked: wanted, Pieces: 3}
}

func TestExpectedErrorsInASquare(t *testing.T) {
	list := []schedule.ExpectedDifference{expected("Ann", "Bea", 1, true, true), expected("Ann", "Cat", 4, true, false), expected("Bea", "Cat", 9, false, true)}
	m := newExpectedMatrix(list, strings.Clone)
	is(t, "names", strings.Join(m.Names, " "), "Ann Bea Cat")
	is(t, "itself", m.Rows[1].Cells[1].Self && !m.Rows[0].Cells[1].Self, true)
	is(t, "best", m.Rows[0].Cells[1], expectedCell{Text: "1.00", Class: "shade3 asked"})
	is(t, "worst, both ways", m.Rows[2].Cells[0] == m.Rows[0].Cells[2] && m.Rows[2].Cells[0].Class == "shade0", true)
	is(t, "not compared", m.Rows[1].Cells[2].Class, "unknown asked")

	plan := &schedule.SeatRacePlan{Differences: list, SmallestS: 2, SmallestW: 5, ExpectedSdS: 1.5, Missing: 1}
	plan.Pieces = make([]schedule.PlannedPiece, 3)
	v := newScheduleView(plan, &schedule.SeatRacePlanRequest{BoatClass: "4+"}, nil, nil)
	is(t, "asked", v.Asked, 2)
	is(t, "the pair not compared by itself", strings.Join(v.Open, ", ")+": "+v.Pairs[0].First, "Bea / Cat: Ann")
	near(t, "as power", v.SdW, 3.75)
	is(t, "as power, a pair", v.Pairs[0].SdW, "3")
	is(t, "enough", v.Pairs[0].Enough, true)
	is(t, "summary", strings.Contains(v.Summary(), "1.50") && strings.Contains(v.Summary(), "1 of 2"), true)
	plan.Differences[0].Pieces = 4
	is(t, "not enough", newScheduleView(plan, &schedule.SeatRacePlanRequest{}, nil, nil).Pairs[0].Enough, false)
}

// TestCellsOfTheCrews are named by piece and athlete, and hold a boat of those there are;
// 0 is ashore.
func TestCellsOfTheCrews(t *testing.T) {
	for name, want := range map[string]bool{"c1_0": true, "c12_10": true, "1_0": false, "d1_0": false, "c1_x": false, "cx_0": false, "c1": false, "c1_": false, "": false, "class": false} {
		is(t, name, isCell(name), want)
	}
	squad := []seatrace.RaceParticipant{{Name: "Ann"}, {Name: "Bea"}, {Name: "Cat"}}
	for digits, want := range map[string]string{"120": "[[Ann] [Bea]] true", "221": "[[Cat] [Ann Bea]] true", "000": "[[] []] true", "123": "[] false", "12": "[] false", "1234": "[] false", "1/2": "[] false", "1x2": "[] false"} {
		crews, fits := crewsOf(digits, squad, 2)
		is(t, digits, fmt.Sprintf("%v %v", crews, fits), want)
	}
	typed := url.Values{"who": {"Dee"}, "c1_0": {"1"}, "name": {"Trial"}, "held_on": {"2026-03-03"}, "by": {"Udo"}, "boats": {"2"}, "pieces": {" "}, "squad": {"Ann\nBea"}}
	address, _ := url.Parse(scheduleAddress(typed))
	q := address.Query()
	is(t, "squad", q.Get("squad"), "Ann\nBea\nDee")
	is(t, "kept", q.Get("boats"), "2")
	for _, name := range []string{"who", "c1_0", "name", "held_on", "by", "pieces"} {
		is(t, name+" is left out", q.Has(name), false)
	}
}

// TestTheGridChoosesABoat for everybody in every piece; who moved is marked.
func TestTheGridChoosesABoat(t *testing.T) {
	c := newGridCell(1, 3, "Ann", '2', 2, true)
	told := c.Name + " " + c.Label + ":"
	for _, o := range c.Options {
		told += fmt.Sprintf(" %s=%s %v", o.Value, o.Text, o.Chosen)
	}
	is(t, "cell", told, "c2_3 Ann in piece 2: 0=– false 1=1 false 2=2 true")
}

// TestWhoMovesIsMarked: against the piece before, and nobody in the first; as many boats as
// were typed, and two at least.
func TestWhoMovesIsMarked(t *testing.T) {
	squad := []seatrace.RaceParticipant{{Name: "Ann"}, {Name: "Bea"}, {Name: "Cat"}}
	p := &schedulePage{}
	for _, digits := range []string{"120", "210", "213"} {
		p.ByHand = append(p.ByHand, page.Entry{Value: digits})
	}
	told := ""
	for _, row := range p.grid(squad) {
		for _, cell := range row.Cells {
			told += map[bool]string{true: "x", false: "-"}[cell.Moved]
		}
		told += " "
	}
	is(t, "moved", told, "-x- -x- --x ")
	is(t, "three boats and ashore", len(p.grid(squad)[0].Cells[0].Options), 4)
	p.ByHand = p.ByHand[:1]
	p.ByHand[0].Value = "101"
	is(t, "two boats and ashore", len(p.grid(squad)[0].Cells[0].Options), 3)
	is(t, "nothing", len((&schedulePage{}).grid(squad)), 0)
}

// TestTheSurestPairIsDarkest within a plan: by thirds between the best and the worst.
func TestTheSurestPairIsDarkest(t *testing.T) {
	for v, want := range map[float64]string{1: "shade3", 1.49: "shade3", 1.51: "shade2", 2.49: "shade2", 2.51: "shade1", 3.49: "shade1", 3.51: "shade0", 4: "shade0"} {
		is(t, fmt.Sprint(v), shadeOf(v, 1, 4), want)
	}
}

// TestBoatsAreNumberedFromOne, a line each.
func TestBoatsAreNumberedFromOne(t *testing.T) {
	is(t, "lines", strings.Join(boatLines([][]string{{"Ann", "Bea"}, {"Cat"}}), "; "), "Boat 1: Ann, Bea; Boat 2: Cat")
}

// TestFortyPiecesAreReadByHand, as many as there are in a row.
func TestFortyPiecesAreReadByHand(t *testing.T) {
	for n, want := range map[int]int{0: 0, 1: 1, 39: 39, 40: 40, 41: 40} {
		typed := url.Values{}
		for i := range n {
			typed.Set(fmt.Sprintf("p%d", i+1), "12")
		}
		is(t, fmt.Sprint(n), len(crewTexts(typed)), want)
	}
	is(t, "a gap ends them", len(crewTexts(url.Values{"p1": {"12"}, "p3": {"21"}})), 1)
	is(t, "cells", crewTexts(url.Values{"c1_0": {"2"}, "c1_1": {""}, "c1_2": {"1"}})[0].Value, "201")
}

// TestAPlanThatCannotBeIsAnsweredSo: with one complaint the status tells it, with none the
// page is in order.
func TestAPlanThatCannotBeIsAnsweredSo(t *testing.T) {
	p := &schedulePage{}
	is(t, "in order", p.status(), 200)
	p.Problems = append(p.Problems, page.Problem{})
	is(t, "one complaint", p.status(), 422)
}
