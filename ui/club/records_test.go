package club_test

import (
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"thole/ui"
	"thole/ui/uitest"
)

// recordPaths are pages of the demo club, with its boats and oars.
var recordPaths = []string{
	"/boats", "/boats?name=x&archived=true", "/boats/new", "/boats/1", "/boats/6", "/boats/9", "/boats/10", "/boats/9/edit", "/boats/1/edit", "/boats/9/remove",
	"/boats/9/seats/8", "/boats/1/seats/1", "/boats/9/seats/4/ranges", "/boats/9/history", "/boats/9/history?seat=4&setting=spread_cm", "/boats/10/history",
	"/squads", "/athletes", "/athletes?name=zzz", "/athletes/new", "/athletes/13", "/athletes/7", "/athletes/6", "/athletes/13/edit", "/athletes/13/remove",
	"/oars", "/oars?name=zzz", "/oars/new", "/oars/1", "/oars/4", "/oars/1/remove",
}

func TestRecordPagesOfTheDemoClub(t *testing.T) {
	c := uitest.DemoClub(t)
	for _, path := range recordPaths {
		body := c.Opened(path)
		if strings.Contains(body, "<nil>") || strings.Contains(body, "NaN") || strings.Contains(body, "%!") {
			t.Errorf("%s shows a programmer's value", path)
		}
	}
}

func TestRecordPagesOfAnEmptyClub(t *testing.T) {
	c := uitest.NewClub(t)
	uitest.WantIn(t, "no athletes", c.Opened("/athletes"), "Nobody is on record yet")
}

// TestAwkwardNamesStayText puts markup and a long name on record.
func TestAwkwardNamesStayText(t *testing.T) {
	c := uitest.NewClub(t)
	awkward := `<b>"Ø&` + strings.Repeat("x", 60)
	uitest.GoesTo(t, c.Post("/athletes", url.Values{"name": {awkward}, "note": {"</textarea>"}, "by": {awkward}}), "/athletes/1")
	for _, path := range []string{"/athletes", "/athletes/1", "/athletes/1/edit"} {
		body := c.Opened(path)
		uitest.WantIn(t, path, body, "&lt;b&gt;")
		if strings.Contains(body, "<b>") || strings.Contains(body, "<script>1") || strings.Contains(body, "></textarea></textarea>") {
			t.Errorf("%s takes a name for markup", path)
		}
	}
}

func TestUnknownRecordsAreToldSo(t *testing.T) {
	c := uitest.NewClub(t)
	for _, path := range []string{"/athletes/7", "/athletes/7/edit", "/athletes/7/check", "/athletes/7/remove", "/athletes/7/tests/1/remove"} {
		if p := c.Get(path); p.Status != http.StatusNotFound || !strings.Contains(p.Body, "Not found") {
			t.Errorf("GET %s: %d", path, p.Status)
		}
	}
	for _, path := range []string{"/athletes/7", "/athletes/7/measures", "/athletes/7/tests", "/athletes/7/tests/1/remove", "/athletes/7/remove"} {
		if p := c.Post(path, url.Values{"by": {"Ann"}}); p.Status != http.StatusNotFound {
			t.Errorf("POST %s: %d %.200s", path, p.Status, p.Body)
		}
	}
}

func TestRecordsArePutAsideAndFoundAgain(t *testing.T) {
	c := uitest.DemoClub(t)
	uitest.GoesTo(t, c.Post("/athletes/1", c.Form("/athletes/1/edit", "archived", "true", "by", "Ann")), "/athletes/1")
	if strings.Contains(c.Opened("/athletes"), "Ingrid") {
		t.Error("an athlete archived is in the list")
	}
	uitest.WantIn(t, "the whole list", c.Opened("/athletes?archived=true"), "Ingrid", "archived")
}

func TestRemovingRecords(t *testing.T) {
	c := uitest.DemoClub(t)
	for _, path := range []string{"/athletes/1"} {
		uitest.GoesTo(t, c.Post(path+"/remove", nil), path[:strings.LastIndexByte(path, '/')])
		if p := c.Get(path); p.Status != http.StatusNotFound {
			t.Errorf("%s is still there: %d", path, p.Status)
		}
	}
}

// TestCheckingAnAthleteLeadsToTheSeat that was chosen, or to the page for one seat.
func TestCheckingAnAthleteLeadsToTheSeat(t *testing.T) {
	c := uitest.DemoClub(t)
	uitest.GoesTo(t, c.Get("/athletes/7/check?at=9-4"), "/boats/9/seats/4/check?athlete=7")
	for _, bad := range []string{"9-9", "9-stroke", "stroke", "99-1"} {
		p := c.Get("/athletes/7/check?at=" + bad)
		if p.Status != http.StatusUnprocessableEntity || !strings.Contains(p.Body, "There is no such seat") {
			t.Errorf("seat %s: %d", bad, p.Status)
		}
	}
	uitest.WantIn(t, "seats by their names", c.Opened("/athletes/7"), `<option value="9-1">Nightjar, bow</option>`, `<option value="9-8">Nightjar, stroke</option>`, `<option value="1-1">Halcyon</option>`)
	uitest.WantIn(t, "an athlete alone", c.Get("/athletes/13/check").Header.Get("Location"), "stature_cm=158.6")
}

func TestMeasuringAnAthlete(t *testing.T) {
	c := uitest.DemoClub(t)
	form := c.Form("/athletes/13", "stature_cm", "159,2", "arm_cm", "62", "note", "barefoot", "measured_by", "Ann")
	uitest.GoesTo(t, c.Post("/athletes/13/measures", form), "/athletes/13")
	uitest.WantIn(t, "the athlete", c.Opened("/athletes/13"), "159.2 cm", "barefoot", "Arm cm", "Grew")
}

// TestGrowthIsDrawnToScale: of two days with 4 cm between, the older stands at
// the foot of the drawing and the newer at its head.
func TestGrowthIsDrawnToScale(t *testing.T) {
	c := uitest.NewClub(t)
	uitest.GoesTo(t, c.Post("/athletes", url.Values{"name": {"A"}, "by": {"B"}}), "/athletes/1")
	for day, height := range map[string]string{"2026-01-01": "160", "2026-07-01": "165", "2026-10-01": "164"} {
		uitest.GoesTo(t, c.Post("/athletes/1/measures", url.Values{"measured_on": {day}, "stature_cm": {height}, "measured_by": {"B"}}), "/athletes/1")
	}
	uitest.WantIn(t, "the drawing", c.Opened("/athletes/1"), `d="M40 124L220.34 22L312 42.4"`, "Height from 160 to 164 cm between 1 Jan 2026 and 1 Oct 2026")
}

// BenchmarkRecordPages serves each page of a club with 200 boats and 500
// athletes.
func BenchmarkRecordPages(b *testing.B) {
	c := uitest.BigClub(b)
	pages, err := ui.New(nil, c.Service, slog.New(slog.DiscardHandler))
	if err != nil {
		b.Fatal(err)
	}
	for _, path := range []string{"/boats", "/boats/9", "/boats/9/edit", "/boats/9/seats/4", "/boats/9/history", "/athletes", "/athletes?name=51", "/athletes/13", "/oars", "/oars/1"} {
		b.Run(path, func(b *testing.B) {
			for b.Loop() {
				w := httptest.NewRecorder()
				pages.ServeHTTP(w, httptest.NewRequest(http.MethodGet, path, nil))
				if w.Code != http.StatusOK {
					b.Fatal(w.Code)
				}
			}
		})
	}
}

// TestDaysOfBirthAreTakenAsPeopleWriteThem: in one way what can be read in one way,
// and what can be read in two is asked about at the field.
func TestDaysOfBirthAreTakenAsPeopleWriteThem(t *testing.T) {
	c := uitest.NewClub(t)
	for text, want := range map[string]string{"27.3.2004": "2004-03-27", "3.4.2005": "2005-04-03", "2006-02-01": "2006-02-01", "13/2/2001": "2001-02-13", "1 May 2002": "2002-05-01", "1999": "1999"} {
		p := c.Post("/athletes", url.Values{"family_name": {"Born " + want}, "born": {text}, "by": {"Ines"}})
		if p.Status != http.StatusSeeOther {
			t.Fatalf("%s: %d", text, p.Status)
		}
		if got := uitest.FormValues(c.Opened(p.Header.Get("Location") + "/edit")).Get("born"); got != want {
			t.Errorf("%s was taken as %s", text, got)
		}
	}
	for text, said := range map[string]string{"3/4/2004": "the month may come first", "soon": "year-month-day"} {
		p := c.Post("/athletes", url.Values{"family_name": {"Lee"}, "born": {text}, "by": {"Ines"}})
		if p.Status != http.StatusUnprocessableEntity || !strings.Contains(p.Body, said) || uitest.FormValues(p.Body).Get("born") != text {
			t.Errorf("%s: %d", text, p.Status)
		}
	}
}

// TestBadEntriesStay sends what cannot be: the form comes back with all of it,
// each complaint at its field, and the first bad field in focus.
func TestBadEntriesStay(t *testing.T) {
	c := uitest.DemoClub(t)
	for _, k := range []struct {
		page, to string
		change   []string
		field    string
		says     string
	}{
		{"/athletes/new", "/athletes", []string{"family_name", "Zed", "born", "2999-01-01", "by", "A"}, "born", "still to come"},
		{"/athletes/13/edit", "/athletes/13", []string{"port", "true", "port_cost_s", "-1", "by", "A"}, "port_cost_s", "from 0 to 60 s"},
		{"/athletes/13", "/athletes/13/measures", []string{"stature_cm", "1.59", "measured_by", "A"}, "stature_cm", "metres: 159 cm"},
		{"/athletes/13", "/athletes/13/measures", []string{"shank_cm", "400", "measured_by", "A"}, "shank_cm", "millimetres: 40 cm"},
		{"/athletes/13", "/athletes/13/tests", []string{"time", "fast", "by", "A"}, "time", "“fast” is no time"},
		{"/athletes/13", "/athletes/13/tests", []string{"time", "", "by", "A"}, "time", "Say how long it took"},
		{"/athletes/13", "/athletes/13/tests", []string{"time", "302", "distance_m", "1000", "by", "A"}, "time", "Was 5:02.0 meant, or 3:02.0? Write it like 7:02.4"},
		{"/athletes/13", "/athletes/13/tests", []string{"time", "5:02", "by", "A"}, "time", "beyond the"},
		{"/athletes/13", "/athletes/13/tests", []string{"time", "7:50", "distance_m", "far", "by", "A"}, "distance_m", "“far” is not a number"},
		{"/athletes/13", "/athletes/13/tests", []string{"time", "7:50", "distance_m", "2", "by", "A"}, "distance_m", "kilometres: 2000 m"},
		{"/athletes/13", "/athletes/13/tests", []string{"time", "7:50", "tested_on", "2999-01-01", "by", "A"}, "tested_on", "still to come"},
		{"/athletes/13", "/athletes/13/tests", []string{"time", "7:50", "test_mass_kg", "485", "by", "A"}, "test_mass_kg", "20 to 200 kg"},
		{"/athletes/13", "/athletes/13/tests", []string{"time", "7:50", "test_note", strings.Repeat("x", 2001), "by", "A"}, "test_note", "2000 characters"},
		{"/athletes/13", "/athletes/13/tests", []string{"time", "7:50", "by", " "}, "by", "Say who you are"},
	} {
		c.Refused(k.page, k.to, k.field, k.says, k.change...)
	}
}
