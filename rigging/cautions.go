package rigging

import "fmt"

// Weight says how much a caution presses.
type Weight int

// The weights of a caution.
const (
	Standing Weight = iota // holds for every outing
	Notice                 // something in this case to know
	Warning                // something in this case to act on
)

// String returns "standing", "notice" or "warning".
func (w Weight) String() string { return [...]string{"standing", "notice", "warning"}[w] }

// Caution is one thing to heed. Range is filled when the caution is about a
// value outside its usual range, and Text is for the other cases.
type Caution struct {
	Code   string
	Weight Weight
	Text   string
	Range  *FieldError
}

// AdultAge is the age in years from which the reference population, soldiers of 17
// and over (ANSUR II), and adult loads apply; engineering judgement.
const AdultAge = 18

// The thresholds of the cautions; engineering judgement unless said otherwise.
const (
	// steepScull and steepSweep are the catches beyond which the load, rising
	// with 1/cos, is about three times (sculling) and twice (sweep, on one
	// side of the back) that of the square oar; common practice.
	steepScull = 70 * Degree
	steepSweep = 60 * Degree
	// steepGearing is the gearing at the catch beyond which a catch counts
	// as steep whatever its angle: that of a usual scull at 70°.
	steepGearing = 6
	// farLayback is a lean back beyond which the lower back holds the trunk
	// up rather than drives.
	farLayback = 40 * Degree
	// leastFinishPitch is the total pitch at the finish below which the
	// blade dives rather than leaves the water.
	leastFinishPitch = 1 * Degree
	// smallStature is a stature below which a rower is probably a child, m.
	smallStature = 1.50
	// muchLift is a rise of the heel that unsettles the foot.
	muchLift = 12 * Degree
	// rare is the share of the reference population below which measures
	// are worth taking again.
	rare = 0.001
	// Lever ratios above these are heavy even for senior crews.
	heavyScull = 2.20
	heavySweep = 2.40
)

// juniorLevers holds the largest lever ratios for rowers under an age, in years,
// youngest first; common practice in substance, the figures are our judgement.
var juniorLevers = [...]struct{ under, scull, sweep float64 }{
	{15, 2.00, 2.15},
	{17, 2.10, 2.25},
	{19, 2.15, 2.30},
}

// JuniorLeverRatio returns the lever ratio above which a rower of an age in
// years is cautioned in a class; ok is false for adults and for age 0, which
// stands for one that is not known.
func JuniorLeverRatio(age float64, c Class) (most float64, ok bool) {
	if age <= 0 {
		return 0, false
	}
	for _, j := range juniorLevers {
		if age >= j.under {
			continue
		}
		if c.Scull {
			return j.scull, true
		}
		return j.sweep, true
	}
	return 0, false
}

// standing holds the cautions that every result carries.
var standing = []Caution{
	{Code: "before_outing", Text: "Before every outing check the heel restraints and that both feet come free without hands."},
	{Code: "after_change", Text: "After every change re-check nuts, gates and backstays, by hand and again at the landing stage. Lift the boat with enough people."},
	{Code: "back_and_ribs", Text: "Back and ribs bear what heavy gearing and reaching too far ask for. Never reach further by rounding the lower back. Stop at pain, and see a clinician about it."},
	{Code: "cold_water", Text: "Cold water kills quickly: keep to your club's and federation's rules on water temperature, life-jackets and launches."},
	{Code: "authority", Text: "The federation's current rule book, local safety rules and licensed medical practice come before anything shown here. None of this is medical advice."},
}

// Cautions returns what to heed: first what this case gives reason for, then
// what always holds. stroke is the case's own solution and m what the body was
// estimated from. Limits that were widened are reported by [Limits.Cautions].
func (c *Case) Cautions(stroke *Stroke, m *Measures) []Caution {
	list := c.loadCautions(stroke, m)
	list = append(list, c.bodyCautions(stroke, m)...)
	list = append(list, c.heightCautions(stroke)...)
	list = append(list, c.Setup.rangeCautions()...)
	return append(list, standing...)
}

// Cautions returns a caution for each limit that is set wider than the default
// of an adult.
func (l *Limits) Cautions() []Caution {
	usual := DefaultLimits()
	var list []Caution
	for _, row := range []struct {
		name         string
		limit, usual Angle
	}{
		{"lean forward", l.Lean, usual.Lean}, {"layback", l.Layback, usual.Layback},
		{"bend of the knees", l.KneeFlexion, usual.KneeFlexion}, {"closing of trunk and thighs", l.TrunkThigh, usual.TrunkThigh},
	} {
		list = warnIf(list, row.limit > row.usual+rounding, "wide_limit", Warning,
			fmt.Sprintf("The limit of the %s is set wider than most bodies allow under load: only for a rower who has been seen to hold it, and never for a junior.", row.name))
	}
	return list
}

func warnIf(list []Caution, when bool, code string, weight Weight, text string) []Caution {
	if !when {
		return list
	}
	return append(list, Caution{Code: code, Weight: weight, Text: text})
}

func (c *Case) loadCautions(stroke *Stroke, m *Measures) []Caution {
	steep, steepText, heavy := steepSweep, "The catch lies beyond 60°", heavySweep
	if c.Setup.Class.Scull {
		steep, steepText, heavy = steepScull, "The catch lies beyond 70°", heavyScull
	}
	gearing := c.Setup.Gearing()
	young, isYoung := JuniorLeverRatio(m.Age, c.Setup.Class)
	var list []Caution
	list = warnIf(list, stroke.Catch < -steep, "steep_catch", Warning,
		steepText+": the load rises with 1/cos of the angle and grows steeply from here. Ease the gearing or bring the stretcher to the bow.")
	list = warnIf(list, gearing.At(stroke.Catch) > steepGearing, "catch_gearing", Warning,
		"The gearing at the catch is above 6: the handle hardly moves while back and ribs take the load. Row a shorter catch or ease the gearing.")
	list = warnIf(list, isYoung && gearing.LeverRatio > young+rounding, "junior_gearing", Warning,
		fmt.Sprintf("The lever ratio is above %.2f, which is heavy for this age: shorten the oars or lengthen the inboard.", young))
	list = warnIf(list, gearing.LeverRatio > heavy, "heavy_gearing", Warning,
		"The lever ratio is above what senior crews usually row: back and ribs take the load.")
	list = warnIf(list, c.Setup.Pitch(stroke.Finish) < leastFinishPitch-rounding, "finish_pitch", Warning,
		"The blade's pitch at the finish is below 1°: it dives there, and a caught blade drives the handle into the body. Check the pitch with a gauge.")
	return warnIf(list, stroke.Finish < 0, "finish_before_square", Warning,
		"The finish comes before the oar stands square to the hull: the stretcher is much too far to the stern.")
}

func (c *Case) bodyCautions(stroke *Stroke, m *Measures) []Caution {
	limits := DefaultLimits()
	var list []Caution
	list = warnIf(list, m.Age > 0 && m.Age < AdultAge, "junior", Warning,
		"Juniors: gear lighter, add neither lever nor layback to gain length, and measure again during growth spurts.")
	list = warnIf(list, m.Age > 0 && m.Age < AdultAge && m.Segments != *c.all(), "junior_body", Notice,
		"Missing measures were estimated from adults; a growing body differs. Measure what you can.")
	list = warnIf(list, m.Age == 0 && c.stature(m) < smallStature, "small_without_age", Warning,
		"This rower is small enough to be a child: say the age, since juniors are geared lighter and reach less far.")
	list = warnIf(list, c.Posture.Layback > farLayback+rounding, "far_layback", Warning,
		"The trunk leans back beyond 40° at the finish: the lower back holds it up there. Finish the draw earlier.")
	list = warnIf(list, stroke.KneeFlexion > limits.KneeFlexion, "knee_flexion", Warning,
		"The knees bend further at the catch than most people can hold under load: stop the slide earlier or raise the seat over the feet.")
	list = warnIf(list, stroke.TrunkThigh > limits.TrunkThigh, "trunk_thigh", Warning,
		"Trunk and thighs close further at the catch than the hips usually allow; the rest would come from a bent lower back.")
	list = warnIf(list, stroke.HeelLift > muchLift, "heel_lift", Notice,
		"The heels rise a good way at the catch: a flatter stretcher, or less compression, keeps the feet on it.")
	list = warnIf(list, m.known() == 0, "nobody", Notice,
		"No measure of the rower was given: this is the average of the reference population.")
	return warnIf(list, c.Body.Rarity < rare, "rare_body", Notice,
		"Fewer than one in a thousand adults of the reference population has these measures together: check the tape, or go by measured segments.")
}

// stature returns the stature as measured, or else as estimated, m.
func (c *Case) stature(m *Measures) float64 {
	if m.Stature > 0 {
		return m.Stature
	}
	return c.Body.Stature
}

// all returns the whole body, to compare with the measured segments.
func (c *Case) all() *Body { return &c.Body.Body }

// known returns how many measures of the rower were given, age aside.
func (m *Measures) known() int {
	n := 0
	for _, v := range [...]float64{m.Stature, m.ArmSpan, m.SittingHeight, m.Mass} {
		if v != 0 {
			n++
		}
	}
	for _, v := range m.Segments.lengths() {
		if *v != 0 {
			n++
		}
	}
	return n
}

func (c *Case) heightCautions(stroke *Stroke) []Caution {
	h := c.Heights(stroke)
	// Only a miss well beyond the window's own uncertainty is worth a word.
	out := h.Window.Out(c.Setup.lowerGate())
	var list []Caution
	list = warnIf(list, out < 0, "gate_low", Notice,
		"The gate is low for this body: the hands come to the thighs, and the blade dives.")
	list = warnIf(list, out > 0, "gate_high", Notice,
		"The gate is high for this body: the blade does not stay covered up to the draw height, and the shoulders rise.")
	return warnIf(list, h.Window.Low > h.Window.High, "no_gate_window", Notice,
		"No gate height suits hands, thighs and blade at once: measure the draw height, or change the seat's height over the water.")
}

// rangeCautions names each setting outside its usual range.
func (s *Setup) rangeCautions() []Caution {
	var list []Caution
	ps := append(s.plausibles(), plausiblesIn(inSeat, s.Class, value{FieldTotalPitch, float64(s.Pitch(0))})...)
	for i := range ps {
		if e := ps[i].unusual(); e != nil {
			list = append(list, Caution{Code: "unusual", Weight: Notice, Range: e})
		}
	}
	return list
}
