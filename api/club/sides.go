package club

import "thole/rigging"

// SideCosts are the costs of rowing a side.
type SideCosts struct {
	Port      *float64 `json:"port,omitempty" validate:"omitempty,gte=-3600,lte=3600" unit:"s" description:"Seconds over 2000 m."`
	Starboard *float64 `json:"starboard,omitempty" validate:"omitempty,gte=-3600,lte=3600" unit:"s" description:"Seconds over 2000 m."`
}

// Rowable lists the sides that are stated.
func (c *SideCosts) Rowable() map[rigging.Side]float64 {
	sides := map[rigging.Side]float64{}
	for side, cost := range map[rigging.Side]*float64{rigging.Port: c.Port, rigging.Starboard: c.Starboard} {
		if cost != nil {
			sides[side] = *cost
		}
	}
	return sides
}
