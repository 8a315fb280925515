package keep_test

import (
	"context"
	"database/sql"
	"errors"
	"log/slog"
	"os"
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
		if n := strings.Count(log.String(), "backup failed"); n < 1 {
			t.Errorf("%d failures were logged:\n%s", n, log)
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
