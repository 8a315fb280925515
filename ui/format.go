package ui

import (
	"html/template"
	"math"
	"strconv"
	"strings"
)

// formatting holds the functions of the templates.
var formatting = template.FuncMap{
	"fix":    fix,
	"plain":  plain,
	"clock":  clock,
	"coord":  coord,
	"signed": signed,
	"abs":    math.Abs,
	"share":  func(v float64) string { return fix(0, 100*v) + " %" },
	"list":   func(items ...any) []any { return items },
	"neg":    func(v float64) float64 { return -v },

	"day":       day,
	"figure":    figure,
	"megabytes": func(bytes int64) float64 { return float64(bytes) / 1e6 },
	"percent":   func(v float64) float64 { return 100 * v },
	"upper":     capital,
	"inc":       func(i int) int { return i + 1 },
	"mod8":      func(i int) int { return i % 8 },
	"int64":     func(i int) int64 { return int64(i) },
}

// fix writes v with digits after the point and a true minus sign; what rounds
// to zero has no sign.
func fix(digits int, v float64) string {
	scale := math.Pow10(digits)
	v = math.Round(v*scale)/scale + 0
	return strings.Replace(strconv.FormatFloat(v, 'f', digits, 64), "-", "−", 1)
}

// signed is fix with a plus sign before what is more than zero, and a bare 0.
func signed(digits int, v float64) string {
	text := fix(digits, v)
	switch {
	case strings.Trim(text, "0.") == "":
		return "0"
	case v > 0:
		return "+" + text
	}
	return text
}

// plain writes v with as many digits as it has, at most two.
func plain(v float64) string {
	return strings.TrimRight(strings.TrimRight(fix(2, v), "0"), ".")
}

// figure writes v with all the digits that it has, six at most.
func figure(v float64) string {
	return strings.Replace(strconv.FormatFloat(v, 'g', 6, 64), "-", "−", 1)
}
