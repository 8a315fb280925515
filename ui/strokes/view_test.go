package strokes

import (
	"encoding/json"
	"fmt"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"thole/api/advice"
	"thole/api/progress"
	"thole/api/seat"
	"thole/api/strokefile"
	"thole/api/strokes"
	"thole/api/wire"
	"thole/ui/page"
	"thole/ui/plot"
	"thole/ui/usage"
)

func is[T comparable](t *testing.T, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// TestARecordingIsNamed by whoever rowed, the boat with the seat, the side and the day.
func TestARecordingIsNamed(t *testing.T) {
	for _, c := range []struct{ athlete, boat, seat, side, want string }{
		{"Ines Cole", "Nightjar", "3", "port", "Ines Cole, Nightjar 3, port, 3 Mar 2026"}, {"Ines Cole", "Nightjar", "", "", "Ines Cole, Nightjar, 3 Mar 2026"},
		{"Ines Cole", "", "3", "", "Ines Cole, 3 Mar 2026"}, {"", "Nightjar", "3", "", "Seat 3, Nightjar, 3 Mar 2026"}, {"", "", "", "", "The rower, 3 Mar 2026"},
	} {
		is(t, fmt.Sprint(c), recordingLabel(&strokes.RecordingSummary{Athlete: c.athlete, Boat: c.boat, Seat: c.seat, Side: c.side, RecordedOn: "2026-03-03"}), c.want)
	}
}

// TestARateIsChosen: the one with the most strokes, of two with as many the faster, or
// the one that the address names; its lower end belongs to it, its upper to the next.
func TestARateIsChosen(t *testing.T) {
	for typed, want := range map[string]string{
		"": "31", "rate=22": "22", "rate=26": "31", "rate=25.9": "22", "rate=20": "22", "rate=36": "0", "rate=all": "0", "rate=x": "31",
	} {
		p := &strokePage{Address: "/recordings/1"}
		p.R.Oar.Strokes = 60
		for _, g := range []struct{ from, mean, to float64 }{{20, 22, 26}, {26, 31, 36}} {
			p.R.Oar.Rates = append(p.R.Oar.Rates, strokefile.StrokeRate{FromPerMin: g.from, ToPerMin: g.to, Strokes: 30, Features: map[string]strokefile.FeatureResult{"rate_per_min": {Mean: g.mean}}})
		}
		q, _ := url.ParseQuery(typed)
		p.rates(q)
		is(t, typed, page.Fix(0, p.Rate), want)
		marked := ""
		for _, l := range p.Rates {
			if l.Current {
				marked += l.Label + ";"
			}
		}
		is(t, typed, marked, map[string]string{"22": "22 a minute, 30 strokes;", "31": "31 a minute, 30 strokes;", "0": "all 60;"}[want])
		is(t, "link", p.Rates[1].Link, "/recordings/1?rate=31.0")
		p.R.Oar.Rates, p.Rates = p.R.Oar.Rates[:1], nil
		p.rates(q)
		is(t, "of one rate", len(p.Rates), 0)
	}
}

// TestMomentsAndShiftsInWords: what rounds to nothing is neither sooner nor later.
func TestMomentsAndShiftsInWords(t *testing.T) {
	for ms, want := range map[float64]string{-12.4: "12 ms before", 12.6: "13 ms after", 0: "at the reversal", -0.4: "at the reversal", 0.4: "at the reversal", 0.6: "1 ms after"} {
		is(t, fmt.Sprint(ms), momentWords(ms), want)
	}
	for share, want := range map[float64]string{0.03: "A comes 3 % of the arc later than B.", -0.03: "A comes 3 % of the arc earlier than B.", 0: "Neither comes later", 0.004: "Neither comes later", -0.004: "Neither comes later"} {
		c := &strokes.Comparison{ByAngle: strokes.CurveLikeness{ShiftShare: share}}
		if got := shiftWords(c); !strings.HasPrefix(got, want) {
			t.Errorf("%v: %s", share, got)
		}
	}
}

// TestLevelsOfLikeness end at their steps, on both sides of what equal curves have.
func TestLevelsOfLikeness(t *testing.T) {
	for _, c := range []struct {
		name string
		v    float64
		want int
	}{
		{"d", 0, 1}, {"d", 0.03, 1}, {"d", 0.031, 2}, {"d", 0.06, 2}, {"d", 0.12, 3}, {"d", 0.121, 4}, {"r", 0.995, 1}, {"r", 0.98, 2}, {"r", 1.02, 2}, {"r", 0.8, 4}, {"shift", -1, 1}, {"shift", -3, 2}, {"shift", 6.1, 4},
	} {
		is(t, fmt.Sprint(c), measureValue(c.name).level(c.v), c.want)
	}
	for d, want := range map[float64]string{0.03: "close", 0.06: "fair", 0.12: "fair", 0.13: "poor"} {
		is(t, "match", matchWord(&strokes.CurveLikeness{D: d}), want)
	}
}

// TestTheOverlayNamesBothPeaks 5 px over them: 300 N a third and 200 N two thirds of the way.
func TestTheOverlayNamesBothPeaks(t *testing.T) {
	p := overlay("both", "x", []float64{0, 300, 100, 0}, []float64{0, 100, 200, 0})
	is(t, "notes", len(p.Notes), 2)
	for i, want := range []struct{ x, v float64 }{{100. / 3, 300}, {200. / 3, 200}} {
		n := p.Notes[i]
		is(t, "text", n.Text, string(rune('A'+i)))
		is(t, "x", page.Fix(2, n.X), page.Fix(2, p.X.At(want.x)))
		is(t, "y", n.Y, p.Y.At(want.v)-5)
	}
}

// TestChangesHaveTheirDigits, a sign and how sure they are.
func TestChangesHaveTheirDigits(t *testing.T) {
	for _, c := range []struct{ feature, unit, want string }{
		{"peak_n", "N", "400 412 +12 7 N ● real, 1.9 times the noise"}, {"entry_moment_s", "ms", "400.4 412.3 +11.9 6.6 ms ● real, 1.9 times the noise"}, {"peak_place", "% of the arc", "400.4 412.3 +11.9 6.6 % of the arc ● real, 1.9 times the noise"},
	} {
		b := &progress.Between{}
		b.Changes.List = []progress.FeatureChange{{Feature: c.feature, Label: "a", Unit: c.unit, Before: 400.4, After: 412.3, Change: progress.Change{Value: 11.9, NoiseSD: 6.6, Times: 1.9, Verdict: "real"}}}
		is(t, c.feature, strings.Join(changesTable(b).Rows[0][1:], " "), c.want)
	}
}

// TestThoseFurthestAlongAWayAreNamed: the first of two with as much.
func TestThoseFurthestAlongAWayAreNamed(t *testing.T) {
	p := &curveSquadPage{}
	for _, m := range []struct {
		name  string
		score float64
	}{{"middle", 0}, {"low", -2}, {"high", 3}, {"low too", -2}, {"high too", 3}} {
		p.Squad.Members = append(p.Squad.Members, strokes.CurveMember{Athlete: m.name, Scores: []float64{m.score}})
	}
	p.Squad.Components.Mean, p.Squad.Components.Share = []float64{1, 1, 1}, []float64{0.42}
	w := p.way(0, []float64{0.1, 0, -0.1})
	is(t, "high", w.High, "high")
	is(t, "low", w.Low, "low")
	is(t, "title", w.Title, "Component 1: 42 % of the differences")
	at := func(v float64) string { return plot.Coord(w.Plot.Y.At(v)) }
	if high := w.Plot.Lines[1].Path; !strings.HasPrefix(high, "M0 "+at(1.3)+"L") || !strings.HasSuffix(high, at(0.7)) {
		t.Errorf("the curve of who goes furthest is %s, not from %s to %s", high, at(1.3), at(0.7))
	}
}

// TestTheEdgeIsDrawnInItsParts: in the air, backing water, holding; the hands reverse where
// the time passes 0.
func TestTheEdgeIsDrawnInItsParts(t *testing.T) {
	c := &advice.CatchTry{LoadDeg: 3.2, BackedJ: 4}
	for i := range 9 {
		b := advice.CatchPoint{TimeMs: float64(10*i - 30), XCm: float64(i), EdgeCm: float64(6 - 2*i), SlipMS: -0.5, Covered: 0.5}
		if b.Loaded = i > 5; b.Loaded {
			b.SlipMS = 0.2
		}
		c.Path = append(c.Path, b)
	}
	p := catchPath(c, usage.Usage{})
	told := ""
	for _, n := range p.Notes {
		told += n.Text + " at " + page.Fix(0, n.X/1000*8) + "; "
	}
	// Backs water from 3 to 5 cm, named in its middle; holds from 6 to 8, named at its end.
	is(t, "notes", told, "backs water at 4; holds at 8; hands reverse at 3; ")
	is(t, "dots", len(p.Dots), 1)
	for _, none := range []func(b *advice.CatchPoint){func(b *advice.CatchPoint) { b.Covered = 0 }, func(b *advice.CatchPoint) { b.SlipMS = -felt }, func(b *advice.CatchPoint) { b.TimeMs -= 100 }} {
		still := *c
		still.Path = append([]advice.CatchPoint(nil), c.Path...)
		for i := range still.Path {
			none(&still.Path[i])
		}
		for _, n := range catchPath(&still, usage.Usage{}).Notes {
			if n.Text == "backs water" {
				t.Errorf("%+v backs water", still.Path[4])
			}
		}
	}
}

// TestTheCostsOfMomentsAreNamedAtTheirEnd, which two moments have.
func TestTheCostsOfMomentsAreNamedAtTheirEnd(t *testing.T) {
	c := &advice.CatchTry{MomentMs: 20}
	c.Cost.ForceTimeS, c.Cost.PowerTimeS = 1, 2
	for _, ms := range []float64{-40, 0, 40} {
		c.ByMoment = append(c.ByMoment, advice.CatchCost{MomentMs: ms, ForceTimeS: 2 + ms/40, PowerTimeS: 3})
	}
	p := catchCosts(c)
	for i, v := range []float64{3, 3} {
		is(t, "x", p.Notes[i].X, p.X.At(40))
		is(t, "dx", p.Notes[i].DX, -4)
		is(t, "y", p.Notes[i].Y, p.Y.At(v)-8)
	}
	is(t, "dots", fmt.Sprint(p.Dots[0].At, p.Dots[1].At), fmt.Sprint(plot.Spot{X: p.X.At(20), Y: p.Y.At(1)}, plot.Spot{X: p.X.At(20), Y: p.Y.At(2)}))
	c.ByMoment = c.ByMoment[:2]
	is(t, "two moments", catchCosts(c) != nil, true)
	c.ByMoment = c.ByMoment[:1]
	is(t, "one moment", catchCosts(c) == nil, true)
}

// TestTheMovesOfACatch: sooner is less, lower is less, and none leads beyond what can be
// tried: a height of 0 and a sinking of 0.3 m/s.
func TestTheMovesOfACatch(t *testing.T) {
	c := &advice.CatchTry{BoatClass: "1x"}
	c.MomentMs, c.HeightCm, c.SinkMS = 10, 0.5, 0.3
	p := &catchPage{}
	c.Path = []advice.CatchPoint{{XCm: 0}, {XCm: 1}}
	p.lay(c, httptest.NewRequest("GET", "/catch", nil))
	told := ""
	for _, m := range p.Moves[:len(p.Moves)-1] {
		q, _ := url.Parse(m.Link)
		told += m.Label + ": " + q.Query().Get("moment_ms") + " " + q.Query().Get("height_cm") + " " + q.Query().Get("sink_m_s") + "; "
	}
	is(t, "moves", told, "25 ms sooner: -15.00 0.5 0.3; 25 ms later: 35.00 0.5 0.3; 1 cm higher: 10 1.50 0.3; sinks 0.1 m/s faster: 10 0.5 0.40; ")
}

// TestLimitsOfACatchCanBeTried themselves.
func TestLimitsOfACatchCanBeTried(t *testing.T) {
	for _, c := range []struct {
		name string
		v    float64
		can  bool
	}{{"height_cm", 0, true}, {"height_cm", -0.1, false}, {"sink_m_s", 0.3, true}, {"sink_m_s", 0.2, false}, {"sink_m_s", 4, true}, {"sink_m_s", 4.1, false}, {"moment_ms", 120, true}, {"moment_ms", 121, false}} {
		is(t, c.name, canBeTried(c.name, c.v), c.can)
	}
}

// TestTheCatchIsTriedAsItWasMeasured: with the blade 6 cm high, sinking 0.5 m/s and meeting
// the water 150 ms after the reversal it started down 120 ms before that: 30 ms after it.
func TestTheCatchIsTriedAsItWasMeasured(t *testing.T) {
	f, r := &advice.First{Model: &advice.FirstModel{BoatClass: "1x"}}, &strokes.Recording{Force: "handle"}
	r.Oar.Features = map[string]strokefile.FeatureResult{"catch_deg": {Mean: -61.25}, "finish_deg": {Mean: 43}, "peak_n": {Mean: 512.4}, "entry_moment_s": {Mean: 0.15}, "carry_height_cm": {Mean: 6}, "sink_speed_m_s": {Mean: 0.5}}
	ask := func() url.Values {
		u, _ := url.Parse(tryMeasured(f, r))
		return u.Query()
	}
	q := ask()
	for name, want := range map[string]string{"catch_deg": "61.2", "finish_deg": "43.0", "peak_n": "512", "moment_ms": "30", "height_cm": "6.0", "sink_m_s": "0.50"} {
		is(t, name, q.Get(name), want)
	}
	r.Oar.Features["carry_height_cm"] = strokefile.FeatureResult{Mean: -1}
	is(t, "under water", ask().Get("moment_ms"), "150")
	r.Oar.Features["sink_speed_m_s"] = strokefile.FeatureResult{Mean: 0}
	is(t, "not sinking", ask().Has("moment_ms"), false)
	delete(r.Oar.Features, "sink_speed_m_s")
	r.Force = "gate"
	is(t, "not measured", ask().Has("moment_ms") || ask().Has("peak_n"), false)
	f.Model = nil
	is(t, "without a rig", tryMeasured(f, r), "")
}

// TestAGainHasItsSign, and over-reaching has none.
func TestAGainHasItsSign(t *testing.T) {
	w := &advice.WorkOn{Item: "catch_slip", Title: "hold sooner", Price: advice.WorkPrice{ForceTimeS: advice.PriceRange{Value: -1.2, Low: -2, High: 0.3}}}
	v := newFindingView(w)
	is(t, "gain", v.Gain+", "+v.Ends+", "+v.Title, "−1.2 s, −2.0 to +0.3 s, Hold sooner")
	w.Item = "over_reach"
	is(t, "over-reach", newFindingView(w).Gain, "")
}

// TestTheFirstHalfOfAPathIsTheDrive.
func TestTheFirstHalfOfAPathIsTheDrive(t *testing.T) {
	parts := ""
	for _, row := range pathTable(make([]strokes.BladePoint, 4)).Rows {
		parts += row[0] + " "
	}
	is(t, "parts", parts, "drive drive recovery recovery ")
}

// TestHeadlinesHaveTheirUnit: the catch without its sign.
func TestHeadlinesHaveTheirUnit(t *testing.T) {
	p := &strokePage{}
	p.R.Seat = "4"
	p.R.Oar.Features = map[string]strokefile.FeatureResult{"catch_deg": {Mean: -61.2, SD: 1.1}, "power_w": {Mean: 301.4, SD: 12.3}, "boat_speed_m_s": {Mean: 4.514}}
	p.lay()
	is(t, "head", fmt.Sprint(p.Head), "[{Catch 61.2° ± 1.1°} {Power 301 W ± 12 W}]")
	is(t, "title", p.Title+" "+p.MeasuredSpeed, "Seat 4 4.51")
	is(t, "drawings", p.ByTime == nil && len(p.Strips) == 0 && len(p.Tables) == 3, true)
	p.R.Athlete = "Ines Cole"
	p.R.Oar.Features["drive_time_s"] = strokefile.FeatureResult{Mean: 0.9}
	p.R.Oar.Curve.TimeMean, p.R.Oar.Curve.TimeSD = []float64{0, 300, 0}, []float64{0, 20, 0}
	p.R.Path = make([]strokes.BladePoint, 2)
	p.lay()
	is(t, "title", p.Title, "Ines Cole")
	is(t, "drawings", p.ByTime != nil && len(p.Tables) == 4, true)
	is(t, "over the time", p.ByTime.X.High, 0.9)
	is(t, "up to", p.ByTime.Y.High >= 320, true)
}

// TestARigIsReadWhereItIsNamed: a boat by its number, or what was typed of a scull or a
// sweep; what is no number is told and not measured with.
func TestARigIsReadWhereItIsNamed(t *testing.T) {
	classes := (&seat.Service{}).BoatClasses()
	for _, c := range []struct {
		form rigForm
		ok   bool
		told string
	}{
		{rigForm{}, false, ""}, {rigForm{Boat: "3", Seat: "2"}, true, ""}, {rigForm{Boat: "3", Seat: "bow"}, false, "“bow” is not the number of a seat."},
		{rigForm{Boat: "typed", Class: "1x", Span: "160"}, true, ""}, {rigForm{Boat: "typed", Class: "8+", Span: "84"}, true, ""}, {rigForm{Boat: "typed", Class: "1x", Span: "wide"}, false, "not a number"},
	} {
		p := &strokePage{}
		f := c.form
		f.Classes = classes
		rig, ok := f.read(p)
		told := ""
		for _, problem := range p.Problems {
			told += problem.Text
		}
		if ok != c.ok || !strings.Contains(told, c.told) || (told == "") != (c.told == "") {
			t.Errorf("%+v: %v, %s", c.form, ok, told)
		}
		if ok && rig.Rig != nil && ((rig.Rig.SpanCm != nil) != (c.form.Class == "1x") || (rig.Rig.SpreadCm != nil) != (c.form.Class == "8+")) {
			t.Errorf("%+v", rig.Rig)
		}
	}
}

// TestTheNewestOfTwoAthletesAreCompared first; one athlete alone, or nobody's, are not.
func TestTheNewestOfTwoAthletesAreCompared(t *testing.T) {
	of := func(athletes ...int64) (list []strokes.RecordingSummary) {
		for i, id := range athletes {
			r := strokes.RecordingSummary{ID: int64(10 + i)}
			if id != 0 {
				r.AthleteID = &id
			}
			list = append(list, r)
		}
		return list
	}
	for _, c := range []struct {
		athletes []int64
		want     string
	}{{nil, ""}, {[]int64{1}, ""}, {[]int64{1, 1, 2, 3}, "10 12"}, {[]int64{0, 1}, ""}, {[]int64{1, 0}, ""}, {[]int64{1, 0, 2}, "10 12"}} {
		a, b := newestTwo(of(c.athletes...))
		is(t, fmt.Sprint(c.athletes), strings.TrimSpace(a+" "+b), c.want)
	}
}

// TestWhatIsWrongIsToldOnThePage: at its fields, in one sentence where it has none, and not
// at all what is no mistake of the reader.
func TestWhatIsWrongIsToldOnThePage(t *testing.T) {
	for name, c := range map[string]struct {
		err  error
		told string
		ok   bool
	}{
		"a field": {wire.At("boat_id").Invalid("No such boat."), "No such boat.", true}, "in one sentence": {&wire.Unreachable{Text: "Out of reach."}, "Out of reach.", true}, "nothing": {wire.ErrNotFound, "", false},
	} {
		p, told := &strokePage{}, ""
		is(t, name, p.complain("Rig", c.err), c.ok)
		for _, one := range p.Problems {
			told += one.Text
		}
		is(t, name, told, c.told)
	}
}

// TestStrokesAreDrawnOneByOne, half a stroke of room at both ends; dots as long as they
// have room.
func TestStrokesAreDrawnOneByOne(t *testing.T) {
	list := func(n int) (list strokefile.StrokeList) {
		for i := range n {
			var v strokefile.StrokeValues
			if err := json.Unmarshal(fmt.Appendf(nil, `{"features":{"catch_slip_deg":%d}}`, 4+i%3), &v); err != nil {
				t.Fatal(err)
			}
			list = append(list, v)
		}
		return list
	}
	is(t, "one", len(strips(list(1))), 0)
	two := strips(list(2))[0]
	is(t, "ends", fmt.Sprint(two.X.Low, two.X.High), "0.5 2.5")
	is(t, "places", fmt.Sprint(two.Dots[0].At.X, two.Dots[1].At.X), fmt.Sprint(two.X.At(1), two.X.At(2)))
	is(t, "title", strings.HasSuffix(two.Title, " in each of 2 strokes, from 4.0 to 5.0 °"), true)
	is(t, "400", len(strips(list(400))[0].Dots), 400)
	is(t, "401", len(strips(list(401))[0].Dots), 0)
}
