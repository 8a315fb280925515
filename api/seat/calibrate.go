package seat

import (
	"context"
	"fmt"

	"thole/api/wire"
	"thole/rigging"
)

// CalibrateRequest asks which posture explains measured arcs.
type CalibrateRequest struct {
	BoatClass string        `json:"boat_class" validate:"required,boatclass"`
	Rower     Rower         `json:"rower,omitempty"`
	Posture   *Posture      `json:"posture,omitempty" description:"What is assumed before the measurements are known."`
	Arcs      []MeasuredArc `json:"arcs" validate:"required,min=1,max=50" say:"Give at least one measured catch or finish."`
}

// MeasuredArc is one arc measured on the water in a known rig.
type MeasuredArc struct {
	Seat           Seat     `json:"seat" validate:"required"`
	Handle         *Handle  `json:"handle,omitempty"`
	DisplacementKg *float64 `json:"displacement_kg,omitempty" validate:"omitempty,gte=30,lte=2000"`
	CatchDeg       *float64 `json:"catch_deg,omitempty" validate:"omitempty,plausible=catch" description:"Negative; left out when it was not measured."`
	FinishDeg      *float64 `json:"finish_deg,omitempty" validate:"omitempty,plausible=finish" description:"Positive; left out when it was not measured."`
	SdDeg          *float64 `json:"sd_deg,omitempty" validate:"omitempty,plausible=sd" default:"0.5" description:"Standard deviation of each angle."`
}

// Calibration is the posture that explains the measured arcs best.
type Calibration struct {
	Posture         PostureValues `json:"posture"`
	LeanSdDeg       float64       `json:"lean_sd_deg"`
	LaybackSdDeg    float64       `json:"layback_sd_deg"`
	ProtractionSdCm float64       `json:"protraction_sd_cm"`
	Misses          []ArcMiss     `json:"misses" description:"Modelled less measured angles, one entry an arc."`
	Doubtful        bool          `json:"doubtful" description:"The arcs ask for a posture far from any usual one: check rig, body and sensor."`
}

// ArcMiss is modelled less measured; null where nothing was measured.
type ArcMiss struct {
	CatchDeg  *float64 `json:"catch_deg"`
	FinishDeg *float64 `json:"finish_deg"`
}

// maxArcs bounds the work of one calibration; our judgement.
const maxArcs = 50

// Calibrate fits a rower's posture to measured arcs. The error is an *Invalid
// or an *Unreachable.
func (s *Service) Calibrate(_ context.Context, r CalibrateRequest) (Calibration, error) {
	class, err := ClassOf(r.BoatClass)
	if err != nil {
		return Calibration{}, err
	}
	measures, posture := r.Rower.Measures(), r.Posture.Domain(class)
	arcs, err := r.read(class, &measures, &posture)
	if err != nil {
		return Calibration{}, err
	}
	c, err := rigging.Calibrate(measures.Estimate(rigging.DefaultTape), posture, arcs)
	if err != nil {
		return Calibration{}, wire.DomainError(err)
	}
	return wireCalibration(&c, r.Arcs), nil
}

// read checks the whole request and converts the arcs.
func (r *CalibrateRequest) read(class rigging.Class, m *rigging.Measures, posture *rigging.Posture) ([]rigging.MeasuredArc, error) {
	if len(r.Arcs) > maxArcs {
		return nil, wire.At("arcs").Invalid(fmt.Sprintf("At most %d arcs at a time.", maxArcs))
	}
	var p wire.Problems
	p.AddError(wire.Place{}, m.Check())
	p.AddError(wire.Place{}, posture.Check())
	var arcs []rigging.MeasuredArc
	for i := range r.Arcs {
		arc := r.Arcs[i].arc(class)
		checkArc(&p, wire.At("arcs").Item(i), &r.Arcs[i], &arc)
		arcs = append(arcs, arc)
	}
	p.Check(wire.At(), r)
	return arcs, p.OrNil()
}

func (a *MeasuredArc) arc(class rigging.Class) rigging.MeasuredArc {
	return rigging.MeasuredArc{
		Setup: a.Seat.Setup(class), Handle: a.Handle.handle(), Displacement: wire.Or(a.DisplacementKg, 0),
		Catch: wire.DegKnown(a.CatchDeg), Finish: wire.DegKnown(a.FinishDeg), SD: wire.DegKnown(a.SdDeg),
	}
}

func checkArc(p *wire.Problems, at wire.Place, measured *MeasuredArc, arc *rigging.MeasuredArc) {
	CheckSeat(p, at, &measured.Seat, &arc.Setup)
	p.AddError(at, arc.Check())
	checkHandle(p, at, measured.Handle, arc.Handle)
	if measured.CatchDeg == nil && measured.FinishDeg == nil {
		p.Add(at.Name("catch_deg").Problem("Give the measured catch, the finish or both."))
	}
}

func wireCalibration(c *rigging.Calibration, asked []MeasuredArc) Calibration {
	w := Calibration{
		Posture: wirePosture(&c.Posture), LeanSdDeg: wire.ToDeg(c.LeanSD), LaybackSdDeg: wire.ToDeg(c.LaybackSD),
		ProtractionSdCm: wire.ToCm(c.ProtractionSD), Doubtful: c.Doubtful,
	}
	for i := range asked {
		var miss ArcMiss
		if asked[i].CatchDeg != nil {
			miss.CatchDeg = wire.Ptr(wire.ToDeg(c.CatchMiss[i]))
		}
		if asked[i].FinishDeg != nil {
			miss.FinishDeg = wire.Ptr(wire.ToDeg(c.FinishMiss[i]))
		}
		w.Misses = append(w.Misses, miss)
	}
	return w
}
