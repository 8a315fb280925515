package lineup

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"sync"
	"sync/atomic"
)

// Panic is what a panic in one of the goroutines of this package becomes: it is
// raised again in the goroutine of the caller, who can recover it there.
type Panic struct {
	Value any    // what was panicked with
	Stack string // of the goroutine that panicked
}

// Error returns the value and the stack it came from.
func (p *Panic) Error() string { return fmt.Sprintf("%v\n\n%s", p.Value, p.Stack) }

// Unwrap returns the value when it is an error, or nil.
func (p *Panic) Unwrap() error {
	err, _ := p.Value.(error)
	return err
}

// inParallel calls work for 0 to n − 1 on as many goroutines as there are
// processors. Each call has to write to its own place, so that the answer
// does not depend on their order. When a call panics no further ones are begun,
// and once those under way have ended inParallel panics with a *Panic: of
// several, that of the least k.
func inParallel(n int, work func(k int)) {
	panics := make([]*Panic, n)
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for k := int(next.Add(1)) - 1; k < n; k = int(next.Add(1)) - 1 {
				if panics[k] = caught(work, k); panics[k] != nil {
					next.Store(int64(n))
				}
			}
		})
	}
	wg.Wait()
	for _, p := range panics {
		if p != nil {
			panic(p)
		}
	}
}

// caught calls work for k and returns its panic, nil when there was none.
func caught(work func(k int), k int) (p *Panic) {
	defer func() {
		if v := recover(); v != nil {
			p = &Panic{Value: v, Stack: string(debug.Stack())}
		}
	}()
	work(k)
	return nil
}

// counter counts the pieces of work that are done and reports their number, one
// call at a time.
type counter struct {
	mu     sync.Mutex
	done   int
	report func(done int)
}

// add counts one piece of work.
func (c *counter) add() {
	if c.report == nil {
		return
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.done++
	c.report(c.done)
}
