package rest

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"strings"
	"testing"
	"thole/api/store"
	"thole/api/storetest"

	"github.com/labstack/echo/v4"

	"thole/api/access"
	"thole/api/once"
	"thole/api/wire"
)

type versions struct {
	Changes []wire.RecordChange `json:"changes"`
}

type since struct {
	After int64 `query:"after" json:"-"`
}

// TestChangesOfOneVersionStayOnOnePage: the next page begins after a version.
func TestChangesOfOneVersionStayOnOnePage(t *testing.T) {
	all := []int64{1, 2, 2, 2, 3}
	list := func(_ context.Context, r since) (versions, error) {
		v := versions{Changes: []wire.RecordChange{}}
		for _, n := range all {
			if n > r.After {
				v.Changes = append(v.Changes, wire.RecordChange{Version: n})
			}
		}
		return v, nil
	}
	e := echo.New()
	MountRoutes(e, []Route{Get("/api/v1/changes", "s", "d", list).Paged().For(access.Public)}, describedAs(`{}`), atOnceJobs{}, nil, once.New(nil), slog.New(slog.NewTextHandler(io.Discard, nil)))
	for _, c := range []struct {
		query string
		n     int
		link  string
	}{
		{"", 5, ""}, {"?limit=5", 5, ""}, {"?limit=1", 1, "after=1&limit=1"}, {"?limit=2", 4, "after=2&limit=2"}, {"?limit=4", 4, "after=2&limit=4"},
		{"?limit=2&after=1", 3, "after=2&limit=2"}, {"?after=2", 1, ""}, {"?after=3", 0, ""},
	} {
		status, body, header := exchange(e, "GET", "/api/v1/changes"+c.query, "")
		if got := header.Get("Link"); status != 200 || strings.Count(body, `"version"`) != c.n || c.link == "" != (got == "") || !strings.Contains(got, c.link) {
			t.Errorf("%s: %d, %d changes, %s", c.query, status, strings.Count(body, `"version"`), got)
		}
	}
}

// herd is a list of animals, by number.
type herd struct {
	Animals []joined `json:"animals"`
}

type everyAnimal struct{}

// herdServer lists animals in two ways: read whole each time, and from the records, which
// are read page by page. Keep leaves only some on the list; read is how many of them were
// read last.
func herdServer(t *testing.T) (e *echo.Echo, keep func(numbers ...int64), read *int) {
	club, read := newClubServer(t), new(int)
	for n := range 9 {
		storetest.AddNamed(t, club.store, fmt.Sprint("Animal ", n+1))
	}
	list := func(ctx context.Context) (herd, error) {
		athletes, err := club.store.Athletes(ctx, store.Filter{})
		*read = len(athletes)
		h := herd{Animals: []joined{}}
		for _, a := range athletes {
			h.Animals = append(h.Animals, joined{a.ID, a.Name})
		}
		return h, err
	}
	e = echo.New()
	none := func(context.Context, everyAnimal) (herd, error) { return herd{}, wire.ErrNotFound }
	MountRoutes(e, []Route{
		Get("/api/v1/none", "s", "d", none).Paged().For(access.Public),
		Get("/api/v1/whole", "s", "d", func(ctx context.Context, _ everyAnimal) (herd, error) { return list(ctx) }).Paged().For(access.Public),
		Get("/api/v1/parts", "s", "d", func(ctx context.Context, _ everyAnimal) (herd, error) { return list(store.Paged(ctx)) }).Paged().For(access.Public),
	}, describedAs(`{}`), atOnceJobs{}, nil, once.New(nil), slog.New(slog.DiscardHandler))
	keep = func(numbers ...int64) {
		in := strings.Trim(strings.Join(strings.Fields(fmt.Sprint(numbers)), ","), "[]")
		storetest.Run(t, storetest.Writer(club.store), "UPDATE athletes SET archived = id NOT IN ("+in+")")
	}
	return e, keep, read
}

// numbersIn are the numbers of the animals on a page, and the address of the next one.
func numbersIn(t *testing.T, e *echo.Echo, address string) (numbers, next string) {
	t.Helper()
	status, body, header := exchange(e, "GET", address, "")
	var h herd
	if err := json.Unmarshal([]byte(body), &h); err != nil || status != 200 {
		t.Fatalf("%s: %d %s", address, status, body)
	}
	for _, a := range h.Animals {
		numbers += fmt.Sprint(a.ID)
	}
	next, _, _ = strings.Cut(strings.TrimPrefix(header.Get("Link"), "<"), ">")
	return numbers, next
}

// TestPagesHoldTheListOnce: each page has as many as were asked for, the last one what is
// left and no address of another.
func TestPagesHoldTheListOnce(t *testing.T) {
	e, _, read := herdServer(t)
	for _, path := range []string{"/api/v1/whole", "/api/v1/parts"} {
		for query, want := range map[string]string{
			"": "123456789", "?limit=1000": "123456789", "?limit=10": "123456789", "?limit=9": "123456789", "?limit=8": "12345678 9",
			"?limit=3": "123 456 789", "?limit=4": "1234 5678 9", "?limit=1": "1 2 3 4 5 6 7 8 9",
		} {
			var pages []string
			for next := path + query; next != "" && len(pages) < 20; {
				var page string
				page, next = numbersIn(t, e, next)
				if most := len(page) + 2; path == "/api/v1/parts" && *read > most { // the one before, and the one after
					t.Errorf("%s%s: %d read for %d", path, query, *read, len(page))
				}
				pages = append(pages, page)
			}
			if got := strings.Join(pages, " "); got != want {
				t.Errorf("%s%s: %s, want %s", path, query, got, want)
			}
		}
	}
}

// TestAPageFollowsTheOneBeforeThoughTheListMoved: nothing that is still there is left out,
// and nothing comes twice, where others were removed between two pages.
func TestAPageFollowsTheOneBeforeThoughTheListMoved(t *testing.T) {
	e, keep, _ := herdServer(t)
	for _, path := range []string{"/api/v1/whole", "/api/v1/parts"} {
		for _, c := range []struct {
			name    string
			kept    []int64
			want    string
			further bool
		}{
			{"none", []int64{1, 2, 3, 4, 5, 6, 7, 8, 9}, "456", true},
			{"one before", []int64{1, 3, 4, 5, 6, 7, 8, 9}, "456", true},
			{"all before but the last", []int64{3, 4, 5, 6}, "456", false},
			{"the last of the page before", []int64{1, 2, 4, 5, 6, 7, 8}, "456", true}, // taken by its place
			{"all after", []int64{1, 2, 3}, "", false},
			{"all from there", []int64{1}, "", false},
		} {
			keep(1, 2, 3, 4, 5, 6, 7, 8, 9)
			_, next := numbersIn(t, e, path+"?limit=3")
			keep(c.kept...)
			if got, further := numbersIn(t, e, next); got != c.want || (further != "") != c.further {
				t.Errorf("%s, removed %s: %s, then %q", path, c.name, got, further)
			}
		}
	}
}

// TestPagesThatCannotBeAskedFor: a limit from 1 to 1000, and a mark that a page before gave.
func TestPagesThatCannotBeAskedFor(t *testing.T) {
	e, _, _ := herdServer(t)
	for _, query := range []string{"", "?limit=3", "?after=3-3"} {
		if status, _, _ := exchange(e, "GET", "/api/v1/none"+query, ""); status != 404 {
			t.Errorf("a list that there is not, %s: %d", query, status)
		}
	}
	for _, path := range []string{"/api/v1/whole", "/api/v1/parts"} {
		for _, query := range []string{"limit=0", "limit=-1", "limit=1001", "limit=x", "after=3", "after=-3", "after=3-", "after=0-3", "after=x-3"} {
			if status, body, _ := exchange(e, "GET", path+"?"+query, ""); status != 422 {
				t.Errorf("%s %s: %d %s", path, query, status, body)
			}
		}
		if numbers, _ := numbersIn(t, e, path+"?after=1-1"); numbers != "23456789" {
			t.Errorf("%s after the first: %s", path, numbers)
		}
	}
}

// rows has a list that the use case itself cuts: Next is what to ask for older ones with.
type rows struct {
	Rows []int `json:"rows"`
	Next int64 `json:"next"`
}

type rowsBefore struct {
	Limit  int   `query:"limit" json:"-"`
	Before int64 `query:"before" json:"-"`
}

// TestAListThatItsUseCaseCutsHasTheAddressOfOlderRows: none where there are none.
func TestAListThatItsUseCaseCutsHasTheAddressOfOlderRows(t *testing.T) {
	e := echo.New()
	list := func(_ context.Context, r rowsBefore) (rows, error) {
		if r.Limit == 13 {
			return rows{}, wire.ErrNotFound
		}
		return rows{Rows: []int{1, 2, 3}[:r.Limit], Next: r.Before}, nil
	}
	MountRoutes(e, []Route{Get("/api/v1/rows", "s", "d", list).Paged().For(access.Public)}, describedAs(`{}`), atOnceJobs{}, nil, once.New(nil), slog.New(slog.DiscardHandler))
	for query, want := range map[string]string{
		"limit=2&before=7": `200 </api/v1/rows?before=7&limit=2>; rel="next"`, "limit=2": "200 ", "limit=13&before=7": "404 ",
	} {
		status, _, header := exchange(e, "GET", "/api/v1/rows?"+query, "")
		if got := fmt.Sprint(status, " ", header.Get("Link")); got != want {
			t.Errorf("%s: %s, want %s", query, got, want)
		}
	}
}
