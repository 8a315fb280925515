package advice

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"thole/api/seat"
	"thole/api/wire"
	"thole/rigging"
	"thole/selection/speed"
)

// Centimetres are what one step of each setting of a seat does to the arc, to
// the load and to the time.
type Centimetres struct {
	BoatClass  string       `json:"boat_class"`
	CatchDeg   float64      `json:"catch_deg" description:"Before any step; negative."`
	FinishDeg  float64      `json:"finish_deg" description:"Before any step."`
	MassKg     float64      `json:"mass_kg" description:"Of the rower, and of each of the crew."`
	PeakN      float64      `json:"peak_n" description:"Peak force on one handle before any step: usual, for nobody measured it."`
	RatePerMin float64      `json:"rate_per_min" description:"Strokes a minute."`
	DistanceM  float64      `json:"distance_m"`
	Steps      []PricedStep `json:"steps" description:"In the order of the settings."`
	Said       string       `json:"said" description:"How the prices are meant."`
	LeavesOut  string       `json:"leaves_out" description:"What the model leaves out."`
}

// PricedStep is what one step of one setting changes, with its price.
type PricedStep struct {
	seat.Sensitivity
	Price    *StepPrice `json:"price" description:"Null where the model cannot tell."`
	Unpriced string     `json:"unpriced" description:"Why the model cannot tell; empty where it can."`
}

// StepPrice is what a step is worth where all the seats of the boat are moved
// alike. Each figure stands with the ends it takes when what is uncertain of the
// blade, the body and the stroke is varied.
type StepPrice struct {
	LoadPct    PriceRange `json:"load_pct" description:"How much harder each stroke is pulled at equal power, %: above zero is heavier."`
	ForceTimeS PriceRange `json:"force_time_s" description:"Time over the distance at equal handle force, s: below zero is faster. It takes more power where it is faster."`
	PowerTimeS PriceRange `json:"power_time_s" description:"Time over the distance at equal power, s: below zero is faster."`
	FromS      float64    `json:"from_s" description:"Least of both times with their ranges, s."`
	ToS        float64    `json:"to_s" description:"Most of both times with their ranges, s."`
}

// unpriced says why the model cannot price a setting: it has one dimension, the
// boat's, in which a blade is either covered or not.
var unpriced = map[string]string{
	"gate_height_cm":     "Height moves the blade in the water and the hands at the body; the model has neither.",
	"gate_difference_cm": "It keeps the hands clear of each other; the model has one hand for both.",
	"blade_pitch_deg":    "The model's blade stands upright: what pitch does to its depth is not in it.",
	"stern_pitch_deg":    "The model's blade stands upright: what pitch does to its depth is not in it.",
	"outward_pitch_deg":  "The model's blade stands upright: what pitch does to its depth is not in it.",
}

// saidOfSteps says how the prices are meant.
const saidOfSteps = "Load is how much harder each stroke is pulled at the same power. Time is over 2000 m with every seat of the boat moved so: " +
	"from the same power to the same force, with what is uncertain of blade, body and stroke. The arc is assumed to follow as the table says."

// stepsKept is how many answers are kept in memory, a kilobyte each; our judgement.
const stepsKept = 256

// PriceSteps reports what one step of each setting does. The seat is solved as
// SolveSeat does, and the errors are its own.
func (s *Service) PriceSteps(ctx context.Context, r seat.SolveRequest) (Centimetres, error) {
	solved, err := s.seat.SolveSeat(ctx, r)
	if err != nil {
		return Centimetres{}, err
	}
	return s.PriceSolved(&r, &solved)
}

// PriceSolved tells it of a seat that is solved already.
func (s *Service) PriceSolved(r *seat.SolveRequest, solved *seat.SeatSolution) (Centimetres, error) {
	class, err := seat.ClassOf(r.BoatClass)
	if err != nil {
		return Centimetres{}, err
	}
	w := Centimetres{
		BoatClass: class.Code, CatchDeg: solved.CatchDeg, FinishDeg: solved.FinishDeg, MassKg: solved.Body.MassKg, PeakN: usualPeak(class),
		RatePerMin: usualTryRate, DistanceM: defaultDistance, Steps: []PricedStep{}, Said: saidOfSteps, LeavesOut: modelLeavesOut,
	}
	key := fmt.Sprintf("%+v %v %v %v", w, wire.Or(r.Seat.InboardCm, 0), wire.Or(r.Seat.OarLengthCm, 0), solved.Sensitivities)
	if kept, ok := s.steps.Get(key); ok {
		return kept, nil
	}
	if err := w.price(class, &r.Seat, solved.Sensitivities); err != nil {
		return w, err
	}
	s.steps.Put(key, w)
	return w, nil
}

func usualPeak(class rigging.Class) float64 {
	if class.Scull {
		return usualScullPeak
	}
	return usualSweepPeak
}

// stroke is the boat with everybody in this rig.
func (w *Centimetres) stroke(class rigging.Class, rig *seat.Seat) *speed.Stroke {
	setup := rig.Setup(class)
	one := speed.UsualSeat(class, setup.Levers(), w.MassKg)
	one.Catch, one.Finish, one.Peak = wire.FromDeg(w.CatchDeg), wire.FromDeg(w.FinishDeg), w.PeakN
	return crewOf(class, one, w.RatePerMin, class.Rowers)
}

// crewOf is a boat with n rowers who are all alike.
func crewOf(class rigging.Class, one speed.Seat, rate float64, n int) *speed.Stroke {
	boat := speed.NewBoat(class)
	s := &speed.Stroke{Hull: boat.HullMass + boat.CoxMass, Drag: speed.Drag(class, boat.EmptyMass()+float64(n)*one.Mass, speed.SameHull), Rate: rate}
	s.Seats = slices.Repeat([]speed.Seat{one}, n)
	return s
}

// price prices the steps that the model can tell of. Where no stroke can be rowed
// it tells of none.
func (w *Centimetres) price(class rigging.Class, rig *seat.Seat, steps []seat.Sensitivity) error {
	var changes []speed.Change
	var of []int
	for i, step := range steps {
		w.Steps = append(w.Steps, PricedStep{Sensitivity: step, Unpriced: unpriced[step.Setting]})
		if w.Steps[i].Unpriced == "" {
			changes, of = append(changes, stepOf(class, rig, step)), append(of, i)
		}
	}
	prices, err := w.stroke(class, rig).Price(w.DistanceM, changes)
	var fields rigging.FieldErrors
	switch {
	case errors.Is(err, speed.ErrNoStroke), errors.As(err, &fields):
		for _, i := range of {
			w.Steps[i].Unpriced = "With this arc and rig the model rows no steady stroke."
		}
		return nil
	case err != nil:
		return err
	}
	for k, i := range of {
		w.Steps[i].Price = stepPrice(&prices[k])
	}
	return nil
}

// stepOf is a step as a change of the stroke: the arc that follows from it, and
// the levers.
func stepOf(class rigging.Class, rig *seat.Seat, step seat.Sensitivity) speed.Change {
	moved := *rig
	if field := moved.SettingField(step.Setting); *field != nil {
		*field = wire.Ptr(**field + step.Step)
	}
	setup := moved.Setup(class)
	levers := setup.Levers()
	return speed.Change{Name: step.Setting, Seat: speed.EverySeat, Apply: func(s speed.Seat) speed.Seat {
		s.LeverIn, s.LeverOut = levers.Inner, levers.Outer
		s.Catch += wire.FromDeg(step.CatchDeg)
		s.Finish += wire.FromDeg(step.FinishDeg)
		return s
	}}
}

func stepPrice(p *speed.Price) *StepPrice {
	w := &StepPrice{LoadPct: wireRange(p.PowerForce, 100, 100), ForceTimeS: wireRange(p.ForceTime, 1, 100), PowerTimeS: wireRange(p.PowerTime, 1, 100)}
	w.FromS, w.ToS = min(w.ForceTimeS.Low, w.PowerTimeS.Low), max(w.ForceTimeS.High, w.PowerTimeS.High)
	return w
}
