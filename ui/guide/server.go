package guide

import (
	"fmt"
	"net/http"
	"time"

	"thole/ui/page"
)

// serverPage is for whoever runs the server: how its backups do, and what to do
// when.
type serverPage struct {
	Folder  string // "" where the server makes no backups
	Every   string
	Keep    int
	Newest  string // "" where there is none
	Late    bool   // the newest is older than two intervals
	Count   int
	Failed  string
	Zone    string
	Now     string
	Records string // path of the file
	Traces  string // since when removed records wait to be wiped; "" for none
}

func (s *site) server(w http.ResponseWriter, r *http.Request) error {
	now := s.service.Keep.Now()
	traces, err := s.service.Keep.Traces(r.Context())
	if err != nil {
		return err
	}
	p := serverPage{Zone: zoneOf(now), Now: page.When(now), Records: s.service.Keep.File()}
	if !traces.IsZero() {
		p.Traces = page.When(traces)
	}
	if b := s.service.Keep.Backups; b != nil {
		state := b.State()
		p.Folder, p.Keep, p.Count, p.Failed = state.Folder, state.Keep, state.Count, state.Failed
		p.Every = spoken(state.Every)
		if !state.Newest.IsZero() {
			p.Newest, p.Late = page.When(state.Newest.In(now.Location())), late(now.Sub(state.Newest), state.Every)
		}
	}
	return s.Pages.Show(w, http.StatusOK, "server", p)
}

// late reports whether the newest backup is so old that one or more were not made:
// one may still be under way.
func late(age, every time.Duration) bool { return age > 2*every }

// zoneOf names the time zone of a moment: that of the machine has no name but the
// letters of the season.
func zoneOf(t time.Time) string {
	if t.Location() == time.Local {
		letters, _ := t.Zone()
		return letters + ", the machine’s own time"
	}
	return t.Location().String()
}

// spoken is an interval in words.
func spoken(d time.Duration) string {
	switch {
	case d == 24*time.Hour:
		return "day"
	case d%(24*time.Hour) == 0:
		return fmt.Sprintf("%d days", d/(24*time.Hour))
	case d == time.Hour:
		return "hour"
	case d%time.Hour == 0:
		return fmt.Sprintf("%d hours", d/time.Hour)
	}
	return fmt.Sprintf("%.0f minutes", d.Minutes())
}
