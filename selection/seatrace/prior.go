package seatrace

import (
	"math"
	"slices"
	"sort"

	"thole/rigging"
	"thole/selection"
)

// Prior is what is held of the athletes before they race, as normal
// distributions of their effects in seconds over the pieces' distance. The
// pieces judge a common factor on the standard deviations, so that a prior half
// or twice as wide as the truth does little harm.
type Prior struct {
	// SD is the standard deviation for athletes without one of their own, s.
	SD float64
	// Means holds expected effects, s; an athlete without one takes the mean
	// of those given.
	Means map[string]float64
	// SDs holds standard deviations of athletes' own, s.
	SDs map[string]float64
}

// check returns what cannot be right in a prior for the given athletes.
func (p *Prior) check(ids []string) rigging.FieldErrors {
	var errs rigging.FieldErrors
	prior := rigging.PlaceOf(selection.FieldPrior)
	refuse := func(at rigging.Place, detail, id string) {
		errs = append(errs, selection.ErrorAt(at, rigging.ProblemRange, detail, id))
	}
	for _, id := range sortedKeys(p.Means) {
		if !(math.Abs(p.Means[id]) <= 1e6) {
			refuse(prior.Then(selection.FieldMeans).Then(rigging.Field(id)), "the expected effect of %s is not a number of seconds", id)
		}
	}
	for _, id := range sortedKeys(p.SDs) {
		if !positive(p.SDs[id]) {
			refuse(prior.Then(selection.FieldSDs).Then(rigging.Field(id)), "the standard deviation of %s must be above 0 s and below a million", id)
		}
	}
	for _, id := range ids {
		if _, own := p.SDs[id]; !own && !positive(p.SD) {
			refuse(prior.Then(rigging.FieldSD), "the standard deviation must be above 0 s and below a million: %s has none of their own", id)
			break
		}
	}
	return errs
}

// strangers lists those whom the prior names and who rowed in no piece.
func (p *Prior) strangers(t *table) []string {
	var out []string
	for _, named := range []map[string]float64{p.Means, p.SDs} {
		for _, id := range sortedKeys(named) {
			if _, ok := t.index[id]; !ok && !slices.Contains(out, id) {
				out = append(out, id)
			}
		}
	}
	return out
}

// sortedKeys returns the keys of m in order.
func sortedKeys(m map[string]float64) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

// positive reports whether x can be a time, a power or a standard deviation:
// above 0, and within a million either way so that its square is a number.
func positive(x float64) bool { return x >= 1e-6 && x <= 1e6 }

// terms returns mean and standard deviation of each athlete, s.
func (p *Prior) terms(ids []string) (mean, sd []float64) {
	usual := 0.0
	for _, id := range sortedKeys(p.Means) {
		usual += p.Means[id] / float64(len(p.Means))
	}
	mean, sd = make([]float64, len(ids)), make([]float64, len(ids))
	for i, id := range ids {
		mean[i], sd[i] = usual, p.SD
		if m, ok := p.Means[id]; ok {
			mean[i] = m
		}
		if s, ok := p.SDs[id]; ok {
			sd[i] = s
		}
	}
	return mean, sd
}
