package schedule

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"thole/api/clock"
	"thole/api/club"
	"thole/api/directory"
	"thole/api/rest"
	"thole/api/schedule"
	"thole/api/seat"
	"thole/api/seatrace"
	"thole/api/wire"
	"thole/ui/page"
)

// The page that plans a seat race: a squad, what may change between pieces, and
// how accurate the comparisons will be.

// schedulePage is all that the page shows.
type schedulePage struct {
	Classes       []seat.BoatClass
	Class         seat.BoatClass
	Among         page.SquadChoice
	Squad, Pairs  textArea
	Record        []squadPick
	Moved         bool // picks were moved into the squad
	Counts, More  []page.Input
	Hulls         bool
	Across        bool // ports are to be compared with starboards
	Problems      []page.Problem
	Plan          *scheduleView
	Grid          []gridRow    // the crews, one row an athlete
	ByHand        []page.Entry // crews made by hand, for the first form to keep
	Kept          []page.Entry // the first form's values, for the other forms
	Dropped       bool         // crews made by hand no longer fit the squad
	Address       string
	AfreshAddress string
	Save          saveForm
	Live          bool

	book   *directory.Book   // of the squad, by places in it
	labels map[string]string // the short names of the squad by name
}

// textArea is a text of several lines with its complaint.
type textArea struct {
	Name, Label, Help, Value, Problem string

	Short string // the label in the list of problems
}

// ID is the element's id.
func (a textArea) ID() string { return a.Name }

// squadPick is an athlete on record who can be taken into the squad.
type squadPick struct{ Name, Side string }

// saveForm saves the seat race.
type saveForm struct {
	Name, HeldOn, By                 string
	NameProblem, DayProblem, Problem string
	Race, Version                    string // of the seat race that is planned afresh
}

// scheduleFields are the numbers of the form; their names are those of the request.
var (
	scheduleCounts = page.WithDefaults(schedule.SeatRacePlanRequest{}, []page.Field{
		{Name: "boats", Path: "boats", Label: "Boats side by side"},
		{Name: "pieces", Path: "pieces", Label: "Pieces", Blank: strconv.Itoa(usualPieces)},
		{Name: "swaps", Path: "swaps", Label: "Swaps between pieces", Help: "0: no limit."},
		{Name: "rest_min", Path: "rest_min", Label: "Rest between pieces", Unit: "min"},
		{Name: "distance_m", Path: "distance_m", Label: "Distance", Unit: "m"},
	})
	scheduleMore = page.WithDefaults(schedule.SeatRacePlanRequest{}, []page.Field{
		{Name: "smallest_w", Path: "smallest_w", Label: "Smallest difference to show", Unit: "W", Help: "Between two athletes."},
		{Name: "mean_power_w", Path: "mean_power_w", Label: "Power of one athlete", Unit: "W", Help: "Mean over a piece."},
		{Name: "expected_time_s", Path: "expected_time_s", Label: "Time of a piece", Help: "Such as 3:10. Empty: calculated from the power."},
		{Name: "noise_sd_s", Path: "noise_sd_s", Label: "Scatter of one boat’s time", Unit: "s", Help: "Standard deviation. Empty: 0.9 % of the time."},
	})
)

// usualPieces is planned where no number is given; our judgement.
const usualPieces = 6

// newSchedule answers the whole page.
func (s *site) newSchedule(w http.ResponseWriter, r *http.Request) error {
	p, err := s.schedulePage(r.Context(), r.URL.Query())
	if err != nil {
		return err
	}
	return s.Pages.Show(w, p.status(), "seatrace_new", p)
}

func (p *schedulePage) status() int {
	if len(p.Problems) > 0 {
		return http.StatusUnprocessableEntity
	}
	return http.StatusOK
}

// newScheduleLive answers a recalculation.
func (s *site) newScheduleLive(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return s.Broken(w)
	}
	if r.Header.Get("HX-Request") == "" {
		http.Redirect(w, r, scheduleAddress(r.PostForm), http.StatusSeeOther)
		return nil
	}
	p, err := s.schedulePage(r.Context(), r.PostForm)
	if err != nil {
		return err
	}
	p.Live = true
	live := page.Live{Page: "seatrace_new", Refused: "schedule-refused", Results: "schedule-live", Address: p.Address, Problems: p.Problems}
	return s.Recalculated(w, live, p)
}

// scheduleAddress is the address of the page with the values of a form. Picks move
// into the squad and single cells of the crews into one text a piece.
func scheduleAddress(typed url.Values) string {
	kept := url.Values{}
	for name, values := range typed {
		if v := strings.TrimSpace(values[0]); v != "" && name != "who" && !isCell(name) && name != "name" && name != "held_on" && name != "by" {
			kept.Set(name, v)
		}
	}
	if squad := squadText(typed); squad != "" {
		kept.Set("squad", squad)
	}
	for _, e := range crewTexts(typed) {
		kept.Set(e.Label, e.Value)
	}
	return "/seat-races/new?" + kept.Encode()
}

// squadText is the squad as typed, with those picked from the record behind.
func squadText(typed url.Values) string {
	lines := []string{strings.TrimSpace(typed.Get("squad"))}
	for _, name := range typed["who"] {
		if !slices.ContainsFunc(splitSquad(lines[0]), func(m seatrace.RaceParticipant) bool { return strings.EqualFold(m.Name, name) }) {
			lines = append(lines, name)
		}
	}
	return strings.TrimSpace(strings.Join(lines, "\n"))
}

// isCell reports whether a form's value is one cell of the crews: c1_0.
func isCell(name string) bool {
	piece, athlete, ok := strings.Cut(strings.TrimPrefix(name, "c"), "_")
	return ok && name[0] == 'c' && page.IsCount(piece) && page.IsCount(athlete)
}

// crewTexts reads the crews made by hand: for each piece p1, p2 … one digit an
// athlete, the boat or 0 for ashore.
func crewTexts(typed url.Values) []page.Entry {
	var list []page.Entry
	for i := 1; i <= 40; i++ {
		text := typed.Get(fmt.Sprintf("p%d", i))
		cells := ""
		for j := 0; typed.Has(fmt.Sprintf("c%d_%d", i, j)); j++ {
			cells += (typed.Get(fmt.Sprintf("c%d_%d", i, j)) + "0")[:1]
		}
		if cells != "" {
			text = cells
		}
		if text == "" {
			break
		}
		list = append(list, page.Entry{Label: fmt.Sprintf("p%d", i), Value: text})
	}
	return list
}

// schedulePage reads the form and predicts the plan.
func (s *site) schedulePage(ctx context.Context, typed url.Values) (*schedulePage, error) {
	p := s.blankSchedule(typed)
	names, err := s.service.Seatrace.SquadNames(ctx)
	if err != nil {
		return nil, err
	}
	if p.Among, err = page.ChooseSquad(ctx, s.service.Club, typed.Get(page.Among)); err != nil {
		return nil, err
	}
	in, err := s.service.Club.InSquad(ctx, p.Among.ID)
	if err != nil {
		return nil, err
	}
	squad := splitSquad(p.Squad.Value)
	unsure := p.fromRecord(squad, names)
	p.settleSides(squad, typed)
	p.offer(names, squad, in)
	request, complaints := p.request(typed, squad)
	if unsure != "" {
		complaints.Report(wire.At("athletes"), unsure)
	}
	if p.Squad.Value != "" && !complaints.Any() {
		p.solve(ctx, s, request, squad, complaints)
	}
	p.Grid = p.grid(squad)
	p.fill(typed, complaints)
	p.keep(typed)
	return p, nil
}

// blankSchedule is the page before anything is reckoned.
func (s *site) blankSchedule(typed url.Values) *schedulePage {
	p := &schedulePage{Classes: teamClasses(s.service.Seat.BoatClasses()), Hulls: typed.Get("hulls") != "", Across: typed.Get("across") != ""}
	p.Class = p.Classes[0]
	for _, c := range p.Classes {
		if c.Code == typed.Get("boat_class") || typed.Get("boat_class") == "" && c.Code == "4-" {
			p.Class = c
		}
	}
	p.Squad = textArea{Name: "squad", Label: "Athletes, one a line", Short: "Athletes", Value: squadText(typed)}
	if !p.Class.Scull {
		p.Squad.Help = "After a name: P for port, S for starboard, P/S for both. Nothing: as on record."
	}
	p.Moved = len(typed["who"]) > 0
	p.Pairs = textArea{Name: "pairs", Label: "Pairs, one a line", Short: "Pairs", Help: "Such as Ann / Cat. Empty: all pairs.", Value: typed.Get("pairs")}
	if !p.Class.Scull {
		p.Pairs.Help = "Such as Ann / Cat. Empty: all ports with each other, and all starboards."
	}
	p.Save = saveForm{Name: typed.Get("name"), HeldOn: typed.Get("held_on"), By: typed.Get("by"), Race: typed.Get("race"), Version: typed.Get("version")}
	if p.Save.HeldOn == "" {
		p.Save.HeldOn = s.service.Seatrace.Today()
	}
	if p.Save.Name == "" {
		p.Save.Name = "Seat race " + p.Class.Code
	}
	return p
}

// teamClasses are the boats in which seats can be raced for, fours first.
func teamClasses(all []seat.BoatClass) []seat.BoatClass {
	return slices.DeleteFunc(slices.Clone(all), func(c seat.BoatClass) bool { return c.Rowers < 2 })
}

// splitSquad reads athletes from lines: a name, and perhaps a side behind it.
func splitSquad(text string) []seatrace.RaceParticipant {
	var list []seatrace.RaceParticipant
	for line := range strings.Lines(text) {
		if name := strings.TrimSpace(line); name != "" {
			list = append(list, participant(name))
		}
	}
	return list
}

// sideMarks are the ways to write a side behind a name.
var sideMarks = map[string]string{"p": "port", "port": "port", "s": "starboard", "starboard": "starboard", "p/s": bothSides, "both": bothSides}

// bothSides stands for a side while a squad is read: the athlete rows either.
const bothSides = "both"

func participant(line string) seatrace.RaceParticipant {
	at := strings.LastIndexAny(line, " ,;\t")
	if at > 0 {
		if side, ok := sideMarks[strings.ToLower(strings.Trim(line[at+1:], "()"))]; ok {
			return seatrace.RaceParticipant{Name: strings.TrimRight(line[:at], " ,;\t"), Side: side}
		}
	}
	return seatrace.RaceParticipant{Name: line}
}

// fromRecord finds the athletes on record, whatever they are called, and fills in the
// side that they row or rather row. It returns a question about a name that can be
// several athletes, or is a cox's.
func (p *schedulePage) fromRecord(squad []seatrace.RaceParticipant, names []seatrace.SquadName) (unsure string) {
	people, sides, coxes := make([]directory.Athlete, len(names)), map[int64]string{}, map[int64]bool{}
	for i := range names {
		people[i], sides[names[i].ID], coxes[names[i].ID] = names[i].Athlete, names[i].Side, names[i].Coxes
	}
	book, racing := directory.NewBook(people), make([]directory.Athlete, len(squad))
	for i := range squad {
		m := &squad[i]
		racing[i] = directory.Named(0, m.Name)
		switch found := book.FindFull(m.Name); len(found) {
		case 0:
		case 1:
			racing[i] = found[0]
			m.Name = found[0].Whole
			if !p.Class.Scull {
				m.Side = cmp.Or(m.Side, sides[found[0].ID])
			}
			if coxes[found[0].ID] {
				unsure = cmp.Or(unsure, seatrace.CoxText(m.Name))
			}
		default:
			unsure = cmp.Or(unsure, directory.WhichOne(m.Name, found))
		}
		racing[i].ID = int64(i)
	}
	p.book, p.labels = directory.NewBook(racing), map[string]string{}
	for i, label := range directory.Labels(racing) {
		p.labels[squad[i].Name] = label
	}
	return unsure
}

// settleSides gives those of whom no side is known the one that is left: where the
// athletes of one side just fill its seats, the others fill the other side.
func (p *schedulePage) settleSides(squad []seatrace.RaceParticipant, typed url.Values) {
	boats, _ := strconv.Atoi(strings.TrimSpace(typed.Get("boats")))
	seats := p.Class.Rowers * cmp.Or(boats, 2) / 2
	count := map[string]int{}
	for _, m := range squad {
		count[m.Side]++
	}
	for i := range squad {
		m := &squad[i]
		switch {
		case m.Side == bothSides:
			m.Side = ""
		case m.Side != "" || p.Class.Scull || len(squad) != 2*seats || count[bothSides] > 0:
		case count["port"] == seats:
			m.Side = "starboard"
		case count["starboard"] == seats:
			m.Side = "port"
		}
	}
}

// offer lists who is on record among those chosen, and not in the race.
func (p *schedulePage) offer(names []seatrace.SquadName, squad []seatrace.RaceParticipant, among func(int64) bool) {
	for _, n := range names {
		if among != nil && !among(n.ID) {
			continue
		}
		in := slices.ContainsFunc(squad, func(m seatrace.RaceParticipant) bool { return strings.EqualFold(m.Name, n.Whole) })
		if n.Coxes {
			continue
		}
		if fits := p.Class.Scull && n.Sculls || !p.Class.Scull && n.Sweeps || !n.Sculls && !n.Sweeps; fits && !in {
			p.Record = append(p.Record, squadPick{n.Whole, n.Side})
		}
	}
}

// request reads the form.
func (p *schedulePage) request(typed url.Values, squad []seatrace.RaceParticipant) (*schedule.SeatRacePlanRequest, *page.Complaints) {
	complaints := new(page.Complaints)
	r := &schedule.SeatRacePlanRequest{BoatClass: p.Class.Code, Hulls: p.Hulls, AcrossSides: p.Across, Pieces: usualPieces}
	r.Boats, r.Swaps = readCount(typed, "boats", complaints), readCount(typed, "swaps", complaints)
	if n := readCount(typed, "pieces", complaints); n != nil {
		r.Pieces = *n
	}
	if r.Boats != nil && *r.Boats > 9 {
		complaints.Report(wire.At("boats"), "Enter 2 to 9 boats.")
	}
	r.Seed = readCount(typed, "seed", complaints)
	r.RestMin, r.DistanceM = readNumber(typed, "rest_min", complaints), readNumber(typed, "distance_m", complaints)
	r.SmallestW, r.MeanPowerW = readNumber(typed, "smallest_w", complaints), readNumber(typed, "mean_power_w", complaints)
	r.NoiseSdS, r.ExpectedTimeS = readNumber(typed, "noise_sd_s", complaints), readTime(typed, "expected_time_s", complaints)
	for _, m := range squad {
		a := schedule.PlanAthlete{ID: m.Name}
		switch m.Side {
		case "port":
			a.Sides = &club.SideCosts{Port: new(float64)}
		case "starboard":
			a.Sides = &club.SideCosts{Starboard: new(float64)}
		}
		r.Athletes = append(r.Athletes, a)
	}
	r.Pairs = p.splitPairs(squad, complaints)
	p.readCrews(typed, r, squad)
	return r, complaints
}

// readCount reads an optional whole number, readNumber an optional number and
// readTime an optional time.
func readCount(typed url.Values, name string, complaints *page.Complaints) *int {
	text := strings.TrimSpace(typed.Get(name))
	if text == "" {
		return nil
	}
	n, err := strconv.Atoi(text)
	if err != nil {
		complaints.Report(wire.At(name), "“"+text+"” is not a whole number.")
		return nil
	}
	return &n
}

func readNumber(typed url.Values, name string, complaints *page.Complaints) *float64 {
	text := strings.TrimSpace(typed.Get(name))
	if text == "" {
		return nil
	}
	v, complaint := wire.ReadNumber(text)
	if complaint != "" {
		complaints.Report(wire.At(name), complaint)
		return nil
	}
	return &v
}

func readTime(typed url.Values, name string, complaints *page.Complaints) *float64 {
	text := strings.TrimSpace(typed.Get(name))
	if text == "" {
		return nil
	}
	v, ok := clock.ReadOne(text)
	if !ok {
		complaints.Report(wire.At(name), "“"+text+"” is not a time such as 3:10.")
		return nil
	}
	return &v
}

// pairMarks are the marks that part the two names of a pair, beside commas.
var pairMarks = []string{"/", " – ", " — ", " - ", " against ", " vs ", " v "}

// splitPairs reads pairs from lines.
func (p *schedulePage) splitPairs(squad []seatrace.RaceParticipant, complaints *page.Complaints) [][]string {
	var list [][]string
	for line := range strings.Lines(p.Pairs.Value) {
		line = strings.TrimSpace(line)
		if line == "" {
			continue
		}
		pair := p.parted(line)
		if len(pair) != 2 {
			complaints.Report(wire.At("pairs"), "“"+line+"” is no pair. Write it like Ann / Cat.")
			continue
		}
		for i := range pair {
			switch found := p.book.Find(pair[i]); len(found) {
			case 0:
				complaints.Report(wire.At("pairs"), "“"+pair[i]+"” is not one of the athletes.")
			case 1:
				pair[i] = squad[found[0].ID].Name
			default:
				complaints.Report(wire.At("pairs"), directory.WhichOne(pair[i], found))
			}
		}
		list = append(list, pair)
	}
	return list
}

func (p *schedulePage) parted(line string) []string {
	for _, mark := range pairMarks {
		if first, second, ok := strings.Cut(line, mark); ok {
			return []string{strings.TrimSpace(first), strings.TrimSpace(second)}
		}
	}
	return p.book.Split(line)
}

// readCrews reads crews made by hand. When they no longer fit the squad they
// are dropped, and the page says so.
func (p *schedulePage) readCrews(typed url.Values, r *schedule.SeatRacePlanRequest, squad []seatrace.RaceParticipant) {
	texts := crewTexts(typed)
	boats := 2
	if r.Boats != nil {
		boats = max(0, min(*r.Boats, 9))
	}
	var byHand []schedule.PlanCrews
	for _, e := range texts {
		crews, fits := crewsOf(e.Value, squad, boats)
		if !fits {
			p.Dropped = true
			return
		}
		byHand = append(byHand, schedule.PlanCrews{Crews: crews})
	}
	r.Schedule, p.ByHand = byHand, texts
}

// crewsOf reads one digit an athlete.
func crewsOf(digits string, squad []seatrace.RaceParticipant, boats int) (crews [][]string, fits bool) {
	if len(digits) != len(squad) {
		return nil, false
	}
	crews = make([][]string, boats)
	for i, m := range squad {
		switch b := int(digits[i] - '0'); {
		case b < 0 || b > boats:
			return nil, false
		case b > 0:
			crews[b-1] = append(crews[b-1], m.Name)
		}
	}
	return crews, true
}

// solve asks for the schedule and keeps the complaints.
func (p *schedulePage) solve(ctx context.Context, s *site, r *schedule.SeatRacePlanRequest, squad []seatrace.RaceParticipant, complaints *page.Complaints) {
	plan, err := s.service.Schedule.Plan(ctx, *r)
	var bad *wire.Invalid
	if errors.As(err, &bad) {
		complaints.Merge(wire.Place{}, bad)
		return
	}
	if err != nil {
		complaints.Report(wire.Place{}, "The schedule could not be calculated.")
		s.Log.Error("planning", "err", err)
		return
	}
	p.Plan = newScheduleView(&plan, r, squad, p.labels)
}

// fill keeps what was typed in the fields, with the complaint at each.
func (p *schedulePage) fill(typed url.Values, complaints *page.Complaints) {
	p.areaProblem(&p.Squad, wire.At("athletes"), complaints)
	p.Counts = complaints.Inputs(scheduleCounts, "", typed, &p.Problems)
	p.More = complaints.Inputs(scheduleMore, "", typed, &p.Problems)
	p.areaProblem(&p.Pairs, wire.At("pairs"), complaints)
	p.Problems = append(p.Problems, complaints.Rest()...)
}

// areaProblem puts what is wrong with a list, or with any item of it, at its text.
func (p *schedulePage) areaProblem(a *textArea, list wire.Place, complaints *page.Complaints) {
	for text, ok := complaints.Take(list); ok; text, ok = complaints.Take(list) {
		a.Problem = cmp.Or(a.Problem, text)
		p.Problems = append(p.Problems, page.Problem{Field: a.Name, Label: a.Short, Text: text})
	}
}

// keep gathers what the other forms of the page send along.
func (p *schedulePage) keep(typed url.Values) {
	p.Address = scheduleAddress(typed)
	kept, _ := url.ParseQuery(strings.TrimPrefix(p.Address, "/seat-races/new?"))
	if !kept.Has("boat_class") {
		kept.Set("boat_class", p.Class.Code)
	}
	for _, e := range crewTexts(kept) {
		kept.Del(e.Label)
	}
	for _, name := range slices.Sorted(maps.Keys(kept)) {
		p.Kept = append(p.Kept, page.Entry{Label: name, Value: kept.Get(name)})
	}
	p.AfreshAddress = "/seat-races/new?" + kept.Encode()
}

// Line reports in one line what the schedule is made for.
func (p *schedulePage) Line() string {
	if p.Plan == nil {
		return p.Class.Code
	}
	plan := p.Plan.plan
	return fmt.Sprintf("%s · %d boats · %s · %d athletes", p.Class.Code, len(plan.Pieces[0].Crews), page.Counted(len(plan.Pieces), "piece", "pieces"), len(p.Plan.squad))
}

// Fields lists every field, for the messages beside them.
func (p *schedulePage) Fields() []page.Input { return slices.Concat(p.Counts, p.More) }

// Areas lists the texts of several lines.
func (p *schedulePage) Areas() []textArea { return []textArea{p.Squad, p.Pairs} }

// saveSchedule saves a seat race, or changes the schedule of one.
func (s *site) saveSchedule(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return s.Broken(w)
	}
	p, err := s.schedulePage(r.Context(), r.PostForm)
	if err != nil {
		return err
	}
	if p.Plan == nil {
		return s.Pages.Show(w, http.StatusUnprocessableEntity, "seatrace_new", p)
	}
	id, err := s.storeSchedule(r.Context(), p)
	if err == nil {
		http.Redirect(w, r, fmt.Sprintf("/seat-races/%d", id), http.StatusSeeOther)
		return nil
	}
	problem := rest.Explain(err)
	if problem.Status >= http.StatusInternalServerError {
		return err
	}
	p.refuse(problem)
	return s.Pages.Show(w, problem.Status, "seatrace_new", p)
}

// refuse shows why the schedule was not saved.
func (p *schedulePage) refuse(problem wire.Problem) {
	for _, f := range problem.Errors {
		switch f.Field {
		case "name":
			p.Save.NameProblem = f.Detail
		case "held_on":
			p.Save.DayProblem = f.Detail
		default:
			p.Save.Problem = f.Detail
		}
		p.Problems = append(p.Problems, page.Problem{Field: "save-" + f.Field, Label: "Save", Text: f.Detail})
	}
	if len(problem.Errors) == 0 {
		p.Save.Problem = problem.Detail
		p.Problems = append(p.Problems, page.Problem{Field: "save-name", Label: "Save", Text: problem.Detail})
	}
}

func (s *site) storeSchedule(ctx context.Context, p *schedulePage) (int64, error) {
	content := p.content()
	id, err1 := strconv.ParseInt(p.Save.Race, 10, 64)
	version, err2 := strconv.ParseInt(p.Save.Version, 10, 64)
	if err1 == nil && err2 == nil {
		t, err := s.service.Seatrace.ChangeRace(ctx, seatrace.ChangeRaceRequest{ID: id, Version: version, RaceContent: content})
		return t.ID, err
	}
	t, err := s.service.Seatrace.CreateRace(ctx, seatrace.CreateRaceRequest{RaceContent: content})
	return t.ID, err
}

// content is the seat race to be saved.
func (p *schedulePage) content() seatrace.RaceContent {
	r, plan := p.Plan.request, p.Plan.plan
	c := seatrace.RaceContent{
		Name: p.Save.Name, HeldOn: p.Save.HeldOn, By: p.Save.By, BoatClass: r.BoatClass, DistanceM: r.DistanceM, Athletes: p.Plan.squad,
		Terms: r.TermsOf(plan),
	}
	for _, piece := range plan.Pieces {
		c.Pieces = append(c.Pieces, seatrace.RaceScheduledPiece{Crews: piece.Crews})
	}
	return c
}

// valueOr returns the value, or fallback when it was not given.
func valueOr[T any](v *T, fallback T) T {
	if v == nil {
		return fallback
	}
	return *v
}
