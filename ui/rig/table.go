package rig

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"thole/api/fleet"
	"thole/api/records"
	"thole/api/wire"
	"thole/rigging"
	"thole/ui/page"
)

// A boat in one table: a row a seat, a column a setting. What is typed was measured;
// what is blank was not, and shows in grey what is calculated with until it is.

// tablePage is the page.
type tablePage struct {
	*page.RecordForm
	Boat    fleet.Boat
	Columns []column
	Rows    []row
	Choices []page.Value // riggers, starts
	Copy    page.Value
	Signed  []page.Value
	Copied  string // the boat whose values were copied
	Sweep   bool
	Said    string // what else can be typed than measures
}

// column is a setting.
type column struct{ Name, Label, Unit, Usual string }

// row is a seat.
type row struct {
	Number int
	Side   page.Value // of sweep
	Both   page.Value
	Cells  []page.Value
}

// Bad lists what is to be mended in a row.
func (r *row) Bad() (list []page.Value) {
	for _, v := range append([]page.Value{r.Side, r.Both}, r.Cells...) {
		if v.Problem != "" || v.Theirs != "" {
			list = append(list, v)
		}
	}
	return list
}

// boatOf is the boat that the address names.
func (s *site) boatOf(r *http.Request) (fleet.Boat, error) {
	return s.service.Fleet.Boat(r.Context(), records.IDRequest{ID: page.PathID(r, "id")})
}

func (s *site) table(w http.ResponseWriter, r *http.Request) error {
	boat, err := s.boatOf(r)
	if err != nil {
		return s.Fail(w, err)
	}
	typed := url.Values{"by": {page.Who(r)}, "version": {strconv.FormatInt(boat.Version, 10)}, "starts": {keepStarts}}
	for i := range boat.Seats {
		fillSeat(typed, &boat, i+1, &boat.Seats[i])
	}
	now := riggersOf(&boat)
	typed.Set("riggers", now)
	typed.Set("riggers_was", now)
	view, err := s.tablePage(r.Context(), page.NewForm(typed), &boat)
	if err != nil {
		return s.Fail(w, err)
	}
	return s.Pages.Show(w, http.StatusOK, "boat_table", view)
}

// fillSeat puts what is known of a seat into the form.
func fillSeat(typed url.Values, boat *fleet.Boat, number int, seat *fleet.BoatSeat) {
	page.SetText(typed, page.SeatField(number, "side"), seat.Side)
	page.SetTick(typed, page.SeatField(number, "can_change_sides"), seat.CanChangeSides)
	for _, name := range boat.Settings() {
		page.SetText(typed, page.SeatField(number, name), shown(boat, seat, name))
	}
}

// shown is what a setting reads at the boat: the stretcher in the boat's own number,
// all else in the setting's unit; "" for what was not measured.
func shown(boat *fleet.Boat, seat *fleet.BoatSeat, name string) string {
	v := seat.Seat.Setting(name)
	if v == nil {
		return ""
	}
	reading := *v
	if ownMark(boat, name) {
		reading = boat.Stretcher.MarkAt(*v, seat.Seat.PlateDeg())
	}
	return strconv.FormatFloat(reading, 'f', -1, 64)
}

// ownMark reports whether a setting is read in the boat's own number.
func ownMark(boat *fleet.Boat, name string) bool {
	return name == "heel_to_pin_cm" && boat.Stretcher != nil
}

// fromMark turns a reading of the boat's own mark into the setting; the plate is that
// of the form, or of the seat.
func fromMark(f *page.RecordForm, boat *fleet.Boat, number int, reading float64) (float64, error) {
	seat := boat.Seats[number-1].Standing()
	if v, ok := page.ParseNumber(f.Text(page.SeatField(number, "plate_angle_deg"))); ok {
		seat.PlateAngleDeg = &v
	}
	return boat.Stretcher.HeelToPinCm(reading, seat.PlateDeg())
}

// tablePage builds the page of what was typed.
func (s *site) tablePage(ctx context.Context, f *page.RecordForm, boat *fleet.Boat) (*tablePage, error) {
	view := &tablePage{RecordForm: f, Boat: *boat, Sweep: !boat.Class.Scull}
	f.AtBoat = boat.AtMark
	f.Address, f.Back, f.Saved = fmt.Sprintf("/boats/%d/table", boat.ID), fmt.Sprintf("/boats/%d", boat.ID), true
	others, err := s.others(ctx, boat)
	if err != nil {
		return nil, err
	}
	view.Columns = columnsOf(boat)
	var like []string
	for _, c := range view.Columns {
		if l := boat.SaidLike(c.Name); l != "" && !ownMark(boat, c.Name) {
			like = append(like, l)
		}
	}
	if len(like) > 0 {
		view.Said = "Counts are taken from where the seat stands: " + strings.Join(like, ", ") + "."
	}
	var groups [][]page.Value
	for i := range boat.Seats {
		view.Rows = append(view.Rows, rowOf(boat, i+1, view.Columns))
	}
	for i := range view.Rows {
		r := &view.Rows[i]
		side := []page.Value{r.Side, r.Both}
		groups = append(groups, side, r.Cells)
	}
	if view.Sweep {
		view.Choices = append(view.Choices, riggersField(boat))
	}
	view.Choices = append(view.Choices, startsField(others))
	copyOptions := append([]page.Option{{Value: "", Label: "choose a boat"}}, others...)
	view.Copy = page.TextField("copy_from", "Copy what was measured from", "").Choose(copyOptions...).As("select")
	view.Signed = []page.Value{page.TextField("why", "Why", "Such as: measured, new riggers."), page.ByField()}
	f.Fill(append(groups, view.Choices, view.Signed)...)
	for i := range view.Rows {
		view.Rows[i].Side, view.Rows[i].Both = groups[2*i][0], groups[2*i][1]
	}
	view.Copy.Value = f.Text("copy_from")
	return view, nil
}

// others are the boats with as many seats of the same kind.
func (s *site) others(ctx context.Context, boat *fleet.Boat) ([]page.Option, error) {
	list, err := s.service.Fleet.Boats(ctx, records.ListRequest{})
	var options []page.Option
	for _, b := range list.Boats {
		class, _ := rigging.ClassByCode(b.BoatClass)
		if b.ID != boat.ID && class.Rowers == boat.Class.Rowers && class.Scull == boat.Class.Scull {
			options = append(options, page.Option{Value: strconv.FormatInt(b.ID, 10), Label: b.Name})
		}
	}
	return options, err
}

// columnsOf are the settings of a boat with the ranges that are usual, as published.
func columnsOf(boat *fleet.Boat) []column {
	var columns []column
	for _, name := range boat.Settings() {
		c := column{name, page.SettingLabels[name], page.UnitOf(name), usualText(boat.BoatClass, name)}
		if ownMark(boat, name) {
			c.Label, c.Unit, c.Usual = "Stretcher, "+boat.Stretcher.Mark+" mark", "cm", ""
			if boat.Stretcher.Mark == "hole" {
				c.Label, c.Unit = "Stretcher", "hole"
			}
		}
		columns = append(columns, c)
	}
	return columns
}

// usualText is the usual range of a setting; "" for none.
func usualText(class, name string) string {
	low, high, ok := fleet.UsualRange(class, name)
	if !ok {
		return ""
	}
	return page.Plain(low) + " to " + page.Plain(high)
}

func rowOf(boat *fleet.Boat, number int, columns []column) row {
	side := page.TextField(page.SeatField(number, "side"), fmt.Sprintf("Side, seat %d", number), "").Choose(page.Option{Value: "port", Label: "port"}, page.Option{Value: "starboard", Label: "starboard"})
	r := row{
		Number: number, Side: side.As("select"),
		Both: page.TextField(page.SeatField(number, "can_change_sides"), fmt.Sprintf("Fits both sides, seat %d", number), "").As("check"),
	}
	for _, c := range columns {
		v := page.NumberField(page.SeatField(number, c.Name), fmt.Sprintf("%s, seat %d", c.Label, number), c.Unit, "", "")
		if start, ok := boat.Seats[number-1].Starts[c.Name]; ok {
			if ownMark(boat, c.Name) {
				start = boat.Stretcher.MarkAt(start, plateOf(boat, number))
			}
			v.Blank = page.Plain(start)
		}
		if boat.SaidLike(c.Name) != "" && !ownMark(boat, c.Name) {
			v.Kind = "said"
		}
		r.Cells = append(r.Cells, v)
	}
	return r
}

// plateOf is the angle of a seat's plate, or what stands in for it.
func plateOf(boat *fleet.Boat, number int) float64 {
	seat := boat.Seats[number-1].Standing()
	return seat.PlateDeg()
}

// saveTable does what the pressed button says: fills or copies, which saves nothing,
// or saves.
func (s *site) saveTable(w http.ResponseWriter, r *http.Request) error {
	f := s.Sent(w, r)
	if f == nil {
		return s.Broken(w)
	}
	boat, err := s.boatOf(r)
	if err != nil {
		return s.Fail(w, err)
	}
	do, of, _ := strings.Cut(f.Text("do"), ":")
	switch do {
	case "fill":
		fillDown(f.Typed, len(boat.Seats), of)
		return s.showAgain(w, r, f, &boat, "")
	case "copy":
		return s.copyFrom(w, r, f, &boat)
	case "sides":
		setSides(f, &boat)
		return s.showAgain(w, r, f, &boat, "")
	}
	request, err := s.tableSent(r.Context(), f, &boat)
	if err != nil {
		return s.Fail(w, err)
	}
	if len(f.Complaints) > 0 { // all that is wrong in one round
		f.Refuse(s.service.Fleet.CheckBoatTable(r.Context(), request))
	}
	form := page.FormPage{Page: "boat_table", Part: "boat-table", Build: func() (any, error) { return s.tablePage(r.Context(), f, &boat) }}
	return s.Submit(w, r, f, form, func() (string, error) {
		_, err := s.service.Fleet.SaveBoatTable(r.Context(), request)
		return fmt.Sprintf("/boats/%d", boat.ID), err
	})
}

// showAgain shows the form with what was filled in; nothing is saved.
func (s *site) showAgain(w http.ResponseWriter, r *http.Request, f *page.RecordForm, boat *fleet.Boat, copied string) error {
	view, err := s.tablePage(r.Context(), f, boat)
	if err != nil {
		return s.Fail(w, err)
	}
	view.Copied = copied
	if r.Header.Get("HX-Request") != "" {
		return s.Pages.Fragment(w, http.StatusOK, "boat_table", "boat-table", view)
	}
	return s.Pages.Show(w, http.StatusOK, "boat_table", view)
}

// fillDown gives the topmost value of a column to the blank seats below it, or to
// all of them where none is blank.
func fillDown(typed url.Values, seats int, setting string) {
	top, value, blank := 0, "", false
	for n := 1; n <= seats; n++ {
		text := strings.TrimSpace(typed.Get(page.SeatField(n, setting)))
		switch {
		case top == 0 && text != "":
			top, value = n, text
		case top > 0 && text == "":
			blank = true
		}
	}
	for n := top + 1; top > 0 && n <= seats; n++ {
		if name := page.SeatField(n, setting); !blank || strings.TrimSpace(typed.Get(name)) == "" {
			typed.Set(name, value)
		}
	}
}

// copyFrom fills blank cells with what was measured at another boat.
func (s *site) copyFrom(w http.ResponseWriter, r *http.Request, f *page.RecordForm, boat *fleet.Boat) error {
	other, ok, err := s.chosen(r.Context(), boat, f.Text("copy_from"))
	if err != nil {
		return s.Fail(w, err)
	}
	if !ok {
		return s.showAgain(w, r, f, boat, "")
	}
	for i := range other.Seats {
		for _, name := range boat.Settings() {
			if field := page.SeatField(i+1, name); f.Text(field) == "" {
				page.SetText(f.Typed, field, shown(boat, &other.Seats[i], name))
			}
		}
	}
	return s.showAgain(w, r, f, boat, other.Name)
}

// chosen is the boat that was chosen among the others.
func (s *site) chosen(ctx context.Context, boat *fleet.Boat, id string) (other fleet.Boat, ok bool, err error) {
	others, err := s.others(ctx, boat)
	if err != nil || !slices.ContainsFunc(others, func(o page.Option) bool { return o.Value == id }) {
		return other, false, err
	}
	n, _ := strconv.ParseInt(id, 10, 64)
	other, err = s.service.Fleet.Boat(ctx, records.IDRequest{ID: n})
	return other, err == nil, err
}

// tableSent reads the form.
func (s *site) tableSent(ctx context.Context, f *page.RecordForm, boat *fleet.Boat) (fleet.BoatTable, error) {
	setSides(f, boat)
	t := fleet.BoatTable{ID: boat.ID, Version: f.KnownVersion(), Seats: boat.SeatFields(), Why: f.Text("why"), By: f.Text("by")}
	starts, err := s.startsSent(ctx, f, boat)
	if err != nil {
		return t, err
	}
	for i := range boat.Seats {
		number, at := i+1, wire.At("seats").Item(i)
		if !boat.Class.Scull {
			side, both := page.SeatField(number, "side"), page.SeatField(number, "can_change_sides")
			f.SetPlace(side, at.Name("side"))
			t.Seats[i].Side, t.Seats[i].CanChangeSides = f.Text(side), f.Ticked(both)
		}
		if starts != nil {
			t.Seats[i].Starts = starts[i]
		}
		t.Rig = append(t.Rig, cellsSent(f, boat, number, len(t.Rig))...)
	}
	return t, nil
}

// cellsSent reads the values of a seat. A value that is known cannot be emptied: the
// boat has it.
func cellsSent(f *page.RecordForm, boat *fleet.Boat, number, before int) (list []fleet.RigSetting) {
	for _, name := range boat.Settings() {
		field := page.SeatField(number, name)
		v := f.Read(field, func(text string) (float64, string) {
			if ownMark(boat, name) {
				return wire.ReadNumber(text)
			}
			return boat.ReadAt(number, name, text)
		})
		_, bad := f.Complaints[field]
		switch known := boat.Seats[number-1].Seat.Setting(name); {
		case v != nil && ownMark(boat, name):
			f.SetPlace(field, wire.At("rig").Item(before+len(list)).Name("value"))
			if known == nil || f.Text(field) != shown(boat, &boat.Seats[number-1], name) {
				heel, err := fromMark(f, boat, number, *v)
				if err != nil {
					f.Complaints[field] = "Say first how the stretchers are read: edit the boat."
					continue
				}
				v = &heel
			} else {
				v = known // as it was, to the last digit
			}
			list = append(list, fleet.RigSetting{Seat: number, Setting: name, Value: v})
		case v != nil:
			f.SetPlace(field, wire.At("rig").Item(before+len(list)).Name("value"))
			list = append(list, fleet.RigSetting{Seat: number, Setting: name, Value: v})
		case !bad && known != nil:
			f.Complaints[field] = "This was measured before, " + page.Known(known, page.UnitOf(name)) + ": enter what it is now."
		}
	}
	return list
}

// Ways to choose what is calculated with until it is measured.
const (
	keepStarts  = "keep"
	noStarts    = "none"
	usualStarts = "usual"
	boatStarts  = "boat:"
)

// startsField chooses what is calculated with until it is measured.
func startsField(others []page.Option) page.Value {
	options := []page.Option{
		{Value: keepStarts, Label: "as it is now"}, {Value: usualStarts, Label: "a usual rig of the class"}, {Value: noStarts, Label: "nothing: measure first"},
	}
	for _, o := range others {
		options = append(options, page.Option{Value: boatStarts + o.Value, Label: "the rig of " + o.Label})
	}
	return page.TextField("starts", "Until it is measured, calculate with", "Shown in grey. Work sheets say “measure” there and move nothing.").Choose(options...).As("select")
}

// startsSent are the values to start from, a map a seat; nil leaves them as they are.
func (s *site) startsSent(ctx context.Context, f *page.RecordForm, boat *fleet.Boat) ([]map[string]float64, error) {
	choice := f.Text("starts")
	if choice == keepStarts || choice == "" {
		return nil, nil
	}
	starts := make([]map[string]float64, len(boat.Seats))
	var other *fleet.Boat
	if id, ok := strings.CutPrefix(choice, boatStarts); ok {
		b, known, err := s.chosen(ctx, boat, id)
		if err != nil {
			return nil, err
		}
		if !known {
			f.Complaints["starts"] = "Choose a boat with as many seats of the same kind."
			return nil, nil
		}
		other = &b
	}
	for i := range starts {
		switch {
		case other != nil:
			starts[i] = fleet.StartsOf(other, i+1)
		case choice == usualStarts:
			starts[i] = fleet.UsualStarts(boat.BoatClass)
		}
	}
	return starts, nil
}
