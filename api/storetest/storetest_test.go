package storetest_test

import (
	"errors"
	"testing"

	"thole/api/store"
	"thole/api/storetest"
)

// TestCopiesAreApart holds that what a test writes reaches no other copy, and that
// what was filled in reaches all.
func TestCopiesAreApart(t *testing.T) {
	filled := 0
	file := storetest.Filled(func(s *store.Store) error {
		filled++
		_, err := s.AddAthlete(t.Context(), store.Athlete{Name: "Ann"}, store.By{Name: "Ines"})
		return err
	})
	one, other := storetest.Copy(t, file), storetest.Copy(t, file)
	if _, err := one.AddAthlete(t.Context(), store.Athlete{Name: "Bea"}, store.By{Name: "Ines"}); err != nil {
		t.Fatal(err)
	}
	for want, s := range map[int]*store.Store{0: storetest.Open(t), 1: other, 2: one} {
		list, err := s.Athletes(t.Context(), store.Filter{})
		if err != nil || len(list) != want {
			t.Errorf("%d athletes, want %d: %v", len(list), want, err)
		}
	}
	if filled != 1 {
		t.Errorf("filled %d times", filled)
	}
}

func TestAFaultOfFillingIsReturned(t *testing.T) {
	fault := errors.New("no club")
	if _, err := storetest.Filled(func(*store.Store) error { return fault })(); !errors.Is(err, fault) {
		t.Errorf("%v", err)
	}
}
