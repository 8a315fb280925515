package db

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"sync/atomic"
	"thole/api/store/migrations"
	"time"

	"github.com/pressly/goose/v3"
)

// applicationID marks the files of Thole in the header of the database
// ("THOL").
const applicationID = 0x54484F4C

// What a connection is opened with. It stands in the address because a PRAGMA
// that is executed reaches one connection of the pool only.
//
// secure_delete overwrites what is deleted or replaced; see [DB.Wipe] for
// what it leaves.
const (
	writerOptions = "mode=rwc&_journal_mode=WAL&_synchronous=FULL&_busy_timeout=5000&_foreign_keys=on&_txlock=immediate&_secure_delete=on"
	readerOptions = "mode=ro&_query_only=true&_busy_timeout=5000"
	copyOptions   = "mode=ro&_busy_timeout=5000"

	readerCount = 4
)

// DB is an open database. Its methods are safe for concurrent use.
type DB struct {
	path            string
	writer, readers *sql.DB
	watch           *sql.DB // one connection, which sees whether others have written
	clock           clock
	loaded          atomic.Bool // the clock knows what is on record
	zone            *time.Location

	file    os.FileInfo // that was opened
	damaged atomic.Bool // was found to be, since
}

// Open opens the database at path, creates it when there is none and brings
// one of an older version up to date. A file that is no database
// ([ErrNotDatabase]), of another program ([ErrForeign]) or of a newer version
// ([ErrNewer]) is refused before anything is written to it.
func Open(ctx context.Context, path string, now func() time.Time) (*DB, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return nil, err
	}
	s := &DB{path: path, zone: time.UTC}
	s.clock.now = now
	s.writer, s.readers = connect(path, writerOptions, 1), connect(path, readerOptions, readerCount)
	s.watch = connect(path, readerOptions, 1)
	if err := s.start(ctx); err != nil {
		return nil, errors.Join(fmt.Errorf("open %s: %w", path, Explain(err)), s.Close())
	}
	return s, nil
}

// connect prepares a pool; it opens its first connection when it is first
// used.
func connect(path, options string, connections int) *sql.DB {
	address := "file:" + (&url.URL{Path: path}).EscapedPath() + "?" + options
	db, err := sql.Open("sqlite3", address)
	if err != nil {
		panic("db: " + err.Error()) // the driver is not linked in
	}
	db.SetMaxOpenConns(connections)
	db.SetMaxIdleConns(connections)
	return db
}

// start creates or checks the file and brings the tables up to date, the
// writer before any reader so that the log of a crashed run is taken in.
func (s *DB) start(ctx context.Context) error {
	if err := create(s.path); err != nil {
		return err
	}
	steps, err := goose.NewProvider(goose.DialectSQLite3, s.writer, migrations.Files, goose.WithDisableGlobalRegistry(true))
	if err != nil {
		return err
	}
	sources := steps.ListSources()
	newest := sources[len(sources)-1].Version
	step, err := inspect(ctx, s.path, newest)
	if err != nil {
		return err
	}
	if err := s.claim(ctx); err != nil {
		return err
	}
	if err := s.upgrade(ctx, steps, step, newest); err != nil {
		return err
	}
	if s.file, err = os.Stat(s.path); err != nil {
		return err
	}
	if _, err := Read(ctx, s, func(t *Tx) (struct{}, error) { return struct{}{}, s.clock.load(t) }); err != nil {
		return err
	}
	s.loaded.Store(true)
	return s.Ping(ctx)
}

// upgrade takes the steps that the file has not, with a copy first of one that
// holds something.
func (s *DB) upgrade(ctx context.Context, steps *goose.Provider, step, newest int64) error {
	if step == 0 || step == newest {
		_, err := steps.Up(ctx)
		return err
	}
	copied, err := s.copyBefore(ctx)
	if err != nil {
		return fmt.Errorf("copying it before the upgrade, nothing was changed: %w", err)
	}
	if _, err := steps.Up(ctx); err != nil {
		return fmt.Errorf("upgrading it; the file as it was is %s: %w", copied, err)
	}
	return nil
}

// create makes an empty file that only the owner can read, unless there is a
// file: the records are personal. SQLite gives the files beside it the same
// mode.
func create(path string) error {
	file, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if errors.Is(err, fs.ErrExist) {
		return regular(path)
	}
	if err != nil {
		return err
	}
	return file.Close()
}

// regular refuses what is no file, such as a pipe, that would never answer.
func regular(path string) error {
	info, err := os.Stat(path)
	if err == nil && !info.Mode().IsRegular() {
		return ErrNotDatabase
	}
	return err
}

// inspect refuses a file that is not ours, newer than the program or damaged,
// reading only, and returns its step; 0 is a file without any.
func inspect(ctx context.Context, path string, newest int64) (step int64, err error) {
	db := connect(path, readerOptions, 1)
	defer db.Close()
	var tables, owner, versioned int64
	err = db.QueryRowContext(ctx, `SELECT count(*), (SELECT application_id FROM pragma_application_id),
		count(*) FILTER (WHERE name = 'goose_db_version') FROM sqlite_schema`).Scan(&tables, &owner, &versioned)
	switch {
	case err != nil:
		return 0, err
	case tables > 0 && owner != applicationID:
		return 0, ErrForeign
	case versioned == 0:
		return 0, nil
	}
	if err := db.QueryRowContext(ctx, `SELECT max(version_id) FROM goose_db_version`).Scan(&step); err != nil {
		return 0, err
	}
	if step > newest {
		return 0, fmt.Errorf("%w: it is at step %d, this program knows %d", ErrNewer, step, newest)
	}
	return step, verdict(ctx, db, "quick_check")
}

// claim marks the file as ours. It writes whether or not the mark is there, so
// that a file that cannot be written is found out now.
func (s *DB) claim(ctx context.Context) error {
	_, err := Write(ctx, s, func(t *Tx) (struct{}, error) {
		return struct{}{}, t.Exec(fmt.Sprintf("PRAGMA application_id = %d", applicationID))
	})
	return err
}

// Pools returns the connections themselves, for libraries that keep tables of
// their own in the file. Only the writer's one may write.
func Pools(s *DB) (readers, writer *sql.DB) { return s.readers, s.writer }

// Unsynced leaves what is written from now on to the operating system instead
// of waiting for the disk. It is for records that nobody keeps: a loss of power
// may damage the file.
func (s *DB) Unsynced(ctx context.Context) error {
	_, err := s.writer.ExecContext(ctx, "PRAGMA synchronous = OFF")
	return err
}

// Close closes the readers, then the writer, which takes in the log and removes
// it.
func (s *DB) Close() error {
	if s.loaded.Load() {
		_ = s.keepTime(context.Background(), latestEvery) // without it, what ends now may end again
	}
	return errors.Join(s.watch.Close(), s.readers.Close(), s.writer.Close())
}

// DataVersion returns a number that changes whenever anybody has written, in this
// program or another; it means nothing beside.
func (s *DB) DataVersion(ctx context.Context) (version int64, err error) {
	// The number belongs to the connection, which must stay the same one.
	err = s.watch.QueryRowContext(ctx, "PRAGMA data_version").Scan(&version)
	return version, Explain(err)
}

// Ping reports whether the database answers on both pools, is the file that was
// opened, and has not been found damaged. It waits for a write that is under way.
func (s *DB) Ping(ctx context.Context) error {
	if err := s.usable(); err != nil {
		return err
	}
	for _, db := range []*sql.DB{s.writer, s.readers} {
		var version int64
		if err := db.QueryRowContext(ctx, `SELECT max(version_id) FROM goose_db_version`).Scan(&version); err != nil {
			return s.noting(Explain(err))
		}
	}
	return nil
}

// usable is an error where what is written would be lost: to a file that is
// damaged, or has another one in its place.
func (s *DB) usable() error {
	if s.damaged.Load() {
		return ErrDamaged
	}
	now, err := os.Stat(s.path)
	if s.file != nil && (err != nil || !os.SameFile(s.file, now)) {
		return ErrMoved
	}
	return nil
}

// noting returns the error, and keeps it where it says that the file is damaged.
func (s *DB) noting(err error) error {
	if errors.Is(err, ErrDamaged) || errors.Is(err, ErrNotDatabase) {
		s.damaged.Store(true)
	}
	return err
}

// SetZone sets the time zone in which moments are returned, UTC until then. The
// file keeps them in UTC. It must come before any other use of the store.
func (s *DB) SetZone(zone *time.Location) { s.zone = zone }

// Bulk runs work with every write left to the operating system, for filling an
// empty database quickly, and then has the whole on disk before it returns.
// A machine that fails meanwhile can leave the file damaged, so that it is not
// for records that anybody would miss.
func (s *DB) Bulk(ctx context.Context, work func() error) error {
	if _, err := s.writer.ExecContext(ctx, "PRAGMA synchronous = OFF"); err != nil {
		return Explain(err)
	}
	err := work()
	for _, back := range []string{"PRAGMA synchronous = FULL", "PRAGMA wal_checkpoint(FULL)"} {
		_, failed := s.writer.ExecContext(ctx, back)
		err = errors.Join(err, Explain(failed))
	}
	return err
}
