package video_test

import (
	"fmt"
	"net/url"
	"strings"
	"testing"

	"thole/api/fleet"
	"thole/api/records"
	"thole/api/wire"
	"thole/ui/uitest"
)

// TestFiguresOfASeatOnRecordFillTheForm: those of the demo's single and of a seat of
// its eight, as the boats' pages show them; what was typed stands until all is to be
// filled in.
func TestFiguresOfASeatOnRecordFillTheForm(t *testing.T) {
	c := uitest.DemoClub(t)
	single := c.BoatNamed("Halcyon")
	seat := &single.Seats[0].Seat
	place := fmt.Sprintf("%d-1", single.ID)
	uitest.WantIn(t, "the seat’s page leads there", c.Opened(fmt.Sprintf("/boats/%d/seats/1", single.ID)), "/video?place="+place)
	body := c.Opened("/video?place=" + place)
	want := func(body, name string, value float64) {
		t.Helper()
		if field := fmt.Sprintf(`name="%s" value="%v"`, name, value); !strings.Contains(body, field) {
			t.Errorf("no %s", field)
		}
	}
	want(body, "across_cm", *seat.SpanCm)
	want(body, "inboard_cm", *seat.InboardCm)
	want(body, "oar_length_cm", *seat.OarLengthCm)
	uitest.WantIn(t, "single", uitest.OneLine(body), "From the record of Halcyon; each can be changed.", "As on record.", `value="scull" selected`)

	eight := c.BoatNamed("Nightjar")
	second := &eight.Seats[1]
	q := url.Values{"place": {fmt.Sprintf("%d-2", eight.ID)}, "inboard_cm": {"111.5"}, "kind": {"scull"}}
	body = c.Opened("/video?" + q.Encode())
	want(body, "inboard_cm", 111.5)
	want(body, "across_cm", *second.Seat.SpreadCm)
	q.Set("fill", "yes")
	q.Set("near_pin", "812 430")
	body = c.Opened("/video?" + q.Encode())
	want(body, "inboard_cm", *second.Seat.InboardCm)
	uitest.WantIn(t, "eight", uitest.OneLine(body), "From the record of Nightjar, seat 2", `value="812 430"`, `value="sweep" selected`, fmt.Sprintf(`value="%s" selected`, second.Side))
}

// TestTheGateOverTheWaterFollowsTheSide: 16.5 cm over a seat that floats 8 cm high; in
// sculling the starboard gate stands higher by what is on record.
func TestTheGateOverTheWaterFollowsTheSide(t *testing.T) {
	c := uitest.NewClub(t)
	added, err := c.Service.Fleet.AddBoat(t.Context(), fleet.NewBoat{BoatFields: fleet.BoatFields{Name: "Wren", BoatClass: "1x", SeatOverWaterCm: wire.Ptr(8.)}, By: "Ines",
		Rig: []fleet.RigSetting{{Seat: 1, Setting: "gate_height_cm", Value: wire.Ptr(16.5)}, {Seat: 1, Setting: "gate_difference_cm", Value: wire.Ptr(1.5)}}})
	if err != nil {
		t.Fatal(err)
	}
	boat := added.ID
	for side, want := range map[string]string{"port": "24.5", "starboard": "26"} {
		body := c.Opened(fmt.Sprintf("/video?place=%d-1&side=%s", boat, side))
		if !strings.Contains(body, `name="gate_over_water_cm" value="`+want+`"`) {
			t.Errorf("%s: not %s cm", side, want)
		}
		uitest.WantIn(t, side, uitest.OneLine(body), "Not on record: span, or spread, inboard, oar length.")
	}
	for _, nothing := range []string{"", "9-1", fmt.Sprintf("%d-2", boat), "x"} {
		if body := c.Opened("/video?place=" + nothing); !strings.Contains(body, `name="across_cm" value="159"`) || strings.Contains(body, "From the record") {
			t.Errorf("%q fills something in", nothing)
		}
	}
}

// TestAnAthletesSeatIsFilledIn from the newest work sheet, and goes on to the form that
// keeps the reading.
func TestAnAthletesSeatIsFilledIn(t *testing.T) {
	c := uitest.DemoClub(t)
	found, err := c.Service.Club.Athletes(t.Context(), records.ListRequest{Name: "Nell Ashgrove"})
	if err != nil || len(found.Athletes) != 1 {
		t.Fatal(err)
	}
	nell := found.Athletes[0]
	c.Made(c.Single())
	list := c.Opened(fmt.Sprintf("/athletes/%d/filmed", nell.ID))
	uitest.WantIn(t, "list", list, fmt.Sprintf("/video?athlete=%d", nell.ID))
	body := c.Opened(fmt.Sprintf("/video?athlete=%d", nell.ID))
	single := c.BoatNamed("Halcyon")
	uitest.WantIn(t, "page", uitest.OneLine(body), "From the record of Halcyon", fmt.Sprintf(`value="%d-1" selected`, single.ID))
	q := url.Values{"athlete": {fmt.Sprint(nell.ID)}, "place": {fmt.Sprintf("%d-1", single.ID)}, "strokes": {"1 1.05 1.13"}}
	uitest.WantIn(t, "answer", uitest.OneLine(c.Opened("/video?"+q.Encode())), fmt.Sprintf(`<option value="%d" selected>`, nell.ID), `name="place"`)
	keep := c.Opened(c.Get("/video/keep?" + q.Encode()).Header.Get("Location"))
	uitest.WantIn(t, "keep", uitest.OneLine(keep), fmt.Sprintf(`value="%d" checked`, single.ID), `name="seat" value="1"`)
}
