package rigging

import (
	"errors"
	"strings"
	"sync/atomic"
	"testing"
)

// caught returns what f panics with.
func caught(f func()) (v any) {
	defer func() { v = recover() }()
	f()
	return nil
}

var errPlanted = errors.New("planted")

func plantedPanic() { panic(errPlanted) }

// TestPanicsReachTheCaller: the first by number, with the stack it came from,
// after all others have ended.
func TestPanicsReachTheCaller(t *testing.T) {
	var done atomic.Int32
	v := caught(func() {
		atOnce(8, func(i int) {
			switch i {
			case 3:
				plantedPanic()
			case 5:
				panic("another")
			}
			done.Add(1)
		})
	})
	p, ok := v.(*Panic)
	if !ok || !errors.Is(p, errPlanted) || !strings.Contains(p.Error(), "planted") || !strings.Contains(p.Error(), "plantedPanic") {
		t.Fatalf("panicked with %v", v)
	}
	if done.Load() != 6 {
		t.Errorf("%d of 6 others ended", done.Load())
	}
	text := caught(func() { atOnce(1, func(int) { panic("a text") }) })
	if p, ok := text.(*Panic); !ok || p.Unwrap() != nil || p.Value != "a text" {
		t.Errorf("panicked with %v", text)
	}
}

func TestAtOnceDoesEach(t *testing.T) {
	var seen [9]atomic.Int32
	atOnce(len(seen), func(i int) { seen[i].Add(1) })
	for i := range seen {
		if seen[i].Load() != 1 {
			t.Errorf("%d was done %d times", i, seen[i].Load())
		}
	}
}

// TestACrewFitCarriesAPanicOver: one seat's panic does not end the program.
func TestACrewFitCarriesAPanicOver(t *testing.T) {
	c := crewSearch{seats: make([]*fitSeat, 3)}
	v := caught(func() {
		c.eachSeat(func(i int) {
			if i == 1 {
				plantedPanic()
			}
		})
	})
	if p, ok := v.(*Panic); !ok || !errors.Is(p, errPlanted) {
		t.Errorf("panicked with %v", v)
	}
}
