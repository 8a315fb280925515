package seatrace_test

import (
	"strings"
	"testing"

	"thole/api/apitest"
	"thole/api/records"
	"thole/api/seatrace"
	"thole/api/store"
)

// slip is one mistake of a launch, where it is told and in which words.
type slip struct {
	name, field, says string
	change            func(*seatrace.PieceResultRequest)
}

// TestSlipsOfALaunch makes each mistake at the second piece of two doubles, of
// which the first was rowed in 3:10: it is told at its field, and nothing changes.
func TestSlipsOfALaunch(t *testing.T) {
	s, file := apitest.RaceRecords(t)
	if _, err := file.AddAthlete(t.Context(), store.Athlete{Name: "Pim Cox", Coxes: true}, store.By{}); err != nil {
		t.Fatal(err)
	}
	id := quickRace(t, s)
	apitest.Record(t, s, id, 1, "k1", 190, 191)
	typed := func(times ...string) func(*seatrace.PieceResultRequest) {
		return func(r *seatrace.PieceResultRequest) { r.Typed = times }
	}
	crews := func(first, second string) func(*seatrace.PieceResultRequest) {
		return func(r *seatrace.PieceResultRequest) {
			r.Crews = [][]string{strings.Split(first, " "), strings.Split(second, " ")}
		}
	}
	for _, c := range []slip{
		{"half a crew", "crews[0]", "Boat 1 has 1 of its 2 rowers. In no boat yet: Bea.", crews("Cat", "Ann Dot")},
		{"the second half", "crews[1]", "Boat 2 has 1 of its 2 rowers. In no boat yet: Dot.", crews("Cat Bea", "Ann")},
		{"one too many", "crews[0]", "Boat 1 has 3 names for 2 seats.", crews("Cat Bea Ann", "Ann Dot")},
		{"a cox", "crews[0][1]", "Pim Cox is on record as a cox who does not row.", crews("Cat Cox", "Ann Dot")},
		{"one twice", "crews[1]", "rows in boat 1 as well", crews("Cat Bea", "Cat Dot")},
		{"a watch that was not stopped", "times_s[1]", "was the watch not stopped?", typed("3:11", "43:12")},
		{"one watch stopped late", "typed[1]", "3:45.0 is 34 s behind the first boat. Was the watch not stopped?", typed("3:11", "3:45")},
		{"another distance", "typed[0]", "2:23.0 is far from the 3:10.0 of the other pieces. All pieces of a seat race are over 1000 m", typed("2:23", "2:24")},
		{"and the way out", "times_checked", "confirm that these times are right", typed("2:23", "2:24")},
		{"half the distance", "times_s[0]", "which no boat rows", typed("1:35", "1:36")},
	} {
		r := seatrace.PieceResultRequest{ID: id, Number: 2, Key: c.name, Typed: []string{"3:11", "3:12"}}
		c.change(&r)
		_, err := s.Seatrace.RecordPiece(t.Context(), r)
		if said := apitest.Complaints(t, err)[c.field]; !strings.Contains(said, c.says) {
			t.Errorf("%s: said %q at %s, want %q; all: %v", c.name, said, c.field, c.says, apitest.Complaints(t, err))
		}
	}
	race, err := s.Seatrace.Race(t.Context(), records.IDRequest{ID: id})
	apitest.Same(t, "error", err, nil)
	apitest.Same(t, "state after all slips", race.Pieces[1].State, "planned")
}

// TestTimesThatWereCheckedStand, as in a stream that runs one way.
func TestTimesThatWereCheckedStand(t *testing.T) {
	s := raceService(t)
	id := quickRace(t, s)
	apitest.Record(t, s, id, 1, "k1", 190, 191)
	r := seatrace.PieceResultRequest{ID: id, Number: 2, Key: "k2", Typed: []string{"2:23", "2:24"}, TimesChecked: true}
	race, err := s.Seatrace.RecordPiece(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	apitest.Near(t, "time", *race.Pieces[1].TimesS[0], 143, 0)
	// Margins say nothing about the distance, and a dnf is no late watch.
	for i, typed := range [][]string{{"0", "+1.2"}, {"3:09", "dnf"}} {
		r := seatrace.PieceResultRequest{ID: id, Number: 3 + i, Key: typed[1], Typed: typed, Crews: [][]string{{"Ann", "Bea"}, {"Cat", "Dot"}}}
		r.TimesChecked = i == 1 // between 3:10 and 2:23 the middle is 2:46
		if _, err := s.Seatrace.RecordPiece(t.Context(), r); err != nil {
			t.Errorf("%v: %v", typed, err)
		}
	}
}

// TestACoxIsNoRowerOfASeatRace, in the squad and among five names of a coxed four.
func TestACoxIsNoRowerOfASeatRace(t *testing.T) {
	s, file := apitest.RaceRecords(t)
	for _, a := range []store.Athlete{{Name: "Pim Cox", Coxes: true}, {Name: "Ann", Coxes: true, Sculls: true}} {
		if _, err := file.AddAthlete(t.Context(), a, store.By{}); err != nil {
			t.Fatal(err)
		}
	}
	r := quickRequest()
	if _, err := s.Seatrace.CreateRace(t.Context(), r); err != nil {
		t.Errorf("Ann rows and coxes: %v", err)
	}
	r.Athletes = append(r.Athletes, seatrace.RaceParticipant{Name: "Cox, Pim"})
	_, err := s.Seatrace.CreateRace(t.Context(), r)
	if said := apitest.Complaints(t, err)["athletes[4].name"]; !strings.Contains(said, "Leave coxes out") {
		t.Errorf("a cox in the squad: %q", said)
	}
	four := seatrace.CreateRaceRequest{}
	four.Name, four.BoatClass = "Fours", "4+"
	names := strings.Split("abcdefghi", "")
	for _, n := range names {
		four.Athletes = append(four.Athletes, seatrace.RaceParticipant{Name: n})
	}
	four.Pieces = []seatrace.RaceScheduledPiece{{Crews: [][]string{names[:4], names[4:8]}}}
	race, err := s.Seatrace.CreateRace(t.Context(), four)
	if err != nil {
		t.Fatal(err)
	}
	_, err = s.Seatrace.RecordPiece(t.Context(), seatrace.PieceResultRequest{ID: race.ID, Number: 1, Key: "k", Typed: []string{"0", "+1"}, Crews: [][]string{names[:5], names[5:9]}})
	if said := apitest.Complaints(t, err)["crews[0]"]; said != "Boat 1 has 5 names for 4 seats. Leave the cox out: only rowers are compared." {
		t.Errorf("five in a four: %q", said)
	}
}

// TestPairsAreFollowedOnTheirSide: next pieces count ports with ports only, and who
// has not rowed yet stands in nobody's way.
func TestPairsAreFollowedOnTheirSide(t *testing.T) {
	s := raceService(t)
	r := quickRequest()
	r.BoatClass, r.Terms.Pairs = "2-", nil
	for i, side := range []string{"port", "starboard", "port", "starboard"} {
		r.Athletes[i].Side = side
	}
	r.Athletes = append(r.Athletes, seatrace.RaceParticipant{Name: "Eve", Side: "port"})
	for _, across := range []bool{false, true} {
		r.Terms.AcrossSides = across
		race, err := s.Seatrace.CreateRace(t.Context(), r)
		if err != nil {
			t.Fatal(err)
		}
		apitest.Record(t, s, race.ID, 1, "1", 190, 192)
		apitest.Record(t, s, race.ID, 2, "2", 191, 190.4)
		j, err := s.Seatrace.JudgeRace(t.Context(), seatrace.JudgementRequest{ID: race.ID, Next: 1})
		if err != nil {
			t.Fatal(err)
		}
		after := j.Estimate.AfterEach[len(j.Estimate.AfterEach)-1].Differences
		for _, d := range after {
			if !across && (d.First == "Ann" || d.First == "Cat") != (d.Second == "Ann" || d.Second == "Cat") {
				t.Errorf("%s and %s are followed", d.First, d.Second)
			}
		}
		w := j.Estimate.Swaps[0]
		if w.SdS != j.Estimate.ResidualSdS || w.Certainty != "likely" || !(w.ChanceFirstFaster > 0.5 == (w.ByMarginS > 0)) {
			t.Errorf("the bare swap: %+v", w)
		}
		// Ann with Cat is settled and Bea with Dot can be; no port with a starboard.
		if got := j.Estimate.Next[0].Missing; across != (got > 0) {
			t.Errorf("across %v: %d stay open after the best piece", across, got)
		}
	}
	r.Terms.AcrossSides, r.Terms.Pairs = false, [][]string{{"Ann", "Eve"}, {"Ann", "Cat"}}
	race, err := s.Seatrace.CreateRace(t.Context(), r)
	apitest.Same(t, "error", err, nil)
	apitest.Record(t, s, race.ID, 1, "1", 190, 192)
	if _, err := s.Seatrace.JudgeRace(t.Context(), seatrace.JudgementRequest{ID: race.ID}); err != nil {
		t.Errorf("Eve has not rowed yet: %v", err)
	}
}
