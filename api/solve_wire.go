package api

import (
	"fmt"
	"math"

	"thole/rigging"
)

func (a *SeatSolution) setStroke(s *rigging.Stroke) {
	a.CatchDeg, a.FinishDeg, a.ArcDeg = toDeg(s.Catch), toDeg(s.Finish), toDeg(s.Arc())
	a.HandleArcM = toM(s.HandleArc)
	a.SeatTravelCm, a.WorkThroughCm = toCm(s.SeatTravel), toCm(s.WorkThrough)
	a.KneeFlexionDeg, a.TrunkThighDeg = toDeg(s.KneeFlexion), toDeg(s.TrunkThigh)
	a.DorsiflexionNeededDeg, a.HeelLiftDeg = toDeg(s.DorsiflexionNeeded), toDeg(s.HeelLift)
	a.ArmSlopeDeg, a.RotationDeg = toDeg(s.ArmSlope), toDeg(s.Rotation)
	a.HandsApartCm, a.HandleEndsApartCm = toCm(s.HandsApart), toCm(s.HandleEndsApart)
	for _, o := range s.Arcs() {
		a.Oars = append(a.Oars, OarArc{
			Side: o.Side.String(), CatchDeg: toDeg(o.Catch), FinishDeg: toDeg(o.Finish),
			HandleCatchHeightCm: toCm(o.Handle.Catch), HandleFinishHeightCm: toCm(o.Handle.Finish),
		})
	}
}

// curveStep is the spacing of the gearing curve.
const curveStep = 2 * rigging.Degree

func wireGearing(g rigging.Gearing, s *rigging.Stroke) Gearing {
	w := Gearing{
		OarRatio: toRatio(g.OarRatio), SpanRatio: toRatio(g.SpanRatio),
		SurveyRatio: toRatio(g.SurveyRatio), LeverRatio: toRatio(g.LeverRatio),
		AtCatch: toRatio(g.At(s.Catch)), AtFinish: toRatio(g.At(s.Finish)),
	}
	intervals := int(math.Ceil(float64(s.Arc() / curveStep)))
	for i := range intervals + 1 {
		theta := s.Catch + s.Arc()*rigging.Angle(i)/rigging.Angle(intervals)
		w.Curve = append(w.Curve, GearingPoint{AngleDeg: toDeg(theta), Ratio: toRatio(g.At(theta))})
	}
	return w
}

func wireHeights(c *rigging.Case, s *rigging.Stroke) Heights {
	h := c.Heights(s)
	lower := c.Setup.GateHeight + min(0, c.Setup.GateDifference)
	return Heights{
		SeatOverWaterCm: toCm(h.SeatOverWater), GateOverWaterCm: toCm(h.GateOverWater),
		HandleEntryCm: toCm(h.HandleEntry), HandleCoveredCm: toCm(h.HandleCovered),
		HandleRecoveryCm: toCm(h.HandleRecovery), BladeRecoveryCm: toCm(h.BladeRecovery),
		DrawHeightCm: toCm(h.DrawHeight), DrawHeightSdCm: toCm(h.DrawHeightSD),
		ThighTopCm: toCm(h.ThighTop), HandlePerGate: toRatio(h.HandlePerGate), ArmSlopeDeg: toDeg(h.ArmSlope),
		Window: GateWindow{
			LowCm: toCm(h.Window.Low), HighCm: toCm(h.Window.High), SdCm: toCm(h.Window.SD),
			LowBy: string(h.Window.LowBy), HighBy: string(h.Window.HighBy),
			Verdict: [...]string{"low", "inside", "high"}[1+h.Window.Verdict(lower)],
		},
	}
}

func wireEntry(e rigging.Entry, class rigging.Class) Entry {
	return Entry{
		BladeSpeedMS: toSpeed(e.BladeSpeed), HandleSpeedMS: toSpeed(e.HandleSpeed), OarRateDegS: toDegPerSec(e.OarRate),
		BuryTimeS: toSeconds(e.BuryTime), MissedDeg: toDeg(e.Missed), MissedShare: toRatio(e.MissedShare),
		SavedDegPerCm: perCm(e.PerHeight), DetourShare: toRatio(e.DetourShare), HandleRiseCm: toCm(e.HandleRise),
		SlipTargetDeg: toDeg(rigging.SlipTarget(class)),
	}
}

// wireDemand returns nil when no target was stated.
func wireDemand(d rigging.Demand, t rigging.Targets) *Demand {
	if d.Catch == nil && d.Finish == nil {
		return nil
	}
	w := new(Demand)
	if d.Catch != nil {
		w.Catch = &CatchDemand{
			EndDemand: wireEnd(&d.Catch.EndDemand), LimitedBy: string(d.Catch.LimitedBy),
			ShinDeg: degOrNil(d.Catch.Shin), SlideStopDeg: degOrNil(d.Catch.SlideStop),
		}
	}
	if d.Finish != nil {
		end := wireEnd(d.Finish)
		w.Finish, w.HeelForFinishCm = &end, ptr(toCm(d.HeelForFinish))
	}
	return w
}

func wireEnd(d *rigging.EndDemand) EndDemand {
	w := EndDemand{
		TargetDeg: toDeg(d.Target), UsualDeg: toDeg(d.Usual), LimitDeg: toDeg(d.Limit),
		AtLimitDeg: toDeg(d.AtLimit), MarginDeg: toDeg(d.Margin), Reach: string(d.Reach),
	}
	if d.Possible {
		w.NeededDeg = ptr(toDeg(d.Needed))
	}
	return w
}

func degOrNil(a rigging.Angle) *float64 {
	if a == 0 {
		return nil
	}
	return ptr(toDeg(a))
}

func wireSensitivities(list []rigging.Sensitivity) []Sensitivity {
	w := make([]Sensitivity, 0, len(list))
	for _, s := range list {
		u := units[s.Setting.Quantity()]
		w = append(w, Sensitivity{
			Setting: string(s.Setting) + u.suffix, Step: round(s.Step*u.factor, 1e4),
			CatchDeg: toDeg(s.Catch), FinishDeg: toDeg(s.Finish), ArcDeg: toDeg(s.Arc), LeverRatio: toRatio(s.LeverRatio),
			PitchCatchDeg: toDeg(s.PitchCatch), PitchFinishDeg: toDeg(s.PitchFinish),
			HandleCatchCm: toCm(s.HandleCatch), HandleFinishCm: toCm(s.HandleFinish),
		})
	}
	return w
}

func wireBody(e *rigging.Estimate) Body {
	sd := e.SD()
	return Body{
		StatureCm: toCm(e.Stature), MassKg: toKg(e.Mass), MassSdKg: toKg(e.MassSD),
		SegmentsCm: wireSegments(&e.Body), SdCm: wireSegments(&sd), Rarity: toRatio(e.Rarity),
	}
}

func wireSegments(b *rigging.Body) SegmentValues {
	return SegmentValues{
		Shank: toCm(b.Shank), Thigh: toCm(b.Thigh), Trunk: toCm(b.Trunk), Arm: toCm(b.Arm),
		HalfShoulder: toCm(b.HalfShoulder), HalfDepth: toCm(b.HalfDepth),
		AnkleAlong: toCm(b.AnkleAlong), AnkleOff: toCm(b.AnkleOff), Ball: toCm(b.Ball), HipHeight: toCm(b.HipHeight),
	}
}

func wireDrawing(c *rigging.Case, s *rigging.Stroke) Drawing {
	lv := c.Setup.Levers()
	return Drawing{
		PinOutCm: toCm(c.Setup.PinOut()), InnerCm: toCm(lv.Inner), OuterCm: toCm(lv.Outer),
		HandCm: toCm(lv.Hand), BladeCm: toCm(lv.BladeDepth),
		AtCatch: wirePose(&s.AtCatch), AtFinish: wirePose(&s.AtFinish),
		PlateDeg: toDeg(c.Setup.PlateAngle), GateCm: toCm(c.Setup.GateHeight + min(0, c.Setup.GateDifference)),
		HalfShoulderCm: toCm(c.Body.Body.HalfShoulder),
	}
}

func wirePose(p *rigging.Pose) Pose {
	at := func(q rigging.Point) Point { return Point{XCm: toCm(q.X), ZCm: toCm(q.Z)} }
	return Pose{at(p.Heel), at(p.Ball), at(p.Ankle), at(p.Knee), at(p.Hip), at(p.Shoulder), at(p.Hand)}
}

func wireCautions(list []rigging.Caution) []Caution {
	w := make([]Caution, 0, len(list))
	for _, c := range list {
		text := c.Text
		if c.Range != nil {
			text = unusualText(c.Range)
		}
		w = append(w, Caution{Code: c.Code, Weight: c.Weight.String(), Text: text})
	}
	return w
}

// unusualText says that a value is possible but out of the usual range.
func unusualText(e *rigging.FieldError) string {
	u := units[e.Quantity]
	return fmt.Sprintf("%s of %s is unusual: boats are mostly set from %s to %s. Check it and go on if it is right.",
		fieldLabel(e.Field), amount(e.Value, u), bare(e.Low, u), amount(e.High, u))
}

// fieldLabels names the settings as people say them.
var fieldLabels = map[string]string{
	"seat.span": "A span", "seat.spread": "A spread", "seat.oar_length": "An oar length", "seat.inboard": "An inboard",
	"seat.gate_height": "A gate height", "seat.gate_difference": "A difference between the gates",
	"seat.heel_to_pin": "A distance from heel to pin", "seat.heel_depth": "A heel depth", "seat.plate_angle": "A foot plate angle",
	"seat.blade_pitch": "A blade pitch", "seat.stern_pitch": "A stern pitch", "seat.outward_pitch": "An outward pitch",
	"seat.seat_over_water": "A seat height over the water", "seat.total_pitch": "A pitch with the oar square to the hull",
}

func fieldLabel(field string) string {
	if label, ok := fieldLabels[field]; ok {
		return label
	}
	return field
}
