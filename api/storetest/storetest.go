// Package storetest opens records for tests, each a copy of a file that was made
// once: the tables of an empty one, and whatever a package fills in besides.
package storetest

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"thole/api/store"
)

// Open returns empty records of the test's own, closed at its end.
func Open(t testing.TB) *store.Store {
	t.Helper()
	return Copy(t, empty)
}

var empty = Filled(func(*store.Store) error { return nil })

// Filled returns a function that makes a file of records when it is first called,
// has fill write to them, and returns its bytes each time.
func Filled(fill func(*store.Store) error) func() ([]byte, error) {
	return sync.OnceValues(func() ([]byte, error) {
		folder, err := os.MkdirTemp("", "thole-test-")
		if err != nil {
			return nil, err
		}
		defer os.RemoveAll(folder)
		path := filepath.Join(folder, "club.db")
		records, err := store.Open(context.Background(), path)
		if err != nil {
			return nil, err
		}
		err = records.Unsynced(context.Background())
		if err == nil {
			err = fill(records)
		}
		if err := errors.Join(err, records.Close()); err != nil {
			return nil, err
		}
		return os.ReadFile(path)
	})
}

// Copy returns records over a copy of a file, closed at the end of the test.
func Copy(t testing.TB, file func() ([]byte, error)) *store.Store {
	t.Helper()
	content, err := file()
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "club.db")
	if err := os.WriteFile(path, content, 0o600); err != nil {
		t.Fatal(err)
	}
	records, err := store.Open(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := records.Close(); err != nil {
			t.Error(err)
		}
	})
	if err := records.Unsynced(t.Context()); err != nil {
		t.Fatal(err)
	}
	return records
}
