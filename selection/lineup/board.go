package lineup

import (
	"cmp"
	"math"
	"slices"
)

// tie is the width in s within which totals count as equal; numerical: well above the rounding
// of sums of some hundred terms, far below what a clock shows.
const tie = 1e-9

// entry is a listed assignment. Entries are ordered by their cost in steps of
// tie, then by their items seat by seat, then by the number of their rig.
type entry struct {
	cost  float64
	x     []int
	order int
}

func (e entry) compare(f entry) int {
	return cmp.Or(
		cmp.Compare(math.Round(e.cost/tie), math.Round(f.cost/tie)),
		slices.Compare(e.x, f.x),
		cmp.Compare(e.order, f.order),
	)
}

// board keeps the best few assignments seen.
type board struct {
	room int
	list []entry
}

// full returns the last entry when the board is full.
func (b *board) full() (last entry, ok bool) {
	if len(b.list) < b.room {
		return entry{cost: inf}, false
	}
	return b.list[len(b.list)-1], true
}

// add lists an assignment if it is good enough and new.
func (b *board) add(e entry) bool {
	if last, ok := b.full(); e.cost == inf || ok && e.compare(last) >= 0 {
		return false
	}
	at, known := slices.BinarySearchFunc(b.list, e, entry.compare)
	if known {
		return false
	}
	e.x = slices.Clone(e.x)
	b.list = slices.Insert(b.list, at, e)
	b.list = b.list[:min(len(b.list), b.room)]
	return true
}
