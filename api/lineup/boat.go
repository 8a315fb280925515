package lineup

import (
	"context"

	"thole/api/records"
)

// ClubBoat is a boat of the club as line-ups need it: as it stands.
type ClubBoat struct {
	ID         int64    `json:"id"`
	Name       string   `json:"name"`
	BoatClass  string   `json:"boat_class"`
	HullMassKg *float64 `json:"hull_mass_kg" description:"Null: that of the class."`
	Rigged     []string `json:"rigged" description:"The sides as it stands, bow first; empty in sculling."`
	Pattern    []string `json:"pattern" description:"The sides that its riggers allow: either where a rigger fits both."`
}

// ClubBoat returns a boat of the club as it stands. The error is ErrNotFound.
func (s *Service) ClubBoat(ctx context.Context, r records.IDRequest) (ClubBoat, error) {
	b, err := s.fleet.Boat(ctx, r)
	if err != nil {
		return ClubBoat{}, err
	}
	w := ClubBoat{ID: b.ID, Name: b.Name, BoatClass: b.BoatClass, HullMassKg: b.HullMassKg, Rigged: []string{}, Pattern: []string{}}
	if b.Class.Scull {
		return w, nil
	}
	for i := range b.Seats {
		side := b.Seats[i].Side
		w.Rigged = append(w.Rigged, side)
		if b.Seats[i].CanChangeSides {
			side = Either
		}
		w.Pattern = append(w.Pattern, side)
	}
	return w, nil
}

// Row makes a problem one for the boat as it stands: its class and hull, and its
// sides unless others are stated. With PatternFree its riggers change sides where
// they fit both, at a price.
func (b *ClubBoat) Row(o *LineupProblem) {
	o.BoatClass, o.Rigged = b.BoatClass, b.Rigged
	if o.HullMassKg == nil {
		o.HullMassKg = b.HullMassKg
	}
	switch {
	case len(o.Pattern) > 0:
	case o.PatternFree:
		o.Pattern = b.Pattern
	default:
		o.Pattern = b.Rigged
	}
}
