package ui

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"thole/api/club"
	"thole/api/records"
	"thole/api/wire"
)

// boatPages lists the pages of this area.
func (s *site) boatPages() map[string]handler {
	return map[string]handler{
		"GET /boats": s.boats, "GET /boats/new": s.newBoat, "POST /boats": s.addBoat,
		"GET /boats/{id}": s.boat, "GET /boats/{id}/edit": s.editBoat, "POST /boats/{id}": s.saveBoat,
		"GET /boats/{id}/remove": s.askRemoveBoat, "POST /boats/{id}/remove": s.removeBoat,
		"GET /boats/{id}/seats/{seat}": s.boatSeat, "POST /boats/{id}/seats/{seat}": s.saveSeatRig,
		"GET /boats/{id}/seats/{seat}/ranges": s.seatRanges, "POST /boats/{id}/seats/{seat}/ranges": s.saveSeatRanges,
		"GET /boats/{id}/seats/{seat}/check": s.checkSeat,
		"GET /boats/{id}/history":            s.boatHistory,
		"GET /boats/{id}/history/{change}":   s.askUndo, "POST /boats/{id}/history/{change}": s.undoRig,
	}
}

// boatList is the page of all boats.
type boatList struct {
	Query listQuery
	Boats []boatLine
}

type boatLine struct {
	club.BoatSummary
	ClassName string
	BuiltFor  string
}

func (s *site) boats(w http.ResponseWriter, r *http.Request) error {
	q := newListQuery(r)
	list, err := s.service.Club.Boats(r.Context(), q.request())
	if err != nil {
		return s.fail(w, err)
	}
	view := boatList{Query: q}
	for _, b := range list.Boats {
		view.Boats = append(view.Boats, boatLine{b, s.className(b.BoatClass), known(b.BuiltForKg, "kg")})
	}
	return s.pages.show(w, http.StatusOK, "boats", view)
}

func (s *site) className(code string) string {
	for _, c := range s.service.Seat.BoatClasses() {
		if c.Code == code {
			return c.Name
		}
	}
	return code
}

// boatPage is one boat with its seats.
type boatPage struct {
	Boat    club.Boat
	Drawing hullDrawing
	Figures []entry
	Rows    []rigRow
	Last    []rigHistoryLine
}

// rigRow is one setting of all seats.
type rigRow struct {
	Label, Unit string
	Values      []string
}

func (s *site) boat(w http.ResponseWriter, r *http.Request) error {
	boat, err := s.service.Club.Boat(r.Context(), club.IDRequest{ID: pathID(r, "id")})
	if err != nil {
		return s.fail(w, err)
	}
	history, err := s.service.Club.RigHistory(r.Context(), club.RigHistoryRequest{ID: boat.ID, Limit: 5})
	if err != nil {
		return s.fail(w, err)
	}
	return s.pages.show(w, http.StatusOK, "boat", boatPage{
		Boat: boat, Drawing: newHullDrawing(&boat, 0), Figures: boatFigures(&boat), Rows: rigRows(&boat), Last: rigHistoryLines(&boat, history.Changes),
	})
}

// boatFigures lists the hull's figures, those of the class marked as such.
func boatFigures(b *club.Boat) []entry {
	own := func(v *float64, class float64, unit string) string {
		if v == nil {
			return plain(class) + " " + unit + ", as the class"
		}
		return known(v, unit)
	}
	return []entry{
		{"Hull mass", own(b.HullMassKg, b.Class.MinHullMassKg, "kg")},
		{"Built for rowers of", known(b.BuiltForKg, "kg")},
		{"Waterline length", own(b.WaterlineLengthM, b.Class.WaterlineLengthM, "m")},
		{"Waterline beam", own(b.WaterlineBeamM, b.Class.WaterlineBeamM, "m")},
		{"Seat over the water", own(b.SeatOverWaterCm, b.Class.SeatOverWaterCm, "cm")},
	}
}

func rigRows(b *club.Boat) []rigRow {
	var rows []rigRow
	for _, name := range b.Settings() {
		row := rigRow{Label: settingLabels[name], Unit: unitOf(name)}
		for i := range b.Seats {
			row.Values = append(row.Values, known(b.Seats[i].Seat.Setting(name), ""))
		}
		rows = append(rows, row)
	}
	return rows
}

// boatForm is the page on which a boat is entered or edited.
type boatForm struct {
	*recordForm
	Title  string
	Hull   []value
	Sides  []seatSides
	Sweep  bool
	Signed []value
}

// seatSides is the rigger of one sweep seat in the form.
type seatSides struct {
	Number int
	Fields []value
}

// boatFields are the fields of the hull.
func (s *site) boatFields(isNew bool) []value {
	var classes []option
	for _, c := range s.service.Seat.BoatClasses() {
		classes = append(classes, option{c.Code, c.Code + " · " + c.Name})
	}
	class := textField("boat_class", "Class", "").choose(classes...)
	class.Kind = "select"
	fields := []value{
		textField("name", "Name", "").needed(), class,
		numberField("hull_mass_kg", "Hull mass", "kg", "With riggers and shoes, without oars.", "as the class"),
		numberField("built_for_kg", "Built for rowers of", "kg", "From the builder’s plate.", ""),
		numberField("waterline_length_m", "Waterline length", "m", "", "as the class"),
		numberField("waterline_beam_m", "Waterline beam", "m", "", "as the class"),
		numberField("seat_over_water_cm", "Seat over the water", "cm", "With a crew of the mass it is built for.", "7.5"),
		textField("note", "Note", "").as("area"),
	}
	if !isNew {
		fields = append(fields, textField("archived", "Put aside", "Sold or retired: out of the lists, its history kept.").as("check"))
	}
	return fields
}

// sideFields are the fields of a sweep seat's rigger.
func sideFields(number int) []value {
	name := "seat" + strconv.Itoa(number) + "_"
	return []value{
		textField(name+"side", fmt.Sprintf("Side of seat %d", number), "").choose(option{"port", "port"}, option{"starboard", "starboard"}),
		textField(name+"can_change_sides", "Fits both sides", "").as("check"),
	}
}

func (s *site) newBoat(w http.ResponseWriter, r *http.Request) error {
	f := newForm(url.Values{"by": {who(r)}, "boat_class": {r.URL.Query().Get("class")}})
	return s.pages.show(w, http.StatusOK, "boat_form", s.boatForm(f, nil))
}

// boatForm builds the form of a new boat, or of one that is on record.
func (s *site) boatForm(f *recordForm, boat *club.Boat) *boatForm {
	view := &boatForm{recordForm: f, Title: "Put a boat on record", Hull: s.boatFields(boat == nil), Signed: []value{byField()}}
	f.Address, f.Back = "/boats", "/boats"
	groups := [][]value{view.Hull}
	if boat != nil {
		view.Title = boat.Name
		f.Address, f.Back, f.Saved = fmt.Sprintf("/boats/%d", boat.ID), fmt.Sprintf("/boats/%d", boat.ID), true
		view.Sweep = !boat.Class.Scull
		for i := range boat.Seats {
			if view.Sweep {
				view.Sides = append(view.Sides, seatSides{i + 1, sideFields(i + 1)})
				groups = append(groups, view.Sides[i].Fields)
			}
		}
	}
	f.fill(append(groups, view.Signed)...)
	return view
}

// boatFieldsSent reads the hull's fields.
func boatFieldsSent(f *recordForm) club.BoatFields {
	return club.BoatFields{
		Name: f.text("name"), BoatClass: f.text("boat_class"), HullMassKg: f.number("hull_mass_kg"), BuiltForKg: f.number("built_for_kg"),
		WaterlineLengthM: f.number("waterline_length_m"), WaterlineBeamM: f.number("waterline_beam_m"), SeatOverWaterCm: f.number("seat_over_water_cm"),
		Note: f.text("note"), Archived: f.ticked("archived"),
	}
}

// boatFieldName turns seats[2].side into seat3_side and seats[2].adjust.span_cm.min into
// seat3_span_cm_min; other names are their own.
func boatFieldName(path string) string {
	index, rest, ok := strings.Cut(strings.TrimPrefix(path, "seats["), "].")
	i, err := strconv.Atoi(index)
	if !ok || err != nil {
		return path
	}
	return "seat" + strconv.Itoa(i+1) + "_" + strings.ReplaceAll(strings.TrimPrefix(rest, "adjust."), ".", "_")
}

func (s *site) addBoat(w http.ResponseWriter, r *http.Request) error {
	f := s.sent(w, r)
	if f == nil {
		return s.broken(w)
	}
	request := club.NewBoat{BoatFields: boatFieldsSent(f), By: f.text("by")}
	page := formPage{"boat_form", "boat-form", func() (any, error) { return s.boatForm(f, nil), nil }}
	return s.submit(w, r, f, page, boatFieldName, func() (string, error) {
		boat, err := s.service.Club.AddBoat(r.Context(), request)
		return fmt.Sprintf("/boats/%d", boat.ID), err
	})
}

func (s *site) editBoat(w http.ResponseWriter, r *http.Request) error {
	boat, err := s.service.Club.Boat(r.Context(), club.IDRequest{ID: pathID(r, "id")})
	if err != nil {
		return s.fail(w, err)
	}
	typed := url.Values{"by": {who(r)}, "version": {strconv.FormatInt(boat.Version, 10)}}
	setText(typed, "name", boat.Name)
	setText(typed, "boat_class", boat.BoatClass)
	setNumber(typed, "hull_mass_kg", boat.HullMassKg)
	setNumber(typed, "built_for_kg", boat.BuiltForKg)
	setNumber(typed, "waterline_length_m", boat.WaterlineLengthM)
	setNumber(typed, "waterline_beam_m", boat.WaterlineBeamM)
	setNumber(typed, "seat_over_water_cm", boat.SeatOverWaterCm)
	setText(typed, "note", boat.Note)
	setTick(typed, "archived", boat.Archived)
	for _, seat := range boat.Seats {
		name := "seat" + strconv.Itoa(seat.Number) + "_"
		setText(typed, name+"side", seat.Side)
		setTick(typed, name+"can_change_sides", seat.CanChangeSides)
	}
	return s.pages.show(w, http.StatusOK, "boat_form", s.boatForm(newForm(typed), &boat))
}

// seatFields lists the seats as they are, for an edit that leaves most of them
// alone.
func seatFields(boat *club.Boat) []club.SeatFields {
	var seats []club.SeatFields
	for i := range boat.Seats {
		seats = append(seats, boat.Seats[i].SeatFields)
	}
	return seats
}

func (s *site) saveBoat(w http.ResponseWriter, r *http.Request) error {
	f := s.sent(w, r)
	if f == nil {
		return s.broken(w)
	}
	boat, err := s.service.Club.Boat(r.Context(), club.IDRequest{ID: pathID(r, "id")})
	if err != nil {
		return s.fail(w, err)
	}
	edit := club.BoatEdit{ID: boat.ID, Version: f.version(), BoatFields: boatFieldsSent(f), Seats: seatFields(&boat), By: f.text("by")}
	for i := range edit.Seats {
		if name := "seat" + strconv.Itoa(i+1) + "_"; !boat.Class.Scull {
			edit.Seats[i].Side, edit.Seats[i].CanChangeSides = f.text(name+"side"), f.ticked(name+"can_change_sides")
		}
	}
	page := formPage{"boat_form", "boat-form", func() (any, error) { return s.boatForm(f, &boat), nil }}
	return s.submit(w, r, f, page, boatFieldName, func() (string, error) {
		_, err := s.service.Club.UpdateBoat(r.Context(), edit)
		return fmt.Sprintf("/boats/%d", boat.ID), err
	})
}

func (s *site) askRemoveBoat(w http.ResponseWriter, r *http.Request) error {
	boat, err := s.service.Club.Boat(r.Context(), club.IDRequest{ID: pathID(r, "id")})
	if err != nil {
		return s.fail(w, err)
	}
	return s.pages.show(w, http.StatusOK, "record_remove", removal{
		Title: "Remove " + boat.Name + "?", Text: "The boat goes with the history of its rig and its work sheets, for good. To keep the history, put the boat aside instead: edit it.",
		Address: fmt.Sprintf("/boats/%d/remove", boat.ID), Back: fmt.Sprintf("/boats/%d", boat.ID),
	})
}

func (s *site) removeBoat(w http.ResponseWriter, r *http.Request) error {
	if _, err := s.service.Club.DeleteBoat(r.Context(), club.IDRequest{ID: pathID(r, "id")}); err != nil {
		return s.fail(w, err)
	}
	return saved(w, r, "/boats")
}

// rigHistoryLine is one entry of the history of a rig.
type rigHistoryLine struct {
	club.RigChange
	Label, Was, Now, When string
	Undo                  string // address that takes it back; empty where nothing can
	Back                  bool   // it takes another entry back
}

func rigHistoryLines(boat *club.Boat, changes []club.RigChange) []rigHistoryLine {
	var lines []rigHistoryLine
	for _, c := range changes {
		unit := unitOf(c.Setting)
		l := rigHistoryLine{RigChange: c, Label: settingLabels[c.Setting], Was: known(c.From, unit), Now: known(c.To, unit), When: when(c.At), Back: c.UndoesID != nil}
		if c.Latest && c.From != nil {
			l.Undo = fmt.Sprintf("/boats/%d/history/%d", boat.ID, c.ID)
		}
		lines = append(lines, l)
	}
	return lines
}

// historyPage is the history of a boat's rig and of its record.
type historyPage struct {
	Boat    club.Boat
	Lines   []rigHistoryLine
	Next    string
	Seat    int
	Setting string
	Choices []option
	Records []changeView
}

func (s *site) boatHistory(w http.ResponseWriter, r *http.Request) error {
	boat, err := s.service.Club.Boat(r.Context(), club.IDRequest{ID: pathID(r, "id")})
	if err != nil {
		return s.fail(w, err)
	}
	q := r.URL.Query()
	view := historyPage{Boat: boat, Setting: q.Get("setting")}
	view.Seat, _ = strconv.Atoi(q.Get("seat"))
	before, _ := strconv.ParseInt(q.Get("before"), 10, 64)
	for _, name := range boat.Settings() {
		view.Choices = append(view.Choices, option{name, settingLabels[name]})
	}
	history, err := s.service.Club.RigHistory(r.Context(), club.RigHistoryRequest{ID: boat.ID, Seat: view.Seat, Setting: view.Setting, Before: before})
	if err != nil {
		return s.fail(w, err)
	}
	view.Lines = rigHistoryLines(&boat, history.Changes)
	if history.Next != 0 {
		q.Set("before", strconv.FormatInt(history.Next, 10))
		view.Next = "?" + q.Encode()
	}
	changes, err := s.service.Club.BoatChanges(r.Context(), records.ChangesRequest{ID: boat.ID})
	if err != nil {
		return s.fail(w, err)
	}
	view.Records = changeViews(recordOnly(&boat, changes.Changes))
	return s.pages.show(w, http.StatusOK, "boat_history", view)
}

// recordOnly leaves the changes of the rig out, which have a table of their own.
func recordOnly(boat *club.Boat, changes []wire.RecordChange) []wire.RecordChange {
	settings := boat.Settings()
	return slices.DeleteFunc(changes, func(c wire.RecordChange) bool {
		_, setting, ok := strings.Cut(strings.TrimPrefix(c.What, "seat "), " ")
		return ok && slices.Contains(settings, setting)
	})
}

// undoPage asks before a change of a rig is taken back.
type undoPage struct {
	*recordForm
	Boat   club.Boat
	Line   rigHistoryLine
	Fields []value
}

// undoLine finds the change that an address names.
func (s *site) undoLine(r *http.Request) (boat club.Boat, line rigHistoryLine, err error) {
	if boat, err = s.service.Club.Boat(r.Context(), club.IDRequest{ID: pathID(r, "id")}); err != nil {
		return boat, line, err
	}
	change := pathID(r, "change")
	history, err := s.service.Club.RigHistory(r.Context(), club.RigHistoryRequest{ID: boat.ID, Before: change + 1, Limit: 1})
	if err != nil {
		return boat, line, err
	}
	if len(history.Changes) == 0 || history.Changes[0].ID != change {
		return boat, line, wire.ErrNotFound
	}
	return boat, rigHistoryLines(&boat, history.Changes)[0], nil
}

func (s *site) askUndo(w http.ResponseWriter, r *http.Request) error {
	boat, line, err := s.undoLine(r)
	if err != nil {
		return s.fail(w, err)
	}
	return s.pages.show(w, http.StatusOK, "boat_undo", newUndoPage(newForm(url.Values{"by": {who(r)}}), &boat, line))
}

func newUndoPage(f *recordForm, boat *club.Boat, line rigHistoryLine) *undoPage {
	page := &undoPage{recordForm: f, Boat: *boat, Line: line, Fields: []value{textField("why", "Why", ""), byField()}}
	f.Address, f.Back = fmt.Sprintf("/boats/%d/history/%d", boat.ID, line.ID), fmt.Sprintf("/boats/%d/history", boat.ID)
	f.fill(page.Fields)
	return page
}

func (s *site) undoRig(w http.ResponseWriter, r *http.Request) error {
	f := s.sent(w, r)
	if f == nil {
		return s.broken(w)
	}
	boat, line, err := s.undoLine(r)
	if err != nil {
		return s.fail(w, err)
	}
	page := formPage{"boat_undo", "boat-undo", func() (any, error) { return newUndoPage(f, &boat, line), nil }}
	return s.submit(w, r, f, page, samePath, func() (string, error) {
		_, err := s.service.Club.UndoRig(r.Context(), club.RigUndo{ID: boat.ID, Change: line.ID, Why: f.text("why"), By: f.text("by")})
		return fmt.Sprintf("/boats/%d/history", boat.ID), err
	})
}
