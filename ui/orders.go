package ui

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"thole/api"
)

// The page of seat orders: a boat, a squad with the coach's rules, the best
// orders with what they cost, an order of one's own beside them, and how firm
// it all is. Everything stands in the address.

// orderPages lists the pages of this area.
func (s *site) orderPages() map[string]handler {
	return map[string]handler{
		"GET /orders":            s.orders,
		"GET /orders/try":        s.tryOrder,
		"POST /orders/save":      s.saveOrder,
		"POST /orders/firmness":  s.startFirmness,
		"GET /orders/jobs/{id}":  s.firmnessJob,
		"POST /orders/jobs/{id}": s.cancelFirmness,
		"GET /squad":             s.squad,
		"GET /squad/import":      s.squadImport,
		"POST /squad/import":     s.squadImport,
		"GET /squad/{file}":      s.squadFile,
	}
}

// ordersPage is all that the page shows.
type ordersPage struct {
	Classes  []api.BoatClass
	Class    api.BoatClass
	Trials   []api.TrialSummary
	Trial    string
	Pattern  string // alternating, free, or a letter a seat
	Patterns []option
	Fields   []input
	Members  []memberRow
	Missing  []api.CandidateGap
	Notes    []string
	Pairs    []pairRow
	Problems []problem
	Rules    []string // the smallest set in conflict
	Query    string
	Who      string

	Answer *api.LineupsAnswer
	Orders []orderRow
	Beside []orderView // the one looked at first
	Own    *orderView
	Why    *whyView
	Firm   *firmView
	Job    *jobView

	names    map[string]string
	masses   map[string]float64
	request  api.LineupsRequest
	typed    url.Values
	squad    api.BoatSquad
	problems map[string]string
}

// memberRow is one athlete of the squad with the coach's rule.
type memberRow struct {
	api.BoatCandidate
	Role  string
	Roles []option
	Sides string
}

// pairRow is a rule about two athletes.
type pairRow struct {
	N                   int
	Kind, First, Second string
}

// Names of the numbers the page asks for.
var orderFields = []field{
	{Name: "likeness", Path: "weights.likeness_s", Label: "Alike strokes are worth", Unit: "s", Help: "For strokes with nothing in common against strokes all the same.", Blank: "5"},
	{Name: "yaw", Path: "weights.yaw_s", Label: "A straight boat is worth", Unit: "s", Help: "For the turning moment of the alternating rig.", Blank: "0.5"},
	{Name: "cox", Path: "cox_mass_kg", Label: "Cox", Unit: "kg", Blank: "55"},
	{Name: "mean_mass", Path: "mass.mean_max_kg", Label: "Mean mass at most", Unit: "kg"},
	{Name: "max_mass", Path: "mass.max_kg", Label: "Each at most", Unit: "kg"},
	{Name: "women", Path: "women_min", Label: "Women at least", Unit: ""},
	{Name: "men", Path: "men_min", Label: "Men at least", Unit: ""},
}

// listed is how many orders the page lists.
const listed = 10

// orders answers the whole page.
func (s *site) orders(w http.ResponseWriter, r *http.Request) error {
	p, err := s.newOrders(r.Context(), r.URL.Query(), who(r))
	if err != nil {
		return err
	}
	if len(p.Problems) == 0 {
		if err := s.solveOrders(r.Context(), p); err != nil {
			return err
		}
	}
	status := http.StatusOK
	if len(p.Problems) > 0 {
		status = http.StatusUnprocessableEntity
	}
	return s.pages.show(w, status, "orders", p)
}

// newOrders reads the form and gathers the squad.
func (s *site) newOrders(ctx context.Context, typed url.Values, who string) (*ordersPage, error) {
	p := &ordersPage{
		Classes: s.service.BoatClasses(), Trial: typed.Get("trial"), Pattern: typed.Get("pattern"),
		typed: typed, names: map[string]string{}, masses: map[string]float64{}, problems: map[string]string{}, Who: who,
	}
	p.Class = p.Classes[len(p.Classes)-1] // the eight, where there is most to choose
	for _, c := range p.Classes {
		if c.Code == typed.Get("class") {
			p.Class = c
		}
	}
	trials, err := s.service.Trials(ctx, api.ListRequest{})
	if err != nil {
		return nil, err
	}
	p.Trials = trials.Trials
	if err := p.gather(ctx, s); err != nil {
		return nil, err
	}
	p.read()
	p.Query = keep(typed, "own", "own_sides").Encode()
	return p, nil
}

// gather takes the squad from the records; a trial that cannot tell powers is
// a complaint.
func (p *ordersPage) gather(ctx context.Context, s *site) (err error) {
	trial, _ := strconv.ParseInt(p.Trial, 10, 64)
	p.squad, err = s.service.SquadFor(ctx, api.BoatSquadRequest{BoatClass: p.Class.Code, TrialID: trial})
	var bad *api.Invalid
	switch {
	case errors.As(err, &bad):
		for _, f := range bad.Fields {
			p.Problems = append(p.Problems, problem{"trial", "Race powers", f.Detail})
		}
	case errors.Is(err, api.ErrNotFound):
		p.Problems = append(p.Problems, problem{"trial", "Race powers", "This trial is not on record any more."})
	case err != nil:
		return err
	}
	if len(p.Problems) > 0 {
		p.squad, err = s.service.SquadFor(ctx, api.BoatSquadRequest{BoatClass: p.Class.Code})
	}
	p.Missing, p.Notes = p.squad.Missing, p.squad.Notes
	return err
}

// read turns the form into a request.
func (p *ordersPage) read() {
	p.request = api.LineupsRequest{Count: listed, PowerCovariance: p.squad.PowerCovarianceW2}
	o := &p.request.SeatOrderProblem
	o.BoatClass = p.Class.Code
	p.readPattern(o)
	p.readNumbers(o)
	for _, m := range p.squad.Candidates {
		o.Candidates = append(o.Candidates, m.Candidate)
		p.names[m.ID], p.masses[m.ID] = m.Name, m.MassKg
		p.readRole(o, m)
	}
	p.readPairs(o)
}

func (p *ordersPage) readPattern(o *api.SeatOrderProblem) {
	p.Patterns = []option{{"", "alternating, bow on starboard"}, {"free", "any with as many of each side"}}
	switch letters := strings.ToUpper(p.Pattern); {
	case p.Class.Scull || p.Pattern == "":
	case p.Pattern == "free":
		o.PatternFree = true
	default:
		for _, l := range letters {
			o.Pattern = append(o.Pattern, map[rune]string{'P': "port", 'S': "starboard"}[l])
		}
		p.Patterns = append(p.Patterns, option{p.Pattern, "from bow: " + letters})
	}
}

func (p *ordersPage) readNumbers(o *api.SeatOrderProblem) {
	o.Weights, o.Mass = &api.OrderWeights{}, &api.MassRules{}
	count := func(into *int) func(float64) { return func(v float64) { *into = int(v) } }
	place := func(into **float64) func(float64) { return func(v float64) { *into = &v } }
	set := map[string]func(float64){
		"likeness": place(&o.Weights.LikenessS), "yaw": place(&o.Weights.YawS), "cox": place(&o.CoxMassKg),
		"mean_mass": place(&o.Mass.MeanMaxKg), "max_mass": place(&o.Mass.MaxKg), "women": count(&o.WomenMin), "men": count(&o.MenMin),
	}
	for _, f := range orderFields {
		if f.Name == "cox" && !p.Class.Coxed || f.Name == "yaw" && p.Class.Scull {
			continue
		}
		in := input{field: f, Value: p.typed.Get(f.Name)}
		if text := strings.TrimSpace(in.Value); text != "" {
			v, ok := parseNumber(text)
			if ok {
				set[f.Name](v)
			} else {
				in.Problem = "“" + text + "” is not a number."
				p.Problems = append(p.Problems, problem{f.Name, f.Label, in.Problem})
			}
		}
		p.Fields = append(p.Fields, in)
	}
}

// readRole reads the coach's rule for one athlete.
func (p *ordersPage) readRole(o *api.SeatOrderProblem, m api.BoatCandidate) {
	row := memberRow{BoatCandidate: m, Role: p.typed.Get("r" + m.ID), Roles: []option{{"", "may row"}, {"must", "must row"}, {"out", "not available"}}}
	for seat := 1; seat <= p.Class.Rowers; seat++ {
		row.Roles = append(row.Roles, option{strconv.Itoa(seat), "seat " + seatName(seat, p.Class.Rowers)})
	}
	switch seat, err := strconv.Atoi(row.Role); {
	case row.Role == "must":
		o.Must = append(o.Must, m.ID)
	case row.Role == "out":
		o.Out = append(o.Out, m.ID)
	case err == nil && seat <= p.Class.Rowers:
		o.Pins = append(o.Pins, api.SeatPin{Seat: seat, ID: m.ID})
	}
	if m.Sides != nil {
		row.Sides = costWords(m.Sides)
	}
	p.Members = append(p.Members, row)
}

// seatName is the number of a seat, bow and stroke by name.
func seatName(seat, of int) string {
	switch seat {
	case 1:
		return "1 (bow)"
	case of:
		return strconv.Itoa(seat) + " (stroke)"
	}
	return strconv.Itoa(seat)
}

// costWords says which sides an athlete rows and what the other costs.
func costWords(s *api.SideCosts) string {
	word := func(name string, cost *float64) string {
		switch {
		case cost == nil:
			return ""
		case *cost == 0:
			return name
		}
		return name + " +" + plain(*cost) + " s"
	}
	return strings.Trim(word("port", s.Port)+", "+word("starboard", s.Starboard), ", ")
}

// pairRules are how many rules about two athletes the page offers.
const pairRules = 3

func (p *ordersPage) readPairs(o *api.SeatOrderProblem) {
	for n := 1; n <= pairRules; n++ {
		at := fmt.Sprintf("p%d", n)
		row := pairRow{N: n, Kind: p.typed.Get(at + "k"), First: p.typed.Get(at + "a"), Second: p.typed.Get(at + "b")}
		p.Pairs = append(p.Pairs, row)
		if row.First == "" || row.Second == "" {
			continue
		}
		pair := []string{row.First, row.Second}
		switch row.Kind {
		case "apart":
			o.Apart = append(o.Apart, pair)
		case "adjacent":
			o.Adjacent = append(o.Adjacent, pair)
		case "never":
			o.Never = append(o.Never, pair)
		}
	}
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

// solveOrders finds the orders and what the page shows of them.
func (s *site) solveOrders(ctx context.Context, p *ordersPage) error {
	answer, err := s.service.FindLineups(ctx, p.request)
	if err != nil {
		return p.refuse(err)
	}
	p.Answer = &answer
	best := answer.Lineups[0].TotalS
	shown := p.shown(len(answer.Lineups))
	for i := range answer.Lineups {
		l := &answer.Lineups[i]
		p.Orders = append(p.Orders, orderRow{
			Rank: i + 1, Behind: l.TotalS - best, Lineup: l, Crew: p.crew(l.Seats), Shown: slices.Contains(shown, i),
			Only: p.with("show", strconv.Itoa(i+1), "beside"),
		})
	}
	for _, i := range shown {
		view, err := s.orderView(ctx, p, &answer.Lineups[i], fmt.Sprintf("Order %d", i+1))
		if err != nil {
			return err
		}
		p.Beside = append(p.Beside, *view)
	}
	if err := s.explain(ctx, p); err != nil {
		return err
	}
	return s.ownOrder(ctx, p)
}

// refuse turns an error about the request into complaints.
func (p *ordersPage) refuse(err error) error {
	var bad *api.Invalid
	var rules *api.Unmeetable
	switch {
	case errors.As(err, &bad):
		for _, f := range bad.Fields {
			p.Problems = append(p.Problems, p.complaint(f))
		}
	case errors.As(err, &rules):
		p.Problems, p.Rules = append(p.Problems, problem{Text: rules.Error()}), rules.Rules
	default:
		return err
	}
	return nil
}

// complaint puts a complaint to the field of the form that it is about.
func (p *ordersPage) complaint(f api.FieldProblem) problem {
	for i := range p.Fields {
		if in := &p.Fields[i]; strings.HasPrefix(f.Field, in.Path) {
			in.Problem = f.Detail
			return problem{in.Name, in.Label, f.Detail}
		}
	}
	return problem{Text: f.Detail}
}

// shown lists the orders to look at: one, and up to two beside it.
func (p *ordersPage) shown(count int) []int {
	pick := func(name string) (int, bool) {
		n, err := strconv.Atoi(p.typed.Get(name))
		return n - 1, err == nil && n >= 1 && n <= count
	}
	shown := []int{0}
	if i, ok := pick("show"); ok {
		shown[0] = i
	}
	if i, ok := pick("beside"); ok && i != shown[0] {
		shown = append(shown, i)
	}
	return shown
}

// with is the page's address with one value changed and others left out.
func (p *ordersPage) with(name, value string, without ...string) string {
	q := keep(p.typed, without...)
	q.Set(name, value)
	return "/orders?" + q.Encode()
}

// crew names the athletes of an order.
func (p *ordersPage) crew(ids []string) []string {
	names := make([]string, len(ids))
	for i, id := range ids {
		names[i] = p.names[id]
	}
	return names
}

// ownOrder costs the order of one's own: the one in the address, or at first
// the order looked at.
func (s *site) ownOrder(ctx context.Context, p *ordersPage) error {
	given := api.GivenLineup{Seats: p.Beside[0].Lineup.Seats, Sides: p.Beside[0].Lineup.Sides}
	if own := p.ownSeats(); own != nil {
		given.Seats = own
	}
	scored, err := s.service.CostLineup(ctx, api.CostRequest{SeatOrderProblem: p.request.SeatOrderProblem, Lineup: given})
	var bad *api.Invalid
	if errors.As(err, &bad) {
		p.Own = &orderView{Title: "Your own", Seats: p.seatRows(given.Seats, given.Sides), Problem: bad.Fields[0].Detail, Options: p.options()}
		return nil
	}
	if err != nil {
		return err
	}
	view, err := s.orderView(ctx, p, &scored, "Your own")
	if err != nil {
		return err
	}
	view.Behind, view.Options = scored.TotalS-p.Answer.Lineups[0].TotalS, p.options()
	p.Own = view
	return nil
}

// ownSeats reads the order of one's own, as seats s1, s2 … of a form or as one
// list; nil when there is none.
func (p *ordersPage) ownSeats() []string {
	if list := p.typed.Get("own"); list != "" {
		return strings.Split(list, ".")
	}
	if p.typed.Get("s1") == "" {
		return nil
	}
	var seats []string
	for seat := 1; seat <= p.Class.Rowers; seat++ {
		seats = append(seats, p.typed.Get(fmt.Sprintf("s%d", seat)))
	}
	return seats
}

// options lists the squad for the seats of one's own order.
func (p *ordersPage) options() []option {
	var list []option
	for _, m := range p.Members {
		list = append(list, option{m.ID, m.Name})
	}
	return list
}

// tryOrder answers the order of one's own alone, for htmx, or the whole page.
func (s *site) tryOrder(w http.ResponseWriter, r *http.Request) error {
	typed := r.URL.Query()
	if r.Header.Get("HX-Request") == "" {
		http.Redirect(w, r, "/orders?"+keep(typed).Encode(), http.StatusSeeOther)
		return nil
	}
	p, err := s.newOrders(r.Context(), typed, who(r))
	if err != nil {
		return err
	}
	if len(p.Problems) == 0 {
		err = s.solveOrders(r.Context(), p)
	}
	if err != nil {
		return err
	}
	if p.Own == nil {
		return s.pages.fragment(w, http.StatusUnprocessableEntity, "orders", "orders-problems", p)
	}
	return s.pages.fragment(w, http.StatusOK, "orders", "orders-own", p)
}

// saveOrder puts a line-up on record and goes to set the boat up for it.
func (s *site) saveOrder(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return s.pages.show(w, http.StatusBadRequest, "message", message{"This did not arrive whole", "Go back and send the form again."})
	}
	form := r.PostForm
	remember(w, form.Get("by"))
	l := api.NewLineup{By: form.Get("by"), LineupContent: api.LineupContent{
		Name: form.Get("name"), BoatClass: form.Get("class"), Source: "seat order", Note: form.Get("note"),
	}}
	for i, id := range strings.Split(form.Get("seats"), ".") {
		place := api.LineupPlace{}
		if n, err := strconv.ParseInt(id, 10, 64); err == nil {
			place.AthleteID = &n
		}
		if sides := strings.Split(form.Get("sides"), "."); i < len(sides) {
			place.Side = sides[i]
		}
		l.Seats = append(l.Seats, place)
	}
	if cox, ok := parseNumber(form.Get("cox")); ok {
		l.CoxMassKg = &cox
	}
	saved, err := s.service.SaveLineup(r.Context(), l)
	var bad *api.Invalid
	if errors.As(err, &bad) {
		return s.pages.show(w, http.StatusUnprocessableEntity, "order_save", &orderSaveForm{Form: form, Problems: bad.Fields})
	}
	if err != nil {
		return err
	}
	return s.pages.show(w, http.StatusCreated, "order_saved", saved)
}

// orderSaveForm is the form of a line-up that could not be saved as it is.
type orderSaveForm struct {
	Form     url.Values
	Problems []api.FieldProblem
}

// Get returns what was typed.
func (f *orderSaveForm) Get(name string) string { return f.Form.Get(name) }
