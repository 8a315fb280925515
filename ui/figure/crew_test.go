package figure

import (
	"fmt"
	"strings"
	"testing"

	"thole/ui/figure/draw"
	"thole/ui/figure/plane"
)

// eight is a crew with long and short names; rig lists the sides from bow.
func eight(rig string) *Crew {
	names := []CrewSeat{
		{nil, "Brandvold", "L.", "64 kg · bow"}, {nil, "Saltan", "E.", "72 kg"}, {nil, "Tarrant", "M.", "70 kg"}, {nil, "Verhelde", "T.", "94 kg"},
		{nil, "Mensah-Bright", "K.", "90 kg"}, {nil, "Wolkenstein-Trostburg", "A. M.", "88 kg"}, {nil, "Wickstead", "J.", "84 kg"}, {nil, "Amsel", "R.", "71 kg · stroke"},
	}
	c := &Crew{
		ID: "c", HullLength: 17.3, HullBeam: 0.55, PinOut: 0.85, Outer: 2.57, HandleEnd: 1.17, BladeLength: 0.55, BladeWide: 0.25,
		Cox: &CrewSeat{nil, "Amara", "N.", "55 kg · cox"},
	}
	for i, letter := range rig {
		s := names[len(names)-len(rig)+i]
		s.Sides = []BoatSide{Starboard}
		if letter == 'p' {
			s.Sides = []BoatSide{Port}
		}
		c.Seats = append(c.Seats, s)
	}
	return c
}

func scullers(n int) *Crew {
	c := &Crew{ID: "c", HullLength: []float64{0, 8.1, 10.4, 0, 12.4}[n], HullBeam: 0.29 + 0.03*float64(n-1), PinOut: 0.795, Outer: 1.98, HandleEnd: 0.9, BladeLength: 0.44, BladeWide: 0.215}
	for _, s := range eight("spspspsp").Seats[:n] {
		s.Sides = []BoatSide{Port, Starboard}
		c.Seats = append(c.Seats, s)
	}
	c.Seats[n-1].Family, c.Seats[n-1].Given, c.Seats[n-1].Note = "", "", "" // an open seat
	return c
}

// crews are all classes, among them tandem rigs.
func crews() map[string]*Crew {
	four := eight("spsp")
	four.HullLength, four.HullBeam, four.Cox = 13.2, 0.45, nil
	pair := eight("ps")
	pair.HullLength, pair.HullBeam, pair.Cox = 10.4, 0.36, nil
	return map[string]*Crew{
		"8+": eight("spspspsp"), "8+ tandem": eight("spsppssp"), "8+ from port": eight("pspspsps"),
		"4-": four, "2-": pair, "1x": scullers(1), "2x": scullers(2), "4x": scullers(4),
	}
}

// TestCrewLabelsAreClear: no name meets a blade, the hull, an oar, an edge or
// another name.
func TestCrewLabelsAreClear(t *testing.T) {
	all := crews()
	for class, c := range crews() {
		for i := range c.Seats {
			s := &c.Seats[i]
			s.Family, s.Given, s.Note = strings.TrimSpace("Chiamaka "+s.Family), "", ""
		}
		all[class+" with whole names"] = c
	}
	for class, c := range all {
		for _, width := range everyWidth {
			for _, lying := range []bool{false, true} {
				if lying && width < 868 {
					continue // a crew lies only where its names have room
				}
				c.Width, c.Lying = width, lying
				d := c.Draw()
				name := fmt.Sprintf("%s, %v px, lying %v", class, width, lying)
				checkClear(t, name, d, draw.Hull, draw.Oar)
				want := len(c.Seats) + 2 + btoi(c.Cox != nil)
				if len(d.Labels) != want || d.Caption != "" {
					t.Errorf("%s: %d labels of %d, caption %q", name, len(d.Labels), want, d.Caption)
				}
			}
		}
	}
}

// TestCrewTellsWholeNames: where a name is shortened the description has it
// whole.
func TestCrewTellsWholeNames(t *testing.T) {
	c := eight("spspspsp")
	c.Width = 288
	d := c.Draw()
	for _, s := range c.Seats {
		if !strings.Contains(d.Desc, joinedName(&s)) {
			t.Errorf("%q is not in %q", joinedName(&s), d.Desc)
		}
	}
	for _, part := range []string{"1, starboard", "8, port", "Cox: Amara, N."} {
		if !strings.Contains(d.Desc, part) {
			t.Errorf("%q is not in %q", part, d.Desc)
		}
	}
}

// TestEightIsLongAndThin: lying, the hull keeps its proportion at any width.
func TestEightIsLongAndThin(t *testing.T) {
	for _, width := range []float64{868, 1180} {
		c := eight("spspspsp")
		c.Width, c.Lying = width, true
		b := plane.Around(c.Draw().Shapes[0].Lines[0])
		if ratio := b.W / b.H; ratio < 31 || ratio > 32 { // 17.3 to .55
			t.Errorf("%v px: length to beam %.1f", width, ratio)
		}
	}
}

// TestNameFits: the name loses size first, then its initial, then letters.
func TestNameFits(t *testing.T) {
	s := &CrewSeat{nil, "Mensah-Bright", "K.", "90 kg"}
	whole := named(&CrewSeat{Family: "Dolores Quintanar"}, 110, true)
	if whole.Value != "Dolores" || whole.Term != "Quintanar" || whole.ValueSize != 16 {
		t.Errorf("a whole name: %q over %q", whole.Value, whole.Term)
	}
	for _, c := range []struct {
		width       float64
		value, term string
		size        float64
	}{{200, "Mensah-Bright, K.", "90 kg", 16}, {150, "Mensah-Bright, K.", "90 kg", 14}, {125, "Mensah-Bright", "K. · 90 kg", 14}, {108, "Mensah-Bright", "K. · 90 kg", 12}, {64, "Mensa…", "K. · 90 kg", 12}} {
		b := named(s, c.width, false)
		if b.Value != c.value || b.ValueSize != c.size || b.Term != c.term {
			t.Errorf("%v px: %q at %v over %q", c.width, b.Value, b.ValueSize, b.Term)
		}
		if b.Width() > c.width {
			t.Errorf("%v px: %q takes %.1f", c.width, b.Value, b.Width())
		}
	}
}

// TestCrewWithoutNames: a boat without its crew has the words at its ends
// alone, and lying it keeps no room for names.
func TestCrewWithoutNames(t *testing.T) {
	for class, c := range crews() {
		c.Width, c.Lying = 868, true
		named := c.Draw().Height
		c.Unnamed = true
		for _, lying := range []bool{false, true} {
			c.Lying = lying
			d := c.Draw()
			if len(d.Labels) != 2 || strings.Contains(d.Desc, ":") && c.Cox == nil {
				t.Errorf("%s: %d labels, %q", class, len(d.Labels), d.Desc)
			}
		}
		if saved := named - c.Draw().Height; (saved > 0) != c.sculls() {
			t.Errorf("%s: %v px saved", class, saved)
		}
	}
}

// TestCrewMarksOneSeat: the seat asked for is filled, and told.
func TestCrewMarksOneSeat(t *testing.T) {
	c := eight("spspspsp")
	c.Width, c.Here, c.Title = 358, 4, "Marl from above"
	d := c.Draw()
	var marked []string
	for _, m := range d.Marks {
		if strings.Contains(m.Class, "fig-onhere") {
			marked = append(marked, m.Text)
		}
	}
	if len(marked) != 1 || marked[0] != "4" || !strings.Contains(d.Desc, "Seat 4 is marked.") || d.Title != c.Title {
		t.Errorf("marked %v, %q, %q", marked, d.Title, d.Desc)
	}
}

// TestCrewLiesLow: a short boat lying takes no more than half a screen.
func TestCrewLiesLow(t *testing.T) {
	for class, c := range crews() {
		c.Width, c.Lying, c.Unnamed = 868, true, true
		if h := c.Draw().Height; h > 420 {
			t.Errorf("%s is %v px high", class, h)
		}
	}
}
