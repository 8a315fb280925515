package club_test

import (
	"net/http"
	"strings"
	"testing"

	"thole/ui/uitest"
)

// TestRefusedValuesAreMarkedAtTheirField sends a wrong value in each kind of
// form whose fields are named otherwise than the request's members.
func TestRefusedValuesAreMarkedAtTheirField(t *testing.T) {
	c := uitest.DemoClub(t)
	for field, f := range map[string]struct{ form, to, value, says string }{
		"shank_cm":     {"/athletes/13", "/athletes/13/measures", "4.4", "plausible range"},
		"test_mass_kg": {"/athletes/13", "/athletes/13/tests", "7", "7 kg cannot be right"},
	} {
		changes := []string{field, f.value, "by", "Ann", "measured_by", "Ann", "time", "7:02.4"}
		p := c.Post(f.to, c.Form(f.form, changes...))
		_, at, _ := strings.Cut(p.Body, `id="e-`+field+`">`)
		text, _, _ := strings.Cut(at, "</p>")
		if p.Status != http.StatusUnprocessableEntity || !strings.Contains(text, f.says) {
			t.Errorf("%s: status %d, at the field stands %q", field, p.Status, text)
		}
	}
}
