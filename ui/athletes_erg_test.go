package ui_test

import (
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"thole/api/club"
	"thole/api/ergometer"
)

func daysAgo(n int) string { return time.Now().AddDate(0, 0, -n).Format(time.DateOnly) }

// erna numbers athletes, whose names must differ.
var erna atomic.Int64

// ergAthlete puts an athlete of 70 kg on record with tests over distances in
// m, each with its time in s, the last of them today, and returns the page.
func ergAthlete(c *clubSite, tests ...[2]float64) string {
	c.t.Helper()
	a, err := c.service.Club.AddAthlete(c.t.Context(), club.NewAthlete{AthleteFields: club.AthleteFields{Name: fmt.Sprintf("Erna %d", erna.Add(1)), Sculls: true}, By: "Ines"})
	if err != nil {
		c.t.Fatal(err)
	}
	_, err = c.service.Club.AddMeasures(c.t.Context(), club.NewMeasures{AthleteID: a.ID, MeasuredOn: daysAgo(0), MeasuredBody: club.MeasuredBody{MassKg: new(70.0)}, MeasuredBy: "Ines"})
	for i := range tests {
		if err == nil {
			_, err = c.service.Ergometer.AddErgTest(c.t.Context(), ergometer.NewErgTest{
				AthleteID: a.ID, TestedOn: daysAgo(len(tests) - 1 - i), Fixed: "distance", DistanceM: &tests[i][0], TimeS: &tests[i][1], By: "Ines",
			})
		}
	}
	if err != nil {
		c.t.Fatal(err)
	}
	return fmt.Sprintf("/athletes/%d", a.ID)
}

// onlyText is a page without its markup.
func onlyText(body string) string {
	return strings.Join(strings.Fields(regexp.MustCompile(`<[^>]*>`).ReplaceAllString(body, " ")), " ")
}

// TestTheErgometerPanel shows the published figures: 7:00.0 at 70 kg is
// adjusted to 370.953 s by the manufacturers' formula; with 6000 m in 1350 s,
// critical power (Monod and Scherrer 1965) is 220.2879 W and W′ 34463.22 J, and
// the longer test lies outside 2 to 15 minutes.
func TestTheErgometerPanel(t *testing.T) {
	c := newClub(t)
	page := c.opened(ergAthlete(c, [2]float64{2000, 420}))
	wantIn(t, "one test", onlyText(page), "302 ± 6 W", "from one test", "Over 2000 m 7:00.0", "2000 m allowing for 70 kg 6:11.0", "Per kg 4.32 W/kg",
		"Critical power needs two tests", "no advice to lose weight", "6000 m 22:35.1 1:52.9", "Index for the single 100.0")
	page = c.opened(ergAthlete(c, [2]float64{6000, 1350}, [2]float64{2000, 420}))
	wantIn(t, "two tests", onlyText(page), "Critical power 220 W", "W′ above it 34.5 kJ", "no ± can be told", "Outside lies 6000 m in 22:30.0", "6000 m 22:30.0 , rough 1:52.5",
		"Rings lie outside.", "senior single sculls and lightweight double sculls r 0.72 to 0.78", "power × pace³ 2.8 W·s³/m³")
	for _, source := range []string{"ergometer", "critical-power", "mass"} {
		wantIn(t, "the panel", page, `href="/sources#`+source+`"`)
		wantIn(t, "the sources", c.opened("/sources"), `id="`+source+`"`)
	}
}

func TestAPanelWithoutTests(t *testing.T) {
	c := newClub(t)
	page := c.opened(ergAthlete(c))
	wantIn(t, "the panel", page, "No test yet.", "no ergometer test is on record", `id="test-form"`)
	if strings.Contains(page, "ergchart") || strings.Contains(page, "Foretold") {
		t.Error("nothing is drawn or foretold from nothing")
	}
}

// TestDoubtsAreToldInWords: not by colour alone, in the table and the drawing.
func TestDoubtsAreToldInWords(t *testing.T) {
	c := newClub(t)
	page := c.opened(ergAthlete(c, [2]float64{2000, 422.4}, [2]float64{2000, 510.4}))
	wantIn(t, "the panel", onlyText(page), "? In doubt: 168 W where the other tests lead one to expect about 297 W", "Diamonds with ? are in doubt.")
	if n := strings.Count(page, `class="asked"`); n != 2 {
		t.Errorf("%d question marks in the drawing", n)
	}
}

// TestTestsAreDrawnToScale: durations stand on a logarithmic scale from 75 to
// 1500 s, 306 wide from 40: 300 s at 40 + 306·ln 4/ln 20 = 181.60, 200 s at
// 140.19. Powers stand between the ticks: 350 W exactly, and 2.80·(29/6)³ =
// 316.156 W by the published relation.
func TestTestsAreDrawnToScale(t *testing.T) {
	c := newClub(t)
	page := c.opened(ergAthlete(c, [2]float64{1000, 200}, [2]float64{1450, 300}))
	dots := regexp.MustCompile(`<circle class="dot full" cx="([\d.]+)" cy="([\d.]+)"`).FindAllStringSubmatch(page, -1)
	ticks := regexp.MustCompile(`y="([\d.]+)" dy="4" text-anchor="end">(\d+)<`).FindAllStringSubmatch(page[strings.Index(page, "ergchart"):], -1)
	if len(dots) != 2 || len(ticks) < 3 {
		t.Fatalf("dots %v, ticks %v", dots, ticks)
	}
	at := func(power float64) float64 {
		var y0, y1, p0, p1 float64
		fmt.Sscan(ticks[0][1], &y0)
		fmt.Sscan(ticks[0][2], &p0)
		fmt.Sscan(ticks[len(ticks)-1][1], &y1)
		fmt.Sscan(ticks[len(ticks)-1][2], &p1)
		return y0 + (power-p0)/(p1-p0)*(y1-y0)
	}
	for i, want := range [][2]float64{{181.60, at(316.156)}, {140.19, at(350)}} {
		for k, v := range want {
			var got float64
			fmt.Sscan(dots[i][k+1], &got)
			if got < v-0.02 || got > v+0.02 {
				t.Errorf("dot %d, coordinate %d: %g, want %.2f", i, k, got, v)
			}
		}
	}
	wantIn(t, "the drawing", page, `aria-label="Power against duration: 1450 m on `, "; the curve of critical power, ")
}

func TestAddingATest(t *testing.T) {
	c := newClub(t)
	page := ergAthlete(c)
	form := formValues(formTo(t, c.opened(page), page+"/tests"))
	for name, value := range map[string]string{"tested_on": daysAgo(3), "time": "7:02,4", "test_mass_kg": "71,5", "test_note": "on sliders", "by": "Ann"} {
		form.Set(name, value)
	}
	goesTo(t, c.post(page+"/tests", form), page)
	body := onlyText(c.opened(page))
	wantIn(t, "the page", body, "7:02.4 1:45.6", "71.5 kg", "on sliders", "Ergometer test, ", "2000 m in 7:02.4, 71.5 kg, on sliders Ann")
	form.Set("fixed", "time")
	form.Set("distance_m", "8050")
	form.Set("time", "30:00")
	if p := c.post(page+"/tests", form, byHTMX); p.status != http.StatusNoContent || p.header.Get("HX-Redirect") != page {
		t.Errorf("%d %s", p.status, p.header.Get("HX-Redirect"))
	}
	wantIn(t, "the page", onlyText(c.opened(page)), "30:00.0", "8050 m 1:51.8")
	form.Set("distance_m", "8000")
	p := c.post(page+"/tests", form)
	wantIn(t, "another result", p.body, "Another test of 30:00.0 is on record for this day")
	if p.status != http.StatusUnprocessableEntity {
		t.Errorf("another result: %d", p.status)
	}
}

// TestAHardTestIsAskedAboutOnce: the box appears with the question.
func TestAHardTestIsAskedAboutOnce(t *testing.T) {
	c := newClub(t)
	page := ergAthlete(c)
	body := c.opened(page)
	if strings.Contains(body, `name="sure"`) {
		t.Error("the box stands there unasked")
	}
	form := formValues(formTo(t, body, page+"/tests"))
	form.Set("time", "21:40")
	form.Set("by", "Ann")
	p := c.post(page+"/tests", form)
	wantIn(t, "the question", p.body, "slower than 5:00.0", `name="sure"`)
	form.Set("sure", "true")
	goesTo(t, c.post(page+"/tests", form), page)
	wantIn(t, "the page", onlyText(c.opened(page)), "In doubt: 21:40.0 over 2000 m is slower than 5:00.0 per 500 m.")
}

func TestTakingATestOff(t *testing.T) {
	c := newClub(t)
	page := ergAthlete(c, [2]float64{2000, 422.4}, [2]float64{2000, 510.4})
	link := regexp.MustCompile(page + `/tests/\d+/remove`).FindString(c.opened(page)) // the newest
	wantIn(t, "the question", c.opened(link), "Take this test off?", "8:30.4", "In doubt")
	for _, headers := range [][]string{nil, {byHTMX}} {
		p := c.post(link, url.Values{"by": {" "}}, headers...)
		wantIn(t, "unsigned", p.body, "Say who you are")
		if p.status != http.StatusUnprocessableEntity || strings.Contains(p.body, "<!doctype") == (len(headers) > 0) {
			t.Errorf("unsigned: %d", p.status)
		}
	}
	other := ergAthlete(c)
	if p := c.get(other + strings.TrimPrefix(link, page)); p.status != http.StatusNotFound {
		t.Errorf("of another athlete: %d", p.status)
	}
	goesTo(t, c.post(link, url.Values{"by": {"Ann"}}), page)
	body := onlyText(c.opened(page))
	wantIn(t, "the page", body, "297 ± 6 W", "2000 m in 8:30.4 – Ann")
	if strings.Contains(body, "In doubt") {
		t.Error("the doubt is still there")
	}
	goesTo(t, c.post(link, url.Values{"by": {"Ben"}}), page) // somebody was quicker
	if p := c.get(link); p.status != http.StatusNotFound {
		t.Errorf("gone: %d", p.status)
	}
}

// TestAddingATestInABrowser: a slip is told at its field without leaving the
// page, and what was typed stays.
func TestAddingATestInABrowser(t *testing.T) {
	c, b := newClub(t), newTab(t)
	page := ergAthlete(c, [2]float64{2000, 422.4})
	b.open(c.url + page)
	b.write("#time", "fast")
	b.write("#test_note", "on sliders")
	b.write("#distance_m", "500")
	b.write("#by", "Ann")
	save := "document.querySelector('#test-form button[type=submit]').click()"
	ask[any](b, save)
	b.until("document.querySelector('#e-time').textContent.includes('is no time')")
	b.until("document.activeElement.id === 'time'")
	if kept := b.value("#test_note") + b.value("#distance_m"); kept != "on sliders500" {
		t.Errorf("kept %q", kept)
	}
	b.write("#time", "1:33.0")
	ask[any](b, save)
	b.until("document.querySelectorAll('.ergtests tbody').length === 2")
	b.show("light", 360)
	if over := ask[int](b, "document.documentElement.scrollWidth - document.documentElement.clientWidth"); over > 0 {
		t.Errorf("%d px wider than a phone", over)
	}
}

func TestAddingATestWithoutScript(t *testing.T) {
	c, b := newClub(t), newTab(t)
	page := ergAthlete(c)
	b.withoutScript()
	b.open(c.url + page)
	b.do(chromedp.SendKeys(chromedp.CSS("#time"), "7:02.4"), chromedp.SendKeys(chromedp.CSS("#by"), "Ann"),
		chromedp.Click(chromedp.CSS("#test-form button[type=submit]")))
	b.do(chromedp.WaitVisible(chromedp.CSS(".ergtests")))
}

// TestTheErgometerIsAccessible in both schemes and widths, with doubts, rings
// and the curve, and the page that takes a test off.
func TestTheErgometerIsAccessible(t *testing.T) {
	c, b := newClub(t), newTab(t)
	page := ergAthlete(c, [2]float64{500, 93}, [2]float64{1000, 196}, [2]float64{5000, 1125}, [2]float64{2000, 422.4}, [2]float64{2000, 510.4})
	link := regexp.MustCompile(page + `/tests/\d+/remove`).FindString(c.opened(page))
	for _, scheme := range []string{"light", "dark"} {
		for _, width := range []int64{1280, 375} {
			b.show(scheme, width)
			b.axe(c.url + page)
			b.axe(c.url + link)
		}
	}
}

// TestAnAthleteWithManyTestsPrints on one sheet.
func TestAnAthleteWithManyTestsPrints(t *testing.T) {
	c, b := demoClub(t), newTab(t)
	for name, paper := range map[string]chromedp.PDFOption{"A4": chromedp.PDFPaper(chromedp.PaperA4), "Letter": chromedp.PDFPaper(chromedp.PaperLetter)} {
		for _, path := range []string{"/athletes/7", "/athletes/9"} {
			if n := b.sheets(c.url+path, paper); n != 1 {
				t.Errorf("%s, %s: %d sheets, want 1", name, path, n)
			}
		}
	}
}
