package people_test

import (
	"fmt"
	"strings"
	"testing"

	"thole/api/people"
	"thole/ui/uitest"
)

// TestManyTasksArePaged: a hundred on a page, and ten on the start page.
func TestManyTasksArePaged(t *testing.T) {
	s := newServer(t, false)
	coach := s.coach()
	for i := range 103 {
		ask := people.NewTask{What: fmt.Sprintf("Task %03d", i), Address: fmt.Sprintf("/boats/%d", i+1), By: "Ines"}
		if _, err := s.service.People.AddTask(t.Context(), ask); err != nil {
			t.Fatal(err)
		}
	}
	for path, want := range map[string]int{"/tasks": 100, "/tasks?page=2": 3, "/": 10} {
		body := coach.get(path).Body
		if n := strings.Count(body, ">Task "); n != want {
			t.Errorf("%s: %d tasks, want %d", path, n, want)
		}
	}
	uitest.WantIn(t, "first", coach.get("/tasks").Body, `rel="next" href="/tasks?page=2"`)
	uitest.WantIn(t, "start", coach.get("/").Body, "93 more to be done")
}
