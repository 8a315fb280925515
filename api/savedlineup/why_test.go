package savedlineup_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"thole/api"
	"thole/api/apitest"
	"thole/api/club"
	"thole/api/records"
	"thole/api/savedlineup"
	"thole/api/store"
	"thole/api/storetest"
	"thole/api/wire"
)

// doubles puts four scullers of one mass and no curves on record with 2000 m
// times today, and a double of the first two. Fay is a woman, and strong.
func doubles(t *testing.T) (s *api.Service, db *store.Store, ids map[string]int64, saved savedlineup.SavedLineup) {
	t.Helper()
	s, db = apitest.RaceRecords(t)
	day := time.Now().Format(time.DateOnly)
	apitest.Saved3(t, s, "name,sex,sculls,mass_kg,test_date,test_distance_m,test_time\n"+
		"Abe,male,yes,80,"+day+",2000,6:20.0\nBen,male,yes,80,"+day+",2000,6:24.0\nCyd,male,yes,80,"+day+",2000,6:24.1\nDan,male,yes,80,"+day+",2000,6:40.0\nFay,female,yes,80,"+day+",2000,6:10.0\n")
	list, err := s.Club.Athletes(t.Context(), records.ListRequest{})
	if err != nil {
		t.Fatal(err)
	}
	ids = map[string]int64{}
	for _, a := range list.Athletes {
		ids[a.Name] = a.ID
	}
	return s, db, ids, savedDouble(t, s, ids["Abe"], ids["Ben"])
}

func savedDouble(t *testing.T, s *api.Service, ids ...int64) savedlineup.SavedLineup {
	t.Helper()
	n := savedlineup.NewLineup{By: "Ines", LineupContent: savedlineup.LineupContent{Name: apitest.Fresh("Double"), BoatClass: "2x"}}
	for _, id := range ids {
		n.Seats = append(n.Seats, savedlineup.LineupPlace{AthleteID: &id})
	}
	saved, err := s.Savedlineup.Save(t.Context(), n)
	if err != nil {
		t.Fatal(err)
	}
	return saved
}

func why(t *testing.T, s *api.Service, id int64) savedlineup.LineupCase {
	t.Helper()
	c, err := s.Savedlineup.Why(t.Context(), savedlineup.CaseRequest{ID: id})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// watts is the published relation of pace and power, 2.80/p³, for 2000 m.
func watts(seconds float64) float64 { return 2.80 / math.Pow(seconds/2000, 3) }

// TestWhyADouble: Cyd is the nearest to both. The boat's time goes with the cube
// root of the power of both, so that with Cyd for Ben it is slower by
// t·((P_AB/P_AC)^⅓ − 1); ± by the two powers, each 3.606 % on the water; the
// chance that Ben is the right one follows from both (by hand).
func TestWhyADouble(t *testing.T) {
	s, _, _, saved := doubles(t)
	c := why(t, s, saved.ID)
	if !c.Told || len(c.Choices) != 2 {
		t.Fatalf("%+v", c)
	}
	a, b, cyd := watts(380), watts(384), watts(384.1)
	apitest.Near(t, "power of the crew", c.PowerW, a+b, 0.11)
	time := 2000 / c.SpeedMS
	ben := c.Choices[1]
	apitest.Same(t, "who", []string{ben.Name, ben.Other}, []string{"Ben", "Cyd"})
	apitest.Near(t, "costs", ben.CostS, time*(math.Cbrt((a+b)/(a+cyd))-1), 0.011) // powers are given to 0.1 W
	apitest.Near(t, "by power", ben.PowerS, ben.CostS, 1e-3)
	sd := time / (3 * (a + b)) * 0.036056 * math.Hypot(b, cyd)
	apitest.Near(t, "SD", ben.SdS, sd, 0.02) // SDs are given to 0.1 W
	apitest.Near(t, "chance", ben.Chance, 0.5*(1+math.Erf(ben.CostS/sd/math.Sqrt2)), 2e-3)
	apitest.Near(t, "needs", ben.NeedsW, b-cyd, 0.2)
	apitest.Same(t, "open, and as good", []any{ben.Certainty, ben.Equal}, []any{"open", true})
	abe := c.Choices[0]
	apitest.Same(t, "who", []any{abe.Other, abe.Certainty, abe.Equal}, []any{"Cyd", "open", false})
	text := strings.Join(c.Sentences, "\n")
	for _, want := range []string{"Open against the nearest athlete outside the boat: Abe, Ben.", "As good a crew, less than 0.1 s apart: Cyd in for Ben.", "a matter of taste: 1 exchange of two seats costs less than 0.05 s."} {
		if !strings.Contains(text, want) {
			t.Errorf("%q lacks %q", text, want)
		}
	}
	if strings.Contains(text, "Fay") {
		t.Errorf("a man's double is not compared with a woman: %q", text)
	}
}

// TestAWeakerCrewIsTold: Dan in Ben's place, and what the boat would gain.
func TestAWeakerCrewIsTold(t *testing.T) {
	s, _, ids, _ := doubles(t)
	c := why(t, s, savedDouble(t, s, ids["Abe"], ids["Dan"]).ID)
	dan := c.Choices[1]
	if dan.Other != "Ben" || dan.CostS >= -1 || dan.NeedsW >= -20 || dan.Certainty == "open" || !strings.Contains(strings.Join(c.Sentences, "\n"), "With Ben in for Dan the boat would gain") {
		t.Errorf("%+v %q", dan, c.Sentences)
	}
}

// TestFirmnessOfAChoiceByDraws: the chance agrees with 40,000 draws of the two
// powers, each crew timed by the cube root of its power.
func TestFirmnessOfAChoiceByDraws(t *testing.T) {
	s, _, ids, _ := doubles(t)
	dan := why(t, s, savedDouble(t, s, ids["Abe"], ids["Dan"]).ID).Choices[1]
	random := rand.New(rand.NewPCG(7, 7))
	right, draws := 0, 40_000
	for range draws {
		b, d := watts(384)*(1+0.036056*random.NormFloat64()), watts(400)*(1+0.036056*random.NormFloat64())
		if d > b {
			right++
		}
	}
	apitest.Near(t, "chance", dan.Chance, float64(right)/float64(draws), 0.012)
}

func TestWhatCannotBeToldOfALineup(t *testing.T) {
	s, _, ids, _ := doubles(t)
	gus, err := s.Club.AddAthlete(t.Context(), club.NewAthlete{AthleteFields: club.AthleteFields{Name: "Gus", Sculls: true}, By: "Ines"})
	if err != nil {
		t.Fatal(err)
	}
	c := why(t, s, savedDouble(t, s, ids["Abe"], gus.ID).ID)
	if c.Told || len(c.Choices) != 0 || len(c.Unknown) != 1 || !strings.Contains(c.Sentences[0], "Gus: no mass on record") {
		t.Errorf("%+v", c)
	}
	_, err = s.Savedlineup.Why(t.Context(), savedlineup.CaseRequest{ID: 99})
	apitest.Same(t, "nobody’s", errors.Is(err, wire.ErrNotFound), true)
	_, err = s.Savedlineup.Why(t.Context(), savedlineup.CaseRequest{ID: 1, SquadID: 99})
	apitest.Same(t, "no such squad", errors.Is(err, wire.ErrNotFound), true)
}

// TestAgainstASquad: nobody of the squad can take a seat.
func TestAgainstASquad(t *testing.T) {
	s, _, ids, saved := doubles(t)
	q, err := s.Club.AddSquad(t.Context(), club.NewSquad{SquadFields: club.SquadFields{Name: "First", AthleteIDs: []int64{ids["Abe"], ids["Dan"]}}})
	if err != nil {
		t.Fatal(err)
	}
	c, err := s.Savedlineup.Why(t.Context(), savedlineup.CaseRequest{ID: saved.ID, SquadID: q.ID})
	if err != nil || c.Choices[1].Other != "Dan" || !strings.Contains(c.Conditions[0], "the squad") {
		t.Errorf("%+v %v", c, err)
	}
}

// TestWhatACrewRaced finds the very crew, and one with another in, in pieces of
// the same class; margins alone have no time.
func TestWhatACrewRaced(t *testing.T) {
	s, db, ids, saved := doubles(t)
	boat := func(time float64, names ...string) store.PieceBoat {
		b := store.PieceBoat{TimeS: &time}
		for _, name := range names {
			b.Crew = append(b.Crew, ids[name])
		}
		return b
	}
	race := store.SeatRace{Name: "Spring", HeldOn: "2026-05-01", DistanceM: 1000, ClassCode: "2x"}
	for _, name := range []string{"Abe", "Ben", "Cyd", "Dan"} {
		race.Athletes = append(race.Athletes, store.SeatRaceAthlete{AthleteID: ids[name]})
	}
	for i, boats := range [][]store.PieceBoat{
		{boat(212.5, "Ben", "Abe"), boat(211.2, "Cyd", "Dan")}, {boat(210, "Abe", "Cyd"), boat(214, "Ben", "Dan")},
	} {
		race.Pieces = append(race.Pieces, store.Piece{Number: i + 1, State: store.Raced, MarginsOnly: i == 1, EnteredBy: "Ines", EnteredAt: time.Now(), Boats: boats})
	}
	if _, err := storetest.AddSeatRace(db, race, store.By{Name: "Ines"}); err != nil {
		t.Fatal(err)
	}
	raced := why(t, s, saved.ID).Raced
	if len(raced) != 3 {
		t.Fatalf("%+v", raced)
	}
	apitest.Same(t, "the very crew", []any{raced[0].Piece, len(raced[0].With), *raced[0].TimeS, *raced[0].BehindS, raced[0].Boats}, []any{1, 0, 212.5, 1.3, 2})
	apitest.Same(t, "with another", []any{raced[1].With, raced[1].Without, raced[1].TimeS == nil, *raced[1].BehindS}, []any{[]string{"Cyd"}, []string{"Ben"}, true, 0.0})
}

func TestTheNoteOfALineup(t *testing.T) {
	s, _, _, saved := doubles(t)
	l, err := s.Savedlineup.SetNote(t.Context(), savedlineup.LineupNote{ID: saved.ID, Version: saved.Version, Note: " calm at the start ", By: "Bert"})
	if err != nil || l.Note != "calm at the start" || l.Version != saved.Version+1 || len(l.Seats) != 2 {
		t.Errorf("%+v %v", l, err)
	}
	_, err = s.Savedlineup.SetNote(t.Context(), savedlineup.LineupNote{ID: saved.ID, Version: saved.Version, Note: "late", By: "Bert"})
	var moved *records.Conflict
	apitest.Same(t, "an old version", errors.As(err, &moved), true)
	_, err = s.Savedlineup.SetNote(t.Context(), savedlineup.LineupNote{ID: saved.ID, Version: l.Version, Note: "x"})
	var bad *wire.Invalid
	apitest.Same(t, "unsigned", errors.As(err, &bad), true)
}
