package store

import (
	"context"
	"time"

	"github.com/alexedwards/argon2id"

	"thole/api/store/accounts"
	"thole/api/store/athletes"
	"thole/api/store/boats"
	"thole/api/store/db"
	"thole/api/store/races"
	"thole/api/store/recordings"
)

// File is the database itself.
type File = db.DB

// The rooms as they are embedded: their methods are the store's, their names are
// not.
type (
	accountRecords   = accounts.Records
	athleteRecords   = athletes.Records
	boatRecords      = boats.Records
	raceRecords      = races.Records
	recordingRecords = recordings.Records
)

// Store is an open database with all that is kept in it. Its methods are safe for
// concurrent use.
//
// Columns and fields carry the unit in their name and hold the values as they are
// spoken at the edge. A pointer that is nil is a value that is not known. Calendar
// days are texts YYYY-MM-DD; moments are stored as RFC 3339 in UTC with milliseconds
// and returned in the time zone of [Store.SetZone]. The caller says when something
// happened; a moment left zero is taken from the store's clock. What a record is
// stands in columns of its own: nothing is read out of notes, and JSON holds lists and
// settings that are only read whole.
//
// Every write is one transaction that takes the write lock at its start, so that
// nothing is read in it that could be out of date when it writes. A method that
// returned without error has its change on disk: it outlives the process and, as far
// as the disk tells the truth, the power.
//
// Records that people edit carry a version. A write states the version it was made
// from and is refused with an [*ErrConflict] when the record has moved on; nothing of
// another's work is overwritten. What changed, when and by whom is kept, see
// [Store.Changes].
//
// Deleting an athlete or a recording takes the bytes out of the file, too: see
// [Store.Wipe]. Copies made by [Store.Backup] before keep them.
//
// Errors wrap one of the errors of this package, or are an [*ErrConflict], or an error
// of the context or the operating system.
type Store struct {
	*File
	accountRecords
	athleteRecords
	boatRecords
	raceRecords
	recordingRecords
}

// Open opens the database at path, creates it when there is none and brings
// one of an older version up to date. A file that is no database
// ([ErrNotDatabase]), of another program ([ErrForeign]) or of a newer version
// ([ErrNewer]) is refused before anything is written to it.
func Open(ctx context.Context, path string) (*Store, error) {
	return OpenWith(ctx, path, Options{Now: time.Now, Hashing: accounts.PasswordHashing})
}

// Options are what a store takes from outside its file.
type Options struct {
	Now     func() time.Time // the clock, for moments that are left zero
	Hashing argon2id.Params  // of passwords
}

// OpenWith is [Open] with other options.
func OpenWith(ctx context.Context, path string, o Options) (*Store, error) {
	opened, err := db.Open(ctx, path, o.Now)
	if err != nil {
		return nil, err
	}
	return &Store{
		opened, accounts.New(opened, o.Hashing), athletes.New(opened), boats.New(opened), races.New(opened), recordings.New(opened),
	}, nil
}
