package samples

import (
	"fmt"
	"maps"
	"testing"
	"time"

	"thole/api/access"
	"thole/api/apitest"
	"thole/api/store"
	"thole/api/storetest"
)

const tasksPath = "/api/v1/tasks"

// newTask asks for a page that nobody asked for before.
func newTask() apitest.Object {
	return apitest.Object{"what": apitest.Fresh("Set up"), "address": "/boats/1?" + apitest.Fresh("x"), "note": "by Friday", "by": "Ines"}
}

func init() {
	// A task is done or open by the list it stands in, and the samples come from
	// no athlete's account.
	apitest.Settled = append(apitest.Settled, "POST "+tasksPath+".done_at", "GET "+tasksPath+".open.done_at", "GET "+tasksPath+".done.done_at",
		"DELETE "+tasksPath+"/:id.open.done_at", "DELETE "+tasksPath+"/:id.done.done_at", "GET /api/v1/me.athlete_id")
	Of["GET /api/v1/me"] = func(testing.TB) []Sample { return []Sample{{}} }
	Of["GET /api/v1/accounts"] = func(t testing.TB) []Sample {
		athlete := apitest.KnownAthlete(t)
		for _, a := range []store.Account{{Name: apitest.Fresh("Coach"), Role: "coach"}, {Name: apitest.Fresh("Rower"), Role: "athlete", AthleteID: &athlete}} {
			if _, err := storetest.AddAccount(apitest.Scratch, a, "correct horse battery"); err != nil {
				t.Fatal(err)
			}
		}
		return []Sample{{}}
	}
	Of["GET "+tasksPath] = func(t testing.TB) []Sample {
		for _, done := range []bool{false, true} {
			id := apitest.Created(t, tasksPath, newTask())
			if done {
				apitest.Request("DELETE", fmt.Sprintf("%s/%d", tasksPath, id), "", "")
			}
		}
		return []Sample{{}}
	}
	Of["POST "+tasksPath] = func(testing.TB) []Sample {
		return []Sample{{Body: newTask()}, {Body: apitest.Object{"what": apitest.Fresh("Oars"), "address": "/oars?" + apitest.Fresh("x")}}}
	}
	Of["DELETE "+tasksPath+"/:id"] = func(t testing.TB) []Sample {
		return []Sample{{path: fmt.Sprintf("%s/%d", tasksPath, apitest.Created(t, tasksPath, newTask()))}}
	}
	inches := apitest.Object{"body_lengths": "ft_in", "rig_lengths": "in", "masses": "lb", "sides": "stroke_bow", "days": "mdy", "decimals": "comma"}
	own := apitest.Object{"chosen": true}
	maps.Copy(own, inches)
	Of["GET /api/v1/usage"] = func(testing.TB) []Sample { return []Sample{{}} }
	Of["PUT /api/v1/usage"] = func(testing.TB) []Sample { return []Sample{{Body: inches}} }
	for method, body := range map[string]apitest.Object{"GET": nil, "PUT": own} {
		Of[method+" /api/v1/me/usage"] = func(t testing.TB) []Sample {
			who, _ := tokenOwner(t)
			askers["/api/v1/me/usage"] = who
			return []Sample{{path: "/api/v1/me/usage", Body: body}}
		}
	}
	const tokens = "/api/v1/tokens"
	by := func(who *access.Viewer, rest string, body apitest.Object) []Sample {
		askers[tokens+rest] = who // who asked last, for whom the sample is sent next
		return []Sample{{tokens + rest, body}}
	}
	Of["GET "+tokens] = func(t testing.TB) []Sample { who, _ := tokenOwner(t); return by(who, "", nil) }
	Of["POST "+tokens] = func(t testing.TB) []Sample {
		who, _ := tokenOwner(t)
		return by(who, "", apitest.Object{"name": "Table of the week", "scopes": []any{"read"}})
	}
	Of["DELETE "+tokens+"/:id"] = func(t testing.TB) []Sample {
		who, token := tokenOwner(t)
		return by(who, fmt.Sprintf("/%d", token), nil)
	}
	seatSamples()
	const examples = "/api/v1/examples"
	Of["GET "+examples] = func(testing.TB) []Sample { return []Sample{{}} }
	Of["POST "+examples] = func(testing.TB) []Sample {
		apitest.Request("DELETE", examples, "", "")
		return []Sample{{Body: apitest.Object{"by": "Ines"}}}
	}
	Of["DELETE "+examples] = func(testing.TB) []Sample { return []Sample{{}} }
}

// tokenOwner is a coach with two tokens, of which the first has been used.
func tokenOwner(t testing.TB) (who *access.Viewer, token int64) {
	who = &access.Viewer{Role: access.Coach, Account: knownAccount(t), Name: "Ines"}
	for _, scopes := range []string{"read", "read write"} {
		id, err := apitest.Scratch.AddToken(t.Context(), store.Token{AccountID: who.Account, Name: "Table", Scopes: scopes, ExpiresAt: time.Now().Add(time.Hour)}, apitest.Fresh("secret"))
		if err == nil && token == 0 {
			token = id
			err = apitest.Scratch.TokenUsed(t.Context(), id, time.Now())
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	return who, token
}

// seatsOf is where the seats of an athlete are kept.
func seatsOf(athlete int64) string { return fmt.Sprintf("/api/v1/athletes/%d/seats", athlete) }

// boatSeat keeps a seat of a boat on record, and sends it.
func boatSeat(t testing.TB) apitest.Object {
	return apitest.Object{
		"name": apitest.Fresh("Stroke"), "address": "/seat?class=1x&" + apitest.Fresh("x"), "boat_id": float64(apitest.Created(t, "/api/v1/boats", apitest.FullBoat())), "seat": 1.0,
		"note": "before Sunday", "send": true, "by": "Ines",
	}
}

// looseSeat keeps a seat of no boat.
func looseSeat() apitest.Object {
	return apitest.Object{"name": apitest.Fresh("Single"), "address": "/seat?class=1x&" + apitest.Fresh("x")}
}

// seatSamples are those of seats that are kept for athletes. One that was just
// sent is not done.
func seatSamples() {
	const path = "/api/v1/athletes/:id/seats"
	apitest.Settled = append(apitest.Settled, "POST "+path+".done_at", "POST "+path+"/:seat/send.done_at", "POST "+path+"/:seat/send.sent_at")
	Of["GET "+path] = func(t testing.TB) []Sample {
		athlete := apitest.KnownAthlete(t)
		apitest.Created(t, seatsOf(athlete), looseSeat())
		for _, done := range []bool{true, false} {
			kept := boatSeat(t)
			apitest.Created(t, seatsOf(athlete), kept)
			open, _, err := apitest.Scratch.Tasks(t.Context())
			if err != nil || len(open) == 0 {
				t.Fatal(open, err)
			}
			if done {
				apitest.Request("DELETE", fmt.Sprintf("%s/%d", tasksPath, open[len(open)-1].ID), "", "")
			}
		}
		return []Sample{{path: seatsOf(athlete)}}
	}
	Of["POST "+path] = func(t testing.TB) []Sample {
		athlete := seatsOf(apitest.KnownAthlete(t))
		return []Sample{{path: athlete, Body: boatSeat(t)}, {path: athlete, Body: looseSeat()}}
	}
	Of["POST "+path+"/:seat/send"] = func(t testing.TB) []Sample {
		athlete := seatsOf(apitest.KnownAthlete(t))
		return []Sample{
			{path: fmt.Sprintf("%s/%d/send", athlete, apitest.Created(t, athlete, looseSeat())), Body: apitest.Object{"by": "Ines"}},
			{path: fmt.Sprintf("%s/%d/send", athlete, apitest.Created(t, athlete, boatSeat(t))), Body: apitest.Object{}},
		}
	}
	Of["DELETE "+path+"/:seat"] = func(t testing.TB) []Sample {
		athlete := seatsOf(apitest.KnownAthlete(t))
		return []Sample{{path: fmt.Sprintf("%s/%d", athlete, apitest.Created(t, athlete, looseSeat()))}}
	}
}
