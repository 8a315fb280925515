package apitest

import (
	"fmt"
	"testing"
	"time"

	"thole/api/access"
	"thole/api/store"
)

const tasksPath = "/api/v1/tasks"

// newTask asks for a page that nobody asked for before.
func newTask() Object {
	return Object{"what": Fresh("Set up"), "address": "/boats/1?" + Fresh("x"), "note": "by Friday", "by": "Ines"}
}

func init() {
	// A task is done or open by the list it stands in, and the samples come from
	// no athlete's account.
	Settled = append(Settled, "POST "+tasksPath+".done_at", "GET "+tasksPath+".open.done_at", "GET "+tasksPath+".done.done_at",
		"DELETE "+tasksPath+"/:id.open.done_at", "DELETE "+tasksPath+"/:id.done.done_at", "GET /api/v1/me.athlete_id")
	Samples["GET /api/v1/me"] = func(testing.TB) []sample { return []sample{{}} }
	Samples["GET /api/v1/accounts"] = func(t testing.TB) []sample {
		athlete := KnownAthlete(t)
		for _, a := range []store.Account{{Name: Fresh("Coach"), Role: "coach"}, {Name: Fresh("Rower"), Role: "athlete", AthleteID: &athlete}} {
			if _, err := scratch.AddAccount(t.Context(), a, "correct horse battery"); err != nil {
				t.Fatal(err)
			}
		}
		return []sample{{}}
	}
	Samples["GET "+tasksPath] = func(t testing.TB) []sample {
		for _, done := range []bool{false, true} {
			id := Created(t, tasksPath, newTask())
			if done {
				Request("DELETE", fmt.Sprintf("%s/%d", tasksPath, id), "", "")
			}
		}
		return []sample{{}}
	}
	Samples["POST "+tasksPath] = func(testing.TB) []sample {
		return []sample{{Body: newTask()}, {Body: Object{"what": Fresh("Oars"), "address": "/oars?" + Fresh("x")}}}
	}
	Samples["DELETE "+tasksPath+"/:id"] = func(t testing.TB) []sample {
		return []sample{{path: fmt.Sprintf("%s/%d", tasksPath, Created(t, tasksPath, newTask()))}}
	}
	const tokens = "/api/v1/tokens"
	by := func(who *access.Viewer, rest string, body Object) []sample {
		askers[tokens+rest] = who // who asked last, for whom the sample is sent next
		return []sample{{tokens + rest, body}}
	}
	Samples["GET "+tokens] = func(t testing.TB) []sample { who, _ := tokenOwner(t); return by(who, "", nil) }
	Samples["POST "+tokens] = func(t testing.TB) []sample {
		who, _ := tokenOwner(t)
		return by(who, "", Object{"name": "Table of the week", "scopes": []any{"read"}})
	}
	Samples["DELETE "+tokens+"/:id"] = func(t testing.TB) []sample {
		who, token := tokenOwner(t)
		return by(who, fmt.Sprintf("/%d", token), nil)
	}
	seatSamples()
	const examples = "/api/v1/examples"
	Samples["GET "+examples] = func(testing.TB) []sample { return []sample{{}} }
	Samples["POST "+examples] = func(testing.TB) []sample {
		Request("DELETE", examples, "", "")
		return []sample{{Body: Object{"by": "Ines"}}}
	}
	Samples["DELETE "+examples] = func(testing.TB) []sample { return []sample{{}} }
}

// tokenOwner is a coach with two tokens, of which the first has been used.
func tokenOwner(t testing.TB) (who *access.Viewer, token int64) {
	who = &access.Viewer{Role: access.Coach, Account: knownAccount(t), Name: "Ines"}
	for _, scopes := range []string{"read", "read write"} {
		id, err := scratch.AddToken(t.Context(), store.Token{AccountID: who.Account, Name: "Table", Scopes: scopes, ExpiresAt: time.Now().Add(time.Hour)}, Fresh("secret"))
		if err == nil && token == 0 {
			token = id
			err = scratch.TokenUsed(t.Context(), id, time.Now())
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
func boatSeat(t testing.TB) Object {
	return Object{
		"name": Fresh("Stroke"), "address": "/seat?class=1x&" + Fresh("x"), "boat_id": float64(Created(t, "/api/v1/boats", FullBoat())), "seat": 1.0,
		"note": "before Sunday", "send": true, "by": "Ines",
	}
}

// looseSeat keeps a seat of no boat.
func looseSeat() Object {
	return Object{"name": Fresh("Single"), "address": "/seat?class=1x&" + Fresh("x")}
}

// seatSamples are those of seats that are kept for athletes. One that was just
// sent is not done.
func seatSamples() {
	const path = "/api/v1/athletes/:id/seats"
	Settled = append(Settled, "POST "+path+".done_at", "POST "+path+"/:seat/send.done_at", "POST "+path+"/:seat/send.sent_at")
	Samples["GET "+path] = func(t testing.TB) []sample {
		athlete := KnownAthlete(t)
		Created(t, seatsOf(athlete), looseSeat())
		for _, done := range []bool{true, false} {
			kept := boatSeat(t)
			Created(t, seatsOf(athlete), kept)
			open, _, err := scratch.Tasks(t.Context())
			if err != nil || len(open) == 0 {
				t.Fatal(open, err)
			}
			if done {
				Request("DELETE", fmt.Sprintf("%s/%d", tasksPath, open[len(open)-1].ID), "", "")
			}
		}
		return []sample{{path: seatsOf(athlete)}}
	}
	Samples["POST "+path] = func(t testing.TB) []sample {
		athlete := seatsOf(KnownAthlete(t))
		return []sample{{path: athlete, Body: boatSeat(t)}, {path: athlete, Body: looseSeat()}}
	}
	Samples["POST "+path+"/:seat/send"] = func(t testing.TB) []sample {
		athlete := seatsOf(KnownAthlete(t))
		return []sample{
			{path: fmt.Sprintf("%s/%d/send", athlete, Created(t, athlete, looseSeat())), Body: Object{"by": "Ines"}},
			{path: fmt.Sprintf("%s/%d/send", athlete, Created(t, athlete, boatSeat(t))), Body: Object{}},
		}
	}
	Samples["DELETE "+path+"/:seat"] = func(t testing.TB) []sample {
		athlete := seatsOf(KnownAthlete(t))
		return []sample{{path: fmt.Sprintf("%s/%d", athlete, Created(t, athlete, looseSeat()))}}
	}
}
