package club_test

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
	"thole/ui/uitest"
)

func daysAgo(n int) string { return time.Now().AddDate(0, 0, -n).Format(time.DateOnly) }

// erna numbers athletes, whose names must differ.
var erna atomic.Int64

// ergAthlete puts an athlete of 70 kg on record with tests over distances in
// m, each with its time in s, the last of them today, and returns the page.
func ergAthlete(c *uitest.ClubSite, tests ...[2]float64) string {
	c.T.Helper()
	a, err := c.Service.Club.AddAthlete(c.T.Context(), club.NewAthlete{AthleteFields: club.AthleteFields{Name: fmt.Sprintf("Erna %d", erna.Add(1)), Sculls: true}, By: "Ines"})
	if err != nil {
		c.T.Fatal(err)
	}
	_, err = c.Service.Club.AddMeasures(c.T.Context(), club.NewMeasures{AthleteID: a.ID, MeasuredOn: daysAgo(0), MeasuredBody: club.MeasuredBody{MassKg: new(70.0)}, MeasuredBy: "Ines"})
	for i := range tests {
		if err == nil {
			_, err = c.Service.Ergometer.AddErgTest(c.T.Context(), ergometer.NewErgTest{
				AthleteID: a.ID, TestedOn: daysAgo(len(tests) - 1 - i), Fixed: "distance", DistanceM: &tests[i][0], TimeS: &tests[i][1], By: "Ines",
			})
		}
	}
	if err != nil {
		c.T.Fatal(err)
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
	c := uitest.NewClub(t)
	page := c.Opened(ergAthlete(c, [2]float64{2000, 420}))
	uitest.WantIn(t, "one test", onlyText(page), "302 ± 6 W", "from one test", "Over 2000 m 7:00.0", "2000 m allowing for 70 kg 6:11.0", "Per kg 4.32 W/kg",
		"Critical power needs two tests", "no advice to lose weight", "6000 m 22:35.1 ± 28.7 s 1:52.9", "Single index (Nevill 2010) 100.0")
	page = c.Opened(ergAthlete(c, [2]float64{6000, 1350}, [2]float64{2000, 420}))
	uitest.WantIn(t, "two tests", onlyText(page), "Critical power 220 W", "W′ above it 34.5 kJ", "no ± of its own can be told", "this was taken, too: 6000 m in 22:30.0", "they predict nothing", "Two tests in three come within the ±.",
		"Rings lie outside.", "senior single sculls and lightweight double sculls r 0.72 to 0.78", "power × pace³ 2.8 W·s³/m³")
	if text := onlyText(page); strings.Contains(text, "By critical power") {
		t.Error("a rough fit predicts nothing")
	}
	page = c.Opened(ergAthlete(c, [2]float64{1000, 195}, [2]float64{2000, 420}))
	uitest.WantIn(t, "tests of 2 to 15 minutes", onlyText(page), "By critical power", "Critical power predicts from 2 to 15 minutes.", "5000 m – ", "1000 m 3:15.0 ± ")
	for _, source := range []string{"ergometer", "critical-power", "mass"} {
		uitest.WantIn(t, "the panel", page, `href="/sources#`+source+`"`)
		uitest.WantIn(t, "the sources", c.Opened("/sources"), `id="`+source+`"`)
	}
}

func TestAPanelWithoutTests(t *testing.T) {
	c := uitest.NewClub(t)
	page := c.Opened(ergAthlete(c))
	uitest.WantIn(t, "the panel", page, "No test yet.", "no ergometer test is on record", `id="test-form"`)
	if strings.Contains(page, "ergchart") || strings.Contains(page, "Predicted") {
		t.Error("nothing is drawn or predicted from nothing")
	}
}

// TestDoubtsAreToldInWords: not by colour alone, in the table and the drawing.
func TestDoubtsAreToldInWords(t *testing.T) {
	c := uitest.NewClub(t)
	page := c.Opened(ergAthlete(c, [2]float64{2000, 422.4}, [2]float64{2000, 510.4}))
	uitest.WantIn(t, "the panel", onlyText(page), "? In doubt: 168 W where the other tests lead one to expect about 297 W", "Diamonds with ? are in doubt.")
	if n := strings.Count(page, `class="asked"`); n != 2 {
		t.Errorf("%d question marks in the drawing", n)
	}
}

// TestTestsAreDrawnToScale: durations stand on a logarithmic scale from 75 to
// 1500 s, 306 wide from 40: 300 s at 40 + 306·ln 4/ln 20 = 181.60, 200 s at
// 140.19. Powers stand between the ticks: 350 W exactly, and 2.80·(29/6)³ =
// 316.156 W by the published relation.
func TestTestsAreDrawnToScale(t *testing.T) {
	c := uitest.NewClub(t)
	page := c.Opened(ergAthlete(c, [2]float64{1000, 200}, [2]float64{1450, 300}))
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
	uitest.WantIn(t, "the drawing", page, `aria-label="Power against duration: 1450 m on `, "; the curve of critical power, ")
}

func TestAddingATest(t *testing.T) {
	c := uitest.NewClub(t)
	page := ergAthlete(c)
	form := uitest.FormValues(uitest.FormTo(t, c.Opened(page), page+"/tests"))
	for name, value := range map[string]string{"tested_on": daysAgo(3), "time": "7:02,4", "test_mass_kg": "71,5", "test_note": "on sliders", "by": "Ann"} {
		form.Set(name, value)
	}
	uitest.GoesTo(t, c.Post(page+"/tests", form), page)
	body := onlyText(c.Opened(page))
	uitest.WantIn(t, "the page", body, "7:02.4 1:45.6", "71.5 kg", "on sliders", "Ergometer test, ", "2000 m in 7:02.4, 71.5 kg, on sliders Ann")
	form.Set("fixed", "time")
	form.Set("distance_m", "8050")
	form.Set("time", "30:00")
	if p := c.Post(page+"/tests", form, uitest.ByHTMX); p.Status != http.StatusNoContent || p.Header.Get("HX-Redirect") != page {
		t.Errorf("%d %s", p.Status, p.Header.Get("HX-Redirect"))
	}
	uitest.WantIn(t, "the page", onlyText(c.Opened(page)), "30:00.0", "8050 m 1:51.8")
	form.Set("distance_m", "8000")
	p := c.Post(page+"/tests", form)
	uitest.WantIn(t, "another result", p.Body, "Another test of 30:00.0 is on record for this day")
	if p.Status != http.StatusUnprocessableEntity {
		t.Errorf("another result: %d", p.Status)
	}
}

// TestAHardTestIsAskedAboutOnce: the box appears with the question.
func TestAHardTestIsAskedAboutOnce(t *testing.T) {
	c := uitest.NewClub(t)
	page := ergAthlete(c)
	body := c.Opened(page)
	if strings.Contains(body, `name="sure"`) {
		t.Error("the box stands there unasked")
	}
	form := uitest.FormValues(uitest.FormTo(t, body, page+"/tests"))
	form.Set("time", "21:40")
	form.Set("by", "Ann")
	p := c.Post(page+"/tests", form)
	uitest.WantIn(t, "the question", p.Body, "slower than 5:00.0", `name="sure"`)
	form.Set("sure", "true")
	uitest.GoesTo(t, c.Post(page+"/tests", form), page)
	uitest.WantIn(t, "the page", onlyText(c.Opened(page)), "In doubt: 21:40.0 over 2000 m is slower than 5:00.0 per 500 m.")
}

func TestTakingATestOff(t *testing.T) {
	c := uitest.NewClub(t)
	page := ergAthlete(c, [2]float64{2000, 422.4}, [2]float64{2000, 510.4})
	link := regexp.MustCompile(page + `/tests/\d+/remove`).FindString(c.Opened(page)) // the newest
	uitest.WantIn(t, "the question", c.Opened(link), "Remove this test?", "8:30.4", "In doubt")
	for _, headers := range [][]string{nil, {uitest.ByHTMX}} {
		p := c.Post(link, url.Values{"by": {" "}}, headers...)
		uitest.WantIn(t, "unsigned", p.Body, "Say who you are")
		if p.Status != http.StatusUnprocessableEntity || strings.Contains(p.Body, "<!doctype") == (len(headers) > 0) {
			t.Errorf("unsigned: %d", p.Status)
		}
	}
	other := ergAthlete(c)
	if p := c.Get(other + strings.TrimPrefix(link, page)); p.Status != http.StatusNotFound {
		t.Errorf("of another athlete: %d", p.Status)
	}
	uitest.GoesTo(t, c.Post(link, url.Values{"by": {"Ann"}}), page)
	body := onlyText(c.Opened(page))
	uitest.WantIn(t, "the page", body, "297 ± 6 W", "not kept")
	if strings.Contains(body, "In doubt") || strings.Contains(body, "8:30.4") {
		t.Error("the doubt is still there, or the result")
	}
	uitest.GoesTo(t, c.Post(link, url.Values{"by": {"Ben"}}), page) // somebody was quicker
	if p := c.Get(link); p.Status != http.StatusNotFound {
		t.Errorf("gone: %d", p.Status)
	}
}

// TestAddingATestInABrowser: a slip is reported at its field without leaving the
// page, and what was typed stays.
func TestAddingATestInABrowser(t *testing.T) {
	c, b := uitest.NewClub(t), uitest.NewTab(t)
	page := ergAthlete(c, [2]float64{2000, 422.4})
	b.Open(c.URL + page)
	b.Write("#time", "fast")
	b.Write("#test_note", "on sliders")
	b.Write("#distance_m", "500")
	b.Write("#by", "Ann")
	save := "document.querySelector('#test-form button[type=submit]').click()"
	uitest.Ask[any](b, save)
	b.Until("document.querySelector('#e-time').textContent.includes('is no time')")
	b.Until("document.activeElement.id === 'time'")
	if kept := b.Value("#test_note") + b.Value("#distance_m"); kept != "on sliders500" {
		t.Errorf("kept %q", kept)
	}
	b.Write("#time", "1:33.0")
	uitest.Ask[any](b, save)
	b.Until("document.querySelectorAll('.ergtests tbody').length === 2")
	b.Show("light", 360)
	if over := uitest.Ask[int](b, "document.documentElement.scrollWidth - document.documentElement.clientWidth"); over > 0 {
		t.Errorf("%d px wider than a phone", over)
	}
}

func TestAddingATestWithoutScript(t *testing.T) {
	c, b := uitest.NewClub(t), uitest.NewTab(t)
	page := ergAthlete(c)
	b.WithoutScript()
	b.Open(c.URL + page)
	b.Do(chromedp.SendKeys(chromedp.CSS("#time"), "7:02.4"), chromedp.SendKeys(chromedp.CSS("#by"), "Ann"),
		chromedp.Click(chromedp.CSS("#test-form button[type=submit]")))
	b.Do(chromedp.WaitVisible(chromedp.CSS(".ergtests")))
}

// TestTheErgometerIsAccessible in both schemes and widths, with doubts, rings
// and the curve, and the page that takes a test off.
func TestTheErgometerIsAccessible(t *testing.T) {
	c, b := uitest.NewClub(t), uitest.NewTab(t)
	page := ergAthlete(c, [2]float64{500, 93}, [2]float64{1000, 196}, [2]float64{5000, 1125}, [2]float64{2000, 422.4}, [2]float64{2000, 510.4})
	link := regexp.MustCompile(page + `/tests/\d+/remove`).FindString(c.Opened(page))
	var looks []uitest.Look
	for _, scheme := range []string{"light", "dark"} {
		for _, width := range []int64{1280, 375} {
			looks = append(looks, uitest.Look{Scheme: scheme, Width: width})
		}
	}
	b.Axe(c.URL+page, looks...)
	b.Axe(c.URL+link, looks...)
}

// TestAnAthletePrints on two sheets at most, who has many tests or has grown.
func TestAnAthletePrints(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	for _, path := range []string{"/athletes/7", "/athletes/9", "/athletes/13"} {
		b.Open(c.URL + path)
		if n := b.Printed(chromedp.PDFPaper(chromedp.PaperA4)); n > 2 {
			t.Errorf("%s: %d sheets, want at most 2", path, n)
		}
		b.WantLegible(path)
		b.Medium("")
	}
}
