package video_test

import (
	"fmt"
	"maps"
	"math"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"thole/api/club"
	"thole/api/fleet"
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
		"handle_end": {seen(-.90*sin*ct, .795-.90*cos*ct, .26+.90*st)}, "hand": {seen(-.84*sin*ct, .795-.84*cos*ct, .26+.84*st)}, "tip": {seen(1.98*sin*ct, .795+1.98*cos*ct, .26-1.98*st)},
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
	q.Del("handle_end")
	q.Del("tip")
	if r := c.Get("/video?" + q.Encode()); r.Status != http.StatusUnprocessableEntity || !strings.Contains(r.Body, "Mark the handle’s end") {
		t.Errorf("no mark of the oar: %d", r.Status)
	}
}

func person(t *testing.T, c *uitest.ClubSite, name string) int64 {
	t.Helper()
	a, err := c.Service.Club.AddAthlete(t.Context(), club.NewAthlete{AthleteFields: club.AthleteFields{Name: name, Sex: "female"}, By: "Ines"})
	if err != nil {
		t.Fatal(err)
	}
	return a.ID
}

// TestAReadingIsKeptOfAnAthlete goes from marks to the athlete's list and removes
// the reading again, without a script.
func TestAReadingIsKeptOfAnAthlete(t *testing.T) {
	c := uitest.NewClub(t)
	athlete := person(t, c, "Ann Example")
	boat, err := c.Service.Fleet.AddBoat(t.Context(), fleet.NewBoat{BoatFields: fleet.BoatFields{Name: "Wren", BoatClass: "1x"}, By: "Ines"})
	if err != nil {
		t.Fatal(err)
	}
	q := marks(-62)
	q.Set("strokes", "1.0000 1.0500 1.1333 24\n3.0 3.05 3.15 30")
	if body := c.Opened("/video?" + q.Encode()); !strings.Contains(body, "Keep this reading of") {
		t.Fatal("nothing keeps the reading")
	}
	list := fmt.Sprintf("/athletes/%d/filmed", athlete)
	if body := c.Opened(list); !strings.Contains(body, "Nothing filmed yet") {
		t.Error("the empty list says nothing")
	}
	page := c.Opened(list + "/new?" + q.Encode())
	for _, want := range []string{"Keep this reading of Ann Example", "Catch 6", "The blade is covered", "Wren, 1x", `name="near_pin"`} {
		if !strings.Contains(page, want) {
			t.Errorf("the form lacks %q", want)
		}
	}
	form := maps.Clone(q)
	for name, value := range map[string]string{"boat_id": fmt.Sprint(boat.ID), "seat": "2", "filmed_on": "2026-05-02", "by": "Ines"} {
		form.Set(name, value)
	}
	if again := c.Post(list, form); again.Status != http.StatusUnprocessableEntity || !strings.Contains(again.Body, "seats 1 to 1") || !strings.Contains(again.Body, form.Get("near_pin")) {
		t.Errorf("another seat: %d", again.Status)
	}
	form.Set("seat", "1")
	if done := c.Post(list, form); done.Status != http.StatusSeeOther {
		t.Fatalf("%d: %.600s", done.Status, done.Body)
	}
	kept := c.Opened(list)
	for _, want := range []string{"Catch, 2 May 2026", "Wren (1x), seat 1; read by Ines", "Used in set-ups", "blade covered 142 ms"} {
		if !strings.Contains(kept, want) {
			t.Errorf("the list lacks %q", want)
		}
	}
	found := regexp.MustCompile(`/athletes/\d+/filmed/\d+/remove`).FindString(kept)
	if !strings.Contains(c.Opened(found), "Remove this reading?") {
		t.Error("nothing asks before removing")
	}
	if gone := c.Post(found, url.Values{}); gone.Status != http.StatusSeeOther || !strings.Contains(c.Opened(list), "Nothing filmed yet") {
		t.Errorf("removing: %d", gone.Status)
	}
}

// TestAReadingOfNobody asks of whom it is, at the field.
func TestAReadingOfNobody(t *testing.T) {
	c := uitest.NewClub(t)
	person(t, c, "Ann Example")
	person(t, c, "Bea Example")
	q := marks(-62)
	q.Set("athlete", "")
	if body := c.Opened(c.Get("/video/keep?" + q.Encode()).Header.Get("Location")); !strings.Contains(body, "Choose whose reading this is") || !strings.Contains(body, q.Get("near_pin")) {
		t.Error("an unnamed reading is not asked about, or its marks are lost")
	}
}

// TestWhatACatchMisses: 7° from the reversal until covered, on the way of the blade's
// middle 1.73 m outboard.
func TestWhatACatchMisses(t *testing.T) {
	c := uitest.NewClub(t)
	q := url.Values{"strokes": {"1.0 1.05 1.1333 0 -62 -55"}}
	body := c.Opened("/video?" + q.Encode())
	for _, want := range []string{"Missed, from the reversal to covered", "7.0 ± 2.1 °", "Missed, at the blade’s middle", "21 ± "} {
		if !strings.Contains(body, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	if r := c.Get("/video?strokes=1+1.05+1.1+0+-62"); r.Status != http.StatusUnprocessableEntity || !strings.Contains(r.Body, "both angles") {
		t.Errorf("one angle: %d", r.Status)
	}
}

// TestALegIsReadAndNotKept: no measure of an athlete takes it, so that nobody is offered to
// keep it for.
func TestALegIsReadAndNotKept(t *testing.T) {
	c := uitest.NewClub(t)
	person(t, c, "Ann Example")
	q := url.Values{"known_cm": {"200"}, "known_top": {"100 100"}, "known_bottom": {"100 1100"}, "distance_m": {"5"}, "depth_cm": {"10"}, "hip": {"500 200"}, "sole": {"500 660"}}
	body := c.Opened("/video/body?" + q.Encode())
	if !strings.Contains(body, "Leg, hip to sole 92.0 cm ±") {
		t.Error("the page does not tell the leg")
	}
	if strings.Contains(body, "Add to the measures of") {
		t.Error("it is offered to keep what no measure takes")
	}
}

// TestABodyFromAPicture reads 92.0 cm by the rule of three and leads to the measures
// of the athlete with it filled in.
func TestABodyFromAPicture(t *testing.T) {
	c := uitest.NewClub(t)
	ann := person(t, c, "Ann Example")
	q := url.Values{"known_cm": {"200"}, "known_top": {"100 100"}, "known_bottom": {"100 1100"}, "distance_m": {"5"}, "depth_cm": {"10"}, "head": {"500 200"}, "seat": {"500 660"}}
	body := c.Opened("/video/body?" + q.Encode())
	if !strings.Contains(body, "Sitting height 92.0 cm ±") || !strings.Contains(body, "Add to the measures of") {
		t.Error("the page does not tell the sitting height")
	}
	next := c.Get(fmt.Sprintf("/video/body/keep?athlete=%d&sitting_height_cm=92.0&note=From+a+picture", ann)).Header.Get("Location")
	if form := c.Opened(next); !strings.Contains(form, `value="92.0"`) || !strings.Contains(form, "From a picture") {
		t.Errorf("%s is not filled in", next)
	}
	q.Del("seat")
	if r := c.Get("/video/body?" + q.Encode()); r.Status != http.StatusUnprocessableEntity || !strings.Contains(r.Body, "at least one length") {
		t.Errorf("half a length: %d", r.Status)
	}
	q.Set("head", "500")
	if r := c.Get("/video/body?" + q.Encode()); r.Status != http.StatusUnprocessableEntity || !strings.Contains(r.Body, "Two numbers") {
		t.Errorf("half a mark: %d", r.Status)
	}
}
