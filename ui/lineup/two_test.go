package lineup_test

import (
	"fmt"
	"html"
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"thole/ui/uitest"
)

func TestTwoBoatsFromOneSquad(t *testing.T) {
	c := uitest.DemoClub(t)
	for query, words := range map[string]string{
		"": "the second the best of who is left", "?first=4-&second=2-&aim=sum": "Both boats together give up as little",
		"?first=2x&second=2x&aim=slower": "The slower boat is as fast as can be", "?first=4-&second=2x&aim=slower": "The boat that gives up more",
	} {
		body := c.Opened("/line-ups/two" + query)
		uitest.WantIn(t, query, body, words, "Proven:", "First boat: ", "Second boat: ", "Save this line-up")
		rows := regexp.MustCompile(`<th scope="row">(?:First|Second) boat[^<]*</th><td>([\d.]+)</td><td>([\d.]+)</td>`).FindAllStringSubmatch(body, -1)
		if len(rows) != 2 || strings.Count(body, "<figure") != 2 {
			t.Fatalf("%s: %v, %d drawings", query, rows, strings.Count(body, "<figure"))
		}
		if query == "" && rows[0][2] != "0.00" && rows[0][2] != "0" {
			t.Errorf("the first boat gives up %s s", rows[0][2])
		}
		first, second := seatsOf(body, "first"), seatsOf(body, "second")
		for _, id := range first {
			for _, other := range second {
				if id == other {
					t.Errorf("%s: %s rows in both", query, id)
				}
			}
		}
	}
}

// seatsOf are the athletes of a boat, from the form that saves it.
func seatsOf(body, key string) []string {
	part := body[:strings.Index(body, `id="name-`+key)]
	all := regexp.MustCompile(`name="seats" value="([\d.]+)"`).FindAllStringSubmatch(part, -1)
	return strings.Split(all[len(all)-1][1], ".")
}

func TestWhoRowsWhereIsKept(t *testing.T) {
	c := uitest.DemoClub(t)
	tomas, luca := c.IdOf("Tomas Verhelde"), c.IdOf("Luca Ferrand")
	body := c.Opened("/line-ups/two?first=4-&second=2-&w" + tomas + "=2&w" + luca + "=out")
	first, second := seatsOf(body, "first"), seatsOf(body, "second")
	if strings.Contains(strings.Join(first, "."), tomas) || !strings.Contains("."+strings.Join(second, ".")+".", "."+tomas+".") {
		t.Errorf("the strongest man was kept for the second boat: %v and %v", first, second)
	}
	for _, id := range append(first, second...) {
		if id == luca {
			t.Error("who is not available rows")
		}
	}
	uitest.WantIn(t, "form", body, `<option value="2" selected>second boat only</option>`, `<option value="out" selected>not available</option>`)
	short := c.Get("/line-ups/two?first=8%2B&second=8%2B")
	if short.Status != http.StatusOK && short.Status != http.StatusUnprocessableEntity {
		t.Errorf("%d", short.Status)
	}
	uitest.WantIn(t, "nobody", uitest.NewClub(t).Opened("/line-ups/two"), "Import a squad")
	gone := c.Get("/line-ups/two?first=boat-777")
	uitest.WantIn(t, "removed", gone.Body, "This boat was removed.")
}

// TestCoxesArePeople: a chosen cox counts with the dead weight, does not row, and
// is drawn.
func TestCoxesArePeople(t *testing.T) {
	c := squadClub(t, 20)
	table := "name,coxes,port_cost_s,mass_kg,test_date,test_distance_m,test_time\nCass Light,yes,,48,,,\nRowan Both,yes,0,92,2026-01-10,2000,5:55.0\n"
	if _, err := c.Service.Squadfile.Save(t.Context(), strings.NewReader(table), "Anna"); err != nil {
		t.Fatal(err)
	}
	coxes := c.Opened("/line-ups?class=8%2B")
	idOf := func(name string) string {
		m := regexp.MustCompile(`<option value="(\d+)">` + name + `, `).FindStringSubmatch(coxes)
		if m == nil {
			t.Fatalf("%s is not offered as cox", name)
		}
		return m[1]
	}
	total := func(query string) float64 {
		v, err := strconv.ParseFloat(regexp.MustCompile(`<small>total ([\d.]+) s`).FindStringSubmatch(c.Opened("/line-ups?class=8%2B" + query))[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	usual, light, both := total(""), total("&coxwho="+idOf("Cass Light")), total("&coxwho="+idOf("Rowan Both"))
	if light != usual || both <= usual+0.5 {
		t.Errorf("%v s as usual, %v with a cox of 48 kg and 7 kg of dead weight, %v with the strongest, 92 kg, as cox", usual, light, both)
	}
	body := c.Opened("/line-ups?class=8%2B&coxwho=" + idOf("Cass Light"))
	uitest.WantIn(t, "page", body, "Cass Light, 48 kg &#43; 7 kg dead weight", "Cox: Cass Light", "<dt>Cox</dt><dd>Cass Light</dd>")
	if strings.Contains(c.Opened("/line-ups?class=4-"), `name="coxwho"`) {
		t.Error("a coxless four asks for a cox")
	}
	twice := c.Get("/line-ups/two?first=8%2B&second=4%2B&first-who=" + idOf("Cass Light") + "&second-who=" + idOf("Cass Light"))
	uitest.WantIn(t, "twice", twice.Body, "The first boat has this cox already.")
}

// hardClub is a squad for which two balanced eights are not proven in the time that
// a page takes.
func hardClub(t *testing.T) *uitest.ClubSite { return squadClub(t, 20) }

// TestALongSearchGoesOnAsAJob: it starts by itself, tells how far it is, can be
// stopped, and what it found is shown.
func TestALongSearchGoesOnAsAJob(t *testing.T) {
	c := hardClub(t)
	const query = "first=8%2B&second=8%2B&aim=slower"
	body := c.Opened("/line-ups/two?" + query)
	if strings.Contains(body, "Proven:") && !strings.Contains(body, "Not proven:") {
		t.Skip("proven at once on this machine")
	}
	start := regexp.MustCompile(`hx-post="(/line-ups/search\?[^"]*)" hx-trigger="load"`).FindStringSubmatch(body)
	if start == nil {
		t.Fatal("the search does not go on by itself")
	}
	uitest.WantIn(t, "page", body, "Not proven:", "First boat: 8&#43;")
	p := c.Post(html.UnescapeString(start[1]), nil, uitest.ByHTMX)
	watch := regexp.MustCompile(`hx-get="(/line-ups/search/[^"]*)"`).FindStringSubmatch(p.Body)
	if watch == nil {
		t.Fatalf("%d %.300s", p.Status, p.Body)
	}
	at := html.UnescapeString(watch[1])
	for !strings.Contains(p.Body, "could still be gained") && !strings.Contains(p.Body, "Show what was found") {
		p = c.Send(http.MethodGet, at, nil, uitest.ByHTMX)
	}
	stopped := c.Post(at, url.Values{}, uitest.ByHTMX)
	uitest.WantIn(t, "stopped", stopped.Body, "Show what was found", "/line-ups/two?")
	again := c.Opened("/line-ups/two?" + query)
	uitest.WantIn(t, "shown", again, "First boat: 8&#43;")
	if strings.Contains(again, `hx-trigger="load"`) {
		t.Error("the search starts again by itself")
	}
	if gone := c.Send(http.MethodGet, "/line-ups/search/none", nil, uitest.ByHTMX); gone.Status != http.StatusNotFound {
		t.Errorf("%d", gone.Status)
	}
	plain := c.Get(fmt.Sprintf("/line-ups/search/%s", strings.TrimPrefix(at, "/line-ups/search/")))
	if plain.Status != http.StatusSeeOther || !strings.HasPrefix(plain.Header.Get("Location"), "/line-ups/two?") {
		t.Errorf("%d %s", plain.Status, plain.Header.Get("Location"))
	}
}

// TestASearchIsToldOrLeadsToItsAnswer: without a script the page waits and goes where its
// answer is; with one it is told how far it is.
func TestASearchIsToldOrLeadsToItsAnswer(t *testing.T) {
	c := squadClub(t, 8)
	for query, show := range map[string]string{"first=4-&second=2-&two=yes": "/line-ups/two?", "class=4-": "/line-ups?"} {
		if p := c.Post("/line-ups/search?"+query, url.Values{}); p.Status != http.StatusSeeOther || !strings.HasPrefix(p.Header.Get("Location"), show) {
			t.Errorf("%s: %d %s", query, p.Status, p.Header.Get("Location"))
		}
		if p := c.Post("/line-ups/search?"+query, url.Values{}, uitest.ByHTMX); p.Status != http.StatusOK || !strings.Contains(p.Body, "/line-ups/search/") && !strings.Contains(p.Body, "Show what was found") {
			t.Errorf("%s, by script: %d %.200s", query, p.Status, p.Body)
		}
	}
}
