package fleet_test

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
		"seat4_spread_cm":       {"/boats/9/seats/4", "/boats/9/seats/4", "8.4", "plausible range"},
		"seat4_spread_cm_min":   {"/boats/9/seats/4/ranges", "/boats/9/seats/4/ranges", "5", "plausible range"},
		"seat4_inboard_cm_step": {"/boats/9/seats/4/ranges", "/boats/9/seats/4/ranges", "0", "more than nothing"},
		"seat3_side":            {"/boats/9/edit", "/boats/9", "middle", "port or starboard"},
		"hull_mass_kg":          {"/boats/9/edit", "/boats/9", "2", "plausible range is 8 to 200 kg"},
		"length_step_cm":        {"/oars/1", "/oars/1", "50", "0 to 20 cm"},
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
