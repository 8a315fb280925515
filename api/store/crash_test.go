package store_test

import (
	"bufio"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"strings"
	"testing"
	"thole/api/store"
	"thole/api/store/db"
	"thole/api/storetest"
)

// crashEnv holds the path of the database in the process that is to be killed.
const crashEnv = "STORE_TEST_CRASH_DB"

func TestMain(m *testing.M) {
	if path := os.Getenv(crashEnv); path != "" {
		writeUntilKilled(path)
	}
	os.Exit(m.Run())
}

// writeUntilKilled changes the first boat, its work sheet and the first
// athlete without end, and says on the standard output what was acknowledged.
func writeUntilKilled(path string) {
	s := storetest.Must(store.Open(storetest.Ctx, path))
	version := storetest.Must(s.Boat(storetest.Ctx, 1)).Version
	for i := 0; ; i++ {
		seat, value := 1+i%4, 80+rand.Float64()
		version = storetest.Must(s.ChangeRig(storetest.Ctx, 1, version, []store.RigSetting{{Seat: seat, Setting: "spread_cm", Value: value}}, "", storetest.Anna))
		fmt.Printf("rig %d %d %v\n", version, seat, value)

		id := storetest.Must(s.AddMeasures(storetest.Ctx, store.Measures{AthleteID: 1, MeasuredOn: "2026-03-01", Body: store.Body{MassKg: &value}}))
		fmt.Printf("mass %d %v\n", id, value)

		key := fmt.Sprint(version)
		storetest.Must(s.RecordReading(storetest.Ctx, 1, store.Reading{Seat: 1, Setting: "spread_cm", Value: value, Key: key}, storetest.Anna))
		fmt.Printf("reading %s %v\n", key, value)
	}
}

// acknowledged runs the writer, kills it after a number of lines and returns
// every line that it got out.
func acknowledged(t *testing.T, path string, lines int) []string {
	t.Helper()
	child := exec.Command(os.Args[0])
	child.Env = append(os.Environ(), crashEnv+"="+path)
	child.Stderr = os.Stderr
	out, err := child.StdoutPipe()
	storetest.Check(t, err)
	storetest.Check(t, child.Start())
	var acked []string
	for scanner := bufio.NewScanner(out); scanner.Scan(); {
		acked = append(acked, scanner.Text())
		if len(acked) == lines {
			storetest.Check(t, child.Process.Kill()) // SIGKILL
		}
	}
	if err := child.Wait(); err == nil || !strings.Contains(err.Error(), "killed") {
		t.Fatalf("the writer was to be killed: %v", err)
	}
	return acked
}

// It shows what a kill cannot take away; a power failure, which synchronous =
// FULL is for, cannot be had in a test.
func TestAcknowledgedChangesSurviveAKill(t *testing.T) {
	s := storetest.New(t)
	storetest.AddFour(t, s)
	storetest.AddNamed(t, s, "Edda")
	storetest.Must(s.AddSheet(storetest.Ctx, store.Sheet{BoatID: 1, BoatVersion: 1, Lines: []store.SheetLine{{Seat: 1, Setting: "spread_cm", Target: 85}}}, storetest.Anna))
	storetest.Check(t, s.Close())
	var all []string
	for round := range 5 {
		all = append(all, acknowledged(t, s.Path(), 7+6*round)...)
		storetest.Check(t, store.Sound(storetest.Ctx, s.Path()))
		survivor := storetest.At(t, s.Path())
		wantAll(t, survivor, all)
		wantWholeRig(t, survivor)
		storetest.Check(t, survivor.Close())
	}
	if len(all) < 90 {
		t.Errorf("only %d changes were acknowledged", len(all))
	}
}

// wantAll checks that every acknowledged change is on record.
func wantAll(t *testing.T, s *store.Store, acked []string) {
	t.Helper()
	there := map[string]bool{}
	for _, c := range storetest.Must(s.RigHistory(storetest.Ctx, 1, store.RigFilter{})) {
		there[fmt.Sprintf("rig %d %d %v", c.Version, c.Seat, *c.ToValue)] = true
	}
	for _, m := range storetest.Must(s.MeasuresOf(storetest.Ctx, 1)) {
		there[fmt.Sprintf("mass %d %v", m.ID, *m.MassKg)] = true
	}
	readings := storetest.Must(db.Read(storetest.Ctx, s.File, func(t *db.Tx) ([]store.Reading, error) {
		return db.List(t, func(r *store.Reading) []db.Column { return []db.Column{{"client_key", &r.Key}, {"value", &r.Value}} }, "sheet_readings")
	}))
	for _, r := range readings {
		there[fmt.Sprintf("reading %s %v", r.Key, r.Value)] = true
	}
	for _, line := range acked {
		if !there[line] {
			t.Errorf("%q was acknowledged and is lost", line)
		}
	}
}

// wantWholeRig checks that the boat agrees with its history.
func wantWholeRig(t *testing.T, s *store.Store) {
	t.Helper()
	b := storetest.Must(s.Boat(storetest.Ctx, 1))
	history := storetest.Must(s.RigHistory(storetest.Ctx, 1, store.RigFilter{}))
	last := map[string]float64{}
	for i := len(history) - 1; i >= 0; i-- {
		last[fmt.Sprint(history[i].Seat, history[i].Setting)] = *history[i].ToValue
	}
	got := map[string]float64{}
	for _, r := range store.RigOf(b.Seats) {
		got[fmt.Sprint(r.Seat, r.Setting)] = r.Value
	}
	storetest.WantEqual(t, got, last)
	if b.Version != history[0].Version {
		t.Errorf("the boat stands at version %d, its history at %d", b.Version, history[0].Version)
	}
}
