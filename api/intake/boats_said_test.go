package intake_test

import (
	"strings"
	"testing"

	"thole/api/columns"
	"thole/api/fleet"
	"thole/api/seat"
	"thole/api/wire"
)

// TestASetOfOarsBringsItsLengths to the seats of a boat whose table names it, but for
// those that the table measures; a set that is changed by a table brings the new ones.
func TestASetOfOarsBringsItsLengths(t *testing.T) {
	s := newService(t)
	saveTable(t, s, columns.Oars, columns.File{Content: []byte("set;kind;blade shape;length (cm);inboard (cm);inboard from;inboard to;inboard in steps of\nBlue;sculls;Macon;287,5;88;86;90;0,5\n")})
	boats := columns.File{Content: []byte("boat;class;seat;span;inboard;oars\nAurora;2x;1;159;;Blue\n;;2;159;87,5;\nCetus;1x;1;160;;\n")}
	l := lookAt(t, s, columns.Boats, boats)
	if len(l.Problems) > 0 || !strings.Contains(strings.Join(l.Items[0].Changes, " "), "oar length") {
		t.Fatalf("%+v %+v", l.Problems, l.Items)
	}
	saveTable(t, s, columns.Boats, boats)
	want := func(when, text string) {
		t.Helper()
		if b := boatNamed(t, s, "Aurora"); rigText(&b) != inOrder(text) {
			t.Errorf("%s: %s", when, rigText(&b))
		}
	}
	want("named", "span_cm=159 oar_length_cm=287.5 inboard_cm=88; span_cm=159 oar_length_cm=287.5 inboard_cm=87.5")
	b := boatNamed(t, s, "Aurora")
	if a := b.Seats[1].Adjust["inboard_cm"]; b.Seats[0].Blade != "macon" || a.Min != 86 || a.Max != 90 || a.Step != 0.5 {
		t.Errorf("blade %q, inboard %+v", b.Seats[0].Blade, a)
	}
	if b := boatNamed(t, s, "Cetus"); b.Seats[0].Seat.OarLengthCm != nil {
		t.Error("a boat without the set has its length")
	}
	again := lookAt(t, s, columns.Boats, boats)
	if again.Items[0].Action != "known" {
		t.Errorf("a second time: %+v", again.Items[0])
	}
	longer := columns.File{Content: []byte("set;length (cm)\nBlue;288\n")}
	if l := lookAt(t, s, columns.Oars, longer); !strings.Contains(strings.Join(l.Items[0].Changes, ", "), "at every seat of Aurora") {
		t.Errorf("%+v", l.Items[0])
	}
	saveTable(t, s, columns.Oars, longer)
	want("set anew", "span_cm=159 oar_length_cm=288 inboard_cm=88; span_cm=159 oar_length_cm=288 inboard_cm=87.5")
}

// TestOarsThatDoNotFitAreLeftOut: what the set would bring is complained of where the
// table names the set, and the rest of the boat comes in.
func TestOarsThatDoNotFitAreLeftOut(t *testing.T) {
	s := newService(t)
	saveTable(t, s, columns.Oars, columns.File{Content: []byte("set;kind;length;inboard\nLong;sweep;380;125\n")})
	f := columns.File{Content: []byte("boat;class;spread;heel to pin;oars\nBoreas;4-;75;55;Long\n")}
	l := lookAt(t, s, columns.Boats, f)
	if len(l.Problems) != 1 || l.Problems[0].Column != 4 {
		t.Fatalf("%+v", l.Problems)
	}
	saveTable(t, s, columns.Boats, f)
	if b := boatNamed(t, s, "Boreas"); b.OarSetID != nil || *b.Seats[0].Seat.SpreadCm != 75 {
		t.Errorf("oars %v, rig %s", b.OarSetID, rigText(&b))
	}
}

// TestStretchersAreReadAsTheBoatIs: a number without a unit under "stretcher" is the hole
// of a boat that has holes, on record or in the same table, and cm elsewhere; what says
// cm, or from the pins, is cm.
func TestStretchersAreReadAsTheBoatIs(t *testing.T) {
	s := newService(t)
	fields := fleet.BoatFields{Name: "Owl", BoatClass: "2x", Stretcher: &seat.Stretcher{Mark: "hole", OffsetCm: wire.Ptr(35.0), HolePitchCm: wire.Ptr(2.5)}}
	if _, err := s.Fleet.AddBoat(t.Context(), fleet.NewBoat{BoatFields: fields, By: "Ines"}); err != nil {
		t.Fatal(err)
	}
	heel := func(name string, seat int) float64 {
		t.Helper()
		b := boatNamed(t, s, name)
		if v := b.Seats[seat-1].Seat.HeelToPinCm; v != nil {
			return *v
		}
		return 0
	}
	saveTable(t, s, columns.Boats, columns.File{Content: []byte(strings.Join([]string{
		"boat;class;seat;stretcher;stretcher read at;stretcher mark reads;stretcher hole to hole",
		"Owl;2x;1;4;;;", ";;2;45,5 cm;;;",
		"Elk;1x;1;hole 3;hole;36;2", "Cetus;1x;1;54;;;", "Aurora;1x;1;51;;;", "",
	}, "\n"))})
	for _, c := range []struct {
		name string
		seat int
		want float64
	}{{"Owl", 1, 45}, {"Owl", 2, 45.5}, {"Elk", 1, 42}, {"Cetus", 1, 54}, {"Aurora", 1, 51}} {
		if got := heel(c.name, c.seat); got != c.want {
			t.Errorf("%s, seat %d: %g, want %g", c.name, c.seat, got, c.want)
		}
	}
	saveTable(t, s, columns.Boats, columns.File{Content: []byte("boat;class;seat;heel to pin\nOwl;2x;1;44\n")})
	if got := heel("Owl", 1); got != 44 {
		t.Errorf("from the pins: %g", got)
	}
	l := lookAt(t, s, columns.Boats, columns.File{Content: []byte("boat;class;seat;stretcher\nCetus;1x;1;hole 3\n")})
	if len(l.Problems) != 1 || !strings.Contains(l.Problems[0].Text, "How this boat’s stretchers are read is not on record") {
		t.Errorf("%+v", l.Problems)
	}
}
