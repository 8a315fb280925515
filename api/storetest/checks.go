package storetest

import (
	"context"
	"database/sql"
	"errors"
	"net/url"
	"os"
	"path/filepath"
	"reflect"
	"sync"
	"testing"
	"thole/api/store"
	"thole/api/store/db"
	"thole/api/store/migrations"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/pressly/goose/v3"
)

// Noon is the clock of the stores under test.
var Noon = time.Date(2026, 3, 14, 12, 0, 0, 0, time.UTC)

// Anna signs what tests write.
var Anna = store.By{Name: "Anna"}

// Ptr is a pointer to a value.
func Ptr[T any](v T) *T { return &v }

// Fresh is the file of a database without records, made once.
var Fresh = sync.OnceValue(func() []byte {
	folder := Must(os.MkdirTemp("", "store-test-*"))
	defer os.RemoveAll(folder)
	s := Must(store.OpenWith(Ctx, filepath.Join(folder, "club.db"), store.Options{Now: func() time.Time { return Noon }}))
	if err := s.Close(); err != nil {
		panic(err)
	}
	return Must(os.ReadFile(s.Path()))
})

// New opens a store in a new file.
func New(t testing.TB) *store.Store {
	t.Helper()
	path := filepath.Join(t.TempDir(), "club.db")
	Check(t, os.WriteFile(path, Fresh(), 0o600))
	return At(t, path)
}

// At opens a store for a test: with a clock that stands, cheap passwords
// and no wait for the disk, which only a failure of the power could tell.
func At(t testing.TB, path string) *store.Store {
	t.Helper()
	return Timed(t, path, func() time.Time { return Noon })
}

// Timed is [At] with a clock of the test's own.
func Timed(t testing.TB, path string, now func() time.Time) *store.Store {
	t.Helper()
	s, err := open(t.Context(), path, now)
	Check(t, err)
	t.Cleanup(func() { s.Close() })
	Check(t, s.Unsynced(t.Context()))
	return s
}

// Reopen closes a store and opens its file again.
func Reopen(t testing.TB, s *store.Store) *store.Store {
	t.Helper()
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	return At(t, s.Path())
}

// Must returns the value of a call that has to succeed.
func Must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// Check fails a test on an error.
func Check(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// WantError checks the kind of an error.
func WantError(t testing.TB, got, want error) {
	t.Helper()
	if !errors.Is(got, want) {
		t.Errorf("got error %v, want %v", got, want)
	}
}

// WantEqual compares two values.
func WantEqual(t testing.TB, got, want any) {
	t.Helper()
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("got (+), want (-):\n%s", d)
	}
}

// WantConflict checks that err is a conflict at the version and returns what
// changed, as "what from to by".
func WantConflict(t testing.TB, err error, version int64) []string {
	t.Helper()
	var conflict *store.ErrConflict
	if !errors.As(err, &conflict) {
		t.Fatalf("got error %v, want a conflict", err)
	}
	if conflict.Version != version {
		t.Errorf("conflict at version %d, want %d", conflict.Version, version)
	}
	return Shown(conflict.Changes)
}

// Shown writes changes as "what from to by".
func Shown(changes []store.Change) []string {
	list := []string{}
	for _, c := range changes {
		list = append(list, c.What()+" "+OrDash(c.From)+" "+OrDash(c.To)+" "+c.By)
	}
	return list
}

// OrDash is a text, or - for none.
func OrDash(s *string) string {
	if s == nil {
		return "-"
	}
	return *s
}

// Ctx is the context of tests.
var Ctx = context.Background()

// Raw opens a file behind the store's back, without waiting for the disk.
func Raw(t testing.TB, path string) *sql.DB {
	t.Helper()
	file := Must(sql.Open("sqlite3", "file:"+(&url.URL{Path: path}).EscapedPath()+"?_busy_timeout=1000&_synchronous=OFF"))
	t.Cleanup(func() { file.Close() })
	return file
}

// WantFull checks that no field of a record, or of what belongs to it, is left
// at zero, so that a round trip misses no column.
func WantFull(t testing.TB, record any) {
	t.Helper()
	if path := FirstZero(reflect.ValueOf(record), reflect.TypeOf(record).Name()); path != "" {
		t.Errorf("%s is zero: the round trip would not show that it is lost", path)
	}
}

func FirstZero(v reflect.Value, path string) string {
	if v.IsZero() {
		return path
	}
	switch v.Kind() {
	case reflect.Slice:
		return FirstZero(v.Index(v.Len()-1), path+"[last]")
	case reflect.Struct:
		for i := range v.NumField() {
			if field := v.Type().Field(i); field.IsExported() {
				if zero := FirstZero(v.Field(i), path+"."+field.Name); zero != "" {
					return zero
				}
			}
		}
	}
	return ""
}

// AddNamed adds an athlete with nothing but a name.
func AddNamed(t testing.TB, s *store.Store, name string) int64 {
	t.Helper()
	id, err := s.AddAthlete(Ctx, store.Athlete{Name: name}, Anna)
	Check(t, err)
	return id
}

// AddFour adds a coxless four with a span in every seat.
func AddFour(t testing.TB, s *store.Store) int64 {
	t.Helper()
	b := store.Boat{Name: "Kingfisher", ClassCode: "4-"}
	for i, side := range []string{"starboard", "port", "starboard", "port"} {
		b.Seats = append(b.Seats, store.Seat{Number: i + 1, Side: side, Rig: store.Rig{SpreadCm: Ptr(84.0)}})
	}
	id, err := s.AddBoat(Ctx, b, Anna)
	Check(t, err)
	return id
}

// Writer is the connection that writes, behind the store's back.
func Writer(s *store.Store) *sql.DB {
	_, writer := db.Pools(s.File)
	return writer
}

// Readers are the connections that read, behind the store's back.
func Readers(s *store.Store) *sql.DB {
	readers, _ := db.Pools(s.File)
	return readers
}

// UpTo brings a file, made where there is none, to a step.
func UpTo(t *testing.T, path string, step int64) {
	t.Helper()
	file := Raw(t, path)
	defer file.Close()
	Run(t, file, "PRAGMA application_id = 1414025036")
	steps, err := goose.NewProvider(goose.DialectSQLite3, file, migrations.Files)
	Check(t, err)
	_, err = steps.UpTo(Ctx, step)
	Check(t, err)
}

// CopiesBefore are the copies of a file from before its upgrades, the oldest
// first.
func CopiesBefore(t testing.TB, path string) []store.Copy {
	t.Helper()
	return Must(db.Copies(filepath.Dir(path), filepath.Base(path)+".before-", ""))
}
