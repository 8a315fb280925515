package seat

import (
	"math"
	"net/url"
	"strings"
	"testing"

	"thole/api/advice"
	"thole/api/seat"
	"thole/ui/figure"
	"thole/ui/page"
)

// odds of a target, with a word that goes with them.
func odds(target, chance float64, word string) seat.Odds {
	return seat.Odds{TargetDeg: target, Chance: chance, Odds: word}
}

// suited is a seat whose catch of 64°, finish of 44° and arc of 108° have chances.
func suited(catch, finish, arc float64) *seat.SeatSolution {
	word := func(c float64) string {
		switch {
		case c >= 0.8:
			return "likely"
		case c <= 0.2:
			return "unlikely"
		}
		return "too_close_to_tell"
	}
	s := &seat.SeatSolution{CatchDeg: -61, FinishDeg: 47}
	s.Targets.CatchDeg, s.Targets.FinishDeg = -64, 44
	s.Capacity.CatchDeg, s.Capacity.CatchSdDeg, s.Capacity.LimitedBy = -67, 3, "lean"
	s.Suits.Catch, s.Suits.Finish, s.Suits.Arc = odds(-64, catch, word(catch)), odds(44, finish, word(finish)), odds(108, arc, word(arc))
	return s
}

// TestTheVerdictRestsOnTheLeastLikely: the catch where two are the same.
func TestTheVerdictRestsOnTheLeastLikely(t *testing.T) {
	for _, c := range []struct {
		catch, finish, arc float64
		want               string
	}{
		{0.9, 0.9, 0.9, "A catch of 64° is within your reach with a chance of 9 in 10."}, {0.9, 0.5, 0.5, "A finish of 44° is within your reach with a chance of 5 in 10."},
		{0.9, 0.9, 0.1, "An arc of 108° is within your reach with a chance of 1 in 10."}, {0.3, 0.4, 0.3, "A catch of 64° is within your reach with a chance of 3 in 10."},
		{0.96, 1, 1, "A catch of 64° is within your reach with a chance of over 9 in 10."}, {0.04, 1, 1, "A catch of 64° is within your reach with a chance of under 1 in 10."},
		{0.949, 1, 1, "A catch of 64° is within your reach with a chance of 9 in 10."}, {0.051, 1, 1, "A catch of 64° is within your reach with a chance of 1 in 10."},
	} {
		if a := newAnswer(suited(c.catch, c.finish, c.arc)); a.Text != c.want {
			t.Errorf("%v, %v, %v: %s, want %s", c.catch, c.finish, c.arc, a.Text, c.want)
		}
	}
}

// TestTheReachIsSaidWithWhatSettlesIt: the finish is no trouble only where both ends
// are likely.
func TestTheReachIsSaidWithWhatSettlesIt(t *testing.T) {
	for _, c := range []struct {
		finish float64
		settle []string
		want   string
	}{
		{0.95, nil, "The reach ends at 67° ± 3, at the trunk’s lean.|A finish of 44° is no trouble."}, {0.3, nil, "The reach ends at 67° ± 3, at the trunk’s lean."},
		{0.3, []string{"body", "seated_reading"}, "The reach ends at 67° ± 3, at the trunk’s lean.|Arm span and sitting height would narrow it most."},
	} {
		s := suited(0.9, c.finish, 1)
		s.Suits.Settle = c.settle
		if got := strings.Join(newAnswer(s).Notes, "|"); got != c.want {
			t.Errorf("finish %v: %s, want %s", c.finish, got, c.want)
		}
	}
	if s := suited(0.3, 0.9, 1); len(newAnswer(s).Notes) != 1 {
		t.Error("the finish is no trouble where the catch is too close to tell")
	}
}

// TestAStretcherOutOfPlaceIsSaidWithItsWay: one that is to move towards the stern, by
// more than 0, stands too far towards the bow.
func TestAStretcherOutOfPlaceIsSaidWithItsWay(t *testing.T) {
	for by, want := range map[float64]string{3.4: "The stretcher stands 3 cm too far towards the bow.", -4: "The stretcher stands 4 cm too far towards the stern."} {
		s := suited(0.9, 0.9, 0.9)
		s.Suits.Stretcher, s.Stretcher.ByCm, s.Uncertainty.FinishSdDeg = &seat.StretcherFault{}, by, 2
		a := newAnswer(s)
		if a.Text != want || a.Notes[0] != "The finish would come at 47° ± 2; the target is 44°." || len(a.Notes) != 2 {
			t.Errorf("by %v: %s, %q", by, a.Text, a.Notes)
		}
	}
}

// TestChangesInWords: longer and shorter, heavier and lighter, and nothing of what is
// not seen.
func TestChangesInWords(t *testing.T) {
	for by, want := range map[float64]string{2.6: "3° longer", -2.6: "3° shorter", 0.4: "as it was", -0.4: "as it was"} {
		if got := longer(by); got != want {
			t.Errorf("%v: %s, want %s", by, got, want)
		}
	}
	for by, want := range map[float64]string{0.05: "0.05 heavier", -0.05: "0.05 lighter", 0.004: "as it was"} {
		if got := heavier(by); got != want {
			t.Errorf("%v: %s, want %s", by, got, want)
		}
	}
}

// both are two set-ups: the second catches 3° further, finishes 2° less far and is 0.1
// heavier.
func both() *seatPage {
	a, b := suited(0.9, 0.9, 0.9), suited(0.9, 0.9, 0.9)
	a.CatchDeg, b.CatchDeg, a.FinishDeg, b.FinishDeg, a.ArcDeg, b.ArcDeg = -61, -64, 45, 43, 106, 107
	a.Gearing.LeverRatio, b.Gearing.LeverRatio = 2.2, 2.3
	return &seatPage{First: &setupView{Solution: a}, Second: &setupView{Solution: b}, typed: url.Values{}}
}

// TestTheSecondSetupIsHeldAgainstTheFirst, each change with its sign.
func TestTheSecondSetupIsHeldAgainstTheFirst(t *testing.T) {
	p := both()
	if got, want := p.Versus(), "The second set-up: catch 3° longer, finish 2° shorter, lever ratio 0.10 heavier."; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	told := ""
	for _, l := range append(p.Arcs(), p.Lines()[:3]...) {
		told += l.Label + " " + l.First + " to " + l.Second + ": " + l.Change + "\n"
	}
	if want := "Catch 61 ± 0 to 64 ± 0: +3\nFinish 45 ± 0 to 43 ± 0: −2\nArc 106 ± 0 to 107 ± 0: +1\nLever ratio 2.20 to 2.30: +0.10\n" +
		"Catch 61.0 to 64.0: +3.0\nFinish 45.0 to 43.0: −2.0\nArc 106.0 to 107.0: +1.0\n"; told != want {
		t.Errorf("%s, want %s", told, want)
	}
}

// TestTheSummaryCountsFromSquare: what is heard has no sign before the catch either.
func TestTheSummaryCountsFromSquare(t *testing.T) {
	p := both()
	if got := p.Summary(); !strings.HasSuffix(got, " Catch 61, finish 45, arc 106 degrees.") {
		t.Error(got)
	}
}

// TestASeatIsDrawnInTheMiddleOfItsBoat, counted from the bow: the first of two seats and
// the fourth of eight stand just before the middle.
func TestASeatIsDrawnInTheMiddleOfItsBoat(t *testing.T) {
	for rowers, want := range map[int]int{1: 1, 2: 1, 4: 2, 8: 4} {
		if got := aboveOf(suited(0.9, 0.9, 0.9), seat.BoatClass{Rowers: rowers}).Seat; got != want {
			t.Errorf("%d rowers: seat %d, want %d", rowers, got, want)
		}
	}
}

// TestTheOarsAreDrawnFromSquare: a sweep oar has its hands on both sides of the middle of
// the handle, and the oar's angle at the catch counts from square.
func TestTheOarsAreDrawnFromSquare(t *testing.T) {
	s := suited(0.9, 0.9, 0.9)
	s.Drawing.InnerCm, s.Drawing.HandCm, s.Drawing.OuterCm, s.Drawing.BladeLengthCm = 95, 110, 240, 50
	s.Oars = []seat.OarArc{{Side: "starboard", CatchDeg: -55, FinishDeg: 33}}
	a := aboveOf(s, seat.BoatClass{Rowers: 8})
	if o := a.Oars[0]; o.CatchDeg != 55 || o.FinishDeg != 33 || o.Side != figure.Starboard {
		t.Errorf("%+v", o)
	}
	// The inside hand lies as far inside the handle's middle as the outside hand lies out: 80, 95, 110 cm.
	// The blade's tip lies half a blade beyond its middle: 2.65 m; the end of a sweep handle 15 cm beyond where the lever ends.
	for what, v := range map[string][2]float64{"inside hand": {a.InsideHand, 0.8}, "outside hand": {a.Hand, 1.1}, "tip": {a.Outer, 2.65}, "handle": {a.HandleEnd, 1.1}} {
		if math.Abs(v[0]-v[1]) > 1e-9 {
			t.Errorf("%s at %g m, want %g", what, v[0], v[1])
		}
	}
}

// TestOnlyWhatDiffersIsListed, in the unit of the field, and a hole has none.
func TestOnlyWhatDiffersIsListed(t *testing.T) {
	for mark, unit := range map[string]string{"": "cm", "hole": ""} {
		p := both()
		p.Mark = mark
		p.typed = url.Values{"span_cm": {"160"}, "heel_to_pin_cm": {"24"}}
		for name, v := range map[string]string{"span_cm": "158", "inboard_cm": "", "oar_length_cm": "long", "heel_to_pin_cm": "27"} {
			in := page.Input{Value: v}
			in.Name, in.Label, in.Unit = second+name, name, "cm"
			p.RigB = append(p.RigB, in)
		}
		list := p.Differences()
		if len(list) != 2 {
			t.Fatalf("%v", list)
		}
		for _, l := range list {
			if l.Label == "span_cm" && (l.Change != "−2.0" || l.Unit != "cm") || l.Label == "heel_to_pin_cm" && (l.Change != "+3.0" || l.Unit != unit) {
				t.Errorf("mark %q: %v", mark, l)
			}
		}
	}
}

// TestProofsAreReadInTheBoatsNumber: holes are whole, a tape has millimetres.
func TestProofsAreReadInTheBoatsNumber(t *testing.T) {
	for mark, want := range map[string]string{"hole": "8, now 7.4", "toe": "8.2, now 7.4"} {
		s := suited(0.9, 0.9, 0.9)
		s.Stretcher.Mark = &seat.MarkPlace{Mark: mark, Aim: 8.2, Now: 7.4}
		lines := proofs(s)
		if last := lines[len(lines)-1]; last.First != want || last.Label != "In this boat’s number ("+mark+")" {
			t.Errorf("%s: %v, want %s", mark, last, want)
		}
		if len(lines) != 4 {
			t.Errorf("%d lines without an outside hand", len(lines))
		}
	}
}

// TestACautionOfBothIsSaidOnce: one of the first alone, of the second alone, of both.
func TestACautionOfBothIsSaidOnce(t *testing.T) {
	p := both()
	p.First.Here = []seat.Caution{{Weight: "here", Text: "load"}, {Weight: "here", Text: "shins"}}
	p.Second.Here = []seat.Caution{{Weight: "here", Text: "shins"}, {Weight: "here", Text: "hands"}}
	told := ""
	for _, c := range p.Cautions() {
		told += c.Of + ":" + c.Text + " "
	}
	if told != "First:load :shins Second:hands " {
		t.Error(told)
	}
	if p.Second = nil; len(p.Cautions()) != 2 || p.Cautions()[0].Of != "" {
		t.Errorf("%v of one set-up", p.Cautions())
	}
}

// TestTheGateStandsToItsWindow: its ends are inside, and a window that is none has
// nothing inside.
func TestTheGateStandsToItsWindow(t *testing.T) {
	for _, c := range []struct {
		gate, low, high float64
		verdict, want   string
	}{
		{14, 14, 17, "inside", "inside"}, {17, 14, 17, "inside", "inside"}, {13.9, 14, 17, "inside", "not clearly out"}, {17.1, 14, 17, "inside", "not clearly out"},
		{12, 14, 17, "low", "clearly low"}, {20, 14, 17, "high", "clearly high"}, {16, 17, 15, "high", "clearly high"}, {14, 14, 14, "inside", "inside"},
	} {
		s := suited(0.9, 0.9, 0.9)
		s.Drawing.GateCm, s.Heights.Window.LowCm, s.Heights.Window.HighCm, s.Heights.Window.Verdict = c.gate, c.low, c.high, c.verdict
		if got := (&setupView{Solution: s}).GateWords(); got != c.want {
			t.Errorf("%v: %s", c, got)
		}
	}
}

// TestStepsAreAtMostWhatIsNeeded: height first, arm span where the reach is too close to
// tell and one of the two is missing, else nothing needs to move.
func TestStepsAreAtMostWhatIsNeeded(t *testing.T) {
	for name, c := range map[string]struct {
		measure     bool
		odds        string
		typed       url.Values
		second      bool
		want        string
		wantPrimary bool
	}{
		"nobody known":    {true, "too_close_to_tell", nil, false, "Add the height;", true},
		"close":           {false, "too_close_to_tell", url.Values{"arm_span_cm": {"180"}}, false, "Add arm span;", true},
		"close, sitting":  {false, "too_close_to_tell", url.Values{"sitting_height_cm": {"92"}}, false, "Add arm span;", true},
		"all is measured": {false, "too_close_to_tell", url.Values{"arm_span_cm": {"180"}, "sitting_height_cm": {"92"}}, false, ";", false},
		"likely":          {false, "likely", nil, false, ";", false},
		"two":             {false, "likely", nil, true, "", false},
		"two, close":      {false, "too_close_to_tell", nil, true, "Add arm span;", false},
	} {
		p := both()
		if !c.second {
			p.Second = nil
		}
		p.typed = url.Values{}
		for k, v := range c.typed {
			p.typed[k] = v
		}
		p.First.Solution.Verdict.MeasureRower, p.First.Solution.Suits.Odds = c.measure, c.odds
		got := ""
		list := p.steps(nil)
		for _, s := range list {
			got += s.Label + ";"
		}
		if got != c.want || len(list) > 0 && list[0].Primary != c.wantPrimary {
			t.Errorf("%s: %s, want %s; %v", name, got, c.want, list)
		}
	}
}

// TestWhatHasNoPriceIsSaidOnce: settings that one sentence is about share it.
func TestWhatHasNoPriceIsSaidOnce(t *testing.T) {
	none, price := "The model has no height.", &advice.StepPrice{}
	price.LoadPct.Value, price.LoadPct.Low, price.LoadPct.High, price.FromS, price.ToS = -1.2, -2, 0.4, 0.3, 0.3
	p := newStepsPage(&advice.Centimetres{Steps: []advice.PricedStep{
		{Sensitivity: seat.Sensitivity{Setting: "gate_height_cm", Step: 1, CatchDeg: 0.4, FinishDeg: -0.2}, Unpriced: none}, {Sensitivity: seat.Sensitivity{Setting: "span_cm", Step: -1}, Price: price},
		{Sensitivity: seat.Sensitivity{Setting: "stern_pitch_deg", Step: 1}, Unpriced: "Nor pitch."}, {Sensitivity: seat.Sensitivity{Setting: "heel_depth_cm", Step: 1}, Unpriced: none},
	}})
	if len(p.Reasons) != 2 || p.Reasons[0].Settings != page.SettingLabels["gate_height_cm"]+", "+page.LowerFirst(page.SettingLabels["heel_depth_cm"]) {
		t.Errorf("%v", p.Reasons)
	}
	if r := p.Rows[0]; r.Catch != "−0.4" || r.Finish != "−0.2" || r.Step != "+1 cm" || r.Time != "–" {
		t.Errorf("%+v", r)
	}
	if r := p.Rows[1]; r.Load != "−1.2" || r.LoadRange != "−2.0 to +0.4" || r.Time != "+0.3" || r.Step != "−1 cm" {
		t.Errorf("%+v", r)
	}
	if p.Rows[2].Step != "+1°" {
		t.Error(p.Rows[2].Step)
	}
	saved := p.table()
	if got := saved.Rows()[1][2:4]; got[0] != "-0.4" || got[1] != "-0.2" {
		t.Errorf("%q", got)
	}
}
