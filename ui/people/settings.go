package people

import (
	"net/http"

	"thole/ui/page"
	"thole/ui/usage"
)

// settingsPage is how somebody has units and words.
type settingsPage struct {
	Choices []page.Value
	Saved   bool
	Zone    string // of the club
}

// settingsFields are the choices of the page.
func settingsFields(u usage.Usage) []page.Value {
	pick := func(name, label, value string, options ...page.Option) page.Value {
		v := page.TextField(name, label, "").Choose(options...)
		v.Value = value
		return v
	}
	side := map[bool]string{true: "stroke"}[u.Stroke]
	return []page.Value{
		pick("lengths", "Heights and other lengths of bodies", map[bool]string{true: "ft"}[u.Feet], page.Option{Label: "cm"}, page.Option{Value: "ft", Label: "feet and inches"}),
		pick("masses", "Masses", map[bool]string{true: "lb"}[u.Pounds], page.Option{Label: "kg"}, page.Option{Value: "lb", Label: "pounds"}),
		pick("sides", "Sides of a boat", side, page.Option{Label: "port, starboard"}, page.Option{Value: "stroke", Label: "stroke side, bow side"}),
		pick("days", "Days", u.Days, page.Option{Label: "day, month, year"}, page.Option{Value: usage.MonthFirst, Label: "month, day, year"}, page.Option{Value: usage.YearFirst, Label: "year-month-day"}),
	}
}

func (s *Site) settings(w http.ResponseWriter, r *http.Request) error {
	now := s.service.Club.Now()
	zone, _ := now.Zone()
	if name := now.Location().String(); name != "Local" {
		zone = name
	}
	return s.Pages.Show(w, http.StatusOK, "settings", settingsPage{Choices: settingsFields(usage.From(r.Context())), Saved: r.URL.Query().Get("saved") != "", Zone: zone})
}

// saveSettings keeps the choices in this browser.
func (s *Site) saveSettings(w http.ResponseWriter, r *http.Request) error {
	f := s.Sent(w, r)
	if f == nil {
		return s.Broken(w)
	}
	u := usage.Usage{Feet: f.Text("lengths") == "ft", Pounds: f.Text("masses") == "lb", Stroke: f.Text("sides") == "stroke", Days: usage.Parse(f.Text("days")).Days}
	http.SetCookie(w, &http.Cookie{Name: usage.Cookie, Value: u.Text(), Path: "/", MaxAge: 365 * 24 * 3600, HttpOnly: true, SameSite: http.SameSiteLaxMode})
	return page.Saved(w, r, "/settings?saved=1")
}
