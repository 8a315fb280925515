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
