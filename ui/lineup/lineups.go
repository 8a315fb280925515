package lineup

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"thole/api/access"
	"thole/api/fleet"
	"thole/api/lineup"
	"thole/api/records"
	"thole/api/seat"
	"thole/api/seatrace"
	"thole/api/wire"
	"thole/ui/page"
)

// The page of line-ups: a boat, a squad with the coach's rules, the best
// line-ups with what they cost, a line-up of the reader's own, and how firm
// they are. The address holds all of it.

// lineupPages lists the pages of this area.
func (s *site) lineupPages() map[string]page.Route {
	return map[string]page.Route{
		"GET /line-ups":              page.For(access.Coaches, s.lineups).Heavy(),
		"GET /line-ups/try":          page.For(access.Coaches, s.tryLineup).Heavy(),
		"GET /line-ups/why":          page.For(access.Coaches, s.whyLineup).Heavy(),
		"GET /line-ups/two":          page.For(access.Coaches, s.twoBoats).Heavy(),
		"POST /line-ups/search":      page.For(access.Coaches, s.startSearch),
		"GET /line-ups/search/{id}":  page.For(access.Coaches, s.withJob(s.service.Jobs.Job, s.answerSearch)),
		"POST /line-ups/search/{id}": page.For(access.Coaches, s.withJob(s.service.Jobs.CancelJob, s.answerSearch)),
		"POST /line-ups/firmness":    page.For(access.Coaches, s.startFirmness).Heavy(),
		"GET /line-ups/jobs/{id}":    page.For(access.Coaches, s.withJob(s.service.Jobs.Job, s.answerJob)),
		"POST /line-ups/jobs/{id}":   page.For(access.Coaches, s.withJob(s.service.Jobs.CancelJob, s.answerJob)),
	}
}

// lineupPage is all that the page shows.
type lineupPage struct {
	Classes     []seat.BoatClass
	Class       seat.BoatClass
	Boats       []fleet.BoatSummary
	Boat        *lineup.ClubBoat // nil for any boat of the class
	Races       []seatrace.RaceSummary
	Race        string
	Pattern     string // "", mirror, free, own
	Patterns    []page.Option
	Sides       []sideRow
	Fields      []page.Input
	Members     []memberRow
	Missing     []lineup.CandidateGap
	Notes       []string
	Pairs       []pairRow
	Preferences []preferenceRow
	Problems    []page.Problem
	Conflict    *lineup.Unmeetable
	Entered     []page.Entry // what was asked for, on paper
	Who         string
	today       string // YYYY-MM-DD

	Files    *page.Files
	Answer   *lineup.CrewsAnswer
	Crews    []crewRow
	Search   *searchView
	Rerig    string       // what another rig of the boat would bring
	Compared []lineupView // the one shown first
	Own      *lineupView
	Why      *whyView
	Firm     *firmView
	Job      *jobView

	Among   page.SquadChoice
	names   map[string]string
	short   map[string]string
	masses  map[string]float64
	powers  map[string]float64
	request lineup.LineupsRequest
	typed   url.Values
	squad   lineup.BoatSquad
}

// atBoats is the part of the page with the drawings.
const atBoats = "#boat-h"

// Limits of the page; our judgement.
const (
	compared   = 2               // line-ups beside the one shown first
	searchTime = 2 * time.Second // for one search, after which the page says how far it has come
)

// lineups answers the whole page.
func (s *site) lineups(w http.ResponseWriter, r *http.Request) error {
	p, err := s.newLineups(r.Context(), r.URL.Query(), page.Who(r))
	if err != nil {
		return err
	}
	if err := s.solveLineups(r.Context(), p); err != nil {
		return err
	}
	p.Files = p.files(r)
	if sent, err := p.Files.Send(w, r); sent {
		return err
	}
	if err := s.firmAtOnce(r.Context(), p); err != nil {
		return err
	}
	return s.Pages.Show(w, p.status(), "lineups", p)
}

// files are the tables of the page: the squad, and the line-ups found.
func (p *lineupPage) files(r *http.Request) *page.Files {
	files := []page.File{page.TableFile("squad", p.squad.Table())}
	if p.Answer != nil {
		files = append(files, page.TableFile("orders", p.Answer.Table(p.names)))
	}
	return page.NewFiles(r.URL, "line-ups "+p.Class.Code, files...)
}

// status is 422 for a page with complaints.
func (p *lineupPage) status() int {
	if len(p.Problems) > 0 || p.Conflict != nil {
		return http.StatusUnprocessableEntity
	}
	return http.StatusOK
}

// newLineups reads the form and gathers the squad.
func (s *site) newLineups(ctx context.Context, typed url.Values, who string) (*lineupPage, error) {
	typed = withoutTicks(typed)
	p := &lineupPage{
		Classes: s.service.Seat.BoatClasses(), Race: typed.Get("race"), Pattern: typed.Get("pattern"),
		typed: typed, names: map[string]string{}, short: map[string]string{}, masses: map[string]float64{}, powers: map[string]float64{}, Who: who, today: s.service.Club.Today(),
	}
	if err := p.choose(ctx, s); err != nil {
		return nil, err
	}
	races, err := s.service.Seatrace.Races(ctx, records.ListRequest{})
	if err != nil {
		return nil, err
	}
	p.Races = races.Races
	if err := p.gather(ctx, s); err != nil {
		return nil, err
	}
	if err := p.fit(ctx, s); err != nil {
		return nil, err
	}
	p.read()
	return p, nil
}

// fit takes, where nobody says which boat, the largest that the squad fills, of a class
// that the club has a boat of if there is one.
func (p *lineupPage) fit(ctx context.Context, s *site) error {
	if p.typed.Get("class") != "" || len(p.squad.Candidates) >= p.Class.Rowers {
		return nil
	}
	first, sizes := p.Class, slices.Clone(p.Classes)
	slices.Reverse(sizes) // sweep boats first
	slices.SortStableFunc(sizes, func(a, b seat.BoatClass) int {
		return cmp.Or(b.Rowers-a.Rowers, coxes(a)-coxes(b))
	})
	for _, own := range []bool{true, false} {
		for _, c := range sizes {
			if own && !slices.ContainsFunc(p.Boats, func(b fleet.BoatSummary) bool { return b.BoatClass == c.Code }) {
				continue
			}
			p.Class = c
			if err := p.gather(ctx, s); err != nil {
				return err
			}
			if len(p.squad.Candidates) >= c.Rowers {
				return nil
			}
		}
	}
	p.Class = first // nobody is there
	return p.gather(ctx, s)
}

// choose finds the boat asked for: one of the club, or any of a class.
func (p *lineupPage) choose(ctx context.Context, s *site) error {
	boats, err := s.service.Fleet.Boats(ctx, records.ListRequest{})
	if err != nil {
		return err
	}
	p.Boats = boats.Boats
	class := p.typed.Get("class")
	if id, ok := strings.CutPrefix(class, boatPrefix); ok {
		n, _ := strconv.ParseInt(id, 10, 64)
		boat, err := s.service.Lineup.ClubBoat(ctx, records.IDRequest{ID: n})
		switch {
		case errors.Is(err, wire.ErrNotFound):
			p.Problems = append(p.Problems, page.Problem{Field: "class", Label: "Boat", Text: "This boat was removed."})
		case err != nil:
			return err
		default:
			p.Boat, class = &boat, boat.BoatClass
		}
	}
	p.Class = p.Classes[len(p.Classes)-1] // the eight, where there is most to choose
	for _, c := range p.Classes {
		if c.Code == class {
			p.Class = c
		}
	}
	return nil
}

func coxes(c seat.BoatClass) int {
	if c.Coxed {
		return 1
	}
	return 0
}

// boatPrefix stands before the number of a boat of the club where a class may
// stand.
const boatPrefix = "boat-"

// Chosen is the value of the choice of the boat.
func (p *lineupPage) Chosen() string {
	if p.Boat != nil {
		return boatPrefix + strconv.FormatInt(p.Boat.ID, 10)
	}
	return p.Class.Code
}

// gather takes the squad from the records; a seat race that leaves differences open is
// a complaint.
func (p *lineupPage) gather(ctx context.Context, s *site) (err error) {
	race, _ := strconv.ParseInt(p.Race, 10, 64)
	if p.Among, err = page.ChooseSquad(ctx, s.service.Club, p.typed.Get(page.Among)); err != nil {
		return err
	}
	p.squad, err = s.service.Lineup.SquadFor(ctx, lineup.BoatSquadRequest{BoatClass: p.Class.Code, SquadID: p.Among.ID, SeatRaceID: race, Powers: p.rests()})
	var bad *wire.Invalid
	switch {
	case errors.As(err, &bad):
		for _, f := range bad.Fields {
			p.Problems = append(p.Problems, page.Problem{Field: "race", Label: "Race power", Text: f.Detail})
		}
	case errors.Is(err, wire.ErrNotFound):
		p.Problems = append(p.Problems, page.Problem{Field: "race", Label: "Race power", Text: "This seat race was removed."})
	case err != nil:
		return err
	}
	if err != nil {
		p.squad, err = s.service.Lineup.SquadFor(ctx, lineup.BoatSquadRequest{BoatClass: p.Class.Code, SquadID: p.Among.ID})
	}
	p.Missing, p.Notes = p.squad.Missing, p.squad.Notes
	p.narrow()
	return err
}

// looked is how many athletes a page looks at where nobody says which, by our own
// judgement: several times those who could sit in any boat, and few enough for the
// search and the screen.
const looked = 60

// narrow leaves out the weakest of a large club, but nobody whom the form names.
func (p *lineupPage) narrow() {
	beyond := 0
	var kept []int
	for i := range p.squad.Candidates {
		if i < looked || p.mentions(p.squad.Candidates[i].ID) {
			kept = append(kept, i)
			continue
		}
		beyond++
	}
	if beyond == 0 {
		return
	}
	p.squad = p.squad.Of(kept)
	p.Notes = append(slices.Clone(p.Notes), fmt.Sprintf("The %d strongest are considered and %d others are not: choose a squad above to consider others.", looked, beyond))
}

// mentions reports whether the form has a rule about an athlete, or a seat.
func (p *lineupPage) mentions(id string) bool {
	for name, values := range p.typed {
		if name == "out" || values[0] == "" {
			continue
		}
		if name == "r"+id || slices.Contains(strings.Split(values[0], "."), id) && mentioning.MatchString(name) {
			return true
		}
	}
	return false
}

// mentioning are the fields of the form that hold athletes' ids.
var mentioning = regexp.MustCompile(`^(own|s\d+|p\d+[ab]|c\d+a)$`)

// ergometerAlone is the choice of race powers from tests alone.
const ergometerAlone = "ergometer"

// rests is what race powers rest on where no seat race is chosen.
func (p *lineupPage) rests() string {
	if p.Race == ergometerAlone {
		return "ergometer"
	}
	return ""
}

// keep copies a query without the names given and without blanks.
func keep(typed url.Values, without ...string) url.Values {
	kept := url.Values{}
	for name, values := range typed {
		if !slices.Contains(without, name) && strings.TrimSpace(values[0]) != "" {
			kept.Set(name, values[0])
		}
	}
	return kept
}

// find searches for the best crews and their line-ups and keeps the answer; false when the
// request was refused. A search that takes too long is cut short, and the answer
// is then not proven.
func (s *site) find(ctx context.Context, p *lineupPage, crews, orders int) (bool, error) {
	if len(p.Problems) > 0 || p.Conflict != nil || len(p.Members) == 0 {
		return false, nil
	}
	ctx, stop := context.WithTimeout(ctx, searchTime)
	defer stop()
	answer, err := s.service.Lineup.FindCrews(ctx, p.crewsRequest(crews, orders))
	if err != nil {
		return false, p.refuse(err)
	}
	if len(answer.Crews) == 0 {
		p.Problems = append(p.Problems, page.Problem{Text: "No line-up was found in time: give some athletes a seat, or set the sides."})
		return false, nil
	}
	p.Answer = &answer
	return true, nil
}

// crewsRequest asks for so many crews and line-ups of each.
func (p *lineupPage) crewsRequest(crews, orders int) lineup.CrewsRequest {
	return lineup.CrewsRequest{LineupProblem: p.request.LineupProblem, Crews: crews, Orders: orders, Fold: true}
}

// solveLineups finds the line-ups and what the page shows of them.
func (s *site) solveLineups(ctx context.Context, p *lineupPage) error {
	if found, err := s.find(ctx, p, listedCrews, listedOrders); !found {
		return err
	}
	if !p.Answer.Proven {
		p.Search = newSearchView(p.typed, false, !p.Answer.InJob)
	}
	shown := p.shown()
	p.rank(shown)
	if err := s.tellRerig(ctx, p); err != nil {
		return err
	}
	for _, at := range shown {
		view, err := s.lineupView(ctx, p, &p.at(at).ScoredLineup, "Line-up "+at.String())
		if err != nil {
			return err
		}
		p.Compared = append(p.Compared, *view)
	}
	p.Compared[0].Save = p.saving(&p.at(shown[0]).ScoredLineup, "best")
	// With free sides every athlete left out asks for a search over all rigs:
	// too long to wait for.
	if !p.request.PatternFree || p.typed.Has("why") {
		if err := s.explain(ctx, p); err != nil {
			return err
		}
	}
	return s.ownLineup(ctx, p)
}

// SameImages reports what all line-ups of the list cost the same as by symmetry; ""
// where they differ in that.
func (p *lineupPage) SameImages() string {
	words := p.Crews[0].Lineups[0].Images
	for _, crew := range p.Crews {
		if slices.ContainsFunc(crew.Lineups, func(row lineupRow) bool { return row.Images != words }) {
			return ""
		}
	}
	return words
}

// LevelS is the margin below which line-ups are too close to tell.
func (p *lineupPage) LevelS() string { return page.Plain(lineup.CloseS) }

// NearS is the change below which neither of two seats is preferred.
func (p *lineupPage) NearS() string { return page.Plain(lineup.NearS) }

// FirmFrom is the share of the draws above which a place is firm.
func (p *lineupPage) FirmFrom() string { return firmShare(lineup.FirmAbove) }

// LikelyFrom is the share of the draws from which a place is likely.
func (p *lineupPage) LikelyFrom() string { return firmShare(lineup.LikelyFrom) }

// refuse turns an error about the request into complaints.
func (p *lineupPage) refuse(err error) error {
	var bad *wire.Invalid
	var rules *lineup.Unmeetable
	switch {
	case errors.As(err, &bad):
		for _, f := range bad.Fields {
			p.Problems = append(p.Problems, p.complaint(f))
		}
	case errors.As(err, &rules):
		p.Conflict = rules
	default:
		return err
	}
	return nil
}

// complaint puts a complaint to the field of the form that it is about.
func (p *lineupPage) complaint(f wire.FieldProblem) page.Problem {
	for i := range p.Fields {
		in := &p.Fields[i]
		if _, inside := f.Place().Under(in.Place()); inside || f.Place().Pointer == in.Place().Pointer {
			in.Problem = f.Detail
			return page.Problem{Field: in.Name, Label: in.Label, Text: f.Detail}
		}
	}
	return page.Problem{Text: f.Detail}
}

// Asked returns what was asked for, in a line.
func (p *lineupPage) Asked() string {
	here := 0
	for i := range p.Members {
		if p.Members[i].Here {
			here++
		}
	}
	return fmt.Sprintf("%s · %d of %d athletes", p.boatName(), here, len(p.Members))
}

// TickSquads are the squads with the ids of their athletes of this page, for the
// buttons that choose them; none where one squad is asked for.
func (p *lineupPage) TickSquads() []page.Option {
	var list []page.Option
	for _, o := range p.Among.Options {
		var ids []string
		for i := range p.squad.Candidates {
			if c := &p.squad.Candidates[i]; slices.ContainsFunc(c.SquadIDs, func(id int64) bool { return strconv.FormatInt(id, 10) == o.Value }) {
				ids = append(ids, c.ID)
			}
		}
		if len(ids) > 0 && p.Among.ID == 0 {
			list = append(list, page.Option{Value: strings.Join(ids, "."), Label: o.Label})
		}
	}
	return list
}

// with is the page's address with one value changed and others left out.
func (p *lineupPage) with(name, value string, without ...string) string {
	q := keep(p.typed, without...)
	q.Set(name, value)
	if value == "" {
		q.Del(name)
	}
	return "/line-ups?" + q.Encode()
}

// looked finds only as much as the line-up shown first needs, and answers it; nil
// when the request was refused.
func (s *site) looked(ctx context.Context, p *lineupPage) (*lineup.ScoredLineup, error) {
	at := p.shown()[0]
	if found, err := s.find(ctx, p, at.crew+1, at.order+1); !found {
		return nil, err
	}
	if l := p.at(at); l != nil {
		return &l.ScoredLineup, nil
	}
	return p.best(), nil
}

// crew names the athletes of a line-up in short.
func (p *lineupPage) crew(ids []string) []string {
	names := make([]string, len(ids))
	for i, id := range ids {
		names[i] = p.short[id]
	}
	return names
}
