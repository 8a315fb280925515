package people

import (
	"fmt"
	"net/http"

	"thole/api/access"
	"thole/api/people"
	"thole/ui/page"
	"thole/ui/usage"
)

// settingsPage is how somebody has units and words, and how the club has.
type settingsPage struct {
	Choices []page.Value
	Club    []page.Value // nil for who may not choose for the club
	Account bool         // the choice is kept with it, and not in the browser
	Chosen  bool         // otherwise the club's counts
	Saved   string       // what was saved: "own", "club" or "as_club"
	Zone    string       // of the club
}

// choice is one thing to choose, with its ways.
type choice struct {
	name, label string
	of          func(*people.Usage) *string
	ways        []page.Option
}

// choices are the fields of a usage.
var choices = []choice{
	{"body_lengths", "Heights and other lengths of bodies", func(u *people.Usage) *string { return &u.BodyLengths },
		[]page.Option{{Value: "cm", Label: "cm"}, {Value: people.FeetInches, Label: "feet and inches"}}},
	{"rig_lengths", "Measures of boats, rigs and oars", func(u *people.Usage) *string { return &u.RigLengths }, []page.Option{
		{Value: "cm", Label: "cm, moves in mm"}, {Value: people.Millimetres, Label: "mm"}, {Value: people.Inches, Label: "inches with decimals"}, {Value: people.Fractions, Label: "inches with fractions"},
	}},
	{"masses", "Masses", func(u *people.Usage) *string { return &u.Masses }, []page.Option{{Value: "kg", Label: "kg"}, {Value: people.Pounds, Label: "pounds"}}},
	{"sides", "Sides of a boat", func(u *people.Usage) *string { return &u.Sides },
		[]page.Option{{Value: "port_starboard", Label: "port, starboard"}, {Value: people.StrokeBow, Label: "stroke side, bow side"}}},
	{"days", "Days", func(u *people.Usage) *string { return &u.Days }, []page.Option{
		{Value: people.DayFirst, Label: "day, month, year"}, {Value: people.MonthFirst, Label: "month, day, year"}, {Value: people.YearFirst, Label: "year-month-day"},
	}},
	{"decimals", "Decimals", func(u *people.Usage) *string { return &u.Decimals }, []page.Option{{Value: "point", Label: "1.5"}, {Value: people.DecimalComma, Label: "1,5"}}},
}

// settingsFields are the choices as fields of a form whose names begin with prefix.
func settingsFields(u people.Usage, prefix string) []page.Value {
	list := make([]page.Value, len(choices))
	for i, c := range choices {
		list[i] = page.TextField(prefix+c.name, c.label, "").Choose(c.ways...)
		list[i].Value = *c.of(&u)
	}
	return list
}

func (s *Site) settings(w http.ResponseWriter, r *http.Request) error {
	now := s.service.Club.Now()
	zone, _ := now.Zone()
	if name := now.Location().String(); name != "Local" {
		zone = name
	}
	ctx, v := r.Context(), access.From(r.Context())
	own, err := s.service.People.OwnUsage(ctx, struct{}{})
	if err != nil {
		return err
	}
	_, kept := usage.Kept(r)
	p := settingsPage{
		Choices: settingsFields(usage.From(ctx).Choice(), ""), Account: v.SignedIn(), Chosen: own.Chosen || kept && !v.SignedIn(), Saved: r.URL.Query().Get("saved"), Zone: zone,
	}
	if v.Role == access.Coach || v.Role == access.Trusted {
		ofClub, err := s.service.People.ClubUsage(ctx, struct{}{})
		if err != nil {
			return err
		}
		p.Club = settingsFields(ofClub, clubField)
	}
	return s.Pages.Show(w, http.StatusOK, "settings", p)
}

// clubField begins the names of the fields of the club's choice.
const clubField = "club_"

// chosen reads the choices of a form; what is missing is as in the records.
func chosen(f *page.RecordForm, prefix string) people.Usage {
	u := people.PlainUsage
	for _, c := range choices {
		for _, way := range c.ways {
			if way.Value == f.Text(prefix+c.name) {
				*c.of(&u) = way.Value
			}
		}
	}
	return u
}

// saveSettings keeps the choices with the account, or in the browser of somebody
// without one.
func (s *Site) saveSettings(w http.ResponseWriter, r *http.Request) error {
	f := s.Sent(w, r)
	if f == nil {
		return s.Broken(w)
	}
	own := people.OwnUsage{Chosen: f.Text("as_club") == "", Usage: chosen(f, "")}
	said := map[bool]string{true: "own", false: "as_club"}[own.Chosen]
	if access.From(r.Context()).SignedIn() {
		if _, err := s.service.People.SetOwnUsage(r.Context(), own); err != nil {
			return err
		}
	} else {
		http.SetCookie(w, usageCookie(own))
	}
	return page.Saved(w, r, "/settings?saved="+said)
}

// yearS is a year, s: how long a browser keeps a choice, by our judgement.
const yearS = 365 * 24 * 3600

// usageCookie keeps a choice in a browser, or takes it back.
func usageCookie(own people.OwnUsage) *http.Cookie {
	c := &http.Cookie{Name: usage.Cookie, Value: usage.Of(own.Usage).Text(), Path: "/", MaxAge: yearS, HttpOnly: true, SameSite: http.SameSiteLaxMode}
	if !own.Chosen {
		c.Value, c.MaxAge = "", -1
	}
	return c
}

// saveClubSettings keeps the choices for whoever chose nothing.
func (s *Site) saveClubSettings(w http.ResponseWriter, r *http.Request) error {
	f := s.Sent(w, r)
	if f == nil {
		return s.Broken(w)
	}
	if _, err := s.service.People.SetClubUsage(r.Context(), chosen(f, clubField)); err != nil {
		return fmt.Errorf("choosing for the club: %w", err)
	}
	return page.Saved(w, r, "/settings?saved=club")
}
