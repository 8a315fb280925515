package db

import (
	"errors"
	"fmt"
	"io/fs"
	"syscall"

	"github.com/mattn/go-sqlite3"
)

// Errors about what was asked.
var (
	// ErrNotFound: the record, or one that it refers to, does not exist.
	ErrNotFound = errors.New("not on record")
	// ErrTaken: another record has this name.
	ErrTaken = errors.New("already on record")
	// ErrInUse: other records refer to the one to be deleted.
	ErrInUse = errors.New("other records refer to it")
	// ErrInvalid: a value breaks a rule of the records.
	ErrInvalid = errors.New("not a valid record")
	// ErrKeyReused: a client sent a key again with other content.
	ErrKeyReused = errors.New("the key was used for another entry")
	// ErrSent: a request with this key came before and was worked on elsewhere.
	ErrSent = errors.New("this was sent before: look whether it is there")
	// ErrSheetDone: the work sheet is finished and takes no more values.
	ErrSheetDone = errors.New("the work sheet is finished")
	// ErrCredentials: the account or its password is wrong.
	ErrCredentials = errors.New("wrong name or password")
)

// Errors about the file.
var (
	// ErrFull: the disk is full; nothing was changed, what was there is safe.
	ErrFull = errors.New("the disk is full")
	// ErrReadOnly: the file or its folder cannot be written.
	ErrReadOnly = errors.New("the database cannot be written")
	// ErrBusy: another program kept the file locked for too long.
	ErrBusy = errors.New("the database is in use by another program")
	// ErrDamaged: the file is corrupt; a backup is needed.
	ErrDamaged = errors.New("the database is damaged")
	// ErrMoved: the file that was opened is not at its place any more; what was
	// to be written would be lost.
	ErrMoved = errors.New("the database was removed or replaced while the server runs")
	// ErrNotDatabase: the file is no database.
	ErrNotDatabase = errors.New("the file is no database")
	// ErrForeign: the file is a database of another program.
	ErrForeign = errors.New("the database belongs to another program")
	// ErrNewer: the file was written by a newer version of Thole.
	ErrNewer = errors.New("the database was written by a newer version of Thole")
	// ErrTraces: the deletion stands but its bytes may still be in the file;
	// [DB.Wipe] tries again.
	ErrTraces = errors.New("deleted, but traces may be left in the file")
)

// ErrConflict says that a record has moved on since the caller read it.
type ErrConflict struct {
	Subject Subject
	ID      int64
	Version int64    // of the record as it stands
	Changes []Change // since the caller's version, oldest first
}

// Error reports which record moved on and who changed it last.
func (e *ErrConflict) Error() string {
	text := fmt.Sprintf("%s %d has changed since: it stands at version %d", e.Subject, e.ID, e.Version)
	if n := len(e.Changes); n > 0 {
		text += fmt.Sprintf(", %s last changed by %s", e.Changes[n-1].What(), e.Changes[n-1].By)
	}
	return text
}

// byCode sorts SQLite's result codes into errors of this package.
var byCode = map[sqlite3.ErrNo]error{
	sqlite3.ErrFull: ErrFull, sqlite3.ErrReadonly: ErrReadOnly, sqlite3.ErrBusy: ErrBusy, sqlite3.ErrLocked: ErrBusy,
	sqlite3.ErrCorrupt: ErrDamaged, sqlite3.ErrNotADB: ErrNotDatabase, sqlite3.ErrConstraint: ErrInvalid,
}

// Explain puts the package's error in front of SQLite's or the system's. A
// reference to a missing record is ErrNotFound.
func Explain(err error) error {
	kind := kindOf(err)
	if kind == nil || errors.Is(err, kind) {
		return err
	}
	return fmt.Errorf("%w: %w", kind, err)
}

func kindOf(err error) error {
	var e sqlite3.Error
	switch {
	case errors.Is(err, syscall.ENOSPC), errors.Is(err, syscall.EDQUOT), errors.Is(err, syscall.EFBIG):
		return ErrFull
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		return ErrReadOnly
	case !errors.As(err, &e):
		return nil
	case e.SystemErrno == syscall.ENOSPC, e.SystemErrno == syscall.EDQUOT, e.SystemErrno == syscall.EFBIG: // SQLite knows the first alone
		return ErrFull
	case e.ExtendedCode == sqlite3.ErrConstraintForeignKey:
		return ErrNotFound
	}
	return byCode[e.Code]
}

// Taken turns a breach of uniqueness into ErrTaken, for rows that only their
// names make unique. It and inUse leave SQLite's error out of the chain, for
// explain would know it by another name.
func Taken(err error) error { return translate(err, sqlite3.ErrConstraintUnique, ErrTaken) }

// inUse turns a breach of a reference into ErrInUse, for deletions.
func inUse(err error) error { return translate(err, sqlite3.ErrConstraintForeignKey, ErrInUse) }

func translate(err error, code sqlite3.ErrNoExtended, kind error) error {
	var e sqlite3.Error
	if errors.As(err, &e) && e.ExtendedCode == code {
		return fmt.Errorf("%w: %v", kind, err)
	}
	return err
}

// Refuse is an ErrInvalid that says what is wrong.
func Refuse(format string, args ...any) error {
	return fmt.Errorf("%w: %s", ErrInvalid, fmt.Sprintf(format, args...))
}
