// Package jobs does big work while requests are answered: it starts, lists, watches
// and cancels jobs, bounds how many there are, and keeps what they returned until it
// was fetched. What the work is its callers say.
package jobs

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"runtime/debug"
	"slices"
	"sync"
	"time"

	"thole/api/access"
	"thole/api/rest"
	"thole/api/store"
	"thole/api/wire"
)

// queue runs big work beside the requests that asked for it and keeps what came
// of it for a while, in memory only.
type queue struct {
	mu   sync.Mutex
	all  map[string]*job
	line []string // ids, oldest first
	stop context.Context
	end  context.CancelFunc
	busy sync.WaitGroup
	log  *slog.Logger
	room chan struct{} // who works, the others wait
}

type job struct {
	wire.Job
	account int64 // that asked for it
	athlete int64 // whose account it is; 0 for none
	cancel  context.CancelFunc
	ended   chan struct{} // closed when the work has ended
	result  any           // as the work returned it, with err
	err     error
}

// The limits of the jobs, by our judgement: for a club on a machine of two cores.
const (
	maxAtOnce  = 2  // that work together
	maxRunning = 16 // that work or wait
	maxKept    = 64

	// Those of athletes are lower, so that they hold up no coach.
	maxOfAthlete  = 2 // of one that work or wait
	maxOfAthletes = 8 // of all of them
	maxKeptOfOne  = 6 // of one that are remembered
)

// full reports whether no more work of who asks is taken.
func (j *queue) full(v *access.Viewer) bool {
	own, athletes := 0, 0
	for _, w := range j.all {
		if w.State == "running" && w.athlete != 0 {
			athletes++
			if w.account == v.Account {
				own++
			}
		}
	}
	return j.running() >= maxRunning || v.Role == access.Athlete && (own >= maxOfAthlete || athletes >= maxOfAthletes)
}

func newQueue(log *slog.Logger) *queue {
	stop, end := context.WithCancel(context.Background())
	return &queue{all: map[string]*job{}, stop: stop, end: end, log: log, room: make(chan struct{}, maxAtOnce)}
}

// ErrBusy says that as much big work as the machine should take is under way.
var ErrBusy = &wire.Refusal{Status: http.StatusServiceUnavailable, Text: "too much big work under way: try again when some of it is done"}

// progressKey carries the job's progress report in a context.
type progressKey struct{}

// Progress returns the function to which big work reports how far it has come; it
// does nothing outside a job.
func Progress(ctx context.Context) func(done, total int64) {
	if report, ok := ctx.Value(progressKey{}).(func(done, total int64)); ok {
		return report
	}
	return func(int64, int64) {}
}

// WithProgress returns a context whose work tells report how far it has come.
func WithProgress(ctx context.Context, report func(done, total int64)) context.Context {
	return context.WithValue(ctx, progressKey{}, report)
}

// noteKey carries the job's notes in a context.
type noteKey struct{}

// Note returns the function to which big work tells what it has found so far, to be
// shown with the job while it runs; it does nothing outside a job. What is told
// must not change afterwards.
func Note(ctx context.Context) func(found any) {
	if note, ok := ctx.Value(noteKey{}).(func(any)); ok {
		return note
	}
	return func(any) {}
}

// Inside reports whether work runs as a job.
func Inside(ctx context.Context) bool { return ctx.Value(noteKey{}) != nil }

// forWhomAsked returns the context of a job with who asked for it, who signs what it
// writes: what they may not do, their job may not either.
func forWhomAsked(job, asked context.Context) context.Context {
	v := access.From(asked)
	if v.SignedIn() {
		job = store.SignedBy(job, v.Name)
	}
	return access.With(job, v)
}

// start runs work as a job for who asks in asked, as soon as there is room. The job
// does not end with asked.
func (j *queue) start(asked context.Context, work func(context.Context) (any, error)) (*job, error) {
	j.mu.Lock()
	defer j.mu.Unlock()
	if j.full(access.From(asked)) {
		return nil, ErrBusy
	}
	ctx, cancel := context.WithCancel(j.stop)
	ctx = forWhomAsked(ctx, asked)
	w := &job{Job: wire.Job{ID: rand.Text(), State: "running"}, account: access.From(asked).Account, athlete: access.From(asked).Athlete, cancel: cancel, ended: make(chan struct{})}
	j.all[w.ID] = w
	j.line = append(j.line, w.ID)
	if w.athlete != 0 {
		j.forgetOf(w.account)
	}
	j.forget()
	ctx = WithProgress(ctx, func(done, total int64) {
		j.mu.Lock()
		defer j.mu.Unlock()
		w.Done, w.Total = done, total
	})
	ctx = context.WithValue(ctx, noteKey{}, func(found any) {
		j.mu.Lock()
		defer j.mu.Unlock()
		w.SoFar = found
	})
	j.busy.Go(func() {
		result, err := j.run(ctx, work)
		j.report(w.ID, err)
		j.finish(w, result, err)
	})
	return w, nil
}

// panicked is the error of work that panicked.
type panicked struct {
	fault any
	stack []byte
}

func (e *panicked) Error() string { return fmt.Sprint("the work panicked: ", e.fault) }

// run waits for room and works. It turns a panic of the work into an error, since
// no request stands above it that would.
func (j *queue) run(ctx context.Context, work func(context.Context) (any, error)) (result any, err error) {
	select {
	case j.room <- struct{}{}: // also for work that was cancelled meanwhile: it may tell what it has
	default:
		select {
		case j.room <- struct{}{}:
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
	defer func() { <-j.room }()
	defer func() {
		if fault := recover(); fault != nil {
			err = &panicked{fault, debug.Stack()}
		}
	}()
	return work(ctx)
}

// report logs what is a fault of the program: the job answers it without
// detail.
func (j *queue) report(id string, err error) {
	var crash *panicked
	switch {
	case err == nil:
	case errors.As(err, &crash):
		j.log.Error("job panicked", "job", id, "fault", crash.fault, "stack", string(crash.stack))
	case rest.Explain(err).Status == http.StatusInternalServerError:
		j.log.Error("job failed", "job", id, "err", err)
	}
}

func (j *queue) running() int {
	n := 0
	for _, w := range j.all {
		if w.State == "running" {
			n++
		}
	}
	return n
}

// forget removes the oldest jobs that have ended.
func (j *queue) forget() {
	for i := 0; len(j.line) > maxKept && i < len(j.line); {
		id := j.line[i]
		if j.all[id].State == "running" {
			i++
			continue
		}
		delete(j.all, id)
		j.line = slices.Delete(j.line, i, i+1)
	}
}

// Forget stops the jobs that an athlete asked for, and forgets what came of them.
func (s *Service) Forget(athlete int64) {
	j := s.queue
	j.mu.Lock()
	defer j.mu.Unlock()
	for id, w := range j.all {
		if athlete != 0 && w.athlete == athlete {
			w.cancel()
			delete(j.all, id)
			j.line = slices.DeleteFunc(j.line, func(other string) bool { return other == id })
		}
	}
}

// forgetOf removes the oldest jobs of an account that have ended, all but the newest few.
func (j *queue) forgetOf(account int64) {
	n := 0
	for i := len(j.line) - 1; i >= 0; i-- {
		w := j.all[j.line[i]]
		if w.account != account {
			continue
		}
		if n++; n > maxKeptOfOne && w.State != "running" {
			delete(j.all, w.ID)
			j.line = slices.Delete(j.line, i, i+1)
		}
	}
}

// drop forgets a job that has ended.
func (j *queue) drop(id string) {
	j.mu.Lock()
	defer j.mu.Unlock()
	delete(j.all, id)
	j.line = slices.DeleteFunc(j.line, func(other string) bool { return other == id })
}

// finish notes what came of a job. A job that was cancelled stays so; what its
// work answered all the same is kept.
func (j *queue) finish(w *job, result any, err error) {
	j.mu.Lock()
	defer j.mu.Unlock()
	w.cancel()
	defer close(w.ended)
	w.result, w.err = result, err
	switch {
	case w.State == "cancelled":
		if err == nil {
			w.Result = result
		}
	case err != nil:
		p := rest.Explain(err)
		w.State, w.Error = "failed", &p
	default:
		w.State, w.Result = "done", result
	}
}

// get returns a job of who asks in ctx; ErrNotFound when they have none.
func (j *queue) get(ctx context.Context, id string) (wire.Job, error) {
	j.mu.Lock()
	defer j.mu.Unlock()
	w, err := j.find(ctx, id)
	if err != nil {
		return wire.Job{}, err
	}
	return w.Job, nil
}

// find is get for who holds the lock.
func (j *queue) find(ctx context.Context, id string) (*job, error) {
	w, ok := j.all[id]
	if !ok || !access.From(ctx).Sent(w.account) {
		return nil, wire.ErrNotFound
	}
	return w, nil
}

// patience is how long a cancelled job may take to hand over what it has; our
// judgement, since somebody waits.
const patience = 2 * time.Second

// abandon cancels a job that runs and answers its state, with what has come of
// the work where it ends in good time.
func (j *queue) abandon(ctx context.Context, id string) (wire.Job, error) {
	j.mu.Lock()
	w, err := j.find(ctx, id)
	if err == nil && w.State == "running" {
		w.State = "cancelled"
		w.cancel()
	}
	j.mu.Unlock()
	if err != nil {
		return wire.Job{}, err
	}
	ctx, end := context.WithTimeout(ctx, patience)
	defer end()
	select {
	case <-w.ended:
	case <-ctx.Done():
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	return w.Job, nil
}

// close cancels every job and waits for them to end.
func (j *queue) close() {
	j.end()
	j.busy.Wait()
}

// JobRequest names a job.
type JobRequest struct {
	ID string `path:"id" json:"-" validate:"max=200"`
}

// Job returns the state of a job. The error is ErrNotFound, also for one that somebody
// else asked for, unless a coach looks.
func (s *Service) Job(ctx context.Context, r JobRequest) (wire.Job, error) {
	return s.queue.get(ctx, r.ID)
}

// Asker is the account that asked for a job; 0 for none.
func (s *Service) Asker(id string) int64 {
	s.queue.mu.Lock()
	defer s.queue.mu.Unlock()
	if w, ok := s.queue.all[id]; ok {
		return w.account
	}
	return 0
}

// Look returns a job that goes on or is done, and false for one that failed, was
// cancelled or is not there any more. It does not ask whose job it is: who knows it by
// a key of their own has started it.
func (s *Service) Look(id string) (wire.Job, bool) {
	s.queue.mu.Lock()
	defer s.queue.mu.Unlock()
	w, there := s.queue.all[id]
	if !there || w.State != "running" && w.State != "done" {
		return wire.Job{}, false
	}
	return w.Job, true
}

// CancelJob stops a job. The error is ErrNotFound.
func (s *Service) CancelJob(ctx context.Context, r JobRequest) (wire.Job, error) {
	return s.queue.abandon(ctx, r.ID)
}

// StartJob runs work as a job for who asks in asked, with what they may do. The work
// should report its progress through the context it is given and stop when that ends;
// it does not end with asked. The error is ErrBusy.
func (s *Service) StartJob(asked context.Context, work func(context.Context) (any, error)) (wire.Job, error) {
	w, err := s.queue.start(asked, work)
	if err != nil {
		return wire.Job{}, err
	}
	return s.queue.get(asked, w.ID)
}

// Await runs work as a job and returns what came of it. Where it has not ended
// after some time the job is returned, which goes on; where ctx ends before, so
// does the job. Nothing is kept of a job that was waited for. The error is that of
// the work or of ctx, or ErrBusy.
func (s *Service) Await(ctx context.Context, some time.Duration, work func(context.Context) (any, error)) (any, *wire.Job, error) {
	w, err := s.queue.start(ctx, work)
	if err != nil {
		return nil, nil, err
	}
	late := time.NewTimer(some)
	defer late.Stop()
	select {
	case <-w.ended:
	case <-late.C:
		job, err := s.queue.get(ctx, w.ID)
		return nil, &job, err
	case <-ctx.Done():
		w.cancel()
		<-w.ended
	}
	s.queue.drop(w.ID)
	return w.result, nil, w.err
}

// Working returns how many jobs have not ended.
func (s *Service) Working() int {
	s.queue.mu.Lock()
	defer s.queue.mu.Unlock()
	return s.queue.running()
}
