package fleet_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"thole/api/apitest"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/settings"
	"thole/api/wire"
)

// TestWhatIsOddAboutABoat: riggers that are not equal in number, and a hull below the least
// of its class. The least itself is none of it, and neither is a hull that nobody weighed.
func TestWhatIsOddAboutABoat(t *testing.T) {
	figures, _ := fleet.FiguresOf("4-")
	least := figures.MinHullMassKg
	usual := func() []fleet.SeatFields { return apitest.Service.Fleet.UsualSeats("4-") }
	oneSided := usual()
	for i := range oneSided {
		oneSided[i].Side = "port"
	}
	tandem := usual()
	for i, side := range []string{"port", "starboard", "starboard", "port"} {
		tandem[i].Side = side
	}
	three := usual()
	for i, side := range []string{"port", "starboard", "starboard", "starboard"} {
		three[i].Side = side
	}
	for name, c := range map[string]struct {
		mass  *float64
		seats []fleet.SeatFields
		want  string
	}{
		"usual": {nil, usual(), ""}, "tandem": {nil, tandem, ""}, "port alone": {nil, oneSided, "riggers_uneven"}, "three on starboard": {nil, three, "riggers_uneven"},
		"the least": {&least, usual(), ""}, "lighter": {wire.Ptr(least - 0.1), usual(), "hull_light"}, "heavier": {wire.Ptr(least + 0.1), usual(), ""},
	} {
		boat, err := apitest.Service.Fleet.AddBoat(t.Context(), fleet.NewBoat{BoatFields: fleet.BoatFields{Name: apitest.Fresh("Odd"), BoatClass: "4-", HullMassKg: c.mass}, Seats: c.seats, By: "Ann"})
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		var codes []string
		for _, one := range boat.Cautions {
			codes = append(codes, one.Code)
		}
		if got := strings.Join(codes, " "); got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}

// TestSeatsAreListedBowFirst, as many as the class has.
func TestSeatsAreListedBowFirst(t *testing.T) {
	for name, c := range map[string]struct {
		numbers []int
		want    string
	}{"bow first": {[]int{1, 2}, ""}, "stroke first": {[]int{2, 1}, "seats[0].number"}, "from nothing": {[]int{0, 1}, "seats[0].number"}, "one": {[]int{1}, "seats"}, "three": {[]int{1, 2, 3}, "seats"}} {
		var seats []fleet.SeatFields
		for _, n := range c.numbers {
			seat := apitest.Service.Fleet.UsualSeats("2x")[0]
			seat.Number = n
			seats = append(seats, seat)
		}
		_, err := apitest.Service.Fleet.AddBoat(t.Context(), fleet.NewBoat{BoatFields: fleet.BoatFields{Name: apitest.Fresh("Row"), BoatClass: "2x"}, Seats: seats, By: "Ann"})
		if c.want == "" && err != nil || c.want != "" && !complainsOf(err, c.want) {
			t.Errorf("%s: %v, want a complaint at %q", name, err, c.want)
		}
		if name == "stroke first" && !strings.Contains(fmt.Sprint(err), "here stands seat 1.") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestOarsAreCountedForTheBoat: a double needs two for each of two scullers; nothing is said
// of a set whose oars nobody counted.
func TestOarsAreCountedForTheBoat(t *testing.T) {
	s, ctx := apitest.Service.Fleet, t.Context()
	for count, want := range map[int]string{0: "", 3: "The boat needs 4 oars; %s has 3.", 4: "", 5: ""} {
		set := apitest.Must(s.AddOarSet(ctx, fleet.NewOarSet{OarFields: fleet.OarFields{Name: apitest.Fresh("Count"), Kind: "scull", Count: count}, By: "Ann"}))
		boat := apitest.Must(s.AddBoat(ctx, fleet.NewBoat{BoatFields: fleet.BoatFields{Name: apitest.Fresh("Pairs"), BoatClass: "2x", OarSetID: &set.ID}, By: "Ann"}))
		_, differ, err := s.OarsOf(ctx, &boat)
		if strings.Contains(want, "%s") {
			want = fmt.Sprintf(want, set.Name)
		}
		if err != nil || differ != want {
			t.Errorf("%d oars: %v %q, want %q", count, err, differ, want)
		}
	}
}

// TestASetBringsWhatASeatLacks: what the table says of a seat stays there, and the other
// seats have the set's; a range of one value alone is none, and its step is the usual one
// where the set says none.
func TestASetBringsWhatASeatLacks(t *testing.T) {
	v := wire.Ptr[float64]
	set := fleet.OarSet{OarFields: fleet.OarFields{Kind: "scull", BladeKind: "macon", InboardCm: v(88), InboardMinCm: v(86), InboardMaxCm: v(90), LengthMinCm: v(288), LengthMaxCm: v(288)}}
	w := fleet.BoatWrite{BoatFields: fleet.BoatFields{BoatClass: "2x"}, Seats: []fleet.SeatFields{{Number: 1}, {Number: 2, Adjust: map[string]settings.Adjustment{"inboard_cm": {Min: 80, Max: 85, Step: 2, Cost: 3}}}}}
	w.Rig = []fleet.RigSetting{{Seat: 1, Setting: "inboard_cm", Value: v(87.5)}, {Seat: 2, Setting: "span_cm", Value: v(159)}}
	set.Dress(&w)
	var got []string
	for _, one := range w.Rig {
		got = append(got, fmt.Sprintf("%d %s %g", one.Seat, one.Setting, *one.Value))
	}
	if want := []string{"1 inboard_cm 87.5", "2 span_cm 159", "2 inboard_cm 88"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	for i, cost := range []float64{1, 3} {
		a := w.Seats[i].Adjust["inboard_cm"]
		if _, ok := w.Seats[i].Adjust["oar_length_cm"]; ok || len(w.Seats[i].Adjust) != 1 || a.Min != 86 || a.Max != 90 || a.Cost != cost || !(a.Step > 0) || w.Seats[i].Blade != "macon" {
			t.Errorf("seat %d: %+v", i+1, w.Seats[i])
		}
	}
}

// TestUnstatedMarksOfAStretcherStayUnstated.
func TestUnstatedMarksOfAStretcherStayUnstated(t *testing.T) {
	body := apitest.FullBoat()
	id := apitest.Created(t, "/api/v1/boats", body)
	boat := apitest.Must(apitest.Service.Fleet.Boat(t.Context(), records.IDRequest{ID: id}))
	boat.Stretcher.Mark, boat.Stretcher.OffsetCm, boat.Stretcher.HolePitchCm, boat.Stretcher.ToeAlongCm = "hole", wire.Ptr(35.0), wire.Ptr(2.5), nil
	after, err := apitest.Service.Fleet.UpdateBoat(t.Context(), fleet.BoatEdit{ID: id, Version: boat.Version, BoatFields: boat.BoatFields, Seats: boat.SeatFields(), By: "Ann"})
	if err != nil {
		t.Fatal(err)
	}
	if s := after.Stretcher; s.Mark != "hole" || wire.Or(s.OffsetCm, 0) != 35 || wire.Or(s.HolePitchCm, 0) != 2.5 || s.ToeAlongCm != nil {
		t.Errorf("%+v", s)
	}
}
