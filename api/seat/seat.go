package seat

import (
	"thole/api/wire"
	"thole/rigging"
)

// Seat is the rig of one seat on the wire. A value left out takes its default;
// the default pitch is 4° of stern lean.
type Seat struct {
	SpanCm           *float64 `json:"span_cm,omitempty" description:"Sculling: pin to pin, centre to centre, where the pins meet the rigger."`
	SpreadCm         *float64 `json:"spread_cm,omitempty" description:"Sweep: centreline to pin, taken at the same place."`
	Side             string   `json:"side,omitempty" enum:",port,starboard" description:"Sweep: the side the seat rows on."`
	OarLengthCm      *float64 `json:"oar_length_cm" required:"true" description:"Along the shaft to the end of the blade."`
	InboardCm        *float64 `json:"inboard_cm" required:"true" description:"Handle end to the face of the collar that bears on the gate."`
	GateHeightCm     *float64 `json:"gate_height_cm,omitempty" default:"17" description:"Lower bearing face of the gate over the lowest point of the seat; in sculling the port gate."`
	GateDifferenceCm *float64 `json:"gate_difference_cm,omitempty" description:"Sculling: how much higher the starboard gate stands, 1 when left out; negative when it stands lower."`
	HeelToPinCm      *float64 `json:"heel_to_pin_cm" required:"true" description:"Horizontal, line of work to the heel, towards the stern."`
	HeelDepthCm      *float64 `json:"heel_depth_cm,omitempty" default:"17" description:"Lowest point of the seat down to the heel."`
	PlateAngleDeg    *float64 `json:"plate_angle_deg,omitempty" default:"42" description:"Foot plate from the horizontal."`
	BladePitchDeg    *float64 `json:"blade_pitch_deg,omitempty" default:"0" description:"Pitch built into gate or oar."`
	SternPitchDeg    *float64 `json:"stern_pitch_deg,omitempty" default:"4" description:"Lean of the pin towards the stern."`
	OutwardPitchDeg  *float64 `json:"outward_pitch_deg,omitempty" default:"0" description:"Lean of the pin away from the boat."`
	SeatOverWaterCm  *float64 `json:"seat_over_water_cm,omitempty" default:"7.5" description:"Lowest point of the seat over the water at the class's reference displacement."`
}

// Defaults of a seat, SI units. The gate height starts sweep crews off in
// V. Nolte, "A primer on sweep rigging"; the heel depth, the gates' difference
// and the pitch are common practice; the plate's angle is from memory.
const (
	defaultGateHeight     = 0.17
	defaultGateDifference = 0.01
	defaultHeelDepth      = 0.17
	defaultPlateAngle     = 42 * rigging.Degree
	defaultSternPitch     = 4 * rigging.Degree
)

// Setup converts the seat to the domain.
func (s *Seat) Setup(class rigging.Class) rigging.Setup {
	side, _ := rigging.ParseSide(s.Side)
	difference := 0.0
	if class.Scull {
		difference = defaultGateDifference
	}
	return rigging.Setup{
		Class: class, Side: side,
		Span: wire.CmKnown(s.SpanCm), Spread: wire.CmKnown(s.SpreadCm),
		OarLength: wire.CmKnown(s.OarLengthCm), Inboard: wire.CmKnown(s.InboardCm),
		GateHeight: wire.CmKnownOr(s.GateHeightCm, defaultGateHeight), GateDifference: wire.CmOr(s.GateDifferenceCm, difference),
		HeelToPin: wire.CmKnown(s.HeelToPinCm), HeelDepth: wire.CmKnownOr(s.HeelDepthCm, defaultHeelDepth),
		PlateAngle:    wire.DegKnownOr(s.PlateAngleDeg, defaultPlateAngle),
		BladePitch:    wire.DegOr(s.BladePitchDeg, 0),
		SternPitch:    wire.DegOr(s.SternPitchDeg, defaultSternPitch),
		OutwardPitch:  wire.DegOr(s.OutwardPitchDeg, 0),
		SeatOverWater: wire.CmOr(s.SeatOverWaterCm, rigging.DefaultSeatOverWater),
	}
}

// Segments are measured parts of a body in cm, each optional.
type Segments struct {
	Shank        *float64 `json:"shank,omitempty" description:"Knee joint to ankle joint."`
	Thigh        *float64 `json:"thigh,omitempty" description:"Hip joint to knee joint."`
	Trunk        *float64 `json:"trunk,omitempty" description:"Hip joint to shoulder joint."`
	Arm          *float64 `json:"arm,omitempty" description:"Shoulder joint to the grip, arm straight."`
	HalfShoulder *float64 `json:"half_shoulder,omitempty" description:"Half the distance between the shoulder joints."`
	HalfDepth    *float64 `json:"half_depth,omitempty" description:"Middle of the trunk to its front."`
	AnkleAlong   *float64 `json:"ankle_along,omitempty" description:"Heel to ankle joint along the sole."`
	AnkleOff     *float64 `json:"ankle_off,omitempty" description:"Ankle joint off the sole, shoe included."`
	Ball         *float64 `json:"ball,omitempty" description:"Heel to the ball of the foot along the sole."`
	HipHeight    *float64 `json:"hip_height,omitempty" description:"Hip joint over the lowest point of the seat."`
}

// Rower is what is known of a body on the wire. Everything is optional.
type Rower struct {
	Sex             string   `json:"sex,omitempty" enum:",female,male" description:"Reference population for what was not measured; left out: both in equal parts."`
	StatureCm       *float64 `json:"stature_cm,omitempty"`
	ArmSpanCm       *float64 `json:"arm_span_cm,omitempty" description:"Finger tip to finger tip."`
	SittingHeightCm *float64 `json:"sitting_height_cm,omitempty" description:"Seat to the top of the head, sitting upright."`
	MassKg          *float64 `json:"mass_kg,omitempty"`
	AgeYears        *float64 `json:"age_years,omitempty"`
	DrawHeightCm    *float64 `json:"draw_height_cm,omitempty" description:"Seat to where the hands meet the body at the finish."`
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
	ShinDeg         *float64 `json:"shin_deg,omitempty" default:"90" description:"Shin at the catch, from the horizontal."`
	LeanDeg         *float64 `json:"lean_deg,omitempty" default:"25" description:"Forward lean of the trunk at the catch, from the vertical."`
	LaybackDeg      *float64 `json:"layback_deg,omitempty" default:"28" description:"Lean back of the trunk at the finish, from the vertical."`
	ProtractionCm   *float64 `json:"protraction_cm,omitempty" description:"How far the shoulder goes forward at the catch; left out: 5 in sculling, 9 in sweep."`
	DorsiflexionDeg *float64 `json:"dorsiflexion_deg,omitempty" default:"35" description:"Bend of the ankle the rower has with load on it."`
	FinishKneeDeg   *float64 `json:"finish_knee_deg,omitempty" default:"175" description:"Included angle of the knee at the finish."`
	FinishGapCm     *float64 `json:"finish_gap_cm,omitempty" default:"3" description:"Handle to the torso's front at the finish."`
	RotationMaxDeg  *float64 `json:"rotation_max_deg,omitempty" default:"45" description:"Sweep: largest rotation of the shoulders."`
	SideLeanCm      *float64 `json:"side_lean_cm,omitempty" default:"5" description:"Sweep: lean of the trunk to the rigger."`
}

// posture converts to the domain, on top of the class's defaults.
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
	CatchHeightCm  *float64 `json:"catch_height_cm" required:"true" description:"At the catch; in sculling the lower hand."`
	FinishHeightCm *float64 `json:"finish_height_cm" required:"true" description:"At the finish; in sculling the lower hand."`
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
	CatchDeg  *float64 `json:"catch_deg,omitempty" description:"Negative, as all angles towards the catch."`
	FinishDeg *float64 `json:"finish_deg,omitempty" description:"Positive."`
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
	LeanDeg        *float64 `json:"lean_deg,omitempty" default:"30"`
	LaybackDeg     *float64 `json:"layback_deg,omitempty" default:"35"`
	KneeFlexionDeg *float64 `json:"knee_flexion_deg,omitempty" default:"140"`
	TrunkThighDeg  *float64 `json:"trunk_thigh_deg,omitempty" default:"165"`
}

func (l *Limits) limits() rigging.Limits {
	d := rigging.DefaultLimits()
	if l == nil {
		return d
	}
	return rigging.Limits{
		Lean: wire.DegOr(l.LeanDeg, d.Lean), Layback: wire.DegOr(l.LaybackDeg, d.Layback),
		KneeFlexion: wire.DegOr(l.KneeFlexionDeg, d.KneeFlexion), TrunkThigh: wire.DegOr(l.TrunkThighDeg, d.TrunkThigh),
	}
}

// Approach says how the blade comes to the water, on the wire.
type Approach struct {
	BoatSpeedMS  *float64 `json:"boat_speed_m_s,omitempty" default:"4.5" description:"Speed of the boat through the water at the catch."`
	EdgeHeightCm *float64 `json:"edge_height_cm,omitempty" default:"5" description:"Lower edge of the squared blade over the water before the catch."`
	BladeSpeedMS *float64 `json:"blade_speed_m_s,omitempty" default:"2" description:"Speed of the blade downwards."`
	OverdepthCm  *float64 `json:"overdepth_cm,omitempty" default:"5" description:"How much deeper than covered the blade is carried."`
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
