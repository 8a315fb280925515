package progress

import (
	"fmt"
	"math"
	"strings"
	"time"

	"thole/api/wire"
	"thole/selection/stroke"
)

// dayText writes a day as people do.
func dayText(day string) string {
	t, err := time.Parse(wire.DayLayout, day)
	if err != nil {
		return day
	}
	return t.Format("2 Jan 2006")
}

// noiseRule reports what the ± and the verdicts hold.
func noiseRule() string {
	return fmt.Sprintf("± is one standard deviation. The noise of a recording holds its strokes and its day: at first half of the spread from stroke to stroke, "+
		"from four recordings on the rower’s own scatter about the trend; with it the sensors (angle zero ± %g°, blade height ± %g cm, force ± %.0f %%; our judgement). "+
		"Real is what would be chance once in twenty times at most; with few days that asks for more.", zeroDeg, zeroCm, 100*gainShare)
}

// amount writes a difference without its sign.
func (m *measure) amount(v float64) string {
	text := wire.Fix(m.digits, math.Abs(v))
	switch m.unit {
	case "":
		return text
	case "°":
		return text + "°"
	}
	return text + " " + m.unit
}

// moveText describes a change: "catch slip 3.0° less".
func (m *measure) moveText(by float64) string {
	way := m.more
	if by < 0 {
		way = m.less
	}
	return m.label + " " + m.amount(by) + " " + way
}

// featureChange describes the change of a measure.
func (m *measure) featureChange(a, b stroke.Session, g stroke.Gain, alike bool) FeatureChange {
	w := FeatureChange{Feature: m.feature, Label: m.label, Unit: m.unit, Before: m.round(a.Mean), After: m.round(b.Mean), Change: m.change(g, alike)}
	w.Said = m.moveText(g.By) + ", " + verdictText(&w.Change)
	if w.Change.Verdict == "same" {
		w.Said = m.label + ": no change beyond the noise"
	}
	return w
}

// verdictText reports how sure a change is.
func verdictText(c *Change) string {
	switch c.Verdict {
	case "real":
		return "a real change (" + timesText(c.Times) + ")"
	case "rate":
		return timesText(c.Times) + ", but it may be the rate"
	case "unclear":
		return "too close to tell (" + timesText(c.Times) + ")"
	}
	return "the same within the noise"
}

// mostTimes is how many times the noise are counted at most; our judgement, since more
// is sure all the same.
const mostTimes = 10

func timesText(times float64) string {
	if times > mostTimes {
		return fmt.Sprintf("more than %d times the noise", mostTimes)
	}
	return wire.Fix(1, times) + " times the noise"
}

// trendSaid describes a trend.
func (m *measure) trendSaid(over stroke.Gain, days float64, count int, first string) string {
	c := m.change(over, true)
	if c.Verdict == "same" {
		return fmt.Sprintf("%s: no trend beyond the noise in %d recordings since %s.", m.label, count, dayText(first))
	}
	return fmt.Sprintf("%s over %.0f days in %d recordings since %s, %s.", m.moveText(over.By), days, count, dayText(first), verdictText(&c))
}

// mostInShort is how many changes are reported in one sentence; our judgement.
const mostInShort = 2

// say sums the changes up.
func (w *FeatureChanges) say(since string) {
	w.RateSaid = w.rateText()
	var real []string
	for _, c := range w.List {
		if c.Change.Verdict == "real" && len(real) < mostInShort {
			real = append(real, lowerFirst(c.Said))
		}
	}
	switch {
	case len(w.List) == 0:
		w.Said = "Nothing was measured in both recordings."
	case len(real) > 0:
		w.Said = fmt.Sprintf("Against %s: %s.", since, strings.Join(real, "; "))
	case !w.SameRate:
		w.Said = fmt.Sprintf("Against %s: rowed at %s then and %s now, so that nothing can be told apart from the rate.", since, rateText(w.RateBefore), rateText(w.RateAfter))
	case w.List[0].Change.Verdict == "unclear":
		w.Said = fmt.Sprintf("Against %s nothing is beyond the noise; nearest: %s.", since, lowerFirst(w.List[0].Said))
	default:
		w.Said = fmt.Sprintf("Against %s nothing changed beyond the noise.", since)
	}
}

func rateText(rate float64) string { return wire.Fix(1, rate) + " a minute" }

// rateText reports what the rates say of the comparison.
func (w *FeatureChanges) rateText() string {
	if w.SameRate {
		return fmt.Sprintf("Both at about %s a minute (%s and %s).", wire.Fix(0, (w.RateBefore+w.RateAfter)/2), wire.Fix(1, w.RateBefore), wire.Fix(1, w.RateAfter))
	}
	return fmt.Sprintf("Rowed at %s then and %s now: slip, arc and force change with the rate, so that no difference is called real.", rateText(w.RateBefore), rateText(w.RateAfter))
}
