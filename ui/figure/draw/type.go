package draw

import (
	"thole/ui/figure/letters"
	"thole/ui/figure/plane"
)

// Sizes of type, px; our judgement.
const (
	TermSize, ValueSize           = 14, 16
	SmallTermSize, SmallValueSize = 12, 14
)

// Block is the type of one label before it has a place: a term over a value.
// Either may be empty.
type Block struct {
	Term, Value         string
	TermSize, ValueSize float64
}

// LineHeight is that of type in em, and ascent is from the line's top to its baseline; our judgement.
const LineHeight, ascent = 1.1, 0.86

// Width is that of the wider line, px.
func (b *Block) Width() float64 {
	return max(letters.Width(b.Term, b.TermSize, false), letters.Width(b.Value, b.ValueSize, true))
}

// Height is that of both lines, px.
func (b *Block) Height() float64 {
	h := 0.0
	if b.Term != "" {
		h += LineHeight * b.TermSize
	}
	if b.Value != "" {
		h += LineHeight * b.ValueSize
	}
	return h
}

// Set places the block in a box at left and top, its lines flush as the anchor
// says.
func (b *Block) Set(left, top float64, anchor string) Label {
	l := Label{Box: plane.Box{X: left, Y: top, W: b.Width(), H: b.Height()}}
	x := map[string]float64{"start": left, "middle": left + l.Box.W/2, "end": l.Box.Right()}[anchor]
	if b.Term != "" {
		l.Texts = append(l.Texts, Text{Class: "fig-term", At: plane.Point{X: x, Y: top + ascent*b.TermSize}, Anchor: anchor, Text: b.Term, Size: b.TermSize})
		top += LineHeight * b.TermSize
	}
	if b.Value != "" {
		l.Texts = append(l.Texts, Text{Class: "fig-value", At: plane.Point{X: x, Y: top + ascent*b.ValueSize}, Anchor: anchor, Text: b.Value, Size: b.ValueSize, Bold: true})
	}
	return l
}
