package lineup

import (
	"context"
	"errors"
	"net/http"
	"time"

	"thole/api/jobs"
	"thole/api/lineup"
	"thole/api/wire"
	"thole/ui/page"
)

// How firm the line-ups are takes many searches. Where one is short, they come with the
// page; else they run as a job: started by a button, watched, and cancelled if it takes
// too long. Without JavaScript the page waits for fewer draws.

// Draws of the race powers with and without a script that watches the work; our judgement.
const (
	firmDraws = 500
	waitDraws = 150
	firmSeed  = 1
	waiting   = 20 * time.Second
)

// shortSearch is how many steps times candidates the search may take for its draws to come
// with the page, by our own judgement: those of an eight from a squad of twenty, whose 150
// draws take 0.1 s. Each draw looks at every candidate, so that those of a whole club of 500
// would take seconds.
const shortSearch = 150 * 20

// firmAtOnce draws the race powers while the page is made, where that takes no time.
func (s *site) firmAtOnce(ctx context.Context, p *lineupPage) error {
	if !p.drawsAtOnce() {
		return nil
	}
	request := p.request
	request.Seed, request.Count, request.Draws = firmSeed, 1, waitDraws
	firm, err := s.service.Lineup.FindLineups(ctx, request)
	if err == nil && firm.Firmness != nil {
		p.Firm = newFirmView(p, &firm)
	}
	return err
}

// drawsAtOnce reports whether the draws take no time.
func (p *lineupPage) drawsAtOnce() bool {
	return p.Answer != nil && p.Answer.Proven && !p.request.PatternFree && p.Answer.Nodes*len(p.request.Candidates) <= shortSearch
}

// jobView is work under way.
type jobView struct {
	Job   wire.Job
	Watch string // address to look at again
	Share float64
	Said  string // to those who do not see it
}

func (s *site) startFirmness(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return s.Broken(w)
	}
	p, err := s.newLineups(r.Context(), r.PostForm, page.Who(r))
	if err != nil {
		return err
	}
	p.request.Seed, p.request.Count = firmSeed, 1
	if r.Header.Get("HX-Request") == "" {
		return s.waitForFirmness(w, r, p)
	}
	if len(p.Problems) > 0 {
		w.Header().Set("HX-Retarget", "#problems")
		return s.Pages.Fragment(w, http.StatusUnprocessableEntity, "lineups", "lineups-problems", p)
	}
	p.request.Draws = firmDraws
	request := p.request
	job, err := s.service.Jobs.StartJob(r.Context(), func(ctx context.Context) (any, error) { return s.service.Lineup.FindLineups(ctx, request) })
	if errors.Is(err, jobs.ErrBusy) {
		// An answer, for the pages show none of status 500 and above.
		return s.Pages.Fragment(w, http.StatusOK, "lineups", "lineups-busy", p)
	}
	if err != nil {
		return err
	}
	return s.showJob(w, p, job, "Calculating. This takes a moment.")
}

// waitForFirmness answers the whole page with the firmness of fewer draws, or
// without any where even those take too long.
func (s *site) waitForFirmness(w http.ResponseWriter, r *http.Request, p *lineupPage) error {
	if len(p.Problems) > 0 {
		return s.Pages.Show(w, http.StatusUnprocessableEntity, "lineups", p)
	}
	p.request.Draws = waitDraws
	ctx, stop := context.WithTimeout(r.Context(), waiting)
	defer stop()
	firm, err := s.service.Lineup.FindLineups(ctx, p.request)
	if err != nil && ctx.Err() == nil {
		if err := p.refuse(err); err != nil {
			return err
		}
	}
	p.request.Draws = 0
	if err := s.solveLineups(r.Context(), p); err != nil {
		return err
	}
	switch {
	case p.Answer == nil:
	case err == nil && firm.Firmness != nil:
		p.Firm = newFirmView(p, &firm)
	default:
		p.Notes = append(p.Notes, "This took too long: set the sides, or make the squad smaller.")
	}
	return s.Pages.Show(w, p.status(), "lineups", p)
}

// answerJob shows how far the work on the chances has come, or what came of it.
func (s *site) answerJob(w http.ResponseWriter, r *http.Request, job wire.Job) error {
	p, err := s.newLineups(r.Context(), r.URL.Query(), page.Who(r))
	if err != nil {
		return err
	}
	said := map[string]string{"cancelled": "Cancelled.", "failed": "This did not work."}
	return s.showJob(w, p, job, said[job.State])
}

// showJob renders work under way, or its result once it is there, in full or as
// far as it came before it was stopped; what is said of it goes to those who do
// not see it.
func (s *site) showJob(w http.ResponseWriter, p *lineupPage, job wire.Job, said string) error {
	if answer, ok := job.Result.(lineup.LineupsAnswer); ok && answer.Firmness != nil && answer.Firmness.Draws > 0 {
		p.Firm = newFirmView(p, &answer)
		p.Firm.Stopped = job.State == "cancelled"
		return s.Pages.Fragment(w, http.StatusOK, "lineups", "lineups-firm-answer", p)
	}
	p.Job = &jobView{Job: job, Watch: "/line-ups/jobs/" + job.ID + "?" + keep(p.typed).Encode(), Said: said}
	if job.Total > 0 {
		p.Job.Share = float64(job.Done) / float64(job.Total)
	}
	return s.Pages.Fragment(w, http.StatusOK, "lineups", "lineups-job", p)
}
