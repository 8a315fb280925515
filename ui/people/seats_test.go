package people_test

import (
	"fmt"
	"html"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"thole/ui/page"
	"thole/ui/uitest"
)

// field returns the value of an input of a page.
func field(t *testing.T, body, name string) string {
	t.Helper()
	m := regexp.MustCompile(`<input[^>]*\sname="` + name + `" value="([^"]*)"`).FindStringSubmatch(body)
	if m == nil {
		t.Fatalf("no field %s", name)
	}
	return html.UnescapeString(m[1])
}

// TestAnAthleteSavesASeatAndSendsItToTheBoatman goes the whole way with three
// browsers: the athlete opens their page, checks a seat, saves it and sends it; the
// boatman finds it, enters it at the boat and closes the task; the athlete reads
// that it was done. Nobody else's seats are to be seen or kept.
func TestAnAthleteSavesASeatAndSendsItToTheBoatman(t *testing.T) {
	s := newServer(t, false)
	coach, boatman, athlete, own := s.club()
	mine := fmt.Sprintf("/athletes/%d", own.ID)
	start := athlete.get(mine)
	uitest.WantIn(t, "the athlete's page", start.Body, "<h1>"+own.Whole, `name="at"`, "Nightjar, stroke")
	if strings.Contains(start.Body, `href="/athletes"`) || strings.Contains(start.Body, mine+"/edit") {
		t.Error("the page leads where athletes are refused")
	}
	check := athlete.get(mine + "/check?at=9-4").Header.Get("Location")
	seat := athlete.get(athlete.get(check).Header.Get("Location") + "&b_heel_to_pin_cm=27.5")
	uitest.WantIn(t, "the seat", seat.Body, "<h1>"+own.Name+" in Nightjar, seat 4</h1>", "Save and send to the boatman", "Stretcher position 24.5 cm → 27.5 cm")
	if strings.Contains(seat.Body, "Enter it at the boat") {
		t.Error("an athlete is led to change the boat")
	}
	form := url.Values{"address": {field(t, seat.Body, "address")}, "at": {field(t, seat.Body, "at")}, "name": {"Nightjar with more room"}, "note": {"before Sunday"}}
	saved := athlete.post(mine+"/seats", form)
	uitest.WantIn(t, "saved", athlete.get(athlete.get(saved).Header.Get("Location")).Body, "Saved by anna", "b_heel_to_pin_cm", `value="27.5"`, "Note: before Sunday")
	uitest.WantIn(t, "the list", athlete.get(mine).Body, saved+`">Nightjar with more room</a>`, "Send to the boatman")

	form.Set("then", "send")
	if again := athlete.post(mine+"/seats", form); again != saved {
		t.Errorf("saved twice: %s and %s", saved, again)
	}
	tasks := boatman.get("/tasks")
	uitest.WantIn(t, "the boatman", tasks.Body, `href="`+saved+`"`, own.Name+": Nightjar with more room", "before Sunday", "anna")
	there := boatman.get(boatman.get(saved).Header.Get("Location"))
	uitest.WantIn(t, "as sent", there.Body, own.Name+" in Nightjar, seat 4", "Sent to the boatman")
	enter := regexp.MustCompile(`href="(/boats/9/seats/4\?[^"]*)">Enter it at the boat`).FindStringSubmatch(there.Body)
	if enter == nil {
		t.Fatal("no way to enter it at the boat")
	}
	at := boatman.get(html.UnescapeString(enter[1]))
	if got := field(t, at.Body, page.SeatField(4, "heel_to_pin_cm")); got != "27.5" {
		t.Errorf("the boat's form holds %q", got)
	}
	done := regexp.MustCompile(`action="(/tasks/\d+/done)"`).FindStringSubmatch(tasks.Body)[1]
	boatman.post(done, nil)
	uitest.WantIn(t, "done", athlete.get(mine).Body, "done by Bert")

	other := s.athletes()[0]
	if other.ID == own.ID {
		other = s.athletes()[1]
	}
	theirs := fmt.Sprintf("/athletes/%d", other.ID)
	kept := strings.TrimPrefix(coach.post(theirs+"/seats", url.Values{"address": {"/seat?class=1x"}, "name": {"Single"}}), "")
	for path, method := range map[string]string{kept: http.MethodGet, theirs + "/seats": http.MethodPost, kept + "/send": http.MethodPost, kept + "/remove": http.MethodPost} {
		if p := athlete.send(method, path, form); p.Status != http.StatusNotFound {
			t.Errorf("another's %s %s: %d", method, path, p.Status)
		}
	}
	if p := athlete.get("/seat?class=1x&athlete=" + fmt.Sprint(other.ID)); strings.Contains(p.Body, "Save this seat") {
		t.Error("an athlete may keep a seat for another")
	}
	athlete.post(saved+"/remove", nil)
	if p := athlete.get(saved); p.Status != http.StatusNotFound {
		t.Errorf("removed: %d", p.Status)
	}
	if p := boatman.get("/tasks"); strings.Contains(p.Body, "more room") {
		t.Error("the task outlived what was sent")
	}
}

// TestSavedSeatsOverHTTP: the operations for programs keep to what belongs to the
// athlete, and each mistake is told at its field.
func TestSavedSeatsOverHTTP(t *testing.T) {
	s := newServer(t, false)
	_, _, athlete, own := s.club()
	path := fmt.Sprintf("/api/v1/athletes/%d/seats", own.ID)
	send := func(method, path, body string) uitest.Reply {
		t.Helper()
		r, err := http.NewRequest(method, s.url+path, strings.NewReader(body))
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Content-Type", "application/json")
		return answerOf(t, athlete, r)
	}
	for body, want := range map[string]string{
		`{"name":"","address":"/seat?class=1x"}`:                         `"field":"name"`,
		`{"name":"A","address":"/boats"}`:                                `"field":"address"`,
		`{"name":"A","address":"https://elsewhere.example/seat"}`:        `"field":"address"`,
		`{"name":"A","address":"/seat?class=8%2B","boat_id":9,"seat":9}`: "Nightjar has 8 seats",
		`{"name":"A","address":"/seat?class=8%2B","seat":2}`:             "Name the boat",
	} {
		if p := send(http.MethodPost, path, body); p.Status != http.StatusUnprocessableEntity || !strings.Contains(p.Body, want) {
			t.Errorf("%s: %d %s", body, p.Status, p.Body)
		}
	}
	if p := send(http.MethodPost, path, `{"name":"A","address":"/seat?class=8%2B","boat_id":9,"seat":2,"send":true}`); p.Status != http.StatusCreated || !strings.Contains(p.Body, `"sent_at"`) {
		t.Fatalf("%d %s", p.Status, p.Body)
	}
	if p := send(http.MethodGet, path, ""); p.Status != http.StatusOK || !strings.Contains(p.Body, `"saved_by":"anna"`) || !strings.Contains(p.Body, `"boat_id":9`) {
		t.Errorf("%d %s", p.Status, p.Body)
	}
	if p := send(http.MethodPost, path+"/1/send", `{}`); p.Status != http.StatusOK {
		t.Errorf("%d %s", p.Status, p.Body)
	}
	if p := send(http.MethodDelete, path+"/1", ""); p.Status != http.StatusOK {
		t.Errorf("%d %s", p.Status, p.Body)
	}
	if p := send(http.MethodDelete, path+"/1", ""); p.Status != http.StatusNotFound {
		t.Errorf("%d %s", p.Status, p.Body)
	}
}
