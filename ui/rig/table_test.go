package rig_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"thole/api/fleet"
	"thole/api/records"
	"thole/api/seat"
	"thole/api/wire"
	"thole/ui/uitest"
)

// newBoat puts a boat of a class on record and returns its address.
func newBoat(t *testing.T, c *uitest.ClubSite, name, class string) (id int64, path string) {
	t.Helper()
	b, err := c.Service.Fleet.AddBoat(t.Context(), fleet.NewBoat{BoatFields: fleet.BoatFields{Name: name, BoatClass: class}, By: "Ines"})
	if err != nil {
		t.Fatal(err)
	}
	return b.ID, fmt.Sprintf("/boats/%d/table", b.ID)
}

func boat(t *testing.T, c *uitest.ClubSite, id int64) fleet.Boat {
	t.Helper()
	b, err := c.Service.Fleet.Boat(t.Context(), records.IDRequest{ID: id})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// TestABoatIsEnteredInOneTable by plain forms: one row typed, filled down, the
// riggers by one choice, saved in one go with one entry of the history a value.
func TestABoatIsEnteredInOneTable(t *testing.T) {
	c := uitest.NewClub(t)
	id, path := newBoat(t, c, "Owl", "4+")
	form := uitest.Filled(c.Form(path), "seat1_spread_cm", "85,0", "seat1_inboard_cm", "115", "seat3_inboard_cm", "114", "do", "fill:spread_cm")
	filled := c.Post(path, form)
	uitest.WantIn(t, "filled", filled.Body, `name="seat4_spread_cm" value="85,0"`, `name="seat1_inboard_cm" value="115"`, `name="seat2_inboard_cm" value=""`)
	filled = c.Post(path, uitest.Filled(uitest.FormValues(filled.Body), "do", "fill:inboard_cm"))
	uitest.WantIn(t, "blank seats alone", filled.Body, `name="seat2_inboard_cm" value="115"`, `name="seat3_inboard_cm" value="114"`, `name="seat4_inboard_cm" value="115"`)
	if b := boat(t, c, id); b.Version != 1 {
		t.Error("filling down saves")
	}
	sides := c.Post(path, uitest.Filled(uitest.FormValues(filled.Body), "do", "sides", "riggers", "tandem"))
	uitest.WantIn(t, "sides", sides.Body, `<select id="seat1_side" name="seat1_side" aria-label="Side, seat 1"> <option value="port" selected>`, `<select id="seat2_side" name="seat2_side" aria-label="Side, seat 2"> <option value="port">`)
	uitest.GoesTo(t, c.Post(path, uitest.Filled(uitest.FormValues(sides.Body), "why", "measured", "by", "Udo")), fmt.Sprintf("/boats/%d", id))
	b := boat(t, c, id)
	var got []string
	for i := range b.Seats {
		got = append(got, fmt.Sprint(b.Seats[i].Side, " ", *b.Seats[i].Seat.SpreadCm, " ", *b.Seats[i].Seat.InboardCm))
	}
	if want := "port 85 115; starboard 85 115; starboard 85 114; port 85 115"; strings.Join(got, "; ") != want {
		t.Errorf("%s, want %s", strings.Join(got, "; "), want)
	}
	history, err := c.Service.Fleet.RigHistory(t.Context(), fleet.RigHistoryRequest{ID: id})
	if err != nil || len(history.Changes) != 8 || history.Changes[0].Why != "measured" || history.Changes[0].By != "Udo" {
		t.Errorf("%v %+v", err, history.Changes)
	}
	again := c.Opened(path)
	uitest.WantIn(t, "again", again, `<option value="tandem" selected>`, `name="seat3_inboard_cm" value="114"`)
	uitest.WantIn(t, "boat", c.Opened(fmt.Sprintf("/boats/%d", id)), path)
}

// TestOneRoundOfMessagesForTheWholeTable: what is no number, what cannot be, what was
// emptied and who signs are told together, at their cells, and nothing is saved.
func TestOneRoundOfMessagesForTheWholeTable(t *testing.T) {
	c := uitest.NewClub(t)
	id, path := newBoat(t, c, "Owl", "2x")
	c.Post(path, uitest.Filled(c.Form(path), "seat2_span_cm", "159", "by", "Ines"))
	form := uitest.Filled(c.Form(path), "seat1_span_cm", "wide", "seat1_inboard_cm", "880", "seat2_span_cm", "", "seat2_gate_height_cm", "17", "by", "")
	bad := c.Post(path, form)
	if bad.Status != http.StatusUnprocessableEntity {
		t.Errorf("status %d", bad.Status)
	}
	uitest.WantIn(t, "messages", bad.Body, "“wide” is not a number.", "880 cm cannot be right", "It looks like millimetres: 88 cm?", "This was measured before, 159 cm: enter what it is now.", "Say who you are", `id="e-seat1_inboard_cm"`,
		`name="seat1_span_cm" value="wide"`, `name="seat2_gate_height_cm" value="17"`)
	if b := boat(t, c, id); b.Seats[1].Seat.GateHeightCm != nil || *b.Seats[1].Seat.SpanCm != 159 {
		t.Error("half a table was saved")
	}
}

// TestWhatIsNotMeasuredIsToldSo: a usual rig to start from shows in grey, makes a
// set-up possible, and no line of it tells to move from it.
func TestWhatIsNotMeasuredIsToldSo(t *testing.T) {
	c := uitest.NewClub(t)
	id, path := newBoat(t, c, "Owl", "1x")
	uitest.WantIn(t, "empty", c.Opened(path), "152 to 164", "Until it is measured, calculate with")
	uitest.GoesTo(t, c.Post(path, uitest.Filled(c.Form(path), "starts", "usual", "seat1_inboard_cm", "88", "by", "Ines")), fmt.Sprintf("/boats/%d", id))
	uitest.WantIn(t, "grey", c.Opened(path), `name="seat1_span_cm" value=""`, `placeholder="159"`, `name="seat1_inboard_cm" value="88"`)
	b := boat(t, c, id)
	if b.Seats[0].Seat.SpanCm != nil || b.Seats[0].Starts["span_cm"] != 159 || len(b.Seats[0].Missing) != 3 {
		t.Errorf("%+v", b.Seats[0])
	}
	uitest.WantIn(t, "boat", c.Opened(fmt.Sprintf("/boats/%d", id)), "– is not measured")
	uitest.GoesTo(t, c.Post(path, uitest.Filled(c.Form(path), "starts", "none", "by", "Ines")), fmt.Sprintf("/boats/%d", id))
	if b = boat(t, c, id); len(b.Seats[0].Starts) > 0 {
		t.Errorf("%+v", b.Seats[0].Starts)
	}
}

// TestAnotherBoatIsCopied as what was measured, into blank cells, and as a start.
func TestAnotherBoatIsCopied(t *testing.T) {
	c := uitest.NewClub(t)
	from, fromPath := newBoat(t, c, "Elk", "2x")
	id, path := newBoat(t, c, "Owl", "2x")
	newBoat(t, c, "Ant", "2-")
	c.Post(fromPath, uitest.Filled(c.Form(fromPath), "seat1_span_cm", "158", "seat2_span_cm", "159", "seat1_inboard_cm", "87,5", "by", "Ines"))
	if page := c.Opened(path); strings.Contains(page, "Ant") {
		t.Error("a pair is offered to a double")
	}
	copied := c.Post(path, uitest.Filled(c.Form(path), "do", "copy", "copy_from", fmt.Sprint(from), "seat2_span_cm", "160"))
	uitest.WantIn(t, "copied", copied.Body, "Copied from Elk", `name="seat1_span_cm" value="158"`, `name="seat2_span_cm" value="160"`, `name="seat1_inboard_cm" value="87.5"`)
	c.Post(path, uitest.Filled(c.Form(path), "starts", fmt.Sprint("boat:", from), "by", "Ines"))
	if b := boat(t, c, id); b.Seats[0].Starts["inboard_cm"] != 87.5 || b.Seats[1].Starts["span_cm"] != 159 || b.Seats[0].Seat.SpanCm != nil {
		t.Errorf("%+v", b.Seats)
	}
	if bad := c.Post(path, uitest.Filled(c.Form(path), "starts", "boat:999", "by", "Ines")); bad.Status != http.StatusUnprocessableEntity {
		t.Errorf("a boat that is not there: %d", bad.Status)
	}
}

// TestATableMeetsTheWorkOfOthers: what somebody else measured meanwhile is taken over
// or shown beside, and saved by the second try.
func TestATableMeetsTheWorkOfOthers(t *testing.T) {
	c := uitest.NewClub(t)
	id, path := newBoat(t, c, "Owl", "2x")
	mine := uitest.Filled(c.Form(path), "seat1_span_cm", "159", "by", "Ines")
	c.Post(path, uitest.Filled(c.Form(path), "seat1_span_cm", "160", "seat2_span_cm", "161", "by", "Udo"))
	met := c.Post(path, mine)
	if met.Status != http.StatusConflict {
		t.Errorf("status %d", met.Status)
	}
	uitest.WantIn(t, "met", met.Body, "Udo changed this", `name="seat2_span_cm" value="161"`, `name="seat1_span_cm" value="159"`, "Udo made it “160”")
	uitest.GoesTo(t, c.Post(path, uitest.FormValues(met.Body)), fmt.Sprintf("/boats/%d", id))
	if b := boat(t, c, id); *b.Seats[0].Seat.SpanCm != 159 || *b.Seats[1].Seat.SpanCm != 161 {
		t.Error("something was lost")
	}
}

// TestTheStretcherIsEnteredAsTheBoatIsRead: in holes, which stand on record as the
// heel's place; what was not touched stays to the last digit.
func TestTheStretcherIsEnteredAsTheBoatIsRead(t *testing.T) {
	c := uitest.NewClub(t)
	id, path := newBoat(t, c, "Owl", "2x")
	b := boat(t, c, id)
	offset, pitch := 8.0, 1.5
	edit := fleet.BoatEdit{ID: id, Version: b.Version, BoatFields: b.BoatFields, Seats: b.SeatFields(), By: "Ines"}
	edit.Stretcher = &seat.Stretcher{Mark: "hole", OffsetCm: &offset, HolePitchCm: &pitch}
	if _, err := c.Service.Fleet.UpdateBoat(t.Context(), edit); err != nil {
		t.Fatal(err)
	}
	uitest.WantIn(t, "heading", c.Opened(path), "Stretcher <small>hole</small>", `aria-label="Stretcher, seat 1, hole"`)
	uitest.GoesTo(t, c.Post(path, uitest.Filled(c.Form(path), "seat1_heel_to_pin_cm", "10", "seat2_heel_to_pin_cm", "11,3", "by", "Ines")), fmt.Sprintf("/boats/%d", id))
	if b = boat(t, c, id); *b.Seats[0].Seat.HeelToPinCm != 23 || *b.Seats[1].Seat.HeelToPinCm != 24.95 {
		t.Errorf("%g and %g", *b.Seats[0].Seat.HeelToPinCm, *b.Seats[1].Seat.HeelToPinCm)
	}
	version := b.Version
	uitest.WantIn(t, "again", c.Opened(path), `name="seat1_heel_to_pin_cm" value="10"`, `name="seat2_heel_to_pin_cm" value="11.3"`)
	c.Post(path, uitest.Filled(c.Form(path), "by", "Ines"))
	if b = boat(t, c, id); b.Version != version {
		t.Errorf("saved unchanged it is version %d, was %d", b.Version, version)
	}
	mine := uitest.Filled(c.Form(path), "seat1_heel_to_pin_cm", "12", "by", "Ines")
	c.Post(path, uitest.Filled(c.Form(path), "seat2_heel_to_pin_cm", "14", "by", "Udo"))
	met := c.Post(path, mine)
	uitest.WantIn(t, "met", met.Body, "Udo changed this", `name="seat1_heel_to_pin_cm" value="12"`, `name="seat2_heel_to_pin_cm" value="14"`)
	c.Post(path, uitest.FormValues(met.Body))
	if b = boat(t, c, id); *b.Seats[0].Seat.HeelToPinCm != 26 || *b.Seats[1].Seat.HeelToPinCm != 29 {
		t.Errorf("%g and %g", *b.Seats[0].Seat.HeelToPinCm, *b.Seats[1].Seat.HeelToPinCm)
	}
	bad := c.Post(path, uitest.Filled(c.Form(path), "seat1_heel_to_pin_cm", "90", "by", "Ines"))
	uitest.WantIn(t, "bad", bad.Body, `name="seat1_heel_to_pin_cm" value="90"`, "143 cm cannot be right")
}

// TestCountsAreTypedAtTheBoat: washers, clams and inserts count from what is on record,
// in the table and on the page of a seat; what cannot be told is asked at the field.
func TestCountsAreTypedAtTheBoat(t *testing.T) {
	c := uitest.NewClub(t)
	four, five := 4.0, 5.0
	fields := fleet.BoatFields{Name: "Owl", BoatClass: "1x", WasherMm: &four, ClamMm: &five, Stretcher: &seat.Stretcher{Mark: "hole", OffsetCm: wire.Ptr(35.0), HolePitchCm: wire.Ptr(2.5)}}
	b, err := c.Service.Fleet.AddBoat(t.Context(), fleet.NewBoat{BoatFields: fields, By: "Ines"})
	if err != nil {
		t.Fatal(err)
	}
	path := fmt.Sprintf("/boats/%d/table", b.ID)
	uitest.WantIn(t, "hint", c.Opened(path), "Counts are taken from where the seat stands: &#43;2 clams, &#43;2 washers.")
	first := c.Post(path, uitest.Filled(c.Form(path), "seat1_gate_height_cm", "+2 washers", "seat1_inboard_cm", "88", "by", "Udo"))
	uitest.WantIn(t, "not measured", first.Body, "Measure this once: washers count from there.", `value="&#43;2 washers"`)
	uitest.GoesTo(t, c.Post(path, uitest.Filled(c.Form(path), "seat1_gate_height_cm", "16,5", "seat1_inboard_cm", "88", "by", "Udo")), fmt.Sprintf("/boats/%d", b.ID))
	uitest.GoesTo(t, c.Post(path, uitest.Filled(c.Form(path), "seat1_gate_height_cm", "2 washers up", "by", "Udo")), fmt.Sprintf("/boats/%d", b.ID))
	seat := fmt.Sprintf("/boats/%d/seats/1", b.ID)
	uitest.WantIn(t, "help", c.Opened(seat), "Or &#43;2 washers.", "Or hole 7.")
	unsigned := c.Post(seat, uitest.Filled(c.Form(seat), "seat1_inboard_cm", "1 clam", "by", "Udo"))
	uitest.WantIn(t, "which way", unsigned.Body, "Write &#43;1 clam or −1 clam, counted from 88 cm as it stands on record.")
	uitest.GoesTo(t, c.Post(seat, uitest.Filled(c.Form(seat), "seat1_inboard_cm", "-1 clam", "seat1_heel_to_pin_cm", "hole 4", "by", "Udo")), fmt.Sprintf("/boats/%d", b.ID))
	rig := boat(t, c, b.ID).Seats[0].Seat
	if *rig.GateHeightCm != 17.3 || *rig.InboardCm != 87.5 || *rig.HeelToPinCm != 45 {
		t.Errorf("gate %g, inboard %g, heel %g", *rig.GateHeightCm, *rig.InboardCm, *rig.HeelToPinCm)
	}
}

// TestHolesMeetTheWorkOfOthers: what somebody else did at a stretcher that is read in
// holes is told in holes; what was not touched here is taken over.
func TestHolesMeetTheWorkOfOthers(t *testing.T) {
	c := uitest.NewClub(t)
	fields := fleet.BoatFields{Name: "Owl", BoatClass: "2x", Stretcher: &seat.Stretcher{Mark: "hole", OffsetCm: wire.Ptr(35.0), HolePitchCm: wire.Ptr(2.5)}}
	b, err := c.Service.Fleet.AddBoat(t.Context(), fleet.NewBoat{BoatFields: fields, By: "Ines"})
	if err != nil {
		t.Fatal(err)
	}
	path := fmt.Sprintf("/boats/%d/table", b.ID)
	enter := func(form url.Values) uitest.Reply { return c.Post(path, form) }
	enter(uitest.Filled(c.Form(path), "seat1_heel_to_pin_cm", "3", "seat2_heel_to_pin_cm", "4", "by", "Ines"))
	mine := uitest.Filled(c.Form(path), "seat1_heel_to_pin_cm", "6", "by", "Ines")
	enter(uitest.Filled(c.Form(path), "seat1_heel_to_pin_cm", "5", "seat2_heel_to_pin_cm", "2", "by", "Udo"))
	met := enter(mine)
	uitest.WantIn(t, "met", met.Body, "hole 3 (42.5 cm)", "hole 5 (47.5 cm)", "Udo made it “hole 5 (47.5 cm)”", "yours stands below: “6”",
		`name="seat1_heel_to_pin_cm" value="6"`, `name="seat2_heel_to_pin_cm" value="2"`, "taken over")
	uitest.GoesTo(t, enter(uitest.FormValues(met.Body)), fmt.Sprintf("/boats/%d", b.ID))
	after := boat(t, c, b.ID)
	if *after.Seats[0].Seat.HeelToPinCm != 50 || *after.Seats[1].Seat.HeelToPinCm != 40 {
		t.Errorf("%g and %g", *after.Seats[0].Seat.HeelToPinCm, *after.Seats[1].Seat.HeelToPinCm)
	}
	uitest.WantIn(t, "history", c.Opened(fmt.Sprintf("/boats/%d/history", b.ID)), "hole 6 (50 cm)")
	seat := fmt.Sprintf("/boats/%d/seats/1", b.ID)
	old := uitest.Filled(c.Form(seat), "seat1_heel_to_pin_cm", "55")
	enter(uitest.Filled(c.Form(path), "seat1_heel_to_pin_cm", "1", "by", "Udo"))
	uitest.WantIn(t, "at the seat", c.Post(seat, old).Body, "Udo made it “hole 1 (37.5 cm)” (was “hole 6 (50 cm)”)")
}

// TestTheUsualCrewIsSetAtTheBoat: named as people are called, shown on the boat's page
// to the club's staff, emptied again; who cannot be told is asked at the seat.
func TestTheUsualCrewIsSetAtTheBoat(t *testing.T) {
	c := uitest.DemoClub(t)
	id := c.BoatNamed("Kestrel").ID
	path, boat := fmt.Sprintf("/boats/%d/crew", id), fmt.Sprintf("/boats/%d", id)
	bad := c.Post(path, uitest.Filled(c.Form(path), "seat1_athlete", "Lund", "seat2_athlete", "Nobody At All", "seat3_athlete", "Freya Lund"))
	uitest.WantIn(t, "nobody", bad.Body, "Nobody of this name is on record.", `value="Nobody At All"`)
	twice := c.Post(path, uitest.Filled(c.Form(path), "seat1_athlete", "Lund", "seat2_athlete", "Freya Lund"))
	uitest.WantIn(t, "twice", twice.Body, "rows another seat, too")
	uitest.GoesTo(t, c.Post(path, uitest.Filled(c.Form(path), "seat1_athlete", "Lund, Freya", "seat2_athlete", "Tanabe", "seat3_athlete", "", "seat4_athlete", "")), boat)
	uitest.WantIn(t, "shown", c.Opened(boat), "Usual crew", "Freya Lund", "Yuki Tanabe", "Change the crew")
	uitest.WantIn(t, "filled", c.Opened(path), `name="seat1_athlete" value="Freya Lund"`)
	uitest.WantIn(t, "set-up", c.Opened(fmt.Sprintf("/setup?boat=%d", id)), `value="Freya Lund"`)
	uitest.GoesTo(t, c.Post(path, uitest.Filled(c.Form(path), "seat1_athlete", "", "seat2_athlete", "")), boat)
	uitest.WantIn(t, "emptied", c.Opened(boat), "Name the crew")
}
