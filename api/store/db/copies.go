package db

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"thole/api/store/migrations"
	"time"
)

// Copy is a file that holds the database as it was at a moment.
type Copy struct {
	Path string
	At   time.Time
}

// copyLayout is the moment in the names of copies, in UTC; the names sort as
// the moments do.
const copyLayout = "20060102T150405Z"

var copyMoment = regexp.MustCompile(`^\d{8}T\d{6}Z$`)

// Copies lists the files of a folder that begin with a prefix and go on with a
// moment and a suffix, the oldest first.
func Copies(folder, prefix, suffix string) ([]Copy, error) {
	entries, err := os.ReadDir(folder)
	var found []Copy
	for _, entry := range entries {
		rest, ours := strings.CutPrefix(entry.Name(), prefix)
		moment, ends := strings.CutSuffix(rest, suffix)
		if !ours || !ends || !copyMoment.MatchString(moment) {
			continue
		}
		if at, err := time.Parse(copyLayout, moment); err == nil {
			found = append(found, Copy{filepath.Join(folder, entry.Name()), at})
		}
	}
	slices.SortFunc(found, func(a, b Copy) int { return a.At.Compare(b.At) })
	return found, err
}

// madeBy sorts copies by when they were made, the oldest first, as known at the
// moment of the newest: those that are named after a later one were made before, by a
// clock that went back since.
func madeBy(copies []Copy, newest time.Time) []Copy {
	slices.SortStableFunc(copies, func(a, b Copy) int {
		switch aheadA, aheadB := a.At.After(newest), b.At.After(newest); {
		case aheadA == aheadB:
			return a.At.Compare(b.At)
		case aheadA:
			return -1
		}
		return 1
	})
	return copies
}

// Prune removes all but the newest copies of a list that begins with the oldest.
func Prune(copies []Copy, keep int) error {
	var errs []error
	for _, c := range copies[:max(0, len(copies)-keep)] {
		errs = append(errs, os.Remove(c.Path))
	}
	return errors.Join(errs...)
}

// Names of the copies that [BackupInto] makes.
const (
	backupPrefix = "thole-"
	backupSuffix = ".db"
)

// Path is the file of the database.
func (s *DB) Path() string { return s.path }

// Backups lists the copies that [BackupInto] made in a folder, the oldest
// first.
func Backups(folder string) ([]Copy, error) { return Copies(folder, backupPrefix, backupSuffix) }

// BackupInto makes a backup in a folder, named by the moment at, and then removes
// the oldest of those that it made there before, so that keep are left. When it
// fails, none is removed.
func BackupInto(ctx context.Context, source, folder string, at time.Time, keep int) (Copy, error) {
	at = at.UTC().Truncate(time.Second)
	made := Copy{filepath.Join(folder, backupPrefix+at.Format(copyLayout)+backupSuffix), at}
	if err := Backup(ctx, source, made.Path); err != nil {
		return Copy{}, err
	}
	copies, err := Backups(folder)
	if err == nil {
		err = Prune(madeBy(copies, at), max(1, keep))
	}
	if err != nil {
		err = fmt.Errorf("removing old backups: %w", err)
	}
	return made, err
}

// keptBefore is how many copies from before upgrades are kept: by our own
// judgement, one to go back to and one more.
const keptBefore = 2

// before is what the copies from before an upgrade begin with.
func before(path string) string { return filepath.Base(path) + ".before-" }

// copyBefore copies the file to beside it and returns the path of the copy.
func (s *DB) copyBefore(ctx context.Context) (string, error) {
	folder, prefix := filepath.Dir(s.path), before(s.path)
	at := s.Now().UTC().Truncate(time.Second)
	path := filepath.Join(folder, prefix+at.Format(copyLayout))
	if err := s.Backup(ctx, path); err != nil {
		return "", err
	}
	copies, err := Copies(folder, prefix, "")
	if err != nil {
		return "", err
	}
	return path, Prune(madeBy(copies, at), keptBefore)
}

// ErrThere: there is a file already, which is not to be replaced.
var ErrThere = errors.New("there is a file already")

// Restore puts a copy of a backup at path, where no server may run. A file that
// is there is ErrThere, or, to be replaced, is renamed with its log, and its new
// name returned. The backup is read whole first: a damaged one, one of another
// program or of a newer version is refused.
func Restore(ctx context.Context, backup, path string, replace bool) (aside string, err error) {
	if err := Sound(ctx, backup); err != nil {
		return "", fmt.Errorf("the backup %s: %w", backup, err)
	}
	there, err := exists(path)
	if err != nil {
		return "", err
	}
	if there && !replace {
		return "", fmt.Errorf("%s: %w", path, ErrThere)
	}
	if sameFile(backup, path) {
		return "", Refuse("%s is the backup itself", path)
	}
	part, err := copyOf(ctx, backup, filepath.Dir(path))
	if err != nil {
		return "", err
	}
	defer os.Remove(part) // it is gone when all went well
	if there {
		if aside, err = putAside(ctx, path); err != nil {
			return "", err
		}
	}
	if err := os.Rename(part, path); err != nil {
		return aside, err
	}
	return aside, syncFolder(filepath.Dir(path))
}

func exists(path string) (bool, error) {
	_, err := os.Lstat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	return err == nil, err
}

// copyOf makes a copy of a database in a folder, with what its log holds, and
// returns its path.
func copyOf(ctx context.Context, path, folder string) (string, error) {
	file, err := os.CreateTemp(folder, ".thole-restore-*")
	if err != nil {
		return "", Explain(err)
	}
	part := file.Name()
	err = Explain(copyTo(ctx, path, part))
	if err == nil {
		err = verify(ctx, part)
	}
	if err = errors.Join(err, file.Sync(), file.Close()); err != nil {
		return "", errors.Join(err, os.Remove(part))
	}
	return part, nil
}

// putAside renames a database that nobody uses, with its log, and returns its
// new name. One in use is ErrBusy.
func putAside(ctx context.Context, path string) (string, error) {
	if err := unused(ctx, path); err != nil {
		return "", err
	}
	aside := path + ".replaced-" + time.Now().UTC().Format(copyLayout)
	if there, err := exists(aside); there || err != nil {
		return "", errors.Join(err, fmt.Errorf("%s: %w", aside, ErrThere))
	}
	for _, suffix := range []string{"-wal", "-shm", ""} { // the file last: with it, it is done
		if err := os.Rename(path+suffix, aside+suffix); err != nil && (suffix == "" || !errors.Is(err, fs.ErrNotExist)) {
			return "", err
		}
	}
	return aside, nil
}

// unused is ErrBusy where another program has the database open. A file that is
// no database is used by nobody.
func unused(ctx context.Context, path string) error {
	if sqlite, err := hasHeader(path); err != nil || !sqlite {
		return Explain(err) // SQLite would remove the log beside such a file
	}
	db := connect(path, "mode=rw&_busy_timeout=1000&_locking_mode=EXCLUSIVE&_txlock=exclusive", 1)
	defer db.Close()
	begun, err := db.BeginTx(ctx, nil)
	if err == nil {
		err = begun.Rollback()
	}
	if err = Explain(err); errors.Is(err, ErrDamaged) || errors.Is(err, ErrNotDatabase) {
		return nil
	}
	return err
}

// hasHeader reports whether a file begins as SQLite's do:
// https://www.sqlite.org/fileformat2.html, 1.3.1.
func hasHeader(path string) (bool, error) {
	file, err := os.Open(path)
	if err != nil {
		return false, err
	}
	defer file.Close()
	const header = "SQLite format 3\x00"
	head := make([]byte, len(header))
	_, err = io.ReadFull(file, head)
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return false, nil
	}
	return string(head) == header, err
}

// Sound reads the whole of a database, changing nothing, and reports whether it
// is one that [Open] takes and holds together.
func Sound(ctx context.Context, path string) error {
	if err := regular(path); err != nil {
		return err
	}
	newest, err := newestStep()
	if err != nil {
		return err
	}
	step, err := inspect(ctx, path, newest)
	if err != nil {
		return Explain(err)
	}
	if step == 0 {
		return ErrForeign
	}
	return Explain(verify(ctx, path))
}

// newestStep is that of the last migration.
func newestStep() (step int64, err error) {
	entries, err := migrations.Files.ReadDir(".")
	for _, entry := range entries {
		var number int64
		if _, err := fmt.Sscanf(entry.Name(), "%d_", &number); err == nil {
			step = max(step, number)
		}
	}
	return step, err
}

// Extract makes a copy of a database, changing nothing of it, that can be opened
// without a trace and is removed with its folder.
func Extract(ctx context.Context, path string) (copied string, remove func() error, err error) {
	folder, err := os.MkdirTemp("", "thole-check-")
	if err != nil {
		return "", nil, err
	}
	remove = func() error { return os.RemoveAll(folder) }
	copied, err = copyOf(ctx, path, folder)
	if err != nil {
		return "", nil, errors.Join(err, remove())
	}
	return copied, remove, nil
}

// tidyOptions read a file that nobody else has open; a connection that may not
// write would leave a log and an index of it beside the file.
const tidyOptions = "mode=rw&_query_only=true&_busy_timeout=5000"

// AsIs opens a database that nobody else has open, of this or an older version,
// to read it as it is.
func AsIs(path string) *sql.DB { return connect(path, tidyOptions, 1) }
