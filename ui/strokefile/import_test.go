package strokefile_test

import (
	"context"
	"fmt"
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
