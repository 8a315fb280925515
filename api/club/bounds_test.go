package club_test

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"testing"

	"thole/api/apitest"
	"thole/api/club"
	"thole/api/wire"
)

// TestJuniorsAreMeasuredAgain after 90 days, which 10 May and 8 August are apart, till the
// day on which they are 18, 1 May 2030.
func TestJuniorsAreMeasuredAgain(t *testing.T) {
	junior := apitest.Created(t, "/api/v1/athletes", apitest.FullAthlete())
	unknown := apitest.Created(t, "/api/v1/athletes", apitest.BareAthlete())
	for _, id := range []int64{junior, unknown} {
		apitest.Created(t, fmt.Sprintf("/api/v1/athletes/%d/measures", id), apitest.Object{"measured_on": "2026-05-10", "stature_cm": 163.0, "measured_by": "Ann"})
	}
	for _, c := range []struct {
		id   int64
		day  string
		want bool
	}{
		{junior, "2026-05-09", true}, {junior, "2026-05-10", false}, {junior, "2026-08-08", false}, {junior, "2026-08-09", true}, {junior, "2030-04-30", true}, {junior, "2030-05-01", false},
		{unknown, "2026-05-09", false}, {unknown, "2027-05-10", false}, // the age is not known
	} {
		a := apitest.Decoded[club.Athlete](t, apitest.Request(http.MethodGet, fmt.Sprintf("/api/v1/athletes/%d?as_of=%s", c.id, c.day), "", "").Body.Bytes())
		if got := len(a.Cautions) == 1 && a.Cautions[0].Code == "measure_again"; got != c.want || !got && len(a.Cautions) > 0 {
			t.Errorf("on %s: %+v, want measured again: %t", c.day, a.Cautions, c.want)
		}
	}
}

// TestYearsOfBirth go back 110 years from this one, our judgement of how long people live;
// the birth date says the year already.
func TestYearsOfBirth(t *testing.T) {
	now := int64(apitest.Service.Club.Now().Year())
	for year, bad := range map[int64]bool{now: false, now + 1: true, now - 110: false, now - 111: true, 2004: false} {
		f := club.AthleteFields{Name: "Ann", BirthYear: &year}
		if err := apitest.Service.Club.CheckAthlete(&f, "Ines"); complainsOf(err, "birth_year") != bad {
			t.Errorf("born in %d: %v", year, err)
		}
	}
	f := club.AthleteFields{Name: "Ann", BirthYear: wire.Ptr(int64(2004)), BirthDate: wire.Ptr("2004-04-03")}
	if err := apitest.Service.Club.CheckAthlete(&f, "Ines"); !complainsOf(err, "birth_year") {
		t.Errorf("born twice: %v", err)
	}
}

// complainsOf reports whether an error complains about a field.
func complainsOf(err error, field string) bool {
	var bad *wire.Invalid
	return errors.As(err, &bad) && slices.ContainsFunc(bad.Fields, func(f wire.FieldProblem) bool { return f.Field == field })
}

// TestSquadsOfAthletes: who is in a squad is found by it, squad 0 is everybody, and a squad
// that is not there is told at its place, of new athletes and of those on record.
func TestSquadsOfAthletes(t *testing.T) {
	s, ctx := apitest.Service.Club, t.Context()
	id, other := apitest.Created(t, "/api/v1/athletes", apitest.BareAthlete()), apitest.Created(t, "/api/v1/athletes", apitest.BareAthlete())
	squad := apitest.Must(s.AddSquad(ctx, club.NewSquad{SquadFields: club.SquadFields{Name: apitest.Fresh("Owls"), AthleteIDs: []int64{id}}}))
	if in, err := s.InSquad(ctx, squad.ID); err != nil || !in(id) || in(other) {
		t.Errorf("the squad: %v", err)
	}
	if in, err := s.InSquad(ctx, 0); err != nil || in != nil {
		t.Errorf("everybody: %v", err)
	}
	if _, err := s.InSquad(ctx, squad.ID+1000); !errors.Is(err, wire.ErrNotFound) {
		t.Errorf("no squad: %v", err)
	}
	names := func(squad int64) (found []bool) {
		list := apitest.Must(s.NamesIn(ctx, squad))
		for _, want := range []int64{id, other} {
			n := 0
			for _, a := range list {
				if a.ID == want {
					n++
				}
			}
			found = append(found, n == 1)
		}
		return found
	}
	if a, b := fmt.Sprint(names(squad.ID)), fmt.Sprint(names(0)); a != "[true false]" || b != "[true true]" {
		t.Errorf("%s in the squad, %s of everybody", a, b)
	}
	lost := []int64{squad.ID + 1000}
	if _, err := s.AddAthlete(ctx, club.NewAthlete{AthleteFields: club.AthleteFields{Name: apitest.Fresh("Ann"), SquadIDs: lost}, By: "Ines"}); !complainsOf(err, "squad_ids") {
		t.Errorf("a new athlete: %v", err)
	}
	edit := club.AthleteEdit{ID: id, Version: 1, AthleteFields: club.AthleteFields{Name: apitest.Fresh("Ann"), SquadIDs: lost}, By: "Ines"}
	if _, err := s.UpdateAthlete(ctx, edit); !complainsOf(err, "squad_ids") {
		t.Errorf("one on record: %v", err)
	}
	edit.SquadIDs = []int64{squad.ID}
	if a, err := s.UpdateAthlete(ctx, edit); err != nil || !slices.Equal(a.SquadIDs, edit.SquadIDs) {
		t.Errorf("%v, in %v", err, a.SquadIDs)
	}
}
