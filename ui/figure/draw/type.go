package figure

import "thole/ui/figure/letters"

// Sizes of type, px; our judgement.
const (
	termSize, valueSize           = 14, 16
	smallTermSize, smallValueSize = 12, 14
)

// block is the type of one label before it has a place: a term over a value.
// Either may be empty.
type block struct {
	term, value         string
	termSize, valueSize float64
}

// Line heights in em: from the line's top to the baseline and to its foot; our judgement.
const (
	ascent, lineHeight = 0.86, 1.1
)

func (b *block) width() float64 {
	return max(letters.Width(b.term, b.termSize, false), letters.Width(b.value, b.valueSize, true))
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
	l := Label{Box: Box{X: left, Y: top, W: b.width(), H: b.height()}}
	x := map[string]float64{"start": left, "middle": left + l.Box.W/2, "end": l.Box.Right()}[anchor]
	if b.term != "" {
		l.Texts = append(l.Texts, Text{Class: "fig-term", At: Point{X: x, Y: top + ascent*b.termSize}, Anchor: anchor, Text: b.term, Size: b.termSize})
		top += lineHeight * b.termSize
	}
	if b.value != "" {
		l.Texts = append(l.Texts, Text{Class: "fig-value", At: Point{X: x, Y: top + ascent*b.valueSize}, Anchor: anchor, Text: b.value, Size: b.valueSize, Bold: true})
	}
	return l
}
