package measure

import (
	"math"
	"strconv"
	"strings"
)

// trace is the path data of a polyline, to a tenth of a pixel.
func trace(points []point) string {
	var b strings.Builder
	for i, p := range points {
		b.WriteByte("LM"[first(i)])
		b.WriteString(tenth(p.X) + " " + tenth(p.Y))
	}
	return b.String()
}

func first(i int) int {
	if i == 0 {
		return 1
	}
	return 0
}

func tenth(v float64) string {
	return strings.TrimSuffix(strconv.FormatFloat(math.Round(v*10)/10+0, 'f', 1, 64), ".0")
}
