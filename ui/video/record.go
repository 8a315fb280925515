package video

import (
	"errors"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"thole/api/access"
	"thole/api/people"
	"thole/api/records"
	"thole/api/video"
	"thole/api/wire"
	"thole/ui/page"
)

// fillIn offers the seats on record, and fills the figures of the one chosen into the
// form: into all of its fields where that is asked for, else into those that were not
// sent.
func (s *site) fillIn(r *http.Request, p *measurePage, typed url.Values) error {
	boats, err := s.service.Fleet.Boats(r.Context(), records.ListRequest{})
	if err != nil {
		return err
	}
	p.Places = people.SeatChoices(boats.Boats, s.service.Seat.BoatClasses())
	p.Of = typed.Get("athlete")
	if p.Place, err = s.placeOf(r, typed); err != nil {
		return err
	}
	boat, seat, ok := people.SeatAt(p.Place)
	if !ok {
		return nil
	}
	f, err := s.service.Video.SeatFigures(r.Context(), boat, seat, p.Side)
	if errors.Is(err, wire.ErrNotFound) {
		p.Place = ""
		return nil
	}
	if err != nil {
		return err
	}
	p.take(&f, typed, typed.Get("fill") != "")
	return nil
}

// placeOf is the seat that was chosen, or that of the athlete whom the page is opened
// for; athletes are told no seat but their own.
func (s *site) placeOf(r *http.Request, typed url.Values) (string, error) {
	athlete, err := strconv.ParseInt(typed.Get("athlete"), 10, 64)
	if v := access.From(r.Context()); err != nil || typed.Has("place") || v.Role == access.Athlete && v.Athlete != athlete {
		return typed.Get("place"), nil
	}
	boat, seat, err := s.service.Setup.SeatOf(r.Context(), athlete)
	if err != nil || boat == 0 {
		return "", err
	}
	return people.PlaceOf(boat, seat), nil
}

// take puts figures of the record into the fields, and says which. What was sent
// stands unless all is to be filled in.
func (p *measurePage) take(f *video.SeatFigures, typed url.Values, all bool) {
	if all || !typed.Has("kind") {
		p.Kind = f.Kind
	}
	if f.Side != "" && (all || !typed.Has("side")) {
		p.Side = f.Side
	}
	var missing []string
	for _, known := range []struct {
		name  string
		value *float64
	}{{"across_cm", f.AcrossCm}, {"inboard_cm", f.InboardCm}, {"oar_length_cm", f.OarLengthCm}, {"gate_over_water_cm", f.GateOverWaterCm}} {
		at := p.boatField(known.name)
		switch {
		case known.value == nil:
			missing = append(missing, strings.ToLower(at.Label))
		case all || !typed.Has(known.name):
			at.Value = page.Plain(*known.value)
		}
		if known.value != nil && at.Value == page.Plain(*known.value) {
			at.Help = strings.TrimSpace(at.Help + " As on record.")
		}
	}
	p.Filled = "From the record of " + people.SeatName(f.Boat, f.Seat, f.Seats) + "; each can be changed."
	if f.UsualSeat && f.GateOverWaterCm != nil {
		p.Filled += " The seat’s height over the water is the usual one."
	}
	if len(missing) > 0 {
		p.Filled += " Not on record: " + strings.Join(missing, ", ") + "."
	}
}

func (p *measurePage) boatField(name string) *field {
	for i := range p.Boat {
		if p.Boat[i].Name == name {
			return &p.Boat[i]
		}
	}
	panic("ui/video: no field " + name)
}
