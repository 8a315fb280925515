package seat_test

import (
	"html"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"thole/ui/uitest"
)

// linkOf returns where a link with a label leads.
func linkOf(t *testing.T, body, label string) string {
	t.Helper()
	before, _, found := strings.Cut(body, ">"+label+"</a>")
	if !found {
		return ""
	}
	before = before[strings.LastIndex(before, "<a "):]
	return html.UnescapeString(regexp.MustCompile(`href="([^"]*)"`).FindStringSubmatch(before)[1])
}

var (
	promise  = regexp.MustCompile(`<li class="next">([^<]*: finish (\d+)° ± \d+, catch (\d+)° ± \d+)`)
	compared = regexp.MustCompile(`<th scope="row">(Catch|Finish)</th><td>(\d+) ± \d+</td><td>(\d+) ± \d+</td>`)
)

// TestComparingShowsExactlyWhatWasAdvised: the second set-up is the advice and
// nothing else, whatever was typed there before, in the number that the stretcher
// is read in; its figures are those that the advice promised.
func TestComparingShowsExactlyWhatWasAdvised(t *testing.T) {
	site, advised := uitest.NewSite(t), 0
	for _, boat := range []string{
		"class=1x&heel_to_pin_cm=12", "class=1x&heel_to_pin_cm=29", "class=8%2B&side=port&heel_to_pin_cm=14", "class=4-&side=starboard&heel_to_pin_cm=31.3",
		"class=1x&mark=hole&mark_offset_cm=12&mark_pitch_cm=1.7&heel_to_pin_cm=2", "class=2x&mark=toe&mark_offset_cm=3&mark_toe_cm=26&heel_to_pin_cm=36", "class=1x&gate_height_cm=11&heel_to_pin_cm=20",
	} {
		for _, rower := range []string{"sex=female&stature_cm=168&mass_kg=62", "sex=male&stature_cm=194&mass_kg=93"} {
			query := boat + "&" + rower + "&b_inboard_cm=86&b_gate_height_cm=19"
			_, body := uitest.Fetch(t, site, "/seat?"+query)
			to, told := linkOf(t, body, "Compare with this"), promise.FindStringSubmatch(body)
			if to == "" || told == nil {
				continue
			}
			advised++
			next, _ := url.ParseQuery(strings.TrimPrefix(to, "/seat?"))
			if next.Has("b_inboard_cm") {
				t.Errorf("%s: the second set-up keeps an inboard that nobody advised", query)
			}
			_, after := uitest.Fetch(t, site, to)
			got := map[string]string{}
			for _, m := range compared.FindAllStringSubmatch(after, -1) {
				got[m[1]] = m[3]
			}
			if got["Finish"] != told[2] || got["Catch"] != told[3] {
				t.Errorf("%s: advised %q, compared with catch %s, finish %s", query, told[1], got["Catch"], got["Finish"])
			}
			if strings.Contains(after, "Compare with this") {
				t.Errorf("%s: what stands beside it is advised again", query)
			}
			if strings.Contains(boat, "mark=hole") && !strings.Contains(told[1], "hole "+next.Get("b_heel_to_pin_cm")) {
				t.Errorf("%s: %q, compared with hole %s", query, told[1], next.Get("b_heel_to_pin_cm"))
			}
		}
	}
	if advised < 7 {
		t.Errorf("%d pieces of advice: too few to tell", advised)
	}
}

// TestNeitherSetupIsLostFromSight: verdict, figures, drawings and the check in the
// boat stand there for both, with what tells them apart, and either can be kept.
func TestNeitherSetupIsLostFromSight(t *testing.T) {
	site := uitest.NewSite(t)
	const query = "class=1x&sex=male&stature_cm=193&mass_kg=92&heel_to_pin_cm=14&rower=Tom+Lee&boat=Halcyon"
	_, body := uitest.Fetch(t, site, "/seat?"+query+"&b_heel_to_pin_cm=24&b_span_cm=158")
	uitest.WantIn(t, "two set-ups", body, "<h1>Tom Lee in Halcyon</h1>", "Two set-ups compared", "The second set-up: catch", "First: does it suit your reach?", "Second: does it suit your reach?",
		`<th scope="row">Stretcher position</th><td>14</td><td>24</td><td>&#43;10.0 cm</td>`, "Catch, first", "Catch, second", "Finish, first", "Finish, second", "From above, second")
	if n := strings.Count(body, `class="mark"`); n < 2 {
		t.Errorf("%d verdicts for two set-ups", n)
	}
	for label, want := range map[string]string{"Use the second set-up": "heel_to_pin_cm=24", "Keep the first": "heel_to_pin_cm=14"} {
		to := linkOf(t, body, label)
		if !strings.Contains(to, want) || strings.Contains(to, "b_") || !strings.Contains(to, "rower=Tom") {
			t.Errorf("%s leads to %s", label, to)
		}
	}
}
