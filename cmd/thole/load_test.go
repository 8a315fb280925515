package main

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"math"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"thole/api"
	"thole/api/club"
	"thole/api/fleet"
	"thole/api/store"
	"thole/api/storetest"
	"thole/selection/stroke"
)

// A large club: what is added to the demo club to make 500 athletes with 1,000
// ergometer tests and more, 200 boats and 100 recordings.
const (
	moreAthletes   = 476
	moreBoats      = 192
	testsEach      = 2
	moreRecordings = 94
)

// largeClub is filled once for all that need it.
var largeClub = storetest.Filled(func(records *store.Store) error {
	service := api.NewService(records)
	defer service.Close()
	ctx := context.Background()
	if err := service.Demo.FillDemo(ctx); err != nil {
		return err
	}
	for i := range moreAthletes {
		if err := addMeasured(ctx, service, records, i); err != nil {
			return err
		}
	}
	for i := range moreBoats {
		class := []string{"1x", "2-", "4x", "8+"}[i%4]
		_, err := service.Fleet.AddBoat(ctx, fleet.NewBoat{BoatFields: fleet.BoatFields{Name: fmt.Sprint("Boat ", i), BoatClass: class}, By: "Bram"})
		if err != nil {
			return err
		}
	}
	return nil
})

// addMeasured puts somebody on record with measures and tests, and the first of
// them with a recording.
func addMeasured(ctx context.Context, service *api.Service, records *store.Store, i int) error {
	zero, height, mass := 0.0, 165+float64(i%30), 60+float64(i%35)
	a, err := service.Club.AddAthlete(ctx, club.NewAthlete{By: "Ines", AthleteFields: club.AthleteFields{
		Name: fmt.Sprintf("Athlete %03d", i), Sex: []string{"female", "male"}[i%2], PortCostS: &zero, StarboardCostS: &zero, Sculls: true,
	}})
	if err != nil {
		return err
	}
	_, err = service.Club.AddMeasures(ctx, club.NewMeasures{
		AthleteID: a.ID, MeasuredOn: "2026-01-10", MeasuredBy: "Ines", MeasuredBody: club.MeasuredBody{StatureCm: &height, MassKg: &mass},
	})
	if err != nil {
		return err
	}
	var tests []store.ErgTest
	for k := range testsEach {
		tests = append(tests, store.ErgTest{
			AthleteID: a.ID, TestedOn: fmt.Sprintf("2026-02-%02d", k+1), Fixed: store.FixedDistance, DistanceM: 2000, TimeS: 380 + float64(i%60) + float64(k), MassKg: &mass,
		})
	}
	if _, err := records.SaveErgTests(ctx, tests); err != nil || i >= moreRecordings {
		return err
	}
	curve := make([]float64, stroke.Nodes)
	for k := range curve {
		curve[k] = 600 * math.Sin(math.Pi*float64(k)/(stroke.Nodes-1))
	}
	one := store.Recording{AthleteID: &a.ID, RecordedOn: "2026-03-01", Thresholds: "{}", MeanCurve: curve}
	_, err = records.AddRecordings(ctx, func(yield func(store.Recording, error) bool) { yield(one, nil) })
	return err
}

// loaded is a server over the large club, with a coach who has signed in.
type loaded struct {
	testing.TB
	*program
	file, addr, cookie string
}

// newLoaded starts a server of the test's own.
func newLoaded(t testing.TB, args ...string) *loaded {
	t.Helper()
	content, err := largeClub()
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "club.db")
	if err := os.WriteFile(file, content, 0o600); err != nil {
		t.Fatal(err)
	}
	return signedIn(t, file, args...)
}

// newSignedIn starts a server over no records, with a coach who has signed in.
func newSignedIn(t testing.TB, args ...string) *loaded {
	t.Helper()
	return signedIn(t, filepath.Join(t.TempDir(), "club.db"), args...)
}

// signedIn starts a server over a file and signs in.
func signedIn(t testing.TB, file string, args ...string) *loaded {
	t.Helper()
	p := start(t, append([]string{"serve", "-addr", "127.0.0.1:0", "-accounts", "-db", file}, args...)...)
	l := &loaded{TB: t, program: p, file: file, addr: strings.TrimPrefix(p.url, "http://")}
	t.Cleanup(func() { p.end(t) })
	l.signIn()
	return l
}

// signIn makes the first coach's account.
func (l *loaded) signIn() {
	l.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		l.Fatal(err)
	}
	client := http.Client{Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	answer, err := client.PostForm(l.url+l.join, url.Values{"name": {"Carla"}, "password": {"row the boat gently"}})
	if err != nil {
		l.Fatal(err)
	}
	defer answer.Body.Close()
	if answer.StatusCode != http.StatusSeeOther {
		l.Fatalf("status %d", answer.StatusCode)
	}
	for _, c := range answer.Cookies() {
		l.cookie += c.Name + "=" + c.Value + "; "
	}
}

// line is one connection, kept open, that asks as the coach.
type line struct {
	*loaded
	net.Conn
	in *bufio.Reader
}

func (l *loaded) dial() *line {
	conn, err := net.Dial("tcp", l.addr)
	if err != nil {
		l.Fatal(err)
	}
	return &line{l, conn, bufio.NewReaderSize(conn, 64<<10)}
}

// compressed is what browsers say they take.
const compressed = "Accept-Encoding: gzip"

// ask sends one request and reads its answer; the text of it where wanted.
func (c *line) ask(method, path, body string, headers ...string) (status int, header http.Header, text string, err error) {
	var b strings.Builder
	fmt.Fprintf(&b, "%s %s HTTP/1.1\r\nHost: %s\r\nCookie: %s\r\nContent-Length: %d\r\n", method, path, c.addr, c.cookie, len(body))
	for _, h := range headers {
		b.WriteString(h + "\r\n")
	}
	b.WriteString("\r\n" + body)
	if _, err := io.WriteString(c.Conn, b.String()); err != nil {
		return 0, nil, "", err
	}
	answer, err := http.ReadResponse(c.in, nil)
	if err != nil {
		return 0, nil, "", err
	}
	defer answer.Body.Close()
	whole, err := io.ReadAll(answer.Body)
	return answer.StatusCode, answer.Header, string(whole), err
}

// processorTime is what this process has used so far.
func processorTime() time.Duration {
	var use syscall.Rusage
	_ = syscall.Getrusage(syscall.RUSAGE_SELF, &use)
	return time.Duration(use.Utime.Nano() + use.Stime.Nano())
}

// drive sends requests over several connections at once and reports how many a
// second, how long the slowest hundredth took, and the processor's time for each,
// that of asking included.
func (l *loaded) drive(b *testing.B, lines int, ask func(c *line, i int) (int, error)) {
	b.Helper()
	var mu sync.Mutex
	var took []time.Duration
	next := make(chan int)
	var busy sync.WaitGroup
	for range lines {
		busy.Go(func() {
			c := l.dial()
			defer c.Close()
			var own []time.Duration
			for i := range next {
				begun := time.Now()
				status, err := ask(c, i)
				own = append(own, time.Since(begun))
				if err != nil || status >= 400 {
					b.Errorf("%d %v", status, err)
					break
				}
			}
			for range next { // so that nobody waits for a line that failed
			}
			mu.Lock()
			defer mu.Unlock()
			took = append(took, own...)
		})
	}
	used, begun, i := processorTime(), time.Now(), 0
	for b.Loop() {
		next <- i
		i++
	}
	close(next)
	busy.Wait()
	slices.Sort(took)
	b.ReportMetric(float64(len(took))/time.Since(begun).Seconds(), "requests/s")
	b.ReportMetric(float64(took[len(took)*99/100].Microseconds())/1e3, "p99-ms")
	b.ReportMetric(float64((processorTime()-used).Microseconds())/float64(len(took)), "cpu-µs/request")
}

// BenchmarkLargeClub measures a server over a large club, behind accounts, over
// TCP and with what is written on disk before it is answered.
func BenchmarkLargeClub(b *testing.B) {
	l := newLoaded(b)
	sheet := l.makeSheet()
	for name, path := range map[string]string{
		"page of a boat": "/boats/1", "page of an athlete": "/athletes/1", "page of a sheet": sheet, "list of athletes": "/athletes", "start page": "/",
		"boats by JSON": "/api/v1/boats", "one athlete by JSON": "/api/v1/athletes/1", "athletes by JSON": "/api/v1/athletes",
		"20 recordings by JSON": "/api/v1/recordings?limit=20",
		"squad":                 "/squad?class=8%2B", "recordings": "/recordings", "setup": "/setup?boat=1",
	} {
		b.Run(name, func(b *testing.B) {
			l.drive(b, 8, func(c *line, _ int) (int, error) {
				status, _, _, err := c.ask(http.MethodGet, path, "", compressed)
				return status, err
			})
		})
	}
	b.Run("line-ups of all", func(b *testing.B) { // an eight from 500: seconds each, so one after another
		c := l.dial()
		defer c.Close()
		for b.Loop() {
			if status, _, _, err := c.ask(http.MethodGet, "/line-ups", "", compressed); err != nil || status >= 400 {
				b.Fatal(status, err)
			}
		}
	})
	b.Run("nine reads to a write", func(b *testing.B) {
		l.drive(b, 16, func(c *line, i int) (int, error) {
			if i%10 == 0 {
				status, _, _, err := c.ask(http.MethodPost, fmt.Sprintf("/api/v1/athletes/%d/measures", 30+i%400),
					fmt.Sprintf(`{"measured_on":"2026-03-%02d","measured_by":"Ines","mass_kg":%d}`, 1+i/10%28, 70+i%9), "Content-Type: application/json")
				return status, err
			}
			path := []string{"/api/v1/boats/%d", "/api/v1/athletes/%d", "/api/v1/athletes/%d/measures"}[i%3]
			status, _, _, err := c.ask(http.MethodGet, fmt.Sprintf(path, 1+i%150), "", compressed)
			return status, err
		})
	})
}

// heavy are requests that take long: orders of many athletes, with and without the
// pages, and the squad's table.
func heavy() [][3]string {
	var rowers []string
	for i := range 30 {
		rowers = append(rowers, fmt.Sprintf(`{"id":"r%d","name":"R%d","power_w":%d,"power_sd_w":12,"mass_kg":80,"sides":{"port":0.3,"starboard":%d}}`, i, i, 300+i*7%40, i%2))
	}
	order := `{"boat_class":"8+","candidates":[` + strings.Join(rowers, ",") + `]}`
	return [][3]string{
		{http.MethodPost, "/api/v1/selection/lineups", order}, {http.MethodGet, "/line-ups?class=8%2B&yaw=2", ""}, {http.MethodGet, "/squad/squad.xlsx", ""},
		{http.MethodGet, "/line-ups?class=4-", ""},
	}
}

// BenchmarkHeavy sends 100 heavy requests at once to a server of its own, again and
// again, and reports how long the slowest hundredth of others waits meanwhile, what
// became of the heavy ones, and the most memory that the server took.
func BenchmarkHeavy(b *testing.B) {
	content, err := largeClub()
	if err != nil {
		b.Fatal(err)
	}
	file := filepath.Join(b.TempDir(), "club.db")
	if err := os.WriteFile(file, content, 0o600); err != nil {
		b.Fatal(err)
	}
	p := launch(b, "", "serve", "-addr", "127.0.0.1:0", "-db", file)
	l := &loaded{TB: b, addr: strings.TrimPrefix(p.url, "http://")}
	var mu sync.Mutex
	answers, took := map[int]int{}, []time.Duration{}
	for b.Loop() {
		var busy sync.WaitGroup
		over := make(chan struct{})
		for i := range 100 {
			busy.Go(func() {
				c := l.dial()
				defer c.Close()
				h := heavy()[i%len(heavy())]
				status, _, _, err := c.ask(h[0], h[1], h[2], compressed, "Content-Type: application/json")
				if err != nil {
					status = 0
				}
				mu.Lock()
				answers[status]++
				mu.Unlock()
			})
		}
		var others sync.WaitGroup
		for range 4 {
			others.Go(func() {
				own := l.meanwhile(over)
				mu.Lock()
				took = append(took, own...)
				mu.Unlock()
			})
		}
		busy.Wait()
		close(over)
		others.Wait()
	}
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)*99/100].Microseconds())/1e3, "p99-ms")
	b.ReportMetric(float64(len(took)), "others")
	b.ReportMetric(mostMemory(b, p.Process.Pid), "MB")
	for status, n := range answers {
		b.ReportMetric(float64(n), fmt.Sprintf("answered-%d", status))
	}
}

// meanwhile looks at boats and lists until it is over, and returns how long each took.
func (l *loaded) meanwhile(over <-chan struct{}) (took []time.Duration) {
	c := l.dial()
	defer c.Close()
	for i := 0; ; i++ {
		select {
		case <-over:
			return took
		default:
		}
		begun := time.Now()
		path := []string{"/boats/%d", "/api/v1/athletes/%d", "/athletes/%d"}[i%3]
		status, _, _, err := c.ask(http.MethodGet, fmt.Sprintf(path, 1+i%150), "", compressed)
		if err != nil || status >= 500 {
			l.Errorf("%d %v", status, err)
			return took
		}
		took = append(took, time.Since(begun))
	}
}

// mostMemory is the most that a process has held so far, MB; it is left out where the
// system does not tell it.
func mostMemory(b *testing.B, pid int) float64 {
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		b.Log(err)
		return 0
	}
	_, rest, _ := strings.Cut(string(status), "VmHWM:")
	var kB float64
	_, _ = fmt.Sscan(rest, &kB)
	return kB / 1e3
}

// makeSheet makes a work sheet of the demo club's eight and returns its address.
func (l *loaded) makeSheet() string {
	l.Helper()
	c := l.dial()
	defer c.Close()
	setup := url.Values{"boat": {"1"}}
	for i := range 8 {
		setup.Set(fmt.Sprintf("s%d", i+1), fmt.Sprintf("Athlete %03d", i))
	}
	form := url.Values{"setup": {setup.Encode()}, "boat_version": {l.versionOf(c, "/api/v1/boats/1")}, "by": {"Bram"}}
	status, header, text, err := c.ask(http.MethodPost, "/sheets", form.Encode(), "Content-Type: application/x-www-form-urlencoded")
	if err != nil || status != http.StatusSeeOther {
		l.Fatalf("%d %v %.500s", status, err, text)
	}
	return header.Get("Location")
}

// versionOf is the version of a record.
func (l *loaded) versionOf(c *line, path string) string {
	status, _, text, err := c.ask(http.MethodGet, path, "")
	_, rest, found := strings.Cut(text, `"version":`)
	if err != nil || status != http.StatusOK || !found {
		l.Fatalf("%s: %d %v %.300s", path, status, err, text)
	}
	return strings.TrimRight(rest[:strings.IndexAny(rest, ",}")], " ")
}
