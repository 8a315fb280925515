package intake_test

import (
	"strings"
	"testing"

	"thole/api/columns"
	"thole/api/fleet"
)

// TestTheClassOfABoatOnRecordNeedsNoColumn, unless boats of two classes have its name.
func TestTheClassOfABoatOnRecordNeedsNoColumn(t *testing.T) {
	s := newService(t)
	for _, b := range []fleet.BoatFields{{Name: "Owl", BoatClass: "2x"}, {Name: "Elk", BoatClass: "2x"}, {Name: "Elk", BoatClass: "1x"}} {
		if _, err := s.Fleet.AddBoat(t.Context(), fleet.NewBoat{BoatFields: b, By: "Ines"}); err != nil {
			t.Fatal(err)
		}
	}
	for name, bad := range map[string]bool{"Owl": false, "Elk": true, "Ray": true} {
		l := lookAt(t, s, columns.Boats, columns.File{Content: []byte("boat;seat;span\n" + name + ";1;159\n;2;160\n")})
		if told := len(l.Problems) > 0 && strings.Contains(l.Problems[0].Text, "Say the class of "+name); told != bad || len(l.Items) > 0 == bad {
			t.Errorf("%s: %+v %+v", name, l.Items, l.Problems)
		}
		if !bad && (l.Items[0].Class != "2x" || l.Items[0].Action != "changed") {
			t.Errorf("%s: %+v", name, l.Items[0])
		}
	}
}

// TestWhatIsSaidOfColumnsIsNotWhatWasKept: a file is read as one before only where nothing is
// said of its columns.
func TestWhatIsSaidOfColumnsIsNotWhatWasKept(t *testing.T) {
	s := newService(t)
	f := columns.File{Content: []byte("Athlete,Rig\nAnn Lee,port\n"), Keep: "ours"}
	l := look(t, s, f)
	how := l.How
	how.Uses[1].Meaning = columns.Side
	f.How = &how
	if _, err := s.Intake.SaveSquad(t.Context(), f, "Ines", ""); err != nil {
		t.Fatal(err)
	}
	f.Keep = ""
	if l := look(t, s, f); l.KeptAs != "" || l.Columns[1].Meaning != columns.Side {
		t.Errorf("said: %q %+v", l.KeptAs, l.Columns[1])
	}
	for _, how := range []*columns.How{nil, {Sides: "port_starboard"}} {
		f.How = how
		if l := look(t, s, f); l.KeptAs != "ours" || l.Columns[1].Meaning != columns.Side {
			t.Errorf("nothing said: %q %+v", l.KeptAs, l.Columns[1])
		}
	}
}
