package evidence_test

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"thole/api"
	"thole/api/apitest"
	"thole/api/evidence"
	"thole/api/lineup"
	"thole/api/records"
	"thole/api/seatrace"
	"thole/api/store"
	"thole/api/storetest"
	"thole/api/wire"
)

// day is so many days ago.
func day(ago int) string { return time.Now().AddDate(0, 0, -ago).Format(time.DateOnly) }

// scullers puts Ann, Bea, Cat and Dot on record, of whom Dot was never tested.
func scullers(t *testing.T) (s *api.Service, db *store.Store, ids map[string]int64) {
	t.Helper()
	s, db = apitest.RaceRecords(t)
	apitest.Saved3(t, s, "name,sculls,mass_kg,test_date,test_distance_m,test_time\n"+
		"Ann,yes,70,"+day(0)+",2000,6:58.0\nBea,yes,70,"+day(0)+",2000,7:00.0\nCat,yes,70,"+day(0)+",2000,7:01.0\nDot,yes,66,,,\n")
	list, err := s.Club.Athletes(t.Context(), records.ListRequest{})
	if err != nil {
		t.Fatal(err)
	}
	ids = map[string]int64{}
	for _, a := range list.Athletes {
		ids[a.Name] = a.ID
	}
	return s, db, ids
}

// race races singles today, so many times with the same times in s.
func race(t *testing.T, s *api.Service, ids map[string]int64, names []string, times ...float64) {
	t.Helper()
	r := seatrace.CreateRaceRequest{RaceContent: seatrace.RaceContent{Name: apitest.Fresh("Race"), BoatClass: "1x"}}
	piece := seatrace.RaceScheduledPiece{}
	for _, name := range names {
		r.Athletes = append(r.Athletes, seatrace.RaceParticipant{AthleteID: new(ids[name]), Name: name})
		piece.Crews = append(piece.Crews, []string{name})
	}
	r.Pieces = []seatrace.RaceScheduledPiece{piece, piece, piece}
	made, err := s.Seatrace.CreateRace(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	for i := range r.Pieces {
		apitest.Record(t, s, made.ID, i+1, "k"+string(rune('1'+i)), times...)
	}
}

func opinion(t *testing.T, s *api.Service, id int64, ago int, power, sd float64) evidence.Opinion {
	t.Helper()
	o, err := s.Evidence.AddOpinion(t.Context(), evidence.NewOpinion{AthleteID: id, SaidOn: day(ago), PowerW: &power, SdW: &sd, Note: " calm under pressure ", By: "Ines"})
	if err != nil {
		t.Fatal(err)
	}
	return o
}

func linesOf(t *testing.T, s *api.Service) map[string]evidence.Athlete {
	t.Helper()
	a, err := s.Evidence.Squad(t.Context(), evidence.Request{})
	if err != nil {
		t.Fatal(err)
	}
	lines := map[string]evidence.Athlete{}
	for _, x := range a.Athletes {
		lines[x.Name] = x
	}
	return lines
}

// TestATestAndAnOpinionByHand: 7:00.0 is 302.343 W, on the water ± √(2² + 3²) =
// 3.606 % (erg.WaterSD; Schabort et al. 1999, from memory); the coach says today
// 320 ± 16 W, 5 %. By precision, on the logarithm:
// (ln 302.343/.03606² + ln 320/.05²)/(1/.03606² + 1/.05²), ± 2.925 %.
func TestATestAndAnOpinionByHand(t *testing.T) {
	s, _, ids := scullers(t)
	opinion(t, s, ids["Bea"], 0, 320, 16)
	bea := linesOf(t, s)["Bea"]
	w, v := 1/(0.0004+0.0009), 1/0.0025
	want := math.Exp((math.Log(302.343)*w + math.Log(320)*v) / (w + v))
	apitest.Near(t, "ergometer", bea.Ergometer.PowerW, 302.343, 0.006)
	apitest.Near(t, "its SD", bea.Ergometer.SdW, 0.036056*302.343, 0.006)
	apitest.Near(t, "coach", bea.Coach.SdW, 16, 0.005)
	apitest.Near(t, "joined", bea.Joined.PowerW, want, 0.006)
	apitest.Near(t, "its SD", bea.Joined.SdW, want/math.Sqrt(w+v), 0.006)
	apitest.Near(t, "upper end", bea.Joined.HighW, want*math.Exp(1.6449/math.Sqrt(w+v)), 0.02)
	// The next, Ann: 6:58.0 is 306.704 W ± 3.606 %.
	gap := math.Log(want/306.704) / math.Sqrt(1/(w+v)+0.0013)
	apitest.Near(t, "over the next", chanceOf(t, s, "Bea"), 0.5*(1+math.Erf(gap/math.Sqrt2)), 2e-3)
	apitest.Same(t, "moved", len(bea.Moved), 2)
	if ann := linesOf(t, s)["Ann"]; len(ann.Moved) != 0 { // her test alone gives her a power, and Bea's opinion tells nothing of her
		t.Errorf("Ann is moved by %+v", ann.Moved)
	}
	apitest.Near(t, "moved by the coach", bea.Moved[1].ByW, want-302.343, 0.011)
	apitest.Near(t, "without the ergometer", bea.Moved[0].WithoutW, 320, 0.006)
	if !strings.Contains(bea.Words, "The ergometer moves it by −") || !strings.Contains(bea.Words, "the coach’s opinion moves it by +6 W") {
		t.Errorf("%q", bea.Words)
	}
}

// chanceOf is that of moving more than the next, between two whose order it is.
func chanceOf(t *testing.T, s *api.Service, name string) float64 {
	t.Helper()
	a, err := s.Evidence.Squad(t.Context(), evidence.Request{})
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range a.Athletes {
		if x.Name == name {
			return x.OverNext.Chance
		}
	}
	t.Fatal("no " + name)
	return 0
}

// TestAnOpinionAges: 120 days take fitness 4 % away (erg.DefaultModel), and the
// newest opinion counts.
func TestAnOpinionAges(t *testing.T) {
	s, _, ids := scullers(t)
	opinion(t, s, ids["Dot"], 300, 400, 10)
	opinion(t, s, ids["Dot"], 120, 300, 9)
	dot := linesOf(t, s)["Dot"]
	apitest.Near(t, "power", dot.Joined.PowerW, 300, 0.006)
	apitest.Near(t, "SD", dot.Joined.SdW, 300*math.Hypot(0.03, 0.04), 0.006)
	apitest.Same(t, "stand-in", dot.Joined.StandIn, false)
}

// TestWhoRacedWithoutATestCanBeSeated: Dot, never tested, beats Ann in singles
// by 2 s in 240; a single's power goes with the cube of its speed, so that she
// moves about 2.5 % more. Before the race she could not be judged.
func TestWhoRacedWithoutATestCanBeSeated(t *testing.T) {
	s, _, ids := scullers(t)
	before := squadOf(t, s, "")
	if apitest.MissingOf(before, "Dot") != "no ergometer test" {
		t.Errorf("before: %q", apitest.MissingOf(before, "Dot"))
	}
	if line := linesOf(t, s)["Dot"]; line.Joined != nil || !strings.Contains(line.Words, "Nothing is known") {
		t.Errorf("%+v", line)
	}
	race(t, s, ids, []string{"Ann", "Dot"}, 242, 240)
	lines := linesOf(t, s)
	dot, ann := lines["Dot"], lines["Ann"]
	if dot.Joined == nil || !dot.Joined.StandIn || dot.Racing == nil || dot.Racing.Among != 2 || dot.Ergometer != nil {
		t.Fatalf("%+v", dot)
	}
	apitest.Near(t, "difference by racing", (dot.Racing.DifferenceW/dot.Joined.PowerW-ann.Racing.DifferenceW/ann.Joined.PowerW)/3, 2.0/241, 2e-4)
	if dot.Joined.PowerW < ann.Joined.PowerW+3 || dot.Joined.PowerW > ann.Joined.PowerW+9 || !(dot.Joined.SdW < 0.12*dot.Joined.PowerW) {
		t.Errorf("Dot %+v, Ann %+v", *dot.Joined, *ann.Joined)
	}
	squad := squadOf(t, s, "")
	c := candidate(t, squad, "Dot")
	apitest.Same(t, "source", c.Source, "joined")
	apitest.Near(t, "power", c.PowerW, dot.Joined.PowerW, 0.06)
	apitest.Near(t, "SD", c.PowerSdW, dot.Joined.SdW, 0.06)
	apitest.Same(t, "tests", c.Tests, 0)
	apitest.Same(t, "Bea’s source", candidate(t, squad, "Bea").Source, "ergometer")
	if len(squad.PowerCovarianceW2) != 4 || apitest.MissingOf(squadOf(t, s, "ergometer"), "Dot") == "" {
		t.Errorf("covariance %v", squad.PowerCovarianceW2)
	}
	_, err := s.Lineup.SquadFor(t.Context(), lineup.BoatSquadRequest{BoatClass: "1x", Powers: "guess"})
	var bad *wire.Invalid
	if !errors.As(err, &bad) {
		t.Error(err)
	}
}

func squadOf(t *testing.T, s *api.Service, powers string) lineup.BoatSquad {
	t.Helper()
	squad, err := s.Lineup.SquadFor(t.Context(), lineup.BoatSquadRequest{BoatClass: "1x", Powers: powers})
	if err != nil {
		t.Fatal(err)
	}
	return squad
}

func candidate(t *testing.T, squad lineup.BoatSquad, name string) lineup.BoatCandidate {
	t.Helper()
	for _, c := range squad.Candidates {
		if c.Name == name {
			return c
		}
	}
	t.Fatalf("no %s in %+v", name, squad)
	return lineup.BoatCandidate{}
}

// TestLineUpsOfJoinedPowers: the covariance that the squad comes with is one the
// search takes, on the scale of the powers.
func TestLineUpsOfJoinedPowers(t *testing.T) {
	s, _, ids := scullers(t)
	race(t, s, ids, []string{"Ann", "Dot", "Cat"}, 242, 240, 241)
	squad := squadOf(t, s, "")
	r := lineup.LineupsRequest{LineupProblem: lineup.LineupProblem{BoatRules: lineup.BoatRules{BoatClass: "2x"}}, Draws: 20, PowerCovariance: squad.PowerCovarianceW2}
	for i, c := range squad.Candidates {
		r.Candidates = append(r.Candidates, c.Candidate)
		apitest.Near(t, "variance of "+c.Name, squad.PowerCovarianceW2[i][i], c.PowerSdW*c.PowerSdW, 2.5)
	}
	a, err := s.Lineup.FindLineups(t.Context(), r)
	if err != nil || a.Firmness == nil || a.Firmness.Draws != 20 {
		t.Errorf("%+v %v", a, err)
	}
}

// TestRacesAndTestsCountOnce: with three tested alike, racing moves their powers
// apart about the same mean, and no further than racing alone has it.
func TestRacesAndTestsCountOnce(t *testing.T) {
	s, _, ids := scullers(t)
	before := linesOf(t, s)
	race(t, s, ids, []string{"Ann", "Bea", "Cat"}, 242, 241, 239)
	after := linesOf(t, s)
	sum := 0.0
	for _, name := range []string{"Ann", "Bea", "Cat"} {
		x := after[name]
		sum += math.Log(x.Joined.PowerW / before[name].Joined.PowerW)
		if x.Joined.SdW >= before[name].Joined.SdW || x.Racing.Count != 1 || x.Racing.Among != 3 {
			t.Errorf("%s: %+v after %+v", name, *x.Joined, *before[name].Joined)
		}
	}
	apitest.Near(t, "mean of ln power", sum/3, 0, 2e-4)
	moved := (after["Cat"].Joined.PowerW - after["Ann"].Joined.PowerW) - (before["Cat"].Joined.PowerW - before["Ann"].Joined.PowerW)
	if racing := after["Cat"].Racing.DifferenceW - after["Ann"].Racing.DifferenceW; moved <= 0 || moved >= racing+6 {
		t.Errorf("moved by %g W, by racing alone %g W", moved, racing)
	}
}

// recorded puts a recording of an athlete in a boat on record.
func recorded(t *testing.T, db *store.Store, id, boat int64, ago int, power, rate float64) {
	t.Helper()
	_, err := db.AddRecordings(t.Context(), func(yield func(store.Recording, error) bool) {
		yield(store.Recording{
			AthleteID: &id, BoatID: &boat, RecordedOn: day(ago), SourceFile: "a.csv", Thresholds: "{}",
			Features: []store.FeatureValue{{Feature: "power_w", Value: power}, {Feature: "rate_per_min", Value: rate}},
		}, nil)
	})
	if err != nil {
		t.Fatal(err)
	}
}

// TestRecordingsThatTell: of two who rowed together, of the last half year, at 26 strokes a
// minute and more, with a power.
func TestRecordingsThatTell(t *testing.T) {
	for _, c := range []struct {
		name        string
		ago         int
		power, rate float64
		tells       bool
	}{
		{"of today", 0, 330, 30, true}, {"of 183 days ago", 183, 330, 30, true}, {"of 184 days ago", 184, 330, 30, false}, {"of tomorrow", -1, 330, 30, false},
		{"at 26", 0, 330, 26, true}, {"at 25.9", 0, 330, 25.9, false}, {"without power", 0, 0, 30, false},
	} {
		s, db, ids := scullers(t)
		boat, err := db.AddBoat(t.Context(), store.Boat{Name: "Kingfisher", ClassCode: "2x", Seats: []store.Seat{{Number: 1}, {Number: 2}}}, store.By{Name: "Ines"})
		if err != nil {
			t.Fatal(err)
		}
		recorded(t, db, ids["Ann"], boat, c.ago, 270, 30)
		recorded(t, db, ids["Bea"], boat, c.ago, c.power, c.rate)
		if bea := linesOf(t, s)["Bea"]; (bea.Strokes != nil) != c.tells {
			t.Errorf("%s: %+v", c.name, bea.Strokes)
		}
	}
}

// TestRecordingsOfACrew tell of differences within it: 20 % between two rowers
// of one boat on one day, each ± 8 %, against tests that say 0.
func TestRecordingsOfACrew(t *testing.T) {
	s, db, ids := scullers(t)
	boat, err := db.AddBoat(t.Context(), store.Boat{Name: "Kingfisher", ClassCode: "2x", Seats: []store.Seat{{Number: 1}, {Number: 2}}}, store.By{Name: "Ines"})
	if err != nil {
		t.Fatal(err)
	}
	recorded(t, db, ids["Ann"], boat, 0, 270, 30)
	recorded(t, db, ids["Bea"], boat, 0, 330, 30)
	lines := linesOf(t, s)
	ann, bea := lines["Ann"], lines["Bea"]
	apitest.Near(t, "Bea against the crew", bea.Strokes.DifferenceW/bea.Joined.PowerW, math.Log(330.0/270)/2, 1e-4)
	apitest.Near(t, "its SD", bea.Strokes.SdW/bea.Joined.PowerW, 0.08/math.Sqrt2, 1e-4)
	// ln b₂ − ln b₁ is −.0143 ± .051 by tests and .2007 ± .1131 by recordings.
	w, v := 1/(2*0.0013), 1/(2*0.0064)
	before := math.Log(math.Pow(418.0/420, 3))
	apitest.Near(t, "joined difference", math.Log(bea.Joined.PowerW/ann.Joined.PowerW), (before*w+math.Log(330.0/270)*v)/(w+v), 1e-4)
}

// TestARaceThatCannotBeReadIsTold, and the others count.
func TestARaceThatCannotBeReadIsTold(t *testing.T) {
	s, db, ids := scullers(t)
	_, err := storetest.AddSeatRace(db, store.SeatRace{
		Name: "Odd", HeldOn: day(1), DistanceM: 1000, ClassCode: "1x", Terms: new(`{"boats":"two"}`),
		Athletes: []store.SeatRaceAthlete{{AthleteID: ids["Ann"]}, {AthleteID: ids["Bea"]}},
		Pieces:   []store.Piece{{Number: 1, State: store.Raced, EnteredBy: "Ines", EnteredAt: time.Now(), Boats: []store.PieceBoat{{Crew: []int64{ids["Ann"]}, TimeS: new(240.0)}, {Crew: []int64{ids["Bea"]}, TimeS: new(241.0)}}}},
	}, store.By{Name: "Ines"})
	if err != nil {
		t.Fatal(err)
	}
	a, err := s.Evidence.Squad(t.Context(), evidence.Request{})
	if err != nil || len(a.Notes) != 1 || !strings.Contains(a.Notes[0], "The seat race Odd is not used") {
		t.Errorf("%q %v", a.Notes, err)
	}
	if len(a.Grounds) < 5 || len(a.Figures) < 5 {
		t.Errorf("%+v", a)
	}
}

func TestOpinionsOnRecord(t *testing.T) {
	s, _, ids := scullers(t)
	first := opinion(t, s, ids["Ann"], 10, 300, 12)
	second := opinion(t, s, ids["Ann"], 2, 310, 12)
	list, err := s.Evidence.Opinions(t.Context(), records.IDRequest{ID: ids["Ann"]})
	if err != nil || len(list.Opinions) != 2 || list.Opinions[0].ID != second.ID || list.Opinions[1].Note != "calm under pressure" || list.Opinions[0].SaidBy != "Ines" {
		t.Errorf("%+v %v", list, err)
	}
	if _, err = s.Evidence.RemoveOpinion(t.Context(), evidence.OpinionRemoval{AthleteID: ids["Ann"], Opinion: second.ID}); err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "the one before counts", linesOf(t, s)["Ann"].Coach.PowerW, first.PowerW)
	_, err = s.Evidence.RemoveOpinion(t.Context(), evidence.OpinionRemoval{AthleteID: ids["Bea"], Opinion: first.ID})
	apitest.Same(t, "another’s", errors.Is(err, wire.ErrNotFound), true)
	_, err = s.Evidence.Opinions(t.Context(), records.IDRequest{ID: 999})
	apitest.Same(t, "nobody’s", errors.Is(err, wire.ErrNotFound), true)
	changes, err := s.Club.AthleteChanges(t.Context(), records.ChangesRequest{ID: ids["Ann"]})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range changes.Changes {
		if strings.Contains(c.What, "opinion") {
			t.Errorf("the athlete reads %+v", c)
		}
	}
}

// TestOpinionsThatSayNothing are refused at their field.
func TestOpinionsThatSayNothing(t *testing.T) {
	s, _, ids := scullers(t)
	for field, o := range map[string]evidence.NewOpinion{
		"said_on": {SaidOn: day(-2), PowerW: new(300.0), SdW: new(10.0), By: "Ines"},
		"power_w": {SaidOn: day(0), PowerW: new(3000.0), SdW: new(10.0), By: "Ines"},
		"sd_w":    {SaidOn: day(0), PowerW: new(300.0), SdW: new(200.0), By: "Ines"},
		"by":      {SaidOn: day(0), PowerW: new(300.0), SdW: new(10.0)},
	} {
		o.AthleteID = ids["Ann"]
		_, err := s.Evidence.AddOpinion(t.Context(), o)
		var bad *wire.Invalid
		if !errors.As(err, &bad) || len(bad.Fields) != 1 || bad.Fields[0].Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
	for _, c := range []struct {
		power, sd float64
		bad       string
	}{
		{20, 2, ""}, {1000, 300, ""}, {300, 150, ""}, {300, 150.5, "sd_w"}, {19.9, 2, "power_w"}, {1000.1, 300, "power_w"}, {300, 1.9, "sd_w"}, {1000, 300.1, "sd_w"},
	} {
		_, err := s.Evidence.AddOpinion(t.Context(), evidence.NewOpinion{AthleteID: ids["Ann"], SaidOn: day(0), PowerW: &c.power, SdW: &c.sd, By: "Ines"})
		var bad *wire.Invalid
		if errors.As(err, &bad) != (c.bad != "") || bad != nil && bad.Fields[0].Field != c.bad {
			t.Errorf("%g ± %g W: %v", c.power, c.sd, err)
		}
	}
	_, err := s.Evidence.AddOpinion(t.Context(), evidence.NewOpinion{AthleteID: ids["Ann"], SaidOn: day(0), By: "Ines"})
	if text := err.Error(); strings.Count(text, "This is needed.") != 2 {
		t.Error(text)
	}
}

func TestTheTableOfEvidence(t *testing.T) {
	s, _, ids := scullers(t)
	opinion(t, s, ids["Bea"], 0, 320, 16)
	table, name, err := s.Evidence.Table(t.Context(), evidence.Request{})
	if err != nil || name != "evidence" || len(table.Rows()) != 5 {
		t.Errorf("%q %d rows %v", name, len(table.Rows()), err)
	}
	_, err = s.Evidence.Squad(t.Context(), evidence.Request{SquadID: 77})
	apitest.Same(t, "no such squad", errors.Is(err, wire.ErrNotFound), true)
}
