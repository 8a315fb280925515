package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"io"
	"log/slog"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"thole/api/rest"
)

// patience bounds how long a test waits for what must happen.
const patience = 20 * time.Second

// program is a run under way.
type program struct {
	url  string
	join string // the link that makes the first coach; "" where there is none
	stop context.CancelFunc
	exit <-chan int
	log  *bytes.Buffer // to be read after the exit
}

var listening = regexp.MustCompile(`msg=listening url=(https?://[0-9.:\[\]]+)`)

var joining = regexp.MustCompile(`^ +https?://[^/]+(/join/[\w-]+)$`)

// start runs a command line that serves and waits until it tells its address.
func start(t testing.TB, args ...string) *program {
	t.Helper()
	args = withScratch(t, args)
	ctx, cancel := context.WithCancel(context.Background())
	read, write := io.Pipe()
	exit := make(chan int, 1)
	go func() {
		code := run(ctx, args, io.Discard, write)
		_ = write.Close()
		exit <- code
	}()
	log := &bytes.Buffer{}
	url, join := make(chan string, 1), ""
	done := make(chan int, 1)
	go func() {
		defer close(url)
		lines := bufio.NewScanner(read)
		for lines.Scan() {
			log.WriteString(lines.Text() + "\n")
			if m := joining.FindStringSubmatch(lines.Text()); m != nil {
				join = m[1]
			}
			if m := listening.FindStringSubmatch(lines.Text()); m != nil {
				url <- m[1]
			}
		}
		done <- <-exit
	}()
	p := &program{stop: cancel, exit: done, log: log}
	t.Cleanup(cancel)
	select {
	case p.url = <-url:
		p.join = join
	case <-time.After(patience):
	}
	if p.url == "" {
		cancel()
		t.Fatalf("thole %v did not tell where it listens", args)
	}
	return p
}

// end stops the program and returns its exit code.
func (p *program) end(t testing.TB) int {
	t.Helper()
	p.stop()
	select {
	case code := <-p.exit:
		return code
	case <-time.After(patience):
		t.Fatal("the program does not stop")
		return -1
	}
}

// answer is what came back, read whole.
type answer struct {
	status int
	header http.Header
	body   string
}

func send(t testing.TB, method, url, body string, headers map[string]string) answer {
	t.Helper()
	request, err := http.NewRequest(method, url, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	for name, value := range headers {
		request.Header.Set(name, value)
	}
	client := http.Client{Transport: &http.Transport{DisableKeepAlives: true}, Timeout: patience}
	response, err := client.Do(request)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = response.Body.Close() }()
	text, err := io.ReadAll(response.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer{response.StatusCode, response.Header, string(text)}
}

func get(t testing.TB, url string) answer {
	t.Helper()
	return send(t, http.MethodGet, url, "", nil)
}

// output runs a command line that ends by itself.
func output(t testing.TB, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	var out, err bytes.Buffer
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	code = run(ctx, withScratch(t, args), &out, &err)
	return code, out.String(), err.String()
}

// withScratch gives a server that names no records some of its own: those by
// default would lie in the source tree.
func withScratch(t testing.TB, args []string) []string {
	listens := slices.ContainsFunc(args, func(a string) bool { return strings.HasPrefix(a, "127.0.0.1:") })
	if len(args) == 0 || args[0] != "serve" || !listens || slices.Contains(args, "-db") {
		return args
	}
	return append(slices.Clone(args), "-db", filepath.Join(t.TempDir(), "club.db"))
}

func wantStatus(t testing.TB, got answer, want int) {
	t.Helper()
	if got.status != want {
		t.Fatalf("status %d, want %d; body %.300s", got.status, want, got.body)
	}
}

// solvable is a single scull as it is commonly rigged.
const solvable = `{"boat_class":"1x",
 "seat":{"span_cm":159,"oar_length_cm":288,"inboard_cm":88,"gate_height_cm":16.5,"gate_difference_cm":1,
         "heel_to_pin_cm":23.4,"heel_depth_cm":17,"plate_angle_deg":42,"blade_pitch_deg":0,"stern_pitch_deg":4,"outward_pitch_deg":0},
 "rower":{"sex":"male","stature_cm":185,"mass_kg":85,"age_years":24}}`

const solvePath = "/api/v1/rigging/solve"

var asJSON = map[string]string{"Content-Type": "application/json"}

func TestServeIsWell(t *testing.T) {
	p := start(t, "serve", "-addr", "127.0.0.1:0")
	got := get(t, p.url+"/healthz")
	wantStatus(t, got, http.StatusOK)
	if got.body != "ok\n" {
		t.Errorf("healthz says %q", got.body)
	}
}

func TestServeShowsAPage(t *testing.T) {
	p := start(t, "serve", "-addr", "127.0.0.1:0")
	got := get(t, p.url+"/")
	wantStatus(t, got, http.StatusOK)
	if !strings.HasPrefix(got.header.Get("Content-Type"), "text/html") || !strings.Contains(got.body, "<h1") {
		t.Errorf("the first page is %s: %.200s", got.header.Get("Content-Type"), got.body)
	}
}

func TestServeSolvesASeat(t *testing.T) {
	p := start(t, "serve", "-addr", "127.0.0.1:0")
	got := send(t, http.MethodPost, p.url+solvePath, solvable, asJSON)
	wantStatus(t, got, http.StatusOK)
	var solved struct {
		Catch  float64 `json:"catch_deg"`
		Finish float64 `json:"finish_deg"`
		Arc    float64 `json:"arc_deg"`
	}
	if err := json.Unmarshal([]byte(got.body), &solved); err != nil {
		t.Fatal(err)
	}
	if arc := solved.Finish - solved.Catch; solved.Catch >= 0 || arc < solved.Arc-0.02 || arc > solved.Arc+0.02 {
		t.Errorf("catch %v, finish %v and arc %v do not belong together", solved.Catch, solved.Finish, solved.Arc)
	}
}

func TestDemoServes(t *testing.T) {
	p := start(t, "demo", "-addr", "127.0.0.1:0")
	wantStatus(t, get(t, p.url+"/healthz"), http.StatusOK)
	if code := p.end(t); code != exitOK {
		t.Errorf("exit code %d", code)
	}
}

// TestTheClubsZoneSetsTheDay holds that zones 26 hours apart, which never share a
// day, are reported in days and moments of their own: what is measured on the day of
// the eastern one lies ahead in the western one.
func TestTheClubsZoneSetsTheDay(t *testing.T) {
	file := filepath.Join(t.TempDir(), "club.db")
	days := map[string]string{}
	for _, zone := range []struct{ name, offset string }{{"Pacific/Kiritimati", "+14:00"}, {"Etc/GMT+12", "-12:00"}} {
		p := start(t, "serve", "-addr", "127.0.0.1:0", "-db", file, "-zone", zone.name)
		added := send(t, http.MethodPost, p.url+"/api/v1/athletes", `{"name":"Edda `+zone.name[:3]+`","by":"Anna"}`, asJSON)
		wantStatus(t, added, http.StatusCreated)
		got := get(t, p.url+"/api/v1/athletes/1")
		wantStatus(t, got, http.StatusOK)
		var athlete struct {
			AsOf string `json:"as_of"`
		}
		if err := json.Unmarshal([]byte(got.body), &athlete); err != nil || athlete.AsOf == "" {
			t.Fatal(err, got.body)
		}
		days[zone.name] = athlete.AsOf
		if page := get(t, p.url+"/athletes/1"); !strings.Contains(page.body, `value="`+athlete.AsOf+`"`) {
			t.Errorf("%s: no form of the page begins with the day %s: status %d", zone.name, athlete.AsOf, page.status)
		}
		if history := get(t, p.url+"/api/v1/athletes/1/changes"); !strings.Contains(history.body, zone.offset) {
			t.Errorf("%s: the history is told as %s", zone.name, history.body)
		}
		p.end(t)
	}
	if days["Pacific/Kiritimati"] <= days["Etc/GMT+12"] {
		t.Errorf("the days are %v", days)
	}
}

func TestStopIsCleanAndTheAddressIsToldOnce(t *testing.T) {
	p := start(t, "serve", "-addr", "127.0.0.1:0")
	if code := p.end(t); code != exitOK {
		t.Errorf("exit code %d", code)
	}
	if n := strings.Count(p.log.String(), "http://"); n != 1 {
		t.Errorf("%d lines name an address:\n%s", n, p.log)
	}
	if _, err := net.DialTimeout("tcp", strings.TrimPrefix(p.url, "http://"), patience); err == nil {
		t.Error("the port still takes connections")
	}
}

func TestRequestsAreLoggedOnlyForDebugging(t *testing.T) {
	for _, debugging := range []bool{false, true} {
		args := []string{"serve", "-addr", "127.0.0.1:0"}
		if debugging {
			args = append(args, "-debug")
		}
		p := start(t, args...)
		get(t, p.url+"/healthz?name=anna")
		p.end(t)
		log := p.log.String()
		if strings.Contains(log, "path=/healthz status=200") != debugging {
			t.Errorf("debugging %v, log:\n%s", debugging, log)
		}
		if strings.Contains(log, "anna") {
			t.Errorf("the query is in the log:\n%s", log)
		}
	}
}

func TestPortInUse(t *testing.T) {
	p := start(t, "serve", "-addr", "127.0.0.1:0")
	code, _, complaint := output(t, "serve", "-addr", strings.TrimPrefix(p.url, "http://"))
	if code != exitFailed || !strings.Contains(complaint, "taken by another program") {
		t.Errorf("exit code %d: %s", code, complaint)
	}
}

func TestAddressesThatAreRefused(t *testing.T) {
	for _, c := range []struct{ addr, says string }{
		{"192.0.2.1:0", "no address of a network of your own"},     // RFC 5737: an address for documentation
		{"[2001:db8::1]:0", "no address of a network of your own"}, // RFC 3849: likewise
		{"127.0.0.1", "no address such as 127.0.0.1:8080"},
		{"127.0.0.1:99999", "no address such as 127.0.0.1:8080"},
	} {
		code, _, complaint := output(t, "serve", "-addr", c.addr)
		if code != exitFailed || !strings.Contains(complaint, c.says) {
			t.Errorf("%s: exit code %d: %s", c.addr, code, complaint)
		}
	}
}

func TestAddressesThatAreAllowed(t *testing.T) {
	for _, addr := range []string{"127.0.0.1:0", "127.1.2.3:80", "[::1]:8080", ":0", "0.0.0.0:80", "192.168.1.2:80", "[fd00::1]:80"} {
		tcp, err := net.ResolveTCPAddr("tcp", addr)
		if err != nil {
			t.Fatal(err)
		}
		if err := new(reach).check(tcp); err != nil {
			t.Error(err)
		}
	}
}

func TestCommandLinesThatMakeNoSense(t *testing.T) {
	for _, args := range [][]string{
		{}, {"row"}, {"serve", "-colour"}, {"serve", "-addr"}, {"serve", "now"},
		{"demo", "-addr=:0", "twice"}, {"serve", "-zone", "Nowhere/Atall"}, {"demo", "-zone", ""}, {"healthcheck", "-x"}, {"version", "all"},
	} {
		code, stdout, stderr := output(t, args...)
		if code != exitUsage || stdout != "" || !strings.Contains(stderr, "Usage: thole") {
			t.Errorf("%q: exit code %d, out %q, err %q", args, code, stdout, stderr)
		}
	}
}

func TestHelpIsNoFailure(t *testing.T) {
	for _, c := range []struct{ args, says string }{
		{"-h", "healthcheck"}, {"help", "version"}, {"serve -h", "-addr"}, {"demo -help", "-addr"}, {"healthcheck -h", "-addr"},
	} {
		code, stdout, stderr := output(t, strings.Fields(c.args)...)
		if code != exitOK || stderr != "" || !strings.Contains(stdout, c.says) {
			t.Errorf("%s: exit code %d, out %q, err %q", c.args, code, stdout, stderr)
		}
	}
}

func TestHealthcheckOfAServer(t *testing.T) {
	p := start(t, "serve", "-addr", "127.0.0.1:0")
	addr := strings.TrimPrefix(p.url, "http://")
	if code, stdout, stderr := output(t, "healthcheck", "-addr", addr); code != exitOK || stdout != "ok\n" {
		t.Errorf("running: exit code %d, out %q, err %q", code, stdout, stderr)
	}
	p.end(t)
	if code, stdout, stderr := output(t, "healthcheck", "-addr", addr); code != exitFailed || stdout != "" || !strings.Contains(stderr, "not well") {
		t.Errorf("stopped: exit code %d, out %q, err %q", code, stdout, stderr)
	}
}

func TestHealthcheckOfSomethingElse(t *testing.T) {
	p := serveHandler(t, http.NotFoundHandler())
	code, _, stderr := output(t, "healthcheck", "-addr", strings.TrimPrefix(p, "http://"))
	if code != exitFailed || !strings.Contains(stderr, "404") {
		t.Errorf("exit code %d, err %q", code, stderr)
	}
	if code, _, stderr := output(t, "healthcheck", "-addr", "8080"); code != exitFailed || !strings.Contains(stderr, "no address") {
		t.Errorf("exit code %d, err %q", code, stderr)
	}
}

func TestVersion(t *testing.T) {
	code, stdout, _ := output(t, "version")
	if code != exitOK || !regexp.MustCompile(`^thole .*, interface `+regexp.QuoteMeta(rest.Version)+`, go1\.\d+.*\n$`).MatchString(stdout) {
		t.Errorf("exit code %d, out %q", code, stdout)
	}
}

// BenchmarkStart measures from the command line to the log line that names the
// address, and the stop after it. Start-up is to take at most 0.2 s.
func BenchmarkStart(b *testing.B) {
	for b.Loop() {
		start(b, "serve", "-addr", "127.0.0.1:0").end(b)
	}
}

// TestAFileThatIsNoDatabaseIsRefused holds that records that cannot be opened
// are reported in words and touched in nothing.
func TestAFileThatIsNoDatabaseIsRefused(t *testing.T) {
	file := filepath.Join(t.TempDir(), "notes.txt")
	if err := os.WriteFile(file, []byte("this is a list of boats"), 0o600); err != nil {
		t.Fatal(err)
	}
	h, err := open(t.Context(), &settings{db: file, zone: time.UTC}, slog.New(slog.DiscardHandler))
	if err == nil || h != nil {
		t.Fatalf("opened %v with error %v", h, err)
	}
	if kept, _ := os.ReadFile(file); string(kept) != "this is a list of boats" {
		t.Error("the file was touched")
	}
}

// TestNoticesAreTold: the program names the libraries in it, each with a licence.
func TestNoticesAreTold(t *testing.T) {
	out, _ := ended(t, exitOK, "notices")
	for _, want := range []string{"htmx.org 2", "\n0BSD\n", "github.com/mattn/go-sqlite3 v", "Copyright (c) 2021 LabStack", "SQLite within"} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not among the notices", want)
		}
	}
	if strings.Contains(out, "licence not known") {
		t.Error("a library stands there without a licence")
	}
}
