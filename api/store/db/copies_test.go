package store

import (
	"bytes"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"
)

// TestAFileIsCopiedBeforeItIsUpgraded holds that the copy is the file as the
// older program left it, and that the oldest copies go, but nothing else.
func TestAFileIsCopiedBeforeItIsUpgraded(t *testing.T) {
	path := fileOf(t, 14)
	before := must(CopiesBefore(path))
	for _, old := range []string{"20250101T000000Z", "20250102T000000Z", "of mine"} {
		check(t, os.WriteFile(path+".before-"+old, nil, 0o600))
	}
	openAt(t, path)
	copies := must(CopiesBefore(path))
	if len(before) != 0 || len(copies) != keptBefore || !strings.HasSuffix(copies[0].Path, "20250102T000000Z") {
		t.Fatalf("%+v, then %+v", before, copies)
	}
	if _, err := os.Stat(path + ".before-of mine"); err != nil {
		t.Error(err)
	}
	newest := must(newestStep())
	if step := must(inspect(ctx, copies[1].Path, newest)); step != 14 {
		t.Errorf("the copy is at step %d", step)
	}
	if a := must(openAt(t, copies[1].Path).Athlete(ctx, 1)); a.Name != "Edda" {
		t.Errorf("%+v", a)
	}
}

func TestAFileThatIsUpToDateIsNotCopied(t *testing.T) {
	s := reopen(t, open(t))
	if copies := must(CopiesBefore(s.path)); len(copies) > 0 {
		t.Errorf("%+v", copies)
	}
}

func TestAPipeIsRefused(t *testing.T) {
	path := filepath.Join(t.TempDir(), "club.db")
	check(t, syscall.Mkfifo(path, 0o600))
	_, err := Open(ctx, path)
	wantError(t, err, ErrNotDatabase)
	_, err = Open(ctx, t.TempDir())
	wantError(t, err, ErrNotDatabase)
}

// overwrite damages pages of a closed file, as a failing card would.
func overwrite(t *testing.T, path string, from, pages int) {
	t.Helper()
	const page = 4096
	file := must(os.OpenFile(path, os.O_WRONLY, 0))
	defer file.Close()
	must(file.WriteAt(bytes.Repeat([]byte{0xA5}, page*pages), int64(page*from)))
}

func filled(t *testing.T) *Store {
	t.Helper()
	s := open(t)
	addFour(t, s)
	for i := range 50 {
		addNamed(t, s, "Edda "+strings.Repeat("n", i))
	}
	return s
}

func TestADamagedFileIsRefusedUntouched(t *testing.T) {
	s := filled(t)
	check(t, s.Close())
	for from, pages := range map[int]int{1: 1, 3: 20, 0: 1} {
		path := filepath.Join(t.TempDir(), "club.db")
		check(t, os.WriteFile(path, must(os.ReadFile(s.path)), 0o600))
		overwrite(t, path, from, pages)
		before := must(os.ReadFile(path))
		_, err := Open(ctx, path)
		if !errors.Is(err, ErrDamaged) && !errors.Is(err, ErrNotDatabase) {
			t.Errorf("%d pages from %d: %v", pages, from, err)
		}
		if !bytes.Equal(before, must(os.ReadFile(path))) {
			t.Error("the file was changed")
		}
	}
}

// TestAFileThatIsDamagedUnderTheServerTakesNothingMore reads the damage once, by
// whatever is asked; after it nothing is acknowledged.
func TestAFileThatIsDamagedUnderTheServerTakesNothingMore(t *testing.T) {
	s := filled(t)
	_, err := s.writer.Exec("PRAGMA wal_checkpoint(TRUNCATE)")
	check(t, err)
	var root int
	check(t, s.writer.QueryRow("SELECT rootpage FROM sqlite_schema WHERE name = 'athletes'").Scan(&root))
	overwrite(t, s.path, root-1, 1)
	check(t, s.readers.Close()) // which have the page in memory
	s.readers = connect(s.path, readerOptions, readerCount)
	_, err = s.Athletes(ctx, Filter{})
	wantError(t, err, ErrDamaged)
	_, err = s.AddSquad(ctx, Squad{Name: "Men"})
	wantError(t, err, ErrDamaged)
	wantError(t, s.Ping(ctx), ErrDamaged)
}

func TestAFileThatIsRemovedOrReplacedTakesNothingMore(t *testing.T) {
	s := filled(t)
	check(t, s.Ping(ctx))
	check(t, os.Rename(s.path, s.path+".gone"))
	wantError(t, s.Ping(ctx), ErrMoved)
	_, err := s.AddSquad(ctx, Squad{Name: "Men"})
	wantError(t, err, ErrMoved)
	check(t, os.WriteFile(s.path, fresh(), 0o600))
	wantError(t, s.Ping(ctx), ErrMoved)
	check(t, os.Rename(s.path+".gone", s.path))
	check(t, s.Ping(ctx))
}

func TestBackupsRotate(t *testing.T) {
	s := filled(t)
	folder := t.TempDir()
	check(t, os.WriteFile(filepath.Join(folder, "thole-summer.db"), nil, 0o600))
	for day := range 5 {
		made := must(BackupInto(ctx, s.path, folder, noon.AddDate(0, 0, day), 3))
		if !made.At.Equal(noon.AddDate(0, 0, day)) {
			t.Errorf("made at %v", made.At)
		}
	}
	names := []string{}
	for _, entry := range must(os.ReadDir(folder)) {
		names = append(names, entry.Name())
	}
	want := []string{"thole-20260316T120000Z.db", "thole-20260317T120000Z.db", "thole-20260318T120000Z.db", "thole-summer.db"}
	if !slices.Equal(names, want) {
		t.Errorf("%q, want %q", names, want)
	}
	check(t, Sound(ctx, must(Backups(folder))[2].Path))
}

// TestAFailedBackupRemovesNoOtherOne damages the records under the store.
func TestAFailedBackupRemovesNoOtherOne(t *testing.T) {
	s := filled(t)
	folder := t.TempDir()
	must(BackupInto(ctx, s.path, folder, noon, 1))
	damage(t, s)
	_, err := BackupInto(ctx, s.path, folder, noon.AddDate(0, 0, 1), 1)
	wantError(t, err, ErrDamaged)
	if left := must(Backups(folder)); len(left) != 1 || !left[0].At.Equal(noon) {
		t.Errorf("%+v", left)
	}
}

// TestABackupDuringWritesIsWhole copies while another process's worth of writes
// goes on: what was acknowledged before the copy began is in it.
func TestABackupDuringWritesIsWhole(t *testing.T) {
	s := open(t)
	stop, done := make(chan struct{}), make(chan int)
	go func() {
		n := 0
		for ; ; n++ {
			select {
			case <-stop:
				done <- n
				return
			default:
				must(s.AddAthlete(ctx, Athlete{Name: "Edda " + time.Duration(n).String()}, anna))
			}
		}
	}()
	for round := range 5 {
		atLeast := len(must(s.Athletes(ctx, Filter{})))
		path := filepath.Join(t.TempDir(), "backup.db")
		check(t, s.Backup(ctx, path))
		if got := len(must(openAt(t, path).Athletes(ctx, Filter{}))); got < atLeast {
			t.Errorf("round %d: the backup has %d of %d athletes", round, got, atLeast)
		}
	}
	close(stop)
	if n := <-done; n < 5 {
		t.Errorf("only %d writes went on beside the backups", n)
	}
}

// TestABackupOnAFullDiskLeavesNothing writes to a device that is always full.
func TestABackupOnAFullDiskLeavesNothing(t *testing.T) {
	wantError(t, explain(&os.PathError{Op: "write", Path: "thole.db", Err: syscall.ENOSPC}), ErrFull)
	if _, err := os.Stat("/dev/full"); err != nil {
		t.Skip("no /dev/full here")
	}
	s := filled(t)
	db := connect(s.path, copyOptions, 1)
	defer db.Close()
	_, err := db.Exec("VACUUM INTO '/dev/full'")
	if err == nil {
		t.Error("a copy to a full device is told as made")
	}
}

func TestRestoreReplacesNothingUnasked(t *testing.T) {
	s := filled(t)
	folder := t.TempDir()
	backup, path := filepath.Join(folder, "backup.db"), filepath.Join(folder, "thole.db")
	check(t, s.Backup(ctx, backup))
	aside := must(Restore(ctx, backup, path, false))
	if aside != "" {
		t.Errorf("put aside %s", aside)
	}
	restored := openAt(t, path)
	wantEqual(t, len(must(restored.Athletes(ctx, Filter{}))), 50)
	addNamed(t, restored, "Later")
	_, err := Restore(ctx, backup, path, false)
	wantError(t, err, ErrThere)
	_, err = Restore(ctx, backup, path, true)
	wantError(t, err, ErrBusy) // a server has it open
	check(t, restored.Close())
	aside = must(Restore(ctx, backup, path, true))
	wantEqual(t, len(must(openAt(t, path).Athletes(ctx, Filter{}))), 50)
	wantEqual(t, len(must(openAt(t, aside).Athletes(ctx, Filter{}))), 51)
}

// TestRestoreInPlaceOfADamagedFile keeps the damaged one, and its log: somebody
// may be able to read more of it.
func TestRestoreInPlaceOfADamagedFile(t *testing.T) {
	s := filled(t)
	backup := filepath.Join(t.TempDir(), "backup.db")
	check(t, s.Backup(ctx, backup))
	check(t, s.Close())
	check(t, os.WriteFile(s.path, bytes.Repeat([]byte("x"), 8192), 0o600))
	check(t, os.WriteFile(s.path+"-wal", []byte("log"), 0o600))
	aside := must(Restore(ctx, backup, s.path, true))
	wantEqual(t, string(must(os.ReadFile(aside))[:3]), "xxx")
	wantEqual(t, string(must(os.ReadFile(aside+"-wal"))), "log")
	wantEqual(t, len(must(openAt(t, s.path).Athletes(ctx, Filter{}))), 50)
}

func TestOnlyASoundBackupIsRestored(t *testing.T) {
	s := filled(t)
	folder := t.TempDir()
	backup, path := filepath.Join(folder, "backup.db"), filepath.Join(folder, "thole.db")
	for name, c := range map[string]struct {
		spoil func()
		want  error
	}{
		"damaged": {func() { overwrite(t, backup, 2, 3) }, ErrDamaged},
		"foreign": {func() { run(t, raw(t, backup), "PRAGMA application_id = 7") }, ErrForeign},
		"newer":   {func() { ageBy(t, raw(t, backup)) }, ErrNewer},
		"text":    {func() { check(t, os.WriteFile(backup, bytes.Repeat([]byte("text "), 1000), 0o600)) }, ErrNotDatabase},
		"empty":   {func() { check(t, os.WriteFile(backup, nil, 0o600)) }, ErrForeign},
		"missing": {func() { check(t, os.Remove(backup)) }, os.ErrNotExist},
	} {
		check(t, s.Backup(ctx, backup))
		c.spoil()
		_, err := Restore(ctx, backup, path, true)
		if !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", name, err, c.want)
		}
		if left := must(filepath.Glob(filepath.Join(folder, "*thole*"))); len(left) > 0 {
			t.Errorf("%s: left %q", name, left)
		}
	}
	check(t, s.Backup(ctx, backup))
	_, err := Restore(ctx, backup, backup, true)
	wantError(t, err, ErrInvalid)
}

func run(t *testing.T, db *sql.DB, query string) {
	t.Helper()
	_, err := db.Exec(query)
	check(t, err)
}

func TestExtractLeavesTheFileAlone(t *testing.T) {
	s := filled(t)
	path, remove, err := Extract(ctx, s.path)
	check(t, err)
	wantEqual(t, len(must(openAt(t, path).Athletes(ctx, Filter{}))), 50)
	check(t, remove())
	if _, err := os.Stat(filepath.Dir(path)); err == nil {
		t.Error("the copy is left")
	}
	addNamed(t, s, "Later")
}

func TestARestoreTellsWhoComesBack(t *testing.T) {
	s := open(t)
	for _, name := range []string{"Edda", "Frieda", "Gerda"} {
		addNamed(t, s, name)
	}
	check(t, s.DeleteAthlete(ctx, 1))
	backup := filepath.Join(t.TempDir(), "backup.db")
	check(t, s.Backup(ctx, backup))
	check(t, s.DeleteAthlete(ctx, 2))
	addNamed(t, s, "Hanna")
	back := must(Returned(ctx, s.path, backup))
	if len(back) != 1 || back[0].ID != 2 || back[0].Name != "Frieda" {
		t.Errorf("%+v", back)
	}
	if none := must(Returned(ctx, backup, s.path)); len(none) != 0 {
		t.Errorf("the other way round: %+v", none)
	}
}
