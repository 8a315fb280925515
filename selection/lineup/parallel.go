package lineup

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// inParallel calls work for 0 to n − 1 on as many goroutines as there are
// processors. Each call has to write to its own place, so that the answer
// does not depend on their order.
func inParallel(n int, work func(k int)) {
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for k := int(next.Add(1)) - 1; k < n; k = int(next.Add(1)) - 1 {
				work(k)
			}
		})
	}
	wg.Wait()
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
