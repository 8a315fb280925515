package progress_test

import (
	"fmt"
	"html"
	"net/http"
	"regexp"
	"strings"
	"testing"

	"thole/ui/uitest"
)

func TestProgressPagesRender(t *testing.T) {
	c := uitest.DemoClub(t)
	for path, want := range map[string][]string{
		"/athletes/10/progress":         {"Catch slip 2.4° less over 179 days in 6 recordings", "Changed at the rig", "stretcher position 20 to 23 cm", "Against the newest", "rowed at 22 a minute"},
		"/athletes/10/progress?rate=22": {"from the second on"},
		"/athletes/5/progress":          {"both oars"},
		"/athletes/1/progress":          {"One recording at this rate"},
		"/athletes/12/progress":         {"Nothing recorded yet"},
		"/boats/8/progress":             {"release slip 1.7° less, a real change", "● real", "Aurel Dascalu"},
		"/boats/7/progress":             {"this is told from the second on"},
		"/boats/1/progress":             {"Nobody on"},
		"/reports/1":                    {"What was measured", "Catch slip over time", "licensed clinician"},
		"/reports/5":                    {"stroke by stroke", "worth", "Draw level"},
		"/athletes/10":                  {"On the water", "/athletes/10/progress", "/catch"},
		"/recordings/compare?a=10&b=1":  {"effective arc 5.1° longer, a real change", "What changed", "Curve match"},
		"/recordings/compare?a=1&b=14":  {"rowed at 22.0 a minute then and 30.0 a minute now", "may be the rate"},
		"/recordings/1":                 {"/athletes/10/progress", "/reports/1", "Try the catch", "Mark a stroke"},
		"/recordings":                   {"/boats/8/progress", "/reports/1"},
	} {
		status, body := c.Look(path)
		for _, text := range want {
			if status != http.StatusOK || !strings.Contains(body, text) || strings.Contains(body, "NaN") || !strings.Contains(body, "</html>") {
				t.Errorf("%s: %d, holds %q: %v", path, status, text, strings.Contains(body, text))
			}
		}
	}
}

// TestTablesAreSaved reads both tables back as CSV, and a spreadsheet.
func TestTablesAreSaved(t *testing.T) {
	c := uitest.DemoClub(t)
	for path, want := range map[string]string{"/athletes/10/progress": "Catch slip,°,", "/boats/8/progress": "Jonas Wickstead,4,Release slip,°,"} {
		_, body := c.Look(path)
		links := regexp.MustCompile(`href="([^"]*(?:csv|xlsx)[^"]*)"`).FindAllStringSubmatch(body, -1)
		if len(links) != 2 {
			t.Fatalf("%s: %v", path, links)
		}
		found := false
		for _, link := range links {
			status, file := c.Look(html.UnescapeString(link[1]))
			if status != http.StatusOK || len(file) < 500 {
				t.Errorf("%s: %d, %d bytes", link[1], status, len(file))
			}
			found = found || strings.Contains(file, want)
		}
		if !found {
			t.Errorf("%s: no %q", path, want)
		}
	}
}

func TestProgressPagesRefuse(t *testing.T) {
	c := uitest.DemoClub(t)
	for path, want := range map[string]int{"/athletes/99/progress": 404, "/boats/99/progress": 404, "/reports/99": 404, "/reports/x": 404, "/athletes/10/progress?rate=40": 422, "/boats/8/progress?from=2020-01-01": 422} {
		status, body := c.Look(path)
		if status != want || want == http.StatusUnprocessableEntity && !strings.Contains(body, `class="problems"`) {
			t.Errorf("%s: %d, want %d", path, status, want)
		}
	}
}

// TestChartsStayInTheirFrame reads every text and dot of the charts back: inside
// the box, none of two texts on the same row closer than their letters need.
func TestChartsStayInTheirFrame(t *testing.T) {
	c := uitest.DemoClub(t)
	_, body := c.Look("/athletes/10/progress")
	charts := regexp.MustCompile(`(?s)<svg class="strokeplot arcfigure progresschart.*?</svg>`).FindAllString(body, -1)
	if len(charts) < 10 {
		t.Fatalf("%d charts", len(charts))
	}
	for _, svg := range charts {
		var w, h float64
		_, _ = fmt.Sscanf(regexp.MustCompile(`viewBox="0 0 ([^"]+)"`).FindStringSubmatch(svg)[1], "%g %g", &w, &h)
		ends := map[float64]float64{} // right end of the last text by row
		for _, m := range regexp.MustCompile(`<text class="[^"]*" x="([^"]+)" y="([^"]+)" text-anchor="(\w+)">([^<]*)<`).FindAllStringSubmatch(svg, -1) {
			var x, y float64
			_, _ = fmt.Sscan(m[1]+" "+m[2], &x, &y)
			long := 7.2 * float64(len([]rune(m[4])))
			left := x - map[string]float64{"start": 0, "middle": long / 2, "end": long}[m[3]]
			if left < -1 || left+long > w+6 || y < 8 || y > h {
				t.Errorf("%q at %g %g is outside %g × %g", m[4], left, y, w, h)
			}
			if y > h-20 { // the dates
				if before, ok := ends[y]; ok && left < before+4 {
					t.Errorf("%q meets the one before", m[4])
				}
				ends[y] = left + long
			}
		}
	}
}

// TestProgressIsAccessible walks over the pages as a coach does, on a phone and at
// a desk, light and dark. The list of recordings is checked with the strokes.
func TestProgressIsAccessible(t *testing.T) {
	c, b := uitest.DemoClub(t), uitest.NewTab(t)
	for _, look := range []struct {
		scheme string
		width  int64
		pages  []string
	}{
		{"light", 390, []string{"/athletes/10/progress", "/boats/8/progress", "/reports/5", "/recordings/compare?a=10&b=1", "/athletes/10"}},
		{"dark", 1280, []string{"/athletes/10/progress", "/reports/1", "/boats/8/progress"}},
	} {
		b.Show(look.scheme, look.width)
		for _, path := range look.pages {
			b.Axe(c.URL + path)
			if wide := uitest.Ask[int64](b, "document.documentElement.scrollWidth"); wide > look.width {
				t.Errorf("%s: %d wide on a screen of %d", path, wide, look.width)
			}
		}
	}
}
