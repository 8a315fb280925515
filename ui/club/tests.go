package club

import (
	"errors"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"thole/api/club"
	"thole/api/ergometer"
	"thole/api/records"
	"thole/api/wire"
	"thole/ui/page"
	"thole/ui/plot"
)

// ergPanel shows what an athlete's ergometer tests tell.
type ergPanel struct {
	ergometer.Ergometer
	Lines     []ergLine
	Facts     []page.Entry
	Chart     *ergChart
	Predicted []ergPredicted
}

// ergLine is one test of the table.
type ergLine struct {
	ID                     int64
	Day, Set, Result       string // what was set, and what came of it
	Pace, Power, Predicted string
	Mass, Note             string
	Words                  []ergWord
	Address                string // to take it off
}

// ergWord is what is to be said of a test, with a mark that is no colour.
type ergWord struct{ Mark, Class, Text string }

// ergPredicted is what both rules predict for one distance.
type ergPredicted struct {
	Distance           string
	Critical, Doubling *ergResult
}

// ergResult is one predicted result.
type ergResult struct {
	Time, PlusMinus, Pace string
}

func newErgPanel(e *ergometer.Ergometer) *ergPanel {
	p := &ergPanel{Ergometer: *e, Chart: newErgChart(e)}
	for i := range e.Tests {
		p.Lines = append(p.Lines, newErgLine(e.AthleteID, &e.Tests[i]))
	}
	p.addFacts()
	p.addPredicted()
	return p
}

// whole writes a number of W or J, a dash where there is none.
func whole(v *float64) string {
	if v == nil {
		return "–"
	}
	return page.Fix(0, *v)
}

func metres(m float64) string { return page.Plain(m) + " m" }

func newErgLine(athlete int64, t *ergometer.ErgometerTest) ergLine {
	l := ergLine{
		ID: t.ID, Day: page.Day(t.TestedOn), Set: metres(t.DistanceM), Result: wire.FormatTime(t.TimeS), Pace: "–", Power: whole(t.PowerW),
		Predicted: whole(t.ExpectedW), Note: t.Note, Address: fmt.Sprintf("/athletes/%d/tests/%d/remove", athlete, t.ID),
	}
	if t.Fixed == "time" {
		l.Set, l.Result = l.Result, l.Set
	}
	if t.MassKg != nil {
		l.Mass = page.Plain(*t.MassKg) + " kg"
	}
	if t.Pace500mS != nil {
		l.Pace = page.Clock(*t.Pace500mS)
	}
	if t.LeftOut != "" {
		l.Words = append(l.Words, ergWord{"×", "out", "Left out: " + page.LowerFirst(t.LeftOut)})
	}
	if t.Doubt != "" {
		l.Words = append(l.Words, ergWord{"?", "doubt", "In doubt: " + t.Doubt})
	}
	return l
}

// addFacts lists what follows from race power.
func (p *ergPanel) addFacts() {
	r := p.RacePower
	if r == nil {
		return
	}
	add := func(label, format string, args ...any) {
		p.Facts = append(p.Facts, page.Entry{Label: label, Value: fmt.Sprintf(format, args...)})
	}
	add("Per 500 m", "%s", page.Clock(r.Pace500mS))
	add("On the water", "± %s W", page.Fix(0, r.WaterSdW))
	if r.WPerKg != nil {
		add("Per kg", "%s W/kg", page.Fix(2, *r.WPerKg))
	}
	if a := p.Adjusted; a != nil {
		add("2000 m allowing for "+page.Plain(a.MassKg)+" kg", "%s", page.Clock(a.AdjustedTimeS))
		add("Single index (Nevill 2010)", "%s", page.Fix(1, a.SingleIndex))
	}
	if c := p.CriticalPower; c != nil {
		add("Critical power", "%s", plusMinusText(c.CpW, c.CpSdW, 1, 0, "W"))
		add("W′ above it", "%s", plusMinusText(c.WPrimeJ, c.WPrimeSdJ, 1000, 1, "kJ"))
	}
}

// plusMinusText writes a value with its deviation, where one is known, in a
// unit that is so many of the value's.
func plusMinusText(v float64, sd *float64, unit float64, digits int, name string) string {
	if sd == nil {
		return page.Fix(digits, v/unit) + " " + name
	}
	return page.Fix(digits, v/unit) + " ± " + page.Fix(digits, *sd/unit) + " " + name
}

// addPredicted puts the rules side by side.
func (p *ergPanel) addPredicted() {
	for _, x := range p.Predictions {
		name := metres(x.DistanceM)
		at := len(p.Predicted) - 1
		for at >= 0 && p.Predicted[at].Distance != name {
			at--
		}
		if at < 0 {
			p.Predicted, at = append(p.Predicted, ergPredicted{Distance: name}), len(p.Predicted)
		}
		result := &ergResult{Time: page.Clock(x.TimeS), PlusMinus: page.Fix(1, x.SdS), Pace: page.Clock(x.Pace500mS)}
		if x.Rule == "critical_power" {
			p.Predicted[at].Critical = result
		} else {
			p.Predicted[at].Doubling = result
		}
	}
}

// Range writes a range of what was published.
func (p *ergPanel) Range(a ergometer.ErgometerAgreement) string {
	if a.Low == a.High {
		return a.Measure + " " + page.Fix(2, a.Low)
	}
	return a.Measure + " " + page.Fix(2, a.Low) + " to " + page.Fix(2, a.High)
}

// testForm is the form for a new test.
type testForm struct {
	*page.RecordForm
	Test   []page.Value
	Signed []page.Value

	doubtful bool // the time is hard to believe
}

func (s *site) newTestForm(r *http.Request) *testForm {
	return &testForm{RecordForm: page.NewForm(url.Values{
		"tested_on": {s.service.Club.Today()}, "fixed": {"distance"}, "distance_m": {"2000"}, "by": {page.Who(r)},
	})}
}

// read turns what was typed into a request.
func (f *testForm) read(athlete int64) ergometer.NewErgTest {
	f.SetPlace("time", wire.At("time_s"))
	f.SetPlace("test_note", wire.At("note"))
	r := ergometer.NewErgTest{
		AthleteID: athlete, TestedOn: f.Text("tested_on"), Fixed: f.Text("fixed"), DistanceM: f.Number("distance_m"), MassKg: f.NumberAt("test_mass_kg", wire.At("mass_kg")),
		Note: f.Text("test_note"), Sure: f.Ticked("sure"), By: f.Text("by"),
	}
	if text := f.Text("time"); text != "" {
		r.TimeS = f.time(text, r.DistanceM, r.Sure)
	}
	return r
}

// time reads the time of a test, and asks again where it is hard to believe.
func (f *testForm) time(text string, distance *float64, sure bool) *float64 {
	metres := 0.0
	if distance != nil {
		metres = *distance
	}
	seconds, doubt, complaint := ergometer.ReadTestTime(text, metres)
	f.doubtful = doubt != ""
	switch {
	case complaint != "":
		f.Complaints["time"] = complaint
		return nil
	case f.doubtful && !sure:
		f.Complaints["time"] = ended(page.Capital(doubt)) + " Write it like 7:02.4, or say below that it is right."
	}
	return &seconds
}

// ended puts a full stop behind what has no end yet.
func ended(text string) string {
	if strings.HasSuffix(text, "?") || strings.HasSuffix(text, ".") {
		return text
	}
	return text + "."
}

// build lays the fields out.
func (f *testForm) build(athlete int64) {
	f.Test = []page.Value{
		page.TextField("tested_on", "Tested on", "").As("date").AsNeeded(),
		page.TextField("fixed", "Set was the", "").Choose(page.Option{Value: "distance", Label: "distance"}, page.Option{Value: "time", Label: "time"}),
		page.NumberField("distance_m", "Distance", "m", "", "").AsNeeded(),
		page.TextField("time", "Time", "Minutes and seconds, such as 7:02.4.").AsNeeded(),
	}
	if f.doubtful {
		f.Test = append(f.Test, page.TextField("sure", "The time is right as it stands", "").As("check"))
	}
	f.Test = append(f.Test,
		page.NumberField("test_mass_kg", "Mass then", "kg", "Weighed on the day; empty when it was not.", ""),
		page.TextField("test_note", "Note", "Such as: sliders, drag 120."))
	f.Signed = []page.Value{page.ByField()}
	f.Address = fmt.Sprintf("/athletes/%d/tests", athlete)
	f.Fill(f.Test, f.Signed)
}

func (s *site) addErgTest(w http.ResponseWriter, r *http.Request) error {
	sent := s.Sent(w, r)
	if sent == nil {
		return s.Broken(w)
	}
	id, f := page.PathID(r, "id"), &testForm{RecordForm: sent}
	request := f.read(id)
	page := page.FormPage{Page: "athlete", Part: "test-form", Build: func() (any, error) { return s.athletePage(r, s.newMeasuresForm(r), f) }}
	return s.Submit(w, r, sent, page, func() (string, error) {
		_, err := s.service.Ergometer.AddErgTest(r.Context(), request)
		return fmt.Sprintf("/athletes/%d", id), err
	})
}

// testRemoval is the page that asks before a test is taken off.
type testRemoval struct {
	*page.RecordForm
	Name string
	Line ergLine
}

// testRemoval finds the test; one that is gone is api.ErrNotFound.
func (s *site) testRemoval(r *http.Request, f *page.RecordForm) (*testRemoval, error) {
	id, test := page.PathID(r, "id"), page.PathID(r, "test")
	e, err := s.service.Ergometer.Ergometer(r.Context(), records.IDRequest{ID: id})
	if err != nil {
		return nil, err
	}
	for i := range e.Tests {
		if e.Tests[i].ID == test {
			p := &testRemoval{RecordForm: f, Name: e.Name, Line: newErgLine(id, &e.Tests[i])}
			f.Address, f.Back, f.Fields = p.Line.Address, fmt.Sprintf("/athletes/%d", id), []page.Value{page.ByField()}
			f.Fill(f.Fields)
			return p, nil
		}
	}
	return nil, wire.ErrNotFound
}

func (s *site) askRemoveErgTest(w http.ResponseWriter, r *http.Request) error {
	page, err := s.testRemoval(r, page.NewForm(url.Values{"by": {page.Who(r)}}))
	if err != nil {
		return s.Fail(w, err)
	}
	return s.Pages.Show(w, http.StatusOK, "athlete_test", page)
}

func (s *site) removeErgTest(w http.ResponseWriter, r *http.Request) error {
	f := s.Sent(w, r)
	if f == nil {
		return s.Broken(w)
	}
	id := page.PathID(r, "id")
	view := page.FormPage{Page: "athlete_test", Part: "test-removal", Build: func() (any, error) { return s.testRemoval(r, f) }}
	return s.Submit(w, r, f, view, func() (string, error) {
		_, err := s.service.Ergometer.RemoveErgTest(r.Context(), ergometer.ErgTestRemoval{AthleteID: id, Test: page.PathID(r, "test"), By: f.Text("by")})
		if errors.Is(err, wire.ErrNotFound) && s.onRecord(r, id) {
			err = nil // somebody was quicker: the test is off
		}
		return fmt.Sprintf("/athletes/%d", id), err
	})
}

func (s *site) onRecord(r *http.Request, athlete int64) bool {
	_, err := s.service.Club.Athlete(r.Context(), club.AthleteRequest{ID: athlete})
	return err == nil
}

// ergChart is power against duration, the durations on a logarithmic scale.
type ergChart struct {
	Box            plot.Box
	Words          string // said in place of the drawing
	Band           string // what critical power is meant for
	BandAt         plot.Spot
	BandText       string
	Axis           string
	XTicks, YTicks []tickMark
	XNameAt        plot.Spot
	Curve          string
	Dots           []ergDot
	Doubts         bool // some dots are diamonds
	Rings          bool // some dots are rings

	x, y plot.Scale
}

// ergDot is one test of the drawing.
type ergDot struct {
	At      plot.Spot
	Kind    string // full, ring, doubt
	Diamond string
	Words   string
	Label   string
	LabelAt plot.Spot
}

// Sizes of the drawing; our judgement.
const (
	ergWide = 380.0
	ergTall = 210.0
	ergLeft = 40.0
	ergTop  = 24.0
	ergFoot = 34.0
	ergEnd  = 34.0
)

// The durations in s that the drawing spans at the least; our judgement.
const (
	ergShortest = 75
	ergLongest  = 1500
)

// curvePoints is how many points make the curve, highestCurve how far over the
// tests it is drawn at the most; our judgement.
const (
	curvePoints  = 60
	highestCurve = 1.5
)

// newErgChart draws the tests that can be used; nil without any.
func newErgChart(e *ergometer.Ergometer) *ergChart {
	var tests []*ergometer.ErgometerTest
	for i := range e.Tests {
		if e.Tests[i].LeftOut == "" {
			tests = append(tests, &e.Tests[i])
		}
	}
	if len(tests) == 0 {
		return nil
	}
	c := &ergChart{Box: plot.Box{X: 0, Y: 0, W: ergWide, H: ergTall}}
	c.scales(tests, e)
	c.axes(e)
	curve := c.curve(e)
	c.dots(tests)
	c.Words = "Power against duration: " + strings.Join(c.told(), ", ") + curve
	return c
}

// scales lays out durations and powers, those of the curve with them as far as
// it does not dwarf the tests.
func (c *ergChart) scales(tests []*ergometer.ErgometerTest, e *ergometer.Ergometer) {
	x, y := [2]float64{ergShortest, ergLongest}, [2]float64{math.Inf(1), 0}
	for _, t := range tests {
		x[0], x[1] = min(x[0], t.TimeS/1.2), max(x[1], t.TimeS*1.2)
		y[0], y[1] = min(y[0], *t.PowerW), max(y[1], *t.PowerW)
	}
	y[1] *= 1.05
	if k := e.CriticalPower; k != nil {
		y[1] = min(highestCurve*y[1], max(y[1], k.CpW+k.WPrimeJ/e.CriticalFromS))
	}
	step := plot.RoundStep((y[1] - 0.95*y[0]) / 4)
	y[0], y[1] = math.Floor(0.95*y[0]/step)*step, math.Ceil(y[1]/step)*step
	foot := ergTall - ergFoot
	c.x = plot.Scale{Low: math.Log(x[0]), High: math.Log(x[1]), From: ergLeft, To: ergWide - ergEnd}
	c.y = plot.Scale{Low: y[0], High: y[1], From: foot, To: ergTop}
	for v := y[0]; v <= y[1]+step/2; v += step {
		c.YTicks = append(c.YTicks, tickMark{c.y.At(v), page.Fix(0, v)})
	}
	c.Axis = plot.Trace(plot.Spot{X: ergLeft, Y: ergTop - 4}, plot.Spot{X: ergLeft, Y: foot}, plot.Spot{X: ergWide - ergEnd + 6, Y: foot})
	c.XNameAt = plot.Spot{X: ergWide - ergEnd + 6, Y: ergTall - 4}
}

// at places a test.
func (c *ergChart) at(seconds, power float64) plot.Spot {
	return plot.Spot{X: c.x.At(math.Log(seconds)), Y: c.y.At(power)}
}

// minuteTicks are the durations in minutes that may be written at the axis; our judgement.
var minuteTicks = [...]float64{0.25, 0.5, 1, 2, 5, 10, 20, 60, 180, 600}

func (c *ergChart) axes(e *ergometer.Ergometer) {
	for _, minutes := range minuteTicks {
		if at := c.x.At(math.Log(60 * minutes)); at >= c.x.From && at <= c.x.To {
			c.XTicks = append(c.XTicks, tickMark{at, page.Plain(minutes)})
		}
	}
	from, to := c.x.At(math.Log(e.CriticalFromS)), c.x.At(math.Log(e.CriticalToS))
	c.Band = plot.Trace(plot.Spot{X: from, Y: c.y.To}, plot.Spot{X: to, Y: c.y.To}, plot.Spot{X: to, Y: c.y.From}, plot.Spot{X: from, Y: c.y.From}) + "Z"
	c.BandAt = plot.Spot{X: (from + to) / 2, Y: ergTop - 7}
	c.BandText = page.Plain(e.CriticalFromS/60) + " to " + page.Plain(e.CriticalToS/60) + " min"
}

// curve draws critical power where there is one, within the drawing, and
// returns words for it.
func (c *ergChart) curve(e *ergometer.Ergometer) string {
	if e.CriticalPower == nil {
		return ""
	}
	var spots []plot.Spot
	for _, l := range plot.Evenly(curvePoints, c.x.Low, c.x.High) {
		seconds := math.Exp(l)
		if power := e.CriticalPower.CpW + e.CriticalPower.WPrimeJ/seconds; power <= c.y.High && power >= c.y.Low {
			spots = append(spots, c.at(seconds, power))
		}
	}
	if len(spots) > 1 {
		c.Curve = plot.Trace(spots...)
	}
	return "; the curve of critical power, " + page.Fix(0, e.CriticalPower.CpW) + " W"
}

// dots draws the tests; of several over one distance or time the newest bears
// the label.
func (c *ergChart) dots(tests []*ergometer.ErgometerTest) {
	labelled := map[string]bool{}
	for _, t := range tests {
		d := ergDot{At: c.at(t.TimeS, *t.PowerW), Kind: "full"}
		switch {
		case t.Doubt != "":
			d.Kind, c.Doubts = "doubt", true
			d.Diamond = fmt.Sprintf("M%s %sl8 8l-8 8l-8 -8Z", plot.Coord(d.At.X), plot.Coord(d.At.Y-8))
		case t.Critical == "outside":
			d.Kind, c.Rings = "ring", true
		}
		name := metres(t.DistanceM)
		if t.Fixed == "time" {
			name = wire.FormatTime(t.TimeS)
		}
		d.Words = name + " on " + page.Day(t.TestedOn) + ": " + page.Fix(0, *t.PowerW) + " W in " + wire.FormatTime(t.TimeS)
		if !labelled[name] {
			labelled[name] = true
			d.Label, d.LabelAt = name, plot.Spot{X: d.At.X, Y: d.At.Y - 10}
			if below := d.At.Y + 19; len(labelled)%2 == 0 && below < c.y.From-4 {
				d.LabelAt.Y = below
			}
		}
		c.Dots = append(c.Dots, d)
	}
}

// told lists the dots in words.
func (c *ergChart) told() []string {
	var list []string
	for _, d := range c.Dots {
		list = append(list, d.Words)
	}
	return list
}

// ByCritical reports whether critical power predicts something.
func (p *ergPanel) ByCritical() bool {
	for _, x := range p.Predicted {
		if x.Critical != nil {
			return true
		}
	}
	return false
}

// TestCount writes how many tests race power rests on.
func (p *ergPanel) TestCount() string {
	if n := p.RacePower.Tests; n != 1 {
		return strconv.Itoa(n) + " tests"
	}
	return "one test"
}
