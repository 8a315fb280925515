// Package lanes shows one piece of a seat race: its boats drawn from above, side by
// side, bow up, when it starts, and who changes boats before it.
package lanes

import (
	"fmt"
	"slices"

	"thole/api/wire"
	"thole/ui/plot"
)

// Drawing is one piece: its boats side by side, bow up.
type Drawing struct {
	Box   string
	Title string
	Boats []Boat
}

// Boat is one boat from above.
type Boat struct {
	Hull   string
	Name   string
	NameAt plot.Spot
	Rowers []Rower
	Time   string
	TimeAt plot.Spot
	Coxed  bool
	CoxAt  plot.Spot
}

// Rower is a rower: a disc, or a diamond for one who has just moved.
type Rower struct {
	At      plot.Spot
	Diamond string // its outline; empty for one who stayed
	Name    string
	NameAt  plot.Spot
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

// New draws the crews of a piece, each boat with what was taken of
// its time, which may be nothing.
func New(crews [][]string, moved, taken []string, coxed bool) Drawing {
	rows := 0
	for _, crew := range crews {
		rows = max(rows, len(crew))
	}
	height := bowSpace + rowStep*rows + sternRoom
	if coxed {
		height += rowStep / 2
	}
	d := Drawing{Box: fmt.Sprintf("0 0 %d %d", laneWidth*max(len(crews), 1), height), Title: crewsText(crews, moved)}
	for b, crew := range crews {
		boat := newBoat(float64(b*laneWidth), float64(height), crew, moved)
		boat.Name = fmt.Sprintf("Boat %d", b+1)
		if b < len(taken) {
			boat.Time = taken[b]
		}
		boat.Coxed = coxed
		d.Boats = append(d.Boats, boat)
	}
	return d
}

func newBoat(left, height float64, crew, moved []string) Boat {
	x, bow, stern := left+22, 22.0, height-8
	b := Boat{
		Hull: fmt.Sprintf("M%s %s C%s %s %s %s %s %s C%s %s %s %s %s %sZ",
			plot.Coord(x), plot.Coord(bow), plot.Coord(x+1.6*hullHalf), plot.Coord(bow+40), plot.Coord(x+1.3*hullHalf), plot.Coord(stern-30), plot.Coord(x), plot.Coord(stern),
			plot.Coord(x-1.3*hullHalf), plot.Coord(stern-30), plot.Coord(x-1.6*hullHalf), plot.Coord(bow+40), plot.Coord(x), plot.Coord(bow)),
		NameAt: plot.Spot{X: left + 4, Y: 13}, TimeAt: plot.Spot{X: left + 78, Y: 13}, CoxAt: plot.Spot{X: x, Y: stern - 20},
	}
	for i, name := range crew {
		at := plot.Spot{X: x, Y: float64(bowSpace + rowStep*i + rowStep/2)}
		r := Rower{At: at, Name: shortened(name, longestName), NameAt: plot.Spot{X: x + 20, Y: at.Y + 5}}
		if slices.Contains(moved, name) {
			r.Diamond = fmt.Sprintf("M%s %sl9 9l-9 9l-9 -9Z", plot.Coord(at.X), plot.Coord(at.Y-9))
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
		text += fmt.Sprintf("Boat %d: %s. ", b+1, wire.And(crew))
	}
	if len(moved) > 0 {
		text += "Moved: " + wire.And(moved) + "."
	}
	return text
}
