package seat

import (
	"bytes"
	"encoding/json"
	"math"

	"github.com/swaggest/jsonschema-go"

	"thole/api/settings"
	"thole/api/wire"
	"thole/rigging"
)

// FitRequest asks for the work on one seat.
type FitRequest struct {
	SolveRequest
	Targets *FitTargets                    `json:"targets,omitempty" description:"An end left out is chosen: the one to expect of the rower's group, and no catch past the reach."`
	Adjust  map[string]settings.Adjustment `json:"adjust,omitempty" description:"Ranges and steps, by setting; without it, what commonly is in this class. A setting that is left out of a list stays."`
	Job     string                         `json:"job,omitempty" enum:",everyday,full_rerig" description:"everyday: the stretcher, and a gate that is out of its window. full_rerig: also heels and plate where ankles, knees or hips ask for it, and a pitch that was measured and is out. Without it, everyday."`
}

// FitTargets is what is asked of a rig; each target is a number, or an object with
// a tolerance.
type FitTargets struct {
	CatchDeg     *Goal `json:"catch_deg,omitempty" description:"Negative, as all angles towards the catch."`
	FinishDeg    *Goal `json:"finish_deg,omitempty" description:"Positive."`
	LeverRatio   *Goal `json:"lever_ratio,omitempty" description:"Blade's lever / handle's lever. Told, not aimed at: oars and pins stay, and what would change them is an offer."`
	DrawHeightCm *Goal `json:"draw_height_cm,omitempty" description:"Hand over the seat with the blade just covered; 0: the rower's own draw height. Told, not aimed at: gates go by their window."`
	OverlapCm    *Goal `json:"overlap_cm,omitempty" description:"Measured, without the gates' width. Told, not aimed at, as the lever ratio."`
}

// Goal is a value to aim at, written as a bare number or with its tolerance.
type Goal struct {
	Value     float64  `json:"value" validate:"required,gte=-90,lte=90" description:"In the target's unit."`
	Weight    *float64 `json:"weight,omitempty" validate:"omitempty,gte=0,lte=1000" description:"Accepted from programs that send it, and not used: the ends are not traded against each other."`
	Tolerance *float64 `json:"tolerance,omitempty" validate:"omitempty,gte=0,lte=100" description:"Miss up to which the target counts as met, in its unit; without it, 1° of catch and finish, which stands for every seat, 0.02 of lever ratio, 1 cm."`
}

// UnmarshalJSON reads a number or an object.
func (g *Goal) UnmarshalJSON(text []byte) error {
	if !bytes.HasPrefix(bytes.TrimSpace(text), []byte("{")) {
		return json.Unmarshal(text, &g.Value)
	}
	type plainGoal Goal
	g.Value = math.NaN() // no value stated: for the check to tell
	return json.Unmarshal(text, (*plainGoal)(g))
}

// PrepareJSONSchema says that a bare number will do.
func (Goal) PrepareJSONSchema(s *jsonschema.Schema) error {
	s.AddType(jsonschema.Number)
	return nil
}

// OrNumber says that a bare number will do.
func (Goal) OrNumber() {}

// SeatValues is the rig of one seat with every value that its class has. It can
// be sent again as a Seat.
type SeatValues struct {
	SpanCm           *float64 `json:"span_cm,omitempty" description:"Sculling."`
	SpreadCm         *float64 `json:"spread_cm,omitempty" description:"Sweep."`
	Side             string   `json:"side,omitempty" validate:"omitempty,oneof=port starboard" description:"Sweep."`
	OarLengthCm      float64  `json:"oar_length_cm"`
	InboardCm        float64  `json:"inboard_cm"`
	GateHeightCm     float64  `json:"gate_height_cm"`
	GateDifferenceCm *float64 `json:"gate_difference_cm,omitempty" description:"Sculling."`
	HeelToPinCm      float64  `json:"heel_to_pin_cm"`
	HeelDepthCm      float64  `json:"heel_depth_cm"`
	PlateAngleDeg    float64  `json:"plate_angle_deg"`
	BladePitchDeg    float64  `json:"blade_pitch_deg"`
	SternPitchDeg    float64  `json:"stern_pitch_deg"`
	OutwardPitchDeg  float64  `json:"outward_pitch_deg"`
	SeatOverWaterCm  float64  `json:"seat_over_water_cm"`
}

// AimedTarget is one target with what came of it.
type AimedTarget struct {
	Target    string  `json:"target"`
	Value     float64 `json:"value" description:"In the target's unit."`
	Reached   float64 `json:"reached" description:"In the target's unit."`
	Tolerance float64 `json:"tolerance" description:"In the target's unit."`
	Met       bool    `json:"met"`
}

// SeatChange is one setting to be moved.
type SeatChange struct {
	Setting   string  `json:"setting" description:"Name with its unit, as in seat."`
	From      float64 `json:"from" description:"In the setting's unit."`
	To        float64 `json:"to" description:"In the setting's unit."`
	Tolerance float64 `json:"tolerance" description:"How near to set it, in the setting's unit."`
	Text      string  `json:"text" description:"What to move, which way and by how much."`
}

// UnmetTarget is a target that was not met.
type UnmetTarget struct {
	Target string  `json:"target"`
	By     float64 `json:"by" description:"Reached less the target, in its unit."`
	Why    string  `json:"why" enum:"range,reach,kept,measure,caution"`
	Text   string  `json:"text"`
}

// WireTarget is the target's name with its unit.
func WireTarget(t rigging.Target) string { return string(t) + wire.Units[t.Quantity()].Suffix }

// goals pairs the targets with their places on the wire.
func (t *FitTargets) goals() map[rigging.Target]*Goal {
	return map[rigging.Target]*Goal{
		rigging.TargetCatch: t.CatchDeg, rigging.TargetFinish: t.FinishDeg, rigging.TargetLeverRatio: t.LeverRatio,
		rigging.TargetDrawHeight: t.DrawHeightCm, rigging.TargetOverlap: t.OverlapCm,
	}
}

// domain converts to the domain; what was not stated is left out.
func (t *FitTargets) domain() rigging.Goals {
	targets := rigging.Goals{}
	if t == nil {
		return targets
	}
	for name, goal := range t.goals() {
		if goal != nil {
			u := wire.Units[name.Quantity()].Factor
			targets[name] = rigging.Goal{Value: goal.Value / u, Tolerance: wire.Or(goal.Tolerance, 0) / u}
		}
	}
	return targets
}

// check complains about targets. The domain takes a tolerance of nothing for one
// left out, and so it is refused here.
func (t *FitTargets) check(p *wire.Problems, at wire.Place) {
	positiveGoals(p, at, t)
	p.AddError(at, t.domain().Check())
	p.Check(at.Join(wire.At("targets")), t)
}

// ends are the ends of the arc among the targets.
func (t *FitTargets) ends() *Targets {
	w := new(Targets)
	if t == nil {
		return w
	}
	if t.CatchDeg != nil {
		w.CatchDeg = &t.CatchDeg.Value
	}
	if t.FinishDeg != nil {
		w.FinishDeg = &t.FinishDeg.Value
	}
	return w
}

func positiveGoals(p *wire.Problems, at wire.Place, t *FitTargets) {
	if t == nil {
		return
	}
	for name, goal := range t.goals() {
		if goal == nil {
			continue
		}
		for member, value := range map[string]*float64{"weight": goal.Weight, "tolerance": goal.Tolerance} {
			if value != nil && !(*value > 0) {
				p.Add(at.Join(wire.At("targets", WireTarget(name), member)).Problem("Say more than nothing, or leave it out."))
			}
		}
	}
}

// TargetOrder is the order in which targets are told.
var TargetOrder = []rigging.Target{
	rigging.TargetCatch, rigging.TargetFinish, rigging.TargetLeverRatio, rigging.TargetDrawHeight, rigging.TargetOverlap,
}

// reached is what the solved seat gives for a target, in SI units.
func (in *SolveInput) reached(t rigging.Target, stroke *rigging.Stroke) float64 {
	setup := &in.Seat.Setup
	switch t {
	case rigging.TargetCatch:
		return float64(stroke.Catch)
	case rigging.TargetFinish:
		return float64(stroke.Finish)
	case rigging.TargetLeverRatio:
		return setup.Gearing().LeverRatio
	case rigging.TargetOverlap:
		return setup.Overlap().Raw
	}
	return in.Seat.Heights(stroke).HandleCovered
}

// targetUnit converts a value of a target to its unit, rounded.
func targetUnit(t rigging.Target, v float64) float64 {
	switch t.Quantity() {
	case rigging.Plane:
		return wire.ToDeg(rigging.Angle(v))
	case rigging.Length:
		return wire.ToCm(v)
	}
	return wire.ToRatio(v)
}

func wireChange(class rigging.Class, c rigging.Change) SeatChange {
	from, to := settings.InUnit(c.Setting, c.From), settings.InUnit(c.Setting, c.To)
	return SeatChange{
		Setting: settings.Name(c.Setting), From: from, To: to, Tolerance: settings.InUnit(c.Setting, c.Setting.Tolerance()),
		Text: settings.MoveText(class, c.Setting, to-from),
	}
}

// wireSetup puts a rig on the wire.
func wireSetup(s *rigging.Setup) SeatValues {
	w := SeatValues{
		OarLengthCm: wire.ToCm(s.OarLength), InboardCm: wire.ToCm(s.Inboard), GateHeightCm: wire.ToCm(s.GateHeight), HeelToPinCm: wire.ToCm(s.HeelToPin),
		HeelDepthCm: wire.ToCm(s.HeelDepth), PlateAngleDeg: wire.ToDeg(s.PlateAngle), BladePitchDeg: wire.ToDeg(s.BladePitch),
		SternPitchDeg: wire.ToDeg(s.SternPitch), OutwardPitchDeg: wire.ToDeg(s.OutwardPitch), SeatOverWaterCm: wire.ToCm(s.SeatOverWater),
	}
	if s.Class.Scull {
		w.SpanCm, w.GateDifferenceCm = wire.Ptr(wire.ToCm(s.Span)), wire.Ptr(wire.ToCm(s.GateDifference))
	} else {
		w.SpreadCm, w.Side = wire.Ptr(wire.ToCm(s.Spread)), s.Side.String()
	}
	return w
}
