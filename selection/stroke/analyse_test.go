package stroke

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"thole/rigging"
)

var (
	atForce = Thresholds{Basis: ByForce, Catch: 150, Release: 120}
	at30    = Thresholds{}
	covered = Thresholds{Basis: ByDepth}
)

const inLever = 0.84

func scullLevers(Oar) Levers { return Levers{In: inLever, Out: 1.76} }

// strokesOf measures readings without the way through text.
func strokesOf(readings []sample, th Thresholds) OarReport {
	a := &analysis{thresholds: th, options: Options{Levers: scullLevers}}
	w := a.work(Oar{})
	for _, s := range readings {
		w.take(s)
	}
	w.segmenter.end()
	return w.report(&channel{samples: int64(len(readings))})
}

// reportOf analyses a file in Thole's own layout.
func reportOf(t *testing.T, th Thresholds, bodies ...string) *Report {
	t.Helper()
	r, err := Analyse(context.Background(), plainFile(bodies...), PlainLayout(Handle), th, Options{Levers: scullLevers})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func frontLoaded(u float64) float64 { // peak at u = 0.4
	return math.Sin(math.Pi * math.Pow(u, math.Log(0.5)/math.Log(0.4)))
}

// where returns the u between a and b at which a monotone form has a level.
func where(form func(float64) float64, level, a, b float64) float64 {
	for range 100 {
		m := (a + b) / 2
		if (form(m) < level) == (form(a) < level) {
			a = m
		} else {
			b = m
		}
	}
	return a
}

// truth returns what an oarsman's strokes are by their construction.
func (o oarsman) truth(th Thresholds, top float64) map[Feature]float64 {
	arc := o.finish - o.catch
	up, down := th.levels(1)
	if th.Basis == ByForce {
		up, down = up/o.peak, down/o.peak
	}
	var area float64
	for i := range 10_000 {
		area += o.form((float64(i)+0.5)/10_000) / 10_000
	}
	from, to := where(o.form, up, 0, top), where(o.form, down, top, 1)
	work := o.peak * inLever * arc * area
	return map[Feature]float64{
		CatchAngle: o.catch, FinishAngle: o.finish, Arc: arc, Rate: 1 / o.period, DriveTime: o.drive * o.period,
		Rhythm: o.drive / (1 - o.drive), CatchSlip: arc * from, ReleaseSlip: arc * (1 - to), EffectiveArc: arc * (to - from),
		PeakForce: o.peak, PeakAngle: o.catch + arc*top, PeakPlace: top, MeanForce: o.peak * area, MeanToPeak: area,
		Work: work, Power: work / o.period, RiseAngle: arc * where(o.form, 0.7, 0, top),
		MeanSpeed: o.speed, Distance: o.speed * o.period, Depth: o.depth,
	}
}

// errorsAllowed states how far the mean of a feature over sixty strokes may be
// from the truth.
type errorsAllowed struct {
	angle, slip float64 // degrees
	peak, work  float64 // per cent of the truth
	rate, drive float64 // per cent of the truth
	place       float64 // share of the arc
	spread      float64 // degrees, standard deviation of a single catch
	slipSpread  float64 // degrees, of a single slip
	missedOf60  int     // strokes that may be lost
}

// recoveries: rows of sample rate, noise of angle (deg) and force (N). The
// drive is half a cosine that meets the recovery with a jump in acceleration,
// sharper than any rower's; under noise it costs some per cent of drive time.
var recoveries = []struct {
	hz, angle, force float64
	errorsAllowed
}{
	{20, 0, 0, errorsAllowed{0.1, 0.25, 0.4, 1.2, 0.05, 4, 0.005, 0.1, 0.15, 0}},
	{20, 0.2, 4, errorsAllowed{0.15, 0.3, 0.5, 1.3, 0.1, 5, 0.005, 0.3, 0.6, 0}},
	{20, 1, 15, errorsAllowed{0.7, 1.1, 1.5, 1.8, 0.2, 8, 0.01, 1.2, 2.3, 0}},
	{50, 0, 0, errorsAllowed{0.02, 0.06, 0.05, 0.25, 0.02, 2, 0.002, 0.05, 0.05, 0}},
	{50, 0.2, 4, errorsAllowed{0.1, 0.15, 0.4, 0.3, 0.05, 4, 0.005, 0.25, 0.5, 0}},
	{50, 1, 15, errorsAllowed{0.35, 0.6, 0.6, 0.5, 0.1, 8, 0.015, 0.8, 2, 0}},
	{100, 0, 0, errorsAllowed{0.01, 0.05, 0.02, 0.1, 0.02, 1, 0.001, 0.02, 0.05, 0}},
	{100, 0.2, 4, errorsAllowed{0.06, 0.12, 0.35, 0.2, 0.05, 4, 0.01, 0.2, 0.5, 0}},
	{100, 1, 15, errorsAllowed{0.25, 0.5, 0.4, 0.4, 0.1, 8, 0.015, 0.7, 1.8, 0}},
	{500, 0, 0, errorsAllowed{0.01, 0.05, 0.01, 0.05, 0.02, 1, 0.001, 0.02, 0.05, 0}},
	{500, 0.2, 4, errorsAllowed{0.03, 0.1, 0.15, 0.1, 0.05, 4, 0.005, 0.12, 0.3, 0}},
	{500, 1, 15, errorsAllowed{0.2, 0.3, 0.3, 0.3, 0.1, 8, 0.015, 0.7, 1.2, 0}},
}

func TestKnownStrokesAreRecovered(t *testing.T) {
	for _, row := range recoveries {
		for _, perMinute := range []float64{12, 20, 32, 45} {
			for top, form := range map[float64]func(float64) float64{0.5: halfSine, 0.4: frontLoaded} {
				o := sculler()
				o.form, o.period, o.drive = form, 60/perMinute, 0.34+0.16*(perMinute-12)/33
				d := disturbance{hz: row.hz, angle: row.angle * deg, force: row.force, seed: 3}
				got := strokesOf(o.record(61.5*o.period, d), atForce)
				name := fmt.Sprintf("%g Hz, noise %g deg and %g N, %g a minute, peak at %g", row.hz, row.angle, row.force, perMinute, top)
				checkTruth(t, name, &got, o.truth(atForce, top), row.errorsAllowed)
			}
		}
	}
}

func checkTruth(t *testing.T, name string, got *OarReport, want map[Feature]float64, allowed errorsAllowed) {
	t.Helper()
	if got.Count < 60-allowed.missedOf60 || got.Count > 61 {
		t.Errorf("%s: %d strokes, left out %+v", name, got.Count, got.LeftOut)
	}
	tolerances := map[Feature]float64{CatchAngle: allowed.angle * deg, FinishAngle: allowed.angle * deg,
		CatchSlip: allowed.slip * deg, ReleaseSlip: allowed.slip * deg, EffectiveArc: 2 * allowed.slip * deg, RiseAngle: 1.7 * allowed.slip * deg,
		PeakForce: want[PeakForce] * allowed.peak / 100, PeakPlace: allowed.place, Work: want[Work] * allowed.work / 100,
		Power: want[Power] * allowed.work / 100, Rate: want[Rate] * allowed.rate / 100, DriveTime: want[DriveTime] * allowed.drive / 100,
		Rhythm: 2.5 * want[Rhythm] * allowed.drive / 100, MeanSpeed: 1e-6, Distance: want[Distance] * allowed.rate / 50}
	for f, tolerance := range tolerances {
		if s := got.Features[f]; s.N != got.Count || !near(s.Mean, want[f], tolerance) {
			t.Errorf("%s: %v is %v, want %v ± %v", name, f, s, want[f], tolerance)
		}
	}
	if sd := got.Features[CatchAngle].SD; sd > allowed.spread*deg {
		t.Errorf("%s: single catches spread by %v deg", name, sd/deg)
	}
	if sd := got.Features[ReleaseSlip].SD; sd > allowed.slipSpread*deg {
		t.Errorf("%s: single release slips spread by %v deg", name, sd/deg)
	}
}

func TestAnyRowerIsRecovered(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(low, high float64, name string) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		o := oarsman{catch: draw(-75, -30, "catch") * deg, finish: draw(15, 50, "finish") * deg, period: 60 / draw(12, 45, "rate"),
			drive: draw(0.33, 0.55, "drive"), peak: draw(250, 1200, "peak"), form: halfSine, start: draw(0, 5, "start"), depth: -6 * deg, speed: 4}
		d := disturbance{hz: draw(40, 500, "hz"), angle: draw(0, 0.3, "noise") * deg, force: draw(0, 6, "force noise"), seed: 5}
		got := strokesOf(o.record(30*o.period, d), at30)
		for f, tolerance := range map[Feature]float64{CatchAngle: 0.3 * deg, FinishAngle: 0.3 * deg, CatchSlip: 0.6 * deg, ReleaseSlip: 0.6 * deg} {
			if want := o.truth(at30, 0.5)[f]; !near(got.Features[f].Mean, want, tolerance) {
				t.Errorf("%v: %v, want %v", f, got.Features[f], want)
			}
		}
		if peak := got.Features[PeakForce].Mean; !near(peak, o.peak, 0.005*o.peak+0.3*d.force) {
			t.Errorf("peak %v, want %v", peak, o.peak)
		}
		for f, part := range map[Feature]float64{Work: 0.015, Rate: 0.003, Rhythm: 0.12} {
			if want := o.truth(at30, 0.5)[f]; !near(got.Features[f].Mean, want, part*want) {
				t.Errorf("%v: %v, want %v", f, got.Features[f], want)
			}
		}
		if got.Count < 28 || got.Count > 30 {
			t.Errorf("%d of about 29 strokes: %+v", got.Count, got.LeftOut)
		}
	})
}

// The work of a half sine over the arc is 2/π of the rectangle.
func TestWorkOfAHalfSine(t *testing.T) {
	o := sculler()
	got := strokesOf(o.record(60, disturbance{hz: 200}), atForce)
	want := 2 / math.Pi * 600 * inLever * 108 * deg
	if w := got.Features[Work].Mean; !near(w, want, 2e-4*want) {
		t.Errorf("%v J, want %v", w, want)
	}
}

// A force at the gate stands against handle and blade together: with levers
// of 0.84 and 1.76 m the handle has 1.76/2.60 of it.
func TestGateForceIsTurnedIntoMoment(t *testing.T) {
	m := PlainLayout(Gate)
	body := plain("1", sculler().record(30, disturbance{hz: 100}))
	gate, err := Analyse(context.Background(), plainFile(body), m, atForce, Options{Levers: scullLevers})
	if err != nil {
		t.Fatal(err)
	}
	handle := reportOf(t, atForce, body)
	want := handle.Oars[0].Features[Work].Mean * 1.76 / 2.60
	if got := gate.Oars[0].Features[Work].Mean; !near(got, want, 1e-9*want) {
		t.Errorf("%v J, want %v", got, want)
	}
}

func TestWithoutLeversThereIsNoWork(t *testing.T) {
	r, err := Analyse(context.Background(), plainFile(plain("1", sculler().record(30, disturbance{hz: 100}))), PlainLayout(Gate), atForce,
		Options{Levers: func(Oar) Levers { return Levers{In: 0.84} }})
	if err != nil || r.Oars[0].Features[Work].N != 0 || r.Oars[0].Count == 0 {
		t.Error(err, r.Oars[0].Features[Work])
	}
}

// By its construction the blade goes to depth and back as half a sine of the
// arc from 2.5° above to 6° below the water.
func TestPathOfTheBlade(t *testing.T) {
	o := sculler()
	got := strokesOf(o.record(60, disturbance{hz: 200}), covered)
	at := func(vertical float64) float64 { return math.Asin((2.5-vertical)/8.5) / math.Pi } // share of the arc
	arc := 108 * deg
	full := -3 + fullDepth*(-6+3)
	for f, want := range map[Feature]float64{
		EntryAngle: o.catch + arc*at(0), CoverAngle: arc * at(-3), CatchSlip: arc * at(-3), ReleaseSlip: arc * at(-3),
		Depth: -6 * deg, CoverTime: 0.9 / math.Pi * math.Acos(1-2*at(-3)),
		DownShare: (at(full) - at(-3)) / (1 - 2*at(-3)), UpShare: (at(full) - at(-3)) / (1 - 2*at(-3)),
	} {
		if s := got.Features[f]; !near(s.Mean, want, 0.004) {
			t.Errorf("%v: %v, want %v", f, s, want)
		}
	}
}

// A blade that is let down on the last of the recovery meets the water before
// the catch: its path is that of an oar 0.35 s ahead.
func TestBladeMayMeetTheWaterBeforeTheCatch(t *testing.T) {
	o := sculler()
	readings := o.record(60, disturbance{hz: 200})
	for i := range readings {
		readings[i].vertical = o.pull(readings[i].t + 0.35).vertical
	}
	met := 0.9 / math.Pi * math.Acos(1-2*math.Asin(2.5/8.5)/math.Pi) // s after the catch of the oar ahead
	want := o.pull(10 - o.start + met - 0.35).angle
	if s := strokesOf(readings, covered).Features[EntryAngle]; s.N != 29 || !near(s.Mean, want, 0.1*deg) {
		t.Errorf("%v, want %v", s, want)
	}
}

func TestSlipsAreNeverNegative(t *testing.T) {
	got := strokesOf(sculler().record(120, disturbance{hz: 200, angle: 1 * deg, force: 1, seed: 9}), Thresholds{Basis: ByForce, Catch: 2, Release: 2})
	for _, s := range got.Strokes {
		a, _ := s.Value(CatchSlip)
		b, _ := s.Value(ReleaseSlip)
		arc, _ := s.Value(Arc)
		effective, ok := s.Value(EffectiveArc)
		if !ok || a < 0 || b < 0 || !near(a+b+effective, arc, 1e-12) {
			t.Errorf("%v + %v + %v of %v", a, effective, b, arc)
		}
	}
}

func TestTheSmoothedAngleAscendsInTheArc(t *testing.T) {
	w := (&analysis{thresholds: at30}).work(Oar{})
	w.segmenter.cycle = func(k *track, catch, finish, next turn) {
		w.gauge.measure(k, catch, finish, next)
		if a := w.gauge.smooth; !slices.IsSorted(a) || a[0] != catch.angle || a[len(a)-1] != finish.angle {
			t.Error(a)
		}
	}
	for _, s := range sculler().record(60, disturbance{hz: 200, angle: 1 * deg, seed: 10}) {
		w.take(s)
	}
}

func TestBladeThatIsNeverCoveredHasNoDepthSlip(t *testing.T) {
	o := sculler()
	o.depth = -2 * deg
	got := strokesOf(o.record(30, disturbance{hz: 100}), covered)
	if got.Count == 0 || got.Features[CatchSlip].N != 0 || got.Features[CoverTime].N != 0 || got.Features[Depth].N == 0 {
		t.Error(got.Count, got.Features[CatchSlip], got.Features[CoverTime])
	}
}

func TestSlipCarriesItsThreshold(t *testing.T) {
	got := strokesOf(sculler().record(30, disturbance{hz: 100}), at30)
	if s := got.Strokes[0]; !near(s.CatchLevel, 180, 0.5) || s.CatchLevel != s.ReleaseLevel {
		t.Error(s.CatchLevel, s.ReleaseLevel)
	}
	for th, want := range map[Thresholds]string{atForce: "150 N at the catch, 120 N at the release, of each oar", {}: "30 % of peak force", {Share: 0.25}: "25 % of peak force",
		{Basis: ByForce, Catch: 240, Release: 120, RowerOars: 2}: "240 N at the catch, 120 N at the release, of a rower, half of it on each of two oars", covered: "blade covered at -3°"} {
		if th.String() != want {
			t.Errorf("%q, want %q", th, want)
		}
	}
}

func TestSlipIsMeasuredAtAShareOfThePeakUnlessChosen(t *testing.T) {
	strong, weak := sculler(), sculler()
	weak.peak = 200
	for _, o := range []oarsman{strong, weak} {
		got := strokesOf(o.record(30, disturbance{hz: 100}), Thresholds{})
		want := 108 * deg * math.Asin(0.3) / math.Pi
		if s := got.Features[CatchSlip]; !near(s.Mean, want, 0.05*deg) || !near(got.Strokes[0].CatchLevel, 0.3*o.peak, 0.5) {
			t.Errorf("%v at %v N, want %v", s, got.Strokes[0].CatchLevel, want)
		}
	}
}

// A rower's force is split evenly over the oars, an oar's is not.
func TestAFixedForceIsARowersOrAnOars(t *testing.T) {
	readings := sculler().record(30, disturbance{hz: 100})
	for oars, level := range []float64{240, 240, 120} {
		got := strokesOf(readings, Thresholds{Basis: ByForce, Catch: 240, Release: 240, RowerOars: oars})
		want := 108 * deg * math.Asin(level/600) / math.Pi
		for _, f := range []Feature{CatchSlip, ReleaseSlip} {
			if s := got.Features[f]; !near(s.Mean, want, 0.05*deg) || got.Strokes[0].CatchLevel != level || got.Strokes[0].ReleaseLevel != level {
				t.Errorf("%d oars: %v of %v at %v N, want %v", oars, f, s, got.Strokes[0].CatchLevel, want)
			}
		}
	}
}

func TestMeanCurveFollowsTheForm(t *testing.T) {
	o := sculler()
	o.form = frontLoaded
	for _, d := range []disturbance{{hz: 100}, {hz: 100, angle: 0.2 * deg, force: 5, seed: 2}} {
		c := strokesOf(o.record(120, d), atForce).Curve
		for i := range Nodes {
			u := float64(i) / (Nodes - 1)
			if want := 600 * o.form(u); !near(c.ByAngle.Mean[i], want, 8) {
				t.Errorf("by angle at %v: %v, want %v", u, c.ByAngle.Mean[i], want)
			}
			if want := 600 * o.form((1-math.Cos(math.Pi*u))/2); !near(c.ByTime.Mean[i], want, 14) {
				t.Errorf("by time at %v: %v, want %v", u, c.ByTime.Mean[i], want)
			}
		}
	}
}

func TestSpreadOfTheCurveIsThatOfTheStrokes(t *testing.T) {
	weak, strong := sculler(), sculler()
	strong.peak = 700
	c := strokesOf(append(weak.record(61.2, disturbance{hz: 100}), late(strong.record(61.2, disturbance{hz: 100}), 62.0)...), atForce).Curve
	if sd := c.ByAngle.SD[50]; !near(sd, 50, 2) {
		t.Errorf("half the strokes at 600 N and half at 700 N: %v N", sd)
	}
}

// late shifts readings in time.
func late(readings []sample, by float64) []sample {
	out := append([]sample(nil), readings...)
	for i := range out {
		out[i].t += by
	}
	return out
}

func TestHalfStrokesAtBothEndsAreLeftOut(t *testing.T) {
	for start := 0.0; start < 2; start += 0.1 {
		o := sculler()
		o.start = start
		got := strokesOf(o.record(20, disturbance{hz: 100}), atForce)
		if got.Count < 8 || got.Count > 9 || got.LeftOut.Partial != 2 || got.Features[CatchAngle].SD > 0.1*deg || got.Features[Rate].SD > 1e-3 {
			t.Errorf("begun at %v s: %d strokes, %+v, catch %v", start, got.Count, got.LeftOut, got.Features[CatchAngle])
		}
	}
}

// rest holds the oar at an angle.
func rest(from, seconds, angle, hz float64) []sample {
	var out []sample
	for i := range int(seconds * hz) {
		wobble := 0.5 * deg * math.Sin(float64(i)/17)
		out = append(out, sample{t: from + float64(i)/hz, angle: angle + wobble, vertical: 3 * deg})
	}
	return out
}

func TestPausesAreNoStrokes(t *testing.T) {
	for _, seconds := range []float64{8, 15, 30, 300} {
		for name, angle := range map[string]float64{"catch": -64 * deg, "finish": 44 * deg} {
			o := sculler()
			o.start = 0
			if name == "finish" {
				o.start = o.drive * o.period
			}
			// Ten cycles, a rest at the place where they end, ten more.
			first := o.record(20, disturbance{hz: 100})
			pause := rest(20, seconds, angle, 100)
			again := late(o.record(20, disturbance{hz: 100}), 20+seconds)
			got := strokesOf(append(append(first, pause...), again...), atForce)
			if got.Count < 17 || got.Count > 20 || got.Features[Rate].SD > 0.02 || got.Features[CatchAngle].SD > 0.5*deg || got.Features[DriveTime].SD > 0.08 {
				t.Errorf("%v s at the %s: %d strokes, %+v, rate %v, drive %v", seconds, name, got.Count, got.LeftOut, got.Features[Rate], got.Features[DriveTime])
			}
		}
	}
}

func TestAStartFromRestAtTheCatchCounts(t *testing.T) {
	o := sculler()
	o.start = 0
	got := strokesOf(append(rest(0, 4, o.catch, 100), late(o.record(10.5, disturbance{hz: 100}), 4)...), atForce)
	if got.Count != 5 || !near(got.Strokes[0].Start, 4, 0.15) {
		t.Errorf("%d strokes, the first at %v: %+v", got.Count, got.Strokes[0].Start, got.LeftOut)
	}
}

func TestLostSamplesAreBridged(t *testing.T) {
	o := sculler()
	whole := strokesOf(o.record(120, disturbance{hz: 100, angle: 0.1 * deg, force: 3, seed: 4}), atForce)
	holed := strokesOf(o.record(120, disturbance{hz: 100, angle: 0.1 * deg, force: 3, lost: 0.2, seed: 4}), atForce)
	if holed.Count != whole.Count {
		t.Errorf("%d strokes of %d", holed.Count, whole.Count)
	}
	for _, f := range []Feature{CatchAngle, FinishAngle, CatchSlip, PeakForce, Work, Rate} {
		if a, b := whole.Features[f].Mean, holed.Features[f].Mean; !near(b, a, 0.005*max(math.Abs(a), 1)) {
			t.Errorf("%v: %v with a fifth of the samples lost, %v without", f, b, a)
		}
	}
}

func TestStrokesWithAGapAreLeftOut(t *testing.T) {
	readings := sculler().record(41, disturbance{hz: 100})
	holed := append(readings[:1000:1000], readings[1040:]...) // 0.4 s
	got := strokesOf(holed, atForce)
	if whole := strokesOf(readings, atForce); got.LeftOut.Gap != 1 || got.Count != whole.Count-1 {
		t.Errorf("%d of %d strokes, %+v", got.Count, whole.Count, got.LeftOut)
	}
}

func TestALongGapCostsOnlyWhatItCovers(t *testing.T) {
	for _, seconds := range []float64{1.3, 7, 19, 3600} {
		for before := 0.0; before < 2; before += 0.3 {
			for after := 0.0; after < 2; after += 0.3 {
				first, second := sculler(), sculler()
				second.start = after
				readings := append(first.record(20+before, disturbance{hz: 100}), late(second.record(20, disturbance{hz: 100}), 20+before+seconds)...)
				got := strokesOf(readings, atForce)
				if got.Count < 16 || got.Count > 19 || got.Features[CatchAngle].SD > 0.05*deg || got.Features[Rate].SD > 1e-3 {
					t.Errorf("%v s from %v to %v: %d strokes, %+v, catch %v", seconds, before, after, got.Count, got.LeftOut, got.Features[CatchAngle])
				}
			}
		}
	}
}

func TestSingleSpikesAreTakenOut(t *testing.T) {
	readings := sculler().record(60, disturbance{hz: 100})
	want := strokesOf(readings, atForce)
	for i := 37; i < len(readings)-1; i += 53 {
		readings[i].angle += 40 * deg * float64(1-2*(i%2))
	}
	got := strokesOf(readings, atForce)
	if got.Count != want.Count || got.Spikes == 0 || !near(got.Features[FinishAngle].Mean, want.Features[FinishAngle].Mean, 0.02*deg) ||
		!near(got.Features[Work].Mean, want.Features[Work].Mean, 0.5) {
		t.Errorf("%d spikes, %d strokes of %d, finish %v", got.Spikes, got.Count, want.Count, got.Features[FinishAngle])
	}
}

func TestMovementWithoutLoadIsNoStroke(t *testing.T) {
	o := sculler()
	o.peak = 10
	if got := strokesOf(o.record(20, disturbance{hz: 100}), atForce); got.Count != 0 || got.LeftOut.NoLoad < 8 {
		t.Errorf("%d strokes, %+v", got.Count, got.LeftOut)
	}
}

func TestTooFastAndTooShortAreCounted(t *testing.T) {
	o := sculler()
	o.period = 0.8
	if got := strokesOf(o.record(20, disturbance{hz: 200}), atForce); got.Count != 0 || got.LeftOut.Fast < 20 {
		t.Errorf("75 a minute: %d strokes, %+v", got.Count, got.LeftOut)
	}
	o = sculler()
	o.catch, o.finish = -5*deg, 13*deg
	if got := strokesOf(o.record(20, disturbance{hz: 200}), atForce); got.Count != 0 || got.LeftOut.Short < 8 {
		t.Errorf("18 degrees: %d strokes, %+v", got.Count, got.LeftOut)
	}
}

// Laws: what changes in the input shows in the output and nowhere else.
func TestForceScalesForceAlone(t *testing.T) {
	readings := sculler().record(40, disturbance{hz: 100, angle: 0.2 * deg, force: 3, seed: 6})
	one := strokesOf(readings, at30)
	for i := range readings {
		readings[i].force *= 2
	}
	two := strokesOf(readings, at30)
	for f := range Feature(FeatureCount) {
		want := one.Features[f].Mean
		if f == PeakForce || f == MeanForce || f == Work || f == Power {
			want *= 2
		}
		if got := two.Features[f].Mean; !near(got, want, 1e-9*(1+math.Abs(want))) {
			t.Errorf("%v: %v, want %v", f, got, want)
		}
	}
}

func TestTimeOfDayChangesNothing(t *testing.T) {
	readings := sculler().record(40, disturbance{hz: 100, angle: 0.2 * deg, force: 3, seed: 6})
	one, two := strokesOf(readings, at30), strokesOf(late(readings, 65536), at30)
	for f := range Feature(FeatureCount) {
		if a, b := one.Features[f].Mean, two.Features[f].Mean; !near(b, a, 1e-6*(1+math.Abs(a))) {
			t.Errorf("%v: %v and %v", f, a, b)
		}
	}
}

func TestSlipGrowsWithTheThreshold(t *testing.T) {
	readings := sculler().record(30, disturbance{hz: 100, angle: 0.2 * deg, force: 3, seed: 7})
	var last OarReport
	for level := 20.0; level < 500; level += 40 {
		got := strokesOf(readings, Thresholds{Basis: ByForce, Catch: level, Release: level})
		if got.Features[CatchSlip].Mean <= last.Features[CatchSlip].Mean || got.Features[ReleaseSlip].Mean <= last.Features[ReleaseSlip].Mean {
			t.Errorf("at %v N: %v and %v", level, got.Features[CatchSlip], got.Features[ReleaseSlip])
		}
		last = got
	}
}

func TestEqualInputGivesEqualReports(t *testing.T) {
	body := plain("1", sculler().record(60, disturbance{hz: 100, angle: 0.3 * deg, force: 5, seed: 8}))
	if d := cmp.Diff(reportOf(t, atForce, body), reportOf(t, atForce, body), cmp.Exporter(func(reflect.Type) bool { return true })); d != "" {
		t.Error(d)
	}
}

func TestOarsStandInOrder(t *testing.T) {
	body := func(seat string) string { return plain(seat, sculler().record(10, disturbance{hz: 50})) }
	r := reportOf(t, atForce, body("10"), body("stroke"), body("2"), body("bow"), body("1"))
	var got []string
	for _, o := range r.Oars {
		got = append(got, o.Oar.Seat)
	}
	if want := []string{"1", "2", "10", "bow", "stroke"}; !cmp.Equal(got, want) {
		t.Error(got)
	}
}

func TestHandsOfASeatAreJoined(t *testing.T) {
	o := sculler()
	text := wide("", o.record(30, disturbance{hz: 100}))
	m := Mapping{Separator: ',', Force: Handle, Columns: []Column{{0, Time, Second, "", 0, false},
		{1, OarAngle, Degree, "1", rigging.Starboard, false}, {2, Force, Newton, "1", rigging.Starboard, false},
		{3, OarAngle, Degree, "1", rigging.Port, false}, {4, Force, Newton, "1", rigging.Port, false}}}
	r, err := Analyse(context.Background(), strings.NewReader(text), m, atForce, Options{Levers: scullLevers})
	if err != nil {
		t.Fatal(err)
	}
	seats := r.Seats()
	if len(seats) != 1 || len(seats[0].Oars) != 2 || seats[0].Oars[0].Oar.Side != rigging.Port {
		t.Fatal(seats)
	}
	one := seats[0].Oars[0]
	if !near(seats[0].Power, 2*one.Features[Power].Mean, 1e-9) || !near(seats[0].Curve[50], 2*one.Curve.ByAngle.Mean[50], 1e-9) {
		t.Error(seats[0].Power, seats[0].Curve[50])
	}
}

func TestSamplesAreHandedOverOnceAndInOrder(t *testing.T) {
	readings := sculler().record(60, disturbance{hz: 100})
	readings[2000].angle += 50 * deg // a spike, which is taken out
	var got []sample
	take := func(o Oar, b Block) error {
		if o.Seat != "7" {
			t.Error(o)
		}
		for i := range b.Time {
			got = append(got, sample{b.Time[i], b.Angle[i], b.Force[i], b.Vertical[i], b.Speed[i]})
		}
		return nil
	}
	_, err := Analyse(context.Background(), plainFile(plain("7", readings)), PlainLayout(Handle), atForce, Options{Samples: take})
	if err != nil || len(got) != len(readings)-1 {
		t.Fatalf("%d of %d samples: %v", len(got), len(readings), err)
	}
	for i := 1; i < len(got); i++ {
		if got[i].t <= got[i-1].t || !near(got[i].angle, sculler().pull(got[i].t).angle, 1e-5) {
			t.Fatal(i, got[i])
		}
	}
}

func TestSlowSensorsAreHeldAndThenUnknown(t *testing.T) {
	var b strings.Builder
	for i, s := range sculler().record(20, disturbance{hz: 50}) {
		speed := ""
		if i%50 == 25 && s.t < 10 {
			speed = "4.5"
		}
		fmt.Fprintf(&b, "%.3f,1,%.3f,%.3f,,%s\n", s.t, s.angle/deg, s.force, speed)
	}
	known, unknown := 0, 0
	take := func(_ Oar, b Block) error {
		if b.Vertical != nil {
			t.Error("a vertical angle that was never measured")
		}
		if b.Speed == nil {
			unknown += len(b.Time)
		} else {
			known += len(b.Time)
		}
		return nil
	}
	r, err := Analyse(context.Background(), plainFile(b.String()), PlainLayout(Handle), atForce, Options{Samples: take})
	if err != nil {
		t.Fatal(err)
	}
	// Known from 0.5 s to the last value at 9.5 s and 1.5 s beyond.
	if !near(float64(known), 525, 2) || !near(float64(unknown), 475, 2) {
		t.Error(known, unknown)
	}
	if s := r.Oars[0].Features[MeanSpeed]; s.N == 0 || s.N >= r.Oars[0].Count || !near(s.Mean, 4.5, 1e-9) {
		t.Error(s)
	}
}

func TestAReceiverThatFailsEndsTheAnalysis(t *testing.T) {
	full := errors.New("the disk is full")
	src, calls := newEndless(50_000_000), 0
	_, err := Analyse(context.Background(), io.MultiReader(strings.NewReader(PlainHeader+"\n"), src), PlainLayout(Handle), atForce,
		Options{Samples: func(Oar, Block) error { calls++; return full }})
	if !errors.Is(err, full) || calls != 1 || src.left < 40_000_000 {
		t.Error(err, calls, src.left)
	}
}

func TestAPanicOfAReceiverReachesTheCaller(t *testing.T) {
	defer func() {
		if got := recover(); got != "torn" {
			t.Error(got)
		}
	}()
	src := io.MultiReader(strings.NewReader(PlainHeader+"\n"), newEndless(5_000_000))
	_, err := Analyse(context.Background(), src, PlainLayout(Handle), atForce, Options{Samples: func(Oar, Block) error { panic("torn") }})
	t.Error("no panic:", err)
}

func TestProgressAndCancel(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	var seen []int64
	src := io.MultiReader(strings.NewReader(PlainHeader+"\n"), newEndless(50_000_000))
	_, err := Analyse(ctx, src, PlainLayout(Handle), atForce, Options{Progress: func(n int64) {
		if seen = append(seen, n); n > 1_000_000 {
			cancel()
		}
	}})
	if !errors.Is(err, context.Canceled) {
		t.Fatal(err)
	}
	for i := range seen {
		if i > 0 && seen[i] <= seen[i-1] || seen[i] > 2_000_000 {
			t.Error(seen)
		}
	}
}

func TestErrorsOfTheSourceAreHandedOn(t *testing.T) {
	broken := errors.New("the line broke")
	src := io.MultiReader(plainFile(plain("1", sculler().record(10, disturbance{hz: 50}))), failing{broken})
	if _, err := Analyse(context.Background(), src, PlainLayout(Handle), atForce, Options{}); !errors.Is(err, broken) {
		t.Error(err)
	}
}

type failing struct{ err error }

func (f failing) Read([]byte) (int, error) { return 0, f.err }

func TestLeversAreChecked(t *testing.T) {
	_, err := Analyse(context.Background(), plainFile(plain("3", sculler().record(10, disturbance{hz: 50}))), PlainLayout(Handle), atForce,
		Options{Levers: func(Oar) Levers { return Levers{In: 84} }})
	var field *rigging.FieldError
	if !errors.As(err, &field) || field.Place.String() != "levers" {
		t.Error(err)
	}
}

// TestThresholdsTakeTheEndsOfTheirRanges as their messages name them, and nothing
// beyond.
func TestThresholdsTakeTheEndsOfTheirRanges(t *testing.T) {
	degree := float64(rigging.Degree)
	for _, c := range []struct {
		name      string
		of        func(x float64) Thresholds
		low, high float64
	}{
		{"catch", func(x float64) Thresholds { return Thresholds{Basis: ByForce, Catch: x, Release: 100} }, 1, 2000},
		{"release", func(x float64) Thresholds { return Thresholds{Basis: ByForce, Catch: 100, Release: x} }, 1, 2000},
		{"share", func(x float64) Thresholds { return Thresholds{Basis: ByShare, Share: x} }, 0.01, 0.95},
		{"covered", func(x float64) Thresholds { return Thresholds{Basis: ByDepth, Covered: rigging.Angle(x)} }, -20 * degree, 0},
	} {
		for x, want := range map[float64]bool{c.low: true, c.high: true, c.low - 1e-6: false, c.high + 1e-6: false} {
			if err := c.of(x).Validate(); (err == nil) != want {
				t.Errorf("%s of %g: %v, want it taken: %v", c.name, x, err, want)
			}
		}
	}
}
