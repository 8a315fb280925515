package lineup

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"thole/rigging"
	"thole/selection"
)

func soundProblem(t *testing.T) Problem {
	return squadOf(rand.New(rand.NewPCG(4, 4)), class(t, "4-"), 7, 20)
}

// Each case spoils one thing; the error has to name the field.
func TestBadInputNamesTheField(t *testing.T) {
	for _, c := range []struct {
		field string
		spoil func(p *Problem)
	}{
		{"class", func(p *Problem) { p.Class.Rowers = 0 }},
		{"class", func(p *Problem) { p.Class.Rowers = 3 }},
		{"pace.distance", func(p *Problem) { p.Pace.Distance = 0 }},
		{"pace.efficiency", func(p *Problem) { p.Pace.Efficiency = 1.2 }},
		{"pace.drag", func(p *Problem) { p.Pace.Drag = math.NaN() }},
		{"pace.mass_exponent", func(p *Problem) { p.Pace.MassExponent = -1 }},
		{"candidates[2].id", func(p *Problem) { p.Candidates[2].ID = "" }},
		{"candidates[3].id", func(p *Problem) { p.Candidates[3].ID = "a01" }},
		{"candidates[5].name", func(p *Problem) { p.Candidates[5].Name = p.Candidates[1].Name }},
		{"candidates[1].power", func(p *Problem) { p.Candidates[1].Power = 0 }},
		{"candidates[1].power", func(p *Problem) { p.Candidates[1].Power = math.NaN() }},
		{"candidates[1].power", func(p *Problem) { p.Candidates[1].Power = -300 }},
		{"candidates[0].mass", func(p *Problem) { p.Candidates[0].Mass = 0 }},
		{"candidates[0].mass", func(p *Problem) { p.Candidates[0].Mass = math.Inf(1) }},
		{"candidates[0].power_sd", func(p *Problem) { p.Candidates[0].PowerSD = -1 }},
		{"candidates[0].sides", func(p *Problem) { p.Candidates[0].SideCost = map[rigging.Side]float64{2: 0} }},
		{"candidates[0].sides", func(p *Problem) { p.Candidates[0].SideCost = map[rigging.Side]float64{port: math.NaN()} }},
		{"candidates[4].curve", func(p *Problem) { p.Candidates[4].Curve = make([]float64, 51) }},
		{"candidates[4].curve", func(p *Problem) { p.Candidates[4].Curve = make([]float64, 101) }},
		{"candidates[4].curve[7]", func(p *Problem) { p.Candidates[4].Curve[7] = math.NaN() }},
		{"pattern", func(p *Problem) { p.Pattern = []rigging.Side{port, stbd} }},
		{"pattern[1]", func(p *Problem) { p.Pattern = []rigging.Side{port, 5, 0, 0} }},
		{"pattern", func(p *Problem) { p.Pattern = []rigging.Side{port, port, port, 0} }},
		{"pattern", func(p *Problem) { p.Class.Scull = true; p.Pattern = alternating(4) }},
		{"seat_costs[0].id", func(p *Problem) { p.SeatCosts = []SeatCost{{"zz", 1, 1}} }},
		{"seat_costs[0].seat", func(p *Problem) { p.SeatCosts = []SeatCost{{"a01", 5, 1}} }},
		{"seat_costs[0].cost", func(p *Problem) { p.SeatCosts = []SeatCost{{"a01", 1, math.Inf(1)}} }},
		{"seat_costs[1]", func(p *Problem) { p.SeatCosts = []SeatCost{{"a01", 1, 1}, {"a01", 1, 2}} }},
		{"weights.likeness", func(p *Problem) { p.Weights.Likeness = -1 }},
		{"weights.yaw", func(p *Problem) { p.Weights.Yaw = math.NaN() }},
		{"catch", func(p *Problem) { p.Catch = 1 }},
		{"finish", func(p *Problem) { p.Catch, p.Finish = 0, 0 }},
		{"spacing", func(p *Problem) { p.Spacing = 0 }},
		{"rules.pins[0].id", func(p *Problem) { p.Rules.Pins = []Pin{{"zz", 1}} }},
		{"rules.pins[0].seat", func(p *Problem) { p.Rules.Pins = []Pin{{"a01", 0}} }},
		{"rules.must[0]", func(p *Problem) { p.Rules.Must = []string{"zz"} }},
		{"rules.out[1]", func(p *Problem) { p.Rules.Out = []string{"a01", "zz"} }},
		{"rules.apart[0]", func(p *Problem) { p.Rules.Apart = []Pair{{"a01", "zz"}} }},
		{"rules.adjacent[0]", func(p *Problem) { p.Rules.Adjacent = []Pair{{"a01", "a01"}} }},
		{"rules.never[0]", func(p *Problem) { p.Rules.Never = []Pair{{"", "a01"}} }},
		{"rules.mean_mass", func(p *Problem) { p.Rules.MeanMass = -70 }},
		{"rules.max_mass", func(p *Problem) { p.Rules.MaxMass = math.NaN() }},
		{"rules.women_min", func(p *Problem) { p.Rules.WomenMin = -1 }},
	} {
		p := soundProblem(t)
		c.spoil(&p)
		_, err := Solve(context.Background(), p, Options{})
		if fields := errorFields(err); !slices.Contains(fields, c.field) {
			t.Errorf("%s: %v", c.field, err)
		}
	}
}

// errorFields lists the places that an error names.
func errorFields(err error) (fields []string) {
	var errs rigging.FieldErrors
	errors.As(err, &errs)
	for _, e := range errs {
		fields = append(fields, e.Place.String())
	}
	return fields
}

func TestSoundProblemHasNothingWrong(t *testing.T) {
	if err := check(soundProblem(t)); err != nil {
		t.Error(err)
	}
}

func TestEverythingWrongIsListed(t *testing.T) {
	p := soundProblem(t)
	p.Candidates[0].Power, p.Candidates[1].Mass, p.Rules.Must = 0, 0, []string{"zz"}
	_, err := Solve(context.Background(), p, Options{})
	want := []string{"candidates[0].power", "candidates[1].mass", "rules.must[0]"}
	if got := errorFields(err); !slices.Equal(got, want) {
		t.Errorf("listed %v", got)
	}
}

func TestBadLineupNamesTheSeat(t *testing.T) {
	p := soundProblem(t)
	delete(p.Candidates[2].SideCost, port)
	sides := alternating(4)
	for _, c := range []struct {
		field string
		l     selection.Lineup
	}{
		{"lineup.seats", selection.Lineup{Seats: []string{"a00"}, Sides: sides}},
		{"lineup.sides", selection.Lineup{Seats: []string{"a00", "a01", "a02", "a03"}}},
		{"lineup.seats[1]", selection.Lineup{Seats: []string{"a00", "zz", "a02", "a03"}, Sides: sides}},
		{"lineup.seats[3]", selection.Lineup{Seats: []string{"a00", "a01", "a02", "a00"}, Sides: sides}},
		{"lineup.seats[1]", selection.Lineup{Seats: []string{"a00", "a02", "a01", "a03"}, Sides: sides}},
	} {
		_, err := Evaluate(p, c.l)
		if got := errorFields(err); !slices.Equal(got, []string{c.field}) {
			t.Errorf("%s: %v", c.field, err)
		}
	}
}

// conflictOf solves a problem that has no line-up.
func conflictOf(t *testing.T, p Problem) *ConflictError {
	t.Helper()
	_, err := Solve(context.Background(), p, Options{})
	var conflict *ConflictError
	if !errors.As(err, &conflict) {
		t.Fatalf("no conflict: %v", err)
	}
	return conflict
}

func kinds(c *ConflictError) (out []RuleKind) {
	for _, r := range c.Rules {
		out = append(out, r.Kind)
	}
	return out
}

func TestConflictsNameTheirRules(t *testing.T) {
	one, two := 1, 2
	for _, c := range []struct {
		rules Rules
		want  []RuleKind
		text  string
	}{
		{Rules{Pins: []Pin{{"a00", 2}, {"a01", 2}}}, []RuleKind{RulePin, RulePin}, "Rower 00 sits in seat 2; Rower 01 sits in seat 2"},
		{Rules{Pins: []Pin{{"a00", 2}, {"a00", 3}}}, []RuleKind{RulePin, RulePin}, "Rower 00 sits in seat 3"},
		{Rules{Must: []string{"a00", "a03"}, Out: []string{"a03", "a04"}}, []RuleKind{RuleMust, RuleOut}, "Rower 03 has to row; Rower 03 does not row"},
		{Rules{Must: []string{"a00", "a01", "a02", "a03", "a04"}}, slices.Repeat([]RuleKind{RuleMust}, 5), "Rower 04 has to row"},
		{Rules{Must: []string{"a00", "a01"}, Never: []Pair{{"a01", "a00"}}}, []RuleKind{RuleMust, RuleMust, RuleNever}, "do not row together"},
		{Rules{Pins: []Pin{{"a00", 1}, {"a01", 3}}, Adjacent: []Pair{{"a00", "a01"}}}, []RuleKind{RulePin, RulePin, RuleAdjacent}, "neighbours when both row"},
		{Rules{Pins: []Pin{{"a00", 1}, {"a01", 2}}, Apart: []Pair{{"a00", "a01"}}}, []RuleKind{RulePin, RulePin, RuleApart}, "are not neighbours"},
		{Rules{MeanMass: 20, WomenMin: 1}, []RuleKind{RuleMeanMass}, "the mean mass of the crew is limited"},
		{Rules{MaxMass: 20, MenMin: 1}, []RuleKind{RuleMaxMass}, "nobody" /* see below */},
		{Rules{WomenMin: 3, WomenMax: &two}, []RuleKind{RuleWomenMin, RuleWomenMax}, "at least 3 women; at most 2 women"},
		{Rules{WomenMin: 3, MenMin: 2}, []RuleKind{RuleWomenMin, RuleMenMin}, "at least 2 men"},
		{Rules{WomenMax: &one, MenMax: &two}, []RuleKind{RuleWomenMax, RuleMenMax}, "at most 1 woman; at most 2 men: 4 rowers are needed and the quotas leave 3"},
		{Rules{Out: []string{"a00", "a01", "a02", "a03"}}, slices.Repeat([]RuleKind{RuleOut}, 4), "4 rowers are needed and there are 3"},
	} {
		p := soundProblem(t)
		for i := range p.Candidates {
			p.Candidates[i].Female = i%2 == 0
		}
		p.Rules = c.rules
		got := conflictOf(t, p)
		if !slices.Equal(kinds(got), c.want) {
			t.Errorf("%+v: %v", c.rules, got)
		}
		if c.text == "nobody" {
			c.text = "4 rowers are needed and there are 0"
		}
		if !strings.Contains(got.Error(), c.text) {
			t.Errorf("%q does not say %q", got, c.text)
		}
	}
}

func TestTooFewForASide(t *testing.T) {
	p := soundProblem(t)
	for i := range p.Candidates {
		if i > 0 {
			p.Candidates[i].SideCost = map[rigging.Side]float64{stbd: 0}
		}
	}
	got := conflictOf(t, p)
	want := []Shortage{{Side: port, Need: 2, Have: 1}}
	if len(got.Rules) != 0 || !slices.Equal(got.Shortages, want) {
		t.Errorf("%v: %+v", got, got.Shortages)
	}
	if text := "2 on port are needed and 1 can row there"; !strings.Contains(got.Error(), text) {
		t.Errorf("%q does not say %q", got, text)
	}
}

func TestPatternNobodyCanRow(t *testing.T) {
	p := soundProblem(t)
	p.Pattern = alternating(4)
	for i := range p.Candidates {
		p.Candidates[i].SideCost = map[rigging.Side]float64{stbd: 0}
		if i < 2 {
			p.Candidates[i].SideCost = map[rigging.Side]float64{port: 0}
		}
	}
	p.Rules.Pins = []Pin{{"a00", 1}}
	if got := conflictOf(t, p); !slices.Equal(kinds(got), []RuleKind{RulePattern, RulePin}) {
		t.Errorf("%v", got)
	}
}

// Without a pattern that has more oars on one side the sides would have to be
// even, so that leaving it out does not make more possible.
func TestLopsidedPatternIsNotSpared(t *testing.T) {
	p := soundProblem(t)
	p.Pattern = []rigging.Side{port, port, port, stbd}
	for i := range p.Candidates {
		p.Candidates[i].SideCost = map[rigging.Side]float64{port: 0}
	}
	p.Candidates[0].SideCost = map[rigging.Side]float64{stbd: 0}
	mustSolve(t, p, Options{})
	p.Rules.Out = []string{"a00"}
	if got := conflictOf(t, p); !slices.Equal(kinds(got), []RuleKind{RuleOut}) || !strings.Contains(got.Error(), "1 on starboard is needed and 0 can row there") {
		t.Errorf("%v", got)
	}
	for i := range p.Candidates {
		p.Candidates[i].SideCost = map[rigging.Side]float64{stbd: 0}
	}
	p.Rules = Rules{}
	if got := conflictOf(t, p); len(got.Rules) != 0 || !strings.Contains(got.Error(), "3 on port are needed and 0 can row there") {
		t.Errorf("%v", got)
	}
}

func TestShortagesInWords(t *testing.T) {
	for want, s := range map[string]Shortage{
		"the lightest crew weighs 72.01 kg on average":  {Lightest: 72.001},
		"the lightest crew weighs 74.20 kg on average":  {Lightest: 74.2},
		"1 rower is needed and there are 0":             {Need: 1},
		"4 rowers are needed and there is 1":            {Need: 4, Have: 1},
		"1 woman is needed and at most 0 can be seated": {Need: 1, Sex: rigging.Female},
		"2 men are needed and at most 1 can be seated":  {Need: 2, Have: 1, Sex: rigging.Male},
		"2 rowers are needed and the boat has 1 seat":   {Need: 2, Have: 1, Seats: true},
		"1 on port is needed and 0 can row there":       {Need: 1, Side: port},
	} {
		if s.String() != want {
			t.Errorf("%q, want %q", s, want)
		}
	}
}

func TestSeatThatNobodyMayTake(t *testing.T) {
	p := soundProblem(t)
	p.Class = class(t, "4x")
	p.Rules.Pins = []Pin{{"a00", 2}}
	p.Rules.Out = []string{"a00"}
	got := conflictOf(t, p)
	if !slices.Equal(got.Shortages, []Shortage{{Seat: 2, Need: 1}}) || !strings.Contains(got.Error(), "nobody may take seat 2") {
		t.Errorf("%v: %+v", got, got.Shortages)
	}
}

func TestFewerCandidatesThanSeats(t *testing.T) {
	p := soundProblem(t)
	p.Candidates = p.Candidates[:3]
	got := conflictOf(t, p)
	if want := "the candidates do not make a crew: 4 rowers are needed and there are 3"; got.Error() != want {
		t.Errorf("%q", got)
	}
}

// Whatever the numbers, there is an answer or an error, and nothing in an
// answer is not a number.
func FuzzSolveAnswersOrErrs(f *testing.F) {
	f.Add(uint64(1), 400.0, 80.0, 0.5, 5.0, 3, 70.0)
	f.Add(uint64(2), math.NaN(), -1.0, math.Inf(1), 1e300, -7, 0.0)
	f.Add(uint64(3), 1.0, 500.0, -3600.0, 1e5, 1, 1e-300)
	f.Fuzz(func(t *testing.T, seed uint64, power, mass, cost, weight float64, seat int, limit float64) {
		p := randomProblem(t, rand.New(rand.NewPCG(seed, 61)))
		a := &p.Candidates[0]
		a.Power, a.Mass = power, mass
		a.SideCost[port] = cost
		p.Weights.Yaw = weight
		p.SeatCosts = append(p.SeatCosts, SeatCost{a.ID, seat, cost})
		p.Rules.MeanMass = limit
		got, err := Solve(context.Background(), p, Options{Count: 3, MaxNodes: 2000})
		if err != nil {
			return
		}
		for _, l := range got.Lineups {
			sum := l.Terms.Total() + l.Terms.Yaw + l.Terms.Likeness + l.Speed + got.LowerBound
			if math.IsNaN(sum) || math.IsInf(sum, 0) || !slowKeeps(p, l.Lineup) {
				t.Errorf("%+v", l)
			}
		}
	})
}

func TestCostsUpToAnHourAreTaken(t *testing.T) {
	for cost, right := range map[float64]bool{3600: true, -3600: true, 3601: false, -3601: false} {
		p := soundProblem(t)
		p.SeatCosts = []SeatCost{{ID: "a01", Seat: 2, Cost: cost}}
		if fields := errorFields(check(p)); (len(fields) == 0) != right {
			t.Errorf("%g s: %v", cost, fields)
		}
	}
}

// A crew that weighs exactly what is allowed keeps the limit, though sums of
// masses are rounded.
func TestACrewAtTheLimitOfMassKeepsIt(t *testing.T) {
	p := soundProblem(t)
	for i := range p.Candidates {
		p.Candidates[i].Mass = 70.1
	}
	p.Rules.MeanMass, p.Rules.MaxMass = 70.1, 70.1
	best := mustSolve(t, p, Options{}).Lineups[0].Lineup
	if broken, err := Broken(p, best); err != nil || len(broken) > 0 {
		t.Errorf("broken %v, error %v", broken, err)
	}
	p.Rules.MeanMass = 70.09
	if broken, err := Broken(p, best); err != nil || len(broken) != 1 || broken[0].Kind != RuleMeanMass {
		t.Errorf("broken %v, error %v", broken, err)
	}
}

// quadOf is a four of scullers from so many women and men.
func quadOf(t *testing.T, women, men int) Problem {
	p := squadOf(rand.New(rand.NewPCG(6, 47)), class(t, "4x"), women+men, 20)
	for i := range p.Candidates {
		p.Candidates[i].Female = i < women
		p.Candidates[i].Mass = 70
		if i >= women {
			p.Candidates[i].Mass = 90
		}
	}
	return p
}

// Quotas that add up to the seats are not what is short, when something else
// cannot be met.
func TestQuotasThatJustFillTheBoatAreNoShortage(t *testing.T) {
	p := quadOf(t, 4, 4)
	two := 2
	p.Rules = Rules{WomenMin: 2, MenMin: 2, WomenMax: &two, MenMax: &two, MeanMass: 75}
	if got := newSquad(p).shortages(context.Background()); len(got) != 1 || math.Abs(got[0].Lightest-80) > 0.02 || got[0].Need != 0 {
		t.Errorf("%+v", got)
	}
	one := 1
	p.Rules = Rules{WomenMax: &two, MenMax: &one}
	if got, want := conflictOf(t, p).Shortages, (Shortage{Quotas: true, Need: 4, Have: 3}); len(got) != 1 || got[0] != want {
		t.Errorf("%+v", got)
	}
}

// Three men can be seated; that three are wanted is no shortage, but three men
// and a woman weigh 85 kg on average.
func TestAsManyMenAsCanBeSeatedAreNoShortage(t *testing.T) {
	p := quadOf(t, 4, 3)
	p.Rules = Rules{MenMin: 3, MeanMass: 80}
	got := conflictOf(t, p).Shortages
	if len(got) != 1 || math.Abs(got[0].Lightest-85) > 0.02 || got[0].Need != 0 {
		t.Errorf("%+v", got)
	}
}
