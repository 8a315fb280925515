package apitest

import (
	"fmt"
	"testing"

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
}
