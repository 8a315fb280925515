package evidence

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"thole/api/directory"
	"thole/api/records"
	"thole/api/store"
	"thole/api/wire"
	"thole/selection"
	"thole/selection/evidence"
)

// Request asks what is known of the squad's power on the water.
type Request struct {
	SquadID int64 `query:"squad_id" json:"-" validate:"omitempty,gte=1" description:"Only athletes of this squad. The evidence of everybody is joined all the same."`
}

// Squad is what is known of a squad's power on the water, as of today.
type Squad struct {
	AsOf     string            `json:"as_of" description:"Today, YYYY-MM-DD."`
	Athletes []Athlete         `json:"athletes" description:"By joined power, strongest first; those without any evidence last."`
	Notes    []string          `json:"notes" description:"What was not used, and why."`
	Grounds  []string          `json:"grounds" description:"How each source is counted, and what is held to be independent."`
	Figures  []AssumedConstant `json:"figures" description:"The figures that the joining rests on."`
}

// Athlete is one line: what each source says of the athlete, and all together.
type Athlete struct {
	AthleteID int64       `json:"athlete_id"`
	Name      string      `json:"name"`
	Label     string      `json:"label" description:"The name in short; no other athlete has it."`
	Ergometer *Figure     `json:"ergometer,omitempty" description:"From ergometer tests, with what the ergometer leaves open about the water. Left out without a usable test."`
	Racing    *Difference `json:"racing,omitempty" description:"From seat races by themselves. Left out for who was compared with nobody."`
	Strokes   *Difference `json:"strokes,omitempty" description:"From the newest recording of a crew. Left out without one."`
	Coach     *Said       `json:"coach,omitempty" description:"The newest opinion; left out without one."`
	Joined    *Joined     `json:"joined,omitempty" description:"Left out where nothing is known."`
	Moved     []Moved     `json:"moved" description:"What each source changed: the joined figure against that of all other sources. A source without which nothing gives the athlete a power is left out."`
	OverNext  *OverNext   `json:"over_next,omitempty" description:"Against the next in the list; left out for the last with a figure."`
	Words     string      `json:"words" description:"The line in a sentence."`

	place int
}

// OverNext compares an athlete with the next in the list.
type OverNext struct {
	Chance    float64 `json:"chance" description:"That the athlete moves more power than the next, 0 to 1."`
	Certainty string  `json:"certainty" enum:"open,likely,firm" description:"open under 75 %, likely from there, firm over 90 %."`
}

// Said is the newest opinion of a coach as it counts today.
type Said struct {
	PowerW float64 `json:"power_w" description:"Over 2000 m on the water."`
	SdW    float64 `json:"sd_w" description:"Standard deviation as it counts today: it grows as the opinion ages."`
	GivenW float64 `json:"given_sd_w" description:"Standard deviation as it was given."`
	SaidOn string  `json:"said_on" description:"YYYY-MM-DD."`
	SaidBy string  `json:"said_by"`
	Note   string  `json:"note"`
	ID     int64   `json:"id" description:"Of the opinion."`
}

// Figure is a power with its standard deviation.
type Figure struct {
	PowerW float64 `json:"power_w" description:"Over 2000 m on the water."`
	SdW    float64 `json:"sd_w"`
	Count  int     `json:"count" description:"Tests that it rests on."`
}

// Difference is a power against the mean of those whom a source compares.
type Difference struct {
	DifferenceW float64 `json:"difference_w" description:"More than the mean of those compared, this athlete included."`
	SdW         float64 `json:"sd_w"`
	Count       int     `json:"count" description:"Seat races, or recordings, that it rests on."`
	Among       int     `json:"among" description:"Athletes compared, this one included."`
}

// Joined is the power by all sources together.
type Joined struct {
	PowerW  float64 `json:"power_w" description:"Median."`
	SdW     float64 `json:"sd_w"`
	LowW    float64 `json:"low_w" description:"Lower end of the 90 % interval."`
	HighW   float64 `json:"high_w" description:"Upper end of the 90 % interval."`
	StandIn bool    `json:"stand_in" description:"No source gives the athlete a power: the mean of the squad stands in, with a wide uncertainty, and differences move it."`
}

// Moved is what one source changed.
type Moved struct {
	Source   string  `json:"source" enum:"ergometer,racing,strokes,coach"`
	ByW      float64 `json:"by_w" description:"The joined power less that without the source."`
	WithoutW float64 `json:"without_w" description:"The power without the source."`
	SdW      float64 `json:"sd_w" description:"The standard deviation without the source."`
}

// AssumedConstant is a figure that the joining rests on.
type AssumedConstant struct {
	Name   string  `json:"name"`
	Value  float64 `json:"value" description:"In the unit given with it."`
	Unit   string  `json:"unit" description:"Empty for a bare number."`
	Source string  `json:"source"`
}

// Squad joins all evidence on record as of today. The error is ErrNotFound for
// a squad that is not on record.
func (s *Service) Squad(ctx context.Context, r Request) (Squad, error) {
	p, err := s.Powers(ctx, s.Today())
	if err != nil {
		return Squad{}, err
	}
	listed, err := s.listed(ctx, r.SquadID)
	if err != nil {
		return Squad{}, err
	}
	c, err := p.lines(s.Today())
	if err != nil {
		return Squad{}, err
	}
	a := Squad{AsOf: s.Today(), Athletes: []Athlete{}, Notes: p.Notes, Grounds: grounds(), Figures: constants()}
	for _, name := range directory.Of(p.athletes) {
		if listed(&p.athletes[p.at[name.ID]]) {
			a.Athletes = append(a.Athletes, c.line(p.at[name.ID], &name))
		}
	}
	slices.SortStableFunc(a.Athletes, func(x, y Athlete) int {
		return cmp.Or(cmp.Compare(y.power(), x.power()), cmp.Compare(x.Name, y.Name))
	})
	for i := range a.Athletes {
		if i+1 < len(a.Athletes) && a.Athletes[i+1].Joined != nil {
			a.Athletes[i].OverNext = p.over(a.Athletes[i].place, a.Athletes[i+1].place)
		}
	}
	return a, nil
}

// over compares two athletes by ln power, as jointly normal.
func (p *Powers) over(i, k int) *OverNext {
	j := p.joined
	variance := j.Cov(i, i) + j.Cov(k, k) - 2*j.Cov(i, k)
	chance := distuv.UnitNormal.CDF((j.Mean[i] - j.Mean[k]) / math.Sqrt(variance))
	return &OverNext{wire.Round(chance, 1e3), string(selection.CertaintyOf(chance))}
}

func (a *Athlete) power() float64 {
	if a.Joined == nil {
		return 0
	}
	return a.Joined.PowerW
}

// listed reports who is in a squad, or in the club for squad 0.
func (s *Service) listed(ctx context.Context, squad int64) (func(*store.Athlete) bool, error) {
	rows := func(a *store.Athlete) bool { return !a.Archived && !a.Guest }
	if squad == 0 {
		return rows, nil
	}
	q, err := s.Store.Squad(ctx, squad)
	if err != nil {
		return nil, records.RecordError(err)
	}
	return func(a *store.Athlete) bool { return rows(a) && slices.Contains(q.Athletes, a.ID) }, nil
}

// lines is all that is needed to tell what each source says.
type lines struct {
	*Powers
	day             string
	racing, strokes []evidence.Difference
	without         map[evidence.Source]*evidence.Joined
}

func (p *Powers) lines(day string) (c *lines, err error) {
	c = &lines{Powers: p, day: day, without: map[evidence.Source]*evidence.Joined{}}
	n := len(p.athletes)
	if c.racing, err = evidence.Differences(n, evidence.Only(p.blocks, evidence.Racing)); err != nil {
		return nil, err
	}
	if c.strokes, err = evidence.Differences(n, evidence.Only(p.blocks, evidence.Strokes)); err != nil {
		return nil, err
	}
	for _, source := range evidence.Sources() {
		rest := evidence.Without(p.blocks, source)
		if len(rest) == len(p.blocks) {
			continue // the source says nothing
		}
		if j, err := evidence.Join(n, rest); err == nil {
			c.without[source] = j
		}
	}
	return c, nil
}

// line tells everything of one athlete.
func (c *lines) line(i int, name *directory.Athlete) Athlete {
	a := Athlete{AthleteID: name.ID, Name: name.Whole, Label: name.Label, Moved: []Moved{}, place: i}
	if r, ok := c.Ergometer.Of(name.ID); ok {
		a.Ergometer = &Figure{wire.ToWatts(r.Water.Power), wire.ToWatts(r.Water.SD), r.Tests}
	}
	if o := c.opinions[name.ID]; o != nil {
		a.Coach = &Said{o.PowerW, wire.ToWatts(o.PowerW * opinionSD(o, c.day)), o.SDW, o.SaidOn, o.SaidBy, o.Note, o.ID}
	}
	if power, ok := c.Of(name.ID); ok {
		a.Joined = &Joined{wire.ToWatts(power.W), wire.ToWatts(power.SD), wire.ToWatts(power.Low), wire.ToWatts(power.High), power.StandIn}
		a.Racing = c.difference(i, evidence.Racing, c.racing, power.W)
		a.Strokes = c.difference(i, evidence.Strokes, c.strokes, power.W)
		a.Moved = c.moved(i, power)
	}
	a.Words = a.words()
	return a
}

func (c *lines) difference(i int, source evidence.Source, all []evidence.Difference, power float64) *Difference {
	d := all[i]
	if !d.Told {
		return nil
	}
	return &Difference{DifferenceW: wire.ToWatts(power * d.Value), SdW: wire.ToWatts(power * d.SD), Count: c.told[i][source], Among: d.Among}
}

// leastMove is the change in W from which a source is reported to have moved a figure,
// or its standard deviation: half of the last digit that is shown, so that less shows
// no difference.
const leastMove = 0.05

func (c *lines) moved(i int, power Power) []Moved {
	list := []Moved{}
	for _, source := range evidence.Sources() {
		j := c.without[source]
		if j == nil || j.StandIn[i] && !power.StandIn {
			continue // all that gives the athlete a power: nothing is left to move
		}
		rest := powerBy(j, i)
		if math.Abs(power.W-rest.W) >= leastMove || math.Abs(power.SD-rest.SD) >= leastMove {
			list = append(list, Moved{string(source), wire.ToWatts(power.W - rest.W), wire.ToWatts(rest.W), wire.ToWatts(rest.SD)})
		}
	}
	return list
}

// sourceWords calls the sources in sentences.
var sourceWords = map[string]string{"ergometer": "the ergometer", "racing": "racing", "strokes": "the recordings", "coach": "the coach’s opinion"}

// words puts the line into a sentence or two.
func (a *Athlete) words() string {
	if a.Joined == nil {
		return "Nothing is known of the power on the water: no test, no race, no recording of a crew, no opinion."
	}
	total := fmt.Sprintf("%.0f ± %.0f W on the water.", a.Joined.PowerW, a.Joined.SdW)
	var said []string
	for _, m := range a.Moved {
		if math.Abs(m.ByW) >= 0.5 {
			said = append(said, fmt.Sprintf("%s moves it by %s W", sourceWords[m.Source], signed(m.ByW)))
		}
	}
	if len(said) > 0 {
		total += " " + wire.Sentence(strings.Join(said, ", "))
	}
	if a.Joined.StandIn {
		total += " There is no test and no opinion: the mean of the squad stands in where racing and recordings say nothing."
	}
	return total
}

// signed writes whole watts with their sign.
func signed(w float64) string {
	if w < 0 {
		return fmt.Sprintf("−%.0f", -w)
	}
	return fmt.Sprintf("+%.0f", w)
}
