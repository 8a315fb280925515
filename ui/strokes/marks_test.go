package strokes_test

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"thole/ui/uitest"
)

// TestStrokesAreMarkedOnThePage marks a stroke without script, sees it in the
// list and in the history, and removes the mark.
func TestStrokesAreMarkedOnThePage(t *testing.T) {
	c := uitest.DemoClub(t)
	_, body := c.Look("/recordings/1")
	start := regexp.MustCompile(`<option value="([^"]+)">3, at`).FindStringSubmatch(body)[1]
	form := url.Values{"do": {"mark"}, "version": {"1"}, "start_s": {start}, "left_out": {"true"}, "by": {"Ines"}}
	status, _, body := c.Fill("/recordings/1", form)
	if status != http.StatusUnprocessableEntity || !strings.Contains(body, "why it is excluded") || !strings.Contains(body, `<option value="`+start+`" selected`) {
		t.Errorf("without a reason: %d", status)
	}
	form.Set("note", "wash of a launch")
	if status, _, body = c.Fill("/recordings/1", form); status != http.StatusSeeOther {
		t.Fatalf("marking: %d %.300s", status, body)
	}
	_, body = c.Look("/recordings/1")
	if !strings.Contains(body, "excluded: wash of a launch") || !strings.Contains(body, "1 excluded by hand") || !strings.Contains(body, "29 strokes") {
		t.Error("the mark is not shown")
	}
	if status, _, _ = c.Fill("/recordings/1", form); status != http.StatusConflict {
		t.Errorf("from an older version: %d", status)
	}
	if status, _, _ = c.Fill("/recordings/1", url.Values{"do": {"unmark"}, "version": {"2"}, "start_s": {start}, "by": {"Ines"}}); status != http.StatusSeeOther {
		t.Errorf("removing: %d", status)
	}
	if _, body = c.Look("/recordings/1"); !strings.Contains(body, "30 strokes") || strings.Contains(body, "excluded by hand") {
		t.Error("the stroke is not back")
	}
}
