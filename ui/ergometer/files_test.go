package ergometer_test

import (
	"net/http"
	"testing"

	"thole/ui/uitest"
)

// TestFilesOfTheSquad: those that there are, and no others.
func TestFilesOfTheSquad(t *testing.T) {
	c := uitest.DemoClub(t)
	for path, want := range map[string]int{"/squad/squad.csv": 200, "/squad/squad.xlsx": 200, "/squad/squad.exe": 404, "/squad/crew.csv": 404, "/squad/squad": 404} {
		if p := c.Get(path); p.Status != want || want == http.StatusOK && len(p.Body) < 500 {
			t.Errorf("%s: %d, want %d", path, p.Status, want)
		}
	}
}
