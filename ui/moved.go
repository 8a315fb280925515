package ui

import (
	"net/http"
	"net/url"
	"strings"
)

// movedPages lists the former addresses of pages and records, with those that took their
// place.
var movedPages = map[string]string{
	"/orders": "/line-ups", "/trials": "/seat-races", "/strokes": "/recordings", "/api/v1/trials": "/api/v1/seat-races",
}

// movedNames are the former names of values in those addresses.
var movedNames = map[string]string{"trial": "race", "trial_id": "seat_race_id", "beside": "compare"}

// addMoved leads from every former address on to the present one. The status
// 308 keeps the method too: a phone may still hold times that it sends to the
// address of the page they were typed on.
func addMoved(mux *http.ServeMux) {
	for from, to := range movedPages {
		move := func(w http.ResponseWriter, r *http.Request) {
			address := url.URL{Path: to + strings.TrimPrefix(r.URL.Path, from), RawQuery: movedQuery(r.URL.RawQuery)}
			http.Redirect(w, r, address.String(), http.StatusPermanentRedirect)
		}
		mux.HandleFunc(from, move)
		mux.HandleFunc(from+"/", move)
	}
}

// movedQuery gives the values of a former query their present names; everything
// else stays as it stands.
func movedQuery(raw string) string {
	parts := strings.Split(raw, "&")
	for i, part := range parts {
		name, value, valued := strings.Cut(part, "=")
		if now, moved := movedNames[name]; moved && valued {
			parts[i] = now + "=" + value
		}
	}
	return strings.Join(parts, "&")
}
