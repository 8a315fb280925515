package apitest

import (
	"errors"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/labstack/echo/v4"

	"thole/api"
	"thole/api/club"
	"thole/api/squadfile"
	"thole/api/store"
)

// ClubServer is a server over records of its own.
type ClubServer struct {
	*echo.Echo
	Service *api.Service
	records *store.Store
}

func ServedClub(t testing.TB) ClubServer {
	t.Helper()
	s, records := RaceRecords(t)
	e := echo.New()
	api.Mount(e, s, slog.New(slog.DiscardHandler))
	return ClubServer{e, s, records}
}

// Send posts a form, or gets a path without parts.
func (c ClubServer) Send(path string, parts ...Part) *httptest.ResponseRecorder {
	r := httptest.NewRequest(http.MethodGet, path, nil)
	if parts != nil {
		r = MultipartRequest(path, parts...)
	}
	w := httptest.NewRecorder()
	c.ServeHTTP(w, r)
	return w
}

// Imported returns what an import has done that must be answered.
func (c ClubServer) Imported(t Reporter, parts ...Part) squadfile.SquadImport {
	t.Helper()
	w := c.Send(ImportPath, parts...)
	if w.Code != http.StatusOK {
		t.Fatalf("%d %.800s", w.Code, w.Body)
	}
	return Decoded[squadfile.SquadImport](t, w.Body.Bytes())
}

// holdings is everything on record that a table can touch.
type holdings struct {
	Athletes []store.Athlete
	Measures [][]store.Measures
	Changes  [][]store.Change
	Tests    []store.ErgTest
}

func (c ClubServer) Holdings(t testing.TB) (h holdings) {
	t.Helper()
	var errs [2]error
	h.Athletes, errs[0] = c.records.Athletes(t.Context(), store.Filter{Archived: true})
	h.Tests, errs[1] = c.records.ErgTestsSince(t.Context(), "0001-01-01")
	for _, a := range h.Athletes {
		measures, err1 := c.records.MeasuresOf(t.Context(), a.ID)
		changes, err2 := c.records.Changes(t.Context(), store.AthleteRecord, a.ID, 0)
		h.Measures, h.Changes = append(h.Measures, measures), append(h.Changes, changes)
		errs[0] = errors.Join(errs[0], err1, err2)
	}
	if err := errors.Join(errs[:]...); err != nil {
		t.Fatal(err)
	}
	return h
}

// unprintable reports which signs no note can hold that came in by a table.
func unprintable(r rune) bool {
	return unicode.IsControl(r) && r != '\n' && r != '\t' || unicode.Is(unicode.Noncharacter_Code_Point, r) || r == utf8.RuneError
}

// Join puts an athlete on record, unless the name is none or taken.
func (c ClubServer) Join(t testing.TB, m store.SquadMember) {
	t.Helper()
	a, err := c.Service.Club.AddAthlete(t.Context(), club.NewAthlete{AthleteFields: club.AthleteFields{Name: m.Athlete.Name, BirthDate: m.Athlete.BirthDate}, By: "Ines"})
	if err != nil {
		return
	}
	m.Athlete.ID, m.Athlete.Version = a.ID, a.Version
	for i := range m.Tests {
		if strings.ContainsFunc(m.Tests[i].Note, unprintable) {
			m.Tests[i].Note = ""
		}
	}
	if _, err := c.records.SaveSquad(t.Context(), []store.SquadMember{m}, time.Now().Format(time.DateOnly), store.By{Name: "Ines"}); err != nil {
		t.Fatal(err)
	}
}
