package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"
)

// listenAs serves with the server's own settings, changed for a test, and returns the
// address.
func listenAs(t testing.TB, h http.Handler, change func(*http.Server)) string {
	t.Helper()
	server := newServer(h, slog.New(slog.DiscardHandler))
	change(server)
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	go func() { _ = server.Serve(listener) }()
	t.Cleanup(func() { _ = server.Close() })
	return listener.Addr().String()
}

// dialed is a connection to an address, closed with the test.
func dialed(t testing.TB, addr string) net.Conn {
	t.Helper()
	conn, err := net.Dial("tcp", addr)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = conn.Close() })
	return conn
}

// readBody answers how many bytes came, or that they did not come in time.
func readBody(w http.ResponseWriter, r *http.Request) {
	n, err := io.Copy(io.Discard, r.Body)
	if err != nil {
		w.WriteHeader(http.StatusRequestTimeout)
	}
	_, _ = fmt.Fprint(w, n)
}

// TestSlowClientsAreGivenUp sends half a header, half a body, and reads nothing of a
// long answer: each is given up when its time is over, and others are answered
// meanwhile. The times of the server are a hundredth of the real ones.
func TestSlowClientsAreGivenUp(t *testing.T) {
	ended := make(chan error, 1)
	addr := listenAs(t, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path != "/long" {
			readBody(w, r)
			return
		}
		for {
			if _, err := w.Write(make([]byte, 1<<20)); err != nil {
				ended <- err
				return
			}
		}
	}), func(s *http.Server) {
		s.ReadHeaderTimeout, s.ReadTimeout, s.WriteTimeout = headerLimit/100, readLimit/100, writeLimit/100
	})
	half, body, long := dialed(t, addr), dialed(t, addr), dialed(t, addr)
	for conn, text := range map[net.Conn]string{
		half: "GET / HTTP/1.1\r\nHost: x\r\nX-Long: ",
		body: "POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 100\r\n\r\nhalf",
		long: "GET /long HTTP/1.1\r\nHost: x\r\n\r\n",
	} {
		if _, err := io.WriteString(conn, text); err != nil {
			t.Fatal(err)
		}
	}
	if status, err := fetchStatus("http://" + addr); err != nil || status != http.StatusOK {
		t.Errorf("another client meanwhile: %d %v", status, err)
	}
	if err := untilClosed(half); err != nil {
		t.Errorf("half a header: %v", err)
	}
	answer, err := http.ReadResponse(bufio.NewReader(body), nil)
	if err != nil || answer.StatusCode != http.StatusRequestTimeout || !answer.Close {
		t.Errorf("half a body: %+v %v", answer, err)
	}
	select {
	case <-ended:
	case <-time.After(patience):
		t.Error("an answer that nobody reads is written without end")
	}
}

func fetchStatus(url string) (int, error) {
	answer, err := http.Get(url)
	if err != nil {
		return 0, err
	}
	return answer.StatusCode, answer.Body.Close()
}

// untilClosed reads until the other side closes; an error is that it did not.
func untilClosed(conn net.Conn) error {
	_ = conn.SetReadDeadline(time.Now().Add(patience))
	_, err := io.Copy(io.Discard, conn)
	var late net.Error
	if errors.As(err, &late) && late.Timeout() {
		return err
	}
	return nil
}

// TestAHeaderWithoutEndIsRefused sends more than a header may hold.
func TestAHeaderWithoutEndIsRefused(t *testing.T) {
	addr := listenAs(t, text("never"), func(*http.Server) {})
	conn := dialed(t, addr)
	go func() {
		_, _ = io.WriteString(conn, "GET / HTTP/1.1\r\nHost: x\r\nX-Long: "+strings.Repeat("x", 3*headerBytes))
	}()
	answer, err := http.ReadResponse(bufio.NewReader(conn), nil)
	if err != nil || answer.StatusCode != http.StatusRequestHeaderFieldsTooLarge {
		t.Errorf("%+v %v", answer, err)
	}
}

// idleAfter sends a request over a connection that stays open.
func idleAfter(t testing.TB, conn net.Conn) {
	t.Helper()
	if _, err := io.WriteString(conn, "GET / HTTP/1.1\r\nHost: x\r\n\r\n"); err != nil {
		t.Fatal(err)
	}
	answer, err := http.ReadResponse(bufio.NewReaderSize(conn, 16), nil)
	if err != nil || answer.StatusCode != http.StatusOK {
		t.Fatalf("%+v %v", answer, err)
	}
}

// TestIdleConnectionsAreBounded opens more connections than are kept: the oldest are
// closed, the newest stay, and everybody is answered.
func TestIdleConnectionsAreBounded(t *testing.T) {
	idle, noted := newIdlers(20), make(chan http.ConnState, 1000)
	addr := listenAs(t, text("ok"), func(s *http.Server) {
		s.ConnState = func(conn net.Conn, state http.ConnState) {
			idle.note(conn, state)
			noted <- state
		}
	})
	// The server notes a connection after its answer has gone out, at its leisure: the
	// next one is opened when it has, so that the order is that of opening.
	await := func(want http.ConnState) {
		for late := time.After(patience); ; {
			select {
			case state := <-noted:
				if state == want {
					return
				}
			case <-late:
				t.Fatalf("no connection is %s", want)
			}
		}
	}
	var conns []net.Conn
	for i := range 60 {
		conn := dialed(t, addr)
		conns = append(conns, conn)
		if i%3 == 0 { // some never say a word
			await(http.StateNew)
			continue
		}
		idleAfter(t, conn)
		await(http.StateIdle)
	}
	for _, conn := range conns[:30] {
		if err := untilClosed(conn); err != nil {
			t.Errorf("one of the first is still open: %v", err)
		}
	}
	idleAfter(t, conns[len(conns)-1])
	if n := idle.count(); n > 20 {
		t.Errorf("%d wait", n)
	}
}

// count is how many wait.
func (i *idlers) count() int {
	i.mu.Lock()
	defer i.mu.Unlock()
	return i.waiting.Len()
}

// BenchmarkIdleConnections reports what a connection costs that waits, both ends of it
// taken together, and how many of those opened stay open.
func BenchmarkIdleConnections(b *testing.B) {
	opened := connectionsAllowed(b, 10_000)
	idle := newIdlers(mostIdle)
	addr := listenAs(b, text("ok"), func(s *http.Server) { s.ConnState = idle.note })
	for b.Loop() {
		before := heldBytes()
		conns := make([]net.Conn, 0, int(opened))
		for range opened {
			conn, err := net.Dial("tcp", addr)
			if err != nil {
				b.Fatal(err)
			}
			idleAfter(b, conn)
			conns = append(conns, conn)
		}
		b.ReportMetric(float64(heldBytes()-before)/1e6, "MB")
		b.ReportMetric(float64(opened), "opened")
		b.ReportMetric(float64(idle.count()), "open")
		begun := time.Now()
		if status, err := fetchStatus("http://" + addr); err != nil || status != http.StatusOK {
			b.Fatal(status, err)
		}
		b.ReportMetric(float64(time.Since(begun).Microseconds())/1e3, "next-ms")
		for _, conn := range conns {
			_ = conn.Close()
		}
	}
}

// heldBytes is what the process keeps, stacks included.
func heldBytes() int64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int64(m.HeapAlloc + m.StackInuse)
}

// connectionsAllowed is how many connections to itself the process may have open, at
// most so many.
func connectionsAllowed(b *testing.B, most uint64) uint64 {
	b.Helper()
	var limit syscall.Rlimit
	err := syscall.Getrlimit(syscall.RLIMIT_NOFILE, &limit)
	if limit.Cur = limit.Max; err == nil {
		err = syscall.Setrlimit(syscall.RLIMIT_NOFILE, &limit)
	}
	if err != nil {
		b.Fatal(err)
	}
	return min(most, (limit.Cur-200)/2)
}
