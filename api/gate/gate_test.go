package gate

import (
	"context"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"thole/api/access"
)

// small is a gate that is soon full.
func small() *Gate {
	return New(Limits{AtOnce: 2, Waiting: 3, Patience: 10 * time.Second, Longest: time.Minute})
}

func TestNoMoreThanSoManyAtOnce(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := small()
		var inside, most, refused atomic.Int64
		var all sync.WaitGroup
		for range 100 {
			all.Go(func() {
				_, err := Through(t.Context(), g, func(context.Context) (int, error) {
					most.Store(max(most.Load(), inside.Add(1)))
					time.Sleep(time.Second)
					inside.Add(-1)
					return 0, nil
				})
				if errors.Is(err, ErrFull) {
					refused.Add(1)
				} else if err != nil {
					t.Error(err)
				}
			})
		}
		synctest.Wait()
		if load := g.Load(); load != (Load{Inside: 2, Waiting: 3, Refused: 95}) {
			t.Errorf("%+v", load)
		}
		all.Wait()
		if most.Load() != 2 || refused.Load() != 95 {
			t.Errorf("%d at once, %d refused", most.Load(), refused.Load())
		}
		if load := g.Load(); load.Inside != 0 || load.Waiting != 0 {
			t.Errorf("somebody stayed: %+v", load)
		}
	})
}

func TestWaitingEnds(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := small()
		for range 2 {
			if _, _, err := g.Enter(t.Context()); err != nil {
				t.Fatal(err)
			}
		}
		begun := time.Now()
		if _, _, err := g.Enter(t.Context()); !errors.Is(err, ErrFull) || time.Since(begun) != 10*time.Second {
			t.Errorf("%v after %v", err, time.Since(begun))
		}
		gone, leave := context.WithTimeout(t.Context(), time.Second)
		defer leave()
		begun = time.Now()
		if _, _, err := g.Enter(gone); !errors.Is(err, context.DeadlineExceeded) || time.Since(begun) != time.Second {
			t.Errorf("who is gone: %v after %v", err, time.Since(begun))
		}
		if load := g.Load(); load.Waiting != 0 {
			t.Errorf("still in line: %+v", load)
		}
	})
}

func TestWorkEndsInTime(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g, begun := small(), time.Now()
		_, err := Through(t.Context(), g, func(ctx context.Context) (int, error) {
			// Work within work is one piece: it must not wait for itself.
			return Through(ctx, g, func(ctx context.Context) (int, error) {
				return Through(ctx, g, func(ctx context.Context) (int, error) {
					<-ctx.Done()
					return 0, ctx.Err()
				})
			})
		})
		if !errors.Is(err, context.DeadlineExceeded) || time.Since(begun) != time.Minute {
			t.Errorf("%v after %v", err, time.Since(begun))
		}
	})
}

func TestNoGateLetsAllIn(t *testing.T) {
	for range 1000 {
		if _, _, err := (*Gate)(nil).Enter(t.Context()); err != nil {
			t.Fatal(err)
		}
	}
}

// admit lets a body in.
func admit(u *Uploads, body io.Reader) (*http.Request, func(), error) {
	r := httptest.NewRequest(http.MethodPost, "/", body)
	r.ContentLength = -1
	done, err := u.Admit(httptest.NewRecorder(), r)
	return r, done, err
}

func TestUploadsAreBoundedInNumber(t *testing.T) {
	u := NewUploads()
	var last func()
	for range mostUploads {
		_, done, err := admit(u, strings.NewReader("x"))
		if err != nil {
			t.Fatal(err)
		}
		last = done
	}
	if _, _, err := admit(u, strings.NewReader("x")); !errors.Is(err, errCrowded) {
		t.Errorf("one too many: %v", err)
	}
	last()
	last() // once is enough
	if _, _, err := admit(u, strings.NewReader("x")); err != nil {
		t.Errorf("after one has left: %v", err)
	}
	if count, _ := u.Load(); count != mostUploads {
		t.Errorf("%d", count)
	}
}

// TestAthletesHoldUpNoCoach: one file of each comes in at a time, four of all of them, and
// the rest of the room is for others.
func TestAthletesHoldUpNoCoach(t *testing.T) {
	u := NewUploads()
	sends := func(role access.Role, account int64) (func(), error) {
		r := httptest.NewRequest(http.MethodPost, "/", strings.NewReader("x"))
		return u.Admit(httptest.NewRecorder(), r.WithContext(access.With(t.Context(), &access.Viewer{Role: role, Account: account})))
	}
	first, err := sends(access.Athlete, 1)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := sends(access.Athlete, 1); !errors.Is(err, errOneOfYours) {
		t.Errorf("a second one: %v", err)
	}
	for account := range int64(ofAthletes - 1) {
		if _, err := sends(access.Athlete, 2+account); err != nil {
			t.Errorf("athlete %d: %v", 2+account, err)
		}
	}
	if _, err := sends(access.Athlete, 9); !errors.Is(err, errCrowded) {
		t.Errorf("one athlete too many: %v", err)
	}
	for range mostUploads - ofAthletes {
		if _, err := sends(access.Coach, 10); err != nil {
			t.Errorf("a coach: %v", err)
		}
	}
	first()
	first() // once is enough
	if _, err := sends(access.Athlete, 1); err != nil {
		t.Errorf("after the first has come: %v", err)
	}
}

func TestUploadsAreBoundedInSizeTogether(t *testing.T) {
	u := &Uploads{most: 100}
	one, done, err := admit(u, strings.NewReader(strings.Repeat("x", 60)))
	if err != nil {
		t.Fatal(err)
	}
	if n, err := io.Copy(io.Discard, one.Body); n != 60 || err != nil {
		t.Fatal(n, err)
	}
	two, leave, err := admit(u, strings.NewReader(strings.Repeat("x", 60)))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := io.Copy(io.Discard, two.Body); !errors.Is(err, errCrowded) {
		t.Errorf("both together: %v", err)
	}
	said := httptest.NewRequest(http.MethodPost, "/", strings.NewReader(strings.Repeat("x", 60)))
	if _, err := u.Admit(httptest.NewRecorder(), said); !errors.Is(err, errCrowded) {
		t.Errorf("a size that is told beforehand: %v", err)
	}
	leave()
	fits := httptest.NewRequest(http.MethodPost, "/", strings.NewReader(strings.Repeat("x", 40)))
	last, err := u.Admit(httptest.NewRecorder(), fits)
	if err != nil {
		t.Fatalf("what fills the room to the last byte: %v", err)
	}
	if n, err := io.Copy(io.Discard, fits.Body); n != 40 || err != nil {
		t.Errorf("what fills the room to the last byte: %d, %v", n, err)
	}
	last()
	done()
	if count, bytes := u.Load(); count != 0 || bytes != 0 {
		t.Errorf("%d files, %d bytes stay", count, bytes)
	}
}

// TestASilentSenderIsGivenUp sends half a body and no more.
func TestASilentSenderIsGivenUp(t *testing.T) {
	u, read := NewUploads(), make(chan error, 1)
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		done, err := u.Admit(w, r)
		if err != nil {
			t.Error(err)
			return
		}
		defer done()
		r.Body.(*counted).until = time.Now().Add(50 * time.Millisecond) // what would be 30 s
		_, err = io.Copy(io.Discard, r.Body)
		read <- err
	}))
	defer server.Close()
	body, end := io.Pipe()
	defer end.Close()
	go func() {
		answer, err := http.Post(server.URL, "text/plain", body)
		if err == nil {
			_ = answer.Body.Close()
		}
	}()
	if _, err := end.Write([]byte("half")); err != nil {
		t.Fatal(err)
	}
	if err := <-read; err == nil {
		t.Error("the body ended well")
	}
}

// TestAGateIsFullWhereNobodyMayWaitAnyMore; without a gate nothing is ever full, and
// the usual one lets somebody in on the smallest machine.
func TestAGateIsFullWhereNobodyMayWaitAnyMore(t *testing.T) {
	if (*Gate)(nil).Full() || New(Limits{AtOnce: 1, Waiting: 1, Patience: time.Second, Longest: time.Second}).Full() {
		t.Error("an empty gate is full")
	}
	g := New(Limits{AtOnce: 1, Patience: time.Second, Longest: time.Second})
	_, err := Through(t.Context(), g, func(context.Context) (bool, error) {
		if !g.Full() {
			t.Error("one is inside, none may wait, and it is not full")
		}
		return true, nil
	})
	if err != nil || g.Full() {
		t.Errorf("%v, full %v", err, g.Full())
	}
	if at := Usual().AtOnce; at < 1 || at > max(1, runtime.GOMAXPROCS(0)-1) {
		t.Errorf("%d at once on %d processors", at, runtime.GOMAXPROCS(0))
	}
}
