package ui_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"thole/api/club"
	"thole/api/demo"
)

// sendFile posts a file as the import's form does, and returns status, where
// it leads and the body.
func (c *clubSite) sendFile(name, text string) (status int, location, body string) {
	c.t.Helper()
	var form bytes.Buffer
	w := multipart.NewWriter(&form)
	part, err := w.CreateFormFile("file", name)
	if err != nil {
		c.t.Fatal(err)
	}
	_, _ = io.WriteString(part, text)
	_ = w.Close()
	answer, err := c.client.Post(c.url+"/strokes/import", w.FormDataContentType(), &form)
	if err != nil {
		c.t.Fatal(err)
	}
	return answer.StatusCode, answer.Header.Get("Location"), read(c.t, answer)
}

func (c *clubSite) look(path string) (int, string) {
	c.t.Helper()
	answer, err := c.client.Get(c.url + path)
	if err != nil {
		c.t.Fatal(err)
	}
	return answer.StatusCode, read(c.t, answer)
}

// fill posts a form without JavaScript.
func (c *clubSite) fill(path string, form url.Values) (status int, location, body string) {
	c.t.Helper()
	answer, err := c.client.PostForm(c.url+path, form)
	if err != nil {
		c.t.Fatal(err)
	}
	return answer.StatusCode, answer.Header.Get("Location"), read(c.t, answer)
}

// asShown returns the values that a page's form of an action would send.
func asShown(t testing.TB, body string) url.Values {
	t.Helper()
	form := url.Values{}
	for _, m := range regexp.MustCompile(`<input[^>]*name="([^"]+)"[^>]*value="([^"]*)"[^>]*>`).FindAllStringSubmatch(body, -1) {
		if !strings.Contains(m[0], `type="checkbox"`) || strings.Contains(m[0], " checked") {
			form.Set(m[1], m[2])
		}
	}
	for _, m := range regexp.MustCompile(`(?s)<select[^>]*name="([^"]+)".*?</select>`).FindAllStringSubmatch(body, -1) {
		chosen := regexp.MustCompile(`<option value="([^"]*)" selected`).FindStringSubmatch(m[0])
		if chosen != nil {
			form.Set(m[1], chosen[1])
		}
	}
	return form
}

// measuredFile uploads a file, confirms the mapping as it is proposed, and
// returns the address of the result.
func (c *clubSite) measuredFile(name, text string, change url.Values) string {
	c.t.Helper()
	status, location, body := c.sendFile(name, text)
	if status != http.StatusSeeOther {
		c.t.Fatalf("upload: %d %.300s", status, body)
	}
	_, body = c.look(location)
	form := asShown(c.t, body)
	form.Set("do", "measure")
	for name, values := range change {
		form[name] = values
	}
	status, result, body := c.fill(location, form)
	if status != http.StatusSeeOther {
		c.t.Fatalf("measuring: %d %.600s", status, regexp.MustCompile(`(?s)class="problems".*?</div>`).FindString(body))
	}
	return result
}

// TestImportWithoutScript goes the whole way with plain forms: upload,
// confirm, measure, assign, keep, look, calibrate, remove.
func TestImportWithoutScript(t *testing.T) {
	c := demoClub(t)
	result := c.measuredFile("<b>out.csv", string(demo.StrokeSample()), url.Values{"in_cm": {"99"}})
	status, body := c.look(result)
	if status != http.StatusOK || !strings.Contains(body, "196 N at the catch, 98 N at the release") || !strings.Contains(body, "&lt;b&gt;out.csv") {
		t.Fatalf("result: %d", status)
	}
	athletes, err := c.service.Club.Athletes(t.Context(), club.ListRequest{Name: "Maeve"})
	if err != nil || len(athletes.Athletes) != 1 {
		t.Fatal(err, athletes)
	}
	boats, err := c.service.Club.Boats(t.Context(), club.ListRequest{Name: "Marl"})
	if err != nil || len(boats.Boats) != 1 {
		t.Fatal(err, boats)
	}
	form := asShown(t, body)
	form.Set("athlete0", fmt.Sprint(athletes.Athletes[0].ID))
	form.Set("boat", fmt.Sprint(boats.Boats[0].ID))
	status, kept, body := c.fill(result, form)
	if status != http.StatusSeeOther || !strings.HasPrefix(kept, "/strokes/") {
		t.Fatalf("keeping: %d %s %.300s", status, kept, body)
	}
	if status, body = c.look(kept + "?posture=1"); status != http.StatusOK || !strings.Contains(body, "Handle speed that matches the water") || !strings.Contains(body, "Keep this posture") {
		t.Fatalf("recording: %d", status)
	}
	status, athlete, _ := c.fill(kept, url.Values{"do": {"posture"}, "boat": form["boat"]})
	if status != http.StatusSeeOther {
		t.Fatalf("posture: %d", status)
	}
	if _, body = c.look(athlete); !strings.Contains(body, "From measured strokes") {
		t.Error("the athlete's page does not show the posture")
	}
	if status, _, _ = c.fill(kept, url.Values{"do": {"remove"}}); status != http.StatusSeeOther {
		t.Errorf("removing: %d", status)
	}
	if status, _ = c.look(kept); status != http.StatusNotFound {
		t.Errorf("what was removed answers %d", status)
	}
}

func TestStrokePagesRender(t *testing.T) {
	c := demoClub(t)
	for path, want := range map[string]string{
		"/strokes": "Kofi Mensah-Bright", "/strokes/import": "Up to 1 GB", "/strokes/layout": "vertical_deg", "/strokes/1": "Slip at the catch",
		"/strokes/8": "Other oar", "/strokes/squad": "What likeness does not say", "/strokes/squad?measure=shift": "Shift", "/strokes/compare": "Compare two rowers",
		"/strokes/compare?a=1&b=5": "What likeness does not say", "/strokes/1?basis=share&share=40": "40 %", "/strokes/1?basis=depth&covered_deg=-2": "covered",
		"/strokes/1?boat=typed&class=8%2B&side=port&span_cm=85&inboard_cm=114&oar_length_cm=372&heel_to_pin_cm=20&speed=5&edge=3": "Handle speed",
	} {
		status, body := c.look(path)
		if status != http.StatusOK || !strings.Contains(body, want) || strings.Contains(body, "NaN") || !strings.Contains(body, "</html>") {
			t.Errorf("%s: %d, holds %q: %v", path, status, want, strings.Contains(body, want))
		}
	}
}

func TestStrokePagesOfAnEmptyClub(t *testing.T) {
	c := newClub(t)
	for path, want := range map[string]int{"/strokes": 200, "/strokes/squad": 200, "/strokes/compare": 200, "/strokes/7": 404, "/strokes/x": 404, "/strokes/import/x": 404, "/strokes/import/x/y": 404, "/strokes/compare?a=1&b=2": 404} {
		if status, _ := c.look(path); status != want {
			t.Errorf("%s: %d, want %d", path, status, want)
		}
	}
}

// TestStrokeFormsRefuse holds that what cannot be used is told where it was
// entered.
func TestStrokeFormsRefuse(t *testing.T) {
	c := demoClub(t)
	for path, want := range map[string]string{
		"/strokes/1?basis=share&share=x": "is not a number", "/strokes/1?basis=share&share=300": "Thresholds", "/strokes/1?boat=typed&class=1x&span_cm=1.59&inboard_cm=88&oar_length_cm=288&heel_to_pin_cm=20": "metres",
		"/strokes/1?seat=two": "not the number of a seat", "/strokes/1?seat=9": "which seat", "/strokes/1?speed=90": "plausible",
	} {
		status, body := c.look(path)
		if status != http.StatusUnprocessableEntity || !strings.Contains(body, want) {
			t.Errorf("%s: %d, tells %q: %v", path, status, want, strings.Contains(body, want))
		}
	}
}

// TestAwkwardUploads holds that files that are no measurements are told at the
// form.
func TestAwkwardUploads(t *testing.T) {
	c := newClub(t)
	for name, text := range map[string]string{"x.csv": "", "pdf.csv": "%PDF-1.7\n\x00\x01\x02", "zeros.csv": strings.Repeat("\x00", 3<<20), "prose.txt": "Dear coach,\nhere is the file.\n"} {
		status, _, body := c.sendFile(name, text)
		if status != http.StatusUnprocessableEntity || !strings.Contains(body, `class="problems"`) {
			t.Errorf("%s: %d", name, status)
		}
	}
	_, location, _ := c.sendFile("a.csv", string(demo.StrokeSample()))
	_, body := c.look(location)
	form := asShown(t, body)
	for name, change := range map[string]url.Values{
		"not a number": {"header_lines": {"many"}},
		"no row can":   {"separator": {"semicolon"}},
		"Column 3":     {"u2": {"n"}},
		"Pin to":       {"in_cm": {"long"}},
		"plausible":    {"in_cm": {"9"}},
		"Two columns":  {"q3": {"oar_angle"}, "u3": {"deg"}},
	} {
		typed := url.Values{"do": {"measure"}}
		for _, from := range []url.Values{form, change} {
			for k, v := range from {
				typed[k] = v
			}
		}
		status, _, body := c.fill(location, typed)
		told := regexp.MustCompile(`(?s)class="problems".*?</div>`).FindString(body)
		if status != http.StatusUnprocessableEntity || !strings.Contains(told, name) {
			t.Errorf("%v: %d %s; want %q", change, status, told, name)
		}
	}
}

func TestMappingIsSavedAndUsed(t *testing.T) {
	c := newClub(t)
	_, location, _ := c.sendFile("a.csv", string(demo.StrokeSample()))
	_, body := c.look(location)
	form := asShown(t, body)
	form.Set("do", "save")
	form.Set("mapping_name", "Logger & <co>")
	form.Set("u3", "kgf")
	status, again, _ := c.fill(location, form)
	if status != http.StatusSeeOther {
		t.Fatalf("saving: %d", status)
	}
	_, body = c.look(again)
	if !strings.Contains(body, "Logger &amp; &lt;co&gt;") || asShown(t, body).Get("u3") != "kgf" {
		t.Error("the saved mapping is not used")
	}
}

// TestTablesDownload reads every table's file back and compares it with the
// page.
func TestTablesDownload(t *testing.T) {
	c := demoClub(t)
	for path, names := range map[string][]string{
		"/strokes/1": {"features", "strokes", "curve", "path"}, "/strokes/compare?a=1&b=2": {"likeness", "features", "curves"}, "/strokes/squad": {"matrix", "curves", "components"},
	} {
		_, page := c.look(path)
		for _, name := range names {
			link := regexp.MustCompile(`href="([^"]*csv=` + name + `[^"]*)" download`).FindStringSubmatch(page)
			if link == nil {
				t.Errorf("%s: no link to %s", path, name)
				continue
			}
			answer, err := c.client.Get(c.url + strings.ReplaceAll(link[1], "&amp;", "&"))
			if err != nil {
				t.Fatal(err)
			}
			text := read(t, answer)
			rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
			if err != nil || len(rows) < 3 || strings.Contains(text, "−") || !strings.HasPrefix(answer.Header.Get("Content-Type"), "text/csv") {
				t.Errorf("%s %s: %v, %d rows, %s", path, name, err, len(rows), answer.Header.Get("Content-Type"))
			}
		}
	}
}

func BenchmarkStrokePage(b *testing.B) { benchmarkLook(b, "/strokes/1") }

func BenchmarkSquadPage(b *testing.B) { benchmarkLook(b, "/strokes/squad") }

func benchmarkLook(b *testing.B, path string) {
	c := demoClub(b)
	for b.Loop() {
		if status, _ := c.look(path); status != http.StatusOK {
			b.Fatal(status)
		}
	}
}

// TestNamesWithMarkupDoNoHarm keeps a seat and a note with markup in them, and
// reads them back on every page that shows them.
func TestNamesWithMarkupDoNoHarm(t *testing.T) {
	c := newClub(t)
	const evil = `<script>alert(1)</script>`
	text := strings.ReplaceAll(string(demo.StrokeSample()), ",1,", ","+evil+",")
	result := c.measuredFile(`=cmd|"x`+evil+`.csv`, text, nil)
	_, body := c.look(result)
	form := asShown(t, body)
	form.Set("athlete0", "nobody")
	form.Set("note", evil+strings.Repeat("long ", 100))
	status, kept, told := c.fill(result, form)
	if status != http.StatusSeeOther {
		t.Fatalf("%d %.300s", status, told)
	}
	for _, path := range []string{kept, "/strokes", "/strokes/compare?a=1&b=1"} {
		status, page := c.look(path)
		if status != http.StatusOK || strings.Contains(page, evil) || !strings.Contains(page, "&lt;script&gt;") {
			t.Errorf("%s: %d, markup goes through or is lost", path, status)
		}
	}
}

// TestProgressIsShownAndStopped looks at work that goes on, as a page and as
// htmx does, and stops it.
func TestProgressIsShownAndStopped(t *testing.T) {
	c := newClub(t)
	_, location, _ := c.sendFile("a.csv", string(demo.StrokeSample()))
	job, err := c.service.Jobs.StartJob(func(ctx context.Context) (any, error) { <-ctx.Done(); return nil, ctx.Err() })
	if err != nil {
		t.Fatal(err)
	}
	at := location + "/" + job.ID
	status, page := c.look(at)
	if status != http.StatusOK || !strings.Contains(page, "<progress") || !strings.Contains(page, `http-equiv="refresh"`) || !strings.Contains(page, "Stop") {
		t.Errorf("running: %d", status)
	}
	ask := func() (*http.Response, string) {
		r, err := http.NewRequest(http.MethodGet, c.url+at, nil)
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("HX-Request", "true")
		answer, err := c.client.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		return answer, read(t, answer)
	}
	if answer, part := ask(); !strings.Contains(part, "hx-trigger") || strings.Contains(part, "</html>") || answer.Header.Get("HX-Refresh") != "" {
		t.Error("the progress is no fragment")
	}
	if status, to, _ := c.fill(at+"/cancel", nil); status != http.StatusSeeOther || to != location {
		t.Errorf("stopping: %d %s", status, to)
	}
	if answer, part := ask(); !strings.Contains(part, "Stopped") || answer.Header.Get("HX-Refresh") != "true" {
		t.Error("the page does not learn that the work was stopped")
	}
}
