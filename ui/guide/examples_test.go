package guide_test

import (
	"fmt"
	"net/http"
	"testing"

	"thole/ui/uitest"
)

// TestExamplesComeAndGo: loaded into an empty club, not twice, and removed as long as there
// are any.
func TestExamplesComeAndGo(t *testing.T) {
	c := uitest.NewClub(t)
	steps := []struct {
		method, path string
		status       int
		says         string
	}{
		{http.MethodPost, "/examples", 303, ""}, {http.MethodPost, "/examples", 409, "The examples were not loaded"}, {http.MethodGet, "/examples/remove", 200, "Remove the examples?"},
		{http.MethodPost, "/examples/remove", 303, ""},
	}
	for i, s := range steps {
		p := c.Send(s.method, s.path, nil)
		if p.Status != s.status {
			t.Errorf("step %d, %s %s: %d, want %d: %.300s", i, s.method, s.path, p.Status, s.status, p.Body)
		}
		if s.says != "" {
			uitest.WantIn(t, fmt.Sprintf("step %d", i), p.Body, s.says)
		}
	}
}
