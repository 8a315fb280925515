package store

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

	"github.com/mattn/go-sqlite3"
	"github.com/pressly/goose/v3"
)

func TestOpenMakesAFileOnlyTheOwnerCanRead(t *testing.T) {
	s := openAt(t, filepath.Join(t.TempDir(), "club.db"))
	for _, name := range []string{s.path, s.path + "-wal", s.path + "-shm"} {
		info, err := os.Stat(name)
		check(t, err)
		if mode := info.Mode().Perm(); mode != 0o600 {
			t.Errorf("%s has mode %o", filepath.Base(name), mode)
		}
	}
}

func TestOpenTakesAnyPath(t *testing.T) {
	for _, name := range []string{"with blank.db", "what?mode=memory&x=%20#1.db", "Bücher.db"} {
		s := openAt(t, filepath.Join(t.TempDir(), name))
		if _, err := os.Stat(s.path); err != nil {
			t.Error(err)
		}
	}
}

func TestCloseTakesInTheLog(t *testing.T) {
	s := open(t)
	addNamed(t, s, "Edda")
	check(t, s.Close())
	if _, err := os.Stat(s.path + "-wal"); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("the log is still there: %v", err)
	}
}

// Each connection of a pool has to have the settings, not only the first.
func TestEveryConnectionHasItsSettings(t *testing.T) {
	s, err := Open(ctx, filepath.Join(t.TempDir(), "club.db"))
	check(t, err)
	defer s.Close()
	wantPragmas(t, s.writer, 1, map[string]string{
		"journal_mode": "wal", "synchronous": "2", "foreign_keys": "1", "secure_delete": "1", "busy_timeout": "5000", "application_id": "1414025036",
	})
	wantPragmas(t, s.readers, readerCount, map[string]string{"query_only": "1", "busy_timeout": "5000"})
}

func wantPragmas(t *testing.T, db *sql.DB, connections int, want map[string]string) {
	t.Helper()
	for range connections {
		conn, err := db.Conn(ctx)
		check(t, err)
		defer conn.Close()
		for name, value := range want {
			var got string
			check(t, conn.QueryRowContext(ctx, "PRAGMA "+name).Scan(&got))
			if got != value {
				t.Errorf("%s is %s, want %s", name, got, value)
			}
		}
	}
}

func TestReadersCannotWrite(t *testing.T) {
	s := open(t)
	_, err := s.readers.Exec("DELETE FROM athletes")
	wantError(t, explain(err), ErrReadOnly)
}

// upTo makes a database as a program that knew only the first steps left it.
func upTo(t *testing.T, path string, step int64) {
	t.Helper()
	db := connect(path, writerOptions, 1)
	defer db.Close()
	check(t, create(path))
	_, err := db.Exec("PRAGMA application_id = 1414025036")
	check(t, err)
	files, err := fs.Sub(migrationFiles, "migrations")
	check(t, err)
	migrations, err := goose.NewProvider(goose.DialectSQLite3, db, files)
	check(t, err)
	_, err = migrations.UpTo(ctx, step)
	check(t, err)
}

// A crash can stop the making of a database at any step, and older versions
// stop where they end.
func TestOpenGoesOnFromEveryStep(t *testing.T) {
	steps := len(must(fs.Glob(migrationFiles, "migrations/*.sql")))
	for step := 1; step < steps; step++ {
		path := filepath.Join(t.TempDir(), "club.db")
		upTo(t, path, int64(step))
		addFour(t, openAt(t, path))
	}
}

func TestOpenGoesOnFromAnEmptyFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "club.db")
	check(t, os.WriteFile(path, nil, 0o600))
	addNamed(t, openAt(t, path), "Edda")
}

// ageBy marks a closed database as if later steps had been taken.
func ageBy(t *testing.T, db *sql.DB) {
	t.Helper()
	_, err := db.Exec("INSERT INTO goose_db_version (version_id, is_applied) VALUES (9000, 1)")
	check(t, err)
}

func TestANewerDatabaseIsRefusedUntouched(t *testing.T) {
	s := open(t)
	addNamed(t, s, "Edda")
	check(t, s.Close())
	ageBy(t, raw(t, s.path))
	before := must(os.ReadFile(s.path))
	_, err := Open(ctx, s.path)
	wantError(t, err, ErrNewer)
	if !bytes.Equal(before, must(os.ReadFile(s.path))) {
		t.Error("the file was changed")
	}
}

// A newer version that crashed has left its step in the log only.
func TestANewerDatabaseIsKnownByItsLog(t *testing.T) {
	s := open(t)
	ageBy(t, s.writer)
	crashed := filepath.Join(t.TempDir(), "club.db")
	for _, suffix := range []string{"", "-wal"} {
		check(t, os.WriteFile(crashed+suffix, must(os.ReadFile(s.path+suffix)), 0o600))
	}
	log := must(os.ReadFile(crashed + "-wal"))
	_, err := Open(ctx, crashed)
	wantError(t, err, ErrNewer)
	if !bytes.Equal(log, must(os.ReadFile(crashed+"-wal"))) {
		t.Error("the log was changed")
	}
}

func TestAFileThatIsNoDatabaseIsRefusedUntouched(t *testing.T) {
	path := filepath.Join(t.TempDir(), "notes.txt")
	text := bytes.Repeat([]byte("seat 3 wants a higher gate\n"), 400)
	check(t, os.WriteFile(path, text, 0o600))
	_, err := Open(ctx, path)
	wantError(t, err, ErrNotDatabase)
	if !bytes.Equal(text, must(os.ReadFile(path))) {
		t.Error("the file was changed")
	}
}

func TestADatabaseOfAnotherProgramIsRefusedUntouched(t *testing.T) {
	path := filepath.Join(t.TempDir(), "other.db")
	_, err := raw(t, path).Exec("CREATE TABLE athletes (id INTEGER PRIMARY KEY)")
	check(t, err)
	before := must(os.ReadFile(path))
	_, err = Open(ctx, path)
	wantError(t, err, ErrForeign)
	if !bytes.Equal(before, must(os.ReadFile(path))) {
		t.Error("the file was changed")
	}
}

func TestAFolderThatIsMissingIsNamed(t *testing.T) {
	_, err := Open(ctx, filepath.Join(t.TempDir(), "missing", "club.db"))
	wantError(t, err, fs.ErrNotExist)
}

func TestAFileThatCannotBeWrittenIsReadOnly(t *testing.T) {
	s := open(t)
	_, err := s.writer.Exec("PRAGMA query_only = on") // makes SQLite answer as for such a file
	check(t, err)
	_, err = s.AddAthlete(ctx, Athlete{Name: "Edda"}, anna)
	wantError(t, err, ErrReadOnly)
	wantError(t, s.claim(ctx), ErrReadOnly)
}

func TestAFullDiskLosesNothing(t *testing.T) {
	s := open(t)
	four := addFour(t, s)
	limitPages(t, s, "(SELECT page_count FROM pragma_page_count)")
	_, err := s.addRecording(ctx, Recording{RecordedOn: "2026-03-01", Thresholds: "{}", Samples: Samples{TimeS: make([]float64, 1e5)}})
	wantError(t, err, ErrFull)
	if b, err := s.Boat(ctx, four); err != nil || len(b.Seats) != 4 {
		t.Errorf("the boat cannot be read: %v", err)
	}
	wantEqual(t, must(s.Recordings(ctx, RecordingFilter{})), []Recording{})
	limitPages(t, s, "1000000")
	addNamed(t, s, "Edda")
	check(t, verify(ctx, s.path))
}

// limitPages lets the writer's file grow to a number of pages, as a small disk
// would.
func limitPages(t *testing.T, s *Store, pages string) {
	t.Helper()
	var n int
	check(t, s.writer.QueryRow("SELECT "+pages).Scan(&n))
	_, err := s.writer.Exec("PRAGMA max_page_count = " + fmt.Sprint(n))
	check(t, err)
}

// The codes are those of https://www.sqlite.org/rescode.html.
func TestErrorsOfTheFileAreTold(t *testing.T) {
	for code, want := range map[sqlite3.ErrNo]error{8: ErrReadOnly, 13: ErrFull, 5: ErrBusy, 6: ErrBusy, 11: ErrDamaged, 26: ErrNotDatabase, 19: ErrInvalid} {
		wantError(t, explain(sqlite3.Error{Code: code}), want)
	}
	wantError(t, explain(sqlite3.Error{Code: sqlite3.ErrIoErr, SystemErrno: syscall.ENOSPC}), ErrFull)
	for code, want := range map[syscall.Errno]error{syscall.EACCES: ErrReadOnly, syscall.EPERM: ErrReadOnly, syscall.EROFS: ErrReadOnly, syscall.ENOSPC: ErrFull} {
		wantError(t, explain(&fs.PathError{Op: "open", Path: "club.db", Err: code}), want)
	}
	if err := explain(sqlite3.Error{Code: sqlite3.ErrIoErr}); errors.Is(err, ErrFull) {
		t.Error("every failure of the disk is told as a full one")
	}
	if once := explain(sqlite3.Error{Code: sqlite3.ErrFull}); explain(once) != once {
		t.Error("an error is explained twice")
	}
}

func TestAnotherProgramsLockIsBusy(t *testing.T) {
	s := open(t)
	_, err := s.writer.Exec("PRAGMA busy_timeout = 1")
	check(t, err)
	other := connect(s.path, writerOptions, 1)
	defer other.Close()
	held, err := other.Begin()
	check(t, err)
	defer held.Rollback()
	_, err = s.AddAthlete(ctx, Athlete{Name: "Edda"}, anna)
	wantError(t, err, ErrBusy)
}

func TestPingTellsAClosedStore(t *testing.T) {
	s := open(t)
	check(t, s.Ping(ctx))
	check(t, s.Close())
	if s.Ping(ctx) == nil {
		t.Error("a closed store answers")
	}
}

func TestACancelledWriteLeavesNothing(t *testing.T) {
	s := open(t)
	cancelled, cancel := context.WithCancel(ctx)
	_, err := write(cancelled, s, func(t *tx) (int64, error) {
		id, err := t.create((&Athlete{Name: "Edda"}).record(), anna)
		cancel()
		return id, err
	})
	wantError(t, err, context.Canceled)
	// The same where the transaction has been rolled back before it is used.
	cancelled, cancel = context.WithCancel(ctx)
	_, err = write(cancelled, s, func(t *tx) (int64, error) {
		cancel()
		for !errors.Is(t.Rollback(), sql.ErrTxDone) {
		}
		_, err := t.Exec("SELECT 1")
		return 0, err
	})
	wantError(t, err, context.Canceled)
	wantEqual(t, must(s.Athletes(ctx, Filter{})), []Athlete{})
}

func TestAPanicLeavesNothingAndLocksNothing(t *testing.T) {
	s := open(t)
	func() {
		defer func() { _ = recover() }()
		write(ctx, s, func(t *tx) (int64, error) {
			must(t.create((&Athlete{Name: "Edda"}).record(), anna))
			panic("in the middle")
		})
	}()
	addNamed(t, s, "Frieda")
	if n := len(must(s.Athletes(ctx, Filter{}))); n != 1 {
		t.Errorf("%d athletes on record, want the one that was acknowledged", n)
	}
}

// TestBulkEndsAsSafeAsBefore holds that the safe way of writing is back after
// work in bulk, also when the work fails.
func TestBulkEndsAsSafeAsBefore(t *testing.T) {
	s, err := Open(t.Context(), filepath.Join(t.TempDir(), "bulk.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	level := func() (v int) {
		if err := s.writer.QueryRow("PRAGMA synchronous").Scan(&v); err != nil {
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
