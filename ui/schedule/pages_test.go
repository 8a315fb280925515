package schedule_test

import (
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"thole/api"
	"thole/api/club"
	"thole/api/records"
	"thole/api/storetest"
	"thole/ui"
	"thole/ui/uitest"
)

// planSite serves the pages over records of their own, and returns the service
// behind them.
func planSite(t testing.TB) (*httptest.Server, *api.Service) {
	t.Helper()
	service := api.NewService(storetest.Open(t))
	pages, err := ui.New(nil, service, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(pages)
	t.Cleanup(func() {
		server.Close()
		service.Close()
	})
	return server, service
}

// planQuery plans two doubles of four athletes.
const planQuery = "/seat-races/new?boat_class=2x&pieces=4&squad=Ann%0ABea%0ACat%0ADot"

func TestPlanIsSharedByItsAddress(t *testing.T) {
	site, _ := planSite(t)
	form := url.Values{"boat_class": {"2x"}, "pieces": {"4"}, "squad": {"Ann\nBea"}, "who": {}, "pairs": {"Ann / Bea"}}
	form.Set("squad", "Ann\nBea\nCat\nDot")
	plain := uitest.Send(t, site, "/seat-races/new", form, false)
	uitest.Read(t, plain)
	if plain.StatusCode != http.StatusSeeOther {
		t.Fatalf("status %d", plain.StatusCode)
	}
	live := uitest.Send(t, site, "/seat-races/new", form, true)
	fragment := uitest.Read(t, live)
	if live.Header.Get("HX-Replace-URL") != plain.Header.Get("Location") || strings.Contains(fragment, "<html") || !strings.Contains(fragment, "Schedule</h2>") {
		t.Errorf("address %q and %q, or no fragment", live.Header.Get("HX-Replace-URL"), plain.Header.Get("Location"))
	}
	_, page := uitest.Fetch(t, site, plain.Header.Get("Location"))
	section := regexp.MustCompile(`(?s)<ol class="pieces">.*?</ol>`)
	if section.FindString(page) == "" || section.FindString(page) != section.FindString(fragment) {
		t.Error("the address shows another plan")
	}
}

// TestCrewsByHand swaps two athletes in the last piece and sees the
// consequences.
func TestCrewsByHand(t *testing.T) {
	site, _ := planSite(t)
	form := url.Values{"boat_class": {"2x"}, "squad": {"Ann\nBea\nCat\nDot"}, "pieces": {"2"}}
	for piece, digits := range []string{"1122", "2112"} {
		for athlete, d := range digits {
			form.Set(fmt.Sprintf("c%d_%d", piece+1, athlete), string(d))
		}
	}
	answer := uitest.Send(t, site, "/seat-races/new", form, false)
	uitest.Read(t, answer)
	address := answer.Header.Get("Location")
	if !strings.Contains(address, "p1=1122") || !strings.Contains(address, "p2=2112") {
		t.Fatalf("address %q", address)
	}
	_, body := uitest.Fetch(t, site, address)
	if !strings.Contains(body, "Ann and Cat change") && !strings.Contains(body, "Cat and Ann change") || !strings.Contains(body, "Back to the calculated schedule") {
		t.Error("the crews are not those made by hand")
	}
	form.Set("c2_0", "1") // three in boat 1
	answer = uitest.Send(t, site, "/seat-races/new", form, true)
	if body := uitest.Read(t, answer); answer.StatusCode != 422 || !strings.Contains(body, "rowers instead of 2") {
		t.Errorf("unequal crews: %d", answer.StatusCode)
	}
	if status, body := uitest.Fetch(t, site, address+"%0A&squad=Ann%0ABea%0ACat%0ADot"); status != 200 && body == "" {
		t.Errorf("status %d", status)
	}
	if _, body := uitest.Fetch(t, site, planQuery+"%0AEva&p1=1122"); !strings.Contains(body, "no longer fit") {
		t.Error("crews that no longer fit are dropped without a word")
	}
}

func TestPlanFormMistakes(t *testing.T) {
	site, _ := planSite(t)
	for query, want := range map[string]string{
		"boat_class=2x&squad=Ann%0ABea":                               "need 4 athletes",
		"boat_class=2x&squad=Ann%0ABea%0ACat%0AAnn":                   "in the squad twice",
		"boat_class=2x&squad=Ann%0ABea%0ACat%0ADot&pieces=many":       "not a whole number",
		"boat_class=2x&squad=Ann%0ABea%0ACat%0ADot&pieces=99":         "Plan from 1 to 40 pieces",
		"boat_class=2x&squad=Ann%0ABea%0ACat%0ADot&boats=1":           "plausible range is 2 to 12",
		"boat_class=2x&squad=Ann%0ABea%0ACat%0ADot&boats=30":          "2 to 9 boats",
		"boat_class=2x&squad=Ann%0ABea%0ACat%0ADot&pairs=Ann":         "is no pair",
		"boat_class=2x&squad=Ann%0ABea%0ACat%0ADot&pairs=Ann/Zoe":     "not one of the athletes",
		"boat_class=2x&squad=Ann%0ABea%0ACat%0ADot&distance_m=1":      "100 to 10000",
		"boat_class=2x&squad=Ann%0ABea%0ACat%0ADot&expected_time_s=x": "not a time",
		"boat_class=2x&squad=Ann%0ABea%0ACat%0ADot&smallest_w=x":      "not a number",
		"boat_class=2-&squad=Ann+P%0ABea+P%0ACat+P%0ADot+S":           "starboard seats",
	} {
		status, body := uitest.Fetch(t, site, "/seat-races/new?"+query)
		if status != 422 || !strings.Contains(body, want) {
			t.Errorf("%s: status %d, says %q: %v", query, status, want, strings.Contains(body, want))
		}
		if !strings.Contains(body, "Ann") {
			t.Errorf("%s: what was typed is lost", query)
		}
	}
}

func TestPlanTakesFromTheRecord(t *testing.T) {
	site, service := planSite(t)
	var a club.NewAthlete
	a.Name, a.By, a.PortCostS, a.StarboardCostS, a.Sculls = "Zoe", "Coach", new(0.0), nil, true
	if _, err := service.Club.AddAthlete(t.Context(), a); err != nil {
		t.Fatal(err)
	}
	_, body := uitest.Fetch(t, site, "/seat-races/new?boat_class=2-")
	if !strings.Contains(body, `value="Zoe"`) {
		t.Fatal("the record is not offered")
	}
	form := url.Values{"boat_class": {"2-"}, "squad": {"Ann P\nBea S\nCat S"}, "who": {"Zoe"}, "pieces": {"3"}}
	answer := uitest.Send(t, site, "/seat-races/new", form, true)
	fragment := uitest.Read(t, answer)
	if answer.StatusCode != 200 || !strings.Contains(fragment, `id="schedule-squad" hx-swap-oob`) || !strings.Contains(fragment, "Cat S\nZoe") {
		t.Errorf("%d: Zoe does not join the squad", answer.StatusCode)
	}
}

// keepPlan puts a plan on record through the form and returns the address.
func keepPlan(t *testing.T, site *httptest.Server, name string) *http.Response {
	t.Helper()
	return uitest.Send(t, site, "/seat-races", url.Values{
		"boat_class": {"2x"}, "squad": {"Ann\nBea\nCat\nDot"}, "pieces": {"4"}, "pairs": {"Ann / Cat"}, "name": {name}, "held_on": {"2026-03-14"}, "by": {"Coach"},
	}, false)
}

func TestAPlanGoesOnRecord(t *testing.T) {
	site, service := planSite(t)
	answer := keepPlan(t, site, "Saturday")
	uitest.Read(t, answer)
	if answer.StatusCode != http.StatusSeeOther || answer.Header.Get("Location") != "/seat-races/1" {
		t.Fatalf("%d to %q", answer.StatusCode, answer.Header.Get("Location"))
	}
	race, err := service.Seatrace.Race(t.Context(), records.IDRequest{ID: 1})
	if err != nil || len(race.Pieces) != 4 || race.Name != "Saturday" || len(race.Terms.Pairs) != 1 {
		t.Fatalf("%+v: %v", race, err)
	}
	answer = keepPlan(t, site, strings.Repeat("x", 99))
	if body := uitest.Read(t, answer); answer.StatusCode != 422 || !strings.Contains(body, "at most 80") || !strings.Contains(body, "Cat") {
		t.Errorf("a long name: %d", answer.StatusCode)
	}
}

// BenchmarkPlanPage plans 16 athletes in two eights over eight pieces.
func BenchmarkPlanPage(b *testing.B) {
	site, _ := planSite(b)
	address := "/seat-races/new?boat_class=8%2B&pieces=8&squad=" + url.QueryEscape(strings.Join(strings.Split("abcdefghijklmnop", ""), "\n"))
	b.ReportAllocs()
	for b.Loop() {
		if status, _ := uitest.Fetch(b, site, address); status != http.StatusOK {
			b.Fatal(status)
		}
	}
}

// sweepQuery plans two pairs of four athletes, of whom Ann and Cat row port.
const sweepQuery = "/seat-races/new?boat_class=2-&pieces=4&squad=Ann+P%0ABea+S%0ACat+P%0ADot+S"

// TestAScheduleComparesPortsWithPorts: by itself two pairs, six when asked; and what
// a swap shows stands beside the schedule for one pair in one unit.
func TestAScheduleComparesPortsWithPorts(t *testing.T) {
	site, _ := planSite(t)
	_, body := uitest.Fetch(t, site, sweepQuery)
	body = uitest.OneLine(body)
	for _, want := range []string{"of 2 pairs", "Ports are not compared with starboards: every boat always has as many of each.", "2- · 2 boats · 4 pieces · 4 athletes", `name="across"`} {
		uitest.WantIn(t, "by itself", body, want)
	}
	names := regexp.MustCompile(`<span class="name">([^<]* / [^<]*), (whole schedule|one swap alone)</span> <span class="value">± [0-9.]+ s</span> <span class="sure">± [0-9]+ W`).FindAllStringSubmatch(body, -1)
	if len(names) != 2 || names[0][1] != names[1][1] || names[0][2] == names[1][2] {
		t.Errorf("the schedule and one swap: %q", names)
	}
	_, body = uitest.Fetch(t, site, sweepQuery+"&across=yes")
	body = uitest.OneLine(body)
	for _, want := range []string{"of 6 pairs", "4 of the 6 pairs to compare stay open: ", "Not compared: ", `value="yes" checked> Ports against`} {
		uitest.WantIn(t, "across", body, want)
	}
	if n := strings.Count(body, "so that they cannot be compared"); n != 1 {
		t.Errorf("the reason stands %d times on the page, want once", n)
	}
	_, body = uitest.Fetch(t, site, strings.Replace(sweepQuery, "2-", "2x", 1))
	if strings.Contains(body, "Ports are not compared") || strings.Contains(body, `name="across"`) {
		t.Error("scullers are asked about sides")
	}
}

// TestSidesOfAScheduleComeFromTheRecord: the side that costs less, unless both are
// asked for; who rows either fills the side that is short; a cox is told at the
// squad.
func TestSidesOfAScheduleComeFromTheRecord(t *testing.T) {
	site, service := planSite(t)
	for _, a := range []club.AthleteFields{
		{Name: "Ann Alpha", PortCostS: new(0.0), StarboardCostS: new(1.0)}, {Name: "Bea Beta", PortCostS: new(2.0), StarboardCostS: new(0.5)},
		{Name: "Cat Gamma", PortCostS: new(0.0)}, {Name: "Dot Delta", PortCostS: new(0.0), StarboardCostS: new(0.0)}, {Name: "Pim Epsilon", Coxes: true},
	} {
		if _, err := service.Club.AddAthlete(t.Context(), club.NewAthlete{AthleteFields: a, By: "Coach"}); err != nil {
			t.Fatal(err)
		}
	}
	plan := func(squad string) string {
		_, body := uitest.Fetch(t, site, "/seat-races/new?boat_class=2-&pieces=4&squad="+url.QueryEscape(squad))
		return uitest.OneLine(body)
	}
	body := plan("Alpha\nBeta\nGamma\nDelta")
	for name, badge := range map[string]string{"Ann Alpha": "P", "Bea Beta": "S", "Cat Gamma": "P", "Dot Delta": "S"} {
		if !regexp.MustCompile(name + ` <i class="badge \w+">` + badge).MatchString(body) {
			t.Errorf("%s is no %s", name, badge)
		}
	}
	if body := plan("Alpha P/S\nBeta\nGamma\nDelta P/S"); regexp.MustCompile(`(Alpha|Delta) <i class="badge`).MatchString(body) {
		t.Error("both sides were asked for")
	}
	body = plan("Alpha\nBeta\nGamma\nEpsilon")
	uitest.WantIn(t, "a cox", body, "Pim Epsilon is on record as a cox who does not row.")
	if offered := plan("Alpha"); strings.Contains(offered, `value="Pim Epsilon"`) || !strings.Contains(offered, `value="Bea Beta"`) {
		t.Error("a cox is offered as a rower")
	}
}
