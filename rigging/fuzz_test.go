package rigging_test

import (
	"encoding/binary"
	"errors"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"thole/rigging"
)

// finite fails for a NaN or an infinity anywhere in v.
func finite(t *testing.T, what string, v any) {
	t.Helper()
	if at := notFinite(reflect.ValueOf(v)); at != "" {
		t.Fatalf("%s%s is not finite: %+v", what, at, v)
	}
}

// notFinite returns the path to the first number in v that is not finite, or "".
func notFinite(v reflect.Value) string {
	switch v.Kind() {
	case reflect.Float64:
		if math.IsNaN(v.Float()) || math.IsInf(v.Float(), 0) {
			return " "
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if at := notFinite(v.Field(i)); at != "" {
				return "." + v.Type().Field(i).Name + at
			}
		}
	case reflect.Array, reflect.Slice:
		for i := range v.Len() {
			if at := notFinite(v.Index(i)); at != "" {
				return "[]" + at
			}
		}
	case reflect.Pointer:
		if !v.IsNil() {
			return notFinite(v.Elem())
		}
	}
	return ""
}

func TestFiniteSeesEveryNumber(t *testing.T) {
	nan := math.NaN()
	for _, bad := range []any{
		rigging.Stroke{AtFinish: rigging.Pose{Hip: rigging.Point{Z: nan}}},
		rigging.Demand{Finish: &rigging.EndDemand{Margin: rigging.Angle(math.Inf(1))}},
		[]rigging.Sensitivity{{}, {HandleFinish: nan}},
	} {
		if notFinite(reflect.ValueOf(bad)) == "" {
			t.Errorf("%+v passes for finite", bad)
		}
	}
	if at := notFinite(reflect.ValueOf(rigging.Stroke{})); at != "" {
		t.Errorf("zero stroke: %s", at)
	}
}

// clear fails unless err names a field and says something of it.
func clear(t *testing.T, err error) {
	t.Helper()
	for _, e := range fieldErrors(t, err) {
		if e.Place.String() == "" || e.Problem == "" || e.Error() == "" {
			t.Fatalf("unclear: %+v", e)
		}
		finite(t, "ends of "+e.Place.String(), []float64{e.Low, e.High})
		if math.IsNaN(e.Value) {
			t.Fatalf("a NaN leaves in %+v", e)
		}
	}
}

// fuzzClass picks a class.
func fuzzClass(n uint8) rigging.Class {
	all := rigging.Classes()
	return all[int(n)%len(all)]
}

// everything runs all that a seat is asked, and wants it finite throughout; it
// reports whether the seat can be rowed.
func everything(t *testing.T, c *rigging.Case, m *rigging.Measures) bool {
	t.Helper()
	finite(t, "body", c.Body)
	finite(t, "gearing", c.Setup.Gearing())
	stroke, err := c.Solve()
	if err != nil {
		if limitOf(t, err) == "" || err.Error() == "" {
			t.Fatalf("unclear limit: %#v", err)
		}
		return false
	}
	finite(t, "stroke", stroke)
	if stroke.Finish <= stroke.Catch || stroke.Catch < deg(-85.0001) || stroke.Finish > deg(85.0001) {
		t.Fatalf("arc from %.2f to %.2f", stroke.Catch.Degrees(), stroke.Finish.Degrees())
	}
	finite(t, "sensitivities", c.Sensitivities(&stroke))
	finite(t, "uncertainty", c.Uncertainty(&stroke))
	finite(t, "heights", c.Heights(&stroke))
	finite(t, "entry", c.Setup.Entry(&stroke, rigging.DefaultApproach()))
	finite(t, "demand", c.Demand(&stroke, rigging.DefaultTargets(c.Setup.Class), rigging.DefaultLimits()))
	finite(t, "cautions", c.Cautions(&stroke, m))
	finite(t, "pitch", []rigging.Angle{c.Setup.Pitch(stroke.Catch), c.Setup.Pitch(stroke.Finish)})
	return true
}

// FuzzSeat takes a seat and a rower of any numbers at all: either a clear
// error, or finite results everywhere.
func FuzzSeat(f *testing.F) {
	nan, inf := math.NaN(), math.Inf(1)
	f.Add(uint8(0), int8(0), 1.59, 0.0, 2.88, 0.88, 0.165, 0.01, 0.234, 0.17, 0.73, 0.0, 0.07, 0.0, 0.075, uint8(2), 0.0, 1.85, 1.90, 0.0, 85.0, 0.0)
	f.Add(uint8(7), int8(-1), 0.0, 0.85, 3.75, 1.15, 0.165, 0.0, 0.20, 0.17, 0.73, 0.07, 0.0, 0.0, 0.075, uint8(1), 15.0, 1.70, 0.0, 0.0, 0.0, 0.3)
	f.Add(uint8(3), int8(1), 0.0, 0.85, 3.75, 1.15, 0.165, 0.0, 0.20, 0.17, 0.73, 0.07, 0.0, 0.0, 0.0, uint8(0), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
	f.Add(uint8(0), int8(0), nan, inf, -inf, 159.0, 1e308, nan, 0.0, -0.17, 42.0, 4.0, -1e-300, nan, inf, uint8(2), nan, 185.0, inf, -0.9, 1e9, nan)
	f.Fuzz(func(t *testing.T, n uint8, side int8, span, spread, length, inboard, gate, difference, heel, depth, plate, blade, stern, outward, over float64,
		sex uint8, age, stature, arms, sitting, mass, draw float64) {
		s := rigging.Setup{
			Class: fuzzClass(n), Side: rigging.Side(side), Span: span, Spread: spread, OarLength: length, Inboard: inboard,
			GateHeight: gate, GateDifference: difference, HeelToPin: heel, HeelDepth: depth, PlateAngle: rigging.Angle(plate),
			BladePitch: rigging.Angle(blade), SternPitch: rigging.Angle(stern), OutwardPitch: rigging.Angle(outward), SeatOverWater: over,
		}
		m := rigging.Measures{
			Sex: rigging.Sex(sex % 3), Age: age, Stature: stature, ArmSpan: arms, SittingHeight: sitting, Mass: mass, DrawHeight: draw,
		}
		if err := errors.Join(s.Check(), m.Check()); err != nil {
			clear(t, s.Check())
			clear(t, m.Check())
			return
		}
		c := rigging.NewCase(s, &m)
		everything(t, &c, &m)
	})
}

// dial reads numbers in given ranges from a fuzzer's bytes, two bytes each; it
// leans to the ends and to "not given", where faults live.
type dial struct{ bytes []byte }

func (d *dial) word() uint16 {
	if len(d.bytes) < 2 {
		return 0x8000
	}
	w := binary.LittleEndian.Uint16(d.bytes)
	d.bytes = d.bytes[2:]
	return w
}

func (d *dial) in(low, high float64) float64 {
	w := d.word()
	switch w % 8 {
	case 0:
		return low
	case 1:
		return high
	}
	return min(high, low+(high-low)*float64(w)/math.MaxUint16)
}

// maybe is in, or zero: not given.
func (d *dial) maybe(low, high float64) float64 {
	if d.word()%2 == 0 {
		return 0
	}
	return d.in(low, high)
}

func (d *dial) angle(low, high float64) rigging.Angle { return deg(d.in(low, high)) }

func (d *dial) setup() rigging.Setup {
	s := rigging.Setup{
		Class: fuzzClass(uint8(d.word())), Side: rigging.Port, GateHeight: d.in(0.03, 0.35), HeelToPin: d.in(0.001, 0.90),
		HeelDepth: d.in(0.05, 0.35), PlateAngle: d.angle(20, 65), BladePitch: d.angle(-10, 15), SternPitch: d.angle(-10, 15),
		OutwardPitch: d.angle(-10, 10), SeatOverWater: d.in(-0.15, 0.40),
	}
	if s.Class.Scull {
		s.Span, s.OarLength, s.Inboard, s.GateDifference = d.in(1.10, 1.90), d.in(2.00, 3.30), d.in(0.60, 1.10), d.in(-0.05, 0.05)
	} else {
		s.Spread, s.OarLength, s.Inboard = d.in(0.60, 1.10), d.in(2.80, 4.30), d.in(0.85, 1.40)
	}
	return s
}

func (d *dial) measures() rigging.Measures {
	return rigging.Measures{
		Sex: rigging.Sex(d.word() % 3), Age: d.maybe(6, 110), Stature: d.maybe(1.00, 2.35), ArmSpan: d.maybe(0.90, 2.60),
		SittingHeight: d.maybe(0.50, 1.25), Mass: d.maybe(20, 200), DrawHeight: d.maybe(0.15, 0.60),
		Segments: rigging.Body{
			Shank: d.maybe(0.22, 0.65), Thigh: d.maybe(0.22, 0.65), Trunk: d.maybe(0.28, 0.80), Arm: d.maybe(0.35, 1.00),
			HalfShoulder: d.maybe(0.09, 0.28), HalfDepth: d.maybe(0.05, 0.30), AnkleAlong: d.maybe(0.02, 0.14),
			AnkleOff: d.maybe(0.03, 0.16), Ball: d.maybe(0.10, 0.32), HipHeight: d.maybe(0.03, 0.18),
		},
	}
}

func (d *dial) posture(c rigging.Class) rigging.Posture {
	if d.word()%2 == 0 {
		return rigging.DefaultPosture(c)
	}
	return rigging.Posture{
		Shin: d.angle(60, 125), Lean: d.angle(-15, 60), Layback: d.angle(-5, 60), Protraction: d.in(0, 0.20),
		Dorsiflexion: d.angle(0, 60), FinishKnee: d.angle(120, 180), FinishGap: d.in(0, 0.20),
		RotationMax: d.angle(0, 90), SideLean: d.in(-0.10, 0.20),
	}
}

// seeds are byte strings for the dial: common values, both ends, and mixtures.
func seeds(f *testing.F) {
	f.Add([]byte{})
	for _, b := range []byte{0x00, 0x01, 0x08, 0x09, 0x55, 0xff} {
		long := make([]byte, 160)
		for i := range long {
			long[i] = b * byte(1+i%3)
		}
		f.Add(long)
	}
}

// corners asks everything of the seat that the bytes dial; it reports whether
// the seat can be rowed.
func corners(t *testing.T, bytes []byte) bool {
	t.Helper()
	d := dial{bytes}
	s, m := d.setup(), d.measures()
	posture := d.posture(s.Class)
	if err := posture.Check(); err != nil {
		t.Fatalf("posture within the ranges: %v", err)
	}
	if s.Check() != nil || m.Check() != nil {
		clear(t, s.Check())
		clear(t, m.Check())
		return false
	}
	c := rigging.NewCase(s, &m)
	c.Posture = posture
	if d.word()%2 == 0 {
		c.Handle = &rigging.Handle{Catch: d.in(0.05, 0.60), Finish: d.in(0.05, 0.60)}
	}
	return everything(t, &c, &m)
}

// FuzzCornersOfTheSeat combines the ends of the ranges that Check lets pass.
func FuzzCornersOfTheSeat(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, bytes []byte) { corners(t, bytes) })
}

// TestCornersOfTheSeatStayFinite does the same for a fixed sample of bytes.
func TestCornersOfTheSeatStayFinite(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 9))
	rowed := 0
	for range 4000 {
		bytes := make([]byte, 160)
		for i := range bytes {
			bytes[i] = byte(r.Uint32())
		}
		if corners(t, bytes) {
			rowed++
		}
	}
	if rowed < 300 {
		t.Errorf("only %d of 4000 seats can be rowed", rowed)
	}
}

// FuzzQuestions puts any targets, limits, approach and measured arc that pass
// their checks to demand, entry and calibration.
func FuzzQuestions(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, bytes []byte) {
		d := dial{bytes}
		s, m := d.setup(), d.measures()
		targets := rigging.Targets{Catch: deg(d.maybe(-85, -10)), Finish: deg(d.maybe(5, 80))}
		limits := rigging.Limits{Lean: d.angle(0, 60), Layback: d.angle(0, 60), KneeFlexion: d.angle(60, 175), TrunkThigh: d.angle(90, 180)}
		approach := rigging.Approach{BoatSpeed: d.in(0.5, 8), EdgeHeight: d.in(0, 0.40), BladeSpeed: d.in(0.2, 8), Overdepth: d.in(0, 0.60)}
		arc := rigging.MeasuredArc{Setup: s, Catch: deg(d.maybe(-85, -10)), Finish: deg(d.maybe(5, 80)), SD: deg(d.maybe(0.05, 10))}
		for _, err := range []error{targets.Check(), limits.Check(), approach.Check(), arc.Check()} {
			if err != nil {
				t.Fatalf("within the ranges: %v", err)
			}
		}
		if s.Check() != nil || m.Check() != nil {
			return
		}
		c := rigging.NewCase(s, &m)
		stroke, err := c.Solve()
		if err != nil {
			return
		}
		finite(t, "demand", c.Demand(&stroke, targets, limits))
		finite(t, "entry", s.Entry(&stroke, approach))
		if cal, err := rigging.Calibrate(c.Body, c.Posture, []rigging.MeasuredArc{arc}); err == nil {
			finite(t, "calibration", cal)
		}
	})
}

// FuzzCheck takes any numbers through the checks of the smaller inputs.
func FuzzCheck(f *testing.F) {
	f.Add(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
	f.Add(1.57, 0.44, 0.49, 0.05, 0.61, 3.05, 0.03, 0.79, 0.05)
	f.Add(math.NaN(), math.Inf(1), math.Inf(-1), 1e308, -1e308, 5e-324, math.Copysign(0, -1), 1.0, 90.0)
	f.Fuzz(func(t *testing.T, a, b, c, d, e, g, h, i, j float64) {
		angle := func(x float64) rigging.Angle { return rigging.Angle(x) }
		for _, err := range []error{
			(&rigging.Posture{Shin: angle(a), Lean: angle(b), Layback: angle(c), Protraction: d, Dorsiflexion: angle(e),
				FinishKnee: angle(g), FinishGap: h, RotationMax: angle(i), SideLean: j}).Check(),
			(&rigging.Handle{Catch: a, Finish: b}).Check(),
			(&rigging.Targets{Catch: angle(a), Finish: angle(b)}).Check(),
			(&rigging.Limits{Lean: angle(a), Layback: angle(b), KneeFlexion: angle(c), TrunkThigh: angle(d)}).Check(),
			(&rigging.Approach{BoatSpeed: a, EdgeHeight: b, BladeSpeed: c, Overdepth: d}).Check(),
			(&rigging.MeasuredArc{Catch: angle(a), Finish: angle(b), SD: angle(c)}).Check(),
		} {
			clear(t, err)
		}
		crew := rigging.Crew{Class: fuzzClass(7), HullMass: a, CoxMass: b, DeadWeight: c, HeelRise: d, BladeEdge: e, BowBall: g,
			Lightweight: true, Sex: rigging.Male, Masses: []float64{h, i, j}}
		if err := crew.Check(); err != nil {
			clear(t, err)
			return
		}
		finite(t, "findings", rigging.CheckRules(&crew))
	})
}
