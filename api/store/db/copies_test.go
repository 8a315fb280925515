package db_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"thole/api/store"
	"thole/api/store/db"
	"thole/api/storetest"
	"time"
)

func TestAFileThatIsUpToDateIsNotCopied(t *testing.T) {
	s := storetest.Reopen(t, storetest.New(t))
	if copies := storetest.CopiesBefore(t, s.Path()); len(copies) > 0 {
		t.Errorf("%+v", copies)
	}
}

func TestAPipeIsRefused(t *testing.T) {
	path := filepath.Join(t.TempDir(), "club.db")
	storetest.Check(t, syscall.Mkfifo(path, 0o600))
	_, err := store.Open(storetest.Ctx, path)
	storetest.WantError(t, err, store.ErrNotDatabase)
	_, err = store.Open(storetest.Ctx, t.TempDir())
	storetest.WantError(t, err, store.ErrNotDatabase)
}

// overwrite damages pages of a closed file, as a failing card would.
func overwrite(t *testing.T, path string, from, pages int) {
	t.Helper()
	const page = 4096
	file := storetest.Must(os.OpenFile(path, os.O_WRONLY, 0))
	defer file.Close()
	storetest.Must(file.WriteAt(bytes.Repeat([]byte{0xA5}, page*pages), int64(page*from)))
}

func filled(t *testing.T) *store.Store {
	t.Helper()
	s := storetest.New(t)
	storetest.AddFour(t, s)
	for i := range 50 {
		storetest.AddNamed(t, s, "Edda "+strings.Repeat("n", i))
	}
	return s
}

func TestADamagedFileIsRefusedUntouched(t *testing.T) {
	s := filled(t)
	storetest.Check(t, s.Close())
	for from, pages := range map[int]int{1: 1, 3: 20, 0: 1} {
		path := filepath.Join(t.TempDir(), "club.db")
		storetest.Check(t, os.WriteFile(path, storetest.Must(os.ReadFile(s.Path())), 0o600))
		overwrite(t, path, from, pages)
		before := storetest.Must(os.ReadFile(path))
		_, err := store.Open(storetest.Ctx, path)
		if !errors.Is(err, store.ErrDamaged) && !errors.Is(err, store.ErrNotDatabase) {
			t.Errorf("%d pages from %d: %v", pages, from, err)
		}
		if !bytes.Equal(before, storetest.Must(os.ReadFile(path))) {
			t.Error("the file was changed")
		}
	}
}

// TestAFileThatIsDamagedUnderTheServerTakesNothingMore reads the damage once, by
// whatever is asked; after it nothing is acknowledged.
func TestAFileThatIsDamagedUnderTheServerTakesNothingMore(t *testing.T) {
	s := filled(t)
	_, err := storetest.Writer(s).Exec("PRAGMA wal_checkpoint(TRUNCATE)")
	storetest.Check(t, err)
	var root int
	storetest.Check(t, storetest.Writer(s).QueryRow("SELECT rootpage FROM sqlite_schema WHERE name = 'athletes'").Scan(&root))
	overwrite(t, s.Path(), root-1, 1)
	storetest.Check(t, db.ForgetPages(s.File))
	_, err = s.Athletes(storetest.Ctx, store.Filter{})
	storetest.WantError(t, err, store.ErrDamaged)
	_, err = s.AddSquad(storetest.Ctx, store.Squad{Name: "Men"})
	storetest.WantError(t, err, store.ErrDamaged)
	storetest.WantError(t, s.Ping(storetest.Ctx), store.ErrDamaged)
}

func TestAFileThatIsRemovedOrReplacedTakesNothingMore(t *testing.T) {
	s := filled(t)
	storetest.Check(t, s.Ping(storetest.Ctx))
	storetest.Check(t, os.Rename(s.Path(), s.Path()+".gone"))
	storetest.WantError(t, s.Ping(storetest.Ctx), store.ErrMoved)
	_, err := s.AddSquad(storetest.Ctx, store.Squad{Name: "Men"})
	storetest.WantError(t, err, store.ErrMoved)
	storetest.Check(t, os.WriteFile(s.Path(), storetest.Fresh(), 0o600))
	storetest.WantError(t, s.Ping(storetest.Ctx), store.ErrMoved)
	storetest.Check(t, os.Rename(s.Path()+".gone", s.Path()))
	storetest.Check(t, s.Ping(storetest.Ctx))
}

func TestBackupsRotate(t *testing.T) {
	s := filled(t)
	folder := t.TempDir()
	storetest.Check(t, os.WriteFile(filepath.Join(folder, "thole-summer.db"), nil, 0o600))
	for day := range 5 {
		made := storetest.Must(store.BackupInto(storetest.Ctx, s.Path(), folder, storetest.Noon.AddDate(0, 0, day), 3))
		if !made.At.Equal(storetest.Noon.AddDate(0, 0, day)) {
			t.Errorf("made at %v", made.At)
		}
	}
	names := []string{}
	for _, entry := range storetest.Must(os.ReadDir(folder)) {
		names = append(names, entry.Name())
	}
	want := []string{"thole-20260316T120000Z.db", "thole-20260317T120000Z.db", "thole-20260318T120000Z.db", "thole-summer.db"}
	if !slices.Equal(names, want) {
		t.Errorf("%q, want %q", names, want)
	}
	storetest.Check(t, store.Sound(storetest.Ctx, storetest.Must(store.Backups(folder))[2].Path))
}

// TestCopiesAreKnownByTheirWholeNames.
func TestCopiesAreKnownByTheirWholeNames(t *testing.T) {
	folder := t.TempDir()
	for _, name := range []string{"a-20260316T120000Z.db", "b-20260317T120000Z.db", "a-20260317T120000Z.txt", "a-20260315T120000Z.db", "20260318T120000Z.db", "a-20260319T120000Z", "a-20269999T120000Z.db", "a-summer.db"} {
		storetest.Check(t, os.WriteFile(filepath.Join(folder, name), nil, 0o600))
	}
	storetest.WantEqual(t, storetest.Must(db.Copies(folder, "a-", ".db")), []db.Copy{
		{Path: filepath.Join(folder, "a-20260315T120000Z.db"), At: time.Date(2026, 3, 15, 12, 0, 0, 0, time.UTC)}, {Path: filepath.Join(folder, "a-20260316T120000Z.db"), At: time.Date(2026, 3, 16, 12, 0, 0, 0, time.UTC)},
	})
}

// TestBackupsRotateWhenTheClockGoesBack makes some two days ahead: they go first, and
// the newest stays.
func TestBackupsRotateWhenTheClockGoesBack(t *testing.T) {
	s := filled(t)
	folder := t.TempDir()
	hours := []int{46, 47, 48, 0, 1, 2, 3}
	want := [][]int{{46}, {46, 47}, {46, 47, 48}, {0, 47, 48}, {0, 1, 48}, {0, 1, 2}, {1, 2, 3}}
	for i, hour := range hours {
		storetest.Must(store.BackupInto(storetest.Ctx, s.Path(), folder, storetest.Noon.Add(time.Duration(hour)*time.Hour), 3))
		var left []int
		for _, c := range storetest.Must(store.Backups(folder)) {
			left = append(left, int(c.At.Sub(storetest.Noon).Hours()))
		}
		if !slices.Equal(left, want[i]) {
			t.Errorf("after that of hour %d: %v, want %v", hour, left, want[i])
		}
	}
}

// TestAFailedBackupRemovesNoOtherOne damages the records under the store.
func TestAFailedBackupRemovesNoOtherOne(t *testing.T) {
	s := filled(t)
	folder := t.TempDir()
	storetest.Must(store.BackupInto(storetest.Ctx, s.Path(), folder, storetest.Noon, 1))
	damage(t, s)
	_, err := store.BackupInto(storetest.Ctx, s.Path(), folder, storetest.Noon.AddDate(0, 0, 1), 1)
	storetest.WantError(t, err, store.ErrDamaged)
	if left := storetest.Must(store.Backups(folder)); len(left) != 1 || !left[0].At.Equal(storetest.Noon) {
		t.Errorf("%+v", left)
	}
}

// TestABackupDuringWritesIsWhole copies while another process's worth of writes
// goes on: what was acknowledged before the copy began is in it.
func TestABackupDuringWritesIsWhole(t *testing.T) {
	s := storetest.New(t)
	stop, done := make(chan struct{}), make(chan int)
	go func() {
		n := 0
		for ; ; n++ {
			select {
			case <-stop:
				done <- n
				return
			default:
				storetest.Must(s.AddAthlete(storetest.Ctx, store.Athlete{Name: "Edda " + time.Duration(n).String()}, storetest.Anna))
			}
		}
	}()
	for round := range 5 {
		atLeast := len(storetest.Must(s.Athletes(storetest.Ctx, store.Filter{})))
		path := filepath.Join(t.TempDir(), "backup.db")
		storetest.Check(t, s.Backup(storetest.Ctx, path))
		if got := len(storetest.Must(storetest.At(t, path).Athletes(storetest.Ctx, store.Filter{}))); got < atLeast {
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
	storetest.WantError(t, db.Explain(&os.PathError{Op: "write", Path: "thole.db", Err: syscall.ENOSPC}), store.ErrFull)
	if _, err := os.Stat("/dev/full"); err != nil {
		t.Skip("no /dev/full here")
	}
	s := filled(t)
	file := db.ForCopies(s.Path())
	defer file.Close()
	_, err := file.Exec("VACUUM INTO '/dev/full'")
	if err == nil {
		t.Error("a copy to a full device is told as made")
	}
}

func TestRestoreReplacesNothingUnasked(t *testing.T) {
	s := filled(t)
	folder := t.TempDir()
	backup, path := filepath.Join(folder, "backup.db"), filepath.Join(folder, "thole.db")
	storetest.Check(t, s.Backup(storetest.Ctx, backup))
	aside := storetest.Must(store.Restore(storetest.Ctx, backup, path, false))
	if aside != "" {
		t.Errorf("put aside %s", aside)
	}
	restored := storetest.At(t, path)
	storetest.WantEqual(t, len(storetest.Must(restored.Athletes(storetest.Ctx, store.Filter{}))), 50)
	storetest.AddNamed(t, restored, "Later")
	_, err := store.Restore(storetest.Ctx, backup, path, false)
	storetest.WantError(t, err, store.ErrThere)
	_, err = store.Restore(storetest.Ctx, backup, path, true)
	storetest.WantError(t, err, store.ErrBusy) // a server has it open
	storetest.Check(t, restored.Close())
	aside = storetest.Must(store.Restore(storetest.Ctx, backup, path, true))
	storetest.WantEqual(t, len(storetest.Must(storetest.At(t, path).Athletes(storetest.Ctx, store.Filter{}))), 50)
	storetest.WantEqual(t, len(storetest.Must(storetest.At(t, aside).Athletes(storetest.Ctx, store.Filter{}))), 51)
}

// TestRestoreInPlaceOfADamagedFile keeps the damaged one, and its log: somebody
// may be able to read more of it.
func TestRestoreInPlaceOfADamagedFile(t *testing.T) {
	s := filled(t)
	backup := filepath.Join(t.TempDir(), "backup.db")
	storetest.Check(t, s.Backup(storetest.Ctx, backup))
	storetest.Check(t, s.Close())
	storetest.Check(t, os.WriteFile(s.Path(), bytes.Repeat([]byte("x"), 8192), 0o600))
	storetest.Check(t, os.WriteFile(s.Path()+"-wal", []byte("log"), 0o600))
	aside := storetest.Must(store.Restore(storetest.Ctx, backup, s.Path(), true))
	storetest.WantEqual(t, string(storetest.Must(os.ReadFile(aside))[:3]), "xxx")
	storetest.WantEqual(t, string(storetest.Must(os.ReadFile(aside+"-wal"))), "log")
	storetest.WantEqual(t, len(storetest.Must(storetest.At(t, s.Path()).Athletes(storetest.Ctx, store.Filter{}))), 50)
}

func TestOnlyASoundBackupIsRestored(t *testing.T) {
	s := filled(t)
	folder := t.TempDir()
	backup, path := filepath.Join(folder, "backup.db"), filepath.Join(folder, "thole.db")
	for name, c := range map[string]struct {
		spoil func()
		want  error
	}{
		"damaged": {func() { overwrite(t, backup, 2, 3) }, store.ErrDamaged},
		"foreign": {func() { storetest.Run(t, storetest.Raw(t, backup), "PRAGMA application_id = 7") }, store.ErrForeign},
		"newer":   {func() { ageBy(t, storetest.Raw(t, backup)) }, store.ErrNewer},
		"text":    {func() { storetest.Check(t, os.WriteFile(backup, bytes.Repeat([]byte("text "), 1000), 0o600)) }, store.ErrNotDatabase},
		"empty":   {func() { storetest.Check(t, os.WriteFile(backup, nil, 0o600)) }, store.ErrForeign},
		"missing": {func() { storetest.Check(t, os.Remove(backup)) }, os.ErrNotExist},
	} {
		storetest.Check(t, s.Backup(storetest.Ctx, backup))
		c.spoil()
		_, err := store.Restore(storetest.Ctx, backup, path, true)
		if !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", name, err, c.want)
		}
		if left := storetest.Must(filepath.Glob(filepath.Join(folder, "*thole*"))); len(left) > 0 {
			t.Errorf("%s: left %q", name, left)
		}
	}
	storetest.Check(t, s.Backup(storetest.Ctx, backup))
	_, err := store.Restore(storetest.Ctx, backup, backup, true)
	storetest.WantError(t, err, store.ErrInvalid)
}

func TestExtractLeavesTheFileAlone(t *testing.T) {
	s := filled(t)
	path, remove, err := store.Extract(storetest.Ctx, s.Path())
	storetest.Check(t, err)
	storetest.WantEqual(t, len(storetest.Must(storetest.At(t, path).Athletes(storetest.Ctx, store.Filter{}))), 50)
	storetest.Check(t, remove())
	if _, err := os.Stat(filepath.Dir(path)); err == nil {
		t.Error("the copy is left")
	}
	storetest.AddNamed(t, s, "Later")
}
