package seatrace

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"html/template"
	"math"
	"net/http"
	"slices"
	"strings"

	"thole/api/clock"
	"thole/api/records"
	"thole/api/schedule"
	"thole/api/seat"
	"thole/api/seatrace"
	"thole/api/wire"
	"thole/ui/figure/code"
	"thole/ui/lanes"
	"thole/ui/page"
	"thole/ui/plot"
)

// judgedView is the result of a seat race as its page shows it.
type judgedView struct {
	Judgement seatrace.RaceJudgement
	Verdicts  []verdict
	Untold    string // which of the pairs asked for are not compared
	Groups    []rankingGroup
	Alone     string // who is not compared yet
	WithPrior bool
	Matrices  []chanceMatrix
	Progress  []progressDrawing
	Fits      []pieceFit
	Next      []nextPiece
	Outlying  bool // a piece does not fit the others
	Views     []viewLink
	Priors    []viewLink
	Sides     []viewLink
	Summary   string
}

// viewLink chooses a view of the judgement.
type viewLink struct {
	Text, Address string
	Chosen        bool
	Missing       string // why it cannot be chosen
}

// verdict is one pair in words.
type verdict struct {
	Mark, Words   string
	Class         string
	Text          string
	Faster, Other string
	Chance        string
}

// rankingGroup is a set of athletes that the racing makes comparable.
type rankingGroup struct {
	Title    string
	Athletes []rankedAthlete
	Zero     float64
	Low      string
	High     string
}

// rankedAthlete is one athlete's place in the ranking.
type rankedAthlete struct {
	Name          string
	Effect, SD, W string
	Bar           effectSpan
	Racing, Prior *effectSpan
	RacingText    string
	PriorText     string
	Unknown       bool
}

// chanceMatrix holds the chance that the row is faster than the column.
type chanceMatrix struct {
	Title string
	Names []string
	Rows  []chanceRow
}

type chanceRow struct {
	Name  string
	Cells []chanceCell
}

// chanceCell is one chance with its class of the style sheet.
type chanceCell struct {
	Text, Class string
	Self        bool
}

// pieceFit says how one piece fits the others.
type pieceFit struct {
	Number   int
	Marks    []fitMark
	Leverage string
	Text     string
	Outlying bool
}

// fitMark is a boat's residual on the bar: a square, a disc, a triangle and so
// on.
type fitMark struct {
	X       float64
	Boat    int
	Outline string
	Text    string
}

// nextPiece is a proposal with its form.
type nextPiece struct {
	Text, Crews, Address string
}

// proposals is how many pieces are proposed; our judgement.
const proposals = 3

// judge fills in the judgement, where something has been raced.
func (s *site) judge(ctx context.Context, p *racePage) error {
	j, err := s.service.Seatrace.JudgeRace(ctx, seatrace.JudgementRequest{ID: p.Race.ID, View: p.View, Prior: p.Prior, Next: proposals})
	var bad *wire.Invalid
	if errors.As(err, &bad) {
		p.NoVerdict = bad.Fields[0].Detail
		return nil
	}
	if err != nil {
		return err
	}
	p.Judged = newJudgedView(&j, p)
	return nil
}

func newJudgedView(j *seatrace.RaceJudgement, p *racePage) *judgedView {
	e := &j.Estimate
	v := &judgedView{Judgement: *j, WithPrior: e.Racing != nil, Fits: fitsOf(e)}
	v.Outlying = slices.ContainsFunc(v.Fits, func(f pieceFit) bool { return f.Outlying })
	v.addVerdicts(p)
	for _, side := range p.sidesApart() {
		effects := p.ofSide(ranking(e), side)
		v.Groups = append(v.Groups, rankingsOf(j, effects, sideTitles[side])...)
		v.Matrices = append(v.Matrices, newChanceMatrix(e, effects, p.labels(), sideTitles[side]))
	}
	v.Alone = wire.And(alone(e))
	v.addProgress(p)
	v.addNext(p)
	v.addLinks(p)
	v.Summary = page.Counted(j.Raced, "piece", "pieces") + " raced."
	if len(v.Verdicts) > 0 {
		v.Summary += " " + v.Verdicts[0].said()
	}
	return v
}

// sideTitles head what is shown of the rowers of a side.
var sideTitles = map[string]string{"port": "Ports", "starboard": "Starboards"}

// sidesApart lists the sides to rank by themselves; "" is everybody.
func (p *racePage) sidesApart() []string {
	if p.Sided() && !p.Across() {
		return []string{"port", "starboard"}
	}
	return []string{""}
}

// ofSide keeps those of a side; "" is everybody.
func (p *racePage) ofSide(effects []schedule.SeatRaceEffect, side string) []schedule.SeatRaceEffect {
	if side == "" {
		return effects
	}
	return slices.DeleteFunc(slices.Clone(effects), func(x schedule.SeatRaceEffect) bool { return p.side(x.ID) != side })
}

// addLinks offers the views, the priors, and ports with starboards.
func (v *judgedView) addLinks(p *racePage) {
	link := func(view, prior string, together bool) string {
		sides := ""
		if together {
			sides = "&sides=together"
		}
		return fmt.Sprintf("/seat-races/%d?view=%s&prior=%s%s#judgement", p.Race.ID, view, prior, sides)
	}
	view, prior, together := v.Judgement.Estimate.View, v.Judgement.Prior, p.Together
	v.Views = []viewLink{
		{Text: "Margins", Address: link("margins", prior, together), Chosen: view == "margins"},
		{Text: "Times", Address: link("absolute", prior, together), Chosen: view == "absolute"},
	}
	v.Priors = []viewLink{{Text: "Racing only", Address: link(view, "none", together), Chosen: prior == "none"}}
	ergometer := viewLink{Text: "Racing and ergometer", Address: link(view, "ergometer", together), Chosen: prior == "ergometer"}
	if !v.Judgement.Ergometer {
		ergometer.Missing = "needs two tested athletes"
	}
	v.Priors = append(v.Priors, ergometer)
	if p.Race.Terms.Prior != nil {
		v.Priors = append(v.Priors, viewLink{Text: "Racing and coach’s estimate", Address: link(view, "coach", together), Chosen: prior == "coach"})
	}
	if p.Sided() && !p.Race.Terms.AcrossSides {
		v.Sides = []viewLink{
			{Text: "Each by itself", Address: link(view, prior, false), Chosen: !together},
			{Text: "Ports and starboards together", Address: link(view, prior, true), Chosen: together},
		}
	}
}

// certaintyMarks are the shapes of the certainties, whose words are also their
// classes in the style sheet.
var certaintyMarks = map[string]string{"firm": "●", "likely": "◑", "open": "○"}

// mostVerdicts is how many pairs are put in words; our judgement.
const mostVerdicts = 8

// addVerdicts words the pairs to compare, or else neighbours in the ranking; those
// that are not compared go into one sentence.
func (v *judgedView) addVerdicts(p *racePage) {
	e, labels := &v.Judgement.Estimate, p.labels()
	var untold []string
	for _, d := range p.pairsToWord(e) {
		switch {
		case !d.Estimable && e.Racing == nil:
			untold = append(untold, cmp.Or(labels[d.First], d.First)+" / "+cmp.Or(labels[d.Second], d.Second))
		case len(v.Verdicts) < mostVerdicts:
			v.Verdicts = append(v.Verdicts, newVerdict(d, v.Judgement.WattsPerSecond))
		}
	}
	if len(p.Race.Terms.Pairs) > 0 {
		v.Untold = strings.Join(untold, ", ")
	}
}

// pairsToWord finds the pairs asked for, or else neighbours in the ranking.
func (p *racePage) pairsToWord(e *schedule.SeatRaceEstimate) []schedule.SeatRaceDifference {
	pairs := p.Race.Terms.Pairs
	if len(pairs) == 0 {
		pairs = p.neighbours(e)
	}
	var list []schedule.SeatRaceDifference
	for _, pair := range pairs {
		if d, ok := differenceOf(e.Differences, pair[0], pair[1]); ok {
			list = append(list, d)
		}
	}
	return list
}

// neighbours pairs each athlete with the next in the ranking.
func (p *racePage) neighbours(e *schedule.SeatRaceEstimate) [][]string {
	var pairs [][]string
	for _, side := range p.sidesApart() {
		ranked := p.ofSide(ranking(e), side)
		for i := 1; i < len(ranked); i++ {
			pairs = append(pairs, []string{ranked[i-1].ID, ranked[i].ID})
		}
	}
	return pairs
}

// ranking orders athletes, the fastest first: those comparable together, unless
// a prior joins all.
func ranking(e *schedule.SeatRaceEstimate) []schedule.SeatRaceEffect {
	ranked := slices.Clone(e.Effects)
	slices.SortStableFunc(ranked, func(a, b schedule.SeatRaceEffect) int {
		byGroup := cmp.Compare(a.Group, b.Group)
		if e.Racing != nil {
			byGroup = 0
		}
		return cmp.Or(byGroup, cmp.Compare(b.EffectS, a.EffectS))
	})
	return ranked
}

// differenceOf finds a pair, whichever way round it is listed.
func differenceOf(list []schedule.SeatRaceDifference, first, second string) (schedule.SeatRaceDifference, bool) {
	for _, d := range list {
		switch {
		case d.First == first && d.Second == second:
			return d, true
		case d.First == second && d.Second == first:
			return turned(d), true
		}
	}
	return schedule.SeatRaceDifference{}, false
}

// turned swaps the two of a pair.
func turned(d schedule.SeatRaceDifference) schedule.SeatRaceDifference {
	d.First, d.Second = d.Second, d.First
	d.DifferenceS, d.LowS, d.HighS = -d.DifferenceS, -d.HighS, -d.LowS
	d.ChanceFirstFaster = 1 - d.ChanceFirstFaster
	return d
}

func newVerdict(d schedule.SeatRaceDifference, watts float64) verdict {
	if d.ChanceFirstFaster < 0.5 {
		d = turned(d)
	}
	v := verdict{
		Faster: d.First, Other: d.Second, Chance: percent(d.ChanceFirstFaster), Class: d.Certainty, Mark: certaintyMarks[d.Certainty], Words: d.Certainty,
	}
	v.Text = fmt.Sprintf("%s s (%s to %s), about %s W.", page.Fix(2, d.DifferenceS), page.Fix(2, d.LowS), page.Fix(2, d.HighS), page.Fix(0, d.DifferenceS*watts))
	if !d.Estimable {
		v.Text += " Racing alone does not compare them; this comes from what was known before."
	}
	return v
}

// Title names the faster first; an open pair has no faster one yet.
func (v *verdict) Title() string {
	if v.Class == "open" {
		return v.Faster + " or " + v.Other
	}
	return v.Faster + " over " + v.Other
}

// Sure is the certainty with the chance of the likelier.
func (v *verdict) Sure() string {
	if v.Class == "open" {
		return fmt.Sprintf("open, %s for %s", v.Chance, v.Faster)
	}
	return v.Words + ", " + v.Chance
}

// said is a verdict in one line.
func (v *verdict) said() string { return v.Title() + ": " + v.Sure() + "." }

// percent writes a chance, never as certain.
func percent(chance float64) string {
	switch {
	case chance >= 0.995: // which would be written as 100 %
		return "over 99 %"
	case chance < 0.005:
		return "under 1 %"
	}
	return page.Fix(0, 100*chance) + " %"
}

// rankingsOf ranks athletes with their intervals, each group of comparable
// ones in a ranking of its own; a prior joins all.
func rankingsOf(j *seatrace.RaceJudgement, effects []schedule.SeatRaceEffect, title string) []rankingGroup {
	groups := map[int][]schedule.SeatRaceEffect{}
	var order []int
	for _, x := range effects {
		g := x.Group
		if j.Estimate.Racing != nil {
			g = 0
		}
		if groups[g] == nil {
			order = append(order, g)
		}
		groups[g] = append(groups[g], x)
	}
	var list []rankingGroup
	for _, g := range order {
		if len(groups[g]) > 1 || len(order) == 1 {
			list = append(list, newRanking(j, groups[g]))
		}
	}
	for i := range list {
		switch {
		case len(list) > 1 && title != "":
			list[i].Title = title + " compared with each other"
		case len(order) > 1 && title == "":
			list[i].Title = "Compared with each other"
		default:
			list[i].Title = title
		}
	}
	return list
}

// alone lists the athletes whom the racing compares with nobody; none where a
// prior joins all.
func alone(e *schedule.SeatRaceEstimate) []string {
	var names []string
	for _, x := range e.Effects {
		if !x.Estimable {
			names = append(names, x.ID)
		}
	}
	return names
}

func newRanking(j *seatrace.RaceJudgement, athletes []schedule.SeatRaceEffect) rankingGroup {
	slices.SortStableFunc(athletes, func(a, b schedule.SeatRaceEffect) int { return cmp.Compare(b.EffectS, a.EffectS) })
	var ends []float64
	for _, x := range athletes {
		ends = append(ends, clipped(x.LowS, athletes), clipped(x.HighS, athletes))
	}
	s := newEffectScale(ends...)
	g := rankingGroup{Zero: s.Zero(), Low: page.Signed(1, s.low) + " s", High: page.Signed(1, s.high) + " s"}
	for _, x := range athletes {
		g.Athletes = append(g.Athletes, newRankedAthlete(j, x, s))
	}
	return g
}

// clipped keeps one endless interval from flattening all others: the ranking
// shows at most four times the widest effect, and no less than two seconds.
func clipped(v float64, athletes []schedule.SeatRaceEffect) float64 {
	most := 0.5
	for _, x := range athletes {
		most = max(most, math.Abs(x.EffectS)+x.SdS)
	}
	return max(-4*most, min(4*most, v))
}

func newRankedAthlete(j *seatrace.RaceJudgement, x schedule.SeatRaceEffect, s effectScale) rankedAthlete {
	r := rankedAthlete{
		Name: x.ID, Effect: page.Signed(2, x.EffectS), SD: page.Fix(2, x.SdS), W: page.Signed(0, x.EffectS*j.WattsPerSecond),
		Bar: s.interval(max(s.low, x.LowS), x.EffectS, min(s.high, x.HighS)), Unknown: !x.Estimable,
	}
	if e := &j.Estimate; e.Racing != nil {
		r.Racing, r.RacingText = partOf(e.Racing, x.ID, s)
		r.Prior, r.PriorText = partOf(e.Prior, x.ID, s)
	}
	return r
}

// partOf is one source's part of a rankedAthlete.
func partOf(e *schedule.SeatRaceEvidence, id string, s effectScale) (*effectSpan, string) {
	for _, x := range e.Effects {
		if x.ID == id && x.Estimable {
			bar := s.interval(max(s.low, min(s.high, x.LowS)), max(s.low, min(s.high, x.EffectS)), max(s.low, min(s.high, x.HighS)))
			return &bar, page.Signed(2, x.EffectS) + " ± " + page.Fix(2, x.SdS)
		}
	}
	return nil, "–"
}

// labels are the short names of the athletes by name.
func (p *racePage) labels() map[string]string {
	labels := make(map[string]string, len(p.Race.Athletes))
	for i := range p.Race.Athletes {
		labels[p.Race.Athletes[i].Name] = p.Race.Athletes[i].Label
	}
	return labels
}

// newChanceMatrix lays the chances out in the order of the ranking.
func newChanceMatrix(e *schedule.SeatRaceEstimate, ranked []schedule.SeatRaceEffect, labels map[string]string, title string) chanceMatrix {
	m := chanceMatrix{Title: title}
	for _, x := range ranked {
		m.Names = append(m.Names, cmp.Or(labels[x.ID], x.ID))
	}
	for i := range ranked {
		row := ranked[i].ID
		r := chanceRow{Name: m.Names[i]}
		for k := range ranked {
			column := ranked[k].ID
			c := chanceCell{Self: i == k}
			if d, ok := differenceOf(e.Differences, row, column); ok {
				c = newChanceCell(d, e.Racing != nil)
			}
			r.Cells = append(r.Cells, c)
		}
		m.Rows = append(m.Rows, r)
	}
	return m
}

func newChanceCell(d schedule.SeatRaceDifference, joined bool) chanceCell {
	if !d.Estimable && !joined {
		return chanceCell{Text: "–", Class: "unknown"}
	}
	class := d.Certainty
	if d.ChanceFirstFaster < 0.5 {
		class += " slower"
	}
	return chanceCell{Text: strings.TrimSuffix(percent(d.ChanceFirstFaster), " %"), Class: class}
}

// mostProgress is how many pairs are followed piece by piece; our judgement.
const mostProgress = 4

// addProgress follows the pairs that matter through the pieces.
func (v *judgedView) addProgress(p *racePage) {
	e := &v.Judgement.Estimate
	for _, d := range p.pairsToWord(e) {
		if drawing, ok := newProgress(e.AfterEach, d.First, d.Second); ok && len(v.Progress) < mostProgress {
			v.Progress = append(v.Progress, drawing)
		}
	}
}

// boatShapes are outlines about the middle of the bar, one a boat.
var boatShapes = []string{"m-4 -4h8v8h-8z", "m-5 0a5 5 0 1 0 10 0a5 5 0 1 0 -10 0z", "m0 -6l6 10h-12z", "m0 -6l6 6l-6 6l-6 -6z"}

// fitsOf reports how the pieces fit, on one scale of seconds.
func fitsOf(e *schedule.SeatRaceEstimate) []pieceFit {
	widest := 0.1
	for _, p := range e.Pieces {
		for _, b := range p.Boats {
			widest = max(widest, math.Abs(b.ResidualS))
		}
	}
	var list []pieceFit
	for i, p := range e.Pieces {
		if len(p.Boats) == 0 {
			continue
		}
		f := pieceFit{Number: i + 1, Leverage: percentOf(p.Leverage), Outlying: p.Outlying, Text: fitText(&p)}
		for _, b := range p.Boats {
			m := fitMark{X: 100 + 90*b.ResidualS/widest, Boat: b.Boat, Text: fmt.Sprintf("boat %d %s s", b.Boat, page.Signed(2, b.ResidualS))}
			m.Outline = fmt.Sprintf("M%s 12%s", plot.Coord(m.X), boatShapes[(b.Boat-1)%len(boatShapes)])
			f.Marks = append(f.Marks, m)
		}
		list = append(list, f)
	}
	return list
}

func percentOf(share float64) string { return page.Fix(0, 100*share) + " %" }

func fitText(p *schedule.PieceVerdict) string {
	switch {
	case p.Outlying:
		return "Does not fit the other pieces. Check the watch, crabs and wash; race it again if a seat depends on it."
	case !p.Checked:
		return "No other piece checks this one."
	}
	return "Fits the others."
}

// nextTexts say what one more piece would bring, by whether two athletes are swapped and
// whether pairs stay uncompared: the error in s, how many pairs, and the two.
var nextTexts = map[[2]bool]string{
	{false, false}: "With the same crews again the pairs would be ± %[1]s s on average.",
	{false, true}:  "With the same crews again the pairs would be ± %[1]s s on average, %[2]d still not compared.",
	{true, false}:  "With %[3]s and %[4]s swapped the pairs would be ± %[1]s s on average.",
	{true, true}:   "With %[3]s and %[4]s swapped the pairs would be ± %[1]s s on average, %[2]d still not compared.",
}

// addNext words the proposals for one more piece.
func (v *judgedView) addNext(p *racePage) {
	for _, n := range v.Judgement.Estimate.Next {
		x, swapped := nextPiece{Address: fmt.Sprintf("/seat-races/%d/add", p.Race.ID)}, append(p.short(n.Swapped), "", "")
		x.Text = fmt.Sprintf(nextTexts[[2]bool{len(n.Swapped) == 2, n.Missing > 0}], page.Fix(2, n.SdS), n.Missing, swapped[0], swapped[1])
		var lines []string
		for _, crew := range n.Crews {
			lines = append(lines, strings.Join(crew, ", "))
		}
		x.Crews = strings.Join(lines, "\n")
		v.Next = append(v.Next, x)
	}
}

// printPage is a printed schedule.
type printPage struct {
	Race   seatrace.Race
	Time   string
	Pieces []printPiece
	Always []seat.Caution

	Address string        // of the seat race, for a phone; "" where none reaches it
	Code    template.HTML // the same
}

// printPiece is one piece of it.
type printPiece struct {
	Number  int
	Start   string
	Again   string
	Done    string
	Drawing lanes.Drawing
	Change  string
	Crews   [][]string
	Moved   []string
	Boxes   []writingBox
}

// writingBox takes a boat's time by hand, or shows what was taken of it.
type writingBox struct {
	Boat  int
	Taken string
}

// Many reports whether drawings with type of 9 pt have no room: crews stand in words.
func (p *printPage) Many() bool {
	return len(p.Pieces) > 6 || p.Race.Terms.Boats > 3 || p.Race.Terms.Boats == 3 && len(p.Pieces) > 4
}

// printPage gathers the schedule of the seat race in the address.
func (s *site) printPage(r *http.Request) (*printPage, error) {
	t, err := s.service.Seatrace.Race(r.Context(), records.IDRequest{ID: raceID(r)})
	if err != nil {
		return nil, err
	}
	p := &printPage{Race: t, Time: clock.Format(t.Terms.ExpectedTimeS), Always: schedule.RaceCautions()}
	if base := page.ReachOf(r.Context()).Base; base != "" {
		p.Address = fmt.Sprintf("%s/seat-races/%d", base, t.ID)
		p.Code = code.SVG(p.Address)
	}
	names := racePage{Race: t}
	for i, piece := range t.Pieces {
		x := printPiece{
			Number: piece.Number, Start: lanes.Minutes(t.Terms.StartMin(i)), Drawing: lanes.New(names.shortCrews(piece.Crews), names.short(piece.Moved), nil, names.coxed()),
			Change: lanes.Change(i, names.short(piece.Moved), nil), Crews: piece.Crews, Moved: piece.Moved,
		}
		taken := takenOf(&piece)
		for b := range piece.Crews {
			box := writingBox{Boat: b + 1}
			if b < len(taken) {
				box.Taken = taken[b]
			}
			x.Boxes = append(x.Boxes, box)
		}
		if piece.RerunOf != nil {
			x.Again = fmt.Sprintf("piece %d again", *piece.RerunOf)
		}
		if piece.State != "planned" {
			x.Done = piece.State
		}
		p.Pieces = append(p.Pieces, x)
	}
	return p, nil
}

// coachPrint answers the whole schedule, for the launch.
func (s *site) coachPrint(w http.ResponseWriter, r *http.Request) error {
	return s.printed(w, r, "seatrace_coach", func(*printPage) {})
}

// crewsPrint answers what crews and coxes may know: when and how far, and the
// first crews. Who changes is called on the water.
func (s *site) crewsPrint(w http.ResponseWriter, r *http.Request) error {
	return s.printed(w, r, "seatrace_crews", func(p *printPage) {
		for i := range p.Pieces {
			x := &p.Pieces[i]
			x.Again, x.Change, x.Moved = "", "", nil
			if i > 0 {
				x.Crews, x.Drawing = nil, lanes.Drawing{}
			}
		}
		p.Address, p.Code = "", "" // the crews may not open it
		p.Race = seatrace.Race{
			ID: p.Race.ID, Name: p.Race.Name, HeldOn: p.Race.HeldOn, BoatClass: p.Race.BoatClass, DistanceM: p.Race.DistanceM,
			Terms: schedule.RaceTerms{RestMin: p.Race.Terms.RestMin},
		}
	})
}

func (s *site) printed(w http.ResponseWriter, r *http.Request, page string, trim func(*printPage)) error {
	p, err := s.printPage(r)
	if err != nil {
		return s.raceFault(w, err)
	}
	trim(p)
	return s.Pages.Show(w, http.StatusOK, page, p)
}
