package progress

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"thole/api/advice"
	"thole/api/apitest/same"
	"thole/api/progress"
	"thole/api/strokes"
	"thole/ui/plot"
)

// points are recordings 10 days apart from 3 March on, with 0.5 of noise.
func points(days int, means ...float64) (list []progress.ProgressPoint) {
	for i, v := range means {
		list = append(list, progress.ProgressPoint{RecordingID: int64(i + 1), RecordedOn: day(days * i), Mean: v, NoiseSD: 0.5, Strokes: 20})
	}
	return list
}

// day is so many days after 3 March 2026.
func day(n int) string {
	return time.Date(2026, 3, 3, 0, 0, 0, 0, time.UTC).AddDate(0, 0, n).Format("2006-01-02")
}

// TestChartsAreAsLookedOver: every one was looked at before its lines were kept.
func TestChartsAreAsLookedOver(t *testing.T) {
	falling := &progress.ProgressTrend{First: 7, Last: 4, HalfBand: 1.2}
	for name, c := range map[string]struct {
		line  progress.ProgressLine
		marks []string
	}{
		"trend":    {progress.ProgressLine{Label: "Catch slip", Unit: "°", Points: points(10, 7.1, 6, 6.3, 5.2, 4.1), Trend: falling}, []string{day(-4), day(12), day(14), day(15), day(33)}},
		"months":   {progress.ProgressLine{Label: "Power", Unit: "W", Points: points(45, 310, 322, 318, 331, 335, 340)}, []string{day(40), day(240)}},
		"one-day":  {progress.ProgressLine{Label: "Ratio", Points: points(0, 0.82)}, nil},
		"two-days": {progress.ProgressLine{Label: "Peak", Unit: "% of the arc", Points: points(1, 38, 41)}, []string{day(1)}},
		"low":      {progress.ProgressLine{Label: "Entry", Unit: "ms", Points: points(20, 0.2, 0.4, 3)}, nil},
		"below-0":  {progress.ProgressLine{Label: "Entry", Unit: "ms", Points: points(20, -12, 4, 9)}, nil},
	} {
		for _, z := range []size{wideChart, narrowChart} {
			same.Lines(t, fmt.Sprintf("testdata/%s-%s.txt", name, z.class), linesOf(t, newChart(&c.line, c.marks, z)))
		}
	}
	var x, y []float64
	for i := range 130 {
		x, y = append(x, float64(i+1)), append(y, 6-0.02*float64(i)+0.8*float64(i%3))
	}
	slip := featureNames["catch_slip_deg"]
	for name, n := range map[string]int{"each-of-130": 130, "each-of-120": 120, "each-of-9": 9} {
		same.Lines(t, "testdata/"+name+".txt", linesOf(t, newEach(slip, x[:n], y[:n], wideChart)))
	}
}

// linesOf tells a chart, a line for each part.
func linesOf(t *testing.T, c *chart) []string {
	lines := []string{c.Class + " " + c.Box.String() + " " + c.Title}
	for _, part := range []any{c.Areas, c.Lines, c.Dots, c.Words} {
		body, err := json.Marshal(part)
		if err != nil {
			t.Fatal(err)
		}
		lines = append(lines, strings.Split(strings.ReplaceAll(string(body), "},{", "},\n{"), "\n")...)
	}
	return lines
}

// TestAValueStandsAtItsDayAndHeight: of 5 to 9 over ten days the middle of 7 stands in
// the middle; what was changed before the first recording is not drawn.
func TestAValueStandsAtItsDayAndHeight(t *testing.T) {
	line := progress.ProgressLine{Label: "Catch slip", Unit: "°", Points: points(5, 9, 7, 5)}
	c := newChart(&line, []string{day(-1), day(0), day(5)}, wideChart)
	for i, x := range []float64{52, 262, 472} {
		if c.Dots[i].At.X != x {
			t.Errorf("recording %d stands at %g px, want %g", i+1, c.Dots[i].At.X, x)
		}
	}
	if a, b, z := c.Dots[0].At.Y, c.Dots[1].At.Y, c.Dots[2].At.Y; a >= b || b >= z || b-a != z-b {
		t.Errorf("9, 7 and 5 stand at %g, %g and %g px", a, b, z)
	}
	if got := c.Dots[1].Words; got != "8 Mar 2026: 7.0° ± 0.5°" {
		t.Error(got)
	}
	numbers := ""
	for _, w := range c.Words {
		if w.At.Y < chartTop && len(w.Text) == 1 && w.Class == "tick" && w.Anchor == "middle" {
			numbers += fmt.Sprintf("%s at %g; ", w.Text, w.At.X)
		}
	}
	if numbers != "2 at 52; 3 at 262; " {
		t.Errorf("changes stand as %s", numbers)
	}
	if want := "Catch slip: 9.0° on 3 Mar 2026, 7.0° on 8 Mar 2026, 5.0° on 13 Mar 2026."; c.Title != want {
		t.Errorf("%s, want %s", c.Title, want)
	}
}

// TestNumbersThatWouldMeetStandInTwoRows: up to 22 px apart; where there is room again the
// next one stands below, in the first row.
func TestNumbersThatWouldMeetStandInTwoRows(t *testing.T) {
	z := size{left: 0, high: 100}
	c := &chart{x: plot.Scale{Low: dayOf(day(0)), High: dayOf(day(200)), From: 0, To: 200}} // 1 px a day
	c.drawMarks([]string{day(-1), day(0), day(22), day(44), day(67), day(90), day(100), day(122)}, z)
	told := ""
	for _, w := range c.Words {
		told += fmt.Sprintf("%s:%g ", w.Text, (chartTop-8-w.At.Y)/15)
	}
	if want := "2:0 3:1 4:0 5:0 6:0 7:1 8:0 "; told != want {
		t.Errorf("%s, want %s", told, want)
	}
}

// TestAMonthIsWrittenAtItsFirst, also where the first recording is of the second: a day is no
// distance then.
func TestAMonthIsWrittenAtItsFirst(t *testing.T) {
	for first, want := range map[string]string{"2026-03-01": "Mar 2026", "2026-03-02": "Mar 2026", "2026-03-03": "Apr 2026"} {
		line := progress.ProgressLine{Label: "Power", Unit: "W", Points: points(45, 310, 320, 330)}
		line.Points[0].RecordedOn = first
		c, got := newChart(&line, nil, wideChart), ""
		for _, w := range c.Words {
			if strings.HasSuffix(w.Text, " 2026") && got == "" {
				got = w.Text
			}
		}
		if got != want {
			t.Errorf("from %s on: first %s, want %s", first, got, want)
		}
	}
}

// TestWhatIsNeverBelowZeroIsDrawnFromThere, also where it is 0 once.
func TestWhatIsNeverBelowZeroIsDrawnFromThere(t *testing.T) {
	n := featureNames["catch_slip_deg"]
	for _, c := range []struct {
		y     []float64
		below bool
	}{{[]float64{0, 4, 8}, false}, {[]float64{0.1, 4, 8}, false}, {[]float64{-0.1, 4, 8}, true}} {
		if got := newEach(n, []float64{1, 2, 3}, c.y, wideChart).y.Low; (got < 0) != c.below {
			t.Errorf("%v: from %g", c.y, got)
		}
	}
	var c chart
	if c.values(-0.5, 8, true, wideChart); c.y.Low != 0 {
		t.Errorf("a ± below nothing: from %g", c.y.Low)
	}
}

// TestTheLastValueIsWrittenBeside the plot, clear of its axis and of the dates.
func TestTheLastValueIsWrittenBeside(t *testing.T) {
	line := progress.ProgressLine{Label: "Power", Unit: "W", Points: points(10, 310, 320, 330)}
	c := newChart(&line, []string{day(60)}, wideChart)
	last := c.Words[len(c.Words)-2]
	if last.Text != "330 W" || last.At.X != c.x.To+12 || c.Dots[2].At.X > c.x.To {
		t.Errorf("%+v; the dot stands at %g", last, c.Dots[2].At.X)
	}
}

// TestChangesOfADayShareANumber, as the charts show it.
func TestChangesOfADayShareANumber(t *testing.T) {
	p := &athletePage{}
	p.Rig = []progress.RigMark{{On: "2026-03-03", Said: "span 158 to 157 cm"}, {On: "2026-03-03", Said: "pitch 4 to 5°"}, {On: "2026-04-01", Said: "oars"}}
	days := p.layChanges()
	if got := fmt.Sprint(days, p.Changes); got != "[2026-03-03 2026-04-01] [{1 2026-03-03 [{Span 158 to 157 cm 0} {Pitch 4 to 5° 0}]} {2 2026-04-01 [{Oars 0}]}]" {
		t.Error(got)
	}
}

// TestEachRecordingIsComparedWithTheNewestUsed, which alone has nothing to compare with.
func TestEachRecordingIsComparedWithTheNewestUsed(t *testing.T) {
	for name, c := range map[string]struct {
		used []bool
		want string
	}{
		"all":                        {[]bool{true, true, true}, "13:, 12:/recordings/compare?a=12&b=13, 11:/recordings/compare?a=11&b=13, "},
		"the newest at another rate": {[]bool{true, true, false}, "13:/recordings/compare?a=13&b=12, 12:, 11:/recordings/compare?a=11&b=12, "},
		"none":                       {[]bool{false, false}, "12:, 11:, "},
	} {
		p, got := &athletePage{}, ""
		for i, used := range c.used {
			p.Outings = append(p.Outings, progress.Outing{RecordingID: int64(11 + i), Used: used})
		}
		p.layRows()
		for _, row := range p.Rows {
			got += fmt.Sprintf("%d:%s, ", row.RecordingID, row.Compare)
		}
		if got != c.want {
			t.Errorf("%s: %s, want %s", name, got, c.want)
		}
	}
}

// TestRatesAreCounted: one recording is no plural, and the rate shown is marked.
func TestRatesAreCounted(t *testing.T) {
	p := &athletePage{}
	p.RatePerMin = 30
	p.Progress.Rates = []progress.ProgressRate{{RatePerMin: 22, Recordings: 1}, {RatePerMin: 30, Recordings: 4}}
	p.lay("/athletes/3/progress")
	if got, want := fmt.Sprint(p.Rates), "[{22 a minute, 1 recording /athletes/3/progress?rate=22 false} {30 a minute, 4 recordings /athletes/3/progress?rate=30 true}]"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	p.Progress.Rates, p.Rates = p.Progress.Rates[:1], nil
	if p.lay("/"); p.Rates != nil {
		t.Errorf("%v to choose from one", p.Rates)
	}
}

// TestSteadyMeasuresStandApart: a change within its noise is no news.
func TestSteadyMeasuresStandApart(t *testing.T) {
	p := &athletePage{}
	for _, verdict := range []string{"real", "same", ""} {
		line := progress.ProgressLine{Label: verdict, Unit: "N", DaySD: 12.4, Points: points(10, 400, 410)}
		if verdict != "" {
			line.Trend = &progress.ProgressTrend{First: 400, Last: 410, Said: "said " + verdict, Change: progress.Change{Verdict: verdict}}
		}
		p.Series = append(p.Series, line)
	}
	p.lay("/")
	told := ""
	for _, c := range append(p.Charts, p.Steady...) {
		told += fmt.Sprintf("%s|%s|%s; ", c.Label, c.Said, c.DaySD)
	}
	if told != "real|said real|12 N; ||12 N; same|said same|12 N; " || len(p.Steady) != 1 {
		t.Errorf("%s, %d steady", told, len(p.Steady))
	}
}

// TestCellsOfACrewHaveTheirDigits: a tenth of a degree, whole newtons.
func TestCellsOfACrewHaveTheirDigits(t *testing.T) {
	c := &progress.FeatureChanges{List: []progress.FeatureChange{
		{Feature: "catch_slip_deg", Unit: "°", Before: 7.26, After: 5.1, Change: progress.Change{Verdict: "real"}},
		{Feature: "peak_n", Unit: "N", Before: 512.4, After: 530.6, Change: progress.Change{Verdict: "same"}},
	}}
	for feature, want := range map[string]crewCell{
		"catch_slip_deg": {"7.3 → 5.1", "● real", "real"}, "peak_n": {"512 → 531", "○ the same", "same"}, "power_w": {"–", "", ""},
	} {
		if got := cellOf(c, feature); got != want {
			t.Errorf("%s: %v, want %v", feature, got, want)
		}
	}
}

// TestTheReportIsHeaded by the rower, else by the seat.
func TestTheReportIsHeaded(t *testing.T) {
	for _, c := range []struct{ athlete, seat, want string }{{"Ines Cole", "3", "Ines Cole"}, {"Ines Cole", "", "Ines Cole"}, {"", "3", "Seat 3"}, {"", "", "The rower"}} {
		p := &reportPage{}
		p.Recording.Athlete, p.Recording.Seat = c.athlete, c.seat
		if p.lay(&strokes.Recording{}); p.Title != c.want {
			t.Errorf("%q, %q: %q, want %q", c.athlete, c.seat, p.Title, c.want)
		}
	}
}

// TestAHabitIsToldOnce: a depth that is a finding is no habit as well.
func TestAHabitIsToldOnce(t *testing.T) {
	for item, want := range map[string]string{"depth": "late ", "catch_slip": "too deep late "} {
		p := &reportPage{}
		p.First.Findings = []advice.WorkOn{{Item: item, Title: "more", Do: []string{"one", "two", "three"}}}
		p.First.Habits = []advice.BladeHabit{{Habit: "too deep"}, {Habit: "late"}}
		p.Report.Measured = []progress.ReportFigure{{Label: "Peak", Unit: "N", Value: 512.4, SD: 20.6}, {Label: "Speed", Unit: "m/s", Value: 1.234, SD: 0.05}, {Label: "Catch", Unit: "°", Value: 58.26, SD: 1}}
		p.lay(&strokes.Recording{})
		got := ""
		for _, h := range p.Habits {
			got += h.Habit + " "
		}
		if got != want || len(p.Findings[0].Do) != 2 || p.Findings[0].Title != "More" {
			t.Errorf("with %s: %s, %v", item, got, p.Findings)
		}
		if p.Measured[0].Value != "512 ± 21 N" || p.Measured[1].Value != "1.23 ± 0.05 m/s" || p.Measured[2].Value != "58.3 ± 1.0°" {
			t.Error(p.Measured)
		}
	}
}
