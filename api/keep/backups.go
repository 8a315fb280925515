package keep

import (
	"context"
	"log/slog"
	"sync"
	"time"

	"thole/api/store"
)

// Schedule says where backups are made, how often, and how many stay.
type Schedule struct {
	Folder string
	Every  time.Duration
	Keep   int
}

// retry is how long after a failed backup the next is tried, by our own judgement.
const retry = time.Hour

// Backups makes backups by a schedule. Its methods are safe for concurrent use.
type Backups struct {
	Schedule

	mu     sync.Mutex
	failed error // of the last try; nil where it did not
}

// State is what can be told of the backups.
type State struct {
	Schedule
	Newest time.Time // zero where there is none
	Count  int
	Failed string // why the last try failed; "" where it did not
}

// State looks at the folder.
func (b *Backups) State() State {
	b.mu.Lock()
	defer b.mu.Unlock()
	s := State{Schedule: b.Schedule}
	copies, err := store.Backups(b.Folder)
	if err == nil {
		err = b.failed
	}
	if err != nil {
		s.Failed = err.Error()
	}
	if s.Count = len(copies); s.Count > 0 {
		s.Newest = copies[s.Count-1].At
	}
	return s
}

// wait is how long it is until the next backup. The newest tells when the last
// was made, also across starts; one that lies ahead was made by a clock that was
// set back, and counts as made now.
func (b *Backups) wait(now time.Time) time.Duration {
	s := b.State()
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.failed != nil {
		return min(b.Every, retry)
	}
	if s.Newest.IsZero() {
		return 0
	}
	return max(0, b.Every-max(0, now.Sub(s.Newest)))
}

// once makes a backup and keeps how it went.
func (b *Backups) once(ctx context.Context, source string, now time.Time, log *slog.Logger) {
	made, err := store.BackupInto(ctx, source, b.Folder, now, b.Keep)
	if ctx.Err() != nil {
		return
	}
	b.mu.Lock()
	b.failed = err
	b.mu.Unlock()
	if err != nil {
		log.Error("backup failed", "folder", b.Folder, "err", err, "again_in", min(retry, b.Every).String())
		return
	}
	log.Info("backup made and checked", "file", made.Path)
}

// wipeEvery is how often the file is looked at for something to be wiped, by our
// own judgement.
const wipeEvery = 10 * time.Minute

// Wipe wipes what was removed and may still be read in the file, at once and every
// few minutes, until ctx ends. A failure is logged and tried again.
func (s *Service) Wipe(ctx context.Context, log *slog.Logger) {
	for {
		if err := s.Store.WipeTraces(ctx); err != nil && ctx.Err() == nil {
			log.Warn("what was removed cannot be wiped from the file yet", "err", err, "again_in", wipeEvery.String())
		}
		select {
		case <-ctx.Done():
			return
		case <-time.After(wipeEvery):
		}
	}
}

// Traces tells since when something removed may still be read in the file; zero is
// nothing.
func (s *Service) Traces(ctx context.Context) (time.Time, error) {
	if s.Store == nil {
		return time.Time{}, nil
	}
	return s.Store.Traces(ctx)
}

// Run makes backups of a file until ctx ends.
func (b *Backups) Run(ctx context.Context, source string, now func() time.Time, log *slog.Logger) {
	for ctx.Err() == nil {
		select {
		case <-ctx.Done():
			return
		case <-time.After(b.wait(now())):
			b.once(ctx, source, now(), log)
		}
	}
}
