package evidence

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"thole/api/ergometer"
	"thole/api/store"
)

// simulated is a race of four scullers in two doubles, with what they are.
type simulated struct {
	race  store.SeatRace
	all   []store.Athlete
	truth []float64 // ln W
}

// simulate races pieces in which everybody rows with everybody, with the
// documented noise of .9 % (Smith and Hopkins 2011) and 3 % of weather that both
// boats share.
func simulate(random *rand.Rand, pieces int) simulated {
	s := simulated{race: store.SeatRace{ID: 1, Name: "Spring", HeldOn: "2026-05-01", DistanceM: 1000, ClassCode: "2x"}}
	for id := int64(1); id <= 4; id++ {
		s.truth = append(s.truth, math.Log(300)+0.06*random.NormFloat64())
		s.all = append(s.all, store.Athlete{ID: id, Name: fmt.Sprint("Sculler ", id)})
		s.race.Athletes = append(s.race.Athletes, store.SeatRaceAthlete{AthleteID: id})
	}
	crews := [][2][]int64{{{1, 2}, {3, 4}}, {{1, 3}, {2, 4}}, {{1, 4}, {2, 3}}}
	for number := 1; number <= pieces; number++ {
		p := store.Piece{Number: number, State: store.Raced}
		weather := 0.03 * random.NormFloat64()
		for _, crew := range crews[number%3] {
			power := math.Exp(s.truth[crew[0]-1]) + math.Exp(s.truth[crew[1]-1])
			time := 215 * math.Pow(power/600, -1.0/3) * math.Exp(weather+0.009*random.NormFloat64())
			p.Boats = append(p.Boats, store.PieceBoat{Crew: crew, TimeS: &time})
		}
		s.race.Pieces = append(s.race.Pieces, p)
	}
	return s
}

// TestWhatRacingShowsHolds: of 1,500 races of three to eight pieces, the 95 %
// intervals of every athlete against the mean hold between 93 and 97 %, at one
// degree of freedom as at five.
func TestWhatRacingShowsHolds(t *testing.T) {
	random := rand.New(rand.NewPCG(15, 6))
	for _, pieces := range []int{3, 4, 6, 8} {
		inside, told := 0, 0
		for range 1500 {
			s := simulate(random, pieces)
			list, err := shownBy(&s.race, s.all, &ergometer.RacePowers{})
			if err != nil || len(list) != 1 || len(list[0].athletes) != 4 {
				t.Fatalf("%v %+v", err, list)
			}
			for k, id := range list[0].athletes {
				told++
				if math.Abs(list[0].logPower[k]-s.aboutMean(id)) <= normal95*math.Sqrt(list[0].cov.At(k, k)) {
					inside++
				}
			}
		}
		share := float64(inside) / float64(told)
		t.Logf("%d pieces: %.3f", pieces, share)
		if share < 0.93 || share > 0.97 {
			t.Errorf("%d pieces: %.3f of the intervals hold", pieces, share)
		}
	}
}

// aboutMean is an athlete's ln power against the mean of all.
func (s *simulated) aboutMean(id int64) float64 {
	mean := 0.0
	for _, b := range s.truth {
		mean += b / float64(len(s.truth))
	}
	return s.truth[id-1] - mean
}

// TestWhatARaceCannotShow: nothing before the first piece, and a word where
// something is wrong.
func TestWhatARaceCannotShow(t *testing.T) {
	s := simulate(rand.New(rand.NewPCG(1, 1)), 3)
	planned := s.race
	planned.Pieces = []store.Piece{{Number: 1, State: store.Planned, Boats: s.race.Pieces[0].Boats}}
	if list, err := shownBy(&planned, s.all, &ergometer.RacePowers{}); list != nil || err != nil {
		t.Errorf("%+v %v", list, err)
	}
	odd := s.race
	odd.Terms = new(`{"boats":"two"}`)
	if list, err := shownBy(&odd, s.all, &ergometer.RacePowers{}); list != nil || err == nil {
		t.Errorf("%+v %v", list, err)
	}
	// Two crews that never changed: no two athletes can be told apart.
	same := s.race
	same.Pieces = []store.Piece{s.race.Pieces[0], s.race.Pieces[0]}
	same.Pieces[1].Number = 2
	if list, err := shownBy(&same, s.all, &ergometer.RacePowers{}); len(list) != 0 || err != nil {
		t.Errorf("%+v %v", list, err)
	}
}

// TestTheLevelOfARaceIsTheMeanOfThoseTested, in W on the ergometer: that of the terms where
// nobody was; and of everybody those take part who are on its list.
func TestTheLevelOfARaceIsTheMeanOfThoseTested(t *testing.T) {
	race := &store.SeatRace{Athletes: []store.SeatRaceAthlete{{AthleteID: 2}, {AthleteID: 3}}}
	if got := levelBy(race, new(ergometer.RacePowers), 280); got != 280 {
		t.Errorf("nobody tested: %g W", got)
	}
	var ids []int64
	for _, a := range racing(race, []store.Athlete{{ID: 1}, {ID: 2}, {ID: 3}, {ID: 4}}) {
		ids = append(ids, a.ID)
	}
	if fmt.Sprint(ids) != "[2 3]" {
		t.Errorf("take part: %v", ids)
	}
}
