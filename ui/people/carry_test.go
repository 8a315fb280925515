package people

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"testing"

	"thole/api/access"
	"thole/api/fleet"
	"thole/api/people"
	"thole/ui/page"
)

// asked is a request of a viewer over an address that a phone can reach, or none.
func asked(pattern, path, base string, v *access.Viewer) *http.Request {
	r := httptest.NewRequest(http.MethodGet, path, nil)
	r.Pattern = pattern
	ctx := access.With(r.Context(), v)
	if base != "" {
		ctx = page.WithReach(ctx, page.Reach{Base: base})
	}
	return r.WithContext(ctx)
}

// TestAPageGoesToAPhoneWhereItMay: one that can be shared, of somebody with an account, at an
// address that can be reached; athletes send nothing, and the boatman gets what he may see.
func TestAPageGoesToAPhoneWhereItMay(t *testing.T) {
	s := &Site{}
	const base = "http://boathouse.local"
	coach, athlete := &access.Viewer{Account: 1, Role: access.Coach}, &access.Viewer{Account: 2, Role: access.Athlete, Athlete: 7}
	shared := access.Coaches.SharedAs("report")
	for name, c := range map[string]struct {
		viewer      *access.Viewer
		rule        access.Rule
		base        string
		goes        bool
		share, send bool
	}{
		"a coach": {coach, shared, base, true, true, shared.Boatmen}, "an athlete": {athlete, shared, base, true, false, false}, "no address": {coach, shared, "", false, false, false},
		"not shared": {coach, access.Coaches, base, false, false, false}, "no account": {&access.Viewer{}, shared, base, false, false, false},
		"staff": {coach, access.Staff.SharedAs("sheet"), base, true, true, access.Staff.SharedAs("sheet").Boatmen}, "an athlete with a sheet": {athlete, access.Staff.SharedAs("sheet"), base, true, false, false},
	} {
		got := s.carry(asked("", "/reports/3?x=1", c.base, c.viewer), c.rule, "Report")
		if (got != nil) != c.goes {
			t.Errorf("%s: %+v", name, got)
			continue
		}
		if got != nil && (got.Share != c.share || got.Send != c.send || got.Address != base+"/reports/3?x=1" || got.Path != "/reports/3?x=1") {
			t.Errorf("%s: %+v", name, got)
		}
	}
	if !access.Staff.SharedAs("sheet").Boatmen || shared.Boatmen {
		t.Error("boatmen see reports, or no sheets")
	}
}

// TestToolsAreOfferedToCoachesOnTheirPages.
func TestToolsAreOfferedToCoachesOnTheirPages(t *testing.T) {
	for _, c := range []struct {
		pattern string
		role    access.Role
		want    string
	}{
		{"GET /athletes/{id}", access.Coach, "/athletes/3/link"}, {"GET /athletes", access.Coach, "/people/invite"}, {"GET /athletes/{id}", access.Boatman, ""}, {"GET /athletes", access.Boatman, ""}, {"GET /boats", access.Coach, ""},
	} {
		got := ""
		for _, l := range (&Site{}).tools(asked(c.pattern, "/athletes/3", "", &access.Viewer{Account: 1, Role: c.role})) {
			got += l.Address
		}
		if got != c.want {
			t.Errorf("%s as %v: %q, want %q", c.pattern, c.role, got, c.want)
		}
	}
}

// TestOneMeasureOfTheBodyIsSome.
func TestOneMeasureOfTheBodyIsSome(t *testing.T) {
	for _, name := range []string{"stature_cm", "arm_span_cm", "sitting_height_cm", "mass_kg", ""} {
		typed := url.Values{}
		if name != "" {
			typed.Set(name, "80")
		}
		for range 8 { // in whatever order the fields are read
			body, some := typedBody(page.NewForm(typed))
			if some != (name != "") || (body.MassKg != nil) != (name == "mass_kg") || (body.StatureCm != nil) != (name == "stature_cm") {
				t.Errorf("%s: %v %+v", name, some, body)
			}
		}
	}
}

// TestTheScopesOfATokenAreSaid: one reads, two read and write.
func TestTheScopesOfATokenAreSaid(t *testing.T) {
	for want, scopes := range map[string][]access.Scope{"read": {access.Read}, "read and write": {access.Read, access.Write}} {
		if got := scopeWords(scopes); got != want {
			t.Errorf("%v: %s, want %s", scopes, got, want)
		}
	}
}

// TestAMeasuringLinkNamesItsSeat where the boat has several, and the boat alone where it is
// a single; no boat, no fields of a seat.
func TestAMeasuringLinkNamesItsSeat(t *testing.T) {
	for seats, want := range map[int]string{1: "Halcyon", 2: "Halcyon, seat 2", 8: "Halcyon, seat 2"} {
		b := &fleet.Boat{Seats: make([]fleet.BoatSeat, seats)}
		b.Name = "Halcyon"
		if p := measuringPage(page.NewForm(url.Values{}), &people.Link{Seat: 2}, b, false); p.Boat != want || len(p.Seat) == 0 {
			t.Errorf("%d seats: %s, %d fields, want %s", seats, p.Boat, len(p.Seat), want)
		}
	}
	if p := measuringPage(page.NewForm(url.Values{}), &people.Link{}, nil, false); p.Boat != "" || len(p.Seat) > 0 || len(p.Body) == 0 {
		t.Errorf("no boat: %+v", p)
	}
}
