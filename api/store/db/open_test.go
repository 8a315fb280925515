package db_test

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"thole/api/store"
	"thole/api/store/db"
	"thole/api/store/migrations"
	"thole/api/storetest"

	"github.com/mattn/go-sqlite3"
)

func TestOpenMakesAFileOnlyTheOwnerCanRead(t *testing.T) {
	s := storetest.At(t, filepath.Join(t.TempDir(), "club.db"))
	for _, name := range []string{s.Path(), s.Path() + "-wal", s.Path() + "-shm"} {
		info, err := os.Stat(name)
		storetest.Check(t, err)
		if mode := info.Mode().Perm(); mode != 0o600 {
			t.Errorf("%s has mode %o", filepath.Base(name), mode)
		}
	}
}

func TestOpenTakesAnyPath(t *testing.T) {
	for _, name := range []string{"with blank.db", "what?mode=memory&x=%20#1.db", "Bücher.db"} {
		s := storetest.At(t, filepath.Join(t.TempDir(), name))
		if _, err := os.Stat(s.Path()); err != nil {
			t.Error(err)
		}
	}
}

func TestCloseTakesInTheLog(t *testing.T) {
	s := storetest.New(t)
	storetest.AddNamed(t, s, "Edda")
	storetest.Check(t, s.Close())
	if _, err := os.Stat(s.Path() + "-wal"); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("the log is still there: %v", err)
	}
}

// Each connection of a pool has to have the settings, not only the first.
func TestEveryConnectionHasItsSettings(t *testing.T) {
	s, err := store.Open(storetest.Ctx, filepath.Join(t.TempDir(), "club.db"))
	storetest.Check(t, err)
	defer s.Close()
	wantPragmas(t, storetest.Writer(s), 1, map[string]string{
		"journal_mode": "wal", "synchronous": "2", "foreign_keys": "1", "secure_delete": "1", "busy_timeout": "5000", "application_id": "1414025036",
	})
	wantPragmas(t, storetest.Readers(s), db.ReaderCount, map[string]string{"query_only": "1", "busy_timeout": "5000"})
}

func wantPragmas(t *testing.T, db *sql.DB, connections int, want map[string]string) {
	t.Helper()
	for range connections {
		conn, err := db.Conn(storetest.Ctx)
		storetest.Check(t, err)
		defer conn.Close()
		for name, value := range want {
			var got string
			storetest.Check(t, conn.QueryRowContext(storetest.Ctx, "PRAGMA "+name).Scan(&got))
			if got != value {
				t.Errorf("%s is %s, want %s", name, got, value)
			}
		}
	}
}

func TestReadersCannotWrite(t *testing.T) {
	s := storetest.New(t)
	_, err := storetest.Readers(s).Exec("DELETE FROM athletes")
	storetest.WantError(t, db.Explain(err), store.ErrReadOnly)
}

// A crash can stop the making of a database at any step, and older versions
// stop where they end.
func TestOpenGoesOnFromEveryStep(t *testing.T) {
	steps := len(storetest.Must(fs.Glob(migrations.Files, "*.sql")))
	for step := 1; step < steps; step++ {
		path := filepath.Join(t.TempDir(), "club.db")
		storetest.UpTo(t, path, int64(step))
		storetest.AddFour(t, storetest.At(t, path))
	}
}

func TestOpenGoesOnFromAnEmptyFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "club.db")
	storetest.Check(t, os.WriteFile(path, nil, 0o600))
	storetest.AddNamed(t, storetest.At(t, path), "Edda")
}

// ageBy marks a closed database as if later steps had been taken.
func ageBy(t *testing.T, db *sql.DB) {
	t.Helper()
	_, err := db.Exec("INSERT INTO goose_db_version (version_id, is_applied) VALUES (9000, 1)")
	storetest.Check(t, err)
}

func TestANewerDatabaseIsRefusedUntouched(t *testing.T) {
	s := storetest.New(t)
	storetest.AddNamed(t, s, "Edda")
	storetest.Check(t, s.Close())
	ageBy(t, storetest.Raw(t, s.Path()))
	before := storetest.Must(os.ReadFile(s.Path()))
	_, err := store.Open(storetest.Ctx, s.Path())
	storetest.WantError(t, err, store.ErrNewer)
	if !bytes.Equal(before, storetest.Must(os.ReadFile(s.Path()))) {
		t.Error("the file was changed")
	}
}

// A newer version that crashed has left its step in the log only.
func TestANewerDatabaseIsKnownByItsLog(t *testing.T) {
	s := storetest.New(t)
	ageBy(t, storetest.Writer(s))
	crashed := filepath.Join(t.TempDir(), "club.db")
	for _, suffix := range []string{"", "-wal"} {
		storetest.Check(t, os.WriteFile(crashed+suffix, storetest.Must(os.ReadFile(s.Path()+suffix)), 0o600))
	}
	log := storetest.Must(os.ReadFile(crashed + "-wal"))
	_, err := store.Open(storetest.Ctx, crashed)
	storetest.WantError(t, err, store.ErrNewer)
	if !bytes.Equal(log, storetest.Must(os.ReadFile(crashed+"-wal"))) {
		t.Error("the log was changed")
	}
}

func TestAFileThatIsNoDatabaseIsRefusedUntouched(t *testing.T) {
	path := filepath.Join(t.TempDir(), "notes.txt")
	text := bytes.Repeat([]byte("seat 3 wants a higher gate\n"), 400)
	storetest.Check(t, os.WriteFile(path, text, 0o600))
	_, err := store.Open(storetest.Ctx, path)
	storetest.WantError(t, err, store.ErrNotDatabase)
	if !bytes.Equal(text, storetest.Must(os.ReadFile(path))) {
		t.Error("the file was changed")
	}
}

func TestADatabaseOfAnotherProgramIsRefusedUntouched(t *testing.T) {
	path := filepath.Join(t.TempDir(), "other.db")
	_, err := storetest.Raw(t, path).Exec("CREATE TABLE athletes (id INTEGER PRIMARY KEY)")
	storetest.Check(t, err)
	before := storetest.Must(os.ReadFile(path))
	_, err = store.Open(storetest.Ctx, path)
	storetest.WantError(t, err, store.ErrForeign)
	if !bytes.Equal(before, storetest.Must(os.ReadFile(path))) {
		t.Error("the file was changed")
	}
}

func TestAFolderThatIsMissingIsNamed(t *testing.T) {
	_, err := store.Open(storetest.Ctx, filepath.Join(t.TempDir(), "missing", "club.db"))
	storetest.WantError(t, err, fs.ErrNotExist)
}

func TestAFileThatCannotBeWrittenIsReadOnly(t *testing.T) {
	s := storetest.New(t)
	_, err := storetest.Writer(s).Exec("PRAGMA query_only = on") // makes SQLite answer as for such a file
	storetest.Check(t, err)
	_, err = s.AddAthlete(storetest.Ctx, store.Athlete{Name: "Edda"}, storetest.Anna)
	storetest.WantError(t, err, store.ErrReadOnly)
	storetest.WantError(t, db.Claim(storetest.Ctx, s.File), store.ErrReadOnly)
}

func TestAFullDiskLosesNothing(t *testing.T) {
	s := storetest.New(t)
	four := storetest.AddFour(t, s)
	limitPages(t, s, "(SELECT page_count FROM pragma_page_count)")
	_, err := storetest.AddRecording(storetest.Ctx, s, store.Recording{RecordedOn: "2026-03-01", Thresholds: "{}", Samples: store.Samples{TimeS: make([]float64, 1e5)}})
	storetest.WantError(t, err, store.ErrFull)
	if b, err := s.Boat(storetest.Ctx, four); err != nil || len(b.Seats) != 4 {
		t.Errorf("the boat cannot be read: %v", err)
	}
	storetest.WantEqual(t, storetest.Must(s.Recordings(storetest.Ctx, store.RecordingFilter{})), []store.Recording{})
	limitPages(t, s, "1000000")
	storetest.AddNamed(t, s, "Edda")
	storetest.Check(t, db.Verify(storetest.Ctx, s.Path()))
}

// limitPages lets the writer's file grow to a number of pages, as a small disk
// would.
func limitPages(t *testing.T, s *store.Store, pages string) {
	t.Helper()
	var n int
	storetest.Check(t, storetest.Writer(s).QueryRow("SELECT "+pages).Scan(&n))
	_, err := storetest.Writer(s).Exec("PRAGMA max_page_count = " + fmt.Sprint(n))
	storetest.Check(t, err)
}

// The codes are those of https://www.sqlite.org/rescode.html.
func TestErrorsOfTheFileAreTold(t *testing.T) {
	for code, want := range map[sqlite3.ErrNo]error{8: store.ErrReadOnly, 13: store.ErrFull, 5: store.ErrBusy, 6: store.ErrBusy, 11: store.ErrDamaged, 26: store.ErrNotDatabase, 19: store.ErrInvalid} {
		storetest.WantError(t, db.Explain(sqlite3.Error{Code: code}), want)
	}
	for _, code := range []syscall.Errno{syscall.ENOSPC, syscall.EDQUOT, syscall.EFBIG} {
		storetest.WantError(t, db.Explain(sqlite3.Error{Code: sqlite3.ErrIoErr, SystemErrno: code}), store.ErrFull)
	}
	for code, want := range map[syscall.Errno]error{syscall.EACCES: store.ErrReadOnly, syscall.EPERM: store.ErrReadOnly, syscall.EROFS: store.ErrReadOnly, syscall.ENOSPC: store.ErrFull} {
		storetest.WantError(t, db.Explain(&fs.PathError{Op: "open", Path: "club.db", Err: code}), want)
	}
	if err := db.Explain(sqlite3.Error{Code: sqlite3.ErrIoErr}); errors.Is(err, store.ErrFull) {
		t.Error("every failure of the disk is told as a full one")
	}
	if once := db.Explain(sqlite3.Error{Code: sqlite3.ErrFull}); db.Explain(once) != once {
		t.Error("an error is explained twice")
	}
}

func TestAnotherProgramsLockIsBusy(t *testing.T) {
	s := storetest.New(t)
	_, err := storetest.Writer(s).Exec("PRAGMA busy_timeout = 1")
	storetest.Check(t, err)
	other := db.ForWriting(s.Path())
	defer other.Close()
	held, err := other.Begin()
	storetest.Check(t, err)
	defer held.Rollback()
	_, err = s.AddAthlete(storetest.Ctx, store.Athlete{Name: "Edda"}, storetest.Anna)
	storetest.WantError(t, err, store.ErrBusy)
}

func TestPingTellsAClosedStore(t *testing.T) {
	s := storetest.New(t)
	storetest.Check(t, s.Ping(storetest.Ctx))
	storetest.Check(t, s.Close())
	if s.Ping(storetest.Ctx) == nil {
		t.Error("a closed store answers")
	}
}

func TestACancelledWriteLeavesNothing(t *testing.T) {
	s := storetest.New(t)
	cancelled, cancel := context.WithCancel(storetest.Ctx)
	_, err := db.Write(cancelled, s.File, func(t *db.Tx) (int64, error) {
		id, err := t.Create((&store.Athlete{Name: "Edda"}).Record(), storetest.Anna)
		cancel()
		return id, err
	})
	storetest.WantError(t, err, context.Canceled)
	// The same where the transaction has been rolled back before it is used.
	cancelled, cancel = context.WithCancel(storetest.Ctx)
	_, err = db.Write(cancelled, s.File, func(t *db.Tx) (int64, error) {
		cancel()
		for !errors.Is(t.Rollback(), sql.ErrTxDone) {
		}
		return 0, t.Exec("SELECT 1")
	})
	storetest.WantError(t, err, context.Canceled)
	storetest.WantEqual(t, storetest.Must(s.Athletes(storetest.Ctx, store.Filter{})), []store.Athlete{})
}

func TestAPanicLeavesNothingAndLocksNothing(t *testing.T) {
	s := storetest.New(t)
	func() {
		defer func() { _ = recover() }()
		db.Write(storetest.Ctx, s.File, func(t *db.Tx) (int64, error) {
			storetest.Must(t.Create((&store.Athlete{Name: "Edda"}).Record(), storetest.Anna))
			panic("in the middle")
		})
	}()
	storetest.AddNamed(t, s, "Frieda")
	if n := len(storetest.Must(s.Athletes(storetest.Ctx, store.Filter{}))); n != 1 {
		t.Errorf("%d athletes on record, want the one that was acknowledged", n)
	}
}

// TestBulkEndsAsSafeAsBefore holds that the safe way of writing is back after
// work in bulk, also when the work fails.
func TestBulkEndsAsSafeAsBefore(t *testing.T) {
	s, err := store.Open(t.Context(), filepath.Join(t.TempDir(), "bulk.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	level := func() (v int) {
		if err := storetest.Writer(s).QueryRow("PRAGMA synchronous").Scan(&v); err != nil {
			t.Fatal(err)
		}
		return v
	}
	full, during, failed := level(), -1, errors.New("no")
	err = s.Bulk(t.Context(), func() error { during = level(); return failed })
	if full != 2 || during != 0 || level() != full || !errors.Is(err, failed) {
		t.Errorf("before %d, during %d, after %d, error %v", full, during, level(), err)
	}
}
