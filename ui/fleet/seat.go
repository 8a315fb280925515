package fleet

import (
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"strconv"

	"thole/api/access"
	"thole/api/club"
	"thole/api/fleet"
	"thole/api/people"
	"thole/api/records"
	"thole/api/seat"
	"thole/api/wire"
	"thole/ui/page"
)

// seatRigPage is one seat of a boat: what was found, and what can be moved.
type seatRigPage struct {
	*page.RecordForm
	Boat      fleet.Boat
	Seat      fleet.BoatSeat
	Drawing   template.HTML
	Rig, More []page.Value
	Signed    []page.Value
	Ranges    []rangeLine
	Athletes  []page.Option // who may be seated by the viewer
	Fixed     bool          // the viewer reads the rig and does not edit it
	Missing   []string
	Before    int // number of the seat towards the bow, 0 for none
	After     int
}

// rangeLine is what one setting can be moved to.
type rangeLine struct{ Label, From, To, Step, Now string }

// theSeat finds the seat that an address names.
func (s *site) theSeat(r *http.Request) (fleet.Boat, fleet.BoatSeat, error) {
	boat, err := s.service.Fleet.Boat(r.Context(), records.IDRequest{ID: page.PathID(r, "id")})
	if err != nil {
		return boat, fleet.BoatSeat{}, err
	}
	n := page.PathID(r, "seat")
	if n < 1 || n > int64(len(boat.Seats)) {
		return boat, fleet.BoatSeat{}, wire.ErrNotFound
	}
	return boat, boat.Seats[n-1], nil
}

// rigFieldsOf are the settings of a boat's seats, as the page for one seat has
// them: the first measures, and the rest.
func rigFieldsOf(boat *fleet.Boat) (first, more []page.Value) {
	a, b := page.FieldsOfRig(boat.Class.Scull)
	plain := func(fields []page.Field) (list []page.Value) {
		for _, f := range fields {
			if f.Name != "seat_over_water_cm" {
				v := page.NumberField(f.Name, f.Label, f.Unit, f.Help, "").Within(seat.Seat{}, wire.At(f.Name))
				if like := boat.SaidLike(f.Name); like != "" {
					v.Help, v.Kind = v.Help+" Or "+like+".", "said"
				}
				list = append(list, v)
			}
		}
		return list
	}
	return plain(a), plain(b)
}

func (s *site) boatSeat(w http.ResponseWriter, r *http.Request) error {
	boat, seat, err := s.theSeat(r)
	if err != nil {
		return s.Fail(w, err)
	}
	typed := url.Values{"by": {page.Who(r)}, "version": {strconv.FormatInt(boat.Version, 10)}}
	for _, name := range boat.Settings() {
		field := page.SeatField(seat.Number, name)
		page.SetNumber(typed, field, seat.Seat.Setting(name))
		if v := r.URL.Query().Get(field); v != "" { // as somebody asked for it
			typed.Set(field, v)
		}
	}
	page.SetText(typed, "why", r.URL.Query().Get("why"))
	page, err := s.seatRigPage(r, page.NewForm(typed), &boat, &seat)
	if err != nil {
		return s.Fail(w, err)
	}
	return s.Pages.Show(w, http.StatusOK, "boat_seat", page)
}

func (s *site) seatRigPage(r *http.Request, f *page.RecordForm, boat *fleet.Boat, seat *fleet.BoatSeat) (*seatRigPage, error) {
	view := &seatRigPage{RecordForm: f, Boat: *boat, Seat: *seat, Drawing: seatDrawing(boat, seat.Number)}
	f.AtBoat = func(number int, heel float64) (said, typed string) {
		said, _ = boat.AtMark(number, heel)
		return said, strconv.FormatFloat(heel, 'f', -1, 64)
	}
	f.Address, f.Back = seatAddress(boat, seat.Number), fmt.Sprintf("/boats/%d", boat.ID)
	view.Rig, view.More = rigFieldsOf(boat)
	for _, group := range [][]page.Value{view.Rig, view.More} {
		for i := range group {
			group[i].Name = page.SeatField(seat.Number, group[i].Name)
		}
	}
	view.Signed = []page.Value{page.TextField("why", "Why", "Such as: measured, new gate, set for a crew."), page.ByField()}
	f.Fill(view.Rig, view.More, view.Signed)
	for _, name := range seat.Missing {
		view.Missing = append(view.Missing, page.LowerFirst(page.SettingLabels[name]))
	}
	view.Before = seat.Number - 1
	if seat.Number < len(boat.Seats) {
		view.After = seat.Number + 1
	}
	view.Ranges = rangeLines(boat, seat)
	athletes, err := s.service.Club.AthleteNames(r.Context())
	if err != nil {
		return nil, err
	}
	viewer := access.From(r.Context())
	for _, a := range athletes {
		if viewer.Owns(a.ID) {
			view.Athletes = append(view.Athletes, page.Option{Value: strconv.FormatInt(a.ID, 10), Label: a.Whole})
		}
	}
	if viewer.Role == access.Athlete {
		owner, err := s.service.Owner(r.Context(), access.Seat, boat.ID, seat.Number)
		if err != nil {
			return nil, err
		}
		view.Fixed = owner == 0 || !viewer.Owns(owner)
	}
	return view, nil
}

func seatAddress(boat *fleet.Boat, number int) string {
	return fmt.Sprintf("/boats/%d/seats/%d", boat.ID, number)
}

func rangeLines(boat *fleet.Boat, seat *fleet.BoatSeat) []rangeLine {
	var lines []rangeLine
	for _, name := range boat.Adjustable() {
		unit := page.UnitOf(name)
		l := rangeLine{Label: page.SettingLabels[name], From: "fixed", Now: page.Known(seat.Seat.Setting(name), unit)}
		if a, ok := seat.Adjust[name]; ok {
			l.From, l.To, l.Step = page.Known(&a.Min, unit), page.Known(&a.Max, unit), page.Known(&a.Step, unit)
		}
		lines = append(lines, l)
	}
	return lines
}

// saveSeatRig enters what was measured at a seat.
func (s *site) saveSeatRig(w http.ResponseWriter, r *http.Request) error {
	f := s.Sent(w, r)
	if f == nil {
		return s.Broken(w)
	}
	boat, seat, err := s.theSeat(r)
	if err != nil {
		return s.Fail(w, err)
	}
	edit := rigEdit(f, &boat, &seat)
	page := page.FormPage{Page: "boat_seat", Part: "boat-seat", Build: func() (any, error) { return s.seatRigPage(r, f, &boat, &seat) }}
	return s.Submit(w, r, f, page, func() (string, error) {
		_, err := s.service.Fleet.UpdateRig(r.Context(), edit)
		return afterRig(f, &boat, &seat), err
	})
}

// rigEdit reads the values of a seat. A value that is known cannot be emptied:
// the boat has it.
func rigEdit(f *page.RecordForm, boat *fleet.Boat, seat *fleet.BoatSeat) fleet.RigEdit {
	edit := fleet.RigEdit{ID: boat.ID, Version: f.KnownVersion(), Why: f.Text("why"), By: f.Text("by")}
	for _, name := range boat.Settings() {
		field := page.SeatField(seat.Number, name)
		f.SetPlace(field, wire.At("settings").Item(len(edit.Settings)).Name("value"))
		v := f.Read(field, func(text string) (float64, string) { return boat.ReadAt(seat.Number, name, text) })
		if v != nil {
			edit.Settings = append(edit.Settings, fleet.RigSetting{Seat: seat.Number, Setting: name, Value: v})
		} else if _, bad := f.Complaints[field]; !bad && seat.Seat.Setting(name) != nil {
			f.Complaints[field] = "This was measured before: enter what it is now."
		}
	}
	return edit
}

// afterRig is where to go on: the next seat, or the boat.
func afterRig(f *page.RecordForm, boat *fleet.Boat, seat *fleet.BoatSeat) string {
	if f.Text("then") == "next" && seat.Number < len(boat.Seats) {
		return seatAddress(boat, seat.Number+1)
	}
	return fmt.Sprintf("/boats/%d", boat.ID)
}

// checkSeat leads to the page for one seat, with the seat's rig and the body of
// an athlete filled in.
func (s *site) checkSeat(w http.ResponseWriter, r *http.Request) error {
	boat, seat, err := s.theSeat(r)
	if err != nil {
		return s.Fail(w, err)
	}
	query := seatQuery(&boat, &seat)
	if id, err := strconv.ParseInt(r.URL.Query().Get("athlete"), 10, 64); err == nil {
		athlete, err := s.service.Club.Athlete(r.Context(), club.AthleteRequest{ID: id})
		if err != nil {
			return s.Fail(w, err)
		}
		page.SetRower(query, &athlete, boat.Class.Scull)
	}
	http.Redirect(w, r, "/seat?"+query.Encode(), http.StatusSeeOther)
	return nil
}

// seatQuery fills the form of the page for one seat with the seat as found.
func seatQuery(boat *fleet.Boat, seat *fleet.BoatSeat) url.Values {
	query := url.Values{"class": {boat.BoatClass}}
	if seat.Side != "" {
		query.Set("side", seat.Side)
	}
	for _, name := range boat.Settings() {
		page.SetNumber(query, name, seat.Seat.Setting(name))
	}
	page.SetNumber(query, "seat_over_water_cm", seat.Seat.SeatOverWaterCm)
	query.Set("boat", people.SeatName(boat.Name, seat.Number, len(boat.Seats)))
	query.Set("at", people.PlaceOf(boat.ID, seat.Number))
	if seat.Blade != "" {
		query.Set("blade", seat.Blade)
	}
	markQuery(query, boat, seat)
	return query
}

// markQuery fills in what the boat's stretchers are read by, and where this one
// stands in that number.
func markQuery(query url.Values, boat *fleet.Boat, found *fleet.BoatSeat) {
	if boat.Stretcher == nil {
		return
	}
	s := boat.Stretcher
	query.Set("mark", s.Mark)
	for name, v := range map[string]*float64{"mark_offset_cm": s.OffsetCm, "mark_toe_cm": s.ToeAlongCm, "mark_pitch_cm": s.HolePitchCm} {
		if wire.Or(v, 0) != 0 {
			page.SetNumber(query, name, v)
		}
	}
	if heel := found.Seat.HeelToPinCm; heel != nil {
		reading := s.MarkAt(*heel, found.Seat.PlateDeg())
		page.SetNumber(query, "heel_to_pin_cm", &reading)
	}
}
