// Package storetest opens records for tests, each a copy of a file that was made
// once: the tables of an empty one, and whatever a package fills in besides.
package storetest

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"runtime/debug"
	"sync"
	"testing"
	"time"

	"github.com/alexedwards/argon2id"

	"thole/api/store"
)

// A test that keeps records allocates much and ends soon: collecting garbage at five
// times what lives, in place of twice, takes a fifth less of the processor and at most
// some 100 MB more.
var _ = debug.SetGCPercent(400)

// cheap are passwords that cost a test next to nothing. The accounts' own tests check
// what the program uses.
var cheap = argon2id.Params{Memory: 8, Iterations: 1, Parallelism: 1, SaltLength: 16, KeyLength: 32}

// open opens records with cheap passwords.
func open(ctx context.Context, path string, now func() time.Time) (*store.Store, error) {
	return store.OpenWith(ctx, path, store.Options{Now: now, Hashing: cheap})
}

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
		records, err := open(context.Background(), path, time.Now)
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

// Copy returns records over a copy of a file, with cheap passwords, closed at the end of
// the test.
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
	records, err := open(t.Context(), path, time.Now)
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
