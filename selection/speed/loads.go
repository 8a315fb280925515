package speed

// Loads returns how much harder each of others pulls than the crew, for the same
// power: the factor of peak force less 1. Each is rowed by a whole crew alike: by
// itself among others it would also trade work with them through the hull, which
// is no question of its rig. It errs with rigging.FieldErrors on a stroke that is
// impossible, and with ErrNoStroke where there is none.
func (s *Stroke) Loads(others []Seat) ([]float64, error) {
	var p pricer
	p.distance = minDistance // of no effect on the force
	base, err := p.base(*s)
	if err != nil {
		return nil, err
	}
	loads := make([]float64, len(others))
	for i, other := range others {
		q, err := p.quote(base, EverySeat, func(Seat) Seat { return other })
		if err != nil {
			return nil, err
		}
		loads[i] = q.powerForce
	}
	return loads, nil
}
