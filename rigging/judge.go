package rigging

// FinishTolerance and CatchTolerance are how far an end may lie off its target
// and the seat still count as on it: a degree, about a centimetre of stretcher;
// engineering judgement. A catch longer than its target is met.
const (
	FinishTolerance = 1 * Degree
	CatchTolerance  = 1 * Degree
	// nearly is how many tolerances off still count as nearly.
	nearly = 2
)

// SeatVerdict is the one verdict on a seat that is used wherever a seat is
// judged.
type SeatVerdict string

// The verdicts on a seat, the best first.
const (
	SeatOnTarget     SeatVerdict = "on_target"
	SeatNearly       SeatVerdict = "nearly"
	SeatOff          SeatVerdict = "off"
	SeatMeasureFirst SeatVerdict = "measure_first" // too little is known to judge
)

// Missing lists what is not known of a seat.
type Missing struct {
	Settings []Setting // values that stand for something nobody has measured
	Rower    bool      // neither stature nor segments: an average body stands in
}

// arcSettings are the settings that the arc cannot be calculated without.
var arcSettings = []Setting{SettingSpan, SettingSpread, SettingInboard, SettingHeelToPin}

// has reports whether the setting is not known.
func (m *Missing) has(name Setting) bool {
	for _, s := range m.Settings {
		if s == name {
			return true
		}
	}
	return false
}

// forArc returns the settings missing that the arc cannot be calculated without.
func (m *Missing) forArc() []Setting {
	var list []Setting
	for _, s := range arcSettings {
		if m.has(s) {
			list = append(list, s)
		}
	}
	return list
}

// Sizeless reports whether the measures say nothing of how large the rower is.
func (m *Measures) Sizeless() bool {
	s := &m.Segments
	return m.Stature == 0 && m.ArmSpan == 0 && m.SittingHeight == 0 && (s.Shank == 0 || s.Thigh == 0 || s.Arm == 0)
}

// SeatJudgement is a verdict on a seat with its grounds.
type SeatJudgement struct {
	Verdict SeatVerdict
	// FinishBy is the expected finish less the target. CatchShort is how far
	// the body's capacity stays short of the target catch; zero when it does
	// not.
	FinishBy, CatchShort Angle
	CatchOdds            Odds
	// Proven says that arcs of this rower were measured; without, FinishBy
	// is an expectation ± FinishSD.
	Proven   bool
	FinishSD Angle
	// Measure lists the settings to measure first, and MeasureRower says that
	// the rower's size is not known.
	Measure      []Setting
	MeasureRower bool
}

// Judge returns the verdict on the case's seat against the targets, an end
// without a target not judged. stroke is what is expected of the case. The
// finish decides by its distance from the target, up to FinishTolerance and up
// to twice that. The catch decides by the capacity: met where the body reaches
// within CatchTolerance of it, nearly met while that is not unlikely. The worse
// of the two stands. The error is a *ReachError.
func (c *Case) Judge(stroke *Stroke, targets Targets, limits Limits, missing Missing) (SeatJudgement, error) {
	suits, err := c.Suits(stroke, targets, limits)
	if err != nil {
		return SeatJudgement{}, err
	}
	return c.judge(stroke, &suits, targets, missing), nil
}

// judge returns the verdict that goes with what is known of the reach.
func (c *Case) judge(stroke *Stroke, suits *Suits, targets Targets, missing Missing) SeatJudgement {
	j := SeatJudgement{Verdict: SeatOnTarget, Measure: missing.forArc(), MeasureRower: missing.Rower}
	j.Proven, j.FinishSD = c.Belief != nil && c.Belief.Measured, suits.FinishSD
	if targets.Finish != 0 {
		j.FinishBy = stroke.Finish - targets.Finish
		j.worsen(finishVerdict(j.FinishBy))
	}
	if suits.Catch != nil {
		j.CatchShort, j.CatchOdds = max(0, -suits.Catch.Margin), suits.Catch.Odds
		j.worsen(catchVerdict(j.CatchShort, j.CatchOdds))
	}
	if len(j.Measure) > 0 || j.MeasureRower {
		j.Verdict = SeatMeasureFirst
	}
	return j
}

// finishVerdict judges a finish by its distance from the target.
func finishVerdict(by Angle) SeatVerdict {
	switch off := max(by, -by); {
	case off <= FinishTolerance+rounding:
		return SeatOnTarget
	case off <= nearly*FinishTolerance+rounding:
		return SeatNearly
	}
	return SeatOff
}

// catchVerdict judges a catch by how far the capacity is short of it.
func catchVerdict(short Angle, odds Odds) SeatVerdict {
	switch {
	case short <= CatchTolerance+rounding:
		return SeatOnTarget
	case odds != OddsUnlikely:
		return SeatNearly
	}
	return SeatOff
}

// worsen takes v where it is worse.
func (j *SeatJudgement) worsen(v SeatVerdict) {
	rank := map[SeatVerdict]int{SeatOnTarget: 0, SeatNearly: 1, SeatOff: 2, SeatMeasureFirst: 3}
	if rank[v] > rank[j.Verdict] {
		j.Verdict = v
	}
}
