package keep_test

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"thole/api"
	"thole/api/keep"
	"thole/api/store"
	"thole/api/storetest"
)

var demoClub = storetest.Filled(func(s *store.Store) error {
	return api.NewService(s, api.InZone(time.UTC)).Demo.FillDemo(context.Background())
})

func TestEveryRecordOfTheDemoClubIsRead(t *testing.T) {
	service := api.NewService(storetest.Copy(t, demoClub), api.InZone(time.UTC))
	counts, bad, err := service.Keep.Check(t.Context())
	if err != nil || len(bad) > 0 {
		t.Fatal(bad, err)
	}
	found := map[string]int{}
	for _, c := range counts {
		found[c.Kind] = c.Records
	}
	for kind, least := range map[string]int{"athlete": 10, "boat": 3, "set of oars": 1, "recording": 2} {
		if found[kind] < least {
			t.Errorf("%d of %s", found[kind], kind)
		}
	}
	if len(found) != 7 {
		t.Errorf("%v", found)
	}
}

// TestRecordsThatCannotBeReadAreNamed writes into the file what no version of the
// program would.
func TestRecordsThatCannotBeReadAreNamed(t *testing.T) {
	records := storetest.Copy(t, demoClub)
	db, err := sql.Open("sqlite3", records.Path())
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	for _, query := range []string{
		"UPDATE boats SET class_code = '9x' WHERE id = 1",
		"UPDATE recording_series SET samples = x'0000000000000000' WHERE recording_id = 1 AND name = 'angle_deg'",
	} {
		if _, err := db.Exec(query); err != nil {
			t.Fatal(err)
		}
	}
	_, bad, err := api.NewService(records, api.InZone(time.UTC)).Keep.Check(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, u := range bad {
		got = append(got, u.Kind)
		if u.ID != 1 || u.Err == nil {
			t.Errorf("%+v", u)
		}
	}
	if !slices.Equal(got, []string{"boat", "recording"}) {
		t.Errorf("%+v", bad)
	}
}

// said collects what was logged.
type said struct{ strings.Builder }

func TestBackupsAreMadeWhenTheyAreDue(t *testing.T) {
	records := storetest.Open(t)
	folder := t.TempDir()
	synctest.Test(t, func(t *testing.T) {
		ctx, cancel := context.WithCancel(t.Context())
		log := &said{}
		b := &keep.Backups{Schedule: keep.Schedule{Folder: folder, Every: 24 * time.Hour, Keep: 3}}
		if state := b.State(); state.Count != 0 || !state.Newest.IsZero() || state.Failed != "" {
			t.Errorf("before: %+v", state)
		}
		done := make(chan struct{})
		start := time.Now()
		go func() { b.Run(ctx, records.Path(), time.Now, slog.New(slog.NewTextHandler(log, nil))); close(done) }()
		time.Sleep(5*24*time.Hour + time.Hour)
		if state := b.State(); state.Count != 3 || state.Failed != "" || !state.Newest.Equal(start.AddDate(0, 0, 5).UTC().Truncate(time.Second)) {
			t.Errorf("after five days: %+v, begun %v", state, start)
		}
		if err := os.Rename(folder, folder+"x"); err != nil {
			t.Fatal(err)
		}
		time.Sleep(24 * time.Hour)
		if state := b.State(); state.Failed == "" {
			t.Errorf("without a folder: %+v", state)
		}
		if err := os.Rename(folder+"x", folder); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Hour + time.Minute)
		if state := b.State(); state.Failed != "" || time.Since(state.Newest) > 2*time.Hour {
			t.Errorf("an hour after the failure: %+v at %v", state, time.Now())
		}
		cancel()
		<-done
		made, failed := strings.Count(log.String(), "backup made"), strings.Count(log.String(), "backup failed")
		if made != 7 || failed < 1 || failed > 2 { // one at the start and one a day, that of the sixth day late
			t.Errorf("%d and %d failures were logged:\n%s", made, failed, log)
		}
	})
}

// TestAStartMakesNoBackupThatIsNotDue also sets the clock back.
func TestAStartMakesNoBackupThatIsNotDue(t *testing.T) {
	records := storetest.Open(t)
	folder := t.TempDir()
	for _, ahead := range []time.Duration{-3 * time.Hour, 90 * 24 * time.Hour} {
		synctest.Test(t, func(t *testing.T) {
			there := filepath.Join(folder, "thole-"+time.Now().Add(ahead).UTC().Format("20060102T150405Z")+".db")
			if err := os.WriteFile(there, nil, 0o600); err != nil {
				t.Fatal(err)
			}
			ctx, cancel := context.WithTimeout(t.Context(), 20*time.Hour)
			defer cancel()
			b := &keep.Backups{Schedule: keep.Schedule{Folder: folder, Every: 24 * time.Hour, Keep: 3}}
			b.Run(ctx, records.Path(), time.Now, slog.New(slog.DiscardHandler))
			if state := b.State(); state.Count != 1 || state.Failed != "" {
				t.Errorf("%v: %+v", ahead, state)
			}
			if err := errors.Join(ctx.Err(), os.Remove(there)); !errors.Is(err, context.DeadlineExceeded) {
				t.Error(err)
			}
		})
	}
}

// TestABackupIsDueADayAfterTheNewest, whoever made that: of three hours ago, in 21 hours.
func TestABackupIsDueADayAfterTheNewest(t *testing.T) {
	records, folder := storetest.Open(t), t.TempDir()
	synctest.Test(t, func(t *testing.T) {
		there := filepath.Join(folder, "thole-"+time.Now().Add(-3*time.Hour).UTC().Format("20060102T150405Z")+".db")
		storetest.Check(t, os.WriteFile(there, nil, 0o600))
		ctx, cancel := context.WithTimeout(t.Context(), 21*time.Hour+time.Minute)
		defer cancel()
		b := &keep.Backups{Schedule: keep.Schedule{Folder: folder, Every: 24 * time.Hour, Keep: 3}}
		b.Run(ctx, records.Path(), time.Now, slog.New(slog.DiscardHandler))
		if state := b.State(); state.Count != 2 || time.Since(state.Newest) != time.Minute {
			t.Errorf("%+v at %v", state, time.Now())
		}
	})
}

// TestWhyTheLastBackupFailedIsTold though the folder can be read.
func TestWhyTheLastBackupFailedIsTold(t *testing.T) {
	folder := t.TempDir()
	synctest.Test(t, func(t *testing.T) {
		ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
		defer cancel()
		b := &keep.Backups{Schedule: keep.Schedule{Folder: folder, Every: 24 * time.Hour, Keep: 3}}
		b.Run(ctx, filepath.Join(folder, "none.db"), time.Now, slog.New(slog.DiscardHandler))
		if state := b.State(); state.Count != 0 || !state.Newest.IsZero() || state.Failed == "" {
			t.Errorf("%+v", state)
		}
	})
}

// TestWipingThatFailsIsLogged, and nothing where it does not or is ended.
func TestWipingThatFailsIsLogged(t *testing.T) {
	s := storetest.Open(t)
	service := api.NewService(s, api.InZone(time.UTC))
	wipe := func(ended bool) string {
		ctx, cancel := context.WithTimeout(t.Context(), 20*time.Millisecond)
		defer cancel()
		if ended {
			cancel()
		}
		log := &said{}
		service.Keep.Wipe(ctx, slog.New(slog.NewTextHandler(log, nil)))
		return log.String()
	}
	if log := wipe(false); log != "" {
		t.Errorf("wiped well: %s", log)
	}
	storetest.Check(t, s.Close())
	if log := wipe(false); strings.Count(log, "cannot be wiped") != 1 {
		t.Errorf("that cannot be opened: %q", log)
	}
	if log := wipe(true); log != "" {
		t.Errorf("ended: %s", log)
	}
}

// TestWithoutRecordsNothingIsKept: no file, and no traces in it.
func TestWithoutRecordsNothingIsKept(t *testing.T) {
	service := api.NewService(nil, api.InZone(time.UTC))
	if at, err := service.Keep.Traces(t.Context()); service.Keep.File() != "" || !at.IsZero() || err != nil {
		t.Errorf("%q %v %v", service.Keep.File(), at, err)
	}
	s := storetest.Open(t)
	service = api.NewService(s, api.InZone(time.UTC))
	if at, err := service.Keep.Traces(t.Context()); service.Keep.File() != s.Path() || !at.IsZero() || err != nil {
		t.Errorf("%q %v %v", service.Keep.File(), at, err)
	}
}

// TestAnAthleteIsReadWithTheErgometer: one whose tests cannot be read is named.
func TestAnAthleteIsReadWithTheErgometer(t *testing.T) {
	s := storetest.Open(t)
	id := storetest.AddNamed(t, s, "Edda")
	storetest.Run(t, storetest.Writer(s), "ALTER TABLE erg_tests RENAME TO gone")
	_, bad, err := api.NewService(s, api.InZone(time.UTC)).Keep.Check(t.Context())
	if err != nil || len(bad) != 1 || bad[0].Kind != "athlete" || bad[0].ID != id {
		t.Errorf("%+v %v", bad, err)
	}
}

// TestWhatAKilledServerLeftIsCleared: files of processes that run stay.
func TestWhatAKilledServerLeftIsCleared(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	ended := exec.Command(os.Args[0], "-test.run", "^$")
	if err := ended.Run(); err != nil {
		t.Fatal(err)
	}
	for name, stays := range map[string]bool{
		fmt.Sprintf("thole-strokes-%d-123/upload", os.Getpid()): true, fmt.Sprintf("thole-strokes-%d-123/upload", ended.Process.Pid): false,
		"thole-strokes-123456789/upload": false, fmt.Sprintf("thole-strokes-%d", os.Getpid()): false, "thole-samples-x-1": false, fmt.Sprintf("thole-samples-%d-9", ended.Process.Pid): false, "other-1/upload": true,
	} {
		path := filepath.Join(os.TempDir(), name)
		if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o700), os.WriteFile(path, []byte("x"), 0o600)); err != nil {
			t.Fatal(err)
		}
		if err := keep.ClearTemporary(); err != nil {
			t.Fatal(err)
		}
		if _, err := os.Stat(path); (err == nil) != stays {
			t.Errorf("%s: %v", name, err)
		}
	}
}
