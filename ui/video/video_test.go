package video_test

import (
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"thole/ui/uitest"
)

// seen projects a point as a level camera 15 m to starboard does, by similar
// triangles.
func seen(x, y, z float64) string {
	scale := 4500 / (15 - y)
	return fmt.Sprintf("%.2f %.2f", 960-scale*x, 540+scale*(1.6-z))
}

// marks is the form of a sculler at an angle, in degrees.
func marks(angle float64) url.Values {
	sin, cos := math.Sincos(angle * math.Pi / 180)
	const st, ct = .1392, .9903 // of a shaft tilted by 8°
	return url.Values{
		"near_pin": {seen(0, .795, .26)}, "far_pin": {seen(0, -.795, .26)}, "near_bow": {seen(-1, .25, .18)}, "near_stern": {seen(1, .25, .18)},
		"far_bow": {seen(-1, -.25, .18)}, "far_stern": {seen(1, -.25, .18)}, "water_bow": {seen(-1.5, .2, 0)}, "water_stern": {seen(1.5, .2, 0)},
		"hand": {seen(-.84*sin*ct, .795-.84*cos*ct, .26+.84*st)}, "tip": {seen(1.98*sin*ct, .795+1.98*cos*ct, .26-1.98*st)},
	}
}

// TestMarksTypedElsewhere: without any script the form answers angle and
// moments and leads to the catch, to try.
func TestMarksTypedElsewhere(t *testing.T) {
	c := uitest.NewClub(t)
	q := marks(-62)
	q.Set("strokes", "1.0000 1.0500 1.1333 24\n3.0 3.05 3.15 30")
	body := c.Opened("/video?" + q.Encode())
	for _, want := range []string{"Catch 6", "±", "The blade is covered 142 ms", "/catch?", "Lower edge at the reversal", "nothing of it is sent"} {
		if !strings.Contains(body, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	if !strings.Contains(c.Opened("/catch"), "/video") {
		t.Error("nothing leads to the page")
	}
}

// TestWhatIsWrongStandsAtItsField: nothing typed is lost.
func TestWhatIsWrongStandsAtItsField(t *testing.T) {
	c := uitest.NewClub(t)
	for name, ask := range map[string]struct {
		field, value, says string
	}{
		"mark":     {"near_pin", "812", "Two numbers"},
		"stroke":   {"strokes", "1.0 1.1", "three times"},
		"words":    {"strokes", "a b c", "three times"},
		"rate":     {"frame_rate", "3", "20 to 1000"},
		"distance": {"distance_m", "0", "2 to 300"},
	} {
		q := marks(-62)
		q.Set("strokes", "1.0 1.05 1.13")
		q.Set(ask.field, ask.value)
		r := c.Get("/video?" + q.Encode())
		if r.Status != http.StatusUnprocessableEntity || !strings.Contains(r.Body, ask.says) || !strings.Contains(r.Body, ask.value) || !strings.Contains(r.Body, `href="#`+ask.field) {
			t.Errorf("%s: %d", name, r.Status)
		}
	}
	q := marks(-62)
	q.Del("hand")
	q.Del("tip")
	if r := c.Get("/video?" + q.Encode()); r.Status != http.StatusUnprocessableEntity || !strings.Contains(r.Body, "Mark the hand") {
		t.Errorf("no mark of the oar: %d", r.Status)
	}
}
