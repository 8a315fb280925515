package lineup_test

import (
	"context"
	"encoding/base64"
	"errors"
	"html"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"thole/api/jobs"
	"thole/api/lineup"
	"thole/ui/uitest"
)

// crews lists the athletes of each ranked line-up.
func crews(body string) []string {
	var list []string
	for _, m := range regexp.MustCompile(`(?s)<span class="placed">(.*?)</span>\s*<span class="rowlinks">`).FindAllStringSubmatch(body, -1) {
		list = append(list, strings.Join(regexp.MustCompile(`title="([^"]*)"`).FindAllString(m[1], -1), " "))
	}
	return list
}

func TestLineupPagesOfTheDemoClub(t *testing.T) {
	c := uitest.DemoClub(t)
	for _, class := range []string{"1x", "2x", "4x", "2-", "4-", "4+", "8+"} {
		body := c.Opened("/line-ups?class=" + url.QueryEscape(class))
		uitest.WantIn(t, class, body, "Proven:", "Best crews", "Next", "In the boat", "Try your own line-up", "Why this line-up", "of 150 draws choose this crew", "Next seat race", "Repeat with 500 draws", "/sources#order")
		if sweep := !strings.HasSuffix(class, "x"); strings.Contains(body, `class="turning"`) != sweep {
			t.Errorf("%s: turning moment drawn where there is none, or the other way round", class)
		}
	}
	for path, text := range map[string]string{
		"/squad": "Band 1", "/squad?class=8%2B": "/sources#ergometer", "/squad/import": "test_date", "/line-ups/saved": "None yet",
		"/sources": `id="order"`,
	} {
		uitest.WantIn(t, path, c.Opened(path), text)
	}
}

func TestLineupPagesOfAnEmptyClub(t *testing.T) {
	c := uitest.NewClub(t)
	for path, text := range map[string]string{
		"/line-ups": "Import a squad", "/line-ups?class=2x&pattern=free": "Import a squad", "/squad": "No athlete can be ranked", "/line-ups/saved": "None yet",
	} {
		uitest.WantIn(t, path, c.Opened(path), text)
	}
	uitest.WantIn(t, "export", c.Get("/squad/squad.csv").Body, "name,sex,birth_date")
}

// TestASquadWithoutTests is told athlete by athlete what is missing.
func TestASquadWithoutTests(t *testing.T) {
	c := uitest.NewClub(t)
	if _, err := c.Service.Squadfile.Save(t.Context(), strings.NewReader("name,port_cost_s,sculls,mass_kg\nAnn,0,yes,70\nBea,,,\nCy,0,,\n"), "Ines"); err != nil {
		t.Fatal(err)
	}
	uitest.WantIn(t, "/line-ups", c.Opened("/line-ups"), "3 not considered", "no ergometer test", "rows no side", "no mass on record")
	uitest.WantIn(t, "/line-ups", c.Opened("/line-ups?class=1x"), "does not scull")
}

// awkwardSquad has names that a page must bear, two of them the same.
const awkwardSquad = "name,birth_date,sculls,mass_kg,test_date,test_distance_m,test_time\n" +
	"\"<b>Ann</b> \"\"x\"\" & 'y'\",2001-02-03,yes,70,2026-01-10,2000,7:00.0\n" +
	"Bea,2001-02-03,yes,71,2026-01-10,2000,7:01.0\nBea,2003-02-03,yes,72,2026-01-10,2000,7:02.0\n" +
	"Dorothea-Wilhelmina von und zu Langenfeld-Hohenstein,,yes,73,2026-01-10,2000,7:03.0\n{{.}},,yes,74,2026-01-10,2000,7:04.0\n"

func TestAwkwardNamesInLineups(t *testing.T) {
	c := uitest.NewClub(t)
	if _, err := c.Service.Squadfile.Save(t.Context(), strings.NewReader(awkwardSquad), "Ines"); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{"/line-ups?class=4x", "/line-ups?class=2x&compare=2.3", "/line-ups?class=1x", "/squad?class=4x"} {
		body := c.Opened(path)
		uitest.WantIn(t, path, body, "&lt;b&gt;Ann&lt;/b&gt;", "Bea (2001)", "Bea (2003)")
		if strings.Contains(body, "<b>Ann") {
			t.Errorf("%s: a name became markup", path)
		}
	}
	firm := c.Post("/line-ups/firmness", url.Values{"class": {"2x"}})
	if firm.Status != http.StatusOK || strings.Contains(firm.Body, "<b>Ann") {
		t.Errorf("%d", firm.Status)
	}
}

func TestSixtyAthletes(t *testing.T) {
	c := squadClub(t, 60)
	uitest.WantIn(t, "/line-ups", c.Opened("/line-ups"), "Proven:", "Athlete 59")
	uitest.WantIn(t, "/squad", c.Opened("/squad?class=8%2B"), "Athlete 59")
}

// TestTheFormIsKept sends what a browser would and finds it again on the page.
func TestTheFormIsKept(t *testing.T) {
	c := uitest.DemoClub(t)
	kofi, tomas, luca := c.IdOf("Kofi Mensah-Bright"), c.IdOf("Tomas Verhelde"), c.IdOf("Luca Ferrand")
	body := c.Opened("/line-ups")
	form := uitest.FormValues(body)
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
	page := c.Opened("/line-ups?" + form.Encode())
	uitest.WantIn(t, "page", page, `name="c1v" value="0,7"`, `name="likeness" value="3"`, "not a neighbour of Luca Ferrand", "<dt>Not available</dt><dd>Kofi Mensah-Bright</dd>",
		"<dt>Seat 8</dt><dd>Tomas Verhelde</dd>", "<dt>Must row</dt><dd>Luca Ferrand</dd>", `name="p2a"`, `name="c3v"`)
	for i, crew := range crews(page) {
		if strings.Contains(crew, "Kofi") || !strings.HasSuffix(crew, `title="Tomas Verhelde"`) || !strings.Contains(crew, "Luca") {
			t.Errorf("order %d: %s", i+1, crew)
		}
	}
	if again := uitest.FormValues(page); again.Has("a"+kofi) || !again.Has("a"+tomas) {
		t.Error("a tick is lost, or has come back")
	}
	// The addresses on the page say the same in short.
	look := regexp.MustCompile(`href="(/line-ups\?[^"]*show=2[^"]*)"`).FindStringSubmatch(page)
	if look == nil || strings.Contains(look[1], "squad=") {
		t.Fatalf("%v", look)
	}
	short := c.Opened(html.UnescapeString(look[1]))
	if !slices.Equal(crews(short), crews(page)) {
		t.Error("the short address says something else")
	}
}

// TestNewAthletesAreAvailable: a list of ticks speaks of those it showed.
func TestNewAthletesAreAvailable(t *testing.T) {
	c := uitest.DemoClub(t)
	luca := c.IdOf("Luca Ferrand")
	form := uitest.FormValues(c.Opened("/line-ups?squad=" + luca + "&class=8%2B"))
	if form.Has("a"+luca) || !form.Has("a"+c.IdOf("Sam Okafor")) {
		t.Error("not ticked and not shown are mixed up")
	}
}

func TestSidesSeatBySeat(t *testing.T) {
	c := uitest.DemoClub(t)
	drawn := func(query string) string {
		return drawnSides(t, c.Opened("/line-ups?class=4-&"+query))
	}
	for query, want := range map[string]string{
		"": "spsp", "pattern=mirror": "psps", "pattern=own&g1=S&g2=P&g3=P&g4=S": "spps",
		"pattern=own&g1=x": "spsp",
	} {
		if got := drawn(query); got != want {
			t.Errorf("%s: %s", query, got)
		}
	}
	uitest.WantIn(t, "page", c.Opened("/line-ups?class=4-&pattern=own&g1=P"), `<details class="bysides" open>`)
}

func TestFreeSidesTellTheReasonsOnRequest(t *testing.T) {
	c := uitest.DemoClub(t)
	uitest.WantIn(t, "page", c.Opened("/line-ups?class=4-&pattern=free"), "Show the reasons", `hx-trigger="load"`)
	fragment := c.Send(http.MethodGet, "/line-ups/why?class=4-&pattern=free", nil, uitest.ByHTMX)
	if fragment.Status != http.StatusOK || strings.Contains(fragment.Body, "<html") || !strings.Contains(fragment.Body, "Cost of exchanging two seats") {
		t.Errorf("%d %.200s", fragment.Status, fragment.Body)
	}
	plain := c.Get("/line-ups/why?class=4-&pattern=free")
	to := strings.TrimSuffix(plain.Header.Get("Location"), "#why-h")
	uitest.WantIn(t, "reasons", c.Opened(to), "Cost of exchanging two seats")
	bad := c.Send(http.MethodGet, "/line-ups/why?class=4-&likeness=x", nil, uitest.ByHTMX)
	if bad.Status != http.StatusUnprocessableEntity || bad.Header.Get("HX-Retarget") != "#problems" {
		t.Errorf("%d %v", bad.Status, bad.Header)
	}
}

func TestUpToThreeSideBySide(t *testing.T) {
	c := uitest.DemoClub(t)
	for query, want := range map[string]int{"": 1, "compare=2": 2, "compare=2.3": 3, "compare=1b.3.4": 3, "compare=1": 1, "compare=99.x": 1, "show=3&compare=1.2c": 3} {
		body := c.Opened("/line-ups?" + query)
		_, rest, _ := strings.Cut(body, `<div class="trio">`)
		trio, _, _ := strings.Cut(rest, `<form class="saveform"`)
		if got := strings.Count(trio, "<figure"); got != want {
			t.Errorf("%s: %d boats", query, got)
		}
	}
	uitest.WantIn(t, "toggles", c.Opened("/line-ups?compare=2.3"), "compare=3#boat-h\" aria-label=\"Hide line-up 2\"", "compare=3.4#boat-h\" aria-label=\"Compare line-up 4\"")
}

// TestLineupFormMistakes answers each with the page, what was typed, and where
// it is wrong.
func TestLineupFormMistakes(t *testing.T) {
	c := uitest.DemoClub(t)
	tomas, kofi := c.IdOf("Tomas Verhelde"), c.IdOf("Kofi Mensah-Bright")
	for query, texts := range map[string][]string{
		"likeness=much":                    {`href="#likeness"`, "“much” is not a number", `value="much"`},
		"yaw=-1":                           {`href="#yaw"`, "plausible range"},
		"cox=900":                          {`href="#cox"`, "150"},
		"women=2.5":                        {`href="#women"`, "whole number"},
		"women=9":                          {`href="#women"`, "from 0 to 8"},
		"c1a=" + tomas + "&c1s=1&c1v=dear": {`href="#c1v"`, "“dear” is not a number"},
		"r" + tomas + "=8&r" + kofi + "=8": {"Tomas Verhelde sits in seat 8", "Kofi Mensah-Bright sits in seat 8", "Drop any one of them and the others can be kept"},
		"class=2-&women=2&men=1":           {"at least 2 women", "at least 1 man"},
		"max_mass=30":                      {"mass of every rower is limited"},
		"race=77":                          {"This seat race was removed"},
		"race=x&likeness=x":                {"“x” is not a number"},
		"p1a=" + tomas + "&p1k=never&p1b=" + tomas: {"two different athletes"},
	} {
		p := c.Get("/line-ups?" + query)
		if p.Status != http.StatusUnprocessableEntity {
			t.Errorf("%s: %d", query, p.Status)
		}
		uitest.WantIn(t, query, p.Body, append(texts, "Please check", `id="lineups-form"`)...)
	}
}

func TestRulesAboutStrangersAreToldAndLeftOut(t *testing.T) {
	c := uitest.DemoClub(t)
	uitest.WantIn(t, "page", c.Opened("/line-ups?p1a=9999&p1k=never&p1b="+c.IdOf("Tomas Verhelde")), "cannot be placed in this boat", "Proven:")
}

func TestTryingOnesOwn(t *testing.T) {
	c := uitest.DemoClub(t)
	form := uitest.OwnForm(c.Opened("/line-ups?r" + c.IdOf("Luca Ferrand") + "=1"))
	one, three := form.Get("s3"), form.Get("s5")
	form.Set("s3", three)
	form.Set("s5", one)
	fragment := c.Send(http.MethodGet, "/line-ups/try?"+form.Encode(), nil, uitest.ByHTMX)
	if fragment.Status != http.StatusOK || strings.Contains(fragment.Body, "<html") {
		t.Fatalf("%d %.200s", fragment.Status, fragment.Body)
	}
	behind := regexp.MustCompile(`<b>([+−][\d.]+) s</b> against the best`).FindStringSubmatch(html.UnescapeString(fragment.Body))
	address := fragment.Header.Get("HX-Replace-URL")
	if behind == nil || !strings.Contains(address, "own=") || strings.Contains(address, "s3=") {
		t.Fatalf("%v %s", behind, address)
	}
	uitest.WantIn(t, "shared address", html.UnescapeString(c.Opened(address)), behind[0])
	plain := c.Get("/line-ups/try?" + form.Encode())
	if plain.Status != http.StatusSeeOther {
		t.Fatal(plain.Status)
	}
	uitest.WantIn(t, "without a script", html.UnescapeString(c.Opened(plain.Header.Get("Location"))), behind[0])
	// The change is that of the swap table.
	cells := regexp.MustCompile(`(?s)<table class="numbers swaps">.*?</table>`).FindString(c.Opened("/line-ups?r" + c.IdOf("Luca Ferrand") + "=1"))
	row := strings.Split(cells, "<tr>")[4]
	uitest.WantIn(t, "swap table", html.UnescapeString(row), behind[1])
}

func TestOnesOwnMayBreakRulesAndMakeNoSense(t *testing.T) {
	c := uitest.DemoClub(t)
	tomas := c.IdOf("Tomas Verhelde")
	form := uitest.OwnForm(c.Opened("/line-ups"))
	form.Set("out", tomas)
	broken := c.Send(http.MethodGet, "/line-ups/try?"+form.Encode(), nil, uitest.ByHTMX)
	uitest.WantIn(t, "a rule broken", broken.Body, "It breaks a rule: Tomas Verhelde does not row")
	form.Del("out")
	form.Set("s1", tomas)
	form.Set("s2", tomas)
	twice := c.Send(http.MethodGet, "/line-ups/try?"+form.Encode(), nil, uitest.ByHTMX)
	if twice.Status != http.StatusOK || !strings.Contains(twice.Body, `class="complaint"`) || strings.Contains(twice.Body, "against the best") {
		t.Errorf("%d %.300s", twice.Status, twice.Body)
	}
	form.Set("likeness", "x")
	bad := c.Send(http.MethodGet, "/line-ups/try?"+form.Encode(), nil, uitest.ByHTMX)
	if bad.Status != http.StatusUnprocessableEntity || bad.Header.Get("HX-Retarget") != "#problems" {
		t.Errorf("%d %v", bad.Status, bad.Header)
	}
	uitest.WantIn(t, "the line-up of another boat", c.Opened("/line-ups?class=4-&own="+tomas), "Try your own line-up")
}

func TestFirmnessWithoutAScript(t *testing.T) {
	c := uitest.DemoClub(t)
	p := c.Post("/line-ups/firmness", url.Values{"class": {"4-"}})
	if p.Status != http.StatusOK {
		t.Fatalf("%d %.300s", p.Status, p.Body)
	}
	uitest.WantIn(t, "page", p.Body, "<!doctype html>", "of 150 draws choose this crew", "Best crews", "Next seat races")
	bad := c.Post("/line-ups/firmness", url.Values{"likeness": {"x"}})
	if bad.Status != http.StatusUnprocessableEntity || !strings.Contains(bad.Body, "is not a number") {
		t.Errorf("%d", bad.Status)
	}
}

// TestFirmnessIsWorkBesideThePage starts it, watches it, and stops another.
func TestFirmnessIsWorkBesideThePage(t *testing.T) {
	c := uitest.DemoClub(t)
	watch := func(body string) string {
		m := regexp.MustCompile(`hx-get="(/line-ups/jobs/[^"]*)"`).FindStringSubmatch(body)
		if m == nil {
			return ""
		}
		return html.UnescapeString(m[1])
	}
	p := c.Post("/line-ups/firmness", url.Values{"class": {"4-"}}, uitest.ByHTMX)
	for at := watch(p.Body); at != ""; at = watch(p.Body) {
		uitest.WantIn(t, "progress", p.Body, "<progress", "Cancel")
		p = c.Send(http.MethodGet, at, nil, uitest.ByHTMX)
	}
	uitest.WantIn(t, "result", p.Body, "of 500 draws choose this crew", "/seat-races/new?")
	if strings.Contains(p.Body, "<html") {
		t.Error("the whole page in place of a part")
	}
	p = c.Post("/line-ups/firmness", url.Values{"class": {"8+"}, "pattern": {"free"}}, uitest.ByHTMX)
	p = c.Post(watch(p.Body), nil, uitest.ByHTMX)
	uitest.WantIn(t, "cancelled", p.Body, "Cancelled.", "How firm is this?")
	if gone := c.Send(http.MethodGet, "/line-ups/jobs/none", nil, uitest.ByHTMX); gone.Status != http.StatusNotFound {
		t.Errorf("%d", gone.Status)
	}
	bad := c.Post("/line-ups/firmness", url.Values{"likeness": {"x"}}, uitest.ByHTMX)
	if bad.Status != http.StatusUnprocessableEntity || bad.Header.Get("HX-Retarget") != "#problems" {
		t.Errorf("%d %v", bad.Status, bad.Header)
	}
}

// TestFirmnessWaitsForOtherWork describes it as an answer, since a page that htmx
// loads shows no others, and lets one ask again.
func TestFirmnessWaitsForOtherWork(t *testing.T) {
	c := uitest.DemoClub(t)
	work := func(ctx context.Context) (any, error) { <-ctx.Done(); return nil, ctx.Err() }
	var under []string
	for {
		job, err := c.Service.Jobs.StartJob(t.Context(), work)
		if errors.Is(err, jobs.ErrBusy) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		under = append(under, job.ID)
	}
	p := c.Post("/line-ups/firmness", url.Values{"class": {"4-"}}, uitest.ByHTMX)
	if p.Status != http.StatusOK {
		t.Errorf("%d", p.Status)
	}
	uitest.WantIn(t, "busy", p.Body, "Try again in a minute", "How firm is this?", `name="class" value="4-"`)
	for _, id := range under {
		if _, err := c.Service.Jobs.CancelJob(t.Context(), jobs.JobRequest{ID: id}); err != nil {
			t.Fatal(err)
		}
	}
}

// Where the sides are free, orders differ in them, too.
func TestFreeSidesAreListed(t *testing.T) {
	c := uitest.DemoClub(t)
	letters := regexp.MustCompile(`Sides </span>([PS ]+)<`).FindAllStringSubmatch(c.Opened("/line-ups?class=4-&pattern=free"), -1)
	if len(letters) != 12 {
		t.Fatalf("%d of twelve line-ups tell their sides", len(letters))
	}
	for _, l := range letters {
		if len(l[1]) != 7 || strings.Count(l[1], "P") != 2 || strings.Count(l[1], "S") != 2 {
			t.Errorf("a four with the sides %q", l[1])
		}
	}
	if body := c.Opened("/line-ups?class=4-"); strings.Contains(body, "Sides </span>") {
		t.Error("sides that are given are told with every order")
	}
}

func TestLineupsNameTheirImages(t *testing.T) {
	c := uitest.DemoClub(t)
	uitest.WantIn(t, "a quad", c.Opened("/line-ups?class=4x"), "Each costs the same turned end for end")
	if body := c.Opened("/line-ups?class=4x&r1=2"); strings.Contains(body, "osts the same") {
		t.Error("with a rower in a seat of hers the boat is told to turn")
	}
}

// What is short is told beside the rules, and where there is no rule, alone.
func TestConflictsTellWhatIsShort(t *testing.T) {
	c := uitest.DemoClub(t)
	both := c.Get("/line-ups?class=4x&women=3&men=2")
	uitest.WantIn(t, "counts", both.Body, "These rules cannot be met together", "at least 3 women", "5 rowers are needed and the boat has 4 seats.", "No smaller set of rules is in conflict.")
	heavy := c.Get("/line-ups?class=4x&mean_mass=50")
	uitest.WantIn(t, "masses", heavy.Body, "This rule cannot be met", "the mean mass of the crew is limited", "kg on average.")
	empty := squadClub(t, 3).Get("/line-ups?class=8%2B")
	uitest.WantIn(t, "too few", empty.Body, "This squad cannot fill the boat.", "8 rowers are needed and there are 3.")
}

func TestLineupsTooCloseToTell(t *testing.T) {
	c := uitest.DemoClub(t)
	uitest.WantIn(t, "an eight", c.Opened("/line-ups"), "of crew 1 listed here are within 0.1 s of each other")
	if body := c.Opened("/line-ups?class=1x"); strings.Contains(body, "too close to tell on the water") {
		t.Error("scullers who are seconds apart are called alike")
	}
	if body := c.Opened("/line-ups?class=4x"); strings.Contains(body, "order of the sides") {
		t.Error("a sculling boat is told about sides")
	}
}

// TestARaceLeadsToItsPlan follows each proposed race to a plan that can be
// raced.
func TestARaceLeadsToItsPlan(t *testing.T) {
	c := squadClub(t, 24)
	for _, class := range []string{"8+", "4-", "4x", "2-", "2x"} {
		p := c.Post("/line-ups/firmness", url.Values{"class": {class}})
		links := regexp.MustCompile(`href="(/seat-races/new\?[^"]*)">([^<]*) against ([^<]*)<`).FindAllStringSubmatch(p.Body, -1)
		if len(links) == 0 {
			t.Errorf("%s: no race", class)
		}
		for _, link := range links {
			plan := c.Opened(html.UnescapeString(link[1]))
			uitest.WantIn(t, class, plan, link[2]+" / "+link[3], "Schedule</h2>")
		}
	}
}

func TestSavingALineup(t *testing.T) {
	c := uitest.DemoClub(t)
	body := c.Opened("/line-ups?cox=52")
	_, rest, _ := strings.Cut(body, `<form class="saveform"`)
	form := uitest.FormValues(strings.Split(rest, "</form>")[0])
	bad := c.Post("/line-ups/save", form)
	if bad.Status != http.StatusUnprocessableEntity {
		t.Fatal(bad.Status)
	}
	uitest.WantIn(t, "refusal", bad.Body, "Please check", `href="#name"`, `href="#by"`, "autofocus")
	form = uitest.FormValues(bad.Body)
	form.Set("name", `First <eight> & "co"`)
	form.Set("by", "Anna")
	p := c.Post("/line-ups/save", form)
	uitest.GoesTo(t, p, "/line-ups/saved/1")
	page := c.Opened("/line-ups/saved/1")
	uitest.WantIn(t, "page", page, "First &lt;eight&gt; &amp; ", "cox 52 kg", "Luca Ferrand")
	setup := regexp.MustCompile(`href="(/setup\?boat=\d+&amp;lineup=1)"`).FindStringSubmatch(page)
	if setup == nil {
		t.Fatal("no boat to set up")
	}
	uitest.WantIn(t, "set up", c.Opened(html.UnescapeString(setup[1])), "First &lt;eight&gt;", `value="Luca Ferrand"`)
	uitest.WantIn(t, "list", c.Opened("/line-ups/saved"), "First &lt;eight&gt;", `href="/line-ups/saved/1"`)
	again := regexp.MustCompile(`href="(/line-ups\?[^"]*own=[^"]*)"`).FindStringSubmatch(page)
	uitest.WantIn(t, "tried again", c.Opened(html.UnescapeString(again[1])), "<b>0 s</b> against the best")
	uitest.GoesTo(t, c.Post("/line-ups/saved/1/remove", nil), "/line-ups/saved")
	for _, p := range []uitest.Reply{c.Get("/line-ups/saved/1"), c.Post("/line-ups/saved/1/remove", nil), c.Get("/line-ups/saved/x")} {
		if p.Status != http.StatusNotFound {
			t.Error(p.Status)
		}
	}
}

func TestImportingASquad(t *testing.T) {
	c := uitest.NewClub(t)
	look := c.Upload("squad <1>.csv", awkwardSquad+"Eve,,,,2026-01-10,1000,302\nFay,,,999,,,\n")
	if look.Status != http.StatusOK {
		t.Fatalf("%d %.300s", look.Status, look.Body)
	}
	uitest.WantIn(t, "look", look.Body, "Preview of squad &lt;1&gt;.csv", "7 rows. Athletes: 6 new, 0 changed, 0 unchanged. Tests: 6 new, 0 changed, 0 unchanged. 1 to check.", "Row 8, mass_kg", "or 3:02", "&lt;b&gt;Ann")
	form := uitest.FormValues(look.Body)
	form.Set("save", "yes")
	unsigned := c.Post("/squad/import", form)
	if unsigned.Status != http.StatusUnprocessableEntity || !strings.Contains(unsigned.Body, "Say who you are") {
		t.Errorf("%d", unsigned.Status)
	}
	form = uitest.FormValues(unsigned.Body)
	form.Set("save", "yes")
	form.Set("by", "Ines")
	form.Set(regexp.MustCompile(`sure_\d+_\d+`).FindString(unsigned.Body), "yes")
	saved := c.Post("/squad/import", form)
	uitest.WantIn(t, "saved", saved.Body, "Saved", "see the athletes")
	uitest.WantIn(t, "squad", c.Opened("/squad"), "&lt;b&gt;Ann")
	again := c.Upload("again.csv", c.Get("/squad/squad.csv").Body)
	uitest.WantIn(t, "again", again.Body, "Athletes: 0 new, 0 changed, 6 unchanged. Tests: 0 new, 0 changed, 6 unchanged.")
	sheet := c.Upload("again.xlsx", c.Get("/squad/squad.xlsx").Body)
	uitest.WantIn(t, "sheet", sheet.Body, "Athletes: 0 new, 0 changed, 6 unchanged. Tests: 0 new, 0 changed, 6 unchanged.")
}

func TestFilesThatCannotBeImported(t *testing.T) {
	c := uitest.NewClub(t)
	for text, p := range map[string]uitest.Reply{
		"PDF":                 c.Upload("a.pdf", "%PDF-1.7"),
		"row of headings and": c.Upload("a.csv", ""),
		"larger than 8 MB":    c.Upload("a.csv", strings.Repeat("x", 9<<20)),
		"Choose a file first": c.Post("/squad/import", url.Values{}),
		"was cut off":         c.Post("/squad/import", url.Values{"content": {"%%%"}}),
		"cannot be opened":    c.Post("/squad/import", url.Values{"content": {base64.StdEncoding.EncodeToString([]byte("PK\x03\x04"))}, "save": {"yes"}, "by": {"Ines"}}),
		"The file is larger":  c.Upload("a.csv", strings.Repeat("x", 13<<20)),
	} {
		want := http.StatusUnprocessableEntity
		if strings.Contains(text, "is larger") {
			want = http.StatusRequestEntityTooLarge
		}
		if text != "larger than 8 MB" && p.Status != want || !strings.Contains(p.Body, text) || !strings.Contains(p.Body, `id="file"`) {
			t.Errorf("%s: %d %.200s", text, p.Status, p.Body)
		}
	}
}

func TestExportingASquad(t *testing.T) {
	c := uitest.DemoClub(t)
	for path, kind := range map[string]string{"/squad/squad.csv": "text/csv; charset=utf-8", "/squad/squad.xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"} {
		p := c.Get(path)
		if p.Status != http.StatusOK || p.Header.Get("Content-Type") != kind || !strings.HasPrefix(p.Header.Get("Content-Disposition"), "attachment") {
			t.Errorf("%s: %d %v", path, p.Status, p.Header)
		}
	}
	for _, path := range []string{"/squad/squad.pdf", "/squad/other.csv", "/squad/x"} {
		if p := c.Get(path); p.Status != http.StatusNotFound {
			t.Errorf("%s: %d", path, p.Status)
		}
	}
}

// TestALargeClubIsNarrowed to its strongest and those whom the form names, so that
// the page can be calculated and read.
func TestALargeClubIsNarrowed(t *testing.T) {
	c := squadClub(t, 140)
	squad, err := c.Service.Lineup.SquadFor(t.Context(), lineup.BoatSquadRequest{BoatClass: "2x"})
	if err != nil || len(squad.Candidates) != 140 {
		t.Fatal(len(squad.Candidates), err)
	}
	last := squad.Candidates[139].ID
	boxes := func(address string) int { return strings.Count(c.Opened(address), `class="here"`) }
	if n := boxes("/line-ups?class=2x"); n != 60 {
		t.Errorf("%d athletes", n)
	}
	for _, named := range []string{"r" + last + "=must", "own=" + last + "." + squad.Candidates[0].ID} {
		if n := boxes("/line-ups?class=2x&" + named); n != 61 {
			t.Errorf("%s: %d athletes", named, n)
		}
	}
	uitest.WantIn(t, "the page", c.Opened("/line-ups?class=2x"), "The 60 strongest are considered and 80 others are not")
}

// TestTheLargestBoatThatIsFilledIsTaken where nobody says which: with as many as it has
// seats, and a smaller one with one fewer. The club has no boat, so that sweep boats come
// first, without a cox where there are such.
func TestTheLargestBoatThatIsFilledIsTaken(t *testing.T) {
	for n, want := range map[int]string{1: "1x", 2: "2-", 3: "2-", 4: "4-", 7: "4-", 8: "8&#43;"} {
		if body := squadClub(t, n).Opened("/line-ups"); !strings.Contains(body, `<option value="`+want+`" selected>`+want+` · `) {
			t.Errorf("%d athletes: not a %s", n, want)
		}
	}
}
