package season

import (
	"context"
	"fmt"
	"net/url"

	"thole/api/people"
	"thole/api/records"
	"thole/api/setup"
	"thole/api/wire"
)

// sheets: the light single was set for Sanna three weeks ago, and the quad is half
// done for the women's crew since yesterday.
func (f *filling) sheets(ctx context.Context) error {
	done, err := f.sheet(ctx, 21, "Wren", "After the winter.", "Sanna Pirkola")
	if err != nil {
		return err
	}
	if err := f.measure(ctx, 20, &done, len(done.Seats)); err != nil {
		return err
	}
	boat, err := f.ago(20).fleet.Boat(ctx, records.IDRequest{ID: done.BoatID})
	if err != nil {
		return err
	}
	if _, err := f.ago(20).setup.FinishSheet(ctx, setup.FinishRequest{SheetID: done.ID, BoatVersion: boat.Version, By: boatman}); err != nil {
		return fmt.Errorf("finishing the sheet of %s: %w", boat.Name, err)
	}
	half, err := f.sheet(ctx, 1, "Kestrel", "For the head of the lake.", "Lotte Brandvold", "Maeve Tarrant", "Chiamaka Obiora", "Ingrid Sollberg")
	if err != nil {
		return err
	}
	return f.measure(ctx, 0, &half, 2)
}

// sheet makes a work sheet for a crew, bow first.
func (f *filling) sheet(ctx context.Context, ago int, name, note string, crew ...string) (setup.Sheet, error) {
	then := f.ago(ago)
	boat, err := then.fleet.Boat(ctx, records.IDRequest{ID: f.boats[name]})
	if err != nil {
		return setup.Sheet{}, err
	}
	ask := setup.NewSheet{BoatID: boat.ID, BoatVersion: boat.Version, Note: note, By: coach}
	for i, who := range crew {
		ask.Crew = append(ask.Crew, setup.CrewPlace{Seat: i + 1, AthleteID: wire.Ptr(f.ids[who])})
	}
	h, err := then.setup.AddSheet(ctx, ask)
	if err != nil {
		return h, fmt.Errorf("sheet of %s: %w", name, err)
	}
	return h, nil
}

// measure types what was set at the first seats of a sheet: the targets.
func (f *filling) measure(ctx context.Context, ago int, h *setup.Sheet, seats int) error {
	for _, place := range h.Seats[:seats] {
		for i := range place.Lines {
			l := &place.Lines[i]
			ask := setup.NewReading{SheetID: h.ID, Key: fmt.Sprintf("demo-%d-%d-%s", h.ID, l.Seat, l.Setting), Seat: l.Seat, Setting: l.Setting, Value: wire.Ptr(l.Target), By: boatman}
			if _, err := f.ago(ago).setup.RecordReading(ctx, ask); err != nil {
				return fmt.Errorf("%s of seat %d: %w", l.Setting, l.Seat, err)
			}
		}
	}
	return nil
}

// waiting is the boatman's list: two things to be done and one that was, and a seat
// that was kept for an athlete and sent.
func (f *filling) waiting(ctx context.Context) error {
	boat := func(name string) string { return fmt.Sprintf("/boats/%d", f.boats[name]) }
	var first int64
	for i, t := range []people.NewTask{
		{What: "Kestrel: new washers at seat 3", Address: boat("Kestrel"), Note: "The gate rattles.", By: coach},
		{What: "Cuckoo: put the long sculls back", Address: boat("Cuckoo"), Note: "After the school regatta.", By: coach},
		{What: "Marl: check the pitch of all four", Address: boat("Marl"), By: coach},
	} {
		added, err := f.ago(9-3*i).people.AddTask(ctx, t)
		if err != nil {
			return err
		}
		if i == 0 {
			first = added.ID
		}
	}
	if _, err := f.ago(2).people.FinishTask(ctx, records.IDRequest{ID: first}); err != nil {
		return err
	}
	seat := url.Values{ // the big single as a girl of 15 could row it
		"boat_class": {"1x"}, "span_cm": {"158"}, "inboard_cm": {"86"}, "oar_length_cm": {"280"}, "heel_to_pin_cm": {"17"}, "heel_depth_cm": {"15"}, "gate_height_cm": {"15"},
		"sex": {"female"}, "stature_cm": {"158.6"}, "mass_kg": {"48.5"}, "sitting_height_cm": {"82"},
	}
	_, err := f.ago(1).people.SaveSeat(ctx, people.NewSavedSeat{
		AthleteID: f.ids["Nell Ashgrove"], Name: "Halcyon", Address: "/seat?" + seat.Encode(), BoatID: wire.Ptr(f.boats["Halcyon"]), Seat: 1, Note: "Before Saturday, please.", Send: true, By: coach,
	})
	return err
}
