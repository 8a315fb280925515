package advice_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"thole/api/advice"
	"thole/api/apitest"
	"thole/api/wire"
)

// tried works out one way into the water.
func tried(t testing.TB, query string) advice.CatchTry {
	t.Helper()
	w := apitest.Request(http.MethodGet, "/api/v1/catch"+query, "", "")
	if w.Code != http.StatusOK {
		t.Fatalf("%s: %d %.300s", query, w.Code, w.Body)
	}
	return apitest.Decoded[advice.CatchTry](t, w.Body.Bytes())
}

// TestHeightIsWorthAnEarlierStart holds a law of the model: at 1 m/s, 5 cm more
// height are worth a start 50 ms sooner.
func TestHeightIsWorthAnEarlierStart(t *testing.T) {
	low, high := tried(t, "?height_cm=5&sink_m_s=1&moment_ms=-50"), tried(t, "?height_cm=10&sink_m_s=1&moment_ms=-100")
	apitest.Near(t, "as hard as now", low.Cost.ForceTimeS, high.Cost.ForceTimeS, 0)
	apitest.Near(t, "same power", low.Cost.PowerTimeS, high.Cost.PowerTimeS, 0)
	apitest.Near(t, "missed", low.LoadDeg, high.LoadDeg, 0)
	apitest.Near(t, "best", low.BestForce.MomentMs-high.BestForce.MomentMs, 50, 2)
}

// TestTheBestMomentIsTheCheapest holds both bests against every moment told, and
// that an early entry backs water and a late one misses more of the arc.
func TestTheBestMomentIsTheCheapest(t *testing.T) {
	for _, query := range []string{"", "?boat_class=8%2B&height_cm=9", "?boat_class=2-&sink_m_s=2"} {
		c := tried(t, query)
		for _, m := range c.ByMoment {
			if m.ForceTimeS < c.BestForce.ForceTimeS-0.05 || m.PowerTimeS < c.BestPower.PowerTimeS-0.05 {
				t.Errorf("%s: %+v beats %+v or %+v", query, m, c.BestForce, c.BestPower)
			}
		}
	}
	early, late := tried(t, "?moment_ms=-200"), tried(t, "?moment_ms=80")
	if early.BackedJ <= late.BackedJ || early.LoadDeg >= late.LoadDeg {
		t.Errorf("early %g J, %g°; late %g J, %g°", early.BackedJ, early.LoadDeg, late.BackedJ, late.LoadDeg)
	}
}

// TestUsualFiguresAreNoAdvice: somebody is told when to start the blade down only by
// an entry of their own, even where it is the usual one.
func TestUsualFiguresAreNoAdvice(t *testing.T) {
	const usual, own = "With these usual figures", "start it down"
	for query, want := range map[string]string{
		"": usual, "?catch_deg=61": usual, "?height_cm=5&sink_m_s=1.3": usual, "?moment_ms=80": usual, "?moment_ms=-10": usual,
		"?height_cm=5&sink_m_s=1.3&moment_ms=-50": own, "?height_cm=5&sink_m_s=1.3&moment_ms=80": own,
	} {
		c := tried(t, query)
		if !strings.Contains(c.Said, want) || want == usual && strings.Contains(c.Said, own) {
			t.Errorf("%q: %s", query, c.Said)
		}
	}
}

// TestTheBladePathIsWhole holds the path about the catch: it begins in the air
// at the height stated, passes the reversal at the catch, and ends loaded.
func TestTheBladePathIsWhole(t *testing.T) {
	c := tried(t, "?moment_ms=-50&height_cm=6")
	first, last := c.Path[0], c.Path[len(c.Path)-1]
	apitest.Near(t, "carried", first.EdgeCm, 6, 0)
	apitest.Near(t, "begins", first.TimeMs, -100, 5)
	if !last.Loaded || first.Loaded || last.Covered != 1 || first.Covered != 0 {
		t.Errorf("%+v to %+v", first, last)
	}
	for i := 1; i < len(c.Path); i++ {
		a, b := c.Path[i-1], c.Path[i]
		if b.TimeMs <= a.TimeMs || b.EdgeCm > a.EdgeCm || b.XCm-a.XCm > 5 || a.XCm-b.XCm > 5 {
			t.Fatalf("%+v then %+v", a, b)
		}
		if b.TimeMs == 0 {
			apitest.Near(t, "reversal", b.AngleDeg, -c.CatchDeg, 0.01)
		}
	}
}

func TestCatchesThatCannotBeAreRefused(t *testing.T) {
	for _, name := range []string{"height_cm=90", "sink_m_s=0", "moment_ms=900", "pick_up_m_s2=99", "inboard_cm=8", "catch_deg=10", "rate_per_min=5", "peak_n=9", "mass_kg=9", "boat_class=5x"} {
		w := apitest.Request(http.MethodGet, "/api/v1/catch?"+name, "", "")
		var p wire.Problem
		if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil || w.Code/100 != 4 || len(p.Errors) == 0 {
			t.Errorf("%s: %d %.200s", name, w.Code, w.Body)
		}
	}
}

func BenchmarkTryCatch(b *testing.B) {
	n := 0
	for b.Loop() {
		n++
		tried(b, fmt.Sprintf("?mass_kg=%g", 60+float64(n)/1000))
	}
}

// TestMomentsThatLeaveNothingToPullAreLeftOut: with little force at a high rate the costs
// end at the last moment at which the drive still ends in time, and the next one, asked for
// alone, is refused.
func TestMomentsThatLeaveNothingToPullAreLeftOut(t *testing.T) {
	const weak = "peak_n=116&rate_per_min=44&moment_ms="
	c := tried(t, "?"+weak+"-200")
	if len(c.ByMoment) == 0 || c.ByMoment[len(c.ByMoment)-1].MomentMs >= 100 {
		t.Fatalf("%+v", c.ByMoment)
	}
	last := c.ByMoment[len(c.ByMoment)-1].MomentMs
	tried(t, fmt.Sprintf("?%s%g", weak, last))
	if w := apitest.Request(http.MethodGet, fmt.Sprintf("/api/v1/catch?%s%g", weak, last+25), "", ""); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("%g ms: %d %.200s", last+25, w.Code, w.Body)
	}
	if all := tried(t, "").ByMoment; all[len(all)-1].MomentMs != 100 {
		t.Errorf("to %g ms", all[len(all)-1].MomentMs)
	}
}
