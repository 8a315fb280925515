package stroke

import "sync/atomic"

// relay carries samples from the goroutine that reads the file to one that
// measures, in batches and in their order, so that both cores have work and
// the result is the same as with one.
type relay struct {
	batch    []parcel
	full     chan []parcel
	empty    chan []parcel
	done     chan struct{} // closed when the measuring has ended
	check    func() error  // asked after every batch, by the one that measures
	stopped  atomic.Bool   // check has failed
	panicked any
}

// parcel is a sample with its address.
type parcel struct {
	to taker
	sample
}

// Sizes of what is handed on at a time; numerical.
const (
	batchSize = 1024 // samples
	batches   = 4
)

func newRelay(check func() error) *relay {
	r := &relay{full: make(chan []parcel, batches), empty: make(chan []parcel, batches), done: make(chan struct{}), check: check}
	for range batches - 1 {
		r.empty <- make([]parcel, 0, batchSize)
	}
	r.batch = make([]parcel, 0, batchSize)
	go r.run()
	return r
}

// run measures what comes. A panic is kept for the caller's goroutine, where
// it can be recovered.
func (r *relay) run() {
	defer close(r.done)
	defer func() { r.panicked = recover() }()
	for batch := range r.full {
		for i := range batch {
			batch[i].to.take(batch[i].sample)
		}
		if r.check() != nil {
			r.stopped.Store(true)
		}
		r.empty <- batch[:0]
	}
}

// address is the taker of one oar on the reading side.
type address struct {
	relay *relay
	to    taker
}

func (a address) take(s sample) {
	r := a.relay
	r.batch = append(r.batch, parcel{a.to, s})
	if len(r.batch) == batchSize {
		r.send()
	}
}

// send passes the batch on and takes an empty one.
func (r *relay) send() {
	select {
	case r.full <- r.batch:
	case <-r.done:
	}
	select {
	case r.batch = <-r.empty:
	case <-r.done:
		r.batch = r.batch[:0]
	}
}

// close waits until everything sent is measured; a panic of the measuring
// goes on here.
func (r *relay) close() {
	r.send()
	close(r.full)
	<-r.done
	if r.panicked != nil {
		panic(r.panicked)
	}
}
