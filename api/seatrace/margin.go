package seatrace

import (
	"cmp"
	"slices"
)

// Margin is by how much the first boat of a piece was ahead of the second.
type Margin struct {
	First, Second int // boats, from 1
	Seconds       float64
}

// DeadHeat reports whether the two finished together.
func (m Margin) DeadHeat() bool { return m.Seconds == 0 }

// Margin returns the margin of the piece; ok is false where fewer than two
// boats have a time.
func (p *RacePiece) Margin() (m Margin, ok bool) {
	var order []int
	for b, t := range p.TimesS {
		if t != nil {
			order = append(order, b)
		}
	}
	if len(order) < 2 {
		return m, false
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(*p.TimesS[a], *p.TimesS[b]) })
	return Margin{First: order[0] + 1, Second: order[1] + 1, Seconds: *p.TimesS[order[1]] - *p.TimesS[order[0]]}, true
}
