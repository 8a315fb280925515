package seatrace

import (
	"math"
	"testing"
)

// TestMarginOfAPiece has the first boat win, the last, nobody and one alone.
func TestMarginOfAPiece(t *testing.T) {
	at := func(times ...float64) *RacePiece {
		p := &RacePiece{}
		for _, s := range times {
			if s == 0 {
				p.TimesS = append(p.TimesS, nil)
				continue
			}
			p.TimesS = append(p.TimesS, &s)
		}
		return p
	}
	for _, c := range []struct {
		piece         *RacePiece
		first, second int
		seconds       float64
		ok            bool
	}{
		{at(190, 191.5), 1, 2, 1.5, true}, {at(195, 192, 190.5), 3, 2, 1.5, true}, {at(0, 190, 190), 2, 3, 0, true},
		{at(0, 190), 0, 0, 0, false}, {at(), 0, 0, 0, false},
	} {
		m, ok := c.piece.Margin()
		if ok != c.ok || m.First != c.first || m.Second != c.second || math.Abs(m.Seconds-c.seconds) > 1e-9 || ok && m.DeadHeat() != (c.seconds == 0) {
			t.Errorf("%+v, %t; want %d before %d by %g", m, ok, c.first, c.second, c.seconds)
		}
	}
}
