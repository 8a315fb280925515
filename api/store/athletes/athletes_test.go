package athletes_test

import (
	"testing"
	"thole/api/store"
	"thole/api/storetest"
	"time"
)

func edda() store.Athlete {
	return store.Athlete{
		Name: "Edda Sørensen", Given: "Edda", Family: "Sørensen", Sex: "female", BirthDate: storetest.Ptr("2004-02-29"), PortCostS: storetest.Ptr(0.5), StarboardCostS: storetest.Ptr(1.5),
		Sculls: true, Coxes: true, Guest: true, Anonymous: true, Note: "left knee", Archived: true,
	}
}

func TestAnAthleteOutlivesARestart(t *testing.T) {
	s := storetest.New(t)
	a := edda()
	a.Example = true
	a.ID, a.Version = storetest.Must(s.AddAthlete(store.AsExample(storetest.Ctx), a, storetest.Anna)), 1
	whole := a
	whole.BirthYear = storetest.Ptr(int64(2004)) // stands where there is no day
	storetest.WantFull(t, whole)
	s = storetest.Reopen(t, s)
	storetest.WantEqual(t, storetest.Must(s.Athlete(storetest.Ctx, a.ID)), a)
	a.BirthDate, a.BirthYear = nil, storetest.Ptr(int64(2004))
	a.Version = storetest.Must(s.UpdateAthlete(storetest.Ctx, a, storetest.Anna))
	storetest.WantEqual(t, storetest.Must(s.Athlete(storetest.Ctx, a.ID)), a)
}

func TestASideThatCannotBeRowedIsNotFree(t *testing.T) {
	s := storetest.New(t)
	id := storetest.Must(s.AddAthlete(storetest.Ctx, store.Athlete{Name: "Edda", PortCostS: storetest.Ptr(0.0)}, storetest.Anna))
	a := storetest.Must(s.Athlete(storetest.Ctx, id))
	if a.PortCostS == nil || a.StarboardCostS != nil {
		t.Errorf("port %v, starboard %v: want 0 and none", a.PortCostS, a.StarboardCostS)
	}
}

func TestNamesRepeatWithOtherBirthDatesOnly(t *testing.T) {
	s := storetest.New(t)
	add := func(name string, born *string) error {
		_, err := s.AddAthlete(storetest.Ctx, store.Athlete{Name: name, BirthDate: born}, storetest.Anna)
		return err
	}
	storetest.Check(t, add("Zoë Maß", nil))
	storetest.WantError(t, add("  zoe  MASS ", nil), store.ErrTaken)
	storetest.Check(t, add("Zoë Maß", storetest.Ptr("2001-05-06")))
	storetest.WantError(t, add("Zoë Maß", storetest.Ptr("2001-05-06")), store.ErrTaken)
	storetest.Check(t, add("Zoë Maß", storetest.Ptr("2003-05-06")))
	year := func(y int64) error {
		_, err := s.AddAthlete(storetest.Ctx, store.Athlete{Name: "Zoë Maß", BirthYear: &y}, storetest.Anna)
		return err
	}
	storetest.Check(t, year(2003))
	storetest.WantError(t, year(2003), store.ErrTaken)
	_, err := s.AddAthlete(storetest.Ctx, store.Athlete{Name: "Zoë", BirthDate: storetest.Ptr("2003-05-06"), BirthYear: storetest.Ptr(int64(2003))}, storetest.Anna)
	storetest.WantError(t, err, store.ErrInvalid)
}

func TestAnAthleteCannotTakeAName(t *testing.T) {
	s := storetest.New(t)
	storetest.AddNamed(t, s, "Edda")
	frieda := storetest.AddNamed(t, s, "Frieda")
	_, err := s.UpdateAthlete(storetest.Ctx, store.Athlete{ID: frieda, Version: 1, Name: "EDDA"}, storetest.Anna)
	storetest.WantError(t, err, store.ErrTaken)
	storetest.WantEqual(t, storetest.Must(s.Athlete(storetest.Ctx, frieda)).Name, "Frieda")
}

func TestWhatNoAthleteCanBe(t *testing.T) {
	s := storetest.New(t)
	for what, a := range map[string]store.Athlete{
		"no name": {Name: "  "}, "sex": {Name: "E", Sex: "f"}, "cost": {Name: "E", PortCostS: storetest.Ptr(-1.0)},
		"no such day": {Name: "E", BirthDate: storetest.Ptr("2003-02-29")}, "not a day": {Name: "E", BirthDate: storetest.Ptr("1.2.2003")}, "empty day": {Name: "E", BirthDate: storetest.Ptr("")},
	} {
		t.Run(what, func(t *testing.T) {
			_, err := s.AddAthlete(storetest.Ctx, a, storetest.Anna)
			storetest.WantError(t, err, store.ErrInvalid)
		})
	}
}

func TestAnUpdateIsKeptWithItsAuthor(t *testing.T) {
	s := storetest.New(t)
	a := edda()
	a.ID, a.Version = storetest.Must(s.AddAthlete(storetest.Ctx, a, storetest.Anna)), 1
	a.Sex, a.StarboardCostS, a.Archived = "", nil, false
	version := storetest.Must(s.UpdateAthlete(storetest.Ctx, a, store.By{Name: "Bert", At: storetest.Noon.Add(time.Hour)}))
	a.Version = version
	storetest.WantEqual(t, storetest.Must(s.Athlete(storetest.Ctx, a.ID)), a)
	changes := storetest.Must(s.Changes(storetest.Ctx, store.AthleteRecord, a.ID, 1))
	storetest.WantEqual(t, storetest.Shown(changes), []string{"sex female  Bert", "starboard_cost_s 1.5 - Bert", "archived true false Bert"})
	for _, c := range changes {
		if c.Version != version || !c.At.Equal(storetest.Noon.Add(time.Hour)) {
			t.Errorf("%s: version %d at %v", c.What(), c.Version, c.At)
		}
	}
}

// TestANameIsOneWithItsParts holds that a name comes in either way round, and that
// the history tells that the name, or the part where only the split has changed,
// was another, but not which.
func TestANameIsOneWithItsParts(t *testing.T) {
	s := storetest.New(t)
	id := storetest.Must(s.AddAthlete(storetest.Ctx, store.Athlete{Name: "Gómez Pérez, Ana"}, storetest.Anna))
	a := storetest.Must(s.Athlete(storetest.Ctx, id))
	storetest.WantEqual(t, []string{a.Name, a.Given, a.Family}, []string{"Ana Gómez Pérez", "Ana", "Gómez Pérez"})
	_, err := s.AddAthlete(storetest.Ctx, store.Athlete{Given: "ana ", Family: " gomez perez"}, storetest.Anna)
	storetest.WantError(t, err, store.ErrTaken)
	a.Given, a.Family = "Ana Gómez", "Pérez"
	a.Version = storetest.Must(s.UpdateAthlete(storetest.Ctx, a, storetest.Anna))
	a.Given = "Ana Maria Gómez"
	storetest.Must(s.UpdateAthlete(storetest.Ctx, a, storetest.Anna))
	storetest.WantEqual(t, storetest.Shown(storetest.Must(s.Changes(storetest.Ctx, store.AthleteRecord, id, 1))), []string{"given_name - - Anna", "family_name - - Anna", "name - Ana Maria Gómez Pérez Anna"})
}

func TestAnUpdateWithoutAChangeMakesNoVersion(t *testing.T) {
	s := storetest.New(t)
	a := edda()
	a.ID, a.Version = storetest.Must(s.AddAthlete(storetest.Ctx, a, storetest.Anna)), 1
	if v := storetest.Must(s.UpdateAthlete(storetest.Ctx, a, storetest.Anna)); v != 1 {
		t.Errorf("version %d, want 1", v)
	}
	storetest.WantEqual(t, storetest.Shown(storetest.Must(s.Changes(storetest.Ctx, store.AthleteRecord, a.ID, 0))), []string{"name - Edda Sørensen Anna"})
}

func TestAStaleAthleteOverwritesNothing(t *testing.T) {
	s := storetest.New(t)
	id := storetest.AddNamed(t, s, "Edda")
	storetest.Must(s.UpdateAthlete(storetest.Ctx, store.Athlete{ID: id, Version: 1, Name: "Edda", Note: "from Bert"}, store.By{Name: "Bert"}))
	_, err := s.UpdateAthlete(storetest.Ctx, store.Athlete{ID: id, Version: 1, Name: "Edda", Note: "from Anna"}, storetest.Anna)
	storetest.WantEqual(t, storetest.WantConflict(t, err, 2), []string{"note  from Bert Bert"})
	storetest.WantEqual(t, storetest.Must(s.Athlete(storetest.Ctx, id)).Note, "from Bert")
}

func TestAnAthleteWhoIsNotThere(t *testing.T) {
	s := storetest.New(t)
	_, err := s.Athlete(storetest.Ctx, 7)
	storetest.WantError(t, err, store.ErrNotFound)
	_, err = s.UpdateAthlete(storetest.Ctx, store.Athlete{ID: 7, Name: "Edda"}, storetest.Anna)
	storetest.WantError(t, err, store.ErrNotFound)
	_, err = s.AddMeasures(storetest.Ctx, store.Measures{AthleteID: 7, MeasuredOn: "2026-03-01", Body: store.Body{MassKg: storetest.Ptr(80.0)}})
	storetest.WantError(t, err, store.ErrNotFound)
	_, err = s.LatestMeasures(storetest.Ctx, 7, "2026-03-01")
	storetest.WantError(t, err, store.ErrNotFound)
}

func TestAthletesAreFoundByPartOfTheName(t *testing.T) {
	s := storetest.New(t)
	for _, name := range []string{"Édith Łukasz", "anne Öztürk", "Anna 100%"} {
		storetest.AddNamed(t, s, name)
	}
	storetest.Must(s.AddAthlete(storetest.Ctx, store.Athlete{Name: "Anna Past", Archived: true}, storetest.Anna))
	for _, c := range []struct {
		filter store.Filter
		want   []string
	}{
		{store.Filter{}, []string{"Anna 100%", "anne Öztürk", "Édith Łukasz"}},
		{store.Filter{Name: "ANN"}, []string{"Anna 100%", "anne Öztürk"}},
		{store.Filter{Name: "luk"}, []string{"Édith Łukasz"}},
		{store.Filter{Name: "ozturk"}, []string{"anne Öztürk"}},
		{store.Filter{Name: "%"}, []string{"Anna 100%"}},
		{store.Filter{Name: "_"}, []string{}},
		{store.Filter{Name: "anna", Archived: true}, []string{"Anna 100%", "Anna Past"}},
	} {
		got := []string{}
		for _, a := range storetest.Must(s.Athletes(storetest.Ctx, c.filter)) {
			got = append(got, a.Name)
		}
		storetest.WantEqual(t, got, c.want)
	}
}

func TestADeletedAthleteTakesEverythingAlong(t *testing.T) {
	s := storetest.New(t)
	id := storetest.AddNamed(t, s, "Edda")
	storetest.Must(s.AddMeasures(storetest.Ctx, store.Measures{AthleteID: id, MeasuredOn: "2026-03-01", Body: store.Body{MassKg: storetest.Ptr(80.0)}}))
	storetest.Must(s.AddPosture(storetest.Ctx, store.Posture{AthleteID: id, CalibratedOn: "2026-03-01", Kind: store.Scull}))
	storetest.Must(s.SaveErgTests(storetest.Ctx, []store.ErgTest{{AthleteID: id, TestedOn: "2026-03-01", Fixed: store.FixedDistance, DistanceM: 2000, TimeS: 420}}))
	storetest.Must(storetest.AddRecording(storetest.Ctx, s, store.Recording{AthleteID: &id, RecordedOn: "2026-03-01", Thresholds: "{}"}))
	lineup := storetest.Must(s.AddLineup(storetest.Ctx, store.Lineup{Name: "A", ClassCode: "1x", Seats: []store.LineupSeat{{AthleteID: &id}}}, storetest.Anna))
	storetest.Check(t, s.DeleteAthlete(storetest.Ctx, id))
	for _, table := range []string{"athletes", "measures", "postures", "erg_tests", "recordings"} {
		var n int
		storetest.Check(t, storetest.Readers(s).QueryRow("SELECT count(*) FROM "+table).Scan(&n))
		if n != 0 {
			t.Errorf("%d rows are left in %s", n, table)
		}
	}
	storetest.WantEqual(t, storetest.Must(s.Changes(storetest.Ctx, store.AthleteRecord, id, 0)), []store.Change{})
	storetest.WantEqual(t, storetest.Must(s.Lineup(storetest.Ctx, lineup)).Seats, []store.LineupSeat{{}})
}

func TestAnIdIsNeverGivenOutTwice(t *testing.T) {
	s := storetest.New(t)
	id := storetest.AddNamed(t, s, "Edda")
	storetest.Check(t, s.DeleteAthlete(storetest.Ctx, id))
	if next := storetest.AddNamed(t, s, "Frieda"); next <= id {
		t.Errorf("Frieda has the id %d that Edda had", next)
	}
}

// TestTheMarkOfAthletesTellsEveryChange, and nothing else changes it.
func TestTheMarkOfAthletesTellsEveryChange(t *testing.T) {
	s := storetest.New(t)
	seen := map[store.AthletesMark]bool{}
	fresh := func(what string) {
		t.Helper()
		if m := storetest.Must(s.AthletesMark(storetest.Ctx)); seen[m] {
			t.Errorf("%s leaves the mark as it was: %+v", what, m)
		} else {
			seen[m] = true
		}
	}
	fresh("nothing")
	one := storetest.Must(s.AddAthlete(storetest.Ctx, store.Athlete{Name: "Ann Lee"}, storetest.Anna))
	fresh("the first")
	two := storetest.Must(s.AddAthlete(storetest.Ctx, store.Athlete{Name: "Bea Moor"}, storetest.Anna))
	fresh("the second")
	a := storetest.Must(s.Athlete(storetest.Ctx, one))
	a.Name, a.Given, a.Family = "Ann Moor", "Ann", "Moor"
	storetest.Must(s.UpdateAthlete(storetest.Ctx, a, storetest.Anna))
	fresh("an edit")
	storetest.Check(t, s.DeleteAthlete(storetest.Ctx, two))
	fresh("a removal")
	storetest.Must(s.AddAthlete(storetest.Ctx, store.Athlete{Name: "Cleo Ash"}, storetest.Anna))
	fresh("another in place of one removed")
	was := storetest.Must(s.AthletesMark(storetest.Ctx))
	storetest.Must(s.AddBoat(storetest.Ctx, store.Boat{Name: "Heron", ClassCode: "1x", Seats: []store.Seat{{Number: 1}}}, storetest.Anna))
	if now := storetest.Must(s.AthletesMark(storetest.Ctx)); now != was {
		t.Errorf("a boat changes it: %+v, %+v", was, now)
	}
}

func TestTheDataVersionTellsWritesOfOthersToo(t *testing.T) {
	s := storetest.New(t)
	was := storetest.Must(s.DataVersion(storetest.Ctx))
	if storetest.Must(s.Athletes(storetest.Ctx, store.Filter{})); storetest.Must(s.DataVersion(storetest.Ctx)) != was {
		t.Error("reading changes it")
	}
	storetest.Must(s.AddAthlete(storetest.Ctx, store.Athlete{Name: "Ann Lee"}, storetest.Anna))
	now := storetest.Must(s.DataVersion(storetest.Ctx))
	if now == was {
		t.Error("a write is not seen")
	}
	other := storetest.Must(store.Open(storetest.Ctx, s.Path()))
	storetest.Must(other.AddAthlete(storetest.Ctx, store.Athlete{Name: "Bea Moor"}, storetest.Anna))
	storetest.Check(t, other.Close())
	if storetest.Must(s.DataVersion(storetest.Ctx)) == now {
		t.Error("a write of another program is not seen")
	}
}
