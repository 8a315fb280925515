package main

import (
	"bytes"
	"context"
	"database/sql"
	"fmt"
	"net/http"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime/debug"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"thole/api/store"
)

// ended runs a command line and checks its exit code.
func ended(t *testing.T, want int, args ...string) (stdout, stderr string) {
	t.Helper()
	code, stdout, stderr := output(t, args...)
	if code != want {
		t.Fatalf("%q: exit code %d, want %d\nout %s\nerr %s", args, code, want, stdout, stderr)
	}
	return stdout, stderr
}

func addAthlete(t *testing.T, p *program, name string) {
	t.Helper()
	wantStatus(t, send(t, http.MethodPost, p.url+"/api/v1/athletes", fmt.Sprintf(`{"name":%q,"by":"Anna"}`, name), asJSON), http.StatusCreated)
}

// TestBackupAndRestore walks the drill that the page for whoever runs the server
// describes.
func TestBackupAndRestore(t *testing.T) {
	folder := t.TempDir()
	db, saved := filepath.Join(folder, "club.db"), filepath.Join(folder, "saved.db")
	p := start(t, "serve", "-addr", "127.0.0.1:0", "-db", db)
	addAthlete(t, p, "Edda")
	addAthlete(t, p, "Frieda")
	ended(t, exitOK, "backup", "-db", db, saved) // while the server runs
	wantStatus(t, send(t, http.MethodDelete, p.url+"/api/v1/athletes/2", "", nil), http.StatusOK)
	addAthlete(t, p, "Later")
	if _, said := ended(t, exitFailed, "backup", "-db", db, saved); !strings.Contains(said, "-replace") {
		t.Errorf("a backup that is there: %s", said)
	}
	if _, said := ended(t, exitFailed, "restore", "-db", db, saved); !strings.Contains(said, "there already") {
		t.Errorf("without -replace: %s", said)
	}
	if _, said := ended(t, exitFailed, "restore", "-db", db, "-replace", saved); !strings.Contains(said, "stop the server") {
		t.Errorf("while the server runs: %s", said)
	}
	if code := p.end(t); code != exitOK {
		t.Fatal(code)
	}
	checked, _ := ended(t, exitOK, "check", "-db", saved)
	if left, err := filepath.Glob(saved + "*"); err != nil || len(left) != 1 {
		t.Errorf("check leaves %q beside the backup, %v", left, err)
	}
	if !strings.Contains(checked, "athlete      2 read") {
		t.Errorf("%s", checked)
	}
	said, _ := ended(t, exitOK, "restore", "-db", db, "-replace", saved)
	if !strings.Contains(said, "Athlete 2, Frieda, had been removed") || strings.Contains(said, "Edda") {
		t.Errorf("%s", said)
	}
	p = start(t, "serve", "-addr", "127.0.0.1:0", "-db", db)
	if list := get(t, p.url+"/api/v1/athletes").body; !strings.Contains(list, "Frieda") || strings.Contains(list, "Later") {
		t.Errorf("%s", list)
	}
	if aside, err := filepath.Glob(db + ".replaced-*"); err != nil || len(aside) != 1 {
		t.Errorf("%q %v", aside, err)
	}
}

func TestCommandsOfBackupsThatMakeNoSense(t *testing.T) {
	for _, args := range [][]string{
		{"backup"}, {"backup", "a.db", "b.db"}, {"backup", "-dir", "x", "a.db"}, {"backup", "-dir", "x", "-keep", "0"}, {"restore"}, {"restore", "a", "b"}, {"check", "a"},
	} {
		if _, said := ended(t, exitUsage, args...); !strings.Contains(said, "Usage: thole") {
			t.Errorf("%q: %s", args, said)
		}
	}
	missing := filepath.Join(t.TempDir(), "missing.db")
	for _, args := range [][]string{{"backup", "-db", missing, missing + "2"}, {"check", "-db", missing}, {"restore", "-db", missing + "2", missing}} {
		ended(t, exitFailed, args...)
		if _, err := os.Stat(missing); err == nil {
			t.Errorf("%q made the file", args)
		}
	}
}

func TestBackupsInAFolder(t *testing.T) {
	folder := t.TempDir()
	db := filepath.Join(t.TempDir(), "club.db")
	start(t, "serve", "-addr", "127.0.0.1:0", "-db", db).end(t)
	if err := os.WriteFile(filepath.Join(folder, "thole-20200101T000000Z.db"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	ended(t, exitOK, "backup", "-db", db, "-dir", folder, "-keep", "1")
	left, err := store.Backups(folder)
	if err != nil || len(left) != 1 || time.Since(left[0].At) > time.Hour {
		t.Errorf("%+v %v", left, err)
	}
}

func TestAServerMakesItsBackups(t *testing.T) {
	folder := t.TempDir()
	p := start(t, "serve", "-addr", "127.0.0.1:0", "-backup-dir", folder)
	deadline := time.Now().Add(patience)
	for time.Now().Before(deadline) {
		if made, err := store.Backups(folder); err == nil && len(made) == 1 {
			break
		}
		time.Sleep(10 * time.Millisecond)
	}
	p.end(t)
	made, err := store.Backups(folder)
	if err != nil || len(made) != 1 {
		t.Fatalf("%+v %v\n%s", made, err, p.log)
	}
	ended(t, exitOK, "check", "-db", made[0].Path)
	for _, args := range [][]string{{"-backup-dir", folder + "x"}, {"-backup-dir", folder, "-backup-every", "1s"}, {"-backup-dir", folder, "-backup-keep", "0"}} {
		ended(t, exitFailed, append([]string{"serve", "-addr", "127.0.0.1:0"}, args...)...)
	}
}

// TestADamagedFileIsToldAtTheStart also holds that check tells it.
func TestADamagedFileIsToldAtTheStart(t *testing.T) {
	db := filepath.Join(t.TempDir(), "club.db")
	p := start(t, "demo", "-addr", "127.0.0.1:0", "-db", db)
	p.end(t)
	content, err := os.ReadFile(db)
	if err != nil {
		t.Fatal(err)
	}
	copy(content[4096*5:], bytes.Repeat([]byte{0x5A}, 4096*20))
	if err := os.WriteFile(db, content, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{{"serve", "-addr", "127.0.0.1:0", "-db", db}, {"check", "-db", db}} {
		if _, said := ended(t, exitFailed, args...); !strings.Contains(said, "damaged") || args[0] == "serve" && !strings.Contains(said, "thole restore") {
			t.Errorf("%s: %s", args[0], said)
		}
	}
}

func TestCheckNamesWhatCannotBeRead(t *testing.T) {
	path := filepath.Join(t.TempDir(), "club.db")
	start(t, "demo", "-addr", "127.0.0.1:0", "-db", path).end(t)
	ended(t, exitOK, "check", "-db", path)
	db, err := sql.Open("sqlite3", path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if _, err := db.Exec("UPDATE boats SET class_code = '9x' WHERE id = 10"); err != nil {
		t.Fatal(err)
	}
	out, said := ended(t, exitFailed, "check", "-db", path)
	if !strings.Contains(out, "boat 10 cannot be read") || !strings.Contains(said, "1 records cannot be read") {
		t.Errorf("%s\n%s", out, said)
	}
}

// TestAFileThatIsTakenAwayIsTold asks /healthz, a page and the JSON interface.
func TestAFileThatIsTakenAwayIsTold(t *testing.T) {
	db := filepath.Join(t.TempDir(), "club.db")
	p := start(t, "serve", "-addr", "127.0.0.1:0", "-db", db)
	if err := os.Rename(db, db+"x"); err != nil {
		t.Fatal(err)
	}
	wantStatus(t, get(t, p.url+"/healthz"), http.StatusServiceUnavailable)
	got := send(t, http.MethodPost, p.url+"/api/v1/athletes", `{"name":"Edda","by":"Anna"}`, asJSON)
	wantStatus(t, got, http.StatusServiceUnavailable)
	if !strings.Contains(got.body, "nothing of this was saved") {
		t.Errorf("%s", got.body)
	}
	if err := os.Rename(db+"x", db); err != nil {
		t.Fatal(err)
	}
	wantStatus(t, get(t, p.url+"/healthz"), http.StatusOK)
}

// commandEnv makes the test program one of its own, to be killed: its lines are the
// words of the command line. sizeEnv bounds the bytes of every file that it writes, as
// a quota does.
const (
	commandEnv = "THOLE_TEST_COMMAND"
	sizeEnv    = "THOLE_TEST_FILE_SIZE"
)

func TestMain(m *testing.M) {
	if words := os.Getenv(commandEnv); words != "" {
		os.Unsetenv(commandEnv)
		boundFiles(os.Getenv(sizeEnv))
		os.Exit(run(context.Background(), strings.Split(words, "\n"), os.Stdout, os.Stderr))
	}
	os.Exit(m.Run())
}

// boundFiles keeps this process from writing beyond so many bytes of any file; "" is
// no bound.
func boundFiles(bytes string) {
	if bytes == "" {
		return
	}
	most, err := strconv.ParseUint(bytes, 10, 63)
	if err == nil {
		signal.Ignore(syscall.SIGXFSZ)
		err = syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: most, Max: most})
	}
	if err != nil {
		panic(err)
	}
}

// separate is the program as a process of its own.
func separate(args ...string) *exec.Cmd {
	child := exec.Command(os.Args[0])
	child.Env = append(os.Environ(), commandEnv+"="+strings.Join(args, "\n"))
	return child
}

// TestADemoThatIsKilledLeavesNoHalfOfAClub kills it ever later while it fills the
// file.
func TestADemoThatIsKilledLeavesNoHalfOfAClub(t *testing.T) {
	db := filepath.Join(t.TempDir(), "demo.db")
	halves := 0
	for wait := time.Duration(0); wait < 200*time.Millisecond; wait += 40 * time.Millisecond {
		child := separate("demo", "-addr", "127.0.0.1:0", "-db", db)
		if err := child.Start(); err != nil {
			t.Fatal(err)
		}
		for range 400 { // until it has begun
			if _, err := os.Stat(db + ".filling"); err == nil {
				break
			}
			time.Sleep(time.Millisecond)
		}
		time.Sleep(wait)
		_ = child.Process.Kill()
		_ = child.Wait()
		if _, err := os.Stat(db + ".filling"); err == nil {
			halves++
		}
		if _, err := os.Stat(db); err == nil {
			break
		}
	}
	if halves == 0 {
		t.Skip("no kill came in time")
	}
	start(t, "demo", "-addr", "127.0.0.1:0", "-db", db).end(t)
	out, _ := ended(t, exitOK, "check", "-db", db)
	whole := filepath.Join(t.TempDir(), "demo.db")
	start(t, "demo", "-addr", "127.0.0.1:0", "-db", whole).end(t)
	want, _ := ended(t, exitOK, "check", "-db", whole)
	if strings.ReplaceAll(out, db, "") != strings.ReplaceAll(want, whole, "") {
		t.Errorf("after a kill\n%s\nwithout\n%s", out, want)
	}
}

func TestABuildCanBeStamped(t *testing.T) {
	stamp = "v1.2.3"
	defer func() { stamp = "" }()
	if got := describeBuild(&debug.BuildInfo{Main: debug.Module{Version: "(devel)"}}); !strings.HasPrefix(got, "thole v1.2.3,") {
		t.Error(got)
	}
	dockerfile, err := os.ReadFile("../../Dockerfile")
	if err != nil || !strings.Contains(string(dockerfile), "-X main.stamp=$VERSION") {
		t.Errorf("the image is not stamped: %v", err)
	}
}
