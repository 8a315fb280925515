package main

import (
	"bufio"
	"context"
	"database/sql"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"thole/api/store"
)

// process is a server that runs beside the tests.
type process struct {
	*exec.Cmd
	url string
}

// launch starts a server as a process of its own and waits until it listens.
func launch(t testing.TB, env string, args ...string) *process {
	t.Helper()
	child := separate(args...)
	child.Env = append(child.Env, env)
	said, err := child.StderrPipe()
	if err == nil {
		err = child.Start()
	}
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = child.Process.Kill() })
	lines, log := bufio.NewScanner(said), ""
	for lines.Scan() {
		log += lines.Text() + "\n"
		if m := listening.FindStringSubmatch(lines.Text()); m != nil {
			go func() { _, _ = io.Copy(io.Discard, said) }()
			return &process{child, m[1]}
		}
	}
	_ = child.Wait()
	t.Fatalf("the server does not listen:\n%s", log)
	return nil
}

// kill ends a process as a loss of power ends the programs of a machine.
func (p *process) kill(t testing.TB) {
	t.Helper()
	if err := p.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	if err := p.Wait(); err == nil || !strings.Contains(err.Error(), "killed") {
		t.Fatalf("the server was to be killed: %v", err)
	}
}

// put sends a write and returns the status; 0 where no answer came.
func (p *process) put(method, path, body string) int {
	r, err := http.NewRequest(method, p.url+path, strings.NewReader(body))
	if err != nil {
		panic(err)
	}
	r.Header.Set("Content-Type", "application/json")
	client := http.Client{Timeout: patience}
	answer, err := client.Do(r)
	if err != nil {
		return 0
	}
	defer func() { _ = answer.Body.Close() }()
	if _, err := io.Copy(io.Discard, answer.Body); err != nil {
		return 0
	}
	return answer.StatusCode
}

// writeUntilKilled adds athletes by several writers at once, kills the server in the
// middle of it and returns the names whose writes were acknowledged.
func (p *process) writeUntilKilled(t testing.TB, round, writers int, after time.Duration) (acknowledged []string) {
	t.Helper()
	var mu sync.Mutex
	var busy sync.WaitGroup
	for w := range writers {
		busy.Go(func() {
			for i := 0; ; i++ {
				name := fmt.Sprintf("Athlete %d %d %d", round, w, i)
				status := p.put(http.MethodPost, "/api/v1/athletes", fmt.Sprintf(`{"name":%q,"by":"Anna"}`, name))
				if status == 0 {
					return
				}
				if status != http.StatusCreated {
					t.Errorf("%s: %d", name, status)
					return
				}
				mu.Lock()
				acknowledged = append(acknowledged, name)
				mu.Unlock()
			}
		})
	}
	time.Sleep(after)
	p.kill(t)
	busy.Wait()
	return acknowledged
}

// long is set where tests of faults may take minutes.
func long() bool { return os.Getenv("THOLE_LONG") != "" }

// TestAcknowledgedWritesSurviveKills kills a server under concurrent writers, again
// and again over the same file: whatever was acknowledged is there, and the file holds
// together. A loss of power, which synchronous=FULL is for, cannot be had in a test.
func TestAcknowledgedWritesSurviveKills(t *testing.T) {
	db := filepath.Join(t.TempDir(), "club.db")
	rounds := 3
	if long() {
		rounds = 60
	}
	random := rand.New(rand.NewPCG(9, 9))
	var all []string
	for round := range rounds {
		p := launch(t, "", "serve", "-addr", "127.0.0.1:0", "-db", db)
		all = append(all, p.writeUntilKilled(t, round, 8, time.Duration(50+random.IntN(200))*time.Millisecond)...)
		wantNames(t, db, all)
	}
	ended(t, exitOK, "check", "-db", db)
	t.Logf("%d writes were acknowledged in %d rounds", len(all), rounds)
	if len(all) < 10*rounds {
		t.Errorf("only %d writes were acknowledged in %d rounds", len(all), rounds)
	}
}

// wantNames checks that the athletes are on record.
func wantNames(t testing.TB, db string, names []string) {
	t.Helper()
	s, err := store.Open(context.Background(), db)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = s.Close() }()
	athletes, err := s.Athletes(context.Background(), store.Filter{})
	if err != nil {
		t.Fatal(err)
	}
	there := map[string]bool{}
	for _, a := range athletes {
		there[a.Name] = true
	}
	for _, name := range names {
		if !there[name] {
			t.Errorf("%s was acknowledged and is lost", name)
		}
	}
}

// TestAFullDiskUnderAServer bounds what the server may write: writes are refused with
// what is wrong, reads go on, nothing acknowledged is lost, and with more room it goes
// on as before.
func TestAFullDiskUnderAServer(t *testing.T) {
	db := filepath.Join(t.TempDir(), "club.db")
	start(t, "serve", "-addr", "127.0.0.1:0", "-db", db).end(t)
	p := launch(t, sizeEnv+"=700000", "serve", "-addr", "127.0.0.1:0", "-db", db)
	var kept []string
	refused := map[int]int{}
	for i := 0; len(refused) == 0 || refused[http.StatusInsufficientStorage] < 5; i++ {
		name := fmt.Sprint("Athlete ", i)
		status := p.put(http.MethodPost, "/api/v1/athletes", fmt.Sprintf(`{"name":%q,"note":%q,"by":"Anna"}`, name, strings.Repeat("x", 900)))
		if status == http.StatusCreated {
			kept = append(kept, name)
		} else {
			refused[status]++
		}
		if i > 3000 {
			t.Fatalf("the disk does not fill: %v", refused)
		}
	}
	if len(refused) != 1 {
		t.Errorf("writes are refused with %v", refused)
	}
	for _, path := range []string{"/api/v1/athletes", "/athletes", "/"} {
		wantStatus(t, get(t, p.url+path), http.StatusOK)
	}
	p.kill(t)
	wantNames(t, db, kept)
	ended(t, exitOK, "check", "-db", db)
	p = launch(t, "", "serve", "-addr", "127.0.0.1:0", "-db", db)
	if status := p.put(http.MethodPost, "/api/v1/athletes", `{"name":"After","by":"Anna"}`); status != http.StatusCreated {
		t.Errorf("with room again: %d", status)
	}
	p.kill(t)
	wantNames(t, db, append(kept, "After"))
}

// TestReadsGoOnWhileTheDiskIsSlow keeps the file locked for writing, as a disk does
// that takes its time: pages and lists are answered meanwhile, also to somebody who
// signed in, and the write when the disk has caught up.
func TestReadsGoOnWhileTheDiskIsSlow(t *testing.T) {
	l := newSignedIn(t)
	other, err := sql.Open("sqlite3", "file:"+l.file+"?_txlock=immediate")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = other.Close() }()
	held, err := other.Begin()
	if err != nil {
		t.Fatal(err)
	}
	written, begun := make(chan int, 1), time.Now()
	go func() {
		c := l.dial()
		defer c.Close()
		status, _, _, _ := c.ask(http.MethodPost, "/api/v1/athletes", `{"name":"Slow","by":"Anna"}`, "Content-Type: application/json")
		written <- status
	}()
	c := l.dial()
	defer c.Close()
	for _, path := range []string{"/", "/athletes", "/api/v1/boats", "/account"} {
		status, _, text, err := c.ask(http.MethodGet, path, "")
		if err != nil || status != http.StatusOK {
			t.Errorf("%s: %d %v %.200s", path, status, err, text)
		}
	}
	select {
	case status := <-written:
		if status != http.StatusServiceUnavailable || time.Since(begun) < 5*time.Second {
			t.Errorf("the write was answered %d before the disk had it", status)
		}
		return
	default:
	}
	if err := held.Rollback(); err != nil {
		t.Fatal(err)
	}
	if status := <-written; status != http.StatusCreated && time.Since(begun) < 5*time.Second {
		t.Errorf("the write: %d", status)
	}
}

// TestAFolderThatCannotBeWritten is told at the start, or found out by the first
// write, and is no fault of ours.
func TestAFolderThatCannotBeWritten(t *testing.T) {
	if os.Geteuid() == 0 {
		t.Skip("whoever runs this may write everywhere")
	}
	folder := t.TempDir()
	db := filepath.Join(folder, "club.db")
	start(t, "serve", "-addr", "127.0.0.1:0", "-db", db).end(t)
	for _, mode := range []struct {
		path string
		mode os.FileMode
	}{{db, 0o400}, {folder, 0o500}} {
		if err := os.Chmod(mode.path, mode.mode); err != nil {
			t.Fatal(err)
		}
		if _, said := ended(t, exitFailed, "serve", "-addr", "127.0.0.1:0", "-db", db); !strings.Contains(said, "cannot be written") {
			t.Errorf("%s: %s", mode.path, said)
		}
		if err := os.Chmod(mode.path, 0o700); err != nil {
			t.Fatal(err)
		}
	}
}
