package api_test

import (
	"fmt"
	"path/filepath"
	"testing"

	"thole/api"
	"thole/api/store"
)

// BenchmarkFitSeat fits one seat through the service: bodies that suit the rig
// and bodies that do not, everything that is commonly moved let go.
func BenchmarkFitSeat(b *testing.B) {
	own := api.NewService(nil)
	for name, o := range map[string]object{"scull": scull(), "sweep": sweep(), "small": put(drop(scull(), "handle"), "rower", object{"sex": "female", "stature_cm": 160.0})} {
		r := decoded[api.FitRequest](b, []byte(encoded(b, o)))
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				must(own.FitSeat(b.Context(), r))
			}
		})
	}
}

// BenchmarkFitEight fits an eight through the service.
func BenchmarkFitEight(b *testing.B) {
	own := api.NewService(nil)
	for name, spread := range map[string]float64{"alike": 1, "unlike": 5} {
		r := decoded[api.CrewRequest](b, []byte(encoded(b, eightOf(spread))))
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				must(own.FitCrew(b.Context(), r))
			}
		})
	}
}

// eightOf is an eight of bodies a spread apart, cm from one to the next.
func eightOf(spread float64) object {
	var seats []object
	for i := range 8 {
		o := drop(sweep(), "handle")
		put(o, "seat.side", [...]string{"starboard", "port"}[i%2])
		o["rower"] = object{"sex": "male", "stature_cm": 185 + spread*(float64(i*3%8)-3.5)}
		seats = append(seats, o)
	}
	o := crewOf("8+", seats...)
	o["targets"] = parsed(`{"catch_deg": -54, "finish_deg": 34, "draw_height_cm": 0}`)
	return o
}

// bigClub holds 200 boats and 500 athletes; it returns an eight of them and a
// crew for it.
func bigClub(b *testing.B) (*api.Service, api.SetupRequest) {
	b.Helper()
	records, err := store.Open(b.Context(), filepath.Join(b.TempDir(), "club.db"))
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { _ = records.Close() })
	own := api.NewService(records)
	r := api.SetupRequest{}
	for i := range 500 {
		a := must(own.AddAthlete(b.Context(), api.NewAthlete{AthleteFields: api.AthleteFields{Name: fmt.Sprintf("Rower %d", i), Sex: "male"}, By: "Ines"}))
		stature := 170 + float64(i*7%25)
		must(own.AddMeasures(b.Context(), api.NewMeasures{AthleteID: a.ID, MeasuredOn: "2026-01-10", MeasuredBy: "Ines", MeasuredBody: api.MeasuredBody{StatureCm: &stature}}))
		if i < 8 {
			r.Crew = append(r.Crew, api.CrewPlace{Seat: i + 1, AthleteID: &a.ID})
		}
	}
	for i := range 200 {
		boat := must(own.AddBoat(b.Context(), api.NewBoat{BoatFields: api.BoatFields{Name: fmt.Sprintf("Boat %d", i), BoatClass: "8+"}, By: "Bram"}))
		edit := api.RigEdit{ID: boat.ID, Version: boat.Version, By: "Bram"}
		for seat := range 8 {
			for name, v := range pairRig() {
				value := v.(float64)
				edit.Settings = append(edit.Settings, api.RigSetting{Seat: seat + 1, Setting: name, Value: &value})
			}
		}
		must(own.UpdateRig(b.Context(), edit))
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
			must(own.SetUp(b.Context(), r))
		}
	})
	boat := must(own.Boat(b.Context(), api.IDRequest{ID: r.BoatID}))
	h := must(own.AddSheet(b.Context(), api.NewSheet{BoatID: boat.ID, BoatVersion: boat.Version, SetupFields: r.SetupFields, By: "Bram"}))
	b.Run("sheet", func(b *testing.B) {
		for b.Loop() {
			must(own.Sheet(b.Context(), api.IDRequest{ID: h.ID}))
		}
	})
}
