package seat_test

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"html"
	"io"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"thole/ui/uitest"
)

func TestEveryPageRenders(t *testing.T) {
	site := uitest.NewSite(t)
	for path, want := range map[string]struct {
		status int
		text   string
	}{
		"/":            {200, "Check a seat"},
		"/seat":        {200, "Does it suit your reach?"},
		"/sources":     {200, "NATICK/TR-15/007"},
		"/api/rigging": {200, "/api/v1/rigging/solve"},
		"/nowhere":     {404, "No such page"},
	} {
		status, body := uitest.Fetch(t, site, path)
		if status != want.status || !strings.Contains(body, want.text) || !strings.Contains(body, "</html>") {
			t.Errorf("%s: status %d, holds %q: %v", path, status, want.text, strings.Contains(body, want.text))
		}
	}
}

func TestEveryClassHasASeat(t *testing.T) {
	site := uitest.NewSite(t)
	for _, class := range []string{"1x", "2x", "4x", "2-", "2+", "4-", "4+", "8+"} {
		for _, rest := range []string{"", "&side=starboard&age_years=14&stature_cm=150", "&b_gate_height_cm=18&b_heel_to_pin_cm=25"} {
			status, body := uitest.Fetch(t, site, "/seat?class="+url.QueryEscape(class)+rest)
			if status != http.StatusOK || strings.Contains(body, "NaN") || !strings.Contains(body, "Lever ratio") {
				t.Errorf("%s%s: status %d", class, rest, status)
			}
		}
	}
}

// TestRefusals holds that each mistake is reported at its field, that what was
// typed stays, and that markup in it does no harm.
func TestRefusals(t *testing.T) {
	site := uitest.NewSite(t)
	for _, test := range []struct{ query, field, text, kept string }{
		{"class=1x&span_cm=1.59", "span_cm", "It looks like metres: 159 cm?", `value="1.59"`},
		{"class=1x&inboard_cm=300", "inboard_cm", "60 to 110 cm", `value="300"`},
		{"class=1x&stature_cm=18", "stature_cm", "100 to 235 cm", `value="18"`},
		{"class=1x&stature_cm=%3Cb%3E", "stature_cm", "is not a number", `value="&lt;b&gt;"`},
		{"class=1x&span_cm=", "span_cm", "This measure is needed", `name="span_cm" value=""`},
		{"class=1x&catch_deg=95", "catch_deg", "from 10 to 85°", `value="95"`},
		{"class=1x&inboard_cm=79&span_cm=160", "inboard_cm", "would not reach the middle", `value="79"`},
		{"class=1x&b_span_cm=5", "b_span_cm", "110 to 190 cm", `value="5"`},
		{"class=8%2B&span_cm=159", "", "A sweep boat has a spread", ""},
		{"class=9x", "", "There is no boat class “9x”", ""},
	} {
		status, body := uitest.Fetch(t, site, "/seat?"+test.query)
		if status != http.StatusUnprocessableEntity {
			t.Errorf("%s: status %d, want 422", test.query, status)
		}
		if test.field != "" && !strings.Contains(body, `href="#`+test.field+`"`) {
			t.Errorf("%s: no link to the field", test.query)
		}
		if !strings.Contains(strings.ToLower(body), strings.ToLower(test.text)) || !strings.Contains(body, test.kept) {
			t.Errorf("%s: want %q told and %q kept", test.query, test.text, test.kept)
		}
	}
}

func TestOutOfReachNamesTheLimit(t *testing.T) {
	status, body := uitest.Fetch(t, uitest.NewSite(t), "/seat?class=1x&heel_to_pin_cm=1&stature_cm=200&sex=male&inboard_cm=80&span_cm=150")
	if status != http.StatusUnprocessableEntity || !strings.Contains(body, "move the stretcher") {
		t.Errorf("status %d; the limit that stops the body is not named", status)
	}
}

func TestLiveAnswersAFragment(t *testing.T) {
	site := uitest.NewSite(t)
	answer := uitest.Send(t, site, "/seat", url.Values{"class": {"1x"}, "stature_cm": {"185"}, "sex": {"male"}}, true)
	body := uitest.Read(t, answer)
	if answer.StatusCode != http.StatusOK || strings.Contains(body, "<html") || !strings.Contains(body, `id="results"`) {
		t.Errorf("status %d; want the results alone", answer.StatusCode)
	}
	if got := answer.Header.Get("HX-Replace-URL"); !strings.Contains(got, "stature_cm=185") || !strings.Contains(got, "sex=male") {
		t.Errorf("HX-Replace-URL = %q", got)
	}
	refused := uitest.Send(t, site, "/seat", url.Values{"class": {"1x"}, "stature_cm": {"18"}}, true)
	body = uitest.Read(t, refused)
	if refused.StatusCode != http.StatusUnprocessableEntity || refused.Header.Get("HX-Retarget") != "#problems" || strings.Contains(body, `id="results"`) {
		t.Errorf("status %d; want the complaints alone, the results left standing", refused.StatusCode)
	}
}

func TestPlainFormGoesToTheAddress(t *testing.T) {
	answer := uitest.Send(t, uitest.NewSite(t), "/seat", url.Values{"class": {"1x"}, "stature_cm": {" 185 "}, "mass_kg": {""}}, false)
	if got := answer.Header.Get("Location"); answer.StatusCode != http.StatusSeeOther || got != "/seat?class=1x&stature_cm=185" {
		t.Errorf("status %d to %q", answer.StatusCode, got)
	}
}

func TestChangingTheDisciplineKeepsTheRower(t *testing.T) {
	status, body := uitest.Fetch(t, uitest.NewSite(t), "/seat?was=scull&class=8%2B&span_cm=158&oar_length_cm=285&gate_difference_cm=1&stature_cm=191&gate_height_cm=18")
	if status != http.StatusOK {
		t.Fatalf("status %d", status)
	}
	for _, want := range []string{`id="spread_cm" name="spread_cm" value="85"`, `id="oar_length_cm" name="oar_length_cm" value="375"`, `value="191"`, `id="gate_height_cm" name="gate_height_cm" value="18"`} {
		if !strings.Contains(body, want) {
			t.Errorf("want %s", want)
		}
	}
}

func TestFirstPageIsSmall(t *testing.T) {
	site := uitest.NewSite(t)
	_, page := uitest.Fetch(t, site, "/seat")
	total := squeezed(t, page)
	for _, part := range strings.Split(page, `"/assets/`)[1:] {
		_, body := uitest.Fetch(t, site, "/assets/"+part[:strings.IndexByte(part, '"')])
		total += squeezed(t, body)
	}
	if total > 100_000 {
		t.Errorf("the first page with its assets is %d bytes on the line", total)
	}
}

// squeezed is how many bytes go over the line for a text.
func squeezed(t *testing.T, text string) int {
	t.Helper()
	var line bytes.Buffer
	w := gzip.NewWriter(&line)
	if _, err := io.WriteString(w, text); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return line.Len()
}

func TestAssetsMayBeKeptForGood(t *testing.T) {
	site := uitest.NewSite(t)
	_, page := uitest.Fetch(t, site, "/")
	at := strings.Index(page, "/assets/thole-")
	address := page[at : at+strings.IndexByte(page[at:], '"')]
	answer, err := http.Get(site.URL + address)
	if err != nil {
		t.Fatal(err)
	}
	if got := answer.Header.Get("Cache-Control"); answer.StatusCode != http.StatusOK || !strings.Contains(got, "immutable") {
		t.Errorf("status %d, Cache-Control %q", answer.StatusCode, got)
	}
	if status, _ := uitest.Fetch(t, site, "/assets/thole-000000000000.css"); status != http.StatusNotFound {
		t.Errorf("an asset that does not exist: status %d", status)
	}
}

// BenchmarkSeatPage renders the whole page and the fragment of a
// recalculation, two set-ups side by side.
func BenchmarkSeatPage(b *testing.B) {
	site := uitest.NewSite(b)
	form := url.Values{"class": {"1x"}, "stature_cm": {"185"}, "sex": {"male"}, "b_span_cm": {"158"}}
	b.Run("whole", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			uitest.Fetch(b, site, "/seat?"+form.Encode())
		}
	})
	b.Run("live", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			uitest.Read(b, uitest.Send(b, site, "/seat", form, true))
		}
	})
}

// TestTheAnswerSaysWhatMattersFirst: the stretcher before the reach, no verdict
// sharper than its ±, and a rower nobody knows before either.
func TestTheAnswerSaysWhatMattersFirst(t *testing.T) {
	site := uitest.NewSite(t)
	for query, want := range map[string]string{
		"class=1x&sex=male&stature_cm=193&mass_kg=92&heel_to_pin_cm=20&catch_deg=64&finish_deg=44": "too far towards the bow",
		"class=1x&sex=female&stature_cm=172&mass_kg=66&heel_to_pin_cm=22&catch_deg=64":             "A catch of 64° is within your reach with a chance of 6 in 10",
		"class=1x&sex=female&stature_cm=160&heel_to_pin_cm=19&catch_deg=78":                        "A catch of 78° is within your reach with a chance of under 1 in 10",
		"class=1x&sex=male&stature_cm=190&mass_kg=88&heel_to_pin_cm=30&catch_deg=52":               "A finish of 43° is within your reach with a chance of 9 in 10",
		"class=1x": "Add the rower’s height",
	} {
		_, body := uitest.Fetch(t, site, "/seat?"+query)
		_, after, _ := strings.Cut(body, `class="sentence"`)
		sentence, _, _ := strings.Cut(after, "</p>")
		if !strings.Contains(sentence, want) {
			t.Errorf("%s: %q, want %q", query, sentence, want)
		}
		for _, sharp := range []string{"beyond reach", "within reach", "edge of reach"} {
			if strings.Contains(body, sharp) {
				t.Errorf("%s: says %q", query, sharp)
			}
		}
	}
}

// TestTheSecondSetupTakesThePlaceOfTheFirst follows the buttons: what is to be
// moved beside the rig, and then in its place, where nothing is left to move.
func TestTheSecondSetupTakesThePlaceOfTheFirst(t *testing.T) {
	site := uitest.NewSite(t)
	path := "/seat?class=1x&sex=male&stature_cm=190&mass_kg=88&heel_to_pin_cm=20"
	for _, label := range []string{"Compare with this", "Use the second set-up"} {
		_, body := uitest.Fetch(t, site, path)
		before, _, found := strings.Cut(body, ">"+label+"</a>")
		if !found {
			t.Fatalf("%s: no button %q", path, label)
		}
		path = before[strings.LastIndex(before, `href="`)+6 : strings.LastIndexByte(before, '"')]
		path = strings.ReplaceAll(path, "&amp;", "&")
	}
	_, body := uitest.Fetch(t, site, path)
	if strings.Contains(path, "b_heel") || strings.Contains(body, "Compare with this") || !strings.Contains(body, "Nothing needs to move") && !strings.Contains(body, "Add arm span") {
		t.Errorf("%s: something is left to move", path)
	}
}

// TestTheStretcherIsReadInTheBoatsNumber types hole 8 with holes 1.5 cm apart and
// hole 0 at 12 cm: the heel stands at 24 cm.
func TestTheStretcherIsReadInTheBoatsNumber(t *testing.T) {
	site := uitest.NewSite(t)
	sentence := func(query string) string {
		_, body := uitest.Fetch(t, site, "/seat?class=1x&sex=male&stature_cm=190&"+query)
		_, after, _ := strings.Cut(body, `class="seatfigures"`)
		figures, _, _ := strings.Cut(after, "</section>")
		return figures[:strings.Index(figures, "scalebox")]
	}
	if hole, heel := sentence("mark=hole&mark_offset_cm=12&mark_pitch_cm=1.5&heel_to_pin_cm=8"), sentence("heel_to_pin_cm=24"); hole != heel {
		t.Errorf("hole 8 gives %s, 24 cm %s", hole, heel)
	}
	status, body := uitest.Fetch(t, site, "/seat?class=1x&mark=hole&mark_offset_cm=12&heel_to_pin_cm=8")
	if status != http.StatusUnprocessableEntity || !strings.Contains(body, `href="#mark_pitch_cm"`) {
		t.Errorf("holes without a distance: status %d", status)
	}
}

// TestWhatACentimetreCosts: the table of centimetres with load and time, as a
// page, as a part for a script, and as files.
func TestWhatACentimetreCosts(t *testing.T) {
	c := uitest.NewClub(t)
	seat := c.Opened("/seat?class=1x&span_cm=159&inboard_cm=88&oar_length_cm=288&heel_to_pin_cm=24&stature_cm=182&mass_kg=75")
	link := regexp.MustCompile(`<a href="(/seat/centimetres[^"]+)">With load and time`).FindStringSubmatch(seat)
	if link == nil {
		t.Fatal("no way to load and time")
	}
	at := html.UnescapeString(link[1])
	whole, part := c.Get(at).Body, c.Send(http.MethodGet, at, nil, "HX-Request", "true").Body
	for name, body := range map[string]string{"page": whole, "part": part} {
		uitest.WantIn(t, name, body, "Load %", "Time s", "Stretcher position", " to ", "Not priced", "the model has neither")
		if strings.Contains(body, "<h1>") != (name == "page") {
			t.Errorf("%s: heading", name)
		}
	}
	rows := regexp.MustCompile(`(?s)<tr>\s*<th scope="row">([^<]+)</th>(.*?)</tr>`).FindAllStringSubmatch(part, -1)
	if len(rows) != 11 {
		t.Fatalf("%d rows", len(rows))
	}
	for _, row := range rows {
		unpriced := strings.Count(row[2], ">–</td>") == 2
		if height := strings.Contains(row[1], "eight") && row[1] != "Heel depth" || strings.Contains(row[1], "itch") || strings.Contains(row[1], "ifference"); unpriced != height {
			t.Errorf("%s: without a price: %v", row[1], unpriced)
		}
	}
	broken := c.Get("/seat/centimetres?class=1x&span_cm=1")
	if broken.Status != http.StatusSeeOther || !strings.HasPrefix(broken.Header.Get("Location"), "/seat?") {
		t.Errorf("a rig that cannot be: %d %s", broken.Status, broken.Header.Get("Location"))
	}
}

func BenchmarkCentimetres(b *testing.B) {
	c := uitest.NewClub(b)
	for i := 0; b.Loop(); i++ {
		c.Opened(fmt.Sprintf("/seat/centimetres?class=1x&span_cm=159&inboard_cm=88&oar_length_cm=288&heel_to_pin_cm=%g", 20+0.01*float64(i%1000)))
	}
}
