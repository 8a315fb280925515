package store

import (
	"bytes"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestABackupIsADatabase(t *testing.T) {
	s := open(t)
	four := addFour(t, s)
	path := filepath.Join(t.TempDir(), "backup.db")
	check(t, s.Backup(ctx, path))
	want := must(s.Boat(ctx, four))
	must(s.ChangeRig(ctx, four, 1, []RigSetting{{1, "spread_cm", 85}}, "", anna)) // after the backup
	wantEqual(t, must(openAt(t, path).Boat(ctx, four)), want)
}

func TestABackupReplacesTheLastOne(t *testing.T) {
	s := open(t)
	path := filepath.Join(t.TempDir(), "backup.db")
	check(t, s.Backup(ctx, path))
	addNamed(t, s, "Edda")
	check(t, s.Backup(ctx, path))
	if n := len(must(openAt(t, path).Athletes(ctx, Filter{}))); n != 1 {
		t.Errorf("the backup holds %d athletes, want 1", n)
	}
}

func TestABackupOnlyTheOwnerCanRead(t *testing.T) {
	path := filepath.Join(t.TempDir(), "backup.db")
	check(t, open(t).Backup(ctx, path))
	if mode := must(os.Stat(path)).Mode().Perm(); mode != 0o600 {
		t.Errorf("the backup has mode %o", mode)
	}
}

func TestABackupDoesNotWaitForAWrite(t *testing.T) {
	s := open(t)
	addNamed(t, s, "Edda")
	held, err := s.writer.Begin()
	check(t, err)
	defer held.Rollback()
	check(t, s.Backup(ctx, filepath.Join(t.TempDir(), "backup.db")))
}

func TestAFailedBackupLeavesNothingBehind(t *testing.T) {
	s := open(t)
	folder := t.TempDir()
	path := filepath.Join(folder, "backup.db")
	check(t, os.WriteFile(path, []byte("the last good one"), 0o600))
	damage(t, s)
	wantError(t, s.Backup(ctx, path), ErrDamaged)
	wantEqual(t, string(must(os.ReadFile(path))), "the last good one")
	if n := len(must(os.ReadDir(folder))); n != 1 {
		t.Errorf("%d files in the folder, want the last backup alone", n)
	}
}

// damage makes a reference that leads nowhere, as a broken disk might.
func damage(t *testing.T, s *Store) {
	t.Helper()
	_, err := raw(t, s.path).Exec("INSERT INTO seats (boat_id, number, side, can_change_sides) VALUES (77, 1, '', 0)")
	check(t, err)
}

func TestVerifyFindsAChangedByte(t *testing.T) {
	s := open(t)
	addNamed(t, s, "Edda of the changed byte")
	path := filepath.Join(t.TempDir(), "backup.db")
	check(t, s.Backup(ctx, path))
	data := must(os.ReadFile(path))
	at := bytes.Index(data, []byte("edda of the changed byte")) // in the index or the table, which must agree
	data[at] = 'x'
	check(t, os.WriteFile(path, data, 0o600))
	wantError(t, verify(ctx, path), ErrDamaged)
}

func TestTheDatabaseIsNoPlaceForItsBackup(t *testing.T) {
	s := open(t)
	wantError(t, s.Backup(ctx, s.path), ErrInvalid)
	addNamed(t, s, "Edda")
}

// bytesOnDisk reads everything that the database has in files.
func bytesOnDisk(t *testing.T, s *Store) []byte {
	t.Helper()
	var all []byte
	for _, name := range must(filepath.Glob(s.path + "*")) {
		if !strings.HasSuffix(name, "-shm") { // holds numbers of pages, no content
			all = append(all, must(os.ReadFile(name))...)
		}
	}
	return all
}

func wantGone(t *testing.T, s *Store, marks ...string) {
	t.Helper()
	disk := bytesOnDisk(t, s)
	for _, mark := range marks {
		if bytes.Contains(disk, []byte(mark)) {
			t.Errorf("%q can still be read in the file", mark)
		}
	}
}

func wantThere(t *testing.T, s *Store, marks ...string) {
	t.Helper()
	disk := bytesOnDisk(t, s)
	for _, mark := range marks {
		if !bytes.Contains(disk, []byte(mark)) {
			t.Fatalf("%q is not in the file, so that its deletion would show nothing", mark)
		}
	}
}

func TestADeletedRecordingIsGoneFromTheFile(t *testing.T) {
	s := open(t)
	curve := make([]float64, 101)
	for i := range curve {
		curve[i] = 0.1 * float64(i)
	}
	times := make([]float64, 5000)
	for i := range times {
		times[i] = float64(i) / 50
	}
	r := Recording{RecordedOn: "2026-03-01", Thresholds: "{}", SourceFile: "outing-of-the-tenth.csv", MeanCurve: curve, Samples: Samples{TimeS: times}}
	id := must(s.addRecording(ctx, r))
	marks := []string{r.SourceFile, encoded(curve[90:101]), encoded(times[4000:4010]), encoded(times[:10])}
	wantThere(t, s, marks...)
	check(t, s.DeleteRecording(ctx, id))
	wantGone(t, s, marks...)
}

func encoded(values []float64) string {
	return string(must(series(values).Value()).([]byte))
}

// With hundreds of rows that come, change and go, SQLite moves rows between
// pages; what it leaves behind must be gone, too.
func TestDeletedAthletesAreGoneFromTheFile(t *testing.T) {
	s := open(t)
	mark := func(id int64) string { return fmt.Sprintf("name-of-%04d", id) }
	random := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		id := addNamed(t, s, fmt.Sprintf("%x", random.Uint64()))
		must(s.UpdateAthlete(ctx, Athlete{ID: id, Version: 1, Name: mark(id), Note: strings.Repeat("n", random.IntN(400))}, anna))
		must(s.AddMeasures(ctx, Measures{AthleteID: id, MeasuredOn: "2026-03-01", Body: Body{MassKg: ptr(80.0)}, Note: mark(id)}))
	}
	var gone []string
	for id := int64(1); id <= 300; id += 3 {
		gone = append(gone, mark(id))
	}
	wantThere(t, s, gone...)
	for id := int64(1); id <= 300; id += 3 {
		check(t, erase(ctx, s, "athletes", id))
	}
	wantThere(t, s, gone[0]) // in the log
	check(t, s.Wipe(ctx))
	wantGone(t, s, gone...)
	wantThere(t, s, mark(2))
}

func TestTracesAreToldWhenTheLogCannotBeEmptied(t *testing.T) {
	s := open(t)
	id := addNamed(t, s, "Edda")
	_, err := s.writer.Exec("PRAGMA busy_timeout = 1")
	check(t, err)
	_, err = read(ctx, s, func(r *tx) (struct{}, error) {
		check(t, r.exists("athletes", id)) // takes the snapshot that keeps the log
		wantError(t, s.DeleteAthlete(ctx, id), ErrTraces)
		return struct{}{}, nil
	})
	check(t, err)
	_, err = s.Athlete(ctx, id)
	wantError(t, err, ErrNotFound)
	check(t, s.Wipe(ctx))
	wantGone(t, s, "Edda")
}

func TestDeletingWhatIsNotThere(t *testing.T) {
	s := open(t)
	for name, remove := range map[string]func(int64) error{
		"athlete": func(id int64) error { return s.DeleteAthlete(ctx, id) }, "boat": func(id int64) error { return s.DeleteBoat(ctx, id) },
		"oars": func(id int64) error { return s.DeleteOarSet(ctx, id) }, "line-up": func(id int64) error { return s.DeleteLineup(ctx, id) },
		"sheet": func(id int64) error { return s.DeleteSheet(ctx, id) }, "recording": func(id int64) error { return s.DeleteRecording(ctx, id) },
		"seat_race": func(id int64) error { return s.DeleteSeatRace(ctx, id) }, "account": func(id int64) error { return s.DeleteAccount(ctx, id) },
		"test": func(id int64) error { return s.RemoveErgTest(ctx, 1, id, anna) }, "mapping": func(int64) error { return s.DeleteMapping(ctx, "x") },
	} {
		if err := remove(99); !errors.Is(err, ErrNotFound) {
			t.Errorf("%s: got error %v, want ErrNotFound", name, err)
		}
	}
}
