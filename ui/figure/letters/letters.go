// Package letters says how wide type is before a browser has set it.
package letters

import (
	"strings"
	"unicode"
)

// wideLetters are widths in em that differ from their group's. The figures are
// those of a wide sans serif, so that a box estimated here is not smaller than
// the one a browser draws with any usual system font.
var wideLetters = map[rune]float64{
	'm': 0.98, 'w': 0.84, 'M': 0.87, 'W': 1.0, 'O': 0.79, 'Q': 0.79, 'G': 0.78, 'D': 0.78, 'N': 0.76, 'H': 0.76,
	't': 0.42, 'f': 0.38, 'r': 0.43, 'i': 0.33, 'j': 0.33, 'l': 0.33, 'I': 0.36, 'J': 0.36,
	'.': 0.34, ',': 0.34, ':': 0.36, ';': 0.36, '·': 0.34, '’': 0.33, '\'': 0.33, '(': 0.42, ')': 0.42, '-': 0.4, '/': 0.36,
	' ': 0.34, '\u2009': 0.25, '\u00a0': 0.34, '°': 0.54, '±': 0.84, '−': 0.84, '–': 0.52, '…': 1.0,
}

// Width is the estimated width of a line of type, px, on the large side.
func Width(text string, size float64, bold bool) float64 {
	em := 0.0
	for _, r := range text {
		em += letterWidth(r)
	}
	if bold {
		em *= 1.13
	}
	return em * size
}

func letterWidth(r rune) float64 {
	if w, ok := wideLetters[r]; ok {
		return w
	}
	switch {
	case unicode.IsDigit(r):
		return 0.65
	case unicode.IsUpper(r):
		return 0.72
	case unicode.IsLower(r):
		return 0.645
	case unicode.Is(unicode.Mn, r):
		return 0
	}
	return 1 // scripts and marks whose width is not known
}

// Fitted shortens text with an ellipsis until it fits a width.
func Fitted(text string, size float64, bold bool, width float64) string {
	if Width(text, size, bold) <= width {
		return text
	}
	letters := []rune(text)
	for len(letters) > 1 && Width(string(letters)+"…", size, bold) > width {
		letters = letters[:len(letters)-1]
	}
	return strings.TrimRight(string(letters), " ,-") + "…"
}
