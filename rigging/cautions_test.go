package rigging_test

import (
	"slices"
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

// TestSweepHasItsOwnGearingThreshold: 2.40, and no steep catch.
func TestSweepHasItsOwnGearingThreshold(t *testing.T) {
	c := rigging.NewCase(sweep(), grown())
	s := solved(t, &c)
	s.Catch = deg(-75)
	for over, want := range map[float64]bool{0.001: true, -0.001: false} {
		c.Setup.OarLength = 1.15 + 0.29 + 1.02*(2.40+over)
		got := codes(c.Cautions(&s, grown()))
		if slices.Contains(got, "heavy_gearing") != want || slices.Contains(got, "steep_catch") {
			t.Errorf("lever ratio %.3f: %v", 2.40+over, got)
		}
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
		{w.Low - 3*w.SD, []string{"gate_low"}},
		{w.High + 3*w.SD, []string{"gate_high"}},
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
				got = append(got, caution.Range.Field)
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
