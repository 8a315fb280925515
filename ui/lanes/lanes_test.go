package lanes

import (
	"testing"

	"thole/ui/plot"
)

func is[T comparable](t *testing.T, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

func TestPiecesAreDrawnBoatByBoat(t *testing.T) {
	d := New([][]string{{"Ann", "Bea"}, {"Cat", "Wolfeschlegelsteinhausen"}}, []string{"Bea"}, []string{"3:10.0", ""}, false)
	is(t, "box", d.Box, "0 0 336 130")
	is(t, "names", d.Boats[0].Name+d.Boats[1].Name, "Boat 1Boat 2")
	is(t, "times", d.Boats[0].Time+"|"+d.Boats[1].Time, "3:10.0|")
	is(t, "lanes", d.Boats[1].Rowers[0].At.X-d.Boats[0].Rowers[0].At.X, laneWidth)
	is(t, "rows", d.Boats[0].Rowers[1].At.Y-d.Boats[0].Rowers[0].At.Y, rowStep)
	is(t, "bow first", d.Boats[0].Rowers[0].At, plot.Spot{X: 22, Y: 59})
	is(t, "the name beside", d.Boats[0].Rowers[0].NameAt, plot.Spot{X: 42, Y: 64})
	is(t, "its boat", [3]plot.Spot{d.Boats[1].NameAt, d.Boats[1].TimeAt, d.Boats[1].CoxAt}, [3]plot.Spot{{X: 172, Y: 13}, {X: 246, Y: 13}, {X: 190, Y: 102}})
	is(t, "moved", d.Boats[0].Rowers[0].Diamond == "" && d.Boats[0].Rowers[1].Diamond == "M22 77l9 9l-9 9l-9 -9Z", true)
	is(t, "long", len([]rune(d.Boats[1].Rowers[1].Name)), 13)
	is(t, "hull", d.Boats[0].Hull, "M22 22 C38 62 35 92 22 122 C9 92 6 62 22 22Z")
	is(t, "in words", d.Title, "Boat 1: Ann and Bea. Boat 2: Cat and Wolfeschlegelsteinhausen. Moved: Bea.")
	coxed := New([][]string{{"Ann", "Bea"}}, nil, nil, true)
	is(t, "coxed", coxed.Boats[0].Coxed && coxed.Box == "0 0 168 143" && coxed.Boats[0].CoxAt.Y > coxed.Boats[0].Rowers[1].At.Y, true)
	is(t, "nobody moved", coxed.Title, "Boat 1: Ann and Bea. ")
	is(t, "nobody", New(nil, nil, nil, false).Box, "0 0 168 76")
	is(t, "fits", shortened("Ann", 3)+shortened("Anna", 3), "AnnAn…")
}
