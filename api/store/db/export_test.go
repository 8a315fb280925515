package db

import (
	"context"
	"database/sql"
)

// What the tests look at from inside.
var (
	Verify     = verify
	NewestStep = newestStep
	Inspect    = inspect
)

const (
	KeptBefore  = keptBefore
	ReaderCount = readerCount
)

// ForCopies opens a file as backups are made.
func ForCopies(path string) *sql.DB { return connect(path, copyOptions, 1) }

// ForWriting opens a file once more to be written.
func ForWriting(path string) *sql.DB { return connect(path, writerOptions, 1) }

// ForgetPages closes the readers, which have pages in memory, and opens others.
func ForgetPages(s *DB) error {
	err := s.readers.Close()
	s.readers = connect(s.path, readerOptions, readerCount)
	return err
}

// Claim marks the file as ours.
func Claim(ctx context.Context, s *DB) error { return s.claim(ctx) }
