package samples

import (
	"fmt"
	"testing"
	"time"

	"thole/api/apitest"
	"thole/api/store"
	"thole/api/storetest"
)

const linksPath = "/api/v1/links"

// knownAccount is a coach's account beside another one.
func knownAccount(t testing.TB) int64 {
	var id int64
	for range 2 {
		var err error
		if id, err = storetest.AddAccount(apitest.Scratch, store.Account{Name: apitest.Fresh("Coach"), Role: "coach"}, "correct horse battery"); err != nil {
			t.Fatal(err)
		}
	}
	return id
}

func sharing() apitest.Object {
	return apitest.Object{"name": apitest.Fresh("Set-up"), "address": "/setup?" + apitest.Fresh("x"), "days": 30.0}
}

// links puts one of each kind on record, one of them used.
func links(t testing.TB) int64 {
	athlete := apitest.KnownAthlete(t)
	secret := apitest.Fresh("secret")
	ids, err := apitest.Scratch.AddLinks(t.Context(), []store.Link{
		{Kind: "invitation", Name: "Bert", Role: "boatman", CreatedBy: "Ines", ExpiresAt: time.Now().Add(time.Hour)},
		{Kind: "measuring", Name: "Edda", AthleteID: &athlete, CreatedBy: "Ines", ExpiresAt: time.Now().Add(time.Hour)},
		{Kind: "page", Name: "Set-up", Address: "/setup", CreatedBy: "Ines", ExpiresAt: time.Now().Add(time.Hour)},
	}, []string{secret + "1", secret + "2", secret + "3"})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := apitest.Scratch.UseLink(t.Context(), "page", secret+"3", time.Now()); err != nil {
		t.Fatal(err)
	}
	return ids[2]
}

func init() {
	const account = "/api/v1/accounts/:id"
	Of["PUT "+account] = func(t testing.TB) []Sample {
		at := func() string { return fmt.Sprintf("/api/v1/accounts/%d", knownAccount(t)) }
		return []Sample{
			{path: at(), Body: apitest.Object{"role": "boatman"}},
			{path: at(), Body: apitest.Object{"role": "athlete", "athlete_id": float64(apitest.KnownAthlete(t))}},
		}
	}
	Of["DELETE "+account] = func(t testing.TB) []Sample {
		return []Sample{{path: fmt.Sprintf("/api/v1/accounts/%d", knownAccount(t))}}
	}
	Of["POST /api/v1/invitations"] = func(t testing.TB) []Sample {
		return []Sample{{Body: apitest.Object{"people": []any{
			apitest.Object{"role": "boatman", "name": apitest.Fresh("Bert")}, apitest.Object{"role": "athlete", "athlete_id": float64(apitest.KnownAthlete(t))},
		}}}}
	}
	Of["GET "+linksPath] = func(t testing.TB) []Sample { links(t); return []Sample{{}} }
	Of["POST "+linksPath] = func(testing.TB) []Sample { return []Sample{{Body: sharing()}} }
	Of["DELETE "+linksPath+"/:id"] = func(t testing.TB) []Sample {
		return []Sample{{path: fmt.Sprintf("%s/%d", linksPath, links(t))}}
	}
	Of["POST /api/v1/athletes/:id/measuring-links"] = func(t testing.TB) []Sample {
		path := fmt.Sprintf("/api/v1/athletes/%d/measuring-links", apitest.KnownAthlete(t))
		return []Sample{{path: path, Body: apitest.Object{}}, {path: path, Body: apitest.Object{"boat_id": float64(apitest.Created(t, "/api/v1/boats", apitest.FullBoat())), "seat": 1.0}}}
	}
}
