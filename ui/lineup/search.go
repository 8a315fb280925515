package lineup

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"time"

	"thole/api/jobs"
	"thole/api/lineup"
	"thole/api/wire"
	"thole/ui/page"
)

// A search that outlasts the page goes on as a job by itself: the page shows the
// best so far, how far the job has come, and where to see what came of it.

// longest is how long a job searches.
const longest = time.Minute

// searchView is a search that goes on.
type searchView struct {
	Address string // that starts it
	Auto    bool   // by itself
	Job     *wire.Job
	Note    lineup.SearchNote
	Watch   string
	Show    string // the page with what was found
}

// newSearchView is what a page shows of a search that was not ended. It goes on by
// itself unless a job has had its time.
func newSearchView(typed url.Values, two, auto bool) *searchView {
	q := keep(typed)
	v := &searchView{Auto: auto, Show: "/line-ups?" + q.Encode()}
	if two {
		v.Show = "/line-ups/two?" + q.Encode()
		q.Set("two", "yes")
	}
	v.Address = "/line-ups/search?" + q.Encode()
	return v
}

// work is the search that an address asks for; nil where it asks for none.
func (s *site) work(ctx context.Context, typed url.Values, who string) (func(context.Context) (any, error), error) {
	if typed.Get("two") != "" {
		p, err := s.newTwo(ctx, typed, who)
		if err != nil || len(p.Problems) > 0 {
			return nil, err
		}
		return func(ctx context.Context) (any, error) { return s.service.Lineup.FindTwoBoats(ctx, p.request) }, nil
	}
	p, err := s.newLineups(ctx, typed, who)
	if err != nil || len(p.Problems) > 0 {
		return nil, err
	}
	return func(ctx context.Context) (any, error) {
		return s.service.Lineup.FindCrews(ctx, p.crewsRequest(listedCrews, listedOrders))
	}, nil
}

// startSearch starts a search as a job. Without a script the page waits for it.
func (s *site) startSearch(w http.ResponseWriter, r *http.Request) error {
	typed := r.URL.Query()
	work, err := s.work(r.Context(), typed, page.Who(r))
	if err != nil {
		return err
	}
	v := newSearchView(typed, typed.Get("two") != "", false)
	if work == nil {
		http.Redirect(w, r, v.Show, http.StatusSeeOther)
		return nil
	}
	job, err := s.service.Jobs.StartJob(r.Context(), func(ctx context.Context) (any, error) {
		ctx, stop := context.WithTimeout(ctx, longest)
		defer stop()
		return work(ctx)
	})
	plain := r.Header.Get("HX-Request") == ""
	switch {
	case errors.Is(err, jobs.ErrBusy) && !plain:
		v.Auto = false
		return s.Pages.Fragment(w, http.StatusOK, "lineups", "lineups-search-busy", v)
	case err != nil && !errors.Is(err, jobs.ErrBusy):
		return err
	case plain:
		s.await(r.Context(), job.ID)
		http.Redirect(w, r, v.Show, http.StatusSeeOther)
		return nil
	}
	return s.showSearch(w, v, typed, job)
}

// await waits for a job as long as a page without a script does.
func (s *site) await(ctx context.Context, id string) {
	ctx, stop := context.WithTimeout(ctx, waiting)
	defer stop()
	tick := time.NewTicker(100 * time.Millisecond)
	defer tick.Stop()
	for {
		job, err := s.service.Jobs.Job(ctx, jobs.JobRequest{ID: id})
		if err != nil || job.State != "running" {
			return
		}
		select {
		case <-ctx.Done():
			_, _ = s.service.Jobs.CancelJob(context.WithoutCancel(ctx), jobs.JobRequest{ID: id}) // hands over what it has
			return
		case <-tick.C:
		}
	}
}

// withJob answers with a job: with how far it has come, or with what it had found by
// when it was cancelled, as ask has it.
func (s *site) withJob(ask func(context.Context, jobs.JobRequest) (wire.Job, error), answer func(http.ResponseWriter, *http.Request, wire.Job) error) page.Handler {
	return func(w http.ResponseWriter, r *http.Request) error {
		job, err := ask(r.Context(), jobs.JobRequest{ID: r.PathValue("id")})
		switch {
		case errors.Is(err, wire.ErrNotFound):
			return s.Missing(w, r)
		case err != nil:
			return err
		}
		return answer(w, r, job)
	}
}

// answerSearch shows how far a search has come.
func (s *site) answerSearch(w http.ResponseWriter, r *http.Request, job wire.Job) error {
	typed := r.URL.Query()
	v := newSearchView(typed, typed.Get("two") != "", false)
	if r.Header.Get("HX-Request") == "" {
		http.Redirect(w, r, v.Show, http.StatusSeeOther)
		return nil
	}
	return s.showSearch(w, v, typed, job)
}

func (s *site) showSearch(w http.ResponseWriter, v *searchView, typed url.Values, job wire.Job) error {
	v.Job, v.Watch = &job, "/line-ups/search/"+job.ID+"?"+keep(typed).Encode()
	v.Note, _ = job.SoFar.(lineup.SearchNote)
	return s.Pages.Fragment(w, http.StatusOK, "lineups", "lineups-search", v)
}

// Proven reports whether the search has ended with proof.
func (v *searchView) Proven() bool {
	switch a := v.Job.Result.(type) {
	case lineup.CrewsAnswer:
		return a.Proven
	case lineup.TwoBoatsAnswer:
		return a.Proven
	}
	return false
}
