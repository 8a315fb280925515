package main

import (
	"container/list"
	"net"
	"net/http"
	"sync"
)

// mostIdle is how many connections without a request are kept open for the next one:
// by our own judgement some for each phone of a large club. Each takes about 20 kB.
const mostIdle = 1000

// idlers are the connections that wait for a request. Beyond so many, the one that has
// waited longest is closed, so that whoever opens thousands keeps nobody out and uses
// no more memory; browsers open another without a word.
type idlers struct {
	most int

	mu      sync.Mutex
	waiting *list.List // of net.Conn, the longest first
	places  map[net.Conn]*list.Element
}

func newIdlers(most int) *idlers {
	return &idlers{most: most, waiting: list.New(), places: map[net.Conn]*list.Element{}}
}

// note keeps the count of a server's connections, as its ConnState. One that has sent
// nothing yet waits like one between two requests.
func (i *idlers) note(conn net.Conn, state http.ConnState) {
	if surplus := i.place(conn, state == http.StateNew || state == http.StateIdle); surplus != nil {
		_ = surplus.Close() // what fails to close is closed
	}
}

// place puts a connection last, or takes it out where it does not wait, and returns
// the one that is too many.
func (i *idlers) place(conn net.Conn, waits bool) (surplus net.Conn) {
	i.mu.Lock()
	defer i.mu.Unlock()
	if e, known := i.places[conn]; known {
		i.waiting.Remove(e)
		delete(i.places, conn)
	}
	if !waits {
		return nil
	}
	i.places[conn] = i.waiting.PushBack(conn)
	if i.waiting.Len() <= i.most {
		return nil
	}
	surplus = i.waiting.Front().Value.(net.Conn)
	i.waiting.Remove(i.waiting.Front())
	delete(i.places, surplus)
	return surplus
}
