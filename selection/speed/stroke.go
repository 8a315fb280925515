package speed

import (
	"fmt"
	"slices"

	"thole/rigging"
	"thole/selection"
)

// Figures of the stroke model. Those that are uncertain are varied by Price.
const (
	// WaterDensity of fresh water, kg/m³ (common practice).
	WaterDensity = 1000

	// HatchetForce is the force coefficient of a hatchet square to the flow:
	// N. Caplan, T. N. Gardner, J Sports Sci 25 (2007) 643–650 (as reported).
	HatchetForce = 2.07

	ScullBlade = 0.082 // area of one blade, m² (from memory)
	SweepBlade = 0.125 // area of one blade, m² (from memory)

	// UsualPickUp is the acceleration of the hands after the reversal, m/s²;
	// derived: it gives the catch slips of good crews.
	UsualPickUp = 7
	// UsualTravel is how far a rower's centre of mass moves along a scull
	// between catch and finish, m; derived from postures and the segment masses
	// of Dempster in D. A. Winter, Biomechanics and Motor Control of Human
	// Movement.
	UsualTravel = 0.62
	// UsualPeakPlace is where the force of a hump peaks, as a share of the
	// loaded arc (engineering judgement).
	UsualPeakPlace = 0.40

	// MaxSeats is the largest crew: the eight, by the rules the largest boat.
	MaxSeats = 8
)

// Entry is the way of a blade into the water, seen against the moment the
// hands reverse. The zero Entry is left out: the blade is covered once it
// keeps pace with the water.
type Entry struct {
	Height float64 // lower edge over the water when the blade starts down, m
	Sink   float64 // speed downwards, m/s; 0 leaves the entry out
	Start  float64 // when it starts down, s against the reversal; below 0 is before it
}

// Seat is one rower with their oar or oars.
type Seat struct {
	Mass     float64 // body mass, kg; GearMass comes on top
	Oars     int     // 1 in sweep, 2 in sculling
	LeverIn  float64 // R_in, pin to the middle of the handle, m
	LeverOut float64 // R_out, pin to the middle of the blade, m

	Catch, Finish rigging.Angle // catch below zero, finish above
	// Hold is the arc from the catch before which no load begins, even if the
	// blade could take it: 0 loads as soon as it matches the water and is
	// covered.
	Hold rigging.Angle
	// Release is the arc before the finish without force.
	Release rigging.Angle

	Peak   float64 // peak handle force on one oar, N
	Shape  Shape   // of the force over the loaded arc
	Travel float64 // L, of the centre of mass along the boat, m
	PickUp float64 // a, acceleration of the hands after the reversal, m/s²

	BladeArea   float64 // m²
	BladeForce  float64 // C, force coefficient square to the flow
	BladeHeight float64 // m; needed with an entry
	Entry       Entry
	// Depth is how far the blade is carried below just covered, as an angle of
	// the oar, 0 or more: it drags shaft through the water.
	Depth rigging.Angle
}

// Stroke is a boat and all that decides its steady stroke. Seats that are equal
// are computed once.
//
// The model follows the boat through one stroke in one dimension: hands that pick up
// speed at the catch, blades that match the water and are loaded by a force over the
// arc, bodies that move along the boat, a hull whose speed swings. Of such strokes
// [Stroke.Solve] finds the one that repeats itself, [Stroke.Price] says what a change
// is worth, and [Rank] what a rower should work on first.
//
// The drag of hub and shaft (but for a blade carried deep), unsteady lift, the bend of
// the oar, the lean of the boat and skill under fatigue are left out.
type Stroke struct {
	Hull  float64 // hull and coxswain, kg
	Drag  float64 // k, N·s²/m²; see Drag
	Rate  float64 // strokes a minute
	Seats []Seat
}

// mass returns M, the mass that moves, kg.
func (s *Stroke) mass() float64 {
	m := s.Hull
	for i := range s.Seats {
		m += s.Seats[i].Mass + GearMass
	}
	return m
}

// period returns the time of one stroke, s.
func (s *Stroke) period() float64 { return 60 / s.Rate }

// with returns the stroke with its own copy of the seats, those chosen changed.
// seat is an index, or EverySeat.
func (s *Stroke) with(seat int, change func(Seat) Seat) Stroke {
	out := *s
	out.Seats = make([]Seat, len(s.Seats))
	for i, old := range s.Seats {
		if seat == EverySeat || seat == i {
			old = change(old)
		}
		out.Seats[i] = old
	}
	return out
}

// EverySeat stands for the whole crew where an index of a seat is asked for.
const EverySeat = -1

// check returns every problem of the stroke in the order of its fields.
func (s *Stroke) check() error {
	errs := outside("hull_mass", s.Hull, minHull, maxHull, rigging.Mass)
	errs = append(errs, outside("drag", s.Drag, minDrag, maxDrag, rigging.Count)...)
	errs = append(errs, outside("rate", s.Rate, 10, 60, rigging.Count)...)
	if n := len(s.Seats); n < 1 || n > MaxSeats {
		return append(errs, mismatch("seats", fmt.Sprintf("a boat seats 1 to %d rowers, not %d", MaxSeats, n)))
	}
	for i := range s.Seats {
		if i == 0 || s.Seats[i] != s.Seats[i-1] {
			errs = append(errs, s.Seats[i].check(i)...)
		}
	}
	if len(errs) == 0 {
		return nil
	}
	return errs
}

// The ends of the arc that the model takes, rad, both counted from the square oar; our
// judgement: beyond any that is rowed, and no nearer to the hull than 85°, where an oar
// propels nothing.
const (
	minCatch, maxCatch   = 15 * rigging.Degree, 85 * rigging.Degree
	minFinish, maxFinish = 5 * rigging.Degree, 65 * rigging.Degree
)

// check returns the problems of an entry that stands at a place. The ranges are our
// judgement: wide enough that only a slip of unit or digit is refused.
func (e *Entry) check(at rigging.Place) rigging.FieldErrors {
	return slices.Concat(
		outsideAt(at.Then("height"), e.Height, 0, 0.6, rigging.Length),
		outsideAt(at.Then("sink"), e.Sink, 0.1, 6, rigging.Speed),
		outsideAt(at.Then("start"), e.Start, -1, 0.6, rigging.Count),
	)
}

// check returns the problems of one seat; the ranges are our judgement, as those of
// [Entry.check].
func (s *Seat) check(index int) (errs rigging.FieldErrors) {
	seat := rigging.PlaceOf(rigging.FieldSeats).Item(index)
	in := func(name rigging.Field, value, low, high float64, q rigging.Quantity) {
		errs = append(errs, outsideAt(seat.Then(name), value, low, high, q)...)
	}
	in("mass", s.Mass, minMass, maxMass, rigging.Mass)
	in("oars", float64(s.Oars), 1, 2, rigging.Count)
	in("lever_in", s.LeverIn, 0.4, 1.6, rigging.Length)
	in("lever_out", s.LeverOut, 0.8, 3.5, rigging.Length)
	in("catch", float64(s.Catch), -float64(maxCatch), -float64(minCatch), rigging.Plane)
	in("finish", float64(s.Finish), float64(minFinish), float64(maxFinish), rigging.Plane)
	arc := float64(s.Finish - s.Catch)
	in("hold", float64(s.Hold), 0, arc/2, rigging.Plane)
	in("release", float64(s.Release), 0, arc/2, rigging.Plane)
	in("peak", s.Peak, 20, 3000, rigging.Count)
	if !s.Shape.valid() {
		errs = append(errs, selection.ErrorAt(seat.Then("shape"), rigging.ProblemMissing, "a force curve is needed"))
	}
	in("travel", s.Travel, 0.05, 1.2, rigging.Length)
	in("pick_up", s.PickUp, 1, 40, rigging.Count)
	in("blade_area", s.BladeArea, 0.02, 0.3, rigging.Count)
	in("blade_force", s.BladeForce, 0.5, 4, rigging.Count)
	in("depth", float64(s.Depth), 0, float64(25*rigging.Degree), rigging.Plane)
	if s.Entry != (Entry{}) {
		errs = append(errs, s.Entry.check(seat.Then("entry"))...)
		in("blade_height", s.BladeHeight, 0.05, 0.5, rigging.Length)
	}
	return errs
}
