package jobs

import (
	"context"
	"errors"
	"log/slog"
	"net/http"
	"sync/atomic"
	"testing"
	"time"

	"thole/api/access"
	"thole/api/wire"
)

// atOnce is how many jobs run together, accepted how many run or wait, kept how
// many are remembered.
const atOnce, accepted, kept = 2, 16, 64

// newService is a service that the end of the test closes.
func newService(t *testing.T) *Service {
	t.Helper()
	s := New(slog.New(slog.DiscardHandler))
	t.Cleanup(s.Close)
	return s
}

// work is a job that a test lets go on.
type work struct {
	goOn   chan struct{}
	result any
	err    error
}

func (w *work) run(ctx context.Context) (any, error) {
	Progress(ctx)(1, 2)
	select {
	case <-w.goOn:
		return w.result, w.err
	case <-ctx.Done():
		return w.result, w.err
	}
}

// started starts work, which may have ended already when it is told of.
func started(t *testing.T, s *Service, w func(context.Context) (any, error)) wire.Job {
	t.Helper()
	job, err := s.StartJob(t.Context(), w)
	if err != nil || job.ID == "" || job.State == "" {
		t.Fatalf("%+v: %v", job, err)
	}
	return job
}

// looked looks at a job until it is as wanted.
func looked(t *testing.T, s *Service, id string, wanted func(wire.Job) bool) wire.Job {
	t.Helper()
	for end := time.Now().Add(30 * time.Second); ; time.Sleep(time.Millisecond) {
		job, err := s.Job(t.Context(), JobRequest{ID: id})
		if err != nil {
			t.Fatal(err)
		}
		if wanted(job) {
			return job
		}
		if time.Now().After(end) {
			t.Fatalf("still %+v", job)
		}
	}
}

func ended(j wire.Job) bool { return j.State != "running" }

func TestAJobTellsHowFarItIsAndWhatCameOfIt(t *testing.T) {
	s, w := newService(t), &work{goOn: make(chan struct{}), result: 42}
	job := started(t, s, w.run)
	job = looked(t, s, job.ID, func(j wire.Job) bool { return j.Done > 0 })
	if job.Done != 1 || job.Total != 2 || job.State != "running" || job.Result != nil {
		t.Errorf("under way: %+v", job)
	}
	close(w.goOn)
	if job = looked(t, s, job.ID, ended); job.State != "done" || job.Result != 42 || job.Error != nil {
		t.Errorf("done: %+v", job)
	}
	again, err := s.CancelJob(t.Context(), JobRequest{ID: job.ID})
	if err != nil || again.State != "done" || again.Result != 42 {
		t.Errorf("cancelled when done: %+v, %v", again, err)
	}
}

func TestAJobThatFailsIsTold(t *testing.T) {
	s := newService(t)
	for status, w := range map[int]func(context.Context) (any, error){
		http.StatusUnprocessableEntity: func(context.Context) (any, error) { return 1, wire.At("name").Invalid("x") },
		http.StatusInternalServerError: func(context.Context) (any, error) { panic("a fault") },
	} {
		job := looked(t, s, started(t, s, w).ID, ended)
		if job.State != "failed" || job.Result != nil || job.Error == nil || job.Error.Status != status || (job.Error.Detail == "") != (status == 500) {
			t.Errorf("want %d: %+v, %+v", status, job, job.Error)
		}
	}
}

// TestACancelledJobKeepsWhatItHas, and one that has nothing says nothing.
func TestACancelledJobKeepsWhatItHas(t *testing.T) {
	s := newService(t)
	for _, w := range []*work{{result: "so far"}, {result: "half", err: errors.New("given up")}} {
		job, err := s.CancelJob(t.Context(), JobRequest{ID: started(t, s, w.run).ID})
		if err != nil || job.State != "cancelled" || job.Error != nil || (job.Result != nil) != (w.err == nil) {
			t.Errorf("%v: %+v, %v", w.err, job, err)
		}
	}
}

// TestCancellingDoesNotWaitForTheDeaf: work that does not listen is left behind.
func TestCancellingDoesNotWaitForTheDeaf(t *testing.T) {
	s, goOn := newService(t), make(chan struct{})
	id := started(t, s, func(context.Context) (any, error) { <-goOn; return "late", nil }).ID
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	job, err := s.CancelJob(ctx, JobRequest{ID: id})
	if err != nil || job.State != "cancelled" || job.Result != nil {
		t.Errorf("%+v, %v", job, err)
	}
	close(goOn)
	if job = looked(t, s, id, func(j wire.Job) bool { return j.Result != nil }); job.State != "cancelled" {
		t.Errorf("%+v", job)
	}
}

func TestJobsNobodyStarted(t *testing.T) {
	s := newService(t)
	_, err := s.Job(t.Context(), JobRequest{ID: "none"})
	_, gone := s.CancelJob(t.Context(), JobRequest{ID: "none"})
	if !errors.Is(err, wire.ErrNotFound) || !errors.Is(gone, wire.ErrNotFound) {
		t.Errorf("%v, %v", err, gone)
	}
}

// TestAsManyJobsAsTheMachineBears run at once, and some wait; another may when one
// has ended.
func TestAsManyJobsAsTheMachineBears(t *testing.T) {
	s := newService(t)
	first := &work{goOn: make(chan struct{})}
	id := started(t, s, first.run).ID
	looked(t, s, id, func(j wire.Job) bool { return j.Done > 0 })
	var begun atomic.Int64
	for range accepted - 1 {
		started(t, s, func(ctx context.Context) (any, error) { begun.Add(1); return (&work{}).run(ctx) })
	}
	if _, err := s.StartJob(t.Context(), (&work{}).run); !errors.Is(err, ErrBusy) || ErrBusy.Status != http.StatusServiceUnavailable {
		t.Fatalf("one too many: %v", err)
	}
	close(first.goOn)
	looked(t, s, id, ended)
	started(t, s, (&work{}).run)
	for end := time.Now().Add(10 * time.Second); begun.Load() < atOnce && time.Now().Before(end); {
		time.Sleep(time.Millisecond)
	}
	if begun.Load() != atOnce || s.Working() != accepted {
		t.Errorf("%d work, %d are accepted", begun.Load(), s.Working())
	}
}

func TestAwaitingAJob(t *testing.T) {
	s := newService(t)
	fault := errors.New("a fault of its own")
	result, job, err := s.Await(t.Context(), time.Minute, func(context.Context) (any, error) { return 7, nil })
	if result != 7 || job != nil || err != nil {
		t.Errorf("done: %v %v %v", result, job, err)
	}
	if _, _, err := s.Await(t.Context(), time.Minute, func(context.Context) (any, error) { return nil, fault }); err != fault {
		t.Errorf("failed: %v", err)
	}
	if len(s.queue.all) != 0 || len(s.queue.line) != 0 {
		t.Error("something is kept of what was answered")
	}
	slow := &work{goOn: make(chan struct{}), result: "late"}
	_, job, err = s.Await(t.Context(), time.Millisecond, slow.run)
	if job == nil || job.State != "running" || err != nil {
		t.Fatalf("slow: %v %v", job, err)
	}
	close(slow.goOn)
	if late := looked(t, s, job.ID, ended); late.Result != "late" {
		t.Errorf("%+v", late)
	}
	gone, leave := context.WithTimeout(t.Context(), time.Millisecond)
	defer leave()
	stopped := false
	_, _, err = s.Await(gone, time.Minute, func(ctx context.Context) (any, error) { <-ctx.Done(); stopped = true; return nil, ctx.Err() })
	if !stopped || !errors.Is(err, context.Canceled) || s.Working() != 0 {
		t.Errorf("who waited is gone: %v", err)
	}
}

// TestTheOldestEndedJobsAreForgotten, and none that runs.
func TestTheOldestEndedJobsAreForgotten(t *testing.T) {
	s, slow := newService(t), &work{goOn: make(chan struct{})}
	running := started(t, s, slow.run).ID
	var ids []string
	for i := range kept {
		id := started(t, s, func(context.Context) (any, error) { return i, nil }).ID
		looked(t, s, id, ended)
		ids = append(ids, id)
	}
	for i, id := range append([]string{running}, ids...) {
		_, err := s.Job(t.Context(), JobRequest{ID: id})
		if gone := errors.Is(err, wire.ErrNotFound); gone != (i == 1) {
			t.Errorf("job %d: %v", i, err)
		}
	}
	if n := len(s.queue.all); n != kept || len(s.queue.line) != kept {
		t.Errorf("%d kept and %d in line, want %d", n, len(s.queue.line), kept)
	}
}

func TestClosingEndsTheWork(t *testing.T) {
	s, w := New(slog.New(slog.DiscardHandler)), &work{result: "so far"}
	id := started(t, s, w.run).ID
	s.Close()
	if job, err := s.Job(t.Context(), JobRequest{ID: id}); err != nil || job.State == "running" {
		t.Errorf("%+v, %v", job, err)
	}
}

// TestAJobIsForWhoAskedForIt, and for coaches; it does what it does as who asked.
func TestAJobIsForWhoAskedForIt(t *testing.T) {
	s := newService(t)
	as := func(role access.Role, account int64, athlete int64) context.Context {
		return access.With(t.Context(), &access.Viewer{Role: role, Account: account, Athlete: athlete, Name: "anna"})
	}
	asked, end := context.WithCancel(as(access.Athlete, 3, 7))
	w := make(chan struct{})
	job, err := s.StartJob(asked, func(ctx context.Context) (any, error) { <-w; return access.From(ctx).Athlete, ctx.Err() })
	if err != nil || s.Asker(job.ID) != 3 || s.Asker("x") != 0 {
		t.Fatal(err, s.Asker(job.ID))
	}
	end() // the job goes on
	for _, other := range []context.Context{as(access.Athlete, 4, 8), as(access.Boatman, 5, 0), access.With(t.Context(), new(access.Viewer))} {
		if _, err := s.Job(other, JobRequest{ID: job.ID}); !errors.Is(err, wire.ErrNotFound) {
			t.Errorf("shown to %+v: %v", access.From(other), err)
		}
		if _, err := s.CancelJob(other, JobRequest{ID: job.ID}); !errors.Is(err, wire.ErrNotFound) {
			t.Errorf("cancelled by %+v: %v", access.From(other), err)
		}
	}
	close(w)
	looked(t, s, job.ID, ended)
	for _, own := range []context.Context{as(access.Athlete, 3, 7), as(access.Coach, 1, 0)} {
		if job, err := s.Job(own, JobRequest{ID: job.ID}); err != nil || job.State != "done" || job.Result != int64(7) {
			t.Errorf("%+v: %+v, %v", access.From(own), job, err)
		}
	}
	out, _, err := s.Await(as(access.Athlete, 3, 7), time.Minute, func(ctx context.Context) (any, error) { return access.From(ctx).Athlete, nil })
	if err != nil || out != int64(7) {
		t.Errorf("waited for: %v, %v", out, err)
	}
}

// TestAJobIsLookedAtWhileItGoesOnOrIsDone: one that failed, was cancelled or never was is
// not there for who asks again. Work knows whether it is a job.
func TestAJobIsLookedAtWhileItGoesOnOrIsDone(t *testing.T) {
	s, slow := newService(t), &work{goOn: make(chan struct{})}
	running := started(t, s, slow.run)
	done := started(t, s, func(ctx context.Context) (any, error) { return Inside(ctx), nil })
	failed := started(t, s, func(context.Context) (any, error) { return nil, errors.New("no") })
	for _, job := range []wire.Job{done, failed} {
		looked(t, s, job.ID, ended)
	}
	for name, c := range map[string]struct {
		id    string
		there bool
	}{"running": {running.ID, true}, "done": {done.ID, true}, "failed": {failed.ID, false}, "none": {"x", false}} {
		if job, there := s.Look(c.id); there != c.there || there && job.ID != c.id {
			t.Errorf("%s: %+v %v", name, job, there)
		}
	}
	if out := looked(t, s, done.ID, ended).Result; out != true || Inside(t.Context()) {
		t.Errorf("the job is told %v, what is none %v", out, Inside(t.Context()))
	}
}

// TestForgettingAJobLeavesTheLineOfTheOthers.
func TestForgettingAJobLeavesTheLineOfTheOthers(t *testing.T) {
	s := newService(t)
	var ids []string
	for athlete := range int64(3) {
		ctx := access.With(t.Context(), &access.Viewer{Role: access.Athlete, Account: athlete + 1, Athlete: athlete + 1})
		job, err := s.StartJob(ctx, func(context.Context) (any, error) { return 1, nil })
		if err != nil {
			t.Fatal(err)
		}
		ids = append(ids, job.ID)
	}
	s.Forget(2)
	if len(s.queue.line) != 2 || s.queue.line[0] != ids[0] || s.queue.line[1] != ids[2] || len(s.queue.all) != 2 {
		t.Errorf("%v of %v, %d kept", s.queue.line, ids, len(s.queue.all))
	}
}

// TestSixEndedJobsOfAnAthleteAreRemembered, the newest, and all those that go on.
func TestSixEndedJobsOfAnAthleteAreRemembered(t *testing.T) {
	s := newService(t)
	ctx := access.With(t.Context(), &access.Viewer{Role: access.Athlete, Account: 1, Athlete: 1})
	var ids []string
	for range maxKeptOfOne + 2 {
		job, err := s.StartJob(ctx, func(context.Context) (any, error) { return 1, nil })
		if err != nil {
			t.Fatal(err)
		}
		ids = append(ids, job.ID)
		looked(t, s, job.ID, ended)
	}
	for i, id := range ids {
		// One is forgotten when the next but six is started.
		if _, there := s.Look(id); there != (i > len(ids)-1-maxKeptOfOne-1) && there != (i > len(ids)-1-maxKeptOfOne) {
			t.Errorf("job %d of %d: %v", i, len(ids), there)
		}
	}
	if n := len(s.queue.all); n != maxKeptOfOne && n != maxKeptOfOne+1 {
		t.Errorf("%d are kept", n)
	}
}

// TestARemovedAthletesJobsGo, also one that works, and nobody else's.
func TestARemovedAthletesJobsGo(t *testing.T) {
	s := newService(t)
	as := func(athlete int64) context.Context {
		return access.With(t.Context(), &access.Viewer{Role: access.Athlete, Account: athlete, Athlete: athlete})
	}
	stopped := make(chan error, 1)
	work := func(ctx context.Context) (any, error) { <-ctx.Done(); stopped <- ctx.Err(); return nil, ctx.Err() }
	job, err := s.StartJob(as(7), work)
	if err != nil {
		t.Fatal(err)
	}
	other, err := s.StartJob(as(8), func(context.Context) (any, error) { return 8, nil })
	if err != nil {
		t.Fatal(err)
	}
	s.Forget(7)
	s.Forget(0)
	if err := <-stopped; !errors.Is(err, context.Canceled) {
		t.Errorf("it goes on: %v", err)
	}
	if _, err := s.Job(t.Context(), JobRequest{ID: job.ID}); !errors.Is(err, wire.ErrNotFound) {
		t.Errorf("still told of: %v", err)
	}
	if _, err := s.Job(as(8), JobRequest{ID: other.ID}); err != nil {
		t.Errorf("another's: %v", err)
	}
}

// TestAthletesHoldUpNoCoach: two jobs of one athlete, eight of all, and a few of each that
// are remembered.
func TestAthletesHoldUpNoCoach(t *testing.T) {
	s := newService(t)
	as := func(role access.Role, account int64) context.Context {
		v := &access.Viewer{Role: role, Account: account}
		if role == access.Athlete {
			v.Athlete = account
		}
		return access.With(t.Context(), v)
	}
	coachs := started(t, s, func(context.Context) (any, error) { return 1, nil })
	looked(t, s, coachs.ID, ended)
	for range kept + 6 {
		job, err := s.StartJob(as(access.Athlete, 1), func(context.Context) (any, error) { return 2, nil })
		if err != nil {
			t.Fatal(err)
		}
		looked(t, s, job.ID, ended)
	}
	if _, err := s.Job(t.Context(), JobRequest{ID: coachs.ID}); err != nil || len(s.queue.line) > 10 || len(s.queue.line) != len(s.queue.all) {
		t.Errorf("a coach's job is forgotten for an athlete's: %v, %d are kept", err, len(s.queue.line))
	}
	w := &work{goOn: make(chan struct{})}
	start := func(role access.Role, account int64) error {
		_, err := s.StartJob(as(role, account), w.run)
		return err
	}
	for account := range int64(4) {
		if err := errors.Join(start(access.Athlete, 1+account), start(access.Athlete, 1+account)); err != nil {
			t.Fatal(err)
		}
		if err := start(access.Athlete, 1+account); !errors.Is(err, ErrBusy) {
			t.Errorf("a third job of one athlete: %v", err)
		}
	}
	if err := start(access.Athlete, 9); !errors.Is(err, ErrBusy) {
		t.Errorf("a ninth job of athletes: %v", err)
	}
	for range accepted - 8 {
		if err := start(access.Coach, 10); err != nil {
			t.Errorf("a coach's: %v", err)
		}
	}
	if err := start(access.Coach, 10); !errors.Is(err, ErrBusy) {
		t.Errorf("one too many: %v", err)
	}
	close(w.goOn)
}
