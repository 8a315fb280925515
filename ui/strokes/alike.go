package strokes

import (
	"fmt"
	"math"
	"net/http"
	"strconv"
	files "thole/ui/strokefile"

	"thole/api/exports"
	"thole/api/progress"
	"thole/api/rest"
	"thole/api/strokefile"
	"thole/api/strokes"
	"thole/selection"
	"thole/ui/arc"
	"thole/ui/page"
	"thole/ui/plot"
)

// comparePage is two recordings on top of each other.
type comparePage struct {
	A, B       string // names
	C          strokes.Comparison
	Thresholds files.ThresholdForm
	ByAngle    *plot.Plot
	ByTime     *plot.Plot
	Tables     files.Tables
	Files      *page.Files
	Options    []page.Option
	IDA, IDB   string
	Problem    string
	Ready      bool
	Shift      string
	Match      string            // of the two curves: close, fair or poor
	Between    *progress.Between // of one rower on two dates; nil for two rowers
}

func (s *site) strokeCompare(w http.ResponseWriter, r *http.Request) error {
	list, err := s.service.Strokes.Recordings(r.Context(), strokes.RecordingsRequest{})
	if err != nil {
		return s.Fail(w, err)
	}
	q := r.URL.Query()
	p := &comparePage{Options: recordingOptions(list.Recordings), IDA: q.Get("a"), IDB: q.Get("b")}
	if p.IDA == "" && p.IDB == "" {
		p.IDA, p.IDB = newestTwo(list.Recordings)
	}
	status := http.StatusOK
	if p.IDA != "" && p.IDB != "" {
		if err := s.compareTwo(r, p); err != nil {
			return s.Fail(w, err)
		}
		if p.Problem != "" {
			status = http.StatusUnprocessableEntity
		}
	}
	p.Files = p.Tables.Files(r, "compared")
	if done, err := p.Files.Send(w, r); done {
		return err
	}
	return s.Pages.Show(w, status, "stroke_compare", p)
}

// newestTwo are the newest recording and the newest of somebody else, which the page shows
// before anything is chosen; "" where there are none.
func newestTwo(list []strokes.RecordingSummary) (a, b string) {
	for i := range list {
		if r := &list[i]; r.AthleteID != nil && list[0].AthleteID != nil && *r.AthleteID != *list[0].AthleteID {
			return strconv.FormatInt(list[0].ID, 10), strconv.FormatInt(r.ID, 10)
		}
	}
	return "", ""
}

// compareTwo fills in the comparison or what stands in its way.
func (s *site) compareTwo(r *http.Request, p *comparePage) error {
	th, form := files.ReadThresholds(r.URL.Query())
	p.Thresholds = form
	ask := strokes.CompareRequest{A: or0(files.IDOf(p.IDA)), B: or0(files.IDOf(p.IDB))}
	if th != nil {
		ask.CatchN, ask.ReleaseN, ask.ShareOfPeak, ask.CoveredDeg = th.CatchN, th.ReleaseN, th.ShareOfPeak, th.CoveredDeg
	}
	c, err := s.service.Strokes.CompareRecordings(r.Context(), ask)
	if explained := rest.Explain(err); err != nil && explained.Status == http.StatusUnprocessableEntity {
		p.Problem = explained.Detail
		for _, f := range explained.Errors {
			p.Problem = f.Detail
		}
		return nil
	}
	if err != nil {
		return err
	}
	p.lay(&c)
	if err := s.between(r, p); err != nil {
		return err
	}
	return nil
}

// between reports what changed where both recordings are of one rower.
func (s *site) between(r *http.Request, p *comparePage) error {
	a, b := p.C.A.AthleteID, p.C.B.AthleteID
	if a == nil || b == nil || *a != *b {
		return nil
	}
	found, err := s.service.Progress.Between(r.Context(), progress.BetweenRequest{A: p.C.A.ID, B: p.C.B.ID, ShareOfPeak: p.C.A.Thresholds.ShareOfPeak})
	if err != nil {
		if rest.Explain(err).Status == http.StatusUnprocessableEntity {
			return nil // two oars of one outing, a mean curve alone: the curves are compared
		}
		return err
	}
	p.Between = &found
	p.Tables = append(p.Tables, changesTable(&found))
	return nil
}

// changesTable lists what changed, the surest first.
func changesTable(b *progress.Between) *files.Table {
	t := &files.Table{Name: "changes", Title: "What changed", Head: []string{"Measure", page.Day(b.Before.RecordedOn), page.Day(b.After.RecordedOn), "Change", "± noise", "Unit", "Verdict"}}
	for i := range b.Changes.List {
		c := &b.Changes.List[i]
		digits := exports.FeatureNamed(c.Feature).Digits
		if c.Unit == "ms" || c.Unit == "% of the arc" {
			digits = 1
		}
		t.Rows = append(t.Rows, []string{
			c.Label, page.Fix(digits, c.Before), page.Fix(digits, c.After), page.Signed(digits, c.Change.Value), page.Fix(digits, c.Change.NoiseSD), c.Unit, page.ProgressVerdicts[c.Change.Verdict] + ", " + page.Fix(1, c.Change.Times) + " times the noise",
		})
	}
	return t
}

func or0(id *int64) int64 {
	if id == nil {
		return 0
	}
	return *id
}

// lay builds drawings and tables.
func (p *comparePage) lay(c *strokes.Comparison) {
	p.C, p.Ready = *c, true
	p.Thresholds.Fill(&c.A.Thresholds)
	p.A, p.B = recordingLabel(&c.A.RecordingSummary), recordingLabel(&c.B.RecordingSummary)
	a, b := &c.A.Oar.Curve, &c.B.Oar.Curve
	p.ByAngle = overlay("Both mean curves over the arc", "share of the arc from catch to finish, %", a.AngleMean, b.AngleMean)
	p.ByTime = overlay("Both mean curves over the time of the drive", "share of the drive’s time, %", a.TimeMean, b.TimeMean)
	p.Shift, p.Match = shiftWords(c), matchWord(&c.ByAngle)
	p.Tables = files.Tables{likenessTable(c), p.features(c), curveTable("curves", "Both curves",
		[]string{"By angle, A, N", "By angle, B, N", "By time, A, N", "By time, B, N"}, a.AngleMean, b.AngleMean, a.TimeMean, b.TimeMean)}
}

func overlay(title, xName string, a, b []float64) *plot.Plot {
	x := plot.Evenly(len(a), 0, 100)
	p := plot.New(title, 220, [2]float64{0, 100}, plot.Extent([2]float64{0, 1}, a, b), xName, "force, N")
	p.Line("series s0", x, a)
	p.Line("series s1", x, b)
	for i, curve := range [][]float64{a, b} {
		k := arc.PeakOf(curve)
		p.Note(x[k], curve[k], 0, -5, "middle", string(rune('A'+i)))
	}
	return p
}

// matchWord grades how well two shapes match, by the levels of the squad’s matrix.
func matchWord(l *strokes.CurveLikeness) string {
	return []string{"close", "fair", "fair", "poor"}[measureValue("d").level(l.D)-1]
}

// shiftWords tells timing apart from shape.
func shiftWords(c *strokes.Comparison) string {
	shift := math.Round(100 * c.ByAngle.ShiftShare)
	switch {
	case shift > 0:
		return "A comes " + page.Fix(0, shift) + " % of the arc later than B. Put on top of each other they correlate " + page.Fix(3, c.ByAngle.ShiftedR) + "."
	case shift < 0:
		return "A comes " + page.Fix(0, -shift) + " % of the arc earlier than B. Put on top of each other they correlate " + page.Fix(3, c.ByAngle.ShiftedR) + "."
	}
	return "Neither comes later than the other: what differs is the shape and the size."
}

func likenessTable(c *strokes.Comparison) *files.Table {
	t := &files.Table{Name: "likeness", Title: "Curve match", Head: []string{"Measure", "By angle", "By time", "What it says"}}
	add := func(label, says string, digits int, of func(*strokes.CurveLikeness) float64) {
		t.Rows = append(t.Rows, []string{label, page.Fix(digits, of(&c.ByAngle)), page.Fix(digits, of(&c.ByTime)), says})
	}
	add("Difference of shape D", "0 is the same shape, 1 no overlap; size does not count", 3, func(l *strokes.CurveLikeness) float64 { return l.D })
	add("Correlation r", "1 is the same; timing and shape together", 3, func(l *strokes.CurveLikeness) float64 { return l.R })
	add("Shift, % of the drive", "timing: plus is A later", 0, func(l *strokes.CurveLikeness) float64 { return 100 * l.ShiftShare })
	add("Correlation at that shift", "shape without timing", 3, func(l *strokes.CurveLikeness) float64 { return l.ShiftedR })
	add("Difference of force, N", "root mean square; size counts", 0, func(l *strokes.CurveLikeness) float64 { return l.RMSN })
	add("DTW distance, N", "what is left after bending time by up to 10 %", 0, func(l *strokes.CurveLikeness) float64 { return l.WarpN })
	return t
}

// features puts the features of both beside each other.
func (p *comparePage) features(c *strokes.Comparison) *files.Table {
	t := &files.Table{Name: "features", Title: "Features of both", Head: []string{"Feature", "A", "B", "A less B", "Unit"}}
	for _, l := range strokefile.Features {
		a, hasA := c.A.Oar.Features[l.Name]
		b, hasB := c.B.Oar.Features[l.Name]
		if hasA && hasB {
			t.Rows = append(t.Rows, []string{l.Label, page.Fix(l.Digits, a.Mean), page.Fix(l.Digits, b.Mean), page.Signed(l.Digits, a.Mean-b.Mean), l.Unit})
		}
	}
	return t
}

// curveSquadPage is the squad's matrix.
type curveSquadPage struct {
	Squad    strokes.CurveSquad
	Among    page.SquadChoice
	Measure  string
	Measures []page.Option
	Cells    [][]cell
	Curves   *plot.Plot
	Ways     []way
	Tables   files.Tables
	Files    *page.Files
	Legend   []string
}

// cell is one pair of the matrix.
type cell struct {
	Text, Level, Link, Words string
}

// way is one principal component.
type way struct {
	Title string
	Plot  *plot.Plot
	High  string // who goes furthest along it
	Low   string
}

var measureOptions = []page.Option{{Value: "d", Label: "Curve match: difference D"}, {Value: "r", Label: "Correlation r"}, {Value: "shift", Label: "Shift, % of the drive"}, {Value: "shifted", Label: "Correlation at best shift"}, {Value: "rms", Label: "Difference of force, N"}, {Value: "warp", Label: "DTW distance, N"}}

func (s *site) strokeSquad(w http.ResponseWriter, r *http.Request) error {
	among, err := page.ChooseSquad(r.Context(), s.service.Club, r.URL.Query().Get(page.Among))
	if err != nil {
		return err
	}
	squad, err := s.service.Strokes.SquadCurves(r.Context(), strokes.CurveSquadRequest{SquadID: among.ID})
	if err != nil {
		return s.Fail(w, err)
	}
	p := &curveSquadPage{Squad: squad, Among: among, Measure: r.URL.Query().Get("measure"), Measures: measureOptions}
	if measureValue(p.Measure) == nil {
		p.Measure = "d"
	}
	p.lay()
	p.Files = p.Tables.Files(r, "squad")
	if done, err := p.Files.Send(w, r); done {
		return err
	}
	return s.Pages.Show(w, http.StatusOK, "stroke_squad", p)
}

// likenessScale is how a measure of likeness is read and written.
type likenessScale struct {
	digits int
	of     func(*strokes.CurveLikeness) float64
	steps  [3]float64 // where the levels of likeness end; further is unlike
	near   float64    // the value of equal curves
}

func measureValue(name string) *likenessScale {
	switch name {
	case "d":
		return &likenessScale{3, func(l *strokes.CurveLikeness) float64 { return l.D }, [3]float64{0.03, 0.06, 0.12}, 0}
	case "r":
		return &likenessScale{3, func(l *strokes.CurveLikeness) float64 { return l.R }, [3]float64{0.01, 0.03, 0.1}, 1}
	case "shift":
		return &likenessScale{0, func(l *strokes.CurveLikeness) float64 { return 100 * l.ShiftShare }, [3]float64{1, 3, 6}, 0}
	case "shifted":
		return &likenessScale{3, func(l *strokes.CurveLikeness) float64 { return l.ShiftedR }, [3]float64{0.01, 0.03, 0.1}, 1}
	case "rms":
		return &likenessScale{0, func(l *strokes.CurveLikeness) float64 { return l.RMSN }, [3]float64{25, 60, 120}, 0}
	case "warp":
		return &likenessScale{0, func(l *strokes.CurveLikeness) float64 { return l.WarpN }, [3]float64{150, 400, 900}, 0}
	}
	return nil
}

// level is the grade of likeness, 1 as most alike.
func (m *likenessScale) level(v float64) int {
	off := v - m.near
	if off < 0 {
		off = -off
	}
	for i, step := range m.steps {
		if off <= step {
			return i + 1
		}
	}
	return 4
}

// lay builds matrix, drawings and tables.
func (p *curveSquadPage) lay() {
	members, m := p.Squad.Members, measureValue(p.Measure)
	t := &files.Table{Name: "matrix", Title: "Matrix", Head: []string{""}, Wide: true}
	curves := &files.Table{Name: "curves", Title: "Curves, N", Head: []string{"Athlete", "Recorded", "Oars"}, Wide: true}
	top := [2]float64{0, 1}
	for i := range members {
		t.Head = append(t.Head, members[i].Athlete)
		top = plot.Extent(top, members[i].CurveN)
	}
	for k := range selection.CurveNodes {
		curves.Head = append(curves.Head, strconv.Itoa(k)+" %")
	}
	for i, row := range p.Squad.Alike {
		line, cells := []string{members[i].Athlete}, []cell{}
		for j := range row {
			v := m.of(&row[j])
			text := page.Fix(m.digits, v)
			line = append(line, text)
			cells = append(cells, cell{
				Text: text, Level: strconv.Itoa(m.level(v)), Words: members[i].Athlete + " and " + members[j].Athlete,
				Link: fmt.Sprintf("/recordings/compare?a=%d&b=%d", members[i].RecordingID, members[j].RecordingID),
			})
		}
		cells[i] = cell{Text: "·", Level: "0"}
		t.Rows, p.Cells = append(t.Rows, line), append(p.Cells, cells)
		one := []string{members[i].Athlete, members[i].RecordedOn, strconv.Itoa(members[i].Hands)}
		for _, v := range members[i].CurveN {
			one = append(one, page.Fix(1, v))
		}
		curves.Rows = append(curves.Rows, one)
	}
	p.Tables = files.Tables{t, curves}
	p.Curves = squadCurves(members, top)
	p.ways()
}

// squadCurves draws every member's curve.
func squadCurves(members []strokes.CurveMember, top [2]float64) *plot.Plot {
	x := plot.Evenly(selection.CurveNodes, 0, 100)
	p := plot.New("Newest mean curve of each athlete over the arc", 230, [2]float64{0, 100}, top, "share of the arc from catch to finish, %", "force, N")
	for i := range members {
		p.Line(plot.Dash(i), x, members[i].CurveN)
	}
	return p
}

// tellingShare is the share of the differences below which a component is not drawn: it
// would read 0 % (our judgement). Its scores stay in the table.
const tellingShare = 0.005

// ways draws the mean shape with each component added and taken away.
func (p *curveSquadPage) ways() {
	c := &p.Squad.Components
	scores := &files.Table{Name: "components", Title: "Scores", Head: []string{"Athlete"}}
	for k, v := range c.Vectors {
		scores.Head = append(scores.Head, fmt.Sprintf("Component %d", k+1))
		if c.Share[k] >= tellingShare {
			p.Ways = append(p.Ways, p.way(k, v))
		}
	}
	for i := range p.Squad.Members {
		row := []string{p.Squad.Members[i].Athlete}
		for _, v := range p.Squad.Members[i].Scores {
			row = append(row, page.Fix(2, v))
		}
		scores.Rows = append(scores.Rows, row)
	}
	if len(p.Ways) > 0 {
		p.Tables = append(p.Tables, scores)
	}
}

func (p *curveSquadPage) way(k int, vector []float64) way {
	c, members := &p.Squad.Components, p.Squad.Members
	least, most := 0, 0
	for i := range members {
		if members[i].Scores[k] < members[least].Scores[k] {
			least = i
		}
		if members[i].Scores[k] > members[most].Scores[k] {
			most = i
		}
	}
	at := func(score float64) []float64 {
		list := make([]float64, len(vector))
		for i := range vector {
			list[i] = c.Mean[i] + score*vector[i]
		}
		return list
	}
	low, high := at(members[least].Scores[k]), at(members[most].Scores[k])
	d := plot.New(fmt.Sprintf("Component %d of the differences", k+1), 130, [2]float64{0, 100}, plot.Extent([2]float64{0, 0.1}, low, high), "share of the arc, %", "force, share of the mean")
	x := plot.Evenly(len(vector), 0, 100)
	d.Line("series back", x, c.Mean)
	d.Line("series s0", x, high)
	d.Line("series s1", x, low)
	return way{Title: fmt.Sprintf("Component %d: %s %% of the differences", k+1, page.Fix(0, 100*c.Share[k])), Plot: d, High: members[most].Athlete, Low: members[least].Athlete}
}
