package figure

import (
	"strings"
	"unicode"
)

// Sizes of type, px.
const (
	termSize, valueSize           = 14, 16
	smallTermSize, smallValueSize = 12, 14
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

// widthOf is the estimated width of a line of type, px, on the large side.
func widthOf(text string, size float64, bold bool) float64 {
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

// fitted shortens text with an ellipsis until it fits a width.
func fitted(text string, size float64, bold bool, width float64) string {
	if widthOf(text, size, bold) <= width {
		return text
	}
	letters := []rune(text)
	for len(letters) > 1 && widthOf(string(letters)+"…", size, bold) > width {
		letters = letters[:len(letters)-1]
	}
	return strings.TrimRight(string(letters), " ,-") + "…"
}

// block is the type of one label before it has a place: a term over a value.
// Either may be empty.
type block struct {
	term, value         string
	termSize, valueSize float64
}

// Line heights in em: from the line's top to the baseline and to its foot.
const (
	ascent, lineHeight = 0.86, 1.1
)

func (b *block) width() float64 {
	return max(widthOf(b.term, b.termSize, false), widthOf(b.value, b.valueSize, true))
}

func (b *block) height() float64 {
	h := 0.0
	if b.term != "" {
		h += lineHeight * b.termSize
	}
	if b.value != "" {
		h += lineHeight * b.valueSize
	}
	return h
}

// set places the block in a box at left and top, its lines flush as the anchor
// says.
func (b *block) set(left, top float64, anchor string) Label {
	l := Label{Box: Box{left, top, b.width(), b.height()}}
	x := map[string]float64{"start": left, "middle": left + l.Box.W/2, "end": l.Box.Right()}[anchor]
	if b.term != "" {
		l.Texts = append(l.Texts, Text{Class: "fig-term", At: Point{x, top + ascent*b.termSize}, Anchor: anchor, Text: b.term, Size: b.termSize})
		top += lineHeight * b.termSize
	}
	if b.value != "" {
		l.Texts = append(l.Texts, Text{Class: "fig-value", At: Point{x, top + ascent*b.valueSize}, Anchor: anchor, Text: b.value, Size: b.valueSize, Bold: true})
	}
	return l
}
