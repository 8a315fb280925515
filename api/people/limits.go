package people

import (
	"net/netip"
	"strconv"
	"sync"
	"time"
)

// limit is how many failures are free, and how long one of them takes to be
// forgotten.
type limit struct {
	free  float64
	every time.Duration
}

// The limits of failed sign-ins, by our own judgement. A guesser gets some
// hundreds of tries a day at one account. A browser in which the account has
// been used before has a count of its own, so that guessing elsewhere does not
// keep its owner out; nor does it keep out the others behind the club's address,
// which may fail far more often.
var (
	pairLimit    = limit{10, 90 * time.Second} // one account from one address
	accountLimit = limit{30, 2 * time.Minute}  // one account from everywhere
	addressLimit = limit{100, 5 * time.Second} // one address at all accounts
	browserLimit = limit{10, 90 * time.Second} // one account in a browser that knows it
)

// limiter counts failures by what they are counted for. Its methods are safe for
// concurrent use.
type limiter struct {
	now    func() time.Time
	mu     sync.Mutex
	counts map[string]count
}

// count is how many failures there were, less those forgotten, as of a moment.
type count struct {
	failures float64
	at       time.Time
	limit    limit
}

// as returns the count as of now.
func (c count) as(now time.Time) count {
	forgotten := float64(now.Sub(c.at)) / float64(c.limit.every)
	c.failures, c.at = max(0, c.failures-max(0, forgotten)), now
	return c
}

func newLimiter(now func() time.Time) *limiter { return &limiter{now: now, counts: map[string]count{}} }

// charge is what a try is counted for.
type charge struct {
	key   string
	limit limit
}

// take counts a try against every charge and returns 0, or how long to wait
// where one of them is spent, and counts nothing.
func (l *limiter) take(charges []charge) time.Duration {
	l.mu.Lock()
	defer l.mu.Unlock()
	now := l.now()
	l.sweep(now)
	var wait time.Duration
	for _, c := range charges {
		over := l.at(c, now).failures + 1 - c.limit.free
		wait = max(wait, time.Duration(over*float64(c.limit.every)))
	}
	if wait > 0 {
		return wait
	}
	for _, c := range charges {
		n := l.at(c, now)
		n.failures++
		l.counts[c.key] = n
	}
	return 0
}

// forget takes back a try that did not fail.
func (l *limiter) forget(charges []charge) {
	l.mu.Lock()
	defer l.mu.Unlock()
	for _, c := range charges {
		n := l.at(c, l.now())
		n.failures = max(0, n.failures-1)
		l.counts[c.key] = n
	}
}

func (l *limiter) at(c charge, now time.Time) count {
	n, ok := l.counts[c.key]
	if !ok {
		n = count{at: now, limit: c.limit}
	}
	return n.as(now)
}

// keptCounts bounds the memory of the limiter, about 100 bytes each; our judgement.
const keptCounts = 10_000

// sweep removes what is forgotten once there is much.
func (l *limiter) sweep(now time.Time) {
	if len(l.counts) < keptCounts {
		return
	}
	for key, n := range l.counts {
		if n.as(now).failures == 0 {
			delete(l.counts, key)
		}
	}
}

// charges lists what a sign-in is counted for.
func charges(name string, from netip.Addr, known int64) []charge {
	if known != 0 {
		return []charge{{"browser " + strconv.FormatInt(known, 10), browserLimit}}
	}
	address := network(from)
	return []charge{{"pair " + name + " " + address, pairLimit}, {"account " + name, accountLimit}, {"address " + address, addressLimit}}
}

// network is what of an address one person cannot change at will: a version 6
// address counts by its first 64 bits (RFC 6177).
func network(a netip.Addr) string {
	if !a.IsValid() {
		return "unknown"
	}
	a = a.Unmap()
	bits := a.BitLen()
	if a.Is6() {
		bits = 64
	}
	return netip.PrefixFrom(a, bits).Masked().String()
}
