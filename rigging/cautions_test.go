package rigging_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"thole/rigging"
)

// codes returns the codes of the cautions that the case gives reason for.
func codes(list []rigging.Caution) []string {
	var names []string
	for _, c := range list {
		if c.Weight != rigging.Standing {
			names = append(names, c.Code)
		}
	}
	return names
}

// grown is a rower measured well enough that no caution speaks of the body.
func grown() *rigging.Measures {
	return &rigging.Measures{Sex: rigging.Male, Age: 25, Stature: 1.82, ArmSpan: 1.87, SittingHeight: 0.95, Mass: 82}
}

// quiet returns a case that gives no reason for any caution.
func quiet(t *testing.T) (rigging.Case, rigging.Stroke) {
	t.Helper()
	c := rigging.NewCase(scull(), grown())
	c.Setup.HeelToPin, c.Posture.Shin = 0.22, deg(92)
	stroke := solved(t, &c)
	w := c.Heights(&stroke).Window
	c.Setup.GateHeight = (w.Low + w.High) / 2
	if stroke = solved(t, &c); len(codes(c.Cautions(&stroke, grown()))) != 0 {
		t.Fatalf("the quiet case: %v", codes(c.Cautions(&stroke, grown())))
	}
	return c, stroke
}

// TestCautionsAppearAtTheirThresholds moves one quantity of a quiet case to
// either side of its threshold.
func TestCautionsAppearAtTheirThresholds(t *testing.T) {
	for _, row := range []struct {
		code   string
		weight rigging.Weight
		change func(c *rigging.Case, s *rigging.Stroke, m *rigging.Measures, over float64)
	}{
		{"steep_catch", rigging.Warning, func(_ *rigging.Case, s *rigging.Stroke, _ *rigging.Measures, over float64) {
			s.Catch = deg(-70 - over)
		}},
		{"heavy_gearing", rigging.Warning, func(c *rigging.Case, _ *rigging.Stroke, _ *rigging.Measures, over float64) {
			c.Setup.OarLength = 0.88 + 0.24 + 0.84*(2.20+0.01*over)
		}},
		{"far_layback", rigging.Warning, func(c *rigging.Case, _ *rigging.Stroke, _ *rigging.Measures, over float64) {
			c.Posture.Layback = deg(40 + over)
		}},
		{"finish_pitch", rigging.Warning, func(c *rigging.Case, s *rigging.Stroke, _ *rigging.Measures, over float64) {
			// 3° towards the stern and outward lean enough for 1° at the finish.
			sin, cos := math.Sincos(float64(s.Finish))
			c.Setup.SternPitch, c.Setup.OutwardPitch = deg(3), deg((3*cos-1+over)/sin)
		}},
		{"finish_before_square", rigging.Warning, func(_ *rigging.Case, s *rigging.Stroke, _ *rigging.Measures, over float64) {
			s.Finish = deg(-over)
		}},
		{"junior", rigging.Warning, func(_ *rigging.Case, _ *rigging.Stroke, m *rigging.Measures, over float64) {
			m.Age = 18 - over
		}},
		{"knee_flexion", rigging.Warning, func(_ *rigging.Case, s *rigging.Stroke, _ *rigging.Measures, over float64) {
			s.KneeFlexion = deg(140 + over)
		}},
		{"trunk_thigh", rigging.Warning, func(_ *rigging.Case, s *rigging.Stroke, _ *rigging.Measures, over float64) {
			s.TrunkThigh = deg(165 + over)
		}},
		{"heel_lift", rigging.Notice, func(_ *rigging.Case, s *rigging.Stroke, _ *rigging.Measures, over float64) {
			s.HeelLift = deg(12 + over)
		}},
		{"rare_body", rigging.Notice, func(c *rigging.Case, _ *rigging.Stroke, _ *rigging.Measures, over float64) {
			c.Body.Rarity = 0.001 * (1 - over)
		}},
	} {
		for over, want := range map[float64]bool{0.01: true, -0.01: false} {
			c, s := quiet(t)
			m := grown()
			row.change(&c, &s, m, over)
			list := c.Cautions(&s, m)
			i := slices.IndexFunc(list, func(c rigging.Caution) bool { return c.Code == row.code })
			if (i >= 0) != want {
				t.Errorf("%s with %g over: %v", row.code, over, codes(list))
			} else if want && (list[i].Weight != row.weight || list[i].Text == "" || list[i].Range != nil) {
				t.Errorf("%s: %+v", row.code, list[i])
			}
		}
	}
}

func TestStandingCautionsCloseEveryList(t *testing.T) {
	c, s := quiet(t)
	list := c.Cautions(&s, grown())
	want := []string{"before_outing", "after_change", "back_and_ribs", "cold_water", "authority"}
	if len(list) != len(want) {
		t.Fatalf("%d cautions for a quiet case", len(list))
	}
	for i, caution := range list {
		if caution.Code != want[i] || caution.Weight != rigging.Standing || caution.Text == "" {
			t.Errorf("%+v, want %s", caution, want[i])
		}
	}
	s.Catch = deg(-75)
	list = c.Cautions(&s, grown())
	if list[0].Code != "steep_catch" || list[len(list)-1].Code != "authority" {
		t.Errorf("order %v", list)
	}
}

// TestSweepHasItsOwnThresholds: a lever ratio of 2.40 and a catch of 60°.
func TestSweepHasItsOwnThresholds(t *testing.T) {
	c := rigging.NewCase(sweep(), grown())
	s := solved(t, &c)
	for over, want := range map[float64]bool{0.001: true, -0.001: false} {
		c.Setup.OarLength = 1.15 + 0.29 + 1.02*(2.40+over)
		if got := codes(c.Cautions(&s, grown())); slices.Contains(got, "heavy_gearing") != want {
			t.Errorf("lever ratio %.3f: %v", 2.40+over, got)
		}
	}
	for over, want := range map[float64]bool{0.01: true, -0.01: false} {
		s.Catch = deg(-60 - over)
		list := c.Cautions(&s, grown())
		i := slices.IndexFunc(list, func(c rigging.Caution) bool { return c.Code == "steep_catch" })
		if (i >= 0) != want || want && (!strings.Contains(list[i].Text, "60°") || list[i].Weight != rigging.Warning) {
			t.Errorf("catch %v: %v", s.Catch.Degrees(), list)
		}
	}
}

// TestSteepGearingAtTheCatch: 6 in sculling and in sweep, whatever the angle. A
// lever ratio of 2.095 comes to 6 at 69.6°, one of 2.26 at 67.9°.
func TestSteepGearingAtTheCatch(t *testing.T) {
	for _, setup := range []rigging.Setup{scull(), sweep()} {
		c := rigging.NewCase(setup, grown())
		s := solved(t, &c)
		at := math.Acos(c.Setup.Gearing().LeverRatio / 6)
		for over, want := range map[float64]bool{1e-6: true, -1e-6: false} {
			s.Catch = rigging.Angle(-at - over)
			list := c.Cautions(&s, grown())
			i := slices.IndexFunc(list, func(c rigging.Caution) bool { return c.Code == "catch_gearing" })
			if (i >= 0) != want || want && (list[i].Weight != rigging.Warning || list[i].Text == "") {
				t.Errorf("%s, gearing %.6f: %v", setup.Class.Code, c.Setup.Gearing().At(s.Catch), codes(list))
			}
		}
	}
}

// juniorCaps are the largest lever ratios by age; our judgement.
var juniorCaps = []struct{ age, scull, sweep float64 }{
	{10, 2.00, 2.15}, {14.99, 2.00, 2.15}, {15, 2.10, 2.25}, {16.99, 2.10, 2.25}, {17, 2.15, 2.30}, {18.99, 2.15, 2.30},
}

// TestJuniorsAreGearedLighter at each age, on either side of the lever ratio.
func TestJuniorsAreGearedLighter(t *testing.T) {
	for _, row := range juniorCaps {
		for _, at := range []struct {
			setup rigging.Setup
			most  float64
		}{{scull(), row.scull}, {sweep(), row.sweep}} {
			for over, want := range map[float64]bool{0.001: true, 0: false, -0.001: false} {
				c := rigging.NewCase(at.setup, grown())
				s := solved(t, &c)
				lv := c.Setup.Levers()
				c.Setup.OarLength += lv.Inner*(at.most+over) - lv.Outer
				m := grown()
				m.Age = row.age
				list := c.Cautions(&s, m)
				i := slices.IndexFunc(list, func(c rigging.Caution) bool { return c.Code == "junior_gearing" })
				if (i >= 0) != want || want && (!strings.Contains(list[i].Text, fmt.Sprintf("%.2f", at.most)) || list[i].Weight != rigging.Warning) {
					t.Errorf("%s, %g years, lever ratio %.3f: %v", c.Setup.Class.Code, row.age, at.most+over, codes(list))
				}
			}
		}
	}
}

func TestAdultsHaveNoJuniorGearing(t *testing.T) {
	for _, age := range []float64{0, 19, 30} {
		if most, ok := rigging.JuniorLeverRatio(age, class("1x")); ok || most != 0 {
			t.Errorf("%g years: %g", age, most)
		}
		c, s := quiet(t)
		c.Setup.OarLength = 2.95
		m := grown()
		m.Age = age
		if got := codes(c.Cautions(&s, m)); slices.Contains(got, "junior_gearing") {
			t.Errorf("%g years: %v", age, got)
		}
	}
}

// TestSmallBodiesAreAskedTheirAge below 150 cm, measured or estimated.
func TestSmallBodiesAreAskedTheirAge(t *testing.T) {
	for _, row := range []struct {
		m    rigging.Measures
		want bool
	}{
		{rigging.Measures{Stature: 1.499}, true}, {rigging.Measures{Stature: 1.50}, false},
		{rigging.Measures{Stature: 1.40, Age: 12}, false}, {rigging.Measures{Stature: 1.40, Age: 40}, false},
		{rigging.Measures{Sex: rigging.Female, SittingHeight: 0.72}, true}, {rigging.Measures{Mass: 80}, false}, {rigging.Measures{}, false},
	} {
		c := rigging.NewCase(scull(), &row.m)
		stroke := rigging.Stroke{Catch: deg(-60), Finish: deg(40)}
		list := c.Cautions(&stroke, &row.m)
		i := slices.IndexFunc(list, func(c rigging.Caution) bool { return c.Code == "small_without_age" })
		if (i >= 0) != row.want || row.want && list[i].Weight != rigging.Warning {
			t.Errorf("%+v: %v", row.m, codes(list))
		}
	}
}

// TestWiderLimitsAreCautioned: each limit, on either side of the default; the
// defaults themselves and narrower ones are silent.
func TestWiderLimitsAreCautioned(t *testing.T) {
	usual := rigging.DefaultLimits()
	if list := usual.Cautions(); len(list) != 0 {
		t.Errorf("the defaults: %v", list)
	}
	for name, limit := range map[string]func(*rigging.Limits) *rigging.Angle{
		"lean forward":                func(l *rigging.Limits) *rigging.Angle { return &l.Lean },
		"layback":                     func(l *rigging.Limits) *rigging.Angle { return &l.Layback },
		"bend of the knees":           func(l *rigging.Limits) *rigging.Angle { return &l.KneeFlexion },
		"closing of trunk and thighs": func(l *rigging.Limits) *rigging.Angle { return &l.TrunkThigh },
	} {
		for over, want := range map[float64]int{0.001: 1, 0: 0, -5: 0} {
			l := usual
			*limit(&l) += deg(over)
			list := l.Cautions()
			if len(list) != want {
				t.Errorf("%s by %g°: %v", name, over, list)
			}
			for _, c := range list {
				if c.Code != "wide_limit" || c.Weight != rigging.Warning || !strings.Contains(c.Text, name) {
					t.Errorf("%s: %+v", name, c)
				}
			}
		}
	}
	wide := rigging.Limits{Lean: deg(60), Layback: deg(60), KneeFlexion: deg(175), TrunkThigh: deg(180)}
	if list := wide.Cautions(); len(list) != 4 {
		t.Errorf("all four: %v", list)
	}
}

// TestJuniorsWithoutMeasuresAreWarnedTwice: the reference population is adult.
func TestJuniorsWithoutMeasuresAreWarnedTwice(t *testing.T) {
	c, s := quiet(t)
	m := grown()
	m.Age = 15
	if got := codes(c.Cautions(&s, m)); !slices.Equal(got, []string{"junior", "junior_body"}) {
		t.Errorf("a junior filled in from adults: %v", got)
	}
	m.Segments = athlete()
	whole := rigging.NewCase(c.Setup, m)
	if got := codes(whole.Cautions(&s, m)); slices.Contains(got, "junior_body") || !slices.Contains(got, "junior") {
		t.Errorf("a junior measured throughout: %v", got)
	}
	m.Age = 0
	if got := codes(c.Cautions(&s, m)); slices.Contains(got, "junior") {
		t.Errorf("age not said: %v", got)
	}
}

func TestNobodyIsSaid(t *testing.T) {
	c, s := quiet(t)
	for _, row := range []struct {
		m    rigging.Measures
		want bool
	}{
		{rigging.Measures{}, true},
		{rigging.Measures{Sex: rigging.Male, Age: 30}, true},
		{rigging.Measures{Stature: 1.8}, false},
		{rigging.Measures{Segments: rigging.Body{Ball: 0.2}}, false},
	} {
		if got := codes(c.Cautions(&s, &row.m)); slices.Contains(got, "nobody") != row.want {
			t.Errorf("%+v: %v", row.m, got)
		}
	}
}

// TestGateCautions: well under the window, in it and well over it; and a body
// that no height suits.
func TestGateCautions(t *testing.T) {
	c, s := quiet(t)
	w := c.Heights(&s).Window
	for _, row := range []struct {
		gate float64
		want []string
	}{
		{w.Low - 2.01*w.LowSD, []string{"gate_low"}},
		{w.High + 2.01*w.HighSD, []string{"gate_high"}},
		{w.Low - 1.99*w.LowSD, nil},
		{w.High + 1.99*w.HighSD, nil},
		{w.Low + 0.001, nil},
		{w.High - 0.001, nil},
	} {
		c.Setup.GateHeight = row.gate
		got := slices.DeleteFunc(codes(c.Cautions(&s, grown())), func(code string) bool { return code == "unusual" })
		if !slices.Equal(got, row.want) {
			t.Errorf("gate at %.3f, window %.3f to %.3f: %v, want %v", row.gate, w.Low, w.High, got, row.want)
		}
	}
	c.Body.ThighTop, c.DrawHeight = 0.28, 0.20
	if got := codes(c.Cautions(&s, grown())); !slices.Contains(got, "no_gate_window") {
		t.Errorf("thick thighs, low draw: %v", got)
	}
}

// TestUnusualSettingsAreNamedWithTheirRange: every setting of the rig outside
// its usual range, one at a time.
func TestUnusualSettingsAreNamedWithTheirRange(t *testing.T) {
	for field, spoil := range map[string]func(*rigging.Setup){
		"seat.span":            func(s *rigging.Setup) { s.Span = 1.50 },
		"seat.oar_length":      func(s *rigging.Setup) { s.OarLength = 2.65 },
		"seat.inboard":         func(s *rigging.Setup) { s.Inboard = 0.93 },
		"seat.gate_difference": func(s *rigging.Setup) { s.GateDifference = 0.02 },
		"seat.heel_to_pin":     func(s *rigging.Setup) { s.HeelToPin = 0.65 },
		"seat.heel_depth":      func(s *rigging.Setup) { s.HeelDepth = 0.23 },
		"seat.plate_angle":     func(s *rigging.Setup) { s.PlateAngle = deg(50) },
		"seat.gate_height":     func(s *rigging.Setup) { s.GateHeight = 0.22 },
		"seat.outward_pitch":   func(s *rigging.Setup) { s.OutwardPitch = deg(4) },
		"seat.seat_over_water": func(s *rigging.Setup) { s.SeatOverWater = 0.20 },
		"seat.total_pitch":     func(s *rigging.Setup) { s.BladePitch = deg(4) },
	} {
		c, s := quiet(t)
		spoil(&c.Setup)
		var got []string
		for _, caution := range c.Cautions(&s, grown()) {
			if caution.Code == "unusual" {
				got = append(got, caution.Range.Place.String())
				if e := caution.Range; e.Value >= e.Low && e.Value <= e.High {
					t.Errorf("%s: %g lies in %g to %g", field, e.Value, e.Low, e.High)
				}
			}
		}
		if !slices.Equal(got, []string{field}) {
			t.Errorf("%s out of its usual range: %v", field, got)
		}
	}
}

func TestWeightNames(t *testing.T) {
	for w, want := range map[rigging.Weight]string{rigging.Standing: "standing", rigging.Notice: "notice", rigging.Warning: "warning"} {
		if w.String() != want {
			t.Errorf("weight %d is %q", w, w)
		}
	}
}
