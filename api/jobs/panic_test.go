package jobs_test

import (
	"bytes"
	"context"
	"errors"
	"log/slog"
	"net/http"
	"strings"
	"testing"
	"time"

	"thole/api/jobs"
	"thole/api/wire"
)

// ended runs work as a job and returns the job once it has ended, with what was
// logged meanwhile.
func ended(t *testing.T, work func(context.Context) (any, error)) (wire.Job, string) {
	t.Helper()
	var log bytes.Buffer
	s := jobs.New(slog.New(slog.NewTextHandler(&log, nil)))
	job, err := s.StartJob(t.Context(), work)
	if err != nil {
		t.Fatal(err)
	}
	for job.State == "running" {
		time.Sleep(time.Millisecond)
		if job, err = s.Job(t.Context(), jobs.JobRequest{ID: job.ID}); err != nil {
			t.Fatal(err)
		}
	}
	s.Close() // the log is written
	return job, log.String()
}

func tornAsunder() { panic("a rope broke") }

func TestAPanicFailsTheJobAndIsLoggedWithItsStack(t *testing.T) {
	job, log := ended(t, func(context.Context) (any, error) { tornAsunder(); return 7, nil })
	if job.State != "failed" || job.Error == nil || job.Error.Status != http.StatusInternalServerError || job.Result != nil {
		t.Errorf("the job is %+v", job)
	}
	if strings.Contains(job.Error.Detail, "rope") {
		t.Errorf("the fault is told to the asker: %q", job.Error.Detail)
	}
	for _, want := range []string{"level=ERROR", "a rope broke", "tornAsunder", job.ID} {
		if !strings.Contains(log, want) {
			t.Errorf("the log lacks %q: %s", want, log)
		}
	}
}

func TestAFaultOfOursIsLoggedAndARefusalIsNot(t *testing.T) {
	job, log := ended(t, func(context.Context) (any, error) { return nil, errors.New("no such table") })
	if job.State != "failed" || !strings.Contains(log, "no such table") {
		t.Errorf("the job is %+v, the log %q", job, log)
	}
	job, log = ended(t, func(context.Context) (any, error) { return nil, wire.At("seats").Invalid("Say which seats to keep.") })
	if job.State != "failed" || job.Error.Status != http.StatusUnprocessableEntity || log != "" {
		t.Errorf("the job is %+v, the log %q", job, log)
	}
	job, log = ended(t, func(context.Context) (any, error) { return 7, nil })
	if job.State != "done" || job.Result != 7 || log != "" {
		t.Errorf("the job is %+v, the log %q", job, log)
	}
}
