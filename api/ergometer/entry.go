package ergometer

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"thole/api/cells"
	"thole/api/records"
	"thole/api/store"
	"thole/api/wire"
	"thole/selection/erg"
)

// NewErgTest puts an ergometer test of an athlete on record.
type NewErgTest struct {
	AthleteID int64    `path:"id" json:"-" validate:"gte=1"`
	TestedOn  string   `json:"tested_on" validate:"required,day" description:"YYYY-MM-DD."`
	Fixed     string   `json:"fixed" validate:"required,oneof=distance time" say:"Say distance or time: which of the two was set." description:"Which of the two was set."`
	DistanceM *float64 `json:"distance_m" validate:"required,omitempty,gte=50,lte=100000"`
	TimeS     *float64 `json:"time_s" validate:"required,omitempty,gte=5,lte=86400"`
	MassKg    *float64 `json:"mass_kg" validate:"omitempty,gte=20,lte=200" description:"On the day; without it, not taken."`
	Note      string   `json:"note" validate:"omitempty,max=2000"`
	Sure      bool     `json:"sure" description:"The test is right, though it is hard to believe: more power than anyone has rowed, or slower than 5:00 per 500 m."`
	By        string   `json:"by" validate:"filled,max=80" say:"Say who you are: your name stands in the history." description:"Who enters this, for the history."`
}

// ErgTestEntry is a test as just put on record.
type ErgTestEntry struct {
	ID        int64    `json:"id"`
	AthleteID int64    `json:"athlete_id"`
	TestedOn  string   `json:"tested_on" description:"YYYY-MM-DD."`
	Fixed     string   `json:"fixed" enum:"distance,time"`
	DistanceM float64  `json:"distance_m"`
	TimeS     float64  `json:"time_s"`
	MassKg    *float64 `json:"mass_kg"`
	Note      string   `json:"note"`
}

// ErgTestRemoval takes a test off record.
type ErgTestRemoval struct {
	AthleteID int64  `path:"id" json:"-" validate:"gte=1"`
	Test      int64  `path:"test" json:"-" validate:"gte=1"`
	By        string `query:"by" json:"-" required:"true" validate:"max=80" description:"Who takes it off, for the history."`
}

// Bounds of a test, for whoever takes one in: its distance in m, its time in s from a
// handful of strokes to a day, and its day where the athlete's birth date is not known;
// our judgement: beyond them a value is a slip of the pen.
const (
	ShortestDistance = 50
	LongestDistance  = 100_000
	ShortestTest     = 5
	LongestTest      = 86_400
	EarliestTest     = "1950-01-01"
)

// Bounds of an athlete's mass at a test in kg: the least that the model of race power
// knows, and by our judgement the heaviest tested.
const (
	LightestTested = 20
	HeaviestTested = 200
)

// AddErgTest puts one test on record. The same test again changes nothing;
// another result of the same day and distance or time is refused, for one of
// the two must be wrong. The error is an *Invalid or ErrNotFound.
func (s *Service) AddErgTest(ctx context.Context, r NewErgTest) (ErgTestEntry, error) {
	a, err := s.Store.Athlete(ctx, r.AthleteID)
	if err != nil {
		return ErgTestEntry{}, records.RecordError(err)
	}
	if err := s.checkErgTest(&r, wire.Or(a.BirthDate, EarliestTest)); err != nil {
		return ErgTestEntry{}, err
	}
	e := ErgTestEntry{
		AthleteID: a.ID, TestedOn: r.TestedOn, Fixed: r.Fixed, DistanceM: *r.DistanceM, TimeS: wire.ToThousandths(*r.TimeS), MassKg: r.MassKg, Note: strings.TrimSpace(r.Note),
	}
	e.ID, err = s.Store.AddErgTest(ctx, store.ErgTest{
		AthleteID: a.ID, TestedOn: e.TestedOn, Fixed: e.Fixed, DistanceM: e.DistanceM, TimeS: e.TimeS, MassKg: e.MassKg, Note: e.Note,
	}, s.Signed(r.By))
	if errors.Is(err, store.ErrTaken) {
		return ErgTestEntry{}, wire.At("tested_on").Invalid("Another test " + e.piece() + " is on record for this day: remove that one first, if it is wrong.")
	}
	return e, records.RecordError(err)
}

// piece names what was set: over 2000 m, of 30:00.0.
func (e *ErgTestEntry) piece() string {
	if e.Fixed == store.FixedTime {
		return "of " + wire.FormatTime(e.TimeS)
	}
	return "over " + metres(e.DistanceM)
}

func (s *Service) checkErgTest(r *NewErgTest, earliest string) error {
	var p wire.Problems
	p.PastDay(wire.At("tested_on"), r.TestedOn, earliest, s.Today())
	checkTestDistance(&p, r.DistanceM)
	checkTestTime(&p, r.TimeS)
	if len(p.Fields) == 0 && !r.Sure { // a distance or time that cannot be has no pace to doubt
		if d := r.doubt(); d != "" {
			p.Add(wire.At("time_s").Problem(wire.Sentence(d) + " If it is right, say so with sure."))
		}
	}
	p.Check(wire.At(), r)
	p.Printable(wire.At("note"), r.Note, "\n\t\r")
	p.Author(r.By)
	return p.OrNil()
}

// doubt is what is hard to believe about a test of possible values.
func (r *NewErgTest) doubt() string {
	if wire.Or(r.DistanceM, 0) <= 0 || wire.Or(r.TimeS, 0) <= 0 || *r.TimeS > LongestTest {
		return ""
	}
	return erg.Effort{Distance: *r.DistanceM, Time: *r.TimeS}.Doubt()
}

func checkTestDistance(p *wire.Problems, m *float64) {
	switch {
	case m == nil:
		p.Add(wire.At("distance_m").Problem("Say how far it was."))
	case *m >= ShortestDistance && *m <= LongestDistance:
	case 1000**m >= 500 && 1000**m <= LongestDistance:
		p.Add(wire.At("distance_m").Problem(fmt.Sprintf("%g m cannot be right. It looks like kilometres: %g m?", *m, 1000**m)))
	default:
		p.Add(wire.At("distance_m").Problem(fmt.Sprintf("%g m cannot be right: the plausible range is %d to %d m.", *m, ShortestDistance, LongestDistance)))
	}
}

func checkTestTime(p *wire.Problems, s *float64) {
	switch {
	case s == nil:
		p.Add(wire.At("time_s").Problem("Say how long it took."))
	case !(*s >= ShortestTest && *s <= LongestTest):
		p.Add(wire.At("time_s").Problem(fmt.Sprintf("%g s cannot be right: a test takes %d to %d s.", *s, ShortestTest, LongestTest)))
	}
}

// RemoveErgTest takes a test off record; what it was stays in the athlete's
// history. The error is an *Invalid or ErrNotFound.
func (s *Service) RemoveErgTest(ctx context.Context, r ErgTestRemoval) (records.Removed, error) {
	var p wire.Problems
	p.Author(r.By)
	if err := p.OrNil(); err != nil {
		return records.Removed{}, err
	}
	return records.Gone(r.Test, s.Store.RemoveErgTest(ctx, r.AthleteID, r.Test, s.Signed(r.By)))
}

// ReadTestTime reads the time of a test as people type it, such as 6:32.4, in
// s. A doubt asks whether it is right as it stands, over a distance in m that
// is 0 where it is not known; a complaint says that it cannot be used.
func ReadTestTime(text string, distance float64) (seconds float64, doubt, complaint string) {
	reading, err := erg.ParseTime(text)
	seconds = wire.ToThousandths(reading.Seconds)
	switch {
	case err != nil:
		return 0, "", cells.Quoted(text) + " is no time: write it like 6:32.4."
	case seconds < ShortestTest || seconds > LongestTest:
		return 0, "", fmt.Sprintf("%s is no time of a test: write it like 6:32.4.", wire.FormatTime(seconds))
	case distance >= ShortestDistance && distance <= LongestDistance:
		doubt = reading.Doubt(distance)
	}
	return seconds, doubt, ""
}
