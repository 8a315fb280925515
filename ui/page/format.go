package page

import (
	"html/template"
	"math"
	"strconv"
	"strings"

	"thole/api/wire"
	"thole/ui/plot"
)

// formatting holds the functions of the templates.
var formatting = template.FuncMap{
	"fix":    Fix,
	"plain":  Plain,
	"clock":  Clock,
	"coord":  plot.Coord,
	"signed": Signed,
	"abs":    math.Abs,
	"share":  func(v float64) string { return Fix(0, 100*v) + " %" },
	"list":   func(items ...any) []any { return items },
	"neg":    func(v float64) float64 { return -v },

	"day":       Day,
	"figure":    figure,
	"megabytes": func(bytes int64) float64 { return float64(bytes) / 1e6 },
	"percent":   func(v float64) float64 { return 100 * v },
	"upper":     Capital,
	"inc":       func(i int) int { return i + 1 },
	"mod8":      func(i int) int { return i % 8 },
	"int64":     func(i int) int64 { return int64(i) },
}

// Fix writes v with digits after the point and a true minus sign; what rounds
// to zero has no sign.
func Fix(digits int, v float64) string { return wire.Fix(digits, v) }

// Scatter writes a ± as Fix does, with a digit or two more where it would be 0, which no
// measure is.
func Scatter(digits int, v float64) string {
	text := Fix(digits, v)
	for more := 1; more <= 2 && v > 0 && strings.Trim(text, "0.") == ""; more++ {
		text = Fix(digits+more, v)
	}
	return text
}

// Signed is fix with a plus sign before what is more than zero, and a bare 0.
func Signed(digits int, v float64) string {
	text := Fix(digits, v)
	switch {
	case strings.Trim(text, "0.") == "":
		return "0"
	case v > 0:
		return "+" + text
	}
	return text
}

// Plain writes v with as many digits as it has, at most two.
func Plain(v float64) string { return wire.Trimmed(2, v) }

// figure writes v with all the digits that it has, six at most.
func figure(v float64) string {
	return strings.Replace(strconv.FormatFloat(v, 'g', 6, 64), "-", "−", 1)
}
