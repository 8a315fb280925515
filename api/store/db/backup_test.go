package db_test

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"thole/api/store"
	"thole/api/store/db"
	"thole/api/storetest"
)

func TestABackupIsADatabase(t *testing.T) {
	s := storetest.New(t)
	four := storetest.AddFour(t, s)
	path := filepath.Join(t.TempDir(), "backup.db")
	storetest.Check(t, s.Backup(storetest.Ctx, path))
	want := storetest.Must(s.Boat(storetest.Ctx, four))
	storetest.Must(s.ChangeRig(storetest.Ctx, four, 1, []store.RigSetting{{Seat: 1, Setting: "spread_cm", Value: 85}}, "", storetest.Anna)) // after the backup
	storetest.WantEqual(t, storetest.Must(storetest.At(t, path).Boat(storetest.Ctx, four)), want)
}

func TestABackupReplacesTheLastOne(t *testing.T) {
	s := storetest.New(t)
	path := filepath.Join(t.TempDir(), "backup.db")
	storetest.Check(t, s.Backup(storetest.Ctx, path))
	storetest.AddNamed(t, s, "Edda")
	storetest.Check(t, s.Backup(storetest.Ctx, path))
	if n := len(storetest.Must(storetest.At(t, path).Athletes(storetest.Ctx, store.Filter{}))); n != 1 {
		t.Errorf("the backup holds %d athletes, want 1", n)
	}
}

func TestABackupOnlyTheOwnerCanRead(t *testing.T) {
	path := filepath.Join(t.TempDir(), "backup.db")
	storetest.Check(t, storetest.New(t).Backup(storetest.Ctx, path))
	if mode := storetest.Must(os.Stat(path)).Mode().Perm(); mode != 0o600 {
		t.Errorf("the backup has mode %o", mode)
	}
}

func TestABackupDoesNotWaitForAWrite(t *testing.T) {
	s := storetest.New(t)
	storetest.AddNamed(t, s, "Edda")
	held, err := storetest.Writer(s).Begin()
	storetest.Check(t, err)
	defer held.Rollback()
	storetest.Check(t, s.Backup(storetest.Ctx, filepath.Join(t.TempDir(), "backup.db")))
}

func TestAFailedBackupLeavesNothingBehind(t *testing.T) {
	s := storetest.New(t)
	folder := t.TempDir()
	path := filepath.Join(folder, "backup.db")
	storetest.Check(t, os.WriteFile(path, []byte("the last good one"), 0o600))
	damage(t, s)
	storetest.WantError(t, s.Backup(storetest.Ctx, path), store.ErrDamaged)
	storetest.WantEqual(t, string(storetest.Must(os.ReadFile(path))), "the last good one")
	if n := len(storetest.Must(os.ReadDir(folder))); n != 1 {
		t.Errorf("%d files in the folder, want the last backup alone", n)
	}
}

// damage makes a reference that leads nowhere, as a broken disk might.
func damage(t *testing.T, s *store.Store) {
	t.Helper()
	_, err := storetest.Raw(t, s.Path()).Exec("INSERT INTO seats (boat_id, number, side, can_change_sides) VALUES (77, 1, '', 0)")
	storetest.Check(t, err)
}

func TestVerifyFindsAChangedByte(t *testing.T) {
	s := storetest.New(t)
	storetest.AddNamed(t, s, "Edda of the changed byte")
	path := filepath.Join(t.TempDir(), "backup.db")
	storetest.Check(t, s.Backup(storetest.Ctx, path))
	data := storetest.Must(os.ReadFile(path))
	at := bytes.Index(data, []byte("edda of the changed byte")) // in the index or the table, which must agree
	data[at] = 'x'
	storetest.Check(t, os.WriteFile(path, data, 0o600))
	storetest.WantError(t, db.Verify(storetest.Ctx, path), store.ErrDamaged)
}

func TestTheDatabaseIsNoPlaceForItsBackup(t *testing.T) {
	s := storetest.New(t)
	storetest.WantError(t, s.Backup(storetest.Ctx, s.Path()), store.ErrInvalid)
	storetest.AddNamed(t, s, "Edda")
}

func TestADeletedRecordingIsGoneFromTheFile(t *testing.T) {
	s := storetest.New(t)
	curve := make([]float64, 101)
	for i := range curve {
		curve[i] = 0.1 * float64(i)
	}
	times := make([]float64, 5000)
	for i := range times {
		times[i] = float64(i) / 50
	}
	r := store.Recording{RecordedOn: "2026-03-01", Thresholds: "{}", SourceFile: "outing-of-the-tenth.csv", MeanCurve: curve, Samples: store.Samples{TimeS: times}}
	id := storetest.Must(storetest.AddRecording(storetest.Ctx, s, r))
	marks := []string{r.SourceFile, encoded(curve[90:101]), encoded(times[4000:4010]), encoded(times[:10])}
	storetest.WantThere(t, s, marks...)
	storetest.Check(t, s.DeleteRecording(storetest.Ctx, id))
	storetest.WantGone(t, s, marks...)
}

func encoded(values []float64) string {
	return string(storetest.Must(binary.Append(nil, binary.LittleEndian, values)))
}

// With hundreds of rows that come, change and go, SQLite moves rows between
// pages; what it leaves behind must be gone, too.
func TestDeletedAthletesAreGoneFromTheFile(t *testing.T) {
	s := storetest.New(t)
	mark := func(id int64) string { return fmt.Sprintf("name-of-%04d", id) }
	random := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		id := storetest.AddNamed(t, s, fmt.Sprintf("%x", random.Uint64()))
		storetest.Must(s.UpdateAthlete(storetest.Ctx, store.Athlete{ID: id, Version: 1, Name: mark(id), Note: strings.Repeat("n", random.IntN(400))}, storetest.Anna))
		storetest.Must(s.AddMeasures(storetest.Ctx, store.Measures{AthleteID: id, MeasuredOn: "2026-03-01", Body: store.Body{MassKg: storetest.Ptr(80.0)}, Note: mark(id)}))
	}
	var gone []string
	for id := int64(1); id <= 300; id += 3 {
		gone = append(gone, mark(id))
	}
	storetest.WantThere(t, s, gone...)
	for id := int64(1); id <= 300; id += 3 {
		storetest.Check(t, db.Erase(storetest.Ctx, s.File, "athletes", id))
	}
	storetest.WantThere(t, s, gone[0]) // in the log
	storetest.Check(t, s.Wipe(storetest.Ctx))
	storetest.WantGone(t, s, gone...)
	storetest.WantThere(t, s, mark(2))
}

func TestTracesAreToldWhenTheLogCannotBeEmptied(t *testing.T) {
	s := storetest.New(t)
	id := storetest.AddNamed(t, s, "Edda")
	_, err := storetest.Writer(s).Exec("PRAGMA busy_timeout = 1")
	storetest.Check(t, err)
	_, err = db.Read(storetest.Ctx, s.File, func(r *db.Tx) (struct{}, error) {
		storetest.Check(t, r.Exists("athletes", id)) // takes the snapshot that keeps the log
		storetest.WantError(t, s.DeleteAthlete(storetest.Ctx, id), store.ErrTraces)
		return struct{}{}, nil
	})
	storetest.Check(t, err)
	_, err = s.Athlete(storetest.Ctx, id)
	storetest.WantError(t, err, store.ErrNotFound)
	if storetest.Must(s.Traces(storetest.Ctx)).IsZero() {
		t.Error("nothing is left to be wiped")
	}
	storetest.Check(t, s.WipeTraces(storetest.Ctx))
	storetest.WantGone(t, s, "Edda")
	if since := storetest.Must(s.Traces(storetest.Ctx)); !since.IsZero() {
		t.Errorf("still to be wiped since %v", since)
	}
	_, err = db.Read(storetest.Ctx, s.File, func(r *db.Tx) (struct{}, error) { // the log cannot be emptied, and need not be
		storetest.WantError(t, r.Exists("athletes", id), store.ErrNotFound)
		storetest.AddNamed(t, s, "Frieda")
		return struct{}{}, s.WipeTraces(storetest.Ctx)
	})
	storetest.Check(t, err)
}

func TestDeletingWhatIsNotThere(t *testing.T) {
	s := storetest.New(t)
	for name, remove := range map[string]func(int64) error{
		"athlete": func(id int64) error { return s.DeleteAthlete(storetest.Ctx, id) }, "boat": func(id int64) error { return s.DeleteBoat(storetest.Ctx, id) },
		"oars": func(id int64) error { return s.DeleteOarSet(storetest.Ctx, id) }, "line-up": func(id int64) error { return s.DeleteLineup(storetest.Ctx, id) },
		"sheet": func(id int64) error { return s.DeleteSheet(storetest.Ctx, id) }, "recording": func(id int64) error { return s.DeleteRecording(storetest.Ctx, id) },
		"seat_race": func(id int64) error { return s.DeleteSeatRace(storetest.Ctx, id) }, "account": func(id int64) error { return s.DeleteAccount(storetest.Ctx, id) },
		"test": func(id int64) error { return s.RemoveErgTest(storetest.Ctx, 1, id, storetest.Anna) }, "mapping": func(int64) error { return s.DeleteMapping(storetest.Ctx, "x") },
	} {
		if err := remove(99); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("%s: got error %v, want ErrNotFound", name, err)
		}
	}
}
