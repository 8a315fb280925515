package ui_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"thole/ui/uitest"
)

// TestTooLargeFormsAreRefusedAlike sends more than a form holds to a form of each
// area, with and without a script: nothing is led on with it in the address.
func TestTooLargeFormsAreRefusedAlike(t *testing.T) {
	c := uitest.NewClub(t)
	form := url.Values{"note": {strings.Repeat("x", 300<<10)}, "by": {"Ines"}}
	for _, path := range []string{
		"/seat", "/setup", "/athletes", "/boats", "/oars", "/line-ups/save", "/line-ups/firmness", "/seat-races", "/seat-races/new", "/sheets",
		"/athletes/1", "/boats/1/seats/1", "/seat-races/1/pieces/1", "/sheets/1/readings",
	} {
		whole := c.Post(path, form)
		if whole.Status != http.StatusRequestEntityTooLarge || whole.Header.Get("Location") != "" || !strings.Contains(whole.Body, "<html") || !strings.Contains(whole.Body, "up to 256 kB") {
			t.Errorf("%s: %d to %.60q: %.200s", path, whole.Status, whole.Header.Get("Location"), whole.Body)
		}
		part := c.Send(http.MethodPost, path, form, uitest.ByHTMX)
		if part.Status != http.StatusRequestEntityTooLarge || part.Header.Get("HX-Retarget") != "main" || strings.Contains(part.Body, "<html") || !strings.Contains(part.Body, "up to 256 kB") {
			t.Errorf("%s for a script: %d, %v: %.200s", path, part.Status, part.Header, part.Body)
		}
	}
}

func TestFormsThatCannotBeReadAreRefusedAlike(t *testing.T) {
	c := uitest.NewClub(t)
	for _, path := range []string{"/seat", "/setup", "/athletes", "/seat-races/new"} {
		r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, c.URL+path, strings.NewReader("by=%zz"))
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		answer, err := c.Client.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		answer.Body.Close()
		if answer.StatusCode != http.StatusBadRequest {
			t.Errorf("%s: %d", path, answer.StatusCode)
		}
	}
}

// TestThousandsAreQuestionedOnPages types a number that can be read in two ways.
func TestThousandsAreQuestionedOnPages(t *testing.T) {
	c := uitest.NewClub(t)
	p := c.Send(http.MethodGet, "/seat?class=1x&inboard_cm=1,000", nil)
	if !strings.Contains(p.Body, "can be read as 1 and as 1000") {
		t.Errorf("%d: the number is not questioned", p.Status)
	}
}
