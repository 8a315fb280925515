package rigging

import (
	"fmt"
	"runtime/debug"
	"sync"
)

// Panic is what a panic in one of the goroutines of this package becomes: it is
// raised again in the goroutine of the caller, who can recover it there.
type Panic struct {
	Value any    // what was panicked with
	Stack string // of the goroutine that panicked
}

// Error tells the value and the stack it came from.
func (p *Panic) Error() string { return fmt.Sprintf("%v\n\n%s", p.Value, p.Stack) }

// Unwrap returns the value when it is an error, or nil.
func (p *Panic) Unwrap() error {
	err, _ := p.Value.(error)
	return err
}

// atOnce does something for 0 to n−1 in goroutines of their own and waits for
// all of them. Of those that panic it raises the one of the least number again,
// as a *Panic.
func atOnce(n int, do func(i int)) {
	panics := make([]*Panic, n)
	var wg sync.WaitGroup
	for i := range n {
		wg.Go(func() {
			defer func() {
				if v := recover(); v != nil {
					panics[i] = &Panic{Value: v, Stack: string(debug.Stack())}
				}
			}()
			do(i)
		})
	}
	wg.Wait()
	for _, p := range panics {
		if p != nil {
			panic(p)
		}
	}
}
