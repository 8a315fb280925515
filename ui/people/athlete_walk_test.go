package people_test

import (
	"testing"
	"time"

	"thole/api/access"
	"thole/api/club"
	"thole/api/people"
	"thole/api/storetest"
	"thole/ui/uitest"
)

// invited is the address of an invitation of an athlete.
func (s *server) invited(id int64, name string) string {
	s.t.Helper()
	ctx := access.With(s.t.Context(), &access.Viewer{Name: "Carla", Role: access.Coach})
	made, err := s.service.People.Invite(ctx, []people.Invitation{{AthleteID: id, Role: access.Athlete, Name: name}})
	if err != nil {
		s.t.Fatal(err)
	}
	return s.url + "/join/" + made[0].Secret
}

// athleteWalk goes from the invitation to one's own measures, to what one's rig does and
// asks of the body, and to what has changed since.
func athleteWalk(t *testing.T, w uitest.Walker, invitation string, known bool) {
	t.Helper()
	w.Open(invitation)
	w.Says("Make your account")
	w.Fill("name", "anna")
	w.Fill("password", secret)
	w.Press("Make account")
	w.Says("My progress")
	w.Press("Measure yourself…")
	w.Fill("stature_cm", "17")
	w.Press("Save measures")
	w.Says("17 cm cannot be right")
	w.Fill("stature_cm", "169")
	w.Fill("mass_kg", "59")
	w.Press("Save measures")
	w.Says("169 cm")
	w.Press("Check a seat")
	if known {
		w.Says("Wren")
	}
	w.Says("Does it suit your reach?", "Catch", "What to do next", "± ")
	if !known {
		w.Press("1x · 159 / 88 / 288…")
		w.Fill("span_cm", "158")
		w.Chosen("span_cm", "Calculate")
		w.Says("1x · 158 / 88 / 288", "Does it suit your reach?")
	}
	w.Press("What does a small move do?…")
	w.Home()
	w.Press("My progress…")
	if known {
		w.Says("Against " + time.Now().AddDate(0, 0, -34).Format("2 Jan 2006"))
		return
	}
	w.Says("yet")
}

// TestAnAthletesWalk by key at a phone and without a script, from the invitation on, in a
// club with nothing else on record and in the demo. One entry is
// refused on the way: that is told where it stands, and the page is as accessible as before.
func TestAnAthletesWalk(t *testing.T) {
	for _, known := range []bool{false, true} {
		for name, walker := range map[string]func(*testing.T, string) uitest.Walker{
			"by key":           func(t *testing.T, site string) uitest.Walker { return uitest.NewWalking(t, site, !known) },
			"without a script": func(t *testing.T, site string) uitest.Walker { return uitest.NewReader(t, site) },
		} {
			t.Run(map[bool]string{false: "from empty, ", true: "from the demo, "}[known]+name, func(t *testing.T) {
				s, id, called := newServer, int64(0), ""
				if !known {
					s = func(t *testing.T, secure bool) *server { return serverOver(t, storetest.Open(t), secure) }
				}
				site := s(t, false)
				if known {
					own := site.rowed()
					id, called = own.ID, own.Name
				} else {
					a, err := site.service.Club.AddAthlete(t.Context(), club.NewAthlete{AthleteFields: club.AthleteFields{Name: "Anna Lee", Sex: "female"}, By: "Carla"})
					if err != nil {
						t.Fatal(err)
					}
					id, called = a.ID, a.Name
				}
				w := walker(t, site.url)
				athleteWalk(t, w, site.invited(id, called), known)
				t.Log(w.Done())
			})
		}
	}
}
