package strokes_test

import (
	"context"
	"encoding/csv"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"thole/api/apitest"
	"thole/api/demo"
	"thole/api/records"
	"thole/ui/uitest"
)

// TestImportWithoutScript goes the whole way with plain forms: upload,
// confirm, measure, assign, keep, look, calibrate, remove.
func TestImportWithoutScript(t *testing.T) {
	c := uitest.DemoClub(t)
	result := c.MeasuredFile("<b>out.csv", string(demo.StrokeSample()), url.Values{"in_cm": {"99"}})
	status, body := c.Look(result)
	if status != http.StatusOK || !strings.Contains(body, "30 % of peak force") || !strings.Contains(body, "&lt;b&gt;out.csv") {
		t.Fatalf("result: %d", status)
	}
	athletes, err := c.Service.Club.Athletes(t.Context(), records.ListRequest{Name: "Maeve"})
	if err != nil || len(athletes.Athletes) != 1 {
		t.Fatal(err, athletes)
	}
	boats, err := c.Service.Fleet.Boats(t.Context(), records.ListRequest{Name: "Marl"})
	if err != nil || len(boats.Boats) != 1 {
		t.Fatal(err, boats)
	}
	form := uitest.AsShown(t, body)
	form.Set("athlete0", fmt.Sprint(athletes.Athletes[0].ID))
	form.Set("boat", fmt.Sprint(boats.Boats[0].ID))
	status, kept, body := c.Fill(result, form)
	if again, to, _ := c.Fill(result, form); again != http.StatusSeeOther || to != kept {
		t.Errorf("sent twice: %d, leads to %s, not to %s", again, to, kept)
	}
	if status != http.StatusSeeOther || !strings.HasPrefix(kept, "/recordings/") {
		t.Fatalf("keeping: %d %s %.300s", status, kept, body)
	}
	if status, body = c.Look(kept + "?posture=1"); status != http.StatusOK || !strings.Contains(body, "Handle speed that matches the water") || !strings.Contains(body, "Keep this posture") {
		t.Fatalf("recording: %d", status)
	}
	status, athlete, _ := c.Fill(strings.Replace(kept, "/recordings/", "/recordings/posture/", 1), url.Values{"boat": form["boat"]})
	if status != http.StatusSeeOther {
		t.Fatalf("posture: %d", status)
	}
	if _, body = c.Look(athlete); !strings.Contains(body, "From measured strokes") {
		t.Error("the athlete's page does not show the posture")
	}
	if status, _, _ = c.Fill(kept, url.Values{"do": {"remove"}}); status != http.StatusSeeOther {
		t.Errorf("removing: %d", status)
	}
	if status, _ = c.Look(kept); status != http.StatusNotFound {
		t.Errorf("what was removed answers %d", status)
	}
}

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

// TestAwkwardUploads holds that files that are no measurements are reported at the
// form.
func TestAwkwardUploads(t *testing.T) {
	c := uitest.NewClub(t)
	for name, text := range map[string]string{"x.csv": "", "pdf.csv": "%PDF-1.7\n\x00\x01\x02", "zeros.csv": strings.Repeat("\x00", 3<<20), "prose.txt": "Dear coach,\nhere is the file.\n"} {
		status, _, body := c.SendFile(name, text)
		if status != http.StatusUnprocessableEntity || !strings.Contains(body, `class="problems"`) {
			t.Errorf("%s: %d", name, status)
		}
	}
	_, location, _ := c.SendFile("a.csv", string(demo.StrokeSample()))
	_, body := c.Look(location)
	form := uitest.AsShown(t, body)
	form.Set("force", "handle")
	for name, change := range map[string]url.Values{
		"not a number":                 {"header_lines": {"many"}},
		"no row can":                   {"separator": {"semicolon"}},
		"angle_deg</a>: The unit":      {"u2": {"n"}},
		"Pin to":                       {"in_cm": {"long"}},
		"plausible":                    {"in_cm": {"9"}},
		"at the handle or at the gate": {"force": {""}},
		"angle with the oar square":    {"za0": {"much"}},
		"Give both forces":             {"basis": {"force"}, "catch_n": {"200"}, "release_n": {""}},
		"Two columns":                  {"q3": {"oar_angle"}, "u3": {"deg"}},
	} {
		typed := url.Values{"do": {"measure"}}
		for _, from := range []url.Values{form, change} {
			for k, v := range from {
				typed[k] = v
			}
		}
		status, _, body := c.Fill(location, typed)
		told := regexp.MustCompile(`(?s)class="problems".*?</div>`).FindString(body)
		if status != http.StatusUnprocessableEntity || !strings.Contains(told, name) {
			t.Errorf("%v: %d %s; want %q", change, status, told, name)
		}
	}
}

func TestMappingIsSavedAndUsed(t *testing.T) {
	c := uitest.NewClub(t)
	_, location, _ := c.SendFile("a.csv", string(demo.StrokeSample()))
	_, body := c.Look(location)
	form := uitest.AsShown(t, body)
	form.Set("mapping_name", "Logger & <co>")
	form.Set("u3", "kgf")
	form.Set("force", "gate")
	form.Set("za0", "−1.5")
	status, again, _ := c.Fill(location+"/mapping", form)
	if status != http.StatusSeeOther {
		t.Fatalf("saving: %d", status)
	}
	_, body = c.Look(again)
	if !strings.Contains(body, "Logger &amp; &lt;co&gt;") || uitest.AsShown(t, body).Get("u3") != "kgf" || uitest.AsShown(t, body).Get("force") != "gate" || uitest.AsShown(t, body).Get("za0") != "−1.5" {
		t.Error("the saved mapping is not used")
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

// TestNamesWithMarkupDoNoHarm keeps a seat and a note with markup in them, and
// reads them back on every page that shows them.
func TestNamesWithMarkupDoNoHarm(t *testing.T) {
	c := uitest.NewClub(t)
	const evil = `<script>alert(1)</script>`
	text := strings.ReplaceAll(string(demo.StrokeSample()), ",1,", ","+evil+",")
	result := c.MeasuredFile(`=cmd|"x`+evil+`.csv`, text, nil)
	_, body := c.Look(result)
	form := uitest.AsShown(t, body)
	form.Set("athlete0", "nobody")
	form.Set("note", evil+strings.Repeat("long ", 100))
	status, kept, told := c.Fill(result, form)
	if status != http.StatusSeeOther {
		t.Fatalf("%d %.300s", status, told)
	}
	for _, path := range []string{kept, "/recordings", "/recordings/compare?a=1&b=1"} {
		status, page := c.Look(path)
		if status != http.StatusOK || strings.Contains(page, evil) || !strings.Contains(page, "&lt;script&gt;") {
			t.Errorf("%s: %d, markup goes through or is lost", path, status)
		}
	}
}

// TestProgressIsShownAndStopped looks at work that goes on, as a page and as
// htmx does, and stops it.
func TestProgressIsShownAndStopped(t *testing.T) {
	c := uitest.NewClub(t)
	_, location, _ := c.SendFile("a.csv", string(demo.StrokeSample()))
	job, err := c.Service.Jobs.StartJob(t.Context(), func(ctx context.Context) (any, error) { <-ctx.Done(); return nil, ctx.Err() })
	if err != nil {
		t.Fatal(err)
	}
	at := location + "/" + job.ID
	status, page := c.Look(at)
	if status != http.StatusOK || !strings.Contains(page, "<progress") || !strings.Contains(page, `http-equiv="refresh"`) || !strings.Contains(page, "Stop") {
		t.Errorf("running: %d", status)
	}
	ask := func() (*http.Response, string) {
		r, err := http.NewRequest(http.MethodGet, c.URL+at, nil)
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("HX-Request", "true")
		answer, err := c.Client.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		return answer, uitest.Read(t, answer)
	}
	if answer, part := ask(); !strings.Contains(part, "hx-trigger") || strings.Contains(part, "</html>") || answer.Header.Get("HX-Refresh") != "" {
		t.Error("the progress is no fragment")
	}
	if status, to, _ := c.Fill(at+"/cancel", nil); status != http.StatusSeeOther || to != location {
		t.Errorf("stopping: %d %s", status, to)
	}
	if answer, part := ask(); !strings.Contains(part, "Stopped") || answer.Header.Get("HX-Refresh") != "true" {
		t.Error("the page does not learn that the work was stopped")
	}
}

// shifted adds to one column of rows in the plain layout.
func shifted(text string, column int, by float64) string {
	lines := strings.Split(strings.TrimSpace(text), "\n")
	for i, line := range lines[1:] {
		cells := strings.Split(line, ",")
		v, _ := strconv.ParseFloat(cells[column], 64)
		cells[column] = strconv.FormatFloat(v+by, 'f', 3, 64)
		lines[i+1] = strings.Join(cells, ",")
	}
	return strings.Join(lines, "\n") + "\n"
}

// TestZerosAreAskedForAndCorrected takes a gate that stands 25° off through the
// import: the page asks, one field answers, and the way back keeps it.
func TestZerosAreAskedForAndCorrected(t *testing.T) {
	c := uitest.NewClub(t)
	text := shifted(string(demo.StrokeSample()), 2, 25)
	_, location, _ := c.SendFile("off.csv", text)
	_, body := c.Look(location)
	uitest.WantIn(t, "questions", body, "with the oar square?", "Proposed: ", "choose</option>")
	if uitest.AsShown(t, body).Get("force") != "" {
		t.Error("handle or gate is chosen for the user")
	}
	result := c.MeasuredFile("off.csv", text, url.Values{"za1": {"25"}})
	if _, body = c.Look(result); strings.Contains(body, "Correct the zeros") {
		t.Error("the question is asked again")
	}
	back := regexp.MustCompile(`href="(/recordings/import/[^"]*job=[^"]*)"`).FindStringSubmatch(body)
	if back == nil {
		t.Fatal("no way back")
	}
	_, body = c.Look(back[1])
	if form := uitest.AsShown(t, body); form.Get("za0")+form.Get("za1") != "25" || form.Get("force") != "handle" {
		t.Errorf("the way back forgot: %v", form)
	}
}

// TestTheDayIsThatOfTheFile holds that stamps with a date fill the day.
func TestTheDayIsThatOfTheFile(t *testing.T) {
	c := uitest.NewClub(t)
	lines := strings.Split(strings.TrimSpace(string(demo.StrokeSample())), "\n")
	for i, line := range lines[1:] {
		at, rest, _ := strings.Cut(line, ",")
		s, _ := strconv.ParseFloat(at, 64)
		lines[i+1] = fmt.Sprintf("2026-03-14 09:%02d:%06.3f,%s", int(s)/60, s-60*float64(int(s)/60), rest)
	}
	_, body := c.Look(c.MeasuredFile("stamped.csv", strings.Join(lines, "\n")+"\n", nil))
	uitest.WantIn(t, "day", body, `value="2026-03-14"`, "As the time stamps of the file tell it")
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

// TestMeanCurvesAreBroughtIn goes the way of a file of mean curves, from a form
// that lacks the arc to the pages that show them.
func TestMeanCurvesAreBroughtIn(t *testing.T) {
	c := uitest.DemoClub(t)
	status, location, _ := c.SendFile("curves.csv", apitest.MeanCurves("drive_pct", 0, 100))
	if status != http.StatusSeeOther {
		t.Fatal(status)
	}
	_, body := c.Look(location)
	uitest.WantIn(t, "page", body, "Mean curves", "Ada force_n", "choose</option>", "the file tells none")
	form := url.Values{"athlete0": {"nobody"}, "unit": {"n"}, "force": {"handle"}, "recorded_on": {"2026-03-05"}}
	if status, _, body = c.Fill(location+"/curves", form); status != http.StatusUnprocessableEntity || !strings.Contains(body, "Catch</a>: Give the catch") {
		t.Errorf("%d", status)
	}
	form.Set("catch_deg", "55")
	form.Set("finish_deg", "34")
	status, kept, body := c.Fill(location+"/curves", form)
	if status != http.StatusSeeOther {
		t.Fatalf("%d %.300s", status, body)
	}
	for _, path := range []string{kept, "/recordings", "/recordings/squad", "/recordings/compare?a=1&b=" + strings.TrimPrefix(kept, "/recordings/")} {
		if status, body := c.Look(path); status != http.StatusOK || strings.Contains(body, "NaN") {
			t.Errorf("%s: %d", path, status)
		}
	}
	_, body = c.Look(kept)
	uitest.WantIn(t, "recording", body, "mean curve", "single strokes")
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
