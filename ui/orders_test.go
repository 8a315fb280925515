package ui_test

import (
	"bytes"
	"context"
	"encoding/base64"
	"errors"
	"html"
	"io"
	"mime/multipart"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"thole/api/jobs"
	"thole/api/lineup"
)

// idOf is the number on record of a candidate by name.
func (c *clubSite) idOf(name string) string {
	c.t.Helper()
	for _, class := range []string{"8+", "4x"} {
		squad, err := c.service.Lineup.SquadFor(c.t.Context(), lineup.BoatSquadRequest{BoatClass: class})
		if err != nil {
			c.t.Fatal(err)
		}
		for _, m := range squad.Candidates {
			if m.Name == name {
				return m.ID
			}
		}
	}
	c.t.Fatalf("no candidate %s", name)
	return ""
}

// crews lists the athletes of each ranked order.
func crews(body string) []string {
	var list []string
	for _, m := range regexp.MustCompile(`(?s)<span class="placed">(.*?)</span> <span class="looks">`).FindAllStringSubmatch(body, -1) {
		list = append(list, strings.Join(regexp.MustCompile(`title="([^"]*)"`).FindAllString(m[1], -1), " "))
	}
	return list
}

func TestOrderPagesOfTheDemoClub(t *testing.T) {
	c := demoClub(t)
	for _, class := range []string{"1x", "2x", "4x", "2-", "4-", "4+", "8+"} {
		body := c.opened("/orders?class=" + url.QueryEscape(class))
		wantIn(t, class, body, "Proven:", "The orders", "In the boat", "Try your own", "Why this order", "How firm is this?", "/sources#order")
		if sweep := !strings.HasSuffix(class, "x"); strings.Contains(body, `class="turning"`) != sweep {
			t.Errorf("%s: turning moment drawn where there is none, or the other way round", class)
		}
	}
	for path, text := range map[string]string{
		"/squad": "Band 1", "/squad?class=8%2B": "/sources#ergometer", "/squad/import": "test_date", "/orders/saved": "None yet",
		"/sources": `id="order"`,
	} {
		wantIn(t, path, c.opened(path), text)
	}
}

func TestOrderPagesOfAnEmptyClub(t *testing.T) {
	c := newClub(t)
	for path, text := range map[string]string{
		"/orders": "Bring in a squad", "/orders?class=2x&pattern=free": "Bring in a squad", "/squad": "Nobody on record", "/orders/saved": "None yet",
	} {
		wantIn(t, path, c.opened(path), text)
	}
	wantIn(t, "export", c.get("/squad/squad.csv").body, "name,sex,birth_date")
}

// TestASquadWithoutTests is told athlete by athlete what is missing.
func TestASquadWithoutTests(t *testing.T) {
	c := newClub(t)
	if _, err := c.service.Ergometer.SaveSquad(t.Context(), strings.NewReader("name,port_cost_s,sculls,mass_kg\nAnn,0,yes,70\nBea,,,\nCy,0,,\n"), "Ines"); err != nil {
		t.Fatal(err)
	}
	wantIn(t, "/orders", c.opened("/orders"), "3 not considered", "no ergometer test", "rows no side", "no mass on record")
	wantIn(t, "/orders", c.opened("/orders?class=1x"), "does not scull")
}

// awkwardSquad has names that a page must bear, two of them the same.
const awkwardSquad = "name,birth_date,sculls,mass_kg,test_date,test_distance_m,test_time\n" +
	"\"<b>Ann</b> \"\"x\"\" & 'y'\",2001-02-03,yes,70,2026-01-10,2000,7:00.0\n" +
	"Bea,2001-02-03,yes,71,2026-01-10,2000,7:01.0\nBea,2003-02-03,yes,72,2026-01-10,2000,7:02.0\n" +
	"Dorothea-Wilhelmina von und zu Langenfeld-Hohenstein,,yes,73,2026-01-10,2000,7:03.0\n{{.}},,yes,74,2026-01-10,2000,7:04.0\n"

func TestAwkwardNamesAmongTheOrders(t *testing.T) {
	c := newClub(t)
	if _, err := c.service.Ergometer.SaveSquad(t.Context(), strings.NewReader(awkwardSquad), "Ines"); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{"/orders?class=4x", "/orders?class=2x&beside=2.3", "/orders?class=1x", "/squad?class=4x"} {
		body := c.opened(path)
		wantIn(t, path, body, "&lt;b&gt;Ann&lt;/b&gt;", "Bea (2001)", "Bea (2003)")
		if strings.Contains(body, "<b>Ann") {
			t.Errorf("%s: a name became markup", path)
		}
	}
	firm := c.post("/orders/firmness", url.Values{"class": {"2x"}})
	if firm.status != http.StatusOK || strings.Contains(firm.body, "<b>Ann") {
		t.Errorf("%d", firm.status)
	}
}

func TestSixtyAthletes(t *testing.T) {
	c := squadClub(t, 60)
	wantIn(t, "/orders", c.opened("/orders"), "Proven:", "Athlete 59")
	wantIn(t, "/squad", c.opened("/squad?class=8%2B"), "Athlete 59")
}

// TestTheFormIsKept sends what a browser would and finds it again on the page.
func TestTheFormIsKept(t *testing.T) {
	c := demoClub(t)
	kofi, tomas, luca := c.idOf("Kofi Mensah-Bright"), c.idOf("Tomas Verhelde"), c.idOf("Luca Ferrand")
	body := c.opened("/orders")
	form := formValues(body)
	form.Del("a" + kofi)
	form.Set("r"+tomas, "8")
	form.Set("r"+luca, "must")
	form.Set("c1a", luca)
	form.Set("c1s", "1")
	form.Set("c1v", "0,7")
	form.Set("p1a", tomas)
	form.Set("p1k", "apart")
	form.Set("p1b", luca)
	form.Set("likeness", "3")
	for _, name := range []string{"s1", "s2", "name", "by", "seats", "sides"} {
		form.Del(name)
	}
	page := c.opened("/orders?" + form.Encode())
	wantIn(t, "page", page, `name="c1v" value="0,7"`, `name="likeness" value="3"`, "not next to Luca Ferrand", "<dt>Not available</dt><dd>Kofi Mensah-Bright</dd>",
		"<dt>Seat 8</dt><dd>Tomas Verhelde</dd>", "<dt>Must row</dt><dd>Luca Ferrand</dd>", `name="p2a"`, `name="c3v"`)
	for i, crew := range crews(page) {
		if strings.Contains(crew, "Kofi") || !strings.HasSuffix(crew, `title="Tomas Verhelde"`) || !strings.Contains(crew, "Luca") {
			t.Errorf("order %d: %s", i+1, crew)
		}
	}
	if again := formValues(page); again.Has("a"+kofi) || !again.Has("a"+tomas) {
		t.Error("a tick is lost, or has come back")
	}
	// The addresses on the page say the same in short.
	look := regexp.MustCompile(`href="(/orders\?[^"]*show=2[^"]*)"`).FindStringSubmatch(page)
	if look == nil || strings.Contains(look[1], "squad=") {
		t.Fatalf("%v", look)
	}
	short := c.opened(html.UnescapeString(look[1]))
	if !slices.Equal(crews(short), crews(page)) {
		t.Error("the short address says something else")
	}
}

// TestNewAthletesAreAvailable: a list of ticks speaks of those it showed.
func TestNewAthletesAreAvailable(t *testing.T) {
	c := demoClub(t)
	luca := c.idOf("Luca Ferrand")
	form := formValues(c.opened("/orders?squad=" + luca + "&class=8%2B"))
	if form.Has("a"+luca) || !form.Has("a"+c.idOf("Sam Okafor")) {
		t.Error("not ticked and not shown are mixed up")
	}
}

func TestSidesSeatBySeat(t *testing.T) {
	c := demoClub(t)
	drawn := func(query string) string {
		body := c.opened("/orders?class=4-&" + query)
		title := regexp.MustCompile(`<title>(The crew from above[^<]*)</title>`).FindStringSubmatch(body)[1]
		return strings.Join(regexp.MustCompile(`on (p|s)`).FindAllString(title, -1), "")
	}
	for query, want := range map[string]string{
		"": "on son pon son p", "pattern=mirror": "on pon son pon s", "pattern=own&g1=S&g2=P&g3=P&g4=S": "on son pon pon s",
		"pattern=own&g1=x": "on son pon son p",
	} {
		if got := drawn(query); got != want {
			t.Errorf("%s: %s", query, got)
		}
	}
	wantIn(t, "page", c.opened("/orders?class=4-&pattern=own&g1=P"), `<details class="bysides" open>`)
}

func TestFreeSidesTellTheReasonsOnRequest(t *testing.T) {
	c := demoClub(t)
	wantIn(t, "page", c.opened("/orders?class=4-&pattern=free"), "Show the reasons", `hx-trigger="load"`)
	fragment := c.send(http.MethodGet, "/orders/why?class=4-&pattern=free", nil, byHTMX)
	if fragment.status != http.StatusOK || strings.Contains(fragment.body, "<html") || !strings.Contains(fragment.body, "What changing two seats would cost") {
		t.Errorf("%d %.200s", fragment.status, fragment.body)
	}
	plain := c.get("/orders/why?class=4-&pattern=free")
	to := strings.TrimSuffix(plain.header.Get("Location"), "#why-h")
	wantIn(t, "reasons", c.opened(to), "What changing two seats would cost")
	bad := c.send(http.MethodGet, "/orders/why?class=4-&likeness=x", nil, byHTMX)
	if bad.status != http.StatusUnprocessableEntity || bad.header.Get("HX-Retarget") != "#problems" {
		t.Errorf("%d %v", bad.status, bad.header)
	}
}

func TestUpToThreeSideBySide(t *testing.T) {
	c := demoClub(t)
	for query, want := range map[string]int{"": 1, "beside=2": 2, "beside=2.3": 3, "beside=2.3.4": 3, "beside=1": 1, "beside=99.x": 1, "show=3&beside=1.2": 3} {
		body := c.opened("/orders?" + query)
		_, rest, _ := strings.Cut(body, `<div class="trio">`)
		trio, _, _ := strings.Cut(rest, `<form class="saveform"`)
		if got := strings.Count(trio, "<figure"); got != want {
			t.Errorf("%s: %d boats", query, got)
		}
	}
	wantIn(t, "toggles", c.opened("/orders?beside=2.3"), "beside=3#boat-h\" aria-label=\"Take away order 2\"", "beside=3.4#boat-h\" aria-label=\"Put order 4 beside\"")
}

// TestOrderFormMistakes answers each with the page, what was typed, and where
// it is wrong.
func TestOrderFormMistakes(t *testing.T) {
	c := demoClub(t)
	tomas, kofi := c.idOf("Tomas Verhelde"), c.idOf("Kofi Mensah-Bright")
	for query, texts := range map[string][]string{
		"likeness=much":                    {`href="#likeness"`, "“much” is not a number", `value="much"`},
		"yaw=-1":                           {`href="#yaw"`, "plausible range"},
		"cox=900":                          {`href="#cox"`, "150"},
		"women=2.5":                        {`href="#women"`, "whole number"},
		"women=9":                          {`href="#women"`, "from 0 to 8"},
		"c1a=" + tomas + "&c1s=1&c1v=dear": {`href="#c1v"`, "“dear” is not a number"},
		"r" + tomas + "=8&r" + kofi + "=8": {"Tomas Verhelde sits in seat 8", "Kofi Mensah-Bright sits in seat 8", "Any of them left out, the others can be kept"},
		"class=2-&women=2&men=1":           {"at least 2 women", "at least 1 man"},
		"max_mass=30":                      {"mass of every rower is limited"},
		"trial=77":                         {"not on record any more"},
		"trial=x&likeness=x":               {"“x” is not a number"},
		"p1a=" + tomas + "&p1k=never&p1b=" + tomas: {"two different athletes"},
	} {
		p := c.get("/orders?" + query)
		if p.status != http.StatusUnprocessableEntity {
			t.Errorf("%s: %d", query, p.status)
		}
		wantIn(t, query, p.body, append(texts, "Another look, please", `id="orders-form"`)...)
	}
}

func TestRulesAboutStrangersAreToldAndLeftOut(t *testing.T) {
	c := demoClub(t)
	wantIn(t, "page", c.opened("/orders?p1a=9999&p1k=never&p1b="+c.idOf("Tomas Verhelde")), "not judged for this boat", "Proven:")
}

// ownForm is the form of one's own order as a browser would send it.
func ownForm(body string) url.Values {
	_, rest, _ := strings.Cut(body, `<form class="ownform"`)
	form, _, _ := strings.Cut(rest, "</form>")
	values := formValues(form)
	for _, m := range regexp.MustCompile(`(?s)<select id="own-\d+" name="(s\d+)".*?value="(\d+)" selected`).FindAllStringSubmatch(form, -1) {
		values.Set(m[1], m[2])
	}
	return values
}

func TestTryingOnesOwn(t *testing.T) {
	c := demoClub(t)
	form := ownForm(c.opened("/orders?r" + c.idOf("Luca Ferrand") + "=1"))
	one, three := form.Get("s3"), form.Get("s5")
	form.Set("s3", three)
	form.Set("s5", one)
	fragment := c.send(http.MethodGet, "/orders/try?"+form.Encode(), nil, byHTMX)
	if fragment.status != http.StatusOK || strings.Contains(fragment.body, "<html") {
		t.Fatalf("%d %.200s", fragment.status, fragment.body)
	}
	behind := regexp.MustCompile(`<b>([+−][\d.]+) s</b> against the best`).FindStringSubmatch(html.UnescapeString(fragment.body))
	address := fragment.header.Get("HX-Replace-Url")
	if behind == nil || !strings.Contains(address, "own=") || strings.Contains(address, "s3=") {
		t.Fatalf("%v %s", behind, address)
	}
	wantIn(t, "shared address", html.UnescapeString(c.opened(address)), behind[0])
	plain := c.get("/orders/try?" + form.Encode())
	if plain.status != http.StatusSeeOther {
		t.Fatal(plain.status)
	}
	wantIn(t, "without a script", html.UnescapeString(c.opened(plain.header.Get("Location"))), behind[0])
	// The change is that of the swap table.
	cells := regexp.MustCompile(`(?s)<table class="numbers swaps">.*?</table>`).FindString(c.opened("/orders?r" + c.idOf("Luca Ferrand") + "=1"))
	row := strings.Split(cells, "<tr>")[4]
	wantIn(t, "swap table", html.UnescapeString(row), behind[1])
}

func TestOnesOwnMayBreakRulesAndMakeNoSense(t *testing.T) {
	c := demoClub(t)
	tomas := c.idOf("Tomas Verhelde")
	form := ownForm(c.opened("/orders"))
	form.Set("out", tomas)
	broken := c.send(http.MethodGet, "/orders/try?"+form.Encode(), nil, byHTMX)
	wantIn(t, "a rule broken", broken.body, "It breaks: Tomas Verhelde does not row")
	form.Del("out")
	form.Set("s1", tomas)
	form.Set("s2", tomas)
	twice := c.send(http.MethodGet, "/orders/try?"+form.Encode(), nil, byHTMX)
	if twice.status != http.StatusOK || !strings.Contains(twice.body, `class="complaint"`) || strings.Contains(twice.body, "against the best") {
		t.Errorf("%d %.300s", twice.status, twice.body)
	}
	form.Set("likeness", "x")
	bad := c.send(http.MethodGet, "/orders/try?"+form.Encode(), nil, byHTMX)
	if bad.status != http.StatusUnprocessableEntity || bad.header.Get("HX-Retarget") != "#problems" {
		t.Errorf("%d %v", bad.status, bad.header)
	}
	wantIn(t, "the order of another boat", c.opened("/orders?class=4-&own="+tomas), "Try your own")
}

func TestFirmnessWithoutAScript(t *testing.T) {
	c := demoClub(t)
	p := c.post("/orders/firmness", url.Values{"class": {"4-"}})
	if p.status != http.StatusOK {
		t.Fatalf("%d %.300s", p.status, p.body)
	}
	wantIn(t, "page", p.body, "<!doctype html>", "of 150 draws choose this crew", "The orders", "The seat races to run next")
	bad := c.post("/orders/firmness", url.Values{"likeness": {"x"}})
	if bad.status != http.StatusUnprocessableEntity || !strings.Contains(bad.body, "is not a number") {
		t.Errorf("%d", bad.status)
	}
}

// TestFirmnessIsWorkBesideThePage starts it, watches it, and stops another.
func TestFirmnessIsWorkBesideThePage(t *testing.T) {
	c := demoClub(t)
	watch := func(body string) string {
		m := regexp.MustCompile(`hx-get="(/orders/jobs/[^"]*)"`).FindStringSubmatch(body)
		if m == nil {
			return ""
		}
		return html.UnescapeString(m[1])
	}
	p := c.post("/orders/firmness", url.Values{"class": {"4-"}}, byHTMX)
	for at := watch(p.body); at != ""; at = watch(p.body) {
		wantIn(t, "progress", p.body, "<progress", "Stop")
		p = c.send(http.MethodGet, at, nil, byHTMX)
	}
	wantIn(t, "result", p.body, "of 500 draws choose this crew", "/trials/new?")
	if strings.Contains(p.body, "<html") {
		t.Error("the whole page in place of a part")
	}
	p = c.post("/orders/firmness", url.Values{"class": {"8+"}, "pattern": {"free"}}, byHTMX)
	p = c.post(watch(p.body), nil, byHTMX)
	wantIn(t, "stopped", p.body, "Stopped.", "How firm is this?")
	if gone := c.send(http.MethodGet, "/orders/jobs/none", nil, byHTMX); gone.status != http.StatusNotFound {
		t.Errorf("%d", gone.status)
	}
	bad := c.post("/orders/firmness", url.Values{"likeness": {"x"}}, byHTMX)
	if bad.status != http.StatusUnprocessableEntity || bad.header.Get("HX-Retarget") != "#problems" {
		t.Errorf("%d %v", bad.status, bad.header)
	}
}

// TestFirmnessWaitsForOtherWork tells it as an answer, since a page that htmx
// loads shows no others, and lets one ask again.
func TestFirmnessWaitsForOtherWork(t *testing.T) {
	c := demoClub(t)
	work := func(ctx context.Context) (any, error) { <-ctx.Done(); return nil, ctx.Err() }
	var under []string
	for {
		job, err := c.service.Jobs.StartJob(work)
		if errors.Is(err, jobs.ErrBusy) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		under = append(under, job.ID)
	}
	p := c.post("/orders/firmness", url.Values{"class": {"4-"}}, byHTMX)
	if p.status != http.StatusOK {
		t.Errorf("%d", p.status)
	}
	wantIn(t, "busy", p.body, "Ask again in a minute", "How firm is this?", `name="class" value="4-"`)
	for _, id := range under {
		if _, err := c.service.Jobs.CancelJob(t.Context(), jobs.JobRequest{ID: id}); err != nil {
			t.Fatal(err)
		}
	}
}

// Where the sides are free, orders differ in them, too.
func TestFreeSidesAreListed(t *testing.T) {
	c := demoClub(t)
	letters := regexp.MustCompile(`Sides </span>([PS ]+)<`).FindAllStringSubmatch(c.opened("/orders?class=4-&pattern=free"), -1)
	if len(letters) != 10 {
		t.Fatalf("%d of ten orders tell their sides", len(letters))
	}
	for _, l := range letters {
		if len(l[1]) != 7 || strings.Count(l[1], "P") != 2 || strings.Count(l[1], "S") != 2 {
			t.Errorf("a four with the sides %q", l[1])
		}
	}
	if body := c.opened("/orders?class=4-"); strings.Contains(body, "Sides </span>") {
		t.Error("sides that are given are told with every order")
	}
}

func TestOrdersNameTheirImages(t *testing.T) {
	c := demoClub(t)
	wantIn(t, "a quad", c.opened("/orders?class=4x"), "Each costs the same end for end.")
	if body := c.opened("/orders?class=4x&r1=2"); strings.Contains(body, "osts the same") {
		t.Error("with a rower in a seat of hers the boat is told to turn")
	}
}

// What is short is told beside the rules, and where there is no rule, alone.
func TestConflictsTellWhatIsShort(t *testing.T) {
	c := demoClub(t)
	both := c.get("/orders?class=4x&women=3&men=2")
	wantIn(t, "counts", both.body, "These rules cannot be met together", "at least 3 women", "5 rowers are needed and the boat has 4 seats.", "no fewer are in conflict")
	heavy := c.get("/orders?class=4x&mean_mass=50")
	wantIn(t, "masses", heavy.body, "This rule cannot be met", "the mean mass of the crew is limited", "kg on average.")
	empty := squadClub(t, 3).get("/orders?class=8%2B")
	wantIn(t, "too few", empty.body, "This squad makes no crew for the boat.", "8 rowers are needed and there are 3.")
}

func TestOrdersThatADayCannotTellApart(t *testing.T) {
	c := demoClub(t)
	wantIn(t, "an eight", c.opened("/orders"), "Orders 1 to 10 lie within 0.1 s")
	if body := c.opened("/orders?class=1x"); strings.Contains(body, "lie within") {
		t.Error("scullers who are seconds apart are called alike")
	}
	if body := c.opened("/orders?class=4x"); strings.Contains(body, "order of the sides") {
		t.Error("a sculling boat is told about sides")
	}
}

// TestARaceLeadsToItsPlan follows each proposed race to a plan that can be
// raced.
func TestARaceLeadsToItsPlan(t *testing.T) {
	c := squadClub(t, 24)
	for _, class := range []string{"8+", "4-", "4x", "2-", "2x"} {
		p := c.post("/orders/firmness", url.Values{"class": {class}})
		links := regexp.MustCompile(`href="(/trials/new\?[^"]*)">([^<]*) against ([^<]*)<`).FindAllStringSubmatch(p.body, -1)
		if len(links) == 0 {
			t.Errorf("%s: no race", class)
		}
		for _, link := range links {
			plan := c.opened(html.UnescapeString(link[1]))
			wantIn(t, class, plan, link[2]+" / "+link[3], "Running order")
		}
	}
}

func TestSavingALineup(t *testing.T) {
	c := demoClub(t)
	body := c.opened("/orders?cox=52")
	_, rest, _ := strings.Cut(body, `<form class="saveform"`)
	form := formValues(strings.Split(rest, "</form>")[0])
	bad := c.post("/orders/save", form)
	if bad.status != http.StatusUnprocessableEntity {
		t.Fatal(bad.status)
	}
	wantIn(t, "refusal", bad.body, "Another look, please", `href="#name"`, `href="#by"`, "autofocus")
	form = formValues(bad.body)
	form.Set("name", `First <eight> & "co"`)
	form.Set("by", "Anna")
	p := c.post("/orders/save", form)
	goesTo(t, p, "/orders/saved/1")
	page := c.opened("/orders/saved/1")
	wantIn(t, "page", page, "First &lt;eight&gt; &amp; ", "cox 52 kg", "Luca Ferrand")
	setup := regexp.MustCompile(`href="(/setup\?boat=\d+&amp;lineup=1)"`).FindStringSubmatch(page)
	if setup == nil {
		t.Fatal("no boat to set up")
	}
	wantIn(t, "set up", c.opened(html.UnescapeString(setup[1])), "First &lt;eight&gt;", `value="Luca Ferrand"`)
	wantIn(t, "list", c.opened("/orders/saved"), "First &lt;eight&gt;", `href="/orders/saved/1"`)
	again := regexp.MustCompile(`href="(/orders\?[^"]*own=[^"]*)"`).FindStringSubmatch(page)
	wantIn(t, "tried again", c.opened(html.UnescapeString(again[1])), "<b>0 s</b> against the best")
	goesTo(t, c.post("/orders/saved/1/remove", nil), "/orders/saved")
	for _, p := range []reply{c.get("/orders/saved/1"), c.post("/orders/saved/1/remove", nil), c.get("/orders/saved/x")} {
		if p.status != http.StatusNotFound {
			t.Error(p.status)
		}
	}
}

// upload sends a file to be looked at.
func (c *clubSite) upload(name, content string) reply {
	c.t.Helper()
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	file, err := w.CreateFormFile("file", name)
	if err != nil {
		c.t.Fatal(err)
	}
	_, _ = io.WriteString(file, content)
	_ = w.Close()
	r, err := http.NewRequestWithContext(c.t.Context(), http.MethodPost, c.url+"/squad/import", &body)
	if err != nil {
		c.t.Fatal(err)
	}
	r.Header.Set("Content-Type", w.FormDataContentType())
	answer, err := c.client.Do(r)
	if err != nil {
		c.t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		c.t.Fatal(err)
	}
	return reply{answer.StatusCode, answer.Header, string(text)}
}

func TestBringingInASquad(t *testing.T) {
	c := newClub(t)
	look := c.upload("squad <1>.csv", awkwardSquad+"Eve,,,,2026-01-10,1000,302\nFay,,,999,,,\n")
	if look.status != http.StatusOK {
		t.Fatalf("%d %.300s", look.status, look.body)
	}
	wantIn(t, "look", look.body, "squad &lt;1&gt;.csv would bring", "7 rows. Athletes: 6 new, 0 changed, 0 known already. Tests: 6 new, 0 changed, 0 known already. 1 to look at again.", "Row 8, mass_kg", "or 3:02", "&lt;b&gt;Ann")
	form := formValues(look.body)
	form.Set("save", "yes")
	unsigned := c.post("/squad/import", form)
	if unsigned.status != http.StatusUnprocessableEntity || !strings.Contains(unsigned.body, "Say who you are") {
		t.Errorf("%d", unsigned.status)
	}
	form = formValues(unsigned.body)
	form.Set("save", "yes")
	form.Set("by", "Ines")
	saved := c.post("/squad/import", form)
	wantIn(t, "saved", saved.body, "Saved", "see the squad")
	wantIn(t, "squad", c.opened("/squad"), "&lt;b&gt;Ann")
	again := c.upload("again.csv", c.get("/squad/squad.csv").body)
	wantIn(t, "again", again.body, "Athletes: 0 new, 0 changed, 6 known already. Tests: 0 new, 0 changed, 6 known already.")
	sheet := c.upload("again.xlsx", c.get("/squad/squad.xlsx").body)
	wantIn(t, "sheet", sheet.body, "Athletes: 0 new, 0 changed, 6 known already. Tests: 0 new, 0 changed, 6 known already.")
}

func TestFilesThatCannotComeIn(t *testing.T) {
	c := newClub(t)
	for text, p := range map[string]reply{
		"PDF":                    c.upload("a.pdf", "%PDF-1.7"),
		"heading and at least":   c.upload("a.csv", ""),
		"larger than 8 MB":       c.upload("a.csv", strings.Repeat("x", 9<<20)),
		"Choose a file first":    c.post("/squad/import", url.Values{}),
		"did not arrive whole":   c.post("/squad/import", url.Values{"content": {"%%%"}}),
		"cannot be opened":       c.post("/squad/import", url.Values{"content": {base64.StdEncoding.EncodeToString([]byte("PK\x03\x04"))}, "save": {"yes"}, "by": {"Ines"}}),
		"or is larger than 8 MB": c.upload("a.csv", strings.Repeat("x", 13<<20)),
	} {
		if p.status != http.StatusUnprocessableEntity || !strings.Contains(p.body, text) || !strings.Contains(p.body, `id="file"`) {
			t.Errorf("%s: %d %.200s", text, p.status, p.body)
		}
	}
}

func TestTakingOutASquad(t *testing.T) {
	c := demoClub(t)
	for path, kind := range map[string]string{"/squad/squad.csv": "text/csv; charset=utf-8", "/squad/squad.xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"} {
		p := c.get(path)
		if p.status != http.StatusOK || p.header.Get("Content-Type") != kind || !strings.HasPrefix(p.header.Get("Content-Disposition"), "attachment") {
			t.Errorf("%s: %d %v", path, p.status, p.header)
		}
	}
	for _, path := range []string{"/squad/squad.pdf", "/squad/other.csv", "/squad/x"} {
		if p := c.get(path); p.status != http.StatusNotFound {
			t.Errorf("%s: %d", path, p.status)
		}
	}
}
