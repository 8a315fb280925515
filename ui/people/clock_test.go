package people_test

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"
)

// jumps are how far the clocks of these tests go back.
var jumps = map[string]time.Duration{"an hour": time.Hour, "two days": 48 * time.Hour}

// TestNoLinkLivesAgainWhenTheClockGoesBack lets an invitation end, and asks for it and
// for the list of links after the clock went back.
func TestNoLinkLivesAgainWhenTheClockGoesBack(t *testing.T) {
	for name, jump := range jumps {
		t.Run(name, func(t *testing.T) {
			s := newTimedServer(t)
			coach := s.coach()
			old := coach.made("/people/invite", url.Values{"name": {"Bert"}, "role": {"boatman"}})[0]
			*s.now = s.now.Add(14*24*time.Hour - time.Minute)
			coach = s.signedIn("Carla", secret)
			*s.now = s.now.Add(2 * time.Minute)
			coach.get("/people") // the only thing that tells the time
			*s.now = s.now.Add(-jump)
			for range 2 {
				if p := s.reader().get(old); p.Status != http.StatusGone {
					t.Errorf("the old link: %d", p.Status)
				}
				if p := coach.get("/links"); !strings.Contains(p.Body, "expired") {
					t.Error("the list of links does not say that it has expired")
				}
				fresh := coach.made("/people/invite", url.Values{"name": {"Cleo"}, "role": {"boatman"}})[0]
				if p := s.reader().get(fresh); p.Status != http.StatusOK {
					t.Errorf("a new link: %d", p.Status)
				}
			}
		})
	}
}

func (s *server) signedIn(name, password string) *reader {
	s.t.Helper()
	b := s.reader()
	if to := b.post("/sign-in", url.Values{"name": {name}, "password": {password}}); to != "/" {
		s.t.Fatalf("signed in, and led to %s", to)
	}
	return b
}

// TestPasswordsAreReplacedWhateverTheClockSays: a session that began while the clock
// was ahead ends with its password, and who signs in with a new one after the clock
// went back is in; so is a program.
func TestPasswordsAreReplacedWhateverTheClockSays(t *testing.T) {
	for name, jump := range jumps {
		t.Run(name, func(t *testing.T) {
			const another = "another long one"
			s := newTimedServer(t)
			s.coach()
			coach := s.reader()
			coach.post("/sign-in", url.Values{"name": {"Carla"}, "password": {secret}, "long": {"true"}})
			*s.now = s.now.Add(jump)
			ahead := s.signedIn("Carla", secret)
			*s.now = s.now.Add(-jump)
			coach.post("/account/password", url.Values{"present": {secret}, "password": {another}})
			if p := coach.get("/people"); p.Status != http.StatusOK {
				t.Errorf("who changed the password: %d", p.Status)
			}
			if p := ahead.get("/people"); p.Status != http.StatusSeeOther {
				t.Errorf("a session from before: %d", p.Status)
			}
			token := regexp.MustCompile(`<code>([\w-]{43})</code>`).FindStringSubmatch(coach.send(http.MethodPost, "/account/tokens", url.Values{"name": {"logger"}}).Body)
			*s.now = s.now.Add(-jump)
			if p := s.signedIn("Carla", another).get("/people"); p.Status != http.StatusOK {
				t.Errorf("with the new password, earlier by the clock: %d", p.Status)
			}
			if len(token) != 2 {
				t.Fatal("no token on the page")
			}
			if p := s.reader().send(http.MethodGet, "/api/v1/me", nil, "Authorization", "Bearer "+token[1]); p.Status != http.StatusOK {
				t.Errorf("a token made after the password, earlier by the clock: %d", p.Status)
			}
		})
	}
}

// TestASessionOfAFastClockLastsNoLonger signs in a year ahead, for long.
func TestASessionOfAFastClockLastsNoLonger(t *testing.T) {
	s := newTimedServer(t)
	s.coach()
	*s.now = s.now.Add(365 * 24 * time.Hour)
	b := s.reader()
	b.post("/sign-in", url.Values{"name": {"Carla"}, "password": {secret}, "long": {"true"}})
	*s.now = s.now.Add(-365 * 24 * time.Hour)
	for day := range 31 {
		want := http.StatusOK
		if day == 30 {
			want = http.StatusSeeOther
		}
		if p := b.get("/people"); p.Status != want {
			t.Fatalf("after %d days: %d", day, p.Status)
		}
		*s.now = s.now.Add(24 * time.Hour)
	}
}
