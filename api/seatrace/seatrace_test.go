package seatrace_test

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"thole/api"
	"thole/api/apitest"
	"thole/api/records"
	"thole/api/schedule"
	"thole/api/seatrace"
	"thole/api/store"
	"thole/api/wire"
)

// raceService returns a service over empty records of its own.
func raceService(t testing.TB) *api.Service {
	t.Helper()
	s, _ := apitest.RaceRecords(t)
	return s
}

// TestTypedTimes reads times as people type them in a launch.
func TestTypedTimes(t *testing.T) {
	s := raceService(t)
	for typed, want := range map[[2]string][2]float64{
		{"3:02.4", "3:04"}:    {182.4, 184},
		{"182.4", "184,0"}:    {182.4, 184},
		{"3.02,4", "3'04"}:    {182.4, 184},
		{"3:02.4", "+1.6 s"}:  {182.4, 184},
		{"+1,6", "3:02.4"}:    {184, 182.4},
		{" 3:02,4 ", "– "}:    {182.4, 0},
		{"DNF", "3:02.4"}:     {0, 182.4},
		{"3:02.4", "level"}:   {182.4, 182.4},
		{"3:02.4", "-1.4"}:    {182.4, 181},
		{"3:02.4", "+0:01.6"}: {182.4, 184},
	} {
		id := quickRace(t, s)
		a, err := s.Seatrace.RecordPiece(t.Context(), seatrace.PieceResultRequest{ID: id, Number: 1, Key: "k", Typed: typed[:]})
		if err != nil {
			t.Errorf("%q: %v", typed, err)
			continue
		}
		for b, w := range want {
			got := 0.0
			if x := a.Pieces[0].TimesS[b]; x != nil {
				got = *x
			}
			apitest.Near(t, fmt.Sprint(typed, b), got, w, 1e-9)
		}
	}
}

func TestTypedSlips(t *testing.T) {
	s := raceService(t)
	for typed, says := range map[[2]string]string{
		{"302", "3:04"}:   "If you mean 3:02.0, type it so",
		{"", "3:04"}:      "missing",
		{"three", "3:04"}: "no time",
		{"3:72", "3:04"}:  "no time",
		{"3.02", "3:04"}:  "3:02",
		{"+200", "3:04"}:  "margin",
		{"+x", "3:04"}:    "margin",
		{"1:00", "3:04"}:  "m/s",
		{"-", "dnf"}:      "abandoned",
		{"NaN", "3:04"}:   "no time",
		{"+Inf", "3:04"}:  "margin",
	} {
		id := quickRace(t, s)
		_, err := s.Seatrace.RecordPiece(t.Context(), seatrace.PieceResultRequest{ID: id, Number: 1, Key: "k", Typed: typed[:]})
		if all := fmt.Sprint(apitest.Complaints(t, err)); !strings.Contains(all, says) {
			t.Errorf("%q: said %s, want %q", typed, all, says)
		}
	}
}

// quickRace is two doubles of guests with two pieces planned.
func quickRace(t testing.TB, s *api.Service) int64 {
	t.Helper()
	a, err := s.Seatrace.CreateRace(t.Context(), quickRequest())
	if err != nil {
		t.Fatal(err)
	}
	return a.ID
}

func quickRequest() seatrace.CreateRaceRequest {
	r := seatrace.CreateRaceRequest{}
	r.Name, r.BoatClass = "Saturday", "2x"
	for _, n := range []string{"Ann", "Bea", "Cat", "Dot"} {
		r.Athletes = append(r.Athletes, seatrace.RaceParticipant{Name: n})
	}
	r.Pieces = []seatrace.RaceScheduledPiece{
		{Crews: [][]string{{"Ann", "Bea"}, {"Cat", "Dot"}}}, {Crews: [][]string{{"Cat", "Bea"}, {"Ann", "Dot"}}},
	}
	r.Terms = &schedule.RaceTerms{Boats: 2, Swaps: 1, RestMin: 10, ExpectedTimeS: 190, MeanPowerW: 300, SmallestW: 10, Pairs: [][]string{{"Ann", "Cat"}}}
	return r
}

func TestARaceOfGuests(t *testing.T) {
	s, file := apitest.RaceRecords(t)
	id := quickRace(t, s)
	a, err := s.Seatrace.Race(t.Context(), records.IDRequest{ID: id})
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "athletes", len(a.Athletes), 4)
	apitest.Same(t, "guest", a.Athletes[0].Guest, true)
	apitest.Same(t, "crews", a.Pieces[1].Crews, [][]string{{"Cat", "Bea"}, {"Ann", "Dot"}})
	apitest.Same(t, "moved", a.Pieces[1].Moved, []string{"Cat", "Ann"})
	apitest.Same(t, "pairs", a.Terms.Pairs, [][]string{{"Ann", "Cat"}})
	apitest.Same(t, "expected time", a.Terms.ExpectedTimeS, 190.0)
	// The same names again are the same guests; they go with the last race.
	second := quickRace(t, s)
	all, err := file.Athletes(t.Context(), store.Filter{Archived: true})
	apitest.Same(t, "error", err, nil)
	apitest.Same(t, "athletes on record", len(all), 4)
	for _, n := range []struct {
		id   int64
		left int
	}{{id, 4}, {second, 0}} {
		if _, err := s.Seatrace.RemoveRace(t.Context(), records.IDRequest{ID: n.id}); err != nil {
			t.Fatal(err)
		}
		all, _ = file.Athletes(t.Context(), store.Filter{Archived: true})
		apitest.Same(t, "athletes left", len(all), n.left)
	}
}

func TestAnAthleteOnRecordIsFoundByName(t *testing.T) {
	s, records := apitest.RaceRecords(t)
	for _, day := range []string{"2000-01-01", "2001-01-01"} {
		if _, err := records.AddAthlete(t.Context(), store.Athlete{Name: "Bea", BirthDate: &day}, store.By{}); err != nil {
			t.Fatal(err)
		}
	}
	ann, err := records.AddAthlete(t.Context(), store.Athlete{Name: "Änn"}, store.By{})
	apitest.Same(t, "error", err, nil)
	r := quickRequest()
	_, err = s.Seatrace.CreateRace(t.Context(), r)
	if said := apitest.Complaints(t, err)["athletes[1].name"]; !strings.Contains(said, "Bea (2000) or Bea (2001)") {
		t.Errorf("said %q", said)
	}
	r.Athletes[1].Name = "bea (2001)"
	r.Pieces, r.Terms = nil, nil
	a, err := s.Seatrace.CreateRace(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	names := map[string]int64{}
	for _, x := range a.Athletes {
		names[x.Name] = x.AthleteID
	}
	apitest.Same(t, "Ann but for the accent", names["Änn"], ann)
	apitest.Same(t, "the younger Bea", names["Bea (2001)"], int64(2))
}

// TestNamesAreTypedAsPeopleCallThem holds that crews, pairs and results take any way
// to call an athlete, that "Surname, First" is no stranger, and that a family name
// of two is a question.
func TestNamesAreTypedAsPeopleCallThem(t *testing.T) {
	s, records := apitest.RaceRecords(t)
	ids := map[string]int64{}
	for _, name := range []string{"Mensah-Bright, Kofi", "Ann Lee", "Bea Lee", "Jan van der Berg"} {
		id, err := records.AddAthlete(t.Context(), store.Athlete{Name: name, Sculls: true}, store.By{})
		apitest.Same(t, "error", err, nil)
		ids[name] = id
	}
	r := quickRequest()
	r.BoatClass, r.Terms, r.Athletes = "2x", &schedule.RaceTerms{Boats: 2, ExpectedTimeS: 190, MeanPowerW: 300, SmallestW: 10, Pairs: [][]string{{"Lee A.", "van der berg, jan"}}}, nil
	for _, name := range []string{"Kofi Mensah-Bright", "Lee, Ann", "Lee B", "Berg, Jan van der", "Guest, Eve"} {
		r.Athletes = append(r.Athletes, seatrace.RaceParticipant{Name: name})
	}
	r.Athletes[3].Name = "van der Berg"
	r.Pieces = []seatrace.RaceScheduledPiece{{Crews: [][]string{{"Mensah-Bright", "Lee"}, {"Lee, Bea", "Eve Guest"}}}}
	_, err := s.Seatrace.CreateRace(t.Context(), r)
	if said := apitest.Complaints(t, err)["pieces[0].crews[0][1]"]; said != "“Lee” can be Lee A. or Lee B.: write which one." {
		t.Errorf("said %q", said)
	}
	r.Pieces[0].Crews[0][1] = "A. Lee"
	race, err := s.Seatrace.CreateRace(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "pairs", fmt.Sprint(race.Terms.Pairs), "[[Ann Lee Jan van der Berg]]")
	apitest.Same(t, "crews", fmt.Sprint(race.Pieces[0].Crews), "[[Kofi Mensah-Bright Ann Lee] [Bea Lee Eve Guest]]")
	for _, a := range race.Athletes {
		if a.Name == "Ann Lee" && (a.AthleteID != ids["Ann Lee"] || a.Label != "Lee A.") {
			t.Errorf("Ann Lee is %+v", a)
		}
	}
	crew := [][]string{race.Directory().Split("Lee, Ann, Guest"), race.Directory().Split("Mensah-Bright, van der Berg")}
	race, err = s.Seatrace.RecordPiece(t.Context(), seatrace.PieceResultRequest{ID: race.ID, Number: 1, Key: "k", Crews: crew, Typed: []string{"3:10", "3:11"}, By: "Coach"})
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "crews", fmt.Sprint(race.Pieces[0].Crews), "[[Ann Lee Eve Guest] [Kofi Mensah-Bright Jan van der Berg]]")
}

func TestAResultSentTwiceCountsOnce(t *testing.T) {
	s := raceService(t)
	id := quickRace(t, s)
	first := apitest.Record(t, s, id, 1, "k1", 190.1, 191.9)
	again := apitest.Record(t, s, id, 1, "k1", 190.1, 191.9)
	apitest.Same(t, "version", again.Version, first.Version)
	_, err := s.Seatrace.RecordPiece(t.Context(), seatrace.PieceResultRequest{ID: id, Number: 1, Key: "k2", TimesS: []*float64{new(195.0), new(191.9)}})
	var moved *records.Conflict
	if !errors.As(err, &moved) {
		t.Fatalf("a second result overwrites the first: %v", err)
	}
	right, err := s.Seatrace.RecordPiece(t.Context(), seatrace.PieceResultRequest{ID: id, Number: 1, Key: "k2", Version: &moved.Version, TimesS: []*float64{new(195.0), new(191.9)}})
	if err != nil {
		t.Fatal(err)
	}
	apitest.Near(t, "set right", *right.Pieces[0].TimesS[0], 195, 0)
	_, err = s.Seatrace.RecordPiece(t.Context(), seatrace.PieceResultRequest{ID: id, Number: 1, Key: "k1", TimesS: []*float64{new(199.0), new(191.9)}})
	if !errors.Is(err, store.ErrKeyReused) {
		t.Errorf("a key with other content: %v", err)
	}
}

func TestPiecesThatWereNotPlanned(t *testing.T) {
	s := raceService(t)
	id := quickRace(t, s)
	r := seatrace.PieceResultRequest{ID: id, Number: 3, Key: "k", TimesS: []*float64{new(190.0), new(191.0)}}
	_, err := s.Seatrace.RecordPiece(t.Context(), r)
	if apitest.Complaints(t, err)["crews"] == "" {
		t.Errorf("crews are not asked for: %v", err)
	}
	r.Crews, r.RerunOf = [][]string{{"ann", "Bea"}, {"Cat", "Dot"}}, new(1)
	a, err := s.Seatrace.RecordPiece(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "re-run of", *a.Pieces[2].RerunOf, 1)
	r.Number, r.Key = 9, "k9"
	if _, err := s.Seatrace.RecordPiece(t.Context(), r); !errors.Is(err, wire.ErrNotFound) {
		t.Errorf("piece 9 of 3: %v", err)
	}
	r.Number, r.Crews = 4, [][]string{{"Ann", "Bea"}, {"Ann", "Dot"}}
	if _, err := s.Seatrace.RecordPiece(t.Context(), r); !strings.Contains(fmt.Sprint(apitest.Complaints(t, err)), "as well") {
		t.Errorf("Ann in both boats: %v", err)
	}
	r.Crews = [][]string{{"Ann", "Bea"}, {"Cat", "Zoe"}}
	if _, err := s.Seatrace.RecordPiece(t.Context(), r); !strings.Contains(fmt.Sprint(apitest.Complaints(t, err)), "does not take part") {
		t.Errorf("a stranger: %v", err)
	}
}

func TestJudgingARace(t *testing.T) {
	s := raceService(t)
	id := quickRace(t, s)
	_, err := s.Seatrace.JudgeRace(t.Context(), seatrace.JudgementRequest{ID: id})
	if apitest.Complaints(t, err)["pieces"] == "" {
		t.Error("nothing raced, and a judgement")
	}
	apitest.Record(t, s, id, 1, "1", 190, 192)
	apitest.Record(t, s, id, 2, "2", 191, 190.4)
	if _, err := s.Seatrace.RecordPiece(t.Context(), seatrace.PieceResultRequest{ID: id, Number: 3, Key: "3", State: "abandoned", Crews: [][]string{{"Ann", "Bea"}, {"Cat", "Dot"}}}); err != nil {
		t.Fatal(err)
	}
	a, err := s.Seatrace.JudgeRace(t.Context(), seatrace.JudgementRequest{ID: id, Next: 3})
	if err != nil {
		t.Fatal(err)
	}
	apitest.Near(t, "Ann over Cat", apitest.Difference(t, a.Estimate.Differences, "Ann", "Cat").DifferenceS, (2+0.6)/2, 0.02)
	apitest.Same(t, "raced", a.Raced, 2)
	apitest.Same(t, "proposals", len(a.Estimate.Next), 3)
	// 570 s of three times 600 W over 190.8 s, as power goes with the cube.
	apitest.Near(t, "watts a second", a.WattsPerSecond, 3*600/190.84, 0.05)
	for prior, field := range map[string]string{"ergometer": "prior", "coach": "prior", "both": "prior"} {
		if _, err := s.Seatrace.JudgeRace(t.Context(), seatrace.JudgementRequest{ID: id, Prior: prior}); apitest.Complaints(t, err)[field] == "" {
			t.Errorf("prior %s: %v", prior, err)
		}
	}
}

func TestAbandonedPiecesSayNothing(t *testing.T) {
	s := raceService(t)
	id := quickRace(t, s)
	abandon := func(number int, key string, crews [][]string) {
		if _, err := s.Seatrace.RecordPiece(t.Context(), seatrace.PieceResultRequest{ID: id, Number: number, Key: key, State: "abandoned", Crews: crews}); err != nil {
			t.Fatal(err)
		}
	}
	abandon(1, "x", nil)
	apitest.Record(t, s, id, 2, "2", 191, 190.4)
	a, err := s.Seatrace.JudgeRace(t.Context(), seatrace.JudgementRequest{ID: id})
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Join(a.Estimate.Notes, "|")
	if !strings.Contains(text, "Piece 1 was abandoned") || strings.Contains(text, "Piece 1, boat") {
		t.Errorf("notes %q", text)
	}
}

// withErgTests puts tests of 2000 m on record for athletes by name.
func withErgTests(t testing.TB, records *store.Store, times map[string]float64) {
	t.Helper()
	for _, name := range []string{"Ann", "Bea", "Cat", "Dot"} {
		id, err := records.AddAthlete(t.Context(), store.Athlete{Name: name, Sculls: true}, store.By{})
		if err != nil {
			t.Fatal(err)
		}
		if time, ok := times[name]; ok {
			if _, err := records.SaveErgTests(t.Context(), []store.ErgTest{{AthleteID: id, TestedOn: "2026-01-10", Fixed: "distance", DistanceM: 2000, TimeS: time}}); err != nil {
				t.Fatal(err)
			}
		}
	}
}

func TestErgometerPriorAndPower(t *testing.T) {
	s, records := apitest.RaceRecords(t)
	withErgTests(t, records, map[string]float64{"Ann": 400, "Bea": 410, "Cat": 420})
	r := quickRequest()
	r.HeldOn = "2026-01-20"
	race, err := s.Seatrace.CreateRace(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	apitest.Record(t, s, race.ID, 1, "1", 190, 192)
	apitest.Record(t, s, race.ID, 2, "2", 191, 190.4)
	j, err := s.Seatrace.JudgeRace(t.Context(), seatrace.JudgementRequest{ID: race.ID, Prior: "ergometer"})
	if err != nil {
		t.Fatal(err)
	}
	// P = 2.80/(400/2000)³ = 350 W and 302.3 W at 420 s; a prior of mean zero.
	held := apitest.Difference(t, j.Estimate.Prior.Differences, "Ann", "Cat").DifferenceS
	apitest.Near(t, "prior in watts", held*j.WattsPerSecond, 350-302.35, 1.5)
	if !strings.Contains(strings.Join(j.Estimate.Notes, " "), "Dot has no ergometer test") {
		t.Errorf("notes %q", j.Estimate.Notes)
	}
	p, err := s.Seatrace.RacePower(t.Context(), seatrace.RacePowerRequest{ID: race.ID})
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "prior", p.Prior, "ergometer")
	checkPower(t, p)
	if !(p.Athletes[0].PowerW > p.Athletes[2].PowerW) {
		t.Errorf("Ann is not the stronger: %+v", p.Athletes)
	}
}

// checkPower holds a covariance to what it must be.
func checkPower(t testing.TB, p seatrace.RacePower) {
	t.Helper()
	n := len(p.Athletes)
	cov := mat.NewSymDense(n, nil)
	for i := range n {
		for j := range n {
			apitest.Near(t, "symmetry", p.CovarianceW2[i][j], p.CovarianceW2[j][i], 0)
			cov.SetSym(i, j, p.CovarianceW2[i][j])
		}
		apitest.Near(t, "deviation", p.Athletes[i].SdW*p.Athletes[i].SdW, p.CovarianceW2[i][i], 0.02*p.Athletes[i].SdW+0.01)
	}
	var c mat.Cholesky
	if !c.Factorize(cov) {
		t.Error("the covariance is not positive definite")
	}
}

func TestPowerFromRacingAloneNeedsEverybodyCompared(t *testing.T) {
	s := raceService(t)
	id := quickRace(t, s)
	apitest.Record(t, s, id, 1, "1", 190, 192)
	apitest.Record(t, s, id, 2, "2", 191, 190.4)
	_, err := s.Seatrace.RacePower(t.Context(), seatrace.RacePowerRequest{ID: id})
	if apitest.Complaints(t, err)["prior"] == "" {
		t.Errorf("open differences are taken for known: %v", err)
	}
	for n, crews := range [][][]string{{{"Ann", "Dot"}, {"Bea", "Cat"}}, {{"Ann", "Cat"}, {"Bea", "Dot"}}} {
		r := seatrace.PieceResultRequest{ID: id, Number: 3 + n, Key: fmt.Sprint(3 + n), Crews: crews, TimesS: []*float64{new(190.5), new(191.2)}}
		if _, err := s.Seatrace.RecordPiece(t.Context(), r); err != nil {
			t.Fatal(err)
		}
	}
	p, err := s.Seatrace.RacePower(t.Context(), seatrace.RacePowerRequest{ID: id, LevelW: new(250.0)})
	if err != nil {
		t.Fatal(err)
	}
	checkPower(t, p)
	mean := 0.0
	for _, a := range p.Athletes {
		mean += a.PowerW / 4
	}
	apitest.Near(t, "mean", mean, 250, 0.02)
	if _, err := s.Seatrace.RacePower(t.Context(), seatrace.RacePowerRequest{ID: id, LevelW: new(-1.0)}); apitest.Complaints(t, err)["level_w"] == "" {
		t.Error("a level below zero is taken")
	}
}

func TestTheCoachsPriorIsKept(t *testing.T) {
	s := raceService(t)
	r := quickRequest()
	r.Terms.Prior = &schedule.SeatRacePrior{SdS: new(0.8), MeansS: map[string]*float64{"Ann": new(0.5)}, SdsS: map[string]*float64{"Bea": new(0.3)}}
	race, err := s.Seatrace.CreateRace(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "prior", *race.Terms.Prior, *r.Terms.Prior)
	apitest.Record(t, s, race.ID, 1, "1", 190, 192)
	p, err := s.Seatrace.RacePower(t.Context(), seatrace.RacePowerRequest{ID: race.ID})
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "prior used", p.Prior, "coach")
	checkPower(t, p)
}

func TestChangingARaceKeepsResults(t *testing.T) {
	s := raceService(t)
	id := quickRace(t, s)
	before := apitest.Record(t, s, id, 2, "2", 191, 190.4)
	r := seatrace.ChangeRaceRequest{ID: id, Version: before.Version, RaceContent: quickRequest().RaceContent}
	r.Name = "Sunday"
	r.Pieces = []seatrace.RaceScheduledPiece{{Crews: [][]string{{"Ann", "Dot"}, {"Cat", "Bea"}}, RerunOf: new(2)}}
	after, err := s.Seatrace.ChangeRace(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	apitest.Same(t, "name", after.Name, "Sunday")
	apitest.Same(t, "pieces", len(after.Pieces), 2)
	apitest.Near(t, "result", *after.Pieces[1].TimesS[1], 190.4, 0)
	apitest.Same(t, "state", after.Pieces[0].State, "planned")
	apitest.Same(t, "repeats", *after.Pieces[0].RerunOf, 2)
	var moved *records.Conflict
	if _, err := s.Seatrace.ChangeRace(t.Context(), r); !errors.As(err, &moved) {
		t.Errorf("an old version writes: %v", err)
	}
	r.Version, r.Athletes = after.Version, r.Athletes[:3]
	r.Pieces, r.Terms = nil, nil
	if _, err := s.Seatrace.ChangeRace(t.Context(), r); apitest.Complaints(t, err)["athletes"] == "" {
		t.Errorf("a racer was dropped: %v", err)
	}
	history, err := s.Seatrace.RaceChanges(t.Context(), records.ChangesRequest{ID: id})
	if err != nil {
		t.Fatal(err)
	}
	text := ""
	for _, c := range history.Changes {
		text += c.What + ":"
		if c.To != nil {
			text += *c.To
		}
		text += "\n"
	}
	if !strings.Contains(text, "Ann, Dot") || strings.Contains(text, "prior") {
		t.Errorf("history:\n%s", text)
	}
}

func TestRaceMistakes(t *testing.T) {
	s := raceService(t)
	for name, c := range map[string]struct {
		change func(*seatrace.CreateRaceRequest)
		field  string
		says   string
	}{
		"no name":  {func(r *seatrace.CreateRaceRequest) { r.Name = " " }, "name", "name"},
		"day":      {func(r *seatrace.CreateRaceRequest) { r.HeldOn = "tomorrow" }, "held_on", "year-month-day"},
		"class":    {func(r *seatrace.CreateRaceRequest) { r.BoatClass = "" }, "boat_class", "Choose"},
		"distance": {func(r *seatrace.CreateRaceRequest) { r.DistanceM = new(-3.0) }, "distance_m", "plausible"},
		"nobody":   {func(r *seatrace.CreateRaceRequest) { r.Athletes = nil }, "athletes", "from 2"},
		"twice":    {func(r *seatrace.CreateRaceRequest) { r.Athletes[1].Name = "ANN" }, "athletes[1].name", "twice"},
		"unknown id": {func(r *seatrace.CreateRaceRequest) {
			r.Athletes[1] = seatrace.RaceParticipant{AthleteID: new(int64(99))}
		}, "athletes[1].athlete_id", "no such"},
		"side":          {func(r *seatrace.CreateRaceRequest) { r.Athletes[1].Side = "left" }, "athletes[1].side", "port"},
		"stranger":      {func(r *seatrace.CreateRaceRequest) { r.Pieces[0].Crews[0][0] = "Zoe" }, "pieces[0].crews[0][0]", "take part"},
		"in both boats": {func(r *seatrace.CreateRaceRequest) { r.Pieces[0].Crews[0][0] = "Cat" }, "pieces[0].crews[1]", "as well"},
		"unequal":       {func(r *seatrace.CreateRaceRequest) { r.Pieces[0].Crews[0] = []string{"Ann"} }, "pieces[0].crews[0]", "instead of 2"},
		"pair":          {func(r *seatrace.CreateRaceRequest) { r.Terms.Pairs = [][]string{{"Ann", "Ann"}} }, "terms.pairs[0]", "two athletes"},
		"boats":         {func(r *seatrace.CreateRaceRequest) { r.Terms.Boats = 1 }, "terms.boats", "plausible"},
		"prior": {func(r *seatrace.CreateRaceRequest) {
			r.Terms.Prior = &schedule.SeatRacePrior{MeansS: map[string]*float64{"Zoe": new(1.0)}}
		}, "terms.prior.means_s.Zoe", "take part"},
		"re-run":    {func(r *seatrace.CreateRaceRequest) { r.Pieces[0].RerunOf = new(7) }, "pieces[0].rerun_of", "no such"},
		"long note": {func(r *seatrace.CreateRaceRequest) { r.Note = strings.Repeat("x", 3000) }, "note", "at most"},
	} {
		t.Run(name, func(t *testing.T) {
			r := quickRequest()
			c.change(&r)
			_, err := s.Seatrace.CreateRace(t.Context(), r)
			if said := apitest.Complaints(t, err); !strings.Contains(said[c.field], c.says) {
				t.Errorf("said %q, want %q at %s", said, c.says, c.field)
			}
		})
	}
	list, err := s.Seatrace.Races(t.Context(), records.ListRequest{})
	if err != nil || len(list.Races) != 0 {
		t.Errorf("something was written: %v %v", list, err)
	}
}

func TestRacesAreListedLatestFirst(t *testing.T) {
	s := raceService(t)
	for _, day := range []string{"2026-03-01", "2026-05-01", "2026-04-01"} {
		r := quickRequest()
		r.HeldOn = day
		if _, err := s.Seatrace.CreateRace(context.Background(), r); err != nil {
			t.Fatal(err)
		}
	}
	list, err := s.Seatrace.Races(t.Context(), records.ListRequest{})
	if err != nil {
		t.Fatal(err)
	}
	var days []string
	for _, x := range list.Races {
		days = append(days, x.HeldOn)
	}
	apitest.Same(t, "days", days, []string{"2026-05-01", "2026-04-01", "2026-03-01"})
}
