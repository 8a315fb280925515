package uitest

import (
	"context"
	"fmt"
	"html"
	"io"
	"log/slog"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"thole/api"
	"thole/api/club"
	"thole/api/fleet"
	"thole/api/store"
	"thole/api/storetest"
	"thole/ui"
)

// ClubSite is a site with records behind it, and a reader who keeps cookies and
// does not follow redirects.
type ClubSite struct {
	T       testing.TB
	URL     string
	Service *api.Service
	Client  http.Client
}

// NewClub is a site over records of which there are none.
func NewClub(t testing.TB) *ClubSite { t.Helper(); return siteOver(t, storetest.Open(t)) }

// DemoClub is a site over the records of the demo club.
func DemoClub(t testing.TB) *ClubSite { t.Helper(); return siteOver(t, storetest.Copy(t, demoRecords)) }

// SeasonClub is the demo as people try it: the club of [DemoClub] with a season behind
// it.
func SeasonClub(t testing.TB) *ClubSite {
	t.Helper()
	return siteOver(t, storetest.Copy(t, seasonRecords))
}

var seasonRecords = storetest.Filled(func(records *store.Store) error {
	service := api.NewService(records)
	defer service.Close()
	if err := service.Demo.FillDemo(context.Background()); err != nil {
		return err
	}
	return service.Season.Fill(context.Background())
})

// demoRecords is filled once for all the tests of a package.
var demoRecords = storetest.Filled(func(records *store.Store) error {
	service := api.NewService(records)
	defer service.Close()
	return service.Demo.FillDemo(context.Background())
})

// siteOver serves the pages over records, to a reader who keeps cookies.
func siteOver(t testing.TB, records *store.Store) *ClubSite {
	t.Helper()
	c := &ClubSite{T: t, Service: api.NewService(records)}
	t.Cleanup(c.Service.Close)
	pages, err := ui.New(nil, c.Service, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", Policy)
		pages.ServeHTTP(w, r)
	}))
	t.Cleanup(server.Close)
	c.URL = server.URL
	c.Client.Jar, _ = cookiejar.New(nil)
	c.Client.CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	return c
}

// Reply is an answer.
type Reply struct {
	Status int
	Header http.Header
	Body   string
}

func (c *ClubSite) Send(method, path string, form url.Values, headers ...string) Reply {
	c.T.Helper()
	r, err := http.NewRequestWithContext(c.T.Context(), method, c.URL+path, strings.NewReader(form.Encode()))
	if err != nil {
		c.T.Fatal(err)
	}
	if method == http.MethodPost {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	for _, name := range headers {
		r.Header.Set(name, "true")
	}
	answer, err := c.Client.Do(r)
	if err != nil {
		c.T.Fatal(err)
	}
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	if err != nil {
		c.T.Fatal(err)
	}
	return Reply{answer.StatusCode, answer.Header, Unlinked(string(body))}
}

func (c *ClubSite) Get(path string) Reply { c.T.Helper(); return c.Send(http.MethodGet, path, nil) }

// Opened gets a page that must be there.
func (c *ClubSite) Opened(path string) string {
	c.T.Helper()
	p := c.Get(path)
	if p.Status != http.StatusOK || !strings.HasPrefix(p.Body, "<!doctype html>") || !strings.HasSuffix(strings.TrimSpace(p.Body), "</html>") {
		c.T.Fatalf("GET %s: %d %.300s", path, p.Status, p.Body)
	}
	return p.Body
}

func (c *ClubSite) Post(path string, form url.Values, headers ...string) Reply {
	c.T.Helper()
	return c.Send(http.MethodPost, path, form, headers...)
}

const ByHTMX = "HX-Request"

// FormValues reads what a form on a page holds, as a browser would send it.
func FormValues(body string) url.Values {
	form := url.Values{}
	for _, tag := range regexp.MustCompile(`<input[^>]*>`).FindAllString(body, -1) {
		name, value := attribute(tag, "name"), attribute(tag, "value")
		if kind := attribute(tag, "type"); (kind == "radio" || kind == "checkbox") && !strings.Contains(tag, " checked") || name == "" {
			continue
		}
		form.Set(name, value)
	}
	for _, m := range regexp.MustCompile(`(?s)<textarea id="(\w+)"[^>]*>(.*?)</textarea>`).FindAllStringSubmatch(body, -1) {
		form.Set(m[1], html.UnescapeString(m[2]))
	}
	for _, m := range regexp.MustCompile(`(?s)<select id="(\w+)".*?</select>`).FindAllStringSubmatch(body, -1) {
		if chosen := regexp.MustCompile(`<option value="([^"]*)" selected>`).FindStringSubmatch(m[0]); chosen != nil {
			form.Set(m[1], html.UnescapeString(chosen[1]))
		}
	}
	return form
}

func attribute(tag, name string) string {
	m := regexp.MustCompile(` ` + name + `="([^"]*)"`).FindStringSubmatch(tag)
	if m == nil {
		return ""
	}
	return html.UnescapeString(m[1])
}

// Filled sets more values of a form.
func Filled(form url.Values, pairs ...string) url.Values {
	for i := 0; i < len(pairs); i += 2 {
		form.Set(pairs[i], pairs[i+1])
	}
	return form
}

// Form opens a page and returns what its form holds, with changes.
func (c *ClubSite) Form(path string, changes ...string) url.Values {
	c.T.Helper()
	form := FormValues(c.Opened(path))
	return Filled(form, changes...)
}

// OneLine writes every run of white space as one space: where a template breaks
// its lines is no part of a page.
func OneLine(text string) string { return strings.Join(strings.Fields(text), " ") }

// WantIn fails unless the body holds every text, wherever the lines break.
func WantIn(t testing.TB, what, body string, texts ...string) {
	t.Helper()
	body = OneLine(body)
	for _, text := range texts {
		if !strings.Contains(body, OneLine(text)) {
			t.Errorf("%s lacks %q", what, text)
		}
	}
}

// GoesTo fails unless an answer leads on to the path.
func GoesTo(t testing.TB, p Reply, path string) {
	t.Helper()
	if p.Status != http.StatusSeeOther || p.Header.Get("Location") != path {
		t.Errorf("status %d to %q, want 303 to %q: %.300s", p.Status, p.Header.Get("Location"), path, p.Body)
	}
}

func BigClub(b *testing.B) *ClubSite {
	b.Helper()
	c := DemoClub(b)
	for i := range 190 {
		if _, err := c.Service.Fleet.AddBoat(b.Context(), fleet.NewBoat{BoatFields: fleet.BoatFields{Name: fmt.Sprint("Boat ", i), BoatClass: "4+"}, By: "B"}); err != nil {
			b.Fatal(err)
		}
	}
	for i := range 476 {
		a, err := c.Service.Club.AddAthlete(b.Context(), club.NewAthlete{AthleteFields: club.AthleteFields{Name: fmt.Sprint("Athlete ", i)}, By: "B"})
		if err != nil {
			b.Fatal(err)
		}
		for j := range 5 {
			stature, mass := 160+float64(j), 60+float64(j)
			_, err := c.Service.Club.AddMeasures(b.Context(), club.NewMeasures{AthleteID: a.ID, MeasuredOn: fmt.Sprintf("202%d-01-01", j+1), MeasuredBy: "B",
				MeasuredBody: club.MeasuredBody{StatureCm: &stature, MassKg: &mass}})
			if err != nil {
				b.Fatal(err)
			}
		}
	}
	return c
}
