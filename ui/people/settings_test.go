package people_test

import (
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"thole/ui/uitest"
)

// inFeet is what somebody chooses who has feet, pounds and bow side.
var inFeet = url.Values{"body_lengths": {"ft_in"}, "rig_lengths": {"cm"}, "masses": {"lb"}, "sides": {"stroke_bow"}, "days": {"mdy"}, "decimals": {"point"}}

// massInPounds is the mass on an athlete's page.
var massInPounds = regexp.MustCompile(`data-m="said">[\d.,]+ lb<`)

// forClub are the same choices as the fields of the club's form.
func forClub(choices url.Values) url.Values {
	form := url.Values{}
	for name, values := range choices {
		form["club_"+name] = values
	}
	return form
}

// TestUnitsFollowTheAccount: what was chosen on one device holds on the next, and for
// nobody else; what a browser keeps from before an account was used in it does not count.
func TestUnitsFollowTheAccount(t *testing.T) {
	s := newServer(t, false)
	coach, boatman, _, own := s.club()
	at := fmt.Sprintf("/athletes/%d", own.ID)
	inPounds := func(b *reader) bool { return massInPounds.MatchString(b.get(at).Body) }
	if to := boatman.post("/settings", inFeet); to != "/settings?saved=own" {
		t.Errorf("led to %s", to)
	}
	for _, c := range boatman.client.Jar.Cookies(mustURL(t, s.url)) {
		if c.Name == "thole_usage" {
			t.Error("the choice of an account is kept in the browser, too")
		}
	}
	phone := s.reader()
	phone.post("/sign-in", url.Values{"name": {"Bert"}, "password": {secret}})
	if !inPounds(boatman) || !inPounds(phone) || inPounds(coach) {
		t.Errorf("pounds: where it was chosen %v, on another device %v, for somebody else %v", inPounds(boatman), inPounds(phone), inPounds(coach))
	}
	phone.post("/settings", url.Values{"as_club": {"true"}})
	if inPounds(boatman) || inPounds(phone) {
		t.Error("what was taken back still counts")
	}
	if p := coach.send(http.MethodGet, at, nil, "Cookie", "thole_usage=ft_in.in.lb"); massInPounds.MatchString(p.Body) {
		t.Error("what a browser keeps counts for somebody with an account")
	}
}

func mustURL(t *testing.T, text string) *url.URL {
	t.Helper()
	u, err := url.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return u
}

// TestTheClubChoosesForWhoeverChoseNothing: accounts without a choice, read-only links
// and measuring links; who chose keeps it, and only a coach chooses for the club.
func TestTheClubChoosesForWhoeverChoseNothing(t *testing.T) {
	s := newServer(t, false)
	coach, boatman, athlete, own := s.club()
	at := fmt.Sprintf("/athletes/%d", own.ID)
	metric := url.Values{"body_lengths": {"cm"}, "rig_lengths": {"cm"}, "masses": {"kg"}, "sides": {"port_starboard"}, "days": {"dmy"}, "decimals": {"point"}}
	athlete.post("/settings", metric)
	if p := boatman.send(http.MethodPost, "/settings/club", forClub(inFeet)); p.Status != http.StatusForbidden {
		t.Errorf("a boatman chooses for the club: %d", p.Status)
	}
	if strings.Contains(boatman.get("/settings").Body, "/settings/club") {
		t.Error("a boatman is offered to choose for the club")
	}
	page := coach.made("/links", url.Values{"address": {"/setup?boat=9"}, "name": {"Set-up"}, "days": {"30"}})[0]
	measuring := coach.made(at+"/link", url.Values{})[0]
	before := s.reader().get(page).Body
	if to := coach.post("/settings/club", forClub(inFeet)); to != "/settings?saved=club" {
		t.Errorf("led to %s", to)
	}
	for who, b := range map[string]*reader{"the boatman": boatman, "the coach": coach} {
		if !massInPounds.MatchString(b.get(at).Body) {
			t.Errorf("%s chose nothing, and does not have the club's choice", who)
		}
	}
	if massInPounds.MatchString(athlete.get(at).Body) {
		t.Error("the athlete's own choice does not count any more")
	}
	stranger := s.reader()
	uitest.WantIn(t, "a measuring link", stranger.get(measuring).Body, "was:stature_cm", ">lb<")
	if shown := stranger.get(page); shown.Status != http.StatusOK || shown.Body == before {
		t.Errorf("a read-only link: %d, and nothing has changed", shown.Status)
	}
}
