package seatrace_test

import (
	"fmt"
	"io"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"thole/api/records"
	"thole/ui/uitest"
)

// complaints are those of the fields.
var complaints = regexp.MustCompile(`<p class="complaint"[^>]*>[^<]+</p>`)

// TestAllPiecesFromPaper saves what can be saved, and shows again only the lines that
// cannot, each with what is wrong.
func TestAllPiecesFromPaper(t *testing.T) {
	site, service := raceSite(t)
	race := newRace(t, service, []string{"Ann", "Bea", "Cat", "Dot"}, 0)
	address := fmt.Sprintf("%s/seat-races/%d", site.URL, race.ID)
	sent := 0
	send := func(form url.Values, status int, wanted ...string) string {
		t.Helper()
		sent++
		form.Set("key", fmt.Sprint(sent))
		answer, err := http.PostForm(address+"/pieces", form)
		if err != nil {
			t.Fatal(err)
		}
		raw, err := io.ReadAll(answer.Body)
		if err != nil {
			t.Fatal(err)
		}
		body, _ := string(raw), answer.Body.Close()
		if answer.StatusCode != status {
			t.Fatalf("%d, want %d: %s", answer.StatusCode, status, complaints.FindAllString(body, -1))
		}
		uitest.WantIn(t, fmt.Sprint(form), uitest.OneLine(body), wanted...)
		return body
	}
	states := func() string {
		t.Helper()
		r, err := service.Seatrace.Race(t.Context(), records.IDRequest{ID: race.ID})
		if err != nil {
			t.Fatal(err)
		}
		var list []string
		for _, p := range r.Pieces {
			margin := ""
			if m, ok := p.Margin(); ok {
				margin = fmt.Sprintf("%.1f", m.Seconds)
			}
			list = append(list, p.State[:1]+margin)
		}
		return strings.Join(list, " ")
	}

	send(url.Values{"p1": {"3:10.2 , 3:11,9,"}, "p2": {"3:11.4"}, "p3": {"3:11 302"}}, http.StatusUnprocessableEntity,
		"There are 1 times or margins for 2 boats.", `value="3:11.4"`, "Boat 2: ", `value="3:11 302"`, "Enter all pieces from paper")
	if got := states(); got != "r1.7 p p p" {
		t.Errorf("after two lines that cannot be read: %s", got)
	}
	send(url.Values{"p1": {"3:12 3:10"}, "p2": {"0 +1.2"}}, http.StatusUnprocessableEntity, "Somebody else has entered this piece in the meantime", `value="3:12 3:10"`)
	if got := states(); got != "r1.7 r1.2 p p" {
		t.Errorf("after one more: %s", got)
	}
	body := send(url.Values{"p3": {"2:23 2:24"}, "by": {"Cox"}}, http.StatusUnprocessableEntity, "far from", "These times are right", `value="Cox"`)
	if strings.Contains(body, `name="p2"`) {
		t.Error("a piece that was saved is asked for again")
	}
	send(url.Values{"p3": {"2:23 2:24"}, "times_checked": {"yes"}, "by": {"Cox"}}, http.StatusOK, "3 of 4 pieces done", "Entered by Cox")
	send(url.Values{"p4": {"dnf 2:45"}}, http.StatusOK, "4 of 4 pieces done")
	send(url.Values{}, http.StatusOK, "All pieces have results")
	if got := states(); got != "r1.7 r1.2 r1.0 r" {
		t.Errorf("at the end: %s", got)
	}
}
