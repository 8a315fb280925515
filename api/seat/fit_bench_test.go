package seat_test

import (
	"fmt"
	"path/filepath"
	"testing"

	"thole/api"
	"thole/api/apitest"
	"thole/api/club"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/seat"
	"thole/api/setup"
	"thole/api/store"
)

// BenchmarkFitSeat fits one seat through the service: bodies that suit the rig
// and bodies that do not, everything that is commonly moved let go.
func BenchmarkFitSeat(b *testing.B) {
	own := api.NewService(nil)
	for name, o := range map[string]apitest.Object{"scull": apitest.Scull(), "sweep": apitest.Sweep(), "small": apitest.Put(apitest.Drop(apitest.Scull(), "handle"), "rower", apitest.Object{"sex": "female", "stature_cm": 160.0})} {
		r := apitest.Decoded[seat.FitRequest](b, []byte(apitest.Encoded(b, o)))
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				apitest.Must(own.Seat.FitSeat(b.Context(), r))
			}
		})
	}
}

// BenchmarkFitEight fits an eight through the service.
func BenchmarkFitEight(b *testing.B) {
	own := api.NewService(nil)
	for name, spread := range map[string]float64{"alike": 1, "unlike": 5} {
		r := apitest.Decoded[seat.CrewRequest](b, []byte(apitest.Encoded(b, eightOf(spread))))
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				apitest.Must(own.Seat.FitCrew(b.Context(), r))
			}
		})
	}
}

// eightOf is an eight of bodies a spread apart, cm from one to the next.
func eightOf(spread float64) apitest.Object {
	var seats []apitest.Object
	for i := range 8 {
		o := apitest.Drop(apitest.Sweep(), "handle")
		apitest.Put(o, "seat.side", [...]string{"starboard", "port"}[i%2])
		o["rower"] = apitest.Object{"sex": "male", "stature_cm": 185 + spread*(float64(i*3%8)-3.5)}
		seats = append(seats, o)
	}
	o := apitest.CrewOf("8+", seats...)
	o["targets"] = apitest.Parsed(`{"catch_deg": -54, "finish_deg": 34, "draw_height_cm": 0}`)
	return o
}

// bigClub holds 200 boats and 500 athletes; it returns an eight of them and a
// crew for it.
func bigClub(b *testing.B) (*api.Service, setup.SetupRequest) {
	b.Helper()
	records, err := store.Open(b.Context(), filepath.Join(b.TempDir(), "club.db"))
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { _ = records.Close() })
	own := api.NewService(records)
	r := setup.SetupRequest{}
	for i := range 500 {
		a := apitest.Must(own.Club.AddAthlete(b.Context(), club.NewAthlete{AthleteFields: club.AthleteFields{Name: fmt.Sprintf("Rower %d", i), Sex: "male"}, By: "Ines"}))
		stature := 170 + float64(i*7%25)
		apitest.Must(own.Club.AddMeasures(b.Context(), club.NewMeasures{AthleteID: a.ID, MeasuredOn: "2026-01-10", MeasuredBy: "Ines", MeasuredBody: club.MeasuredBody{StatureCm: &stature}}))
		if i < 8 {
			r.Crew = append(r.Crew, setup.CrewPlace{Seat: i + 1, AthleteID: &a.ID})
		}
	}
	for i := range 200 {
		boat := apitest.Must(own.Fleet.AddBoat(b.Context(), fleet.NewBoat{BoatFields: fleet.BoatFields{Name: fmt.Sprintf("Boat %d", i), BoatClass: "8+"}, By: "Bram"}))
		edit := fleet.RigEdit{ID: boat.ID, Version: boat.Version, By: "Bram"}
		for seat := range 8 {
			for name, v := range apitest.PairRig() {
				value := v.(float64)
				edit.Settings = append(edit.Settings, fleet.RigSetting{Seat: seat + 1, Setting: name, Value: &value})
			}
		}
		apitest.Must(own.Fleet.UpdateRig(b.Context(), edit))
		r.BoatID = boat.ID
	}
	return own, r
}

// BenchmarkSetUp works out a whole eight from the records of a big club, and
// shows its sheet.
func BenchmarkSetUp(b *testing.B) {
	own, r := bigClub(b)
	b.Run("eight", func(b *testing.B) {
		for b.Loop() {
			apitest.Must(own.Setup.SetUp(b.Context(), r))
		}
	})
	boat := apitest.Must(own.Fleet.Boat(b.Context(), records.IDRequest{ID: r.BoatID}))
	h := apitest.Must(own.Setup.AddSheet(b.Context(), setup.NewSheet{BoatID: boat.ID, BoatVersion: boat.Version, SetupFields: r.SetupFields, By: "Bram"}))
	b.Run("sheet", func(b *testing.B) {
		for b.Loop() {
			apitest.Must(own.Setup.Sheet(b.Context(), records.IDRequest{ID: h.ID}))
		}
	})
}
