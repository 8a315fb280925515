package strokefile

import (
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"thole/api/access"
	"thole/api/wire"
	"thole/rigging"
	"thole/selection/stroke"
)

// reportOf is a report of oars of seats.
func reportOf(seats ...string) *stroke.Report {
	r := &stroke.Report{}
	for _, name := range seats {
		r.Oars = append(r.Oars, stroke.OarReport{Oar: stroke.Oar{Seat: name}})
	}
	return r
}

// TestAnAthleteSaysWhichSeatIsTheirs where a file holds several; who may see all is shown
// all, or the one asked for. A sculler's two oars are one seat.
func TestAnAthleteSaysWhichSeatIsTheirs(t *testing.T) {
	for name, c := range map[string]struct {
		role  access.Role
		seats []string
		seat  *string
		oars  int
		said  string
	}{
		"a coach": {access.Coach, []string{"1", "2"}, nil, 2, ""}, "an athlete alone": {access.Athlete, []string{"1", "1"}, nil, 2, ""}, "an athlete of two": {access.Athlete, []string{"1", "2"}, nil, 2, "The file holds seats 1 and 2: say which is yours."},
		"an athlete's own": {access.Athlete, []string{"1", "2", "2"}, wire.Ptr("2"), 2, ""}, "a coach's": {access.Coach, []string{"1", "2", "2"}, wire.Ptr("1"), 1, ""},
		"no such seat": {access.Coach, []string{"1"}, wire.Ptr("3"), 1, "The file has no seat “3”; it holds seat 1."}, "no seats": {access.Coach, []string{""}, wire.Ptr("3"), 1, "it holds one rower without a seat."},
	} {
		r := reportOf(c.seats...)
		err := narrow(access.With(t.Context(), &access.Viewer{Role: c.role, Account: 7}), r, c.seat)
		var bad *wire.Invalid
		if errors.As(err, &bad) != (c.said != "") || bad != nil && (bad.Fields[0].Field != "seat" || !strings.Contains(bad.Fields[0].Detail, c.said)) {
			t.Errorf("%s: %v, want %q", name, err, c.said)
		}
		if len(r.Oars) != c.oars {
			t.Errorf("%s: %d oars, want %d", name, len(r.Oars), c.oars)
		}
	}
	// Nine are named, an eight and its coxswain; more are counted.
	nine := strings.Split("1 2 3 4 5 6 7 8 C", " ")
	if a, b := seatNames(nine), seatNames(append(nine, "9")); a != "seats 1, 2, 3, 4, 5, 6, 7, 8 and C" || b != "10 seats" {
		t.Errorf("%s; %s", a, b)
	}
}

// TestWhatIsNotKnownIsLeftOut: a power of nothing, features without a stroke, and values that
// a stroke does not have.
func TestWhatIsNotKnownIsLeftOut(t *testing.T) {
	if a, b := wireSeat(&stroke.Seat{}).PowerW, wireSeat(&stroke.Seat{Power: 302.456}).PowerW; a != nil || b == nil || *b != 302.46 {
		t.Errorf("power %v and %v", a, b)
	}
	var of [stroke.FeatureCount]stroke.Summary
	of[stroke.CatchAngle] = stroke.Summary{N: 1, Mean: -math.Pi / 3}
	of[stroke.PeakForce] = stroke.Summary{Mean: 600}
	if w := wireFeatures(&of); len(w) != 1 || w["catch_deg"] != (FeatureResult{N: 1, Mean: -60}) {
		t.Errorf("%+v", w)
	}
	var v FeatureValues
	if text, err := json.Marshal(v); err != nil || string(text) != "{}" {
		t.Errorf("%s %v", text, err)
	}
	const known = `{"catch_deg":-64,"peak_n":600,"cover_speed_m_s":1.5}` // the first of the list, one within and the last
	if err := json.Unmarshal([]byte(known), &v); err != nil {
		t.Fatal(err)
	}
	if text, err := json.Marshal(v); err != nil || string(text) != known {
		t.Errorf("%s %v", text, err)
	}
	for name, want := range map[string]float64{"catch_deg": -64, "peak_n": 600, "cover_speed_m_s": 1.5, "finish_deg": 0, "colour": 0} {
		if got, ok := v.Value(name); got != want || ok != (want != 0) {
			t.Errorf("%s: %g %t, want %g", name, got, ok, want)
		}
	}
	rate := wireRate(&stroke.RateGroup{Low: 0.3, High: 0.5, Count: 7})
	if rate.FromPerMin != 18 || rate.ToPerMin != 30 || rate.Strokes != 7 {
		t.Errorf("%+v", rate)
	}
}

// TestThresholdsThatAreNotStated are shown as what was used: 30 % of the peak, or covered at
// −3°. A stated 0° is the water itself, and none of them.
func TestThresholdsThatAreNotStated(t *testing.T) {
	deg := rigging.Degree
	if w := WireThresholds(stroke.Thresholds{}); *w.ShareOfPeak != 0.3 || w.CoveredDeg != nil || w.CatchN != nil {
		t.Errorf("a share: %+v", w)
	}
	if w := WireThresholds(stroke.Thresholds{Share: 0.5}); *w.ShareOfPeak != 0.5 {
		t.Errorf("half: %+v", w)
	}
	for covered, want := range map[rigging.Angle]float64{0: -3, -5 * deg: -5} {
		if w := WireThresholds(stroke.Thresholds{Basis: stroke.ByDepth, Covered: covered}); w.ShareOfPeak != nil || *w.CoveredDeg != want {
			t.Errorf("covered at %g: %+v, want %g", covered, *w.CoveredDeg, want)
		}
	}
	for stated, bad := range map[float64]bool{0: false, -20: false, -20.1: true, 0.1: true, -3: false} {
		d, err := (&StrokeThresholds{CoveredDeg: &stated}).Domain()
		if (err != nil) != bad {
			t.Errorf("%g°: %v", stated, err)
		}
		if bad {
			continue
		}
		if w := WireThresholds(d); d.Basis != stroke.ByDepth || w.CoveredDeg == nil || *w.CoveredDeg != stated || math.Signbit(*w.CoveredDeg) != (stated < 0) {
			t.Errorf("%g°: %+v is shown as %g", stated, d, *w.CoveredDeg)
		}
		if said := map[float64]string{0: "blade covered at 0°", -20: "blade covered at -20°", -3: "blade covered at -3°"}[stated]; d.String() != said {
			t.Errorf("%g°: %s", stated, d)
		}
	}
}

// TestThresholdsAreOfOneKind: forces or a share, and oars go with forces.
func TestThresholdsAreOfOneKind(t *testing.T) {
	v := wire.Ptr[float64]
	for name, c := range map[string]struct {
		t    *StrokeThresholds
		want stroke.Thresholds
		bad  bool
	}{
		"nothing": {nil, stroke.Thresholds{}, false}, "nothing stated": {&StrokeThresholds{}, stroke.Thresholds{}, false}, "a share": {&StrokeThresholds{ShareOfPeak: v(0.01)}, stroke.Thresholds{Share: 0.01}, false},
		"forces":    {&StrokeThresholds{CatchN: v(1), ReleaseN: v(2000), RowerOars: 2}, stroke.Thresholds{Basis: stroke.ByForce, Catch: 1, Release: 2000, RowerOars: 2}, false},
		"one force": {&StrokeThresholds{ReleaseN: v(98)}, stroke.Thresholds{}, true}, "both": {&StrokeThresholds{ShareOfPeak: v(0.3), ReleaseN: v(98)}, stroke.Thresholds{}, true},
		"oars of a share": {&StrokeThresholds{ShareOfPeak: v(0.3), RowerOars: 1}, stroke.Thresholds{}, true}, "oars alone": {&StrokeThresholds{RowerOars: 1}, stroke.Thresholds{}, true},
	} {
		got, err := c.t.Domain()
		if (err != nil) != c.bad || err == nil && got != c.want {
			t.Errorf("%s: %+v %v, want %+v", name, got, err, c.want)
		}
	}
}

// TestLeversThatAnOarHas: the arm outside may be left out, unless the force was measured at
// the gate.
func TestLeversThatAnOarHas(t *testing.T) {
	for _, c := range []struct {
		in, out float64
		force   stroke.Site
		bad     string
	}{
		{50, 0, stroke.Handle, ""}, {150, 100, stroke.Handle, ""}, {84, 300, stroke.Gate, ""}, {49.9, 200, stroke.Handle, "levers.in_cm"}, {150.1, 200, stroke.Handle, "levers.in_cm"},
		{84, 0, stroke.Gate, "levers.out_cm"}, {84, 99.9, stroke.Handle, "levers.out_cm"}, {84, 99.9, stroke.Gate, "levers.out_cm"}, {84, 300.1, stroke.Gate, "levers.out_cm"},
	} {
		err := (&OarLevers{InCm: c.in, OutCm: c.out}).Check(c.force)
		var bad *wire.Invalid
		if errors.As(err, &bad) != (c.bad != "") || bad != nil && bad.Fields[0].Field != c.bad {
			t.Errorf("%g and %g cm: %v, want a complaint at %q", c.in, c.out, err, c.bad)
		}
	}
	if err := (*OarLevers)(nil).Check(stroke.Gate); err != nil || (*OarLevers)(nil).ByOar() != nil {
		t.Errorf("no levers: %v", err)
	}
	if got := (&OarLevers{InCm: 84, OutCm: 199}).ByOar()(stroke.Oar{}); got != (stroke.Levers{In: 0.84, Out: 1.99}) {
		t.Errorf("%+v", got)
	}
}

// TestAMappingComesBackAsItWasSent: every separator, quantity, unit and site has one name.
func TestAMappingComesBackAsItWasSent(t *testing.T) {
	sent := StrokeMapping{
		Separator: "semicolon", DecimalComma: true, HeaderLines: 2, Width: 4, Force: "gate", Zeros: []StrokeZero{{Seat: "3", Side: "port", AngleDeg: -2.5, ForceN: 12}},
		Columns: []StrokeColumn{
			{Index: 0, Quantity: "time", Unit: "ms"}, {Index: 1, Quantity: "oar_angle", Unit: "deg", Seat: "3", Side: "port", Negate: true}, {Index: 2, Quantity: "force", Unit: "kgf", Seat: "3", Side: "port"}, {Index: 3, Quantity: "boat_speed", Unit: "km_h"},
		},
	}
	m, err := sent.mapping()
	if err != nil {
		t.Fatal(err)
	}
	if got := WireMapping(&m); !reflect.DeepEqual(got, sent) {
		t.Errorf("%+v, sent %+v", got, sent)
	}
	if a, b, c, d := distinct(separators), distinct(quantities), distinct(strokeUnits), distinct(forceSites); !a || !b || !c || !d {
		t.Errorf("one value with two names: %t %t %t %t", a, b, c, d)
	}
}

// distinct reports whether no two names of a table have the same value.
func distinct[V comparable](names map[string]V) bool {
	values := map[V]bool{}
	for _, v := range names {
		values[v] = true
	}
	return len(values) == len(names)
}
