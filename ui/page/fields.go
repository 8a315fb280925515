package page

import (
	"net/url"
	"strings"

	"thole/api/seat"
	"thole/api/settings"
	"thole/api/wire"
)

// Field is one number a form asks for.
type Field struct {
	Name  string // of the form's value
	Path  string // of the field in the request, members and numbers of items joined by dots
	Label string
	Unit  string
	Help  string
	Blank string // what stands in when it is left empty
	At    func(*seat.SolveRequest) **float64
}

// Place is where the field stands in the request.
func (f Field) Place() wire.Place { return wire.At(strings.Split(f.Path, ".")...) }

// Fields of the seat's form, in groups as people meet them.
var (
	ScullFields = []Field{
		{"span_cm", "seat.span_cm", "Span", "cm", "Pin to pin, centre to centre, where the pins meet the rigger.", "", func(r *seat.SolveRequest) **float64 { return &r.Seat.SpanCm }},
	}
	SweepFields = []Field{
		{"spread_cm", "seat.spread_cm", "Spread", "cm", "Middle of the boat to the centre of the pin, where it meets the rigger.", "", func(r *seat.SolveRequest) **float64 { return &r.Seat.SpreadCm }},
	}
	rigFields = WithDefaults(seat.SolveRequest{}, []Field{
		{"inboard_cm", "seat.inboard_cm", "Inboard", "cm", "End of the handle to the face of the collar that bears on the gate.", "", func(r *seat.SolveRequest) **float64 { return &r.Seat.InboardCm }},
		{"oar_length_cm", "seat.oar_length_cm", "Oar length", "cm", "Along the shaft, handle end to blade end.", "", func(r *seat.SolveRequest) **float64 { return &r.Seat.OarLengthCm }},
		{"heel_to_pin_cm", "seat.heel_to_pin_cm", "Stretcher position", "cm", "Level distance from the line through the pins to the heel of the shoe, towards the stern.", "", func(r *seat.SolveRequest) **float64 { return &r.Seat.HeelToPinCm }},
		{"heel_depth_cm", "seat.heel_depth_cm", "Heel depth", "cm", "Seat to heel, straight down.", "", func(r *seat.SolveRequest) **float64 { return &r.Seat.HeelDepthCm }},
		{"gate_height_cm", "seat.gate_height_cm", "Height, seat to gate", "cm", "Lowest point of the seat up to the bottom of the gate.", "", func(r *seat.SolveRequest) **float64 { return &r.Seat.GateHeightCm }},
	})
	ScullMoreFields = []Field{
		{"gate_difference_cm", "seat.gate_difference_cm", "Gate difference", "cm", "Starboard over port; negative when port is the higher one.", Plain(settings.Usual("1x", "gate_difference_cm")), func(r *seat.SolveRequest) **float64 { return &r.Seat.GateDifferenceCm }},
	}
	rigMoreFields = WithDefaults(seat.SolveRequest{}, []Field{
		{"plate_angle_deg", "seat.plate_angle_deg", "Stretcher angle", "°", "Rake: the plate from the horizontal.", "", func(r *seat.SolveRequest) **float64 { return &r.Seat.PlateAngleDeg }},
		{"stern_pitch_deg", "seat.stern_pitch_deg", "Stern pitch", "°", "Of the pin.", "", func(r *seat.SolveRequest) **float64 { return &r.Seat.SternPitchDeg }},
		{"outward_pitch_deg", "seat.outward_pitch_deg", "Lateral pitch", "°", "Of the pin, outwards.", "", func(r *seat.SolveRequest) **float64 { return &r.Seat.OutwardPitchDeg }},
		{"blade_pitch_deg", "seat.blade_pitch_deg", "Gate and blade pitch", "°", "Built into insert or oar.", "", func(r *seat.SolveRequest) **float64 { return &r.Seat.BladePitchDeg }},
		{"seat_over_water_cm", "seat.seat_over_water_cm", "Seat height", "cm", "Over the water, with a crew of the mass the boat is built for.", "", func(r *seat.SolveRequest) **float64 { return &r.Seat.SeatOverWaterCm }},
	})
	BodyFields = []Field{
		{"stature_cm", "rower.stature_cm", "Height", "cm", "Standing, without shoes.", "", func(r *seat.SolveRequest) **float64 { return &r.Rower.StatureCm }},
		{"arm_span_cm", "rower.arm_span_cm", "Arm span", "cm", "Finger tip to finger tip, arms straight out.", "", func(r *seat.SolveRequest) **float64 { return &r.Rower.ArmSpanCm }},
		{"sitting_height_cm", "rower.sitting_height_cm", "Sitting height", "cm", "Hard chair to the top of the head, sitting tall.", "", func(r *seat.SolveRequest) **float64 { return &r.Rower.SittingHeightCm }},
		{"mass_kg", "rower.mass_kg", "Mass", "kg", "", "", func(r *seat.SolveRequest) **float64 { return &r.Rower.MassKg }},
		{"age_years", "rower.age_years", "Age", "years", "", "", func(r *seat.SolveRequest) **float64 { return &r.Rower.AgeYears }},
		{"draw_height_cm", "rower.draw_height_cm", "Draw height", "cm", "Hands at the finish over the seat.", "", func(r *seat.SolveRequest) **float64 { return &r.Rower.DrawHeightCm }},
	}
	SegmentFields = []Field{
		{"shank_cm", "rower.segments_cm.shank", "Lower leg", "cm", "Knee joint to ankle joint.", "", func(r *seat.SolveRequest) **float64 { return &r.Rower.SegmentsCm.Shank }},
		{"thigh_cm", "rower.segments_cm.thigh", "Thigh", "cm", "Hip joint to knee joint.", "", func(r *seat.SolveRequest) **float64 { return &r.Rower.SegmentsCm.Thigh }},
		{"trunk_cm", "rower.segments_cm.trunk", "Trunk", "cm", "Hip joint to shoulder joint.", "", func(r *seat.SolveRequest) **float64 { return &r.Rower.SegmentsCm.Trunk }},
		{"arm_cm", "rower.segments_cm.arm", "Arm", "cm", "Shoulder joint to the grip, straight.", "", func(r *seat.SolveRequest) **float64 { return &r.Rower.SegmentsCm.Arm }},
		{"half_shoulder_cm", "rower.segments_cm.half_shoulder", "Half shoulder width", "cm", "Half the distance between the shoulder joints.", "", func(r *seat.SolveRequest) **float64 { return &r.Rower.SegmentsCm.HalfShoulder }},
		{"half_depth_cm", "rower.segments_cm.half_depth", "Trunk, middle to front", "cm", "", "", func(r *seat.SolveRequest) **float64 { return &r.Rower.SegmentsCm.HalfDepth }},
		{"ankle_along_cm", "rower.segments_cm.ankle_along", "Heel to ankle", "cm", "Along the sole.", "", func(r *seat.SolveRequest) **float64 { return &r.Rower.SegmentsCm.AnkleAlong }},
		{"ankle_off_cm", "rower.segments_cm.ankle_off", "Ankle over the sole", "cm", "Shoe included.", "", func(r *seat.SolveRequest) **float64 { return &r.Rower.SegmentsCm.AnkleOff }},
		{"ball_cm", "rower.segments_cm.ball", "Heel to ball of the foot", "cm", "", "", func(r *seat.SolveRequest) **float64 { return &r.Rower.SegmentsCm.Ball }},
		{"hip_height_cm", "rower.segments_cm.hip_height", "Hip joint over the seat", "cm", "", "", func(r *seat.SolveRequest) **float64 { return &r.Rower.SegmentsCm.HipHeight }},
	}
	TargetFields = []Field{
		{"catch_deg", "targets.catch_deg", "Target catch", "°", "A plain number.", "automatic", func(r *seat.SolveRequest) **float64 { return &r.Targets.CatchDeg }},
		{"finish_deg", "targets.finish_deg", "Target finish", "°", "Past square.", "automatic", func(r *seat.SolveRequest) **float64 { return &r.Targets.FinishDeg }},
	}
	PostureFields = WithDefaults(seat.SolveRequest{}, []Field{
		{"lean_deg", "posture.lean_deg", "Lean forward at the catch", "°", "Trunk from the vertical.", "expected", func(r *seat.SolveRequest) **float64 { return &r.Posture.LeanDeg }},
		{"layback_deg", "posture.layback_deg", "Lean back at the finish", "°", "Trunk from the vertical.", "", func(r *seat.SolveRequest) **float64 { return &r.Posture.LaybackDeg }},
		{"shin_deg", "posture.shin_deg", "Shin at the catch", "°", "From the horizontal; less is more compressed.", "expected", func(r *seat.SolveRequest) **float64 { return &r.Posture.ShinDeg }},
		{"protraction_cm", "posture.protraction_cm", "Shoulders forward", "cm", "Beyond the line of the trunk.", "", func(r *seat.SolveRequest) **float64 { return &r.Posture.ProtractionCm }},
		{"dorsiflexion_deg", "posture.dorsiflexion_deg", "Ankle bend", "°", "That you have with load on it.", "", func(r *seat.SolveRequest) **float64 { return &r.Posture.DorsiflexionDeg }},
		{"finish_gap_cm", "posture.finish_gap_cm", "Handle off the body", "cm", "At the finish.", "", func(r *seat.SolveRequest) **float64 { return &r.Posture.FinishGapCm }},
	})
	ApproachFields = WithDefaults(seat.SolveRequest{}, []Field{
		{"boat_speed_m_s", "approach.boat_speed_m_s", "Boat speed", "m/s", "Through the water at the catch.", "", func(r *seat.SolveRequest) **float64 { return &r.Approach.BoatSpeedMS }},
		{"edge_height_cm", "approach.edge_height_cm", "Blade's edge over the water", "cm", "Lower edge, squared, before the catch.", "", func(r *seat.SolveRequest) **float64 { return &r.Approach.EdgeHeightCm }},
		{"blade_speed_m_s", "approach.blade_speed_m_s", "Blade goes down at", "m/s", "", "", func(r *seat.SolveRequest) **float64 { return &r.Approach.BladeSpeedMS }},
		{"overdepth_cm", "approach.overdepth_cm", "Deeper than covered by", "cm", "", "", func(r *seat.SolveRequest) **float64 { return &r.Approach.OverdepthCm }},
	})
)

// WithDefaults returns the fields with the default of the request's member standing
// in where they are left empty, and those that say what stands in as they are.
func WithDefaults(request any, fields []Field) []Field {
	for i := range fields {
		if member, ok := wire.MemberAt(request, fields[i].Place()); ok && fields[i].Blank == "" {
			fields[i].Blank = member.Tag.Get("default")
		}
	}
	return fields
}

// Concat joins groups of fields.
func Concat(groups ...[]Field) []Field {
	var all []Field
	for _, g := range groups {
		all = append(all, g...)
	}
	return all
}

// Input is a field with what was typed in it.
type Input struct {
	Field
	Value   string // as typed, so that nothing typed is lost
	Problem string
	Focus   bool   // the first field with a problem
	Prefix  string // of the name and the id
}

// ID is the value's name in the form and the element's id.
func (i Input) ID() string { return i.Prefix + i.Name }

// Bind writes what was typed for the fields into the request, and returns what
// is no number.
func Bind(fields []Field, prefix string, typed url.Values, request *seat.SolveRequest) *Complaints {
	problems := new(Complaints)
	for _, f := range fields {
		text := strings.TrimSpace(typed.Get(prefix + f.Name))
		if text == "" {
			continue
		}
		v, complaint := wire.ReadNumber(text)
		if complaint != "" {
			problems.Report(f.Place(), complaint)
			continue
		}
		*f.At(request) = &v
	}
	return problems
}

// ParseNumber reads a number as [wire.ReadNumber] does; ok is false for what is
// none, or can be read in two ways.
func ParseNumber(text string) (v float64, ok bool) {
	v, complaint := wire.ReadNumber(text)
	return v, complaint == ""
}

// FieldsOfRig returns the fields of a rig: the first measures, and the rest.
func FieldsOfRig(scull bool) (first, more []Field) {
	if scull {
		return Concat(ScullFields, rigFields), Concat(ScullMoreFields, rigMoreFields)
	}
	return Concat(SweepFields, rigFields), rigMoreFields
}
