package wire

import (
	"math"
	"testing"
)

func TestTimesAreWrittenOneWay(t *testing.T) {
	for _, c := range []struct {
		seconds     float64
		all, tenths string
	}{
		{392.4, "6:32.4", "6:32.4"}, {392.45, "6:32.45", "6:32.5"}, {392.456, "6:32.456", "6:32.5"}, {59.96, "0:59.96", "1:00.0"},
		{3723.4, "1:02:03.4", "1:02:03.4"}, {0, "0:00.0", "0:00.0"}, {-1.5, "-1.5 s", "-1.5 s"}, {math.Inf(1), "+Inf s", "+Inf s"},
	} {
		if got := FormatTime(c.seconds); got != c.all {
			t.Errorf("%g is %s, want %s", c.seconds, got, c.all)
		}
		if got := FormatTenths(c.seconds); got != c.tenths {
			t.Errorf("%g to a tenth is %s, want %s", c.seconds, got, c.tenths)
		}
	}
}
