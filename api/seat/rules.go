package seat

import (
	"context"
	"fmt"

	"thole/api/wire"
	"thole/rigging"
)

// RulesRequest says what is known of a boat and its crew; what is left out is
// not checked.
type RulesRequest struct {
	BoatClass    string    `json:"boat_class" validate:"required,boatclass"`
	HullMassKg   *float64  `json:"hull_mass_kg,omitempty" validate:"omitempty,plausible=hull_mass" description:"Boat with fixtures, without oars."`
	CoxMassKg    *float64  `json:"cox_mass_kg,omitempty" validate:"omitempty,plausible=cox_mass"`
	DeadWeightKg *float64  `json:"dead_weight_kg,omitempty" validate:"omitempty,plausible=dead_weight" description:"Carried by the coxswain."`
	Lightweight  bool      `json:"lightweight,omitempty"`
	Sex          string    `json:"sex,omitempty" validate:"omitempty,oneof=female male" description:"Of a lightweight crew."`
	MassesKg     []float64 `json:"masses_kg,omitempty" validate:"omitempty,max=8,dive,plausible=masses" description:"Rowers in racing dress."`
	HeelRiseCm   *float64  `json:"heel_rise_cm,omitempty" validate:"omitempty,plausible=heel_rise" description:"Of the shoe's heel with its strap taut."`
	BladeEdgeCm  *float64  `json:"blade_edge_cm,omitempty" validate:"omitempty,plausible=blade_edge" description:"Thickness of the thinnest blade's edge."`
	BowBallCm    *float64  `json:"bow_ball_cm,omitempty" validate:"omitempty,plausible=bow_ball" description:"Diameter."`
}

// RulesAnswer lists the rules that were applied.
type RulesAnswer struct {
	Findings []Finding `json:"findings"`
	Note     string    `json:"note"`
}

// Finding is one rule applied to one value.
type Finding struct {
	Code    string   `json:"code"`
	Field   string   `json:"field"`
	Rule    string   `json:"rule"`
	Value   float64  `json:"value" description:"In the field's unit."`
	AtLeast *float64 `json:"at_least,omitempty" description:"The rule's limit in the field's unit, where it is a least value."`
	AtMost  *float64 `json:"at_most,omitempty" description:"The rule's limit in the field's unit, where it is a largest value."`
	Kept    bool     `json:"kept"`
	Edition string   `json:"edition" description:"Where the rule was read, with its date."`
}

// rulesNote stands beside every rules check.
const rulesNote = "Rules change: the federation's current rule book and the local safety rules decide."

// CheckRules applies the usual federation rules. The error is an *Invalid.
func (s *Service) CheckRules(_ context.Context, r RulesRequest) (RulesAnswer, error) {
	class, err := ClassOf(r.BoatClass)
	if err != nil {
		return RulesAnswer{}, err
	}
	crew, err := r.crew(class)
	if err != nil {
		return RulesAnswer{}, err
	}
	a := RulesAnswer{Findings: []Finding{}, Note: rulesNote}
	for _, f := range rigging.CheckRules(crew) {
		a.Findings = append(a.Findings, wireFinding(&f))
	}
	return a, nil
}

func (r *RulesRequest) crew(class rigging.Class) (*rigging.Crew, error) {
	var p wire.Problems
	sex := CheckSex(&p, wire.At("sex"), r.Sex)
	c := &rigging.Crew{
		Class: class, HullMass: wire.Known(r.HullMassKg, 1), CoxMass: wire.Known(r.CoxMassKg, 1), DeadWeight: wire.Or(r.DeadWeightKg, 0),
		Lightweight: r.Lightweight, Sex: sex, Masses: r.MassesKg,
		HeelRise: wire.CmKnown(r.HeelRiseCm), BladeEdge: wire.CmKnown(r.BladeEdgeCm), BowBall: wire.CmKnown(r.BowBallCm),
	}
	if len(c.Masses) > class.Rowers {
		p.Add(wire.At("masses_kg").Problem(fmt.Sprintf("%d masses are too many for a boat of %d.", len(c.Masses), class.Rowers)))
		c.Masses = nil
	}
	p.AddError(wire.Place{}, c.Check())
	p.Check(wire.At(), r)
	return c, p.OrNil()
}

func wireFinding(f *rigging.Finding) Finding {
	u := wire.Units[f.Quantity]
	w := Finding{
		Code: f.Code, Field: f.Field + u.Suffix, Rule: f.Rule, Kept: f.Kept, Edition: f.Edition,
		Value: wire.Round(f.Value*u.Factor, 100),
	}
	limit := wire.Ptr(wire.Round(f.Limit*u.Factor, 100))
	if f.AtMost {
		w.AtMost = limit
	} else {
		w.AtLeast = limit
	}
	return w
}
