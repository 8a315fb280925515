package lineup

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"sync"
	"sync/atomic"
)

// inParallel calls work for 0 to n − 1 on as many goroutines as there are
// processors. Each call has to write to its own place, so that the answer
// does not depend on their order. A panic of work is raised again here, with its
// stack in the text: on a goroutine of its own it would end the program.
func inParallel(n int, work func(k int)) {
	var next atomic.Int64
	var wg sync.WaitGroup
	var fault atomic.Pointer[string]
	for range min(n, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			defer func() {
				if v := recover(); v != nil {
					text := fmt.Sprintf("%v\n%s", v, debug.Stack())
					fault.CompareAndSwap(nil, &text)
				}
			}()
			for k := int(next.Add(1)) - 1; k < n; k = int(next.Add(1)) - 1 {
				work(k)
			}
		})
	}
	wg.Wait()
	if text := fault.Load(); text != nil {
		panic(*text)
	}
}

// counter tells how many pieces of work are done, one call at a time.
type counter struct {
	mu   sync.Mutex
	done int
	tell func(done int)
}

func (c *counter) add() {
	if c.tell == nil {
		return
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.done++
	c.tell(c.done)
}
