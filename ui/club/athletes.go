package club

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"thole/api/access"
	"thole/api/cells"
	"thole/api/club"
	"thole/api/people"
	"thole/api/progress"
	"thole/api/records"
	"thole/api/rest"
	"thole/api/seat"
	"thole/api/table"
	"thole/api/wire"
	"thole/rigging"
	"thole/ui/page"
)

// athletePages lists the pages of this area.
func (s *site) athletePages() map[string]page.Route {
	return map[string]page.Route{
		"GET /athletes": page.For(access.Staff, s.athletes), "GET /athletes/new": page.For(access.Coaches, s.newAthlete), "POST /athletes": page.For(access.Coaches, s.addAthlete),
		"GET /athletes/{id}": page.For(access.Staff.OrOwn(access.Body, "id"), s.athlete), "GET /athletes/{id}/edit": page.For(access.Coaches, s.editAthlete), "POST /athletes/{id}": page.For(access.Coaches, s.saveAthlete),
		"POST /athletes/{id}/measures": page.For(access.Staff.OrOwn(access.Body, "id"), s.addMeasures), "GET /athletes/{id}/check": page.For(access.Staff.OrOwn(access.Body, "id"), s.checkAthlete),
		"POST /athletes/{id}/tests": page.For(access.Coaches, s.addErgTest), "GET /athletes/{id}/tests/{test}/remove": page.For(access.Coaches, s.askRemoveErgTest), "POST /athletes/{id}/tests/{test}/remove": page.For(access.Coaches, s.removeErgTest),
		"GET /athletes/{id}/privacy": page.For(access.Coaches.OrOwn(access.Body, "id"), s.privacy), "POST /athletes/{id}/consents": page.For(access.Coaches.OrOwn(access.Body, "id"), s.addConsent),
		"GET /athletes/{id}/everything.json": page.For(access.Coaches.OrOwn(access.Body, "id"), s.everything),
		"GET /athletes/{id}/remove":          page.For(access.Coaches, s.askRemoveAthlete), "POST /athletes/{id}/remove": page.For(access.Coaches, s.removeAthlete),
	}
}

// athleteList is the page of all athletes.
type athleteList struct {
	Query    page.ListQuery
	Among    page.SquadChoice
	Athletes []athleteLine
	Page     page.Paging
	Files    *page.Files
}

type athleteLine struct {
	club.AthleteSummary
	Label                       string // tells namesakes apart
	Age, Height, Mass, Measured string
	Port, Starboard             bool
	Junior                      bool
}

func (s *site) athletes(w http.ResponseWriter, r *http.Request) error {
	q := page.NewListQuery(r)
	among, err := page.ChooseSquad(r.Context(), s.service.Club, r.URL.Query().Get(page.Among))
	if err != nil {
		return s.Fail(w, err)
	}
	ask := club.AthleteListRequest{Name: q.Name, Archived: q.Archived, SquadID: among.ID}
	list, err := s.service.Club.AthletesIn(r.Context(), ask)
	if err != nil {
		return s.Fail(w, err)
	}
	tests := page.File{Name: "tests", Title: "Everybody with every test", Make: func() (table.Table, error) { return s.service.Squadfile.Table(r.Context()) }}
	files := append([]page.File{page.FileOf(r.Context(), "athletes", "Athletes", s.service.Club.AthleteTable, ask)}, page.FilesFor(r, access.Coaches, tests)...)
	view, labels := athleteList{Query: q, Among: among, Files: page.NewFiles(r.URL, "athletes", files...)}, list.WholeNames()
	if sent, err := view.Files.Send(w, r); sent {
		return err
	}
	view.Page = page.PageOf(r, len(list.Athletes))
	for _, a := range list.Athletes[view.Page.First-1 : view.Page.Last] {
		view.Athletes = append(view.Athletes, athleteLine{
			AthleteSummary: a, Label: labels[a.ID], Age: age(a.AgeYears), Height: page.Known(a.StatureCm, ""), Mass: page.Known(a.MassKg, ""), Measured: dayOrDash(a.MeasuredOn),
			Port: a.PortCostS != nil, Starboard: a.StarboardCostS != nil, Junior: a.AgeYears != nil && *a.AgeYears < rigging.AdultAge,
		})
	}
	return s.Pages.Show(w, http.StatusOK, "athletes", view)
}

// age writes whole years, as people tell them.
func age(years *float64) string {
	if years == nil {
		return "–"
	}
	return strconv.Itoa(int(*years))
}

func dayOrDash(text *string) string {
	if text == nil {
		return "–"
	}
	return page.Day(*text)
}

// athletePage is one athlete: the body over time, and the ergometer.
type athletePage struct {
	*page.RecordForm
	Athlete  club.Athlete
	Squads   []club.Squad
	Age      string
	Sides    []page.Entry
	Body     []bodyLine
	Height   *growthChart
	Mass     *growthChart
	Taken    []takenLine
	Files    *page.Files
	Columns  []string
	Kinds    []string // of the columns: length or mass
	Postures []postureLine
	Changes  []page.ChangeView
	Measures []page.Value
	Limbs    []page.Value
	Signed   []page.Value
	Places   []people.SeatChoice // seats to check
	Place    string              // the usual one, or that which was asked for
	NoPlace  string              // what is wrong with that which was asked for
	Saved    []savedLine         // seats that were kept
	Send     bool                // there is a boatman with an account
	Own      bool                // the athlete looks
	Boatman  bool                // who looks does not see how athletes pull
	Water    *progress.Progress  // nil without a recording
	Newest   []progress.Outing   // of the recordings, newest first
	Erg      *ergPanel
	NewTest  *testForm
}

// bodyLine is the newest of one measure.
type bodyLine struct{ Label, Value, Day string }

// takenLine is one day's measures, one for each column.
type takenLine struct {
	Day, By, Note string
	Values        []string
}

// postureLine is a calibrated posture.
type postureLine struct {
	Kind, Day, Note string
	Values          []page.Entry
}

func (s *site) athlete(w http.ResponseWriter, r *http.Request) error {
	view, err := s.athletePage(r, s.newMeasuresForm(r), s.newTestForm(r))
	if err != nil {
		return s.Fail(w, err)
	}
	if sent, err := view.Files.Send(w, r); sent {
		return err
	}
	return s.Pages.Show(w, http.StatusOK, "athlete", view)
}

func (s *site) newMeasuresForm(r *http.Request) *page.RecordForm {
	typed := url.Values{"measured_by": {page.Who(r)}, "measured_on": {s.service.Club.Today()}}
	for _, name := range []string{"sitting_height_cm", "arm_cm", "note"} { // as read from a picture
		if v := r.URL.Query().Get(name); v != "" {
			typed.Set(name, v)
		}
	}
	return page.NewForm(typed)
}

// athletePage builds the page with its two forms: what is measured, and a test
// on the ergometer.
func (s *site) athletePage(r *http.Request, f *page.RecordForm, test *testForm) (*athletePage, error) {
	ctx, id := r.Context(), page.PathID(r, "id")
	a, err := s.service.Club.Athlete(ctx, club.AthleteRequest{ID: id})
	if err != nil {
		return nil, err
	}
	taken, err := s.service.Club.Measures(ctx, records.IDRequest{ID: id})
	if err != nil {
		return nil, err
	}
	changes, err := s.service.Club.AthleteChanges(ctx, records.ChangesRequest{ID: id})
	if err != nil {
		return nil, err
	}
	tests, err := s.service.Ergometer.Ergometer(ctx, records.IDRequest{ID: id})
	if err != nil {
		return nil, err
	}
	boats, err := s.service.Fleet.Boats(ctx, records.ListRequest{})
	if err != nil {
		return nil, err
	}
	view := &athletePage{RecordForm: f, Athlete: a, Age: age(a.Rower.AgeYears), Sides: sideEntries(&a)}
	role, files := access.From(ctx).Role, []page.File{page.FileOf(ctx, "measures", "Measures", s.service.Club.MeasureTable, records.IDRequest{ID: id})}
	if role != access.Boatman { // whom scores are no business of, nor the history that holds them
		view.Changes, view.Erg = page.ChangeViews(changes.Changes), newErgPanel(&tests)
		files = append(files, page.FileOf(ctx, "tests", "Ergometer tests", s.service.Ergometer.TestTable, records.IDRequest{ID: id}),
			page.TableFile("history", rest.ChangeTable(changes)))
	}
	if role != access.Boatman && role != access.Athlete {
		view.NewTest = test
	}
	view.Files = page.NewFiles(r.URL, a.Name, files...)
	if err := s.addWater(ctx, view, id); err != nil {
		return nil, err
	}
	squads, err := s.squadList(r)
	if err != nil {
		return nil, err
	}
	for i := range squads {
		if slices.Contains(a.SquadIDs, squads[i].ID) {
			view.Squads = append(view.Squads, squads[i])
		}
	}
	view.addMeasures(&taken)
	view.addPostures()
	view.measureFields()
	view.Own, view.Send = role == access.Athlete, access.From(ctx).SignedIn()
	view.Places = people.SeatChoices(boats.Boats, s.service.Seat.BoatClasses())
	if err := s.addSeats(ctx, view); err != nil {
		return nil, err
	}
	f.Address, f.Back = fmt.Sprintf("/athletes/%d/measures", id), "/athletes"
	f.Fill(view.Measures, view.Limbs, view.Signed)
	test.build(id)
	return view, nil
}

// mostNewest is how many recordings the page lists; our judgement.
const mostNewest = 5

// addWater reports what the athlete's recordings say, to those who train athletes
// and to the athlete.
func (s *site) addWater(ctx context.Context, view *athletePage, id int64) error {
	if view.Boatman = access.From(ctx).Role == access.Boatman; view.Boatman {
		return nil
	}
	p, err := s.service.Progress.Athlete(ctx, progress.AthleteRequest{ID: id})
	if err != nil || len(p.Outings) == 0 {
		return err
	}
	view.Water = &p
	for _, o := range slices.Backward(p.Outings) {
		if len(view.Newest) < mostNewest {
			view.Newest = append(view.Newest, o)
		}
	}
	return nil
}

func sideEntries(a *club.Athlete) []page.Entry {
	cost := func(v *float64) string {
		switch {
		case v == nil:
			return "not rowed"
		case *v == 0:
			return "yes"
		}
		return page.Plain(*v) + " s slower over 2000 m"
	}
	sculls := "no"
	if a.Sculls {
		sculls = "yes"
	}
	list := []page.Entry{{Label: "Port", Value: cost(a.PortCostS)}, {Label: "Starboard", Value: cost(a.StarboardCostS)}, {Label: "Sculls", Value: sculls}}
	if a.Coxes {
		list = append(list, page.Entry{Label: "Coxes", Value: "yes"})
	}
	return list
}

// measured is the value of a body's field, read through the fields of the page
// for one seat.
func measured(f *page.Field, body *club.MeasuredBody) *float64 {
	return *f.At(&seat.SolveRequest{Rower: seat.Rower{
		StatureCm: body.StatureCm, ArmSpanCm: body.ArmSpanCm, SittingHeightCm: body.SittingHeightCm, MassKg: body.MassKg,
		DrawHeightCm: body.DrawHeightCm, SegmentsCm: body.SegmentsCm,
	}})
}

// measuredFields are what can be measured of a body; the age is reckoned.
func measuredFields() []page.Field {
	var list []page.Field
	for _, f := range page.Concat(page.BodyFields, page.SegmentFields) {
		if f.Name != "age_years" {
			list = append(list, f)
		}
	}
	return list
}

// addMeasures builds the table over time, a column for all that was ever
// measured, and the curves.
func (p *athletePage) addMeasures(list *club.MeasuresList) {
	var columns []page.Field
	for _, f := range measuredFields() {
		for i := range list.Measures {
			if measured(&f, &list.Measures[i].MeasuredBody) != nil {
				columns = append(columns, f)
				break
			}
		}
	}
	for _, f := range columns {
		p.Columns = append(p.Columns, f.Label+" "+f.Unit)
		p.Kinds = append(p.Kinds, map[string]string{"cm": "length", "kg": "mass"}[f.Unit])
		p.addBody(&f)
	}
	for i := range list.Measures {
		m := &list.Measures[i]
		line := takenLine{Day: page.Day(m.MeasuredOn), By: m.MeasuredBy, Note: m.Note}
		for _, f := range columns {
			line.Values = append(line.Values, page.Known(measured(&f, &m.MeasuredBody), ""))
		}
		p.Taken = append(p.Taken, line)
	}
	p.Height = newGrowthChart("Height", "cm", list.Measures, func(b *club.MeasuredBody) *float64 { return b.StatureCm })
	p.Mass = newGrowthChart("Mass", "kg", list.Measures, func(b *club.MeasuredBody) *float64 { return b.MassKg })
}

// addBody describes the newest of one measure.
func (p *athletePage) addBody(f *page.Field) {
	v := *f.At(&seat.SolveRequest{Rower: p.Athlete.Rower})
	if v == nil {
		return
	}
	p.Body = append(p.Body, bodyLine{f.Label, page.Known(v, f.Unit), page.Day(p.Athlete.MeasuredOn[strings.TrimPrefix(f.Path, "rower.")])})
}

func (p *athletePage) addPostures() {
	for _, found := range []*club.CalibratedPosture{p.Athlete.ScullPosture, p.Athlete.SweepPosture} {
		if found == nil {
			continue
		}
		line := postureLine{Kind: map[string]string{"scull": "Sculling", "sweep": "Sweep"}[found.Kind], Day: page.Day(found.CalibratedOn), Note: found.Note}
		for _, f := range page.PostureFields {
			if v := *f.At(&seat.SolveRequest{Posture: &found.Posture}); v != nil {
				line.Values = append(line.Values, page.Entry{Label: f.Label, Value: page.Known(v, f.Unit)})
			}
		}
		p.Postures = append(p.Postures, line)
	}
}

// measureFields are the fields of the form for a new day.
func (p *athletePage) measureFields() {
	p.Measures = []page.Value{page.TextField("measured_on", "Measured on", "").As("date").AsNeeded()}
	for _, f := range page.BodyFields {
		if f.Name != "age_years" {
			p.Measures = append(p.Measures, bodyField(&f))
		}
	}
	for _, f := range page.SegmentFields {
		p.Limbs = append(p.Limbs, bodyField(&f))
	}
	by := page.ByField()
	by.Name, by.Path, by.Label, by.Help = "measured_by", "measured_by", "Measured by", "Kept with the values. Asked once in this browser."
	p.Signed = []page.Value{page.TextField("note", "Note", "Such as: with shoes, after training."), by}
}

// bodyField asks for one measure of a body.
func bodyField(f *page.Field) page.Value {
	return page.NumberField(f.Name, f.Label, f.Unit, f.Help, "").Within(club.MeasuredBody{}, measurePlace(f))
}

// measurePlace is where a measure stands among those of a day.
func measurePlace(f *page.Field) wire.Place {
	at, _ := f.Place().Under(wire.At("rower"))
	return at
}

// Limbed reports whether the measured limbs are to be unfolded.
func (p *athletePage) Limbed() bool {
	for _, v := range p.Limbs {
		if v.Value != "" || v.Problem != "" {
			return true
		}
	}
	return false
}

func (s *site) addMeasures(w http.ResponseWriter, r *http.Request) error {
	f := s.Sent(w, r)
	if f == nil {
		return s.Broken(w)
	}
	page.Remember(w, f.Text("measured_by"))
	id := page.PathID(r, "id")
	request := club.NewMeasures{AthleteID: id, MeasuredOn: f.Text("measured_on"), MeasuredBody: measuredBody(f), MeasuredBy: f.Text("measured_by"), Note: f.Text("note")}
	page := page.FormPage{Page: "athlete", Part: "measures-form", Build: func() (any, error) { return s.athletePage(r, f, s.newTestForm(r)) }}
	return s.Submit(w, r, f, page, func() (string, error) {
		_, err := s.service.Club.AddMeasures(r.Context(), request)
		return fmt.Sprintf("/athletes/%d", id), err
	})
}

// measuredBody reads what was measured.
func measuredBody(f *page.RecordForm) club.MeasuredBody {
	var request seat.SolveRequest
	for _, field := range measuredFields() {
		*field.At(&request) = f.NumberAt(field.Name, measurePlace(&field))
	}
	r := &request.Rower
	return club.MeasuredBody{
		StatureCm: r.StatureCm, ArmSpanCm: r.ArmSpanCm, SittingHeightCm: r.SittingHeightCm, MassKg: r.MassKg,
		DrawHeightCm: r.DrawHeightCm, SegmentsCm: r.SegmentsCm,
	}
}

// athleteForm is the page on which an athlete is entered or edited.
type athleteForm struct {
	*page.RecordForm
	Title  string
	Person []page.Value
	Body   []page.Value
	Sides  []page.Value
	Costs  []page.Value
	Squads []page.Value
	More   []page.Value
	Signed []page.Value
}

func athleteFormOf(f *page.RecordForm, a *club.Athlete, squads []club.Squad) *athleteForm {
	view := &athleteForm{RecordForm: f, Title: "Add an athlete", Signed: []page.Value{page.ByField()}}
	f.SetPlace("family_name", wire.At("name"))
	f.SetPlace("born", wire.At("birth_date"))
	view.Person = []page.Value{
		page.TextField("given_name", "Given name", ""),
		page.TextField("family_name", "Family name", ""),
		page.TextField("born", "Born", "The day or the year: 27.3.2004, 2004-03-27 or 2004."),
		page.TextField("sex", "Sex", "Used to estimate what was not measured.").Choose(
			page.Option{Value: "female", Label: "female"}, page.Option{Value: "male", Label: "male"}, page.Option{Value: "", Label: "not stated"}),
	}
	for _, name := range []string{"stature_cm", "arm_span_cm", "mass_kg"} {
		i := slices.IndexFunc(page.BodyFields, func(b page.Field) bool { return b.Name == name })
		v := bodyField(&page.BodyFields[i])
		f.SetPlace(name, wire.At("measures", name))
		view.Body = append(view.Body, v)
	}
	view.Sides = []page.Value{
		page.TextField("port", "Port", "").As("check"), page.TextField("starboard", "Starboard", "").As("check"),
		page.TextField("sculls", "Sculls", "").As("check"), page.TextField("coxes", "Coxes", "").As("check"),
	}
	view.Costs = []page.Value{
		page.NumberField("port_cost_s", "Port costs", "s", "Over 2000 m against the better side, if that can be told.", "").Within(club.AthleteFields{}, wire.At("port_cost_s")),
		page.NumberField("starboard_cost_s", "Starboard costs", "s", "The same for starboard.", "").Within(club.AthleteFields{}, wire.At("starboard_cost_s")),
	}
	for i := range squads {
		view.Squads = append(view.Squads, page.TextField(squadTick(squads[i].ID), squads[i].Name, "").As("check"))
	}
	view.Squads = append(view.Squads, page.TextField("new_squad", "Another squad", "A new one, such as under-18 women."))
	view.More = []page.Value{page.TextField("note", "Note", "").As("area")}
	f.Address, f.Back = "/athletes", "/athletes"
	if a != nil {
		view.Title, f.Saved = a.Name, true
		f.Address, f.Back = fmt.Sprintf("/athletes/%d", a.ID), fmt.Sprintf("/athletes/%d", a.ID)
		view.More = append(view.More, page.TextField("archived", "Archived", "Left the club: out of the lists, the records kept.").As("check"))
	}
	f.Fill(view.Person, view.Body, view.Sides, view.Costs, view.Squads, view.More, view.Signed)
	return view
}

// squadTick names the box of a squad.
func squadTick(id int64) string { return "squad_" + strconv.FormatInt(id, 10) }

// Preferred reports whether the preference of a side is to be unfolded.
func (v *athleteForm) Preferred() bool {
	return slices.ContainsFunc(v.Costs, func(c page.Value) bool { return c.Value != "" || c.Problem != "" })
}

func athleteFieldsSent(f *page.RecordForm, squads []club.Squad, today string) club.AthleteFields {
	a := club.AthleteFields{
		Name: f.Text("name"), GivenName: f.Text("given_name"), FamilyName: f.Text("family_name"), Sex: f.Text("sex"),
		PortCostS: sideSent(f, "port"), StarboardCostS: sideSent(f, "starboard"),
		Sculls: f.Ticked("sculls"), Coxes: f.Ticked("coxes"), SquadIDs: []int64{}, Note: f.Text("note"), Archived: f.Ticked("archived"),
	}
	if born := f.Text("born"); len(born) == len("2004") && page.IsCount(born) {
		year, _ := strconv.ParseInt(born, 10, 64)
		a.BirthYear = &year
	} else if born != "" {
		day := dayTyped(f, "born", born, today)
		a.BirthDate = &day
	}
	for i := range squads {
		if f.Ticked(squadTick(squads[i].ID)) {
			a.SquadIDs = append(a.SquadIDs, squads[i].ID)
		}
	}
	if name := f.Text("new_squad"); name != "" {
		a.NewSquads = []string{name}
	}
	return a
}

// dayTyped is a day as the records write it, where it can be read in one way; where
// it can be read in two, the field says so.
func dayTyped(f *page.RecordForm, field, text, today string) string {
	day, both, complaint := cells.Day(text, "", today)
	switch {
	case both:
		f.Complaints[field] = "The day or the month may come first here: write it as year-month-day, such as 2004-03-27."
	case complaint == "":
		return day
	}
	return text
}

// sideSent is what a side costs that is ticked; nil for one that is not rowed.
func sideSent(f *page.RecordForm, side string) *float64 {
	cost := f.Number(side + "_cost_s")
	switch {
	case !f.Ticked(side):
		return nil
	case cost == nil:
		return new(float64)
	}
	return cost
}

// measuresSent are the measures of the form that are not as they stand on record;
// nil for none.
func measuresSent(f *page.RecordForm, a *club.Athlete) *club.MeasuredBody {
	var body, known club.MeasuredBody
	if a != nil {
		known.StatureCm, known.ArmSpanCm, known.MassKg = a.Rower.StatureCm, a.Rower.ArmSpanCm, a.Rower.MassKg
	}
	for _, m := range []struct {
		name     string
		into, is **float64
	}{{"stature_cm", &body.StatureCm, &known.StatureCm}, {"arm_span_cm", &body.ArmSpanCm, &known.ArmSpanCm}, {"mass_kg", &body.MassKg, &known.MassKg}} {
		if v := f.NumberAt(m.name, wire.At("measures", m.name)); v != nil && (*m.is == nil || **m.is != *v) {
			*m.into = v
		}
	}
	if body == (club.MeasuredBody{}) {
		return nil
	}
	return &body
}

// squads lists the squads, for the forms.
func (s *site) squadList(r *http.Request) ([]club.Squad, error) {
	all, err := s.service.Club.Squads(r.Context(), struct{}{})
	return all.Squads, err
}

func (s *site) newAthlete(w http.ResponseWriter, r *http.Request) error {
	squads, err := s.squadList(r)
	if err != nil {
		return err
	}
	typed := url.Values{"by": {page.Who(r)}}
	if among := r.URL.Query().Get(page.Among); among != "" {
		typed.Set("squad_"+among, "true")
	}
	return s.Pages.Show(w, http.StatusOK, "athlete_form", athleteFormOf(page.NewForm(typed), nil, squads))
}

func (s *site) addAthlete(w http.ResponseWriter, r *http.Request) error {
	f := s.Sent(w, r)
	if f == nil {
		return s.Broken(w)
	}
	squads, err := s.squadList(r)
	if err != nil {
		return err
	}
	request := club.NewAthlete{AthleteFields: athleteFieldsSent(f, squads, s.service.Club.Today()), Measures: measuresSent(f, nil), By: f.Text("by")}
	another := f.Text("then") == "another"
	page := page.FormPage{Page: "athlete_form", Part: "athlete-form", Build: func() (any, error) { return athleteFormOf(f, nil, squads), nil }}
	return s.Submit(w, r, f, page, func() (string, error) {
		a, err := s.service.Club.AddAthlete(r.Context(), request)
		if another {
			return "/athletes/new", err
		}
		return fmt.Sprintf("/athletes/%d", a.ID), err
	})
}

func (s *site) editAthlete(w http.ResponseWriter, r *http.Request) error {
	a, err := s.service.Club.Athlete(r.Context(), club.AthleteRequest{ID: page.PathID(r, "id")})
	if err != nil {
		return s.Fail(w, err)
	}
	typed := url.Values{"by": {page.Who(r)}, "version": {strconv.FormatInt(a.Version, 10)}, "given_name": {a.GivenName}, "family_name": {a.FamilyName}, "sex": {a.Sex}, "note": {a.Note}}
	squads, err := s.squadList(r)
	if err != nil {
		return err
	}
	page.SetText(typed, "born", page.OrEmpty(a.BirthDate))
	if a.BirthYear != nil {
		page.SetText(typed, "born", strconv.FormatInt(*a.BirthYear, 10))
	}
	page.SetNumber(typed, "stature_cm", a.Rower.StatureCm)
	page.SetNumber(typed, "arm_span_cm", a.Rower.ArmSpanCm)
	page.SetNumber(typed, "mass_kg", a.Rower.MassKg)
	for side, cost := range map[string]*float64{"port": a.PortCostS, "starboard": a.StarboardCostS} {
		page.SetTick(typed, side, cost != nil)
		if cost != nil && *cost > 0 {
			page.SetNumber(typed, side+"_cost_s", cost)
		}
	}
	page.SetTick(typed, "sculls", a.Sculls)
	page.SetTick(typed, "coxes", a.Coxes)
	page.SetTick(typed, "archived", a.Archived)
	for _, id := range a.SquadIDs {
		page.SetTick(typed, squadTick(id), true)
	}
	return s.Pages.Show(w, http.StatusOK, "athlete_form", athleteFormOf(page.NewForm(typed), &a, squads))
}

func (s *site) saveAthlete(w http.ResponseWriter, r *http.Request) error {
	f := s.Sent(w, r)
	if f == nil {
		return s.Broken(w)
	}
	a, err := s.service.Club.Athlete(r.Context(), club.AthleteRequest{ID: page.PathID(r, "id")})
	if err != nil {
		return s.Fail(w, err)
	}
	squads, err := s.squadList(r)
	if err != nil {
		return err
	}
	edit := club.AthleteEdit{ID: a.ID, Version: f.KnownVersion(), AthleteFields: athleteFieldsSent(f, squads, s.service.Club.Today()), Measures: measuresSent(f, &a), By: f.Text("by")}
	page := page.FormPage{Page: "athlete_form", Part: "athlete-form", Build: func() (any, error) { return athleteFormOf(f, &a, squads), nil }}
	return s.Submit(w, r, f, page, func() (string, error) {
		_, err := s.service.Club.UpdateAthlete(r.Context(), edit)
		return fmt.Sprintf("/athletes/%d", a.ID), err
	})
}

func (s *site) askRemoveAthlete(w http.ResponseWriter, r *http.Request) error {
	a, err := s.service.Club.Athlete(r.Context(), club.AthleteRequest{ID: page.PathID(r, "id")})
	if err != nil {
		return s.Fail(w, err)
	}
	return s.Pages.Show(w, http.StatusOK, "record_remove", athleteRemoval(&a, ""))
}

func athleteRemoval(a *club.Athlete, problem string) page.Removal {
	return page.Removal{
		Title: "Remove " + a.Name + "?", Problem: problem,
		Text: "Measures, postures, ergometer tests, recordings, the account and the history go as well, for good, and are wiped from the file; backups made before keep them until they expire. " +
			"In seat races somebody without a name takes the place. To keep everything, archive the athlete instead.",
		Address: fmt.Sprintf("/athletes/%d/remove", a.ID), Back: fmt.Sprintf("/athletes/%d", a.ID),
	}
}

func (s *site) removeAthlete(w http.ResponseWriter, r *http.Request) error {
	id := page.PathID(r, "id")
	a, err := s.service.Club.Athlete(r.Context(), club.AthleteRequest{ID: id})
	if err != nil {
		return s.Fail(w, err)
	}
	gone, err := s.service.Club.DeleteAthlete(r.Context(), records.IDRequest{ID: id})
	if p := rest.Explain(err); err != nil && p.Status == http.StatusConflict {
		return s.Pages.Show(w, p.Status, "record_remove", athleteRemoval(&a, "This is somebody without a name, whom a seat race needs. Remove the race first."))
	}
	if err != nil {
		return s.Fail(w, err)
	}
	if gone.Traces {
		return s.Pages.Show(w, http.StatusOK, "message", page.Message{
			Title: a.Name + " is removed", Text: "Traces may still be in the server’s file; wiping it failed and is tried again every few minutes. The page Server tells when it is done.",
		})
	}
	return page.Saved(w, r, "/athletes")
}
