package lineup

import (
	"context"
	"errors"
	"strings"
	"sync/atomic"
	"testing"
)

func TestParallelWorkIsDoneOnce(t *testing.T) {
	for _, n := range []int{0, 1, 2, 100} {
		done := make([]int, n)
		inParallel(n, func(k int) { done[k]++ })
		for k, times := range done {
			if times != 1 {
				t.Errorf("of %d, number %d was done %d times", n, k, times)
			}
		}
	}
}

// raised returns the panic of a function.
func raised(f func()) (p *Panic) {
	defer func() { p, _ = recover().(*Panic) }()
	f()
	return nil
}

var errBroken = errors.New("broken")

// breaks panics.
func breaks() { panic(errBroken) }

func TestPanicOfParallelWorkReachesTheCaller(t *testing.T) {
	var begun atomic.Int64
	p := raised(func() {
		inParallel(1000, func(k int) {
			begun.Add(1)
			if k%3 == 1 {
				breaks()
			}
		})
	})
	if p == nil {
		t.Fatal("no panic reached the caller")
	}
	if !errors.Is(p, errBroken) {
		t.Errorf("the panic holds %v", p.Value)
	}
	if !strings.Contains(p.Stack, "lineup.breaks") || !strings.Contains(p.Error(), "lineup.breaks") {
		t.Errorf("the stack does not name who panicked:\n%s", p.Stack)
	}
	if begun.Load() > 500 {
		t.Errorf("%d calls were begun after a panic", begun.Load())
	}
}

func TestPanicWithoutAnErrorWrapsNothing(t *testing.T) {
	p := raised(func() { inParallel(1, func(int) { panic("a word") }) })
	if p == nil || p.Value != "a word" || p.Unwrap() != nil {
		t.Errorf("%v", p)
	}
}

// A panic of the caller's own report of progress takes the same way.
func TestPanicOfProgressReachesTheCaller(t *testing.T) {
	p := pairSquad(t, 300, 310, 320)
	got := raised(func() {
		_, _ = Firmness(context.Background(), p, FirmOptions{Draws: 4, Progress: func(int) { breaks() }})
	})
	if got == nil || !errors.Is(got, errBroken) {
		t.Errorf("panic %v", got)
	}
}
