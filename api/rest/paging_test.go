package rest

import (
	"context"
	"io"
	"log/slog"
	"strings"
	"testing"

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
