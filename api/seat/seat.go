package seat

import (
	"thole/api/settings"
	"thole/api/wire"
	"thole/rigging"
)

// Seat is the rig of one seat on the wire. A value left out takes its default;
// the default pitch is 4° of stern lean.
type Seat struct {
	SpanCm           *float64 `json:"span_cm,omitempty" validate:"omitempty,plausible=seat.span" description:"Sculling: pin to pin, centre to centre, where the pins meet the rigger."`
	SpreadCm         *float64 `json:"spread_cm,omitempty" validate:"omitempty,plausible=seat.spread" description:"Sweep: centreline to pin, taken at the same place."`
	Side             string   `json:"side,omitempty" validate:"omitempty,oneof=port starboard" description:"Sweep: the side the seat rows on."`
	OarLengthCm      *float64 `json:"oar_length_cm" validate:"required,omitempty,plausible=seat.oar_length" description:"Along the shaft to the end of the blade."`
	InboardCm        *float64 `json:"inboard_cm" validate:"required,omitempty,plausible=seat.inboard" description:"Handle end to the face of the collar that bears on the gate."`
	GateHeightCm     *float64 `json:"gate_height_cm,omitempty" validate:"omitempty,plausible=seat.gate_height" default:"17" description:"Lower bearing face of the gate over the lowest point of the seat; in sculling the port gate."`
	GateDifferenceCm *float64 `json:"gate_difference_cm,omitempty" validate:"omitempty,plausible=seat.gate_difference" description:"Sculling: how much higher the starboard gate stands, 1 when left out; negative when it stands lower."`
	HeelToPinCm      *float64 `json:"heel_to_pin_cm" validate:"required,omitempty,plausible=seat.heel_to_pin" description:"Horizontal, line of work to the heel, towards the stern."`
	HeelDepthCm      *float64 `json:"heel_depth_cm,omitempty" validate:"omitempty,plausible=seat.heel_depth" default:"17" description:"Lowest point of the seat down to the heel."`
	PlateAngleDeg    *float64 `json:"plate_angle_deg,omitempty" validate:"omitempty,plausible=seat.plate_angle" default:"42" description:"The stretcher’s plate from the horizontal."`
	BladePitchDeg    *float64 `json:"blade_pitch_deg,omitempty" validate:"omitempty,plausible=seat.blade_pitch" default:"0" description:"Pitch built into gate or oar."`
	SternPitchDeg    *float64 `json:"stern_pitch_deg,omitempty" validate:"omitempty,plausible=seat.stern_pitch" default:"4" description:"Lean of the pin towards the stern."`
	OutwardPitchDeg  *float64 `json:"outward_pitch_deg,omitempty" validate:"omitempty,plausible=seat.outward_pitch" default:"0" description:"Lean of the pin away from the boat."`
	SeatOverWaterCm  *float64 `json:"seat_over_water_cm,omitempty" validate:"omitempty,plausible=seat.seat_over_water" default:"7.5" description:"Height of the seat's lowest point over the water at the class's reference displacement."`
}

// Setup converts the seat to the domain; what is left out of gate height, gate
// difference, heel depth, plate, pitch and seat height is that of
// [rigging.UsualSetup].
func (s *Seat) Setup(class rigging.Class) rigging.Setup {
	side, _ := rigging.ParseSide(s.Side)
	usual := rigging.UsualSetup(class)
	return rigging.Setup{
		Class: class, Side: side,
		Span: wire.CmKnown(s.SpanCm), Spread: wire.CmKnown(s.SpreadCm),
		OarLength: wire.CmKnown(s.OarLengthCm), Inboard: wire.CmKnown(s.InboardCm),
		GateHeight: wire.CmKnownOr(s.GateHeightCm, usual.GateHeight), GateDifference: wire.CmOr(s.GateDifferenceCm, usual.GateDifference),
		HeelToPin: wire.CmKnown(s.HeelToPinCm), HeelDepth: wire.CmKnownOr(s.HeelDepthCm, usual.HeelDepth),
		PlateAngle:    wire.DegKnownOr(s.PlateAngleDeg, usual.PlateAngle),
		BladePitch:    wire.DegOr(s.BladePitchDeg, 0),
		SternPitch:    wire.DegOr(s.SternPitchDeg, usual.SternPitch),
		OutwardPitch:  wire.DegOr(s.OutwardPitchDeg, 0),
		SeatOverWater: wire.CmOr(s.SeatOverWaterCm, usual.SeatOverWater),
	}
}

// PlateDeg is the stretcher's angle, that of [rigging.UsualSetup] where it is left out.
func (s *Seat) PlateDeg() float64 {
	if s.PlateAngleDeg != nil {
		return *s.PlateAngleDeg
	}
	return wire.ToDeg(rigging.UsualSetup(rigging.Class{}).PlateAngle)
}

// missing lists the settings that were not sent: nobody has measured them.
func (s *Seat) missing(class rigging.Class) []rigging.Setting {
	var list []rigging.Setting
	for _, name := range class.Settings() {
		if s.Setting(settings.Name(name)) == nil {
			list = append(list, name)
		}
	}
	return list
}

// Segments are measured parts of a body in cm, each optional.
type Segments struct {
	Shank        *float64 `json:"shank,omitempty" validate:"omitempty,plausible=rower.segments.shank" description:"Knee joint to ankle joint."`
	Thigh        *float64 `json:"thigh,omitempty" validate:"omitempty,plausible=rower.segments.thigh" description:"Hip joint to knee joint."`
	Trunk        *float64 `json:"trunk,omitempty" validate:"omitempty,plausible=rower.segments.trunk" description:"Hip joint to shoulder joint."`
	Arm          *float64 `json:"arm,omitempty" validate:"omitempty,plausible=rower.segments.arm" description:"Shoulder joint to the grip, arm straight."`
	HalfShoulder *float64 `json:"half_shoulder,omitempty" validate:"omitempty,plausible=rower.segments.half_shoulder" description:"Half the distance between the shoulder joints."`
	HalfDepth    *float64 `json:"half_depth,omitempty" validate:"omitempty,plausible=rower.segments.half_depth" description:"Middle of the trunk to its front."`
	AnkleAlong   *float64 `json:"ankle_along,omitempty" validate:"omitempty,plausible=rower.segments.ankle_along" description:"Heel to ankle joint along the sole."`
	AnkleOff     *float64 `json:"ankle_off,omitempty" validate:"omitempty,plausible=rower.segments.ankle_off" description:"Ankle joint off the sole, shoe included."`
	Ball         *float64 `json:"ball,omitempty" validate:"omitempty,plausible=rower.segments.ball" description:"Heel to the ball of the foot along the sole."`
	HipHeight    *float64 `json:"hip_height,omitempty" validate:"omitempty,plausible=rower.segments.hip_height" description:"Hip joint over the lowest point of the seat."`
}

// Rower is what is known of a body on the wire. Everything is optional.
type Rower struct {
	Sex             string   `json:"sex,omitempty" validate:"omitempty,oneof=female male" description:"Reference population for what was not measured; without it, both in equal parts."`
	StatureCm       *float64 `json:"stature_cm,omitempty" validate:"omitempty,plausible=rower.stature"`
	ArmSpanCm       *float64 `json:"arm_span_cm,omitempty" validate:"omitempty,plausible=rower.arm_span" description:"Finger tip to finger tip."`
	SittingHeightCm *float64 `json:"sitting_height_cm,omitempty" validate:"omitempty,plausible=rower.sitting_height" description:"Seat to the top of the head, sitting upright."`
	MassKg          *float64 `json:"mass_kg,omitempty" validate:"omitempty,plausible=rower.mass"`
	AgeYears        *float64 `json:"age_years,omitempty" validate:"omitempty,plausible=rower.age"`
	DrawHeightCm    *float64 `json:"draw_height_cm,omitempty" validate:"omitempty,plausible=rower.draw_height" description:"Draw height: hands at the finish over the seat."`
	SegmentsCm      Segments `json:"segments_cm,omitzero,omitempty" description:"Measured segments; each wins over the estimate."`
}

// Measures converts the rower to the domain.
func (r *Rower) Measures() rigging.Measures {
	sex, _ := rigging.ParseSex(r.Sex)
	s := &r.SegmentsCm
	return rigging.Measures{
		Sex: sex, Age: wire.Known(r.AgeYears, 1), Mass: wire.Known(r.MassKg, 1),
		Stature: wire.CmKnown(r.StatureCm), ArmSpan: wire.CmKnown(r.ArmSpanCm),
		SittingHeight: wire.CmKnown(r.SittingHeightCm), DrawHeight: wire.CmKnown(r.DrawHeightCm),
		Segments: rigging.Body{
			Shank: wire.CmKnown(s.Shank), Thigh: wire.CmKnown(s.Thigh), Trunk: wire.CmKnown(s.Trunk), Arm: wire.CmKnown(s.Arm),
			HalfShoulder: wire.CmKnown(s.HalfShoulder), HalfDepth: wire.CmKnown(s.HalfDepth),
			AnkleAlong: wire.CmKnown(s.AnkleAlong), AnkleOff: wire.CmKnown(s.AnkleOff),
			Ball: wire.CmKnown(s.Ball), HipHeight: wire.CmKnown(s.HipHeight),
		},
	}
}

// Posture is how the rower holds the body, on the wire; each value optional.
type Posture struct {
	ShinDeg         *float64 `json:"shin_deg,omitempty" validate:"omitempty,plausible=posture.shin" description:"Shin at the catch, from the horizontal; without it, what is expected of this rower, 90 in a calibration."`
	LeanDeg         *float64 `json:"lean_deg,omitempty" validate:"omitempty,plausible=posture.lean" description:"Forward lean of the trunk at the catch, from the vertical; without it, what is expected of this rower, 25 in a calibration."`
	LaybackDeg      *float64 `json:"layback_deg,omitempty" validate:"omitempty,plausible=posture.layback" default:"28" description:"Lean back of the trunk at the finish, from the vertical."`
	ProtractionCm   *float64 `json:"protraction_cm,omitempty" validate:"omitempty,plausible=posture.protraction" description:"How far the shoulder goes forward at the catch; without it, 5 in sculling, 9 in sweep."`
	DorsiflexionDeg *float64 `json:"dorsiflexion_deg,omitempty" validate:"omitempty,plausible=posture.dorsiflexion" default:"35" description:"Bend of the ankle the rower has with load on it."`
	FinishKneeDeg   *float64 `json:"finish_knee_deg,omitempty" validate:"omitempty,plausible=posture.finish_knee" default:"175" description:"Included angle of the knee at the finish."`
	FinishGapCm     *float64 `json:"finish_gap_cm,omitempty" validate:"omitempty,plausible=posture.finish_gap" default:"3" description:"Handle to the torso's front at the finish."`
	RotationMaxDeg  *float64 `json:"rotation_max_deg,omitempty" validate:"omitempty,plausible=posture.rotation_max" default:"45" description:"Sweep: largest rotation of the shoulders."`
	SideLeanCm      *float64 `json:"side_lean_cm,omitempty" validate:"omitempty,plausible=posture.side_lean" default:"5" description:"Sweep: lean of the trunk to the rigger."`
}

// stated returns shin and lean where they were stated.
func (p *Posture) stated() (shin, lean *rigging.Angle) {
	if p == nil {
		return nil, nil
	}
	if p.ShinDeg != nil {
		shin = wire.Ptr(wire.FromDeg(*p.ShinDeg))
	}
	if p.LeanDeg != nil {
		lean = wire.Ptr(wire.FromDeg(*p.LeanDeg))
	}
	return shin, lean
}

// Domain converts to the domain, on top of the class's defaults.
func (p *Posture) Domain(class rigging.Class) rigging.Posture {
	d := rigging.DefaultPosture(class)
	if p == nil {
		return d
	}
	return rigging.Posture{
		Shin: wire.DegOr(p.ShinDeg, d.Shin), Lean: wire.DegOr(p.LeanDeg, d.Lean), Layback: wire.DegOr(p.LaybackDeg, d.Layback),
		Protraction: wire.CmOr(p.ProtractionCm, d.Protraction), Dorsiflexion: wire.DegOr(p.DorsiflexionDeg, d.Dorsiflexion),
		FinishKnee: wire.DegOr(p.FinishKneeDeg, d.FinishKnee), FinishGap: wire.CmOr(p.FinishGapCm, d.FinishGap),
		RotationMax: wire.DegOr(p.RotationMaxDeg, d.RotationMax), SideLean: wire.CmOr(p.SideLeanCm, d.SideLean),
	}
}

// PostureValues is a posture as used, every value filled. It can be sent again
// as a Posture.
type PostureValues struct {
	ShinDeg         float64 `json:"shin_deg"`
	LeanDeg         float64 `json:"lean_deg"`
	LaybackDeg      float64 `json:"layback_deg"`
	ProtractionCm   float64 `json:"protraction_cm"`
	DorsiflexionDeg float64 `json:"dorsiflexion_deg"`
	FinishKneeDeg   float64 `json:"finish_knee_deg"`
	FinishGapCm     float64 `json:"finish_gap_cm"`
	RotationMaxDeg  float64 `json:"rotation_max_deg"`
	SideLeanCm      float64 `json:"side_lean_cm"`
}

func wirePosture(p *rigging.Posture) PostureValues {
	return PostureValues{
		ShinDeg: wire.ToDeg(p.Shin), LeanDeg: wire.ToDeg(p.Lean), LaybackDeg: wire.ToDeg(p.Layback),
		ProtractionCm: wire.ToCm(p.Protraction), DorsiflexionDeg: wire.ToDeg(p.Dorsiflexion),
		FinishKneeDeg: wire.ToDeg(p.FinishKnee), FinishGapCm: wire.ToCm(p.FinishGap),
		RotationMaxDeg: wire.ToDeg(p.RotationMax), SideLeanCm: wire.ToCm(p.SideLean),
	}
}

// Handle is the height of the hands over the seat on the wire.
type Handle struct {
	CatchHeightCm  *float64 `json:"catch_height_cm" validate:"required,omitempty,plausible=handle.catch_height" description:"At the catch; in sculling the lower hand."`
	FinishHeightCm *float64 `json:"finish_height_cm" validate:"required,omitempty,plausible=handle.finish_height" description:"At the finish; in sculling the lower hand."`
}

// handle converts to the domain; nil stays nil.
func (h *Handle) handle() *rigging.Handle {
	if h == nil {
		return nil
	}
	return &rigging.Handle{Catch: wire.CmOr(h.CatchHeightCm, 0), Finish: wire.CmOr(h.FinishHeightCm, 0)}
}

// Targets are the wanted ends of the arc on the wire.
type Targets struct {
	CatchDeg  *float64 `json:"catch_deg,omitempty" validate:"omitempty,plausible=targets.catch" description:"Negative, as all angles towards the catch."`
	FinishDeg *float64 `json:"finish_deg,omitempty" validate:"omitempty,plausible=targets.finish" description:"Positive."`
}

func (t *Targets) targets() rigging.Targets {
	if t == nil {
		return rigging.Targets{}
	}
	return rigging.Targets{Catch: wire.DegKnown(t.CatchDeg), Finish: wire.DegKnown(t.FinishDeg)}
}

// Limits bound what a posture may ask, on the wire; engineering judgement, no
// medical thresholds.
type Limits struct {
	LeanDeg        *float64 `json:"lean_deg,omitempty" validate:"omitempty,plausible=limits.lean" default:"30"`
	LaybackDeg     *float64 `json:"layback_deg,omitempty" validate:"omitempty,plausible=limits.layback" default:"35"`
	KneeFlexionDeg *float64 `json:"knee_flexion_deg,omitempty" validate:"omitempty,plausible=limits.knee_flexion" default:"140"`
	TrunkThighDeg  *float64 `json:"trunk_thigh_deg,omitempty" validate:"omitempty,plausible=limits.trunk_thigh" default:"165"`
}

func (l *Limits) limits() rigging.Limits {
	d := rigging.DefaultLimits()
	if l == nil {
		return d
	}
	return rigging.Limits{
		Lean: wire.DegOr(l.LeanDeg, d.Lean), Layback: wire.DegOr(l.LaybackDeg, d.Layback),
		KneeFlexion: wire.DegOr(l.KneeFlexionDeg, d.KneeFlexion), TrunkThigh: wire.DegOr(l.TrunkThighDeg, d.TrunkThigh),
		HeelLift: d.HeelLift,
	}
}

// Approach says how the blade comes to the water, on the wire.
type Approach struct {
	BoatSpeedMS  *float64 `json:"boat_speed_m_s,omitempty" validate:"omitempty,plausible=approach.boat_speed" default:"4.5" description:"Speed of the boat through the water at the catch."`
	EdgeHeightCm *float64 `json:"edge_height_cm,omitempty" validate:"omitempty,plausible=approach.edge_height" default:"5" description:"Lower edge of the squared blade over the water before the catch."`
	BladeSpeedMS *float64 `json:"blade_speed_m_s,omitempty" validate:"omitempty,plausible=approach.blade_speed" default:"2" description:"Speed of the blade downwards."`
	OverdepthCm  *float64 `json:"overdepth_cm,omitempty" validate:"omitempty,plausible=approach.overdepth" default:"5" description:"How much deeper than covered the blade is carried."`
}

func (a *Approach) Approach() rigging.Approach {
	d := rigging.DefaultApproach()
	if a == nil {
		return d
	}
	return rigging.Approach{
		BoatSpeed: wire.Or(a.BoatSpeedMS, d.BoatSpeed), EdgeHeight: wire.CmOr(a.EdgeHeightCm, d.EdgeHeight),
		BladeSpeed: wire.Or(a.BladeSpeedMS, d.BladeSpeed), Overdepth: wire.CmOr(a.OverdepthCm, d.Overdepth),
	}
}

// Domain converts the targets; an end left out is zero.
func (t *Targets) Domain() rigging.Targets { return t.targets() }

// Domain converts the limits, those left out being the usual ones.
func (l *Limits) Domain() rigging.Limits { return l.limits() }

// Setting returns the value of the setting with the name, nil when it is not
// known. It panics on a name that is no setting.
func (s *Seat) Setting(name string) *float64 { return *s.SettingField(name) }

func (s *Seat) SettingField(name string) **float64 {
	for _, v := range []struct {
		name  string
		value **float64
	}{
		{"span_cm", &s.SpanCm}, {"spread_cm", &s.SpreadCm}, {"inboard_cm", &s.InboardCm}, {"oar_length_cm", &s.OarLengthCm},
		{"heel_to_pin_cm", &s.HeelToPinCm}, {"heel_depth_cm", &s.HeelDepthCm}, {"plate_angle_deg", &s.PlateAngleDeg},
		{"gate_height_cm", &s.GateHeightCm}, {"gate_difference_cm", &s.GateDifferenceCm},
		{"blade_pitch_deg", &s.BladePitchDeg}, {"stern_pitch_deg", &s.SternPitchDeg}, {"outward_pitch_deg", &s.OutwardPitchDeg},
	} {
		if v.name == name {
			return v.value
		}
	}
	panic("api: no setting " + name)
}
