package evidence

import (
	"context"
	"errors"
	"math"
	"time"

	"gonum.org/v1/gonum/mat"

	"thole/api/ergometer"
	"thole/api/records"
	"thole/api/store"
	"thole/api/wire"
	"thole/selection/erg"
	"thole/selection/evidence"
)

// What a recording of a crew tells of its rowers' powers. All rates and bounds
// are engineering judgement.
const (
	// recordedSD is the standard deviation of ln power of one rower against the
	// crew's mean, of what a recording shows about a race: effort is not alike in
	// training, and gates differ by a few per cent.
	recordedSD = 0.08
	// lowestRate is the rate a minute below which a recording says nothing of
	// racing.
	lowestRate = 26
	// oldestRecording is after how many days a recording says nothing.
	oldestRecording = 183
)

// Powers is what all evidence says of everybody's power on the water on one
// day. Whoever seats athletes by all evidence asks here.
type Powers struct {
	Ergometer *ergometer.RacePowers
	Notes     []string

	athletes []store.Athlete
	at       map[int64]int // place of an athlete by id
	blocks   []evidence.Block
	told     []map[evidence.Source]int // by athlete: how many figures of a source
	joined   *evidence.Joined          // nil where nothing gives a power
	opinions map[int64]*store.Opinion  // the newest
}

// Power is the joined power of one athlete.
type Power struct {
	W, SD     float64 // the median, and the standard deviation
	Low, High float64 // W, ends of the 90 % interval
	// StandIn says that no source gives a power, only differences, or a
	// difference from nobody whose power is known.
	StandIn bool
	// Alone names the one source that the power rests on; "" for several.
	Alone evidence.Source
}

// Powers joins all evidence up to a day.
func (s *Service) Powers(ctx context.Context, day string) (*Powers, error) {
	p := &Powers{at: map[int64]int{}, opinions: map[int64]*store.Opinion{}, Notes: []string{}}
	var err error
	if p.athletes, err = s.Store.Athletes(ctx, store.Filter{Archived: true}); err != nil {
		return nil, records.RecordError(err)
	}
	p.told = make([]map[evidence.Source]int, len(p.athletes))
	for i := range p.athletes {
		p.at[p.athletes[i].ID], p.told[i] = i, map[evidence.Source]int{}
	}
	if p.Ergometer, err = s.ergometer.RacePowers(ctx, day); err != nil {
		return nil, err
	}
	p.addTests()
	for _, add := range []func(context.Context, *Powers, string) error{s.addRaces, s.addRecordings, s.addOpinions} {
		if err := add(ctx, p, day); err != nil {
			return nil, err
		}
	}
	p.joined, err = evidence.Join(len(p.athletes), p.blocks)
	if errors.Is(err, evidence.ErrNoLevel) {
		return p, nil
	}
	return p, err
}

// add takes in a block about athletes by their places, unless it cannot be
// used.
func (p *Powers) add(b evidence.Block) {
	p.blocks = append(p.blocks, b)
	for _, i := range b.Athletes {
		p.told[i][b.Source]++
	}
}

func (p *Powers) addTests() {
	for i := range p.athletes {
		if r, ok := p.Ergometer.Of(p.athletes[i].ID); ok {
			p.add(single(evidence.Ergometer, i, math.Log(r.Water.Power), r.Water.LogSD))
		}
	}
}

// single is a block that gives one athlete a power.
func single(source evidence.Source, athlete int, mean, sd float64) evidence.Block {
	return evidence.Block{Source: source, Athletes: []int{athlete}, Mean: []float64{mean}, Cov: mat.NewSymDense(1, []float64{sd * sd}), Level: true}
}

// crewDay is a crew: everybody recorded in a boat on a day.
type crewDay struct {
	boat int64
	day  string
}

// addRecordings takes in the newest recording of everybody, as differences
// within crews: the gauges and the effort of the day are shared.
func (s *Service) addRecordings(ctx context.Context, p *Powers, day string) error {
	recorded, err := s.Store.RecordedPowers(ctx)
	if err != nil {
		return records.RecordError(err)
	}
	crews, order := map[crewDay][]store.RecordedPower{}, []crewDay(nil)
	for _, r := range recorded {
		at := crewDay{r.BoatID, r.RecordedOn}
		if r.RecordedOn > day || daysBetween(r.RecordedOn, day) > oldestRecording || r.RatePerMin < lowestRate || !(r.PowerW > 0) {
			continue
		}
		if crews[at] == nil {
			order = append(order, at)
		}
		crews[at] = append(crews[at], r)
	}
	for _, at := range order {
		if len(crews[at]) > 1 {
			p.addCrew(crews[at], recordedSD*recordedSD+erg.DefaultModel().Drift(daysBetween(at.day, day)))
		}
	}
	return nil
}

func (p *Powers) addCrew(crew []store.RecordedPower, variance float64) {
	b := evidence.Block{Source: evidence.Strokes}
	cov := mat.NewSymDense(len(crew), nil)
	for k, r := range crew {
		b.Athletes, b.Mean = append(b.Athletes, p.at[r.AthleteID]), append(b.Mean, math.Log(r.PowerW))
		cov.SetSym(k, k, variance)
	}
	b.Cov = cov
	p.add(b)
}

// addOpinions takes in the newest opinion of everybody.
func (s *Service) addOpinions(ctx context.Context, p *Powers, day string) error {
	all, err := s.Store.Opinions(ctx)
	if err != nil {
		return records.RecordError(err)
	}
	for i := range all {
		o := &all[i]
		if p.opinions[o.AthleteID] != nil || o.SaidOn > day {
			continue
		}
		p.opinions[o.AthleteID] = o
		p.add(single(evidence.Coach, p.at[o.AthleteID], math.Log(o.PowerW), opinionSD(o, day)))
	}
	return nil
}

// opinionSD is the standard deviation of ln power by an opinion on a day:
// fitness has wandered since.
func opinionSD(o *store.Opinion, day string) float64 {
	return math.Sqrt(math.Pow(o.SDW/o.PowerW, 2) + erg.DefaultModel().Drift(daysBetween(o.SaidOn, day)))
}

// Of returns the joined power of an athlete; false where nothing is known.
func (p *Powers) Of(athlete int64) (Power, bool) {
	i, known := p.at[athlete]
	if !known || p.joined == nil || len(p.told[i]) == 0 {
		return Power{}, false
	}
	power := powerBy(p.joined, i)
	power.Alone = p.alone(i)
	return power, true
}

// alone is the one source that an athlete's power rests on: of one block that
// no other athlete shares.
func (p *Powers) alone(i int) evidence.Source {
	if len(p.told[i]) != 1 || p.joined.StandIn[i] {
		return ""
	}
	for source := range p.told[i] {
		return source
	}
	return ""
}

// powerBy turns ln power into W.
func powerBy(j *evidence.Joined, i int) Power {
	w, half := math.Exp(j.Mean[i]), NinetyPercent*j.SD[i]
	return Power{W: w, SD: w * j.SD[i], Low: w * math.Exp(-half), High: w * math.Exp(half), StandIn: j.StandIn[i]}
}

// NinetyPercent is how many SDs about the mean hold 90 % of a normal distribution:
// its 95 % quantile, exact to the digits given.
const NinetyPercent = 1.6449

// Covariance returns the covariance of two athletes' powers, W².
func (p *Powers) Covariance(first, second int64) float64 {
	i, j := p.at[first], p.at[second]
	if p.joined == nil {
		return 0
	}
	return math.Exp(p.joined.Mean[i]+p.joined.Mean[j]) * p.joined.Cov(i, j)
}

// daysBetween counts the days from one to a later one, 0 for texts that are
// none.
func daysBetween(from, to string) int {
	a, err1 := time.Parse(wire.DayLayout, from)
	b, err2 := time.Parse(wire.DayLayout, to)
	if err1 != nil || err2 != nil || b.Before(a) {
		return 0
	}
	return int(b.Sub(a).Hours() / 24)
}
