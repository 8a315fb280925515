package ergometer

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"thole/api/club"
	"thole/api/records"
	"thole/api/seat"
	"thole/api/store"
	"thole/api/wire"
	"thole/rigging"
	"thole/selection/erg"
)

// Ergometer is what an athlete's ergometer tests tell, as of today.
type Ergometer struct {
	AthleteID       int64                 `json:"athlete_id"`
	Name            string                `json:"name"`
	AsOf            string                `json:"as_of" description:"Today, YYYY-MM-DD."`
	MassKg          *float64              `json:"mass_kg" description:"The newest on record."`
	MassMeasuredOn  *string               `json:"mass_measured_on" description:"YYYY-MM-DD."`
	Tests           []ErgometerTest       `json:"tests" description:"Newest first, with those not used."`
	RacePower       *ErgometerPower       `json:"race_power,omitempty" description:"Left out without a test that can be used."`
	Adjusted        *AdjustedTime         `json:"adjusted,omitempty" description:"Left out without race power or mass."`
	CriticalPower   *CriticalPower        `json:"critical_power,omitempty" description:"Left out where it cannot be fitted."`
	NoCriticalPower string                `json:"no_critical_power,omitempty" description:"Why critical power cannot be fitted."`
	CriticalFromS   float64               `json:"critical_from_s" description:"Least duration that critical power is meant for (common practice)."`
	CriticalToS     float64               `json:"critical_to_s" description:"Longest duration that critical power is meant for (common practice)."`
	Predictions     []ErgometerPrediction `json:"predictions" description:"By distance, by each rule that has something to go by; critical power only from 2 to 15 minutes, and from tests of that length."`
	Agreements      []ErgometerAgreement  `json:"agreements" description:"What has been published about ergometer against water: rank in bands, and never let the ergometer decide between near neighbours."`
	Constants       []ErgometerConstant   `json:"constants" description:"The figures that all this rests on."`
	Cautions        []seat.Caution        `json:"cautions"`
	Notes           []string              `json:"notes" description:"Tests not used and why, and what is missing."`
}

// ErgometerTest is one test with what it tells.
type ErgometerTest struct {
	ID        int64    `json:"id"`
	TestedOn  string   `json:"tested_on" description:"YYYY-MM-DD."`
	Fixed     string   `json:"fixed" enum:"distance,time" description:"Which of the two was set."`
	DistanceM float64  `json:"distance_m"`
	TimeS     float64  `json:"time_s"`
	MassKg    *float64 `json:"mass_kg" description:"On the day."`
	Note      string   `json:"note"`
	PowerW    *float64 `json:"power_w" description:"That belongs to the mean pace: 2.80 / (s/m)³; null for a test whose values are impossible."`
	Pace500mS *float64 `json:"pace_500m_s" description:"Mean pace in s per 500 m; null for a test whose values are impossible."`
	ExpectedW *float64 `json:"expected_w" description:"What the athlete's other tests let expect at this distance, day and mass; null where there are none."`
	Weight    *float64 `json:"weight" description:"Share in the race power. The weights sum to 1; one below 0 serves to correct others. Null for a test not used."`
	Critical  string   `json:"critical_power" enum:"used,outside,not_used" description:"Whether critical power is fitted to it. outside: it is shorter or longer than the model is meant for, and was taken only where the warning says so."`
	Doubt     string   `json:"doubt,omitempty" description:"Why to check it; it was used all the same."`
	LeftOut   string   `json:"left_out,omitempty" description:"Why it was not used."`
}

// ErgometerPower is race power over 2000 m today.
type ErgometerPower struct {
	PowerW    float64  `json:"power_w" description:"Median."`
	SdW       float64  `json:"sd_w" description:"Standard deviation on the ergometer."`
	LowW      float64  `json:"low_w" description:"Lower end of the 90 % interval on the ergometer."`
	HighW     float64  `json:"high_w" description:"Upper end of the 90 % interval on the ergometer."`
	WaterSdW  float64  `json:"water_sd_w" description:"Standard deviation with what the water leaves open on top, as line-ups count with."`
	TimeS     float64  `json:"time_s" description:"Over 2000 m on the ergometer at power_w."`
	FastS     float64  `json:"fast_s" description:"The same at high_w."`
	SlowS     float64  `json:"slow_s" description:"The same at low_w."`
	Pace500mS float64  `json:"pace_500m_s" description:"In s per 500 m at power_w."`
	WPerKg    *float64 `json:"w_per_kg" description:"W/kg, by the newest mass; null without one."`
	Tests     int      `json:"tests" description:"That it rests on."`
}

// AdjustedTime is the time over 2000 m adjusted to body mass.
type AdjustedTime struct {
	MassKg         float64 `json:"mass_kg" description:"That was reckoned with."`
	TimeS          float64 `json:"time_s" description:"Over 2000 m at race power."`
	AdjustedTimeS  float64 `json:"adjusted_time_s" description:"time × (mass / 270 lb)^0.222, as the manufacturers publish it, for comparing athletes of different mass."`
	AdjustedPowerW float64 `json:"adjusted_power_w" description:"That rows the adjusted time."`
	SingleIndex    float64 `json:"single_index" description:"Proportional to the speed of junior men in singles, (speed × mass^−0.23)^1.87 (Nevill et al. 2010); 100 is 7:00.0 at 70 kg. Only the ratio of two athletes has a meaning."`
}

// CriticalPower is the line P = CP + W′/t through the tests of the last half
// year that took 2 to 15 minutes, or through all where those are too few.
type CriticalPower struct {
	CpW         float64  `json:"cp_w" description:"Critical power CP."`
	CpSdW       *float64 `json:"cp_sd_w" description:"Standard error; null for two tests, which any such line fits."`
	WPrimeJ     float64  `json:"w_prime_j" description:"W′ in J, the work that can be done above CP."`
	WPrimeSdJ   *float64 `json:"w_prime_sd_j" description:"Standard error in J; null for two tests."`
	ResidualSdW *float64 `json:"residual_sd_w" description:"Scatter of the tests about the line; null for two tests."`
	Tests       int      `json:"tests" description:"That it is fitted to."`
	Warning     string   `json:"warning,omitempty" description:"Which tests are shorter or longer than the model is meant for and were taken for want of others: CP and W′ are rough then, and predict nothing."`
}

// ErgometerPrediction is what a rule predicts for a distance.
type ErgometerPrediction struct {
	DistanceM float64 `json:"distance_m"`
	Rule      string  `json:"rule" enum:"critical_power,doubling" description:"critical_power: from CP and W′. doubling: from race power, with 5 s per 500 m more for each doubling of the distance (common practice; it fits neither sprinters nor stayers)."`
	TimeS     float64 `json:"time_s"`
	SdS       float64 `json:"sd_s" description:"Standard deviation of one test to come about time_s, in s: what the tests leave open, how far athletes part from the rule, and the scatter of a test."`
	LowS      float64 `json:"low_s" description:"Lower end of the 90 % interval of one test to come, in s."`
	HighS     float64 `json:"high_s" description:"Upper end of the same interval."`
	Pace500mS float64 `json:"pace_500m_s" description:"In s per 500 m at time_s."`
	PowerW    float64 `json:"power_w" description:"At time_s."`
}

// ErgometerAgreement is a published measure of how ergometer and water agree.
type ErgometerAgreement struct {
	Crews   string  `json:"crews"`
	Measure string  `json:"measure" enum:"r,R²"`
	Low     float64 `json:"low" description:"Lower end of what was reported, as the measure."`
	High    float64 `json:"high" description:"Upper end of what was reported, as the measure."`
	Source  string  `json:"source"`
}

// ErgometerConstant is a figure that results rest on.
type ErgometerConstant struct {
	Name   string  `json:"name"`
	Value  float64 `json:"value" description:"In the unit given with it."`
	Unit   string  `json:"unit" description:"Empty for a bare number."`
	Source string  `json:"source"`
}

// Rules of prediction on the wire.
const (
	ruleCritical = "critical_power"
	ruleDoubling = "doubling"
)

// Whether critical power is fitted to a test, on the wire.
const (
	criticalUsed    = "used"
	criticalOutside = "outside"
	criticalNot     = "not_used"
)

// criticalWindow is how many days before the newest a test may lie that
// critical power is fitted to: within half a year fitness wanders less than the
// durations part the powers (engineering judgement).
const criticalWindow = 183

// predicted lists the distances in m that results are predicted for: those that clubs
// test over (common practice).
var predicted = [...]float64{500, 1000, 2000, 5000, 6000}

// Ergometer reports what an athlete's tests say today. An athlete without tests
// has none, which is no error; one who is not on record is ErrNotFound.
func (s *Service) Ergometer(ctx context.Context, r records.IDRequest) (Ergometer, error) {
	a, err := s.Store.Athlete(ctx, r.ID)
	if err != nil {
		return Ergometer{}, records.RecordError(err)
	}
	tests, err := s.Store.ErgTestsOf(ctx, r.ID)
	if err != nil {
		return Ergometer{}, records.RecordError(err)
	}
	latest, err := s.Store.LatestMeasures(ctx, r.ID, s.Today())
	if err != nil {
		return Ergometer{}, records.RecordError(err)
	}
	powers := RacePowers{day: s.Today(), tests: map[int64][]*store.ErgTest{}, Masses: map[int64]float64{r.ID: wire.Or(latest.MassKg, 0)}}
	for i := range tests {
		powers.tests[r.ID] = append(powers.tests[r.ID], &tests[i])
	}
	e := ergometerCase{out: &Ergometer{
		AthleteID: a.ID, Name: a.Name, AsOf: s.Today(), MassKg: latest.MassKg, MassMeasuredOn: club.TextOrNil(latest.MeasuredOn["mass_kg"]),
		CriticalFromS: erg.MinCriticalTime, CriticalToS: erg.MaxCriticalTime,
		Tests: []ErgometerTest{}, Predictions: []ErgometerPrediction{}, Cautions: []seat.Caution{}, Notes: []string{},
	}}
	e.power, e.known = powers.Of(r.ID)
	e.fill(tests)
	return *e.out, nil
}

// ergometerCase is one athlete's answer in the making.
type ergometerCase struct {
	out   *Ergometer
	power racePower
	known bool // there is a race power
}

func (e *ergometerCase) fill(tests []store.ErgTest) {
	at := map[int64]int{}
	for i := range tests {
		at[tests[i].ID] = i
		e.out.Tests = append(e.out.Tests, wireTest(&tests[i]))
	}
	e.judgeTests(at)
	e.furthest()
	e.racePower()
	e.critical(at)
	e.doubling()
	e.note()
	for _, a := range erg.Agreements() {
		e.out.Agreements = append(e.out.Agreements, ErgometerAgreement(a))
	}
	for _, c := range erg.Constants() {
		e.out.Constants = append(e.out.Constants, ErgometerConstant(c))
	}
}

// wireTest describes a test by itself.
func wireTest(t *store.ErgTest) ErgometerTest {
	w := ErgometerTest{
		ID: t.ID, TestedOn: t.TestedOn, Fixed: t.Fixed, DistanceM: t.DistanceM, TimeS: t.TimeS, MassKg: t.MassKg, Note: t.Note, Critical: criticalNot,
	}
	if test := ergTest(t); test.Check() == nil {
		w.PowerW, w.Pace500mS = wire.Ptr(wire.ToWatts(test.Power())), wire.Ptr(wire.ToThousandths(500*test.Pace()))
	}
	return w
}

// judgeTests says of each test what the others say; at is where a test stands
// in the answer, by its id.
func (e *ergometerCase) judgeTests(at map[int64]int) {
	for _, l := range e.power.left {
		e.out.Tests[at[l.test.ID]].LeftOut = wire.Sentence(l.why)
	}
	if !e.known {
		return
	}
	doubts := e.power.doubts()
	for i, t := range e.power.used {
		w := &e.out.Tests[at[t.ID]]
		w.Weight = wire.Ptr(wire.Round(e.power.Land.Weights[i], 1e4))
		if i < len(e.power.Land.Expected) {
			w.ExpectedW = wire.Ptr(wire.ToWatts(e.power.Land.Expected[i]))
		}
		if text := doubts[i]; text != "" {
			w.Doubt = wire.Sentence(text)
		}
	}
}

// furthest names the test that lies furthest from what the others predict,
// where several are in doubt: one that is wrong drags others with it. Two tests
// alone only contradict each other.
func (e *ergometerCase) furthest() {
	if !e.known || len(e.power.doubts()) < 2 || len(e.power.used) < 3 {
		return
	}
	worst, most := 0, 0.0
	for i, t := range e.power.used {
		if off := math.Abs(math.Log(ergTest(t).Power() / e.power.Land.Expected[i])); off > most {
			worst, most = i, off
		}
	}
	e.say("One wrong test puts others in doubt as well: look first at %s, which lies furthest off.", testName(e.power.used[worst]))
}

// mass is the mass in kg to reckon with, 0 where there is none.
func (e *ergometerCase) mass() float64 {
	if e.power.massless {
		return 0
	}
	return wire.Or(e.out.MassKg, 0)
}

// raceTime is the time in s over 2000 m at a power in W.
func raceTime(power float64) float64 { return erg.RaceDistance * erg.Pace(power) }

func (e *ergometerCase) racePower() {
	if !e.known {
		return
	}
	land, mass := e.power.Land, e.mass()
	e.out.RacePower = &ErgometerPower{
		PowerW: wire.ToWatts(land.Power), SdW: wire.ToWatts(land.SD), LowW: wire.ToWatts(land.Low), HighW: wire.ToWatts(land.High), WaterSdW: wire.ToWatts(e.power.Water.SD),
		TimeS: wire.ToThousandths(raceTime(land.Power)), FastS: wire.ToThousandths(raceTime(land.High)), SlowS: wire.ToThousandths(raceTime(land.Low)),
		Pace500mS: wire.ToThousandths(500 * erg.Pace(land.Power)), Tests: e.power.Tests,
	}
	if mass == 0 {
		return
	}
	time := raceTime(land.Power)
	e.out.RacePower.WPerKg = wire.Ptr(wire.Round(land.Power/mass, 1000))
	e.out.Adjusted = &AdjustedTime{
		MassKg: mass, TimeS: wire.ToThousandths(time), AdjustedTimeS: wire.ToThousandths(erg.AdjustedTime(time, mass)),
		AdjustedPowerW: wire.ToWatts(erg.AdjustedPower(land.Power, mass)), SingleIndex: wire.Round(singleIndex(time, mass), 100),
	}
}

// singleIndex is the water index of a 2000 m time in s and a mass in kg,
// against 7:00.0 at 70 kg, which is 100.
func singleIndex(time, mass float64) float64 {
	return 100 * erg.WaterIndex(erg.RaceDistance/time, mass) / erg.WaterIndex(erg.RaceDistance/420.0, 70)
}

// critical fits critical power to the tests in use that are neither doubted nor
// old, and predicts results by it.
func (e *ergometerCase) critical(at map[int64]int) {
	var efforts []erg.Effort
	var tests []*store.ErgTest
	for _, t := range e.power.used {
		switch w := e.out.Tests[at[t.ID]]; {
		case w.Doubt != "":
			e.say("Critical power leaves out %s: in doubt.", testName(t))
		case dayNumber(e.power.used[0].TestedOn)-dayNumber(t.TestedOn) > criticalWindow:
			e.say("Critical power leaves out %s: more than half a year before the newest test.", testName(t))
		default:
			efforts, tests = append(efforts, ergTest(t).Effort), append(tests, t)
		}
	}
	c, why := fitCritical(efforts)
	if why != "" {
		e.out.NoCriticalPower = why
		return
	}
	for _, t := range tests {
		e.out.Tests[at[t.ID]].Critical = criticalUsed
	}
	fitted := len(tests)
	for _, i := range c.Outside {
		e.out.Tests[at[tests[i].ID]].Critical = criticalOutside
		if !c.Rough {
			fitted--
			e.say("Critical power leaves out %s: %s.", testName(tests[i]), meantFor)
		}
	}
	e.out.CriticalPower = wireCritical(&c, fitted, namesOf(tests, c.Outside))
	for _, distance := range predicted {
		if p, ok := c.Predict(distance); ok {
			e.predict(ruleCritical, distance, p)
		}
	}
}

// meantFor is the range of critical power in a sentence.
const meantFor = "the model is meant for 2 to 15 minutes"

// namesOf names the tests of a list, by index.
func namesOf(tests []*store.ErgTest, which []int) string {
	var names []string
	for _, i := range which {
		names = append(names, testName(tests[i]))
	}
	return strings.Join(names, "; ")
}

// fitCritical fits critical power, or says why it cannot be.
func fitCritical(efforts []erg.Effort) (c erg.CriticalPower, why string) {
	if len(efforts) < 2 {
		return c, "Critical power needs two tests of clearly different duration, not in doubt and within half a year."
	}
	c, err := erg.FitCriticalPower(efforts)
	var bad *rigging.FieldError
	if errors.As(err, &bad) {
		return c, "Critical power cannot be fitted to these tests: " + bad.Detail + "."
	}
	return c, ""
}

func wireCritical(c *erg.CriticalPower, tests int, outside string) *CriticalPower {
	w := &CriticalPower{CpW: wire.ToWatts(c.CP), WPrimeJ: wire.Round(c.WPrime, 1), Tests: tests}
	if !c.Exact {
		w.CpSdW, w.WPrimeSdJ, w.ResidualSdW = wire.Ptr(wire.ToWatts(c.CPSD)), wire.Ptr(wire.Round(c.WPrimeSD, 1)), wire.Ptr(wire.ToWatts(c.ResidualSD))
	}
	if c.Rough {
		w.Warning = wire.Sentence(meantFor) + " Too few tests lie within, so this was taken, too: " + outside + ". Take CP and W′ as rough; they predict nothing."
	}
	return w
}

// doubling predicts results from race power by the rule of doublings. Where
// the rule leads below any pace it is silent.
func (e *ergometerCase) doubling() {
	if !e.known {
		return
	}
	for _, distance := range predicted {
		if p, ok := erg.DefaultModel().ByDoubling(e.power.Land, distance); ok {
			e.predict(ruleDoubling, distance, p)
		}
	}
	slices.SortStableFunc(e.out.Predictions, func(a, b ErgometerPrediction) int { return cmp.Compare(a.DistanceM, b.DistanceM) })
}

// predict takes in a predicted result.
func (e *ergometerCase) predict(rule string, distance float64, p erg.Predicted) {
	effort := erg.Effort{Distance: distance, Time: p.Time}
	e.out.Predictions = append(e.out.Predictions, ErgometerPrediction{
		DistanceM: distance, Rule: rule, TimeS: wire.ToThousandths(p.Time), SdS: wire.ToThousandths(p.SD), LowS: wire.ToThousandths(p.Low), HighS: wire.ToThousandths(p.High),
		Pace500mS: wire.ToThousandths(500 * effort.Pace()), PowerW: wire.ToWatts(effort.Power()),
	})
}

func (e *ergometerCase) say(format string, args ...any) {
	e.out.Notes = append(e.out.Notes, fmt.Sprintf(format, args...))
}

// note reports what is missing, and what to take care of.
func (e *ergometerCase) note() {
	for _, text := range e.power.LeftOut() {
		e.say("Not used: %s", text)
	}
	switch {
	case !e.known && len(e.power.left) == 0:
		e.say("No race power: no ergometer test is on record.")
	case !e.known:
		e.say("No race power: no ergometer test that can be used.")
	case e.power.massless:
		e.say("The mass on record, %g kg, cannot be used: no change of mass is counted, and no time adjusted to it.", wire.Or(e.out.MassKg, 0))
	case e.mass() == 0:
		e.say("No mass on record: no W/kg, and no time adjusted to mass.")
	}
	e.out.Cautions = append(e.out.Cautions,
		seat.Caution{Code: "all_out", Weight: "standing", Text: "Tests are all-out efforts: for healthy, rested and supervised athletes only. Pain or dizziness ends the test."},
		seat.Caution{Code: "water", Weight: "standing", Text: erg.Caution})
	if e.out.Adjusted != nil {
		e.out.Cautions = append(e.out.Cautions, seat.Caution{Code: "mass", Weight: "standing", Text: erg.MassCaution})
	}
}
