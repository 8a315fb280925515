package strokes_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"thole/api/apitest"
	"thole/ui/uitest"
)

func TestStrokePagesRender(t *testing.T) {
	c := uitest.DemoClub(t)
	for path, want := range map[string]string{
		"/recordings": "Kofi Mensah-Bright", "/recordings/import": "Up to 1 GB", "/recordings/layout": "vertical_deg", "/recordings/1": "Catch slip",
		"/recordings/8": "Other oar", "/recordings/squad": "What a curve match does not tell", "/recordings/squad?measure=shift": "Shift", "/recordings/compare": "Compare two recordings",
		"/recordings/compare?a=1&b=5": "What a curve match does not tell", "/recordings/1?basis=share&share=40": "40 %", "/recordings/1?basis=depth&covered_deg=-2": "covered",
		"/recordings/1?boat=typed&class=8%2B&side=port&span_cm=85&inboard_cm=114&oar_length_cm=372&heel_to_pin_cm=20&speed=5&edge=3": "Handle speed",
	} {
		status, body := c.Look(path)
		if status != http.StatusOK || !strings.Contains(body, want) || strings.Contains(body, "NaN") || !strings.Contains(body, "</html>") {
			t.Errorf("%s: %d, holds %q: %v", path, status, want, strings.Contains(body, want))
		}
	}
}

func TestStrokePagesOfAnEmptyClub(t *testing.T) {
	c := uitest.NewClub(t)
	for path, want := range map[string]int{"/recordings": 200, "/recordings/squad": 200, "/recordings/compare": 200, "/recordings/7": 404, "/recordings/x": 404, "/recordings/import/x": 404, "/recordings/import/x/y": 404, "/recordings/compare?a=1&b=2": 404} {
		if status, _ := c.Look(path); status != want {
			t.Errorf("%s: %d, want %d", path, status, want)
		}
	}
}

// TestStrokeFormsRefuse holds that what cannot be used is told where it was
// entered.
func TestStrokeFormsRefuse(t *testing.T) {
	c := uitest.DemoClub(t)
	for path, want := range map[string]string{
		"/recordings/1?basis=share&share=x": "is not a number", "/recordings/1?basis=share&share=300": "Thresholds", "/recordings/1?boat=typed&class=1x&span_cm=1.59&inboard_cm=88&oar_length_cm=288&heel_to_pin_cm=20": "metres",
		"/recordings/1?seat=two": "not the number of a seat", "/recordings/1?seat=9": "which seat", "/recordings/1?speed=90": "plausible",
	} {
		status, body := c.Look(path)
		if status != http.StatusUnprocessableEntity || !strings.Contains(body, want) {
			t.Errorf("%s: %d, tells %q: %v", path, status, want, strings.Contains(body, want))
		}
	}
}

// TestTablesDownload reads every table's file back and compares it with the
// page.
func TestTablesDownload(t *testing.T) {
	c := uitest.DemoClub(t)
	for path, names := range map[string][]string{
		"/recordings/1": {"features", "strokes", "curve", "path"}, "/recordings/compare?a=1&b=2": {"likeness", "features", "curves"}, "/recordings/squad": {"matrix", "curves", "components"},
	} {
		_, page := c.Look(path)
		for _, name := range names {
			link := regexp.MustCompile(`href="([^"]*csv=` + name + `[^"]*)" download`).FindStringSubmatch(page)
			if link == nil {
				t.Errorf("%s: no link to %s", path, name)
				continue
			}
			answer, err := c.Client.Get(c.URL + strings.ReplaceAll(link[1], "&amp;", "&"))
			if err != nil {
				t.Fatal(err)
			}
			text := uitest.Read(t, answer)
			rows, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(text, "\ufeff"))).ReadAll()
			if err != nil || len(rows) < 3 || strings.Contains(text, "−") || !strings.HasPrefix(answer.Header.Get("Content-Type"), "text/csv") {
				t.Errorf("%s %s: %v, %d rows, %s", path, name, err, len(rows), answer.Header.Get("Content-Type"))
			}
		}
	}
}

func BenchmarkStrokePage(b *testing.B) { benchmarkLook(b, "/recordings/1") }

func BenchmarkSquadPage(b *testing.B) { benchmarkLook(b, "/recordings/squad") }

func benchmarkLook(b *testing.B, path string) {
	c := uitest.DemoClub(b)
	for b.Loop() {
		if status, _ := c.Look(path); status != http.StatusOK {
			b.Fatal(status)
		}
	}
}

// TestARecordingIsCorrectedOnItsPage changes day and seat, reads the history,
// and meets somebody who was faster.
func TestARecordingIsCorrectedOnItsPage(t *testing.T) {
	c := uitest.DemoClub(t)
	form := url.Values{
		"do": {"correct"}, "version": {"1"}, "athlete": {""}, "boat": {""}, "seat": {"3"}, "recorded_on": {"2026-01-05"}, "in_cm": {"100"}, "note": {"a <b>note</b>"}, "by": {"Ada"},
	}
	if status, to, body := c.Fill("/recordings/1", form); status != http.StatusSeeOther || to != "/recordings/1#correct" {
		t.Fatalf("%d %s %.300s", status, to, body)
	}
	_, body := c.Look("/recordings/1")
	uitest.WantIn(t, "page", body, "5 Jan 2026", "seat 3", "a &lt;b&gt;note", "History", "hands 100 cm", "Ada", "Kofi Mensah-Bright")
	if status, _, body := c.Fill("/recordings/1", form); status != http.StatusConflict || !strings.Contains(body, "corrected meanwhile") {
		t.Errorf("an old version: %d", status)
	}
	form.Set("version", "2")
	for name, bad := range map[string]string{"recorded_on": "2099-01-01", "in_cm": "long", "by": " "} {
		wrong := url.Values{}
		for k, v := range form {
			wrong[k] = v
		}
		wrong.Set(name, bad)
		if status, _, body := c.Fill("/recordings/1", wrong); status != http.StatusUnprocessableEntity || !strings.Contains(body, `class="problems"`) {
			t.Errorf("%s: %d", name, status)
		}
	}
}

// TestRatesAreChosenOnThePage holds that strokes of several rates are shown one
// rate at a time, the one with the most strokes first.
func TestRatesAreChosenOnThePage(t *testing.T) {
	c := uitest.NewClub(t)
	result := c.MeasuredFile("two.csv", apitest.TwoRatesText(), nil)
	_, body := c.Look(result)
	uitest.WantIn(t, "result", body, "Rates apart", "a stroke nobody rowed")
	form := uitest.AsShown(t, body)
	form.Set("athlete0", "nobody")
	_, kept, _ := c.Fill(result, form)
	_, body = c.Look(kept)
	uitest.WantIn(t, "page", body, "Rowed at several rates", `aria-current="true">30 a minute`, "600 N")
	_, body = c.Look(kept + "?rate=20")
	uitest.WantIn(t, "slow", body, `aria-current="true">20 a minute`, "400 N")
	_, body = c.Look(kept + "?rate=all")
	uitest.WantIn(t, "all", body, `aria-current="true">all`)
}

// TestARecordingThatNamesNoSeatShows holds that its page says what is lacking and
// is no mistake of who looks.
func TestARecordingThatNamesNoSeatShows(t *testing.T) {
	c := uitest.DemoClub(t)
	var b strings.Builder
	b.WriteString("time_s,angle_deg,force_n\n")
	for i := range 1500 {
		u := math.Mod(float64(i)/50, 2) / 2
		angle, force := 30-85*(1-math.Cos(math.Pi*(u-0.45)/0.55))/2, 0.0
		if u < 0.45 {
			angle = -55 + 85*(1-math.Cos(math.Pi*u/0.45))/2
			force = 600 * math.Sin(math.Pi*u/0.45)
		}
		fmt.Fprintf(&b, "%.2f,%.3f,%.2f\n", float64(i)/50, angle, force)
	}
	result := c.MeasuredFile("one.csv", b.String(), nil)
	_, body := c.Look(result)
	form := uitest.AsShown(t, body)
	form.Set("boat", "8")
	form.Set("athlete0", "nobody")
	status, kept, body := c.Fill(result, form)
	if status != http.StatusSeeOther {
		t.Fatalf("%d %v", status, regexp.MustCompile(`(?s)class="problems".*?</div>`).FindString(body))
	}
	status, body = c.Look(kept)
	if status != http.StatusOK || !strings.Contains(body, "Say which seat of Marl this is") || strings.Contains(body, `class="problems"`) {
		t.Errorf("%d", status)
	}
	if status, _ = c.Look(kept + "?seat=9"); status != http.StatusUnprocessableEntity {
		t.Errorf("a seat that is not there: %d", status)
	}
}
