package fleet

import (
	"context"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"thole/api/access"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/rest"
	"thole/api/seat"
	"thole/api/setup"
	"thole/api/wire"
	"thole/ui/page"
)

// boatPages lists the pages of this area.
func (s *site) boatPages() map[string]page.Route {
	return map[string]page.Route{
		"GET /boats": page.For(access.Everyone, s.boats), "GET /boats/new": page.For(access.Staff, s.newBoat), "POST /boats": page.For(access.Staff, s.addBoat),
		"GET /boats/{id}": page.For(access.Everyone, s.boat), "GET /boats/{id}/edit": page.For(access.Staff, s.editBoat), "POST /boats/{id}": page.For(access.Staff, s.saveBoat),
		"GET /boats/{id}/remove": page.For(access.Staff, s.askRemoveBoat), "POST /boats/{id}/remove": page.For(access.Staff, s.removeBoat),
		"GET /boats/{id}/seats/{seat}": page.For(access.Everyone, s.boatSeat), "POST /boats/{id}/seats/{seat}": page.For(access.Staff.OrOwn(access.Seat, "id"), s.saveSeatRig),
		"GET /boats/{id}/seats/{seat}/check":     page.For(access.Staff.OrOwnIn(access.Body, "athlete"), s.checkSeat),
		"GET /boats/{id}/history":                page.For(access.Everyone, s.boatHistory),
		"GET /boats/{id}/history/sheets/{sheet}": page.For(access.Staff, s.askUndoSheet), "POST /boats/{id}/history/sheets/{sheet}": page.For(access.Staff, s.undoSheet),
		"GET /boats/{id}/history/{change}": page.For(access.Staff, s.askUndo), "POST /boats/{id}/history/{change}": page.For(access.Staff, s.undoRig),
	}
}

// boatList is the page of all boats.
type boatList struct {
	Query page.ListQuery
	Boats []boatLine
	Files *page.Files
}

type boatLine struct {
	fleet.BoatSummary
	ClassName string
	BuiltFor  string
}

func (s *site) boats(w http.ResponseWriter, r *http.Request) error {
	q := page.NewListQuery(r)
	list, err := s.service.Fleet.Boats(r.Context(), q.Request())
	if err != nil {
		return s.Fail(w, err)
	}
	view := boatList{Query: q, Files: page.NewFiles(r.URL, "boats", page.FileOf(r.Context(), "boats", "Boats and seats", s.service.Fleet.BoatTable, q.Request()))}
	if sent, err := view.Files.Send(w, r); sent {
		return err
	}
	for _, b := range list.Boats {
		view.Boats = append(view.Boats, boatLine{b, s.className(b.BoatClass), page.Known(b.BuiltForKg, "kg")})
	}
	return s.Pages.Show(w, http.StatusOK, "boats", view)
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
	Files   *page.Files
	Boat    fleet.Boat
	Drawing template.HTML
	Heads   []seatHead
	Oars    *fleet.OarSet     // that it usually goes with
	Differ  string            // where boat and oars do not agree
	Crew    []setup.UsualSeat // who usually rows it, for who may know
	Staff   bool
	Either  string // seats whose rigger fits both sides, in words
	Figures []page.Entry
	Rows    []rigRow
	Last    []rigHistoryLine
}

// rigRow is one setting of all seats.
type rigRow struct {
	Label, Unit string
	Values      []string
}

func (s *site) boat(w http.ResponseWriter, r *http.Request) error {
	boat, err := s.service.Fleet.Boat(r.Context(), records.IDRequest{ID: page.PathID(r, "id")})
	if err != nil {
		return s.Fail(w, err)
	}
	history, err := s.service.Fleet.RigHistory(r.Context(), fleet.RigHistoryRequest{ID: boat.ID, Limit: 5})
	if err != nil {
		return s.Fail(w, err)
	}
	view := boatPage{
		Files: page.NewFiles(r.URL, boat.Name,
			page.FileOf(r.Context(), "seats", "Seats", s.service.Fleet.SeatTable, records.IDRequest{ID: boat.ID}),
			page.FileOf(r.Context(), "history", "Rig history", s.service.Fleet.RigHistoryTable, fleet.RigHistoryRequest{ID: boat.ID})),
		Boat: boat, Drawing: boatDrawing(&boat), Heads: seatHeads(&boat), Either: eitherSide(&boat), Figures: boatFigures(&boat), Rows: rigRows(&boat), Last: rigHistoryLines(&boat, history.Changes),
	}
	if sent, err := view.Files.Send(w, r); sent {
		return err
	}
	if view.Staff = access.From(r.Context()).Role != access.Athlete; view.Staff {
		usual, err := s.service.Setup.UsualCrew(r.Context(), records.IDRequest{ID: boat.ID})
		if err != nil {
			return s.Fail(w, err)
		}
		view.Crew = usual.Seats
	}
	if view.Oars, view.Differ, err = s.service.Fleet.OarsOf(r.Context(), &boat); err != nil {
		return s.Fail(w, err)
	}
	return s.Pages.Show(w, http.StatusOK, "boat", view)
}

// boatFigures lists the hull's figures, those of the class marked as such.
func boatFigures(b *fleet.Boat) []page.Entry {
	own := func(v *float64, class float64, unit string) string {
		if v == nil {
			return page.Plain(class) + " " + unit + ", as the class"
		}
		return page.Known(v, unit)
	}
	return []page.Entry{
		{Label: "Hull mass", Value: own(b.HullMassKg, b.Class.MinHullMassKg, "kg")},
		{Label: "Built for rowers of", Value: page.Known(b.BuiltForKg, "kg")},
		{Label: "Waterline length", Value: own(b.WaterlineLengthM, b.Class.WaterlineLengthM, "m")},
		{Label: "Waterline beam", Value: own(b.WaterlineBeamM, b.Class.WaterlineBeamM, "m")},
		{Label: "Seat height over the water", Value: own(b.SeatOverWaterCm, b.Class.SeatOverWaterCm, "cm")},
		{Label: "Blades", Value: bladeWords[bladeOf(b)]},
		{Label: "Stretcher read at", Value: scaleWords(b.Stretcher)},
	}
}

// bladeWords name the kinds of blade.
var bladeWords = map[string]string{"": "hatchet, as most", "hatchet": "hatchet", "macon": "Macon", "large": "large hatchet", mixedBlades: "differ from seat to seat"}

// scaleWords say how the stretchers are read.
func scaleWords(s *seat.Stretcher) string {
	switch {
	case s == nil:
		return "heel"
	case s.Mark == "hole":
		return "hole, " + page.Plain(wire.Or(s.HolePitchCm, 0)) + " cm apart"
	case wire.Or(s.OffsetCm, 0) == 0:
		return s.Mark
	}
	return s.Mark + ", from " + page.Plain(*s.OffsetCm) + " cm"
}

func rigRows(b *fleet.Boat) []rigRow {
	var rows []rigRow
	for _, name := range b.Settings() {
		row := rigRow{Label: page.SettingLabels[name], Unit: page.UnitOf(name)}
		for i := range b.Seats {
			row.Values = append(row.Values, page.Known(b.Seats[i].Seat.Setting(name), ""))
		}
		rows = append(rows, row)
	}
	return rows
}

// boatForm is the page on which a boat is entered or edited.
type boatForm struct {
	*page.RecordForm
	Title  string
	Hull   []page.Value
	Sides  []seatSides
	Sweep  bool
	Signed []page.Value
}

// seatSides is the rigger of one sweep seat in the form.
type seatSides struct {
	Number int
	Fields []page.Value
}

// boatFields are the fields of the hull.
func (s *site) boatFields(isNew bool, oars []fleet.OarSet) []page.Value {
	var classes []page.Option
	for _, c := range s.service.Seat.BoatClasses() {
		classes = append(classes, page.Option{Value: c.Code, Label: c.Code + " · " + c.Name})
	}
	class := page.TextField("boat_class", "Class", "").Choose(classes...)
	class.Kind = "select"
	fields := []page.Value{
		page.TextField("name", "Name", "").AsNeeded(), class,
		page.NumberField("hull_mass_kg", "Hull mass", "kg", "With riggers and shoes, without oars.", "as the class").Within(fleet.BoatFields{}, wire.At("hull_mass_kg")),
		page.NumberField("built_for_kg", "Built for rowers of", "kg", "From the builder’s plate.", "").Within(fleet.BoatFields{}, wire.At("built_for_kg")),
		page.NumberField("waterline_length_m", "Waterline length", "m", "", "as the class").Within(fleet.BoatFields{}, wire.At("waterline_length_m")),
		page.NumberField("waterline_beam_m", "Waterline beam", "m", "", "as the class").Within(fleet.BoatFields{}, wire.At("waterline_beam_m")),
		page.NumberField("seat_over_water_cm", "Seat height over the water", "cm", "With a crew of the mass it is built for.", "").StandIn(seat.Seat{}, wire.At("seat_over_water_cm")).Within(fleet.BoatFields{}, wire.At("seat_over_water_cm")),
		bladeField(), markField(),
		page.NumberField("stretcher_offset_cm", "Mark reads", "cm", "With the mark on the line of the pins; of holes: line of the pins to the heel in hole 0.", "0"),
		page.NumberField("stretcher_toe_along_cm", "Heel to toe mark", "cm", "Along the plate; only where the toe is read.", ""),
		page.NumberField("stretcher_hole_pitch_cm", "Hole to hole", "cm", "Negative where the numbers grow towards the bow; only where holes are read.", ""),
		oarsField(oars),
		page.NumberField("washer_mm", "Washer under the gate", "mm", "Thickness of one; work sheets then count in them.", "not counted").Within(fleet.BoatFields{}, wire.At("washer_mm")),
		page.NumberField("clam_mm", "Clam on the oar", "mm", "Thickness of one.", "not counted").Within(fleet.BoatFields{}, wire.At("clam_mm")),
		page.NumberField("insert_deg", "Pitch of one insert number", "°", "", "not counted").Within(fleet.BoatFields{}, wire.At("insert_deg")),
		page.TextField("note", "Note", "").As("area"),
	}
	if !isNew {
		fields = append(fields, page.TextField("archived", "Archived", "Sold or retired: out of the lists, its history kept.").As("check"))
	}
	return fields
}

// oarsField chooses the set of oars that a boat goes with.
func oarsField(sets []fleet.OarSet) page.Value {
	options := []page.Option{{Value: "", Label: "none"}}
	for _, o := range sets {
		options = append(options, page.Option{Value: strconv.FormatInt(o.ID, 10), Label: o.Name + " (" + kindWords[o.Kind] + ")"})
	}
	return page.TextField("oar_set_id", "Oars", "A set newly chosen brings its length, inboard and blade to every seat.").Choose(options...).As("select")
}

// bladeField chooses the blades of all seats.
func bladeField() page.Value {
	f := page.TextField("blade", "Blades", "").Choose(
		page.Option{Value: "", Label: "not stated: hatchet"}, page.Option{Value: "hatchet", Label: "hatchet"}, page.Option{Value: "macon", Label: "Macon"},
		page.Option{Value: "large", Label: "large hatchet"}, page.Option{Value: mixedBlades, Label: "differ from seat to seat: keep"})
	f.Kind = "select"
	return f
}

// mixedBlades stands for seats whose blades differ: they are left alone.
const mixedBlades = "mixed"

// bladeOf is what the seats of a boat have.
func bladeOf(boat *fleet.Boat) string {
	for _, s := range boat.Seats {
		if s.Blade != boat.Seats[0].Blade {
			return mixedBlades
		}
	}
	return boat.Seats[0].Blade
}

// setBlades gives every seat the blades chosen in the form.
func setBlades(seats []fleet.SeatFields, chosen string) {
	for i := range seats {
		if chosen != mixedBlades {
			seats[i].Blade = chosen
		}
	}
}

// markField chooses what the stretchers are read by.
func markField() page.Value {
	f := page.TextField("stretcher_mark", "Stretcher read at", "").Choose(
		page.Option{Value: "", Label: "heel, from the line of the pins"}, page.Option{Value: "heel", Label: "heel, from elsewhere"},
		page.Option{Value: "toe", Label: "toe"}, page.Option{Value: "hole", Label: "number of the hole"})
	f.Kind = "select"
	return f
}

// scaleSent reads how the stretchers are read; nil for the heel from the line
// of the pins.
func scaleSent(f *page.RecordForm) *seat.Stretcher {
	scale := &seat.Stretcher{Mark: f.Text("stretcher_mark")}
	f.SetPlace("stretcher_mark", wire.At("stretcher", "mark"))
	for name, to := range map[string]**float64{"offset_cm": &scale.OffsetCm, "toe_along_cm": &scale.ToeAlongCm, "hole_pitch_cm": &scale.HolePitchCm} {
		*to = f.NumberAt("stretcher_"+name, wire.At("stretcher", name))
	}
	if scale.Mark == "" {
		return nil
	}
	return scale
}

// setScale puts how the stretchers are read into the form.
func setScale(typed url.Values, s *seat.Stretcher) {
	if s == nil {
		return
	}
	page.SetText(typed, "stretcher_mark", s.Mark)
	for name, v := range map[string]*float64{"stretcher_offset_cm": s.OffsetCm, "stretcher_toe_along_cm": s.ToeAlongCm, "stretcher_hole_pitch_cm": s.HolePitchCm} {
		if wire.Or(v, 0) != 0 {
			page.SetNumber(typed, name, v)
		}
	}
}

// sideFields are the fields of a sweep seat's rigger.
func sideFields(number int) []page.Value {
	return []page.Value{
		page.TextField(page.SeatField(number, "side"), fmt.Sprintf("Side of seat %d", number), "").Choose(page.Option{Value: "port", Label: "port"}, page.Option{Value: "starboard", Label: "starboard"}),
		page.TextField(page.SeatField(number, "can_change_sides"), "Fits both sides", "").As("check"),
	}
}

func (s *site) newBoat(w http.ResponseWriter, r *http.Request) error {
	f := page.NewForm(url.Values{"by": {page.Who(r)}, "boat_class": {r.URL.Query().Get("class")}})
	return s.showBoatForm(w, r, f, nil)
}

// boatForm builds the form of a new boat, or of one that is on record.
func (s *site) boatForm(ctx context.Context, f *page.RecordForm, boat *fleet.Boat) (*boatForm, error) {
	oars, err := s.service.Fleet.OarSets(ctx, records.ListRequest{})
	if err != nil {
		return nil, err
	}
	view := &boatForm{RecordForm: f, Title: "Add a boat", Hull: s.boatFields(boat == nil, oars.OarSets), Signed: []page.Value{page.ByField()}}
	f.Address, f.Back = "/boats", "/boats"
	groups := [][]page.Value{view.Hull}
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
	f.Fill(append(groups, view.Signed)...)
	return view, nil
}

func (s *site) showBoatForm(w http.ResponseWriter, r *http.Request, f *page.RecordForm, boat *fleet.Boat) error {
	view, err := s.boatForm(r.Context(), f, boat)
	if err != nil {
		return s.Fail(w, err)
	}
	return s.Pages.Show(w, http.StatusOK, "boat_form", view)
}

// boatFieldsSent reads the hull's fields.
func boatFieldsSent(f *page.RecordForm) fleet.BoatFields {
	return fleet.BoatFields{
		Name: f.Text("name"), BoatClass: f.Text("boat_class"), HullMassKg: f.Number("hull_mass_kg"), BuiltForKg: f.Number("built_for_kg"),
		WaterlineLengthM: f.Number("waterline_length_m"), WaterlineBeamM: f.Number("waterline_beam_m"), SeatOverWaterCm: f.Number("seat_over_water_cm"),
		Stretcher: scaleSent(f), OarSetID: oarsSent(f), WasherMm: f.Number("washer_mm"), ClamMm: f.Number("clam_mm"), InsertDeg: f.Number("insert_deg"),
		Note: f.Text("note"), Archived: f.Ticked("archived"),
	}
}

// oarsSent is the set of oars that was chosen; nil for none.
func oarsSent(f *page.RecordForm) *int64 {
	if id, err := strconv.ParseInt(f.Text("oar_set_id"), 10, 64); err == nil {
		return &id
	}
	return nil
}

func (s *site) addBoat(w http.ResponseWriter, r *http.Request) error {
	f := s.Sent(w, r)
	if f == nil {
		return s.Broken(w)
	}
	request := fleet.NewBoat{BoatFields: boatFieldsSent(f), By: f.Text("by")}
	if blade := f.Text("blade"); blade != "" {
		request.Seats = s.service.Fleet.UsualSeats(request.BoatClass)
		setBlades(request.Seats, blade)
	}
	page := page.FormPage{Page: "boat_form", Part: "boat-form", Build: func() (any, error) { return s.boatForm(r.Context(), f, nil) }}
	return s.Submit(w, r, f, page, func() (string, error) {
		boat, err := s.service.Fleet.AddBoat(r.Context(), request)
		return fmt.Sprintf("/boats/%d", boat.ID), err
	})
}

func (s *site) editBoat(w http.ResponseWriter, r *http.Request) error {
	boat, err := s.service.Fleet.Boat(r.Context(), records.IDRequest{ID: page.PathID(r, "id")})
	if err != nil {
		return s.Fail(w, err)
	}
	typed := url.Values{"by": {page.Who(r)}, "version": {strconv.FormatInt(boat.Version, 10)}}
	page.SetText(typed, "name", boat.Name)
	page.SetText(typed, "boat_class", boat.BoatClass)
	page.SetNumber(typed, "hull_mass_kg", boat.HullMassKg)
	page.SetNumber(typed, "built_for_kg", boat.BuiltForKg)
	page.SetNumber(typed, "waterline_length_m", boat.WaterlineLengthM)
	page.SetNumber(typed, "waterline_beam_m", boat.WaterlineBeamM)
	page.SetNumber(typed, "seat_over_water_cm", boat.SeatOverWaterCm)
	page.SetText(typed, "blade", bladeOf(&boat))
	setScale(typed, boat.Stretcher)
	if boat.OarSetID != nil {
		page.SetText(typed, "oar_set_id", strconv.FormatInt(*boat.OarSetID, 10))
	}
	page.SetNumber(typed, "washer_mm", boat.WasherMm)
	page.SetNumber(typed, "clam_mm", boat.ClamMm)
	page.SetNumber(typed, "insert_deg", boat.InsertDeg)
	page.SetText(typed, "note", boat.Note)
	page.SetTick(typed, "archived", boat.Archived)
	for _, seat := range boat.Seats {
		page.SetText(typed, page.SeatField(seat.Number, "side"), seat.Side)
		page.SetTick(typed, page.SeatField(seat.Number, "can_change_sides"), seat.CanChangeSides)
	}
	return s.showBoatForm(w, r, page.NewForm(typed), &boat)
}

// seatPlace is where a seat stands in the edit of a boat.
func seatPlace(number int) wire.Place { return wire.At("seats").Item(number - 1) }

// seatFields lists the seats as they are, for an edit that leaves most of them
// alone.
func seatFields(boat *fleet.Boat) []fleet.SeatFields {
	var seats []fleet.SeatFields
	for i := range boat.Seats {
		seats = append(seats, boat.Seats[i].SeatFields)
	}
	return seats
}

func (s *site) saveBoat(w http.ResponseWriter, r *http.Request) error {
	f := s.Sent(w, r)
	if f == nil {
		return s.Broken(w)
	}
	boat, err := s.service.Fleet.Boat(r.Context(), records.IDRequest{ID: page.PathID(r, "id")})
	if err != nil {
		return s.Fail(w, err)
	}
	edit := fleet.BoatEdit{ID: boat.ID, Version: f.KnownVersion(), BoatFields: boatFieldsSent(f), Seats: seatFields(&boat), By: f.Text("by")}
	setBlades(edit.Seats, f.Text("blade"))
	for i := range edit.Seats {
		if side, both := page.SeatField(i+1, "side"), page.SeatField(i+1, "can_change_sides"); !boat.Class.Scull {
			f.SetPlace(side, seatPlace(i+1).Name("side"))
			f.SetPlace(both, seatPlace(i+1).Name("can_change_sides"))
			edit.Seats[i].Side, edit.Seats[i].CanChangeSides = f.Text(side), f.Ticked(both)
		}
	}
	page := page.FormPage{Page: "boat_form", Part: "boat-form", Build: func() (any, error) { return s.boatForm(r.Context(), f, &boat) }}
	return s.Submit(w, r, f, page, func() (string, error) {
		_, err := s.service.Fleet.UpdateBoat(r.Context(), edit)
		return fmt.Sprintf("/boats/%d", boat.ID), err
	})
}

func (s *site) askRemoveBoat(w http.ResponseWriter, r *http.Request) error {
	boat, err := s.service.Fleet.Boat(r.Context(), records.IDRequest{ID: page.PathID(r, "id")})
	if err != nil {
		return s.Fail(w, err)
	}
	return s.Pages.Show(w, http.StatusOK, "record_remove", page.Removal{
		Title: "Remove " + boat.Name + "?", Text: "The boat goes with the history of its rig and its work sheets, for good. To keep the history, archive the boat instead: edit it.",
		Address: fmt.Sprintf("/boats/%d/remove", boat.ID), Back: fmt.Sprintf("/boats/%d", boat.ID),
	})
}

func (s *site) removeBoat(w http.ResponseWriter, r *http.Request) error {
	if _, err := s.service.Fleet.DeleteBoat(r.Context(), records.IDRequest{ID: page.PathID(r, "id")}); err != nil {
		return s.Fail(w, err)
	}
	return page.Saved(w, r, "/boats")
}

// rigHistoryLine is one entry of the history of a rig.
type rigHistoryLine struct {
	fleet.RigChange
	Label, Was, Now, When string
	Undo                  string // address that takes it back; empty where nothing can
	Back                  bool   // it takes another entry back
	Sheet, Crew           string // the work sheet that it came from, and for whom that was
	SheetLink             string
	UndoSheet             string // address that takes the whole sheet back, on its first line
}

func rigHistoryLines(boat *fleet.Boat, changes []fleet.RigChange) []rigHistoryLine {
	var lines []rigHistoryLine
	for _, c := range changes {
		unit := page.UnitOf(c.Setting)
		l := rigHistoryLine{RigChange: c, Label: page.SettingLabels[c.Setting], Was: page.Known(c.From, unit), Now: page.Known(c.To, unit), When: page.When(c.At), Back: c.UndoesID != nil}
		for text, v := range map[*string]*float64{&l.Was: c.From, &l.Now: c.To} {
			if said, _ := boat.AtMark(c.Seat, wire.Or(v, 0)); v != nil && said != "" && c.Setting == "heel_to_pin_cm" {
				*text = said
			}
		}
		if c.Latest {
			l.Undo = fmt.Sprintf("/boats/%d/history/%d", boat.ID, c.ID)
		}
		lines = append(lines, l)
	}
	return lines
}

// historyPage is the history of a boat's rig and of its record.
type historyPage struct {
	Boat    fleet.Boat
	Lines   []rigHistoryLine
	Next    string
	Seat    int
	Setting string
	Choices []page.Option
	Records []page.ChangeView
	Files   *page.Files
}

func (s *site) boatHistory(w http.ResponseWriter, r *http.Request) error {
	boat, err := s.service.Fleet.Boat(r.Context(), records.IDRequest{ID: page.PathID(r, "id")})
	if err != nil {
		return s.Fail(w, err)
	}
	q := r.URL.Query()
	view := historyPage{Boat: boat, Setting: q.Get("setting")}
	view.Seat, _ = strconv.Atoi(q.Get("seat"))
	before, _ := strconv.ParseInt(q.Get("before"), 10, 64)
	for _, name := range boat.Settings() {
		view.Choices = append(view.Choices, page.Option{Value: name, Label: page.SettingLabels[name]})
	}
	history, err := s.service.Fleet.RigHistory(r.Context(), fleet.RigHistoryRequest{ID: boat.ID, Seat: view.Seat, Setting: view.Setting, Before: before})
	if err != nil {
		return s.Fail(w, err)
	}
	view.Lines = rigHistoryLines(&boat, history.Changes)
	if err := s.addSheets(r.Context(), &boat, view.Lines); err != nil {
		return s.Fail(w, err)
	}
	if history.Next != 0 {
		q.Set("before", strconv.FormatInt(history.Next, 10))
		view.Next = "?" + q.Encode()
	}
	changes, err := s.service.Fleet.BoatChanges(r.Context(), records.ChangesRequest{ID: boat.ID})
	if err != nil {
		return s.Fail(w, err)
	}
	view.Files = page.NewFiles(r.URL, boat.Name+" history",
		page.FileOf(r.Context(), "rig", "Rig", s.service.Fleet.RigHistoryTable, fleet.RigHistoryRequest{ID: boat.ID, Seat: view.Seat, Setting: view.Setting}),
		page.TableFile("record", rest.ChangeTable(changes)))
	if sent, err := view.Files.Send(w, r); sent {
		return err
	}
	view.Records = page.ChangeViews(recordOnly(&boat, changes.Changes))
	return s.Pages.Show(w, http.StatusOK, "boat_history", view)
}

// addSheets says of each line which work sheet it came from and for whom, and
// offers to take a sheet back as a whole while nothing has changed since.
func (s *site) addSheets(ctx context.Context, boat *fleet.Boat, lines []rigHistoryLine) error {
	sheets, err := s.service.Setup.Sheets(ctx, setup.SheetsRequest{BoatID: boat.ID})
	if err != nil {
		return err
	}
	crews := map[int64]string{}
	for _, h := range sheets.Sheets {
		crews[h.ID] = h.LineupName
	}
	offered := map[int64]bool{}
	for i := range lines {
		l := &lines[i]
		if l.SheetID == nil {
			continue
		}
		l.Sheet, l.Crew = fmt.Sprintf("Work sheet %d", *l.SheetID), crews[*l.SheetID]
		l.SheetLink = fmt.Sprintf("/sheets/%d", *l.SheetID)
		if offered[*l.SheetID] {
			continue
		}
		offered[*l.SheetID] = true
		whole, err := s.service.Fleet.SheetChanges(ctx, boat.ID, *l.SheetID)
		if err != nil {
			return err
		}
		if !slices.ContainsFunc(whole, func(c fleet.RigChange) bool { return !c.Latest }) {
			l.UndoSheet = fmt.Sprintf("/boats/%d/history/sheets/%d", boat.ID, *l.SheetID)
		}
	}
	return nil
}

// recordOnly leaves the changes of the rig out, which have a table of their own.
func recordOnly(boat *fleet.Boat, changes []wire.RecordChange) []wire.RecordChange {
	settings := boat.Settings()
	return slices.DeleteFunc(changes, func(c wire.RecordChange) bool {
		return c.Seat != 0 && !c.Ranged() && slices.Contains(settings, c.Field)
	})
}

// undoPage asks before a change of a rig is taken back.
type undoPage struct {
	*page.RecordForm
	Boat   fleet.Boat
	Line   rigHistoryLine
	Fields []page.Value
}

// undoLine finds the change that an address names.
func (s *site) undoLine(r *http.Request) (boat fleet.Boat, line rigHistoryLine, err error) {
	if boat, err = s.service.Fleet.Boat(r.Context(), records.IDRequest{ID: page.PathID(r, "id")}); err != nil {
		return boat, line, err
	}
	change := page.PathID(r, "change")
	history, err := s.service.Fleet.RigHistory(r.Context(), fleet.RigHistoryRequest{ID: boat.ID, Before: change + 1, Limit: 1})
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
		return s.Fail(w, err)
	}
	return s.Pages.Show(w, http.StatusOK, "boat_undo", newUndoPage(page.NewForm(url.Values{"by": {page.Who(r)}}), &boat, line))
}

// sheetUndoPage asks before a work sheet is taken back as a whole.
type sheetUndoPage struct {
	*page.RecordForm
	Boat   fleet.Boat
	Sheet  int64
	Lines  []rigHistoryLine
	Fields []page.Value
}

// sheetUndo builds the page of the sheet that an address names.
func (s *site) sheetUndo(r *http.Request, f *page.RecordForm) (*sheetUndoPage, error) {
	boat, err := s.service.Fleet.Boat(r.Context(), records.IDRequest{ID: page.PathID(r, "id")})
	if err != nil {
		return nil, err
	}
	sheet := page.PathID(r, "sheet")
	changes, err := s.service.Fleet.SheetChanges(r.Context(), boat.ID, sheet)
	if err == nil && len(changes) == 0 {
		err = wire.ErrNotFound
	}
	if err != nil {
		return nil, err
	}
	view := &sheetUndoPage{RecordForm: f, Boat: boat, Sheet: sheet, Lines: rigHistoryLines(&boat, changes), Fields: []page.Value{page.TextField("why", "Why", ""), page.ByField()}}
	f.Address, f.Back = fmt.Sprintf("/boats/%d/history/sheets/%d", boat.ID, sheet), fmt.Sprintf("/boats/%d/history", boat.ID)
	f.Fill(view.Fields)
	return view, nil
}

func (s *site) askUndoSheet(w http.ResponseWriter, r *http.Request) error {
	view, err := s.sheetUndo(r, page.NewForm(url.Values{"by": {page.Who(r)}}))
	if err != nil {
		return s.Fail(w, err)
	}
	return s.Pages.Show(w, http.StatusOK, "boat_undo_sheet", view)
}

func (s *site) undoSheet(w http.ResponseWriter, r *http.Request) error {
	f := s.Sent(w, r)
	if f == nil {
		return s.Broken(w)
	}
	view, err := s.sheetUndo(r, f)
	if err != nil {
		return s.Fail(w, err)
	}
	form := page.FormPage{Page: "boat_undo_sheet", Part: "boat-undo-sheet", Build: func() (any, error) { return s.sheetUndo(r, f) }}
	return s.Submit(w, r, f, form, func() (string, error) {
		_, err := s.service.Fleet.UndoSheet(r.Context(), fleet.SheetUndo{ID: view.Boat.ID, Sheet: view.Sheet, Why: f.Text("why"), By: f.Text("by")})
		return view.Back, err
	})
}

func newUndoPage(f *page.RecordForm, boat *fleet.Boat, line rigHistoryLine) *undoPage {
	page := &undoPage{RecordForm: f, Boat: *boat, Line: line, Fields: []page.Value{page.TextField("why", "Why", ""), page.ByField()}}
	f.Address, f.Back = fmt.Sprintf("/boats/%d/history/%d", boat.ID, line.ID), fmt.Sprintf("/boats/%d/history", boat.ID)
	f.Fill(page.Fields)
	return page
}

func (s *site) undoRig(w http.ResponseWriter, r *http.Request) error {
	f := s.Sent(w, r)
	if f == nil {
		return s.Broken(w)
	}
	boat, line, err := s.undoLine(r)
	if err != nil {
		return s.Fail(w, err)
	}
	page := page.FormPage{Page: "boat_undo", Part: "boat-undo", Build: func() (any, error) { return newUndoPage(f, &boat, line), nil }}
	return s.Submit(w, r, f, page, func() (string, error) {
		_, err := s.service.Fleet.UndoRig(r.Context(), fleet.RigUndo{ID: boat.ID, Change: line.ID, Why: f.Text("why"), By: f.Text("by")})
		return fmt.Sprintf("/boats/%d/history", boat.ID), err
	})
}
