package rigging_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"thole/rigging"
)

// table is one sex's part of ansur2.csv, read afresh: means and covariances by
// name, mm and kg.
type table struct {
	mean map[string]float64
	cov  map[[2]string]float64
}

func readTable(t *testing.T, sex string) table {
	t.Helper()
	file, err := os.Open("ansur2.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	tab := table{mean: map[string]float64{}, cov: map[[2]string]float64{}}
	for _, row := range rows[1:] {
		if row[0] != sex {
			continue
		}
		for j, text := range row[2:] {
			v, err := strconv.ParseFloat(text, 64)
			if err != nil {
				t.Fatal(err)
			}
			if j == 0 {
				tab.mean[row[1]] = v
				continue
			}
			tab.cov[[2]string{row[1], rows[0][2+j]}] = v
		}
	}
	return tab
}

// mixture weighs survey measures, as in a sum or difference of them.
type mixture map[string]float64

func (tab *table) meanOf(m mixture) float64 {
	sum := 0.0
	for name, w := range m {
		sum += w * tab.mean[name]
	}
	return sum
}

func (tab *table) covOf(a, b mixture) float64 {
	sum := 0.0
	for p, v := range a {
		for q, w := range b {
			sum += v * w * tab.cov[[2]string{p, q}]
		}
	}
	return sum
}

// Indices into the slow conditioning's vector. The ten segments follow.
const (
	atStature = iota
	atSpan
	atSitting
	atMass
	atThighTop
	atSegments
	atEnd = atSegments + 10
)

// slowBody conditions a normal distribution one measure at a time, each a
// rank-one update: no matrix is ever inverted.
type slowBody struct {
	mean     [atEnd]float64
	cov      [atEnd][atEnd]float64
	distance float64 // squared Mahalanobis distance of what was learnt
	learnt   int
}

// newSlowBody builds the joint distribution of inputs and segments from the
// table, by the definitions of the segments (package documentation of Body and
// the constants in population.go).
func newSlowBody(tab table, chestShare, ballShare float64) *slowBody {
	onStature := tab.cov[[2]string{"sittingheight", "stature"}] / tab.cov[[2]string{"stature", "stature"}]
	made := [atEnd]mixture{
		{"stature": 1e-3}, {"span": 1e-3}, {"sittingheight": 1e-3}, {"weight_kg": 1}, {"thighclearance": 1e-3},
		{"lateralfemoralepicondyleheight": 1e-3, "lateralmalleolusheight": -1e-3},
		{"trochanterionheight": 1e-3, "lateralfemoralepicondyleheight": -1e-3},
		{"sittingheight": 1e-3, "stature": 0.288e-3 - onStature*1e-3},
		{"acromionradialelength": 1e-3, "radialestylionlength": 1e-3},
		{"biacromialbreadth": 0.42e-3},
		{"stature": 0.45e-3 * chestShare},
		{"footlength": 0.22e-3},
		{"lateralmalleolusheight": 1e-3},
		{"footlength": ballShare * 1e-3},
		{},
	}
	b := new(slowBody)
	for i := range made {
		b.mean[i] = tab.meanOf(made[i])
		for j := range made {
			b.cov[i][j] = tab.covOf(made[i], made[j])
		}
	}
	b.mean[atSegments+2] = 0.288 * b.mean[atStature]
	b.mean[atSegments+3] += 0.06
	b.mean[atSegments+7] += 0.01
	b.mean[atSegments+9] = 0.08
	b.cov[atSegments+5][atSegments+5] += 0.45 * 0.026 * 0.45 * 0.026
	b.cov[atSegments+9][atSegments+9] = 0.01 * 0.01
	return b
}

func slowMan(t *testing.T) *slowBody   { return newSlowBody(readTable(t, "M"), 0.1445, 0.741) }
func slowWoman(t *testing.T) *slowBody { return newSlowBody(readTable(t, "F"), 0.1519, 0.739) }

func (b *slowBody) learn(i int, value float64) {
	innovation, variance := value-b.mean[i], b.cov[i][i]
	b.distance += innovation * innovation / variance
	b.learnt++
	column := b.cov[i]
	for j := range b.mean {
		b.mean[j] += column[j] / variance * innovation
		for k := range b.mean {
			b.cov[j][k] -= column[j] * column[k] / variance
		}
	}
}

// beyond is the upper tail of the chi-squared distribution, by the recurrence
// in the degrees of freedom (Abramowitz & Stegun, Handbook of Mathematical
// Functions, 26.4).
func beyond(x float64, n int) float64 {
	tail, from := math.Erfc(math.Sqrt(x/2)), 1
	if n%2 == 0 {
		tail, from = math.Exp(-x/2), 2
	}
	for k := from; k < n; k += 2 {
		tail += math.Exp(float64(k)/2*math.Log(x/2) - x/2 - lgamma(float64(k)/2+1))
	}
	return tail
}

func lgamma(x float64) float64 { v, _ := math.Lgamma(x); return v }

// reading is one known value of the slow body with the measure it comes from.
type reading struct {
	at    int
	value float64
	sd    float64 // of the tape or the scale
}

const tape = rigging.DefaultTape

// someMeasures states a random subset of what can be known, near the means.
func someMeasures(in source, sex rigging.Sex, mean *[atEnd]float64) (*rigging.Measures, []reading) {
	m := &rigging.Measures{Sex: sex}
	seg := segments(&m.Segments)
	places := map[int]*float64{
		atStature: &m.Stature, atSpan: &m.ArmSpan, atSitting: &m.SittingHeight, atMass: &m.Mass,
		atSegments: seg[0], atSegments + 1: seg[1], atSegments + 3: seg[3], atSegments + 4: seg[4],
		atSegments + 7: seg[7], atSegments + 8: seg[8],
	}
	var known []reading
	for i := range atEnd {
		place, ok := places[i]
		if !ok || in(0, 1) < 0.5 {
			continue
		}
		*place = mean[i] * in(0.95, 1.05)
		sd := tape
		if i == atMass {
			sd = 1
		}
		known = append(known, reading{i, *place, sd})
	}
	return m, known
}

func learnAll(fresh slowBody, known []reading) *slowBody {
	for _, k := range known {
		fresh.learn(k.at, k.value)
	}
	return &fresh
}

// withReadingErrors adds to the covariance what errors of the readings make,
// found by moving each reading by one unit: the mean is linear in them.
func withReadingErrors(fresh slowBody, known []reading) *slowBody {
	b := learnAll(fresh, known)
	cov := b.cov
	for i := range known {
		moved := append([]reading(nil), known...)
		moved[i].value++
		m := learnAll(fresh, moved)
		for j := range cov {
			for k := range cov {
				cov[j][k] += known[i].sd * known[i].sd * (m.mean[j] - b.mean[j]) * (m.mean[k] - b.mean[k])
			}
		}
	}
	b.cov = cov
	return b
}

// TestEstimateAgreesWithSequentialConditioning compares thousands of random
// subsets of measures with the slow body.
func TestEstimateAgreesWithSequentialConditioning(t *testing.T) {
	in := seeded(5)
	for sex, fresh := range map[rigging.Sex]*slowBody{rigging.Male: slowMan(t), rigging.Female: slowWoman(t)} {
		for range 500 {
			m, known := someMeasures(in, sex, &fresh.mean)
			want := withReadingErrors(*fresh, known)
			compareEstimate(t, m.Estimate(tape), want)
			if t.Failed() {
				t.Fatalf("measures %+v", *m)
			}
		}
	}
}

func compareEstimate(t *testing.T, got rigging.Estimate, want *slowBody) {
	t.Helper()
	near(t, "stature", got.Stature, want.mean[atStature], 1e-9)
	near(t, "mass", got.Mass, want.mean[atMass], 1e-7)
	near(t, "mass SD", got.MassSD, math.Sqrt(want.cov[atMass][atMass]), 1e-6)
	near(t, "thigh top", got.ThighTop, want.mean[atThighTop], 1e-9)
	for i, length := range segments(&got.Body) {
		near(t, "segment", *length, want.mean[atSegments+i], 1e-9)
		for j := range 10 {
			near(t, "covariance", got.Cov[i][j], want.cov[atSegments+i][atSegments+j], 1e-10)
		}
	}
	if want.learnt > 0 {
		near(t, "rarity", got.Rarity, beyond(want.distance, want.learnt), 1e-9)
	}
}

func TestNothingKnownGivesTheMeanOfThePopulation(t *testing.T) {
	fresh := slowWoman(t)
	e := (&rigging.Measures{Sex: rigging.Female}).Estimate(tape)
	compareEstimate(t, e, fresh)
	near(t, "rarity", e.Rarity, 1, 0)
}

// TestAnySexIsTheEqualMixture: law of total variance for two equal parts.
func TestAnySexIsTheEqualMixture(t *testing.T) {
	man, woman := slowMan(t), slowWoman(t)
	mixed := new(slowBody)
	for i := range mixed.mean {
		mixed.mean[i] = (man.mean[i] + woman.mean[i]) / 2
	}
	for i := range mixed.mean {
		for j := range mixed.mean {
			second := (man.cov[i][j] + man.mean[i]*man.mean[j] + woman.cov[i][j] + woman.mean[i]*woman.mean[j]) / 2
			mixed.cov[i][j] = second - mixed.mean[i]*mixed.mean[j]
		}
	}
	compareEstimate(t, (&rigging.Measures{}).Estimate(tape), mixed)
	known := []reading{{atStature, 1.78, tape}}
	compareEstimate(t, (&rigging.Measures{Stature: 1.78}).Estimate(tape), withReadingErrors(*mixed, known))
}

// TestMeasuredSegmentsWinExactly: whatever else is known, a measured segment
// comes back bit for bit, as sure as the tape.
func TestMeasuredSegmentsWinExactly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := adult()
		m.Sex = rapid.SampledFrom([]rigging.Sex{rigging.AnySex, rigging.Female, rigging.Male}).Draw(t, "sex")
		real := athlete()
		lengths, stated := segments(&real), segments(&m.Segments)
		for i := range stated {
			if rapid.Bool().Draw(t, "measured") {
				*stated[i] = *lengths[i] * rapid.Float64Range(0.9, 1.1).Draw(t, "share")
			}
		}
		e := m.Estimate(tape)
		for i, length := range segments(&e.Body) {
			if *stated[i] == 0 {
				continue
			}
			near(t, "measured segment", *length, *stated[i], 0)
			near(t, "its variance", e.Cov[i][i], tape*tape, 1e-12)
		}
	})
}

// TestKnowingMoreNeverWidensASegment: conditioning shrinks variances. With a
// tape that errs, a reading of little use brings its own error along, which
// must stay small.
func TestKnowingMoreNeverWidensASegment(t *testing.T) {
	in := seeded(8)
	fresh := slowMan(t)
	for range 300 {
		m, _ := someMeasures(in, rigging.Male, &fresh.mean)
		more := *m
		for place, value := range map[*float64]float64{&more.Stature: 1.8, &more.ArmSpan: 1.85, &more.SittingHeight: 0.94, &more.Segments.Ball: 0.2, &more.Segments.Shank: 0.43} {
			if *place == 0 && in(0, 1) < 0.5 {
				*place = value
			}
		}
		less, exact := m.Estimate(0), more.Estimate(0)
		rough, taped := m.Estimate(tape), more.Estimate(tape)
		for i := range 10 {
			if exact.Cov[i][i] > less.Cov[i][i]*(1+1e-6)+1e-15 {
				t.Fatalf("segment %d: variance %g rises to %g on knowing %+v", i, less.Cov[i][i], exact.Cov[i][i], more)
			}
			if grown := math.Sqrt(taped.Cov[i][i]) - math.Sqrt(rough.Cov[i][i]); grown > 0.0006 {
				t.Fatalf("segment %d: SD grows by %g m on knowing %+v", i, grown, more)
			}
		}
	}
}

// TestUnmeasuredLandmarksOnlyOverride: trunk, half depth and hip height are no
// landmarks of the survey, so that stating them tells nothing of the rest.
func TestUnmeasuredLandmarksOnlyOverride(t *testing.T) {
	plain := adult().Estimate(tape)
	m := adult()
	m.Segments.Trunk, m.Segments.HalfDepth, m.Segments.HipHeight = 0.60, 0.14, 0.10
	e := m.Estimate(tape)
	was, is := segments(&plain.Body), segments(&e.Body)
	for i := range was {
		stated := i == 2 || i == 5 || i == 9
		if stated == (*was[i] == *is[i]) {
			t.Errorf("segment %d: %g becomes %g", i, *was[i], *is[i])
		}
		for j := range was {
			if stated && i != j {
				near(t, "covariance with a stated segment", e.Cov[i][j], 0, 0)
			}
		}
	}
	near(t, "rarity", e.Rarity, plain.Rarity, 0)
}

func TestBallAndAnkleComeFromOneFoot(t *testing.T) {
	m := &rigging.Measures{Sex: rigging.Male, Segments: rigging.Body{Ball: 0.22}}
	near(t, "ankle from the ball", m.Estimate(tape).Body.AnkleAlong, 0.22*0.22/0.741, 1e-12)
	m.Segments = rigging.Body{AnkleAlong: 0.065}
	near(t, "ball from the ankle", m.Estimate(tape).Body.Ball, 0.065*0.741/0.22, 1e-12)
}

// TestRarityFlagsOddCombinations: each measure alone is common, together they
// are not.
func TestRarityFlagsOddCombinations(t *testing.T) {
	tall := rigging.Measures{Sex: rigging.Male, Stature: 1.85}
	long := rigging.Measures{Sex: rigging.Male, ArmSpan: 1.70}
	both := rigging.Measures{Sex: rigging.Male, Stature: 1.85, ArmSpan: 1.70}
	if a, b := tall.Estimate(tape).Rarity, long.Estimate(tape).Rarity; a < 0.15 || b < 0.15 {
		t.Errorf("rarities apart: %g, %g", a, b)
	}
	if r := both.Estimate(tape).Rarity; r > 1e-4 {
		t.Errorf("rarity together: %g", r)
	}
}

// TestEstimateIsRepeatable: equal input gives bit-equal output.
func TestEstimateIsRepeatable(t *testing.T) {
	if a, b := adult().Estimate(tape), adult().Estimate(tape); a != b {
		t.Errorf("two estimates differ: %+v, %+v", a, b)
	}
}

func TestSexNames(t *testing.T) {
	for _, s := range []rigging.Sex{rigging.AnySex, rigging.Female, rigging.Male} {
		if got, ok := rigging.ParseSex(s.String()); !ok || got != s {
			t.Errorf("ParseSex(%q) = %v, %v", s.String(), got, ok)
		}
	}
	if _, ok := rigging.ParseSex("Male"); ok {
		t.Error("ParseSex accepts a name it does not give")
	}
}
