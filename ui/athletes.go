package ui

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"thole/api/club"
	"thole/api/records"
	"thole/api/rest"
	"thole/api/seat"
)

// athletePages lists the pages of this area.
func (s *site) athletePages() map[string]handler {
	return map[string]handler{
		"GET /athletes": s.athletes, "GET /athletes/new": s.newAthlete, "POST /athletes": s.addAthlete,
		"GET /athletes/{id}": s.athlete, "GET /athletes/{id}/edit": s.editAthlete, "POST /athletes/{id}": s.saveAthlete,
		"POST /athletes/{id}/measures": s.addMeasures, "GET /athletes/{id}/check": s.checkAthlete,
		"POST /athletes/{id}/tests": s.addErgTest, "GET /athletes/{id}/tests/{test}/remove": s.askRemoveErgTest, "POST /athletes/{id}/tests/{test}/remove": s.removeErgTest,
		"GET /athletes/{id}/remove": s.askRemoveAthlete, "POST /athletes/{id}/remove": s.removeAthlete,
	}
}

// athleteList is the page of all athletes.
type athleteList struct {
	Query    listQuery
	Athletes []athleteLine
}

type athleteLine struct {
	club.AthleteSummary
	Age, Height, Mass, Measured string
	Port, Starboard             bool
	Junior                      bool
}

// adultAge is from when on bodies count as grown, years.
const adultAge = 18

func (s *site) athletes(w http.ResponseWriter, r *http.Request) error {
	q := newListQuery(r)
	list, err := s.service.Club.Athletes(r.Context(), q.request())
	if err != nil {
		return s.fail(w, err)
	}
	view := athleteList{Query: q}
	for _, a := range list.Athletes {
		view.Athletes = append(view.Athletes, athleteLine{
			AthleteSummary: a, Age: age(a.AgeYears), Height: known(a.StatureCm, ""), Mass: known(a.MassKg, ""), Measured: dayOrDash(a.MeasuredOn),
			Port: a.PortCostS != nil, Starboard: a.StarboardCostS != nil, Junior: a.AgeYears != nil && *a.AgeYears < adultAge,
		})
	}
	return s.pages.show(w, http.StatusOK, "athletes", view)
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
	return day(*text)
}

// athletePage is one athlete: the body over time, and the ergometer.
type athletePage struct {
	*recordForm
	Athlete  club.Athlete
	Age      string
	Sides    []entry
	Body     []bodyLine
	Height   *growthChart
	Mass     *growthChart
	Taken    []takenLine
	Columns  []string
	Postures []postureLine
	Changes  []changeView
	Measures []value
	Limbs    []value
	Signed   []value
	Boats    []option
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
	Values          []entry
}

func (s *site) athlete(w http.ResponseWriter, r *http.Request) error {
	page, err := s.athletePage(r, newMeasuresForm(r), newTestForm(r))
	if err != nil {
		return s.fail(w, err)
	}
	return s.pages.show(w, http.StatusOK, "athlete", page)
}

func newMeasuresForm(r *http.Request) *recordForm {
	return newForm(url.Values{"measured_by": {who(r)}, "measured_on": {time.Now().Format(time.DateOnly)}})
}

// athletePage builds the page with its two forms: what is measured, and a test
// on the ergometer.
func (s *site) athletePage(r *http.Request, f *recordForm, test *testForm) (*athletePage, error) {
	ctx, id := r.Context(), pathID(r, "id")
	a, err := s.service.Club.Athlete(ctx, club.AthleteRequest{ID: id})
	if err != nil {
		return nil, err
	}
	taken, err := s.service.Club.Measures(ctx, club.IDRequest{ID: id})
	if err != nil {
		return nil, err
	}
	changes, err := s.service.Club.AthleteChanges(ctx, records.ChangesRequest{ID: id})
	if err != nil {
		return nil, err
	}
	tests, err := s.service.Ergometer.Ergometer(ctx, club.IDRequest{ID: id})
	if err != nil {
		return nil, err
	}
	boats, err := s.service.Club.Boats(ctx, club.ListRequest{})
	if err != nil {
		return nil, err
	}
	view := &athletePage{
		recordForm: f, Athlete: a, Age: age(a.Rower.AgeYears), Sides: sideEntries(&a), Changes: changeViews(changes.Changes),
		Erg: newErgPanel(&tests), NewTest: test,
	}
	view.addMeasures(&taken)
	view.addPostures()
	view.measureFields()
	for _, b := range boats.Boats {
		view.Boats = append(view.Boats, option{strconv.FormatInt(b.ID, 10), b.Name + " · " + b.BoatClass})
	}
	f.Address, f.Back = fmt.Sprintf("/athletes/%d/measures", id), "/athletes"
	f.fill(view.Measures, view.Limbs, view.Signed)
	test.build(id)
	return view, nil
}

func sideEntries(a *club.Athlete) []entry {
	cost := func(v *float64) string {
		switch {
		case v == nil:
			return "not rowed"
		case *v == 0:
			return "yes"
		}
		return plain(*v) + " s slower over 2000 m"
	}
	sculls := "no"
	if a.Sculls {
		sculls = "yes"
	}
	return []entry{{"Port", cost(a.PortCostS)}, {"Starboard", cost(a.StarboardCostS)}, {"Sculls", sculls}}
}

// measured is the value of a body's field, read through the fields of the page
// for one seat.
func measured(f *field, body *club.MeasuredBody) *float64 {
	return *f.at(&seat.SolveRequest{Rower: seat.Rower{
		StatureCm: body.StatureCm, ArmSpanCm: body.ArmSpanCm, SittingHeightCm: body.SittingHeightCm, MassKg: body.MassKg,
		DrawHeightCm: body.DrawHeightCm, SegmentsCm: body.SegmentsCm,
	}})
}

// measuredFields are what can be measured of a body; the age is reckoned.
func measuredFields() []field {
	var list []field
	for _, f := range concat(bodyFields, segmentFields) {
		if f.Name != "age_years" {
			list = append(list, f)
		}
	}
	return list
}

// addMeasures builds the table over time, a column for all that was ever
// measured, and the curves.
func (p *athletePage) addMeasures(list *club.MeasuresList) {
	var columns []field
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
		p.addBody(&f)
	}
	for i := range list.Measures {
		m := &list.Measures[i]
		line := takenLine{Day: day(m.MeasuredOn), By: m.MeasuredBy, Note: m.Note}
		for _, f := range columns {
			line.Values = append(line.Values, known(measured(&f, &m.MeasuredBody), ""))
		}
		p.Taken = append(p.Taken, line)
	}
	p.Height = newGrowthChart("Height", "cm", list.Measures, func(b *club.MeasuredBody) *float64 { return b.StatureCm })
	p.Mass = newGrowthChart("Mass", "kg", list.Measures, func(b *club.MeasuredBody) *float64 { return b.MassKg })
}

// addBody tells the newest of one measure.
func (p *athletePage) addBody(f *field) {
	v := *f.at(&seat.SolveRequest{Rower: p.Athlete.Rower})
	if v == nil {
		return
	}
	p.Body = append(p.Body, bodyLine{f.Label, known(v, f.Unit), day(p.Athlete.MeasuredOn[strings.TrimPrefix(f.Path, "rower.")])})
}

func (p *athletePage) addPostures() {
	for _, found := range []*club.CalibratedPosture{p.Athlete.ScullPosture, p.Athlete.SweepPosture} {
		if found == nil {
			continue
		}
		line := postureLine{Kind: map[string]string{"scull": "Sculling", "sweep": "Sweep"}[found.Kind], Day: day(found.CalibratedOn), Note: found.Note}
		for _, f := range postureFields {
			if v := *f.at(&seat.SolveRequest{Posture: &found.Posture}); v != nil {
				line.Values = append(line.Values, entry{f.Label, known(v, f.Unit)})
			}
		}
		p.Postures = append(p.Postures, line)
	}
}

// measureFields are the fields of the form for a new day.
func (p *athletePage) measureFields() {
	p.Measures = []value{textField("measured_on", "Measured on", "").as("date").needed()}
	for _, f := range bodyFields {
		if f.Name != "age_years" {
			p.Measures = append(p.Measures, numberField(f.Name, f.Label, f.Unit, f.Help, ""))
		}
	}
	for _, f := range segmentFields {
		p.Limbs = append(p.Limbs, numberField(f.Name, f.Label, f.Unit, f.Help, ""))
	}
	by := byField()
	by.Name, by.Path, by.Label, by.Help = "measured_by", "measured_by", "Measured by", "Stands beside the values. Asked once in this browser."
	p.Signed = []value{textField("note", "Note", "Such as: with shoes, after training."), by}
}

// Limbed tells whether the measured limbs are to be unfolded.
func (p *athletePage) Limbed() bool {
	for _, v := range p.Limbs {
		if v.Value != "" || v.Problem != "" {
			return true
		}
	}
	return false
}

func (s *site) addMeasures(w http.ResponseWriter, r *http.Request) error {
	f := s.sent(w, r)
	if f == nil {
		return s.broken(w)
	}
	remember(w, f.text("measured_by"))
	id := pathID(r, "id")
	request := club.NewMeasures{AthleteID: id, MeasuredOn: f.text("measured_on"), MeasuredBody: measuredBody(f), MeasuredBy: f.text("measured_by"), Note: f.text("note")}
	page := formPage{"athlete", "measures-form", func() (any, error) { return s.athletePage(r, f, newTestForm(r)) }}
	return s.submit(w, r, f, page, measureFieldName, func() (string, error) {
		_, err := s.service.Club.AddMeasures(r.Context(), request)
		return fmt.Sprintf("/athletes/%d", id), err
	})
}

// measuredBody reads what was measured.
func measuredBody(f *recordForm) club.MeasuredBody {
	var request seat.SolveRequest
	for _, field := range measuredFields() {
		*field.at(&request) = f.number(field.Name)
	}
	r := &request.Rower
	return club.MeasuredBody{
		StatureCm: r.StatureCm, ArmSpanCm: r.ArmSpanCm, SittingHeightCm: r.SittingHeightCm, MassKg: r.MassKg,
		DrawHeightCm: r.DrawHeightCm, SegmentsCm: r.SegmentsCm,
	}
}

// measureFieldName turns segments_cm.shank into shank_cm.
func measureFieldName(path string) string {
	if segment, ok := strings.CutPrefix(path, "segments_cm."); ok {
		return segment + "_cm"
	}
	return path
}

// checkAthlete leads to the page for one seat with the athlete in a seat of a
// boat, or to the boat where it has no such seat.
func (s *site) checkAthlete(w http.ResponseWriter, r *http.Request) error {
	athlete, err := s.service.Club.Athlete(r.Context(), club.AthleteRequest{ID: pathID(r, "id")})
	if err != nil {
		return s.fail(w, err)
	}
	q := r.URL.Query()
	if q.Get("boat") == "" {
		query := url.Values{}
		if !athlete.Sculls && (athlete.PortCostS != nil || athlete.StarboardCostS != nil) {
			query.Set("class", "8+")
		}
		addRower(query, &athlete, athlete.Sculls)
		http.Redirect(w, r, "/seat?"+query.Encode(), http.StatusSeeOther)
		return nil
	}
	number, err := strconv.Atoi(q.Get("seat"))
	if err != nil {
		number = 1
	}
	address := fmt.Sprintf("/boats/%s/seats/%d/check?athlete=%d", url.PathEscape(q.Get("boat")), number, athlete.ID)
	http.Redirect(w, r, address, http.StatusSeeOther)
	return nil
}

// athleteForm is the page on which an athlete is entered or edited.
type athleteForm struct {
	*recordForm
	Title  string
	Person []value
	Sides  []value
	Signed []value
}

func athleteFormOf(f *recordForm, a *club.Athlete) *athleteForm {
	view := &athleteForm{recordForm: f, Title: "Put an athlete on record", Signed: []value{byField()}}
	view.Person = []value{
		textField("name", "Name", "").needed(),
		textField("birth_date", "Born on", "For the age; people grow until about 18.").as("date"),
		textField("sex", "Fill in missing measures from", "").choose(option{"", "both"}, option{"female", "women"}, option{"male", "men"}),
		textField("note", "Note", "").as("area"),
	}
	view.Sides = []value{
		numberField("port_cost_s", "Port costs", "s", "Over 2000 m against the better side: 0 for that one, empty for a side not rowed.", "not rowed"),
		numberField("starboard_cost_s", "Starboard costs", "s", "The same for starboard.", "not rowed"),
		textField("sculls", "Sculls", "").as("check"),
	}
	f.Address, f.Back = "/athletes", "/athletes"
	if a != nil {
		view.Title, f.Saved = a.Name, true
		f.Address, f.Back = fmt.Sprintf("/athletes/%d", a.ID), fmt.Sprintf("/athletes/%d", a.ID)
		view.Person = append(view.Person, textField("archived", "Put aside", "Left the club: out of the lists, the records kept.").as("check"))
	}
	f.fill(view.Person, view.Sides, view.Signed)
	return view
}

func athleteFieldsSent(f *recordForm) club.AthleteFields {
	return club.AthleteFields{
		Name: f.text("name"), Sex: f.text("sex"), BirthDate: f.optional("birth_date"), PortCostS: f.number("port_cost_s"), StarboardCostS: f.number("starboard_cost_s"),
		Sculls: f.ticked("sculls"), Note: f.text("note"), Archived: f.ticked("archived"),
	}
}

func (s *site) newAthlete(w http.ResponseWriter, r *http.Request) error {
	return s.pages.show(w, http.StatusOK, "athlete_form", athleteFormOf(newForm(url.Values{"by": {who(r)}}), nil))
}

func (s *site) addAthlete(w http.ResponseWriter, r *http.Request) error {
	f := s.sent(w, r)
	if f == nil {
		return s.broken(w)
	}
	request := club.NewAthlete{AthleteFields: athleteFieldsSent(f), By: f.text("by")}
	page := formPage{"athlete_form", "athlete-form", func() (any, error) { return athleteFormOf(f, nil), nil }}
	return s.submit(w, r, f, page, samePath, func() (string, error) {
		a, err := s.service.Club.AddAthlete(r.Context(), request)
		return fmt.Sprintf("/athletes/%d", a.ID), err
	})
}

func (s *site) editAthlete(w http.ResponseWriter, r *http.Request) error {
	a, err := s.service.Club.Athlete(r.Context(), club.AthleteRequest{ID: pathID(r, "id")})
	if err != nil {
		return s.fail(w, err)
	}
	typed := url.Values{"by": {who(r)}, "version": {strconv.FormatInt(a.Version, 10)}, "name": {a.Name}, "sex": {a.Sex}, "note": {a.Note}}
	setText(typed, "birth_date", orEmpty(a.BirthDate))
	setNumber(typed, "port_cost_s", a.PortCostS)
	setNumber(typed, "starboard_cost_s", a.StarboardCostS)
	setTick(typed, "sculls", a.Sculls)
	setTick(typed, "archived", a.Archived)
	return s.pages.show(w, http.StatusOK, "athlete_form", athleteFormOf(newForm(typed), &a))
}

func (s *site) saveAthlete(w http.ResponseWriter, r *http.Request) error {
	f := s.sent(w, r)
	if f == nil {
		return s.broken(w)
	}
	a, err := s.service.Club.Athlete(r.Context(), club.AthleteRequest{ID: pathID(r, "id")})
	if err != nil {
		return s.fail(w, err)
	}
	edit := club.AthleteEdit{ID: a.ID, Version: f.version(), AthleteFields: athleteFieldsSent(f), By: f.text("by")}
	page := formPage{"athlete_form", "athlete-form", func() (any, error) { return athleteFormOf(f, &a), nil }}
	return s.submit(w, r, f, page, samePath, func() (string, error) {
		_, err := s.service.Club.UpdateAthlete(r.Context(), edit)
		return fmt.Sprintf("/athletes/%d", a.ID), err
	})
}

func (s *site) askRemoveAthlete(w http.ResponseWriter, r *http.Request) error {
	a, err := s.service.Club.Athlete(r.Context(), club.AthleteRequest{ID: pathID(r, "id")})
	if err != nil {
		return s.fail(w, err)
	}
	return s.pages.show(w, http.StatusOK, "record_remove", athleteRemoval(&a, ""))
}

func athleteRemoval(a *club.Athlete, problem string) removal {
	return removal{
		Title: "Remove " + a.Name + "?", Problem: problem,
		Text:    "Measures, postures, ergometer tests and recordings go as well, for good, and are wiped from the file; copies made before keep them. To keep them, put the athlete aside instead: edit.",
		Address: fmt.Sprintf("/athletes/%d/remove", a.ID), Back: fmt.Sprintf("/athletes/%d", a.ID),
	}
}

func (s *site) removeAthlete(w http.ResponseWriter, r *http.Request) error {
	id := pathID(r, "id")
	a, err := s.service.Club.Athlete(r.Context(), club.AthleteRequest{ID: id})
	if err != nil {
		return s.fail(w, err)
	}
	_, err = s.service.Club.DeleteAthlete(r.Context(), club.IDRequest{ID: id})
	if p := rest.Explain(err); err != nil && p.Status == http.StatusConflict {
		return s.pages.show(w, p.Status, "record_remove", athleteRemoval(&a, "This athlete raced in a seat-race trial, whose results would mean nothing without. Remove the trial first, or put the athlete aside."))
	}
	if err != nil {
		return s.fail(w, err)
	}
	return saved(w, r, "/athletes")
}
