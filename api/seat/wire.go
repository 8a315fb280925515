package seat

import (
	"fmt"
	"math"

	"thole/api/wire"
	"thole/rigging"
)

func (a *SeatSolution) setStroke(s *rigging.Stroke) {
	a.CatchDeg, a.FinishDeg, a.ArcDeg = wire.ToDeg(s.Catch), wire.ToDeg(s.Finish), wire.ToDeg(s.Arc())
	a.HandleArcM = wire.ToM(s.HandleArc)
	a.SeatTravelCm, a.WorkThroughCm = wire.ToCm(s.SeatTravel), wire.ToCm(s.WorkThrough)
	a.KneeFlexionDeg, a.TrunkThighDeg = wire.ToDeg(s.KneeFlexion), wire.ToDeg(s.TrunkThigh)
	a.DorsiflexionNeededDeg, a.HeelLiftDeg = wire.ToDeg(s.DorsiflexionNeeded), wire.ToDeg(s.HeelLift)
	a.ArmSlopeDeg, a.RotationDeg = wire.ToDeg(s.ArmSlope), wire.ToDeg(s.Rotation)
	a.HandsApartCm, a.HandleEndsApartCm = wire.ToCm(s.HandsApart), wire.ToCm(s.HandleEndsApart)
	for _, o := range s.Arcs() {
		a.Oars = append(a.Oars, OarArc{
			Side: o.Side.String(), CatchDeg: wire.ToDeg(o.Catch), FinishDeg: wire.ToDeg(o.Finish),
			HandleCatchHeightCm: wire.ToCm(o.Handle.Catch), HandleFinishHeightCm: wire.ToCm(o.Handle.Finish),
		})
	}
}

// curveStep is the spacing of the gearing curve; our judgement: some fifty points.
const curveStep = 2 * rigging.Degree

func wireGearing(g rigging.Gearing, s *rigging.Stroke) Gearing {
	w := Gearing{
		OarRatio: wire.ToRatio(g.OarRatio), SpanRatio: wire.ToRatio(g.SpanRatio),
		SurveyRatio: wire.ToRatio(g.SurveyRatio), LeverRatio: wire.ToRatio(g.LeverRatio),
		AtCatch: wire.ToRatio(g.At(s.Catch)), AtFinish: wire.ToRatio(g.At(s.Finish)),
	}
	intervals := int(math.Ceil(float64(s.Arc() / curveStep)))
	for i := range intervals + 1 {
		theta := s.Catch + s.Arc()*rigging.Angle(i)/rigging.Angle(intervals)
		w.Curve = append(w.Curve, GearingPoint{AngleDeg: wire.ToDeg(theta), Ratio: wire.ToRatio(g.At(theta))})
	}
	return w
}

func wireHeights(c *rigging.Case, s *rigging.Stroke) Heights {
	h := c.Heights(s)
	lower := c.Setup.GateHeight + min(0, c.Setup.GateDifference)
	return Heights{
		SeatOverWaterCm: wire.ToCm(h.SeatOverWater), GateOverWaterCm: wire.ToCm(h.GateOverWater),
		HandleEntryCm: wire.ToCm(h.HandleEntry), HandleCoveredCm: wire.ToCm(h.HandleCovered),
		HandleMidDriveCm: wire.ToCm(h.HandleMidDrive), DrawMeasured: h.DrawMeasured,
		HandleRecoveryCm: wire.ToCm(h.HandleRecovery), BladeRecoveryCm: wire.ToCm(h.BladeRecovery),
		DrawHeightCm: wire.ToCm(h.DrawHeight), DrawHeightSdCm: wire.ToCm(h.DrawHeightSD),
		ThighTopCm: wire.ToCm(h.ThighTop), HandlePerGate: wire.ToRatio(h.HandlePerGate), ArmSlopeDeg: wire.ToDeg(h.ArmSlope),
		Window: GateWindow{
			LowCm: wire.ToCm(h.Window.Low), HighCm: wire.ToCm(h.Window.High), SdCm: wire.ToCm(h.Window.SD), LowSdCm: wire.ToCm(h.Window.LowSD), HighSdCm: wire.ToCm(h.Window.HighSD),
			LowBy: string(h.Window.LowBy), HighBy: string(h.Window.HighBy),
			Verdict: [...]string{"low", "inside", "high"}[1+h.Window.Out(lower)],
		},
	}
}

// WireEntry converts how a blade goes in, from SI to the units of the names.
func WireEntry(e rigging.Entry, class rigging.Class) Entry {
	return Entry{
		BladeSpeedMS: wire.ToSpeed(e.BladeSpeed), HandleSpeedMS: wire.ToSpeed(e.HandleSpeed), OarRateDegS: wire.ToDegPerSec(e.OarRate),
		BuryTimeS: wire.ToSeconds(e.BuryTime), MissedDeg: wire.ToDeg(e.Missed), MissedShare: wire.ToRatio(e.MissedShare),
		SavedDegPerCm: wire.PerCm(e.PerHeight), DetourShare: wire.ToRatio(e.DetourShare), HandleRiseCm: wire.ToCm(e.HandleRise),
		SlipTargetDeg: wire.ToDeg(rigging.SlipTarget(class)),
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
		w.Finish, w.HeelForFinishCm = &end, wire.Ptr(wire.ToCm(d.HeelForFinish))
	}
	return w
}

func wireEnd(d *rigging.EndDemand) EndDemand {
	w := EndDemand{
		TargetDeg: wire.ToDeg(d.Target), UsualDeg: wire.ToDeg(d.Usual), LimitDeg: wire.ToDeg(d.Limit),
		AtLimitDeg: wire.ToDeg(d.AtLimit), MarginDeg: wire.ToDeg(d.Margin), Reach: string(d.Reach),
	}
	if d.Possible {
		w.NeededDeg = wire.Ptr(wire.ToDeg(d.Needed))
	}
	return w
}

func degOrNil(a rigging.Angle) *float64 {
	if a == 0 {
		return nil
	}
	return wire.Ptr(wire.ToDeg(a))
}

func wireSensitivities(list []rigging.Sensitivity) []Sensitivity {
	w := make([]Sensitivity, 0, len(list))
	for _, s := range list {
		u := wire.Units[s.Setting.Quantity()]
		w = append(w, Sensitivity{
			Setting: string(s.Setting) + u.Suffix, Step: wire.Round(s.Step*u.Factor, 1e4),
			CatchDeg: wire.ToDeg(s.Catch), FinishDeg: wire.ToDeg(s.Finish), ArcDeg: wire.ToDeg(s.Arc), LeverRatio: wire.ToRatio(s.LeverRatio),
			PitchCatchDeg: wire.ToDeg(s.PitchCatch), PitchFinishDeg: wire.ToDeg(s.PitchFinish),
			HandleCatchCm: wire.ToCm(s.HandleCatch), HandleFinishCm: wire.ToCm(s.HandleFinish),
		})
	}
	return w
}

func wireBody(e *rigging.Estimate) Body {
	sd := e.SD()
	return Body{
		StatureCm: wire.ToCm(e.Stature), MassKg: wire.ToKg(e.Mass), MassSdKg: wire.ToKg(e.MassSD),
		SegmentsCm: wireSegments(&e.Body), SdCm: wireSegments(&sd), Rarity: wire.ToRatio(e.Rarity),
	}
}

func wireSegments(b *rigging.Body) SegmentValues {
	return SegmentValues{
		Shank: wire.ToCm(b.Shank), Thigh: wire.ToCm(b.Thigh), Trunk: wire.ToCm(b.Trunk), Arm: wire.ToCm(b.Arm),
		HalfShoulder: wire.ToCm(b.HalfShoulder), HalfDepth: wire.ToCm(b.HalfDepth),
		AnkleAlong: wire.ToCm(b.AnkleAlong), AnkleOff: wire.ToCm(b.AnkleOff), Ball: wire.ToCm(b.Ball), HipHeight: wire.ToCm(b.HipHeight),
	}
}

func wireDrawing(c *rigging.Case, s *rigging.Stroke) Drawing {
	lv, blade := c.Setup.Levers(), c.Setup.Class.Blade(c.Setup.Blade)
	return Drawing{
		BladeLengthCm: wire.ToCm(blade.Length), BladeDropCm: wire.ToCm(blade.Drop), BladeSource: blade.Source,
		PinOutCm: wire.ToCm(c.Setup.PinOut()), InnerCm: wire.ToCm(lv.Inner), OuterCm: wire.ToCm(lv.Outer),
		HandCm: wire.ToCm(lv.Hand), BladeCm: wire.ToCm(lv.BladeDepth),
		AtCatch: wirePose(&s.AtCatch), AtFinish: wirePose(&s.AtFinish),
		PlateDeg: wire.ToDeg(c.Setup.PlateAngle), GateCm: wire.ToCm(c.Setup.GateHeight + min(0, c.Setup.GateDifference)),
		HalfShoulderCm: wire.ToCm(c.Body.Body.HalfShoulder),
	}
}

func wirePose(p *rigging.Pose) Pose {
	at := func(q rigging.Point) Point { return Point{XCm: wire.ToCm(q.X), ZCm: wire.ToCm(q.Z)} }
	return Pose{at(p.Heel), at(p.Ball), at(p.Ankle), at(p.Knee), at(p.Hip), at(p.Shoulder), at(p.Hand)}
}

// WireCautions converts cautions; what lies outside of its range is told in people’s units.
func WireCautions(list []rigging.Caution) []Caution {
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
	u := wire.Units[e.Quantity]
	return fmt.Sprintf("%s of %s is unusual: boats are mostly set from %s to %s. Check it, and continue if it is right.",
		fieldLabels[e.Place.Last()], wire.Amount(e.Value, u), wire.Bare(e.Low, u), wire.Amount(e.High, u))
}

// fieldLabels names the settings as people say them.
var fieldLabels = map[rigging.Field]string{
	rigging.FieldSpan: "A span", rigging.FieldSpread: "A spread", rigging.FieldOarLength: "An oar length", rigging.FieldInboard: "An inboard",
	rigging.FieldGateHeight: "A gate height", rigging.FieldGateDifference: "A difference between the gates",
	rigging.FieldHeelToPin: "A stretcher position", rigging.FieldHeelDepth: "A heel depth", rigging.FieldPlateAngle: "A stretcher angle",
	rigging.FieldBladePitch: "A blade pitch", rigging.FieldSternPitch: "A stern pitch", rigging.FieldOutwardPitch: "An outward pitch",
	rigging.FieldSeatOverWater: "A seat height over the water", rigging.FieldTotalPitch: "A pitch with the oar square to the hull",
}
