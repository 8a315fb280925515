package apitest

import (
	"fmt"
	"testing"
	"time"

	"thole/api/store"
)

const linksPath = "/api/v1/links"

// knownAccount is a coach's account beside another one.
func knownAccount(t testing.TB) int64 {
	var id int64
	for range 2 {
		var err error
		if id, err = scratch.AddAccount(t.Context(), store.Account{Name: Fresh("Coach"), Role: "coach"}, "correct horse battery"); err != nil {
			t.Fatal(err)
		}
	}
	return id
}

func sharing() Object {
	return Object{"name": Fresh("Set-up"), "address": "/setup?" + Fresh("x"), "days": 30.0}
}

// links puts one of each kind on record, one of them used.
func links(t testing.TB) int64 {
	athlete := KnownAthlete(t)
	secret := Fresh("secret")
	ids, err := scratch.AddLinks(t.Context(), []store.Link{
		{Kind: "invitation", Name: "Bert", Role: "boatman", CreatedBy: "Ines", ExpiresAt: time.Now().Add(time.Hour)},
		{Kind: "measuring", Name: "Edda", AthleteID: &athlete, CreatedBy: "Ines", ExpiresAt: time.Now().Add(time.Hour)},
		{Kind: "page", Name: "Set-up", Address: "/setup", CreatedBy: "Ines", ExpiresAt: time.Now().Add(time.Hour)},
	}, []string{secret + "1", secret + "2", secret + "3"})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := scratch.UseLink(t.Context(), "page", secret+"3", time.Now()); err != nil {
		t.Fatal(err)
	}
	return ids[2]
}

func init() {
	const account = "/api/v1/accounts/:id"
	Samples["PUT "+account] = func(t testing.TB) []sample {
		at := func() string { return fmt.Sprintf("/api/v1/accounts/%d", knownAccount(t)) }
		return []sample{
			{path: at(), Body: Object{"role": "boatman"}},
			{path: at(), Body: Object{"role": "athlete", "athlete_id": float64(KnownAthlete(t))}},
		}
	}
	Samples["DELETE "+account] = func(t testing.TB) []sample {
		return []sample{{path: fmt.Sprintf("/api/v1/accounts/%d", knownAccount(t))}}
	}
	Samples["POST /api/v1/invitations"] = func(t testing.TB) []sample {
		return []sample{{Body: Object{"people": []any{
			Object{"role": "boatman", "name": Fresh("Bert")}, Object{"role": "athlete", "athlete_id": float64(KnownAthlete(t))},
		}}}}
	}
	Samples["GET "+linksPath] = func(t testing.TB) []sample { links(t); return []sample{{}} }
	Samples["POST "+linksPath] = func(testing.TB) []sample { return []sample{{Body: sharing()}} }
	Samples["DELETE "+linksPath+"/:id"] = func(t testing.TB) []sample {
		return []sample{{path: fmt.Sprintf("%s/%d", linksPath, links(t))}}
	}
	Samples["POST /api/v1/athletes/:id/measuring-links"] = func(t testing.TB) []sample {
		path := fmt.Sprintf("/api/v1/athletes/%d/measuring-links", KnownAthlete(t))
		return []sample{{path: path, Body: Object{}}, {path: path, Body: Object{"boat_id": float64(Created(t, "/api/v1/boats", FullBoat())), "seat": 1.0}}}
	}
}
