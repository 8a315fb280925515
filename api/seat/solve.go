package seat

import (
	"context"

	"thole/api/wire"
	"thole/rigging"
)

// SolveRequest asks what one rower does in one seat.
type SolveRequest struct {
	BoatClass string    `json:"boat_class" validate:"required,boatclass"`
	Seat      Seat      `json:"seat" validate:"required"`
	Rower     Rower     `json:"rower,omitempty"`
	Posture   *Posture  `json:"posture,omitempty" description:"With shin_deg and lean_deg stated it is taken as it is, and the limits only caution; otherwise it is what is expected of this rower."`
	Handle    *Handle   `json:"handle,omitempty" description:"Without it, the heights that put the blade at the water."`
	Targets   *Targets  `json:"targets,omitempty" description:"Adds demand to the answer. An end left out is the one to expect of the rower's group."`
	Limits    *Limits   `json:"limits,omitempty"`
	Approach  *Approach `json:"approach,omitempty"`

	Blade       string `json:"blade,omitempty" validate:"omitempty,oneof=hatchet macon large" description:"Kind of blade, which sets its length and its middle; without it, hatchet."`
	Level       string `json:"level,omitempty" validate:"omitempty,oneof=championship club novice" description:"How well the crew rows, for the arc to expect; without it, club."`
	Lightweight *bool  `json:"lightweight,omitempty" description:"Races as a lightweight; without it, an adult whose mass is a lightweight's."`

	UsualArc  *Targets      `json:"usual_arc,omitempty" description:"The club's own arc for such rowers, in the place of the group's."`
	Arcs      []MeasuredArc `json:"arcs,omitempty" validate:"max=50" description:"Arcs measured of this rower: they replace what the group's arc says. Not used where the posture is stated."`
	Readings  []Reading     `json:"readings,omitempty" validate:"max=10" description:"Read with the rower in the seat: measured arcs too, and the last one corrects the stretcher."`
	Stretcher *Stretcher    `json:"stretcher,omitempty" description:"How this boat's stretcher is read."`

	DisplacementKg *float64 `json:"displacement_kg,omitempty" validate:"omitempty,gte=30,lte=2000" description:"Mass afloat; without it, the least hull mass with a crew of this rower's mass, 3 kg of oars and kit each, and a coxswain of 55 kg in coxed boats."`
	TapeCm         *float64 `json:"tape_cm,omitempty" validate:"omitempty,gte=0,lte=5" default:"0.5" description:"Standard deviation of one reading with the tape."`
}

// SeatSolution is what one rower does in one seat.
type SeatSolution struct {
	BoatClass  string  `json:"boat_class"`
	CatchDeg   float64 `json:"catch_deg" description:"Of the oar that meets its limit first; negative."`
	FinishDeg  float64 `json:"finish_deg" description:"Of the oar that meets its limit first."`
	ArcDeg     float64 `json:"arc_deg"`
	HandleArcM float64 `json:"handle_arc_m" description:"Handle travel, at the middle of the grip."`

	SeatTravelCm          float64 `json:"seat_travel_cm"`
	KneeFlexionDeg        float64 `json:"knee_flexion_deg" description:"At the catch, from the straight leg."`
	DorsiflexionNeededDeg float64 `json:"dorsiflexion_needed_deg" description:"Of the ankle at the catch with the heel down."`
	HeelLiftDeg           float64 `json:"heel_lift_deg" description:"At the catch, about the ball of the foot."`
	TrunkThighDeg         float64 `json:"trunk_thigh_deg" description:"At the catch: 90° + elevation of the thigh + lean."`
	ArmSlopeDeg           float64 `json:"arm_slope_deg" description:"At the catch, below the horizontal."`
	RotationDeg           float64 `json:"rotation_deg" description:"Sweep: of the shoulders at the catch."`
	WorkThroughCm         float64 `json:"work_through_cm" description:"How far the seat's front edge passes the line of work."`
	HandsApartCm          float64 `json:"hands_apart_cm" description:"Sculling: hand separation at the catch."`
	HandleEndsApartCm     float64 `json:"handle_ends_apart_cm" description:"Sculling: hand separation at the finish, of the ends of the handles; negative when they cross."`

	Oars      []OarArc `json:"oars" description:"The arc of each oar."`
	Gearing   Gearing  `json:"gearing"`
	OverlapCm Overlap  `json:"overlap_cm"`
	PitchDeg  Pitch    `json:"pitch_deg"`
	Heights   Heights  `json:"heights"`
	Entry     Entry    `json:"entry"`
	Demand    *Demand  `json:"demand,omitempty"`

	Basis     string         `json:"basis" enum:"stated,expected,measured" description:"What the posture rests on: as stated, as expected of the rower's group, or on measured arcs."`
	Group     ArcGroup       `json:"group" description:"Whom the rower is compared with."`
	Targets   UsedTargets    `json:"targets" description:"What the verdicts are about."`
	Capacity  Capacity       `json:"capacity" description:"How far the body goes in this rig with every limit held."`
	Suits     Suits          `json:"suits" description:"Whether the targets suit the reach, as chances."`
	Verdict   Verdict        `json:"verdict" description:"The one verdict on the seat."`
	Proof     Proof          `json:"proof" description:"The check at the boat with the rower in the seat."`
	Stretcher StretcherPlace `json:"stretcher" description:"Where the stretcher belongs for the target finish."`

	Uncertainty   Uncertainty   `json:"uncertainty"`
	Sensitivities []Sensitivity `json:"sensitivities"`
	Body          Body          `json:"body"`
	Posture       PostureValues `json:"posture" description:"As used, defaults filled in."`
	Drawing       Drawing       `json:"drawing" description:"Joints and levers to draw the rower and the boat from."`
	Cautions      []Caution     `json:"cautions"`
}

// OarArc is the arc of one oar.
type OarArc struct {
	Side                 string  `json:"side"`
	CatchDeg             float64 `json:"catch_deg"`
	FinishDeg            float64 `json:"finish_deg"`
	HandleCatchHeightCm  float64 `json:"handle_catch_height_cm"`
	HandleFinishHeightCm float64 `json:"handle_finish_height_cm"`
}

// Gearing is the four numbers by that name, and the lever ratio through the
// stroke.
type Gearing struct {
	OarRatio    float64        `json:"oar_ratio" description:"Outboard / inboard."`
	SpanRatio   float64        `json:"span_ratio" description:"Outboard / half the span, or / the spread."`
	SurveyRatio float64        `json:"survey_ratio" description:"Outboard / (half the span − 2 cm), or / (spread − 2 cm)."`
	LeverRatio  float64        `json:"lever_ratio" description:"Blade's lever / handle's lever, the oar square to the hull."`
	AtCatch     float64        `json:"at_catch" description:"Lever ratio / cos of the catch angle."`
	AtFinish    float64        `json:"at_finish" description:"Lever ratio / cos of the finish angle."`
	Curve       []GearingPoint `json:"curve" description:"Lever ratio / cos θ from catch to finish."`
}

// GearingPoint is one point of the gearing through the stroke.
type GearingPoint struct {
	AngleDeg float64 `json:"angle_deg"`
	Ratio    float64 `json:"ratio"`
}

// Overlap is stated both ways.
type Overlap struct {
	Raw       float64 `json:"raw" description:"2 × inboard − span, or inboard − spread."`
	WithGates float64 `json:"with_gates" description:"The same with half a gate's width, 2 cm, added for each oar."`
}

// Pitch is the pitch of the blade through the stroke.
type Pitch struct {
	Catch  float64 `json:"catch"`
	Square float64 `json:"square"`
	Finish float64 `json:"finish"`
}

// Heights are over the lowest point of the seat unless named otherwise.
type Heights struct {
	SeatOverWaterCm  float64    `json:"seat_over_water_cm" description:"Under this crew."`
	GateOverWaterCm  float64    `json:"gate_over_water_cm"`
	HandleEntryCm    float64    `json:"handle_entry_cm" description:"Hand with the blade's middle at the water's level."`
	HandleCoveredCm  float64    `json:"handle_covered_cm" description:"Hand with the blade just covered (−3°)."`
	HandleMidDriveCm float64    `json:"handle_mid_drive_cm" description:"Hand with the oar square to the hull and the blade's upper edge at the water."`
	HandleRecoveryCm float64    `json:"handle_recovery_cm" description:"Hand with the blade carried back (+3°)."`
	BladeRecoveryCm  float64    `json:"blade_recovery_cm" description:"Blade's middle over the water then."`
	DrawHeightCm     float64    `json:"draw_height_cm" description:"Hands at the finish over the seat."`
	DrawHeightSdCm   float64    `json:"draw_height_sd_cm"`
	DrawMeasured     bool       `json:"draw_measured" description:"false: estimated, to be shown, not to be worked to."`
	ThighTopCm       float64    `json:"thigh_top_cm"`
	HandlePerGate    float64    `json:"handle_per_gate" description:"Rise of the hand for each cm of gate, at equal depth of the blade."`
	ArmSlopeDeg      float64    `json:"arm_slope_deg" description:"Early in the drive, below the horizontal."`
	Window           GateWindow `json:"window"`
}

// GateWindow is the range of heights of the lower gate that suits the body.
type GateWindow struct {
	LowCm    float64 `json:"low_cm"`
	HighCm   float64 `json:"high_cm" description:"Below low_cm when no height suits."`
	SdCm     float64 `json:"sd_cm" description:"Standard deviation of the ends, the larger."`
	LowSdCm  float64 `json:"low_sd_cm" description:"Standard deviation of the lower end."`
	HighSdCm float64 `json:"high_sd_cm" description:"Standard deviation of the upper end."`
	LowBy    string  `json:"low_by" enum:"clear_of_thighs,arm_slope_steep"`
	HighBy   string  `json:"high_by" enum:"blade_covered,arm_slope_level"`
	Verdict  string  `json:"verdict" enum:"low,inside,high" description:"low and high only where the gate stands clearly outside, by more than the ends can be off."`
}

// Entry is how the blade meets the water if the handle matches its speed.
type Entry struct {
	BladeSpeedMS  float64 `json:"blade_speed_m_s" description:"Of the water across the blade's face at the catch."`
	HandleSpeedMS float64 `json:"handle_speed_m_s" description:"That matches it."`
	OarRateDegS   float64 `json:"oar_rate_deg_s" description:"Rate of turn of the oar that matches it."`
	BuryTimeS     float64 `json:"bury_time_s"`
	MissedDeg     float64 `json:"missed_deg" description:"Swept before the blade is covered: missed water."`
	MissedShare   float64 `json:"missed_share" description:"Of the arc."`
	SavedDegPerCm float64 `json:"saved_deg_per_cm" description:"What carrying the blade a centimetre lower saves."`
	DetourShare   float64 `json:"detour_share" description:"Of the arc, spent going deeper than covered and up again."`
	HandleRiseCm  float64 `json:"handle_rise_cm" description:"Of the handle, for the depth beyond covered."`
	SlipTargetDeg float64 `json:"slip_target_deg" description:"Arc to covered that good crews reach (geometric, −3°)."`
}

// Demand is what the targets ask of the body.
type Demand struct {
	Catch           *CatchDemand `json:"catch,omitempty"`
	Finish          *EndDemand   `json:"finish,omitempty"`
	HeelForFinishCm *float64     `json:"heel_for_finish_cm,omitempty" description:"Stretcher position that gives the target finish in the stated posture."`
}

// EndDemand is what one end of the arc asks. Leans are forward at the catch
// and back at the finish.
type EndDemand struct {
	TargetDeg  float64  `json:"target_deg"`
	NeededDeg  *float64 `json:"needed_deg" description:"Lean that the target asks for; null when no lean would do."`
	UsualDeg   float64  `json:"usual_deg" description:"Lean of the stated posture."`
	LimitDeg   float64  `json:"limit_deg" description:"Largest lean within every limit."`
	AtLimitDeg float64  `json:"at_limit_deg" description:"End of the arc with the lean at its limit."`
	MarginDeg  float64  `json:"margin_deg" description:"How far that lies beyond the target; negative when it falls short."`
	Reach      string   `json:"reach" enum:"within_reach,edge_of_reach,beyond_reach"`
}

// CatchDemand is what the catch asks.
type CatchDemand struct {
	EndDemand
	LimitedBy    string   `json:"limited_by" enum:"lean,trunk_thigh"`
	ShinDeg      *float64 `json:"shin_deg,omitempty" description:"Shin that would bring the target within reach with the lean at its limit, where the lean runs out."`
	SlideStopDeg *float64 `json:"slide_stop_deg,omitempty" description:"Shin at which the knees reach their limit, where that comes before the stated shin."`
}

// Uncertainty holds standard deviations from body, tape and, where it is not
// stated, posture together.
type Uncertainty struct {
	CatchSdDeg  float64 `json:"catch_sd_deg"`
	FinishSdDeg float64 `json:"finish_sd_deg"`
	ArcSdDeg    float64 `json:"arc_sd_deg"`
}

// Sensitivity is what one step of one setting changes.
type Sensitivity struct {
	Setting        string  `json:"setting" description:"Name of the setting with its unit, as in seat."`
	Step           float64 `json:"step" description:"In the setting's unit; negative where a step upwards cannot be rowed."`
	CatchDeg       float64 `json:"catch_deg" description:"Change of the signed angle: negative is more catch."`
	FinishDeg      float64 `json:"finish_deg"`
	ArcDeg         float64 `json:"arc_deg"`
	LeverRatio     float64 `json:"lever_ratio"`
	PitchCatchDeg  float64 `json:"pitch_catch_deg"`
	PitchFinishDeg float64 `json:"pitch_finish_deg"`
	HandleCatchCm  float64 `json:"handle_catch_cm"`
	HandleFinishCm float64 `json:"handle_finish_cm"`
}

// Body is the body as used, with standard deviations.
type Body struct {
	StatureCm  float64       `json:"stature_cm"`
	MassKg     float64       `json:"mass_kg"`
	MassSdKg   float64       `json:"mass_sd_kg"`
	SegmentsCm SegmentValues `json:"segments_cm"`
	SdCm       SegmentValues `json:"sd_cm"`
	Rarity     float64       `json:"rarity" description:"Share of the reference population further from its mean than the stated measures."`
}

// SegmentValues are the segments of a body, cm.
type SegmentValues struct {
	Shank        float64 `json:"shank"`
	Thigh        float64 `json:"thigh"`
	Trunk        float64 `json:"trunk"`
	Arm          float64 `json:"arm"`
	HalfShoulder float64 `json:"half_shoulder"`
	HalfDepth    float64 `json:"half_depth"`
	AnkleAlong   float64 `json:"ankle_along"`
	AnkleOff     float64 `json:"ankle_off"`
	Ball         float64 `json:"ball"`
	HipHeight    float64 `json:"hip_height"`
}

// Drawing holds what drawings need beyond the numbers above, cm.
type Drawing struct {
	PinOutCm       float64 `json:"pin_out_cm" description:"Centreline to pin."`
	InnerCm        float64 `json:"inner_cm" description:"Pin to the middle of the handle."`
	OuterCm        float64 `json:"outer_cm" description:"Pin to the middle of the blade."`
	HandCm         float64 `json:"hand_cm" description:"Pin to the hand that limits the reach."`
	BladeCm        float64 `json:"blade_cm" description:"Height of the blade across the shaft."`
	BladeLengthCm  float64 `json:"blade_length_cm"`
	BladeDropCm    float64 `json:"blade_drop_cm" description:"Middle of the blade below the shaft's line."`
	BladeSource    string  `json:"blade_source" description:"Where the blade's measures come from."`
	AtCatch        Pose    `json:"at_catch"`
	AtFinish       Pose    `json:"at_finish"`
	PlateDeg       float64 `json:"plate_deg"`
	GateCm         float64 `json:"gate_cm" description:"Height of the lower gate."`
	HalfShoulderCm float64 `json:"half_shoulder_cm"`
}

// Pose holds the joints in the vertical plane along the boat.
type Pose struct {
	Heel     Point `json:"heel"`
	Ball     Point `json:"ball"`
	Ankle    Point `json:"ankle"`
	Knee     Point `json:"knee"`
	Hip      Point `json:"hip"`
	Shoulder Point `json:"shoulder"`
	Hand     Point `json:"hand"`
}

// Point is a place: x towards the stern from the line of work, z up from the
// lowest point of the seat.
type Point struct {
	XCm float64 `json:"x_cm"`
	ZCm float64 `json:"z_cm"`
}

// Caution is one thing to heed.
type Caution struct {
	Code   string `json:"code"`
	Weight string `json:"weight" enum:"standing,notice,warning"`
	Text   string `json:"text"`
}

// SolveSeat returns what a rower does in a seat. The error is an *Invalid or
// an *Unreachable.
func (s *Service) SolveSeat(_ context.Context, r SolveRequest) (SeatSolution, error) {
	class, err := ClassOf(r.BoatClass)
	if err != nil {
		return SeatSolution{}, err
	}
	in, err := r.read(class)
	if err != nil {
		return SeatSolution{}, err
	}
	if err := in.expect(); err != nil {
		return SeatSolution{}, in.unreachable(err)
	}
	stroke, err := in.Seat.Solve()
	if err != nil {
		return SeatSolution{}, in.unreachable(err)
	}
	a, err := in.answer(&stroke)
	if err != nil {
		return SeatSolution{}, wire.DomainError(err)
	}
	return a, nil
}

// ClassOf returns the boat class of a code. The error is an *Invalid at boat_class.
func ClassOf(code string) (rigging.Class, error) {
	class, ok := rigging.ClassByCode(code)
	if !ok {
		return class, wire.At("boat_class").Invalid("Choose a boat class: 1x, 2x, 4x, 2-, 2+, 4-, 4+ or 8+.")
	}
	return class, nil
}

// SolveInput is a request in the domain's terms.
type SolveInput struct {
	Seat     rigging.Case
	Measures rigging.Measures
	targets  rigging.Targets
	limits   rigging.Limits
	approach rigging.Approach

	shin, lean *rigging.Angle // where they were stated
	blade      rigging.BladeKind
	group      rigging.Group
	arc        rigging.ClassArc
	arcs       []rigging.MeasuredArc
	corrects   *correction // nil without a reading of the finish
	missing    rigging.Missing
	scale      *rigging.StretcherScale
	basis      string
	doubtful   bool // the measured arcs ask for a posture far from any usual one
}

// read converts and checks a whole request, so that every mistake is reported at
// once.
func (r *SolveRequest) read(class rigging.Class) (*SolveInput, error) {
	in := &SolveInput{
		Measures: r.Rower.Measures(), targets: r.Targets.targets(),
		limits: r.Limits.limits(), approach: r.Approach.Approach(), scale: r.Stretcher.Scale(),
	}
	in.shin, in.lean = r.Posture.stated()
	in.missing = rigging.Missing{Settings: r.Seat.missing(class), Rower: in.Measures.Sizeless()}
	setup, posture, handle := r.Seat.Setup(class), r.Posture.Domain(class), r.Handle.handle()
	var p wire.Problems
	setup.Blade = bladeNamed(&p, r.Blade)
	CheckSeat(&p, wire.Place{}, &r.Seat, &setup)
	p.AddError(wire.Place{}, in.Measures.Check())
	p.AddError(wire.Place{}, posture.Check())
	checkHandle(&p, wire.Place{}, r.Handle, handle)
	p.AddError(wire.Place{}, in.targets.Check())
	p.AddError(wire.Place{}, in.limits.Check())
	p.AddError(wire.Place{}, in.approach.Check())
	tape := wire.CmOr(r.TapeCm, rigging.DefaultTape)
	in.blade = setup.Blade
	in.known(&p, r, class)
	r.Stretcher.Problems(&p)
	in.Seat = rigging.Case{Setup: setup}
	if setup.Check() == nil {
		in.readings(&p, r)
	}
	p.Check(wire.At(), r)
	if err := p.OrNil(); err != nil {
		return nil, err
	}
	in.Seat = rigging.Case{
		Setup: setup, Body: in.Measures.Estimate(tape), Posture: posture, Handle: handle,
		DrawHeight: in.Measures.DrawHeight, Age: in.Measures.Age, Displacement: wire.Or(r.DisplacementKg, 0), Tape: tape,
	}
	return in, nil
}

// CheckSeat complains about a seat: the name of its side and its measures.
func CheckSeat(p *wire.Problems, at wire.Place, sent *Seat, setup *rigging.Setup, names ...wire.Names) {
	if _, ok := rigging.ParseSide(sent.Side); !ok && sent.Side != "" {
		p.Add(at.At(rigging.PlaceOf(rigging.FieldSeat, rigging.FieldSide), names...).Problem("Say port or starboard."))
	}
	p.AddError(at, setup.Check(), names...)
}

// CheckSex reads the name of a reference population and complains about others.
func CheckSex(p *wire.Problems, at wire.Place, name string) rigging.Sex {
	sex, ok := rigging.ParseSex(name)
	if !ok {
		p.Add(at.Problem("Say female or male, or leave it out."))
	}
	return sex
}

// checkHandle complains about the heights of the hands, where they are stated.
func checkHandle(p *wire.Problems, at wire.Place, sent *Handle, handle *rigging.Handle) {
	if sent == nil {
		return
	}
	const needed = "This height is needed: give both, or leave the handle out."
	if sent.CatchHeightCm == nil {
		p.Add(at.Name("handle").Name("catch_height_cm").Problem(needed))
	}
	if sent.FinishHeightCm == nil {
		p.Add(at.Name("handle").Name("finish_height_cm").Problem(needed))
	}
	p.AddError(at, handle.Check())
}

// answer puts the solution on the wire.
func (in *SolveInput) answer(stroke *rigging.Stroke) (SeatSolution, error) {
	c := &in.Seat
	gearing, overlap := c.Setup.Gearing(), c.Setup.Overlap()
	a := SeatSolution{BoatClass: c.Setup.Class.Code}
	a.setStroke(stroke)
	a.Gearing = wireGearing(gearing, stroke)
	a.OverlapCm = Overlap{Raw: wire.ToCm(overlap.Raw), WithGates: wire.ToCm(overlap.WithGates)}
	a.PitchDeg = Pitch{Catch: wire.ToDeg(c.Setup.Pitch(stroke.Catch)), Square: wire.ToDeg(c.Setup.Pitch(0)), Finish: wire.ToDeg(c.Setup.Pitch(stroke.Finish))}
	a.Heights = wireHeights(c, stroke)
	a.Entry = WireEntry(c.Setup.Entry(stroke, in.approach), c.Setup.Class)
	a.Demand = wireDemand(c.Demand(stroke, in.targets, in.limits), in.targets)
	u := c.Uncertainty(stroke)
	a.Uncertainty = Uncertainty{wire.ToDeg(u.Catch), wire.ToDeg(u.Finish), wire.ToDeg(u.Arc)}
	a.Sensitivities = wireSensitivities(c.Sensitivities(stroke))
	a.Body = wireBody(&c.Body)
	a.Posture = wirePosture(&c.Posture)
	a.Drawing = wireDrawing(c, stroke)
	a.Cautions = WireCautions(in.cautions(stroke))
	return a, in.reach(&a, stroke)
}

// cautions returns what to heed, the limits and the measured arcs first.
func (in *SolveInput) cautions(stroke *rigging.Stroke) []rigging.Caution {
	list := in.limits.Cautions()
	if in.doubtful {
		list = append(list, rigging.Caution{Code: "doubtful_arc", Weight: rigging.Warning,
			Text: "The measured arc asks for a posture that hardly anybody rows: check the reading, the rig and the rower's measures."})
	}
	return append(list, in.Seat.Cautions(stroke, &in.Measures)...)
}

// unreachable reports why a rig cannot be rowed and, where moving the stretcher
// mends it, where that belongs.
func (in *SolveInput) unreachable(err error) error {
	told := wire.DomainError(err)
	stuck, ok := told.(*wire.Unreachable)
	if !ok {
		return told
	}
	plan, err := rigging.MakePlan(in.task(rigging.JobEveryday))
	if err != nil {
		return told
	}
	heel := wire.Size(wire.ToCm(plan.Seats[0].HeelToPin))
	return &wire.Unreachable{Limit: stuck.Limit, Text: stuck.Text + " For this rower the stretcher belongs near " + heel + " cm from the pins."}
}
