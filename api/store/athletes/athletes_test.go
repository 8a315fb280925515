package store

import (
	"testing"
	"time"
)

func edda() Athlete {
	return Athlete{
		Name: "Edda Sørensen", Given: "Edda", Family: "Sørensen", Sex: "female", BirthDate: ptr("2004-02-29"), PortCostS: ptr(0.5), StarboardCostS: ptr(1.5),
		Sculls: true, Coxes: true, Guest: true, Anonymous: true, Note: "left knee", Archived: true,
	}
}

func TestAnAthleteOutlivesARestart(t *testing.T) {
	s := open(t)
	a := edda()
	a.Example = true
	a.ID, a.Version = must(s.AddAthlete(AsExample(ctx), a, anna)), 1
	whole := a
	whole.BirthYear = ptr(int64(2004)) // stands where there is no day
	wantFull(t, whole)
	s = reopen(t, s)
	wantEqual(t, must(s.Athlete(ctx, a.ID)), a)
	a.BirthDate, a.BirthYear = nil, ptr(int64(2004))
	a.Version = must(s.UpdateAthlete(ctx, a, anna))
	wantEqual(t, must(s.Athlete(ctx, a.ID)), a)
}

func TestASideThatCannotBeRowedIsNotFree(t *testing.T) {
	s := open(t)
	id := must(s.AddAthlete(ctx, Athlete{Name: "Edda", PortCostS: ptr(0.0)}, anna))
	a := must(s.Athlete(ctx, id))
	if a.PortCostS == nil || a.StarboardCostS != nil {
		t.Errorf("port %v, starboard %v: want 0 and none", a.PortCostS, a.StarboardCostS)
	}
}

func TestNamesRepeatWithOtherBirthDatesOnly(t *testing.T) {
	s := open(t)
	add := func(name string, born *string) error {
		_, err := s.AddAthlete(ctx, Athlete{Name: name, BirthDate: born}, anna)
		return err
	}
	check(t, add("Zoë Maß", nil))
	wantError(t, add("  zoe  MASS ", nil), ErrTaken)
	check(t, add("Zoë Maß", ptr("2001-05-06")))
	wantError(t, add("Zoë Maß", ptr("2001-05-06")), ErrTaken)
	check(t, add("Zoë Maß", ptr("2003-05-06")))
	year := func(y int64) error {
		_, err := s.AddAthlete(ctx, Athlete{Name: "Zoë Maß", BirthYear: &y}, anna)
		return err
	}
	check(t, year(2003))
	wantError(t, year(2003), ErrTaken)
	_, err := s.AddAthlete(ctx, Athlete{Name: "Zoë", BirthDate: ptr("2003-05-06"), BirthYear: ptr(int64(2003))}, anna)
	wantError(t, err, ErrInvalid)
}

func TestAnAthleteCannotTakeAName(t *testing.T) {
	s := open(t)
	addNamed(t, s, "Edda")
	frieda := addNamed(t, s, "Frieda")
	_, err := s.UpdateAthlete(ctx, Athlete{ID: frieda, Version: 1, Name: "EDDA"}, anna)
	wantError(t, err, ErrTaken)
	wantEqual(t, must(s.Athlete(ctx, frieda)).Name, "Frieda")
}

func TestWhatNoAthleteCanBe(t *testing.T) {
	s := open(t)
	for what, a := range map[string]Athlete{
		"no name": {Name: "  "}, "sex": {Name: "E", Sex: "f"}, "cost": {Name: "E", PortCostS: ptr(-1.0)},
		"no such day": {Name: "E", BirthDate: ptr("2003-02-29")}, "not a day": {Name: "E", BirthDate: ptr("1.2.2003")}, "empty day": {Name: "E", BirthDate: ptr("")},
	} {
		t.Run(what, func(t *testing.T) {
			_, err := s.AddAthlete(ctx, a, anna)
			wantError(t, err, ErrInvalid)
		})
	}
}

func TestAnUpdateIsKeptWithItsAuthor(t *testing.T) {
	s := open(t)
	a := edda()
	a.ID, a.Version = must(s.AddAthlete(ctx, a, anna)), 1
	a.Sex, a.StarboardCostS, a.Archived = "", nil, false
	version := must(s.UpdateAthlete(ctx, a, By{"Bert", noon.Add(time.Hour)}))
	a.Version = version
	wantEqual(t, must(s.Athlete(ctx, a.ID)), a)
	changes := must(s.Changes(ctx, AthleteRecord, a.ID, 1))
	wantEqual(t, shown(changes), []string{"sex female  Bert", "starboard_cost_s 1.5 - Bert", "archived true false Bert"})
	for _, c := range changes {
		if c.Version != version || !c.At.Equal(noon.Add(time.Hour)) {
			t.Errorf("%s: version %d at %v", c.What(), c.Version, c.At)
		}
	}
}

// TestANameIsOneWithItsParts holds that a name comes in either way round, and that
// the history tells that the name, or the part where only the split has changed,
// was another, but not which.
func TestANameIsOneWithItsParts(t *testing.T) {
	s := open(t)
	id := must(s.AddAthlete(ctx, Athlete{Name: "Gómez Pérez, Ana"}, anna))
	a := must(s.Athlete(ctx, id))
	wantEqual(t, []string{a.Name, a.Given, a.Family}, []string{"Ana Gómez Pérez", "Ana", "Gómez Pérez"})
	_, err := s.AddAthlete(ctx, Athlete{Given: "ana ", Family: " gomez perez"}, anna)
	wantError(t, err, ErrTaken)
	a.Given, a.Family = "Ana Gómez", "Pérez"
	a.Version = must(s.UpdateAthlete(ctx, a, anna))
	a.Given = "Ana Maria Gómez"
	must(s.UpdateAthlete(ctx, a, anna))
	wantEqual(t, shown(must(s.Changes(ctx, AthleteRecord, id, 1))), []string{"given_name - - Anna", "family_name - - Anna", "name - Ana Maria Gómez Pérez Anna"})
}

func TestAnUpdateWithoutAChangeMakesNoVersion(t *testing.T) {
	s := open(t)
	a := edda()
	a.ID, a.Version = must(s.AddAthlete(ctx, a, anna)), 1
	if v := must(s.UpdateAthlete(ctx, a, anna)); v != 1 {
		t.Errorf("version %d, want 1", v)
	}
	wantEqual(t, shown(must(s.Changes(ctx, AthleteRecord, a.ID, 0))), []string{"name - Edda Sørensen Anna"})
}

func TestAStaleAthleteOverwritesNothing(t *testing.T) {
	s := open(t)
	id := addNamed(t, s, "Edda")
	must(s.UpdateAthlete(ctx, Athlete{ID: id, Version: 1, Name: "Edda", Note: "from Bert"}, By{Name: "Bert"}))
	_, err := s.UpdateAthlete(ctx, Athlete{ID: id, Version: 1, Name: "Edda", Note: "from Anna"}, anna)
	wantEqual(t, wantConflict(t, err, 2), []string{"note  from Bert Bert"})
	wantEqual(t, must(s.Athlete(ctx, id)).Note, "from Bert")
}

func TestAnAthleteWhoIsNotThere(t *testing.T) {
	s := open(t)
	_, err := s.Athlete(ctx, 7)
	wantError(t, err, ErrNotFound)
	_, err = s.UpdateAthlete(ctx, Athlete{ID: 7, Name: "Edda"}, anna)
	wantError(t, err, ErrNotFound)
	_, err = s.AddMeasures(ctx, Measures{AthleteID: 7, MeasuredOn: "2026-03-01", Body: Body{MassKg: ptr(80.0)}})
	wantError(t, err, ErrNotFound)
	_, err = s.LatestMeasures(ctx, 7, "2026-03-01")
	wantError(t, err, ErrNotFound)
}

func TestAthletesAreFoundByPartOfTheName(t *testing.T) {
	s := open(t)
	for _, name := range []string{"Édith Łukasz", "anne Öztürk", "Anna 100%"} {
		addNamed(t, s, name)
	}
	must(s.AddAthlete(ctx, Athlete{Name: "Anna Past", Archived: true}, anna))
	for _, c := range []struct {
		filter Filter
		want   []string
	}{
		{Filter{}, []string{"Anna 100%", "anne Öztürk", "Édith Łukasz"}},
		{Filter{Name: "ANN"}, []string{"Anna 100%", "anne Öztürk"}},
		{Filter{Name: "luk"}, []string{"Édith Łukasz"}},
		{Filter{Name: "ozturk"}, []string{"anne Öztürk"}},
		{Filter{Name: "%"}, []string{"Anna 100%"}},
		{Filter{Name: "_"}, []string{}},
		{Filter{Name: "anna", Archived: true}, []string{"Anna 100%", "Anna Past"}},
	} {
		got := []string{}
		for _, a := range must(s.Athletes(ctx, c.filter)) {
			got = append(got, a.Name)
		}
		wantEqual(t, got, c.want)
	}
}

func TestADeletedAthleteTakesEverythingAlong(t *testing.T) {
	s := open(t)
	id := addNamed(t, s, "Edda")
	must(s.AddMeasures(ctx, Measures{AthleteID: id, MeasuredOn: "2026-03-01", Body: Body{MassKg: ptr(80.0)}}))
	must(s.AddPosture(ctx, Posture{AthleteID: id, CalibratedOn: "2026-03-01", Kind: Scull}))
	must(s.SaveErgTests(ctx, []ErgTest{{AthleteID: id, TestedOn: "2026-03-01", Fixed: FixedDistance, DistanceM: 2000, TimeS: 420}}))
	must(s.addRecording(ctx, Recording{AthleteID: &id, RecordedOn: "2026-03-01", Thresholds: "{}"}))
	lineup := must(s.AddLineup(ctx, Lineup{Name: "A", ClassCode: "1x", Seats: []LineupSeat{{AthleteID: &id}}}, anna))
	check(t, s.DeleteAthlete(ctx, id))
	for _, table := range []string{"athletes", "measures", "postures", "erg_tests", "recordings"} {
		var n int
		check(t, s.readers.QueryRow("SELECT count(*) FROM "+table).Scan(&n))
		if n != 0 {
			t.Errorf("%d rows are left in %s", n, table)
		}
	}
	wantEqual(t, must(s.Changes(ctx, AthleteRecord, id, 0)), []Change{})
	wantEqual(t, must(s.Lineup(ctx, lineup)).Seats, []LineupSeat{{}})
}

func TestAnIdIsNeverGivenOutTwice(t *testing.T) {
	s := open(t)
	id := addNamed(t, s, "Edda")
	check(t, s.DeleteAthlete(ctx, id))
	if next := addNamed(t, s, "Frieda"); next <= id {
		t.Errorf("Frieda has the id %d that Edda had", next)
	}
}

// TestTheMarkOfAthletesTellsEveryChange, and nothing else changes it.
func TestTheMarkOfAthletesTellsEveryChange(t *testing.T) {
	s := open(t)
	seen := map[AthletesMark]bool{}
	fresh := func(what string) {
		t.Helper()
		if m := must(s.AthletesMark(ctx)); seen[m] {
			t.Errorf("%s leaves the mark as it was: %+v", what, m)
		} else {
			seen[m] = true
		}
	}
	fresh("nothing")
	one := must(s.AddAthlete(ctx, Athlete{Name: "Ann Lee"}, anna))
	fresh("the first")
	two := must(s.AddAthlete(ctx, Athlete{Name: "Bea Moor"}, anna))
	fresh("the second")
	a := must(s.Athlete(ctx, one))
	a.Name, a.Given, a.Family = "Ann Moor", "Ann", "Moor"
	must(s.UpdateAthlete(ctx, a, anna))
	fresh("an edit")
	check(t, s.DeleteAthlete(ctx, two))
	fresh("a removal")
	must(s.AddAthlete(ctx, Athlete{Name: "Cleo Ash"}, anna))
	fresh("another in place of one removed")
	was := must(s.AthletesMark(ctx))
	must(s.AddBoat(ctx, Boat{Name: "Heron", ClassCode: "1x", Seats: []Seat{{Number: 1}}}, anna))
	if now := must(s.AthletesMark(ctx)); now != was {
		t.Errorf("a boat changes it: %+v, %+v", was, now)
	}
}

func TestTheDataVersionTellsWritesOfOthersToo(t *testing.T) {
	s := open(t)
	was := must(s.DataVersion(ctx))
	if must(s.Athletes(ctx, Filter{})); must(s.DataVersion(ctx)) != was {
		t.Error("reading changes it")
	}
	must(s.AddAthlete(ctx, Athlete{Name: "Ann Lee"}, anna))
	now := must(s.DataVersion(ctx))
	if now == was {
		t.Error("a write is not seen")
	}
	other := must(Open(ctx, s.path))
	must(other.AddAthlete(ctx, Athlete{Name: "Bea Moor"}, anna))
	check(t, other.Close())
	if must(s.DataVersion(ctx)) == now {
		t.Error("a write of another program is not seen")
	}
}
