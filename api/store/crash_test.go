package store

import (
	"bufio"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"strings"
	"testing"
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
	s := must(Open(ctx, path))
	version := must(s.Boat(ctx, 1)).Version
	for i := 0; ; i++ {
		seat, value := 1+i%4, 80+rand.Float64()
		version = must(s.ChangeRig(ctx, 1, version, []RigSetting{{seat, "spread_cm", value}}, "", anna))
		fmt.Printf("rig %d %d %v\n", version, seat, value)

		id := must(s.AddMeasures(ctx, Measures{AthleteID: 1, MeasuredOn: "2026-03-01", Body: Body{MassKg: &value}}))
		fmt.Printf("mass %d %v\n", id, value)

		key := fmt.Sprint(version)
		must(s.RecordReading(ctx, 1, Reading{1, "spread_cm", value, key}, anna))
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
	check(t, err)
	check(t, child.Start())
	var acked []string
	for scanner := bufio.NewScanner(out); scanner.Scan(); {
		acked = append(acked, scanner.Text())
		if len(acked) == lines {
			check(t, child.Process.Kill()) // SIGKILL
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
	s := open(t)
	addFour(t, s)
	addNamed(t, s, "Edda")
	must(s.AddSheet(ctx, Sheet{BoatID: 1, BoatVersion: 1, Lines: []SheetLine{{Seat: 1, Setting: "spread_cm", Target: 85}}}, anna))
	check(t, s.Close())
	var all []string
	for round := range 5 {
		all = append(all, acknowledged(t, s.path, 7+6*round)...)
		check(t, verify(ctx, s.path))
		survivor := openAt(t, s.path)
		wantAll(t, survivor, all)
		wantWholeRig(t, survivor)
		check(t, survivor.Close())
	}
	if len(all) < 90 {
		t.Errorf("only %d changes were acknowledged", len(all))
	}
}

// wantAll checks that every acknowledged change is on record.
func wantAll(t *testing.T, s *Store, acked []string) {
	t.Helper()
	there := map[string]bool{}
	for _, c := range must(s.RigHistory(ctx, 1, RigFilter{})) {
		there[fmt.Sprintf("rig %d %d %v", c.Version, c.Seat, *c.ToValue)] = true
	}
	for _, m := range must(s.MeasuresOf(ctx, 1)) {
		there[fmt.Sprintf("mass %d %v", m.ID, *m.MassKg)] = true
	}
	readings := must(read(ctx, s, func(t *tx) ([]Reading, error) {
		return list(t, func(r *Reading) []column { return []column{{"client_key", &r.Key}, {"value", &r.Value}} }, "sheet_readings")
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
func wantWholeRig(t *testing.T, s *Store) {
	t.Helper()
	b := must(s.Boat(ctx, 1))
	history := must(s.RigHistory(ctx, 1, RigFilter{}))
	last := map[string]float64{}
	for i := len(history) - 1; i >= 0; i-- {
		last[fmt.Sprint(history[i].Seat, history[i].Setting)] = *history[i].ToValue
	}
	got := map[string]float64{}
	for _, r := range RigOf(b.Seats) {
		got[fmt.Sprint(r.Seat, r.Setting)] = r.Value
	}
	wantEqual(t, got, last)
	if b.Version != history[0].Version {
		t.Errorf("the boat stands at version %d, its history at %d", b.Version, history[0].Version)
	}
}
