package lanes

import (
	"fmt"
	"math"
	"strings"

	"thole/api/wire"
)

// Sweeps reports whether a class has rowers with one oar each, by its code.
func Sweeps(class string) bool { return !strings.Contains(class, "x") }

// Short are the short names of athletes, found one by one.
func Short(names []string, label func(string) string) []string {
	list := make([]string, len(names))
	for i, name := range names {
		list[i] = label(name)
	}
	return list
}

// Minutes writes when a piece starts, after the first.
func Minutes(minutes float64) string {
	return fmt.Sprintf("+%d:%02d h", int(math.Round(minutes))/60, int(math.Round(minutes))%60)
}

// Change reports who moves before a piece.
func Change(i int, moved, left []string) string {
	switch {
	case i == 0:
		return "First crews"
	case len(moved) == 0:
		return "Same crews again"
	}
	text := wire.And(moved) + " change"
	if len(moved) == 1 {
		text = moved[0] + " moves in"
	}
	if len(left) > 0 {
		text += "; ashore: " + wire.And(left)
	}
	return text
}
