package season_test

import (
	"testing"

	"thole/api"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/storetest"
	"thole/api/video"
)

// TestASeasonIsFilledInOnce over the demo club, by the use cases, and leaves another
// club alone.
func TestASeasonIsFilledInOnce(t *testing.T) {
	s := api.NewService(storetest.Open(t))
	t.Cleanup(s.Close)
	if err := s.Season.Fill(t.Context()); err != nil {
		t.Fatal(err)
	}
	boat, err := s.Fleet.AddBoat(t.Context(), fleet.NewBoat{BoatFields: fleet.BoatFields{Name: "Kestrel", BoatClass: "4-"}, By: "Ines"}) // of the same name
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Season.Fill(t.Context()); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Fleet.DeleteBoat(t.Context(), records.IDRequest{ID: boat.ID}); err != nil {
		t.Fatal(err)
	}
	if q, err := s.Club.Squads(t.Context(), struct{}{}); err != nil || len(q.Squads) != 0 {
		t.Errorf("%d squads of a club that is not the demo's, %v", len(q.Squads), err)
	}
	if err := s.Demo.FillDemo(t.Context()); err != nil {
		t.Fatal(err)
	}
	for range 2 {
		if err := s.Season.Fill(t.Context()); err != nil {
			t.Fatal(err)
		}
	}
	if q, err := s.Club.Squads(t.Context(), struct{}{}); err != nil || len(q.Squads) != 4 {
		t.Errorf("%d squads, %v", len(q.Squads), err)
	}
	list, err := s.Club.Athletes(t.Context(), records.ListRequest{Name: "Sanna Pirkola"})
	if err != nil {
		t.Fatal(err)
	}
	films, err := s.Video.Readings(t.Context(), records.IDRequest{ID: list.Athletes[0].ID})
	if err != nil || len(films.Readings) != 5 {
		t.Fatalf("%d readings, %v", len(films.Readings), err)
	}
	for _, want := range []struct {
		day     int
		degrees float64
	}{{0, -64.5}, {4, -60.5}} {
		r := films.Readings[want.day]
		if picture, err := s.Video.Still(t.Context(), video.FilmedReadingRequest{AthleteID: list.Athletes[0].ID, ReadingID: r.ID}); err != nil || len(picture) < 10_000 {
			t.Errorf("the still has %d bytes, %v", len(picture), err)
		}
		if off := *r.AngleDeg - want.degrees; !r.Tells || off > 1 || off < -1 {
			t.Errorf("read as %.1f ± %.1f°, rowed %.1f°", *r.AngleDeg, *r.SdDeg, want.degrees)
		}
	}
}

// BenchmarkFill fills the season in, over the demo club.
func BenchmarkFill(b *testing.B) {
	for b.Loop() {
		b.StopTimer()
		s := api.NewService(storetest.Open(b))
		if err := s.Demo.FillDemo(b.Context()); err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
		if err := s.Season.Fill(b.Context()); err != nil {
			b.Fatal(err)
		}
		s.Close()
	}
}
