package rig

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"thole/api/fleet"
	"thole/api/settings"
	"thole/api/wire"
	"thole/ui/page"
)

// What can be moved at a seat, from where to where.

// theSeat finds the seat that an address names.
func (s *site) theSeat(r *http.Request) (boat fleet.Boat, seat fleet.BoatSeat, err error) {
	if boat, err = s.boatOf(r); err != nil {
		return boat, seat, err
	}
	n := page.PathID(r, "seat")
	if n < 1 || n > int64(len(boat.Seats)) {
		return boat, seat, wire.ErrNotFound
	}
	return boat, boat.Seats[n-1], nil
}

func seatAddress(boat *fleet.Boat, number int) string {
	return fmt.Sprintf("/boats/%d/seats/%d", boat.ID, number)
}

// rangesPage is the form of what can be moved at a seat.
type rangesPage struct {
	*page.RecordForm
	Boat     fleet.Boat
	Seat     fleet.BoatSeat
	Settings []rangeFields
	Signed   []page.Value
}

type rangeFields struct {
	Label  string
	Fields []page.Value
}

func newRangesPage(f *page.RecordForm, boat *fleet.Boat, seat *fleet.BoatSeat) *rangesPage {
	view := &rangesPage{RecordForm: f, Boat: *boat, Seat: *seat}
	f.Address, f.Back = seatAddress(boat, seat.Number)+"/ranges", seatAddress(boat, seat.Number)
	var groups [][]page.Value
	for _, name := range boat.Adjustable() {
		at, unit, label := page.SeatField(seat.Number, name), page.UnitOf(name), page.SettingLabels[name]
		group := rangeFields{label, []page.Value{
			page.NumberField(at+"_min", "From", unit, "", ""), page.NumberField(at+"_max", "To", unit, "", ""),
			page.NumberField(at+"_step", "In steps of", unit, "", ""),
		}}
		view.Settings, groups = append(view.Settings, group), append(groups, group.Fields)
	}
	view.Signed = []page.Value{page.TextField("all", "The same at every seat of this boat", "").As("check"), page.ByField()}
	f.Fill(append(groups, view.Signed)...)
	return view
}

func (s *site) seatRanges(w http.ResponseWriter, r *http.Request) error {
	boat, seat, err := s.theSeat(r)
	if err != nil {
		return s.Fail(w, err)
	}
	typed := url.Values{"by": {page.Who(r)}, "version": {strconv.FormatInt(boat.Version, 10)}}
	for name, a := range seat.Adjust {
		for i, v := range [...]float64{a.Min, a.Max, a.Step} {
			page.SetNumber(typed, page.SeatField(seat.Number, name)+"_"+page.RangeNames[i], &v)
		}
	}
	return s.Pages.Show(w, http.StatusOK, "boat_ranges", newRangesPage(page.NewForm(typed), &boat, &seat))
}

func (s *site) saveSeatRanges(w http.ResponseWriter, r *http.Request) error {
	f := s.Sent(w, r)
	if f == nil {
		return s.Broken(w)
	}
	boat, seat, err := s.theSeat(r)
	if err != nil {
		return s.Fail(w, err)
	}
	adjust := adjustmentsSent(f, &boat, &seat)
	seats := boat.SeatFields()
	for i := range seats {
		if i+1 == seat.Number || f.Ticked("all") {
			seats[i].Adjust = adjust
		}
	}
	page := page.FormPage{Page: "boat_ranges", Part: "boat-ranges", Build: func() (any, error) { return newRangesPage(f, &boat, &seat), nil }}
	return s.Submit(w, r, f, page, func() (string, error) {
		_, err := s.service.Fleet.UpdateBoat(r.Context(), fleet.BoatEdit{ID: boat.ID, Version: f.KnownVersion(), BoatFields: boat.BoatFields, Seats: seats, By: f.Text("by")})
		return seatAddress(&boat, seat.Number), err
	})
}

// adjustmentsSent reads the ranges; a setting without ends is fixed. The cost, which
// only programs set, stays as it was, 1 for a range that is new.
func adjustmentsSent(f *page.RecordForm, boat *fleet.Boat, place *fleet.BoatSeat) map[string]settings.Adjustment {
	adjust := map[string]settings.Adjustment{}
	for _, name := range boat.Adjustable() {
		at := page.SeatField(place.Number, name) + "_"
		var ends [len(page.RangeNames)]*float64
		for i, part := range page.RangeNames {
			ends[i] = f.NumberAt(at+part, wire.At("seats").Item(place.Number-1).Name("adjust").Name(name).Name(part))
		}
		low, high, step := ends[0], ends[1], ends[2]
		switch {
		case low == nil && high == nil:
		case low == nil:
			need(f, at+"min")
		case high == nil:
			need(f, at+"max")
		default:
			a := settings.Adjustment{Min: *low, Max: *high, Step: orElse(step, 0.5), Cost: 1}
			if was, ok := place.Adjust[name]; ok {
				a.Cost = was.Cost
			}
			adjust[name] = a
		}
	}
	return adjust
}

// need complains about an empty field, unless there is a complaint already.
func need(f *page.RecordForm, name string) {
	if _, bad := f.Complaints[name]; !bad {
		f.Complaints[name] = "Give both ends, or neither for what is fixed."
	}
}

func orElse(v *float64, otherwise float64) float64 {
	if v == nil {
		return otherwise
	}
	return *v
}
