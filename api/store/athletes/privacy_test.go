package athletes_test

import (
	"context"
	"errors"
	"testing"

	"thole/api/store"
	"thole/api/storetest"
)

func TestWhoIsAMinor(t *testing.T) {
	date := func(text string) *string { return &text }
	year := func(y int64) *int64 { return &y }
	for _, c := range []struct {
		date *string
		year *int64
		want bool
	}{
		{nil, nil, false}, {date("2008-03-14"), nil, false}, {date("2008-03-15"), nil, true}, {date("2012-01-01"), nil, true}, {date("1990-01-01"), nil, false},
		{nil, year(2007), false}, {nil, year(2008), true}, {nil, year(2010), true},
		{date("2008-02-29"), nil, false},
	} {
		if got := (&store.Athlete{BirthDate: c.date, BirthYear: c.year}).Minor("2026-03-14"); got != c.want {
			t.Errorf("%v %v: %v", c.date, c.year, got)
		}
	}
}

func TestMinorsHaveNoNameOutsideTheClub(t *testing.T) {
	s := storetest.New(t)
	child := storetest.Must(s.AddAthlete(storetest.Ctx, store.Athlete{Name: "Mia Ek", BirthDate: storetest.Ptr("2012-05-01"), Note: "asthma"}, storetest.Anna))
	storetest.Must(s.AddAthlete(storetest.Ctx, store.Athlete{Name: "Ola Ny", BirthDate: storetest.Ptr("1990-05-01")}, storetest.Anna))
	for name, c := range map[string]struct {
		ctx  context.Context
		want []string
	}{
		"inside": {storetest.Ctx, []string{"Mia Ek", "Ola Ny"}}, "outside": {store.WithoutMinors(storetest.Ctx), []string{"Junior 1", "Ola Ny"}},
	} {
		var got []string
		for _, a := range storetest.Must(s.Athletes(c.ctx, store.Filter{})) {
			got = append(got, a.Name)
		}
		storetest.WantEqual(t, got, c.want)
		if a := storetest.Must(s.Athlete(c.ctx, child)); a.Name != c.want[0] || (a.Note == "") != (name == "outside") || a.BirthDate == nil {
			t.Errorf("%s: %+v", name, a)
		}
	}
}

func TestConsents(t *testing.T) {
	s := storetest.New(t)
	id := storetest.AddNamed(t, s, "Edda")
	storetest.Must(s.AddConsent(storetest.Ctx, store.Consent{AthleteID: id, Given: true, SaidOn: "2026-01-05", Guardian: "Mother"}, storetest.Anna))
	storetest.Must(s.AddConsent(storetest.Ctx, store.Consent{AthleteID: id, SaidOn: "2026-02-05"}, storetest.Anna))
	got := storetest.Must(s.ConsentsOf(storetest.Ctx, id))
	if len(got) != 2 || got[0].Given || !got[1].Given || got[1].Guardian != "Mother" || got[0].EnteredBy != "Anna" || !got[0].EnteredAt.Equal(storetest.Noon) {
		t.Errorf("%+v", got)
	}
	_, err := s.AddConsent(storetest.Ctx, store.Consent{AthleteID: 99, SaidOn: "2026-02-05"}, storetest.Anna)
	storetest.WantError(t, err, store.ErrNotFound)
	_, err = s.ConsentsOf(storetest.Ctx, 99)
	if !errors.Is(err, store.ErrNotFound) {
		t.Error(err)
	}
}

// TestWhereAnAthleteStandsWithConsent: the newest counts, and who said it for whom.
func TestWhereAnAthleteStandsWithConsent(t *testing.T) {
	said := func(given bool, guardian string) []store.Consent {
		return []store.Consent{{Given: given, Guardian: guardian}, {Given: !given, Guardian: "Mother"}}
	}
	for _, c := range []struct {
		said  []store.Consent
		minor bool
		want  string
	}{
		{nil, false, store.ConsentNone}, {nil, true, store.ConsentNone}, {said(false, ""), false, store.ConsentWithdrawn}, {said(false, "Mother"), true, store.ConsentWithdrawn},
		{said(true, ""), false, store.ConsentGiven}, {said(true, ""), true, store.ConsentNone}, {said(true, "Mother"), true, store.ConsentGiven}, {said(true, "Mother"), false, store.ConsentRenew},
	} {
		if got := store.ConsentState(c.said, c.minor); got != c.want {
			t.Errorf("%+v, under age %v: %s, want %s", c.said, c.minor, got, c.want)
		}
	}
}
