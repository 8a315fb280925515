package privacy_test

import (
	"context"
	"errors"
	"net/http"
	"testing"
	"time"

	"thole/api/access"
	"thole/api/privacy"
	"thole/api/records"
	"thole/api/store"
	"thole/api/storetest"
	"thole/api/wire"
)

// TestConsentFollowsTheAge lets time go on: what a guardian said does for a child,
// and not for an adult.
func TestConsentFollowsTheAge(t *testing.T) {
	now := time.Date(2026, 3, 14, 12, 0, 0, 0, time.UTC)
	s := privacy.New(&records.Records{Store: storetest.Open(t), Now: func() time.Time { return now }})
	born := "2008-06-01"
	id, err := s.Store.AddAthlete(t.Context(), store.Athlete{Name: "Mia Ek", BirthDate: &born}, s.Signed("Ines"))
	if err != nil {
		t.Fatal(err)
	}
	want := func(state string, minor bool) {
		t.Helper()
		p, err := s.Privacy(t.Context(), records.IDRequest{ID: id})
		if err != nil || p.State != state || p.Minor != minor || !p.AgeKnown {
			t.Errorf("%+v %v, want %s, %v", p, err, state, minor)
		}
	}
	want(privacy.None, true)
	own := access.With(t.Context(), &access.Viewer{Role: access.Athlete, Account: 1, Athlete: id})
	add := func(ctx context.Context, c privacy.NewConsent) error {
		c.AthleteID, c.By = id, "Ines"
		p, err := s.AddConsent(ctx, c)
		if wanted := map[bool]string{true: privacy.Given, false: privacy.Withdrawn}[c.Given]; err == nil && (p.AthleteID != id || p.State != wanted) {
			t.Errorf("after %+v: %+v", c, p)
		}
		return err
	}
	var bad *wire.Invalid
	if err := add(t.Context(), privacy.NewConsent{Given: true}); !errors.As(err, &bad) || bad.Fields[0].Field != "guardian" {
		t.Errorf("alone: %v", err)
	}
	if err := add(t.Context(), privacy.NewConsent{Given: true, SaidOn: "2027-01-01", Guardian: "x"}); !errors.As(err, &bad) || bad.Fields[0].Field != "said_on" {
		t.Errorf("to come: %v", err)
	}
	var said *wire.Refusal
	if err := add(own, privacy.NewConsent{Given: true, Guardian: "Mother"}); !errors.As(err, &said) || said.Status != http.StatusForbidden {
		t.Errorf("by the child: %v", err)
	}
	if err := add(t.Context(), privacy.NewConsent{Given: true, Guardian: " Mother "}); err != nil {
		t.Error(err)
	}
	want(privacy.Given, true)
	now = now.AddDate(0, 6, 0)
	want(privacy.Renew, false)
	if err := add(own, privacy.NewConsent{Given: true}); err != nil {
		t.Error(err)
	}
	want(privacy.Given, false)
	if err := add(own, privacy.NewConsent{}); err != nil {
		t.Error(err)
	}
	want(privacy.Withdrawn, false)
	all, err := s.Everything(t.Context(), records.IDRequest{ID: id})
	if err != nil || len(all.Records["consents"]) != 3 || all.Records["consents"][0]["guardian"] != "Mother" {
		t.Errorf("%+v %v", all, err)
	}
	if _, err := s.Everything(t.Context(), records.IDRequest{ID: 99}); !errors.Is(err, wire.ErrNotFound) {
		t.Error(err)
	}
}

// TestTheAgeIsKnownByTheDayOrTheYearOfBirth; by the year alone one of 18 may be under it.
func TestTheAgeIsKnownByTheDayOrTheYearOfBirth(t *testing.T) {
	now := time.Date(2026, 3, 14, 12, 0, 0, 0, time.UTC)
	s := privacy.New(&records.Records{Store: storetest.Open(t), Now: func() time.Time { return now }})
	for name, c := range map[string]struct {
		day          *string
		year         *int64
		known, minor bool
	}{
		"neither": {nil, nil, false, false}, "18 that day": {new("2008-03-14"), nil, true, false}, "18 the next day": {new("2008-03-15"), nil, true, true},
		"18 that year": {nil, new(int64(2008)), true, true}, "19 that year": {nil, new(int64(2007)), true, false},
	} {
		id, err := s.Store.AddAthlete(t.Context(), store.Athlete{Name: name, BirthDate: c.day, BirthYear: c.year}, s.Signed("Ines"))
		if err != nil {
			t.Fatal(err)
		}
		if p, err := s.Privacy(t.Context(), records.IDRequest{ID: id}); err != nil || p.AgeKnown != c.known || p.Minor != c.minor {
			t.Errorf("%s: %+v %v", name, p, err)
		}
	}
}
