package evidence

// Difference is what sources without a level say of one athlete: ln power
// against the mean of those whom they compare.
type Difference struct {
	Told  bool // somebody is compared with the athlete
	Value float64
	SD    float64
	Among int // athletes compared, this one included
}

// Differences joins the blocks without a level about a squad of n, each group
// of athletes that they connect about its own mean. Blocks with a level are left
// out. It errs and panics as Join does.
func Differences(n int, blocks []Block) ([]Difference, error) {
	mustFit(n, blocks)
	list := make([]Difference, n)
	for _, members := range connected(n, blocks, true) {
		if len(members) == 1 {
			continue
		}
		s := newSystem(members)
		for k := range blocks {
			if b := &blocks[k]; !b.Level {
				if err := s.addBlock(b); err != nil {
					return nil, err
				}
			}
		}
		if err := s.solveDifferences(list); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// solveDifferences writes what the system says about the mean of its athletes.
func (s *system) solveDifferences(list []Difference) error {
	h := contrasts(len(s.members))
	within, spread, err := solved(turned(s.lambda, h), vector(h.T(), s.pull))
	if err != nil {
		return err
	}
	mean, cov := vector(h, within), turned(spread, transposed(h))
	for k, i := range s.members {
		list[i] = Difference{Told: true, Among: len(s.members), Value: mean.AtVec(k), SD: root(cov.At(k, k))}
	}
	return nil
}
