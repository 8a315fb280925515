package rigging

import "math"

// Case is one rower in one seat: all that the results of a seat depend on.
//
// Three things are kept apart. [Case.Capacity] is how far a body goes in a rig with
// every limit held. [Case.Expect] is what its owner will probably row there, from the
// body and, weakly, from the arc of the group ([Group.Arc]); arcs that were measured
// replace the group's. [Case.Solve] is what a posture that is simply stated comes to.
//
// [Case.Suits] compares targets with the capacity as a chance, [Case.Judge] gives the
// one verdict on a seat, and [MakePlan] the work on a boat; [Setup.Proof] and
// [Reading] check and correct a stretcher with the rower in the seat.
type Case struct {
	Setup      Setup
	Body       Estimate
	Age        float64 // years; 0: not known
	Posture    Posture
	Handle     *Handle // nil: from the heights of gate and water
	DrawHeight float64 // where the hands meet the body at the finish, over the seat, m; 0: not measured

	// Displacement is the mass afloat, kg; 0 stands for the boat's least
	// hull mass with a whole crew of the rower's mass.
	Displacement float64
	// Tape is the standard deviation of one reading with the tape, m.
	Tape float64
	// Belief is what is known of habits and body together; nil: the posture
	// is taken as it is. See [Case.Expect].
	Belief *Belief
}

// NewCase returns the case of a rower with measures m in a set-up, in the
// class's default posture and measured with the default tape.
func NewCase(setup Setup, m *Measures) Case {
	return Case{
		Setup: setup, Body: m.Estimate(DefaultTape), Age: m.Age, Posture: DefaultPosture(setup.Class),
		DrawHeight: m.DrawHeight, Tape: DefaultTape,
	}
}

// seatOverWater returns the seat's height over the water under the crew, m.
func (c *Case) seatOverWater() float64 {
	d := c.Displacement
	if d == 0 {
		d = c.Setup.Class.Displacement(c.Body.Mass)
	}
	return c.Setup.SeatOverWaterAt(d)
}

// handle returns the hands' heights, stated or from gate and water.
func (c *Case) handle() Handle {
	if c.Handle != nil {
		return *c.Handle
	}
	return c.Setup.HandleHeights(c.seatOverWater())
}

// Solve returns the stroke. The error is a *ReachError.
func (c *Case) Solve() (Stroke, error) {
	var s Stroke
	if err := s.solve(&c.Setup, &c.Body.Body, &c.Posture, c.handle()); err != nil {
		return Stroke{}, err
	}
	return s, nil
}

// Setting names one thing on the boat that can be moved.
type Setting string

// The settings of a seat.
const (
	SettingSpan           Setting = "span"
	SettingSpread         Setting = "spread"
	SettingInboard        Setting = "inboard"
	SettingOarLength      Setting = "oar_length"
	SettingHeelToPin      Setting = "heel_to_pin"
	SettingHeelDepth      Setting = "heel_depth"
	SettingPlateAngle     Setting = "plate_angle"
	SettingGateHeight     Setting = "gate_height"
	SettingGateDifference Setting = "gate_difference"
	SettingBladePitch     Setting = "blade_pitch"
	SettingSternPitch     Setting = "stern_pitch"
	SettingOutwardPitch   Setting = "outward_pitch"
)

// settings lists every setting in the order people meet them at the boat, with
// what it measures.
var settings = []struct {
	name     Setting
	quantity Quantity
}{
	{SettingSpan, Length}, {SettingSpread, Length}, {SettingInboard, Length}, {SettingOarLength, Length},
	{SettingHeelToPin, Length}, {SettingHeelDepth, Length}, {SettingPlateAngle, Plane},
	{SettingGateHeight, Length}, {SettingGateDifference, Length},
	{SettingBladePitch, Plane}, {SettingSternPitch, Plane}, {SettingOutwardPitch, Plane},
}

// Settings returns the settings a seat of class c has.
func (c Class) Settings() []Setting {
	list := make([]Setting, 0, len(settings))
	for _, s := range settings {
		if c.has(s.name) {
			list = append(list, s.name)
		}
	}
	return list
}

// has reports whether a seat of the class has the setting.
func (c Class) has(s Setting) bool {
	switch s {
	case SettingSpan, SettingGateDifference:
		return c.Scull
	case SettingSpread:
		return !c.Scull
	}
	return true
}

// Quantity returns what the setting measures. It panics on a name that is not
// a setting.
func (s Setting) Quantity() Quantity {
	for _, known := range settings {
		if known.name == s {
			return known.quantity
		}
	}
	panic("rigging: no setting " + string(s))
}

// turnsBlade reports whether the setting is one of the blade's pitch.
func (s Setting) turnsBlade() bool {
	return s == SettingBladePitch || s == SettingSternPitch || s == SettingOutwardPitch
}

// Value returns the setting's value, m or rad. It panics on a name that is not
// a setting.
func (s *Setup) Value(name Setting) float64 { return s.slot(name).get() }

// SetValue changes the setting to value, m or rad. It panics on a name that is
// not a setting.
func (s *Setup) SetValue(name Setting, value float64) { s.slot(name).set(value) }

// slot is the place of one setting: a length or an angle.
type slot struct {
	length *float64
	angle  *Angle
}

func (p slot) get() float64 {
	if p.angle != nil {
		return float64(*p.angle)
	}
	return *p.length
}

func (p slot) set(v float64) {
	if p.angle != nil {
		*p.angle = Angle(v)
		return
	}
	*p.length = v
}

func (s *Setup) slot(name Setting) slot {
	switch name {
	case SettingSpan:
		return slot{length: &s.Span}
	case SettingSpread:
		return slot{length: &s.Spread}
	case SettingInboard:
		return slot{length: &s.Inboard}
	case SettingOarLength:
		return slot{length: &s.OarLength}
	case SettingHeelToPin:
		return slot{length: &s.HeelToPin}
	case SettingHeelDepth:
		return slot{length: &s.HeelDepth}
	case SettingPlateAngle:
		return slot{angle: &s.PlateAngle}
	case SettingGateHeight:
		return slot{length: &s.GateHeight}
	case SettingGateDifference:
		return slot{length: &s.GateDifference}
	case SettingBladePitch:
		return slot{angle: &s.BladePitch}
	case SettingSternPitch:
		return slot{angle: &s.SternPitch}
	case SettingOutwardPitch:
		return slot{angle: &s.OutwardPitch}
	}
	panic("rigging: no setting " + string(name))
}

// Sensitivity is what one step of one setting changes, everything else held.
type Sensitivity struct {
	Setting Setting
	Step    float64 // m or rad; negative where a step upwards cannot be rowed

	Catch, Finish, Arc        Angle // change of the signed angles
	LeverRatio                float64
	PitchCatch, PitchFinish   Angle // change of the blade's pitch at the two ends as solved
	HandleCatch, HandleFinish float64
}

// SensitivityStep returns the step that [Case.Sensitivities] takes: one
// centimetre or one degree.
func SensitivityStep(q Quantity) float64 {
	if q == Plane {
		return float64(Degree)
	}
	return 0.01
}

// Sensitivities solves the case again with each setting moved by one step, and
// returns the differences to stroke, the case's own solution. A setting that
// cannot be moved either way without leaving the body's reach is left out.
func (c *Case) Sensitivities(stroke *Stroke) []Sensitivity {
	list := make([]Sensitivity, 0, len(settings))
	after := *c
	for _, s := range settings {
		if !c.Setup.Class.has(s.name) {
			continue
		}
		step := SensitivityStep(s.quantity)
		row, err := c.moved(&after, s.name, step, stroke)
		if err != nil {
			row, err = c.moved(&after, s.name, -step, stroke)
		}
		if err == nil {
			list = append(list, row)
		}
	}
	return list
}

// moved returns what moving one setting by step changes; m is a copy of c that
// it moves and puts back.
func (c *Case) moved(m *Case, name Setting, step float64, stroke *Stroke) (Sensitivity, error) {
	m.Setup.slot(name).add(step)
	defer func() { m.Setup = c.Setup }()
	hands := m.handle()
	after := *stroke
	if !name.turnsBlade() { // the arc does not depend on the pitch
		if err := after.solve(&m.Setup, &m.Body.Body, &m.Posture, hands); err != nil {
			return Sensitivity{}, err
		}
	}
	before := c.handle()
	return Sensitivity{
		Setting: name, Step: step,
		Catch: after.Catch - stroke.Catch, Finish: after.Finish - stroke.Finish, Arc: after.Arc() - stroke.Arc(),
		LeverRatio:  m.Setup.leverRatio() - c.Setup.leverRatio(),
		PitchCatch:  m.Setup.Pitch(stroke.Catch) - c.Setup.Pitch(stroke.Catch),
		PitchFinish: m.Setup.Pitch(stroke.Finish) - c.Setup.Pitch(stroke.Finish),
		HandleCatch: hands.Catch - before.Catch, HandleFinish: hands.Finish - before.Finish,
	}, nil
}

func (p slot) add(step float64) { p.set(p.get() + step) }

// Uncertainty holds the standard deviations of the two ends of the arc and of
// the arc, with the posture held as stated, or with the posture's own spread
// where the case has a [Belief].
type Uncertainty struct{ Catch, Finish, Arc Angle }

// measured lists the settings read with a tape that the arc depends on.
var measured = [...]Setting{
	SettingSpan, SettingSpread, SettingInboard, SettingOarLength,
	SettingHeelToPin, SettingHeelDepth, SettingGateHeight,
}

// probe is the step of the difference quotients in Uncertainty, m; numerical:
// small against the tape, large against rounding.
const probe = 1e-4

// Uncertainty carries the covariance of the body and the spread of the tape
// readings over to the arc, to first order. stroke is the case's own solution.
// What the body leaves out of reach within a tenth of a millimetre counts as
// without effect.
func (c *Case) Uncertainty(stroke *Stroke) Uncertainty {
	m := *c
	catchVar, finishVar, both := m.unknownVariance(stroke)
	for _, name := range measured {
		if !c.Setup.Class.has(name) {
			continue
		}
		m.Setup.slot(name).add(probe)
		dc, df := m.slopes(stroke, m.handle())
		m.Setup = c.Setup
		catchVar += dc * dc * c.Tape * c.Tape
		finishVar += df * df * c.Tape * c.Tape
		both += dc * df * c.Tape * c.Tape
	}
	return Uncertainty{
		Catch: rootAngle(catchVar), Finish: rootAngle(finishVar),
		Arc: rootAngle(catchVar + finishVar - 2*both),
	}
}

func rootAngle(variance float64) Angle { return Angle(math.Sqrt(max(0, variance))) }

// unknownVariance returns the variances of catch and finish and their
// covariance that body and, where it is not simply stated, posture make, rad².
func (c *Case) unknownVariance(stroke *Stroke) (catchVar, finishVar, both float64) {
	if c.Belief == nil {
		return c.bodyVariance(stroke)
	}
	dc, df := c.unknownSlopes()
	for i := range unknownCount {
		for j := range unknownCount {
			v := c.Belief.Cov[i][j]
			catchVar += dc[i] * v * dc[j]
			finishVar += df[i] * v * df[j]
			both += dc[i] * v * df[j]
		}
	}
	return catchVar, finishVar, both
}

// bodyVariance returns the variances of catch and finish and their covariance
// that the body's uncertainty makes, rad². It moves the segments of c and puts
// them back; the hands' heights do not follow the segments.
func (c *Case) bodyVariance(stroke *Stroke) (catchVar, finishVar, both float64) {
	var dc, df [segmentCount]float64
	hands := c.handle()
	for i, length := range c.Body.Body.lengths() {
		was := *length
		*length += probe
		dc[i], df[i] = c.slopes(stroke, hands)
		*length = was
	}
	for i := range segmentCount {
		for j := range segmentCount {
			v := c.Body.Cov[i][j]
			catchVar += dc[i] * v * dc[j]
			finishVar += df[i] * v * df[j]
			both += dc[i] * v * df[j]
		}
	}
	return catchVar, finishVar, both
}

// slopes returns the change of catch and finish against stroke for each metre
// of the probe that c has been moved by, rad/m.
func (c *Case) slopes(stroke *Stroke, hands Handle) (catch, finish float64) {
	var s Stroke
	if err := s.solve(&c.Setup, &c.Body.Body, &c.Posture, hands); err != nil {
		return 0, 0
	}
	return float64(s.Catch-stroke.Catch) / probe, float64(s.Finish-stroke.Finish) / probe
}
