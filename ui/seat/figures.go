package seat

import (
	"html/template"
	"math"

	"thole/api/seat"
	"thole/ui/figure"
	"thole/ui/figure/draw"
)

// Widths of the drawings of this page, px; our judgement.
var (
	sideWidths  = []float64{288, 358, 620}
	aboveWidths = []float64{288, 358, 620}
	scaleWidths = []float64{288, 358}
)

// leastLyingWidth is the width from which a boat is drawn bow to the left; our judgement.
const leastLyingWidth = 600

// hulls holds length and beam of the classes' hulls at the waterline, m, by the
// number of rowers: L. Lazauskas, University of Adelaide report L9701, 1998.
// They place ornament only.
var hulls = map[int][2]float64{1: {8.08, 0.273}, 2: {10.25, 0.351}, 4: {11.82, 0.412}, 8: {17.22, 0.554}}

// metres turns cm of an answer into m.
func metres(cm float64) float64 { return cm / 100 }

func poseOf(p *seat.Pose, lean float64) figure.Pose {
	at := func(q seat.Point) figure.Joint { return figure.Joint{X: metres(q.XCm), Z: metres(q.ZCm)} }
	return figure.Pose{
		Heel: at(p.Heel), Ball: at(p.Ball), Ankle: at(p.Ankle), Knee: at(p.Knee), Hip: at(p.Hip), Shoulder: at(p.Shoulder), Hand: at(p.Hand), LeanDeg: lean,
	}
}

// side draws the rower from the side at one end of the stroke; id is unique in
// the page.
func side(s *seat.SeatSolution, id string, atFinish bool) template.HTML {
	var list []*draw.Drawing
	for _, width := range sideWidths {
		f := figure.Side{
			ID: id + "-" + widthName(width), Width: width, AtFinish: atFinish,
			Stature: metres(s.Body.StatureCm), Mass: s.Body.MassKg,
			Arm: metres(s.Body.SegmentsCm.Arm), HalfDepth: metres(s.Body.SegmentsCm.HalfDepth),
			Catch: poseOf(&s.Drawing.AtCatch, s.Posture.LeanDeg), Finish: poseOf(&s.Drawing.AtFinish, -s.Posture.LaybackDeg),
			GateHeight: metres(s.Drawing.GateCm), PlateDeg: s.Drawing.PlateDeg, SeatOverWater: metres(s.Heights.SeatOverWaterCm),
		}
		list = append(list, f.Draw())
	}
	return draw.Responsive(list...)
}

func widthName(width float64) string {
	return map[float64]string{288: "s", 358: "m", 620: "l"}[width]
}

// above draws the seat from above.
func above(s *seat.SeatSolution, class seat.BoatClass, id string) template.HTML {
	var list []*draw.Drawing
	for _, width := range aboveWidths {
		a := aboveOf(s, class)
		a.ID, a.Width, a.Lying = id+"-"+widthName(width), width, width > leastLyingWidth
		list = append(list, a.Draw())
	}
	return draw.Responsive(list...)
}

// halfHandle is from the middle of a handle, which the lever ends at, to its
// end, m; see rigging.Levers.
func halfHandle(scull bool) float64 {
	if scull {
		return 0.06
	}
	return 0.15
}

func aboveOf(s *seat.SeatSolution, class seat.BoatClass) *figure.Above {
	d, hull := &s.Drawing, hulls[class.Rowers]
	a := &figure.Above{
		HullLength: hull[0], HullBeam: hull[1], Rowers: class.Rowers, Seat: (class.Rowers + 1) / 2, Coxed: class.Coxed,
		PinOut: metres(d.PinOutCm), Outer: metres(d.OuterCm + d.BladeLengthCm/2), Hand: metres(d.HandCm),
		HandleEnd: metres(d.InnerCm) + halfHandle(class.Scull), BladeLength: metres(d.BladeLengthCm), BladeWide: metres(d.BladeCm),
		HalfShoulder: metres(d.HalfShoulderCm), CatchShoulderX: metres(d.AtCatch.Shoulder.XCm), FinishShoulderX: metres(d.AtFinish.Shoulder.XCm),
	}
	if !class.Scull {
		a.InsideHand, a.TurnDeg, a.SideLean = metres(2*d.InnerCm-d.HandCm), s.RotationDeg, metres(s.Posture.SideLeanCm)
	}
	for _, o := range s.Oars {
		boatSide := figure.Port
		if o.Side == "starboard" {
			boatSide = figure.Starboard
		}
		a.Oars = append(a.Oars, figure.OarAbove{Side: boatSide, CatchDeg: -o.CatchDeg, FinishDeg: o.FinishDeg})
	}
	return a
}

// scale draws the reach at one end of the stroke.
func scale(s *seat.SeatSolution, id, end string) template.HTML {
	var list []*draw.Drawing
	for _, width := range scaleWidths {
		r := figure.Reach{ID: id + "-" + widthName(width), Width: width, End: end}
		target := math.Abs(s.Targets.CatchDeg)
		r.Likely, r.LikelySD, r.Capacity, r.CapacitySD = -s.CatchDeg, s.Uncertainty.CatchSdDeg, -s.Capacity.CatchDeg, s.Capacity.CatchSdDeg
		if end == "finish" {
			target = s.Targets.FinishDeg
			r.Likely, r.LikelySD, r.Capacity, r.CapacitySD = s.FinishDeg, s.Uncertainty.FinishSdDeg, s.Capacity.FinishDeg, s.Capacity.FinishSdDeg
		}
		r.Target = &target
		list = append(list, r.Draw())
	}
	return draw.Responsive(list...)
}
