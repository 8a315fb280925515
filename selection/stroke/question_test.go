package stroke

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"thole/rigging"
)

// question returns the question of a kind.
func question(list []Question, kind QuestionKind) (Question, bool) {
	i := slices.IndexFunc(list, func(q Question) bool { return q.Kind == kind })
	if i < 0 {
		return Question{}, false
	}
	return list[i], true
}

// offset changes readings as a sensor off its zero does.
func offset(readings []sample, angle float64, force func(t float64) float64) []sample {
	out := slices.Clone(readings)
	for i := range out {
		out[i].angle += angle
		out[i].force += force(out[i].t)
	}
	return out
}

func constantly(f float64) func(float64) float64 { return func(float64) float64 { return f } }

// plainWith analyses readings of seat 1 with zeros.
func plainWith(t *testing.T, readings []sample, zeros ...Zero) *OarReport {
	t.Helper()
	m := PlainLayout(Handle)
	m.Zeros = zeros
	r, err := Analyse(context.Background(), plainFile(plain("1", readings)), m, Thresholds{}, Options{Levers: scullLevers})
	if err != nil || r.Refused.Count > 0 {
		t.Fatal(err, r)
	}
	return &r.Oars[0]
}

func noisySculler() []sample {
	return sculler().record(61.5, disturbance{hz: 50, angle: 0.2 * deg, force: 6, seed: 11})
}

// A gate 25° off, and files in which 90° is square, are asked about; the
// answer in one field puts the angles right.
func TestTheZeroOfTheAngleIsQuestioned(t *testing.T) {
	for _, off := range []float64{25, -25, 90, -90} {
		readings := offset(noisySculler(), off*deg, constantly(0))
		raw := plainWith(t, readings)
		q, ok := question(raw.Questions, AskAngleZero)
		if !ok || !near(q.Proposed/deg, off, 3) || len(q.Field) == 0 || !hasCode(raw.Warnings, "angle_zero") {
			t.Errorf("%v° off: asked %v, %+v", off, ok, q)
		}
		if math.Abs(off) == 90 && q.Proposed != off*deg {
			t.Errorf("square at %v°: %v proposed", off, q.Proposed/deg)
		}
		mended := plainWith(t, readings, Zero{Angle: rigging.Angle(off * deg)})
		if a := mended.Features[CatchAngle].Mean; !near(a, -64*deg, 0.2*deg) || len(mended.Questions) > 0 {
			t.Errorf("%v° off and mended: catch at %v°, %+v", off, a/deg, mended.Questions)
		}
	}
}

// What is asked about begins 12° off the usual middle of the arc.
func TestSmallOffsetsOfTheAngleAreNotQuestioned(t *testing.T) {
	for off, want := range map[float64]bool{-10: false, 10: false, 14: true, -14: true} {
		got := plainWith(t, offset(noisySculler(), off*deg, constantly(0)))
		if _, asked := question(got.Questions, AskAngleZero); asked != want {
			t.Errorf("%v° off: asked %v", off, asked)
		}
	}
}

// A force at rest that differs from stroke to stroke has no trend.
func TestAnUnsteadyRestIsNoDrift(t *testing.T) {
	for seed := range uint64(10) {
		rng := rand.New(rand.NewPCG(seed, 2))
		var rests [40]float64
		for i := range rests {
			rests[i] = 40 * rng.NormFloat64()
		}
		readings := offset(noisySculler(), 0, func(t float64) float64 { return rests[int((t+1.2)/2)] })
		if q, asked := question(plainWith(t, readings).Questions, AskForceDrift); asked {
			t.Errorf("seed %d: %+v", seed, q)
		}
	}
}

// Arcs of rowers as they are published are not questioned, nor are drills.
func TestUsualArcsAreNotQuestioned(t *testing.T) {
	for _, arc := range [][2]float64{{-66, 44}, {-56, 34}, {-50, 30}, {-72, 46}, {-60, 36}, {-45, 38}, {-20, 38}, {-5, 40}} {
		o := sculler()
		o.catch, o.finish = arc[0]*deg, arc[1]*deg
		if got := plainWith(t, o.record(30, disturbance{hz: 50, angle: 0.2 * deg, force: 6})); len(got.Questions) > 0 {
			t.Errorf("%v: %+v", arc, got.Questions)
		}
	}
}

func TestTheZeroOfTheForceIsQuestioned(t *testing.T) {
	truth := plainWith(t, noisySculler())
	for _, off := range []float64{30, -30, 110} {
		readings := offset(noisySculler(), 0, constantly(off))
		raw := plainWith(t, readings)
		q, ok := question(raw.Questions, AskForceZero)
		if !ok || !near(q.Proposed, off, 1) || !hasCode(raw.Warnings, "force_zero") {
			t.Errorf("%v N off: asked %v, %+v", off, ok, q)
		}
		mended := plainWith(t, readings, Zero{Force: q.Proposed})
		for _, f := range []Feature{Work, PeakForce, CatchSlip} {
			if got, want := mended.Features[f].Mean, truth.Features[f].Mean; !near(got, want, 0.005*want) || len(mended.Questions) > 0 {
				t.Errorf("%v N off and mended: %v is %v, want %v, %+v", off, f, got, want, mended.Questions)
			}
		}
	}
	for _, fine := range []float64{0, 8, -8, 15} {
		if got := plainWith(t, offset(noisySculler(), 0, constantly(fine))); len(got.Questions) > 0 {
			t.Errorf("%v N: %+v", fine, got.Questions)
		}
	}
}

// A sensor that drifts from 0 to 80 N cannot be put right by one number; its
// zero is followed from recovery to recovery.
func TestADriftingZeroIsQuestionedAndFollowed(t *testing.T) {
	truth := plainWith(t, noisySculler())
	drift := offset(noisySculler(), 0, func(t float64) float64 { return 80 * t / 61.5 })
	raw := plainWith(t, drift)
	q, ok := question(raw.Questions, AskForceDrift)
	if !ok || !near(q.Measured, 78, 4) {
		t.Fatalf("asked %v: %+v", ok, raw.Questions)
	}
	if w := raw.Features[Work].Mean; w < 1.05*truth.Features[Work].Mean {
		t.Errorf("a drift that does no harm: %v J", w)
	}
	mended := plainWith(t, drift, Zero{FollowRest: true})
	for f, part := range map[Feature]float64{Work: 0.003, PeakForce: 0.005, CatchSlip: 0.02, MeanForce: 0.003} {
		if got, want := mended.Features[f].Mean, truth.Features[f].Mean; !near(got, want, part*want) || len(mended.Questions) > 0 {
			t.Errorf("%v is %v, want %v, %+v", f, got, want, mended.Questions)
		}
	}
	if sd, raw := mended.Features[Work].SD, raw.Features[Work].SD; sd > raw/3 {
		t.Errorf("work spreads by %v J, unmended by %v", sd, raw)
	}
}

// Rest is the middle half of the recovery: what the hands do just after the
// finish and just before the catch is none.
func TestRestIsTheMiddleOfTheRecovery(t *testing.T) {
	o := sculler()
	at := func(from, to, force float64) []sample {
		readings := o.record(60, disturbance{hz: 100})
		for i := range readings {
			u := math.Mod(readings[i].t+o.start, o.period) / o.period
			if w := (u - o.drive) / (1 - o.drive); w > from && w < to {
				readings[i].force += force
			}
		}
		return readings
	}
	for _, edge := range [][2]float64{{0.02, 0.24}, {0.76, 0.98}} {
		if got := plainWith(t, at(edge[0], edge[1], 90)); len(got.Questions) > 0 {
			t.Errorf("force at %v of the recovery: %+v", edge, got.Questions)
		}
	}
	// Half of the middle half holds 80 N: 40 N on average.
	got := plainWith(t, at(0.25, 0.5, 80))
	if q, ok := question(got.Questions, AskForceZero); !ok || !near(q.Measured, 40, 2) {
		t.Errorf("%+v", got.Questions)
	}
}

func TestEachOarHasItsOwnZero(t *testing.T) {
	good := plain("2", noisySculler())
	bad := plain("3", offset(noisySculler(), 25*deg, constantly(40)))
	for _, zeros := range [][]Zero{
		{{Oar: Oar{Seat: "3"}, Angle: 25 * rigging.Degree, Force: 40}},
		{{Angle: 25 * rigging.Degree, Force: 40}, {Oar: Oar{Seat: "2"}}},
	} {
		m := PlainLayout(Handle)
		m.Zeros = zeros
		r, err := Analyse(context.Background(), plainFile(good, bad), m, Thresholds{}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range r.Oars {
			if a := o.Features[CatchAngle].Mean; !near(a, -64*deg, 0.2*deg) || len(o.Questions) > 0 {
				t.Errorf("%v: catch at %v°, %+v", o.Oar, a/deg, o.Questions)
			}
		}
	}
}

// The questions stand in the proposal already, from the beginning of the file.
func TestTheProposalAsks(t *testing.T) {
	text := PlainHeader + "\n" + plain("1", offset(noisySculler(), 90*deg, constantly(30)))
	p, err := Detect([]byte(text))
	if err != nil || p.Ready || !strings.Contains(p.Missing, "handle or at the gate") {
		t.Fatal(err, p)
	}
	for _, kind := range []QuestionKind{AskSite, AskAngleZero, AskForceZero} {
		if q, ok := question(p.Questions, kind); !ok || q.Text == "" || len(q.Field) == 0 || !hasCode(p.Warnings, string(kind)) {
			t.Errorf("%s: %v %+v", kind, ok, q)
		}
	}
	if q, _ := question(p.Questions, AskAngleZero); q.Oar.Seat != "1" || q.Column != 0 || q.Proposed != 90*deg {
		t.Errorf("%+v", q)
	}
	named := strings.Replace(text, "force_n", "handle_force_n", 1)
	if p, err = Detect([]byte(named)); err != nil || !p.Ready || p.Mapping.Force != Handle {
		t.Error(err, p.Missing, p.Mapping.Force)
	}
}

// A unit that the header gives is taken; one that it does not give is reported as
// it stands in the mapping, and asked about where several are possible.
func TestUnitsAreToldAsTheyAreTaken(t *testing.T) {
	write := func(head string, angle, force float64) string {
		var b strings.Builder
		b.WriteString(head)
		for _, s := range sculler().record(20, disturbance{hz: 50}) {
			fmt.Fprintf(&b, "%.3f,%.5f,%.4f\n", s.t, s.angle/angle, s.force/force)
		}
		return b.String()
	}
	for name, c := range map[string]struct {
		text    string
		unit    Unit
		told    []string
		options []Unit
	}{
		"kgf and rad named":   {write("time_s,angle_rad,handle force (kgf)\n", 1, 9.80665), KilogramForce, nil, nil},
		"kgf and rad unnamed": {write("time_s,angle,handle force\n", 1, 9.80665), KilogramForce, []string{"(oar angle) names no unit: rad", "(force) names no unit: kgf"}, []Unit{KilogramForce, PoundForce}},
		"135 unnamed":         {write("time_s,angle_deg,handle force\n", deg, 4.4482216), Newton, []string{"(force) names no unit: N"}, []Unit{Newton, KilogramForce, PoundForce}},
		"180 unnamed":         {write("time_s,angle_deg,handle force\n", deg, 600.0/180), Newton, []string{"(force) names no unit: N"}, []Unit{Newton, PoundForce}},
		"300 unnamed":         {write("time_s,angle_deg,handle force\n", deg, 2), Newton, []string{"(force) names no unit: N"}, nil},
		"180 N named":         {write("time_s,angle_deg,handle force N\n", deg, 600.0/180), Newton, nil, nil},
	} {
		p, err := Detect([]byte(c.text))
		if err != nil || !p.Ready {
			t.Fatal(name, err, p.Missing)
		}
		if got := p.Mapping.Columns[2].Unit; got != c.unit {
			t.Errorf("%s: %v", name, got)
		}
		q, asked := question(p.Questions, AskUnit)
		if asked != (c.options != nil) || !slices.Equal(q.Units, c.options) || asked && (q.Column != 3 || q.Field.String() != "columns[2].unit") {
			t.Errorf("%s: %+v", name, q)
		}
		told := 0
		for _, w := range p.Warnings {
			if w.Code == "unit" {
				told++
			}
		}
		for _, want := range c.told {
			if !slices.ContainsFunc(p.Warnings, func(w Warning) bool { return strings.Contains(w.Text, want) }) {
				t.Errorf("%s: %q is not told: %v", name, want, p.Warnings)
			}
		}
		if told != len(c.told) {
			t.Errorf("%s: %v", name, p.Warnings)
		}
	}
}

// TestAWholeArcIsAskedAbout: an arc of 60°, of which the middle lies far from where
// rowers have it, is asked about, and a shorter one is a drill.
func TestAWholeArcIsAskedAbout(t *testing.T) {
	for finish, want := range map[float64]bool{wholeArc: true, wholeArc - 0.001: false} {
		o := OarReport{Count: 1}
		o.Features[CatchAngle].Mean, o.Features[FinishAngle].Mean = 0, finish
		o.askAngleZero()
		if _, asked := question(o.Questions, AskAngleZero); asked != want {
			t.Errorf("an arc of %g rad: asked %v, want %v", finish, asked, want)
		}
	}
}
