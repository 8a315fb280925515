package seatrace

import (
	"cmp"
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"thole/api/access"
	"thole/api/clock"
	"thole/api/directory"
	"thole/api/records"
	"thole/api/rest"
	"thole/api/schedule"
	"thole/api/seat"
	"thole/api/seatrace"
	"thole/api/wire"
	"thole/ui/lanes"
	"thole/ui/page"
)

// The pages of seat races: the list, one seat race with its schedule, results
// and ranking, and the two prints.

// racePages lists the pages of this area.
func (s *site) racePages() map[string]page.Route {
	return map[string]page.Route{
		"GET /seat-races":                       page.For(access.Coaches, s.races),
		"GET /seat-races/{id}":                  page.For(access.Coaches, s.race),
		"POST /seat-races/{id}/pieces/{number}": page.For(access.Coaches, s.enterPiece),
		"POST /seat-races/{id}/pieces":          page.For(access.Coaches, s.enterSheet),
		"POST /seat-races/{id}/add":             page.For(access.Coaches, s.addPiece),
		"POST /seat-races/{id}/change":          page.For(access.Coaches, s.changeRace),
		"POST /seat-races/{id}/delete":          page.For(access.Coaches, s.removeRace),
		"GET /seat-races/{id}/replan":           page.For(access.Coaches, s.replan).Heavy(),
		"GET /seat-races/{id}/coach":            page.For(access.Coaches, s.coachPrint),
		"GET /seat-races/{id}/why":              page.For(access.Coaches.SharedAs("result"), s.why),
		"GET /seat-races/{id}/crews":            page.For(access.Coaches.SharedAs("seat race"), s.crewsPrint),
	}
}

// raceList is what the list of seat races shows.
type raceList struct {
	Races    []seatrace.RaceSummary
	Archived bool
	Files    *page.Files
}

func (s *site) races(w http.ResponseWriter, r *http.Request) error {
	archived := r.URL.Query().Get("archived") != ""
	list, err := s.service.Seatrace.Races(r.Context(), records.ListRequest{Archived: archived})
	if err != nil {
		return err
	}
	view := raceList{list.Races, archived, page.NewFiles(r.URL, "seat-races",
		page.FileOf(r.Context(), "seat-races", "Seat races", s.service.Seatrace.RaceTable, records.ListRequest{Archived: archived}))}
	if sent, err := view.Files.Send(w, r); sent {
		return err
	}
	return s.Pages.Show(w, http.StatusOK, "seatraces", view)
}

// racePage is all that the page of one seat race shows.
type racePage struct {
	Race      seatrace.Race
	Files     *page.Files
	View      string
	Prior     string
	Together  bool // ports are to be compared with starboards
	Latest    *latestPiece
	Entry     *entryForm
	Later     []*entryForm // of the other pieces to come, for when there is no connection
	Sheet     *resultSheet
	Pieces    []racedPiece
	Judged    *judgedView
	NoVerdict string
	History   []historyLine
	Problems  []page.Problem
	Message   string // what just happened, for the live region
	Change    changeForm
	Changing  bool // the form of what is stated was refused
	Done      int  // pieces with a result
	Always    []seat.Caution
}

// Replanned reports whether a schedule can be made again: in singles nobody changes
// seats with anybody.
func (p *racePage) Replanned() bool { return p.Race.BoatClass != "1x" }

// entryForm takes the result of one piece.
type entryForm struct {
	Race     int64
	Number   int
	Prefix   string // of the elements' ids
	Key      string
	Version  string // set when a result is put right
	Rerun    string
	Boats    []entryBoat
	Crews    string // one boat a line, names parted by commas
	Note, By string
	Call     string // who changes boats before it
	Expected string // about the time of a piece
	Minutes  string // how such a time begins

	ExpectedS   float64
	Problem     string
	CrewProblem string
	Confirm     string // set where the times can be confirmed
	NoteOpen    bool
	Theirs      string // what somebody else entered in the meantime
}

// entryBoat is the field of one boat's time.
type entryBoat struct {
	Number  int
	Name    string
	ID      string
	Field   string
	Crew    string
	Moved   string
	Value   string
	Problem string
	Focus   bool
}

// racedPiece is one piece of the schedule with its result.
type racedPiece struct {
	Piece   seatrace.RacePiece
	State   string
	Mark    string
	Margin  string
	Swap    string   // who changed boats before it
	Crews   []string // a line a boat
	Rerun   string
	Drawing lanes.Drawing
	Here    bool // the form for it is open
	Again   bool // a dead heat: worth racing again
}

// changeForm changes what is stated of a seat race.
type changeForm struct{ Name, HeldOn, Note, By string }

// historyLine is one change in words.
type historyLine struct{ When, By, What string }

// race answers the page of one seat race.
func (s *site) race(w http.ResponseWriter, r *http.Request) error {
	p, err := s.racePage(r)
	if err != nil {
		return s.raceFault(w, err)
	}
	if sent, err := p.Files.Send(w, r); sent {
		return err
	}
	return s.Pages.Show(w, http.StatusOK, "seatrace", p)
}

// raceFault answers what went wrong with a whole page, and leaves faults of
// ours to the caller.
func (s *site) raceFault(w http.ResponseWriter, err error) error {
	problem := rest.Explain(err)
	if problem.Status >= http.StatusInternalServerError {
		return err
	}
	text := problem.Detail
	if problem.Status == http.StatusNotFound {
		text = "There is no such seat race. It may have been removed."
	}
	for _, f := range problem.Errors {
		text += " " + f.Detail
	}
	return s.Pages.Show(w, problem.Status, "message", page.Message{Title: "This cannot be shown", Text: text})
}

// raceID reads the id in the address; 0, which no seat race has, for anything
// else.
func raceID(r *http.Request) int64 {
	id, _ := strconv.ParseInt(r.PathValue("id"), 10, 64)
	return id
}

// addFiles adds the tables of the page: the pieces, and the ranking once there
// is one.
func (p *racePage) addFiles() {
	files := []page.File{page.TableFile("pieces", p.Race.Table())}
	if p.Judged != nil {
		files = append(files, page.TableFile("ranking", p.Judged.Judgement.Table()))
	}
	q := url.Values{}
	for name, value := range map[string]string{"view": p.View, "prior": p.Prior} {
		if value != "" {
			q.Set(name, value)
		}
	}
	p.Files = page.NewFiles(&url.URL{Path: fmt.Sprintf("/seat-races/%d", p.Race.ID), RawQuery: q.Encode()}, p.Race.Name, files...)
}

// racePage gathers the page of the seat race in the address.
func (s *site) racePage(r *http.Request) (*racePage, error) {
	t, err := s.service.Seatrace.Race(r.Context(), records.IDRequest{ID: raceID(r)})
	if err != nil {
		return nil, err
	}
	q := r.URL.Query()
	p := &racePage{Race: t, View: q.Get("view"), Prior: q.Get("prior"), Together: q.Get("sides") == "together", Change: changeForm{t.Name, t.HeldOn, t.Note, ""}, Always: schedule.RaceCautions()}
	p.addPieces(q.Get("piece"))
	p.addSheet(nil)
	if err := s.judge(r.Context(), p); err != nil {
		return nil, err
	}
	p.addLatest()
	p.addFiles()
	return p, s.addHistory(r.Context(), p)
}

// addPieces lists the pieces and opens the form for one of them: the one asked
// for, or the first without a result.
func (p *racePage) addPieces(asked string) {
	open := 0
	for i := range p.Race.Pieces {
		piece := &p.Race.Pieces[i]
		if strconv.Itoa(piece.Number) == asked || open == 0 && piece.State == "planned" && asked == "" {
			open = piece.Number
		}
		if piece.State != "planned" {
			p.Done++
		}
		p.Pieces = append(p.Pieces, p.racedPiece(piece))
	}
	if asked == "new" {
		open = len(p.Pieces) + 1
	}
	for i := range p.Pieces {
		p.Pieces[i].Here = p.Pieces[i].Piece.Number == open
	}
	if open > 0 {
		p.Entry = p.newEntry(open, "")
	}
	p.addLater()
}

// addLater adds the forms of the other pieces to come.
func (p *racePage) addLater() {
	p.Later = nil
	for i := range p.Pieces {
		if v := &p.Pieces[i]; v.Piece.State == "planned" && !v.Here {
			p.Later = append(p.Later, p.newEntry(v.Piece.Number, fmt.Sprintf("p%d-", v.Piece.Number)))
		}
	}
}

func (p *racePage) coxed() bool { return strings.HasSuffix(p.Race.BoatClass, "+") }

func (p *racePage) racedPiece(piece *seatrace.RacePiece) racedPiece {
	v := racedPiece{Piece: *piece, Drawing: lanes.New(p.shortCrews(piece.Crews), p.short(piece.Moved), takenOf(piece), p.coxed())}
	switch piece.State {
	case "raced":
		v.State, v.Mark, v.Margin = "raced", "●", marginText(piece)
		m, ok := piece.Margin()
		v.Again = ok && m.DeadHeat()
	case "abandoned":
		v.State, v.Mark = "abandoned", "✕"
	default:
		v.State, v.Mark = "planned", "○"
	}
	v.Crews = p.crewLines(piece)
	if piece.Number > 1 && len(piece.Moved) > 0 {
		v.Swap = "◆ " + wire.And(p.short(piece.Moved))
	}
	if piece.RerunOf != nil {
		v.Rerun = fmt.Sprintf("piece %d again", *piece.RerunOf)
	}
	return v
}

// takenOf is what was taken of each boat's time: the time itself, or where only
// margins were, its distance in seconds behind the first. Boats without a result
// have nothing.
func takenOf(piece *seatrace.RacePiece) []string {
	first := math.Inf(1)
	for _, t := range piece.TimesS {
		if t != nil {
			first = min(first, *t)
		}
	}
	taken := make([]string, len(piece.TimesS))
	for b, t := range piece.TimesS {
		switch {
		case t == nil:
		case !piece.MarginsOnly:
			taken[b] = clock.Format(*t)
		case *t == first:
			taken[b] = "first"
		default:
			taken[b] = "+" + page.Fix(1, *t-first) + " s"
		}
	}
	return taken
}

// marginText reports which boat won a piece, and by how much.
func marginText(piece *seatrace.RacePiece) string {
	m, ok := piece.Margin()
	if !ok {
		return "One boat finished: no margin."
	}
	if m.DeadHeat() {
		return fmt.Sprintf("Dead heat of boats %d and %d.", m.First, m.Second)
	}
	text := fmt.Sprintf("Boat %d by %s s", m.First, page.Fix(1, m.Seconds))
	if page.Fix(1, m.Seconds) == "0.0" {
		text = fmt.Sprintf("Boat %d by %s s", m.First, page.Fix(2, m.Seconds))
	}
	if piece.MarginsOnly {
		text += ", no time taken"
	}
	return text + "."
}

// newEntry is the form for a piece; one more than there are adds a piece with
// the crews of the last.
func (p *racePage) newEntry(number int, prefix string) *entryForm {
	e := &entryForm{Race: p.Race.ID, Number: number, Prefix: prefix, Key: rand.Text(), Expected: clock.Format(p.Race.Terms.ExpectedTimeS)}
	e.Minutes, _, _ = strings.Cut(e.Expected, ":")
	e.Minutes += ":"
	e.ExpectedS = p.Race.Terms.ExpectedTimeS
	var piece seatrace.RacePiece
	switch n := len(p.Race.Pieces); {
	case number <= n:
		piece = p.Race.Pieces[number-1]
	case n > 0:
		piece = seatrace.RacePiece{Crews: p.Race.Pieces[n-1].Crews, TimesS: make([]*float64, len(p.Race.Pieces[n-1].Crews))}
	default:
		piece = seatrace.RacePiece{Crews: make([][]string, p.Race.Terms.Boats), TimesS: make([]*float64, p.Race.Terms.Boats)}
	}
	if piece.State == "raced" || piece.State == "abandoned" {
		e.Version, e.Note, e.By = strconv.FormatInt(p.Race.Version, 10), piece.Note, piece.EnteredBy
	}
	if piece.RerunOf != nil {
		e.Rerun = strconv.Itoa(*piece.RerunOf)
	}
	e.fill(&piece, p.labels())
	if number > 1 && piece.State == "planned" {
		e.Call = p.swapCall(&piece)
	}
	return e
}

// swapCall is what is called to the boats before a piece.
func (p *racePage) swapCall(piece *seatrace.RacePiece) string {
	switch names := p.short(piece.Moved); len(names) {
	case 0:
		return "Same crews again."
	case 1:
		return names[0] + " comes in."
	case 2:
		return "Swap " + names[0] + " and " + names[1] + "."
	default:
		return "Change boats: " + wire.And(names) + "."
	}
}

// short are the short names of athletes.
func (p *racePage) short(names []string) []string {
	labels := p.labels()
	return lanes.Short(names, func(name string) string { return cmp.Or(labels[name], name) })
}

func (p *racePage) shortCrews(crews [][]string) [][]string {
	list := make([][]string, len(crews))
	for b, crew := range crews {
		list[b] = p.short(crew)
	}
	return list
}

// crewLines writes the crews of a piece, a boat a line, with what was taken of the
// boat's time.
func (p *racePage) crewLines(piece *seatrace.RacePiece) []string {
	taken, lines := takenOf(piece), make([]string, len(piece.Crews))
	for b, crew := range piece.Crews {
		lines[b] = fmt.Sprintf("Boat %d: %s", b+1, strings.Join(p.short(crew), ", "))
		if b < len(taken) && taken[b] != "" {
			lines[b] += " – " + taken[b]
		}
	}
	return lines
}

func (e *entryForm) fill(piece *seatrace.RacePiece, labels map[string]string) {
	var lines []string
	for b, crew := range piece.Crews {
		boat := entryBoat{Number: b + 1, Name: fmt.Sprintf("Boat %d", b+1), ID: fmt.Sprintf("%st%d", e.Prefix, b+1), Field: fmt.Sprintf("t%d", b+1)}
		var stayed, moved []string
		for _, name := range crew {
			if label := cmp.Or(labels[name], name); slices.Contains(piece.Moved, name) {
				moved = append(moved, label)
			} else {
				stayed = append(stayed, label)
			}
		}
		boat.Crew, boat.Moved = strings.Join(stayed, ", "), strings.Join(moved, ", ")
		if t := piece.TimesS[b]; t != nil {
			boat.Value = entryText(piece, *t)
		} else if piece.State == "raced" {
			boat.Value = "dnf"
		}
		e.Boats = append(e.Boats, boat)
		lines = append(lines, strings.Join(crew, ", "))
	}
	e.Crews = strings.Join(lines, "\n")
}

// entryText writes a time as it could have been typed, without losing digits.
func entryText(piece *seatrace.RacePiece, t float64) string {
	if piece.MarginsOnly {
		first := t
		for _, other := range piece.TimesS {
			if other != nil {
				first = min(first, *other)
			}
		}
		return "+" + strconv.FormatFloat(t-first, 'f', 2, 64)
	}
	minutes := int(t) / 60
	seconds := strconv.FormatFloat(math.Round(1e4*(t-60*float64(minutes)))/1e4, 'f', -1, 64)
	if whole, _, _ := strings.Cut(seconds, "."); len(whole) < 2 {
		seconds = "0" + seconds
	}
	return fmt.Sprintf("%d:%s", minutes, seconds)
}

// enterPiece takes the result of a piece. The answer is the live part of the
// page to a script, the page to a plain form.
func (s *site) enterPiece(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return s.Broken(w)
	}
	number, _ := strconv.Atoi(r.PathValue("number"))
	race, err := s.service.Seatrace.Race(r.Context(), records.IDRequest{ID: raceID(r)})
	if err == nil {
		_, err = s.service.Seatrace.RecordPiece(r.Context(), pieceRequest(&race, number, r.PostForm))
	}
	if err != nil {
		return s.refusePiece(w, r, number, err)
	}
	if r.Header.Get("HX-Request") == "" {
		http.Redirect(w, r, fmt.Sprintf("/seat-races/%d#now", raceID(r)), http.StatusSeeOther)
		return nil
	}
	p, err := s.racePage(r)
	if err != nil {
		return err
	}
	p.Message = fmt.Sprintf("Piece %d is saved.", number)
	return s.Pages.Fragment(w, http.StatusOK, "seatrace", "race-live", p)
}

// pieceRequest reads the form of a result.
func pieceRequest(race *seatrace.Race, number int, typed url.Values) seatrace.PieceResultRequest {
	q := seatrace.PieceResultRequest{
		ID: race.ID, Number: number, Key: typed.Get("key"), State: typed.Get("state"), Note: strings.TrimSpace(typed.Get("note")), By: strings.TrimSpace(typed.Get("by")),
		Crews: splitCrews(typed.Get("crews"), race.Directory()), TimesChecked: typed.Get("times_checked") != "",
	}
	if v, err := strconv.ParseInt(typed.Get("version"), 10, 64); err == nil {
		q.Version = &v
	}
	if n, err := strconv.Atoi(typed.Get("rerun")); err == nil {
		q.RerunOf = &n
	}
	for b := 1; typed.Has(fmt.Sprintf("t%d", b)); b++ {
		q.Typed = append(q.Typed, typed.Get(fmt.Sprintf("t%d", b)))
	}
	return q
}

// splitCrews reads one boat a line, names parted by commas; nil for nothing.
func splitCrews(text string, book *directory.Book) [][]string {
	var crews [][]string
	for line := range strings.Lines(text) {
		if strings.TrimSpace(line) != "" {
			crews = append(crews, append([]string{}, book.Split(line)...))
		}
	}
	return crews
}

// refusePiece shows the form again with what was typed and what is wrong.
func (s *site) refusePiece(w http.ResponseWriter, r *http.Request, number int, err error) error {
	problem := rest.Explain(err)
	if problem.Status >= http.StatusInternalServerError {
		return err
	}
	p, pageErr := s.racePage(r)
	if pageErr != nil || problem.Status == http.StatusNotFound {
		return s.raceFault(w, err)
	}
	p.openEntry(number)
	p.Entry.retype(r.PostForm)
	p.reportEntry(&problem, err)
	if r.Header.Get("HX-Request") == "" {
		return s.Pages.Show(w, problem.Status, "seatrace", p)
	}
	return s.Pages.Fragment(w, problem.Status, "seatrace", "race-live", p)
}

// openEntry opens the form of a piece, whatever the address asks for.
func (p *racePage) openEntry(number int) {
	p.Entry = p.newEntry(max(1, min(number, len(p.Pieces)+1)), "")
	for i := range p.Pieces {
		p.Pieces[i].Here = p.Pieces[i].Piece.Number == number
	}
	p.addLater()
}

// retype puts back what was typed, under the same key.
func (e *entryForm) retype(typed url.Values) {
	e.Key, e.Note, e.By, e.Version, e.Rerun = typed.Get("key"), typed.Get("note"), typed.Get("by"), typed.Get("version"), typed.Get("rerun")
	if text := typed.Get("crews"); strings.TrimSpace(text) != "" {
		e.Crews = text
	}
	for b := range e.Boats {
		e.Boats[b].Value = typed.Get(e.Boats[b].Field)
	}
}

// reportEntry puts complaints beside their fields.
func (p *racePage) reportEntry(problem *wire.Problem, err error) {
	var moved *records.Conflict
	if errors.As(err, &moved) {
		p.Entry.contend(moved, p.Race.Pieces)
	}
	for _, f := range problem.Errors {
		id := p.Entry.complain(f)
		p.Problems = append(p.Problems, page.Problem{Field: id, Label: "Piece " + strconv.Itoa(p.Entry.Number), Text: f.Detail})
	}
	if len(problem.Errors) == 0 {
		text := problem.Detail
		if p.Entry.Theirs != "" {
			text = "Somebody else has entered this piece in the meantime. Yours is not saved yet."
		}
		p.Problems = append(p.Problems, page.Problem{Field: "now", Label: "Piece " + strconv.Itoa(p.Entry.Number), Text: text})
	}
}

// complain puts one complaint beside its field, and returns the field's id.
func (e *entryForm) complain(f wire.FieldProblem) string {
	at := f.Place()
	for _, list := range [...]string{"typed", "times_s", "margins_s"} {
		if b, _, ok := at.ItemOf(wire.At(list)); ok && b < len(e.Boats) {
			e.Boats[b].Problem = f.Detail
			e.Boats[b].Focus = !slices.ContainsFunc(e.Boats[:b], func(o entryBoat) bool { return o.Problem != "" })
			return e.Boats[b].ID
		}
	}
	switch at.First() {
	case "crews":
		e.CrewProblem = strings.TrimSpace(e.CrewProblem + " " + f.Detail)
		return e.Prefix + "crews"
	case "times_checked":
		e.Confirm = f.Detail
		return "now"
	}
	e.Problem = strings.TrimSpace(e.Problem + " " + f.Detail)
	return "now"
}

// contend shows what stands on record against what was typed; sending again
// then overwrites it knowingly.
func (e *entryForm) contend(moved *records.Conflict, pieces []seatrace.RacePiece) {
	e.Version, e.Key = strconv.FormatInt(moved.Version, 10), rand.Text()
	if e.Number > len(pieces) {
		return
	}
	var times []string
	for b, text := range takenOf(&pieces[e.Number-1]) {
		times = append(times, fmt.Sprintf("boat %d %s", b+1, cmp.Or(text, "no time")))
	}
	by := pieces[e.Number-1].EnteredBy
	if by == "" {
		by = "Somebody"
	}
	e.Theirs = fmt.Sprintf("%s entered: %s (%s).", by, strings.Join(times, ", "), pieces[e.Number-1].State)
}

// stated is the content of a seat race, to be changed and sent back.
func stated(t *seatrace.Race) seatrace.ChangeRaceRequest {
	c := seatrace.ChangeRaceRequest{ID: t.ID, Version: t.Version, Archived: t.Archived}
	c.Name, c.HeldOn, c.BoatClass, c.Note = t.Name, t.HeldOn, t.BoatClass, t.Note
	c.DistanceM, c.Terms = &t.DistanceM, &t.Terms
	for _, a := range t.Athletes {
		c.Athletes = append(c.Athletes, seatrace.RaceParticipant{AthleteID: &a.AthleteID, Name: a.Name, Side: a.Side})
	}
	for _, p := range t.Pieces {
		if p.State == "planned" {
			c.Pieces = append(c.Pieces, seatrace.RaceScheduledPiece{Crews: p.Crews, RerunOf: p.RerunOf, Note: p.Note})
		}
	}
	return c
}

// addPiece adds a piece to be raced: the one proposed, or one again.
func (s *site) addPiece(w http.ResponseWriter, r *http.Request) error {
	return s.editRace(w, r, func(race *seatrace.Race, c *seatrace.ChangeRaceRequest, typed url.Values) {
		piece := seatrace.RaceScheduledPiece{Crews: splitCrews(typed.Get("crews"), race.Directory())}
		if n, err := strconv.Atoi(typed.Get("rerun")); err == nil {
			piece.RerunOf = &n
		}
		c.Pieces = append([]seatrace.RaceScheduledPiece{piece}, c.Pieces...)
	})
}

// changeRace changes name, day, note or whether it is archived.
func (s *site) changeRace(w http.ResponseWriter, r *http.Request) error {
	return s.editRace(w, r, func(_ *seatrace.Race, c *seatrace.ChangeRaceRequest, typed url.Values) {
		if v, err := strconv.ParseInt(typed.Get("version"), 10, 64); err == nil {
			c.Version = v
		}
		c.Name, c.HeldOn, c.Note, c.By = typed.Get("name"), typed.Get("held_on"), typed.Get("note"), typed.Get("by")
		c.Archived = typed.Get("archived") != ""
	})
}

// editRace reads a seat race, changes it and goes back to its page.
func (s *site) editRace(w http.ResponseWriter, r *http.Request, edit func(*seatrace.Race, *seatrace.ChangeRaceRequest, url.Values)) error {
	if err := r.ParseForm(); err != nil {
		return s.Broken(w)
	}
	t, err := s.service.Seatrace.Race(r.Context(), records.IDRequest{ID: raceID(r)})
	if err != nil {
		return s.raceFault(w, err)
	}
	change := stated(&t)
	edit(&t, &change, r.PostForm)
	if _, err := s.service.Seatrace.ChangeRace(r.Context(), change); err != nil {
		return s.refuseEdit(w, r, err)
	}
	http.Redirect(w, r, fmt.Sprintf("/seat-races/%d#now", t.ID), http.StatusSeeOther)
	return nil
}

// refuseEdit shows the page with what is wrong and what was typed.
func (s *site) refuseEdit(w http.ResponseWriter, r *http.Request, err error) error {
	problem := rest.Explain(err)
	if problem.Status >= http.StatusInternalServerError {
		return err
	}
	p, pageErr := s.racePage(r)
	if pageErr != nil {
		return s.raceFault(w, err)
	}
	if f := r.PostForm; f.Has("name") {
		p.Changing = true
		p.Change = changeForm{f.Get("name"), f.Get("held_on"), f.Get("note"), f.Get("by")}
	}
	for _, f := range problem.Errors {
		p.Problems = append(p.Problems, page.Problem{Field: "race-" + f.Field, Label: "This seat race", Text: f.Detail})
	}
	if len(problem.Errors) == 0 {
		p.Problems = append(p.Problems, page.Problem{Field: "", Label: "", Text: problem.Detail})
	}
	return s.Pages.Show(w, problem.Status, "seatrace", p)
}

func (s *site) removeRace(w http.ResponseWriter, r *http.Request) error {
	if _, err := s.service.Seatrace.RemoveRace(r.Context(), records.IDRequest{ID: raceID(r)}); err != nil {
		return s.raceFault(w, err)
	}
	http.Redirect(w, r, "/seat-races", http.StatusSeeOther)
	return nil
}

// replan opens the page of the schedule with the values of the seat race.
func (s *site) replan(w http.ResponseWriter, r *http.Request) error {
	t, err := s.service.Seatrace.Race(r.Context(), records.IDRequest{ID: raceID(r)})
	if err != nil {
		return s.raceFault(w, err)
	}
	http.Redirect(w, r, "/seat-races/new?"+replanValues(&t).Encode(), http.StatusSeeOther)
	return nil
}

func replanValues(t *seatrace.Race) url.Values {
	q := url.Values{}
	var squad, pairs []string
	for _, a := range t.Athletes {
		line := a.Name
		switch {
		case a.Side != "":
			line += " " + strings.ToUpper(a.Side[:1])
		case lanes.Sweeps(t.BoatClass):
			line += " P/S"
		}
		squad = append(squad, line)
	}
	for _, pair := range t.Terms.Pairs {
		pairs = append(pairs, pair[0]+" / "+pair[1])
	}
	left := 0
	for _, p := range t.Pieces {
		if p.State == "planned" {
			left++
		}
	}
	terms := &t.Terms
	for name, value := range map[string]string{
		"race": strconv.FormatInt(t.ID, 10), "version": strconv.FormatInt(t.Version, 10), "boat_class": t.BoatClass,
		"squad": strings.Join(squad, "\n"), "pairs": strings.Join(pairs, "\n"), "boats": strconv.Itoa(terms.Boats), "swaps": strconv.Itoa(terms.Swaps),
		"rest_min": bare(terms.RestMin), "distance_m": bare(t.DistanceM), "smallest_w": bare(terms.SmallestW), "mean_power_w": bare(terms.MeanPowerW),
		"expected_time_s": clock.Format(terms.ExpectedTimeS), "pieces": strconv.Itoa(max(left, 1)), "name": t.Name, "held_on": t.HeldOn,
	} {
		if value != "" {
			q.Set(name, value)
		}
	}
	if terms.Hulls {
		q.Set("hulls", "yes")
	}
	if terms.AcrossSides {
		q.Set("across", "yes")
	}
	if terms.NoiseSdS > 0 {
		q.Set("noise_sd_s", bare(terms.NoiseSdS))
	}
	return q
}

// bare writes a number for a form.
func bare(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func (s *site) addHistory(ctx context.Context, p *racePage) error {
	list, err := s.service.Seatrace.RaceChanges(ctx, records.ChangesRequest{ID: p.Race.ID})
	if err != nil {
		return err
	}
	clockless := map[int]bool{} // pieces of which margins alone were taken
	for i := range list.Changes {
		c := &list.Changes[i]
		line := historyLine{When: page.When(c.At), By: c.By, What: changeWords(c)}
		switch {
		case c.Field == "margins_only":
			clockless[c.Piece] = c.To != nil && *c.To == "true"
		case c.Field == "time_s" && clockless[c.Piece]:
			continue // it stands on the expected time, which nobody took
		}
		p.History = append(p.History, line)
	}
	slices.Reverse(p.History)
	return nil
}

// changeWords reports what was changed: for settings kept as a whole, only that they
// were.
func changeWords(c *wire.RecordChange) string {
	what := page.ChangeWords(c)
	if c.From == nil && c.To == nil {
		return what + " changed"
	}
	from, to := page.ChangeValues(c)
	if c.From == nil {
		return what + ": " + to
	}
	return fmt.Sprintf("%s: %s (was %s)", what, to, from)
}
