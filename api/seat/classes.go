package seat

import (
	"thole/api/wire"
	"thole/rigging"
)

// BoatClass is a class of boat with the arc to start from.
type BoatClass struct {
	Code           string  `json:"code"`
	Name           string  `json:"name"`
	Rowers         int     `json:"rowers"`
	Scull          bool    `json:"scull"`
	Coxed          bool    `json:"coxed"`
	MinHullMassKg  float64 `json:"min_hull_mass_kg"`
	StartCatchDeg  float64 `json:"start_catch_deg" description:"Catch to aim at for a start; negative."`
	StartFinishDeg float64 `json:"start_finish_deg" description:"Finish to aim at for a start."`
}

// BoatClasses lists the classes of boats, sculling boats first.
func (s *Service) BoatClasses() []BoatClass {
	var list []BoatClass
	for _, c := range rigging.Classes() {
		t := rigging.DefaultTargets(c)
		list = append(list, BoatClass{
			Code: c.Code, Name: c.Name, Rowers: c.Rowers, Scull: c.Scull, Coxed: c.Coxed, MinHullMassKg: wire.ToKg(c.MinHullMass),
			StartCatchDeg: wire.ToDeg(t.Catch), StartFinishDeg: wire.ToDeg(t.Finish),
		})
	}
	return list
}
