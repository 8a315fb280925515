package intake_test

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"thole/api"
	"thole/api/cells"
	"thole/api/columns"
	"thole/api/fleet"
	"thole/api/intake"
	"thole/api/records"
	"thole/api/seat"
	"thole/api/table"
)

// boatList is an invented club's spreadsheet in its own headings: a title above, the
// boat named in its first row only, lengths in mm by the heading, one by the cell, a
// coxswain's row, a boat in one row.
const boatList = `Boathouse 2026;;;;;;;;;;
Boot;Bootsklasse;Platz;Seite;Dollenabstand (mm);Innenhebel (mm);Ruderlänge (mm);Stemmbrett (mm);Dollenhöhe (mm);Anlage °;Gewicht
Aurora;Doppelzweier;Bug;;1590;880;2880;;170;4;27,5 kg
;;Schlag;;1595;880;288 cm;520;175;4;
Boreas;4+;1;Steuerbord;850;1150;3740;;;;51
;;2;Backbord;850;1150;3740;;;;
;;3;Steuerbord;850;1150;3740;;;;
;;4;Backbord;850;1150;3740;;;;
;;Stm;;;;;;;;
Cetus;1x;;;1600;885;2890;540;165;5;14
`

func lookAt(t testing.TB, s *api.Service, k columns.Kind, f columns.File) intake.TableLook {
	t.Helper()
	l, err := s.Intake.LookAtTable(t.Context(), k, f)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func saveTable(t testing.TB, s *api.Service, k columns.Kind, f columns.File) {
	t.Helper()
	l, err := s.Intake.SaveTable(t.Context(), k, f, intake.Saving{By: "Ines"})
	if err != nil || !l.Saved {
		t.Fatal(err, l.Asks)
	}
}

func boatNamed(t testing.TB, s *api.Service, name string) fleet.Boat {
	t.Helper()
	list, err := s.Fleet.Boats(t.Context(), records.ListRequest{Name: name})
	if err != nil || len(list.Boats) != 1 {
		t.Fatalf("%s: %v %+v", name, err, list)
	}
	b, err := s.Fleet.Boat(t.Context(), records.IDRequest{ID: list.Boats[0].ID})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// rigText writes what is known of every seat of a boat.
func rigText(b *fleet.Boat) string {
	var seats []string
	for i := range b.Seats {
		words := []string{b.Seats[i].Side}
		for _, name := range b.Settings() {
			if v := b.Seats[i].Seat.Setting(name); v != nil {
				words = append(words, fmt.Sprintf("%s=%g", name, *v))
			}
		}
		seats = append(seats, strings.Join(words, " "))
	}
	return inOrder(strings.Join(seats, "; "))
}

// inOrder sorts the words of each part of a text: the order of settings is not what
// is tested.
func inOrder(text string) string {
	parts := strings.Split(text, "; ")
	for i, p := range parts {
		words := strings.Fields(p)
		slices.Sort(words)
		parts[i] = strings.Join(words, " ")
	}
	return strings.Join(parts, "; ")
}

func summary(items []intake.Item) (list []string) {
	for _, i := range items {
		list = append(list, fmt.Sprintf("%s %s %s %s", i.Name, i.Class, i.Action, strings.Join(i.Changes, ", ")))
	}
	return list
}

func TestABoathousesListComesInAsItIs(t *testing.T) {
	s := newService(t)
	f := columns.File{Content: []byte(boatList)}
	l := lookAt(t, s, columns.Boats, f)
	var meanings []string
	for _, c := range l.Columns {
		meanings = append(meanings, strings.TrimSpace(string(c.Meaning)+" "+c.Unit))
	}
	if want := []string{"boat", "boat_class", "seat", "side", "pins_cm mm", "inboard_cm mm", "oar_length_cm mm", "heel_to_pin_cm mm", "gate_height_cm mm", "stern_pitch_deg", "hull_mass_kg"}; !slices.Equal(meanings, want) {
		t.Errorf("columns %q, want %q", meanings, want)
	}
	if len(l.Asks)+len(l.Problems) > 0 || l.Saved || l.Columns[0].Samples[1] != "Boreas" {
		t.Fatalf("asks %v, problems %+v", l.Asks, l.Problems)
	}
	if want := []string{
		"Aurora 2x new 2 seats, with span, inboard, oar length, stretcher position, height, seat to gate, stern pitch, not measured: stretcher position",
		"Boreas 4+ new 4 seats, with spread, inboard, oar length, not measured: stretcher position",
		"Cetus 1x new 1 seat, with span, inboard, oar length, stretcher position, height, seat to gate, stern pitch",
	}; !slices.Equal(inOrderAll(summary(l.Items)), inOrderAll(want)) {
		t.Errorf("plan\n%s\nwant\n%s", strings.Join(summary(l.Items), "\n"), strings.Join(want, "\n"))
	}
	saveTable(t, s, columns.Boats, f)
	for name, want := range map[string]string{
		"Aurora": "span_cm=159 oar_length_cm=288 inboard_cm=88 gate_height_cm=17 stern_pitch_deg=4; span_cm=159.5 oar_length_cm=288 inboard_cm=88 heel_to_pin_cm=52 gate_height_cm=17.5 stern_pitch_deg=4",
		"Boreas": "starboard spread_cm=85 oar_length_cm=374 inboard_cm=115; port spread_cm=85 oar_length_cm=374 inboard_cm=115; starboard spread_cm=85 oar_length_cm=374 inboard_cm=115; port spread_cm=85 oar_length_cm=374 inboard_cm=115",
		"Cetus":  "span_cm=160 oar_length_cm=289 inboard_cm=88.5 heel_to_pin_cm=54 gate_height_cm=16.5 stern_pitch_deg=5",
	} {
		if b := boatNamed(t, s, name); rigText(&b) != inOrder(want) {
			t.Errorf("%s: %s, want %s", name, rigText(&b), want)
		}
	}
	if b := boatNamed(t, s, "Aurora"); *b.HullMassKg != 27.5 || len(b.Seats[0].Adjust) == 0 {
		t.Errorf("hull %v, what can be moved %v", *b.HullMassKg, b.Seats[0].Adjust)
	}
	for _, i := range lookAt(t, s, columns.Boats, f).Items {
		if i.Action != "known" {
			t.Errorf("again %s: %s %v", i.Name, i.Action, i.Changes)
		}
	}
	l = lookAt(t, s, columns.Boats, columns.File{Content: []byte(strings.Replace(strings.ReplaceAll(boatList, ";850;", ";860;"), "165;5;14", "168;5;15", 1))})
	if want := []string{"Aurora 2x known ", "Boreas 4+ changed every seat, spread: 85 cm → 86 cm", "Cetus 1x changed hull mass: 14 kg → 15 kg, height, seat to gate: 16.5 cm → 16.8 cm"}; !slices.Equal(summary(l.Items), want) {
		t.Errorf("changed %q, want %q", summary(l.Items), want)
	}
}

func inOrderAll(lines []string) []string {
	for i := range lines {
		lines[i] = inOrder(strings.ReplaceAll(lines[i], ",", ""))
	}
	return lines
}

// everyField is the demo club with a boat and a set of oars that have every field,
// and texts that spreadsheets would run.
func everyField(t testing.TB) *api.Service {
	t.Helper()
	s := newService(t)
	if err := s.Demo.FillDemo(t.Context()); err != nil {
		t.Fatal(err)
	}
	v := func(x float64) *float64 { return &x }
	_, err := s.Fleet.AddOarSet(t.Context(), fleet.NewOarSet{By: "Ines", OarFields: fleet.OarFields{
		Name: "=Spare, set", Kind: "sweep", Count: 9, Blade: "big", BladeKind: "large", LengthCm: v(373.5), LengthMinCm: v(368), LengthMaxCm: v(378), LengthStepCm: v(0.5),
		InboardCm: v(115.25), InboardMinCm: v(112), InboardMaxCm: v(118), InboardStepCm: v(0.25), Note: "one is cracked"}})
	if err != nil {
		t.Fatal(err)
	}
	seats := s.Fleet.UsualSeats("2-")
	seats[0].Blade, seats[1].CanChangeSides = "macon", true
	_, err = s.Fleet.AddBoat(t.Context(), fleet.NewBoat{By: "Ines", Seats: seats, BoatFields: fleet.BoatFields{
		Name: "-Zephyr’s; \"pair\"", BoatClass: "2-", HullMassKg: v(28.25), BuiltForKg: v(80), WaterlineLengthM: v(10.1), WaterlineBeamM: v(0.345), SeatOverWaterCm: v(8), Note: "=repair, bow",
		WasherMm: v(2.5), ClamMm: v(10), InsertDeg: v(0.5), Stretcher: &seat.Stretcher{Mark: "hole", OffsetCm: v(30), HolePitchCm: v(1.25)},
	}, Rig: []fleet.RigSetting{{Seat: 2, Setting: "outward_pitch_deg", Value: v(-0.5)}, {Seat: 1, Setting: "heel_to_pin_cm", Value: v(51.375)}}})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestWhatLeavesComesInUnchanged holds the round trip of both tables in both
// formats: into the same club nothing changes, into an empty one the same table
// leaves again.
func TestWhatLeavesComesInUnchanged(t *testing.T) {
	s := everyField(t)
	for kind, leave := range map[columns.Kind]func(*api.Service) (table.Table, string, error){
		columns.Boats: func(s *api.Service) (table.Table, string, error) {
			return s.Fleet.BoatTable(t.Context(), records.ListRequest{})
		},
		columns.Oars: func(s *api.Service) (table.Table, string, error) {
			return s.Fleet.OarTable(t.Context(), records.ListRequest{})
		},
	} {
		for _, format := range table.Formats {
			left, _, err := leave(s)
			if err != nil {
				t.Fatal(err)
			}
			body, err := format.File(&left)
			if err != nil {
				t.Fatal(err)
			}
			f := columns.File{Content: body}
			l := lookAt(t, s, kind, f)
			if len(l.Asks)+len(l.Problems) > 0 || len(l.Items) < 3 {
				t.Fatalf("%s as %s: asks %v, problems %+v, %d items", kind, format.Name, l.Asks, l.Problems, len(l.Items))
			}
			for _, i := range l.Items {
				if i.Action != "known" {
					t.Errorf("%s as %s: %s %s %v", kind, format.Name, i.Name, i.Action, i.Changes)
				}
			}
			empty := newService(t)
			saveTable(t, empty, kind, f)
			back, _, err := leave(empty)
			if err != nil {
				t.Fatal(err)
			}
			again, err := format.File(&back)
			if err != nil {
				t.Fatal(err)
			}
			if format.Name == "csv" && !bytes.Equal(again, body) {
				t.Errorf("%s left as\n%s\nand came back as\n%s", kind, body, again)
			}
			if fmt.Sprint(back.Rows()) != fmt.Sprint(left.Rows()) {
				t.Errorf("%s as %s: other rows come back", kind, format.Name)
			}
		}
	}
}

// TestBadCellsOfBoatsAreMendedAndNothingElseIsLost holds that a bad cell leaves out
// that value alone, says where it stands, and comes in once it is mended.
func TestBadCellsOfBoatsAreMendedAndNothingElseIsLost(t *testing.T) {
	s := newService(t)
	const list = "Boat,Class,Seat,Side,Spread (cm),Inboard (cm),Height (cm),Hull mass\nOwl,2-,1,left-ish,850,115,17,27\nOwl,2-,2,port,85,much,17,30\nOwl,2-,3,port,85,115,17,\nElk,7x,1,,159,88,17,\n"
	f := columns.File{Content: []byte(list)}
	l := lookAt(t, s, columns.Boats, f)
	var places []string
	for _, p := range l.Problems {
		places = append(places, fmt.Sprintf("%d %s %q: %s", p.Row, p.Heading, p.Cell, p.Text))
	}
	for _, want := range []string{
		`2 Side "left-ish": “left-ish” is no side`, `2 Spread (cm) "850": 850 cm cannot be right`, `3 Inboard (cm) "much"`, `3 Hull mass "30": Row 2 says “27” of the same`,
		`4 Seat "3": “3” is no seat of a 2-`, `5 Class "7x": “7x” is no class`,
	} {
		if !slices.ContainsFunc(places, func(p string) bool { return strings.HasPrefix(p, want) }) {
			t.Errorf("%q lacks %s", places, want)
		}
	}
	if len(places) != 6 || len(l.Items) != 1 {
		t.Errorf("%d problems, %d boats", len(places), len(l.Items))
	}
	f.Fixes = map[columns.At]string{{Row: 2, Column: 3}: "starboard", {Row: 2, Column: 4}: "85", {Row: 3, Column: 5}: "115", {Row: 3, Column: 7}: "27", {Row: 4, Column: 2}: "2", {Row: 5, Column: 1}: "1x"}
	if l = lookAt(t, s, columns.Boats, f); len(l.Problems) > 0 || len(l.Items) != 2 {
		t.Errorf("mended: %+v, %d boats", l.Problems, len(l.Items))
	}
}

// TestLengthsWithoutAUnitAreToldByTheirSize, what could be either by the others.
func TestLengthsWithoutAUnitAreToldByTheirSize(t *testing.T) {
	for list, want := range map[string]string{
		"Boat,Class,Span,Inboard,Gate difference\nOwl,1x,1600,885,5\n": "span_cm=160 inboard_cm=88.5 gate_difference_cm=0.5",
		"Boat,Class,Span,Inboard,Gate difference\nOwl,1x,160,88.5,1\n": "span_cm=160 inboard_cm=88.5 gate_difference_cm=1",
		"Boat,Class,Span,Inboard\nOwl,1x,\"1,60\",0.885\n":             "span_cm=160 inboard_cm=88.5",
		"Boat,Class,Span mm,Inboard in\nOwl,1x,160 cm,35\n":            "span_cm=160 inboard_cm=88.9",
		"Boat,Class,Span,Spread,Stretcher angle\nOwl,1x,160,,42°\n":    "span_cm=160 plate_angle_deg=42",
		"Boat,Class,Span,Lateral pitch\nOwl,skiff,160,−1\n":            "span_cm=160 outward_pitch_deg=-1",
	} {
		s, f := newService(t), columns.File{Content: []byte(list)}
		l := lookAt(t, s, columns.Boats, f)
		saveTable(t, s, columns.Boats, f)
		if b := boatNamed(t, s, "Owl"); rigText(&b) != inOrder(want) || len(l.Problems) > 0 {
			t.Errorf("%s: %s, want %s; %+v", list, rigText(&b), want, l.Problems)
		}
	}
}

func TestWhatCannotBeToldOfBoatsIsAsked(t *testing.T) {
	s := newService(t)
	const list = "Boat,Class,Seat,Side,Spread\nOwl,2-,1,B,85\nOwl,2-,2,S,85\n"
	f := columns.File{Content: []byte(list)}
	l := lookAt(t, s, columns.Boats, f)
	if !slices.Equal(l.Asks, []string{"sides"}) || len(l.Items) > 0 {
		t.Fatalf("asks %v", l.Asks)
	}
	f.How = &l.How
	f.How.Sides = cells.StrokeBow
	saveTable(t, s, columns.Boats, f)
	if b := boatNamed(t, s, "Owl"); b.Seats[0].Side != "starboard" || b.Seats[1].Side != "port" {
		t.Errorf("%s, %s", b.Seats[0].Side, b.Seats[1].Side)
	}
	if l = lookAt(t, s, columns.Boats, columns.File{Content: []byte("Class,Spread\n2-,85\n")}); !slices.Equal(l.Asks, []string{"name"}) {
		t.Errorf("no names: asks %v", l.Asks)
	}
}

// TestSidesThatDoNotBalanceAreShown: the table is saved, and what to look at told.
func TestSidesThatDoNotBalanceAreShown(t *testing.T) {
	l := lookAt(t, newService(t), columns.Boats, columns.File{Content: []byte("Boat,Class,Seat,Side\nOwl,2-,1,port\nOwl,2-,2,port\n")})
	if len(l.Items) != 1 || !strings.Contains(l.Items[0].Check, "not equal in number") {
		t.Errorf("%+v", l.Items)
	}
}

// TestABoatsTableIsSavedAsItWasLookedAt: what came in between is not written over,
// and the history tells who and why.
func TestABoatsTableIsSavedAsItWasLookedAt(t *testing.T) {
	s := newService(t)
	saveTable(t, s, columns.Boats, columns.File{Content: []byte("Boat,Class,Span\nOwl,1x,159\n")})
	f := columns.File{Content: []byte("Boat,Class,Span\nOwl,1x,160\n")}
	look := lookAt(t, s, columns.Boats, f)
	b, v := boatNamed(t, s, "Owl"), 158.0
	if _, err := s.Fleet.UpdateRig(t.Context(), fleet.RigEdit{ID: b.ID, Version: b.Version, By: "Udo", Settings: []fleet.RigSetting{{Seat: 1, Setting: "span_cm", Value: &v}}}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Intake.SaveTable(t.Context(), columns.Boats, f, intake.Saving{By: "Ines", Plan: look.Plan}); err == nil || !strings.Contains(err.Error(), "have changed since") {
		t.Errorf("written over: %v", err)
	}
	if _, err := s.Intake.SaveTable(t.Context(), columns.Boats, f, intake.Saving{}); err == nil {
		t.Error("saved by nobody")
	}
	saveTable(t, s, columns.Boats, f)
	history, err := s.Fleet.RigHistory(t.Context(), fleet.RigHistoryRequest{ID: b.ID})
	if err != nil || len(history.Changes) != 3 || history.Changes[0].Why != "table of the club" || history.Changes[0].By != "Ines" || *history.Changes[0].From != 158 {
		t.Errorf("%v %+v", err, history.Changes)
	}
}

// TestAWayToReadBoatsIsKeptByNameAndRemoved holds that a column that was set by hand
// is set in the next file of the same headings, until the mapping is removed.
func TestAWayToReadBoatsIsKeptByNameAndRemoved(t *testing.T) {
	s := newService(t)
	const list = "Boat,Genus,Odd\nOwl,1x,160\n"
	uses := []columns.Use{{Meaning: columns.BoatName}, {Meaning: columns.BoatClass}, {Meaning: columns.Pins, Unit: "cm"}}
	saveTable(t, s, columns.Boats, columns.File{Content: []byte(list), How: &columns.How{Uses: uses}, Keep: "Udo’s list"})
	next := columns.File{Content: []byte("Odd,Boat,Genus\n161,Owl,1x\n")}
	if l := lookAt(t, s, columns.Boats, next); l.KeptAs != "Udo’s list" || l.Columns[0].Meaning != columns.Pins || l.Items[0].Action != "changed" {
		t.Errorf("%q %+v", l.KeptAs, l.Columns)
	}
	if l := lookAt(t, s, columns.Oars, columns.File{Content: []byte("Boat,Genus,Odd,Set\nOwl,1x,160,a\n")}); l.KeptAs != "" {
		t.Errorf("taken for oars as %q", l.KeptAs)
	}
	kept, err := s.Intake.Mappings(t.Context(), struct{}{})
	if err != nil || len(kept.Mappings) != 1 || kept.Mappings[0].Kind != "boats" || kept.Mappings[0].Columns[2] != (intake.KeptMeaning{Heading: "Odd", Meaning: "pins_cm", Unit: "cm"}) {
		t.Fatalf("%v %+v", err, kept)
	}
	named := intake.MappingRequest{Kind: "boats", Name: "Udo’s list"}
	if _, err := s.Intake.RemoveMapping(t.Context(), named); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Intake.RemoveMapping(t.Context(), named); err == nil {
		t.Error("removed twice")
	}
	if l := lookAt(t, s, columns.Boats, next); l.KeptAs != "" {
		t.Error("still read so")
	}
}

// TestABoatFindsItsOars by the name of the set, of the right kind.
func TestABoatFindsItsOars(t *testing.T) {
	s := newService(t)
	saveTable(t, s, columns.Oars, columns.File{Content: []byte("Set,Kind\nBlue,sweep\nRed,sculls\n")})
	f := columns.File{Content: []byte("Boat,Class,Oars,Washer (mm),Clam\nOwl,2-,blue,2.5,10 mm\nElk,2-,Red,,\nAnt,2-,Pink,,\n")}
	l := lookAt(t, s, columns.Boats, f)
	if len(l.Problems) != 2 || !strings.Contains(l.Problems[0].Text, "does not go with Red") || !strings.Contains(l.Problems[1].Text, "import the oars first") {
		t.Errorf("%+v", l.Problems)
	}
	saveTable(t, s, columns.Boats, f)
	if b := boatNamed(t, s, "Owl"); b.OarSetID == nil || *b.WasherMm != 2.5 || *b.ClamMm != 10 {
		t.Errorf("%+v", b.BoatFields)
	}
	if left, _, err := s.Fleet.OarTable(t.Context(), records.ListRequest{}); err != nil || !slices.Contains(left.Rows()[1], "Owl") {
		t.Errorf("%v %v", err, left.Rows())
	}
}

// TestOarsComeInInTheWordsOfTheClub: pairs, a kind told by the length, a bad cell.
func TestOarsComeInInTheWordsOfTheClub(t *testing.T) {
	s := newService(t)
	const list = "Satz;Art;Anzahl;Blatt;Länge;Innenhebel\nMännerachter;Riemen;8;Big;3760;1140\nSkulls neu;;4 Paar;;2890;885\nAlt;?;;;lang;88,0\n"
	f := columns.File{Content: []byte(list)}
	l := lookAt(t, s, columns.Oars, f)
	if len(l.Problems) != 2 || l.Problems[0].Cell != "lang" || !strings.Contains(l.Problems[1].Text, "say sculls or sweep") || len(l.Items) != 2 {
		t.Errorf("problems %+v", l.Problems)
	}
	f.Fixes = map[columns.At]string{{Row: 4, Column: 1}: "skull", {Row: 4, Column: 4}: "2880", {Row: 4, Column: 5}: "880"}
	saveTable(t, s, columns.Oars, f)
	list2, err := s.Fleet.OarSets(t.Context(), records.ListRequest{})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, o := range list2.OarSets {
		got = append(got, fmt.Sprintf("%s %s %d %g %g", o.Name, o.Kind, o.Count, *o.LengthCm, *o.InboardCm))
	}
	if want := []string{"Alt scull 0 288 88", "Männerachter sweep 8 376 114", "Skulls neu scull 8 289 88.5"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	if l = lookAt(t, s, columns.Oars, f); len(l.Problems) > 0 || l.Items[0].Action != "known" {
		t.Errorf("again: %+v %+v", l.Problems, l.Items)
	}
}

func TestClassesAreReadInTheWordsOfClubs(t *testing.T) {
	s := newService(t)
	for cell, want := range map[string]string{
		"8+": "8+", "8": "8+", "Achter": "8+", "M8+": "8+", "jw 4x": "4x", "4x-": "4x", "4x": "4x", "quad": "4x", "Doppelvierer": "4x", "4-": "4-", "4–": "4-", "vierer ohne": "4-", "Coxed four": "4+", "2-": "2-", "pair": "2-", "2x": "2x", "LM2x": "2x", "skiff": "1x", "1x": "1x", "quatre de couple": "4x",
		"2": "", "four": "", "canoe": "", "8-": "",
	} {
		l := lookAt(t, s, columns.Boats, columns.File{Content: []byte("Boat,Class\nOwl," + cell + "\n")})
		got := ""
		if len(l.Items) == 1 {
			got = l.Items[0].Class
		}
		if got != want || (want == "") != (len(l.Problems) == 1) {
			t.Errorf("%s: %q %+v, want %q", cell, got, l.Problems, want)
		}
	}
}
