package demo_test

import (
	"testing"

	"thole/api"
	"thole/api/apitest"
	"thole/api/club"
	"thole/api/fleet"
	"thole/api/records"
	"thole/api/seat"
	"thole/api/store"
	"thole/api/storetest"
)

// newClub returns a service over empty records, and the records.
func newClub(t testing.TB) (*api.Service, *store.Store) {
	t.Helper()
	file := storetest.Open(t)
	return api.NewService(file), file
}

// demoClub returns a service over the demo club.
func demoClub(t testing.TB) (*api.Service, *store.Store) {
	t.Helper()
	s, file := newClub(t)
	if err := s.Demo.FillDemo(t.Context()); err != nil {
		t.Fatal(err)
	}
	return s, file
}

func TestDemoClubHasAllKindsOfPeople(t *testing.T) {
	s, _ := demoClub(t)
	list, err := s.Club.Athletes(t.Context(), records.ListRequest{})
	if err != nil {
		t.Fatal(err)
	}
	kinds := map[string]int{}
	for _, a := range list.Athletes {
		kinds[a.Sex]++
		if *a.AgeYears < 18 {
			kinds["junior"]++
		}
		if *a.AgeYears >= 45 {
			kinds["master"]++
		}
		if a.Sculls {
			kinds["sculls"]++
		}
		if a.PortCostS != nil {
			kinds["port"]++
		}
		if a.StarboardCostS != nil {
			kinds["starboard"]++
		}
		if a.StatureCm == nil || a.MassKg == nil {
			t.Errorf("%s was never measured", a.Name)
		}
	}
	apitest.Same(t, "athletes", len(list.Athletes), 24)
	for _, kind := range []string{"female", "male", "junior", "master", "sculls", "port", "starboard"} {
		if kinds[kind] < 4 {
			t.Errorf("%d of kind %s", kinds[kind], kind)
		}
	}
}

// TestDemoBoatsCanBeWorkedOut puts an athlete of the club into every seat.
func TestDemoBoatsCanBeWorkedOut(t *testing.T) {
	s, _ := demoClub(t)
	athlete, err := s.Club.Athlete(t.Context(), club.AthleteRequest{ID: 1})
	if err != nil {
		t.Fatal(err)
	}
	boats, err := s.Fleet.Boats(t.Context(), records.ListRequest{Archived: true})
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "boats", len(boats.Boats), 10)
	for _, b := range boats.Boats {
		boat, err := s.Fleet.Boat(t.Context(), records.IDRequest{ID: b.ID})
		if err != nil {
			t.Fatal(err)
		}
		for _, place := range boat.Seats {
			_, err := s.Seat.SolveSeat(t.Context(), seat.SolveRequest{BoatClass: b.BoatClass, Seat: place.Seat, Rower: athlete.Rower})
			if err != nil {
				t.Errorf("%s, seat %d: %v", b.Name, place.Number, err)
			}
		}
	}
}

func TestDemoFillsEmptyRecordsOnly(t *testing.T) {
	s, _ := newClub(t)
	added, err := s.Fleet.AddOarSet(t.Context(), fleet.NewOarSet{OarFields: fleet.OarFields{Name: "Ours", Kind: "scull", Archived: true}, By: "Ann"})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Demo.FillDemo(t.Context()); err != nil {
		t.Fatal(err)
	}
	boats, err := s.Fleet.Boats(t.Context(), records.ListRequest{Archived: true})
	if err != nil || len(boats.Boats) != 0 || added.ID != 1 {
		t.Errorf("%d boats, %v: a club's own records were filled up", len(boats.Boats), err)
	}
}

func TestDemoFillsOnce(t *testing.T) {
	s, file := demoClub(t)
	if err := s.Demo.FillDemo(t.Context()); err != nil {
		t.Fatal(err)
	}
	sets, err := s.Fleet.OarSets(t.Context(), records.ListRequest{Archived: true})
	if err != nil {
		t.Fatal(err)
	}
	tests, err := file.ErgTestsSince(t.Context(), "2000-01-01")
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "oar sets", len(sets.OarSets), 4)
	if len(tests) < 50 {
		t.Errorf("%d ergometer tests", len(tests))
	}
}

func BenchmarkFillDemo(b *testing.B) {
	for b.Loop() {
		b.StopTimer()
		s, _ := newClub(b)
		b.StartTimer()
		if err := s.Demo.FillDemo(b.Context()); err != nil {
			b.Fatal(err)
		}
	}
}
