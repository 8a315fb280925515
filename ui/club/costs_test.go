package club_test

import (
	"strings"
	"testing"

	"thole/ui/uitest"
)

// TestASideThatCostsNothingIsTickedAlone: the field of its cost stays empty, and one that
// costs something has it.
func TestASideThatCostsNothingIsTickedAlone(t *testing.T) {
	c := uitest.DemoClub(t)
	form := c.Form("/athletes/13/edit", "port", "true", "port_cost_s", "", "starboard", "true", "starboard_cost_s", "2.5", "by", "Ann")
	uitest.GoesTo(t, c.Post("/athletes/13", form), "/athletes/13")
	again := uitest.FormValues(c.Opened("/athletes/13/edit"))
	for name, want := range map[string]string{"port": "true", "port_cost_s": "", "starboard": "true", "starboard_cost_s": "2.5"} {
		if got := again.Get(name); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
}

// TestTheNewestRecordingsAreOnThePage, five at most, of somebody who has any.
func TestTheNewestRecordingsAreOnThePage(t *testing.T) {
	c := uitest.DemoClub(t)
	with, without := 0, 0
	for _, at := range []string{"/athletes/1", "/athletes/2", "/athletes/7", "/athletes/13"} {
		body := c.Opened(at)
		_, water, found := strings.Cut(body, `id="water"`)
		water, _, _ = strings.Cut(water, "</section>")
		rows, none := strings.Count(water, `<li><a href="/recordings/`), strings.Contains(water, "No recording yet.")
		if !found || none != (rows == 0) || rows > 5 || strings.Contains(water, "Progress over dates") != (rows > 0) {
			t.Errorf("%s: %d recordings, said to have none: %t", at, rows, none)
		}
		if rows > 0 {
			with++
		} else {
			without++
		}
	}
	if with == 0 || without == 0 {
		t.Errorf("%d with recordings and %d without are too few to tell", with, without)
	}
}
