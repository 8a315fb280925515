package setup

import (
	"context"
	"errors"
	"fmt"
	"html/template"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"thole/api/access"
	"thole/api/directory"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/seat"
	"thole/api/setup"
	"thole/api/wire"
	"thole/ui/page"
)

// The page to set a boat up for a crew: a boat, who rows it, what is wanted,
// and what comes of it seat by seat.

// crewSetPages lists the pages of this area.
func (s *site) crewSetPages() map[string]page.Route {
	return map[string]page.Route{
		"GET /setup": page.For(access.Staff.SharedAs("set-up"), s.crewSet), "POST /setup": page.For(access.Staff.Calculating(), s.crewSetLive),
		"GET /setup/substitute": page.For(access.Staff, s.substitute), "POST /setup/crew": page.For(access.Staff, s.keepCrew),
	}
}

// crewSetPage is all that the page shows.
type crewSetPage struct {
	Boats    []fleet.BoatSummary
	Boat     *fleet.Boat
	Lineups  []setup.LineupName
	Lineup   string
	Among    page.SquadChoice
	Names    []string // of the athletes who are offered
	Places   []placeView
	Oars     *page.Value // the set to row with; nil where there is none to choose
	NewOars  string      // the set that a sheet would enter for the boat; empty where it keeps its own
	Jobs     []page.Option
	Job      string
	Levels   []page.Option
	Level    string
	Light    bool
	Targets  []page.Input
	Cox      *page.Input
	Problems []page.Problem
	Plan     *crewPlan
	Files    *page.Files
	Asked    string // how the set-up is asked for, in short
	Address  string
	Query    string
	By, Note string
	Filled   bool              // the usual crew was seated
	Known    *crewKnown        // what the boat knows of the crew; nil without a set-up
	Moved    []page.ChangeView // what others changed while this was open
	Live     bool
	Code     template.HTML // that leads a phone to this set-up, for paper

	typed     url.Values
	book      *directory.Book
	wholeName map[int64]string
	request   setup.SetupRequest
	bad       map[string]string // complaints by the form's names
}

// placeView is one seat in the form.
type placeView struct {
	Number      int
	Words, Side string
	Name        page.Input
	Sex         string
	Guest       []page.Input
	Open        bool // somebody typed measures of a guest
	SexID       string
}

// targetFields are the targets of a whole crew.
var targetFields = []page.Field{
	{Name: "catch_deg", Path: "targets.catch_deg", Label: "Target catch", Unit: "°", Help: "Before square, as a plain number.", Blank: "automatic"},
	{Name: "finish_deg", Path: "targets.finish_deg", Label: "Target finish", Unit: "°", Help: "Past square.", Blank: "automatic"},
}

// coxField is the mass of the coxswain.
var coxField = page.WithDefaults(setup.SetupRequest{}, []page.Field{
	{Name: "cox_mass_kg", Path: "cox_mass_kg", Label: "Coxswain", Unit: "kg", Help: "With dead weight."},
})

// jobs are the two modes of a set-up.
var jobs = []page.Option{
	{Value: "everyday", Label: "Everyday: stretchers, and gates that are out"},
	{Value: "full_rerig", Label: "Full re-rig"},
}

// levels say whose arcs are the targets.
var levels = []page.Option{{Value: "club", Label: "club crew"}, {Value: "championship", Label: "championship crew"}, {Value: "novice", Label: "novices"}}

func (s *site) crewSet(w http.ResponseWriter, r *http.Request) error {
	p, err := s.planCrew(r, r.URL.Query())
	if err != nil {
		return s.Fail(w, err)
	}
	status := http.StatusOK
	if len(p.Problems) > 0 {
		status = http.StatusUnprocessableEntity
	}
	if sent, err := p.Files.Send(w, r); sent {
		return err
	}
	return s.Pages.Show(w, status, "setup", p)
}

// crewSetLive answers a recalculation to htmx, and the address of the page to
// anything else.
func (s *site) crewSetLive(w http.ResponseWriter, r *http.Request) error {
	r.Body = http.MaxBytesReader(w, r.Body, page.MaxForm)
	if err := r.ParseForm(); err != nil {
		return s.Broken(w)
	}
	if r.Header.Get("HX-Request") == "" {
		http.Redirect(w, r, "/setup?"+setupQuery(r.PostForm), http.StatusSeeOther)
		return nil
	}
	p, err := s.planCrew(r, r.PostForm)
	if err != nil {
		return s.Fail(w, err)
	}
	p.Live = true
	return s.Recalculated(w, page.Live{Page: "setup", Refused: "setup-refused", Results: "setup-live", Address: p.Address, Problems: p.Problems}, p)
}

// setupQuery returns the values that were filled in, as a query.
func setupQuery(typed url.Values) string {
	kept := url.Values{}
	for name, values := range typed {
		for _, v := range values {
			if v = strings.TrimSpace(v); v != "" && name != "by" && name != "note" {
				kept.Add(name, v)
			}
		}
	}
	return kept.Encode()
}

// planCrew reads the form and works the set-up out when somebody rows.
func (s *site) planCrew(r *http.Request, typed url.Values) (*crewSetPage, error) {
	ctx := r.Context()
	p := &crewSetPage{typed: typed, bad: map[string]string{}, By: page.Who(r), Jobs: jobs, Levels: levels, Light: typed.Get("light") == "true"}
	p.Job, p.Level = chosen(typed.Get("job"), jobs), chosen(typed.Get("level"), levels)
	if err := s.findBoats(ctx, p); err != nil {
		return nil, err
	}
	if p.Boat != nil {
		if err := s.findNames(ctx, p); err != nil {
			return nil, err
		}
		if err := s.findOars(ctx, p); err != nil {
			return nil, err
		}
		if err := s.seatUsual(ctx, p); err != nil {
			return nil, err
		}
		if err := s.findLineups(ctx, p); err != nil {
			return nil, err
		}
		p.read()
		if len(p.bad) == 0 && len(p.request.Crew) > 0 {
			if err := p.workOut(ctx, s); err != nil {
				return nil, err
			}
		}
		p.fill()
	}
	p.complain()
	p.Query = setupQuery(typed)
	p.Address = "/setup?" + p.Query
	p.Code = codeOf(r, p.Address)
	return p, nil
}

func (s *site) findBoats(ctx context.Context, p *crewSetPage) error {
	list, err := s.service.Fleet.Boats(ctx, records.ListRequest{})
	if err != nil {
		return err
	}
	p.Boats = list.Boats
	id, _ := strconv.ParseInt(p.typed.Get("boat"), 10, 64)
	if p.typed.Get("boat") == "" {
		id = s.boatOfLineup(ctx, p.typed.Get("lineup"))
	}
	if id == 0 {
		return nil
	}
	boat, err := s.service.Fleet.Boat(ctx, records.IDRequest{ID: id})
	if errors.Is(err, wire.ErrNotFound) {
		p.bad["boat"] = "This boat is not on record any more. Choose another."
		return nil
	}
	p.Boat = &boat
	return err
}

// findOars lists the sets of oars that go with the boat; what it has goes first.
func (s *site) findOars(ctx context.Context, p *crewSetPage) error {
	sets, err := s.service.Fleet.OarSets(ctx, records.ListRequest{})
	if err != nil {
		return err
	}
	field := page.TextField("oars", "Oars", "Their length, inboard and blade stand at every seat.").As("select")
	field.Value = p.typed.Get("oars")
	field.Options = []page.Option{{Label: "as the boat stands"}}
	for _, o := range sets.OarSets {
		id := strconv.FormatInt(o.ID, 10)
		switch {
		case (o.Kind == "scull") != p.Boat.Class.Scull:
		case o.ID == wire.Or(p.Boat.OarSetID, 0):
			field.Options[0].Label = o.Name
			if field.Value == id {
				field.Value = ""
			}
		default:
			field.Options = append(field.Options, page.Option{Value: id, Label: o.Name})
			if field.Value == id {
				p.request.OarSetID, p.NewOars = &o.ID, o.Name
			}
		}
	}
	if len(field.Options) > 1 {
		p.Oars = &field
	}
	return nil
}

// boatOfLineup is the boat that a line-up is for; 0 for none.
func (s *site) boatOfLineup(ctx context.Context, text string) int64 {
	id, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		return 0
	}
	crew, err := s.service.Setup.LineupCrew(ctx, id)
	if err != nil || crew.BoatID == nil {
		return 0
	}
	return *crew.BoatID
}

// findNames lists the athletes, for the seats; those of a squad are offered, and
// everybody can be typed.
func (s *site) findNames(ctx context.Context, p *crewSetPage) error {
	list, err := s.service.Club.AthleteNames(ctx)
	if err != nil {
		return err
	}
	if p.Among, err = page.ChooseSquad(ctx, s.service.Club, p.typed.Get(page.Among)); err != nil {
		return err
	}
	in, err := s.service.Club.InSquad(ctx, p.Among.ID)
	if err != nil {
		return err
	}
	p.book, p.wholeName = directory.NewBook(list), make(map[int64]string, len(list))
	for i := range list {
		p.wholeName[list[i].ID] = list[i].Whole
		if in == nil || in(list[i].ID) {
			p.Names = append(p.Names, list[i].Whole)
		}
	}
	return nil
}

// findLineups lists the line-ups for the boat. One that was just chosen fills
// the seats.
func (s *site) findLineups(ctx context.Context, p *crewSetPage) error {
	var err error
	if p.Lineups, err = s.service.Setup.LineupsFor(ctx, p.Boat); err != nil {
		return err
	}
	p.Lineup = p.typed.Get("lineup")
	seated := p.typed.Get("seated") // line-up that the names came from
	p.typed.Set("seated", p.Lineup)
	if p.Lineup == "" || p.Lineup == seated {
		return nil
	}
	id, _ := strconv.ParseInt(p.Lineup, 10, 64)
	crew, err := s.service.Setup.LineupCrew(ctx, id)
	if errors.Is(err, wire.ErrNotFound) {
		p.bad["lineup"] = "This line-up is not on record any more."
		return nil
	}
	for n := range p.Boat.Seats {
		p.typed.Del(place(n + 1))
	}
	for _, c := range crew.Places {
		p.typed.Set(place(c.Seat), p.wholeName[*c.AthleteID])
	}
	if p.typed.Get("cox_mass_kg") == "" {
		page.SetNumber(p.typed, "cox_mass_kg", crew.CoxMassKg)
	}
	return err
}

// place and byHand name the fields of a seat in the form.
func place(seat int) string { return "s" + strconv.Itoa(seat) }

func byHand(seat int, setting string) string { return "h" + strconv.Itoa(seat) + "_" + setting }

func guestPrefix(seat int) string { return place(seat) + "_" }

// read turns what was typed into a request.
func (p *crewSetPage) read() {
	r := &p.request
	r.BoatID = p.Boat.ID
	if id, err := strconv.ParseInt(p.Lineup, 10, 64); err == nil {
		r.LineupID = &id
	}
	for i := range p.Boat.Seats {
		p.readPlace(i + 1)
		for _, setting := range p.Boat.Settings() {
			name := byHand(i+1, setting)
			if v := p.number(name); v != nil {
				r.ByHand = append(r.ByHand, fleet.RigSetting{Seat: i + 1, Setting: setting, Value: v})
			}
		}
	}
	r.CoxMassKg = p.number("cox_mass_kg")
	r.Only = p.onlySeats()
	r.Job, r.Level, r.Light = p.Job, p.Level, p.Light
	r.Targets = p.targets()
}

// chosen is the value among the options, or else the first.
func chosen(value string, among []page.Option) string {
	if slices.ContainsFunc(among, func(o page.Option) bool { return o.Value == value }) {
		return value
	}
	return among[0].Value
}

func (p *crewSetPage) number(name string) *float64 {
	text := strings.TrimSpace(p.typed.Get(name))
	if text == "" {
		return nil
	}
	v, complaint := wire.ReadNumber(text)
	if complaint != "" {
		p.bad[name] = complaint
		return nil
	}
	return &v
}

// targets reads the targets; people type the catch without its sign.
func (p *crewSetPage) targets() *seat.Targets {
	t := &seat.Targets{FinishDeg: p.number("finish_deg")}
	if v := p.number("catch_deg"); v != nil {
		catch := -*v
		t.CatchDeg = &catch
	}
	return t
}

// readPlace reads who rows a seat: a name on record, or a guest with measures.
func (p *crewSetPage) readPlace(number int) {
	at := place(number)
	name := strings.TrimSpace(p.typed.Get(at))
	found := p.book.FindFull(name)
	onRecord := len(found) > 0
	var r seat.SolveRequest
	for _, f := range page.Bind(page.BodyFields, guestPrefix(number), p.typed, &r).Fields {
		p.bad[guestPrefix(number)+bodyField(f.Place())] = f.Detail
	}
	r.Rower.Sex = p.typed.Get(guestPrefix(number) + "sex")
	measured := r.Rower != (seat.Rower{Sex: r.Rower.Sex})
	switch {
	case name == "" && !measured:
	case onRecord && measured:
		p.bad[at] = name + " is on record: leave the measures of a guest empty, or give the guest another name."
	case len(found) > 1:
		p.bad[at] = directory.WhichOne(name, found)
	case onRecord:
		p.request.Crew = append(p.request.Crew, setup.CrewPlace{Seat: number, AthleteID: &found[0].ID})
	case !measured:
		p.bad[at] = "Nobody of this name is on record. For a guest, type what was measured below."
	default:
		if name == "" {
			name = "Guest"
		}
		p.request.Crew = append(p.request.Crew, setup.CrewPlace{Seat: number, Name: name, Rower: &r.Rower})
	}
}

// bodyField is the form's name of a measure at a place within a seat; "" for what
// is none.
func bodyField(at wire.Place) string {
	for _, f := range page.BodyFields {
		if f.Place().Pointer == at.Pointer {
			return f.Name
		}
	}
	return ""
}

// workOut asks for the set-up and takes in what is refused.
func (p *crewSetPage) workOut(ctx context.Context, s *site) error {
	found, err := s.service.Setup.SetUp(ctx, p.request)
	if err == nil {
		p.Plan = newCrewPlan(p.Boat, &found)
		if err := s.knowCrew(ctx, p); err != nil {
			return err
		}
		if len(found.Seats) > 1 {
			loads, err := s.service.Advice.LoadsOf(&found)
			if err != nil {
				return err
			}
			p.Plan.Loads = &loads
		}
		p.Files = page.NewFiles(&url.URL{Path: "/setup", RawQuery: setupQuery(p.typed)}, found.BoatName+" set-up", page.TableFile("set-up", found.Table()))
		return nil
	}
	return p.refused(err)
}

// refused takes in what is refused; errors of another kind are returned.
func (p *crewSetPage) refused(err error) error {
	var bad *wire.Invalid
	var stuck *wire.Unreachable
	switch {
	case errors.As(err, &bad):
		for _, f := range bad.Fields {
			p.bad[p.formName(f.Place())] = f.Detail
		}
		// People type the catch without its sign.
		if _, ok := p.bad["catch_deg"]; ok {
			p.bad["catch_deg"] = "A target catch is a plain number from 10 to 85°."
		}
	case errors.As(err, &stuck):
		p.bad[""] = stuck.Text
	default:
		return err
	}
	return nil
}

// formName is the form's name of what stands at a place in the request.
func (p *crewSetPage) formName(at wire.Place) string {
	if i, inner, ok := at.ItemOf(wire.At("crew")); ok && i < len(p.request.Crew) {
		seat := p.request.Crew[i].Seat
		if name := bodyField(inner); name != "" {
			return guestPrefix(seat) + name
		}
		return place(seat)
	}
	if i, _, ok := at.ItemOf(wire.At("by_hand")); ok && i < len(p.request.ByHand) {
		return byHand(p.request.ByHand[i].Seat, p.request.ByHand[i].Setting)
	}
	for _, f := range targetFields {
		if _, inside := at.Under(f.Place()); inside || at.Pointer == f.Place().Pointer {
			return f.Name
		}
	}
	return at.First()
}

// fill builds the form with what was typed in it and the complaint beside each.
func (p *crewSetPage) fill() {
	for i := range p.Boat.Seats {
		p.fillPlace(&p.Boat.Seats[i])
	}
	for _, f := range targetFields {
		p.Targets = append(p.Targets, p.input(f, ""))
	}
	if p.Boat.Class.Coxed {
		cox := p.input(coxField[0], "")
		p.Cox = &cox
	}
	if text, bad := p.bad["oar_set_id"]; bad && p.Oars != nil {
		p.Oars.Problem, p.NewOars = text, ""
		p.Problems = append(p.Problems, page.Problem{Field: "oars", Label: "Oars", Text: text})
		delete(p.bad, "oar_set_id")
	}
	p.Asked = p.asked()
	if p.Plan != nil {
		p.Plan.hands(p)
	}
}

func (p *crewSetPage) fillPlace(seat *fleet.BoatSeat) {
	n := seat.Number
	v := placeView{Number: n, Words: page.SeatWords(p.Boat, seat), Side: seat.Side, SexID: guestPrefix(n) + "sex", Sex: p.typed.Get(guestPrefix(n) + "sex")}
	v.Name = p.input(page.Field{Name: place(n), Label: v.Words}, "")
	for _, f := range page.BodyFields {
		in := p.input(f, guestPrefix(n))
		v.Open = v.Open || in.Value != "" || in.Problem != ""
		v.Guest = append(v.Guest, in)
	}
	p.Places = append(p.Places, v)
}

// input is a field with what was typed and the complaint about it.
func (p *crewSetPage) input(f page.Field, prefix string) page.Input {
	in := page.Input{Field: f, Prefix: prefix, Value: p.typed.Get(prefix + f.Name)}
	if text, bad := p.bad[in.ID()]; bad {
		label := f.Label
		if prefix != "" {
			label = "Seat " + strings.Trim(prefix, "sh_") + ", " + page.LowerFirst(label)
		}
		in.Problem, in.Focus = text, len(p.Problems) == 0
		p.Problems = append(p.Problems, page.Problem{Field: in.ID(), Label: label, Text: text})
		delete(p.bad, in.ID())
	}
	return in
}

// asked reports how the set-up is asked for, in short.
func (p *crewSetPage) asked() string {
	n := len(p.request.Crew)
	text := fmt.Sprintf("%d %s · %s arcs", n, pick(n == 1, "rower", "rowers"), p.Level)
	if p.Light {
		text += ", light"
	}
	if p.Job == "full_rerig" {
		text += " · full re-rig"
	}
	if p.NewOars != "" {
		text += " · " + p.NewOars
	}
	if len(p.request.Only) > 0 {
		text += " · only " + page.LowerFirst(seatList(p.request.Only))
	}
	return text
}

// complain lists what belongs to no field on the page.
func (p *crewSetPage) complain() {
	for _, name := range slices.Sorted(maps.Keys(p.bad)) {
		p.Problems = append(p.Problems, page.Problem{Label: page.ChangeLabel(name), Text: p.bad[name]})
	}
}

// Fields lists every field with its complaint, for the messages beside them.
func (p *crewSetPage) Fields() []page.Input {
	all := slices.Clone(p.Targets)
	if p.Cox != nil {
		all = append(all, *p.Cox)
	}
	for _, v := range p.Places {
		all = append(append(all, v.Name), v.Guest...)
	}
	return all
}

// Only lists the seats that alone are set.
func (p *crewSetPage) Only() []int { return p.request.Only }
