package main

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"
)

// personal are marks of what the log must not hold: a name, a mass, what was said of
// somebody, a password, and where somebody is.
var personal = []string{"Zephyrine", "zephyrine", "77.123", "77,123", "sore knee", "row the boat", "203.0.113.77", "198.51.100.7"}

// TestTheLogHoldsNothingPersonal sends marked values in paths, queries, bodies, headers
// and cookies, well and badly, to a server that logs all it can, also while its records
// do not answer.
func TestTheLogHoldsNothingPersonal(t *testing.T) {
	var log strings.Builder
	set := &settings{db: t.TempDir() + "/club.db", zone: time.UTC}
	set.way.accounts = true
	h, err := open(t.Context(), set, newLog(streams{err: &log}, true, true))
	if err != nil {
		t.Fatal(err)
	}
	link, _, err := h.service.People.FirstLink(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	var cookies []*http.Cookie
	sent := 0
	send := func(method, path, contentType, body string) int {
		r := httptest.NewRequest(method, "http://localhost"+path, strings.NewReader(body))
		r.RemoteAddr = "127.0.0.1:7"
		r.Header.Set("Content-Type", contentType)
		r.Header.Set("X-Forwarded-For", "203.0.113.77")
		r.Header.Set("User-Agent", "Zephyrine's phone")
		for _, c := range cookies {
			r.AddCookie(c)
		}
		w := httptest.NewRecorder()
		h.handler.ServeHTTP(w, r)
		if len(cookies) == 0 {
			cookies = w.Result().Cookies()
		}
		sent++
		return w.Code
	}
	form, doc := "application/x-www-form-urlencoded", "application/json"
	all := func() (seen map[int]int) {
		seen = map[int]int{}
		for _, c := range [][4]string{
			{"POST", "/athletes", form, "family_name=Zephyrine&mass_kg=77.123&note=sore+knee"},
			{"POST", "/api/v1/athletes", doc, `{"name":"Zephyrine Byrne","note":"sore knee"}`},
			{"POST", "/api/v1/athletes", doc, `{"name":"Zephyrine Byrne","mass_kg":77.123`},
			{"PUT", "/api/v1/athletes/1", doc, `{"name":"Zephyrine","mass_kg":77.123}`},
			{"POST", "/api/v1/athletes/1/measures", doc, `{"measured_on":"2026-02-30","mass_kg":77.123}`},
			{"GET", "/athletes?name=Zephyrine", "", ""}, {"GET", "/api/v1/athletes?name=Zephyrine", "", ""}, {"GET", "/setup?boat=1&s1=Zephyrine+Byrne", "", ""},
			{"GET", "/seat?mass_kg=77.123", "", ""}, {"GET", "/athletes/Zephyrine", "", ""}, {"GET", "/Zephyrine/77.123", "", ""},
			{"GET", "/api/v1/mappings/zephyrine", "", ""}, {"DELETE", "/api/v1/mappings/Zephyrine", "", ""}, {"GET", "/see/Zephyrine", "", ""},
			{"POST", "/sign-in", form, "name=Zephyrine&password=row+the+boat+gently"}, {"POST", "/squads", form, "name=Zephyrine"},
			{"POST", "/squad/import", "multipart/form-data; boundary=x", "--x\r\nContent-Disposition: form-data; name=\"file\"; filename=\"Zephyrine.csv\"\r\n\r\nname,mass\nZephyrine,77.123\n--x--\r\n"},
		} {
			seen[send(c[0], c[1], c[2], c[3])]++
		}
		return seen
	}
	send("POST", "/join/"+link.Secret, form, "name=Carla&password=row+the+boat+gently")
	well := all()
	if err := h.store.Close(); err != nil {
		t.Fatal(err)
	}
	badly := all()
	if well[http.StatusCreated] == 0 || well[http.StatusNotFound] == 0 || len(badly) == 0 {
		t.Errorf("well %v, badly %v", well, badly)
	}
	lines := strings.Split(strings.TrimSpace(log.String()), "\n")
	if len(lines) < sent {
		t.Errorf("%d lines of %d requests", len(lines), sent)
	}
	for _, line := range lines {
		var one map[string]any
		if err := json.Unmarshal([]byte(line), &one); err != nil {
			t.Errorf("%q: %v", line, err)
		}
		for _, mark := range append(personal, link.Secret, url.QueryEscape("Zephyrine Byrne")) {
			if strings.Contains(line, mark) {
				t.Errorf("%s is in the log: %s", mark, line)
			}
		}
	}
}

// TestAddressesOfPeopleStayOutOfTheServersOwnLog: what net/http tells of connections
// names where they come from.
func TestAddressesOfPeopleStayOutOfTheServersOwnLog(t *testing.T) {
	var log strings.Builder
	server := newServer(http.NotFoundHandler(), newLog(streams{err: &log}, true, true))
	server.ErrorLog.Printf("http: TLS handshake error from %s: EOF", "198.51.100.7:61000")
	server.ErrorLog.Printf("http: TLS handshake error from %s: remote error", "[2001:db8::77]:61000")
	if said := log.String(); strings.Contains(said, "198.51") || strings.Contains(said, "2001:db8") || strings.Count(said, "TLS handshake error from …: ") != 2 {
		t.Error(said)
	}
}
