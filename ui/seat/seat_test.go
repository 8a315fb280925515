package seat_test

import (
	"bytes"
	"compress/gzip"
	"io"
	"net/http"
	"net/url"
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
		"/":        {200, "Check a seat"},
		"/seat":    {200, "Does it suit your reach?"},
		"/sources": {200, "NATICK/TR-15/007"},
		"/api":     {200, "/api/v1/rigging/solve"},
		"/nowhere": {404, "Nothing here"},
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

// TestRefusals holds that each mistake is told at its field, that what was
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
