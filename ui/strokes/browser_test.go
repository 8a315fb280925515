package strokes_test

import (
	"testing"

	"thole/api/demo"
	"thole/ui/uitest"
)

func TestStrokePagesAreAccessible(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	_, location, _ := c.SendFile("a.csv", string(demo.StrokeSample()))
	for _, look := range []struct {
		scheme string
		width  int64
		pages  []string
	}{
		{"light", 390, []string{"/recordings", "/recordings/import", "/recordings/layout", "/recordings/1?posture=1", "/recordings/compare?a=1&b=5", "/recordings/squad", "/catch", location}},
		{"dark", 1280, []string{"/recordings/1", "/recordings/5", "/recordings/squad", "/catch?moment_ms=60"}},
	} {
		b.Show(look.scheme, look.width)
		for _, path := range look.pages {
			b.Axe(c.URL + path)
			if wide := uitest.Ask[int64](b, "document.documentElement.scrollWidth"); wide > look.width {
				t.Errorf("%s: %d wide on a screen of %d", path, wide, look.width)
			}
		}
	}
}
