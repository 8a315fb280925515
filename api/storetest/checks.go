package store

import (
	"context"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

// noon is the clock of the stores under test.
var noon = time.Date(2026, 3, 14, 12, 0, 0, 0, time.UTC)

var anna = By{Name: "Anna"}

func ptr[T any](v T) *T { return &v }

// fresh is the file of a database without records, made once.
var fresh = sync.OnceValue(func() []byte {
	folder := must(os.MkdirTemp("", "store-test-*"))
	defer os.RemoveAll(folder)
	s := must(Open(ctx, filepath.Join(folder, "club.db")))
	if err := s.Close(); err != nil {
		panic(err)
	}
	return must(os.ReadFile(s.path))
})

// open opens a store in a new file.
func open(t testing.TB) *Store {
	t.Helper()
	path := filepath.Join(t.TempDir(), "club.db")
	check(t, os.WriteFile(path, fresh(), 0o600))
	return openAt(t, path)
}

// openAt opens a store for a test: with a clock that stands, cheap passwords
// and no wait for the disk, which only a failure of the power could tell.
func openAt(t testing.TB, path string) *Store {
	t.Helper()
	s, err := Open(t.Context(), path)
	check(t, err)
	t.Cleanup(func() { s.Close() })
	s.now = func() time.Time { return noon }
	s.hashing.Memory, s.hashing.Iterations = 8, 1
	_, err = s.writer.Exec("PRAGMA synchronous = OFF")
	check(t, err)
	return s
}

// reopen closes a store and opens its file again.
func reopen(t testing.TB, s *Store) *Store {
	t.Helper()
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	return openAt(t, s.path)
}

// must returns the value of a call that has to succeed.
func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func check(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func wantError(t testing.TB, got, want error) {
	t.Helper()
	if !errors.Is(got, want) {
		t.Errorf("got error %v, want %v", got, want)
	}
}

func wantEqual(t testing.TB, got, want any) {
	t.Helper()
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("got (+), want (-):\n%s", d)
	}
}

// wantConflict checks that err is a conflict at the version and returns what
// changed, as "what from to by".
func wantConflict(t testing.TB, err error, version int64) []string {
	t.Helper()
	var conflict *ErrConflict
	if !errors.As(err, &conflict) {
		t.Fatalf("got error %v, want a conflict", err)
	}
	if conflict.Version != version {
		t.Errorf("conflict at version %d, want %d", conflict.Version, version)
	}
	return shown(conflict.Changes)
}

func shown(changes []Change) []string {
	list := []string{}
	for _, c := range changes {
		list = append(list, c.What()+" "+orDash(c.From)+" "+orDash(c.To)+" "+c.By)
	}
	return list
}

func orDash(s *string) string {
	if s == nil {
		return "-"
	}
	return *s
}

var ctx = context.Background()

// raw opens a file behind the store's back.
func raw(t testing.TB, path string) *sql.DB {
	t.Helper()
	db := connect(path, "_busy_timeout=1000", 1)
	t.Cleanup(func() { db.Close() })
	return db
}

// wantFull checks that no field of a record, or of what belongs to it, is left
// at zero, so that a round trip misses no column.
func wantFull(t testing.TB, record any) {
	t.Helper()
	if path := firstZero(reflect.ValueOf(record), reflect.TypeOf(record).Name()); path != "" {
		t.Errorf("%s is zero: the round trip would not show that it is lost", path)
	}
}

func firstZero(v reflect.Value, path string) string {
	if v.IsZero() {
		return path
	}
	switch v.Kind() {
	case reflect.Slice:
		return firstZero(v.Index(v.Len()-1), path+"[last]")
	case reflect.Struct:
		for i := range v.NumField() {
			if field := v.Type().Field(i); field.IsExported() {
				if zero := firstZero(v.Field(i), path+"."+field.Name); zero != "" {
					return zero
				}
			}
		}
	}
	return ""
}

// addNamed adds an athlete with nothing but a name.
func addNamed(t testing.TB, s *Store, name string) int64 {
	t.Helper()
	id, err := s.AddAthlete(ctx, Athlete{Name: name}, anna)
	check(t, err)
	return id
}

// addFour adds a coxless four with a span in every seat.
func addFour(t testing.TB, s *Store) int64 {
	t.Helper()
	b := Boat{Name: "Kingfisher", ClassCode: "4-"}
	for i, side := range []string{"starboard", "port", "starboard", "port"} {
		b.Seats = append(b.Seats, Seat{Number: i + 1, Side: side, Rig: Rig{SpreadCm: ptr(84.0)}})
	}
	id, err := s.AddBoat(ctx, b, anna)
	check(t, err)
	return id
}
