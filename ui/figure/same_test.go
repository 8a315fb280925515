package figure

import (
	"fmt"
	"testing"

	"thole/api/apitest/same"
	"thole/rigging"
	"thole/ui/figure/draw"
)

// linesOf tells a drawing, a line for each shape and each piece of type.
func linesOf(d *draw.Drawing) []string {
	list := []string{fmt.Sprintf("%s %s: %s. %s", d.Class, d.View(), d.Title, d.Desc)}
	for i := range d.Shapes {
		s := &d.Shapes[i]
		list = append(list, fmt.Sprintf("%s %d %v %s", s.Class, s.Kind, s.Closed, s.D))
	}
	text := func(x *draw.Text) string {
		return fmt.Sprintf("%s %s %s %s %.3g %v %q", x.Class, draw.Coord(x.At.X), draw.Coord(x.At.Y), x.Anchor, x.Size, x.Bold, x.Text)
	}
	for i := range d.Marks {
		list = append(list, text(&d.Marks[i]))
	}
	for i := range d.Labels {
		for j := range d.Labels[i].Texts {
			list = append(list, "label "+text(&d.Labels[i].Texts[j]))
		}
		for _, p := range d.Labels[i].Leader {
			list = append(list, "leader "+draw.Coord(p.X)+" "+draw.Coord(p.Y))
		}
	}
	return append(list, d.Caption)
}

// TestDrawingsAreAsLookedOver: every one was looked at before its lines were kept.
func TestDrawingsAreAsLookedOver(t *testing.T) {
	for _, width := range []float64{358, 868} {
		drawn := map[string]*draw.Drawing{
			"above-scull":  scull(width, width > 600, 64, 44).Draw(),
			"above-sweep":  sweep(Port, 5, width, width > 600, 56, 34).Draw(),
			"reach-catch":  reach(width, "catch", 64, 62, 4, 66).Draw(),
			"reach-finish": reach(width, "finish", 44, 43, 3, 41).Draw(),
		}
		for i, s := range usual(rigging.Female, 1.70, 68).sides(t, width) {
			drawn["side-"+[]string{"catch", "finish"}[i]] = s.Draw()
		}
		for name, c := range map[string]*Crew{"crew-eight": eight("spspspsp"), "crew-quad": scullers(4)} {
			c.Width, c.Lying = width, width > 600
			drawn[name] = c.Draw()
		}
		for name, d := range drawn {
			same.Lines(t, fmt.Sprintf("testdata/%s-%.0f.txt", name, width), linesOf(d))
		}
	}
}
