package setup

import (
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"thole/api/seat"
	"thole/api/setup"
	"thole/ui/figure/code"
	"thole/ui/page"
)

func is[T comparable](t *testing.T, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// TestTheCatchIsToldWithoutItsSign: before square is negative inside, and a plain
// number to people.
func TestTheCatchIsToldWithoutItsSign(t *testing.T) {
	catch := targetEntry(seat.CommonTarget{Target: "catch_deg", Value: -58.5})
	is(t, "catch", catch.Value, "58.5°")
	is(t, "finish", targetEntry(seat.CommonTarget{Target: "finish_deg", Value: 42}).Value, "42°")
	is(t, "finish before square", targetEntry(seat.CommonTarget{Target: "finish_deg", Value: -1}).Value, "\u22121°")
	chosen := targetEntry(seat.CommonTarget{Target: "catch_deg", Value: -58.5, Chosen: true})
	is(t, "chosen", strings.HasPrefix(chosen.Value, "58.5°") && chosen.Value != catch.Value, true)
}

func TestTargetsAreTypedWithoutTheSign(t *testing.T) {
	p := &crewSetPage{typed: url.Values{"catch_deg": {"58.5"}, "finish_deg": {"42"}}, bad: map[string]string{}}
	got := p.targets()
	is(t, "catch", *got.CatchDeg, -58.5)
	is(t, "finish", *got.FinishDeg, 42)
	is(t, "none complained of", len(p.bad), 0)
}

// TestWhatIsMissedIsToldByItsDirection: a finish too far along is past the target,
// a catch not reached is short of it; what lies within the tolerance is not told.
func TestWhatIsMissedIsToldByItsDirection(t *testing.T) {
	missed := func(finish, catch float64) string {
		return reasonOf(&setup.SetupSeat{Result: &setup.SeatOutcome{Verdict: setup.Verdict{FinishByDeg: finish, CatchShortDeg: catch, ToleranceDeg: 1}}})
	}
	is(t, "past", missed(2.25, 0), "finish 2° past the target")
	is(t, "short", missed(-2, 0), "finish 2° short of the target")
	is(t, "catch", missed(0, 1.5), "the body reaches 2° short of the catch")
	is(t, "both", strings.Count(missed(3, 3), "; "), 1)
	is(t, "within", missed(-1, 1), "")
	one := &setup.SetupSeat{HeldBy: []string{"x"}, Result: &setup.SeatOutcome{Verdict: setup.Verdict{FinishByDeg: 2, ToleranceDeg: 1}}}
	is(t, "held", strings.HasSuffix(reasonOf(one), "caution"), true)
	one.Result.FinishByDeg = 0
	is(t, "held with nothing missed", reasonOf(one), "")
	one.Result.FinishByDeg, one.Result.MeasureRower = 5, true
	is(t, "nothing is missed of an unknown body", reasonOf(one), "")
}

// TestASetupIsSummedUp: moves and the seats with any, then how the seats stand.
func TestASetupIsSummedUp(t *testing.T) {
	said := func(p crewPlan) string {
		p.Headline, p.Sub = p.headline()
		return p.Summary()
	}
	seats := func(words ...string) (list []planSeat) {
		for i, w := range words {
			list = append(list, planSeat{SetupSeat: setup.SetupSeat{Number: i + 1}, verdictWord: verdictWord{Word: w}})
		}
		return list
	}
	is(t, "nothing", said(crewPlan{Seats: seats("on target")}), "Nothing needs to move. Expected then: 1 seat on target. The check in the seat proves it.")
	is(t, "one rower", said(crewPlan{Moves: 2, Busy: 1, Seats: seats("on target")}), "2 moves in 1 seat for this rower. Expected then: 1 seat on target. The check in the seat proves it.")
	is(t, "a crew", said(crewPlan{Moves: 3, Busy: 2, Seats: seats("nearly", "on target", "on target")}),
		"3 moves in 2 seats bring this crew together. Expected then: 2 seats on target, 1 seat nearly. The check in the seat proves it.")
	is(t, "one move", strings.HasPrefix(said(crewPlan{Moves: 1, Busy: 1, Seats: seats("nearly", "nearly")}), "1 move in 1 seat brings this crew together."), true)
	is(t, "seats that stay off", strings.HasPrefix(said(crewPlan{Moves: 4, Busy: 3, Seats: seats("off", "on target", "cannot be rowed")}), "4 moves in 3 seats; seats 1, 3 stay off. Expected"), true)
	is(t, "off and nothing to move", strings.HasPrefix(said(crewPlan{Seats: seats("on target", "off")}), "Nothing to move; seat 2 stays off. Expected"), true)
	is(t, "somebody unknown", strings.HasPrefix(said(crewPlan{Moves: 4, Busy: 3, Seats: seats("off", "measure first")}), "4 moves in 3 seats; measure first at seat 2. Expected"), true)
	is(t, "nobody known", strings.HasPrefix(said(crewPlan{Seats: seats("measure first", "measure first")}), "Nothing to move yet: measure first at seats 1, 2. Expected"), true)
}

// TestADifferenceAloneIsSummedUp by the seats that are set.
func TestADifferenceAloneIsSummedUp(t *testing.T) {
	seat := func(number int, stays bool, ask string, do ...string) planSeat {
		return planSeat{SetupSeat: setup.SetupSeat{Number: number, Name: "Ruth", Stays: stays}, verdictWord: verdictWord{Word: "on target"}, Ask: ask, ToDo: do}
	}
	said := func(seats ...planSeat) string {
		head, _ := (&crewPlan{Seats: seats}).headline()
		return head
	}
	is(t, "one", said(seat(1, true, ""), seat(5, false, "", "stretcher 20 mm to the bow")), "Seat 5, Ruth: stretcher 20 mm to the bow. The rest stays.")
	is(t, "nothing", said(seat(1, true, ""), seat(5, false, "")), "Seat 5, Ruth: nothing to move. The rest stays.")
	is(t, "two", said(seat(1, true, ""), seat(5, false, "height", "gate up 5 mm"), seat(6, false, "", "a", "b")), "Seat 5, Ruth: measure first: height; Seat 6, Ruth: a, b. The rest stays.")
}

// TestWhatIsNotKnownIsSaidFirst: an unknown height, settings that the arc hangs on,
// and a draw height that only the gate hangs on.
func TestWhatIsNotKnownIsSaidFirst(t *testing.T) {
	athlete := int64(7)
	seat := func(v setup.Verdict, lines ...setup.SetupLine) *planSeat {
		s := &planSeat{SetupSeat: setup.SetupSeat{Number: 3, Name: "Ruth Amsel", AthleteID: &athlete, Lines: lines, Result: &setup.SeatOutcome{Verdict: v, CatchSdDeg: 5.2}}}
		for i := range lines {
			s.Rows = append(s.Rows, newPlanRow(&lines[i]))
		}
		return s
	}
	body := firstOf(seat(setup.Verdict{MeasureRower: true, FinishSdDeg: 3.4}))
	is(t, "height", body[0].Text, "Seat 3, Ruth Amsel: height unknown, ± 5° at the catch and ± 3° at the finish. Measure it before you move anything.")
	is(t, "where to add it", body[0].Address, "/athletes/7")
	unknown := setup.SetupLine{Setting: "heel_to_pin_cm", LineText: setup.LineText{Measure: true}}
	rig := firstOf(seat(setup.Verdict{}, unknown, setup.SetupLine{Setting: "gate_height_cm", LineText: setup.LineText{Measure: true}}))
	is(t, "the rig", len(rig), 1)
	is(t, "what of it", rig[0].What, "stretcher position")
	is(t, "before anything", rig[0].All, true)
	gate := firstOf(seat(setup.Verdict{MeasureDraw: true}))
	is(t, "the gate alone waits", gate[0].All, false)
	is(t, "all known", len(firstOf(seat(setup.Verdict{}))), 0)
	is(t, "cannot be rowed", len(firstOf(&planSeat{})), 0)
}

// TestPaperLeadsAPhoneToItsPage where a phone can reach the server, and nowhere
// else.
func TestPaperLeadsAPhoneToItsPage(t *testing.T) {
	r := httptest.NewRequest("GET", "/sheets/3", nil)
	is(t, "nobody can reach it", codeOf(r, "/sheets/3"), "")
	r = r.WithContext(page.WithReach(r.Context(), page.Reach{Base: "http://boathouse.local"}))
	is(t, "the sheet", codeOf(r, "/sheets/3"), code.SVG("http://boathouse.local/sheets/3"))
	is(t, "a picture", strings.HasPrefix(string(codeOf(r, "/sheets/3")), "<svg"), true)
}

// TestPaperHeedsThisWorkAlone: no word of gates where none moves, none of
// stretchers where all stay.
func TestPaperHeedsThisWorkAlone(t *testing.T) {
	sheet := func(settings ...string) *sheetPage {
		p := &sheetPage{Sheet: &setup.Sheet{ToDo: len(settings)}}
		for i, name := range settings {
			p.Seats = append(p.Seats, workSeat{SheetSeat: setup.SheetSeat{Number: i + 1}, Moving: []workLine{{SheetLine: setup.SheetLine{Setting: name}}}})
		}
		return p
	}
	said := func(p *sheetPage) (list []string) {
		for _, c := range paperHeed(p) {
			list = append(list, c.Seats+" "+c.Text)
		}
		return list
	}
	is(t, "nothing moves", len(said(sheet())), 0)
	is(t, "stretchers", strings.Join(said(sheet("heel_to_pin_cm", "heel_to_pin_cm")), "|"), "Seats 1, 2 heel restraints and quick release tried before anyone rows.| All moved nuts, gates and backstays tried again after the first outing.")
	is(t, "a gate", strings.Contains(strings.Join(said(sheet("gate_height_cm")), "|"), "Seat 1 pitch measured again"), true)
	is(t, "no stretcher", strings.Contains(strings.Join(said(sheet("gate_height_cm")), "|"), "quick release"), false)
}
