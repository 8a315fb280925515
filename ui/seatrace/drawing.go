package seatrace

import (
	"fmt"
	"math"
	"slices"

	"thole/api/seatrace"
	"thole/ui/page"
)

// Drawings of the seat races: the boats of a piece from above, and the small
// bars that stand in tables.

// pieceDrawing is one piece: its boats side by side, bow up.
type pieceDrawing struct {
	Box   string
	Title string
	Boats []boatDrawing
}

// boatDrawing is one boat from above.
type boatDrawing struct {
	Hull   string
	Name   string
	NameAt page.Spot
	Rowers []rowerDrawing
	Time   string
	TimeAt page.Spot
	Coxed  bool
	CoxAt  page.Spot
}

// rowerDrawing is a rower: a disc, or a diamond for one who has just moved.
type rowerDrawing struct {
	At      page.Spot
	Diamond string // its outline; empty for one who stayed
	Name    string
	NameAt  page.Spot
}

// Measures of the drawing, in its own units; our judgement.
const (
	laneWidth = 168
	rowStep   = 27
	bowSpace  = 46
	sternRoom = 30
	hullHalf  = 10
)

// longestName is how many letters of a name stand between two hulls: bold ones of
// 15 units are about 9 wide; our judgement.
const longestName = 13

// newPieceDrawing draws the crews of a piece, each boat with what was taken of
// its time, which may be nothing.
func newPieceDrawing(crews [][]string, moved, taken []string, coxed bool) pieceDrawing {
	rows := 0
	for _, crew := range crews {
		rows = max(rows, len(crew))
	}
	height := bowSpace + rowStep*rows + sternRoom
	if coxed {
		height += rowStep / 2
	}
	d := pieceDrawing{Box: fmt.Sprintf("0 0 %d %d", laneWidth*max(len(crews), 1), height), Title: crewsText(crews, moved)}
	for b, crew := range crews {
		boat := newBoatDrawing(float64(b*laneWidth), float64(height), crew, moved)
		boat.Name = fmt.Sprintf("Boat %d", b+1)
		if b < len(taken) {
			boat.Time = taken[b]
		}
		boat.Coxed = coxed
		d.Boats = append(d.Boats, boat)
	}
	return d
}

func newBoatDrawing(left, height float64, crew, moved []string) boatDrawing {
	x, bow, stern := left+22, 22.0, height-8
	b := boatDrawing{
		Hull: fmt.Sprintf("M%s %s C%s %s %s %s %s %s C%s %s %s %s %s %sZ",
			page.Coord(x), page.Coord(bow), page.Coord(x+1.6*hullHalf), page.Coord(bow+40), page.Coord(x+1.3*hullHalf), page.Coord(stern-30), page.Coord(x), page.Coord(stern),
			page.Coord(x-1.3*hullHalf), page.Coord(stern-30), page.Coord(x-1.6*hullHalf), page.Coord(bow+40), page.Coord(x), page.Coord(bow)),
		NameAt: page.Spot{X: left + 4, Y: 13}, TimeAt: page.Spot{X: left + 78, Y: 13}, CoxAt: page.Spot{X: x, Y: stern - 20},
	}
	for i, name := range crew {
		at := page.Spot{X: x, Y: float64(bowSpace + rowStep*i + rowStep/2)}
		r := rowerDrawing{At: at, Name: shortened(name, longestName), NameAt: page.Spot{X: x + 20, Y: at.Y + 5}}
		if slices.Contains(moved, name) {
			r.Diamond = fmt.Sprintf("M%s %sl9 9l-9 9l-9 -9Z", page.Coord(at.X), page.Coord(at.Y-9))
		}
		b.Rowers = append(b.Rowers, r)
	}
	return b
}

// shortened keeps a name within a width of so many characters.
func shortened(name string, most int) string {
	letters := []rune(name)
	if len(letters) <= most {
		return name
	}
	return string(letters[:most-1]) + "…"
}

// crewsText describes a drawing in words.
func crewsText(crews [][]string, moved []string) string {
	text := ""
	for b, crew := range crews {
		text += fmt.Sprintf("Boat %d: %s. ", b+1, crewList(crew))
	}
	if len(moved) > 0 {
		text += "Moved: " + crewList(moved) + "."
	}
	return text
}

// crewList writes names as a, b and c.
func crewList(names []string) string {
	switch n := len(names); n {
	case 0:
		return ""
	case 1:
		return names[0]
	default:
		text := names[0]
		for _, name := range names[1 : n-1] {
			text += ", " + name
		}
		return text + " and " + names[n-1]
	}
}

// effectSpan is a bar of an interval with its middle, as shares of the width.
type effectSpan struct{ Low, Middle, Width float64 }

// effectScale maps seconds onto 0 to 100, zero included and the same both ways of it
// where values lie on both.
type effectScale struct{ low, high float64 }

// newEffectScale holds all intervals.
func newEffectScale(values ...float64) effectScale {
	s := effectScale{0, 0}
	for _, v := range values {
		s.low, s.high = min(s.low, v), max(s.high, v)
	}
	pad := 0.04 * max(s.high-s.low, 0.1)
	return effectScale{s.low - pad, s.high + pad}
}

// At is the place of a value.
func (s effectScale) At(v float64) float64 { return 100 * (v - s.low) / (s.high - s.low) }

// Zero is the place of nought.
func (s effectScale) Zero() float64 { return s.At(0) }

func (s effectScale) interval(low, middle, high float64) effectSpan {
	return effectSpan{Low: s.At(low), Middle: s.At(middle), Width: s.At(high) - s.At(low)}
}

// progressDrawing shows a difference after each piece.
type progressDrawing struct {
	Box, Title  string
	Zero        float64
	Width       float64
	Bars        []progressBar
	Top, Bottom string
	Words       string
}

// progressBar is the interval after one piece.
type progressBar struct {
	X, Y1, Y2, Y float64
	Label        string
}

// Size of the drawing of a difference after each piece; our judgement.
const (
	progressHeight = 110
	progressStep   = 34
)

// newProgress draws what was known of one pair after each piece; ok is false
// where it was never known.
func newProgress(after []seatrace.AfterPiece, first, second string) (d progressDrawing, ok bool) {
	var known []seatrace.SeatRaceDifference
	var labels []int
	for _, a := range after {
		if x, ok := differenceOf(a.Differences, first, second); ok && x.SdS > 0 {
			known, labels = append(known, x), append(labels, a.Pieces)
		}
	}
	if len(known) == 0 {
		return d, false
	}
	widest := 0.0
	for _, x := range known {
		widest = max(widest, math.Abs(x.LowS), math.Abs(x.HighS))
	}
	last := known[len(known)-1]
	widest = min(widest, 4*max(math.Abs(last.LowS), math.Abs(last.HighS), 0.1)) // the first intervals are too wide to show
	y := func(v float64) float64 {
		return progressHeight / 2 * (1 - max(-1, min(1, v/widest)))
	}
	d = progressDrawing{
		Width: float64(44 + progressStep*len(known)), Zero: progressHeight / 2,
		Title: fmt.Sprintf("%s over %s after each piece", first, second), Top: page.Signed(1, widest) + " s", Bottom: page.Signed(1, -widest) + " s",
	}
	d.Box = fmt.Sprintf("0 -12 %s %d", page.Coord(d.Width), progressHeight+36)
	for i, x := range known {
		d.Bars = append(d.Bars, progressBar{
			X: float64(60 + progressStep*i), Y1: y(x.HighS), Y2: y(x.LowS), Y: y(x.DifferenceS), Label: fmt.Sprint(labels[i]),
		})
	}
	return d, true
}
